package main

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"syscall"
	"testing"
	"time"
)

// streamHead is the header of a request of a document a line.
func streamHead(more ...string) string {
	return "POST /v1/reports HTTP/1.1\r\nHost: a\r\nContent-Type: application/x-ndjson\r\nTransfer-Encoding: chunked\r\n" +
		strings.Join(more, "") + "\r\n"
}

// chunk is a piece of a chunked body; that of nothing is its end.
func chunk(text []byte) []byte {
	return fmt.Appendf(nil, "%x\r\n%s\r\n", len(text), text)
}

// answeredLines are the answers of a stream, and what its last line says of them.
type answeredLines struct {
	lines    [][]byte
	ok       int
	complete bool
	closed   bool // whether there was a last line
	busy     bool // the stream was turned away with 503
}

// readStream reads the answer of a stream to its end. An error says that it is none; where it was cut, closed is false.
func readStream(connection io.Reader) (answeredLines, error) {
	var all answeredLines
	response, err := http.ReadResponse(bufio.NewReader(connection), nil)
	if err != nil {
		return all, fmt.Errorf("no answer: %w", err)
	}
	defer response.Body.Close()
	if response.StatusCode == http.StatusServiceUnavailable {
		all.busy = true
		return all, nil
	}
	if response.StatusCode != http.StatusOK {
		return all, fmt.Errorf("status %d", response.StatusCode)
	}
	source := bufio.NewReader(response.Body)
	for {
		line, err := source.ReadBytes('\n')
		if err != nil {
			return all, nil
		}
		var last struct {
			Summary *struct {
				Lines, OK int
				Complete  bool
			}
		}
		if bytes.HasPrefix(line, []byte(`{"summary"`)) {
			if err := json.Unmarshal(line, &last); err != nil {
				return all, err
			}
			if last.Summary.Lines != len(all.lines) {
				return all, fmt.Errorf("%d answers, but the last line says %d", len(all.lines), last.Summary.Lines)
			}
			all.ok, all.complete, all.closed = last.Summary.OK, last.Summary.Complete, true
			continue
		}
		if all.lines = append(all.lines, line); !bytes.HasPrefix(line, fmt.Appendf(nil, `{"line":%d,`, len(all.lines))) {
			return all, fmt.Errorf("answer %d is %.100s", len(all.lines), line)
		}
	}
}

// hostileStreams are clients that mean no good with a document a line, or have a bad line.
func hostileStreams(t *testing.T, good example) map[string]func(*net.TCPConn) error {
	t.Helper()
	var compact bytes.Buffer
	if err := json.Compact(&compact, good.body); err != nil {
		t.Fatal(err)
	}
	line := append(compact.Bytes(), '\n')
	// A line nearly as long as one may be, of which most is space.
	long := append(append(bytes.Clone(line[:len(line)-2]), bytes.Repeat([]byte(" "), 250_000)...), "}\n"...)
	var packed bytes.Buffer
	writer := gzip.NewWriter(&packed)
	for range 50 {
		if _, err := writer.Write(bytes.Repeat([]byte("x"), 1<<20)); err != nil {
			t.Fatal(err)
		}
	}
	if err := writer.Close(); err != nil {
		t.Fatal(err)
	}
	send := func(c net.Conn, parts ...[]byte) error {
		for _, part := range parts {
			if _, err := c.Write(part); err != nil {
				return err
			}
		}
		return nil
	}
	// whole wants so many answers, so many of them reports, and a last line that says whether all was read.
	whole := func(c io.Reader, lines, ok int, complete bool) error {
		got, err := readStream(c)
		if err != nil || got.busy {
			return err
		}
		if len(got.lines) != lines || got.ok != ok || got.complete != complete || !got.closed {
			return fmt.Errorf("%d answers, %d of them reports, complete %v, closed %v", len(got.lines), got.ok, got.complete, got.closed)
		}
		return nil
	}
	// Where the service has turned the stream away it does not read what is still being sent.
	unlessBusy := func(c net.Conn, cut error) error {
		if got, err := readStream(c); err == nil && got.busy || errors.Is(err, io.ErrUnexpectedEOF) {
			return nil
		}
		return cut
	}
	return map[string]func(*net.TCPConn) error{
		"stream of bad lines": func(c *net.TCPConn) error {
			lines := [][]byte{
				line, bytes.Repeat([]byte("y"), 600_000), []byte("\n{\"recipe\":\"\xff\xfe\"}\n"), []byte("\n"), []byte("\x00\n"),
				bytes.Repeat([]byte("["), 5_000), []byte("\n"), line,
			}
			if err := send(c, []byte(streamHead())); err != nil {
				return err
			}
			for _, each := range lines {
				if err := send(c, chunk(each)); err != nil {
					return unlessBusy(c, err)
				}
			}
			if err := send(c, chunk(nil)); err != nil {
				return unlessBusy(c, err)
			}
			return whole(c, 7, 2, true)
		},
		"stream of a line without end": func(c *net.TCPConn) error {
			if err := send(c, []byte(streamHead()), chunk(line)); err != nil {
				return err
			}
			part := chunk(bytes.Repeat([]byte("z"), 64<<10))
			for range 40 {
				if err := send(c, part); err != nil {
					return unlessBusy(c, err)
				}
			}
			if err := c.CloseWrite(); err != nil {
				return err
			}
			return whole(c, 1, 1, false)
		},
		"stream that takes no answers": func(c *net.TCPConn) error {
			if err := c.SetReadBuffer(1024); err != nil {
				return err
			}
			if err := send(c, []byte(streamHead())); err != nil {
				return err
			}
			part := chunk(long)
			for range 40 {
				_ = c.SetWriteDeadline(time.Now().Add(300 * time.Millisecond))
				if held := send(c, part); held != nil {
					break // as it should be
				}
			}
			time.Sleep(500 * time.Millisecond)
			return c.SetLinger(0)
		},
		"stream whose client leaves": func(c *net.TCPConn) error {
			if err := send(c, []byte(streamHead()), chunk(bytes.Repeat(line, 20))); err != nil {
				return err
			}
			if _, err := c.Read(make([]byte, 100)); err != nil {
				return err
			}
			return c.SetLinger(0)
		},
		"stream of a slow sender": func(c *net.TCPConn) error {
			if err := send(c, []byte(streamHead())); err != nil {
				return err
			}
			for rest := bytes.Repeat(line, 3); len(rest) > 0; {
				piece := rest[:min(200, len(rest))]
				rest = rest[len(piece):]
				if err := send(c, chunk(piece)); errors.Is(err, syscall.ECONNRESET) || errors.Is(err, syscall.EPIPE) {
					return nil // it gave way to another client; its answer said so and went with the connection
				} else if err != nil {
					return unlessBusy(c, err)
				}
				time.Sleep(30 * time.Millisecond)
			}
			if err := send(c, chunk(nil)); err != nil {
				return unlessBusy(c, err)
			}
			// It may give way to others, with a last line that says so.
			if got, err := readStream(c); err != nil || got.busy {
				return err
			} else if !got.closed || got.complete && got.ok != 3 || got.ok < len(got.lines)-1 {
				return fmt.Errorf("%d answers, %d of them reports, complete %v, closed %v", len(got.lines), got.ok, got.complete, got.closed)
			}
			return nil
		},
		"stream cut in a line": func(c *net.TCPConn) error {
			if err := send(c, []byte(streamHead()), chunk(line), chunk(line[:50])); err != nil {
				return err
			}
			if err := c.CloseWrite(); err != nil {
				return err
			}
			return whole(c, 1, 1, false)
		},
		"stream that is a bomb": func(c *net.TCPConn) error {
			if err := send(c, []byte(streamHead("Content-Encoding: gzip\r\n")), chunk(packed.Bytes()), chunk(nil)); err != nil {
				return unlessBusy(c, err)
			}
			// It may be asked to leave, with the rest of what it unpacks to unread.
			if got, err := readStream(c); err != nil || got.busy {
				return err
			} else if len(got.lines) > 1 || got.ok > 0 || !got.closed {
				return fmt.Errorf("%d answers, %d of them reports, closed %v", len(got.lines), got.ok, got.closed)
			}
			return nil
		},
	}
}

// Many streams whose clients send long lines and read nothing hold little memory; those that are one too many are turned away.
func TestStreamsThatTakeNoAnswers(t *testing.T) {
	const (
		clients = 200
		most    = 32 // as many as --max-streams lets in
	)
	all := examples(t)
	p := start(t, nil, impatient()...)
	before := p.gauge(t, "go_goroutines")
	stall := hostileStreams(t, all[0])["stream that takes no answers"]
	ended := make(chan error, clients)
	for range clients {
		go func() {
			connection, err := dial(p.address)
			if err != nil {
				ended <- err
				return
			}
			defer connection.Close()
			ended <- stall(connection)
		}()
	}
	var peak int64
	for left := clients; left > 0; {
		select {
		case err := <-ended:
			// One that is turned away may find its connection reset.
			if left--; err != nil && !strings.Contains(err.Error(), "reset") && !strings.Contains(err.Error(), "broken pipe") {
				t.Error(err)
			}
		case <-time.After(20 * time.Millisecond):
			peak = max(peak, resident(t, p.command.Process.Pid))
		}
	}
	t.Logf("resident at most %d MiB; %g streams turned away", peak>>20, p.metrics(t)[`jarwright_rejected_total{reason="streams"}`])
	if peak > maxResident {
		t.Errorf("%d MiB resident, want at most %d", peak>>20, maxResident>>20)
	}
	if rejected := p.metrics(t)[`jarwright_rejected_total{reason="streams"}`]; rejected == 0 || rejected > clients-most {
		t.Errorf("%g of %d streams were turned away", rejected, clients)
	}
	if status, err := post(newClient(1), p.address, all[0], "after"); err != nil || status != http.StatusOK {
		t.Errorf("afterwards: status %d, %v", status, err)
	}
	p.settles(t, "jarwright_requests_in_flight", 0)
	p.settles(t, "go_goroutines", before)
	p.stop(t)
}

// While the service is told to stop, streams that end in time are answered whole. One that is still being sent is answered as far as
// it came, and says so. Readiness fails before either ends.
func TestTermWithStreamsUnderWay(t *testing.T) {
	all := examples(t)
	var compact bytes.Buffer
	if err := json.Compact(&compact, all[0].body); err != nil {
		t.Fatal(err)
	}
	line := append(compact.Bytes(), '\n')
	const whole, endless = 6, 6
	p := start(t, nil, "--drain", "500ms", "--stop-timeout", "4s")
	type ended struct {
		sent int // lines that the client has sent whole
		got  answeredLines
		err  error
	}
	stream := func(lines int, every time.Duration) ended {
		connection, err := dial(p.address)
		if err != nil {
			return ended{err: err}
		}
		defer connection.Close()
		answer := make(chan ended, 1)
		go func() {
			got, err := readStream(connection)
			answer <- ended{got: got, err: err}
		}()
		sent := 0
		if _, err := io.WriteString(connection, streamHead()); err != nil {
			return ended{err: err}
		}
		for ; lines < 0 || sent < lines; sent++ {
			if _, err := connection.Write(chunk(line)); err != nil {
				break
			}
			time.Sleep(every)
			if len(answer) > 0 {
				break
			}
		}
		if sent == lines {
			if _, err := connection.Write(chunk(nil)); err != nil {
				return ended{err: err}
			}
		}
		last := <-answer
		last.sent = sent
		return last
	}
	finite, others := make(chan ended, whole), make(chan ended, endless)
	for range whole {
		go func() { finite <- stream(40, 30*time.Millisecond) }()
	}
	for range endless {
		go func() { others <- stream(-1, 20*time.Millisecond) }()
	}
	time.Sleep(400 * time.Millisecond)
	begin := time.Now()
	if err := p.command.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	p.becomesUnready(t)
	if len(finite)+len(others) > 0 {
		t.Error("a stream ended before readiness failed")
	}
	for range whole {
		if each := <-finite; each.err != nil || !each.got.complete || each.got.ok != 40 {
			t.Errorf("a stream that ended in time: %v; %d reports, complete %v", each.err, each.got.ok, each.got.complete)
		}
	}
	lines := 0
	for range endless {
		each := <-others
		if each.err != nil || !each.got.closed || each.got.complete || each.got.ok != len(each.got.lines) {
			t.Errorf("a stream without end: %v; %d answers, %d reports, closed %v, complete %v",
				each.err, len(each.got.lines), each.got.ok, each.got.closed, each.got.complete)
		}
		// All but what was on its way when the service stopped reading, which is more where the machine is busy.
		if len(each.got.lines) < each.sent/2 {
			t.Errorf("%d lines were sent and %d answered", each.sent, len(each.got.lines))
		}
		lines += len(each.got.lines)
	}
	p.ends(t)
	t.Logf("stopped after %v; %d streams whole, %d cut with a last line after %d answers", time.Since(begin).Round(time.Millisecond), whole, endless, lines)
}
