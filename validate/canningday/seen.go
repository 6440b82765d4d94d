package canningday

import (
	"fmt"
	"math"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// judgeJars judges what was seen on each jar.
func (d *Day) judgeJars() {
	for i := range d.jars {
		j := &d.jars[i]
		d.judgeHeadspace(i, j)
		d.judgeLiquid(i, j)
		d.judgeSpoilage(i, j)
		if d.requirement.applies {
			d.judgeSeal(i, j)
			d.judgeSecondProcess(i, j)
			d.judgeWindow(i, j)
		}
		if labeled := j.doc.Labeled; labeled != nil && !*labeled {
			d.find(ruleLabel, []int{i}, fail, j.at+"/labeled", fmt.Sprintf("Jar %q is not labeled and dated.", j.doc.ID), "")
		}
	}
	if d.requirement.applies {
		d.judgeUnchecked()
	}
}

// judgeUnchecked names in one finding the jars whose seal nobody has looked at, and in one those whose look cannot be placed.
func (d *Day) judgeUnchecked() {
	var never, whenever []int
	for i := range d.jars {
		switch j := &d.jars[i]; {
		case j.seal == unchecked:
			never = append(never, i)
		case j.seal == early && !j.ended.Known:
			whenever = append(whenever, i)
		}
	}
	if len(never) > 0 {
		d.find(ruleSealTime, never, undetermined, "/batch/jars", fmt.Sprintf("No check of the seal is recorded for %s.", report.JarNames(d.ids(never))), "")
	}
	if len(whenever) > 0 {
		d.find(ruleSealTime, whenever, undetermined, "/batch/jars",
			fmt.Sprintf("How long after the process the seal was checked is not known for %s.", report.JarNames(d.ids(whenever))),
			"Record when the heat was turned off (heat_off).")
	}
}

func (d *Day) judgeHeadspace(i int, j *jar) {
	style := d.facts.Match.Pack.Style
	if style == nil || style.HeadspaceIn <= 0 || !d.requirement.applies {
		return
	}
	printed := measure.Length(style.HeadspaceIn) * measure.Inch
	tolerance := d.tolerance(catalog.HeadspaceTolerance)
	have, ok := d.length(j.doc.Headspace)
	if !ok || math.Abs(float64(have-printed)) <= tolerance*(1+1e-6) {
		return
	}
	message := fmt.Sprintf("Jar %q was closed with %s of headspace; the tested recipe has %s.",
		j.doc.ID, measure.FormatInches(have), measure.FormatInches(printed))
	d.find(ruleHeadspace, []int{i}, fail, j.at+"/headspace", message, "").
		figures(d.facts.In(j.doc.Headspace, float64(have)), d.facts.In(j.doc.Headspace, float64(printed)))
}

func (d *Day) judgeLiquid(i int, j *jar) {
	if covered := j.doc.FoodCovered; covered != nil && !*covered {
		d.find(ruleFoodCovered, []int{i}, fail, j.at+"/food_covered", fmt.Sprintf("Food in jar %q stands out of the liquid.", j.doc.ID), "")
	}
	most := d.limit("liquid-lost-max")
	if lost := j.doc.LiquidLostPercent; lost != nil && *lost >= most && d.requirement.applies {
		message := fmt.Sprintf("Jar %q lost %s %% of its liquid in the canner, so the food may not have been heated enough.",
			j.doc.ID, measure.FormatNumber(*lost))
		d.find(ruleLiquidLost, []int{i}, fail, j.at+"/liquid_lost_percent", message, "").
			figures(&report.Amount{Value: *lost, Unit: "%"}, &report.Amount{Value: most, Unit: "%"})
	}
}

// signWords says the signs of spoilage to people.
var signWords = map[string]string{
	document.SignBulgingLid: "a bulging lid", document.SignLeaking: "leaking", document.SignDriedStreaks: "dried streaks of food",
	document.SignRisingBubbles: "rising bubbles", document.SignSpurting: "spurting liquid", document.SignMold: "mold",
	document.SignOddSmell: "an odd smell", document.SignOddColor: "an odd color", document.SignSlime: "slime",
}

func (d *Day) judgeSpoilage(i int, j *jar) {
	if len(j.signs) == 0 {
		return
	}
	words := make([]string, len(j.signs))
	for k, sign := range j.signs {
		words[k] = signWords[sign]
	}
	d.find(ruleSpoilage, []int{i}, fail, j.at, fmt.Sprintf("Jar %q shows %s.", j.doc.ID, measure.JoinAnd(words)), "")
}

func (d *Day) judgeSeal(i int, j *jar) {
	at := j.at + "/seal_checks"
	switch {
	case j.seal == early && j.ended.Known:
		after := j.lastLook().Sub(j.ended.Time)
		message := fmt.Sprintf("The seal of jar %q was checked %s hours after the process, before it had cooled, which shows nothing.", j.doc.ID, hours(after))
		d.find(ruleSealTime, []int{i}, fail, at, message, "").figures(amountHours(after), amountHours(d.duration("seal-check-min")))
	case j.seal == unclear:
		d.find(ruleSeal, []int{i}, undetermined, at, fmt.Sprintf("The check of jar %q names no sign that tells whether it has sealed.", j.doc.ID),
			"Press the center, tap the lid, look at it from the side, and record what you find.")
	case j.seal == failed:
		d.find(ruleSeal, []int{i}, fail, at, fmt.Sprintf("Jar %q has not sealed.", j.doc.ID), "")
	}
}

// judgeSecondProcess judges whether a jar that was processed again was so in time and with a new lid.
func (d *Day) judgeSecondProcess(i int, j *jar) {
	again := j.doc.Reprocessed
	if again == nil || j.last == nil || j.last == j.first {
		return
	}
	at := j.at + "/reprocessed"
	switch best := longest(j.last.covered); {
	case !j.deadline.Known || best.length() == 0:
		d.find(ruleWindow, []int{i}, undetermined, at,
			fmt.Sprintf("How long after the first process jar %q was processed again is not known.", j.doc.ID), "Record the times of both processes.")
	case best.from.After(j.deadline.Time):
		after := best.from.Sub(j.countedFrom.Time)
		message := fmt.Sprintf("Jar %q was processed again %s hours after the first process, which is too late.", j.doc.ID, hours(after))
		d.find(ruleWindow, []int{i}, fail, at, message, "Throw it away, unless it stood in the refrigerator until then.").
			figures(amountHours(after), amountHours(d.duration("reprocess-window")))
	case again.NewLid == nil:
		d.find(ruleWindow, []int{i}, undetermined, at, fmt.Sprintf("Whether jar %q was closed with a new lid is not recorded.", j.doc.ID), "Say so (new_lid).")
	case !*again.NewLid:
		d.find(ruleWindow, []int{i}, fail, at+"/new_lid",
			fmt.Sprintf("Jar %q was processed again with its old lid, which does not seal a second time.", j.doc.ID), "")
	}
}

// judgeWindow judges whether a faulty jar can still be put right.
func (d *Day) judgeWindow(i int, j *jar) {
	if !d.faulty(i) {
		return
	}
	if !j.deadline.Known {
		d.find(ruleWindow, []int{i}, undetermined, j.at,
			fmt.Sprintf("When jar %q was processed is not known, nor whether it can still be processed again.", j.doc.ID), "")
		return
	}
	deadline := d.clock(j.deadline.Time)
	became, _ := d.outcomeOf(j, true)
	switch {
	case became == report.Discard && j.place == warmPlace:
		message := fmt.Sprintf("The time for putting jar %q right ran out at %s, and it did not stand in the refrigerator by then.", j.doc.ID, deadline)
		d.find(ruleWindow, []int{i}, fail, j.at, message, "Throw it away where no person or animal can get at it.").
			figures(amountHours(d.asOf.From.Sub(j.countedFrom.Time)), amountHours(d.duration("reprocess-window")))
	case became == report.Hold:
		message := "Whether jar %q can still be processed again is not known: the question has no time (as_of)."
		remedy := fmt.Sprintf("Ask with the date and time (as_of). It can be put right until %s.", deadline)
		if d.asOf.From.After(j.deadline.Time) {
			message = "The time for putting jar %q right has run out, and where it stood is not recorded."
			remedy = "Say where it stood (kept). Throw it away if it was not in the refrigerator by " + deadline + "."
		} else if d.hasAsOf {
			message = "Whether jar %q can still be processed again is not known: a date without a time is too coarse (as_of)."
		}
		d.find(ruleWindow, []int{i}, undetermined, j.at, fmt.Sprintf(message, j.doc.ID), remedy)
	}
}
