package measure

import (
	"math"
	"testing"
)

// Of what is no number every way of writing says so.
func TestUnknownAmounts(t *testing.T) {
	for _, none := range []float64{math.Inf(1), math.Inf(-1), math.NaN()} {
		if Known(none) {
			t.Errorf("%v is known", none)
		}
		if got := FormatInches(Length(none)); got != "an unknown length" {
			t.Errorf("%v: %q", none, got)
		}
		for _, got := range []string{FormatNumber(none), FormatAmount(none, "cup"), FormatAmount(none, CodeEach), FormatFraction(none), Thousands(none, 1)} {
			if got != "an unknown amount" {
				t.Errorf("%v: %q", none, got)
			}
		}
	}
	if !Known(0) || !Known(-1e300) {
		t.Error("a number is not known")
	}
}
