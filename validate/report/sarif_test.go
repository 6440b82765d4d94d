package report_test

import (
	"bytes"
	"encoding/json"
	"os"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v5"

	"jarwright/validate/report"
)

// sarifSchema is the schema as OASIS published it (sarif-schema-2.1.0.json, errata 01).
func sarifSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	text, err := os.ReadFile("../../testdata/sarif/sarif-schema-2.1.0.json")
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	compiler.AssertFormat = true
	if err := compiler.AddResource("sarif.json", bytes.NewReader(text)); err != nil {
		t.Fatal(err)
	}
	schema, err := compiler.Compile("sarif.json")
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

func TestSARIFHoldsThePublishedSchema(t *testing.T) {
	schema := sarifSchema(t)
	findings := []report.Finding{
		{
			Rule: "a.failed", Severity: report.Error, Outcome: report.Fail, Hazard: report.Botulism, At: "/recipe/jar", Message: "Wrong.", Remedy: "Mend it.",
			Fix: []report.Operation{{Op: "replace", Path: "/recipe/jar", Value: "pint"}},
		},
		{Rule: "a.open", Severity: report.Warning, Outcome: report.Undetermined, Hazard: report.Quality, At: "", Message: "Unknown.", Remedy: "Say it."},
		{Rule: "a.failed", Severity: report.Error, Outcome: report.Fail, Hazard: report.Botulism, At: "/recipe/jars", Message: "Wrong again.", Remedy: "Mend it."},
	}
	for _, judged := range [][]report.Judged{
		nil,
		{{Report: &report.Report{}}},
		{
			{URI: "recipes/a%20b.json", Report: &report.Report{Findings: findings, Meta: report.Meta{Ruleset: "2026.1"}}},
			{URI: "b.json", Report: &report.Report{Findings: findings[:1]}},
		},
	} {
		var out bytes.Buffer
		if err := report.SARIF(&out, judged); err != nil {
			t.Fatal(err)
		}
		var value any
		if err := json.Unmarshal(out.Bytes(), &value); err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(value); err != nil {
			t.Errorf("%v\n%s", err, &out)
		}
	}
}

// SARIF 2.1.0, 3.27.9 and 3.27.10: a result of another kind than "fail" has the level "none".
func TestSARIFKindsAndLevels(t *testing.T) {
	var out bytes.Buffer
	err := report.SARIF(&out, []report.Judged{{Report: &report.Report{Findings: []report.Finding{
		{Rule: "a", Severity: report.Error, Outcome: report.Fail},
		{Rule: "b", Severity: report.Error, Outcome: report.Undetermined},
		{Rule: "c", Severity: report.Info, Outcome: report.Fail},
	}}}})
	if err != nil {
		t.Fatal(err)
	}
	var log struct {
		Runs []struct {
			Results []struct{ Kind, Level string }
		}
	}
	if err := json.Unmarshal(out.Bytes(), &log); err != nil {
		t.Fatal(err)
	}
	want := []struct{ Kind, Level string }{{"fail", "error"}, {"open", "none"}, {"fail", "note"}}
	for i, result := range log.Runs[0].Results {
		if result != want[i] {
			t.Errorf("result %d: %+v, want %+v", i, result, want[i])
		}
	}
	if schema := sarifSchema(t); schema.Validate(map[string]any{"version": "2.0.0", "runs": []any{}}) == nil {
		t.Error("the schema holds nothing back")
	}
}
