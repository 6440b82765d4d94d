package match

import (
	"math"
	"testing"

	"jarwright/validate/composition"
)

// TestWeighedRatios goes through published weights: an onion is 70 to 150 g, a cup of chopped ones 136.1 to 160 g, of sliced ones
// 115 to 170.1 g, a cup of vinegar 238 to 239 g, a tablespoon of hot peppers a sixteenth of 150 g.
func TestWeighedRatios(t *testing.T) {
	const pound = 453.59237
	part := func(id, form string, low, high float64, unit string) portion {
		return portion{item: item(t, id), form: composition.ReadForm(form), low: low, high: high, unit: unitOf(t, unit)}
	}
	also := func(p portion, value, small float64, unit string) portion {
		p.also, p.alsoSmall, p.alsoUnit = value, small, unitOf(t, unit)
		return p
	}
	onion := part("onion", "", 1, 1, "lb")
	for _, c := range []struct {
		name       string
		mine, them []portion
		kind       slotKind
		low, high  float64 // 0: no ratio
	}{
		{"acid by weight", []portion{part("vinegar", "", 477, 477, "g")}, []portion{part("vinegar", "", 2, 2, "cup")}, acidSlot, 1, 1},
		{"soak by weight", []portion{part("vinegar", "", 477, 477, "g")}, []portion{part("vinegar", "", 2, 2, "cup")}, soakAcidSlot, 1, 1},
		{"vinegar that is no acid", []portion{part("vinegar", "", 478, 478, "g")}, []portion{part("vinegar", "", 2, 2, "cup")}, saltSlot, 1, 478. / 476},
		{"water of another cut", []portion{part("water", "chopped", 2, 2, "cup")}, []portion{part("water", "sliced", 1, 1, "cup")}, waterSlot, 2, 2},
		{
			"a finer cut",
			[]portion{part("onion", "chopped", 1, 1, "cup")},
			[]portion{part("onion", "sliced", 1, 1, "cup")},
			lowAcidSlot, 160 / 170.1, 136.1 / 115,
		},
		{"pieces for a weight", []portion{part("onion", "", 2, 2, "each")}, []portion{part("onion", "", 1, 2, "lb")}, lowAcidSlot, 140 / pound, 300 / pound / 2},
		{"a weight for pieces", []portion{onion}, []portion{part("onion", "", 2, 3, "each")}, lowAcidSlot, pound / 300, pound / 210},
		{"another printing", []portion{part("onion", "chopped", 4, 4, "cup")}, []portion{also(onion, 2, 0, "cup")}, lowAcidSlot, 2, 2},
		{"the printing itself", []portion{part("onion", "", 4, 4, "cup")}, []portion{also(part("onion", "", 2, 2, "cup"), 1, 0, "lb")}, lowAcidSlot, 2, 2},
		{
			"a printed weight",
			[]portion{part("onion", "", 2, 2, "each")},
			[]portion{also(part("onion", "", 9, 9, "cup"), 1, 0, "lb")},
			lowAcidSlot, 140 / pound,
			300 / pound,
		},
		{
			"a number of pieces beside a weight",
			[]portion{part("onion", "chopped", 2, 2, "cup")},
			[]portion{also(onion, 9, 0, "each")},
			lowAcidSlot, 272.2 / pound, 320 / pound,
		},
		{"a number of pieces for no weight", []portion{onion}, []portion{also(part("onion", "", 9, 9, "head"), 2, 0, "each")}, lowAcidSlot, pound / 300, pound / 140},
		{
			"two peppers for three spoons",
			[]portion{part("hot-pepper", "", 4, 4, "each"), onion},
			[]portion{also(part("hot-pepper", "ground", 3, 3, "tbsp"), 2, 0, "each"), onion},
			lowAcidSlot, (56.25 + pound) / (28.125 + pound), (56.25 + pound) / (28.125 + pound),
		},
		{
			"small peppers where no number of small ones is printed",
			[]portion{part("hot-pepper", "small", 2, 2, "each"), onion},
			[]portion{also(part("hot-pepper", "ground", 1, 1, "tbsp"), 2, 0, "each"), onion},
			lowAcidSlot, 1, 1,
		},
		{"acid in pieces", []portion{part("vinegar", "", 1, 1, "each")}, []portion{part("vinegar", "", 1, 1, "cup")}, acidSlot, 0, 0},
		{"acid printed in pieces", []portion{part("vinegar", "", 1, 1, "cup")}, []portion{part("vinegar", "", 1, 1, "each")}, acidSlot, 0, 0},
		{"none printed, by weight", []portion{onion}, []portion{part("onion", "", 0, 0, "lb")}, lowAcidSlot, 0, 0},
		{"none printed, in cups", []portion{onion}, []portion{part("onion", "", 0, 0, "cup")}, lowAcidSlot, 0, 0},
		{"no acid printed", []portion{part("vinegar", "", 1, 1, "cup")}, []portion{part("vinegar", "", 0, 0, "cup")}, acidSlot, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, ok := kitchen.matcher.compare(c.mine, c.them, c.kind)
			if ok != (c.low > 0) || ok && (math.Abs(got.low-c.low) > 1e-9 || math.Abs(got.high-c.high) > 1e-9) {
				t.Errorf("%+v %v, want %v and %v", got, ok, c.low, c.high)
			}
		})
	}
	sliced, chopped := part("onion", "sliced", 1, 1, "cup"), part("onion", "chopped", 1, 1, "cup")
	got, ok := kitchen.matcher.compareGrams([]portion{sliced}, []portion{chopped})
	if !ok || math.Abs(got.low-115/136.1) > 1e-9 || math.Abs(got.high-170.1/160) > 1e-9 {
		t.Errorf("one cup sliced for one chopped: %+v %v", got, ok)
	}
}

// Of several printed amounts of an item the one counts of which there is the least, the first of equals.
func TestAlternativeRatio(t *testing.T) {
	for _, c := range []struct {
		name string
		them []testedAmount
		want ratio
	}{
		{"the least last", []testedAmount{of(t, "lemon-juice", 1, 1, "cup"), of(t, "lemon-juice", 2, 2, "cup")}, ratio{low: 2, high: 2}},
		{"the least first", []testedAmount{of(t, "lemon-juice", 2, 2, "cup"), of(t, "lemon-juice", 1, 1, "cup")}, ratio{low: 2, high: 2}},
		{"equals", []testedAmount{of(t, "lemon-juice", 1, 4, "cup"), of(t, "lemon-juice", 2, 4, "cup")}, ratio{low: 4, high: 1}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := &slot{kind: acidSlot, alternatives: true, lines: c.them}
			mine := of(t, "lemon-juice", 4, 4, "cup")
			if got := kitchen.matcher.alternativeRatio(s, []portion{mine.portion(0)}, nil); got != c.want {
				t.Errorf("%+v, want %+v", got, c.want)
			}
		})
	}
}

func TestAlternativeWithoutRatio(t *testing.T) {
	s := &slot{kind: acidSlot, alternatives: true, lines: []testedAmount{of(t, "vinegar", 1, 1, "cup")}}
	mine := of(t, "vinegar", 1, 1, "each")
	got := kitchen.matcher.alternativeRatio(s, []portion{mine.portion(0)}, []*composition.Line{{At: "0", Name: "vinegar"}})
	if got.unknown != "no printed amount of vinegar to compare with" || got.at != "0" {
		t.Errorf("%+v", got)
	}
}

func TestPortionOfJar(t *testing.T) {
	a := of(t, "onion", 4, 8, "cup")
	a.also, a.alsoSmall = 2, 6
	if p := a.portion(2); p.low != 2 || p.high != 4 || p.also != 1 || p.alsoSmall != 3 {
		t.Errorf("for each of two: %+v", p)
	}
	for _, jar := range []float64{0, anyJar} {
		if p := a.portion(jar); p.low != 4 || p.high != 8 || p.also != 2 || p.alsoSmall != 6 {
			t.Errorf("by %v: %+v", jar, p)
		}
	}
}

func TestSameMeasures(t *testing.T) {
	for _, c := range []struct {
		name          string
		mine, printed testedAmount
		want          bool
	}{
		{"volumes", of(t, "onion", 1, 1, "cup"), of(t, "onion", 1, 1, "tbsp"), true},
		{"a volume and a weight", of(t, "onion", 1, 1, "cup"), of(t, "onion", 1, 1, "lb"), false},
		{"two items", of(t, "onion", 1, 1, "cup"), of(t, "carrot", 1, 1, "cup"), false},
		{"pieces", of(t, "onion", 1, 1, "each"), of(t, "onion", 1, 1, "each"), true},
		{"pieces and heads", of(t, "onion", 1, 1, "each"), of(t, "onion", 1, 1, "head"), false},
	} {
		t.Run(c.name, func(t *testing.T) {
			others := []portion{c.printed.portion(0)}
			water := of(t, "water", 1, 1, "cup")
			others = append(others, water.portion(0))
			if got := sameMeasures([]portion{c.mine.portion(0)}, others); got != c.want {
				t.Errorf("%v, want %v", got, c.want)
			}
		})
	}
}
