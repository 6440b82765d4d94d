package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"github.com/go-json-experiment/json"

	"jarwright/api/release"
	"jarwright/validate"
)

const imageFile = "Dockerfile"

// writeImageVersions puts what the image says of itself into the Dockerfile: the version of the API, the rule set, and the
// licenses of its parts. The commit and its date come from whoever builds it.
func writeImageVersions(top string, bundled []byte) error {
	var document struct {
		Info struct {
			Version string `json:"version"`
		} `json:"info"`
	}
	if err := json.Unmarshal(bundled, &document); err != nil {
		return fmt.Errorf("read version of bundle: %w", err)
	}
	checker, err := validate.New()
	if err != nil {
		return fmt.Errorf("load rules and tables: %w", err)
	}
	listed, err := os.ReadFile(filepath.Join(top, partsFile))
	if err != nil {
		return fmt.Errorf("read list of parts: %w", err)
	}
	var parts []release.Part
	if err := json.Unmarshal(listed, &parts); err != nil {
		return fmt.Errorf("read list of parts: %w", err)
	}
	file := filepath.Join(top, imageFile)
	text, err := os.ReadFile(file)
	if err != nil {
		return fmt.Errorf("read %s: %w", imageFile, err)
	}
	image := string(text)
	for _, argument := range []struct{ name, value string }{
		{"VERSION", document.Info.Version}, {"RULESET", checker.Tables().Ruleset().Number}, {"LICENSES", release.Licenses(parts)},
	} {
		if image, err = setArgument(image, argument.name, argument.value); err != nil {
			return err
		}
	}
	if err := os.WriteFile(file, []byte(image), 0o644); err != nil {
		return fmt.Errorf("write %s: %w", imageFile, err)
	}
	return nil
}

// setArgument gives an argument of a Dockerfile its default.
func setArgument(image, name, value string) (string, error) {
	line := regexp.MustCompile(`(?m)^ARG ` + name + `=.*$`)
	if count := len(line.FindAllString(image, -1)); count != 1 {
		return "", fmt.Errorf("%s has %d lines with ARG %s=, not one", imageFile, count, name)
	}
	if strings.Contains(value, " ") {
		value = `"` + value + `"`
	}
	return line.ReplaceAllLiteralString(image, "ARG "+name+"="+value), nil
}
