package handlers_test

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"strconv"
	"testing"

	"go.uber.org/zap"

	"jarwright/handlers"
	"jarwright/validate"
)

// discarding is an answer of which only the number of bytes is kept.
type discarding struct {
	header http.Header
	bytes  int64
}

func (d *discarding) Header() http.Header         { return d.header }
func (d *discarding) WriteHeader(int)             {}
func (d *discarding) Write(b []byte) (int, error) { d.bytes += int64(len(b)); return len(b), nil }

// BenchmarkStream counts lines a second through the endpoint: 1,000 and 100,000 lines should cost the same each.
func BenchmarkStream(b *testing.B) {
	checker, err := validate.New()
	if err != nil {
		b.Fatal(err)
	}
	server, err := handlers.New(handlers.Config{
		Reporter: checker, Drafter: checker, Catalog: handlers.NewCatalog(checker), BaseURL: baseURL, Version: "1", Logger: zap.NewNop(),
	})
	if err != nil {
		b.Fatal(err)
	}
	for _, each := range []struct{ name, target, file string }{
		{"reports", "/v1/reports", "../examples/dill-cucumbers.json"},
		{"drafts", "/v1/drafts", "../examples/mustard-seed-carrots.jsonld"},
		{"drafts-with-report", "/v1/drafts?report=true", "../examples/mustard-seed-carrots.jsonld"},
	} {
		text, err := os.ReadFile(each.file)
		if err != nil {
			b.Fatal(err)
		}
		var line bytes.Buffer
		if err := json.Compact(&line, text); err != nil {
			b.Fatal(err)
		}
		line.WriteByte('\n')
		for _, lines := range []int{1_000, 10_000} {
			b.Run(each.name+"/"+strconv.Itoa(lines), func(b *testing.B) {
				n := 0
				for b.Loop() {
					request := httptest.NewRequest(http.MethodPost, each.target, io.LimitReader(&repeating{text: line.Bytes()}, int64(lines*line.Len())))
					request.Header.Set("Content-Type", "application/x-ndjson")
					out := &discarding{header: http.Header{}}
					server.ServeHTTP(out, request)
					n += lines
				}
				b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "lines/s")
			})
		}
	}
}

// repeating reads the same text again and again.
type repeating struct {
	text []byte
	at   int
}

func (r *repeating) Read(into []byte) (int, error) {
	n := 0
	for n < len(into) {
		copied := copy(into[n:], r.text[r.at:])
		n += copied
		r.at = (r.at + copied) % len(r.text)
	}
	return n, nil
}
