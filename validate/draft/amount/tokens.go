package amount

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

type tokenKind uint8

const (
	tokenEnd tokenKind = iota
	tokenNumber
	tokenWord
	tokenSign
)

// token is one number, word or sign of a line.
type token struct {
	kind       tokenKind
	text       string // as it stands, without the full stop of an abbreviation
	lower      string
	value      float64
	whole      bool // a number without a decimal mark
	start, end int  // bytes of the line
	spaced     bool // white space stands before it
}

// longestLine is how many bytes of a line are looked at: no ingredient line of a cook is longer, and the cost stays bounded.
const longestLine = 2000

// tokens parts a plain line. Words keep hyphens between letters ("thumb-sized"), but a hyphen after a number parts
// ("28-ounce"), and so does the change from digits to letters ("200g").
func tokens(line string, into []token) []token {
	at, spaced := 0, false
	for at < len(line) {
		r, size := utf8.DecodeRuneInString(line[at:])
		switch {
		case r == ' ':
			at++
			spaced = true
			continue
		case r >= '0' && r <= '9', r == '.' && at+1 < len(line) && isDigit(line[at+1]) && (at == 0 || !isDigit(line[at-1])):
			t := numberToken(line, at)
			t.spaced = spaced
			into, at = append(into, t), t.end
		case unicode.IsLetter(r):
			end := wordEnd(line, at)
			t := token{kind: tokenWord, text: line[at:end], start: at, end: end, spaced: spaced}
			t.lower = strings.ToLower(t.text)
			if end < len(line) && line[end] == '.' {
				t.end++ // of an abbreviation, or of the sentence
			}
			into, at = append(into, t), t.end
		default:
			into = append(into, token{kind: tokenSign, text: line[at : at+size], lower: line[at : at+size], start: at, end: at + size, spaced: spaced})
			at += size
		}
		spaced = false
	}
	return into
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// numberToken reads digits with a decimal mark: "2.5", "0,5", ".5"; "1,000" and "12,500" are thousands.
func numberToken(line string, at int) token {
	end := at
	for end < len(line) && isDigit(line[end]) {
		end++
	}
	text, whole := line[at:end], true
	if end+1 < len(line) && (line[end] == '.' || line[end] == ',') && isDigit(line[end+1]) {
		mark := line[end]
		more := end + 1
		for more < len(line) && isDigit(line[more]) {
			more++
		}
		decimals := line[end+1 : more]
		switch {
		case mark == ',' && len(decimals) == 3 && text != "0" && text != "":
			text, end = text+decimals, more
		case mark == '.' || len(decimals) <= 2 || text == "0":
			text, end, whole = text+"."+decimals, more, false
		}
	}
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		value = 0
	}
	return token{kind: tokenNumber, text: line[at:end], value: value, whole: whole, start: at, end: end}
}

func wordEnd(line string, at int) int {
	end := at
	for end < len(line) {
		r, size := utf8.DecodeRuneInString(line[end:])
		switch {
		case unicode.IsLetter(r) || unicode.IsMark(r):
		case (r == '-' || r == '\'') && end > at && end+1 < len(line) && letterAt(line, end+1):
		default:
			return end
		}
		end += size
	}
	return end
}

func letterAt(line string, at int) bool {
	if at >= len(line) {
		return false
	}
	r, _ := utf8.DecodeRuneInString(line[at:])
	return unicode.IsLetter(r)
}
