package draft_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/follow"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// The card that the service itself writes for a tested recipe gives back an equivalent request and the same disposition.
func TestOwnCardsComeBack(t *testing.T) {
	all, sameRequest, sameDisposition := 0, 0, 0
	for i := range checker.Tables().Recipes {
		recipe := &checker.Tables().Recipes[i]
		if len(recipe.Packs) == 0 {
			continue
		}
		jar := recipe.Packs[0].Jars[0]
		minutes, _ := follow.MinutesAt(checker.Tables(), recipe, 0, jar, kitchenFeet*measure.Foot)
		request, err := follow.Request(checker.Tables(), recipe, follow.Choice{Jar: jar, ElevationFeet: kitchenFeet, Minutes: minutes})
		if err != nil {
			t.Fatal(err)
		}
		asked, err := json.Marshal(document.CardRequest{Recipe: request.Recipe, Kitchen: request.Kitchen})
		if err != nil {
			t.Fatal(err)
		}
		own, problem := checker.Card(asked)
		if problem != nil {
			t.Fatalf("%s: %+v", recipe.ID, problem)
		}
		body, err := json.Marshal(own.Linked())
		if err != nil {
			t.Fatal(err)
		}
		all++
		drafted, problem := checker.Draft(body, false, false)
		if problem != nil {
			t.Errorf("%s: %+v", recipe.ID, problem)
			continue
		}
		got := drafted.Request
		got.Kitchen = request.Kitchen
		// What the card leaves out on purpose or rounds: a recipe that is not fit has no steps; jars for the refrigerator need
		// no sterilizing; sugar, which no safety hangs on, is rounded to what a kitchen measures.
		switch {
		case !own.Fit:
			for i := range got.Recipe.Ingredients {
				if a, b := request.Recipe.Ingredients[i].Rinses, &got.Recipe.Ingredients[i].Rinses; *b == nil {
					*b = a
				}
			}
			kept := got.Recipe
			got.Recipe = request.Recipe
			got.Recipe.Ingredients = kept.Ingredients
		case request.Recipe.Keep == document.KeepRefrigerator:
			got.Recipe.JarPreparation = request.Recipe.JarPreparation
		}
		found := slices.DeleteFunc(differences(&request, &got), func(text string) bool { return strings.HasPrefix(text, "sugar: amount 1.25 cup, want 1.333 cup") })
		want, have := checker.Run(&request, report.Options{}), checker.Run(&got, report.Options{})
		if len(found) == 0 {
			sameRequest++
		}
		if want.Disposition == have.Disposition {
			sameDisposition++
		}
		if len(found) > 0 || want.Disposition != have.Disposition {
			t.Errorf("%s: %s, want %s\n  %s", recipe.ID, have.Disposition, want.Disposition, strings.Join(found, "\n  "))
			for _, finding := range have.Findings {
				if finding.Severity != report.Info && !slices.ContainsFunc(want.Findings, func(f report.Finding) bool { return f.Rule == finding.Rule && f.At == finding.At }) {
					t.Logf("    %s %s: %s", finding.Rule, finding.At, finding.Message)
				}
			}
		}
	}
	t.Logf("%d cards: %d equivalent requests, %d same dispositions", all, sameRequest, sameDisposition)
}
