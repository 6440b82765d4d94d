package rules

import (
	"slices"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/heating"
	"jarwright/validate/report"
)

func inKitchen(recipe document.Recipe) document.Request {
	return document.Request{Recipe: recipe, Kitchen: &document.Kitchen{Elevation: amount(500, "ft")}}
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
		{
			"cold brine in sterilized jars",
			document.Recipe{Pack: document.PackCold, JarPreparation: document.JarsSterilized},
			[]string{"/recipe/jar_preparation"},
		},
		{
			"jar at 20, brine at 100",
			document.Recipe{Pack: document.PackRaw, Temperatures: &document.Temperatures{Jar: celsiusOf(20), Brine: celsiusOf(100)}},
			[]string{"/recipe/temperatures/jar"},
		},
		{
			"jar at 60, brine at 95",
			document.Recipe{Pack: document.PackRaw, Temperatures: &document.Temperatures{Jar: celsiusOf(60), Brine: celsiusOf(95)}},
			nil,
		},
		{
			"cold canner",
			document.Recipe{Pack: document.PackHot, Temperatures: &document.Temperatures{Jar: celsiusOf(80), Canner: celsiusOf(10)}},
			[]string{"/recipe/temperatures/canner"},
		},
		{
			"boiling canner under a cold pack",
			document.Recipe{Pack: document.PackCold, Temperatures: &document.Temperatures{Canner: celsiusOf(99)}},
			[]string{"/recipe/temperatures/canner"},
		},
		{
			"hot pack into 180 °F",
			document.Recipe{Pack: document.PackHot, Temperatures: &document.Temperatures{Jar: celsiusOf(80), Canner: celsiusOf(82)}},
			nil,
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			var at []string
			for _, finding := range ThermalShock().Run(factsOf(t, inKitchen(test.recipe))) {
				at = append(at, finding.At)
				if finding.Message == "" || finding.Remedy == "" || finding.Measured.Value <= heating.ShockLimit().Value {
					t.Errorf("%+v", finding)
				}
			}
			if !slices.Equal(at, test.at) {
				t.Errorf("findings at %v, want %v", at, test.at)
			}
		})
	}
}

// The steps to the last degree, and what is done about each. Water boils at 99.46 °C at 500 ft; contents packed raw come to
// between 47.8 and 59.7 °C, those packed hot to 82.22 °C at least.
func TestThermalShockStepsAndFixes(t *testing.T) {
	of := func(recipe document.Recipe) func(*document.Request) {
		return func(r *document.Request) { *r = inKitchen(recipe) }
	}
	raw := func(temperatures document.Temperatures) func(*document.Request) {
		return of(document.Recipe{Pack: document.PackRaw, Temperatures: &temperatures})
	}
	hot := func(temperatures document.Temperatures) func(*document.Request) {
		return of(document.Recipe{Pack: document.PackHot, Temperatures: &temperatures})
	}
	nowhere := func(testing.TB) document.Request { return document.Request{} }
	prepared, jarAt, cannerAt := []string{"/recipe/jar_preparation"}, []string{"/recipe/temperatures/jar"}, []string{"/recipe/temperatures/canner"}
	kelvin := func(value float64) *report.Amount { return &report.Amount{Value: value, Unit: "°C"} }
	toHot := []report.Operation{operation("replace", "/recipe/jar_preparation", document.JarsHot)}
	jarTo := func(value float64) []report.Operation {
		return []report.Operation{operation("replace", "/recipe/temperatures/jar/value", value)}
	}
	cannerTo := func(value float64) []report.Operation {
		return []report.Operation{operation("replace", "/recipe/temperatures/canner/value", value)}
	}
	clean := document.Recipe{Pack: document.PackHot, JarPreparation: document.JarsClean}
	try(t, ThermalShock(), nowhere, []ruleCase{
		{name: "nothing said", want: report.NotApplicable},
		{name: "only the brine said", edit: raw(document.Temperatures{Brine: celsiusOf(100)}), want: report.NotApplicable},
		{name: "jars prepared, pack not said", edit: of(document.Recipe{JarPreparation: document.JarsClean}), want: report.NotApplicable},
		{name: "a canner, pack not said", edit: of(document.Recipe{Temperatures: &document.Temperatures{Canner: celsiusOf(5)}}), want: report.NotApplicable},
		{
			name: "a way of preparing that is not known", edit: of(document.Recipe{Pack: document.PackHot, JarPreparation: "dusted"}),
			want: report.NotApplicable,
		},
		{
			name: "clean jars", edit: of(clean), want: report.Fail, at: prepared, fix: toHot, measured: kelvin(79.47), limit: kelvin(42),
			says: "Between the empty jar and what is filled into it lie 79 °C (143 °F); beyond 42 °C a jar may crack. " +
				"Warm the jar to at least 58 °C (136 °F)",
		},
		{
			name: "clean jars, elevation not said", edit: both(of(clean), anywhere), want: report.Fail, at: prepared, fix: toHot,
			measured: kelvin(79.97),
		},
		{name: "clean jars where nothing boils", edit: both(of(clean), feet(1e6)), want: report.NotApplicable},
		{name: "42 °C apart", edit: raw(document.Temperatures{Jar: celsiusOf(58), Brine: celsiusOf(100)}), want: report.Pass},
		{
			name: "43 °C apart", edit: raw(document.Temperatures{Jar: celsiusOf(57), Brine: celsiusOf(100)}),
			want: report.Fail, at: jarAt, fix: jarTo(58), measured: kelvin(43),
		},
		{
			name: "in °F", edit: raw(document.Temperatures{Jar: amount(68, "F"), Brine: amount(212, "F")}),
			want: report.Fail, at: jarAt, fix: jarTo(137), measured: kelvin(80), says: "(137 °F)",
		},
		{
			name: "jar prepared and its temperature given", want: report.Fail, at: jarAt, fix: jarTo(58),
			edit: of(document.Recipe{
				Pack: document.PackRaw, JarPreparation: document.JarsHot, Temperatures: &document.Temperatures{Jar: celsiusOf(20), Brine: celsiusOf(100)},
			}),
		},
		{
			name: "brine from the refrigerator into sterilized jars", want: report.Fail, at: prepared, says: "Let the jar cool",
			edit: of(document.Recipe{
				Pack: document.PackCold, JarPreparation: document.JarsSterilized, Temperatures: &document.Temperatures{Brine: celsiusOf(4)},
			}),
		},
		{
			name: "hot pack into a cold canner", edit: hot(document.Temperatures{Canner: celsiusOf(10)}), want: report.Fail, at: cannerAt, fix: cannerTo(82),
			measured: kelvin(72.22), says: "Between the filled jar and the water of the canner lie 72 °C (130 °F); beyond 42 °C a jar may crack. Put the jars",
		},
		{
			name: "the same in °F", edit: hot(document.Temperatures{Canner: amount(50, "F")}), want: report.Fail, at: cannerAt, fix: cannerTo(180),
		},
		{name: "raw pack into a boiling canner", edit: raw(document.Temperatures{Canner: celsiusOf(99)}), want: report.Pass},
		{
			name: "raw pack into ice water", edit: raw(document.Temperatures{Canner: celsiusOf(4)}), want: report.Fail, at: cannerAt, fix: cannerTo(60),
			measured: kelvin(43.81),
		},
		{name: "cold pack into a boiling canner", want: report.Fail, at: cannerAt, measured: kelvin(79), edit: of(document.Recipe{
			Pack: document.PackCold, Temperatures: &document.Temperatures{Canner: celsiusOf(99)},
		})},
		{
			name: "a hot pack that has cooled, for which the printed canner is too hot as well", want: report.Fail, at: cannerAt,
			edit: hot(document.Temperatures{Brine: celsiusOf(30), Canner: celsiusOf(90)}),
		},
		{
			name: "both steps", want: report.Fail, at: []string{"/recipe/temperatures/jar", "/recipe/temperatures/canner"}, fix: jarTo(58),
			edit: hot(document.Temperatures{Jar: celsiusOf(20), Canner: celsiusOf(10)}),
		},
	})
}
