package validate

import (
	"encoding/json"
	"fmt"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/follow"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// checker builds the Checker once for all tests.
var checker = func() *Checker {
	c, err := New()
	if err != nil {
		panic(err)
	}
	return c
}()

// elevations has one in each printed band and on both sides of each edge.
var elevations = []float64{0, 1000, 1001, 3000, 3001, 6000, 6001, 10000}

// printed is one tested recipe in one printed pack and jar.
type printed struct {
	recipe *catalog.TestedRecipe
	pack   int
	jar    string
}

func (p printed) String() string {
	return fmt.Sprintf("%s/%s/%s", p.recipe.ID, p.recipe.Packs[p.pack].Pack, p.jar)
}

func everyPrinted() []printed {
	var all []printed
	for i := range checker.tables.Recipes {
		recipe := &checker.tables.Recipes[i]
		for pack := range recipe.Packs {
			for _, jar := range recipe.Packs[pack].Jars {
				all = append(all, printed{recipe, pack, jar})
			}
		}
	}
	return all
}

func (p printed) request(t *testing.T, feet float64, withoutExtras bool) (document.Request, bool) {
	t.Helper()
	minutes, ok := follow.MinutesAt(checker.tables, p.recipe, p.pack, p.jar, measure.Length(feet)*measure.Foot)
	request, err := follow.Request(checker.tables, p.recipe, follow.Choice{
		Pack: p.pack, Jar: p.jar, ElevationFeet: feet, Minutes: minutes,
		WithoutExtras: withoutExtras,
	})
	if err != nil {
		t.Fatal(err)
	}
	return request, ok
}

// check sends a request the whole way, from bytes.
func check(t *testing.T, request document.Request) report.Report {
	t.Helper()
	body, err := json.Marshal(request)
	if err != nil {
		t.Fatal(err)
	}
	r, problem := checker.Check(nil, body, report.Options{})
	if problem != nil {
		t.Fatalf("refused: %+v\n%s", problem, body)
	}
	return r
}

func aboveInfo(r report.Report) []report.Finding {
	var found []report.Finding
	for _, f := range r.Findings {
		if f.Severity != report.Info {
			found = append(found, f)
		}
	}
	return found
}

// TestTestedRecipesDoneRight follows every tested recipe in every printed pack and jar in every elevation band.
// Outside truth: testdata of package published, copied from the documents its rows name.
func TestTestedRecipesDoneRight(t *testing.T) {
	for _, p := range everyPrinted() {
		for _, feet := range elevations {
			for _, bare := range []bool{false, true} {
				request, timed := p.request(t, feet, bare)
				r := check(t, request)
				want := report.Hold
				switch {
				case p.recipe.Keep == "refrigerator" || p.recipe.Canner == "none":
					want = report.Refrigerate
				case p.recipe.Canner == "boiling_water" && timed:
					want = report.Shelf
				}
				if r.Disposition != want {
					t.Errorf("%s at %v ft (bare %v): %s, want %s", p, feet, bare, r.Disposition, want)
					for _, f := range aboveInfo(r) {
						t.Logf("   %s %s %s: %s", f.Rule, f.Outcome, f.At, f.Message)
					}
					break
				}
				if want == report.Shelf && len(aboveInfo(r)) > 0 {
					t.Errorf("%s at %v ft: %+v", p, feet, aboveInfo(r))
				}
				if r.Process != nil && want != report.Hold && r.Process.Recipe != p.recipe.ID {
					t.Logf("%s was taken for %s", p, r.Process.Recipe)
				}
			}
		}
	}
}

func marshaled(t *testing.T, request document.Request) []byte {
	t.Helper()
	body, err := json.Marshal(request)
	if err != nil {
		t.Fatal(err)
	}
	return body
}
