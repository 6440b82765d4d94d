package rules

import (
	"strings"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/report"
)

// lineOf gives the line of an item of a tested recipe another form.
func lineOf(t *testing.T, id, item string, change func(*document.Ingredient)) *facts.Facts {
	t.Helper()
	request := tested(t, id)
	for i := range request.Recipe.Ingredients {
		if g := &request.Recipe.Ingredients[i]; g.Item == item && g.Drained == nil {
			change(g)
			return factsOf(t, request)
		}
	}
	t.Fatalf("%s has no %s", id, item)
	return nil
}

func worded(form string) func(*document.Ingredient) {
	return func(g *document.Ingredient) { g.Form = form }
}

// Each kind of word is spoken of by one rule, at its line, in words that name it.
func TestWhichRuleSpeaksOfWords(t *testing.T) {
	const juice = "tomato-salsa-slicing-tomatoes"
	for name, test := range map[string]struct {
		id, item string
		change   func(*document.Ingredient)
		rule     string // empty: none
		outcome  report.Outcome
		says     []string
	}{
		"harmless": {"pickled-beets", "beet", worded("cooked, skinned, fresh, slices"), "", "", nil},
		"unknown": {
			"pickled-beets", "beet", worded("twangy, cooked, skinned, slices"),
			"ingredient.words", report.Undetermined,
			[]string{"“twangy” is not a word known here", "move it to note"},
		},
		"near": {
			"pickled-beets", "beet", worded("scrubed, cooked, skinned, slices"),
			"ingredient.words", report.Undetermined,
			[]string{"Did you mean “scrubbed”?"},
		},
		"two of a line": {
			"pickled-beets", "beet", worded("twangy, with celery, slices"),
			"ingredient.words", report.Undetermined,
			[]string{"“twangy”", "“celery” is another food.", "its own line"},
		},
		"many of a line": {
			"pickled-beets", "beet", worded("slices, zza, zzb, zzc, zzd, zze, zzf, zzg, zzh, zzi, zzj, zzk, zzl, zzm"), "ingredient.words", report.Undetermined,
			[]string{"“zza”", "“zzl” is not a word known here, so this line is not judged. And 1 more."},
		},
		"a note": {
			"pickled-beets", "beet", func(g *document.Ingredient) { g.Note = "or 2 lb of turnip, or so" },
			"ingredient.words", report.Undetermined,
			[]string{"The note has “or”, “2 lb”"},
		},
		"a free note": {"pickled-beets", "beet", func(g *document.Ingredient) { g.Note = "my aunt loved them" }, "", "", nil},
		"jumbo, counted": {
			"pickled-beets", "onion", worded("jumbo, thinly sliced"),
			"ingredient.words", report.Undetermined,
			[]string{"“jumbo” leaves open"},
		},
		"jumbo, weighed": {"pickled-beets", "beet", worded("jumbo, cooked, skinned, slices"), "", "", nil},
		"thick": {
			"pickled-beets", "onion", worded("2 in diameter, thickly sliced"),
			"ingredient.words", report.Undetermined,
			[]string{"“thickly sliced” leaves open"},
		},
		"left uncut": {
			"pickled-beets", "beet", worded("cooked, skinned, slices, left uncut"),
			"ingredient.words", report.Undetermined,
			[]string{"leaves open how large"},
		},
		"stuffed": {
			"pickled-beets", "beet", worded("cooked, skinned, stuffed, slices"),
			"ingredient.contradiction", report.Fail,
			[]string{"“stuffed” says that more low-acid food", "stuffed with"},
		},
		"fried": {
			"pickled-beets", "beet", worded("cooked, fried, slices"),
			"ingredient.contradiction", report.Fail,
			[]string{"“fried” says that fat is in"},
		},
		"thinned": {
			"pickled-beets", "vinegar", worded("topped up"),
			"acid.vinegar-strength", report.Fail,
			[]string{"“topped up” says that the vinegar has less acid"},
		},
		"weak in words": {
			"pickled-beets", "vinegar", worded("4% acidity"),
			"acid.vinegar-strength", report.Fail,
			[]string{"The words of the vinegar say 4 % acid"},
		},
		"strong": {"pickled-beets", "vinegar", worded("5% acidity"), "", "", nil},
		"fresh juice": {
			"choice-salsa", "lemon juice", worded("from about 12 lemons"),
			"acid.juice-bottled", report.Fail,
			[]string{"“from” says that the lemon juice has less acid"},
		},
		"overripe": {
			juice, "tomato", worded("slicing type, peeled, cored, chopped, past their best"),
			"ingredient.unsuitable", report.Fail,
			[]string{"“past their best”"},
		},
		"juice poured": {
			juice, "tomato", worded("slicing type, peeled, cored, chopped, juice poured off"),
			"ingredient.unsuitable", report.Fail,
			[]string{"the juice carries the acid"},
		},
		"a name": {
			"choice-salsa", "lemon juice", func(g *document.Ingredient) { g.Item, g.Form, g.Bottled = "freshly squeezed lemon juice", "", nil },
			"acid.juice-bottled", report.Fail,
			[]string{"fresh"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			f := lineOf(t, test.id, test.item, test.change)
			spoke := ""
			all := All()
			for i := range all {
				outcome, findings := judged(&all[i], f)
				if all[i].Severity != report.Error || outcome == report.Pass || outcome == report.NotApplicable {
					continue
				}
				spoke += all[i].ID + " "
				if all[i].ID != test.rule || outcome != test.outcome || len(findings) != 1 {
					if all[i].ID != "ingredient.words" || test.rule == "" { // a number or a food in the words of fresh juice asks besides
						t.Errorf("%s: %s: %+v", all[i].ID, outcome, findings)
					}
					continue
				}
				for _, want := range test.says {
					if text := findings[0].Message + " " + findings[0].Remedy; !strings.Contains(text, want) {
						t.Errorf("%q does not say %q", text, want)
					}
				}
			}
			if !strings.Contains(spoke, test.rule) {
				t.Errorf("%q spoke, want %s", spoke, test.rule)
			}
		})
	}
}

// For the refrigerator the same words fail, by the rule of words itself.
func TestWordsOfTheRefrigerator(t *testing.T) {
	f := lineOf(t, "pickled-beets", "vinegar", worded("diluted"))
	f.Request.Recipe.Keep = document.KeepRefrigerator
	rule := Contradiction()
	if findings := rule.Run(f); len(findings) != 1 || findings[0].Outcome != report.Fail || !strings.HasSuffix(findings[0].At, "/form") {
		t.Errorf("%+v", findings)
	}
	f.Words = nil
	if findings := rule.Run(f); len(findings) != 0 {
		t.Errorf("nothing is said and %+v found", findings)
	}
}
