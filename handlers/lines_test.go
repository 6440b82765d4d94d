package handlers_test

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"go.uber.org/zap/zapcore"

	"jarwright/handlers"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

const ndjson = "Content-Type: application/x-ndjson"

// answered is one line of an answer.
type answered struct {
	Line   int             `json:"line"`
	ID     json.RawMessage `json:"id"`
	Report *struct {
		Disposition string `json:"disposition"`
	} `json:"report"`
	Draft   json.RawMessage `json:"draft"`
	Problem *struct {
		Code, Type, RequestID string
		Status                int
		Errors                []struct{ Code, Pointer string }
	} `json:"problem"`
	Summary *struct {
		Lines, OK, Failed int
		Complete          bool
	} `json:"summary"`
}

func answersIn(t *testing.T, body io.Reader) []answered {
	t.Helper()
	var all []answered
	lines := bufio.NewScanner(body)
	lines.Buffer(nil, 4<<20)
	for lines.Scan() {
		var each answered
		if err := json.Unmarshal(lines.Bytes(), &each); err != nil {
			t.Fatalf("%v: %.200s", err, lines.Bytes())
		}
		all = append(all, each)
	}
	return all
}

func TestLinesAreAnsweredInOrder(t *testing.T) {
	c := newContract(t)
	body := strings.Join([]string{
		request,
		`{"id":"a1",` + request[1:],
		strings.TrimSuffix(request, "}") + `,"id":17}`,
		`{"id":["not an id"],` + request[1:],
		`{`,
		``,
		strings.Repeat("x", ingest.MaxBytes+1),
		strings.Repeat(" ", ingest.MaxBytes-len(request)) + request,
		"\xff",
		request + "\r",
		`{"id":"only"}`,
		request,
	}, "\n") // no end of line after the last
	answer := call(c.server, "POST", "/v1/reports", body, ndjson)
	if answer.Code != http.StatusOK || answer.Header().Get("Content-Type") != "application/x-ndjson" || answer.Header().Get("Cache-Control") != "no-store" {
		t.Fatalf("status %d, header %v", answer.Code, answer.Header())
	}
	want := []struct{ id, code, first string }{
		{"", "", ""},
		{`"a1"`, "", ""},
		{"17", "", ""},
		{"", "invalid_document", "unknown_member"},
		{"", "malformed_json", "not_json"},
		{"", "malformed_json", "empty_body"},
		{"", "body_too_large", "body_too_large"},
		{"", "", ""},
		{"", "malformed_json", "invalid_utf8"},
		{"", "", ""},
		{`"only"`, "invalid_document", "missing_member"},
		{"", "", ""},
	}
	got := answersIn(t, answer.Body)
	if len(got) != len(want)+1 {
		t.Fatalf("%d answers to %d lines", len(got)-1, len(want))
	}
	for i, each := range want {
		if got[i].Line != i+1 || string(got[i].ID) != each.id || (got[i].Report == nil) != (each.code != "") {
			t.Errorf("line %d: %+v", i+1, got[i])
			continue
		}
		if each.code != "" && (got[i].Problem.Code != each.code || got[i].Problem.Errors[0].Code != each.first) {
			t.Errorf("line %d: %+v, want %s, %s", i+1, got[i].Problem, each.code, each.first)
		}
	}
	last := got[len(want)].Summary
	if last == nil || last.Lines != 12 || last.OK != 6 || last.Failed != 6 || !last.Complete {
		t.Errorf("summary %+v", last)
	}
}

func TestDraftLines(t *testing.T) {
	c := newContract(t)
	answer := call(c.server, "POST", "/v1/drafts?report=true", publishedRecipe+"\n{}\n", ndjson)
	got := answersIn(t, answer.Body)
	if len(got) != 3 || got[0].Draft == nil || !bytes.Contains(got[0].Draft, []byte(`"disposition"`)) || got[1].Problem == nil || !got[2].Summary.Complete {
		t.Errorf("%+v", got)
	}
}

func TestNoLinesAtAll(t *testing.T) {
	c := newContract(t)
	got := answersIn(t, call(c.server, "POST", "/v1/reports", "", ndjson).Body)
	if len(got) != 1 || got[0].Summary == nil || got[0].Summary.Lines != 0 || !got[0].Summary.Complete {
		t.Errorf("%+v", got)
	}
	if answer := call(c.server, "POST", "/v1/reports", "{}", ndjson, "Accept: text/plain"); answer.Code != http.StatusNotAcceptable {
		t.Errorf("Accept text/plain: status %d", answer.Code)
	}
}

// Documents that take long to judge do not let the later ones overtake them, and one that breaks the service breaks its own
// line only.
func TestSlowAndBrokenLines(t *testing.T) {
	const lines = 200
	var seen atomic.Int64
	server, _ := newServer(t, checkFunc(func(body []byte) (report.Report, *ingest.Problem) {
		n := seen.Add(1)
		time.Sleep(time.Duration(n%7) * time.Millisecond)
		if bytes.Contains(body, []byte("panic")) {
			panic("as asked")
		}
		return report.Report{Disposition: report.Disposition(body)}, nil
	}))
	var body strings.Builder
	for i := range lines {
		if i == 50 {
			body.WriteString("panic\n")
			continue
		}
		fmt.Fprintf(&body, "n%d\n", i)
	}
	got := answersIn(t, call(server, "POST", "/v1/reports", body.String(), ndjson).Body)
	if len(got) != lines+1 {
		t.Fatalf("%d answers", len(got))
	}
	for i := range lines {
		if i == 50 {
			if got[i].Problem == nil || got[i].Problem.Code != "internal" {
				t.Errorf("the broken line: %+v", got[i])
			}
			continue
		}
		if got[i].Report == nil || got[i].Report.Disposition != fmt.Sprintf("n%d", i) {
			t.Fatalf("answer %d is %+v", i, got[i])
		}
	}
}

// dial opens a connection to a server and sends the head of a stream.
func dial(t *testing.T, address, length string) *net.TCPConn {
	t.Helper()
	connection, err := net.Dial("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { connection.Close() })
	fmt.Fprintf(connection, "POST /v1/reports HTTP/1.1\r\nHost: test\r\nContent-Type: application/x-ndjson\r\n%s\r\n\r\n", length)
	return connection.(*net.TCPConn)
}

// An answer comes while the client is still sending.
func TestAnswersComeWhileLinesAreSent(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	running := httptest.NewServer(server)
	defer running.Close()
	body, out := io.Pipe()
	asked, err := http.NewRequestWithContext(t.Context(), http.MethodPost, running.URL+"/v1/reports", body)
	if err != nil {
		t.Fatal(err)
	}
	asked.Header.Set("Content-Type", "application/x-ndjson")
	go func() { _, _ = io.WriteString(out, request+"\n") }()
	answer, err := http.DefaultClient.Do(asked)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	lines := bufio.NewReader(answer.Body)
	for number := 1; number <= 3; number++ {
		text, err := lines.ReadString('\n')
		if err != nil || !strings.HasPrefix(text, fmt.Sprintf(`{"line":%d,`, number)) {
			t.Fatalf("answer %d: %v %.100s", number, err, text)
		}
		if number < 3 {
			go func() { _, _ = io.WriteString(out, request+"\n") }()
		}
	}
	out.Close()
	if text, err := lines.ReadString('\n'); err != nil || !strings.Contains(text, `"complete":true`) {
		t.Errorf("%v %s", err, text)
	}
}

// A body that ends before its declared length is answered as far as it goes and not called complete.
func TestCutBodyIsNotComplete(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	running := httptest.NewServer(server)
	defer running.Close()
	connection := dial(t, running.Listener.Addr().String(), "Content-Length: 100000")
	fmt.Fprint(connection, request+"\n"+request+"\n"+request[:20])
	if err := connection.CloseWrite(); err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(connection)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(text), `"complete":true`) {
		t.Errorf("a cut stream is called complete: %s", text)
	}
	if !strings.Contains(string(text), `"line":2`) {
		t.Errorf("the whole lines are not answered: %s", text)
	}
}

// A client that leaves frees its work: what was started for it ends, whether it was sending, or taking nothing.
func TestClientThatLeavesFreesItsWork(t *testing.T) {
	var judged atomic.Int64
	reader := newReading(t)
	server, _ := newServer(t, checkFunc(func(body []byte) (report.Report, *ingest.Problem) {
		judged.Add(1)
		return reader.Check(nil, body, report.Options{})
	}))
	running := httptest.NewServer(server)
	defer running.Close()
	before := runtime.NumGoroutine()
	for range 20 {
		connection := dial(t, running.Listener.Addr().String(), "Transfer-Encoding: chunked")
		chunk := strings.Repeat(request+"\n", 100)
		for range 20 {
			_ = connection.SetWriteDeadline(time.Now().Add(200 * time.Millisecond))
			if _, err := fmt.Fprintf(connection, "%x\r\n%s\r\n", len(chunk), chunk); err != nil {
				break // it takes nothing more, because nothing is taken from it
			}
		}
		connection.Close()
	}
	deadline := time.Now().Add(10 * time.Second)
	for runtime.NumGoroutine() > before+2 {
		if time.Now().After(deadline) {
			t.Fatalf("%d goroutines, %d before", runtime.NumGoroutine(), before)
		}
		time.Sleep(20 * time.Millisecond)
	}
	// What was under way when the last client left may still be finished, on a busy machine for a while.
	for settled := int64(-1); settled != judged.Load(); time.Sleep(200 * time.Millisecond) {
		if settled = judged.Load(); time.Now().After(deadline) {
			t.Fatalf("lines are still judged: %d", settled)
		}
	}
}

// As many streams as may be are answered at a time; one more is turned away, and nobody else is any the worse.
func TestSheddingOfStreams(t *testing.T) {
	metrics := handlers.NewMetrics()
	server, logs := guarded(t, newReading(t), func(c *handlers.Config) {
		c.Limits = handlers.DefaultLimits()
		c.Limits.Streams, c.Limits.GiveWay, c.Limits.QueueTime = 1, time.Hour, 50*time.Millisecond
		c.Metrics = metrics
	})
	running := httptest.NewServer(server)
	defer running.Close()
	connection := dial(t, running.Listener.Addr().String(), "Transfer-Encoding: chunked")
	if _, err := http.ReadResponse(bufio.NewReader(connection), nil); err != nil {
		t.Fatal(err)
	}
	answer := call(server, "POST", "/v1/reports", request, ndjson)
	if answer.Code != http.StatusServiceUnavailable || problemIn(t, answer).Code != "overloaded" || answer.Header().Get("Retry-After") == "" {
		t.Errorf("status %d, header %v", answer.Code, answer.Header())
	}
	if got := call(server, "POST", "/v1/reports", request); got.Code != http.StatusOK {
		t.Errorf("one document: status %d", got.Code)
	}
	if got := scraped(t, metrics); !strings.Contains(got, `jarwright_rejected_total{reason="streams"} 1`) {
		t.Error("the metrics do not tell of it")
	}
	// What a busy service is meant to do is no error of the service.
	if failed := logs.FilterLevelExact(zapcore.ErrorLevel); failed.Len() != 0 {
		t.Errorf("errors in the log: %v", failed.All())
	}
	connection.Close()
	for deadline := time.Now().Add(5 * time.Second); call(server, "POST", "/v1/reports", request,
		ndjson).Code != http.StatusOK; time.Sleep(10 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatal("the stream that has ended keeps others out")
		}
	}
}

// A service that stops lets a stream go on for as long as it can, answers what has come by then, and says that it is not all.
func TestStreamEndsBeforeTheServiceStops(t *testing.T) {
	server, _ := guarded(t, newReading(t), func(c *handlers.Config) {
		c.Limits = handlers.DefaultLimits()
		c.Limits.StopTimeout = 2 * time.Second
	})
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	stopped := make(chan error, 1)
	go func() { stopped <- server.Serve(ctx, listener, 0) }()

	connection := dial(t, listener.Addr().String(), "Transfer-Encoding: chunked")
	send := func(text string) {
		if _, err := fmt.Fprintf(connection, "%x\r\n%s\r\n", len(text), text); err != nil {
			t.Fatal(err)
		}
	}
	send(request + "\n")
	answer, err := http.ReadResponse(bufio.NewReader(connection), nil)
	if err != nil {
		t.Fatal(err)
	}
	stop()
	time.Sleep(200 * time.Millisecond)
	send(request + "\n" + request + "\n" + request[:20]) // while the service waits for the streams that it has
	got := answersIn(t, answer.Body)
	if len(got) != 4 || got[3].Summary == nil || got[3].Summary.Complete || got[3].Summary.Lines != 3 || got[3].Summary.OK != 3 {
		t.Errorf("%d lines, the last %+v", len(got), got[len(got)-1])
	}
	if err := <-stopped; err != nil {
		t.Errorf("stop: %v", err)
	}
}

// A client that sends and never reads is not read from for long.
func TestClientThatTakesNothingIsHeldBack(t *testing.T) {
	var judged atomic.Int64
	large := report.Report{Disposition: report.Hold, Summary: report.Summary{Text: strings.Repeat("long ", 4000)}}
	server, _ := newServer(t, checkFunc(func([]byte) (report.Report, *ingest.Problem) {
		judged.Add(1)
		return large, nil
	}))
	running := httptest.NewServer(server)
	defer running.Close()
	connection := dial(t, running.Listener.Addr().String(), "Transfer-Encoding: chunked")
	chunk := strings.Repeat(request+"\n", 1000)
	sent := 0
	for range 1000 {
		_ = connection.SetWriteDeadline(time.Now().Add(time.Second))
		if _, err := fmt.Fprintf(connection, "%x\r\n%s\r\n", len(chunk), chunk); err != nil {
			break
		}
		sent++
	}
	if sent == 1000 {
		t.Error("a hundred megabytes were taken from a client that reads nothing")
	}
	held := judged.Load()
	time.Sleep(300 * time.Millisecond)
	if now := judged.Load(); now != held {
		t.Errorf("the work goes on while nothing is read: %d, then %d", held, now)
	}
	connection.Close() // else the server waits for it until a write has had its time
}
