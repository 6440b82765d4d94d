package report

import "math"

// Rounded keeps four significant digits of a computed figure, more than any of them is good for.
func Rounded(value float64) float64 { return significant(value, 4) }

// threeDigits is what people are shown of a figure.
func threeDigits(value float64) float64 { return significant(value, 3) }

func significant(value float64, digits int) float64 {
	if value == 0 || math.IsInf(value, 0) || math.IsNaN(value) {
		return value
	}
	scale := math.Pow10(digits - 1 - int(math.Floor(math.Log10(math.Abs(value)))))
	return math.Round(value*scale) / scale
}
