package composition

import (
	"math"
	"testing"
)

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

// The forms are those printed in the tested recipes (validate/table/tested_recipes.json).
func TestReadForm(t *testing.T) {
	const inch = 25.4
	for _, c := range []struct {
		text                        string
		finest, coarsest            Cut
		length, thickness, diameter float64
		words                       string // what WithoutSizes leaves
	}{
		{"pickling, 4 to 5 in, 3/16 in slices", Sliced, Sliced, 5 * inch, 3. / 16 * inch, 0, "pickling, slices"},
		{"pickling, 4 in, whole, 1/4 in stem left", Whole, Whole, 4 * inch, 0, 0, "pickling, whole, 1/4 in stem left"},
		{"1-1/2 in or less, whole, 1/4 in stem left, pricked", Whole, Whole, 1.5 * inch, 0, 0, "whole, 1/4 in stem left, pricked"},
		{"fresh, 5 to 6 in long, cut to 4 in", Sliced, Whole, 4 * inch, 0, 0, "fresh, cut to"},
		{"cut 1 to 2 in, blanched 3 min", Sliced, Whole, 2 * inch, 0, 0, "cut, blanched 3 min"},
		{"baby, 1 to 1-1/2 in diameter, cooked, skinned, packed whole", Whole, Whole, 0, 0, 1.5 * inch, "baby, cooked, skinned, packed whole"},
		{"2 to 2-1/2 in diameter, cooked, skinned, 1/4 in slices", Sliced, Sliced, 0, inch / 4, 2.5 * inch, "cooked, skinned, slices"},
		{"coarsely shredded or diced", Fine, Chopped, 0, 0, 0, "coarsely shredded or diced"},
		{"whole or quartered", Strips, Whole, 0, 0, 0, "whole or quartered"},
		{"cut from the cob", Chopped, Chopped, 0, 0, 0, "cut from the cob"},
		{"fresh, cut off cob", Chopped, Chopped, 0, 0, 0, "fresh, cut off cob"},
		{"cut from cobs", Chopped, Chopped, 0, 0, 0, "cut from cobs"},
		{"on the cob", Unstated, Unstated, 0, 0, 0, "on the cob"},
		{"cob", Unstated, Unstated, 0, 0, 0, "cob"},
		{"raw, whole slices, put in before the cucumbers", Sliced, Sliced, 0, 0, 0, "raw, whole slices, put in before the cucumbers"},
		{"fresh whole kernel", Chopped, Chopped, 0, 0, 0, "fresh whole kernel"},
		{"whole spears, trimmed to fit the jar", Whole, Whole, 0, 0, 0, "whole spears, trimmed to fit the jar"},
		{"seeded, finely chopped", Fine, Fine, 0, 0, 0, "seeded, finely chopped"},
		{"peeled, 1/2 in cubes", Chopped, Chopped, 0, inch / 2, 0, "peeled, cubes"},
		{"peeled, cored, quartered, crushed", Fine, Strips, 0, 0, 0, "peeled, cored, quartered, crushed"},
		{"shredded to the thickness of a US quarter coin, cored", Fine, Fine, 0, 0, 0, "shredded to the thickness of a US quarter coin, cored"},
		{"5 mm slices", Sliced, Sliced, 0, 5, 0, "slices"},
		{"whole or sliced", Sliced, Whole, 0, 0, 0, "whole or sliced"},
		{"spears or whole", Strips, Whole, 0, 0, 0, "spears or whole"},
		{"half an inch of stem, whole", Whole, Whole, 0, 0, 0, "half an inch of stem, whole"},
		{"half", Strips, Strips, 0, 0, 0, "half"},
		{"whole", Whole, Whole, 0, 0, 0, "whole"},
		{"fine chopped", Fine, Fine, 0, 0, 0, "fine chopped"},
		{"finely diced", Fine, Fine, 0, 0, 0, "finely diced"},
		{"chopped", Chopped, Chopped, 0, 0, 0, "chopped"},
		{"chopped finely", Fine, Fine, 0, 0, 0, "chopped finely"},
		{"sliced 2 inches thick", Sliced, Sliced, 0, 2 * inch, 0, "sliced thick"},
		{"sliced two inches thick", Sliced, Sliced, 0, 2 * inch, 0, "sliced two inches thick"},
		{`3" slices`, Sliced, Sliced, 0, 3 * inch, 0, `3" slices`},
		{`slices 3"thick`, Sliced, Sliced, 0, 3 * inch, 0, `slices 3"thick`},
		{"2½ in slices", Sliced, Sliced, 0, 2.5 * inch, 0, "2½ in slices"},
		{"1/4-inch-thick slices", Sliced, Sliced, 0, inch / 4, 0, "-thick slices"},
		{"slices of about 2 in", Sliced, Sliced, 0, 2 * inch, 0, "slices of about"},
		{"sliced, 2 in", Sliced, Sliced, 2 * inch, 0, 0, "sliced"},
		{"half an inch slices", Sliced, Sliced, 0, inch / 2, 0, "half an inch slices"},
		{"five-inch, whole", Whole, Whole, 5 * inch, 0, 0, "five-inch, whole"},
		{"whole, 3 centimeters across", Whole, Whole, 0, 0, 30, "whole, 3 centimeters across"},
		{"1 inch of the stem left, whole", Whole, Whole, 0, 0, 0, "of the stem left, whole"},
		{"1 inch of food, whole", Whole, Whole, inch, 0, 0, "of food, whole"},
		{"uncut", Whole, Whole, 0, 0, 0, "uncut"},
		{"blitzed", Pureed, Pureed, 0, 0, 0, "blitzed"},
		{"cut to 10 cm, then to 4 in", Sliced, Whole, 4 * inch, 0, 0, "cut to, then to"},
		{"cut, 10 cm or 4 in", Sliced, Whole, 4 * inch, 0, 0, "cut, or"},
		{"sliced, cut to 5 in then 4 in", Sliced, Sliced, 5 * inch, 0, 0, "sliced, cut to then"},
		{"4 in, then 5 in", Unstated, Unstated, 5 * inch, 0, 0, "then"},
		{"caps under 1-1/4 in", Unstated, Unstated, 0, 0, 1.25 * inch, "caps under"},
		{"cap under 3 cm", Unstated, Unstated, 0, 0, 30, "cap under"},
		{"2 in across, 3 in across", Unstated, Unstated, 0, 0, 3 * inch, ""},
		{"1/2 in slices, 1/4 in rings", Sliced, Sliced, 0, inch / 2, 0, "slices, rings"},
		{"1 - 2 in pieces", Sliced, Sliced, 0, 2 * inch, 0, "pieces"},
		{"2-1/2 inches long", Unstated, Unstated, 2.5 * inch, 0, 0, ""},
		{"1/2 in stems", Unstated, Unstated, 0, 0, 0, "1/2 in stems"},
		{"3 cups", Unstated, Unstated, 0, 0, 0, "3 cups"},
		{"", Unstated, Unstated, 0, 0, 0, ""},
	} {
		t.Run(c.text, func(t *testing.T) {
			f := ReadForm(c.text)
			if f.Finest != c.finest || f.Coarsest != c.coarsest || !near(f.LengthMM, c.length) || !near(f.ThicknessMM, c.thickness) || !near(f.DiameterMM, c.diameter) {
				t.Errorf("%q: %v to %v, %v x %v, diameter %v", c.text, f.Finest, f.Coarsest, f.LengthMM, f.ThicknessMM, f.DiameterMM)
			}
			if words := WithoutSizes(c.text); words != c.words {
				t.Errorf("%q without sizes: %q, want %q", c.text, words, c.words)
			}
		})
	}
}

// Common practice, no source: the texts are ours.
func TestKeepsBlossomEnd(t *testing.T) {
	for text, want := range map[string]bool{
		"whole, 3 to 5 in, blossom end cut off":               false,
		"whole, blossom end trimmed, 1/4 in of stem left on":  false,
		"leave 1/4 in of stem on and cut off the blossom end": false,
		"cut off the blossom end but not the stem":            false,
		"without blossom ends":                                false,
		"without blossom end":                                 false,
		"blossom end not left on":                             false,
		"whole, stem left on":                                 false,
		"whole, blossom end left on":                          true,
		"whole, with blossom end":                             true,
		"whole, blossom end untrimmed":                        true,
		"sliced, blossom end not cut off":                     true,
		"sliced without cutting the blossom end":              true,
		"stem trimmed but blossom end left on":                true,
		"whole (keep the blossom end), 4 in":                  true,
		"Blossom end intact":                                  true,
		"blossom end cut off and no stem":                     false,
		"the blossom end has not been cut off":                true,
	} {
		t.Run(text, func(t *testing.T) {
			if got := ReadForm(text).KeepsBlossomEnd; got != want {
				t.Errorf("keeps the blossom end: %v, want %v", got, want)
			}
		})
	}
}

// Common practice, no source: the texts are ours.
func TestThinned(t *testing.T) {
	for text, want := range map[string]bool{
		"diluted 1:1 with water": true, "diluted, no sugar": true, "no salt, diluted": true, "half water": true, "mixed with equal parts water": true,
		"reused": true, "watered down": true, "not strained, diluted with water": true,
		"not diluted": false, "undiluted": false, "never diluted": false, "bottled": false, "no water added": false, "without added water": false,
		"boiled with the water and the salt": false, "": false,
	} {
		t.Run(text, func(t *testing.T) {
			if got := ReadForm(text).thinned(); got != want {
				t.Errorf("thinned %v, want %v", got, want)
			}
		})
	}
}

func TestSaysUnlessDenied(t *testing.T) {
	for text, want := range map[string]bool{
		"freshly squeezed": true, "fresh, not strained": true, "no pulp, fresh": true, "squeezed without pulp": true,
		"bottled, not fresh": false, "not freshly squeezed": false, "bottled": false,
	} {
		t.Run(text, func(t *testing.T) {
			if got := ReadForm(text).says("fresh", "freshly", "squeezed"); got != want {
				t.Errorf("%v, want %v", got, want)
			}
		})
	}
}

func TestWordsForCuts(t *testing.T) {
	for cut, want := range map[Cut]string{Unstated: "not said", Fine: "grated or finely chopped", Whole: "whole"} {
		if got := cut.String(); got != want {
			t.Errorf("%d: %q, want %q", cut, got, want)
		}
	}
}
