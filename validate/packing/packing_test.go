package packing

import (
	"math"
	"testing"

	"jarwright/validate/catalog"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}

// The jars of jar_model, section 3: mouth of 60.3 mm, headspace of half an inch.
var (
	halfPint = Jar{CapacityML: 236.5882, FillML: 200.3}
	pint     = Jar{CapacityML: 473.1765, FillML: 436.9}
	quart    = Jar{CapacityML: 946.353, FillML: 910.1}
	small    = Jar{CapacityML: 118.294, FillML: 82.03}
)

// dill is fresh-pack dill pickles: 8 lb in 7 to 9 pints, 6 cups of vinegar and 8 of water, 3/4 cup of salt and 1/4 cup of sugar.
func dill() Print {
	return Print{
		Class: catalog.JarPoured, Prepared: catalog.Prepared{0.893, 0.98}, FoodG: 3629, Jar: pint, Least: 7, Most: 9,
		Liquid: Liquid{Acid: [kinds]float64{Acetic: 71}, AqueousML: 3312, SugarG: 50, SaltG: 146},
	}
}

func TestFill(t *testing.T) {
	near(t, "pint", FillML(473.1765, 60.3, 12.7), 436.9, 0.05)
	near(t, "wide pint", FillML(473.1765, 76.2, 12.7), 415.3, 0.05)
	near(t, "all headspace", FillML(100, 60, 100), 0, 0)
}

// 3,312 + 0.62·50 + 0.33·146 = 3,391.18 mL; 71 g in it.
func TestLiquid(t *testing.T) {
	l := dill().Liquid
	near(t, "volume", l.VolumeML(), 3391.18, 0.01)
	near(t, "strength", l.Strength(Acetic)*100, 2.1437, 0.0001)
	near(t, "other kind", l.Strength(Citric), 0, 0)
	near(t, "diluted", l.Diluted()*100, 2.0937, 0.0001)
	oily := Liquid{Acid: [kinds]float64{Acetic: 2, Citric: 3}, AqueousML: 60, OilML: 40}
	near(t, "oil", oily.OilPerML(), 40.0/60, 1e-9)
	near(t, "acids", oily.Acids(), 5, 0)
	near(t, "citric", oily.Strength(Citric), 0.05, 1e-12)
	sum := oily.Plus(&l)
	want := Liquid{Acid: [kinds]float64{Acetic: 73, Citric: 3}, AqueousML: 3372, SugarG: 50, SaltG: 146, OilML: 40}
	if sum != want {
		t.Errorf("%+v", sum)
	}
	if double := want.Times(2); double != (Liquid{Acid: [kinds]float64{146, 6}, AqueousML: 6744, SugarG: 100, SaltG: 292, OilML: 80}) {
		t.Errorf("%+v", double)
	}
	var none Liquid
	if none.Strength(Acetic) != 0 || none.Diluted() != 0 || none.OilPerML() != 0 {
		t.Error("no liquid has no strength")
	}
	if len(Kinds()) != int(kinds) {
		t.Error("a kind is not listed")
	}
}

// Half a jar of the printed number: 0.5/7.5, 0.5/9.5; never over the share; none for a range.
func TestRounding(t *testing.T) {
	for _, c := range []struct{ least, most, want float64 }{
		{8, 8, 0.066667}, {10, 10, 0.052632}, {4, 4, 0.07}, {7, 9, 0}, {7, 7.5, 0}, {0.5, 0.5, 0},
	} {
		p := Print{Least: c.least, Most: c.most}
		near(t, "rounding", p.Rounding(0.07), c.want, 1e-6)
	}
}

// The larger of the two for a half-pint, capacity alone for larger jars, the fill alone below a half-pint.
func TestScale(t *testing.T) {
	p := Print{Jar: pint, Least: 9, Most: 9} // rounding 0.0588
	near(t, "pint", p.Scale(pint, 0.07), 1.058824, 1e-5)
	near(t, "quart", p.Scale(quart, 0.07), 2*1.058824, 1e-5)
	near(t, "half-pint", p.Scale(halfPint, 0.07), 0.5, 1e-5)
	near(t, "4 ounces", p.Scale(small, 0.07), 82.03/436.9*1.058824, 1e-5)
	near(t, "12 ounces", p.Scale(Jar{354.882, 318.6}, 0.07), 318.6/436.9*1.058824, 1e-5)
	near(t, "limit of bell peppers in a half-pint", p.MostFoodG(3202, halfPint, 0.07), 177.9, 0.05)
	d := dill()
	near(t, "limit of dill", d.MostFoodG(d.FoodG, pint, 0.07), 518.4, 0.05)
	near(t, "limit of a part of the foods", d.MostFoodG(700, pint, 0.07), 100, 0.05)
}

// Rounding or what a kitchen cannot tell, never both: 1/17 over 9 pints, 2 % over a range and over a half-pint by capacity.
func TestHolds(t *testing.T) {
	nine := Print{FoodG: 900, Jar: pint, Least: 9, Most: 9}
	span := Print{FoodG: 900, Jar: pint, Least: 9, Most: 10}
	for _, c := range []struct {
		name  string
		print Print
		jar   Jar
		most  float64
	}{
		{"rounded", nine, pint, 100 * (1 + 0.5/8.5)},
		{"a range", span, pint, 102},
		{"a half-pint by capacity", nine, halfPint, 51},
		{"a quart of a range", span, quart, 204},
	} {
		if !c.print.Holds(c.most*0.9999, 900, c.jar, 0.07, 0.02) || c.print.Holds(c.most*1.0001, 900, c.jar, 0.07, 0.02) {
			t.Errorf("%s: not %v g", c.name, c.most)
		}
	}
}

// 454 g of cucumbers take 390 to 463 mL, more than pieces can take of a pint: 0.65 of it.
func TestRoom(t *testing.T) {
	d := dill()
	low, high := d.Displaced()
	near(t, "least displaced", low, 0.893/1.04, 1e-9)
	near(t, "most displaced", high, 0.98/0.96, 1e-9)
	near(t, "tight", d.RoomML(454, pint, high), 0.35*436.9, 1e-6)
	near(t, "loose", d.RoomML(200, pint, low), 436.9-200*0.893/1.04, 1e-6)
	soft := d
	soft.Class = catalog.JarHeatedShort
	near(t, "soft", soft.RoomML(454, pint, high), 0.25*436.9, 1e-6)
}

// A printed jar gets 377 mL when 9 are filled; a pint of 200 g of cucumbers has room for 233 to 265.
func TestNeed(t *testing.T) {
	d := dill()
	tight := d.NeedML(518, d.FoodG, pint)
	near(t, "tight", tight.Low, 152.9, 0.1)
	near(t, "tight", tight.High, 152.9, 0.1)
	near(t, "tight", tight.Least, 152.9, 0.1)
	loose := d.NeedML(200, d.FoodG, pint)
	near(t, "loose, least", loose.Low, 232.7, 0.1)
	near(t, "loose, most", loose.High, 265.2, 0.1)
	short := d
	short.Liquid = short.Liquid.Times(0.3) // 145 mL a jar when 7 are filled, 113 when 9 are: less than any room
	need := short.NeedML(519, d.FoodG, pint)
	near(t, "as little as printed", need.Low, 145.34, 0.1)
	near(t, "as little as printed", need.High, 145.34, 0.1)
	near(t, "as little as in any printed jar", need.Least, 113.04, 0.1)
	need = short.NeedML(453.6, d.FoodG, pint)
	near(t, "8 pints", need.High, 127.17, 0.1)
	need = short.NeedML(403.3, d.FoodG, pint)
	near(t, "9 pints", need.High, 113.04, 0.1)
	need = short.NeedML(303.2, d.FoodG, pint) // 100 g less than the 403.2 of the print take 102.1 mL less
	near(t, "looser than printed", need.Low, 152.9, 0.1)
	near(t, "looser than printed", need.High, 436.9-303.2*0.893/1.04, 0.1)
	need = short.NeedML(390, d.FoodG, pint) // 13.2 g less than print at its most jars
	near(t, "a little looser than printed", need.Low, 113.04+13.2*0.98/0.96, 0.1)
	near(t, "a little looser than printed", need.Least, 113.04+13.2*0.98/0.96, 0.1)
	need = short.NeedML(1036, d.FoodG, quart)
	near(t, "twice as little in a quart", need.Low, 2*145.22, 0.1)
	need = short.NeedML(250, d.FoodG, halfPint)
	near(t, "by the fill in a half-pint", need.Low, 64.26, 0.1)
}

// Without its sugar a jar of dill gets 3,312/7 mL of vinegar and water, or 2 % less, but not more.
func TestSourEnough(t *testing.T) {
	d := dill()
	for _, c := range []struct {
		share float64
		want  bool
	}{{1, true}, {0.981, true}, {0.979, false}} {
		made := Liquid{AqueousML: 3312.0 / 7 * c.share}
		if got := d.SourEnough(&made, 518.5, d.FoodG, pint, 0.02); got != c.want {
			t.Errorf("%v of it: %v", c.share, got)
		}
		half := Liquid{AqueousML: 3312.0 / 7 * c.share * 200.3 / 436.9}
		if got := d.SourEnough(&half, 259.3, d.FoodG, halfPint, 0.02); got != c.want {
			t.Errorf("%v of it in a half-pint: %v", c.share, got)
		}
	}
}

// 153 mL of 2.09 % in a pint of 518 g; less liquid than room counts as it is.
func TestAcidInJar(t *testing.T) {
	d := dill()
	_, high := d.Displaced()
	made := d.Liquid.Times(1.0 / 7)
	near(t, "full", d.AcidInJar(&made, 518, pint, high), 152.915*0.020937/518*1000, 0.001)
	little := d.Liquid.Times(0.01)
	near(t, "short", d.AcidInJar(&little, 518, pint, high), 33.9118*0.020937/518*1000, 0.001)
	if d.AcidInJar(&made, 0, pint, high) != 0 {
		t.Error("no food has no acid to it")
	}
}

// The shared figures are those of the table.
func TestFigures(t *testing.T) {
	near(t, "juice", JuiceGramsPerML, 0.048, 0)
	near(t, "counted", CountedShare, 0.1, 0)
	near(t, "counted free", CountedFree, 0.02, 0)
	near(t, "over full", OverFull, 1.2, 0)
}
