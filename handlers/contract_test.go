package handlers_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/getkin/kin-openapi/routers/legacy"
	"go.uber.org/zap"

	"jarwright/api"
	"jarwright/handlers"
	"jarwright/schemas"
	"jarwright/validate"
	"jarwright/validate/report"
)

// TestMain teaches the filter the media types that it does not know, once and before any test runs.
func TestMain(m *testing.M) {
	for _, mediaType := range []string{"text/markdown", "text/html", "text/css"} {
		openapi3filter.RegisterBodyDecoder(mediaType, openapi3filter.RegisteredBodyDecoder("text/plain"))
	}
	openapi3filter.RegisterBodyDecoder("application/ld+json", openapi3filter.RegisteredBodyDecoder("application/json"))
	os.Exit(m.Run())
}

// contract is the served OpenAPI document with a server that is held to it.
type contract struct {
	document *openapi3.T
	router   routers.Router
	server   *handlers.Server
	tables   handlers.Catalog
}

func newContract(t *testing.T, changes ...func(*handlers.Config)) contract {
	t.Helper()
	document, err := openapi3.NewLoader().LoadFromData(api.JSON())
	if err != nil {
		t.Fatal(err)
	}
	router, err := legacy.NewRouter(document)
	if err != nil {
		t.Fatal(err)
	}
	checker, err := validate.New()
	if err != nil {
		t.Fatal(err)
	}
	tables := handlers.NewCatalog(checker)
	config := handlers.Config{
		Reporter: checker, Planner: checker, Drafter: checker, Catalog: tables, BaseURL: baseURL, Version: "1.2.3", Logger: zap.NewNop(),
	}
	for _, change := range changes {
		change(&config)
	}
	server, err := handlers.New(config)
	if err != nil {
		t.Fatal(err)
	}
	return contract{document: document, router: router, server: server, tables: tables}
}

// The list of forms is kept by package report; the document must offer the same ones.
func TestReportFormatsAreInTheDocument(t *testing.T) {
	c := newContract(t)
	described := c.document.Paths.Find("/v1/reports").Post.Responses.Status(http.StatusOK).Value.Content
	offered := map[string]bool{"application/x-ndjson": true} // the answer to a stream, which is no form of one report
	for _, format := range report.Formats() {
		offered[format.MediaType] = true
		if described[format.MediaType] == nil {
			t.Errorf("the document does not offer %s", format.MediaType)
		}
	}
	for mediaType := range described {
		if !offered[mediaType] {
			t.Errorf("the document offers %s, which no form of a report has", mediaType)
		}
	}
}

// options make the filter as strict as it can be.
func options() *openapi3filter.Options {
	return &openapi3filter.Options{IncludeResponseStatus: true, MultiError: true, RejectWhenRequestBodyNotSpecified: true}
}

// hold sends a request and holds the answer, and the request where it is meant to be good, to the document.
func (c contract) hold(t *testing.T, request *http.Request, body string, goodRequest bool) *httptest.ResponseRecorder {
	t.Helper()
	recorder := httptest.NewRecorder()
	c.server.ServeHTTP(recorder, request)

	described := request.Clone(t.Context())
	described.Body = io.NopCloser(strings.NewReader(body))
	route, params, err := c.router.FindRoute(described)
	if err != nil {
		t.Fatalf("%s %s is not described: %v", request.Method, request.URL, err)
	}
	input := &openapi3filter.RequestValidationInput{Request: described, PathParams: params, Route: route, Options: options()}
	if goodRequest {
		if err := openapi3filter.ValidateRequest(t.Context(), input); err != nil {
			t.Errorf("%s %s: the request breaks the document: %v", request.Method, request.URL, err)
		}
	}
	if route.Operation.Responses.Status(recorder.Code) == nil {
		t.Errorf("%s %s: status %d is not described", request.Method, request.URL, recorder.Code)
	}
	answer := &openapi3filter.ResponseValidationInput{
		RequestValidationInput: input, Status: recorder.Code, Header: recorder.Header(),
		Body: io.NopCloser(bytes.NewReader(recorder.Body.Bytes())), Options: options(),
	}
	if err := openapi3filter.ValidateResponse(t.Context(), answer); err != nil {
		t.Errorf("%s %s: the answer breaks the document: %v\n%.500s", request.Method, request.URL, err, recorder.Body)
	}
	return recorder
}

// The filter must refuse what the schemas refuse, if/then/else included: it falls back to the rules of OpenAPI 3.0,
// silently, when it cannot compile a schema.
func TestFilterBites(t *testing.T) {
	c := newContract(t)
	for name, body := range map[string]string{
		"unknown member":          `{"recipe":{"ingredients":[{"item":"a","per":"jar","amuont":{}}]}}`,
		"enum":                    `{"recipe":{"ingredients":[{"item":"a","per":"pot"}]}}`,
		"amount without value":    `{"recipe":{"ingredients":[{"item":"a","per":"jar","amount":{"unit":"cup"}}]}}`,
		"value of an unmeasured":  `{"recipe":{"ingredients":[{"item":"a","per":"jar","amount":{"unit":"to_cover","value":1}}]}}`,
		"unit of other dimension": `{"recipe":{"ingredients":[{"item":"a","per":"jar"}],"headspace":{"value":1,"unit":"min"}}}`,
	} {
		request := httptest.NewRequest(http.MethodPost, "/v1/reports", strings.NewReader(body))
		request.Header.Set("Content-Type", "application/json")
		route, params, err := c.router.FindRoute(request)
		if err != nil {
			t.Fatal(err)
		}
		input := &openapi3filter.RequestValidationInput{Request: request, PathParams: params, Route: route, Options: options()}
		if err := openapi3filter.ValidateRequest(t.Context(), input); err == nil {
			t.Errorf("%s: the filter lets it pass", name)
		}
		if got := call(c.server, http.MethodPost, "/v1/reports", body); got.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s: the service answers with %d", name, got.Code)
		}
	}
}

// Routes and operations are the same, in both directions.
func TestRoutesAreOperations(t *testing.T) {
	c := newContract(t)
	var routed, described []string
	for _, route := range c.server.Routes() {
		routed = append(routed, route.Method+" "+route.Path+" "+route.OperationID)
	}
	for path, item := range c.document.Paths.Map() {
		for method, operation := range item.Operations() {
			described = append(described, method+" "+path+" "+operation.OperationID)
		}
	}
	slices.Sort(routed)
	slices.Sort(described)
	if !slices.Equal(routed, described) {
		t.Errorf("routes:\n%s\noperations:\n%s", strings.Join(routed, "\n"), strings.Join(described, "\n"))
	}
}

// exampleFiles are the request documents that a reader may copy.
func exampleFiles(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob("../examples/*.json")
	if err != nil {
		t.Fatal(err)
	}
	if len(files) == 0 {
		t.Fatal("there are no examples")
	}
	return files
}

func TestExamplesHoldTheContract(t *testing.T) {
	c := newContract(t)
	for _, file := range exampleFiles(t) {
		t.Run(filepath.Base(file), func(t *testing.T) {
			body, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			for _, accept := range []string{"application/json", "text/plain", "text/markdown"} {
				request := httptest.NewRequest(http.MethodPost, "/v1/reports", bytes.NewReader(body))
				request.Header.Set("Content-Type", "application/json")
				request.Header.Set("Accept", accept)
				answer := c.hold(t, request, string(body), true)
				if answer.Code != http.StatusOK || answer.Body.Len() == 0 {
					t.Errorf("%s: status %d: %s", accept, answer.Code, answer.Body)
				}
			}
		})
	}
}

// Every example is shown in the document.
func TestExamplesAreInTheDocument(t *testing.T) {
	for _, file := range exampleFiles(t) {
		reference := "../examples/" + filepath.Base(file)
		if !bytes.Contains(api.YAML(), []byte(reference)) {
			t.Errorf("api/openapi.yaml does not refer to %s", reference)
		}
	}
}

// described says whether a failure is of an operation of the document. Nothing there can describe the answer of another.
func described(test failing) bool {
	return test.status != http.StatusMethodNotAllowed && !strings.HasSuffix(test.target, "/") &&
		!strings.Contains(test.target, "nothing") && !strings.Contains(test.target, "%2F")
}

func TestFailuresHoldTheContract(t *testing.T) {
	c := newContract(t)
	for _, test := range failures() {
		if !described(test) {
			continue
		}
		t.Run(test.name, func(t *testing.T) {
			request := httptest.NewRequest(test.method, test.target, strings.NewReader(test.body))
			if test.method == http.MethodPost {
				request.Header.Set("Content-Type", "application/json")
			}
			for _, header := range test.headers {
				name, value, _ := strings.Cut(header, ": ")
				request.Header.Set(strings.TrimSuffix(name, ":"), value)
			}
			if answer := c.hold(t, request, test.body, false); answer.Code != test.status {
				t.Errorf("status %d, want %d", answer.Code, test.status)
			}
		})
	}
}

// What a service may add, a key and a quota, is described for every operation that it may be added to.
func TestGuardHoldsTheContract(t *testing.T) {
	keys := &handlers.Keys{}
	if err := keys.Load(strings.NewReader("class aaaaaaaaaaaaaaaa\n")); err != nil {
		t.Fatal(err)
	}
	locked := newContract(t, func(c *handlers.Config) { c.Keys = keys })
	used := newContract(t, func(c *handlers.Config) { c.RateLimit = handlers.RateLimit{Requests: 1, Window: time.Hour} })
	call(used.server, "GET", "/", "")
	refused := map[int]int{}
	for path, item := range locked.document.Paths.Map() {
		for method := range item.Operations() {
			target := path
			if method == http.MethodGet {
				target = exampleTarget(t, path, item)
			}
			for status, c := range map[int]contract{http.StatusUnauthorized: locked, http.StatusTooManyRequests: used} {
				answer := c.hold(t, httptest.NewRequest(method, target, nil), "", false)
				if answer.Code == status {
					refused[status]++
				}
			}
		}
	}
	if refused[http.StatusUnauthorized] < 20 || refused[http.StatusTooManyRequests] < 30 {
		t.Errorf("refused: %v", refused)
	}
	busy := newContract(t, func(c *handlers.Config) {
		c.Limits = handlers.DefaultLimits()
		c.Limits.LargeBodies = 0
	})
	for _, path := range []string{"/v1/reports", "/v1/plans", "/v1/cards", "/v1/drafts"} {
		body := strings.Repeat(" ", 20_000)
		request := httptest.NewRequest(http.MethodPost, path, strings.NewReader(body))
		request.Header.Set("Content-Type", "application/json")
		if answer := busy.hold(t, request, body, false); answer.Code != http.StatusServiceUnavailable {
			t.Errorf("%s: status %d", path, answer.Code)
		}
	}
}

// The problems shown in the document are what the service answers with: each is named as the failure that it shows.
func TestProblemExamplesAreReal(t *testing.T) {
	c := newContract(t)
	shown := map[string]any{}
	for _, response := range c.document.Components.Responses {
		for _, media := range response.Value.Content {
			for name, example := range media.Examples {
				shown[name] = example.Value.Value
			}
		}
	}
	if len(shown) == 0 {
		t.Fatal("the document shows no problem")
	}
	for _, test := range failures() {
		name := strings.ReplaceAll(test.name, " ", "_")
		want, ok := shown[name]
		if !ok {
			continue
		}
		delete(shown, name)
		answer := call(c.server, test.method, test.target, test.body, append(test.headers, "X-Request-Id: example-1")...)
		var got any
		if err := json.Unmarshal(answer.Body.Bytes(), &got); err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: the document shows\n%v\nthe answer is\n%s", name, want, answer.Body)
		}
	}
	for name := range shown {
		t.Errorf("%s is not among the failures", name)
	}
}

// Every table and every row is as its schema has it.
func TestCatalogHoldsTheContract(t *testing.T) {
	c := newContract(t)
	get := func(target string) {
		t.Helper()
		if answer := c.hold(t, httptest.NewRequest(http.MethodGet, target, nil), "", true); answer.Code != http.StatusOK {
			t.Errorf("GET %s: status %d: %.300s", target, answer.Code, answer.Body)
		}
	}
	for _, target := range []string{"/", "/healthz", "/readyz", "/openapi.json", "/openapi.yaml"} {
		get(target)
	}
	for _, name := range schemas.Names() {
		get("/schemas/" + name)
	}
	for _, kind := range []string{"internal", "invalid_document", "not_ready"} {
		get("/problems/" + kind)
	}
	for _, table := range []string{"foods", "ingredients", "jars", "units", "schedules", "recipes", "changes", "rules", "sources", "rulesets"} {
		get("/v1/" + table)
	}
	for _, each := range c.tables.Jars {
		get("/v1/jars/" + each.ID)
	}
	for _, each := range c.tables.Units {
		get("/v1/units/" + each.Code)
	}
	for _, each := range c.tables.Rules {
		get("/v1/rules/" + each.ID)
	}
	for _, each := range c.tables.Rulesets {
		get("/v1/rulesets/" + each.Number)
	}
	for _, each := range c.tables.Sources {
		get("/v1/sources/" + each.ID)
	}
	// One row of each of the long tables stands for all: the list has held every row to the same schema.
	get("/v1/schedules/" + c.tables.Schedules[0].ID)
	get("/v1/recipes/" + c.tables.Recipes[0].ID)
	get("/v1/changes/" + c.tables.Changes[0].ID)
	for _, item := range c.tables.Items {
		if strings.Contains(item.ID, "vinegar") {
			target := "/v1/ingredients/" + item.ID
			if answer := c.hold(t, httptest.NewRequest(http.MethodGet, target, nil), "", true); answer.Code == http.StatusOK {
				return
			}
		}
	}
	t.Error("no ingredient could be looked up")
}

// exampleTarget is what the document shows as an example of a GET operation: the path with the parameters that it needs.
func exampleTarget(t *testing.T, path string, item *openapi3.PathItem) string {
	t.Helper()
	target := path
	for _, parameter := range item.Parameters {
		example, ok := parameter.Value.Example.(string)
		if !ok {
			t.Errorf("%s: parameter %s has no example", path, parameter.Value.Name)
		}
		target = strings.ReplaceAll(target, "{"+parameter.Value.Name+"}", example)
	}
	var needed []string
	for _, parameter := range item.Get.Parameters {
		if parameter.Value.Required {
			needed = append(needed, fmt.Sprintf("%s=%v", parameter.Value.Name, parameter.Value.Example))
		}
	}
	if len(needed) > 0 {
		target += "?" + strings.Join(needed, "&")
	}
	return target
}

// The path parameters shown in the document are ids that exist.
func TestPathExamplesAnswer(t *testing.T) {
	c := newContract(t)
	for path, item := range c.document.Paths.Map() {
		if item.Get == nil {
			continue
		}
		target := exampleTarget(t, path, item)
		if answer := call(c.server, http.MethodGet, target, ""); answer.Code != http.StatusOK {
			t.Errorf("GET %s: status %d", target, answer.Code)
		}
		if !strings.Contains(strings.ReplaceAll(item.Get.Description, `"`, ""), "8080"+target+"\n") {
			t.Errorf("GET %s: the curl line asks for something else", target)
		}
	}
}

// A repeated request is answered with 304, which the document describes without a body.
func TestNotModifiedHoldsTheContract(t *testing.T) {
	c := newContract(t)
	request := httptest.NewRequest(http.MethodGet, "/v1/units", nil)
	request.Header.Set("If-None-Match", call(c.server, http.MethodGet, "/v1/units", "").Header().Get("ETag"))
	if answer := c.hold(t, request, "", true); answer.Code != http.StatusNotModified {
		t.Errorf("status %d", answer.Code)
	}
}
