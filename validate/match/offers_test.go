package match

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
)

// TestLimitsOffered moves one amount far away: the limit that is offered is the printed amount, at the scale of the batch.
func TestLimitsOffered(t *testing.T) {
	for _, c := range []struct {
		name, recipe, item string
		factor             float64
		also               string // another item that is moved by the factor after it
		alsoFactor         float64
		rule               string
		measured, limit    float64
		says               string
	}{
		{"acid", "pickled-dilled-beans", "white-vinegar", 0.5, "", 1, RulePublishedRatio, 2, 4, "2 cups white vinegar is too little for this much liquid"},
		{"water", "pickled-dilled-beans", "water", 2, "", 1, RulePublishedRatio, 8, 4, "Water: at most 4 cups."},
		{"water beside more acid", "pickled-dilled-beans", "water", 4, "white-vinegar", 2, RulePublishedRatio, 16, 8, "Water: at most 8 cups."},
		{"onions", "tomato-salsa-slicing-tomatoes", "onion", 1.5, "", 1, RulePublishedRatio, 1.125, 0.75, "150 % of the tested amount"},
		{"tomatoes", "tomato-salsa-slicing-tomatoes", "tomato", 0.8, "", 1, RulePublishedRatio, 3.2, 4, "less tomato beside"},
		{"tomatoes for a batch of twice the rest", "tomato-salsa-slicing-tomatoes", "onion", 2, "vinegar", 2, RulePublishedRatio, 1.5, 0.75, "beside the tomato"},
		{"acid in the jar", "crushed-tomatoes-acidified", "lemon-juice", 0.5, "", 1, RulePublishedRatio, 0, 0, "is too little acid for the jar"},
		{"salt of a ferment", "sauerkraut", "salt", 0.5, "", 1, RuleSaltInFerment, 0.375, 0.75, "Use at least 0.75 cup."},
		{"salt of a ferment of twice the size", "sauerkraut", "salt", 1, "cabbage", 2, RuleSaltInFerment, 0.75, 1.5, "Use at least 1.5 cups."},
		{"cilantro", "tomato-salsa-slicing-tomatoes", "cilantro", 3, "", 1, RuleFreshHerb, 3, 1, "low in acid"},
		{"cilantro beside more acid", "tomato-salsa-slicing-tomatoes", "cilantro", 3, "vinegar", 2, RuleFreshHerb, 3, 2, "low in acid"},
		{"dill heads", "reduced-sodium-sliced-dill-pickles", "dill-head", 4, "", 1, RuleFreshHerb, 4, 1, "low in acid"},
		{"cornstarch", "pickled-green-tomato-relish", "cornstarch", 2, "", 1, RuleThickener, 4, 2, "no more thickener"},
	} {
		t.Run(c.name, func(t *testing.T) {
			request := followed(t, c.recipe)
			written, _ := lineOf(t, &request, c.item)
			times(c.factor)(written)
			if c.also != "" {
				other, _ := lineOf(t, &request, c.also)
				times(c.alsoFactor)(other)
			}
			m := comparedWith(&request)
			for _, d := range adverse(&m) {
				if d.Rule != c.rule {
					continue
				}
				if !strings.Contains(d.What+" "+d.Remedy, c.says) {
					t.Errorf("%q and %q do not say %q", d.What, d.Remedy, c.says)
				}
				if d.Measured == nil || d.Limit == nil {
					t.Fatalf("no measure: %+v", d)
				}
				if c.limit > 0 && (math.Abs(d.Measured.Value-c.measured) > 1e-9 || math.Abs(d.Limit.Value-c.limit) > 1e-9) {
					t.Errorf("measured %v, limit %v, want %v and %v", d.Measured.Value, d.Limit.Value, c.measured, c.limit)
				}
				return
			}
			t.Errorf("no %s:\n%s", c.rule, list(m.Departures))
		})
	}
}

// Two lines of one ingredient count together, and both are in the fix.
func TestTwoLines(t *testing.T) {
	request := followed(t, "pickled-dilled-beans")
	written, _ := lineOf(t, &request, "white-vinegar")
	times(0.25)(written)
	second := *written
	second.Amount = amount(1, "cup")
	request.Recipe.Ingredients = append(request.Recipe.Ingredients, second)
	m := comparedWith(&request)
	d := adverse(&m)[0]
	if d.Rule != RulePublishedRatio || !strings.Contains(d.What, "1.67 % acid where") || len(d.Fix) != 2 || d.Fix[0].Value != 2.0 || d.Fix[1].Value != 2.0 {
		t.Errorf("%s %+v", list([]Departure{d}), d.Fix)
	}
	if len(m.Allowances) == 0 || slices.ContainsFunc(m.Allowances, func(a Allowance) bool { return a.Variable == "acid" }) {
		t.Errorf("allowances of two lines together: %+v", m.Allowances)
	}
}

// How far each amount of a printed recipe may be moved: not at all, or as far as what it leans on was moved.
func TestAllowancesOfPrinted(t *testing.T) {
	for _, c := range []struct {
		recipe, item, variable string
		more, own              float64 // of the acid, and of the item itself
		low, high              float64 // high 0: no limit
	}{
		{"pickled-dilled-beans", "white-vinegar", "acid", 1, 1, 4, 0},
		{"pickled-dilled-beans", "white-vinegar", "acid", 1.5, 1, 4, 0},
		{"pickled-dilled-beans", "water", "water", 1, 1, 4, 4}, // it prints just liquid enough for 8 pints
		{"pickled-dilled-beans", "water", "water", 1, 0.5, 2, 4},
		{"pickled-dilled-beans", "water", "water", 1.5, 1, 2, 6},
		{"pickled-dilled-beans", "green-bean", "low_acid_food", 1.5, 1, 0, 4.26},      // half a jar of 8
		{"quick-fresh-pack-dill-pickles", "cucumber", "low_acid_food", 1, 1, 0, 10.2}, // 8 lb in 7 pints, at 9 pints
		{"tomato-salsa-slicing-tomatoes", "onion", "low_acid_food", 1.5, 1, 0, 0.75},  // the tomatoes were left as they are
	} {
		request := followed(t, c.recipe)
		for i := range request.Recipe.Ingredients {
			written := &request.Recipe.Ingredients[i]
			if found, _ := kitchen.tables.Resolve(written.Item); found.Item.Class == catalog.Acid {
				times(c.more)(written)
			}
		}
		written, at := lineOf(t, &request, c.item)
		times(c.own)(written)
		m := comparedWith(&request)
		index := slices.IndexFunc(m.Allowances, func(a Allowance) bool { return a.At == at+"/amount/value" })
		if index < 0 {
			t.Errorf("%s: none for %s: %+v", c.recipe, c.item, m.Allowances)
			continue
		}
		a := m.Allowances[index]
		if a.Variable != c.variable || a.Low != c.low || (c.high == 0) != (a.High == nil) || c.high != 0 && math.Abs(*a.High-c.high) > 1e-9 {
			t.Errorf("%s, %s, acid times %v: %+v (high %v), want %+v", c.recipe, c.item, c.more, a, a.High, c)
		}
	}
}

// A hair more or less, which a kitchen cannot measure, is no change.
func TestNoChangeRecorded(t *testing.T) {
	for item, factor := range map[string]float64{"vinegar": 1.01, "onion": 0.99} {
		request := followed(t, "tomato-salsa-slicing-tomatoes")
		written, _ := lineOf(t, &request, item)
		times(factor)(written)
		if m := comparedWith(&request); len(m.Departures) > 0 {
			t.Errorf("%s times %v:\n%s", item, factor, list(m.Departures))
		}
	}
}

// The printed line of an item is the one of its own whose cut is nearest.
func TestPrintedFor(t *testing.T) {
	onion, _ := kitchen.tables.Item("onion")
	carrot, _ := kitchen.tables.Item("carrot")
	lines := []testedAmount{
		{item: carrot, form: composition.ReadForm("sliced")},
		{item: onion, form: composition.ReadForm("chopped")},
		{item: onion, form: composition.ReadForm("sliced")},
		{item: onion, form: composition.ReadForm("whole")},
	}
	c := comparison{}
	for _, test := range []struct {
		item *catalog.Item
		form string
		want int
	}{
		{onion, "chopped", 1}, {onion, "sliced", 2}, {onion, "whole", 3}, {carrot, "chopped", 0}, {carrot, "whole", 0}, {onion, "", 1},
	} {
		got := c.printedFor(&slot{lines: lines}, &composition.Line{Item: test.item, Form: composition.ReadForm(test.form)})
		if got != &lines[test.want] {
			t.Errorf("%s, %s: %s %s", test.item.ID, test.form, got.item.ID, got.form.Coarsest)
		}
	}
}

// Cut pieces of what is printed whole are held to the printed length where one is given.
func TestCutOfWhole(t *testing.T) {
	for _, c := range []struct {
		in   float64 // 0: not given
		want bool
	}{{0, false}, {4, false}, {5.49, false}, {5.51, true}} {
		request := followed(t, "quick-fresh-pack-dill-pickles")
		written, _ := lineOf(t, &request, "cucumber")
		written.Form, written.Piece = "sliced", nil
		if c.in > 0 {
			written.Piece = &document.Piece{Length: amount(c.in, "in")}
		}
		m := comparedWith(&request)
		got := slices.ContainsFunc(m.Departures, func(d Departure) bool { return d.Rule == RulePieceSize && d.Verdict == Unsafe })
		if got != c.want {
			t.Errorf("slices of %v in where 5 in whole are printed: departure %v, want %v\n%s", c.in, got, c.want, list(m.Departures))
		}
	}
}

// A piece that is too large is said in inches, with the printed size as its limit and fix.
func TestLargePiece(t *testing.T) {
	request := followed(t, "pickled-carrots")
	written, at := lineOf(t, &request, "carrot")
	written.Piece = &document.Piece{Thickness: amount(0.75, "in")}
	m := comparedWith(&request)
	d := adverse(&m)[0]
	if d.Measured.Value != 0.75 || d.Limit.Value != 0.5 || d.Limit.Unit != "in" ||
		!strings.Contains(d.What, "3/4 in in thickness; the tested recipe has at most 1/2 in") {
		t.Errorf("%+v %+v %s", d.Measured, d.Limit, d.What)
	}
	if len(d.Fix) != 1 || d.Fix[0].Path != at+"/piece" {
		t.Errorf("fix %+v", d.Fix)
	}
	written.Piece, written.Form = nil, "peeled, rounds 3/4 in thick"
	m = comparedWith(&request)
	if d := adverse(&m)[0]; d.Rule != RulePieceSize || len(d.Fix) > 0 {
		t.Errorf("a size in the words of the form: %s %+v", list([]Departure{d}), d.Fix)
	}
}

// The words of the tested recipe stand in the remedy.
func TestConditionRemedy(t *testing.T) {
	request := followed(t, "tomato-salsa-slicing-tomatoes")
	written, _ := lineOf(t, &request, "tomato")
	written.Form = "overripe, chopped"
	m := comparedWith(&request)
	if d := m.Departs(RuleUnsuitable); len(d) != 1 || !strings.HasSuffix(d[0].Remedy, "as the tested recipe says: slicing type, peeled, cored, chopped.") {
		t.Errorf("%+v", d)
	}
	request = followed(t, "mango-salsa")
	written, _ = lineOf(t, &request, "mango")
	written.Form = "soft, yet unripe, cubed"
	m = comparedWith(&request)
	if d := m.Departs(RuleUnsuitable); len(d) > 0 {
		t.Errorf("what is called unripe is none the riper for being soft: %+v", d)
	}
	if got := orAsIs(""); got != "sound and fresh" {
		t.Errorf("a recipe without words for the form asks for %q", got)
	}
}

// The smallest printed jar that is not smaller than the cook's, for every recipe, style and jar of the catalog.
func TestJarOfEveryPack(t *testing.T) {
	for i := range kitchen.tables.Recipes {
		recipe := &kitchen.tables.Recipes[i]
		for _, style := range []string{"raw", "hot"} {
			printed := map[string]bool{}
			for _, pack := range recipe.Packs {
				printed[pack.Pack] = true
			}
			if !printed[style] {
				continue
			}
			for _, mine := range kitchen.tables.Jars {
				want, least := "", math.Inf(1)
				twin, largest := "", 0.0 // the metric jar sold in place of the largest takes its row
				for _, pack := range recipe.Packs {
					for _, id := range pack.Jars {
						if jar, _ := kitchen.tables.Jar(id); pack.Pack == style && jar.CapacityML > largest {
							twin, largest = id, jar.CapacityML
						}
						if jar, _ := kitchen.tables.Jar(id); pack.Pack == style && jar.CapacityML >= mine.CapacityML*0.995 && jar.CapacityML < least {
							want, least = id, jar.CapacityML
						}
					}
				}
				got := kitchen.matcher.choosePack(recipe, style, &composition.Composition{Jar: &composition.Jar{CapacityML: mine.CapacityML}})
				if want == "" && mine.CapacityML <= largest*1.06 {
					want = twin
				}
				if got.Twin != (want == twin && mine.CapacityML > largest*1.01) {
					t.Errorf("%s, %s, %s: twin %v", recipe.ID, style, mine.ID, got.Twin)
				}
				if id := jarID(&got); id != want || got.Style != nil && got.Style.Pack != style {
					t.Errorf("%s, %s, %s: %q, want %q", recipe.ID, style, mine.ID, id, want)
				}
			}
		}
	}
}

func jarID(choice *PackChoice) string {
	if choice.Jar == nil {
		return ""
	}
	return choice.Jar.ID
}

// A recipe whose amounts are all printed once is like itself by 1: cut, sugar and seasonings are the same.
func TestLikeItself(t *testing.T) {
	for _, id := range []string{"pickled-carrots", "tomato-salsa-slicing-tomatoes", "bread-and-butter-pickles", "pickled-green-tomato-relish", "choice-salsa"} {
		request := followed(t, id)
		if got := likenessTo(t, id, &request); math.Abs(got-1) > 1e-6 {
			t.Errorf("%s is like itself by %v", id, got)
		}
	}
	request := followed(t, "pickled-carrots")
	written, _ := lineOf(t, &request, "sugar")
	*written.Amount.Value = 0
	// 2 cups of sugar of 200 g, 2.75 lb of carrots, 5.5 cups of vinegar and 1 of water: a share of 0.13.
	if got := likenessTo(t, "pickled-carrots", &request); math.Abs(got-(1-0.1*0.13)) > 1e-3 {
		t.Errorf("carrots without their sugar: %v", got)
	}
}

// One of several alternatives is the whole by itself, and parts of two add up.
func TestAlternatives(t *testing.T) {
	half := func(item string, value float64, unit string) document.Ingredient {
		return document.Ingredient{Item: item, Amount: amount(value, unit), Per: document.PerJar, Bottled: new(true)}
	}
	for _, c := range []struct {
		name    string
		lines   []document.Ingredient
		matched bool
	}{
		{"half of each, for a pint", []document.Ingredient{half("lemon juice", 0.5, "tbsp"), half("citric acid", 0.125, "tsp")}, true},
		{"half of each, less a tenth", []document.Ingredient{half("lemon juice", 0.4, "tbsp"), half("citric acid", 0.125, "tsp")}, false},
		{"the citric acid alone", []document.Ingredient{half("citric acid", 0.25, "tsp")}, true},
		{"half the citric acid", []document.Ingredient{half("citric acid", 0.125, "tsp")}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			recipe, _ := kitchen.tables.Recipe("crushed-tomatoes-acidified")
			request := packed(t, recipe, 0, "pint")
			request.Recipe.Ingredients = slices.DeleteFunc(request.Recipe.Ingredients, func(i document.Ingredient) bool {
				found, _ := kitchen.tables.Resolve(i.Item)
				return found.Item.Class == catalog.Acid
			})
			request.Recipe.Ingredients = append(request.Recipe.Ingredients, c.lines...)
			if m := comparedWith(&request); m.Matched() != c.matched {
				t.Errorf("matched %v, want %v\n%s", m.Matched(), c.matched, list(adverse(&m)))
			}
		})
	}
}

func TestAlternativesFor(t *testing.T) {
	item := func(id string) *catalog.Item {
		found, _ := kitchen.tables.Item(id)
		return found
	}
	s := &slot{lines: []testedAmount{{item: item("lemon-juice")}, {item: item("vinegar")}, {item: item("citric-acid")}}}
	for id, want := range map[string]int{"lemon-juice": 1, "white-vinegar": 1, "tomato": 3} {
		got := s.alternativesFor(item(id))
		if len(got) != want || want == 1 && got[0].item.Family != item(id).Family {
			t.Errorf("%s is measured by %d amounts, want %d", id, len(got), want)
		}
	}
}

// The acid and the food, each as a multiple of the tested recipe's, where acid is measured for the batch.
func TestProportion(t *testing.T) {
	for _, c := range []struct {
		recipe, item string
		factor       float64
		want         Proportion
	}{
		{"pickled-dilled-beans", "white-vinegar", 1, Proportion{Acid: 1, Food: 1}},
		{"pickled-dilled-beans", "white-vinegar", 0.9, Proportion{Acid: 0.9, Food: 1}},
		{"pickled-dilled-beans", "green-bean", 0.5, Proportion{Acid: 1, Food: 0.5}},
		{"crushed-tomatoes-acidified", "lemon-juice", 1, Proportion{}},
		{"sauerkraut", "cabbage", 1, Proportion{}},
	} {
		request := followed(t, c.recipe)
		written, _ := lineOf(t, &request, c.item)
		times(c.factor)(written)
		m := comparedWith(&request)
		if math.Abs(m.Acid.Acid-c.want.Acid) > 1e-9 || math.Abs(m.Acid.Food-c.want.Food) > 1e-9 {
			t.Errorf("%s, %s times %v: %+v, want %+v", c.recipe, c.item, c.factor, m.Acid, c.want)
		}
	}
}

// Fruit that is acidified in the jar is held to the printed amount for each jar, whatever its acid.
func TestFruitByTheJar(t *testing.T) {
	request := followed(t, "figs-acidified")
	written, at := lineOf(t, &request, "fig")
	printed := *written.Amount.Value
	times(0.5)(written)
	m := comparedWith(&request)
	index := slices.IndexFunc(m.Allowances, func(a Allowance) bool { return a.At == at+"/amount/value" })
	if index < 0 || m.Allowances[index].High == nil || math.Abs(*m.Allowances[index].High/printed-1) > 0.01 {
		t.Errorf("half of %v: %+v", printed, m.Allowances)
	}
	times(2.1)(written)
	m = comparedWith(&request)
	if d := m.Departs(RulePublishedRatio); len(d) != 1 || d[0].At != at+"/amount" ||
		!strings.Contains(d[0].What, "in each jar") || math.Abs(d[0].Limit.Value/printed-1) > 0.01 {
		t.Errorf("5 %% more figs: %+v", d)
	}
}

// A printed style of packing without a printed time can be compared and has no minutes.
func TestNoTimePrinted(t *testing.T) {
	request := followed(t, "peach-pickles")
	request.Recipe.Pack = ""
	m := comparedWith(&request)
	for _, d := range m.Departures {
		if strings.Contains(d.What, "No process time is printed") {
			t.Errorf("the pack is not said, and yet: %s", d.What)
		}
	}
}
