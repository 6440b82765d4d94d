package draft_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
)

// The card that the service itself writes for a tested recipe gives back an equivalent request and the same disposition.
func TestOwnCardsComeBack(t *testing.T) {
	for i := range checker.Tables().Recipes {
		recipe := &checker.Tables().Recipes[i]
		if len(recipe.Packs) > 0 {
			t.Run(recipe.ID, func(t *testing.T) { ownCardComesBack(t, recipe) })
		}
	}
}

func ownCardComesBack(t *testing.T, recipe *catalog.TestedRecipe) {
	request := followed(t, recipe, 0, recipe.Packs[0].Jars[0])
	asked, err := json.Marshal(document.CardRequest{Recipe: request.Recipe, Kitchen: request.Kitchen})
	if err != nil {
		t.Fatal(err)
	}
	own, problem := checker.Card(nil, asked)
	if problem != nil {
		t.Fatalf("%+v", problem)
	}
	body, err := json.Marshal(own.Linked())
	if err != nil {
		t.Fatal(err)
	}
	got := drafted(t, string(body)).Request
	got.Kitchen = request.Kitchen
	addWhatCardsLeaveOut(&got.Recipe, &request.Recipe, own.Fit)
	// Sugar, which no safety hangs on, is rounded to what a kitchen measures.
	rounded := func(text string) bool { return strings.HasPrefix(text, "sugar: amount 1.25 cup, want 1.333 cup") }
	comesBack(t, &request, &got, slices.DeleteFunc(differences(&request, &got), rounded))
}

// addWhatCardsLeaveOut gives a recipe read from a card what cards leave out on purpose: one that is not fit has no steps;
// jars for the refrigerator need no sterilizing.
func addWhatCardsLeaveOut(got, whole *document.Recipe, fit bool) {
	switch {
	case !fit:
		ingredients := got.Ingredients
		for i := range ingredients {
			if ingredients[i].Rinses == nil {
				ingredients[i].Rinses = whole.Ingredients[i].Rinses
			}
		}
		*got = *whole
		got.Ingredients = ingredients
	case whole.Keep == document.KeepRefrigerator:
		got.JarPreparation = whole.JarPreparation
	}
}
