package catalog

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"jarwright/validate/document"
)

// Names as cooks on both sides of the Atlantic write them, in the singular and plural.
func TestNamesThatMustResolve(t *testing.T) {
	tables := loadTables(t)
	tests := map[string]string{
		"cucumber":             "cucumber|Cucumbers|gherkin|gherkins|pickling cucumbers|Pickling_Cucumber|CORNICHONS",
		"zucchini":             "zucchini|courgette|courgettes",
		"summer-squash":        "summer squash|summer squashes|yellow squash",
		"eggplant":             "eggplant|aubergine|aubergines|brinjal",
		"beet":                 "beet|beets|beetroot|beetroots",
		"bell-pepper":          "bell pepper|capsicum|capsicums|bell-peppers",
		"scallion":             "scallions|spring onion|spring onions|green onions",
		"cilantro":             "cilantro|coriander|coriander leaves|fresh coriander|cilantro, fresh",
		"rutabaga":             "rutabaga|swede|swedes",
		"chile-pepper":         "chile|chili|chilli|chiles|chilis|chilies|chillies|chilli peppers",
		"jalapeno-pepper":      "jalapeño|jalapeno|jalapeños|Jalapeño peppers",
		"tomato":               "tomato|tomatoes|roma tomatoes|tomato, slicing",
		"cherry":               "cherry|cherries",
		"radish":               "radish|radishes",
		"peach":                "peach|peaches",
		"strawberry":           "strawberries",
		"mango":                "mango|mangoes|mangos|mango, unripe",
		"ripe-mango":           "ripe mango|mango, ripe",
		"potato":               "potatoes",
		"bay-leaf":             "bay leaf|bay leaves",
		"onion":                "onion|onions|red onion|onion, red|onions, yellow",
		"garlic":               "garlic|garlic cloves|cloves garlic|clove of garlic",
		"clove":                "cloves|whole cloves",
		"green-bean":           "green beans|string beans|french beans|wax bean|runner beans",
		"garbanzo-bean":        "chickpeas|garbanzo beans|chick peas",
		"corn":                 "sweetcorn|corn|sweet corn",
		"cornstarch":           "cornflour|cornstarch|corn starch",
		"brussels-sprout":      "Brussels sprouts|brussels sprout|brussel sprouts|brussels_sprouts",
		"hot-pepper":           "hot pepper|hot peppers|habaneros|hot pepper, dried red",
		"any-pepper":           "pepper, any|pepper|peppers",
		"onion-or-pepper":      "onion and/or pepper",
		"sucralose":            "sucralose sweetener, heat-stable, granulated|sucralose",
		"red-pepper-flakes":    "chilli flakes|red pepper flakes|crushed red pepper",
		"green-tomato":         "green tomatoes",
		"daikon":               "mooli|daikon radish",
		"fresh-dill":           "dill|fresh dill|dill, fresh|dill sprigs",
		"dill-head":            "dill heads|head of dill",
		"dill-weed":            "dill weed|dried dill",
		"cider-vinegar":        "apple cider vinegar|cider vinegar",
		"white-vinegar":        "white distilled vinegar|distilled white vinegar|white vinegar",
		"pickling-lime":        "pickling lime|calcium hydroxide|slaked lime",
		"lime":                 "lime|limes",
		"snap-pea":             "mangetout|sugar snap peas|snow peas",
		"black-peppercorn":     "peppercorns|black peppercorns|whole black peppercorns",
		"mixed-pickling-spice": "pickling spice|mixed pickling spices",
		"egg":                  "eggs|hard-boiled eggs",
		"modified-starch":      "cook-type modified starch",
		"asparagus":            "asparagus|asparagus spears",
		"oil":                  "olive oil|vegetable oil|oil",
		"water":                "water|tap water",
		"sugar":                "sugar|white sugar|granulated sugar",
	}
	ids := make([]string, 0, len(tests))
	for id := range tests {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	for _, id := range ids {
		for _, name := range strings.Split(tests[id], "|") {
			resolved, found := tables.Resolve(name)
			if !found {
				t.Errorf("%q does not resolve, want %s", name, id)
			} else if resolved.Item.ID != id {
				t.Errorf("%q is %s, want %s", name, resolved.Item.ID, id)
			} else if resolved.Exact != (name == id) {
				t.Errorf("%q: exact is %v", name, resolved.Exact)
			}
		}
	}
}

func TestNamesThatSayMore(t *testing.T) {
	tables := loadTables(t)
	tests := []struct{ name, item, bottled, saltKind, form string }{
		{"lemon juice", "lemon-juice", "", "", ""},
		{"bottled lemon juice", "lemon-juice", "yes", "", "bottled"},
		{"Lemon juice, bottled", "lemon-juice", "yes", "", "bottled"},
		{"fresh lemon juice", "lemon-juice", "no", "", "fresh"},
		{"freshly-squeezed lime juice", "lime-juice", "no", "", "fresh"},
		{"bottled key lime juice", "key-lime-juice", "yes", "", "bottled"},
		{"salt", "salt", "", "", ""},
		{"canning salt", "salt", "", SaltCanning, ""},
		{"Pickling salt", "salt", "", SaltCanning, ""},
		{"kosher salt", "salt", "", SaltKosherFlake, ""},
		{"table salt", "salt", "", SaltTable, ""},
		{"iodized salt", "salt", "", SaltTable, ""},
		{"iodized salt", "salt", "", SaltTable, ""},
		{"sea salt", "salt", "", SaltSeaFine, ""},
		{"coarse sea salt", "salt", "", SaltSeaCoarse, ""},
		{"reduced-sodium salt", "salt", "", SaltReducedSodium, ""},
		{"low sodium salt", "salt", "", SaltReducedSodium, ""},
		{"dried chile", "hot-pepper", "", "", "dried"},
		{"tinned tomatoes", "tomato", "", "", "canned, diced, undrained"},
	}
	for _, test := range tests {
		resolved, found := tables.Resolve(test.name)
		if !found {
			t.Errorf("%q does not resolve", test.name)
			continue
		}
		bottled := ""
		if resolved.Bottled != nil {
			bottled = map[bool]string{true: "yes", false: "no"}[*resolved.Bottled]
		}
		if resolved.Item.ID != test.item || bottled != test.bottled || resolved.SaltKind != test.saltKind || resolved.Form != test.form {
			t.Errorf("%q is %s, bottled %q, salt %q, form %q, want %+v", test.name, resolved.Item.ID, bottled, resolved.SaltKind, resolved.Form, test)
		}
	}
}

// Rock salt is never for food in jars and salt substitutes are not for canning (University of Wisconsin Extension 2022):
// neither may pass for salt.
func TestNamesThatMustNotResolve(t *testing.T) {
	tables := loadTables(t)
	for _, name := range []string{"", " ", ",", "rock salt", "salt substitute", "potassium chloride", "unobtainium"} {
		if resolved, found := tables.Resolve(name); found {
			t.Errorf("%q resolves to %s", name, resolved.Item.ID)
		}
	}
}

func TestEveryNameBelongsToOneItem(t *testing.T) {
	tables := loadTables(t)
	owner := map[string]string{}
	for _, item := range tables.Items {
		for _, name := range append([]string{item.ID, item.Name}, item.Aliases...) {
			key := Fold(name)
			if other, taken := owner[key]; taken && other != item.ID {
				t.Errorf("%q names %s and %s", name, other, item.ID)
			}
			owner[key] = item.ID
			if resolved, found := tables.Resolve(name); !found || resolved.Item.ID != item.ID {
				t.Errorf("%q does not resolve to %s", name, item.ID)
			}
		}
	}
}

// Ripe mango must not pass for the hard unripe fruit of the tested recipes: it is published at pH 5.8 to 6.0, unripe at 3.4 to 4.8 (FDA list of 2003).
func TestRipeMangoIsNoAcidFood(t *testing.T) {
	tables := loadTables(t)
	ripe, _ := tables.Item("ripe-mango")
	unripe, _ := tables.Item("mango")
	if ripe.Class != LowAcid || unripe.Class != AcidFood || ripe.Family == unripe.Family {
		t.Errorf("ripe %s of %s, unripe %s of %s", ripe.Class, ripe.Family, unripe.Class, unripe.Family)
	}
	if len(ripe.PH) == 0 || ripe.PH[0].Low != 5.8 || len(unripe.PH) == 0 || unripe.PH[0].Low != 3.4 {
		t.Errorf("pH of ripe mango %v, of unripe %v", ripe.PH, unripe.PH)
	}
}

func TestItemIDsAreKebabCase(t *testing.T) {
	for _, item := range loadTables(t).Items {
		if strings.Trim(item.ID, "abcdefghijklmnopqrstuvwxyz-") != "" || strings.HasPrefix(item.ID, "-") {
			t.Errorf("%q is not kebab-case", item.ID)
		}
	}
}

// How the tested recipes count their ingredients (AIB 539, rev. 2015, through the roles of their lines) decides the
// class, but for herbs, which are fresh leaves there too, and the egg and ice, which have classes of their own.
func TestClassesAgreeWithTestedRecipes(t *testing.T) {
	tables := loadTables(t)
	other := map[string]Class{
		"cilantro": FreshHerb, "parsley": FreshHerb, "dill-head": FreshHerb, "ginger-root": FreshHerb, "citrus-peel": FreshHerb, "egg": Egg, "ice": Ice,
		"sucralose": Sweetener,
	}
	for _, recipe := range tables.Recipes {
		for _, line := range recipe.Ingredients {
			if line.Role == "soak" {
				continue
			}
			item, found := tables.Item(line.Item)
			if !found {
				t.Fatalf("%s: no item %q", recipe.ID, line.Item)
			}
			want := Class(line.Role)
			if class, differs := other[item.ID]; differs {
				want = class
			}
			if item.Class != want {
				t.Errorf("%s is %s, a line of %s counts it as %s", item.ID, item.Class, recipe.ID, line.Role)
			}
		}
	}
}

func TestFamilies(t *testing.T) {
	tables := loadTables(t)
	for family, members := range map[string]string{
		"onion": "onion", "pearl-onion": "pearl-onion", "shallot": "shallot",
		"sweet-pepper":  "green-bell-pepper red-bell-pepper yellow-bell-pepper bell-pepper sweet-pepper pimiento",
		"hot-pepper":    "jalapeno-pepper serrano-pepper hot-pepper chile-pepper long-green-chile banana-pepper",
		"summer-squash": "zucchini summer-squash", "carrot": "carrot baby-carrot", "tomato": "tomato cherry-tomato",
		"green-tomato": "green-tomato", "vinegar": "vinegar white-vinegar cider-vinegar wine-vinegar malt-vinegar",
	} {
		for _, id := range strings.Fields(members) {
			if item, found := tables.Item(id); !found || item.Family != family {
				t.Errorf("%s is not of the family %s: %v", id, family, item)
			}
		}
	}
}

func TestNearestItem(t *testing.T) {
	tables := loadTables(t)
	for name, want := range map[string]string{
		"cucmber": "cucumber", "vinagar": "vinegar", "tumeric": "turmeric", "califlower": "cauliflower", "onin": "onion",
		"xyzzyxyzzy": "", "": "",
	} {
		if got, _ := tables.NearestItem(name); got != want {
			t.Errorf("nearest to %q is %q, want %q", name, got, want)
		}
	}
}

func TestSaltKindsEqualThoseOfTheDocument(t *testing.T) {
	published := []string{SaltCanning, SaltTable, SaltKosherFlake, SaltSeaFine, SaltSeaCoarse, SaltReducedSodium}
	documented := []string{
		document.SaltCanning, document.SaltTable, document.SaltKosherFlake, document.SaltSeaFine, document.SaltSeaCoarse,
		document.SaltReducedSodium,
	}
	if !slices.Equal(published, documented) {
		t.Errorf("%q, the document has %q", published, documented)
	}
	// Each kind has a weight for the measures people use for salt.
	salt, _ := loadTables(t).Item("salt")
	for _, kind := range published {
		for _, unit := range []string{"tsp", "tbsp", "cup"} {
			if !slices.ContainsFunc(salt.Weights, func(w Weight) bool { return w.Form == kind && w.Unit == unit }) {
				t.Errorf("no weight of %s salt by the %s", kind, unit)
			}
		}
	}
}

func TestFold(t *testing.T) {
	for _, test := range []struct{ name, key string }{
		{"Brussels-Sprouts", "brussel sprout"},
		{"brussels_sprout", "brussel sprout"},
		{"  Pepper,   any ", "pepper any"},
		{"jalapeños", "jalapeno"},
		{"cherries", "cherry"},
		{"radishes", "radish"},
		{"tomatoes", "tomato"},
		{"asparagus", "asparagu"},
		{"cress", "cress"},
		{"pea", "pea"},
		{"peas", "pea"},
		{"leaves", "leaf"},
		{"cloves", "clove"},
		{"boxes", "box"},
		{"1-1/2 pints", "1 1 2 pint"},
		{"bird's eye", "bird eye"},
		{"", ""},
	} {
		if got := Fold(test.name); got != test.key {
			t.Errorf("Fold(%q) = %q, want %q", test.name, got, test.key)
		}
	}
}

func TestFoldIgnoresCaseAndPunctuation(t *testing.T) {
	tables := loadTables(t)
	rapid.Check(t, func(t *rapid.T) {
		item := rapid.SampledFrom(tables.Items).Draw(t, "item")
		name := rapid.SampledFrom(append([]string{item.ID, item.Name}, item.Aliases...)).Draw(t, "name")
		mangled := rapid.SampledFrom([]func(string) string{
			strings.ToUpper,
			func(s string) string { return strings.ReplaceAll(s, " ", "_") },
			func(s string) string { return strings.ReplaceAll(s, "-", "  ") },
			func(s string) string { return " " + s + ". " },
		}).Draw(t, "mangle")(name)
		if resolved, found := tables.Resolve(mangled); !found || resolved.Item.ID != item.ID {
			t.Fatalf("%q does not resolve to %s", mangled, item.ID)
		}
	})
}
