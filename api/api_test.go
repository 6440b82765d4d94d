package api_test

import (
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"jarwright/api"
)

func loaded(t *testing.T) *openapi3.T {
	t.Helper()
	document, err := openapi3.NewLoader().LoadFromData(api.JSON())
	if err != nil {
		t.Fatal(err)
	}
	return document
}

func TestBundleIsOpenAPI31(t *testing.T) {
	document := loaded(t)
	if !strings.HasPrefix(document.OpenAPI, "3.1.") {
		t.Errorf("openapi: %s", document.OpenAPI)
	}
	version, err := api.Version()
	if err != nil || version != document.Info.Version {
		t.Errorf("Version is %q, %v; info.version is %q", version, err, document.Info.Version)
	}
	if err := document.Validate(t.Context(), openapi3.EnableExamplesValidation()); err != nil {
		t.Error(err)
	}
}

// The conventions that clients and their generators lean on; OpenAPI itself does not ask for them.
func TestOperationsAreDescribed(t *testing.T) {
	document := loaded(t)
	tags := map[string]bool{}
	for _, tag := range document.Tags {
		tags[tag.Name] = tag.Description != ""
	}
	ids := map[string]bool{}
	for _, path := range document.Paths.InMatchingOrder() {
		for method, operation := range document.Paths.Value(path).Operations() {
			at := method + " " + path
			if operation.OperationID == "" || ids[operation.OperationID] {
				t.Errorf("%s: operationId %q is empty or taken", at, operation.OperationID)
			}
			ids[operation.OperationID] = true
			if len(operation.Tags) != 1 || !tags[operation.Tags[0]] {
				t.Errorf("%s: tags %v", at, operation.Tags)
			}
			if len(operation.Summary) == 0 || len(operation.Summary) > 60 {
				t.Errorf("%s: summary of %d letters", at, len(operation.Summary))
			}
			if !strings.Contains(strings.ReplaceAll(operation.Description, `"`, ""), "curl http://127.0.0.1:8080/") {
				t.Errorf("%s: the description has no curl line", at)
			}
			for status, response := range operation.Responses.Map() {
				success := strings.HasPrefix(status, "2")
				if status == "304" {
					continue
				}
				if problem := response.Value.Content.Get("application/problem+json") != nil; problem == success {
					t.Errorf("%s: %s is described with the wrong kind of body", at, status)
				}
				if response.Value.Headers["X-Request-Id"] == nil {
					t.Errorf("%s: %s lacks X-Request-Id", at, status)
				}
			}
			for _, status := range []string{"400", "406", "500", "default"} {
				if operation.Responses.Value(status) == nil {
					t.Errorf("%s: %s is not described", at, status)
				}
			}
		}
	}
}

// Typed clients come out wrong where an enum has no type or a number has no format.
func TestSchemasServeTypedClients(t *testing.T) {
	document := loaded(t)
	for name, component := range document.Components.Schemas {
		err := openapi3.NewSchemaRef("", component.Value).WalkSubtree(func(place string, ref *openapi3.SchemaRef) error {
			schema := ref.Value
			if strings.HasSuffix(place, "/not") { // no client makes a type of what a value is not
				return nil
			}
			if len(schema.Enum) > 0 && schema.Type.IsEmpty() {
				t.Errorf("%s%s: enum without type", name, place)
			}
			if (schema.Type.Includes("number") || schema.Type.Includes("integer")) && schema.Format == "" {
				t.Errorf("%s%s: number without format", name, place)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}
