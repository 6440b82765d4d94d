package validate

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"jarwright/schemas"
	"jarwright/validate/document"
	"jarwright/validate/report"
)

// measuredRequests are the requests that the budgets are measured with: one of about 2 kB that is fit for the shelf, and the same
// with much that has to be said about it.
func measuredRequests(t testing.TB) []variant {
	t.Helper()
	fit := readFile(t, "examples", "corn-relish-changed.json")
	return []variant{{"fit", fit}, {"findings", patched(t, fit, []byte(`[
		{"op": "replace", "path": "/recipe/process/method", "value": "oven"},
		{"op": "replace", "path": "/recipe/headspace/value", "value": 1},
		{"op": "replace", "path": "/recipe/ingredients/3/amount/value", "value": 3},
		{"op": "replace", "path": "/recipe/ingredients/6/acidity_percent", "value": 4},
		{"op": "replace", "path": "/recipe/ingredients/11/item", "value": "olive oil"},
		{"op": "remove", "path": "/recipe/jar"},
		{"op": "remove", "path": "/kitchen"}
	]`))}}
}

// mostAllocations is the budget of one report. Ours: the service is to answer a stream of requests without the collector
// in its way.
const mostAllocations = 4000

// Times differ from machine to machine, but allocations do not: they are held to the budget by a test.
func TestReportAllocations(t *testing.T) {
	for _, request := range measuredRequests(t) {
		if got := testing.AllocsPerRun(20, func() { checkBytes(t, request.body) }); got > mostAllocations {
			t.Errorf("%s: %.0f allocations a report, at most %d", request.name, got, mostAllocations)
		}
	}
}

// BenchmarkIngest reads a request and checks it against the schema, and judges nothing.
func BenchmarkIngest(b *testing.B) {
	for _, request := range measuredRequests(b) {
		b.Run(request.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, problem := checker.reader.Request(nil, request.body); problem != nil {
					b.Fatalf("%+v", problem)
				}
			}
		})
	}
}

// BenchmarkReport goes the whole way from bytes to report. Its ratios compare that with reading and checking the same bytes,
// measured in turn in one run, so that a busy machine slows both: x-ingest with what every user of the schema library pays,
// which is what the budget of 1.6 is of, and x-own-ingest with our own reading, whose quick check leaves little to compare with.
func BenchmarkReport(b *testing.B) {
	for _, request := range measuredRequests(b) {
		b.Run(request.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				checkBytes(b, request.body)
			}
			b.ReportMetric(ratioTo(b, readWithLibrary(b), request.body), "x-ingest")
			b.ReportMetric(ratioTo(b, func(body []byte) error {
				if _, problem := checker.reader.Request(nil, body); problem != nil {
					return fmt.Errorf("%+v", problem)
				}
				return nil
			}, request.body), "x-own-ingest")
		})
	}
}

// readWithLibrary reads a request with general libraries alone: as any value, checked against the schema, then as the document.
func readWithLibrary(b *testing.B) func([]byte) error {
	b.Helper()
	schema, err := schemas.Compile(schemas.RequestName)
	if err != nil {
		b.Fatal(err)
	}
	return func(body []byte) error {
		var value any
		if err := json.Unmarshal(body, &value); err != nil {
			return err
		}
		if err := schema.Validate(value); err != nil {
			return err
		}
		var request document.Request
		return json.Unmarshal(body, &request)
	}
}

// ratioTo is the time of whole reports over the time of reading the same bytes.
func ratioTo(b *testing.B, read func([]byte) error, body []byte) float64 {
	b.Helper()
	var reading, whole time.Duration
	for range 300 {
		start := time.Now()
		if err := read(body); err != nil {
			b.Fatal(err)
		}
		done := time.Now()
		checkBytes(b, body)
		reading, whole = reading+done.Sub(start), whole+time.Since(done)
	}
	return float64(whole) / float64(reading)
}

// BenchmarkReportJSON adds what a client is sent.
func BenchmarkReportJSON(b *testing.B) {
	for _, request := range measuredRequests(b) {
		b.Run(request.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := json.Marshal(checkBytes(b, request.body)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkExplain is what the figures behind a report cost, without and with the heating of the coldest spot.
func BenchmarkExplain(b *testing.B) {
	for _, request := range measuredRequests(b) {
		read, problem := checker.reader.Request(nil, request.body)
		if problem != nil {
			b.Fatalf("%+v", problem)
		}
		facts, _ := checker.derive(&read, report.Options{})
		for _, options := range []report.Options{{}, {Curves: true}} {
			b.Run(fmt.Sprintf("%s/curves=%v", request.name, options.Curves), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					explain(facts, options, &report.Report{})
				}
			})
		}
	}
}
