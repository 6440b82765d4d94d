package measure

import (
	"fmt"
	"math"

	"jarwright/validate/table"
)

// Side is the side an amount is rounded to.
type Side int

// Values of Side.
const (
	Nearest Side = iota
	Up
	Down
)

// String is the word for people and programs.
func (s Side) String() string { return [...]string{"nearest", "up", "down"}[s] }

// How far rounding may go, as a part of the amount. Ours, no source: what is compared with a tested recipe stays well
// inside the 2 % that a kitchen measure cannot tell; seasoning may move further.
const (
	Strict = 0.008
	Loose  = 0.07
)

// Measures knows the measures of kitchens. It is read-only and safe for concurrent use.
type Measures struct {
	units *Units
	steps map[string][]float64 // by unit, coarsest first
}

// Load reads the measures from measure/household_steps.csv. It fails when one is of an unknown unit.
func Load(units *Units) (*Measures, error) {
	m := &Measures{units: units, steps: map[string][]float64{}}
	for _, row := range table.MustRows("measure/household_steps.csv", "unit", "numerator", "denominator") {
		if _, ok := units.Lookup(row[0]); !ok {
			return nil, fmt.Errorf("load steps.csv: no unit %q", row[0])
		}
		m.steps[row[0]] = append(m.steps[row[0]], table.MustNumber(row[1])/table.MustNumber(row[2]))
	}
	return m, nil
}

// countSteps are the parts that pieces are cut into, and the steps of a unit that has none of its own.
var countSteps = []float64{1, 1.0 / 2, 1.0 / 4, 1.0 / 8}

func (m *Measures) stepsOf(code string) []float64 {
	if steps, ok := m.steps[code]; ok {
		return steps
	}
	return countSteps
}

// Round takes an amount to the coarsest measure of its unit that changes it by at most slack, a part of it. Where not
// even the finest measure does, it keeps three figures. The result is on the side asked for, and above zero where the
// amount is.
func (m *Measures) Round(value float64, code string, side Side, slack float64) float64 {
	if value <= 0 {
		return value
	}
	for _, step := range m.stepsOf(code) {
		rounded := side.of(value/step) * step
		if rounded > 0 && math.Abs(rounded-value) <= slack*value {
			return side.short(rounded, value)
		}
	}
	return side.short(side.figures(value), value)
}

// onStep is the part of a step by which an amount may miss it through float arithmetic alone.
const onStep = 1e-9

func (s Side) of(steps float64) float64 {
	nearest := math.Round(steps)
	if math.Abs(steps-nearest) <= onStep*math.Max(1, steps) {
		return nearest
	}
	switch s {
	case Up:
		return math.Ceil(steps)
	case Down:
		return math.Floor(steps)
	}
	return nearest
}

// figures keeps three figures.
func (s Side) figures(value float64) float64 {
	scale := math.Pow(10, 2-math.Floor(math.Log10(value)))
	return s.of(value*scale) / scale
}

// short cuts a value to six decimals to its side, so that a third of a cup is readable JSON.
func (s Side) short(rounded, exact float64) float64 {
	const decimals = 1e6
	short := s.of(rounded*decimals) / decimals
	if short <= 0 || s == Up && short < exact*(1-onStep) || s == Down && short > exact*(1+onStep) {
		return rounded
	}
	return short
}
