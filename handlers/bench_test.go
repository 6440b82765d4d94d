package handlers_test

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/labstack/echo/v4"
	"go.uber.org/zap"

	"jarwright/handlers"
	"jarwright/schemas"
	"jarwright/validate"
)

// benchmarked is the request document that the schema itself shows, about 1 kB.
func benchmarked(b *testing.B) []byte {
	b.Helper()
	text, err := schemas.Read(schemas.RequestName)
	if err != nil {
		b.Fatal(err)
	}
	var schema struct {
		Examples []json.RawMessage `json:"examples"`
	}
	if err := json.Unmarshal(text, &schema); err != nil {
		b.Fatal(err)
	}
	return schema.Examples[0]
}

func answer(b *testing.B, handler http.Handler, body []byte) {
	b.Helper()
	b.ReportAllocs()
	for b.Loop() {
		request := httptest.NewRequest(http.MethodPost, "/v1/reports", bytes.NewReader(body))
		request.Header.Set("Content-Type", "application/json")
		recorder := httptest.NewRecorder()
		handler.ServeHTTP(recorder, request)
		if recorder.Code != http.StatusOK {
			b.Fatalf("status %d: %s", recorder.Code, recorder.Body)
		}
	}
}

// newReportServer is the service with its settings as they are by default, but a log that goes nowhere.
func newReportServer(t testing.TB) http.Handler {
	t.Helper()
	checker, err := validate.New()
	if err != nil {
		t.Fatal(err)
	}
	server, err := handlers.New(handlers.Config{
		Reporter: checker, Planner: checker, Catalog: handlers.NewCatalog(checker), BaseURL: baseURL, Version: "1", Logger: zap.NewNop(),
	})
	if err != nil {
		t.Fatal(err)
	}
	return server
}

// newBareServer decodes the same body, checks it against the same schema, and answers with nothing.
func newBareServer(t testing.TB) http.Handler {
	t.Helper()
	schema, err := schemas.Compile(schemas.RequestName)
	if err != nil {
		t.Fatal(err)
	}
	bare := echo.New()
	bare.POST("/v1/reports", func(c echo.Context) error {
		body, err := io.ReadAll(c.Request().Body)
		if err != nil {
			return err
		}
		var value any
		if err := json.Unmarshal(body, &value); err != nil {
			return err
		}
		if err := schema.Validate(value); err != nil {
			return err
		}
		return c.NoContent(http.StatusOK)
	})
	return bare
}

// BenchmarkReport answers with a report; BenchmarkBareHandler is what it is to be compared with in the same run.
func BenchmarkReport(b *testing.B) { answer(b, newReportServer(b), benchmarked(b)) }

// BenchmarkBareHandler decodes the body, checks it against the schema, and answers with nothing.
func BenchmarkBareHandler(b *testing.B) { answer(b, newBareServer(b), benchmarked(b)) }

// overHTTP sends requests over connections of this machine, as many at a time as there are processors, and gives how long they
// took together, by the clock and in processor time.
func overHTTP(t testing.TB, address string, body []byte, count int) (took, processor time.Duration) {
	t.Helper()
	clients := runtime.GOMAXPROCS(0)
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: clients}}
	defer client.CloseIdleConnections()
	var next atomic.Int64
	var running sync.WaitGroup
	begin, used := time.Now(), processorTime(t)
	for range clients {
		running.Add(1)
		go func() {
			defer running.Done()
			for i := next.Add(1) - 1; i < int64(count); i = next.Add(1) - 1 {
				response, err := client.Post(address+"/v1/reports", "application/json", bytes.NewReader(body))
				if err != nil {
					t.Error(err)
					return
				}
				if _, err := io.Copy(io.Discard, response.Body); err != nil || response.StatusCode != http.StatusOK {
					t.Errorf("status %d, %v", response.StatusCode, err)
				}
				response.Body.Close()
			}
		}()
	}
	running.Wait()
	return time.Since(begin), processorTime(t) - used
}

// processorTime is what this process has used of the processors.
func processorTime(t testing.TB) time.Duration {
	t.Helper()
	var usage syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &usage); err != nil {
		t.Fatal(err)
	}
	return time.Duration(usage.Utime.Nano() + usage.Stime.Nano())
}

// BenchmarkOverHTTP compares the rate of requests for a report with that of the bare service, both over HTTP and in turn, so that
// a busy machine slows both: x-bare is to be at least 0.6. Both need the processors and nothing else, so that the rate goes with
// the processor time of a request, the client's included; that is what is compared, and the median of the turns counts.
func BenchmarkOverHTTP(b *testing.B) {
	const each, turns = 400, 15
	body := benchmarked(b)
	report, bare := httptest.NewServer(newReportServer(b)), httptest.NewServer(newBareServer(b))
	defer report.Close()
	defer bare.Close()
	overHTTP(b, report.URL, body, each)
	overHTTP(b, bare.URL, body, each)
	for b.Loop() {
		var ratios, clock, rates []float64
		for range turns {
			slow, slowUsed := overHTTP(b, report.URL, body, each)
			fast, fastUsed := overHTTP(b, bare.URL, body, each)
			ratios = append(ratios, fastUsed.Seconds()/slowUsed.Seconds())
			clock = append(clock, fast.Seconds()/slow.Seconds())
			rates = append(rates, each/slow.Seconds())
		}
		slices.Sort(ratios)
		slices.Sort(clock)
		slices.Sort(rates)
		b.ReportMetric(ratios[turns/2], "x-bare")
		b.ReportMetric(clock[turns/2], "x-bare-by-the-clock")
		b.ReportMetric(rates[turns/2], "reports/s")
	}
}

// BenchmarkLatency sends requests at half the rate that the service can keep up with, and gives the time in which 99 of 100 are
// answered: it is to be under 5 ms. What the bare service needs at the same rate says how much of it is the machine.
func BenchmarkLatency(b *testing.B) {
	const count = 3000
	body := benchmarked(b)
	report, bare := httptest.NewServer(newReportServer(b)), httptest.NewServer(newBareServer(b))
	defer report.Close()
	defer bare.Close()
	took, _ := overHTTP(b, report.URL, body, count)
	between := 2 * took / count
	for b.Loop() {
		times, machine := latencies(b, report.URL, body, count, between), latencies(b, bare.URL, body, count, between)
		b.ReportMetric(float64(times[count*99/100])/float64(time.Millisecond), "p99-ms")
		b.ReportMetric(float64(times[count/2])/float64(time.Millisecond), "p50-ms")
		b.ReportMetric(float64(machine[count*99/100])/float64(time.Millisecond), "p99-bare-ms")
		b.ReportMetric(float64(time.Second)/float64(between), "requests/s")
	}
}

// latencies sends so many requests, one every so often, and gives how long each took, the shortest first. Each is counted from
// when it was due, so that waiting for one that is slow counts too.
func latencies(b *testing.B, address string, body []byte, count int, between time.Duration) []time.Duration {
	b.Helper()
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 100}}
	defer client.CloseIdleConnections()
	times := make([]time.Duration, count)
	var running sync.WaitGroup
	begin := time.Now()
	for i := range count {
		due := begin.Add(time.Duration(i) * between)
		time.Sleep(time.Until(due))
		running.Add(1)
		go func() {
			defer running.Done()
			response, err := client.Post(address+"/v1/reports", "application/json", bytes.NewReader(body))
			if err != nil {
				b.Error(err)
				return
			}
			_, _ = io.Copy(io.Discard, response.Body)
			response.Body.Close()
			times[i] = time.Since(due)
		}()
	}
	running.Wait()
	slices.Sort(times)
	return times
}
