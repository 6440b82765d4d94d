package validate

import (
	"regexp"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/follow"
	"jarwright/validate/measure"
)

// Words of the attacks. All are our own.
var (
	foreignFoods = []string{
		"frijoles negros", "Knoblauch", "pois chiches", "Kartoffeln", "champiñones", "lait entier", "Fleischwurst", "maíz dulce", "haricots blancs", "tofu fumé",
		"ground beef", "smoked salmon", "cooked rice", "cream cheese", "macaroni", "moonroot", "tempeh", "chestnuts", "plantain", "peanut butter",
	}
	wateryLiquids = []string{
		"water", "black tea", "coffee", "chicken stock", "vegetable broth", "white wine", "beer", "milk", "coconut milk", "whey", "rose water",
	}
	notAcids = []string{"water", "white wine", "verjuice", "kombucha", "cucumber juice", "sake", "brine from the last jar", "apple juice", "club soda"}

	weakWords = []string{
		"4% acidity", "about four percent", "diluted with the same amount of water", "half water", "50/50 with water", "made at home", "home-brewed", "watered down",
		"topped up with water", "strength unknown", "3 % acid", "forty grain", "thinned", "cut with water", "mild, 4 per cent", "from our own apples",
	}
	freshJuiceWords = []string{
		"from about 12 lemons", "freshly squeezed", "not bottled", "fresh", "squeezed at home", "from the tree", "unbottled", "juice of 6 lemons",
	}
	secondFoodWords = []string{
		"plus 3 lb garlic", "and 2 lb corn", "stuffed with cheese", "with 4 cups of beans", "mixed with mushrooms", "including 1 lb of potatoes", "wrapped in bacon",
		"layered with sliced carrots and cauliflower", "filled with garlic cloves",
	}
	treatmentWords = []string{
		"fried in oil", "battered", "breaded", "coated with flour", "roasted in butter", "mashed with cream", "creamed", "smoked", "sautéed in lard",
		"dusted with cornstarch",
	}
	spoiledWords = []string{"moldy parts cut away", "rotten", "spoiled at one end", "slimy", "from dead frost-killed vines", "fermenting a little"}
	thickWords   = []string{"sliced 3 inches thick", `4" chunks`, "in 10 cm pieces", "cut 3½ in thick", "three inches thick"}
	unknownWords = []string{"twangy", "glorbled", "xqz", "blorp style", "zanthic", "grumbled twice"}
	weakNotes    = []string{
		"4% acidity", "half of it is water", "dilute with 3 cups of water", "we make this vinegar ourselves, not bottled", "use 2 cups water instead",
	}
	secondFoodNotes = []string{"add 2 lb garlic as well", "I use potatoes instead", "with 3 cups of black beans", "boil only 2 minutes", "leave the lids off"}
)

// ofClass and ofItem choose items.
func ofClass(classes ...catalog.Class) func(*catalog.Item) bool {
	return func(item *catalog.Item) bool { return slices.Contains(classes, item.Class) }
}

func ofItem(ids ...string) func(*catalog.Item) bool {
	return func(item *catalog.Item) bool { return slices.Contains(ids, item.ID) }
}

func classOf(line map[string]any) catalog.Class {
	if item := itemOf(line); item != nil {
		return item.Class
	}
	return ""
}

func (a *attacked) bulk(low, high float64, unit string) map[string]any {
	return quantityOf(a.between(low, high), unit)
}

// addItem adds one item of the chosen, for the batch.
func (a *attacked) addItem(choose func(*catalog.Item) bool, amount map[string]any) bool {
	var some []*catalog.Item
	for i := range checker.tables.Items {
		if item := &checker.tables.Items[i]; choose(item) {
			some = append(some, item)
		}
	}
	item, ok := one(a, some)
	if !ok {
		return false
	}
	list, _ := a.recipeOf()["ingredients"].([]any)
	a.recipeOf()["ingredients"] = append(slices.Clone(list), any(map[string]any{"item": item.ID, "amount": amount, "per": "batch"}))
	return true
}

func (a *attacked) addPerJar(choose func(*catalog.Item) bool, amount map[string]any) bool {
	if !a.addItem(choose, amount) {
		return false
	}
	lines := a.lines()
	lines[len(lines)-1]["per"] = "jar"
	return true
}

// drainLast says of the last line that it is poured away.
func (a *attacked) drainLast() bool {
	lines := a.lines()
	lines[len(lines)-1]["drained"] = true
	return true
}

// each changes the lines and reports whether there were any.
func (a *attacked) each(lines []map[string]any, change func(line map[string]any)) bool {
	for _, line := range lines {
		change(line)
	}
	return len(lines) > 0
}

// without takes lines out.
func (a *attacked) without(leaveOut func(line map[string]any) bool) bool {
	var rest []any
	for _, line := range a.lines() {
		if !leaveOut(line) {
			rest = append(rest, line)
		}
	}
	a.recipeOf()["ingredients"] = rest
	return len(rest) > 0
}

// bulkFoods are the foods that are weighed or measured, not a pod or clove beside them.
func (a *attacked) bulkFoods() []map[string]any {
	return slices.DeleteFunc(a.of(catalog.LowAcid), func(line map[string]any) bool {
		unit := line["amount"].(map[string]any)["unit"].(string)
		return unit != "lb" && unit != "oz" && !isVolume(unit)
	})
}

// cutFoods are the foods that are cut, without a length of which their words could speak.
func (a *attacked) cutFoods() []map[string]any {
	var some []map[string]any
	for _, line := range a.of(catalog.LowAcid) {
		form, _ := line["form"].(string)
		if piece, _ := line["piece"].(map[string]any); piece["length"] == nil && cutWord.MatchString(form) {
			some = append(some, line)
		}
	}
	return some
}

var cutWord = regexp.MustCompile(`chopped|sliced|diced|cubed|shredded`)

func (a *attacked) vinegars() []map[string]any { return a.acidsOf("vinegar") }

func (a *attacked) juices() []map[string]any {
	return append(a.acidsOf("lemon-juice"), a.acidsOf("lime-juice")...)
}

func (a *attacked) acidsOf(family string) []map[string]any {
	var some []map[string]any
	for _, line := range a.of(catalog.Acid) {
		if item := itemOf(line); item.Family == family || item.ID == family {
			some = append(some, line)
		}
	}
	return some
}

// process changes a quantity of the process.
func (a *attacked) process(member string, change func(float64) float64) bool {
	p, _ := a.recipeOf()["process"].(map[string]any)
	quantity, _ := p[member].(map[string]any)
	value, ok := quantity["value"].(float64)
	if ok {
		quantity["value"] = change(value)
	}
	return ok
}

// climbs reports whether the followed recipe prints longer minutes higher up.
func (a *attacked) climbs() bool {
	if a.recipe == nil || len(a.recipe.Packs) == 0 {
		return false
	}
	jar, _ := a.recipeOf()["jar"].(string)
	for pack := range a.recipe.Packs {
		if !slices.Contains(a.recipe.Packs[pack].Jars, jar) {
			continue
		}
		low, _ := follow.MinutesAt(checker.tables, a.recipe, pack, jar, 4000*measure.Foot)
		high, ok := follow.MinutesAt(checker.tables, a.recipe, pack, jar, 7000*measure.Foot)
		if !ok || high <= low {
			return false
		}
	}
	return true
}

// isVolume reports whether a unit measures volume.
func isVolume(code string) bool {
	return slices.Contains([]string{"tsp", "tbsp", "fl_oz", "cup", "pt", "qt", "gal", "mL", "L"}, code)
}
