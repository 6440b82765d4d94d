package measure

import "math"

// Round rounds a value to a number of decimals, halves away from zero; a number of decimals below zero rounds to tens,
// hundreds and so on. Infinities, values that are not numbers, and those too large or too small for a float64 to be shifted by
// so many decimals stay as they are.
func Round(value float64, decimals int) float64 {
	scale := math.Pow10(decimals)
	rounded := math.Round(value*scale)/scale + 0 // no minus before a zero
	if math.IsNaN(rounded) || math.IsInf(rounded, 0) {
		return value
	}
	return rounded
}

// RoundFigures rounds a value to a number of significant figures, at least one. Zero, infinities and values that are not
// numbers stay as they are.
func RoundFigures(value float64, figures int) float64 {
	if value == 0 || math.IsInf(value, 0) || math.IsNaN(value) {
		return value
	}
	return Round(value, figures-1-int(math.Floor(math.Log10(math.Abs(value)))))
}
