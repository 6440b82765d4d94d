package match

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
)

// exact is a matcher whose tolerances have an exact float: with a quarter, 1.25 is the last that is no departure from 1.
func exact() *Matcher {
	m := *kitchen.matcher
	m.tolerances = tolerances{ratio: 0.25, piece: 0.25, saltMass: 0.25, capacity: 0.5, shortFruit: 1.5, seasoning: 0.25}
	return &m
}

func item(t *testing.T, id string) *catalog.Item {
	t.Helper()
	found, ok := kitchen.tables.Item(id)
	if !ok {
		t.Fatalf("no item %s", id)
	}
	return found
}

func unitOf(t *testing.T, code string) measure.Unit {
	t.Helper()
	found, ok := kitchen.units.Lookup(code)
	if !ok {
		t.Fatalf("no unit %s", code)
	}
	return found
}

// kilogram is a slot of which one kilogram is printed.
func kilogram(t *testing.T, kind slotKind, id string) slot {
	t.Helper()
	found := item(t, id)
	return slot{kind: kind, name: found.Name, lines: []testedAmount{{item: found, low: 1, high: 1, unit: unitOf(t, "kg")}}}
}

func perJar(s slot) slot {
	s.lines[0].perJarML = anyJar
	return s
}

// laid is a comparison laid out by hand: the cook has so many kilograms in each slot, zero for none, in a pattern whose first slot
// is its main food. The ratios are those numbers, so that they are exact.
func laid(t *testing.T, slots []slot, kilograms ...float64) (*comparison, *scales) {
	t.Helper()
	c := &comparison{
		matcher: exact(), tested: &pattern{recipe: &catalog.TestedRecipe{Title: "The recipe"}, slots: slots}, recipe: &document.Recipe{},
		cook: &composition.Composition{}, match: &Match{}, filled: make([][]*composition.Line, len(slots)),
	}
	s := &scales{of: make([]ratio, len(slots)), acid: math.Inf(1), fruit: math.Inf(1)}
	for i, value := range kilograms {
		s.of[i] = ratio{low: value, high: value}
		if value > 0 {
			c.filled[i] = []*composition.Line{{
				At: fmt.Sprint(i), Name: slots[i].name, Item: slots[i].lines[0].item, InJar: true, PerJar: slots[i].perJar(),
				State: composition.Given, Value: value, Unit: unitOf(t, "kg"), SaltKind: document.SaltCanning, Written: &document.Ingredient{},
			}}
		}
		switch {
		case slots[i].kind == acidSlot && !slots[i].perJar():
			s.acid = min(s.acid, value)
		case slots[i].kind == acidFoodSlot:
			s.fruit = min(s.fruit, value)
		}
	}
	return c, s
}

// said compares departures with "place: some of the words" and reports the first that differs.
func said(t *testing.T, departures []Departure, want ...string) {
	t.Helper()
	if len(departures) != len(want) {
		t.Fatalf("%d departures, want %q:\n%s", len(departures), want, list(departures))
	}
	for i, d := range departures {
		at, words, _ := strings.Cut(want[i], ": ")
		if d.At != at || !strings.Contains(d.What+" "+d.Remedy, words) {
			t.Errorf("%s: %q %q, want %q", d.At, d.What, d.Remedy, want[i])
		}
	}
}

// TestFoodAtTheLimit compares foods with one another and with the acid, exactly at and just over a limit.
func TestFoodAtTheLimit(t *testing.T) {
	const limit = 1.25
	slots := func(t *testing.T) []slot {
		return []slot{
			kilogram(t, lowAcidSlot, "cabbage"), kilogram(t, acidFoodSlot, "tomato"), kilogram(t, acidFoodSlot, "tomatillo"),
			kilogram(t, acidSlot, "vinegar"), kilogram(t, lowAcidSlot, "onion"),
		}
	}
	for _, c := range []struct {
		name      string
		kilograms [5]float64 // of cabbage, tomato, tomatillo, vinegar, onion
		needed    float64
		want      []string
	}{
		{"other food at its limit beside fruit and acid", [5]float64{1, 1, 1, 1, 1.25}, 1, nil},
		{"the same over it", [5]float64{1, 1.25, 1.25, 1, 1.5}, 1, []string{"4/amount: more onion for its acid than in “The recipe”: 150 % of"}},
		{"fruit as short as a cut batch may be", [5]float64{3, 2, 4, 4, 1}, 3, []string{"1/amount: less tomato beside"}},
		{"fruit shorter than that", [5]float64{3.25, 2, 2, 4, 1}, 2, []string{"0/amount: more cabbage beside the tomato"}},
		{"the second fruit short", [5]float64{4, 2, 1, 4, 1}, 1, []string{"0/amount: more cabbage beside the tomatillo"}},
		{"short fruit, food at the limit of the acid", [5]float64{1.40625, 1, 1.25, 1.125, 1}, 1.40625, []string{"1/amount: less tomato"}},
		{"short fruit beside another at the limit", [5]float64{1.40625, 1, 1.125, 2, 1}, 1.40625, []string{"1/amount: less tomato"}},
		{
			"main food at the limit of the acid",
			[5]float64{1.25, 2, 2, 1, 2},
			1.25,
			[]string{"1/amount: more tomato for its acid", "2/amount: tomatillo", "4/amount: onion"},
		},
		{"all food over the acid", [5]float64{1.5, 2.5, 2.5, 1, 3}, 3, nil},
		{"no tomato", [5]float64{1, 0, 1, 1, 0.5}, 0, []string{"0/amount: no tomato beside the cabbage", "4/amount: Add 1 kg tomato"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			laidOut, s := laid(t, slots(t), c.kilograms[:]...)
			if got := laidOut.food(s, limit); got != c.needed {
				t.Errorf("%v of acid needed, want %v", got, c.needed)
			}
			said(t, laidOut.match.Departures, c.want...)
		})
	}
}

// The limit of short fruit is at the scale of the food, one of several lines has none, and numbers of pieces are not mended.
func TestFoodFixes(t *testing.T) {
	slots := []slot{kilogram(t, lowAcidSlot, "cabbage"), kilogram(t, acidFoodSlot, "tomato"), kilogram(t, acidSlot, "vinegar")}
	c, s := laid(t, slots, 3, 2, 4)
	c.food(s, 1.25)
	if d := c.match.Departures[0]; d.Measured.Value != 2 || d.Limit.Value != 3 || len(d.Fix) != 1 || d.Fix[0].Value != 3.0 {
		t.Errorf("short fruit: %+v, limit %+v, fix %+v", d.Measured, d.Limit, d.Fix)
	}
	c, s = laid(t, slots, 3, 2, 4)
	c.filled[1] = append(c.filled[1], c.filled[1][0])
	c.food(s, 1.25)
	if d := c.match.Departures[0]; d.At != "1/amount" || d.Limit != nil || len(d.Fix) > 0 {
		t.Errorf("short fruit on two lines: %+v", d)
	}
	c, s = laid(t, slots, 4, 1, 4)
	c.food(s, 1.25)
	if d := c.match.Departures[0]; d.Limit.Value != 1 || len(d.Fix) != 1 || d.Fix[0].Value != 1.0 {
		t.Errorf("too much food: limit %+v, fix %+v", d.Limit, d.Fix)
	}
	c, s = laid(t, slots, 4, 1, 4)
	c.filled[0][0].Unit = unitOf(t, "head")
	c.food(s, 1.25)
	if d := c.match.Departures[0]; d.Limit.Value != 1 || len(d.Fix) > 0 {
		t.Errorf("too many heads: limit %+v, fix %+v", d.Limit, d.Fix)
	}
}

// What is measured for each jar, and acid that is.
func TestJarAtTheLimit(t *testing.T) {
	slots := func() []slot {
		return []slot{kilogram(t, lowAcidSlot, "cabbage"), perJar(kilogram(t, lowAcidSlot, "garlic")), perJar(kilogram(t, acidSlot, "vinegar"))}
	}
	c, s := laid(t, slots(), 1, 1.25, 1)
	c.food(s, 1.25)
	said(t, c.match.Departures)
	c, s = laid(t, slots(), 1, 1.5, 1)
	c.food(s, 1.25)
	said(t, c.match.Departures, "1/amount: more garlic in each jar")
	c, s = laid(t, slots(), 1, 1, 0.8)
	c.acidPerJar(s, 1.25)
	said(t, c.match.Departures)
	c, s = laid(t, slots(), 1, 1, 0.75)
	c.acidPerJar(s, 1.25)
	said(t, c.match.Departures, "2/amount: too little acid for the jar")
}

// Acid, and what thins it or coats the food.
func TestAcidAtTheLimit(t *testing.T) {
	slots := []slot{kilogram(t, lowAcidSlot, "cabbage"), kilogram(t, acidSlot, "vinegar"), kilogram(t, waterSlot, "water")}
	c, s := laid(t, slots, 1.25, 1, 1)
	c.tooLittleAcid(s, 1.25)
	said(t, c.match.Departures)
	c.tooLittleAcid(s, 1.5)
	said(t, c.match.Departures, "1/amount: 1 kg vinegar is too little for this much food")
	c, s = laid(t, slots, 1, 1, 1.25)
	c.diluters(s, 1, 1.25)
	said(t, c.match.Departures)
	c, s = laid(t, slots, 1, 1, 1.5)
	c.diluters(s, 1, 1.25)
	said(t, c.match.Departures, "2/amount: At most 1 kg.")
	request := followed(t, "pickled-dilled-beans")
	written, _ := lineOf(t, &request, "green-bean")
	*written.Amount.Value = 0
	if m := comparedWith(&request); m.Acid != (Proportion{}) {
		t.Errorf("no food needs acid, and yet: %+v", m.Acid)
	}
}

// Without acid for the batch, water goes by the food, and what is measured for each jar by the jar.
func TestWaterWithoutAcid(t *testing.T) {
	for _, c := range []struct {
		name  string
		main  int
		water slot
		have  float64
		want  []string
	}{
		{"at twice the food", 0, kilogram(t, waterSlot, "water"), 2.5, nil},
		{"over twice the food", 0, kilogram(t, waterSlot, "water"), 4, []string{"1/amount: At most 2 kg."}},
		{"no main food, at the limit", -1, kilogram(t, waterSlot, "water"), 1.25, nil},
		{"no main food, over it", -1, kilogram(t, waterSlot, "water"), 2, []string{"1/amount: At most 1 kg."}},
		{"for each jar", 0, perJar(kilogram(t, waterSlot, "water")), 2, []string{"1/amount: At most 1 kg."}},
	} {
		t.Run(c.name, func(t *testing.T) {
			laidOut, s := laid(t, []slot{kilogram(t, lowAcidSlot, "cabbage"), c.water}, 2, c.have)
			laidOut.tested.mainSlot = c.main
			laidOut.diluters(s, math.Inf(1), 1.25)
			said(t, laidOut.match.Departures, c.want...)
		})
	}
}

// Fresh herbs go by the acid, else by the fruit, else by the main food.
func TestHerbsAtTheLimit(t *testing.T) {
	endless := math.Inf(1)
	for _, c := range []struct {
		name        string
		acid, fruit float64
		main        int
		slots       []slot
		want        float64
	}{
		{"acid", 2, 3, 0, []slot{kilogram(t, lowAcidSlot, "cabbage")}, 2},
		{"fruit", endless, 3, 0, []slot{kilogram(t, lowAcidSlot, "cabbage")}, 3},
		{"main food", endless, endless, 0, []slot{kilogram(t, lowAcidSlot, "cabbage")}, 4},
		{"main food for each jar", endless, endless, 0, []slot{perJar(kilogram(t, lowAcidSlot, "cabbage"))}, endless},
		{"nothing", endless, endless, -1, []slot{kilogram(t, lowAcidSlot, "cabbage")}, endless},
	} {
		t.Run(c.name, func(t *testing.T) {
			laidOut, s := laid(t, c.slots, 4)
			laidOut.tested.mainSlot, s.acid, s.fruit = c.main, c.acid, c.fruit
			if got := laidOut.herbScale(s, 1); got != c.want {
				t.Errorf("%v, want %v", got, c.want)
			}
		})
	}
}

// A change that published sources call safe is recorded when it is larger than a kitchen can help.
func TestRecordedAtTheLimit(t *testing.T) {
	slots := []slot{kilogram(t, lowAcidSlot, "cabbage"), kilogram(t, acidSlot, "vinegar"), kilogram(t, lowAcidSlot, "onion")}
	for _, c := range []struct {
		name      string
		kilograms [3]float64 // of cabbage, vinegar, onion
		want      []string
	}{
		{"acid at the limit", [3]float64{1, 1.25, 1}, nil},
		{"acid over it", [3]float64{1, 1.5, 1}, []string{"/recipe/ingredients: more acid"}},
		{"acid alone", [3]float64{0, 1, 0}, nil},
		{"less of a food at the limit", [3]float64{1.25, 1, 1}, nil},
		{"less of a food", [3]float64{1.5, 1, 1}, []string{"/recipe/ingredients: less onion"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			laidOut, s := laid(t, slots, c.kilograms[:]...)
			laidOut.recordSafe(s)
			said(t, laidOut.match.Departures, c.want...)
		})
	}
}

// The salt of a ferment goes by its food.
func TestSaltAtTheLimit(t *testing.T) {
	slots := []slot{kilogram(t, lowAcidSlot, "cabbage"), kilogram(t, saltSlot, "salt")}
	for kilograms, want := range map[float64][]string{1.5: nil, 1: {"1/amount: Use at least 2 kg."}} {
		c, _ := laid(t, slots, 2, kilograms)
		c.tested.fermented = true
		c.salt()
		said(t, c.match.Departures, want...)
	}
	c, _ := laid(t, slots, 2, 1)
	none := kilogram(t, saltSlot, "salt")
	none.lines[0].low = 0
	if _, unknown := c.saltRatio(c.filled[1][0], &none); !strings.Contains(unknown, "as a weight or a volume") {
		t.Errorf("a printed amount of no salt: %q", unknown)
	}
}

// A line fills the slot of its own item that is measured as it is, else its item's other slot, else the first that it may stand in at.
func TestSlotFor(t *testing.T) {
	standIn := func(s slot) slot {
		s.standIns = catalog.Foods{Items: []string{"carrot"}}
		return s
	}
	slots := []slot{
		standIn(perJar(kilogram(t, lowAcidSlot, "onion"))), standIn(kilogram(t, lowAcidSlot, "onion")), kilogram(t, acidSlot, "vinegar"),
		kilogram(t, soakAcidSlot, "vinegar"), kilogram(t, herbSlot, "cilantro"),
	}
	c, _ := laid(t, slots)
	for _, want := range []struct {
		item          string
		perJar, inJar bool
		class         catalog.Class
		slot          int
	}{
		{"onion", true, true, catalog.LowAcid, 0},
		{"onion", false, true, catalog.LowAcid, 1},
		{"carrot", false, true, catalog.LowAcid, 0},
		{"vinegar", false, true, catalog.Acid, 2},
		{"vinegar", true, true, catalog.Acid, 2},
		{"vinegar", false, false, catalog.Acid, 3},
		{"cilantro", false, true, catalog.FreshHerb, 4},
		{"cilantro", false, true, catalog.Seasoning, -1},
		{"tomato", false, true, catalog.AcidFood, -1},
	} {
		if got := c.slotFor(&composition.Line{Item: item(t, want.item), PerJar: want.perJar, InJar: want.inJar, Class: want.class}); got != want.slot {
			t.Errorf("%+v: slot %d", want, got)
		}
	}
	if got := c.slotFor(&composition.Line{InJar: true}); got != -1 {
		t.Errorf("an unknown food fills slot %d", got)
	}
}

// A recipe of which lines are missing in the sources can only be kept cold.
func TestIncomplete(t *testing.T) {
	for keep, want := range map[string]bool{document.KeepShelf: true, document.KeepRefrigerator: false} {
		c, _ := laid(t, nil)
		c.recipe.Keep, c.recipe.Kind, c.tested.recipe.Kind = keep, "relish", "relish"
		c.identity()
		got := slices.ContainsFunc(c.match.Departures, func(d Departure) bool { return strings.Contains(d.What, "are missing in the copies") })
		if got != want {
			t.Errorf("kept in %s: said to be incomplete %v, want %v", keep, got, want)
		}
	}
}

// An acid in which the food is soaked, and that is poured off, is named as such where it is missing.
func TestMissingAcid(t *testing.T) {
	slots := []slot{kilogram(t, lowAcidSlot, "cabbage"), kilogram(t, soakAcidSlot, "vinegar"), kilogram(t, acidSlot, "vinegar")}
	c, _ := laid(t, slots, 1, 0, 1)
	if !c.missingAcid() {
		t.Error("no acid is missing")
	}
	said(t, c.match.Departures, "/recipe/ingredients: first cooked in vinegar that is poured away; this recipe has no such drained line. Add 1 kg vinegar.")
	c, _ = laid(t, slots, 1, 1, 1)
	if c.missingAcid() {
		t.Error("an acid is missing")
	}
	said(t, c.match.Departures)
}
