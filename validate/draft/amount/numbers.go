package amount

import "strings"

// numberWords are English number words. Hundreds and composites do not occur in lines of recipes.
var numberWords = map[string]float64{
	"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11,
	"twelve": 12, "fifteen": 15, "sixteen": 16, "eighteen": 18, "twenty": 20, "thirty": 30, "forty": 40, "fifty": 50,
}

var fractionWords = map[string]float64{
	"half": 1.0 / 2, "halves": 1.0 / 2, "third": 1.0 / 3, "thirds": 1.0 / 3, "quarter": 1.0 / 4, "quarters": 1.0 / 4,
	"fourth": 1.0 / 4, "fourths": 1.0 / 4, "eighth": 1.0 / 8, "eighths": 1.0 / 8,
}

// mostOfFraction is the largest number that a fraction word multiplies: "three quarters", but not "4 quarters".
const mostOfFraction = 3

// number reads one number at i: an integer, a decimal, a fraction, a mixed number in any of its forms, or a word. It gives
// the place after it, or i where none stands there.
func (p *parser) number(i int) (float64, int) {
	switch p.at(i).kind {
	case tokenNumber:
		return p.figures(i)
	case tokenWord:
		return p.numberWord(i)
	}
	return 0, i
}

func (p *parser) numberAt(i int) bool { _, next := p.number(i); return next > i }

// figures reads a number that begins with a figure.
func (p *parser) figures(i int) (float64, int) {
	if value, next := p.fraction(i); next > i {
		return value, next
	}
	value := p.at(i).value
	if p.is(i+1, "%") {
		return 0, i
	}
	if !p.at(i).whole {
		return value, i + 1
	}
	if value >= 1 {
		if part, next := p.mixedPart(i + 1); next > i+1 {
			return value + part, next
		}
	}
	if p.has(i+1, fractionWord) && value <= mostOfFraction && !p.is(i+1, "halves") && !p.is(i+2, "-") {
		return value * fractionWords[p.at(i+1).lower], i + 2 // "3 quarters"
	}
	return value, i + 1
}

// mixedPart reads the fraction behind an integer: the "1/2" of "1 1/2" and "1-1/2", the "and a half" of "1 and a half".
func (p *parser) mixedPart(i int) (float64, int) {
	at := i
	if p.isAny(at, "-", "and", "&") {
		at++
	}
	if p.has(at, articleWord) {
		at++
	}
	if part, next := p.fraction(at); next > at && part < 1 {
		return part, next
	}
	if p.has(at, fractionWord) && at > i {
		return fractionWords[p.at(at).lower], at + 1
	}
	return 0, i
}

// fraction reads "1/2". The denominators of cooks are small; "80/20" and "9/13" are no fractions.
func (p *parser) fraction(i int) (float64, int) {
	const largestDenominator = 32
	top, slash, bottom := p.at(i), p.at(i+1), p.at(i+2)
	if slash.text != "/" || !top.whole || !bottom.whole { // only a number is whole
		return 0, i
	}
	if bottom.value < 2 || bottom.value > largestDenominator || top.value == 0 || bottom.spaced && !slash.spaced {
		return 0, i
	}
	return top.value / bottom.value, i + 3
}

// numberWord reads a number that begins with a word.
func (p *parser) numberWord(i int) (float64, int) {
	switch {
	case p.has(i, fractionWord) && p.isFractionOfOne(i):
		return p.fractionOfOne(i)
	case p.has(i, numeralWord):
		return p.numeral(i)
	}
	return p.hyphenated(i)
}

// isFractionOfOne tells "half" and "quarter cup" from the quarters that something is cut into.
func (p *parser) isFractionOfOne(i int) bool {
	if p.is(i, "halves") {
		return false
	}
	return p.is(i, "half") || p.isAny(i+1, "of", "cup", "teaspoon", "tablespoon", "pound", "tsp", "tbsp") || p.has(i+1, articleWord)
}

// fractionOfOne reads "half", "half a", "half of a", "half-".
func (p *parser) fractionOfOne(i int) (float64, int) {
	next := i + 1
	if p.is(next, "-") {
		next++
	}
	if p.is(next, "of") && p.has(next+1, articleWord) {
		next++
	}
	if p.has(next, articleWord) {
		next++
	}
	return fractionWords[p.at(i).lower], next
}

// numeral reads "two", "two thirds", "one and a half".
func (p *parser) numeral(i int) (float64, int) {
	value, at := numberWords[p.at(i).lower], i+1
	if p.is(at, "-") {
		at++
	}
	if p.has(at, fractionWord) && value <= mostOfFraction {
		return value * fractionWords[p.at(at).lower], at + 1 // "one half", "two thirds"
	}
	if !p.isAny(at, "and", "&") {
		return value, i + 1
	}
	part := at + 1
	if p.has(part, articleWord) || p.isAny(part, "one", "one-half") {
		part++
	}
	if p.has(part, fractionWord) {
		return value + fractionWords[p.at(part).lower], part + 1
	}
	if p.is(at+1, "one-half") {
		return value + fractionWords["half"], at + 2
	}
	return value, i + 1
}

// hyphenated reads "one-half", "two-thirds".
func (p *parser) hyphenated(i int) (float64, int) {
	const longest = 24 // bytes of "seventeen-thirteenths"
	word := p.at(i).lower
	if len(word) > longest {
		return 0, i
	}
	for at := strings.IndexByte(word, '-'); at >= 0 && at < len(word); at++ {
		if word[at] != '-' {
			continue
		}
		top, known := numberWords[word[:at]]
		part, isPart := fractionWords[word[at+1:]]
		if known && isPart {
			return top * part, i + 1
		}
	}
	return 0, i
}
