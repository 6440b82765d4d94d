package rules

import (
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

var carrots = base("pickled-carrots") // hot; 1/2 in of headspace, 1 in over the pieces

func headspace(value float64, unit string) func(*document.Request) {
	return func(r *document.Request) { r.Recipe.Headspace = amount(value, unit) }
}

// printedHeadspaces stands in for a recipe whose packs print several, the pack not being said.
func printedHeadspaces(inches ...float64) func(*facts.Facts) {
	return func(f *facts.Facts) {
		recipe := *f.Match.Recipe
		recipe.Packs = nil
		for _, value := range inches {
			recipe.Packs = append(recipe.Packs, catalog.TestedPack{HeadspaceIn: value})
		}
		f.Match.Recipe, f.Match.Pack.Style = &recipe, nil
	}
}

// headspaceTolerance is how far, in m, a headspace may be from the printed one: 1/16 in, and a millionth for the rounding of units.
func headspaceTolerance(t *testing.T) float64 {
	t.Helper()
	tolerance := factsOf(t, dills(t)).Tolerance(catalog.HeadspaceTolerance)
	return tolerance * (1 + 1e-6)
}

func TestHeadspace(t *testing.T) {
	const place = "/recipe/headspace"
	at, fix := []string{place}, []report.Operation{operation("replace", place, quantityOf(0.5, "in"))}
	in := func(value float64, unit string) *report.Amount { return &report.Amount{Value: value, Unit: unit} }
	half := float64(0.5 * measure.Inch)
	most := headspaceTolerance(t)
	try(t, Headspace(), dills, []ruleCase{
		{name: "1/2 in", want: report.Pass},
		{name: "13 mm", edit: headspace(13, "mm"), want: report.Pass},
		{name: "1/16 in more", edit: headspace(0.5625, "in"), want: report.Pass},
		{name: "1/16 in less", edit: headspace(0.4375, "in"), want: report.Pass},
		{name: "1/16 in more and its rounding, to the last bit", edit: headspace(half+most, "m"), want: report.Pass},
		{name: "a little more than that", edit: headspace(0.5635, "in"), want: report.Fail, at: at, fix: fix},
		{
			name: "1/8 in more", edit: headspace(0.625, "in"), want: report.Fail, at: at, fix: fix, measured: in(0.625, "in"), limit: in(0.5, "in"),
			says: "There is 5/8 in of headspace where “Quick fresh-pack dill pickles” has 1/2 in: air stays in the jar and the seal may be weak. " +
				"Leave 1/2 in between the liquid and the rim.",
		},
		{
			name: "1/8 in less", edit: headspace(0.375, "in"), want: report.Fail, at: at, fix: fix, limit: in(0.5, "in"),
			says: "3/8 in of headspace where “Quick fresh-pack dill pickles” has 1/2 in: food may be forced out",
		},
		{name: "in the unit of the cook", edit: headspace(20, "mm"), want: report.Fail, at: at, fix: fix, measured: in(20, "mm"), limit: in(12.7, "mm")},
		{
			name: "not given", edit: func(r *document.Request) { r.Recipe.Headspace = nil }, want: report.Undetermined, at: []string{"/recipe"},
			fix: []report.Operation{operation("add", place, quantityOf(0.5, "in"))}, says: "has 1/2 in. Leave 1/2 in between",
		},
		{name: "two printed, as the first", facts: printedHeadspaces(0.5, 1), want: report.Fail, at: at, fix: fix, says: "food may be forced out"},
		{name: "two printed, as the second", facts: printedHeadspaces(1, 0.5), want: report.Fail, at: at, fix: []report.Operation{
			operation("replace", place, quantityOf(1, "in")),
		}},
		{name: "none printed", facts: printedHeadspaces(), want: report.Pass},
		{name: "lost in the copy", facts: printedHeadspaces(0), want: report.Pass},
		{name: "refrigerator", edit: both(headspace(1, "in"), refrigerated), want: report.NotApplicable},
		{name: "no tested recipe", edit: func(r *document.Request) { *r = untested(more("potato", 1, "lb")) }, want: report.NotApplicable},
	})
	try(t, Headspace(), carrots, []ruleCase{{
		name: "pieces with a headspace of their own", edit: headspace(1, "in"), want: report.Fail, at: at, fix: fix,
		says: "Leave 1/2 in between the liquid and the rim. The solids stay 1 in below the rim.",
	}})
}

// A recipe without a headspace of its own for the pieces is told nothing of one.
func TestHeadspaceOfTheLiquidAlone(t *testing.T) {
	request := dills(t)
	headspace(1, "in")(&request)
	if got := Headspace().Run(factsOf(t, request))[0].Remedy; got != "Leave 1/2 in between the liquid and the rim." {
		t.Error(got)
	}
}

func ownJar(milliliters float64) func(*document.Request) {
	return func(r *document.Request) { r.Recipe.Jar = &document.Jar{Capacity: amount(milliliters, "mL")} }
}

// Gherkins are printed for pints alone, 473.18 mL; half a percent of it is rounding.
func TestJarSize(t *testing.T) {
	at := []string{"/recipe/jar"}
	pint := operation("replace", "/recipe/jar", "pint")
	inML := func(value float64) *report.Amount { return &report.Amount{Value: value, Unit: "mL"} }
	try(t, JarSize(), gherkins, []ruleCase{
		{name: "pint", want: report.Pass},
		{name: "half-pint", edit: jar("half-pint"), want: report.Pass},
		{name: "475.5 mL are a pint", edit: ownJar(475.5), want: report.Pass},
		{
			name: "half a percent more than a pint, to the last bit", want: report.Pass,
			facts: func(f *facts.Facts) { f.Composition.Jar.CapacityML = f.Match.Pack.Largest.CapacityML / (1 - 0.005) },
		},
		{name: "475.6 mL are a metric jar in its place, which another rule says", edit: ownJar(475.6), want: report.Pass},
		{name: "6 % more are not", edit: ownJar(501.6), want: report.Fail, at: at, fix: []report.Operation{pint}},
		{
			name: "10 % larger", edit: ownJar(520.494), want: report.Fail, at: at, fix: []report.Operation{pint}, measured: inML(520.5), limit: inML(473.2),
			says: "The jar holds 520 mL; the largest that “Sweet gherkin pickles” was tested in is the pint (16 fl oz), 473 mL.",
		},
		{name: "quart", edit: jar("quart"), want: report.Fail, at: at, fix: []report.Operation{pint}},
		{
			name: "quart, too short for a pint", edit: both(jar("quart"), minutes(4)), want: report.Fail, at: at,
			fix: []report.Operation{pint, timeFix("add", 5)},
		},
		{name: "not said", edit: func(r *document.Request) { r.Recipe.Jar = nil }, want: report.Undetermined, at: []string{"/recipe"}},
		{name: "a jar that holds nothing known", edit: func(r *document.Request) { r.Recipe.Jar = &document.Jar{} }, want: report.Undetermined, at: at},
		{
			name: "food measured by the jar", want: report.Fail, at: at,
			edit: both(jar("quart"), func(r *document.Request) {
				line(r, "cucumber").Per, r.Recipe.Follows = document.PerJar, "sweet-gherkin-pickles"
			}),
		},
		{
			name: "spices measured by the jar", want: report.Fail, at: at, fix: []report.Operation{pint},
			edit: both(jar("quart"), func(r *document.Request) { line(r, "turmeric").Per = document.PerJar }),
		},
		{name: "no jar printed", edit: jar("half-gallon"), facts: func(f *facts.Facts) { f.Match.Pack.Largest = nil }, want: report.Pass},
		{name: "refrigerator", edit: both(jar("quart"), refrigerated), want: report.NotApplicable},
	})
	try(t, JarSize(), dills, []ruleCase{
		{name: "the larger of two printed jars", edit: jar("quart"), want: report.Pass},
		{
			name: "larger than both", edit: jar("half-gallon"), want: report.Fail, at: at,
			fix: []report.Operation{operation("replace", "/recipe/jar", "quart"), timeFix("add", 15)},
		},
	})
}

func TestStyle(t *testing.T) {
	packed := func(pack string) func(*document.Request) {
		return func(r *document.Request) { r.Recipe.Pack = pack }
	}
	at := []string{"/recipe/pack"}
	raw := []report.Operation{operation("replace", "/recipe/pack", document.PackRaw)}
	try(t, Style(), gherkins, []ruleCase{
		{name: "raw", want: report.Pass},
		{
			name: "hot", edit: packed(document.PackHot), want: report.Fail, at: at, fix: raw,
			says: "has a time for raw pack only. Pack the jars raw. Note of the table: covered with hot syrup.",
		},
		{name: "cold", edit: packed(document.PackCold), want: report.Fail, at: at, fix: raw},
		{name: "not said", edit: packed(""), want: report.Undetermined, at: []string{"/recipe"}, says: "is packed raw"},
		{name: "none printed", edit: packed(document.PackCold), facts: func(f *facts.Facts) { f.Match.Pack.Styles = nil }, want: report.Pass},
		{name: "refrigerator", edit: both(packed(document.PackCold), refrigerated), want: report.NotApplicable},
	})
	try(t, Style(), base("sauerkraut"), []ruleCase{
		{name: "the first of two printed", edit: packed(document.PackHot), want: report.Pass},
		{name: "the second of two printed", edit: packed(document.PackRaw), want: report.Pass},
		{name: "neither", edit: packed(document.PackCold), want: report.Fail, at: at, fix: []report.Operation{
			operation("replace", "/recipe/pack", document.PackHot),
		}, says: "a time for hot or raw pack only. Pack the jars hot or raw."},
	})
}

// Carrots are cut into rounds of 1/2 in; a tenth more is a knife's doing.
func TestPieceSize(t *testing.T) {
	thick := func(inches float64) func(*document.Request) {
		return func(r *document.Request) { line(r, "carrot").Piece = &document.Piece{Thickness: amount(inches, "in")} }
	}
	sized := func(f *facts.Facts) { f.Match.Departures = withoutFixes(f) }
	try(t, PieceSize(), carrots, []ruleCase{
		{name: "1/2 in", want: report.Pass},
		{name: "less than a tenth more", edit: thick(0.545), want: report.Pass},
		{name: "more than a tenth more", edit: thick(0.56), facts: sized, want: report.Fail, at: []string{"/recipe/ingredients/0"}},
		{name: "refrigerator", edit: both(thick(1), refrigerated), want: report.NotApplicable},
		{name: "food marked as poured away counts", want: report.Pass, edit: func(r *document.Request) {
			line(r, "carrot").Drained, r.Recipe.Follows = new(true), "pickled-carrots"
		}},
		{name: "no food", want: report.NotApplicable, edit: func(r *document.Request) { *line(r, "carrot").Amount.Value = 0 }},
	})
}
