package validate

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"jarwright/validate/altitude"
	"jarwright/validate/catalog"
	"jarwright/validate/report"
)

// allowed is one place where a tolerance is used: a document that misses the printed measure by some amount.
type allowed struct {
	name  string
	base  string                   // a document, or a case of testdata/batch with a patch of its own
	patch string                   // with a %v for the measure
	value func(by float64) float64 // the measure that misses by so much, in the unit of the tolerance
	rule  string                   // that finds the departure
	at    string                   // place of the finding, its beginning
	found func(r *report.Report) bool
}

// toleranceCases try each tolerance. The figures are those of tolerances.csv, written out here, so that a change to the
// table fails.
func toleranceCases() map[catalog.Tolerance]struct {
	value float64
	cases []allowed
} {
	const dill, batch = "examples/dill-cucumbers.json", "examples/canning-day.json"
	const pint, quart = 473.176473, 946.352946 // mL
	value := func(at string) string { return `[{"op": "replace", "path": "` + at + `", "value": %v}]` }
	short := func(of float64) func(float64) float64 { return func(by float64) float64 { return of * (1 - by) } }
	over := func(of float64) func(float64) float64 { return func(by float64) float64 { return of * (1 + by) } }
	plus := func(to float64) func(float64) float64 { return func(by float64) float64 { return to + by } }
	minus := func(from float64) func(float64) float64 { return func(by float64) float64 { return from - by } }
	vinegar := func(by float64) float64 { return 3.0 / 7 * (1 - by) } // of the liquid: 3 cups to 4 of water
	boiling, err := altitude.BoilingAt(400 * 0.3048)                  // m, of the canning day
	if err != nil {
		panic(err)
	}
	mouth, _ := checker.tables.Jar("pint")
	reading := func(sample, buffers string) string {
		return `[{"op": "add", "path": "/batch/ph_readings", "value": [{"at": "2026-08-16T15:00:00-06:00", "value": 3.7, "sample": "liquid", "instrument": "meter", "accuracy": 0.05, ` +
			`"temperature": {"value": ` + sample + `, "unit": "C"}, "buffers": [{"ph": 4.01, "reading": 4.02, "temperature": {"value": ` + buffers + `, "unit": "C"}}, ` +
			`{"ph": 7.0, "reading": 6.98, "temperature": {"value": ` + buffers + `, "unit": "C"}}]}]}, {"op": "replace", "path": "/as_of", "value": "2026-08-16T16:00:00-06:00"}]`
	}
	kept := func(place string) string {
		return `{"id": "a", "kept": [{"from": "2026-08-15T15:06:00-06:00", "place": "` + place + `", "temperature": {"value": %v, "unit": "C"}}]}`
	}
	jar := `[{"op": "replace", "path": "/recipe/jar", "value": {"capacity": {"value": %v, "unit": "mL"}, "interior_height": {"value": 150, "unit": "mm"}, "mouth": {"value": 60, "unit": "mm"}}}]`
	return map[catalog.Tolerance]struct {
		value float64
		cases []allowed
	}{
		catalog.RatioTolerance: {0.02, []allowed{
			{
				name: "too little acid", base: dill, patch: value("/recipe/ingredients/3/amount/value"),
				value: func(by float64) float64 { return 4 * vinegar(by) / (1 - vinegar(by)) }, rule: "acid.published-ratio",
			},
			{
				name: "too much water", base: dill, patch: value("/recipe/ingredients/4/amount/value"),
				value: func(by float64) float64 { return 3/vinegar(by) - 3 }, rule: "acid.published-ratio",
			},
			{
				name: "too many onions", base: "testdata/corpus/tomato-salsa-slicing-tomatoes.json", patch: value("/recipe/ingredients/3/amount/value"),
				value: over(0.75), rule: "acid.published-ratio",
			},
		}},
		catalog.SaltMassTolerance: {0.02, []allowed{
			{
				name: "too little salt in a ferment", base: "testdata/corpus/sauerkraut.json", patch: value("/recipe/ingredients/1/amount/value"), value: short(0.75),
				rule: "ingredient.salt-in-ferment",
			},
		}},
		catalog.HeadspaceTolerance: {0.0625, []allowed{
			{name: "too much headspace", base: dill, patch: value("/recipe/headspace/value"), value: plus(0.5), rule: "pack.headspace"},
			{name: "too little headspace", base: dill, patch: value("/recipe/headspace/value"), value: minus(0.5), rule: "pack.headspace"},
			{
				name: "headspace of a jar", base: batch, patch: `[{"op": "add", "path": "/batch/jars/0/headspace", "value": {"value": %v, "unit": "in"}}]`,
				value: plus(0.5), rule: "batch.headspace",
			},
			{
				name: "food under the rim", base: "testdata/corpus/pickled-carrots.json", patch: value("/recipe/solids_headspace/value"), value: minus(1),
				rule: "pack.solids-headspace",
			},
		}},
		catalog.PieceTolerance: {0.1, []allowed{
			{
				name: "slices too thick", base: "testdata/corpus/pickled-carrots.json", patch: value("/recipe/ingredients/0/piece/thickness/value"), value: over(0.5),
				rule: "pack.piece-size",
			},
			{
				name: "whole pieces too long", base: "testdata/corpus/pickled-dilled-beans.json", patch: value("/recipe/ingredients/0/piece/length/value"),
				value: over(4), rule: "pack.piece-size",
			},
		}},
		catalog.CapacityTolerance: {0.005, []allowed{
			{name: "larger than the largest jar", base: dill, patch: jar, value: func(by float64) float64 { return quart / (1 - by) }, rule: "pack.metric-jar"},
			{
				name: "taken for the next larger jar", base: dill, patch: jar, value: func(by float64) float64 { return pint / (1 - by) },
				found: func(r *report.Report) bool { return r.Process.Jar != "pint" },
			},
		}},
		catalog.DepthTolerance: {0.02, []allowed{
			{name: "water over the lids", base: dill, patch: value("/recipe/process/water_over_lids/value"), value: short(1), rule: "process.water-cover"},
			{name: "water over the lids on the day", base: batch, patch: value("/batch/events/1/water_over_lids/value"), value: short(1), rule: "batch.water-cover"},
		}},
		catalog.TemperatureTolerance: {0.05, []allowed{
			{name: "low temperature", base: dill, patch: `[{"op": "replace", "path": "/recipe/process", "value": {"method": "low_temperature", "time": {"value": 30, "unit": "min"}, "temperature": {"value": %v, "unit": "C"}, "water_over_lids": {"value": 1, "unit": "in"}}}]`, value: minus((180. - 32) / 1.8), rule: "process.low-temperature"},
			{
				name: "low temperature on the day", base: "testdata/batch/low-temperature.json",
				patch: `[{"op": "replace", "path": "/batch/events/1/temperature", "value": {"value": %v, "unit": "C"}}]`, value: minus((180. - 32) / 1.8),
				rule: "batch.time-held",
			},
			{name: "sample too warm", base: batch, patch: reading("%[1]v", "28"), value: plus(30), rule: "batch.ph-temperature"},
			{name: "sample too cold", base: batch, patch: reading("%[1]v", "21"), value: minus(20), rule: "batch.ph-temperature"},
		}},
		catalog.RefrigeratorTolerance: {0.1, []allowed{
			{
				name: "refrigerator", base: "examples/refrigerator-radishes.json",
				patch: `[{"op": "add", "path": "/batch", "value": {"packed_at": "2026-08-15T14:05:00-06:00", "jars": [` + kept("refrigerator") + `]}}]`,
				value: plus((40. - 32) / 1.8), rule: "keeping.listeria-cold",
			},
			{name: "task for a warm jar", base: batch, patch: `[{"op": "add", "path": "/batch/jars/0/kept", "value": [{"from": "2026-08-15T15:06:00-06:00", "place": "room", "temperature": {"value": %v, "unit": "C"}}]}]`, value: plus(35), found: func(r *report.Report) bool {
				return strings.Contains(textOf(r), "Move it to a cool, dark, dry place")
			}},
		}},
		catalog.PantryTolerance: {0.3, []allowed{
			{name: "warm room", base: batch, patch: `[{"op": "add", "path": "/batch/jars/0/kept", "value": [{"from": "2026-08-15T15:06:00-06:00", "place": "room", "temperature": {"value": %v, "unit": "C"}}]}]`, value: plus(35), rule: "keeping.storage-temperature"},
		}},
		catalog.TimeTolerance: {0.001, []allowed{
			{
				name: "short process", base: dill, patch: `[{"op": "replace", "path": "/recipe/process/time", "value": {"value": %v, "unit": "s"}}]`, value: minus(600),
				rule: "process.altitude-time",
			},
		}},
		catalog.RestTolerance: {0.01, []allowed{
			{
				name: "short rest", base: "testdata/corpus/bread-and-butter-pickles.json",
				patch: `[{"op": "add", "path": "/recipe/rest", "value": {"value": %v, "unit": "d"}}]`, value: short(28), rule: "keeping.cure",
			},
		}},
		catalog.FitTolerance: {1.5, []allowed{
			{name: "too wide for the mouth", base: dill, patch: `[{"op": "replace", "path": "/recipe/ingredients/0/form", "value": "whole, blossom end cut off"}, {"op": "add", "path": "/recipe/ingredients/0/piece", "value": {"length": {"value": 3, "unit": "in"}, "thickness": {"value": %v, "unit": "mm"}}}]`, value: plus(mouth.MouthMM), rule: "pack.piece-fits"},
			{name: "longer than printed", base: dill, patch: `[{"op": "add", "path": "/recipe/ingredients/0/piece", "value": {"length": {"value": %v, "unit": "mm"}}}]`, value: plus(127), rule: "pack.piece-fits"},
			{
				name: "too long for the jar", base: "examples/kohlrabi-sticks.json",
				patch: `[{"op": "replace", "path": "/recipe/jar", "value": {"capacity": {"value": 473, "unit": "mL"}, "interior_height": {"value": 80, "unit": "mm"}, "mouth": {"value": 100, "unit": "mm"}}}, {"op": "add", "path": "/recipe/ingredients/0/piece/length", "value": {"value": %v, "unit": "mm"}}]`, value: plus(100), rule: "pack.piece-fits",
			},
		}},
		catalog.ElevationTolerance: {1e-9, []allowed{
			{
				name: "over 1,000 ft", base: dill, patch: `[{"op": "replace", "path": "/kitchen/elevation", "value": {"value": %v, "unit": "ft"}}]`, value: over(1000),
				rule: "process.altitude-time",
			},
			{
				name: "row of the table", base: dill, patch: `[{"op": "replace", "path": "/kitchen/elevation", "value": {"value": %v, "unit": "ft"}}]`,
				value: over(1000), found: func(r *report.Report) bool {
					return !r.AltitudeTable[0].Here
				},
			},
		}},
		catalog.ThermometerTolerance: {2, []allowed{
			{name: "cold water in a boil", base: batch, patch: `[{"op": "add", "path": "/batch/events/-", "value": {"at": "2026-08-15T14:55:00-06:00", "event": "temperature", "temperature": {"value": %v, "unit": "C"}}}]`, value: minus(boiling.TemperatureC), rule: "batch.record"},
			{
				name: "water that is called boiling", base: dill, patch: `[{"op": "add", "path": "/recipe/process/temperature", "value": {"value": %v, "unit": "C"}}]`,
				value: minus(boiling.TemperatureC), rule: "process.temperature",
			},
			{
				name: "carrots that are filled cool", base: "testdata/corpus/pickled-carrots.json",
				patch: `[{"op": "add", "path": "/recipe/temperatures", "value": {"brine": {"value": %v, "unit": "C"}}}]`, value: minus((180. - 32) / 1.8),
				rule: "pack.filled-hot",
			},
		}},
		catalog.FermentTolerance: {0.5, []allowed{
			{
				name: "a ferment too cool for three weeks", base: "testdata/corpus/sauerkraut.json",
				patch: `[{"op": "replace", "path": "/recipe/steps", "value": [{"step": "ferment", "time": {"value": 3, "unit": "wk"}, "temperature": {"value": %v, "unit": "C"}}]}]`,
				value: minus((70. - 32) / 1.8), rule: "process.steps",
			},
			{
				name: "a ferment too cool for any time", base: "testdata/corpus/sauerkraut.json",
				patch: `[{"op": "replace", "path": "/recipe/steps", "value": [{"step": "ferment", "time": {"value": 6, "unit": "wk"}, "temperature": {"value": %v, "unit": "C"}}]}]`,
				value: minus((60. - 32) / 1.8), rule: "process.steps",
			},
			{
				name: "a ferment too warm", base: "testdata/corpus/sauerkraut.json",
				patch: `[{"op": "replace", "path": "/recipe/steps", "value": [{"step": "ferment", "time": {"value": 4, "unit": "wk"}, "temperature": {"value": %v, "unit": "C"}}]}]`,
				value: plus((75. - 32) / 1.8), rule: "process.steps",
			},
		}},
		catalog.BufferTolerance: {5, []allowed{
			{name: "buffers warmer than the sample", base: batch, patch: reading("22", "%[1]v"), value: plus(22), rule: "batch.ph-temperature"},
			{name: "buffers colder than the sample", base: batch, patch: reading("28", "%[1]v"), value: minus(28), rule: "batch.ph-temperature"},
		}},
		// Carrots are pickled with 2 tsp of salt and 2 cups of sugar, beets with 1-1/2 tsp and 2 cups; carrots may have less sugar.
		catalog.SeasoningTolerance: {0.1, []allowed{
			{
				name: "salt", base: "testdata/corpus/pickled-carrots.json", patch: value("/recipe/ingredients/4/amount/value"),
				value: short(2), rule: "ingredient.salt-and-sugar", at: "/recipe/ingredients/4",
			},
			{
				name: "sugar", base: "testdata/corpus/pickled-beets.json", patch: value("/recipe/ingredients/4/amount/value"),
				value: short(2), rule: "ingredient.salt-and-sugar", at: "/recipe/ingredients/4",
			},
		}},
		// Which of the two is named: onions beside tomatoes that are short by more are too much.
		catalog.ShortFruitTolerance: {1.5, []allowed{
			{
				name: "tomatoes short", base: "testdata/corpus/tomato-salsa-slicing-tomatoes.json",
				patch: `[{"op": "replace", "path": "/recipe/ingredients/0/amount/value", "value": %v},
					{"op": "add", "path": "/recipe/follows", "value": "tomato-salsa-slicing-tomatoes"}]`,
				value: func(by float64) float64 { return 4 / by }, rule: "acid.published-ratio", at: "/recipe/ingredients/3",
			},
		}},
		catalog.JarRoundingTolerance: {0.07, []allowed{
			{
				name: "food of 4 printed jars", base: "testdata/corpus/pickled-carrots.json", patch: value("/recipe/ingredients/0/amount/value"),
				value: over(2.75), rule: "pack.food-per-jar",
			},
		}},
		catalog.SweetenedTolerance: {0.15, []allowed{
			{
				// 1,420 mL of vinegar, 6 cups of sugar of 200 g and 12 mL of salt make 2,176 mL.
				name: "more sugar", base: "testdata/corpus/reduced-sodium-sliced-dill-pickles.json", patch: value("/recipe/ingredients/2/amount/value"),
				value: func(by float64) float64 { return (2176/(1-by) - 1432) / (0.62 * 200) }, rule: "acid.sweetened-liquid",
			},
		}},
		catalog.ShortLiquidTolerance: {0.5, []allowed{
			{
				name: "more food in the same liquid", base: "testdata/corpus/pickled-carrots.json",
				patch: `[{"op": "replace", "path": "/recipe/jars", "value": 8}, {"op": "replace", "path": "/recipe/ingredients/0/amount/value", "value": %v}]`,
				value: func(by float64) float64 { return 2.75 / (1 - by) }, rule: "acid.liquid-for-food",
			},
		}},
		catalog.MetricTwinTolerance: {0.06, []allowed{
			{name: "a jar over the metric twin", base: dill, patch: jar, value: over(quart), rule: "pack.jar-size"},
		}},
	}
}

func textOf(r *report.Report) string {
	text, err := json.Marshal(r)
	if err != nil {
		panic(err)
	}
	return string(text)
}

// TestTolerances tries every tolerance on both sides by real requests: what misses by 5 % less is no departure, what misses
// by 5 % more is one.
func TestTolerances(t *testing.T) {
	cases := toleranceCases()
	for _, allowance := range checker.tables.Allowances {
		tried, found := cases[allowance.ID]
		if !found {
			t.Errorf("no case tries the tolerance %s", allowance.ID)
			continue
		}
		if allowance.Value != tried.value {
			t.Errorf("%s is %v, and the case was written for %v", allowance.ID, allowance.Value, tried.value)
		}
		for _, c := range tried.cases {
			t.Run(string(allowance.ID)+"/"+c.name, func(t *testing.T) {
				for share, want := range map[float64]bool{0.95: false, 1.05: true} {
					measured := c.value(tried.value * share)
					r := answerTo(t, c, measured)
					if got := c.departs(&r); got != want {
						t.Errorf("%v, which misses by %v of the tolerance: departure %v, want %v\n%s", measured, share, got, want, findingLines(&r))
					}
				}
			})
		}
	}
}

func answerTo(t *testing.T, c allowed, measured float64) report.Report {
	t.Helper()
	text, err := os.ReadFile("../" + c.base)
	if err != nil {
		t.Fatal(err)
	}
	if strings.HasPrefix(c.base, "testdata/batch/") {
		var of struct {
			Base  string          `json:"base"`
			Patch json.RawMessage `json:"patch"`
		}
		if err := json.Unmarshal(text, &of); err != nil {
			t.Fatal(err)
		}
		base, err := os.ReadFile("../" + of.Base)
		if err != nil {
			t.Fatal(err)
		}
		text = patched(t, base, of.Patch)
	}
	text = patched(t, text, fmt.Appendf(nil, c.patch, measured))
	r, problem := checker.Check(nil, text, report.Options{})
	if problem != nil {
		t.Fatalf("refused: %+v", problem)
	}
	return r
}

func (c *allowed) departs(r *report.Report) bool {
	if c.found != nil {
		return c.found(r)
	}
	return slices.ContainsFunc(r.Findings, func(f report.Finding) bool { return f.Rule == c.rule && strings.HasPrefix(f.At, c.at) })
}

func findingLines(r *report.Report) string {
	var text strings.Builder
	for i := range r.Findings {
		fmt.Fprintf(&text, "%s at %s: %s\n", r.Findings[i].Rule, r.Findings[i].At, r.Findings[i].Message)
	}
	return text.String()
}

// In the salsas of Guide 3 no more fresh herb than printed is safe: there the ratio alone is forgiven.
func TestFreshHerbsInSalsas(t *testing.T) {
	c := allowed{
		base:  "testdata/corpus/tomato-salsa-slicing-tomatoes.json",
		patch: `[{"op": "replace", "path": "/recipe/ingredients/8/amount/value", "value": %v}]`, rule: "ingredient.fresh-herb",
	}
	for amount, want := range map[float64]bool{1.019: false, 1.021: true} {
		r := answerTo(t, c, amount)
		if got := c.departs(&r); got != want {
			t.Errorf("%v tbsp of cilantro where 1 is printed: departure %v, want %v", amount, got, want)
		}
	}
}
