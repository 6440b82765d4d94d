package amount

// amountsBehind reads the amounts in brackets, or after "about" or "plus", that stand behind the food:
// "1 head cauliflower (about 2 lb)", "1 tablespoon oil, plus 2 teaspoons". They leave the rest of the line.
func (p *parser) amountsBehind(next int) {
	var line []byte // with what was read blanked
	tried := 0
	for i := next; i < len(p.tokens) && tried < mostTried; i++ {
		if !p.mayBeginBehind(i) {
			continue
		}
		tried++
		end := p.amountBehind(i)
		if end == i {
			continue
		}
		if line == nil {
			line = []byte(p.line)
		}
		blank(line[p.startOf(i):p.tokens[end-1].end])
		i = end - 1
	}
	if line != nil {
		p.line = string(line)
		p.out.Rest = p.restFrom(next)
	}
}

// mayBeginBehind tells whether an amount behind the food can begin with token i.
func (p *parser) mayBeginBehind(i int) bool {
	switch p.at(i).lower {
	case "(", "[":
		return true
	case ",":
		return p.is(i+1, "plus") || p.has(i+1, looseWord)
	}
	return p.at(i).kind == tokenNumber && p.at(i).spaced && p.at(i-1).kind == tokenWord
}

// amountBehind is the production amountBehind, where an amount may begin.
func (p *parser) amountBehind(i int) int {
	switch {
	case p.isAny(i, "(", "["):
		return p.measuredBracket(i)
	case p.is(i, ",") && p.is(i+1, "plus"):
		return p.addedClause(i)
	case p.is(i, ","):
		return p.measuredClause(i)
	}
	return p.repeated(i)
}

// measuredBracket is bracket, for a mass or a volume only.
func (p *parser) measuredBracket(i int) int {
	before := p.out
	end := p.bracket(i)
	if end == i {
		return i
	}
	found := p.out.Package
	if len(p.out.Also) > len(before.Also) {
		found = &p.out.Also[len(p.out.Also)-1]
	}
	if found == nil || found == before.Package {
		return i
	}
	if !p.reader.isMeasure(found.Unit) {
		p.out = before
		return i
	}
	return end
}

// addedClause reads ", plus 2 teaspoons" where the clause ends after it.
func (p *parser) addedClause(comma int) int {
	before := p.out
	if end := p.added(comma + 1); end > comma+1 && p.endsClause(end) {
		return end
	}
	p.out = before
	return comma
}

// measuredClause reads ", about 2 pounds" and ", about 2 pounds total" where the clause ends after it.
func (p *parser) measuredClause(comma int) int {
	before := p.out
	amount, end, ok := p.plain(comma + 1)
	if !ok || !p.reader.isMeasure(amount.Unit) || !p.endsClause(end) && !p.is(end, "total") {
		p.out = before
		return comma
	}
	if p.is(end, "total") {
		end++
	}
	p.out.Also = append(p.out.Also, amount)
	return end
}

// repeated reads the amount that stands once more at the end of a line, in the other system of units: "1 cup vinegar 250 mL".
func (p *parser) repeated(i int) int {
	if p.out.Amount == nil {
		return i
	}
	before := p.out
	amount, end, ok := p.aside(i)
	if !ok || !p.inOtherSystem(p.out.Amount.Unit, amount.Unit) || !p.endsClause(end) {
		p.out = before
		return i
	}
	p.out.Also = append(p.out.Also, amount)
	return end
}

// inOtherSystem tells whether two units are masses or volumes, one of them metric and the other not.
func (p *parser) inOtherSystem(first, second string) bool {
	return p.reader.isMeasure(first) && p.reader.isMeasure(second) && isMetric(first) != isMetric(second)
}

// portionBehind reads the portion that stands after the food: "4 garlic cloves", "2 celery stalks", "3 thyme sprigs". The
// word leaves the line.
func (p *parser) portionBehind(i int) {
	amount := p.out.Amount
	if amount.Unit != "" || p.out.Package != nil && !p.isLong(p.out.Package) {
		return
	}
	const words = 4 // a longer food than of three words is a sentence
	for at := i; at < min(i+words, len(p.tokens)); at++ {
		if p.at(at).kind != tokenWord {
			return
		}
		if at == i || !p.has(at, portionWord) {
			continue
		}
		if p.isAny(at, "clove", "cloves") && !p.is(at-1, "garlic") {
			return
		}
		amount.Unit = p.reader.spelledInFull(p.at(at).lower).Name
		p.blank(at, at+1)
		return
	}
}
