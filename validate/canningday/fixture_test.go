package canningday

import (
	"cmp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// shared is what all tests of the package read: the published tables, as the service has them.
type shared struct {
	tables *catalog.Tables
	units  *measure.Units
	scale  *composition.Scale
}

var loaded = sync.OnceValue(func() shared {
	tables, err := catalog.Load()
	if err != nil {
		panic(err)
	}
	units, err := measure.LoadUnits()
	if err != nil {
		panic(err)
	}
	scale, err := composition.NewScale(tables, units)
	if err != nil {
		panic(err)
	}
	return shared{tables, units, scale}
})

// Rows of the tables that the days below go by. Fresh-pack dills in pints take 10 minutes up to 1,000 ft, 15 up to 6,000
// and 20 above (usda-2015, p. 6-12); bread-and-butter pickles stand 4 to 5 weeks; the relish keeps a month in the
// refrigerator.
const (
	dills          = "quick-fresh-pack-dill-pickles"
	breadAndButter = "bread-and-butter-pickles"
	coldRelish     = "pickled-pepper-onion-relish-refrigerated"
)

// fixture is a request with what the rest of the service would have worked out of it.
type fixture struct {
	document.Request
	batch     *document.Batch
	tested    string // id of the tested recipe; empty: none is near
	schedules []catalog.Schedule
	style     int // index of the printed pack
	recipe    Recipe
}

func quantity(value float64, unit string) *document.Quantity {
	return &document.Quantity{Value: &value, Unit: unit}
}

func pointerTo[T any](value T) *T { return &value }

// at is a time of 15 August 2026 in UTC, such as 14:05; with a day before it, such as "16 08:00", of that day of August.
func at(text string) string {
	day, clock, found := strings.Cut(text, " ")
	if !found {
		day, clock = "15", text
	}
	if len(clock) == len("14:05") {
		clock += ":00"
	}
	return "2026-08-" + day + "T" + clock + "Z"
}

// goodDay is a day as it should be: pints of fresh-pack dills at 400 ft, 10 minutes in boiling water under 1.5 in, three
// jars that were looked at 14 hours after the heat was off and have sealed.
func goodDay() *fixture {
	f := &fixture{tested: dills, recipe: Recipe{Disposition: report.Shelf}}
	f.batch = &document.Batch{
		PackedAt: at("14:05"), Elevation: quantity(400, "ft"),
		Events: []document.Event{
			{At: at("14:25"), Event: document.EventJarsIn},
			{At: at("14:50"), Event: document.EventBoilReached, WaterOverLids: quantity(1.5, "in")},
			{At: at("15:00"), Event: document.EventHeatOff},
			{At: at("15:01"), Event: document.EventLidOff},
			{At: at("15:06"), Event: document.EventJarsOut},
		},
	}
	for _, id := range []string{"1", "2", "3"} {
		check := document.SealCheck{At: at("16 05:00"), Center: document.CenterDown, Lid: document.LidConcave}
		f.batch.Jars = append(f.batch.Jars, document.BatchJar{ID: id, SealChecks: []document.SealCheck{check}, Labeled: pointerTo(true)})
	}
	f.Request = document.Request{
		Recipe: document.Recipe{
			Name: "Dills", Keep: document.KeepShelf, Pack: document.PackRaw, Process: &document.Process{Method: document.MethodBoilingWater},
		},
		Batch: f.batch, AsOf: at("16 06:00"),
	}
	return f
}

// changed is a good day with some changes.
func changed(changes ...func(*fixture)) *fixture {
	f := goodDay()
	for _, change := range changes {
		change(f)
	}
	return f
}

// facts is what the rest of the service works out of the request, but that the tested recipe is named.
func (f *fixture) facts() *facts.Facts {
	all := loaded()
	read := &facts.Facts{Request: &f.Request, Tables: all.tables, Units: all.units, Times: facts.ReadTimes(&f.Request)}
	if si, ok := read.SI(read.ElevationWritten()); ok {
		read.Elevation = pointerTo(measure.Length(si))
	}
	read.Composition = composition.Read(&f.Request, all.tables, all.scale)
	if f.tested == "" {
		return read
	}
	tested, ok := all.tables.Recipe(f.tested)
	if !ok {
		panic("no tested recipe " + f.tested)
	}
	read.Match = match.Match{Recipe: tested}
	read.Match.Pack.Style = &tested.Packs[f.style]
	for i := range f.schedules {
		read.Match.Pack.Possible = append(read.Match.Pack.Possible, &f.schedules[i])
	}
	if f.schedules == nil {
		for _, id := range tested.Packs[f.style].Schedules {
			row, _ := all.tables.Schedule(id)
			read.Match.Pack.Possible = append(read.Match.Pack.Possible, row)
		}
	}
	return read
}

// day reads the record.
func (f *fixture) day() *Day { return Read(f.facts()) }

// report is what the day comes to.
func (f *fixture) report() report.Report {
	recipe := f.recipe
	recipe.Remedies = map[string]string{ruleHeadspace: "Remedy of the rule."}
	var r report.Report
	f.day().Complete(recipe, &r)
	return r
}

// findingsOf lists what a day found as "rule outcome place", sorted.
func findingsOf(d *Day) []string {
	var all []string
	for i := range d.findings {
		f := &d.findings[i]
		all = append(all, f.rule+" "+string(f.Outcome)+" "+f.At)
	}
	slices.Sort(all)
	return all
}

// finding is the first finding of a rule.
func finding(t *testing.T, d *Day, id string) *dayFinding {
	t.Helper()
	for i := range d.findings {
		if d.findings[i].rule == id {
			return &d.findings[i]
		}
	}
	t.Fatalf("%s found nothing; found is %v", id, findingsOf(d))
	return nil
}

// sameAmount reports whether a figure of a finding is what is wanted; empty unit: none.
func sameAmount(got *report.Amount, value float64, unit string) bool {
	if got == nil {
		return unit == ""
	}
	return got.Value == value && got.Unit == unit
}

// The events of a log, by the time of each.

func log(events ...document.Event) func(*fixture) {
	return func(f *fixture) { f.batch.Events = events }
}

func logged(clock, kind string) document.Event { return document.Event{At: at(clock), Event: kind} }

// wet is an event with a reading of the water over the lids.
func wet(clock, kind string, inches float64) document.Event {
	return document.Event{At: at(clock), Event: kind, WaterOverLids: quantity(inches, "in")}
}

// warm is a reading of the water in degrees Fahrenheit.
func warm(clock string, fahrenheit float64) document.Event {
	return document.Event{At: at(clock), Event: document.EventTemperature, Temperature: quantity(fahrenheit, "F")}
}

// inLoad puts events into a load.
func inLoad(load string, events ...document.Event) []document.Event {
	for i := range events {
		events[i].Load = load
	}
	return events
}

// atDawn is a process before the day of the mountains has begun.
func atDawn(f *fixture) {
	log(wet("06:50", document.EventBoilReached, 1.5), logged("07:00", document.EventHeatOff))(f)
}

// allIn puts every jar and event that names no load into one.
func allIn(load string) func(*fixture) {
	return func(f *fixture) {
		for i := range f.batch.Jars {
			f.batch.Jars[i].Load = cmp.Or(f.batch.Jars[i].Load, load)
		}
		for i := range f.batch.Events {
			f.batch.Events[i].Load = cmp.Or(f.batch.Events[i].Load, load)
		}
	}
}

// onJar changes one jar, the first is 0.
func onJar(i int, change func(*document.BatchJar)) func(*fixture) {
	return func(f *fixture) { change(&f.batch.Jars[i]) }
}

func asOf(text string) func(*fixture) { return func(f *fixture) { f.AsOf = text } }

func method(name string) func(*fixture) {
	return func(f *fixture) { f.Recipe.Process.Method = name }
}

func testedRecipe(id string) func(*fixture) { return func(f *fixture) { f.tested = id } }

func elevation(feet float64) func(*fixture) {
	return func(f *fixture) { f.batch.Elevation = quantity(feet, "ft") }
}

// fewJars keeps the first few jars.
func fewJars(n int) func(*fixture) {
	return func(f *fixture) { f.batch.Jars = f.batch.Jars[:n] }
}

// dispositions are what the jars come to, in their order.
func dispositions(r report.Report) []report.Disposition {
	var all []report.Disposition
	for i := range r.Jars {
		all = append(all, r.Jars[i].Disposition)
	}
	return all
}

func moment(t *testing.T, text string) time.Time {
	t.Helper()
	read := document.ParseTime(text)
	if !read.Known {
		t.Fatalf("%q is no time", text)
	}
	return read.Time
}

// changes are made to a good day one after the other.
type changes = []func(*fixture)

// judgment is a day, everything that is found on it, and what its jars come to.
type judgment struct {
	name     string
	changes  changes
	findings []string // rule, outcome and place, sorted
	jars     []report.Disposition
	batch    report.Disposition // empty: as the first jar
}

func (j judgment) check(t *testing.T) {
	t.Helper()
	t.Run(j.name, func(t *testing.T) {
		f := changed(j.changes...)
		slices.Sort(j.findings)
		if got := findingsOf(f.day()); !slices.Equal(got, j.findings) {
			t.Errorf("found is\n%q, want\n%q", got, j.findings)
		}
		r := f.report()
		if got := dispositions(r); !slices.Equal(got, j.jars) {
			t.Errorf("the jars are %v, want %v", got, j.jars)
		}
		batch := j.batch
		if batch == "" {
			batch = j.jars[0]
		}
		if r.Batch.Disposition != batch {
			t.Errorf("the batch is %s because of %v, want %s", r.Batch.Disposition, r.Batch.Because, batch)
		}
	})
}

func jarsFor(all ...report.Disposition) []report.Disposition { return all }

// Three jars of one disposition.
var (
	allShelf       = jarsFor(report.Shelf, report.Shelf, report.Shelf)
	allHold        = jarsFor(report.Hold, report.Hold, report.Hold)
	allReprocess   = jarsFor(report.Reprocess, report.Reprocess, report.Reprocess)
	allRefrigerate = jarsFor(report.Refrigerate, report.Refrigerate, report.Refrigerate)
	allDiscard     = jarsFor(report.Discard, report.Discard, report.Discard)
)
