package acidity_test

import (
	"testing"

	"jarwright/validate/acidity"
	"jarwright/validate/catalog"
)

// measuredCase is one row of measured.csv as a jar. All are per kg of contents, and the whole of the contents counts as
// water, which is how the buffer figures were reckoned and how a caller without water contents must do it.
type measuredCase struct {
	id    string // of the row
	bands func(*acidity.Model) acidity.Bands
}

// foodBand is a food with the buffer of the embedded table and, where the figure has none of its own, a natural pH.
func foodBand(model *acidity.Model, massKg float64, item, family string, class catalog.Class, natural acidity.Band) acidity.ProduceBand {
	figure := model.Buffer(item, family, class)
	if figure.NaturalPH != nil {
		natural = *figure.NaturalPH
	}
	return acidity.ProduceBand{MassKg: massKg, NaturalPH: natural, BufferMolPerKg: figure.Buffer}
}

// contents is a kg of product that holds the given grams of an acid and the foods.
func contents(model *acidity.Model, acid acidity.Acid, grams float64, foods ...acidity.ProduceBand) acidity.Bands {
	mix := acidity.Mixture{WaterKg: 1}
	mix.Acids[acid] = model.Moles(acid, grams)
	b := acidity.Exact(mix)
	b.Produce = foods
	return b
}

// Natural pH below: FDA/CFSAN list of 2003 and Bad Bug Book (produce_ph of the reference), the widest credible range and
// its middle. Garlic: Abo et al. 2014. Egg: with its buffer figure.
var (
	cucumberPH = acidity.Band{Low: 5.1, Estimate: 5.45, High: 5.8}
	pepperPH   = acidity.Band{Low: 4.65, Estimate: 5.3, High: 5.93}
	onionPH    = acidity.Band{Low: 5.3, Estimate: 5.58, High: 5.85}
	garlicPH   = acidity.Band{Low: 5.8, Estimate: 6.2, High: 6.4}
	tomatoPH   = acidity.Band{Low: 3.92, Estimate: 4.4, High: 4.9}
	mixedPH    = acidity.Band{Low: 5.2, Estimate: 5.7, High: 6.3} // jicama, pepper, onion; jicama from memory
)

// salsaNDSU is the recipe of NDSU Extension in kg of contents: 7 qt tomato, 4 c long green chile, 5 c onion, 1/2 c
// jalapeno, 6 cloves garlic, with or without 2 c lemon juice. Weights: USDA SR Legacy (180, 150, 160, 90 g a cup, 3 g a
// clove, 244 g a cup of juice). Juice at the weaker of two bottled samples, 34.1 g/L citric acid. Tomatoes at 4.7, as the
// source says the ones in question are above 4.6.
func salsaNDSU(model *acidity.Model, juiceCups float64) acidity.Bands {
	const cupML = 236.588
	tomato, chile, onion, jalapeno, garlic := 28*0.180, 4*0.150, 5*0.160, 0.5*0.090, 6*0.003
	weak, _ := model.Constant("lemon_juice.bottled_low")
	mix := acidity.Mixture{WaterKg: tomato + chile + onion + jalapeno + garlic + juiceCups*0.244}
	mix.Acids[acidity.Citric] = model.Moles(acidity.Citric, juiceCups*cupML/1000*weak.Value)
	b := acidity.Exact(mix)
	b.Produce = []acidity.ProduceBand{
		foodBand(model, tomato, "tomato", "tomato", catalog.AcidFood, acidity.Band{Low: 4.6, Estimate: 4.7, High: 4.9}),
		foodBand(model, chile+jalapeno, "", "hot-pepper", catalog.LowAcid, pepperPH),
		foodBand(model, onion, "onion", "onion", catalog.LowAcid, onionPH),
		foodBand(model, garlic, "garlic", "garlic", catalog.LowAcid, garlicPH),
	}
	return b
}

func cucumbers(model *acidity.Model, aceticG, massKg, saltG float64) acidity.Bands {
	b := contents(model, acidity.Acetic, aceticG, foodBand(model, massKg, "cucumber", "cucumber", catalog.LowAcid, cucumberPH))
	b.Mixture.SodiumChlorideMol = saltG / 58.44
	return b
}

func measuredCases() []measuredCase {
	egg := func(m *acidity.Model) acidity.ProduceBand {
		return foodBand(m, 0.6, "egg", "egg", catalog.Egg, acidity.Band{})
	}
	firm := func(b acidity.Bands) acidity.Bands {
		b.Mixture.CalciumChlorideMol = 4.5 / 110.98
		return b
	}
	return []measuredCase{
		{"egg-5", func(m *acidity.Model) acidity.Bands { return contents(m, acidity.Acetic, 20, egg(m)) }},
		{"egg-2.5", func(m *acidity.Model) acidity.Bands { return contents(m, acidity.Acetic, 10, egg(m)) }},
		{"garlic-citric", func(m *acidity.Model) acidity.Bands {
			return contents(m, acidity.Citric, 22.5, foodBand(m, 0.25, "garlic", "garlic", catalog.LowAcid, garlicPH))
		}},
		{"salsa-guideline", func(m *acidity.Model) acidity.Bands {
			weak, _ := m.Constant("lemon_juice.bottled_low")
			mix := acidity.Mixture{WaterKg: 0.2 + 0.2 + 0.061}
			mix.Acids[acidity.Citric] = m.Moles(acidity.Citric, 0.060*weak.Value)
			b := acidity.Exact(mix)
			b.Produce = []acidity.ProduceBand{
				foodBand(m, 0.2, "tomato", "tomato", catalog.AcidFood, tomatoPH),
				foodBand(m, 0.1, "onion", "onion", catalog.LowAcid, onionPH),
				foodBand(m, 0.1, "bell-pepper", "sweet-pepper", catalog.LowAcid, pepperPH),
			}
			return b
		}},
		{"salsa-ndsu-with", func(m *acidity.Model) acidity.Bands { return salsaNDSU(m, 2) }},
		{"salsa-ndsu-without", func(m *acidity.Model) acidity.Bands { return salsaNDSU(m, 0) }},
		{"cucumber-cold", func(m *acidity.Model) acidity.Bands { return firm(cucumbers(m, 11, 0.55, 0)) }},
		{"cucumber-cold", func(m *acidity.Model) acidity.Bands { return firm(cucumbers(m, 11, 0.55, 40)) }},
		{"cucumber-cold", func(m *acidity.Model) acidity.Bands { return firm(cucumbers(m, 11, 0.60, 40)) }},
		{"pepper-2", func(m *acidity.Model) acidity.Bands {
			return contents(m, acidity.Acetic, 20, foodBand(m, 0.55, "bell-pepper", "sweet-pepper", catalog.LowAcid, pepperPH))
		}},
		{"relish-1.61", func(m *acidity.Model) acidity.Bands {
			return contents(m, acidity.Acetic, 16.1, foodBand(m, 0.54, "", "", catalog.LowAcid, mixedPH))
		}},
		{"acid-brine", func(m *acidity.Model) acidity.Bands {
			return contents(m, acidity.Acetic, 0.0333*60.053)
		}},
		{"acidified-range", func(m *acidity.Model) acidity.Bands { return cucumbers(m, 5, 0.55, 20) }},
		{"acidified-range", func(m *acidity.Model) acidity.Bands { return cucumbers(m, 20, 0.55, 20) }},
		{"fresh-pack", func(m *acidity.Model) acidity.Bands { return cucumbers(m, 5, 0.55, 0) }},
		{"fresh-pack", func(m *acidity.Model) acidity.Bands { return cucumbers(m, 11, 0.55, 0) }},
	}
}

// The papers stand beside each row of measured.csv. A measured figure with its proportions must lie within the bounds and
// within 0.2 of the estimate ("about" is one stated as about); an inequality must hold for the estimate. Every row is
// either a case here or says why it cannot be one.
func TestMeasured(t *testing.T) {
	model := load(t)
	answers := map[string][]acidity.Band{}
	for _, c := range measuredCases() {
		answers[c.id] = append(answers[c.id], bounds(t, model, c.bands(model)))
	}
	for _, row := range worked(t, "measured.csv") {
		id, cases := row["id"], answers[row["id"]]
		if (len(cases) > 0) == (row["unchecked_because"] != "") {
			t.Errorf("%s: %d cases, unchecked because %q", id, len(cases), row["unchecked_because"])
		}
		delete(answers, id)
		low, high := number(t, row["ph_low"]), number(t, row["ph_high"])
		for _, pH := range cases {
			t.Logf("%-18s %s %g-%g: estimate %.2f, bounds %.2f to %.2f (%s)", id, row["relation"], low, high, pH.Estimate, pH.Low, pH.High, row["paper"])
			switch row["relation"] {
			case "equals", "about":
				near(t, id+" estimate, "+row["paper"], pH.Estimate, low, 0.2)
				if low < pH.Low || low > pH.High {
					t.Errorf("%s: measured %g lies outside %.3f to %.3f, %s", id, low, pH.Low, pH.High, row["paper"])
				}
			case "below", "at_most", "above", "range":
				if !(pH.Estimate > low && pH.Estimate < high) {
					t.Errorf("%s: estimate %.3f is not from %g to %g, %s", id, pH.Estimate, low, high, row["paper"])
				}
			default:
				t.Errorf("%s: unknown relation %q", id, row["relation"])
			}
		}
	}
	for id := range answers {
		t.Errorf("%s stands in no row of measured.csv", id)
	}
}
