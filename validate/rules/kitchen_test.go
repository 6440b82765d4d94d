package rules

import (
	"reflect"
	"strings"
	"sync"
	"testing"

	"jarwright/validate/acidity"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/follow"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/report"
	"jarwright/validate/words"
)

// sources are the real tables, read once for all tests.
var sources = sync.OnceValues(func() (facts.Sources, error) {
	tables, err := catalog.Load()
	if err != nil {
		return facts.Sources{}, err
	}
	units, err := measure.LoadUnits()
	if err != nil {
		return facts.Sources{}, err
	}
	scale, err := composition.NewScale(tables, units)
	if err != nil {
		return facts.Sources{}, err
	}
	matcher, err := match.NewMatcher(tables, scale)
	if err != nil {
		return facts.Sources{}, err
	}
	chemistry, err := acidity.Load()
	if err != nil {
		return facts.Sources{}, err
	}
	chemistry.Know(tables.Items)
	list, err := words.New(tables)
	if err != nil {
		return facts.Sources{}, err
	}
	return facts.Sources{Tables: tables, Units: units, Scale: scale, Matcher: matcher, Chemistry: chemistry, Words: list}, nil
})

func realTables(t testing.TB) facts.Sources {
	t.Helper()
	from, err := sources()
	if err != nil {
		t.Fatal(err)
	}
	return from
}

// tested is the request of a cook at 500 ft who follows a tested recipe to the letter: its first pack in the first jar of that,
// for the printed minutes where there are any.
func tested(t testing.TB, id string) document.Request {
	t.Helper()
	tables := realTables(t).Tables
	recipe, ok := tables.Recipe(id)
	if !ok {
		t.Fatalf("no tested recipe %s", id)
	}
	const feet = 500
	choice := follow.Choice{Jar: recipe.Packs[0].Jars[0], ElevationFeet: feet}
	choice.Minutes, _ = follow.MinutesAt(tables, recipe, 0, choice.Jar, feet*measure.Foot)
	request, err := follow.Request(tables, recipe, choice)
	if err != nil {
		t.Fatal(err)
	}
	return request
}

// untested is a recipe that no tested one is like.
func untested(items ...document.Ingredient) document.Request {
	return document.Request{
		Recipe:  document.Recipe{Keep: document.KeepShelf, Kind: document.KindBrined, Ingredients: items},
		Kitchen: &document.Kitchen{Elevation: amount(500, "ft")},
	}
}

func amount(value float64, unit string) *document.Quantity {
	return &document.Quantity{Value: &value, Unit: unit}
}

// more is a line of an ingredient for the batch.
func more(item string, value float64, unit string) document.Ingredient {
	return document.Ingredient{Item: item, Amount: amount(value, unit), Per: document.PerBatch}
}

// line finds the first line whose item has a word.
func line(r *document.Request, word string) *document.Ingredient {
	for i := range r.Recipe.Ingredients {
		if strings.Contains(r.Recipe.Ingredients[i].Item, word) {
			return &r.Recipe.Ingredients[i]
		}
	}
	panic("no line of " + word)
}

func add(r *document.Request, lines ...document.Ingredient) {
	r.Recipe.Ingredients = append(r.Recipe.Ingredients, lines...)
}

func operation(op, path string, value any) report.Operation {
	return report.Operation{Op: op, Path: path, Value: value}
}

func quantityOf(value float64, unit string) map[string]any {
	return map[string]any{"value": value, "unit": unit}
}

func factsOf(t testing.TB, request document.Request) *facts.Facts {
	t.Helper()
	return facts.New(realTables(t), &request, false)
}

// ruleCase is one change of a request and what a rule then says.
type ruleCase struct {
	name            string
	edit            func(*document.Request)
	facts           func(*facts.Facts) // changes what was worked out, where no recipe gets exactly there
	want            report.Outcome
	at              []string           // places of the findings
	fix             []report.Operation // of the first finding
	measured, limit *report.Amount     // of the first finding; nil: not looked at
	says            string             // a part of the first message and its remedy
}

// judged runs a rule as the report does.
func judged(rule *Rule, f *facts.Facts) (report.Outcome, []facts.Finding) {
	if !rule.Applies(f) {
		return report.NotApplicable, nil
	}
	outcome, findings := report.Pass, rule.Run(f)
	for i := range findings {
		if findings[i].Outcome == report.Fail || outcome == report.Pass {
			outcome = findings[i].Outcome
		}
	}
	return outcome, findings
}

// try judges a request once for each case, as the case changes it.
func try(t *testing.T, rule Rule, base func(testing.TB) document.Request, cases []ruleCase) {
	t.Helper()
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Helper()
			request := base(t)
			if c.edit != nil {
				c.edit(&request)
			}
			f := factsOf(t, request)
			if c.facts != nil {
				c.facts(f)
			}
			outcome, findings := judged(&rule, f)
			if outcome != c.want {
				t.Fatalf("%s: %s, want %s: %+v", rule.ID, outcome, c.want, findings)
			}
			compare(t, &c, findings)
		})
	}
}

func compare(t *testing.T, c *ruleCase, findings []facts.Finding) {
	t.Helper()
	var at []string
	for i := range findings {
		at = append(at, findings[i].At)
		if findings[i].Message == "" {
			t.Errorf("a finding at %s says nothing", findings[i].At)
		}
	}
	if !reflect.DeepEqual(at, c.at) {
		t.Fatalf("findings at %q, want %q: %+v", at, c.at, findings)
	}
	if len(findings) == 0 {
		return
	}
	first := &findings[0]
	if !sameOperations(first.Fix, c.fix) {
		t.Errorf("fix %+v, want %+v", first.Fix, c.fix)
	}
	if c.measured != nil && !reflect.DeepEqual(first.Measured, c.measured) {
		t.Errorf("measured %+v, want %+v", first.Measured, c.measured)
	}
	if c.limit != nil && !reflect.DeepEqual(first.Limit, c.limit) {
		t.Errorf("limit %+v, want %+v", first.Limit, c.limit)
	}
	if text := first.Message + " " + first.Remedy; !strings.Contains(text, c.says) {
		t.Errorf("says %q, want %q in it", text, c.says)
	}
}

// base makes the request of a tested recipe, for try.
func base(id string) func(testing.TB) document.Request {
	return func(t testing.TB) document.Request {
		t.Helper()
		return tested(t, id)
	}
}

// Tested recipes that the tests start from.
var (
	dills    = base("quick-fresh-pack-dill-pickles") // raw; pints 10, 15, 20 minutes up to 1,000, 6,000 ft and above; low temperature allowed
	gherkins = base("sweet-gherkin-pickles")         // raw; pints 5, 10, 15 minutes; sterilized jars
	limed    = base("bread-and-butter-pickles-limed")
	beets    = base("pickled-beets") // hot; 30, 35, 40, 45 minutes
	salsa    = base("tomato-salsa-paste-tomatoes")
	ferment  = base("dill-pickles-fermented")
)

func refrigerated(r *document.Request) { r.Recipe.Keep = document.KeepRefrigerator }

func sameOperations(a, b []report.Operation) bool {
	return len(a)+len(b) == 0 || reflect.DeepEqual(a, b)
}
