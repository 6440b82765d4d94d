package steps

import (
	"math/bits"
	"strings"
	"sync"
)

// phrases are words of which one has to stand in a sentence. All phrases of the package are looked for at once, when the
// sentence is made, so that their number does not count in what a sentence costs.
type phrases struct{ set phraseSet }

// phraseSet has a bit for each phrase of the package, by its place in allPhrases.
type phraseSet [mostPhrases / bitsPerWord]uint64

const (
	bitsPerWord = 64
	mostPhrases = 7 * bitsPerWord
)

// allPhrases are the texts of every phrase, each once.
var allPhrases []string

// anyOf makes phrases of texts in lower case. It is for the variables of this package.
func anyOf(texts ...string) phrases { return phrases{}.or(texts...) }

// or adds further texts.
func (p phrases) or(texts ...string) phrases {
	for _, text := range texts {
		at := 0
		for at < len(allPhrases) && allPhrases[at] != text {
			at++
		}
		if at == len(allPhrases) {
			allPhrases = append(allPhrases, text)
		}
		p.set[at/bitsPerWord] |= 1 << (at % bitsPerWord)
	}
	return p
}

// in tells whether one of the phrases was found.
func (p *phrases) in(found *phraseSet) bool {
	for i, word := range p.set {
		if word&found[i] != 0 {
			return true
		}
	}
	return false
}

// first is where the first of the phrases begins in the sentence, or the length of the sentence.
func (p *phrases) first(s *Sentence) int {
	first := len(s.lower)
	for i, word := range p.set {
		for left := word & s.found[i]; left != 0; left &= left - 1 {
			phrase := allPhrases[i*bitsPerWord+bits.TrailingZeros64(left)]
			if at := strings.Index(s.lower, phrase); at >= 0 && at < first {
				first = at
			}
		}
	}
	return first
}

// finder finds every phrase of a text in one pass over its bytes (Aho and Corasick, Communications of the ACM 18 (1975), 333).
type finder struct {
	class   [256]uint16 // of a byte; 0 for those of no phrase
	classes int
	next    []int32 // the state behind a state and a class of byte
	ends    []int32 // for each state: which of the sets ends there; 0 for none
	sets    []phraseSet
}

// theFinder is made when the first sentence is, after the variables of the package.
var theFinder = sync.OnceValue(func() *finder { return newFinder(allPhrases) })

func newFinder(texts []string) *finder {
	f := &finder{classes: 1, ends: make([]int32, 1), sets: make([]phraseSet, 1)}
	for _, text := range texts {
		for i := range len(text) {
			if f.class[text[i]] == 0 {
				f.class[text[i]] = uint16(f.classes) //nolint:gosec // at most 256
				f.classes++
			}
		}
	}
	f.next = make([]int32, f.classes)
	for i, text := range texts {
		f.add(text, i)
	}
	f.link()
	return f
}

// add writes a text into the tree of states.
func (f *finder) add(text string, phrase int) {
	state := 0
	for i := range len(text) {
		step := &f.next[state*f.classes+int(f.class[text[i]])]
		if *step == 0 {
			*step = int32(len(f.ends)) //nolint:gosec // a state a byte of all phrases at most
			f.ends = append(f.ends, 0)
			f.next = append(f.next, make([]int32, f.classes)...)
			step = &f.next[state*f.classes+int(f.class[text[i]])]
		}
		state = int(*step)
	}
	var own phraseSet
	own[phrase/bitsPerWord] = 1 << (phrase % bitsPerWord)
	f.endAt(state, &own)
}

// endAt adds phrases to those that end in a state.
func (f *finder) endAt(state int, more *phraseSet) {
	all := f.sets[f.ends[state]]
	all.add(more)
	f.ends[state] = int32(len(f.sets)) //nolint:gosec // a set a state at most
	f.sets = append(f.sets, all)
}

func (p *phraseSet) add(more *phraseSet) {
	for i := range p {
		p[i] |= more[i]
	}
}

// link gives each state, in the order of their depth, the steps of the longest ending of its text that begins another phrase.
func (f *finder) link() {
	fallback := make([]int, len(f.ends))
	var queue []int
	for _, state := range f.next[:f.classes] {
		if state != 0 {
			queue = append(queue, int(state))
		}
	}
	for len(queue) > 0 {
		state := queue[0]
		queue = queue[1:]
		if shorter := f.ends[fallback[state]]; shorter != 0 {
			f.endAt(state, &f.sets[shorter])
		}
		for class := range f.classes {
			step, other := &f.next[state*f.classes+class], f.next[fallback[state]*f.classes+class]
			if *step == 0 {
				*step = other
				continue
			}
			fallback[*step] = int(other)
			queue = append(queue, int(*step))
		}
	}
}

// find gives the phrases that stand in a text.
func (f *finder) find(text string) phraseSet {
	var found phraseSet
	state := 0
	for i := range len(text) {
		state = int(f.next[state*f.classes+int(f.class[text[i]])])
		if end := f.ends[state]; end != 0 {
			found.add(&f.sets[end])
		}
	}
	return found
}
