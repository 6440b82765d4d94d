package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"jarwright/api"
)

const source = "../../api/openapi.yaml"

func TestBundleIsCurrent(t *testing.T) {
	bundled, err := bundle(source)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(bundled, api.JSON()) {
		t.Error("api/openapi.json is stale: run go run ./cmd/generate")
	}
}

func TestLockIsCurrent(t *testing.T) {
	locked, err := os.ReadFile("../../api/openapi.lock")
	if err != nil {
		t.Fatal(err)
	}
	if lock, err := relock(string(locked), api.JSON()); err != nil || lock != string(locked) {
		t.Errorf("api/openapi.lock is stale: run go run ./cmd/generate (%v)", err)
	}
}

func TestBundleIsTheSameEachTime(t *testing.T) {
	first, err := bundle(source)
	if err != nil {
		t.Fatal(err)
	}
	for range 5 {
		again, err := bundle(source)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(first, again) {
			t.Fatal("two runs gave different bytes")
		}
	}
}

// An $id or $schema inside a component would make references from it resolve against another document.
func TestBundleIsSelfContained(t *testing.T) {
	for _, word := range []string{`"$id"`, `"$schema"`, `"$defs"`, `"externalValue"`, reportOf, ".schema.json#", `"$ref": "../`} {
		if bytes.Contains(api.JSON(), []byte(word)) {
			t.Errorf("the bundle holds %s", word)
		}
	}
}

// Each document is refused for the reason that stands in its error.
func TestBundleRefuses(t *testing.T) {
	const head = "openapi: 3.1.0\ninfo: {title: t, version: '1'}\npaths:\n  /a:\n    post:\n      operationId: a\n      requestBody:\n        content:\n     " +
		"     application/json:\n"
	const tail = "      responses:\n        '200': {description: d}\n"
	const schema = "            schema: {$ref: object.schema.json}\n"
	for _, test := range []struct{ content, reason string }{
		{"            schema: {$ref: none.schema.json}\n", "none.schema.json"},
		{"            schema: {type: object}\n", "refers to no schema"},
		{schema + "            examples: {a: {externalValue: none.json}}\n", "none.json"},
		{schema + "            examples: {a: {externalValue: broken.json}}\n", "broken.json is not JSON"},
		{schema + "            examples: {a: {externalValue: list.json}}\n", "check bundle"},
	} {
		folder := t.TempDir()
		for file, text := range map[string]string{
			"openapi.yaml": head + test.content + tail, "broken.json": "{", "list.json": "[]", "object.schema.json": `{"type":"object"}`,
		} {
			if err := os.WriteFile(filepath.Join(folder, file), []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := bundle(filepath.Join(folder, "openapi.yaml")); err == nil || !strings.Contains(err.Error(), test.reason) {
			t.Errorf("%q: %v", test.content, err)
		}
	}
}

func TestVersionMovesWithTheBundle(t *testing.T) {
	document := func(version, title string) []byte {
		return []byte(`{"info":{"title":"` + title + `","version":"` + version + `"}}`)
	}
	lock, err := relock("", document("1.0.0", "a"))
	if err != nil {
		t.Fatal(err)
	}
	if again, err := relock(lock, document("1.0.0", "a")); err != nil || again != lock {
		t.Errorf("the same bundle: %q, %v", again, err)
	}
	if _, err := relock(lock, document("1.0.0", "b")); err == nil {
		t.Error("a changed bundle kept its version")
	}
	moved, err := relock(lock, document("1.0.1", "b"))
	if err != nil || !strings.HasPrefix(moved, "1.0.1 ") {
		t.Errorf("a changed bundle of a new version: %q, %v", moved, err)
	}
}

// What the rules say today is shown, but not promised.
func TestExamplesMayChangeWithinAVersion(t *testing.T) {
	document := func(schema, example string) []byte {
		return []byte(`{"info":{"version":"1"},"media":{"schema":` + schema + `,"examples":{"a":{"value":` + example + `}}}}`)
	}
	lock, err := relock("", document(`{"type":"object"}`, "1"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := relock(lock, document(`{"type":"object"}`, "2")); err != nil {
		t.Errorf("another example: %v", err)
	}
	if _, err := relock(lock, document(`{"type":"array"}`, "1")); err == nil {
		t.Error("another schema kept the version")
	}
}

func TestComponentNames(t *testing.T) {
	for given, want := range map[[2]string]string{
		{"/a/schemas/tested_recipe.schema.json", "/$defs/cooked_down"}: "TestedRecipeCookedDown",
		{"/a/schemas/report.schema.json", ""}:                          "Report",
	} {
		if got := componentName(given[0], given[1]); got != want {
			t.Errorf("%v is called %s, want %s", given, got, want)
		}
	}
}
