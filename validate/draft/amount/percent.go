package amount

import (
	"regexp"
	"strconv"
	"strings"
)

var percentPattern = regexp.MustCompile(`(\d+(?:[.,]\d+)?)(?:\s*(?:-|to)\s*(\d+(?:[.]\d+)?))?\s*(?:%|per ?cent\b)`)

// Percent finds a percentage of at most 100 in a text in lower case; of a range it takes the lower end.
func Percent(lower string) (float64, bool) {
	if !strings.Contains(lower, "%") && !strings.Contains(lower, "cent") {
		return 0, false
	}
	m := percentPattern.FindStringSubmatch(lower)
	if m == nil {
		return 0, false
	}
	value, err := strconv.ParseFloat(strings.ReplaceAll(m[1], ",", "."), 64)
	return value, err == nil && value <= 100
}
