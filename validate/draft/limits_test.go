package draft_test

import (
	"slices"
	"strings"
	"testing"

	"jarwright/validate/draft"
)

// A line longer than any of a recipe is told and stands in the request as a food that nobody knows, whatever it begins with.
func TestLinesTooLongAreUnknownFoods(t *testing.T) {
	for _, line := range []string{
		"1 cup " + strings.Repeat("fresh, ", 1000), "vinegar" + strings.Repeat(".", 3000) + " and 5 lb garlic", strings.Repeat("salt ", 500),
		strings.Repeat("½", 1000), strings.Repeat("a", 100_000), "jar lids " + strings.Repeat("and jar lids ", 500),
	} {
		t.Run(line[:12], func(t *testing.T) {
			d := drafted(t, recipe(t, []string{line, "1 cup vinegar"}))
			if len(d.Lines) != 2 || d.Lines[0].Understood || d.Lines[0].ItemID != "" || !slices.Equal(d.Lines[0].Into, []string{"/recipe/ingredients/0"}) {
				t.Fatalf("%+v", d.Lines)
			}
			item := d.Request.Recipe.Ingredients[0].Item
			if _, known := checker.Tables().Resolve(item); known {
				t.Errorf("%q is a food of the catalog", item)
			}
			told := func(n draft.Note) bool {
				return n.Into == "/recipe/ingredients/0" && strings.Contains(n.What, "was not read")
			}
			if !slices.ContainsFunc(d.NotUnderstood, told) {
				t.Errorf("no note: %+v", d.NotUnderstood)
			}
		})
	}
}

// The beginning of an unknown name that is too long for the request is not taken for the food it names.
func TestCutNamesAreUnknownFoods(t *testing.T) {
	for _, line := range []string{"2 cups vinegar" + strings.Repeat(".", 120) + "garlic", "1 cup salt" + strings.Repeat("/", 120) + "onion stew"} {
		t.Run(line[:12], func(t *testing.T) {
			d := drafted(t, recipe(t, []string{line}))
			for _, g := range d.Request.Recipe.Ingredients {
				if _, known := checker.Tables().Resolve(g.Item); known {
					t.Errorf("%q is a food of the catalog", g.Item)
				}
			}
			if d.Lines[0].Understood {
				t.Errorf("understood as %+v", d.Request.Recipe.Ingredients)
			}
		})
	}
}

// What repeats itself without an end is bounded in a line, and stands in the last entry or in the rest of it.
func TestListsOfALineAreBounded(t *testing.T) {
	const most = 60 // of the lists of a line
	for _, unit := range []string{
		"(a) ", "(1 cup) ", "large ", "/ 1 cup ", "plus 1 cup ", "or water ", ", or water", "(or water) ", ", salt", "(1 lb) ", "= 2 lb ",
	} {
		t.Run(unit, func(t *testing.T) {
			d := drafted(t, recipe(t, []string{"1 cup sugar " + strings.Repeat(unit, 1800/len(unit))}))
			for i := range d.Lines {
				l := &d.Lines[i]
				if n := max(len(l.Also), len(l.Plus), len(l.Sizes), len(l.Remarks), len(l.Alternatives), len(l.Into)); n > most {
					t.Errorf("%d entries: %+v", n, l)
				}
			}
		})
	}
}

// A long text without full stops is read in parts, and what it forbids anywhere it forbids everywhere.
func TestLongSentencesAreRead(t *testing.T) {
	filler := strings.Repeat("stir the pot gently and ", 150)
	tests := []struct {
		name, step string
		minutes    float64
	}{
		{"time at the end", filler + "process jars 10 minutes in a boiling water bath", 10},
		{"time at the beginning", "process jars 10 minutes in a boiling water bath and " + filler, 10},
		{"forbidden far away", "do not " + filler + "process jars 10 minutes in a boiling water bath", 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			process := drafted(t, recipe(t, []string{"1 cup vinegar"}, test.step)).Request.Recipe.Process
			got := 0.0
			if process != nil && process.Time != nil {
				got = *process.Time.Value
			}
			if got != test.minutes {
				t.Errorf("%v minutes, want %v", got, test.minutes)
			}
		})
	}
}

// Where more is said than a draft lists, the shortest of the times is not known, and none is taken.
func TestNoTimeOfTooMany(t *testing.T) {
	for _, test := range []struct {
		times int
		taken bool
	}{{900, true}, {1100, false}} {
		d := drafted(t, recipe(t, []string{"1 cup vinegar"}, strings.Repeat("process jars 10 min, ", test.times)+"process jars 5 min"))
		if process := d.Request.Recipe.Process; (process != nil && process.Time != nil) != test.taken {
			t.Errorf("%d times: %+v", test.times, process)
		}
	}
}

// Text beyond the most sentences is told and not read.
func TestSentencesAreBounded(t *testing.T) {
	tests := map[string][]string{"one step": {strings.Repeat("Stir. ", 2100)}, "many steps": slices.Repeat([]string{"Stir."}, 2100)}
	for name, steps := range tests {
		t.Run(name, func(t *testing.T) {
			d := drafted(t, recipe(t, []string{"1 cup vinegar"}, steps...))
			if !slices.ContainsFunc(d.NotUnderstood, func(n draft.Note) bool { return strings.Contains(n.What, "more text than a recipe has") }) {
				t.Errorf("%+v", d.NotUnderstood)
			}
		})
	}
}
