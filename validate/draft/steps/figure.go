package steps

import (
	"regexp"
	"strings"

	"jarwright/validate/measure"
)

// Figure is a number with its unit.
type Figure struct {
	Value float64
	Max   *float64 // the other end of a range; nil where there is none
	Unit  string   // a code of measure.Units, or "wk" and "mo"
}

// numberText matches an integer, a decimal, a fraction and a mixed number.
const numberText = `(\d+(?:[.,]\d+)?(?:[ -]\d+/\d+)?|\d+/\d+)`

// sizePattern matches a length or a range of lengths: number, other end, unit.
var sizePattern = regexp.MustCompile(numberText + `(?:\s*(?:-|to)\s*` + numberText + `)?[ -]*(inch(?:es)?|in\b|"|cm\b|mm\b|centim)`)

// figure makes a Figure of the texts of its ends, of which the second may be empty.
func figure(low, high, unit string) Figure {
	f := Figure{Value: measure.MixedNumber(low), Unit: unit}
	if high != "" {
		f.Max = new(measure.MixedNumber(high))
	}
	return f
}

// group is the text of a group of a match, or nothing where it did not take part.
func group(text string, match []int, n int) string {
	if match[2*n] < 0 {
		return ""
	}
	return text[match[2*n]:match[2*n+1]]
}

func lengthUnit(text string) string {
	switch {
	case strings.HasPrefix(text, "cm"), strings.HasPrefix(text, "centim"):
		return "cm"
	case text == "mm":
		return "mm"
	}
	return "in"
}
