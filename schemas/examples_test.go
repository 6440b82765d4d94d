package schemas_test

import (
	"io/fs"
	"os"
	"path"
	"reflect"
	"strconv"
	"testing"

	"github.com/go-json-experiment/json"

	"jarwright/schemas"
)

// partsOf lists a value and everything in it.
func partsOf(value any) []any {
	parts := []any{value}
	switch value := value.(type) {
	case map[string]any:
		for _, each := range value {
			parts = append(parts, partsOf(each)...)
		}
	case []any:
		for _, each := range value {
			parts = append(parts, partsOf(each)...)
		}
	}
	return parts
}

// exampleParts are the documents of the folder examples and everything in them.
func exampleParts(t *testing.T) []any {
	t.Helper()
	var parts []any
	top := os.DirFS("../examples")
	err := fs.WalkDir(top, ".", func(name string, _ fs.DirEntry, err error) error {
		if err != nil || path.Ext(name) != ".json" {
			return err
		}
		text, err := fs.ReadFile(top, name)
		if err != nil {
			return err
		}
		var document any
		if err := json.Unmarshal(text, &document); err != nil {
			return err
		}
		parts = append(parts, partsOf(document)...)
		return nil
	})
	if err != nil || len(parts) == 0 {
		t.Fatalf("%d parts of examples: %v", len(parts), err)
	}
	return parts
}

// All demo data are one set: a document that a schema shows, or the goal of a plan, stands in a file of the folder examples.
// Single quantities and names show only how such a thing is written.
func TestExamplesOfSchemasStandInTheFolderExamples(t *testing.T) {
	parts := exampleParts(t)
	looked := 0
	hold := func(name string, shown []any) {
		for i, example := range shown {
			t.Run(name+"/"+strconv.Itoa(i), func(t *testing.T) {
				looked++
				for _, part := range parts {
					if reflect.DeepEqual(part, example) {
						return
					}
				}
				t.Errorf("this example stands in no file below examples/: %v", example)
			})
		}
	}
	for _, name := range schemas.Names() {
		text, err := schemas.Read(name)
		if err != nil {
			t.Fatal(err)
		}
		var schema struct {
			Examples []any `json:"examples"`
			Defs     struct {
				Target struct {
					Examples []any `json:"examples"`
				} `json:"target"`
			} `json:"$defs"`
		}
		if err := json.Unmarshal(text, &schema); err != nil {
			t.Fatal(err)
		}
		hold(name, schema.Examples)
		hold(name+"/target", schema.Defs.Target.Examples)
	}
	if looked < 6 {
		t.Errorf("%d examples were looked at", looked)
	}
}
