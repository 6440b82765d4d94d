package rules

import (
	"testing"

	"jarwright/validate/contents"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/measure"
	"jarwright/validate/report"
	"jarwright/validate/table"
)

func inMM(value float64) *report.Amount { return &report.Amount{Value: value, Unit: "mm"} }

// pieces is a recipe like no tested one: sticks of potato in a pint with 1/2 in of headspace. The pint is 121 mm high inside
// and 60.3 mm wide at the mouth, so that 108.3 mm stand under the headspace.
func pieces(testing.TB) document.Request {
	r := untested(more("potato", 2, "lb"))
	r.Recipe.Ingredients[0].Form = "sticks"
	r.Recipe.Jar, r.Recipe.Headspace = &document.Jar{ID: "pint"}, amount(0.5, "in")
	return r
}

func long(value float64, unit string) func(*document.Request) {
	return func(r *document.Request) {
		r.Recipe.Ingredients[0].Piece = &document.Piece{Length: amount(value, unit)}
	}
}

func across(millimeters float64) func(*document.Request) {
	return func(r *document.Request) {
		r.Recipe.Ingredients[0].Form = "whole"
		r.Recipe.Ingredients[0].Piece = &document.Piece{Thickness: amount(millimeters, "mm")}
	}
}

func form(words string) func(*document.Request) {
	return func(r *document.Request) { r.Recipe.Ingredients[0].Form = words }
}

// size sets the size of the pieces to the last bit, which no unit does.
func size(length, breadth float64) func(*facts.Facts) {
	return func(f *facts.Facts) {
		f.Composition.Lines[0].LengthMM, f.Composition.Lines[0].BreadthMM = length, breadth
	}
}

func TestPieceFits(t *testing.T) {
	const at = "/recipe/ingredients/0"
	cut := func(value float64) []report.Operation {
		return []report.Operation{operation("replace", at+"/piece/length/value", value)}
	}
	tooLong := []string{at + "/piece/length"}
	try(t, PieceFits(), pieces, []ruleCase{
		{name: "108 mm", edit: long(108, "mm"), want: report.Pass},
		{name: "1.5 mm longer, a knife is no finer", edit: long(109, "mm"), facts: size(109.8, 0), want: report.Pass},
		{name: "1.5 mm wider than the mouth", edit: across(60), facts: size(0, 61.8), want: report.Pass},
		{
			name: "109.9 mm", edit: long(109.9, "mm"), want: report.Fail, at: tooLong, fix: cut(108.25), measured: inMM(109.9), limit: inMM(108.3),
			says: "Pieces of potato 4 1/4 in (109 mm) long do not stand under the liquid of this jar: the longest that does is 4 1/4 in (108 mm). " +
				"Choose or cut pieces of at most 4 1/4 in (108 mm)",
		},
		{
			name: "5 in", edit: long(5, "in"), want: report.Fail, at: tooLong, fix: cut(4.25), says: "potato 5 in (127 mm) long",
			measured: &report.Amount{Value: 5, Unit: "in"}, limit: &report.Amount{Value: 4.2638, Unit: "in"},
		},
		{name: "5 in by the words", edit: form("sticks, 5 in long"), want: report.Fail, at: []string{at}, measured: inMM(127), limit: inMM(108.3)},
		{
			name: "a length of its own under longer words", edit: both(form("sticks, 5 in long"), long(4, "in")),
			want: report.Fail, at: []string{at}, measured: inMM(127),
		},
		{
			name: "longer than its words, which would fit", edit: both(form("sticks, 4 in long"), long(5, "in")),
			want: report.Fail, at: tooLong, fix: cut(4.25),
		},
		{
			name: "words that just fit", edit: long(5, "in"), want: report.Fail, at: tooLong, fix: cut(4.25),
			facts: func(f *facts.Facts) {
				f.Composition.Lines[0].Form.LengthMM = 121 - measure.Length(*f.Contents.Headspace).Millimeters()
			},
		},
		{
			name: "by the words, a thickness of its own", want: report.Fail, at: []string{at},
			edit: both(across(20), form("sticks, 5 in long")),
		},
		{name: "whole, as wide as the mouth", edit: across(61.79), want: report.Pass},
		{
			name: "whole, wider", edit: across(63.5), want: report.Fail, at: []string{at}, measured: inMM(63.5), limit: inMM(60.3),
			says: "Pieces of potato 2 1/2 in (63 mm) across do not go through a mouth of 2 1/4 in (60 mm).",
		},
		{name: "a whole inch is not rounded below itself", edit: across(3 * 25.4), want: report.Fail, at: []string{at}, says: "3 in (76 mm) across"},
		{name: "a jar lower than its mouth is wide", edit: both(jar("4-ounce"), long(61.7, "mm")), want: report.Pass},
		{
			name: "and pieces wider than that", edit: both(jar("4-ounce"), long(62, "mm")), want: report.Fail, at: tooLong, fix: cut(41.25),
			limit: inMM(41.3),
		},
		{
			name: "so little room that no length can be named", edit: both(long(4, "in"), headspace(120, "mm")),
			want: report.Fail, at: tooLong, limit: &report.Amount{Value: 0.0394, Unit: "in"},
		},
		{name: "headspace deeper than the jar", edit: both(long(5, "in"), headspace(10, "in")), want: report.Pass},
		{name: "cut small", edit: both(form("sliced"), long(5, "in")), want: report.NotApplicable},
		{name: "cut not said", edit: both(form(""), long(5, "in")), want: report.Fail, at: tooLong, fix: cut(4.25)},
		{name: "no size", want: report.NotApplicable},
		{name: "no jar", edit: both(long(5, "in"), func(r *document.Request) { r.Recipe.Jar = nil }), want: report.NotApplicable},
		{name: "no headspace", edit: both(long(5, "in"), func(r *document.Request) { r.Recipe.Headspace = nil }), want: report.NotApplicable},
		{name: "relish", edit: both(long(5, "in"), func(r *document.Request) { r.Recipe.Kind = document.KindRelish }), want: report.NotApplicable},
		{name: "sauce", edit: both(long(5, "in"), func(r *document.Request) { r.Recipe.Kind = document.KindSauce }), want: report.NotApplicable},
		{
			name: "marked as poured away, which food never is", want: report.Fail, at: tooLong, fix: cut(4.25),
			edit: both(long(5, "in"), func(r *document.Request) { r.Recipe.Ingredients[0].Drained = new(true) }),
		},
		{name: "a spice", edit: both(long(5, "in"), func(r *document.Request) { r.Recipe.Ingredients[0].Item = "cinnamon stick" }), want: report.NotApplicable},
	})
	// Fresh-pack dills are printed 3 to 5 in long.
	try(t, PieceFits(), dills, []ruleCase{
		{name: "as printed", want: report.Pass},
		{name: "a little longer than printed", edit: long(128.4, "mm"), want: report.Pass},
		{name: "1.5 mm longer than printed", facts: size(127+1.5, 0), want: report.Pass},
		{name: "longer than printed", edit: long(128.6, "mm"), want: report.Fail, at: tooLong, fix: cut(108.25)},
		{
			name: "the second food is too long too", want: report.Fail, at: []string{"/recipe/ingredients/10"},
			edit: func(r *document.Request) {
				okra := more("okra", 4, "oz")
				okra.Form = "whole, 6 in long"
				add(r, okra)
			},
		},
		{
			name: "less headspace than printed counts as printed",
			edit: both(long(130, "mm"), headspace(0.25, "in")),
			want: report.Fail, at: tooLong, fix: cut(108.25),
		},
		{name: "more headspace than printed counts", edit: both(long(130, "mm"), headspace(1, "in")), want: report.Fail, at: tooLong, fix: cut(95.5625)},
		{
			name: "none printed", edit: both(long(130, "mm"), headspace(0.25, "in")), facts: printedHeadspaces(),
			want: report.Fail, at: tooLong, fix: cut(114.625),
		},
		{
			name: "an unknown food is not printed", want: report.Fail, at: tooLong, fix: cut(108.25),
			edit: both(long(5, "in"), long(120, "mm"), func(r *document.Request) { line(r, "cucumber").Item = "moon cheese" }),
		},
	})
}

func solids(value float64, unit string) func(*document.Request) {
	return func(r *document.Request) { r.Recipe.SolidsHeadspace = amount(value, unit) }
}

func TestFoodCovered(t *testing.T) {
	const place = "/recipe/solids_headspace"
	at := []string{place}
	inches := func(value float64) *report.Amount { return &report.Amount{Value: value, Unit: "in"} }
	most := headspaceTolerance(t)
	try(t, FoodCovered(), carrots, []ruleCase{
		{name: "1 in", want: report.Pass},
		{name: "1/16 in less", edit: solids(0.9375, "in"), want: report.Pass},
		{name: "1/8 in less, which another rule says", edit: solids(0.875, "in"), want: report.Pass},
		{
			name: "not given", edit: func(r *document.Request) { r.Recipe.SolidsHeadspace = nil }, want: report.Undetermined, at: []string{"/recipe"},
			fix: []report.Operation{operation("add", place, quantityOf(1, "in"))}, says: "“Pickled carrots” has 1 in. Leave 1 in",
		},
		{name: "refrigerator", edit: both(solids(0.1, "in"), refrigerated), want: report.NotApplicable},
	})
	try(t, FoodCovered(), dills, []ruleCase{
		{name: "neither printed nor given", want: report.NotApplicable},
		{name: "as deep as the liquid", edit: solids(0.5, "in"), want: report.Pass},
		{name: "1/16 in above the liquid", edit: solids(0.4375, "in"), want: report.Pass},
		{name: "1/8 in above the liquid, which another rule says", edit: solids(0.375, "in"), want: report.Pass},
		{
			name: "1/8 in above a liquid that stands too low", want: report.Fail, at: at, measured: inches(0.875), limit: inches(1),
			edit: both(solids(0.875, "in"), func(r *document.Request) { r.Recipe.Headspace = amount(1, "in") }),
			says: "The pieces reach 7/8 in below the rim and the liquid only 1 in: they stand out of it.",
		},
		{
			name: "1/16 in above it and its rounding, to the last bit", want: report.Pass,
			edit: both(solids(float64(1*measure.Inch)-most, "m"), func(r *document.Request) { r.Recipe.Headspace = amount(1, "in") }),
		},
		{
			name: "a little over a 1/16 in above it", want: report.Fail, at: at,
			edit: both(solids(0.936, "in"), func(r *document.Request) { r.Recipe.Headspace = amount(1, "in") }),
		},
		{name: "headspace of the liquid not said", edit: solids(0.1, "in"), facts: func(f *facts.Facts) { f.Contents.Headspace = nil }, want: report.Pass},
	})
	try(t, FoodCovered(), pieces, []ruleCase{
		{name: "no tested recipe, not given", want: report.NotApplicable},
		{name: "no tested recipe, above the liquid", edit: solids(0.25, "in"), want: report.Fail, at: at},
		{name: "no tested recipe, under the liquid", edit: solids(0.75, "in"), want: report.Pass},
	})
}

// Where no printed jar is at hand: a batch of four jars of 400 mL, half of each food: 800 mL of liquid are needed, and an eighth of it may be missing.
func TestBrineSpareRoughly(t *testing.T) {
	with := func(change func(*contents.Batch)) func(*facts.Facts) {
		return func(f *facts.Facts) {
			batch := contents.Batch{
				FillML: table.Bounds{Low: 400, Value: 400, High: 400}, TissueML: table.Bounds{Low: 800, Value: 800, High: 800},
				Jars: 4, Poured: true, Pieces: true, BrineML: 800,
			}
			change(&batch)
			f.Contents.Batch = &batch
		}
	}
	brine := func(milliliters float64) func(*facts.Facts) {
		return with(func(b *contents.Batch) { b.BrineML = milliliters })
	}
	inML := func(value float64) *report.Amount { return &report.Amount{Value: value, Unit: "mL"} }
	try(t, BrineSpare(), pieces, []ruleCase{
		{name: "enough", facts: brine(800), want: report.Pass},
		{name: "an eighth short", facts: brine(700), want: report.Pass},
		{
			name: "more than an eighth short", facts: brine(699), want: report.Fail, at: []string{"/recipe/jars"}, measured: inML(699), limit: inML(800),
			says: "The recipe makes about 3 cups (700 mL) of liquid; 4 jars take about 3.5 cups (800 mL), so that about 0.5 cup (100 mL) may be short. " +
				"Have about 0.5 cup (100 mL) more",
		},
		{
			name: "a little is a quarter of a cup", want: report.Fail, at: []string{"/recipe/jars"}, says: "so that about 0.25 cup (20 mL) may be short",
			facts: with(func(b *contents.Batch) {
				b.Jars, b.BrineML, b.FillML.Value, b.TissueML = 1, 20, 80, table.Bounds{Low: 40, Value: 40, High: 40}
			}),
		},
		{name: "nothing known", facts: func(f *facts.Facts) { f.Contents.Batch = nil }, want: report.NotApplicable},
		{name: "mixed", facts: with(func(b *contents.Batch) { b.BrineML, b.Pieces = 100, false }), want: report.NotApplicable},
		{name: "nothing poured", facts: with(func(b *contents.Batch) { b.BrineML, b.Poured = 100, false }), want: report.NotApplicable},
		{name: "jars not counted", facts: with(func(b *contents.Batch) { b.BrineML, b.Jars = 100, 0 }), want: report.NotApplicable},
		{name: "liquid not known", facts: brine(0), want: report.NotApplicable},
	})
}
