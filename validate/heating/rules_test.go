package heating

import (
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/rule"
)

func facts(t *testing.T, recipe document.Recipe) *rule.Facts {
	t.Helper()
	tables, err := catalog.Load()
	if err != nil {
		t.Fatal(err)
	}
	units, err := measure.LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	scale, err := composition.NewScale(tables, units)
	if err != nil {
		t.Fatal(err)
	}
	const elevationFt = 500
	elevation := elevationFt * measure.Foot
	f := &rule.Facts{Request: &document.Request{Recipe: recipe}, Tables: tables, Units: units, Scale: scale, Elevation: &elevation}
	f.Composition = composition.Read(f.Request, tables, scale)
	return f
}

func celsiusOf(value float64) *document.Quantity {
	return &document.Quantity{Value: &value, Unit: "C"}
}

// The worked cases of the reference notes on glass: brine at 100 °C into a jar at 20 °C is 80 K; at 95 °C into one at 60 °C
// it is 35 K. The limit of 42 K is trade practice, from memory.
func TestThermalShockOfARecipe(t *testing.T) {
	for _, test := range []struct {
		name   string
		recipe document.Recipe
		at     []string
	}{
		{"nothing said", document.Recipe{Pack: document.PackRaw}, nil},
		{"hot jars", document.Recipe{Pack: document.PackRaw, JarPreparation: document.JarsHot}, nil},
		{"sterilized jars", document.Recipe{Pack: document.PackHot, JarPreparation: document.JarsSterilized}, nil},
		{"cold jars", document.Recipe{Pack: document.PackHot, JarPreparation: document.JarsClean}, []string{"/recipe/jar_preparation"}},
		{"cold pack in cold jars", document.Recipe{Pack: document.PackCold, JarPreparation: document.JarsClean}, nil},
		{"cold brine in sterilized jars", document.Recipe{Pack: document.PackCold, JarPreparation: document.JarsSterilized}, []string{"/recipe/jar_preparation"}},
		{"jar at 20, brine at 100", document.Recipe{Pack: document.PackRaw, Temperatures: &document.Temperatures{Jar: celsiusOf(20), Brine: celsiusOf(100)}}, []string{"/recipe/temperatures/jar"}},
		{"jar at 60, brine at 95", document.Recipe{Pack: document.PackRaw, Temperatures: &document.Temperatures{Jar: celsiusOf(60), Brine: celsiusOf(95)}}, nil},
		{"cold canner", document.Recipe{Pack: document.PackHot, Temperatures: &document.Temperatures{Jar: celsiusOf(80), Canner: celsiusOf(10)}}, []string{"/recipe/temperatures/canner"}},
		{"boiling canner under a cold pack", document.Recipe{Pack: document.PackCold, Temperatures: &document.Temperatures{Canner: celsiusOf(99)}}, []string{"/recipe/temperatures/canner"}},
		{"hot pack into 180 °F", document.Recipe{Pack: document.PackHot, Temperatures: &document.Temperatures{Jar: celsiusOf(80), Canner: celsiusOf(82)}}, nil},
	} {
		var at []string
		f := facts(t, test.recipe)
		for _, finding := range ThermalShock().Run(f) {
			at = append(at, finding.At)
			if finding.Message == "" || finding.Remedy == "" || finding.Measured.Value <= ShockLimit().Value {
				t.Errorf("%s: %+v", test.name, finding)
			}
		}
		if len(at) != len(test.at) || len(at) > 0 && at[0] != test.at[0] {
			t.Errorf("%s: findings at %v, want %v", test.name, at, test.at)
		}
	}
}

// What heats: the coldest spot of a recipe reaches 160 °F sooner hot than raw, and a stricter target leaves a smaller share.
func TestExplain(t *testing.T) {
	recipe := func(pack string) document.Recipe {
		minutes, inch := 15.0, 0.5
		return document.Recipe{
			Jar: &document.Jar{ID: "pint"}, Pack: pack, Headspace: &document.Quantity{Value: &inch, Unit: "in"},
			Process:     &document.Process{Method: document.MethodBoilingWater, Time: &document.Quantity{Value: &minutes, Unit: "min"}},
			Ingredients: []document.Ingredient{{Item: "cucumber", Form: "spears", Per: "batch", Piece: &document.Piece{Thickness: &document.Quantity{Value: new(25.0), Unit: "mm"}}}},
		}
	}
	mild, strict := 3.9, 4.4
	raw, curves := Explain(facts(t, recipe(document.PackRaw)), &strict)
	hot, _ := Explain(facts(t, recipe(document.PackHot)), &strict)
	easier, _ := Explain(facts(t, recipe(document.PackRaw)), &mild)
	if len(raw) != 5 || len(hot) != 5 || len(easier) != 5 || len(curves) != 2 {
		t.Fatalf("%d, %d and %d figures, %d curves", len(raw), len(hot), len(easier), len(curves))
	}
	const reach, lethality, share = 0, 3, 4
	if raw[reach].Name != "minutes_to_160_f" || *hot[reach].Low > *raw[reach].Low {
		t.Errorf("160 °F: raw %+v, hot %+v", raw[reach], hot[reach])
	}
	if raw[lethality].Value > hot[lethality].Value || *raw[share].High >= *easier[share].High {
		t.Errorf("raw %+v, hot %+v, at pH 3.9 %+v", raw[share], hot[share], easier[share])
	}
	tooHigh := 4.7
	if unknown, _ := Explain(facts(t, recipe(document.PackRaw)), &tooHigh); len(unknown) != lethality {
		t.Errorf("above pH 4.6 no heating in boiling water is enough, but there are %d figures", len(unknown))
	}
	bare := recipe(document.PackRaw)
	bare.Process.Time = nil
	if list, curves := Explain(facts(t, bare), nil); list != nil || curves != nil {
		t.Errorf("without a time: %+v", list)
	}
}
