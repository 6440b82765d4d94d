package ingest

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"jarwright/validate/budget"
)

// Codes of Problem: the kind of thing that kept the bytes from becoming a document.
const (
	ProblemTooLarge  = "body_too_large"
	ProblemMalformed = "malformed_json"   // not one JSON value that every reader understands the same way
	ProblemInvalid   = "invalid_document" // JSON, but not a document of the kind asked for
	ProblemTooCostly = "too_costly"       // more work, memory or answer than one document may cost
	ProblemTimeUp    = "time_up"          // the time for one document passed, or the client went
)

// Codes of Error. They are part of the contract: a code never changes its meaning, and new ones may be added.
const (
	CodeBodyTooLarge     = "body_too_large"
	CodeEmptyBody        = "empty_body"
	CodeInvalidUTF8      = "invalid_utf8"
	CodeNotJSON          = "not_json"
	CodeTooDeep          = "too_deep"
	CodeDuplicateMember  = "duplicate_member"
	CodeNumberOutOfRange = "number_out_of_range" // beyond what a 64-bit floating-point number holds
	CodeCannotCheck      = "cannot_check"        // the schema library gave up
	CodeMissingMember    = "missing_member"
	CodeUnknownMember    = "unknown_member"
	CodeNotAllowed       = "not_allowed" // not one of a closed list of values
	CodeWrongType        = "wrong_type"
	CodeWrongDimension   = "wrong_dimension" // a known unit of another dimension
	CodeTooSmall         = "too_small"
	CodeTooLarge         = "too_large"
	CodeNotWhole         = "not_whole"
	CodeTooShort         = "too_short"
	CodeTooLong          = "too_long"
	CodeTooFew           = "too_few"
	CodeTooMany          = "too_many"
	CodeBadFormat        = "bad_format"
	CodeDuplicateID      = "duplicate_id" // two entries of a list go by the same name
	CodeOutOfRange       = "out_of_range" // well formed, but no kitchen ever had it (see request_bounds.csv)
	CodeTooCostly        = "too_costly"
	CodeTimeUp           = "time_up"
)

// MaxErrors is how many errors a Problem lists at most. Total counts the rest.
const MaxErrors = 100

// Problem says why a body is not a document. Errors stand in document order, then by code.
type Problem struct {
	Code   string  `json:"code"` // one of the Problem constants
	Title  string  `json:"title"`
	Detail string  `json:"detail"`
	Errors []Error `json:"errors"` // at most MaxErrors
	Total  int     `json:"errors_total"`
}

// Error is one thing that needs attention in the body.
type Error struct {
	Pointer string  `json:"pointer"` // RFC 6901; for a missing or repeated member, the object it belongs to
	Code    string  `json:"code"`    // one of the Code constants
	Detail  string  `json:"detail"`  // for people
	Params  *Params `json:"params,omitempty"`

	words func(*Error) // puts it into words, where it is one of those that are listed: a document may have ten thousand
}

// Params holds, for programs, what the detail of an Error speaks of. Members that do not apply are absent.
type Params struct {
	Got     any      `json:"got,omitzero"` // the value; for wrong_type its JSON type; for lists and texts their length
	Allowed []string `json:"allowed,omitempty"`
	Nearest string   `json:"nearest,omitempty"` // the allowed value that looks most like Got
	Member  string   `json:"member,omitempty"`
	Limit   *float64 `json:"limit,omitempty"` // the limit that was passed
	Least   *float64 `json:"least,omitempty"`
	Most    *float64 `json:"most,omitempty"`
	Unit    string   `json:"unit,omitempty"` // of Limit, Least and Most
}

// Lengths at which the sender's own text is cut in a Problem, so that a large body cannot make a far larger answer.
const (
	maxPointer = 1000 // bytes of a pointer
	maxMember  = 200  // characters of a member's name
	maxShown   = 60   // characters of text in a message
)

func malformed(errors []Error, total int) *Problem {
	return newProblem(ProblemMalformed, "The body could not be read as JSON.", errors, total)
}

func invalid(errors []Error) *Problem {
	return newProblem(ProblemInvalid, "The document is not a valid request.", errors, len(errors))
}

// TooCostly says why a document was given up, nil where the error is nil; see budget.Budget.Err.
func TooCostly(err error) *Problem {
	var exceeded *budget.ExceededError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &exceeded):
		limit, unit := float64(exceeded.Limit), "byte"
		if exceeded.Resource == budget.Work {
			unit = "step"
		}
		detail := fmt.Sprintf("The document asks for more %s than one document may, and was given up. Send less at a time.", exceeded.Resource)
		return newProblem(ProblemTooCostly, "The document costs too much.", []Error{{
			Code: CodeTooCostly, Detail: detail, Params: &Params{Limit: &limit, Unit: unit},
		}}, 1)
	}
	return newProblem(ProblemTimeUp, "The document took too long.", []Error{{
		Code: CodeTimeUp, Detail: "The time for one document was over, or the client had gone, before there was an answer. Nothing was kept of it.",
	}}, 1)
}

// newProblem takes sorted errors and lists the first of them; total counts also those that were not kept.
func newProblem(code, title string, errors []Error, total int) *Problem {
	problem := &Problem{Code: code, Title: title, Errors: errors, Total: total}
	if len(errors) > MaxErrors {
		problem.Errors = errors[:MaxErrors]
	}
	for i := range problem.Errors {
		problem.Errors[i].describe()
	}
	switch listed := len(problem.Errors); {
	case total == 1:
		problem.Detail = problem.Errors[0].Detail
	case listed < total:
		problem.Detail = fmt.Sprintf("%d things need attention; the first %d are listed.", total, listed)
	default:
		problem.Detail = fmt.Sprintf("%d things need attention.", total)
	}
	return problem
}

// describe puts an error into words that was only noted so far.
func (e *Error) describe() {
	if e.words != nil {
		e.words(e)
		e.words = nil
	}
}

// quoted shows a piece of the sender's text in a message, cut where it gets long.
func quoted(text string) string { return strconv.Quote(shortened(text, maxShown)) }

func shortened(text string, most int) string {
	if utf8.RuneCountInString(text) <= most {
		return text
	}
	return string([]rune(text)[:most]) + "…"
}

// listed shows the allowed values in a message, as far as a sentence can take them.
func listed(values []string) string {
	const most = 12
	if len(values) <= most {
		return strings.Join(values, ", ")
	}
	return strings.Join(values[:most], ", ") + fmt.Sprintf(" and %d more", len(values)-most)
}

// number writes a number as people do, and with an exponent only where it would be very long.
func number(value float64) string {
	if size := math.Abs(value); size != 0 && (size < 1e-9 || size >= 1e15) {
		return strconv.FormatFloat(value, 'g', -1, 64)
	}
	return strconv.FormatFloat(value, 'f', -1, 64)
}

// pointerOf turns the instance location of the schema library, which is percent-encoded on top of the escapes of
// RFC 6901, into a plain JSON Pointer. A slash inside a name is already "~1" there, so decoding cannot split a name.
func pointerOf(location string) string {
	pointer, err := url.PathUnescape(location)
	if err != nil {
		return location
	}
	return pointer
}

var (
	escapeToken   = strings.NewReplacer("~", "~0", "/", "~1")
	unescapeToken = strings.NewReplacer("~1", "/", "~0", "~")
)

func tokensOf(pointer string) []string {
	if pointer == "" {
		return nil
	}
	tokens := strings.Split(pointer[1:], "/")
	for i, token := range tokens {
		tokens[i] = unescapeToken.Replace(token)
	}
	return tokens
}

// boundedPointer gives the innermost place at or above a pointer that can be told in maxPointer bytes.
func boundedPointer(pointer string) string {
	for len(pointer) > maxPointer {
		pointer = pointer[:strings.LastIndexByte(pointer, '/')]
	}
	return pointer
}

func child(pointer, name string) string { return pointer + "/" + escapeToken.Replace(name) }

// sortErrors puts errors in the order of the document, then by code, then by the member they name.
func sortErrors(body []byte, errors []Error) {
	if len(errors) < 2 {
		return
	}
	places := placesIn(body, errors)
	// A document can have ten thousand errors: numbers are sorted rather than errors, whose places are looked up once.
	type numbered struct{ place, at int }
	order := make([]numbered, len(errors))
	for i := range errors {
		order[i] = numbered{place: places[errors[i].Pointer], at: i}
	}
	slices.SortFunc(order, func(a, b numbered) int {
		return cmp.Or(
			a.place-b.place, strings.Compare(errors[a.at].Code, errors[b.at].Code),
			strings.Compare(errors[a.at].member(), errors[b.at].member()), a.at-b.at,
		)
	})
	sorted := make([]Error, len(errors))
	for i, each := range order {
		sorted[i] = errors[each.at]
	}
	copy(errors, sorted)
}

func (e Error) member() string {
	if e.Params == nil {
		return ""
	}
	return e.Params.Member
}
