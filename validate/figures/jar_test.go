package figures

import (
	"reflect"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/report"
)

// A pint holds 473.2 mL, is 60.3 mm wide at the mouth and 121 mm high. Half an inch of headspace, 12.7 mm, is
// 3.1416 / 4 x 6.03^2 x 1.27 = 36.27 mL. Eight pounds of cucumbers are 3,629 g: 1.038 g to each mL of a jar, 0.519 as loose beans,
// 1.557 as beets. Nine jars take 3,932 mL, of which pieces leave 35 to 50 % to the liquid. Air of 995.1 hPa, 29.39 inHg, less
// the vapor of water at 20 °C, 0.69 inHg, and hardly any air that is left.
func TestJarOfDills(t *testing.T) {
	f := factsOf(t, dills(t))
	inside := []report.Input{of("capacity", 473.2, "mL"), of("mouth", 60.3, "mm"), of("headspace", 12.7, "mm")}
	swell := []report.Input{of("packed_at", 53.77, "°C"), of("boiling_point", 99.47, "°C"), of("salt", 3.669, "%"), of("sugar", 1.437, "%")}
	batch := []report.Input{of("food_as_weighed", 3629, "g"), of("food", 3635, "mL"), of("liquid", 3382, "mL"), of("fill_of_a_jar", 436.9, "mL")}
	nine := append(batch[:4:4], of("jars", 9, "jars"))
	list := Jar(f)
	compare(t, list, []wanted{
		plainly("headspace_volume", 36.27, "mL", inside...),
		plainly("fill_volume", 436.9, "mL", inside...),
		plainly("longest_upright_piece", 108.3, "mm", of("interior_height", 121, "mm"), of("headspace", 12.7, "mm")),
		{"swelling_to_the_boil", 2.726, 2.422, 3.009, "%", swell},
		{"least_headspace_for_swelling", 4.397, 3.918, 4.84, "mm", swell},
		plainly("vacuum_at_most", 28.69, "inHg", of("air_pressure", 995.1, "hPa"), of("closed_at", 99.47, "°C"), of("stored_at", 20, "°C"),
			of("headspace_fraction", 0.07665, "1")),
		{"jars_filled", 8, 7, 9, "jars", batch}, // as printed
		plainly("contents_for_up_to", 16.39, "jars", batch...),
		plainly("food_in_jar", 403.2, "g", of("jars", 9, "jars"), of("most_in_print", 518.4, "g")),
		{"brine_needed", 1376, 1376, 1966, "mL", nine},
		{"brine_left_over", 2005, 1415, 2005, "mL", nine},
	})
	if len(list) != 11 {
		t.Errorf("%v", names(list))
	}
}

// The 1,002 mL of a kilogram of food and 1,067 mL of liquid fill 2,069 / 436.9 pints of relish; packed hot they are 82 to 99 °C.
func TestJarOfRelish(t *testing.T) {
	recipe := relish()
	recipe.Jar, recipe.Headspace, recipe.Pack = &document.Jar{ID: "pint"}, amount(0.5, "in"), document.PackHot
	list := Jar(factsOf(t, inKitchen(recipe)))
	batch := []report.Input{of("food_as_weighed", 1000, "g"), of("food", 1002, "mL"), of("liquid", 1067, "mL"), of("fill_of_a_jar", 436.9, "mL")}
	swell := []report.Input{of("packed_at", 90.84, "°C"), of("boiling_point", 99.47, "°C"), of("salt", 1.783, "%"), of("sugar", 8.915, "%")}
	compare(t, list, []wanted{
		{"jars_filled", 2.205, 1.929, 2.48, "jars", batch}, // the nearest printed relish, whose cucumbers are drained
		{"swelling_to_the_boil", 0.5638, 0, 1.099, "%", swell},
	})
	if find(list, "brine_needed") != nil || find(list, "brine_left_over") != nil {
		t.Error("a relish is not filled up with brine")
	}
}

func TestJarLeavesOut(t *testing.T) {
	everything := names(Jar(factsOf(t, dills(t))))
	without := func(left ...string) []string {
		var rest []string
		for _, name := range everything {
			keep := true
			for _, out := range left {
				keep = keep && name != out
			}
			if keep {
				rest = append(rest, name)
			}
		}
		return rest
	}
	const vacuum, over, upTo, inJar = "vacuum_at_most", "brine_left_over", "contents_for_up_to", "food_in_jar"
	swelling := []string{"swelling_to_the_boil", "least_headspace_for_swelling"}
	for _, test := range []struct {
		name  string
		edit  func(*document.Request)
		facts func(*facts.Facts)
		want  []string
	}{
		{"no jar", func(r *document.Request) { r.Recipe.Jar = nil }, nil, nil},
		{"no headspace", nil, func(f *facts.Facts) { f.Contents.Headspace = nil }, nil},
		{"headspace deeper than the jar", func(r *document.Request) { r.Recipe.Headspace = amount(10, "in") }, nil, nil},
		{"no elevation", func(r *document.Request) { r.Kitchen = nil }, nil, without(vacuum)},
		{"in space", func(r *document.Request) { r.Kitchen.Elevation = amount(1e6, "ft") }, nil, without(append(swelling, vacuum)...)},
		{"pack not said", func(r *document.Request) { r.Recipe.Pack = "" }, nil, without(append(swelling, vacuum)...)},
		{"not heated", func(r *document.Request) { r.Recipe.Process.Method = document.MethodNone }, nil, without(swelling...)},
		{"refrigerator", func(r *document.Request) { r.Recipe.Keep = document.KeepRefrigerator }, nil, without(swelling...)},
		{
			"food not weighed", func(r *document.Request) { r.Recipe.Ingredients[0].Amount = &document.Quantity{Unit: "as_needed"} }, nil,
			without("jars_filled", upTo, inJar, "brine_needed", over),
		},
		{"brine not known", nil, func(f *facts.Facts) { f.Contents.Batch.BrineML = 0 }, without(upTo, over)},
		{
			"boiled down to no fraction",
			nil,
			func(f *facts.Facts) { f.Contents.Batch.Pieces, f.Contents.Batch.BoilsDown = false, true },
			without(upTo, "brine_needed", over),
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			request := dills(t)
			if test.edit != nil {
				test.edit(&request)
			}
			f := factsOf(t, request)
			if test.facts != nil {
				test.facts(f)
			}
			if got := names(Jar(f)); !reflect.DeepEqual(got, test.want) {
				t.Errorf("%v, want %v", got, test.want)
			}
		})
	}
}

// What the boil, the bath or the pack closes the jar at.
func TestVacuumIsClosedAt(t *testing.T) {
	for _, test := range []struct {
		name string
		edit func(*document.Request)
		want float64
	}{
		{"boiling water", func(*document.Request) {}, 99.47},
		{"no process said", func(r *document.Request) { r.Recipe.Process = nil }, 99.47},
		{"low temperature", func(r *document.Request) {
			r.Recipe.Process.Method, r.Recipe.Process.Temperature = document.MethodLowTemperature, amount(83, "C")
		}, 83},
		{"not heated", func(r *document.Request) { r.Recipe.Process.Method = document.MethodNone }, 53.77},
	} {
		t.Run(test.name, func(t *testing.T) {
			request := dills(t)
			test.edit(&request)
			vacuum := find(Jar(factsOf(t, request)), "vacuum_at_most")
			if vacuum == nil || vacuum.Inputs[1] != of("closed_at", test.want, "°C") {
				t.Errorf("%+v", vacuum)
			}
		})
	}
}

// The number of jars is an input where the recipe says it, and the shape of one's own jar has no other source.
func TestJarsAndShape(t *testing.T) {
	request := dills(t)
	request.Recipe.Jars = nil
	if needed := find(Jar(factsOf(t, request)), "brine_needed"); len(needed.Inputs) != 5 {
		t.Errorf("%+v", needed.Inputs)
	}
	known := find(Jar(factsOf(t, request)), "fill_volume").Sources
	request.Recipe.Jar = &document.Jar{Capacity: amount(473.2, "mL"), Mouth: amount(60, "mm"), InteriorHeight: amount(200, "mm")}
	own := find(Jar(factsOf(t, request)), "fill_volume").Sources
	if known[0].Source != "memory" || own[0].Source != "practice" || own[0].Locator != "measures given in the request" {
		t.Errorf("%+v and %+v", known, own)
	}
	// Deeper than the neck the headspace may be wider than the mouth.
	request = dills(t)
	request.Recipe.Headspace = amount(40, "mm")
	deep := find(Jar(factsOf(t, request)), "headspace_volume")
	if deep.Low == nil || deep.High == nil || *deep.Low >= *deep.High {
		t.Errorf("%+v", deep)
	}
}

// Without an elevation the boil is that of sea level, 99.97 °C.
func TestSwellingAtSeaLevel(t *testing.T) {
	request := dills(t)
	request.Kitchen = nil
	if got := find(Jar(factsOf(t, request)), "swelling_to_the_boil"); got.Inputs[1] != of("boiling_point", 99.97, "°C") {
		t.Errorf("%+v", got.Inputs)
	}
}
