package canningday

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/validate/altitude"
	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/moment"
	"jarwright/validate/report"
)

// Ids of the rules that the remarks belong to.
const (
	ruleRecord      = "batch.record"
	ruleContinuous  = "batch.boil-continuous"
	ruleHeld        = "batch.time-held"
	ruleCover       = "batch.water-cover"
	ruleLifting     = "batch.lifting-wait"
	ruleHeadspace   = "batch.headspace"
	ruleFoodCovered = "batch.food-covered"
	ruleLiquidLost  = "batch.liquid-lost"
	ruleSealTime    = "batch.seal-check-time"
	ruleSeal        = "batch.seal"
	ruleWindow      = "batch.reprocess-window"
	ruleInstrument  = "batch.ph-instrument"
	ruleCalibration = "batch.ph-calibration"
	ruleTemperature = "batch.ph-temperature"
	ruleEquilibrium = "batch.ph-equilibrium"
	rulePH          = "batch.ph-limit"
	ruleLabel       = "batch.label"
	ruleSpoilage    = "batch.spoilage"
)

const (
	fail         = report.Fail
	undetermined = report.Undetermined
)

// remarkOrder names what is missing from the record, contradicts itself or has not happened yet.
func (d *day) remarkOrder() {
	if !d.packed.ok {
		d.say(ruleRecord, nil, undetermined, "/batch", "The record does not say when the jars were packed.", "Say when the jars were filled and closed (batch.packed_at).")
	} else if d.future(d.packed.at) {
		d.say(ruleRecord, nil, undetermined, "/batch/packed_at", "The jars were packed after the moment of the question.", "Put the time or as_of right.")
	}
	seen := map[string]int{}
	for i := range d.jars {
		if first, twice := seen[d.jars[i].doc.ID]; twice {
			d.say(ruleRecord, []int{first, i}, undetermined, d.jars[i].at+"/id", fmt.Sprintf("Two jars are called %q, so it cannot be told which is which.", d.jars[i].doc.ID), "Give each jar an id of its own.")
			continue
		}
		seen[d.jars[i].doc.ID] = i
	}
	for i := range d.record.Events {
		e := &d.record.Events[i]
		at, ok := moment.Parse(e.At)
		if !ok {
			d.say(ruleRecord, nil, undetermined, pointer("batch", "events", i, "at"), "The time of this event cannot be read.", "Write it as a date and time with the offset from UTC.")
		} else if d.future(at) {
			d.say(ruleRecord, d.usersOf(e.Load), undetermined, pointer("batch", "events", i, "at"), "This event lies after the moment of the question, so it has not happened.", "Put its time or as_of right.")
		}
	}
	for _, l := range d.loads {
		d.remarkLoadOrder(l)
	}
	for i := range d.jars {
		d.remarkJarOrder(i)
	}
	for i := range d.readings {
		r := &d.readings[i]
		if _, known := seen[r.doc.Jar]; r.doc.Jar != "" && !known {
			d.say(ruleRecord, nil, undetermined, r.at+"/jar", fmt.Sprintf("No jar is called %q.", r.doc.Jar), "Name a jar of the list, or leave the name out for a sample of several jars.")
		}
		if r.future {
			d.say(ruleRecord, nil, undetermined, r.at+"/at", "This reading lies after the moment of the question, so it has not been taken.", "Put its time or as_of right.")
		}
	}
}

// usersOf lists the jars of a load, of their first process or their last.
func (d *day) usersOf(name string) []int {
	users := []int{}
	for i := range d.jars {
		doc := d.jars[i].doc
		if doc.Load == name || doc.Reprocessed != nil && doc.Reprocessed.Load == name {
			users = append(users, i)
		}
	}
	return users
}

func (d *day) remarkLoadOrder(l *load) {
	users := d.usersOf(l.name)
	for _, wrong := range l.disorder {
		d.say(ruleRecord, users, undetermined, pointer("batch", "events", wrong.index),
			fmt.Sprintf("The log%s contradicts itself: %s.", ofLoad(l.name), wrong.what), "Put the times and kinds of the events right.")
	}
	if d.packed.ok && l.first.ok && l.ended.ok && l.ended.at < d.packed.at {
		d.say(ruleRecord, users, undetermined, "/batch/packed_at", fmt.Sprintf("The process%s ended before the jars were packed.", ofLoad(l.name)), "Put the time of packing or of the events right.")
	} else if best := longest(l.boils); d.packed.ok && best.time() > 0 && best.from < d.packed.at {
		d.say(ruleRecord, users, undetermined, "/batch/packed_at", fmt.Sprintf("The jars were packed while it was already boiling%s.", ofLoad(l.name)), "Put the time of packing or of the events right.")
	} else if waited := best.from.Since(d.packed.at); d.packed.ok && best.time() > 0 && d.isFirst(l) && waited > d.hours("reprocess-window") {
		// Nobody prints how long filled jars may wait for the canner; what stood longer than an unsealed jar may is in doubt.
		r := d.say(ruleRecord, users, undetermined, "/batch/packed_at", fmt.Sprintf("The jars%s stood packed for %s hours before they were processed.", ofLoad(l.name), measure.FormatNumber(amountHours(waited).Value)), "Put the time of packing or of the events right. Throw away what really stood so long.")
		r.Measured, r.Limit = amountHours(waited), amountHours(d.hours("reprocess-window"))
	}
	for _, e := range l.entries {
		if e.Event.Event == document.EventWaterLevel && e.WaterOverLids == nil {
			d.say(ruleRecord, users, undetermined, pointer("batch", "events", e.index), "The water level was read, but not what it was.", "Say how deep the water stood over the lids (water_over_lids).")
		}
		if e.Event.Event == document.EventTemperature && e.Temperature == nil {
			d.say(ruleRecord, users, undetermined, pointer("batch", "events", e.index), "The temperature was read, but not what it was.", "Say what the thermometer showed (temperature).")
		}
	}
}

// isFirst reports whether a load is the first process of a jar.
func (d *day) isFirst(l *load) bool {
	return slices.ContainsFunc(d.jars, func(j jar) bool { return j.first == l })
}

func ofLoad(name string) string {
	if name == "" {
		return ""
	}
	return fmt.Sprintf(" of load %q", name)
}

func (d *day) remarkJarOrder(i int) {
	j := &d.jars[i]
	if j.future {
		d.say(ruleRecord, []int{i}, undetermined, j.at, "Something is noted on this jar for a time after the moment of the question.", "Put its time or as_of right.")
	}
	if !d.need.applies {
		return
	}
	if j.first == nil && len(d.loads) > 0 {
		d.say(ruleRecord, []int{i}, undetermined, j.at, "No event of the log belongs to the load of this jar.", "Give the jar and the events of its process the same load, or leave load out everywhere.")
	}
	if again := j.doc.Reprocessed; again != nil {
		switch {
		case again.Load == j.doc.Load:
			d.say(ruleRecord, []int{i}, undetermined, j.at+"/reprocessed/load", "The second process of this jar has the load of the first.", "Give the events of the second process a load of their own.")
		case j.last == nil:
			d.say(ruleRecord, []int{i}, undetermined, j.at+"/reprocessed/load", "No event of the log belongs to the second process of this jar.", "Record the second process as a load of its own.")
		}
	}
	for k := range j.doc.SealChecks {
		at, ok := moment.Parse(j.doc.SealChecks[k].At)
		if ok && j.first != nil && j.first.ended.ok && at < j.first.ended.at {
			d.say(ruleRecord, []int{i}, undetermined, pointer("batch", "jars", i, "seal_checks", k, "at"), "The seal was checked before the process ended.", "Put the time of the check or of the process right.")
		}
	}
}

// remarkCold names readings of the water that are too cold for a boil that is logged; such a boil does not count.
func (l *load) remarkCold(d *day) {
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
		before := len(l.boils)
		l.boils = slices.DeleteFunc(l.boils, func(b heated) bool { return b.from < e.at && e.at < b.to })
		if len(l.boils) < before {
			l.disorder = append(l.disorder, disorder{e.index, fmt.Sprintf("the water was read at %s °C in the midst of a boil, where water boils at %s °C",
				measure.FormatNumber(roundTo(read.Celsius(), 1)), measure.FormatNumber(roundTo(boiling.TemperatureC, 1)))})
		}
	}
}

// remarkProcess judges each load that jars rely on.
func (d *day) remarkProcess() {
	if !d.need.applies {
		return
	}
	orphans := []int{}
	for i := range d.jars {
		if d.jars[i].last == nil {
			orphans = append(orphans, i)
		}
	}
	if len(orphans) > 0 {
		d.say(ruleHeld, orphans, undetermined, "/batch", "There is no log of the process.", "Log when the boil was reached and when the heat was turned off (batch.events).")
		d.say(ruleCover, orphans, undetermined, "/batch", "There is no log of the water over the lids.", "Log how deep the water stood over the lids (water_over_lids).")
	}
	for _, l := range d.loads {
		if len(l.jars) == 0 {
			continue
		}
		d.remarkHeld(l)
		d.remarkCover(l)
		d.remarkLifting(l)
	}
}

func (d *day) remarkHeld(l *load) {
	where := pointer("batch", "events")
	best, counted := longest(l.boils), longest(l.covered)
	if len(l.shallow) == 0 {
		counted = best // how deep the water was is another rule's question
	}
	missing := ""
	switch {
	case len(l.disorder) > 0:
		missing = "the log contradicts itself"
	case l.open:
		missing = "the log does not say when the boil ended"
	case len(l.boils) == 0:
		missing = "the log does not say when the boil was reached"
		if d.need.method == document.MethodLowTemperature {
			missing = "the log holds no two readings of the water in a row that were warm enough"
		}
	}
	if !d.need.known {
		d.say(ruleHeld, l.jars, undetermined, "/batch", "How many minutes this process takes is not known: "+d.unknownNeed()+".", "Say how high the place lies (batch.elevation or kitchen.elevation), and name a pack and a jar of the tested recipe.")
		return
	}
	if counted.time() >= d.need.time-d.timeTolerance() {
		return
	}
	if missing != "" {
		d.say(ruleHeld, l.jars, undetermined, where, fmt.Sprintf("%s%s, so it is not known whether it was held for %s minutes.", capital(missing), ofLoad(l.name), minutes(d.need.time)),
			"Log when the boil was reached (boil_reached) and when the heat was turned off (heat_off).")
		return
	}
	message := fmt.Sprintf("The longest unbroken process%s under enough water lasted %s minutes; it takes %s.", ofLoad(l.name), minutes(counted.time()), minutes(d.need.time))
	r := d.say(ruleHeld, l.jars, fail, where, message, fmt.Sprintf("Process the jars again with new lids for %s minutes within 24 hours of the first process, or put them into the refrigerator by then.", minutes(d.need.time)))
	r.Measured, r.Limit = amountMinutes(counted.time()), amountMinutes(d.need.time)
	for _, row := range d.facts.Match.Pack.Possible {
		r.Sources = append(r.Sources, row.Citation)
	}
	var total measure.Duration
	for _, b := range l.boils {
		total += b.time()
	}
	if len(l.breaks) > 0 && total >= d.need.time-d.timeTolerance() {
		d.say(ruleContinuous, l.jars, fail, pointer("batch", "events", l.breaks[0].index),
			fmt.Sprintf("The heat was lost%s and the time was not started anew: %s minutes in all, but at most %s without a break.", ofLoad(l.name), minutes(total), minutes(best.time())), "")
	}
}

// unknownNeed says why the minutes are not known.
func (d *day) unknownNeed() string {
	if d.facts.Elevation == nil {
		return "the elevation is not given"
	}
	return "no time is printed for this pack, jar and elevation"
}

func (d *day) remarkCover(l *load) {
	if d.need.depth == 0 {
		return
	}
	if len(l.levels) == 0 {
		d.say(ruleCover, l.jars, undetermined, "/batch", fmt.Sprintf("How deep the water stood over the lids%s was not recorded.", ofLoad(l.name)),
			fmt.Sprintf("Record the depth (water_over_lids); it takes at least %s.", measure.FormatInches(d.need.depth)))
		return
	}
	if len(l.boils) == 0 || longest(l.covered).time() >= min(d.need.time, longest(l.boils).time())-d.timeTolerance() {
		return
	}
	if len(l.shallow) == 0 {
		d.say(ruleCover, l.jars, undetermined, "/batch", fmt.Sprintf("The water over the lids%s was not measured before or early in the boil.", ofLoad(l.name)), "Record the depth when the boil was reached (water_over_lids).")
		return
	}
	least := slices.MinFunc(l.shallow, func(a, b level) int { return cmp.Compare(a.over, b.over) })
	words := measure.FormatInches(least.over) + " of water stood over the lids"
	if least.over == 0 {
		words = "the lids were not under water"
	}
	r := d.say(ruleCover, l.jars, fail, pointer("batch", "events"), fmt.Sprintf("%s%s during the boil; it takes at least %s all the time.", capital(words), ofLoad(l.name), measure.FormatInches(d.need.depth)), "")
	r.Measured, r.Limit = &report.Amount{Value: roundTo(least.over.Inches(), 4), Unit: "in"}, &report.Amount{Value: roundTo(d.need.depth.Inches(), 4), Unit: "in"}
}

func (d *day) remarkLifting(l *load) {
	if d.need.method == document.MethodLowTemperature || !l.ended.ok {
		return
	}
	wait := d.hours("lifting-wait")
	for _, e := range l.entries {
		if e.Event.Event != document.EventJarsOut || e.at < l.ended.at {
			continue
		}
		if waited := e.at.Since(l.ended.at); waited < wait-d.timeTolerance() {
			r := d.say(ruleLifting, l.jars, fail, pointer("batch", "events", e.index), fmt.Sprintf("The jars%s were lifted out %s minutes after the heat was off.", ofLoad(l.name), minutes(waited)), "")
			r.Measured, r.Limit = amountMinutes(waited), amountMinutes(wait)
		}
	}
}

// remarkJars judges what was seen on each jar.
func (d *day) remarkJars() {
	for i := range d.jars {
		j := &d.jars[i]
		d.remarkFill(i, j)
		d.remarkSpoilage(i, j)
		if d.need.applies {
			d.remarkSeal(i, j)
			d.remarkWindow(i, j)
		}
		if labeled := j.doc.Labeled; labeled != nil && !*labeled {
			d.say(ruleLabel, []int{i}, fail, j.at+"/labeled", fmt.Sprintf("Jar %q is not labeled and dated.", j.doc.ID), "")
		}
	}
	if d.need.applies {
		d.remarkUnchecked()
	}
}

// remarkUnchecked names in one remark the jars whose seal nobody has looked at, and in one those whose look cannot be placed.
func (d *day) remarkUnchecked() {
	var never, whenever []int
	for i := range d.jars {
		switch j := &d.jars[i]; {
		case j.seal == unchecked:
			never = append(never, i)
		case j.seal == early && !j.ended.ok:
			whenever = append(whenever, i)
		}
	}
	if len(never) > 0 {
		d.say(ruleSealTime, never, undetermined, "/batch/jars", fmt.Sprintf("No check of the seal is recorded for %s.", report.JarNames(d.ids(never))), "")
	}
	if len(whenever) > 0 {
		d.say(ruleSealTime, whenever, undetermined, "/batch/jars", fmt.Sprintf("How long after the process the seal was checked is not known for %s.", report.JarNames(d.ids(whenever))), "Record when the heat was turned off (heat_off).")
	}
}

func (d *day) remarkFill(i int, j *jar) {
	if style := d.facts.Match.Pack.Style; style != nil && style.HeadspaceIn > 0 && d.need.applies {
		printed := measure.Length(style.HeadspaceIn) * measure.Inch
		tolerance := d.tolerance(catalog.HeadspaceTolerance)
		if have, ok := d.length(j.doc.Headspace); ok && math.Abs(float64(have-printed)) > tolerance*(1+1e-6) {
			r := d.say(ruleHeadspace, []int{i}, fail, j.at+"/headspace", fmt.Sprintf("Jar %q was closed with %s of headspace; the tested recipe has %s.", j.doc.ID, measure.FormatInches(have), measure.FormatInches(printed)), "")
			r.Measured, r.Limit = d.facts.In(j.doc.Headspace, float64(have)), d.facts.In(j.doc.Headspace, float64(printed))
		}
	}
	if covered := j.doc.FoodCovered; covered != nil && !*covered {
		d.say(ruleFoodCovered, []int{i}, fail, j.at+"/food_covered", fmt.Sprintf("Food in jar %q stands out of the liquid.", j.doc.ID), "")
	}
	most := d.facts.LimitAsPrinted("liquid-lost-max")
	if lost := j.doc.LiquidLostPercent; lost != nil && *lost >= most.Value && d.need.applies {
		r := d.say(ruleLiquidLost, []int{i}, fail, j.at+"/liquid_lost_percent", fmt.Sprintf("Jar %q lost %s %% of its liquid in the canner, so the food may not have been heated enough.", j.doc.ID, measure.FormatNumber(*lost)), "")
		r.Measured, r.Limit = &report.Amount{Value: *lost, Unit: "%"}, &report.Amount{Value: most.Value, Unit: "%"}
	}
}

// signWords says the signs of spoilage to people.
var signWords = map[string]string{
	document.SignBulgingLid: "a bulging lid", document.SignLeaking: "leaking", document.SignDriedStreaks: "dried streaks of food", document.SignRisingBubbles: "rising bubbles",
	document.SignSpurting: "spurting liquid", document.SignMold: "mold", document.SignOddSmell: "an odd smell", document.SignOddColor: "an odd color", document.SignSlime: "slime",
}

func (d *day) remarkSpoilage(i int, j *jar) {
	if len(j.signs) == 0 {
		return
	}
	words := make([]string, len(j.signs))
	for k, sign := range j.signs {
		words[k] = signWords[sign]
	}
	d.say(ruleSpoilage, []int{i}, fail, j.at, fmt.Sprintf("Jar %q shows %s.", j.doc.ID, listed(words)), "")
}

func (d *day) remarkSeal(i int, j *jar) {
	at, cooled := j.at+"/seal_checks", d.hours("seal-check-min")
	switch {
	case j.seal == early && j.ended.ok:
		var latest moment.Moment
		for k := range j.doc.SealChecks {
			if checked, ok := moment.Parse(j.doc.SealChecks[k].At); ok {
				latest = max(latest, checked)
			}
		}
		after, _ := j.sinceProcess(latest)
		r := d.say(ruleSealTime, []int{i}, fail, at, fmt.Sprintf("The seal of jar %q was checked %s hours after the process, before it had cooled, which shows nothing.", j.doc.ID, measure.FormatNumber(amountHours(after).Value)), "")
		r.Measured, r.Limit = amountHours(after), amountHours(cooled)
	case j.seal == unclear:
		d.say(ruleSeal, []int{i}, undetermined, at, fmt.Sprintf("The check of jar %q names no sign that tells whether it has sealed.", j.doc.ID), "Press the center, tap the lid, look at it from the side, and record what you find.")
	case j.seal == failed:
		d.say(ruleSeal, []int{i}, fail, at, fmt.Sprintf("Jar %q has not sealed.", j.doc.ID), "")
	}
}

// remarkWindow judges whether a jar that had to be put right was, in time and with a new lid.
func (d *day) remarkWindow(i int, j *jar) {
	window := d.hours("reprocess-window")
	if again := j.doc.Reprocessed; again != nil && j.last != nil && j.last != j.first {
		best := longest(j.last.covered)
		switch {
		case !j.deadline.ok || best.time() == 0:
			d.say(ruleWindow, []int{i}, undetermined, j.at+"/reprocessed", fmt.Sprintf("How long after the first process jar %q was processed again is not known.", j.doc.ID), "Record the times of both processes.")
		case best.from > j.deadline.at:
			after := best.from.Since(j.began.at)
			r := d.say(ruleWindow, []int{i}, fail, j.at+"/reprocessed", fmt.Sprintf("Jar %q was processed again %s hours after the first process, which is too late.", j.doc.ID, measure.FormatNumber(amountHours(after).Value)), "Throw it away, unless it stood in the refrigerator until then.")
			r.Measured, r.Limit = amountHours(after), amountHours(window)
		case again.NewLid == nil:
			d.say(ruleWindow, []int{i}, undetermined, j.at+"/reprocessed", fmt.Sprintf("Whether jar %q was closed with a new lid is not recorded.", j.doc.ID), "Say so (new_lid).")
		case !*again.NewLid:
			d.say(ruleWindow, []int{i}, fail, j.at+"/reprocessed/new_lid", fmt.Sprintf("Jar %q was processed again with its old lid, which does not seal a second time.", j.doc.ID), "")
		}
	}
	if !d.faulty(i) {
		return
	}
	became, _ := d.fate(j, true)
	switch {
	case !j.deadline.ok:
		d.say(ruleWindow, []int{i}, undetermined, j.at, fmt.Sprintf("When jar %q was processed is not known, nor whether it can still be processed again.", j.doc.ID), "")
	case became == report.Discard && j.place == warmPlace:
		after := d.now.From.Since(j.began.at)
		r := d.say(ruleWindow, []int{i}, fail, j.at, fmt.Sprintf("The time for putting jar %q right ran out at %s, and it did not stand in the refrigerator by then.", j.doc.ID, d.clock(j.deadline.at)), "Throw it away where no person or animal can get at it.")
		r.Measured, r.Limit = amountHours(after), amountHours(window)
	case became == report.Hold:
		message, remedy := "Whether jar %q can still be processed again is not known: the question has no time (as_of).", fmt.Sprintf("Ask with the date and time (as_of). It can be put right until %s.", d.clock(j.deadline.at))
		if d.now.From > j.deadline.at {
			message, remedy = "The time for putting jar %q right has run out, and where it stood is not recorded.", "Say where it stood (kept). Throw it away if it was not in the refrigerator by "+d.clock(j.deadline.at)+"."
		} else if d.asked {
			message = "Whether jar %q can still be processed again is not known: a date without a time is too coarse (as_of)."
		}
		d.say(ruleWindow, []int{i}, undetermined, j.at, fmt.Sprintf(message, j.doc.ID), remedy)
	}
}

// faulty reports whether a jar has a fault that a second process within the window puts right.
func (d *day) faulty(i int) bool {
	return d.has(i, fail, ruleHeld, ruleContinuous, ruleCover, ruleSeal) || d.has(i, fail, ruleWindow)
}

// has reports whether one of the rules says something of this outcome on a jar.
func (d *day) has(jar int, outcome report.Outcome, rules ...string) bool {
	for k := range d.remarks {
		r := &d.remarks[k]
		if r.Outcome == outcome && r.on(jar) && slices.Contains(rules, r.rule) {
			return true
		}
	}
	return false
}

// clock writes a moment for people, by the clocks of the labels.
func (d *day) clock(m moment.Moment) string { return m.Clock(d.offset) }

// listed joins words for people.
func listed(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

func capital(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

func roundTo(value float64, digits int) float64 {
	scale := math.Pow10(digits)
	return math.Round(value*scale) / scale
}
