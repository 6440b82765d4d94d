package handlers

import (
	"testing"

	"jarwright/validate/catalog"
)

func TestNewestFirstLeavesTheTableAlone(t *testing.T) {
	history := []catalog.Ruleset{{Number: "2026.1"}, {Number: "2026.2"}}
	turned := newestFirst(history)
	if turned[0].Number != "2026.2" || turned[1].Number != "2026.1" || history[0].Number != "2026.1" {
		t.Errorf("%v of %v", turned, history)
	}
}
