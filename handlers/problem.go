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
	if over := fromBudget(err); over != nil {
		return over
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
	kind := kindOf(problem.Code)
	kind.Title = problem.Title // which says what kind of document was asked for
	f := &failure{kind: kind, detail: problem.Detail, total: problem.Total}
	for _, e := range problem.Errors {
		f.errors = append(f.errors, ProblemError{Pointer: &e.Pointer, Code: e.Code, Detail: e.Detail, Params: e.Params})
	}
	return f
}

// writeProblem is the error handler of every operation.
func (s *Server) writeProblem(err error, c echo.Context) {
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
	case http.StatusRequestTimeout:
		header.Set(echo.HeaderConnection, "close") // the rest of the body may come at any time (RFC 9110, 15.5.9)
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
	if slotOf(c).reserveAnswer(len(body)) != nil { // with so many to send, those who take none have to do without the errors
		problem.Errors = nil
		body, _ = encodeJSON(problem)
	}
	_ = writeBody(c, f.kind.Status, mediaProblem, body)
}

// problemType is the URI that names a kind of problem.
func (s *Server) problemType(code string) string { return s.baseURL + "/problems/" + code }
