// Package facts holds everything the rules look at, worked out once for a request: the lines against the catalog, the tested
// recipe that is followed, the minutes it takes here, what a jar holds and how acid it is. It judges nothing.
package facts

import (
	"jarwright/validate/acidity"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/contents"
	"jarwright/validate/document"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/report"
	"jarwright/validate/words"
)

// Facts is everything a rule may look at. Rules read it and change nothing.
type Facts struct {
	Request     *document.Request
	Tables      *catalog.Tables
	Units       *measure.Units
	Composition composition.Composition
	Match       match.Match
	Elevation   *measure.Length // nil: not given
	Contents    contents.Contents
	Acidity     Acidity
	Times       Times
	Words       []LineWords // of the lines whose free words are not all harmless
	PHMeasured  bool        // one reading of pH at least is evidence
	Remarks     []Remark    // on the canning day; package canningday makes them
	Lookups     *Lookups    // nil: nobody asks which limits are looked up
}

// Remark is what the record of a canning day gives one rule to say.
type Remark struct {
	Rule string
	Finding
}

// Finding is what a rule says of one place of the request. Empty Remedy and Sources are filled in from the rule.
type Finding struct {
	Outcome  report.Outcome  // Fail or Undetermined
	Severity report.Severity // where it weighs less than the rule; empty: that of the rule
	At       string
	Message  string
	Remedy   string
	Measured *report.Amount
	Limit    *report.Amount
	Changes  []string
	Sources  []catalog.Citation
	Fix      []report.Operation
}

// Sources are what facts are made with; they are read-only and the same for every request.
type Sources struct {
	Tables    *catalog.Tables
	Units     *measure.Units
	Scale     *composition.Scale
	Matcher   *match.Matcher
	Chemistry *acidity.Model
	Words     *words.List
}

// New works out everything that the rules look at. With derivation it also finds which input of the computed pH decides.
func New(from Sources, request *document.Request, derivation bool) *Facts {
	f := &Facts{Request: request, Tables: from.Tables, Units: from.Units, Times: ReadTimes(request)}
	if si, ok := f.SI(f.ElevationWritten()); ok {
		f.Elevation = new(measure.Length(si))
	}
	f.Composition = composition.Read(request, from.Tables, from.Scale)
	f.Match = from.Matcher.Match(request, &f.Composition)
	f.readWords(from.Words, from.Scale)
	f.Contents = contents.Read(contents.Input{
		Request: request, Composition: &f.Composition, Match: &f.Match, Tables: from.Tables, Units: from.Units, Chemistry: from.Chemistry,
	})
	f.Acidity = f.solve(from.Chemistry, derivation)
	return f
}

// Matched reports whether the recipe is for the shelf and a tested recipe is near enough to compare with.
func (f *Facts) Matched() bool { return f.ForShelf() && f.Match.Recipe != nil }

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
	if q == nil {
		return 0, false
	}
	return f.Units.SI(q.Value, q.Unit)
}

// In turns an SI value into the unit of a quantity the cook wrote, so that limits are shown in the cook's own unit.
func (f *Facts) In(q *document.Quantity, si float64) *report.Amount {
	unit, ok := f.Units.Lookup(q.Unit)
	if !ok {
		return nil
	}
	return &report.Amount{Value: measure.Round(unit.From(si), 4), Unit: q.Unit}
}

// Limit is a published limit in SI units.
func (f *Facts) Limit(id string) (float64, catalog.Limit) {
	limit := f.LimitAsPrinted(id)
	if unit, ok := f.Units.Lookup(limit.Unit); ok {
		return unit.SI(limit.Value), limit
	}
	return limit.Value, limit
}
