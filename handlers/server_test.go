package handlers_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"
	"time"

	"go.uber.org/zap"
	"go.uber.org/zap/zapcore"
	"go.uber.org/zap/zaptest/observer"

	"jarwright/handlers"
	"jarwright/validate"
	"jarwright/validate/altitude"
	"jarwright/validate/budget"
	"jarwright/validate/catalog"
	"jarwright/validate/ingest"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// request is a small document that ingest accepts; what the rules say of it does not matter here.
const request = `{"recipe":{"ingredients":[{"item":"cucumber","amount":{"value":1,"unit":"kg"},"per":"batch"}]}}`

const baseURL = "https://jarwright.example"

// reading is a Reporter that reads documents as the real one does and has the same report for each.
type reading struct {
	reader *ingest.Reader
	report report.Report
}

func (r reading) Check(_ *budget.Budget, body []byte, _ report.Options) (report.Report, *ingest.Problem) {
	if _, problem := r.reader.Request(nil, body); problem != nil {
		return report.Report{}, problem
	}
	return r.report, nil
}

func (r reading) Illustrate(b *budget.Budget, body []byte, options report.Options) (validate.Illustrated, *ingest.Problem) {
	judged, problem := r.Check(b, body, options)
	return validate.Illustrated{Report: judged}, problem
}

// checkFunc makes a Reporter of a function.
type checkFunc func([]byte) (report.Report, *ingest.Problem)

func (f checkFunc) Check(_ *budget.Budget, body []byte, _ report.Options) (report.Report, *ingest.Problem) {
	return f(body)
}

func (f checkFunc) Illustrate(_ *budget.Budget, body []byte, _ report.Options) (validate.Illustrated, *ingest.Problem) {
	judged, problem := f(body)
	return validate.Illustrated{Report: judged}, problem
}

func newReading(t *testing.T) reading {
	t.Helper()
	units, err := measure.LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	reader, err := ingest.NewReader(units)
	if err != nil {
		t.Fatal(err)
	}
	return reading{reader: reader, report: report.Report{
		Disposition:   report.Hold,
		Summary:       report.Summary{Text: "Undecided.", NextStep: "Say how it is processed."},
		Findings:      []report.Finding{},
		Derived:       []report.Derived{},
		AltitudeTable: []report.AltitudeBand{},
		Cautions:      []report.Caution{},
		Rules:         []report.RuleOutcome{},
		Meta:          report.Meta{Ruleset: "test", Tables: []report.TableStamp{}, Assumed: []report.Assumption{}},
	}}
}

// smallCatalog has one row a table that the tests look up.
func smallCatalog(t testing.TB) handlers.Catalog {
	t.Helper()
	tables, err := catalog.Load()
	if err != nil {
		t.Fatal(err)
	}
	units, err := measure.LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	return handlers.Catalog{
		Items: []catalog.Item{
			{ID: "cucumber", Name: "Cucumber", Class: catalog.LowAcid, Aliases: []string{"cuke"}, Note: strings.Repeat("crisp ", 300)},
			{ID: "white-vinegar", Name: "White vinegar", Class: catalog.Acid},
			{ID: "egg", Name: "Egg", Class: catalog.Egg},
		},
		Jars:     []catalog.Jar{{ID: "pint", Name: "Pint"}},
		Altitude: altitude.NewLookup(tables, units),
	}
}

// newServer makes a server with a log that can be read.
func newServer(t testing.TB, reporter handlers.Reporter) (*handlers.Server, *observer.ObservedLogs) {
	t.Helper()
	core, logs := observer.New(zapcore.InfoLevel)
	server, err := handlers.New(handlers.Config{
		Reporter: reporter, Catalog: smallCatalog(t), BaseURL: baseURL + "/", Version: "1.2.3", Logger: zap.New(core),
	})
	if err != nil {
		t.Fatal(err)
	}
	return server, logs
}

// call sends one request; headers are "Name: value".
func call(server http.Handler, method, target, body string, headers ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, target, strings.NewReader(body))
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/json")
	}
	for _, header := range headers {
		name, value, _ := strings.Cut(header, ": ")
		if value == "" {
			r.Header.Del(strings.TrimSuffix(name, ":"))
			continue
		}
		r.Header.Set(name, value)
	}
	recorder := httptest.NewRecorder()
	server.ServeHTTP(recorder, r)
	return recorder
}

func problemIn(t *testing.T, answer *httptest.ResponseRecorder) handlers.Problem {
	t.Helper()
	var problem handlers.Problem
	if err := json.Unmarshal(answer.Body.Bytes(), &problem); err != nil {
		t.Fatalf("body is not a problem: %v\n%s", err, answer.Body)
	}
	return problem
}

// A browser hides an answer without these headers from the page, whatever its status.
func TestAnyOriginOnEveryAnswer(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	for _, test := range failures() {
		answer := call(server, test.method, test.target, test.body, append(test.headers, "Origin: https://blog.example")...)
		if got := answer.Header().Get("Access-Control-Allow-Origin"); got != "*" {
			t.Errorf("%s: Access-Control-Allow-Origin %q", test.name, got)
		}
		if got := answer.Header().Get("Access-Control-Expose-Headers"); !strings.Contains(got, "X-Request-Id") {
			t.Errorf("%s: Access-Control-Expose-Headers %q", test.name, got)
		}
	}
	if got := call(server, "POST", "/v1/reports", request).Header().Get("Access-Control-Allow-Origin"); got != "*" {
		t.Errorf("success: Access-Control-Allow-Origin %q", got)
	}
}

func TestPreflight(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	answer := call(server, "OPTIONS", "/v1/reports", "",
		"Origin: https://blog.example", "Access-Control-Request-Method: POST", "Access-Control-Request-Headers: content-type")
	header := answer.Header()
	if answer.Code != http.StatusNoContent ||
		!strings.Contains(header.Get("Access-Control-Allow-Methods"), "POST") ||
		!strings.Contains(header.Get("Access-Control-Allow-Headers"), "Content-Type") ||
		header.Get("Access-Control-Max-Age") == "" {
		t.Errorf("status %d, header %v", answer.Code, header)
	}
}

func TestOptionsListsMethods(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	for target, want := range map[string]string{"/v1/reports": "POST", "/v1/foods": "GET, HEAD"} {
		for _, method := range []string{"OPTIONS", "PATCH"} {
			answer := call(server, method, target, "")
			allow := answer.Header().Get("Allow")
			for name := range strings.SplitSeq(want, ", ") {
				if !strings.Contains(allow, name) {
					t.Errorf("%s %s: Allow %q lacks %s", method, target, allow, name)
				}
			}
		}
	}
}

func TestReportForms(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	for _, test := range []struct{ accept, contentType string }{
		{"", "application/json"},
		{"*/*", "application/json"},
		{"application/*", "application/json"},
		{"text/plain", "text/plain; charset=utf-8"},
		{"text/markdown", "text/markdown; charset=utf-8"},
		{"text/*", "text/plain; charset=utf-8"},
		{"application/json;q=0.5, text/markdown;q=0.9", "text/markdown; charset=utf-8"},
		{"text/plain;q=0.2, */*;q=0.1", "text/plain; charset=utf-8"},
		{"text/plain, application/json", "application/json"},
		{"*/*, application/json;q=0", "text/plain; charset=utf-8"},
		{"text/*, text/plain;q=0", "text/markdown; charset=utf-8"},
		{"application/pdf, text/plain;q=0.1", "text/plain; charset=utf-8"},
		{"TEXT/Markdown", "text/markdown; charset=utf-8"},
		{"nonsense", "application/json"},
		{"text/html;q=2, text/plain", "text/plain; charset=utf-8"},
		{"text/html;q=NaN, text/plain", "text/plain; charset=utf-8"},
	} {
		headers := []string{}
		if test.accept != "" {
			headers = append(headers, "Accept: "+test.accept)
		}
		answer := call(server, "POST", "/v1/reports", request, headers...)
		if answer.Code != http.StatusOK || answer.Header().Get("Content-Type") != test.contentType {
			t.Errorf("Accept %q: status %d, Content-Type %q, want %q", test.accept, answer.Code, answer.Header().Get("Content-Type"), test.contentType)
		}
		if answer.Body.Len() == 0 || answer.Header().Get("Content-Length") != strconv.Itoa(answer.Body.Len()) {
			t.Errorf("Accept %q: %d bytes, Content-Length %s", test.accept, answer.Body.Len(), answer.Header().Get("Content-Length"))
		}
		if got := answer.Header().Get("Vary"); got != "Accept" {
			t.Errorf("Accept %q: Vary %q", test.accept, got)
		}
		if got := answer.Header().Get("Cache-Control"); got != "no-store" {
			t.Errorf("Accept %q: Cache-Control %q", test.accept, got)
		}
	}
}

func TestSeveralAcceptHeadersAreOne(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	r := httptest.NewRequest(http.MethodPost, "/v1/reports", strings.NewReader(request))
	r.Header = http.Header{"Content-Type": {"application/json"}, "Accept": {"text/html", "text/markdown"}}
	recorder := httptest.NewRecorder()
	server.ServeHTTP(recorder, r)
	if got := recorder.Header().Get("Content-Type"); got != "text/markdown; charset=utf-8" {
		t.Errorf("Content-Type %q", got)
	}
}

func TestContentTypesRead(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	for _, contentType := range []string{
		"application/json", "application/json; charset=utf-8", "Application/JSON;charset=UTF-8", `application/json; charset="utf-8"`,
	} {
		if answer := call(server, "POST", "/v1/reports", request, "Content-Type: "+contentType); answer.Code != http.StatusOK {
			t.Errorf("Content-Type %q: status %d", contentType, answer.Code)
		}
	}
}

func TestBodyOfTheLimitIsRead(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	padded := request + strings.Repeat(" ", ingest.MaxBytes-len(request))
	if answer := call(server, "POST", "/v1/reports", padded); answer.Code != http.StatusOK {
		t.Errorf("status %d: %s", answer.Code, answer.Body)
	}
}

// A body without Content-Length must not be read beyond the limit either.
func TestChunkedBodyOverTheLimit(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	over := httptest.NewServer(server)
	defer over.Close()
	body := io.MultiReader(strings.NewReader(strings.Repeat(" ", 10<<20)))
	response, err := http.Post(over.URL+"/v1/reports", "application/json", body)
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	if response.StatusCode != http.StatusRequestEntityTooLarge {
		t.Errorf("status %d", response.StatusCode)
	}
}

func TestTablesAreCached(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	for _, target := range []string{
		"/", "/v1/foods", "/v1/foods/cucumber", "/v1/ingredients", "/v1/jars/pint", "/openapi.json", "/openapi.yaml",
		"/schemas/request.schema.json", "/problems/internal",
	} {
		first := call(server, "GET", target, "")
		etag := first.Header().Get("ETag")
		if first.Code != http.StatusOK || !strings.HasPrefix(etag, `"`) || first.Header().Get("Cache-Control") != "public, max-age=3600" {
			t.Errorf("GET %s: status %d, header %v", target, first.Code, first.Header())
		}
		for _, sent := range []string{etag, `"other", ` + etag, "W/" + etag, "*"} {
			again := call(server, "GET", target, "", "If-None-Match: "+sent)
			if again.Code != http.StatusNotModified || again.Body.Len() != 0 || again.Header().Get("ETag") != etag {
				t.Errorf("GET %s If-None-Match %s: status %d, %d bytes", target, sent, again.Code, again.Body.Len())
			}
		}
		if other := call(server, "GET", target, "", `If-None-Match: "other"`); other.Code != http.StatusOK {
			t.Errorf("GET %s with another ETag: status %d", target, other.Code)
		}
		head := call(server, "HEAD", target, "")
		if head.Code != http.StatusOK || head.Body.Len() != 0 || head.Header().Get("Content-Length") != strconv.Itoa(first.Body.Len()) {
			t.Errorf("HEAD %s: status %d, %d bytes, Content-Length %s", target, head.Code, head.Body.Len(), head.Header().Get("Content-Length"))
		}
		for _, name := range []string{"ETag", "Content-Type", "Cache-Control", "Vary"} {
			if head.Header().Get(name) != first.Header().Get(name) {
				t.Errorf("HEAD %s: %s %q, GET has %q", target, name, head.Header().Get(name), first.Header().Get(name))
			}
		}
	}
}

func TestCompression(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	plain := call(server, "GET", "/v1/foods", "")
	for _, accept := range []string{"gzip", "br, gzip;q=0.5", "*"} {
		packed := call(server, "GET", "/v1/foods", "", "Accept-Encoding: "+accept)
		if packed.Header().Get("Content-Encoding") != "gzip" || packed.Header().Get("ETag") == plain.Header().Get("ETag") {
			t.Fatalf("Accept-Encoding %s: header %v", accept, packed.Header())
		}
		reader, err := gzip.NewReader(packed.Body)
		if err != nil {
			t.Fatal(err)
		}
		unpacked, err := io.ReadAll(reader)
		if err != nil || !bytes.Equal(unpacked, plain.Body.Bytes()) {
			t.Errorf("Accept-Encoding %s: other bytes (%v)", accept, err)
		}
		again := call(server, "GET", "/v1/foods", "", "Accept-Encoding: "+accept, "If-None-Match: "+packed.Header().Get("ETag"))
		if again.Code != http.StatusNotModified {
			t.Errorf("Accept-Encoding %s: status %d", accept, again.Code)
		}
	}
	for _, accept := range []string{"identity", "gzip;q=0", "*;q=0", "br", "gzip;q=0, *"} {
		if got := call(server, "GET", "/v1/foods", "", "Accept-Encoding: "+accept).Header().Get("Content-Encoding"); got != "" {
			t.Errorf("Accept-Encoding %s: Content-Encoding %s", accept, got)
		}
	}
	if got := strings.Join(plain.Header().Values("Vary"), ", "); got != "Accept, Accept-Encoding" {
		t.Errorf("Vary %q", got)
	}
}

func TestItemsAreSplit(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	for target, want := range map[string]string{"/v1/foods": "cucumber egg", "/v1/ingredients": "white-vinegar", "/v1/rules": ""} {
		var list struct {
			Items []struct{ ID string }
		}
		if err := json.Unmarshal(call(server, "GET", target, "").Body.Bytes(), &list); err != nil {
			t.Fatal(err)
		}
		var ids []string
		for _, item := range list.Items {
			ids = append(ids, item.ID)
		}
		if got := strings.Join(ids, " "); got != want || list.Items == nil {
			t.Errorf("%s has %q, want %q", target, got, want)
		}
	}
}

func TestIDsAreUnique(t *testing.T) {
	catalog := smallCatalog(t)
	catalog.Jars = append(catalog.Jars, catalog.Jars[0])
	if _, err := handlers.New(handlers.Config{Catalog: catalog, Logger: zap.NewNop()}); err == nil {
		t.Error("two jars of one id were taken")
	}
}

func TestRequestID(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	if got := call(server, "GET", "/healthz", "", "X-Request-Id: Abc.1_2-3").Header().Get("X-Request-Id"); got != "Abc.1_2-3" {
		t.Errorf("well-formed id became %q", got)
	}
	seen := map[string]bool{}
	for _, sent := range []string{"", "a b", "a\"b", "ä", strings.Repeat("a", 65)} {
		headers := []string{}
		if sent != "" {
			headers = append(headers, "X-Request-Id: "+sent)
		}
		got := call(server, "GET", "/healthz", "", headers...).Header().Get("X-Request-Id")
		if len(got) != 32 || seen[got] {
			t.Errorf("id %q became %q", sent, got)
		}
		seen[got] = true
	}
}

func TestLogHoldsNothingOfTheDocument(t *testing.T) {
	server, logs := newServer(t, newReading(t))
	call(server, "POST", "/v1/reports", request)
	call(server, "POST", "/v1/reports", strings.Replace(request, "ingredients", "cucumbers", 1))
	call(server, "GET", "/v1/foods/cucumber?cucumber=1", "")
	if logs.Len() != 3 {
		t.Errorf("%d lines for 3 requests", logs.Len())
	}
	for _, entry := range logs.All() {
		line, err := json.Marshal(entry.ContextMap())
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(line), "cucumber") {
			t.Errorf("the log holds what was sent: %s", line)
		}
		for _, name := range []string{"method", "route", "status", "duration", "request_id", "bytes_in", "bytes_out"} {
			if _, ok := entry.ContextMap()[name]; !ok {
				t.Errorf("the line lacks %s: %s", name, line)
			}
		}
	}
}

func TestIndexLinksToTheContract(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	answer := call(server, "GET", "/", "")
	if got := strings.Join(answer.Header().Values("Link"), " "); !strings.Contains(got, `</openapi.json>; rel="service-desc"`) {
		t.Errorf("Link %q", got)
	}
}

// Readiness fails first, requests under way are answered, and then the server stops.
func TestStop(t *testing.T) {
	entered, leave := make(chan struct{}), make(chan struct{})
	server, _ := newServer(t, checkFunc(func([]byte) (report.Report, *ingest.Problem) {
		close(entered)
		<-leave
		return report.Report{Disposition: report.Hold}, nil
	}))
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	stopped := make(chan error, 1)
	const drain = 200 * time.Millisecond
	go func() { stopped <- server.Serve(ctx, listener, drain) }()

	address := "http://" + listener.Addr().String()
	underWay := make(chan int, 1)
	go func() {
		response, err := http.Post(address+"/v1/reports", "application/json", strings.NewReader(request))
		if err != nil {
			underWay <- 0
			return
		}
		response.Body.Close()
		underWay <- response.StatusCode
	}()
	<-entered
	stop()
	deadline := time.Now().Add(5 * time.Second)
	for {
		response, err := http.Get(address + "/readyz")
		if err != nil {
			t.Fatalf("the server stopped before readiness failed: %v", err)
		}
		response.Body.Close()
		if response.StatusCode == http.StatusServiceUnavailable {
			if response.Header.Get("Retry-After") == "" {
				t.Error("no Retry-After")
			}
			break
		}
		if time.Now().After(deadline) {
			t.Fatalf("readyz still answers %d", response.StatusCode)
		}
	}
	close(leave)
	if status := <-underWay; status != http.StatusOK {
		t.Errorf("the request under way was answered with %d", status)
	}
	if err := <-stopped; err != nil {
		t.Errorf("stop: %v", err)
	}
}

// One request after the other must not leave anything behind for the next.
func TestAnswersAreTheSameBytes(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	first := call(server, "POST", "/v1/reports", request).Body.String()
	for range 20 {
		if again := call(server, "POST", "/v1/reports", request).Body.String(); again != first {
			t.Fatalf("other bytes:\n%s\n%s", first, again)
		}
	}
}
