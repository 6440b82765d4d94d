package handlers

import (
	"errors"
	"fmt"
	"io"
	"mime"
	"net/url"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"jarwright/validate/ingest"
	"jarwright/validate/measure"
)

// drainBytes is how much of a body that is too long is read and dropped, so that a client that writes all before it
// reads sees the answer and not a broken connection.
const drainBytes = 16 << 20

// checkQuery refuses query parameters that the operation does not know: a misspelled one would silently do nothing.
func checkQuery(c echo.Context, allowed []string) error {
	query, err := url.ParseQuery(c.Request().URL.RawQuery)
	if err != nil {
		return &failure{kind: kindUnknownParameter, detail: "The query string is not well formed."}
	}
	names := make([]string, 0, len(query))
	for name := range query {
		names = append(names, name)
	}
	slices.Sort(names)
	var found []ProblemError
	unknown := 0
	for _, name := range names {
		if slices.Contains(allowed, name) {
			continue
		}
		if unknown++; unknown > ingest.MaxErrors {
			continue // they are only counted
		}
		params := &ingest.Params{Got: shortened(name), Allowed: allowed, Nearest: measure.NearestName(name, allowed)}
		found = append(found, ProblemError{
			Parameter: shortened(name), Code: "unknown_parameter", Detail: "This operation has no such query parameter.", Params: params,
		})
	}
	if len(found) == 0 {
		return nil
	}
	detail := "This operation takes no query parameters."
	if len(allowed) > 0 {
		detail = "This operation takes the query parameters " + strings.Join(allowed, ", ") + "."
	}
	return &failure{kind: kindUnknownParameter, detail: detail, errors: found, total: unknown}
}

// bodyKind is one media type that an operation reads, with the most bytes it takes; 0 means that it is read line by line.
type bodyKind struct {
	mediaType string
	most      int
}

// readBody reads a request body of at most the given number of bytes.
func readBody(c echo.Context, most int) ([]byte, error) {
	return readWhole(c, int64(most))
}

// readWhole reads a body of at most limit bytes and waits until it may be judged.
func readWhole(c echo.Context, limit int64) ([]byte, error) {
	request := c.Request()
	if request.ContentLength > limit {
		// A client that waits for "100 Continue" sends nothing once it has the answer.
		if request.Header.Get("Expect") == "" {
			drain(request.Body)
		}
		return nil, tooLarge(int(limit))
	}
	held := slotOf(c)
	body, err := held.readBody(request.Body, request.ContentLength, limit)
	if err != nil {
		var known *failure
		if errors.As(err, &known) {
			return nil, known
		}
		return nil, &failure{kind: kindBodyUnreadable, cause: err}
	}
	if int64(len(body)) > limit {
		drain(request.Body)
		return nil, tooLarge(int(limit))
	}
	if err := held.enter(); err != nil {
		return nil, err
	}
	return body, nil
}

// readDocument reads the body of an operation that takes one JSON document and nothing else.
func readDocument(c echo.Context) ([]byte, error) {
	kind, err := bodyKindOf(c, []bodyKind{{mediaType: mediaJSON, most: ingest.MaxBytes}})
	if err != nil {
		return nil, err
	}
	return readBody(c, kind.most)
}

func drain(body io.Reader) {
	if packed, ok := body.(*gzipBody); ok {
		body = packed.raw // what has to be taken from the connection is what was sent
	}
	// What is read is dropped and the answer is the same whether or not the rest arrives.
	_, _ = io.CopyN(io.Discard, body, drainBytes)
}

func tooLarge(most int) error {
	whole, limit := "", float64(most)
	return &failure{
		kind:   kindTooLarge,
		detail: fmt.Sprintf("A request body has at most %d bytes.", most),
		errors: []ProblemError{{
			Pointer: &whole, Code: ingest.CodeBodyTooLarge, Detail: "The body is longer than the limit.",
			Params: &ingest.Params{Limit: &limit, Unit: "byte"},
		}},
	}
}

// bodyKindOf finds the kind that the header declares: one of those the operation reads, in UTF-8 if a charset is named, and
// no compression that is left.
func bodyKindOf(c echo.Context, kinds []bodyKind) (bodyKind, error) {
	header := c.Request().Header
	given := header.Get(echo.HeaderContentType)
	mediaType, params, err := mime.ParseMediaType(given)
	charset := params["charset"]
	at := slices.IndexFunc(kinds, func(kind bodyKind) bool { return kind.mediaType == mediaType })
	if err != nil && !errors.Is(err, mime.ErrInvalidMediaParameter) || at < 0 || charset != "" && !strings.EqualFold(charset, "utf-8") {
		accepted := make([]string, len(kinds))
		for i, kind := range kinds {
			accepted[i] = kind.mediaType
		}
		return bodyKind{}, unsupported(echo.HeaderContentType, given, accepted, accepted)
	}
	if coding := header.Get(echo.HeaderContentEncoding); coding != "" && !strings.EqualFold(coding, "identity") {
		return bodyKind{}, unsupported(echo.HeaderContentEncoding, coding, []string{"gzip"}, nil)
	}
	return kinds[at], nil
}

func unsupported(headerName, given string, accepted, post []string) error {
	return &failure{
		kind:   kindUnsupportedMediaType,
		detail: "Send " + headerName + ": " + measure.JoinOr(accepted) + ".",
		errors: []ProblemError{{
			Header: headerName, Code: "not_supported", Detail: "The service does not read bodies of this kind.",
			Params: &ingest.Params{Got: shortened(given), Allowed: accepted},
		}},
		acceptPost: post,
	}
}

// shortened keeps what a client sent from filling the answer.
func shortened(text string) string {
	const longest = 100
	if len(text) <= longest {
		return text
	}
	return strings.ToValidUTF8(text[:longest], "") + "…"
}
