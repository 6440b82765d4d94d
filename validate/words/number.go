package words

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// fractions are the signs that stand for one.
var fractions = map[rune]string{'½': "1/2", '¼': "1/4", '¾': "3/4", '⅓': "1/3", '⅔': "2/3", '⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8"}

func fractionOf(c rune) string {
	if c < utf8.RuneSelf {
		return ""
	}
	return fractions[c]
}

// beyond stands for a number of more digits than a float64 holds.
const beyond = 1e200

// numberAt reads the number that begins at a place: "4", "2.5", "1/2", "1-1/2", "1 1/2", "1½", "½". What looks like a fraction
// and is a ratio ("50/50") has no value.
func numberAt(text string, at int, into []token) ([]token, int) {
	t := token{kind: number, start: at}
	end := digitsEnd(text, at)
	whole := text[at:end]
	if end+1 < len(text) && (text[end] == '.' || text[end] == ',') && isDigit(text, end+1) {
		decimals := digitsEnd(text, end+1)
		t.value = parsed(whole + "." + text[end+1:decimals])
		t.stem, t.end = text[at:decimals], decimals
		return append(into, t), decimals
	}
	over, under, next := fractionAt(text, end)
	switch {
	case under == 0 && whole == "":
		t.stem, t.end = text[at:at+1], at+1
		return append(into, t), at + 1
	case under == 0:
		t.stem, t.value, t.end = whole, parsed(whole), end
	case over < 0: // "1/2" without a whole number before it
		t.value = parsed(whole) / under
		t.stem, t.end = text[at:next], next
		if parsed(whole) >= under {
			t.value = 0
		}
	default:
		t.value = parsed(whole) + over/under
		t.stem, t.end = text[at:next], next
	}
	return append(into, t), t.end
}

// fractionAt reads the fraction behind the digits of a number: "/2" (over is negative then), "-1/2", " 1/2" or "½". Under is 0
// where none stands there.
func fractionAt(text string, at int) (over, under float64, end int) {
	if at < len(text) && text[at] == '/' {
		if end = digitsEnd(text, at+1); end > at+1 {
			return -1, parsed(text[at+1 : end]), end
		}
		return 0, 0, at
	}
	from := at
	if from < len(text) && (text[from] == ' ' || text[from] == '-') {
		from++
	}
	if c, size := utf8.DecodeRuneInString(text[from:]); fractionOf(c) != "" {
		first, second, _ := strings.Cut(fractionOf(c), "/")
		return parsed(first), parsed(second), from + size
	}
	if from == at {
		return 0, 0, at
	}
	middle := digitsEnd(text, from)
	if middle == from || middle >= len(text) || text[middle] != '/' {
		return 0, 0, at
	}
	end = digitsEnd(text, middle+1)
	if end == middle+1 || parsed(text[from:middle]) >= parsed(text[middle+1:end]) {
		return 0, 0, at
	}
	return parsed(text[from:middle]), parsed(text[middle+1 : end]), end
}

func digitsEnd(text string, at int) int {
	for isDigit(text, at) {
		at++
	}
	return at
}

func parsed(digits string) float64 {
	if digits == "" {
		return 0
	}
	value, err := strconv.ParseFloat(digits, 64)
	if err != nil {
		return beyond
	}
	return value
}

// numberWords are the numbers that are written in words.
var numberWords = map[string]float64{
	"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12,
	"fifteen": 15, "twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "hundred": 100, "half": 0.5, "quarter": 0.25,
}

// valueOf is the number that a token is, in digits or words.
func valueOf(t *token) (float64, bool) {
	if t.kind == number {
		return t.value, true
	}
	if t.kind != word {
		return 0, false
	}
	value, ok := numberWords[t.stem]
	return value, ok
}

// Percent is the strength that a text gives, the least where it gives several, in percent: "5%", "four per cent", "40 grain". It
// reports false when it gives none.
func Percent(text string) (percent float64, ok bool) {
	if len(text) == 0 {
		return 0, false
	}
	var buffer [64]token
	all := tokens(text, buffer[:0])
	for i := range all {
		if value, _, said := strengthAt(all, i); said && (!ok || value < percent) {
			percent, ok = value, true
		}
	}
	return percent, ok
}

// strengthAt reads a strength that begins at a token, and where it ends: number, "to" number, then percent, per cent, grain or
// degree. Of a range the lower end counts.
func strengthAt(all []token, at int) (percent float64, end int, ok bool) {
	value, isNumber := valueOf(&all[at])
	if !isNumber {
		return 0, 0, false
	}
	next := at + 1
	if second := rangeEnd(all, next); second > next {
		next = second
	}
	switch {
	case next >= len(all):
		return 0, 0, false
	case all[next].stem == "percent", all[next].stem == "degree":
		return value, next + 1, true
	case all[next].stem == "per" && next+1 < len(all) && all[next+1].stem == "cent":
		return value, next + 2, true
	case all[next].stem == "grain":
		const grains = 10 // 50 grain is 5 percent
		return value / grains, next + 1, true
	}
	return 0, 0, false
}

// rangeEnd is the place behind "to 5", "or 5" or "and 5"; the same place where no such thing stands there.
func rangeEnd(all []token, at int) int {
	if at+1 >= len(all) {
		return at
	}
	switch all[at].stem {
	case "to", "or":
		if _, ok := valueOf(&all[at+1]); ok {
			return at + 2
		}
	}
	return at
}

// lengths are the units of sizes.
var lengths = map[string]bool{"inch": true, "in": true, "cm": true, "mm": true, "centimeter": true, "millimeter": true, "centimetre": true, "millimetre": true}

// sizeAt tells whether a size begins at a token, and where it ends: number, range, unit and the words that say what it measures.
func sizeAt(all []token, at int) (end int, ok bool) {
	if _, isNumber := valueOf(&all[at]); !isNumber && all[at].stem != "an" {
		return 0, false
	}
	next := at + 1
	if all[at].stem == "half" || all[at].stem == "quarter" {
		if next < len(all) && (all[next].stem == "an" || all[next].stem == "a") {
			next++
		}
	}
	if next < len(all) && lengths[all[next].stem] { // "3 in to 4 in"
		if second := rangeEnd(all, next+1); second > next+1 && second < len(all) && lengths[all[second].stem] {
			next = second
		}
	} else if second := rangeEnd(all, next); second > next {
		next = second
	}
	if next >= len(all) || !lengths[all[next].stem] {
		return 0, false
	}
	if all[next].stem == "in" && all[at].kind != number {
		return 0, false // "one in the brine"
	}
	next++
	for next < len(all) && sizeTails[all[next].stem] {
		next++
	}
	return next, true
}

// sizeTails may stand behind the unit of a size.
var sizeTails = map[string]bool{
	"long": true, "thick": true, "wide": true, "across": true, "diameter": true, "in": true, "length": true, "thickness": true, "each": true,
	"dice": true, "square": true, "or": false, "around": true,
}
