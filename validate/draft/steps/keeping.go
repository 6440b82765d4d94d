package steps

import (
	"strings"

	"jarwright/validate/document"
	"jarwright/validate/draft/amount"
)

var (
	refrigerated = anyOf("refrigerat", "fridge")
	// The refrigerator for opened jars, for those that did not seal, and for a night.
	onlyLater = anyOf(
		"after opening", "once opened", "any unsealed", "not sealed", "did not seal", "didn't seal", "don't seal", "do not seal", "refrigerate overnight",
		"unsealed", "has not sealed", "fail to seal", "if not sealed",
	)
	shelved = anyOf(
		"shelf-stable", "shelf stable", "pantry", "cool, dark", "cool dark", "dark, cool", "dry place", "cupboard", "room temperature for up to a year",
		"store sealed", "shelf for", "for the shelf",
	)
)

// Keep tells whether closed jars are kept on the shelf or in the refrigerator, or nothing.
func (s Sentence) Keep() string {
	switch {
	case shelved.in(&s.found):
		return document.KeepShelf
	case refrigerated.in(&s.found) && !onlyLater.in(&s.found):
		return document.KeepRefrigerator
	}
	return ""
}

var (
	resting = anyOf(
		"before eating", "before opening", "before serving", "before using", "before you eat", "before tasting", "to cure", "flavors to develop",
		"flavours to develop", "let stand", "before consuming", "wait ",
	)
	restUnits = map[byte]string{'d': "d", 'w': "wk", 'm': "mo"}
)

// Rest is how long the jars rest before they are opened, in "d", "wk" or "mo".
func (s Sentence) Rest() (Figure, bool) {
	if !resting.in(&s.found) {
		return Figure{}, false
	}
	m, ok := restPattern.find(s.lower, 0)
	if !ok {
		return Figure{}, false
	}
	return m.figure(restUnits[m.unit[0]]), true
}

var fermenting = anyOf("ferment")

// Ferment is how long and how warm a ferment stands, in "d", "wk" or "mo" and "F" or "C"; a figure that is not said has no unit. Of
// several conditions the first counts, and a sentence that begins with "or" is another way to do the same: it says nothing.
func (s Sentence) Ferment() (time, warmth Figure) {
	if !fermenting.in(&s.found) || strings.HasPrefix(s.lower, "or ") {
		return Figure{}, Figure{}
	}
	if m, ok := restPattern.find(s.lower, 0); ok {
		time = m.figure(restUnits[m.unit[0]])
	}
	warmth, _ = temperature(s.lower)
	return time, warmth
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
	{anyOf("three", "3 times"), 3},
	{anyOf("twice", "two ", "2 times"), 2},
	{anyOf("four", "4 times"), 4},
}

var limeRinse = anyOf("lime", "three times", "3 times", "times in fresh")

// Rinses is how often lime is rinsed off.
func (s Sentence) Rinses() (times float64, ok bool) {
	soaks := strings.Contains(s.lower, "water") && strings.Contains(s.lower, "fresh") && strings.Contains(s.lower, "times")
	if !soaks && (!strings.Contains(s.lower, "rins") || !limeRinse.in(&s.found)) {
		return 0, false
	}
	for _, each := range rinseCounts {
		if each.words.in(&s.found) {
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
	{document.KindFermented, anyOf("ferment", "sauerkraut", "kimchi", "lacto")},
	{document.KindRelish, anyOf("relish", "piccalilli", "chow-chow", "chow chow", "chowchow")},
	{document.KindSauce, anyOf("salsa", "ketchup", "catsup", "sauce", "juice", "crushed tomatoes")},
	{document.KindFruit, anyOf("chutney", "jam", "jelly", "marmalade", "butter", "preserve", "pie filling", "spiced apple", "spiced crab")},
}

var breadAndButter = anyOf("bread and butter", "bread-and-butter") // pickles, not fruit butter

// Kind is the kind of product that a title names, one of the kinds of the request, or nothing.
func (s Sentence) Kind() string {
	if breadAndButter.in(&s.found) {
		return ""
	}
	for _, each := range kinds {
		if each.words.in(&s.found) {
			return each.kind
		}
	}
	return ""
}
