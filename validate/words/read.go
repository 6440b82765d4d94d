package words

import (
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/plaintext"
)

// Kind is what becomes of a span of words. What is harmless or read by another reader is no span.
type Kind uint8

// The kinds of a span.
const (
	Question  Kind = iota // it asks something, by its code
	Unknown               // nobody here knows it
	Fails                 // it says what no tested recipe allows
	LargerCut             // it names a cut, which the reader of forms has to take in
)

// Span is some words of a text that are not plainly harmless.
type Span struct {
	Kind       Kind
	Start, End int    // bytes of the text
	Text       string // as it is written, fit to stand in a sentence
	Code       string // of a question
	Row        *Row   // of the list; nil: found by the grammar
	Food       *catalog.Item
	Near       string // of an unknown word: the only word of the list near it
}

// Context is what the words of a line stand beside.
type Context struct {
	Item       *catalog.Item         // nil: the catalog does not know it
	Class      catalog.Class         // of the item
	Recipe     *catalog.TestedRecipe // that is followed or nearest; nil: none
	StandsFor  []*catalog.Item       // printed items whose place the line takes in the recipe
	PouredAway bool                  // nothing of the line goes into the jar
	PerJar     bool                  // the amount is for each jar
	Open       bool                  // the amount is to_cover or as_needed
	// SameAmount reports whether an amount, in the unit of a code, is no more than that of the line; nil: nothing to compare with.
	SameAmount func(value float64, code string) bool
	// Suggestions is how many more unknown words may be looked up for a near one; nil: none.
	Suggestions *int

	buffer []token // of the text before, to be written over
}

// reading is one text on its way.
type reading struct {
	list  *List
	of    *Context
	text  string
	all   []token
	spans []Span
	open  int  // spans that are unknown or ask something
	named bool // the text is the name of the line's item, which the catalog knows: its words are no food
}

// Read lists what of a text is not plainly harmless, in its order. The same text costs the same whatever it is made of: each word
// begins one walk through the tree of phrases, which is nine words deep.
func (l *List) Read(text string, of *Context) []Span {
	return l.read(text, of, false)
}

func (l *List) read(text string, of *Context, named bool) []Span {
	if text == "" {
		return nil
	}
	of.buffer = tokens(text, of.buffer[:0])
	r := reading{list: l, of: of, text: text, all: of.buffer, named: named}
	for at := 0; at < len(r.all) && r.open < mostOpen; {
		at = r.step(at)
	}
	r.bareParts()
	r.thrownAway()
	r.choices()
	slices.SortStableFunc(r.spans, func(a, b Span) int { return a.Start - b.Start })
	return r.spans
}

// step reads what begins at a token and gives the place behind it.
func (r *reading) step(at int) int {
	t := &r.all[at]
	switch t.kind {
	case stop:
		return at + 1
	case odd:
		code := "quotation"
		if t.end-t.start > 1 && t.stem != "quotation" { // a letter of another script
			r.add(Span{Kind: Unknown}, at, at+1)
			return at + 1
		}
		r.add(Span{Kind: Question, Code: code}, at, at+1)
		return at + 1
	}
	if _, end, ok := strengthAt(r.all, at); ok {
		if r.of.Class == catalog.Acid {
			return r.strength(end)
		}
		r.add(Span{Kind: Question, Code: "number"}, at, end)
		return end
	}
	if end, ok := sizeAt(r.all, at); ok {
		return end
	}
	end, row, food := r.longest(at)
	switch {
	case end > at:
		r.judge(at, end, row, food)
		return end
	case t.kind == number:
		return r.number(at)
	}
	r.add(Span{Kind: Unknown}, at, at+1)
	return at + 1
}

// strength skips what may stand behind the strength of an acid.
func (r *reading) strength(end int) int {
	for end < len(r.all) {
		switch r.all[end].stem {
		case "acidity", "acid", "acetic", "strength", "vinegar", "vol", "or", "higher", "more", "above", "stronger":
			if r.all[end].stem == "or" && (end+1 >= len(r.all) || !slices.Contains([]string{"higher", "more", "above", "stronger"}, r.all[end+1].stem)) {
				return end
			}
			end++
		default:
			return end
		}
	}
	return end
}

// longest finds the longest phrase that begins at a token and says something of the line's item; end is at where there is none.
func (r *reading) longest(at int) (end int, row *Row, food *catalog.Item) {
	l, here := r.list, int32(0)
	end = at
	for i := at; i < len(r.all); i++ {
		id, known := l.ids[r.all[i].stem]
		if !known {
			break
		}
		child, known := l.next[uint64(here)<<32|uint64(id)] //nolint:gosec // neither is negative
		if !known {
			break
		}
		here = child
		found := &l.nodes[here]
		if chosen := r.choose(found); chosen != nil || found.food != nil && !r.named {
			end, row, food = i+1, chosen, found.food
		}
		if r.named {
			food = nil
		}
	}
	return end, row, food
}

// choose takes the row of a phrase that counts: the one for the item, before one for its class, before one for any; among equals the
// worst. Where the list both denies and asks, it asks.
func (r *reading) choose(n *node) *Row {
	var best *Row
	fit, asksDenial := -1, (*Row)(nil)
	for _, i := range n.rows {
		row := &r.list.rows[i]
		if row.only == "steps" || row.ownOfFood && isLiquid(r.of.Class) || row.ofPlant && isPowder(r.of.Class) {
			continue
		}
		fits := row.fits(r.of.Item, r.of.Class)
		if fits < 0 || fits < fit {
			continue
		}
		if row.Asks == "negation" {
			asksDenial = row
		}
		if fits > fit || best == nil || worse(row) > worse(best) {
			best, fit = row, fits
		}
	}
	if best != nil && best.Effect == Contradicts && best.Part == "negation" && asksDenial != nil {
		return asksDenial
	}
	return best
}

// worse orders rows: a word of the time least, since it only counts where the list has no other.
func worse(row *Row) int {
	if row.Effect == None && !row.harmless() {
		return -1
	}
	return int(row.Effect)
}

// harmless tells whether a row without effect says nothing that matters to a line.
func (row *Row) harmless() bool {
	return !row.timed && row.Part != "treatment" && row.Part != "brine" && row.Part != "strength"
}

func isLiquid(class catalog.Class) bool {
	return class == catalog.Acid || class == catalog.Water || class == catalog.Fat
}

func isPowder(class catalog.Class) bool {
	switch class {
	case catalog.Salt, catalog.Sugar, catalog.Sweetener, catalog.Thickener, catalog.Firming:
		return true
	}
	return false
}

// isFood tells whether a line is produce, of which a part may be another food.
func isFood(class catalog.Class) bool {
	return class == catalog.LowAcid || class == catalog.AcidFood || class == catalog.Egg
}

// judge sorts a phrase that the list or the catalog knows.
func (r *reading) judge(at, end int, row *Row, food *catalog.Item) {
	if food != nil && r.own(food) {
		return
	}
	if food != nil && (row == nil || len(row.items)+len(row.classes) == 0 && row.Effect <= Asks) {
		r.add(Span{Kind: Question, Code: "second food", Food: food}, at, end)
		return
	}
	switch {
	case row.Effect > Asks:
		r.add(Span{Kind: Fails, Row: row}, at, end)
	case row.Effect == Asks:
		r.add(Span{Kind: Question, Code: row.Asks, Row: row}, at, end)
	case row.Effect == Larger && row.Part == "size" && end < len(r.all) && pieces[r.all[end].stem]:
		r.add(Span{Kind: Question, Code: "cut", Row: row}, at, end+1)
	case row.Effect == Larger:
		r.add(Span{Kind: LargerCut, Row: row}, at, end)
	case row.Effect == None && !row.harmless():
		if row.Part != "strength" || r.of.Class != catalog.Acid {
			r.add(Span{Kind: Question, Code: row.open(), Row: row}, at, end)
		}
	}
}

// open is the question of a row without effect that no line is about.
func (row *Row) open() string {
	switch row.Part {
	case "treatment":
		return "state"
	case "brine":
		return "mixture"
	case "strength":
		return "strength"
	}
	return "time"
}

// plainVinegars may stand for each other, as composition has it.
var plainVinegars = []string{"vinegar", "white-vinegar", "cider-vinegar"}

// own tells whether a food that a line names is the line's own: the same, or for vegetables a kind of the same family.
func (r *reading) own(food *catalog.Item) bool {
	item := r.of.Item
	switch {
	case item == nil:
		return false
	case food == item:
		return true
	case item.Class == catalog.Acid:
		return slices.Contains(plainVinegars, item.ID) && slices.Contains(plainVinegars, food.ID)
	case item.Family == "tomato", item.Family == "melon":
		return false
	}
	return food.Family == item.Family && food.Class == item.Class
}

// number reads a number that is no size, no strength and part of no phrase: so many pieces, or the amount once more.
func (r *reading) number(at int) int {
	next := at + 1
	if second := rangeEnd(r.all, next); second > next {
		next = second
	}
	if next >= len(r.all) {
		r.add(Span{Kind: Question, Code: "number"}, at, next)
		return next
	}
	unit := r.all[next].stem
	switch {
	case at > 0 && pieces[unit] && cutting[r.all[at-1].stem]:
		return next
	case units[unit] != "":
		if at > 0 && adding[r.all[at-1].stem] || r.of.SameAmount == nil || !r.of.SameAmount(r.all[next-1].value, units[unit]) {
			r.add(Span{Kind: Question, Code: "plus"}, at, next+1)
		}
		return next + 1
	case r.of.PouredAway && hours[unit]:
		return next + 1
	}
	r.add(Span{Kind: Question, Code: "number"}, at, next)
	return next
}

// What may stand around the number of a cut: "cut into 8 wedges".
var (
	pieces = map[string]bool{
		"piece": true, "wedge": true, "strip": true, "spear": true, "slice": true, "ring": true, "chunk": true, "section": true, "segment": true,
	}
	cutting = map[string]bool{"into": true, "in": true, "cut": true}
	adding  = map[string]bool{"and": true, "plus": true, "with": true, "or": true, "minus": true, "less": true, "another": true}
	hours   = map[string]bool{"minute": true, "min": true, "hour": true, "hr": true, "h": true, "day": true, "sec": true, "second": true, "s": true}
)

// units are the units in which an amount may be given once more, with their codes.
var units = map[string]string{
	"g": "g", "gram": "g", "kg": "kg", "kilo": "kg", "kilogram": "kg", "oz": "oz", "ounce": "oz", "lb": "lb", "pound": "lb", "ml": "mL",
	"milliliter": "mL", "millilitre": "mL", "l": "L", "liter": "L", "cup": "cup", "tbsp": "tbsp", "tablespoon": "tbsp", "tsp": "tsp",
	"teaspoon": "tsp", "pt": "pt", "pint": "pt", "qt": "qt", "quart": "qt", "gal": "gal", "gallon": "gal",
}

// add keeps a span, unless the tested recipe prints it or the line is poured away and the words only say what for.
func (r *reading) add(s Span, at, end int) {
	s.Start, s.End = r.all[at].start, r.all[end-1].end
	s.Text = shown(r.text, s.Start, s.End)
	if r.isPrinted(&s, at, end) || r.of.PouredAway && r.tellsPurpose(&s) || r.isSaid(&s, at, end) {
		return
	}
	if s.Kind == Unknown && r.of.Suggestions != nil && *r.of.Suggestions > 0 {
		*r.of.Suggestions--
		s.Near = r.list.near.nearest(r.all[at].stem)
	}
	if s.Kind == Unknown || s.Kind == Question {
		r.open++
	}
	r.spans = append(r.spans, s)
}

// mostOpen is how many open words of one text are looked for: more than are told, and the line is undetermined by the first.
const mostOpen = 24

// isSaid tells whether a member of the line answers a question: "for each jar" with per jar, "to cover" with an amount to_cover.
func (r *reading) isSaid(s *Span, at, end int) bool {
	if s.Kind != Question {
		return false
	}
	switch s.Code {
	case "per":
		return r.of.PerJar && slices.ContainsFunc(r.all[at:end], func(t token) bool { return t.stem == "jar" || t.stem == "jars" })
	case "amount":
		return r.of.Open
	}
	return false
}

// shown is a part of a text as it may stand in a sentence of ours.
func shown(text string, from, to int) string {
	const longest = 60 // bytes of one span
	if to-from > longest {
		to = from + longest
	}
	return plaintext.Line(text[from:to])
}

// tellsPurpose tells whether a question about a line that is poured away asks nothing that matters: what is soaked, and how long.
func (r *reading) tellsPurpose(s *Span) bool {
	switch r.of.Class {
	case catalog.Water, catalog.Ice, catalog.Salt, catalog.Acid, catalog.Seasoning, catalog.FreshHerb, catalog.Firming:
	default:
		return false
	}
	switch s.Kind {
	case Unknown:
		return r.list.knows(s.Text)
	case Question:
	default:
		return false
	}
	switch s.Code {
	case "time", "second food", "state", "use", "part", "mixture":
		return true
	}
	return false
}

// isPrinted tells whether words stand in the printed line of the same food, so that the tested recipe answers them. A question that
// turns on what stands beside the word is answered only with it.
func (r *reading) isPrinted(s *Span, at, end int) bool {
	if r.of.Recipe == nil || r.of.Item == nil {
		return false
	}
	if s.Code == "state" && r.list.isAnswered(s.Text, r.of) {
		return true
	}
	alone := false
	switch s.Code {
	case "", "state", "part", "variety", "meaning", "origin", "note", "mixture", "time", "use":
		alone = true
	}
	for _, form := range r.list.printed[r.of.Recipe] {
		if !r.answersTo(form.item) {
			continue
		}
		if stands(r.all[at:end], form.stems) && (alone || r.besidePrinted(at, end, form.stems)) {
			return true
		}
	}
	return false
}

// answersTo tells whether a printed item is the one whose place the line takes.
func (r *reading) answersTo(printed *catalog.Item) bool {
	switch {
	case printed == nil:
		return false
	case printed == r.of.Item, printed.Family == r.of.Item.Family:
		return true
	case r.of.Class == catalog.Sweetener && printed.Class == catalog.Sugar:
		return true
	}
	return r.of.Class != catalog.Acid && slices.Contains(r.of.StandsFor, printed)
}

// besidePrinted tells whether words stand in a printed form together with one of those beside them; words that nothing stands beside
// do.
func (r *reading) besidePrinted(at, end int, printed []string) bool {
	before := at > 0 && r.all[at-1].kind != stop
	behind := end < len(r.all) && r.all[end].kind != stop
	return before && stands(r.all[at-1:end], printed) || behind && stands(r.all[at:end+1], printed) || !before && !behind
}

// stands tells whether tokens stand in a row among stems.
func stands(row []token, stems []string) bool {
	for i := 0; i+len(row) <= len(stems); i++ {
		same := true
		for k := range row {
			if same = stems[i+k] == row[k].stem; !same {
				break
			}
		}
		if same {
			return true
		}
	}
	return false
}

// choices forgives "or" where everything else in the text is harmless: "sliced or diced".
func (r *reading) choices() {
	others := slices.ContainsFunc(r.spans, func(s Span) bool {
		return !(s.Kind == LargerCut || s.Kind == Question && s.Code == "or")
	})
	if others {
		return
	}
	r.spans = slices.DeleteFunc(r.spans, func(s Span) bool { return s.Kind == Question && s.Code == "or" && s.Text == "or" })
}
