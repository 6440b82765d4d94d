package validate

import (
	"encoding/json"
	"fmt"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// longestPlan is how much CPU one plan may take. An ordinary one takes two to five milliseconds; fuzzing makes that several times more.
const longestPlan = 500 * time.Millisecond

// threadTime is the CPU time that this thread has taken. Where the system cannot tell it, the test is skipped.
func threadTime(t testing.TB) time.Duration {
	t.Helper()
	const thisThread = 1 // RUSAGE_THREAD of getrusage(2)
	var used syscall.Rusage
	if err := syscall.Getrusage(thisThread, &used); err != nil {
		t.Skipf("the time of a thread cannot be told here: %v", err)
	}
	return time.Duration(used.Utime.Nano() + used.Stime.Nano())
}

// costOf is the CPU time that something takes on this thread.
func costOf(t testing.TB, do func()) time.Duration {
	t.Helper()
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	before := threadTime(t)
	do()
	return threadTime(t) - before
}

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
		if cost := costOf(t, func() { checkPlan(t, body) }); cost > longestPlan {
			t.Errorf("%v of CPU for %d bytes", cost, len(body))
		}
	})
}

// FuzzPlanDrawn asks for plans as TestPlansAreBounded draws them, led by the fuzzer: every one of them is a request.
func FuzzPlanDrawn(f *testing.F) {
	documents := planDocuments(f)
	f.Add([]byte("a quarter of a million bushels, in jars of a milliliter each, one jar a load, before the calendar begins"))
	f.Fuzz(rapid.MakeFuzz(func(rt *rapid.T) {
		body := drawRequest(rt, documents)
		if cost := costOf(f, func() { checkPlan(rt, body) }); cost > longestPlan {
			rt.Errorf("%v of CPU for %s", cost, body)
		}
	}))
}

// The largest plan that there is, of a hundred loads with everything that can be written about it, stays small.
func TestTheLargestPlanIsSmall(t *testing.T) {
	loads := askedPlan(t, `{"jars":{"count":100}}`, `"jars_per_load":7`, `"jars_per_load":1`)
	many := []string{}
	for i := range 170 {
		many = append(many, fmt.Sprintf(`{"amount":{"unit":"tsp","value":%d},"item":"mustard seed","form":"%s","per":"jar"}`, i%3+1, strings.Repeat("whole, dried ", 14)))
	}
	wordy := askedPlan(t, `{"jars":{"count":100}}`, `"jars_per_load":7`, `"jars_per_load":1`, `"ingredients":[`, `"ingredients":[`+strings.Join(many, ",")+",")
	for _, test := range []struct {
		name string
		body []byte
	}{{"a hundred loads", loads}, {"and 180 lines", wordy}} {
		t.Run(test.name, func(t *testing.T) {
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
