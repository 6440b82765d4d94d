package acidity_test

import (
	"math"
	"testing"

	"jarwright/validate/acidity"
)

// The likely range is what each group of inputs does by itself, added as squares: against the bounds that the solver gives for one group
// at a time, on every measured case whose bounds are narrow enough for a first order.
func TestLikelyIsTheSumOfSquares(t *testing.T) {
	model := load(t)
	tried := 0
	for _, c := range measuredCases() {
		bands := c.bands(model)
		whole, solved, err := model.SolveBands(bands)
		if err != nil {
			t.Fatal(err)
		}
		likely := model.Likely(bands, whole, solved)
		if likely.Low < whole.Low || likely.High > whole.High || likely.Low > solved.PH || likely.High < solved.PH || likely.Estimate != solved.PH {
			t.Errorf("%s: %+v does not lie within %+v around %v", c.id, likely, whole, solved.PH)
		}
		drivers, err := model.Drivers(bands)
		if err != nil {
			t.Fatal(err)
		}
		up, down := 0.0, 0.0
		for _, d := range drivers {
			up += (d.PH.High - solved.PH) * (d.PH.High - solved.PH)
			down += (solved.PH - d.PH.Low) * (solved.PH - d.PH.Low)
		}
		t.Logf("%s: likely %.2f to %.2f, by the solver %.2f to %.2f, bounds %.2f to %.2f", c.id, likely.Low, likely.High,
			solved.PH-math.Sqrt(down), solved.PH+math.Sqrt(up), whole.Low, whole.High)
		if whole.High-whole.Low > 0.75 {
			continue
		}
		tried++
		if high := likely.High - solved.PH; high > 1.25*math.Sqrt(up)+0.02 || high < 0.6*math.Sqrt(up)-0.02 {
			t.Errorf("%s: likely up by %.3f, by the solver %.3f", c.id, high, math.Sqrt(up))
		}
		if low := solved.PH - likely.Low; low > 1.25*math.Sqrt(down)+0.02 || low < 0.6*math.Sqrt(down)-0.02 {
			t.Errorf("%s: likely down by %.3f, by the solver %.3f", c.id, low, math.Sqrt(down))
		}
	}
	if tried < 5 {
		t.Errorf("only %d cases", tried)
	}
}

// Of one input alone the likely range is that of the input, by the slope of the balance; by hand a change of strength by a share s of
// acetic acid alone moves the pH by s / (2 ln 10), and with produce by less. Two inputs of the same size make it wider by the root of two.
func TestLikelyOfOneInput(t *testing.T) {
	model := load(t)
	mix := acidity.Mixture{WaterKg: 1}
	mix.Acids[acidity.Acetic] = 0.2
	open := func(change func(*acidity.Bands)) acidity.Band {
		b := acidity.Exact(mix)
		b.Produce = []acidity.ProduceBand{
			{MassKg: 0.5, NaturalPH: acidity.Exactly(5.5), BufferMolPerKg: acidity.Exactly(0.015)},
			{MassKg: 0.5, NaturalPH: acidity.Exactly(5.5), BufferMolPerKg: acidity.Exactly(0.015)},
		}
		change(&b)
		bounds, solved, err := model.SolveBands(b)
		if err != nil {
			t.Fatal(err)
		}
		likely := model.Likely(b, bounds, solved)
		return acidity.Band{Low: solved.PH - likely.Low, High: likely.High - solved.PH}
	}
	same := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9+want*0.07 {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	shut := open(func(*acidity.Bands) {})
	same("shut, up", shut.High, 0)
	same("shut, down", shut.Low, 0)
	household := open(func(b *acidity.Bands) { b.Household = acidity.Within(0.01) })
	strength := open(func(b *acidity.Bands) { b.Strength[acidity.Acetic] = acidity.Within(0.01) })
	both := open(func(b *acidity.Bands) {
		b.Household, b.Strength[acidity.Acetic] = acidity.Within(0.01), acidity.Within(0.01)
	})
	if household.High <= 0 || household.Low <= 0 {
		t.Fatalf("household %+v", household)
	}
	same("strength as household", strength.High, household.High)
	same("both", both.High, household.High*math.Sqrt2)
	same("both, down", both.Low, household.Low*math.Sqrt2)
	one := open(func(b *acidity.Bands) { b.Produce[0].NaturalPH = acidity.Band{Low: 5.45, Estimate: 5.5, High: 5.55} })
	two := open(func(b *acidity.Bands) {
		for i := range b.Produce {
			b.Produce[i].NaturalPH = acidity.Band{Low: 5.45, Estimate: 5.5, High: 5.55}
		}
	})
	same("two own pH, independent", two.High, one.High*math.Sqrt2)
	buffer := acidity.Band{Low: 0.0148, Estimate: 0.015, High: 0.0152}
	other := acidity.Band{Low: 0.0148, Estimate: 0.015, High: 0.01520001}
	alone := open(func(b *acidity.Bands) { b.Produce[0].BufferMolPerKg = buffer })
	shared := open(func(b *acidity.Bands) { b.Produce[0].BufferMolPerKg, b.Produce[1].BufferMolPerKg = buffer, buffer })
	apart := open(func(b *acidity.Bands) { b.Produce[0].BufferMolPerKg, b.Produce[1].BufferMolPerKg = buffer, other })
	same("a buffer shared", shared.High, 2*alone.High)
	same("buffers apart", apart.High, alone.High*math.Sqrt2)
	same("a buffer shared, down", shared.Low, 2*alone.Low)
	pack := open(func(b *acidity.Bands) { b.Pack = acidity.Within(0.01) })
	driven := open(func(b *acidity.Bands) { b.Pack, b.BrineKg = acidity.Within(0.01), 0.5 })
	if !(pack.High > 0 && driven.High > pack.High && driven.Low > pack.Low) {
		t.Errorf("pack %+v, and with the brine it drives out %+v", pack, driven)
	}
	// What the food takes up is to the acid's charge as the two are: both balance but for the hydrogen ion.
	if ratio := pack.High / household.High; ratio < 0.9 || ratio > 1 {
		t.Errorf("pack over household: %v", ratio)
	}
	hard := open(func(b *acidity.Bands) { b.Mixture.AlkalinityMol, b.Alkalinity = 0.002, acidity.Within(0.01) })
	if !(hard.High > 0 && hard.Low > 0) {
		t.Errorf("hardness %+v", hard)
	}
}
