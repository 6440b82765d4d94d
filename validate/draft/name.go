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
	words := strings.Fields(head)
	if len(words) > longestName {
		words, tail = words[:longestName], join(strings.Join(words[longestName:], " "), tail)
	}
	words, n.size = withoutSize(words)
	words, n.before = r.leading(words)
	end := r.nameEnd(words)
	if end < len(words) && isChoice(bare(words[end])) {
		n.readChoice(r, words, end)
	} else {
		n.name = strings.Join(words[:end], " ")
		if behind := strings.Join(words[end:], " "); behind != "" {
			tail = join(behind, tail)
		}
	}
	n.name = strings.Trim(n.name, " .,;:*-\"'")
	n.after = strings.Trim(tail, " .,;:")
	n.resolve(r)
	return n
}

// nameEnd is where the name ends: at the first word that says what for or how, or at a participle behind it.
func (r *Reader) nameEnd(words []string) int {
	for i := 1; i < len(words); i++ {
		lower := bare(words[i])
		mixedWith := i+1 < len(words) && strings.HasSuffix(lower, "ed") && bare(words[i+1]) == "with"
		if mixedWith || nameStops[lower] && !r.nameSpans(words, i) || r.preparesAfter(words, i) {
			return i
		}
	}
	return len(words)
}

// preparesAfter tells whether the word at i, behind a name, says what is done to the food: "onions chopped fine". It does
// not where nothing before it names a food and a noun follows: "frozen chopped spinach".
func (r *Reader) preparesAfter(words []string, i int) bool {
	lower := bare(words[i])
	if !preparing[lower] && !(adverbs[lower] && i+1 < len(words) && preparing[bare(words[i+1])]) {
		return false
	}
	before := strings.Join(words[:i], " ")
	if nameStops[bare(words[i-1])] || allQualifiers(before) || r.nameSpans(words, i) {
		return false
	}
	return !nounFollows(words, i) || r.knowsLoosely(before)
}

// nounFollows tells whether a word that can be a food stands behind the words of preparation at i.
func nounFollows(words []string, i int) bool {
	for ; i < len(words); i++ {
		lower := bare(words[i])
		if isQualifier(lower) && !strings.ContainsAny(lower, "0123456789") {
			continue
		}
		return !nameStops[lower] && !isQualifier(lower) && !portions[lower]
	}
	return false
}

// sizeTails may stand behind the unit of a size: "1/4 inch thick slices".
var sizeTails = wordSet(`long wide thick diameter square in around or less`)

// withoutSize takes a size off the front: "3- to 4-inch long cucumbers", "1/4-inch slices".
func withoutSize(words []string) (rest []string, size string) {
	const longest = 5
	if len(words) < 2 || !startsWithDigit(words[0]) {
		return words, ""
	}
	for i := range words[:min(longest, len(words)-1)] {
		if !endsSize(bare(words[i])) {
			continue
		}
		end := i + 1
		for end < len(words)-1 && sizeTails[bare(words[end])] {
			end++
		}
		return words[end:], strings.Join(words[:end], " ")
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
func (n *named) readChoice(r *Reader, words []string, at int) {
	left := strings.Join(words[:at], " ")
	right := choiceEnd(words[at+1:])
	other := strings.Join(right, " ")
	if whole := left + " or " + other; r.knows(whole) {
		n.name = whole
		return
	}
	n.name, n.alternatives = left, []string{other}
	if shared := r.sharedNoun(left, right); shared != "" {
		n.name = shared
	}
}

// choiceEnd is the second food of a choice without what says what for or how.
func choiceEnd(words []string) []string {
	for i := range words {
		if lower := bare(words[i]); i > 0 && nameStops[lower] && lower != "or" {
			return words[:i]
		}
	}
	return words
}

// sharedNoun gives the first food of a choice the noun of the second: "white or cider vinegar", "fresh or dried linguine".
// It gives nothing where the first has a noun of its own.
func (r *Reader) sharedNoun(left string, right []string) string {
	if len(right) > 1 && !startsWithDigit(right[0]) {
		loosely := !r.knowsLoosely(left)
		for noun := 1; noun < len(right); noun++ {
			shared := left + " " + strings.Join(right[noun:], " ")
			if r.endsName(shared, len(right)-noun) || loosely && r.knowsLoosely(shared) {
				return shared
			}
		}
	}
	if allQualifiers(left) {
		for noun, word := range right {
			if !isQualifier(bare(word)) {
				return left + " " + strings.Join(right[noun:], " ")
			}
		}
	}
	return ""
}

// headOf splits a line at its first comma, semicolon or spaced dash, but not inside a name of the catalog ("onion, red")
// nor within a row of adjectives ("fresh, ripe tomatoes").
func (r *Reader) headOf(rest string) (head, tail string) {
	rest = strings.Trim(rest, " ,;:-")
	from := 0
	for {
		at := firstMark(rest[from:])
		if at < 0 {
			return rest, ""
		}
		at += from
		head, tail = strings.TrimSpace(rest[:at]), strings.Trim(rest[at:], " ,;:-")
		if allQualifiers(head) && tail != "" {
			from = at + 1
			continue
		}
		if rest[at] == ',' {
			if turned, more, ok := r.turnedName(head, tail); ok {
				return turned, more
			}
		}
		return head, tail
	}
}

// firstMark is where the first comma, semicolon, spaced dash or colon stands, or -1.
func firstMark(text string) int {
	at := strings.IndexAny(text, ",;")
	if dash := strings.Index(text, " - "); dash >= 0 && (at < 0 || dash < at) {
		at = dash
	}
	if colon := strings.Index(text, ": "); colon > 0 && (at < 0 || colon < at) {
		at = colon
	}
	return at
}

// turnedName reads a name of the catalog that is turned about at a comma: "onion, red".
func (r *Reader) turnedName(head, tail string) (name, more string, ok bool) {
	const mostWords = 3
	next, more, _ := strings.Cut(tail, ",")
	words := strings.Fields(next)
	name = head + ", " + strings.TrimSpace(next)
	if len(words) > mostWords || prepares(words, 0) || !r.knows(name) || r.goesOn(head, next, more) {
		return "", "", false
	}
	return name, strings.Trim(more, " ,;:"), true
}

// goesOn tells the list "apple, pear, or quince" from the name that is turned about in "apple, pear".
func (r *Reader) goesOn(head, next, more string) bool {
	first, _, _ := strings.Cut(strings.TrimSpace(more), " ")
	return (isChoice(first) || first == "and") && r.knows(head) && r.knows(next)
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
	return strings.ReplaceAll(strings.Join(strings.Fields(outside.String()), " "), " ,", ","), remarks
}

// leading takes the words of preparation off the front: "peeled and thinly sliced carrots".
func (r *Reader) leading(words []string) (rest, before []string) {
	i := 0
	for i < len(words)-1 {
		lower := bare(words[i])
		switch {
		case r.groundNames(words, i): // "freshly ground black pepper"
			before = append(before, words[i])
			i++
		case ambiguousPreparing[lower] && r.beginsName(words[i:]), lower == "roasted":
			return words[i:], before
		case lower == "fresh" && preparing[bare(words[i+1])] && i+2 < len(words): // "fresh chopped tarragon": still fresh tarragon
			before = append(before, strings.Trim(words[i+1], ","))
			words = slices.Delete(slices.Clone(words), i+1, i+2)
			continue
		case !leadsName(words, i):
			return words[i:], before
		}
		if lower = bare(words[i]); lower != "of" && lower != "the" {
			before = append(before, strings.Trim(words[i], ","))
		}
		i++
	}
	return words[i:], before
}

// groundNames tells an adverb before "ground", where the food is the same item without that word.
func (r *Reader) groundNames(words []string, i int) bool {
	return adverbs[bare(words[i])] && i+2 < len(words) && bare(words[i+1]) == "ground" && r.sameItem(words[i+1:], words[i+2:])
}

// leadsName tells whether the word at i belongs to the preparation in front of a name.
func leadsName(words []string, i int) bool {
	switch lower := bare(words[i]); {
	case i+2 < len(words) && portions[lower] && bare(words[i+1]) == "of": // "matchsticks of ginger"
		return true
	case preparing[lower], lower == "freshly", lower == "of", lower == "the" && i == 0:
		return true
	case adverbs[lower], i > 0 && (lower == "and" || lower == "or" || lower == "&" || lower == "then"):
		return prepares(words, i+1)
	}
	return false
}
