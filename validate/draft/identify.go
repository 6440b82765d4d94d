package draft

import (
	"slices"
	"strings"

	"jarwright/validate/catalog"
)

// resolve finds the item that the name stands for: the whole name first, then without words of shape behind it, then
// without words in front of it.
func (n *named) resolve(r *Reader) {
	texts := strings.Fields(n.name)
	words := r.names.read(texts[:min(longestKnown, len(texts))])
	found, start, end, known := r.identified(words)
	if !known {
		return
	}
	n.found, n.known = found, true
	n.prefix, n.suffix = textOf(words[:start]), textOf(words[end:])
}

// longestKnown is how many words of a name are looked at to find its item.
const longestKnown = 12

// identified finds the item among the words of a name.
func (r *Reader) identified(words []word) (found catalog.Resolved, start, end int, known bool) {
	words = words[:min(longestKnown, len(words))]
	for start := range words {
		for end := len(words); end > start; end-- {
			if end < len(words) && !words[end].is(portion) {
				break
			}
			if found, known = r.lookUp(words[start:end]); known && mayHavePrefix(found.Item, words[:start]) {
				return found, start, end, true
			}
		}
	}
	return catalog.Resolved{}, 0, 0, false
}

// lookUp asks the catalog for the words, and for "basil, fresh" where they are "fresh basil".
func (r *Reader) lookUp(words []word) (catalog.Resolved, bool) {
	if found, ok := r.names.find(words, nil); ok {
		return found, true
	}
	if len(words) > 1 && words[0].is(turnable) {
		first := words[:1]
		if words[0].comma >= 0 {
			first = []word{r.names.word(words[0].bare)}
		}
		return r.names.find(words[1:], first)
	}
	return catalog.Resolved{}, false
}

// mayHavePrefix says whether an item may be recognized behind words that the catalog does not know. A low-acid food, salt,
// vinegar or sugar is no less one for them; anything else could be made safer than it is by a name that only ends like it.
func mayHavePrefix(item *catalog.Item, prefix []word) bool {
	switch {
	case item.Class == catalog.LowAcid, item.Class == catalog.Egg, item.Class == catalog.Fat:
		return true
	case (item.Class == catalog.Salt || item.Family == "vinegar") && !slices.ContainsFunc(prefix, word.joinsFoods): // "secret mixture and vinegar"
		return true
	}
	return allQualify(prefix)
}

// knowsLoosely tells whether the catalog has a part of a name that stands for the whole.
func (r *Reader) knowsLoosely(words []word) bool {
	_, _, _, known := r.identified(words)
	return known
}

// endsName tells whether the catalog knows the end of a name that takes in more than its last words: "organic lemon juice".
func (r *Reader) endsName(words []word, last int) bool {
	for start := range len(words) - last {
		if _, ok := r.names.find(words[start:], nil); ok {
			return true
		}
	}
	return false
}

// beginsName tells whether a name of the catalog begins with the first word.
func (r *Reader) beginsName(words []word) bool {
	const longest = 4
	for end := 2; end <= min(longest, len(words)); end++ {
		if _, ok := r.names.find(words[:end], nil); ok {
			return true
		}
	}
	return false
}

// sameItem tells whether two names stand for one item: "ground black pepper" and "black pepper", not "ground coriander" and "coriander".
func (r *Reader) sameItem(a, b []word) bool {
	one, knowsOne := r.names.find(a, nil)
	other, knowsOther := r.names.find(b, nil)
	return !knowsOne || knowsOther && one.Item == other.Item
}

// nameSpans tells whether a name of the catalog goes across the word at i: "cream of tartar", "onion and/or pepper".
func (r *Reader) nameSpans(words []word, i int) bool {
	const longest = 5
	for start := max(0, i-longest); start < i; start++ {
		for end := i + 1; end <= min(len(words), i+longest-1); end++ {
			if _, ok := r.names.find(words[start:end], nil); ok {
				return true
			}
		}
	}
	return false
}
