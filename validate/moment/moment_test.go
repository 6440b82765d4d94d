package moment

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"jarwright/validate/measure"
)

// The standard library is the outside truth for all of these: it reads and writes the same texts, with a calendar of its own.
func TestAgreesWithTheStandardLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		milliseconds := rapid.Int64Range(int64(Earliest)+2*86400000, int64(Latest)-2*86400000).Draw(t, "milliseconds")
		offset := rapid.IntRange(-23*60-59, 23*60+59).Draw(t, "offset")
		want := time.UnixMilli(milliseconds)
		local := want.In(time.FixedZone("", offset*60))
		if year := local.Year(); year < 0 || year > 9999 {
			return
		}
		text := local.Format("2006-01-02T15:04:05.000Z07:00")
		got, ok := Parse(text)
		if !ok || int64(got) != milliseconds {
			t.Fatalf("%s is %d, want %d", text, got, milliseconds)
		}
		if got.String() != want.UTC().Format("2006-01-02T15:04:05.999Z07:00") && milliseconds%1000 == 0 {
			t.Fatalf("%d is written %s", got, got)
		}
		if written, ok := Parse(got.String()); !ok || written != got {
			t.Fatalf("%s comes back as %s", got, written)
		}
		if date := got.Date(offset); date.String() != local.Format("2006-01-02") {
			t.Fatalf("%s falls on %s", text, date)
		}
		if clock := local.Format("2006-01-02 15:04 UTC-07:00"); offset != 0 && got.Clock(offset) != clock {
			t.Fatalf("%s reads %s, want %s", text, got.Clock(offset), clock)
		}
		if later := got.Date(0).AddDays(1); later.Year <= 9999 && later.String() != want.UTC().AddDate(0, 0, 1).Format("2006-01-02") {
			t.Fatalf("the day after %s is %s", got, later)
		}
	})
}

func TestRefusesWhatIsNoMoment(t *testing.T) {
	for _, text := range []string{
		"", "2026-08-15", "2026-08-15T14:05:00", "2026-08-15 14:05:00Z", "2026-02-29T14:05:00Z", "2026-08-15T24:05:00Z", "2026-08-15T14:60:00Z",
		"2026-08-15T14:05:00.Z", "2026-08-15T14:05:00.5", "2026-08-15T14:05:00+6:00", "2026-08-15T14:05:00+24:00", "2026-13-15T14:05:00Z", "2026-00-15T14:05:00Z", "+026-08-15T14:05:00Z",
	} {
		if at, ok := Parse(text); ok {
			t.Errorf("%q is read as %s", text, at)
		}
	}
	if _, ok := ParseSpan("yesterday"); ok {
		t.Error("yesterday was read")
	}
}

func TestMonthsEndWithTheirMonth(t *testing.T) {
	for _, test := range []struct {
		from, want string
		months     int
	}{
		{"2026-08-15", "2027-08-15", 12}, {"2024-02-29", "2025-02-28", 12}, {"2026-01-31", "2026-02-28", 1}, {"2026-11-30", "2027-02-28", 3},
	} {
		from, _ := ParseDate(test.from)
		if got := from.AddMonths(test.months).String(); got != test.want {
			t.Errorf("%s and %d months is %s, want %s", test.from, test.months, got, test.want)
		}
	}
}

// A date is that date somewhere on Earth from 14 hours before it begins in UTC (UTC+14) to 12 after it ends (UTC-12): 50 h.
func TestADateIsAllOfItsDay(t *testing.T) {
	span, ok := ParseSpan("2026-08-15")
	if !ok || span.From.String() != "2026-08-14T10:00:00Z" || span.To.String() != "2026-08-16T11:59:59.999Z" {
		t.Errorf("%s to %s", span.From, span.To)
	}
	instant, ok := ParseSpan("2026-08-15T08:00:00-06:00")
	if !ok || instant.From != instant.To || instant.From.String() != "2026-08-15T14:00:00Z" {
		t.Errorf("%s to %s", instant.From, instant.To)
	}
	if d := instant.From.Since(span.From); d != 28*60*measure.Minute || span.From.Add(d) != instant.From {
		t.Errorf("%v s between", d)
	}
}
