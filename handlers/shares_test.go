package handlers_test

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"jarwright/handlers"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

// serving runs a server on a port of this machine until the test ends, with the default limits but for what is changed.
func serving(t *testing.T, reporter handlers.Reporter, change func(*handlers.Config)) (address string) {
	t.Helper()
	server, _ := guarded(t, reporter, func(c *handlers.Config) {
		c.Limits = handlers.DefaultLimits()
		c.Limits.StopTimeout = 2 * time.Second
		change(c)
	})
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	stopped := make(chan error, 1)
	go func() { stopped <- server.Serve(ctx, listener, 0) }()
	t.Cleanup(func() {
		stop()
		if err := <-stopped; err != nil {
			t.Errorf("stop: %v", err)
		}
	})
	return listener.Addr().String()
}

// connect opens a connection from one of the addresses of this machine.
func connect(t *testing.T, address, from string) *net.TCPConn {
	t.Helper()
	dialer := net.Dialer{Timeout: 5 * time.Second}
	if from != "" {
		dialer.LocalAddr = &net.TCPAddr{IP: net.ParseIP(from)}
	}
	connection, err := dialer.Dial("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { connection.Close() })
	return connection.(*net.TCPConn)
}

// posting sends the head of a request and the beginning of its body.
func posting(connection io.Writer, target, head, begin string) {
	fmt.Fprintf(connection, "POST %s HTTP/1.1\r\nHost: a\r\n%s\r\n\r\n%s", target, head, begin)
}

// sending sends a request from an address, on a connection of its own.
func sending(t *testing.T, address, from, target, body string, headers ...string) (status int, problem handlers.Problem) {
	t.Helper()
	connection := connect(t, address, from)
	defer connection.Close()
	connection.SetDeadline(time.Now().Add(10 * time.Second))
	r := httptest.NewRequest(http.MethodPost, target, strings.NewReader(body))
	if body == "" {
		r = httptest.NewRequest(http.MethodGet, target, nil)
	}
	r.Header.Set("Content-Type", "application/json")
	for _, header := range headers {
		name, value, _ := strings.Cut(header, ": ")
		r.Header.Set(name, value)
	}
	if err := r.Write(connection); err != nil {
		t.Fatal(err)
	}
	return answerOf(t, connection)
}

// answerOf reads one answer.
func answerOf(t *testing.T, connection io.Reader) (status int, problem handlers.Problem) {
	t.Helper()
	answer, err := http.ReadResponse(bufio.NewReader(connection), nil)
	if err != nil {
		t.Errorf("no answer: %v", err)
		return 0, problem
	}
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Errorf("cut answer: %v", err)
	}
	if answer.StatusCode >= http.StatusBadRequest {
		if err := json.Unmarshal(text, &problem); err != nil {
			t.Errorf("no problem: %v: %s", err, text)
		}
	}
	return answer.StatusCode, problem
}

// sameAndOther are where honest clients come from: the address of the attack, and another one.
func sameAndOther() []string { return []string{"127.0.0.1", "127.0.0.9"} }

// Connections without a request give way, however many there are; those with one do not.
func TestIdleConnectionsGiveWay(t *testing.T) {
	metrics := handlers.NewMetrics()
	address := serving(t, newReading(t), func(c *handlers.Config) { c.Limits.Connections, c.Metrics = 8, metrics })
	class := connect(t, address, "") // a stream whose client takes its time
	posting(class, "/v1/reports", ndjson+"\r\nTransfer-Encoding: chunked", "")
	if _, err := http.ReadResponse(bufio.NewReader(class), nil); err != nil {
		t.Fatal(err)
	}
	for _, attack := range []string{"127.0.0.1", "127.0.0.2", "127.0.0.3"} {
		for i := range 20 {
			idle := connect(t, address, attack)
			if i%2 == 0 {
				fmt.Fprint(idle, "GET /healthz HT") // a header that does not go on
			}
		}
	}
	for _, from := range sameAndOther() {
		t.Run(from, func(t *testing.T) {
			for range 20 {
				if status, _ := sending(t, address, from, "/healthz", ""); status != http.StatusOK {
					t.Errorf("status %d", status)
				}
			}
		})
	}
	fmt.Fprint(class, "0\r\n\r\n")
	class.SetReadDeadline(time.Now().Add(5 * time.Second))
	if text, err := io.ReadAll(io.LimitReader(class, 5)); err != nil || len(text) == 0 {
		t.Errorf("a stream under way is not ended as asked: %q, %v", text, err)
	}
	if text := scraped(t, metrics); strings.Contains(text, `jarwright_gave_way_total{of="connections"} 0`) {
		t.Error("the metrics do not tell of it")
	}
}

// Clients that send a body too slowly, or take no answer, give way to the next connection.
func TestSlowRequestsGiveWayToTheNextConnection(t *testing.T) {
	address := serving(t, newReading(t), func(c *handlers.Config) {
		c.Limits.Connections, c.Limits.GiveWay = 8, 100*time.Millisecond
	})
	var slow []*net.TCPConn
	for i := range 8 {
		each := connect(t, address, fmt.Sprintf("127.0.0.%d", 1+i/4))
		posting(each, "/v1/reports", "Content-Type: application/json\r\nContent-Length: 1000", "{")
		slow = append(slow, each)
	}
	time.Sleep(200 * time.Millisecond)
	for _, from := range sameAndOther() {
		t.Run(from, func(t *testing.T) {
			for range 3 {
				if status, _ := sending(t, address, from, "/v1/reports", request); status != http.StatusOK {
					t.Errorf("status %d", status)
				}
			}
		})
	}
	told := 0
	for _, each := range slow {
		each.SetReadDeadline(time.Now().Add(100 * time.Millisecond))
		answer, err := http.ReadResponse(bufio.NewReader(each), nil)
		if err == nil && answer.StatusCode == http.StatusRequestTimeout && answer.Close {
			told++
		}
	}
	if told == 0 {
		t.Error("nobody was told that it gave way")
	}
}

// A client that has its share of connections, all of them at work, is told so and keeps nobody else out.
func TestShareOfConnections(t *testing.T) {
	entered, leave := make(chan struct{}, 8), make(chan struct{})
	metrics := handlers.NewMetrics()
	reporter := checkFunc(func([]byte) (report.Report, *ingest.Problem) {
		entered <- struct{}{}
		<-leave
		return report.Report{Disposition: report.Hold}, nil
	})
	for name, trusted := range map[string][]*net.IPNet{"client": nil, "proxy": {{IP: net.IPv4(127, 0, 0, 1).To4(), Mask: net.CIDRMask(32, 32)}}} {
		t.Run(name, func(t *testing.T) {
			leave = make(chan struct{})
			address := serving(t, reporter, func(c *handlers.Config) {
				c.Limits.Connections, c.Limits.ClientShare, c.Limits.Concurrency, c.Metrics, c.TrustedProxies = 8, 50, 8, metrics, trusted
			})
			defer close(leave)
			for range 4 {
				posting(connect(t, address, ""), "/v1/reports", "Content-Type: application/json\r\nContent-Length: 2", "{}")
				<-entered
			}
			refused := connect(t, address, "")
			fmt.Fprint(refused, "GET /healthz HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n")
			status, problem := answerOf(t, refused)
			if trusted == nil && (status != http.StatusServiceUnavailable || problem.Code != "overloaded" || problem.Detail == "" || problem.RequestID == "") {
				t.Errorf("one more of the same client: status %d, %+v", status, problem)
			}
			if trusted != nil && status != http.StatusOK {
				t.Errorf("one more of a proxy: status %d", status)
			}
			if status, _ := sending(t, address, "127.0.0.9", "/healthz", ""); status != http.StatusOK {
				t.Errorf("another client: status %d", status)
			}
		})
	}
	if text := scraped(t, metrics); !strings.Contains(text, `jarwright_rejected_total{reason="connections"} 1`) {
		t.Error("the metrics do not tell of it")
	}
}

// Large bodies that stand still, or drip, give way to those that come.
func TestStalledLargeBodiesGiveWay(t *testing.T) {
	metrics := handlers.NewMetrics()
	address := serving(t, newReading(t), func(c *handlers.Config) {
		c.Limits.LargeBodies, c.Limits.GiveWay, c.Metrics = 4, 200*time.Millisecond, metrics
	})
	const begun = 200 << 10
	head := fmt.Sprintf("Content-Type: application/json\r\nContent-Length: %d", begun+1000)
	var stalled []*net.TCPConn
	for i := range 8 {
		each := connect(t, address, fmt.Sprintf("127.0.0.%d", 1+i%2))
		posting(each, "/v1/reports", head, strings.Repeat(" ", begun))
		stalled = append(stalled, each)
		if i%2 == 1 {
			go func() { // as long as the connection is open
				for drip := time.NewTicker(10 * time.Millisecond); ; <-drip.C {
					if _, err := each.Write([]byte(" ")); err != nil {
						return
					}
				}
			}()
		}
	}
	large := request + strings.Repeat(" ", 200<<10)
	for _, from := range sameAndOther() {
		t.Run(from, func(t *testing.T) {
			for range 4 {
				if status, problem := sending(t, address, from, "/v1/reports", large); status != http.StatusOK {
					t.Errorf("status %d, %+v", status, problem)
				}
			}
		})
	}
	told := 0
	for _, each := range stalled {
		each.SetReadDeadline(time.Now().Add(100 * time.Millisecond))
		answer, err := http.ReadResponse(bufio.NewReader(each), nil)
		if err != nil || answer.StatusCode != http.StatusRequestTimeout {
			continue
		}
		var problem handlers.Problem
		if err := json.NewDecoder(answer.Body).Decode(&problem); err != nil || problem.Code != "request_timeout" {
			t.Errorf("%v, %+v", err, problem)
		}
		told++
	}
	if told == 0 {
		t.Error("nobody was told that it gave way")
	}
	if text := scraped(t, metrics); strings.Contains(text, `jarwright_gave_way_total{of="large_bodies"} 0`) {
		t.Error("the metrics do not tell of it")
	}
}

// What is announced takes no memory before it comes.
func TestLargeBodiesTakeMemoryAsTheyCome(t *testing.T) {
	address := serving(t, newReading(t), func(c *handlers.Config) {
		c.Limits.LargeBodies, c.Limits.GiveWay, c.Limits.QueueTime = 4, time.Hour, 10*time.Millisecond
	})
	for range 8 {
		posting(connect(t, address, "127.0.0.2"), "/v1/drafts", "Content-Type: text/html\r\nContent-Length: 4000000", strings.Repeat(" ", 20<<10))
	}
	time.Sleep(100 * time.Millisecond)
	if status, _ := sending(t, address, "", "/v1/reports", request+strings.Repeat(" ", 200<<10)); status != http.StatusOK {
		t.Errorf("status %d", status)
	}
}

// A body that comes slowly is waited for while it comes at the least rate, and not much longer than that.
func TestPatienceWithBodies(t *testing.T) {
	address := serving(t, newReading(t), func(c *handlers.Config) {
		c.Limits.LeastRate, c.Limits.Patience = 100, 500*time.Millisecond
	})
	for _, test := range []struct {
		name  string
		bytes int
		every time.Duration
		want  int
	}{{"a slow line", 10, 20 * time.Millisecond, 200}, {"a line that hardly moves", 1, 50 * time.Millisecond, 408}} {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			connection := connect(t, address, "")
			posting(connection, "/v1/reports", fmt.Sprintf("Content-Type: application/json\r\nContent-Length: %d", len(request)), "")
			go func() {
				for rest := request; len(rest) > 0; time.Sleep(test.every) {
					piece := rest[:min(test.bytes, len(rest))]
					if rest = rest[len(piece):]; connection.SetWriteDeadline(time.Now().Add(time.Second)) != nil {
						return
					}
					if _, err := io.WriteString(connection, piece); err != nil {
						return
					}
				}
			}()
			if status, problem := answerOf(t, connection); status != test.want {
				t.Errorf("status %d, want %d: %+v", status, test.want, problem)
			}
		})
	}
}

// The checks of a supervisor are answered on the private address too, with the same answers.
func TestChecksOnThePrivateAddress(t *testing.T) {
	server, _ := newServer(t, newReading(t))
	for target, want := range map[string]int{"/healthz": 200, "/readyz": 200, "/metrics": 200, "/v1/foods": 404} {
		answer := call(server.Private(), "GET", target, "")
		if answer.Code != want {
			t.Errorf("GET %s: status %d, want %d", target, answer.Code, want)
		}
	}
}
