package main

import (
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"

	"jarwright/api"
	"jarwright/api/release"
	"jarwright/validate"
)

// The version is the same as text, as JSON, and as the contract and the newest rule set have it.
func TestVersionSaysWhichBuildItIs(t *testing.T) {
	version, err := api.Version()
	if err != nil {
		t.Fatal(err)
	}
	checker, err := validate.New()
	if err != nil {
		t.Fatal(err)
	}
	ruleset := checker.Tables().Ruleset().Number
	code, text, _ := run(t, "version")
	if code != exitGood {
		t.Fatalf("exit code %d", code)
	}
	for _, want := range []string{"API " + version + ",", "revision ", "rule set " + ruleset + ",", runtime.Version() + "\n"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q does not say %q", text, want)
		}
	}
	code, encoded, _ := run(t, "version", "--format", "json")
	var build release.Build
	if err := json.Unmarshal([]byte(encoded), &build); code != exitGood || err != nil {
		t.Fatalf("exit code %d, %v", code, err)
	}
	if build.Version != version || build.Ruleset != ruleset || build.Go != runtime.Version() || !strings.Contains(text, "revision "+build.Commit()+",") {
		t.Errorf("%+v, and as text %q", build, text)
	}
	if code, _, stderr := run(t, "version", "--format", "xml"); code != exitUnreadable || !strings.Contains(stderr, "xml") {
		t.Errorf("exit code %d, %q", code, stderr)
	}
}

// Each module that is linked into this very program stands in its bill of materials with its license, and so does the API page.
func TestBillHasEveryModule(t *testing.T) {
	code, text, stderr := run(t, "sbom")
	if code != exitGood {
		t.Fatalf("exit code %d: %s", code, stderr)
	}
	type component struct {
		Name     string `json:"name"`
		Version  string `json:"version"`
		Licenses []struct {
			Expression string `json:"expression"`
		} `json:"licenses"`
		Components []component `json:"components"`
	}
	var bill struct {
		Format     string      `json:"bomFormat"`
		Components []component `json:"components"`
	}
	if err := json.Unmarshal([]byte(text), &bill); err != nil || bill.Format != "CycloneDX" {
		t.Fatalf("%v: %q", err, bill.Format)
	}
	listed := func(name, version string) {
		at := slices.IndexFunc(bill.Components, func(c component) bool { return c.Name == name && c.Version == version })
		if at < 0 || len(bill.Components[at].Licenses) == 0 || bill.Components[at].Licenses[0].Expression == "" {
			t.Errorf("%s %s is not there with its license", name, version)
		}
	}
	info, ok := debug.ReadBuildInfo()
	if !ok || len(info.Deps) == 0 {
		t.Fatal("the build recorded no modules")
	}
	for _, module := range info.Deps {
		listed(module.Path, module.Version)
	}
	listed("std", runtime.Version())
	at := slices.IndexFunc(bill.Components, func(c component) bool { return c.Name == "swagger-ui-dist" })
	if at < 0 || len(bill.Components[at].Components) < 100 {
		t.Error("the script of the API page, or what it holds, is not there")
	}
	if _, second, _ := run(t, "sbom"); second != text {
		t.Error("two runs gave different bytes")
	}
}

func TestLicensesArePrinted(t *testing.T) {
	code, text, _ := run(t, "licenses")
	if code != exitGood || text != string(release.Notices()) || !strings.Contains(text, "Permission is hereby granted") {
		t.Errorf("exit code %d, %d bytes", code, len(text))
	}
}
