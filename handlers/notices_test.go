package handlers_test

import (
	"net/http"
	"strings"
	"testing"

	"jarwright/api/release"
)

// The page with parts of others leads to their licenses.
func TestDocsLeadToTheNotices(t *testing.T) {
	server := newContract(t).server
	if page := call(server, http.MethodGet, "/docs", "").Body.String(); !strings.Contains(page, `href="/assets/notices.txt"`) {
		t.Error("the page of the API does not lead to the notices")
	}
	answer := call(server, http.MethodGet, "/assets/notices.txt", "")
	if answer.Code != http.StatusOK || !strings.HasPrefix(answer.Header().Get("Content-Type"), "text/plain") {
		t.Fatalf("status %d, %s", answer.Code, answer.Header().Get("Content-Type"))
	}
	if answer.Body.String() != string(release.Notices()) {
		t.Error("the notices that are served are others than those of the program")
	}
}
