package words

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"jarwright/validate/catalog"
)

var pantry = sync.OnceValues(func() (*catalog.Tables, error) { return catalog.Load() })

func realList(t *testing.T) (*catalog.Tables, *List) {
	t.Helper()
	tables, err := pantry()
	if err != nil {
		t.Fatal(err)
	}
	list, err := New(tables)
	if err != nil {
		t.Fatal(err)
	}
	return tables, list
}

// about is the context of an item, beside a tested recipe where one is named by a tag or its place.
func about(t *testing.T, tables *catalog.Tables, id string) *Context {
	t.Helper()
	item, ok := tables.Item(id)
	if !ok {
		t.Fatalf("no item %q", id)
	}
	return &Context{Item: item, Class: item.Class}
}

// said writes spans in short: the kind or question, and the words.
func said(spans []Span) string {
	kinds := map[Kind]string{Unknown: "unknown", Fails: "fails", LargerCut: "larger"}
	var all []string
	for _, s := range spans {
		name := kinds[s.Kind]
		if s.Kind == Question {
			name = s.Code
		}
		all = append(all, name+":"+s.Text)
	}
	return strings.Join(all, "; ")
}

// What each text says of each item; nothing is harmless. The wordings are ours.
func TestRead(t *testing.T) {
	tables, list := realList(t)
	for _, test := range []struct{ item, text, want string }{
		{"cucumber", "", ""},
		{"cucumber", "firm, fresh, washed and scrubbed", ""},
		{"cucumber", "twangy, fresh", "unknown:twangy"},
		{"cucumber", "Kirby", ""},
		{"cucumber", "pickling cucumbers", ""},
		{"cucumber", "with onions", "second food:onions"},
		{"cucumber", "plus garlic", "plus:plus; second food:garlic"},
		{"cucumber", "stuffed with garlic", "plus:stuffed with; second food:garlic"},
		{"cucumber", "stuffed", "fails:stuffed"},
		{"cucumber", "fried", "fails:fried"},
		{"cucumber", "in olive oil", "fails:in olive oil"},
		{"cucumber", "whole", "larger:whole"},
		{"cucumber", "sliced or diced", ""},
		{"cucumber", "sliced or", ""},
		{"cucumber", "sliced or zucchini", "or:or; second food:zucchini"},
		{"cucumber", "3 to 5 in", ""},
		{"cucumber", "3 in to 5 in long", ""},
		{"cucumber", "about 4 inches, 1/4-inch slices", ""},
		{"cucumber", `3" long`, ""},
		{"cucumber", "2½ in across", ""},
		{"cucumber", "five-inch", ""},
		{"cucumber", "half an inch thick", ""},
		{"cucumber", "one in the brine", "number:one; mixture:brine"},
		{"cucumber", "cut into 8 wedges", "larger:cut into 8 wedges"},
		{"cucumber", "8 wedges", "number:8; larger:wedges"},
		{"cucumber", "5", "number:5"},
		{"cucumber", "twice", "number:twice"},
		{"cucumber", "5%", "number:5%"},
		{"cucumber", "2 lb", "plus:2 lb"},
		{"cucumber", "not washed", "negation:not"},
		{"cucumber", "don't wash", "negation:don't; use:wash"},
		{"cucumber", "never peeled", "negation:never"},
		{"cucumber", `"pickled"`, "quotation:\"; state:pickled; quotation:\""},
		{"cucumber", "o*i*l", "unknown:o; quotation:*; quotation:*; unknown:l"},
		{"cucumber", "fresh* firm", ""},
		{"cucumber", "чеснок", "unknown:ч; unknown:е; unknown:с; unknown:н; unknown:о; unknown:к"},
		{"cucumber", "per jar", "per:per jar"},
		{"cucumber", "canned", "state:canned"},
		{"cucumber", "processed overnight", "time:overnight"},
		{"cucumber", "cucumbers and seeds", "part:seeds"},
		{"cucumber", "skins and seeds removed", ""},
		{"cucumber", "meat", "fails:meat"},
		{"cucumber", "w/ grapes", "second food:grapes"},
		{"cucumber", "in thick slices", "larger:thick slices"},
		{"cucumber", "in huge chunks", "cut:huge chunks; larger:chunks"},
		{"cucumber", "blossom ends left on", "fails:blossom ends left on"},
		{"tomato", "juice drained off", "fails:juice drained off"},
		{"tomato", "squeezed dry", "fails:squeezed"},
		{"tomato", "peeled, juice poured away", "fails:juice poured away"},
		{"tomato", "peeled, cores removed", ""},
		{"tomato", "peeled; juice kept", "part:juice; negation:kept"},
		{"mango", "overripe", "fails:overripe"},
		{"mango", "ripe", "fails:ripe"},
		{"peach", "white", "fails:white"},
		{"peach", "ripe but firm", ""},
		{"mushroom", "dried", "fails:dried"},
		{"raisin", "dried", ""},
		{"onion", "sweet, yellow or white", ""},
		{"apple", "sweet", "variety:sweet"},
		{"vinegar", "5%", ""},
		{"vinegar", "5 % acidity or higher", ""},
		{"vinegar", "4% acidity", ""}, // its figure is read by Percent
		{"vinegar", "forty grain", ""},
		{"vinegar", "5 per cent or so", "amount:or so"},
		{"vinegar", "thin", "unknown:thin"},
		{"vinegar", "50/50 with water", "fails:50/50; fails:with water"},
		{"vinegar", "made at home", "fails:made at home"},
		{"vinegar", "from our cider", "origin:from our"},
		{"vinegar", "bottled, distilled", ""},
		{"white-vinegar", "or cider vinegar", ""},
		{"white-vinegar", "rice vinegar", "second food:rice vinegar"},
		{"lemon-juice", "bottled", ""},
		{"lemon-juice", "from about 12 lemons", "fails:from; number:12; second food:lemons"},
		{"lemon-juice", "not bottled", "fails:not bottled"},
		{"salt", "large", "unknown:large"},
		{"salt", "fine", ""},
		{"water", "cold", ""},
		{"water", "with sugar", "second food:sugar"},
		{"black-pepper", "freshly ground", ""},
		{"red-pepper-flakes", "crushed, or to taste", ""},
		{"cayenne-pepper", "sliced", "meaning:sliced"},
	} {
		t.Run(test.item+"/"+test.text, func(t *testing.T) {
			if got := said(list.Read(test.text, about(t, tables, test.item))); got != test.want {
				t.Errorf("%s, want %s", got, test.want)
			}
		})
	}
}

// What the members of a line and its tested recipe answer is no question.
func TestReadBesideWhatIsKnown(t *testing.T) {
	tables, list := realList(t)
	recipe := &catalog.TestedRecipe{Tags: []string{"x"}, Ingredients: []catalog.TestedIngredient{
		{Item: "kidney-bean", Form: "canned, drained, rinsed, of one size"}, {Item: "cayenne-pepper", Form: "powder"},
	}}
	bean, _ := tables.Item("kidney-bean")
	list.printed[recipe] = []printedForm{{item: bean, stems: []string{"canned", ",", "drained", ",", "of", "one", "size"}}}
	beans := func(change func(*Context)) *Context {
		of := about(t, tables, "kidney-bean")
		change(of)
		return of
	}
	printed := func(of *Context) { of.Recipe = recipe }
	for name, test := range map[string]struct {
		text string
		of   *Context
		want string
	}{
		"canned, without a recipe": {"canned", beans(func(*Context) {}), "state:canned"},
		"canned, as printed":       {"canned", beans(printed), ""},
		"a number with its words":  {"of one size", beans(printed), ""},
		"a number without them":    {"one pot", beans(printed), "number:one"},
		"per jar":                  {"for each jar", beans(func(of *Context) { of.PerJar = true }), ""},
		"per pint":                 {"per pint", beans(func(of *Context) { of.PerJar = true }), "per:per pint"},
		"to cover":                 {"to cover", beans(func(of *Context) { of.Open = true }), ""},
		"to cover an amount":       {"to cover", beans(func(*Context) {}), "amount:to cover"},
		"the same amount":          {"(about 2 lb)", beans(func(of *Context) { of.SameAmount = func(v float64, c string) bool { return v == 2 && c == "lb" } }), ""},
		"another amount":           {"(about 3 lb)", beans(func(of *Context) { of.SameAmount = func(v float64, _ string) bool { return v == 2 } }), "plus:3 lb"},
		"an amount added":          {"and 2 lb", beans(func(of *Context) { of.SameAmount = func(float64, string) bool { return true } }), "plus:2 lb"},
		"stands for what is printed": {"powder", func() *Context {
			of := about(t, tables, "paprika")
			of.Recipe, of.StandsFor = recipe, []*catalog.Item{bean}
			return of
		}(), ""},
	} {
		t.Run(name, func(t *testing.T) {
			if got := said(list.Read(test.text, test.of)); got != test.want {
				t.Errorf("%s, want %s", got, test.want)
			}
		})
	}
}

// Of a line that is poured away the words may say what for; a denial and an amount are asked about all the same.
func TestReadPouredAway(t *testing.T) {
	tables, list := realList(t)
	for text, want := range map[string]string{
		"to soak the cucumbers overnight": "",
		"for 12 hours":                    "",
		"cooking water, 25 to 30 min":     "",
		"not thrown away":                 "negation:not",
		"zzz":                             "unknown:zzz",
		"plus more":                       "plus:plus more",
	} {
		of := about(t, tables, "water")
		of.PouredAway = true
		if got := said(list.Read(text, of)); got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
		of.Item, _ = tables.Item("cucumber")
		of.Class = of.Item.Class
		if text == "to soak the cucumbers overnight" && said(list.Read(text, of)) == "" {
			t.Error("food that is marked as poured away is forgiven its words")
		}
	}
}

func TestNearWords(t *testing.T) {
	tables, list := realList(t)
	for text, want := range map[string]string{
		"scrubed": "scrubbed", "choped": "chopped", "twangy": "", "organik": "organic", "garlick": "", "zz": "", "peeledd": "peeled",
	} {
		more := 1
		of := about(t, tables, "cucumber")
		of.Suggestions = &more
		spans := list.Read(text+" "+text, of)
		if len(spans) != 2 || spans[0].Near != want || spans[1].Near != "" {
			t.Errorf("%q: %+v, want %q, and nothing for the second", text, spans, want)
		}
	}
}

// A note may say what it likes, but not what the members are for.
func TestSearch(t *testing.T) {
	tables, list := realList(t)
	for text, want := range map[string]string{
		"":                                      "",
		"from my aunt, she loved the sour ones": "",
		"my favorite in August":                 "",
		"or 2 lb of zucchini":                   "or; 2 lb; zucchini",
		"two hours":                             "two hours",
		"3 to 4 cups":                           "3 to 4 cups",
		"at 180 F":                              "180 F",
		"in 2019":                               "",
		"diluted":                               "diluted",
		"not boiled":                            "not",
		"stored on the counter":                 "stored; on the counter",
		"these cucumbers are lovely":            "",
		"4% acid":                               "4%",
		"half an inch":                          "",
		"2 inches":                              "2 inches",
	} {
		var got []string
		for _, s := range list.Search(text, about(t, tables, "cucumber")) {
			got = append(got, s.Text)
		}
		if strings.Join(got, "; ") != want {
			t.Errorf("%q: %q, want %q", text, strings.Join(got, "; "), want)
		}
	}
}

func TestReadName(t *testing.T) {
	tables, list := realList(t)
	for name, want := range map[string]string{
		"freshly squeezed lemon juice": "lemon-juice fails:freshly squeezed",
		"dried onion":                  "onion fails:dried",
		"pickling cucumber":            "cucumber ",
		"canned tomato":                "tomato state:canned",
		"yellow onion":                 "onion ",
	} {
		id, spans, _ := strings.Cut(want, " ")
		if got := said(list.ReadName(name, about(t, tables, id))); got != spans {
			t.Errorf("%q of %s: %q, want %q", name, id, got, spans)
		}
	}
}

func TestPercent(t *testing.T) {
	for text, want := range map[string]float64{
		"5%": 5, "4 % acidity": 4, "four per cent": 4, "forty grain": 4, "40-grain": 4, "5 to 6 %": 5, "5%, then 4%": 4, "4.5 percent": 4.5, "5°": 5,
		"": -1, "5": -1, "per cent": -1, "grain": -1, "4 cups": -1, "½ %": 0.5,
	} {
		got, ok := Percent(text)
		if ok != (want >= 0) || ok && got != want {
			t.Errorf("%q: %g, %t, want %g", text, got, ok, want)
		}
	}
}

func TestTokens(t *testing.T) {
	for text, want := range map[string]string{
		"1-1/2 in":            "1-1/2=1.5 inch?",
		"a & b/c":             "a and b or c",
		"3–4":                 "3=3 to 4=4",
		"3 - 4":               "3=3 to 4=4",
		"big – small":         "big , small",
		"well-washed":         "well washed",
		"tomatoes, berries":   "tomato , berry",
		"leaves halves tops":  "leaf halves tops",
		"colour, grey chilli": "color , gray chili",
		"the cook's can't":    "the cook cannot",
		"w/o ends w/ salt":    "without end with salt",
		"½ 1½ 50/50":          "½=0.5 1½=1.5 50/50=0",
		"Purée ÉTÉ":           "puree ete",
		"2,5 1.5":             "2,5=2.5 1.5=1.5",
		"organised":           "organized",
		"6°":                  "6=6 degree",
		"x+y":                 "x plus y",
	} {
		var got []string
		for _, one := range tokens(text, nil) {
			if one.kind == number {
				got = append(got, fmt.Sprintf("%s=%g", one.stem, one.value))
				continue
			}
			got = append(got, one.stem)
		}
		if joined := strings.Join(got, " "); joined != strings.ReplaceAll(want, "inch?", "in") {
			t.Errorf("%q: %s, want %s", text, joined, want)
		}
	}
	if n := len(tokens(strings.Repeat("a ", 3*mostTokens), nil)); n != mostTokens {
		t.Errorf("%d tokens of a long text, want %d", n, mostTokens)
	}
}

func TestSays(t *testing.T) {
	_, list := realList(t)
	asked := map[string]bool{}
	for _, row := range list.Rows() {
		if row.Effect == Asks {
			asked[row.Asks] = true
		}
	}
	for code := range asked {
		if _, known := questions[code]; !known {
			t.Errorf("the list asks %q, which has no words", code)
		}
	}
	if says, ask := Says("nothing"); says == "" || ask == "" || !slices.Contains([]string{questions["meaning"].says}, says) {
		t.Errorf("%q, %q", says, ask)
	}
}
