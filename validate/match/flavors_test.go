package match

import (
	"slices"
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
)

// with adds a line to a recipe that is followed in so many jars of the first printed pack; 0 leaves the jars as they are.
func with(t *testing.T, id string, jars float64, lines ...document.Ingredient) document.Request {
	t.Helper()
	request := followed(t, id)
	if jars > 0 {
		request.Recipe.Jars = &jars
	}
	request.Recipe.Ingredients = append(slices.Clone(request.Recipe.Ingredients), lines...)
	return request
}

func ingredient(item string, value float64, unit, per string) document.Ingredient {
	return document.Ingredient{Item: item, Amount: amount(value, unit), Per: per}
}

// ofRule lists the departures of a rule that are not safe.
func ofRule(m *Match, rule string) []Departure { return m.Departs(rule) }

// Each weight of seasoning_limits.csv is tried a hair inside and a hair outside. The expected grams are by hand from that table, the printed
// recipes and the published weights: 9 pints of dill pickles hold 8 lb (3,629 g) of food, as do 7 at the fewest.
func TestSeasoningLimits(t *testing.T) {
	const dill, carrots, salsa, tomatoes, oscar = "quick-fresh-pack-dill-pickles", "pickled-carrots", "tomato-salsa-paste-tomatoes",
		"crushed-tomatoes-acidified", "oscar-relish"
	const perJar, batch = document.PerJar, document.PerBatch
	for _, c := range []struct {
		name, recipe    string
		jars            float64
		item, unit, per string
		inside, outside float64
		rule            string
		verdict         Verdict
		says            string
	}{
		// 14.5 g a pint with the 3.73 g of mustard seed of the print; at 7 pints there is no room for food.
		{"whole spice", dill, 7, "dill seed", "g", perJar, 10.76, 10.79, RuleSeasoning, Untested, "14.5 g of whole spice (“Pickled jalapeno"},
		{"ground spice", dill, 7, "paprika", "g", perJar, 6.5, 6.52, RuleSeasoning, Untested, "6.5 g of ground spice (“Country western"},
		{"dried leaves", dill, 7, "oregano", "g", perJar, 6.5, 6.52, RuleSeasoning, Untested, "ground spice"},
		{"leaves that keep firm", dill, 7, "grape leaf", "g", perJar, 6.5, 6.52, RuleSeasoning, Untested, "firming leaf"},
		// At 8 pints there is room for 518.3 x 8 - 3628.7 = 518 g of food, of which a gram of spice is seven: 74.06 g, 9.257 a pint.
		{"ground spice that finds room", dill, 8, "paprika", "g", perJar, 6.5 + 9.25, 6.5 + 9.27, RuleSeasoning, Untested, "there is no room"},
		// Beyond 1.2 times the printed jar: 518.3 x 1.2 x 7 - 3628.7 = 725.7 g, 103.7 g of spice, 14.81 a pint.
		{"ground spice, far beyond", dill, 7, "paprika", "g", perJar, 0, 6.5 + 14.82, RuleLowAcidExtra, Unsafe, "there is no room"},
		// 4.0 g of garlic a pint and 2 % of the food: 36 g and 72.57 g, of which powder is 2.5 times as much.
		{"garlic powder", dill, 9, "garlic powder", "g", batch, 43.4, 43.5, RuleLowAcidExtra, Unsafe, "4 g of garlic or dried vegetable"},
		{"onion powder", dill, 9, "onion powder", "g", batch, 12.05, 12.08, RuleLowAcidExtra, Unsafe, "counted fresh"},
		{"garlic", dill, 9, "garlic", "g", batch, 108.5, 108.7, RuleLowAcidExtra, Unsafe, "garlic"},
		{"fresh herb", carrots, 4, "fresh thyme", "g", perJar, 4.5, 4.52, RuleFreshHerb, Untested, "4.5 g a pint"},
		{"salt", carrots, 4, "salt", "g", perJar, 14.3, 16.5, RuleSeasoning, Untested, "18.4 g of salt"},
		// 14.5 g of 18 pints, less the 29 g of the print; then what counts as food finds room up to 2 % of the food.
		{"ground spice of a salsa", salsa, 0, "chili powder", "g", batch, 230, 290, RuleSeasoning, Untested, "14.5 g of dried spice"},
		// Sauce that is cooked together: 6.5 mL of water a pint, of 18 pints; hot sauce is nine tenths of water.
		{"hot sauce", salsa, 0, "hot sauce", "g", batch, 129.9, 130.3, RulePublishedRatio, Unsafe, "Hot sauce: 117 mL of water"},
		// Sugar of 0.62 mL a gram, to 15 % of 9 pints where a published change has it to taste; to 2 % of 6 pints where none has.
		{"sugar in tomatoes", tomatoes, 0, "sugar", "g", batch, 1030, 1031, RulePublishedRatio, Untested, "Sugar swells the liquid"},
		{"honey in tomatoes", tomatoes, 0, "honey", "g", batch, 930, 934, RulePublishedRatio, Untested, "Honey swells the liquid"},
		{"sugar in a relish", oscar, 0, "sugar", "g", batch, 91.5, 91.6, RulePublishedRatio, Untested, "Brown sugar and sugar swells"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.inside > 0 {
				request := with(t, c.recipe, c.jars, ingredient(c.item, c.inside, c.unit, c.per))
				if m := comparedWith(&request); !m.Matched() {
					t.Errorf("just inside: %s", list(adverse(&m)))
				}
			}
			request := with(t, c.recipe, c.jars, ingredient(c.item, c.outside, c.unit, c.per))
			m := comparedWith(&request)
			found := ofRule(&m, c.rule)
			if len(found) != 1 || found[0].Verdict != c.verdict || !strings.Contains(found[0].What, c.says) {
				t.Fatalf("just outside: %s", list(m.Departures))
			}
			last := m.Departures[len(m.Departures)-1].At
			if !strings.HasPrefix(last, "/recipe/ingredients/") {
				t.Errorf("at %s", last)
			}
		})
	}
}

// What is said of a seasoning that nobody can weigh is a question, one for each line; where the tested recipe prints the same number of the
// same pieces nothing is asked.
func TestSeasoningsThatCannotBeWeighed(t *testing.T) {
	const dill, crushed = "quick-fresh-pack-dill-pickles", "crushed-tomatoes-acidified"
	asNeeded := &document.Quantity{Unit: "as_needed"}
	for _, c := range []struct {
		name, recipe string
		line         document.Ingredient
		noJars       bool
		rule         string // empty: nothing is asked
		at, says     string
	}{
		{
			"paprika of no amount", dill,
			document.Ingredient{Item: "paprika", Per: "batch"},
			false,
			RuleSeasoning, "/recipe/ingredients/10", "How much paprika there is",
		},
		{"paprika to taste", dill, document.Ingredient{Item: "paprika", Amount: asNeeded, Per: "batch"}, false, "", "", ""},
		{"salt to taste", dill, document.Ingredient{Item: "salt", Amount: asNeeded, Per: "batch"}, false, "", "", ""},
		{
			"garlic powder to taste", dill,
			document.Ingredient{Item: "garlic powder", Amount: asNeeded, Per: "batch"},
			false,
			RuleSeasoning, "/recipe/ingredients/10", "How much garlic powder",
		},
		{
			"thyme by the package", dill, ingredient("fresh thyme", 1, "package", "batch"), false, RuleFreshHerb,
			"/recipe/ingredients/10/amount", "What 1 package fresh thyme weighs",
		},
		{
			"paprika by the package", dill, ingredient("paprika", 1, "package", "batch"), false, RuleSeasoning,
			"/recipe/ingredients/10/amount", "What 1 package paprika weighs",
		},
		{"a spoon a jar, as many jars as the tested recipe makes", dill, ingredient("paprika", 1, "tsp", "jar"), true, "", "", ""},
		{"honey of no amount", crushed, document.Ingredient{Item: "honey", Per: "batch"}, false, RuleSeasoning, "/recipe/ingredients/3", "How much honey"},
		{
			"honey to taste", crushed,
			document.Ingredient{Item: "honey", Amount: asNeeded, Per: "batch"},
			false,
			RuleSeasoning, "/recipe/ingredients/3", "How much honey",
		},
		{"poured away", dill, document.Ingredient{Item: "paprika", Per: "batch", Drained: new(true)}, false, "", "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			request := with(t, c.recipe, 0, c.line)
			if c.noJars {
				request.Recipe.Jars = nil
			}
			m := comparedWith(&request)
			var asked []Departure
			for _, d := range m.Departures {
				if d.Verdict == Undetermined && strings.HasPrefix(d.At, "/recipe/ingredients/") {
					asked = append(asked, d)
				}
			}
			if c.rule == "" {
				if len(asked) > 0 {
					t.Errorf("asked: %s", list(asked))
				}
				return
			}
			found := slices.IndexFunc(asked, func(d Departure) bool { return d.Rule == c.rule && d.At == c.at && strings.Contains(d.What, c.says) })
			if found < 0 {
				t.Errorf("want %s at %s: %s", c.rule, c.at, list(m.Departures))
			}
		})
	}
}

// The fix cuts what goes beyond the print, line by line by as large a share, to the limit and no further; and nothing is said to change
// the taste alone that is in bulk.
func TestSeasoningFixes(t *testing.T) {
	request := with(t, "quick-fresh-pack-dill-pickles", 7, ingredient("paprika", 10, "g", "jar"), ingredient("turmeric", 3, "g", "jar"))
	m := comparedWith(&request)
	found := ofRule(&m, RuleSeasoning)
	if len(found) != 1 || found[0].At != "/recipe/ingredients/10" || found[0].Measured != nil || len(found[0].Fix) != 2 {
		t.Fatalf("%+v", found)
	}
	// 13 g are to become 6.5: each line by a half.
	for i, want := range []float64{5, 1.5} {
		if op := found[0].Fix[i]; op.Value != want || op.Path != []string{"/recipe/ingredients/10/amount/value", "/recipe/ingredients/11/amount/value"}[i] {
			t.Errorf("%+v, want %v", op, want)
		}
	}
	for _, d := range m.Departures {
		if d.Verdict == Safe && (d.At == "/recipe/ingredients/10" || d.At == "/recipe/ingredients/11") {
			t.Errorf("also said to be safe: %+v", d)
		}
	}
	// Of a printed seasoning the printed amount stays: 3.73 g of mustard seed, 20 g are to become 14.5.
	request = with(t, "quick-fresh-pack-dill-pickles", 7)
	mustard, at := lineOf(t, &request, "mustard-seed")
	mustard.Amount = amount(20, "g")
	m = comparedWith(&request)
	found = ofRule(&m, RuleSeasoning)
	if len(found) != 1 || found[0].At != at+"/amount" || found[0].Measured.Value != 20 || found[0].Limit.Value != 14.5 {
		t.Errorf("%+v", found)
	}
}

// A batch of another size has the same verdict, and saying more jars of what is cooked together gives no more room.
func TestSeasoningsGoWithTheBatch(t *testing.T) {
	for _, factor := range []float64{0.5, 1, 3} {
		for grams, want := range map[float64]bool{230: true, 290: false} {
			request := with(t, "tomato-salsa-paste-tomatoes", 0, ingredient("chili powder", grams, "g", "batch"))
			for i := range request.Recipe.Ingredients {
				if line := &request.Recipe.Ingredients[i]; line.Per == document.PerBatch {
					*line.Amount.Value *= factor
				}
			}
			for _, jars := range []float64{1, 18, 300} {
				request.Recipe.Jars = new(jars)
				if m := comparedWith(&request); m.Matched() != want {
					t.Errorf("%v g in %v batches and %v jars: %s", grams, factor, jars, list(adverse(&m)))
				}
			}
		}
	}
}

// Brewed tea is water, in the slot of the water and beside it; a leaf is a spice.
func TestTea(t *testing.T) {
	brewed := func(value float64) document.Ingredient {
		line := ingredient("black tea", value, "cup", "batch")
		line.Form = "brewed"
		return line
	}
	request := followed(t, "pickled-corn-relish")
	if _, at := lineOf(t, &request, "vinegar"); at == "" {
		t.Fatal("no vinegar")
	}
	for _, c := range []struct {
		recipe  string
		water   float64 // what is left of the printed water
		tea     float64
		matched bool
	}{
		{"pickled-carrots", 0, 1, true},
		{"pickled-carrots", 0.5, 0.5, true},
		{"pickled-carrots", 1, 1, false},
		{"pickled-carrots", 0, 6, false},
		{"cayenne-pepper-sauce", 0, 2.5, true},
		{"cayenne-pepper-sauce", 2.5, 1, false},
	} {
		request := with(t, c.recipe, 0, brewed(c.tea))
		water, _ := lineOf(t, &request, "water")
		*water.Amount.Value = c.water
		if m := comparedWith(&request); m.Matched() != c.matched {
			t.Errorf("%s, %v cups of water and %v of tea: %s", c.recipe, c.water, c.tea, list(adverse(&m)))
		}
	}
	leaf := ingredient("tea leaves", 1, "tbsp", "batch")
	leaf.Item, leaf.Form = "black tea", "loose leaves"
	request = with(t, "pickled-carrots", 0, leaf)
	if m := comparedWith(&request); len(m.Departs(RuleSeasoning))+len(m.Departs(RulePublishedRatio)) > 0 {
		t.Errorf("a spoon of leaves: %s", list(adverse(&m)))
	}
}

// No tested recipe exceeds, in the jar, what seasoning_limits.csv has of its kind; the named recipe is the one that reaches it.
func TestTestedRecipesKeepTheirOwnLimits(t *testing.T) {
	limits := &kitchen.tables.Seasoned
	most := map[string]float64{}
	for i := range kitchen.matcher.patterns {
		p := &kitchen.matcher.patterns[i]
		jar, ok := kitchen.tables.Jar(p.recipe.Yield.Unit)
		if !ok || p.recipe.Yield.Low <= 0 {
			continue
		}
		b := batch{scale: 1, jars: p.recipe.Yield.Low, pints: p.recipe.Yield.Low * jar.CapacityML / pintML}
		grams := map[string]float64{}
		n := 0
		for j := range p.recipe.Ingredients {
			printed := &p.recipe.Ingredients[j]
			if printed.GoesInto == "discarded" {
				continue
			}
			line := &p.recipe.Ingredients[j]
			if n >= len(p.flavors) || p.flavors[n].line.Item.ID != line.Item {
				continue
			}
			f := &p.flavors[n]
			n++
			sauce := p.recipe.Kind == document.KindSauce
			if printed.GoesInto != "jar" && !sauce || printed.AltGroup != "" && printed.Item == "dill-seed" {
				continue
			}
			kind := string(f.line.Flavoring.Kind)
			if isGarlic(&f.line) {
				kind = "garlic-brine"
				if slices.ContainsFunc(p.recipe.Packs, func(q catalog.TestedPack) bool { return q.JarClass == catalog.JarCookedTogether }) {
					kind = "garlic-pot"
				}
			} else if f.line.Class == catalog.Salt {
				kind = "salt"
			}
			g := f.line.GramsLow * b.printed(f) / b.pints
			if printed.Amount != nil && *printed.AmountMax > 0 {
				g *= *printed.Amount / *printed.AmountMax // the low end of a printed range
			}
			grams[kind] += g
			if kind == string(catalog.WholeSpice) && sauce {
				grams[string(catalog.GroundSpice)] += g // the limit is that of all dried spices of a sauce, those of a bag among them
			}
		}
		for kind, g := range grams {
			if g > most[kind] {
				most[kind] = g
			}
		}
	}
	for kind, limit := range map[string]catalog.SeasoningLimit{
		"whole": limits.Whole, "ground": limits.Ground, "garlic-brine": limits.GarlicInBrine, "garlic-pot": limits.GarlicInPot,
		"fresh_herb": limits.FreshHerb, "salt": limits.Salt,
	} {
		if got := most[kind]; got > limit.Grams || got < limit.Grams*0.9 {
			t.Errorf("%s: the most of any tested recipe is %.2f g a pint, the limit %v", kind, got, limit.Grams)
		}
		if _, ok := kitchen.tables.Recipe(limit.Recipe); !ok {
			t.Errorf("%s: no recipe %s", kind, limit.Recipe)
		}
	}
}
