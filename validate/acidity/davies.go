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
