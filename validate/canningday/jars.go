package canningday

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"jarwright/validate/document"
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

// sealCheck is one look at the seal of a jar.
type sealCheck struct {
	doc *document.SealCheck
	at  document.Time
}

// stay is a place where a jar stood from a time on.
type stay struct {
	doc  *document.Kept
	from document.Time
}

// jar is one jar, read.
type jar struct {
	doc               *document.BatchJar
	at                string // its JSON Pointer
	checks            []sealCheck
	stays             []stay
	opened            document.Time
	first             *load         // of its first process; nil: its load has no events
	last              *load         // of its last
	misordered        bool          // its second process began before the first had ended
	coldTooSoon       bool          // it is said to have stood in the cold before its process had ended
	countedFrom       document.Time // the end of its first process, from which the hours count; where that is not known, the beginning
	ended             document.Time // the end of its last process
	deadline          document.Time // until when it may be processed again
	seal              seal
	checked           document.Time // the first look that counts
	signs             []string
	place             place
	coldSince         document.Time // in the refrigerator or freezer
	refrigeratedSince document.Time // in the refrigerator and not frozen, to be eaten soon
	future            bool          // something on it is dated after the question, or its date cannot be read
}

func (d *Day) readJars() {
	for i := range d.jars {
		doc, j := &d.record.Jars[i], &d.jars[i]
		j.doc, j.at, j.first, j.signs = doc, fmt.Sprintf("/batch/jars/%d", i), d.load(doc.Load), slices.Clone(doc.SpoilageSigns)
		j.last = j.first
		if again := doc.Reprocessed; again != nil {
			j.last = d.load(again.Load)
			if j.last != nil && j.last != j.first {
				j.last.users = append(j.last.users, i)
			}
			if j.first != nil && j.last != nil && j.first != j.last && !j.last.followsOn(j.first) {
				j.misordered, j.last = true, j.first // what came before the first process puts nothing right
			}
		}
		if j.first != nil {
			j.first.isFirst, j.first.users = true, append(j.first.users, i)
		}
		if j.last != nil {
			j.last.jars = append(j.last.jars, i)
			j.ended = j.last.ended
		}
		j.countedFrom = d.hoursCountFrom(j.first)
		if j.countedFrom.Known {
			j.deadline = document.KnownTime(j.countedFrom.Add(d.duration("reprocess-window")))
		}
		d.readSeal(j)
		d.readPlace(j)
		j.future = j.future || doc.OpenedAt != "" && !d.happened(j.opened)
		slices.Sort(j.signs)
		j.signs = slices.Compact(j.signs)
	}
}

// followsOn reports whether a load went into the canner when another was done. The first to be known of the one and the last to
// be known of the other decide.
func (l *load) followsOn(first *load) bool {
	done := first.ended
	if !done.Known && len(first.entries) > 0 {
		done = document.KnownTime(first.entries[len(first.entries)-1].at)
	}
	return !l.first.Known || !done.Known || !l.first.Before(done.Time)
}

// hoursCountFrom is the moment from which the hours of a jar are counted: the end of its process; where that is not known,
// something earlier, so that the hours are not too long.
func (d *Day) hoursCountFrom(l *load) document.Time {
	switch {
	case l != nil && l.ended.Known:
		return l.ended
	case l != nil && l.first.Known && (!d.packed.Known || l.first.Before(d.packed.Time)):
		return l.first
	}
	return d.packed
}

// readSeal reads the seal checks after the last process. Before the jar has cooled a good sign means nothing and a
// springing center may still go down, but liquid or gas that comes out shows at any time that the jar is not sealed.
func (d *Day) readSeal(j *jar) {
	cooling := d.duration("seal-check-min")
	processed := j.ended
	if !processed.Known && j.last != nil && len(j.last.entries) > 0 {
		processed = document.KnownTime(j.last.entries[len(j.last.entries)-1].at)
	}
	for _, check := range j.checks {
		if !d.happened(check.at) {
			j.future = true
			continue
		}
		if check.doc.Lid == document.LidBulging {
			j.signs = append(j.signs, document.SignBulgingLid)
		}
		if j.doc.Reprocessed != nil && processed.Known && check.at.Before(processed.Time) {
			continue // of the first process
		}
		if check.doc.Leaking != nil && *check.doc.Leaking {
			j.seal = failed
		}
		if !processed.Known || check.at.Before(processed.Add(cooling)) {
			j.seal = max(j.seal, early)
			continue
		}
		if !j.checked.Known || check.at.Before(j.checked.Time) {
			j.checked = check.at
		}
		j.seal = max(j.seal, sealOf(check.doc))
	}
}

// sealOf reads the signs of one check (p. 1-25). One bad sign is enough to condemn; a dull sound alone is none, because
// food that touches the lid makes it too.
func sealOf(check *document.SealCheck) seal {
	switch {
	case check.Center == document.CenterSprings, check.Lid == document.LidFlat, check.Lid == document.LidBulging:
		return failed
	case check.Center == document.CenterDown, check.Lid == document.LidConcave, check.Ring == document.RingClear:
		return good
	}
	return unclear
}

// readPlace finds out where the jar stood when the time ran out. Cold is only what was cold by then and never warm since;
// a record of places that does not show this shows a jar that stood warm.
func (d *Day) readPlace(j *jar) {
	var stays []stay
	for _, s := range j.stays {
		switch {
		case !d.happened(s.from):
			j.future = true
		case d.requirement.applies && s.doc.Place != document.PlaceRoom && j.countedFrom.Known && s.from.Before(j.countedFrom.Time):
			j.coldTooSoon = true // it was in the canner since
		default:
			stays = append(stays, s)
		}
	}
	if len(stays) == 0 {
		return
	}
	// Of several places at one moment the warmest counts, because it comes last.
	warmth := []string{document.PlaceFreezer, document.PlaceRefrigerator, document.PlaceRoom}
	slices.SortFunc(stays, func(a, b stay) int {
		return cmp.Or(a.from.Compare(b.from.Time), cmp.Compare(slices.Index(warmth, a.doc.Place), slices.Index(warmth, b.doc.Place)))
	})
	for _, s := range stays {
		switch {
		case s.doc.Place == document.PlaceRoom:
			j.coldSince, j.refrigeratedSince = document.Time{}, document.Time{}
			continue
		case !j.coldSince.Known:
			j.coldSince = s.from
		}
		switch {
		case s.doc.Place == document.PlaceFreezer:
			j.refrigeratedSince = document.Time{}
		case !j.refrigeratedSince.Known:
			j.refrigeratedSince = s.from
		}
	}
	j.place = warmPlace
	if j.coldSince.Known && j.deadline.Known && !j.coldSince.After(j.deadline.Time) {
		j.place = coldPlace
	}
}

// outcomeOf is what becomes of a jar that has to be put right, by its place and the hour: processed again (where that would
// help) or put into the refrigerator until the deadline; afterwards kept if it was cold in time, thrown away if not.
func (d *Day) outcomeOf(j *jar, again bool) (report.Disposition, document.Time) {
	if !j.deadline.Known {
		return report.Hold, document.Time{}
	}
	inTime, late := !d.asOf.To.After(j.deadline.Time), d.asOf.From.After(j.deadline.Time)
	switch {
	case inTime && again:
		return report.Reprocess, j.deadline
	case j.place == coldPlace:
		if d.outOfDate(j) {
			return report.Discard, document.Time{}
		}
		return report.Refrigerate, document.Time{}
	case inTime:
		return report.Refrigerate, j.deadline
	case !late:
		return report.Hold, j.deadline
	case j.place == warmPlace:
		return report.Discard, document.Time{}
	}
	return report.Hold, document.Time{}
}

// useBy is until when a jar with a fault is eaten from the refrigerator.
func (d *Day) useBy(j *jar) document.Time {
	if j.place != coldPlace || !j.refrigeratedSince.Known {
		return document.Time{}
	}
	return document.KnownTime(j.refrigeratedSince.Add(d.duration("unsealed-keeps")))
}

func (d *Day) outOfDate(j *jar) bool {
	until := d.useBy(j)
	return until.Known && d.asOf.From.After(until.Time)
}

// lastLook is when the seal was looked at last.
func (j *jar) lastLook() time.Time {
	last := earliest
	for _, check := range j.checks {
		if check.at.Known {
			last = later(last, check.at.Time)
		}
	}
	return last
}
