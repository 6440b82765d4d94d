package figures

import (
	"jarwright/validate/acidity"
	"jarwright/validate/catalog"
	"jarwright/validate/contents"
	"jarwright/validate/facts"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// Acid lists the equilibrium pH with its bounds, and the plain figures of acid, salt and sugar; nothing where the pH was not
// worked out.
func Acid(f *facts.Facts) []report.Derived {
	if f.Acidity.Reason != "" {
		return nil
	}
	const usual = 16 // figures of the acid
	a := acidFigures{f: f, model: f.Acidity.Model, jarful: f.Contents.Jarful, list: make([]report.Derived, 0, usual)}
	a.equilibrium()
	jar, brine := a.model.Figures(a.jarful.Portion), a.model.Figures(a.jarful.Brine)
	a.acids(jar, brine)
	a.share()
	a.activeAcids()
	a.saltAndSugar(jar, brine)
	return a.list
}

// acidFigures gathers the figures.
type acidFigures struct {
	f      *facts.Facts
	model  *acidity.Model
	jarful *contents.Jarful
	list   []report.Derived
}

// plain adds a figure without bounds, rounded to as many digits.
func (a *acidFigures) plain(name string, value float64, digits int, unit, formula string, inputs ...report.Input) {
	a.list = append(a.list, report.Derived{
		Name: name, Value: measure.Round(value, digits), Unit: unit, Formula: formula, Inputs: inputs,
		Sources: []catalog.Citation{a.model.Citation("acetic.molar_mass")},
	})
}

// input is what a figure was worked out from, rounded to as many digits.
func input(name string, value float64, digits int, unit string) report.Input {
	return report.Input{Name: name, Value: measure.Round(value, digits), Unit: unit}
}

// equilibrium adds the pH with its bounds.
func (a *acidFigures) equilibrium() {
	mixture := a.jarful.Bands.Mixture
	inputs := []report.Input{
		input("acetic_acid", mixture.Acids[acidity.Acetic]*1e3, 1, "mmol"),
		input("citric_acid", mixture.Acids[acidity.Citric]*1e3, 1, "mmol"),
		input("water", mixture.WaterKg, 3, "kg"),
		input("sodium_chloride", mixture.SodiumChlorideMol*1e3, 1, "mmol"),
	}
	chemistry := []catalog.Citation{a.model.Citation("water.log_k"), a.model.Citation("acetic.pka1"), a.model.Citation("davies.b")}
	for _, food := range a.jarful.Foods {
		chemistry = catalog.AddCitation(chemistry, food.Buffer.Citation)
		inputs = append(inputs,
			input(food.Name, food.Kg, 3, "kg"),
			input(food.Name+", buffer", food.Buffer.Buffer.Estimate*1e3, 1, "mmol/kg/pH"),
			input(food.Name+", own pH", food.PH.Estimate, 2, "pH"))
	}
	value, low, high := banded(acidity.Band{Low: a.f.Acidity.Low, Estimate: a.f.Acidity.PH, High: a.f.Acidity.High}, 2)
	a.list = append(a.list, report.Derived{
		Name: facts.NameEquilibriumPH, Value: value, Low: low, High: high, Unit: "pH", Inputs: inputs, Sources: chemistry,
		Formula: "[H+] + [Na+] + 2[Ca2+] + alkalinity + sum of buffer x mass x (own pH - pH) = [OH-] + [Cl-] + charge of the acids; " +
			"Davies activities, 25 °C; one " + a.jarful.Where(),
	})
	bounds := []report.Input{
		input(facts.NameEquilibriumPH, a.f.Acidity.PH, 2, "pH"),
		input(facts.NameEquilibriumPH+", low", a.f.Acidity.Low, 2, "pH"),
		input(facts.NameEquilibriumPH+", high", a.f.Acidity.High, 2, "pH"),
	}
	value, low, high = banded(a.f.Acidity.Likely, 2)
	a.list = append(a.list, report.Derived{
		Name: facts.NameLikelyPH, Value: value, Low: low, High: high, Unit: "pH", Inputs: bounds,
		Sources: []catalog.Citation{a.model.Citation("tolerance.household")},
		Formula: "as " + facts.NameEquilibriumPH + ", from the same amounts, with the spreads of the inputs added as squares, as if they were independent; " +
			"foods of one class miss its buffer together",
	})
}

// weight is the weight of everything in the jar, as an input.
func (a *acidFigures) weight() report.Input {
	return input("weight of everything", a.jarful.Portion.MassG, 0, "g")
}

// acids adds the acid over the liquid, over everything and over the food that is low in acid.
func (a *acidFigures) acids(jar, brine acidity.Figures) {
	portion, acid := a.jarful.Portion, input("acid", jar.AcidMol*1e3, 1, "mmol")
	a.plain("acid_of_brine", brine.AceticPercentWV, 2, "g/100 mL", "acid, counted as acetic, over the volume of the liquid",
		acid, input("liquid", a.jarful.Brine.VolumeML, 0, "mL"))
	a.plain("acid_of_jar", jar.AceticPercentWV, 2, "g/100 mL", "acid, counted as acetic, over the volume of everything",
		acid, input("volume of everything", portion.VolumeML, 0, "mL"))
	a.plain("acid_of_jar_by_weight", jar.AceticPercentWW, 2, "g/100 g", "acid, counted as acetic, over the weight of everything", acid, a.weight())
	if jar.AcidMmolPerKg > 0 {
		a.plain("acid_per_low_acid_food", jar.AcidMmolPerKg, 0, "mmol/kg", "acid over the weight of low-acid food",
			acid, input("low-acid food", portion.LowAcidFoodKg, 3, "kg"))
	}
}

// share adds the acid for the food as a multiple of the tested recipe's.
func (a *acidFigures) share() {
	share := a.f.Match.Acid
	if share.Food <= 0 {
		return
	}
	a.list = append(a.list, report.Derived{
		Name: "acid_share_of_tested", Value: measure.Round(share.Acid/share.Food, 3), Unit: "fraction",
		Formula: "acid over food, each in proportion to the tested recipe",
		Inputs: []report.Input{
			input("acid, times the tested recipe's", share.Acid, 3, "fraction"),
			input("food, times the tested recipe's", share.Food, 3, "fraction"),
		},
		Sources: []catalog.Citation{a.f.Match.Recipe.Citation},
	})
}

// activeAcids adds the acid that a base finds and the acid that keeps its proton.
func (a *acidFigures) activeAcids() {
	if mol, err := a.model.TitratableMol(a.jarful.Estimate()); err == nil {
		a.plain("titratable_acidity", mol*a.model.MolarMass(acidity.Acetic)/a.jarful.Portion.MassG*100, 2, "g/100 g",
			"base that brings the contents to pH 8.2, counted as acetic acid, over the weight", input("base", mol*1e3, 1, "mmol"), a.weight())
	}
	solved := a.f.Acidity.Solved
	a.plain("undissociated_acetic_acid", solved.UndissociatedAceticMolPerKg*1e3, 1, "mmol/kg",
		"acetic acid that keeps its proton at this pH: the form that acts against microbes",
		input("acetic acid", solved.Total[acidity.Acetic]*1e3, 1, "mmol/kg"), input("pH", solved.PH, 2, "pH"))
}

// saltAndSugar adds what else is dissolved.
func (a *acidFigures) saltAndSugar(jar, brine acidity.Figures) {
	salt, sugar := input("salt", a.jarful.Portion.SaltG, 1, "g"), input("sugar", a.jarful.Portion.SugarG, 0, "g")
	a.plain("salt_of_brine", brine.SaltPercentWW, 2, "g/100 g", "salt over the weight of the liquid",
		salt, input("weight of the liquid", a.jarful.Brine.MassG, 0, "g"))
	a.plain("salt_of_jar", jar.SaltPercentWW, 2, "g/100 g", "salt over the weight of everything", salt, a.weight())
	a.plain("sodium", jar.SodiumMgPer100G, 0, "mg/100 g", "sodium of the salt over the weight of everything", salt, a.weight())
	a.plain("sugar_of_jar", jar.SugarPercentWW, 1, "g/100 g", "sugar over the weight of everything", sugar, a.weight())
}

func banded(b acidity.Band, digits int) (value float64, low, high *float64) {
	return measure.Round(b.Estimate, digits), new(measure.Round(b.Low, digits)), new(measure.Round(b.High, digits))
}
