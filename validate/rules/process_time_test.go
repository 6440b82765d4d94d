package rules

import (
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

func jar(id string) func(*document.Request) {
	return func(r *document.Request) { r.Recipe.Jar = &document.Jar{ID: id} }
}

// bands gives a row of the time table, up to as many feet each; 0: open.
func row(bands ...catalog.Band) *catalog.Schedule { return &catalog.Schedule{Bands: bands} }

func possible(rows ...*catalog.Schedule) func(*facts.Facts) {
	return func(f *facts.Facts) { f.Match.Pack.Possible = rows }
}

// rounding is by how many minutes a time may miss through the rounding of units alone.
func rounding(t *testing.T) float64 {
	t.Helper()
	return factsOf(t, dills(t)).MinutesTolerance()
}

// The printed minutes of fresh-pack dills in pints: 10 up to 1,000 ft, 15 up to 6,000 ft, 20 above.
func TestAltitudeTime(t *testing.T) {
	short := []string{timeAt}
	longer := func(minutes, inches float64) []report.Operation {
		fix := []report.Operation{timeFix("replace", minutes)}
		if inches > 0 {
			fix = append(fix, waterFix(inches))
		}
		return fix
	}
	lowOnly := possible(row(catalog.Band{FromFt: 0, ToFt: 1000, Minutes: 10}))
	try(t, AltitudeTime(), dills, []ruleCase{
		{name: "10 minutes at 500 ft", want: report.Pass},
		{
			name: "half a minute short", edit: minutes(9.5), want: report.Fail, at: short, fix: longer(10, 0),
			measured: inMinutes(9.5), limit: inMinutes(10), says: "9.5 minutes are too few at 500 ft: “Quick fresh-pack dill pickles” takes 10. " +
				"Process for at least 10",
		},
		{
			name: "short by no more than rounding, to the last bit", want: report.Pass,
			facts: possible(row(catalog.Band{Minutes: 10 + rounding(t)})),
		},
		{name: "600 seconds", edit: func(r *document.Request) { r.Recipe.Process.Time = amount(1.0/6, "h") }, want: report.Pass},
		{name: "10 minutes at exactly 1,000 ft", edit: feet(1000), want: report.Pass},
		{name: "10 minutes at 1,001 ft", edit: feet(1001), want: report.Fail, at: short, fix: longer(15, 0), limit: inMinutes(15)},
		{name: "15 minutes at exactly 6,000 ft", edit: both(minutes(15), feet(6000)), want: report.Pass},
		{name: "15 minutes at 6,001 ft", edit: both(minutes(15), feet(6001)), want: report.Fail, at: short, fix: longer(20, 0)},
		{name: "at the elevation of the canning day", want: report.Fail, at: short, fix: longer(15, 0), edit: func(r *document.Request) {
			r.Batch = &document.Batch{Elevation: amount(2000, "ft")}
		}},
		{
			name: "elevation not known, too short anywhere",
			edit: both(minutes(9), anywhere),
			want: report.Fail, at: short, fix: longer(20, 0), says: "too few at any elevation",
		},
		{name: "elevation not known, enough for the lowest", edit: anywhere, want: report.Pass},
		{
			name: "no process", edit: func(r *document.Request) { r.Recipe.Process = nil },
			want: report.Undetermined, at: []string{"/recipe"}, says: "The process time is not given.",
		},
		{name: "no time", edit: untimed, want: report.Undetermined, at: []string{"/recipe/process"}, says: "The process time is not given."},
		{name: "a jar without a row", edit: jar("half-gallon"), want: report.Undetermined, at: []string{"/recipe/process"}, says: "No printed time applies"},
		{
			name: "above the table", edit: feet(2000), facts: lowOnly,
			want: report.Undetermined, at: []string{"/kitchen/elevation"}, says: "print no time for this elevation",
		},
		{
			name: "above one of two rows, too short for the other", edit: feet(2000), want: report.Fail, at: short,
			facts: possible(row(catalog.Band{FromFt: 0, ToFt: 1000, Minutes: 10}), row(catalog.Band{FromFt: 0, Minutes: 12})),
			says:  "takes 12",
		},
		{
			name: "the longest of several rows counts", facts: possible(row(catalog.Band{Minutes: 30}), row(catalog.Band{Minutes: 10})),
			edit: minutes(29), want: report.Fail, at: short, fix: longer(30, 0),
		},
		{name: "steam needs no water over the jars", edit: heated(document.MethodSteam, 9), want: report.Fail, at: short, fix: longer(10, 0)},
		{
			name: "too little water for the longer time", want: report.Fail, at: short, fix: longer(10, 1),
			edit: both(minutes(9), func(r *document.Request) { r.Recipe.Process.WaterOverLids = amount(0.9, "in") }),
		},
		{name: "method not said", edit: heated("", 9), want: report.Fail, at: short, fix: longer(10, 0)},
		{name: "low temperature", edit: heated(document.MethodLowTemperature, 9), want: report.NotApplicable},
		{name: "oven", edit: heated(document.MethodOven, 9), want: report.NotApplicable},
		{name: "refrigerator", edit: both(minutes(9), refrigerated), want: report.NotApplicable},
		{name: "no tested recipe", edit: func(r *document.Request) { *r = untested(more("potato", 1, "lb")) }, want: report.NotApplicable},
	})
	try(t, AltitudeTime(), base("tomatoes-with-okra-or-zucchini"), []ruleCase{{
		name: "a recipe for the pressure canner", want: report.NotApplicable,
		edit: func(r *document.Request) {
			r.Recipe.Process = &document.Process{Method: document.MethodBoilingWater, Time: amount(9, "min")}
		},
	}})
	try(t, AltitudeTime(), beets, []ruleCase{{
		name: "a time over 30 minutes takes 2 inches", edit: both(minutes(29), feet(2000)), want: report.Fail, at: short, fix: longer(35, 2),
	}})
}

func TestElevationKnown(t *testing.T) {
	at := []string{""}
	unknown := func(time float64) func(*document.Request) { return both(minutes(time), anywhere) }
	try(t, ElevationKnown(), dills, []ruleCase{
		{name: "known", want: report.NotApplicable},
		{name: "enough for the highest band", edit: unknown(20), want: report.Pass},
		{name: "short by no more than rounding, to the last bit", edit: unknown(20 - rounding(t)), want: report.Pass},
		{name: "20 minutes in hours", edit: both(anywhere, func(r *document.Request) { r.Recipe.Process.Time = amount(1.0/3, "h") }), want: report.Pass},
		{
			name: "enough for all bands but the highest", edit: unknown(19.5), want: report.Undetermined, at: at,
			says: "In a low kitchen 10 minutes are enough; in the highest it takes 20.",
		},
		{name: "no time", edit: both(untimed, anywhere), want: report.Undetermined, at: at},
		{
			name: "a table that ends", edit: unknown(60), facts: possible(row(catalog.Band{ToFt: 1000, Minutes: 10})),
			want: report.Undetermined, at: at, says: "print a time for low kitchens only",
		},
		{name: "no row", edit: both(anywhere, jar("half-gallon")), want: report.NotApplicable},
		{name: "low temperature", edit: both(heated(document.MethodLowTemperature, 30), anywhere), want: report.NotApplicable},
		{name: "refrigerator", edit: both(anywhere, refrigerated), want: report.NotApplicable},
	})
}

func TestOverProcessed(t *testing.T) {
	at := []string{timeAt}
	try(t, OverProcessed(), dills, []ruleCase{
		{name: "as printed", want: report.Pass},
		{name: "10 minutes in hours", edit: func(r *document.Request) { r.Recipe.Process.Time = amount(1.0/6, "h") }, want: report.Pass},
		{
			name: "half a minute more", edit: minutes(10.5), want: report.Fail, at: at, measured: inMinutes(10.5), limit: inMinutes(10),
			says: "10.5 minutes are more than the 10 that are printed",
		},
		{
			name: "longer by no more than rounding, to the last bit", want: report.Pass,
			facts: possible(row(catalog.Band{Minutes: 10 - rounding(t)})),
		},
		{name: "elevation not known, highest band", edit: both(minutes(20), anywhere), want: report.Pass},
		{name: "elevation not known, more than the highest band", edit: both(minutes(20.5), anywhere), want: report.Fail, at: at, limit: inMinutes(20)},
		{name: "no time", edit: untimed, want: report.NotApplicable},
		{name: "no row", edit: jar("half-gallon"), want: report.NotApplicable},
		{name: "oven", edit: heated(document.MethodOven, 60), want: report.NotApplicable},
		{name: "refrigerator", edit: both(minutes(60), refrigerated), want: report.NotApplicable},
	})
}

func TestSterileJars(t *testing.T) {
	prepared := func(how string) func(*document.Request) {
		return func(r *document.Request) { r.Recipe.JarPreparation = how }
	}
	sterilize := []report.Operation{operation("replace", "/recipe/jar_preparation", document.JarsSterilized)}
	try(t, SterileJars(), gherkins, []ruleCase{
		{name: "5 minutes, sterilized", want: report.Pass},
		{name: "5 minutes, hot", edit: prepared(document.JarsHot), want: report.Fail, at: []string{"/recipe/jar_preparation"}, fix: sterilize},
		{
			name: "9.5 minutes, clean", edit: both(minutes(9.5), prepared(document.JarsClean)),
			want: report.Fail, at: []string{"/recipe/jar_preparation"}, fix: sterilize,
		},
		{name: "5 minutes, not said", edit: prepared(""), want: report.Undetermined, at: []string{"/recipe"}},
		{name: "10 minutes, hot", edit: both(minutes(10), prepared(document.JarsHot)), want: report.NotApplicable},
		{
			name: "short by no more than rounding, to the last bit, hot", want: report.NotApplicable,
			edit: both(prepared(document.JarsHot), func(r *document.Request) { r.Recipe.Process.Time = amount(600-60*rounding(t), "s") }),
		},
		{name: "10 minutes in hours, hot", want: report.NotApplicable, edit: both(prepared(document.JarsHot), func(r *document.Request) {
			r.Recipe.Process.Time = amount(1.0/6, "h")
		})},
		{name: "no time", edit: both(untimed, prepared(document.JarsHot)), want: report.NotApplicable},
		{name: "no row", edit: both(jar("half-gallon"), prepared(document.JarsHot)), want: report.NotApplicable},
		{name: "oven", edit: both(heated(document.MethodOven, 5), prepared(document.JarsHot)), want: report.NotApplicable},
		{name: "refrigerator", edit: both(prepared(document.JarsHot), refrigerated), want: report.NotApplicable},
	})
}

func TestWaterCover(t *testing.T) {
	water := func(value float64, unit string) func(*document.Request) {
		return func(r *document.Request) { r.Recipe.Process.WaterOverLids = amount(value, unit) }
	}
	unsaid := func(r *document.Request) { r.Recipe.Process.WaterOverLids = nil }
	inInches := func(value float64) *report.Amount { return &report.Amount{Value: value, Unit: "in"} }
	at, fix := []string{waterAt}, []report.Operation{waterFix(1)}
	try(t, WaterCover(), dills, []ruleCase{
		{name: "1 inch", want: report.Pass},
		{name: "2.5 cm stand for an inch", edit: water(2.5, "cm"), want: report.Pass},
		{name: "0.98 in, to the last bit", edit: water(float64(1*measure.Inch)*(1-0.02), "m"), want: report.Pass},
		{name: "0.985 in", edit: water(0.985, "in"), want: report.Pass},
		{name: "0.97 in", edit: water(0.97, "in"), want: report.Fail, at: at, fix: fix},
		{
			name: "0.9 in", edit: water(0.9, "in"), want: report.Fail, at: at, fix: fix, measured: inInches(0.9), limit: inInches(1),
			says: "it takes at least 1 in",
		},
		{name: "not said", edit: unsaid, want: report.Undetermined, at: []string{"/recipe/process"}, fix: fix},
		{
			name: "vouched for", edit: both(unsaid, func(r *document.Request) { r.Assume = &document.Assume{WaterOverLids: amount(1, "in")} }),
			want: report.Pass,
		},
		{name: "1 inch for 30 minutes", edit: minutes(30), want: report.Pass},
		{name: "1 inch for 31 minutes where 10 are printed", edit: minutes(31), want: report.Pass},
		{
			name: "1 inch for 31 minutes where none are printed", edit: both(minutes(31), jar("half-gallon")),
			want: report.Fail, at: at, fix: []report.Operation{waterFix(2)}, limit: inInches(2),
		},
		{name: "1 inch for 30 minutes where none are printed", edit: both(minutes(30), jar("half-gallon")), want: report.Pass},
		{name: "2 inches for 31 minutes", edit: both(minutes(31), water(2, "in")), want: report.Pass},
		{name: "1 inch, time not given", edit: untimed, want: report.Pass},
		{name: "1 inch for an hour at low temperature", edit: heated(document.MethodLowTemperature, 60), want: report.Pass},
		{name: "0.9 in at low temperature", edit: both(heated(document.MethodLowTemperature, 30), water(0.9, "in")), want: report.Fail, at: at, fix: fix},
		{name: "steam", edit: both(heated(document.MethodSteam, 10), unsaid), want: report.NotApplicable},
		{name: "refrigerator", edit: both(unsaid, refrigerated), want: report.NotApplicable},
	})
}

// The larger jar of the fix takes its own time: dills in quarts 15 minutes at 500 ft, 25 in the highest band.
func TestTimeFix(t *testing.T) {
	quart := func(f *facts.Facts) *catalog.Schedule {
		printed, ok := f.Tables.Schedule("u15-freshpack-dill-raw-quart")
		if !ok {
			panic("no row")
		}
		return printed
	}
	for _, test := range []struct {
		name string
		edit func(*document.Request)
		row  func(*facts.Facts) *catalog.Schedule
		want []report.Operation
	}{
		{"too short", nil, quart, []report.Operation{timeFix("add", 15)}},
		{"half a minute short", minutes(14.5), quart, []report.Operation{timeFix("add", 15)}},
		{"long enough", minutes(15), quart, nil},
		{"elevation not known", anywhere, quart, []report.Operation{timeFix("add", 25)}},
		{"water too low", func(r *document.Request) { r.Recipe.Process.WaterOverLids = nil }, quart, []report.Operation{timeFix("add", 15), waterFix(1)}},
		{"so long that it takes 2 inches", nil, func(*facts.Facts) *catalog.Schedule { return row(catalog.Band{Minutes: 40}) }, []report.Operation{
			timeFix("add", 40), waterFix(2),
		}},
		{"30 minutes take 1 inch", nil, func(*facts.Facts) *catalog.Schedule { return row(catalog.Band{Minutes: 30}) }, []report.Operation{timeFix("add", 30)}},
		{"no time", untimed, quart, nil},
		{"no process", func(r *document.Request) { r.Recipe.Process = nil }, quart, nil},
		{"no row", nil, func(*facts.Facts) *catalog.Schedule { return nil }, nil},
		{"no bands", nil, func(*facts.Facts) *catalog.Schedule { return row() }, nil},
		{"above the table", feet(2000), func(*facts.Facts) *catalog.Schedule { return row(catalog.Band{ToFt: 1000, Minutes: 60}) }, nil},
	} {
		t.Run(test.name, func(t *testing.T) {
			request := dills(t)
			if test.edit != nil {
				test.edit(&request)
			}
			f := factsOf(t, request)
			if got := TimeFix(f, test.row(f)); !sameOperations(got, test.want) {
				t.Errorf("%+v, want %+v", got, test.want)
			}
		})
	}
}
