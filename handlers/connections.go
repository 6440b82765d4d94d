package handlers

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"os"
	"sync"
	"sync/atomic"
	"syscall"
	"time"
)

// connections is a listener whose connections share a pool. When all are taken, the next is not left to wait: one without a request
// is closed for it, or one whose client is behind the least rate.
type connections struct {
	net.Listener
	pool    *pool
	limits  *Limits
	proxies []*net.IPNet
	refused []byte // answer to a client that has its share
	reject  func(reason string)
	closed  chan struct{}
	once    sync.Once
}

func (s *Server) listening(listener net.Listener) *connections {
	shared := newPool(int64(s.limits.Connections), &s.limits, func() { s.metrics.giveWay(rejectedConnections) })
	shared.ownWay = 0 // a connection cannot wait for a place, because all others would wait behind it
	return &connections{
		Listener: listener, pool: shared,
		limits: &s.limits, proxies: s.proxies, refused: s.refusal(), reject: s.metrics.reject, closed: make(chan struct{}),
	}
}

// refusal is a whole answer for clients whose request is not read.
func (s *Server) refusal() []byte {
	body, err := encodeJSON(Problem{
		Type: s.problemType(kindOverloaded.Code), Title: kindOverloaded.Title, Status: kindOverloaded.Status, Code: kindOverloaded.Code,
		Detail: "The client has as many connections as one may have.", RequestID: newRequestID(),
	})
	if err != nil {
		return nil
	}
	return fmt.Appendf(nil, "HTTP/1.1 %d %s\r\nContent-Type: %s\r\nCache-Control: no-store\r\nRetry-After: %d\r\nConnection: close\r\n"+
		"Content-Length: %d\r\n\r\n%s", kindOverloaded.Status, http.StatusText(kindOverloaded.Status), mediaProblem, retryAfterSeconds, len(body), body)
}

// Accept waits for the next connection that has its place.
func (l *connections) Accept() (net.Conn, error) {
	for {
		raw, err := l.Listener.Accept()
		switch {
		case (errors.Is(err, syscall.EMFILE) || errors.Is(err, syscall.ENFILE)) && l.pool.spare():
			continue // the system lets the program have fewer connections than the setting says
		case err != nil:
			return nil, err
		}
		c := l.wrapped(raw)
		result := l.pool.take(c.holder, 1)
		for ; result == noRoom; result = l.pool.take(c.holder, 1) {
			select {
			case <-l.closed:
				_ = raw.Close()
				return nil, net.ErrClosed
			case <-time.After(askAgain):
			}
		}
		if result == ownShare {
			l.reject(rejectedConnections)
			_, _ = raw.Write(l.refused) // a new connection has room for it
			_ = raw.Close()
			continue
		}
		l.pool.rest(c.holder)
		return c, nil
	}
}

// Close ends the listener and a wait for room.
func (l *connections) Close() error {
	l.once.Do(func() { close(l.closed) })
	return l.Listener.Close()
}

// state follows what the server does with a connection.
func (l *connections) state(each net.Conn, state http.ConnState) {
	c, ok := each.(*connection)
	if !ok {
		return
	}
	switch state {
	case http.StateActive: // the header of a request is there
		c.sending.restart()
		l.pool.work(c.holder)
	case http.StateIdle:
		if c.isLast() {
			_ = c.Close() // what is left of a body must not be taken for a request
			return
		}
		c.began.Store(0)
		c.sending.restart()
		c.taking.restart()
		c.receives(nil)
		l.pool.rest(c.holder)
	case http.StateNew, http.StateHijacked, http.StateClosed:
	}
}

// connection measures how fast its client takes what it is sent. How fast the client sends is measured where a body is read,
// because only there it is known whether anybody waits for it.
type connection struct {
	net.Conn
	pool            *pool
	holder          *holder
	began           atomic.Int64 // first byte of the request, in nanoseconds of Unix time; 0 before there is one
	sending, taking pace

	mutex   sync.Mutex
	writeBy time.Time // as the server set it
	body    *sentBody // of the request under way
	last    bool      // no request follows, because the end of the one under way was not found
}

// sendBuffer is how much the system keeps of what a client has not taken yet. It is enough for 1 MiB a second over 100 ms.
const sendBuffer = 128 << 10

func (l *connections) wrapped(raw net.Conn) *connection {
	c := &connection{Conn: raw, pool: l.pool, sending: pace{least: l.limits.LeastRate}, taking: pace{least: l.limits.LeastRate}}
	if tcp, ok := raw.(*net.TCPConn); ok {
		_ = tcp.SetWriteBuffer(sendBuffer) // else some MiB for each client that takes nothing
	}
	host, _, err := net.SplitHostPort(raw.RemoteAddr().String())
	if err != nil {
		host = ""
	}
	c.holder = &holder{client: clientOf(host), many: isProxy(l.proxies, host), behind: c.behind, end: c.giveWay}
	return c
}

// isProxy says whether an address is one of a trusted proxy.
func isProxy(proxies []*net.IPNet, host string) bool {
	address, err := netip.ParseAddr(host)
	if err != nil {
		return false
	}
	for _, network := range proxies {
		if network.Contains(net.IP(address.Unmap().AsSlice())) {
			return true
		}
	}
	return false
}

// connectionKey is where the connection stands in the context of its requests.
type connectionKey struct{}

func withConnection(ctx context.Context, each net.Conn) context.Context {
	return context.WithValue(ctx, connectionKey{}, each)
}

func connectionOf(ctx context.Context) *connection {
	c, _ := ctx.Value(connectionKey{}).(*connection)
	return c
}

// Read notes when a request begins. From then on the connection is not one that has nothing to do, but one whose header is waited for.
func (c *connection) Read(into []byte) (int, error) {
	n, err := c.Conn.Read(into)
	if n > 0 && c.began.Load() == 0 {
		now := time.Now()
		c.began.Store(now.UnixNano())
		c.sending.wait(now)
		c.pool.work(c.holder)
	}
	return n, err
}

// begin is when the first byte of the request under way came. One that came together with the one before begins now.
func (c *connection) begin() time.Time {
	if began := c.began.Load(); began != 0 {
		return time.Unix(0, began)
	}
	return time.Now()
}

// writeStep is how long a write goes on until what was taken by then is counted.
const writeStep = 250 * time.Millisecond

// Write writes in steps, because a write that waits does not tell how far it has come.
func (c *connection) Write(text []byte) (int, error) {
	written := 0
	for {
		begin := time.Now()
		c.step(begin.Add(writeStep))
		c.taking.wait(begin)
		n, err := c.Conn.Write(text[written:])
		c.taking.moved(time.Now(), n)
		written += n
		if err == nil || !errors.Is(err, os.ErrDeadlineExceeded) || c.timeIsUp() {
			return written, err
		}
	}
}

func (c *connection) step(until time.Time) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	if !c.writeBy.IsZero() && c.writeBy.Before(until) {
		until = c.writeBy
	}
	_ = c.Conn.SetWriteDeadline(until)
}

func (c *connection) timeIsUp() bool {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	return !c.writeBy.IsZero() && !time.Now().Before(c.writeBy)
}

// SetWriteDeadline holds for the write under way too.
func (c *connection) SetWriteDeadline(deadline time.Time) error {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	c.writeBy = deadline
	return c.Conn.SetWriteDeadline(deadline)
}

// SetDeadline sets both deadlines.
func (c *connection) SetDeadline(deadline time.Time) error {
	return errors.Join(c.SetReadDeadline(deadline), c.SetWriteDeadline(deadline))
}

// Close closes the connection and gives its place back. It may be called again. What its client does not take anyway is not kept for
// it by the system.
func (c *connection) Close() error {
	c.pool.release(c.holder)
	if tcp, ok := c.Conn.(*net.TCPConn); ok && c.taking.behind(time.Now()) > c.pool.giveWay {
		_ = tcp.SetLinger(0)
	}
	return c.Conn.Close()
}

// noMore says that no request may follow the one under way.
func (c *connection) noMore() {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	c.last = true
}

func (c *connection) isLast() bool {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	return c.last
}

// receives says which body the request under way has.
func (c *connection) receives(body *sentBody) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	c.body = body
}

func (c *connection) behind(now time.Time) time.Duration {
	return max(c.sending.behind(now), c.taking.behind(now))
}

// giveWay ends the body that comes too slowly, so that the client is told; otherwise the connection.
func (c *connection) giveWay() {
	now := time.Now()
	c.mutex.Lock()
	body := c.body
	c.mutex.Unlock()
	if body != nil && c.sending.behind(now) > c.taking.behind(now) {
		body.giveWay()
		return
	}
	_ = c.Close()
}
