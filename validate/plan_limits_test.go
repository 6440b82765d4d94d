package validate

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"jarwright/validate/ingest"
	"jarwright/validate/plan"
	"jarwright/validate/report"
)

// What one plan may come to, however it is asked for.
const (
	mostPlanBytes = 1 << 20
	mostPlanJars  = 1000
	mostPlanLoads = 100
	mostPlanSteps = 5*mostPlanLoads + 30 // of each load five, and those around them
)

// notNumbers are words that arithmetic leaves where it went wrong.
var notNumbers = regexp.MustCompile(`\b(NaN|Inf)\b`)

// checkPlan asks for a plan and holds it to its limits. The second result is the problem where there is no plan.
func checkPlan(t interface {
	Helper()
	Errorf(string, ...any)
}, body []byte,
) (*plan.Plan, *ingest.Problem) {
	t.Helper()
	made, problem := checker.Plan(nil, body)
	if problem != nil {
		return nil, problem
	}
	var answer bytes.Buffer
	if err := report.Encode(&answer, made); err != nil {
		t.Errorf("the plan cannot be written: %v\n%s", err, body)
		return &made, nil
	}
	if answer.Len() > mostPlanBytes+2*len(body) {
		t.Errorf("an answer of %d bytes to a request of %d", answer.Len(), len(body))
	}
	if made.Jars.Count < 1 || made.Jars.Count > mostPlanJars || !(made.Factor > 0) || len(made.Timetable) > mostPlanSteps {
		t.Errorf("%g jars, factor %g, %d steps\n%s", made.Jars.Count, made.Factor, len(made.Timetable), body)
	}
	if made.Canner != nil {
		sum := 0.0
		for _, jars := range made.Canner.Loads {
			sum += jars
		}
		if len(made.Canner.Loads) > mostPlanLoads || sum != made.Jars.Count {
			t.Errorf("%d loads with %g jars in all, of %g\n%s", len(made.Canner.Loads), sum, made.Jars.Count, body)
		}
	}
	for _, step := range made.Timetable {
		for _, at := range []string{step.At, step.Until} {
			if at == "" {
				continue
			}
			if _, err := time.Parse(time.DateOnly, at[:min(len(at), len(time.DateOnly))]); err != nil {
				t.Errorf("%s at %q: %v\n%s", step.ID, at, err, body)
			}
		}
	}
	scaled, err := json.Marshal(made.Request)
	if err != nil {
		t.Errorf("the scaled recipe cannot be written: %v", err)
	}
	if _, problem := checker.reader.Request(nil, scaled); problem != nil {
		t.Errorf("the scaled recipe is refused: %v\n%s", problem.Errors[0], body)
	}
	if found := notNumbers.FindString(answer.String()); found != "" && !strings.Contains(string(body), found) {
		t.Errorf("the answer has %s\n%s", found, body)
	}
	return &made, nil
}

// planDocuments are requests for plans as values: the examples, and some of the corpus with a target.
func planDocuments(t testing.TB) []map[string]any {
	t.Helper()
	var documents []map[string]any
	read := func(pattern string, every int) {
		paths, err := filepath.Glob(pattern)
		if err != nil || len(paths) == 0 {
			t.Fatalf("no documents in %s: %v", pattern, err)
		}
		for i := 0; i < len(paths); i += every {
			var document map[string]any
			if err := json.Unmarshal(readFile(t, paths[i][len("../"):]), &document); err != nil {
				t.Fatal(err)
			}
			if document["target"] == nil {
				document = map[string]any{"recipe": document["recipe"], "kitchen": document["kitchen"], "target": map[string]any{"factor": 2.0}}
			}
			documents = append(documents, document)
		}
	}
	read("../examples/plans/*.json", 1)
	read("../testdata/corpus/*.json", 3)
	return documents
}

// drawn is an amount of any size that the place takes, usual ones twice as often as all others.
func drawn(rt *rapid.T, label, pointer string, units ...string) map[string]any {
	unit := rapid.SampledFrom(units).Draw(rt, label+" unit")
	limits, known := checker.reader.Limits(pointer, unit)
	if !known {
		rt.Fatalf("no limits for %s in %s", pointer, unit)
	}
	low, high := math.Log10(limits.Least), math.Log10(limits.Most)
	if rapid.IntRange(0, 2).Draw(rt, label+" usual") > 0 {
		low, high = max(low, -0.5), min(high, 1.5)
	}
	value := math.Pow(10, rapid.Float64Range(min(low, high), high).Draw(rt, label))
	return map[string]any{"value": min(max(value, limits.Least), limits.Most), "unit": unit}
}

func drawTarget(rt *rapid.T) map[string]any {
	amounts := []string{"mg", "g", "kg", "lb", "cup", "qt", "bushel", "peck", "each", "head", "L"}
	volumes := []string{"mL", "L", "cup", "gal", "bushel", "drop"}
	switch rapid.IntRange(0, 4).Draw(rt, "target") {
	case 0:
		return map[string]any{"factor": math.Pow(10, rapid.Float64Range(-2, rapid.SampledFrom([]float64{0, 1, 3}).Draw(rt, "to")).Draw(rt, "factor"))}
	case 1:
		goal := map[string]any{"count": math.Round(math.Pow(10, rapid.Float64Range(0, 4).Draw(rt, "count")))}
		if rapid.Bool().Draw(rt, "another jar") {
			goal["jar"] = drawJar(rt, "/target/jars/jar")
		}
		return map[string]any{"jars": goal}
	case 2:
		return map[string]any{"produce": map[string]any{"amount": drawn(rt, "produce", "/target/produce/amount", amounts...)}}
	case 3:
		return map[string]any{"vinegar": drawn(rt, "vinegar", "/target/vinegar", volumes...)}
	}
	return map[string]any{"volume": drawn(rt, "volume", "/target/volume", volumes...)}
}

func drawJar(rt *rapid.T, at string) any {
	if rapid.Bool().Draw(rt, "jar of a name") {
		return rapid.SampledFrom([]string{"half-pint", "pint", "quart", "half-gallon"}).Draw(rt, "jar")
	}
	jar := map[string]any{"capacity": drawn(rt, "capacity", at+"/capacity", "mL", "L", "qt")}
	if rapid.Bool().Draw(rt, "measured") {
		jar["interior_height"] = drawn(rt, "height", at+"/interior_height", "mm", "in")
		jar["mouth"] = drawn(rt, "mouth", at+"/mouth", "mm", "in")
	}
	return jar
}

// drawRequest makes a request for a plan out of one that is known, with quantities of any size a request may have.
func drawRequest(rt *rapid.T, documents []map[string]any) []byte {
	document := copied(documents[rapid.IntRange(0, len(documents)-1).Draw(rt, "document")]).(map[string]any)
	recipe := document["recipe"].(map[string]any)
	document["target"] = drawTarget(rt)
	if rapid.Bool().Draw(rt, "own jars") {
		recipe["jars"] = math.Round(math.Pow(10, rapid.Float64Range(0, rapid.SampledFrom([]float64{1, 2, 4}).Draw(rt, "up to")).Draw(rt, "jars")))
	}
	if rapid.IntRange(0, 3).Draw(rt, "own jar") == 0 {
		recipe["jar"] = drawJar(rt, "/recipe/jar")
	}
	for _, entry := range recipe["ingredients"].([]any) {
		if line := entry.(map[string]any); rapid.IntRange(0, 15).Draw(rt, "odd amount") == 0 {
			line["amount"] = drawn(rt, "amount", "/recipe/ingredients/0/amount", "mg", "g", "kg", "lb", "drop", "cup", "gal", "each", "head")
			line["per"] = rapid.SampledFrom([]string{"batch", "jar"}).Draw(rt, "per")
		}
	}
	if rapid.Bool().Draw(rt, "rests") {
		recipe["rest"] = drawn(rt, "rest", "/recipe/rest", "s", "d", "mo")
	}
	if process, ok := recipe["process"].(map[string]any); ok && rapid.IntRange(0, 2).Draw(rt, "odd process") == 0 {
		process["time"] = drawn(rt, "time", "/recipe/process/time", "s", "min", "h")
		process["water_over_lids"] = drawn(rt, "water", "/recipe/process/water_over_lids", "mm", "in", "ft")
	}
	canner := map[string]any{}
	if rapid.Bool().Draw(rt, "load") {
		canner["jars_per_load"] = float64(rapid.IntRange(1, 100).Draw(rt, "per load"))
	}
	if rapid.Bool().Draw(rt, "pot") {
		canner["diameter"] = drawn(rt, "diameter", "/canner/diameter", "mm", "in", "ft")
	}
	document["canner"] = canner
	when := fmt.Sprintf("%04d-%02d-%02dT%02d:00", rapid.SampledFrom([]int{2026, 100, 9900, 1999, 2026, 2400, 99, 9901, 0, 9999}).Draw(rt, "year"),
		rapid.IntRange(1, 12).Draw(rt, "month"), rapid.IntRange(1, 28).Draw(rt, "day"), rapid.IntRange(0, 23).Draw(rt, "hour"))
	delete(document, "start")
	delete(document, "finish")
	document[rapid.SampledFrom([]string{"start", "finish"}).Draw(rt, "side")] = when
	body, err := json.Marshal(document)
	if err != nil {
		rt.Fatal(err)
	}
	return body
}

// Over requests with quantities of any size that a request may have there is no panic, no infinity and no answer without a
// bound, and what a plan hands on can be sent for a report.
func TestPlansAreBounded(t *testing.T) {
	documents := planDocuments(t)
	made, refused := 0, map[string]int{}
	rapid.Check(t, func(rt *rapid.T) {
		if _, problem := checkPlan(rt, drawRequest(rt, documents)); problem != nil {
			refused[problem.Errors[0].Code]++
			return
		}
		made++
	})
	t.Logf("%d plans, refused %v", made, refused)
	if made == 0 || refused[ingest.CodeOutOfRange] == 0 {
		t.Error("too one-sided to show anything")
	}
}

// asked is the example of half a bushel of cucumbers with another target and other members.
func askedPlan(t testing.TB, target string, changes ...string) []byte {
	t.Helper()
	document := map[string]any{}
	if err := json.Unmarshal(readFile(t, "examples", "plans", "half-a-bushel-of-cucumbers.json"), &document); err != nil {
		t.Fatal(err)
	}
	delete(document, "target")
	text, err := json.Marshal(document)
	if err != nil {
		t.Fatal(err)
	}
	body := strings.TrimSuffix(string(text), "}") + `,"target":` + target + "}"
	for i := 0; i+1 < len(changes); i += 2 {
		if !strings.Contains(body, changes[i]) {
			t.Fatalf("the example has no %s: %s", changes[i], body)
		}
		body = strings.Replace(body, changes[i], changes[i+1], 1)
	}
	return []byte(body)
}

// A target of more than one plan holds is refused before anything is made, naming the most that would do; that much is planned.
func TestPlanSaysHowMuchIsTheMost(t *testing.T) {
	const perLoad = `"jars_per_load":7`
	for _, test := range []struct {
		name, target, pointer string
		much                  float64
		changes               []string
	}{
		{"bushels", `{"produce":{"item":"cucumber","amount":{"value":%v,"unit":"bushel"}}}`, "/target/produce/amount", 100, nil},
		{"pounds", `{"produce":{"item":"cucumber","amount":{"value":%v,"unit":"lb"}}}`, "/target/produce/amount", 20000, nil},
		{"vinegar", `{"vinegar":{"value":%v,"unit":"L"}}`, "/target/vinegar", 1000, nil},
		{"volume", `{"volume":{"value":%v,"unit":"gal"}}`, "/target/volume", 1000, nil},
		{"factor", `{"factor":%v}`, "/target/factor", 1000, nil},
		{"jars", `{"jars":{"count":%v}}`, "/target/jars/count", 5000, nil},
		{"one jar a load", `{"jars":{"count":%v}}`, "/target/jars/count", 500, []string{perLoad, `"jars_per_load":1`}},
		{"a factor with one jar a load", `{"factor":%v}`, "/target/factor", 500, []string{perLoad, `"jars_per_load":1`}},
		{"a hundred jars a load", `{"jars":{"count":%v}}`, "/target/jars/count", 2000, []string{perLoad, `"jars_per_load":100`}},
		{"no canner", `{"factor":%v}`, "/target/factor", 500, []string{`"method":"boiling_water"`, `"method":"none"`}},
	} {
		t.Run(test.name, func(t *testing.T) {
			ask := func(amount float64) []byte { return askedPlan(t, fmt.Sprintf(test.target, amount), test.changes...) }
			_, problem := checkPlan(t, ask(test.much))
			if problem == nil {
				t.Fatal("planned")
			}
			e := problem.Errors[0]
			if e.Pointer != test.pointer || e.Code != ingest.CodeOutOfRange || e.Params.Least == nil || e.Params.Most == nil ||
				!strings.Contains(e.Detail, "Split the work") {
				t.Fatalf("%+v, %+v", e, e.Params)
			}
			if _, problem := checkPlan(t, ask(*e.Params.Most)); problem != nil {
				t.Errorf("%g is named as the most and refused: %s", *e.Params.Most, problem.Detail)
			}
			if _, problem := checkPlan(t, ask(math.Ceil(*e.Params.Most*1.02))); problem == nil {
				t.Errorf("more than %g, the most, is planned", *e.Params.Most)
			}
			if strings.HasPrefix(test.name, "factor") || strings.HasPrefix(test.name, "no canner") {
				return // the least factor is that of one jar, which is no limit
			}
			if _, problem := checkPlan(t, ask(*e.Params.Least)); problem != nil {
				t.Errorf("%g is named as the least and refused: %s", *e.Params.Least, problem.Detail)
			}
		})
	}
}

// The requests that took the service down, and their kin.
func TestPlansThatTookForever(t *testing.T) {
	const food = `"amount":{"unit":"lb","value":4}`
	for _, test := range []struct {
		name, target, code string
		changes            []string
	}{
		{"a quarter of a million bushels", `{"produce":{"amount":{"value":250000,"unit":"bushel"}}}`, ingest.CodeOutOfRange, nil},
		{"next to no food in the recipe", `{"produce":{"amount":{"value":1,"unit":"lb"}}}`, ingest.CodeOutOfRange, []string{food, `"amount":{"unit":"lb","value":1e-300}`}},
		{"a milligram in the recipe", `{"produce":{"amount":{"value":10000,"unit":"kg"}}}`, ingest.CodeOutOfRange, []string{food, `"amount":{"unit":"mg","value":1}`}},
		{"next to nothing at hand", `{"produce":{"amount":{"value":1e-300,"unit":"lb"}}}`, ingest.CodeOutOfRange, nil},
		{"a milligram at hand", `{"produce":{"amount":{"value":1,"unit":"mg"}}}`, ingest.CodeTooSmall, nil},
		{"nothing at hand", `{"produce":{"amount":{"value":0,"unit":"lb"}}}`, ingest.CodeTooSmall, nil},
		{"no volume", `{"volume":{"value":0,"unit":"L"}}`, ingest.CodeTooSmall, nil},
		{"a drop", `{"volume":{"value":1,"unit":"drop"}}`, ingest.CodeTooSmall, nil},
		{"no vinegar", `{"vinegar":{"value":0,"unit":"L"}}`, ingest.CodeTooSmall, nil},
		{"a drop of vinegar", `{"vinegar":{"value":1,"unit":"drop"}}`, ingest.CodeTooSmall, nil},
		{"no jar", `{"jars":{"count":0}}`, ingest.CodeTooSmall, nil},
		{"no factor", `{"factor":0}`, ingest.CodeTooSmall, nil},
		{"a factor of nothing", `{"factor":1e-300}`, ingest.CodeTooSmall, nil},
		{"the greatest factor, and jars", `{"factor":1000}`, ingest.CodeOutOfRange, []string{`"jars":4`, `"jars":10000`}},
		{"another jar of nothing", `{"jars":{"count":1,"jar":{"capacity":{"value":0,"unit":"mL"}}}}`, ingest.CodeOutOfRange, nil},
		{"another jar of next to nothing", `{"jars":{"count":1,"jar":{"capacity":{"value":5e-324,"unit":"mL"}}}}`, ingest.CodeOutOfRange, nil},
		{"amounts of nothing", `{"factor":0.01}`, ingest.CodeOutOfRange, []string{food, `"amount":{"unit":"mg","value":1}`}},
		{"amounts of next to nothing", `{"factor":0.01}`, "", []string{food, `"amount":{"unit":"mg","value":100}`}},
		{"food by the million", `{"jars":{"count":900}}`, ingest.CodeOutOfRange, []string{food, `"amount":{"unit":"each","value":100000}`}},
		{"before the calendar", `{"factor":1}`, ingest.CodeOutOfRange, []string{`"finish":"2026`, `"finish":"0001`}},
		{"the year nought", `{"factor":1}`, ingest.CodeOutOfRange, []string{`"finish":"2026`, `"finish":"0000`}},
		{"after the calendar", `{"factor":1}`, ingest.CodeOutOfRange, []string{`"finish":"2026`, `"finish":"9999`}},
		{"the first year", `{"factor":1}`, "", []string{`"finish":"2026`, `"finish":"0100`}},
		{"the last year", `{"factor":1}`, "", []string{`"finish":"2026`, `"finish":"9900`}},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, problem := checkPlan(t, askedPlan(t, test.target, test.changes...))
			if test.code == "" {
				if problem != nil {
					t.Errorf("refused: %+v", problem.Errors)
				}
				return
			}
			if problem == nil || problem.Errors[0].Code != test.code {
				t.Errorf("%+v, want %s", problem, test.code)
			}
		})
	}
}
