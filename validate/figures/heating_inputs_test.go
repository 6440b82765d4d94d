package figures

import (
	"math"
	"strings"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/heating"
	"jarwright/validate/report"
)

// whole is a request whose jars heat: whole dills in pints for 10 minutes in boiling water, changed.
func whole(t *testing.T, edits ...func(*document.Request)) document.Request {
	t.Helper()
	request := dills(t)
	for _, edit := range edits {
		edit(&request)
	}
	return request
}

func inputOf(t *testing.T, list []report.Derived, name string) float64 {
	t.Helper()
	if len(list) == 0 {
		t.Fatal("no figures")
	}
	for _, in := range list[0].Inputs {
		if in.Name == name {
			return in.Value
		}
	}
	t.Fatalf("no input %s in %+v", name, list[0].Inputs)
	return 0
}

// What goes into the reckoning. 436.9 mL that stand 108.3 mm high are as wide as a cylinder of 35.83 mm; raw food takes on
// 35 to 50 % of the 79.47 K between a room of 20 °C and the boil.
func TestHeatingInputs(t *testing.T) {
	first := func(r *document.Request) *document.Ingredient { return &r.Recipe.Ingredients[0] }
	cut := func(form string, thickness float64) func(*document.Request) {
		return func(r *document.Request) {
			first(r).Form, first(r).Piece = form, &document.Piece{Thickness: amount(thickness, "mm")}
		}
	}
	temperatures := func(value document.Temperatures) func(*document.Request) {
		return func(r *document.Request) { r.Recipe.Temperatures = &value }
	}
	pack := func(how string) func(*document.Request) { return func(r *document.Request) { r.Recipe.Pack = how } }
	for _, test := range []struct {
		name  string
		edit  func(*document.Request)
		input string
		want  float64
	}{
		{"raw pack, coldest", pack(document.PackRaw), "packed_at_low", 47.81},
		{"raw pack, warmest", pack(document.PackRaw), "packed_at_high", 59.73},
		{"hot pack, coldest", pack(document.PackHot), "packed_at_low", 82.22},
		{"brine that is not boiling", temperatures(document.Temperatures{Brine: amount(80, "C")}), "packed_at_high", 50},
		{"canner for a raw pack", pack(document.PackRaw), "canner", 60},
		{"canner for a hot pack", pack(document.PackHot), "canner", 82.22},
		{"canner for a cold pack", pack(document.PackCold), "canner", 20},
		{"canner as given", temperatures(document.Temperatures{Canner: amount(70, "C")}), "canner", 70},
		{"no canner is hotter than its bath", temperatures(document.Temperatures{Canner: amount(120, "C")}), "canner", 99.47},
		{"temperatures given, not that of the canner", temperatures(document.Temperatures{Jar: amount(70, "C")}), "canner", 60},
		{"low temperature", func(r *document.Request) {
			r.Recipe.Process.Method, r.Recipe.Process.Temperature = document.MethodLowTemperature, amount(83, "C")
		}, "bath", 83},
		{"boiling water", func(*document.Request) {}, "bath", 99.47},
		{"minutes", func(*document.Request) {}, "time", 10},
		{"radius of the jar", func(*document.Request) {}, "radius_of_jar", 35.83},
		{"no thickness said", func(*document.Request) {}, "radius_of_pieces", 0},
		{"spears 25 mm thick", cut("spears", 25), "radius_of_pieces", 12.5},
		{"whole, 30 mm across", cut("whole", 30), "radius_of_pieces", 15},
		{"slices count as liquid", cut("sliced", 10), "radius_of_pieces", 0},
		{"pieces of a millimeter", cut("spears", 1), "radius_of_pieces", 0.5},
		{"pieces of less count as liquid", cut("spears", 0.9), "radius_of_pieces", 0},
		{"pieces wider than the jar are as wide as it", cut("whole", 90), "radius_of_pieces", 35.83},
		{"the thickest of several", func(r *document.Request) {
			cut("spears", 25)(r)
			r.Recipe.Ingredients = append(r.Recipe.Ingredients,
				document.Ingredient{Item: "carrot", Form: "sticks", Amount: amount(1, "oz"), Per: "batch", Piece: &document.Piece{Thickness: amount(28, "mm")}},
				document.Ingredient{Item: "okra", Form: "whole", Amount: amount(1, "oz"), Per: "batch", Piece: &document.Piece{Thickness: amount(20, "mm")}})
		}, "radius_of_pieces", 14},
		{"pieces that are marked as poured away, which food never is", func(r *document.Request) {
			r.Recipe.Ingredients = append(r.Recipe.Ingredients, document.Ingredient{
				Item: "carrot", Form: "sticks", Amount: amount(1, "oz"), Per: "batch", Drained: new(true), Piece: &document.Piece{Thickness: amount(28, "mm")},
			})
		}, "radius_of_pieces", 14},
		{"a spice", func(r *document.Request) {
			r.Recipe.Ingredients = append(r.Recipe.Ingredients, document.Ingredient{
				Item: "cinnamon stick", Form: "whole", Amount: amount(1, "each"), Per: "batch", Piece: &document.Piece{Thickness: amount(28, "mm")},
			})
		}, "radius_of_pieces", 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			list, _ := Heating(factsOf(t, whole(t, test.edit)), nil)
			if got := inputOf(t, list, test.input); got != test.want {
				t.Errorf("%s %v, want %v", test.input, got, test.want)
			}
		})
	}
}

// Whole pieces of a length are long, whole ones without are round.
func TestThickest(t *testing.T) {
	for _, test := range []struct {
		name, form    string
		length        *document.Quantity
		shape         heating.Shape
		radiusM, jarM float64
	}{
		{"whole", "whole", nil, heating.RoundPieces, 0.015, 0.04},
		{"whole and long", "whole", amount(4, "in"), heating.LongPieces, 0.015, 0.04},
		{"strips", "strips", nil, heating.LongPieces, 0.015, 0.04},
		{"a narrow jar", "strips", nil, heating.LongPieces, 0.01, 0.01},
	} {
		t.Run(test.name, func(t *testing.T) {
			f := factsOf(t, whole(t, func(r *document.Request) {
				r.Recipe.Ingredients[0].Form = test.form
				r.Recipe.Ingredients[0].Piece = &document.Piece{Length: test.length, Thickness: amount(30, "mm")}
			}))
			if shape, radiusM := thickest(f, test.jarM); shape != test.shape || radiusM != test.radiusM {
				t.Errorf("%v of %v m, want %v of %v m", shape, radiusM, test.shape, test.radiusM)
			}
		})
	}
}

func TestHeatingLeavesOut(t *testing.T) {
	for _, test := range []struct {
		name string
		edit func(*document.Request)
	}{
		{"no jar", func(r *document.Request) { r.Recipe.Jar = nil }},
		{"headspace deeper than the jar", func(r *document.Request) { r.Recipe.Headspace = amount(10, "in") }},
		{"headspace as deep as the jar", func(r *document.Request) { r.Recipe.Headspace = amount(121, "mm") }},
		{"no pack", func(r *document.Request) { r.Recipe.Pack = "" }},
		{"no elevation", func(r *document.Request) { r.Kitchen = nil }},
		{"no time", func(r *document.Request) { r.Recipe.Process.Time = nil }},
		{"no method", func(r *document.Request) { r.Recipe.Process.Method = "" }},
		{"a time without end", func(r *document.Request) { r.Recipe.Process.Time = amount(1e9, "h") }},
	} {
		t.Run(test.name, func(t *testing.T) {
			if list, curves := Heating(factsOf(t, whole(t, test.edit)), nil); list != nil || curves != nil {
				t.Errorf("%v", names(list))
			}
		})
	}
	f := factsOf(t, whole(t))
	f.Contents.Headspace = nil
	if list, _ := Heating(f, nil); list != nil {
		t.Errorf("no headspace: %v", names(list))
	}
}

// In water of 75 °C no coldest spot comes to 180 °F, which is 82 °C; in an hour of boiling both bounds do.
func TestHeatingReaches(t *testing.T) {
	tepid, _ := Heating(factsOf(t, whole(t, func(r *document.Request) {
		r.Recipe.Process = &document.Process{Method: document.MethodLowTemperature, Time: amount(30, "min"), Temperature: amount(75, "C")}
	})), nil)
	if find(tepid, "minutes_to_180_f") != nil || find(tepid, "minutes_to_160_f") == nil {
		t.Errorf("%v", names(tepid))
	}
	short, _ := Heating(factsOf(t, whole(t)), nil)
	first := find(short, "minutes_to_160_f")
	if first.High != nil || first.Value != *first.Low || !strings.HasSuffix(first.Formula, ", which does not get there in this process") {
		t.Errorf("in 10 minutes: %+v", first)
	}
	hours, _ := Heating(factsOf(t, whole(t, func(r *document.Request) { r.Recipe.Process.Time = amount(4, "h") })), nil)
	first = find(hours, "minutes_to_160_f")
	if first.High == nil || first.Value != *first.High || *first.Low >= *first.High || strings.HasSuffix(first.Formula, "process") {
		t.Errorf("in four hours: %+v", first)
	}
}

// The lethality over its target, 5.6 minutes at 160 °F with a z of 16.7 °F where nothing is believed of the pH.
func TestHeatingLethality(t *testing.T) {
	list, curves := Heating(factsOf(t, whole(t)), nil)
	sum, share := find(list, "accumulated_lethality"), find(list, "lethality_over_target")
	if sum == nil || share == nil || sum.Value != *sum.Low || *sum.Low >= *sum.High || share.Value != *share.Low {
		t.Fatalf("%+v, %+v", sum, share)
	}
	if *share.Low != report.Rounded(*sum.Low/5.6) || *share.High != report.Rounded(*sum.High/5.6) {
		t.Errorf("%v to %v of 5.6 are not %v to %v", *sum.Low, *sum.High, *share.Low, *share.High)
	}
	want := []report.Input{of("ph", 4.6, "pH"), of("target", 5.6, "min"), of("reference", 71.11, "°C"), of("z", 9.278, "K")}
	got := sum.Inputs[len(sum.Inputs)-len(want):]
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("%+v, want %+v", got[i], want[i])
		}
	}
	// The curves begin as the jars were packed, 21 minutes before the timer starts, and are written to hundredths.
	low, high := curves[0], curves[1]
	if low.Xs[0] != -21 || low.Ys[0] != 47.81 || high.Ys[0] != 59.73 || len(low.Xs) != len(low.Ys) || len(high.Xs) != len(high.Ys) || low.Xs[1] != -20.51 {
		t.Errorf("from %v: %v and %v, then %v", low.Xs[0], low.Ys[0], high.Ys[0], low.Xs[1])
	}
	// A pack of one temperature has one estimate for both starts.
	hot, _ := Heating(factsOf(t, whole(t, func(r *document.Request) {
		r.Recipe.Pack, r.Recipe.Temperatures = document.PackHot, &document.Temperatures{Brine: amount(80, "C")}
	})), nil)
	if a, b := inputOf(t, hot, "packed_at_low"), inputOf(t, hot, "packed_at_high"); a != 80 || b != 80 {
		t.Errorf("packed at %v to %v", a, b)
	}
}

// Of two foods that are as thick the first decides, and no minute is written as less than nothing.
func TestHeatingTies(t *testing.T) {
	f := factsOf(t, whole(t, func(r *document.Request) {
		r.Recipe.Ingredients[0].Form, r.Recipe.Ingredients[0].Piece = "spears", &document.Piece{Thickness: amount(25, "mm")}
		r.Recipe.Ingredients = append(r.Recipe.Ingredients, document.Ingredient{
			Item: "okra", Form: "whole", Amount: amount(1, "oz"), Per: "batch", Piece: &document.Piece{Thickness: amount(25, "mm")},
		})
	}))
	if shape, _ := thickest(f, 0.04); shape != heating.LongPieces {
		t.Errorf("%v", shape)
	}
	gathered := heatingFigures{curve: heating.Curve{Minutes: []float64{-0.001}, LowC: []float64{20}, HighC: []float64{20}}}
	if first := gathered.curves()[0].Xs[0]; first != 0 || math.Signbit(first) {
		t.Errorf("%v", first)
	}
}
