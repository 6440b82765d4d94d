package handlers_test

import (
	"bytes"
	"compress/gzip"
	"fmt"
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
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

// guarded makes a server with settings of a test, and its log.
func guarded(t *testing.T, reporter handlers.Reporter, change func(*handlers.Config)) (*handlers.Server, *observer.ObservedLogs) {
	t.Helper()
	core, logs := observer.New(zapcore.InfoLevel)
	config := handlers.Config{
		Reporter: reporter, Catalog: smallCatalog(t), BaseURL: baseURL, Version: "1.2.3", Logger: zap.New(core),
	}
	change(&config)
	server, err := handlers.New(config)
	if err != nil {
		t.Fatal(err)
	}
	return server, logs
}

func packed(t *testing.T, text string) string {
	t.Helper()
	var buffer bytes.Buffer
	writer := gzip.NewWriter(&buffer)
	if _, err := io.WriteString(writer, text); err != nil {
		t.Fatal(err)
	}
	if err := writer.Close(); err != nil {
		t.Fatal(err)
	}
	return buffer.String()
}

func TestGzipBodies(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	plain := call(server, "POST", "/v1/reports", request).Body.String()
	whole := packed(t, request)
	for _, test := range []struct {
		name, body string
		status     int
		code       string
	}{
		{"whole", whole, 200, ""},
		{"two members, as RFC 1952, 2.2 allows", packed(t, request[:20]) + packed(t, request[20:]), 200, ""},
		{"padded to the limit", packed(t, request+strings.Repeat(" ", ingest.MaxBytes-len(request))), 200, ""},
		{"one byte over the limit", packed(t, request+strings.Repeat(" ", ingest.MaxBytes+1-len(request))), 413, "body_too_large"},
		{"bomb", packed(t, strings.Repeat(" ", 100<<20)), 413, "body_too_large"},
		{"cut", whole[:len(whole)-9], 400, "body_unreadable"},
		{"checksum", whole[:len(whole)-8] + "\x00\x00\x00\x00" + whole[len(whole)-4:], 400, "body_unreadable"},
		{"rubbish after it", whole + "rubbish", 400, "body_unreadable"},
		{"nothing", "", 400, "malformed_json"},
		{"packed twice", packed(t, whole), 400, "malformed_json"},
		{"members that hold nothing, without end", strings.Repeat(packed(t, ""), 100_000), 400, "body_unreadable"},
	} {
		answer := call(server, "POST", "/v1/reports", test.body, "Content-Encoding: gzip")
		if answer.Code != test.status {
			t.Errorf("%s: status %d, want %d: %.200s", test.name, answer.Code, test.status, answer.Body)
			continue
		}
		if test.code == "" && answer.Body.String() != plain {
			t.Errorf("%s: another report than on the plain body", test.name)
		}
		if test.code != "" && problemIn(t, answer).Code != test.code {
			t.Errorf("%s: %s", test.name, answer.Body)
		}
	}
	answer := call(server, "POST", "/v1/reports", request, "Content-Encoding: br")
	if got := answer.Header().Get("Accept-Encoding"); answer.Code != http.StatusUnsupportedMediaType || got != "gzip" {
		t.Errorf("status %d, Accept-Encoding %q", answer.Code, got)
	}
}

func TestRateLimit(t *testing.T) {
	server, _ := guarded(t, newReading(t), func(c *handlers.Config) {
		c.RateLimit = handlers.RateLimit{Requests: 3, Window: time.Hour}
	})
	from := func(client, target string) *httptest.ResponseRecorder {
		r := httptest.NewRequest(http.MethodGet, target, nil)
		r.RemoteAddr = client
		recorder := httptest.NewRecorder()
		server.ServeHTTP(recorder, r)
		return recorder
	}
	for i, left := range []string{"2", "1", "0"} {
		answer := from("192.0.2.1:1000", "/v1/foods")
		if answer.Code != http.StatusOK || answer.Header().Get("RateLimit-Policy") != `"default";q=3;w=3600` ||
			!strings.HasPrefix(answer.Header().Get("RateLimit"), `"default";r=`+left+`;t=`) {
			t.Errorf("request %d: status %d, header %v", i, answer.Code, answer.Header())
		}
	}
	answer := from("192.0.2.1:1001", "/v1/jars/pint")
	wait, err := strconv.Atoi(answer.Header().Get("Retry-After"))
	if answer.Code != http.StatusTooManyRequests || problemIn(t, answer).Code != "too_many_requests" ||
		err != nil || wait < 1190 || wait > 1200 { // a third of an hour until there is one more
		t.Errorf("one too many: status %d, Retry-After %q", answer.Code, answer.Header().Get("Retry-After"))
	}
	if answer.Header().Get("Access-Control-Allow-Origin") != "*" {
		t.Error("a browser would hide the refusal from the page")
	}
	for _, target := range []string{"/healthz", "/readyz"} {
		if answer := from("192.0.2.1:1002", target); answer.Code != http.StatusOK {
			t.Errorf("%s is limited: status %d", target, answer.Code)
		}
	}
	if answer := from("192.0.2.2:1000", "/v1/foods"); answer.Code != http.StatusOK {
		t.Errorf("another client: status %d", answer.Code)
	}
	// One subscriber has 2^64 addresses of IPv6 (RFC 6177).
	for i := range 4 {
		answer := from(fmt.Sprintf("[2001:db8::%d]:1", i), "/v1/foods")
		if want := map[bool]int{true: 200, false: 429}[i < 3]; answer.Code != want {
			t.Errorf("address %d of a subscriber: status %d", i, answer.Code)
		}
	}
}

func TestForwardedAddressesAreReadFromTrustedProxiesOnly(t *testing.T) {
	_, proxies, err := net.ParseCIDR("10.0.0.0/8")
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		trusted   []*net.IPNet
		peer      string
		forwarded string
		want      string
	}{
		{nil, "10.0.0.1:1", "192.0.2.7", "10.0.0.1"},
		{nil, "127.0.0.1:1", "192.0.2.7", "127.0.0.1"},
		{[]*net.IPNet{proxies}, "10.0.0.1:1", "192.0.2.7", "192.0.2.7"},
		{[]*net.IPNet{proxies}, "10.0.0.1:1", "198.51.100.1, 192.0.2.7, 10.9.9.9", "192.0.2.7"}, // the first was the client's to write
		{[]*net.IPNet{proxies}, "192.0.2.9:1", "192.0.2.7", "192.0.2.9"},
		{[]*net.IPNet{proxies}, "127.0.0.1:1", "192.0.2.7", "127.0.0.1"},
	} {
		server, logs := guarded(t, newReading(t), func(c *handlers.Config) { c.TrustedProxies, c.LogClients = test.trusted, true })
		r := httptest.NewRequest(http.MethodGet, "/healthz", nil)
		r.RemoteAddr = test.peer
		r.Header.Set("X-Forwarded-For", test.forwarded)
		r.Header.Set("X-Real-Ip", "203.0.113.5")
		server.ServeHTTP(httptest.NewRecorder(), r)
		if got := logs.All()[0].ContextMap()["client"]; got != test.want {
			t.Errorf("peer %s, forwarded for %s: client %v, want %s", test.peer, test.forwarded, got, test.want)
		}
	}
}

func TestKeys(t *testing.T) {
	keys := &handlers.Keys{}
	if err := keys.Load(strings.NewReader("# pupils\n\nclass-a  aaaaaaaaaaaaaaaa\nclass-b bbbbbbbbbbbbbbbb==\n")); err != nil {
		t.Fatal(err)
	}
	server, logs := guarded(t, newReading(t), func(c *handlers.Config) { c.Keys = keys })
	status := func(target, authorization string) *httptest.ResponseRecorder {
		headers := []string{}
		if authorization != "" {
			headers = append(headers, "Authorization: "+authorization)
		}
		return call(server, "GET", target, "", headers...)
	}
	for authorization, want := range map[string]int{
		"Bearer aaaaaaaaaaaaaaaa": 200, "bearer bbbbbbbbbbbbbbbb==": 200,
		"": 401, "Bearer": 401, "Bearer aaaaaaaaaaaaaaa": 401, "Bearer aaaaaaaaaaaaaaaaa": 401, "Basic aaaaaaaaaaaaaaaa": 401,
		"Bearer class-a": 401, "aaaaaaaaaaaaaaaa": 401,
	} {
		answer := status("/v1/foods", authorization)
		if answer.Code != want {
			t.Errorf("%q: status %d, want %d", authorization, answer.Code, want)
		}
		if want == 401 && (!strings.HasPrefix(answer.Header().Get("WWW-Authenticate"), "Bearer") || problemIn(t, answer).Code != "unauthorized") {
			t.Errorf("%q: %v %s", authorization, answer.Header(), answer.Body)
		}
	}
	for _, target := range []string{"/", "/healthz", "/readyz", "/openapi.json", "/schemas/request.schema.json", "/problems/unauthorized"} {
		if answer := status(target, ""); answer.Code != http.StatusOK {
			t.Errorf("%s asks for a key: status %d", target, answer.Code)
		}
	}
	// A path that means the same to the router but is written in another way is behind the same door.
	for _, target := range []string{"/v1/foods/cucumber", "/%76%31/foods", "/v1%2Ffoods", "//v1/foods", "/./v1/foods", "/v1/nothing"} {
		if answer := status(target, ""); answer.Code == http.StatusOK {
			t.Errorf("%s was answered without a key", target)
		}
	}
	if answer := call(server, "POST", "/", "do=paste&json={}", "Content-Type: application/x-www-form-urlencoded", "Accept: text/html"); answer.Code != 401 {
		t.Errorf("the form judges without a key: status %d", answer.Code)
	}
	if err := keys.Load(strings.NewReader("class-c cccccccccccccccc")); err != nil {
		t.Fatal(err)
	}
	if a, c := status("/v1/foods", "Bearer aaaaaaaaaaaaaaaa"), status("/v1/foods", "Bearer cccccccccccccccc"); a.Code != 401 || c.Code != 200 {
		t.Errorf("after the change: old key %d, new key %d", a.Code, c.Code)
	}
	for name, text := range map[string]string{
		"none": "# nothing\n", "one word": "name\n", "short": "name short\n", "twice": "n aaaaaaaaaaaaaaaa\nn bbbbbbbbbbbbbbbb\n",
		"name": "n/a aaaaaaaaaaaaaaaa\n", "three words": "n aaaaaaaaaaaaaaaa b\n", "long line": "n " + strings.Repeat("a", 70_000),
	} {
		err := keys.Load(strings.NewReader(text))
		if err == nil {
			t.Errorf("%s: taken", name)
		} else if strings.Contains(err.Error(), "aaaa") {
			t.Errorf("%s: the error tells a key: %v", name, err)
		}
	}
	if answer := status("/v1/foods", "Bearer cccccccccccccccc"); answer.Code != http.StatusOK {
		t.Errorf("a list with a mistake replaced the keys: status %d", answer.Code)
	}
	for _, entry := range logs.All() {
		if line := fmt.Sprint(entry.ContextMap()); strings.Contains(line, "aaaaaaaa") || strings.Contains(line, "cccccccc") {
			t.Errorf("the log holds a key: %s", line)
		}
	}
}

func TestOriginsOfSomePages(t *testing.T) {
	server, _ := guarded(t, newReading(t), func(c *handlers.Config) { c.Origins = []string{"https://blog.example", "https://class.example"} })
	for origin, want := range map[string]string{
		"https://blog.example": "https://blog.example", "https://class.example": "https://class.example",
		"https://evil.example": "", "": "", "null": "", "https://blog.example.evil.example": "",
	} {
		for _, target := range []string{"/v1/foods", "/v1/nothing"} {
			answer := call(server, "GET", target, "", "Origin: "+origin)
			if got := answer.Header().Get("Access-Control-Allow-Origin"); got != want {
				t.Errorf("GET %s from %q: Access-Control-Allow-Origin %q", target, origin, got)
			}
			if !strings.Contains(strings.Join(answer.Header().Values("Vary"), ","), "Origin") {
				t.Errorf("GET %s from %q: a cache would give one page the answer of another", target, origin)
			}
		}
		preflight := call(server, "OPTIONS", "/v1/reports", "", "Origin: "+origin, "Access-Control-Request-Method: POST")
		if got := preflight.Header().Get("Access-Control-Allow-Methods") != ""; got != (want != "") {
			t.Errorf("preflight from %q: allowed %v", origin, got)
		}
	}
}

func TestBasePath(t *testing.T) {
	server, logs := guarded(t, newReading(t), func(c *handlers.Config) { c.BasePath, c.BaseURL = "/pickles", baseURL+"/pickles" })
	for target, want := range map[string]int{
		"/pickles": 200, "/pickles/": 200, "/pickles/v1/foods/cucumber": 200, "/pickles/healthz": 200, "/healthz": 200, "/readyz": 200,
		"/": 404, "/v1/foods": 404, "/picklesv1/foods": 404, "/pickles/v1/foods/..%2Fcucumber": 404, "/pickles/pickles/v1/foods": 404,
	} {
		answer := call(server, "GET", target, "")
		if answer.Code != want {
			t.Errorf("GET %s: status %d, want %d", target, answer.Code, want)
		}
		if want == 404 && problemIn(t, answer).Type != baseURL+"/pickles/problems/not_found" {
			t.Errorf("GET %s: %s", target, answer.Body)
		}
	}
	if got := strings.Join(call(server, "GET", "/pickles/", "").Header().Values("Link"), ","); !strings.Contains(got, "</pickles/openapi.json>") {
		t.Errorf("Link %s", got)
	}
	if got := call(server, "GET", "/pickles/openapi.json", "").Body.String(); !strings.Contains(got, `"url": "/pickles"`) {
		t.Error("the OpenAPI document says that the operations are somewhere else")
	}
	if got := call(server, "GET", "/pickles/openapi.yaml", "").Body.String(); !strings.Contains(got, "- url: /pickles\n") {
		t.Error("the OpenAPI document says that the operations are somewhere else")
	}
	for _, target := range []string{"/pickles/", "/pickles/docs", "/pickles/docs/rules"} {
		page := call(server, "GET", target, "", "Accept: text/html").Body.String()
		for _, attribute := range []string{` href="/`, ` src="/`, ` action="/`} {
			if n := strings.Count(page, attribute); n != strings.Count(page, attribute+"pickles/") {
				t.Errorf("%s leads out of the base path: %s", target, attribute)
			}
		}
		if !strings.Contains(page, ` href="/pickles/assets/style.css"`) {
			t.Errorf("%s has no style", target)
		}
	}
	for _, entry := range logs.All() {
		if route := fmt.Sprint(entry.ContextMap()["route"]); strings.HasPrefix(route, "/pickles") {
			t.Errorf("route %s", route)
		}
	}
}

func TestSecurityHeadersOnEveryAnswer(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	answers := []*httptest.ResponseRecorder{
		call(server, "POST", "/v1/reports", request), call(server, "GET", "/v1/foods", ""), call(server, "HEAD", "/v1/foods", ""),
		call(server, "GET", "/docs", ""), call(server, "GET", "/", "", "Accept: text/html"), call(server, "GET", "/assets/style.css", ""),
		call(server, "OPTIONS", "/v1/reports", "", "Access-Control-Request-Method: POST"),
	}
	for _, test := range failures() {
		answers = append(answers, call(server, test.method, test.target, test.body, test.headers...))
	}
	for _, answer := range answers {
		for name, want := range map[string]string{
			"X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Referrer-Policy": "no-referrer",
		} {
			if got := answer.Header().Get(name); got != want {
				t.Errorf("status %d: %s %q", answer.Code, name, got)
			}
		}
		policy, want := answer.Header().Get("Content-Security-Policy"), "default-src 'none'; frame-ancestors 'none'"
		if strings.HasPrefix(answer.Header().Get("Content-Type"), "text/html") {
			want = "default-src 'self';"
		}
		if !strings.HasPrefix(policy, want) {
			t.Errorf("status %d, %s: Content-Security-Policy %q", answer.Code, answer.Header().Get("Content-Type"), policy)
		}
		if answer.Header().Get("Server") != "" {
			t.Error("the answer names its program")
		}
	}
}

// Trace Context, 3.2.2: the examples are those of the recommendation, the broken ones break one of its rules each.
func TestTraceparentReachesTheLog(t *testing.T) {
	server, logs := newServer(t, newReading(t))
	const trace, parent = "4bf92f3577b34da6a3ce929d0e0e4736", "00f067aa0ba902b7"
	for traceparent, good := range map[string]bool{
		"00-" + trace + "-" + parent + "-01":                             true,
		"00-" + trace + "-" + parent + "-00":                             true,
		"cc-" + trace + "-" + parent + "-01-later":                       true,
		"00-" + trace + "-" + parent + "-01-later":                       false,
		"ff-" + trace + "-" + parent + "-01":                             false,
		"00-" + strings.Repeat("0", 32) + "-" + parent + "-01":           false,
		"00-" + trace + "-" + strings.Repeat("0", 16) + "-01":            false,
		"00-" + strings.ToUpper(trace) + "-" + parent + "-01":            false,
		"00-" + trace + "-" + parent:                                     false,
		"00_" + trace + "_" + parent + "_01":                             false,
		"cc-" + trace + "-" + parent + "-01x" + "later":                  false,
		"cc-" + trace + "-" + parent + "-01-" + strings.Repeat("a", 300): false,
	} {
		call(server, "GET", "/healthz", "", "Traceparent: "+traceparent)
		fields := logs.TakeAll()[0].ContextMap()
		if got := fields["trace_id"] == trace && fields["parent_id"] == parent; got != good {
			t.Errorf("%s: %v", traceparent, fields)
		}
		if _, ok := fields["trace_id"]; ok != good {
			t.Errorf("%s: %v", traceparent, fields)
		}
	}
}

func scraped(t *testing.T, metrics *handlers.Metrics) string {
	t.Helper()
	recorder := httptest.NewRecorder()
	metrics.Private().ServeHTTP(recorder, httptest.NewRequest(http.MethodGet, "/metrics", nil))
	if recorder.Code != http.StatusOK {
		t.Fatalf("GET /metrics: status %d", recorder.Code)
	}
	return recorder.Body.String()
}

func TestMetrics(t *testing.T) {
	metrics := handlers.NewMetrics()
	reporter := newReading(t)
	reporter.report.Rules = []report.RuleOutcome{{Rule: "acid.no-acid", Outcome: report.Pass}, {Rule: "made.up", Outcome: report.Fail}}
	server, _ := guarded(t, reporter, func(c *handlers.Config) {
		c.Metrics = metrics
		c.Catalog.Rules = []handlers.Rule{{ID: "acid.no-acid"}}
	})
	call(server, "POST", "/v1/reports", request)
	call(server, "POST", "/v1/reports", "{}")
	call(server, "GET", "/v1/jars/pint", "")
	call(server, "HEAD", "/v1/jars/pint", "")
	call(server, "GET", "/v1/jars/cucumber-1", "")
	for i := range 50 {
		call(server, "GET", fmt.Sprintf("/made-up/%d", i), "")
		call(server, "BREW", fmt.Sprintf("/v1/foods/%d", i), "")
	}
	call(server, "POST", "/v1/reports", request+"\n{}\n"+request+"\n", ndjson)
	text := scraped(t, metrics)
	for _, want := range []string{
		`jarwright_requests_total{operation="createReport",status="200"} 2`,
		`jarwright_requests_total{operation="createReport",status="422"} 1`,
		`jarwright_requests_total{operation="getJar",status="200"} 2`,
		`jarwright_requests_total{operation="getJar",status="404"} 1`,
		`jarwright_requests_total{operation="none",status="404"} 50`,
		`jarwright_requests_total{operation="none",status="405"} 50`,
		`jarwright_request_duration_seconds_count{operation="createReport"} 3`,
		fmt.Sprintf(`jarwright_request_bytes_sum{operation="createReport"} %d`, len(request)+2+len(request+"\n{}\n"+request+"\n")),
		`jarwright_response_bytes_count{operation="getJar"} 3`,
		`jarwright_reports_total{disposition="hold"} 3`,
		`jarwright_reports_total{disposition="invalid"} 2`,
		`jarwright_rule_outcomes_total{outcome="pass",rule="acid.no-acid"} 3`,
		`jarwright_bulk_lines_total{outcome="ok"} 2`,
		`jarwright_bulk_lines_total{outcome="failed"} 1`,
		`jarwright_requests_in_flight 0`,
		"go_goroutines ",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the metrics lack %s", want)
		}
	}
	// What clients make up must not become series, nor reach whoever reads them.
	for _, never := range []string{"made-up", "BREW", "cucumber", "made.up"} {
		if strings.Contains(text, never) {
			t.Errorf("the metrics hold %s", never)
		}
	}
}

// Profiles and metrics are for those who run the service.
func TestNothingPrivateOnThePublicAddress(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	for _, target := range []string{"/metrics", "/debug/pprof/", "/debug/pprof/cmdline", "/debug/pprof/heap", "/debug/vars"} {
		if answer := call(server, "GET", target, ""); answer.Code != http.StatusNotFound {
			t.Errorf("GET %s: status %d", target, answer.Code)
		}
	}
	recorder := httptest.NewRecorder()
	handlers.NewMetrics().Private().ServeHTTP(recorder, httptest.NewRequest(http.MethodGet, "/debug/pprof/goroutine?debug=1", nil))
	if recorder.Code != http.StatusOK || !strings.Contains(recorder.Body.String(), "goroutine profile") {
		t.Errorf("the profile of goroutines: status %d", recorder.Code)
	}
}
