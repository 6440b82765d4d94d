package handlers

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"net/netip"
	"strconv"
	"sync"
	"time"

	"github.com/labstack/echo/v4"
	"golang.org/x/time/rate"
)

// RateLimit is how many requests one client may make. The zero value sets no limit.
type RateLimit struct {
	Requests int           // as many at once, and as many in each window after that
	Window   time.Duration // of at least a second
}

// maxClients is the number of clients whose requests are counted at a time, which bounds the memory that it takes to a few
// MiB. When more come within one window, those not seen for longest start anew.
const maxClients = 1 << 15

// quotas counts the requests of each client.
type quotas struct {
	limit   RateLimit
	policy  string // the header field
	mutex   sync.Mutex
	recent  map[netip.Prefix]*rate.Limiter // clients seen since started
	older   map[netip.Prefix]*rate.Limiter // clients seen in the window before, and not since
	started time.Time                      // of the window
}

func newQuotas(limit RateLimit) *quotas {
	return &quotas{
		limit:  limit,
		policy: fmt.Sprintf(`"default";q=%d;w=%d`, limit.Requests, wholeSeconds(limit.Window)),
		recent: map[netip.Prefix]*rate.Limiter{},
	}
}

// take takes one request from the quota of a client. It says whether there was one, how many are left, and after which time
// the quota is whole again; when there was none, after which time there is one.
func (q *quotas) take(client netip.Prefix, now time.Time) (allowed bool, left int, after time.Duration) {
	q.mutex.Lock()
	defer q.mutex.Unlock()
	if now.Sub(q.started) >= q.limit.Window || len(q.recent) >= maxClients {
		// A client that has not been seen for a whole window has its whole quota again: forgetting it changes nothing.
		q.older, q.recent, q.started = q.recent, make(map[netip.Prefix]*rate.Limiter), now
	}
	limiter, ok := q.recent[client]
	if !ok {
		if limiter, ok = q.older[client]; ok {
			delete(q.older, client)
		} else {
			limiter = rate.NewLimiter(rate.Every(q.limit.Window/time.Duration(q.limit.Requests)), q.limit.Requests)
		}
		q.recent[client] = limiter
	}
	allowed = limiter.AllowN(now, 1)
	tokens := limiter.TokensAt(now)
	missing := float64(q.limit.Requests) - tokens
	if !allowed {
		missing = 1 - tokens
	}
	after = time.Duration(missing / float64(limiter.Limit()) * float64(time.Second))
	return allowed, max(0, int(tokens)), after
}

// charge takes what a document cost beyond one request. The client pays it off before its next request is let through.
func (q *quotas) charge(client netip.Prefix, documents int, now time.Time) {
	q.mutex.Lock()
	defer q.mutex.Unlock()
	if limiter, ok := q.recent[client]; ok {
		limiter.ReserveN(now, min(documents, q.limit.Requests))
	}
}

// charge takes what the document of a request cost beyond one request from the quota of its client.
func (s *Server) charge(c echo.Context, documents int) {
	if s.quotas != nil && documents > 0 {
		s.quotas.charge(clientOf(c.RealIP()), documents, time.Now())
	}
}

// payer is the client of a stream, which pays for each line as for a request.
type payer struct {
	server *Server
	client netip.Prefix
}

// longestWait is how long a line of a stream waits for the quota of its client.
const longestWait = 15 * time.Second

// wait takes one request for a line from the quota. Where there is none left it waits, so that a stream is answered as fast as the
// client may ask, and gives up with a failure only where that takes very long.
func (p payer) wait(ctx context.Context) *failure {
	if p.server.quotas == nil {
		return nil
	}
	waiting, cancel := context.WithTimeout(ctx, longestWait)
	defer cancel()
	for {
		allowed, _, after := p.server.quotas.take(p.client, time.Now())
		if allowed {
			return nil
		}
		if deadline, _ := waiting.Deadline(); time.Until(deadline) < after {
			return p.server.tooMany()
		}
		select {
		case <-time.After(after):
		case <-waiting.Done():
			return p.server.tooMany()
		}
	}
}

// charge takes what a line cost beyond one request.
func (p payer) charge(documents int) {
	if p.server.quotas != nil && documents > 0 {
		p.server.quotas.charge(p.client, documents, time.Now())
	}
}

// tooMany is the failure of a client that has used up its quota.
func (s *Server) tooMany() *failure {
	return &failure{kind: kindTooManyRequests, detail: fmt.Sprintf("A client may make %d requests in %d seconds; a costly document counts as several.",
		s.quotas.limit.Requests, wholeSeconds(s.quotas.limit.Window))}
}

// clientOf is whom a quota belongs to: an IPv4 address, or the first 64 bits of an IPv6 address, of which one subscriber has
// all the rest (RFC 6177). An address that cannot be read shares one quota with all such.
func clientOf(address string) netip.Prefix {
	parsed, err := netip.ParseAddr(address)
	if err != nil {
		return netip.Prefix{}
	}
	parsed = parsed.Unmap().WithZone("")
	bits := parsed.BitLen()
	if parsed.Is6() {
		bits = 64
	}
	prefix, err := parsed.Prefix(bits)
	if err != nil {
		return netip.Prefix{}
	}
	return prefix
}

// limitingRate refuses clients that have used up their quota, and tells every client what is left of it, with the header fields
// of draft-ietf-httpapi-ratelimit-headers. The two checks of a supervisor are not counted.
func (s *Server) limitingRate(next echo.HandlerFunc) echo.HandlerFunc {
	if s.quotas == nil {
		return next
	}
	return func(c echo.Context) error {
		if isCheck(c) {
			return next(c)
		}
		// time.Now has a reading of the monotonic clock, so that setting the other one changes nothing.
		allowed, left, after := s.quotas.take(clientOf(c.RealIP()), time.Now())
		header := c.Response().Header()
		header.Set("RateLimit-Policy", s.quotas.policy)
		header.Set("RateLimit", fmt.Sprintf(`"default";r=%d;t=%d`, left, wholeSeconds(after)))
		if !allowed {
			header.Set("Retry-After", strconv.Itoa(max(1, wholeSeconds(after))))
			return s.tooMany()
		}
		return next(c)
	}
}

// wholeSeconds rounds up, so that a client that waits as long does not come too early.
func wholeSeconds(d time.Duration) int { return int(math.Ceil(d.Seconds())) }

// isCheck tells the two checks of a supervisor from the requests of clients.
func isCheck(c echo.Context) bool {
	return c.Request().Method != http.MethodPost && (c.Path() == "/healthz" || c.Path() == "/readyz")
}
