package amount

import "jarwright/validate/measure"

// counted reads one amount with the size of the package it counts, if any.
func (p *parser) counted(i int) (Amount, int, bool) {
	amount, next, ok := p.plain(i)
	if !ok {
		return Amount{}, i, false
	}
	word, hasUnit := p.reader.Word(amount.Unit)
	switch {
	case !hasUnit:
		if count, after, ok := p.packageSize(next); ok {
			return count, after, true
		}
		next = p.otherSize(next)
	case word.Kind == UnitMeasure || word.Kind == UnitLength:
		next = p.held(&word, p.again(next))
	}
	return amount, next, true
}

// held reads what a measured amount is in: "28-ounce can", "400 g tin". Where nothing holds it, sizes of the food may
// follow: "1 lb large onions".
func (p *parser) held(word *UnitWord, i int) int {
	if holder, after := p.holder(i, word); holder != "" {
		p.out.Container = holder
		return after
	}
	if word.Kind != UnitMeasure || p.is(i, "whole") {
		return i
	}
	for most := i + mostInARow; i < most && p.has(i, sizeWord) && p.at(i+1).kind == tokenWord; {
		p.keepSize(p.at(i).lower)
		i++
	}
	return i
}

// holder reads the container or the kind of piece that a measured amount is in.
func (p *parser) holder(i int, of *UnitWord) (string, int) {
	sizes := len(p.out.Sizes)
	at := p.sizes(p.passHyphen(i))
	unit, after := p.unit(at)
	if unit == nil || !p.unitFits(unit, at, after) || !p.canHold(unit, of, at) {
		p.out.Sizes = p.out.Sizes[:sizes]
		return "", i
	}
	return unit.Name, after
}

// canHold tells a container, and a piece that is measured by weight or length: a spoon or cup holds no pieces.
func (p *parser) canHold(unit, of *UnitWord, at int) bool {
	if unit.Kind == UnitContainer {
		return true
	}
	return unit.Kind == UnitPortion && of.Dim != measure.DimensionVolume && !p.has(at, neverHolder)
}

// otherSize reads the second count of "6 medium or 3 large mushrooms", which says the first again for pieces of another size.
func (p *parser) otherSize(i int) int {
	if !p.is(i, "or") || !p.has(i-1, sizeWord) {
		return i
	}
	count, next := p.number(i + 1)
	if next == i+1 || !p.has(next, sizeWord) || p.unitAt(next+1) {
		return i
	}
	p.out.Also = append(p.out.Also, Amount{Low: count, High: count})
	return next + 1
}

// packageSize reads, after a bare count, "(14 oz) can", "28-ounce cans", "x 400 g tins". The amount is the count in the
// unit of what holds it.
func (p *parser) packageSize(i int) (Amount, int, bool) {
	at, inBrackets := p.packageStart(i)
	if at < 0 {
		return Amount{}, i, false
	}
	count, before := p.last, p.out
	size, next, ok := p.plain(at)
	p.last = count
	if inBrackets && ok && size.Unit == "" && before.Package == nil && p.out.Package != nil { // "6 (1/4-inch-thick) slices"
		size = *p.out.Package
	}
	if ok = ok && (p.reader.isMeasure(size.Unit) || p.isLong(&size)); ok {
		next, ok = p.packageEnd(p.again(next), inBrackets)
	}
	if !ok {
		p.out = before
		return Amount{}, i, false
	}
	pack := size
	p.out.Package = &pack
	count.Unit, next = p.packageUnit(p.sizes(next))
	p.last = count
	return count, next, true
}

// packageStart finds where the size of a package begins, or gives -1, and tells whether it stands in brackets.
func (p *parser) packageStart(i int) (at int, inBrackets bool) {
	switch {
	case p.is(i, "("):
		return i + 1, true
	case p.isAny(i, "x", "*", "-", ",", "of") && p.at(i+1).kind == tokenNumber:
		return i + 1, false
	case p.at(i).kind == tokenNumber || p.has(i, numeralWord):
		return i, false
	}
	return -1, false
}

// packageEnd reads the closing bracket behind the size of a package, or the same size again in brackets. It reports false
// where the bracket is not closed.
func (p *parser) packageEnd(i int, inBrackets bool) (int, bool) {
	if inBrackets {
		end := p.closing(i)
		if end < 0 {
			return i, false
		}
		p.noteBetween(i, end)
		return end + 1, true
	}
	if p.is(i, "(") {
		if end := p.closing(i + 1); end > 0 && p.isAgain(i+1, false) { // "1 28-oz (796 mL) can"
			p.noteBetween(i+1, end)
			return end + 1, true
		}
	}
	return i, true
}

// packageUnit reads the unit of what holds each package, which may be none: "can", "slices", "can or bottle".
func (p *parser) packageUnit(i int) (name string, next int) {
	unit, next := p.unit(i)
	if unit == nil || unit.Kind != UnitContainer && (unit.Kind != UnitPortion || !p.unitFits(unit, i, next)) {
		return "", i
	}
	if p.is(next, "or") {
		other, beyond := p.unit(next + 1)
		if other != nil && other.Kind == UnitContainer && p.foodFollows(beyond) { // "1 (12 oz) can or bottle beer"
			next = beyond
		}
	}
	return unit.Name, next
}
