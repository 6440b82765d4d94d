// Package rules holds what is asked of a recipe and of a canning day: one value a rule, in one file a family, so that a rule
// is found by its id. Rules read facts and change nothing; their numbers come from the tables.
package rules

import (
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/facts"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// Rule is one check. Run is called only where Applies holds, and returns a finding for each place that fails or cannot be
// judged; none means that the rule passes.
type Rule struct {
	ID         string
	Title      string
	About      string // what is checked and why, for people
	Severity   report.Severity
	Hazard     report.Hazard
	Sources    []catalog.Citation
	Since      string   // the rule set that first had it
	Remedy     string   // what to do, when a finding says nothing more exact
	Figures    []string // names of the computed figures that help to see why, see report.Derived
	CanningDay bool     // it looks at a canning day and decides over its jars, not over the recipe
	Applies    func(*facts.Facts) bool
	Run        func(*facts.Facts) []facts.Finding
}

// remarked turns the remarks on the canning day that one rule speaks for into its findings.
func remarked(id string) func(*facts.Facts) []facts.Finding {
	return func(f *facts.Facts) []facts.Finding {
		var findings []facts.Finding
		for _, remark := range f.Remarks {
			if remark.Rule == id {
				findings = append(findings, remark.Finding)
			}
		}
		return findings
	}
}

// perLine judges some lines of a recipe, each by itself; nil is nothing to say.
func perLine(
	lines func(*facts.Facts) []*composition.Line, find func(*facts.Facts, *composition.Line) *facts.Finding,
) func(*facts.Facts) []facts.Finding {
	return func(f *facts.Facts) []facts.Finding {
		var findings []facts.Finding
		for _, line := range lines(f) {
			if finding := find(f, line); finding != nil {
				findings = append(findings, *finding)
			}
		}
		return findings
	}
}

// departed turns the departures that one rule speaks for into its findings.
func departed(f *facts.Facts, id string) []facts.Finding {
	if f.Lookups != nil {
		for _, tolerance := range match.TolerancesOf(id) {
			f.Tolerance(tolerance)
		}
	}
	var findings []facts.Finding
	for _, d := range f.Match.Departs(id) {
		outcome := report.Fail
		if d.Verdict == match.Undetermined {
			outcome = report.Undetermined
		}
		finding := facts.Finding{
			Outcome: outcome, At: d.At, Changes: d.Changes, Message: measure.Capital(d.What), Remedy: d.Remedy,
			Measured: d.Measured, Limit: d.Limit, Fix: d.Fix,
		}
		if d.Verdict == match.Untested && id == match.RuleFoodPerJar {
			finding.Severity = report.Warning // withheld by the match, and nobody has said that it is unsafe
		}
		for _, change := range d.Changes {
			if c, ok := f.Tables.Change(change); ok {
				finding.Sources = catalog.AddCitation(finding.Sources, c.Citation)
			}
		}
		finding.Sources = catalog.AddCitation(finding.Sources, f.Match.Recipe.Citation)
		findings = append(findings, finding)
	}
	return findings
}

// forShelf is the Applies of a rule that looks at every recipe meant for the shelf.
func forShelf(f *facts.Facts) bool { return f.ForShelf() }

// matched is the Applies of a rule that needs a tested recipe to compare with.
func matched(f *facts.Facts) bool { return f.Matched() }

// Rule set since which the rules of the first catalog exist.
const since = "2026.1"

// Rule set since which the jar that results is judged.
const sinceJar = "2026.2"
