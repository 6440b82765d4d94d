package validate

import (
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/report"
)

// unsafeClasses are words of the kinds that have passed unread before, each put into lines of the class or family that they are about.
// They are ours.
var unsafeClasses = []struct {
	name  string
	is    func(*catalog.Item) bool
	words []string
}{
	{"weak vinegar", isFamily("vinegar"), []string{
		"4% acidity", "4 % acid", "4 percent", "four percent", "4 per cent", "40 grain", "forty grain", "4.5%", "3-4 % acetic acid", "4 to 5%", "low acidity",
		"mild", "weak", "strength unknown", "no strength on the label", "4° acidity", "acidity 4%", "labeled 4 %", "less than 5%", "under 5 percent",
	}},
	{"thinned vinegar", isFamily("vinegar"), []string{
		"50/50 with water", "half water", "cut with water", "diluted", "watered down", "mixed with water", "equal parts water", "1:1 with water", "let down",
		"topped up with water", "topped up", "stretched with water", "thinned", "weakened", "one part to two of water", "with as much water again",
		"halved with water",
		"brine", "leftover from pickles", "reused", "second use",
	}},
	{"homemade vinegar", isFamily("vinegar"), []string{
		"made at home", "homemade", "home-made", "my own", "our own", "from our cider", "from my own apples", "brewed by us", "from the neighbor's crock",
		"unpasteurized with the mother", "live", "kombucha", "self-made",
	}},
	{"fresh juice", isFamily("lemon-juice", "lime-juice"), []string{
		"from about 12 lemons", "freshly squeezed", "fresh", "not bottled", "squeezed", "hand pressed", "from our tree", "pressed from lemons", "from 6 limes",
		"straight from the fruit", "homemade", "from the lemons in the garden", "no bottle", "unbottled", "just squeezed", "Meyer", "lemonade",
	}},
	{"dried food", isFamily("mushroom", "tomato", "onion", "mango", "apple", "carrot"), []string{
		"dried", "dehydrated", "freeze-dried", "sun-dried", "oven dried", "dried and soaked", "rehydrated", "soaked overnight from dried", "powdered",
	}},
	{"stuffed, fried, coated", isClass(catalog.LowAcid), []string{
		"stuffed", "stuffed with garlic", "filled with cheese", "fried", "deep-fried", "fried in oil", "sautéed in butter", "breaded", "coated in flour", "battered",
		"dredged in cornmeal", "rolled in crumbs", "in olive oil", "oiled", "with bacon", "wrapped in ham", "in cream sauce", "creamed", "cream-style", "thickened",
	}},
	{"a second food", isClass(catalog.LowAcid), []string{
		"plus 3 lb garlic", "and 2 lb parsnips", "with 3 eggs", "and potatoes", "along with corn",
		"+ 1 lb leeks", "with its greens", "and as much celery", "w/ garlic",
		"including 2 lb meat", "as well as 5 cups of broth", "garlic too", "& pumpkin", "with Karotten", "with pollo", "с чесноком",
	}},
	{"more of it", isClass(catalog.LowAcid), []string{
		"twice as much", "double", "per jar",
		"for each pint", "or as much as fits", "and more to fill", "heaped", "plus extra", "three times that", "x 2", "2x",
		"a few more", "packed tightly", "with another pound", "at least",
	}},
	{"liquid thrown away", isFamily("tomato"), []string{
		"juice drained off",
		"juice discarded", "juice squeezed out and thrown away", "squeezed dry", "drained", "without their juice", "pour off the juice",
		"juice poured down the sink", "strained, liquid discarded", "juice saved for soup", "well drained",
	}},
	{"past its prime", isClass(catalog.LowAcid, catalog.AcidFood), []string{
		"overripe", "over-ripe",
		"frost-killed", "frosted", "from dead vines", "windfall", "windfalls", "rotten spots cut out", "moldy", "soft and wrinkled",
		"past their best", "bruised", "spoiled", "going off", "wilted", "half rotten", "from frozen vines",
	}},
	{"ripe where it must not be", isFamily("mango", "peach", "melon"), []string{"overripe", "very ripe", "soft", "dead ripe", "mushy"}},
	{"white peaches", isFamily("peach"), []string{"white", "white-fleshed", "donut", "white flesh", "low acid"}},
	{"large pieces", isFamily("cucumber", "beet", "carrot", "squash"), []string{
		"left in one piece", "2 inches thick", "in slabs", "whole and uncut", "unsliced", "in thick steaks", "in huge chunks", "3 in across and uncut",
	}},
	{"turned about", isClass(catalog.LowAcid, catalog.AcidFood), []string{
		"never washed", "not peeled as the recipe says", "no acid needed", "without vinegar", "unprocessed", "no heat", "skip the vinegar", "instead of cucumbers",
		`"pickled"`, "so-called", "mock", "o i l", "o*i*l", "g_a_r_l_i_c", "vegan", "see page 30", "as in the note", "if you have no vinegar",
	}},
}

func isFamily(families ...string) func(*catalog.Item) bool {
	return func(item *catalog.Item) bool {
		for _, family := range families {
			if item.Family == family {
				return true
			}
		}
		return false
	}
}

func isClass(classes ...catalog.Class) func(*catalog.Item) bool {
	return func(item *catalog.Item) bool {
		for _, class := range classes {
			if item.Class == class {
				return true
			}
		}
		return false
	}
}

// No words of these kinds leave a good document fit for the shelf, before, behind or instead of the printed form.
func TestClassesOfWordsNeverPass(t *testing.T) {
	good := goodDocuments(t)
	tried := 0
	for _, class := range unsafeClasses {
		for w, text := range class.words {
			for n, name := range sortedKeys(good) {
				request := good[name]
				for at := range request.Recipe.Ingredients {
					was := request.Recipe.Ingredients[at]
					found, ok := checker.tables.Resolve(was.Item)
					if !ok || !class.is(found.Item) || found.Item.Family == "garlic" || strings.Contains(text, found.Item.Name) {
						continue
					}
					answered := text == "per jar" && was.Per == document.PerJar || class.name == "large pieces" && strings.Contains(was.Form, "whole")
					poured := was.Drained != nil && *was.Drained
					if answered || poured || strings.Contains(was.Form, "dried") || !*full && (n+w+at)%5 > 0 {
						continue
					}
					for _, form := range []string{joined(was.Form, text), joined(text, was.Form), was.Form + " (" + text + ")"} {
						now := was
						now.Form = form
						changed := withLine(request, at, now)
						tried++
						if r := checker.Run(&changed, report.Options{}); r.Disposition == report.Shelf {
							t.Errorf("%s: %q passes in %s as %s, %q", class.name, text, name, was.Item, form)
						}
					}
				}
			}
		}
	}
	t.Logf("%d documents, none fit for the shelf", tried)
}
