package facts

import (
	"slices"

	"jarwright/validate/catalog"
)

// Lookups records which published limits are looked up, for whoever asks why a rule judged as it did. A nil *Lookups records
// nothing and costs nothing.
type Lookups struct {
	limits []catalog.Limit
}

// Limits lists what was looked up, each limit once, in the order of the first look.
func (l *Lookups) Limits() []catalog.Limit {
	if l == nil {
		return nil
	}
	return slices.Clone(l.limits)
}

// note records one limit.
func (l *Lookups) note(limit catalog.Limit) {
	known := slices.ContainsFunc(l.limits, func(have catalog.Limit) bool { return have.ID == limit.ID })
	if !known {
		l.limits = append(l.limits, limit)
	}
}

// LimitAsPrinted is a published limit in its own unit. It panics when the table of limits lacks the id.
func (f *Facts) LimitAsPrinted(id string) catalog.Limit {
	limit := f.Tables.MustLimit(id)
	if f.Lookups != nil {
		f.Lookups.note(limit)
	}
	return limit
}

// Tolerance is by how much a measure may miss, in SI units, or as a fraction or factor.
func (f *Facts) Tolerance(id catalog.Tolerance) float64 {
	if f.Lookups != nil {
		allowance := f.Tables.Allowance(id)
		f.Lookups.note(catalog.Limit{
			ID: string(allowance.ID), Value: allowance.Value, Unit: allowance.Unit, Meaning: allowance.Forgives, Citation: allowance.Citation,
		})
	}
	return f.Tables.Tolerance(id)
}

// Compared records a limit that was compared with and does not stand in the table of limits, or that was looked up before the
// rule ran.
func (f *Facts) Compared(limit catalog.Limit) {
	if f.Lookups != nil {
		f.Lookups.note(limit)
	}
}
