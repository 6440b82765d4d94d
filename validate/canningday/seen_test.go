package canningday

import (
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/report"
)

// looked is a look at the seal of the first jar, in place of the good one.
func looked(checks ...document.SealCheck) func(*fixture) {
	return onJar(0, func(j *document.BatchJar) { j.SealChecks = checks })
}

// kept says where the first jar stood.
func kept(stays ...document.Kept) func(*fixture) {
	return onJar(0, func(j *document.BatchJar) { j.Kept = stays })
}

// The signs of a seal (usda-2015, p. 1-25).
func TestSealOf(t *testing.T) {
	for _, test := range []struct {
		check document.SealCheck
		want  seal
	}{
		{document.SealCheck{Center: document.CenterDown}, good},
		{document.SealCheck{Lid: document.LidConcave}, good},
		{document.SealCheck{Ring: document.RingClear}, good},
		{document.SealCheck{Center: document.CenterDown, Ring: document.RingDull}, good},
		{document.SealCheck{Ring: document.RingDull}, unclear},
		{document.SealCheck{}, unclear},
		{document.SealCheck{Center: document.CenterSprings}, failed},
		{document.SealCheck{Center: document.CenterSprings, Ring: document.RingClear, Lid: document.LidConcave}, failed},
		{document.SealCheck{Lid: document.LidFlat}, failed},
		{document.SealCheck{Lid: document.LidFlat, Center: document.CenterDown}, failed},
		{document.SealCheck{Lid: document.LidBulging, Center: document.CenterDown}, failed},
	} {
		if got := sealOf(&test.check); got != test.want {
			t.Errorf("%+v: %v, want %v", test.check, got, test.want)
		}
	}
}

func TestSeen(t *testing.T) {
	down := func(clock string) document.SealCheck {
		return document.SealCheck{At: at(clock), Center: document.CenterDown}
	}
	flat := document.SealCheck{At: at("16 05:00"), Lid: document.LidFlat}
	springs := document.SealCheck{At: at("16 05:00"), Center: document.CenterSprings}
	leaking := func(clock string, leaks bool) document.SealCheck {
		return document.SealCheck{At: at(clock), Center: document.CenterDown, Leaking: &leaks}
	}
	const seal0, time0 = ruleSeal + " fail /batch/jars/0/seal_checks", ruleSealTime + " fail /batch/jars/0/seal_checks"
	const unchecked0, spoiled0 = ruleSealTime + " undetermined /batch/jars", ruleSpoilage + " fail /batch/jars/0"
	first := func(d report.Disposition) []report.Disposition { return jarsFor(d, report.Shelf, report.Shelf) }
	shelf := report.Shelf
	headspace := func(inches float64) func(*fixture) {
		return onJar(0, func(j *document.BatchJar) { j.Headspace = quantity(inches, "in") })
	}
	lost := func(percent float64) func(*fixture) {
		return onJar(0, func(j *document.BatchJar) { j.LiquidLostPercent = &percent })
	}
	for _, test := range []judgment{
		{"looked at after 12 hours", changes{looked(down("16 03:00"))}, nil, allShelf, ""},
		{"a second before 12 hours", changes{looked(down("16 02:59:59"))}, []string{time0}, first(report.Hold), shelf},
		{"after 11 hours", changes{looked(down("16 02:00"))}, []string{time0}, first(report.Hold), shelf},
		{"after 11 and again after 13", changes{looked(down("16 02:00"), down("16 04:00"))}, nil, allShelf, ""},
		{"after days", changes{asOf(at("25 06:00")), looked(down("25 05:00"))}, nil, allShelf, ""},
		{
			"only before the process ended",
			changes{looked(down("14:59"))},
			[]string{time0, ruleRecord + " undetermined /batch/jars/0/seal_checks/0/at"},
			first(report.Hold), shelf,
		},
		{"never looked at", changes{looked()}, []string{unchecked0}, first(report.Hold), shelf},
		{
			"looked at after the question",
			changes{looked(down("16 06:00:01"))},
			[]string{unchecked0, ruleRecord + " undetermined /batch/jars/0"},
			first(report.Hold), shelf,
		},
		{"looked at as the question is asked", changes{looked(down("16 06:00"))}, nil, allShelf, ""},
		{
			"a look whose time cannot be read",
			changes{looked(document.SealCheck{At: "?", Center: document.CenterDown})},
			[]string{unchecked0, ruleRecord + " undetermined /batch/jars/0"},
			first(report.Hold), shelf,
		},
		{"a flat lid", changes{looked(flat)}, []string{seal0}, first(report.Reprocess), shelf},
		{"a springing lid", changes{looked(springs)}, []string{seal0}, first(report.Reprocess), shelf},
		{"good, then flat", changes{looked(down("16 04:00"), flat)}, []string{seal0}, first(report.Reprocess), shelf},
		{
			"springing while warm, then down",
			changes{looked(document.SealCheck{At: at("15:30"), Center: document.CenterSprings}, down("16 04:00"))},
			nil,
			allShelf, "",
		},
		{"leaking while warm", changes{looked(leaking("15:30", true), down("16 04:00"))}, []string{seal0}, first(report.Reprocess), shelf},
		{"leaking when cold", changes{looked(leaking("16 04:00", true))}, []string{seal0}, first(report.Reprocess), shelf},
		{"not leaking", changes{looked(leaking("16 04:00", false))}, nil, allShelf, ""},
		{"bulging", changes{looked(document.SealCheck{At: at("16 04:00"), Lid: document.LidBulging})}, []string{seal0, spoiled0}, first(report.Discard), shelf},
		{
			"bulging while warm",
			changes{looked(document.SealCheck{At: at("15:30"), Lid: document.LidBulging}, down("16 04:00"))},
			[]string{spoiled0},
			first(report.Discard), shelf,
		},
		{
			"no sign written down",
			changes{looked(document.SealCheck{At: at("16 04:00")})},
			[]string{ruleSeal + " undetermined /batch/jars/0/seal_checks"},
			first(report.Hold), shelf,
		},
		{"no sign, and then one", changes{looked(document.SealCheck{At: at("16 04:00")}, down("16 05:00"))}, nil, allShelf, ""},
		{
			"the end of the process not known",
			changes{log(wet("14:50", document.EventBoilReached, 1.5), logged("16 02:30", document.EventJarsOut)), looked(down("16 05:00"))},
			[]string{ruleHeld + " undetermined /batch/events", unchecked0},
			allHold, "",
		},
		{"the whole log in the future", changes{asOf(at("14:10")), func(f *fixture) { f.batch.Events = f.batch.Events[:1] }, looked(down("14:09"))}, []string{
			ruleRecord + " undetermined /batch/events/0/at", ruleHeld + " undetermined /batch/events", ruleCover + " undetermined /batch",
			ruleRecord + " undetermined /batch/jars/1", ruleRecord + " undetermined /batch/jars/2", unchecked0, unchecked0,
		}, allHold, ""},

		{
			"moldy",
			changes{onJar(0, func(j *document.BatchJar) { j.SpoilageSigns = []string{document.SignMold, document.SignMold} })},
			[]string{spoiled0},
			first(report.Discard), shelf,
		},
		{"headspace as printed", changes{headspace(0.5)}, nil, allShelf, ""},
		{"a sixteenth more", changes{headspace(0.5625)}, nil, allShelf, ""},
		{"a sixteenth less", changes{headspace(0.4375)}, nil, allShelf, ""},
		{"more than a sixteenth more", changes{headspace(0.563)}, []string{ruleHeadspace + " fail /batch/jars/0/headspace"}, first(report.Hold), shelf},
		{"more than a sixteenth less", changes{headspace(0.437)}, []string{ruleHeadspace + " fail /batch/jars/0/headspace"}, first(report.Hold), shelf},
		{"headspace where no style is printed", changes{testedRecipe(""), headspace(2)}, nil, allHold, ""},
		{"headspace of jars that need no process", changes{method("none"), headspace(2)}, nil, allHold, ""},
		{
			"headspace not measured in a unit of length",
			changes{onJar(0, func(j *document.BatchJar) { j.Headspace = &document.Quantity{Unit: "in"} })},
			nil,
			allShelf, "",
		},
		{"half the liquid lost", changes{lost(50)}, []string{ruleLiquidLost + " fail /batch/jars/0/liquid_lost_percent"}, first(report.Refrigerate), shelf},
		{"less than half lost", changes{lost(49.9)}, nil, allShelf, ""},
		{"liquid lost without a process", changes{method("none"), lost(80)}, nil, allHold, ""},
		{
			"food out of the liquid",
			changes{onJar(0, func(j *document.BatchJar) { j.FoodCovered = pointerTo(false) })},
			[]string{ruleFoodCovered + " fail /batch/jars/0/food_covered"},
			allShelf, "",
		},
		{"food in the liquid", changes{onJar(0, func(j *document.BatchJar) { j.FoodCovered = pointerTo(true) })}, nil, allShelf, ""},
		{
			"not labeled",
			changes{onJar(0, func(j *document.BatchJar) { j.Labeled = pointerTo(false) })},
			[]string{ruleLabel + " fail /batch/jars/0/labeled"},
			allShelf, "",
		},
		{"labeling not recorded", changes{onJar(0, func(j *document.BatchJar) { j.Labeled = nil })}, nil, allShelf, ""},
	} {
		test.check(t)
	}
}

// Where the tested recipe prints no headspace, none is asked for.
func TestHeadspaceNotPrinted(t *testing.T) {
	facts := changed(onJar(0, func(j *document.BatchJar) { j.Headspace = quantity(2, "in") })).facts()
	facts.Match.Pack.Style = &catalog.TestedPack{}
	if found := findingsOf(Read(facts)); len(found) > 0 {
		t.Errorf("%v", found)
	}
	facts.Match.Pack.Style = nil
	if found := findingsOf(Read(facts)); len(found) > 0 {
		t.Errorf("%v", found)
	}
}

// The figures of what was seen, worked by hand.
func TestFiguresOfTheJars(t *testing.T) {
	down := document.CenterDown
	early := looked(
		document.SealCheck{At: at("18:00"), Center: down}, document.SealCheck{At: at("16 02:12"), Center: down}, document.SealCheck{At: "?", Center: down},
	)
	if f := finding(t, changed(early).day(), ruleSealTime); !sameAmount(f.Measured, 11.2, "h") || !sameAmount(f.Limit, 12, "h") {
		t.Errorf("%+v %+v", f.Measured, f.Limit)
	}
	d := changed(onJar(0, func(j *document.BatchJar) {
		j.Headspace, j.LiquidLostPercent = quantity(1, "in"), pointerTo(62.5)
		j.SpoilageSigns = []string{document.SignSlime, document.SignMold, document.SignOddSmell}
	})).day()
	if f := finding(t, d, ruleHeadspace); !sameAmount(f.Measured, 1, "in") || !sameAmount(f.Limit, 0.5, "in") {
		t.Errorf("%+v %+v", f.Measured, f.Limit)
	}
	if f := finding(t, d, ruleLiquidLost); !sameAmount(f.Measured, 62.5, "%") || !sameAmount(f.Limit, 50, "%") {
		t.Errorf("%+v %+v", f.Measured, f.Limit)
	}
	if f := finding(t, d, ruleSpoilage); f.Message != `Jar "1" shows mold, an odd smell and slime.` {
		t.Errorf("%q", f.Message)
	}
	late := changed(looked(document.SealCheck{At: at("16 05:00"), Lid: document.LidFlat}), asOf(at("16 21:00")),
		kept(document.Kept{From: at("15:06"), Place: document.PlaceRoom})).day()
	f := finding(t, late, ruleWindow)
	if !sameAmount(f.Measured, 30, "h") || !sameAmount(f.Limit, 24, "h") || !strings.Contains(f.Message, "ran out at 2026-08-16 15:00 UTC,") {
		t.Errorf("%+v %+v %q", f.Measured, f.Limit, f.Message)
	}
	waited := finding(t, changed(func(f *fixture) { f.batch.PackedAt = at("13 14:20") }).day(), ruleRecord)
	if !sameAmount(waited.Measured, 48.5, "h") || !sameAmount(waited.Limit, 4, "h") {
		t.Errorf("%+v %+v", waited.Measured, waited.Limit)
	}
}
