package rules

import (
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

const (
	methodAt = "/recipe/process/method"
	timeAt   = "/recipe/process/time"
	waterAt  = "/recipe/process/water_over_lids"
)

func minutes(value float64) func(*document.Request) {
	return func(r *document.Request) { r.Recipe.Process.Time = amount(value, "min") }
}

func untimed(r *document.Request) { r.Recipe.Process.Time = nil }

// heated sets a method and, from a time of 0 up, the minutes.
func heated(method string, time float64) func(*document.Request) {
	return func(r *document.Request) {
		r.Recipe.Process.Method = method
		minutes(time)(r)
	}
}

func both(edits ...func(*document.Request)) func(*document.Request) {
	return func(r *document.Request) {
		for _, edit := range edits {
			edit(r)
		}
	}
}

func feet(value float64) func(*document.Request) {
	return func(r *document.Request) { r.Kitchen.Elevation = amount(value, "ft") }
}

func anywhere(r *document.Request) { r.Kitchen = nil }

func inMinutes(value float64) *report.Amount { return &report.Amount{Value: value, Unit: "min"} }

func timeFix(op string, value float64) report.Operation {
	return operation(op, timeAt, quantityOf(value, "min"))
}

func waterFix(inches float64) report.Operation {
	return operation("add", waterAt, quantityOf(inches, "in"))
}

func TestPublishedMatch(t *testing.T) {
	list := []string{"/recipe/ingredients"}
	of := func(lines ...document.Ingredient) func(*document.Request) {
		return func(r *document.Request) { *r = untested(lines...) }
	}
	drained := more("potato", 2, "lb")
	drained.Drained = new(true)
	try(t, PublishedMatch(), dills, []ruleCase{
		{name: "as printed", want: report.Pass},
		{name: "not said where it is kept", edit: func(r *document.Request) { r.Recipe.Keep = "" }, want: report.Undetermined, at: []string{"/recipe"}},
		{name: "refrigerator", edit: refrigerated, want: report.NotApplicable},
		{
			name: "a food of the pressure tables", edit: of(more("potato", 2, "lb")), want: report.Fail, at: list,
			says: "potato without added acid is given 35 to 40 minutes in a pressure canner",
		},
		{
			name: "a food of one time", edit: of(more("fish", 2, "lb")), want: report.Fail, at: list,
			says: "fish without added acid is given 100 minutes in a pressure canner",
		},
		{
			name: "the same marked as poured away, which food never is", edit: of(drained, more("sugar", 1, "cup")), want: report.Fail, at: list,
			says: "potato without added acid is given 35 to 40 minutes",
		},
		{name: "an unknown food", edit: of(more("moon cheese", 2, "lb")), want: report.Fail, at: list, says: "no process time can be given. Keep"},
		{
			name: "the first food has no row, the second has", edit: of(more("moon cheese", 2, "lb"), more("sugar", 1, "cup"), more("potato", 2, "lb")),
			want: report.Fail, at: list, says: "potato without added acid",
		},
		{name: "acid food only", edit: of(more("rhubarb", 2, "lb")), want: report.Fail, at: list, says: "no process time can be given. Keep"},
	})
}

func TestMethod(t *testing.T) {
	at := []string{methodAt}
	boil := operation("replace", methodAt, document.MethodBoilingWater)
	only := []report.Operation{boil}
	cases := []ruleCase{
		{name: "boiling water", want: report.Pass},
		{name: "steam", edit: heated(document.MethodSteam, 10), want: report.Pass},
		{name: "low temperature", edit: heated(document.MethodLowTemperature, 30), want: report.Pass},
		{name: "refrigerator", edit: both(heated(document.MethodOven, 10), refrigerated), want: report.NotApplicable},
		{name: "no process", edit: func(r *document.Request) { r.Recipe.Process = nil }, want: report.Undetermined, at: []string{"/recipe"}},
		{name: "a time and no method", edit: heated("", 10), want: report.Undetermined, at: []string{"/recipe/process"}},
		{
			name: "long enough for the fix", edit: heated(document.MethodOven, 10), want: report.Fail, at: at, fix: only,
			says: "in boiling water for 10 minutes",
		},
		{name: "longer than it takes", edit: heated(document.MethodOven, 25), want: report.Fail, at: at, fix: only},
		{
			name: "half a minute short", edit: heated(document.MethodOven, 9.5), want: report.Fail, at: at,
			fix: []report.Operation{boil, timeFix("add", 10)},
		},
		{
			name: "without a time", edit: both(heated(document.MethodOven, 10), untimed), want: report.Fail, at: at,
			fix: []report.Operation{boil, timeFix("add", 10)},
		},
		{
			name: "without a time and an elevation", edit: both(heated(document.MethodOven, 10), untimed, anywhere), want: report.Fail, at: at,
			fix: []report.Operation{boil, timeFix("add", 20)}, says: "in boiling water for 20 minutes",
		},
		{
			name: "no printed time", edit: both(heated(document.MethodOven, 10), func(r *document.Request) { r.Recipe.Jar.ID = "half-gallon" }),
			want: report.Fail, at: at, fix: only,
		},
		{
			name: "with too little water for the fix", want: report.Fail, at: at, fix: []report.Operation{boil, waterFix(1)},
			edit: both(heated(document.MethodOven, 10), func(r *document.Request) { r.Recipe.Process.WaterOverLids = amount(0.9, "in") }),
		},
		{
			name: "2.5 cm of water is an inch", want: report.Fail, at: at, fix: only,
			edit: both(heated(document.MethodOven, 10), func(r *document.Request) { r.Recipe.Process.WaterOverLids = amount(2.5, "cm") }),
		},
		{
			name: "an inch but 2 %, to the last bit", want: report.Fail, at: at, fix: only,
			edit: both(heated(document.MethodOven, 10), func(r *document.Request) {
				r.Recipe.Process.WaterOverLids = amount(float64(1*measure.Inch)*(1-0.02), "m")
			}),
		},
		{
			name: "no word of the water", want: report.Fail, at: at, fix: []report.Operation{boil, waterFix(1)},
			edit: both(heated(document.MethodOven, 10), func(r *document.Request) { r.Recipe.Process.WaterOverLids = nil }),
		},
		{
			name: "so long that it takes 2 inches", edit: heated(document.MethodOven, 31), want: report.Fail, at: at,
			fix: []report.Operation{boil, waterFix(2)},
		},
	}
	for _, c := range []struct{ method, says string }{
		{document.MethodNone, "not heated at all"},
		{document.MethodOpenKettle, "open kettle"},
		{document.MethodOven, "An oven heats jars unevenly"},
		{document.MethodMicrowave, "A microwave oven"},
		{document.MethodDishwasher, "A dishwasher"},
		{document.MethodCanningPowder, "Canning powder does not preserve"},
		{document.MethodPressure, "no pressure process is printed"},
		{document.MethodMulticooker, "electric multi-cooker"},
		{"campfire", "not one a process was tested with"},
	} {
		cases = append(cases, ruleCase{name: c.method, edit: heated(c.method, 10), want: report.Fail, at: at, fix: only, says: c.says})
	}
	try(t, Method(), dills, cases)
	try(t, Method(), beets, []ruleCase{{
		name: "the time of the fix takes 2 inches", edit: both(heated(document.MethodOven, 10), feet(2000)), want: report.Fail, at: at,
		fix: []report.Operation{boil, timeFix("add", 35), waterFix(2)},
	}, {
		name: "the time of the fix takes 1 inch", want: report.Fail, at: at, fix: []report.Operation{boil, timeFix("add", 30)},
		edit: both(heated(document.MethodOven, 10), feet(500)),
	}})
}

func lowTemperature(time, temperature *document.Quantity) func(*document.Request) {
	return func(r *document.Request) {
		r.Recipe.Process.Method = document.MethodLowTemperature
		r.Recipe.Process.Time, r.Recipe.Process.Temperature = time, temperature
	}
}

func TestLowTemperature(t *testing.T) {
	temperatureAt := "/recipe/process/temperature"
	half := amount(30, "min")
	coldest, _ := factsOf(t, dills(t)).Limit("low-temperature-min")
	longer := []report.Operation{timeFix("add", 30)}
	warmer := []report.Operation{operation("replace", temperatureAt, quantityOf(180, "F"))}
	try(t, LowTemperature(), dills, []ruleCase{
		{name: "boiling water", want: report.NotApplicable},
		{name: "refrigerator", edit: both(lowTemperature(half, amount(180, "F")), refrigerated), want: report.NotApplicable},
		{name: "30 minutes at 180 °F", edit: lowTemperature(half, amount(180, "F")), want: report.Pass},
		{name: "an hour at 185 °F", edit: lowTemperature(amount(1, "h"), amount(185, "F")), want: report.Pass},
		{
			name: "28 minutes", edit: lowTemperature(amount(28, "min"), amount(180, "F")), want: report.Fail, at: []string{timeAt}, fix: longer,
			measured: inMinutes(28), limit: inMinutes(30), says: "28 minutes at low temperature are fewer than the 30",
		},
		{
			name: "half a minute short", edit: lowTemperature(amount(29.5, "min"), amount(180, "F")),
			want: report.Fail, at: []string{timeAt}, fix: longer,
		},
		{name: "no time", edit: lowTemperature(nil, amount(180, "F")), want: report.Undetermined, at: []string{"/recipe/process"}},
		{
			name: "1 °F too cold", edit: lowTemperature(half, amount(179, "F")), want: report.Fail, at: []string{temperatureAt}, fix: warmer,
			measured: &report.Amount{Value: 179, Unit: "F"}, limit: &report.Amount{Value: 180, Unit: "F"}, says: "colder than 180 °F",
		},
		{name: "82.2 °C is 180 °F", edit: lowTemperature(half, amount(82.2, "C")), want: report.Pass},
		{name: "82.18 °C is too", edit: lowTemperature(half, amount(82.18, "C")), want: report.Pass},
		{name: "0.05 K below, to the last bit", edit: lowTemperature(half, amount(coldest-0.05, "K")), want: report.Pass},
		{name: "82.16 °C is not", edit: lowTemperature(half, amount(82.16, "C")), want: report.Fail, at: []string{temperatureAt}, fix: warmer},
		{name: "no temperature", edit: lowTemperature(half, nil), want: report.Undetermined, at: []string{"/recipe/process"}},
		{
			name: "too short and too cold",
			edit: lowTemperature(amount(28, "min"), amount(179, "F")),
			want: report.Fail, at: []string{timeAt, temperatureAt}, fix: longer,
		},
		{
			name: "pack not said, allowed for all packs", want: report.Pass,
			edit: both(lowTemperature(half, amount(180, "F")), func(r *document.Request) { r.Recipe.Pack = "" }),
		},
	})
	boil := []report.Operation{
		operation("replace", methodAt, document.MethodBoilingWater), {Op: "remove", Path: temperatureAt},
	}
	try(t, LowTemperature(), beets, []ruleCase{
		{
			name: "not allowed", edit: lowTemperature(half, amount(180, "F")), want: report.Fail, at: []string{methodAt}, fix: boil,
			says: "“Pickled beets” has no low-temperature treatment",
		},
		{
			name: "pack not said, allowed for none", want: report.Fail, at: []string{methodAt}, fix: boil,
			edit: both(lowTemperature(half, amount(180, "F")), func(r *document.Request) { r.Recipe.Pack = "" }),
		},
	})
	try(t, LowTemperature(), beets, []ruleCase{{
		name: "a temperature at which water boils stays", edit: lowTemperature(half, amount(212, "F")), want: report.Fail, at: []string{methodAt}, fix: boil[:1],
	}})
	try(t, LowTemperature(), eggs, []ruleCase{{
		name: "a recipe without packs", edit: lowTemperature(half, amount(180, "F")), want: report.Fail, at: []string{methodAt},
		fix: append(boil, waterFix(1)),
	}})
}

// eggs is the recipe of refrigerated pickled eggs, put on the shelf.
func eggs(testing.TB) document.Request {
	vinegar := more("white vinegar", 4, "cup")
	vinegar.AcidityPercent, vinegar.Bottled = new(5.0), new(true)
	whole := more("egg", 16, "each")
	whole.Form = "hard-cooked, peeled"
	r := untested(whole, vinegar, more("sugar", 2, "tbsp"))
	r.Recipe.Follows, r.Recipe.Process = "refrigerated-pickled-eggs", &document.Process{}
	return r
}

func TestSteamLimit(t *testing.T) {
	boil := []report.Operation{operation("replace", methodAt, document.MethodBoilingWater)}
	steam := func(time float64) func(*document.Request) { return heated(document.MethodSteam, time) }
	try(t, SteamLimit(), beets, []ruleCase{
		{name: "boiling water", edit: minutes(60), want: report.NotApplicable},
		{name: "refrigerator", edit: both(steam(60), refrigerated), want: report.NotApplicable},
		{name: "45 minutes", edit: steam(45), want: report.Pass},
		{
			name: "46 minutes", edit: steam(46), want: report.Fail, at: []string{timeAt}, fix: append(boil, waterFix(2)),
			measured: inMinutes(46), limit: inMinutes(45), says: "46 minutes are more than the 45",
		},
		{name: "half a minute more", edit: steam(45.5), want: report.Fail, at: []string{timeAt}, fix: append(boil, waterFix(2))},
		{name: "no time", edit: both(steam(45), untimed), want: report.Undetermined, at: []string{"/recipe/process"}},
	})
}
