// Package steps reads the sentences of a recipe's steps: what one sentence says of the canner, the jars, how they are filled
// and how they are kept. It knows neither the request nor the other sentences; which of several statements counts is decided
// by its caller. It refuses to guess: a sentence that says nothing plainly says nothing.
//
// # Rules of reading
//
// A sentence is searched for phrases, in lower case; the first row of a list that stands in it is what it says, so the more
// telling phrases stand first. Figures are found by patterns: a number or a range with its unit. Which figure is meant is
// told by the words beside it:
//
//	Method       the way of heating closed jars: "boiling-water canner", "turn the jars upside down"
//	Temperature  of the water of the low-temperature process: "180 to 185 °F"
//	Times        minutes in a sentence that speaks of canner or jars, each with the jar or the elevation in its own clause
//	Headspace    the length nearest to the word headspace or rim
//	Jars         sizes of jars: "pint", "8-ounce", "500 ml"
//	Pack         how the jars are filled: "hot pack", "pour boiling brine over"
//	JarPreparation  "sterilize", "hot jars", "wash the jars"
//	WaterOverLids   the first length in a sentence on water above jars or lids
//	Rest         days, weeks or months "before opening"
//	Ferment      how long and how warm a ferment stands
//	Keep         shelf or refrigerator
//	Rinses       how often lime is rinsed off
//	Strength     of the vinegar: "5% acidity"
//
// The phrases are common practice, no source: they are English. A sentence that forbids something (Forbids) is not read for
// what it forbids.
package steps

import (
	"iter"
	"slices"
	"strings"
	"unicode/utf8"
)

// Sentence is one sentence of the steps.
type Sentence struct {
	Text  string // as amount.PlainText gives it
	lower string
	found phraseSet // the phrases that stand in it
}

// New makes a Sentence of a plain text.
func New(text string) Sentence {
	s := Sentence{Text: text, lower: strings.ToLower(text)}
	s.found = theFinder().find(s.lower)
	return s
}

var forbidding = anyOf("do not", "don't", "never ", "not recommended", "unsafe", "instead of process", "is not safe", "avoid ")

// Forbids tells a sentence that says what not to do.
func (s Sentence) Forbids() bool { return forbidding.in(&s.found) }

// abbreviations do not end a sentence with their full stop, where a small letter or another alphabet follows.
var abbreviations = []string{"in", "min", "oz", "lb", "tsp", "tbsp", "approx", "ft", "qt", "pt", "hr", "mins"}

// longestSentence is how many bytes of a sentence are read at once: a longer one is read in parts, so that a text without full
// stops costs what any text of its length does.
const longestSentence = 2000

// Split splits a plain text as Sentences does.
func Split(text string) []Sentence { return slices.Collect(Sentences(text)) }

// Sentences splits a plain text after full stops that end a sentence, not those of "1 in." or "12.5". A long sentence comes
// in parts.
func Sentences(text string) iter.Seq[Sentence] {
	return func(yield func(Sentence) bool) {
		from := 0
		for at := range len(text) {
			if !endsSentence(text, at) {
				continue
			}
			if !eachPart(strings.TrimSpace(text[from:at+1]), yield) {
				return
			}
			from = at + 1
		}
		if rest := strings.TrimSpace(text[from:]); rest != "" {
			eachPart(rest, yield)
		}
	}
}

// eachPart gives a sentence, a long one in parts that end at a space. What the whole forbids, each part does.
func eachPart(text string, yield func(Sentence) bool) bool {
	if len(text) <= longestSentence {
		return yield(New(text))
	}
	whole := New(text)
	for len(text) > longestSentence {
		end := strings.LastIndexByte(text[:longestSentence], ' ')
		if end <= 0 {
			end = wholeRunes(text, longestSentence)
		}
		if !yield(whole.part(text[:end])) {
			return false
		}
		text = strings.TrimSpace(text[end:])
	}
	return yield(whole.part(text))
}

// wholeRunes is the last place up to most at which a character begins.
func wholeRunes(text string, most int) int {
	for at := most; at > most-utf8.UTFMax; at-- {
		if utf8.RuneStart(text[at]) {
			return at
		}
	}
	return most
}

// part makes a Sentence of a part of one.
func (s Sentence) part(text string) Sentence {
	part := New(text)
	for i, word := range forbidding.set {
		part.found[i] |= s.found[i] & word
	}
	return part
}

// endsSentence tells whether the mark at a place ends a sentence: a capital or a letter beyond ASCII follows it.
func endsSentence(text string, at int) bool {
	mark := text[at]
	if mark != '.' && mark != '!' && mark != '?' && mark != ';' || at+2 >= len(text) || text[at+1] != ' ' {
		return false
	}
	next := text[at+2]
	if (next < 'A' || next > 'Z') && mark != ';' && next < 0x80 {
		return false
	}
	word := text[strings.LastIndexByte(text[:at], ' ')+1 : at]
	return mark != '.' || next < 'a' || !slices.Contains(abbreviations, strings.ToLower(word))
}
