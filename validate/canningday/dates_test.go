package canningday

import (
	"slices"
	"strings"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/report"
)

func datesOf(r report.Report) []string {
	var all []string
	for _, d := range r.Dates {
		all = append(all, d.Name+" "+d.At+" "+strings.Join(d.Jars, ","))
	}
	return all
}

func labelsOf(r report.Report) []string {
	var all []string
	for _, l := range r.Labels {
		all = append(all, strings.Join(l.Jars, ",")+": "+strings.Join(l.Lines, " / "))
	}
	return all
}

func TestDates(t *testing.T) {
	const packed, processed = "packed 2026-08-15T14:05:00Z 1", "processed 2026-08-15T15:00:00Z 1"
	process := []string{
		packed, processed, "seal_check_from 2026-08-16T03:00:00Z 1", "seal_check_to 2026-08-16T15:00:00Z 1", "reprocess_until 2026-08-16T15:00:00Z 1",
	}
	one := fewJars(1)
	flat := looked(document.SealCheck{At: at("16 05:00"), Lid: document.LidFlat})
	for _, test := range []struct {
		name    string
		changes changes
		want    []string
	}{
		{"on the shelf", changes{one}, append(slices.Clone(process), "best_before 2027-08-15 1")},
		{"packing not recorded", changes{one, func(f *fixture) { f.batch.PackedAt = "" }}, process[1:]},
		{
			"with a cure",
			changes{one, testedRecipe(breadAndButter)},
			append(slices.Clone(process), "cured_from 2026-09-12 1", "cured_by 2026-09-19 1", "best_before 2027-08-15 1"),
		},
		{"to process again", changes{one, flat, testedRecipe(breadAndButter)}, process},
		{"no process", changes{one, method("none")}, process[:1]},
		{"no log", changes{one, log()}, process[:1]},
		{"no end of the process", changes{one, log(logged("14:50", document.EventBoilReached))}, []string{packed, "reprocess_until 2026-08-16T14:05:00Z 1"}},
		{"a load that no jar is of", changes{one, allIn("A"), func(f *fixture) {
			f.batch.Events = append(f.batch.Events, inLoad("B", logged("14:50", document.EventBoilReached), logged("15:30", document.EventHeatOff))...)
		}}, append(slices.Clone(process), "best_before 2027-08-15 1")},
		{
			"in the refrigerator",
			changes{one, flat, asOf(at("17 05:00")), kept(document.Kept{From: at("16 05:30"), Place: document.PlaceRefrigerator})},
			append(slices.Clone(process), "use_by 2026-08-19T05:30:00Z 1"),
		},
		{"in the refrigerator without a fault", changes{one, looked(), kept(document.Kept{From: at("16 05:30"), Place: document.PlaceRefrigerator})}, process},
		{"a recipe for the refrigerator", changes{one, coldDay}, []string{packed, "use_by 2026-09-15 1"}},
		{"two loads", changes{func(f *fixture) {
			f.batch.Events = append(f.batch.Events, inLoad("A", wet("13:50", document.EventBoilReached, 1.5), logged("14:00", document.EventHeatOff))...)
			f.batch.PackedAt, f.batch.Jars[1].Load = at("13:00"), "A"
		}, allIn("B")}, []string{
			"packed 2026-08-15T13:00:00Z 1,2,3", "processed 2026-08-15T14:00:00Z 2", "processed 2026-08-15T15:00:00Z 1,3",
			"seal_check_from 2026-08-16T02:00:00Z 2", "seal_check_from 2026-08-16T03:00:00Z 1,3", "seal_check_to 2026-08-16T14:00:00Z 2",
			"reprocess_until 2026-08-16T14:00:00Z 2",
			"seal_check_to 2026-08-16T15:00:00Z 1,3", "reprocess_until 2026-08-16T15:00:00Z 1,3", "best_before 2027-08-15 1,2,3",
		}},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := datesOf(changed(test.changes...).report()); !slices.Equal(got, test.want) {
				t.Errorf("%q, want\n%q", got, test.want)
			}
		})
	}
}

// Parts of a second are kept, and only where there are any.
func TestWritten(t *testing.T) {
	for _, text := range []string{"2026-08-15T14:05:00Z", "2026-08-15T14:05:00.500Z", "2026-08-15T14:05:00.001Z"} {
		if got := written(moment(t, text)); got != text {
			t.Errorf("%s, want %s", got, text)
		}
	}
}

func TestLabels(t *testing.T) {
	flat := looked(document.SealCheck{At: at("16 05:00"), Lid: document.LidFlat})
	cold := kept(document.Kept{From: at("16 05:30"), Place: document.PlaceRefrigerator})
	for _, test := range []struct {
		name    string
		changes changes
		want    []string
	}{
		{"alike", nil, []string{"1,2,3: Dills / Packed 2026-08-15 / Best before 2027-08-15 / Refrigerate after opening"}},
		{
			"lot and cure",
			changes{fewJars(1), testedRecipe(breadAndButter), func(f *fixture) { f.batch.Lot = "A" }},
			[]string{"1: Dills / Packed 2026-08-15 / Lot A / Ready from 2026-09-12 / Best before 2027-08-15 / Refrigerate after opening"},
		},
		{
			"the name of the tested recipe",
			changes{fewJars(1), func(f *fixture) { f.Recipe.Name = "" }},
			[]string{"1: Quick fresh-pack dill pickles / Packed 2026-08-15 / Best before 2027-08-15 / Refrigerate after opening"},
		},
		{
			"the day of the zone",
			changes{fewJars(1), mountainZone, func(f *fixture) { f.batch.PackedAt = at("05:59") }, atDawn},
			[]string{"1: Dills / Packed 2026-08-14 / Best before 2027-08-14 / Refrigerate after opening"},
		},
		{"a jar that has not sealed", changes{flat}, []string{"2,3: Dills / Packed 2026-08-15 / Best before 2027-08-15 / Refrigerate after opening"}},
		{"a jar that has not sealed, in the refrigerator", changes{flat, cold, asOf(at("17 05:00"))}, []string{
			"1: Dills / Packed 2026-08-15 / Use by 2026-08-19 / Keep refrigerated, at 40 °F (4 °C) or colder",
			"2,3: Dills / Packed 2026-08-15 / Best before 2027-08-15 / Refrigerate after opening",
		}},
		{
			"a jar in the refrigerator without a fault",
			changes{fewJars(1), looked(), cold},
			[]string{"1: Dills / Packed 2026-08-15 / Keep refrigerated, at 40 °F (4 °C) or colder"},
		},
		{
			"a recipe for the refrigerator",
			changes{fewJars(1), coldDay},
			[]string{"1: Dills / Packed 2026-08-15 / Use by 2026-09-15 / Keep refrigerated, at 40 °F (4 °C) or colder"},
		},
		{
			"packing not recorded",
			changes{fewJars(1), coldDay, func(f *fixture) { f.batch.PackedAt = "" }},
			[]string{"1: Dills / Keep refrigerated, at 40 °F (4 °C) or colder"},
		},
		{"nothing to keep", changes{log()}, nil},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := labelsOf(changed(test.changes...).report()); !slices.Equal(got, test.want) {
				t.Errorf("%q, want\n%q", got, test.want)
			}
		})
	}
	f := changed(func(f *fixture) { f.Recipe.Name, f.tested = "", "" })
	if lines := f.day().labelLines(0, true); lines[0] != "" {
		t.Errorf("%q", lines)
	}
}
