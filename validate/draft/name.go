package draft

import (
	"slices"
	"strings"

	"jarwright/validate/catalog"
)

// named is a food as a line names it.
type named struct {
	name         string   // without amount, preparation and remarks
	before       []string // words of preparation in front of the name
	size         string   // "3- to 4-inch long" in front of the name
	after        string   // what stands behind it
	remarks      []string // in brackets
	alternatives []string
	found        catalog.Resolved
	known        bool
	prefix       string // words of the name beyond the item's own
	suffix       string
}

// longestName is the most words that are looked at for a name: no food has so many, and the search is not linear.
const longestName = 24

// readyTo keeps "to" from ending the name.
var readyTo = strings.NewReplacer("ready to eat", "ready-to-eat", "ready to use", "ready-to-use")

// nameOf splits what is left of a line, after its amount, into the name of the food, its preparation and remarks.
func (r *Reader) nameOf(rest string) named {
	var n named
	rest, n.remarks = withoutBrackets(readyTo.Replace(rest))
	head, tail := r.headOf(rest)
	if head == "" && len(n.remarks) > 0 { // "(5%) vinegar" leaves its head; a line all in brackets is its own name
		head, n.remarks = n.remarks[0], n.remarks[1:]
		head, tail = r.headOf(head)
	}
	texts := strings.Fields(head)
	if len(texts) > longestName {
		texts, tail = texts[:longestName], join(strings.Join(texts[longestName:], " "), tail)
	}
	words, size := withoutSize(r.names.read(texts))
	n.size = size
	words, n.before = r.leading(words)
	end := r.nameEnd(words)
	if end < len(words) && isChoice(words[end].bare) {
		n.readChoice(r, words, end)
	} else {
		n.name = textOf(words[:end])
		tail = join(textOf(words[end:]), tail)
	}
	n.name = strings.Trim(n.name, " .,;:*-\"'")
	n.after = strings.Trim(tail, " .,;:")
	n.resolve(r)
	return n
}

// nameEnd is where the name ends: at the first word that says what for or how, or at a participle behind it.
func (r *Reader) nameEnd(words []word) int {
	for i := 1; i < len(words); i++ {
		mixedWith := i+1 < len(words) && strings.HasSuffix(words[i].bare, "ed") && words[i+1].bare == "with"
		if mixedWith || words[i].is(nameStop) && !r.nameSpans(words, i) || r.preparesAfter(words, i) {
			return i
		}
	}
	return len(words)
}

// preparesAfter tells whether the word at i, behind a name, says what is done to the food: "onions chopped fine". It does
// not where nothing before it names a food and a noun follows: "frozen chopped spinach".
func (r *Reader) preparesAfter(words []word, i int) bool {
	if !words[i].is(preparing) && !(words[i].is(adverb) && i+1 < len(words) && words[i+1].is(preparing)) {
		return false
	}
	if words[i-1].is(nameStop) || allQualify(words[:i]) || r.nameSpans(words, i) {
		return false
	}
	return !nounFollows(words, i) || r.knowsLoosely(words[:i])
}

// nounFollows tells whether a word that can be a food stands behind the words of preparation at i.
func nounFollows(words []word, i int) bool {
	for _, w := range words[i:] {
		if !w.is(qualifying) || strings.ContainsAny(w.bare, "0123456789") {
			return !w.is(nameStop | qualifying | portion)
		}
	}
	return false
}

// withoutSize takes a size off the front: "3- to 4-inch long cucumbers", "1/4-inch slices".
func withoutSize(words []word) (rest []word, size string) {
	const longest = 5
	if len(words) < 2 || !startsWithDigit(words[0].text) {
		return words, ""
	}
	for i := range words[:min(longest, len(words)-1)] {
		if !endsSize(words[i].bare) {
			continue
		}
		end := i + 1
		for end < len(words)-1 && words[end].is(sizeTail) {
			end++
		}
		return words[end:], textOf(words[:end])
	}
	return words, ""
}

// endsSize tells a word that ends with a unit of length: "inch", "4-inch", "inch-thick", "2-cm".
func endsSize(lower string) bool {
	switch lower {
	case "in", "cm", "mm":
		return true
	}
	return strings.HasSuffix(lower, "inch") || strings.HasSuffix(lower, "inches") || strings.Contains(lower, "inch-") ||
		strings.HasSuffix(lower, "-cm") || strings.HasSuffix(lower, "-mm")
}

// readChoice reads "cider or white vinegar", "canning or pickling salt", "lemon juice or citric acid".
func (n *named) readChoice(r *Reader, words []word, at int) {
	left, right := words[:at], choiceEnd(words[at+1:])
	other := textOf(right)
	if whole := textOf(left) + " or " + other; r.names.knows(whole) {
		n.name = whole
		return
	}
	n.name, n.alternatives = textOf(left), []string{other}
	if shared := r.sharedNoun(left, right); shared != nil {
		n.name = textOf(shared)
	}
}

// choiceEnd is the second food of a choice without what says what for or how.
func choiceEnd(words []word) []word {
	for i := range words {
		if i > 0 && words[i].is(nameStop) && words[i].bare != "or" {
			return words[:i]
		}
	}
	return words
}

// sharedNoun gives the first food of a choice the noun of the second: "white or cider vinegar", "fresh or dried linguine".
// It gives nothing where the first has a noun of its own.
func (r *Reader) sharedNoun(left, right []word) []word {
	with := func(noun int) []word { return slices.Concat(left, right[noun:]) }
	if len(right) > 1 && !startsWithDigit(right[0].text) {
		loosely := !r.knowsLoosely(left)
		for noun := 1; noun < len(right); noun++ {
			shared := with(noun)
			if r.endsName(shared, len(right)-noun) || loosely && r.knowsLoosely(shared) {
				return shared
			}
		}
	}
	if allQualify(left) {
		for noun := range right {
			if !right[noun].is(qualifying) {
				return with(noun)
			}
		}
	}
	return nil
}

// headOf splits a line at its first comma, semicolon or spaced dash, but not inside a name of the catalog ("onion, red")
// nor within a row of adjectives ("fresh, ripe tomatoes").
func (r *Reader) headOf(rest string) (head, tail string) {
	rest = strings.Trim(rest, " ,;:-")
	const mostMarks = 24 // no cook writes more adjectives
	from := 0
	for range mostMarks {
		at := firstMark(rest, from)
		if at < 0 {
			return rest, ""
		}
		whole := strings.LastIndexByte(rest[:from], ' ') + 1 // the words before it are looked at already
		if allQualifiers(rest[whole:at]) {
			from = at + 1
			continue
		}
		head, tail = strings.TrimSpace(rest[:at]), strings.Trim(rest[at:], " ,;:-")
		if rest[at] == ',' {
			if turned, more, ok := r.turnedName(head, tail); ok {
				return turned, more
			}
		}
		return head, tail
	}
	return strings.TrimSpace(rest[:from-1]), strings.Trim(rest[from:], " ,;:-")
}

// firstMark is where the first comma, semicolon, spaced dash or colon stands from a place on, or -1.
func firstMark(text string, from int) int {
	for at := from; at < len(text); at++ {
		switch text[at] {
		case ',', ';':
			return at
		case ' ':
			if strings.HasPrefix(text[at:], " - ") {
				return at
			}
		case ':':
			if at > from && strings.HasPrefix(text[at:], ": ") {
				return at
			}
		}
	}
	return -1
}

// turnedName reads a name of the catalog that is turned about at a comma: "onion, red".
func (r *Reader) turnedName(head, tail string) (name, more string, ok bool) {
	const mostWords = 3
	next, more, _ := strings.Cut(tail, ",")
	texts := strings.Fields(next)
	if len(texts) > mostWords {
		return "", "", false
	}
	name = head + ", " + strings.TrimSpace(next)
	if prepares(r.names.read(texts), 0) || !r.names.knows(name) || r.goesOn(head, next, more) {
		return "", "", false
	}
	return name, strings.Trim(more, " ,;:"), true
}

// goesOn tells the list "apple, pear, or quince" from the name that is turned about in "apple, pear".
func (r *Reader) goesOn(head, next, more string) bool {
	first, _, _ := strings.Cut(strings.TrimSpace(more), " ")
	return (isChoice(first) || first == "and") && r.names.knows(head) && r.names.knows(next)
}

// withoutBrackets takes out what stands in brackets.
func withoutBrackets(text string) (string, []string) {
	if !strings.ContainsAny(text, "([{") {
		return text, nil
	}
	var outside, inside strings.Builder
	var remarks []string
	keep := func() {
		if remark := strings.Trim(inside.String(), " ,;:"); remark != "" {
			remarks = append(remarks, remark)
		}
		inside.Reset()
	}
	depth := 0
	for _, r := range text {
		switch {
		case strings.ContainsRune("([{", r):
			if depth++; depth == 1 {
				outside.WriteByte(' ')
				continue
			}
		case depth > 0 && strings.ContainsRune(")]}", r):
			if depth--; depth == 0 {
				keep()
				continue
			}
		}
		if depth > 0 {
			inside.WriteRune(r)
		} else {
			outside.WriteRune(r)
		}
	}
	keep()
	if len(remarks) > mostListed {
		remarks = append(remarks[:mostListed-1], strings.Join(remarks[mostListed-1:], ", "))
	}
	return strings.ReplaceAll(strings.Join(strings.Fields(outside.String()), " "), " ,", ","), remarks
}

// leading takes the words of preparation off the front: "peeled and thinly sliced carrots".
func (r *Reader) leading(words []word) (rest []word, before []string) {
	i := 0
	for i < len(words)-1 {
		w := &words[i]
		switch {
		case r.groundNames(words, i): // "freshly ground black pepper"
			before = append(before, w.text)
			i++
		case w.is(ambiguous) && r.beginsName(words[i:]), w.bare == "roasted":
			return words[i:], before
		case w.bare == "fresh" && words[i+1].is(preparing) && i+2 < len(words): // "fresh chopped tarragon": still fresh tarragon
			before = append(before, strings.Trim(words[i+1].text, ","))
			words = slices.Delete(slices.Clone(words), i+1, i+2)
			continue
		case !leadsName(words, i):
			return words[i:], before
		}
		if w = &words[i]; w.bare != "of" && w.bare != "the" {
			before = append(before, strings.Trim(w.text, ","))
		}
		i++
	}
	return words[i:], before
}

// groundNames tells an adverb before "ground", where the food is the same item without that word.
func (r *Reader) groundNames(words []word, i int) bool {
	return words[i].is(adverb) && i+2 < len(words) && words[i+1].bare == "ground" && r.sameItem(words[i+1:], words[i+2:])
}

// leadsName tells whether the word at i belongs to the preparation in front of a name.
func leadsName(words []word, i int) bool {
	switch w := &words[i]; {
	case i+2 < len(words) && w.is(portion) && words[i+1].bare == "of": // "matchsticks of ginger"
		return true
	case w.is(preparing), w.bare == "freshly", w.bare == "of", w.bare == "the" && i == 0:
		return true
	case w.is(adverb), i > 0 && (w.bare == "and" || w.bare == "or" || w.bare == "&" || w.bare == "then"):
		return prepares(words, i+1)
	}
	return false
}
