package rules

import (
	"reflect"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/match"
	"jarwright/validate/report"
)

// Departures become findings: what could not be told stays so, safe ones say nothing, and the sources of the published
// changes come before that of the tested recipe.
func TestDeparted(t *testing.T) {
	f := factsOf(t, dills(t))
	one, _ := f.Tables.Change("c001")
	fix := []report.Operation{operation("add", "/recipe", 1)}
	f.Match.Departures = []match.Departure{
		{Rule: "a.rule", Verdict: match.Safe, What: "nothing"},
		{
			Rule: "a.rule", Verdict: match.Unsafe, At: "/a", What: "too much water.", Remedy: "Less.", Fix: fix,
			Measured: inPH(1), Limit: inPH(2), Changes: []string{"c001", "no such change"},
		},
		{Rule: "another.rule", Verdict: match.Unsafe, What: "not this rule's"},
		{Rule: "a.rule", Verdict: match.Untested, At: "/b", What: "untested"},
		{Rule: "a.rule", Verdict: match.Undetermined, At: "/c", What: "not known"},
	}
	got := departed(f, "a.rule")
	if len(got) != 3 || got[0].Outcome != report.Fail || got[1].Outcome != report.Fail || got[2].Outcome != report.Undetermined {
		t.Fatalf("%+v", got)
	}
	first := got[0]
	if first.At != "/a" || first.Message != "Too much water." || first.Remedy != "Less." || !reflect.DeepEqual(first.Fix, fix) ||
		first.Measured.Value != 1 || first.Limit.Value != 2 || len(first.Changes) != 2 {
		t.Errorf("%+v", first)
	}
	if want := []catalog.Citation{one.Citation, f.Match.Recipe.Citation}; !reflect.DeepEqual(first.Sources, want) {
		t.Errorf("sources %+v, want %+v", first.Sources, want)
	}
}

// Whoever asks why is told the tolerances that the departures were judged with.
func TestDepartedTellsTolerances(t *testing.T) {
	f := factsOf(t, dills(t))
	f.Lookups = &facts.Lookups{}
	departed(f, match.RulePublishedRatio)
	if list := f.Lookups.Limits(); len(list) == 0 || len(list) != len(match.TolerancesOf(match.RulePublishedRatio)) {
		t.Errorf("%+v", list)
	}
}

// A cook who follows a tested recipe to the letter breaks no rule.
func TestFollowedRecipesBreakNoRule(t *testing.T) {
	for _, id := range []string{
		"quick-fresh-pack-dill-pickles", "sweet-gherkin-pickles", "bread-and-butter-pickles-limed", "pickled-beets", "tomato-salsa-paste-tomatoes",
		"dill-pickles-fermented", "pickled-carrots", "marinated-peppers", "tomato-ketchup",
	} {
		t.Run(id, func(t *testing.T) {
			f := factsOf(t, tested(t, id))
			all := All()
			for i := range all {
				outcome, findings := judged(&all[i], f)
				if all[i].Severity == report.Error && outcome != report.Pass && outcome != report.NotApplicable {
					t.Errorf("%s: %s: %+v", all[i].ID, outcome, findings)
				}
			}
		})
	}
}

// Every rule is in the list once, with an id of its family.
func TestAll(t *testing.T) {
	seen := map[string]bool{}
	for _, rule := range All() {
		if seen[rule.ID] || rule.ID == "" || rule.Applies == nil || rule.Run == nil || rule.Since < since {
			t.Errorf("%q: twice, or not whole", rule.ID)
		}
		seen[rule.ID] = true
	}
	if r := untested(document.Ingredient{Item: "potato", Per: document.PerBatch}); !forShelf(factsOf(t, r)) || matched(factsOf(t, r)) {
		t.Error("a recipe that no tested one is like is for the shelf and not matched")
	}
}
