package main

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
)

// The tests of this file start the program itself, as a supervisor would, and throw at it what the internet throws.

// binary is the program, built once for all tests of this file. go test removes the folder with the last of them.
var binary = sync.OnceValues(func() (string, error) {
	folder, err := os.MkdirTemp("", "jarwright-faults")
	if err != nil {
		return "", err
	}
	file := filepath.Join(folder, "jarwright")
	build := exec.Command("go", "build", "-o", file, ".")
	if text, err := build.CombinedOutput(); err != nil {
		return "", fmt.Errorf("build: %w\n%s", err, text)
	}
	return file, nil
})

func TestMain(m *testing.M) {
	code := m.Run()
	if file, err := binary(); err == nil {
		os.RemoveAll(filepath.Dir(file))
	}
	os.Exit(code)
}

// process is a running service.
type process struct {
	command *exec.Cmd
	address string
	private string
	exited  chan error
	log     *errorLog
}

// errorLog is what the service writes to standard error.
type errorLog struct {
	mutex sync.Mutex
	text  bytes.Buffer
}

func (l *errorLog) Write(p []byte) (int, error) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	return l.text.Write(p)
}

func (l *errorLog) String() string {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	return l.text.String()
}

// start starts the program on two free ports of this machine and waits until it is ready.
func start(t *testing.T, stderr io.Writer, flags ...string) *process {
	t.Helper()
	file, err := binary()
	if err != nil {
		t.Fatal(err)
	}
	return startProgram(t, file, stderr, flags...)
}

func startProgram(t *testing.T, file string, stderr io.Writer, flags ...string) *process {
	t.Helper()
	p := &process{address: freeAddress(t), private: freeAddress(t), exited: make(chan error, 1), log: &errorLog{}}
	if stderr == nil {
		stderr = p.log
	}
	p.command = exec.Command(file, append([]string{"serve", "--address", p.address, "--private-address", p.private}, flags...)...)
	p.command.Env = append(os.Environ(), "GOMEMLIMIT=150MiB") // as the manifests in examples set it
	p.command.Stderr = stderr
	if err := p.command.Start(); err != nil {
		t.Fatal(err)
	}
	go func() { p.exited <- p.command.Wait() }()
	t.Cleanup(func() { _ = p.command.Process.Kill() })
	for deadline := time.Now().Add(20 * time.Second); ; time.Sleep(5 * time.Millisecond) {
		response, err := once.Get("http://" + p.address + "/readyz")
		if err == nil {
			response.Body.Close()
			if response.StatusCode == http.StatusOK {
				return p
			}
		}
		if time.Now().After(deadline) {
			t.Fatalf("the service did not get ready: %v\n%s", err, p.log)
		}
	}
}

// stop terminates the program and fails when it does not end well.
func (p *process) stop(t *testing.T) {
	t.Helper()
	if err := p.command.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	p.ends(t)
}

func (p *process) ends(t *testing.T) {
	t.Helper()
	select {
	case err := <-p.exited:
		if err != nil {
			t.Errorf("the service ended with %v\n%s", err, p.log)
		}
	case <-time.After(30 * time.Second):
		t.Error("the service does not stop")
	}
}

// once leaves no connection behind, which would be counted with what the service holds.
var once = &http.Client{Transport: &http.Transport{DisableKeepAlives: true}}

// metrics are the numbers that the service tells on its private address, by name and labels.
func (p *process) metrics(t *testing.T) map[string]float64 {
	t.Helper()
	response, err := once.Get("http://" + p.private + "/metrics")
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	all := map[string]float64{}
	lines := bufio.NewScanner(response.Body)
	for lines.Scan() {
		space := strings.LastIndexByte(lines.Text(), ' ')
		if strings.HasPrefix(lines.Text(), "#") || space < 0 {
			continue
		}
		if all[lines.Text()[:space]], err = strconv.ParseFloat(lines.Text()[space+1:], 64); err != nil {
			t.Fatal(err)
		}
	}
	return all
}

// gauge reads a number without labels from the metrics.
func (p *process) gauge(t *testing.T, name string) float64 {
	t.Helper()
	value, ok := p.metrics(t)[name]
	if !ok {
		t.Fatalf("the metrics lack %s", name)
	}
	return value
}

// failures are the answers with a status that says that the service failed, other than that it was too busy.
func (p *process) failures(t *testing.T) []string {
	t.Helper()
	var found []string
	for name, value := range p.metrics(t) {
		if strings.HasPrefix(name, "jarwright_requests_total") && strings.Contains(name, `status="5`) && !strings.Contains(name, `status="503"`) && value > 0 {
			found = append(found, name)
		}
	}
	return found
}

// settles waits until a number has come down to a limit.
func (p *process) settles(t *testing.T, name string, limit float64) {
	const within = 10 * time.Second
	t.Helper()
	var value float64
	for deadline := time.Now().Add(within); time.Now().Before(deadline); time.Sleep(50 * time.Millisecond) {
		if value = p.gauge(t, name); value <= limit {
			return
		}
	}
	t.Errorf("%s is still %g, want at most %g", name, value, limit)
}

// examples are request documents with the reports that the command line gives, which has no network in it.
type example struct{ body, report []byte }

func examples(t *testing.T) []example {
	t.Helper()
	files, err := filepath.Glob("../../examples/*.json")
	if err != nil || len(files) == 0 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	var all []example
	for _, file := range files {
		body, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var report bytes.Buffer
		if execute(t.Context(), []string{"report", "--format", "json", file}, nil, &report, io.Discard) == exitUnreadable {
			t.Fatalf("%s is no request", file)
		}
		all = append(all, example{body: body, report: report.Bytes()})
	}
	return all
}

// newClient makes a client with connections of its own.
func newClient(connections int) *http.Client {
	return &http.Client{
		Timeout:   20 * time.Second,
		Transport: &http.Transport{MaxIdleConns: connections, MaxIdleConnsPerHost: connections, MaxConnsPerHost: connections},
	}
}

// post sends an example and compares the report with the one it has to be.
func post(client *http.Client, address string, sent example, id string) (status int, err error) {
	request, err := http.NewRequest(http.MethodPost, "http://"+address+"/v1/reports", bytes.NewReader(sent.body))
	if err != nil {
		return 0, err
	}
	request.Header.Set("Content-Type", "application/json")
	request.Header.Set("X-Request-Id", id)
	response, err := client.Do(request)
	if err != nil {
		return 0, err
	}
	defer response.Body.Close()
	report, err := io.ReadAll(response.Body)
	if err != nil {
		return response.StatusCode, fmt.Errorf("cut answer: %w", err)
	}
	if response.StatusCode == http.StatusOK && !bytes.Equal(report, sent.report) {
		return response.StatusCode, fmt.Errorf("another report than it has to be: %.200s", report)
	}
	return response.StatusCode, nil
}

// dial opens a connection that gives up after a while.
func dial(address string) (*net.TCPConn, error) {
	connection, err := net.DialTimeout("tcp", address, 10*time.Second)
	if err != nil {
		return nil, err
	}
	if err := connection.SetDeadline(time.Now().Add(20 * time.Second)); err != nil {
		connection.Close()
		return nil, err
	}
	return connection.(*net.TCPConn), nil
}

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

// A log that cannot be written is no reason to refuse recipes.
func TestFullDiskForTheLog(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Fatalf("this system has no full disk to try: %v", err)
	}
	defer full.Close()
	all := examples(t)
	p := start(t, full)
	client := newClient(2)
	for i, each := range all {
		if status, err := post(client, p.address, each, fmt.Sprintf("full-%d", i)); err != nil || status != http.StatusOK {
			t.Errorf("status %d, %v", status, err)
		}
	}
	p.stop(t)
}

// idsInLog are the ids of the requests for reports that the service says it has answered with success.
func idsInLog(t *testing.T, text string) map[string]bool {
	t.Helper()
	ids := map[string]bool{}
	for line := range strings.Lines(text) {
		var entry struct {
			Route  string `json:"route"`
			Status int    `json:"status"`
			ID     string `json:"request_id"`
		}
		if err := json.Unmarshal([]byte(line), &entry); err != nil {
			t.Fatalf("line of the log: %v: %s", err, line)
		}
		if entry.Route == "/v1/reports" && entry.Status == http.StatusOK {
			ids[entry.ID] = true
		}
	}
	return ids
}

// While the service is told to stop, clients behind a balancer, which looks at /readyz, notice nothing: all that they send is
// answered. Of clients who do not look, each request that reached the service is answered whole.
func TestTermUnderLoad(t *testing.T) {
	all := examples(t)
	for _, test := range []struct {
		name     string
		drain    string
		balanced bool
	}{{"behind a balancer", "1s", true}, {"rude", "0s", false}} {
		t.Run(test.name, func(t *testing.T) {
			p := start(t, nil, "--drain", test.drain, "--queue-time", "10s")
			ctx, cancel := context.WithCancel(t.Context())
			defer cancel()
			var running sync.WaitGroup
			var mutex sync.Mutex
			answered := map[string]bool{}
			var sent, lost atomic.Int64
			for i := range 16 {
				running.Add(1)
				go func() {
					defer running.Done()
					client := newClient(1)
					defer client.CloseIdleConnections()
					for n := 0; ctx.Err() == nil; n++ {
						id := fmt.Sprintf("term-%d-%d", i, n)
						sent.Add(1)
						status, err := post(client, p.address, all[n%len(all)], id)
						if err == nil && status == http.StatusOK {
							mutex.Lock()
							answered[id] = true
							mutex.Unlock()
							continue
						}
						lost.Add(1)
						if test.balanced {
							t.Errorf("request %s: status %d, %v", id, status, err)
						}
						if status != 0 || err != nil && strings.Contains(err.Error(), "cut answer") {
							t.Errorf("request %s was accepted and not answered whole: status %d, %v", id, status, err)
						}
						return
					}
				}()
			}
			time.Sleep(300 * time.Millisecond)
			if err := p.command.Process.Signal(syscall.SIGTERM); err != nil {
				t.Fatal(err)
			}
			if test.balanced {
				p.becomesUnready(t)
				time.Sleep(100 * time.Millisecond) // as long as a balancer takes to act on what it saw
				cancel()
			}
			running.Wait()
			p.ends(t)
			logged := idsInLog(t, p.log.String())
			if len(logged) < 50 {
				t.Errorf("only %d requests, too few to tell anything", len(logged))
			}
			for id := range logged {
				if !answered[id] {
					t.Errorf("request %s was judged and its client has no answer", id)
				}
			}
			t.Logf("%d sent, %d answered, %d never accepted", sent.Load(), len(answered), lost.Load())
		})
	}
}

// resident is the memory of a process in bytes.
func resident(t *testing.T, id int) int64 {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/statm", id))
	if err != nil {
		t.Fatalf("read memory of the service: %v", err)
	}
	fields := strings.Fields(string(text))
	pages, err := strconv.ParseInt(fields[1], 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	return pages * int64(os.Getpagesize())
}

// maxStart is how long the program may take from its start until it is ready. The design says 150 ms on two cores that have
// nothing else to do; other tests run beside this one.
const maxStart = 1500 * time.Millisecond

func TestStartIsQuick(t *testing.T) {
	if _, err := binary(); err != nil {
		t.Fatal(err)
	}
	best := time.Hour
	for range 5 {
		begin := time.Now()
		p := start(t, nil)
		best = min(best, time.Since(begin))
		p.stop(t)
	}
	t.Logf("ready after %v on %d processors", best, runtime.GOMAXPROCS(0))
	if best > maxStart {
		t.Errorf("ready after %v, want at most %v", best, maxStart)
	}
}

// becomesUnready waits until readiness fails, which it has to before the service goes.
func (p *process) becomesUnready(t *testing.T) {
	t.Helper()
	client := http.Client{Transport: &http.Transport{DisableKeepAlives: true}}
	for deadline := time.Now().Add(5 * time.Second); ; time.Sleep(10 * time.Millisecond) {
		response, err := client.Get("http://" + p.address + "/readyz")
		if err != nil {
			t.Fatalf("the service stopped before readiness failed: %v", err)
		}
		response.Body.Close()
		if response.StatusCode == http.StatusServiceUnavailable {
			return
		}
		if time.Now().After(deadline) {
			t.Fatal("the service stays ready")
		}
	}
}
