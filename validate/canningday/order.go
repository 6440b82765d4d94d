package canningday

import (
	"fmt"
	"slices"

	"jarwright/validate/document"
)

// judgeOrder names what is missing from the record, contradicts itself or has not happened yet.
func (d *Day) judgeOrder() {
	if !d.packed.Known {
		d.find(ruleRecord, nil, undetermined, "/batch", "The record does not say when the jars were packed.",
			"Say when the jars were filled and closed (batch.packed_at).")
	} else if d.future(d.packed.Time) {
		d.find(ruleRecord, nil, undetermined, "/batch/packed_at", "The jars were packed after the moment of the question.", "Put the time or as_of right.")
	}
	byID := make(map[string]bool, len(d.jars))
	for i := range d.jars {
		byID[d.jars[i].doc.ID] = true
	}
	d.judgeEvents()
	for _, l := range d.loads {
		if !l.others {
			d.judgeLoadOrder(l)
		}
	}
	for i := range d.jars {
		d.judgeJarOrder(i)
	}
	for i := range d.readings {
		r := &d.readings[i]
		if r.doc.Jar != "" && !byID[r.doc.Jar] {
			d.find(ruleRecord, nil, undetermined, r.at+"/jar", fmt.Sprintf("No jar is called %q.", r.doc.Jar),
				"Name a jar of the list, or leave the name out for a sample of several jars.")
		}
		if !d.happened(r.when) {
			d.find(ruleRecord, nil, undetermined, r.at+"/at", "This reading lies after the moment of the question, so it has not been taken.",
				"Put its time or as_of right.")
		}
	}
}

func (d *Day) judgeEvents() {
	for i := range d.events {
		e := &d.events[i]
		if l := d.load(e.doc.Load); l != nil && l.others {
			continue // of jars that are not listed
		}
		at, users := fmt.Sprintf("/batch/events/%d", i), d.usersOf(e.doc.Load)
		switch {
		case !e.at.Known:
			d.find(ruleRecord, users, undetermined, at+"/at", "The time of this event cannot be read.", "Write it as a date and time with the offset from UTC.")
		case d.future(e.at.Time):
			d.find(ruleRecord, users, undetermined, at+"/at", "This event lies after the moment of the question, so it has not happened.",
				"Put its time or as_of right.")
		case e.doc.Event == document.EventWaterLevel && e.doc.WaterOverLids == nil:
			d.find(ruleRecord, users, undetermined, at, "The water level was read, but not what it was.",
				"Say how deep the water stood over the lids (water_over_lids).")
		case e.doc.Event == document.EventTemperature && e.doc.Temperature == nil:
			d.find(ruleRecord, users, undetermined, at, "The temperature was read, but not what it was.", "Say what the thermometer showed (temperature).")
		}
	}
}

// usersOf lists the jars whose first process or last an event of a load was part of: nil, which is all, where it names none or
// one that no jar was in.
func (d *Day) usersOf(name string) []int {
	if l := d.load(name); l != nil && name != "" {
		return l.users
	}
	return nil
}

func (d *Day) judgeLoadOrder(l *load) {
	users := l.users
	for k, wrong := range l.disorder {
		if k == mostAlike {
			d.find(ruleRecord, users, undetermined, "/batch/events", fmt.Sprintf("Further contradictions in the log%s: %d.", ofLoad(l.name), len(l.disorder)-k),
				"Put the times and kinds of the events right.")
			break
		}
		d.find(ruleRecord, users, undetermined, fmt.Sprintf("/batch/events/%d", wrong.index), wrong.what, wrong.remedy)
	}
	if d.packed.Known {
		d.judgePacking(l, users)
	}
}

// judgePacking holds the time of packing to lie before the jars went into the canner and before the boil, and not long before it.
func (d *Day) judgePacking(l *load, users []int) {
	const at, remedy = "/batch/packed_at", "Put the time of packing or of the events right."
	if l.ended.Known && l.ended.Before(d.packed.Time) {
		d.find(ruleRecord, users, undetermined, at, fmt.Sprintf("The process%s ended before the jars were packed.", ofLoad(l.name)), remedy)
		return
	}
	best := longest(l.boils)
	if best.length() > 0 && best.from.Before(d.packed.Time) {
		d.find(ruleRecord, users, undetermined, at, fmt.Sprintf("The jars were packed while it was already boiling%s.", ofLoad(l.name)), remedy)
		return
	}
	if d.requirement.applies && slices.ContainsFunc(l.entries, func(e entry) bool {
		return e.Event.Event == document.EventJarsIn && e.at.Before(d.packed.Time)
	}) {
		d.find(ruleRecord, users, undetermined, at, fmt.Sprintf("The jars%s went into the canner before they were packed.", ofLoad(l.name)), remedy)
		return
	}
	if best.length() == 0 || !l.isFirst {
		return
	}
	// Food that stands warm in closed jars is in doubt after hours, whatever the process does to it then.
	waited, most := best.from.Sub(d.packed.Time), d.duration("packed-wait")
	if waited > most+d.timeTolerance() {
		message := fmt.Sprintf("The jars%s stood packed for %s hours before they were processed; food does not stand warm for more than %s.",
			ofLoad(l.name), hours(waited), hours(most))
		d.find(ruleRecord, users, undetermined, at, message, "Put the time of packing or of the events right; jars that were packed later "+
			"belong into a record of their own. Throw away what really stood so long.").figures(amountHours(waited), amountHours(most))
	}
}

func ofLoad(name string) string {
	if name == "" {
		return ""
	}
	return fmt.Sprintf(" of load %q", name)
}

func (d *Day) judgeJarOrder(i int) {
	j := &d.jars[i]
	if j.future {
		d.find(ruleRecord, []int{i}, undetermined, j.at, "Something is noted on this jar for a time after the moment of the question.",
			"Put its time or as_of right.")
	}
	if !d.requirement.applies {
		return
	}
	switch {
	case j.doc.Load == "" && d.manyLoads:
		d.find(ruleRecord, []int{i}, undetermined, j.at, "The day had several loads, and it is not said which of them this jar was in.",
			"Give the jar the load that it was in (load).")
	case j.first == nil && len(d.events) > 0:
		d.find(ruleRecord, []int{i}, undetermined, j.at, "No event of the log belongs to the load of this jar.",
			"Give the jar and the events of its process the same load, or leave load out everywhere.")
	}
	if j.coldTooSoon {
		d.find(ruleRecord, []int{i}, undetermined, j.at+"/kept", "The jar is said to have stood in the cold before its process had ended.",
			"Say where it stood after the process, and since when (kept).")
	}
	if again := j.doc.Reprocessed; again != nil {
		switch {
		case again.Load == j.doc.Load:
			d.find(ruleRecord, []int{i}, undetermined, j.at+"/reprocessed/load", "The second process of this jar has the load of the first.",
				"Give the events of the second process a load of their own.")
		case j.misordered:
			d.find(ruleRecord, []int{i}, undetermined, j.at+"/reprocessed/load",
				"The second process of this jar began before the first had ended, so it put nothing right.",
				"Put the times or the loads of the two processes right.")
		case j.last == nil:
			d.find(ruleRecord, []int{i}, undetermined, j.at+"/reprocessed/load", "No event of the log belongs to the second process of this jar.",
				"Record the second process as a load of its own.")
		}
	}
	d.judgeEarlyChecks(i, j)
}

// mostAlike is how many findings say the same of one jar, each of its own check or stay; one more counts the others.
const mostAlike = 3

func (d *Day) judgeEarlyChecks(i int, j *jar) {
	if j.first == nil || !j.first.ended.Known {
		return
	}
	const remedy = "Put the time of the check or of the process right."
	tooEarly := 0
	for k, check := range j.checks {
		if !check.at.Known || !check.at.Before(j.first.ended.Time) {
			continue
		}
		if tooEarly++; tooEarly <= mostAlike {
			d.find(ruleRecord, []int{i}, undetermined, fmt.Sprintf("%s/seal_checks/%d/at", j.at, k), "The seal was checked before the process ended.", remedy)
		}
	}
	if more := tooEarly - mostAlike; more > 0 {
		d.find(ruleRecord, []int{i}, undetermined, j.at+"/seal_checks", fmt.Sprintf("Further checks of the seal before the process ended: %d.", more), remedy)
	}
}
