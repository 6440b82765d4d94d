package amount

import "math"

// again reads the same amount in another unit, after a slash or an equals sign or at once: "200 ml/7 fl oz".
func (p *parser) again(i int) int {
	for len(p.out.Also) < mostInARow {
		at := p.againStart(i)
		if at < 0 {
			break
		}
		amount, next, ok := p.aside(at)
		word, hasUnit := p.reader.Word(amount.Unit)
		if !ok || !hasUnit || word.Kind == UnitContainer {
			break
		}
		p.out.Also = append(p.out.Also, amount)
		i = next
	}
	return i
}

// againStart finds where a second writing of the amount begins, or gives -1.
func (p *parser) againStart(i int) int {
	switch {
	case p.has(i, sameAgainSign),
		p.is(i, "-") && p.at(i).spaced && p.at(i+1).spaced,
		p.is(i, ",") && p.at(i+1).kind == tokenNumber && p.isAgain(i+1, false),
		p.is(i, "or") && p.isAgain(i+1, true):
		return i + 1
	case p.at(i).kind == tokenNumber && p.isAgain(i, false):
		return i
	}
	return -1
}

// isAgain reports whether a measured amount stands at i that can be the last amount in other words: in the other system of
// units, or, behind "or", of nearly the same size.
func (p *parser) isAgain(i int, behindOr bool) bool {
	i, _ = p.approximation(i)
	value, next := p.number(i)
	if next == i {
		return false
	}
	unit, after := p.unit(next)
	if unit == nil || unit.Kind != UnitMeasure {
		return false
	}
	if behindOr {
		return p.nearlyLast(value, unit)
	}
	if holder, _ := p.unit(after); holder != nil && holder.Kind == UnitContainer {
		return p.last.Unit != ""
	}
	return isMetric(unit.Name) != isMetric(p.last.Unit)
}

// nearlyLast tells whether a number of a unit is the last amount in other units, as nearly as cooks round.
func (p *parser) nearlyLast(value float64, unit *UnitWord) bool {
	last, ok := p.reader.Word(p.last.Unit)
	if !ok || last.Dim != unit.Dim {
		return false
	}
	const near = 0.25
	ratio := value * p.reader.ratio(unit, &last) / p.last.Low
	return math.Abs(ratio-1) < near
}

// added reads "plus 2 tablespoons", "+ 2 tbsp", "and 2 tbsp", "less 1 tablespoon".
func (p *parser) added(i int) int {
	at, sign := i, 1.0
	if p.is(at, ",") {
		at++
	}
	switch {
	case p.isAny(at, "plus", "+", "and", "&"):
	case p.isAny(at, "minus", "less"):
		sign = -1
	default:
		return i
	}
	amount, next, ok := p.aside(at + 1)
	word, hasUnit := p.reader.Word(amount.Unit)
	if !ok || !hasUnit || word.Kind == UnitLength || amount.High == 0 {
		return i
	}
	if p.is(at, "and") && word.Kind != UnitMeasure {
		return i
	}
	amount.Low, amount.High = sign*amount.Low, sign*amount.High
	p.out.Plus = append(p.out.Plus, amount)
	return next
}
