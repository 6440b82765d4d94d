package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/follow"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// The one kitchen of the corpus, in feet: in the lowest band of every table.
const corpusElevation = 500

// The time, in minutes, that the corpus gives to recipes that only a pressure canner makes safe: longer than any printed
// time in boiling water, and still not enough.
const hopelessMinutes = 100

// corpus is the requests of a cook who follows each tested recipe to the letter, by file name: its first printed pack in
// that pack's first jar. A recipe that prints no pack cannot be followed and has no document.
func corpus(tables *catalog.Tables) ([]file, error) {
	var files []file
	for i := range tables.Recipes {
		recipe := &tables.Recipes[i]
		if len(recipe.Packs) == 0 {
			continue
		}
		choice := follow.Choice{Jar: recipe.Packs[0].Jars[0], ElevationFeet: corpusElevation}
		switch recipe.Canner {
		case "pressure_only":
			choice.Minutes = hopelessMinutes
		case "boiling_water":
			choice.Minutes, _ = follow.MinutesAt(tables, recipe, choice.Pack, choice.Jar, corpusElevation*measure.Foot)
		}
		request, err := follow.Request(tables, recipe, choice)
		if err != nil {
			return nil, fmt.Errorf("write corpus: %w", err)
		}
		text, err := indented(request)
		if err != nil {
			return nil, fmt.Errorf("encode %s: %w", recipe.ID, err)
		}
		files = append(files, file{recipe.ID + ".json", text})
	}
	return files, nil
}

func indented(request document.Request) ([]byte, error) {
	var text bytes.Buffer
	err := report.EncodeIndented(&text, request)
	return text.Bytes(), err
}

// file is one derived file: its name inside its folder, and its bytes.
type file struct {
	name string
	text []byte
}

// writeCorpus replaces the documents of a folder: a recipe that is gone leaves nothing behind.
func writeCorpus(folder string, files []file) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return fmt.Errorf("make corpus folder: %w", err)
	}
	old, err := os.ReadDir(folder)
	if err != nil {
		return fmt.Errorf("list corpus: %w", err)
	}
	for _, entry := range old {
		if strings.HasSuffix(entry.Name(), ".json") {
			if err := os.Remove(filepath.Join(folder, entry.Name())); err != nil {
				return fmt.Errorf("clear corpus: %w", err)
			}
		}
	}
	for _, f := range files {
		if err := os.WriteFile(filepath.Join(folder, f.name), f.text, 0o644); err != nil {
			return fmt.Errorf("write corpus: %w", err)
		}
	}
	return nil
}
