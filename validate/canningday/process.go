package canningday

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"jarwright/validate/altitude"
	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// dropColdBoils takes out of a log the boils during which the water was read as too cold to boil, and names the readings. The
// first and the last moment of a boil belong to it; only the reading that says that it was lost tells nothing against it.
func (d *Day) dropColdBoils(l *load) {
	if d.facts.Elevation == nil {
		return
	}
	boiling, err := altitude.BoilingAt(float64(*d.facts.Elevation))
	if err != nil {
		return // no kitchen stands there; the bounds of the request refuse it
	}
	tolerance := d.tolerance(catalog.ThermometerTolerance)
	for _, e := range l.entries {
		read, ok := d.temperature(e.Temperature)
		if !ok || read.Celsius() >= boiling.TemperatureC-tolerance {
			continue
		}
		lost := e.Event.Event == document.EventBoilLost
		before := len(l.boils)
		l.boils = slices.DeleteFunc(l.boils, func(b interval) bool {
			return !e.at.Before(b.from) && (e.at.Before(b.to) || e.at.Equal(b.to) && !lost)
		})
		if len(l.boils) < before {
			l.contradicts(e, fmt.Sprintf("the water was read at %s °C while it is said to boil, and water boils there at %s °C",
				measure.FormatNumber(measure.Round(read.Celsius(), 1)), measure.FormatNumber(measure.Round(boiling.TemperatureC, 1))))
		}
	}
}

// judgeProcess judges each load that jars rely on.
func (d *Day) judgeProcess() {
	if !d.requirement.applies {
		return
	}
	var unlogged []int
	for i := range d.jars {
		if d.jars[i].last == nil {
			unlogged = append(unlogged, i)
		}
	}
	if len(unlogged) > 0 {
		d.find(ruleHeld, unlogged, undetermined, "/batch", "There is no log of the process.",
			"Log when the boil was reached and when the heat was turned off (batch.events).")
		d.find(ruleCover, unlogged, undetermined, "/batch", "There is no log of the water over the lids.",
			"Log how deep the water stood over the lids (water_over_lids).")
	}
	for _, l := range d.loads {
		if len(l.jars) == 0 {
			continue
		}
		d.judgeTime(l)
		d.judgeCover(l)
		d.judgeLifting(l)
	}
}

// judgeTime judges whether the heat was held for the whole time without a break.
func (d *Day) judgeTime(l *load) {
	const at = "/batch/events"
	need := d.requirement
	if !need.known {
		d.find(ruleHeld, l.jars, undetermined, "/batch", "How many minutes this process takes is not known: "+d.whyUnknown()+".",
			"Say how high the place lies (batch.elevation or kitchen.elevation), and name a pack and a jar of the tested recipe.")
		return
	}
	best, counted := longest(l.boils), longest(l.covered)
	if len(l.shallow) == 0 {
		counted = best // how deep the water was is another rule's question
	}
	if counted.length() >= need.time-d.timeTolerance() {
		return
	}
	if missing := d.missingFrom(l); missing != "" {
		d.find(ruleHeld, l.jars, undetermined, at,
			fmt.Sprintf("%s%s, so it is not known whether it was held for %s minutes.", missing, ofLoad(l.name), minutes(need.time)),
			"Log when the boil was reached (boil_reached) and when the heat was turned off (heat_off).")
		return
	}
	message := fmt.Sprintf("The longest unbroken process%s under enough water lasted %s minutes; it takes %s.",
		ofLoad(l.name), minutes(counted.length()), minutes(need.time))
	remedy := fmt.Sprintf("Process the jars again with new lids for %s minutes within 24 hours of the first process, or put them into the refrigerator by then.",
		minutes(need.time))
	f := d.find(ruleHeld, l.jars, fail, at, message, remedy)
	f.figures(amountMinutes(counted.length()), amountMinutes(need.time))
	for _, row := range d.facts.Match.Pack.Possible {
		f.Sources = append(f.Sources, row.Citation)
	}
	var total time.Duration
	for _, b := range l.boils {
		total += b.length()
	}
	if len(l.breaks) > 0 && total >= need.time-d.timeTolerance() {
		d.find(ruleContinuous, l.jars, fail, fmt.Sprintf("/batch/events/%d", l.breaks[0].index),
			fmt.Sprintf("The heat was lost%s and the time was not started anew: %s minutes in all, but at most %s without a break.",
				ofLoad(l.name), minutes(total), minutes(best.length())), "")
	}
}

// missingFrom says what a log lacks to show how long the heat was held; empty when it lacks nothing.
func (d *Day) missingFrom(l *load) string {
	switch {
	case len(l.disorder) > 0:
		return "The log contradicts itself"
	case l.open:
		return "The log does not say when the boil ended"
	case len(l.boils) > 0:
		return ""
	case d.requirement.method == document.MethodLowTemperature:
		return "The log holds no two readings of the water in a row that were warm enough"
	}
	return "The log does not say when the boil was reached"
}

// whyUnknown says why the minutes of the process are not known.
func (d *Day) whyUnknown() string {
	if d.facts.Elevation == nil {
		return "the elevation is not given"
	}
	return "no time is printed for this pack, jar and elevation"
}

// judgeCover judges whether enough water stood over the lids for the whole time.
func (d *Day) judgeCover(l *load) {
	depth := d.requirement.depth
	if depth == 0 {
		return
	}
	if len(l.levels) == 0 {
		d.find(ruleCover, l.jars, undetermined, "/batch", fmt.Sprintf("How deep the water stood over the lids%s was not recorded.", ofLoad(l.name)),
			fmt.Sprintf("Record the depth (water_over_lids); it takes at least %s.", measure.FormatInches(depth)))
		return
	}
	if len(l.boils) == 0 || longest(l.covered).length() >= min(d.requirement.time, longest(l.boils).length())-d.timeTolerance() {
		return
	}
	if len(l.shallow) == 0 {
		d.find(ruleCover, l.jars, undetermined, "/batch",
			fmt.Sprintf("The water over the lids%s was not measured before or early in the boil.", ofLoad(l.name)),
			"Record the depth when the boil was reached (water_over_lids).")
		return
	}
	least := slices.MinFunc(l.shallow, func(a, b level) int { return cmp.Compare(a.over, b.over) })
	words := measure.FormatInches(least.over) + " of water stood over the lids"
	if least.over == 0 {
		words = "The lids were not under water"
	}
	message := fmt.Sprintf("%s%s during the boil; it takes at least %s all the time.", words, ofLoad(l.name), measure.FormatInches(depth))
	d.find(ruleCover, l.jars, fail, "/batch/events", message, "").figures(inches(least.over), inches(depth))
}

func inches(length measure.Length) *report.Amount {
	return &report.Amount{Value: measure.Round(length.Inches(), 4), Unit: "in"}
}

// judgeLifting judges how long the jars waited in the open canner.
func (d *Day) judgeLifting(l *load) {
	if d.requirement.method == document.MethodLowTemperature || !l.ended.Known {
		return
	}
	wait := d.duration("lifting-wait")
	for _, e := range l.entries {
		if e.Event.Event != document.EventJarsOut || e.vague {
			continue
		}
		if e.at.Before(l.ended.Time) {
			message := fmt.Sprintf("The jars%s were lifted out %s minutes before the heat was off.", ofLoad(l.name), minutes(l.ended.Sub(e.at)))
			d.find(ruleLifting, l.jars, fail, fmt.Sprintf("/batch/events/%d", e.index), message, "").figures(amountMinutes(0), amountMinutes(wait))
			continue
		}
		if waited := e.at.Sub(l.ended.Time); waited < wait-d.timeTolerance() {
			message := fmt.Sprintf("The jars%s were lifted out %s minutes after the heat was off.", ofLoad(l.name), minutes(waited))
			d.find(ruleLifting, l.jars, fail, fmt.Sprintf("/batch/events/%d", e.index), message, "").figures(amountMinutes(waited), amountMinutes(wait))
		}
	}
}
