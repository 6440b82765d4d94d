package main

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// This file measures what the running program costs, from outside: processor time and memory as the kernel counts them,
// allocations as the program tells them, answers as they arrive.

// program is another build to measure, such as one of an older state, so that both are measured by the same code.
var program = flag.String("program", "", "measure this program and not the one that is built from here")

// cost asks for everything, where go test alone makes do with a part.
var cost = flag.Bool("cost", false, "measure every operation with every text, and every attack, which takes minutes")

// onlyWithCost skips a test of a minute or so, which .ci/run asks for by itself.
func onlyWithCost(t *testing.T) {
	t.Helper()
	if !*cost {
		t.Skip("run with -args -cost")
	}
}

// What one body may cost, from the issue that asked for bounds: a document of at most 256 KiB.
const (
	mostCPU      = 50 * time.Millisecond
	mostDraftCPU = 100 * time.Millisecond
	mostAnswer   = 16 << 20
	mostBody     = 256 << 10
	mostPage     = 4 << 20
)

// mostPageCPU is what a web page of 4 MiB may cost, which is sixteen documents long; each is read once.
const mostPageCPU = 2 * mostDraftCPU

// What a stream of a mebibyte may cost, however well it packs: a compressed archive of recipes that are nearly alike is an honest one.
// Its answers are in proportion to its text (see "Streams" in the README), and each of its lines is a document.
const (
	mostStreamCPU    = time.Second
	mostStreamAnswer = mostAnswer
)

// addressSpace keeps a program that is out of bounds from taking the machine down with it, in KiB as ulimit counts.
const addressSpace = 4_000_000

// measured is the program that is measured.
func measured(t *testing.T) string {
	t.Helper()
	if *program != "" {
		return *program
	}
	file, err := binary()
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// startMeasured starts the measured program as a service, with bounded address space.
func startMeasured(t *testing.T, stderr io.Writer, flags ...string) *process {
	t.Helper()
	wrapper := filepath.Join(t.TempDir(), "bounded")
	script := fmt.Sprintf("#!/bin/sh\nulimit -v %d\nexec '%s' \"$@\"\n", addressSpace, measured(t))
	if err := os.WriteFile(wrapper, []byte(script), 0o700); err != nil {
		t.Fatal(err)
	}
	return startProgram(t, wrapper, stderr, flags...)
}

// quiet leaves nothing in the log but why a service did not start: attacks fill it with what was asked.
var quiet = []string{"--log-level", "fatal"}

// alive tells whether a service still runs.
func (p *process) alive() bool {
	select {
	case err := <-p.exited:
		p.exited <- err
		return false
	default:
		return true
	}
}

// kill ends a service that was driven out of bounds.
func (p *process) kill() {
	_ = p.command.Process.Kill()
	err := <-p.exited
	p.exited <- err
}

// processorTime is what all threads of a process have run, by the scheduler's own account.
func processorTime(id int) (time.Duration, error) {
	threads, err := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/schedstat", id))
	if err != nil || len(threads) == 0 {
		return 0, fmt.Errorf("process %d has no threads: %w", id, err)
	}
	var sum time.Duration
	for _, thread := range threads {
		text, err := os.ReadFile(thread)
		if err != nil {
			continue // it has just ended
		}
		ran, _, _ := strings.Cut(string(text), " ")
		nanoseconds, err := strconv.ParseInt(ran, 10, 64)
		if err != nil {
			return 0, fmt.Errorf("read %s: %w", thread, err)
		}
		sum += time.Duration(nanoseconds)
	}
	return sum, nil
}

// rested is the processor time of a process once it has nothing more to do, which takes in the collector's work.
func rested(id int) time.Duration {
	const pause = 4 * time.Millisecond
	last, err := processorTime(id)
	for range 100 {
		if err != nil {
			break
		}
		time.Sleep(pause)
		var now time.Duration
		if now, err = processorTime(id); err == nil && now-last < 50*time.Microsecond {
			return now
		} else if err == nil {
			last = now
		}
	}
	return last
}

// status reads a figure in KiB from /proc/PID/status and gives bytes.
func status(id int, name string) int64 {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", id))
	if err != nil {
		return 0
	}
	for line := range strings.Lines(string(text)) {
		if rest, found := strings.CutPrefix(line, name+":"); found {
			kib, err := strconv.ParseInt(strings.TrimSuffix(strings.TrimSpace(rest), " kB"), 10, 64)
			if err != nil {
				return 0
			}
			return kib << 10
		}
	}
	return 0
}

// forgetPeak makes VmHWM begin anew (proc(5), clear_refs).
func forgetPeak(id int) { _ = os.WriteFile(fmt.Sprintf("/proc/%d/clear_refs", id), []byte("5"), 0) }

func peak(id int) int64     { return status(id, "VmHWM") }
func occupied(id int) int64 { return status(id, "VmRSS") }

// collect has the program collect its garbage, by the private address.
func (p *process) collect() {
	client := http.Client{Timeout: 20 * time.Second, Transport: &http.Transport{DisableKeepAlives: true}}
	response, err := client.Get("http://" + p.private + "/debug/pprof/heap?gc=1")
	if err == nil {
		_, _ = io.Copy(io.Discard, response.Body)
		response.Body.Close()
	}
}

// back waits until the memory of a service has come down to a figure, and gives what is left.
func (p *process) back(to int64, within time.Duration) int64 {
	var left int64
	for deadline := time.Now().Add(within); ; time.Sleep(100 * time.Millisecond) {
		if left = occupied(p.command.Process.Pid); left <= to || time.Now().After(deadline) || !p.alive() {
			return left
		}
		p.collect()
	}
}

// letter is one request as it is sent.
type letter struct {
	method    string // POST where it is empty
	target    string
	mediaType string
	accept    string
	packed    bool // the body is gzip
	body      []byte
}

// reply is the answer to a letter and what it took.
type reply struct {
	status int
	bytes  int64
	head   []byte // the first bytes of the body
	text   []byte // the body, where it was asked for
	err    error
	took   time.Duration
}

// from is a client that calls from one of the addresses of this machine: 127.0.0.1, 127.0.0.2 …
func from(last int, patience time.Duration) *http.Client {
	dialer := &net.Dialer{Timeout: patience, LocalAddr: &net.TCPAddr{IP: net.IPv4(127, 0, 0, byte(last))}}
	return &http.Client{
		Timeout:   patience,
		Transport: &http.Transport{DialContext: dialer.DialContext, DisableCompression: true, MaxIdleConnsPerHost: 8},
	}
}

const headOfAnswer = 4 << 10

// post sends a letter and reads the answer to its end. keep says whether the whole body is wanted.
func (l *letter) post(ctx context.Context, client *http.Client, address string, keep bool) reply {
	begin := time.Now()
	method := l.method
	if method == "" {
		method = http.MethodPost
	}
	request, err := http.NewRequestWithContext(ctx, method, "http://"+address+l.target, bytes.NewReader(l.body))
	if err != nil {
		return reply{err: err}
	}
	request.Header.Set("Content-Type", l.mediaType)
	if l.accept != "" {
		request.Header.Set("Accept", l.accept)
	}
	if l.packed {
		request.Header.Set("Content-Encoding", "gzip")
	}
	response, err := client.Do(request)
	if err != nil {
		return reply{err: err, took: time.Since(begin)}
	}
	defer response.Body.Close()
	got := reply{status: response.StatusCode}
	if keep {
		got.text, got.err = io.ReadAll(response.Body)
		got.bytes, got.head = int64(len(got.text)), got.text[:min(len(got.text), headOfAnswer)]
	} else {
		head := make([]byte, headOfAnswer)
		n, err := io.ReadFull(response.Body, head)
		got.head = head[:n]
		if err == nil {
			var rest int64
			rest, got.err = io.Copy(io.Discard, response.Body)
			got.bytes = rest
		} else if !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
			got.err = err
		}
		got.bytes += int64(n)
	}
	got.took = time.Since(begin)
	return got
}

// spent is what one body cost.
type spent struct {
	CPU       time.Duration
	Peak      int64 // bytes resident at most, above those before
	Allocated int64 // bytes allocated in all
	Answer    int64
	Status    int
	Failed    string // why there was no answer
	head      []byte
}

// measure sends a letter alone and tells what it cost. It takes the least of several runs, so that what else goes on in the
// machine does not count; a run that is far out of bounds is not repeated.
func (p *process) measure(l *letter, runs int, patience time.Duration) spent {
	client := from(1, patience)
	defer client.CloseIdleConnections()
	id := p.command.Process.Pid
	var least spent
	for run := range runs {
		resting := occupied(id)
		forgetPeak(id)
		begin := rested(id)
		got := l.post(context.Background(), client, p.address, false)
		end := rested(id)
		s := spent{CPU: end - begin, Peak: max(0, peak(id)-resting), Answer: got.bytes, Status: got.status, head: got.head}
		if got.err != nil {
			s.Failed = short(got.err.Error())
		}
		if run == 0 {
			least = s
		} else {
			least.CPU, least.Peak = min(least.CPU, s.CPU), min(least.Peak, s.Peak)
		}
		if s.Failed != "" || s.CPU > time.Second || !p.alive() {
			break
		}
	}
	return least
}

// ordinary is what an ordinary report costs over HTTP on the two cores that the limits were set for, connection and logging included.
const ordinary = 600 * time.Microsecond

// slowness is how many times as much processor time an ordinary report takes just now: cores that are shared with other work, or that
// belong to a virtual machine, count time that was not had. It is 1 at least, so that a quiet machine forgives nothing.
func (p *process) slowness() float64 {
	const reports = 40
	l := letter{target: "/v1/reports", mediaType: asJSON, body: []byte(dillLine)}
	client := from(1, 20*time.Second)
	defer client.CloseIdleConnections()
	begin := rested(p.command.Process.Pid)
	for range reports {
		if got := l.post(context.Background(), client, p.address, false); got.err != nil || got.status != http.StatusOK {
			return 1
		}
	}
	each := (rested(p.command.Process.Pid) - begin) / reports
	return max(1, float64(each)/float64(ordinary))
}

// hopeless is how many times as much as it may cost no machine's pace explains.
const hopeless = 5

// within tells whether a body cost no more processor time than it may. Where it seems to have, it is measured again, and the limit is
// taken at the pace that the machine has just then.
func (p *process) within(l *letter, s *spent, most time.Duration) (limit time.Duration, good bool) {
	limit = most
	for range 3 {
		if s.CPU <= limit || s.Failed != "" || s.CPU > hopeless*most {
			break
		}
		before := p.slowness()
		again := p.measure(l, 3, gatePatience)
		s.CPU = min(s.CPU, again.CPU)
		limit = max(limit, time.Duration(float64(most)*min(before, p.slowness())))
	}
	return limit, s.CPU <= limit
}

// short leaves addresses and ports out of what the network says, so that figures can be compared.
func short(text string) string {
	if at := strings.LastIndex(text, ": "); at >= 0 {
		text = text[at+2:]
	}
	if strings.Contains(text, "deadline") || strings.Contains(text, "Client.Timeout") || strings.Contains(text, "timeout") {
		return "no answer in time"
	}
	return text
}

// gzipped packs as tightly as the coding can.
func gzipped(text []byte) []byte {
	var packed bytes.Buffer
	writer, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		panic(err)
	}
	_, _ = writer.Write(text)
	_ = writer.Close()
	return packed.Bytes()
}

// honestPatience is how long an honest client waits for an answer until it counts as lost.
const honestPatience = 5 * time.Second

// attacker is the address that attacks come from: 127.0.0.9.
const attacker = 9

// command runs the measured program to its end, or ends it, and tells what it took.
func command(t *testing.T, patience time.Duration, stdin string, arguments ...string) (code int, stdout, stderr string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), patience)
	defer cancel()
	run := exec.CommandContext(ctx, measured(t), arguments...)
	var out, complaints bytes.Buffer
	run.Stdin, run.Stdout, run.Stderr = strings.NewReader(stdin), &out, &complaints
	err := run.Run()
	if run.ProcessState == nil {
		t.Fatalf("start %v: %v", arguments, err)
	}
	state, _ := run.ProcessState.Sys().(syscall.WaitStatus)
	code = run.ProcessState.ExitCode()
	if state.Signaled() {
		code = -int(state.Signal())
	}
	return code, out.String(), complaints.String()
}
