package validate

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"jarwright/validate/report"
)

// jarCase is one worked request of the jar that results.
type jarCase struct {
	Description string             `json:"description"`
	Base        string             `json:"base"`
	Patch       json.RawMessage    `json:"patch"`
	Disposition report.Disposition `json:"disposition"`
	Finding     string             `json:"finding"`  // the rule that must speak
	Severity    report.Severity    `json:"severity"` // of its finding
	Safe        string             `json:"safe"`     // in a departure that is safe
	Says        string             `json:"says"`     // in the message or the remedy
	Absent      []string           `json:"absent"`   // rules that must not speak
}

// The worked requests, each with the verdict of the rule. Outside truth: verdicts and figures reckoned by another program from the
// printed recipes (the reference folder, "The jar that results", section 8).
func TestWorkedJars(t *testing.T) {
	names, err := filepath.Glob("../testdata/jar/*.json")
	if err != nil || len(names) < 21 {
		t.Fatalf("%d cases, %v", len(names), err)
	}
	for _, name := range names {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".json"), func(t *testing.T) {
			var c jarCase
			decode(t, name, &c)
			base, err := os.ReadFile("../" + c.Base)
			if err != nil {
				t.Fatal(err)
			}
			r, problem := checker.Check(nil, patched(t, base, c.Patch), report.Options{})
			if problem != nil {
				t.Fatalf("refused: %+v", problem)
			}
			if r.Disposition != c.Disposition {
				t.Errorf("%s, want %s: %v (compared with %s)", r.Disposition, c.Disposition, spoken(r), r.Process.Recipe)
			}
			c.heldTo(t, &r)
		})
	}
}

func (c *jarCase) heldTo(t *testing.T, r *report.Report) {
	t.Helper()
	said := c.Finding == ""
	for _, f := range r.Findings {
		if f.Rule == c.Finding && f.Severity == c.Severity && strings.Contains(f.Message+" "+f.Remedy, c.Says) {
			said = true
		}
		if slices.Contains(c.Absent, f.Rule) {
			t.Errorf("%s speaks: %s", f.Rule, f.Message)
		}
	}
	if !said {
		t.Errorf("no %s of %s that says %q in %+v", c.Finding, c.Severity, c.Says, aboveInfo(*r))
	}
	safe := func(d report.Departure) bool { return d.Judged == "safe" && strings.Contains(d.What, c.Safe) }
	if c.Safe != "" && !slices.ContainsFunc(r.Process.Departures, safe) {
		t.Errorf("no safe departure says %q: %+v", c.Safe, r.Process.Departures)
	}
}

func decode(t *testing.T, name string, into any) {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}
