package rules

import (
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/heating"
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
		var at []string
		f := factsOf(t, inKitchen(test.recipe))
		for _, finding := range ThermalShock().Run(f) {
			at = append(at, finding.At)
			if finding.Message == "" || finding.Remedy == "" || finding.Measured.Value <= heating.ShockLimit().Value {
				t.Errorf("%s: %+v", test.name, finding)
			}
		}
		if len(at) != len(test.at) || len(at) > 0 && at[0] != test.at[0] {
			t.Errorf("%s: findings at %v, want %v", test.name, at, test.at)
		}
	}
}
