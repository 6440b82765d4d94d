package handlers

import (
	"slices"

	"github.com/labstack/echo/v4"

	"jarwright/api"
	"jarwright/schemas"
	"jarwright/validate/ingest"
	"jarwright/validate/measure"
)

// indexDocument is the body of GET /.
type indexDocument struct {
	Name      string          `json:"name"`
	Version   string          `json:"version"`
	About     string          `json:"about"`
	Endpoints []indexEndpoint `json:"endpoints"`
}

type indexEndpoint struct {
	Method      string `json:"method"`
	Path        string `json:"path"`
	OperationID string `json:"operation_id"`
}

func (s *Server) indexBody(version string) indexDocument {
	document := indexDocument{
		Name:      "Jarwright",
		Version:   version,
		About:     "Checks home pickling recipes against published, tested processes. Nothing is stored.",
		Endpoints: []indexEndpoint{},
	}
	for _, route := range s.Routes() {
		document.Endpoints = append(document.Endpoints, indexEndpoint{
			Method: route.Method, Path: route.Path, OperationID: route.OperationID,
		})
	}
	return document
}

// prepareContract readies the OpenAPI document and the schemas.
func (s *Server) prepareContract() error {
	asJSON, asYAML, err := s.relocated(api.JSON(), api.YAML())
	if err != nil {
		return err
	}
	if s.openapiJSON, err = newAsset(asJSON, mediaJSON); err != nil {
		return err
	}
	if s.openapiYAML, err = newAsset(asYAML, mediaYAML); err != nil {
		return err
	}
	s.schemas = map[string]*asset{}
	for _, name := range schemas.Names() {
		text, err := schemas.Read(name)
		if err != nil {
			return err
		}
		if s.schemas[name], err = newAsset(text, mediaSchemaJSON, mediaJSON); err != nil {
			return err
		}
	}
	return nil
}

// getSchema serves one JSON Schema by its file name.
func (s *Server) getSchema(c echo.Context) error {
	return serveNamed(c, s.schemas, "name", "schema")
}

// problemAssets readies what GET /problems/{code} says of each kind of problem.
func (s *Server) problemAssets() (map[string]*asset, error) {
	assets := map[string]*asset{}
	for _, kind := range problemKinds() {
		described, err := newJSONAsset(struct {
			Type string `json:"type"`
			problemKind
		}{s.problemType(kind.Code), kind})
		if err != nil {
			return nil, err
		}
		assets[kind.Code] = described
	}
	return assets, nil
}

// getProblem says what a kind of problem means and what to do about it.
func (s *Server) getProblem(c echo.Context) error {
	return serveNamed(c, s.problems, "code", "kind of problem")
}

// serveNamed serves the asset that the path parameter names; when there is none it names the nearest.
func serveNamed(c echo.Context, assets map[string]*asset, parameter, noun string) error {
	name := c.Param(parameter)
	if found, ok := assets[name]; ok {
		return found.serve(c)
	}
	names := make([]string, 0, len(assets))
	for each := range assets {
		names = append(names, each)
	}
	slices.Sort(names)
	return notNamed(parameter, name, noun, names)
}

// notNamed is the failure for a path parameter that names nothing.
func notNamed(parameter, name, noun string, known []string) error {
	params := &ingest.Params{Got: shortened(name), Nearest: measure.NearestName(name, known)}
	detail := "There is no " + noun + " of this name."
	if params.Nearest != "" {
		detail += " Did you mean " + params.Nearest + "?"
	}
	return &failure{kind: kindNotFound, detail: detail, errors: []ProblemError{{
		Parameter: parameter, Code: "unknown_" + parameter, Detail: "No " + noun + " is called this.", Params: params,
	}}}
}
