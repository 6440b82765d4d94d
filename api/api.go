// Package api holds the OpenAPI document of the service: as it is written, and as one self-contained file. It describes
// operations only; the shapes of bodies are the JSON Schemas of package schemas. It neither serves nor checks anything.
package api

import (
	"bytes"
	_ "embed"
	"fmt"

	"github.com/go-json-experiment/json"
)

//go:embed openapi.yaml
var written []byte

//go:embed openapi.json
var bundled []byte

// YAML is the document as it is written; its references to schemas are relative file names.
func YAML() []byte { return bytes.Clone(written) }

// JSON is the document in one piece, made from YAML and the schemas by cmd/generate.
func JSON() []byte { return bytes.Clone(bundled) }

// Version is the version of the API, as info.version has it. It fails when the bundle is not an OpenAPI document.
func Version() (string, error) {
	var document struct {
		Info struct {
			Version string `json:"version"`
		} `json:"info"`
	}
	if err := json.Unmarshal(bundled, &document); err != nil {
		return "", fmt.Errorf("read version of OpenAPI document: %w", err)
	}
	return document.Info.Version, nil
}
