package catalog

import (
	"fmt"
	"slices"
	"testing"
)

// A spot check of steps.csv against the guide, p. 6-8 and 6-16, and of how names of steps are judged.
func TestSteps(t *testing.T) {
	tables := loadTables(t)
	kraut, _ := tables.Recipe("sauerkraut")
	var ferments []string
	for _, step := range kraut.Steps {
		if step.Step == "ferment" {
			ferments = append(ferments, fmt.Sprintln(*step.Value, *step.ValueMax, step.Unit, *step.TemperatureF, *step.TemperatureMax, step.MattersFor))
		}
	}
	if want := []string{"3 4 wk 70 75 safety\n", "5 6 wk 60 65 safety\n"}; !slices.Equal(ferments, want) {
		t.Errorf("kraut ferments %q, want %q", ferments, want)
	}
	carrots, _ := tables.Recipe("pickled-carrots")
	if step := carrots.Steps[1]; len(carrots.Steps) != 3 || step.Step != "simmer" || *step.Value != 10 || step.ValueMax != nil || step.TemperatureF != nil {
		t.Errorf("carrots: %+v", carrots.Steps)
	}
	rings, _ := tables.Recipe("pickled-jalapeno-rings")
	if step := rings.Steps[0]; step.Place != "refrigerator" || !step.Pours || rings.Steps[3].Pours {
		t.Errorf("rings: %+v", rings.Steps)
	}
	with := 0
	for i := range tables.Recipes {
		if len(tables.Recipes[i].Steps) > 0 {
			with++
		}
	}
	if with < 101 { // the recipes of the first rule set; steps of one that is added are added with it
		t.Errorf("%d recipes demand steps", with)
	}
	soak, found := tables.StepKind("lime_soak")
	if want := (StepKind{Name: "lime_soak", Words: "soaking in lime", Judged: StepAct, Time: true, Place: true}); !found || *soak != want {
		t.Errorf("%+v", soak)
	}
	if kind, _ := tables.StepKind("ferment"); kind.Judged != StepFerment || !kind.Time || !kind.Temperature || !kind.Place {
		t.Errorf("%+v", kind)
	}
	if _, found := tables.StepKind("juggle"); found {
		t.Error("juggling is a step")
	}
}
