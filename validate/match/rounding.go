package match

import "math"

func round(value float64, digits int) float64 {
	scale := math.Pow(10, float64(digits))
	return math.Round(value*scale) / scale
}

// roundUp and roundDown keep three figures, as many as a kitchen scale shows, to the safe side.
func roundUp(value float64) float64   { return roundTo(value, math.Ceil) }
func roundDown(value float64) float64 { return roundTo(value, math.Floor) }

func roundTo(value float64, towards func(float64) float64) float64 {
	if value <= 0 {
		return 0
	}
	// A hair of float error must not push 6.000000000001 up to 6.001.
	scale := math.Pow(10, 2-math.Floor(math.Log10(value)))
	scaled := value * scale
	if near := math.Round(scaled); math.Abs(scaled-near) < 1e-6*scaled {
		return near / scale
	}
	return towards(scaled) / scale
}
