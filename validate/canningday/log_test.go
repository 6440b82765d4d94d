package canningday

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"jarwright/validate/document"
	"jarwright/validate/measure"
)

// minutesIn is a moment so many minutes into a log.
func minutesIn(n int) time.Time { return time.Unix(int64(n)*60, 0).UTC() }

// made is a load whose events happen at whole minutes, with a reading of the water in inches beside some (-1: none).
func loadOf(events []string, at []int, inches []float64) *load {
	l := &load{}
	for i, event := range events {
		l.entries = append(l.entries, entry{Event: &document.Event{Event: event}, at: minutesIn(at[i]), index: i, order: slices.Index(order, event)})
		if inches != nil && inches[i] >= 0 {
			l.levels = append(l.levels, level{minutesIn(at[i]), measure.Length(inches[i]) * measure.Inch})
		}
	}
	sortEntries(l.entries)
	return l
}

// The guide (usda-2015, p. 1-18): the time counts from a full boil, and starts anew when the boil stops. The minutes below
// are arithmetic on the times of each case.
func TestLongestBoil(t *testing.T) {
	for _, c := range []struct {
		name   string
		events []string
		at     []int
		want   float64 // minutes
		open   bool
		wrong  int
	}{
		{"one boil", []string{"boil_reached", "heat_off"}, []int{3, 15}, 12, false, 0},
		{"lost and regained", []string{"boil_reached", "boil_lost", "boil_regained", "heat_off"}, []int{0, 8, 10, 12}, 8, false, 0},
		{"lost twice", []string{"boil_reached", "boil_lost", "boil_regained", "boil_lost", "boil_regained", "heat_off"}, []int{0, 8, 10, 12, 13, 30}, 17, false, 0},
		{"no end", []string{"boil_reached", "jars_out"}, []int{0, 12}, 0, true, 0},
		{"no end after a loss", []string{"boil_reached", "boil_lost", "boil_regained"}, []int{0, 11, 12}, 11, true, 0},
		{"lid off first", []string{"boil_reached", "lid_off", "heat_off"}, []int{0, 6, 10}, 6, false, 0},
		{"reached twice", []string{"boil_reached", "boil_reached", "heat_off"}, []int{0, 4, 10}, 6, false, 1},
		{"regained but never lost", []string{"boil_regained", "heat_off"}, []int{0, 10}, 0, false, 2},
		{"off before on", []string{"heat_off", "boil_reached"}, []int{0, 10}, 0, false, 2},
		{"all at one minute", []string{"jars_out", "heat_off", "boil_reached", "jars_in"}, []int{5, 5, 5, 5}, 0, false, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := loadOf(c.events, c.at, nil)
			l.readBoils()
			if got := longest(l.boils).length().Minutes(); got != c.want || l.open != c.open || len(l.disorder) != c.wrong {
				t.Errorf("%v minutes, open %v, %d contradictions, want %v, %v and %d", got, l.open, len(l.disorder), c.want, c.open, c.wrong)
			}
		})
	}
}

// Whatever a log holds, in whatever disorder: what counts begins where a boil began, ends where the log says it ended, has
// no end and no reading of too little water within it, and a reading of enough water before it.
func TestWhatCountsIsWhatTheLogSays(t *testing.T) {
	ends := []string{document.EventBoilLost, document.EventHeatOff, document.EventLidOff, document.EventJarsOut}
	begins := []string{document.EventBoilReached, document.EventBoilRegained}
	const depth = measure.Inch
	rapid.Check(t, func(t *rapid.T) {
		events := rapid.SliceOfN(rapid.SampledFrom(order), 0, 14).Draw(t, "events")
		at := rapid.SliceOfN(rapid.IntRange(0, 60), len(events), len(events)).Draw(t, "at")
		inches := rapid.SliceOfN(rapid.SampledFrom([]float64{-1, -1, 0, 0.5, 1, 2}), len(events), len(events)).Draw(t, "inches")
		l := loadOf(events, at, inches)
		l.levels = lowest(l.levels)
		l.readBoils()
		l.readCover(depth)
		for _, h := range l.covered {
			began, ended, enough := false, false, false
			for _, b := range l.boils {
				began = began || !h.from.Before(b.from) && !h.to.After(b.to)
			}
			for i, event := range events {
				when := minutesIn(at[i])
				switch {
				case when.After(h.from) && when.Before(h.to) && slices.Contains(ends, event):
					t.Fatalf("%v to %v counts, and %s lies within", h.from, h.to, event)
				case when.After(h.from) && !when.After(h.to) && inches[i] >= 0 && inches[i] < 1:
					t.Fatalf("%v to %v counts, and a reading of %v in lies within", h.from, h.to, inches[i])
				}
				enough = enough || !when.After(h.from) && inches[i] >= 1
			}
			for _, b := range l.boils {
				ok := false
				for i, event := range events {
					ok = ok || minutesIn(at[i]).Equal(b.from) && slices.Contains(begins, event)
					ended = ended || minutesIn(at[i]).Equal(b.to) && slices.Contains(ends, event)
				}
				if !ok || !ended {
					t.Fatalf("a boil from %v to %v is not in the log", b.from, b.to)
				}
			}
			if !began || !enough {
				t.Fatalf("%v to %v counts: within a boil %v, after a reading of enough water %v", h.from, h.to, began, enough)
			}
		}
	})
}

// Of two readings of one moment neither a later nor an earlier place in the log makes the higher one count.
func TestLowestOfOneMoment(t *testing.T) {
	for _, levels := range [][]level{
		{{minutesIn(1), 2 * measure.Inch}, {minutesIn(0), measure.Inch}, {minutesIn(1), 0}},
		{{minutesIn(1), 0}, {minutesIn(1), 2 * measure.Inch}, {minutesIn(0), measure.Inch}},
	} {
		if got := lowest(levels); !slices.Equal(got, []level{{minutesIn(0), measure.Inch}, {minutesIn(1), 0}}) {
			t.Errorf("%v", got)
		}
	}
}

// A straight line through two points, worked by hand: buffers of 4.01 and 7.00 read 4.05 and 6.98, so the slope is
// 2.93/2.99 and a reading of 4.05 stands for 4.01 again.
func TestCalibrate(t *testing.T) {
	c := calibrate([]document.Buffer{{PH: 7, Reading: 6.98}, {PH: 4.01, Reading: 4.05}}, 2)
	if !c.ok || math.Abs(c.slope-2.93/2.99) > 1e-12 || math.Abs(c.corrected(4.05)-4.01) > 1e-12 || math.Abs(c.drift-0.04) > 1e-12 || c.low != 4.01 || c.high != 7 {
		t.Errorf("%+v", c)
	}
	// A perfect meter shifted by 0.1: slope 1 and offset 0.1, through three buffers as through two.
	c = calibrate([]document.Buffer{{PH: 4, Reading: 4.1}, {PH: 7, Reading: 7.1}, {PH: 10, Reading: 10.1}}, 2)
	if !c.ok || math.Abs(c.slope-1) > 1e-12 || math.Abs(c.offset-0.1) > 1e-12 {
		t.Errorf("%+v", c)
	}
	for _, buffers := range [][]document.Buffer{
		nil,
		{{PH: 7, Reading: 7}},
		{{PH: 7, Reading: 7}, {PH: 7, Reading: 6.9}},
		{{PH: 4, Reading: 7}, {PH: 7, Reading: 4}},
		{{PH: 4, Reading: 5}, {PH: 7, Reading: 5}},
	} {
		if calibrate(buffers, 2).ok {
			t.Errorf("%v gives a line", buffers)
		}
	}
}

// What two buffers read, corrected, is what the buffers are.
func TestCorrectedBuffersAreThemselves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		buffers := []document.Buffer{
			{PH: 4.01, Reading: rapid.Float64Range(3, 5).Draw(t, "low")}, {PH: 7, Reading: rapid.Float64Range(6, 8).Draw(t, "high")},
		}
		c := calibrate(buffers, 2)
		for _, b := range buffers {
			if !c.ok || math.Abs(c.corrected(b.Reading)-b.PH) > 1e-9 {
				t.Fatalf("%v comes back as %v", b, c.corrected(b.Reading))
			}
		}
	})
}
