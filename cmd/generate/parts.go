package main

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"jarwright/api/release"
)

// The papers of the parts that are shipped within the program.
const (
	partsFile   = "api/release/parts.json"
	noticesFile = "api/release/notices.txt"
	// pagePartsFile is collected by .ci/release/page-parts.mjs.
	pagePartsFile = "api/release/page_parts.json"
)

// licensedPart is a part with the texts of its licenses and notices.
type licensedPart struct {
	release.Part
	texts []string
}

// pageParts is what the script and the style sheet of the API page hold.
type pageParts struct {
	Name    string `json:"name"`
	Version string `json:"version"`
	License string `json:"license"`
	Texts   []int  `json:"texts"` // places in Every
	Parts   []struct {
		Name    string `json:"name"`
		License string `json:"license"`
		Texts   []int  `json:"texts"`
	} `json:"parts"`
	Every []string `json:"every"`
}

// writeParts makes the list of parts and their notices.
func writeParts(top string) error {
	list, text, err := partsPapers(top)
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(top, partsFile), list, 0o644); err != nil {
		return fmt.Errorf("write list of parts: %w", err)
	}
	if err := os.WriteFile(filepath.Join(top, noticesFile), text, 0o644); err != nil {
		return fmt.Errorf("write notices: %w", err)
	}
	return nil
}

// partsPapers are the list of parts and the text of the notices.
func partsPapers(top string) (list, text []byte, err error) {
	parts, err := goParts(top)
	if err != nil {
		return nil, nil, err
	}
	page, err := partsOfPage(top)
	if err != nil {
		return nil, nil, err
	}
	parts = append(parts, page...)
	plain := make([]release.Part, len(parts))
	for i := range parts {
		plain[i] = parts[i].Part
	}
	list, err = json.Marshal(plain, jsontext.WithIndent(" "))
	if err != nil {
		return nil, nil, fmt.Errorf("encode list of parts: %w", err)
	}
	return append(list, '\n'), noticesText(parts), nil
}

// systems are those that the program is built for. A module may be needed on one of them alone.
var systems = []string{"linux", "darwin", "windows"}

// goParts are the standard library and the modules that are linked into the program on any system, by name, from the module cache.
func goParts(top string) ([]licensedPart, error) {
	found := map[string]*licensedPart{}
	for _, system := range systems {
		if err := linkedModules(top, system, found); err != nil {
			return nil, err
		}
	}
	root, err := runGo(top, "", "env", "GOROOT")
	if err != nil {
		return nil, err
	}
	library, err := os.ReadFile(filepath.Join(strings.TrimSpace(root), "LICENSE"))
	if err != nil {
		return nil, fmt.Errorf("read the license of the standard library: %w", err)
	}
	parts := []licensedPart{{release.Part{Kind: release.KindGo, Name: release.StandardLibrary}, []string{cleanText(library)}}}
	for _, name := range slices.Sorted(maps.Keys(found)) {
		parts = append(parts, *found[name])
	}
	for i := range parts {
		if parts[i].License, err = licenseExpression(parts[i].texts); err != nil {
			return nil, fmt.Errorf("%s: %w", parts[i].Name, err)
		}
	}
	return parts, nil
}

// linkedModules adds what the program is linked of on one system.
func linkedModules(top, system string, found map[string]*licensedPart) error {
	const form = "{{with .Module}}{{if not .Main}}{{.Path}}\t{{.Version}}\t{{.Dir}}\t{{$.Dir}}{{end}}{{end}}"
	out, err := runGo(top, system, "list", "-buildvcs=false", "-deps", "-f", form, "./cmd/jarwright")
	if err != nil {
		return err
	}
	for line := range strings.Lines(out) {
		fields := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		if len(fields) != 4 {
			continue
		}
		name, version, module, folder := fields[0], fields[1], fields[2], fields[3]
		part := found[name]
		if part == nil {
			part = &licensedPart{Part: release.Part{Kind: release.KindGo, Name: name, Version: version}}
			found[name] = part
		}
		if err := part.gather(module, folder); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	return nil
}

// runGo gives what the go command prints when it works for a system.
func runGo(top, system string, args ...string) (string, error) {
	command := exec.CommandContext(context.Background(), "go", args...)
	command.Dir = top
	command.Env = append(os.Environ(), "GOOS="+system, "GOARCH=amd64", "CGO_ENABLED=0")
	var complaint bytes.Buffer
	command.Stderr = &complaint
	out, err := command.Output()
	if err != nil {
		return "", fmt.Errorf("go %s for %s: %w: %s", args[0], system, err, complaint.Bytes())
	}
	return string(out), nil
}

// legalFile is what files with licenses and notices are called.
var legalFile = regexp.MustCompile(`(?i)^(licen[sc]e|copying|notice|patents|copyright)([-_.].*)?$`)

// gather adds the texts between the top of a module and the folder of one of its packages: code that was copied into a module has
// its license beside it.
func (p *licensedPart) gather(module, folder string) error {
	for at := folder; ; at = filepath.Dir(at) {
		entries, err := os.ReadDir(at)
		if err != nil {
			return fmt.Errorf("look for licenses: %w", err)
		}
		for _, entry := range entries {
			if entry.IsDir() || !legalFile.MatchString(entry.Name()) || strings.HasSuffix(entry.Name(), ".go") {
				continue
			}
			text, err := os.ReadFile(filepath.Join(at, entry.Name()))
			if err != nil {
				return fmt.Errorf("read license: %w", err)
			}
			if clean := cleanText(text); !slices.Contains(p.texts, clean) {
				p.texts = append(p.texts, clean)
			}
		}
		if at == module || at == filepath.Dir(at) {
			return nil
		}
	}
}

// partsOfPage are Swagger UI and what it holds.
func partsOfPage(top string) ([]licensedPart, error) {
	text, err := os.ReadFile(filepath.Join(top, pagePartsFile))
	if err != nil {
		return nil, fmt.Errorf("read the parts of the API page: %w", err)
	}
	var page pageParts
	if err := json.Unmarshal(text, &page); err != nil {
		return nil, fmt.Errorf("read the parts of the API page: %w", err)
	}
	texts := func(places []int) []string {
		list := make([]string, len(places))
		for i, place := range places {
			list[i] = page.Every[place]
		}
		return list
	}
	whole := release.Part{Kind: release.KindNPM, Name: page.Name, Version: page.Version, License: page.License}
	parts := []licensedPart{{whole, texts(page.Texts)}}
	for _, each := range page.Parts {
		parts = append(parts, licensedPart{
			release.Part{Kind: release.KindNPM, Name: each.Name, License: each.License, Within: page.Name}, texts(each.Texts),
		})
	}
	return parts, nil
}

// licenseExpression is the SPDX expression of the licenses in some texts. It fails where there is none that is known, so that no
// part comes in under terms that nobody has read.
func licenseExpression(texts []string) (string, error) {
	var names []string
	for _, text := range texts {
		if name := licenseOf(text); name != "" && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		return "", fmt.Errorf("none of its %d texts is a license that is known here", len(texts))
	}
	slices.Sort(names)
	return strings.Join(names, " AND "), nil
}

// licenseOf knows a license by the sentences that only its text has; empty for notices and for what is not known.
func licenseOf(text string) string {
	words := strings.ToLower(strings.Join(strings.Fields(text), " "))
	switch {
	case strings.Contains(words, "terms and conditions for use, reproduction, and distribution") && strings.Contains(words, "apache license version 2.0"):
		return "Apache-2.0"
	case strings.Contains(words, "permission is hereby granted, free of charge"):
		return "MIT"
	case strings.Contains(words, "redistribution and use in source and binary forms"):
		if strings.Contains(words, "endorse or promote") {
			return "BSD-3-Clause"
		}
		return "BSD-2-Clause"
	}
	return ""
}

// cleanText has one kind of line ends and no space at them, so that the same license is the same text.
func cleanText(text []byte) string {
	var clean strings.Builder
	for line := range strings.Lines(strings.Trim(strings.ReplaceAll(string(text), "\r\n", "\n"), "\n")) {
		clean.WriteString(strings.TrimRight(line, " \t\n") + "\n")
	}
	return clean.String()
}

// noticesText lists the parts, then each text once with the parts that it belongs to.
func noticesText(parts []licensedPart) []byte {
	var out bytes.Buffer
	out.WriteString("Jarwright is shipped with parts that others made. Here are their names and licenses, then the licenses in full.\n")
	out.WriteString("\nLinked into the program:\n\n")
	var texts []string
	belongs := map[string][]string{}
	page := false
	for i := range parts {
		part := &parts[i]
		if part.Kind == release.KindNPM && !page {
			page = true
			out.WriteString("\nIn the script and the style sheet of the API page:\n\n")
		}
		name := strings.TrimSpace(part.Name + " " + part.Version)
		if part.Name == release.StandardLibrary {
			name += " (the Go standard library and runtime)"
		}
		fmt.Fprintf(&out, "  %s: %s\n", name, part.License)
		for _, text := range part.texts {
			if belongs[text] == nil {
				texts = append(texts, text)
			}
			belongs[text] = append(belongs[text], name)
		}
	}
	for _, text := range texts {
		fmt.Fprintf(&out, "\n%s\n%s:\n\n%s", strings.Repeat("=", 78), strings.Join(belongs[text], ", "), text)
	}
	return out.Bytes()
}
