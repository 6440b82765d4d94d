package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"jarwright/validate/explanation"
	"jarwright/validate/report"
)

const inTheMountains = "../../examples/dill-cucumbers-in-the-mountains.json"

func TestExplainAsText(t *testing.T) {
	code, stdout, stderr := run(t, "explain", inTheMountains, "--rule", "process.altitude-time")
	if code != exitGood || stderr != "" {
		t.Errorf("exit code %d, standard error %q", code, stderr)
	}
	for _, want := range []string{
		"(process.altitude-time)\n", "Not met.", "Found: 10 min. Limit: 15 min.", "Kitchen, elevation (5500 ft). Without it: met.",
		"up to 6,000 ft 15 min (this", "usda-2015: Complete Guide to Home Canning",
	} {
		if !strings.Contains(stdout, want) {
			t.Errorf("the text lacks %q:\n%s", want, stdout)
		}
	}
}

func TestExplainAsJSON(t *testing.T) {
	code, stdout, _ := run(t, "explain", inTheMountains, "--rule", "process.altitude-time", "--format", "json")
	var e explanation.Explanation
	if err := json.Unmarshal([]byte(stdout), &e); err != nil || code != exitGood {
		t.Fatalf("exit code %d: %v", code, err)
	}
	if e.Outcome != report.Fail || len(e.Findings) != 1 || e.Tested == nil || len(e.LookedAt.Members) == 0 {
		t.Errorf("%+v", e)
	}
	for _, want := range []string{`"looked_at"`, `"compared_with"`, `"tested_recipe"`, `"written"`, `"ruleset"`} {
		if !strings.Contains(stdout, want) {
			t.Errorf("the JSON lacks %s", want)
		}
	}
}

// Standard input may hold a request or a published recipe, as for the report command.
func TestExplainStandardInput(t *testing.T) {
	for _, file := range []string{"dill-cucumbers.json", "mustard-seed-carrots.jsonld"} {
		text, err := os.ReadFile(filepath.Join("../../examples", file))
		if err != nil {
			t.Fatal(err)
		}
		var stdout, stderr bytes.Buffer
		code := execute(t.Context(), []string{"explain", "-", "--rule", "acid.vinegar-strength"}, bytes.NewReader(text), &stdout, &stderr)
		if code != exitGood || !strings.Contains(stdout.String(), "Least acetic acid in vinegar for pickling") {
			t.Errorf("%s: exit code %d: %s%s", file, code, &stdout, &stderr)
		}
	}
}

func TestExplainMistakes(t *testing.T) {
	two := written(t, "two.ndjson", forShelf+"\n"+forFridge+"\n")
	broken := written(t, "broken.json", `{"recipe":{}}`)
	for _, test := range []struct {
		name string
		args []string
		want string // on standard error
	}{
		{"a misspelled rule", []string{inTheMountains, "--rule", "process.altitude-tiem"}, "the nearest is process.altitude-time"},
		{"a rule that is like none", []string{inTheMountains, "--rule", "x"}, "jarwright rules lists them"},
		{"no rule", []string{inTheMountains}, "rule"},
		{"another format", []string{inTheMountains, "--rule", "acid.no-acid", "--format", "xml"}, "neither text nor json"},
		{"no file", []string{"--rule", "acid.no-acid"}, "accepts 1 arg"},
		{"a file that is not there", []string{"nowhere.json", "--rule", "acid.no-acid"}, "nowhere.json"},
		{"a broken document", []string{broken, "--rule", "acid.no-acid"}, "broken.json: The document is not a valid request."},
		{"several documents", []string{two, "--rule", "acid.no-acid"}, "it holds 2 documents"},
		{"a page without a recipe", []string{written(t, "page.html", "<html></html>"), "--rule", "acid.no-acid"}, "page.html"},
	} {
		t.Run(test.name, func(t *testing.T) {
			code, stdout, stderr := run(t, append([]string{"explain"}, test.args...)...)
			if code != exitUnreadable || stdout != "" || !strings.Contains(stderr, test.want) {
				t.Errorf("exit code %d, standard output %q, standard error %q", code, stdout, stderr)
			}
		})
	}
}
