package steps

import (
	"regexp"
	"strings"

	"jarwright/validate/document"
	"jarwright/validate/draft/amount"
)

var (
	refrigerated = phrases{"refrigerat", "fridge"}
	// The refrigerator for opened jars, for those that did not seal, and for a night.
	onlyLater = phrases{
		"after opening", "once opened", "any unsealed", "not sealed", "did not seal", "didn't seal", "don't seal", "do not seal", "refrigerate overnight",
		"unsealed", "has not sealed", "fail to seal", "if not sealed",
	}
	shelved = phrases{
		"shelf-stable", "shelf stable", "pantry", "cool, dark", "cool dark", "dark, cool", "dry place", "cupboard", "room temperature for up to a year",
		"store sealed", "shelf for", "for the shelf",
	}
)

// Keep tells whether closed jars are kept on the shelf or in the refrigerator, or nothing.
func (s Sentence) Keep() string {
	switch {
	case shelved.in(s.lower):
		return document.KeepShelf
	case refrigerated.in(s.lower) && !onlyLater.in(s.lower):
		return document.KeepRefrigerator
	}
	return ""
}

var (
	restPattern = regexp.MustCompile(numberText + `(?:\s*(?:-|to)\s*` + numberText + `)?\s*(days?|weeks?|months?)`)
	resting     = phrases{
		"before eating", "before opening", "before serving", "before using", "before you eat", "before tasting", "to cure", "flavors to develop",
		"flavours to develop", "let stand", "before consuming", "wait ",
	}
	restUnits = map[byte]string{'d': "d", 'w': "wk", 'm': "mo"}
)

// Rest is how long the jars rest before they are opened, in "d", "wk" or "mo".
func (s Sentence) Rest() (Figure, bool) {
	if !resting.in(s.lower) {
		return Figure{}, false
	}
	m := restPattern.FindStringSubmatch(s.lower)
	if m == nil {
		return Figure{}, false
	}
	return figure(m[1], m[2], restUnits[m[3][0]]), true
}

// Strength is the strength of the vinegar in percent. A sentence that forbids something demands it all the same where it
// forbids less: "never use vinegar of less than 5%".
func (s Sentence) Strength() (percent float64, demanded, ok bool) {
	if !strings.Contains(s.lower, "vinegar") && !strings.Contains(s.lower, "acidity") {
		return 0, false, false
	}
	percent, ok = amount.Percent(s.lower)
	return percent, !s.Forbids() || strings.Contains(s.lower, "less than"), ok
}

// rinseCounts are the words for how often the lime is rinsed off, those that count first.
var rinseCounts = []struct {
	words phrases
	times float64
}{
	{phrases{"three", "3 times"}, 3},
	{phrases{"twice", "two ", "2 times"}, 2},
	{phrases{"four", "4 times"}, 4},
}

var limeRinse = phrases{"lime", "three times", "3 times", "times in fresh"}

// Rinses is how often lime is rinsed off.
func (s Sentence) Rinses() (times float64, ok bool) {
	soaks := strings.Contains(s.lower, "water") && strings.Contains(s.lower, "fresh") && strings.Contains(s.lower, "times")
	if !soaks && (!strings.Contains(s.lower, "rins") || !limeRinse.in(s.lower)) {
		return 0, false
	}
	for _, each := range rinseCounts {
		if each.words.in(s.lower) {
			return each.times, true
		}
	}
	return 0, false
}

// kinds are the words of titles and categories for each kind of product, the more telling ones first.
var kinds = []struct {
	kind  string
	words phrases
}{
	{document.KindFermented, phrases{"ferment", "sauerkraut", "kimchi", "lacto"}},
	{document.KindRelish, phrases{"relish", "piccalilli", "chow-chow", "chow chow", "chowchow"}},
	{document.KindSauce, phrases{"salsa", "ketchup", "catsup", "sauce", "juice", "crushed tomatoes"}},
	{document.KindFruit, phrases{"chutney", "jam", "jelly", "marmalade", "butter", "preserve", "pie filling", "spiced apple", "spiced crab"}},
}

var breadAndButter = phrases{"bread and butter", "bread-and-butter"} // pickles, not fruit butter

// Kind is the kind of product that a title names, one of the kinds of the request, or nothing.
func (s Sentence) Kind() string {
	if breadAndButter.in(s.lower) {
		return ""
	}
	for _, each := range kinds {
		if each.words.in(s.lower) {
			return each.kind
		}
	}
	return ""
}
