package report

import (
	"math"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/measure"
)

// Words for people, as the text of a report has them, for whoever renders reports elsewhere.

// Words says a disposition.
func (d Disposition) Words() string { return dispositionWords[d] }

// Words says what a failed rule may lead to.
func (h Hazard) Words() string { return hazardWords[h] }

// CitationWords names places in documents by the ids of those.
func CitationWords(sources []catalog.Citation) string { return citations(sources) }

// Place says where in the request a finding stands; empty for the whole of it.
func (f Finding) Place() string { return strings.TrimPrefix(place(f.At), ", at ") }

// Feet says the elevations of a band in feet, without the unit.
func (b AltitudeBand) Feet() string { return span(b.FromFt, b.ToFt, 0) }

// Meters says the elevations of a band in whole meters, without the unit.
func (b AltitudeBand) Meters() string {
	var to *float64
	if b.ToM != nil {
		rounded := math.Round(*b.ToM)
		to = &rounded
	}
	return span(math.Round(b.FromM), to, 1)
}

// Group is the findings under one heading.
type Group struct {
	Heading  string
	Findings []Finding
}

// Grouped puts the findings under their headings, the gravest first. Headings without a finding are left out.
func (r Report) Grouped() []Group {
	var groups []Group
	for _, h := range headings() {
		group := Group{Heading: h.words}
		for _, f := range r.Findings {
			if h.holds(f) {
				group.Findings = append(group.Findings, f)
			}
		}
		if len(group.Findings) > 0 {
			groups = append(groups, group)
		}
	}
	return groups
}

// OutcomeWords counts the outcomes of the rules.
func (r Report) OutcomeWords() string { return outcomes(r.Rules) }

// Words says an amount: "2 cups", "10 min".
func (a Amount) Words() string { return measure.FormatAmount(a.Value, a.Unit) }
