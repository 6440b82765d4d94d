package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// quadratic is a loop that looks at a text again for each place in it, put back where the program goes through a text once.
type quadratic struct {
	name  string
	file  string
	after string // the line that it is put after
	loop  string
	gate  string // the part of the gate that has to fail
	says  string // what it has to say
}

var quadratics = []quadratic{
	{
		"a line of a draft looked at again for each place in it", "validate/draft/line.go", "func (w *writer) line(at, raw string) {",
		`	for i := 0; i < len(raw); i += 16 {
		for j := i; j < len(raw); j++ {
			if raw[j] == 0xff { // which no text has
				panic("not UTF-8")
			}
		}
	}`,
		"TestCostGate$/^draft$", "of CPU, want at most",
	},
	{
		"a web page looked at again for each place in it", "validate/draft/page.go", "func jsonBlocks(page []byte) [][]byte {",
		`	for i := 0; i < len(page); i += 16 {
		for j := i; j < len(page); j++ {
			if page[j] == 0xff { // which no text has
				panic("not UTF-8")
			}
		}
	}`,
		"TestCostGate$/^draft_of_a_page$", "of CPU, want at most",
	},
}

// The cost gate notices a loop of the square of a text's length.
func TestQuadraticLoopsOnACopyAreNoticed(t *testing.T) {
	if !*full {
		t.Skip("compiles a copy for each loop; go test ./cmd/generate -run Quadratic -args -full runs it, as .ci/run does")
	}
	top := t.TempDir()
	copyTree(t, "../..", top)
	for _, q := range quadratics {
		t.Run(q.name, func(t *testing.T) {
			file := filepath.Join(top, q.file)
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if strings.Count(string(text), q.after+"\n") != 1 {
				t.Fatalf("%s has no line %q", q.file, q.after)
			}
			defer write(t, file, text)
			write(t, file, []byte(strings.Replace(string(text), q.after+"\n", q.after+"\n"+q.loop+"\n", 1)))
			ctx, cancel := context.WithTimeout(t.Context(), guideTimeout)
			defer cancel()
			out, err := shell(ctx, top, "go test ./cmd/jarwright -run '"+q.gate+"'")
			if err == nil || !strings.Contains(out, failedTest+"CostGate") || !strings.Contains(out, q.says) {
				t.Errorf("%v, want the gate to fail with %q:\n%.3000s", err, q.says, out)
			}
		})
	}
}
