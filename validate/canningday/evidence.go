package canningday

import (
	"slices"

	"jarwright/validate/match"
)

// met is the rules that a jar on the shelf has met.
func (d *day) met() []string {
	rules := []string{match.RulePublishedMatch, ruleHeld, ruleSealTime, ruleSeal}
	if d.need.depth > 0 {
		rules = []string{match.RulePublishedMatch, ruleHeld, ruleCover, ruleSealTime, ruleSeal}
	}
	return rules
}

// measured reports whether one reading of pH at least is evidence.
func (d *day) measured() bool {
	return slices.ContainsFunc(d.readings, func(r reading) bool { return r.valid })
}
