package facts

import (
	"math"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/measure"
)

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Max(1, math.Abs(b)) }

func TestForShelfAndMatched(t *testing.T) {
	for _, test := range []struct {
		name           string
		edit           func(*document.Request)
		shelf, matched bool
	}{
		{"shelf", func(*document.Request) {}, true, true},
		{"not said", func(r *document.Request) { r.Recipe.Keep = "" }, true, true},
		{"refrigerator", func(r *document.Request) { r.Recipe.Keep = document.KeepRefrigerator }, false, false},
		{"like no tested recipe", func(r *document.Request) {
			r.Recipe.Ingredients = []document.Ingredient{{Item: "potato", Amount: amount(2, "lb"), Per: document.PerBatch}}
		}, true, false},
	} {
		t.Run(test.name, func(t *testing.T) {
			f := factsOf(t, test.edit)
			if f.ForShelf() != test.shelf || f.Matched() != test.matched {
				t.Errorf("shelf %v, matched %v", f.ForShelf(), f.Matched())
			}
		})
	}
}

func TestMethodAndTime(t *testing.T) {
	f := factsOf(t)
	if time, given := f.Time(); f.Method() != document.MethodBoilingWater || !given || time != 10*measure.Minute {
		t.Errorf("%q for %v, given %v", f.Method(), time, given)
	}
	f = factsOf(t, func(r *document.Request) { r.Recipe.Process.Time = nil })
	if _, given := f.Time(); f.Method() != document.MethodBoilingWater || given {
		t.Error("no time was given")
	}
	f = factsOf(t, func(r *document.Request) { r.Recipe.Process = nil })
	if time, given := f.Time(); f.Method() != "" || given || time != 0 {
		t.Errorf("no process: %q for %v, given %v", f.Method(), time, given)
	}
}

func TestWaterOverLids(t *testing.T) {
	assume := func(r *document.Request) { r.Assume = &document.Assume{WaterOverLids: amount(3, "in")} }
	unsaid := func(r *document.Request) { r.Recipe.Process.WaterOverLids = nil }
	for _, test := range []struct {
		name   string
		edits  []func(*document.Request)
		inches float64 // below 0: not given
	}{
		{"in the recipe", nil, 1},
		{"in the recipe and vouched for", []func(*document.Request){assume}, 1},
		{"vouched for", []func(*document.Request){unsaid, assume}, 3},
		{"vouched for, no process", []func(*document.Request){func(r *document.Request) { r.Recipe.Process = nil }, assume}, 3},
		{"neither", []func(*document.Request){unsaid}, -1},
		{"something else vouched for", []func(*document.Request){unsaid, func(r *document.Request) { r.Assume = &document.Assume{} }}, -1},
		{"a number missing", []func(*document.Request){func(r *document.Request) { r.Recipe.Process.WaterOverLids.Value = nil }}, -1},
	} {
		t.Run(test.name, func(t *testing.T) {
			depth, given := factsOf(t, test.edits...).WaterOverLids()
			if given != (test.inches >= 0) || given && !near(depth.Inches(), test.inches) {
				t.Errorf("%v in, given %v", depth.Inches(), given)
			}
		})
	}
}

func TestElevation(t *testing.T) {
	day := func(r *document.Request) { r.Batch = &document.Batch{Elevation: amount(2000, "m")} }
	for _, test := range []struct {
		name  string
		edits []func(*document.Request)
		m     float64 // NaN: not given
	}{
		{"of the kitchen", nil, 152.4},
		{"of the canning day", []func(*document.Request){day}, 2000},
		{"of the kitchen, the canning day says none", []func(*document.Request){func(r *document.Request) { r.Batch = &document.Batch{} }}, 152.4},
		{"no kitchen", []func(*document.Request){func(r *document.Request) { r.Kitchen = nil }}, math.NaN()},
		{"no kitchen, a canning day", []func(*document.Request){func(r *document.Request) { r.Kitchen = nil }, day}, 2000},
		{"a kitchen anywhere", []func(*document.Request){func(r *document.Request) { r.Kitchen = &document.Kitchen{} }}, math.NaN()},
	} {
		t.Run(test.name, func(t *testing.T) {
			f := factsOf(t, test.edits...)
			if (f.Elevation == nil) != math.IsNaN(test.m) || f.Elevation != nil && !near(float64(*f.Elevation), test.m) {
				t.Errorf("%v", f.Elevation)
			}
		})
	}
}

func TestQuantities(t *testing.T) {
	f := factsOf(t)
	if si, ok := f.SI(amount(1, "in")); !ok || !near(si, 0.0254) {
		t.Errorf("an inch is %v m, %v", si, ok)
	}
	for _, q := range []*document.Quantity{nil, {Unit: "in"}, amount(1, "furlong")} {
		if _, ok := f.SI(q); ok {
			t.Errorf("%+v has a value", q)
		}
	}
	if got := f.In(amount(7, "in"), 0.0254/3); got == nil || got.Value != 0.3333 || got.Unit != "in" {
		t.Errorf("a third of an inch is %+v", got)
	}
	if got := f.In(amount(7, "furlong"), 1); got != nil {
		t.Errorf("an unknown unit gives %+v", got)
	}
	if si, limit := f.Limit("low-temperature-min"); !near(si, 355.3722222222222) || limit.Value != 180 || limit.Unit != "F" {
		t.Errorf("180 °F are %v K, %+v", si, limit)
	}
	if plain, limit := f.Limit("vinegar-acidity-min"); plain != 5 || limit.Unit != "percent" {
		t.Errorf("5 percent are %v, %+v", plain, limit)
	}
}

func TestJarAndHeadspace(t *testing.T) {
	f := factsOf(t)
	if jar, known := f.Jar(); !known || jar.CapacityML != 473.176473 {
		t.Errorf("%+v, %v", jar, known)
	}
	if depth, said := f.Headspace(); !said || !near(depth.Inches(), 0.5) {
		t.Errorf("%v, %v", depth, said)
	}
	f = factsOf(t, func(r *document.Request) {
		r.Recipe.Jar, r.Recipe.Headspace, r.Recipe.Follows = nil, nil, ""
		r.Recipe.Ingredients = []document.Ingredient{{Item: "potato", Amount: amount(2, "lb"), Per: document.PerBatch}}
	})
	if jar, known := f.Jar(); known || jar.CapacityML != 0 {
		t.Errorf("no jar is said, but there is %+v", jar)
	}
	if depth, said := f.Headspace(); said || depth != 0 {
		t.Errorf("no headspace is said, but there is %v", depth)
	}
}

// Water boils at 99.5 °C at 500 ft and 93.4 °C at 6,000 ft.
func TestTemperatures(t *testing.T) {
	boil := func(f *Facts) float64 {
		boilingC, ok := f.BoilingC()
		if !ok {
			t.Fatal("no boiling point")
		}
		return boilingC
	}
	f := factsOf(t)
	boilingC := boil(f)
	if math.Abs(boilingC-99.46) > 0.1 {
		t.Errorf("water boils at %v °C at 500 ft", boilingC)
	}
	if _, ok := factsOf(t, func(r *document.Request) { r.Kitchen = nil }).BoilingC(); ok {
		t.Error("there is a boiling point without an elevation")
	}
	if _, ok := factsOf(t, func(r *document.Request) { r.Kitchen.Elevation = amount(1e6, "ft") }).BoilingC(); ok {
		t.Error("there is a boiling point in space")
	}
	brine := func(value float64) func(*document.Request) {
		return func(r *document.Request) { r.Recipe.Temperatures = &document.Temperatures{Brine: amount(value, "C")} }
	}
	for _, test := range []struct {
		name string
		edit func(*document.Request)
		want float64
	}{
		{"nothing said", func(*document.Request) {}, boilingC},
		{"only the jar", func(r *document.Request) { r.Recipe.Temperatures = &document.Temperatures{Jar: amount(50, "C")} }, boilingC},
		{"below the boil", brine(95), 95},
		{"no brine boils over", brine(120), boilingC},
		{"no brine is ice", brine(-5), 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := factsOf(t, test.edit).LiquidC(boilingC); !near(got, test.want) {
				t.Errorf("%v °C, want %v", got, test.want)
			}
		})
	}
}

func TestBathC(t *testing.T) {
	boilingC, _ := factsOf(t).BoilingC()
	method := func(method string, temperature *document.Quantity) func(*document.Request) {
		return func(r *document.Request) { r.Recipe.Process.Method, r.Recipe.Process.Temperature = method, temperature }
	}
	anywhere := func(r *document.Request) { r.Kitchen = nil }
	for _, test := range []struct {
		name  string
		edits []func(*document.Request)
		want  float64 // NaN: not known
	}{
		{"boiling water", nil, boilingC},
		{"steam", []func(*document.Request){method(document.MethodSteam, nil)}, boilingC},
		{"low temperature", []func(*document.Request){method(document.MethodLowTemperature, amount(83, "C"))}, 83},
		{"low temperature above the boil", []func(*document.Request){method(document.MethodLowTemperature, amount(150, "C"))}, boilingC},
		{"low temperature, not said", []func(*document.Request){method(document.MethodLowTemperature, nil)}, math.NaN()},
		{"low temperature anywhere", []func(*document.Request){method(document.MethodLowTemperature, amount(83, "C")), anywhere}, math.NaN()},
		{"boiling water anywhere", []func(*document.Request){anywhere}, math.NaN()},
		{"oven", []func(*document.Request){method(document.MethodOven, nil)}, math.NaN()},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, ok := factsOf(t, test.edits...).BathC()
			if ok == math.IsNaN(test.want) || ok && !near(got, test.want) {
				t.Errorf("%v °C, known %v, want %v", got, ok, test.want)
			}
		})
	}
}
