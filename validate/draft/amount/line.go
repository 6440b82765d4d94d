package amount

import (
	"math"
	"slices"
	"strings"

	"jarwright/validate/measure"
)

// Amount is one amount as it is written. Both ends of a range are kept; Low equals High where there is none.
type Amount struct {
	Low, High float64
	Unit      string // name of a Word; empty for a bare number
	About     bool   // "about", "up to", "scant", "heaping": the figure is not meant to the letter
}

// Written is one ingredient line taken apart as far as amounts go.
type Written struct {
	Amount    *Amount  // the first amount; nil where none is written
	Plus      []Amount // to be added; below zero for "less 2 tablespoons"
	Also      []Amount // the same amount in other words; never added
	Package   *Amount  // the size of each of what Amount counts: the 14 oz of "2 (14 oz) cans"
	Container string   // name of the Word for what holds a measured amount: the can of "400 g can"
	Sizes     []string // "large", "heaping", "packed"
	Open      string   // CodeToCover or CodeAsNeeded where the line says so in place of an amount
	Each      bool     // "1 cup each vinegar and water"
	Optional  bool
	Rest      string   // what is left: the food, its preparation, remarks
	Notes     []string // remarks that stood between the amounts
}

// parser walks over the tokens of one line.
type parser struct {
	w      *Writing
	line   string
	tokens []token
	// bracketed: what is read stands in brackets, where nothing need follow a unit
	bracketed bool
	last      *Amount // the amount read last, to which a second writing of it is compared
	out       Written
}

// Line takes one line apart. It never fails: what it does not understand stays in Rest. Lines longer than 2,000 bytes are
// read up to there and the remainder is kept in Rest.
func (w *Writing) Line(text string) Written {
	plain := PlainText(text)
	whole := plain
	if len(plain) > longestLine {
		plain = strings.ToValidUTF8(plain[:longestLine], "")
	}
	var room [48]token
	p := parser{w: w, line: plain}
	p.tokens = tokens(plain, room[:0])
	p.read()
	p.out.Rest += whole[len(plain):]
	return p.out
}

func (p *parser) at(i int) *token {
	if i < 0 || i >= len(p.tokens) {
		return &noToken
	}
	return &p.tokens[i]
}

// noToken stands beyond both ends of a line. Nobody writes to it.
var noToken token

func (p *parser) is(i int, lower string) bool { return p.at(i).lower == lower }

func (p *parser) isAny(i int, lowers ...string) bool { return slices.Contains(lowers, p.at(i).lower) }

func (p *parser) read() {
	start := p.lead()
	headings := len(p.out.Notes)
	next, ok := p.amount(start, true)
	switch {
	case ok && p.isLengthAlone():
		// "4 to 5 inch cucumbers, 8 lb": the size of the food, not its amount.
		measured := p.out
		p.out.Amount, p.out.Also = nil, nil
		p.out.Rest = p.line[p.startOf(start):]
		if p.amountLater(next); p.out.Amount == nil {
			p.out = measured
			p.out.Rest = p.restFrom(next)
		} else if p.out.Package == nil {
			p.out.Package = measured.Amount
		}
	case ok:
		p.out.Rest = p.restFrom(next)
		p.amountsBehind(next)
		if p.out.Rest == "" && headings > 0 && len(p.out.Notes) >= headings { // "Salt: 1 tsp"
			p.out.Rest = p.out.Notes[headings-1]
			p.out.Notes = slices.Delete(p.out.Notes, headings-1, headings)
		}
	default:
		p.out.Rest = strings.TrimLeft(p.line[p.startOf(start):], " ,:;-")
		p.amountLater(start)
	}
	p.out.Rest = closedUp(p.out.Rest)
	p.open()
}

func (p *parser) isLengthAlone() bool { return p.isLong(p.out.Amount) && p.out.Container == "" }

func (p *parser) isLong(amount *Amount) bool {
	word, _ := p.w.Word(amount.Unit)
	return word.Kind == WordLength
}

// closedUp takes out the gaps that words leave which were read as parts of the amount.
func closedUp(text string) string {
	if !strings.Contains(text, "  ") && !strings.Contains(text, " ,") && !strings.HasSuffix(text, " ") {
		return text
	}
	return strings.ReplaceAll(strings.Join(strings.Fields(text), " "), " ,", ",")
}

// blank takes the bytes of some tokens out of the line without moving the others.
func (p *parser) blank(from, to int) {
	start, end := p.startOf(from), p.tokens[to-1].end
	p.line = p.line[:start] + strings.Repeat(" ", end-start) + p.line[end:]
}

// amountsBehind reads the amounts in brackets, or after "about" or "plus", that stand behind the food:
// "1 head cauliflower (about 2 lb)", "1 tablespoon oil, plus 2 teaspoons". They leave the rest of the line.
func (p *parser) amountsBehind(next int) {
	for i := next; i < len(p.tokens); i++ {
		var end int
		switch {
		case p.is(i, "(") || p.is(i, "["):
			end = p.measuredBracket(i)
		case p.is(i, ",") && p.isAny(i+1, "about", "approximately", "approx", "around", "roughly", "plus"):
			end = p.measuredClause(i + 1)
		case p.at(i).kind == tokenNumber && p.at(i).spaced && p.at(i-1).kind == tokenWord:
			end = p.repeated(i)
		default:
			continue
		}
		if end > i {
			p.blank(i, end)
			p.out.Rest = p.restFrom(next)
			i = end - 1
		}
	}
}

// repeated reads the amount that stands once more at the end of a line, in the other system of units: "1 cup vinegar 250 mL".
func (p *parser) repeated(i int) int {
	if p.out.Amount == nil {
		return i
	}
	first, known := p.w.Word(p.out.Amount.Unit)
	before, kept := p.out, p.last
	amount, end, ok := p.plain(i)
	p.last = kept
	word, hasUnit := p.w.Word(amount.Unit)
	if !ok || !known || !hasUnit || first.Kind != WordMeasure || word.Kind != WordMeasure || isMetric(first.Name) == isMetric(word.Name) || p.at(end).kind != tokenEnd && !p.is(end, ",") {
		p.out = before
		return i
	}
	p.out.Also = append(p.out.Also, amount)
	return end
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
	if word, ok := p.w.Word(found.Unit); !ok || word.Kind != WordMeasure {
		p.out = before
		return i
	}
	return end
}

// measuredClause reads ", about 2 pounds" and ", plus 2 teaspoons" where the clause ends after it.
func (p *parser) measuredClause(i int) int {
	before := p.out
	if p.is(i, "plus") {
		if end := p.added(i); end > i && (p.at(end).kind == tokenEnd || p.is(end, ",")) {
			return end
		}
		p.out = before
		return i - 1
	}
	amount, end, ok := p.plain(i)
	word, hasUnit := p.w.Word(amount.Unit)
	if !ok || !hasUnit || word.Kind != WordMeasure || p.at(end).kind != tokenEnd && !p.is(end, ",") && !p.is(end, "total") {
		p.out = before
		return i - 1
	}
	if p.is(end, "total") {
		end++
	}
	p.out.Also = append(p.out.Also, amount)
	return end
}

func (p *parser) startOf(i int) int {
	if i >= len(p.tokens) {
		return len(p.line)
	}
	return p.tokens[i].start
}

// restFrom is the line after token i without what only joins it to the amount.
func (p *parser) restFrom(i int) string {
	for i < len(p.tokens) && (p.isAny(i, ",", ".", ":", ";", "-", "=", "|", "/", "of") || p.is(i, ")")) {
		i++
	}
	return p.line[p.startOf(i):]
}

// lead passes over what stands before the amount: "about", "(optional)", "For the brine:".
func (p *parser) lead() int {
	i := 0
	if colon := p.colon(); colon >= 0 {
		if _, next := p.number(colon + 1); next > colon+1 {
			p.note(p.line[:p.tokens[colon].start])
			i = colon + 1
		}
	}
	for {
		switch {
		case p.isAny(i, "optional"):
			p.out.Optional = true
			i++
			if p.isAny(i, ":", "-", ",") {
				i++
			}
		case p.is(i, "(") && p.is(i+1, "optional") && p.is(i+2, ")"):
			p.out.Optional = true
			i += 3
		case p.isAny(i, "-", ".", ",", "+", "plus", "and", "then", "the", "or", ":") && p.at(i+1).kind == tokenNumber:
			i++
		default:
			return i
		}
	}
}

// colon finds a colon near the start of the line that parts a heading from the rest.
func (p *parser) colon() int {
	const words = 6
	for i := 1; i < min(words, len(p.tokens)); i++ {
		if p.tokens[i].kind == tokenNumber {
			return -1
		}
		if p.is(i, ":") {
			return i
		}
	}
	return -1
}

func (p *parser) note(text string) {
	if text = strings.Trim(text, " ,;:()"); text != "" {
		p.out.Notes = append(p.out.Notes, text)
	}
}

// amount reads everything at i that belongs to the amount and gives the place after it.
func (p *parser) amount(i int, leading bool) (int, bool) {
	first, next, ok := p.counted(i)
	if !ok {
		return i, false
	}
	p.out.Amount = &first
	next = p.joined(next)
	if leading {
		next = p.trailingUnit(next)
	}
	if p.is(next, "each") {
		p.out.Each = true
		next++
		if p.is(next, "of") {
			next++
		}
	}
	return next, true
}

// counted reads one amount with the size of the package it counts, if any.
func (p *parser) counted(i int) (Amount, int, bool) {
	amount, next, ok := p.plain(i)
	if !ok {
		return Amount{}, i, false
	}
	word, hasUnit := p.w.Word(amount.Unit)
	if !hasUnit {
		if pack, after, ok := p.packageSize(next); ok {
			return pack, after, true
		}
		return amount, p.otherSize(next), true
	}
	// "28-ounce can", "400 g tin": what holds it follows.
	if word.Kind == WordMeasure || word.Kind == WordLength {
		if after := p.dual(next); after > next {
			next = after
		}
		if holder, after := p.holder(next, word); holder != "" {
			p.out.Container = holder
			next = after
		} else if word.Kind == WordMeasure && !p.is(next, "whole") {
			for isSize(p.at(next).lower) && p.at(next+1).kind == tokenWord {
				p.out.Sizes = append(p.out.Sizes, p.at(next).lower)
				next++
			}
		}
	}
	return amount, next, true
}

// otherSize reads the second count of "6 medium or 3 large mushrooms", which says the first again for pieces of another size.
func (p *parser) otherSize(i int) int {
	if !p.is(i, "or") || !isSize(p.at(i-1).lower) {
		return i
	}
	count, next := p.number(i + 1)
	if next == i+1 || !isSize(p.at(next).lower) || p.unitAt(next+1) {
		return i
	}
	p.out.Also = append(p.out.Also, Amount{Low: count, High: count})
	return next + 1
}

// packageSize reads, after a bare count, "(14 oz) can", "28-ounce cans", "x 400 g tins". The amount is the count in the
// unit of what holds it.
func (p *parser) packageSize(i int) (Amount, int, bool) {
	count := *p.last
	at, closing := i, false
	switch {
	case p.isAny(at, "x", "*") && p.at(at+1).kind == tokenNumber:
		at++
	case p.is(at, "("):
		at, closing = at+1, true
	case p.is(at, "-") && p.at(at+1).kind == tokenNumber:
		at++
	case p.isAny(at, ",", "of") && p.at(at+1).kind == tokenNumber:
		at++
	case p.at(at).kind != tokenNumber && !numberAhead(p.at(at).lower):
		return Amount{}, i, false
	}
	before := p.out
	size, next, ok := p.plain(at)
	p.last = &count
	if closing && ok && size.Unit == "" && before.Package == nil && p.out.Package != nil { // "6 (1/4-inch-thick) slices"
		size = *p.out.Package
	}
	word, hasUnit := p.w.Word(size.Unit)
	if !ok || !hasUnit || word.Kind != WordMeasure && word.Kind != WordLength {
		p.out = before
		return Amount{}, i, false
	}
	next = p.dual(next)
	if closing {
		end := p.closing(next)
		if end < 0 {
			p.out = before
			return Amount{}, i, false
		}
		p.noteBetween(next, end)
		next = end + 1
	} else if p.is(next, "(") {
		if end := p.closing(next + 1); end > 0 && p.also(next+1, false) { // "1 28-oz (796 mL) can"
			p.noteBetween(next+1, end)
			next = end + 1
		}
	}
	p.out.Package = &size
	next = p.sizes(next)
	if unit, after := p.unit(next); unit != nil && (unit.Kind == WordContainer || unit.Kind == WordPortion && p.unitFits(unit, next, after)) {
		count.Unit, next = unit.Name, after
		if other, beyond := p.unit(next + 1); p.is(next, "or") && other != nil && other.Kind == WordContainer && p.foodFollows(beyond) {
			next = beyond // "1 (12 oz) can or bottle beer"
		}
	}
	return count, next, true
}

func numberAhead(lower string) bool { _, ok := numberWords[lower]; return ok }

// noteBetween keeps what stands between two tokens as a remark.
func (p *parser) noteBetween(from, to int) {
	if from < to {
		p.note(p.line[p.startOf(from):p.startOf(to)])
	}
}

// closing finds the bracket that closes the one before i.
func (p *parser) closing(i int) int {
	depth := 1
	for ; i < len(p.tokens); i++ {
		switch {
		case p.is(i, "("):
			depth++
		case p.is(i, ")"):
			if depth--; depth == 0 {
				return i
			}
		}
	}
	return -1
}

// holder reads the container or the kind of piece that a measured amount is in.
func (p *parser) holder(i int, of Word) (string, int) {
	at := i
	if p.is(at, "-") {
		at++
	}
	sizes := len(p.out.Sizes)
	at = p.sizes(at)
	unit, after := p.unit(at)
	if unit == nil || !p.unitFits(unit, at, after) {
		p.out.Sizes = p.out.Sizes[:sizes]
		return "", i
	}
	spoon := of.Dim == measure.DimensionVolume
	switch {
	case unit.Kind == WordContainer:
	case unit.Kind == WordPortion && !spoon && !p.isAny(at, "clove", "cloves", "cube", "cubes", "rounds", "round", "count", "bar", "strips"):
	default:
		p.out.Sizes = p.out.Sizes[:sizes]
		return "", i
	}
	return unit.Name, after
}

// plain reads a number or a range with its unit: "2", "2 to 3 cups", "1 cup to 2 cups", "a pinch", "2 lb 4 oz".
func (p *parser) plain(i int) (Amount, int, bool) {
	var amount Amount
	i, amount.About = p.about(i)
	low, next := p.number(i)
	switch {
	case next > i:
		amount.Low, amount.High = low, low
		if high, after := p.rangeEnd(next); after > next {
			amount.Low, amount.High, next = low, high, after
			if amount.High < amount.Low {
				amount.Low, amount.High = amount.High, amount.Low
			}
		}
	case isArticle(p.at(i).lower):
		return p.article(i, amount)
	case p.isAny(i, "few", "several", "handful", "pinch", "dash", "splash", "drizzle", "knob", "glug", "squeeze", "sprinkle", "sprinkling", "couple", "bunch", "dozen"):
		return p.article(i-1, amount)
	case p.sizedUnit(i):
		return p.article(i-1, amount)
	default:
		return Amount{}, i, false
	}
	p.last = &amount
	if p.is(next, "-") && p.isAny(next+1, "inch-thick", "inch-long", "inch-wide", "cm-thick", "cm-long") && p.out.Package == nil {
		// "1 1/4-inch-thick slice": one slice of that size
		code := "in"
		if p.at(next + 1).lower[0] == 'c' {
			code = "cm"
		}
		p.out.Package = &Amount{Low: amount.Low, High: amount.High, Unit: code}
		amount.Low, amount.High = 1, 1
	}
	if p.is(next, "of") && isArticle(p.at(next+1).lower) { // "1/2 of a large onion"
		next += 2
	}
	sized := p.sizes(next)
	if unit, after := p.unit(sized); unit != nil && p.unitFits(unit, sized, after) {
		amount.Unit = unit.Name
		if unit.Name == "dozen" {
			return amount, p.sizes(after), true
		}
		if more, ok := p.highWithUnit(&amount, unit, after); ok {
			after = more
		}
		if p.is(after, "or") && p.isAny(after+1, "more", "so", "less") && p.foodFollows(after+2) { // "1 cup or more water"
			amount.About, after = true, after+2
		}
		next = p.compound(&amount, unit, p.packedAfter(after))
		if next > after && amount.Low == amount.High {
			next = p.compoundEnd(&amount, unit, next)
		}
		return amount, next, true
	}
	return amount, sized, true
}

// article reads an amount without a figure: "a pinch", "a few sprigs", "a large onion", "a dozen eggs", "a 2-inch piece".
func (p *parser) article(i int, amount Amount) (Amount, int, bool) {
	at := i + 1
	if value, next := p.number(at); next > at { // "a half cup", "a 2-inch piece"
		_ = value
		return p.plain(at)
	}
	amount.Low, amount.High = 1, 1
	switch {
	case p.isAny(at, "couple"):
		amount.Low, amount.High, amount.About = 2, 2, true
		if at++; p.is(at, "of") {
			at++
		}
	case p.isAny(at, "few", "several"):
		amount.Low, amount.High, amount.About = 0, 0, true // a word for an amount that nobody counted
		at++
	case p.isAny(at, "little", "bit", "lot", "touch", "sufficient"):
		amount.Low, amount.High, amount.About = 0, 0, true
		if at++; p.is(at, "of") {
			at++
		}
		p.out.Open = measure.CodeAsNeeded
	}
	p.last = &amount
	sized := p.sizes(at)
	if unit, after := p.unit(sized); unit != nil && p.unitFits(unit, sized, after) {
		amount.Unit = unit.Name
		return amount, p.packedAfter(after), true
	}
	return amount, sized, true
}

// sizedUnit tells "heaped tbsp sugar" and "thumb-sized piece of ginger", which leave out that it is one.
func (p *parser) sizedUnit(i int) bool {
	at := i
	for isSize(p.at(at).lower) || isManner(p.at(at).lower) {
		at++
	}
	if at == i || at > i+3 {
		return false
	}
	unit, after := p.unit(at)
	return unit != nil && p.unitFits(unit, at, after) && len(p.at(at).text) > 1
}

// about passes over the words that make a figure approximate.
func (p *parser) about(i int) (int, bool) {
	found := false
	for {
		switch {
		case p.isAny(i, "about", "approximately", "approx", "around", "roughly", "nearly", "almost", "circa", "ca", "~", "abt", "maybe"):
			i, found = i+1, true
		case p.is(i, "up") && p.is(i+1, "to"), p.is(i, "at") && p.isAny(i+1, "least", "most"):
			i, found = i+2, true
		case p.isAny(i, "scant", "heaping", "heaped", "generous", "rounded", "level", "good", "heavy", "large", "big", "small") && p.sizeBeforeNumber(i):
			p.out.Sizes = append(p.out.Sizes, p.at(i).lower)
			i, found = i+1, true
		case p.isAny(i, "another", "additional", "extra", "only", "exactly", "total", "between"):
			if _, next := p.number(i + 1); next == i+1 && !isArticle(p.at(i+1).lower) {
				return i, found
			}
			i++
		case isArticle(p.at(i).lower) && p.isAny(i+1, "scant", "heaping", "heaped", "generous", "rounded", "level", "good", "full") && p.numberAt(i+2):
			p.out.Sizes = append(p.out.Sizes, p.at(i+1).lower)
			i, found = i+2, true
		default:
			return i, found
		}
	}
}

func (p *parser) numberAt(i int) bool { _, next := p.number(i); return next > i }

// sizeBeforeNumber tells "scant 1/4 cup" and "generous cup" from the first word of a food.
func (p *parser) sizeBeforeNumber(i int) bool { return p.numberAt(i + 1) }

// rangeEnd reads the second number of a range.
func (p *parser) rangeEnd(i int) (float64, int) {
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
	case p.is(at, "(") && p.isAny(at+1, "or", "to") && p.numberAt(at+2):
		if high, next := p.number(at + 2); p.is(next, ")") {
			return high, next + 1
		}
		return 0, i
	default:
		return 0, i
	}
	if p.isAny(at, "about", "more", "as") {
		at++
	}
	if isArticle(p.at(at).lower) && !p.isAny(at+1, "half", "dozen", "third", "quarter") {
		return 0, i
	}
	high, next := p.number(at)
	if next == at {
		return 0, i
	}
	// "1-14 oz can", "2-28-ounce cans": a count and a size, not a range.
	if p.is(i, "-") && p.sizeNotRange(i, next, high) {
		return 0, i
	}
	return high, next
}

// sizeNotRange tells "1-14 oz can" and "2-28-ounce cans" from "1-2 oz": the second figure is the size of a package when
// it is a mass or volume that a package follows, and is far more than the first.
func (p *parser) sizeNotRange(hyphen, next int, high float64) bool {
	const farMore = 4
	low := p.at(hyphen - 1).value
	after := next
	if p.is(after, "-") {
		after++
	}
	unit, beyond := p.unit(after)
	if unit == nil || unit.Kind != WordMeasure || high < farMore*low {
		return false
	}
	if p.is(beyond, "-") {
		beyond++
	}
	holder, _ := p.unit(p.sizes(beyond))
	return holder != nil && holder.Kind == WordContainer
}

// sizes passes over words for size and for how full a spoon is, and keeps them.
func (p *parser) sizes(i int) int {
	for at := i; ; at++ {
		t := p.at(at)
		switch {
		case p.is(at, "(") && p.is(at+2, ")") && isSize(p.at(at+1).lower):
			p.out.Sizes = append(p.out.Sizes, p.at(at+1).lower)
			at += 2
			i = at + 1
		case isSize(t.lower):
			if p.isAny(at+1, "to", "or", "-", "and") && isSize(p.at(at+2).lower) {
				p.out.Sizes = append(p.out.Sizes, t.lower+" "+p.at(at+1).lower+" "+p.at(at+2).lower)
				at += 2
			} else {
				p.out.Sizes = append(p.out.Sizes, t.lower)
			}
			if p.is(at+1, "-") && p.isAny(at+2, "size", "sized") {
				at += 2
			} else if p.isAny(at+1, "size", "sized") {
				at++
			}
			i = at + 1
		case t.kind == tokenWord && p.isAny(at+1, "sized", "size") && p.unitAt(at+2): // "thumb sized piece"
			p.out.Sizes = append(p.out.Sizes, t.lower+" "+p.at(at+1).lower)
			at++
			i = at + 1
		case p.isAny(at, "very", "extra") && isSize(p.at(at+1).lower):
			p.out.Sizes = append(p.out.Sizes, t.lower+" "+p.at(at+1).lower)
			at++
			i = at + 1
		case isManner(t.lower) && p.unitAfterManner(at+1):
			p.out.Sizes = append(p.out.Sizes, t.lower)
			i = at + 1
		case p.is(at, ",") && isSize(p.at(at+1).lower) && at == i && at > 0 && p.at(at-1).kind == tokenNumber:
		case p.isAny(at, "-") && p.at(at+1).kind == tokenWord && (isSize(p.at(at+1).lower) || p.unitAt(at+1)):
			if at != i {
				return i
			}
			if isSize(p.at(at + 1).lower) {
				continue
			}
			return i
		default:
			return i
		}
	}
}

func (p *parser) unitAt(i int) bool { unit, _ := p.unit(i); return unit != nil }

// unitAfterManner tells "thin slices" and "good pinch" from "thick yogurt": a unit follows the manner.
func (p *parser) unitAfterManner(i int) bool {
	for isManner(p.at(i).lower) || isSize(p.at(i).lower) {
		i++
	}
	if p.isAny(i, "-") {
		i++
	}
	return p.unitAt(i)
}

func isSize(lower string) bool {
	switch lower {
	case "small", "medium", "large", "big", "extra-large", "extra-small", "jumbo", "tiny", "sm", "med", "md", "lg", "lge", "medium-size", "medium-sized",
		"large-sized", "large-size", "small-sized", "small-size", "good-sized", "good-size", "medium-large", "medium-small", "medium-to-large",
		"small-to-medium", "whole", "average", "average-sized", "average-size", "mid-sized", "midsize", "thumb-sized", "thumb-size", "thumbsized", "thumbnail-sized", "thumbnail-size",
		"fist-sized", "fist-size", "walnut-sized", "walnut-size", "bite-sized", "regular-size", "family-size", "individual", "inch-thick", "inch-long", "inch-wide", "cm-thick", "cm-long", "jumbo-sized", "largish", "smallish":
		return true
	}
	return false
}

func isManner(lower string) bool {
	switch lower {
	case "good", "generous", "generously", "heaping", "heaped", "scant", "scanty", "rounded", "level", "fat", "thin", "thick", "plump", "heavy", "full", "nice", "slightly",
		"lightly", "loosely", "firmly", "tightly", "overflowing", "extra", "short", "long", "single", "double", "standard", "regular", "average", "healthy", "hefty", "brimming",
		"leveled", "levelled", "overfilled", "loose", "tight", "packed", "flat", "thickish", "stiff", "couple", "few", "u.s", "us", "american", "metric", "imperial", "uk", "british", "light", "ripe", "young", "mini", "fresh", "more":
		return true
	}
	return false
}

// unit reads a unit at i: one word, two ("fl oz"), or a sign ("5#").
func (p *parser) unit(i int) (*Word, int) {
	if p.is(i, "-") && p.at(i+1).kind == tokenWord {
		i++
	}
	t := p.at(i)
	if t.kind == tokenEnd || t.kind == tokenNumber {
		return nil, i
	}
	if t.kind == tokenWord && p.at(i+1).kind == tokenWord {
		if two := p.twoWords(i); two != nil {
			return two, i + 2
		}
	}
	if t.text == "#" && p.at(i+1).kind == tokenNumber && !p.at(i+1).spaced {
		return nil, i // "#10 can" is a size of can
	}
	if word := p.w.spelled(t.text, t.lower); word != nil {
		return word, i + 1
	}
	if cut := strings.IndexByte(t.lower, '-'); cut > 0 { // "inch-thick", "oz-can"
		if word := p.w.spelled(t.text[:cut], t.lower[:cut]); word != nil && word.Kind == WordLength {
			return word, i + 1
		}
	}
	return nil, i
}

// twoWords finds the units that are written as two words.
func (p *parser) twoWords(i int) *Word {
	switch p.at(i).lower {
	case "fl", "fluid", "liquid", "us", "metric", "imperial", "imp", "oz", "knife":
		second := p.at(i + 1).lower
		return p.w.spelled("  ", p.at(i).lower+" "+second)
	}
	return nil
}

// unitFits refuses a unit word that is the food itself: "4 cloves", "2 heads", "12 whole cloves, crushed".
func (p *parser) unitFits(unit *Word, at, after int) bool {
	if unit.Kind == WordMeasure || unit.Kind == WordLength {
		t := p.at(at)
		if len(t.text) == 1 && t.kind == tokenWord && !p.singleLetterUnit(after) {
			return false
		}
		return true
	}
	if p.is(at, "each") {
		return false
	}
	if p.is(at, "can") && p.is(after, "be") {
		return false
	}
	if p.bracketed && (p.is(after, ")") || p.is(after, ",") || p.at(after).kind == tokenEnd) {
		return true
	}
	if unit.Name == "clove" && p.isAny(after, "chopped", "sliced", "minced", "crushed", "peeled", "finely", "thinly", "coarsely", "roughly") {
		// Without garlic the food is not named: it is the spice as likely.
		return p.isAny(after+1, "garlic") || p.isAny(after+2, "garlic") || p.isAny(after+3, "garlic")
	}
	return p.foodFollows(after)
}

// singleLetterUnit tells "2 c water" from a letter that happens to stand there: white space, an end or a bracket follows.
func (p *parser) singleLetterUnit(after int) bool {
	next := p.at(after)
	return next.kind == tokenEnd || next.spaced || next.kind == tokenSign
}

// foodFollows reports whether something that can be the food stands at i, so that the word before it may be a unit.
func (p *parser) foodFollows(i int) bool {
	for p.is(i, "of") || p.is(i, "the") {
		i++
	}
	switch t := p.at(i); t.kind {
	case tokenWord:
		return !p.isAny(i, "for", "to", "or", "and", "plus", "optional", "about", "if", "cut", "only", "in", "with")
	case tokenSign:
		if t.text == "(" {
			if end := p.closing(i + 1); end > 0 {
				return p.foodFollows(end + 1)
			}
			return false
		}
		return t.text == "/" || t.text == "+" || t.text == "\""
	case tokenNumber:
		return true
	}
	return false
}

// packedAfter passes over "packed" and the like after a unit.
func (p *parser) packedAfter(i int) int {
	at := i
	if p.is(at, "(") {
		at++
	} else if p.is(at, ",") {
		at++
	}
	from := at
	for p.isAny(at, "packed", "lightly", "loosely", "firmly", "tightly", "well", "well-packed", "heaped", "heaping", "level", "rounded", "lightly-packed", "firmly-packed", "loosely-packed", "scant", "generous") {
		at++
	}
	if at == from || !p.isAny(at-1, "packed", "heaped", "heaping", "level", "rounded", "well-packed", "lightly-packed", "firmly-packed", "loosely-packed", "scant", "generous") {
		return i
	}
	p.out.Sizes = append(p.out.Sizes, strings.Trim(p.line[p.startOf(from):p.tokens[at-1].end], " .,"))
	if p.is(from-1, "(") && p.is(at, ")") {
		at++
	}
	return at
}

// highWithUnit reads a range whose second end has its own unit: "1 cup to 2 cups", "8 oz - 10 oz".
func (p *parser) highWithUnit(amount *Amount, unit *Word, i int) (int, bool) {
	if amount.Low != amount.High || !p.isAny(i, "to", "-", "or") {
		return i, false
	}
	at, _ := p.about(i + 1)
	high, next := p.number(at)
	if next == at {
		return i, false
	}
	other, after := p.unit(p.sizes(next))
	if other == nil || other.Code == "" || other.Dim != unit.Dim || other.Kind != unit.Kind || other.Kind == WordPortion && other.Name != unit.Name {
		return i, false
	}
	if other.Kind == WordContainer && other.Name != unit.Name {
		return i, false
	}
	ratio := p.w.ratio(other, unit)
	high *= ratio
	const same = 0.15 // "1 cup or 250 ml" is one amount written twice
	if p.is(i, "or") && other.Name != unit.Name && math.Abs(high-amount.Low) < same*amount.Low {
		p.out.Also = append(p.out.Also, Amount{Low: high / ratio, High: high / ratio, Unit: other.Name})
		return after, true
	}
	if high < amount.Low {
		if p.is(i, "-") {
			return i, false
		}
		amount.Low, amount.High = high, amount.Low
		return after, true
	}
	amount.High = high
	return after, true
}

// compoundEnd reads the second end of "2 lb 4 oz-2 lb 12 oz".
func (p *parser) compoundEnd(amount *Amount, unit *Word, i int) int {
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

// ratio is how many of the second unit one of the first is; both are of one dimension.
func (w *Writing) ratio(of, in *Word) float64 {
	if of.Name == in.Name {
		return 1
	}
	a, okA := w.units.Lookup(of.Code)
	b, okB := w.units.Lookup(in.Code)
	if !okA || !okB {
		return 1
	}
	return a.SI(1) * of.Factor / (b.SI(1) * in.Factor)
}

// compound adds a second, smaller unit that follows at once: "2 lb 4 oz", "1 lb, 4 oz".
func (p *parser) compound(amount *Amount, unit *Word, i int) int {
	at := i
	if p.is(at, ",") {
		at++
	}
	if p.at(at).kind != tokenNumber || unit.Kind != WordMeasure {
		return i
	}
	value, next := p.number(at)
	other, after := p.unit(next)
	if next == at || other == nil || other.Kind != WordMeasure || other.Dim != unit.Dim || other.Name == unit.Name || p.w.ratio(other, unit) >= 1 {
		return i
	}
	if (other.Name == "g" || other.Name == "mL" || other.Name == "kg") != (unit.Name == "kg" || unit.Name == "L") && unit.Name != "L" {
		return i // "8 oz 225 g" is one amount written twice
	}
	if holder, beyond := p.unit(after); holder != nil && holder.Kind == WordContainer && p.foodFollows(beyond) {
		return i
	}
	amount.Low += value * p.w.ratio(other, unit)
	amount.High += value * p.w.ratio(other, unit)
	return after
}

// dual reads the same amount in another unit, after a slash or an equals sign or in brackets: "200 ml/7 fl oz".
func (p *parser) dual(i int) int {
	for {
		at := i
		switch {
		case p.isAny(at, "/", "=", "|", ";"), p.is(at, "-") && p.at(at).spaced && p.at(at+1).spaced, p.is(at, ",") && p.at(at+1).kind == tokenNumber && p.also(at+1, false):
			at++
		case p.is(at, "or") && p.also(at+1, true):
			at++
		case p.at(at).kind == tokenNumber && p.also(at, false):
		default:
			return i
		}
		kept := p.last
		amount, next, ok := p.plain(at)
		p.last = kept
		word, hasUnit := p.w.Word(amount.Unit)
		if !ok || !hasUnit || word.Kind == WordContainer {
			return i
		}
		p.out.Also = append(p.out.Also, amount)
		i = next
	}
}

// also reports whether a measured amount stands at i that can be the amount before it in other words: in the other system
// of units.
func (p *parser) also(i int, joined bool) bool {
	i, _ = p.about(i)
	_, next := p.number(i)
	if next == i {
		return false
	}
	unit, after := p.unit(next)
	if unit == nil || unit.Kind != WordMeasure {
		return false
	}
	if !joined {
		if holder, _ := p.unit(after); holder != nil && holder.Kind == WordContainer {
			return p.last != nil && p.last.Unit != ""
		}
	}
	if joined {
		return p.alike(unit, i)
	}
	return isMetric(unit.Name) != (p.last != nil && isMetric(p.last.Unit))
}

// alike reports whether the amount at i is the last amount in other units, as nearly as cooks round.
func (p *parser) alike(unit *Word, i int) bool {
	if p.last == nil {
		return false
	}
	before, ok := p.w.Word(p.last.Unit)
	if !ok || before.Dim != unit.Dim {
		return false
	}
	value, _ := p.number(i)
	const near = 0.25
	ratio := value * p.w.ratio(unit, &before) / p.last.Low
	return math.Abs(ratio-1) < near
}

func isMetric(name string) bool {
	switch name {
	case "g", "kg", "mg", "mL", "cL", "dL", "L":
		return true
	}
	return false
}

// joined reads what is added to the amount, taken from it, or says it again.
func (p *parser) joined(i int) int {
	for {
		next := p.dual(i)
		next = p.added(next)
		next = p.bracket(next)
		if next == i {
			return i
		}
		i = next
	}
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
	at++
	kept := p.last
	amount, next, ok := p.plain(at)
	p.last = kept
	word, hasUnit := p.w.Word(amount.Unit)
	if !ok || !hasUnit || word.Kind == WordLength || amount.High == 0 {
		return i
	}
	if p.is(at-1, "and") && word.Kind != WordMeasure {
		return i
	}
	amount.Low, amount.High = sign*amount.Low, sign*amount.High
	p.out.Plus = append(p.out.Plus, amount)
	return next
}

// bracket reads a bracket after the amount that holds an amount too, or says that the line is optional.
func (p *parser) bracket(i int) int {
	if !p.is(i, "(") && !p.is(i, "[") {
		return i
	}
	end := p.closing(i + 1)
	if p.is(i, "[") {
		for end = i + 1; end < len(p.tokens) && !p.is(end, "]"); {
			end++
		}
	}
	if end < 0 || end >= len(p.tokens) || p.out.Amount == nil {
		return i
	}
	if p.is(i+1, "optional") && end == i+2 {
		p.out.Optional = true
		return end + 1
	}
	from := i + 1
	for p.isAny(from, "or", "a", "to", "total", "equals", "that", "is", "yield", "yields", "from", "weighing", "=") && !(isArticle(p.at(from).lower) && p.unitAt(from+1)) {
		from++
	}
	kept, sizes := p.last, len(p.out.Sizes)
	p.bracketed = true
	inner, next, ok := p.plain(from)
	p.last, p.bracketed = kept, false
	word, hasUnit := p.w.Word(inner.Unit)
	if ok && !hasUnit && p.at(next).kind == tokenNumber && inner.High > 0 { // "(2 14-ounce cans)"
		p.bracketed = true
		size, after, sized := p.plain(next)
		p.last, p.bracketed = kept, false
		if each, known := p.w.Word(size.Unit); sized && known && each.Kind == WordMeasure {
			inner.Low, inner.High, inner.Unit = inner.Low*size.Low, inner.High*size.High, size.Unit
			word, hasUnit, next = each, true, after
			if holder, beyond := p.unit(next); holder != nil {
				next = beyond
			}
		}
	}
	if ok && !hasUnit && next == end && inner.High > 0 && p.out.Amount.Unit != "" && p.out.Amount.Unit != measure.CodeEach {
		hasUnit = true // "3 lb (about 14)": pieces
	}
	if !ok || !hasUnit || inner.High == 0 {
		p.out.Sizes = p.out.Sizes[:sizes]
		return i
	}
	repeats := len(p.out.Also)
	next = p.dual(next)
	each := false
	for n := next; n < end; n++ {
		if p.isAny(n, "each", "per", "apiece") {
			each = true
		}
	}
	counting, _ := p.w.Word(p.out.Amount.Unit)
	measuredInner := word.Kind == WordMeasure || word.Kind == WordLength
	switch {
	case measuredInner && p.out.Package == nil && (each || counting.Kind == WordContainer || counting.Kind == WordPortion && p.out.Amount.High == 1 && word.Kind == WordLength):
		p.out.Package = &inner
	default:
		p.out.Also = slices.Insert(p.out.Also, repeats, inner)
	}
	if !each {
		p.noteBetween(next, end)
	}
	return end + 1
}

// trailingUnit reads the portion that stands after the food: "4 garlic cloves", "2 celery stalks", "3 thyme sprigs".
func (p *parser) trailingUnit(i int) int {
	amount := p.out.Amount
	if amount.Unit != "" || p.out.Package != nil && !p.isLong(p.out.Package) {
		return i
	}
	for at := i; at < len(p.tokens) && at < i+4; at++ {
		if p.at(at).kind != tokenWord {
			return i
		}
		if at == i {
			continue
		}
		food := p.at(at - 1).lower
		switch p.at(at).lower {
		case "clove", "cloves":
			if food != "garlic" {
				return i
			}
		case "stalk", "stalks", "rib", "ribs", "sprig", "sprigs", "bunch", "bunches", "slice", "slices", "bulb", "bulbs":
		default:
			continue
		}
		word := p.w.spelled("  ", p.at(at).lower)
		amount.Unit = word.Name
		// The word leaves the line; what stood around it closes up.
		p.line = p.line[:p.tokens[at].start] + strings.Repeat(" ", p.tokens[at].end-p.tokens[at].start) + p.line[p.tokens[at].end:]
		return i
	}
	return i
}

// amountLater looks for the amount behind the food: "lemons, 2", "Salt: 1 tsp", "juice of 2 lemons", "water (2 cups)".
func (p *parser) amountLater(start int) {
	for i := start + 1; i < len(p.tokens); i++ {
		t := p.at(i)
		if t.kind != tokenNumber && (t.kind != tokenWord || !p.laterWord(i)) {
			continue
		}
		if p.isAny(i-1, "into", "cut", "%", "no", "number", "type", "grade", "#", "in", "x", "every", "by") || p.is(i-1, "to") && !p.is(i-2, "up") {
			continue
		}
		probe := parser{w: p.w, line: p.line, tokens: p.tokens, bracketed: true}
		next, ok := probe.amount(i, false)
		if !ok || probe.out.Amount == nil {
			continue
		}
		word, hasUnit := p.w.Word(probe.out.Amount.Unit)
		of := p.isAny(i-1, "of", "from") || isArticle(t.lower) && p.isAny(i-1, "of", "from")
		behind := p.at(next)
		last := behind.kind == tokenEnd || behind.kind == tokenSign && behind.text != "%" && behind.text != "/" && behind.text != "-"
		switch {
		case hasUnit && word.Kind == WordLength && probe.out.Container == "":
			continue
		case hasUnit && word.Kind == WordMeasure, of && probe.out.Amount.High > 0, !hasUnit && last && t.kind == tokenNumber && p.bareNumberLast(i, next), hasUnit && word.Kind != WordLength && last:
		default:
			continue
		}
		p.takeLater(&probe, start, i, next, of)
		return
	}
}

// laterWord keeps "one" and "a" in the middle of a line from being read as amounts where they are not.
func (p *parser) laterWord(i int) bool {
	word := p.at(i).lower
	if isArticle(word) {
		return p.isAny(i-1, "of", "from") && p.isAny(i-2, "juice", "zest", "peel", "rind", "half", "leaves", "kernels")
	}
	if word == "half" {
		return p.isAny(i-1, "of", "from")
	}
	_, isNumber := numberWords[word]
	return isNumber && p.isAny(i-1, "of", "from", ",", "-", ":", "(")
}

// bareNumberLast tells "lemons, 2" from "flour 00": a mark stands before the number or it is the last thing of a short line.
func (p *parser) bareNumberLast(i, next int) bool {
	return p.isAny(i-1, ",", "-", ":", "(", "x") || next >= len(p.tokens) && p.at(i-1).kind == tokenWord
}

// takeLater takes over the amount found behind the food.
func (p *parser) takeLater(probe *parser, start, i, next int, of bool) {
	before := p.line[p.startOf(start):p.startOf(i)]
	after := probe.restFrom(next)
	if !of {
		before = strings.TrimRight(before, " ,:;-(~")
		for _, word := range []string{"about", "approximately", "approx.", "approx", "around", "roughly"} {
			before = strings.TrimRight(strings.TrimSuffix(before, word), " ,:;-(")
		}
		after = strings.TrimLeft(after, " )")
		if after != "" && !strings.HasPrefix(after, "(") {
			after = ", " + after
		}
	}
	notes, optional, open := p.out.Notes, p.out.Optional, p.out.Open
	p.out = probe.out
	p.out.Notes = append(notes, p.out.Notes...)
	p.out.Optional = p.out.Optional || optional
	if p.out.Open == "" {
		p.out.Open = open
	}
	p.out.Rest = strings.Trim(before, " ")
	if after != "" {
		p.out.Rest += strings.Repeat(" ", btoi(of || strings.HasPrefix(after, "("))) + after
	}
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// openPhrases are the words for amounts that nobody measures, the longest first.
var openPhrases = []struct{ text, code string }{
	{"enough to cover", measure.CodeToCover},
	{"to cover", measure.CodeToCover},
	{"to fill", measure.CodeToCover},
	{"to taste", measure.CodeAsNeeded},
	{"as needed", measure.CodeAsNeeded},
	{"as required", measure.CodeAsNeeded},
	{"as necessary", measure.CodeAsNeeded},
	{"as desired", measure.CodeAsNeeded},
	{"if needed", measure.CodeAsNeeded},
	{"if desired", measure.CodeAsNeeded},
	{"if necessary", measure.CodeAsNeeded},
	{"q.s.", measure.CodeAsNeeded},
}

// open reads "to taste", "to cover", "as needed" and "optional" in what is left of the line.
func (p *parser) open() {
	if p.out.Rest == "" {
		return
	}
	lower := p.out.Rest
	for i := range len(lower) {
		if lower[i] >= 'A' && lower[i] <= 'Z' || lower[i] >= 0x80 {
			lower = strings.ToLower(lower)
			break
		}
	}
	if strings.Contains(lower, "optional") {
		p.out.Optional = true
	}
	if p.out.Amount != nil && p.out.Amount.High > 0 {
		return
	}
	for _, phrase := range openPhrases {
		if strings.Contains(lower, phrase.text) {
			p.out.Open = phrase.code
			return
		}
	}
}
