package release

import (
	"crypto/sha256"
	"encoding/hex"
	"maps"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"
)

// What the linker was told counts first, then what the compiler saw, and nothing is made up.
func TestBuildNamesItsCommit(t *testing.T) {
	saw := func(revision, modified string) []debug.BuildSetting {
		return []debug.BuildSetting{{Key: "GOOS", Value: "linux"}, {Key: "vcs.revision", Value: revision}, {Key: "vcs.modified", Value: modified}}
	}
	for _, test := range []struct {
		name     string
		told     string
		settings []debug.BuildSetting
		revision string
		modified bool
		commit   string
	}{
		{"neither", "", nil, "unknown", false, "unknown"},
		{"told", "abc", nil, "abc", false, "abc"},
		{"told of changes", "abc+modified", nil, "abc", true, "abc+modified"},
		{"seen", "", saw("def", "false"), "def", false, "def"},
		{"seen with changes", "", saw("def", "true"), "def", true, "def+modified"},
		{"told and seen", "abc", saw("def", "true"), "abc", false, "abc"},
		{"told that it is unknown", "unknown", nil, "unknown", false, "unknown"},
		{"changes of nothing", "", []debug.BuildSetting{{Key: "vcs.modified", Value: "true"}}, "unknown", false, "unknown"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := build(Build{Version: "1", Ruleset: "2026.1", Go: "go1.26.0"}, test.told, test.settings)
			want := Build{Version: "1", Revision: test.revision, Modified: test.modified, Ruleset: "2026.1", Go: "go1.26.0"}
			if got != want || got.Commit() != test.commit {
				t.Errorf("%+v, %s", got, got.Commit())
			}
		})
	}
}

func TestLicensesAreOneExpression(t *testing.T) {
	for _, test := range []struct {
		name     string
		licenses []string
		want     string
	}{
		{"one", []string{"MIT"}, "MIT"},
		{"the same twice", []string{"MIT", "MIT"}, "MIT"},
		{"in the order of letters", []string{"MIT", "Apache-2.0"}, "Apache-2.0 AND MIT"},
		{"two of one part", []string{"MIT AND BSD-3-Clause", "MIT"}, "BSD-3-Clause AND MIT"},
		{"a choice", []string{"MIT", "MPL-2.0 OR Apache-2.0"}, "(MPL-2.0 OR Apache-2.0) AND MIT"},
	} {
		t.Run(test.name, func(t *testing.T) {
			var parts []Part
			for _, license := range test.licenses {
				parts = append(parts, Part{License: license})
			}
			if got := Licenses(parts); got != test.want {
				t.Errorf("%q, want %q", got, test.want)
			}
		})
	}
}

// Package URLs as the purl specification writes them.
func TestPackageURLs(t *testing.T) {
	for _, test := range []struct{ kind, name, version, want string }{
		{KindGo, "github.com/labstack/echo/v4", "v4.16.0", "pkg:golang/github.com/labstack/echo/v4@v4.16.0"},
		{KindGo, "example.org/old", "v2.0.0+incompatible", "pkg:golang/example.org/old@v2.0.0%2Bincompatible"},
		{KindNPM, "@babel/runtime", "", "pkg:npm/%40babel/runtime"},
		{KindNPM, "js-yaml", "4.1.0", "pkg:npm/js-yaml@4.1.0"},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := packageURL(test.kind, test.name, test.version); got != test.want {
				t.Errorf("%s, want %s", got, test.want)
			}
		})
	}
}

// A bill says nothing rather than half of it, and a replaced module stands there as what took its place.
func TestBillIsWhole(t *testing.T) {
	parts := []Part{
		{Kind: KindGo, Name: StandardLibrary, License: "BSD-3-Clause"},
		{Kind: KindGo, Name: "example.org/a", License: "MIT"},
		{Kind: KindNPM, Name: "page", Version: "1.0.0", License: "MIT"},
		{Kind: KindNPM, Name: "@scope/inner", License: "ISC", Within: "page"},
	}
	known := &debug.Module{Path: "example.org/a", Version: "v1.0.0", Sum: "h1:3q2+7w=="}
	for _, test := range []struct {
		name    string
		modules []*debug.Module
		want    []string // of the bill; empty where there is none
		reason  string
	}{
		{
			"with all parts",
			[]*debug.Module{known},
			[]string{
				`"pkg:golang/std@go1.26.8"`, `"pkg:golang/example.org/a@v1.0.0"`, `"deadbeef"`, `"pkg:npm/page@1.0.0"`, `"pkg:npm/%40scope/inner"`,
				`"expression": "ISC"`, `"value": "abc+modified"`,
			},
			"",
		},
		{"replaced", []*debug.Module{{Path: "example.org/b", Version: "v3.0.0", Replace: known}}, []string{`"pkg:golang/example.org/a@v1.0.0"`}, ""},
		{"of an unknown module", []*debug.Module{known, {Path: "example.org/c"}}, nil, "example.org/c has no entry"},
		{"with a broken checksum", []*debug.Module{{Path: "example.org/a", Sum: "h1:?"}}, nil, "checksum of example.org/a"},
	} {
		t.Run(test.name, func(t *testing.T) {
			of := Build{Version: "2.0.0", Revision: "abc", Modified: true, Ruleset: "2026.1", Go: "go1.26.8"}
			text, err := newBill(of, test.modules, parts)
			if (err == nil) != (test.reason == "") || err != nil && !strings.Contains(err.Error(), test.reason) {
				t.Fatalf("%v, want %q", err, test.reason)
			}
			for _, want := range test.want {
				if !strings.Contains(string(text), want) {
					t.Errorf("no %s in %s", want, text)
				}
			}
		})
	}
}

// Every part has a name, a license and its text in the notices.
func TestNoticesHaveEveryPart(t *testing.T) {
	parts, err := Parts()
	if err != nil || len(parts) < 100 {
		t.Fatalf("%d parts: %v", len(parts), err)
	}
	names, texts, _ := strings.Cut(string(Notices()), "\n====")
	for _, part := range parts {
		name := strings.TrimSpace(part.Name + " " + part.Version)
		listed := strings.Contains(names, "  "+name+": "+part.License+"\n") || part.Name == StandardLibrary
		if part.License == "" || !listed || !strings.Contains(texts, name) {
			t.Errorf("%s, %q, is not in the notices", name, part.License)
		}
	}
}

// The files of the API page are those whose parts were collected.
func TestPagePartsAreThoseOfTheFiles(t *testing.T) {
	text, err := os.ReadFile("page_parts.json")
	if err != nil {
		t.Fatal(err)
	}
	var page struct {
		Files map[string]string `json:"files"`
	}
	if err := json.Unmarshal(text, &page); err != nil || len(page.Files) != 2 {
		t.Fatalf("%d files: %v", len(page.Files), err)
	}
	for _, name := range slices.Sorted(maps.Keys(page.Files)) {
		t.Run(name, func(t *testing.T) {
			file, err := os.ReadFile(filepath.Join("../../handlers/assets", name))
			if err != nil {
				t.Fatal(err)
			}
			if sum := sha256.Sum256(file); hex.EncodeToString(sum[:]) != page.Files[name] {
				t.Error("it is another file: run node .ci/release/page-parts.mjs with its version")
			}
		})
	}
}
