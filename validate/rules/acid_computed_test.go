package rules

import (
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/report"
)

// computed sets the pH of the jar between its bounds.
func computed(low, estimate, high float64) func(*facts.Facts) {
	return func(f *facts.Facts) { f.Acidity.Low, f.Acidity.PH, f.Acidity.High = low, estimate, high }
}

func inPH(value float64) *report.Amount { return &report.Amount{Value: value, Unit: "pH"} }

// notComputed are the cases in which there is no computed pH to judge.
func notComputed() []ruleCase {
	return []ruleCase{
		{name: "refrigerator", edit: refrigerated, facts: computed(4, 4.7, 5), want: report.NotApplicable},
		{
			name: "fermented", edit: func(r *document.Request) { r.Recipe.Kind = document.KindFermented },
			facts: computed(4, 4.7, 5), want: report.NotApplicable,
		},
		{
			name: "not worked out", want: report.NotApplicable,
			facts: func(f *facts.Facts) { computed(4, 4.7, 5)(f); f.Acidity.Reason = "the amount of onion is not given" },
		},
	}
}

func TestEquilibriumPH(t *testing.T) {
	jar := []string{"/recipe/ingredients"}
	// As sour as the printed jar, a tested recipe outweighs the computation; hard water does not.
	sour := computed(4.5, 4.61, 4.7)
	less := func(then func(*facts.Facts)) func(*facts.Facts) {
		return func(f *facts.Facts) { then(f); f.Match.Jar.AcidInJar = 0.97 * f.Match.Jar.AcidAsked }
	}
	try(t, EquilibriumPH(), dills, append(notComputed(), []ruleCase{
		{name: "as printed", want: report.Pass},
		{name: "as sour as printed", facts: sour, want: report.Pass},
		{
			name: "as sour, in hard water", facts: sour, want: report.Fail, at: jar,
			edit: func(r *document.Request) { r.Kitchen.WaterAlkalinityMgPerL = new(300.0) },
		},
		{name: "pH 4.60", facts: computed(4.5, 4.6, 4.7), want: report.Pass},
		{name: "pH 4.604, which is 4.60 as it is said", facts: computed(4.5, 4.604, 4.7), want: report.Pass},
		{name: "pH 4.61", facts: less(computed(4.5, 4.61, 4.7)), want: report.Fail, at: jar, measured: inPH(4.61), limit: inPH(4.6)},
		{
			name: "pH 4.64", facts: less(computed(4.449, 4.644, 4.756)), want: report.Fail, at: jar, measured: inPH(4.64), limit: inPH(4.6),
			says: "comes to pH 4.64 (between 4.45 and 4.76), above the limit of 4.6",
		},
		{
			name: "a twenty-fourth of the vinegar", edit: vinegar(func(l *document.Ingredient) { *l.Amount.Value = 0.25 }),
			want: report.Fail, at: jar,
		},
	}...))
}

func TestAcidInReserve(t *testing.T) {
	jar := []string{"/recipe/ingredients"}
	try(t, AcidInReserve(), dills, append(notComputed(), []ruleCase{
		{name: "at most 4.2", facts: computed(3.5, 3.8, 4.2), want: report.Pass},
		{
			name: "at most 4.21", facts: computed(3.5, 3.8, 4.21), want: report.Fail, at: jar, measured: inPH(4.21), limit: inPH(4.2),
			says: "about pH 3.8, at most 4.21: below the limit of 4.6, above the usual margin of 4.2",
		},
		{name: "at most 4.6", facts: computed(3.5, 3.8, 4.6), want: report.Fail, at: jar, measured: inPH(4.6), limit: inPH(4.2)},
		{
			name: "at most 4.61", want: report.Fail, at: jar, measured: inPH(4.61), limit: inPH(4.6),
			facts: func(f *facts.Facts) { computed(3.5, 4.6, 4.612)(f); f.Acidity.Decides = "the hardness of the water" },
			says:  "were every input at its worst at once it could be 4.61, over 4.6. What opens that bound most is the hardness of the water.",
		},
		{name: "over the limit, which another rule says", facts: computed(4.5, 4.61, 4.9), want: report.Pass},
	}...))
}
