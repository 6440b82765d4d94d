package report

import (
	"math"
	"testing"
)

// A figure that is no number is taken out, and all else stays.
func TestKeepKnown(t *testing.T) {
	for _, none := range []float64{math.Inf(1), math.Inf(-1), math.NaN()} {
		known, unknown := 1.5, none
		r := Report{
			Findings: []Finding{{Measured: &Amount{Value: none}, Limit: &Amount{Value: 2}}, {Limit: &Amount{Value: none}}},
			Derived: []Derived{
				{Name: "none", Value: none},
				{Name: "some", Value: 1, Low: &known, High: &unknown, Inputs: []Input{{Name: "a", Value: none}, {Name: "b", Value: 3}}},
				{Name: "other", Value: 1, Low: &unknown, High: &known},
			},
			Leeway: []Leeway{{Now: &unknown, Low: &known}, {Low: &unknown, High: &known}, {Now: &known, High: &unknown}},
			Curves: []Curve{
				{Name: "x", Xs: []float64{1, none}, Ys: []float64{1, 2}},
				{Name: "y", Xs: []float64{1}, Ys: []float64{none}},
				{Name: "z", Xs: []float64{1}, Ys: []float64{2}},
			},
		}
		r.KeepKnown()
		if first, second := r.Findings[0], r.Findings[1]; first.Measured != nil || first.Limit.Value != 2 || second.Limit != nil {
			t.Errorf("%v: findings %+v", none, r.Findings)
		}
		if len(r.Derived) != 2 || r.Derived[0].Name != "some" || *r.Derived[0].Low != known || r.Derived[0].High != nil ||
			len(r.Derived[0].Inputs) != 1 || r.Derived[0].Inputs[0].Name != "b" || r.Derived[1].Low != nil || *r.Derived[1].High != known {
			t.Errorf("%v: figures %+v", none, r.Derived)
		}
		if a, b, c := r.Leeway[0], r.Leeway[1], r.Leeway[2]; a.Now != nil || *a.Low != known || b.Low != nil || *b.High != known || *c.Now != known || c.High != nil {
			t.Errorf("%v: leeway %+v", none, r.Leeway)
		}
		if len(r.Curves) != 1 || r.Curves[0].Name != "z" {
			t.Errorf("%v: curves %+v", none, r.Curves)
		}
	}
}
