package report

import "jarwright/validate/measure"

// Rounded keeps four significant digits of a computed figure, more than any of them is good for.
func Rounded(value float64) float64 { return measure.RoundFigures(value, 4) }

// threeDigits is what people are shown of a figure.
func threeDigits(value float64) float64 { return measure.RoundFigures(value, 3) }
