package storage

import (
	"testing"
	"time"

	"jarwright/validate/document"
)

func TestAddMonths(t *testing.T) {
	for _, test := range []struct {
		from, want string
		months     int
	}{
		{"2026-08-15", "2027-08-15", 12},
		{"2024-02-29", "2025-02-28", 12},
		{"2024-02-29", "2028-02-29", 48},
		{"2026-01-31", "2026-02-28", 1},
		{"2026-11-30", "2027-02-28", 3},
		{"2026-10-31", "2026-11-30", 1},
		{"2026-12-31", "2027-01-31", 1},
		{"2026-08-15", "2026-08-15", 0},
	} {
		t.Run(test.from, func(t *testing.T) {
			from, err := time.Parse(time.DateOnly, test.from)
			if err != nil {
				t.Fatal(err)
			}
			if got := AddMonths(from, test.months).Format(time.DateOnly); got != test.want {
				t.Errorf("%d months on it is %s, want %s", test.months, got, test.want)
			}
		})
	}
}

// written is a day with the moment it begins, or "" where it is not known.
func written(day time.Time, known bool) string {
	if !known {
		return ""
	}
	return day.Format(time.RFC3339)
}

// Days begin at midnight by the clocks of the labels, which may be another day than in UTC.
func TestPacked(t *testing.T) {
	for _, test := range []struct{ name, packed, offset, want string }{
		{"in UTC", "2026-08-15T14:05:00Z", "", "2026-08-15T00:00:00Z"},
		{"the day before in the mountains", "2026-08-15T05:59:59Z", "-06:00", "2026-08-14T00:00:00-06:00"},
		{"the same day in the mountains", "2026-08-15T06:00:00Z", "-06:00", "2026-08-15T00:00:00-06:00"},
		{"the day after in the east", "2026-08-15T20:00:00Z", "+05:30", "2026-08-16T00:00:00+05:30"},
		{"written with another offset", "2026-08-15T23:00:00-06:00", "-06:00", "2026-08-15T00:00:00-06:00"},
		{"not recorded", "", "-06:00", ""},
		{"not a time", "noon", "", ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := written(Packed(factsOf(dills, packed(test.packed, test.offset)))); got != test.want {
				t.Errorf("%s, want %s", got, test.want)
			}
		})
	}
	if got := written(Packed(factsOf(dills, noBatch))); got != "" {
		t.Errorf("without a record: %s", got)
	}
}

// What the tested recipes print, counted from 15 August 2026 by hand.
func TestDates(t *testing.T) {
	type changes = []func(*document.Request)
	const midnight = "T00:00:00Z"
	for _, test := range []struct {
		name, tested                          string
		changes                               changes
		curedFrom, curedBy, best, refrigUntil string
	}{
		{"4 to 5 weeks", breadAndButter, nil, "2026-09-12" + midnight, "2026-09-19" + midnight, "2027-08-15" + midnight, ""},
		{"no cure", dills, nil, "", "", "2027-08-15" + midnight, ""},
		{"no tested recipe", "", nil, "", "", "2027-08-15" + midnight, ""},
		{"no tested recipe, refrigerated", "", changes{refrigerated}, "", "", "2027-08-15" + midnight, ""},
		{"a month in the refrigerator", coldRelish, changes{refrigerated}, "", "", "2027-08-15" + midnight, "2026-09-15" + midnight},
		{"2 to 3 months", coldEggs, changes{refrigerated}, "", "", "2027-08-15" + midnight, "2026-11-15" + midnight},
		{"made for the refrigerator, meant for the shelf", coldRelish, nil, "", "", "2027-08-15" + midnight, ""},
		{"refrigerated, and none printed", dills, changes{refrigerated}, "", "", "2027-08-15" + midnight, ""},
		{"not packed", breadAndButter, changes{packed("", "")}, "", "", "", ""},
		{"not packed, refrigerated", coldRelish, changes{packed("", ""), refrigerated}, "", "", "", ""},
		{
			"in the mountains", breadAndButter,
			changes{packed("2026-08-15T05:00:00Z", "-06:00")},
			"2026-09-11T00:00:00-06:00", "2026-09-18T00:00:00-06:00", "2027-08-14T00:00:00-06:00", "",
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			f := factsOf(test.tested, test.changes...)
			from, to, ok := Cured(f)
			if written(from, ok) != test.curedFrom || written(to, ok) != test.curedBy {
				t.Errorf("cured from %s to %s, want %s to %s", from, to, test.curedFrom, test.curedBy)
			}
			if got := written(BestBefore(f)); got != test.best {
				t.Errorf("best before %s, want %s", got, test.best)
			}
			if got := written(RefrigeratorUntil(f)); got != test.refrigUntil {
				t.Errorf("in the refrigerator until %s, want %s", got, test.refrigUntil)
			}
		})
	}
}
