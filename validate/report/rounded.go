package report

import "math"

// Rounded keeps four significant digits of a computed figure, more than any of them is good for.
func Rounded(value float64) float64 {
	if value == 0 || math.IsInf(value, 0) || math.IsNaN(value) {
		return value
	}
	scale := math.Pow10(3 - int(math.Floor(math.Log10(math.Abs(value)))))
	return math.Round(value*scale) / scale
}
