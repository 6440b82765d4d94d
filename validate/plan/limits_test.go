package plan

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

func TestLoadsHoldAllJars(t *testing.T) {
	for _, test := range []struct {
		jars, perLoad float64
		want          []float64
	}{
		{1, 7, []float64{1}},
		{7, 7, []float64{7}},
		{8, 7, []float64{7, 1}},
		{20, 9, []float64{9, 9, 2}},
		{3, 1, []float64{1, 1, 1}},
		{5, 100, []float64{5}},
	} {
		t.Run(fmt.Sprintf("%g jars, %g a load", test.jars, test.perLoad), func(t *testing.T) {
			if got := loads(test.jars, test.perLoad); !slices.Equal(got, test.want) {
				t.Errorf("%v, want %v", got, test.want)
			}
		})
	}
}

// beetsWith is a request for a plan of pickled beets with a canner of one's own.
func beetsWith(t *testing.T, p *Planner, target document.Target, perLoad float64) document.PlanRequest {
	t.Helper()
	request := beets(t, p, target)
	request.Canner = &document.Canner{JarsPerLoad: &perLoad}
	return request
}

// The most that is named is a thousand jars, a hundred loads and ten tonnes of food, whichever comes first.
func TestLimitsOfOnePlan(t *testing.T) {
	p := newPlanner(t, always(report.Refrigerate))
	for _, test := range []struct {
		name    string
		perLoad float64
		target  document.Target
		most    float64 // 0: taken
	}{
		{"a thousand jars", 10, document.Target{Jars: &document.JarsGoal{Count: 1000}}, 0},
		{"one more", 10, document.Target{Jars: &document.JarsGoal{Count: 1001}}, 1000},
		{"a hundred loads", 9, document.Target{Jars: &document.JarsGoal{Count: 900}}, 0},
		{"a jar more", 9, document.Target{Jars: &document.JarsGoal{Count: 901}}, 900},
		{"one jar a load", 1, document.Target{Jars: &document.JarsGoal{Count: 1000}}, 100},
		{"a factor for 1,000 jars", 10, document.Target{Factor: new(125.0)}, 0}, // of 8 jars
		{"a factor for more", 10, document.Target{Factor: new(126.0)}, 125},
		{"500 quarts in pints", 10, document.Target{Volume: quantityOf(500, "qt")}, 0},
		{"a quart more", 10, document.Target{Volume: quantityOf(501, "qt")}, 500},
		{"875 lb of beets, 7 lb in 8 jars", 10, document.Target{Produce: &document.Produce{Amount: *quantityOf(875, "lb")}}, 0},
		{"beets for a jar more", 10, document.Target{Produce: &document.Produce{Amount: *quantityOf(876, "lb")}}, 875},
	} {
		t.Run(test.name, func(t *testing.T) {
			request := beetsWith(t, p, test.target, test.perLoad)
			plan, errors := p.Plan(nil, &request)
			if test.most == 0 {
				if len(errors) > 0 || len(plan.Canner.Loads) > 100 || plan.Jars.Count > 1000 {
					t.Errorf("%+v, %g jars", errors, plan.Jars.Count)
				}
				return
			}
			if len(errors) != 1 || errors[0].Code != ingest.CodeOutOfRange || math.Abs(*errors[0].Params.Most-test.most) > 1e-9 {
				t.Fatalf("%+v, want at most %g", errors, test.most)
			}
		})
	}
}

// Food is counted in all: what a thousand jars have in each of them is more than the batch says.
func TestFoodOfOnePlan(t *testing.T) {
	p := newPlanner(t, always(report.Refrigerate))
	request := beetsWith(t, p, document.Target{Jars: &document.JarsGoal{Count: 1000}}, 10)
	ingredients := slices.Clone(request.Recipe.Ingredients[:1])
	ingredients[0].Amount = quantityOf(1.9, "kg")
	ingredients[0].Per = document.PerJar
	for range 5 { // six lines of 1,900 kg are more than ten tonnes; each alone is not more than an amount may be
		ingredients = append(ingredients, ingredients[0])
	}
	request.Recipe.Ingredients = ingredients
	_, errors := p.Plan(nil, &request)
	if len(errors) != 1 || errors[0].Pointer != "/target/jars/count" || math.Abs(*errors[0].Params.Most-877) > 1 { // 10,000 kg in 1,000 × 11.4 kg
		t.Errorf("%+v", errors)
	}
	ingredients[0].Amount = quantityOf(2.5, "kg")
	request.Recipe.Ingredients = ingredients[:1]
	if _, errors = p.Plan(nil, &request); len(errors) != 1 || errors[0].Params.Got != 2500.0 {
		t.Errorf("2,500 kg of one line: %+v", errors)
	}
}

func TestFiguresAreRoundedToTheirSide(t *testing.T) {
	for _, test := range []struct{ value, down, up float64 }{
		{0, 0, 0},
		{18.5185, 18.5, 18.6},
		{111.111, 111, 112},
		{0.0123456, 0.0123, 0.0124},
		{123456, 123000, 124000},
		{2.5, 2.5, 2.5},
	} {
		t.Run(fmt.Sprint(test.value), func(t *testing.T) {
			if down, up := roundedTo(test.value, math.Floor), roundedTo(test.value, math.Ceil); down != test.down || up != test.up {
				t.Errorf("%g and %g, want %g and %g", down, up, test.down, test.up)
			}
		})
	}
}

// A time of the clock counts from the year 100 to the year 9900, so that four digits always do.
func TestYearsOfOnePlan(t *testing.T) {
	p := newPlanner(t, always(report.Shelf))
	for text, taken := range map[string]bool{
		"0000-01-01T00:00": false, "0001-01-01T00:00": false, "0099-12-31T23:59": false, "0100-01-01T00:00": true,
		"9900-12-31T23:59": true, "9901-01-01T00:00": false, "9999-12-31T23:59": false,
	} {
		for _, side := range []string{"/start", "/finish"} {
			t.Run(text+side, func(t *testing.T) {
				request := beets(t, p, document.Target{Factor: new(1.0)})
				request.Start = text
				if side == "/finish" {
					request.Start, request.Finish = "", text
				}
				request.Recipe.Rest = quantityOf(36, "mo")
				plan, errors := p.Plan(nil, &request)
				if taken != (len(errors) == 0) || !taken && (errors[0].Pointer != side || errors[0].Code != ingest.CodeOutOfRange) {
					t.Fatalf("%+v", errors)
				}
				for _, step := range plan.Timetable {
					if at := step.At; len(at) != len("2026-08-15T09:00") && len(at) != len("2026-08-15") {
						t.Errorf("%s at %q", step.ID, at)
					}
				}
			})
		}
	}
}
