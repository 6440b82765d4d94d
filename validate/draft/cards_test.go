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
	b.WriteString(cardAmount(g) + cardName(g))
	if g.Amount != nil && g.Amount.Value == nil {
		b.WriteString(map[string]string{"to_cover": " to cover", "as_needed": " as needed"}[g.Amount.Unit])
	}
	if g.AcidityPercent != nil {
		fmt.Fprintf(&b, " (%s%% acidity)", measure.FormatNumber(*g.AcidityPercent))
	}
	b.WriteString(cardPiece(g))
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

func cardAmount(g *document.Ingredient) string {
	if g.Amount == nil || g.Amount.Value == nil {
		return ""
	}
	text := fraction(*g.Amount.Value) + " "
	if unit := spoken[g.Amount.Unit]; unit != "" {
		text += unit + " "
	}
	return text
}

func cardName(g *document.Ingredient) string {
	switch {
	case g.Item == "salt" && g.SaltKind == document.SaltCanning:
		return "canning salt"
	case strings.HasSuffix(g.Item, "juice") && g.Bottled != nil && *g.Bottled:
		return "bottled " + g.Item
	case g.Item == "clove (spice)" && (g.Form == "whole" || g.Form == "ground"):
		return g.Form + " cloves"
	case g.Item == "clove (spice)":
		return "cloves"
	case g.Item == "cinnamon stick" && g.Amount != nil && g.Amount.Unit == "stick":
		return "cinnamon"
	}
	return g.Item
}

// cardPiece writes how large the pieces are.
func cardPiece(g *document.Ingredient) string {
	text := ""
	if g.Piece != nil && g.Piece.Length != nil {
		text += ", " + fraction(*g.Piece.Length.Value) + " in long"
	}
	if g.Piece != nil && g.Piece.Thickness != nil {
		noun := "in diameter"
		for _, word := range []string{"slices", "rings", "pieces", "cubes", "squares", "rounds", "florets", "dice", "slice"} {
			if strings.Contains(g.Form, word) {
				noun = "in " + word
				break
			}
		}
		text += ", " + fraction(*g.Piece.Thickness.Value) + " " + noun
	}
	return text
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
	for i := range r.Steps {
		if s := &r.Steps[i]; s.Step == document.StepFerment {
			steps = append(steps, fmt.Sprintf("Ferment %v weeks at %v °F.", *s.Time.Value, *s.Temperature.Value))
		}
	}
	fill := map[string]string{
		document.PackRaw: "Raw pack: put the food into the jars and pour the boiling liquid over it.", document.PackHot: "Hot pack: fill everything hot.",
	}[r.Pack]
	steps = append(steps, fill, "Leave "+fraction(*r.Headspace.Value)+" inch headspace.")
	if r.Process != nil {
		steps = append(steps, fmt.Sprintf(
			"Process %s in a boiling-water canner for %s minutes at 0 to 1,000 ft, with water %s inch over the lids.",
			jars, fraction(*r.Process.Time.Value), fraction(*r.Process.WaterOverLids.Value),
		))
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
	a, b := &want.Recipe, &got.Recipe
	if len(a.Ingredients) != len(b.Ingredients) {
		return []string{fmt.Sprintf("%d ingredients, want %d", len(b.Ingredients), len(a.Ingredients))}
	}
	var found []string
	for i := range a.Ingredients {
		found = append(found, ingredientDifferences(&a.Ingredients[i], &b.Ingredients[i])...)
	}
	if wanted, have := jarsOf(a), jarsOf(b); wanted != have || !sameQuantity(a.Headspace, b.Headspace) {
		found = append(found, fmt.Sprintf("%s headspace %s, want %s headspace %s", have, quantity(b.Headspace), wanted, quantity(a.Headspace)))
	}
	if a.Process != nil && !sameProcess(a.Process, b.Process) {
		found = append(found, fmt.Sprintf("process %s, want %s", processOf(b), processOf(a)))
	}
	return found
}

func ingredientDifferences(a, b *document.Ingredient) []string {
	var found []string
	add := func(format string, args ...any) { found = append(found, fmt.Sprintf(format, args...)) }
	itemA, _ := checker.Tables().Resolve(a.Item)
	itemB, known := checker.Tables().Resolve(b.Item)
	if !known || itemA.Item.ID != itemB.Item.ID {
		add("%q became %q", a.Item, b.Item)
	}
	if !sameQuantity(a.Amount, b.Amount) || a.Per != b.Per {
		add("%s: amount %s, want %s", a.Item, quantity(b.Amount), quantity(a.Amount))
	}
	sameAcid := same(a.AcidityPercent, b.AcidityPercent) && same(a.Bottled, b.Bottled)
	if !sameAcid || a.SaltKind != b.SaltKind || !sameDrained(a, b, itemA.Item) || !same(a.Rinses, b.Rinses) {
		add("%s: other members", a.Item)
	}
	return found
}

// jarsOf writes which jars a recipe fills, how, and where they are kept.
func jarsOf(r *document.Recipe) string {
	jar, jars := "none", "none"
	if r.Jar != nil {
		jar = r.Jar.ID
	}
	if r.Jars != nil {
		jars = fmt.Sprint(*r.Jars)
	}
	return fmt.Sprintf("keep %q pack %q preparation %q jar %s times %s", r.Keep, r.Pack, r.JarPreparation, jar, jars)
}

func sameProcess(a, b *document.Process) bool {
	return b != nil && a.Method == b.Method && sameQuantity(a.Time, b.Time) && sameQuantity(a.WaterOverLids, b.WaterOverLids)
}

func processOf(r *document.Recipe) string {
	if r.Process == nil {
		return "none"
	}
	return r.Process.Method + " " + quantity(r.Process.Time) + " under " + quantity(r.Process.WaterOverLids)
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
func TestCardsInOurWordsComeBack(t *testing.T) {
	for i := range checker.Tables().Recipes {
		recipe := &checker.Tables().Recipes[i]
		for pack := range recipe.Packs {
			for _, jar := range recipe.Packs[pack].Jars {
				t.Run(fmt.Sprintf("%s/%d/%s", recipe.ID, pack, jar), func(t *testing.T) {
					request := followed(t, recipe, pack, jar)
					body, err := json.Marshal(card(&request))
					if err != nil {
						t.Fatal(err)
					}
					got := drafted(t, string(body)).Request
					got.Kitchen = request.Kitchen // a card is for every kitchen
					comesBack(t, &request, &got, differences(&request, &got))
				})
			}
		}
	}
}

// followed is the request of a cook who follows a tested recipe to the letter.
func followed(t *testing.T, recipe *catalog.TestedRecipe, pack int, jar string) document.Request {
	t.Helper()
	minutes, _ := follow.MinutesAt(checker.Tables(), recipe, pack, jar, kitchenFeet*measure.Foot)
	request, err := follow.Request(checker.Tables(), recipe, follow.Choice{Pack: pack, Jar: jar, ElevationFeet: kitchenFeet, Minutes: minutes})
	if err != nil {
		t.Fatal(err)
	}
	return request
}

// comesBack holds that a request that was written and read again is judged as before.
func comesBack(t *testing.T, before, after *document.Request, differences []string) {
	t.Helper()
	want, have := checker.Run(before, report.Options{}), checker.Run(after, report.Options{})
	if len(differences) == 0 && want.Disposition == have.Disposition {
		return
	}
	t.Errorf("%s, want %s\n  %s", have.Disposition, want.Disposition, strings.Join(differences, "\n  "))
	for _, finding := range have.Findings {
		expected := func(f report.Finding) bool { return f.Rule == finding.Rule && f.At == finding.At }
		if finding.Severity != report.Info && !slices.ContainsFunc(want.Findings, expected) {
			t.Logf("    %s %s: %s", finding.Rule, finding.At, finding.Message)
		}
	}
}
