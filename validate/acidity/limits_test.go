package acidity_test

import (
	"errors"
	"math"
	"testing"

	"jarwright/validate/acidity"
	"jarwright/validate/catalog"
)

// Each limit of a mixture just inside and just outside.
func TestLimitsOfAMixture(t *testing.T) {
	model := load(t)
	of := func(change func(*acidity.Mixture)) error {
		mix := acidity.Mixture{
			WaterKg: 1, Acids: acidity.Acids{acidity.Acetic: 0.2},
			Produce: []acidity.Produce{{MassKg: 0.5, NaturalPH: 6, BufferMolPerKg: 0.02}},
		}
		change(&mix)
		_, err := model.PH(mix)
		return err
	}
	acid := func(mol float64) error { return of(func(m *acidity.Mixture) { m.Acids[acidity.Lactic] = mol }) }
	ionic := func(strength float64) error { return of(func(m *acidity.Mixture) { m.FixedIonicStrength = &strength }) }
	food := func(massKg, natural, buffer float64) error {
		return of(func(m *acidity.Mixture) { m.Produce = []acidity.Produce{{massKg, natural, buffer}} })
	}
	for name, test := range map[string]struct{ inside, outside error }{
		"little water": {
			of(func(m *acidity.Mixture) { *m = acidity.Mixture{WaterKg: 1e-9} }),
			of(func(m *acidity.Mixture) { *m = acidity.Mixture{WaterKg: 0.99e-9} }),
		},
		"much water":      {of(func(m *acidity.Mixture) { m.WaterKg = 1e9 }), of(func(m *acidity.Mixture) { m.WaterKg = 1.01e9 })},
		"no acid":         {acid(0), acid(-1e-9)},
		"all acid":        {acid(20), acid(20.01)},
		"no salt":         {of(func(m *acidity.Mixture) { m.SodiumChlorideMol = 0 }), of(func(m *acidity.Mixture) { m.SodiumChlorideMol = -1e-9 })},
		"all salt":        {of(func(m *acidity.Mixture) { m.SodiumChlorideMol = 10 }), of(func(m *acidity.Mixture) { m.SodiumChlorideMol = 10.01 })},
		"no calcium":      {of(func(m *acidity.Mixture) { m.CalciumChlorideMol = 0 }), of(func(m *acidity.Mixture) { m.CalciumChlorideMol = -1e-9 })},
		"all calcium":     {of(func(m *acidity.Mixture) { m.CalciumChlorideMol = 10 }), of(func(m *acidity.Mixture) { m.CalciumChlorideMol = 10.01 })},
		"no other sodium": {of(func(m *acidity.Mixture) { m.SodiumMol = 0 }), of(func(m *acidity.Mixture) { m.SodiumMol = -1e-9 })},
		"much other sodium": {
			of(func(m *acidity.Mixture) { m.SodiumMol, m.Acids[acidity.Citric] = 10, 5 }),
			of(func(m *acidity.Mixture) { m.SodiumMol, m.Acids[acidity.Citric] = 10.01, 5 }),
		},
		"soft water": {of(func(m *acidity.Mixture) { m.AlkalinityMol = 0 }), of(func(m *acidity.Mixture) { m.AlkalinityMol = -1e-9 })},
		"much alkalinity": {
			of(func(m *acidity.Mixture) { m.AlkalinityMol, m.Acids[acidity.Acetic] = 10, 12 }),
			of(func(m *acidity.Mixture) { m.AlkalinityMol, m.Acids[acidity.Acetic] = 10.01, 12 }),
		},
		"ideal":            {ionic(0), ionic(-1e-9)},
		"strong":           {ionic(50), ionic(50.1)},
		"no food":          {food(0, 6, 0.02), food(-1e-9, 6, 0.02)},
		"sour food":        {food(0.5, 0, 0.02), food(0.5, -0.01, 0.02)},
		"alkaline food":    {food(0.5, 14, 0.02), food(0.5, 14.01, 0.02)},
		"no buffer":        {food(0.5, 6, 0), food(0.5, 6, -1e-9)},
		"all buffer":       {food(1, 6, 10), food(1, 6, 10.01)},
		"buffers together": {food(2, 6, 5), food(2.01, 6, 5)},
	} {
		t.Run(name, func(t *testing.T) {
			if test.inside != nil {
				t.Errorf("just inside: %v", test.inside)
			}
			if !errors.Is(test.outside, acidity.ErrOutOfRange) {
				t.Errorf("just outside: %v", test.outside)
			}
		})
	}
}

// A pH outside the scale is refused at both ends: lye; and citric acid by the limiting law at an ionic strength far beyond it,
// where every proton comes off.
func TestNoPHOutsideTheScale(t *testing.T) {
	model, strong := load(t), 50.0
	if _, err := model.PH(acidity.Mixture{WaterKg: 1, SodiumMol: 8}); !errors.Is(err, acidity.ErrOutOfRange) {
		t.Errorf("lye: %v", err)
	}
	sour := acidity.Mixture{WaterKg: 1, Acids: acidity.Acids{acidity.Citric: 20}, FixedIonicStrength: &strong}
	if got, err := model.WithLimitingLaw(acidity.Citric).PH(sour); !errors.Is(err, acidity.ErrOutOfRange) {
		t.Errorf("citric acid by the limiting law: pH %v, %v", got.PH, err)
	}
	if _, err := model.PH(sour); err != nil {
		t.Errorf("citric acid by the Davies equation: %v", err)
	}
}

// The published use of the Davies equation ends at an ionic strength of 0.5 mol/kg.
func TestBeyondDavies(t *testing.T) {
	model := load(t)
	for strength, beyond := range map[float64]bool{0: false, 0.499: false, 0.5: false, 0.501: true, 5: true} {
		result := solve(t, model, acidity.Mixture{WaterKg: 1, Acids: acidity.Acids{acidity.Acetic: 0.1}, FixedIonicStrength: &strength})
		if result.BeyondDavies != beyond {
			t.Errorf("at %g mol/kg: %t, want %t", strength, result.BeyondDavies, beyond)
		}
	}
}

// Twice of everything has the same pH, sodium of other salts among it.
func TestSodiumIsCountedByTheKilogram(t *testing.T) {
	model := load(t)
	mix := acidity.Mixture{WaterKg: 1, Acids: acidity.Acids{acidity.Citric: 0.1}, SodiumMol: 0.15}
	near(t, "pH of twice as much", solve(t, model, scaled(mix, 2)).PH, solve(t, model, mix).PH, 1e-9)
}

// The pieces of a band, each end where it belongs.
func TestLimitsOfBands(t *testing.T) {
	model := load(t)
	mix := acidity.Mixture{
		WaterKg: 1, Acids: acidity.Acids{acidity.Acetic: 0.2},
		Produce: []acidity.Produce{{MassKg: 0.5, NaturalPH: 6, BufferMolPerKg: 0.01}},
	}
	of := func(change func(*acidity.Bands)) error {
		b := acidity.Exact(mix)
		change(&b)
		_, err := model.Bounds(b)
		return err
	}
	for name, test := range map[string]struct{ inside, outside error }{
		"nothing measured out": {
			of(func(b *acidity.Bands) { b.Household = acidity.Band{Low: 0, Estimate: 1, High: 1} }),
			of(func(b *acidity.Bands) { b.Household = acidity.Band{Low: -0.01, Estimate: 1, High: 1} }),
		},
		"estimate at the low end": {
			of(func(b *acidity.Bands) { b.Pack = acidity.Band{Low: 1, Estimate: 1, High: 2} }),
			of(func(b *acidity.Bands) { b.Pack = acidity.Band{Low: 1.01, Estimate: 1, High: 2} }),
		},
		"estimate at the high end": {
			of(func(b *acidity.Bands) { b.Pack = acidity.Band{Low: 0, Estimate: 1, High: 1} }),
			of(func(b *acidity.Bands) { b.Pack = acidity.Band{Low: 0, Estimate: 1, High: 0.99} }),
		},
		// 0.5 kg packed twice as tightly drives out 0.5 kg of brine.
		"all the brine driven out": {
			of(func(b *acidity.Bands) { b.BrineKg, b.Pack = 0.5, acidity.Band{Low: 1, Estimate: 1, High: 2} }),
			of(func(b *acidity.Bands) { b.BrineKg, b.Pack = 0.499, acidity.Band{Low: 1, Estimate: 1, High: 2} }),
		},
		"twice the brine": {
			of(func(b *acidity.Bands) { b.BrineKg, b.Pack = 0.5, acidity.Band{Low: 0, Estimate: 1, High: 1} }),
			of(func(b *acidity.Bands) { b.BrineKg, b.Pack = 0.499, acidity.Band{Low: 0, Estimate: 1, High: 1} }),
		},
		"natural pH": {
			of(func(b *acidity.Bands) { b.Produce[0].NaturalPH.High = 14 }), of(func(b *acidity.Bands) { b.Produce[0].NaturalPH.High = 14.01 }),
		},
		"buffer": {
			of(func(b *acidity.Bands) { b.Produce[0].BufferMolPerKg.High = 20 }), of(func(b *acidity.Bands) { b.Produce[0].BufferMolPerKg.High = 20.1 }),
		},
	} {
		t.Run(name, func(t *testing.T) {
			if test.inside != nil {
				t.Errorf("just inside: %v", test.inside)
			}
			if !errors.Is(test.outside, acidity.ErrOutOfRange) {
				t.Errorf("just outside: %v", test.outside)
			}
		})
	}
}

// The bounds are the pH of mixtures that can be written down: a tenth more or less of the food with its buffer, its natural pH and
// the strength of the acid at the ends of their bands. A food more sour than the jar gives acid off, so less of it is higher.
func TestBoundsAreThoseOfTheirCorners(t *testing.T) {
	model := load(t)
	for name, natural := range map[string]acidity.Band{
		"low-acid food": {Low: 5, Estimate: 5.5, High: 6}, "a food more sour than the jar": {Low: 1.5, Estimate: 1.8, High: 2},
	} {
		t.Run(name, func(t *testing.T) {
			b := acidity.Exact(acidity.Mixture{WaterKg: 1, Acids: acidity.Acids{acidity.Acetic: 0.05}})
			b.Produce = []acidity.ProduceBand{{MassKg: 0.5, NaturalPH: natural, BufferMolPerKg: acidity.Band{Low: 0.002, Estimate: 0.004, High: 0.006}}}
			b.Pack, b.Strength[acidity.Acetic] = acidity.Within(0.1), acidity.Within(0.04)
			corner := func(strength, pack, natural, buffer float64) float64 {
				return solve(t, model, acidity.Mixture{
					WaterKg: 1, Acids: acidity.Acids{acidity.Acetic: 0.05 * strength},
					Produce: []acidity.Produce{{MassKg: 0.5 * pack, NaturalPH: natural, BufferMolPerKg: buffer}},
				}).PH
			}
			want := acidity.Band{
				Low:      corner(1.04, 0.9, natural.Low, 0.002),
				Estimate: corner(1, 1, natural.Estimate, 0.004),
				High:     corner(0.96, 1.1, natural.High, 0.006),
			}
			if natural.High < 3 {
				want.Low, want.High = corner(1.04, 1.1, natural.Low, 0.006), corner(0.96, 0.9, natural.High, 0.002)
			}
			got, solved, err := model.SolveBands(b)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "low", got.Low, want.Low, 1e-9)
			near(t, "estimate", got.Estimate, want.Estimate, 1e-9)
			near(t, "high", got.High, want.High, 1e-9)
			near(t, "what was solved", solved.PH, want.Estimate, 1e-9)
		})
	}
}

func TestNamesOfAcids(t *testing.T) {
	for acid, want := range map[acidity.Acid]string{-1: "unknown", acidity.Acetic: "acetic", acidity.Ascorbic: "ascorbic", acidity.Ascorbic + 1: "unknown"} {
		if got := acid.String(); got != want {
			t.Errorf("%d: %q, want %q", acid, got, want)
		}
	}
}

// The printed density of aqueous acetic acid of 1, 5, 10 and 20 % by weight, at those strengths and half way between two.
func TestDensityOfVinegarByTheTable(t *testing.T) {
	model := load(t)
	at := func(percent string) (gramsPer100ML, density float64) {
		density = model.MustValue("acetic.density_" + percent)
		return number(t, percent) * density, density
	}
	one, densityOfOne := at("1")
	five, densityOfFive := at("5")
	twenty, densityOfTwenty := at("20")
	for name, test := range map[string]struct{ gramsPer100ML, want float64 }{
		"none":          {0, densityOfOne},
		"1 %":           {one, densityOfOne},
		"half way to 5": {(one + five) / 2, (densityOfOne + densityOfFive) / 2},
		"5 %":           {five, densityOfFive},
		"20 %":          {twenty, densityOfTwenty},
		"more":          {50, densityOfTwenty},
	} {
		t.Run(name, func(t *testing.T) { near(t, "density", model.VinegarDensity(test.gramsPer100ML), test.want, 1e-12) })
	}
}

// Where the pH of a food by itself is taken from. The rows are ours.
func TestNaturalPH(t *testing.T) {
	model := load(t)
	row := func(form, source string, verified catalog.Verified, low, high float64) catalog.PHRange {
		return catalog.PHRange{Form: form, Low: low, High: high, Citation: catalog.Citation{Source: source, Verified: verified}}
	}
	const fda = "fda-ph-2003"
	for name, test := range map[string]struct {
		rows  []catalog.PHRange
		class catalog.Class
		want  acidity.Band
	}{
		"the list of the FDA first": {
			[]catalog.PHRange{row("raw", "other", catalog.Read, 5, 6), row("raw", fda, catalog.Read, 5.2, 5.4), row("whole", fda, catalog.Read, 5.1, 5.3)},
			catalog.LowAcid,
			acidity.Band{Low: 5.1, Estimate: 5.25, High: 5.4},
		},
		"not of the prepared food": {
			[]catalog.PHRange{row("canned", fda, catalog.Read, 3, 4), row("raw", "other", catalog.Read, 5, 6)},
			catalog.LowAcid,
			acidity.Band{Low: 5, Estimate: 5.5, High: 6},
		},
		"what was read before what is recalled": {
			[]catalog.PHRange{row("raw", "memory", catalog.Recalled, 4, 7), row("raw", "other", catalog.Read, 5, 6)},
			catalog.LowAcid,
			acidity.Band{Low: 5, Estimate: 5.5, High: 6},
		},
		"the cooked food before what is recalled": {
			[]catalog.PHRange{row("raw", "memory", catalog.Recalled, 4, 7), row("cooked", "other", catalog.Read, 5, 6.5)},
			catalog.LowAcid,
			acidity.Band{Low: 5, Estimate: 5.75, High: 6.5},
		},
		"what is recalled": {
			[]catalog.PHRange{row("raw", "memory", catalog.Recalled, 4, 7), row("pickle", "other", catalog.Read, 3, 3.5)},
			catalog.LowAcid,
			acidity.Band{Low: 4, Estimate: 5.5, High: 7},
		},
		"the prior of low-acid food": {nil, catalog.LowAcid, model.NaturalPH(nil, catalog.LowAcid)},
		"the prior of acid food":     {nil, catalog.AcidFood, model.NaturalPH(nil, catalog.AcidFood)},
	} {
		t.Run(name, func(t *testing.T) {
			got := model.NaturalPH(&catalog.Item{ID: "no such food", Class: test.class, PH: test.rows}, test.class)
			near(t, "low", got.Low, test.want.Low, 1e-12)
			near(t, "estimate", got.Estimate, test.want.Estimate, 1e-12)
			near(t, "high", got.High, test.want.High, 1e-12)
		})
	}
	low, acid := model.NaturalPH(nil, catalog.LowAcid), model.NaturalPH(nil, catalog.AcidFood)
	if low.Estimate != model.Packing("natural_ph.low_acid.estimate") || low.Low <= 4.6 || acid.Estimate != model.Packing("natural_ph.acid_food.estimate") {
		t.Errorf("priors %+v and %+v", low, acid)
	}
	if egg := model.NaturalPH(nil, catalog.Egg); egg != low {
		t.Errorf("an egg that nobody knows counts as %+v", egg)
	}
	items := []catalog.Item{{ID: "sour root", Class: catalog.LowAcid, PH: []catalog.PHRange{row("raw", "other", catalog.Read, 5, 6)}}}
	model.Know(items)
	items[0].PH = nil
	if known := model.NaturalPH(&items[0], catalog.LowAcid); math.Abs(known.Estimate-5.5) > 1e-12 {
		t.Errorf("what was read at the start is %+v later", known)
	}
}
