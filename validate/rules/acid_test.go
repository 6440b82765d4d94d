package rules

import (
	"slices"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/match"
	"jarwright/validate/report"
)

const (
	vinegarLine = "/recipe/ingredients/3" // of dills
	juiceLine   = "/recipe/ingredients/5" // of salsa
	limeLine    = "/recipe/ingredients/7" // of limed
)

func vinegar(change func(*document.Ingredient)) func(*document.Request) {
	return func(r *document.Request) { change(line(r, "vinegar")) }
}

func ofStrength(percent float64) func(*document.Request) {
	return vinegar(func(l *document.Ingredient) { l.AcidityPercent = &percent })
}

func inPercent(value float64) *report.Amount { return &report.Amount{Value: value, Unit: "percent"} }

func TestVinegarStrength(t *testing.T) {
	toFive := []report.Operation{operation("add", vinegarLine+"/acidity_percent", 5.0)}
	try(t, VinegarStrength(), dills, []ruleCase{
		{name: "5 %", want: report.Pass},
		{name: "6 %", edit: ofStrength(6), want: report.Pass},
		{
			name: "4.99 %", edit: ofStrength(4.99), want: report.Fail, at: []string{vinegarLine + "/acidity_percent"}, fix: toFive,
			measured: inPercent(4.99), limit: inPercent(5),
		},
		{name: "4.8 %", edit: ofStrength(4.8), want: report.Fail, at: []string{vinegarLine + "/acidity_percent"}, fix: toFive, says: "has 4.8 % acid"},
		{
			name: "strength not given", want: report.Undetermined, at: []string{vinegarLine},
			edit: vinegar(func(l *document.Ingredient) { l.AcidityPercent = nil }),
		},
		{
			name: "strength vouched for", want: report.Pass, edit: func(r *document.Request) {
				line(r, "vinegar").AcidityPercent = nil
				r.Assume = &document.Assume{VinegarAcidityPercent: new(5.0)}
			},
		},
		{
			name: "diluted", want: report.Fail, at: []string{vinegarLine + "/form"},
			edit: vinegar(func(l *document.Ingredient) { l.Form = "diluted with water" }),
		},
		{
			name: "weak, cooked with the food and poured off", want: report.Fail, at: []string{vinegarLine + "/acidity_percent"}, fix: toFive,
			edit: func(r *document.Request) { ofStrength(4.8)(r); line(r, "vinegar").Drained = new(true) },
		},
		{
			name: "a second, weak vinegar", want: report.Fail, at: []string{"/recipe/ingredients/10/acidity_percent"},
			fix: []report.Operation{operation("add", "/recipe/ingredients/10/acidity_percent", 5.0)},
			edit: func(r *document.Request) {
				weak := more("cider vinegar", 1, "cup")
				weak.AcidityPercent = new(4.0)
				add(r, weak)
			},
		},
		{name: "none of it used", edit: vinegar(func(l *document.Ingredient) { *l.Amount.Value = 0 }), want: report.NotApplicable},
		{name: "no vinegar", edit: vinegar(func(l *document.Ingredient) { l.Item = "lemon juice" }), want: report.NotApplicable},
		{name: "refrigerator", edit: func(r *document.Request) { ofStrength(4)(r); refrigerated(r) }, want: report.NotApplicable},
	})
}

func TestVinegarOrigin(t *testing.T) {
	item := operation("replace", vinegarLine+"/item", "vinegar")
	plainForm, bought := operation("add", vinegarLine+"/form", ""), operation("add", vinegarLine+"/bottled", true)
	try(t, VinegarOrigin(), dills, []ruleCase{
		{name: "bought", want: report.Pass},
		{
			name: "homemade", edit: vinegar(func(l *document.Ingredient) { l.Form = "homemade" }),
			want: report.Fail, at: []string{vinegarLine + "/item"}, fix: []report.Operation{item, plainForm, bought}, says: "homemade",
		},
		{
			name: "wine vinegar", edit: vinegar(func(l *document.Ingredient) { l.Item = "red wine vinegar" }),
			want: report.Fail, at: []string{vinegarLine + "/item"}, fix: []report.Operation{item, plainForm}, says: "Red wine vinegar is not one",
		},
		{name: "malt vinegar of 5 %", edit: vinegar(func(l *document.Ingredient) { l.Item = "malt vinegar" }), want: report.Pass},
		{
			name: "malt vinegar, not bottled", edit: vinegar(func(l *document.Ingredient) { l.Item, l.Bottled = "malt vinegar", new(false) }),
			want: report.Fail, at: []string{vinegarLine + "/bottled"}, fix: []report.Operation{bought},
		},
		{
			name: "not bottled", edit: vinegar(func(l *document.Ingredient) { l.Bottled = new(false) }),
			want: report.Fail, at: []string{vinegarLine + "/bottled"}, fix: []report.Operation{bought},
		},
		{
			name: "not said whether bottled", edit: vinegar(func(l *document.Ingredient) { l.Bottled = nil }),
			want: report.Undetermined, at: []string{vinegarLine},
		},
		{
			name: "vouched for", want: report.Pass, edit: func(r *document.Request) {
				line(r, "vinegar").Bottled = nil
				r.Assume = &document.Assume{BottledAcids: new(true)}
			},
		},
		{name: "6 %", edit: ofStrength(6), want: report.Pass},
		{
			name: "6.1 %", edit: ofStrength(6.1), want: report.Fail, at: []string{vinegarLine + "/acidity_percent"},
			measured: inPercent(6.1), limit: inPercent(6), says: "Vinegar of 6.1 %",
		},
		{
			name: "strength not given", want: report.Pass,
			edit: vinegar(func(l *document.Ingredient) { l.AcidityPercent = nil }),
		},
		{name: "refrigerator", edit: refrigerated, want: report.NotApplicable},
	})
}

func juice(change func(*document.Ingredient)) func(*document.Request) {
	return func(r *document.Request) { change(line(r, "juice")) }
}

func TestJuiceBottled(t *testing.T) {
	bottled := operation("add", juiceLine+"/bottled", true)
	try(t, JuiceBottled(), salsa, []ruleCase{
		{name: "bottled lemon juice", want: report.Pass},
		{name: "bottled lime juice", edit: juice(func(l *document.Ingredient) { l.Item = "lime juice" }), want: report.Pass},
		{
			name: "key lime juice", edit: juice(func(l *document.Ingredient) { l.Item = "key lime juice" }),
			want: report.Fail, at: []string{juiceLine + "/item"}, fix: []report.Operation{operation("replace", juiceLine+"/item", "lime juice"), bottled},
		},
		{
			name: "thinned", edit: juice(func(l *document.Ingredient) { l.Form = "bottled, mixed with water" }),
			want: report.Fail, at: []string{juiceLine + "/form"},
		},
		{
			name: "not said", edit: juice(func(l *document.Ingredient) { l.Form, l.Bottled = "", nil }),
			want: report.Undetermined, at: []string{juiceLine},
		},
		{
			name: "not bottled", edit: juice(func(l *document.Ingredient) { l.Form, l.Bottled = "", new(false) }),
			want: report.Fail, at: []string{juiceLine + "/bottled"}, fix: []report.Operation{bottled},
		},
		{
			name: "fresh by its words", edit: juice(func(l *document.Ingredient) { l.Form, l.Bottled = "freshly squeezed", nil }),
			want: report.Fail, at: []string{juiceLine},
			fix: []report.Operation{bottled, operation("replace", juiceLine+"/form", "bottled")},
		},
		{
			name: "an unknown food beside it", edit: both(juice(func(l *document.Ingredient) { l.Form, l.Bottled = "", nil }), adding("moon cheese", 1, "cup")),
			want: report.Undetermined, at: []string{juiceLine},
		},
		{name: "none of it used", edit: juice(func(l *document.Ingredient) { *l.Amount.Value, l.Bottled = 0, nil }), want: report.NotApplicable},
		{name: "citric acid", edit: juice(func(l *document.Ingredient) { l.Item, l.Bottled = "citric acid", nil }), want: report.NotApplicable},
		{name: "a juice that is food", edit: juice(func(l *document.Ingredient) { l.Item, l.Bottled = "tomato juice", nil }), want: report.NotApplicable},
		{name: "refrigerator", edit: refrigerated, want: report.NotApplicable},
	})
}

func lime(change func(*document.Ingredient)) func(*document.Request) {
	return func(r *document.Request) { change(line(r, "lime")) }
}

func TestLimeRinsed(t *testing.T) {
	three := []report.Operation{operation("replace", limeLine+"/rinses", 3.0)}
	try(t, LimeRinsed(), limed, []ruleCase{
		{name: "rinsed three times", want: report.Pass},
		{name: "rinsed four times", edit: lime(func(l *document.Ingredient) { *l.Rinses = 4 }), want: report.Pass},
		{
			name: "rinsed twice", edit: lime(func(l *document.Ingredient) { *l.Rinses = 2 }),
			want: report.Fail, at: []string{limeLine + "/rinses"}, fix: three, says: "2 soaks after the lime are too few; it takes 3",
			measured: &report.Amount{Value: 2, Unit: "count"}, limit: &report.Amount{Value: 3, Unit: "count"},
		},
		{name: "not said how often", edit: lime(func(l *document.Ingredient) { l.Rinses = nil }), want: report.Undetermined, at: []string{limeLine}},
		{
			name: "left in the jar", edit: lime(func(l *document.Ingredient) { l.Drained = nil }), want: report.Fail, at: []string{limeLine},
			fix: []report.Operation{operation("add", limeLine+"/drained", true), operation("add", limeLine+"/rinses", 3.0)},
		},
		{name: "no lime used", edit: lime(func(l *document.Ingredient) { *l.Amount.Value = 0 }), want: report.NotApplicable},
		{name: "refrigerator", edit: refrigerated, want: report.NotApplicable},
	})
	const added = "/recipe/ingredients/10"
	try(t, LimeRinsed(), dills, []ruleCase{
		{name: "a recipe without", want: report.NotApplicable},
		{
			name: "added to a recipe without", want: report.Fail, at: []string{added + "/item"},
			fix: []report.Operation{operation("replace", added+"/amount/value", 0.0)},
			edit: func(r *document.Request) {
				soak := more("pickling lime", 1, "cup")
				soak.Drained, soak.Rinses = new(true), new(3.0)
				add(r, soak)
			},
		},
		{
			name: "added as needed", want: report.Fail, at: []string{added + "/item"},
			edit: func(r *document.Request) {
				add(r, document.Ingredient{Item: "pickling lime", Amount: &document.Quantity{Unit: "as_needed"}, Per: document.PerBatch})
			},
		},
		{
			name: "no tested recipe to go by", want: report.Fail, at: []string{"/recipe/ingredients/1/item"},
			edit: func(r *document.Request) { *r = untested(more("potato", 2, "lb"), more("pickling lime", 1, "cup")) },
			facts: func(f *facts.Facts) {
				if f.Match.Recipe != nil {
					panic("it is like " + f.Match.Recipe.ID)
				}
			},
		},
	})
}

func TestNoAcid(t *testing.T) {
	missing := []string{"/recipe/ingredients"}
	try(t, NoAcid(), dills, []ruleCase{
		{name: "vinegar", want: report.Pass},
		{name: "citric acid", edit: vinegar(func(l *document.Ingredient) { l.Item, l.Amount = "citric acid", amount(2, "tbsp") }), want: report.Pass},
		{name: "vinegar left out", edit: vinegar(func(l *document.Ingredient) { *l.Amount.Value = 0 }), want: report.Fail, at: missing},
		{name: "vinegar drained", edit: vinegar(func(l *document.Ingredient) { l.Drained = new(true) }), want: report.Fail, at: missing},
		{
			name: "vinegar poured off in words", want: report.Fail, at: missing,
			edit: vinegar(func(l *document.Ingredient) { l.Form = "cooked with the food and poured off" }),
		},
		{name: "water for vinegar", edit: vinegar(func(l *document.Ingredient) { l.Item = "water" }), want: report.Fail, at: missing},
		{name: "fermented", edit: func(r *document.Request) { r.Recipe.Kind = document.KindFermented }, want: report.NotApplicable},
		{name: "refrigerator", edit: refrigerated, want: report.NotApplicable},
		{
			name: "only acid food", want: report.NotApplicable,
			edit: func(r *document.Request) { *r = untested(more("apple", 2, "lb"), more("sugar", 2, "cup")) },
		},
		{
			name: "eggs", want: report.Fail, at: missing,
			edit: func(r *document.Request) { *r = untested(more("egg", 12, "each")) },
		},
		{
			name: "low-acid food marked as poured away, which it never is", want: report.Fail, at: missing,
			edit: func(r *document.Request) {
				*r = untested(more("onion", 1, "lb"))
				r.Recipe.Ingredients[0].Drained = new(true)
			},
		},
	})
}

func TestPublishedRatio(t *testing.T) {
	cups := func(word string, value float64) func(*document.Request) {
		return func(r *document.Request) {
			for i := range r.Recipe.Ingredients {
				if l := &r.Recipe.Ingredients[i]; l.Item == word && l.Drained == nil {
					l.Amount = amount(value, "cup")
				}
			}
		}
	}
	less := func(cup float64) func(*document.Request) {
		return vinegar(func(l *document.Ingredient) { l.Amount = amount(cup, "cup") })
	}
	fixed := func(f *facts.Facts) { f.Match.Departures = withoutFixes(f) }
	try(t, PublishedRatio(), dills, []ruleCase{
		{name: "as printed", want: report.Pass},
		{name: "1 % less vinegar", edit: less(5.94), want: report.Pass},
		{name: "5 % less vinegar", edit: less(5.7), facts: fixed, want: report.Fail, at: []string{vinegarLine + "/amount"}},
		{name: "more vinegar", edit: less(8), want: report.Pass},
		{name: "1 % more water", edit: cups("water", 8.08), want: report.Pass},
		{name: "5 % more water", edit: cups("water", 8.4), facts: fixed, want: report.Fail, at: []string{"/recipe/ingredients/6/amount"}},
		{name: "refrigerator", edit: refrigerated, want: report.NotApplicable},
		{name: "no tested recipe", edit: func(r *document.Request) { *r = untested(more("potato", 2, "lb")) }, want: report.NotApplicable},
	})
}

// withoutFixes takes the fixes out of the departures: package match tests them.
func withoutFixes(f *facts.Facts) []match.Departure {
	departures := slices.Clone(f.Match.Departures)
	for i := range departures {
		departures[i].Fix = nil
	}
	return departures
}

// Mushrooms are cooked in lemon juice that is poured away before they are packed in vinegar.
func TestRatioOfSoak(t *testing.T) {
	lemon := func(share float64) func(*document.Request) {
		return func(r *document.Request) { *line(r, "lemon").Amount.Value *= share }
	}
	at := []string{"/recipe/ingredients/1/amount"}
	try(t, PublishedRatio(), base("marinated-whole-mushrooms"), []ruleCase{
		{name: "as printed", want: report.Pass},
		{name: "1 % less", edit: lemon(0.99), want: report.Pass},
		{name: "5 % less", edit: lemon(0.95), facts: unfixed, want: report.Fail, at: at},
		{name: "without its acid", edit: lemon(0), facts: unfixed, want: report.Fail, at: []string{"/recipe/ingredients"}},
		{
			name: "kept in the jar instead", facts: unfixed, want: report.Fail, at: []string{"/recipe/ingredients"},
			edit: func(r *document.Request) { line(r, "lemon").Drained = nil },
		},
	})
}
