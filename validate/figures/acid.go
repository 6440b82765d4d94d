package figures

import (
	"fmt"
	"strings"

	"jarwright/validate/acidity"
	"jarwright/validate/catalog"
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
	m, c, solved := f.Acidity.Model, f.Contents.Jarful, f.Acidity.Solved
	pH := acidity.Band{Low: f.Acidity.Low, Estimate: f.Acidity.PH, High: f.Acidity.High}
	jar, brine := m.Figures(c.Portion), m.Figures(c.Brine)
	where := c.Where()
	chemistry := []catalog.Citation{m.Citation("water.log_k"), m.Citation("acetic.pka1"), m.Citation("davies.b")}
	for _, food := range c.Foods {
		chemistry = catalog.AddCitation(chemistry, food.Buffer.Citation)
	}
	inputs := []report.Input{
		{Name: "acetic_acid", Value: measure.Round(c.Bands.Mixture.Acids[acidity.Acetic]*1e3, 1), Unit: "mmol"},
		{Name: "citric_acid", Value: measure.Round(c.Bands.Mixture.Acids[acidity.Citric]*1e3, 1), Unit: "mmol"},
		{Name: "water", Value: measure.Round(c.Bands.Mixture.WaterKg, 3), Unit: "kg"},
		{Name: "sodium_chloride", Value: measure.Round(c.Bands.Mixture.SodiumChlorideMol*1e3, 1), Unit: "mmol"},
	}
	for _, food := range c.Foods {
		inputs = append(inputs,
			report.Input{Name: food.Name, Value: measure.Round(food.Kg, 3), Unit: "kg"},
			report.Input{Name: food.Name + ", buffer", Value: measure.Round(food.Buffer.Buffer.Estimate*1e3, 1), Unit: "mmol/kg/pH"},
			report.Input{Name: food.Name + ", own pH", Value: measure.Round(food.PH.Estimate, 2), Unit: "pH"})
	}
	value, low, high := banded(pH, 2)
	const usual = 16 // figures of the acid
	list := append(make([]report.Derived, 0, usual), report.Derived{
		Name: facts.NameEquilibriumPH, Value: value, Low: low, High: high, Unit: "pH", Inputs: inputs, Sources: chemistry,
		Formula: "[H+] + [Na+] + 2[Ca2+] + alkalinity + sum of buffer x mass x (own pH - pH) = [OH-] + [Cl-] + charge of the acids; Davies activities, 25 °C; one " + where,
	})
	plain := func(name string, value float64, digits int, unit, formula string, inputs ...report.Input) {
		list = append(list, report.Derived{Name: name, Value: measure.Round(value, digits), Unit: unit, Formula: formula, Inputs: inputs, Sources: []catalog.Citation{m.Citation("acetic.molar_mass")}})
	}
	in := func(name string, value float64, digits int, unit string) report.Input {
		return report.Input{Name: name, Value: measure.Round(value, digits), Unit: unit}
	}
	acid, weight := in("acid", jar.AcidMol*1e3, 1, "mmol"), in("weight of everything", c.Portion.MassG, 0, "g")
	salt, sugar := in("salt", c.Portion.SaltG, 1, "g"), in("sugar", c.Portion.SugarG, 0, "g")
	plain("acid_of_brine", brine.AceticPercentWV, 2, "g/100 mL", "acid, counted as acetic, over the volume of the liquid", acid, in("liquid", c.Brine.VolumeML, 0, "mL"))
	plain("acid_of_jar", jar.AceticPercentWV, 2, "g/100 mL", "acid, counted as acetic, over the volume of everything", acid, in("volume of everything", c.Portion.VolumeML, 0, "mL"))
	plain("acid_of_jar_by_weight", jar.AceticPercentWW, 2, "g/100 g", "acid, counted as acetic, over the weight of everything", acid, weight)
	if jar.AcidMmolPerKg > 0 {
		plain("acid_per_low_acid_food", jar.AcidMmolPerKg, 0, "mmol/kg", "acid over the weight of low-acid food", acid, in("low-acid food", c.Portion.LowAcidFoodKg, 3, "kg"))
	}
	if share := f.Match.Acid; share.Food > 0 {
		list = append(list, report.Derived{
			Name: "acid_share_of_tested", Value: measure.Round(share.Here/share.Food, 3), Unit: "fraction", Formula: "acid over food, each in proportion to the tested recipe",
			Inputs:  []report.Input{in("acid, times the tested recipe's", share.Here, 3, "fraction"), in("food, times the tested recipe's", share.Food, 3, "fraction")},
			Sources: []catalog.Citation{f.Match.Recipe.Citation},
		})
	}
	if mol, err := m.TitratableMol(c.Estimate()); err == nil {
		plain("titratable_acidity", mol*m.MolarMass(acidity.Acetic)/c.Portion.MassG*100, 2, "g/100 g", "base that brings the contents to pH 8.2, counted as acetic acid, over the weight", in("base", mol*1e3, 1, "mmol"), weight)
	}
	plain("undissociated_acetic_acid", solved.UndissociatedAceticMolPerKg*1e3, 1, "mmol/kg", "acetic acid that keeps its proton at this pH: the form that acts against microbes",
		in("acetic acid", solved.Total[acidity.Acetic]*1e3, 1, "mmol/kg"), in("pH", solved.PH, 2, "pH"))
	plain("salt_of_brine", brine.SaltPercentWW, 2, "g/100 g", "salt over the weight of the liquid", salt, in("weight of the liquid", c.Brine.MassG, 0, "g"))
	plain("salt_of_jar", jar.SaltPercentWW, 2, "g/100 g", "salt over the weight of everything", salt, weight)
	plain("sodium", jar.SodiumMgPer100G, 0, "mg/100 g", "sodium of the salt over the weight of everything", salt, weight)
	plain("sugar_of_jar", jar.SugarPercentWW, 1, "g/100 g", "sugar over the weight of everything", sugar, weight)
	return list
}

// Derivation is the worked derivation of the equilibrium pH, with the numbers put in; nothing where it was not worked out.
func Derivation(f *facts.Facts) []report.Step {
	if f.Acidity.Reason != "" {
		return nil
	}
	m, c, r, decides := f.Acidity.Model, f.Contents.Jarful, f.Acidity.Solved, f.Acidity.Decides
	pH := acidity.Band{Low: f.Acidity.Low, Estimate: f.Acidity.PH, High: f.Acidity.High}
	number := measure.FormatNumber
	var steps []report.Step
	add := func(title, format string, args ...any) {
		steps = append(steps, report.Step{Title: title, Text: fmt.Sprintf(format, args...)})
	}
	var foods []string
	for _, food := range c.Foods {
		foods = append(foods, fmt.Sprintf("%s %s kg", food.Name, number(measure.Round(food.Kg, 3))))
	}
	if c.One {
		add("What one jar holds", "The jar takes %s mL up to its headspace. Food: %s. The liquid fills what is left: %s mL, of %s mL that the recipe makes for each jar. Pieces leave at least %s of the room to the liquid.",
			number(measure.Round(c.FillML, 0)), strings.Join(foods, ", "), number(measure.Round(c.BrineML, 0)), number(measure.Round(c.MadeML, 0)), number(measure.Round(1-m.Packing("solids.most"), 2)))
	} else {
		add("What goes in", "Food and liquid are cooked or reckoned together, so the whole batch has the proportions of each jar. Food: %s.", strings.Join(foods, ", "))
	}
	mix := c.Bands.Mixture
	if mix.Acids[acidity.Acetic] > 0 {
		add("Acetic acid", "Vinegar of %s %% holds %s g in 100 mL. One mol is %s g. In the %s that makes %s mmol.", number(c.VinegarPercent), number(c.VinegarPercent), number(m.MolarMass(acidity.Acetic)), c.Where(), number(measure.Round(mix.Acids[acidity.Acetic]*1e3, 1)))
	}
	if mix.Acids[acidity.Citric] > 0 {
		add("Citric acid", "Bottled lemon or lime juice holds about %s g of citric acid a liter; one mol is %s g. In the %s that makes %s mmol.", number(m.MustValue("lemon_juice.bottled_high")), number(m.MolarMass(acidity.Citric)), c.Where(), number(measure.Round(mix.Acids[acidity.Citric]*1e3, 1)))
	}
	for _, food := range c.Foods {
		add("How "+food.Name+" takes up acid", "By itself it has pH %s. It takes up about %s mmol of hydrogen ion per kg for each unit of pH (%s). At pH %s that is %s × %s × (%s - %s) = %s mmol.",
			number(measure.Round(food.PH.Estimate, 2)), number(measure.Round(food.Buffer.Buffer.Estimate*1e3, 1)), bufferWords(food.Buffer), number(measure.Round(r.PH, 2)), number(measure.Round(food.Kg, 3)),
			number(measure.Round(food.Buffer.Buffer.Estimate*1e3, 1)), number(measure.Round(food.PH.Estimate, 2)), number(measure.Round(r.PH, 2)),
			number(measure.Round(food.Kg*food.Buffer.Buffer.Estimate*1e3*(food.PH.Estimate-r.PH), 2)))
	}
	perKg := func(v float64) string { return number(measure.Round(v*1e3, 2)) }
	add("The balance of charges", "Per kg of water, in mmol. Plus: hydrogen ion %s, sodium %s, calcium twice %s, hardness of the water %s, taken up by the food %s. Minus: hydroxide %s, chloride %s, acids %s. Both sides come to %s and %s: the pH at which they agree is the answer.",
		perKg(r.Hydrogen), perKg(r.Sodium), perKg(r.Calcium), perKg(r.Alkalinity), perKg(r.Uptake), perKg(r.Hydroxide), perKg(r.Chloride), perKg(sum(r.Anions)),
		perKg(r.Hydrogen+r.Sodium+2*r.Calcium+r.Alkalinity+r.Uptake), perKg(r.Hydroxide+r.Chloride+sum(r.Anions)))
	add("Activity", "Salt and acid make an ionic strength of %s mol/kg; by the Davies equation an ion of charge one then counts for %s of its concentration.", number(measure.Round(r.IonicStrength, 3)), number(measure.Round(r.UnivalentActivity, 3)))
	text := fmt.Sprintf("pH %s. With every input at its worst at once it would be %s, with every input at its best %s.", number(measure.Round(pH.Estimate, 2)), number(measure.Round(pH.High, 2)), number(measure.Round(pH.Low, 2)))
	if decides != "" {
		text += " What opens the upper bound most is " + decides + "."
	}
	limit, margin := f.Tables.MustLimit("ph-max"), f.Tables.MustLimit("ph-margin")
	add("The answer and its bounds", "%s The limit of an acid food is pH %s; home makers are advised to stay below %s. The figure explains; only a tested process makes a jar fit for the shelf.", text, number(limit.Value), number(margin.Value))
	return steps
}

// bufferWords says how well it is known how much acid a food takes up.
func bufferWords(b acidity.BufferFigure) string {
	if b.Basis == acidity.Measured {
		return fmt.Sprintf("measured; between %s and %s", measure.FormatNumber(measure.Round(b.Buffer.Low*1e3, 1)), measure.FormatNumber(measure.Round(b.Buffer.High*1e3, 1)))
	}
	return fmt.Sprintf("a class figure, known to a factor of two: between %s and %s", measure.FormatNumber(measure.Round(b.Buffer.Low*1e3, 1)), measure.FormatNumber(measure.Round(b.Buffer.High*1e3, 1)))
}

func sum(a acidity.Acids) float64 {
	total := 0.0
	for _, v := range a {
		total += v
	}
	return total
}

func banded(b acidity.Band, digits int) (value float64, low, high *float64) {
	return measure.Round(b.Estimate, digits), new(measure.Round(b.Low, digits)), new(measure.Round(b.High, digits))
}
