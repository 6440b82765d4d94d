package handlers_test

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

// inPieces is a body that arrives in pieces of a few bytes, as from a slow client.
type inPieces struct {
	source io.Reader
	length int
}

func (p inPieces) Read(into []byte) (int, error) {
	return p.source.Read(into[:min(len(into), p.length)])
}

// FuzzLines sends arbitrary bytes as a stream, in pieces of any length. Each line has its one answer, in order, and what is judged
// is the line and nothing but the line, without its id.
func FuzzLines(f *testing.F) {
	for _, body := range []string{
		"", "\n", "\r\n\r", request, request + "\r\n" + request, `{"id":1}` + "\n" + `{"id":"a","b":2}`, `{"b":[{"id":3}],"id":4}`,
		`{"id":1,"id":2}`, `{"id":`, `{"a":"\"id\"","id":5,}`, "\xff\n\x00\n\ufeff{}", ` { "id" : "x" , "b" : 1 } `, `{"i\u0064":7,"id":8}`, `["id"]`,
	} {
		f.Add([]byte(body), uint16(1), uint16(0))
	}
	f.Add([]byte("{}\n{}\n"), uint16(4096), uint16(60_000))
	server, _ := newServer(f, checkFunc(func(document []byte) (report.Report, *ingest.Problem) {
		return report.Report{Disposition: report.Disposition(base64.StdEncoding.EncodeToString(document))}, nil
	}))
	f.Fuzz(func(t *testing.T, body []byte, piece, padding uint16) {
		if padding > 0 { // a line that may be too long
			body = append(append(bytes.Clone(body), bytes.Repeat([]byte("x"), 8*int(padding))...), "\n{}"...)
			piece = 4096
		}
		r := httptest.NewRequest(http.MethodPost, "/v1/reports", inPieces{bytes.NewReader(body), max(1, int(piece))})
		r.Header.Set("Content-Type", "application/x-ndjson")
		recorder := httptest.NewRecorder()
		server.ServeHTTP(recorder, r)
		if recorder.Code != http.StatusOK {
			t.Fatalf("status %d: %s", recorder.Code, recorder.Body)
		}
		sent := bytes.Split(body, []byte("\n"))
		if last := len(sent) - 1; len(sent[last]) == 0 {
			sent = sent[:last]
		} else {
			sent[last] = append(bytes.Clone(sent[last]), '\r') // only the end of a line takes its carriage return along
		}
		got := answersIn(t, recorder.Body)
		if len(got) != len(sent)+1 {
			t.Fatalf("%d answers to %d lines", len(got)-1, len(sent))
		}
		failed := 0
		for i, line := range sent {
			line = bytes.TrimSuffix(line, []byte("\r"))
			if got[i].Line != i+1 || (got[i].Report == nil) == (got[i].Problem == nil) {
				t.Fatalf("line %d: %+v", i+1, got[i])
			}
			if got[i].Problem != nil {
				failed++
				if len(line) <= ingest.MaxBytes || got[i].Problem.Code != "body_too_large" {
					t.Errorf("line %d of %d bytes: %+v", i+1, len(line), got[i].Problem)
				}
				continue
			}
			judged, err := base64.StdEncoding.DecodeString(got[i].Report.Disposition)
			if err != nil {
				t.Fatal(err)
			}
			holdLine(t, line, judged, got[i].ID)
		}
		last := got[len(sent)].Summary
		if last == nil || !last.Complete || last.Lines != len(sent) || last.Failed != failed || last.OK != len(sent)-failed {
			t.Errorf("summary %+v of %d lines, %d of them too long", last, len(sent), failed)
		}
	})
}

// holdLine compares what was judged of a line with the line.
func holdLine(t *testing.T, line, judged []byte, id json.RawMessage) {
	t.Helper()
	if id == nil {
		if !bytes.Equal(line, judged) {
			t.Errorf("of %q %q was judged", line, judged)
		}
		return
	}
	var before, after map[string]json.RawMessage
	if json.Unmarshal(line, &before) != nil {
		return // not JSON: what is left of it is not JSON either
	}
	if err := json.Unmarshal(judged, &after); err != nil {
		t.Fatalf("of %q %q was judged: %v", line, judged, err)
	}
	if strings.Count(string(line), "id") > 1 || strings.Contains(string(line), `\u`) {
		return // a second member of this name stays, for ingest to refuse
	}
	delete(before, "id")
	if len(before) != len(after) {
		t.Errorf("of %q %q was judged", line, judged)
	}
	for name, value := range before {
		if !bytes.Equal(value, after[name]) {
			t.Errorf("of %q %q was judged", line, judged)
		}
	}
}
