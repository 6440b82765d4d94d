package rules

import (
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/report"
)

// packedAt records a canning day, and the day that is asked for.
func packedAt(at, asOf string) func(*document.Request) {
	return func(r *document.Request) {
		r.Batch, r.AsOf = &document.Batch{PackedAt: at, Jars: []document.BatchJar{{ID: "a"}}}, asOf
	}
}

const packedOn = "2026-08-01T14:05:00-06:00"

func TestRefrigeratedOnly(t *testing.T) {
	at := []string{"/recipe/keep"}
	try(t, RefrigeratedOnly(), eggs, []ruleCase{
		{name: "shelf", want: report.Fail, at: at, fix: []report.Operation{operation("replace", "/recipe/keep", document.KeepRefrigerator)}},
		{name: "not said", edit: func(r *document.Request) { r.Recipe.Keep = "" }, want: report.Undetermined, at: []string{"/recipe"}},
		{name: "refrigerator", edit: refrigerated, want: report.Pass},
		{name: "no tested recipe", edit: func(r *document.Request) { *r = untested(more("potato", 2, "lb")) }, want: report.NotApplicable},
	})
	try(t, RefrigeratedOnly(), dills, []ruleCase{{name: "a recipe for the shelf", want: report.NotApplicable}})
}

// Bread-and-butter pickles stand 4 to 5 weeks; a hundredth of it is rounding.
func TestCure(t *testing.T) {
	rest := func(value float64, unit string) func(*document.Request) {
		return func(r *document.Request) { r.Recipe.Rest = amount(value, unit) }
	}
	at := []string{"/recipe/rest"}
	try(t, Cure(), limed, []ruleCase{
		{name: "neither rest nor record", want: report.NotApplicable},
		{name: "4 weeks", edit: rest(4, "wk"), want: report.Pass},
		{name: "28 days", edit: rest(28, "d"), want: report.Pass},
		{name: "exactly a hundredth less", edit: rest(4*7*(1-0.01), "d"), want: report.Pass},
		{name: "27.8 days", edit: rest(27.8, "d"), want: report.Pass},
		{
			name: "27.7 days", edit: rest(27.7, "d"), want: report.Fail, at: at,
			measured: &report.Amount{Value: 27.7, Unit: "d"}, limit: &report.Amount{Value: 28, Unit: "d"}, says: "stands 4 to 5 weeks",
		},
		{name: "1 week", edit: rest(1, "wk"), want: report.Fail, at: at, limit: &report.Amount{Value: 4, Unit: "wk"}},
		{name: "the last second before", edit: packedAt(packedOn, "2026-08-28T23:59:59Z"), want: report.Fail, at: []string{"/as_of"}, says: "2026-08-29"},
		{name: "as the day begins", edit: packedAt(packedOn, "2026-08-29T00:00:00Z"), want: report.Pass},
		{name: "day of packing not recorded", edit: packedAt("", "2026-08-29"), want: report.Undetermined, at: []string{"/batch"}},
		{name: "no day asked for", edit: packedAt(packedOn, ""), want: report.Undetermined, at: []string{""}, says: "Ready from 2026-08-29"},
		{
			name: "a short rest, and a record", edit: both(rest(1, "wk"), packedAt(packedOn, "2026-08-28")),
			want: report.Fail, at: []string{"/recipe/rest", "/as_of"},
		},
	})
	try(t, Cure(), dills, []ruleCase{
		{name: "no cure printed", edit: both(rest(1, "wk"), packedAt(packedOn, "2026-08-02")), want: report.NotApplicable},
	})
}

func TestBestBefore(t *testing.T) {
	try(t, BestBefore(), dills, []ruleCase{
		{name: "no record", want: report.NotApplicable},
		{name: "refrigerator", edit: both(packedAt(packedOn, "2030-01-01"), refrigerated), want: report.NotApplicable},
		{name: "the last second of a year after", edit: packedAt(packedOn, "2027-08-01T23:59:59Z"), want: report.Pass},
		{
			name: "as the next day begins",
			edit: packedAt(packedOn, "2027-08-02T00:00:00Z"),
			want: report.Fail, at: []string{"/as_of"}, says: "best before 2027-08-01",
		},
		{name: "day of packing not recorded", edit: packedAt("", "2027-08-02"), want: report.Undetermined, at: []string{"/batch"}},
		{name: "no day asked for", edit: packedAt(packedOn, ""), want: report.Undetermined, at: []string{""}, says: "Best before 2027-08-01"},
	})
}

// kept records where the jars of a canning day stood, one place a jar.
func kept(places ...document.Kept) func(*document.Request) {
	return func(r *document.Request) {
		packedAt(packedOn, "2026-09-01")(r)
		r.Batch.Jars = nil
		for _, place := range places {
			r.Batch.Jars = append(r.Batch.Jars, document.BatchJar{ID: "a", Kept: []document.Kept{{Place: document.PlaceRoom}, place}})
		}
	}
}

func TestStorageTemperature(t *testing.T) {
	room := func(value float64, unit string) document.Kept {
		return document.Kept{Place: document.PlaceRoom, Temperature: amount(value, unit)}
	}
	at := []string{"/batch/jars/0/kept/1/temperature"}
	warmest, _ := factsOf(t, dills(t)).Limit("storage-max")
	try(t, StorageTemperature(), dills, []ruleCase{
		{name: "no record", want: report.NotApplicable},
		{name: "no temperature", edit: kept(document.Kept{Place: document.PlaceRoom}), want: report.NotApplicable},
		{name: "95 °F", edit: kept(room(95, "F")), want: report.Pass},
		{name: "35.25 °C is 95 °F as thermometers go", edit: kept(room(35.25, "C")), want: report.Pass},
		{name: "to the last bit", edit: kept(room(warmest+0.3, "K")), want: report.Pass},
		{name: "35.35 °C", edit: kept(room(35.35, "C")), want: report.Fail, at: at},
		{
			name: "96 °F", edit: kept(room(96, "F")), want: report.Fail, at: at, says: `Jar "a" stood warmer than 95 °F.`,
			measured: &report.Amount{Value: 96, Unit: "F"}, limit: &report.Amount{Value: 95, Unit: "F"},
		},
		{name: "the second jar", edit: kept(room(70, "F"), room(100, "F")), want: report.Fail, at: []string{"/batch/jars/1/kept/1/temperature"}},
		{name: "a warm refrigerator", edit: kept(document.Kept{Place: document.PlaceRefrigerator, Temperature: amount(100, "F")}), want: report.NotApplicable},
		{
			name: "a warm refrigerator and a cool room", want: report.Pass,
			edit: kept(document.Kept{Place: document.PlaceRefrigerator, Temperature: amount(100, "F")}, room(70, "F")),
		},
		{name: "refrigerator recipe", edit: both(kept(room(96, "F")), refrigerated), want: report.Fail, at: at},
	})
}

// remarksOf puts remarks of two rules in, as package canningday does.
func remarksOf(rule string) func(*facts.Facts) {
	return func(f *facts.Facts) {
		f.Remarks = []facts.Remark{
			{Rule: rule, Finding: facts.Finding{Outcome: report.Undetermined, At: "/batch", Message: "Not known."}},
			{Rule: "batch.other", Finding: facts.Finding{Outcome: report.Fail, At: "/batch/other", Message: "Another rule's."}},
			{Rule: rule, Finding: facts.Finding{Outcome: report.Fail, At: "/batch/jars/0", Message: "Failed."}},
		}
	}
}

var bothRemarks = []string{"/batch", "/batch/jars/0"}

func TestRefrigeratedUntil(t *testing.T) {
	cold := document.Kept{Place: document.PlaceRefrigerator}
	remarks := remarksOf(RefrigeratedUntil().ID)
	try(t, RefrigeratedUntil(), dills, []ruleCase{
		{name: "no record", facts: remarks, want: report.NotApplicable},
		{name: "jars on the shelf", edit: kept(document.Kept{Place: document.PlaceRoom}), facts: remarks, want: report.NotApplicable},
		{name: "a jar in the refrigerator", edit: kept(document.Kept{Place: document.PlaceRoom}, cold), facts: remarks, want: report.Fail, at: bothRemarks},
		{name: "and nothing to remark", edit: kept(cold), want: report.Pass},
	})
	try(t, RefrigeratedUntil(), eggs, []ruleCase{
		{
			name: "a recipe that prints how long it keeps", edit: both(refrigerated, packedAt(packedOn, "2026-09-01")),
			facts: remarks, want: report.Fail, at: bothRemarks,
		},
		{name: "the same without a record", edit: refrigerated, facts: remarks, want: report.NotApplicable},
	})
}

func TestListeriaCold(t *testing.T) {
	remarks := remarksOf(ListeriaCold().ID)
	record := packedAt(packedOn, "2026-09-01")
	try(t, ListeriaCold(), dills, []ruleCase{
		{name: "no record", edit: refrigerated, facts: remarks, want: report.NotApplicable},
		{name: "shelf", edit: record, facts: remarks, want: report.NotApplicable},
		{name: "refrigerator", edit: both(refrigerated, record), facts: remarks, want: report.Fail, at: bothRemarks},
	})
}
