package acidity

import "math"

// univalentActivity gives the activity coefficient of an ion of charge one by the Davies equation (1962 form):
// log10 gamma = -A z^2 (sqrt(I)/(1+sqrt(I)) - b I). An ion of charge z has that coefficient to the power z^2, and a
// neutral species has 1. For acetic acid at 0.1 mol/kg it gives a pKa of 4.54 in concentrations against a measured 4.56
// (from memory). It is a fit up to about 0.1 mol/kg that others use to 0.5; from davies.ceiling on, where its last term
// would grow without bound, the coefficients are held.
func (m *Model) univalentActivity(ionicStrength float64) float64 {
	i := math.Min(ionicStrength, m.daviesCeiling)
	root := math.Sqrt(i)
	return math.Exp(-math.Ln10 * m.debyeHuckelA * (root/(1+root) - m.daviesB*i))
}

// limitingActivity is the Debye-Hueckel limiting law for an ion of charge one: log10 gamma = -A sqrt(I). It holds below
// about 0.01 mol/kg only.
func (m *Model) limitingActivity(ionicStrength float64) float64 {
	return math.Exp(-math.Ln10 * m.debyeHuckelA * math.Sqrt(ionicStrength))
}

// WithLimitingLaw gives a model whose ions of one acid obey the limiting law instead of the Davies equation. The minteq.v4
// database of PHREEQC 3 treats citrate so ("-gamma 0 0"), and only a model that does too can be compared with it; reports
// never use it, since Davies is nearer to measured constants and gives the higher, safer pH.
func (m *Model) WithLimitingLaw(acid Acid) *Model {
	other := *m
	other.limiting[acid] = true
	return &other
}
