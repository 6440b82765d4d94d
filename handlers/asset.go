package handlers

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"strconv"
	"strings"
	"sync"

	"jarwright/validate/report"

	"github.com/labstack/echo/v4"
)

// cacheForAnHour is long enough to spare a page its repeated look-ups and short enough for a correction of a table to
// reach everybody the same day.
const cacheForAnHour = "public, max-age=3600"

// compressFrom is the size in bytes from which compression saves more than it costs.
const compressFrom = 1024

// asset is a body that never changes while the program runs: a table, one row of it, or a part of the contract.
type asset struct {
	mediaTypes []string // the preferred one first; the bytes are the same for each
	plain      representation
	gzip       func() representation // made when it is first asked for; nil where compression would not pay
}

// representation is one encoding of an asset. A strong ETag belongs to the bytes sent, so each has its own.
type representation struct {
	body []byte
	etag string
}

func newRepresentation(body []byte) representation {
	sum := sha256.Sum256(body)
	return representation{body: body, etag: `"` + hex.EncodeToString(sum[:16]) + `"`}
}

// newAsset prepares a body for serving.
func newAsset(body []byte, mediaTypes ...string) (*asset, error) {
	a := &asset{mediaTypes: mediaTypes, plain: newRepresentation(body)}
	if len(body) < compressFrom {
		return a, nil
	}
	a.gzip = sync.OnceValue(func() representation { return newRepresentation(compressed(body)) })
	return a, nil
}

// compressed is a body packed with gzip.
func compressed(body []byte) []byte {
	var packed bytes.Buffer
	writer := gzip.NewWriter(&packed)
	// Writing to memory does not fail.
	_, _ = writer.Write(body)
	_ = writer.Close()
	return packed.Bytes()
}

// newJSONAsset encodes a value and prepares it for serving as application/json.
func newJSONAsset(value any) (*asset, error) {
	body, err := encodeJSON(value)
	if err != nil {
		return nil, err
	}
	return newAsset(body, mediaJSON)
}

// encodeJSON encodes a value as every answer is encoded.
func encodeJSON(value any) ([]byte, error) {
	var buffer bytes.Buffer
	err := report.Encode(&buffer, value)
	return buffer.Bytes(), err
}

// serve answers a GET or HEAD request with the asset.
func (a *asset) serve(c echo.Context) error {
	mediaType, err := negotiated(c, a.mediaTypes...)
	if err != nil {
		return err
	}
	chosen := a.plain
	header := c.Response().Header()
	if a.gzip != nil {
		header.Add(echo.HeaderVary, echo.HeaderAcceptEncoding)
		if acceptsGzip(c.Request().Header.Values(echo.HeaderAcceptEncoding)) {
			chosen = a.gzip()
			header.Set(echo.HeaderContentEncoding, "gzip")
		}
	}
	header.Set("ETag", chosen.etag)
	header.Set(echo.HeaderCacheControl, cacheForAnHour)
	if matchesETag(c.Request().Header.Values("If-None-Match"), chosen.etag) {
		header.Del(echo.HeaderContentEncoding)
		c.Response().WriteHeader(http.StatusNotModified)
		return nil
	}
	return writeBody(c, http.StatusOK, mediaType, chosen.body)
}

// writeBody sends a finished body. For HEAD it sends the header that GET would have.
func writeBody(c echo.Context, status int, mediaType string, body []byte) error {
	slotOf(c).release() // a client that reads slowly keeps nobody waiting
	header := c.Response().Header()
	header.Set(echo.HeaderContentType, contentType(mediaType))
	header.Set(echo.HeaderContentLength, strconv.Itoa(len(body)))
	c.Response().WriteHeader(status)
	if c.Request().Method == http.MethodHead {
		return nil
	}
	// A failure here is the client's connection going away; the status is already out and nobody is left to tell.
	_, _ = c.Response().Write(body)
	return nil
}

// acceptsGzip reports whether an Accept-Encoding header allows gzip (RFC 9110, 12.5.3).
func acceptsGzip(headers []string) bool {
	named, wildcard := -1.0, -1.0
	for _, header := range headers {
		for element := range strings.SplitSeq(header, ",") {
			coding, parameters, _ := strings.Cut(element, ";")
			quality := 1.0
			if value, ok := strings.CutPrefix(strings.ToLower(strings.TrimSpace(parameters)), "q="); ok {
				parsed, err := strconv.ParseFloat(value, 64)
				if err != nil {
					continue
				}
				quality = parsed
			}
			switch strings.ToLower(strings.TrimSpace(coding)) {
			case "gzip", "x-gzip":
				named = quality
			case "*":
				wildcard = quality
			}
		}
	}
	if named >= 0 {
		return named > 0
	}
	return wildcard > 0
}

// matchesETag evaluates If-None-Match with the weak comparison that RFC 9110, 13.1.2 asks for.
func matchesETag(headers []string, etag string) bool {
	for _, header := range headers {
		for candidate := range strings.SplitSeq(header, ",") {
			candidate = strings.TrimPrefix(strings.TrimSpace(candidate), "W/")
			if candidate == "*" || candidate == etag {
				return true
			}
		}
	}
	return false
}
