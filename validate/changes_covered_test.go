package validate

import (
	"encoding/json"
	"slices"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/report"
)

// elsewhere names the rows of changes.csv that no change of a tested recipe can show, and where they are shown or why not.
var elsewhere = map[string]string{
	"c021": "TestUntestedRecipesStayOffTheShelf",
	"c022": "TestUntestedRecipesStayOffTheShelf",
	"c057": "TestUntestedRecipesStayOffTheShelf",
	"c076": "TestUntestedRecipesStayOffTheShelf",
	"c109": "TestUntestedRecipesStayOffTheShelf",
	"c095": "TestLogs: testdata/batch/boil-lost-and-minutes-added.json; a recipe has no boil to lose",
	"c102": "TestTestedRecipesDoneRight: the pressure-only mixtures never get the shelf",
	"c106": "TestRuleCases: ingredient.egg and keeping.refrigerated-only; TestTestedRecipesDoneRight",
	"c072": "the separate recipe it points to is a tested recipe of its own",
	"c080": "done when the jar is opened, which no recipe document says",
	"c104": "TestRefrigeratedInsteadOfCanned",
	"c105": "TestRefrigeratedInsteadOfCanned",
	"c112": "told on every card; no document says how jars cool",
}

// TestEveryPublishedChangeIsTried holds the lists of changes to the table: every row is done to a recipe, or named above.
func TestEveryPublishedChangeIsTried(t *testing.T) {
	tried := map[bool][]string{}
	for _, c := range safeChanges() {
		tried[true] = append(tried[true], c.rows...)
	}
	for _, c := range append(unsafeChanges(), contradictions()...) {
		tried[false] = append(tried[false], c.rows...)
	}
	for _, row := range checker.tables.Changes {
		if reason, ok := elsewhere[row.ID]; slices.Contains(tried[row.Safe], row.ID) == ok {
			t.Errorf("%s, safe %v (%s): tried %v, and elsewhere: %q", row.ID, row.Safe, row.Change, !ok, reason)
		}
	}
}

// TestUntestedRecipesStayOffTheShelf asks for the shelf with recipes that no tested one stands behind, each as a row of
// changes.csv describes it. The recipes are ours.
func TestUntestedRecipesStayOffTheShelf(t *testing.T) {
	salt := `{"item": "salt", "salt_kind": "canning", "amount": {"value": 3, "unit": "tbsp"}, "per": "batch"}`
	vinegar := func(cups string) string {
		return `{"item": "white vinegar", "acidity_percent": 5, "bottled": true, "amount": {"value": ` + cups + `, "unit": "cup"}, "per": "batch"}`
	}
	food := func(item, form, value, unit string) string {
		return `{"item": "` + item + `", "form": "` + form + `", "amount": {"value": ` + value + `, "unit": "` + unit + `"}, "per": "batch"}`
	}
	water := food("water", "", "4", "cup")
	for _, c := range []struct {
		row, kind   string
		ingredients []string
	}{
		{"c021", document.KindBrined, []string{food("celeriac", "peeled, sliced", "4", "lb"), vinegar("5"), water, salt}},
		{"c022", document.KindBrined, []string{food("parsnip", "peeled, in sticks", "4", "lb"), vinegar("3"), water, salt}},
		{"c057", document.KindSauce, []string{
			food("tomato", "peeled, chopped", "4", "lb"), food("black beans", "cooked", "3", "cup"),
			food("corn", "whole kernel", "3", "cup"), vinegar("1"), salt,
		}},
		{"c076", document.KindFruit, []string{food("strawberry", "crushed", "4", "cup"), food("sugar", "", "2", "cup")}},
		{"c109", document.KindFruit, []string{
			food("strawberry", "crushed", "8", "cup"), food("sugar", "", "14", "cup"),
			food("lemon juice", "bottled", "4", "tbsp"),
		}},
	} {
		ingredients := c.ingredients[0]
		for _, line := range c.ingredients[1:] {
			ingredients += "," + line
		}
		body := `{"recipe": {"name": "Ours", "kind": "` + c.kind + `", "keep": "shelf", "jar": "half-pint", "jars": 8, "pack": "hot",
			"headspace": {"value": 0.5, "unit": "in"}, "jar_preparation": "sterilized", "ingredients": [` + ingredients + `],
			"process": {"method": "boiling_water", "time": {"value": 30, "unit": "min"}, "water_over_lids": {"value": 1, "unit": "in"}}},
			"kitchen": {"elevation": {"value": 300, "unit": "ft"}}}`
		if !json.Valid([]byte(body)) {
			t.Fatalf("%s: not JSON: %s", c.row, body)
		}
		if r := checkBytes(t, []byte(body)); r.Disposition != report.Hold || !speaks(r, "process.published-match|ingredient.low-acid-extra") {
			t.Errorf("%s: %s, %v", c.row, r.Disposition, spoken(r))
		}
	}
}

// TestRefrigeratedInsteadOfCanned keeps what may be kept in the refrigerator there, without a process.
func TestRefrigeratedInsteadOfCanned(t *testing.T) {
	done := map[string]int{}
	for _, p := range everyPrinted() {
		var row string
		switch {
		case p.recipe.ID == "pickled-pepper-onion-relish":
			row = "c104"
		case p.recipe.Kind == document.KindFermented:
			row = "c105"
		default:
			continue
		}
		request, _ := p.request(t, 500, false)
		request.Recipe.Keep, request.Recipe.Process = document.KeepRefrigerator, &document.Process{Method: document.MethodNone}
		done[row]++
		if r := check(t, request); r.Disposition != report.Refrigerate {
			t.Errorf("%s: %s: %s, %v", row, p, r.Disposition, spoken(r))
		}
	}
	if done["c104"] == 0 || done["c105"] == 0 {
		t.Errorf("done: %v", done)
	}
}
