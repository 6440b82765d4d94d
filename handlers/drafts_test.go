package handlers_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"

	"jarwright/handlers"
	"jarwright/validate/draft"
	"jarwright/validate/ingest"
)

// publishedRecipe is a small recipe as a blog would publish it.
const publishedRecipe = `{"@context":"https://schema.org","@type":"Recipe","name":"Beets","recipeIngredient":["2 lb beets","2 cups vinegar (5%)"]}`

func TestDraftsHoldTheContract(t *testing.T) {
	c := newContract(t)
	example, err := os.ReadFile("../examples/mustard-seed-carrots.jsonld")
	if err != nil {
		t.Fatal(err)
	}
	page := `<!doctype html><title>Beets</title><script type="application/ld+json">` + publishedRecipe + `</script>`
	for _, test := range []struct{ target, contentType, body string }{
		{"/v1/drafts", "application/ld+json", string(example)},
		{"/v1/drafts?report=true", "application/ld+json", string(example)},
		{"/v1/drafts?report=false", "application/json", publishedRecipe},
		{"/v1/drafts", "application/json", "[" + publishedRecipe + "]"},
		{"/v1/drafts", "text/html", page},
	} {
		request := httptest.NewRequest(http.MethodPost, test.target, strings.NewReader(test.body))
		request.Header.Set("Content-Type", test.contentType)
		answer := c.hold(t, request, test.body, true)
		if answer.Code != http.StatusOK {
			t.Errorf("%s %s: status %d: %s", test.target, test.contentType, answer.Code, answer.Body)
			continue
		}
		var got draft.Draft
		if err := json.Unmarshal(answer.Body.Bytes(), &got); err != nil {
			t.Fatal(err)
		}
		if wanted := strings.Contains(test.target, "=true"); (got.Report != nil) != wanted {
			t.Errorf("%s: report %v", test.target, got.Report != nil)
		}
		// What comes out is what /v1/reports takes.
		request1, err := json.Marshal(got.Request)
		if err != nil {
			t.Fatal(err)
		}
		if again := call(c.server, http.MethodPost, "/v1/reports", string(request1)); again.Code != http.StatusOK {
			t.Errorf("%s: the draft is refused: %s", test.target, again.Body)
		}
	}
}

// The report that comes with a draft is counted like any other.
func TestReportsOfDraftsAreCounted(t *testing.T) {
	metrics := handlers.NewMetrics()
	c := newContract(t, func(c *handlers.Config) { c.Metrics = metrics })
	for _, target := range []string{"/v1/drafts", "/v1/drafts?report=true"} {
		if answer := call(c.server, "POST", target, publishedRecipe); answer.Code != http.StatusOK {
			t.Fatalf("%s: status %d: %s", target, answer.Code, answer.Body)
		}
	}
	text := scraped(t, metrics)
	for _, want := range []string{
		`jarwright_reports_total{disposition="hold"} 1`,
		`jarwright_rule_outcomes_total{outcome="undetermined",rule="process.elevation-known"} 1`,
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the metrics lack %s", want)
		}
	}
}

// The example that the pages point to follows a tested recipe; what it cannot know is the kitchen.
func TestDraftedExampleLacksOnlyTheKitchen(t *testing.T) {
	c := newContract(t)
	example, err := os.ReadFile("../examples/mustard-seed-carrots.jsonld")
	if err != nil {
		t.Fatal(err)
	}
	answer := call(c.server, http.MethodPost, "/v1/drafts?report=true", string(example), "Content-Type: application/ld+json")
	var got draft.Draft
	if err := json.Unmarshal(answer.Body.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	for _, finding := range got.Report.Findings {
		// How far below the rim the pieces stay is a warning, and a published recipe seldom says it apart.
		if finding.Rule != "process.elevation-known" && finding.Rule != "pack.food-covered" && finding.Severity != "info" {
			t.Errorf("%s: %s", finding.Rule, finding.Message)
		}
	}
	if len(got.NotUnderstood) > 0 || got.From.At != "/@graph/1" {
		t.Errorf("from %+v, not understood %+v", got.From, got.NotUnderstood)
	}
}

func TestDraftFailures(t *testing.T) {
	c := newContract(t)
	for _, test := range []struct {
		name, target, contentType, body string
		status                          int
		code, first                     string
	}{
		{"no recipe", "/v1/drafts", "application/ld+json", `{"@type":"Article"}`, 422, "invalid_document", draft.CodeNoRecipe},
		{"no ingredients", "/v1/drafts", "application/ld+json", `{"@type":"Recipe","name":"x"}`, 422, "invalid_document", draft.CodeNoIngredients},
		{"page without a recipe", "/v1/drafts", "text/html", "<p>Hello</p>", 422, "invalid_document", draft.CodeNoRecipe},
		{"broken", "/v1/drafts", "application/ld+json", `{`, 400, "malformed_json", "not_json"},
		{"too long", "/v1/drafts", "application/ld+json", strings.Repeat(" ", ingest.MaxBytes+1), 413, "body_too_large", "body_too_large"},
		{"page too long", "/v1/drafts", "text/html", strings.Repeat(" ", draft.MaxPageBytes+1), 413, "body_too_large", "body_too_large"},
		{"type", "/v1/drafts", "application/xml", "<a/>", 415, "unsupported_media_type", "not_supported"},
		{"parameter", "/v1/drafts?report=maybe", "application/ld+json", publishedRecipe, 400, "unknown_query_parameter", "not_allowed"},
		{"unknown parameter", "/v1/drafts?full=1", "application/ld+json", publishedRecipe, 400, "unknown_query_parameter", "unknown_parameter"},
	} {
		request := httptest.NewRequest(http.MethodPost, test.target, strings.NewReader(test.body))
		request.Header.Set("Content-Type", test.contentType)
		answer := c.hold(t, request, test.body, false)
		problem := problemIn(t, answer)
		if answer.Code != test.status || problem.Code != test.code || len(problem.Errors) == 0 || problem.Errors[0].Code != test.first {
			t.Errorf("%s: status %d, %+v", test.name, answer.Code, problem)
		}
	}
	answer := call(c.server, http.MethodPost, "/v1/drafts", "x", "Content-Type: text/csv")
	if got := answer.Header().Get("Accept-Post"); got != "application/ld+json, application/json, text/html, application/x-ndjson" {
		t.Errorf("Accept-Post %q", got)
	}
	if answer := call(c.server, http.MethodPost, "/v1/drafts", publishedRecipe, "Accept: text/plain"); answer.Code != http.StatusNotAcceptable {
		t.Errorf("Accept text/plain: status %d", answer.Code)
	}
}

// The same report as SARIF, over HTTP.
func TestReportAsSARIF(t *testing.T) {
	c := newContract(t)
	request := httptest.NewRequest(http.MethodPost, "/v1/reports", strings.NewReader(request))
	request.Header.Set("Content-Type", "application/json")
	request.Header.Set("Accept", "application/sarif+json")
	answer := c.server
	recorder := httptest.NewRecorder()
	answer.ServeHTTP(recorder, request)
	var log struct {
		Version string
		Runs    []struct{ Results []any }
	}
	if err := json.Unmarshal(recorder.Body.Bytes(), &log); err != nil || log.Version != "2.1.0" || len(log.Runs) != 1 || len(log.Runs[0].Results) == 0 {
		t.Errorf("%v: %.300s", err, recorder.Body)
	}
	if got := recorder.Header().Get("Content-Type"); got != "application/sarif+json" {
		t.Errorf("Content-Type %q", got)
	}
}
