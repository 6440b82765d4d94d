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

// linesOf edits every line of a request whose item is of the class, drained or not.
func linesOf(class catalog.Class, change func(*document.Ingredient)) func(*document.Request) {
	return func(r *document.Request) {
		for i := range r.Recipe.Ingredients {
			if found, ok := kitchen.tables.Resolve(r.Recipe.Ingredients[i].Item); ok && found.Item.Class == class {
				change(&r.Recipe.Ingredients[i])
			}
		}
	}
}

func without(class catalog.Class) func(*document.Request) {
	return func(r *document.Request) {
		r.Recipe.Ingredients = slices.DeleteFunc(r.Recipe.Ingredients, func(i document.Ingredient) bool {
			found, ok := kitchen.tables.Resolve(i.Item)
			return ok && found.Item.Class == class
		})
	}
}

func inOrder(changes ...func(*document.Request)) func(*document.Request) {
	return func(r *document.Request) {
		for _, change := range changes {
			change(r)
		}
	}
}

func alsoUsing(item string, value float64, unit string) func(*document.Request) {
	return func(r *document.Request) {
		r.Recipe.Ingredients = append(r.Recipe.Ingredients, document.Ingredient{Item: item, Amount: amount(value, unit), Per: document.PerBatch})
	}
}

// TestSaltAndSugar changes the salt or the sugar of tested recipes. The amounts are those of tested_recipes.json: 14-day pickles have 3/4
// cup of salt in their soaks, 5-1/2 cups of sugar and 4 lb of cucumbers, cantaloupe pickles 1-1/2 cups each of white and brown sugar,
// mango sauce 6 tbsp of honey and 3/4 cup of sugar, marinated peppers 1/4 tsp of salt a half-pint. A tenth is forgiven.
func TestSaltAndSugar(t *testing.T) {
	const days, melon, pepper = "fourteen-day-sweet-pickles", "cantaloupe-pickles", "marinated-peppers"
	set := func(value float64, unit string) func(*document.Ingredient) {
		return func(i *document.Ingredient) { i.Amount = amount(value, unit) }
	}
	for _, c := range []struct {
		name, recipe string
		change       func(*document.Request)
		verdict      Verdict // empty: no departure
		changes      []string
		says         string
		limit        float64 // 0: none
	}{
		{"as printed", days, func(*document.Request) {}, "", nil, "", 0},
		{"salt short by less than a tenth", days, linesOf(catalog.Salt, times(0.901)), "", nil, "", 0},
		{
			"salt short by more", days, linesOf(catalog.Salt, times(0.89)), Untested,
			[]string{"c117"},
			"less salt than in “14-day sweet pickles”: 89 % of what it has", 0.75,
		},
		{"no salt", days, without(catalog.Salt), Untested, []string{"c117"}, "made with 0.75 cup salt; this recipe has none", 0},
		{"none of the salt used", days, linesOf(catalog.Salt, times(0)), Untested, []string{"c117"}, "made with 0.75 cup salt", 0},
		{"salt that stays in the jar", days, linesOf(catalog.Salt, func(i *document.Ingredient) { i.Drained = nil }), "", nil, "", 0},
		{
			"salt without a figure", days, linesOf(catalog.Salt, func(i *document.Ingredient) { i.Amount = &document.Quantity{Unit: "as_needed"} }),
			Undetermined,
			[]string{"c117"},
			"cannot be told: the amount of salt is not a number", 0,
		},
		{"salt by weight, the least a cup may be", days, linesOf(catalog.Salt, set(150, "g")), "", nil, "", 0},
		{"salt by weight, less", days, linesOf(catalog.Salt, set(147, "g")), Untested, []string{"c117"}, "less salt", 165},
		{"flake salt by the cup", days, linesOf(catalog.Salt, func(i *document.Ingredient) { i.SaltKind = document.SaltKosherFlake }), "", nil, "", 0},
		{"salt in pieces", days, linesOf(catalog.Salt, set(3, "each")), Undetermined, []string{"c117"}, "no published weight turns", 0},
		{"twice the batch with salt and sugar for one", days, func(r *document.Request) {
			for i := range r.Recipe.Ingredients {
				if found, _ := kitchen.tables.Resolve(r.Recipe.Ingredients[i].Item); found.Item.Class != catalog.Salt && r.Recipe.Ingredients[i].Amount.Value != nil {
					times(2)(&r.Recipe.Ingredients[i])
				}
			}
		}, Untested, []string{"c117"}, "50 %", 1.5},
		{"sugar short by more", days, linesOf(catalog.Sugar, times(0.89)), Untested, nil, "less sugar than in “14-day sweet pickles”: 89 %", 5.5},
		{"no sugar where another recipe has none", "pickled-beets", without(catalog.Sugar), Untested, []string{"c071"}, "another tested recipe without sugar", 0},
		{"brown sugar for white", days, linesOf(catalog.Sugar, func(i *document.Ingredient) { i.Item = "brown sugar" }), "", nil, "", 0},
		{
			"honey for sugar", days, linesOf(catalog.Sugar, func(i *document.Ingredient) { i.Item = "honey" }), Untested, nil,
			"made with 5.5 cups sugar; this recipe has none", 0,
		},
		{"all of two sugars white", melon, inOrder(without(catalog.Sugar), alsoUsing("sugar", 3, "cup")), "", nil, "", 0},
		{"one of two sugars", melon, inOrder(without(catalog.Sugar), alsoUsing("sugar", 1.5, "cup")), Untested, []string{"c072"}, "50 %", 3},
		{"both sugars short", melon, linesOf(catalog.Sugar, times(0.5)), Untested, []string{"c072"}, "50 %", 0},
		{"honey where it is printed", "mango-sauce", inOrder(without(catalog.Sugar), alsoUsing("honey", 1.125, "cup")), "", nil, "", 0},
		{"sugar for each jar", days, linesOf(catalog.Sugar, func(i *document.Ingredient) { i.Per, *i.Amount.Value = document.PerJar, 1 }), "", nil, "", 0},
		{
			"less sugar for each jar", days, linesOf(catalog.Sugar, func(i *document.Ingredient) { i.Per, *i.Amount.Value = document.PerJar, 0.5 }),
			Untested, nil, "less sugar", 0.612,
		},
		{"salt of a jar, nearly", pepper, linesOf(catalog.Salt, times(0.91)), "", nil, "", 0},
		{"salt of a jar, less", pepper, linesOf(catalog.Salt, times(0.8)), Untested, nil, "80 %", 0.25},
		{"salt of a jar, more food", pepper, func(r *document.Request) { *r.Recipe.Jars *= 2 }, "", nil, "", 0},
		{"where salt may be cut", "pickled-dilled-beans", without(catalog.Salt), "", nil, "", 0},
		{"where sugar may be cut", "pickled-carrots", without(catalog.Sugar), "", nil, "", 0},
		{"where salt is optional", "crushed-tomatoes-acidified", without(catalog.Salt), "", nil, "", 0},
		{"in a ferment, which has a rule of its own", "sauerkraut", without(catalog.Salt), "", nil, "", 0},
		{"what is never canned", "pickled-horseradish-sauce", without(catalog.Salt), "", nil, "", 0},
		{"what is only canned under pressure", "mexican-tomato-sauce", without(catalog.Salt), "", nil, "", 0},
		{"food that is not there", days, inOrder(without(catalog.Salt), without(catalog.LowAcid)), "", nil, "", 0},
		{"food without a figure", days, inOrder(without(catalog.Salt), linesOf(catalog.LowAcid, func(i *document.Ingredient) { i.Amount = nil })), "", nil, "", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			recipe, _ := kitchen.tables.Recipe(c.recipe)
			request := document.Request{Recipe: document.Recipe{Follows: c.recipe, Kind: recipe.Kind, Keep: "shelf"}}
			if len(recipe.Packs) > 0 {
				request = followed(t, c.recipe)
			}
			c.change(&request)
			m := comparedWith(&request)
			found := m.Departs(RuleSaltAndSugar)
			if c.verdict == "" {
				if len(found) > 0 {
					t.Fatal(list(found))
				}
				return
			}
			if len(found) != 1 {
				t.Fatalf("%d departures:\n%s", len(found), list(found))
			}
			d := found[0]
			if d.Verdict != c.verdict || !slices.Equal(d.Changes, c.changes) || !strings.Contains(d.What+d.Remedy, c.says) {
				t.Errorf("%s %v: %s %s", d.Verdict, d.Changes, d.What, d.Remedy)
			}
			if (d.Limit != nil) != (c.limit != 0) || d.Limit != nil && math.Abs(d.Limit.Value-c.limit) > 0.0051*c.limit {
				t.Errorf("limit %+v, want %v", d.Limit, c.limit)
			}
		})
	}
}

// Of another recipe without sugar only the sugar of a recipe that has such a one speaks.
func TestRemedyOfAnotherRecipe(t *testing.T) {
	for _, c := range []struct {
		recipe string
		class  catalog.Class
		want   bool
	}{{"pickled-beets", catalog.Sugar, true}, {"pickled-beets", catalog.Salt, false}, {"fourteen-day-sweet-pickles", catalog.Sugar, false}} {
		request := followed(t, c.recipe)
		linesOf(c.class, times(0.5))(&request)
		m := comparedWith(&request)
		found := m.Departs(RuleSaltAndSugar)
		if len(found) != 1 || strings.Contains(found[0].Remedy, "another tested recipe") != c.want {
			t.Errorf("%s, %s: %s", c.recipe, c.class, list(found))
		}
	}
}

// Without the food that the recipe is made of, or its amount, there is nothing to hold salt and sugar to.
func TestTasteNeedsFood(t *testing.T) {
	salt := taste{name: "salt", printed: []testedAmount{{item: item(t, "salt"), low: 1, high: 1, unit: unitOf(t, "kg")}}}
	for _, c := range []struct {
		main      int
		kilograms float64
		unknown   string
		jar       bool
		want      float64 // 0: not known
	}{{0, 2, "", false, 2}, {-1, 2, "", false, 0}, {0, 0, "", false, 0}, {0, 2, "no weight", false, 0}, {0, 2, "", true, 0}} {
		slots := []slot{kilogram(t, lowAcidSlot, "cabbage")}
		if c.jar {
			slots[0] = perJar(slots[0])
		}
		x, s := laid(t, slots, c.kilograms)
		s.of[0].unknown, x.match.ratios, x.tested.mainSlot = c.unknown, s.of, c.main
		if scale, known := x.tasteScale(&salt); scale != c.want || known != (c.want > 0) {
			t.Errorf("%+v: %v %v", c, scale, known)
		}
	}
}

// Only the salt line and the sugar line are named, and nothing else departs.
func TestWhereSaltAndSugarAreNamed(t *testing.T) {
	request := followed(t, "fourteen-day-sweet-pickles")
	at := map[string]string{}
	linesOf(catalog.Salt, times(0.5))(&request)
	linesOf(catalog.Sugar, times(0.5))(&request)
	for i, line := range request.Recipe.Ingredients {
		at[line.Item] = "/recipe/ingredients/" + string(rune('0'+i))
	}
	m := comparedWith(&request)
	said(t, adverse(&m), at["salt"]+": less salt", at["sugar"]+": less sugar")
}

// Reduced-sodium salt is published for quick pickles (USDA 2015 p. 6-7); in tomatoes a substitute is for serving (p. 1-31).
func TestReducedSodium(t *testing.T) {
	for recipe, want := range map[string][]string{
		"pickled-carrots": nil, "fourteen-day-sweet-pickles": {}, "crushed-tomatoes-acidified": {"c116"}, "pickled-corn-relish": {}, "sauerkraut": nil,
	} {
		request := followed(t, recipe)
		linesOf(catalog.Salt, func(i *document.Ingredient) { i.SaltKind = document.SaltReducedSodium })(&request)
		m := comparedWith(&request)
		found := m.Departs(RuleSaltAndSugar)
		if want == nil && len(found) > 0 || want != nil && (len(found) != 1 || found[0].Verdict != Untested || !slices.Equal(found[0].Changes, want)) {
			t.Errorf("%s: %s", recipe, list(found))
		}
	}
	request := followed(t, "fourteen-day-sweet-pickles")
	alsoUsing("reduced sodium salt", 0, "tsp")(&request)
	if m := comparedWith(&request); len(m.Departs(RuleSaltAndSugar)) > 0 {
		t.Error("salt that is not used is none")
	}
}

// What a match says of salt and sugar, for the leeway.
func TestTasteOfAMatch(t *testing.T) {
	for recipe, want := range map[string][2]Taste{
		"fourteen-day-sweet-pickles":    {{Printed: true}, {Printed: true}},
		"pickled-dilled-beans":          {{Printed: true, Spared: true}, {Spared: true}},
		"pickled-carrots":               {{Printed: true}, {Printed: true, Spared: true}},
		"crushed-tomatoes-acidified":    {{Spared: true}, {Spared: true}},
		"green-tomato-pie-filling":      {{}, {Printed: true, Spared: true}},
		"tomato-salsa-slicing-tomatoes": {{Printed: true, Spared: true}, {}},
	} {
		request := followed(t, recipe)
		m := comparedWith(&request)
		if m.Salt() != want[0] || m.Sugar() != want[1] {
			t.Errorf("%s: salt %+v, sugar %+v", recipe, m.Salt(), m.Sugar())
		}
	}
	var none Match
	if none.Salt() != (Taste{}) || none.Sugar() != (Taste{}) {
		t.Error("without a match there is nothing to say")
	}
}

// Twice the acid lets there be more food, as much as the salt and sugar are enough for.
func TestFoodThatSaltIsEnoughFor(t *testing.T) {
	for _, c := range []struct {
		recipe string
		salt   float64
		most   float64 // of cucumbers
	}{
		{"fourteen-day-sweet-pickles", 1, 4 / 0.9}, // 4 lb, and the tenth that is forgiven
		{"pickle-relish", 1, 3 / 0.9},              // 3 qt
		{"pickle-relish", 1.5, 3 * 1.5 / 0.9},
		{"pickle-relish", 5, 3 * 2}, // no more than the acid is enough for
	} {
		request := followed(t, c.recipe)
		linesOf(catalog.Acid, times(2))(&request)
		linesOf(catalog.Salt, times(c.salt))(&request)
		linesOf(catalog.Sugar, times(c.salt))(&request)
		m := comparedWith(&request)
		at := slices.IndexFunc(m.Allowances, func(a Allowance) bool { return a.Variable == "low_acid_food" })
		if at < 0 || math.Abs(*m.Allowances[at].High-c.most) > 0.01 {
			t.Errorf("%s, salt and sugar times %v: %+v, want %v lb", c.recipe, c.salt, m.Allowances, c.most)
		}
	}
	request := followed(t, "pickle-relish")
	linesOf(catalog.Acid, times(2))(&request)
	without(catalog.Salt)(&request)
	linesOf(catalog.Sugar, func(i *document.Ingredient) { i.Amount = &document.Quantity{Unit: "as_needed"} })(&request)
	if m := comparedWith(&request); *m.Allowances[slices.IndexFunc(m.Allowances, func(a Allowance) bool { return a.Variable == "low_acid_food" })].High != 6 {
		t.Error("what is not there or has no figure sets no limit; it has a departure of its own")
	}
}

// Firming agents (USDA 2015 p. 1-28; Iowa State Univ. Extension 2020 for calcium chloride).
func TestFirmingAgents(t *testing.T) {
	for _, c := range []struct {
		recipe, item string
		verdict      Verdict
		changes      []string
	}{
		{"dill-pickles-fermented", "alum", Safe, []string{"c084"}},
		{"pickled-dilled-beans", "alum", Untested, []string{"c085"}},
		{"sauerkraut", "alum", Untested, nil},
		{"pickled-corn-relish", "alum", Untested, nil},
		{"pickled-carrots", "calcium chloride", Safe, []string{"c086"}},
		{"sweet-gherkin-pickles", "calcium chloride", Untested, nil},
		{"sauerkraut", "grape leaf", Safe, []string{"c111"}},
		{"sweet-gherkin-pickles", "grape leaf", Safe, []string{"c111"}},
		{"pickled-carrots", "grape leaf", Untested, nil},
		{"pickled-carrots", "pickling lime", "", nil}, // another rule speaks of it
	} {
		request := followed(t, c.recipe)
		alsoUsing(c.item, 1, "tsp")(&request)
		m := comparedWith(&request)
		found := slices.DeleteFunc(slices.Clone(m.Departures), func(d Departure) bool { return !strings.Contains(d.What, c.item) })
		if c.verdict == "" && len(found) == 0 {
			continue
		}
		if len(found) != 1 || found[0].Verdict != c.verdict || !slices.Equal(found[0].Changes, c.changes) || (len(found[0].Fix) > 0) == (c.verdict == Safe) {
			t.Errorf("%s in %s: %s", c.item, c.recipe, list(found))
		}
	}
	c, _ := laid(t, nil)
	c.tested.firming = []string{"alum"}
	c.firming(&composition.Line{At: "0", Name: "alum", Item: item(t, "alum")})
	said(t, c.match.Departures)
}

// What takes the place of something and is published as not to: c113 vinegar in tomatillos, c114 ripe tomatoes.
func TestRefusedReplacements(t *testing.T) {
	request := followed(t, "tomatillos-acidified")
	linesOf(catalog.Acid, func(i *document.Ingredient) {
		*i = document.Ingredient{Item: "white vinegar", Amount: amount(4, "tbsp"), Per: document.PerJar, AcidityPercent: new(5.0), Bottled: new(true)}
	})(&request)
	m := comparedWith(&request)
	changes := []string{"c013", "c016", "c018", "c113"}
	if found := m.Departs(RulePublishedRatio); len(found) != 1 || found[0].Verdict != Unsafe || !slices.Equal(found[0].Changes, changes) {
		t.Error(list(m.Departures))
	}
	request = followed(t, "tomatillo-green-salsa")
	line, at := lineOf(t, &request, "tomatillo")
	line.Item = "tomato"
	m = comparedWith(&request)
	found := slices.DeleteFunc(m.Departs(RulePublishedMatch), func(d Departure) bool { return d.At != at+"/item" })
	if len(found) != 1 || found[0].Verdict != Untested || !slices.Equal(found[0].Changes, []string{"c114"}) {
		t.Error(list(m.Departures))
	}
}

// Where a page forbids less as well as more, less is untested.
func TestLessThanExact(t *testing.T) {
	const limit = 1.25
	for _, c := range []struct {
		name             string
		food, fruit, sur float64
		exact            bool
		want             []string
	}{
		{"as printed", 1, 1, 1, true, nil},
		{"less, within what is forgiven", 1, limit, 2, true, nil},
		{"less", 1, 1.5, 1.5, true, []string{"0/amount: less onion than in “The recipe”, whose page"}},
		{"less beside the acid", 1, 2, 1.5, true, []string{"0/amount: less onion"}},
		{"less, where it may be", 1, 2, 2, false, nil},
		{"none", 0, 2, 2, true, nil},
		{"less of more", 2, 3, 4, true, []string{"0/amount: less onion"}},
	} {
		slots := []slot{kilogram(t, lowAcidSlot, "onion"), kilogram(t, acidFoodSlot, "tomato"), kilogram(t, acidSlot, "vinegar")}
		slots[0].exact = c.exact
		x, s := laid(t, slots, c.food, c.fruit, c.sur)
		x.lessThanExact(s, limit)
		said(t, x.match.Departures, c.want...)
		if len(x.match.Departures) > 0 && x.match.Departures[0].Limit.Value != min(c.fruit, c.sur) {
			t.Errorf("%s: limit %+v", c.name, x.match.Departures[0].Limit)
		}
	}
	x, s := laid(t, []slot{kilogram(t, lowAcidSlot, "onion")}, 1)
	x.tested.slots[0].exact = true
	x.lessThanExact(s, limit)
	said(t, x.match.Departures) // nothing to lean on
}

// Cups are compared with cups and pieces with pieces where a sum holds both.
func TestByMeasure(t *testing.T) {
	chile, jalapeno := item(t, "long-green-chile"), item(t, "jalapeno-pepper")
	cups := func(value float64) portion {
		return portion{item: chile, low: value, high: value, unit: unitOf(t, "cup")}
	}
	each := func(value float64) portion {
		return portion{item: jalapeno, low: value, high: value, unit: unitOf(t, "each")}
	}
	for _, c := range []struct {
		name             string
		written, printed []portion
		want             ratio
		ok               bool
	}{
		{"as printed", []portion{cups(3), each(1)}, []portion{cups(3), each(1)}, ratio{low: 1, high: 1}, true},
		{"more pieces", []portion{each(2), cups(3)}, []portion{cups(3), each(1)}, ratio{low: 1, high: 2}, true},
		{"fewer cups", []portion{cups(1.5), each(1)}, []portion{cups(3), each(1)}, ratio{low: 0.5, high: 1}, true},
		{"no pieces", []portion{cups(3)}, []portion{cups(3), each(1)}, ratio{}, false},
		{"pieces that are not printed", []portion{cups(3), each(1)}, []portion{cups(3)}, ratio{}, false},
		{"pieces of something else", []portion{cups(3), {item: chile, low: 1, high: 1, unit: unitOf(t, "each")}}, []portion{cups(3), each(1)}, ratio{}, false},
		{"nothing", nil, nil, ratio{low: math.Inf(1)}, false},
	} {
		if got, ok := byMeasure(c.written, c.printed); ok != c.ok || got != c.want {
			t.Errorf("%s: %+v %v", c.name, got, ok)
		}
	}
	request := followed(t, "tomato-green-chile-salsa")
	line, _ := lineOf(t, &request, "long-green-chile")
	line.Item = "bell pepper"
	if m := comparedWith(&request); !m.Matched() {
		t.Errorf("3 cups of bell peppers for 3 cups of chiles: %s", list(adverse(&m)))
	}
	line.Amount = amount(4, "cup")
	if m := comparedWith(&request); m.Matched() {
		t.Error("more cups of them are matched")
	}
}

// Small pieces count for fewer where the recipe says so: Oscar relish has 1 tablespoon of hot pepper, from one or two small ones.
func TestSmallPieces(t *testing.T) {
	for _, c := range []struct {
		form  string
		count float64
		want  bool
	}{{"small, red, ground", 2, true}, {"small, red, ground", 2.1, false}, {"red, ground", 1, true}, {"red, ground", 2, false}} {
		request := followed(t, "oscar-relish")
		line, _ := lineOf(t, &request, "hot-pepper")
		line.Form, line.Amount = c.form, amount(c.count, "each")
		if m := comparedWith(&request); m.Matched() != c.want {
			t.Errorf("%v %s: %s", c.count, c.form, list(adverse(&m)))
		}
	}
}

// A pepper that may stand for all peppers of a salsa may have the form of the one that it stands for; the cut of a relish's pepper is
// that of its own line.
func TestFormOfAStandIn(t *testing.T) {
	request := followed(t, "tomato-salsa-paste-tomatoes")
	line, _ := lineOf(t, &request, "long-green-chile")
	line.Item = "jalapeno pepper" // chopped; jalapenos are printed finely chopped
	if m := comparedWith(&request); len(m.Departs(RulePieceSize)) > 0 {
		t.Error(list(adverse(&m)))
	}
	line.Form = "whole"
	if m := comparedWith(&request); len(m.Departs(RulePieceSize)) == 0 {
		t.Error("whole chiles are matched")
	}
}

// Slicing tomatoes stand for paste tomatoes where the guide prints it (p. 3-23), white peaches nowhere.
func TestConditionsByRecipe(t *testing.T) {
	for _, c := range []struct {
		recipe, item, name, form string
		changes                  []string
	}{
		{"tomato-salsa-paste-tomatoes", "tomato", "tomato", "slicing type, peeled, cored, chopped", nil},
		{"tomato-taco-sauce", "tomato", "tomato", "slicing type, peeled, cored, finely chopped", []string{"c042"}},
		{"tomato-taco-sauce", "tomato", "slicing tomatoes", "peeled, cored, finely chopped", []string{"c042"}},
		{"tomato-salsa-slicing-tomatoes", "tomato", "tomato", "slicing type, peeled, cored, chopped", nil},
		{"peach-salsa", "peach", "peach", "hard, unripe, white, peeled, 1/2 in cubes", []string{"c115"}},
		{"peach-salsa", "peach", "white peaches", "hard, unripe, peeled, 1/2 in cubes", []string{"c115"}},
	} {
		request := followed(t, c.recipe)
		line, _ := lineOf(t, &request, c.item)
		line.Item, line.Form = c.name, c.form
		m := comparedWith(&request)
		var changes []string
		for _, d := range m.Departs(RuleUnsuitable) {
			changes = append(changes, d.Changes...)
		}
		if !slices.Equal(changes, c.changes) {
			t.Errorf("%s, %s %s: %s", c.recipe, c.name, c.form, list(adverse(&m)))
		}
	}
}
