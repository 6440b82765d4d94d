package validate

import (
	"bytes"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"jarwright/validate/report"
)

var update = flag.Bool("update", false, "write the golden files of rendered reports anew")

// TestRenderedReports holds the words that a cook reads to the files in report/testdata. The counts of findings are
// written by hand, from reading the examples: a report with other findings is never taken over by -update.
func TestRenderedReports(t *testing.T) {
	for _, golden := range []struct {
		example  string
		want     report.Disposition
		findings int
	}{
		{"dill-cucumbers", report.Shelf, 1},
		{"bell-peppers-open-questions", report.Hold, 4},
		{"salsa-too-many-peppers", report.Hold, 3},
		{"refrigerator-radishes", report.Refrigerate, 1},
		{"canning-day-one-unsealed", report.Reprocess, 2},
	} {
		r := checkBytes(t, readFile(t, "examples", golden.example+".json"))
		if r.Disposition != golden.want || len(r.Findings) != golden.findings {
			t.Errorf("%s: %s with %d findings, want %s with %d", golden.example, r.Disposition, len(r.Findings), golden.want, golden.findings)
			continue
		}
		for _, form := range []struct {
			suffix string
			render func(io.Writer, report.Report) error
		}{{".txt", report.Text}, {".md", report.Markdown}} {
			var rendered bytes.Buffer
			if err := form.render(&rendered, r); err != nil {
				t.Fatal(err)
			}
			file := filepath.Join("report", "testdata", golden.example+form.suffix)
			if *update {
				if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(file, rendered.Bytes(), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(rendered.Bytes(), want) {
				t.Errorf("%s reads otherwise now; read it, then run go test ./validate -run RenderedReports -update\n%s", file,
					firstDifference(rendered.String(), string(want)))
			}
		}
	}
}

// firstDifference shows the first line in which two texts differ.
func firstDifference(have, want string) string {
	left, right := strings.Split(have, "\n"), strings.Split(want, "\n")
	for i := range min(len(left), len(right)) {
		if left[i] != right[i] {
			return "  now: " + left[i] + "\n  was: " + right[i]
		}
	}
	return "  one ends before the other"
}

// Every golden file belongs to a row of the table above, or nobody reads it.
func TestRenderedReportsAreAllRead(t *testing.T) {
	if files := fileNames(t, "", "validate", "report", "testdata"); len(files) != 10 {
		t.Errorf("%d files: %v", len(files), files)
	}
}
