package amount

import "math"

// rangeEnd reads the second number of a range: "- 3", "to 3", "or 3", "(or 3)".
func (p *parser) rangeEnd(i int) (float64, int) {
	if p.is(i, "(") {
		return p.bracketedEnd(i)
	}
	at := p.rangeMark(i)
	if at == i {
		return 0, i
	}
	if p.isAny(at, "about", "more", "as") {
		at++
	}
	if p.has(at, articleWord) && !p.isAny(at+1, "half", "dozen", "third", "quarter") {
		return 0, i
	}
	high, next := p.number(at)
	if next == at || p.is(i, "-") && p.sizeNotRange(i, next, high) {
		return 0, i
	}
	return high, next
}

// bracketedEnd reads "(or 3)".
func (p *parser) bracketedEnd(i int) (float64, int) {
	if !p.isAny(i+1, "or", "to") {
		return 0, i
	}
	if high, next := p.number(i + 2); next > i+2 && p.is(next, ")") {
		return high, next + 1
	}
	return 0, i
}

// rangeMark passes over what joins the two ends of a range.
func (p *parser) rangeMark(i int) int {
	at := i
	switch {
	case p.isAny(at, "-", "to", "or", "~"):
		at++
		if p.is(at, "to") && p.is(at-1, "-") { // "12-to-15-ounce"
			at++
		}
		if p.is(at, "-") {
			at++
		}
	case p.is(at, "and") && p.is(i-2, "between"):
		at++
	}
	return at
}

// sizeNotRange tells "1-14 oz can" and "2-28-ounce cans" from "1-2 oz": the second figure is the size of a package when
// it is a mass or volume that a package follows, and is far more than the first.
func (p *parser) sizeNotRange(hyphen, next int, high float64) bool {
	const farMore = 4
	low := p.at(hyphen - 1).value
	unit, beyond := p.unit(p.passHyphen(next))
	if unit == nil || unit.Kind != UnitMeasure || high < farMore*low {
		return false
	}
	holder, _ := p.unit(p.sizes(p.passHyphen(beyond)))
	return holder != nil && holder.Kind == UnitContainer
}

// passHyphen passes over a hyphen.
func (p *parser) passHyphen(i int) int {
	if p.is(i, "-") {
		return i + 1
	}
	return i
}

// highWithUnit reads a range whose second end has its own unit: "1 cup to 2 cups", "8 oz - 10 oz".
func (p *parser) highWithUnit(amount *Amount, unit *UnitWord, i int) int {
	if amount.Low != amount.High || !p.isAny(i, "to", "-", "or") {
		return i
	}
	value, other, next := p.secondEnd(unit, i+1)
	if other == nil {
		return i
	}
	ratio := p.reader.ratio(other, unit)
	high := value * ratio
	const same = 0.15 // "1 cup or 250 ml" is one amount written twice
	switch {
	case p.is(i, "or") && other.Name != unit.Name && math.Abs(high-amount.Low) < same*amount.Low:
		p.out.Also = append(p.out.Also, Amount{Low: high / ratio, High: high / ratio, Unit: other.Name})
	case high >= amount.Low:
		amount.High = high
	case p.is(i, "-"):
		return i
	default:
		amount.Low, amount.High = high, amount.Low
	}
	return next
}

// secondEnd reads a number with a unit that a range in the first unit may end with. The unit is nil where there is none.
func (p *parser) secondEnd(first *UnitWord, i int) (float64, *UnitWord, int) {
	at, _ := p.approximation(i)
	value, next := p.number(at)
	if next == at {
		return 0, nil, i
	}
	other, after := p.unit(p.sizes(next))
	if other == nil || other.Code == "" || other.Dim != first.Dim || other.Kind != first.Kind {
		return 0, nil, i
	}
	if (other.Kind == UnitPortion || other.Kind == UnitContainer) && other.Name != first.Name {
		return 0, nil, i
	}
	return value, other, after
}

// compound adds a second, smaller unit that follows at once: "2 lb 4 oz", "1 lb, 4 oz".
func (p *parser) compound(amount *Amount, unit *UnitWord, i int) int {
	at := i
	if p.is(at, ",") {
		at++
	}
	if p.at(at).kind != tokenNumber || unit.Kind != UnitMeasure {
		return i
	}
	value, next := p.number(at)
	part, after := p.unit(next)
	if next == at || part == nil || !p.reader.isPartOf(part, unit) {
		return i
	}
	if holder, beyond := p.unit(after); holder != nil && holder.Kind == UnitContainer && p.foodFollows(beyond) {
		return i
	}
	ratio := p.reader.ratio(part, unit)
	amount.Low += value * ratio
	amount.High += value * ratio
	return after
}

// isPartOf tells whether one unit is a smaller one of the same system, as ounces are of pounds. "8 oz 225 g" is one amount
// written twice.
func (r *Reader) isPartOf(part, unit *UnitWord) bool {
	if part.Kind != UnitMeasure || part.Dim != unit.Dim || part.Name == unit.Name || r.ratio(part, unit) >= 1 {
		return false
	}
	if unit.Name == "L" {
		return true
	}
	metricPart := part.Name == "g" || part.Name == "mL" || part.Name == "kg"
	return metricPart == (unit.Name == "kg")
}

// compoundEnd reads the second end of "2 lb 4 oz-2 lb 12 oz".
func (p *parser) compoundEnd(amount *Amount, unit *UnitWord, i int) int {
	if !p.isAny(i, "-", "to") {
		return i
	}
	value, next := p.number(i + 1)
	other, after := p.unit(next)
	if next == i+1 || other == nil || other.Name != unit.Name {
		return i
	}
	high := Amount{Low: value, High: value, Unit: unit.Name}
	after = p.compound(&high, unit, after)
	if high.High < amount.Low {
		return i
	}
	amount.High = high.High
	return after
}
