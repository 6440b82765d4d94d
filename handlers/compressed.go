package handlers

import (
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/labstack/echo/v4"
)

// gzipSlack is how many bytes a compressed body may be longer than what it holds. An honest one is shorter, or longer by
// some 20 bytes and a few in ten thousand (RFC 1952); one that goes on and on and holds nothing keeps the service busy.
const gzipSlack = 64 << 10

// unpackerBytes is the memory that unpacking takes, rounded up.
const unpackerBytes = 64 << 10

// unpacking lets handlers read a gzip body as if it had not been compressed. Nothing is unpacked that is not asked for, so that
// the limits of the handlers bound what comes out; gzipSlack bounds what goes in.
func unpacking(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		request := c.Request()
		coding := strings.TrimSpace(request.Header.Get(echo.HeaderContentEncoding))
		if !strings.EqualFold(coding, "gzip") && !strings.EqualFold(coding, "x-gzip") {
			return next(c)
		}
		request.Body = &gzipBody{raw: request.Body, slot: slotOf(c)}
		request.ContentLength = -1
		request.Header.Del(echo.HeaderContentEncoding)
		return next(c)
	}
}

// gzipBody unpacks a body as it is read.
type gzipBody struct {
	raw     io.ReadCloser
	slot    *slot // asked for memory before the unpacker is made
	unpack  *gzip.Reader
	in, out int64
}

// errEndlessGzip is the error of a compressed body that is much longer than what it holds.
var errEndlessGzip = errors.New("the compressed body is longer than what it holds")

// Read unpacks. Its errors are failures, which say that the body is not what its header says.
func (g *gzipBody) Read(p []byte) (int, error) {
	if g.unpack == nil {
		if err := g.slot.reserve(unpackerBytes); err != nil {
			return 0, err
		}
		unpack, err := gzip.NewReader(countingReader{g})
		if errors.Is(err, io.EOF) {
			return 0, io.EOF // no byte at all is an empty body
		}
		if err != nil {
			return 0, notGzip(err)
		}
		g.unpack = unpack
	}
	n, err := g.unpack.Read(p)
	g.out += int64(n)
	if err != nil && !errors.Is(err, io.EOF) {
		return n, notGzip(err)
	}
	return n, err
}

// Close closes the body that is unpacked.
func (g *gzipBody) Close() error { return g.raw.Close() }

// countingReader reads the compressed bytes of a body. It is no io.ByteReader, so that the unpacker reads in blocks.
type countingReader struct{ body *gzipBody }

func (r countingReader) Read(p []byte) (int, error) {
	if r.body.in > r.body.out+gzipSlack {
		return 0, errEndlessGzip
	}
	n, err := r.body.raw.Read(p)
	r.body.in += int64(n)
	return n, err
}

func notGzip(cause error) error {
	var known *failure
	if errors.As(cause, &known) {
		return known // it is the fault of the client and not of what it sends
	}
	return &failure{
		kind:   kindBodyUnreadable,
		detail: "The body is not whole, or not compressed with gzip as its header says.",
		errors: []ProblemError{{
			Header: echo.HeaderContentEncoding, Code: "not_gzip", Detail: "The body could not be unpacked.",
		}},
		cause: fmt.Errorf("unpack body: %w", cause),
	}
}
