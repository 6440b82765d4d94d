package canningday

import (
	"fmt"

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
	byID := d.judgeNames()
	d.judgeEvents()
	for _, l := range d.loads {
		d.judgeLoadOrder(l)
	}
	for i := range d.jars {
		d.judgeJarOrder(i)
	}
	for i := range d.readings {
		r := &d.readings[i]
		if _, known := byID[r.doc.Jar]; r.doc.Jar != "" && !known {
			d.find(ruleRecord, nil, undetermined, r.at+"/jar", fmt.Sprintf("No jar is called %q.", r.doc.Jar),
				"Name a jar of the list, or leave the name out for a sample of several jars.")
		}
		if !d.happened(r.when) {
			d.find(ruleRecord, nil, undetermined, r.at+"/at", "This reading lies after the moment of the question, so it has not been taken.",
				"Put its time or as_of right.")
		}
	}
}

// judgeNames names jars that are called the same, and gives the jars by their ids.
func (d *Day) judgeNames() map[string]int {
	byID := map[string]int{}
	for i := range d.jars {
		id := d.jars[i].doc.ID
		if first, twice := byID[id]; twice {
			d.find(ruleRecord, []int{first, i}, undetermined, d.jars[i].at+"/id",
				fmt.Sprintf("Two jars are called %q, so it cannot be told which is which.", id), "Give each jar an id of its own.")
			continue
		}
		byID[id] = i
	}
	return byID
}

func (d *Day) judgeEvents() {
	for i := range d.events {
		e := &d.events[i]
		at := fmt.Sprintf("/batch/events/%d/at", i)
		if !e.at.Known {
			d.find(ruleRecord, nil, undetermined, at, "The time of this event cannot be read.", "Write it as a date and time with the offset from UTC.")
		} else if d.future(e.at.Time) {
			d.find(ruleRecord, d.usersOf(e.doc.Load), undetermined, at,
				"This event lies after the moment of the question, so it has not happened.", "Put its time or as_of right.")
		}
	}
}

// usersOf lists the jars of a load, of their first process or their last; never nil, which would stand for all jars.
func (d *Day) usersOf(name string) []int {
	if users := d.users[name]; users != nil {
		return users
	}
	return []int{}
}

func (d *Day) judgeLoadOrder(l *load) {
	users := d.usersOf(l.name)
	for _, wrong := range l.disorder {
		d.find(ruleRecord, users, undetermined, fmt.Sprintf("/batch/events/%d", wrong.index),
			fmt.Sprintf("The log%s contradicts itself: %s.", ofLoad(l.name), wrong.what), "Put the times and kinds of the events right.")
	}
	if d.packed.Known {
		d.judgePacking(l, users)
	}
	for _, e := range l.entries {
		at := fmt.Sprintf("/batch/events/%d", e.index)
		if e.Event.Event == document.EventWaterLevel && e.WaterOverLids == nil {
			d.find(ruleRecord, users, undetermined, at, "The water level was read, but not what it was.",
				"Say how deep the water stood over the lids (water_over_lids).")
		}
		if e.Event.Event == document.EventTemperature && e.Temperature == nil {
			d.find(ruleRecord, users, undetermined, at, "The temperature was read, but not what it was.", "Say what the thermometer showed (temperature).")
		}
	}
}

// judgePacking holds the time of packing to lie before the boil, and not long before it.
func (d *Day) judgePacking(l *load, users []int) {
	const at, remedy = "/batch/packed_at", "Put the time of packing or of the events right."
	if l.ended.Known && l.ended.Before(d.packed.Time) {
		d.find(ruleRecord, users, undetermined, at, fmt.Sprintf("The process%s ended before the jars were packed.", ofLoad(l.name)), remedy)
		return
	}
	best := longest(l.boils)
	if best.length() == 0 {
		return
	}
	if best.from.Before(d.packed.Time) {
		d.find(ruleRecord, users, undetermined, at, fmt.Sprintf("The jars were packed while it was already boiling%s.", ofLoad(l.name)), remedy)
		return
	}
	// Nobody prints how long filled jars may wait for the canner; what stood longer than an unsealed jar may is in doubt.
	waited, most := best.from.Sub(d.packed.Time), d.duration("reprocess-window")
	if l.isFirst && waited > most {
		message := fmt.Sprintf("The jars%s stood packed for %s hours before they were processed.", ofLoad(l.name), hours(waited))
		d.find(ruleRecord, users, undetermined, at, message, remedy+" Throw away what really stood so long.").
			figures(amountHours(waited), amountHours(most))
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
	if j.first == nil && len(d.loads) > 0 {
		d.find(ruleRecord, []int{i}, undetermined, j.at, "No event of the log belongs to the load of this jar.",
			"Give the jar and the events of its process the same load, or leave load out everywhere.")
	}
	if again := j.doc.Reprocessed; again != nil {
		switch {
		case again.Load == j.doc.Load:
			d.find(ruleRecord, []int{i}, undetermined, j.at+"/reprocessed/load", "The second process of this jar has the load of the first.",
				"Give the events of the second process a load of their own.")
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
