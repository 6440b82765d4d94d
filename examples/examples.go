// Package examples holds the request documents that a reader may copy, for the pages that offer them.
package examples

import (
	"embed"
	"fmt"
	"io/fs"
	"strings"

	"github.com/go-json-experiment/json"
)

//go:embed *.json
var files embed.FS

// Example is one request document.
type Example struct {
	Name  string // file name without its ending
	Text  []byte
	Title string // the name of its recipe
}

// All lists the examples by name. It fails when a file is not JSON, which a test rules out.
func All() ([]Example, error) {
	names, err := fs.Glob(files, "*.json")
	if err != nil {
		return nil, fmt.Errorf("list examples: %w", err)
	}
	var all []Example
	for _, name := range names {
		text, err := files.ReadFile(name)
		if err != nil {
			return nil, fmt.Errorf("read example: %w", err)
		}
		var named struct {
			Recipe struct {
				Name string `json:"name"`
			} `json:"recipe"`
		}
		if err := json.Unmarshal(text, &named); err != nil {
			return nil, fmt.Errorf("read example %s: %w", name, err)
		}
		all = append(all, Example{Name: strings.TrimSuffix(name, ".json"), Text: text, Title: named.Recipe.Name})
	}
	return all, nil
}
