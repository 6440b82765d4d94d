package main

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

var jumping = flag.Bool("clock", false, "whether TestClockThatJumps builds the program anew, with the packages below it, which takes a minute")

// jumpingClock builds the program with a clock on the wall that jumps by a day, forth and back, three times a second. Nothing else of
// it is changed. To set the clock of the machine would need rights that a test has no business to have.
func jumpingClock(t *testing.T) string {
	t.Helper()
	root, err := exec.CommandContext(t.Context(), "go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	original := filepath.Join(strings.TrimSpace(string(root)), "src/time/time.go")
	text, err := os.ReadFile(original)
	if err != nil {
		t.Fatal(err)
	}
	const read = "func Now() Time {\n\tsec, nsec, mono := runtimeNow()\n"
	if strings.Count(string(text), read) != 1 {
		t.Fatal("time.Now has changed; this test has to read the clock where it does")
	}
	folder := t.TempDir()
	changed, overlay, program := filepath.Join(folder, "time.go"), filepath.Join(folder, "overlay.json"), filepath.Join(folder, "jarwright")
	text = []byte(strings.Replace(string(text), read, read+"\tsec += (runtimeNano()/333e6%3 - 1) * 86400\n", 1))
	list, err := json.Marshal(map[string]any{"Replace": map[string]string{original: changed}})
	if err != nil {
		t.Fatal(err)
	}
	for file, content := range map[string][]byte{changed: text, overlay: list} {
		if err := os.WriteFile(file, content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if out, err := exec.CommandContext(t.Context(), "go", "build", "-overlay", overlay, "-o", program, ".").CombinedOutput(); err != nil {
		t.Fatalf("build: %v\n%s", err, out)
	}
	return program
}

// A clock that somebody sets, again and again, changes no timeout, no quota and no duration.
func TestClockThatJumps(t *testing.T) {
	if !*jumping {
		t.Skip("it builds the program and the packages below it anew, with a clock that jumps, which takes a minute; .ci/run asks for it: go test " +
			"./cmd/jarwright -run ClockThatJumps -args -clock")
	}
	const quota, asked = 100, 160
	all := examples(t)
	p := startProgram(t, jumpingClock(t), nil, append(impatient(), "--rate-limit", fmt.Sprint(quota), "--rate-window", "1h")...)
	begin := time.Now()

	// A client that sends nothing is cut after its time, neither at once nor never.
	slow, err := dial(p.address)
	if err != nil {
		t.Fatal(err)
	}
	defer slow.Close()
	if _, err := io.WriteString(slow, "POST /v1/reports HTTP/1.1\r\nHost: a\r\n"); err != nil {
		t.Fatal(err)
	}
	cut := make(chan time.Duration, 1)
	go func() {
		_, _ = io.Copy(io.Discard, slow)
		cut <- time.Since(begin)
	}()

	// One connection is used for longer than the clock needs to jump back and forth: none of its requests is late.
	client := newClient(1)
	good, refused, days := 0, 0, map[string]bool{}
	for i := range asked {
		status, err := post(client, p.address, all[i%len(all)], fmt.Sprintf("clock-%d", i))
		switch {
		case err == nil && status == http.StatusOK:
			good++
		case err == nil && status == http.StatusTooManyRequests:
			refused++
		default:
			t.Errorf("request %d: status %d, %v", i, status, err)
		}
		time.Sleep(15 * time.Millisecond)
	}
	client.CloseIdleConnections()
	if good != quota || refused != asked-quota {
		t.Errorf("%d answered and %d refused of a quota of %d an hour", good, refused, quota)
	}
	if after := <-cut; after < 900*time.Millisecond || after > 10*time.Second {
		t.Errorf("a header that takes longer than a second was cut after %v", after)
	}
	p.stop(t)
	for line := range strings.Lines(p.log.String()) {
		var entry struct {
			Time     time.Time
			Duration float64
		}
		if err := json.Unmarshal([]byte(line), &entry); err != nil {
			t.Fatalf("line of the log: %v: %s", err, line)
		}
		if entry.Duration < 0 || entry.Duration > 60 {
			t.Errorf("a request took %g s: %s", entry.Duration, line)
		}
		days[entry.Time.Format(time.DateOnly)] = true
	}
	if len(days) < 3 {
		t.Errorf("the clock did not jump: the log has %v", days)
	}
	t.Logf("%d answered, %d refused, over the days %v", good, refused, days)
}

// A machine that sleeps, or a host that stops it to move it, makes all clocks jump forward at once. Requests that were under way are
// answered or cut, none is answered wrongly, and the service goes on.
func TestMachineThatSleeps(t *testing.T) {
	all := examples(t)
	p := start(t, nil, impatient()...)
	before := p.gauge(t, "go_goroutines")
	var running sync.WaitGroup
	stop := make(chan struct{})
	answered := make([]int, 8)
	for i := range answered {
		running.Add(1)
		go func() {
			defer running.Done()
			client := newClient(1)
			defer client.CloseIdleConnections()
			for n := 0; ; n++ {
				select {
				case <-stop:
					return
				default:
				}
				status, err := post(client, p.address, all[n%len(all)], fmt.Sprintf("sleep-%d-%d", i, n))
				var late net.Error
				switch {
				case err == nil && (status == http.StatusOK || status == http.StatusServiceUnavailable):
					answered[i]++
				case err != nil && (errors.Is(err, io.EOF) || errors.Is(err, syscall.ECONNRESET) || errors.As(err, &late) && !late.Timeout()):
					// Cut: the time of the request was over when the machine woke.
				default:
					t.Errorf("status %d, %v", status, err)
				}
			}
		}()
	}
	for range 2 {
		time.Sleep(300 * time.Millisecond)
		if err := p.command.Process.Signal(syscall.SIGSTOP); err != nil {
			t.Fatal(err)
		}
		time.Sleep(2500 * time.Millisecond) // longer than every timeout but that of writing
		if err := p.command.Process.Signal(syscall.SIGCONT); err != nil {
			t.Fatal(err)
		}
	}
	time.Sleep(300 * time.Millisecond)
	close(stop)
	running.Wait()
	for i, count := range answered {
		if count == 0 {
			t.Errorf("client %d has no answer at all", i)
		}
	}
	p.settles(t, "go_goroutines", before)
	if failed := p.failures(t); len(failed) > 0 {
		t.Errorf("the service failed: %v", failed)
	}
	p.stop(t)
}
