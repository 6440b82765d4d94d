package plan

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// TestClockAgreesWithTheStandardLibrary holds our calendar to that of package time, which the code may not use.
func TestClockAgreesWithTheStandardLibrary(t *testing.T) {
	const layout = "2006-01-02T15:04"
	rapid.Check(t, func(t *rapid.T) {
		from := time.Date(1900, 1, 1, 0, 0, 0, 0, time.UTC)
		moment := from.Add(time.Duration(rapid.Int64Range(0, 250*366*24*60).Draw(t, "minutes")) * time.Minute)
		later := rapid.Int64Range(-400000, 400000).Draw(t, "later")
		c, ok := readClock(moment.Format(layout))
		if !ok || c.String() != moment.Format(layout) {
			t.Fatalf("%s reads %v %s", moment.Format(layout), ok, c)
		}
		if got, want := c.add(float64(later)).String(), moment.Add(time.Duration(later)*time.Minute).Format(layout); got != want {
			t.Fatalf("%s and %d minutes is %s, want %s", c, later, got, want)
		}
	})
}

func TestClockRefusesDaysThatAreNot(t *testing.T) {
	for text, want := range map[string]bool{
		"2026-02-29T09:00": false, "2024-02-29T09:00": true, "2100-02-29T09:00": false, "2000-02-29T09:00": true,
		"2026-04-31T09:00": false, "2026-12-31T23:59": true, "2026-01-01T00:00Z": true, "2026-08-15": false, "": false,
	} {
		if _, ok := readClock(text); ok != want {
			t.Errorf("%q: %v, want %v", text, ok, want)
		}
	}
}

func TestClockCarriesTheOffset(t *testing.T) {
	c, _ := readClock("2026-08-15T23:30:59+02:00")
	if got := c.add(45).String(); got != "2026-08-16T00:15+02:00" {
		t.Errorf("%s", got)
	}
	if got := c.addMonths(12).day(); got != "2027-08-15" {
		t.Errorf("a year on: %s", got)
	}
	leap, _ := readClock("2024-02-29T12:00")
	if got := leap.addMonths(12).day(); got != "2025-02-28" {
		t.Errorf("a year after a leap day: %s", got)
	}
}
