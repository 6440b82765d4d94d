package acidity_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"jarwright/validate/acidity"
	"jarwright/validate/catalog"
)

// kitchen draws a jar of vinegar pickles: 0.3 to 4 % acetic acid in the whole, some citric acid, salt to 5 %.
func kitchen() *rapid.Generator[acidity.Mixture] {
	return rapid.Custom(func(t *rapid.T) acidity.Mixture {
		mix := acidity.Mixture{
			WaterKg:            rapid.Float64Range(0.1, 5).Draw(t, "water"),
			SodiumChlorideMol:  rapid.Float64Range(0, 0.8).Draw(t, "salt"),
			CalciumChlorideMol: rapid.Float64Range(0, 0.05).Draw(t, "calcium"),
			AlkalinityMol:      rapid.Float64Range(0, 0.006).Draw(t, "alkalinity"),
		}
		mix.Acids[acidity.Acetic] = rapid.Float64Range(0.05, 0.7).Draw(t, "acetic")
		mix.Acids[acidity.Citric] = rapid.SampledFrom([]float64{0, 0, 0.005, 0.03}).Draw(t, "citric")
		for range rapid.IntRange(0, 3).Draw(t, "foods") {
			mix.Produce = append(mix.Produce, acidity.Produce{
				MassKg:         rapid.Float64Range(0, 0.7).Draw(t, "mass"),
				NaturalPH:      rapid.Float64Range(3, 7).Draw(t, "natural pH"),
				BufferMolPerKg: rapid.Float64Range(0.005, 0.04).Draw(t, "buffer"),
			})
		}
		return perKg(mix, mix.WaterKg)
	})
}

// perKg takes the amounts of mix as meant for one kg of water and brings them to the water drawn.
func perKg(mix acidity.Mixture, factor float64) acidity.Mixture {
	water := mix.WaterKg
	mix = scaled(mix, factor)
	mix.WaterKg = water
	return mix
}

func scaled(mix acidity.Mixture, factor float64) acidity.Mixture {
	mix.WaterKg *= factor
	mix.SodiumChlorideMol *= factor
	mix.CalciumChlorideMol *= factor
	mix.SodiumMol *= factor
	mix.AlkalinityMol *= factor
	for acid := range mix.Acids {
		mix.Acids[acid] *= factor
	}
	produce := mix.Produce
	mix.Produce = nil
	for _, food := range produce {
		food.MassKg *= factor
		mix.Produce = append(mix.Produce, food)
	}
	return mix
}

// slack is what rounding in the solver may do to an inequality.
const slack = 1e-8

func TestMoreAcidNeverRaisesPH(t *testing.T) {
	model := load(t)
	rapid.Check(t, func(r *rapid.T) {
		mix := kitchen().Draw(r, "jar")
		before := solve(t, model, mix).PH
		acid := acidity.Acid(rapid.IntRange(0, len(mix.Acids)-1).Draw(r, "acid"))
		mix.Acids[acid] += mix.WaterKg * math.Pow(10, rapid.Float64Range(-6, 0).Draw(r, "log of more"))
		if after := solve(t, model, mix).PH; after > before+slack {
			r.Fatalf("more %s acid raised the pH from %v to %v", acid, before, after)
		}
	})
}

func TestMoreLowAcidFoodNeverLowersPH(t *testing.T) {
	model := load(t)
	rapid.Check(t, func(r *rapid.T) {
		mix := kitchen().Draw(r, "jar")
		before := solve(t, model, mix).PH
		mix.Produce = append(mix.Produce, acidity.Produce{
			MassKg:         mix.WaterKg * math.Pow(10, rapid.Float64Range(-5, 0.5).Draw(r, "log of more")),
			NaturalPH:      rapid.Float64Range(math.Max(4.6, before), 7.5).Draw(r, "natural pH"),
			BufferMolPerKg: rapid.Float64Range(0, 0.05).Draw(r, "buffer"),
		})
		if after := solve(t, model, mix).PH; after < before-slack {
			r.Fatalf("more food lowered the pH from %v to %v", before, after)
		}
	})
}

// From none to 5 %, which is far more than any fresh pack has.
func TestSaltMovesPHByLittle(t *testing.T) {
	model := load(t)
	rapid.Check(t, func(r *rapid.T) {
		mix := kitchen().Draw(r, "jar")
		mix.SodiumChlorideMol = 0
		before := solve(t, model, mix).PH
		mix.SodiumChlorideMol = mix.WaterKg * rapid.Float64Range(0, 0.9).Draw(r, "salt, to 5 %")
		if after := solve(t, model, mix).PH; math.Abs(after-before) >= 0.2 {
			r.Fatalf("salt moved the pH from %v to %v", before, after)
		}
	})
}

func TestScalingChangesNothing(t *testing.T) {
	model := load(t)
	rapid.Check(t, func(r *rapid.T) {
		mix := kitchen().Draw(r, "jar")
		factor := math.Pow(10, rapid.Float64Range(-3, 3).Draw(r, "log of scale"))
		one, many := solve(t, model, mix).PH, solve(t, model, scaled(mix, factor)).PH
		if math.Abs(one-many) > slack {
			r.Fatalf("%v became %v", one, many)
		}
	})
}

func band(r *rapid.T, name string, around, low, high float64) acidity.Band {
	return acidity.Band{
		Low:      around * rapid.Float64Range(low, 1).Draw(r, name+" low"),
		Estimate: around,
		High:     around * rapid.Float64Range(1, high).Draw(r, name+" high"),
	}
}

func uncertain(r *rapid.T) acidity.Bands {
	b := acidity.Exact(kitchen().Draw(r, "jar"))
	produceKg := 0.0
	for i := range b.Produce {
		food := &b.Produce[i]
		produceKg += food.MassKg
		food.NaturalPH = band(r, "natural pH", food.NaturalPH.Estimate, 0.9, 1.1)
		food.BufferMolPerKg = band(r, "buffer", food.BufferMolPerKg.Estimate, 0.5, 2)
	}
	b.Household = band(r, "household", 1, 0.8, 1.2)
	b.Pack = band(r, "pack", 1, 0.8, 1.2)
	b.Alkalinity = band(r, "alkalinity", 1, 0.5, 2)
	b.Strength[acidity.Acetic] = band(r, "strength", 1, 0.8, 1.2)
	if rapid.Bool().Draw(r, "brined") {
		b.BrineKg = math.Max(produceKg, 0.01)
	}
	return b
}

func bounds(t testing.TB, model *acidity.Model, b acidity.Bands) acidity.Band {
	t.Helper()
	answer, err := model.Bounds(b)
	if err != nil {
		t.Fatalf("%+v: %v", b, err)
	}
	return answer
}

func TestBoundsContainTheEstimateAndEveryDraw(t *testing.T) {
	model := load(t)
	rapid.Check(t, func(r *rapid.T) {
		b := uncertain(r)
		answer := bounds(t, model, b)
		if !(answer.Low <= answer.Estimate+slack && answer.Estimate <= answer.High+slack) {
			r.Fatalf("%v is not in order", answer)
		}
		inside := func(name string, band acidity.Band) float64 {
			return band.Low + (band.High-band.Low)*rapid.Float64Range(0, 1).Draw(r, name)
		}
		mix := b.Mixture
		pack, share := inside("pack", b.Pack), inside("household", b.Household)
		produceKg := 0.0
		for _, food := range b.Produce {
			produceKg += food.MassKg
			mix.Produce = append(mix.Produce, acidity.Produce{
				MassKg: food.MassKg * pack, NaturalPH: inside("natural pH", food.NaturalPH),
				BufferMolPerKg: inside("buffer", food.BufferMolPerKg),
			})
		}
		if b.BrineKg > 0 {
			share *= 1 - (pack-1)*produceKg/b.BrineKg
		}
		for acid := range mix.Acids {
			mix.Acids[acid] *= share * inside("strength", b.Strength[acid])
		}
		mix.AlkalinityMol *= inside("alkalinity", b.Alkalinity)
		if pH := solve(t, model, mix).PH; pH < answer.Low-slack || pH > answer.High+slack {
			r.Fatalf("a jar inside the bands has pH %v, outside %v", pH, answer)
		}
	})
}

func TestWiderBandsNeverNarrowTheBounds(t *testing.T) {
	model := load(t)
	rapid.Check(t, func(r *rapid.T) {
		b := uncertain(r)
		narrow := bounds(t, model, b)
		widen := func(band *acidity.Band) {
			band.Low *= rapid.Float64Range(0.9, 1).Draw(r, "lower")
			band.High *= rapid.Float64Range(1, 1.1).Draw(r, "higher")
		}
		for i := range b.Produce {
			widen(&b.Produce[i].NaturalPH)
			widen(&b.Produce[i].BufferMolPerKg)
		}
		for acid := range b.Strength {
			widen(&b.Strength[acid])
		}
		widen(&b.Household)
		widen(&b.Pack)
		widen(&b.Alkalinity)
		if wide := bounds(t, model, b); wide.Low > narrow.Low+slack || wide.High < narrow.High-slack {
			r.Fatalf("%v widened to %v", narrow, wide)
		}
	})
}

func TestExactBandsGiveThePH(t *testing.T) {
	model := load(t)
	rapid.Check(t, func(r *rapid.T) {
		mix := kitchen().Draw(r, "jar")
		answer, pH := bounds(t, model, acidity.Exact(mix)), solve(t, model, mix).PH
		for _, got := range []float64{answer.Low, answer.Estimate, answer.High} {
			if math.Abs(got-pH) > slack {
				r.Fatalf("%v for %v", answer, pH)
			}
		}
	})
}

// Source: acid-derived-figures: 55 % produce, 1 % acetic acid, buffer 15 against 30 gives 3.68 against 3.95.
func TestBufferIsTheWidestBand(t *testing.T) {
	model := load(t)
	ionic := 0.3
	mix := acidity.Mixture{WaterKg: 1, FixedIonicStrength: &ionic, Produce: []acidity.Produce{{MassKg: 0.55, NaturalPH: 5.7, BufferMolPerKg: 0.015}}}
	mix.Acids[acidity.Acetic] = model.Moles(acidity.Acetic, 10)
	b := acidity.Exact(mix)
	b.Produce[0].BufferMolPerKg = acidity.Band{Low: 0.0075, Estimate: 0.015, High: 0.03}
	b.Produce[0].NaturalPH = acidity.Band{Low: 5.2, Estimate: 5.7, High: 5.93}
	b.Household, b.Pack = acidity.Within(0.1), acidity.Within(0.1)
	drivers, err := model.Drivers(b)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "estimate", drivers[0].PH.Estimate, 3.68, 0.01)
	near(t, drivers[0].Input+" high", drivers[0].PH.High, 3.95, 0.01)
	whole := bounds(t, model, b)
	for _, driver := range drivers {
		if driver.PH.High > drivers[0].PH.High || driver.PH.Low < drivers[0].PH.Low {
			t.Errorf("%s moves the pH more than %s does", driver.Input, drivers[0].Input)
		}
		if driver.PH.High > whole.High || driver.PH.Low < whole.Low {
			t.Errorf("%s alone gives %v, wider than the whole %v", driver.Input, driver.PH, whole)
		}
	}
}

func TestBandsOutOfRange(t *testing.T) {
	model := load(t)
	mix := acidity.Mixture{
		WaterKg: 1, Acids: acidity.Acids{acidity.Acetic: 0.2},
		Produce: []acidity.Produce{{MassKg: 1, NaturalPH: 6, BufferMolPerKg: 0.01}},
	}
	for name, spoil := range map[string]func(*acidity.Bands){
		"zero value":           func(b *acidity.Bands) { *b = acidity.Bands{} },
		"out of order":         func(b *acidity.Bands) { b.Pack = acidity.Band{Low: 1.1, Estimate: 1, High: 0.9} },
		"not a number":         func(b *acidity.Bands) { b.Household.High = math.NaN() },
		"negative strength":    func(b *acidity.Bands) { b.Strength[acidity.Acetic].Low = -1 },
		"natural pH":           func(b *acidity.Bands) { b.Produce[0].NaturalPH.High = 20 },
		"mass":                 func(b *acidity.Bands) { b.Produce[0].MassKg = math.Inf(1) },
		"buffer":               func(b *acidity.Bands) { b.Produce[0].BufferMolPerKg.High = 1e6 },
		"produce stands twice": func(b *acidity.Bands) { b.Mixture.Produce = mix.Produce },
		"more than the jar":    func(b *acidity.Bands) { b.BrineKg, b.Pack = 0.1, acidity.Within(0.5) },
	} {
		t.Run(name, func(t *testing.T) {
			b := acidity.Exact(mix)
			spoil(&b)
			if _, err := model.Bounds(b); !errors.Is(err, acidity.ErrOutOfRange) {
				t.Errorf("%v; want ErrOutOfRange", err)
			}
			if _, err := model.Drivers(b); !errors.Is(err, acidity.ErrOutOfRange) {
				t.Errorf("drivers: %v; want ErrOutOfRange", err)
			}
		})
	}
}

func TestBufferFallsBackFromItemToClass(t *testing.T) {
	model := load(t)
	for _, want := range []struct {
		item, family string
		class        catalog.Class
		kind, key    string
		basis        acidity.Basis
	}{
		{"beet", "beet", catalog.LowAcid, "item", "beet", acidity.Measured},
		{"egg", "egg", catalog.Egg, "item", "egg", acidity.Measured},
		{"jalapeno-pepper", "hot-pepper", catalog.LowAcid, "family", "hot-pepper", acidity.Measured},
		{"cucumber", "cucumber", catalog.LowAcid, "class", "low_acid", acidity.Prior},
		{"salt", "salt", catalog.Salt, "class", "salt", acidity.None},
		{"cornstarch", "", catalog.Thickener, "class", "low_acid", acidity.Prior},
		{"", "", "no such class", "class", "low_acid", acidity.Prior},
	} {
		t.Run(want.item+" of "+want.family, func(t *testing.T) {
			got := model.Buffer(want.item, want.family, want.class)
			if got.Kind != want.kind || got.Key != want.key || got.Basis != want.basis {
				t.Errorf("%s %s on %s", got.Kind, got.Key, got.Basis)
			}
		})
	}
	for _, figure := range model.Buffers() {
		if figure.Citation.Source == "" || figure.Citation.Verified == "" {
			t.Errorf("%s %s names no source", figure.Kind, figure.Key)
		}
		if b := figure.Buffer; figure.Basis == acidity.Prior && (math.Abs(b.High-2*b.Estimate) > 1e-12 || math.Abs(b.Low-b.Estimate/2) > 1e-12) {
			t.Errorf("%s %s is a prior without a factor-2 band", figure.Kind, figure.Key)
		}
	}
	for _, constant := range model.Constants() {
		if constant.Citation.Source == "" || constant.Citation.Verified == "" || constant.Unit == "" {
			t.Errorf("%s lacks its source, standing or unit", constant.Name)
		}
	}
}
