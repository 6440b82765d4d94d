package canningday

import (
	"slices"
	"strings"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/report"
)

// What the recipe comes to bounds what its jars can be.
func TestVerdictOnRecipe(t *testing.T) {
	recipe := func(d report.Disposition, because ...string) func(*fixture) {
		return func(f *fixture) { f.recipe = Recipe{Disposition: d, Because: because} }
	}
	flat := looked(document.SealCheck{At: at("16 05:00"), Lid: document.LidFlat})
	short := heatOff("14:55")
	for _, test := range []struct {
		name    string
		changes changes
		jars    []report.Disposition
		because []string // of the first jar
	}{
		{"held", changes{recipe(report.Hold, "acid.no-acid")}, allHold, []string{"acid.no-acid"}},
		{"matched by none", changes{recipe(report.Hold)}, allHold, []string{"process.published-match"}},
		{"held, a jar not sealed", changes{recipe(report.Hold, "acid.no-acid"), flat}, allHold, []string{"acid.no-acid"}},
		{
			"held, a jar not sealed, too late and warm",
			changes{recipe(report.Hold, "acid.no-acid"), flat, asOf(at("17 15:00")), kept(document.Kept{From: at("15:06"), Place: document.PlaceRoom})},
			jarsFor(report.Discard, report.Hold, report.Hold),
			[]string{ruleSeal, ruleWindow},
		},
		{"held and too short", changes{recipe(report.Hold, "acid.no-acid"), short}, allHold, []string{"acid.no-acid", ruleHeld}},
		{
			"held, too short, too late and warm",
			changes{recipe(report.Hold, "acid.no-acid"), short, asOf(at("17 15:00")), kept(document.Kept{From: at("15:06"), Place: document.PlaceRoom})},
			jarsFor(report.Discard, report.Hold, report.Hold),
			[]string{ruleHeld, ruleWindow},
		},
		{
			"held, liquid lost",
			changes{recipe(report.Hold, "acid.no-acid"), onJar(0, func(j *document.BatchJar) { j.LiquidLostPercent = pointerTo(80.0) })},
			allHold,
			[]string{"acid.no-acid"},
		},
		{"too short", changes{short}, allReprocess, []string{ruleHeld}},
		{"too short and not sealed", changes{short, flat}, allReprocess, []string{ruleHeld, ruleSeal}},
		{"too short, the day of the window", changes{short, asOf("2026-08-16")}, allHold, []string{ruleHeld, ruleWindow}},
		{
			"too short, long in the refrigerator",
			changes{short, asOf(at("21 15:00")), kept(document.Kept{From: at("16 05:30"), Place: document.PlaceRefrigerator})},
			jarsFor(report.Discard, report.Hold, report.Hold),
			[]string{ruleHeld, "keeping.refrigerated-until"},
		},
		{
			"acid in doubt, in the refrigerator",
			changes{readings(meter(value(4.58))), kept(document.Kept{From: at("16 05:30"), Place: document.PlaceRefrigerator})},
			jarsFor(report.Refrigerate, report.Hold, report.Hold),
			[]string{rulePH},
		},
		{"under-acid and not sealed, too late", changes{readings(meter(value(5))), flat}, allHold, []string{rulePH, ruleWindow}},
		{
			"opened",
			changes{onJar(0, func(j *document.BatchJar) { j.OpenedAt = at("16 05:30") })},
			jarsFor(report.Refrigerate, report.Shelf, report.Shelf),
			[]string{"process.published-match", ruleHeld, ruleCover, ruleSealTime, ruleSeal},
		},
		{
			"opened and not sealed",
			changes{flat, onJar(0, func(j *document.BatchJar) { j.OpenedAt = at("16 05:30") })},
			jarsFor(report.Reprocess, report.Shelf, report.Shelf),
			[]string{ruleSeal},
		},
		{"steam", changes{method(document.MethodSteam)}, allShelf, []string{"process.published-match", ruleHeld, ruleSealTime, ruleSeal}},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := changed(test.changes...).report()
			if got := dispositions(r); !slices.Equal(got, test.jars) || !slices.Equal(r.Jars[0].Because, test.because) {
				t.Errorf("%v because of %v, want %v because of %v", got, r.Jars[0].Because, test.jars, test.because)
			}
			worst := slices.MaxFunc(test.jars, func(a, b report.Disposition) int { return rank(a) - rank(b) })
			if r.Disposition != worst {
				t.Errorf("the day is %s, its worst jar %s", r.Disposition, worst)
			}
		})
	}
}

// hasEvidence asks for each piece itself.
func TestHasEvidence(t *testing.T) {
	for name, test := range map[string]struct {
		change func(*Day)
		want   bool
	}{
		"all":                    {func(*Day) {}, true},
		"no process of its kind": {func(d *Day) { d.requirement.applies = false }, false},
		"minutes not known":      {func(d *Day) { d.requirement.known = false }, false},
		"no minutes":             {func(d *Day) { d.requirement.time = 0 }, false},
		"packing not known":      {func(d *Day) { d.packed.Known = false }, false},
		"elevation not known":    {func(d *Day) { d.facts.Elevation = nil }, false},
		"no load":                {func(d *Day) { d.jars[0].last = nil }, false},
		"end not known":          {func(d *Day) { d.jars[0].ended.Known = false }, false},
		"no level":               {func(d *Day) { d.jars[0].last.levels = nil }, false},
		"no level, in steam":     {func(d *Day) { d.jars[0].last.levels, d.requirement.depth = nil, 0 }, true},
		"too short":              {func(d *Day) { d.requirement.time += 2 * d.timeTolerance() }, false},
		"within the rounding":    {func(d *Day) { d.requirement.time += d.timeTolerance() }, true},
		"packed in the boil":     {func(d *Day) { d.packed.Time = d.jars[0].last.boils[0].from.Add(1) }, false},
		"packed as it boils":     {func(d *Day) { d.packed.Time = d.jars[0].last.boils[0].from }, true},
		"a contradiction":        {func(d *Day) { d.jars[0].last.disorder = make([]disorder, 1) }, false},
	} {
		t.Run(name, func(t *testing.T) {
			d := goodDay().day()
			test.change(d)
			if got := d.hasEvidence(0); got != test.want {
				t.Errorf("%s: %v", name, got)
			}
		})
	}
	d := goodDay().day()
	d.requirement.known = false
	if v := d.bestCase(0, Recipe{Disposition: report.Shelf}); v.disposition != report.Hold || !slices.Equal(v.because, []string{ruleRecord}) {
		t.Errorf("%+v", v)
	}
}

// A jar without the evidence of its own seal is not fit for the shelf, whatever was found.
func TestShelfNeedsTheSealItself(t *testing.T) {
	for name, change := range map[string]func(*jar){
		"unclear": func(j *jar) { j.seal = unclear }, "no look": func(j *jar) { j.checked.Known = false }, "no load": func(j *jar) { j.first = nil },
	} {
		t.Run(name, func(t *testing.T) {
			d := goodDay().day()
			change(&d.jars[0])
			if v := d.judge(0, Recipe{Disposition: report.Shelf}); v.disposition != report.Hold || !slices.Equal(v.because, []string{ruleSeal}) {
				t.Errorf("%s: %+v", name, v)
			}
		})
	}
}

func recipeHeld(f *fixture) {
	f.recipe = Recipe{Disposition: report.Hold, Because: []string{"acid.no-acid"}}
}

// logOfA puts the log into load A, and the jars that name none.
func logOfA(f *fixture) {
	f.batch.Events = inLoad("A", f.batch.Events...)
	allIn("A")(f)
}

// The batch is as good as its best jar.
func TestBatchIsItsBestJar(t *testing.T) {
	r := changed(onJar(0, func(j *document.BatchJar) { j.Load = "B" }), logOfA).report()
	if r.Batch.Disposition != report.Shelf || r.Disposition != report.Hold || r.Jars[0].Load != "" || r.Jars[1].Load != "A" {
		t.Errorf("batch %s, day %s", r.Batch.Disposition, r.Disposition)
	}
	differ := changed(recipeHeld, onJar(1, func(j *document.BatchJar) { j.Load = "B" })).report()
	if !slices.Equal(differ.Batch.Because, []string{"acid.no-acid"}) {
		t.Errorf("%v", differ.Batch.Because)
	}
	doubts := changed(fewJars(2), onJar(0, func(j *document.BatchJar) { j.Load = "B" }), logOfA, readings(meter(value(4.58)))).report()
	if want := []string{ruleRecord, ruleHeld, ruleCover, rulePH}; !slices.Equal(doubts.Batch.Because, want) {
		t.Errorf("of equal jars the first counts: %v, want %v", doubts.Batch.Because, want)
	}
	late := changed(heatOff("14:55"), asOf(at("17 15:00")), fewJars(1), kept(document.Kept{From: at("15:06"), Place: document.PlaceRoom}), mountainZone).report()
	if late.Batch.Disposition != report.Discard || !slices.Equal(late.Batch.Because, []string{ruleHeld}) || late.Batch.UTCOffset != "-06:00" {
		t.Errorf("%+v", late.Batch)
	}
}

func TestSummary(t *testing.T) {
	flat := looked(document.SealCheck{At: at("16 05:00"), Lid: document.LidFlat})
	for _, test := range []struct {
		name, text, next string
		changes          changes
	}{
		{"all alike", "Of 3 jars: all fit for the shelf.", "By 2027-08-15, jars 1, 2, 3: Use it; refrigerate it after opening.", nil},
		{
			"the worst first", "Of 3 jars: 1 to process again (jar 1); 2 fit for the shelf (jars 2, 3).", "By 2026-08-16 15:00 UTC, jar 1: Look at the rim",
			changes{flat},
		},
		{"one jar", "The jar: fit for the shelf.", "By 2027-08-15, jar 1: Use it", changes{fewJars(1)}},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := changed(test.changes...).report()
			if text, next := Summary(&r); text != test.text || !strings.HasPrefix(next, test.next) {
				t.Errorf("%q %q", text, next)
			}
		})
	}
	if _, next := Summary(&report.Report{Jars: []report.Jar{{ID: "1", Disposition: report.Shelf}}}); next != "There is nothing to do." {
		t.Errorf("%q", next)
	}
}

// Whatever a rule of error severity finds on a jar keeps that jar from the shelf, also one that the verdicts know nothing of.
func TestNothingGraveBesideTheShelf(t *testing.T) {
	for _, test := range []struct {
		name string
		jars []int
		want []report.Disposition
	}{
		{"on one jar", []int{1}, jarsFor(report.Shelf, report.Hold, report.Shelf)},
		{"on all", nil, allHold},
		{"on none", []int{}, allShelf},
	} {
		for _, outcome := range []report.Outcome{fail, undetermined} {
			t.Run(test.name+", "+string(outcome), func(t *testing.T) {
				for severe, want := range map[bool][]report.Disposition{true: test.want, false: allShelf} {
					d := goodDay().day()
					d.find("batch.made-up", test.jars, outcome, "/batch", "It is so.", "Put it right.")
					var r report.Report
					d.Complete(Recipe{Disposition: report.Shelf, Grave: map[string]bool{"batch.made-up": severe}}, &r)
					if got := dispositions(r); !slices.Equal(got, want) {
						t.Errorf("severe %v: %v, want %v", severe, got, want)
					}
					for _, jar := range r.Jars {
						if jar.Disposition == report.Hold && !slices.Equal(jar.Because, []string{"batch.made-up"}) {
							t.Errorf("because of %v", jar.Because)
						}
					}
				}
			})
		}
	}
}
