package measure

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func measures(t testing.TB) *Measures {
	t.Helper()
	units, err := LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	m, err := Load(units)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// What a cook would say. The equalities behind them are those of units.csv: 16 tbsp or 48 tsp a cup, 4 cups a quart,
// 16 oz a pound.
func TestAmountsInWordsOfKitchens(t *testing.T) {
	m := measures(t)
	const cup, pound = 236.5882365, 453.59237
	tests := []struct {
		got, want string
	}{
		{m.Volume(cup, Nearest, Strict).Household.Text, "1 cup"},
		{m.Volume(2.5*cup, Nearest, Strict).Household.Text, "2 1/2 cups"},
		{m.Volume(cup/3, Nearest, Strict).Household.Text, "1/3 cup"},
		{m.Volume(2.625*cup, Up, Strict).Household.Text, "2 1/2 cups 2 tbsp"},
		{m.Volume(7.0/16*cup, Nearest, Strict).Household.Text, "1/4 cup 3 tbsp"},
		{m.Volume(29*cup, Up, Strict).Household.Text, "7 qt 1 cup"},
		{m.Volume(22*cup, Up, Strict).Household.Text, "5 1/2 qt"},
		{m.Volume(cup/16, Nearest, Strict).Household.Text, "1 tbsp"},
		{m.Volume(cup/48*4.5, Nearest, Strict).Household.Text, "1 1/2 tbsp"},
		{m.Volume(cup/48, Nearest, Strict).Household.Text, "1 tsp"},
		{m.Volume(cup/192, Nearest, Strict).Household.Text, "1/4 tsp"},
		{m.Volume(5*cup, Up, Strict).Metric.Text, "1.19 L"},
		{m.Volume(5*cup, Down, Strict).Metric.Text, "1.18 L"},
		{m.Volume(cup, Up, Strict).Metric.Text, "237 mL"},
		{m.Mass(8*pound, Down, Strict).Household.Text, "8 lb"},
		{m.Mass(8*pound, Down, Strict).Metric.Text, "3.6 kg"},
		{m.Mass(2.75*pound, Down, Strict).Household.Text, "2 3/4 lb"},
		{m.Mass(2.2*pound, Down, Strict).Household.Text, "2 lb 3 oz"},
		{m.Mass(pound/2, Nearest, Strict).Household.Text, "8 oz"},
		{m.Mass(454, Down, Strict).Metric.Text, "454 g"},
		{m.Count(3.7, "head", Nearest, 0.02).Household.Text, "3 3/4 heads"},
		{m.Count(44.4, "each", Down, 0.01).Household.Text, "44"},
	}
	for _, test := range tests {
		t.Run(test.want, func(t *testing.T) {
			if test.got != test.want {
				t.Errorf("%q, want %q", test.got, test.want)
			}
		})
	}
}

// TestRoundKeepsToItsSide holds every unit to the side asked for, and to the slack wherever a measure is fine enough.
func TestRoundKeepsToItsSide(t *testing.T) {
	m := measures(t)
	units := append(m.units.ByDimension(DimensionVolume), m.units.ByDimension(DimensionMass)...)
	units = append(units, m.units.ByDimension(DimensionCount)...)
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom(units).Draw(t, "unit")
		value := math.Pow(10, rapid.Float64Range(-3, 4).Draw(t, "magnitude"))
		up, down := m.Round(value, unit.Code, Up, Strict), m.Round(value, unit.Code, Down, Strict)
		if up < value*(1-1e-8) || down > value*(1+1e-8) || down <= 0 {
			t.Fatalf("%v %s: up %v, down %v", value, unit.Code, up, down)
		}
		// Three figures, the last resort, are within 1 %.
		if up > value*1.0101 || down < value*0.9899 {
			t.Fatalf("%v %s: up %v, down %v: more than 1 %% off", value, unit.Code, up, down)
		}
	})
}

// TestBothSystemsSayTheSame reads both systems back into one unit.
func TestBothSystemsSayTheSame(t *testing.T) {
	m := measures(t)
	rapid.Check(t, func(t *rapid.T) {
		value := math.Pow(10, rapid.Float64Range(0, 5).Draw(t, "magnitude"))
		side := rapid.SampledFrom([]Side{Up, Down}).Draw(t, "side")
		for _, both := range []Both{m.Volume(value, side, Strict), m.Mass(value, side, Strict)} {
			for _, amount := range []Amount{both.Household, both.Metric} {
				unit := m.mustUnit(amount.Unit)
				si := unit.SI(amount.Value) / unit.SI(1)
				exact := unit.From(value * 1e-6) // mL, or g
				if unit.Dimension == DimensionMass {
					exact = unit.From(value * 1e-3)
				}
				if side == Up && si < exact*(1-1e-8) || side == Down && si > exact*(1+1e-8) || math.Abs(si-exact) > 0.0102*exact {
					t.Fatalf("%v rounded %v is %v %s, exact %v", value, side, amount.Value, amount.Unit, exact)
				}
			}
		}
	})
}
