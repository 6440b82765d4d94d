package canningday

import (
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/report"
)

// mountainZone writes labels by clocks 6 hours behind UTC.
func mountainZone(f *fixture) { f.batch.UTCOffset = "-06:00" }

// A recipe for the refrigerator that keeps there for a month.
func coldDay(f *fixture) {
	f.tested, f.recipe.Disposition = coldRelish, report.Refrigerate
	f.Recipe.Keep, f.Recipe.Process = document.KeepRefrigerator, nil
	f.batch.Events = nil
	for i := range f.batch.Jars {
		f.batch.Jars[i].SealChecks = nil
		f.batch.Jars[i].Kept = []document.Kept{{From: at("15:00"), Place: document.PlaceRefrigerator, Temperature: quantity(40, "F")}}
	}
}

// Recipes for the refrigerator: cold from the start, at 40 °F or colder, and eaten in time (nchfp; jfp-2005).
func TestKeeping(t *testing.T) {
	cold := func(fahrenheit float64) func(*fixture) {
		return kept(document.Kept{From: at("15:00"), Place: document.PlaceRefrigerator, Temperature: quantity(fahrenheit, "F")})
	}
	const listeria, until = "keeping.listeria-cold", "keeping.refrigerated-until"
	hold, refrigerate, discard := report.Hold, report.Refrigerate, report.Discard
	first := func(d report.Disposition) []report.Disposition { return jarsFor(d, refrigerate, refrigerate) }
	all := func(outcome string) []string {
		return []string{until + " " + outcome + " /batch/jars/0", until + " " + outcome + " /batch/jars/1", until + " " + outcome + " /batch/jars/2"}
	}
	for _, test := range []judgment{
		{"40 °F", changes{coldDay}, nil, allRefrigerate, refrigerate},
		{"4.5 °C", changes{coldDay, cold(40.18)}, nil, allRefrigerate, refrigerate},
		{"41 °F", changes{coldDay, cold(41)}, []string{listeria + " fail /batch/jars/0/kept/0/temperature"}, first(hold), refrigerate},
		{
			"a room",
			changes{
				coldDay, kept(document.Kept{From: at("15:00"), Place: document.PlaceRoom}, document.Kept{From: at("16:00"), Place: document.PlaceRefrigerator}),
			},
			[]string{listeria + " fail /batch/jars/0/kept/0/place"},
			first(hold), refrigerate,
		},
		{
			"temperature not recorded",
			changes{coldDay, kept(document.Kept{From: at("15:00"), Place: document.PlaceRefrigerator})},
			[]string{listeria + " undetermined /batch/jars/0"},
			allRefrigerate, refrigerate,
		},
		{
			"recorded once",
			changes{
				coldDay,
				kept(
					document.Kept{From: at("15:00"), Place: document.PlaceRefrigerator, Temperature: quantity(38, "F")},
					document.Kept{From: at("16:00"), Place: document.PlaceRefrigerator},
				),
			},
			nil, allRefrigerate, refrigerate,
		},
		{
			"too warm in the future",
			changes{coldDay, kept(document.Kept{From: at("16 06:00:01"), Place: document.PlaceRefrigerator, Temperature: quantity(50, "F")})},
			[]string{listeria + " undetermined /batch/jars/0", ruleRecord + " undetermined /batch/jars/0"},
			allRefrigerate, refrigerate,
		},
		{
			"too warm at the moment of the question",
			changes{coldDay, kept(document.Kept{From: at("16 06:00"), Place: document.PlaceRefrigerator, Temperature: quantity(50, "F")})},
			[]string{listeria + " fail /batch/jars/0/kept/0/temperature"},
			first(hold), refrigerate,
		},
		{"the last moment of the last day", changes{coldDay, asOf("2026-09-15T23:59:59.999Z")}, nil, allRefrigerate, refrigerate},
		{"the day after", changes{coldDay, asOf("2026-09-16T00:00:00Z")}, all("fail"), allDiscard, refrigerate},
		{"the last day of the zone", changes{coldDay, mountainZone, asOf("2026-09-16T05:59:59Z")}, nil, allRefrigerate, refrigerate},
		{"the day after in the zone", changes{coldDay, mountainZone, asOf("2026-09-16T06:00:00Z")}, all("fail"), allDiscard, refrigerate},
		{"the last day anywhere", changes{coldDay, asOf("2026-09-15")}, all("undetermined"), allRefrigerate, refrigerate},
		{"no date", changes{coldDay, asOf("")}, all("undetermined"), allRefrigerate, refrigerate},
		{
			"under-acid",
			changes{coldDay, readings(meter(value(5))), asOf(at("18 14:05"))},
			[]string{rulePH + " fail /batch/ph_readings/0/value"},
			jarsFor(refrigerate, refrigerate, refrigerate), refrigerate,
		},
		{
			"moldy",
			changes{coldDay, onJar(0, func(j *document.BatchJar) { j.SpoilageSigns = []string{document.SignMold} })},
			[]string{ruleSpoilage + " fail /batch/jars/0"},
			first(discard), refrigerate,
		},
	} {
		test.check(t)
	}
	d := changed(coldDay, cold(45)).day()
	if f := finding(t, d, listeria); !sameAmount(f.Measured, 45, "F") || !sameAmount(f.Limit, 40, "F") {
		t.Errorf("%+v %+v", f.Measured, f.Limit)
	}
}
