package match

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/follow"
	"jarwright/validate/measure"
)

// kitchen is what the tests compare with: the published tables, read once.
var kitchen = func() (k struct {
	tables  *catalog.Tables
	units   *measure.Units
	scale   *composition.Scale
	matcher *Matcher
},
) {
	var err error
	if k.tables, err = catalog.Load(); err != nil {
		panic(err)
	}
	if k.units, err = measure.LoadUnits(); err != nil {
		panic(err)
	}
	if k.scale, err = composition.NewScale(k.tables, k.units); err != nil {
		panic(err)
	}
	if k.matcher, err = NewMatcher(k.tables, k.scale); err != nil {
		panic(err)
	}
	return k
}()

// followed is the request of a cook who follows a tested recipe in its first pack and jar, and names it.
func followed(t *testing.T, id string) document.Request {
	t.Helper()
	recipe, found := kitchen.tables.Recipe(id)
	if !found {
		t.Fatalf("no tested recipe %s", id)
	}
	return packed(t, recipe, 0, recipe.Packs[0].Jars[0])
}

func packed(t *testing.T, recipe *catalog.TestedRecipe, pack int, jar string) document.Request {
	t.Helper()
	request, err := follow.Request(kitchen.tables, recipe, follow.Choice{Pack: pack, Jar: jar})
	if err != nil {
		t.Fatal(err)
	}
	request.Recipe.Follows = recipe.ID
	return request
}

func comparedWith(request *document.Request) Match {
	cook := composition.Read(request, kitchen.tables, kitchen.scale)
	return kitchen.matcher.Match(request, &cook)
}

// lineOf is the first line of a request whose item has the id.
func lineOf(t *testing.T, request *document.Request, item string) (*document.Ingredient, string) {
	t.Helper()
	for i := range request.Recipe.Ingredients {
		written := &request.Recipe.Ingredients[i]
		if found, ok := kitchen.tables.Resolve(written.Item); ok && found.Item.ID == item && written.Drained == nil {
			return written, fmt.Sprintf("/recipe/ingredients/%d", i)
		}
	}
	t.Fatalf("no line of %s", item)
	return nil, ""
}

func times(factor float64) func(*document.Ingredient) {
	return func(i *document.Ingredient) { *i.Amount.Value *= factor }
}

func adverse(m *Match) []Departure {
	var found []Departure
	for _, d := range m.Departures {
		if d.Verdict != Safe {
			found = append(found, d)
		}
	}
	return found
}

func list(departures []Departure) string {
	var text strings.Builder
	for _, d := range departures {
		fmt.Fprintf(&text, "%s %s at %s: %s\n", d.Rule, d.Verdict, d.At, d.What)
	}
	return text.String()
}

// TestLimits tries every comparison just inside and just outside of its limit. The tested amounts are those of
// tested_recipes.json, the tolerances 2 % of a ratio, 10 % of a piece.
func TestLimits(t *testing.T) {
	const ratio, pieces = 0.02, 0.1
	thickness := func(in float64) func(*document.Ingredient) {
		return func(i *document.Ingredient) {
			i.Piece = &document.Piece{Thickness: &document.Quantity{Value: &in, Unit: "in"}}
		}
	}
	length := func(in float64) func(*document.Ingredient) {
		return func(i *document.Ingredient) {
			i.Piece = &document.Piece{Length: &document.Quantity{Value: &in, Unit: "in"}}
		}
	}
	for _, c := range []struct {
		name, recipe, item string
		inside, outside    func(*document.Ingredient)
		rule               string
		verdict            Verdict
		at                 string // below the line; "/" for /recipe/ingredients
		changes            []string
	}{
		{
			"acid, too little", "pickled-dilled-beans", "white-vinegar", times(0.9608), // 1:1 of 5 % is 2.45 % at 0.9608 to 1
			times(0.9607), RulePublishedRatio, Unsafe, "/amount",
			[]string{"c001", "c013", "c020"},
		},
		{
			"acid, 5 % too little", "pickled-dilled-beans", "white-vinegar", times(0.985), times(0.9),
			RulePublishedRatio, Unsafe, "/amount",
			[]string{"c001", "c013", "c020"},
		},
		{
			"water, too much", "pickled-dilled-beans", "water", times(1.0408),
			times(1.0409), RulePublishedRatio, Unsafe, "/amount",
			[]string{"c001", "c020"},
		},
		{"water, 5 % too much", "pickled-dilled-beans", "water", times(1.015), times(1.1), RulePublishedRatio, Unsafe, "/amount", []string{"c001", "c020"}},
		{"food, too much", "pickled-dilled-beans", "green-bean", times(1 + 0.999*0.5/7.5), times(1 + 1.001*0.5/7.5), RuleFoodPerJar, Untested, "", nil},
		{"food, far too much", "pickled-dilled-beans", "green-bean", nil, times(1.201 * (1 + 0.5/7.5)), RuleFoodPerJar, Unsafe, "", nil},
		{"food, not far too much", "pickled-dilled-beans", "green-bean", nil, times(1.199 * (1 + 0.5/7.5)), RuleFoodPerJar, Untested, "", nil},
		{
			"low-acid food of a salsa, too much", "tomato-salsa-slicing-tomatoes", "onion", times(1 + ratio*0.99),
			times(1 + ratio*1.01), RulePublishedRatio, Unsafe, "/amount",
			[]string{"c001", "c026", "c025"},
		},
		{
			"garlic of a salsa, too much", "tomato-salsa-slicing-tomatoes", "garlic", times(1 + ratio*0.99),
			times(1 + ratio*1.01), RulePublishedRatio, Unsafe, "/amount",
			[]string{"c001", "c026"},
		},
		{
			"acid food, too little", "tomato-salsa-slicing-tomatoes", "tomato", times(1 / (1 + ratio*0.99)),
			times(1 / (1 + ratio*1.01)), RulePublishedRatio, Unsafe, "/amount",
			[]string{"c028", "c001"},
		},
		{
			"acid in the jar, too little", "crushed-tomatoes-acidified", "lemon-juice", times(1 / (1 + ratio*0.99)),
			times(1 / (1 + ratio*1.01)), RulePublishedRatio, Unsafe, "/amount",
			[]string{"c013"},
		},
		{
			"oil, too much", "marinated-peppers-hot-style", "oil", times(1 + ratio*0.99), times(1 + ratio*1.01),
			RulePublishedRatio, Unsafe, "/amount",
			[]string{"c081"},
		},
		{
			"thickener, too much", "pickled-green-tomato-relish", "cornstarch", times(1 + ratio*0.99),
			times(1 + ratio*1.01), RuleThickener, Unsafe, "/amount",
			[]string{"c077", "c078", "c079"},
		},
		{"salt of a ferment, too little", "sauerkraut", "salt", times(1 - ratio*0.99), times(1 - ratio*1.01), RuleSaltInFerment, Unsafe, "/amount", []string{"c064"}},
		{
			"fresh herb, too much", "reduced-sodium-sliced-dill-pickles", "dill-head", times(1 + ratio*0.99),
			times(2 * (1 + ratio*1.01)), RuleFreshHerb, Untested, "/amount",
			[]string{"c059"},
		},
		{
			"fresh herb of a salsa, too much", "tomato-salsa-slicing-tomatoes", "cilantro", times(1 + ratio*0.99),
			times(1 + ratio*1.01), RuleFreshHerb, Untested, "/amount",
			[]string{"c059"},
		},
		{
			"slices, too thick", "pickled-carrots", "carrot", thickness(0.5 * (1 + pieces*0.99)),
			thickness(0.5 * (1 + pieces*1.01)), RulePieceSize, Unsafe, "",
			[]string{"c088"},
		},
		{
			"pieces, too long", "pickled-dilled-beans", "green-bean", length(4 * (1 + pieces*0.99)),
			length(4 * (1 + pieces*1.01)), RulePieceSize, Unsafe, "",
			[]string{"c088"},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			request := followed(t, c.recipe)
			written, _ := lineOf(t, &request, c.item)
			if c.inside != nil {
				c.inside(written)
				if m := comparedWith(&request); !m.Matched() {
					t.Errorf("just inside:\n%s", list(adverse(&m)))
				}
			}
			request = followed(t, c.recipe)
			written, at := lineOf(t, &request, c.item)
			c.outside(written)
			m := comparedWith(&request)
			if m.Matched() {
				t.Fatal("just outside is no departure")
			}
			d := adverse(&m)[0]
			if d.Rule != c.rule || d.Verdict != c.verdict || c.changes != nil && (d.At != at+c.at || !slices.Equal(d.Changes, c.changes)) {
				t.Errorf("just outside: %s %v, want %s %s at %s %v", list([]Departure{d}), d.Changes, c.rule, c.verdict, at+c.at, c.changes)
			}
		})
	}
}

// TestTestedRecipes follows every tested recipe in every pack and jar, whole, half and three times the batch: nothing but what
// the recipe itself is stands between it and the tested one.
func TestTestedRecipes(t *testing.T) {
	for i := range kitchen.tables.Recipes {
		recipe := &kitchen.tables.Recipes[i]
		for pack := range recipe.Packs {
			for _, jar := range recipe.Packs[pack].Jars {
				for _, size := range []float64{1, 0.5, 3} {
					request := packed(t, recipe, pack, jar)
					*request.Recipe.Jars *= size
					for j := range request.Recipe.Ingredients {
						if written := &request.Recipe.Ingredients[j]; written.Per == document.PerBatch && written.Amount.Value != nil {
							times(size)(written)
						}
					}
					m := comparedWith(&request)
					if recipe.Canner != "boiling_water" || !recipe.Complete || len(m.Pack.Possible) == 0 {
						continue // has a departure by its nature, see TestIdentity
					}
					if m.Recipe != recipe || !m.Matched() {
						t.Errorf("%s/%s/%s, %g times: %s", recipe.ID, recipe.Packs[pack].Pack, jar, size, list(adverse(&m)))
					}
				}
			}
		}
	}
}

// TestFoundWithoutName leaves the name of the tested recipe out: it is found by what it is made of.
func TestFoundWithoutName(t *testing.T) {
	for i := range kitchen.tables.Recipes {
		recipe := &kitchen.tables.Recipes[i]
		if len(recipe.Packs) == 0 || recipe.Canner != "boiling_water" || !recipe.Complete {
			continue
		}
		request := packed(t, recipe, 0, recipe.Packs[0].Jars[0])
		request.Recipe.Follows = ""
		m := comparedWith(&request)
		if m.Recipe == nil || m.Recipe != recipe && !m.Matched() {
			t.Errorf("%s: found %+v, likeness %v\n%s", recipe.ID, m.Recipe, m.Likeness, list(adverse(&m)))
			continue
		}
		if m.Likeness < 0.9 || m.Likeness > 1+1e-9 {
			t.Errorf("%s: likeness %v of the recipe itself", recipe.ID, m.Likeness)
		}
	}
}

// TestFixesMend applies each fix that changes amounts: the departure that offered it is gone, and takes the measured limit.
func TestFixesMend(t *testing.T) {
	fixed := 0
	for i := range kitchen.tables.Recipes {
		recipe := &kitchen.tables.Recipes[i]
		if len(recipe.Packs) == 0 || recipe.Canner != "boiling_water" || !recipe.Complete {
			continue
		}
		for j := range packed(t, recipe, 0, recipe.Packs[0].Jars[0]).Recipe.Ingredients {
			for _, factor := range []float64{0.6, 0.9, 1.3, 2.7} {
				request := packed(t, recipe, 0, recipe.Packs[0].Jars[0])
				if request.Recipe.Ingredients[j].Amount.Value == nil {
					continue
				}
				times(factor)(&request.Recipe.Ingredients[j])
				m := comparedWith(&request)
				for _, d := range adverse(&m) {
					if !strings.HasSuffix(d.At, "/amount") || len(d.Fix) == 0 || strings.HasSuffix(d.Fix[0].Path, "/jars") {
						continue
					}
					again := packed(t, recipe, 0, recipe.Packs[0].Jars[0])
					times(factor)(&again.Recipe.Ingredients[j])
					before := 0.0
					for _, operation := range d.Fix {
						var at int
						if _, err := fmt.Sscanf(operation.Path, "/recipe/ingredients/%d/amount/value", &at); err != nil {
							t.Fatalf("%s: %v", operation.Path, err)
						}
						before = *again.Recipe.Ingredients[at].Amount.Value
						*again.Recipe.Ingredients[at].Amount.Value = operation.Value.(float64)
					}
					after := comparedWith(&again)
					for _, left := range adverse(&after) {
						if left.Rule == d.Rule && left.At == d.At {
							t.Errorf("%s, line %d × %v: the fix %+v leaves %s", recipe.ID, j, factor, d.Fix, list([]Departure{left}))
						}
					}
					if d.Limit != nil && (d.Limit.Value != d.Fix[0].Value || d.Measured == nil || d.Measured.Value != before) {
						t.Errorf("%s, line %d: measured %+v, limit %+v, fix %+v", recipe.ID, j, d.Measured, d.Limit, d.Fix)
					}
					fixed++
				}
			}
		}
	}
	if fixed < 500 {
		t.Errorf("only %d fixes were tried", fixed)
	}
}

// TestAllowances moves each amount as far as it may be moved, and 5 % further: the first is matched and the second is not.
func TestAllowances(t *testing.T) {
	moved := map[string]int{}
	for i := range kitchen.tables.Recipes {
		recipe := &kitchen.tables.Recipes[i]
		if len(recipe.Packs) == 0 || recipe.Canner != "boiling_water" || !recipe.Complete {
			continue
		}
		for _, more := range []float64{1, 1.4} { // as printed, and with so much more acid
			request := packed(t, recipe, 0, recipe.Packs[0].Jars[0])
			for j := range request.Recipe.Ingredients {
				written := &request.Recipe.Ingredients[j]
				if found, _ := kitchen.tables.Resolve(written.Item); found.Item.Class == catalog.Acid && written.Amount.Value != nil {
					times(more)(written)
				}
			}
			m := comparedWith(&request)
			if len(m.Pack.Possible) == 0 || recipe.Kind == document.KindFermented {
				continue // no time is printed; the salt of a ferment has to move with its food
			}
			under, over := 0.95, 1.05
			if m.InPieces() {
				under, over = 0.7, 1.4 // a part of the liquid or of the food moves the whole by less
			}
			for _, allowance := range m.Allowances {
				move := func(to float64) Match {
					again := request
					again.Recipe.Ingredients = slices.Clone(request.Recipe.Ingredients)
					var at int
					if _, err := fmt.Sscanf(allowance.At, "/recipe/ingredients/%d/amount/value", &at); err != nil {
						t.Fatal(err)
					}
					again.Recipe.Ingredients[at].Amount = &document.Quantity{Value: &to, Unit: allowance.Unit}
					return comparedWith(&again)
				}
				if allowance.Variable == "acid" {
					if inside := move(allowance.Low); !inside.Matched() {
						t.Errorf("%s: acid of %v: %s", recipe.ID, allowance.Low, list(adverse(&inside)))
					}
					if outside := move(allowance.Low * under); outside.Matched() {
						t.Errorf("%s: acid of %v, under %v, is matched", recipe.ID, allowance.Low*under, allowance.Low)
					}
				} else if allowance.High != nil {
					if inside := move(*allowance.High); !inside.Matched() {
						t.Errorf("%s: %s %s of %v: %s", recipe.ID, allowance.Variable, allowance.Name, *allowance.High, list(adverse(&inside)))
					}
					if outside := move(*allowance.High * over); outside.Matched() {
						t.Errorf("%s: %s %s of %v, over %v, is matched", recipe.ID, allowance.Variable, allowance.Name, *allowance.High*over, *allowance.High)
					}
					if inside := move(allowance.Low); allowance.Low != 0 && recipe.ID != "choice-salsa" && (!m.InPieces() || !inside.Matched()) {
						t.Errorf("%s: %s of at least %v", recipe.ID, allowance.Variable, allowance.Low)
					}
				}
				if allowance.Now <= 0 || allowance.Name == "" {
					t.Errorf("%s: %+v", recipe.ID, allowance)
				}
				moved[allowance.Variable]++
			}
		}
	}
	for _, variable := range []string{"acid", "water", "low_acid_food"} {
		if moved[variable] < 30 {
			t.Errorf("%s was moved %d times", variable, moved[variable])
		}
	}
}

// roundUp and roundDown keep three figures and never cross the exact value.
func TestRounding(t *testing.T) {
	for _, c := range []struct{ value, up, down float64 }{
		{0, 0, 0},
		{-1, 0, 0},
		{1.234, 1.24, 1.23},
		{123.4, 124, 123},
		{1239, 1240, 1230},
		{0.012341, 0.0124, 0.0123},
		{6, 6, 6},
		{6.000000000001, 6, 6},
		{5.999999999999, 6, 6},
		{1, 1, 1},
		{99.99, 100, 99.9},
		{1.0000011, 1.01, 1},
		{1.0000009, 1, 1},
	} {
		if up, down := roundUp(c.value), roundDown(c.value); math.Abs(up-c.up) > 1e-12 || math.Abs(down-c.down) > 1e-12 {
			t.Errorf("%v is rounded up to %v and down to %v, want %v and %v", c.value, up, down, c.up, c.down)
		}
	}
	if got := round(1.23456, 2); got != 1.23 {
		t.Errorf("1.23456 to two places is %v", got)
	}
}
