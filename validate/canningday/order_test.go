package canningday

import (
	"slices"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/report"
)

// What is missing from a record, contradicts itself or has not happened is named, and no jar is fit for the shelf by it.
func TestOrder(t *testing.T) {
	in, out := document.EventJarsIn, document.EventJarsOut
	reached, lost, regained, off := document.EventBoilReached, document.EventBoilLost, document.EventBoilRegained, document.EventHeatOff
	boil := wet("14:50", reached, 1.5)
	held := ruleHeld + " undetermined /batch/events"
	wrong := func(index string) string { return ruleRecord + " undetermined /batch/events/" + index }
	lifted := func(index string) string { return ruleLifting + " fail /batch/events/" + index }
	for _, test := range []judgment{
		{
			"packing not recorded",
			changes{func(f *fixture) { f.batch.PackedAt = "" }},
			[]string{ruleRecord + " undetermined /batch"},
			allHold, "",
		},
		{
			"packing cannot be read",
			changes{func(f *fixture) { f.batch.PackedAt = "noon" }},
			[]string{ruleRecord + " undetermined /batch"},
			allHold, "",
		},
		{
			"packed at the moment of the question",
			changes{asOf(at("16 06:00")), func(f *fixture) { f.batch.PackedAt = at("16 06:00") }},
			[]string{ruleRecord + " undetermined /batch/packed_at"},
			allHold, "", // only because the process came before
		},
		{
			"packed after the moment of the question",
			changes{
				asOf(at("14:00")), log(), func(f *fixture) {
					for i := range f.batch.Jars {
						f.batch.Jars[i].SealChecks = nil
					}
				},
			},
			[]string{
				ruleRecord + " undetermined /batch/packed_at", ruleSealTime + " undetermined /batch/jars",
				ruleHeld + " undetermined /batch", ruleCover + " undetermined /batch",
			},
			allHold, "",
		},
		{
			"packed a second after the process began",
			changes{func(f *fixture) { f.batch.PackedAt = at("14:50:01") }},
			[]string{ruleRecord + " undetermined /batch/packed_at"},
			allHold, "",
		},
		{"packed as the process began", changes{log(boil, logged("15:00", off)), func(f *fixture) { f.batch.PackedAt = at("14:50") }}, nil, allShelf, ""},
		{"packed as the jars went in", changes{func(f *fixture) { f.batch.PackedAt = at("14:25") }}, nil, allShelf, ""},
		{
			"packed after the jars went in",
			changes{func(f *fixture) { f.batch.PackedAt = at("14:25:01") }},
			[]string{ruleRecord + " undetermined /batch/packed_at"},
			allHold, "",
		},
		{
			"packed as the heat was turned off",
			changes{func(f *fixture) { f.batch.PackedAt = at("15:00") }},
			[]string{ruleRecord + " undetermined /batch/packed_at"},
			allHold, "",
		},
		{
			"packed after the process",
			changes{func(f *fixture) { f.batch.PackedAt = at("15:00:01") }},
			[]string{ruleRecord + " undetermined /batch/packed_at"},
			allHold, "",
		},
		{"packed 4 hours before", changes{func(f *fixture) { f.batch.PackedAt = at("10:50") }}, nil, allShelf, ""},
		{
			"packed more than 4 hours before",
			changes{func(f *fixture) { f.batch.PackedAt = at("10:49:59") }},
			[]string{ruleRecord + " undetermined /batch/packed_at"},
			allHold, "",
		},
		{
			"an event that cannot be read",
			changes{func(f *fixture) { f.batch.Events[0].At = "later" }},
			[]string{ruleRecord + " undetermined /batch/events/0/at"},
			allHold, "",
		},
		{
			"an event in the future",
			changes{asOf(at("16 05:00")), func(f *fixture) { f.batch.Events[4].At = at("16 05:00:01") }},
			[]string{ruleRecord + " undetermined /batch/events/4/at"},
			allHold, "",
		},
		{"an event at the moment of the question", changes{asOf(at("16 05:00")), func(f *fixture) { f.batch.Events[4].At = at("16 05:00") }}, nil, allShelf, ""},
		{
			"an event of another load in the future",
			changes{func(f *fixture) {
				f.batch.Events = append(f.batch.Events, inLoad("B", logged("17 05:00", in))...)
			}},
			[]string{ruleRecord + " undetermined /batch/events/5/at"},
			allHold, "",
		},
		{"jars in after the boil", changes{log(boil, logged("14:51", in), logged("15:00", off))}, []string{wrong("1")}, allHold, ""},
		{"jars in after the heat was off", changes{log(boil, logged("15:00", off), logged("15:01", in))}, []string{wrong("2")}, allHold, ""},
		{"jars in after they came out", changes{log(logged("14:40", out), logged("14:45", in), boil, logged("15:00", off))}, []string{
			held, wrong("1"), wrong("2"), wrong("3"), lifted("0"),
		}, allHold, ""},
		{"water added to the boil", changes{log(boil, logged("14:55", document.EventToppedUp), logged("15:00", off))}, nil, allShelf, ""},
		{"water added after the heat was off", changes{log(boil, logged("15:00", off), logged("15:01", document.EventToppedUp))}, []string{wrong("2")}, allHold, ""},
		{
			"water added after the jars were out",
			changes{log(boil, logged("15:00", out), logged("15:01", document.EventToppedUp), logged("15:02", off))},
			[]string{wrong("2"), lifted("1")},
			allHold, "",
		},
		{"boil after the heat was off", changes{log(boil, logged("15:00", off), logged("15:01", reached))}, []string{wrong("2")}, allHold, ""},
		{
			"boil after the jars were out",
			changes{log(boil, logged("15:00", out), logged("15:01", reached), logged("15:02", off))},
			[]string{wrong("2"), lifted("1")},
			allHold, "",
		},
		{"boil reached twice, and long enough since", changes{log(boil, logged("14:52", reached), logged("15:02", off))}, []string{wrong("1")}, allHold, ""},
		{"boil reached twice, and too short since", changes{log(boil, logged("14:52", reached), logged("15:00", off))}, []string{wrong("1"), held}, allHold, ""},
		{"regained without having been lost", changes{log(boil, logged("14:52", regained), logged("15:02", off))}, []string{wrong("1")}, allHold, ""},
		{
			"regained without having been reached",
			changes{log(wet("14:50", regained, 1.5), logged("15:02", off))},
			[]string{wrong("0"), wrong("1"), held},
			allHold, "",
		},
		{"reached again after a loss", changes{log(boil, logged("14:52", lost), logged("14:53", reached), logged("15:03", off))}, nil, allShelf, ""},
		{"regained after a loss", changes{log(boil, logged("14:52", lost), logged("14:53", regained), logged("15:03", off))}, nil, allShelf, ""},
		{
			"regained twice",
			changes{log(boil, logged("14:52", lost), logged("14:53", regained), logged("14:54", regained), logged("15:04", off))},
			[]string{wrong("3")},
			allHold, "",
		},
		{"lost before it was reached", changes{log(logged("14:49", lost), boil, logged("15:00", off))}, []string{wrong("0")}, allHold, ""},
		{
			"lost twice",
			changes{log(boil, logged("14:51", lost), logged("14:52", lost), logged("14:53", regained), logged("15:03", off))},
			[]string{wrong("2")},
			allHold, "",
		},
		{"off before it was reached", changes{log(logged("14:49", off))}, []string{ruleCover + " undetermined /batch", wrong("0"), held}, allHold, ""},
		{"off twice", changes{log(boil, logged("15:00", off), logged("15:01", off))}, []string{wrong("2")}, allHold, ""},
		{"reached twice at one moment", changes{log(boil, boil, logged("15:00", off))}, []string{wrong("1")}, allHold, ""},
		{"jars in twice at one moment", changes{log(logged("14:25", in), logged("14:25", in), boil, logged("15:00", off))}, nil, allShelf, ""},
		{"jars out twice", changes{log(boil, logged("15:00", off), logged("15:06", out), logged("15:07", out))}, []string{wrong("3")}, allHold, ""},
		{
			"lid off during the boil",
			changes{log(boil, logged("14:59", document.EventLidOff), logged("15:02", off))},
			[]string{ruleHeld + " fail /batch/events"},
			allReprocess, "",
		},
		{"lid off after the whole time", changes{log(boil, logged("15:00", document.EventLidOff), logged("15:02", off))}, nil, allShelf, ""},
		{
			"jars out before the lid",
			changes{log(boil, logged("14:59", out), logged("15:01", document.EventLidOff), logged("15:02", off))},
			[]string{ruleHeld + " fail /batch/events", lifted("1")},
			allReprocess, "",
		},
		{
			"lid off, the boil begun anew",
			changes{log(boil, logged("14:51", document.EventLidOff), logged("14:52", reached), logged("15:02", off))},
			[]string{wrong("2")},
			allHold, "",
		},
		{"no end of the boil", changes{log(boil, logged("15:06", out))}, []string{held}, allHold, ""},
		{"no boil", changes{log(wet("14:25", in, 1.5), logged("15:06", out))}, []string{held}, allHold, ""},
		{"a level without a figure", changes{log(boil, logged("14:51", document.EventWaterLevel), logged("15:00", off))}, []string{wrong("1")}, allHold, ""},
		{"a temperature without a figure", changes{log(boil, logged("14:51", document.EventTemperature), logged("15:00", off))}, []string{wrong("1")}, allHold, ""},
		{"figures of both", changes{log(boil, wet("14:51", document.EventWaterLevel, 1.2), warm("14:52", 212), logged("15:00", off))}, nil, allShelf, ""},
		{
			"something on a jar that cannot be read",
			changes{onJar(1, func(j *document.BatchJar) { j.OpenedAt = "soon" })},
			[]string{ruleRecord + " undetermined /batch/jars/1"},
			jarsFor(report.Shelf, report.Hold, report.Shelf), "",
		},
		{
			"a jar opened in the future",
			changes{onJar(1, func(j *document.BatchJar) { j.OpenedAt = at("16 06:00:01") })},
			[]string{ruleRecord + " undetermined /batch/jars/1"},
			jarsFor(report.Shelf, report.Hold, report.Shelf), "",
		},
		{
			"a jar opened at the moment of the question",
			changes{onJar(1, func(j *document.BatchJar) { j.OpenedAt = at("16 06:00") })},
			nil,
			jarsFor(report.Shelf, report.Refrigerate, report.Shelf), "",
		},
		{"a seal looked at before the process ended", changes{onJar(1, func(j *document.BatchJar) {
			j.SealChecks = append(j.SealChecks, document.SealCheck{At: at("14:59:59"), Center: document.CenterDown})
		})}, []string{ruleRecord + " undetermined /batch/jars/1/seal_checks/1/at"}, jarsFor(report.Shelf, report.Hold, report.Shelf), ""},
		{"a seal looked at as the process ended", changes{onJar(1, func(j *document.BatchJar) {
			j.SealChecks = append(j.SealChecks, document.SealCheck{At: at("15:00"), Center: document.CenterDown})
		})}, nil, allShelf, ""},
	} {
		test.check(t)
	}
}

// A load is used by the jars of its first process and by those of its second; what names none, or one that no jar was in, is
// used by all.
func TestUsersOf(t *testing.T) {
	reached, off := document.EventBoilReached, document.EventHeatOff
	d := changed(onJar(1, func(j *document.BatchJar) { j.Load = "A" }), onJar(2, func(j *document.BatchJar) {
		j.Load, j.Reprocessed = "A", &document.Reprocessing{Load: "B"}
	}), log(slices.Concat(
		[]document.Event{logged("14:50", reached), logged("15:00", off)}, inLoad("A", logged("15:10", reached), logged("15:20", off)),
		inLoad("B", logged("15:30", reached), logged("15:40", off)),
	)...)).day()
	for load, want := range map[string][]int{"": nil, "A": {1, 2}, "B": {2}, "C": nil} {
		t.Run(load, func(t *testing.T) {
			if got := d.usersOf(load); !slices.Equal(got, want) || (got == nil) != (want == nil) {
				t.Errorf("%q: %v, want %v", load, got, want)
			}
		})
	}
}
