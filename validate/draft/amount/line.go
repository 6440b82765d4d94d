package amount

import (
	"slices"
	"strings"
)

// Amount is one amount as it is written. Both ends of a range are kept; Low equals High where there is none.
type Amount struct {
	Low, High float64
	Unit      string // name of a UnitWord; empty for a bare number
	About     bool   // "about", "up to", "scant", "heaping": the figure is not meant to the letter
}

// Line is one ingredient line taken apart as far as amounts go.
type Line struct {
	Amount    *Amount  // the first amount; nil where none is written
	Plus      []Amount // to be added; below zero for "less 2 tablespoons"
	Also      []Amount // the same amount in other words; never added
	Package   *Amount  // the size of each of what Amount counts: the 14 oz of "2 (14 oz) cans"
	Container string   // name of the UnitWord for what holds a measured amount: the can of "400 g can"
	Sizes     []string // "large", "heaping", "packed"
	Open      string   // measure.CodeToCover or CodeAsNeeded where the line says so in place of an amount
	Each      bool     // "1 cup each vinegar and water"
	Optional  bool
	Rest      string   // what is left: the food, its preparation, remarks
	Notes     []string // remarks that stood between the amounts
}

// parser walks over the tokens of one line. Its methods are the productions of the grammar: each takes the place where it
// begins and gives the place behind what it has read, or the same place where it does not apply.
type parser struct {
	reader *Reader
	line   string
	tokens []token
	// bracketed: what is read stands in brackets, where nothing need follow a unit
	bracketed bool
	brackets  bool   // the line has brackets, and each token knows what stands ahead of it
	last      Amount // the amount read last, to which a second writing of it is compared
	out       Line
}

// Line takes one line apart. It never fails: what it does not understand stays in Rest. Lines longer than 2,000 bytes or 400
// words and signs are read up to there and the remainder is kept in Rest.
func (r *Reader) Line(text string) Line {
	plain := PlainText(text)
	whole := plain
	if len(plain) > longestLine {
		plain = strings.ToValidUTF8(plain[:longestLine], "")
	}
	var room [40]token
	p := parser{reader: r, line: plain}
	if p.tokens = tokens(plain, room[:0]); len(p.tokens) == mostTokens {
		p.line = plain[:p.tokens[mostTokens-1].end]
	}
	unread := whole[len(p.line):]
	if strings.ContainsAny(plain, "([") {
		lookAhead(p.tokens)
		p.brackets = true
	}
	p.readLine()
	p.out.Rest += unread
	return p.out
}

// noToken stands beyond both ends of a line. Nobody writes to it.
var noToken token

func (p *parser) at(i int) *token {
	if i < 0 || i >= len(p.tokens) {
		return &noToken
	}
	return &p.tokens[i]
}

func (p *parser) is(i int, lower string) bool { return p.at(i).lower == lower }

func (p *parser) isAny(i int, lowers ...string) bool { return slices.Contains(lowers, p.at(i).lower) }

// endsClause tells the end of the line and a comma.
func (p *parser) endsClause(i int) bool { return p.at(i).kind == tokenEnd || p.is(i, ",") }

func (p *parser) startOf(i int) int {
	if i >= len(p.tokens) {
		return len(p.line)
	}
	return int(p.tokens[i].start)
}

// restFrom is the line from token i without what only joins it to the amount.
func (p *parser) restFrom(i int) string {
	for p.has(i, linkWord) {
		i++
	}
	return p.line[p.startOf(i):]
}

// blank takes the bytes of some tokens out of the line without moving the others.
func (p *parser) blank(from, to int) {
	line := []byte(p.line)
	blank(line[p.startOf(from):p.tokens[to-1].end])
	p.line = string(line)
}

func blank(text []byte) {
	for i := range text {
		text[i] = ' '
	}
}

// closing finds the bracket that closes the one before i, or -1.
func (p *parser) closing(i int) int {
	if i >= len(p.tokens) || !p.brackets {
		return -1
	}
	return int(p.tokens[i].ahead.round)
}

// note keeps a remark.
func (p *parser) note(text string) {
	if text = strings.Trim(text, " ,;:()"); text != "" {
		p.out.Notes = append(p.out.Notes, text)
	}
}

// noteBetween keeps what stands between two tokens as a remark.
func (p *parser) noteBetween(from, to int) {
	if from < to {
		p.note(p.line[p.startOf(from):p.startOf(to)])
	}
}

// readLine is the production line.
func (p *parser) readLine() {
	start := p.lead()
	headings := len(p.out.Notes)
	next, found := p.amount(start, true)
	switch {
	case found && p.isLengthAlone():
		p.lengthFirst(start, next)
	case found:
		p.amountFirst(next, headings)
	default:
		p.out.Rest = strings.TrimLeft(p.line[p.startOf(start):], " ,:;-")
		p.amountLater(start)
	}
	p.out.Rest = closedUp(p.out.Rest)
	p.open()
}

// amountFirst reads what stands behind an amount.
func (p *parser) amountFirst(next, headings int) {
	p.out.Rest = p.restFrom(next)
	p.amountsBehind(next)
	if p.out.Rest == "" && headings > 0 && len(p.out.Notes) >= headings { // "Salt: 1 tsp"
		p.out.Rest = p.out.Notes[headings-1]
		p.out.Notes = slices.Delete(p.out.Notes, headings-1, headings)
	}
}

// lengthFirst reads a line that begins with the size of the food: "4 to 5 inch cucumbers, 8 lb".
func (p *parser) lengthFirst(start, next int) {
	measured := p.out
	p.out.Amount, p.out.Also = nil, nil
	p.out.Rest = p.line[p.startOf(start):]
	p.amountLater(next)
	switch {
	case p.out.Amount == nil:
		p.out = measured
		p.out.Rest = p.restFrom(next)
	case p.out.Package == nil:
		p.out.Package = measured.Amount
	}
}

func (p *parser) isLengthAlone() bool { return p.isLong(p.out.Amount) && p.out.Container == "" }

// isLong tells an amount that is a length.
func (p *parser) isLong(amount *Amount) bool {
	word, _ := p.reader.Word(amount.Unit)
	return word.Kind == UnitLength
}

// closedUp takes out the gaps that words leave which were read as parts of the amount.
func closedUp(text string) string {
	if !strings.Contains(text, "  ") && !strings.Contains(text, " ,") && !strings.HasSuffix(text, " ") {
		return text
	}
	return strings.ReplaceAll(strings.Join(strings.Fields(text), " "), " ,", ",")
}

// lead passes over what stands before the amount: "plus", "(optional)", "For the brine:".
func (p *parser) lead() int {
	i := p.heading()
	for {
		switch {
		case p.is(i, "optional"):
			p.out.Optional = true
			i++
			if p.isAny(i, ":", "-", ",") {
				i++
			}
		case p.is(i, "(") && p.is(i+1, "optional") && p.is(i+2, ")"):
			p.out.Optional = true
			i += 3
		case p.has(i, leadingWord) && p.at(i+1).kind == tokenNumber:
			i++
		default:
			return i
		}
	}
}

// heading keeps "For the brine:" as a remark where a number follows.
func (p *parser) heading() int {
	colon := p.colon()
	if colon < 0 || !p.numberAt(colon+1) {
		return 0
	}
	p.note(p.line[:p.tokens[colon].start])
	return colon + 1
}

// colon finds a colon near the start of the line that separates a heading from the rest, or gives -1.
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

// amount reads everything at i that belongs to the amount. A leading amount stands before its food.
func (p *parser) amount(i int, leading bool) (next int, found bool) {
	first, next, ok := p.counted(i)
	if !ok {
		return i, false
	}
	p.out.Amount = &first
	next = p.joined(next)
	if leading {
		p.portionBehind(next)
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

// joined reads what is added to the amount, taken from it, or says it again.
func (p *parser) joined(i int) int {
	for range mostInARow {
		next := p.bracket(p.added(p.again(i)))
		if next == i {
			break
		}
		i = next
	}
	return i
}
