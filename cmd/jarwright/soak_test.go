package main

import (
	"flag"
	"fmt"
	"net/http"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// soak is how long TestSoak lasts: go test ./cmd/jarwright -run Soak -v -args -soak 60s
var soak = flag.Duration("soak", 3*time.Second, "how long good and hostile clients are mixed")

// maxResident is the memory that the service may take, from the issue that asked for this test.
const maxResident = 200 << 20

// Good and hostile clients, mixed for a while. Every good request gets the right report, or is told to come again; memory stays
// flat and small; and when they have gone nothing of them is left.
func TestSoak(t *testing.T) {
	const (
		goodClients    = 16
		hostileClients = 48
		pause          = 20 * time.Millisecond // between two requests of a good client
	)
	all := examples(t)
	p := start(t, nil, append(impatient(), "--log-level", "error")...)
	before := p.gauge(t, "go_goroutines")
	attacks := hostile(t, all[0])
	names := make([]string, 0, len(attacks))
	for name := range attacks {
		names = append(names, name)
	}
	slices.Sort(names)

	var running sync.WaitGroup
	var mutex sync.Mutex
	var times []time.Duration
	var away, attacked atomic.Int64
	end := time.Now().Add(*soak)
	for i := range goodClients {
		running.Add(1)
		go func() {
			defer running.Done()
			client := newClient(1)
			defer client.CloseIdleConnections()
			for n := 0; time.Now().Before(end); n++ {
				begin := time.Now()
				status, err := post(client, p.address, all[(i+n)%len(all)], fmt.Sprintf("soak-%d-%d", i, n))
				took := time.Since(begin)
				switch {
				case err != nil || status != http.StatusOK && status != http.StatusServiceUnavailable:
					t.Errorf("a good request: status %d, %v", status, err)
				case status == http.StatusServiceUnavailable:
					away.Add(1)
				default:
					mutex.Lock()
					times = append(times, took)
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
		time.Sleep(*soak / 60)
		memory = append(memory, resident(t, p.command.Process.Pid))
	}
	running.Wait()
	p.settles(t, "jarwright_requests_in_flight", 0, 10*time.Second)
	p.settles(t, "go_goroutines", before+3, 10*time.Second)
	after := p.gauge(t, "go_goroutines")
	p.stop(t)

	if len(times) == 0 {
		t.Fatal("no good request was answered")
	}
	slices.Sort(times)
	third := len(memory) / 3
	middle, last := slices.Max(memory[third:2*third]), slices.Max(memory[2*third:])
	t.Logf("%v: %d good requests answered, %d turned away with 503, %d attacks; p50 %v, p99 %v; "+
		"resident at most %d MiB, %d MiB in the middle third, %d MiB in the last; goroutines %g before, %g after",
		*soak, len(times), away.Load(), attacked.Load(), times[len(times)/2], times[len(times)*99/100],
		slices.Max(memory)>>20, middle>>20, last>>20, before, after)
	if slices.Max(memory) > maxResident {
		t.Errorf("%d MiB resident, want at most %d", slices.Max(memory)>>20, maxResident>>20)
	}
	// Half as much again in the last third as in the middle one would be a leak; the collector alone moves it by a quarter.
	if last > middle+middle/2 {
		t.Errorf("memory grows: %d MiB in the middle third, %d MiB in the last", middle>>20, last>>20)
	}
	if away.Load() > int64(len(times)) {
		t.Errorf("%d good requests were turned away, %d answered", away.Load(), len(times))
	}
}
