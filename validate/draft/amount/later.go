package amount

import "strings"

// amountLater looks for the amount behind the food: "lemons, 2", "Salt: 1 tsp", "juice of 2 lemons", "water (2 cups)". The
// first that is one is taken.
func (p *parser) amountLater(start int) {
	tried := 0
	for i := start + 1; i < len(p.tokens) && tried < mostTried; i++ {
		if !p.mayBeginLater(i) {
			continue
		}
		tried++
		probe := parser{reader: p.reader, line: p.line, tokens: p.tokens, bracketed: true, brackets: p.brackets}
		next, found := probe.amount(i, false)
		if found && p.isAmountLater(&probe, i, next) {
			p.takeLater(&probe, start, i, next)
			return
		}
	}
}

// mayBeginLater tells whether an amount behind the food can begin with token i.
func (p *parser) mayBeginLater(i int) bool {
	switch p.at(i).kind {
	case tokenNumber:
	case tokenWord:
		if !p.isLaterWord(i) {
			return false
		}
	default:
		return false
	}
	if p.is(i-1, "to") {
		return p.is(i-2, "up")
	}
	return !p.has(i-1, noAmountBehind)
}

// isLaterWord keeps "one" and "a" in the middle of a line from being read as amounts where they are not.
func (p *parser) isLaterWord(i int) bool {
	switch {
	case p.has(i, articleWord):
		return p.behindOf(i) && p.has(i-2, pluckedPart)
	case p.is(i, "half"):
		return p.behindOf(i)
	case p.has(i, numeralWord):
		return p.behindOf(i) || p.isAny(i-1, ",", "-", ":", "(")
	}
	return false
}

// behindOf tells "of 2 lemons" and "from 2 lemons".
func (p *parser) behindOf(i int) bool { return p.isAny(i-1, "of", "from") }

// isAmountLater tells whether what was read behind the food is its amount: a mass or a volume is one anywhere, a bare number
// only at the end or before a mark, a length never.
func (p *parser) isAmountLater(probe *parser, i, next int) bool {
	word, hasUnit := p.reader.Word(probe.out.Amount.Unit)
	switch {
	case word.Kind == UnitLength && probe.out.Container == "":
		return false
	case word.Kind == UnitMeasure, p.behindOf(i) && probe.out.Amount.High > 0:
		return true
	case !p.markFollows(next):
		return false
	case hasUnit:
		return word.Kind != UnitLength
	}
	return p.at(i).kind == tokenNumber && p.bareNumberLast(i, next)
}

// markFollows tells the end of the line and a sign that does not carry on a number.
func (p *parser) markFollows(i int) bool {
	kind := p.at(i).kind
	return kind == tokenEnd || kind == tokenSign && !p.isAny(i, "%", "/", "-")
}

// bareNumberLast tells "lemons, 2" from "flour 00": a mark stands before the number or it is the last thing of a short line.
func (p *parser) bareNumberLast(i, next int) bool {
	return p.isAny(i-1, ",", "-", ":", "(", "x") || next >= len(p.tokens) && p.at(i-1).kind == tokenWord
}

// takeLater takes over the amount found behind the food, and closes the line up around it.
func (p *parser) takeLater(probe *parser, start, i, next int) {
	before, after := p.line[p.startOf(start):p.startOf(i)], probe.restFrom(next)
	joint := " "
	if !p.behindOf(i) {
		before, after = withoutLooseEnd(before), strings.TrimLeft(after, " )")
		if !strings.HasPrefix(after, "(") {
			joint = ", "
		}
	}
	own := p.out
	p.out = probe.out
	p.out.Notes = append(own.Notes, p.out.Notes...)
	p.out.Optional = p.out.Optional || own.Optional
	if p.out.Open == "" {
		p.out.Open = own.Open
	}
	p.out.Rest = strings.Trim(before, " ")
	if after != "" {
		p.out.Rest += joint + after
	}
}

// withoutLooseEnd takes the marks and the words for "about" off the end of a food.
func withoutLooseEnd(food string) string {
	food = strings.TrimRight(food, " ,:;-(~")
	for _, word := range []string{"about", "approximately", "approx.", "approx", "around", "roughly"} {
		food = strings.TrimRight(strings.TrimSuffix(food, word), " ,:;-(")
	}
	return food
}
