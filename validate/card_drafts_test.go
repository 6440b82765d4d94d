package validate

import (
	"encoding/json"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/report"
)

// TestCardsGoBackThroughDrafts publishes every tested recipe done right, reads the JSON-LD as a stranger's, and asks again:
// the request that comes back gets the answer of the first.
func TestCardsGoBackThroughDrafts(t *testing.T) {
	all := 0
	for _, file := range fileNames(t, ".json", "testdata", "corpus") {
		body := readFile(t, "testdata", "corpus", file)
		c := cardFor(t, body)
		if !c.Fit {
			continue
		}
		all++
		text, err := json.Marshal(c.Linked())
		if err != nil {
			t.Fatal(err)
		}
		drafted, problem := checker.Draft(nil, text, false, false)
		if problem != nil {
			t.Errorf("%s: %+v", file, problem)
			continue
		}
		var sent document.Request
		if err := json.Unmarshal(body, &sent); err != nil {
			t.Fatal(err)
		}
		drafted.Request.Kitchen = sent.Kitchen // a card is for every kitchen
		want, got := checkBytes(t, body), checker.Run(&drafted.Request, report.Options{})
		if len(drafted.Request.Recipe.Ingredients) != len(sent.Recipe.Ingredients) {
			t.Errorf("%s: %d ingredients came back, want %d", file, len(drafted.Request.Recipe.Ingredients), len(sent.Recipe.Ingredients))
		}
		if got.Disposition != want.Disposition {
			t.Errorf("%s: %s, want %s", file, got.Disposition, want.Disposition)
			for _, f := range aboveInfo(got) {
				t.Logf("   %s %s %s: %s", f.Rule, f.Outcome, f.At, f.Message)
			}
		}
	}
	if all < 90 {
		t.Errorf("only %d cards", all)
	}
}
