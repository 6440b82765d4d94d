package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"jarwright/api"
)

func TestPartsAreCurrent(t *testing.T) {
	list, text, err := partsPapers("../..")
	if err != nil {
		t.Fatal(err)
	}
	for file, want := range map[string][]byte{partsFile: list, noticesFile: text} {
		t.Run(file, func(t *testing.T) {
			got, err := os.ReadFile(filepath.Join("../..", file))
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got, want) {
				t.Error("stale: run go run ./cmd/generate")
			}
		})
	}
}

// Each license is known by its own sentences, whatever its lines are like, and nothing else is taken for one.
func TestLicensesAreKnownByTheirText(t *testing.T) {
	const bsd = "Redistribution and use in source and binary\nforms, with or without modification, are permitted"
	for _, test := range []struct{ name, text, want string }{
		{"Apache", "Apache License\nVersion 2.0, January 2004\nTERMS AND CONDITIONS FOR USE, REPRODUCTION, AND DISTRIBUTION", "Apache-2.0"},
		{"MIT in other lines", "Permission is hereby\n   granted, free of\ncharge, to any person", "MIT"},
		{"BSD with two clauses", bsd, "BSD-2-Clause"},
		{"BSD with three", bsd + "\nmay be used to endorse or promote products", "BSD-3-Clause"},
		{"a notice that names Apache", "Licensed under the Apache License Version 2.0.", ""},
		{"GPL", "GNU GENERAL PUBLIC LICENSE\nVersion 3, 29 June 2007", ""},
		{"nothing", "", ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := licenseOf(test.text); got != test.want {
				t.Errorf("%q, want %q", got, test.want)
			}
		})
	}
	if name, err := licenseExpression([]string{"GNU GENERAL PUBLIC LICENSE"}); err == nil {
		t.Errorf("a license that nobody has read is taken for %q", name)
	}
	if name, err := licenseExpression([]string{bsd, "Permission is hereby granted, free of charge", bsd}); err != nil || name != "BSD-2-Clause AND MIT" {
		t.Errorf("%q, %v", name, err)
	}
}

// Code that was copied into a module has its license beside it, below the top of the module.
func TestLicensesBelowTheTopAreGathered(t *testing.T) {
	top := t.TempDir()
	inner := filepath.Join(top, "internal", "copied")
	if err := os.MkdirAll(inner, 0o755); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{
		"LICENSE": "outer\r\n", "internal/copied/License.txt": "inner", "internal/copied/license.go": "package copied", "NOTICE": "outer  \n",
	} {
		if err := os.WriteFile(filepath.Join(top, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	var part licensedPart
	if err := part.gather(top, inner); err != nil || strings.Join(part.texts, "|") != "inner\n|outer\n" {
		t.Errorf("%q, %v", part.texts, err)
	}
}

func TestImageVersionsAreCurrent(t *testing.T) {
	before, err := os.ReadFile(filepath.Join("../..", imageFile))
	if err != nil {
		t.Fatal(err)
	}
	top := t.TempDir()
	if err := os.MkdirAll(filepath.Join(top, "api", "release"), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, file := range []string{imageFile, partsFile} {
		text, err := os.ReadFile(filepath.Join("../..", file))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(top, file), text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := writeImageVersions(top, api.JSON()); err != nil {
		t.Fatal(err)
	}
	after, err := os.ReadFile(filepath.Join(top, imageFile))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(before, after) {
		t.Error("the Dockerfile is stale: run go run ./cmd/generate")
	}
}

func TestArgumentsOfTheImage(t *testing.T) {
	for _, test := range []struct{ name, image, value, want string }{
		{"empty before", "FROM a\nARG X=\n", "1", "FROM a\nARG X=1\n"},
		{"another before", "ARG X=1\nARG XY=1\n", "2", "ARG X=2\nARG XY=1\n"},
		{"with spaces and a dollar", "ARG X=1\n", "a $1 b", "ARG X=\"a $1 b\"\n"},
		{"none", "FROM a\n", "1", ""},
		{"twice", "ARG X=1\nARG X=2\n", "1", ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, err := setArgument(test.image, "X", test.value)
			if got != test.want || (err == nil) != (test.want != "") {
				t.Errorf("%q, %v", got, err)
			}
		})
	}
}
