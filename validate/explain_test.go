package validate

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/report"
)

func reportWith(t testing.TB, body []byte, options report.Options) report.Report {
	t.Helper()
	r, problem := checker.Check(nil, body, options)
	if problem != nil {
		t.Fatalf("refused: %+v", problem)
	}
	return r
}

func figure(t testing.TB, r report.Report, name string) report.Derived {
	t.Helper()
	for _, d := range r.Derived {
		if d.Name == name {
			return d
		}
	}
	t.Fatalf("no %s in %+v", name, r.Derived)
	return report.Derived{}
}

// What the report works out is what the packages behind it compute, for half a batch of dill cucumbers in pints at 400 ft.
// Outside truth: boiling point and pressure at 400 ft by IAPWS-IF97 and the standard atmosphere, between the rows for 0 and
// 500 ft of testdata/worked/altitude.csv (99.974 and 99.468 °C); the mouth-wide headspace of half an inch holds 36.3 mL
// (testdata/worked/headspace.csv); a pint takes pieces of about 4 in (common practice, no source).
func TestFiguresOfAReport(t *testing.T) {
	r := reportWith(t, readFile(t, "examples", "dill-cucumbers.json"), report.Options{})
	for _, test := range []struct {
		name      string
		low, high float64
	}{
		{"boiling_point", 99.468, 99.974},
		{"air_pressure", 995.1, 1013.25},
		{"headspace_volume", 36.2, 36.4},
		{"fill_volume", 473.18 - 36.4, 473.18 - 36.2},
		{"longest_upright_piece", 4 * 25.4, 4.5 * 25.4},
		{"least_headspace_for_swelling", 1, 12.7},
		{"vacuum_at_most", 15, 29.92}, // above the 13 to 15 inHg of surveyed jars, below all the air there is
		{"jars_filled", 3.5, 4.5},     // 8 lb give 7 to 9 pints: p. 6-10
	} {
		if d := figure(t, r, test.name); d.Value < test.low || d.Value > test.high {
			t.Errorf("%s = %g %s, want %g to %g", test.name, d.Value, d.Unit, test.low, test.high)
		}
	}
}

// Every figure says its formula, its inputs and sources that can be looked up, and lies within its bounds.
func TestFiguresAreAccountedFor(t *testing.T) {
	names := map[string]bool{}
	for _, v := range sample(variants(t), 7) {
		for _, d := range reportWith(t, v.body, report.Options{Curves: true}).Derived {
			names[d.Name] = true
			if d.Formula == "" || d.Unit == "" || len(d.Inputs) == 0 || len(d.Sources) == 0 {
				t.Errorf("%s: %+v", v.name, d)
			}
			for _, s := range d.Sources {
				if _, ok := checker.tables.Source(s.Source); !ok {
					t.Errorf("%s: %s cites %q, which is not in the bibliography", v.name, d.Name, s.Source)
				}
			}
			for _, value := range append([]float64{d.Value}, values(d.Inputs)...) {
				if math.IsNaN(value) || math.IsInf(value, 0) {
					t.Errorf("%s: %s is not a number: %+v", v.name, d.Name, d)
				}
			}
			if d.Low != nil && d.Value < *d.Low || d.High != nil && d.Value > *d.High {
				t.Errorf("%s: %s %g is not between %v and %v", v.name, d.Name, d.Value, *d.Low, d.High)
			}
		}
	}
	for _, name := range []string{
		"boiling_point_fahrenheit", "swelling_to_the_boil", "brine_needed", "brine_left_over", "minutes_to_160_f",
		"minutes_to_180_f", "accumulated_lethality", "lethality_over_target",
	} {
		if !names[name] {
			t.Errorf("no report has %s", name)
		}
	}
}

func values(inputs []report.Input) []float64 {
	var list []float64
	for _, input := range inputs {
		list = append(list, input.Value)
	}
	return list
}

// Every document named in the data files of the physics is in the bibliography.
func TestPhysicsCitesTheBibliography(t *testing.T) {
	checked := 0
	for _, folder := range []string{"altitude", "headspace", "heating"} {
		files, err := filepath.Glob(filepath.Join("table", folder, "*.csv"))
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range files {
			text, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			rows, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
			if err != nil {
				t.Fatal(err)
			}
			column := slices.Index(rows[0], "source")
			if column < 0 {
				t.Errorf("%s has no column source", name)
				continue
			}
			for _, row := range rows[1:] {
				checked++
				if _, ok := checker.tables.Source(row[column]); !ok {
					t.Errorf("%s: source %q of %s is not in the bibliography", name, row[column], row[0])
				}
			}
		}
	}
	if checked < 100 {
		t.Errorf("%d rows", checked)
	}
}

// The figures explain. With and without them a report says the same of the jars.
func TestFiguresGrantNothing(t *testing.T) {
	for _, v := range sample(variants(t), 11) {
		plain, curved := reportWith(t, v.body, report.Options{}), reportWith(t, v.body, report.Options{Curves: true})
		if len(plain.Curves) > 0 {
			t.Errorf("%s: curves that were not asked for", v.name)
		}
		if plain.Disposition != curved.Disposition || len(plain.Findings) != len(curved.Findings) {
			t.Errorf("%s: %s with %d findings, with curves %s with %d", v.name, plain.Disposition, len(plain.Findings), curved.Disposition, len(curved.Findings))
		}
	}
}

// Curves on request: two bounds over the same rising minutes, the low one never above the high one, from before the timer
// starts until the jars have cooled.
func TestCurves(t *testing.T) {
	r := reportWith(t, readFile(t, "examples", "beets-metric.json"), report.Options{Curves: true})
	if len(r.Curves) != 2 {
		t.Fatalf("%d curves", len(r.Curves))
	}
	low, high := r.Curves[0], r.Curves[1]
	if low.Name != "coldest_spot_low" || high.Name != "coldest_spot_high" || low.XUnit != "min" || low.YUnit != "°C" || !slices.Equal(low.Xs, high.Xs) {
		t.Fatalf("%+v", r.Curves)
	}
	if len(low.Xs) != len(low.Ys) || len(high.Xs) != len(high.Ys) || low.Xs[0] >= 0 {
		t.Fatalf("%d and %d values of %d minutes from %g", len(low.Ys), len(high.Ys), len(low.Xs), low.Xs[0])
	}
	boiling := figure(t, r, "boiling_point").Value
	for i := range low.Xs {
		if low.Ys[i] > high.Ys[i] || high.Ys[i] > boiling+0.05 || i > 0 && low.Xs[i] <= low.Xs[i-1] {
			t.Errorf("at %g min: %g to %g °C", low.Xs[i], low.Ys[i], high.Ys[i])
		}
	}
}

// The target follows the pH: Food Protection Trends 2010 and 2014 print 1.2 min at 160 °F up to pH 4.1 and 5.6 min up to
// 4.6. Until a pH is worked out the stricter one counts.
func TestLethalityTakesThePH(t *testing.T) {
	r := reportWith(t, readFile(t, "examples", "dill-cucumbers.json"), report.Options{Curves: true})
	d := figure(t, r, "accumulated_lethality")
	want := 5.6
	if pH, ok := derivedPH(r); ok && *pH.High <= 4.1 {
		want = 1.2
	}
	i := slices.IndexFunc(d.Inputs, func(input report.Input) bool { return input.Name == "target" })
	if i < 0 || d.Inputs[i].Value != want {
		t.Errorf("%+v, want a target of %g min", d.Inputs, want)
	}
	if pH := highestPH(&facts.Facts{Acidity: facts.Acidity{PH: 3.8, High: 4}}); pH == nil || *pH != 4 {
		t.Errorf("pH %v, want the upper bound", pH)
	}
	if highestPH(&facts.Facts{Acidity: facts.Acidity{Reason: "a ferment"}}) != nil {
		t.Error("a pH out of nothing")
	}
}

// A jar of one's own is reckoned with when its measures are given, and left out when they are not.
func TestOwnJar(t *testing.T) {
	base := readFile(t, "examples", "dill-cucumbers.json")
	with := patched(t, base, []byte(`[{"op":"replace","path":"/recipe/jar","value":{"capacity":{"value":473.176,"unit":"mL"},"interior_height":{"value":121,"unit":"mm"},"mouth":{"value":60.3,"unit":"mm"}}}]`))
	known, own := reportWith(t, base, report.Options{Curves: true}), reportWith(t, with, report.Options{Curves: true})
	for _, name := range []string{"fill_volume", "headspace_volume", "longest_upright_piece", "accumulated_lethality"} {
		if a, b := figure(t, known, name), figure(t, own, name); a.Value != b.Value {
			t.Errorf("%s: %g for the pint, %g for the same jar by its measures", name, a.Value, b.Value)
		}
	}
	without := patched(t, base, []byte(`[{"op":"replace","path":"/recipe/jar","value":{"capacity":{"value":473.176,"unit":"mL"}}}]`))
	for _, d := range reportWith(t, without, report.Options{Curves: true}).Derived {
		if slices.Contains([]string{
			"fill_volume", "headspace_volume", "longest_upright_piece", "accumulated_lethality", "vacuum_at_most", "brine_needed",
			"jars_filled",
		}, d.Name) {
			t.Errorf("%s of a jar without measures", d.Name)
		}
	}
}

// The members that describe the filling, left out, never make it fit for the shelf, and given as printed, never unfit by themselves.
func TestNewMembersDecideNothing(t *testing.T) {
	for _, v := range sample(variants(t), 13) {
		var request document.Request
		if err := json.Unmarshal(v.body, &request); err != nil {
			t.Fatal(err)
		}
		before := reportWith(t, v.body, report.Options{})
		hot, warm, cold := 212.0, 180.0, 40.0
		request.Recipe.SolidsHeadspace = &document.Quantity{Value: new(2.0), Unit: "in"}
		request.Recipe.Temperatures = &document.Temperatures{
			Jar: &document.Quantity{Value: &warm, Unit: "F"}, Brine: &document.Quantity{Value: &hot, Unit: "F"}, Canner: &document.Quantity{Value: &cold, Unit: "F"},
		}
		if after := check(t, request); after.Disposition != before.Disposition {
			t.Errorf("%s: %s, with the new members %s", v.name, before.Disposition, after.Disposition)
		}
		request.Recipe.SolidsHeadspace, request.Recipe.Temperatures = nil, nil
		if after := check(t, request); after.Disposition != before.Disposition {
			t.Errorf("%s: %s, without the new members %s", v.name, before.Disposition, after.Disposition)
		}
	}
}

// Every figure of every tested recipe is said in words of its own, not by its name in the JSON.
func TestFiguresAreSaidInWords(t *testing.T) {
	for _, p := range everyPrinted() {
		request, _ := p.request(t, 3001, false)
		r, problem := checker.Check(nil, marshaled(t, request), report.Options{Curves: true})
		if problem != nil {
			t.Fatalf("%s: %+v", p, problem)
		}
		for _, d := range r.Derived {
			if d.Words() == strings.ReplaceAll(d.Name, "_", " ") && strings.Contains(d.Name, "_") && d.Name != "air_pressure" {
				t.Errorf("%s has no words", d.Name)
			}
			if unit := d.UnitWords(); unit == " 1" || unit == " fraction" || unit == " pH" {
				t.Errorf("%s is shown in%q", d.Name, unit)
			}
		}
	}
}
