package altitude

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/measure"
)

// printed is a row of two bands, to 1,000 ft and above; the minutes are ours.
func printed(low, high float64) *catalog.Schedule {
	return &catalog.Schedule{ID: "row", Product: "pickle", Bands: []catalog.Band{{FromFt: 0, ToFt: 1000, Minutes: low}, {FromFt: 1001, Minutes: high}}}
}

func thumbOf(t *testing.T, id string) *Thumb {
	t.Helper()
	for i := range thumbs {
		if thumbs[i].ID == id {
			return &thumbs[i]
		}
	}
	t.Fatalf("no rule of thumb %q", id)
	return nil
}

// At 2,000 ft the books' rule makes 11 to 12 minutes of 10: a table that prints 11, 11.5 or 12 agrees with it.
func TestVerdictsOnARuleOfThumb(t *testing.T) {
	thumb := thumbOf(t, "minutes-per-thousand-feet")
	for minutes, want := range map[float64]ThumbVerdict{
		10.9: ThumbTooLong, 11: ThumbAgrees, 11.5: ThumbAgrees, 12: ThumbAgrees, 12.1: ThumbTooShort,
	} {
		t.Run(fmt.Sprintf("%g minutes", minutes), func(t *testing.T) {
			if _, got := thumb.judge(printed(10, minutes), 2000*measure.Foot); got != want {
				t.Errorf("%v, want %v", got, want)
			}
		})
	}
	l := newLookup(t)
	for name, test := range map[string]struct {
		rows                              []*catalog.Schedule
		agrees, tooShort, tooLong, silent int
		text                              string
	}{
		"of every kind": {
			[]*catalog.Schedule{printed(10, 12), printed(10, 15), printed(10, 13), printed(10, 10), printed(0, 10)},
			1, 2, 1, 1,
			"too short for 2 of the printed times here, by up to 3 minutes",
		},
		"too long":          {[]*catalog.Schedule{printed(10, 10), printed(10, 12), printed(10, 10)}, 1, 0, 2, 0, "longer than 2 of the printed times"},
		"agrees":            {[]*catalog.Schedule{printed(10, 12)}, 1, 0, 0, 0, "It agrees"},
		"silent":            {[]*catalog.Schedule{printed(0, 12)}, 0, 0, 0, 1, "nothing of the times"},
		"nothing to say of": {nil, 0, 0, 0, 0, "nothing of the times"},
	} {
		t.Run(name, func(t *testing.T) {
			var got ThumbCompared
			got.minutes(thumb, test.rows, 2000*measure.Foot)
			if got.Agrees != test.agrees || got.TooShort != test.tooShort || got.TooLong != test.tooLong || got.Silent != test.silent {
				t.Errorf("%+v", got)
			}
			if !strings.Contains(got.Text, test.text) {
				t.Errorf("%q, want %q", got.Text, test.text)
			}
		})
	}
	departures := func(minutes float64) []ThumbDeparture {
		rows := []*catalog.Schedule{printed(10, minutes)}
		var of []ThumbDeparture
		for _, departure := range l.recipe(&catalog.TestedRecipe{}, rows, 2000*measure.Foot).Rows[0].RulesOfThumb {
			if departure.ID == thumb.ID {
				of = append(of, departure)
			}
		}
		return of
	}
	short, agrees, long := departures(15), departures(12), departures(10)
	if len(short) != 1 || len(agrees) != 0 || len(long) != 1 || long[0].Verdict != ThumbTooLong {
		t.Errorf("%v, %v, %v", short, agrees, long)
	}
}

// A steam canner may run for 45 minutes (addendum of the National Center for Home Food Preservation, 2015).
func TestLimitOfSteam(t *testing.T) {
	l := newLookup(t)
	for name, test := range map[string]struct {
		rows []*catalog.Schedule
		over int
		text string
	}{
		"none":    {nil, 0, "no printed time"},
		"within":  {[]*catalog.Schedule{printed(10, 45), printed(10, 20)}, 0, "is within the 45 minutes"},
		"one":     {[]*catalog.Schedule{printed(10, 45), printed(10, 45.5)}, 1, "1 of 2 printed times"},
		"further": {[]*catalog.Schedule{printed(10, 50), printed(10, 60), printed(10, 5)}, 2, "2 of 3 printed times"},
	} {
		t.Run(name, func(t *testing.T) {
			got := l.steam(test.rows, 2000*measure.Foot)
			if got.RowsOver != test.over || got.Matters != (test.over > 0) || !strings.Contains(got.Text, test.text) {
				t.Errorf("%+v, want %q", got, test.text)
			}
		})
	}
	for minutes, allowed := range map[float64]bool{45: true, 45.5: false} {
		rows := l.recipe(&catalog.TestedRecipe{}, []*catalog.Schedule{printed(10, minutes)}, 2000*measure.Foot)
		if rows.Rows[0].SteamAllowed != allowed || strings.Contains(rows.Text, "No time") {
			t.Errorf("%g minutes: %+v", minutes, rows)
		}
	}
	if none := l.recipe(&catalog.TestedRecipe{}, nil, 0); !strings.Contains(none.Text, "No time") {
		t.Errorf("%+v", none)
	}
}

// The two scales of one answer: 1,000 ft are 304.8 m and 6,000 ft 1,828.8 m; 101,325 Pa are 1,013.25 hPa and 29.92 inHg. The set of
// bands that most tables have stands first.
func TestScalesOfAnAnswer(t *testing.T) {
	at := ask(t, newLookup(t), Question{Elevation: 2000 * measure.Foot})
	for i, band := range at.Bands {
		if math.Abs(band.FromM-band.FromFt*0.3048) > 0.05 || band.ToM == nil || math.Abs(*band.ToM-*band.ToFt*0.3048) > 0.05 {
			t.Errorf("%+v", band)
		}
		if i > 0 && band.Rows > at.Bands[i-1].Rows {
			t.Errorf("%d rows stand before %d", at.Bands[i-1].Rows, band.Rows)
		}
	}
	sea := ask(t, newLookup(t), Question{})
	if sea.PressurePa != 101325 || math.Abs(sea.PressureHPa-1013.25) > 0.051 || sea.PressureInHg != 29.92 {
		t.Errorf("%g Pa, %g hPa, %g inHg", sea.PressurePa, sea.PressureHPa, sea.PressureInHg)
	}
}

// The ends of what a boiling point of 94 °C implies agree with it; a hair beyond them does not.
func TestThermometerAtTheEndsOfWhatItImplies(t *testing.T) {
	implied, err := ImpliedElevationM(94, thermometerError.Value)
	if err != nil {
		t.Fatal(err)
	}
	for name, test := range map[string]struct {
		meters float64
		agrees bool
		text   string
	}{
		"below":      {math.Nextafter(implied.Low, 0), false, "higher than the elevation given"},
		"at the low": {implied.Low, true, "agrees"},
		"at the top": {implied.High, true, "agrees"},
		"above":      {math.Nextafter(implied.High, 9000), false, "lower than the elevation given"},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := thermometer(94, Boiling{ElevationM: test.meters})
			if err != nil || got.Agrees != test.agrees || !strings.Contains(got.Text, test.text) {
				t.Errorf("%+v, %v, want %q", got, err, test.text)
			}
			if math.Abs(got.ImpliedElevationFt-got.ImpliedElevationM/0.3048) > 2 || math.Abs(got.LowFt-got.LowM/0.3048) > 2 {
				t.Errorf("%+v", got)
			}
		})
	}
}
