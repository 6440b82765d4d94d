package validate

import (
	"slices"
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/report"
)

// onShelf lists each tested recipe in its first printed pack and jar that is fit for the shelf when it is followed to the letter.
func onShelf(t *testing.T) (list []printed, requests []document.Request) {
	t.Helper()
	for _, p := range everyPrinted() {
		if len(list) > 0 && list[len(list)-1].recipe == p.recipe && list[len(list)-1].pack == p.pack {
			continue
		}
		request, timed := p.request(t, 500, false)
		if timed && p.recipe.Canner == "boiling_water" && check(t, request).Disposition == report.Shelf {
			list, requests = append(list, p), append(requests, request)
		}
	}
	if len(list) < 80 {
		t.Fatalf("only %d recipes are fit when they are followed", len(list))
	}
	return list, requests
}

// alone is the request with one of its steps changed and no other, but for a ferment, which has to be said.
func alone(request document.Request, i int, change func(*document.Step)) document.Request {
	step := request.Recipe.Steps[i]
	change(&step)
	var steps []document.Step
	for j := range request.Recipe.Steps {
		switch other := &request.Recipe.Steps[j]; {
		case j == i:
			steps = append(steps, step)
		case other.Step == document.StepFerment:
			steps = append(steps, *other)
		}
	}
	request.Recipe.Steps = steps
	return request
}

// among is the request with one of its steps changed among all others.
func among(request document.Request, i int, change func(*document.Step)) document.Request {
	request.Recipe.Steps = slices.Clone(request.Recipe.Steps)
	change(&request.Recipe.Steps[i])
	return request
}

// TestStepsOfEveryRecipe says each step of every tested recipe as printed, which keeps the shelf, and against the print, which
// takes it wherever the step matters for safety.
func TestStepsOfEveryRecipe(t *testing.T) {
	tried := map[string]int{}
	list, requests := onShelf(t)
	for at, p := range list {
		for i := range requests[at].Recipe.Steps {
			name := requests[at].Recipe.Steps[i].Step
			kind, _ := checker.tables.StepKind(name)
			safety := slices.ContainsFunc(p.recipe.Steps, func(s catalog.PrintedStep) bool {
				return s.Step == name && s.MattersFor == catalog.MattersForSafety
			})
			say := func(what string, shelf bool, change func(*document.Step)) {
				tried[what]++
				if r := check(t, among(requests[at], i, change)); (r.Disposition == report.Shelf) != shelf {
					t.Errorf("%s, %s, %s: %s %v", p, name, what, r.Disposition, spoken(r))
				}
				if r := check(t, alone(requests[at], i, change)); shelf && r.Disposition != report.Shelf {
					t.Errorf("%s, %s alone, %s: %s %v", p, name, what, r.Disposition, spoken(r))
				}
			}
			say("as printed", true, func(*document.Step) {})
			say("done", true, func(s *document.Step) { s.Done = new(true) })
			short := *requests[at].Recipe.Process.Time.Value < 10 || name != "sterile_jars"
			say("left out", !safety || !short, func(s *document.Step) { s.Done = new(false) })
			if time := requests[at].Recipe.Steps[i].Time; time != nil {
				say("longer", true, func(s *document.Step) { s.Time = q(*time.Value*1.2, time.Unit) })
				say("half as long", !safety, func(s *document.Step) { s.Time = q(*time.Value*0.5, time.Unit) })
				say("no time", !safety, func(s *document.Step) { s.Time = q(0, time.Unit) })
			}
			if requests[at].Recipe.Steps[i].Place != "" {
				say("in a room", !safety, func(s *document.Step) { s.Place = document.StepPlaceRoom })
			}
			if kind.Heat != catalog.HeatNotSaid {
				say("cold", !safety, func(s *document.Step) { s.Temperature = q(70, "F") })
				say("boiling", true, func(s *document.Step) { s.Temperature = q(212, "F") })
			}
			if name == document.StepFerment {
				say("too cool", false, func(s *document.Step) { s.Temperature = q(45, "F") })
				say("too warm", false, func(s *document.Step) { s.Temperature = q(95, "F") })
				say("how warm left unsaid", false, func(s *document.Step) { s.Temperature = nil })
				say("how long left unsaid", false, func(s *document.Step) { s.Time = nil })
			}
		}
	}
	t.Log(tried)
	for what, least := range map[string]int{"as printed": 300, "half as long": 90, "left out": 300, "in a room": 5, "cold": 200, "too warm": 2} {
		if tried[what] < least {
			t.Errorf("%s: only %d tried", what, tried[what])
		}
	}
}

// A name of a step that a tested recipe does not have is reported and never forgiven anything: whatever is said of steps, no bad recipe
// becomes fit.
func TestStepsHelpNothing(t *testing.T) {
	_, requests := onShelf(t)
	for at := range requests {
		request := requests[at]
		request.Recipe.Headspace = q(2, "in")
		for _, kind := range checker.tables.StepKinds {
			request.Recipe.Steps = append(slices.Clone(requests[at].Recipe.Steps), document.Step{Step: kind.Name, Done: new(true)})
			if len(request.Recipe.Steps) > 100 {
				t.Fatal("more steps than a request may have")
			}
			if at%20 == 0 {
				if r := check(t, request); r.Disposition == report.Shelf {
					t.Errorf("%s made %s fit", kind.Name, request.Recipe.Name)
				}
			}
		}
	}
}

// TestFermentsAsk leaves the steps of each ferment out: one question, with the printed weeks and temperatures.
func TestFermentsAsk(t *testing.T) {
	asked := 0
	list, requests := onShelf(t)
	for at, p := range list {
		if p.recipe.Kind != document.KindFermented {
			continue
		}
		asked++
		requests[at].Recipe.Steps = nil
		r := check(t, requests[at])
		var questions []report.Finding
		for _, f := range r.Findings {
			if f.Outcome == report.Undetermined {
				questions = append(questions, f)
			}
		}
		if r.Disposition != report.Hold || len(questions) != 1 || questions[0].Rule != "process.steps" ||
			!strings.Contains(questions[0].Message, "3 to 4 weeks at 70 to 75 °F") || !strings.Contains(questions[0].Message, "or 5 to 6 weeks") {
			t.Errorf("%s: %s, asks %+v", p, r.Disposition, questions)
		}
	}
	if asked < 3 {
		t.Errorf("only %d ferments", asked)
	}
}

// TestMarksNeverHelp marks each line of every tested recipe as poured away: the shelf stays only where the recipe prints it so, or
// where a spice is lifted out, which then counts as in the jar. Each mark is listed.
func TestMarksNeverHelp(t *testing.T) {
	tried, kept := 0, map[catalog.Class]int{}
	list, requests := onShelf(t)
	for at, p := range list {
		for i := range requests[at].Recipe.Ingredients {
			request := requests[at]
			request.Recipe.Ingredients = slices.Clone(request.Recipe.Ingredients)
			line := &request.Recipe.Ingredients[i]
			if line.Drained != nil {
				continue
			}
			line.Drained = new(true)
			tried++
			r := check(t, request)
			read := composition.Read(&request, checker.tables, checker.scale) // a dried chile is a spice
			if class := read.Lines[i].Class; r.Disposition == report.Shelf {
				kept[class]++
				if !slices.Contains([]catalog.Class{catalog.Seasoning, catalog.FreshHerb}, class) {
					t.Errorf("%s: %s marked: still %s", p, line.Item, r.Disposition)
				}
			}
			listed := func(a report.Assumption) bool {
				return strings.HasPrefix(a.At, "/recipe/ingredients/") && strings.HasSuffix(a.At, "/drained") && strings.Contains(a.What, line.Item)
			}
			if !slices.ContainsFunc(r.Meta.Assumed, listed) {
				t.Errorf("%s: %s marked: not listed in %+v", p, line.Item, r.Meta.Assumed)
			}
		}
	}
	t.Logf("%d marks, of which the shelf was kept: %v", tried, kept)
	if tried < 500 {
		t.Errorf("only %d marks", tried)
	}
}

// TestMarkedAdditions puts food, fat, starch and eggs into every tested recipe and marks them as poured away: none is fit, and
// what is wrong is named.
func TestMarkedAdditions(t *testing.T) {
	list, requests := onShelf(t)
	additions := []struct {
		line document.Ingredient
		rule string
	}{
		{document.Ingredient{Item: "black beans", Form: "canned, drained and rinsed", Amount: q(4, "cup")}, "ingredient.low-acid-extra"},
		{document.Ingredient{Item: "bacon", Form: "chopped", Amount: q(1, "lb")}, "ingredient.low-acid-extra|ingredient.unknown"},
		{document.Ingredient{Item: "egg", Form: "hard-cooked", Amount: q(6, "each")}, "ingredient.egg"},
		{document.Ingredient{Item: "olive oil", Amount: q(1, "cup")}, "ingredient.fat|ingredient.poured-away"},
		{document.Ingredient{Item: "cornstarch", Amount: q(0.5, "cup")}, "ingredient.thickener|ingredient.poured-away"},
		{document.Ingredient{Item: "flour", Amount: q(0.5, "cup")}, "ingredient.thickener|ingredient.poured-away"},
	}
	for at, p := range list {
		for _, addition := range additions {
			request := requests[at]
			line := addition.line
			line.Per, line.Drained = document.PerBatch, new(true)
			request.Recipe.Ingredients = append(slices.Clone(request.Recipe.Ingredients), line)
			if r := check(t, request); r.Disposition == report.Shelf || !speaks(r, addition.rule) {
				t.Errorf("%s with %s: %s %v", p, line.Item, r.Disposition, spoken(r))
			}
		}
	}
}

// TestNoRemedyTeachesPouringAway looks for advice to pour anything away or to mark it so, in every report of an addition.
func TestNoRemedyTeachesPouringAway(t *testing.T) {
	_, requests := onShelf(t)
	for at := range requests {
		for _, item := range []string{"water", "salt", "black beans", "olive oil", "flour", "egg", "tomato juice", "vinegar"} {
			request := requests[at]
			request.Recipe.Ingredients = append(slices.Clone(request.Recipe.Ingredients), document.Ingredient{Item: item, Amount: q(3, "cup"), Per: document.PerBatch})
			for _, f := range check(t, request).Findings {
				if strings.Contains(strings.ReplaceAll(f.Remedy, "mark (drained) off", ""), "drained") || strings.Contains(f.Remedy, "pour it away") {
					t.Errorf("%s: %s", f.Rule, f.Remedy)
				}
				for _, op := range f.Fix {
					if strings.HasSuffix(op.Path, "/drained") {
						t.Errorf("%s mends by %+v", f.Rule, op)
					}
				}
			}
		}
	}
}

// TestFollowsForgivesNothing leaves the liquid that covers the food out of each tested recipe that prints one, and names the recipe.
func TestFollowsForgivesNothing(t *testing.T) {
	var tried []string
	list, requests := onShelf(t)
	for at, p := range list {
		for i := range requests[at].Recipe.Ingredients {
			line := &requests[at].Recipe.Ingredients[i]
			if line.Amount.Unit != "to_cover" || line.Drained != nil {
				continue
			}
			request := requests[at]
			request.Recipe.Follows = p.recipe.ID
			request.Recipe.Ingredients = slices.Delete(slices.Clone(request.Recipe.Ingredients), i, i+1)
			tried = append(tried, p.String())
			r := check(t, request)
			if r.Disposition == report.Shelf || !speaks(r, "process.published-match") {
				t.Errorf("%s without its liquid: %s %v", p, r.Disposition, spoken(r))
			}
		}
	}
	t.Log(tried)
	if len(tried) < 4 {
		t.Errorf("only %q", tried)
	}
}
