package plan

import (
	"fmt"
	"slices"
	"testing"

	"jarwright/validate/budget"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/follow"
	"jarwright/validate/ingest"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// newPlanner makes a planner on the real tables that asks a judge of the test.
func newPlanner(t *testing.T, judge Judge) *Planner {
	t.Helper()
	tables, err := catalog.Load()
	if err != nil {
		t.Fatal(err)
	}
	units, err := measure.LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	scale, err := composition.NewScale(tables, units)
	if err != nil {
		t.Fatal(err)
	}
	planner, err := New(tables, units, scale, judge)
	if err != nil {
		t.Fatal(err)
	}
	return planner
}

// always is a judge that gives every recipe the same disposition.
func always(disposition report.Disposition) Judge {
	return func(*budget.Budget, *document.Request) report.Report { return report.Report{Disposition: disposition} }
}

// beets is a request for a plan of pickled beets in pints: 7 lb of beets, 4 cups of vinegar, 2 cups of water, 8 jars (Complete
// Guide, 2015, p. 6-15).
func beets(t *testing.T, p *Planner, target document.Target) document.PlanRequest {
	t.Helper()
	recipe, ok := p.tables.Recipe("pickled-beets")
	if !ok {
		t.Fatal("no pickled beets")
	}
	followed, err := follow.Request(p.tables, recipe, follow.Choice{Jar: "pint", Minutes: 30})
	if err != nil {
		t.Fatal(err)
	}
	return document.PlanRequest{Recipe: followed.Recipe, Kitchen: followed.Kitchen, Target: target}
}

func made(t *testing.T, p *Planner, request document.PlanRequest) Plan {
	t.Helper()
	plan, errors := p.Plan(nil, &request)
	if len(errors) > 0 {
		t.Fatalf("no plan: %+v", errors)
	}
	return plan
}

func quantityOf(value float64, unit string) *document.Quantity {
	return &document.Quantity{Value: &value, Unit: unit}
}

func TestSizeReachesTheTarget(t *testing.T) {
	p := newPlanner(t, always(report.Hold))
	for _, test := range []struct {
		name         string
		target       document.Target
		jars, factor float64
	}{
		{"twice the recipe", document.Target{Factor: new(2.0)}, 16, 2},
		{"a factor whose last jar is not full", document.Target{Factor: new(0.55)}, 5, 0.55},
		{"less than one jar", document.Target{Factor: new(0.01)}, 1, 0.01},
		{"twelve jars", document.Target{Jars: &document.JarsGoal{Count: 12}}, 12, 1.5},
		{"four jars of twice the size", document.Target{Jars: &document.JarsGoal{Count: 4, Jar: &document.Jar{ID: "quart"}}}, 4, 1},
		{"the volume of four jars", document.Target{Volume: quantityOf(2, "qt")}, 4, 0.5},
		{"a little less than that", document.Target{Volume: quantityOf(1.99, "qt")}, 3, 0.375},
		{"half of the produce", document.Target{Produce: &document.Produce{Amount: *quantityOf(3.5, "lb")}}, 4, 0.5},
		{"a little less than that", document.Target{Produce: &document.Produce{Amount: *quantityOf(3.49, "lb")}}, 3, 0.375},
		{"the vinegar of one recipe, less the 1 % that rounding may take", document.Target{Vinegar: quantityOf(4, "cup")}, 7, 0.875},
		{"that and the 1 %", document.Target{Vinegar: quantityOf(4.04, "cup")}, 8, 1},
	} {
		t.Run(test.name, func(t *testing.T) {
			plan := made(t, p, beets(t, p, test.target))
			if plan.Jars.Count != test.jars || plan.Factor != tidy(test.factor) {
				t.Errorf("%g jars at %g times the recipe, want %g at %g", plan.Jars.Count, plan.Factor, test.jars, test.factor)
			}
		})
	}
}

func TestUnreachableTargetsAreRefused(t *testing.T) {
	p := newPlanner(t, always(report.Hold))
	for _, test := range []struct {
		name          string
		target        document.Target
		pointer, code string
	}{
		{"not one jar of volume", document.Target{Volume: quantityOf(15.9, "fl_oz")}, "/target/volume", ingest.CodeTooSmall},
		{"not one jar of vinegar", document.Target{Vinegar: quantityOf(0.5, "cup")}, "/target/vinegar", ingest.CodeTooSmall},
		{
			"produce that the recipe does not have",
			document.Target{Produce: &document.Produce{Item: "okra", Amount: *quantityOf(9, "lb")}},
			"/target/produce/item", ingest.CodeNotAllowed,
		},
		{
			"produce without a number",
			document.Target{Produce: &document.Produce{Amount: document.Quantity{Unit: "lb"}}},
			"/target/produce/amount", ingest.CodeNotAllowed,
		},
		{"a jar that no table has", document.Target{Jars: &document.JarsGoal{Count: 2, Jar: &document.Jar{ID: "bucket"}}}, "/target/jars/jar", ingest.CodeNotAllowed},
	} {
		t.Run(test.name, func(t *testing.T) {
			request := beets(t, p, test.target)
			plan, errors := p.Plan(nil, &request)
			if len(errors) != 1 || errors[0].Pointer != test.pointer || errors[0].Code != test.code {
				t.Errorf("%+v, %s; want %s at %s", errors, plan.Summary, test.code, test.pointer)
			}
		})
	}
}

func TestPlanAsksForWhatItNeeds(t *testing.T) {
	p := newPlanner(t, always(report.Hold))
	for _, test := range []struct {
		name   string
		change func(*document.PlanRequest)
		want   []string
	}{
		{"no jar", func(r *document.PlanRequest) { r.Recipe.Jar = nil }, []string{"missing_member /recipe"}},
		{"no number of jars", func(r *document.PlanRequest) { r.Recipe.Jars = nil }, []string{"missing_member /recipe"}},
		{"start and finish", func(r *document.PlanRequest) { r.Start, r.Finish = "2026-08-15T09:00", "2026-08-15T18:00" }, []string{"not_allowed /finish"}},
		{"a day that does not exist", func(r *document.PlanRequest) { r.Start = "2026-02-30T09:00" }, []string{"bad_format /start"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			request := beets(t, p, document.Target{Factor: new(1.0)})
			test.change(&request)
			_, errors := p.Plan(nil, &request)
			var got []string
			for _, e := range errors {
				got = append(got, e.Code+" "+e.Pointer)
			}
			if !slices.Equal(got, test.want) {
				t.Errorf("%q, want %q", got, test.want)
			}
		})
	}
}

// Rounding is given up step by step as soon as a measure would change the answer.
func TestAmountsAreRoundedOnlyAsFarAsTheAnswerStays(t *testing.T) {
	exact := 7 * 1.1 // pounds of beets
	for _, test := range []struct {
		name string
		most float64 // pounds that rounding may take before the judge objects
	}{{"any measure will do", 1}, {"kitchen measures change the answer", 0.01}, {"only the exact amount keeps the answer", 1e-12}} {
		t.Run(test.name, func(t *testing.T) {
			judge := func(_ *budget.Budget, r *document.Request) report.Report {
				beets := *r.Recipe.Ingredients[0].Amount.Value
				if *r.Recipe.Jars > 8 && (beets < exact-test.most || beets > exact+test.most) {
					return report.Report{Disposition: report.Hold}
				}
				return report.Report{Disposition: report.Refrigerate}
			}
			p := newPlanner(t, judge)
			plan := made(t, p, beets(t, p, document.Target{Factor: new(1.1)}))
			if got := *plan.Request.Recipe.Ingredients[0].Amount.Value; got > exact+1e-9 || got < exact-test.most-1e-9 || !plan.SameAnswer {
				t.Errorf("%g lb for %g, same answer %v", got, exact, plan.SameAnswer)
			}
		})
	}
}

// Where the jar that is not full changes the answer, only the full jars are made.
func TestUnfilledJarIsLeftOutWhereItChangesTheAnswer(t *testing.T) {
	judge := func(_ *budget.Budget, r *document.Request) report.Report {
		if *r.Recipe.Jars == 5 {
			return report.Report{Disposition: report.Hold}
		}
		return report.Report{Disposition: report.Refrigerate}
	}
	p := newPlanner(t, judge)
	plan := made(t, p, beets(t, p, document.Target{Factor: new(0.55)}))
	if plan.Jars.Count != 4 || plan.Factor != 0.5 || !plan.Jars.LastFull || !plan.SameAnswer {
		t.Errorf("%g jars at %g times the recipe, last full %v, same answer %v", plan.Jars.Count, plan.Factor, plan.Jars.LastFull, plan.SameAnswer)
	}
}

func TestOnlyAFitRecipeHasATimetable(t *testing.T) {
	for _, test := range []struct {
		disposition report.Disposition
		hours       bool
	}{{report.Shelf, true}, {report.Refrigerate, true}, {report.Hold, false}} {
		t.Run(string(test.disposition), func(t *testing.T) {
			p := newPlanner(t, always(test.disposition))
			plan := made(t, p, beets(t, p, document.Target{Factor: new(1.0)}))
			if (len(plan.Timetable) > 0) != test.hours || (plan.Label != nil) != test.hours {
				t.Errorf("%d steps, label %+v", len(plan.Timetable), plan.Label)
			}
		})
	}
}

func TestSameAnswerComparesWhatMustBeDone(t *testing.T) {
	base := func() report.Report {
		return report.Report{
			Disposition: report.Hold, Process: &report.Process{Recipe: "a"},
			Findings: []report.Finding{{Rule: "r", Outcome: report.Fail, At: "/recipe", Message: "7 lb"}},
		}
	}
	for _, test := range []struct {
		name   string
		change func(*report.Report)
		same   bool
	}{
		{"nothing", func(*report.Report) {}, true},
		{"figures in a message", func(r *report.Report) { r.Findings[0].Message = "14 lb" }, true},
		{"the disposition", func(r *report.Report) { r.Disposition = report.Shelf }, false},
		{"one finding fewer", func(r *report.Report) { r.Findings = nil }, false},
		{"the outcome of a finding", func(r *report.Report) { r.Findings[0].Outcome = report.Undetermined }, false},
		{"the place of a finding", func(r *report.Report) { r.Findings[0].At = "/kitchen" }, false},
		{"the rule of a finding", func(r *report.Report) { r.Findings[0].Rule = "s" }, false},
		{"the tested recipe", func(r *report.Report) { r.Process.Recipe = "b" }, false},
		{"no tested recipe", func(r *report.Report) { r.Process = nil }, false},
	} {
		t.Run(test.name, func(t *testing.T) {
			changed := base()
			test.change(&changed)
			if got := sameAnswer(base(), changed); got != test.same {
				t.Errorf("same answer %v, want %v", got, test.same)
			}
		})
	}
}

// Acid is rounded up and what it has to reach down, so that there is never less acid for the food.
func TestSideOfRounding(t *testing.T) {
	fermented, brined := &document.Recipe{Kind: document.KindFermented}, &document.Recipe{Kind: document.KindBrined}
	for _, test := range []struct {
		line   composition.Line
		recipe *document.Recipe
		want   measure.Side
	}{
		{composition.Line{Class: catalog.Acid}, brined, measure.Up},
		{composition.Line{Class: catalog.LowAcid}, brined, measure.Down},
		{composition.Line{Class: catalog.Egg}, brined, measure.Down},
		{composition.Line{Class: catalog.FreshHerb}, brined, measure.Down},
		{composition.Line{Class: catalog.Fat}, brined, measure.Down},
		{composition.Line{Class: catalog.Thickener}, brined, measure.Down},
		{composition.Line{Class: catalog.Water, InJar: true}, brined, measure.Down},
		{composition.Line{Class: catalog.Water}, brined, measure.Nearest},
		{composition.Line{Class: catalog.Ice, InJar: true}, brined, measure.Down},
		{composition.Line{Class: catalog.Salt}, brined, measure.Nearest},
		{composition.Line{Class: catalog.Salt}, fermented, measure.Up},
		{composition.Line{Class: catalog.Sugar}, brined, measure.Nearest},
	} {
		t.Run(fmt.Sprintf("%s in a %s recipe, in the jar %v", test.line.Class, test.recipe.Kind, test.line.InJar), func(t *testing.T) {
			if got := side(&test.line, test.recipe); got != test.want {
				t.Errorf("rounded %s, want %s", got, test.want)
			}
		})
	}
}
