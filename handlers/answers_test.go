package handlers_test

import (
	"net/http"
	"strconv"
	"strings"
	"testing"
	"time"

	"jarwright/handlers"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

// Clients that ask for long answers and take none of them hold no more memory than there is for that, and give way to whoever
// takes what it asks for, at their own address and at another.
func TestAnswersNobodyTakesGiveWay(t *testing.T) {
	const mebibytes = 16
	answer := report.Report{Disposition: report.Hold, Summary: report.Summary{Text: strings.Repeat("a", 2<<20)}}
	metrics := handlers.NewMetrics()
	address := serving(t, checkFunc(func([]byte) (report.Report, *ingest.Problem) { return answer, nil }), func(c *handlers.Config) {
		c.Limits.LargeAnswers, c.Limits.LeastRate, c.Limits.QueueTime = mebibytes, 64<<10, 5*time.Second
		c.Metrics = metrics
	})
	for range 3 * mebibytes / 2 { // 2 MiB each: three times what there is
		stalled := connect(t, address, "127.0.0.2")
		posting(stalled, "/v1/reports", "Content-Type: application/json\r\nContent-Length: "+strconv.Itoa(len(request)), request)
	}
	time.Sleep(time.Second)
	for _, from := range []string{"127.0.0.2", "127.0.0.3"} {
		if status, problem := sending(t, address, from, "/v1/reports", request); status != http.StatusOK {
			t.Errorf("from %s: status %d, %s %s", from, status, problem.Code, problem.Detail)
		}
	}
	if strings.Contains(scraped(t, metrics), `jarwright_gave_way_total{of="large_answers"} 0`) {
		t.Error("nobody gave way")
	}
}
