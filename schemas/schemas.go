// Package schemas holds the JSON Schemas (draft 2020-12) of every document that goes in or out: they are the one
// description of shapes, and a test holds the Go types to them. It embeds and compiles them; it does not check a
// document and does not word an error, which is what package ingest is for.
package schemas

import (
	"bytes"
	"embed"
	"fmt"
	"io/fs"
	"slices"

	"github.com/santhosh-tekuri/jsonschema/v5"
)

// BaseURL is the address that the $id of each schema starts with. References between the files resolve against it; it
// is never fetched.
const BaseURL = "https://jarwright.example/schemas/"

// Names of the schemas of documents that are checked or announced by name.
const (
	RequestName = "request.schema.json"
	ReportName  = "report.schema.json"
	ProblemName = "problem.schema.json"

	PlanRequestName = "plan_request.schema.json"
	CardRequestName = "card_request.schema.json"
	RecipeLDName    = "recipe_ld.schema.json"
)

//go:embed *.schema.json
var files embed.FS

// Files is the folder of schema files.
func Files() fs.FS { return files }

// Names lists the schema files, sorted.
func Names() []string {
	names, err := fs.Glob(files, "*.schema.json")
	if err != nil {
		return nil // the pattern is constant and well formed
	}
	slices.Sort(names)
	return names
}

// Read gives the bytes of one schema file, such as "request.schema.json". It fails for a name that is not in Names.
func Read(name string) ([]byte, error) {
	data, err := files.ReadFile(name)
	if err != nil {
		return nil, fmt.Errorf("read schema %s: %w", name, err)
	}
	return data, nil
}

// Compile makes the schema of one file ready for use, with formats such as "date" enforced. References to the other
// files are resolved from the embedded copies. The result is safe for concurrent use; compile once and keep it.
func Compile(name string) (*jsonschema.Schema, error) {
	compiler := jsonschema.NewCompiler()
	compiler.Draft = jsonschema.Draft2020
	compiler.AssertFormat = true
	for _, file := range Names() {
		data, err := Read(file)
		if err != nil {
			return nil, fmt.Errorf("compile schema %s: %w", name, err)
		}
		if err := compiler.AddResource(BaseURL+file, bytes.NewReader(data)); err != nil {
			return nil, fmt.Errorf("compile schema %s: add %s: %w", name, file, err)
		}
	}
	schema, err := compiler.Compile(BaseURL + name)
	if err != nil {
		return nil, fmt.Errorf("compile schema %s: %w", name, err)
	}
	return schema, nil
}
