package composition

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// writtenSize is one size as it stands in a text. It may be a range, of which low is then not empty.
type writtenSize struct {
	start, end int // of the text
	low, high  string
	unit       string // a key of millimetersPer
	noun       string // the letters after it, or nothing
}

// sizeUnits are the units of sizes, longer spellings first.
var sizeUnits = []string{"inches", "inch", "in", "mm", "cm"}

// nextSize finds the first size at or after a place of a text:
//
//	size   = [number (blanks? ("to" | "or" | "–") blanks? | blanks "-" blanks)] number blanks? ["-"] blanks? unit
//	         dots? ["or less" commas?] ["in "] noun?
//	number = digits ["." digits] [(" " | "-") digits "/" digits | "/" digits]: "4", "2.5", "3/16", "1-1/2", "1 1/2"
//
// Each character is looked at a few times at most, however the text is made: at no place are there two ways to go on.
func nextSize(text string, from int) (writtenSize, bool) {
	for start := from; start < len(text); start++ {
		if !isDigit(text, start) {
			continue
		}
		if size, ok := sizeAt(text, start); ok {
			return size, true
		}
		for isDigit(text, start+1) { // a part of a number that is no size begins none
			start++
		}
	}
	return writtenSize{}, false
}

// sizeAt reads the size that begins at a place: of two numbers, or of one.
func sizeAt(text string, start int) (writtenSize, bool) {
	first := numberEnd(text, start)
	if next := rangeEnd(text, first); next > first {
		if second := numberEnd(text, next); second > next {
			if size, ok := withUnit(text, second); ok {
				size.start, size.low, size.high = start, text[start:first], text[next:second]
				return size, true
			}
		}
	}
	size, ok := withUnit(text, first)
	size.start, size.high = start, text[start:first]
	return size, ok
}

// withUnit reads what stands after the number of a size.
func withUnit(text string, at int) (writtenSize, bool) {
	at = afterBlanks(text, at)
	if strings.HasPrefix(text[at:], "-") {
		at = afterBlanks(text, at+1)
	}
	if at < len(text) && isDigit(text, at) {
		return writtenSize{}, false // most of what is no size is another number
	}
	for _, unit := range sizeUnits {
		end := at + len(unit)
		if !strings.HasPrefix(text[at:], unit) || isWordSign(text, end) {
			continue
		}
		end = afterAny(text, end, ". ")
		if strings.HasPrefix(text[end:], "or less") {
			end = afterAny(text, end+len("or less"), ", ")
		}
		if strings.HasPrefix(text[end:], "in ") {
			end += len("in ")
		}
		noun := end
		for end < len(text) {
			letter, size := utf8.DecodeRuneInString(text[end:])
			if !unicode.IsLetter(letter) {
				break
			}
			end += size
		}
		return writtenSize{end: end, unit: unit, noun: text[noun:end]}, true
	}
	return writtenSize{}, false
}

// numberEnd is where the number that begins at a place ends; the same place where none begins there.
func numberEnd(text string, start int) int {
	end := digitsEnd(text, start)
	if end == start {
		return start
	}
	if strings.HasPrefix(text[end:], ".") {
		if decimals := digitsEnd(text, end+1); decimals > end+1 {
			end = decimals
		}
	}
	over := end // where a fraction would have its stroke
	if isSign(text, end, ' ', '-') {
		over = digitsEnd(text, end+1)
		if over == end+1 {
			return end
		}
	}
	if isSign(text, over, '/', '/') {
		if under := digitsEnd(text, over+1); under > over+1 {
			return under
		}
	}
	return end
}

// rangeEnd is where the words between the two numbers of a range end that begin at a place; the same place where none do.
func rangeEnd(text string, start int) int {
	at := afterBlanks(text, start)
	for _, word := range [...]string{"to", "or", "–"} {
		if strings.HasPrefix(text[at:], word) {
			return afterBlanks(text, at+len(word))
		}
	}
	if at > start && strings.HasPrefix(text[at:], "-") {
		if end := afterBlanks(text, at+1); end > at+1 {
			return end
		}
	}
	return start
}

func digitsEnd(text string, at int) int {
	for isDigit(text, at) {
		at++
	}
	return at
}

func afterBlanks(text string, at int) int { return afterAny(text, at, " \t\n\f\r") }

func afterAny(text string, at int, signs string) int {
	for at < len(text) && strings.IndexByte(signs, text[at]) >= 0 {
		at++
	}
	return at
}

func isDigit(text string, at int) bool { return at < len(text) && text[at] >= '0' && text[at] <= '9' }

func isSign(text string, at int, one, other byte) bool {
	return at < len(text) && (text[at] == one || text[at] == other)
}

// isWordSign reports whether a word of plain letters goes on at a place.
func isWordSign(text string, at int) bool {
	return at < len(text) && (isDigit(text, at) || text[at] == '_' || text[at]|0x20 >= 'a' && text[at]|0x20 <= 'z')
}
