// Package rule says what a rule is: a name that lasts for ever, what it guards against, where it comes from, and the
// function that judges. The rules themselves stand beside the formulas they judge by; package validate lists them.
package rule

import (
	"math"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// Rule is one check. Run is called only where Applies holds, and returns a finding for each place that fails or cannot be
// judged; none means that the rule passes.
type Rule struct {
	ID       string
	Title    string
	About    string // what is checked and why, for people
	Severity report.Severity
	Hazard   report.Hazard
	Sources  []catalog.Citation
	Since    string // the rule set that first had it
	Remedy   string // what to do, when a finding says nothing more exact
	OfBatch  bool   // it looks at a canning day and decides over its jars, not over the recipe
	Applies  func(*Facts) bool
	Run      func(*Facts) []Finding
}

// Finding is what a rule says of one place of the request. Empty Remedy and Sources are filled in from the rule.
type Finding struct {
	Outcome  report.Outcome // Fail or Undetermined
	At       string
	Message  string
	Remedy   string
	Measured *report.Amount
	Limit    *report.Amount
	Changes  []string
	Sources  []catalog.Citation
	Fix      []report.Operation
}

// Facts is everything a rule may look at. Rules read it and change nothing.
type Facts struct {
	Request     *document.Request
	Tables      *catalog.Tables
	Units       *measure.Units
	Scale       *composition.Scale
	Composition composition.Composition
	Match       match.Match
	Elevation   *measure.Length // nil: not given
	Acidity     Acidity
	Remarks     []Remark // on the canning day; package batch makes them
}

// Remark is what the record of a canning day gives one rule to say.
type Remark struct {
	Rule string
	Finding
}

// Remarked turns the remarks on the canning day that one rule speaks for into its findings.
func Remarked(id string) func(*Facts) []Finding {
	return func(f *Facts) []Finding {
		var findings []Finding
		for _, remark := range f.Remarks {
			if remark.Rule == id {
				findings = append(findings, remark.Finding)
			}
		}
		return findings
	}
}

// Acidity is what the jar comes to by computation. It explains, and may take fitness for the shelf away; it grants nothing.
type Acidity struct {
	Reason        string // why it was not worked out; empty when it was
	Low, PH, High float64
	Decides       string // the input that opens the upper bound most
	Derived       []report.Derived
	Steps         []report.Step
}

// ForShelf reports whether the recipe is meant for the shelf; not said counts as the shelf.
func (f *Facts) ForShelf() bool { return f.Request.Recipe.Keep != document.KeepRefrigerator }

// Method is the process method, empty when not given.
func (f *Facts) Method() string {
	if f.Request.Recipe.Process == nil {
		return ""
	}
	return f.Request.Recipe.Process.Method
}

// Time is the process time; it reports false when none is given.
func (f *Facts) Time() (measure.Duration, bool) {
	if f.Request.Recipe.Process == nil {
		return 0, false
	}
	si, ok := f.SI(f.Request.Recipe.Process.Time)
	return measure.Duration(si), ok
}

// WaterOverLids is the depth of water over the jar tops, from the recipe or from what the caller vouches for.
func (f *Facts) WaterOverLids() (measure.Length, bool) {
	if p := f.Request.Recipe.Process; p != nil && p.WaterOverLids != nil {
		si, ok := f.SI(p.WaterOverLids)
		return measure.Length(si), ok
	}
	if a := f.Request.Assume; a != nil {
		si, ok := f.SI(a.WaterOverLids)
		return measure.Length(si), ok
	}
	return 0, false
}

// ElevationWritten is the elevation as it is written: that of the batch, else that of the kitchen; nil when neither is.
func (f *Facts) ElevationWritten() *document.Quantity {
	if b := f.Request.Batch; b != nil && b.Elevation != nil {
		return b.Elevation
	}
	if f.Request.Kitchen == nil {
		return nil
	}
	return f.Request.Kitchen.Elevation
}

// SI is a quantity in its SI unit; it reports false when the quantity or its value is absent.
func (f *Facts) SI(q *document.Quantity) (float64, bool) {
	if q == nil || q.Value == nil {
		return 0, false
	}
	unit, ok := f.Units.Lookup(q.Unit)
	if !ok {
		return 0, false
	}
	return unit.SI(*q.Value), true
}

// In turns an SI value into the unit of a quantity the cook wrote, so that limits are shown in the cook's own unit.
func (f *Facts) In(q *document.Quantity, si float64) *report.Amount {
	unit, ok := f.Units.Lookup(q.Unit)
	if !ok {
		return nil
	}
	return &report.Amount{Value: round(unit.From(si)), Unit: q.Unit}
}

// Limit is a published limit in SI units.
func (f *Facts) Limit(id string) (float64, catalog.Limit) {
	limit := f.Tables.MustLimit(id)
	if unit, ok := f.Units.Lookup(limit.Unit); ok {
		return unit.SI(limit.Value), limit
	}
	return limit.Value, limit
}

// round keeps four decimals: enough to give back what was written, few enough to hide float noise.
func round(value float64) float64 { return math.Round(value*1e4) / 1e4 }

// Departed turns the departures that one rule speaks for into its findings.
func Departed(f *Facts, id string) []Finding {
	var findings []Finding
	for _, d := range f.Match.Departs(id) {
		outcome := report.Fail
		if d.Verdict == match.Undetermined {
			outcome = report.Undetermined
		}
		finding := Finding{
			Outcome: outcome, At: d.At, Message: measure.Capital(d.What), Remedy: d.Remedy, Measured: d.Measured, Limit: d.Limit, Changes: d.Changes, Fix: d.Fix,
		}
		for _, change := range d.Changes {
			if c, ok := f.Tables.Change(change); ok {
				finding.Sources = AddSource(finding.Sources, c.Citation)
			}
		}
		finding.Sources = AddSource(finding.Sources, f.Match.Recipe.Citation)
		findings = append(findings, finding)
	}
	return findings
}

// AddSource adds a citation that is not there yet.
func AddSource(sources []catalog.Citation, c catalog.Citation) []catalog.Citation {
	for _, have := range sources {
		if have == c {
			return sources
		}
	}
	return append(sources, c)
}

// Always is the Applies of a rule that looks at every recipe.
func Always(*Facts) bool { return true }

// ForShelf is the Applies of a rule that looks at every recipe meant for the shelf.
func ForShelf(f *Facts) bool { return f.ForShelf() }

// Matched is the Applies of a rule that needs a tested recipe to compare with.
func Matched(f *Facts) bool { return f.ForShelf() && f.Match.Recipe != nil }
