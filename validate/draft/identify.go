package draft

import (
	"slices"
	"strings"

	"jarwright/validate/catalog"
)

// resolve finds the item that the name stands for: the whole name first, then without words of shape behind it, then
// without words in front of it.
func (n *named) resolve(r *Reader) {
	words := strings.Fields(n.name)
	if len(words) == 0 {
		return
	}
	const longest = 12
	if len(words) > longest {
		words = words[:longest]
	}
	for start := range words {
		for end := len(words); end > start; end-- {
			if end < len(words) && !portions[bare(words[end])] {
				break
			}
			found, ok := r.lookUp(words[start:end])
			if !ok || !mayHavePrefix(found.Item, words[:start]) {
				continue
			}
			n.found, n.known = found, true
			n.prefix, n.suffix = strings.Join(words[:start], " "), strings.Join(words[end:], " ")
			return
		}
	}
}

// turnedWords stand before a name that the catalog has them behind.
var turnedWords = wordSet(`fresh dried ground ripe unripe`)

// lookUp asks the catalog for the words, and for "basil, fresh" where they are "fresh basil".
func (r *Reader) lookUp(words []string) (catalog.Resolved, bool) {
	name := strings.Join(words, " ")
	if found, ok := r.tables.Resolve(name); ok {
		return found, true
	}
	first := bare(words[0])
	if len(words) > 1 && turnedWords[first] {
		if found, ok := r.tables.Resolve(strings.Join(words[1:], " ") + " " + first); ok {
			return found, true
		}
	}
	return catalog.Resolved{}, false
}

// mayHavePrefix says whether an item may be recognized behind words that the catalog does not know. A low-acid food, salt,
// vinegar or sugar is no less one for them; anything else could be made safer than it is by a name that only ends like it.
func mayHavePrefix(item *catalog.Item, prefix []string) bool {
	switch {
	case item.Class == catalog.LowAcid, item.Class == catalog.Egg, item.Class == catalog.Fat:
		return true
	case (item.Class == catalog.Salt || item.Family == "vinegar") && !slices.ContainsFunc(prefix, joinsFoods): // "secret mixture and vinegar"
		return true
	}
	return allQualifiers(strings.Join(prefix, " "))
}

// knows tells whether the catalog has a name to the letter.
func (r *Reader) knows(name string) bool { _, ok := r.tables.Resolve(name); return ok }

// knowsLoosely tells whether the catalog has a part of a name that stands for the whole, as resolve finds it.
func (r *Reader) knowsLoosely(name string) bool {
	probe := named{name: name}
	probe.resolve(r)
	return probe.known
}

// endsName tells whether the catalog knows the end of a name that takes in more than its last words: "organic lemon juice".
func (r *Reader) endsName(name string, last int) bool {
	words := strings.Fields(name)
	for start := range len(words) - last {
		if r.knows(strings.Join(words[start:], " ")) {
			return true
		}
	}
	return false
}

// beginsName tells whether a name of the catalog begins with the first word.
func (r *Reader) beginsName(words []string) bool {
	const longest = 4
	for end := 2; end <= min(longest, len(words)); end++ {
		if r.knows(strings.Join(words[:end], " ")) {
			return true
		}
	}
	return false
}

// sameItem tells whether two names stand for one item: "ground black pepper" and "black pepper", not "ground coriander" and "coriander".
func (r *Reader) sameItem(a, b []string) bool {
	one, knowsOne := r.tables.Resolve(strings.Join(a, " "))
	other, knowsOther := r.tables.Resolve(strings.Join(b, " "))
	return !knowsOne || knowsOther && one.Item == other.Item
}

// nameSpans tells whether a name of the catalog goes across the word at i: "cream of tartar", "onion and/or pepper".
func (r *Reader) nameSpans(words []string, i int) bool {
	const longest = 5
	for end := i + 1; end <= min(len(words), i+longest-1); end++ {
		for start := max(0, i-longest); start <= i; start++ {
			if end-start < 2 {
				continue
			}
			if _, ok := r.tables.Resolve(strings.Join(words[start:end], " ")); ok && start < i {
				return true
			}
		}
	}
	return false
}
