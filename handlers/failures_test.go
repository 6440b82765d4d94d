package handlers_test

import (
	"encoding/json"
	"math"
	"net/http"
	"strings"
	"testing"

	"go.uber.org/zap/zapcore"

	"jarwright/handlers"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

// failing is a request that does not succeed.
type failing struct {
	name    string
	method  string
	target  string
	body    string
	headers []string
	status  int
	code    string
	error   string // code of the first entry of errors
}

func failures() []failing {
	nested := `{"extensions":{"a":` + strings.Repeat("[", 10_000) + strings.Repeat("]", 10_000) + `}}`
	line := `{"item":"x","per":"jar"}`
	// Short lines, so that the number of lines is what is refused and not the length of the body.
	many := `{"recipe":{"ingredients":[` + strings.Repeat("{},", 50_000) + `{}]}}`
	large := `{"recipe":{"ingredients":[` + strings.Repeat(line+",", 100_000) + line + `]}}`
	const reports = "/v1/reports"
	return []failing{
		{"unknown path", "GET", "/v1/nothing", "", nil, 404, "not_found", ""},
		{"trailing slash", "GET", "/v1/foods/", "", nil, 404, "not_found", ""},
		{"unknown row", "GET", "/v1/foods/cucumbre", "", nil, 404, "not_found", "unknown_id"},
		{"escaped row", "GET", "/v1/foods/..%2Fjars%2Fpint", "", nil, 404, "not_found", "unknown_id"},
		{"ingredient among foods", "GET", "/v1/foods/white-vinegar", "", nil, 404, "not_found", "unknown_id"},
		{"unknown schema", "GET", "/schemas/request", "", nil, 404, "not_found", "unknown_name"},
		{"unknown problem", "GET", "/problems/none", "", nil, 404, "not_found", "unknown_code"},
		{"method", "DELETE", reports, "", nil, 405, "method_not_allowed", ""},
		{"get of a post", "GET", reports, "", nil, 405, "method_not_allowed", ""},
		{"post of a get", "POST", "/v1/foods", "{}", nil, 405, "method_not_allowed", ""},
		{"query parameter", "GET", "/v1/foods?limit=3", "", nil, 400, "unknown_query_parameter", "unknown_parameter"},
		{"query of a post", "POST", reports + "?verbose", request, nil, 400, "unknown_query_parameter", "unknown_parameter"},
		{"no elevation", "GET", "/v1/altitude", "", nil, 400, "unknown_query_parameter", "missing_parameter"},
		{"elevation of no number", "GET", "/v1/altitude?elevation=high&unit=ft", "", nil, 400, "unknown_query_parameter", "not_a_number"},
		{"elevation not finite", "GET", "/v1/altitude?elevation=1e999&unit=ft", "", nil, 400, "unknown_query_parameter", "not_a_number"},
		{"elevation too high", "GET", "/v1/altitude?elevation=30001&unit=ft", "", nil, 400, "unknown_query_parameter", "out_of_range"},
		{"elevation too low", "GET", "/v1/altitude?elevation=-458&unit=m", "", nil, 400, "unknown_query_parameter", "out_of_range"},
		{"unit of elevation", "GET", "/v1/altitude?elevation=1&unit=km", "", nil, 400, "unknown_query_parameter", "not_allowed"},
		{"elevation twice", "GET", "/v1/altitude?elevation=1&elevation=2&unit=m", "", nil, 400, "unknown_query_parameter", "repeated_parameter"},
		{"recipe of no name", "GET", "/v1/altitude?elevation=1&unit=m&recipe=pickled-dilled-bean", "", nil, 400, "unknown_query_parameter", "unknown_recipe"},
		{"boiling point without unit", "GET", "/v1/altitude?elevation=1&unit=m&boiling_point=94", "", nil, 400, "unknown_query_parameter", "missing_parameter"},
		{"boiling unit alone", "GET", "/v1/altitude?elevation=1&unit=m&boiling_unit=C", "", nil, 400, "unknown_query_parameter", "missing_parameter"},
		{"boiling point of ice", "GET", "/v1/altitude?elevation=1&unit=m&boiling_point=32&boiling_unit=F", "", nil, 400, "unknown_query_parameter", "out_of_range"},
		{"query form", "GET", "/v1/foods?%zz", "", nil, 400, "unknown_query_parameter", ""},
		{"accept of a table", "GET", "/v1/foods", "", []string{"Accept: text/html"}, 406, "not_acceptable", "not_offered"},
		{"accept of a report", "POST", reports, request, []string{"Accept: application/pdf"}, 406, "not_acceptable", "not_offered"},
		{"accept refuses all", "POST", reports, request, []string{"Accept: */*;q=0"}, 406, "not_acceptable", "not_offered"},
		{"no content type", "POST", reports, request, []string{"Content-Type:"}, 415, "unsupported_media_type", "not_supported"},
		{"form", "POST", reports, "a=b", []string{"Content-Type: application/x-www-form-urlencoded"}, 415, "unsupported_media_type", "not_supported"},
		{"like JSON", "POST", reports, request, []string{"Content-Type: application/json-seq"}, 415, "unsupported_media_type", "not_supported"},
		{"charset", "POST", reports, request, []string{"Content-Type: application/json; charset=latin1"}, 415, "unsupported_media_type", "not_supported"},
		{"compressed", "POST", reports, request, []string{"Content-Encoding: br"}, 415, "unsupported_media_type", "not_supported"},
		{"not gzip", "POST", reports, request, []string{"Content-Encoding: gzip"}, 400, "body_unreadable", "not_gzip"},
		{"10 MB", "POST", reports, strings.Repeat(" ", 10<<20), nil, 413, "body_too_large", "body_too_large"},
		{"one byte too many", "POST", reports, strings.Repeat(" ", ingest.MaxBytes+1), nil, 413, "body_too_large", "body_too_large"},
		{"100,000 ingredients", "POST", reports, large, nil, 413, "body_too_large", "body_too_large"},
		{"empty", "POST", reports, "", nil, 400, "malformed_json", "empty_body"},
		{"not JSON", "POST", reports, "{", nil, 400, "malformed_json", "not_json"},
		{"two values", "POST", reports, request + request, nil, 400, "malformed_json", "not_json"},
		{"not UTF-8", "POST", reports, "{\"recipe\":\"\xff\"}", nil, 400, "malformed_json", "invalid_utf8"},
		{"10,000 deep", "POST", reports, nested, nil, 400, "malformed_json", "too_deep"},
		{"name twice", "POST", reports, `{"recipe":{},"recipe":{}}`, nil, 400, "malformed_json", "duplicate_member"},
		{"number too large", "POST", reports, `{"recipe":1e5000000}`, nil, 400, "malformed_json", "number_out_of_range"},
		{"not a request", "POST", reports, `{}`, nil, 422, "invalid_document", "missing_member"},
		{"null", "POST", reports, `null`, nil, 422, "invalid_document", "wrong_type"},
		{"50,001 ingredients", "POST", reports, many, nil, 422, "invalid_document", ""},
		{"misspelt member", "POST", reports, strings.Replace(request, "ingredients", "ingredeints", 1), nil, 422, "invalid_document", ""},
	}
}

func TestFailuresAreProblems(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	for _, test := range failures() {
		t.Run(test.name, func(t *testing.T) {
			answer := call(server, test.method, test.target, test.body, append(test.headers, "X-Request-Id: test-1")...)
			if answer.Code != test.status {
				t.Fatalf("status %d, want %d\n%.300s", answer.Code, test.status, answer.Body)
			}
			if got := answer.Header().Get("Content-Type"); got != "application/problem+json" {
				t.Errorf("Content-Type %q", got)
			}
			if got := answer.Header().Get("Cache-Control"); got != "no-store" {
				t.Errorf("Cache-Control %q", got)
			}
			problem := problemIn(t, answer)
			if problem.Code != test.code || problem.Status != test.status || problem.Type != baseURL+"/problems/"+test.code {
				t.Errorf("code %q, status %d, type %q", problem.Code, problem.Status, problem.Type)
			}
			if problem.RequestID != "test-1" {
				t.Errorf("request_id %q", problem.RequestID)
			}
			if test.error != "" && (len(problem.Errors) == 0 || problem.Errors[0].Code != test.error) {
				t.Errorf("errors %+v, want %s first", problem.Errors, test.error)
			}
			if len(problem.Errors) > ingest.MaxErrors || problem.ErrorsTotal < len(problem.Errors) {
				t.Errorf("%d errors of %d", len(problem.Errors), problem.ErrorsTotal)
			}
			if strings.Contains(answer.Body.String(), "Go value") || strings.Contains(answer.Body.String(), ".go:") {
				t.Errorf("the body tells of the inside: %s", answer.Body)
			}

			kind := call(server, http.MethodGet, strings.TrimPrefix(problem.Type, baseURL), "")
			var described handlers.Problem
			if err := json.Unmarshal(kind.Body.Bytes(), &described); err != nil || kind.Code != http.StatusOK {
				t.Fatalf("GET %s: status %d, %v", problem.Type, kind.Code, err)
			}
			if described.Title != problem.Title || described.Status != problem.Status || described.Type != problem.Type {
				t.Errorf("type describes itself as %+v", described)
			}
		})
	}
}

func TestUnsupportedMediaTypeSaysWhatIsRead(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	answer := call(server, "POST", "/v1/reports", request, "Content-Type: text/plain")
	if got := answer.Header().Get("Accept-Post"); got != "application/json, application/x-ndjson" {
		t.Errorf("Accept-Post %q", got)
	}
}

func TestNearestIsNamed(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	problem := problemIn(t, call(server, "GET", "/v1/foods/cucumbre", ""))
	if len(problem.Errors) != 1 || problem.Errors[0].Params.Nearest != "cucumber" {
		t.Errorf("errors %+v", problem.Errors)
	}
}

func TestHeadOfAFailureHasNoBody(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	answer := call(server, "HEAD", "/v1/foods/none", "")
	if answer.Code != http.StatusNotFound || answer.Body.Len() != 0 || answer.Header().Get("Content-Length") == "0" {
		t.Errorf("status %d, %d bytes, header %v", answer.Code, answer.Body.Len(), answer.Header())
	}
}

func TestPanicBecomesInternal(t *testing.T) {
	server, logs := newServer(t, checkFunc(func([]byte) (report.Report, *ingest.Problem) { panic("secret jar") }))
	answer := call(server, "POST", "/v1/reports", request)
	problem := problemIn(t, answer)
	if answer.Code != http.StatusInternalServerError || problem.Code != "internal" || problem.RequestID == "" {
		t.Errorf("status %d, %+v", answer.Code, problem)
	}
	if strings.Contains(answer.Body.String(), "secret") || problem.Detail != "" || problem.Errors != nil {
		t.Errorf("the body tells of the inside: %s", answer.Body)
	}
	if logs.FilterLevelExact(zapcore.ErrorLevel).Len() != 1 {
		t.Error("the panic is not in the log")
	}
	if again := call(server, "GET", "/healthz", ""); again.Code != http.StatusOK {
		t.Errorf("after the panic: status %d", again.Code)
	}
}

// What cannot be encoded is found out before the status is sent.
func TestUnencodableReportBecomesInternal(t *testing.T) {
	server, _ := newServer(t, checkFunc(func([]byte) (report.Report, *ingest.Problem) {
		return report.Report{Derived: []report.Derived{{Value: math.NaN()}}}, nil
	}))
	if answer := call(server, "POST", "/v1/reports", request); answer.Code != http.StatusInternalServerError {
		t.Errorf("status %d: %s", answer.Code, answer.Body)
	}
}
