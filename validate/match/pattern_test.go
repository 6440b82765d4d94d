package match

import (
	"math"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
)

// of is a printed or written amount without a cut.
func of(t *testing.T, id string, low, high float64, unit string) testedAmount {
	t.Helper()
	return testedAmount{item: item(t, id), low: low, high: high, unit: unitOf(t, unit)}
}

// The weight of a printed amount is the middle of its range and of what the sources leave open, else that of its other printing.
func TestPrintedGrams(t *testing.T) {
	heads := of(t, "onion", 1, 1, "head")
	both := heads
	both.also, both.alsoUnit = 2, unitOf(t, "kg")
	jars := of(t, "onion", 1, 1, "kg")
	jars.perJarML = anyJar
	capacity := of(t, "onion", 1, 1, "kg")
	capacity.perJarML = 250
	pint, _ := kitchen.tables.Jar("pint")
	recipe := &catalog.TestedRecipe{Yield: catalog.Yield{Low: 2, High: 4, Unit: "pint"}}
	for _, c := range []struct {
		name   string
		amount testedAmount
		want   float64
	}{
		{"a range", of(t, "onion", 1, 3, "kg"), 2000},
		{"two weights of a cup", of(t, "vinegar", 2, 2, "cup"), 238 + 239},
		{"no weight", heads, 0},
		{"no weight, but another printing", both, 2000},
		{"for each jar", jars, 4000},
		{"for each jar of a capacity", capacity, 1000 * 3 * pint.CapacityML / 250},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := kitchen.matcher.grams(recipe, c.amount); math.Abs(got-c.want) > 1e-6 {
				t.Errorf("%v g, want %v", got, c.want)
			}
		})
	}
}

// The main food is the heaviest, the first of two that weigh the same; acid and water are none.
func TestMainFood(t *testing.T) {
	heavy := func(s slot, kilograms float64) slot {
		s.lines[0].low, s.lines[0].high = kilograms, kilograms
		return s
	}
	food, fruit, water := kilogram(t, lowAcidSlot, "onion"), heavy(kilogram(t, acidFoodSlot, "tomato"), 2), heavy(kilogram(t, waterSlot, "water"), 5)
	for _, c := range []struct {
		name  string
		slots []slot
		want  int
	}{
		{"nothing", nil, -1},
		{"water alone", []slot{water}, -1},
		{"fruit", []slot{food, fruit, water}, 1},
		{"two of one weight", []slot{water, food, kilogram(t, lowAcidSlot, "cabbage")}, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := pattern{recipe: &catalog.TestedRecipe{}, slots: c.slots, mainSlot: -1}
			kitchen.matcher.weigh(&p)
			if p.mainSlot != c.want || p.sugar != 0 {
				t.Errorf("slot %d, sugar %v, want slot %d", p.mainSlot, p.sugar, c.want)
			}
		})
	}
	shares := []share{{}}
	if total := toShares(shares); total != 0 || shares[0].grams != 0 {
		t.Errorf("shares of nothing: %v of %v", shares[0].grams, total)
	}
	alternatives := kilogram(t, lowAcidSlot, "onion")
	alternatives.alternatives, alternatives.lines = true, append(alternatives.lines, alternatives.lines[0])
	p := pattern{recipe: &catalog.TestedRecipe{}, slots: []slot{alternatives, kilogram(t, acidFoodSlot, "tomato")}, mainSlot: -1}
	kitchen.matcher.weigh(&p)
	if p.shares[0].grams != 0.5 || p.shares[1].grams != 0 || p.shares[2].grams != 0.5 {
		t.Errorf("of alternatives the first counts for all: %+v", p.shares)
	}
}

// Another printing for a jar says nothing of the batch.
func TestAlsoPrinted(t *testing.T) {
	for per, want := range map[string]float64{"": 3, "pint": 0} {
		line := &catalog.TestedIngredient{Amount: new(2.0), Unit: "lb", Per: document.PerBatch, Also: &catalog.Also{Value: 3, Unit: "cup", Per: per}}
		if a, err := kitchen.matcher.readAmount(line, item(t, "onion")); err != nil || a.also != want || a.low != 2 || a.high != 2 {
			t.Errorf("%q: %+v %v, want another printing of %v", per, a, err, want)
		}
	}
}

// Herbs of a group that name one item are one slot, other food of a group is an alternative.
func TestAddGroups(t *testing.T) {
	grouped := &catalog.TestedIngredient{Amount: new(1.0), AltGroup: "greens"}
	for _, c := range []struct {
		kind         slotKind
		ids          [2]string
		slots        int
		alternatives bool
	}{
		{herbSlot, [2]string{"cilantro", "cilantro"}, 1, false},
		{herbSlot, [2]string{"cilantro", "dill-head"}, 2, false},
		{lowAcidSlot, [2]string{"onion", "onion"}, 1, true},
		{lowAcidSlot, [2]string{"onion", "carrot"}, 1, true},
	} {
		p := pattern{}
		for _, id := range c.ids {
			p.add(c.kind, grouped, of(t, id, 1, 1, "cup"))
		}
		if len(p.slots) != c.slots || p.slots[0].alternatives != c.alternatives {
			t.Errorf("%v: %+v", c.ids, p.slots)
		}
	}
}

// Every line that a total is of goes into the first one's slot, wherever that stands.
func TestMerge(t *testing.T) {
	total := &catalog.Substitution{Name: "onions together", Replace: catalog.Foods{Items: []string{"onion", "carrot", "cabbage"}}}
	for first := range 2 {
		slots := []slot{
			kilogram(t, lowAcidSlot, "onion"), kilogram(t, lowAcidSlot, "carrot"), kilogram(t, lowAcidSlot, "cabbage"), kilogram(t, acidSlot, "vinegar"),
		}
		if first == 1 {
			slots = append([]slot{kilogram(t, acidFoodSlot, "tomato")}, slots...)
		}
		p := pattern{slots: slots}
		p.merge(total)
		if len(p.slots) != first+2 || len(p.slots[first].lines) != 3 || p.slots[first].name != "onions together" || p.slots[first+1].kind != acidSlot {
			t.Errorf("%d before them: %+v", first, p.slots)
		}
	}
}

// Where acid goes into the jar, low-acid fruit and measured syrup do too, but not beside an acid food.
func TestPackAcidInJar(t *testing.T) {
	open := kilogram(t, waterSlot, "water")
	open.openEnded = true
	pint, _ := kitchen.tables.Jar("pint")
	for _, c := range []struct {
		name  string
		slots []slot
		want  []bool // held to the jar
	}{
		{
			"fruit",
			[]slot{kilogram(t, lowAcidSlot, "fig"), kilogram(t, waterSlot, "water"), open, kilogram(t, acidSlot, "lemon-juice")},
			[]bool{true, true, false, false},
		},
		{"an acid food", []slot{kilogram(t, lowAcidSlot, "onion"), kilogram(t, acidFoodSlot, "tomato")}, []bool{false, false}},
	} {
		p := pattern{acidInJar: true, slots: c.slots, recipe: &catalog.TestedRecipe{Yield: catalog.Yield{Low: 2, High: 4, Unit: "pint"}}}
		kitchen.matcher.packAcidInJar(&p)
		t.Run(c.name, func(t *testing.T) {
			for i, want := range c.want {
				if got := p.slots[i].lines[0].perJarML; got != 0 != want || want && got != 3*pint.CapacityML {
					t.Errorf("slot %d: for %v mL of jar", i, got)
				}
			}
		})
	}
}

func TestNamesOfSlots(t *testing.T) {
	s := kilogram(t, acidSlot, "lemon-juice")
	s.lines = append(s.lines, of(t, "citric-acid", 2, 2, "tsp"))
	if got := slotNames(&s); got != "lemon juice" {
		t.Errorf("of lines together: %q", got)
	}
	if got := printedAmount(&s); got != "1 kg lemon juice and 2 tsp citric acid" {
		t.Errorf("lines together: %q", got)
	}
	s.alternatives = true
	if got := slotNames(&s); got != "lemon juice or citric acid" {
		t.Errorf("of alternatives: %q", got)
	}
	s.lines[1].perJarML = 500
	if got := printedAmount(&s); got != "1 kg lemon juice or 2 tsp citric acid for each 500 mL of jar" {
		t.Errorf("alternatives: %q", got)
	}
}

// The yield in jars of the largest printed size, where it is not printed in jars of one.
func TestYieldInLargestJars(t *testing.T) {
	quart, _ := kitchen.tables.Jar("quart")
	recipe := &catalog.TestedRecipe{
		Packs: []catalog.TestedPack{{Jars: []string{"pint", "quart", "none"}}, {Jars: []string{"half-pint"}}},
		Yield: catalog.Yield{Low: 2, High: 4, Unit: "jars"},
	}
	if got := kitchen.matcher.yieldML(recipe); got != quart.CapacityML {
		t.Errorf("%v mL, want that of a quart", got)
	}
	if choice := kitchen.matcher.choosePack(recipe, "", &composition.Composition{}); choice.Largest != quart {
		t.Errorf("the largest jar is %+v", choice.Largest)
	}
}

// A tested recipe that names an item or a unit which is not in the tables is an error that says where.
func TestUnreadableRecipe(t *testing.T) {
	for _, c := range []struct {
		line catalog.TestedIngredient
		want string
	}{
		{catalog.TestedIngredient{Item: "gribble"}, `reading the tested recipe bad: line 0: no item "gribble"`},
		{
			catalog.TestedIngredient{Item: "onion", Unit: "sixpence", Role: "low_acid", GoesInto: "jar"},
			`reading the tested recipe bad: line 0: no unit "sixpence"`,
		},
	} {
		tables := *kitchen.tables
		tables.Recipes = []catalog.TestedRecipe{{ID: "bad", Ingredients: []catalog.TestedIngredient{c.line}}}
		if _, err := NewMatcher(&tables, kitchen.scale); err == nil || err.Error() != c.want {
			t.Errorf("%v, want %s", err, c.want)
		}
	}
}
