package main

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"jarwright/validate"
	"jarwright/validate/catalog"
	"jarwright/validate/rules"
)

func load(t *testing.T) *validate.Checker {
	t.Helper()
	checker, err := validate.New()
	if err != nil {
		t.Fatal(err)
	}
	return checker
}

func TestRulesPageIsCurrent(t *testing.T) {
	checker := load(t)
	page, err := rulesPage(checker.Rules(), checker.Tables())
	if err != nil {
		t.Fatal(err)
	}
	written, err := os.ReadFile(filepath.Join("../..", rulesPageFile))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(page, written) {
		t.Errorf("%s is stale: run go run ./cmd/generate", rulesPageFile)
	}
}

// A reader has to find every rule, by its id, with what to do about it.
func TestRulesPageHoldsEveryRule(t *testing.T) {
	checker := load(t)
	page, err := rulesPage(checker.Rules(), checker.Tables())
	if err != nil {
		t.Fatal(err)
	}
	text := string(page)
	for _, r := range checker.Rules() {
		_, section, found := strings.Cut(text, "\n## "+r.ID+"\n")
		section, _, _ = strings.Cut(section, "\n## ")
		if !found || !strings.Contains(section, r.Remedy) || !strings.Contains(section, r.About) {
			t.Errorf("%s has no section with its text and remedy", r.ID)
		}
		if severityWords[r.Severity] == "" {
			t.Errorf("%s: no words for severity %q", r.ID, r.Severity)
		}
		for _, c := range r.Sources {
			if c.Verified != "" && verifiedWords[c.Verified] == "" {
				t.Errorf("%s: no words for %q", r.ID, c.Verified)
			}
		}
	}
}

func TestRulesPageRefusesUnknownSource(t *testing.T) {
	stray := []rules.Rule{{ID: "a.b", Sources: []catalog.Citation{{Source: "nowhere"}}}}
	if _, err := rulesPage(stray, load(t).Tables()); err == nil || !strings.Contains(err.Error(), "nowhere") {
		t.Errorf("a source outside the bibliography: %v", err)
	}
}

func TestCorpusIsCurrent(t *testing.T) {
	files, err := corpus(load(t).Tables())
	if err != nil {
		t.Fatal(err)
	}
	var want []string
	for _, f := range files {
		want = append(want, f.name)
		written, err := os.ReadFile(filepath.Join("../..", corpusFolder, f.name))
		if err != nil || !bytes.Equal(f.text, written) {
			t.Errorf("%s is stale: run go run ./cmd/generate (%v)", f.name, err)
		}
	}
	entries, err := os.ReadDir(filepath.Join("../..", corpusFolder))
	if err != nil {
		t.Fatal(err)
	}
	var have []string
	for _, entry := range entries {
		have = append(have, entry.Name())
	}
	slices.Sort(want)
	if !slices.Equal(have, want) {
		t.Errorf("the folder holds %d files, %d are generated", len(have), len(want))
	}
}

// A folder that is written again holds the new files and no others of the kind.
func TestWriteCorpusClearsTheFolder(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "corpus")
	if err := writeCorpus(folder, []file{{"a.json", []byte("1\n")}, {"b.json", []byte("2\n")}}); err != nil {
		t.Fatal(err)
	}
	if err := writeCorpus(folder, []file{{"b.json", []byte("3\n")}}); err != nil {
		t.Fatal(err)
	}
	entries, err := os.ReadDir(folder)
	if err != nil || len(entries) != 1 || entries[0].Name() != "b.json" {
		t.Errorf("%v, %v", entries, err)
	}
	if text, err := os.ReadFile(filepath.Join(folder, "b.json")); err != nil || string(text) != "3\n" {
		t.Errorf("%q, %v", text, err)
	}
}

func TestAcidityPageIsCurrent(t *testing.T) {
	page, err := acidityPage(load(t))
	if err != nil {
		t.Fatal(err)
	}
	written, err := os.ReadFile(filepath.Join("../..", acidityPageFile))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(page, written) {
		t.Errorf("%s is stale: run go run ./cmd/generate", acidityPageFile)
	}
}
