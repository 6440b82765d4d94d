package validate

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"jarwright/validate/report"
)

// top is the top folder of the repository, seen from here.
const top = ".."

// readFile reads a file below the top folder.
func readFile(t testing.TB, parts ...string) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(append([]string{top}, parts...)...))
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// fileNames lists the files of a folder that end in one way, in alphabetical order.
func fileNames(t testing.TB, suffix string, parts ...string) []string {
	t.Helper()
	entries, err := os.ReadDir(filepath.Join(append([]string{top}, parts...)...))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, entry := range entries {
		if strings.HasSuffix(entry.Name(), suffix) {
			names = append(names, entry.Name())
		}
	}
	return names
}

// checkBytes sends the bytes of a document the whole way.
func checkBytes(t testing.TB, body []byte) report.Report {
	t.Helper()
	r, problem := checker.Check(nil, body, report.Options{})
	if problem != nil {
		t.Fatalf("refused: %+v\n%s", problem, body)
	}
	return r
}

// exampleRow is a row of the table in examples/README.md: file and expected disposition.
var exampleRow = regexp.MustCompile(`(?m)^\| \[([a-z-]+\.json)\]\(([a-z-]+\.json)\) \| .*\. \| ([a-z]+) \|$`)

// TestExamples holds every example to the answer that the page promises its readers. The answers were set by hand, by
// reading each example beside the tested recipe it is near to, before it was run.
func TestExamples(t *testing.T) {
	var listed []string
	for _, row := range exampleRow.FindAllStringSubmatch(string(readFile(t, "examples", "README.md")), -1) {
		file, link, want := row[1], row[2], report.Disposition(row[3])
		if file != link {
			t.Errorf("%s links to %s", file, link)
		}
		listed = append(listed, file)
		r := checkBytes(t, readFile(t, "examples", file))
		if r.Disposition != want {
			t.Errorf("%s: %s, want %s: %+v", file, r.Disposition, want, aboveInfo(r))
		}
		if want == report.Shelf && len(aboveInfo(r)) > 0 {
			t.Errorf("%s: fit for the shelf and still %+v", file, aboveInfo(r))
		}
	}
	slices.Sort(listed)
	if files := fileNames(t, ".json", "examples"); !slices.Equal(listed, files) {
		t.Errorf("the page lists %v, the folder holds %v", listed, files)
	}
}

// TestExamplesShowWhatTheySay names, for each example, the rules that have to speak. Outside truth for the figures: the
// tested recipes of package published and the pages of the guide that they name.
func TestExamplesShowWhatTheySay(t *testing.T) {
	for file, want := range map[string][]string{
		"dill-cucumbers.json":                  nil,
		"dill-cucumbers-in-the-mountains.json": {"process.altitude-time fail"},
		"kohlrabi-sticks.json":                 {"process.published-match fail"},
		"refrigerator-radishes.json":           nil,
		"carrot-rounds-in-cold-jars.json":      nil,
		"corn-relish-changed.json":             nil,
		"bell-peppers-open-questions.json":     {"acid.vinegar-origin undetermined", "acid.vinegar-strength undetermined", "process.elevation-known undetermined"},
		"salsa-too-many-peppers.json":          {"acid.juice-bottled fail", "acid.published-ratio fail"},
		"sauerkraut-low-salt.json":             {"ingredient.salt-in-ferment fail"},
		"beets-metric.json":                    nil,
		"canning-day.json":                     nil,
		"canning-day-one-unsealed.json":        {"batch.seal fail"},
		"squash-slices-in-steam.json":          nil,
		"eggs-on-the-shelf.json": {
			"acid.published-ratio fail", "ingredient.egg fail", "ingredient.fat fail", "ingredient.garlic-in-oil fail",
			"keeping.refrigerated-only fail", "process.method fail", "process.published-match fail",
		},
	} {
		var got []string
		for _, f := range aboveInfo(checkBytes(t, readFile(t, "examples", file))) {
			got = append(got, f.Rule+" "+string(f.Outcome))
		}
		slices.Sort(got)
		if got = slices.Compact(got); !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", file, got, want)
		}
	}
}
