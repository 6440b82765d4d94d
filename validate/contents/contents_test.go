package contents

import (
	"math"
	"strings"
	"testing"

	"jarwright/validate/acidity"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/headspace"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/table"
)

// kitchen is what contents are read with.
type kitchen struct {
	tables    *catalog.Tables
	units     *measure.Units
	chemistry *acidity.Model
}

func loadKitchen(t *testing.T) kitchen {
	t.Helper()
	tables, err := catalog.Load()
	if err != nil {
		t.Fatal(err)
	}
	units, err := measure.LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	chemistry, err := acidity.Load()
	if err != nil {
		t.Fatal(err)
	}
	return kitchen{tables, units, chemistry}
}

// input is a raw pack of so many pints with half an inch of headspace. No jars: their number is not said.
func (k kitchen) input(kind string, jars float64, lines ...composition.Line) Input {
	pint, _ := k.tables.Jar("pint")
	in := Input{
		Request: &document.Request{Recipe: document.Recipe{
			Kind: kind, Pack: document.PackRaw, Jar: &document.Jar{ID: "pint"}, Headspace: quantity(0.5, "in"),
		}},
		Composition: &composition.Composition{Lines: lines, Jar: &composition.Jar{ID: "pint", CapacityML: pint.CapacityML, Known: pint}},
		Match:       &match.Match{}, Tables: k.tables, Units: k.units, Chemistry: k.chemistry,
	}
	if jars > 0 {
		in.Composition.Jars = &jars
	}
	return in
}

// loadUnits is for examples, which have nobody to tell of an error.
func loadUnits() *measure.Units {
	units, err := measure.LoadUnits()
	if err != nil {
		panic(err)
	}
	return units
}

func quantity(value float64, unit string) *document.Quantity {
	return &document.Quantity{Value: &value, Unit: unit}
}

// The pint of the catalog, 473.176 mL with a mouth of 60.3 mm, less a cylinder of 12.7 mm, which is 36.2684 mL.
const pintFillML = 436.9081

// Lines with amounts that are easy to reckon with.

type list []composition.Line

// bounds are what a table of cases writes in one line.
func bounds(low, value, high float64) table.Bounds {
	return table.Bounds{Low: low, Value: value, High: high}
}

func line(class catalog.Class, item catalog.Item) composition.Line {
	item.Class = class
	return composition.Line{Name: item.ID, Item: &item, Class: class, InJar: true, State: composition.Given, Value: 1}
}

func weighed(class catalog.Class, item catalog.Item, lowG, highG float64) composition.Line {
	l := line(class, item)
	l.WeightKnown, l.GramsLow, l.GramsHigh = true, lowG, highG
	return l
}

func poured(class catalog.Class, item catalog.Item, milliliters float64) composition.Line {
	l := line(class, item)
	l.VolumeKnown, l.Milliliters = true, milliliters
	return l
}

func food(grams float64) composition.Line {
	return weighed(catalog.LowAcid, catalog.Item{ID: "root", Family: "root"}, grams, grams)
}

// vinegar of 5 %.
func vinegar(milliliters float64) composition.Line {
	l := poured(catalog.Acid, catalog.Item{ID: "vinegar", Family: "vinegar"}, milliliters)
	l.Acidity = new(5.0)
	return l
}

func water(milliliters float64) composition.Line {
	return poured(catalog.Water, catalog.Item{ID: "water"}, milliliters)
}

func lemonJuice(milliliters float64) composition.Line {
	return poured(catalog.Acid, catalog.Item{ID: "lemon-juice", Family: "lemon-juice"}, milliliters)
}

func salt(grams float64) composition.Line {
	return weighed(catalog.Salt, catalog.Item{ID: "salt"}, grams, grams)
}

func sugar(grams float64) composition.Line {
	line := weighed(catalog.Sugar, catalog.Item{ID: "sugar"}, grams, grams)
	line.Flavoring = catalog.Flavoring{Kind: catalog.SweetKind, Sugar: 1}
	return line
}

func perJar(l composition.Line) composition.Line {
	l.PerJar = true
	return l
}

func open(l composition.Line) composition.Line {
	l.State, l.Value, l.WeightKnown, l.VolumeKnown, l.GramsLow, l.GramsHigh, l.Milliliters = composition.ToCover, 0, false, false, 0, 0, 0
	return l
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}

func nearBounds(t *testing.T, what string, got, want table.Bounds, tolerance float64) {
	t.Helper()
	near(t, what+", low", got.Low, want.Low, tolerance)
	near(t, what, got.Value, want.Value, tolerance)
	near(t, what+", high", got.High, want.High, tolerance)
}

func (k kitchen) batch(t *testing.T, in Input) *Batch {
	t.Helper()
	got := Read(in)
	if got.Batch == nil {
		t.Fatal("no batch")
	}
	return got.Batch
}

// By hand: 3 kg of food are 3000/1.04 = 2884.6 to 3000/0.96 = 3125 mL. A liter of water at 20 °C weighs 998.2 g; a liter of vinegar
// of 5 % weighs 1005.1 g (by its apparent volume) and holds 50 g of acid, so that 955.1 g are water. 80 g of salt and 2 g in each
// of 7 jars make 94 g, and 10 mL of water in each jar 69.9 g. Oil lies on top.
func TestBatch(t *testing.T) {
	k := loadKitchen(t)
	dill := weighed(catalog.Seasoning, catalog.Item{ID: "dill"}, 30, 30)
	oil := poured(catalog.Fat, catalog.Item{ID: "oil"}, 20)
	drained := food(500)
	drained.InJar = false
	b := k.batch(t, k.input(document.KindBrined, 7,
		food(3000), drained, vinegar(1000), water(1000), salt(80), sugar(100), perJar(salt(2)), perJar(water(10)), dill, oil, perJar(oil)))
	nearBounds(t, "fill of a pint", table.Bounds{Low: b.FillML.Low, Value: b.FillML.Value, High: b.FillML.High},
		table.Bounds{Low: pintFillML, Value: pintFillML, High: pintFillML}, 0.001)
	nearBounds(t, "food", b.FoodG, bounds(3000, 3000, 3000), 1e-9)
	nearBounds(t, "tissue", b.TissueML, bounds(2884.615, 3004.808, 3125), 0.001)
	if b.Jars != 7 || b.Cooked || !b.Poured || !b.Pieces || b.BoiledTo != 1 || b.BoilsDown || b.Jar.CapacityML != 473.176473 {
		t.Errorf("%+v", b)
	}
	const waterG, aceticG, saltG, sugarG = 998.2 + 955.1 + 69.9, 50.0, 94.0, 100.0
	const whole = waterG + aceticG + saltG + sugarG
	near(t, "salt", b.Brine.SaltPercent, 100*saltG/whole, 0.01)
	near(t, "sugar", b.Brine.SugarPercent, 100*sugarG/whole, 0.01)
	near(t, "acetic acid", b.Brine.AceticPercent, 100*aceticG/whole, 0.01)
	density, err := headspace.Brine{SaltPercent: 4.144, SugarPercent: 4.409, AceticPercent: 2.2045}.Density(20)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "brine and 160 mL of oil", b.BrineML, whole/density*1000+160, 2)
}

// 2 lb to 3 lb of one food and 1 kg of another, which is per jar.
func TestWeightsWithARange(t *testing.T) {
	k := loadKitchen(t)
	vague := weighed(catalog.AcidFood, catalog.Item{ID: "fruit", Family: "fruit"}, 900, 1300)
	b := k.batch(t, k.input(document.KindRelish, 4, vague, perJar(food(250)), vinegar(500)))
	nearBounds(t, "food", b.FoodG, bounds(1900, 2100, 2300), 1e-9)
	nearBounds(t, "tissue", b.TissueML, bounds(1826.923, 2111.378, 2395.833), 0.001)
	if b.Pieces || !b.Poured {
		t.Errorf("%+v", b)
	}
}

func TestKindsOfBatches(t *testing.T) {
	k := loadKitchen(t)
	cut := func(l composition.Line, form string) composition.Line {
		l.Form = composition.ReadForm(form)
		return l
	}
	const (
		brined, relish, sauce, fruit = document.KindBrined, document.KindRelish, document.KindSauce, document.KindFruit
		raw, hot                     = document.PackRaw, document.PackHot
	)
	usual := list{food(1000), water(500)}
	whole := func(grams float64) composition.Line { return cut(food(grams), "whole") }
	chopped := func(grams float64) composition.Line { return cut(food(grams), "chopped") }
	half := &catalog.TestedRecipe{CookedDown: &catalog.CookedDown{Fraction: 0.5}}
	thick := &catalog.TestedRecipe{CookedDown: &catalog.CookedDown{Minutes: 60}}
	for name, test := range map[string]struct {
		kind, pack               string
		tested                   *catalog.TestedRecipe
		lines                    list
		pieces, poured, cooked   bool
		boiledTo                 float64
		boilsDown                bool
		jars, brineML, tolerance float64
	}{
		"brined":                            {brined, raw, nil, usual, true, true, false, 1, false, 3, 500, 0.1},
		"packed hot":                        {brined, hot, nil, usual, true, true, true, 1, false, 3, 500, 0.1},
		"relish":                            {relish, hot, nil, usual, false, true, true, 1, false, 3, 500, 0.1},
		"sauce":                             {sauce, hot, nil, usual, false, true, true, 1, false, 3, 500, 0.1},
		"fruit, whole":                      {fruit, hot, nil, list{whole(1000), water(500)}, true, true, true, 1, false, 3, 500, 0.1},
		"fruit, sliced":                     {fruit, hot, nil, list{cut(food(1000), "sliced"), water(500)}, true, true, true, 1, false, 3, 500, 0.1},
		"fruit, chopped":                    {fruit, hot, nil, list{chopped(1000), water(500)}, false, true, true, 1, false, 3, 500, 0.1},
		"fruit, not said":                   {fruit, hot, nil, usual, true, true, true, 1, false, 3, 500, 0.1},
		"the cut of the heaviest, first":    {fruit, hot, nil, list{whole(1000), chopped(900), water(500)}, true, true, true, 1, false, 3, 500, 0.1},
		"the cut of the heaviest, last":     {fruit, hot, nil, list{whole(900), chopped(1000), water(500)}, false, true, true, 1, false, 3, 500, 0.1},
		"the cut of the heaviest of a jar":  {fruit, hot, nil, list{whole(900), perJar(chopped(310)), water(500)}, false, true, true, 1, false, 3, 500, 0.1},
		"the first of two that weigh alike": {fruit, hot, nil, list{whole(900), chopped(900), water(500)}, true, true, true, 1, false, 3, 500, 0.1},
		"boiled to a half":                  {brined, hot, half, usual, false, true, true, 0.5, false, 3, 500, 0.1},
		"boiled until thick":                {brined, hot, thick, usual, false, true, true, 0, true, 3, 500, 0.1},
		"water to cover":                    {brined, raw, nil, list{food(1000), open(water(0))}, true, true, false, 1, false, 3, 0, 0},
		"in its own juice":                  {brined, raw, nil, list{food(1000)}, true, false, false, 1, false, 3, 0, 0},
		"juice to acidify with":             {brined, raw, nil, list{food(1000), lemonJuice(30)}, true, false, false, 1, false, 3, 30, 0.1},
		"juice and water":                   {brined, raw, nil, list{food(1000), lemonJuice(30), water(30)}, true, true, false, 1, false, 3, 60, 0.1},
		"vinegar":                           {brined, raw, nil, list{food(1000), vinegar(500)}, true, true, false, 1, false, 3, 500, 1},
		"no number of jars":                 {brined, raw, nil, usual, true, true, false, 1, false, 0, 500, 0.1},
		"a liquid too strong for tables":    {brined, raw, nil, list{food(1000), water(100), salt(50)}, true, true, false, 1, false, 3, 0, 0},
	} {
		t.Run(name, func(t *testing.T) {
			in := k.input(test.kind, test.jars, test.lines...)
			in.Request.Recipe.Pack, in.Match.Recipe = test.pack, test.tested
			b := k.batch(t, in)
			if b.Pieces != test.pieces || b.Poured != test.poured || b.Cooked != test.cooked || b.BoiledTo != test.boiledTo || b.BoilsDown != test.boilsDown ||
				b.Jars != test.jars {
				t.Errorf("%+v", b)
			}
			near(t, "brine", b.BrineML, test.brineML, test.tolerance)
		})
	}
}

// What keeps a batch from being laid out.
func TestNoBatch(t *testing.T) {
	k := loadKitchen(t)
	heavy := food(1000)
	heavy.WeightKnown = false
	vague := vinegar(500)
	vague.VolumeKnown = false
	unused := open(food(0))
	unused.State = composition.Given
	for name, test := range map[string]struct {
		lines list
		jars  float64
		alter func(*Input)
		laid  bool
	}{
		"as it should be":                    {list{food(1000), water(500)}, 3, nil, true},
		"no jar":                             {list{food(1000), water(500)}, 3, func(in *Input) { in.Composition.Jar = nil }, false},
		"no headspace":                       {list{food(1000), water(500)}, 3, func(in *Input) { in.Request.Recipe.Headspace = nil }, false},
		"nearly all headspace":               {list{food(1000), water(500)}, 3, func(in *Input) { in.Request.Recipe.Headspace = quantity(120.9, "mm") }, true},
		"all headspace":                      {list{food(1000), water(500)}, 3, func(in *Input) { in.Request.Recipe.Headspace = quantity(121, "mm") }, false},
		"headspace below the bottom":         {list{food(1000), water(500)}, 3, func(in *Input) { in.Request.Recipe.Headspace = quantity(122, "mm") }, false},
		"no food":                            {list{water(500)}, 3, nil, false},
		"food without weight":                {list{heavy, water(500)}, 3, nil, false},
		"food as needed":                     {list{food(1000), open(food(0)), water(500)}, 3, nil, false},
		"seasoning as needed":                {list{food(1000), open(line(catalog.Seasoning, catalog.Item{ID: "dill"})), water(500)}, 3, nil, true},
		"liquid without volume":              {list{food(1000), vague}, 3, nil, false},
		"food per jar, jars not said":        {list{food(1000), perJar(food(100)), water(500)}, 0, nil, false},
		"liquid per jar, jars not said":      {list{food(1000), perJar(water(100))}, 0, nil, false},
		"salt per jar, jars not said":        {list{food(1000), perJar(salt(1)), water(500)}, 0, nil, true},
		"a line that is not used":            {list{food(1000), {Class: catalog.LowAcid, InJar: true, State: composition.Given}, water(500)}, 3, nil, true},
		"a food that is poured away":         {list{food(1000), {Class: catalog.LowAcid, State: composition.Missing}, water(500)}, 3, nil, true},
		"a liquid to cover":                  {list{food(1000), open(water(0))}, 3, nil, true},
		"salt without weight":                {list{food(1000), line(catalog.Salt, catalog.Item{ID: "salt"}), water(500)}, 3, nil, true},
		"oil without volume":                 {list{food(1000), line(catalog.Fat, catalog.Item{ID: "oil"}), water(500)}, 3, nil, true},
		"an egg":                             {list{weighed(catalog.Egg, catalog.Item{ID: "egg", Family: "egg"}, 300, 300), water(500)}, 3, nil, true},
		"a jar of one's own without a mouth": {list{food(1000), water(500)}, 3, func(in *Input) { in.Composition.Jar.Known = nil }, false},
	} {
		t.Run(name, func(t *testing.T) {
			in := k.input(document.KindBrined, test.jars, test.lines...)
			if test.alter != nil {
				test.alter(&in)
			}
			if got := Read(in); (got.Batch != nil) != test.laid {
				t.Errorf("%+v", got.Batch)
			}
		})
	}
}

// The jar and its headspace as given, else as printed.
func TestJarAndHeadspace(t *testing.T) {
	k := loadKitchen(t)
	packs := func(inches ...float64) *catalog.TestedRecipe {
		recipe := &catalog.TestedRecipe{}
		for _, in := range inches {
			recipe.Packs = append(recipe.Packs, catalog.TestedPack{HeadspaceIn: in})
		}
		return recipe
	}
	for name, test := range map[string]struct {
		given   *document.Quantity
		tested  *catalog.TestedRecipe
		style   *catalog.TestedPack
		want    float64 // in; 0: none
		filling float64 // in: what the chemistry fills the jar to
	}{
		"given":                  {quantity(1, "in"), packs(0.25), nil, 1, 1},
		"given as nothing":       {quantity(0, "in"), packs(0.25), nil, -1, 0},
		"not given, not printed": {nil, nil, nil, 0, 0.5},
		"printed for all packs":  {nil, packs(0.25, 0.25), nil, 0.25, 0.5},
		"printed differently":    {nil, packs(0.25, 0.5), nil, 0, 0.5},
		"printed as nothing":     {nil, packs(0), nil, 0, 0.5},
		"no pack printed":        {nil, packs(), nil, 0, 0.5},
		"printed for this pack":  {nil, packs(0.25, 0.5), &catalog.TestedPack{HeadspaceIn: 0.25}, 0.25, 0.25},
		"this pack without one":  {nil, packs(0.25), &catalog.TestedPack{}, 0, 0.5},
	} {
		t.Run(name, func(t *testing.T) {
			in := k.input(document.KindBrined, 3, food(1000), water(500))
			in.Request.Recipe.Headspace, in.Match.Recipe, in.Match.Pack.Style = test.given, test.tested, test.style
			got := Read(in)
			switch {
			case test.want == 0 && got.Headspace != nil:
				t.Errorf("%g in, want none", got.Headspace.Inches())
			case test.want != 0 && (got.Headspace == nil || math.Abs(got.Headspace.Inches()-max(0, test.want)) > 1e-9):
				t.Errorf("%v, want %g in", got.Headspace, test.want)
			}
			near(t, "fill", got.Jarful.FillML, 473.1765-2855.7784*25.4/1000*test.filling, 0.001)
		})
	}
}

// A jar described by its own measures, where they can be those of a jar.
func TestJarOfOnesOwn(t *testing.T) {
	k := loadKitchen(t)
	own := func(capacity float64, mouth, height *document.Quantity) *headspace.Jar {
		in := k.input(document.KindBrined, 3, food(1000), water(500))
		in.Request.Recipe.Jar = &document.Jar{Capacity: quantity(capacity, "mL"), Mouth: mouth, InteriorHeight: height}
		in.Composition.Jar = &composition.Jar{Name: "own jar", CapacityML: capacity}
		return Read(in).Jar
	}
	if jar := own(500, quantity(7, "cm"), quantity(11, "cm")); jar == nil || *jar != (headspace.Jar{CapacityML: 500, MouthMM: 70, InteriorHeightMM: 110}) {
		t.Errorf("%+v", jar)
	}
	for name, jar := range map[string]*headspace.Jar{
		"no mouth":        own(500, nil, quantity(11, "cm")),
		"no height":       own(500, quantity(7, "cm"), nil),
		"all neck":        own(50, quantity(7, "cm"), quantity(11, "cm")),
		"a unit no one's": own(500, quantity(7, "furlong"), quantity(11, "cm")),
	} {
		if jar != nil {
			t.Errorf("%s: %+v", name, jar)
		}
	}
	in := k.input(document.KindBrined, 3, food(1000))
	in.Request.Recipe.Jar = nil
	if got := Read(in); got.Jar != nil {
		t.Errorf("%+v", got.Jar)
	}
}

// By hand from the packing figures: pieces by 1.038 g to a milliliter of jar, the mixed by volume; 0.6 and 1.6 times that.
func TestJarsFilled(t *testing.T) {
	fill := bounds(400, 430, 440)
	for name, test := range map[string]struct {
		batch Batch
		want  table.Bounds
		told  bool
	}{
		"pieces":           {Batch{Pieces: true, FillML: fill, FoodG: bounds(1000, 1100, 1200)}, bounds(1.47869, 2.46449, 3.94318), true},
		"mixed":            {Batch{FillML: fill, TissueML: bounds(900, 1000, 1100), BrineML: 500, BoiledTo: 1}, bounds(2.09302, 3.48837, 5.58140), true},
		"boiled to a half": {Batch{FillML: fill, TissueML: bounds(900, 1000, 1100), BrineML: 500, BoiledTo: 0.5}, bounds(1.04651, 1.74419, 2.79070), true},
		"boiled down":      {Batch{FillML: fill, TissueML: bounds(900, 1000, 1100), BoilsDown: true}, table.Bounds{}, false},
	} {
		t.Run(name, func(t *testing.T) {
			got, told := test.batch.JarsFilled()
			if told != test.told {
				t.Errorf("told: %t", told)
			}
			nearBounds(t, "jars", got, test.want, 1e-5)
		})
	}
}

// By hand: 4 jars of 400 mL are 1600 mL of room. Food of 800 to 1000 mL leaves 0.375 to 0.5 of it; pieces usually leave 0.35 to 0.5.
func TestBrineNeeded(t *testing.T) {
	fill := bounds(390, 400, 410)
	loose, tight := bounds(800, 900, 1000), bounds(1500, 1550, 1700)
	for name, test := range map[string]struct {
		batch Batch
		want  table.Bounds
		told  bool
	}{
		"raw":           {Batch{Pieces: true, Poured: true, Jars: 4, FillML: fill, TissueML: loose}, bounds(600, 700, 800), true},
		"cooked":        {Batch{Pieces: true, Poured: true, Cooked: true, Jars: 4, FillML: fill, TissueML: loose}, bounds(560, 700, 800), true},
		"tight":         {Batch{Pieces: true, Poured: true, Jars: 4, FillML: fill, TissueML: tight}, bounds(560, 560, 800), true},
		"tight, cooked": {Batch{Pieces: true, Poured: true, Cooked: true, Jars: 4, FillML: fill, TissueML: tight}, bounds(0, 560, 800), true},
		"half empty":    {Batch{Pieces: true, Poured: true, Jars: 4, FillML: fill, TissueML: bounds(160, 320, 480)}, bounds(1120, 1280, 1440), true},
		"jars by the foods": {
			Batch{Pieces: true, Poured: true, FillML: fill, FoodG: bounds(1400, 1500, 1600), TissueML: loose}, // 3.61 jars
			bounds(600, 700, 800), true,
		},
		"mixed":         {Batch{Poured: true, Jars: 4, FillML: fill, TissueML: loose}, table.Bounds{}, false},
		"its own juice": {Batch{Pieces: true, Jars: 4, FillML: fill, TissueML: loose}, table.Bounds{}, false},
	} {
		t.Run(name, func(t *testing.T) {
			got, told := test.batch.BrineNeededML()
			if told != test.told {
				t.Errorf("told: %t", told)
			}
			nearBounds(t, "brine", got, test.want, 1e-9)
		})
	}
}

// Why there is nothing to reckon the chemistry with, the first reason first.
func TestReasons(t *testing.T) {
	k := loadKitchen(t)
	heavy := food(1000)
	heavy.WeightKnown, heavy.Unit.Name = false, "cup"
	crystals := line(catalog.Acid, catalog.Item{ID: "citric-acid"})
	crystals.Unit.Name = "pinch"
	vague := line(catalog.Acid, catalog.Item{ID: "vinegar", Family: "vinegar"})
	fruit := weighed(catalog.AcidFood, catalog.Item{ID: "fruit"}, 5, 5)
	fermented := k.input(document.KindBrined, 3, food(1000), vinegar(500))
	fermented.Match.Recipe = &catalog.TestedRecipe{Kind: document.KindFermented}
	for name, test := range map[string]struct {
		in   Input
		want string
	}{
		"reckoned":                   {k.input(document.KindBrined, 3, food(1000), vinegar(500)), ""},
		"a ferment":                  {k.input(document.KindFermented, 3, food(1000), salt(50)), "ferment"},
		"by its tested recipe":       {fermented, "ferment"},
		"no food":                    {k.input(document.KindBrined, 3, vinegar(500)), "no food"},
		"food without weight":        {k.input(document.KindBrined, 3, food(1000), heavy), "no published weight is known for root in cup"},
		"food as needed":             {k.input(document.KindBrined, 3, food(1000), open(food(0))), "amount of root is not given"},
		"egg as needed":              {k.input(document.KindBrined, 3, food(1000), open(line(catalog.Egg, catalog.Item{ID: "egg"}))), "amount of egg is not given"},
		"vinegar to cover":           {k.input(document.KindBrined, 3, food(1000), open(vinegar(0))), "amount of vinegar is not given"},
		"salt to taste":              {k.input(document.KindBrined, 3, food(1000), vinegar(500), open(salt(0))), ""},
		"vinegar without volume":     {k.input(document.KindBrined, 3, food(1000), vague), "neither a volume nor a weight"},
		"crystals without weight":    {k.input(document.KindBrined, 3, food(1000), crystals), "no published weight is known for citric-acid in pinch"},
		"food per jar, no jars":      {k.input(document.KindBrined, 0, perJar(food(1000)), vinegar(500)), "number of jars"},
		"vinegar per jar, no jars":   {k.input(document.KindBrined, 0, food(1000), perJar(vinegar(500))), "number of jars"},
		"water per jar, no jars":     {k.input(document.KindBrined, 0, food(1000), vinegar(500), perJar(water(10))), ""},
		"the first of two reasons":   {k.input(document.KindBrined, 3, open(food(0)), vague), "amount of root is not given"},
		"acid food per jar, no jars": {k.input(document.KindBrined, 0, food(1000), perJar(fruit)), "number of jars"},
	} {
		t.Run(name, func(t *testing.T) {
			got := Read(test.in)
			if (got.Jarful == nil) != (test.want != "") || !strings.Contains(got.Reason, test.want) || test.want == "" && got.Reason != "" {
				t.Errorf("%q, want %q", got.Reason, test.want)
			}
		})
	}
}
