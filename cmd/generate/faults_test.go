package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// fault is one slip in what a verdict hangs on.
type fault struct {
	name     string
	file     string
	old, new string
	noticed  []string // commands of which each must fail; none of them reads the lock or the hashes of tables
	says     string   // what the commands print; empty: that a test failed
}

// failedTest is how go test says that a test did not pass.
const failedTest = "--- FAIL: Test"

// faults are slips in tolerances, weights of likeness and ids of changes. A tolerance that several packages compare with is
// noticed in each of them; an id that does not exist keeps the program from starting.
var faults = []fault{
	{"depth of water ten times as rough", "tolerances.csv", "\ndepth,0.02,", "\ndepth,0.2,", []string{
		"go test ./validate/rules -run TestWaterCover", "go test ./validate/canningday -run TestWaterCover",
	}, ""},
	{"capacity ten times as rough", "tolerances.csv", "\ncapacity,0.005,", "\ncapacity,0.05,", []string{
		"go test ./validate/match -run TestPacks",
	}, ""},
	{"fixes offered from a likeness of nearly 0", "likeness.csv", "\nclear,0.75,", "\nclear,0.000001,", []string{
		"go test ./validate/match -run TestFixesNeedLikeness",
	}, ""},
	{"fixes offered from a likeness of 0", "likeness.csv", "\nclear,0.75,", "\nclear,0,", []string{startProgram}, "not positive"},
	{"fruit short by three times", "tolerances.csv", "\nshort-fruit,1.5,", "\nshort-fruit,3,", []string{"go test ./validate/match -run TestShortFruit"}, ""},
	{"a change of a substitution", "substitutions.csv", ",safe,c034,", ",safe,c934,", []string{startProgram}, `unknown change "c934"`},
	{"a change of a condition", "conditions.csv", ",unsafe,c044,", ",unsafe,c944,", []string{startProgram}, `unknown change "c944"`},
	{
		"the change that leeway speaks of", "changes.csv", ",decrease,acid,", ",decrease,sourness,",
		[]string{startProgram},
		`unknown thing "sourness"`,
	},
	{
		"the recipes of a change that cards tell", "changes.csv", ",kind:fermented,", ",kind:sour,",
		[]string{startProgram},
		`no tested recipe is of "kind:sour"`,
	},
	{
		"the topic of leeway", "../catalog/changes.go", `"decrease acid"`, `"decrease sourness"`,
		[]string{startProgram},
		`no change is on the topic "decrease sourness"`,
	},
}

// startProgram starts the program, which reads every table.
const startProgram = "go run ./cmd/jarwright rules"

func TestFaultsOnACopyAreNoticed(t *testing.T) {
	if !*full {
		t.Skip("compiles a copy a dozen times; go test ./cmd/generate -run Faults -args -full runs it, as .ci/run does")
	}
	top := t.TempDir()
	copyTree(t, "../..", top)
	for _, f := range faults {
		t.Run(f.name, func(t *testing.T) {
			file := filepath.Join(top, tablesFolder, f.file)
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.Contains(string(text), f.old) {
				t.Fatalf("%s has no %q", f.file, f.old)
			}
			defer write(t, file, text)
			write(t, file, []byte(strings.Replace(string(text), f.old, f.new, 1)))
			ctx, cancel := context.WithTimeout(t.Context(), guideTimeout)
			defer cancel()
			for _, command := range f.noticed {
				out, err := shell(ctx, top, command)
				says := f.says
				if says == "" {
					says = failedTest
				}
				if err == nil || !strings.Contains(out, says) {
					t.Errorf("%s: %v, want %q:\n%s", command, err, says, out)
				}
			}
		})
	}
}
