package amount

import (
	"strconv"
	"strings"
)

// Percent finds a percentage of at most 100 in a text in lower case: "5%", "5 - 6 %", "4.5 per cent"; of a range it takes the
// lower end.
func Percent(lower string) (float64, bool) {
	if !strings.Contains(lower, "%") && !strings.Contains(lower, "cent") {
		return 0, false
	}
	for at := 0; at < len(lower); at++ {
		if !isDigit(lower[at]) {
			continue
		}
		if text := percentAt(lower, at); text != "" {
			value, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", "."), 64)
			return value, err == nil && value <= 100
		}
		at = digitsEnd(lower, at)
	}
	return 0, false
}

// percentAt is the number that begins at a digit, where it is a percentage or the lower end of a range of them.
func percentAt(lower string, at int) string {
	whole := digitsEnd(lower, at)
	for _, low := range []int{decimalsEnd(lower, whole, ".,"), whole} {
		if high := rangeOfPercent(lower, low); isPercent(lower, low) || high > 0 && (isPercent(lower, decimalsEnd(lower, high, ".")) || isPercent(lower, high)) {
			return lower[at:low]
		}
	}
	return ""
}

// decimalsEnd is the place behind the decimals of a number, or behind the number where it has none.
func decimalsEnd(text string, at int, marks string) int {
	if at+1 < len(text) && strings.IndexByte(marks, text[at]) >= 0 && isDigit(text[at+1]) {
		return digitsEnd(text, at+1)
	}
	return at
}

// rangeOfPercent is the place behind the whole part of the upper end of a range, or 0 where there is no range.
func rangeOfPercent(text string, at int) int {
	at = passSpaces(text, at)
	for _, joint := range []string{"-", "to"} {
		if !strings.HasPrefix(text[at:], joint) {
			continue
		}
		if at = passSpaces(text, at+len(joint)); at < len(text) && isDigit(text[at]) {
			return digitsEnd(text, at)
		}
		break
	}
	return 0
}

// isPercent tells a percent sign, or the word for it.
func isPercent(text string, at int) bool {
	rest := text[passSpaces(text, at):]
	if strings.HasPrefix(rest, "%") {
		return true
	}
	for _, word := range []string{"percent", "per cent"} {
		if more, ok := strings.CutPrefix(rest, word); ok {
			return more == "" || more[0] != '_' && !isDigit(more[0]) && (more[0]|0x20 < 'a' || more[0]|0x20 > 'z')
		}
	}
	return false
}

func passSpaces(text string, at int) int {
	for at < len(text) && strings.IndexByte(" \t\n\f\r", text[at]) >= 0 {
		at++
	}
	return at
}
