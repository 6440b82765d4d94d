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
			"the load of others, in which nothing ended",
			changes{jars("A", "A", "A"), days(a, b[:1])},
			[]string{record("events/2")},
			allHold, "",
		},
	} {
		test.check(t)
	}
}
