package main

import (
	"context"
	"fmt"
	"io"
	"net"
	"os"
	"strings"
	"sync"
	"testing"
	"time"
)

// crowdAttack is one that needs many connections, or a supervisor that does not do its part. begin returns once it is under way;
// it lasts until the context is done.
type crowdAttack struct {
	name  string
	begin func(ctx context.Context, p *process) error
	log   bool // the reader of the log is the attack: it reads nothing
	gone  bool // or it goes away as the attack begins
	pipe  *os.File
}

// callFrom opens a connection from an address of this machine.
func callFrom(last int, address string) (net.Conn, error) {
	dialer := net.Dialer{Timeout: 2 * time.Second, LocalAddr: &net.TCPAddr{IP: net.IPv4(127, 0, 0, byte(last))}}
	return dialer.Dial("tcp", address)
}

// hold opens so many connections, says the words on each, and keeps them open. A connection that is refused or cut is as it should be;
// it is opened again, as an attacker would.
func hold(ctx context.Context, p *process, count int, say func(ctx context.Context, c net.Conn)) error {
	var begun sync.WaitGroup
	for range count {
		begun.Add(1)
		go func() {
			first := sync.OnceFunc(begun.Done)
			defer first()
			for ctx.Err() == nil {
				c, err := callFrom(attacker, p.address)
				if err != nil {
					first()
					pause(ctx, 200*time.Millisecond)
					continue
				}
				stop := context.AfterFunc(ctx, func() { c.Close() })
				go func() {
					time.Sleep(20 * time.Millisecond)
					first()
				}()
				say(ctx, c)
				_, _ = io.Copy(io.Discard, c) // until the service ends it
				c.Close()
				stop()
				pause(ctx, 5*time.Second)
			}
		}()
	}
	done := make(chan struct{})
	go func() { begun.Wait(); close(done) }()
	select {
	case <-done:
	case <-time.After(5 * time.Second): // the rest waits to be accepted, which is the attack
	}
	return nil
}

func pause(ctx context.Context, d time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}

// says sends a text and nothing more.
func says(text string) func(context.Context, net.Conn) {
	return func(_ context.Context, c net.Conn) { _, _ = io.WriteString(c, text) }
}

// drips sends a head and then a piece again and again.
func drips(head, piece string, every time.Duration) func(context.Context, net.Conn) {
	return func(ctx context.Context, c net.Conn) {
		go func() { _, _ = io.Copy(io.Discard, c) }()
		if _, err := io.WriteString(c, head); err != nil {
			return
		}
		for ctx.Err() == nil {
			if _, err := io.WriteString(c, piece); err != nil {
				return
			}
			pause(ctx, every)
		}
	}
}

// bodyHead is the header of a body that never comes whole.
func bodyHead(target, mediaType string, length int, more string) string {
	return fmt.Sprintf("POST %s HTTP/1.1\r\nHost: a\r\nContent-Type: %s\r\nContent-Length: %d\r\n%s\r\n", target, mediaType, length, more)
}

func crowdAttacks() []crowdAttack {
	stalledPage := bodyHead("/v1/drafts", asHTML, mostPage, "") + strings.Repeat("<p>", 20<<10/3)
	stalledReport := bodyHead("/v1/reports", asJSON, mostBody, "") + strings.Repeat(" ", 20<<10)
	stalledForm := bodyHead("/", asForm, 4*mostBody, "") + strings.Repeat("a", 20<<10)
	stalledPacked := bodyHead("/v1/reports", asJSON, 2000, "Content-Encoding: gzip\r\n") + string(gzipped(nil)[:10])
	crowd := func(name string, count int, say func(context.Context, net.Conn)) crowdAttack {
		return crowdAttack{name: name, begin: func(ctx context.Context, p *process) error { return hold(ctx, p, count, say) }}
	}
	asked := "GET /healthz HTTP/1.1\r\nHost: a\r\n\r\n"
	return []crowdAttack{
		crowd("2,048 connections that say nothing", 2048, says("")),
		crowd("2,048 connections that have asked once", 2048, says(asked)),
		crowd("2,048 connections in the header", 2048, says("POST /v1/reports HTTP/1.1\r\nHost: a\r\nX-")),
		crowd("8 stalled pages", 8, says(stalledPage)),
		crowd("128 stalled reports", 128, says(stalledReport)),
		crowd("128 stalled packed reports", 128, says(stalledPacked)),
		crowd("32 stalled forms", 32, says(stalledForm)),
		crowd("64 dripping pages", 64, drips(stalledPage, "<", 50*time.Millisecond)),
		crowd("32 dripping streams", 32, drips(streamHead(), string(chunk([]byte("\n"))), 100*time.Millisecond)),
		crowd("32 streams dripping in a line", 32, drips(streamHead()+string(chunk([]byte(`{"recipe":`))), string(chunk([]byte(" "))), 100*time.Millisecond)),
		crowd("64 streams that say nothing", 64, says(streamHead())),
		crowd("64 streams of drafts that say nothing", 64, says(strings.Replace(streamHead(), "/v1/reports", "/v1/drafts", 1))),
		{name: "200 clients that ask without pause", begin: askWithoutPause},
		{name: "the log is not read", log: true, begin: askWithoutPause},
		{name: "the reader of the log goes away", log: true, gone: true, begin: askWithoutPause},
	}
}

// askWithoutPause has many clients at one address ask for costly reports.
func askWithoutPause(ctx context.Context, p *process) error {
	body := edited("dill-cucumbers.json", map[string]any{"recipe/ingredients": unknownNames(60)})
	l := letter{target: "/v1/reports", mediaType: asJSON, body: body}
	for range 200 {
		go func() {
			client := from(attacker, 10*time.Second)
			defer client.CloseIdleConnections()
			for ctx.Err() == nil {
				l.post(ctx, client, p.address, false)
				pause(ctx, 5*time.Millisecond)
			}
		}()
	}
	pause(ctx, 300*time.Millisecond)
	return nil
}

// startFor starts the service as an attack wants it.
func (a *crowdAttack) startFor(t *testing.T, flags ...string) *process {
	t.Helper()
	if !a.log {
		return startMeasured(t, nil, append(flags, quiet...)...)
	}
	reader, writer, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer writer.Close()
	t.Cleanup(func() { reader.Close() })
	a.pipe = reader
	if a.gone {
		go func() { _, _ = io.Copy(io.Discard, reader) }()
	}
	return startMeasured(t, writer, flags...)
}

// start begins an attack on a service that was started for it.
func (a *crowdAttack) start(ctx context.Context, t *testing.T, p *process) {
	t.Helper()
	if a.gone {
		a.pipe.Close()
	}
	if err := a.begin(ctx, p); err != nil {
		t.Fatal(err)
	}
}

// Each attack with a crowd, on the real program: honest clients at other addresses are answered, small and large requests alike,
// health is answered, and memory stays where it was.
func TestHostileCrowds(t *testing.T) {
	onlyWithCost(t)
	all := examples(t)
	for _, attack := range crowdAttacks() {
		t.Run(attack.name, func(t *testing.T) {
			p := attack.startFor(t)
			list := append(errands(all), largeErrands(t, p, all)...)
			id := p.command.Process.Pid
			resting := p.back(0, 300*time.Millisecond)
			forgetPeak(id)
			before := rested(id)
			ctx, cancel := context.WithCancel(t.Context())
			defer cancel()
			attack.start(ctx, t, p)
			last := time.Second
			if *cost {
				last = 5 * time.Second
			}
			honest := p.honest(list, 2, 3)
			time.Sleep(last)
			honest.stop()
			cancel()
			now := rested(id)
			figure := figure{Name: attack.name, CPU: now - before, Peak: max(0, peak(id)-resting), Status: "–"}
			figure.beside(honest)
			figure.Left = max(0, p.back(resting+leftOver, 15*time.Second)-resting)
			if !p.alive() {
				figure.Status = "the service ended"
			}
			record(figure)
			t.Logf("%v; at most %d MiB more resident", honest, figure.Peak>>20)
			honest.wellServed(t, 0)
			if figure.Peak > maxResident {
				t.Errorf("%d MiB more resident, want at most %d", figure.Peak>>20, maxResident>>20)
			}
			if figure.Left > leftOver {
				t.Errorf("%d MiB more resident than before", figure.Left>>20)
			}
			if p.alive() {
				p.stop(t)
			}
		})
	}
}

// stopWithin is the stop time of the tests that stop under attack, and stopSlack what a busy machine may add to it.
const (
	stopWithin = 3 * time.Second
	stopSlack  = 2 * time.Second
)

// Told to stop during an attack, whichever it is, the service ends well and in its time.
func TestTermDuringAttacks(t *testing.T) {
	onlyWithCost(t)
	attacks := crowdAttacks()
	for _, document := range hostileDocuments() {
		attacks = append(attacks, crowdAttack{name: document.name, begin: func(ctx context.Context, p *process) error {
			for range 4 {
				go func() {
					client := from(attacker, 20*time.Second)
					defer client.CloseIdleConnections()
					for ctx.Err() == nil {
						document.post(ctx, client, p.address, false)
					}
				}()
			}
			pause(ctx, 200*time.Millisecond)
			return nil
		}})
	}
	for i, attack := range attacks {
		if !*cost && i%6 != 0 && !attack.log {
			continue // a part of them; the others with -args -cost
		}
		t.Run(attack.name, func(t *testing.T) {
			p := attack.startFor(t, "--stop-timeout", stopWithin.String())
			ctx, cancel := context.WithCancel(t.Context())
			defer cancel()
			attack.start(ctx, t, p)
			begin := time.Now()
			if err := p.command.Process.Signal(terminate); err != nil {
				t.Fatal(err)
			}
			select {
			case err := <-p.exited:
				took := time.Since(begin)
				t.Logf("pid %d ended after %v", p.command.Process.Pid, took.Round(time.Millisecond))
				if err != nil {
					t.Errorf("ended with %v", err)
				}
			case <-time.After(stopWithin + stopSlack):
				t.Errorf("still runs %v after it was told to stop", stopWithin+stopSlack)
			}
		})
	}
}
