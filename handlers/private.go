package handlers

import (
	"net/http"
	"net/http/pprof"

	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// Private is what only those who run the service may see: Metrics.Private, and the checks of supervisors, which are answered here
// however many clients there are on the public address.
func (s *Server) Private() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("/", s.metrics.Private())
	mux.Handle("GET /healthz", s)
	mux.Handle("GET /readyz", s)
	return mux
}

// Private is what only those who run the service may see: /metrics for Prometheus, and the profiles of /debug/pprof/. It
// belongs on an address that the internet does not reach.
func (m *Metrics) Private() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{MaxRequestsInFlight: 4}))
	mux.HandleFunc("GET /debug/pprof/", pprof.Index)
	mux.HandleFunc("GET /debug/pprof/cmdline", pprof.Cmdline)
	mux.HandleFunc("GET /debug/pprof/profile", pprof.Profile)
	mux.HandleFunc("GET /debug/pprof/symbol", pprof.Symbol)
	mux.HandleFunc("GET /debug/pprof/trace", pprof.Trace)
	return mux
}
