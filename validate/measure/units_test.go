package measure

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func loadUnits(t testing.TB) *Units {
	t.Helper()
	units, err := LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	return units
}

func mustLookup(t testing.TB, units *Units, code string) Unit {
	t.Helper()
	unit, found := units.Lookup(code)
	if !found {
		t.Fatalf("no unit %q", code)
	}
	return unit
}

func relativeError(got, want float64) float64 { return math.Abs(got-want) / math.Abs(want) }

// Factors as the Unified Code for Units of Measure v2.2 (2024-06-17) defines them, worked out exactly from its
// definition chains; those without a UCUM code name their source in the row.
func TestFactorsEqualTheirDefinitions(t *testing.T) {
	const (
		mL = 1e-6
		g  = 1e-3
	)
	tests := []struct {
		code string
		si   float64
	}{
		{"tsp", 4.92892159375 * mL},     // [tsp_us]
		{"tbsp", 14.78676478125 * mL},   // [tbs_us]
		{"fl_oz", 29.5735295625 * mL},   // [foz_us]
		{"cup", 236.5882365 * mL},       // [cup_us]
		{"pt", 473.176473 * mL},         // [pt_us]
		{"qt", 946.352946 * mL},         // [qt_us]
		{"gal", 3785.411784 * mL},       // [gal_us], 231 cubic inches
		{"in3", 16.387064 * mL},         // [cin_i]
		{"peck", 8809.76754172 * mL},    // [pk_us]
		{"bushel", 35239.07016688 * mL}, // [bu_us]
		{"mL", 1 * mL},
		{"cL", 10 * mL},
		{"dL", 100 * mL},
		{"L", 1000 * mL},
		{"fl_oz_imp", 28.4130625 * mL}, // [foz_br]
		{"pt_imp", 568.26125 * mL},     // [pt_br]
		{"qt_imp", 1136.5225 * mL},     // [qt_br]
		{"gal_imp", 4546.09 * mL},      // [gal_br]
		{"drop", 0.05 * mL},            // [drp]
		{"tsp_metric", 5 * mL},         // New South Wales government chart
		{"tbsp_au", 20 * mL},           // New South Wales government chart
		{"cup_metric", 250 * mL},       // New South Wales government chart
		{"tbsp_metric", 15 * mL},       // table of spoon sizes by region, secondary
		{"oz", 28.349523125 * g},       // [oz_av]
		{"lb", 453.59237 * g},          // [lb_av]
		{"mg", 0.001 * g},
		{"kg", 1000 * g},
		{"in", 0.0254}, // [in_i]
		{"ft", 0.3048}, // [ft_i]
		{"min", 60},
		{"h", 3600},
		{"d", 86400},
		{"wk", 604800},
		{"psi", 6894.757},  // [psi], printed to seven digits
		{"inHg", 3386.389}, // conventional, printed to seven digits; from memory
	}
	units := loadUnits(t)
	for _, test := range tests {
		t.Run(test.code, func(t *testing.T) {
			if got := mustLookup(t, units, test.code).SI(1); relativeError(got, test.si) > 1e-7 {
				t.Errorf("1 %s = %v in SI, want %v", test.code, got, test.si)
			}
			if unit := mustLookup(t, units, test.code); unit.Exact && relativeError(unit.SI(1), test.si) > 1e-15 {
				t.Errorf("1 %s = %v in SI, is called exact, want %v", test.code, unit.SI(1), test.si)
			}
		})
	}
}

// NIST Office of Weights and Measures, household metric table: printed values, rounded to the digits printed.
func TestHouseholdMeasuresRoundToThePrintedMilliliters(t *testing.T) {
	tests := []struct {
		code      string
		printedML float64
		step      float64
	}{
		{"tsp", 4.9, 0.1}, {"tbsp", 15, 1}, {"fl_oz", 30, 1}, {"cup", 237, 1}, {"pt", 473, 1}, {"qt", 946, 1},
	}
	units := loadUnits(t)
	for _, test := range tests {
		t.Run(test.code, func(t *testing.T) {
			got := math.Round(Volume(mustLookup(t, units, test.code).SI(1)).Milliliters()/test.step) * test.step
			if math.Abs(got-test.printedML) > 1e-9 {
				t.Errorf("%s rounds to %v mL, want %v", test.code, got, test.printedML)
			}
		})
	}
}

// Fixed points: water freezes at 32 F and 0 C by definition of the scales; 212 F is 100 C; -40 is the same on both.
func TestFixedPointsOfTemperature(t *testing.T) {
	units := loadUnits(t)
	tests := []struct{ fahrenheit, celsius, kelvin float64 }{
		{32, 0, 273.15}, {212, 100, 373.15}, {-40, -40, 233.15}, {180, 82.0 + 2.0/9, 355.3722222222222},
	}
	for _, test := range tests {
		t.Run(fmt.Sprintf("%g F", test.fahrenheit), func(t *testing.T) {
			kelvin := mustLookup(t, units, "F").SI(test.fahrenheit)
			if math.Abs(kelvin-test.kelvin) > 1e-9 {
				t.Errorf("%v F = %v K, want %v", test.fahrenheit, kelvin, test.kelvin)
			}
			temperature := Temperature(kelvin)
			if math.Abs(temperature.Celsius()-test.celsius) > 1e-9 || math.Abs(temperature.Fahrenheit()-test.fahrenheit) > 1e-9 {
				t.Errorf("%v F reads %v C and %v F, want %v C", test.fahrenheit, temperature.Celsius(), temperature.Fahrenheit(), test.celsius)
			}
		})
	}
}

func TestConstantsEqualTheTable(t *testing.T) {
	units := loadUnits(t)
	for code, constant := range map[string]float64{
		"g": float64(Gram), "mL": float64(Milliliter), "mm": float64(Millimeter), "in": float64(Inch), "ft": float64(Foot),
		"min": float64(Minute), "d": float64(Day),
	} {
		if got := mustLookup(t, units, code).SI(1); got != constant {
			t.Errorf("1 %s = %v in the table, %v in the code", code, got, constant)
		}
	}
}

// The codes that a request may name are listed by quantity.schema.json, and schemas/drift_test.go holds the table to it. Of
// pressures and unmeasured amounts the code knows the list.
func TestCodesAreTheClosedList(t *testing.T) {
	want := map[Dimension]string{
		DimensionPressure:   "Pa hPa kPa bar psi inHg",
		DimensionUnmeasured: CodeToCover + " " + CodeAsNeeded,
	}
	units := loadUnits(t)
	total := 0
	for _, dimension := range Dimensions() {
		var codes []string
		for _, unit := range units.ByDimension(dimension) {
			codes = append(codes, unit.Code)
		}
		if got := strings.Join(codes, " "); len(codes) == 0 || want[dimension] != "" && got != want[dimension] {
			t.Errorf("%s: %s, want %s", dimension, got, want[dimension])
		}
		total += len(codes)
	}
	if all := units.All(); len(all) != total {
		t.Errorf("All lists %d units, the dimensions %d", len(all), total)
	}
}

func TestRoundTrip(t *testing.T) {
	units := loadUnits(t)
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom(units.All()).Draw(t, "unit")
		value := rapid.Float64Range(-1e6, 1e6).Draw(t, "value")
		if got := unit.From(unit.SI(value)); math.Abs(got-value) > 1e-9*(1+math.Abs(value)) {
			t.Fatalf("%v %s comes back as %v", value, unit.Code, got)
		}
	})
}

func TestConvertThereAndBack(t *testing.T) {
	units := loadUnits(t)
	measured := slices.DeleteFunc(Dimensions(), func(d Dimension) bool {
		return d == DimensionCount || d == DimensionUnmeasured
	})
	rapid.Check(t, func(t *rapid.T) {
		same := units.ByDimension(rapid.SampledFrom(measured).Draw(t, "dimension"))
		from, to := rapid.SampledFrom(same).Draw(t, "from"), rapid.SampledFrom(same).Draw(t, "to")
		value := rapid.Float64Range(0, 1e4).Draw(t, "value")
		there, err := units.Convert(value, from.Code, to.Code)
		if err != nil {
			t.Fatal(err)
		}
		back, err := units.Convert(there, to.Code, from.Code)
		if err != nil {
			t.Fatal(err)
		}
		// An affine scale loses digits where its offset is large beside the value.
		if math.Abs(back-value) > 1e-9*(1+value)*(1+to.Factor/from.Factor) {
			t.Fatalf("%v %s comes back from %s as %v", value, from.Code, to.Code, back)
		}
	})
}

func TestConvertRefuses(t *testing.T) {
	units := loadUnits(t)
	tests := []struct{ from, to, want string }{
		{"cup", "g", "no factor between volume and mass"},
		{"clove", "each", "no factor between count and count"},
		{"to_cover", "as_needed", "no factor"},
		{"pounds", "g", `unknown unit "pounds"`},
		{"lb", "grams", `unknown unit "grams"`},
	}
	for _, test := range tests {
		t.Run(test.from+" to "+test.to, func(t *testing.T) {
			if _, err := units.Convert(1, test.from, test.to); err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("convert %s to %s: error %v, want %q", test.from, test.to, err, test.want)
			}
		})
	}
	if got, err := units.Convert(3, "clove", "clove"); err != nil || got != 3 {
		t.Errorf("3 cloves are %v cloves, %v", got, err)
	}
}

func TestEverySpellingIsOfOneUnit(t *testing.T) {
	units := loadUnits(t)
	owner := map[string]string{}
	for _, unit := range units.All() {
		for _, spelling := range append([]string{unit.Code}, unit.Spellings...) {
			if other, taken := owner[spelling]; taken {
				t.Errorf("%q stands for %s and %s", spelling, other, unit.Code)
			}
			owner[spelling] = unit.Code
			if code, ok := units.Nearest(spelling); !ok || code != unit.Code {
				t.Errorf("nearest to %q is %q, want %q", spelling, code, unit.Code)
			}
		}
	}
}

// The spellings on the left are among the commonest of a count over 697,320 ingredient lines of published recipes.
func TestNearestUnitOfASpelling(t *testing.T) {
	units := loadUnits(t)
	tests := []struct{ wrong, want string }{
		{"pounds", "lb"},
		{"lbs.", "lb"},
		{"LB", "lb"},
		{"ml", "mL"},
		{"liters", "L"},
		{"tablespoons", "tbsp"},
		{"T", "tbsp"},
		{"t", "tsp"},
		{"Tbsp.", "tbsp"},
		{"teaspoon", "tsp"},
		{"cups", "cup"},
		{"c", "cup"},
		{"fluid ounces", "fl_oz"},
		{"fl oz", "fl_oz"},
		{"ounces", "oz"},
		{"cloves", "clove"},
		{"ribs", "stalk"},
		{"quarts", "qt"},
		{"gallon", "gal"},
		{"KG", "kg"},
		{"celsius", "C"},
		{"inches", "in"},
		{"minutes", "min"},
		{" pinches ", "pinch"},
		{"tablspoon", "tbsp"},
		{"pund", "lb"},
		{"minuts", "min"},
		{"galon", "gal"},
		{"litter", "L"},
	}
	for _, test := range tests {
		t.Run(test.wrong, func(t *testing.T) {
			if got, ok := units.Nearest(test.wrong); !ok || got != test.want {
				t.Errorf("nearest to %q is %q, want %q", test.wrong, got, test.want)
			}
		})
	}
	for _, wrong := range []string{"", "zzzzzz", "handful", "x"} {
		if got, ok := units.Nearest(wrong); ok {
			t.Errorf("nearest to %q is %q, want nothing", wrong, got)
		}
	}
}

func TestLookupIsCaseSensitive(t *testing.T) {
	units := loadUnits(t)
	for _, wrong := range []string{"ml", "LB", "Cup", "c", "f", " g"} {
		if unit, found := units.Lookup(wrong); found {
			t.Errorf("%q found %s", wrong, unit.Code)
		}
	}
}

func TestReadUnitsRefuses(t *testing.T) {
	header := strings.Join(unitColumns, ",")
	const gram = "g,gram,mass,0.001,0,exact,SI,src,g,read,gm\n"
	tests := []struct{ name, table, want string }{
		{"another header", "code,name\ng,gram\n", "header is not"},
		{"an empty file", "", "header is not"},
		{"a code that stands twice", header + "\n" + gram + gram, "stands twice"},
		{"a spelling of two units", header + "\n" + gram + "kg,kilo,mass,1,0,exact,SI,src,kg,read,gm\n", `"gm" stands for`},
		{"an unknown dimension", header + "\n" + strings.Replace(gram, "mass", "heaviness", 1), "unknown dimension"},
		{"a factor of zero", header + "\n" + strings.Replace(gram, "0.001", "0", 1), "not above zero"},
		{"a factor in words", header + "\n" + strings.Replace(gram, "0.001", "small", 1), "factor of"},
		{"a divisor in words", header + "\n" + strings.Replace(gram, "0.001", "5/nine", 1), "factor of"},
		{"an offset in words", header + "\n" + strings.Replace(gram, ",0,exact", ",none,exact", 1), "offset of"},
		{"a short row", header + "\ng,gram\n", "wrong number of fields"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if _, err := readUnits([]byte(test.table)); err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("%s: error %v, want %q", test.name, err, test.want)
			}
		})
	}
}
