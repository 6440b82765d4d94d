package validate

import (
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/report"
	"jarwright/validate/words"
)

// harmlessOf are words that honest cooks add to a line of a class: where it comes from, what it looks like, how it is washed.
var harmlessOf = map[catalog.Class][]string{
	catalog.LowAcid: {
		"fresh", "firm", "organic", "washed", "scrubbed", "rinsed", "trimmed", "from the garden", "homegrown", "local", "freshly picked", "good quality",
		"in season", "medium", "unblemished", "from the farmers market", "washed well", "crisp", "young", "tender", "store-bought",
	},
	catalog.AcidFood: {
		"fresh", "firm", "organic", "washed", "rinsed", "from the garden", "homegrown", "local", "good quality", "from the farmers market", "unblemished",
	},
	catalog.Acid:      {"bottled", "5%", "5% acidity", "store-bought", "plain", "5 percent", "five percent acidity"},
	catalog.Water:     {"cold", "soft", "filtered", "fresh", "tap", "clean"},
	catalog.Salt:      {"fine", "pure", "plain"},
	catalog.Sugar:     {"plain", "fine", "organic"},
	catalog.Sweetener: {"pure"},
	catalog.Seasoning: {"whole", "good quality", "organic", "from the spice shop", "optional", "to taste", "dried"},
	catalog.FreshHerb: {"fresh", "washed", "from the garden", "rinsed", "organic"},
}

// rewordings are ways of saying the same in other words; each gives the form back as it was where it has nothing to turn.
var rewordings = []struct {
	name string
	say  func(r *rand.Rand, class catalog.Class, form string) string
}{
	{"other order", func(_ *rand.Rand, _ catalog.Class, form string) string {
		parts := strings.Split(form, ", ")
		slices.Reverse(parts)
		return strings.Join(parts, ", ")
	}},
	{"and for a comma", func(_ *rand.Rand, _ catalog.Class, form string) string {
		at := strings.LastIndex(form, ", ")
		if at < 0 {
			return form
		}
		return form[:at] + " and " + form[at+2:]
	}},
	{"hyphens", func(_ *rand.Rand, _ catalog.Class, form string) string {
		return strings.NewReplacer("finely chopped", "finely-chopped", "thinly sliced", "thinly-sliced", " in slices", "-inch slices", " in cubes", "-inch cubes",
			" in pieces", "-inch pieces").Replace(form)
	}},
	{"inch signs", func(_ *rand.Rand, _ catalog.Class, form string) string {
		return unitIn.ReplaceAllString(form, `$1"`)
	}},
	{"fraction signs", func(_ *rand.Rand, _ catalog.Class, form string) string {
		return strings.NewReplacer("2-1/2", "2½", "1-1/2", "1½", "1-1/4", "1¼", "1/2", "½", "1/4", "¼").Replace(form)
	}},
	{"inches", func(_ *rand.Rand, _ catalog.Class, form string) string {
		return unitIn.ReplaceAllString(form, "$1 inch")
	}},
	{"about a size", func(_ *rand.Rand, _ catalog.Class, form string) string {
		if form == "" || form[0] < '0' || form[0] > '9' {
			return form
		}
		return "about " + form
	}},
	{"adverb behind", func(_ *rand.Rand, _ catalog.Class, form string) string {
		return strings.NewReplacer("finely chopped", "chopped finely", "thinly sliced", "sliced thinly", "freshly grated", "grated freshly").Replace(form)
	}},
	{"capital", func(_ *rand.Rand, _ catalog.Class, form string) string {
		if form == "" {
			return form
		}
		return strings.ToUpper(form[:1]) + form[1:]
	}},
	{"a harmless word before", func(r *rand.Rand, class catalog.Class, form string) string {
		return joined(oneOf(r, harmlessOf[class]), form)
	}},
	{"a harmless word behind", func(r *rand.Rand, class catalog.Class, form string) string {
		return joined(form, oneOf(r, harmlessOf[class]))
	}},
	{"two harmless words", func(r *rand.Rand, class catalog.Class, form string) string {
		return joined(oneOf(r, harmlessOf[class]), joined(form, oneOf(r, harmlessOf[class])))
	}},
	{"brackets", func(r *rand.Rand, class catalog.Class, form string) string {
		if word := oneOf(r, harmlessOf[class]); word != "" {
			return strings.TrimSpace(form + " (" + word + ")")
		}
		return form
	}},
	{"semicolons", func(_ *rand.Rand, _ catalog.Class, form string) string { return strings.ReplaceAll(form, ", ", "; ") }},
	{"then", func(_ *rand.Rand, _ catalog.Class, form string) string {
		return strings.NewReplacer("peeled, ", "peeled and then ", "cored, ", "cored and ").Replace(form)
	}},
	{"pieces of a cut", func(_ *rand.Rand, _ catalog.Class, form string) string {
		return strings.NewReplacer("diced", "cut into dice", "quartered", "cut in quarters", "thinly sliced", "in thin slices", "cubed", "cut in cubes").Replace(form)
	}},
}

var unitIn = regexp.MustCompile(`([0-9]) in\b`)

func oneOf(r *rand.Rand, all []string) string {
	if len(all) == 0 {
		return ""
	}
	return all[r.IntN(len(all))]
}

func joined(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + ", " + b
}

// Ten honest rewordings of each line of the corpus keep the verdict, 97 of 100 at least; the others ask one question and refuse nothing.
func TestHonestRewordingsKeepTheVerdict(t *testing.T) {
	good := goodDocuments(t)
	random := rand.New(rand.NewPCG(14, 1))
	const ten, least = 10, 0.97
	tried, kept, asked := 0, 0, 0
	complaints := map[string]int{}
	for _, name := range sortedKeys(good) {
		if !*full && random.IntN(5) > 0 {
			continue
		}
		request := good[name]
		for at := range request.Recipe.Ingredients {
			was := request.Recipe.Ingredients[at]
			found, ok := checker.tables.Resolve(was.Item)
			if !ok {
				continue
			}
			for n, wordings := 0, random.Perm(len(rewordings)); n < ten; n++ {
				way := rewordings[wordings[n]]
				now := was
				now.Form = way.say(random, found.Item.Class, was.Form)
				changed := withLine(request, at, now)
				r := checker.Run(&changed, report.Options{})
				tried++
				switch said := wordFindings(&r); {
				case r.Disposition == report.Shelf:
					kept++
				case len(r.Findings) > 0 && isOneQuestion(&r) && len(said) == 1:
					asked++
					complaints[said[0]]++
				default:
					t.Errorf("%s, %s: %s %q became %q: %s %v", name, way.name, was.Item, was.Form, now.Form, r.Disposition, spoken(r))
				}
			}
		}
	}
	share := float64(kept) / float64(tried)
	t.Logf("%d rewordings: %.2f %% keep the verdict, %d ask one question", tried, 100*share, asked)
	for _, complaint := range sortedKeys(complaints) {
		t.Logf("%d x %s", complaints[complaint], complaint)
	}
	if share < least {
		t.Errorf("only %.2f %% keep the verdict", 100*share)
	}
}

// isOneQuestion tells whether nothing of error severity failed and one place asks.
func isOneQuestion(r *report.Report) bool {
	open := 0
	for _, f := range r.Findings {
		if f.Severity != report.Error {
			continue
		}
		if f.Outcome == report.Fail {
			return false
		}
		open++
	}
	return open == 1
}

// Every row of the list that asks, weakens, adds or contradicts, put into a line that it is for, keeps a good document from the shelf.
func TestNoBadWordOfTheListPasses(t *testing.T) {
	good := goodDocuments(t)
	names := sortedKeys(good)
	random := rand.New(rand.NewPCG(14, 2))
	tried, skipped := 0, 0
	for _, row := range checker.sources.Words.Rows() {
		if !row.Counts() || !*full && random.IntN(4) > 0 {
			continue
		}
		done := false
		for n, places := 0, random.Perm(len(names)); n < len(places) && !done; n++ {
			name := names[places[n]]
			request := good[name]
			for at := range request.Recipe.Ingredients {
				was := request.Recipe.Ingredients[at]
				found, ok := checker.tables.Resolve(was.Item)
				if !ok || was.Drained != nil && *was.Drained || !row.IsFor(found.Item) {
					continue
				}
				if len(checker.sources.Words.Read(row.Phrase, &words.Context{Item: found.Item, Class: found.Item.Class})) == 0 {
					continue // a row for this item overrules it
				}
				if strings.Contains(row.Phrase, "juice") || printedSays(found.Item, request, row.Phrase) || was.Amount == nil || was.Amount.Value == nil {
					continue
				}
				now := was
				now.Form = joined(was.Form, row.Phrase)
				changed := withLine(request, at, now)
				tried, done = tried+1, true
				if r := checker.Run(&changed, report.Options{}); r.Disposition == report.Shelf {
					t.Errorf("%s (%s) passes in %s as %s, %q", row.Phrase, row.Part, name, was.Item, now.Form)
				}
				break
			}
		}
		if !done {
			skipped++
		}
	}
	t.Logf("%d bad words put into good documents, none fit for the shelf; %d rows are for a food that no good document has", tried, skipped)
}

// printedSays tells whether the tested recipe nearest to a request prints some words of a phrase for an item.
func printedSays(item *catalog.Item, request document.Request, phrase string) bool {
	r := checker.Run(&request, report.Options{})
	recipe, _ := checker.tables.Recipe(r.Process.Recipe)
	for i := range recipe.Ingredients {
		printed, _ := checker.tables.Item(recipe.Ingredients[i].Item)
		if printed.Family != item.Family {
			continue
		}
		for _, word := range strings.Fields(phrase) {
			if strings.Contains(recipe.Ingredients[i].Form, word) {
				return true
			}
		}
	}
	return false
}
