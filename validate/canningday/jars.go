package canningday

import (
	"cmp"
	"slices"

	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/moment"
	"jarwright/validate/report"
)

// seal is what the counted checks of a jar say.
type seal int

const (
	unchecked seal = iota
	early          // looked at, but before the jar had cooled
	unclear        // looked at, and no sign of it written down, or none that decides
	good
	failed
)

// place is where a jar stood when the time for processing it again ran out.
type place int

const (
	unknownPlace place = iota
	coldPlace          // in the refrigerator or freezer by then, and not taken out since
	warmPlace
)

// jar is one jar, read.
type jar struct {
	doc      *document.BatchJar
	at       string // its JSON Pointer
	first    *load  // of its first process; nil: its load has no events
	last     *load  // of its last
	began    known  // the end of its first process, from which the hours are counted; when that is not known, the beginning
	ended    known  // the end of its last process
	deadline known  // until when it may be processed again
	seal     seal
	checked  known // the first look that counts
	signs    []string
	opened   bool
	place    place
	cold     known // since when it has been in the refrigerator or freezer
	eaten    known // since when it has been in the refrigerator and not frozen, to be eaten soon
	future   bool  // something on it is dated after the question, or its date cannot be read
}

func (d *day) readJars() {
	d.jars = make([]jar, len(d.record.Jars))
	for i := range d.jars {
		doc := &d.record.Jars[i]
		j := &d.jars[i]
		*j = jar{doc: doc, at: pointer("batch", "jars", i), first: d.load(doc.Load), signs: slices.Clone(doc.SpoilageSigns)}
		j.last = j.first
		if doc.Reprocessed != nil {
			j.last = d.load(doc.Reprocessed.Load)
		}
		if j.last != nil {
			j.last.jars = append(j.last.jars, i)
			j.ended = j.last.ended
		}
		j.began = d.beginning(j.first)
		if j.began.ok {
			j.deadline = known{j.began.at.Add(d.hours("reprocess-window")), true}
		}
		d.readSeal(j)
		d.readPlace(j)
		at, ok := moment.Parse(doc.OpenedAt)
		j.opened = ok && !d.future(at)
		j.future = j.future || doc.OpenedAt != "" && (!ok || d.future(at))
		slices.Sort(j.signs)
		j.signs = slices.Compact(j.signs)
	}
}

// beginning is the moment from which the hours of a jar are counted: the end of its process; where that is not known,
// something earlier, so that the hours are not too long.
func (d *day) beginning(l *load) known {
	switch {
	case l != nil && l.ended.ok:
		return l.ended
	case l != nil && l.first.ok && (!d.packed.ok || l.first.at < d.packed.at):
		return l.first
	}
	return d.packed
}

// readSeal reads the seal checks after the last process. Before the jar has cooled a good sign means nothing and a
// springing center may still go down, but liquid or gas that comes out is what it is.
func (d *day) readSeal(j *jar) {
	cooled := d.hours("seal-check-min")
	lastMoment := j.ended
	if !lastMoment.ok && j.last != nil && len(j.last.entries) > 0 {
		lastMoment = known{j.last.entries[len(j.last.entries)-1].at, true}
	}
	for k := range j.doc.SealChecks {
		check := &j.doc.SealChecks[k]
		at, ok := moment.Parse(check.At)
		if !ok || d.future(at) {
			j.future = true
			continue
		}
		if check.Lid == document.LidBulging {
			j.signs = append(j.signs, document.SignBulgingLid)
		}
		if j.doc.Reprocessed != nil && lastMoment.ok && at < lastMoment.at {
			continue // of the first process
		}
		leaks := check.Leaking != nil && *check.Leaking
		counts := lastMoment.ok && at >= lastMoment.at.Add(cooled)
		if leaks {
			j.seal = failed
		}
		if !counts {
			j.seal = max(j.seal, early)
			continue
		}
		if !j.checked.ok || at < j.checked.at {
			j.checked = known{at, true}
		}
		j.seal = max(j.seal, sealOf(check))
	}
}

// sealOf reads the signs of one check (p. 1-25). One bad sign is enough to condemn; a dull sound alone is none, because
// food that touches the lid makes it too.
func sealOf(check *document.SealCheck) seal {
	switch {
	case check.Center == document.CenterSprings, check.Lid == document.LidFlat, check.Lid == document.LidBulging, check.Leaking != nil && *check.Leaking:
		return failed
	case check.Center == document.CenterDown, check.Lid == document.LidConcave, check.Ring == document.RingClear:
		return good
	}
	return unclear
}

// readPlace finds out where the jar stood when the time ran out. Cold is only what was cold by then and never warm since;
// a record of places that does not show this shows a jar that stood warm.
func (d *day) readPlace(j *jar) {
	type stay struct {
		from  moment.Moment
		place string
	}
	var stays []stay
	for k := range j.doc.Kept {
		kept := &j.doc.Kept[k]
		from, ok := moment.Parse(kept.From)
		if !ok || d.future(from) {
			j.future = true
			continue
		}
		stays = append(stays, stay{from, kept.Place})
	}
	if len(stays) == 0 {
		return
	}
	// Of several places at one moment the warmest counts, because it comes last.
	warmth := []string{document.PlaceFreezer, document.PlaceRefrigerator, document.PlaceRoom}
	slices.SortFunc(stays, func(a, b stay) int {
		return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(slices.Index(warmth, a.place), slices.Index(warmth, b.place)))
	})
	for _, s := range stays {
		switch {
		case s.place == document.PlaceRoom:
			j.cold, j.eaten = known{}, known{}
			continue
		case !j.cold.ok:
			j.cold = known{s.from, true}
		}
		switch {
		case s.place == document.PlaceFreezer:
			j.eaten = known{}
		case !j.eaten.ok:
			j.eaten = known{s.from, true}
		}
	}
	j.place = warmPlace
	if j.cold.ok && j.deadline.ok && j.cold.at <= j.deadline.at {
		j.place = coldPlace
	}
}

// fate is what becomes of a jar that has to be put right, by its place and the hour: processed again (where that would
// help) or put into the refrigerator until the deadline; afterwards kept if it was cold in time, thrown away if not.
func (d *day) fate(j *jar, again bool) (report.Disposition, known) {
	if !j.deadline.ok {
		return report.Hold, known{}
	}
	switch {
	case d.now.To <= j.deadline.at && again:
		return report.Reprocess, j.deadline
	case j.place == coldPlace:
		if d.outOfDate(j) {
			return report.Discard, known{}
		}
		return report.Refrigerate, known{}
	case d.now.To <= j.deadline.at:
		return report.Refrigerate, j.deadline
	case d.now.From <= j.deadline.at:
		return report.Hold, j.deadline
	case j.place == warmPlace:
		return report.Discard, known{}
	}
	return report.Hold, known{}
}

// useBy is until when a jar with a fault is eaten from the refrigerator.
func (d *day) useBy(j *jar) known {
	if j.place != coldPlace || !j.eaten.ok {
		return known{}
	}
	return known{j.eaten.at.Add(d.hours("unsealed-keeps")), true}
}

func (d *day) outOfDate(j *jar) bool {
	until := d.useBy(j)
	return until.ok && d.now.From > until.at
}

// sinceProcess is how long after the last process a moment lies.
func (j *jar) sinceProcess(at moment.Moment) (measure.Duration, bool) {
	if !j.ended.ok {
		return 0, false
	}
	return at.Since(j.ended.at), true
}
