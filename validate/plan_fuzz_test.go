package validate

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"jarwright/validate/budget/meter"
)

// longestPlan is how much of the processors one plan may take.
const longestPlan = 50 * time.Millisecond

// FuzzPlan asks for plans with arbitrary bytes: none takes long, none has no end, and what it hands on can be sent for a report.
func FuzzPlan(f *testing.F) {
	for _, document := range planDocuments(f) {
		body, err := json.Marshal(document)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(body)
	}
	for _, target := range []string{
		`{"factor":10}`, `{"jars":{"count":1000}}`, `{"jars":{"count":3,"jar":{"capacity":{"value":5,"unit":"mL"}}}}`,
		`{"produce":{"amount":{"value":250000,"unit":"bushel"}}}`, `{"vinegar":{"value":1e-300,"unit":"drop"}}`, `{"volume":{"value":1e4,"unit":"L"}}`,
	} {
		f.Add(askedPlan(f, target))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		meter.Within(t, longestPlan, func() { checker.Plan(nil, body) })
		checkPlan(t, body)
	})
}

// FuzzPlanDrawn asks for plans as TestPlansAreBounded draws them, led by the fuzzer: every one of them is a request.
func FuzzPlanDrawn(f *testing.F) {
	documents := planDocuments(f)
	f.Add([]byte("a quarter of a million bushels, in jars of a milliliter each, one jar a load, before the calendar begins"))
	f.Fuzz(func(t *testing.T, choices []byte) {
		var body []byte
		rapid.MakeFuzz(func(rt *rapid.T) {
			body = drawRequest(rt, documents)
			checkPlan(rt, body)
		})(t, choices)
		meter.Within(t, longestPlan, func() { checker.Plan(nil, body) })
	})
}

// The largest plan that there is, of a hundred loads with everything that can be written about it, stays small.
func TestTheLargestPlanIsSmall(t *testing.T) {
	loads := askedPlan(t, `{"jars":{"count":100}}`, `"jars_per_load":7`, `"jars_per_load":1`)
	many := []string{}
	for i := range 170 {
		many = append(many, fmt.Sprintf(`{"amount":{"unit":"tsp","value":0.00%d},"item":"mustard seed","form":"%s","per":"jar"}`, i%3+1, strings.Repeat("whole, dried ", 14)))
	}
	wordy := askedPlan(t, `{"jars":{"count":100}}`, `"jars_per_load":7`, `"jars_per_load":1`, `"ingredients":[`, `"ingredients":[`+strings.Join(many, ",")+",")
	for _, test := range []struct {
		name string
		body []byte
	}{{"a hundred loads", loads}, {"and 180 lines", wordy}} {
		t.Run(test.name, func(t *testing.T) {
			meter.Within(t, longestPlan, func() { checker.Plan(nil, test.body) })
			made, problem := checkPlan(t, test.body)
			if problem != nil {
				t.Fatalf("%+v", problem.Errors)
			}
			if len(made.Canner.Loads) != mostPlanLoads || len(made.Timetable) < mostPlanSteps-30 {
				t.Errorf("%d loads, %d steps, %s", len(made.Canner.Loads), len(made.Timetable), made.Report.Text)
			}
			answer, err := json.Marshal(made)
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("%d bytes of %d, %d steps", len(answer), len(test.body), len(made.Timetable))
			if len(answer) > mostPlanBytes {
				t.Errorf("%d bytes", len(answer))
			}
		})
	}
}
