package composition

import (
	"iter"
	"slices"
	"strings"
	"unicode"
)

// says reports whether the text has one of the words and does not deny it right before: "not diluted" denies, "diluted, no
// sugar" and "no salt, diluted" do not.
func (f Form) says(words ...string) bool {
	if !f.Has(words...) {
		return false
	}
	stated := false
	for part := range partsOf(f.text) {
		of, _ := mentions(part, words)
		stated = stated || of
	}
	return stated
}

// partsOf gives the words of a text part by part, parted by commas and the like and by "but".
func partsOf(lower string) iter.Seq[[]string] {
	return func(yield func([]string) bool) {
		for part := range strings.FieldsFuncSeq(strings.ReplaceAll(lower, " but ", ","), func(r rune) bool { return strings.ContainsRune(",;.()", r) }) {
			if !yield(strings.FieldsFunc(part, func(r rune) bool { return !unicode.IsLetter(r) && r != '\'' })) {
				return
			}
		}
	}
}

// mentions tells whether one of the words stands among those of a part, and whether one stands there denied: with "not" or
// the like among the two words before it.
func mentions(part, words []string) (stated, denied bool) {
	for i, word := range part {
		if !slices.Contains(words, word) {
			continue
		}
		if slices.ContainsFunc(part[max(0, i-2):i], func(w string) bool { return slices.Contains(denials, w) }) {
			denied = true
		} else {
			stated = true
		}
	}
	return stated, denied
}

// Words that tell whether an end is cut off or stays on. Common practice, no source: they are English, not figures.
var (
	cutWordsOfEnds  = []string{"cut", "cutting", "trim", "trimmed", "trimming", "remove", "removed", "removing", "discard", "discarded"}
	leftWordsOfEnds = []string{"on", "left", "leave", "leaving", "keep", "kept", "with", "stays", "remains", "untrimmed", "uncut", "intact"}
	denials         = []string{"not", "never", "no", "without", "don't"}
)

// keepsBlossomEnd reads whether the blossom end stays on: a part of the text names it and says that it is left on or not cut
// off. Of the stem, which stays on, other parts speak.
func keepsBlossomEnd(lower string) bool {
	if !strings.Contains(lower, "blossom") {
		return false
	}
	for part := range partsOf(lower) {
		cut, uncut := mentions(part, cutWordsOfEnds)
		left, _ := mentions(part, leftWordsOfEnds)
		if slices.Contains(part, "blossom") && !cut && (uncut || left) {
			return true
		}
	}
	return false
}

// thinned reads whether an acid was watered down or used before. Common practice, no source: they are English, not figures.
func (f Form) thinned() bool {
	if f.says("diluted", "dilute", "watered", "thinned", "weakened", "reused", "recycled") {
		return true
	}
	// "mixed with water", "half water", not "boiled with the water" of the brine.
	return f.says("water") && f.Has("mixed", "cut", "added", "equal", "part", "parts", "half")
}

// pouredOff reads whether what is poured is poured away: "poured off", and not "poured boiling over the food".
func (f Form) pouredOff() bool {
	for i, word := range f.words {
		if word == "poured" && (i+1 == len(f.words) || !slices.ContainsFunc(f.words[i+1:], func(w string) bool { return w == "over" || w == "on" || w == "in" })) {
			return true
		}
	}
	return false
}

// fermentWords are the words of a ferment. Common practice, no source: they are English, not figures.
var fermentWords = []string{"ferment", "fermented", "fermenting", "fermentation", "soured", "souring"}

// unfermented reads whether a food is said not to have fermented: the word denied, "unfermented", or "packed right away" of food of
// which nothing says that it fermented.
func unfermented(words []string, lower string) bool {
	haste := strings.Contains(lower, "right away") || strings.Contains(lower, "straight away") || strings.Contains(lower, "at once") ||
		strings.Contains(lower, "immediately")
	if !haste && !strings.Contains(lower, "ferment") && !strings.Contains(lower, "sour") {
		return false // as nearly every text
	}
	if slices.Contains(words, "unfermented") {
		return true
	}
	fermented := false
	for part := range partsOf(lower) {
		stated, denied := mentions(part, fermentWords)
		if denied || skips(part) {
			return true
		}
		fermented = fermented || stated
	}
	return haste && !fermented && slices.ContainsFunc(words, func(w string) bool { return slices.Contains(packingWords, w) })
}

// packingWords and hedges are words of packing, and of a ferment that is left out or cut short. Common practice, no source: they
// are English, not figures.
var (
	packingWords = []string{"packed", "pack", "packing", "canned", "canning", "jarred", "filled"}
	hedges       = []string{
		"before", "instead", "skip", "skipped", "skipping", "half", "partly", "partially", "barely", "hardly", "briefly", "lightly", "incompletely",
	}
)

// skips reads "before it ferments", "instead of fermenting", "fermentation skipped", "half fermented".
func skips(part []string) bool {
	return slices.ContainsFunc(part, func(w string) bool { return strings.HasPrefix(w, "ferment") }) &&
		slices.ContainsFunc(part, func(w string) bool { return slices.Contains(hedges, w) })
}
