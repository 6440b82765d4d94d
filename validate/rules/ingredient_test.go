package rules

import (
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/report"
)

// tenth is where the first line added to dills stands.
const tenth = "/recipe/ingredients/10"

// adding puts a line in.
func adding(item string, value float64, unit string) func(*document.Request) {
	return func(r *document.Request) { add(r, more(item, value, unit)) }
}

// unfixed leaves the fixes of departures to the tests of package match.
func unfixed(f *facts.Facts) { f.Match.Departures = withoutFixes(f) }

func TestUnknown(t *testing.T) {
	try(t, Unknown(), dills, []ruleCase{
		{name: "all known", want: report.Pass},
		{
			name: "unlike anything",
			edit: adding("moon cheese", 1, "cup"),
			want: report.Undetermined, at: []string{tenth + "/item"}, says: "“moon cheese” is not in",
		},
		{
			name: "nearly a name", edit: adding("cucumbr", 1, "cup"), want: report.Undetermined, at: []string{tenth + "/item"},
			says: "If you mean cucumber, write that",
		},
		{name: "not used", edit: adding("moon cheese", 0, "cup"), want: report.Pass},
		{name: "refrigerator", edit: both(adding("moon cheese", 1, "cup"), refrigerated), want: report.NotApplicable},
	})
}

// Rules that speak for departures of lines: as printed, with the line that departs, and where they do not apply.
func TestDeparturesOfLines(t *testing.T) {
	at, item := []string{tenth}, []string{tenth + "/item"}
	for _, test := range []struct {
		rule Rule
		base func(testing.TB) document.Request
		edit func(*document.Request) // makes the recipe depart
		at   []string
		none func(testing.TB) document.Request // a recipe without such lines
		own  func(testing.TB) document.Request // a tested recipe with such lines
	}{
		{LowAcidExtra(), dills, adding("green beans", 1, "cup"), item, base("spiced-crab-apples"), dills},
		{LowAcidExtra(), dills, adding("egg", 6, "each"), item, base("spiced-crab-apples"), beets},
		{FreshHerb(), dills, adding("fresh basil", 0.5, "cup"), at, beets, dills},
		{Fat(), dills, adding("olive oil", 0.25, "cup"), at, dills, base("marinated-peppers")},
		{Thickener(), dills, adding("corn starch", 2, "tbsp"), at, dills, base("pickled-green-tomato-relish")},
		{Pureed(), beets, form("cooked, skinned, pureed"), []string{"/recipe/ingredients/0/form"}, none, beets},
		{Unsuitable(), salsa, form("paste type, overripe, peeled, cored, chopped"), []string{"/recipe/ingredients/0/form"}, none, salsa},
	} {
		try(t, test.rule, test.base, []ruleCase{
			{name: test.rule.ID + ", departing", edit: test.edit, facts: unfixed, want: report.Fail, at: test.at},
			{name: test.rule.ID + ", departing, refrigerator", edit: both(test.edit, refrigerated), want: report.NotApplicable},
			{name: test.rule.ID + ", no tested recipe", edit: func(r *document.Request) {
				test.edit(r)
				*r = untested(append(r.Recipe.Ingredients[len(r.Recipe.Ingredients)-1:], more("potato", 9, "lb"))...)
			}, want: report.NotApplicable},
		})
		try(t, test.rule, test.own, []ruleCase{{name: test.rule.ID + ", as printed", want: report.Pass}})
		try(t, test.rule, test.none, []ruleCase{{name: test.rule.ID + ", no such line", want: report.NotApplicable}})
	}
}

// none is a recipe that follows a tested one and holds no food.
func none(t testing.TB) document.Request {
	r := beets(t)
	r.Recipe.Follows = "pickled-beets"
	for i := range r.Recipe.Ingredients {
		if word := r.Recipe.Ingredients[i].Item; word == "beet" || word == "onion" {
			r.Recipe.Ingredients[i].Amount = amount(0, "lb")
		}
	}
	return r
}

func TestBlossomEnd(t *testing.T) {
	left := form("whole, 3 to 5 in, blossom end left on")
	try(t, BlossomEnd(), dills, []ruleCase{
		{name: "not said", want: report.Pass},
		{name: "cut off", edit: form("whole, 3 to 5 in, blossom end cut off"), want: report.Pass},
		{name: "left on", edit: left, want: report.Fail, at: []string{"/recipe/ingredients/0/form"}},
		{
			name: "left on and marked as poured away, which food never is", want: report.Fail, at: []string{"/recipe/ingredients/0/form"},
			edit: both(left, func(r *document.Request) { r.Recipe.Ingredients[0].Drained = new(true) }),
		},
		{name: "an unknown food", edit: both(left, func(r *document.Request) { r.Recipe.Ingredients[0].Item = "moon cheese" }), want: report.NotApplicable},
		{name: "refrigerator", edit: both(left, refrigerated), want: report.NotApplicable},
	})
	try(t, BlossomEnd(), beets, []ruleCase{{name: "no cucumbers", want: report.NotApplicable}})
}

func salt(change func(*document.Ingredient)) func(*document.Request) {
	return func(r *document.Request) {
		for i := range r.Recipe.Ingredients {
			if l := &r.Recipe.Ingredients[i]; l.Item == "salt" && l.Drained == nil {
				change(l)
			}
		}
	}
}

func kind(of string) func(*document.Request) {
	return salt(func(l *document.Ingredient) { l.SaltKind = of })
}

func TestSaltInFerment(t *testing.T) {
	const at = "/recipe/ingredients/2"
	grams := func(value float64) func(*document.Request) {
		return salt(func(l *document.Ingredient) { l.Amount = amount(value, "g") })
	}
	try(t, SaltInFerment(), ferment, []ruleCase{
		{name: "as printed", want: report.Pass},
		{name: "refrigerator", edit: refrigerated, want: report.Pass},
		{
			name: "half the salt",
			edit: salt(func(l *document.Ingredient) { *l.Amount.Value = 0.25 }), facts: unfixed,
			want: report.Fail, at: []string{at + "/amount"},
		},
		{
			name: "reduced-sodium salt", edit: kind(document.SaltReducedSodium), want: report.Fail, at: []string{at},
			fix: []report.Operation{operation("add", at+"/salt_kind", document.SaltCanning)}, facts: nothingElse,
		},
		{name: "weighed", edit: grams(292 / 2), want: report.Pass},
		{name: "weighed, kind not said", edit: both(grams(292/2), kind("")), want: report.Undetermined, at: []string{at}, says: "does not say which salt"},
		{name: "table salt", edit: both(grams(292/2), kind(document.SaltTable)), want: report.Pass},
		{
			name: "called brined, but a ferment is followed", want: report.Fail, at: []string{at}, facts: nothingElse,
			fix: []report.Operation{operation("add", at+"/salt_kind", document.SaltCanning)},
			edit: both(kind(document.SaltReducedSodium), func(r *document.Request) {
				r.Recipe.Kind, r.Recipe.Follows = document.KindBrined, "dill-pickles-fermented"
			}),
		},
		{
			name: "no tested ferment", want: report.Undetermined, at: []string{"/recipe/ingredients"}, says: "No tested ferment was found",
			edit: func(r *document.Request) {
				*r = untested(more("potato", 2, "lb"))
				r.Recipe.Kind = document.KindFermented
			},
		},
		{
			name: "not a ferment and no tested recipe", want: report.NotApplicable,
			edit: func(r *document.Request) { *r = untested(more("potato", 2, "lb")) },
		},
	})
	try(t, SaltInFerment(), dills, []ruleCase{
		{name: "not a ferment", edit: kind(document.SaltReducedSodium), want: report.NotApplicable},
		{
			name: "called fermented, but a quick pickle is followed", want: report.Fail, at: []string{"/recipe/ingredients/4"}, facts: nothingElse,
			fix: []report.Operation{operation("add", "/recipe/ingredients/4/salt_kind", document.SaltCanning)},
			edit: both(kind(document.SaltReducedSodium), func(r *document.Request) {
				r.Recipe.Kind, r.Recipe.Follows = document.KindFermented, "quick-fresh-pack-dill-pickles"
			}),
		},
	})
}

// nothingElse takes the departures away, to see what the rule itself finds.
func nothingElse(f *facts.Facts) { f.Match.Departures = nil }

func TestSaltKind(t *testing.T) {
	at := []string{"/recipe/ingredients/4"}
	try(t, SaltKind(), dills, []ruleCase{
		{name: "canning", want: report.Pass},
		{name: "table", edit: kind(document.SaltTable), want: report.Fail, at: at, says: "Table salt is safe"},
		{name: "reduced sodium", edit: kind(document.SaltReducedSodium), want: report.Fail, at: at, says: "Reduced-sodium salt is safe in a quick pickle"},
		{name: "refrigerator", edit: both(kind(document.SaltTable), refrigerated), want: report.Fail, at: at},
		{name: "salt only in the soak", edit: salt(func(l *document.Ingredient) { *l.Amount.Value = 0 }), want: report.NotApplicable},
	})
	try(t, SaltKind(), ferment, []ruleCase{
		{name: "reduced sodium in a ferment, which another rule says", edit: kind(document.SaltReducedSodium), want: report.Pass},
	})
}

func TestEgg(t *testing.T) {
	at := []string{"/recipe/ingredients/0/item"}
	try(t, Egg(), eggs, []ruleCase{
		{name: "shelf", want: report.Fail, at: at, fix: []report.Operation{operation("replace", "/recipe/keep", document.KeepRefrigerator)}},
		{name: "not said where", edit: func(r *document.Request) { r.Recipe.Keep = "" }, want: report.Fail, at: at},
		{name: "refrigerator", edit: refrigerated, want: report.Pass},
		{
			name: "marked as poured away, which eggs never are", want: report.Fail, at: at,
			edit: func(r *document.Request) { r.Recipe.Ingredients[0].Drained = new(true) },
			fix:  []report.Operation{operation("replace", "/recipe/keep", document.KeepRefrigerator)},
		},
		{name: "none", edit: func(r *document.Request) { *line(r, "egg").Amount.Value = 0 }, want: report.NotApplicable},
	})
	try(t, Egg(), dills, []ruleCase{
		{name: "no eggs", want: report.NotApplicable},
		{name: "eggs among cucumbers", edit: adding("egg", 4, "each"), want: report.Fail, at: []string{tenth + "/item"}, fix: []report.Operation{
			operation("replace", "/recipe/keep", document.KeepRefrigerator),
		}},
	})
}

func TestGarlicInOil(t *testing.T) {
	garlic, oil := adding("garlic", 4, "clove"), adding("olive oil", 0.25, "cup")
	drained := func(r *document.Request) { line(r, "garlic").Drained = new(true) }
	try(t, GarlicInOil(), dills, []ruleCase{
		{name: "neither", want: report.NotApplicable},
		{name: "garlic alone", edit: garlic, want: report.NotApplicable},
		{name: "oil alone", edit: oil, want: report.NotApplicable},
		{
			name: "garlic taken out again, which the tested recipe does not do", edit: both(garlic, oil, drained), want: report.Fail,
			at: []string{tenth},
		},
		{name: "an unknown food in oil", edit: both(oil, adding("moon cheese", 1, "cup")), want: report.NotApplicable},
		{name: "both", edit: both(garlic, oil), want: report.Fail, at: []string{tenth}},
		{name: "both, refrigerator", edit: both(garlic, oil, refrigerated), want: report.NotApplicable},
		{
			name: "both, no tested recipe", want: report.Fail, at: []string{"/recipe/ingredients/1"},
			edit: func(r *document.Request) {
				*r = untested(more("potato", 2, "lb"), more("garlic", 4, "clove"), more("olive oil", 1, "cup"))
			},
		},
	})
	try(t, GarlicInOil(), base("marinated-peppers"), []ruleCase{
		{name: "as a tested recipe has them", want: report.Pass},
		{
			name: "with twice the oil",
			edit: func(r *document.Request) { *line(r, "oil").Amount.Value *= 2 },
			want: report.Fail, at: []string{"/recipe/ingredients/6"},
		},
	})
}

func TestFirmingAgent(t *testing.T) {
	at := []string{tenth}
	try(t, FirmingAgent(), dills, []ruleCase{
		{name: "none", want: report.NotApplicable},
		{name: "alum", edit: adding("alum", 1, "tsp"), want: report.Fail, at: at, says: "Alum has no effect in quick pickles"},
		{name: "grape leaves", edit: adding("grape leaf", 1, "each"), want: report.Fail, at: at, says: "A grape leaf is not needed"},
		{name: "calcium chloride", edit: adding("calcium chloride", 1, "tsp"), want: report.Pass},
		{name: "alum, not used", edit: adding("alum", 0, "tsp"), want: report.NotApplicable},
		{
			name: "calcium chloride in a ferment", want: report.Fail, at: at, says: "not into a fermenting crock",
			edit: both(adding("calcium chloride", 1, "tsp"), func(r *document.Request) { r.Recipe.Kind = document.KindFermented }),
		},
		{
			name: "alum in a ferment", want: report.Fail, at: at, says: "safe in fermented pickles only",
			edit: both(adding("alum", 1, "tsp"), func(r *document.Request) { r.Recipe.Kind = document.KindFermented }),
		},
	})
}
