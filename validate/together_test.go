package validate

import (
	"encoding/json"
	"math"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/match"
	"jarwright/validate/report"
	"jarwright/validate/rules"
)

// TestReportsHoldTogether holds the reports on the corpus, on every unsafe change of it and on the cases of the rules to what
// their dispositions say.
func TestReportsHoldTogether(t *testing.T) {
	all := sample(variants(t), 7)
	for _, name := range fileNames(t, ".json", "testdata", "corpus") {
		all = append(all, variant{name, readFile(t, "testdata", "corpus", name)})
	}
	seen := map[report.Disposition]int{}
	for _, v := range all {
		if r, ok := answer(v.body); ok {
			seen[r.Disposition]++
			holdsTogether(t, v.name, r)
		}
	}
	if seen[report.Shelf] < 50 || seen[report.Hold] < 100 {
		t.Errorf("reports seen: %v", seen)
	}
}

// A finding of error severity withholds the shelf although the rule behind it is said to have passed, and a recipe on hold gives
// a reason although no rule failed.
func TestAssembledFromFindings(t *testing.T) {
	var request document.Request
	if err := json.Unmarshal(readFile(t, "examples", "dill-cucumbers.json"), &request); err != nil {
		t.Fatal(err)
	}
	rule := func(severity report.Severity, found ...facts.Finding) []judged {
		return []judged{{rule: &rules.Rule{ID: "pack.style", Severity: severity}, outcome: report.Pass, findings: found}}
	}
	finding := facts.Finding{
		Outcome: report.Undetermined, At: "/recipe", Message: "It is not known.",
		Measured: &report.Amount{Value: math.Inf(1), Unit: "in"}, Limit: &report.Amount{Value: 1, Unit: "in"},
	}
	f, day := checker.derive(&request, report.Options{})
	if r := checker.assemble(f, day, rule(report.Error), report.Options{}); r.Disposition != report.Shelf {
		t.Errorf("nothing found: %s", r.Disposition)
	}
	if r := checker.assemble(f, day, rule(report.Warning, finding), report.Options{}); r.Disposition != report.Shelf {
		t.Errorf("a warning: %s", r.Disposition)
	}
	r := checker.assemble(f, day, rule(report.Error, finding), report.Options{})
	if r.Disposition != report.Hold {
		t.Errorf("an error: %s", r.Disposition)
	}
	if got := r.Findings[0]; got.Measured != nil || got.Limit == nil {
		t.Errorf("measured %v, limit %v", got.Measured, got.Limit)
	}
	f.Match.Departures = []match.Departure{{Verdict: match.Untested, Rule: "pack.style", What: "x"}, {Verdict: match.Safe, What: "y"}}
	r = checker.assemble(f, day, nil, report.Options{})
	const want = "Not for the shelf as written: 1 difference from the tested recipe was never tested (compared with “Quick fresh-pack dill pickles”)."
	if r.Disposition != report.Hold || r.Summary.Text != want {
		t.Errorf("%s: %q, want %q", r.Disposition, r.Summary.Text, want)
	}
	f.Match = match.Match{}
	if r = checker.assemble(f, day, nil, report.Options{}); r.Summary.Text != "Not for the shelf as written: no tested recipe is near enough to compare with." {
		t.Errorf("%q", r.Summary.Text)
	}
}
