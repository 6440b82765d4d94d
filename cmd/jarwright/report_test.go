package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"jarwright/validate/budget"
	"jarwright/validate/draft"
	"jarwright/validate/ingest"
	"jarwright/validate/report"

	"github.com/santhosh-tekuri/jsonschema/v5"
)

// archive makes a folder with a document of every kind, a folder in it, and a file that is none.
func archive(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	example := func(name string) []byte {
		text, err := os.ReadFile(filepath.Join("../../examples", name))
		if err != nil {
			t.Fatal(err)
		}
		return text
	}
	compact := func(text []byte) []byte {
		var out bytes.Buffer
		if err := json.Compact(&out, text); err != nil {
			t.Fatal(err)
		}
		return append(out.Bytes(), '\n')
	}
	published := example("mustard-seed-carrots.jsonld")
	lines := append(compact(example("dill-cucumbers.json")), compact(published)...)
	lines = append(lines, "\n{\n"...)
	for name, text := range map[string][]byte{
		"a-good.json":             example("dill-cucumbers.json"),
		"b-high.json":             example("dill-cucumbers-in-the-mountains.json"),
		"c-published.json":        published,
		"d-published.jsonld":      published,
		"e-page.html":             []byte(`<html><script type="application/ld+json">` + string(published) + `</script></html>`),
		"below/f-lines.ndjson":    lines,
		"below/notes.txt":         []byte("no recipe"),
		"below/" + long + ".json": example("refrigerator-radishes.json"),
	} {
		file := filepath.Join(folder, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

// long is a name that does not fit into a row.
var long = strings.Repeat("radish-", 15)

func TestReportOnAFolder(t *testing.T) {
	folder := archive(t)
	code, stdout, stderr := run(t, "report", folder)
	if code != exitUnreadable { // one line is broken
		t.Errorf("exit code %d", code)
	}
	for _, want := range []string{
		"       3  fit for the shelf\n", "       5  on hold\n", "       1  not readable\n", "       9  in all\n",
		"What keeps them back, by documents:\n       4  process.elevation-known\n       1  process.altitude-time\n",
	} {
		if want == "       3  fit for the shelf\n" {
			want = "       2  fit for the shelf\n" + "       1  for the refrigerator\n"
		}
		if !strings.Contains(stdout, want) {
			t.Errorf("the table lacks %q:\n%s", want, stdout)
		}
	}
	for line := range strings.Lines(stdout) {
		if utf8.RuneCountInString(strings.TrimSuffix(line, "\n")) > columns {
			t.Errorf("wider than %d columns: %q", columns, line)
		}
	}
	if strings.ContainsRune(stdout+stderr, '\x1b') || strings.Contains(stdout+stderr, "\r") {
		t.Errorf("color or a progress bar where nobody watches: %q %q", stdout, stderr)
	}
	if !strings.Contains(stderr, "f-lines.ndjson:4: The body could not be read as JSON.") {
		t.Errorf("standard error: %q", stderr)
	}
}

func TestColorOnlyWhereItIsWanted(t *testing.T) {
	if colorful(&bytes.Buffer{}) || isTerminal(os.Stdin) && os.Getenv("NO_COLOR") != "" && colorful(os.Stdin) {
		t.Error("color without a terminal")
	}
	o := outcome{name: "a\x1b[31m.json", disposition: "shelf", fit: true}
	plain, painted := o.row(false), o.row(true)
	if strings.ContainsRune(plain, '\x1b') || !strings.HasPrefix(painted, "\x1b[32mshelf      \x1b[0m a\ufffd[31m.json") {
		t.Errorf("plain %q, painted %q", plain, painted)
	}
	counted := newTally()
	counted.add(o, nil)
	plain, painted = counted.text(false), counted.text(true)
	if strings.ContainsRune(plain, '\x1b') || !strings.Contains(painted, "\x1b[32mfit for the shelf\x1b[0m") {
		t.Errorf("plain %q, painted %q", plain, painted)
	}
}

func TestFailOn(t *testing.T) {
	folder := archive(t)
	for _, test := range []struct {
		file, failOn string
		want         int
	}{
		{"a-good.json", "", exitGood},
		{"a-good.json", "warning", exitGood},
		{"b-high.json", "", exitNotFit},
		{"b-high.json", "error", exitNotFit},
		{"c-published.json", "error", exitNotFit}, // the elevation is not known
		{"below/notes.txt", "error", exitUnreadable},
	} {
		args := []string{"report", filepath.Join(folder, test.file)}
		if test.failOn != "" {
			args = append(args, "--fail-on", test.failOn)
		}
		if code, _, stderr := run(t, args...); code != test.want {
			t.Errorf("%v: exit code %d, want %d: %s", args, code, test.want, stderr)
		}
	}
}

func TestReportAsNDJSON(t *testing.T) {
	folder := archive(t)
	_, stdout, _ := run(t, "report", "--format", "ndjson", filepath.Join(folder, "*.json"), filepath.Join(folder, "below", "*.ndjson"),
		filepath.Join(folder, "a-good.json"))
	lines := strings.Split(strings.TrimSpace(stdout), "\n")
	if len(lines) != 3+3+1 {
		t.Fatalf("%d lines", len(lines))
	}
	for i, line := range lines[:6] {
		var each fileLine
		if err := json.Unmarshal([]byte(line), &each); err != nil || each.File == "" || (each.Report == nil) != (each.Problem != nil) || i >= 3 && each.Line == 0 {
			t.Errorf("line %d: %v %.100s", i, err, line)
		}
	}
	if lines[6] != `{"summary":{"complete":true,"documents":6,"failed":1,"ok":5}}` {
		t.Errorf("summary %s", lines[6])
	}
}

// The schema is the one that OASIS published.
func TestReportAsSARIF(t *testing.T) {
	folder := archive(t)
	schema, err := jsonschema.Compile("../../testdata/sarif/sarif-schema-2.1.0.json")
	if err != nil {
		t.Fatal(err)
	}
	_, stdout, _ := run(t, "report", "--format", "sarif", folder)
	var log any
	if err := json.Unmarshal([]byte(stdout), &log); err != nil {
		t.Fatal(err)
	}
	if err := schema.Validate(log); err != nil {
		t.Error(err)
	}
	for _, want := range []string{`"ruleId":"process.altitude-time"`, `b-high.json"`, `"fullyQualifiedName":"/recipe/process/time"`} {
		if !strings.Contains(stdout, want) {
			t.Errorf("the log lacks %s", want)
		}
	}
}

func TestReportAsMarkdownAndFull(t *testing.T) {
	folder := archive(t)
	_, stdout, _ := run(t, "report", "--format", "markdown", folder)
	if !strings.Contains(stdout, "| b-high.json") && !strings.Contains(stdout, "b-high.json | hold | process.altitude-time") || !strings.Contains(stdout,
		"| 9 | in all |") {
		t.Errorf("%s", stdout)
	}
	_, stdout, _ = run(t, "report", "--full", filepath.Join(folder, "a-good.json"), filepath.Join(folder, "b-high.json"))
	if !strings.Contains(stdout, "a-good.json:\n\n") || !strings.Contains(stdout, "Not for the shelf as written") || !strings.Contains(stdout,
		"       2  in all\n") {
		t.Errorf("%s", stdout)
	}
}

// Standard input may hold any kind of document; which one shows in its first bytes.
func TestReportOnStandardInput(t *testing.T) {
	folder := archive(t)
	for file, want := range map[string]string{
		"a-good.json": "Fit for the shelf", "d-published.jsonld": "elevation", "e-page.html": "elevation", "below/f-lines.ndjson": "       3  in all\n",
	} {
		text, err := os.ReadFile(filepath.Join(folder, filepath.FromSlash(file)))
		if err != nil {
			t.Fatal(err)
		}
		var stdout, stderr bytes.Buffer
		execute(t.Context(), []string{"report", "-"}, bytes.NewReader(text), &stdout, &stderr)
		if !strings.Contains(stdout.String(), want) {
			t.Errorf("%s: %s %s", file, &stdout, &stderr)
		}
	}
}

// What has no document must not pass for an archive in which all is well.
func TestNothingToReportOnIsAMistake(t *testing.T) {
	good, err := os.ReadFile("../../examples/dill-cucumbers.json")
	if err != nil {
		t.Fatal(err)
	}
	const blank = "there is no document in it, nothing but blank lines"
	for _, test := range []struct {
		name  string
		files map[string]string
		want  string // on standard error
		rows  string // of the table
	}{
		{"empty folder", nil, "no file below it ends in .json", ""},
		{"no document among the files", map[string]string{"a.txt": "x", "b/c.md": "y"}, "no file below it ends in .json", ""},
		{"empty archive", map[string]string{"a.ndjson": ""}, blank, ""},
		{"archive of blank lines", map[string]string{"a.ndjson": strings.Repeat(" \t\r\n", 100)}, blank, ""},
		{"blank document", map[string]string{"a.json": "\n \n"}, blank, ""},
		{"empty page", map[string]string{"a.html": ""}, blank, ""},
		{"page without a recipe", map[string]string{"a.html": "<p>Hello</p>"}, "The page has no JSON-LD block", ""},
		{
			"blank archive beside a good one",
			map[string]string{"a.json": string(good), "b.ndjson": "\n\n", "c.json": string(good)},
			blank,
			"       2  fit for the shelf\n       1  not readable\n       3  in all\n",
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			folder := t.TempDir()
			for name, text := range test.files {
				file := filepath.Join(folder, filepath.FromSlash(name))
				if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
					t.Fatal(err)
				}
			}
			for _, format := range formatNames() {
				code, stdout, stderr := run(t, "report", "--format", format, folder)
				if code != exitUnreadable || !strings.Contains(stderr, test.want) {
					t.Errorf("%s: exit code %d: %s", format, code, stderr)
				}
				if format == "text" && !strings.Contains(stdout, test.rows) {
					t.Errorf("the table is %q", stdout)
				}
				if format == "ndjson" && !strings.Contains(stdout, `"complete":true`) {
					t.Errorf("%s", stdout)
				}
			}
		})
	}
	t.Run("blank standard input", func(t *testing.T) {
		for _, command := range [][]string{{"report", "-"}, {"explain", "-", "--rule", "acid.vinegar-strength"}} {
			var stdout, stderr bytes.Buffer
			code := execute(t.Context(), command, strings.NewReader(" \n\n"), &stdout, &stderr)
			if code != exitUnreadable || stderr.String() != "jarwright: read standard input: "+blank+"\n" {
				t.Errorf("%v: exit code %d: %q", command, code, &stderr)
			}
		}
	})
}

// One thing that is not there does not keep the others from being judged.
func TestWhatIsNotThereKeepsNothingBack(t *testing.T) {
	good := filepath.Join("..", "..", "examples", "dill-cucumbers.json")
	code, stdout, stderr := run(t, "report", t.TempDir(), "no-such-folder/*.json", "none.json", good, good, "[")
	if code != exitUnreadable || !strings.Contains(stdout, "       1  fit for the shelf\n       4  not readable\n       5  in all\n") {
		t.Errorf("exit code %d: %s", code, stdout)
	}
	for _, want := range []string{"no file below it ends in", "no file matches", "none.json", "syntax error in pattern"} {
		if !strings.Contains(stderr, want) {
			t.Errorf("standard error lacks %q: %s", want, stderr)
		}
	}
}

// A folder is walked while its first files are judged: what comes into a later folder meanwhile is found too, and a walk that is
// given up goes no further.
func TestFoldersAreWalkedWhileJudging(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"a", "b"} {
		if err := os.Mkdir(filepath.Join(folder, name), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	put := func(name string) {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(forShelf), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	put("a/1.json")
	var found []string
	for file, err := range files([]string{folder, filepath.Join(folder, "a")}) {
		if err != nil {
			t.Fatal(err)
		}
		if found = append(found, filepath.Base(file)); len(found) == 1 {
			put("b/2.json")
			put("b/3.json")
		}
		if len(found) == 2 {
			break
		}
	}
	if strings.Join(found, " ") != "1.json 2.json" {
		t.Errorf("found %v", found)
	}
}

// counting is a judge that notes how much had been written when it was asked for each document.
type counting struct {
	stdout  *bytes.Buffer
	written []int
}

func (c *counting) Check(*budget.Budget, []byte, report.Options) (report.Report, *ingest.Problem) {
	c.written = append(c.written, c.stdout.Len())
	return report.Report{Disposition: report.Shelf}, nil
}

func (c *counting) Draft(*budget.Budget, []byte, bool, bool) (draft.Draft, *ingest.Problem) {
	return draft.Draft{}, nil
}

// The first answers go out before the third document is looked at, in every form that has rows or lines.
func TestAnswersGoOutAtOnce(t *testing.T) {
	folder := many(t, 50)
	for _, format := range []string{"text", "markdown", "json", "ndjson"} {
		t.Run(format, func(t *testing.T) {
			var stdout, stderr bytes.Buffer
			judge := &counting{stdout: &stdout}
			if err := reportOn(t.Context(), loaded(judge), []string{folder}, reportSettings{format: format}, nil, &stdout, &stderr); err != nil {
				t.Fatal(err)
			}
			if len(judge.written) != 50 || judge.written[2] == 0 || judge.written[49] <= judge.written[2] {
				t.Errorf("written before each document: %v", judge.written)
			}
		})
	}
}
