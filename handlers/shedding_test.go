package handlers_test

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"jarwright/handlers"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

// While as many documents are judged as may be, the next waits; when it has waited long enough it is turned away, and nobody
// else is any the worse.
func TestSheddingOfTheQueue(t *testing.T) {
	entered, leave := make(chan struct{}), make(chan struct{})
	metrics := handlers.NewMetrics()
	server, _ := guarded(t, checkFunc(func([]byte) (report.Report, *ingest.Problem) {
		entered <- struct{}{}
		<-leave
		return report.Report{Disposition: report.Hold}, nil
	}), func(c *handlers.Config) {
		c.Limits = handlers.DefaultLimits()
		c.Limits.Concurrency, c.Limits.QueueTime = 1, 50*time.Millisecond
		c.Metrics = metrics
	})
	first := make(chan int)
	go func() { first <- call(server, "POST", "/v1/reports", request).Code }()
	<-entered
	answer := call(server, "POST", "/v1/reports", request)
	if answer.Code != http.StatusServiceUnavailable || problemIn(t, answer).Code != "overloaded" || answer.Header().Get("Retry-After") == "" {
		t.Errorf("status %d, header %v", answer.Code, answer.Header())
	}
	for _, target := range []string{"/healthz", "/readyz", "/v1/foods"} {
		if got := call(server, "GET", target, ""); got.Code != http.StatusOK {
			t.Errorf("%s is turned away too: status %d", target, got.Code)
		}
	}
	leave <- struct{}{}
	if status := <-first; status != http.StatusOK {
		t.Errorf("the first request: status %d", status)
	}
	go func() { <-entered; leave <- struct{}{} }()
	if again := call(server, "POST", "/v1/reports", request); again.Code != http.StatusOK {
		t.Errorf("afterwards: status %d", again.Code)
	}
	if got := scraped(t, metrics); !strings.Contains(got, `jarwright_rejected_total{reason="queue"} 1`) {
		t.Error("the metrics do not tell of it")
	}
}

// A panic gives its slot back.
func TestPanicLeavesTheGate(t *testing.T) {
	server, _ := guarded(t, checkFunc(func([]byte) (report.Report, *ingest.Problem) { panic("jar") }), func(c *handlers.Config) {
		c.Limits = handlers.DefaultLimits()
		c.Limits.Concurrency, c.Limits.QueueTime = 1, 10*time.Millisecond
	})
	for range 3 {
		if answer := call(server, "POST", "/v1/reports", request); answer.Code != http.StatusInternalServerError {
			t.Fatalf("status %d", answer.Code)
		}
	}
}

// Clients that keep long or compressed bodies waiting keep out those with such bodies, and nobody else.
func TestSheddingOfLargeBodies(t *testing.T) {
	server, _ := guarded(t, newReading(t), func(c *handlers.Config) {
		c.Limits = handlers.DefaultLimits()
		c.Limits.LargeBodies, c.Limits.ClientShare, c.Limits.GiveWay, c.Limits.QueueTime = 2, 100, time.Hour, 50*time.Millisecond
	})
	large := request + strings.Repeat(" ", 250<<10)
	var waiting sync.WaitGroup
	var ends []*io.PipeWriter
	for range 2 {
		reader, writer := io.Pipe()
		ends = append(ends, writer)
		waiting.Add(1)
		go func() {
			defer waiting.Done()
			r := httptest.NewRequest(http.MethodPost, "/v1/reports", reader)
			r.Header.Set("Content-Type", "application/json")
			recorder := httptest.NewRecorder()
			server.ServeHTTP(recorder, r)
			if recorder.Code != http.StatusOK {
				t.Errorf("a slow client: status %d", recorder.Code)
			}
		}()
		// The pipe takes the last of these bytes when the service has asked for the memory of a large body.
		if _, err := io.WriteString(writer, large); err != nil {
			t.Fatal(err)
		}
	}
	for _, test := range []struct {
		body    string
		headers []string
		want    int
	}{{large, nil, 503}, {packed(t, request), []string{"Content-Encoding: gzip"}, 503}, {request, nil, 200}} {
		if answer := call(server, "POST", "/v1/reports", test.body, test.headers...); answer.Code != test.want {
			t.Errorf("%d bytes %v: status %d, want %d", len(test.body), test.headers, answer.Code, test.want)
		}
	}
	for _, end := range ends {
		end.Close()
	}
	waiting.Wait()
	if answer := call(server, "POST", "/v1/reports", large); answer.Code != http.StatusOK {
		t.Errorf("afterwards: status %d", answer.Code)
	}
}

// A connection more than may be open waits while those that are have requests under way; nobody is sent away.
func TestConnectionsAreLimited(t *testing.T) {
	entered, leave := make(chan struct{}), make(chan struct{})
	address := serving(t, checkFunc(func([]byte) (report.Report, *ingest.Problem) {
		entered <- struct{}{}
		<-leave
		return report.Report{Disposition: report.Hold}, nil
	}), func(c *handlers.Config) { c.Limits.Connections, c.Limits.ClientShare = 1, 100 })
	first := connect(t, address, "")
	fmt.Fprintf(first, "POST /v1/reports HTTP/1.1\r\nHost: a\r\nContent-Type: application/json\r\nContent-Length: 2\r\n\r\n{}")
	<-entered
	second := connect(t, address, "")
	fmt.Fprint(second, "GET /healthz HTTP/1.1\r\nHost: a\r\n\r\n")
	second.SetReadDeadline(time.Now().Add(200 * time.Millisecond))
	if n, err := second.Read(make([]byte, 1)); n > 0 || !errors.Is(err, os.ErrDeadlineExceeded) {
		t.Errorf("the second connection got %d bytes, %v while the first has its request judged", n, err)
	}
	close(leave)
	for name, each := range map[string]net.Conn{"first": first, "second": second} {
		each.SetReadDeadline(time.Now().Add(5 * time.Second))
		if answer, err := http.ReadResponse(bufio.NewReader(each), nil); err != nil || answer.StatusCode != http.StatusOK {
			t.Errorf("the %s connection: %v", name, err)
		}
	}
}
