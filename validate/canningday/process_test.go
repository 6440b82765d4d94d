package canningday

import (
	"strings"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// Usda-2015, p. 1-18 and 6-5: the time starts anew when the heat is lost, the water stands over the lids all the time, and
// low-temperature pasteurization takes 30 minutes at 180 °F or more.
func TestProcess(t *testing.T) {
	reached, lost, regained, off := document.EventBoilReached, document.EventBoilLost, document.EventBoilRegained, document.EventHeatOff
	out, level := document.EventJarsOut, document.EventWaterLevel
	boil, dry := wet("14:50", reached, 1.5), logged("14:50", reached)
	const heldFail, coverFail = ruleHeld + " fail /batch/events", ruleCover + " fail /batch/events"
	wholeDay := func(inches float64) func(*fixture) {
		return func(f *fixture) { f.batch.WaterOverLids = quantity(inches, "in") }
	}
	low := method(document.MethodLowTemperature)
	steam := method(document.MethodSteam)
	inLoadA := func(f *fixture) {
		f.batch.Events = inLoad("A", f.batch.Events...)
		f.batch.Jars[0].Load, f.batch.Jars[2].Load = "A", "A"
	}
	coldLoss := warm("14:51", 190)
	coldLoss.Event = lost
	tooCold := []string{ruleRecord + " undetermined /batch/events/1", ruleHeld + " undetermined /batch/events"}
	for _, test := range []judgment{
		{
			"lost and the minutes added",
			changes{log(boil, logged("14:55", lost), logged("14:56", regained), logged("15:01", off))},
			[]string{heldFail, ruleContinuous + " fail /batch/events/1"},
			allReprocess, "",
		},
		{
			"lost and all minutes together too few",
			changes{log(boil, logged("14:55", lost), logged("14:56", regained), logged("15:00:59", off))},
			[]string{heldFail},
			allReprocess, "",
		},
		{
			"lost and all minutes together just enough",
			changes{log(boil, logged("14:55", lost), logged("14:56", regained), logged("15:00:59.999", off))},
			[]string{heldFail, ruleContinuous + " fail /batch/events/1"},
			allReprocess, "",
		},
		{"lost for good", changes{log(boil, logged("14:55", lost), logged("15:00", off))}, []string{heldFail}, allReprocess, ""},
		{"lost after the whole time", changes{log(boil, logged("15:00", lost), logged("15:01", off))}, nil, allShelf, ""},
		{
			"no log",
			changes{log()},
			[]string{ruleHeld + " undetermined /batch", ruleCover + " undetermined /batch", ruleSealTime + " undetermined /batch/jars"},
			allHold, "",
		},
		{"no log of one jar", changes{onJar(1, func(j *document.BatchJar) { j.Load = "B" }), inLoadA}, []string{
			ruleHeld + " undetermined /batch", ruleCover + " undetermined /batch", ruleSealTime + " undetermined /batch/jars",
			ruleRecord + " undetermined /batch/jars/1",
		}, jarsFor(report.Shelf, report.Hold, report.Shelf), ""},
		{"a load that no jar is of", changes{allIn("A"), func(f *fixture) {
			f.batch.Events = append(f.batch.Events, inLoad("B", logged("14:50", reached), logged("14:51", off))...)
		}}, nil, allShelf, ""},
		{"two loads, one too short", changes{allIn("A"), func(f *fixture) {
			f.batch.Events = append(f.batch.Events, inLoad("B", wet("15:10", reached, 1.5), logged("15:19", off))...)
			f.batch.Jars[2].Load = "B"
			f.batch.Jars[2].SealChecks[0].At = at("16 05:00")
		}}, []string{heldFail}, jarsFor(report.Shelf, report.Shelf, report.Reprocess), ""},

		{"water never measured", changes{log(dry, logged("15:00", off))}, []string{ruleCover + " undetermined /batch"}, allHold, ""},
		{"water measured for the whole day", changes{wholeDay(1), log(dry, logged("15:00", off))}, nil, allShelf, ""},
		{"too little for the whole day", changes{wholeDay(0.9), log(dry, logged("15:00", off))}, []string{heldFail, coverFail}, allReprocess, ""},
		{"too little for the whole day, more at the boil", changes{wholeDay(0.9), log(boil, logged("15:00", off))}, nil, allShelf, ""},
		{
			"enough for the whole day, too little at the boil",
			changes{wholeDay(1.5), log(wet("14:50", reached, 0.9), logged("15:00", off))},
			[]string{heldFail, coverFail},
			allReprocess, "",
		},
		{
			"measured at the end of the boil",
			changes{log(dry, wet("15:00", level, 1.5), logged("15:00", off))},
			[]string{ruleCover + " undetermined /batch"},
			allHold, "",
		},
		{"measured a minute into the boil, long enough since", changes{log(dry, wet("14:51", level, 1.5), logged("15:01", off))}, nil, allShelf, ""},
		{
			"measured a minute into the boil, too short since",
			changes{log(dry, wet("14:51", level, 1.5), logged("15:00:59", off))},
			[]string{ruleCover + " undetermined /batch"},
			allHold, "",
		},
		{"measured within the rounding of the whole time", changes{log(dry, wet("14:50:00.001", level, 1.5), logged("15:00", off))}, nil, allShelf, ""},
		{
			"measured two milliseconds too late",
			changes{log(dry, wet("14:50:00.002", level, 1.5), logged("15:00", off))},
			[]string{ruleCover + " undetermined /batch"},
			allHold, "",
		},
		{"measured before the boil", changes{log(wet("14:25", level, 1.5), dry, logged("15:00", off))}, nil, allShelf, ""},
		{"too little before the boil, enough at it", changes{log(wet("14:49", level, 0.5), boil, logged("15:00", off))}, nil, allShelf, ""},
		{"too little in the last minute", changes{log(boil, wet("14:59", level, 0.9), logged("15:00", off))}, []string{heldFail, coverFail}, allReprocess, ""},
		{"too little at the end", changes{log(boil, wet("15:00", level, 0.9), logged("15:00", off))}, []string{heldFail, coverFail}, allReprocess, ""},
		{
			"too little after the end",
			changes{log(boil, wet("15:00:01", level, 0.9), logged("15:00", off))},
			[]string{ruleCover + " undetermined /batch"},
			allHold, "",
		},
		{"enough after the end, then too little", changes{log(boil, wet("15:00", level, 1), wet("15:01", level, 0.9), logged("15:00", off))}, nil, allShelf, ""},
		{
			"too little, then topped up and started anew",
			changes{log(boil, wet("14:55", level, 0.9), wet("14:56", document.EventToppedUp, 2), logged("15:06", off))},
			nil, allShelf, "",
		},
		{
			"too little, then topped up and too short",
			changes{log(boil, wet("14:55", level, 0.9), wet("14:56", document.EventToppedUp, 2), logged("15:05", off))},
			[]string{heldFail, coverFail},
			allReprocess, "",
		},
		{"enough at two readings, then too little", changes{log(boil, wet("15:00", level, 1), wet("15:05", level, 0.5), logged("15:06", off))}, nil, allShelf, ""},
		{
			"lost, and too little in the first boil only",
			changes{log(wet("14:50", reached, 0.5), logged("14:55", lost), wet("14:56", regained, 1.5), logged("15:06", off))},
			nil, allShelf, "",
		},

		{"steam needs no water over the lids", changes{steam, log(dry, logged("15:00", off))}, nil, allShelf, ""},
		{"steam too short", changes{steam, log(dry, logged("14:59", off))}, []string{heldFail}, allReprocess, ""},
		{"no process of this kind", changes{method("none"), log()}, nil, allHold, ""},
		{"no tested recipe", changes{testedRecipe("")}, nil, allHold, ""},

		{"a reading of boiling water", changes{log(boil, warm("14:55", 211), logged("15:00", off))}, nil, allShelf, ""},
		{"a reading within the error of a thermometer", changes{log(boil, warm("14:55", 208), logged("15:00", off))}, nil, allShelf, ""},
		{
			"a reading too cold to boil",
			changes{log(boil, warm("14:55", 207), logged("15:00", off))},
			[]string{ruleHeld + " undetermined /batch/events", ruleRecord + " undetermined /batch/events/1"},
			allHold, "",
		},
		{"too cold as the boil begins", changes{log(boil, warm("14:50", 150), logged("15:00", off))}, tooCold, allHold, ""},
		{"too cold as the heat goes off", changes{log(boil, warm("15:00", 150), logged("15:00", off))}, tooCold, allHold, ""},
		{"too cold before the boil", changes{log(boil, warm("14:49:59", 150), logged("15:00", off))}, nil, allShelf, ""},
		{"too cold after it", changes{log(boil, warm("15:00:01", 150), logged("15:00", off))}, nil, allShelf, ""},
		{
			"too cold as it is lost",
			changes{log(boil, coldLoss, logged("14:53", regained), logged("15:03", off))},
			nil,
			allShelf, "",
		},
		{
			"too cold as it is lost, read apart from that",
			changes{log(boil, logged("15:01", lost), warm("15:01", 190), logged("15:03", off))},
			[]string{ruleRecord + " undetermined /batch/events/2", ruleHeld + " undetermined /batch/events"},
			allHold, "",
		},
		{
			"too cold as it is regained",
			changes{log(boil, logged("14:51", lost), warm("14:53", 190), logged("14:53", regained), logged("15:03", off))},
			[]string{ruleRecord + " undetermined /batch/events/2", ruleHeld + " undetermined /batch/events"},
			allHold, "",
		},
		{
			"too cold between two boils",
			changes{log(boil, logged("14:51", lost), warm("14:52", 190), logged("14:53", regained), logged("15:03", off))},
			nil,
			allShelf, "",
		},
		{"the boil of a mountain", changes{elevation(8000), log(boil, warm("14:55", 196), logged("15:10", off))}, nil, allShelf, ""},
		{
			"too cold, the elevation not known",
			changes{func(f *fixture) { f.batch.Elevation = nil }, log(boil, warm("14:55", 190), logged("15:00", off))},
			[]string{ruleHeld + " undetermined /batch"},
			allHold, "",
		},
		{"higher than kitchens stand", changes{elevation(90000), log(boil, warm("14:55", 190), logged("15:10", off))}, nil, allShelf, ""},

		{
			"30 minutes at 180 °F",
			changes{low, log(wet("14:30", document.EventJarsIn, 1), warm("14:50", 180), warm("15:20", 180), logged("15:21", off))},
			nil, allShelf, "",
		},
		{
			"28 minutes at 180 °F",
			changes{low, log(wet("14:30", document.EventJarsIn, 1), warm("14:50", 180), warm("15:18", 180), logged("15:21", off))},
			[]string{heldFail},
			allReprocess, "",
		},
		{
			"half a minute short at 180 °F",
			changes{low, log(wet("14:30", document.EventJarsIn, 1), warm("14:50", 180), warm("15:19:30", 180), logged("15:21", off))},
			[]string{heldFail},
			allReprocess, "",
		},
		{
			"82.2 °C is 180 °F",
			changes{low, log(wet("14:30", document.EventJarsIn, 1), warm("14:50", 179.91), warm("15:20", 179.91), logged("15:21", off))},
			nil, allShelf, "",
		},
		{
			"179.9 °F is not",
			changes{low, log(wet("14:30", document.EventJarsIn, 1), warm("14:50", 179.9), warm("15:20", 179.9), logged("15:21", off))},
			[]string{ruleHeld + " undetermined /batch/events"},
			allHold, "",
		},
		{
			"too cold in between",
			changes{
				low,
				log(
					wet("14:30", document.EventJarsIn, 1), warm("14:50", 180), warm("15:00", 181), warm("15:05", 179), warm("15:10", 180), warm("15:25", 180),
					logged("15:26", off),
				),
			},
			[]string{heldFail},
			allReprocess, "",
		},
		{
			"too cold in between, the minutes added",
			changes{
				low,
				log(
					wet("14:30", document.EventJarsIn, 1), warm("14:50", 180), warm("15:05", 181), warm("15:06", 179), warm("15:10", 180), warm("15:25", 180),
					logged("15:26", off),
				),
			},
			[]string{heldFail, ruleContinuous + " fail /batch/events/3"},
			allReprocess, "",
		},
		{
			"too cold before it begins, the minutes added",
			changes{
				low,
				log(
					wet("14:30", document.EventJarsIn, 1), warm("14:45", 170), warm("14:50", 180), warm("15:05", 180), logged("15:06", off), warm("15:10", 180),
					warm("15:25", 180),
				),
			},
			[]string{heldFail},
			allReprocess, "",
		},
		{
			"one reading only",
			changes{low, log(wet("14:30", document.EventJarsIn, 1), warm("14:50", 180), logged("15:30", off))},
			[]string{ruleHeld + " undetermined /batch/events"},
			allHold, "",
		},
		{
			"two readings of one moment",
			changes{low, log(wet("14:30", document.EventJarsIn, 1), warm("14:50", 180), warm("14:50", 180), logged("15:30", off))},
			[]string{ruleHeld + " undetermined /batch/events"},
			allHold, "",
		},
		{
			"jars out before the time is over",
			changes{
				low,
				log(
					wet("14:30", document.EventJarsIn, 1), warm("14:50", 180), warm("15:10", 180), logged("15:11", out), warm("15:20", 180), logged("15:21", off),
				),
			},
			[]string{heldFail},
			allReprocess, "",
		},
		{
			"no end but the jars out",
			changes{low, log(wet("14:30", document.EventJarsIn, 1), warm("14:50", 180), warm("15:20", 180), logged("15:20", out))},
			nil, allShelf, "",
		},
		{
			"low, an inch for 30 minutes",
			changes{low, log(wet("14:30", document.EventJarsIn, 0.9), warm("14:50", 180), warm("15:20", 180), logged("15:21", off))},
			[]string{ruleCover + " undetermined /batch"},
			allHold, "",
		},
		{
			"low, the elevation not known",
			changes{
				low, func(f *fixture) { f.batch.Elevation = nil },
				log(wet("14:30", document.EventJarsIn, 1), warm("14:50", 180), warm("15:20", 180), logged("15:21", off)),
			},
			[]string{ruleHeld + " undetermined /batch"},
			allHold, "",
		},
		{
			"low, lifted at once",
			changes{low, log(wet("14:30", document.EventJarsIn, 1), warm("14:50", 180), warm("15:20", 180), logged("15:21", off), logged("15:21", out))},
			nil,
			allShelf, "",
		},

		{"lifted after 5 minutes", changes{log(boil, logged("15:00", off), logged("15:05", out))}, nil, allShelf, ""},
		{"lifted within the rounding of 5 minutes", changes{log(boil, logged("15:00", off), logged("15:04:59.999", out))}, nil, allShelf, ""},
		{
			"lifted after less than 5 minutes",
			changes{log(boil, logged("15:00", off), logged("15:04:59", out))},
			[]string{ruleLifting + " fail /batch/events/2"},
			allShelf, "",
		},
		{"lifted at once", changes{log(boil, logged("15:00", off), logged("15:00", out))}, []string{ruleLifting + " fail /batch/events/2"}, allShelf, ""},
		{
			"lifted before the heat was off",
			changes{log(boil, logged("15:00", out), logged("15:02", off))},
			[]string{ruleLifting + " fail /batch/events/1"},
			allShelf, "",
		},
	} {
		test.check(t)
	}
}

// The figures of the findings on a process, worked by hand.
func TestFiguresOfAProcess(t *testing.T) {
	reached, lost, regained, off := document.EventBoilReached, document.EventBoilLost, document.EventBoilRegained, document.EventHeatOff
	d := changed(
		log(
			wet("14:50", reached, 1.5), logged("14:57:30", lost), logged("14:58", regained), logged("15:01", off), logged("15:03:15", document.EventJarsOut),
		),
	).day()
	continuous := finding(t, d, ruleContinuous)
	if want := "The heat was lost and the time was not started anew: 10.5 minutes in all, but at most 7.5 without a break."; continuous.Message != want {
		t.Errorf("%q, want %q", continuous.Message, want)
	}
	if held := finding(t, d, ruleHeld); !sameAmount(held.Measured, 7.5, "min") || !strings.Contains(held.Message, "lasted 7.5 minutes; it takes 10.") {
		t.Errorf("%+v %+v", held, held.Measured)
	}
	if lifted := finding(t, d, ruleLifting); !sameAmount(lifted.Measured, 2.25, "min") || !sameAmount(lifted.Limit, 5, "min") {
		t.Errorf("%+v %+v", lifted, lifted.Measured)
	}
	// Water that stood too low only counts against the time that the cover lasted; the lowest reading is shown.
	d = changed(func(f *fixture) { f.batch.WaterOverLids = nil },
		log(
			wet("14:50", reached, 1), wet("14:54", document.EventWaterLevel, 0.75), wet("14:55", document.EventWaterLevel, 0.5),
			wet("14:56", document.EventWaterLevel, 0.8), logged("15:00", off),
		)).day()
	cover := finding(t, d, ruleCover)
	if !sameAmount(cover.Measured, 0.5, "in") || !strings.HasPrefix(cover.Message, "1/2 in of water stood over the lids during the boil") {
		t.Errorf("%+v %+v", cover, cover.Measured)
	}
	if held := finding(t, d, ruleHeld); !sameAmount(held.Measured, 0, "min") {
		t.Errorf("%+v", held.Measured)
	}
	d = changed(log(wet("14:50", reached, 0), logged("15:00", off))).day()
	if cover := finding(t, d, ruleCover); !strings.HasPrefix(cover.Message, "The lids were not under water during the boil") {
		t.Errorf("%q", cover.Message)
	}
	d = changed(log(inLoad("A", wet("14:50", reached, 1.5), warm("14:55", 190), logged("15:00", off))...), func(f *fixture) {
		for i := range f.batch.Jars {
			f.batch.Jars[i].Load = "A"
		}
	}).day()
	want := `The log of load "A" contradicts itself: the water was read at 87.8 °C while it is said to boil, and water boils there at 99.6 °C.`
	if record := finding(t, d, ruleRecord); record.Message != want {
		t.Errorf("%q", record.Message)
	}
}

// What a log lacks is said.
func TestWordsOfWhatIsMissing(t *testing.T) {
	reached, off := document.EventBoilReached, document.EventHeatOff
	for want, f := range map[string]*fixture{
		"The log contradicts itself, so": changed(
			log(wet("14:50", reached, 1.5), logged("14:51", reached), logged("15:00", off)),
		),
		"The log does not say when the boil ended, so":   changed(log(wet("14:50", reached, 1.5))),
		"The log does not say when the boil was reached": changed(log(wet("14:50", document.EventJarsIn, 1.5))),
		"The log holds no two readings of the water in a row that were warm enough, so": changed(
			method(document.MethodLowTemperature), log(wet("14:50", document.EventJarsIn, 1.5), warm("14:55", 180)),
		),
	} {
		t.Run(want, func(t *testing.T) {
			if held := finding(t, f.day(), ruleHeld); !strings.HasPrefix(held.Message, want) {
				t.Errorf("%q, want %q", held.Message, want)
			}
		})
	}
}

// The first of equally long intervals counts, so that the answer does not hang on chance.
func TestLongestIsTheFirstOfEquals(t *testing.T) {
	a, b := interval{minutesIn(0), minutesIn(5)}, interval{minutesIn(10), minutesIn(15)}
	if got := longest([]interval{a, b}); got != a {
		t.Errorf("%v", got)
	}
	if got := longest(nil); got.length() != 0 {
		t.Errorf("%v", got)
	}
}

// A reading cuts into a boil from its first moment to its last.
func TestCutsInto(t *testing.T) {
	boil := interval{minutesIn(10), minutesIn(20)}
	for minute, want := range map[int]bool{9: false, 10: true, 15: true, 20: true, 21: false} {
		if got := (level{minutesIn(minute), measure.Inch}).cutsInto(boil); got != want {
			t.Errorf("at %d: %v", minute, got)
		}
	}
	if !(level{earliest, 0}).cutsInto(boil) {
		t.Error("the level of the whole day does not")
	}
}
