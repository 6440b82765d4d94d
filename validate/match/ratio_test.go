package match

import (
	"math"
	"reflect"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/report"
)

// TestRatios compares amounts in the unit in which both were measured, else through published weights.
func TestRatios(t *testing.T) {
	unit := func(code string) (u portion) {
		found, ok := kitchen.units.Lookup(code)
		if !ok {
			t.Fatalf("no unit %s", code)
		}
		u.unit = found
		return u
	}
	of := func(item, form string, low, high float64, code string) portion {
		p := unit(code)
		found, ok := kitchen.tables.Item(item)
		if !ok {
			t.Fatalf("no item %s", item)
		}
		p.item, p.form, p.low, p.high = found, composition.ReadForm(form), low, high
		return p
	}
	small := func(p portion) portion { p.form = composition.ReadForm("small"); return p }
	withPieces := func(p portion, also, alsoSmall float64) portion {
		p.also, p.alsoSmall, p.alsoUnit = also, alsoSmall, unit("each").unit
		return p
	}
	for _, c := range []struct {
		name       string
		mine, them []portion
		kind       slotKind
		low, high  float64
		unknown    bool
	}{
		{"weights", []portion{of("onion", "", 2, 2, "lb")}, []portion{of("onion", "", 1, 1, "lb")}, lowAcidSlot, 2, 2, false},
		{"a printed range", []portion{of("onion", "", 2, 2, "lb")}, []portion{of("onion", "", 1, 4, "lb")}, lowAcidSlot, 2, 0.5, false},
		{
			"sums",
			[]portion{of("onion", "", 1, 1, "lb"), of("onion", "", 1, 1, "lb")},
			[]portion{of("onion", "", 3, 3, "lb"), of("onion", "", 1, 1, "lb")},
			lowAcidSlot, 0.5, 0.5, false,
		},
		{"volumes of one cut", []portion{of("onion", "chopped", 3, 3, "cup")}, []portion{of("onion", "chopped", 2, 2, "cup")}, lowAcidSlot, 1.5, 1.5, false},
		{"pieces", []portion{of("onion", "", 3, 3, "each")}, []portion{of("onion", "", 2, 2, "each")}, lowAcidSlot, 1.5, 1.5, false},
		{
			"acid in two units",
			[]portion{of("white-vinegar", "", 946.352946, 946.352946, "mL")},
			[]portion{of("white-vinegar", "", 2, 2, "cup")},
			acidSlot, 2, 2, false,
		},
		{"a range of acid", []portion{of("white-vinegar", "", 4, 4, "cup")}, []portion{of("white-vinegar", "", 2, 4, "cup")}, acidSlot, 2, 1, false},
		{"nothing that compares", []portion{of("onion", "", 2, 2, "head")}, []portion{of("onion", "", 1, 1, "lb")}, lowAcidSlot, 0, 0, true},
		{
			"pieces for a spoon",
			[]portion{of("hot-pepper", "", 2, 2, "each")},
			[]portion{withPieces(of("hot-pepper", "ground", 1, 1, "tbsp"), 1, 0)},
			lowAcidSlot, 2, 2,
			false,
		},
		{
			"small pieces for a spoon, beside others",
			[]portion{small(of("hot-pepper", "", 2, 2, "each")), of("onion", "", 1, 1, "lb")},
			[]portion{withPieces(of("hot-pepper", "ground", 1, 1, "tbsp"), 1, 2), of("onion", "", 1, 1, "lb")},
			lowAcidSlot, 1, 1, false,
		},
		{
			"pieces for a spoon, beside others",
			[]portion{of("hot-pepper", "", 1, 1, "each"), of("onion", "", 1, 1, "lb")},
			[]portion{withPieces(of("hot-pepper", "ground", 1, 1, "tbsp"), 1, 2), of("onion", "", 1, 1, "lb")},
			lowAcidSlot, 1, 1, false,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, ok := kitchen.matcher.compare(c.mine, c.them, c.kind)
			if ok == c.unknown || ok && (math.Abs(got.low-c.low) > 1e-9 || math.Abs(got.high-c.high) > 1e-9) {
				t.Errorf("%+v %v, want %v and %v", got, ok, c.low, c.high)
			}
		})
	}
}

// Equal measures weigh about the same where the cut is fine or the same, and not where the cook's is finer than printed.
func TestSameDensity(t *testing.T) {
	cup, _ := kitchen.units.Lookup("cup")
	each, _ := kitchen.units.Lookup("each")
	head, _ := kitchen.units.Lookup("head")
	pound, _ := kitchen.units.Lookup("lb")
	minute, _ := kitchen.units.Lookup("min")
	onion, _ := kitchen.tables.Item("onion")
	carrot, _ := kitchen.tables.Item("carrot")
	in := func(item *catalog.Item, form string) portion {
		return portion{item: item, form: composition.ReadForm(form), unit: cup}
	}
	for _, c := range []struct {
		name string
		a, b portion
		want bool
	}{
		{"weights", portion{unit: pound}, portion{unit: pound}, true},
		{"times", portion{unit: minute}, portion{unit: minute}, false},
		{"cuts not said", in(onion, ""), in(onion, "chopped"), true},
		{"cut not said here", in(onion, "chopped"), in(onion, ""), true},
		{"the same cut", in(onion, "sliced"), in(onion, "sliced"), true},
		{"both fine", in(onion, "chopped"), in(onion, "minced"), true},
		{"coarser here", in(onion, "chopped"), in(onion, "whole"), true},
		{"finer here", in(onion, "whole"), in(onion, "chopped"), false},
		{"a puree here", in(onion, "whole"), in(onion, "pureed"), true},
		{"pieces", portion{item: onion, unit: each}, portion{item: onion, unit: each}, true},
		{"pieces of another item", portion{item: carrot, unit: each}, portion{item: onion, unit: each}, false},
		{"pieces in another unit", portion{item: onion, unit: head}, portion{item: onion, unit: each}, false},
		{"large pieces here", portion{item: onion, unit: each}, portion{item: onion, unit: each, form: composition.ReadForm("large")}, false},
		{
			"large pieces in both",
			portion{item: onion, unit: each, form: composition.ReadForm("large")},
			portion{item: onion, unit: each, form: composition.ReadForm("large")},
			true,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := sameDensity(c.a, c.b); got != c.want {
				t.Errorf("%v, want %v", got, c.want)
			}
		})
	}
}

// An amount for each jar, for the batch, or for each milliliter of jar, from a line written either way.
func TestPerUnit(t *testing.T) {
	jars := 4.0
	cook := &composition.Composition{Jars: &jars, Jar: &composition.Jar{CapacityML: 500}}
	none := 0.0
	for _, c := range []struct {
		name    string
		line    composition.Line
		perJar  float64
		cook    *composition.Composition
		want    float64
		unknown string
	}{
		{"batch for batch", composition.Line{State: composition.Given, Value: 8}, 0, cook, 8, ""},
		{"jar for batch", composition.Line{State: composition.Given, Value: 8, PerJar: true}, 0, cook, 32, ""},
		{"batch for jar", composition.Line{State: composition.Given, Value: 8}, anyJar, cook, 2, ""},
		{"jar for jar", composition.Line{State: composition.Given, Value: 8, PerJar: true}, anyJar, cook, 8, ""},
		{"jar for mL", composition.Line{State: composition.Given, Value: 8, PerJar: true}, 250, cook, 8. / 500, ""},
		{"batch for mL", composition.Line{State: composition.Given, Value: 8}, 250, cook, 8. / 500 / 4, ""},
		{"not given", composition.Line{Name: "salt"}, 0, cook, 0, "the amount of salt is not given"},
		{"as needed", composition.Line{Name: "salt", State: composition.AsNeeded}, 0, cook, 0, "the amount of salt is not a number"},
		{
			"no jars",
			composition.Line{State: composition.Given, Value: 8, PerJar: true},
			0,
			&composition.Composition{Jars: &none}, 0, "the number of jars is not given",
		},
		{"jars not said", composition.Line{State: composition.Given, Value: 8}, anyJar, &composition.Composition{}, 0, "the number of jars is not given"},
		{"no jar", composition.Line{State: composition.Given, Value: 8, PerJar: true}, 250, &composition.Composition{}, 0, "the jar is not given"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, unknown := perUnit(&c.line, c.perJar, c.cook)
			if math.Abs(got-c.want) > 1e-12 || unknown != c.unknown {
				t.Errorf("%v %q, want %v %q", got, unknown, c.want, c.unknown)
			}
		})
	}
}

// A fix of the form puts the printed words and sizes in.
func TestFormFix(t *testing.T) {
	request := followed(t, "pickled-carrots")
	written, at := lineOf(t, &request, "carrot")
	written.Form, written.Piece = "whole", nil
	m := comparedWith(&request)
	d := adverse(&m)[0]
	want := []report.Operation{
		{Op: "replace", Path: at + "/form", Value: "peeled, rounds"},
		{Op: "add", Path: at + "/piece", Value: map[string]any{"thickness": map[string]any{"value": 0.5, "unit": "in"}}},
	}
	if !reflect.DeepEqual(d.Fix, want) {
		t.Errorf("%+v, want %+v", d.Fix, want)
	}
}
