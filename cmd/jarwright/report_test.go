package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

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
	if plain, painted := o.row(false), o.row(true); strings.ContainsRune(plain, '\x1b') || !strings.HasPrefix(painted, "\x1b[32mshelf      \x1b[0m a\ufffd[31m.json") {
		t.Errorf("plain %q, painted %q", plain, painted)
	}
	counted := newTally()
	counted.add(o, nil)
	if plain, painted := counted.text(false), counted.text(true); strings.ContainsRune(plain, '\x1b') || !strings.Contains(painted, "\x1b[32mfit for the shelf\x1b[0m") {
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

func TestEmptyFolderIsAMistake(t *testing.T) {
	if code, _, stderr := run(t, "report", t.TempDir()); code != exitUnreadable || !strings.Contains(stderr, "no file below it ends in") {
		t.Errorf("exit code %d: %s", code, stderr)
	}
}
