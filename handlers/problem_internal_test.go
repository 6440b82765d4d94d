package handlers

import (
	"net/http"
	"testing"

	"jarwright/validate/ingest"
)

func TestEachCodeOfIngestHasItsStatus(t *testing.T) {
	for code, status := range map[string]int{
		ingest.ProblemTooLarge:  http.StatusRequestEntityTooLarge,
		ingest.ProblemMalformed: http.StatusBadRequest,
		ingest.ProblemInvalid:   http.StatusUnprocessableEntity,
	} {
		t.Run(code, func(t *testing.T) {
			if kind := kindOf(code); kind.Code != code || kind.Status != status {
				t.Errorf("%s has the status %d of %s, want %d", code, kind.Status, kind.Code, status)
			}
		})
	}
}

func TestEachCodeIsOneKindOfProblem(t *testing.T) {
	seen := map[string]bool{}
	for _, kind := range problemKinds() {
		if seen[kind.Code] {
			t.Errorf("%s stands for two kinds", kind.Code)
		}
		seen[kind.Code] = true
		if kind.Status < http.StatusBadRequest || http.StatusText(kind.Status) == "" {
			t.Errorf("%s has the status %d", kind.Code, kind.Status)
		}
	}
}
