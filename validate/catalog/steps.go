package catalog

import (
	"errors"
	"fmt"
	"slices"

	"jarwright/validate/table"
)

// StepJudged is how what a recipe says of a step is judged.
type StepJudged string

// Values of StepJudged.
const (
	StepAct     StepJudged = "act"     // something that is done: compared with the tested recipe's step of that name
	StepFerment StepJudged = "ferment" // as an act, and not to be left unsaid
	StepWord    StepJudged = "word"    // no act, or one that another member is compared for
)

// StepHeat is how hot a step is of its nature.
type StepHeat string

// Values of StepHeat.
const (
	HeatNotSaid StepHeat = ""
	HeatHot     StepHeat = "hot" // heated through, below the boil
	HeatBoiling StepHeat = "boiling"
)

// StepKind is one name of a step. Tested recipes and requests use the same names.
type StepKind struct {
	Name        string
	Words       string // for people: "soaking in lime"
	Family      string // steps of one family are compared where the tested recipe has none of the name; empty: none are
	Judged      StepJudged
	Time        bool // a time is compared
	Temperature bool // a temperature is compared with a printed one
	Place       bool // a place is compared
	Heat        StepHeat
}

// PrintedStep is one step that a tested recipe demands, in the order in which it prints them. A time is in Unit; where Unit
// is no unit of time Value is another figure. Temperatures are in degrees Fahrenheit as printed.
type PrintedStep struct {
	Step           string   `json:"step"`
	What           string   `json:"what,omitempty"`
	Value          *float64 `json:"value,omitempty"`     // least
	ValueMax       *float64 `json:"value_max,omitempty"` // where a range is printed
	Unit           string   `json:"unit,omitempty"`
	TemperatureF   *float64 `json:"temperature_f,omitempty"`     // least of a range, or the one that is printed
	TemperatureMax *float64 `json:"temperature_f_max,omitempty"` // most of a range
	Place          string   `json:"place,omitempty"`             // refrigerator; empty: not printed
	Pack           string   `json:"pack,omitempty"`              // raw or hot, where it is for one pack alone
	Pours          bool     `json:"-"`                           // water, ice or salt is poured away in it
	MattersFor     string   `json:"matters_for"`                 // safety, quality
	Note           string   `json:"note,omitempty"`
	Citation       Citation `json:"source"`
}

// Values of PrintedStep.MattersFor.
const (
	MattersForSafety  = "safety"
	MattersForQuality = "quality"
)

// StepKind finds the name of a step.
func (t *Tables) StepKind(name string) (*StepKind, bool) { return find(t.StepKinds, t.stepKinds, name) }

// loadStepKinds reads the names of steps.
func (l *loader) loadStepKinds() error {
	columns := []string{"step", "words", "family", "judged", "compares", "heat", "note"}
	return l.eachRow("step_kinds.csv", columns, func(r *table.Row) {
		kind := StepKind{
			Name: r.Text("step"), Words: r.Text("words"), Family: r.Text("family"), Judged: StepJudged(r.Text("judged")),
			Heat: StepHeat(r.Text("heat")),
		}
		if !slices.Contains([]StepJudged{StepAct, StepFerment, StepWord}, kind.Judged) {
			r.Fail(fmt.Errorf("%q is no way to judge a step", kind.Judged))
		}
		if !slices.Contains([]StepHeat{HeatNotSaid, HeatHot, HeatBoiling}, kind.Heat) {
			r.Fail(fmt.Errorf("%q is no heat", kind.Heat))
		}
		if kind.Words == "" {
			r.Fail(errors.New("no words"))
		}
		for _, compared := range r.List("compares", "|") {
			switch compared {
			case "time":
				kind.Time = true
			case "temperature":
				kind.Temperature = true
			case "place":
				kind.Place = true
			default:
				r.Fail(fmt.Errorf("%q cannot be compared", compared))
			}
		}
		add(r, &l.tables.StepKinds, l.tables.stepKinds, kind.Name, kind)
	})
}

// loadSteps reads what each tested recipe demands and puts it beside the recipe.
func (l *loader) loadSteps() error {
	columns := []string{
		"recipe", "seq", "step", "what", "value", "value_max", "unit", "temperature_f", "temperature_f_max", "place", "pack", "pours", "matters_for",
		"source", "locator", "verified", "note",
	}
	return l.eachRow("steps.csv", columns, func(r *table.Row) {
		step := PrintedStep{
			Step: r.Text("step"), What: r.Text("what"), Value: printedNumber(r, "value"), ValueMax: printedNumber(r, "value_max"), Unit: r.Text("unit"),
			TemperatureF: printedNumber(r, "temperature_f"), TemperatureMax: printedNumber(r, "temperature_f_max"), Place: r.Text("place"),
			Pack: r.Text("pack"), Pours: r.Yes("pours"), MattersFor: r.Text("matters_for"), Note: r.Text("note"), Citation: l.citation(r, ""),
		}
		r.Fail(l.checkStep(&step))
		recipe, found := l.tables.Recipe(r.Text("recipe"))
		if !found {
			r.Fail(fmt.Errorf("unknown recipe %q", r.Text("recipe")))
			return
		}
		recipe.Steps = append(recipe.Steps, step)
		if int(r.Number("seq")) != len(recipe.Steps) {
			r.Fail(fmt.Errorf("step %s of %s stands out of order", r.Text("seq"), recipe.ID))
		}
	})
}

// checkStep holds a step to the names and units that exist, and its ranges to their order.
func (l *loader) checkStep(step *PrintedStep) error {
	if _, found := l.tables.StepKind(step.Step); !found {
		return fmt.Errorf("unknown step %q", step.Step)
	}
	const share = "fraction" // of the volume that is left after boiling down
	if step.Unit != "" && step.Unit != share {
		if err := l.checkUnit(step.Unit); err != nil {
			return err
		}
	}
	switch {
	case (step.Value == nil) != (step.Unit == ""):
		return errors.New("a figure without a unit, or a unit without a figure")
	case step.ValueMax != nil && (step.Value == nil || *step.ValueMax < *step.Value):
		return errors.New("the range of figures ends before it starts")
	case step.TemperatureF != nil && step.TemperatureMax != nil && *step.TemperatureMax < *step.TemperatureF:
		return errors.New("the range of temperatures ends before it starts")
	case step.Place != "" && step.Place != "refrigerator":
		return fmt.Errorf("unknown place %q", step.Place)
	case step.Pack != "" && step.Pack != "raw" && step.Pack != "hot":
		return fmt.Errorf("unknown pack %q", step.Pack)
	case step.MattersFor != MattersForSafety && step.MattersFor != MattersForQuality:
		return fmt.Errorf("%q is nothing that a step matters for", step.MattersFor)
	}
	return nil
}

// printedNumber reads a figure; an empty cell is none.
func printedNumber(r *table.Row, column string) *float64 {
	if r.Text(column) == "" {
		return nil
	}
	return new(r.Number(column))
}
