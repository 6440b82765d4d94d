package handlers

import (
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"
)

// Route is one operation of the contract.
type Route struct {
	Method      string // GET routes answer HEAD too
	Path        string // as in the OpenAPI document, with parameters in braces
	OperationID string
	query       []string // names of the query parameters
	handler     echo.HandlerFunc
}

// Routes are the operations that the server answers. A test holds them to api/openapi.yaml in both directions.
func (s *Server) Routes() []Route {
	table := []Route{
		{Method: http.MethodGet, Path: "/", OperationID: "getIndex", handler: s.getIndex},
		{Method: http.MethodPost, Path: "/", OperationID: "postForm", handler: s.postForm},
		{Method: http.MethodPost, Path: "/v1/reports", OperationID: "createReport", query: []string{"include"}, handler: s.createReport},
		{Method: http.MethodPost, Path: "/v1/plans", OperationID: "createPlan", handler: s.createPlan},
		{Method: http.MethodPost, Path: "/v1/cards", OperationID: "createCard", query: []string{"require"}, handler: s.createCard},
		{Method: http.MethodPost, Path: "/v1/drafts", OperationID: "createDraft", query: []string{"report"}, handler: s.createDraft},
	}
	table = append(table, Route{
		Method: http.MethodGet, Path: "/v1/altitude", OperationID: "getAltitude",
		query: []string{"elevation", "unit", "recipe", "boiling_point", "boiling_unit"}, handler: s.getAltitude,
	})
	for _, each := range s.collections {
		table = append(table,
			Route{Method: http.MethodGet, Path: "/v1/" + each.name, OperationID: each.listOperation, handler: each.list.serve},
			Route{Method: http.MethodGet, Path: "/v1/" + each.name + "/{id}", OperationID: each.getOperation, handler: each.getOne},
		)
	}
	return append(table,
		Route{Method: http.MethodGet, Path: "/docs", OperationID: "getDocs", handler: s.pages.docs.serve},
		Route{Method: http.MethodGet, Path: "/docs/rules", OperationID: "getRulesPage", handler: s.pages.rules.serve},
		Route{Method: http.MethodGet, Path: "/docs/sources", OperationID: "getSourcesPage", handler: s.pages.sources.serve},
		Route{Method: http.MethodGet, Path: "/rulesets", OperationID: "getRulesetsPage", handler: s.pages.rulesets.serve},
		Route{Method: http.MethodGet, Path: "/assets/{name}", OperationID: "getAsset", handler: s.getAsset},
		Route{Method: http.MethodGet, Path: "/openapi.json", OperationID: "getOpenapiJson", handler: s.openapiJSON.serve},
		Route{Method: http.MethodGet, Path: "/openapi.yaml", OperationID: "getOpenapiYaml", handler: s.openapiYAML.serve},
		Route{Method: http.MethodGet, Path: "/schemas/{name}", OperationID: "getSchema", handler: s.getSchema},
		Route{Method: http.MethodGet, Path: "/problems/{code}", OperationID: "getProblem", handler: s.getProblem},
		Route{Method: http.MethodGet, Path: "/healthz", OperationID: "getHealth", handler: s.getHealth},
		Route{Method: http.MethodGet, Path: "/readyz", OperationID: "getReadiness", handler: s.getReadiness},
	)
}

// register adds the routes to the router.
func (s *Server) register(e *echo.Echo) {
	for _, route := range s.Routes() {
		handler := func(c echo.Context) error {
			if err := checkQuery(c, route.query); err != nil {
				return err
			}
			return route.handler(c)
		}
		path := routerPath(route.Path)
		e.Add(route.Method, path, handler)
		if route.Method == http.MethodGet {
			e.Add(http.MethodHead, path, handler)
		}
	}
}

// routerPath is a path of the OpenAPI document as the router writes it.
func routerPath(path string) string { return strings.NewReplacer("{", ":", "}", "").Replace(path) }
