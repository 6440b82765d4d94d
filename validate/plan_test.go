package validate

import (
	"encoding/json"
	"fmt"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/plan"
	"jarwright/validate/report"
)

func planFor(t *testing.T, request document.PlanRequest) plan.Plan {
	t.Helper()
	body, err := json.Marshal(request)
	if err != nil {
		t.Fatal(err)
	}
	made, problem := checker.Plan(nil, body)
	if problem != nil {
		t.Fatalf("refused: %+v\n%s", problem, body)
	}
	return made
}

// sizes are the goals that the corpus is scaled to: factors, and every number of jars from 1 to 40.
func sizes() map[string]document.Target {
	all := map[string]document.Target{}
	for _, factor := range []float64{0.5, 2, 3.7} {
		all[fmt.Sprintf("x%v", factor)] = document.Target{Factor: new(factor)}
	}
	for count := 1.0; count <= 40; count++ {
		if *full || count < 4 || int(count)%9 == 4 {
			all[fmt.Sprintf("%v jars", count)] = document.Target{Jars: &document.JarsGoal{Count: count}}
		}
	}
	return all
}

// TestScalingKeepsTheAnswer scales every tested recipe in every printed pack and jar, done right and with each unsafe
// change: disposition and findings stay, and no rounding takes acid from the food.
func TestScalingKeepsTheAnswer(t *testing.T) {
	plans := 0
	for i, v := range variants(t) {
		if !*full && i%11 != 0 {
			continue
		}
		var request document.Request
		if err := json.Unmarshal(v.body, &request); err != nil {
			t.Fatal(err)
		}
		if request.Recipe.Jars == nil || request.Recipe.Jar == nil {
			continue
		}
		before := check(t, request)
		for name, target := range sizes() {
			made := planFor(t, document.PlanRequest{Recipe: request.Recipe, Kitchen: request.Kitchen, Assume: request.Assume, Target: target})
			plans++
			after := check(t, made.Request)
			if !made.SameAnswer || after.Disposition != before.Disposition || !sameFindings(before, after) {
				t.Errorf("%s, %s: %s became %s\n%v\n%v", v.name, name, before.Disposition, after.Disposition, outcomesOf(before), outcomesOf(after))
			}
			keepsAcid(t, v.name+", "+name, &request, &made)
		}
	}
	t.Logf("%d plans", plans)
}

func sameFindings(a, b report.Report) bool {
	return fmt.Sprint(outcomesOf(a)) == fmt.Sprint(outcomesOf(b))
}

func outcomesOf(r report.Report) []string {
	list := []string{}
	for _, f := range r.Findings {
		list = append(list, f.Rule+" "+string(f.Outcome)+" "+f.At)
	}
	return list
}

// keepsAcid holds line against line: in whatever unit and system, no acid is below the factor and no low-acid food above.
func keepsAcid(t *testing.T, name string, before *document.Request, made *plan.Plan) {
	t.Helper()
	const slack = 1e-6 // a third of a cup in six decimals
	was := composition.Read(before, checker.tables, checker.scale)
	is := composition.Read(&made.Request, checker.tables, checker.scale)
	for i := range was.Lines {
		line := &was.Lines[i]
		if line.State != composition.Given || line.Value == 0 {
			continue
		}
		share := is.Lines[i].Value / line.Value
		factor := made.Factor
		if line.PerJar {
			factor = 1
		}
		switch {
		case line.Class == catalog.Acid && share < factor*(1-slack):
			t.Errorf("%s: %s is %v times the recipe, the plan %v", name, line.Name, share, factor)
		case line.Class == catalog.LowAcid && share > factor*(1+slack):
			t.Errorf("%s: %s is %v times the recipe, the plan %v", name, line.Name, share, factor)
		}
	}
	for _, in := range made.Ingredients {
		var line *composition.Line
		for i := range was.Lines {
			if was.Lines[i].At == in.At {
				line = &was.Lines[i]
			}
		}
		if line.State != composition.Given || in.Batch == nil || in.Batch.Household.Unit == "" || line.Class != catalog.Acid && line.Class != catalog.LowAcid {
			continue
		}
		want := line.Value * made.Factor
		if line.PerJar {
			want = line.Value * made.Jars.Count
		}
		for _, amount := range []struct {
			value float64
			unit  string
		}{{in.Batch.Household.Value, in.Batch.Household.Unit}, {in.Batch.Metric.Value, in.Batch.Metric.Unit}} {
			unit, _ := checker.units.Lookup(amount.unit)
			if unit.Dimension != line.Unit.Dimension {
				continue // cups of food, weighed
			}
			got := line.Unit.From(unit.SI(amount.value))
			if line.Class == catalog.Acid && got < want*(1-slack) || line.Class == catalog.LowAcid && got > want*(1+slack) {
				t.Errorf("%s: %s reads %v %s for %v %s", name, line.Name, amount.value, amount.unit, want, line.Unit.Code)
			}
		}
	}
}
