package schemas_test

import (
	"io/fs"
	"slices"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"
	"github.com/santhosh-tekuri/jsonschema/v5"

	"jarwright/schemas"
)

func TestFilesAndNames(t *testing.T) {
	names := schemas.Names()
	if !slices.IsSorted(names) || !slices.Contains(names, schemas.RequestName) ||
		!slices.Contains(names, schemas.ReportName) || !slices.Contains(names, schemas.ProblemName) {
		t.Errorf("names = %q", names)
	}
	for _, name := range names {
		data, err := schemas.Read(name)
		if err != nil {
			t.Fatal(err)
		}
		if inFiles, err := fs.ReadFile(schemas.Files(), name); err != nil || string(inFiles) != string(data) {
			t.Errorf("%s: Files and Read differ (%v)", name, err)
		}
		if id := load(t, name)["$id"]; id != schemas.BaseURL+name {
			t.Errorf("%s: $id is %v", name, id)
		}
	}
	if _, err := schemas.Read("../schemas.go"); err == nil {
		t.Error("a name outside the folder was read")
	}
	if _, err := schemas.Compile("none.schema.json"); err == nil {
		t.Error("a schema that does not exist was compiled")
	}
}

// closed names the files of documents that come in: whatever they do not describe is refused.
var closed = []string{"request.schema.json", "batch.schema.json", "quantity.schema.json", "plan_request.schema.json", "card_request.schema.json"}

// TestEverySchemaCompilesAndKeepsTheConventions walks each schema. The conventions serve people who read the schemas
// and programs that make types from them.
func TestEverySchemaCompilesAndKeepsTheConventions(t *testing.T) {
	for _, name := range schemas.Names() {
		if _, err := schemas.Compile(name); err != nil {
			t.Error(err)
			continue
		}
		schema := load(t, name)
		if schema["$schema"] != "https://json-schema.org/draft/2020-12/schema" || schema["title"] == nil {
			t.Errorf("%s: no $schema or no title", name)
		}
		conventions(t, name, "", schema, true)
	}
}

func conventions(t *testing.T, file, where string, node object, described bool) {
	t.Helper()
	complain := func(what string) { t.Errorf("%s#%s: %s", file, where, what) }
	description, _ := node["description"].(string)
	if described && (description == "" || !strings.HasSuffix(description, ".")) {
		complain("no description that is a sentence")
	}
	if node["enum"] != nil && node["type"] != "string" {
		complain("an enum without a type beside it")
	}
	if node["type"] == "number" && node["format"] != "double" {
		complain("a number without a format")
	}
	for _, keyword := range []string{"anyOf", "oneOf", "allOf"} {
		if node[keyword] != nil {
			complain(keyword + " gives errors that contradict each other")
		}
	}
	isInput := slices.Contains(closed, file)
	properties, hasProperties := node["properties"].(object)
	if hasProperties && described {
		if refuses := node["additionalProperties"] == false; refuses != isInput {
			complain("what comes in is closed, what goes out is open")
		}
	}
	kinds, _ := node["type"].(string)
	if isInput && kinds == "string" && node["enum"] == nil && node["maxLength"] == nil {
		complain("a text without a longest length")
	}
	if isInput && kinds == "number" && (node["minimum"] == nil || node["maximum"] == nil) {
		complain("a number without bounds")
	}
	if isInput && kinds == "array" && node["maxItems"] == nil {
		complain("a list without a longest length")
	}
	for name, property := range properties {
		conventions(t, file, where+"/properties/"+name, property.(object), described)
	}
	if items, isObject := node["items"].(object); isObject {
		conventions(t, file, where+"/items", items, items["$ref"] == nil)
	}
	definitions, _ := node["$defs"].(object)
	for name, definition := range definitions {
		conventions(t, file, where+"/$defs/"+name, definition.(object), true)
	}
}

// TestExamplesAreValid holds the examples in the schemas to their own schemas.
func TestExamplesAreValid(t *testing.T) {
	count := 0
	for _, name := range schemas.Names() {
		root := load(t, name)
		var walk func(where string, node object)
		walk = func(where string, node object) {
			if examples, _ := node["examples"].([]any); len(examples) > 0 {
				schema := compileAt(t, name+"#"+where)
				for _, example := range examples {
					count++
					if err := schema.Validate(example); err != nil {
						t.Errorf("%s#%s: example %v: %v", name, where, example, err)
					}
				}
			}
			for _, keyword := range []string{"properties", "$defs"} {
				members, _ := node[keyword].(object)
				for member, inner := range members {
					walk(where+"/"+keyword+"/"+member, inner.(object))
				}
			}
		}
		walk("", root)
	}
	if count < 20 {
		t.Errorf("only %d examples found", count)
	}
}

func compileAt(t *testing.T, place string) *jsonschema.Schema {
	t.Helper()
	schema, err := schemas.Compile(place)
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

// TestFormatsAreEnforced shows that a format is more than a remark, and that the conditional of an amount works.
func TestFormatsAreEnforced(t *testing.T) {
	request := compileAt(t, schemas.RequestName)
	const start = `{"recipe":{"ingredients":[{"item":"dill","per":"jar"`
	tests := []struct {
		body string
		ok   bool
	}{
		{start + `}]},"as_of":"2026-08-15"}`, true},
		{start + `}]},"as_of":"2026-13-15"}`, false},
		{start + `}]},"as_of":"2026-08-15T10:00:00-06:00"}`, true},
		{start + `}]},"as_of":"2026-08-15T10:00:00"}`, false},
		{start + `,"amount":{"value":1,"unit":"tsp"}}]}}`, true},
		{start + `,"amount":{"unit":"tsp"}}]}}`, false},
		{start + `,"amount":{"unit":"as_needed"}}]}}`, true},
		{start + `,"amount":{"value":1,"unit":"as_needed"}}]}}`, false},
		{start + `,"amount":{"value":1}}]}}`, false},
	}
	for _, test := range tests {
		var value any
		if err := json.Unmarshal([]byte(test.body), &value); err != nil {
			t.Fatal(err)
		}
		if err := request.Validate(value); (err == nil) != test.ok {
			t.Errorf("%s: %v", test.body, err)
		}
	}
}
