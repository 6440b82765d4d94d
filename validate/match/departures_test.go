package match

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
)

func amount(value float64, unit string) *document.Quantity {
	return &document.Quantity{Value: &value, Unit: unit}
}

// TestDepartures changes one thing of a tested recipe. The verdicts and changes are those of changes.csv.
func TestDepartures(t *testing.T) {
	add := func(i document.Ingredient) func(*testing.T, *document.Request) {
		return func(_ *testing.T, r *document.Request) { r.Recipe.Ingredients = append(r.Recipe.Ingredients, i) }
	}
	edit := func(item string, change func(*document.Ingredient)) func(*testing.T, *document.Request) {
		return func(t *testing.T, r *document.Request) { i, _ := lineOf(t, r, item); change(i) }
	}
	form := func(words string) func(*document.Ingredient) {
		return func(i *document.Ingredient) { i.Form, i.Piece = words, nil }
	}
	drop := func(item string) func(*testing.T, *document.Request) {
		return func(t *testing.T, r *document.Request) {
			_, at := lineOf(t, r, item)
			var index int
			fmt.Sscanf(at, "/recipe/ingredients/%d", &index)
			r.Recipe.Ingredients = slices.Delete(r.Recipe.Ingredients, index, index+1)
		}
	}
	whole := func(change func(*document.Recipe)) func(*testing.T, *document.Request) {
		return func(_ *testing.T, r *document.Request) { change(&r.Recipe) }
	}
	const beans, salsa, kraut, mango = "pickled-dilled-beans", "tomato-salsa-slicing-tomatoes", "sauerkraut", "mango-salsa"
	last := func(n int) string { return fmt.Sprintf("/recipe/ingredients/%d", n) }
	for _, c := range []struct {
		name, recipe string
		change       func(*testing.T, *document.Request)
		rule         string
		verdict      Verdict
		at           string
		changes      []string
		says         string // in what was found or in the remedy
		fix          string // path of the first operation; empty: none
	}{
		{
			"an acid food more", beans, add(document.Ingredient{Item: "tomato", Amount: amount(1, "cup")}),
			RulePublishedMatch, Untested, last(7) + "/item", nil, "Not in “", last(7) + "/amount/value",
		},
		{
			"a low-acid food more", beans, add(document.Ingredient{Item: "carrot", Amount: amount(1, "cup")}), RuleLowAcidExtra, Unsafe,
			last(7) + "/item",
			[]string{"c026", "c038"},
			"A low-acid food that “", last(7) + "/amount/value",
		},
		{
			"an unknown food more", beans, add(document.Ingredient{Item: "gribble", Amount: amount(1, "cup")}), RuleLowAcidExtra, Unsafe,
			last(7) + "/item",
			[]string{"c026", "c038"},
			"“gribble” is not in the catalog", last(7) + "/amount/value",
		},
		{"an amount not given", beans, add(document.Ingredient{Item: "carrot"}), RuleLowAcidExtra, Unsafe, last(7) + "/item", nil, "carrot", last(7) + "/amount"},
		{
			"oil more", beans, add(document.Ingredient{Item: "olive oil", Amount: amount(1, "cup")}), RuleFat,
			Untested, last(7),
			[]string{"c081"},
			"Fat coats food", last(7) + "/amount/value",
		},
		{
			"flour more", beans, add(document.Ingredient{Item: "flour", Amount: amount(1, "cup")}), RuleThickener,
			Unsafe, last(7),
			[]string{"c077"},
			"heats more slowly", last(7) + "/amount/value",
		},
		{
			"a fresh herb more", beans, add(document.Ingredient{Item: "cilantro", Amount: amount(1, "cup")}),
			RuleFreshHerb, Untested, last(7),
			[]string{"c059"},
			"low in acid", last(7) + "/amount/value",
		},
		{
			"water more", salsa, add(document.Ingredient{Item: "water", Amount: amount(1, "cup")}), RulePublishedRatio,
			Unsafe, last(10),
			[]string{"c020"},
			"has no water in the jar", last(10) + "/amount/value",
		},
		{
			"no acid", beans, drop("white-vinegar"), RulePublishedRatio, Unsafe, "/recipe/ingredients",
			[]string{"c013"},
			"has vinegar in the jar; this recipe has none. Add 4 cups vinegar.", "",
		},
		{
			"no acid in the jar", "crushed-tomatoes-acidified", drop("lemon-juice"), RulePublishedRatio,
			Unsafe, "/recipe/ingredients",
			[]string{"c013", "c016", "c018"},
			" or ", "",
		},
		{"no main food", beans, drop("green-bean"), RulePublishedMatch, Untested, "/recipe/ingredients", nil, "this recipe has none", ""},
		{"no acid food", salsa, drop("tomato"), RulePublishedRatio, Unsafe, last(0) + "/amount", []string{"c028", "c001"}, "There is no tomato beside the ", ""},
		{
			"an acid more", "pickled-carrots",
			add(document.Ingredient{Item: "citric acid", Amount: amount(1, "tsp")}), RulePublishedRatio,
			Safe, last(7), nil, "is acid beyond", "",
		},
		{"water more, of no amount", salsa, add(document.Ingredient{Item: "water"}), RulePublishedRatio, Unsafe, last(10), nil, "has no water", last(10) + "/amount"},
		{
			"a food of a ferment in a unit without a weight", kraut,
			edit("cabbage", func(i *document.Ingredient) { i.Amount = amount(3, "clove") }), RulePublishedRatio, Undetermined,
			last(0), nil, "no published weight", "",
		},
		{"no salt in a ferment", kraut, drop("salt"), RuleSaltInFerment, Unsafe, "/recipe/ingredients", []string{"c064"}, "Add 0.75 cup salt in proportion.", ""},
		{"no kind", beans, whole(func(r *document.Recipe) { r.Kind = "" }), RulePublishedMatch, Undetermined, "/recipe", nil, "of what kind", ""},
		{
			"another kind", beans, whole(func(r *document.Recipe) { r.Kind = "fermented" }),
			RulePublishedMatch, Untested, "/recipe/kind", nil, "is called fermented", "",
		},
		{
			"an acid without its amount", beans, edit("white-vinegar", func(i *document.Ingredient) { i.Amount = nil }),
			RulePublishedRatio, Undetermined, last(4), nil, "the amount of white vinegar is not given", "",
		},
		{
			"an acid to cover", beans,
			edit("white-vinegar", func(i *document.Ingredient) { i.Amount = &document.Quantity{Unit: "to_cover"} }),
			RulePublishedRatio, Undetermined, last(4), nil, "is not a number", "",
		},
		{"jars not counted", salsa, func(t *testing.T, r *document.Request) {
			r.Recipe.Jars = nil
			i, _ := lineOf(t, r, "vinegar")
			i.Per = document.PerJar
		}, RulePublishedRatio, Undetermined, last(5), nil, "the number of jars is not given", ""},
		{
			"a jar not given", "crushed-tomatoes-acidified", whole(func(r *document.Recipe) { r.Jar = nil }),
			RulePublishedRatio, Undetermined, last(1), nil, "the jar is not given", "",
		},
		{
			"a unit without a weight", beans,
			edit("green-bean", func(i *document.Ingredient) { i.Amount = amount(3, "head") }), RulePublishedRatio,
			Undetermined, last(0), nil, "no published weight turns head", "",
		},
		{
			"water where it only covers", "pickled-sweet-green-tomatoes", edit("water", func(i *document.Ingredient) { i.Amount = amount(9, "cup") }),
			RulePublishedRatio, Unsafe, last(9) + "/amount",
			[]string{"c001", "c020"},
			"a weaker brine", last(9) + "/amount/value",
		},
		{
			"water of no amount where it only covers", "pickled-sweet-green-tomatoes",
			edit("water", func(i *document.Ingredient) { i.Amount = nil }), RulePublishedRatio, Undetermined, last(9),
			[]string{"c110"},
			"as just covers", last(9) + "/amount",
		},
		{
			"a herb without its amount", salsa, edit("cilantro", func(i *document.Ingredient) { i.Amount = nil }),
			RuleFreshHerb, Undetermined, last(8),
			[]string{"c059"},
			"How much fresh cilantro", "",
		},
		{
			"salt of a ferment without its amount", kraut, edit("salt", func(i *document.Ingredient) { i.Amount = nil }),
			RuleSaltInFerment, Undetermined, last(1),
			[]string{"c064"},
			"the amount of salt is not given", "",
		},
		{
			"salt of a ferment of no kind", kraut, edit("salt", func(i *document.Ingredient) { i.SaltKind = "" }),
			RuleSaltInFerment, Undetermined, last(1),
			[]string{"c064"},
			"the kind of salt is not said", "",
		},
		{
			"flake salt of a ferment", kraut, edit("salt", func(i *document.Ingredient) { i.SaltKind = document.SaltKosherFlake }),
			RuleSaltInFerment, Unsafe, last(1) + "/amount",
			[]string{"c064"},
			"is less than", last(1) + "/amount/value",
		},
		{
			"salt of a ferment by the pinch", kraut, edit("salt", func(i *document.Ingredient) { i.Amount = amount(3, "head") }),
			RuleSaltInFerment, Undetermined, last(1),
			[]string{"c064"},
			"as a weight or a volume", "",
		},
		{"overripe tomatoes", salsa, edit("tomato", form("overripe, chopped")), RuleUnsuitable, Unsafe, last(0) + "/form", []string{"c043"}, "too low in acid", ""},
		{"drained tomatoes", salsa, edit("tomato", form("drained, chopped")), RuleUnsuitable, Unsafe, last(0) + "/form", []string{"c044"}, "acid juice", ""},
		{"ripe mangoes", mango, edit("mango", form("ripe, cubed")), RuleUnsuitable, Untested, last(0) + "/form", []string{"c054"}, "hard, unripe fruit", ""},
		{
			"a puree", salsa, edit("onion", form("pureed")), RulePureed, Unsafe, last(3) + "/form",
			[]string{"c103"},
			"A puree heats far more slowly", last(3) + "/form",
		},
		{
			"larger pieces", salsa, edit("onion", form("whole")), RulePieceSize, Unsafe, last(3) + "/form",
			[]string{"c088"},
			"whole here, smaller in the tested recipe", last(3) + "/form",
		},
		{
			"finer pieces", "pickled-carrots", edit("carrot", form("grated")), RulePieceSize, Untested,
			last(0) + "/form", nil, "Finer pieces pack closer", last(0) + "/form",
		},
		{"a cut not said", "pickled-carrots", edit("carrot", form("peeled")), RulePieceSize, Undetermined, last(0), []string{"c088"}, "does not say the cut", ""},
		{
			"a size not said", "pickled-carrots", edit("carrot", form("peeled, rounds")), RulePieceSize,
			Undetermined, last(0),
			[]string{"c088"},
			"does not say the thickness", "",
		},
		{"a length not said", beans, edit("green-bean", form("whole")), RulePieceSize, Undetermined, last(0), []string{"c088"}, "does not say the length", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			request := followed(t, c.recipe)
			c.change(t, &request)
			m := comparedWith(&request)
			var found *Departure
			for i := range m.Departures {
				if d := &m.Departures[i]; d.Rule == c.rule && d.Verdict == c.verdict && d.At == c.at {
					found = d
					break
				}
			}
			if found == nil {
				t.Fatalf("no %s %s at %s:\n%s", c.rule, c.verdict, c.at, list(m.Departures))
			}
			if c.changes != nil && !slices.Equal(found.Changes, c.changes) {
				t.Errorf("changes %v, want %v", found.Changes, c.changes)
			}
			if !strings.Contains(found.What+" "+found.Remedy, c.says) {
				t.Errorf("%q and %q do not say %q", found.What, found.Remedy, c.says)
			}
			if c.fix == "" != (len(found.Fix) == 0) || c.fix != "" && found.Fix[0].Path != c.fix {
				t.Errorf("fix %+v, want %q", found.Fix, c.fix)
			}
		})
	}
}

// What published sources call safe is listed as safe, with the change.
func TestSafeDepartures(t *testing.T) {
	for _, c := range []struct {
		name, recipe, item, becomes string
		factor                      float64
		changes                     []string
	}{
		{"another seasoning", "pickled-dilled-beans", "", "turmeric", 1, []string{"c060"}},
		{"a seasoning of the recipe", "pickled-dilled-beans", "", "red pepper flakes", 1, nil},
		{"sugar", "crushed-tomatoes-acidified", "", "sugar", 1, []string{"c015"}},
		{"sugar where no source speaks of it", "pickled-dilled-beans", "", "sugar", 1, nil},
		{"sugar where there is some", "pickled-carrots", "", "sugar", 1, nil},
		{"salt where there is none", "crushed-tomatoes-acidified", "", "salt", 1, nil},
		{"a sweetener", "pickled-dilled-beans", "", "sucralose", 1, nil},
		{"more acid", "pickled-dilled-beans", "white-vinegar", "", 1.5, []string{"c019"}},
		{"fewer onions", "tomato-salsa-slicing-tomatoes", "onion", "", 0.5, []string{"c027"}},
		{"lemon juice for vinegar", "tomato-salsa-slicing-tomatoes", "vinegar", "lemon juice", 1, []string{"c008"}},
		{"tomatillos for tomatoes", "tomato-salsa-slicing-tomatoes", "tomato", "tomatillo", 1, []string{"c039"}},
		{"green tomatoes for tomatillos, which the recipe prints", "tomatillo-green-salsa", "tomatillo", "green tomato", 1, nil},
		{"bell peppers for chiles", "tomato-salsa-slicing-tomatoes", "long-green-chile", "bell pepper", 1, []string{"c031", "c032"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			request := followed(t, c.recipe)
			if c.item == "" {
				request.Recipe.Ingredients = append(request.Recipe.Ingredients, document.Ingredient{Item: c.becomes, Amount: amount(1, "tbsp"), Per: document.PerBatch})
			} else {
				written, _ := lineOf(t, &request, c.item)
				times(c.factor)(written)
				if c.becomes != "" {
					written.Item, written.AcidityPercent = c.becomes, nil
				}
			}
			m := comparedWith(&request)
			if !m.Matched() {
				t.Fatalf("not matched: %s", list(adverse(&m)))
			}
			found := slices.ContainsFunc(m.Departures, func(d Departure) bool { return slices.Equal(d.Changes, c.changes) })
			if c.changes != nil && !found || c.changes == nil && len(m.Departures) > 0 {
				t.Errorf("want a safe departure with %v:\n%s", c.changes, list(m.Departures))
			}
		})
	}
}

// What a tested recipe is by its nature.
func TestIdentity(t *testing.T) {
	for _, c := range []struct {
		recipe, keep, at string
		verdict          Verdict
		says             string
		fixed            bool
	}{
		{"mexican-tomato-sauce", "shelf", "/recipe", Unsafe, "no boiling-water process", false},
		{"pickled-horseradish-sauce", "shelf", "/recipe/keep", Unsafe, "never tested for the shelf", true},
		{"peach-pickles", "shelf", "/recipe", Untested, "No process time is printed", false},
	} {
		request := followed(t, c.recipe)
		request.Recipe.Keep = c.keep
		m := comparedWith(&request)
		found := slices.IndexFunc(m.Departures, func(d Departure) bool {
			return d.Rule == RulePublishedMatch && d.At == c.at && d.Verdict == c.verdict && strings.Contains(d.What, c.says)
		})
		if found < 0 {
			t.Errorf("%s: no %q:\n%s", c.recipe, c.says, list(m.Departures))
		} else if fixed := len(m.Departures[found].Fix) > 0; fixed != c.fixed {
			t.Errorf("%s: fix %+v", c.recipe, m.Departures[found].Fix)
		}
		if c.recipe == "pickled-horseradish-sauce" {
			request.Recipe.Keep = document.KeepRefrigerator
			if m := comparedWith(&request); !m.Matched() {
				t.Errorf("%s in the refrigerator: %s", c.recipe, list(adverse(&m)))
			}
		}
	}
	for i := range kitchen.tables.Recipes {
		recipe := &kitchen.tables.Recipes[i]
		if recipe.Complete || len(recipe.Packs) == 0 {
			continue
		}
		for keep, want := range map[string]bool{document.KeepShelf: true, document.KeepRefrigerator: false} {
			request := packed(t, recipe, 0, recipe.Packs[0].Jars[0])
			request.Recipe.Keep = keep
			m := comparedWith(&request)
			got := slices.ContainsFunc(m.Departures, func(d Departure) bool { return strings.Contains(d.What, "are missing in the copies") })
			if got != want {
				t.Errorf("%s, kept in %s: said to be incomplete %v, want %v", recipe.ID, keep, got, want)
			}
		}
	}
}

// Fixes are offered only where the tested recipe is surely the one meant: from a likeness of 0.75 on.
func TestFixesNeedLikeness(t *testing.T) {
	far := document.Request{Recipe: document.Recipe{Kind: "relish", Keep: "shelf", Ingredients: []document.Ingredient{
		{Item: "cucumber", Form: "chopped", Amount: amount(2, "lb"), Per: "batch"},
		{Item: "carrot", Form: "chopped", Amount: amount(0.6, "lb"), Per: "batch"},
		{Item: "white vinegar", Amount: amount(2, "cup"), Per: "batch"},
	}}}
	m := comparedWith(&far)
	if m.Recipe == nil || m.Likeness >= 0.75 || m.Likeness < 0.5 {
		t.Fatalf("the case is to be near and not very near: %v %v", m.Recipe, m.Likeness)
	}
	if len(adverse(&m)) == 0 {
		t.Fatal("no departure")
	}
	for _, d := range m.Departures {
		if len(d.Fix) > 0 {
			t.Errorf("a fix towards %s at likeness %v: %+v", m.Recipe.ID, m.Likeness, d.Fix)
		}
	}
	near := followed(t, "pickled-dilled-beans")
	near.Recipe.Follows = ""
	written, _ := lineOf(t, &near, "water")
	times(1.1)(written)
	if m := comparedWith(&near); len(adverse(&m)) == 0 || len(adverse(&m)[0].Fix) == 0 {
		t.Errorf("no fix at likeness %v", m.Likeness)
	}
	alone := document.Request{Recipe: document.Recipe{Ingredients: []document.Ingredient{{Item: "celeriac", Amount: amount(1, "kg")}}}}
	if m := comparedWith(&alone); m.Recipe != nil || m.Matched() {
		t.Errorf("celeriac alone is like %v", m.Recipe.ID)
	}
}

func TestDepartedCounts(t *testing.T) {
	for _, c := range []struct {
		match Match
		want  int
	}{
		{Match{}, 0},
		{Match{Departures: []Departure{{Verdict: Safe}, {Verdict: Unsafe}, {Verdict: Undetermined}}}, 2},
		{Match{Pack: PackChoice{HasStyle: true}}, 1},
		{Match{Pack: PackChoice{HasJar: true}}, 1},
		{Match{Pack: PackChoice{HasJar: true, Style: &catalog.TestedPack{}}}, 0},
		{Match{otherHeadspace: true}, 1},
	} {
		if got := c.match.departed(); got != c.want {
			t.Errorf("%+v: %d, want %d", c.match, got, c.want)
		}
	}
}

func TestDepartsAndLengths(t *testing.T) {
	m := Match{Departures: []Departure{{Rule: "a", Verdict: Safe}, {Rule: "a", Verdict: Unsafe, At: "x"}, {Rule: "b", Verdict: Unsafe}}}
	if got := m.Departs("a"); len(got) != 1 || got[0].At != "x" {
		t.Errorf("departures of a: %+v", got)
	}
	if got := m.PrintedLengthMM("cucumber"); got != 0 {
		t.Errorf("nothing is matched, and %v mm are printed", got)
	}
	request := followed(t, "pickled-dilled-beans")
	m = comparedWith(&request)
	if got := m.PrintedLengthMM("green-bean"); math.Abs(got-4*25.4) > 1e-9 {
		t.Errorf("4 in are printed, got %v mm", got)
	}
	if got := m.PrintedLengthMM("carrot"); got != 0 {
		t.Errorf("no carrots are printed, got %v mm", got)
	}
}
