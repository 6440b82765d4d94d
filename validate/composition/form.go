package composition

import (
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
	Unfermented      bool    // the text says that the food has not fermented
	words            []string
	text             string // in small letters
	sizes            sizeSet
}

// sizeSet is which of the sizeWords stand in a text.
type sizeSet uint16

// cutWords are the words of recipes for each cut. Common practice, no source: they are English, not figures.
var cutWords = map[string]Cut{
	"puree": Pureed, "pureed": Pureed, "purée": Pureed, "puréed": Pureed, "sieved": Pureed, "strained": Pureed, "juice": Pureed, "juiced": Pureed,
	"mashed": Pureed, "blended": Pureed, "milled": Pureed, "pulped": Pureed, "blitzed": Pureed, "liquidized": Pureed, "liquidised": Pureed,
	"pulverized": Pureed, "pulverised": Pureed, "riced": Pureed,
	"grated": Fine, "shredded": Fine, "minced": Fine, "ground": Fine, "julienne": Fine, "julienned": Fine, "matchsticks": Fine, "crushed": Fine,
	"chopped": Chopped, "diced": Chopped, "dice": Chopped, "kernel": Chopped, "kernels": Chopped,
	"sliced": Sliced, "slice": Sliced, "slices": Sliced, "ring": Sliced, "rings": Sliced, "round": Sliced, "rounds": Sliced, "coins": Sliced,
	"cube": Chopped, "cubes": Chopped, "cubed": Chopped,
	"piece": Sliced, "pieces": Sliced, "chunks": Sliced, "squares": Sliced,
	"floret": Sliced, "florets": Sliced, "chips": Sliced,
	"strip": Strips, "strips": Strips, "spear": Strips, "spears": Strips, "quarter": Strips, "quarters": Strips, "quartered": Strips,
	"halved": Strips, "halves": Strips, "half": Strips, "wedges": Strips, "sticks": Strips,
	"whole": Whole, "uncut": Whole, "unsliced": Whole, "unchopped": Whole,
}

// millimetersPer is the size of each of the sizeUnits; exact by definition.
var millimetersPer = map[string]float64{"mm": 1, "cm": 10, "in": 25.4, "inch": 25.4, "inches": 25.4}

// ReadForm reads the free text of a form. It never fails: what it does not understand it leaves unsaid, which may make a rule
// undetermined and never lets it pass. Of the text it reads three things, wherever they stand:
//
//	cut  = a word of cutWords, as its neighbors have it (cutOf): "kernels", "finely chopped", "whole spears"
//	size = [number ("to" | "or" | "-")] number unit ["or less"] [noun]: "3/16 in slices", "4 to 5 in", "1-1/2 in or less"
//	end  = whether a part of the text that names the blossom end leaves it on (keepsBlossomEnd)
//
// Of several cuts the finest and the coarsest count, of several sizes of one kind the largest. The noun tells what a size is of
// (readSizes). "Cut to 4 in", with no other cut named, is a long vegetable of its natural thickness and of just that length.
func ReadForm(text string) Form {
	if text == "" {
		return Form{}
	}
	form := Form{text: spelled(strings.ToLower(text))}
	form.words = strings.FieldsFunc(form.text, func(r rune) bool { return !unicode.IsLetter(r) })
	form.KeepsBlossomEnd = keepsBlossomEnd(form.text)
	form.Unfermented = unfermented(form.words, form.text)
	for i, word := range form.words {
		if size := slices.Index(sizeWords, word); size >= 0 {
			form.sizes |= 1 << size
		}
		if cut := cutOf(form.words, i); cut != Unstated {
			form.include(cut)
		}
	}
	if form.Has("spears") && form.Has("whole") {
		form.include(Whole)
	}
	cutToLength := form.Has("cut") && form.Coarsest == Unstated
	if cutToLength {
		form.Finest, form.Coarsest = Sliced, Whole
	}
	form.readSizes(cutToLength && strings.Contains(form.text, "cut to"))
	return form
}

// cutOf is the cut that a word names where it stands: "whole slices" and "whole kernel" are what the noun says, "whole spears" are
// uncut, "finely chopped" is fine, and "a quarter coin" and "half an inch" are measures.
func cutOf(words []string, i int) Cut {
	word, next, previous := words[i], "", ""
	if i+1 < len(words) {
		next = words[i+1]
	}
	if i > 0 {
		previous = words[i-1]
	}
	switch {
	case word == "whole" && cutWords[next] != Unstated:
		return Unstated
	case word == "spears" && previous == "whole":
		return Whole
	case word == "chopped" && (isFine(previous) || isFine(next)), word == "diced" && (previous == "finely" || next == "finely"):
		return Fine
	case word == "quarter" && next == "coin", word == "half" && next == "an":
		return Unstated
	case (word == "cob" || word == "cobs") && comesOff(words[:i]):
		return Chopped // what is cut from the cob is kernels
	}
	return cutWords[word]
}

func isFine(word string) bool { return word == "finely" || word == "fine" }

// comesOff reports whether the words before one say that something is cut from it: "from the", "off".
func comesOff(words []string) bool {
	if n := len(words); n > 0 && words[n-1] == "the" {
		words = words[:n-1]
	}
	n := len(words)
	return n > 0 && (words[n-1] == "from" || words[n-1] == "off")
}

// readSizes takes each size of the text for what its noun says: a stem is none of the food, "diameter" and "across" are diameters,
// "thick", slices and cubes have a thickness, also where they stand right before it ("slices of 2 in"), caps under so many inches a
// diameter, and everything else is a length. Where the text says to which length it is cut the last length counts, else the largest.
func (f *Form) readSizes(lastLength bool) {
	caps := strings.Contains(f.text, "caps under") || strings.Contains(f.text, "cap under")
	for found, ok := nextSize(f.text, 0); ok; found, ok = nextSize(f.text, found.end) {
		size := max(measure.MixedNumber(found.low), measure.MixedNumber(found.high)) * millimetersPer[found.unit]
		noun := found.noun
		switch {
		case noun == "stem", noun == "stems", noun == "of" && leftOn(f.text[found.end:]):
		case noun == "diameter", noun == "across":
			f.DiameterMM = max(f.DiameterMM, size)
		case noun == "thick", noun == "thickness", cutWords[noun] == Sliced, cutWords[noun] == Chopped, noun == "" && f.cutBefore(found.start):
			f.ThicknessMM = max(f.ThicknessMM, size)
		case caps:
			f.DiameterMM = max(f.DiameterMM, size)
		case lastLength:
			f.LengthMM = size
		default:
			f.LengthMM = max(f.LengthMM, size)
		}
	}
}

// leftOn tells whether a text begins with a part of the plant of which so many inches stay on: "of stem", "of the tops".
func leftOn(behind string) bool {
	fields := strings.FieldsFunc(behind[:min(len(behind), 24)], func(r rune) bool { return !unicode.IsLetter(r) })
	for _, word := range fields[:min(len(fields), 3)] {
		switch word {
		case "stem", "stems", "top", "tops", "root", "roots", "green", "greens", "stalk", "stalks":
			return true
		}
	}
	return false
}

// cutBefore tells whether the words right before a place are a cut with a thickness: "slices of 2 in", "sliced about 2 in".
func (f *Form) cutBefore(at int) bool {
	before := f.text[strings.LastIndexAny(f.text[:at], ",;()")+1 : at]
	for {
		before = strings.TrimRight(before, " ")
		last := before[strings.LastIndexByte(before, ' ')+1:]
		switch last {
		case "of", "about", "at", "to", "in", "into", "approximately", "roughly", "around":
			before = before[:len(before)-len(last)]
		default:
			return cutWords[last] == Sliced || cutWords[last] == Chopped
		}
	}
}

// WithoutSizes takes the sizes out of a free text about a form, except those of stems: what is left says the cut.
func WithoutSizes(text string) string {
	var kept strings.Builder
	end := 0
	for found, ok := nextSize(text, 0); ok; found, ok = nextSize(text, found.end) {
		kept.WriteString(text[end:found.start])
		end = found.end
		switch found.noun {
		case "stem", "stems":
			kept.WriteString(text[found.start:found.end])
		case "diameter", "across", "long":
		default:
			kept.WriteString(found.noun)
		}
	}
	kept.WriteString(text[end:])
	var parts []string
	for part := range strings.SplitSeq(kept.String(), ",") {
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
	f.Coarsest = max(f.Coarsest, cut)
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
