package draft_test

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/validate"
	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/follow"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// checker is built once for all tests.
var checker = func() *validate.Checker {
	c, err := validate.New()
	if err != nil {
		panic(err)
	}
	return c
}()

// kitchenFeet lies in the lowest band of every table.
const kitchenFeet = 500

// fraction writes a number as a card does: 1 1/2, 2/3, 0.15.
func fraction(value float64) string {
	whole := math.Floor(value + 1e-9)
	part := value - whole
	for _, bottom := range []float64{2, 3, 4, 8, 16} {
		if top := math.Round(part * bottom); top > 0 && top < bottom && math.Abs(part-top/bottom) < 1e-3 {
			text := fmt.Sprintf("%v/%v", top, bottom)
			if whole > 0 {
				return fmt.Sprintf("%v %s", whole, text)
			}
			return text
		}
	}
	return measure.FormatNumber(value)
}

// spoken is how a card of our own writes a unit.
var spoken = map[string]string{
	"cup": "cups", "tbsp": "tablespoons", "tsp": "teaspoons", "lb": "pounds", "oz": "ounces", "qt": "quarts", "pt": "pints", "gal": "gallons", "fl_oz": "fl oz",
	"each": "", "clove": "cloves", "stick": "sticks", "head": "heads", "slice": "slices", "cube": "cubes", "mg": "mg",
}

// cardLine writes an ingredient of a request as an ingredient line.
func cardLine(g *document.Ingredient) string {
	var b strings.Builder
	open := ""
	if g.Amount != nil && g.Amount.Value != nil {
		b.WriteString(fraction(*g.Amount.Value) + " ")
		if unit := spoken[g.Amount.Unit]; unit != "" {
			b.WriteString(unit + " ")
		}
	} else if g.Amount != nil {
		open = map[string]string{"to_cover": " to cover", "as_needed": " as needed"}[g.Amount.Unit]
	}
	name := g.Item
	switch {
	case g.Item == "salt" && g.SaltKind == document.SaltCanning:
		name = "canning salt"
	case strings.HasSuffix(g.Item, "juice") && g.Bottled != nil && *g.Bottled:
		name = "bottled " + g.Item
	case g.Item == "clove (spice)":
		name = "cloves"
		if g.Form == "whole" || g.Form == "ground" {
			name = g.Form + " cloves"
		}
	case g.Item == "cinnamon stick" && g.Amount != nil && g.Amount.Unit == "stick":
		name = "cinnamon"
	}
	b.WriteString(name + open)
	if g.AcidityPercent != nil {
		fmt.Fprintf(&b, " (%s%% acidity)", measure.FormatNumber(*g.AcidityPercent))
	}
	if g.Piece != nil && g.Piece.Length != nil {
		b.WriteString(", " + fraction(*g.Piece.Length.Value) + " in long")
	}
	if g.Piece != nil && g.Piece.Thickness != nil {
		noun := "in diameter"
		for _, word := range []string{"slices", "rings", "pieces", "cubes", "squares", "rounds", "florets", "dice", "slice"} {
			if strings.Contains(g.Form, word) {
				noun = "in " + word
				break
			}
		}
		b.WriteString(", " + fraction(*g.Piece.Thickness.Value) + " " + noun)
	}
	if g.Form != "" {
		b.WriteString(", " + g.Form)
	}
	if g.Per == document.PerJar {
		b.WriteString(", per jar")
	}
	if g.Drained != nil && *g.Drained {
		if found, ok := checker.Tables().Resolve(g.Item); ok && (found.Item.Class == catalog.Seasoning || found.Item.Class == catalog.FreshHerb) {
			b.WriteString(", in a spice bag that is taken out")
		} else {
			b.WriteString(", poured away")
		}
	}
	return b.String()
}

// card writes a request as a schema.org Recipe in our own words.
func card(request *document.Request) map[string]any {
	r := &request.Recipe
	var lines []string
	for i := range r.Ingredients {
		lines = append(lines, cardLine(&r.Ingredients[i]))
	}
	jars := map[string]string{"half-pint": "half-pint jars", "pint": "pint jars", "quart": "quart jars", "12-ounce": "12-ounce jars"}[r.Jar.ID]
	var steps []string
	switch r.JarPreparation {
	case document.JarsSterilized:
		steps = append(steps, "Sterilize the jars and keep them in hot water.")
	default:
		steps = append(steps, "Wash the jars and keep the jars hot.")
	}
	if r.Process != nil && r.Process.Method == document.MethodBoilingWater {
		for i := range r.Ingredients {
			if r.Ingredients[i].Rinses != nil {
				steps = append(steps, "Rinse the lime off three times, with an hour in fresh water each time.")
				break
			}
		}
	}
	fill := map[string]string{document.PackRaw: "Raw pack: put the food into the jars and pour the boiling liquid over it.", document.PackHot: "Hot pack: fill everything hot."}[r.Pack]
	steps = append(steps, fill, "Leave "+fraction(*r.Headspace.Value)+" inch headspace.")
	if r.Process != nil {
		steps = append(steps,
			fmt.Sprintf("Process %s in a boiling-water canner for %s minutes at 0 to 1,000 ft, with water %s inch over the lids.", jars, fraction(*r.Process.Time.Value), fraction(*r.Process.WaterOverLids.Value)),
		)
	}
	if r.Keep == document.KeepRefrigerator {
		steps = append(steps, "Keep in the refrigerator.")
	} else {
		steps = append(steps, "Store in a cool, dark place.")
	}
	var instructions []any
	for i, step := range steps {
		instructions = append(instructions, map[string]any{"@type": "HowToStep", "position": i + 1, "text": step})
	}
	return map[string]any{
		"@context": "https://schema.org", "@type": "Recipe", "name": r.Name, "recipeCategory": r.Kind,
		"recipeYield": fmt.Sprintf("%v %s", *r.Jars, jars), "recipeIngredient": lines, "recipeInstructions": instructions,
	}
}

// differences compares two requests in what a report depends on.
func differences(want, got *document.Request) []string {
	var found []string
	add := func(format string, args ...any) { found = append(found, fmt.Sprintf(format, args...)) }
	if len(want.Recipe.Ingredients) != len(got.Recipe.Ingredients) {
		add("%d ingredients, want %d", len(got.Recipe.Ingredients), len(want.Recipe.Ingredients))
		return found
	}
	for i := range want.Recipe.Ingredients {
		a, b := &want.Recipe.Ingredients[i], &got.Recipe.Ingredients[i]
		itemA, _ := checker.Tables().Resolve(a.Item)
		itemB, okB := checker.Tables().Resolve(b.Item)
		if !okB || itemA.Item.ID != itemB.Item.ID {
			add("%q became %q", a.Item, b.Item)
		}
		if !sameQuantity(a.Amount, b.Amount) || a.Per != b.Per {
			add("%s: amount %s, want %s", a.Item, quantity(b.Amount), quantity(a.Amount))
		}
		if !same(a.AcidityPercent, b.AcidityPercent) || !same(a.Bottled, b.Bottled) || a.SaltKind != b.SaltKind || !sameDrained(a, b, itemA.Item) || !same(a.Rinses, b.Rinses) {
			add("%s: other members", a.Item)
		}
	}
	a, b := &want.Recipe, &got.Recipe
	if a.Keep != b.Keep || a.Pack != b.Pack || a.JarPreparation != b.JarPreparation || b.Jar == nil || a.Jar.ID != b.Jar.ID || !same(a.Jars, b.Jars) || !sameQuantity(a.Headspace, b.Headspace) {
		add("keep %q pack %q preparation %q jar %v headspace %s, want %q %q %q %v %s", b.Keep, b.Pack, b.JarPreparation, b.Jar, quantity(b.Headspace), a.Keep, a.Pack, a.JarPreparation, a.Jar, quantity(a.Headspace))
	}
	if a.Process != nil && (b.Process == nil || a.Process.Method != b.Process.Method || !sameQuantity(a.Process.Time, b.Process.Time) || !sameQuantity(a.Process.WaterOverLids, b.Process.WaterOverLids)) {
		add("process %s %s, want %s %s", written(b.Process.Time), written(b.Process.WaterOverLids), written(a.Process.Time), written(a.Process.WaterOverLids))
	}
	return found
}

// sameDrained allows that a food which the card says is taken out is still counted: a draft never takes food out of a jar.
func sameDrained(want, got *document.Ingredient, item *catalog.Item) bool {
	return same(want.Drained, got.Drained) || item.Class == catalog.LowAcid && got.Drained == nil
}

func same[T comparable](a, b *T) bool {
	return a == nil && b == nil || a != nil && b != nil && *a == *b
}

func sameQuantity(a, b *document.Quantity) bool {
	if a == nil || b == nil {
		return a == b
	}
	if (a.Value == nil) != (b.Value == nil) || a.Value == nil && a.Unit != b.Unit {
		return false
	}
	if a.Value == nil {
		return true
	}
	value := *b.Value
	if a.Unit != b.Unit { // a quart is four cups
		converted, err := checker.Units().Convert(value, b.Unit, a.Unit)
		if err != nil {
			return false
		}
		value = converted
	}
	return math.Abs(*a.Value-value) <= 2e-3*math.Abs(*a.Value)
}

func quantity(q *document.Quantity) string {
	if q == nil {
		return "none"
	}
	if q.Value == nil {
		return q.Unit
	}
	return measure.FormatNumber(*q.Value) + " " + q.Unit
}

// A card of each tested recipe, in each printed pack and jar, written in our own words, gives back an equivalent request
// and the same disposition.
func TestCardsComeBack(t *testing.T) {
	all, sameRequest, sameDisposition := 0, 0, 0
	for i := range checker.Tables().Recipes {
		recipe := &checker.Tables().Recipes[i]
		for pack := range recipe.Packs {
			for _, jar := range recipe.Packs[pack].Jars {
				minutes, _ := follow.MinutesAt(checker.Tables(), recipe, pack, jar, kitchenFeet*measure.Foot)
				request, err := follow.Request(checker.Tables(), recipe, follow.Choice{Pack: pack, Jar: jar, ElevationFeet: kitchenFeet, Minutes: minutes})
				if err != nil {
					t.Fatal(err)
				}
				all++
				body, err := json.Marshal(card(&request))
				if err != nil {
					t.Fatal(err)
				}
				drafted, problem := checker.Draft(body, false, false)
				if problem != nil {
					t.Errorf("%s: %+v", recipe.ID, problem)
					continue
				}
				got := drafted.Request
				got.Kitchen = request.Kitchen // a card is for every kitchen
				found := differences(&request, &got)
				want, have := checker.Run(&request, report.Options{}), checker.Run(&got, report.Options{})
				if len(found) == 0 {
					sameRequest++
				}
				if want.Disposition == have.Disposition {
					sameDisposition++
				}
				if len(found) > 0 || want.Disposition != have.Disposition {
					t.Errorf("%s %s %s: %s, want %s\n  %s", recipe.ID, request.Recipe.Pack, jar, have.Disposition, want.Disposition, strings.Join(found, "\n  "))
					for _, finding := range have.Findings {
						if finding.Severity != report.Info && !slices.ContainsFunc(want.Findings, func(f report.Finding) bool { return f.Rule == finding.Rule && f.At == finding.At }) {
							t.Logf("    %s %s: %s", finding.Rule, finding.At, finding.Message)
						}
					}
				}
			}
		}
	}
	t.Logf("%d cards: %d equivalent requests, %d same dispositions", all, sameRequest, sameDisposition)
}

func written(q *document.Quantity) string {
	if q == nil || q.Value == nil {
		return "nothing"
	}
	return fmt.Sprintf("%v %s", *q.Value, q.Unit)
}
