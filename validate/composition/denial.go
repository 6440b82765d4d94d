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
