package rules

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// Steps demands the steps of the tested recipe, as far as the cook says them; how a ferment fermented must be said.
func Steps() Rule {
	return Rule{
		ID: "process.steps", Title: "The steps of the tested recipe", Severity: report.Error, Hazard: report.Botulism, Since: sinceSteps,
		About: "A tested recipe was tested with its steps: soaks, cooking, filling hot, and for ferments the weeks and the warmth in which the acid " +
			"forms. A step that is said to be left out, shorter, colder or in another place than printed fails. What is not said is taken as printed, but " +
			"for a ferment: nothing else makes it acid, so how long and how warm it fermented has to be said.",
		Sources: []catalog.Citation{catalog.Guide("p. 6-6 to 6-8"), catalog.Guide("p. 1-28")},
		Remedy:  "Do the step as the tested recipe prints it.",
		Applies: func(f *facts.Facts) bool {
			return f.Match.Recipe != nil && (len(f.Request.Recipe.Steps) > 0 || f.ForShelf() && ferments(f) || deniesFerment(f) >= 0)
		},
		Run: func(f *facts.Facts) []facts.Finding {
			return append(saidAgainst(f, catalog.MattersForSafety), fermented(f)...)
		},
	}
}

// StepsForQuality notes steps of the tested recipe that are left out and matter for taste and texture alone.
func StepsForQuality() Rule {
	return Rule{
		ID: "process.steps-for-quality", Title: "Steps that keep the quality", Severity: report.Warning, Hazard: report.Quality, Since: sinceSteps,
		About: "Some steps of a tested recipe keep the food crisp, bright or even: they matter for the quality and not for the safety. What is not said " +
			"is taken as printed.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-28")},
		Remedy:  "Do the step as the tested recipe prints it.",
		Applies: func(f *facts.Facts) bool { return f.Match.Recipe != nil && len(f.Request.Recipe.Steps) > 0 },
		Run:     func(f *facts.Facts) []facts.Finding { return saidAgainst(f, catalog.MattersForQuality) },
	}
}

// StepsNotCompared notes what a recipe says of steps and nothing is compared with.
func StepsNotCompared() Rule {
	return Rule{
		ID: "process.steps-not-compared", Title: "Steps that were not compared", Severity: report.Info, Hazard: report.Quality, Since: sinceSteps,
		About: "A step that the tested recipe does not have, or a figure of a step that it does not print, is neither held against a recipe nor counted " +
			"for it.",
		Sources: []catalog.Citation{catalog.Guide("p. 6-5")},
		Remedy:  "Nothing: it is only said so that nobody takes it for checked.",
		Applies: func(f *facts.Facts) bool { return len(f.Request.Recipe.Steps) > 0 },
		Run:     runStepsNotCompared,
	}
}

// sinceSteps is the rule set since which steps are judged.
const sinceSteps = "2026.2"

// ferments reports whether the tested recipe sours by itself.
func ferments(f *facts.Facts) bool { return f.Match.Recipe.Kind == document.KindFermented }

// kindOf is how a name of a step is judged; the schema takes no other names.
func kindOf(f *facts.Facts, name string) *catalog.StepKind {
	kind, found := f.Tables.StepKind(name)
	if !found {
		return &catalog.StepKind{Name: name, Words: name, Judged: catalog.StepWord}
	}
	return kind
}

// stepAt is the place of a step, and of a member of it.
func stepAt(i int, member string) string {
	at := "/recipe/steps/" + strconv.Itoa(i)
	if member != "" {
		at += "/" + member
	}
	return at
}

// leftOut reports whether a step is said not to be done, and by which member.
func leftOut(f *facts.Facts, step *document.Step) (member string, is bool) {
	if step.Done != nil && !*step.Done {
		return "done", true
	}
	if si, given := f.SI(step.Time); given && si == 0 {
		return "time", true
	}
	return "", false
}

// printed lists the steps of the tested recipe that a name of the request answers to: those of the same name, else those of its
// family. What is printed for another pack is none of them.
func printed(f *facts.Facts, kind *catalog.StepKind) []*catalog.PrintedStep {
	var own, family []*catalog.PrintedStep
	for i := range f.Match.Recipe.Steps {
		row := &f.Match.Recipe.Steps[i]
		if row.Pack != "" && f.Request.Recipe.Pack != "" && row.Pack != f.Request.Recipe.Pack {
			continue
		}
		switch {
		case row.Step == kind.Name:
			own = append(own, row)
		case kind.Family != "" && kindOf(f, row.Step).Family == kind.Family:
			family = append(family, row)
		}
	}
	if len(own) > 0 {
		return own
	}
	return family
}

// saidAgainst lists what the request says against the steps of the tested recipe that matter for safety, or for quality.
func saidAgainst(f *facts.Facts, matters string) []facts.Finding {
	var findings []facts.Finding
	names := map[string]bool{}
	for i := range f.Request.Recipe.Steps {
		step := &f.Request.Recipe.Steps[i]
		kind := kindOf(f, step.Step)
		if kind.Judged != catalog.StepAct {
			continue
		}
		rows := mattering(printed(f, kind), matters)
		if len(rows) == 0 || kind.Name == document.StepTrimBlossom {
			continue // a rule of its own speaks of the blossom end
		}
		if member, is := leftOut(f, step); is {
			if finding := missed(f, kind, rows, stepAt(i, member)); finding != nil {
				findings = append(findings, *finding)
			}
			continue
		}
		for _, find := range []func(*facts.Facts, *document.Step, *catalog.StepKind, []*catalog.PrintedStep, int) *facts.Finding{tooCool, elsewhere} {
			if finding := find(f, step, kind, rows, i); finding != nil {
				findings = append(findings, *finding)
			}
		}
		if kind.Time && !names[kind.Name] {
			names[kind.Name] = true
			if finding := tooShort(f, kind, rows); finding != nil {
				findings = append(findings, *finding)
			}
		}
	}
	return findings
}

func mattering(rows []*catalog.PrintedStep, matters string) []*catalog.PrintedStep {
	var kept []*catalog.PrintedStep
	for _, row := range rows {
		if row.MattersFor == matters {
			kept = append(kept, row)
		}
	}
	return kept
}

// missed is what is said of a step that is left out. Jars need not be sterilized for a process that does it.
func missed(f *facts.Facts, kind *catalog.StepKind, rows []*catalog.PrintedStep, at string) *facts.Finding {
	if kind.Name == "sterile_jars" {
		time, given := f.Time()
		below, _ := f.Limit("sterile-jars-below")
		if given && float64(time) >= below-f.Tolerance(catalog.TimeTolerance) {
			return nil
		}
	}
	return &facts.Finding{
		Outcome: report.Fail, At: at, Sources: []catalog.Citation{rows[0].Citation},
		Message: fmt.Sprintf("%s is left out; “%s” has it%s.", measure.Capital(kind.Words), f.Match.Recipe.Title, whatOf(rows[0])),
	}
}

// whatOf is what a printed step is done to, in brackets.
func whatOf(row *catalog.PrintedStep) string {
	if row.What == "" {
		return ""
	}
	return " (" + row.What + ")"
}

// seconds is the least time of a printed step; it reports false where none is printed.
func seconds(f *facts.Facts, row *catalog.PrintedStep) (float64, bool) {
	unit, ok := f.Units.Lookup(row.Unit)
	if !ok || unit.Dimension != measure.DimensionDuration || row.Value == nil {
		return 0, false
	}
	return unit.SI(*row.Value), true
}

// tooShort compares the times of all steps of one name with the printed ones, in their order. Where the cook says as many as are
// printed, each answers to one; where fewer, each has to be one of them; where more, each of the printed ones has to be among
// them. A step with a time is none of those that are printed without one, as long as others are printed with one.
func tooShort(f *facts.Facts, kind *catalog.StepKind, rows []*catalog.PrintedStep) *facts.Finding {
	var said []int
	for i := range f.Request.Recipe.Steps {
		step := &f.Request.Recipe.Steps[i]
		_, out := leftOut(f, step)
		if step.Step == kind.Name && !out {
			said = append(said, i)
		}
	}
	if len(said) > len(rows) {
		return shortAmongMore(f, kind, rows, said)
	}
	next := 0
	for k, i := range said {
		fits := func(row *catalog.PrintedStep) bool { return longEnough(f, i, row) }
		if len(said) < len(rows) && f.Request.Recipe.Steps[i].Time != nil {
			if timed := withTime(f, rows); len(timed) > 0 {
				fits = func(row *catalog.PrintedStep) bool { return slices.Contains(timed, row) && longEnough(f, i, row) }
			}
		}
		first := next
		if len(said) == len(rows) {
			first, next = k, k
		}
		for next < len(rows) && !fits(rows[next]) && len(said) < len(rows) {
			next++
		}
		if next == len(rows) || !fits(rows[next]) {
			return short(f, kind, shortest(f, rows[min(first, len(rows)-1):]), i)
		}
		next++
	}
	return nil
}

// shortAmongMore is the finding of a recipe that says more steps of one name than are printed.
func shortAmongMore(f *facts.Facts, kind *catalog.StepKind, rows []*catalog.PrintedStep, said []int) *facts.Finding {
	next := 0
	for _, row := range rows {
		for next < len(said) && !longEnough(f, said[next], row) {
			next++
		}
		if next == len(said) {
			return short(f, kind, row, longest(f, said))
		}
		next++
	}
	return nil
}

// withTime keeps the rows with a printed time.
func withTime(f *facts.Facts, rows []*catalog.PrintedStep) []*catalog.PrintedStep {
	var timed []*catalog.PrintedStep
	for _, row := range rows {
		if _, is := seconds(f, row); is {
			timed = append(timed, row)
		}
	}
	return timed
}

// longEnough reports whether a step takes the printed time; a time that is not said, or not printed, does.
func longEnough(f *facts.Facts, i int, row *catalog.PrintedStep) bool {
	least, isPrinted := seconds(f, row)
	si, given := f.SI(f.Request.Recipe.Steps[i].Time)
	return !isPrinted || !given || si >= least*(1-f.Tolerance(catalog.RestTolerance))
}

// shortest is the row with the least printed time, the first of all where none has one.
func shortest(f *facts.Facts, rows []*catalog.PrintedStep) *catalog.PrintedStep {
	best, least := rows[0], math.Inf(1)
	for _, row := range rows {
		if si, is := seconds(f, row); is && si < least {
			best, least = row, si
		}
	}
	return best
}

// longest is the step with the longest time of those said.
func longest(f *facts.Facts, said []int) int {
	best, most := said[0], -1.0
	for _, i := range said {
		if si, given := f.SI(f.Request.Recipe.Steps[i].Time); given && si > most {
			best, most = i, si
		}
	}
	return best
}

func short(f *facts.Facts, kind *catalog.StepKind, row *catalog.PrintedStep, i int) *facts.Finding {
	written := f.Request.Recipe.Steps[i].Time
	at := stepAt(i, "time")
	si, given := f.SI(written)
	least, isPrinted := seconds(f, row)
	if !given || !isPrinted {
		return nil
	}
	return &facts.Finding{
		Outcome: report.Fail, At: at, Sources: []catalog.Citation{row.Citation},
		Message: fmt.Sprintf("%s of %s is less than “%s” has%s: %s.", timeWords(f, *written.Value, written.Unit), kind.Words, f.Match.Recipe.Title,
			whatOf(row), timeWords(f, *row.Value, row.Unit)),
		Remedy:   fmt.Sprintf("Take at least %s for it.", timeWords(f, *row.Value, row.Unit)),
		Measured: f.In(written, si), Limit: f.In(written, least),
		Fix: []report.Operation{{Op: "replace", Path: at, Value: map[string]any{"value": *row.Value, "unit": row.Unit}}},
	}
}

// timeWords says a time for people: 4 weeks, 1 day.
func timeWords(f *facts.Facts, value float64, code string) string {
	name := code
	if unit, ok := f.Units.Lookup(code); ok {
		name, _, _ = strings.Cut(unit.Name, " ")
	}
	if value != 1 {
		name += "s"
	}
	return measure.FormatNumber(value) + " " + name
}

// tooCool compares a temperature with the printed one, and of what is boiled or hot by its name with what that means.
func tooCool(f *facts.Facts, step *document.Step, kind *catalog.StepKind, rows []*catalog.PrintedStep, i int) *facts.Finding {
	have, given := f.SI(step.Temperature)
	if !given {
		return nil
	}
	need, ok := leastHeat(f, kind, rows[0])
	if !ok || have >= need {
		return nil
	}
	finding := &facts.Finding{
		Outcome: report.Fail, At: stepAt(i, "temperature"), Sources: []catalog.Citation{rows[0].Citation},
		Message: fmt.Sprintf("%s for %s is colder than it takes; “%s” has it%s.", temperatureWords(step.Temperature), kind.Words, f.Match.Recipe.Title,
			whatOf(rows[0])),
		Measured: f.In(step.Temperature, have), Limit: f.In(step.Temperature, need),
	}
	return finding
}

// leastHeat is the least temperature of a step in K, with what a thermometer may be off by: the printed one, the boil where the
// name says boiling, what is hot where it says hot.
func leastHeat(f *facts.Facts, kind *catalog.StepKind, row *catalog.PrintedStep) (float64, bool) {
	tolerance := f.Tolerance(catalog.ThermometerTolerance)
	if kind.Temperature && row.TemperatureF != nil {
		fahrenheit, _ := f.Units.Lookup("F")
		return fahrenheit.SI(*row.TemperatureF) - tolerance, true
	}
	switch kind.Heat {
	case catalog.HeatBoiling:
		if boilingC, known := f.BoilingC(); known {
			return boilingC + zeroCelsiusK - tolerance, true
		}
		fallthrough // without an elevation only what is not even hot can be told
	case catalog.HeatHot:
		least, _ := f.Limit(hotFill)
		if kind.Name == "fill_hot" || kind.Name == "pour_hot" {
			least, _ = f.Limit(fillLimit(f))
		}
		return least - tolerance, true
	}
	return 0, false
}

// elsewhere compares the place with the printed one.
func elsewhere(f *facts.Facts, step *document.Step, kind *catalog.StepKind, rows []*catalog.PrintedStep, i int) *facts.Finding {
	if !kind.Place || step.Place == "" || step.Place == document.StepPlaceRefrigerator || step.Place == document.StepPlaceFreezer {
		return nil
	}
	for _, row := range rows {
		if row.Place == "" {
			return nil
		}
	}
	return &facts.Finding{
		Outcome: report.Fail, At: stepAt(i, "place"), Sources: []catalog.Citation{rows[0].Citation},
		Message: fmt.Sprintf("%s is not in the refrigerator here; “%s” has it there%s.", measure.Capital(kind.Words), f.Match.Recipe.Title, whatOf(rows[0])),
		Remedy:  "Let it stand in the refrigerator.",
		Fix:     []report.Operation{{Op: "replace", Path: stepAt(i, "place"), Value: document.StepPlaceRefrigerator}},
	}
}

func runStepsNotCompared(f *facts.Facts) []facts.Finding {
	var findings []facts.Finding
	for i := range f.Request.Recipe.Steps {
		step := &f.Request.Recipe.Steps[i]
		kind := kindOf(f, step.Step)
		var message string
		switch {
		case f.Match.Recipe == nil:
			message = fmt.Sprintf("No tested recipe was found to compare %s with.", kind.Words)
		case kind.Judged == catalog.StepWord:
			message = fmt.Sprintf("Nothing is compared with %s here; where it matters, another member of the recipe is.", kind.Words)
		case len(printed(f, kind)) == 0:
			message = fmt.Sprintf("“%s” does not have this step: %s. It was not compared.", f.Match.Recipe.Title, kind.Words)
		default:
			message = notComparedOf(f, step, kind)
		}
		if message != "" {
			findings = append(findings, facts.Finding{Outcome: report.Fail, At: stepAt(i, ""), Message: message})
		}
	}
	return findings
}

// notComparedOf says which figures of a step that the tested recipe has are compared with nothing.
func notComparedOf(f *facts.Facts, step *document.Step, kind *catalog.StepKind) string {
	rows := printed(f, kind)
	timed, placed := false, false
	for _, row := range rows {
		_, ok := seconds(f, row)
		timed, placed = timed || ok, placed || row.Place != ""
	}
	var members []string
	if step.Time != nil && !(kind.Time && timed) {
		members = append(members, "time")
	}
	if step.Temperature != nil && !kind.Temperature && kind.Heat == catalog.HeatNotSaid {
		members = append(members, "temperature")
	}
	if step.Place != "" && !(kind.Place && (placed || kind.Judged == catalog.StepFerment)) {
		members = append(members, "place")
	}
	if len(members) == 0 {
		return ""
	}
	return fmt.Sprintf("“%s” prints nothing of the %s of this step to compare with: %s.", f.Match.Recipe.Title, measure.JoinAnd(members), kind.Words)
}
