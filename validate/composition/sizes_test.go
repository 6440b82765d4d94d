package composition

import (
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
)

// sizesAsPattern is what nextSize finds, said as a pattern: slow, and easy to read.
var sizesAsPattern = func() *regexp.Regexp {
	const number = `\d+(?:[.]\d+)?(?:[ -]\d+/\d+|/\d+)?`
	return regexp.MustCompile(`(?:(` + number + `)(?:\s*(?:to|or|–)\s*|\s+-\s+))?(` + number + `)\s*-?\s*(inches|inch|in|mm|cm)\b[. ]*` +
		`(?:or less[, ]*)?(?:in )?([\p{L}]*)`)
}()

// checkSizes compares the sizes of a text with those that the pattern finds.
func checkSizes(t *testing.T, text string) (found int) {
	t.Helper()
	at := 0
	for _, m := range sizesAsPattern.FindAllStringSubmatchIndex(text, -1) {
		part := func(group int) string {
			if m[2*group] < 0 {
				return ""
			}
			return text[m[2*group]:m[2*group+1]]
		}
		want := writtenSize{m[0], m[1], part(1), part(2), part(3), part(4)}
		have, ok := nextSize(text, at)
		if !ok || have != want {
			t.Fatalf("in %q after %d stands %+v (%v), by the pattern %+v", text, at, have, ok, want)
		}
		at, found = have.end, found+1
	}
	if more, ok := nextSize(text, at); ok {
		t.Fatalf("in %q after %d stands %+v, by the pattern nothing", text, at, more)
	}
	return found
}

// sizeParts are what sizes are written of, with much that is nearly so.
var sizeParts = []string{
	"1", "2", "16", "0", "1/2", "3/16", ".5", ".", "/", "-", " - ", "–", " to ", "to", " or ", "or", " ", "  ", "\t", "\n",
	"in", "inch", "inches", "inchess", "mm", "cm", "m",
	"in ", "in. ", "or less", "or less, ", ", ", "slices", "stem", "across", "é", "Ä", "_", "x", "in_", "\xff", "½", "1-1/2", "4 to 5 in",
}

func TestSizesAreThoseOfThePattern(t *testing.T) {
	const texts = 30000
	r, sizes := rand.New(rand.NewPCG(7, 11)), 0
	for range texts {
		var text strings.Builder
		for range 1 + r.IntN(14) {
			text.WriteString(sizeParts[r.IntN(len(sizeParts))])
		}
		sizes += checkSizes(t, text.String())
	}
	if sizes < texts/10 {
		t.Errorf("the texts hold %d sizes, too few to tell anything", sizes)
	}
}

func FuzzSizes(f *testing.F) {
	for _, text := range []string{
		"4 to 5 in", "1-1/2 in or less, in slices", "1.5.2 in", "1 - 2 in", "1 - in", "inché 3 inché", "1 1 1/2 1/2 in", "cut to 4 in. stems",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) { checkSizes(t, text) })
}
