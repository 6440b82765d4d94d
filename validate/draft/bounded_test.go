package draft_test

import (
	"encoding/json"
	"fmt"
	"runtime"
	"strings"
	"testing"

	"jarwright/validate/budget"
)

// Nothing of a document is written again for each thing that stands in it: memory and answer stay in proportion to it, however
// long the names around a value are.
func TestLongNamesAreNotMultiplied(t *testing.T) {
	name := strings.Repeat("n", 60_000)
	for _, test := range []struct{ name, body string }{
		{"empty objects", `{"` + name + `":[` + strings.Repeat(`{},`, 60_000) + `{}]}`},
		{"recipes", `{"` + name + `":[` + strings.Repeat(`{"@type":"Recipe"},`, 9_000) + `{"@type":"Recipe","recipeIngredient":["1 lb beets"]}]}`},
		{"lines of a recipe", `{"` + name + `":{"@type":"Recipe","recipeIngredient":[` + strings.Repeat(`"beets",`, 20_000) + `"1 lb beets"]}}`},
		{"names in names", strings.Repeat(`{"`+name[:6_000]+`":`, 28) + `[` + strings.Repeat(`{},`, 20_000) + `{}]` + strings.Repeat(`}`, 28)},
		{"members nobody reads", `{"@type":"Recipe","recipeIngredient":["1 lb beets"]` + many(20_000, `,"m%d":0`) + `}`},
		{"steps with positions", `{"@type":"Recipe","recipeIngredient":["1 lb beets"],"recipeInstructions":[` +
			strings.TrimPrefix(many(4_000, `,{"position":%d,"text":"Process for 5 minutes."}`), ",") + `]}`},
	} {
		t.Run(test.name, func(t *testing.T) {
			if len(test.body) > 256<<10 {
				t.Fatalf("%d bytes", len(test.body))
			}
			b := budget.New(t.Context(), budget.DefaultLimits())
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			d, problem := checker.Draft(b, []byte(test.body), false, true)
			runtime.ReadMemStats(&after)
			if allocated := after.TotalAlloc - before.TotalAlloc; allocated > 300*uint64(len(test.body)) {
				t.Errorf("%d bytes allocated for %d", allocated, len(test.body))
			}
			var answer any = d
			if problem != nil {
				t.Logf("refused: %s", problem.Detail)
				answer = problem
			}
			written, err := json.Marshal(answer)
			if err != nil {
				t.Fatal(err)
			}
			if len(written) > 2<<20 {
				t.Errorf("an answer of %d bytes", len(written))
			}
			t.Logf("%d steps, %d bytes allocated, answer of %d", b.Steps(), after.TotalAlloc-before.TotalAlloc, len(written))
		})
	}
}

func many(n int, form string) string {
	var all strings.Builder
	for i := range n {
		fmt.Fprintf(&all, form, i)
	}
	return all.String()
}

// What is not listed is counted.
func TestNotesAreBounded(t *testing.T) {
	d := drafted(t, `{"@type":"Recipe","recipeIngredient":["1 lb beets"]`+many(1200, `,"m%d":0`)+`}`)
	if n := len(d.NotUnderstood); n != 1001 || d.NotUnderstood[1000].What != "200 further things were not understood that are not listed." {
		t.Errorf("%d notes, the last says %q", n, d.NotUnderstood[n-1].What)
	}
}

// A recipe that no pointer can name is not passed over in silence.
func TestRecipeBelowALongName(t *testing.T) {
	body := `{"` + strings.Repeat("n", 2000) + `":{"@type":"Recipe","recipeIngredient":["1 lb beets"]}}`
	_, problem := checker.Draft(nil, []byte(body), false, false)
	if problem == nil || !strings.Contains(problem.Detail, "names too long") {
		t.Errorf("problem %+v", problem)
	}
}
