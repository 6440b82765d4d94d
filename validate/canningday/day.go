// Package batch judges the record of one canning day jar by jar: which boil held long enough under enough water, which seal
// is good, whether the acid was measured as it has to be, and what becomes of each jar by when. A jar is fit for the shelf
// only on positive evidence. The package holds no clock and refuses to guess: what the log lacks or contradicts is named.
package canningday

import (
	"fmt"
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/measure"
	"jarwright/validate/moment"
	"jarwright/validate/report"
)

// day is the record of a canning day, read.
type day struct {
	facts    *facts.Facts
	record   *document.Batch
	asked    bool        // as_of is given
	now      moment.Span // when the question is asked; without as_of any time after the last that is recorded
	offset   int         // minutes ahead of UTC, for dates on labels
	packed   known
	need     need
	loads    []*load // by name
	jars     []jar
	readings []reading
	remarks  []remark
}

// need is what the jars have to go through.
type need struct {
	applies bool // jars for the shelf, heated in a way that has a process
	method  string
	known   bool
	time    measure.Duration
	depth   measure.Length // of water over the lids; 0: none, in steam
}

// remark is what one rule says of one place, and of which jars.
type remark struct {
	rule string
	jars []int // indices; nil: all
	facts.Finding
}

func (r *remark) on(jar int) bool { return r.jars == nil || slices.Contains(r.jars, jar) }

// read reads the record of a request; nil when it has none.
func read(f *facts.Facts) *day {
	if f.Request.Batch == nil {
		return nil
	}
	d := &day{facts: f, record: f.Request.Batch}
	d.packed.at, d.packed.ok = moment.Parse(d.record.PackedAt)
	d.offset, _ = moment.ParseOffset(d.record.UTCOffset)
	d.now, d.asked = moment.ParseSpan(f.Request.AsOf)
	if !d.asked {
		d.now = moment.Span{From: d.lastRecorded(), To: moment.Latest}
	}
	d.need = d.readNeed()
	d.readLoads()
	d.readJars()
	d.readReadings()
	d.remarkOrder()
	d.remarkProcess()
	d.remarkJars()
	d.remarkAcid()
	d.remarkKeeping()
	return d
}

// Remarks is what the record of the canning day gives the rules to say; none when the request has no record.
func Remarks(f *facts.Facts) (remarks []facts.Remark, phMeasured bool) {
	d := read(f)
	if d == nil {
		return nil, false
	}
	remarks = make([]facts.Remark, len(d.remarks))
	for i := range d.remarks {
		remarks[i] = facts.Remark{Rule: d.remarks[i].rule, Finding: d.remarks[i].Finding}
	}
	return remarks, d.measured()
}

// lastRecorded is the latest moment of the record: the document was written after it.
func (d *day) lastRecorded() moment.Moment {
	latest := moment.Earliest
	note := func(text string) {
		if at, ok := moment.Parse(text); ok {
			latest = max(latest, at)
		}
	}
	note(d.record.PackedAt)
	for i := range d.record.Events {
		note(d.record.Events[i].At)
	}
	for i := range d.record.Jars {
		j := &d.record.Jars[i]
		note(j.OpenedAt)
		for k := range j.SealChecks {
			note(j.SealChecks[k].At)
		}
		for k := range j.Kept {
			note(j.Kept[k].From)
		}
	}
	for i := range d.record.PHReadings {
		note(d.record.PHReadings[i].At)
	}
	return latest
}

// readNeed finds what the tested recipe asks of the process at the elevation of the day. The elevation has to be known,
// also where the printed time is the same everywhere.
func (d *day) readNeed() need {
	f := d.facts
	n := need{method: f.Method()}
	n.applies = f.ForShelf() && f.Match.Recipe != nil &&
		slices.Contains([]string{document.MethodBoilingWater, document.MethodSteam, document.MethodLowTemperature}, n.method)
	if !n.applies {
		return n
	}
	if n.method == document.MethodLowTemperature {
		least, _ := f.Limit("low-temperature-time-min")
		n.time, n.known = measure.Duration(least), f.Elevation != nil
		n.depth = f.WaterDepth(0) // 1 inch whatever its length (p. 6-5)
		return n
	}
	required := f.MinutesRequired()
	n.time, n.known = measure.Duration(required.Here)*measure.Minute, required.HasHere
	if n.method == document.MethodBoilingWater {
		n.depth = f.WaterDepth(n.time)
	}
	return n
}

func (d *day) length(q *document.Quantity) (measure.Length, bool) {
	si, ok := d.facts.SI(q)
	return measure.Length(si), ok
}

func (d *day) temperature(q *document.Quantity) (measure.Temperature, bool) {
	si, ok := d.facts.SI(q)
	return measure.Temperature(si), ok
}

// hours is a limit that is a length of time.
func (d *day) hours(id string) measure.Duration {
	si, _ := d.facts.Limit(id)
	return measure.Duration(si)
}

// readLoads sorts the events into their loads and reads each log. Events after the moment of the question have not
// happened and are left out; remarkOrder names them.
func (d *day) readLoads() {
	byName := map[string]*load{}
	for i := range d.record.Events {
		e := &d.record.Events[i]
		l := byName[e.Load]
		if l == nil {
			l = &load{name: e.Load}
			byName[e.Load] = l
			d.loads = append(d.loads, l)
		}
		if at, ok := moment.Parse(e.At); ok && !d.future(at) {
			l.entries = append(l.entries, entry{e, at, i})
		}
	}
	slices.SortFunc(d.loads, func(a, b *load) int { return strings.Compare(a.name, b.name) })
	for _, l := range d.loads {
		d.readLoad(l)
	}
}

func (d *day) readLoad(l *load) {
	sortEntries(l.entries)
	if len(l.entries) > 0 {
		l.first = known{l.entries[0].at, true}
	}
	if over, ok := d.length(d.record.WaterOverLids); ok {
		l.levels = append(l.levels, level{moment.Earliest, over})
	}
	for _, e := range l.entries {
		if over, ok := d.length(e.WaterOverLids); ok {
			l.levels = append(l.levels, level{e.at, over})
		}
	}
	l.levels = lowest(l.levels)
	if d.need.method == document.MethodLowTemperature {
		least, _ := d.facts.Limit("low-temperature-min")
		l.readHolds(measure.Temperature(least-d.tolerance(catalog.TemperatureTolerance)), d.temperature)
	} else {
		l.readBoils()
		l.remarkCold(d)
	}
	if d.need.depth > 0 {
		l.readCover(d.need.depth * (1 - measure.Length(d.tolerance(catalog.DepthTolerance))))
	} else {
		l.covered = l.boils
	}
}

// tolerance is by how much a measure may miss, in SI units or as a fraction.
func (d *day) tolerance(id catalog.Tolerance) float64 { return d.facts.Tolerance(id) }

func (d *day) timeTolerance() measure.Duration {
	return measure.Duration(d.tolerance(catalog.TimeTolerance))
}

// future reports whether a moment lies after the question: it cannot have happened.
func (d *day) future(at moment.Moment) bool { return d.asked && at > d.now.To }

func (d *day) load(name string) *load {
	for _, l := range d.loads {
		if l.name == name {
			return l
		}
	}
	return nil
}

// say records a remark.
func (d *day) say(id string, jars []int, outcome report.Outcome, at, message, remedy string) *remark {
	d.remarks = append(d.remarks, remark{rule: id, jars: jars, Finding: facts.Finding{Outcome: outcome, At: at, Message: message, Remedy: remedy}})
	return &d.remarks[len(d.remarks)-1]
}

// ids names jars by their ids, in the order of the request.
func (d *day) ids(jars []int) []string {
	ids := make([]string, 0, len(jars))
	for _, i := range jars {
		ids = append(ids, d.jars[i].doc.ID)
	}
	return ids
}

// all lists the indices of all jars.
func (d *day) all() []int {
	jars := make([]int, len(d.jars))
	for i := range jars {
		jars[i] = i
	}
	return jars
}

func minutes(t measure.Duration) string { return measure.FormatNumber(t.Minutes()) }

func amountMinutes(t measure.Duration) *report.Amount {
	return &report.Amount{Value: roundTo(t.Minutes(), 2), Unit: "min"}
}

func amountHours(t measure.Duration) *report.Amount {
	return &report.Amount{Value: roundTo(t.Minutes()/60, 2), Unit: "h"}
}

func pointer(parts ...any) string {
	var b strings.Builder
	for _, part := range parts {
		fmt.Fprintf(&b, "/%v", part)
	}
	return b.String()
}
