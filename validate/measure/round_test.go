package measure

import (
	"fmt"
	"math"
	"testing"
)

func ExampleRound() {
	fmt.Println(Round(1.005, 1), Round(2.5, 0), Round(-2.5, 0), Round(1234, -2))
	// Output: 1 3 -3 1200
}

func ExampleRoundFigures() {
	fmt.Println(RoundFigures(0.0123456, 3), RoundFigures(98765, 3), RoundFigures(-0.0999, 2))
	// Output: 0.0123 98800 -0.1
}

func TestRoundHasNoNegativeZero(t *testing.T) {
	for _, value := range []float64{-0.004, math.Copysign(0, -1)} {
		if got := Round(value, 2); got != 0 || math.Signbit(got) {
			t.Errorf("%g is rounded to %g", value, got)
		}
	}
}

func TestRoundingKeepsWhatIsNoFigure(t *testing.T) {
	for name, round := range map[string]func(float64) float64{
		"decimals": func(v float64) float64 { return Round(v, 3) },
		"figures":  func(v float64) float64 { return RoundFigures(v, 3) },
	} {
		t.Run(name, func(t *testing.T) {
			if !math.IsNaN(round(math.NaN())) || !math.IsInf(round(math.Inf(1)), 1) || !math.IsInf(round(math.Inf(-1)), -1) || round(0) != 0 {
				t.Error("a value without figures was changed")
			}
			for _, value := range []float64{5e-324, 1e-320, 1e-307, 1e300, math.MaxFloat64, -5e-324, -math.MaxFloat64} {
				if got := round(value); math.IsNaN(got) || math.IsInf(got, 0) || math.Abs(got-value) > math.Max(0.01*math.Abs(value), 0.001) {
					t.Errorf("%g is rounded to %g", value, got)
				}
			}
		})
	}
}

func TestThousands(t *testing.T) {
	for _, test := range []struct {
		value    float64
		decimals int
		want     string
	}{
		{0, 0, "0"},
		{999, 0, "999"},
		{1000, 0, "1,000"},
		{-1000, 0, "-1,000"},
		{-100, 0, "-100"},
		{1234567.5, 1, "1,234,567.5"},
		{304.8, 1, "304.8"},
		{1828.0, 1, "1,828"},
		{999.96, 1, "1,000"},
	} {
		t.Run(test.want, func(t *testing.T) {
			if got := Thousands(test.value, test.decimals); got != test.want {
				t.Errorf("%g with %d decimals is written %q, want %q", test.value, test.decimals, got, test.want)
			}
		})
	}
}
