package handlers_test

import (
	"bytes"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"jarwright/handlers"
	"jarwright/validate"
	"jarwright/validate/budget"
	"jarwright/validate/card"
	"jarwright/validate/catalog"
	"jarwright/validate/ingest"
	"jarwright/validate/plan"
	"jarwright/validate/report"
)

const policy = "default-src 'self'; img-src 'self' data:; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// inPage is what a page must not hold: script or style in itself, or anything from another place.
var inPage = regexp.MustCompile(`(?i)<script(?: type="[^l"]+")?>|<style|<[a-z]+(?:\s+[a-z-]+(?:="[^"]*")?)*\s+(?:style|on[a-z]+)=|javascript:|(?:src|href|action)="(?:https?:)?//`)

// pageOf asks for a page and holds it to the policy.
func pageOf(t *testing.T, c contract, request *http.Request, body string) string {
	t.Helper()
	request.Header.Set("Accept", "text/html")
	answer := c.hold(t, request, body, true)
	if answer.Code != http.StatusOK || answer.Header().Get("Content-Type") != "text/html; charset=utf-8" {
		t.Fatalf("%s %s: status %d, %s", request.Method, request.URL, answer.Code, answer.Header().Get("Content-Type"))
	}
	if got := answer.Header().Get("Content-Security-Policy"); got != policy {
		t.Errorf("%s: policy %q", request.URL, got)
	}
	page := answer.Body.String()
	if found := inPage.FindString(page); found != "" {
		t.Errorf("%s %s holds %q", request.Method, request.URL, found)
	}
	return page
}

func posted(target, contentType, body string) *http.Request {
	request := httptest.NewRequest(http.MethodPost, target, strings.NewReader(body))
	request.Header.Set("Content-Type", contentType)
	return request
}

func form(fields ...string) string {
	values := url.Values{}
	for i := 0; i < len(fields); i += 2 {
		values.Set(fields[i], fields[i+1])
	}
	return values.Encode()
}

const formType = "application/x-www-form-urlencoded"

func TestPagesHoldThePolicy(t *testing.T) {
	c := newContract(t)
	for target, words := range map[string][]string{
		"/":             {"Start from an example", `name="item-0"`, "<option value=\"cucumber\">", "Elevation"},
		"/docs":         {"/assets/swagger-ui-bundle.js", "/openapi.json", `href="/rulesets"`},
		"/docs/rules":   {`id="process.altitude-time"`, "danger of botulism"},
		"/docs/sources": {`id="usda-2015"`, "from memory"},
		"/rulesets":     {`id="2026.1"`, "Everyone"},
	} {
		page := pageOf(t, c, httptest.NewRequest(http.MethodGet, target, nil), "")
		for _, word := range words {
			if !strings.Contains(page, word) {
				t.Errorf("%s lacks %q", target, word)
			}
		}
	}
	rules := pageOf(t, c, httptest.NewRequest(http.MethodGet, "/docs/rules", nil), "")
	for _, rule := range c.tables.Rules {
		if !strings.Contains(rules, `id="`+rule.ID+`"`) {
			t.Errorf("/docs/rules lacks %s", rule.ID)
		}
	}
	sources := pageOf(t, c, httptest.NewRequest(http.MethodGet, "/docs/sources", nil), "")
	for _, source := range c.tables.Sources {
		if !strings.Contains(sources, `id="`+source.ID+`"`) {
			t.Errorf("/docs/sources lacks %s", source.ID)
		}
	}
	for _, name := range []string{"style.css", "page.js", "docs.js", "docs.css", "jar.svg", "swagger-ui-bundle.js", "swagger-ui.css", "swagger-ui.LICENSE.txt"} {
		if answer := call(c.server, http.MethodGet, "/assets/"+name, "", "Accept-Encoding: gzip"); answer.Code != http.StatusOK || answer.Header().Get("ETag") == "" {
			t.Errorf("%s: status %d", name, answer.Code)
		}
	}
	if answer := call(c.server, http.MethodGet, "/assets/../pages.go", ""); answer.Code != http.StatusNotFound {
		t.Errorf("a file beside the assets: status %d", answer.Code)
	}
}

// The index stays JSON for programs.
func TestIndexIsPageOrJSON(t *testing.T) {
	c := newContract(t)
	for accept, contentType := range map[string]string{
		"": "application/json", "*/*": "application/json", "application/json": "application/json",
		"text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8": "text/html; charset=utf-8",
	} {
		answer := call(c.server, http.MethodGet, "/", "", "Accept: "+accept)
		if got := answer.Header().Get("Content-Type"); got != contentType {
			t.Errorf("Accept %q: %s", accept, got)
		}
	}
	if answer := call(c.server, http.MethodGet, "/", "", "Accept: image/png"); answer.Code != http.StatusNotAcceptable {
		t.Errorf("image/png: status %d", answer.Code)
	}
}

// askedReporter counts what is asked of the Checker that it is.
type askedReporter struct {
	*validate.Checker
	asked int
}

func (r *askedReporter) Check(b *budget.Budget, body []byte, options report.Options) (report.Report, *ingest.Problem) {
	r.asked++
	return r.Checker.Check(b, body, options)
}

func (r *askedReporter) Illustrate(b *budget.Budget, body []byte, options report.Options) (validate.Illustrated, *ingest.Problem) {
	r.asked++
	return r.Checker.Illustrate(b, body, options)
}

// A report is made once, whatever it is written as. TestAPageIsJudgedOnce of package validate counts what making one takes.
func TestAReportIsAskedForOnce(t *testing.T) {
	checker, err := validate.New()
	if err != nil {
		t.Fatal(err)
	}
	reporter := &askedReporter{Checker: checker}
	c := newContract(t, func(config *handlers.Config) { config.Reporter = reporter })
	document := string(documentsOf(t, "../examples")["dill-cucumbers.json"])
	for _, format := range report.Formats() {
		t.Run(format.Name, func(t *testing.T) {
			reporter.asked = 0
			answer := call(c.server, http.MethodPost, "/v1/reports", document, "Accept: "+format.MediaType)
			if answer.Code != http.StatusOK || reporter.asked != 1 {
				t.Errorf("status %d, asked %d times", answer.Code, reporter.asked)
			}
		})
	}
	for _, fields := range []string{form("do", "example", "example", "dill-cucumbers"), form("do", "paste", "json", document)} {
		t.Run(strings.SplitN(fields, "&", 2)[0], func(t *testing.T) {
			reporter.asked = 0
			pageOf(t, c, posted("/", formType, fields), fields)
			if reporter.asked != 1 {
				t.Errorf("asked %d times", reporter.asked)
			}
		})
	}
}

// Every example comes into the form with its report; the report as a page says the same.
func TestExamplesOnThePage(t *testing.T) {
	c := newContract(t)
	for _, file := range exampleFiles(t) {
		name := strings.TrimSuffix(filepath.Base(file), ".json")
		body, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		fields := form("do", "example", "example", name)
		page := pageOf(t, c, posted("/", formType, fields), fields)
		judged := call(c.server, http.MethodPost, "/v1/reports", string(body))
		var r struct {
			Disposition string `json:"disposition"`
			Summary     struct {
				NextStep string `json:"next_step"`
			} `json:"summary"`
			Findings []struct {
				Rule string `json:"rule"`
			} `json:"findings"`
		}
		if err := json.Unmarshal(judged.Body.Bytes(), &r); err != nil {
			t.Fatal(err)
		}
		whole := pageOf(t, c, posted("/v1/reports", "application/json", string(body)), string(body))
		for where, text := range map[string]string{"the form": page, "the report": whole} {
			if !strings.Contains(text, `class="label is-`+r.Disposition+`"`) {
				t.Errorf("%s: %s does not say %s", name, where, r.Disposition)
			}
			for _, finding := range r.Findings {
				if !strings.Contains(text, `/docs/rules#`+finding.Rule) {
					t.Errorf("%s: %s leaves out %s", name, where, finding.Rule)
				}
			}
		}
		if next, findings := strings.Index(whole, "Next:"), strings.Index(whole, `class="finding `); findings > 0 && next > findings {
			t.Errorf("%s: the next step stands after the findings", name)
		}
	}
}

func TestPastedDocument(t *testing.T) {
	c := newContract(t)
	body, err := os.ReadFile("../examples/dill-cucumbers.json")
	if err != nil {
		t.Fatal(err)
	}
	fields := form("do", "paste", "json", string(body))
	if page := pageOf(t, c, posted("/", formType, fields), fields); !strings.Contains(page, "label is-shelf") || !strings.Contains(page,
		`value="pickling cucumber"`) {
		t.Error("the pasted document is not in the form with its report")
	}
	fields = form("do", "paste", "json", `{"recipe":{"ingredeints":[]}}`)
	page := pageOf(t, c, posted("/", formType, fields), fields)
	if !strings.Contains(page, `role="alert"`) || !strings.Contains(page, "ingredeints") || strings.Contains(page, "label is-") {
		t.Error("a document that is none is not refused in words")
	}
}

// What people type is text wherever it comes back.
func TestNothingTypedIsMarkup(t *testing.T) {
	c := newContract(t)
	const evil = `<script>alert(1)</script>"' onload=x <img src=x onerror=alert(1)>`
	fields := form("do", "check", "name", evil, "rows", "1", "item-0", evil, "form-0", evil, "amount-0", "1", "unit-0", "cup", "per-0", "batch", "jars", evil,
		"elevation", evil)
	body, err := json.Marshal(evil)
	if err != nil {
		t.Fatal(err)
	}
	quoted := string(body)
	document := `{"recipe":{"name":` + quoted + `,"ingredients":[{"item":` + quoted + `,"form":` + quoted + `,"per":"batch","amount":{"value":1,"unit":"cup"}}]}}`
	cardDocument := strings.TrimSuffix(document, "}") + `,"publication":{"author":` + quoted + `,"description":` + quoted + `}}`
	paste := form("do", "paste", "json", evil)
	for _, page := range []string{
		pageOf(t, c, posted("/", formType, fields), fields),
		pageOf(t, c, posted("/", formType, paste), paste),
		pageOf(t, c, posted("/v1/reports", "application/json", document), document),
		pageOf(t, c, posted("/v1/cards", "application/json", cardDocument), cardDocument),
	} {
		for _, markup := range []string{"<script>alert", "<img"} {
			if strings.Contains(page, markup) {
				t.Errorf("%q got through", markup)
			}
		}
	}
}

func TestFormByHand(t *testing.T) {
	c := newContract(t)
	typed := []string{
		"do", "check", "name", "Beans", "kind", "brined", "keep", "shelf", "jar", "pint", "jars", "8", "pack", "raw", "headspace", "1/2", "headspace-unit", "in",
		"preparation", "sterilized", "method", "boiling_water", "time", "5", "elevation", "800", "elevation-unit", "ft", "water", "1", "water-unit", "in", "rows",
		"5",
		"item-0", "green bean", "amount-0", "4", "unit-0", "lb", "per-0", "batch", "form-0", "whole, trimmed, 4 in",
		"item-1", "white vinegar", "amount-1", "5", "unit-1", "cup", "per-1", "batch", "acidity-1", "5", "bottled-1", "yes",
		"item-2", "water", "amount-2", "5", "unit-2", "cup", "per-2", "batch",
		"item-3", "salt", "amount-3", "½", "unit-3", "cup", "per-3", "batch", "salt-3", "canning",
	}
	fields := form(typed...)
	page := pageOf(t, c, posted("/", formType, fields), fields)
	if !strings.Contains(page, "label is-shelf") {
		t.Errorf("beans by the tested recipe are not fit for the shelf:\n%s", regexp.MustCompile(`class="message">[^<]*`).FindAllString(page, -1))
	}
	for _, kept := range []string{`value="1/2"`, `value="½"`, `name="item-4"`} {
		if !strings.Contains(page, kept) {
			t.Errorf("%s did not come back", kept)
		}
	}
	download := form(append(typed, "do", "download")...)
	answer := c.hold(t, posted("/", formType, download), download, true)
	if answer.Header().Get("Content-Disposition") != `attachment; filename="recipe.json"` {
		t.Errorf("download: %v", answer.Header())
	}
	if again := call(c.server, http.MethodPost, "/v1/reports", answer.Body.String()); !strings.Contains(again.Body.String(), `"disposition":"shelf"`) {
		t.Errorf("the downloaded request: %.200s", again.Body)
	}
	asked := form(append(typed, "do", "card")...)
	if page := pageOf(t, c, posted("/", formType, asked), asked); !strings.Contains(page, "Minutes in the canner") {
		t.Error("no card")
	}
	more := form(append(typed, "do", "add")...)
	if page := pageOf(t, c, posted("/", formType, more), more); !strings.Contains(page, `name="item-6"`) || strings.Contains(page, "label is-") {
		t.Error("no rows were added")
	}
	wrong := form(append(typed, "time", "ten")...)
	if page := pageOf(t, c, posted("/", formType, wrong), wrong); !strings.Contains(page, "“ten” is not a number") || strings.Contains(page, "label is-") {
		t.Error("ten minutes in words were not refused")
	}
	if answer := call(c.server, http.MethodPost, "/", "{}"); answer.Code != http.StatusUnsupportedMediaType {
		t.Errorf("JSON to the form: status %d", answer.Code)
	}
}

func documentsOf(t *testing.T, folder string) map[string][]byte {
	t.Helper()
	files, err := filepath.Glob("../examples/" + folder + "/*.json")
	if err != nil || len(files) == 0 {
		t.Fatalf("%s: %d files, %v", folder, len(files), err)
	}
	all := map[string][]byte{}
	for _, file := range files {
		body, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		all[filepath.Base(file)] = body
	}
	return all
}

func TestPlanExamplesHoldTheContract(t *testing.T) {
	c := newContract(t)
	for name, body := range documentsOf(t, "plans") {
		answer := c.hold(t, posted("/v1/plans", "application/json", string(body)), string(body), true)
		var made plan.Plan
		if err := json.Unmarshal(answer.Body.Bytes(), &made); err != nil || answer.Code != http.StatusOK {
			t.Fatalf("%s: status %d, %v: %s", name, answer.Code, err, answer.Body)
		}
		if !made.SameAnswer || made.Disposition != "shelf" || len(made.Timetable) == 0 || len(made.Shopping) == 0 || made.Label == nil {
			t.Errorf("%s: %+v", name, made)
		}
	}
}

func TestCardExamplesHoldTheContract(t *testing.T) {
	c := newContract(t)
	for name, body := range documentsOf(t, "cards") {
		for _, accept := range []string{"application/json", "application/ld+json", "text/html", "text/markdown"} {
			request := posted("/v1/cards", "application/json", string(body))
			request.Header.Set("Accept", accept)
			if answer := c.hold(t, request, string(body), true); answer.Code != http.StatusOK || !strings.HasPrefix(answer.Header().Get("Content-Type"), accept) {
				t.Errorf("%s as %s: status %d, %s", name, accept, answer.Code, answer.Header().Get("Content-Type"))
			}
		}
		var made card.Card
		answer := c.hold(t, posted("/v1/cards?require=shelf", "application/json", string(body)), string(body), true)
		if err := json.Unmarshal(call(c.server, http.MethodPost, "/v1/cards", string(body)).Body.Bytes(), &made); err != nil {
			t.Fatal(err)
		}
		if made.Fit != (answer.Code == http.StatusOK) {
			t.Errorf("%s: fit %v, require=shelf is answered with %d", name, made.Fit, answer.Code)
		}
		if answer.Code == http.StatusOK {
			continue
		}
		var problem handlers.Problem
		if err := json.NewDecoder(bytes.NewReader(answer.Body.Bytes())).Decode(&problem); err != nil || problem.Code != "not_fit_for_shelf" ||
			len(problem.Errors) == 0 {
			t.Errorf("%s: %v %+v", name, err, problem)
		}
	}
	if answer := call(c.server, http.MethodPost, "/v1/cards?require=pantry", "{}"); answer.Code != http.StatusBadRequest {
		t.Errorf("require=pantry: status %d", answer.Code)
	}
}

// A rule set with a date stands since then; the newest is open and comes first.
func TestHistoryOfRuleSets(t *testing.T) {
	history := []catalog.Ruleset{
		{Number: "2027.1", Changes: []catalog.RulesetChange{{What: "Jars of <half a liter>.", Whom: "Whoever has them."}}},
		{Number: "2026.2", Date: "2026-12-01", Changes: []catalog.RulesetChange{{What: "One table.", Whom: "Nobody."}, {What: "Another.", Whom: "Few."}}},
	}
	c := newContract(t, func(config *handlers.Config) { config.Catalog.Rulesets = history })
	page := pageOf(t, c, httptest.NewRequest(http.MethodGet, "/rulesets", nil), "")
	at := -1
	for _, want := range []string{
		`id="2027.1"`, "open", "Jars of &lt;half a liter&gt;.", "Whoever has them.",
		`id="2026.2"`, `<time datetime="2026-12-01">December 1, 2026</time>`, "One table.", "Nobody.", "Another.", "Few.",
	} {
		place := strings.Index(page, want)
		if place <= at {
			t.Errorf("%q is at %d, after %d", want, place, at)
		}
		at = place
	}
	if strings.Contains(page[:strings.Index(page, "<footer")], "<script") {
		t.Error("the page has a script")
	}
	var list struct {
		Items []catalog.Ruleset `json:"items"`
	}
	answer := call(c.server, http.MethodGet, "/v1/rulesets", "")
	if err := json.Unmarshal(answer.Body.Bytes(), &list); err != nil || !reflect.DeepEqual(list.Items, history) {
		t.Errorf("the list holds %+v: %v", list.Items, err)
	}
	for _, each := range history {
		t.Run(each.Number, func(t *testing.T) {
			var got catalog.Ruleset
			answer := call(c.server, http.MethodGet, "/v1/rulesets/"+each.Number, "")
			if err := json.Unmarshal(answer.Body.Bytes(), &got); err != nil || !reflect.DeepEqual(got, each) {
				t.Errorf("status %d, %+v: %v", answer.Code, got, err)
			}
		})
	}
}

// The tables keep the history oldest first; clients get it the other way round.
func TestTheNewestRuleSetComesFirst(t *testing.T) {
	checker, err := validate.New()
	if err != nil {
		t.Fatal(err)
	}
	listed := handlers.NewCatalog(checker).Rulesets
	if len(listed) == 0 || !reflect.DeepEqual(listed[0], checker.Tables().Ruleset()) {
		t.Errorf("the list begins with %+v", listed)
	}
}
