// Package explanation holds the answer to "why did this rule judge so": what the rule says, what in the document its answer
// hangs on, which published limits it looked up, the tested recipe beside the cook's, and the computed figures that help to
// see why. It gathers and renders; it judges nothing.
package explanation

import (
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/facts"
	"jarwright/validate/report"
	"jarwright/validate/rules"
)

// Explanation says why one rule judged one document as it did. The same document and rule set give the same bytes.
type Explanation struct {
	Rule         Rule               `json:"rule"`
	Disposition  report.Disposition `json:"disposition"` // of the whole document
	Applies      bool               `json:"applies"`
	Outcome      report.Outcome     `json:"outcome"`
	Findings     []Finding          `json:"findings"` // none: the rule passes, or does not apply
	LookedAt     LookedAt           `json:"looked_at"`
	ComparedWith []Limit            `json:"compared_with"`
	Tested       *Tested            `json:"tested_recipe,omitempty"` // absent: none is near
	Figures      []report.Derived   `json:"figures"`
	NotWorkedOut []Missing          `json:"not_worked_out,omitempty"`
	Sources      []report.Cited     `json:"sources"` // every document cited above, by first mention
	Ruleset      string             `json:"ruleset"`
}

// Rule is the rule that is explained.
type Rule struct {
	ID       string          `json:"id"`
	Title    string          `json:"title"`
	About    string          `json:"about"`
	Severity report.Severity `json:"severity"`
	Hazard   report.Hazard   `json:"hazard"`
	Since    string          `json:"since"`
	Remedy   string          `json:"remedy"`
	Sources  []Source        `json:"sources"`
}

// Source is a place in a document of the bibliography, with the title of that document.
type Source struct {
	ID       string           `json:"id"`
	Title    string           `json:"title,omitempty"`
	Locator  string           `json:"locator,omitempty"`
	Verified catalog.Verified `json:"verified"`
}

// Finding is what the rule says of one place of the document.
type Finding struct {
	Outcome  report.Outcome     `json:"outcome"`
	At       string             `json:"at"` // JSON Pointer (RFC 6901) into the document
	Message  string             `json:"message"`
	Measured *report.Amount     `json:"measured,omitempty"`
	Limit    *report.Amount     `json:"limit,omitempty"`
	Remedy   string             `json:"remedy"`
	Changes  []Change           `json:"changes,omitempty"`
	Sources  []Source           `json:"sources"`
	Fix      []report.Operation `json:"fix,omitempty"`
}

// Change is a published statement that a change to a tested recipe is safe or is not.
type Change struct {
	ID     string `json:"id"`
	Text   string `json:"text"`
	Safe   bool   `json:"safe"`
	Source Source `json:"source"`
}

// LookedAt is what in the document the answer hangs on. It is found by leaving out each member in turn and asking the rule
// again, so that it tells what the rule does and not what it is meant to do.
type LookedAt struct {
	Members  []Looked `json:"members"`   // those without which the rule answers otherwise, in the order of the document
	Tried    int      `json:"tried"`     // members that were left out, one at a time
	Needed   int      `json:"needed"`    // members without which the document is no request, so that none could be tried
	NotTried int      `json:"not_tried"` // members beyond MostMembers
}

// Looked is one member, or one entry of a list, without which the rule answers otherwise.
type Looked struct {
	At      string         `json:"at"`      // JSON Pointer (RFC 6901) into the document
	Written any            `json:"written"` // the JSON value that stands there
	Without report.Outcome `json:"without"` // what comes of the rule when it is left out
	Says    []string       `json:"says"`    // the messages of its findings then, at most MostSaid
}

// Limit is a published limit or allowance that the rule looked up.
type Limit struct {
	ID      string  `json:"id"`
	Value   float64 `json:"value"`
	Unit    string  `json:"unit"`
	Meaning string  `json:"meaning"`
	Source  Source  `json:"source"`
}

// Missing is a computed figure that the rule would be explained by and that the document says too little for.
type Missing struct {
	Name string `json:"name"`
	Why  string `json:"why,omitempty"`
}

// Input is what an explanation is made of.
type Input struct {
	Rule     *rules.Rule
	Facts    *facts.Facts
	Outcome  report.Outcome
	Report   *report.Report  // on the whole document; its findings of the rule and its figures are taken over
	Limits   []catalog.Limit // that the rule looked up
	LookedAt LookedAt
}

// New puts an explanation together.
func New(in Input) Explanation {
	of := citer{tables: in.Facts.Tables}
	e := Explanation{
		Rule: Rule{
			ID: in.Rule.ID, Title: in.Rule.Title, About: in.Rule.About, Severity: in.Rule.Severity, Hazard: in.Rule.Hazard,
			Since: in.Rule.Since, Remedy: in.Rule.Remedy, Sources: of.sources(in.Rule.Sources),
		},
		Disposition: in.Report.Disposition, Applies: in.Outcome != report.NotApplicable, Outcome: in.Outcome,
		Findings: []Finding{}, LookedAt: in.LookedAt, ComparedWith: []Limit{}, Figures: []report.Derived{}, Ruleset: in.Report.Meta.Ruleset,
	}
	for i := range in.Report.Findings {
		if in.Report.Findings[i].Rule == in.Rule.ID {
			e.Findings = append(e.Findings, of.finding(&in.Report.Findings[i]))
		}
	}
	for _, limit := range in.Limits {
		e.ComparedWith = append(e.ComparedWith, Limit{
			ID: limit.ID, Value: limit.Value, Unit: limit.Unit, Meaning: limit.Meaning, Source: of.source(limit.Citation),
		})
	}
	e.Tested = of.tested(in.Facts, in.Rule.ID)
	e.figures(in.Rule.Figures, in.Report.Derived, in.Facts.Acidity.Reason)
	for i := range e.Figures {
		of.cited = report.AddCited(of.cited, of.tables, e.Figures[i].Sources...)
	}
	e.Sources = of.cited
	return e
}

// figures takes over the named figures and says which of them the report does not have. The acid of a jar is not worked out for a
// reason that is known.
func (e *Explanation) figures(names []string, derived []report.Derived, noAcid string) {
	for _, name := range names {
		found := false
		for i := range derived {
			if derived[i].Name == name {
				e.Figures, found = append(e.Figures, derived[i]), true
			}
		}
		if found {
			continue
		}
		missing := Missing{Name: name}
		if name == facts.NameEquilibriumPH || strings.HasPrefix(name, "acid_") {
			missing.Why = noAcid
		}
		e.NotWorkedOut = append(e.NotWorkedOut, missing)
	}
}

// citer looks up what is cited and keeps the list of the documents.
type citer struct {
	tables *catalog.Tables
	cited  []report.Cited
}

func (c *citer) source(citation catalog.Citation) Source {
	c.cited = report.AddCited(c.cited, c.tables, citation)
	s := Source{ID: citation.Source, Locator: citation.Locator, Verified: citation.Verified}
	if document, ok := c.tables.Source(citation.Source); ok {
		s.Title = document.Title
	}
	return s
}

func (c *citer) sources(citations []catalog.Citation) []Source {
	list := make([]Source, len(citations))
	for i, citation := range citations {
		list[i] = c.source(citation)
	}
	return list
}

func (c *citer) finding(f *report.Finding) Finding {
	return Finding{
		Outcome: f.Outcome, At: f.At, Message: f.Message, Measured: f.Measured, Limit: f.Limit, Remedy: f.Remedy,
		Changes: c.changes(f.Changes), Sources: c.sources(f.Sources), Fix: slices.Clone(f.Fix),
	}
}

func (c *citer) changes(ids []string) []Change {
	var list []Change
	for _, id := range ids {
		if change, ok := c.tables.Change(id); ok {
			list = append(list, Change{ID: id, Text: change.Change, Safe: change.Safe, Source: c.source(change.Citation)})
		}
	}
	return list
}
