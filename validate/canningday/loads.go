package canningday

import (
	"math"
	"slices"
	"strings"
	"time"

	"jarwright/validate/document"
)

// readLoads sorts the events into their loads and reads each log. Events after the moment of the question have not
// happened and are left out; judgeOrder names them.
func (d *Day) readLoads() {
	d.loadsNamed = map[string]*load{}
	for i := range d.events {
		e := &d.events[i]
		l := d.addLoad(e.doc.Load)
		if !d.happened(e.at) {
			continue
		}
		read := entry{Event: e.doc, at: e.at.Time, index: i, order: slices.Index(order, e.doc.Event), warm: math.Inf(1)}
		if temperature, ok := d.temperature(e.doc.Temperature); ok {
			read.warm = float64(temperature)
		}
		l.entries = append(l.entries, read)
	}
	for _, l := range d.loads {
		sortEntries(l.entries)
	}
	d.shareOut()
	slices.SortFunc(d.loads, func(a, b *load) int { return strings.Compare(a.name, b.name) })
	for _, l := range d.loads {
		if !l.others {
			d.readLoad(l)
		}
	}
}

// addLoad gives the load of a name, a new one when there was none.
func (d *Day) addLoad(name string) *load {
	l := d.loadsNamed[name]
	if l == nil {
		l = &load{name: name}
		d.loadsNamed[name] = l
		d.loads = append(d.loads, l)
	}
	return l
}

// loadsOfJars are the names of the loads that jars were in first, with the empty one where a jar names none, and of those of
// their second processes.
func (d *Day) loadsOfJars() (first, again map[string]bool) {
	first, again = map[string]bool{}, map[string]bool{}
	for i := range d.record.Jars {
		jar := &d.record.Jars[i]
		first[jar.Load] = true
		if jar.Reprocessed != nil {
			again[jar.Reprocessed.Load] = true
		}
	}
	return first, again
}

// shareOut gives the events that name no load to every load of the day. What names a load in which no boil began, or one that
// no jar was in, counts as naming none, so that a slip of the pen cannot take a lost boil out of the record; but a whole
// process of a load that no jar was in was that of jars that are not listed.
//
// Where one load was logged there is no doubt. Where there were several, such an event belongs to the one load that was in
// the canner at its time; where that cannot be told it counts against each, but shows no boil and no depth of water.
func (d *Day) shareOut() {
	first, again := d.loadsOfJars()
	var unnamed, strays []entry
	var apart []*load
	for _, l := range d.loads {
		switch {
		case l.name == "":
			unnamed = l.entries
		case (first[l.name] || again[l.name]) && d.begins(l):
			apart, d.manyLoads = append(apart, l), d.manyLoads || first[l.name]
		case !first[l.name] && !again[l.name] && d.isWhole(l):
			l.others, d.manyLoads = true, true
			apart = append(apart, l)
		default:
			strays = append(strays, l.entries...)
		}
	}
	d.loads, d.loadsNamed = apart, map[string]*load{}
	for _, l := range apart {
		d.loadsNamed[l.name] = l
	}
	shared := slices.Concat(unnamed, strays)
	switch {
	case len(d.events) == 0:
	case len(apart) == 0:
		d.oneLoad(shared, first)
	case len(apart) == 1 && onlyOf(apart[0].name, first, again):
		apart[0].entries = append(apart[0].entries, shared...)
		sortEntries(apart[0].entries)
	default:
		d.poolOf(unnamed, first)
		d.shareByTime(shared)
	}
}

// poolOf makes a load of the events that name none, of the jars that name none; where no other process was a first one, also
// of those whose load was not logged.
func (d *Day) poolOf(unnamed []entry, first map[string]bool) {
	if len(unnamed) == 0 || d.manyLoads && !first[""] {
		return
	}
	pool := d.addLoad("")
	pool.entries = slices.Clone(unnamed)
	for name := range first {
		if !d.manyLoads {
			d.loadsNamed[name] = pool
		}
	}
}

// oneLoad makes one load of all that was logged, in which all jars were.
func (d *Day) oneLoad(entries []entry, names map[string]bool) {
	l := &load{entries: entries}
	sortEntries(l.entries)
	d.loads = []*load{l}
	for name := range names {
		d.loadsNamed[name] = l
		if len(names) == 1 {
			l.name = name
		}
	}
}

// onlyOf reports whether some names are one and the same.
func onlyOf(name string, all ...map[string]bool) bool {
	for _, names := range all {
		for other := range names {
			if other != name {
				return false
			}
		}
	}
	return true
}

// begins reports whether a boil began in a load, or the water was read where that is what shows the heat.
func (d *Day) begins(l *load) bool {
	byReadings := d.requirement.method == document.MethodLowTemperature
	return slices.ContainsFunc(l.entries, func(e entry) bool {
		return e.Event.Event == document.EventBoilReached || e.Event.Event == document.EventBoilRegained || byReadings && !math.IsInf(e.warm, 1)
	})
}

// isWhole reports whether the events of a load make a process with a beginning and an end, and do not contradict each other.
func (d *Day) isWhole(l *load) bool {
	alone := load{entries: l.entries}
	d.readHeat(&alone)
	return len(alone.boils) > 0 && alone.ended.Known && len(alone.disorder) == 0
}

// span is the time in which the events of a load lie.
type span struct{ from, to time.Time }

func (s span) holds(at time.Time) bool { return !at.Before(s.from) && !at.After(s.to) }

// spanOf is from the first event of a load to its last; where none of them ends the process, it goes on.
func spanOf(entries []entry) span {
	s := span{entries[0].at, latest}
	if slices.ContainsFunc(entries, func(e entry) bool {
		return e.Event.Event == document.EventHeatOff || e.Event.Event == document.EventJarsOut
	}) {
		s.to = entries[len(entries)-1].at
	}
	return s
}

// shareByTime gives events that name no load to the loads that were in the canner at their time, or to every load when none
// was. There are at most a few hundred events in a record, so that each may be held against each load.
func (d *Day) shareByTime(shared []entry) {
	var loads []*load
	var spans []span
	for _, l := range d.loads {
		if len(l.entries) > 0 {
			loads, spans = append(loads, l), append(spans, spanOf(l.entries))
		}
	}
	for _, e := range shared {
		inside := 0
		for _, s := range spans {
			if s.holds(e.at) {
				inside++
			}
		}
		e.vague = inside != 1
		for i, l := range loads {
			if !l.others && l.name != e.Load && (inside == 0 || spans[i].holds(e.at)) {
				l.entries = append(l.entries, e)
			}
		}
	}
	for _, l := range loads {
		sortEntries(l.entries)
	}
}
