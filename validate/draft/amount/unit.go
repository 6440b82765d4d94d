package amount

import "strings"

// unit reads a unit at i: one word, two ("fl oz"), or a sign ("5#"). It gives nil where none stands.
func (p *parser) unit(i int) (*UnitWord, int) {
	if p.is(i, "-") && p.at(i+1).kind == tokenWord {
		i++
	}
	t := p.at(i)
	if t.kind == tokenEnd || t.kind == tokenNumber {
		return nil, i
	}
	if p.has(i, firstOfTwo) && p.at(i+1).kind == tokenWord {
		if two := p.reader.spelledInFull(t.lower + " " + p.at(i+1).lower); two != nil {
			return two, i + 2
		}
	}
	if t.text == "#" && p.at(i+1).kind == tokenNumber && !p.at(i+1).spaced {
		return nil, i // "#10 can" is a size of can
	}
	if word := p.reader.spelled(t.text, t.lower); word != nil {
		return word, i + 1
	}
	if hyphen := strings.IndexByte(t.lower, '-'); hyphen > 0 { // "inch-thick"
		if word := p.reader.spelled(t.text[:hyphen], t.lower[:hyphen]); word != nil && word.Kind == UnitLength {
			return word, i + 1
		}
	}
	return nil, i
}

func (p *parser) unitAt(i int) bool { unit, _ := p.unit(i); return unit != nil }

// unitFits refuses a unit word that is the food itself: "4 cloves", "2 heads", "12 whole cloves, crushed".
func (p *parser) unitFits(unit *UnitWord, at, after int) bool {
	switch {
	case unit.Kind == UnitMeasure || unit.Kind == UnitLength:
		t := p.at(at)
		return len(t.text) != 1 || t.kind != tokenWord || p.endsLetterUnit(after)
	case p.is(at, "each"), p.is(at, "can") && p.is(after, "be"):
		return false
	case p.bracketed && (p.is(after, ")") || p.endsClause(after)):
		return true
	case unit.Name == "clove" && p.has(after, cutWord):
		// Without garlic the food is not named: it is the spice as likely.
		return p.is(after+1, "garlic") || p.is(after+2, "garlic") || p.is(after+3, "garlic")
	}
	return p.foodFollows(after)
}

// endsLetterUnit tells "2 c water" from a letter that happens to stand there: white space, an end or a sign follows.
func (p *parser) endsLetterUnit(after int) bool {
	next := p.at(after)
	return next.kind == tokenEnd || next.spaced || next.kind == tokenSign
}

// foodFollows reports whether something that can be the food stands at i, so that the word before it may be a unit. Brackets
// are passed over.
func (p *parser) foodFollows(i int) bool {
	for range mostInARow {
		switch {
		case p.isAny(i, "of", "the"):
			i++
		case p.is(i, "("):
			end := p.closing(i + 1)
			if end < 0 {
				return false
			}
			i = end + 1
		}
	}
	switch t := p.at(i); t.kind {
	case tokenWord:
		return !p.has(i, noFoodWord)
	case tokenSign:
		return t.text == "/" || t.text == "+" || t.text == "\""
	case tokenNumber:
		return true
	}
	return false
}
