package handlers

import (
	"net"

	"github.com/labstack/echo/v4"
	"go.uber.org/zap"
)

// guard readies what stands between the internet and the handlers.
func (s *Server) guard(config Config) {
	s.basePath, s.origins, s.limits = config.BasePath, config.Origins, config.Limits
	if len(s.origins) == 0 {
		s.origins = []string{"*"}
	}
	if s.limits == (Limits{}) {
		s.limits = DefaultLimits()
	}
	if config.RateLimit.Requests > 0 {
		s.quotas = newQuotas(config.RateLimit)
	}
	if s.metrics = config.Metrics; s.metrics == nil {
		s.metrics = NewMetrics()
	}
	s.keys, s.logClients = config.Keys, config.LogClients
	s.watchdog = newWatchdog(s.limits, s.log, s.metrics.overdueDocuments)
	s.admission = newAdmission(&s.limits, s.metrics, s.watchdog)
	s.proxies = config.TrustedProxies
	reporter := newCountingReporter(config.Reporter, s.metrics, config.Catalog.Rules)
	s.reporter, s.drafter = reporter, countingDrafter{drafter: config.Drafter, reporter: reporter}
}

// clientExtractor finds the address of a client. Forwarded headers are anybody's to write: only those that a trusted proxy
// has added are read, from the last to the first.
func clientExtractor(trusted []*net.IPNet) echo.IPExtractor {
	if len(trusted) == 0 {
		return echo.ExtractIPDirect()
	}
	options := []echo.TrustOption{echo.TrustLoopback(false), echo.TrustLinkLocal(false), echo.TrustPrivateNet(false)}
	for _, network := range trusted {
		options = append(options, echo.TrustIPRange(network))
	}
	return echo.ExtractIPFromXFFHeader(options...)
}

// closing asks clients to close their connections while the service stops, each after its next answer. Connections that are
// idle at the end are cut, and a request that is on its way on one of them would be lost.
func (s *Server) closing(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if !s.ready.Load() {
			c.Response().Header().Set(echo.HeaderConnection, "close")
		}
		return next(c)
	}
}

// extraFields are the fields of a line of the log that not every request has.
func (s *Server) extraFields(c echo.Context) []zap.Field {
	fields := traceFields(c.Request().Header.Get("Traceparent"))
	if holder, ok := c.Get(keyHolder).(string); ok {
		fields = append(fields, zap.String("key", holder))
	}
	if s.logClients {
		fields = append(fields, zap.String("client", c.RealIP()))
	}
	return fields
}

// retryAfterSeconds is how long a client is asked to wait for a service that is stopping or has too much to do.
const retryAfterSeconds = 5
