package match

import (
	"slices"
	"testing"
)

// Where the low-acid food exceeds an acid food by at most half, the acid food was cut, and is named; by more, the low-acid
// food was raised. The tomatoes of a salsa are cut to just under and just over that.
func TestShortFruitIsNamedUpToHalfAsMuchMore(t *testing.T) {
	const recipe = "tomato-salsa-slicing-tomatoes"
	for _, c := range []struct {
		name  string
		share float64 // of the printed tomatoes
		named string  // item of the line that is named
		other string  // and of the one that is not
	}{
		{"1.49 times the low-acid food", 1 / 1.49, "tomato", "onion"},
		{"1.51 times the low-acid food", 1 / 1.51, "onion", "tomato"},
		{"2.9 times the low-acid food", 1 / 2.9, "onion", "tomato"},
	} {
		t.Run(c.name, func(t *testing.T) {
			request := followed(t, recipe)
			tomatoes, _ := lineOf(t, &request, "tomato")
			times(c.share)(tomatoes)
			_, named := lineOf(t, &request, c.named)
			_, other := lineOf(t, &request, c.other)
			m := comparedWith(&request)
			at := func(line string) bool {
				return slices.ContainsFunc(adverse(&m), func(d Departure) bool { return d.At == line+"/amount" && d.Verdict == Unsafe })
			}
			if !at(named) || at(other) {
				t.Errorf("want %s named and %s not:\n%s", c.named, c.other, list(adverse(&m)))
			}
		})
	}
}
