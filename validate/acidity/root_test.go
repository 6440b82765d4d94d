package acidity

import (
	"math"
	"testing"
)

// Zeros known in closed form or tabulated (Wallis's 2.0945514815423265, the omega constant, the fixed point of the cosine), with
// how often each function was worked out when the method was written: a slip that costs steps is a slip too.
func TestRoot(t *testing.T) {
	for name, test := range map[string]struct {
		f         func(float64) float64
		low, high float64
		want      float64
		most      int
	}{
		"Wallis":           {func(x float64) float64 { return x*x*x - 2*x - 5 }, 2, 3, 2.0945514815423265, 6},
		"exp(-x) = x":      {func(x float64) float64 { return math.Exp(-x) - x }, 0, 1, 0.5671432904097838, 5},
		"cos x = x":        {func(x float64) float64 { return math.Cos(x) - x }, 0, 1, 0.7390851332151607, 6},
		"falling":          {func(x float64) float64 { return 2 - x*x }, 0, 2, math.Sqrt2, 7},
		"ends exchanged":   {func(x float64) float64 { return 2 - x*x }, 2, 0, math.Sqrt2, 7},
		"a straight line":  {func(x float64) float64 { return 3*x - 1 }, -1, 1, 1.0 / 3, 2},
		"a middle":         {func(x float64) float64 { return x - 0.5 }, 0, 1, 0.5, 1},
		"a flat zero":      {func(x float64) float64 { return math.Pow(x-0.3, 3) }, -1, 1, 0.3, 37},
		"a step":           {func(x float64) float64 { return math.Copysign(1, x-0.7) }, 0, 1, 0.7, 36},
		"far off the zero": {func(x float64) float64 { return math.Exp(20*x) - 2 }, -1, 1, math.Ln2 / 20, 11},
	} {
		t.Run(name, func(t *testing.T) {
			evaluations := 0
			counted := func(x float64) float64 { evaluations++; return test.f(x) }
			got := root(test.low, test.f(test.low), test.high, test.f(test.high), 1e-11, counted)
			if math.Abs(got-test.want) > 2e-11 {
				t.Errorf("%.15f, want %.15f", got, test.want)
			}
			if evaluations > test.most {
				t.Errorf("worked out %d times, at most %d", evaluations, test.most)
			}
		})
	}
}

// Where there is no change of sign, the better end is taken and nothing is worked out.
func TestRootWithoutAChangeOfSign(t *testing.T) {
	never := func(float64) float64 {
		t.Error("worked out")
		return 0
	}
	for name, test := range map[string]struct{ fa, fb, want float64 }{
		"both above, the second nearer": {2, 1, 1},
		"both above, the first nearer":  {1, 2, 0},
		"both below, the second nearer": {-2, -1, 1},
		"both below, the first nearer":  {-1, -2, 0},
		"zero at the first":             {0, -1, 0},
		"zero at the second":            {-1, 0, 1},
	} {
		t.Run(name, func(t *testing.T) {
			if got := root(0, test.fa, 1, test.fb, 1e-11, never); got != test.want {
				t.Errorf("%g, want %g", got, test.want)
			}
		})
	}
}

// How much work a solve is. The guesses that start it change the work and never the answer, so only this test can see them.
func TestWorkOfASolve(t *testing.T) {
	model, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	acetic := func(mol float64) Acids { return Acids{Acetic: mol} }
	for name, test := range map[string]struct {
		mix  Mixture
		most int
	}{
		"vinegar":           {Mixture{WaterKg: 1, Acids: acetic(0.2)}, 50},
		"salted":            {Mixture{WaterKg: 1, Acids: acetic(0.2), SodiumChlorideMol: 0.8}, 43},
		"calcium":           {Mixture{WaterKg: 1, Acids: acetic(0.2), CalciumChlorideMol: 0.5}, 27},
		"hard water":        {Mixture{WaterKg: 1, Acids: acetic(0.5), AlkalinityMol: 0.3}, 49},
		"sodium citrate":    {Mixture{WaterKg: 1, Acids: Acids{Citric: 0.4}, SodiumMol: 0.6}, 55},
		"citric":            {Mixture{WaterKg: 1, Acids: Acids{Citric: 0.3}}, 61},
		"phosphate":         {Mixture{WaterKg: 1, Acids: Acids{Phosphoric: 0.5}, SodiumMol: 1}, 62},
		"water":             {Mixture{WaterKg: 1}, 36},
		"all salts at once": {Mixture{WaterKg: 1, Acids: acetic(1), SodiumChlorideMol: 0.4, CalciumChlorideMol: 0.3, AlkalinityMol: 0.2}, 26},
		"with produce": {Mixture{
			WaterKg: 1, Acids: acetic(0.2), SodiumChlorideMol: 0.3, Produce: []Produce{{MassKg: 0.5, NaturalPH: 5.6, BufferMolPerKg: 0.02}},
		}, 44},
		"mostly produce": {Mixture{WaterKg: 1, Acids: acetic(0.001), Produce: []Produce{{MassKg: 1, NaturalPH: 9, BufferMolPerKg: 5}}}, 39},
	} {
		t.Run(name, func(t *testing.T) {
			p, err := test.mix.problem()
			if err != nil {
				t.Fatal(err)
			}
			if _, err := model.solve(&p); err != nil {
				t.Fatal(err)
			}
			if p.evaluations < 1 || p.evaluations > test.most {
				t.Errorf("%d evaluations of the charge, at most %d", p.evaluations, test.most)
			}
		})
	}
}
