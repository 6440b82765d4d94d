package amount

import (
	"slices"
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
	whole      bool   // a number without a decimal mark
	spaced     bool   // white space stands before it
	roles      roles  // what a word or sign can be
	text       string // as it stands, without the full stop of an abbreviation
	lower      string
	value      float64
	start, end int32 // bytes of the line
	ahead      ahead
}

// ahead is where the next signs stand from a token on, so that nothing reads the line again to find them. -1: nowhere.
type ahead struct {
	round  int32 // the bracket that closes a round one opened before the token
	square int32 // the next square bracket that closes
	each   int32 // the next word that makes an amount that of each piece
	outer  int32 // of a round bracket that closes: the one that closes what stands around it
}

// lookAhead fills in what stands ahead of each token, from the end of the line to its beginning.
func lookAhead(tokens []token) {
	next := ahead{round: -1, square: -1, each: -1, outer: -1}
	for i := int32(len(tokens)) - 1; i >= 0; i-- { //nolint:gosec // at most mostTokens
		t := &tokens[i]
		switch t.lower {
		case ")":
			next.outer, next.round = next.round, i
		case "(":
			if next.round >= 0 {
				next.round = tokens[next.round].ahead.outer
			}
		case "]":
			next.square = i
		case "each", "per", "apiece":
			next.each = i
		}
		t.ahead = next
	}
}

// longestLine is how many bytes of a line are looked at: no ingredient line of a cook is longer, and the cost stays bounded.
const longestLine = 2000

// mostTokens is how many words, numbers and signs of it.
const mostTokens = 400

// What bounds the reading of a line, however it repeats itself: no cook writes more. What is beyond stays in the rest.
const (
	mostInARow = 12 // words of one kind, amounts that say the same or are added
	mostTried  = 32 // places behind the food at which an amount may begin
)

// tokens splits a plain line. Words keep hyphens between letters ("thumb-sized"), but a hyphen after a number splits
// ("28-ounce"), and so does the change from digits to letters ("200g").
func tokens(line string, into []token) []token {
	at, spaced := 0, false
	for at < len(line) && len(into) < mostTokens {
		if line[at] == ' ' {
			at++
			spaced = true
			continue
		}
		if len(into) == cap(into) {
			into = slices.Grow(into, min(len(line)-at, mostTokens-len(into)))
		}
		t := tokenAt(line, at)
		t.spaced = spaced
		into, at, spaced = append(into, t), int(t.end), false
	}
	return into
}

func tokenAt(line string, at int) token {
	r, size := utf8.DecodeRuneInString(line[at:])
	switch {
	case startsNumber(line, at):
		return numberToken(line, at)
	case unicode.IsLetter(r):
		return wordToken(line, at)
	}
	sign := line[at : at+size]
	return token{kind: tokenSign, text: sign, lower: sign, roles: lexicon[sign], start: int32(at), end: int32(at + size)}
}

// startsNumber tells a digit and the point of ".5", but not the point of "1.5" seen from its middle.
func startsNumber(line string, at int) bool {
	if line[at] == '.' {
		return at+1 < len(line) && isDigit(line[at+1]) && (at == 0 || !isDigit(line[at-1]))
	}
	return isDigit(line[at])
}

func wordToken(line string, at int) token {
	end := wordEnd(line, at)
	t := token{kind: tokenWord, text: line[at:end], start: int32(at), end: int32(end)}
	t.lower = strings.ToLower(t.text)
	t.roles = lexicon[t.lower]
	if end < len(line) && line[end] == '.' {
		t.end++ // of an abbreviation, or of the sentence
	}
	return t
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// numberToken reads digits with a decimal mark: "2.5", "0,5", ".5"; "1,000" and "12,500" are thousands.
func numberToken(line string, at int) token {
	end := digitsEnd(line, at)
	text, whole := line[at:end], true
	if end+1 < len(line) && (line[end] == '.' || line[end] == ',') && isDigit(line[end+1]) {
		comma := line[end] == ','
		more := digitsEnd(line, end+1)
		decimals := line[end+1 : more]
		switch {
		case comma && len(decimals) == 3 && text != "0" && text != "":
			text, end = text+decimals, more
		case !comma || len(decimals) <= 2 || text == "0":
			text, end, whole = text+"."+decimals, more, false
		}
	}
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		value = beyond
	}
	return token{kind: tokenNumber, text: line[at:end], value: value, whole: whole, start: int32(at), end: int32(end)}
}

// beyond stands for a number of more digits than a float64 holds. It is more than anybody has of anything, as the number is.
const beyond = 1e200

// digitsEnd is the place behind the digits at a place, which may be none.
func digitsEnd(line string, at int) int {
	for at < len(line) && isDigit(line[at]) {
		at++
	}
	return at
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
