package main

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// dialFrom opens a connection from one of the addresses of this machine.
func dialFrom(ctx context.Context, address, from string) (net.Conn, error) {
	dialer := net.Dialer{Timeout: 10 * time.Second, LocalAddr: &net.TCPAddr{IP: net.ParseIP(from)}}
	return dialer.DialContext(ctx, "tcp", address)
}

// holding does something on a connection that keeps it for as long as the service or ctx lets it.
type holding func(ctx context.Context, connection net.Conn)

// until keeps a connection open, and sends a piece now and then.
func until(ctx context.Context, connection net.Conn, every time.Duration, piece string) {
	gone := make(chan struct{})
	go func() { // what comes is taken, so that the end is noticed
		defer close(gone)
		_, _ = io.Copy(io.Discard, connection)
	}()
	tick := time.NewTicker(every)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-gone:
			return
		case <-tick.C:
			if _, err := io.WriteString(connection, piece); err != nil {
				return
			}
		}
	}
}

// sends is a client that sends something at once, and a piece of more now and then.
func sends(first string, every time.Duration, piece string) holding {
	return func(ctx context.Context, connection net.Conn) {
		if _, err := io.WriteString(connection, first); err == nil {
			until(ctx, connection, every, piece)
		}
	}
}

// besiege has so many clients do the same, from so many addresses, each again when it is cut off.
func besiege(t *testing.T, address string, clients, addresses int, do holding) (stop func()) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	var running sync.WaitGroup
	for i := range clients {
		from := fmt.Sprintf("127.0.0.%d", 1+i%addresses)
		running.Go(func() {
			for ctx.Err() == nil {
				if connection, err := dialFrom(ctx, address, from); err == nil {
					leaving := context.AfterFunc(ctx, func() { connection.Close() })
					do(ctx, connection)
					leaving()
					connection.Close()
				}
				time.Sleep(time.Second)
			}
		})
	}
	stop = func() { cancel(); running.Wait() }
	t.Cleanup(stop)
	return stop
}

// siege is a way to shut others out, with what honest clients ask for meanwhile.
type siege struct {
	name               string
	clients, addresses int
	do                 holding
	honest             []wellFormed
	settles            time.Duration // how long the attack is on before the honest ones come
}

// honestly asks for each of the requests from an address, each time on a new connection, and gives the times that it took.
func honestly(t *testing.T, p *process, asked []wellFormed, from string, rounds int) []time.Duration {
	t.Helper()
	client := &http.Client{Timeout: 10 * time.Second, Transport: &http.Transport{
		DisableKeepAlives: true,
		DialContext:       func(ctx context.Context, _, address string) (net.Conn, error) { return dialFrom(ctx, address, from) },
	}}
	var times []time.Duration
	for round := range rounds {
		for i := range asked {
			each, begin := &asked[i], time.Now()
			status, answer, err := each.send(client, p.address, fmt.Sprintf("honest-%s-%d", from, round))
			if err != nil || status != each.status || each.answer != nil && !bytes.Equal(answer, each.answer) {
				t.Errorf("%s from %s: status %d, %v: %.200s", each.name, from, status, err, answer)
			}
			times = append(times, time.Since(begin))
		}
	}
	return times
}

// maxHealth is how long the check of a supervisor may take, whatever goes on. This machine may be busy with other tests.
const maxHealth = time.Second

// Whatever is done to shut others out, honest clients are answered, from the address of the attack and from others; memory stays
// bounded, and the service stops when it is told to.
func TestNobodyIsShutOut(t *testing.T) {
	onlyWithCost(t)
	all := examples(t)
	report := wellFormed{
		name: "report", method: "POST", target: "/v1/reports", headers: []string{"Content-Type: application/json"}, body: all[0].body,
		status: 200, answer: all[0].report,
	}
	large := report
	large.name, large.body = "large report", append(bytes.Clone(report.body), bytes.Repeat([]byte(" "), 200<<10)...)
	stream := wellFormed{
		name: "stream", method: "POST", target: "/v1/reports", headers: []string{"Content-Type: application/x-ndjson"},
		body: []byte(dillLine + "\n" + dillLine + "\n"), status: 200,
	}
	health := wellFormed{name: "health", method: "GET", target: "/healthz", status: 200}
	usual := []wellFormed{report, health}
	const page = 4_000_000
	stalled := "POST /v1/drafts HTTP/1.1\r\nHost: a\r\nContent-Type: text/html\r\nContent-Length: " + strconv.Itoa(page) + "\r\n\r\n" +
		strings.Repeat(" ", page-10)
	for _, test := range []siege{
		{"idle connections", 2500, 1, sends("", time.Minute, ""), usual, time.Second},
		{"idle connections of many", 2500, 50, sends("", time.Minute, ""), usual, time.Second},
		{"connections kept after a request", 2500, 1, sends("GET /healthz HTTP/1.1\r\nHost: a\r\n\r\n", time.Minute, ""), usual, time.Second},
		{"headers that drip", 2500, 1, sends("GET /healthz HTTP/1.1\r\nX: ", time.Second, "x"), usual, time.Second},
		{"bodies that drip", 2200, 1, sends(header(10_000)+"{", time.Second, " "), usual, time.Second},
		{"answers not taken", 2200, 3, takesNothing, usual, time.Second},
		{"large pages that stall", 8, 1, sends(stalled, time.Minute, ""), []wellFormed{large, report, health}, 500 * time.Millisecond},
		{"large pages of many that stall", 24, 3, sends(stalled, time.Minute, ""), []wellFormed{large, report, health}, 500 * time.Millisecond},
		{"streams that drip", 32, 1, sends(streamHead(), 100*time.Millisecond, "1\r\n \r\n"), []wellFormed{stream, report, health}, 0},
		{"streams of many that drip", 64, 4, sends(streamHead(), 100*time.Millisecond, "1\r\n \r\n"), []wellFormed{stream, report, health}, 0},
	} {
		t.Run(test.name, func(t *testing.T) { withstand(t, &test) })
	}
}

// takesNothing asks for a long answer again and again and reads none of it.
func takesNothing(ctx context.Context, connection net.Conn) {
	_ = connection.(*net.TCPConn).SetReadBuffer(1024)
	request := strings.Repeat("GET /openapi.json HTTP/1.1\r\nHost: a\r\n\r\n", 20)
	if _, err := io.WriteString(connection, request); err != nil {
		return
	}
	for ctx.Err() == nil {
		// What is sent after the connection is closed fails.
		if _, err := io.WriteString(connection, "G"); err != nil {
			return
		}
		time.Sleep(500 * time.Millisecond)
	}
}

func withstand(t *testing.T, test *siege) {
	t.Helper()
	const stopTime = 4 * time.Second
	p := start(t, nil, "--stop-timeout", stopTime.String(), "--log-level", "error")
	stop := besiege(t, p.address, test.clients, test.addresses, test.do)
	time.Sleep(test.settles)
	var peak int64
	for _, from := range []string{"127.0.0.1", "127.0.0.99"} {
		times := honestly(t, p, test.honest, from, 10)
		slices.Sort(times)
		t.Logf("from %s: %d requests, p50 %v, p99 %v", from, len(times), times[len(times)/2], times[len(times)*99/100])
		peak = max(peak, resident(t, p.command.Process.Pid))
	}
	for _, address := range []string{p.address, p.private} {
		begin := time.Now()
		response, err := once.Get("http://" + address + "/healthz")
		if err != nil {
			t.Errorf("health at %s: %v", address, err)
			continue
		}
		response.Body.Close()
		if took := time.Since(begin); took > maxHealth {
			t.Errorf("health at %s after %v", address, took)
		}
	}
	now := p.metrics(t)
	t.Logf("resident %d MiB; gave way: %g connections, %g large bodies, %g streams; rejected: %g, %g, %g", peak>>20,
		now[`jarwright_gave_way_total{of="connections"}`], now[`jarwright_gave_way_total{of="large_bodies"}`],
		now[`jarwright_gave_way_total{of="streams"}`], now[`jarwright_rejected_total{reason="connections"}`],
		now[`jarwright_rejected_total{reason="large_bodies"}`], now[`jarwright_rejected_total{reason="streams"}`])
	if peak > maxResident {
		t.Errorf("%d MiB resident, want at most %d", peak>>20, maxResident>>20)
	}
	begin := time.Now()
	p.stop(t)
	t.Logf("stopped after %v", time.Since(begin).Round(time.Millisecond))
	if took := time.Since(begin); took > stopTime+2*time.Second {
		t.Errorf("stopped after %v, want %v", took, stopTime)
	}
	stop()
}

// A kilobyte of packed blank lines is not answered with hundreds of megabytes.
func TestPackedBlankLines(t *testing.T) {
	p := start(t, nil)
	var packed bytes.Buffer
	writer := gzip.NewWriter(&packed)
	if _, err := writer.Write(bytes.Repeat([]byte("\n"), 1<<20)); err != nil {
		t.Fatal(err)
	}
	if err := writer.Close(); err != nil {
		t.Fatal(err)
	}
	request, err := http.NewRequest(http.MethodPost, "http://"+p.address+"/v1/reports", &packed)
	if err != nil {
		t.Fatal(err)
	}
	sent := packed.Len()
	request.Header.Set("Content-Type", "application/x-ndjson")
	request.Header.Set("Content-Encoding", "gzip")
	response, err := once.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	var last string
	var total int
	for lines := bufio.NewReader(response.Body); ; {
		line, err := lines.ReadString('\n')
		if err != nil {
			break
		}
		last, total = line, total+len(line)
	}
	t.Logf("%d bytes are answered with %d", sent, total)
	if total > 16<<20 || !strings.Contains(last, `"complete":false`) {
		t.Errorf("%d bytes are answered with %d, the last line is %s", sent, total, last)
	}
	p.stop(t)
}

// A log that nobody reads keeps nobody waiting, and what it lost is said when it is read again.
func TestLogThatNobodyReads(t *testing.T) {
	all := examples(t)
	for name, readAgain := range map[string]bool{"never": false, "later": true} {
		t.Run(name, func(t *testing.T) {
			reader, writer, err := os.Pipe()
			if err != nil {
				t.Fatal(err)
			}
			defer reader.Close()
			p := start(t, writer, "--log-buffer", "8192", "--stop-timeout", "3s")
			writer.Close()
			client := newClient(2)
			for i := range 1000 {
				if status, err := post(client, p.address, all[i%len(all)], fmt.Sprintf("unread-%d", i)); err != nil || status != http.StatusOK {
					t.Fatalf("request %d: status %d, %v", i, status, err)
				}
			}
			if lost := p.gauge(t, "jarwright_log_lines_dropped_total"); lost == 0 {
				t.Error("no line is counted as lost")
			}
			text := make(chan string, 1)
			if readAgain {
				go func() { all, _ := io.ReadAll(reader); text <- string(all) }()
				time.Sleep(200 * time.Millisecond)
				if status, err := post(client, p.address, all[0], "read-again"); err != nil || status != http.StatusOK {
					t.Errorf("status %d, %v", status, err)
				}
			}
			begin := time.Now()
			p.stop(t)
			t.Logf("stopped after %v", time.Since(begin))
			if readAgain {
				if got := <-text; !strings.Contains(got, "lines of the log were dropped") || !strings.Contains(got, "read-again") || !strings.HasSuffix(got, "\n") {
					t.Errorf("the log ends with %.500s", got[max(0, len(got)-500):])
				}
			}
		})
	}
}

// A log that nobody has open any more does not end the service.
func TestLogWithoutReader(t *testing.T) {
	all := examples(t)
	reader, writer, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	p := start(t, writer, "--stop-timeout", "3s")
	writer.Close()
	reader.Close()
	client := newClient(1)
	for i := range 20 {
		if status, err := post(client, p.address, all[0], fmt.Sprintf("closed-%d", i)); err != nil || status != http.StatusOK {
			t.Fatalf("request %d: status %d, %v", i, status, err)
		}
	}
	if err := p.command.Process.Signal(syscall.Signal(0)); err != nil {
		t.Errorf("the service has ended: %v", err)
	}
	p.stop(t)
}

// The command that asks for health asks where no client can keep the service busy.
func TestHealthOfThePrivateAddress(t *testing.T) {
	p := start(t, nil)
	if code, out, _ := run(t, "health", "--address", "127.0.0.1:1", "--private-address", p.private); code != exitGood || out != "ready\n" {
		t.Errorf("exit code %d, %q", code, out)
	}
	p.stop(t)
	if code, _, _ := run(t, "health", "--address", "127.0.0.1:1", "--private-address", p.private); code != exitUnreadable {
		t.Errorf("exit code %d after it has stopped", code)
	}
}
