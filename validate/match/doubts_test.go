package match

import (
	"slices"
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
)

// A printed line in doubt grants nothing, another line of the same group does (USDA 2015 p. 3-5 to 3-8).
func TestDoubts(t *testing.T) {
	const sauce = "standard-tomato-sauce-thin-acidified"
	vinegar := linesOf(catalog.Acid, func(i *document.Ingredient) {
		*i = document.Ingredient{Item: "cider vinegar", Amount: amount(4, "tbsp"), Per: document.PerJar, AcidityPercent: new(5.0), Bottled: new(true)}
	})
	for _, c := range []struct {
		name, recipe, keep string
		change             func(*document.Request)
		want               int
	}{
		{"lemon juice", sauce, "shelf", func(*document.Request) {}, 0},
		{"vinegar", sauce, "shelf", vinegar, 1},
		{"vinegar, for the refrigerator", sauce, "refrigerator", vinegar, 0},
		{"vinegar where it is printed", "crushed-tomatoes-acidified", "shelf", vinegar, 0},
	} {
		request := followed(t, c.recipe)
		request.Recipe.Keep = c.keep
		c.change(&request)
		m := comparedWith(&request)
		found := slices.DeleteFunc(slices.Clone(m.Departures), func(d Departure) bool { return !strings.Contains(d.What, "is doubtful") })
		if len(found) != c.want {
			t.Errorf("%s: %s", c.name, list(m.Departures))
		}
		for _, d := range found {
			const remedy = "Use lemon juice or citric acid, as it is printed for certain."
			if d.Verdict != Untested || d.Rule != RulePublishedMatch || !strings.HasSuffix(d.At, "/item") || d.Remedy != remedy {
				t.Errorf("%s: %+v", c.name, d)
			}
		}
	}
	all := kilogram(t, acidSlot, "vinegar")
	all.lines[0].doubt = "one copy only"
	if doubt, otherwise := all.doubtOf(item(t, "vinegar")); doubt != "one copy only" || otherwise != "a tested recipe that prints it" {
		t.Errorf("%q, %q", doubt, otherwise)
	}
}

// A recipe whose process is in doubt grants nothing for the shelf.
func TestDoubtOfARecipe(t *testing.T) {
	for _, c := range []struct {
		doubt, keep string
		complete    bool
		want        []string
	}{
		{"", "shelf", true, nil},
		{"its minutes were cut off", "shelf", true, []string{"/recipe: is not certain: its minutes were cut off."}},
		{"its minutes were cut off", "refrigerator", true, nil},
		{"", "shelf", false, []string{"/recipe: cannot be compared in full"}},
		{"", "refrigerator", false, nil},
		{"in doubt", "", false, []string{"/recipe: in doubt", "/recipe: cannot be compared in full"}},
	} {
		found := &Match{}
		x := comparison{
			matcher: kitchen.matcher, recipe: &document.Recipe{Keep: c.keep}, match: found, cook: &composition.Composition{},
			tested: &pattern{recipe: &catalog.TestedRecipe{Title: "The recipe", Doubt: c.doubt, Complete: c.complete}},
		}
		x.unsure()
		said(t, found.Departures, c.want...)
	}
}
