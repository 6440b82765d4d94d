package draft

import (
	"strings"
	"unicode/utf8"

	"jarwright/validate/catalog"
)

// word is one word of a line, with what the reading of names asks of it.
type word struct {
	text  string
	bare  string // in lower case without the signs around it
	kinds wordKinds
	names []int32 // the words of names of the catalog that it folds to, mostly one; unknownWord for others
	comma int     // how many of them stand before the first comma of the text; -1: it has none
}

// is tells whether the word is of one of some kinds.
func (w *word) is(kinds wordKinds) bool { return w.kinds&kinds != 0 }

// unknownWord stands for a word that is in no name.
const unknownWord = 0

// nameIndex finds names of the catalog word by word, so that trying every beginning and end of a name in a line costs no more
// than the names in it are long. It finds what catalog.Tables.Resolve finds for the words joined by spaces.
type nameIndex struct {
	words   map[string][]int32 // every spelling in letters of a word of a name, in lower case: one number for each
	and     []int32            // the numbers of "and", which "&" stands for
	steps   map[nameStep]int32 // from the beginning of a name to a longer one
	found   []catalog.Resolved // for each beginning; without an item: it is no whole name
	longest int                // words of the longest name
}

// nameStep is a beginning of names and a further word.
type nameStep struct{ beginning, word int32 }

func newNameIndex(tables *catalog.Tables) *nameIndex {
	x := &nameIndex{words: map[string][]int32{}, steps: map[nameStep]int32{}, found: make([]catalog.Resolved, 1)}
	numbers := map[string]int32{}
	for _, name := range tables.FoldedNames() {
		texts := strings.Fields(name)
		beginning := int32(0)
		for _, text := range texts {
			number, known := numbers[text]
			if !known {
				number = int32(len(numbers) + 1) //nolint:gosec // words of the catalog
				numbers[text] = number
				x.addSpellings(text, number)
			}
			step := nameStep{beginning, number}
			next, known := x.steps[step]
			if !known {
				next = int32(len(x.found)) //nolint:gosec // words of names of the catalog
				x.steps[step] = next
				x.found = append(x.found, catalog.Resolved{})
			}
			beginning = next
		}
		x.found[beginning], _ = tables.Resolve(name)
		x.longest = max(x.longest, len(texts))
	}
	if x.and = x.words["and"]; x.and == nil {
		x.and = unknownWords
	}
	return x
}

// addSpellings adds the spellings of a word that the catalog folds to it: itself and its plurals.
func (x *nameIndex) addSpellings(text string, number int32) {
	spellings := []string{text, text + "s", text + "es", strings.TrimSuffix(text, "y") + "ies", strings.TrimSuffix(text, "f") + "ves"}
	for _, spelling := range spellings {
		if catalog.Fold(spelling) == text {
			x.words[spelling] = []int32{number}
		}
	}
}

// wordsOf splits a text into words.
func (x *nameIndex) wordsOf(text string) []word { return x.read(strings.Fields(text)) }

// read makes words of texts without spaces.
func (x *nameIndex) read(texts []string) []word {
	words := make([]word, len(texts))
	for i, text := range texts {
		words[i] = x.word(text)
	}
	return words
}

func (x *nameIndex) word(text string) word {
	w := word{text: text, bare: bare(text), comma: -1}
	w.kinds = kindsOf(w.bare)
	w.names = x.fold(w.bare)
	if before, _, has := strings.Cut(text, ","); has {
		w.comma = len(x.fold(bare(before)))
	}
	return w
}

var unknownWords = []int32{unknownWord}

// fold gives the words of names that a word in lower case folds to, as catalog.Fold does.
func (x *nameIndex) fold(lower string) []int32 {
	if names, known := x.words[lower]; known {
		return names
	}
	var all []int32
	from := 0
	for at := range len(lower) {
		c := lower[at]
		switch {
		case c >= utf8.RuneSelf || c == '\'':
			return x.foldSlowly(lower)
		case c >= 'a' && c <= 'z' || c >= '0' && c <= '9':
			continue
		}
		all = x.foldPart(all, lower[from:at])
		if c == '&' {
			all = append(all, x.and...)
		}
		from = at + 1
	}
	if from == 0 && lower != "" {
		return unknownWords
	}
	return x.foldPart(all, lower[from:])
}

// foldPart appends the word that letters and digits are, if there are any.
func (x *nameIndex) foldPart(all []int32, letters string) []int32 {
	if letters == "" {
		return all
	}
	if names, known := x.words[letters]; known {
		return append(all, names...)
	}
	return append(all, unknownWord)
}

// foldSlowly is fold for words with letters beyond ASCII.
func (x *nameIndex) foldSlowly(lower string) []int32 {
	var all []int32
	for part := range strings.FieldsSeq(catalog.Fold(lower)) {
		all = x.foldPart(all, part)
	}
	return all
}

// find resolves a name that is written in two parts, of which one may be empty.
func (x *nameIndex) find(first, second []word) (catalog.Resolved, bool) {
	walk := nameWalk{index: x}
	walk.all(first)
	walk.all(second)
	if found := x.found[walk.beginning]; found.Item != nil {
		return found, true
	}
	if walk.unknown {
		return catalog.Resolved{}, false
	}
	if at := firstComma(first); at >= 0 { // "onion, red"
		return x.turned(first[:at], &first[at], first[at+1:], second)
	}
	if at := firstComma(second); at >= 0 {
		return x.turned(first, &second[at], second[at+1:], nil, second[:at]...)
	}
	return catalog.Resolved{}, false
}

// turned resolves a name whose part before the comma belongs behind the rest.
func (x *nameIndex) turned(before []word, comma *word, after, more []word, between ...word) (catalog.Resolved, bool) {
	walk := nameWalk{index: x}
	walk.step(comma.names[comma.comma:])
	walk.all(after)
	walk.all(more)
	walk.all(before)
	walk.all(between)
	walk.step(comma.names[:comma.comma])
	found := x.found[walk.beginning]
	return found, found.Item != nil
}

func firstComma(words []word) int {
	for i := range words {
		if words[i].comma >= 0 {
			return i
		}
	}
	return -1
}

// nameWalk goes from the beginning of a name to longer ones. Where no name goes on it stays at the empty one.
type nameWalk struct {
	index     *nameIndex
	beginning int32
	taken     int
	lost      bool // no name begins so
	unknown   bool // a word is in no name, or there are more words than any name has
}

// all takes words.
func (w *nameWalk) all(words []word) {
	for i := range words {
		if w.unknown {
			return
		}
		w.step(words[i].names)
	}
}

// step takes words of names.
func (w *nameWalk) step(names []int32) {
	for _, name := range names {
		if w.taken++; name == unknownWord || w.taken > w.index.longest {
			w.beginning, w.lost, w.unknown = 0, true, true
			return
		}
		if !w.lost {
			w.beginning = w.index.steps[nameStep{w.beginning, name}]
			w.lost = w.beginning == 0
		}
	}
}

// knows tells whether the catalog has a name to the letter.
func (x *nameIndex) knows(name string) bool {
	_, ok := x.find(x.wordsOf(name), nil)
	return ok
}
