package rules

import (
	"slices"
	"strings"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/match"
	"jarwright/validate/packing"
	"jarwright/validate/report"
)

// jarOf sets what the jar of a recipe of pieces came to.
func jarOf(change func(*match.JarResult)) func(*facts.Facts) {
	return func(f *facts.Facts) { change(&f.Match.Jar) }
}

// The dills of the kitchen, 8 lb in 9 pints, hold 403 g a jar of at most 518.
func TestFoodPerJar(t *testing.T) {
	jars := func(count float64) func(*document.Request) {
		return func(r *document.Request) { r.Recipe.Jars = &count }
	}
	at := []string{"/recipe/jars"}
	try(t, FoodPerJar(), dills, []ruleCase{
		{name: "as printed", want: report.Pass},
		{name: "the fewest jars", edit: jars(7), want: report.Pass},
		{
			name: "fewer", edit: jars(6), want: report.Fail, at: at,
			fix: []report.Operation{operation("replace", "/recipe/jars", 7.0)}, says: "605 g here, at most 518 g there",
		},
		{name: "refrigerator", edit: both(jars(6), refrigerated), want: report.NotApplicable},
	})
	try(t, FoodPerJar(), pieces, []ruleCase{{name: "no tested recipe", want: report.NotApplicable}})
}

// Untested is a warning, more than a fifth over it an error.
func TestFoodPerJarWeighs(t *testing.T) {
	for count, want := range map[float64]report.Severity{6: report.Warning, 5: ""} {
		request := dills(t)
		request.Recipe.Jars = &count
		findings := FoodPerJar().Run(factsOf(t, request))
		if len(findings) != 1 || findings[0].Severity != want {
			t.Errorf("%v jars: %+v, want severity %q", count, findings, want)
		}
	}
}

// Between what a jar surely takes and what it may take there is a word on a spare, where the number of jars stands or else at the lines.
func TestBrineSpareOfPieces(t *testing.T) {
	spare := jarOf(func(j *match.JarResult) {
		j.Spare, j.LiquidML, j.Jars, j.Need = true, 150, 4, packing.Need{Least: 100, Low: 140, High: 200}
	})
	inML := func(value float64) *report.Amount { return &report.Amount{Value: value, Unit: "mL"} }
	try(t, BrineSpare(), dills, []ruleCase{
		{name: "as printed", want: report.Pass},
		{
			name: "a little less than may be taken", facts: spare, want: report.Fail, at: []string{"/recipe/jars"}, measured: inML(600), limit: inML(800),
			says: "makes 2.5 cups (600 mL) of liquid, and its jars may take 3.5 cups (800 mL). Have about 0.75 cup (200 mL) more",
		},
		{
			name: "jars not counted", want: report.Fail, at: []string{"/recipe/ingredients"},
			edit: func(r *document.Request) { r.Recipe.Jars = nil }, facts: spare,
		},
		{name: "not worked out", facts: func(f *facts.Facts) { f.Match.Jar = match.JarResult{Spare: true} }, want: report.Pass},
	})
}

func TestMetricJar(t *testing.T) {
	at := []string{"/recipe/jar"}
	try(t, MetricJar(), gherkins, []ruleCase{
		{name: "a pint", want: report.Pass},
		{name: "500 mL", edit: jar("500-ml"), want: report.Fail, at: at, says: "no publisher has printed minutes for it"},
		{name: "a quart, of which another rule speaks", edit: jar("quart"), want: report.Pass},
	})
	try(t, MetricJar(), dills, []ruleCase{{name: "500 mL where quarts are printed", edit: jar("500-ml"), want: report.Pass}})
}

func TestLiquidRules(t *testing.T) {
	liquid := func(factor float64) func(*document.Request) {
		return func(r *document.Request) {
			for i := range r.Recipe.Ingredients {
				line := &r.Recipe.Ingredients[i]
				poured := slices.Contains([]string{"vinegar", "white vinegar", "water", "sugar"}, line.Item)
				if line.Drained == nil && line.Per == document.PerBatch && poured {
					*line.Amount.Value *= factor
				}
			}
		}
	}
	sugar := func(cups float64) func(*document.Request) {
		return func(r *document.Request) { *line(r, "sugar").Amount.Value = cups }
	}
	for _, c := range []struct {
		name string
		rule Rule
		base func(testing.TB) document.Request
		edit func(*document.Request)
		at   string // empty: nothing to say
		says string
		fix  int
	}{
		{"dills as printed", BrineEnough(), dills, liquid(1), "", "", 0},
		{"half of the brine", BrineEnough(), dills, liquid(0.5), "", "", 0},
		{"a fifth of it", BrineEnough(), dills, liquid(0.2), "/recipe/jars", "a jar that is not full has too little acid", 3}, // the salt was not cut
		{"carrots in half of the liquid", LiquidForFood(), carrots, liquid(0.5), "", "", 0},
		{
			"in two fifths of it", LiquidForFood(), carrots, liquid(0.4), "/recipe/ingredients",
			"too little liquid for the food that is heated in it", 3,
		},
		{"carrots as printed", SweetenedLiquid(), carrots, sugar(2), "", "", 0},
		{"six cups of sugar for two", SweetenedLiquid(), carrots, sugar(6), "/recipe/ingredients/3/amount", "So much sugar makes the liquid 22 % weaker", 0},
	} {
		request := c.base(t)
		c.edit(&request)
		findings := c.rule.Run(factsOf(t, request))
		switch {
		case c.at == "" && len(findings) > 0:
			t.Errorf("%s: %+v", c.name, findings)
		case c.at == "":
		case len(findings) != 1 || findings[0].At != c.at || !strings.Contains(findings[0].Message, c.says) || len(findings[0].Fix) != c.fix:
			t.Errorf("%s: %+v, want %q at %s with %d parts of a fix", c.name, findings, c.says, c.at, c.fix)
		}
	}
}
