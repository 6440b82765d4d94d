package acidity

import "math"

// root finds where f changes sign between a and b, where it has the values fa and fb, by Chandrupatla's method: inverse
// quadratic steps, and bisection where they would not pay. It cannot fail to converge on a continuous f, and evaluates it
// no more than a hundred times. Where f has one sign throughout it gives the end at which f is nearer to zero.
func root(a, fa, b, fb, tolerance float64, f func(float64) float64) float64 {
	if (fa > 0) == (fb > 0) {
		if math.Abs(fa) < math.Abs(fb) {
			return a
		}
		return b
	}
	const mostSteps = 100
	share := 0.5
	for range mostSteps {
		x := a + share*(b-a)
		fx := f(x)
		c, fc := a, fa
		if (fx > 0) != (fa > 0) {
			c, fc = b, fb
			b, fb = a, fa
		}
		a, fa = x, fx
		best := a
		if math.Abs(fb) < math.Abs(fa) {
			best = b
		}
		near := tolerance / math.Abs(b-a)
		if fx == 0 || near > 0.5 {
			return best
		}
		share = 0.5
		xi, phi := (a-b)/(c-b), (fa-fb)/(fc-fb)
		if phi*phi < xi && (1-phi)*(1-phi) < 1-xi {
			share = fa/(fb-fa)*fc/(fb-fc) + (c-a)/(b-a)*fa/(fc-fa)*fb/(fc-fb)
		}
		share = math.Min(1-near, math.Max(near, share))
	}
	return a
}
