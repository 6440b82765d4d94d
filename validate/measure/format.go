package measure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Known reports whether a value is a number: a division by nothing gives one that is infinite or none at all.
func Known(value float64) bool { return !math.IsInf(value, 0) && !math.IsNaN(value) }

// FormatNumber prints a value briefly for a reader: at most three decimals, or three significant digits below one,
// no exponent, no trailing zeros. Of what is no number it says that the amount is unknown, as the functions below do.
func FormatNumber(value float64) string {
	if !Known(value) {
		return "an unknown amount"
	}
	const digits = 3
	decimals := digits
	if size := math.Abs(value); size > 0 && size < 1 {
		decimals = digits - 1 - int(math.Floor(math.Log10(size)))
	}
	// Rounding first and printing the shortest decimal of the result drops the trailing zeros.
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(value, 'f', decimals, 64), 64)
	if err != nil || rounded == 0 {
		return "0"
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

// FormatInches prints a length as kitchens write it, "1/2 in", "1 1/4 in", when it is a multiple of 1/16 in (to one
// part in a million), otherwise as a decimal number of inches.
func FormatInches(length Length) string {
	const parts = 16
	inches := length.Inches()
	if !Known(inches) {
		return "an unknown length"
	}
	sixteenths := math.Round(inches * parts)
	if inches < 0 || math.Abs(inches*parts-sixteenths) > 1e-6*parts {
		return FormatNumber(inches) + " in"
	}
	whole, numerator, denominator := int(sixteenths)/parts, int(sixteenths)%parts, parts
	for numerator != 0 && numerator%2 == 0 {
		numerator, denominator = numerator/2, denominator/2
	}
	switch {
	case numerator == 0:
		return fmt.Sprintf("%d in", whole)
	case whole == 0:
		return fmt.Sprintf("%d/%d in", numerator, denominator)
	default:
		return fmt.Sprintf("%d %d/%d in", whole, numerator, denominator)
	}
}

// FormatSpan prints a range for a reader: "3 to 4", or one number where both ends are the same or high is zero, which means
// that none is printed.
func FormatSpan(low, high float64) string {
	if low == high || high == 0 {
		return FormatNumber(low)
	}
	return FormatNumber(low) + " to " + FormatNumber(high)
}

// plurals are the unit codes that are words and take a plural.
var plurals = map[string]string{
	"cup": "cups", "cup_metric": "metric cups", "pinch": "pinches", "dash": "dashes", "drop": "drops", "peck": "pecks", "bushel": "bushels", "clove": "cloves",
	"head": "heads", "stick": "sticks", "slice": "slices", "cube": "cubes", "ear": "ears", "bunch": "bunches", "stalk": "stalks", "spear": "spears",
	"sprig": "sprigs", "leaf": "leaves", "floret": "florets", "pod": "pods", "package": "packages",
	"part": "parts",
}

// FormatAmount prints a value with its unit code as a cook would say it: "2 cups", "1 cup", "8 lb", "6" for six pieces.
func FormatAmount(value float64, code string) string {
	number := FormatNumber(value)
	if !Known(value) {
		return number
	}
	switch plural, isWord := plurals[code]; {
	case code == CodeEach:
		return number
	case isWord && value > 1:
		return number + " " + plural
	}
	return number + " " + strings.ReplaceAll(code, "_", " ")
}

// MixedNumber reads a number as recipes write it in figures: "10", "2.5", "1,000", "1/2", "1 1/2", "1-1/2". What it cannot
// read is 0.
func MixedNumber(text string) float64 {
	total := 0.0
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '-' }) {
		top, bottom, isFraction := strings.Cut(part, "/")
		value, err := strconv.ParseFloat(strings.ReplaceAll(top, ",", ""), 64)
		if err != nil {
			return 0
		}
		if isFraction {
			below, err := strconv.ParseFloat(bottom, 64)
			if err != nil || below == 0 {
				return 0
			}
			value /= below
		}
		total += value
	}
	return total
}
