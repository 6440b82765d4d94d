package handlers

import (
	"github.com/prometheus/client_golang/prometheus"

	"jarwright/api/release"
)

// ShowBuild adds a gauge that is always 1 and says by its labels which build is running, so that a change of the figures can be laid
// beside a change of the program or of the rule set. It is called once.
func (m *Metrics) ShowBuild(build release.Build) {
	gauge := prometheus.NewGauge(prometheus.GaugeOpts{
		Name: "jarwright_build_info", Help: "Always 1; the labels say which build is running.",
		ConstLabels: prometheus.Labels{
			"version": build.Version, "revision": build.Commit(), "ruleset": build.Ruleset, "go": build.Go,
		},
	})
	gauge.Set(1)
	m.registry.MustRegister(gauge)
}
