package canningday

import (
	"slices"
	"strings"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/report"
)

// The window of 24 hours (usda-2015, p. 1-26) ends at 15:00 on the 16th, a day after the heat was off.
func TestWindow(t *testing.T) {
	flat := looked(document.SealCheck{At: at("16 05:00"), Lid: document.LidFlat})
	refrigerator := func(clock string) document.Kept {
		return document.Kept{From: at(clock), Place: document.PlaceRefrigerator}
	}
	freezer := func(clock string) document.Kept {
		return document.Kept{From: at(clock), Place: document.PlaceFreezer}
	}
	room := func(clock string) document.Kept { return document.Kept{From: at(clock), Place: document.PlaceRoom} }
	const seal0, late0, open0 = ruleSeal + " fail /batch/jars/0/seal_checks", ruleWindow + " fail /batch/jars/0", ruleWindow + " undetermined /batch/jars/0"
	const eatenLate0, eatenOpen0 = "keeping.refrigerated-until fail /batch/jars/0", "keeping.refrigerated-until undetermined /batch/jars/0"
	first := func(d report.Disposition) []report.Disposition { return jarsFor(d, report.Shelf, report.Shelf) }
	shelf := report.Shelf
	for _, test := range []judgment{
		{"in the last moment", changes{flat, asOf(at("16 15:00"))}, []string{seal0}, first(report.Reprocess), shelf},
		{"a second too late, place not known", changes{flat, asOf(at("16 15:00:01"))}, []string{seal0, open0}, first(report.Hold), shelf},
		{"a second too late, warm", changes{flat, asOf(at("16 15:00:01")), kept(room("15:06"))}, []string{seal0, late0}, first(report.Discard), shelf},
		{"in time, warm", changes{flat, asOf(at("16 15:00")), kept(room("15:06"))}, []string{seal0}, first(report.Reprocess), shelf},
		{"in time, cold", changes{flat, asOf(at("16 15:00")), kept(refrigerator("16 06:00"))}, []string{seal0}, first(report.Reprocess), shelf},
		{"cold in the last moment", changes{flat, asOf(at("17 15:00")), kept(refrigerator("16 15:00"))}, []string{seal0}, first(report.Refrigerate), shelf},
		{"cold a second too late", changes{flat, asOf(at("17 15:00")), kept(refrigerator("16 15:00:01"))}, []string{seal0, late0}, first(report.Discard), shelf},
		{
			"cold and taken out again",
			changes{flat, asOf(at("17 15:00")), kept(refrigerator("16 06:00"), room("16 07:00"))},
			[]string{seal0, late0},
			first(report.Discard), shelf,
		},
		{
			"cold, out, and cold in time",
			changes{flat, asOf(at("17 15:00")), kept(refrigerator("16 06:00"), room("16 07:00"), refrigerator("16 08:00"))},
			[]string{seal0},
			first(report.Refrigerate), shelf,
		},
		{
			"cold and warm at one moment",
			changes{flat, asOf(at("17 15:00")), kept(room("16 06:00"), refrigerator("16 06:00"))},
			[]string{seal0, late0},
			first(report.Discard), shelf,
		},
		{
			"frozen and cold at one moment",
			changes{flat, asOf(at("25 15:00")), kept(refrigerator("16 06:00"), freezer("16 06:00"))},
			[]string{seal0, eatenLate0},
			first(report.Discard), shelf,
		},
		{"frozen", changes{flat, asOf(at("25 15:00")), kept(refrigerator("16 06:00"), freezer("16 07:00"))}, []string{seal0}, first(report.Refrigerate), shelf},
		{
			"thawed three days ago",
			changes{flat, asOf(at("25 15:00")), kept(freezer("16 07:00"), refrigerator("22 15:00"))},
			[]string{seal0},
			first(report.Refrigerate), shelf,
		},
		{
			"thawed more than three days ago",
			changes{flat, asOf(at("25 15:00")), kept(freezer("16 07:00"), refrigerator("22 14:59:59"))},
			[]string{seal0, eatenLate0},
			first(report.Discard), shelf,
		},
		{
			"eaten within three days",
			changes{flat, asOf(at("19 06:00")), kept(refrigerator("16 06:00"), refrigerator("17 06:00"))},
			[]string{seal0},
			first(report.Refrigerate), shelf,
		},
		{
			"not eaten within three days",
			changes{flat, asOf(at("19 06:00:01")), kept(refrigerator("16 06:00"), refrigerator("17 06:00"))},
			[]string{seal0, eatenLate0},
			first(report.Discard), shelf,
		},
		{
			"a place in the future",
			changes{flat, asOf(at("16 15:00:01")), kept(refrigerator("16 15:00:02"))},
			[]string{seal0, open0, ruleRecord + " undetermined /batch/jars/0"},
			first(report.Hold), shelf,
		},
		{
			"a place whose time cannot be read",
			changes{flat, asOf(at("16 15:00:01")), kept(document.Kept{From: "?", Place: document.PlaceRoom})},
			[]string{seal0, open0, ruleRecord + " undetermined /batch/jars/0"},
			first(report.Hold), shelf,
		},

		{
			"cold since before the process had ended",
			changes{flat, asOf(at("16 15:00:01")), kept(refrigerator("14:59:59"))},
			[]string{seal0, open0, ruleRecord + " undetermined /batch/jars/0/kept"},
			first(report.Hold), shelf,
		},
		{"cold since the process ended", changes{flat, asOf(at("16 15:00:01")), kept(refrigerator("15:00"))}, []string{seal0}, first(report.Refrigerate), shelf},
		{"in a room since before the process", changes{kept(room("14:05"))}, nil, allShelf, ""},
		{"no date", changes{flat, asOf("")}, []string{seal0, open0}, first(report.Hold), shelf},
		{"no date, recorded after the window", changes{flat, asOf(""), kept(room("16 15:00:01"))}, []string{seal0, late0}, first(report.Discard), shelf},
		{"no date, cold", changes{flat, asOf(""), kept(refrigerator("16 06:00"))}, []string{seal0, eatenOpen0}, first(report.Refrigerate), shelf},
		{
			"a day that is over before the window",
			changes{looked(document.SealCheck{At: at("16 05:00"), Lid: document.LidFlat}), asOf("2026-08-15")},
			[]string{seal0},
			first(report.Reprocess), shelf,
		},
		{"the day of the window", changes{flat, asOf("2026-08-16")}, []string{seal0, open0}, first(report.Hold), shelf},
		{"a day that begins after the window", changes{flat, asOf("2026-08-18"), kept(room("15:06"))}, []string{seal0, late0}, first(report.Discard), shelf},
		{
			"the day on which it is eaten by",
			changes{flat, asOf("2026-08-19"), kept(refrigerator("16 06:00"))},
			[]string{seal0, eatenOpen0},
			first(report.Refrigerate), shelf,
		},
		{
			"half the liquid lost, a second too late and warm",
			changes{onJar(0, func(j *document.BatchJar) { j.LiquidLostPercent = pointerTo(60.0) }), asOf(at("16 15:00:01")), kept(room("15:06"))},
			[]string{ruleLiquidLost + " fail /batch/jars/0/liquid_lost_percent"},
			first(report.Discard), shelf,
		},
		{
			"half the liquid lost, the hour not known",
			changes{onJar(0, func(j *document.BatchJar) { j.LiquidLostPercent = pointerTo(60.0) }), asOf("2026-08-16")},
			[]string{ruleLiquidLost + " fail /batch/jars/0/liquid_lost_percent"},
			first(report.Hold), shelf,
		},
		{
			"half the liquid lost, too late, place not known",
			changes{onJar(0, func(j *document.BatchJar) { j.LiquidLostPercent = pointerTo(60.0) }), asOf(at("18 15:00:01"))},
			[]string{ruleLiquidLost + " fail /batch/jars/0/liquid_lost_percent"},
			first(report.Hold), shelf,
		},
		{
			"not sealed, process and packing not known",
			changes{flat, log(), func(f *fixture) { f.batch.PackedAt = ""; f.batch.Jars[0].SealChecks[0].Leaking = pointerTo(true) }},
			[]string{
				open0, ruleHeld + " undetermined /batch", ruleCover + " undetermined /batch", ruleRecord + " undetermined /batch",
				ruleSealTime + " undetermined /batch/jars", seal0,
			},
			allHold, "",
		},
	} {
		test.check(t)
	}
}

// The hours count from the end of the process; where that is not known, from the first event or the packing, whichever is
// earlier.
func TestHoursCountFrom(t *testing.T) {
	reached := wet("14:50", document.EventBoilReached, 1.5)
	for _, test := range []struct {
		name    string
		changes changes
		want    string // empty: not known
	}{
		{"the end of the process", nil, at("16 15:00")},
		{"no end: the packing", changes{log(reached)}, at("16 14:05")},
		{"no end: an event before the packing", changes{log(logged("14:04", document.EventJarsIn), reached)}, at("16 14:04")},
		{
			"no end, no packing: the first event",
			changes{log(logged("14:25", document.EventJarsIn), reached), func(f *fixture) { f.batch.PackedAt = "" }},
			at("16 14:25"),
		},
		{"no log", changes{log()}, at("16 14:05")},
		{"nothing", changes{log(), func(f *fixture) { f.batch.PackedAt = "" }}, ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := changed(test.changes...).day().jars[0].deadline
			if got.Known != (test.want != "") || got.Known && written(got.Time) != test.want {
				t.Errorf("%v %s, want %q", got.Known, written(got.Time), test.want)
			}
		})
	}
}

// A jar in doubt that is not cold is kept until its window ends, and not beyond.
func TestHoldUntil(t *testing.T) {
	for asked, want := range map[string]string{at("16 15:00"): at("16 15:00"), at("16 15:00:01"): "", "2026-08-16": at("16 15:00")} {
		t.Run(asked, func(t *testing.T) {
			f := changed(asOf(asked), looked())
			if got := f.report().Jars[0]; got.Disposition != report.Hold || got.By != want {
				t.Errorf("asked at %s: %s by %q, want %q", asked, got.Disposition, got.By, want)
			}
		})
	}
	f := changed(looked(), kept(document.Kept{From: at("16 05:00"), Place: document.PlaceRefrigerator}))
	if got := f.report().Jars[0]; got.Disposition != report.Refrigerate || !slices.Equal(got.Because, []string{ruleSealTime}) {
		t.Errorf("%+v", got)
	}
}

// Why a window is open is said by what is missing.
func TestWordsOfTheWindow(t *testing.T) {
	flat := looked(document.SealCheck{At: at("16 05:00"), Lid: document.LidFlat})
	for asked, want := range map[string]string{
		"":             "the question has no time (as_of)",
		"2026-08-16":   "a date without a time is too coarse (as_of)",
		at("17 06:00"): "where it stood is not recorded",
	} {
		t.Run(asked, func(t *testing.T) {
			if f := finding(t, changed(flat, asOf(asked)).day(), ruleWindow); !strings.Contains(f.Message, want) {
				t.Errorf("asked at %q: %q, want %q", asked, f.Message, want)
			}
		})
	}
}

// Jars that are processed again: by 15:00 on the 16th, for the whole time, with a new lid (usda-2015, p. 1-26).
func TestSecondProcess(t *testing.T) {
	// The first jar was found unsealed and went through load B, whose boil begins at a time and goes on for 10 minutes.
	again := func(begins, ends string, lid *bool) func(*fixture) {
		return func(f *fixture) {
			f.AsOf = at("18 06:00")
			f.batch.Events = append(f.batch.Events, inLoad("B", wet(begins, document.EventBoilReached, 1.5), logged(ends, document.EventHeatOff))...)
			j := &f.batch.Jars[0]
			j.Reprocessed = &document.Reprocessing{Load: "B", NewLid: lid}
			j.SealChecks = []document.SealCheck{{At: at("16 05:00"), Lid: document.LidFlat}, {At: at("17 14:00"), Center: document.CenterDown}}
		}
	}
	newLid, oldLid := pointerTo(true), pointerTo(false)
	const misordered = ruleRecord + " undetermined /batch/jars/0/reprocessed/load"
	first := func(d report.Disposition) []report.Disposition { return jarsFor(d, report.Shelf, report.Shelf) }
	const late, open = ruleWindow + " fail /batch/jars/0/reprocessed", ruleWindow + " undetermined /batch/jars/0/reprocessed"
	for _, test := range []judgment{
		{"in time", changes{again("16 07:00", "16 07:10", newLid)}, nil, allShelf, ""},
		{"in the last moment", changes{again("16 15:00", "16 15:10", newLid)}, nil, allShelf, ""},
		{
			"a second too late",
			changes{again("16 15:00:01", "16 15:10:01", newLid)},
			[]string{late, ruleWindow + " undetermined /batch/jars/0"},
			first(report.Hold), "",
		},
		{
			"too late, and warm",
			changes{again("16 16:00", "16 16:10", newLid), kept(document.Kept{From: at("15:06"), Place: document.PlaceRoom})},
			[]string{late, ruleWindow + " fail /batch/jars/0"},
			first(report.Discard), "",
		},
		{
			"too late, and cold",
			changes{again("16 16:00", "16 16:10", newLid), kept(document.Kept{From: at("16 06:00"), Place: document.PlaceRefrigerator})},
			[]string{late},
			first(report.Refrigerate), report.Shelf,
		},
		{
			"too short",
			changes{again("16 07:00", "16 07:09", newLid)},
			[]string{ruleHeld + " fail /batch/events", ruleWindow + " undetermined /batch/jars/0"},
			first(report.Hold), report.Shelf,
		},
		{
			"the old lid",
			changes{again("16 07:00", "16 07:10", oldLid)},
			[]string{late + "/new_lid", ruleWindow + " undetermined /batch/jars/0"},
			first(report.Hold), "",
		},
		{"the lid not recorded", changes{again("16 07:00", "16 07:10", nil)}, []string{open}, first(report.Hold), ""},
		{
			"no boil",
			changes{again("16 07:00", "16 07:10", newLid), func(f *fixture) { f.batch.Events = f.batch.Events[:6] }},
			[]string{open, ruleHeld + " undetermined /batch/events"},
			first(report.Hold), report.Shelf,
		},
		{"no log", changes{again("16 07:00", "16 07:10", newLid), func(f *fixture) { f.batch.Events = f.batch.Events[:5] }}, []string{
			ruleRecord + " undetermined /batch/jars/0/reprocessed/load", ruleHeld + " undetermined /batch", ruleCover + " undetermined /batch",
			ruleSealTime + " undetermined /batch/jars",
		}, first(report.Hold), report.Shelf},
		{"the load of the first", changes{again("16 07:00", "16 07:10", newLid), func(f *fixture) {
			f.batch.Jars[0].Reprocessed.Load, f.batch.Events = "", f.batch.Events[:5]
		}}, []string{
			ruleRecord + " undetermined /batch/jars/0/reprocessed/load", ruleSeal + " fail /batch/jars/0/seal_checks", ruleWindow + " undetermined /batch/jars/0",
		}, first(report.Hold), report.Shelf},
		{
			"the first process not logged",
			changes{allIn("C"), again("16 07:00", "16 07:10", newLid), onJar(0, func(j *document.BatchJar) { j.Load = "A" })},
			[]string{ruleRecord + " undetermined /batch/jars/0"},
			first(report.Hold), report.Shelf,
		},
		{
			"only looked at before it",
			changes{again("16 07:00", "16 07:10", newLid), onJar(0, func(j *document.BatchJar) { j.SealChecks = j.SealChecks[:1] })},
			[]string{ruleSealTime + " undetermined /batch/jars"},
			first(report.Hold), report.Shelf,
		},
		{
			"looked at as it ends",
			changes{again("16 07:00", "16 07:10", newLid), onJar(0, func(j *document.BatchJar) { j.SealChecks[1].At = at("16 07:10") })},
			[]string{ruleSealTime + " fail /batch/jars/0/seal_checks"},
			first(report.Hold), report.Shelf,
		},
		{
			"12 hours after it",
			changes{again("16 07:00", "16 07:10", newLid), onJar(0, func(j *document.BatchJar) { j.SealChecks[1].At = at("16 19:10") })},
			nil, allShelf, "",
		},
		{
			"11 hours after it",
			changes{again("16 07:00", "16 07:10", newLid), onJar(0, func(j *document.BatchJar) { j.SealChecks[1].At = at("16 18:10") })},
			[]string{ruleSealTime + " fail /batch/jars/0/seal_checks"},
			first(report.Hold), report.Shelf,
		},
		{"nobody knows when the first was", changes{
			allIn("C"), again("16 07:00", "16 07:10", newLid), func(f *fixture) { f.batch.PackedAt, f.batch.Jars[0].Load = "", "A" },
		}, []string{
			ruleRecord + " undetermined /batch", ruleRecord + " undetermined /batch/jars/0", open,
		}, allHold, ""},
		{"the log of the second process contradicts itself", changes{again("16 07:00", "16 07:10", newLid), func(f *fixture) {
			f.batch.Events = append(f.batch.Events, inLoad("B", logged("16 07:11", document.EventHeatOff))...)
		}}, []string{ruleRecord + " undetermined /batch/events/7"}, first(report.Hold), report.Shelf},
		{
			"before the first process",
			changes{allIn("A"), again("14:10", "14:20", newLid)},
			[]string{misordered, ruleSeal + " fail /batch/jars/0/seal_checks", ruleWindow + " undetermined /batch/jars/0"},
			first(report.Hold), report.Shelf,
		},
		{
			"before the first process had ended",
			changes{allIn("A"), again("14:59:59", "15:10", newLid)},
			[]string{misordered, ruleSeal + " fail /batch/jars/0/seal_checks", ruleWindow + " undetermined /batch/jars/0"},
			first(report.Hold), report.Shelf,
		},
		{
			"as the first process ended",
			changes{allIn("A"), again("15:00", "15:10", newLid)},
			[]string{ruleSeal + " fail /batch/jars/0/seal_checks", ruleWindow + " undetermined /batch/jars/0"}, // looked at since, and flat
			first(report.Hold), report.Shelf,
		},
		{
			"before the end of a first process that is not logged",
			changes{log(wet("14:50", document.EventBoilReached, 1.5), logged("15:06", document.EventJarsOut)), allIn("A"), again("15:05", "15:15", newLid)},
			[]string{
				ruleHeld + " undetermined /batch/events", ruleRecord + " undetermined /batch/jars/0/reprocessed/load",
				ruleSeal + " fail /batch/jars/0/seal_checks", ruleWindow + " undetermined /batch/jars/0",
			},
			allHold, "",
		},
		{"packed long before a second process", changes{again("16 14:30", "16 14:40", newLid)}, nil, allShelf, ""},
	} {
		if test.batch == "" {
			test.batch = report.Shelf
			if test.jars[0] == test.jars[1] {
				test.batch = test.jars[0]
			}
		}
		test.check(t)
	}
	d := changed(again("16 17:30", "16 17:40", newLid)).day()
	if f := finding(t, d, ruleWindow); !sameAmount(f.Measured, 26.5, "h") || !sameAmount(f.Limit, 24, "h") {
		t.Errorf("%+v %+v", f.Measured, f.Limit)
	}
}
