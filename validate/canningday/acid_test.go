package canningday

import (
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/report"
)

// meter is a good reading: pH 3.8 at 25 °C two days after packing, by a meter that reads its buffers right.
func meter(changes ...func(*document.PHReading)) document.PHReading {
	r := document.PHReading{
		At: at("17 14:05"), Value: 3.8, Sample: document.SampleLiquid, Instrument: document.InstrumentMeter, Temperature: quantity(25, "C"),
		Buffers: []document.Buffer{{PH: 4, Reading: 4, Temperature: quantity(25, "C")}, {PH: 7, Reading: 7, Temperature: quantity(25, "C")}},
	}
	for _, change := range changes {
		change(&r)
	}
	return r
}

func value(ph float64) func(*document.PHReading) { return func(r *document.PHReading) { r.Value = ph } }

// buffers are the pH and the reading of each, in turn.
func buffers(figures ...float64) func(*document.PHReading) {
	return func(r *document.PHReading) {
		r.Buffers = nil
		for i := 0; i < len(figures); i += 2 {
			r.Buffers = append(r.Buffers, document.Buffer{PH: figures[i], Reading: figures[i+1], Temperature: quantity(25, "C")})
		}
	}
}

// readings are the readings of a day, asked about a month later.
func readings(all ...document.PHReading) func(*fixture) {
	return func(f *fixture) { f.batch.PHReadings, f.AsOf = all, "2026-09-20T06:00:00Z" }
}

// 21 CFR 114: pH 4.6 is the limit; color methods only up to 4.0; a meter accurate to 0.1, calibrated in two buffers, sample
// and buffers between 20 and 30 °C.
func TestAcid(t *testing.T) {
	strips := func(ph float64) document.PHReading {
		return meter(value(ph), buffers(), func(r *document.PHReading) { r.Instrument, r.Temperature = document.InstrumentStrips, nil })
	}
	accuracy := func(a float64) func(*document.PHReading) { return func(r *document.PHReading) { r.Accuracy = &a } }
	warmth := func(sample, low, high float64) func(*document.PHReading) {
		return func(r *document.PHReading) {
			r.Temperature, r.Buffers[0].Temperature, r.Buffers[1].Temperature = quantity(sample, "C"), quantity(low, "C"), quantity(high, "C")
		}
	}
	sample := func(name string) func(*document.PHReading) { return func(r *document.PHReading) { r.Sample = name } }
	taken := func(text string) func(*document.PHReading) { return func(r *document.PHReading) { r.At = at(text) } }
	jar := func(id string) func(*document.PHReading) { return func(r *document.PHReading) { r.Jar = id } }
	const reading0 = " undetermined /batch/ph_readings/0"
	const underAcid, open = rulePH + " fail /batch/ph_readings/0/value", rulePH + reading0 + "/value"
	const calibration = ruleCalibration + reading0 + "/buffers"
	for _, test := range []judgment{
		{"a good reading", changes{readings(meter())}, nil, allShelf, ""},
		{"4.55 give or take 0.05", changes{readings(meter(value(4.55)))}, nil, allShelf, ""},
		{"4.56 give or take 0.05", changes{readings(meter(value(4.56)))}, []string{open}, allHold, ""},
		{"4.6 give or take 0.05", changes{readings(meter(value(4.6)))}, []string{open}, allHold, ""},
		{"4.6 by a meter that is always right", changes{readings(meter(value(4.6), accuracy(0)))}, nil, allShelf, ""},
		{"4.61", changes{readings(meter(value(4.61)))}, []string{underAcid}, allHold, ""},
		{"4.64", changes{readings(meter(value(4.64)))}, []string{underAcid}, allHold, ""},
		{"4.64 of one jar", changes{readings(meter(value(4.64), jar("2")))}, []string{underAcid}, allHold, ""},
		{"of a jar that is not there", changes{readings(meter(jar("9")))}, []string{ruleRecord + reading0 + "/jar"}, allHold, ""},
		{"in the future", changes{readings(meter()), asOf(at("17 14:04"))}, []string{ruleRecord + reading0 + "/at"}, allHold, ""},
		{"at the moment of the question", changes{readings(meter()), asOf(at("17 14:05"))}, nil, allShelf, ""},
		{"under-acid, in the future", changes{readings(meter(value(5))), asOf(at("17 14:04"))}, []string{ruleRecord + reading0 + "/at"}, allHold, ""},
		{
			"at a time that cannot be read",
			changes{readings(meter(sample(document.SampleBlended), func(r *document.PHReading) { r.At = "?" }))},
			[]string{ruleRecord + reading0 + "/at"},
			allHold, "",
		},

		{"strips up to 4.0", changes{readings(strips(4))}, nil, allShelf, ""},
		{"strips above 4.0", changes{readings(strips(4.1))}, []string{ruleInstrument + reading0 + "/value"}, allHold, ""},
		{"instrument not given", changes{readings(meter(func(r *document.PHReading) { r.Instrument = "" }))}, []string{ruleInstrument + reading0}, allHold, ""},
		{"a meter accurate to 0.1", changes{readings(meter(accuracy(0.1)))}, nil, allShelf, ""},
		{"a coarser meter", changes{readings(meter(accuracy(0.11)))}, []string{ruleInstrument + reading0 + "/accuracy"}, allHold, ""},

		{"no buffers", changes{readings(meter(buffers()))}, []string{ruleCalibration + reading0}, allHold, ""},
		{"one buffer", changes{readings(meter(buffers(4, 4)))}, []string{calibration}, allHold, ""},
		{"one buffer twice", changes{readings(meter(buffers(4, 4, 4, 4.01)))}, []string{calibration}, allHold, ""},
		{"a meter that reads the same in both", changes{readings(meter(buffers(4, 5, 7, 5)))}, []string{calibration}, allHold, ""},
		{"a meter that reads backwards", changes{readings(meter(buffers(4, 7, 7, 4)))}, []string{calibration}, allHold, ""},
		{"below the lower buffer and at most 4.0", changes{readings(meter(value(3.99), buffers(4, 4, 7, 7)))}, nil, allShelf, ""},
		{"below the lower buffer at 4.0", changes{readings(meter(value(4), buffers(4.01, 4.01, 7, 7)))}, nil, allShelf, ""},
		{"below the lower buffer and above 4.0", changes{readings(meter(value(4.1), buffers(4.2, 4.2, 7, 7)))}, []string{calibration}, allHold, ""},
		{"at the lower buffer", changes{readings(meter(value(4.2), buffers(4.2, 4.2, 7, 7)))}, nil, allShelf, ""},
		{"at the upper buffer", changes{readings(meter(value(4.2), buffers(2, 2, 4.2, 4.2)))}, nil, allShelf, ""},
		{"above the upper buffer", changes{readings(meter(value(4.21), buffers(2, 2, 4.2, 4.2)))}, []string{calibration}, allHold, ""},
		{"buffers two apart", changes{readings(meter(value(4.2), buffers(3, 3, 5, 5)))}, nil, allShelf, ""},
		{"buffers the other way round", changes{readings(meter(value(4.2), buffers(5, 5, 3, 3)))}, nil, allShelf, ""},
		{"buffers less than two apart", changes{readings(meter(value(4.2), buffers(3, 3, 4.99, 4.99)))}, []string{calibration}, allHold, ""},
		{"buffers that do not part", changes{readings(meter(value(4.305), buffers(4.3, 4.3, 4.31, 4.31)))}, []string{calibration}, allHold, ""},
		{"the same the other way round", changes{readings(meter(value(4.305), buffers(4.31, 4.31, 4.3, 4.3)))}, []string{calibration}, allHold, ""},
		{"one buffer twice", changes{readings(meter(value(4.2), buffers(4.2, 4.2, 4.2, 4.2)))}, []string{calibration}, allHold, ""},
		{"one buffer twice and another", changes{readings(meter(value(4.2), buffers(4, 4, 4, 4, 7, 7)))}, nil, allShelf, ""},
		{"lower buffer at the limit", changes{readings(meter(value(4), buffers(4.6, 4.6, 7, 7)))}, nil, allShelf, ""},
		{"both buffers above the limit", changes{readings(meter(value(4), buffers(4.7, 4.7, 7, 7)))}, []string{calibration}, allHold, ""},
		{"drift as large as the accuracy", changes{readings(meter(buffers(4, 4.05, 7, 6.95)))}, nil, allShelf, ""},
		{"more drift than the accuracy", changes{readings(meter(buffers(4, 4.051, 7, 7)))}, []string{calibration}, allHold, ""},
		{"drift of twice the accuracy", changes{readings(meter(buffers(4, 4, 7, 7.1)))}, []string{calibration}, allHold, ""},
		{"drift of twice the accuracy downwards", changes{readings(meter(buffers(4, 4, 7, 6.9)))}, []string{calibration}, allHold, ""},
		{"drift within the accuracy its maker states", changes{readings(meter(buffers(4, 4, 7, 7.1), accuracy(0.1)))}, nil, allShelf, ""},
		{"under-acid by the calibration", changes{readings(meter(value(4.57), buffers(4, 3.95, 7, 6.95)))}, []string{underAcid}, allHold, ""},
		{"the calibration never makes it more acid", changes{readings(meter(value(4.62), buffers(4, 4.05, 7, 7.05)))}, []string{underAcid}, allHold, ""},

		{"20 °C", changes{readings(meter(warmth(20, 20, 20)))}, nil, allShelf, ""},
		{"68 °F", changes{readings(meter(warmth(19.96, 20, 20)))}, nil, allShelf, ""},
		{"19.9 °C", changes{readings(meter(warmth(19.9, 20, 20)))}, []string{ruleTemperature + reading0 + "/temperature"}, allHold, ""},
		{"30 °C", changes{readings(meter(warmth(30, 30, 30)))}, nil, allShelf, ""},
		{"just over 30 °C, rounded", changes{readings(meter(warmth(30.04, 30, 30)))}, nil, allShelf, ""},
		{"30.1 °C", changes{readings(meter(warmth(30.1, 30, 30)))}, []string{ruleTemperature + reading0 + "/temperature"}, allHold, ""},
		{"buffers 5 K colder and warmer", changes{readings(meter(warmth(25, 20, 30)))}, nil, allShelf, ""},
		{
			"a buffer more than 5 K colder",
			changes{readings(meter(warmth(25, 19.9, 25)))},
			[]string{ruleTemperature + reading0 + "/buffers/0/temperature"},
			allHold, "",
		},
		{
			"a buffer more than 5 K warmer",
			changes{readings(meter(warmth(25, 25, 30.1)))},
			[]string{ruleTemperature + reading0 + "/buffers/1/temperature"},
			allHold, "",
		},
		{
			"sample temperature not recorded",
			changes{readings(meter(func(r *document.PHReading) { r.Temperature = nil }))},
			[]string{ruleTemperature + reading0},
			allHold, "",
		},
		{
			"buffer temperature not recorded",
			changes{readings(meter(func(r *document.PHReading) { r.Buffers[1].Temperature = nil }))},
			[]string{ruleTemperature + reading0 + "/buffers/1"},
			allHold, "",
		},

		{"24 hours after packing", changes{readings(meter(taken("16 14:05")))}, nil, allShelf, ""},
		{"within the rounding of 24 hours", changes{readings(meter(taken("16 14:04:59.999")))}, nil, allShelf, ""},
		{"a second before 24 hours", changes{readings(meter(taken("16 14:04:59")))}, []string{ruleEquilibrium + reading0 + "/at"}, allHold, ""},
		{"blended at once", changes{readings(meter(taken("15:05"), sample(document.SampleBlended)))}, nil, allShelf, ""},
		{"a piece at once", changes{readings(meter(taken("15:05"), sample(document.SamplePiece)))}, []string{ruleEquilibrium + reading0 + "/at"}, allHold, ""},
		{"liquid that is under-acid before its time", changes{readings(meter(taken("15:05"), value(4.61)))}, []string{underAcid}, allHold, ""},
		{"liquid at the limit before its time", changes{readings(meter(taken("15:05"), value(4.6)))}, []string{ruleEquilibrium + reading0 + "/at"}, allHold, ""},
		{
			"a piece that is under-acid before its time",
			changes{readings(meter(taken("15:05"), value(4.61), sample(document.SamplePiece)))},
			[]string{ruleEquilibrium + reading0 + "/at"},
			allHold, "",
		},
		{
			"packing not recorded",
			changes{readings(meter()), func(f *fixture) { f.batch.PackedAt = "" }},
			[]string{ruleEquilibrium + reading0, ruleRecord + " undetermined /batch"},
			allHold, "",
		},

		{"too early, settled later", changes{readings(meter(taken("15:05")), meter(taken("17 14:05")))}, nil, allShelf, ""},
		{"too early, settled at the same moment", changes{readings(meter(taken("15:05")), meter(taken("15:05"), sample(document.SampleBlended)))}, nil, allShelf, ""},
		{"settled before, not after", changes{readings(strips(4.1), meter(taken("17 14:04:59")))}, []string{ruleInstrument + reading0 + "/value"}, allHold, ""},
		{"settled by 4.55 give or take 0.05", changes{readings(strips(4.1), meter(value(4.55)))}, nil, allShelf, ""},
		{
			"not settled by 4.56",
			changes{readings(strips(4.1), meter(value(4.56)))},
			[]string{ruleInstrument + reading0 + "/value", rulePH + " undetermined /batch/ph_readings/1/value"},
			allHold, "",
		},
		{
			"not settled by what is no evidence",
			changes{readings(strips(4.1), strips(4.1))},
			[]string{ruleInstrument + reading0 + "/value", ruleInstrument + " undetermined /batch/ph_readings/1/value"},
			allHold, "",
		},
		{"under-acid by strips, settled in another jar", changes{readings(strips(5), meter(jar("1")))}, []string{ruleInstrument + reading0 + "/value"}, allHold, ""},
		{"under-acid by strips, settled in the same jar", changes{readings(strips(5), meter())}, nil, allShelf, ""},
		{"at the limit by strips, settled in another jar", changes{readings(strips(4.6), meter(jar("1")))}, nil, allShelf, ""},
		{"under-acid and later settled: it stands", changes{readings(meter(value(4.7)), meter(taken("18 14:05")))}, []string{underAcid}, allHold, ""},
	} {
		test.check(t)
	}
}

// Under-acid jars belong into the refrigerator within the 24 hours.
func TestUnderAcidJars(t *testing.T) {
	under := meter(value(4.7), func(r *document.PHReading) { r.At, r.Sample = at("16 05:30"), document.SampleBlended })
	cold := kept(document.Kept{From: at("16 05:45"), Place: document.PlaceRefrigerator})
	for _, test := range []judgment{
		{"in time", changes{readings(under), asOf(at("16 15:00"))}, []string{rulePH + " fail /batch/ph_readings/0/value"}, allRefrigerate, ""},
		{
			"a second too late",
			changes{readings(under), asOf(at("16 15:00:01")), cold},
			[]string{rulePH + " fail /batch/ph_readings/0/value"},
			jarsFor(report.Refrigerate, report.Hold, report.Hold), "",
		},
	} {
		test.check(t)
	}
}

// A day is the usual wait before the liquid is measured; whole onions and shallots take 15 days, whole peppers 30, eggs 220
// hours (minnesota-extension 2019, jfp-1985, jfp-2014).
func TestEquilibriumWait(t *testing.T) {
	const day = 24 * time.Hour
	drained := true
	for _, test := range []struct {
		name  string
		lines []document.Ingredient
		want  time.Duration
		words string
	}{
		{"nothing", nil, day, "24 hours"},
		{"cucumbers", []document.Ingredient{{Item: "pickling cucumber", Form: "whole"}}, day, "24 hours"},
		{"what is not known", []document.Ingredient{{Item: "moon rock", Form: "whole"}}, day, "24 hours"},
		{"whole onions", []document.Ingredient{{Item: "onion", Form: "whole"}}, 15 * day, "15 days"},
		{"onions, the cut not given", []document.Ingredient{{Item: "onion"}}, 15 * day, "15 days"},
		{"sliced onions", []document.Ingredient{{Item: "onion", Form: "sliced"}}, day, "24 hours"},
		{"whole peppers", []document.Ingredient{{Item: "jalapeno", Form: "whole"}}, 30 * day, "30 days"},
		{"sliced peppers", []document.Ingredient{{Item: "jalapeno", Form: "sliced"}}, day, "24 hours"},
		{"eggs", []document.Ingredient{{Item: "egg"}}, 220 * time.Hour, "10 days"},
		{
			"eggs and whole peppers and onions",
			[]document.Ingredient{{Item: "onion", Form: "whole"}, {Item: "jalapeno", Form: "whole"}, {Item: "egg"}},
			30 * day, "30 days",
		},
		{
			"whole peppers marked as poured away, which food never is",
			[]document.Ingredient{{Item: "jalapeno", Form: "whole", Drained: &drained}},
			30 * day, "30 days",
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			for i := range test.lines {
				test.lines[i].Amount, test.lines[i].Per = quantity(1, "lb"), document.PerBatch
			}
			f := goodDay()
			f.Recipe.Ingredients = test.lines
			if got, words := f.day().equilibriumWait(); got != test.want || words != test.words {
				t.Errorf("%v (%s), want %v (%s)", got, words, test.want, test.words)
			}
		})
	}
	if got := composition.ReadForm("whole").Coarsest; got != composition.Whole {
		t.Errorf("whole reads as %v", got)
	}
}

// The figures of the findings on acid, worked by hand.
func TestFiguresOfAcid(t *testing.T) {
	for _, test := range []struct {
		name            string
		reading         document.PHReading
		rule            string
		measured, limit float64
		unit, words     string
	}{
		{
			"strips", meter(value(4.2), func(r *document.PHReading) { r.Instrument = document.InstrumentStrips }), ruleInstrument, 4.2, 4, "pH",
			"Strips read 4.2; above 4 they are no evidence.",
		},
		{"coarse", meter(func(r *document.PHReading) { r.Accuracy = pointerTo(0.2) }), ruleInstrument, 0.2, 0.1, "pH", "may be wrong by 0.2"},
		{"drift", meter(buffers(4, 4.02, 7, 6.9)), ruleCalibration, 0.1, 0.05, "pH", "off by 0.1 in a buffer, which is more than its accuracy of 0.05"},
		{
			"cold", meter(func(r *document.PHReading) { r.Temperature = quantity(8, "C") }), ruleTemperature, 8, 20, "C",
			"measured at 8 °C; it belongs between 20 and 30",
		},
		{"warm", meter(func(r *document.PHReading) { r.Temperature = quantity(35, "C") }), ruleTemperature, 35, 30, "C", "measured at 35 °C"},
		{
			"cold buffer", meter(func(r *document.PHReading) { r.Buffers[0].Temperature = quantity(12.5, "C") }), ruleTemperature, 12.5, 5, "K",
			"12.5 °C warmer or colder",
		},
		{"early", meter(func(r *document.PHReading) { r.At = at("16 02:05") }), ruleEquilibrium, 12, 24, "h", "read 12 hours after packing"},
		{"under-acid", meter(value(4.66), buffers(4, 3.96, 7, 6.96)), rulePH, 4.7, 4.6, "pH", "The pH is 4.7; food in a jar for the shelf has at most 4.6."},
		{"close", meter(value(4.58)), rulePH, 4.58, 4.6, "pH", "The pH is 4.58, give or take 0.05"},
	} {
		t.Run(test.name, func(t *testing.T) {
			f := finding(t, changed(readings(test.reading)).day(), test.rule)
			if !sameAmount(f.Measured, test.measured, test.unit) || !sameAmount(f.Limit, test.limit, test.unit) || !strings.Contains(f.Message, test.words) {
				t.Errorf("%+v %+v %q", f.Measured, f.Limit, f.Message)
			}
		})
	}
}

// A reading is evidence only when nothing speaks against it.
func TestPHMeasured(t *testing.T) {
	early := meter(func(r *document.PHReading) { r.At = at("15:05") })
	for name, test := range map[string]struct {
		readings []document.PHReading
		want     bool
	}{
		"none": {nil, false}, "too early": {[]document.PHReading{early}, false}, "one of two": {[]document.PHReading{early, meter()}, true},
		"under-acid": {[]document.PHReading{meter(value(5))}, true},
	} {
		t.Run(name, func(t *testing.T) {
			if got := changed(readings(test.readings...)).day().PHMeasured(); got != test.want {
				t.Errorf("%s: %v", name, got)
			}
		})
	}
}

// Buffers of 4.00 and 7.00 read 4.10 and 7.40 on a meter said to be good to 0.1: the slope is 3.3/3 and the offset at pH 7
// is 0.4, so a reading of 3.33 stands for 3.3 and the higher of both counts.
func TestDeriveAcid(t *testing.T) {
	low, high := 3.0, 3.3
	r := report.Report{Derived: []report.Derived{{Name: "other"}, {Name: "equilibrium_ph", Value: 3.2, Low: &low, High: &high}}}
	f := changed(readings(
		meter(value(3.33), buffers(7, 7.4, 4, 4.1), func(r *document.PHReading) { r.Accuracy = pointerTo(0.1) }),
		meter(value(2.9), buffers()), meter(value(3.2), func(r *document.PHReading) { r.Accuracy = pointerTo(0.0) }),
	))
	f.day().deriveAcid(&r)
	var names []string
	for _, d := range r.Derived[2:] {
		names = append(names, d.Name)
	}
	want := []string{"ph_meter_slope", "ph_meter_offset", "ph_reading", "ph_reading", "ph_meter_slope", "ph_meter_offset", "ph_reading"}
	if !slices.Equal(names, want) {
		t.Fatalf("%v", names)
	}
	slope, offset, first, second, third := r.Derived[2], r.Derived[3], r.Derived[4], r.Derived[5], r.Derived[8]
	var inputs []float64
	for _, input := range slope.Inputs {
		inputs = append(inputs, input.Value)
	}
	if slope.Value != 110 || offset.Value != 0.4 || !slices.Equal(inputs, []float64{1, 4, 4.1, 7, 7.4}) {
		t.Errorf("%+v %+v", slope, offset)
	}
	if first.Value != 3.33 || *first.Low != 3.23 || *first.High != 3.43 || !strings.HasSuffix(first.Formula, "above the computed band of 3 to 3.3") {
		t.Errorf("%+v", first)
	}
	if second.Value != 2.9 || *second.Low != 2.85 || !strings.HasPrefix(second.Formula, "as read; below the computed band") || second.Inputs[0].Value != 2 {
		t.Errorf("%+v", second)
	}
	if third.Low != nil || !strings.Contains(third.Formula, "; within the computed band") {
		t.Errorf("%+v", third)
	}
	// Without a band, the figure itself is both ends of it; its ends count as within.
	for ph, want := range map[float64]string{3.1: "below", 3.2: "within", 3.3: "above"} {
		derived := report.Derived{Value: ph}
		compareWithComputed(&derived, &report.Derived{Value: 3.2})
		if !strings.Contains(derived.Formula, "; "+want) {
			t.Errorf("%v: %q", ph, derived.Formula)
		}
	}
	for _, computed := range []report.Derived{{Value: 3.2, Low: &low}, {Value: 3.2, High: &high}} {
		derived := report.Derived{Value: 3.1}
		compareWithComputed(&derived, &computed)
		if !strings.Contains(derived.Formula, "; below the computed band of 3.2 to 3.2") {
			t.Errorf("half a band: %q", derived.Formula)
		}
	}
	var none report.Report
	first0 := report.Report{Derived: []report.Derived{{Name: "equilibrium_ph", Value: 3.2}}}
	changed(readings(meter())).day().deriveAcid(&first0)
	if formula := first0.Derived[3].Formula; !strings.HasSuffix(formula, "; above the computed band of 3.2 to 3.2") {
		t.Errorf("the computed band first of all figures: %q", formula)
	}
	changed(readings(meter())).day().deriveAcid(&none)
	if formula := none.Derived[2].Formula; formula != "the higher of what was read and of (read − offset) / slope" {
		t.Errorf("without a computed band: %q", formula)
	}
}

// Buffers are listed by their pH, and those of one pH by what was read.
func TestSortedBuffers(t *testing.T) {
	given := []document.Buffer{{PH: 7, Reading: 7}, {PH: 4, Reading: 4.1}, {PH: 4, Reading: 4}}
	sorted := sortedBuffers(given)
	if sorted[0].Reading != 4 || sorted[1].Reading != 4.1 || sorted[2].PH != 7 || given[0].PH != 7 {
		t.Errorf("%v of %v", sorted, given)
	}
}
