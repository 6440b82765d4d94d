package match

import (
	"slices"
	"strings"
	"testing"

	"jarwright/validate/composition"
	"jarwright/validate/document"
)

// marking marks lines as poured away, by their places.
func marking(places ...int) func(*document.Request) {
	return func(r *document.Request) {
		for _, i := range places {
			r.Recipe.Ingredients[i].Drained = new(true)
		}
	}
}

// TestSettle says what becomes of marked lines beside a tested recipe. Fresh-pack dills soak in salt water (lines 1 and 2) that is
// poured away (guide, p. 6-10) and have brine of vinegar, water and salt (3 to 6); their spice is in a bag (7).
func TestSettle(t *testing.T) {
	for _, c := range []struct {
		name, recipe string
		change       func(*document.Request)
		want         map[int]composition.Pouring
		departures   []string // place of each departure of the rule
		says         string
	}{
		{
			"as printed", "quick-fresh-pack-dill-pickles", nil,
			map[int]composition.Pouring{0: composition.NotMarked, 1: composition.PouredAway, 2: composition.PouredAway, 7: composition.PouredAway},
			nil, "",
		},
		{
			"cucumbers", "quick-fresh-pack-dill-pickles", marking(0),
			map[int]composition.Pouring{0: composition.MarkedWrong},
			[]string{"/recipe/ingredients/0/drained"},
			"Cucumber is marked as poured away. Food is never poured away. It counts as in the jar.",
		},
		{
			"the brine too", "quick-fresh-pack-dill-pickles", func(r *document.Request) {
				for i := range r.Recipe.Ingredients {
					if item := r.Recipe.Ingredients[i].Item; item == "water" || item == "salt" {
						r.Recipe.Ingredients[i].Drained = new(true)
					}
				}
			},
			map[int]composition.Pouring{1: composition.PouredAway, 2: composition.PouredAway},
			[]string{"brine", "brine"},
			"pours nothing of the kind away",
		},
		{
			"the soak in two lines", "quick-fresh-pack-dill-pickles", func(r *document.Request) {
				line := r.Recipe.Ingredients[2]
				r.Recipe.Ingredients = append(r.Recipe.Ingredients, line)
			},
			map[int]composition.Pouring{2: composition.PouredAway},
			nil, "",
		},
		{
			"a spice where none is lifted out", "pickled-carrots", func(r *document.Request) { marking(len(r.Recipe.Ingredients) - 1)(r) },
			map[int]composition.Pouring{},
			nil, "",
		},
		{"sugar", "pickled-carrots", func(r *document.Request) {
			for i := range r.Recipe.Ingredients {
				if r.Recipe.Ingredients[i].Item == "sugar" {
					marking(i)(r)
				}
			}
		}, map[int]composition.Pouring{}, []string{"sugar"}, "What is mixed in is never poured away."},
		{"garlic that is boiled and taken out", "pickled-hot-peppers", nil, map[int]composition.Pouring{6: composition.KeptAnyhow}, nil, ""},
		{
			"juice that the food is first cooked in", "marinated-whole-mushrooms", nil,
			map[int]composition.Pouring{1: composition.PouredAway, 2: composition.PouredAway},
			nil, "",
		},
		{"tomatoes", "chile-salsa", func(r *document.Request) {
			_, at := lineOf(t, r, "tomato")
			r.Recipe.Ingredients[at[len(at)-1]-48].Drained = new(true)
		}, map[int]composition.Pouring{}, []string{"tomato"}, "whose juice is poured away have lost their acid. It counts as in the jar."},
	} {
		t.Run(c.name, func(t *testing.T) {
			request := followed(t, c.recipe)
			request.Recipe.Follows = c.recipe
			if c.change != nil {
				c.change(&request)
			}
			cook := composition.Read(&request, kitchen.tables, kitchen.matcher.scale)
			m := kitchen.matcher.Match(&request, &cook)
			for i, want := range c.want {
				if got := cook.Lines[i].Pouring; got != want {
					t.Errorf("line %d, %s: %v, want %v", i, cook.Lines[i].Name, got, want)
				}
			}
			found := m.Departs(RulePouredAway)
			if len(found) != len(c.departures) {
				t.Fatalf("%d departures, want %d: %+v", len(found), len(c.departures), found)
			}
			for i, d := range found {
				if strings.HasPrefix(c.departures[i], "/") && d.At != c.departures[i] || d.Verdict != Unsafe || !strings.HasSuffix(d.At, "/drained") {
					t.Errorf("%+v", d)
				}
				if !strings.Contains(d.What, c.says) {
					t.Errorf("says %q, want %q in it", d.What, c.says)
				}
			}
		})
	}
}

// A line that is named anyhow has it said there, and once.
func TestMarksAreSaidOnce(t *testing.T) {
	for _, c := range []struct{ item, rule, says string }{
		{"black beans", RuleLowAcidExtra, "It is marked as poured away: food is never poured away."},
		{"apple", RulePublishedMatch, "fruit or tomatoes whose juice is poured away have lost their acid."},
		{"egg", RuleLowAcidExtra, "food is never poured away."},
		{"olive oil", RuleFat, "what is mixed in is never poured away."},
		{"flour", RuleThickener, "what is mixed in is never poured away."},
	} {
		request := followed(t, "pickled-carrots")
		request.Recipe.Follows = "pickled-carrots"
		marked := document.Ingredient{Item: c.item, Amount: amount(1, "cup"), Per: document.PerBatch, Drained: new(true)}
		request.Recipe.Ingredients = append(request.Recipe.Ingredients, marked)
		cook := composition.Read(&request, kitchen.tables, kitchen.matcher.scale)
		m := kitchen.matcher.Match(&request, &cook)
		said := slices.ContainsFunc(m.Departs(c.rule), func(d Departure) bool { return strings.Contains(d.What, c.says) })
		if !said || len(m.Departs(RulePouredAway)) > 0 {
			t.Errorf("%s: %+v", c.item, m.Departures)
		}
	}
}

// An acid that is marked gives none; one that the tested recipe does not rest on is let be.
func TestMarkedAcid(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*document.Request)
		rule   string
		says   string
	}{
		{"the vinegar", func(r *document.Request) {
			for i := range r.Recipe.Ingredients {
				if strings.Contains(r.Recipe.Ingredients[i].Item, "vinegar") {
					r.Recipe.Ingredients[i].Drained = new(true)
				}
			}
		}, RulePouredAway, "An acid that is poured away gives the jar none."},
		{"citric acid that the recipe does not have", func(r *document.Request) {
			marked := document.Ingredient{Item: "ascorbic acid", Amount: amount(1, "tsp"), Per: document.PerBatch, Drained: new(true)}
			r.Recipe.Ingredients = append(r.Recipe.Ingredients, marked)
		}, "", ""},
	} {
		request := followed(t, "pickled-carrots")
		request.Recipe.Follows = "pickled-carrots"
		c.change(&request)
		cook := composition.Read(&request, kitchen.tables, kitchen.matcher.scale)
		m := kitchen.matcher.Match(&request, &cook)
		found := m.Departs(RulePouredAway)
		said := len(found) > 0 && strings.Contains(found[0].What, c.says) && strings.Contains(found[0].Remedy, "Put the acid into the jar")
		if (len(found) > 0) != (c.rule != "") || said != (c.rule != "") {
			t.Errorf("%s: %+v", c.name, found)
		}
	}
}

// Raw tomatoes without the water in which the named recipe covers them: the water is missing, and the recipe without liquid takes 85
// minutes in each band that it prints (guide, p. 3-11: 85 to 1,000 ft, then 90, 95 and 100).
func TestLiquidThatCovers(t *testing.T) {
	raw := func(feet float64) document.Request {
		request := followed(t, "tomatoes-raw-no-liquid-acidified")
		request.Recipe.Follows, request.Kitchen = "tomatoes-in-water-acidified", nil
		if feet > 0 {
			request.Kitchen = &document.Kitchen{Elevation: amount(feet, "ft")}
		}
		return request
	}
	for _, c := range []struct {
		feet float64
		says string
	}{
		{500, "which takes 85 minutes."}, {4000, "which takes 95 minutes."}, {0, "which takes 85 to 100 minutes by elevation."},
	} {
		request := raw(c.feet)
		cook := composition.Read(&request, kitchen.tables, kitchen.matcher.scale)
		m := kitchen.matcher.Match(&request, &cook)
		found := m.Departs(RulePublishedMatch)
		if len(found) != 1 || found[0].Verdict != Untested || found[0].At != "/recipe/ingredients" || !strings.Contains(found[0].What, c.says) ||
			!strings.Contains(found[0].What, "water covers the food; this recipe has none.") || m.Recipe.ID != "tomatoes-in-water-acidified" {
			t.Errorf("at %v ft: %+v", c.feet, found)
		}
	}
	request := raw(500)
	request.Batch = &document.Batch{Elevation: amount(7000, "ft")}
	cook := composition.Read(&request, kitchen.tables, kitchen.matcher.scale)
	if found := kitchen.matcher.Match(&request, &cook); !strings.Contains(found.Departs(RulePublishedMatch)[0].What, "100 minutes.") {
		t.Errorf("the elevation of the canning day does not go first: %+v", found.Departures)
	}
	request = raw(500)
	request.Recipe.Ingredients = append(request.Recipe.Ingredients,
		document.Ingredient{Item: "water", Amount: &document.Quantity{Unit: "to_cover"}, Per: document.PerBatch})
	cook = composition.Read(&request, kitchen.tables, kitchen.matcher.scale)
	if m := kitchen.matcher.Match(&request, &cook); len(m.Departs(RulePublishedMatch)) > 0 {
		t.Errorf("with its water: %+v", m.Departures)
	}
}

// Kraut of 25 lb in a crock of 5 gallons (guide, p. 6-6): 18.93 L less 11.34 kg leave 7.59 L. Water takes 1-1/2 tbsp of salt a quart
// (p. 6-8) beside the 3/4 cup of the cabbage.
func TestTopUpBrine(t *testing.T) {
	for _, c := range []struct {
		name            string
		liters, saltCup float64
		per             string
		rules           []string
	}{
		{"none", 0, 0.75, "batch", nil},
		{"a quart with its salt", 0.946353, 0.75 + 1.5/16, "batch", nil},
		{"a quart without", 0.946353, 0.75, "batch", []string{RuleSaltInFerment}},
		{"a quart with nearly its salt", 0.946353, (0.75 + 1.5/16) * 0.97, "batch", []string{RuleSaltInFerment}},
		{"what has room, with its salt", 7.6, 0.75 + 8.04*1.5/16, "batch", nil},
		{"a little more", 7.8, 0.75 + 8.25*1.5/16, "batch", []string{RulePublishedRatio}},
		{"ten gallons with their salt", 37.85, 0.75 + 40*1.5/16, "batch", []string{RulePublishedRatio}},
		{"a pint a jar", 0.5, 5, "jar", []string{RulePublishedRatio}},
	} {
		t.Run(c.name, func(t *testing.T) {
			request := followed(t, "sauerkraut")
			request.Recipe.Follows = "sauerkraut"
			salt, _ := lineOf(t, &request, "salt")
			salt.Amount = amount(c.saltCup, "cup")
			water, _ := lineOf(t, &request, "water")
			water.Amount, water.Per = amount(c.liters, "L"), c.per
			cook := composition.Read(&request, kitchen.tables, kitchen.matcher.scale)
			m := kitchen.matcher.Match(&request, &cook)
			var rules []string
			for _, d := range m.Departures {
				if d.Verdict != Safe {
					rules = append(rules, d.Rule)
				}
			}
			if !slices.Equal(rules, c.rules) {
				t.Errorf("%q, want %q: %+v", rules, c.rules, m.Departures)
			}
		})
	}
}

// Beets take 4 to 6 onions of 2 to 2-1/2 in (guide, p. 6-15): counted pieces that are larger weigh as the cube of their size.
func TestLargerCountedPieces(t *testing.T) {
	for _, c := range []struct {
		form   string
		number float64
		much   bool
	}{
		{"thinly sliced, 2-1/2 in diameter", 6, false},
		{"thinly sliced, 2.7 in diameter", 6, false},
		{"thinly sliced, 2.8 in diameter", 6, true},
		{"thinly sliced, 2.8 in diameter", 4, false},
		{"thinly sliced, 5 in diameter", 6, true},
		{"thinly sliced, 5 in diameter", 1, true},
		{"thinly sliced", 6, false},
	} {
		request := followed(t, "pickled-beets")
		request.Recipe.Follows = "pickled-beets"
		onion, _ := lineOf(t, &request, "onion")
		onion.Form, onion.Amount, onion.Piece = c.form, amount(c.number, "each"), nil
		cook := composition.Read(&request, kitchen.tables, kitchen.matcher.scale)
		m := kitchen.matcher.Match(&request, &cook)
		much := slices.ContainsFunc(m.Departs(RuleFoodPerJar), func(d Departure) bool {
			return strings.Contains(d.What, "larger than those that it counts")
		})
		if much != c.much {
			t.Errorf("%v onions, %s: %+v", c.number, c.form, m.Departures)
		}
	}
}
