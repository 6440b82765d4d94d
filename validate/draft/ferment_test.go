package draft_test

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/validate/document"
)

// A ferment becomes a step for each end of a range of temperatures, with the least time; no more than ten do, and none that no
// kitchen has.
func TestFermentsAreSteps(t *testing.T) {
	words := func(steps ...string) string {
		text := ""
		for _, s := range drafted(t, recipe(t, []string{"5 lb cabbage", "3 tbsp salt"}, steps...)).Request.Recipe.Steps {
			text += s.Step
			for _, q := range []*document.Quantity{s.Time, s.Temperature} {
				if q != nil {
					text += fmt.Sprint(" ", *q.Value, q.Unit)
				}
			}
			text += "; "
		}
		return text
	}
	for step, want := range map[string]string{
		"Ferment 3 to 4 weeks at 70 to 75 °F.": "ferment 3wk 70F; ferment 3wk 75F; ",
		"Ferment 3 weeks at 70 to 70 °F.":      "ferment 3wk 70F; ",
		"Ferment 6 weeks at 16 °C.":            "ferment 6wk 16C; ",
		"Ferment 5 days.":                      "ferment 5d; ",
		"Ferment 999 months.":                  "",
		"Never ferment 5 days.":                "",
		"Simmer 5 minutes.":                    "",
	} {
		if got := words(step); got != want {
			t.Errorf("%s: %q, want %q", step, got, want)
		}
	}
	many := make([]string, 12)
	for i := range many {
		many[i] = "Ferment 5 days."
	}
	if got := strings.Count(words(many...), "ferment"); got != 10 {
		t.Errorf("%d steps of twelve", got)
	}
}
