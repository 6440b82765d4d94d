package handlers

import (
	"errors"
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"
	"go.uber.org/zap"

	"jarwright/validate/ingest"
)

// Problem is the body of every answer that is not a success, as RFC 9457 has it.
type Problem struct {
	Type        string         `json:"type"` // absolute URI; answers GET with what to do about it
	Title       string         `json:"title"`
	Status      int            `json:"status"`
	Code        string         `json:"code"` // the last segment of Type
	Detail      string         `json:"detail,omitempty"`
	RequestID   string         `json:"request_id"`
	Errors      []ProblemError `json:"errors,omitempty"`
	ErrorsTotal int            `json:"errors_total,omitempty"` // more than len(Errors) where the list was cut
}

// ProblemError is one place that needs attention. Exactly one of Pointer, Parameter and Header says where; Pointer is
// a JSON Pointer (RFC 6901) into the body, "" being the whole of it.
type ProblemError struct {
	Pointer   *string        `json:"pointer,omitempty"`
	Parameter string         `json:"parameter,omitempty"`
	Header    string         `json:"header,omitempty"`
	Code      string         `json:"code"`
	Detail    string         `json:"detail"`
	Params    *ingest.Params `json:"params,omitempty"`
}

// problemKind is one kind of problem: its name, its status and what to do about it.
type problemKind struct {
	Code    string `json:"code"`
	Title   string `json:"title"`
	Status  int    `json:"status"`
	Meaning string `json:"meaning"`
	Remedy  string `json:"remedy"`
}

// The kinds of problems. Those of package ingest are here for their meaning and remedy.
var (
	kindUnknownParameter = problemKind{
		Code: "unknown_query_parameter", Title: "The query string cannot be used.", Status: http.StatusBadRequest,
		Meaning: "The query string holds a parameter that the operation does not know, lacks one that it needs, has a value that it cannot use, or is not well formed.",
		Remedy:  "Put right each parameter named in errors; the API document lists those that the operation takes.",
	}
	kindNotFound = problemKind{
		Code: "not_found", Title: "There is nothing at this address.", Status: http.StatusNotFound,
		Meaning: "No resource has this path, or the table has no row of this id.",
		Remedy:  "List the resources with GET /, or the ids of a table with GET on the table.",
	}
	kindMethodNotAllowed = problemKind{
		Code: "method_not_allowed", Title: "The address does not take this method.", Status: http.StatusMethodNotAllowed,
		Meaning: "The path exists, but not with the method of the request.",
		Remedy:  "Use one of the methods in the Allow header.",
	}
	kindNotAcceptable = problemKind{
		Code: "not_acceptable", Title: "The answer is not offered in a form that was asked for.", Status: http.StatusNotAcceptable,
		Meaning: "The Accept header excludes every media type that the resource is offered in.",
		Remedy:  "Ask for one of the media types listed in errors, or send Accept: */*.",
	}
	kindTooLarge = problemKind{
		Code: ingest.ProblemTooLarge, Title: "The body is too large.", Status: http.StatusRequestEntityTooLarge,
		Meaning: "The request body is longer than the service reads.",
		Remedy:  "Send one recipe a request; errors say how long a body may be.",
	}
	kindUnsupportedMediaType = problemKind{
		Code: "unsupported_media_type", Title: "The body is not sent as JSON.", Status: http.StatusUnsupportedMediaType,
		Meaning: "The Content-Type is missing or is not application/json, or the body is compressed with something else than gzip.",
		Remedy:  "Send a body as it is, or compressed with gzip, with Content-Type: application/json.",
	}
	kindBodyUnreadable = problemKind{
		Code: "body_unreadable", Title: "The body did not arrive whole.", Status: http.StatusBadRequest,
		Meaning: "The connection ended, or took too long, before the whole body had arrived, or the body is not what Content-Encoding says.",
		Remedy:  "Send the request again; check that Content-Length is the length of the body in bytes as it is sent.",
	}
	kindMalformed = problemKind{
		Code: ingest.ProblemMalformed, Title: "The body could not be read as JSON.", Status: http.StatusBadRequest,
		Meaning: "The body is not one JSON value in UTF-8, names a member twice, nests too deep, or holds a number that is too large.",
		Remedy:  "Correct what writes the JSON; errors say where the first trouble is.",
	}
	kindInvalid = problemKind{
		Code: ingest.ProblemInvalid, Title: "The document is not a valid request.", Status: http.StatusUnprocessableEntity,
		Meaning: "The body is JSON but not a document as its schema has it, so no rule could be applied.",
		Remedy:  "Correct each place in errors; the schema is at /schemas/request.schema.json.",
	}
	kindInternal = problemKind{
		Code: "internal", Title: "The service failed.", Status: http.StatusInternalServerError,
		Meaning: "Something went wrong inside the service; the request may be right.",
		Remedy:  "Try again, and pass on the request id if it happens again.",
	}
	kindUnauthorized = problemKind{
		Code: "unauthorized", Title: "The operation asks for a key.", Status: http.StatusUnauthorized,
		Meaning: "Whoever runs this service opens it to those who have a key, and the request has none that is known.",
		Remedy:  "Send Authorization: Bearer and the key. Ask whoever runs the service for one.",
	}
	kindTooManyRequests = problemKind{
		Code: "too_many_requests", Title: "Too many requests from one client.", Status: http.StatusTooManyRequests,
		Meaning: "The client has made as many requests as it may for now.",
		Remedy:  "Try again after the number of seconds in the Retry-After header; the RateLimit header says what is left.",
	}
	kindOverloaded = problemKind{
		Code: "overloaded", Title: "The service has more to do than it can.", Status: http.StatusServiceUnavailable,
		Meaning: "Other requests have taken all that the service has for the moment. Nothing is wrong with this one.",
		Remedy:  "Try again after the number of seconds in the Retry-After header.",
	}
	kindNotReady = problemKind{
		Code: "not_ready", Title: "The service is not taking requests.", Status: http.StatusServiceUnavailable,
		Meaning: "The service is starting or stopping.",
		Remedy:  "Try again after the number of seconds in the Retry-After header.",
	}
)

// problemKinds lists every kind of problem, in the order of their statuses.
func problemKinds() []problemKind {
	return []problemKind{
		kindUnknownParameter, kindBodyUnreadable, kindMalformed, kindUnauthorized, kindNotFound, kindMethodNotAllowed,
		kindNotAcceptable, kindTooLarge, kindUnsupportedMediaType, kindInvalid, kindNotFit, kindTooManyRequests, kindInternal,
		kindOverloaded, kindNotReady,
	}
}

// kindsByStatus turns the errors that the router itself makes into kinds; any other error is an internal one.
var kindsByStatus = map[int]problemKind{
	http.StatusNotFound:              kindNotFound,
	http.StatusMethodNotAllowed:      kindMethodNotAllowed,
	http.StatusRequestEntityTooLarge: kindTooLarge,
}

// failure is an error that knows what to tell the client. Its cause, if any, goes to the log only.
type failure struct {
	kind   problemKind
	detail string
	errors []ProblemError
	total  int
	cause  error
	// acceptPost lists the media types that the operation reads, where the body was of another
	acceptPost []string
}

func (f *failure) Error() string {
	if f.cause != nil {
		return f.kind.Code + ": " + f.cause.Error()
	}
	return f.kind.Code
}

func (f *failure) Unwrap() error { return f.cause }

// failureOf finds what to tell the client about an error. Nothing of an error that was not foreseen reaches them.
func failureOf(err error) *failure {
	var known *failure
	if errors.As(err, &known) {
		return known
	}
	var routing *echo.HTTPError
	if errors.As(err, &routing) {
		if kind, ok := kindsByStatus[routing.Code]; ok {
			return &failure{kind: kind}
		}
	}
	return &failure{kind: kindInternal, cause: err}
}

// fromIngest tells why a document could not be read.
func fromIngest(problem *ingest.Problem) *failure {
	f := &failure{
		kind:   problemKind{Code: problem.Code, Title: problem.Title, Status: problem.Status},
		detail: problem.Detail,
		total:  problem.Total,
	}
	for _, e := range problem.Errors {
		f.errors = append(f.errors, ProblemError{Pointer: &e.Pointer, Code: e.Code, Detail: e.Detail, Params: e.Params})
	}
	return f
}

// writeProblem is the error handler of the whole surface.
func (s *surface) writeProblem(err error, c echo.Context) {
	if c.Response().Committed {
		return
	}
	f := failureOf(err)
	problem := Problem{
		Type:        s.problemType(f.kind.Code),
		Title:       f.kind.Title,
		Status:      f.kind.Status,
		Code:        f.kind.Code,
		Detail:      f.detail,
		RequestID:   requestID(c),
		Errors:      f.errors,
		ErrorsTotal: max(f.total, len(f.errors)),
	}
	header := c.Response().Header()
	header.Set(echo.HeaderCacheControl, "no-store")
	header.Del("ETag")
	header.Del(echo.HeaderContentEncoding)
	switch f.kind.Status {
	case http.StatusUnsupportedMediaType:
		if len(f.acceptPost) == 0 {
			f.acceptPost = []string{mediaJSON}
		}
		header.Set("Accept-Post", strings.Join(f.acceptPost, ", "))
		header.Set(echo.HeaderAcceptEncoding, "gzip")
	case http.StatusServiceUnavailable:
		header.Set("Retry-After", strconv.Itoa(retryAfterSeconds))
	}
	body, err := encodeJSON(problem)
	if err != nil {
		// Only params can fail to encode; the answer without them is still true.
		s.log.Error("encode problem", zap.Error(err))
		problem.Errors = nil
		body, _ = encodeJSON(problem)
	}
	_ = writeBody(c, f.kind.Status, mediaProblem, body)
}

// problemType is the URI that names a kind of problem.
func (s *surface) problemType(code string) string { return s.baseURL + "/problems/" + code }
