package main

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"maps"
	"net"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
)

// header is the header of a request for a report.
func header(length int, more ...string) string {
	return "POST /v1/reports HTTP/1.1\r\nHost: a\r\nContent-Type: application/json\r\nContent-Length: " + strconv.Itoa(length) +
		"\r\n" + strings.Join(more, "") + "\r\n"
}

// bomb is a gzip body of a few kilobytes that unpacks to a hundred megabytes.
func bomb(t *testing.T) []byte {
	t.Helper()
	var packed bytes.Buffer
	writer := gzip.NewWriter(&packed)
	block := bytes.Repeat([]byte(" "), 1<<20)
	for range 100 {
		if _, err := writer.Write(block); err != nil {
			t.Fatal(err)
		}
	}
	if err := writer.Close(); err != nil {
		t.Fatal(err)
	}
	return packed.Bytes()
}

// errTurnedAway says that the service had no place for a client, which is to come again.
var errTurnedAway = errors.New("the service has more to do than it can")

// hostile are clients that mean no good, or have a bad line. Each does its worst once, on a connection of its own, and says what
// of the answer it has a right to is wrong.
func hostile(t *testing.T, good example) map[string]func(*net.TCPConn) error {
	packed := bomb(t)
	long := bytes.Repeat([]byte(" "), 1<<20)
	nested := bytes.Repeat([]byte(`[{"recipe":`), 10_000)
	// Blocks that hold nothing (RFC 1951, 3.2.4), more of them than the service is ready to read.
	hollow := append([]byte("\x1f\x8b\x08\x00\x00\x00\x00\x00\x00\xff"), bytes.Repeat([]byte("\x00\x00\x00\xff\xff"), 40_000)...)
	// answered reads one answer and wants one of these statuses.
	answered := func(connection io.Reader, statuses ...int) error {
		response, err := http.ReadResponse(bufio.NewReader(connection), nil)
		if err != nil {
			return fmt.Errorf("no answer: %w", err)
		}
		defer response.Body.Close()
		if _, err := io.Copy(io.Discard, response.Body); err != nil {
			return fmt.Errorf("cut answer: %w", err)
		}
		for _, status := range statuses {
			if response.StatusCode == status {
				return nil
			}
		}
		if response.StatusCode == http.StatusServiceUnavailable {
			return errTurnedAway
		}
		return fmt.Errorf("status %d, want one of %v", response.StatusCode, statuses)
	}
	// refused is answered by the server below the service, which does not read on: what is still on its way then resets the
	// connection, and may take the answer with it.
	refused := func(connection io.Reader, statuses ...int) error {
		if err := answered(connection, statuses...); err != nil && !errors.Is(err, syscall.ECONNRESET) {
			return err
		}
		return nil
	}
	// ended wants the service to end the connection by itself.
	ended := func(connection net.Conn) error {
		_, err := io.Copy(io.Discard, connection)
		var late net.Error
		if errors.As(err, &late) && late.Timeout() {
			return errors.New("the service keeps the connection")
		}
		return nil
	}
	send := func(connection net.Conn, parts ...[]byte) error {
		for _, part := range parts {
			if _, err := connection.Write(part); err != nil {
				return err
			}
		}
		return nil
	}
	attacks := map[string]func(*net.TCPConn) error{
		"nothing at all": func(c *net.TCPConn) error { return ended(c) },
		"slow header": func(c *net.TCPConn) error {
			for _, b := range []byte("POST /v1/reports HTTP/1.1\r\nHost: a\r\nX-Slow: ") {
				if cut := send(c, []byte{b}); cut != nil {
					return nil // cut off: as it should be
				}
				time.Sleep(50 * time.Millisecond)
			}
			return ended(c)
		},
		"slow body": func(c *net.TCPConn) error {
			if err := send(c, []byte(header(len(good.body)))); err != nil {
				return err
			}
			for _, b := range good.body {
				if cut := send(c, []byte{b}); cut != nil {
					return nil
				}
				time.Sleep(50 * time.Millisecond)
			}
			return ended(c)
		},
		"body that stops": func(c *net.TCPConn) error {
			if err := send(c, []byte(header(len(good.body))), good.body[:len(good.body)/2]); err != nil {
				return err
			}
			return answered(c, 400)
		},
		"half closed in the body": func(c *net.TCPConn) error {
			if err := send(c, []byte(header(len(good.body))), good.body[:10]); err != nil {
				return err
			}
			if err := c.CloseWrite(); err != nil {
				return err
			}
			return answered(c, 400)
		},
		"half closed after the request": func(c *net.TCPConn) error {
			if err := send(c, []byte(header(len(good.body))), good.body); err != nil {
				return err
			}
			if err := c.CloseWrite(); err != nil {
				return err
			}
			return answered(c, 200)
		},
		"reset in the body": func(c *net.TCPConn) error {
			if err := send(c, []byte(header(len(good.body))), good.body[:10]); err != nil {
				return err
			}
			return c.SetLinger(0)
		},
		"reset before the answer": func(c *net.TCPConn) error {
			if err := send(c, []byte(header(len(good.body))), good.body); err != nil {
				return err
			}
			return c.SetLinger(0)
		},
		"answer never read": func(c *net.TCPConn) error {
			if err := c.SetReadBuffer(1024); err != nil {
				return err
			}
			request := []byte("GET /openapi.json HTTP/1.1\r\nHost: a\r\n\r\n")
			for range 20 {
				_ = c.SetWriteDeadline(time.Now().Add(200 * time.Millisecond))
				if cut := send(c, request); cut != nil {
					return nil
				}
			}
			time.Sleep(300 * time.Millisecond)
			return nil
		},
		"too long a body": func(c *net.TCPConn) error {
			if err := send(c, []byte(header(len(long))), long); err != nil {
				return err
			}
			return answered(c, 413)
		},
		"too long a body, never sent": func(c *net.TCPConn) error {
			if err := send(c, []byte(header(1<<40, "Expect: 100-continue\r\n"))); err != nil {
				return err
			}
			return answered(c, 413)
		},
		"bomb": func(c *net.TCPConn) error {
			if err := send(c, []byte(header(len(packed), "Content-Encoding: gzip\r\n")), packed); err != nil {
				return err
			}
			return answered(c, 413, 503)
		},
		"header without end": func(c *net.TCPConn) error {
			line := []byte("X-Long: " + strings.Repeat("a", 1000) + "\r\n")
			if err := send(c, []byte("GET / HTTP/1.1\r\nHost: a\r\n")); err != nil {
				return err
			}
			for range 100 {
				if cut := send(c, line); cut != nil {
					return nil
				}
			}
			return refused(c, 431)
		},
		"not HTTP": func(c *net.TCPConn) error {
			if err := send(c, []byte("\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03 hello\r\n\r\n")); err != nil {
				return err
			}
			return refused(c, 400)
		},
		"two lengths": func(c *net.TCPConn) error {
			if err := send(c, []byte(header(5, "Content-Length: 6\r\n")), []byte("{}    ")); err != nil {
				return err
			}
			return refused(c, 400)
		},
		"length and chunks": func(c *net.TCPConn) error {
			// RFC 9112, 6.1: the chunks decide, and the connection is closed afterwards, or the request is refused.
			if err := send(c, []byte(header(2, "Transfer-Encoding: chunked\r\n")), []byte("2\r\n{}\r\n0\r\n\r\n")); err != nil {
				return err
			}
			return answered(c, 400, 422)
		},
		"methods that are none": func(c *net.TCPConn) error {
			for _, method := range []string{"BREW", "DELETE", "PROPFIND"} {
				if err := send(c, []byte(method+" /v1/reports HTTP/1.1\r\nHost: a\r\n\r\n")); err != nil {
					return err
				}
				if err := answered(c, 405); err != nil {
					return fmt.Errorf("%s: %w", method, err)
				}
			}
			return nil
		},
		"nested deeply": func(c *net.TCPConn) error {
			if err := send(c, []byte(header(len(nested))), nested); err != nil {
				return err
			}
			return answered(c, 400, 503)
		},
		"gzip without end": func(c *net.TCPConn) error {
			if err := send(c, []byte(header(len(hollow), "Content-Encoding: gzip\r\n")), hollow); err != nil {
				return err
			}
			return answered(c, 400, 503)
		},
		"pipelined": func(c *net.TCPConn) error {
			const count = 8
			one := append([]byte(header(len(good.body))), good.body...)
			if err := send(c, bytes.Repeat(one, count)); err != nil {
				return err
			}
			from := bufio.NewReader(c)
			for i := range count {
				response, err := http.ReadResponse(from, nil)
				if err != nil {
					return fmt.Errorf("answer %d: %w", i, err)
				}
				report, err := io.ReadAll(response.Body)
				if err != nil || response.StatusCode != http.StatusOK || !bytes.Equal(report, good.report) {
					if response.StatusCode == http.StatusServiceUnavailable {
						continue // turned away, which is an answer
					}
					return fmt.Errorf("answer %d: status %d, %w: %.100s", i, response.StatusCode, err, report)
				}
			}
			return nil
		},
	}
	maps.Copy(attacks, hostileStreams(t, good))
	return attacks
}

// impatient are timeouts short enough for a test.
func impatient() []string {
	return []string{"--read-header-timeout", "1s", "--read-timeout", "1500ms", "--write-timeout", "5s", "--idle-timeout", "2s"}
}

// Every kind of hostile client, several of each at the same time, while good ones go on being answered.
func TestHostileClients(t *testing.T) {
	all := examples(t)
	p := start(t, nil, impatient()...)
	before := p.gauge(t, "go_goroutines")
	var running sync.WaitGroup
	for name, attack := range hostile(t, all[0]) {
		for range 4 {
			running.Add(1)
			go func() {
				defer running.Done()
				connection, err := dial(p.address)
				if err != nil {
					t.Errorf("%s: %v", name, err)
					return
				}
				defer connection.Close()
				if err := attack(connection); err != nil {
					t.Errorf("%s: %v", name, err)
				}
			}()
		}
	}
	client := newClient(4)
	for i := range 200 {
		status, err := post(client, p.address, all[i%len(all)], fmt.Sprintf("good-%d", i))
		if err != nil || status != http.StatusOK {
			t.Errorf("a good request: status %d, %v", status, err)
		}
	}
	client.CloseIdleConnections()
	running.Wait()
	p.settles(t, "jarwright_requests_in_flight", 0)
	p.settles(t, "go_goroutines", before)
	p.stop(t)
	if text := p.log.String(); strings.Contains(text, "panic") || strings.Contains(text, "cucumber") {
		t.Errorf("the log tells of a panic or of a document:\n%.2000s", text)
	}
}

// A thousand clients at the same time are all answered, each with the right report, or told to come again.
func TestThousandClients(t *testing.T) {
	all := examples(t)
	// On a busy machine the clients themselves are late with their headers; patience is tried elsewhere.
	p := start(t, nil, "--queue-time", "10s", "--read-header-timeout", "30s", "--read-timeout", "1m", "--write-timeout", "2m")
	before := p.gauge(t, "go_goroutines")
	var running sync.WaitGroup
	var good, away atomic.Int64
	begin := make(chan struct{})
	for i := range 1000 {
		running.Add(1)
		go func() {
			defer running.Done()
			client := newClient(1)
			defer client.CloseIdleConnections()
			<-begin
			for n := range 3 {
				status, err := post(client, p.address, all[(i+n)%len(all)], fmt.Sprintf("many-%d-%d", i, n))
				switch {
				case err != nil:
					t.Errorf("client %d: %v", i, err)
				case status == http.StatusOK:
					good.Add(1)
				case status == http.StatusServiceUnavailable:
					away.Add(1)
				default:
					t.Errorf("client %d: status %d", i, status)
				}
			}
		}()
	}
	close(begin)
	running.Wait()
	if good.Load()+away.Load() != 3000 || good.Load() < 1500 {
		t.Errorf("%d good answers, %d turned away", good.Load(), away.Load())
	}
	p.settles(t, "go_goroutines", before)
	p.stop(t)
}
