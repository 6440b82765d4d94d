package match

import (
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
)

// Of packs with one jar the first counts, and each jar has the row of its own or that of any jar.
func TestPacksOfOneJar(t *testing.T) {
	rows := map[string][]string{}
	for i := range kitchen.tables.Schedules {
		row := &kitchen.tables.Schedules[i]
		rows[row.Jar] = append(rows[row.Jar], row.ID)
	}
	recipe := &catalog.TestedRecipe{Packs: []catalog.TestedPack{
		{Pack: "raw", Jars: []string{"pint"}, Schedules: rows["pint"][:1]},
		{Pack: "raw", Jars: []string{"pint"}, Schedules: rows["pint"][1:2]},
		{Pack: "hot", Jars: []string{"half-pint"}, Schedules: rows["half-pint"][:1]},
	}}
	pint, _ := kitchen.tables.Jar("pint")
	got := exact().choosePack(recipe, "raw", &composition.Composition{Jar: &composition.Jar{CapacityML: pint.CapacityML}})
	if got.Style != &recipe.Packs[0] || got.Schedule == nil || got.Schedule.ID != rows["pint"][0] || got.LargestRow != got.Schedule {
		t.Errorf("%+v", got)
	}
	if got := exact().choosePack(recipe, "", &composition.Composition{}); len(got.Possible) != 3 || got.LargestRow == nil || got.LargestRow.ID != rows["pint"][0] {
		t.Errorf("no style, no jar: %+v", got)
	}
	pack := &catalog.TestedPack{Schedules: []string{"none", rows["pint"][0], rows["quart"][0]}}
	for jar, want := range map[string]string{"pint": rows["pint"][0], "quart": rows["quart"][0], "half-pint": ""} {
		row := kitchen.matcher.schedule(pack, jar)
		if (row == nil) != (want == "") || row != nil && row.ID != want {
			t.Errorf("%s: %+v, want %q", jar, row, want)
		}
	}
	pack.Schedules = rows["any"][:1]
	if row := kitchen.matcher.schedule(pack, "pint"); row == nil || row.ID != rows["any"][0] {
		t.Errorf("a row for any jar: %+v", row)
	}
}

func TestHoldsAtTheLimit(t *testing.T) {
	if m := exact(); !m.holds(1, 2) || m.holds(1, 2.125) {
		t.Error("a jar of half the size is the last that is taken for it at a tolerance of a half")
	}
	pack := &PackChoice{Style: &catalog.TestedPack{HeadspaceIn: 0.5}}
	if exact().otherHeadspace(pack, amount(0.5, "in")) || !exact().otherHeadspace(pack, amount(0.501, "in")) {
		t.Error("the printed headspace itself is no other one without a tolerance")
	}
}

// The jar of a recipe is the smallest printed one that is not smaller than the cook's.
func TestPacks(t *testing.T) {
	recipe, _ := kitchen.tables.Recipe("quick-fresh-pack-dill-pickles")
	jar := func(ml float64) *composition.Composition {
		return &composition.Composition{Jar: &composition.Jar{CapacityML: ml}}
	}
	const pint, quart = 473.176473, 946.352946
	for _, c := range []struct {
		style string
		cook  *composition.Composition
		want  string // id of the jar; empty: none
		rows  int
	}{
		{"raw", jar(pint), "pint", 1},
		{"raw", jar(pint / 0.9951), "pint", 1},
		{"raw", jar(pint / 0.9949), "quart", 1},
		{"raw", jar(200), "pint", 1},
		{"raw", jar(quart), "quart", 1},
		{"raw", jar(quart / 0.9949), "quart", 1}, // a metric twin
		{"raw", jar(quart * 1.06), "quart", 1},
		{"raw", jar(quart * 1.0601), "", 0},
		{"raw", &composition.Composition{}, "", 2},
		{"", jar(pint), "", 2},
		{"hot", jar(pint), "", 2}, // not printed
	} {
		got := kitchen.matcher.choosePack(recipe, c.style, c.cook)
		id := ""
		if got.Jar != nil {
			id = got.Jar.ID
		}
		if id != c.want || len(got.Possible) != c.rows || got.HasStyle != (c.style != "") || got.HasJar != (c.cook.Jar != nil) {
			t.Errorf("%q %+v: jar %q, %d rows (%v %v), want %q, %d", c.style, c.cook.Jar, id, len(got.Possible), got.HasStyle, got.HasJar, c.want, c.rows)
		}
		if got.Largest == nil || got.Largest.ID != "quart" || got.LargestRow == nil || got.LargestRow.Jar != "quart" {
			t.Errorf("%q: largest %+v %+v", c.style, got.Largest, got.LargestRow)
		}
		if (c.want == "") != (got.Schedule == nil) || (c.want == "") != (got.Style == nil) {
			t.Errorf("%q: schedule %v, style %v", c.style, got.Schedule, got.Style)
		}
	}
}

// A sixteenth of an inch is no other headspace.
func TestOtherHeadspace(t *testing.T) {
	pack := &PackChoice{Style: &catalog.TestedPack{HeadspaceIn: 0.5}}
	for in, want := range map[float64]bool{0.5: false, 0.5624: false, 0.5626: true, 0.4376: false, 0.4374: true, 1: true} {
		if got := kitchen.matcher.otherHeadspace(pack, amount(in, "in")); got != want {
			t.Errorf("%v in where 0.5 is printed: %v, want %v", in, got, want)
		}
	}
	if kitchen.matcher.otherHeadspace(&PackChoice{}, amount(1, "in")) || kitchen.matcher.otherHeadspace(pack, nil) ||
		kitchen.matcher.otherHeadspace(pack, amount(1, "sixpence")) {
		t.Error("what is not given is another headspace")
	}
}
