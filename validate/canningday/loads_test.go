package canningday

import (
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/report"
)

// An event without a load belongs to every load of the day. The times of each day are arithmetic: 10 minutes make a process.
func TestEventsWithoutALoad(t *testing.T) {
	in, lost, off, out := document.EventJarsIn, document.EventBoilLost, document.EventHeatOff, document.EventJarsOut
	reached := func(clock string) document.Event { return wet(clock, document.EventBoilReached, 1.5) }
	a := inLoad("A", reached("14:50"), logged("15:00", off))
	b := inLoad("B", reached("15:20"), logged("15:30", off))
	jars := func(loads ...string) func(*fixture) {
		return func(f *fixture) {
			for i, load := range loads {
				f.batch.Jars[i].Load = load
			}
		}
	}
	days := func(lists ...[]document.Event) func(*fixture) {
		return func(f *fixture) {
			f.batch.Events = nil
			for _, list := range lists {
				f.batch.Events = append(f.batch.Events, list...)
			}
		}
	}
	one := func(event document.Event) []document.Event { return []document.Event{event} }
	shelf, hold, again := report.Shelf, report.Hold, report.Reprocess
	const (
		held, cover = ruleHeld + " fail /batch/events", ruleCover + " fail /batch/events"
		open, seals = ruleHeld + " undetermined /batch/events", ruleSealTime + " undetermined /batch/jars"
	)
	record := func(at string) string { return ruleRecord + " undetermined /batch/" + at }
	for _, test := range []judgment{
		{"one load, its name left out of the log", changes{jars("A", "A", "A")}, nil, allShelf, ""},
		{"two loads, their names left out of the log", changes{jars("A", "B", "A")}, nil, allShelf, ""},
		{"the boil of the one load lost", changes{jars("A", "A", "A"), days(a, one(logged("14:55", lost)))}, []string{held}, allReprocess, ""},
		{"its end", changes{jars("A", "A", "A"), days(a[:1], one(logged("15:00", off)))}, nil, allShelf, ""},
		{"its beginning", changes{jars("A", "A", "A"), days(one(reached("14:50")), a[1:])}, nil, allShelf, ""},
		{
			"the boil lost, in the name of a load that no jar was in",
			changes{days([]document.Event{reached("14:50"), logged("15:00", off)}, inLoad("C", logged("14:55", lost)))},
			[]string{held},
			allReprocess, "",
		},
		{"two loads", changes{jars("A", "B", "A"), days(a, b)}, nil, allShelf, ""},
		{
			"the boil of the first of two lost",
			changes{jars("A", "B", "A"), days(a, b, one(logged("14:55", lost)))},
			[]string{held},
			jarsFor(again, shelf, again), shelf,
		},
		{"the boil of the second lost", changes{jars("A", "B", "A"), days(a, b, one(logged("15:21", lost)))}, []string{held}, jarsFor(shelf, again, shelf), ""},
		{
			"too little water in the second",
			changes{jars("A", "B", "A"), days(a, b, one(wet("15:25", document.EventWaterLevel, 0.5)))},
			[]string{held, cover},
			jarsFor(shelf, again, shelf), "",
		},
		{
			"enough water, but of which load is not said",
			changes{jars("A", "B", "A"), days(
				a, inLoad("B", logged("15:20", document.EventBoilReached), logged("15:30", off)), one(wet("15:10", document.EventWaterLevel, 1.5)),
			)},
			[]string{ruleCover + " undetermined /batch"},
			jarsFor(shelf, hold, shelf), "",
		},
		{
			"two at once, the boil of one of them lost",
			changes{jars("A", "B", "A"), days(a, inLoad("B", reached("14:52"), logged("15:02", off)), one(logged("14:55", lost)))},
			[]string{record("events/4"), record("events/4"), open, open},
			allHold, "",
		},
		{
			"the end of a load, when both may have been in the canner",
			changes{jars("A", "B", "A"), days(a[:1], inLoad("B", reached("14:55"), logged("15:10", off)), one(logged("15:00", off)))},
			[]string{record("events/3"), record("events/3"), record("events/2"), open, open},
			allHold, "",
		},
		{"jars in before either", changes{jars("A", "B", "A"), days(a, b, one(logged("14:40", in)))}, nil, allShelf, ""},
		{"jars out after both, twice", changes{jars("A", "B", "A"), days(a, b, one(logged("16:00", out)), one(logged("16:01", out)))}, []string{
			record("events/5"), record("events/5"),
		}, allHold, ""},
		{"a jar of neither", changes{jars("A", "B"), days(a, b)}, []string{
			record("jars/2"), ruleHeld + " undetermined /batch", ruleCover + " undetermined /batch", seals,
		}, jarsFor(shelf, shelf, hold), ""},
		{"jars that may have been in a load that is named", changes{jars("", "B", ""), days(inLoad("", reached("14:50"), logged("15:00", off)), b)}, []string{
			record("jars/0"), record("jars/2"),
		}, jarsFor(hold, shelf, hold), shelf},
		{"jars that may have been in the load of others", changes{days(inLoad("", reached("14:50"), logged("15:00", off)), b)}, []string{
			record("jars/0"), record("jars/1"), record("jars/2"),
		}, allHold, ""},
		{"the load of others, named throughout", changes{jars("A", "A", "A"), days(a, b)}, nil, allShelf, ""},
		{
			"a level without a figure in the load of others",
			changes{jars("A", "A", "A"), days(a, b, inLoad("B", logged("15:25", document.EventWaterLevel)))},
			nil,
			allShelf, "",
		},
		{
			"the end of the first, of which only the jars' coming out is named",
			changes{jars("A", "B", "A"), days(inLoad("A", reached("14:50"), logged("15:06", out)), b, one(logged("15:00", off)))},
			nil,
			allShelf, "",
		},
		{
			"an end on the last moment of one load and before the other",
			changes{jars("A", "B", "A"), days(inLoad("A", reached("14:50"), logged("15:06", out)), b, one(logged("15:06", off)))},
			[]string{ruleLifting + " fail /batch/events/1"},
			allShelf, "",
		},
		{
			"the load of others that contradicts itself",
			changes{jars("A", "A", "A"), days(a, inLoad("B", reached("15:20"), reached("15:21"), logged("15:30", off)))},
			[]string{record("events/2"), record("events/3"), record("events/4")},
			allHold, "",
		},
		{
			"a second process beside jars that name no load",
			changes{days(inLoad("", reached("14:50"), logged("15:00", off)), b), onJar(0, func(j *document.BatchJar) {
				j.Reprocessed = &document.Reprocessing{Load: "B", NewLid: pointerTo(true)}
			})},
			nil,
			allShelf, "",
		},
		{
			"the same, and a jar whose load was not logged",
			changes{jars("", "C", ""), days(inLoad("", reached("14:50"), logged("15:00", off)), b), onJar(0, func(j *document.BatchJar) {
				j.Reprocessed = &document.Reprocessing{Load: "B", NewLid: pointerTo(true)}
			})},
			nil,
			allShelf, "",
		},
		{
			"the load of others, in which nothing ended",
			changes{jars("A", "A", "A"), days(a, b[:1])},
			[]string{record("events/2")},
			allHold, "",
		},
	} {
		test.check(t)
	}
}

// At low temperature it is the readings that make a process: 30 minutes at 180 °F or more.
func TestReadingsWithoutALoad(t *testing.T) {
	low := method(document.MethodLowTemperature)
	warmIn := func(load, clock string, fahrenheit float64) document.Event {
		event := warm(clock, fahrenheit)
		event.Load, event.WaterOverLids = load, quantity(1.5, "in")
		return event
	}
	twoLoads := func(f *fixture) { f.batch.Jars[0].Load, f.batch.Jars[1].Load, f.batch.Jars[2].Load = "A", "B", "A" }
	both := []document.Event{warmIn("A", "14:50", 181), warmIn("A", "15:20", 181), warmIn("B", "14:50", 181), warmIn("B", "15:20", 181)}
	ends := []document.Event{{At: at("15:21"), Event: document.EventHeatOff, Load: "A"}, {At: at("15:21"), Event: document.EventHeatOff, Load: "B"}}
	const open, held = ruleHeld + " undetermined /batch/events", ruleHeld + " fail /batch/events"
	for _, test := range []judgment{
		{"two loads", changes{low, twoLoads, log(append(both, ends...)...)}, nil, allShelf, ""},
		{
			"a reading of neither that is too cold",
			changes{low, twoLoads, log(append(append(both, ends...), warmIn("", "15:00", 170))...)},
			[]string{open, open},
			allHold, "",
		},
		{
			"readings of neither show no heat",
			changes{low, twoLoads, log(append([]document.Event{warmIn("A", "14:50", 181), warmIn("B", "14:50", 181), warmIn("", "15:20", 181)}, ends...)...)},
			[]string{open, open},
			allHold, "",
		},
		{"one load, readings without its name", changes{low, log(warmIn("", "14:50", 181), warmIn("", "15:20", 181), ends[0])}, nil, allShelf, ""},
		{
			"read too cold and warm enough at one moment, at the end",
			changes{low, log(warmIn("", "14:50", 181), warmIn("", "15:10", 181), warmIn("", "15:20", 181), warmIn("", "15:20", 170))},
			[]string{held},
			allReprocess, "",
		},
		{
			"read warm enough and too cold at one moment, in the midst",
			changes{low, log(warmIn("", "14:50", 181), warmIn("", "15:00", 170), warmIn("", "15:00", 181), warmIn("", "15:20", 181))},
			[]string{open},
			allHold, "",
		},
		{
			"topped up at 170 at the moment of a warm reading",
			changes{low, log(warmIn("", "14:50", 181), warmIn("", "15:20", 181), document.Event{
				At: at("15:20"), Event: document.EventBoilReached, Temperature: quantity(170, "F"),
			})},
			[]string{open},
			allHold, "",
		},
	} {
		test.check(t)
	}
}

// Of many contradictions of one load three are told and the others counted.
func TestContradictionsAreCounted(t *testing.T) {
	var events []document.Event
	events = append(events, wet("14:50", document.EventBoilReached, 1.5), logged("15:00", document.EventHeatOff))
	for range 5 {
		events = append(events, logged("15:10", document.EventToppedUp))
	}
	d := changed(log(events...)).day()
	got := foundBelow(d, "/batch/events")
	if len(got) != 4 || got[3] != "/batch/events: Further contradictions in the log: 2." {
		t.Errorf("%q", got)
	}
	if got := foundBelow(changed(log(events[:5]...)).day(), "/batch/events"); len(got) != 3 {
		t.Errorf("of three: %q", got)
	}
}
