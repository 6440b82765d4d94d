package handlers_test

import (
	"encoding/json"
	"flag"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// proxy is the address of a program that holds requests and answers to the OpenAPI document and passes them on to a running
// service; .ci/outside starts both. Without one the requests go straight to a service of this test.
var proxy = flag.String("proxy", "", "address, such as http://127.0.0.1:4010, of a proxy that holds answers to the contract")

// violation is what the proxy says in the header sl-violations of an answer.
type violation struct {
	Location []string `json:"location"` // "request" or "response" first
	Severity string   `json:"severity"`
	Message  string   `json:"message"`
}

// Every example and every failure, over a real connection. The answers keep what the document promises; the good requests keep
// what it asks for.
func TestReplay(t *testing.T) {
	address := *proxy
	if address == "" {
		server := httptest.NewServer(newContract(t).server)
		defer server.Close()
		address = server.URL
	}
	replayed := 0
	send := func(t *testing.T, test failing, goodRequest bool) {
		t.Helper()
		request, err := http.NewRequest(test.method, address+test.target, strings.NewReader(test.body))
		if err != nil {
			t.Fatal(err)
		}
		if test.method == http.MethodPost {
			request.Header.Set("Content-Type", "application/json")
		}
		for _, header := range test.headers {
			name, value, _ := strings.Cut(header, ": ")
			if value == "" {
				request.Header.Del(strings.TrimSuffix(name, ":"))
				continue
			}
			request.Header.Set(name, value)
		}
		answer, err := http.DefaultClient.Do(request)
		if err != nil {
			t.Fatal(err)
		}
		defer answer.Body.Close()
		body, err := io.ReadAll(answer.Body)
		if err != nil {
			t.Fatal(err)
		}
		if answer.StatusCode != test.status || len(body) == 0 {
			t.Errorf("status %d, want %d: %.300s", answer.StatusCode, test.status, body)
		}
		replayed++
		told := answer.Header.Get("sl-violations")
		if told == "" {
			return
		}
		var violations []violation
		if err := json.Unmarshal([]byte(told), &violations); err != nil {
			t.Fatalf("violations: %v: %s", err, told)
		}
		for _, each := range violations {
			if goodRequest || len(each.Location) == 0 || each.Location[0] != "request" {
				t.Errorf("%s at %s", each.Message, strings.Join(each.Location, "/"))
			}
		}
	}
	for _, kind := range []struct {
		files, contentType string
		targets, accept    []string
	}{
		{
			"../examples/*.json", "application/json",
			[]string{"/v1/reports", "/v1/reports?include=derivation,curves"},
			[]string{"application/json", "text/plain", "text/markdown", "text/html", "application/sarif+json"},
		},
		{"../examples/plans/*.json", "application/json", []string{"/v1/plans"}, []string{"application/json"}},
		{
			"../examples/cards/*.json", "application/json",
			[]string{"/v1/cards"},
			[]string{"application/json", "application/ld+json", "text/html", "text/markdown"},
		},
		{"../examples/*.jsonld", "application/ld+json", []string{"/v1/drafts", "/v1/drafts?report=true"}, []string{"application/json"}},
	} {
		files, err := filepath.Glob(kind.files)
		if err != nil || len(files) == 0 {
			t.Fatalf("%d files %s, %v", len(files), kind.files, err)
		}
		for _, file := range files {
			body, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			for _, target := range kind.targets {
				for _, accept := range kind.accept {
					if *proxy != "" && strings.HasSuffix(accept, "+json") {
						continue // the proxy holds it to the schema of application/json
					}
					t.Run(file+" to "+target+" as "+accept, func(t *testing.T) {
						headers := []string{"Accept: " + accept, "Content-Type: " + kind.contentType}
						send(t, failing{method: "POST", target: target, body: string(body), headers: headers, status: 200}, true)
					})
				}
			}
		}
	}
	c := newContract(t)
	for path, item := range c.document.Paths.Map() {
		if item.Get == nil {
			continue
		}
		target := exampleTarget(t, path, item)
		if *proxy != "" && path == "/openapi.yaml" {
			continue // the proxy reads YAML as text, and the document says that it is an object
		}
		t.Run("GET "+path, func(t *testing.T) {
			send(t, failing{method: "GET", target: target, status: 200}, true)
		})
	}
	for _, test := range failures() {
		if *proxy != "" && (!described(test) || !passedOn(test)) {
			continue
		}
		t.Run(test.name, func(t *testing.T) { send(t, test, false) })
	}
	t.Logf("%d requests replayed", replayed)
}

// passedOn says whether the proxy passes a failure on as it is. It does not where the operation does not read the media type, and
// it reads JSON and writes it anew, so that what is wrong with the JSON itself does not reach the service. Of a list of 50,001
// mistakes it would make a header that no program reads.
func passedOn(test failing) bool {
	return test.status != http.StatusUnsupportedMediaType && test.code != "malformed_json" && test.body != "null" && len(test.body) < 100_000
}
