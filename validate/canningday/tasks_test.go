package canningday

import (
	"slices"
	"strings"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/report"
)

// tasksOf lists the tasks of a report as "at|by|jars|first words".
func tasksOf(r report.Report) []string {
	var all []string
	for _, t := range r.Next {
		words := strings.Fields(t.What)
		all = append(all, t.At+"|"+t.By+"|"+strings.Join(t.Jars, ",")+"|"+strings.Join(words[:min(4, len(words))], " "))
	}
	return all
}

func unlabeled(f *fixture) {
	for i := range f.batch.Jars {
		f.batch.Jars[i].Labeled = nil
	}
}

func TestTasks(t *testing.T) {
	flat := looked(document.SealCheck{At: at("16 05:00"), Lid: document.LidFlat})
	refrigerator := document.Kept{From: at("16 05:30"), Place: document.PlaceRefrigerator}
	freezer := document.Kept{From: at("16 05:30"), Place: document.PlaceFreezer}
	attic := func(fahrenheit float64) document.Kept {
		return document.Kept{From: at("16 05:30"), Place: document.PlaceRoom, Temperature: quantity(fahrenheit, "F")}
	}
	const use = "|2027-08-15|1|Use it; refrigerate it"
	const put = "|Put it into the"
	one := fewJars(1)
	for _, test := range []struct {
		name    string
		changes changes
		want    []string
	}{
		{"on the shelf", changes{one}, []string{use}},
		{"on the shelf, all jars in one task", nil, []string{"|2027-08-15|1,2,3|Use it; refrigerate it"}},
		{"to be labeled a day after the process", changes{one, unlabeled}, []string{at("16 15:00") + "||1|Take the ring band", use}},
		{
			"to be labeled after a late look",
			changes{one, unlabeled, looked(document.SealCheck{At: at("16 20:00"), Lid: document.LidConcave}), asOf(at("17 06:00"))},
			[]string{at("16 20:00") + "||1|Take the ring band", use},
		},
		{
			"days by the clocks of the labels",
			changes{one, mountainZone, func(f *fixture) { f.batch.PackedAt = at("05:59"); f.AsOf = at("16 06:00") }, atDawn},
			[]string{"|2027-08-14|1|Use it; refrigerate it"},
		},
		{"to be used first", changes{one, onJar(0, func(j *document.BatchJar) { j.LiquidLostPercent = pointerTo(1.0) })}, []string{"||1|Do not open it", use}},
		{
			"no liquid lost",
			changes{one, onJar(0, func(j *document.BatchJar) { j.LiquidLostPercent = pointerTo(0.0); j.FoodCovered = pointerTo(true) })},
			[]string{use},
		},
		{"food out of the liquid", changes{one, onJar(0, func(j *document.BatchJar) { j.FoodCovered = pointerTo(false) })}, []string{"||1|Do not open it", use}},
		{"ready in 4 weeks", changes{one, testedRecipe(breadAndButter)}, []string{"2026-09-12||1|It has stood long", use}},
		{"ready since a second", changes{one, testedRecipe(breadAndButter), asOf("2026-09-12T00:00:00Z")}, []string{use}},
		{"ready in a second", changes{one, testedRecipe(breadAndButter), asOf("2026-09-11T23:59:59Z")}, []string{"2026-09-12||1|It has stood long", use}},
		{"95 °F", changes{one, kept(attic(95))}, []string{use}},
		{"just above 95 °F, rounded", changes{one, kept(attic(95.18))}, []string{use}},
		{"96 °F", changes{one, kept(attic(96))}, []string{"||1|Move it to a", use}},
		{
			"100 °F in the refrigerator",
			changes{one, kept(document.Kept{From: at("16 05:30"), Place: document.PlaceRefrigerator, Temperature: quantity(100, "F")})},
			[]string{use},
		},

		{"to process again", changes{one, flat}, []string{"|" + at("16 15:00") + "|1|Look at the rim"}},
		{
			"to throw away",
			changes{one, onJar(0, func(j *document.BatchJar) { j.SpoilageSigns = []string{document.SignMold} })},
			[]string{"||1|Throw it away unopened"},
		},
		{"to eat from the refrigerator", changes{one, flat, kept(refrigerator), asOf(at("17 05:00"))}, []string{"|" + at("19 05:30") + "|1|Eat it from the"}},
		{"to keep frozen", changes{one, flat, kept(freezer), asOf(at("17 05:00"))}, []string{"||1|Keep it frozen, and"}},
		{"to chill", changes{one, onJar(0, func(j *document.BatchJar) { j.LiquidLostPercent = pointerTo(50.0) })}, []string{"|" + at("16 15:00") + "|1" + put}},
		{"opened, to chill at once", changes{one, onJar(0, func(j *document.BatchJar) { j.OpenedAt = at("16 05:30") })}, []string{"||1" + put}},
		{"opened and cold", changes{one, kept(refrigerator), onJar(0, func(j *document.BatchJar) { j.OpenedAt = at("16 05:30") })}, nil},
		{
			"opened, to be labeled",
			changes{one, unlabeled, kept(refrigerator), onJar(0, func(j *document.BatchJar) { j.OpenedAt = at("16 05:30") })},
			[]string{at("16 15:00") + "||1|Take the ring band"},
		},

		{"to be looked at", changes{one, looked()}, []string{at("16 03:00") + "|" + at("16 15:00") + "|1|Check the seal: press"}},
		{
			"to be looked at in the last moment",
			changes{one, looked(), asOf(at("16 15:00"))},
			[]string{at("16 03:00") + "|" + at("16 15:00") + "|1|Check the seal: press"},
		},
		{"to be looked at after its day", changes{one, looked(), asOf(at("16 15:00:01"))}, []string{at("16 03:00") + "||1|Check the seal: press"}},
		{"to be looked at, the end of the process not known", changes{one, looked(), log(wet("14:50", document.EventBoilReached, 1.5))}, []string{
			"|" + at("16 14:05") + "|1" + put, "|" + at("16 14:05") + "|1|Log when the boil",
		}},
		{
			"not known, in time",
			changes{one, looked(document.SealCheck{At: at("16 05:00")})},
			[]string{"|" + at("16 15:00") + "|1" + put, "|" + at("16 15:00") + "|1|Press the center, tap"},
		},
		{
			"not known, too late",
			changes{one, looked(document.SealCheck{At: at("16 05:00")}), asOf(at("16 15:00:01"))},
			[]string{"||1|Do not eat from", "||1|Press the center, tap"},
		},
		{
			"the remedy of the rule",
			changes{one, onJar(0, func(j *document.BatchJar) { j.Headspace = quantity(1, "in") })},
			[]string{"|" + at("16 15:00") + "|1" + put, "|" + at("16 15:00") + "|1|Remedy of the rule."},
		},
		{
			"the recipe to put right",
			changes{one, func(f *fixture) { f.recipe = Recipe{Disposition: report.Hold, Because: []string{"acid.no-acid"}} }},
			[]string{"|" + at("16 15:00") + "|1" + put, "|" + at("16 15:00") + "|1|Put right what this"},
		},
		{
			"the recipe matched by none",
			changes{one, func(f *fixture) { f.recipe = Recipe{Disposition: report.Hold} }},
			[]string{"|" + at("16 15:00") + "|1" + put, "|" + at("16 15:00") + "|1|Put right what this"},
		},
		{
			"to measure again",
			changes{one, readings(meter(func(r *document.PHReading) { r.At = at("15:05") })), asOf(at("16 06:00"))},
			[]string{"|" + at("16 15:00") + "|1" + put, at("16 14:05") + "||1|Measure again after 2026-08-16"},
		},
		{"two jars with different tasks", changes{fewJars(2), flat}, []string{"|" + at("16 15:00") + "|1|Look at the rim", "|2027-08-15|2|Use it; refrigerate it"}},
		{"a recipe for the refrigerator", changes{one, coldDay}, []string{"|2026-09-15|1|Eat it from the"}},
		{"a recipe for the refrigerator, not there yet", changes{one, coldDay, kept()}, []string{"||1" + put, "|2026-09-15|1|Eat it from the"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := tasksOf(changed(test.changes...).report())
			want := slices.Clone(test.want)
			slices.Sort(want)
			sorted := slices.Sorted(slices.Values(got))
			if !slices.Equal(sorted, want) {
				t.Errorf("to do is\n%q, want\n%q", got, test.want)
			}
		})
	}
}

// What has no limit comes first, then what has to be done soonest; of equals, what ends sooner.
func TestTasksAreInTheOrderOfTime(t *testing.T) {
	r := changed(unlabeled, looked(document.SealCheck{At: at("16 05:00"), Lid: document.LidFlat}),
		onJar(
			1, func(j *document.BatchJar) { j.SpoilageSigns = []string{document.SignMold} },
		), onJar(2, func(j *document.BatchJar) { j.FoodCovered = pointerTo(false) })).report()
	want := []string{
		"||2|Throw it away unopened", "||3|Do not open it", "|" + at("16 15:00") + "|1|Look at the rim", at("16 15:00") + "||3|Take the ring band",
		"|2027-08-15|3|Use it; refrigerate it",
	}
	if got := tasksOf(r); !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}

// A thing to do for several jars at the same times is one task; each jar stands in it once.
func TestTasksJoin(t *testing.T) {
	none := document.Time{}
	noon, night := document.KnownTime(minutesIn(12*60)), document.KnownTime(minutesIn(24*60))
	var all tasks
	all.add(0, none, none, "Wait.")
	all.add(1, none, none, "Wait.")
	all.add(1, none, none, "Wait.")
	all.add(1, noon, none, "Wait.")
	all.add(1, none, noon, "Wait.")
	all.add(1, none, night, "Wait.")
	all.add(2, noon, none, "Wait.")
	all.add(2, none, none, "Go.")
	if len(all.all) != 5 || !slices.Equal(all.all[0].jars, []int{0, 1}) || !slices.Equal(all.all[1].jars, []int{1, 2}) {
		t.Errorf("%+v", all.all)
	}
	when := []bool{all.all[0].when().Equal(earliest), all.all[1].when().Equal(noon.Time), all.all[2].when().Equal(noon.Time), all.all[3].when().Equal(night.Time)}
	if slices.Contains(when, false) {
		t.Errorf("%v", when)
	}
	both := task{at: noon.Time, by: night.Time}
	if !both.when().Equal(noon.Time) {
		t.Errorf("%s", both.when())
	}
}

// Words that depend on what is known.
func TestWordsOfTasks(t *testing.T) {
	flat := looked(document.SealCheck{At: at("16 05:00"), Lid: document.LidFlat})
	for name, test := range map[string]struct {
		f    *fixture
		want string
	}{
		"minutes to process": {changed(fewJars(1), flat), "process again for 10 minutes;"},
		"minutes not known":  {changed(fewJars(1), flat, func(f *fixture) { f.batch.Elevation = nil }), "process again for the whole time;"},
		"days in the cold": {
			changed(fewJars(1), onJar(0, func(j *document.BatchJar) { j.LiquidLostPercent = pointerTo(50.0) })),
			"4 °C) or colder. Eat it within 3 days of that.",
		},
		"no days without faults": {
			changed(fewJars(1), onJar(0, func(j *document.BatchJar) { j.OpenedAt = at("16 05:30") })),
			"Put it into the refrigerator, at 40 °F (4 °C) or colder.",
		},
	} {
		t.Run(name, func(t *testing.T) {
			what := test.f.report().Next[0].What
			if !strings.Contains(what, test.want) || name == "no days without faults" && what != test.want {
				t.Errorf("%s: %q, want %q", name, what, test.want)
			}
		})
	}
}
