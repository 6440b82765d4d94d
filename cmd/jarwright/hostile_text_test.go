package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"jarwright/validate"
	"jarwright/validate/plaintext/plaintexttest"
)

// leaves gives a document once for each of its texts, with that text replaced by another, and the names of its members once for
// each object, with one added. A document that is no request any more is as good: then its mistakes are shown.
func leaves(t *testing.T, body []byte, replacement string) map[string][]byte {
	t.Helper()
	var root any
	if err := json.Unmarshal(body, &root); err != nil {
		t.Fatal(err)
	}
	all := map[string][]byte{}
	keep := func(at string) {
		changed, err := json.Marshal(root)
		if err != nil {
			t.Fatal(err)
		}
		all[at] = changed
	}
	var walk func(at string, value any, put func(any))
	walk = func(at string, value any, put func(any)) {
		switch value := value.(type) {
		case string:
			put(replacement)
			keep(at)
			put(value)
		case []any:
			for i := range value {
				if i < 1 {
					walk(at+"/*", value[i], func(to any) { value[i] = to })
				}
			}
		case map[string]any:
			for name, member := range value {
				walk(at+"/"+name, member, func(to any) { value[name] = to })
			}
			value[replacement] = 1
			keep(at + " member")
			delete(value, replacement)
		}
	}
	walk("", root, func(to any) { root = to })
	return all
}

// onHold are documents that are on hold whatever their texts say, with every text of a request between them.
func onHold(t *testing.T) map[string][]byte {
	t.Helper()
	day, err := os.ReadFile("../../examples/canning-day-one-unsealed.json")
	if err != nil {
		t.Fatal(err)
	}
	plain, err := os.ReadFile("../../examples/salsa-too-many-peppers.json")
	if err != nil {
		t.Fatal(err)
	}
	return map[string][]byte{"day": day, "plain": plain}
}

// A document, whatever it says, never gets a sign through that is not to look at, nor a line that could be ours: not in a report
// of any form, not in the table, not in an explanation, and not in what is said of its mistakes.
func TestNoDocumentForgesALine(t *testing.T) {
	checker, err := validate.New()
	if err != nil {
		t.Fatal(err)
	}
	rule, err := checker.Rule("ingredient.unknown")
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "a.json")
	tried, places := 0, 0
	try := func(t *testing.T, at, how string, write func(stdout, stderr io.Writer) error) (isReadable bool) {
		t.Helper()
		tried++
		var stdout, stderr bytes.Buffer
		var code exitError
		if err := write(&stdout, &stderr); err != nil && !errors.As(err, &code) {
			t.Fatalf("%s, %s: %v", how, at, err)
		}
		looksPlain(t, how+", "+at+": standard output", stdout.String())
		looksPlain(t, how+", "+at+": standard error", stderr.String())
		return code != exitUnreadable
	}
	for name, body := range onHold(t) {
		for _, forgery := range plaintexttest.Forgeries() {
			t.Run(name+", "+forgery.Name, func(t *testing.T) {
				for at, changed := range leaves(t, body, forgery.Text) {
					if name == "plain" && !strings.HasPrefix(at, "/recipe/ingredients") {
						continue // the other has these too
					}
					if places++; !*cost && places%5 != 0 {
						continue // each forgery at every fifth place, at others with the next forgery; with -cost everywhere
					}
					if err := os.WriteFile(file, changed, 0o600); err != nil {
						t.Fatal(err)
					}
					for _, format := range formatNames() {
						if !try(t, at, format, func(stdout, stderr io.Writer) error {
							return reportOn(t.Context(), loaded(checker), []string{file}, reportSettings{format: format}, nil, stdout, stderr)
						}) {
							break // its mistakes are told alike in every form
						}
					}
					try(t, at, "table", func(stdout, stderr io.Writer) error {
						return reportOn(t.Context(), loaded(checker), []string{file, "none"}, reportSettings{format: "text"}, nil, stdout, stderr)
					})
					if strings.HasPrefix(at, "/recipe/ingredients") {
						try(t, at, "explain", func(stdout, stderr io.Writer) error {
							return explainRule(t.Context(), checker, file, rule.ID, "text", nil, stdout, stderr)
						})
					}
				}
			})
		}
	}
	t.Logf("%d answers", tried)
}

func looksPlain(t *testing.T, of, text string) {
	t.Helper()
	if err := errors.Join(plaintexttest.Hostile(text), plaintexttest.Forged(text)); err != nil {
		t.Errorf("%s: %v", of, err)
	}
}

// Names of files come from archives of strangers too.
func TestNoFileNameForgesALine(t *testing.T) {
	checker, err := validate.New()
	if err != nil {
		t.Fatal(err)
	}
	salsa, err := os.ReadFile("../../examples/salsa-too-many-peppers.json")
	if err != nil {
		t.Fatal(err)
	}
	published, err := os.ReadFile("../../examples/mustard-seed-carrots.jsonld")
	if err != nil {
		t.Fatal(err)
	}
	fullness := []bool{true}
	if *cost {
		fullness = []bool{false, true}
	}
	for _, forgery := range append(plaintexttest.Forgeries(), plaintexttest.Forgery{Name: "no UTF-8", Text: "a\xff\xfe\x9b1m"}) {
		t.Run(forgery.Name, func(t *testing.T) {
			name := strings.NewReplacer("/", "∕", "\x00", "").Replace(forgery.Text)
			folder := filepath.Join(t.TempDir(), name)
			if err := os.Mkdir(folder, 0o755); err != nil {
				t.Fatal(err)
			}
			for file, text := range map[string]string{
				".json": string(salsa), ".jsonld": string(published), "x.json": "{", ".ndjson": string(published[:1]) + "\n\n" + name + "\n", ".html": "",
			} {
				if err := os.WriteFile(filepath.Join(folder, name+file), []byte(text), 0o600); err != nil {
					t.Fatal(err)
				}
			}
			one := filepath.Join(folder, name+".jsonld")
			for _, format := range formatNames() {
				for _, arguments := range [][]string{{folder}, {one}, {folder + "none"}, {folder + "*?["}, {one, one + "none"}} {
					for _, full := range fullness {
						if full && format != "text" || len(arguments) > 1 && format == "json" {
							continue
						}
						var stdout, stderr bytes.Buffer
						err := reportOn(t.Context(), loaded(checker), arguments, reportSettings{format: format, full: full}, nil, &stdout, &stderr)
						if err != nil && !errors.As(err, new(exitError)) {
							t.Errorf("%v", err)
						}
						looksPlain(t, format+": standard output", stdout.String())
						looksPlain(t, format+": standard error", stderr.String())
					}
				}
			}
			for _, arguments := range [][]string{{"report", "--format", name, one}, {"explain", one, "--rule", name}, {"explain", one + "none", "--rule", "x"}, {name}} {
				_, stdout, stderr := run(t, arguments...)
				looksPlain(t, fmt.Sprintf("%q", arguments), stdout+stderr)
			}
		})
	}
}

// Words of every script come through.
func TestOrdinaryWordsSurvive(t *testing.T) {
	checker, err := validate.New()
	if err != nil {
		t.Fatal(err)
	}
	for _, ordinary := range plaintexttest.Ordinary() {
		t.Run(ordinary.Name, func(t *testing.T) {
			encoded, err := json.Marshal(ordinary.Text)
			if err != nil {
				t.Fatal(err)
			}
			file := written(t, "a.json", `{"recipe":{"keep":"shelf","ingredients":[{"item":`+string(encoded)+`,"per":"batch"}]}}`)
			for _, format := range []string{"text", "markdown", "json", "sarif"} {
				var stdout, stderr bytes.Buffer
				err := reportOn(t.Context(), loaded(checker), []string{file}, reportSettings{format: format}, nil, &stdout, &stderr)
				shown := strings.ReplaceAll(strings.Join(strings.Fields(stdout.String()), " "), `\u200c`, "\u200c")
				if want := "“" + ordinary.Text + "”"; !errors.As(err, new(exitError)) || !strings.Contains(strings.ReplaceAll(shown, `\u200d`, "\u200d"), want) {
					t.Errorf("%s: %v, no %s in %.600s", format, err, want, shown)
				}
			}
		})
	}
}
