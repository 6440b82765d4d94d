package validate

import (
	"encoding/json"
	"flag"
	"fmt"
	"strings"
	"testing"

	jsonpatch "github.com/evanphx/json-patch/v5"

	"jarwright/validate/document"
	"jarwright/validate/report"
)

// full runs the sweeps below over every recipe and change; without it they take a spread sample, to keep the suite short.
var full = flag.Bool("full", false, "sweep every recipe with every change, not a sample")

// variant is a request that follows a tested recipe but for one change.
type variant struct {
	name string
	body []byte
}

// variants lists the followed recipes and every unsafe change of them, one printed pack and jar each.
func variants(t *testing.T) []variant {
	t.Helper()
	var all []variant
	last := ""
	for _, p := range everyPrinted() {
		if p.recipe.ID == last {
			continue
		}
		last = p.recipe.ID
		add := func(name string, request document.Request) {
			body, err := json.Marshal(request)
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, variant{name + ": " + p.String(), body})
		}
		request, timed := p.request(t, 3001, false)
		add("as printed", request)
		for _, c := range unsafeChanges() {
			request, _ := p.request(t, 3001, false)
			if timed && c.apply(p, &request) {
				add(c.name, request)
			}
		}
	}
	return all
}

// sample thins a list out to every nth.
func sample(all []variant, n int) []variant {
	if *full {
		return all
	}
	var some []variant
	for i := 0; i < len(all); i += n {
		some = append(some, all[i])
	}
	return some
}

func answer(body []byte) (report.Report, bool) {
	r, problem := checker.Check(nil, body, report.Options{})
	return r, problem == nil
}

// members lists the JSON Pointers of every object member below a value.
func members(value any, at string) []string {
	var all []string
	switch v := value.(type) {
	case map[string]any:
		for name, child := range v {
			all = append(all, at+"/"+name)
			all = append(all, members(child, at+"/"+name)...)
		}
	case []any:
		for i, child := range v {
			all = append(all, members(child, fmt.Sprintf("%s/%d", at, i))...)
		}
	}
	return all
}

// TestLeavingOutNeverGivesTheShelf leaves out every single member of requests that are not fit for the shelf.
func TestLeavingOutNeverGivesTheShelf(t *testing.T) {
	for _, v := range sample(variants(t), 23) {
		before, ok := answer(v.body)
		if !ok || before.Disposition == report.Shelf {
			continue
		}
		var document any
		if err := json.Unmarshal(v.body, &document); err != nil {
			t.Fatal(err)
		}
		for _, pointer := range members(document, "") {
			body, err := applyPatch(v.body, []report.Operation{{Op: "remove", Path: pointer}})
			if err != nil {
				t.Fatalf("%s: leaving out %s: %v", v.name, pointer, err)
			}
			if after, ok := answer(body); ok && after.Disposition == report.Shelf {
				if pointer == "/recipe/jars" && strings.Contains(after.Summary.Text, "g of food, as the tested recipe weighs it, in a jar") {
					continue // it says for how many jars and how much food in each it holds
				}
				t.Errorf("%s: without %s it is fit for the shelf", v.name, pointer)
			}
		}
	}
}

func applyPatch(body []byte, operations []report.Operation) ([]byte, error) {
	type operation struct {
		Op    string `json:"op"`
		Path  string `json:"path"`
		Value any    `json:"value,omitempty"`
	}
	list := make([]operation, 0, len(operations))
	for _, o := range operations {
		list = append(list, operation(o))
	}
	text, err := json.Marshal(operations)
	if len(operations) == 1 && operations[0].Op == "remove" {
		text, err = json.Marshal(list)
	}
	if err != nil {
		return nil, err
	}
	patch, err := jsonpatch.DecodePatch(text)
	if err != nil {
		return nil, err
	}
	return patch.Apply(body)
}

// key tells findings apart.
func key(f report.Finding) string { return f.Rule + " at " + f.At }

func rank(f report.Finding) int {
	weight := map[report.Severity]int{report.Info: 0, report.Warning: 2, report.Error: 4}[f.Severity]
	if f.Outcome == report.Fail {
		weight++
	}
	return weight
}

// TestFixesMend applies the patches of each report, one by one and all together: what was fixed is gone, and nothing as
// bad or worse has come.
func TestFixesMend(t *testing.T) {
	for _, v := range sample(variants(t), 5) {
		before, ok := answer(v.body)
		if !ok {
			t.Fatalf("%s: refused", v.name)
		}
		var together []report.Operation
		var fixed []report.Finding
		for _, finding := range before.Findings {
			if len(finding.Fix) == 0 {
				continue
			}
			mends(t, v, before, []report.Finding{finding}, finding.Fix)
			together, fixed = append(together, finding.Fix...), append(fixed, finding)
		}
		if len(fixed) > 1 {
			mends(t, v, before, fixed, together)
		}
	}
}

func mends(t *testing.T, v variant, before report.Report, fixed []report.Finding, operations []report.Operation) {
	t.Helper()
	body, err := applyPatch(v.body, operations)
	if err != nil {
		t.Errorf("%s: %s: the patch does not apply: %v", v.name, key(fixed[0]), err)
		return
	}
	after, problem := checker.Check(nil, body, report.Options{})
	if problem != nil {
		t.Errorf("%s: %s: refused after the fix: %+v", v.name, key(fixed[0]), problem.Errors)
		return
	}
	had := map[string]bool{}
	for _, f := range before.Findings {
		had[key(f)] = true
	}
	worst := 0
	for _, f := range fixed {
		worst = max(worst, rank(f))
	}
	for _, f := range after.Findings {
		for _, gone := range fixed {
			if key(f) == key(gone) {
				t.Errorf("%s: %s is still there after %v: %s", v.name, key(f), operations, f.Message)
			}
		}
		if !had[key(f)] && rank(f) >= worst {
			t.Errorf("%s: mending %s brought %s: %s", v.name, key(fixed[0]), key(f), f.Message)
		}
	}
}

// TestSameBytes asks the same question twice.
func TestSameBytes(t *testing.T) {
	for _, v := range sample(variants(t), 41) {
		first, _ := answer(v.body)
		again, _ := answer(v.body)
		a, err := json.Marshal(first)
		if err != nil {
			t.Fatal(err)
		}
		b, err := json.Marshal(again)
		if err != nil {
			t.Fatal(err)
		}
		if string(a) != string(b) {
			t.Errorf("%s: two answers", v.name)
		}
	}
}

// TestEverySourceIsInTheBibliography follows the citations of every report.
func TestEverySourceIsInTheBibliography(t *testing.T) {
	for _, v := range sample(variants(t), 17) {
		r, _ := answer(v.body)
		for _, f := range r.Findings {
			if len(f.Sources) == 0 {
				t.Errorf("%s: %s names no source", v.name, key(f))
			}
			for _, c := range f.Sources {
				if _, ok := checker.tables.Source(c.Source); !ok {
					t.Errorf("%s: %s cites %q, which is not in the bibliography", v.name, key(f), c.Source)
				}
			}
			if !strings.HasSuffix(f.Message, ".") || !strings.HasSuffix(f.Remedy, ".") {
				t.Errorf("%s: %s: message or remedy does not end a sentence: %q %q", v.name, key(f), f.Message, f.Remedy)
			}
		}
		for _, c := range r.Cautions {
			for _, s := range c.Sources {
				if _, ok := checker.tables.Source(s.Source); !ok {
					t.Errorf("caution %s cites %q, which is not in the bibliography", c.ID, s.Source)
				}
			}
		}
	}
}
