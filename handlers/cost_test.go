package handlers_test

import (
	"context"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"jarwright/handlers"
	"jarwright/validate"
	"jarwright/validate/budget"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

// working is a Reporter that takes steps of work until its budget ends or it has taken as many as it is told to.
type working int64

func (w working) Check(b *budget.Budget, _ []byte, _ report.Options) (report.Report, *ingest.Problem) {
	for b.Steps() < int64(w) && b.Spend(1) {
		if w == endless {
			time.Sleep(time.Microsecond) // so that the time ends before the work
		}
	}
	return report.Report{Disposition: report.Hold}, ingest.TooCostly(b.Err())
}

func (w working) Illustrate(b *budget.Budget, body []byte, options report.Options) (validate.Illustrated, *ingest.Problem) {
	judged, problem := w.Check(b, body, options)
	return validate.Illustrated{Report: judged}, problem
}

const (
	boundless = 1 << 40 // work beyond every budget, done quickly
	endless   = 1 << 41 // the same, done slowly
)

// A document beyond its budget is refused with a code of its own, in every form and as a line of a stream, and leaves its slot.
func TestDocumentBeyondItsBudget(t *testing.T) {
	for _, test := range []struct {
		name   string
		work   working
		status int
		code   string
	}{
		{"work", boundless, http.StatusUnprocessableEntity, "too_costly"},
		{"time", endless, http.StatusServiceUnavailable, "time_up"},
	} {
		t.Run(test.name, func(t *testing.T) {
			server, _ := guarded(t, test.work, func(c *handlers.Config) {
				c.Limits = handlers.DefaultLimits()
				c.Limits.Concurrency, c.Limits.QueueTime, c.Limits.DocumentTime = 1, time.Millisecond, 100*time.Millisecond
			})
			for _, accept := range []string{"application/json", "text/plain", "text/html"} {
				answer := call(server, "POST", "/v1/reports", request, "Accept: "+accept)
				if answer.Code != test.status || problemIn(t, answer).Code != test.code {
					t.Errorf("as %s: status %d, %s", accept, answer.Code, answer.Body)
				}
			}
			answer := call(server, "POST", "/v1/reports", request+"\n"+request, "Content-Type: application/x-ndjson")
			if got := answer.Body.String(); strings.Count(got, `"code":"`+test.code+`","detail"`) < 2 || !strings.Contains(got, `"failed":2,"complete":true`) {
				t.Errorf("as a stream: %s", got)
			}
		})
	}
}

// The work on a document ends when its client has gone.
func TestClientGoneEndsTheWork(t *testing.T) {
	server, _ := guarded(t, working(endless), func(c *handlers.Config) {
		c.Limits = handlers.DefaultLimits()
		c.Limits.DocumentTime = time.Minute
	})
	ctx, cancel := context.WithCancel(context.Background())
	asked := httptest.NewRequestWithContext(ctx, "POST", "/v1/reports", strings.NewReader(request))
	asked.Header.Set("Content-Type", "application/json")
	time.AfterFunc(20*time.Millisecond, cancel)
	ended := make(chan int)
	go func() {
		answer := httptest.NewRecorder()
		server.ServeHTTP(answer, asked)
		ended <- answer.Code
	}()
	select {
	case <-ended:
	case <-time.After(10 * time.Second):
		t.Error("the work goes on without anybody to take its answer")
	}
}

// A costly document counts as as many requests as it has of an ordinary one, alone or as a line of a stream.
func TestCostlyDocumentsCountAsMany(t *testing.T) {
	const requests, times = 12, 5
	serverOf := func(work int64) *handlers.Server {
		server, _ := guarded(t, working(work), func(c *handlers.Config) {
			c.RateLimit = handlers.RateLimit{Requests: requests, Window: time.Hour}
		})
		return server
	}
	answered := func(server *handlers.Server) int {
		n := 0
		for call(server, "POST", "/v1/reports", request).Code == http.StatusOK {
			n++
		}
		return n
	}
	if got := answered(serverOf(budget.Ordinary / 2)); got != requests {
		t.Errorf("%d ordinary documents were answered, want %d", got, requests)
	}
	if got, want := answered(serverOf(times*budget.Ordinary-budget.Ordinary/2)), requests/times+1; got != want {
		t.Errorf("%d documents of %d times the cost were answered, want %d", got, times, want)
	}
	server := serverOf(budget.Ordinary / 2)
	stream := call(server, "POST", "/v1/reports", strings.Repeat(request+"\n", requests+3), "Content-Type: application/x-ndjson").Body.String()
	if got, want := strings.Count(stream, `"report":`), requests-1; got != want { // the request itself is one
		t.Errorf("%d lines were answered, want %d\n%s", got, want, stream)
	}
	if got := strings.Count(stream, `"code":"too_many_requests","detail"`); got != 4 {
		t.Errorf("%d lines were refused, want 4", got)
	}
	if got := call(server, "POST", "/v1/reports", request).Code; got != http.StatusTooManyRequests {
		t.Errorf("after the stream: status %d", got)
	}
}

// stuckReporter never comes back until it is told to, and asks no budget.
type stuckReporter struct {
	working
	entered chan struct{}
	leave   chan struct{}
}

func (s stuckReporter) Check(*budget.Budget, []byte, report.Options) (report.Report, *ingest.Problem) {
	s.entered <- struct{}{}
	<-s.leave
	return report.Report{Disposition: report.Hold}, nil
}

// A document that outlasts its time is told of once, and when every slot is held by one the service is no longer ready.
func TestWatchdogSeesStuckDocuments(t *testing.T) {
	stuck := stuckReporter{entered: make(chan struct{}), leave: make(chan struct{})}
	metrics := handlers.NewMetrics()
	server, logs := guarded(t, stuck, func(c *handlers.Config) {
		c.Limits = handlers.DefaultLimits()
		c.Limits.Concurrency, c.Limits.DocumentTime = 1, 10*time.Millisecond
		c.Metrics = metrics
	})
	if got := call(server, "GET", "/readyz", "").Code; got != http.StatusOK {
		t.Fatalf("before: status %d", got)
	}
	done := make(chan int)
	go func() { done <- call(server, "POST", "/v1/reports", request).Code }()
	<-stuck.entered
	time.Sleep(50 * time.Millisecond)
	for range 2 {
		if got := call(server, "GET", "/readyz", "").Code; got != http.StatusServiceUnavailable {
			t.Errorf("stuck: status %d", got)
		}
	}
	if got := call(server, "GET", "/healthz", "").Code; got != http.StatusOK {
		t.Errorf("health while stuck: status %d", got)
	}
	if got := logs.FilterMessage("a document outlasts its time and keeps its slot").Len(); got != 1 {
		t.Errorf("it was told of %d times", got)
	}
	if !strings.Contains(scraped(t, metrics), "jarwright_overdue_documents 1") {
		t.Error("the metrics do not tell of it")
	}
	close(stuck.leave)
	if got := <-done; got != http.StatusOK {
		t.Errorf("the document: status %d", got)
	}
	if got := call(server, "GET", "/readyz", "").Code; got != http.StatusOK {
		t.Errorf("afterwards: status %d", got)
	}
}
