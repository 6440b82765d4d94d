package handlers

import (
	"mime"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"jarwright/validate/ingest"
)

// Media types that the service sends. Only text types carry a charset; JSON is UTF-8 by definition (RFC 8259, 8.1).
const (
	mediaJSON       = "application/json"
	mediaProblem    = "application/problem+json"
	mediaSchemaJSON = "application/schema+json"
	mediaYAML       = "application/yaml"
	mediaText       = "text/plain"
	mediaMarkdown   = "text/markdown"
	mediaHTML       = "text/html"
	mediaLinked     = "application/ld+json"
	mediaNDJSON     = "application/x-ndjson"
)

// contentType is the Content-Type header for a media type.
func contentType(mediaType string) string {
	if strings.HasPrefix(mediaType, "text/") {
		return mediaType + "; charset=utf-8"
	}
	return mediaType
}

// negotiated picks the media type of the answer from offers (the preferred one first), or fails with 406. It also
// tells caches that the answer depends on Accept.
func negotiated(c echo.Context, offers ...string) (string, error) {
	c.Response().Header().Add(echo.HeaderVary, echo.HeaderAccept)
	chosen, ok := negotiate(c.Request().Header.Values(echo.HeaderAccept), offers)
	if !ok {
		return "", &failure{
			kind:   kindNotAcceptable,
			detail: "This resource is offered as " + strings.Join(offers, ", ") + ".",
			errors: []ProblemError{{
				Header: echo.HeaderAccept, Code: "not_offered",
				Detail: "None of the media types asked for is offered.",
				Params: &ingest.Params{Allowed: offers},
			}},
		}
	}
	return chosen, nil
}

// mediaRange is one readable element of an Accept header.
type mediaRange struct {
	mainType, subType string
	quality           float64
}

// precedence orders ranges that match the same offer: the most specific one decides (RFC 9110, 12.5.1).
func (r mediaRange) precedence(offer string) int {
	mainType, subType, _ := strings.Cut(offer, "/")
	switch {
	case r.mainType == mainType && r.subType == subType:
		return 3
	case r.mainType == mainType && r.subType == "*":
		return 2
	case r.mainType == "*" && r.subType == "*":
		return 1
	default:
		return 0
	}
}

// negotiate returns the offer with the highest quality; among equals the earlier offer. Elements that cannot be read
// are passed over, and a header without a readable element counts as absent.
func negotiate(accept, offers []string) (string, bool) {
	var ranges []mediaRange
	for _, header := range accept {
		for element := range strings.SplitSeq(header, ",") {
			if parsed, ok := parseMediaRange(element); ok {
				ranges = append(ranges, parsed)
			}
		}
	}
	if len(ranges) == 0 {
		return offers[0], true
	}
	chosen, best := "", 0.0
	for _, offer := range offers {
		quality, decidedBy := 0.0, 0
		for _, candidate := range ranges {
			if precedence := candidate.precedence(offer); precedence > decidedBy {
				quality, decidedBy = candidate.quality, precedence
			}
		}
		if quality > best {
			chosen, best = offer, quality
		}
	}
	return chosen, best > 0
}

// parseMediaRange reads one element of an Accept header. Parameters other than q are not told apart.
func parseMediaRange(element string) (mediaRange, bool) {
	mediaType, params, err := mime.ParseMediaType(strings.TrimSpace(element))
	if err != nil {
		return mediaRange{}, false
	}
	mainType, subType, ok := strings.Cut(mediaType, "/")
	if !ok {
		return mediaRange{}, false
	}
	quality := 1.0
	if text, given := params["q"]; given {
		quality, err = strconv.ParseFloat(text, 64)
		// The comparison is written so that NaN is refused too.
		if err != nil || !(quality >= 0 && quality <= 1) {
			return mediaRange{}, false
		}
	}
	return mediaRange{mainType: mainType, subType: subType, quality: quality}, true
}
