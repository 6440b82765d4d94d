package figures

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/report"
)

// wanted is a figure as it is to be: without bounds where low and high are the value itself.
type wanted struct {
	name             string
	value, low, high float64
	unit             string
	inputs           []report.Input
}

// plainly is a figure without bounds.
func plainly(name string, value float64, unit string, inputs ...report.Input) wanted {
	return wanted{name, value, value, value, unit, inputs}
}

func of(name string, value float64, unit string) report.Input {
	return report.Input{Name: name, Value: value, Unit: unit}
}

func find(list []report.Derived, name string) *report.Derived {
	for i := range list {
		if list[i].Name == name {
			return &list[i]
		}
	}
	return nil
}

func compare(t *testing.T, list []report.Derived, all []wanted) {
	t.Helper()
	for _, w := range all {
		t.Run(w.name, func(t *testing.T) {
			t.Helper()
			got := find(list, w.name)
			if got == nil {
				t.Fatal("it is left out")
			}
			low, high := got.Value, got.Value
			if got.Low != nil {
				low = *got.Low
			}
			if got.High != nil {
				high = *got.High
			}
			if got.Value != w.value || low != w.low || high != w.high || got.Unit != w.unit {
				t.Errorf("%v, %v to %v %s, want %v, %v to %v %s", got.Value, low, high, got.Unit, w.value, w.low, w.high, w.unit)
			}
			if !reflect.DeepEqual(got.Inputs, w.inputs) {
				t.Errorf("from %+v, want %+v", got.Inputs, w.inputs)
			}
			if got.Formula == "" || len(got.Sources) == 0 {
				t.Error("it names no formula or no source")
			}
		})
	}
}

func names(list []report.Derived) []string {
	var all []string
	for i := range list {
		all = append(all, list[i].Name)
	}
	return all
}

// Half a liter of vinegar of 5 % holds 25 g of acetic acid, which are 25 / 60.053 mol. With 1 kg of food, half a liter of
// water, 20 g of salt and 100 g of sugar the whole weighs 2,120 g and takes 2,000 mL and 62 mL for the sugar. To pH 8.2 the
// food asks for 15 mmol for each unit above its own 5.45.
func TestAcidOfARelish(t *testing.T) {
	f := factsOf(t, inKitchen(relish()))
	acid, weight := of("acid", 416.3, "mmol"), of("weight of everything", 2120, "g")
	salt, sugar := of("salt", 20, "g"), of("sugar", 100, "g")
	round := func(v float64) float64 { return math.Round(v*100) / 100 }
	compare(t, Acid(f), []wanted{
		{"equilibrium_ph", round(f.Acidity.PH), round(f.Acidity.Low), round(f.Acidity.High), "pH", []report.Input{
			of("acetic_acid", 416.3, "mmol"), of("citric_acid", 0, "mmol"), of("water", 2, "kg"), of("sodium_chloride", 342.2, "mmol"),
			of("cucumber", 1, "kg"), of("cucumber, buffer", 15, "mmol/kg/pH"), of("cucumber, own pH", 5.45, "pH"),
		}},
		plainly("acid_of_brine", 2.34, "g/100 mL", acid, of("liquid", 1067, "mL")),
		plainly("acid_of_jar", 1.21, "g/100 mL", acid, of("volume of everything", 2062, "mL")),
		plainly("acid_of_jar_by_weight", 1.18, "g/100 g", acid, weight),
		plainly("acid_per_low_acid_food", 416, "mmol/kg", acid, of("low-acid food", 1, "kg")),
		plainly("titratable_acidity", 1.3, "g/100 g", of("base", 457.4, "mmol"), weight),
		plainly("undissociated_acetic_acid", 193.1, "mmol/kg", of("acetic acid", 208.1, "mmol/kg"), of("pH", 3.5, "pH")),
		plainly("salt_of_brine", 1.79, "g/100 g", salt, of("weight of the liquid", 1120, "g")),
		plainly("salt_of_jar", 0.94, "g/100 g", salt, weight),
		plainly("sodium", 371, "mg/100 g", salt, weight),
		plainly("sugar_of_jar", 4.7, "g/100 g", sugar, weight),
	})
}

func TestShareOfTested(t *testing.T) {
	printed := factsOf(t, dills(t))
	printed.Match.Acid.Acid, printed.Match.Acid.Food = 0.9, 1.2
	compare(t, Acid(printed), []wanted{
		plainly("acid_share_of_tested", 0.75, "fraction", of("acid, times the tested recipe's", 0.9, "fraction"),
			of("food, times the tested recipe's", 1.2, "fraction")),
	})
	printed.Match.Acid.Food = 0
	if share := find(Acid(printed), "acid_share_of_tested"); share != nil {
		t.Errorf("no food to compare: %+v", share)
	}
}

func TestAcidLeavesOut(t *testing.T) {
	recipe := relish()
	recipe.Ingredients[0].Item = "apple"
	if figure := find(Acid(factsOf(t, inKitchen(recipe))), "acid_per_low_acid_food"); figure != nil {
		t.Errorf("no low-acid food: %+v", figure)
	}
	recipe = relish()
	recipe.Ingredients[0].Amount = nil
	f := factsOf(t, inKitchen(recipe))
	if list := Acid(f); list != nil {
		t.Errorf("no amount of food: %v", names(list))
	}
	if steps := Derivation(f); steps != nil {
		t.Errorf("no amount of food: %+v", steps)
	}
}

// A second food brings its own figures and the source of them.
func TestAcidOfTwoFoods(t *testing.T) {
	recipe := relish()
	one := find(Acid(factsOf(t, inKitchen(recipe))), "equilibrium_ph")
	recipe.Ingredients = append(recipe.Ingredients, document.Ingredient{Item: "beet", Amount: amount(500, "g"), Per: document.PerBatch})
	two := find(Acid(factsOf(t, inKitchen(recipe))), "equilibrium_ph")
	if len(two.Inputs) != len(one.Inputs)+3 || len(two.Sources) != len(one.Sources)+1 {
		t.Errorf("%+v from %+v", two.Inputs, two.Sources)
	}
}

func step(t *testing.T, f *facts.Facts, title string) string {
	t.Helper()
	for _, s := range Derivation(f) {
		if s.Title == title {
			return s.Text
		}
	}
	return ""
}

// The numbers of the relish above, put in: 15 x (5.45 - 3.5) is 29.28 before pH is rounded, half of that a kg of water.
func TestDerivationOfARelish(t *testing.T) {
	f := factsOf(t, inKitchen(relish()))
	for _, test := range []struct{ title, text string }{
		{"What goes in", "Food and liquid are cooked or reckoned together, so the whole batch has the proportions of each jar. Food: cucumber 1 kg."},
		{"Acetic acid", "Vinegar of 5 % holds 5 g in 100 mL. One mol is 60.053 g. In the batch that makes 416.3 mmol."},
		{"Citric acid", ""},
		{"What one jar holds", ""},
		{
			"How cucumber takes up acid", "By itself it has pH 5.45. It takes up about 15 mmol of hydrogen ion per kg for each unit of pH (a class figure, " +
				"known to a factor of two: between 7.5 and 30). At pH 3.5 that is 1 × 15 × (5.45 - 3.5) = 29.28 mmol.",
		},
		{
			"The balance of charges", "Per kg of water, in mmol. Plus: hydrogen ion 0.42, sodium 171.12, calcium twice 0, hardness of the water 0, " +
				"taken up by the food 14.64. Minus: hydroxide 0, chloride 171.12, acids 15.07. Both sides come to 186.18 and 186.18: " +
				"the pH at which they agree is the answer.",
		},
		{
			"Activity", "Salt and acid make an ionic strength of 0.185 mol/kg; by the Davies equation an ion of charge one then counts for 0.75 of its " +
				"concentration.",
		},
		{
			"The answer and its bounds", "pH 3.5. With every input at its worst at once it would be 3.92, with every input at its best 3.13. " +
				"The limit of an acid food is pH 4.6; home makers are advised to stay below 4.2. The figure explains; only a tested process makes " +
				"a jar fit for the shelf.",
		},
	} {
		t.Run(test.title, func(t *testing.T) {
			if got := step(t, f, test.title); got != test.text {
				t.Errorf("%q, want %q", got, test.text)
			}
		})
	}
	f.Acidity.Decides = "the hardness of the water"
	if got := step(t, f, "The answer and its bounds"); !strings.Contains(got, "at its best 3.13. What opens the upper bound most is the hardness of "+
		"the water. The") {
		t.Error(got)
	}
}

// A pint filled to half an inch takes 437 mL, and 35 % of the room at least are left to the liquid: 0.65 x 437 = 284 mL of
// cucumbers and 153 mL of brine, of 3,382 mL for nine jars. A teaspoon of mustard seed weighs 3.7 g, one and a half heads of dill 4.5 to 15 g.
func TestDerivationOfAJar(t *testing.T) {
	f := factsOf(t, dills(t))
	want := "The jar takes 437 mL up to its headspace. Food: cucumber 0.403 kg, seasonings 0.013 kg. The liquid fills what is left: " +
		"153 mL, of 376 mL that the recipe makes for each jar. Pieces leave at least 0.35 of the room to the liquid."
	if got := step(t, f, "What one jar holds"); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got := step(t, f, "What goes in"); got != "" {
		t.Errorf("of a batch: %q", got)
	}
}

// A kilogram of beets, whose buffer was measured, with lemon juice in place of vinegar, calcium chloride and hard water.
func TestDerivationOfJuice(t *testing.T) {
	recipe := relish()
	recipe.Ingredients[0].Item = "beet"
	juice := &recipe.Ingredients[1]
	juice.Item, juice.AcidityPercent = "lemon juice", nil
	recipe.Ingredients = append(recipe.Ingredients, document.Ingredient{Item: "calcium chloride", Amount: amount(10, "g"), Per: document.PerBatch})
	request := inKitchen(recipe)
	request.Kitchen.WaterAlkalinityMgPerL = new(200.0)
	f := factsOf(t, request)
	if got := step(t, f, "Acetic acid"); got != "" {
		t.Errorf("there is no vinegar, but: %q", got)
	}
	want := "Bottled lemon or lime juice holds about 39.2 g of citric acid a liter; one mol is 192.123 g. In the batch that makes 102 mmol."
	if got := step(t, f, "Citric acid"); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got := find(Acid(f), "equilibrium_ph").Inputs[1]; got != of("citric_acid", 102, "mmol") {
		t.Errorf("%+v", got)
	}
	if got := step(t, f, "How beet takes up acid"); !strings.Contains(got, "(measured; between 21.5 and 36.4)") {
		t.Error(got)
	}
	// 10 g / 110.98 g/mol over 2 kg are 45.05 mmol of calcium; 200 mg/L in half a liter are 2 mmol of hardness, 1 a kg.
	balance := step(t, f, "The balance of charges")
	if !strings.Contains(balance, "calcium twice 45.05, hardness of the water 1,") {
		t.Error(balance)
	}
	plus := f.Acidity.Solved.Hydrogen + f.Acidity.Solved.Sodium + 2*f.Acidity.Solved.Calcium + f.Acidity.Solved.Alkalinity + f.Acidity.Solved.Uptake
	both := number(plus*1e3, 2)
	if !strings.Contains(balance, "Both sides come to "+both+" and "+both+":") {
		t.Error(balance)
	}
}
