package report

import (
	"slices"

	"jarwright/validate/measure"
)

// KeepKnown takes out of a report every figure that is no number: an infinite one, or none at all, comes of a division by
// nothing, and nobody can act on it. The findings and texts stay.
func (r *Report) KeepKnown() {
	for i := range r.Findings {
		f := &r.Findings[i]
		f.Measured, f.Limit = f.Measured.known(), f.Limit.known()
	}
	r.Derived = slices.DeleteFunc(r.Derived, func(d Derived) bool { return !measure.Known(d.Value) })
	for i := range r.Derived {
		d := &r.Derived[i]
		d.Low, d.High = known(d.Low), known(d.High)
		d.Inputs = slices.DeleteFunc(d.Inputs, func(in Input) bool { return !measure.Known(in.Value) })
	}
	for i := range r.Leeway {
		l := &r.Leeway[i]
		l.Now, l.Low, l.High = known(l.Now), known(l.Low), known(l.High)
	}
	unknown := func(value float64) bool { return !measure.Known(value) }
	r.Curves = slices.DeleteFunc(r.Curves, func(c Curve) bool {
		return slices.ContainsFunc(c.Xs, unknown) || slices.ContainsFunc(c.Ys, unknown)
	})
}

func (a *Amount) known() *Amount {
	if a == nil || !measure.Known(a.Value) {
		return nil
	}
	return a
}

func known(value *float64) *float64 {
	if value == nil || !measure.Known(*value) {
		return nil
	}
	return value
}
