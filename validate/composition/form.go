package composition

import (
	"iter"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"jarwright/validate/measure"
)

// Cut is how finely a food is cut, coarsest last. The order matters: heat reaches the middle of a coarser cut later.
type Cut int

// The cuts. Unstated means that the text names none.
const (
	Unstated Cut = iota
	Pureed       // puree, juice, sieved, crushed to sauce
	Fine         // grated, shredded, minced, julienne
	Chopped      // chopped, diced, cubes, kernels
	Sliced       // slices, rings, pieces, florets
	Strips       // strips, spears, quarters, halves
	Whole
)

// String is the word for people.
func (c Cut) String() string {
	return [...]string{"not said", "pureed", "grated or finely chopped", "chopped", "sliced or in pieces", "in strips, quarters or halves", "whole"}[c]
}

// Form is what a free text about the form of a food says: the finest and the coarsest cut it allows and the sizes in it.
// Sizes are in millimeters, 0 where none is said; a range counts with its larger end.
type Form struct {
	Finest, Coarsest Cut
	LengthMM         float64
	ThicknessMM      float64 // of slices and cubes
	DiameterMM       float64 // of whole round pieces
	KeepsBlossomEnd  bool    // the text says that the blossom end stays on
	words            []string
	text             string // in small letters
	sizes            sizeSet
}

// sizeSet is which of the sizeWords stand in a text.
type sizeSet uint16

// cutWords are the words of recipes for each cut. Common practice, no source: they are English, not figures.
var cutWords = map[string]Cut{
	"puree": Pureed, "pureed": Pureed, "purée": Pureed, "puréed": Pureed, "sieved": Pureed, "strained": Pureed, "juice": Pureed, "juiced": Pureed,
	"mashed": Pureed, "blended": Pureed, "milled": Pureed, "pulped": Pureed,
	"grated": Fine, "shredded": Fine, "minced": Fine, "ground": Fine, "julienne": Fine, "julienned": Fine, "matchsticks": Fine, "crushed": Fine,
	"chopped": Chopped, "diced": Chopped, "dice": Chopped, "kernel": Chopped, "kernels": Chopped,
	"sliced": Sliced, "slice": Sliced, "slices": Sliced, "ring": Sliced, "rings": Sliced, "round": Sliced, "rounds": Sliced, "coins": Sliced,
	"cube": Chopped, "cubes": Chopped, "cubed": Chopped,
	"piece": Sliced, "pieces": Sliced, "chunks": Sliced, "squares": Sliced,
	"floret": Sliced, "florets": Sliced, "chips": Sliced,
	"strip": Strips, "strips": Strips, "spear": Strips, "spears": Strips, "quarter": Strips, "quarters": Strips, "quartered": Strips,
	"halved": Strips, "halves": Strips, "half": Strips, "wedges": Strips, "sticks": Strips,
	"whole": Whole,
}

// A size: "3/16 in", "1-1/2 inch", "4 to 5 in", "5 mm", "2 cm", with the word that follows it.
var sizePattern = regexp.MustCompile(`(?:(\d+(?:[.]\d+)?(?:[ -]\d+/\d+|/\d+)?)(?:\s*(?:to|or|–)\s*|\s+-\s+))?(\d+(?:[.]\d+)?(?:[ -]\d+/\d+|/\d+)?)\s*-?\s*(inches|inch|in|mm|cm)\b[. ]*(?:or less[, ]*)?(?:in )?([\p{L}]*)`)

// ReadForm reads the free text of a form. It never fails: what it does not understand it leaves unsaid.
func ReadForm(text string) Form {
	if text == "" {
		return Form{}
	}
	lower := strings.ToLower(text)
	form := Form{}
	words := strings.FieldsFunc(lower, func(r rune) bool { return !unicode.IsLetter(r) })
	form.words, form.text = words, lower
	form.KeepsBlossomEnd = keepsBlossomEnd(lower)
	for i, word := range words {
		if size := slices.Index(sizeWords, word); size >= 0 {
			form.sizes |= 1 << size
		}
		cut, ok := cutWords[word]
		if !ok {
			continue
		}
		next, previous := "", ""
		if i+1 < len(words) {
			next = words[i+1]
		}
		if i > 0 {
			previous = words[i-1]
		}
		switch {
		case word == "whole" && cutWords[next] != Unstated && next != "or":
			continue // "whole slices", "whole kernel": the noun says the cut
		case word == "whole" && next == "spears", word == "spears" && previous == "whole":
			cut = Whole
		case word == "chopped" && (previous == "finely" || previous == "fine"), word == "diced" && previous == "finely":
			cut = Fine
		case word == "quarter" && next == "coin", word == "half" && next == "an":
			continue // a measure, not a cut
		}
		form.include(cut)
	}
	if form.Has("spears") && form.Has("whole") {
		form.include(Whole)
	}
	// Long vegetables cut to the height of the jar keep their natural thickness, so "cut to 4 in" is whole but for its length.
	cutToLength := form.Has("cut") && form.Coarsest == Unstated
	if cutToLength {
		form.Finest, form.Coarsest = Sliced, Whole
	}
	if !strings.ContainsAny(lower, "0123456789") {
		return form // most forms name no size, and the pattern is slow
	}
	for _, m := range sizePattern.FindAllStringSubmatch(lower, -1) {
		size := max(measure.MixedNumber(m[1]), measure.MixedNumber(m[2])) * map[string]float64{"mm": 1, "cm": 10}[m[3]]
		if strings.HasPrefix(m[3], "in") {
			size = max(measure.MixedNumber(m[1]), measure.MixedNumber(m[2])) * 25.4
		}
		switch noun := m[4]; {
		case noun == "stem", noun == "stems":
		case noun == "diameter", noun == "across":
			form.DiameterMM = max(form.DiameterMM, size)
		case cutWords[noun] == Sliced || cutWords[noun] == Chopped:
			form.ThicknessMM = max(form.ThicknessMM, size)
		case strings.Contains(lower, "caps under") || strings.Contains(lower, "cap under"):
			form.DiameterMM = max(form.DiameterMM, size)
		default:
			if cutToLength && strings.Contains(lower, "cut to") {
				form.LengthMM = size // the last size is the one it is cut to
			} else {
				form.LengthMM = max(form.LengthMM, size)
			}
		}
	}
	return form
}

// WithoutSizes takes the sizes out of a free text about a form, except those of stems: what is left says the cut.
func WithoutSizes(text string) string {
	kept := sizePattern.ReplaceAllStringFunc(text, func(match string) string {
		m := sizePattern.FindStringSubmatch(match)
		switch m[4] {
		case "stem", "stems":
			return match
		case "diameter", "across", "long":
			return ""
		}
		return m[4]
	})
	var parts []string
	for part := range strings.SplitSeq(kept, ",") {
		if part = strings.Join(strings.Fields(part), " "); part != "" {
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, ", ")
}

func (f *Form) include(cut Cut) {
	if f.Finest == Unstated || cut < f.Finest {
		f.Finest = cut
	}
	if cut > f.Coarsest {
		f.Coarsest = cut
	}
}

// Has reports whether any of the words stands in the text.
func (f Form) Has(words ...string) bool {
	for _, w := range words {
		if slices.Contains(f.words, w) {
			return true
		}
	}
	return false
}

// says reports whether the text has one of the words and does not deny it right before: "not diluted" denies, "diluted, no
// sugar" and "no salt, diluted" do not.
func (f Form) says(words ...string) bool {
	if !f.Has(words...) {
		return false
	}
	said := false
	for part := range partsOf(f.text) {
		of, _ := mentions(part, words)
		said = said || of
	}
	return said
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
func mentions(part, words []string) (said, denied bool) {
	for i, word := range part {
		if !slices.Contains(words, word) {
			continue
		}
		if slices.ContainsFunc(part[max(0, i-2):i], func(w string) bool { return slices.Contains(denials, w) }) {
			denied = true
		} else {
			said = true
		}
	}
	return said, denied
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
