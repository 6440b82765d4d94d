package acidity

import (
	"fmt"
	"math"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/report"
	"jarwright/validate/rule"
)

// Names of derived figures that rules and other packages look up.
const (
	NameEquilibriumPH = "equilibrium_ph"
)

// Work reckons what the jar comes to: the equilibrium pH with its bounds, and the plain figures of acid, salt and sugar.
// Where something is missing it says what, and nothing is reckoned.
func (m *Model) Work(f *rule.Facts, options report.Options) rule.Acidity {
	c, reason := m.contents(f)
	if reason != "" {
		return rule.Acidity{Reason: reason}
	}
	pH, solved, err := m.bounds(c.bands)
	if err != nil {
		return rule.Acidity{Reason: "the amounts lie outside what the model was made for"}
	}
	work := rule.Acidity{Low: pH.Low, PH: pH.Estimate, High: pH.High}
	if pH.High > f.Tables.MustLimit("ph-max").Value || options.Derivation {
		work.Decides = m.decides(c.bands)
	}
	work.Derived = m.derived(f, &c, pH, solved)
	if options.Derivation {
		work.Steps = m.steps(f, &c, pH, solved, work.Decides)
	}
	return work
}

// estimate is the jar with every band shut on its estimate.
func (c *contents) estimate() Mixture {
	mix := c.bands.Mixture
	for _, food := range c.bands.Produce {
		mix.Produce = append(mix.Produce, Produce{MassKg: food.MassKg, NaturalPH: food.NaturalPH.Estimate, BufferMolPerKg: food.BufferMolPerKg.Estimate})
	}
	return mix
}

// inputWords name the inputs of the model for people.
var inputWords = map[string]string{
	"buffer": "how much acid the food takes up", "natural_ph": "the food's own pH", "pack": "how tightly the jar is packed",
	"strength": "the strength of the vinegar or juice", "household": "how exactly the acid is measured", "alkalinity": "the hardness of the water",
}

// decides names the input that opens the upper bound most.
func (m *Model) decides(b Bands) string {
	drivers, err := m.Drivers(b)
	if err != nil {
		return ""
	}
	best, most := "", math.Inf(-1)
	for _, d := range drivers {
		if d.PH.High > most {
			best, most = d.Input, d.PH.High
		}
	}
	return inputWords[best]
}

func round(value float64, digits int) float64 {
	scale := math.Pow(10, float64(digits))
	return math.Round(value*scale) / scale
}

func banded(b Band, digits int) (value float64, low, high *float64) {
	return round(b.Estimate, digits), new(round(b.Low, digits)), new(round(b.High, digits))
}

func (m *Model) derived(f *rule.Facts, c *contents, pH Band, solved Result) []report.Derived {
	jar, brine := m.Figures(c.portion), m.Figures(c.brine)
	where := "batch"
	if c.one {
		where = "jar"
	}
	chemistry := []catalog.Citation{m.source("water.log_k"), m.source("acetic.pka1"), m.source("davies.b")}
	for _, food := range c.foods {
		chemistry = rule.AddSource(chemistry, food.figure.Citation)
	}
	inputs := []report.Input{
		{Name: "acetic_acid", Value: round(c.bands.Mixture.Acids[Acetic]*1e3, 1), Unit: "mmol"},
		{Name: "citric_acid", Value: round(c.bands.Mixture.Acids[Citric]*1e3, 1), Unit: "mmol"},
		{Name: "water", Value: round(c.bands.Mixture.WaterKg, 3), Unit: "kg"},
		{Name: "sodium_chloride", Value: round(c.bands.Mixture.SodiumChlorideMol*1e3, 1), Unit: "mmol"},
	}
	for _, food := range c.foods {
		inputs = append(inputs,
			report.Input{Name: food.name, Value: round(food.kg, 3), Unit: "kg"},
			report.Input{Name: food.name + ", buffer", Value: round(food.figure.Buffer.Estimate*1e3, 1), Unit: "mmol/kg/pH"},
			report.Input{Name: food.name + ", own pH", Value: round(food.pH.Estimate, 2), Unit: "pH"})
	}
	value, low, high := banded(pH, 2)
	const usual = 16 // figures of the acid
	list := append(make([]report.Derived, 0, usual), report.Derived{
		Name: NameEquilibriumPH, Value: value, Low: low, High: high, Unit: "pH", Inputs: inputs, Sources: chemistry,
		Formula: "[H+] + [Na+] + 2[Ca2+] + alkalinity + sum of buffer x mass x (own pH - pH) = [OH-] + [Cl-] + charge of the acids; Davies activities, 25 °C; one " + where,
	})
	plain := func(name string, value float64, digits int, unit, formula string, inputs ...report.Input) {
		list = append(list, report.Derived{Name: name, Value: round(value, digits), Unit: unit, Formula: formula, Inputs: inputs, Sources: []catalog.Citation{m.source("acetic.molar_mass")}})
	}
	in := func(name string, value float64, digits int, unit string) report.Input {
		return report.Input{Name: name, Value: round(value, digits), Unit: unit}
	}
	acid, weight := in("acid", jar.AcidMol*1e3, 1, "mmol"), in("weight of everything", c.portion.MassG, 0, "g")
	salt, sugar := in("salt", c.portion.SaltG, 1, "g"), in("sugar", c.portion.SugarG, 0, "g")
	plain("acid_of_brine", brine.AceticPercentWV, 2, "g/100 mL", "acid, counted as acetic, over the volume of the liquid", acid, in("liquid", c.brine.VolumeML, 0, "mL"))
	plain("acid_of_jar", jar.AceticPercentWV, 2, "g/100 mL", "acid, counted as acetic, over the volume of everything", acid, in("volume of everything", c.portion.VolumeML, 0, "mL"))
	plain("acid_of_jar_by_weight", jar.AceticPercentWW, 2, "g/100 g", "acid, counted as acetic, over the weight of everything", acid, weight)
	if jar.AcidMmolPerKg > 0 {
		plain("acid_per_low_acid_food", jar.AcidMmolPerKg, 0, "mmol/kg", "acid over the weight of low-acid food", acid, in("low-acid food", c.portion.LowAcidFoodKg, 3, "kg"))
	}
	if share := f.Match.Acid; share.Food > 0 {
		list = append(list, report.Derived{
			Name: "acid_share_of_tested", Value: round(share.Here/share.Food, 3), Unit: "fraction", Formula: "acid over food, each in proportion to the tested recipe",
			Inputs:  []report.Input{in("acid, times the tested recipe's", share.Here, 3, "fraction"), in("food, times the tested recipe's", share.Food, 3, "fraction")},
			Sources: []catalog.Citation{f.Match.Recipe.Citation},
		})
	}
	if mol, err := m.TitratableMol(c.estimate()); err == nil {
		plain("titratable_acidity", mol*m.molarMass[Acetic]/c.portion.MassG*100, 2, "g/100 g", "base that brings the contents to pH 8.2, counted as acetic acid, over the weight", in("base", mol*1e3, 1, "mmol"), weight)
	}
	plain("undissociated_acetic_acid", solved.UndissociatedAceticMolPerKg*1e3, 1, "mmol/kg", "acetic acid that keeps its proton at this pH: the form that acts against microbes",
		in("acetic acid", solved.Total[Acetic]*1e3, 1, "mmol/kg"), in("pH", solved.PH, 2, "pH"))
	plain("salt_of_brine", brine.SaltPercentWW, 2, "g/100 g", "salt over the weight of the liquid", salt, in("weight of the liquid", c.brine.MassG, 0, "g"))
	plain("salt_of_jar", jar.SaltPercentWW, 2, "g/100 g", "salt over the weight of everything", salt, weight)
	plain("sodium", jar.SodiumMgPer100G, 0, "mg/100 g", "sodium of the salt over the weight of everything", salt, weight)
	plain("sugar_of_jar", jar.SugarPercentWW, 1, "g/100 g", "sugar over the weight of everything", sugar, weight)
	return list
}

func (m *Model) source(name string) catalog.Citation {
	c, _ := m.Constant(name)
	return c.Citation
}

// steps is the worked derivation, with the numbers put in.
func (m *Model) steps(f *rule.Facts, c *contents, pH Band, r Result, decides string) []report.Step {
	number := measure.FormatNumber
	var steps []report.Step
	add := func(title, format string, args ...any) {
		steps = append(steps, report.Step{Title: title, Text: fmt.Sprintf(format, args...)})
	}
	var foods []string
	for _, food := range c.foods {
		foods = append(foods, fmt.Sprintf("%s %s kg", food.name, number(round(food.kg, 3))))
	}
	if c.one {
		add("What one jar holds", "The jar takes %s mL up to its headspace. Food: %s. The liquid fills what is left: %s mL, of %s mL that the recipe makes for each jar. Pieces leave at least %s of the room to the liquid.",
			number(round(c.fillML, 0)), strings.Join(foods, ", "), number(round(c.brineML, 0)), number(round(c.madeML, 0)), number(round(1-m.packing.value("solids.most"), 2)))
	} else {
		add("What goes in", "Food and liquid are cooked or reckoned together, so the whole batch has the proportions of each jar. Food: %s.", strings.Join(foods, ", "))
	}
	mix := c.bands.Mixture
	if mix.Acids[Acetic] > 0 {
		add("Acetic acid", "Vinegar of %s %% holds %s g in 100 mL. One mol is %s g. In the %s that makes %s mmol.", number(c.acidity), number(c.acidity), number(m.molarMass[Acetic]), c.where(), number(round(mix.Acids[Acetic]*1e3, 1)))
	}
	if mix.Acids[Citric] > 0 {
		add("Citric acid", "Bottled lemon or lime juice holds about %s g of citric acid a liter; one mol is %s g. In the %s that makes %s mmol.", number(m.mustConstant("lemon_juice.bottled_high")), number(m.molarMass[Citric]), c.where(), number(round(mix.Acids[Citric]*1e3, 1)))
	}
	for _, food := range c.foods {
		add("How "+food.name+" takes up acid", "By itself it has pH %s. It takes up about %s mmol of hydrogen ion per kg for each unit of pH (%s). At pH %s that is %s × %s × (%s - %s) = %s mmol.",
			number(round(food.pH.Estimate, 2)), number(round(food.figure.Buffer.Estimate*1e3, 1)), food.figure.words(), number(round(r.PH, 2)), number(round(food.kg, 3)),
			number(round(food.figure.Buffer.Estimate*1e3, 1)), number(round(food.pH.Estimate, 2)), number(round(r.PH, 2)),
			number(round(food.kg*food.figure.Buffer.Estimate*1e3*(food.pH.Estimate-r.PH), 2)))
	}
	perKg := func(v float64) string { return number(round(v*1e3, 2)) }
	add("The balance of charges", "Per kg of water, in mmol. Plus: hydrogen ion %s, sodium %s, calcium twice %s, hardness of the water %s, taken up by the food %s. Minus: hydroxide %s, chloride %s, acids %s. Both sides come to %s and %s: the pH at which they agree is the answer.",
		perKg(r.Hydrogen), perKg(r.Sodium), perKg(r.Calcium), perKg(r.Alkalinity), perKg(r.Uptake), perKg(r.Hydroxide), perKg(r.Chloride), perKg(sum(r.Anions)),
		perKg(r.Hydrogen+r.Sodium+2*r.Calcium+r.Alkalinity+r.Uptake), perKg(r.Hydroxide+r.Chloride+sum(r.Anions)))
	add("Activity", "Salt and acid make an ionic strength of %s mol/kg; by the Davies equation an ion of charge one then counts for %s of its concentration.", number(round(r.IonicStrength, 3)), number(round(r.UnivalentActivity, 3)))
	text := fmt.Sprintf("pH %s. With every input at its worst at once it would be %s, with every input at its best %s.", number(round(pH.Estimate, 2)), number(round(pH.High, 2)), number(round(pH.Low, 2)))
	if decides != "" {
		text += " What opens the upper bound most is " + decides + "."
	}
	limit, margin := f.Tables.MustLimit("ph-max"), f.Tables.MustLimit("ph-margin")
	add("The answer and its bounds", "%s The limit of an acid food is pH %s; home makers are advised to stay below %s. The figure explains; only a tested process makes a jar fit for the shelf.", text, number(limit.Value), number(margin.Value))
	return steps
}

func (c *contents) where() string {
	if c.one {
		return "jar"
	}
	return "batch"
}

func (b BufferFigure) words() string {
	if b.Basis == Measured {
		return fmt.Sprintf("measured; between %s and %s", measure.FormatNumber(round(b.Buffer.Low*1e3, 1)), measure.FormatNumber(round(b.Buffer.High*1e3, 1)))
	}
	return fmt.Sprintf("a class figure, known to a factor of two: between %s and %s", measure.FormatNumber(round(b.Buffer.Low*1e3, 1)), measure.FormatNumber(round(b.Buffer.High*1e3, 1)))
}

func sum(a Acids) float64 {
	total := 0.0
	for _, v := range a {
		total += v
	}
	return total
}

// EquilibriumPH takes fitness for the shelf away where the jar would not be an acid food. It never grants it.
func EquilibriumPH() rule.Rule {
	return rule.Rule{
		ID: "acid.equilibrium-ph", Title: "Acid enough by computation", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About:   "The pH that food and brine come to is worked out from the acid, the salt and how much acid the food takes up. At 4.6 or below a food is acid; 4.2 is the usual margin. A computed pH over 4.6 takes fitness for the shelf away; one below it grants nothing, since only a tested process does.",
		Sources: []catalog.Citation{{Source: "cfr-21-114", Locator: "114.3(b)", Verified: catalog.Read}, {Source: "pa-agriculture", Verified: catalog.Read}},
		Remedy:  "Use more acid or less low-acid food, as the tested recipe has it.",
		Applies: func(f *rule.Facts) bool {
			return f.ForShelf() && f.Request.Recipe.Kind != document.KindFermented && f.Acidity.Reason == ""
		},
		Run: func(f *rule.Facts) []rule.Finding {
			limit := f.Tables.MustLimit("ph-max")
			if round(f.Acidity.PH, 2) <= limit.Value {
				return nil
			}
			return []rule.Finding{{
				Outcome: report.Fail, At: "/recipe/ingredients",
				Message: fmt.Sprintf("By computation the jar comes to pH %s (between %s and %s), above the limit of %s for an acid food. The estimate itself decided.",
					measure.FormatNumber(round(f.Acidity.PH, 2)), measure.FormatNumber(round(f.Acidity.Low, 2)), measure.FormatNumber(round(f.Acidity.High, 2)), measure.FormatNumber(limit.Value)),
				Measured: &report.Amount{Value: round(f.Acidity.PH, 2), Unit: "pH"}, Limit: &report.Amount{Value: limit.Value, Unit: "pH"},
			}}
		},
	}
}

// AcidInReserve tells how far the computed pH lies from the limit.
func AcidInReserve() rule.Rule {
	return rule.Rule{
		ID: "acid.acid-in-reserve", Title: "Acid in reserve", Severity: report.Info, Hazard: report.Botulism, Since: since,
		About:   "How far the computed pH lies below 4.6, and whether even the upper bound does. A tested recipe may have an upper bound over 4.6, because for most foods the acid they take up is known only within a factor of two.",
		Sources: []catalog.Citation{{Source: "cfr-21-114", Locator: "114.3(b)", Verified: catalog.Read}, {Source: "pa-agriculture", Verified: catalog.Read}},
		Remedy:  "It decides nothing here; a pH meter would tell more exactly.",
		Applies: func(f *rule.Facts) bool {
			return f.ForShelf() && f.Request.Recipe.Kind != document.KindFermented && f.Acidity.Reason == ""
		},
		Run: func(f *rule.Facts) []rule.Finding {
			limit, margin := f.Tables.MustLimit("ph-max"), f.Tables.MustLimit("ph-margin")
			finding := rule.Finding{Outcome: report.Fail, At: "/recipe/ingredients", Measured: &report.Amount{Value: round(f.Acidity.High, 2), Unit: "pH"}}
			number := func(v float64) string { return measure.FormatNumber(round(v, 2)) }
			switch {
			case round(f.Acidity.PH, 2) > limit.Value:
				return nil // another rule says so
			case f.Acidity.High > limit.Value:
				finding.Message = fmt.Sprintf("By computation the jar comes to about pH %s, but with every input at its worst it could be %s, over %s. What opens that bound most is %s.", number(f.Acidity.PH), number(f.Acidity.High), number(limit.Value), f.Acidity.Decides)
				finding.Limit = &report.Amount{Value: limit.Value, Unit: "pH"}
			case f.Acidity.High > margin.Value:
				finding.Message = fmt.Sprintf("By computation the jar comes to about pH %s, at most %s: below the limit of %s, above the usual margin of %s.", number(f.Acidity.PH), number(f.Acidity.High), number(limit.Value), number(margin.Value))
				finding.Limit = &report.Amount{Value: margin.Value, Unit: "pH"}
			default:
				return nil
			}
			return []rule.Finding{finding}
		},
	}
}
