package canningday

import (
	"slices"
	"strings"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/report"
)

// foundBelow lists what a rule says of a place and of those below it.
func foundBelow(d *Day, place string) []string {
	var found []string
	for i := range d.findings {
		if f := &d.findings[i]; strings.HasPrefix(f.At, place) {
			found = append(found, f.At+": "+f.Message)
		}
	}
	return found
}

// What is wrong again and again on one jar is told three times and then counted, and the jar comes to the same.
func TestWhatIsAlikeOnOneJarIsCounted(t *testing.T) {
	early := func(n int) func(*fixture) {
		return onJar(1, func(j *document.BatchJar) {
			checks := slices.Repeat([]document.SealCheck{{At: at("14:55"), Center: document.CenterDown}}, n)
			j.SealChecks = append(checks, j.SealChecks...)
		})
	}
	warm := func(n int) func(*fixture) {
		return onJar(1, func(j *document.BatchJar) {
			stays := []document.Kept{
				{From: at("15:30"), Place: document.PlaceRoom},
				{From: at("15:40"), Place: document.PlaceRefrigerator, Temperature: quantity(60, "F")},
			}
			j.Kept = slices.Repeat(stays, (n+1)/2)[:n]
		})
	}
	for _, test := range []struct {
		name    string
		changes func(n int) changes
		place   string
		last    string // of fifty
	}{
		{
			"seals looked at too early", func(n int) changes { return changes{early(n)} }, "/batch/jars/1/seal_checks",
			"/batch/jars/1/seal_checks: Further checks of the seal before the process ended: 47.",
		},
		{
			"places that were too warm", func(n int) changes { return changes{coldDay, warm(n)} }, "/batch/jars/1/kept",
			`/batch/jars/1/kept: Further times at which jar "2" stood too warm: 47.`,
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			verdict := func(n int) (found []string, disposition report.Disposition) {
				f := changed(test.changes(n)...)
				return foundBelow(f.day(), test.place), f.report().Jars[1].Disposition
			}
			one, disposition := verdict(1)
			if len(one) != 1 {
				t.Fatalf("of one: %q", one)
			}
			if three, _ := verdict(3); len(three) != 3 {
				t.Errorf("of three: %q", three)
			}
			fifty, same := verdict(50)
			if len(fifty) != 4 || fifty[3] != test.last || same != disposition {
				t.Errorf("of fifty: %q; the jar comes to %s, with one to %s", fifty, same, disposition)
			}
		})
	}
}
