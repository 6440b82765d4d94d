package validate

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/report"
)

// TestSeasoningCases holds the requests of testdata/seasoning to their verdicts. The first eleven are the worked cases behind the weights of
// seasoning_limits.csv; the others stand for what kept its place on the shelf before anything was weighed.
func TestSeasoningCases(t *testing.T) {
	files, err := filepath.Glob("../testdata/seasoning/*.json")
	if err != nil || len(files) == 0 {
		t.Fatalf("no cases: %v", err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			var c struct {
				Description, Base, Disposition, Rule, Outcome string
				Patch                                         json.RawMessage
			}
			data, err := os.ReadFile(file)
			if err == nil {
				err = json.Unmarshal(data, &c)
			}
			if err != nil {
				t.Fatal(err)
			}
			base, err := os.ReadFile("../" + c.Base)
			if err != nil {
				t.Fatal(err)
			}
			r := checkBytes(t, patched(t, base, c.Patch))
			if string(r.Disposition) != c.Disposition {
				t.Errorf("%s is %s, want %s: %+v", c.Description, r.Disposition, c.Disposition, aboveInfo(r))
			}
			if c.Rule != "" && outcomeOf(r, c.Rule) != report.Outcome(c.Outcome) {
				t.Errorf("%s is %s, want %s: %+v", c.Rule, outcomeOf(r, c.Rule), c.Outcome, aboveInfo(r))
			}
		})
	}
}

// inBulk are amounts that no tested recipe prints of anything beside its main food.
var inBulk = []document.Ingredient{
	{Amount: q(1, "cup"), Per: document.PerJar},
	{Amount: q(5, "L"), Per: document.PerBatch},
	{Amount: q(5, "kg"), Per: document.PerBatch},
	{Amount: q(10, "gal"), Per: document.PerBatch},
	{Amount: q(1, "lb"), Per: document.PerJar},
}

// Nothing of the catalog keeps a recipe on the shelf in bulk, whatever it is called and in whichever recipe. Acid is left out: more of it
// than printed is a published safe change.
func TestNothingIsFreeInBulk(t *testing.T) {
	tried, step := 0, 211
	if *full {
		step = 1
	}
	for _, p := range onePerRecipe() {
		request, ok := p.request(t, 500, false)
		if !ok || check(t, request).Disposition != report.Shelf {
			continue
		}
		for i := range checker.tables.Items {
			item := &checker.tables.Items[i]
			if item.Class == catalog.Acid || fillsUp(p.recipe, item) {
				continue
			}
			for _, line := range inBulk {
				if tried++; tried%step != 0 || line.Amount.Unit == "cup" && slices.Contains(lightByTheCup, item.ID) {
					continue
				}
				line.Item = item.ID
				added := request
				added.Recipe.Ingredients = append(slices.Clone(request.Recipe.Ingredients), line)
				if r := check(t, added); r.Disposition == report.Shelf {
					t.Errorf("%s with %v %s of %s %s is fit for the shelf", p, *line.Amount.Value, line.Amount.Unit, line.Item, line.Per)
				}
			}
		}
	}
	if tried < 50_000 {
		t.Errorf("only %d cases", tried)
	}
}

// lightByTheCup are leaves of which a cup weighs 14 to 30 g, for which some jars have room as food, and sugar of which a cup a jar swells
// the liquid by less than two printed recipes differ.
var lightByTheCup = []string{"grape-leaf", "bay-leaf", "powdered-sugar"}

// fillsUp reports whether a tested recipe has jars filled up with the item, or with water for which a tea stands.
func fillsUp(recipe *catalog.TestedRecipe, item *catalog.Item) bool {
	return slices.ContainsFunc(recipe.Ingredients, func(i catalog.TestedIngredient) bool {
		return i.Amount == nil && i.GoesInto == "jar" && i.Unit == "to_cover" && (i.Item == item.ID || i.Item == "water" && item.ID == "tea")
	})
}

// onePerRecipe is the first printed pack and jar of each tested recipe.
func onePerRecipe() []printed {
	var all []printed
	for _, p := range everyPrinted() {
		if len(all) == 0 || all[len(all)-1].recipe != p.recipe {
			all = append(all, p)
		}
	}
	return all
}

// Little of what people season with leaves every tested recipe on the shelf, in each printed jar: measured by the pint, so by half in a
// half-pint. A published change forbids more fresh herbs in the salsas, and more garlic in salsas, relishes and sauces.
func TestALittleSeasoningIsFree(t *testing.T) {
	spoon := func(item string, value float64, unit string) document.Ingredient {
		return document.Ingredient{Item: item, Amount: q(value, unit), Per: document.PerJar}
	}
	additions := [][]document.Ingredient{
		{spoon("red pepper flakes", 0.5, "tsp")},
		{spoon("dill seed", 0.25, "tsp"), spoon("black peppercorn", 0.25, "tsp")},
		{spoon("bay leaf", 1, "each")},
		{spoon("dried oregano", 0.5, "tsp")},
		{spoon("garlic powder", 0.25, "tsp")},
		{spoon("onion powder", 0.125, "tsp")},
	}
	tried := 0
	for _, p := range onePerRecipe() {
		jar, _ := checker.tables.Jar(p.jar)
		request, ok := p.request(t, 500, false)
		if !ok || check(t, request).Disposition != report.Shelf || p.recipe.Kind == "fermented" {
			continue
		}
		for _, lines := range additions {
			seasoned := request
			seasoned.Recipe.Ingredients = slices.Clone(request.Recipe.Ingredients)
			for _, line := range lines {
				line.Amount = q(*line.Amount.Value*jar.CapacityML/473.2, line.Amount.Unit)
				seasoned.Recipe.Ingredients = append(seasoned.Recipe.Ingredients, line)
			}
			tried++
			if r := check(t, seasoned); r.Disposition != report.Shelf {
				t.Errorf("%s with a little %s: %s %v", p, lines[0].Item, r.Disposition, aboveInfo(r)[0].Message)
			}
		}
	}
	if tried < 500 {
		t.Errorf("only %d cases", tried)
	}
}
