package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"

	"jarwright/validate"
	"jarwright/validate/report"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// bundle makes one self-contained document of the OpenAPI document in a file, the schemas it refers to and its
// examples. The members of every object are in alphabetical order, but those of examples keep theirs.
func bundle(file string) ([]byte, error) {
	loader := openapi3.NewLoader()
	loader.IsExternalRefsAllowed = true
	document, err := loader.LoadFromFile(file)
	if err != nil {
		return nil, fmt.Errorf("load %s: %w", file, err)
	}
	names := map[string]string{}
	var clash error
	document.InternalizeRefs(context.Background(), func(_ *openapi3.T, ref openapi3.ComponentRef) string {
		place := ref.RefPath().Path + "#" + ref.RefPath().Fragment
		name := componentName(ref.RefPath().Path, ref.RefPath().Fragment)
		if taken, ok := names[name]; ok && taken != place && clash == nil {
			clash = fmt.Errorf("component %s stands for %s and for %s", name, taken, place)
		}
		names[name] = place
		return name
	})
	if clash != nil {
		return nil, clash
	}
	if document.Components == nil {
		return nil, fmt.Errorf("%s refers to no schema", file)
	}
	for _, schema := range document.Components.Schemas {
		// An $id or a dialect of its own makes a component a document of its own, in which references to other
		// components do not resolve; what was in $defs is a component by now.
		schema.Value.SchemaID = ""
		schema.Value.SchemaDialect = ""
		schema.Value.Defs = nil
	}
	if err := inlineExamples(document, filepath.Dir(file)); err != nil {
		return nil, err
	}
	compact, err := document.MarshalJSON()
	if err != nil {
		return nil, fmt.Errorf("encode bundle: %w", err)
	}
	out := jsontext.Value(compact)
	if err := out.Indent(jsontext.WithIndent("  ")); err != nil {
		return nil, fmt.Errorf("indent bundle: %w", err)
	}
	out = append(out, '\n')
	if err := check(out); err != nil {
		return nil, fmt.Errorf("check bundle: %w", err)
	}
	return out, nil
}

// componentName makes TestedRecipeIngredient of tested_recipe.schema.json#/$defs/ingredient.
func componentName(path, fragment string) string {
	base := path[strings.LastIndexByte(path, '/')+1:]
	base = strings.TrimSuffix(base, ".schema.json")
	fragment = strings.TrimPrefix(fragment, "/$defs/")
	fragment = strings.TrimPrefix(fragment, "/components/schemas/")
	var name strings.Builder
	for word := range strings.FieldsFuncSeq(base+"/"+fragment, func(r rune) bool { return r == '_' || r == '/' || r == '.' || r == '-' }) {
		name.WriteString(strings.ToUpper(word[:1]) + word[1:])
	}
	return name.String()
}

// reportOf is the member of an example that names the request document whose report is to be shown.
const reportOf = "x-report-of"

// inlineExamples gives every example its value: the JSON in the file that externalValue names, or the report on the
// request document that x-report-of names. Both are relative to the folder.
func inlineExamples(document *openapi3.T, folder string) error {
	for _, path := range document.Paths.InMatchingOrder() {
		for _, operation := range document.Paths.Value(path).Operations() {
			contents := []openapi3.Content{}
			if operation.RequestBody != nil {
				contents = append(contents, operation.RequestBody.Value.Content)
			}
			for _, response := range operation.Responses.Map() {
				contents = append(contents, response.Value.Content)
			}
			for _, content := range contents {
				for _, media := range content {
					for name, example := range media.Examples {
						if err := inlineExample(example.Value, folder); err != nil {
							return fmt.Errorf("%s: example %s: %w", operation.OperationID, name, err)
						}
					}
				}
			}
		}
	}
	return nil
}

func inlineExample(example *openapi3.Example, folder string) error {
	if request, ok := example.Extensions[reportOf].(string); ok {
		text, err := os.ReadFile(filepath.Join(folder, filepath.FromSlash(request)))
		if err != nil {
			return err
		}
		shown, err := reportOn(text)
		if err != nil {
			return fmt.Errorf("report on %s: %w", request, err)
		}
		example.Value = jsontext.Value(shown)
		delete(example.Extensions, reportOf)
		return nil
	}
	if example.ExternalValue == "" {
		return nil
	}
	text, err := os.ReadFile(filepath.Join(folder, filepath.FromSlash(example.ExternalValue)))
	if err != nil {
		return err
	}
	if !jsontext.Value(text).IsValid() {
		return fmt.Errorf("%s is not JSON", example.ExternalValue)
	}
	example.Value = jsontext.Value(text)
	example.ExternalValue = ""
	return nil
}

// reportOn is the report that the service would answer with.
func reportOn(request []byte) ([]byte, error) {
	checker, err := validate.New()
	if err != nil {
		return nil, fmt.Errorf("load rules and tables: %w", err)
	}
	judged, problem := checker.Check(nil, request, report.Options{})
	if problem != nil {
		return nil, fmt.Errorf("not a request: %s", problem.Detail)
	}
	var encoded bytes.Buffer
	if err := report.Encode(&encoded, judged); err != nil {
		return nil, err
	}
	return encoded.Bytes(), nil
}

// check reads the bundle as a stranger would: alone, and by the rules of OpenAPI 3.1.
func check(bundled []byte) error {
	document, err := openapi3.NewLoader().LoadFromData(bundled)
	if err != nil {
		return fmt.Errorf("load: %w", err)
	}
	if !document.IsOpenAPI31OrLater() {
		return fmt.Errorf("version %q is older than 3.1", document.OpenAPI)
	}
	if err := document.Validate(context.Background(), openapi3.EnableExamplesValidation()); err != nil {
		return fmt.Errorf("validate: %w", err)
	}
	var plain any
	if err := json.Unmarshal(bundled, &plain); err != nil {
		return fmt.Errorf("read: %w", err)
	}
	if outside := externalRefs(plain); len(outside) > 0 {
		return fmt.Errorf("references to other documents are left: %s", strings.Join(outside, ", "))
	}
	return nil
}

// externalRefs lists the references that lead out of a document.
func externalRefs(node any) []string {
	var found []string
	switch node := node.(type) {
	case map[string]any:
		if ref, ok := node["$ref"].(string); ok && !strings.HasPrefix(ref, "#/components/") {
			found = append(found, ref)
		}
		for _, value := range node {
			found = append(found, externalRefs(value)...)
		}
	case []any:
		for _, value := range node {
			found = append(found, externalRefs(value)...)
		}
	}
	slices.Sort(found)
	return found
}
