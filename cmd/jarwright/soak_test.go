package main

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"net/http"
	"os"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// soak is how long TestSoak lasts: go test ./cmd/jarwright -run Soak -v -args -soak 60s
var soak = flag.Duration("soak", 3*time.Second, "how long good and hostile clients are mixed")

// maxResident is the memory that the service may take, from the issue that asked for this test.
const maxResident = 200 << 20

// wellFormed is a request with the answer that it has to get, whatever else goes on.
type wellFormed struct {
	name, method, target string
	headers              []string // "Name: value"
	body                 []byte
	status               int
	answer               []byte // with requestMark where the id of the request stands
}

// requestMark stands for the id of a request in an answer that repeats it.
const requestMark = "<request id>"

// ask sends a request and compares its answer with the one it has to get. Being turned away is no mistake.
func (w *wellFormed) ask(client *http.Client, address, id string) (turnedAway bool, err error) {
	status, answer, err := w.send(client, address, id)
	if err != nil {
		return false, err
	}
	if status == http.StatusServiceUnavailable {
		return true, nil
	}
	if status != w.status || !bytes.Equal(answer, w.answer) {
		return false, fmt.Errorf("status %d, %.300s, want %d, %.300s", status, answer, w.status, w.answer)
	}
	return false, nil
}

func (w *wellFormed) send(client *http.Client, address, id string) (status int, answer []byte, err error) {
	request, err := http.NewRequest(w.method, "http://"+address+w.target, bytes.NewReader(w.body))
	if err != nil {
		return 0, nil, err
	}
	request.Header.Set("X-Request-Id", id)
	for _, header := range w.headers {
		name, value, _ := strings.Cut(header, ": ")
		request.Header.Set(name, value)
	}
	response, err := client.Do(request)
	if err != nil {
		return 0, nil, err
	}
	defer response.Body.Close()
	if answer, err = io.ReadAll(response.Body); err != nil {
		return response.StatusCode, nil, fmt.Errorf("cut answer: %w", err)
	}
	return response.StatusCode, bytes.ReplaceAll(answer, []byte(id), []byte(requestMark)), nil
}

// everythingAsked are requests of every kind. The answers of reports are those of the command line, which has no network in it;
// the others are taken from the service once, before there is any load.
func everythingAsked(t *testing.T, p *process) []wellFormed {
	t.Helper()
	const asJSON = "Content-Type: application/json"
	read := func(file string) []byte {
		text, err := os.ReadFile("../../examples/" + file)
		if err != nil {
			t.Fatal(err)
		}
		return text
	}
	all := examples(t)
	var list []wellFormed
	var lines bytes.Buffer
	for i, each := range all {
		list = append(list, wellFormed{
			name: "report", method: "POST", target: "/v1/reports", headers: []string{asJSON}, body: each.body, status: 200, answer: each.report,
		})
		if err := json.Compact(&lines, each.body); err != nil {
			t.Fatal(err)
		}
		lines.WriteByte('\n')
		if i < 4 {
			for _, form := range []string{"text/plain", "text/markdown", "text/html", "application/sarif+json"} {
				list = append(list, wellFormed{
					name: "report as " + form, method: "POST", target: "/v1/reports", headers: []string{asJSON, "Accept: " + form}, body: each.body,
				})
			}
		}
	}
	var packed bytes.Buffer
	writer := gzip.NewWriter(&packed)
	if _, err := writer.Write(all[0].body); err != nil {
		t.Fatal(err)
	}
	if err := writer.Close(); err != nil {
		t.Fatal(err)
	}
	list = append(list,
		wellFormed{
			name: "report packed", method: "POST", target: "/v1/reports", headers: []string{asJSON, "Content-Encoding: gzip"}, body: packed.Bytes(),
			status: 200, answer: all[0].report,
		},
		wellFormed{name: "report with all", method: "POST", target: "/v1/reports?include=derivation,curves", headers: []string{asJSON}, body: all[0].body},
		wellFormed{
			name: "no report", method: "POST", target: "/v1/reports", headers: []string{asJSON}, body: []byte(`{"recipe":{"ingredients":[{"item":1}]}}`),
			status: 422,
		},
		wellFormed{name: "stream", method: "POST", target: "/v1/reports", headers: []string{"Content-Type: application/x-ndjson"}, body: lines.Bytes()},
		wellFormed{
			name: "stream with a bad line", method: "POST", target: "/v1/reports", headers: []string{"Content-Type: application/x-ndjson"},
			body: append([]byte("{}\n"), lines.Bytes()...),
		},
		wellFormed{name: "plan", method: "POST", target: "/v1/plans", headers: []string{asJSON}, body: read("plans/half-a-bushel-of-cucumbers.json")},
		wellFormed{name: "plan", method: "POST", target: "/v1/plans", headers: []string{asJSON}, body: read("plans/beets-for-the-vinegar-left.json")},
		wellFormed{
			name: "draft", method: "POST", target: "/v1/drafts?report=true", headers: []string{"Content-Type: application/ld+json"},
			body: read("mustard-seed-carrots.jsonld"),
		},
		wellFormed{
			name: "draft of a page", method: "POST", target: "/v1/drafts", headers: []string{"Content-Type: text/html"},
			body: fmt.Appendf(nil, `<!doctype html><script type="application/ld+json">%s</script>`, read("mustard-seed-carrots.jsonld")),
		},
	)
	for _, form := range []string{"application/json", "application/ld+json", "text/html", "text/markdown"} {
		for _, file := range []string{"dill-cucumbers.json", "kohlrabi-sticks.json"} {
			list = append(list, wellFormed{
				name: "card as " + form, method: "POST", target: "/v1/cards", headers: []string{asJSON, "Accept: " + form},
				body: read("cards/" + file),
			})
		}
	}
	for _, target := range []string{
		"/", "/v1/foods", "/v1/foods/cucumber", "/v1/units", "/v1/jars", "/v1/recipes", "/v1/schedules", "/v1/rules", "/v1/sources", "/v1/rulesets",
		"/v1/altitude?elevation=5200&unit=ft", "/openapi.json", "/docs/rules", "/schemas/request.schema.json", "/healthz",
	} {
		list = append(list, wellFormed{name: "table", method: "GET", target: target})
	}
	list = append(list, wellFormed{name: "page", method: "GET", target: "/", headers: []string{"Accept: text/html"}},
		wellFormed{name: "nothing", method: "GET", target: "/v1/foods/none", status: 404})

	client := newClient(1)
	defer client.CloseIdleConnections()
	for i := range list {
		each := &list[i]
		status, answer, err := each.send(client, p.address, fmt.Sprintf("before-%d", i))
		if each.status == 0 {
			each.status = http.StatusOK
		}
		if err != nil || status != each.status || len(answer) == 0 {
			t.Fatalf("%s, before there is any load: status %d, %v: %.300s", each.name, status, err, answer)
		}
		if each.answer == nil {
			each.answer = answer
		}
	}
	return list
}

// Good and hostile clients, mixed for a while. Every good request gets the answer that it has to get, or is told to come again;
// memory stays flat and small; and when they have gone nothing of them is left.
func TestSoak(t *testing.T) {
	const (
		goodClients    = 16
		hostileClients = 48
		pause          = 20 * time.Millisecond // between two requests of a good client
	)
	p := start(t, nil, append(impatient(), "--log-level", "error")...)
	all := everythingAsked(t, p)
	time.Sleep(100 * time.Millisecond) // what the requests before were sent on is closed
	before := p.gauge(t, "go_goroutines")
	attacks := hostile(t, examples(t)[0])
	names := make([]string, 0, len(attacks))
	for name := range attacks {
		names = append(names, name)
	}
	slices.Sort(names)

	var running sync.WaitGroup
	var mutex sync.Mutex
	var times, reports []time.Duration
	var away, attacked atomic.Int64
	end := time.Now().Add(*soak)
	for i := range goodClients {
		running.Add(1)
		go func() {
			defer running.Done()
			client := newClient(1)
			defer client.CloseIdleConnections()
			for n := 0; time.Now().Before(end); n++ {
				each := &all[(7*i+n)%len(all)]
				begin := time.Now()
				turnedAway, err := each.ask(client, p.address, fmt.Sprintf("soak-%d-%d", i, n))
				took := time.Since(begin)
				switch {
				case err != nil:
					t.Errorf("%s: %v", each.name, err)
				case turnedAway:
					away.Add(1)
				default:
					mutex.Lock()
					times = append(times, took)
					if each.name == "report" {
						reports = append(reports, took)
					}
					mutex.Unlock()
				}
				time.Sleep(pause)
			}
		}()
	}
	for i := range hostileClients {
		running.Add(1)
		go func() {
			defer running.Done()
			for n := i; time.Now().Before(end); n++ {
				name := names[n%len(names)]
				connection, err := dial(p.address)
				if err != nil {
					t.Errorf("%s: %v", name, err)
					return
				}
				if err := attacks[name](connection); err != nil {
					t.Errorf("%s: %v", name, err)
				}
				connection.Close()
				attacked.Add(1)
			}
		}()
	}
	var memory []int64
	for time.Now().Before(end) {
		time.Sleep(*soak / 120)
		memory = append(memory, resident(t, p.command.Process.Pid))
	}
	running.Wait()
	p.settles(t, "jarwright_requests_in_flight", 0)
	p.settles(t, "go_goroutines", before)
	after := p.gauge(t, "go_goroutines")
	for _, failure := range p.failures(t) {
		t.Errorf("the service failed: %s", failure)
	}
	p.stop(t)

	if len(times) == 0 || len(reports) == 0 {
		t.Fatal("no good request was answered")
	}
	slices.Sort(times)
	slices.Sort(reports)
	memory = memory[len(memory)/10:] // the first tenth fills the heap
	first, second := mean(memory[:len(memory)/2]), mean(memory[len(memory)/2:])
	t.Logf("%v: %d good requests of %d kinds answered, bodies compared, %d turned away with 503; %d attacks of %d kinds; "+
		"good: p50 %v, p99 %v; of single reports: p50 %v, p99 %v; resident at most %d MiB, on average %d MiB in the first half, %d MiB in the second; "+
		"goroutines %g before, %g after",
		*soak, len(times), len(all), away.Load(), attacked.Load(), len(attacks), times[len(times)/2], times[len(times)*99/100],
		reports[len(reports)/2], reports[len(reports)*99/100], slices.Max(memory)>>20, first>>20, second>>20, before, after)
	if slices.Max(memory) > maxResident {
		t.Errorf("%d MiB resident, want at most %d", slices.Max(memory)>>20, maxResident>>20)
	}
	leeway := first / 4
	if *soak < 30*time.Second { // the collector alone moves it by as much
		leeway = first / 2
	}
	if second > first+leeway {
		t.Errorf("memory grows: on average %d MiB in the first half, %d MiB in the second", first>>20, second>>20)
	}
	if away.Load() > int64(len(times)) {
		t.Errorf("%d good requests were turned away, %d answered", away.Load(), len(times))
	}
}

func mean(values []int64) int64 {
	var sum int64
	for _, value := range values {
		sum += value
	}
	return sum / int64(len(values))
}
