package rules

import (
	"fmt"
	"math"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// deniesFerment is the index of a line whose words say that the food has not fermented; -1 where none does or nothing ferments.
func deniesFerment(f *facts.Facts) int {
	if f.Match.Recipe == nil || !ferments(f) && f.Request.Recipe.Kind != document.KindFermented {
		return -1
	}
	for i := range f.Composition.Lines {
		if line := &f.Composition.Lines[i]; line.Used() && line.Form.Unfermented {
			return i
		}
	}
	return -1
}

// fermented judges how a ferment fermented. What is said against it fails; what is left unsaid is asked for, once.
func fermented(f *facts.Facts) []facts.Finding {
	var findings []facts.Finding
	if i := deniesFerment(f); i >= 0 {
		line := &f.Composition.Lines[i]
		findings = append(findings, facts.Finding{
			Outcome: report.Fail, At: line.At + "/form", Sources: []catalog.Citation{f.Match.Recipe.Citation}, Changes: nil,
			Message: fmt.Sprintf("The %s did not ferment, by the words of its line. Nothing else makes it acid.", line.Name),
			Remedy:  remedyOfFerment(f),
		})
	}
	if !ferments(f) {
		return findings
	}
	said, complete := false, false
	for i := range f.Request.Recipe.Steps {
		step := &f.Request.Recipe.Steps[i]
		if step.Step != document.StepFerment {
			continue
		}
		finding, judged := fermentStep(f, step, i)
		said, complete = true, complete || judged
		if finding != nil {
			findings = append(findings, *finding)
		}
	}
	if len(findings) == 0 && !complete && f.ForShelf() {
		findings = append(findings, unsaid(f, said))
	}
	return findings
}

// unsaid is the one question that a ferment leaves open.
func unsaid(f *facts.Facts, partly bool) facts.Finding {
	message := fmt.Sprintf("The recipe does not say how long and how warm it fermented. “%s” ferments %s before it is canned.", f.Match.Recipe.Title,
		conditionsInWords(f))
	if partly {
		message = fmt.Sprintf("The recipe does not say both how long and how warm it fermented. “%s” ferments %s before it is canned.",
			f.Match.Recipe.Title, conditionsInWords(f))
	}
	return facts.Finding{
		Outcome: report.Undetermined, At: "/recipe", Message: message, Sources: []catalog.Citation{f.Match.Recipe.Citation},
		Remedy: "Say how long yours fermented and how warm it stood (steps: ferment with time and temperature).",
	}
}

func remedyOfFerment(f *facts.Facts) string {
	if !ferments(f) {
		return "Let it ferment as a tested recipe says."
	}
	return "Let it ferment " + conditionsInWords(f) + ", until it has soured fully."
}

// conditions are the printed pairs of time and temperature of a ferment, warmest first as printed.
func conditions(f *facts.Facts) []*catalog.PrintedStep {
	var rows []*catalog.PrintedStep
	for i := range f.Match.Recipe.Steps {
		if row := &f.Match.Recipe.Steps[i]; row.Step == document.StepFerment && row.Value != nil && row.TemperatureF != nil && row.TemperatureMax != nil {
			rows = append(rows, row)
		}
	}
	return rows
}

// conditionsInWords says "3 to 4 weeks at 70 to 75 °F (21 to 24 °C), or 5 to 6 weeks at 60 to 65 °F (16 to 18 °C)".
func conditionsInWords(f *facts.Facts) string {
	text := ""
	for i, row := range conditions(f) {
		if i > 0 {
			text += ", or "
		}
		time := timeWords(f, *row.Value, row.Unit)
		if row.ValueMax != nil && *row.ValueMax > *row.Value {
			time = measure.FormatNumber(*row.Value) + " to " + timeWords(f, *row.ValueMax, row.Unit)
		}
		text += fmt.Sprintf("%s at %.0f to %.0f °F (%.0f to %.0f °C)", time, *row.TemperatureF, *row.TemperatureMax,
			celsius(*row.TemperatureF), celsius(*row.TemperatureMax))
	}
	return text
}

func celsius(fahrenheit float64) float64 { return (fahrenheit - 32) / 1.8 }

// fermentStep judges one statement of a ferment. The second result is true when time and temperature were both said.
func fermentStep(f *facts.Facts, step *document.Step, i int) (*facts.Finding, bool) {
	against := func(member, message string) *facts.Finding {
		return &facts.Finding{
			Outcome: report.Fail, At: stepAt(i, member), Message: message, Remedy: remedyOfFerment(f), Sources: []catalog.Citation{f.Match.Recipe.Citation},
		}
	}
	if member, is := leftOut(f, step); is {
		return against(member, "It did not ferment. Nothing else makes it acid."), false
	}
	if step.Place == document.StepPlaceRefrigerator || step.Place == document.StepPlaceFreezer {
		return against("place", fmt.Sprintf("In a %s it does not ferment: “%s” ferments %s.", step.Place, f.Match.Recipe.Title, conditionsInWords(f))), false
	}
	kelvin, warm := f.SI(step.Temperature)
	time, timed := f.SI(step.Time)
	rows := conditions(f)
	if len(rows) == 0 {
		return nil, false
	}
	coldest, warmest := span(f, rows)
	tolerance := f.Tolerance(catalog.FermentTolerance)
	switch {
	case warm && kelvin < coldest-tolerance:
		finding := against("temperature", fmt.Sprintf("%s is colder than “%s” ferments: below that it may not sour.", temperatureWords(step.Temperature),
			f.Match.Recipe.Title))
		finding.Measured, finding.Limit = f.In(step.Temperature, kelvin), f.In(step.Temperature, coldest)
		return finding, timed
	case warm && kelvin > warmest+tolerance:
		finding := against("temperature", fmt.Sprintf("%s is warmer than “%s” ferments: above that it softens and spoils.", temperatureWords(step.Temperature),
			f.Match.Recipe.Title))
		finding.Measured, finding.Limit = f.In(step.Temperature, kelvin), f.In(step.Temperature, warmest)
		return finding, timed
	case !timed:
		return nil, false
	}
	least := leastTime(f, rows, kelvin, warm)
	if time < least*(1-f.Tolerance(catalog.RestTolerance)) {
		finding := against("time", fmt.Sprintf("%s of fermenting is too short: “%s” ferments %s.", timeWords(f, *step.Time.Value, step.Time.Unit),
			f.Match.Recipe.Title, conditionsInWords(f)))
		finding.Measured, finding.Limit = f.In(step.Time, time), f.In(step.Time, least)
		return finding, warm
	}
	return nil, warm
}

// span is the coldest and the warmest temperature of a ferment in K: of the printed conditions, and up to a printed limit where
// that is higher.
func span(f *facts.Facts, rows []*catalog.PrintedStep) (coldest, warmest float64) {
	fahrenheit, _ := f.Units.Lookup("F")
	coldest, warmest = math.Inf(1), math.Inf(-1)
	for _, row := range rows {
		coldest = min(coldest, fahrenheit.SI(*row.TemperatureF))
		warmest = max(warmest, fahrenheit.SI(*row.TemperatureMax))
	}
	for i := range f.Match.Recipe.Steps {
		if row := &f.Match.Recipe.Steps[i]; row.Step == "limit_temperature" && row.TemperatureF != nil {
			warmest = max(warmest, fahrenheit.SI(*row.TemperatureF))
		}
	}
	return coldest, warmest
}

// leastTime is the printed time in seconds at a temperature: the shortest of the conditions that begin no warmer. Between two
// of them the colder one counts; without a temperature the shortest does, so that only what is too short anyway fails.
func leastTime(f *facts.Facts, rows []*catalog.PrintedStep, kelvin float64, warm bool) float64 {
	fahrenheit, _ := f.Units.Lookup("F")
	least := math.Inf(1)
	for _, row := range rows {
		from := fahrenheit.SI(*row.TemperatureF)
		if si, ok := seconds(f, row); ok && (!warm || kelvin >= from-f.Tolerance(catalog.FermentTolerance)) {
			least = min(least, si)
		}
	}
	return least
}
