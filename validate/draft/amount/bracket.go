package amount

import (
	"slices"

	"jarwright/validate/measure"
)

// bracket reads a bracket after the amount that holds an amount too, or says that the line is optional.
func (p *parser) bracket(i int) int {
	end := p.bracketEnd(i)
	if end < 0 || p.out.Amount == nil {
		return i
	}
	if p.is(i+1, "optional") && end == i+2 {
		p.out.Optional = true
		return end + 1
	}
	inner, next, ok := p.amountInBracket(i+1, end)
	if !ok {
		return i
	}
	repeats := len(p.out.Also)
	next = p.again(next)
	each := p.saysEach(next, end)
	if p.isPackage(inner, each) {
		size := inner
		p.out.Package = &size
	} else {
		p.out.Also = slices.Insert(p.out.Also, repeats, inner)
	}
	if !each {
		p.noteBetween(next, end)
	}
	return end + 1
}

// bracketEnd finds the end of the bracket at i, or gives -1 where none opens there or it is not closed.
func (p *parser) bracketEnd(i int) int {
	switch {
	case p.is(i, "("):
		return p.closing(i + 1)
	case p.is(i, "["):
		return int(p.at(i).ahead.square)
	}
	return -1
}

// amountInBracket reads the amount of a bracket: "about 2 lb", "2 14-ounce cans", "about 14" where it counts the pieces of a
// measured amount.
func (p *parser) amountInBracket(from, end int) (Amount, int, bool) {
	sizes := len(p.out.Sizes)
	inner, next, ok := p.inBracket(p.passFillers(from))
	_, hasUnit := p.reader.Word(inner.Unit)
	if ok && !hasUnit && inner.High > 0 {
		if p.at(next).kind == tokenNumber {
			next = p.packagesInBracket(&inner, next)
		}
		counted := p.out.Amount.Unit
		hasUnit = inner.Unit != "" || next == end && counted != "" && counted != measure.CodeEach // "3 lb (about 14)"
	}
	if !ok || !hasUnit || inner.High == 0 {
		p.out.Sizes = p.out.Sizes[:sizes]
		return Amount{}, from, false
	}
	return inner, next, true
}

// passFillers passes over what stands in a bracket before its amount.
func (p *parser) passFillers(i int) int {
	for most := i + mostInARow; i < most && p.has(i, bracketFiller) && !(p.has(i, articleWord) && p.unitAt(i+1)); {
		i++
	}
	return i
}

// inBracket reads a plain amount behind which no food need follow.
func (p *parser) inBracket(i int) (Amount, int, bool) {
	p.bracketed = true
	amount, next, ok := p.aside(i)
	p.bracketed = false
	return amount, next, ok
}

// packagesInBracket multiplies a count by the size of each: "(2 14-ounce cans)".
func (p *parser) packagesInBracket(count *Amount, i int) int {
	size, next, ok := p.inBracket(i)
	if !ok || !p.reader.isMeasure(size.Unit) {
		return i
	}
	count.Low, count.High, count.Unit = count.Low*size.Low, count.High*size.High, size.Unit
	if holder, beyond := p.unit(next); holder != nil {
		next = beyond
	}
	return next
}

// saysEach tells whether the amount of a bracket is that of each piece.
func (p *parser) saysEach(from, to int) bool {
	next := int(p.at(from).ahead.each)
	return from < to && next >= 0 && next < to
}

// isPackage tells whether the amount of a bracket is the size of what the first amount counts.
func (p *parser) isPackage(inner Amount, each bool) bool {
	word, _ := p.reader.Word(inner.Unit)
	if p.out.Package != nil || word.Kind != UnitMeasure && word.Kind != UnitLength {
		return false
	}
	counting, _ := p.reader.Word(p.out.Amount.Unit)
	onePiece := counting.Kind == UnitPortion && p.out.Amount.High == 1
	return each || counting.Kind == UnitContainer || onePiece && word.Kind == UnitLength
}
