package main

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"net"
	"net/http"
	"os"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
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
	if status == http.StatusServiceUnavailable || status == http.StatusTooManyRequests {
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

// documentAttacks are the costly documents as clients on a connection of their own. What each costs is measured elsewhere; here each
// has to get a whole answer, or to be told to come again.
func documentAttacks() map[string]func(*net.TCPConn) error {
	attacks := map[string]func(*net.TCPConn) error{}
	for _, document := range hostileDocuments() {
		attacks[document.name] = func(c *net.TCPConn) error {
			request, err := http.NewRequest(http.MethodPost, "http://a"+document.target, bytes.NewReader(document.body))
			if err != nil {
				return err
			}
			request.Header.Set("Content-Type", document.mediaType)
			request.Header.Set("Accept", document.accept)
			if document.packed {
				request.Header.Set("Content-Encoding", "gzip")
			}
			// A service that has no place for a body says so before it has read it, and then closes.
			cut := request.Write(c)
			response, err := http.ReadResponse(bufio.NewReader(c), request)
			if err != nil {
				if cut != nil || errors.Is(err, syscall.ECONNRESET) {
					return nil
				}
				return fmt.Errorf("no answer: %w", err)
			}
			defer response.Body.Close()
			// A stream is answered line by line, as its turn comes, and may take longer than this client has; or it gives way to
			// others while it takes too little, and is seen to be cut by the last chunk that is not there.
			_, err = io.Copy(io.Discard, response.Body)
			slow := document.mediaType == asLines && (errors.Is(err, os.ErrDeadlineExceeded) || errors.Is(err, io.ErrUnexpectedEOF))
			if err != nil && cut == nil && !slow {
				return fmt.Errorf("cut answer: %w", err)
			}
			if response.StatusCode >= 500 && response.StatusCode != http.StatusServiceUnavailable {
				return fmt.Errorf("status %d", response.StatusCode)
			}
			return nil
		}
	}
	return attacks
}

// soaked is what came of a soak.
type soaked struct {
	mutex          sync.Mutex
	times, reports []time.Duration
	away           [2]int // of honest clients at addresses of their own, and at those that attacks come from
	asked          [2]int
	attacked       atomic.Int64
	refused        atomic.Int64 // connections of attackers that got none
}

// Addresses of this machine, by their last number, that the clients of a soak call from.
const (
	soakHonest = 20 // and the seven after it: honest clients only
	soakShared = 1  // and the seven after it: attackers, and half of the honest clients
)

// Good and hostile clients, mixed for a while, some at the same addresses and some at others. Every good request gets the answer that
// it has to get, or is told to come again; health is answered within a second; memory stays flat and small; and when they have gone
// nothing of them is left.
func TestSoak(t *testing.T) {
	const (
		goodClients    = 16
		hostileClients = 32
	)
	file := measured(t)
	p := startProgram(t, file, nil, append(impatient(), "--log-level", "error")...)
	all := everythingAsked(t, p)
	time.Sleep(100 * time.Millisecond) // what the requests before were sent on is closed
	before := p.gauge(t, "go_goroutines")
	attacks := hostile(t, examples(t)[0])
	maps.Copy(attacks, documentAttacks())
	names := slices.Sorted(maps.Keys(attacks))

	var running sync.WaitGroup
	var s soaked
	end := time.Now().Add(*soak)
	for i := range goodClients {
		running.Go(func() { s.ask(t, p, all, i, end) })
	}
	for i := range hostileClients {
		running.Go(func() { s.attack(t, p, attacks, names, i, end) })
	}
	crowds := crowdAttacks()
	running.Go(func() { s.crowd(t, p, crowds, end) })
	honest := p.honest(nil) // asks for health alone
	var memory []int64
	for time.Now().Before(end) {
		time.Sleep(*soak / 120)
		memory = append(memory, resident(t, p.command.Process.Pid))
	}
	running.Wait()
	honest.stop()
	p.settles(t, "jarwright_requests_in_flight", 0)
	p.settles(t, "go_goroutines", before)
	after := p.gauge(t, "go_goroutines")
	for _, failure := range p.failures(t) {
		t.Errorf("the service failed: %s", failure)
	}
	p.stop(t)
	s.judge(t, memory, honest)
	t.Logf("%d kinds asked, %d kinds of attack and %d of crowds, goroutines %g before, %g after", len(all), len(attacks), len(crowds), before, after)
}

// ask is one honest client.
func (s *soaked) ask(t *testing.T, p *process, all []wellFormed, i int, end time.Time) {
	const pause = 20 * time.Millisecond // between two requests
	shared := i % 2
	client := from([]int{soakHonest, soakShared}[shared]+i/2, 20*time.Second)
	defer client.CloseIdleConnections()
	for n := 0; time.Now().Before(end); n++ {
		each := &all[(7*i+n)%len(all)]
		begin := time.Now()
		turnedAway, err := each.ask(client, p.address, fmt.Sprintf("soak-%d-%d", i, n))
		took := time.Since(begin)
		if err != nil {
			t.Errorf("%s from 127.0.0.%d: %v", each.name, []int{soakHonest, soakShared}[shared]+i/2, err)
		}
		s.mutex.Lock()
		s.asked[shared]++
		switch {
		case err != nil:
		case turnedAway:
			s.away[shared]++
		default:
			s.times = append(s.times, took)
			if each.name == "report" {
				s.reports = append(s.reports, took)
			}
		}
		s.mutex.Unlock()
		time.Sleep(pause)
	}
}

// attack is one hostile client, which tries one attack after the other.
func (s *soaked) attack(t *testing.T, p *process, attacks map[string]func(*net.TCPConn) error, names []string, i int, end time.Time) {
	for n := i; time.Now().Before(end); n++ {
		name := names[n%len(names)]
		dialer := net.Dialer{Timeout: 10 * time.Second, LocalAddr: &net.TCPAddr{IP: net.IPv4(127, 0, 0, byte(soakShared+i%8))}}
		connection, err := dialer.Dial("tcp", p.address)
		if err != nil {
			s.refused.Add(1)
			time.Sleep(10 * time.Millisecond)
			continue
		}
		_ = connection.SetDeadline(time.Now().Add(20 * time.Second))
		if err := attacks[name](connection.(*net.TCPConn)); err != nil && !errors.Is(err, errTurnedAway) {
			t.Errorf("%s: %v", name, err)
		}
		connection.Close()
		s.attacked.Add(1)
	}
}

// crowd has one crowd after the other come from an address of its own, for a twelfth of the soak each, ten seconds at most.
func (s *soaked) crowd(t *testing.T, p *process, crowds []crowdAttack, end time.Time) {
	each := min(*soak/12, 10*time.Second)
	for n := 0; time.Until(end) > each; n++ {
		attack := crowds[n%len(crowds)]
		if attack.log {
			continue // its service has to be started for it
		}
		ctx, cancel := context.WithTimeout(t.Context(), each)
		if err := attack.begin(ctx, p); err != nil {
			t.Errorf("%s: %v", attack.name, err)
		}
		<-ctx.Done()
		cancel()
		s.attacked.Add(1)
	}
}

// judge holds what came of a soak to what the issue asks for.
func (s *soaked) judge(t *testing.T, memory []int64, health *crowd) {
	t.Helper()
	if len(s.times) == 0 || len(s.reports) == 0 {
		t.Fatal("no good request was answered")
	}
	slices.Sort(s.times)
	slices.Sort(s.reports)
	memory = memory[len(memory)/10:] // the first tenth fills the heap
	first, second := mean(memory[:len(memory)/2]), mean(memory[len(memory)/2:])
	t.Logf("%v: %d good requests answered, bodies compared; turned away: %d of %d at addresses of their own, %d of %d at those of attackers; "+
		"%d attacks, %d refused a connection; good: p50 %v, p99 %v; of single reports: p50 %v, p99 %v; health at worst %v, %d times none; "+
		"resident at most %d MiB, on average %d MiB in the first half, %d MiB in the second",
		*soak, len(s.times), s.away[0], s.asked[0], s.away[1], s.asked[1], s.attacked.Load(), s.refused.Load(),
		s.times[len(s.times)/2], s.times[len(s.times)*99/100], s.reports[len(s.reports)/2], s.reports[len(s.reports)*99/100],
		health.Health, health.HealthLost, slices.Max(memory)>>20, first>>20, second>>20)
	patience := time.Second
	if *soak < 30*time.Second { // run with the other tests, which take the processors
		patience = 5 * time.Second
	}
	if health.HealthLost > 0 || health.Health > patience {
		t.Errorf("health was not always answered within %v: %v, %d times none: %s", patience, health.Health, health.HealthLost, health.why)
	}
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
	if s.away[0] > s.asked[0]/100 {
		t.Errorf("%d of %d good requests were turned away at addresses that no attack came from", s.away[0], s.asked[0])
	}
	if s.away[1] > s.asked[1]*9/10 {
		t.Errorf("%d of %d good requests were turned away at addresses that attacks come from too", s.away[1], s.asked[1])
	}
}

func mean(values []int64) int64 {
	var sum int64
	for _, value := range values {
		sum += value
	}
	return sum / int64(len(values))
}
