package catalog

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"jarwright/validate/table"
)

// Tolerance is the id of an allowance for what a kitchen cannot measure.
type Tolerance string

// Every tolerance of the program, each a row of tolerances.csv.
const (
	RatioTolerance        Tolerance = "ratio"
	SaltMassTolerance     Tolerance = "salt-mass"
	HeadspaceTolerance    Tolerance = "headspace"
	PieceTolerance        Tolerance = "piece-size"
	CapacityTolerance     Tolerance = "capacity"
	DepthTolerance        Tolerance = "depth"
	TemperatureTolerance  Tolerance = "temperature"
	RefrigeratorTolerance Tolerance = "refrigerator-temperature"
	PantryTolerance       Tolerance = "pantry-temperature"
	TimeTolerance         Tolerance = "time"
	RestTolerance         Tolerance = "rest"
	FitTolerance          Tolerance = "fit"
	ElevationTolerance    Tolerance = "elevation"
	ThermometerTolerance  Tolerance = "thermometer"
	BufferTolerance       Tolerance = "buffer-temperature"
	ShortFruitTolerance   Tolerance = "short-fruit"
	SeasoningTolerance    Tolerance = "salt-and-sugar"
	FermentTolerance      Tolerance = "ferment-temperature"
	JarRoundingTolerance  Tolerance = "jar-rounding"
	SweetenedTolerance    Tolerance = "sweetened"
	ShortLiquidTolerance  Tolerance = "short-liquid"
	MetricTwinTolerance   Tolerance = "metric-twin"
	factorUnit                      = "factor" // of a tolerance: so many times the printed amount
	fractionUnit                    = "fraction"
	tolerancesFile                  = "tolerances.csv"
)

// Tolerances lists the ids of every tolerance; the table has a row for each and no other.
func Tolerances() []Tolerance {
	return []Tolerance{
		RatioTolerance, SaltMassTolerance, HeadspaceTolerance, PieceTolerance, CapacityTolerance, DepthTolerance,
		TemperatureTolerance, RefrigeratorTolerance, PantryTolerance, TimeTolerance, RestTolerance, FitTolerance,
		ElevationTolerance, ThermometerTolerance, BufferTolerance, ShortFruitTolerance, SeasoningTolerance, FermentTolerance,
		JarRoundingTolerance, SweetenedTolerance, ShortLiquidTolerance, MetricTwinTolerance,
	}
}

// Allowance is one row of tolerances.csv: by how much a measure may miss without counting as a departure.
type Allowance struct {
	ID       Tolerance
	Value    float64
	Unit     string  // code of a unit, "fraction" or "factor"
	SI       float64 // the value in SI units; of a fraction or factor the value itself
	Forgives string
	Reason   string
	Citation Citation
}

// Tolerance is by how much a measure may miss, in SI units: m, K and s, or a fraction or factor. It panics as Allowance does.
func (t *Tables) Tolerance(id Tolerance) float64 { return t.Allowance(id).SI }

// Allowance is the row of a tolerance. It panics when the table lacks the id, which is a fault of the program and not of its
// input: every constant was looked for when the table was loaded.
func (t *Tables) Allowance(id Tolerance) Allowance {
	allowance, found := t.tolerances[id]
	if !found {
		panic(fmt.Sprintf("%s has no row %q", tolerancesFile, id))
	}
	return allowance
}

func (l *loader) loadTolerances() error {
	columns := []string{"id", "value", "unit", "forgives", "reason", "source", "locator", "verified"}
	err := l.eachRow(tolerancesFile, columns, func(r *table.Row) {
		a := Allowance{
			ID: Tolerance(r.Text("id")), Value: r.Number("value"), Unit: r.Text("unit"), Forgives: r.Text("forgives"),
			Reason: r.Text("reason"), Citation: l.citation(r, ""),
		}
		a.SI = a.Value
		if a.Unit != fractionUnit && a.Unit != factorUnit {
			r.Fail(l.checkUnit(a.Unit))
			if unit, found := l.units.Lookup(a.Unit); found {
				a.SI = unit.SI(a.Value) - unit.SI(0)
			}
		}
		if !(a.Value > 0) || a.Forgives == "" || a.Reason == "" {
			r.Fail(errors.New("it needs a positive value, what it forgives and a reason"))
		}
		if _, taken := l.tables.tolerances[a.ID]; taken || !slices.Contains(Tolerances(), a.ID) {
			r.Fail(fmt.Errorf("id %q stands twice or no rule reads it", a.ID))
		}
		l.tables.tolerances[a.ID] = a
		l.tables.Allowances = append(l.tables.Allowances, a)
	})
	if err != nil {
		return err
	}
	for _, id := range Tolerances() {
		if _, found := l.tables.tolerances[id]; !found {
			return fmt.Errorf("read %s: no row %q", tolerancesFile, id)
		}
	}
	for i := range l.tables.Schedules {
		l.tables.Schedules[i].elevationTolerance = l.tables.Tolerance(ElevationTolerance)
	}
	return nil
}

// Likeness holds the weights by which tested recipes are ordered by how much a cook's recipe resembles them. They choose the
// recipe that is compared with and decide nothing about safety. All are fractions but UnknownGrams.
type Likeness struct {
	StandIn      float64 // share of the weight of a food that a published stand-in counts for
	Family       float64 // share of the weight of a food that another of its family counts for
	Other        float64 // loss when sweetener, fat, thickener, firming agent or egg differ
	Seasoning    float64 // loss when the seasonings differ
	Cover        float64 // loss when another liquid covers the food
	Kind         float64 // loss when the kind of recipe differs
	Keep         float64 // loss when the place of keeping differs
	Sugar        float64 // loss for each unit of difference in the share of sugar
	Form         float64 // loss when the main food is cut otherwise
	Least        float64 // below this no tested recipe is near
	Equals       float64 // recipes this close are told apart by their departures
	Clear        float64 // from here on the tested recipe is surely the one meant, and fixes are offered
	UnknownGrams float64 // grams that stand for an amount left out
}

func (l *loader) loadLikeness() error {
	k := &l.tables.Likeness
	fields := map[string]*float64{
		"stand-in": &k.StandIn, "family": &k.Family, "other": &k.Other, "seasoning": &k.Seasoning, "cover": &k.Cover,
		"kind": &k.Kind, "keep": &k.Keep, "sugar": &k.Sugar, "form": &k.Form, "least": &k.Least, "equals": &k.Equals,
		"clear": &k.Clear, "unknown-grams": &k.UnknownGrams,
	}
	columns := []string{"id", "value", "meaning", "source", "locator", "verified"}
	err := l.eachRow("likeness.csv", columns, func(r *table.Row) {
		id, value := r.Text("id"), r.Number("value")
		l.citation(r, "")
		field, known := fields[id]
		if !known || *field != 0 || value <= 0 {
			r.Fail(fmt.Errorf("weight %q is not known, stands twice or is not positive", id))
			return
		}
		*field = value
	})
	if err != nil {
		return err
	}
	for _, id := range slices.Sorted(maps.Keys(fields)) {
		if *fields[id] == 0 {
			return fmt.Errorf("read likeness.csv: no row %q", id)
		}
	}
	return nil
}
