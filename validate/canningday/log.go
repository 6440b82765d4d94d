package canningday

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
)

// order is the order in which things happen that are logged for the same moment.
var order = []string{
	document.EventJarsIn, document.EventToppedUp, document.EventWaterLevel, document.EventTemperature, document.EventBoilReached,
	document.EventBoilLost, document.EventBoilRegained, document.EventHeatOff, document.EventLidOff, document.EventJarsOut,
}

// event is one event of the log as it was sent.
type event struct {
	doc *document.Event
	at  document.Time
}

// entry is an event that has happened, in the log of its load.
type entry struct {
	*document.Event
	at    time.Time
	index int // in the request
}

// level is one reading of the water over the lids.
type level struct {
	at   time.Time
	over measure.Length
}

// interval is a stretch of time at the heat of the method without a break.
type interval struct{ from, to time.Time }

func (i interval) length() time.Duration { return i.to.Sub(i.from) }

// longest is the longest of some intervals, the first of equals; one of no length when there are none.
func longest(all []interval) interval {
	var best interval
	for _, i := range all {
		if i.length() > best.length() {
			best = i
		}
	}
	return best
}

// load is one canner load and what its log says.
type load struct {
	name     string
	entries  []entry // by time
	levels   []level // by time; the level of the whole day first
	boils    []interval
	covered  []interval // boils while the water stood at the depth demanded
	breaks   []entry    // losses of the boil, or readings that are too cold
	shallow  []level    // readings below the depth demanded that cut into a boil
	disorder []disorder
	open     bool          // the last boil has no end in the log
	ended    document.Time // the heat was off
	first    document.Time // of all its entries
	jars     []int         // whose last process it was
	isFirst  bool          // the first process of a jar
}

// disorder is an event of the log that contradicts the others.
type disorder struct {
	index int // of the event in the request
	what  string
}

func (l *load) contradicts(e entry, what string) {
	l.disorder = append(l.disorder, disorder{e.index, what})
}

// readLoads sorts the events into their loads and reads each log. Events after the moment of the question have not
// happened and are left out; judgeOrder names them.
func (d *Day) readLoads() {
	d.loadsNamed = map[string]*load{}
	for i := range d.events {
		e := &d.events[i]
		l := d.loadsNamed[e.doc.Load]
		if l == nil {
			l = &load{name: e.doc.Load}
			d.loadsNamed[e.doc.Load] = l
			d.loads = append(d.loads, l)
		}
		if d.happened(e.at) {
			l.entries = append(l.entries, entry{e.doc, e.at.Time, i})
		}
	}
	slices.SortFunc(d.loads, func(a, b *load) int { return strings.Compare(a.name, b.name) })
	for _, l := range d.loads {
		d.readLoad(l)
	}
}

func (d *Day) readLoad(l *load) {
	sortEntries(l.entries)
	if len(l.entries) > 0 {
		l.first = document.KnownTime(l.entries[0].at)
	}
	if over, ok := d.length(d.record.WaterOverLids); ok {
		l.levels = append(l.levels, level{earliest, over})
	}
	for _, e := range l.entries {
		if over, ok := d.length(e.WaterOverLids); ok {
			l.levels = append(l.levels, level{e.at, over})
		}
	}
	l.levels = lowest(l.levels)
	if d.requirement.method == document.MethodLowTemperature {
		least, _ := d.facts.Limit("low-temperature-min")
		l.readHolds(measure.Temperature(least-d.tolerance(catalog.TemperatureTolerance)), d.temperature)
	} else {
		l.readBoils()
		d.dropColdBoils(l)
	}
	if d.requirement.depth > 0 {
		l.readCover(d.requirement.depth * (1 - measure.Length(d.tolerance(catalog.DepthTolerance))))
	} else {
		l.covered = l.boils
	}
}

func sortEntries(entries []entry) {
	slices.SortStableFunc(entries, func(a, b entry) int {
		return cmp.Or(a.at.Compare(b.at), cmp.Compare(slices.Index(order, a.Event.Event), slices.Index(order, b.Event.Event)))
	})
}

// boilReader goes through the log of a load and finds the intervals of unbroken boil. A boil begins when it is reached or
// regained and ends when it is lost, when the heat or the lid is taken away or the jars are taken out. That the heat was
// still on until then is only known when the log says when it was turned off; a boil whose end is not logged does not
// count. Whatever contradicts the rest is recorded as disorder and never gives a longer boil.
type boilReader struct {
	load                        *load
	began                       document.Time // of the boil that goes on
	cut                         document.Time // when the lid came off or the jars out while the heat was on
	reached, lost, off, jarsOut bool
}

func (l *load) readBoils() {
	r := boilReader{load: l}
	for _, e := range l.entries {
		switch e.Event.Event {
		case document.EventJarsIn:
			if r.reached || r.off || r.jarsOut {
				l.contradicts(e, "the jars went in after the boil had begun")
			}
		case document.EventToppedUp:
			if r.off || r.jarsOut {
				l.contradicts(e, "water was added after the heat was off")
			}
		case document.EventBoilReached, document.EventBoilRegained:
			r.begin(e)
		case document.EventBoilLost:
			r.lose(e)
		case document.EventHeatOff:
			r.turnOff(e)
		case document.EventLidOff, document.EventJarsOut:
			r.takeOut(e)
		}
	}
	l.open = r.began.Known
}

func (r *boilReader) begin(e entry) {
	regained := e.Event.Event == document.EventBoilRegained
	switch {
	case r.off || r.jarsOut:
		r.load.contradicts(e, "it boiled after the heat was off or the jars were out")
		return
	case r.began.Known:
		r.load.contradicts(e, "the boil began again without having been lost")
	case regained && !r.lost:
		r.load.contradicts(e, "the boil was regained without having been reached and lost")
		return
	}
	r.began, r.cut, r.lost, r.reached = document.KnownTime(e.at), document.Time{}, false, true
}

func (r *boilReader) lose(e entry) {
	if !r.began.Known {
		r.load.contradicts(e, "a boil was lost that had not begun")
		return
	}
	r.end(e.at)
	r.load.breaks, r.lost = append(r.load.breaks, e), true
}

func (r *boilReader) turnOff(e entry) {
	if r.off {
		r.load.contradicts(e, "the heat was turned off twice")
		return
	}
	if !r.reached {
		r.load.contradicts(e, "the heat was turned off before a boil was reached")
	}
	r.end(e.at)
	r.off, r.load.ended = true, document.KnownTime(e.at)
}

// takeOut notes that the lid or the jars are taken away.
func (r *boilReader) takeOut(e entry) {
	if r.began.Known && !r.cut.Known {
		r.cut = document.KnownTime(e.at)
	}
	if e.Event.Event != document.EventJarsOut {
		return
	}
	if r.jarsOut {
		r.load.contradicts(e, "the jars were taken out twice")
	}
	r.jarsOut = true
}

// end ends the boil that goes on, at a time or earlier where it was cut short.
func (r *boilReader) end(at time.Time) {
	if r.cut.Known {
		at = r.cut.Time
	}
	if r.began.Known {
		r.load.boils = append(r.load.boils, interval{r.began.Time, at})
	}
	r.began, r.cut = document.Time{}, document.Time{}
}

// readHolds finds, in place of boils, the intervals in which every reading of the water is at least so warm. They end with
// a reading, because how warm the water was after the last one is not known.
func (l *load) readHolds(least measure.Temperature, temperature func(*document.Quantity) (measure.Temperature, bool)) {
	var from, to document.Time
	end := func() {
		if from.Known && to.After(from.Time) {
			l.boils = append(l.boils, interval{from.Time, to.Time})
		}
		from, to = document.Time{}, document.Time{}
	}
	for _, e := range l.entries {
		if e.Event.Event == document.EventHeatOff || e.Event.Event == document.EventJarsOut {
			end()
			if !l.ended.Known {
				l.ended = document.KnownTime(e.at)
			}
			continue
		}
		read, ok := temperature(e.Temperature)
		switch {
		case !ok:
		case read < least:
			if from.Known {
				l.breaks = append(l.breaks, e)
			}
			end()
		default:
			if !from.Known {
				from = document.KnownTime(e.at)
			}
			to = document.KnownTime(e.at)
		}
	}
	end()
}

// lowest sorts water levels by time and keeps the lowest of those read at one moment.
func lowest(levels []level) []level {
	slices.SortFunc(levels, func(a, b level) int { return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.over, b.over)) })
	return slices.CompactFunc(levels, func(a, b level) bool { return a.at.Equal(b.at) })
}

// readCover keeps of each boil what lies between readings of enough water. Water falls by boiling away, so enough at one
// reading stays enough until it is read again, and once too little was read nothing is known since the last good reading.
func (l *load) readCover(depth measure.Length) {
	var covers []interval
	var open, last document.Time
	for _, r := range l.levels {
		enough := r.over >= depth
		switch {
		case enough && !open.Known:
			open, last = document.KnownTime(r.at), document.KnownTime(r.at)
		case enough:
			last = document.KnownTime(r.at)
		case open.Known:
			covers = append(covers, interval{open.Time, last.Time})
			open = document.Time{}
		}
		if !enough && slices.ContainsFunc(l.boils, r.cutsInto) {
			l.shallow = append(l.shallow, r)
		}
	}
	if open.Known {
		covers = append(covers, interval{open.Time, latest})
	}
	for _, b := range l.boils {
		for _, c := range covers {
			if from, to := later(b.from, c.from), earlier(b.to, c.to); to.After(from) {
				l.covered = append(l.covered, interval{from, to})
			}
		}
	}
}

// cutsInto reports whether a reading was taken during a boil, or holds for the whole day.
func (r level) cutsInto(boil interval) bool {
	if r.at.Equal(earliest) {
		return true
	}
	return !r.at.Before(boil.from) && !r.at.After(boil.to)
}
