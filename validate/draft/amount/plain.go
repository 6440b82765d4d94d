package amount

import "jarwright/validate/measure"

// plain reads a number or a range with its unit: "2", "2 to 3 cups", "1 cup to 2 cups", "a pinch", "2 lb 4 oz". It reports
// false where no amount stands.
func (p *parser) plain(i int) (Amount, int, bool) {
	i, about := p.approximation(i)
	amount := Amount{About: about}
	low, next := p.number(i)
	switch {
	case next > i:
		amount.Low, amount.High = low, low
		if high, after := p.rangeEnd(next); after > next {
			amount.Low, amount.High, next = min(low, high), max(low, high), after
		}
	case p.has(i, articleWord):
		return p.uncounted(i+1, amount)
	case p.has(i, uncountedWord) || p.sizedUnit(i):
		return p.uncounted(i, amount)
	default:
		return Amount{}, i, false
	}
	p.thickness(&amount, next)
	if p.is(next, "of") && p.has(next+1, articleWord) { // "1/2 of a large onion"
		next += 2
	}
	next = p.sizes(next)
	if unit, after := p.unit(next); unit != nil && p.unitFits(unit, next, after) {
		amount.Unit = unit.Name
		next = p.measured(&amount, unit, after)
	}
	p.last = amount
	return amount, next, true
}

// aside reads a plain amount that does not become the one to which a second writing is compared.
func (p *parser) aside(i int) (Amount, int, bool) {
	kept := p.last
	amount, next, ok := p.plain(i)
	p.last = kept
	return amount, next, ok
}

// measured reads what may stand behind the unit of an amount and belongs to it.
func (p *parser) measured(amount *Amount, unit *UnitWord, i int) int {
	if unit.Name == "dozen" {
		return p.sizes(i)
	}
	i = p.highWithUnit(amount, unit, i)
	if p.is(i, "or") && p.isAny(i+1, "more", "so", "less") && p.foodFollows(i+2) { // "1 cup or more water"
		amount.About, i = true, i+2
	}
	next := p.compound(amount, unit, p.packing(i))
	if next > i && amount.Low == amount.High {
		next = p.compoundEnd(amount, unit, next)
	}
	return next
}

// uncounted reads an amount without a number, from behind its article: "a pinch", "a few sprigs", "a large onion",
// "a dozen eggs". Behind "a" a number may follow all the same: "a half cup", "a 2-inch piece".
func (p *parser) uncounted(i int, amount Amount) (Amount, int, bool) {
	if p.numberAt(i) {
		return p.plain(i)
	}
	amount.Low, amount.High = 1, 1
	switch {
	case p.is(i, "couple"):
		amount.Low, amount.High, amount.About = 2, 2, true
		i = p.passOf(i + 1)
	case p.isAny(i, "few", "several"):
		amount.Low, amount.High, amount.About = 0, 0, true // a word for an amount that nobody counted
		i++
	case p.has(i, vagueWord):
		amount.Low, amount.High, amount.About = 0, 0, true
		p.out.Open = measure.CodeAsNeeded
		i = p.passOf(i + 1)
	}
	i = p.sizes(i)
	if unit, after := p.unit(i); unit != nil && p.unitFits(unit, i, after) {
		amount.Unit = unit.Name
		i = p.packing(after)
	}
	p.last = amount
	return amount, i, true
}

// passOf passes over "of".
func (p *parser) passOf(i int) int {
	if p.is(i, "of") {
		return i + 1
	}
	return i
}

// sizedUnit tells "heaped tbsp sugar" and "thumb-sized piece of ginger", which leave out that it is one.
func (p *parser) sizedUnit(i int) bool {
	const most = 3
	at := i
	for at <= i+most && p.has(at, sizeWord|mannerWord) {
		at++
	}
	if at == i || at > i+most {
		return false
	}
	unit, after := p.unit(at)
	return unit != nil && p.unitFits(unit, at, after) && len(p.at(at).text) > 1
}

// approximation passes over the words that make a number approximate and tells whether there were any.
func (p *parser) approximation(i int) (next int, found bool) {
	for range mostInARow {
		switch {
		case p.has(i, aboutWord):
			i, found = i+1, true
		case p.is(i, "up") && p.is(i+1, "to"), p.is(i, "at") && p.isAny(i+1, "least", "most"):
			i, found = i+2, true
		case p.has(i, levelWord) && p.numberAt(i+1): // "scant 1/4 cup"
			p.keepSize(p.at(i).lower)
			i, found = i+1, true
		case p.has(i, furtherWord) && (p.numberAt(i+1) || p.has(i+1, articleWord)):
			i++
		case p.has(i, articleWord) && p.has(i+1, levelOfOne) && p.numberAt(i+2):
			p.keepSize(p.at(i + 1).lower)
			i, found = i+2, true
		default:
			return i, found
		}
	}
	return i, found
}

// thickness reads the end of "1 1/4-inch-thick slice": one slice of that size.
func (p *parser) thickness(amount *Amount, i int) {
	if !p.is(i, "-") || !p.has(i+1, cutLength) || p.out.Package != nil {
		return
	}
	code := "in"
	if p.at(i + 1).lower[0] == 'c' {
		code = "cm"
	}
	p.out.Package = &Amount{Low: amount.Low, High: amount.High, Unit: code}
	amount.Low, amount.High = 1, 1
}
