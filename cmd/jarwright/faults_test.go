package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
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
