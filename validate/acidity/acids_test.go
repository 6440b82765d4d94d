package acidity_test

import (
	"testing"

	"jarwright/validate/acidity"
)

// Sources: acid-derived-figures for the molarity of 5 % vinegar on both bases; laboratory method sheet after AOAC 930.35J
// for the titration (g per 100 mL = 0.6 x mL of 0.1 N NaOH / mL of sample).
func TestVinegar(t *testing.T) {
	model := load(t)
	near(t, "mol in a liter of 5 % w/v", model.VinegarMoles(1000, 5), 0.8326, 0.0001)
	near(t, "mol in a liter of 4 % w/v", model.VinegarMoles(1000, 4), 0.6661, 0.0001)
	near(t, "mol in 2 mL of 5 %", model.VinegarMoles(2, 5), 0.0001*5*2/0.6, 5e-6)

	density := model.VinegarDensity(5.026) // 5 % w/w x 1.0052 g/mL
	near(t, "density of 5 % w/w", density, 1.0052, 1e-6)
	near(t, "mol in a liter of 5 % w/w", 1000*density*0.05/60.053, 0.8369, 0.0001)
	near(t, "density of 10 % w/w", model.VinegarDensity(10.121), 1.0121, 1e-6)
	for _, percent := range []float64{0, 0.5, 4, 5, 7, 30} { // general article: table vinegar 1.00 to 1.03
		if got := model.VinegarDensity(percent); got < 0.999 || got > 1.03 {
			t.Errorf("density of %g %% vinegar is %g", percent, got)
		}
	}
}

// Source: study notes on titratable acidity: grams an equivalent, acetic 0.060, lactic 0.090, citric 0.064 per mmol. The
// others follow from their pKa and pH 8.2.
func TestEquivalents(t *testing.T) {
	model := load(t)
	for acid, gramsPerEquivalent := range map[acidity.Acid]float64{acidity.Acetic: 60, acidity.Lactic: 90, acidity.Citric: 64} {
		near(t, "g of "+acid.String()+" an equivalent", 1/(model.Moles(acid, 1)*float64(model.Equivalents(acid))), gramsPerEquivalent, 0.1)
	}
	for acid, want := range map[acidity.Acid]int{acidity.Malic: 2, acidity.Tartaric: 2, acidity.Phosphoric: 2, acidity.Ascorbic: 1} {
		if got := model.Equivalents(acid); got != want {
			t.Errorf("%s acid gives off %d protons by pH 8.2, want %d", acid, got, want)
		}
	}
}

// Arithmetic by hand: 500 g of jar with 1 % acetic acid, 2 % salt, 5 % sugar and 300 g of low-acid food.
func TestFigures(t *testing.T) {
	model := load(t)
	p := acidity.Portion{
		MassG: 500, VolumeML: 480, SaltG: 10, SugarG: 25, LowAcidFoodKg: 0.3, TestedAcidPerKg: 250,
		Acids: acidity.Acids{acidity.Acetic: 5 / 60.053},
	}
	f := model.Figures(p)
	near(t, "% acetic w/w", f.AceticPercentWW, 1, 1e-9)
	near(t, "% acetic w/v", f.AceticPercentWV, 500.0/480, 1e-9)
	near(t, "mmol per kg", f.AcidMmolPerKg, 5/60.053/0.3*1000, 1e-9)
	near(t, "share of the tested recipe", f.ShareOfTested, f.AcidMmolPerKg/250, 1e-12)
	near(t, "salt %", f.SaltPercentWW, 2, 1e-12)
	near(t, "sugar %", f.SugarPercentWW, 5, 1e-12)
	near(t, "sodium mg per 100 g", f.SodiumMgPer100G, 787, 1) // 393 mg of sodium a gram of salt, from memory

	p.Acids = acidity.Acids{acidity.Citric: 6.4 / 192.123} // 64 g of citric acid stand for 60 g of acetic
	near(t, "% acetic for 6.4 g citric", model.Figures(p).AceticPercentWW, 1.2, 0.002)

	p.OtherSodiumMol = 0.1
	near(t, "sodium of a citrate", model.Figures(p).SodiumMgPer100G-f.SodiumMgPer100G, 459.8, 0.01)
	if zero := model.Figures(acidity.Portion{}); zero != (acidity.Figures{}) {
		t.Errorf("nothing gives %+v", zero)
	}
}

// Source: Fragedakis et al. (about 2023), abstract: total buffering from pH 2 to 12 of 1 % citric acid 15.33 and of 0.75 %
// malic acid 10.95, in units of 10 meq/L. It is the charge that the acid gains between those pH. (Their ascorbic acid,
// 5.74 for 0.75 %, is that of a single proton; with the published second constant, 11.8, it would be 6.8.)
func TestTotalBuffering(t *testing.T) {
	model := load(t)
	none := 0.0
	chargeAt := func(acid acidity.Acid, gramsPerLiter, pH float64) float64 {
		mix := acidity.Mixture{
			WaterKg: 1, FixedIonicStrength: &none, // and a strong buffer that holds the pH
			Produce: []acidity.Produce{{MassKg: 1, NaturalPH: pH, BufferMolPerKg: 10}},
		}
		mix.Acids[acid] = model.Moles(acid, gramsPerLiter)
		result := solve(t, model, mix)
		near(t, "pH held", result.PH, pH, 0.02)
		return result.Anions[acid]
	}
	for _, c := range []struct {
		acid  acidity.Acid
		grams float64
		want  float64
	}{{acidity.Citric, 10, 15.33}, {acidity.Malic, 7.5, 10.95}} {
		got := 100 * (chargeAt(c.acid, c.grams, 12) - chargeAt(c.acid, c.grams, 2))
		near(t, "total buffering of "+c.acid.String(), got, c.want, 0.02*c.want)
	}
}
