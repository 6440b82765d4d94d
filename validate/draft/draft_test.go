package draft_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/validate/budget/meter"
	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/draft"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

func drafted(t testing.TB, body string) draft.Draft {
	t.Helper()
	d, problem := checker.Draft(nil, []byte(body), false, false)
	if problem != nil {
		t.Fatalf("%+v\n%s", problem, body)
	}
	return d
}

// recipe makes a JSON-LD recipe of ingredient lines and steps.
func recipe(t testing.TB, lines []string, steps ...string) string {
	t.Helper()
	text, err := json.Marshal(map[string]any{"@context": "https://schema.org", "@type": "Recipe", "recipeIngredient": lines, "recipeInstructions": steps})
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// The recipe of every shape, from its type to its instructions.
const recipeInside = `"@type":"Recipe","name":"Beets &amp; onions","recipeIngredient":["2 lb beets","1&frac12; cups vinegar"],"recipeInstructions":`

// shapes are those counted in the wild, and those expected there, by the place of the recipe; each holds the same recipe.
var shapes = map[string]string{
	"":   `{"@context":"http://schema.org/",` + recipeInside + `"Process in a water bath for 30 minutes."}`,
	"/0": `[{"@context":"https://schema.org",` + recipeInside + `["Boil.","Process in a water bath for 30 minutes."]}]`,
	"/@graph/1": `{"@context":"https://schema.org","@graph":[{"@type":"WebSite"},{` + recipeInside +
		`[{"@type":"HowToStep","text":"Process in a water bath for 30 minutes."}]}]}`,
	"/mainEntity": `{"@type":"WebPage","mainEntity":{` + recipeInside +
		`[{"@type":"HowToSection","itemListElement":[{"@type":"HowToStep","itemListElement":[` +
		`{"@type":"HowToDirection","text":"Process in a water bath for 30 minutes."}]}]}]}}`,
	"/itemListElement/0": `{"@type":"ItemList","itemListElement":[{` + recipeInside +
		`{"@type":"ItemList","itemListElement":["Process in a water bath for 30 minutes."]}}]}`,
	"/@graph/0": `{"@graph":[{"@type":["Recipe","NewsArticle"],"name":"Beets &amp; onions","recipeIngredient":"2 lb beets\n1½ cups vinegar",` +
		`"recipeInstructions":"<p>Boil.</p><p>Process in a water bath for 30 minutes.</p>"}]}`,
	"/@graph/0/": `{"@graph":[{"":{"@type":"http://schema.org/Recipe","schema:name":"Beets & onions",` +
		`"schema:recipeIngredient":["2 lb beets","1 1/2 cups vinegar"],"schema:recipeInstructions":{"@value":"Process in a water bath for 30 minutes."}}}]}`,
	"/mainEntityOfPage/x": `{"mainEntityOfPage":{"x":{"@type":"recipe","name":"Beets & onions","ingredients":[` +
		`{"@type":"PropertyValue","name":"beets","value":2,"unitText":"lb"},` +
		`{"@type":"HowToSupply","name":"vinegar","requiredQuantity":{"value":1.5,"unitCode":"G21"}}],"step":"Process in a water bath for 30 minutes."}}}`,
}

func TestRecipeIsReadInEveryShape(t *testing.T) {
	for at, body := range shapes {
		t.Run("at "+at, func(t *testing.T) {
			d := drafted(t, body)
			r := &d.Request.Recipe
			if d.From.At != at {
				t.Errorf("found at %q", d.From.At)
			}
			if r.Name != "Beets & onions" || len(r.Ingredients) != 2 || r.Ingredients[0].Item != "beet" {
				t.Fatalf("%+v", r)
			}
			if beets, vinegar := r.Ingredients[0].Amount, r.Ingredients[1].Amount; *beets.Value != 2 || *vinegar.Value != 1.5 || vinegar.Unit != "cup" {
				t.Errorf("%+v %+v", beets, vinegar)
			}
			if r.Process == nil || r.Process.Method != document.MethodBoilingWater || r.Process.Time == nil || *r.Process.Time.Value != 30 {
				t.Errorf("process %+v", r.Process)
			}
		})
	}
}

// scriptedRecipe has a line break inside a string, as pages do.
const scriptedRecipe = `{"@type":"Recipe","recipeIngredient":["2 lb beets"],"recipeInstructions":"Slice.
		Boil."}`

func TestRecipeIsReadInScriptsOfPages(t *testing.T) {
	for name, page := range map[string]string{
		"plain":      `<!DOCTYPE html><html><head><script type="application/ld+json">` + scriptedRecipe + `</script></head></html>`,
		"charset":    `<script type='application/ld+json; charset=utf-8' class=x>` + scriptedRecipe + `</script>`,
		"commented":  `<script type="application/ld+json"><!-- ` + scriptedRecipe + ` --></script>`,
		"cdata":      `<script type="application/ld+json">//<![CDATA[` + "\n" + scriptedRecipe + "\n//]]></script>",
		"unfinished": `<div><p>No end<script type="application/ld+json">` + scriptedRecipe + `</script>`,
	} {
		t.Run(name, func(t *testing.T) {
			d, problem := checker.Draft(nil, []byte(page), true, false)
			if problem != nil || len(d.Request.Recipe.Ingredients) != 1 || d.From.Block == nil || *d.From.Block != 0 {
				t.Errorf("%+v %+v", problem, d.From)
			}
		})
	}
}

func TestBrokenBlocksOfPagesArePassedOver(t *testing.T) {
	page := `<script>var x = "` + "`" + `"</script><script type="application/ld+json">{broken</script>` +
		`<script type="application/ld+json">{"@type":"WebSite"}</script><script type="application/ld+json">` + scriptedRecipe + `</script>`
	d, problem := checker.Draft(nil, []byte(page), true, false)
	if problem != nil || *d.From.Block != 2 || len(d.NotUnderstood) != 1 {
		t.Errorf("%+v %+v", problem, d)
	}
}

// readLines are lines and the ingredients they become: item, amount, and what else was read. The lines are our own.
var readLines = map[string]string{
	"4 cups apple cider vinegar, 5% acidity":        "cider-vinegar 4 cup 5% bottled",
	"2 cups organic raw apple cider vinegar":        "cider-vinegar 2 cup",
	"1 cup white or cider vinegar":                  "white-vinegar 1 cup",
	"1 cup rice or white vinegar (5%)":              "rice-vinegar 1 cup 5% bottled",
	"1 cup white or rice vinegar":                   "rice-vinegar 1 cup",
	"1 cup vinegar or lemon juice":                  "vinegar 1 cup",
	"1 cup lemon juice or water":                    "water 1 cup",
	"2-3 cups vinegar":                              "vinegar 2 cup",
	"2-3 lb beets":                                  "beet 3 lb",
	"5-6 lb tomatoes":                               "tomato 6 lb",
	"1/4 cup canning or pickling salt":              "salt 0.25 cup canning",
	"2 tbsp kosher salt":                            "salt 2 tbsp kosher_flake",
	"1 cup bottled lemon juice":                     "lemon-juice 1 cup bottled",
	"2 tablespoons freshly squeezed lemon juice":    "lemon-juice 2 tbsp fresh",
	"juice of 2 lemons":                             "lemon-juice 2 each fresh",
	"4 lemons, juiced":                              "lemon-juice 4 each fresh",
	"salt and pepper to taste":                      "salt as_needed; black-pepper as_needed",
	"1 cup each vinegar and water":                  "vinegar 1 cup; water 1 cup",
	"2 cups vinegar and water":                      "vinegar -; water 2 cup",
	"1 cup vinegar plus 1 cup water":                "vinegar 1 cup; water 1 cup",
	"1 tsp each cumin, coriander seed and turmeric": "cumin 1 tsp; coriander-seed 1 tsp; turmeric 1 tsp",
	"3 cups peeled, seeded and chopped tomatoes":    "tomato 3 cup",
	"1 (28 ounce) can whole peeled tomatoes":        "tomato 28 oz",
	"2 lb. small pickling cucumbers (3- to 4-inch)": "cucumber 2 lb",
	"Onion, red, 2 cups sliced":                     "onion 2 cup",
	"1 medium head green cabbage, about 2 pounds":   "cabbage 2 lb",
	"2 heads fresh dill":                            "dill-head 2 head",
	"1 bunch fresh basil":                           "fresh-basil 1 bunch",
	"1 tablespoon minced fresh ginger":              "ginger-root 1 tbsp",
	"2-inch piece ginger, sliced":                   "ginger-root 1 each",
	"1 tsp pepper":                                  "black-pepper 1 tsp",
	"2 peppers":                                     "any-pepper 2 each",
	"12 whole cloves":                               "clove 12 each",
	"1 clove garlic per jar":                        "garlic 1 clove per jar",
	"4 quarts water, for soaking":                   "water 4 qt drained",
	"2 lb beets, for soaking":                       "beet 2 lb",
	"3 cups snozzberries":                           "? 3 cup",
	"2 cups Grandma's secret mixture":               "? 2 cup",
	"vinegar":                                       "vinegar -",
	"a handful of dill":                             "fresh-dill -",
	"water to cover":                                "water to_cover",
	"6 cups vinegar-based coleslaw":                 "? 6 cup",
	"1 cup lemon pepper seasoning":                  "? 1 cup",
	"1 cup coconut water":                           "? 1 cup",
	"6 cups green tomatoes, onions, and leeks":      "green-tomato 6 cup; onion 6 cup; leek 6 cup",
	"2 cups tomatoes with green chilies":            "tomato 2 cup; chile-pepper 2 cup",
	"5 tomatoes, 2 onions and 1 leek, sliced":       "tomato 5 each; onion 2 each; leek 1 each",
	"2 lb beets and 3 onions":                       "beet 2 lb; onion 3 each",
	"3 garlic cloves, 1 crushed":                    "garlic 3 clove",
	"2 cups onions, 1 cup sliced":                   "onion 2 cup",
	"carrots, okra, leeks":                          "carrot -; okra -; leek -",
	"2 cups water just below the boil":              "water 2 cup",
	"1/2 cup oil, plus additional oil for the pan":  "oil 0.5 cup",
	"2 cups peeled and very finely chopped okra":    "okra 2 cup",
	"salt & pepper":                                 "salt -; black-pepper -",
	"2 cups vinegar, or water":                      "water 2 cup",
	"2 cups vinegar (or water)":                     "water 2 cup",
	"2 cups vinegar, or more to taste":              "vinegar 2 cup",
	"1 cup lemon juice, lime juice or water":        "water 1 cup",
	"2 cups malt, cider or wine vinegar":            "malt-vinegar 2 cup",
	"2 cups vinegar, white or cider":                "vinegar 2 cup",
	"1 tbsp lime (or lemon) juice":                  "lime-juice 1 tbsp",
	"2 cups okra, such as red or green okra":        "okra 2 cup",
	"1 lb leeks, tops and roots removed":            "leek 1 lb",
	"2 tbsp organic lemon or lime juice":            "lemon-juice 2 tbsp",
	"2 tbsp cornstarch mixed with 1/4 cup water":    "cornstarch 2 tbsp; water 0.25 cup",
	"1 cup vinegar or 1 cup water":                  "water 1 cup",
	"2 hot chiles or 1 tsp red pepper flakes":       "hot-pepper 2 each",
	"3 sprigs dill or 1 tsp dried":                  "fresh-dill 3 sprig",
	"1 cup okra, leeks and snozzberries":            "okra 1 cup; leek 1 cup; ? 1 cup",
	"1 head garlic, cloves parted":                  "garlic 1 head",
	"1 tsp salt, canning salt":                      "salt 1 tsp canning",
	"1 lb frozen sliced okra":                       "okra 1 lb",
	"9 firm-ripe tart apples":                       "apple 9 each",
	"1 cup red, white and/or yellow pearl onions":   "pearl-onion 1 cup",
	"1 cup secret mixture and vinegar":              "? 1 cup",
	"1 tsp freshly ground coriander":                "coriander-seed 1 tsp",
	"3 tbsp matchsticks of ginger, peeled":          "ginger-root 3 tbsp",
	"1 lb ready to eat dried apricots":              "apricot 1 lb",
}

func TestLinesBecomeIngredients(t *testing.T) {
	for line, want := range readLines {
		t.Run(line, func(t *testing.T) {
			d := drafted(t, recipe(t, []string{line}))
			var got []string
			for i := range d.Request.Recipe.Ingredients {
				got = append(got, told(&d.Request.Recipe.Ingredients[i]))
			}
			if text := strings.Join(got, "; "); text != want {
				t.Errorf("%q, want %q", text, want)
			}
		})
	}
}

func told(g *document.Ingredient) string {
	item, known := checker.Tables().Item(g.Item)
	text := "?"
	if known {
		text = item.ID
	}
	switch {
	case g.Amount == nil:
		text += " -"
	case g.Amount.Value == nil:
		text += " " + g.Amount.Unit
	default:
		text += fmt.Sprintf(" %v %s", *g.Amount.Value, g.Amount.Unit)
	}
	if g.AcidityPercent != nil {
		text += fmt.Sprintf(" %v%%", *g.AcidityPercent)
	}
	if g.SaltKind != "" {
		text += " " + g.SaltKind
	}
	if g.Bottled != nil {
		text += map[bool]string{true: " bottled", false: " fresh"}[*g.Bottled]
	}
	if g.Per == document.PerJar {
		text += " per jar"
	}
	if g.Drained != nil {
		text += " drained"
	}
	return text
}

// What is looked for, the step, and what is found.
func TestFactsOfSteps(t *testing.T) {
	for _, test := range []struct{ name, step, want string }{
		{draft.FactMinutes, "Process pints for 10 minutes and quarts for 15 minutes in a boiling water bath.", "10 min pint; 15 min quart"},
		{draft.FactMinutes, "Simmer the beets for 20 minutes.", ""},
		{draft.FactMinutes, "Process in a boiling-water canner 10 minutes (15 minutes at 1,001 to 6,000 ft).", "10 min"},
		{draft.FactMinutes, "Process in a food processor for 2 minutes.", ""},
		{draft.FactMinutes, "Boil the filled jars for 1 1/2 hours.", ""},
		{draft.FactMethod, "Process in a steam canner for 10 minutes.", "steam"},
		{draft.FactMethod, "Turn the jars upside down for 5 minutes to seal.", "open_kettle"},
		{draft.FactMethod, "Do not use a water bath.", ""},
		{draft.FactMethod, "Process at 10 lb pressure in a pressure canner.", "pressure"},
		{draft.FactMethod, "Process 30 minutes in water at 180 to 185°F.", "low_temperature"},
		{draft.FactTemperature, "Process 30 minutes in water at 180 to 185°F.", "180 F"},
		{draft.FactHeadspace, "Pack 4-inch sticks, leaving 1/2 inch headspace.", "0.5 in"},
		{draft.FactHeadspace, "Fill to within ¼-inch of the rim.", "0.25 in"},
		{draft.FactHeadspace, "Leave 1 cm headspace.", "1 cm"},
		{draft.FactJar, "Pack into hot pint or quart jars.", "quart"},
		{draft.FactJar, "Ladle into half-pint jars.", "half-pint"},
		{draft.FactPack, "Ladle hot salsa into the jars.", "hot"},
		{draft.FactPack, "Pack cucumbers into jars and pour hot brine over.", "raw"},
		{draft.FactVinegar, "Use vinegar of at least 5% acidity.", "5 percent"},
		{draft.FactSterilizing, "Sterilize the jars for 10 minutes.", "sterilized"},
		{draft.FactWaterOverLids, "The water must stand 2 inches above the lids.", "2 in"},
		{draft.FactKeep, "Store in the refrigerator for up to 2 months.", "refrigerator"},
		{draft.FactKeep, "Refrigerate after opening.", ""},
		{draft.FactKeep, "Store in a cool, dark place.", "shelf"},
		{draft.FactRest, "Wait 3 to 4 weeks before eating.", "3 wk"},
		{draft.FactFerment, "Ferment 3 to 4 weeks at 70 to 75 °F.", "3 wk; 70 F; 3 wk; 75 F"},
		{draft.FactFerment, "Ferment 5 days.", "5 d"},
		{draft.FactElevation, "Adjust the time for your altitude.", "noted"},
	} {
		t.Run(test.name+"/"+test.step, func(t *testing.T) {
			d := drafted(t, recipe(t, []string{"2 lb beets", "2 cups vinegar"}, test.step))
			var got []string
			for i := range d.Facts {
				if f := &d.Facts[i]; f.Name == test.name {
					got = append(got, toldFact(f))
					if f.At != "/recipeInstructions/0" {
						t.Errorf("at %s", f.At)
					}
				}
			}
			if text := strings.Join(got, "; "); text != test.want {
				t.Errorf("%q, want %q", text, test.want)
			}
		})
	}
}

func toldFact(f *draft.Fact) string {
	switch {
	case f.Name == draft.FactElevation:
		return "noted"
	case f.Value != nil:
		return strings.TrimSpace(fmt.Sprintf("%v %s %s", *f.Value, f.Unit, f.Is))
	}
	return f.Is
}

// Of several times the one for the recipe's jar counts, else the shortest, and it is said that one was chosen.
func TestTimeForTheJarIsChosen(t *testing.T) {
	d := drafted(t, recipe(t, []string{"2 lb beets"}, "Pack quart jars.", "Process pints 10 minutes, quarts 15 minutes in a water bath."))
	if got := *d.Request.Recipe.Process.Time.Value; got != 15 {
		t.Errorf("%v minutes for a quart", got)
	}
	d = drafted(t, recipe(t, []string{"2 lb beets"}, "Process 20 minutes in a water bath, or process 10 minutes if you like."))
	if got := *d.Request.Recipe.Process.Time.Value; got != 10 {
		t.Errorf("%v minutes", got)
	}
	if !slices.ContainsFunc(d.Assumed, func(n draft.Note) bool { return n.Into == "/recipe/process/time" }) {
		t.Errorf("nothing is said of the choice: %+v", d.Assumed)
	}
}

// cookTime is the time in the kitchen, never that of the canner.
func TestKitchenTimeIsNotProcessing(t *testing.T) {
	d := drafted(t, `{"@type":"Recipe","cookTime":"PT10M","recipeIngredient":["2 lb beets"]}`)
	if d.Request.Recipe.Process != nil || len(d.NotUnderstood) != 1 || d.NotUnderstood[0].At != "/cookTime" {
		t.Errorf("%+v %+v", d.Request.Recipe.Process, d.NotUnderstood)
	}
}

func TestHeadingsAndLinesThatAreNone(t *testing.T) {
	d := drafted(t, recipe(t, []string{"For the brine:", "2 cups vinegar", "Per jar:", "1 clove garlic", "For the salt soak:", "4 qt water", "Vinegar:"}))
	var kinds []string
	for _, line := range d.Lines {
		kinds = append(kinds, line.Kind)
	}
	if got := strings.Join(kinds, " "); got != "heading ingredient heading ingredient heading ingredient ingredient" {
		t.Errorf("%s", got)
	}
	r := d.Request.Recipe.Ingredients
	if r[0].Per != document.PerBatch || r[1].Per != document.PerJar || r[2].Drained == nil {
		t.Errorf("%+v", r)
	}
}

// Every name and alias of the catalog is known again in a line, behind each of the amounts: no acid and no produce vanishes.
func TestEveryNameIsKnownInALine(t *testing.T) {
	for i := range checker.Tables().Items {
		item := &checker.Tables().Items[i]
		for _, name := range append([]string{item.Name, strings.ReplaceAll(item.ID, "-", " ")}, item.Aliases...) {
			if want, ok := checker.Tables().Resolve(name); ok {
				t.Run(name, func(t *testing.T) {
					for _, pattern := range []string{"2 cups %s", "1 lb (450 g) %s", "%s"} {
						isKnownInALine(t, fmt.Sprintf(pattern, name), name, want.Item)
					}
				})
			}
		}
	}
}

// mustBeKnown are the classes by which safety is judged.
var mustBeKnown = []catalog.Class{catalog.Acid, catalog.LowAcid, catalog.Salt, catalog.Water}

func isKnownInALine(t *testing.T, line, name string, want *catalog.Item) {
	t.Helper()
	d := drafted(t, recipe(t, []string{line}))
	got := d.Request.Recipe.Ingredients
	if len(got) == 0 {
		t.Fatalf("%q vanished", line)
	}
	found, known := checker.Tables().Item(got[0].Item)
	if !known && slices.Contains(mustBeKnown, want.Class) {
		t.Errorf("%q is not known", line)
	}
	if known && found.Class != want.Class && found.Class != catalog.LowAcid && len(got) == 1 && name != "pepper" {
		t.Errorf("%q became %s (%s), want %s (%s)", line, found.ID, found.Class, want.ID, want.Class)
	}
}

// A food that is not known is a finding, and keeps an otherwise good recipe from the shelf.
func TestUnknownFoodKeepsFromTheShelf(t *testing.T) {
	good := []string{
		"7 pounds beets, cooked, skinned, 1/4 in slices", "4 cups vinegar (5% acidity)", "1 1/2 teaspoons canning salt", "2 cups sugar", "2 cups water",
		"2 cinnamon sticks", "12 whole cloves", "4 onions, thinly sliced",
	}
	steps := []string{
		"Keep the jars hot. Hot pack, leaving 1/2 inch headspace.",
		"Process pint jars 30 minutes in a boiling-water canner, with water 1 inch over the lids.",
	}
	judge := func(lines []string) report.Report {
		d := drafted(t, recipe(t, lines, steps...))
		feet := 500.0
		d.Request.Kitchen = &document.Kitchen{Elevation: &document.Quantity{Value: &feet, Unit: "ft"}}
		return checker.Run(&d.Request, report.Options{})
	}
	if r := judge(good); r.Disposition != report.Shelf {
		t.Errorf("%s: %+v", r.Disposition, r.Findings)
	}
	for _, extra := range []string{"2 cups snozzberries", "some mystery", "3", "-", "a few onions", "onions to taste", "1 handful corn"} {
		t.Run(extra, func(t *testing.T) {
			if r := judge(append(slices.Clone(good), extra)); r.Disposition == report.Shelf {
				t.Error("let onto the shelf")
			}
		})
	}
}

// What a line puts into the request points there, and the request is one that the service takes.
func FuzzJSON(f *testing.F) {
	lines := []string{"2 (14 oz) cans tomatoes", "salt & pepper", "½ cup x or 1/2 cup y", "2 lb/0 kg onions", "(((", "juice of a, b"}
	f.Add(recipe(f, lines, "Process 10 minutes."))
	f.Add(`[{"@graph":[{"@type":"Recipe","recipeIngredient":{"@list":["a",1,null,["b"]]},"recipeYield":[4,"7 to 9 pints"]}]}]`)
	f.Add(`{"@type":"Recipe","recipeIngredient":["1e9 kg onions","999999999 cups vinegar (500%)"],` +
		`"recipeInstructions":["Process 99999 minutes. Leave 900 in headspace. Water 99 inches over the lids in jars."]}`)
	f.Fuzz(func(t *testing.T, body string) {
		var d draft.Draft
		var problem *ingest.Problem
		meter.Within(t, 100*time.Millisecond, func() { d, problem = checker.Draft(nil, []byte(body), false, true) })
		if problem != nil {
			return
		}
		into := map[string]bool{}
		for _, line := range d.Lines {
			if line.Kind == draft.LineIngredient && len(line.Into) == 0 {
				t.Errorf("%q went nowhere", line.Text)
			}
			for _, at := range line.Into {
				into[at] = true
			}
		}
		if len(into) != len(d.Request.Recipe.Ingredients) {
			t.Errorf("%d places for %d ingredients", len(into), len(d.Request.Recipe.Ingredients))
		}
		text, err := json.Marshal(d.Request)
		if err != nil {
			t.Fatal(err)
		}
		if _, problem := checker.Check(nil, text, report.Options{}); problem != nil {
			t.Errorf("the request is refused: %+v\n%s", problem.Errors, text)
		}
	})
}

// A line as long as a document may be costs no more than reading it does: the limit is far above what it takes.
func TestLongLinesAreCheap(t *testing.T) {
	for _, part := range []string{"or ", "vinegar or ", "and ", "a, ", "(", "1 cup plus ", "juice of ", "salt and "} {
		t.Run(part, func(t *testing.T) {
			line := "1 cup " + strings.Repeat(part, 200_000/len(part))
			started := time.Now()
			drafted(t, recipe(t, []string{line}))
			if took := time.Since(started); took > 5*time.Second {
				t.Errorf("takes %v", took)
			}
		})
	}
}

// Jars, lids and bags are no food; whatever has one other word in it is.
func TestEquipmentIsNoFood(t *testing.T) {
	for text, want := range map[string]bool{
		"4 pint jars": true, "6 (1 pint) canning jars with lids and rings": true, "12 half-pint canning jars with lids and bands": true,
		"8 wide-mouth pint jars with new lids, sterilized": true, "Cheesecloth": true, "1 spice bag": true, "7 (1-quart) jars": true,
		"1 (4 ounce) jar pimientos, drained": false, "2 jars of stock": false, "1 jar": false, "1 sterilized jar with lid": true,
		"4 cups water": false, "boiling water": false, "1 cup onion rings": false, "1 jar jelly": false, "6 jelly jars": true, "1 jar of jelly": false,
		"2 pints water": false, "3 cups hot water": false, "1 bag carrots": false, "1 bag": false, "1 large onion, cut in rings": false,
	} {
		t.Run(text, func(t *testing.T) {
			d := drafted(t, recipe(t, []string{"2 cups vinegar", text}))
			if got := d.Lines[1].Kind == draft.LineEquipment; got != want {
				t.Errorf("equipment %v, want %v", got, want)
			}
			if want != (len(d.Request.Recipe.Ingredients) == 1) {
				t.Errorf("%d ingredients", len(d.Request.Recipe.Ingredients))
			}
		})
	}
}
