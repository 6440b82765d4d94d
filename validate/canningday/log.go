package canningday

import (
	"cmp"
	"fmt"
	"slices"
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
	index int     // in the request
	order int     // among events of the same moment
	warm  float64 // temperature of the water in kelvin; infinite: not read
	vague bool    // it names no load, and more than one may have been in the canner: it counts against each and speaks for none
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
	users    []int         // whose first process it was, or whose last
	isFirst  bool          // the first process of a jar
	others   bool          // no jar of the record was in it
}

// disorder is an event of the log that contradicts the others, or that cannot be placed.
type disorder struct {
	index        int // of the event in the request
	what, remedy string
}

func (l *load) contradicts(e entry, what string) {
	message := fmt.Sprintf("The log%s contradicts itself: %s.", ofLoad(l.name), what)
	const remedy = "Put the times and kinds of the events right, and where the day had several loads give each event its own (load)."
	l.disorder = append(l.disorder, disorder{e.index, message, remedy})
}

func (d *Day) readLoad(l *load) {
	if len(l.entries) > 0 {
		l.first = document.KnownTime(l.entries[0].at)
	}
	if over, ok := d.length(d.record.WaterOverLids); ok {
		l.levels = append(l.levels, level{earliest, over})
	}
	depth := d.requirement.depth * (1 - measure.Length(d.tolerance(catalog.DepthTolerance)))
	for _, e := range l.entries {
		if over, ok := d.length(e.WaterOverLids); ok && !(e.vague && over >= depth) {
			l.levels = append(l.levels, level{e.at, over})
		}
	}
	l.levels = lowest(l.levels)
	d.readHeat(l)
	if d.requirement.depth > 0 {
		l.readCover(depth)
	} else {
		l.covered = l.boils
	}
}

// readHeat finds the stretches of time at the heat of the method.
func (d *Day) readHeat(l *load) {
	if d.requirement.method == document.MethodLowTemperature {
		least, _ := d.facts.Limit("low-temperature-min")
		l.readHolds(measure.Temperature(least-d.tolerance(catalog.TemperatureTolerance)), d.temperature)
		return
	}
	l.readBoils()
	d.dropColdBoils(l)
}

// sortEntries sorts events by time, by the order in which things happen, and the coldest reading first.
func sortEntries(entries []entry) {
	slices.SortStableFunc(entries, func(a, b entry) int {
		return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.order, b.order), cmp.Compare(a.warm, b.warm))
	})
}

// boilReader goes through the log of a load and finds the intervals of unbroken boil. A boil begins when it is reached or
// regained and ends when it is lost, when the heat or the lid is taken away or the jars are taken out. That the heat was
// still on until then is only known when the log says when it was turned off; a boil whose end is not logged does not
// count. Whatever contradicts the rest is recorded as disorder and never gives a longer boil.
type boilReader struct {
	load                        *load
	began                       document.Time // of the boil that goes on
	vague                       bool          // it is not sure that it was this load's
	cut                         document.Time // when the lid came off or the jars out while the heat was on
	reached, lost, off, jarsOut bool
}

// saidTwice is what a log says when an event stands in it a second time for the same moment.
var saidTwice = map[string]string{
	document.EventBoilReached: "the boil was reached", document.EventBoilLost: "the boil was lost",
	document.EventBoilRegained: "the boil was regained", document.EventHeatOff: "the heat was turned off",
	document.EventJarsOut: "the jars were taken out",
}

// repeats names an event that stands twice for the same moment, next to the first in the order of time.
func (l *load) repeats(i int) bool {
	if i == 0 || l.entries[i].Event.Event != l.entries[i-1].Event.Event || !l.entries[i].at.Equal(l.entries[i-1].at) {
		return false
	}
	words, decides := saidTwice[l.entries[i].Event.Event]
	if decides {
		message := fmt.Sprintf("The log%s says twice, for the same moment, that %s.", ofLoad(l.name), words)
		l.disorder = append(l.disorder, disorder{l.entries[i].index, message, "Take one of the two out, or put its time right."})
	}
	return decides
}

func (l *load) readBoils() {
	r := boilReader{load: l}
	for i, e := range l.entries {
		if l.repeats(i) {
			continue
		}
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
	r.began, r.cut, r.lost, r.reached, r.vague = document.KnownTime(e.at), document.Time{}, false, true, e.vague
}

func (r *boilReader) lose(e entry) {
	if !r.began.Known {
		r.load.contradicts(e, "a boil was lost that had not begun")
		return
	}
	r.end(e)
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
	r.end(e)
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

// end ends the boil that goes on, with an event or earlier where it was cut short. Of which load an event was must be sure at
// both ends, else the boil is nobody's.
func (r *boilReader) end(e entry) {
	at := e.at
	if r.cut.Known {
		at = r.cut.Time
	}
	switch {
	case !r.began.Known:
	case r.vague || e.vague:
		const message = "The log does not say of which load the boil began or ended here, and more than one may have been in the canner."
		r.load.disorder = append(r.load.disorder, disorder{e.index, message, "Give each event the load that it belongs to (load)."})
	default:
		r.load.boils = append(r.load.boils, interval{r.began.Time, at})
	}
	r.began, r.cut, r.vague = document.Time{}, document.Time{}, false
}

// readHolds finds, in place of boils, the intervals in which every reading of the water is at least so warm. They end with
// a reading, because how warm the water was after the last one is not known. Of several readings at one moment the coldest
// counts, which stands first; one of which the load is not sure counts only where it is too cold.
func (l *load) readHolds(least measure.Temperature, temperature func(*document.Quantity) (measure.Temperature, bool)) {
	var from, before, to document.Time // the first warm reading, the last but one, the last
	end := func() {
		if from.Known && to.After(from.Time) {
			l.boils = append(l.boils, interval{from.Time, to.Time})
		}
		from, before, to = document.Time{}, document.Time{}, document.Time{}
	}
	var cold document.Time // the last reading that was too cold
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
			if to.Known && to.Equal(e.at) {
				to = before
			}
			cold = document.KnownTime(e.at)
			end()
		case e.vague, cold.Known && cold.Equal(e.at):
		default:
			if !from.Known {
				from = document.KnownTime(e.at)
			}
			if !to.Known || !to.Equal(e.at) {
				before, to = to, document.KnownTime(e.at)
			}
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
