package amount

// numberWords are English number words. Hundreds and composites do not occur in lines of recipes.
var numberWords = map[string]float64{
	"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11,
	"twelve": 12, "fifteen": 15, "sixteen": 16, "eighteen": 18, "twenty": 20, "thirty": 30, "forty": 40, "fifty": 50,
}

var fractionWords = map[string]float64{
	"half": 1.0 / 2, "halves": 1.0 / 2, "third": 1.0 / 3, "thirds": 1.0 / 3, "quarter": 1.0 / 4, "quarters": 1.0 / 4, "fourth": 1.0 / 4, "fourths": 1.0 / 4, "eighth": 1.0 / 8,
	"eighths": 1.0 / 8,
}

// isArticle tells "a" and "an".
func isArticle(lower string) bool { return lower == "a" || lower == "an" }

// number reads one number at i: an integer, a decimal, a fraction, a mixed number in any of its forms, or a word. It gives
// the place after it, or i where none stands there.
func (p *parser) number(i int) (float64, int) {
	t := p.at(i)
	switch t.kind {
	case tokenNumber:
		return p.figures(i)
	case tokenWord:
		return p.numberWord(i)
	}
	return 0, i
}

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
		at := i + 1
		if p.is(at, "-") || p.is(at, "and") || p.is(at, "&") {
			at++
		}
		if isArticle(p.at(at).lower) {
			at++
		}
		if part, next := p.fraction(at); next > at && part < 1 {
			return value + part, next
		}
		if part, ok := fractionWords[p.at(at).lower]; ok && at > i+1 {
			return value + part, at + 1
		}
	}
	if part, ok := fractionWords[p.at(i+1).lower]; ok && value <= 3 && p.at(i+1).lower != "halves" && !p.is(i+2, "-") {
		return value * part, i + 2 // "3 quarters"
	}
	return value, i + 1
}

// fraction reads "1/2". The denominators of cooks are small; "80/20" and "9/13" are no fractions.
func (p *parser) fraction(i int) (float64, int) {
	const largestDenominator = 32
	top, slash, bottom := p.at(i), p.at(i+1), p.at(i+2)
	if top.kind != tokenNumber || slash.text != "/" || bottom.kind != tokenNumber || !top.whole || !bottom.whole {
		return 0, i
	}
	if bottom.value < 2 || bottom.value > largestDenominator || top.value == 0 || bottom.spaced && !slash.spaced {
		return 0, i
	}
	return top.value / bottom.value, i + 3
}

func (p *parser) numberWord(i int) (float64, int) {
	word := p.at(i).lower
	if value, ok := fractionWords[word]; ok && word != "halves" && (word == "half" || p.isAny(i+1, "of", "cup", "teaspoon", "tablespoon", "pound", "tsp", "tbsp") || isArticle(p.at(i+1).lower)) {
		next := i + 1
		if p.is(next, "-") {
			next++
		}
		if p.is(next, "of") && isArticle(p.at(next+1).lower) {
			next++
		}
		if isArticle(p.at(next).lower) {
			next++
		}
		return value, next
	}
	value, ok := numberWords[word]
	if !ok {
		return p.hyphenated(i)
	}
	at := i + 1
	if p.is(at, "-") {
		at++
	}
	if part, ok := fractionWords[p.at(at).lower]; ok && value <= 3 {
		return value * part, at + 1 // "one half", "two thirds"
	}
	if p.isAny(at, "and", "&") {
		more := at + 1
		if isArticle(p.at(more).lower) || p.is(more, "one") || p.is(more, "one-half") {
			more++
		}
		if part, ok := fractionWords[p.at(more).lower]; ok {
			return value + part, more + 1
		}
		if p.is(at+1, "one-half") {
			return value + fractionWords["half"], at + 2
		}
	}
	return value, i + 1
}

// hyphenated reads "one-half", "two-thirds".
func (p *parser) hyphenated(i int) (float64, int) {
	word := p.at(i).lower
	for at := range len(word) {
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
