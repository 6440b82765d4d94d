package handlers

import (
	"net/http"
	"strconv"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"

	"jarwright/validate"
	"jarwright/validate/budget"
	"jarwright/validate/draft"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

// Metrics counts what the service does. It holds nothing of a document but which rules had which outcome.
type Metrics struct {
	registry *prometheus.Registry
	requests *prometheus.CounterVec
	duration *prometheus.HistogramVec
	received *prometheus.HistogramVec
	sent     *prometheus.HistogramVec
	underWay prometheus.Gauge
	rejected *prometheus.CounterVec
	reports  *prometheus.CounterVec
	outcomes *prometheus.CounterVec
	lines    *prometheus.CounterVec
	overdue  prometheus.Gauge
	cost     prometheus.Histogram
	gaveWay  *prometheus.CounterVec
	unlogged prometheus.Counter
}

// NewMetrics makes the counters, all at zero, in a registry of their own.
func NewMetrics() *Metrics {
	// 0.1 ms to 3.3 s, and 64 bytes to 1 MiB.
	steps := prometheus.ExponentialBuckets(100, 3, 9) // to 656,100
	times, sizes := prometheus.ExponentialBuckets(0.0001, 2, 16), prometheus.ExponentialBuckets(64, 4, 8)
	m := &Metrics{
		registry: prometheus.NewRegistry(),
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "jarwright_requests_total", Help: "Requests answered, by operation and status.",
		}, []string{"operation", "status"}),
		duration: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "jarwright_request_duration_seconds", Help: "Time from the header of a request to the end of its answer.", Buckets: times,
		}, []string{"operation"}),
		received: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "jarwright_request_bytes", Help: "Lengths of request bodies, as announced.", Buckets: sizes,
		}, []string{"operation"}),
		sent: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "jarwright_response_bytes", Help: "Lengths of the bodies of answers.", Buckets: sizes,
		}, []string{"operation"}),
		underWay: prometheus.NewGauge(prometheus.GaugeOpts{
			Name: "jarwright_requests_in_flight", Help: "Requests under way.",
		}),
		rejected: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "jarwright_rejected_total", Help: "Requests rejected with 503, by what had run out.",
		}, []string{"reason"}),
		reports: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "jarwright_reports_total", Help: "Reports made, by disposition; invalid for documents that were none.",
		}, []string{"disposition"}),
		outcomes: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "jarwright_rule_outcomes_total", Help: "Outcomes of rules in reports.",
		}, []string{"rule", "outcome"}),
		lines: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "jarwright_bulk_lines_total", Help: "Lines of bulk requests, by whether they were answered with what was asked for.",
		}, []string{"outcome"}),
		overdue: prometheus.NewGauge(prometheus.GaugeOpts{
			Name: "jarwright_overdue_documents", Help: "Documents that have held their slot for longer than any may.",
		}),
		cost: prometheus.NewHistogram(prometheus.HistogramOpts{
			Name: "jarwright_document_steps", Help: "Steps of work that documents took; a step is about a microsecond.", Buckets: steps,
		}),
		gaveWay: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "jarwright_gave_way_total", Help: "Idle connections and slow clients that were ended because others asked for what they held.",
		}, []string{"of"}),
		unlogged: prometheus.NewCounter(prometheus.CounterOpts{
			Name: "jarwright_log_lines_dropped_total", Help: "Lines of the log that were dropped because they were not taken.",
		}),
	}
	m.registry.MustRegister(
		m.requests, m.duration, m.received, m.sent, m.underWay, m.rejected, m.reports, m.outcomes, m.lines, m.overdue, m.cost, m.gaveWay, m.unlogged,
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}),
	)
	for _, reason := range []string{rejectedQueue, rejectedLargeBodies, rejectedStreams, rejectedConnections, rejectedLargeAnswers} {
		m.rejected.WithLabelValues(reason)
	}
	for _, of := range []string{rejectedLargeBodies, rejectedStreams, rejectedConnections, rejectedLargeAnswers} {
		m.gaveWay.WithLabelValues(of)
	}
	return m
}

// Line counts one line of a bulk request.
func (m *Metrics) Line(answered bool) {
	outcome := "ok"
	if !answered {
		outcome = "failed"
	}
	m.lines.WithLabelValues(outcome).Inc()
}

// reject counts a request that was rejected.
func (m *Metrics) reject(reason string) { m.rejected.WithLabelValues(reason).Inc() }

// overdueDocuments is told how many documents are overdue.
func (m *Metrics) overdueDocuments(n int) { m.overdue.Set(float64(n)) }

// giveWay counts a client that had to give way.
func (m *Metrics) giveWay(of string) { m.gaveWay.WithLabelValues(of).Inc() }

// Unlogged counts lines that the log has lost.
func (m *Metrics) Unlogged(lines int) { m.unlogged.Add(float64(lines)) }

// counting counts requests. Paths that are no operation are counted together: a client can make up any number of them.
func (s *Server) counting(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		s.metrics.underWay.Inc()
		defer s.metrics.underWay.Dec()
		start := time.Now()
		err := next(c)
		counters, ok := s.operations[operationKey{c.Request().Method, c.Path()}]
		if !ok {
			counters = s.noOperation
		}
		counters.requests.WithLabelValues(strconv.Itoa(c.Response().Status)).Inc()
		counters.duration.Observe(time.Since(start).Seconds())
		counters.received.Observe(float64(max(0, c.Request().ContentLength)))
		counters.sent.Observe(float64(c.Response().Size))
		return err
	}
}

// operationKey is what the router knows of an operation.
type operationKey struct{ method, path string }

// operationCounters are the counters of one operation.
type operationCounters struct {
	requests                 *prometheus.CounterVec // by status
	duration, received, sent prometheus.Observer
}

func (m *Metrics) ofOperation(name string) operationCounters {
	return operationCounters{
		requests: m.requests.MustCurryWith(prometheus.Labels{"operation": name}),
		duration: m.duration.WithLabelValues(name),
		received: m.received.WithLabelValues(name),
		sent:     m.sent.WithLabelValues(name),
	}
}

// prepareCounters finds the counters of every operation once.
func (s *Server) prepareCounters() {
	s.noOperation = s.metrics.ofOperation("none")
	s.operations = map[operationKey]operationCounters{}
	for _, route := range s.Routes() {
		counters, path := s.metrics.ofOperation(route.OperationID), routerPath(route.Path)
		s.operations[operationKey{route.Method, path}] = counters
		if route.Method == http.MethodGet {
			s.operations[operationKey{http.MethodHead, path}] = counters
		}
	}
}

// countingReporter counts what reports say.
type countingReporter struct {
	reporter Reporter
	metrics  *Metrics
	outcomes map[string]map[report.Outcome]prometheus.Counter
}

// newCountingReporter prepares a counter for each outcome of each rule, so that a report looks none up by its labels.
func newCountingReporter(reporter Reporter, metrics *Metrics, rules []Rule) *countingReporter {
	outcomes := make(map[string]map[report.Outcome]prometheus.Counter, len(rules))
	for _, rule := range rules {
		counters := map[report.Outcome]prometheus.Counter{}
		for _, outcome := range []report.Outcome{report.Pass, report.Fail, report.NotApplicable, report.Undetermined} {
			counters[outcome] = metrics.outcomes.WithLabelValues(rule.ID, string(outcome))
		}
		outcomes[rule.ID] = counters
	}
	return &countingReporter{reporter: reporter, metrics: metrics, outcomes: outcomes}
}

// Check judges one document and counts the outcome.
func (r *countingReporter) Check(b *budget.Budget, body []byte, options report.Options) (report.Report, *ingest.Problem) {
	judged, problem := r.reporter.Check(b, body, options)
	if problem != nil {
		r.metrics.reports.WithLabelValues("invalid").Inc()
		return judged, problem
	}
	r.count(&judged)
	return judged, nil
}

// Illustrate judges one document for a page and counts the outcome.
func (r *countingReporter) Illustrate(b *budget.Budget, body []byte, options report.Options) (validate.Illustrated, *ingest.Problem) {
	judged, problem := r.reporter.Illustrate(b, body, options)
	if problem != nil {
		r.metrics.reports.WithLabelValues("invalid").Inc()
		return judged, problem
	}
	r.count(&judged.Report)
	return judged, nil
}

func (r *countingReporter) count(judged *report.Report) {
	r.metrics.reports.WithLabelValues(string(judged.Disposition)).Inc()
	for _, each := range judged.Rules {
		if counter, ok := r.outcomes[each.Rule][each.Outcome]; ok {
			counter.Inc()
		}
	}
}

// countingDrafter counts the reports that come with drafts.
type countingDrafter struct {
	drafter  Drafter
	reporter *countingReporter
}

// Draft reads one published recipe and counts its report, if one was asked for.
func (d countingDrafter) Draft(b *budget.Budget, body []byte, page, withReport bool) (draft.Draft, *ingest.Problem) {
	drafted, problem := d.drafter.Draft(b, body, page, withReport)
	if problem == nil && drafted.Report != nil {
		d.reporter.count(drafted.Report)
	}
	return drafted, problem
}
