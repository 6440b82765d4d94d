// Package handlers answers the HTTP requests of Jarwright: it routes, negotiates, limits, and turns outcomes into statuses,
// headers and bodies. It judges no recipe and keeps no document: what a report says is settled below it, and nothing
// of a request outlives its answer but its size, its duration and its status in the log, and counts of outcomes.
package handlers

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"net"
	"net/http"
	"regexp"
	"runtime/debug"
	"strings"
	"sync/atomic"
	"time"

	"github.com/labstack/echo/v4"
	"go.uber.org/zap"

	"jarwright/validate"
	"jarwright/validate/altitude"
	"jarwright/validate/budget"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

// Reporter judges one request document as long as its budget lasts. The second result is non-nil when the bytes are not a request
// document, or cost too much.
type Reporter interface {
	Check(b *budget.Budget, body []byte, options report.Options) (report.Report, *ingest.Problem)
	// Illustrate does so for a page, which also shows the request and draws the figures of the report.
	Illustrate(b *budget.Budget, body []byte, options report.Options) (validate.Illustrated, *ingest.Problem)
}

// Config is what a server needs from outside.
type Config struct {
	Reporter Reporter
	Planner  Planner
	Drafter  Drafter
	Catalog  Catalog
	BaseURL  string      // where clients reach the service, without a trailing slash; problem types begin with it
	Version  string      // of the program, for the index
	Logger   *zap.Logger // one line a request

	// The rest may be left out.
	BasePath       string       // begins every path, such as /pickles: unreserved characters, no slash at the end
	Origins        []string     // whose pages may call the service; "*", or none given, is any
	Limits         Limits       // DefaultLimits where it is the zero value
	RateLimit      RateLimit    // none where it is the zero value
	TrustedProxies []*net.IPNet // whose X-Forwarded-For says who the client is; without any the peer is
	Keys           *Keys        // open the operations below /v1; nil opens them to all
	LogClients     bool         // whether the log has the addresses of clients
	Metrics        *Metrics     // counted into; nil where nobody reads them
}

// Server answers requests. It is safe for concurrent use: nothing of it changes after New but ready and what is counted.
type Server struct {
	echo        *echo.Echo
	reporter    Reporter
	planner     Planner
	drafter     Drafter
	baseURL     string
	log         *zap.Logger
	collections []*collection
	altitude    *altitude.Lookup
	index       *asset
	openapiJSON *asset
	openapiYAML *asset
	schemas     map[string]*asset
	problems    map[string]*asset
	pages       *pages
	formOptions formOptions
	home        *asset // the page at / before anything is sent
	ready       atomic.Bool
	draining    chan struct{} // closed when streams have to end

	basePath   string
	origins    []string
	limits     Limits
	admission  *admission
	watchdog   *watchdog
	quotas     *quotas // nil without a rate limit
	keys       *Keys   // nil where every client may do everything
	logClients bool
	metrics    *Metrics
	proxies    []*net.IPNet // whose forwarded headers are believed, and who stand for many clients

	operations  map[operationKey]operationCounters
	noOperation operationCounters
}

// New prepares every static answer and the router. The server is ready at once.
func New(config Config) (*Server, error) {
	s := &Server{
		planner: config.Planner, baseURL: strings.TrimSuffix(config.BaseURL, "/"), log: config.Logger,
		altitude: config.Catalog.Altitude, draining: make(chan struct{}),
	}
	s.guard(config)
	var err error
	if s.collections, err = newCollections(config.Catalog); err != nil {
		return nil, fmt.Errorf("prepare catalog: %w", err)
	}
	if err := s.prepareContract(); err != nil {
		return nil, fmt.Errorf("prepare contract: %w", err)
	}
	if s.problems, err = s.problemAssets(); err != nil {
		return nil, fmt.Errorf("prepare problems: %w", err)
	}
	if err := s.preparePages(config.Catalog); err != nil {
		return nil, fmt.Errorf("prepare pages: %w", err)
	}
	if s.index, err = newJSONAsset(s.indexBody(config.Version)); err != nil {
		return nil, fmt.Errorf("prepare index: %w", err)
	}
	s.prepareCounters()
	s.ready.Store(true)

	e := echo.New()
	e.IPExtractor = clientExtractor(config.TrustedProxies)
	e.HTTPErrorHandler = s.writeProblem
	// Before routing, so that each answer carries these headers, whatever it is. The router makes both chains anew for each
	// request, so that nothing is to be prepared in them.
	e.Pre(identify, s.counting, s.logged, securing, s.allowingOrigins, s.closing, recovered, s.stripping)
	e.Use(s.limitingRate, s.authorizing, s.admitting, unpacking)
	s.register(e)
	s.echo = e
	return s, nil
}

// ServeHTTP answers one request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.echo.ServeHTTP(w, r) }

// acceptors take connections from the listener. One alone has its turn after all that judge documents, and while hundreds of
// connections wait, somebody who asks for health waited behind them for two seconds.
const acceptors = 4

// Serve answers requests on a listener until the context ends. Then readiness fails first; after drain, which gives a
// load balancer time to see it, no connection is taken any more and the requests under way are answered.
func (s *Server) Serve(ctx context.Context, listener net.Listener, drain time.Duration) error {
	errorLog, err := zap.NewStdLogAt(s.log, zap.WarnLevel)
	if err != nil {
		return fmt.Errorf("prepare server log: %w", err)
	}
	protocols := new(http.Protocols)
	protocols.SetHTTP1(true) // the shares are those of connections with one request at a time
	shared := s.listening(listener)
	server := &http.Server{
		Handler:           s,
		ReadHeaderTimeout: s.limits.ReadHeaderTimeout,
		ReadTimeout:       s.limits.ReadTimeout,
		WriteTimeout:      s.limits.WriteTimeout,
		IdleTimeout:       s.limits.IdleTimeout,
		MaxHeaderBytes:    s.limits.HeaderBytes,
		ErrorLog:          errorLog,
		Protocols:         protocols,
		ConnState:         shared.state,
		ConnContext:       withConnection,
	}
	watching, stopWatching := context.WithCancel(context.WithoutCancel(ctx))
	defer stopWatching()
	go s.watchdog.watch(watching)
	failed := make(chan error, acceptors)
	for range acceptors {
		go func() { failed <- server.Serve(shared) }()
	}
	select {
	case err := <-failed:
		return fmt.Errorf("serve: %w", err)
	case <-ctx.Done():
	}
	s.ready.Store(false)
	time.Sleep(drain)
	s.shutDown(context.WithoutCancel(ctx), server, shared.pool)
	for range acceptors {
		if err := <-failed; !errors.Is(err, http.ErrServerClosed) {
			return fmt.Errorf("serve: %w", err)
		}
	}
	return nil
}

// shutDown lets the requests under way end. After three quarters of the time, streams and clients that are behind the least rate are
// ended; what is left when all of it is over is cut.
func (s *Server) shutDown(ctx context.Context, server *http.Server, open *pool) {
	stop, cancel := context.WithTimeout(ctx, s.limits.StopTimeout)
	defer cancel()
	// A stream may go on for as long as its client likes. What it has sent by then is answered, and the client told that there
	// was more.
	ending := time.AfterFunc(s.limits.StopTimeout*3/4, func() {
		close(s.draining)
		for stop.Err() == nil {
			time.Sleep(s.limits.StopTimeout / 16) // so that streams end by themselves first
			open.endLate()
		}
	})
	defer ending.Stop()
	if err := server.Shutdown(stop); err != nil {
		s.log.Warn("requests are cut, because they were not answered within the time for stopping", zap.Error(err))
		_ = server.Close()
	}
}

// requestIDForm keeps a client's id from breaking a log line or a header.
var requestIDForm = regexp.MustCompile(`^[A-Za-z0-9._-]{1,64}$`)

// identify gives each request an id: the client's where it is well formed, else a new one.
func identify(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		id := c.Request().Header.Get(echo.HeaderXRequestID)
		if !requestIDForm.MatchString(id) {
			id = newRequestID()
		}
		c.Response().Header().Set(echo.HeaderXRequestID, id)
		return next(c)
	}
}

func newRequestID() string {
	var random [16]byte
	_, _ = rand.Read(random[:]) // never fails: crypto/rand ends the program where it cannot read
	return hex.EncodeToString(random[:])
}

func requestID(c echo.Context) string { return c.Response().Header().Get(echo.HeaderXRequestID) }

// recovered turns a panic into an internal failure of this one request.
func recovered(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) (err error) {
		defer func() {
			cause := recover()
			if cause == nil {
				return
			}
			if known, ok := cause.(error); ok && errors.Is(known, http.ErrAbortHandler) {
				panic(cause)
			}
			err = &failure{kind: kindInternal, cause: fmt.Errorf("panic: %v\n%s", cause, debug.Stack())}
		}()
		return next(c)
	}
}

// logged writes one line a request. It holds nothing of the document and, of the path, only the pattern.
func (s *Server) logged(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		start := time.Now()
		err := next(c)
		if err != nil {
			c.Error(err) // so that the line has the status that the client gets
		}
		fields := []zap.Field{
			zap.String("method", c.Request().Method),
			zap.String("route", c.Path()),
			zap.Int("status", c.Response().Status),
			zap.Int64("bytes_in", max(0, c.Request().ContentLength)),
			zap.Int64("bytes_out", c.Response().Size),
			zap.Duration("duration", time.Since(start)),
			zap.String("request_id", requestID(c)),
		}
		fields = append(fields, s.extraFields(c)...)
		// Turning requests away is what a busy service is meant to do, and not to fill the log of errors with.
		if err != nil && c.Response().Status >= http.StatusInternalServerError && c.Response().Status != http.StatusServiceUnavailable {
			s.log.Error("request", append(fields, zap.Error(err))...)
			return nil
		}
		s.log.Info("request", fields...)
		return nil
	}
}
