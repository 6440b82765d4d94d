package composition

import (
	"math"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/measure"
)

// pantry is a catalog of two items whose weights are easy to reckon with; the figures are ours.
func pantry(t *testing.T) (*Scale, *catalog.Tables) {
	t.Helper()
	tables := &catalog.Tables{Items: []catalog.Item{
		{ID: "root", Weights: []catalog.Weight{
			{Form: "", Unit: "L", Grams: 500},
			{Form: "chopped", Unit: "L", Grams: 600},
			{Form: "chopped", Unit: "L", Grams: 700, GramsMax: 800},
			{Form: "sliced", Unit: "L", Grams: 400},
			{Form: "canned, sliced", Unit: "L", Grams: 900},
			{Form: "large", Unit: "each", Grams: 150},
			{Form: "small", Unit: "each", Grams: 50},
			{Form: "", Unit: "head", Grams: 1000},
		}},
		{ID: "salt", Weights: []catalog.Weight{
			{Form: "coarse", Unit: "L", Grams: 900},
			{Form: "fine", Unit: "L", Grams: 1200, GramsMax: 1300},
			{Form: "fine", Unit: "L", Grams: 1100},
			{Form: "fine", Unit: "each", Grams: 3},
		}},
		{ID: "air"},
	}}
	scale, err := NewScale(tables, units(t))
	if err != nil {
		t.Fatal(err)
	}
	return scale, tables
}

func units(t *testing.T) *measure.Units {
	t.Helper()
	units, err := measure.LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	return units
}

func unit(t *testing.T, code string) measure.Unit {
	t.Helper()
	found, ok := units(t).Lookup(code)
	if !ok {
		t.Fatalf("no unit %q", code)
	}
	return found
}

func TestWhichWeightsFit(t *testing.T) {
	scale, tables := pantry(t)
	root, air := &tables.Items[0], &tables.Items[2]
	for name, test := range map[string]struct {
		item      *catalog.Item
		form      string
		value     float64
		unit      string
		low, high float64
		known     bool
	}{
		"a weight needs no table":               {nil, "", 2, "kg", 2000, 2000, true},
		"an unknown item has none":              {nil, "", 2, "L", 0, 0, false},
		"an item without weights has none":      {air, "", 2, "L", 0, 0, false},
		"a form that is not said":               {root, "", 2, "L", 1000, 1000, true},
		"the cut that is said, where two do":    {root, "chopped", 2, "L", 1200, 1600, true},
		"another cut":                           {root, "sliced", 2, "L", 800, 800, true},
		"fresh is not canned":                   {root, "sliced, fresh", 2, "L", 800, 800, true},
		"canned is":                             {root, "sliced, canned", 2, "L", 1800, 1800, true},
		"a cut that none was weighed in":        {root, "whole", 2, "L", 1000, 1000, true},
		"milliliters":                           {root, "", 500, "mL", 250, 250, true},
		"large":                                 {root, "large", 3, "each", 450, 450, true},
		"small":                                 {root, "small, whole", 3, "each", 150, 150, true},
		"a size that is not said leaves a band": {root, "", 3, "each", 150, 450, true},
		"heads are not pieces":                  {root, "large", 2, "head", 2000, 2000, true},
		"no slice was weighed":                  {root, "", 2, "slice", 0, 0, false},
	} {
		t.Run(name, func(t *testing.T) {
			low, high, known := scale.Grams(test.item, ReadForm(test.form), test.value, unit(t, test.unit))
			if known != test.known || math.Abs(low-test.low) > 1e-9 || math.Abs(high-test.high) > 1e-9 {
				t.Errorf("%g to %g g, %t, want %g to %g, %t", low, high, known, test.low, test.high, test.known)
			}
		})
	}
}

func TestWeightsByKind(t *testing.T) {
	scale, tables := pantry(t)
	salt := &tables.Items[1]
	for name, test := range map[string]struct {
		item      *catalog.Item
		kind      string
		value     float64
		unit      string
		low, high float64
		known     bool
	}{
		"one kind":             {salt, "coarse", 0.1, "L", 90, 90, true},
		"a kind of two rows":   {salt, "fine", 0.1, "L", 110, 130, true},
		"any kind":             {salt, "", 0.1, "L", 90, 130, true},
		"a kind without rows":  {salt, "flake", 0.1, "L", 0, 0, false},
		"a weight":             {salt, "flake", 90, "g", 90, 90, true},
		"pieces go by no kind": {salt, "coarse", 2, "each", 6, 6, true},
		"an unknown salt":      {nil, "coarse", 0.1, "L", 0, 0, false},
	} {
		t.Run(name, func(t *testing.T) {
			low, high, known := scale.GramsOfKind(test.item, test.kind, test.value, unit(t, test.unit))
			if known != test.known || math.Abs(low-test.low) > 1e-9 || math.Abs(high-test.high) > 1e-9 {
				t.Errorf("%g to %g g, %t, want %g to %g, %t", low, high, known, test.low, test.high, test.known)
			}
		})
	}
}

func TestMilliliters(t *testing.T) {
	scale, tables := pantry(t)
	for name, test := range map[string]struct {
		item  *catalog.Item
		value float64
		unit  string
		want  float64
		known bool
	}{
		"a volume":                       {&tables.Items[2], 0.25, "L", 250, true},
		"a weight":                       {&tables.Items[0], 100, "g", 200, true},
		"a weight, by the middle of two": {&tables.Items[1], 110, "g", 100, true},
		"a weight of what has none":      {&tables.Items[2], 100, "g", 0, false},
		"pieces":                         {&tables.Items[0], 3, "each", 0, false},
	} {
		t.Run(name, func(t *testing.T) {
			if got, known := scale.MillilitersOf(test.item, test.value, unit(t, test.unit)); known != test.known || math.Abs(got-test.want) > 1e-9 {
				t.Errorf("%g mL, %t, want %g, %t", got, known, test.want, test.known)
			}
		})
	}
}

// A cut that overlaps scores 2, a weight of no stated cut 1, each size in common 4 more, a state that only the weight has 1 less.
func TestFits(t *testing.T) {
	for _, test := range []struct {
		written, weighed string
		want             int
	}{
		{"", "", 1},
		{"", "chopped", 0},
		{"chopped", "", 1},
		{"chopped", "chopped", 2},
		{"chopped", "sliced", 0},
		{"grated to sliced", "chopped", 2},
		{"sliced", "chopped or sliced", 2},
		{"sliced", "sliced or whole", 2},
		{"strips", "sliced", 0},
		{"large", "large", 5},
		{"large", "small", 1},
		{"large, chopped", "large, chopped", 6},
		{"baby, small", "baby, small", 9},
		{"chopped", "chopped, canned", 1},
		{"chopped, canned", "chopped, canned", 6},
		{"chopped", "chopped, canned, dried", 0},
		{"", "canned", 0},
		{"", "frozen, dried", 0},
		{"chopped", "large, chopped", 2},
	} {
		t.Run(test.written+" against "+test.weighed, func(t *testing.T) {
			if got := fits(ReadForm(test.written), ReadForm(test.weighed)); got != test.want {
				t.Errorf("%d, want %d", got, test.want)
			}
		})
	}
}

func TestScaleNeedsKnownUnits(t *testing.T) {
	tables := &catalog.Tables{Items: []catalog.Item{{ID: "root", Weights: []catalog.Weight{{Unit: "furlong", Grams: 1}}}}}
	if _, err := NewScale(tables, units(t)); err == nil {
		t.Error("a weight per furlong was taken")
	}
	if scale, _ := pantry(t); scale.Units() == nil {
		t.Error("no units")
	}
}
