// Package canningday judges the record of one canning day jar by jar: which boil held long enough under enough water, which
// seal is good, whether the acid was measured as it has to be, and what becomes of each jar by when. A jar is fit for the
// shelf only on positive evidence. The package holds no clock and refuses to guess: what the log lacks or contradicts is
// named.
package canningday

import (
	"math"
	"slices"
	"time"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// Day is the record of a canning day, read once: loads, jars and readings with their times, and what was found on them.
type Day struct {
	facts       *facts.Facts
	record      *document.Batch
	asOf        document.Period // when the question is asked; without as_of any time after the last that is recorded
	hasAsOf     bool
	packed      document.Time // in the zone of the labels
	requirement requirement
	events      []event
	loads       []*load // by name
	manyLoads   bool    // a jar that names no load may have been in one of those that are named
	jars        []jar
	readings    []reading
	findings    []dayFinding
	found       map[ruleOutcome]*found
	kinds       []ruleOutcome // the keys of found, by first mention
	loadsNamed  map[string]*load
	equilibrium *equilibrium // nil: not yet worked out
}

// requirement is what the jars have to go through.
type requirement struct {
	applies bool // jars for the shelf, heated in a way that has a process
	method  string
	known   bool
	time    time.Duration
	depth   measure.Length // of water over the lids; 0: none, in steam
}

// dayFinding is what one rule says of one place, and of which jars.
type dayFinding struct {
	rule string
	jars []int // indices; nil: all
	facts.Finding
}

// figures adds what was measured and the limit it was held to.
func (f *dayFinding) figures(measured, limit *report.Amount) { f.Measured, f.Limit = measured, limit }

// tolerance is by how much a measure may miss, in SI units or as a fraction.
func (d *Day) tolerance(id catalog.Tolerance) float64 { return d.facts.Tolerance(id) }

// timeTolerance is by how much a time may miss.
func (d *Day) timeTolerance() time.Duration {
	return time.Duration(d.tolerance(catalog.TimeTolerance) * float64(time.Second))
}

// The ends of what can be written with a year of four digits, with a day to spare for offsets.
var (
	earliest = time.Date(-1, time.December, 31, 0, 0, 0, 0, time.UTC)
	latest   = time.Date(10000, time.January, 2, 0, 0, 0, 0, time.UTC)
)

// Read reads the record of a request; nil when it has none.
func Read(f *facts.Facts) *Day {
	if f.Request.Batch == nil {
		return nil
	}
	d := &Day{facts: f, record: f.Request.Batch, asOf: f.Times.AsOf, hasAsOf: f.Times.HasAsOf, packed: f.Times.Packed}
	d.readTimes()
	if !d.hasAsOf {
		d.asOf = document.Period{From: d.lastRecorded(), To: latest}
	}
	d.requirement = d.readRequirement()
	d.readLoads()
	d.readJars()
	d.readReadings()
	d.judgeOrder()
	d.judgeProcess()
	d.judgeJars()
	d.judgeAcid()
	d.judgeKeeping()
	return d
}

// Remarks is what the record gives the rules to say; none when the request has no record.
func (d *Day) Remarks() []facts.Remark {
	if d == nil {
		return nil
	}
	remarks := make([]facts.Remark, len(d.findings))
	for i := range d.findings {
		remarks[i] = facts.Remark{Rule: d.findings[i].rule, Finding: d.findings[i].Finding}
	}
	return remarks
}

// PHMeasured reports whether one reading of acidity at least is evidence.
func (d *Day) PHMeasured() bool {
	return d != nil && slices.ContainsFunc(d.readings, func(r reading) bool { return r.valid })
}

// readTimes reads every time of the record.
func (d *Day) readTimes() {
	d.events = make([]event, len(d.record.Events))
	for i := range d.events {
		doc := &d.record.Events[i]
		d.events[i] = event{doc, document.ParseTime(doc.At)}
	}
	d.jars = make([]jar, len(d.record.Jars))
	for i := range d.jars {
		j, doc := &d.jars[i], &d.record.Jars[i]
		j.opened = document.ParseTime(doc.OpenedAt)
		for k := range doc.SealChecks {
			j.checks = append(j.checks, sealCheck{&doc.SealChecks[k], document.ParseTime(doc.SealChecks[k].At)})
		}
		for k := range doc.Kept {
			j.stays = append(j.stays, stay{&doc.Kept[k], document.ParseTime(doc.Kept[k].From)})
		}
	}
	d.readings = make([]reading, len(d.record.PHReadings))
	for i := range d.readings {
		d.readings[i].when = document.ParseTime(d.record.PHReadings[i].At)
	}
}

// lastRecorded is the latest time of the record: the document was written after it.
func (d *Day) lastRecorded() time.Time {
	last := earliest
	note := func(at document.Time) {
		if at.Known {
			last = later(last, at.Time)
		}
	}
	note(d.packed)
	for i := range d.events {
		note(d.events[i].at)
	}
	for i := range d.jars {
		note(d.jars[i].opened)
		for _, check := range d.jars[i].checks {
			note(check.at)
		}
		for _, stay := range d.jars[i].stays {
			note(stay.from)
		}
	}
	for i := range d.readings {
		note(d.readings[i].when)
	}
	return last
}

// readRequirement finds what the tested recipe asks of the process at the elevation of the day. The elevation has to be
// known, also where the printed time is the same everywhere.
func (d *Day) readRequirement() requirement {
	f := d.facts
	n := requirement{method: f.Method()}
	n.applies = f.ForShelf() && f.Match.Recipe != nil &&
		slices.Contains([]string{document.MethodBoilingWater, document.MethodSteam, document.MethodLowTemperature}, n.method)
	if !n.applies {
		return n
	}
	if n.method == document.MethodLowTemperature {
		n.time, n.known = d.duration("low-temperature-time-min"), f.Elevation != nil
		n.depth = f.WaterDepth(0) // 1 inch whatever its length (p. 6-5)
		return n
	}
	required := f.MinutesRequired()
	n.time, n.known = seconds(required.Here*60), required.HasHere
	if n.method == document.MethodBoilingWater {
		n.depth = f.WaterDepth(measure.Duration(n.time.Seconds()))
	}
	return n
}

func (d *Day) length(q *document.Quantity) (measure.Length, bool) {
	si, ok := d.facts.SI(q)
	return measure.Length(si), ok
}

func (d *Day) temperature(q *document.Quantity) (measure.Temperature, bool) {
	si, ok := d.facts.SI(q)
	return measure.Temperature(si), ok
}

// duration is a limit that is a length of time.
func (d *Day) duration(id string) time.Duration {
	si, _ := d.facts.Limit(id)
	return seconds(si)
}

func seconds(n float64) time.Duration { return time.Duration(math.Round(n * float64(time.Second))) }

// future reports whether a time lies after the question: it cannot have happened.
func (d *Day) future(at time.Time) bool { return d.hasAsOf && at.After(d.asOf.To) }

// happened reports whether a time is known and does not lie after the question.
func (d *Day) happened(at document.Time) bool { return at.Known && !d.future(at.Time) }

func (d *Day) load(name string) *load { return d.loadsNamed[name] }

// ids names jars by their ids, in the order of the request.
func (d *Day) ids(jars []int) []string {
	ids := make([]string, 0, len(jars))
	for _, i := range jars {
		ids = append(ids, d.jars[i].doc.ID)
	}
	return ids
}

// all lists the indices of all jars.
func (d *Day) all() []int {
	jars := make([]int, len(d.jars))
	for i := range jars {
		jars[i] = i
	}
	return jars
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

// written writes a time for programs: an RFC 3339 date-time in UTC.
func written(at time.Time) string {
	layout := "2006-01-02T15:04:05.000Z07:00"
	if at.Nanosecond() == 0 {
		layout = time.RFC3339
	}
	return at.UTC().Format(layout)
}

// clock writes a time for people, by the clocks of the labels.
func (d *Day) clock(at time.Time) string { return report.ClockTime(at.In(d.facts.Times.Zone)) }

func minutes(t time.Duration) string { return measure.FormatNumber(t.Minutes()) }

func hours(t time.Duration) string { return measure.FormatNumber(measure.Round(t.Hours(), 2)) }

func amountMinutes(t time.Duration) *report.Amount {
	return &report.Amount{Value: measure.Round(t.Minutes(), 2), Unit: "min"}
}

func amountHours(t time.Duration) *report.Amount {
	return &report.Amount{Value: measure.Round(t.Hours(), 2), Unit: "h"}
}
