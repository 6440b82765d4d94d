package measure

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// JoinAnd lists words in a sentence: "a", "a and b", "a, b and c". No words give an empty text.
func JoinAnd(words []string) string { return join(words, " and ") }

// JoinOr lists alternatives in a sentence: "a", "a or b", "a, b or c". No words give an empty text.
func JoinOr(words []string) string { return join(words, " or ") }

func join(words []string, last string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + last + words[len(words)-1]
}

// Capital begins a sentence with a text: its first letter as a capital. An empty text stays empty.
func Capital(text string) string {
	if text == "" {
		return ""
	}
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}

// Thousands writes a value in full digits with a number of decimals and a comma between thousands: "1,000", "304.8". Decimals
// that are all zero are left out.
func Thousands(value float64, decimals int) string {
	if !Known(value) {
		return FormatNumber(value)
	}
	text := strconv.FormatFloat(value, 'f', decimals, 64)
	whole, fraction, _ := strings.Cut(text, ".")
	for i := len(whole) - 3; i > 0 && whole[i-1] != '-'; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if strings.Trim(fraction, "0") == "" {
		return whole
	}
	return whole + "." + fraction
}
