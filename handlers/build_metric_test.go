package handlers_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"jarwright/api/release"
	"jarwright/handlers"
)

func TestMetricsSayWhichBuildIsRunning(t *testing.T) {
	metrics := handlers.NewMetrics()
	metrics.ShowBuild(release.Build{Version: "2.1.0", Revision: "abc", Modified: true, Ruleset: "2026.1", Go: "go1.26.8"})
	answer := httptest.NewRecorder()
	metrics.Private().ServeHTTP(answer, httptest.NewRequest(http.MethodGet, "/metrics", nil))
	const want = `jarwright_build_info{go="go1.26.8",revision="abc+modified",ruleset="2026.1",version="2.1.0"} 1` + "\n"
	if !strings.Contains(answer.Body.String(), want) {
		t.Errorf("no %s", want)
	}
}
