package canningday

import (
	"cmp"
	"slices"

	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/moment"
)

// order is the order in which things happen that are logged for the same moment.
var order = []string{
	document.EventJarsIn, document.EventToppedUp, document.EventWaterLevel, document.EventTemperature, document.EventBoilReached,
	document.EventBoilLost, document.EventBoilRegained, document.EventHeatOff, document.EventLidOff, document.EventJarsOut,
}

// entry is one event of the log, with its time read.
type entry struct {
	*document.Event
	at    moment.Moment
	index int // in the request
}

// level is one reading of the water over the lids.
type level struct {
	at   moment.Moment
	over measure.Length
}

// heated is a stretch of time at the heat of the method without a break.
type heated struct{ from, to moment.Moment }

func (h heated) time() measure.Duration { return h.to.Since(h.from) }

// longest is the longest of some stretches, the first of equals; one of no length when there are none.
func longest(all []heated) heated {
	var best heated
	for _, h := range all {
		if h.time() > best.time() {
			best = h
		}
	}
	return best
}

// load is one canner load and what its log says.
type load struct {
	name     string
	entries  []entry // by time
	levels   []level // by time; the level of the whole batch first
	boils    []heated
	covered  []heated // boils while the water stood at the depth demanded
	breaks   []entry  // losses of the boil, or readings that are too cold
	shallow  []level  // readings below the depth demanded that cut into a boil
	disorder []disorder
	open     bool // the last boil has no end in the log
	ended    known
	first    known // of all its entries
	jars     []int // whose last process it was
}

// disorder is an event of the log that contradicts the others.
type disorder struct {
	index int // of the event in the request
	what  string
}

// known is a moment that may not be known.
type known struct {
	at moment.Moment
	ok bool
}

func sortEntries(entries []entry) {
	slices.SortStableFunc(entries, func(a, b entry) int {
		return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(slices.Index(order, a.Event.Event), slices.Index(order, b.Event.Event)))
	})
}

// readBoils goes through the log of a load and finds the stretches of unbroken boil. A boil begins when it is reached or
// regained and ends when it is lost, when the heat or the lid is taken away or the jars are taken out. That the heat was
// still on until then is only known when the log says when it was turned off; a boil whose end is not logged does not
// count. Whatever contradicts the rest is recorded as disorder and never gives a longer boil.
func (l *load) readBoils() {
	var began, cut known // cut: the lid came off or the jars out while the heat was on
	lost, off, out, reached := false, false, false, false
	wrong := func(e entry, what string) { l.disorder = append(l.disorder, disorder{e.index, what}) }
	end := func(at moment.Moment) {
		if cut.ok {
			at = cut.at
		}
		if began.ok {
			l.boils = append(l.boils, heated{began.at, at})
		}
		began, cut = known{}, known{}
	}
	for _, e := range l.entries {
		switch e.Event.Event {
		case document.EventJarsIn:
			if reached || off || out {
				wrong(e, "the jars went in after the boil had begun")
			}
		case document.EventToppedUp:
			if off || out {
				wrong(e, "water was added after the heat was off")
			}
		case document.EventBoilReached, document.EventBoilRegained:
			regained := e.Event.Event == document.EventBoilRegained
			switch {
			case off || out:
				wrong(e, "it boiled after the heat was off or the jars were out")
				continue
			case began.ok:
				wrong(e, "the boil began again without having been lost")
			case regained && !lost:
				wrong(e, "the boil was regained without having been reached and lost")
				continue
			}
			began, cut, lost, reached = known{e.at, true}, known{}, false, true
		case document.EventBoilLost:
			if !began.ok {
				wrong(e, "a boil was lost that had not begun")
				continue
			}
			end(e.at)
			l.breaks, lost = append(l.breaks, e), true
		case document.EventHeatOff:
			if off {
				wrong(e, "the heat was turned off twice")
				continue
			}
			if !reached {
				wrong(e, "the heat was turned off before a boil was reached")
			}
			end(e.at)
			off, l.ended = true, known{e.at, true}
		case document.EventLidOff, document.EventJarsOut:
			if began.ok && !cut.ok {
				cut = known{e.at, true}
			}
			if e.Event.Event == document.EventJarsOut {
				if out {
					wrong(e, "the jars were taken out twice")
				}
				out = true
			}
		}
	}
	l.open = began.ok
}

// readHolds finds, in place of boils, the stretches in which every reading of the water is at least so warm. They end with
// a reading: what the water did after the last one nobody saw.
func (l *load) readHolds(least measure.Temperature, temperature func(*document.Quantity) (measure.Temperature, bool)) {
	var from, to known
	end := func() {
		if from.ok && to.at > from.at {
			l.boils = append(l.boils, heated{from.at, to.at})
		}
		from, to = known{}, known{}
	}
	for _, e := range l.entries {
		if e.Event.Event == document.EventHeatOff || e.Event.Event == document.EventJarsOut {
			end()
			if !l.ended.ok {
				l.ended = known{e.at, true}
			}
			continue
		}
		read, ok := temperature(e.Temperature)
		switch {
		case !ok:
		case read < least:
			if from.ok {
				l.breaks = append(l.breaks, e)
			}
			end()
		default:
			if !from.ok {
				from = known{e.at, true}
			}
			to = known{e.at, true}
		}
	}
	end()
}

// lowest sorts water levels by time and keeps the lowest of those read at one moment.
func lowest(levels []level) []level {
	slices.SortFunc(levels, func(a, b level) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.over, b.over)) })
	return slices.CompactFunc(levels, func(a, b level) bool { return a.at == b.at })
}

// readCover keeps of each boil what lies between readings of enough water. Water falls by boiling away, so enough at one
// reading stays enough until it is read again, and once too little was read nothing is known since the last good reading.
func (l *load) readCover(depth measure.Length) {
	var covers []heated
	var open, last known
	for _, r := range l.levels {
		enough := r.over >= depth
		switch {
		case enough && !open.ok:
			open, last = known{r.at, true}, known{r.at, true}
		case enough:
			last = known{r.at, true}
		case open.ok:
			covers = append(covers, heated{open.at, last.at})
			open = known{}
		}
		if !enough && slices.ContainsFunc(l.boils, func(b heated) bool { return r.at <= b.to && (r.at >= b.from || r.at == moment.Earliest) }) {
			l.shallow = append(l.shallow, r)
		}
	}
	if open.ok {
		covers = append(covers, heated{open.at, moment.Latest})
	}
	for _, b := range l.boils {
		for _, c := range covers {
			if from, to := max(b.from, c.from), min(b.to, c.to); to > from {
				l.covered = append(l.covered, heated{from, to})
			}
		}
	}
}
