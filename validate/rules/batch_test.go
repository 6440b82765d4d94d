package rules

import (
	"slices"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/report"
)

func batchRule(t *testing.T, id string) Rule {
	t.Helper()
	all := All()
	at := slices.IndexFunc(all, func(r Rule) bool { return r.ID == id })
	if at < 0 {
		t.Fatalf("no rule %s", id)
	}
	return all[at]
}

// withJar records a canning day of two jars, of which the second has something to tell.
func withJar(jar document.BatchJar) func(*document.Request) {
	return func(r *document.Request) {
		packedAt(packedOn, "2026-09-01")(r)
		r.Batch.Jars = append(r.Batch.Jars, jar)
	}
}

func withReading(instrument string) func(*document.Request) {
	return func(r *document.Request) {
		packedAt(packedOn, "2026-09-01")(r)
		r.Batch.PHReadings = []document.PHReading{{Instrument: document.InstrumentStrips}, {Instrument: instrument}}
	}
}

// When each rule on a canning day looks at it, and what it says.
func TestRulesOfCanningDay(t *testing.T) {
	record := packedAt(packedOn, "2026-09-01")
	process := []string{document.MethodBoilingWater, document.MethodSteam, document.MethodLowTemperature}
	boiled := []string{document.MethodBoilingWater, document.MethodLowTemperature}
	seen := func(r *document.Request) { withReading(document.InstrumentMeter)(r) }
	for _, test := range []struct {
		id      string
		edit    func(*document.Request)
		methods []string // with which it applies; nil: with any
	}{
		{"batch.record", record, nil},
		{"batch.boil-continuous", record, process},
		{"batch.time-held", record, process},
		{"batch.water-cover", record, boiled},
		{"batch.lifting-wait", record, process},
		{"batch.headspace", withJar(document.BatchJar{Headspace: amount(0.5, "in")}), process},
		{"batch.food-covered", withJar(document.BatchJar{FoodCovered: new(true)}), nil},
		{"batch.liquid-lost", withJar(document.BatchJar{LiquidLostPercent: new(10.0)}), process},
		{"batch.seal-check-time", record, process},
		{"batch.seal", withJar(document.BatchJar{SealChecks: []document.SealCheck{{}}}), process},
		{"batch.reprocess-window", record, process},
		{"batch.ph-instrument", withReading(document.InstrumentStrips), nil},
		{"batch.ph-calibration", withReading(document.InstrumentMeter), nil},
		{"batch.ph-temperature", withReading(document.InstrumentMeter), nil},
		{"batch.ph-equilibrium", withReading(document.InstrumentStrips), nil},
		{"batch.label", withJar(document.BatchJar{Labeled: new(false)}), nil},
		{"batch.spoilage", record, nil},
	} {
		rule := batchRule(t, test.id)
		cases := []ruleCase{
			{name: test.id + ", no record", want: report.NotApplicable},
			{name: test.id + ", nothing to remark", edit: test.edit, want: report.Pass},
			{name: test.id + ", remarks", edit: test.edit, facts: remarksOf(test.id), want: report.Fail, at: bothRemarks},
		}
		for _, method := range []string{document.MethodBoilingWater, document.MethodSteam, document.MethodLowTemperature, document.MethodOven, ""} {
			want := report.Pass
			if test.methods != nil && !slices.Contains(test.methods, method) {
				want = report.NotApplicable
			}
			cases = append(cases, ruleCase{name: test.id + ", method " + method, edit: both(test.edit, heated(method, 10)), want: want})
		}
		if test.methods != nil {
			cases = append(cases, ruleCase{name: test.id + ", refrigerator", edit: both(test.edit, refrigerated), want: report.NotApplicable})
		}
		if !rule.CanningDay || rule.Since == "" {
			t.Errorf("%s is not a rule of a canning day", rule.ID)
		}
		try(t, rule, dills, cases)
	}
	for _, test := range []struct {
		id   string
		edit func(*document.Request)
	}{
		{"batch.headspace", record},
		{"batch.food-covered", record},
		{"batch.liquid-lost", record},
		{"batch.seal", record},
		{"batch.label", record},
		{"batch.ph-instrument", record},
		{"batch.ph-equilibrium", record},
		{"batch.ph-calibration", withReading(document.InstrumentStrips)},
		{"batch.ph-temperature", withReading(document.InstrumentStrips)},
		{"batch.ph-limit", seen},
	} {
		try(t, batchRule(t, test.id), dills, []ruleCase{{name: test.id + ", nothing recorded of it", edit: test.edit, want: report.NotApplicable}})
	}
	evidence := func(f *facts.Facts) { f.PHMeasured = true; remarksOf("batch.ph-limit")(f) }
	try(t, batchRule(t, "batch.ph-limit"), dills, []ruleCase{
		{name: "one reading is evidence", edit: seen, facts: evidence, want: report.Fail, at: bothRemarks},
		{name: "no record of it", facts: evidence, want: report.NotApplicable},
	})
}
