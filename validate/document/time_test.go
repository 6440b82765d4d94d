package document

import (
	"testing"
	"time"
)

func TestParseTime(t *testing.T) {
	for text, want := range map[string]string{
		"2026-08-15T14:05:00Z":                "2026-08-15T14:05:00Z",
		"2026-08-15t14:05:00z":                "2026-08-15T14:05:00Z",
		"2026-08-15T14:05:00-06:00":           "2026-08-15T20:05:00Z",
		"2026-01-01T00:30:00+23:59":           "2025-12-31T00:31:00Z",
		"2026-08-15T14:05:00-00:00":           "2026-08-15T14:05:00Z",
		"2026-08-15T14:05:00.5Z":              "2026-08-15T14:05:00.5Z",
		"2026-08-15T14:05:00.1239Z":           "2026-08-15T14:05:00.123Z",
		"2026-08-15T14:05:00.123456789012Z":   "2026-08-15T14:05:00.123Z",
		"2026-12-31T23:59:60Z":                "2027-01-01T00:00:00Z",
		"2024-02-29T12:00:00Z":                "2024-02-29T12:00:00Z",
		"0000-01-01T00:00:00Z":                "0000-01-01T00:00:00Z",
		"9999-12-31T23:59:59Z":                "9999-12-31T23:59:59Z",
		"":                                    "",
		"2026-08-15":                          "",
		"2026-08-15T14:05:00":                 "",
		"2026-08-15T14:05Z":                   "",
		"2026-08-15 14:05:00Z":                "",
		"2026-02-29T14:05:00Z":                "",
		"2026-13-15T14:05:00Z":                "",
		"2026-00-15T14:05:00Z":                "",
		"2026-08-00T14:05:00Z":                "",
		"2026-08-15T24:05:00Z":                "",
		"2026-08-15T14:60:00Z":                "",
		"2026-08-15T14:05:61Z":                "",
		"2026-08-15T4:05:00Z":                 "",
		"2026-08-15T14:05:00,5Z":              "",
		"2026-08-15T14:05:00.Z":               "",
		"2026-08-15T14:05:00.5":               "",
		"2026-08-15T14:05:00+6:00":            "",
		"2026-08-15T14:05:00+24:00":           "",
		"2026-08-15T14:05:00+06:60":           "",
		"2026-08-15T14:05:00+0600":            "",
		"+026-08-15T14:05:00Z":                "",
		"2026-08-15T14:05:00Z and some":       "",
		"before 2026-08-15T14:05:00Z":         "",
		"2026-08-15T14:05:00Z\n":              "",
		"2026-08-15T14:05:00 America/Chicago": "",
	} {
		t.Run(text, func(t *testing.T) {
			got := ParseTime(text)
			if got.Known != (want != "") || got.Known && got.Format(time.RFC3339Nano) != want {
				t.Errorf("%v %s, want %q", got.Known, got, want)
			}
			if !got.Known && !got.IsZero() {
				t.Errorf("not known, but %s", got)
			}
		})
	}
}

func TestParseZone(t *testing.T) {
	for text, want := range map[string]int{"-06:00": -6 * 3600, "+05:45": (5*60 + 45) * 60, "+00:00": 0, "": 0, "-00:00": 0, "noon": 0} {
		t.Run(text, func(t *testing.T) {
			if _, got := time.Date(2026, 8, 15, 0, 0, 0, 0, ParseZone(text)).Zone(); got != want {
				t.Errorf("%q is %d s ahead of UTC, want %d", text, got, want)
			}
		})
	}
}

// A date is that date somewhere on Earth from 14 hours before it begins in UTC (UTC+14) to 12 after it ends (UTC-12).
func TestParsePeriod(t *testing.T) {
	for text, want := range map[string][2]string{
		"2026-08-15":                {"2026-08-14T10:00:00Z", "2026-08-16T11:59:59.999Z"},
		"2024-02-28":                {"2024-02-27T10:00:00Z", "2024-02-29T11:59:59.999Z"},
		"2026-08-15T08:00:00-06:00": {"2026-08-15T14:00:00Z", "2026-08-15T14:00:00Z"},
	} {
		t.Run(text, func(t *testing.T) {
			got, ok := ParsePeriod(text)
			if !ok || got.From.Format(time.RFC3339Nano) != want[0] || got.To.Format(time.RFC3339Nano) != want[1] {
				t.Errorf("%s is %s to %s, %v, want %v", text, got.From, got.To, ok, want)
			}
		})
	}
	for _, text := range []string{"yesterday", "2026-02-29", "2026-8-15", "", "20260815"} {
		if _, ok := ParsePeriod(text); ok {
			t.Errorf("%q is read", text)
		}
	}
}
