package validate

import (
	"encoding/csv"
	"strings"
	"testing"

	"jarwright/validate/report"
)

// judgedWrongly is a row of testdata/cases/index.csv: a document that an early version called fit.
type judgedWrongly struct {
	file, expected, jar, kind, wrong, mustName string
}

func wronglyJudged(t *testing.T) []judgedWrongly {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(string(readFile(t, "testdata", "cases", "index.csv")))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	all := make([]judgedWrongly, 0, len(rows)-1)
	for _, row := range rows[1:] {
		all = append(all, judgedWrongly{row[0], row[1], row[2], row[3], row[4], row[5]})
	}
	return all
}

// namedIn is what the report of a case has to say: the rule of a finding that is more than an info, failed or undetermined, and a
// word of its message. The words follow the column what_the_answer_must_name.
var namedIn = map[string]struct{ rule, word string }{
	"drained-beans.json":         {"", "black bean"},
	"drained-starch.json":        {"", "cornstarch"},
	"fresh-cayenne.json":         {"", "cayenne"},
	"dried-onion-in-bulk.json":   {"", "onion"},
	"tea-for-water.json":         {"", "tea"},
	"syrup-in-bulk.json":         {"", "syrup"},
	"follows-in-water.json":      {"", "water"},
	"never-fermented.json":       {"", "ferment"},
	"four-percent-in-words.json": {"", "4"},
	"juice-from-lemons.json":     {"", "lemon"},
	"dried-mushrooms.json":       {"", "dried"},
	"juice-thrown-away.json":     {"", "juice"},
	"two-inches-thick.json":      {"", "2 in"},
	"overripe-mango.json":        {"", "ripe"},
	"boil-at-150.json":           {"", "150"},
	"cold-hot-pack.json":         {"", "60"},
	"solids-to-the-rim.json":     {"", "headspace"},
	"five-inch-onions.json":      {"", "onion"},
	"dill-in-bunches.json":       {"", "dill"},
	"boil-lost-no-load.json":     {"batch.time-held", "5 minutes"},
	"second-before-first.json":   {"batch.", "before"},
	"buffers-alike.json":         {"batch.", "buffer"},
}

// TestCasesJudgedWrongly holds each document that was once called fit to the answer of the index, with a finding that names why.
// Source: testdata/cases/index.csv, written by readers outside of the project.
func TestCasesJudgedWrongly(t *testing.T) {
	for _, c := range wronglyJudged(t) {
		if c.kind == "refrigerator" {
			continue // the refrigerator has no ladder of its own yet
		}
		t.Run(strings.TrimSuffix(c.file, ".json"), func(t *testing.T) {
			r, problem := checker.Check(nil, readFile(t, "testdata", "cases", c.file), report.Options{})
			if problem != nil {
				t.Fatalf("refused: %+v", problem)
			}
			c.disposed(t, &r)
			want, ok := namedIn[c.file]
			if !ok {
				t.Fatal("no row of what the answer must name")
			}
			for _, f := range r.Findings {
				if f.Severity != report.Info && f.Outcome != report.Pass && strings.HasPrefix(f.Rule, want.rule) &&
					strings.Contains(strings.ToLower(f.Message), want.word) {
					return
				}
			}
			t.Errorf("no finding of %s… names %q (%s)", want.rule, want.word, c.mustName)
			for _, f := range aboveInfo(r) {
				t.Logf("   %s %s %s: %s", f.Rule, f.Outcome, f.At, f.Message)
			}
		})
	}
}

// disposed compares the dispositions of the whole and of its jar.
func (c judgedWrongly) disposed(t *testing.T, r *report.Report) {
	t.Helper()
	if c.kind == "recipe" {
		if string(r.Disposition) != c.expected {
			t.Errorf("the recipe is %s, want %s", r.Disposition, c.expected)
		}
		return
	}
	if r.Batch == nil || len(r.Jars) == 0 {
		t.Fatal("no jars in the report")
	}
	for _, jar := range r.Jars {
		switch got := string(jar.Disposition); {
		case strings.HasPrefix(c.jar, "not shelf"):
			if got == string(report.Shelf) {
				t.Errorf("jar %s is %s, want %s", jar.ID, got, c.jar)
			}
		case got != c.jar:
			t.Errorf("jar %s is %s, want %s", jar.ID, got, c.jar)
		}
	}
}
