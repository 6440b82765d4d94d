package amount

import "strings"

// sizes passes over words for size and for how full a spoon is, and keeps them.
func (p *parser) sizes(i int) int {
	for range mostInARow {
		at := i
		if p.has(i+1, sizeWord) && (p.is(i, "-") || p.is(i, ",") && p.at(i-1).kind == tokenNumber) {
			at++
		}
		next := p.size(at)
		if next == at {
			break
		}
		i = next
	}
	return i
}

// size reads one size: "large", "(large)", "thumb sized", "very large", "heaping".
func (p *parser) size(i int) int {
	switch lower := p.at(i).lower; {
	case p.is(i, "(") && p.has(i+1, sizeWord) && p.is(i+2, ")"):
		p.keepSize(p.at(i + 1).lower)
		return i + 3
	case p.has(i, sizeWord):
		return p.sizeRange(i)
	case p.at(i).kind == tokenWord && p.isAny(i+1, "sized", "size") && p.unitAt(i+2), // "thumb sized piece"
		p.isAny(i, "very", "extra") && p.has(i+1, sizeWord):
		p.keepSize(lower + " " + p.at(i+1).lower)
		return i + 2
	case p.has(i, mannerWord) && p.unitAfterManner(i+1):
		p.keepSize(lower)
		return i + 1
	}
	return i
}

// sizeRange reads "large", "medium to large", "large-size".
func (p *parser) sizeRange(i int) int {
	at := i
	if p.isAny(at+1, "to", "or", "-", "and") && p.has(at+2, sizeWord) {
		p.keepSize(p.at(at).lower + " " + p.at(at+1).lower + " " + p.at(at+2).lower)
		at += 2
	} else {
		p.keepSize(p.at(at).lower)
	}
	if noun := p.passHyphen(at + 1); p.isAny(noun, "size", "sized") {
		at = noun
	}
	return at + 1
}

func (p *parser) keepSize(text string) { p.out.Sizes = append(p.out.Sizes, text) }

// unitAfterManner tells "thin slices" and "good pinch" from "thick yogurt": a unit follows the manner.
func (p *parser) unitAfterManner(i int) bool {
	for most := i + mostInARow; i < most && p.has(i, mannerWord|sizeWord); {
		i++
	}
	return p.unitAt(p.passHyphen(i))
}

// packing passes over "packed" and the like behind a unit, and keeps them.
func (p *parser) packing(i int) int {
	at := i
	if p.isAny(at, "(", ",") {
		at++
	}
	from := at
	for at < from+mostInARow && p.has(at, packingWord) {
		at++
	}
	if at == from || !p.has(at-1, packingEnd) {
		return i
	}
	p.keepSize(strings.Trim(p.line[p.startOf(from):p.tokens[at-1].end], " .,"))
	if p.is(from-1, "(") && p.is(at, ")") {
		at++
	}
	return at
}
