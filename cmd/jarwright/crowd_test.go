package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"slices"
	"sync"
	"testing"
	"time"
)

// This file measures what the running program costs, from outside: processor time and memory as the kernel counts them,
// allocations as the program tells them, answers as they arrive.

// crowd are honest clients that ask while something else goes on, and what became of them.
type crowd struct {
	Asked, Away, Lost, Wrong int
	P50, P99, Worst          time.Duration
	Health                   time.Duration // the longest that health took, private port included
	HealthLost               int
	why                      string // of the first that was lost or wrong
	times                    []time.Duration
	mutex                    sync.Mutex
	cancel                   context.CancelFunc
	running                  sync.WaitGroup
}

// errand is an honest request with the answer that it has to get.
type errand struct {
	letter
	answer []byte
}

// errands are the examples, whose reports are those of the command line.
func errands(all []example) []errand {
	var list []errand
	for _, each := range all {
		list = append(list, errand{letter: letter{target: "/v1/reports", mediaType: asJSON, body: each.body}, answer: each.report})
	}
	return list
}

// largeErrands are honest requests of the kinds that there are few places for: long bodies, web pages, a document a line. Their
// answers are asked for once, before there is any attack.
func largeErrands(t *testing.T, p *process, all []example) []errand {
	t.Helper()
	padded := append(bytes.Clone(bytes.TrimSpace(all[0].body)), bytes.Repeat([]byte(" "), 20<<10)...)
	linked, err := os.ReadFile("../../examples/mustard-seed-carrots.jsonld")
	if err != nil {
		t.Fatal(err)
	}
	page := append(inPage(linked), bytes.Repeat([]byte("<p>Carrots.</p>"), 4<<10)...)
	var lines bytes.Buffer
	for _, each := range all[:3] {
		if err := json.Compact(&lines, each.body); err != nil {
			t.Fatal(err)
		}
		lines.WriteByte('\n')
	}
	list := []errand{
		{letter: letter{target: "/v1/reports", mediaType: asJSON, body: padded}},
		{letter: letter{target: "/v1/reports", mediaType: asJSON, packed: true, body: gzipped(all[0].body)}},
		{letter: letter{target: "/v1/drafts?report=true", mediaType: asHTML, body: page}},
		{letter: letter{target: "/v1/reports", mediaType: asLines, body: lines.Bytes()}},
	}
	client := from(2, 20*time.Second)
	defer client.CloseIdleConnections()
	for i := range list {
		got := list[i].post(t.Context(), client, p.address, true)
		if got.err != nil || got.status != http.StatusOK {
			t.Fatalf("an honest request before there is any attack: status %d, %v: %.300s", got.status, got.err, got.text)
		}
		list[i].answer = got.text
	}
	return list
}

// honest runs errands from the addresses given, one client each, and asks for health on both ports, until it is stopped.
func (p *process) honest(list []errand, addresses ...int) *crowd {
	ctx, cancel := context.WithCancel(context.Background())
	c := &crowd{cancel: cancel}
	for i, last := range addresses {
		c.running.Go(func() {
			client := from(last, honestPatience)
			defer client.CloseIdleConnections()
			for n := i; ctx.Err() == nil; n++ {
				each := &list[n%len(list)]
				c.count(each.post(context.Background(), client, p.address, true), each.answer)
				time.Sleep(10 * time.Millisecond)
			}
		})
	}
	// A supervisor asks from an address of its own, and on the private port from wherever it is: also from where the attack comes.
	for address, last := range map[string]int{p.address: 200, p.private: attacker} {
		c.running.Go(func() {
			for ctx.Err() == nil {
				client := from(last, honestPatience)
				l := &letter{method: http.MethodGet, target: "/healthz"}
				got := l.post(context.Background(), client, address, false)
				client.CloseIdleConnections()
				c.countHealth(got, address == p.private)
				time.Sleep(50 * time.Millisecond)
			}
		})
	}
	return c
}

func (c *crowd) count(got reply, want []byte) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	switch {
	case got.err != nil:
		c.Lost++
		c.complain(got.err.Error())
	case got.status == http.StatusServiceUnavailable || got.status == http.StatusTooManyRequests:
		c.Away++
	case got.status != http.StatusOK || !bytes.Equal(got.text, want):
		c.Wrong++
		c.complain(fmt.Sprintf("status %d, %.200s", got.status, got.text))
	default:
		c.times = append(c.times, got.took)
	}
	c.Asked++
}

func (c *crowd) countHealth(got reply, private bool) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	switch {
	case private && got.status == http.StatusNotFound:
		// A build whose private port has no health yet.
	case got.err != nil || got.status != http.StatusOK:
		c.HealthLost++
		c.complain(fmt.Sprintf("health: status %d, %v", got.status, got.err))
		c.Health = max(c.Health, got.took)
	default:
		if c.Health = max(c.Health, got.took); got.took > time.Second {
			c.complain(fmt.Sprintf("health after %v, on the private port %v", got.took, private))
		}
	}
}

func (c *crowd) complain(why string) {
	if c.why == "" {
		c.why = why
	}
}

// stop ends the asking once what is under way has been answered, and sums up.
func (c *crowd) stop() *crowd {
	c.cancel()
	c.running.Wait()
	slices.Sort(c.times)
	if n := len(c.times); n > 0 {
		c.P50, c.P99, c.Worst = c.times[n/2], c.times[n*99/100], c.times[n-1]
	}
	return c
}

func (c *crowd) String() string {
	return fmt.Sprintf("%d asked, %d turned away, %d lost, %d wrong; p50 %v, p99 %v, worst %v; health at worst %v, %d times none",
		c.Asked, c.Away, c.Lost, c.Wrong, c.P50.Round(time.Millisecond/10), c.P99.Round(time.Millisecond), c.Worst.Round(time.Millisecond),
		c.Health.Round(time.Millisecond), c.HealthLost)
}

// wellServed fails where honest clients were not answered beside an attack. mayWait are those that may be told to come again.
func (c *crowd) wellServed(t *testing.T, mayWait int) {
	t.Helper()
	if c.Lost > 0 || c.Wrong > 0 || c.Away > mayWait || len(c.times) == 0 {
		t.Errorf("honest clients: %v: %s", c, c.why)
	}
	if c.HealthLost > 0 || c.Health > time.Second {
		t.Errorf("health: %v: %s", c, c.why)
	}
}
