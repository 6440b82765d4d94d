package canningday

import (
	"slices"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/report"
)

// A day as it should be has no finding, and its jars are fit for the shelf on named evidence.
func TestGoodDay(t *testing.T) {
	f := goodDay()
	if found := findingsOf(f.day()); len(found) > 0 {
		t.Errorf("%v", found)
	}
	r := f.report()
	if r.Disposition != report.Shelf || r.Batch.Disposition != report.Shelf {
		t.Errorf("the day is %s, the batch %s", r.Disposition, r.Batch.Disposition)
	}
	want := []string{"process.published-match", ruleHeld, ruleCover, ruleSealTime, ruleSeal}
	for _, j := range r.Jars {
		if j.Disposition != report.Shelf || !slices.Equal(j.Because, want) || j.By != "" {
			t.Errorf("%+v", j)
		}
	}
	if f.day().PHMeasured() {
		t.Error("acid was read")
	}
}

// A request without a record has no day, no finding, and its report stays as it is.
func TestNoRecord(t *testing.T) {
	f := changed(func(f *fixture) { f.Batch = nil })
	d := f.day()
	if d != nil || d.Remarks() != nil || d.PHMeasured() {
		t.Errorf("%+v", d)
	}
	r := report.Report{Disposition: report.Hold}
	d.Complete(Recipe{Disposition: report.Shelf}, &r)
	if r.Disposition != report.Hold || r.Batch != nil || r.Jars != nil {
		t.Errorf("%+v", r)
	}
}

// Remarks are the findings, in their order.
func TestRemarks(t *testing.T) {
	d := changed(func(f *fixture) { f.batch.PackedAt, f.batch.Jars[0].Labeled = "", pointerTo(false) }).day()
	remarks := d.Remarks()
	if len(remarks) != 2 || remarks[0].Rule != ruleRecord || remarks[1].Rule != ruleLabel {
		t.Fatalf("%+v", remarks)
	}
	if remarks[1].At != "/batch/jars/0/labeled" || remarks[1].Outcome != fail {
		t.Errorf("%+v", remarks)
	}
}

// heatOff is a log with a boil from 14:50 until a time.
func heatOff(clock string) func(*fixture) {
	return log(logged("14:25", document.EventJarsIn), wet("14:50", document.EventBoilReached, 1.5), logged(clock, document.EventHeatOff))
}

// Usda-2015, p. 6-12 prints 10 minutes up to 1,000 ft, 15 to 6,000 ft and 20 above: 10 minutes are held at 14:50 to 15:00.
func TestTimeHeld(t *testing.T) {
	for _, test := range []struct {
		name     string
		feet     float64
		off      string
		measured float64 // 0: long enough
		limit    float64
	}{
		{"to the second", 400, "15:00", 0, 0},
		{"half a minute short", 400, "14:59:30", 9.5, 10},
		{"a second short", 400, "14:59:59", 9.98, 10},
		{"within the rounding of a millisecond", 400, "14:59:59.999", 0, 0},
		{"two milliseconds short", 400, "14:59:59.998", 10, 10},
		{"at the top of the first band", 1000, "15:00", 0, 0},
		{"above the first band", 1001, "15:00", 10, 15},
		{"long enough for the second band", 1001, "15:05", 0, 0},
		{"half a minute short in the second band", 6000, "15:04:30", 14.5, 15},
		{"above the second band", 6001, "15:09:30", 19.5, 20},
		{"long enough in the highest band", 9000, "15:10", 0, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			f := changed(elevation(test.feet), heatOff(test.off))
			d := f.day()
			if test.limit == 0 {
				if found := findingsOf(d); len(found) > 0 {
					t.Errorf("%v", found)
				}
				if got := f.report().Disposition; got != report.Shelf {
					t.Errorf("%s", got)
				}
				return
			}
			held := finding(t, d, ruleHeld)
			if held.Outcome != fail || !sameAmount(held.Measured, test.measured, "min") || !sameAmount(held.Limit, test.limit, "min") || len(held.Sources) != 1 {
				t.Errorf("%+v %+v %+v", held, held.Measured, held.Limit)
			}
			if r := f.report(); r.Disposition != report.Reprocess || r.Batch.Disposition != report.Reprocess {
				t.Errorf("%s, batch %s", r.Disposition, r.Batch.Disposition)
			}
		})
	}
}

// Where the table prints no time for the elevation, none is taken from the next band.
func TestElevationAboveTheTable(t *testing.T) {
	row, _ := loaded().tables.Schedule("u15-freshpack-dill-raw-pint")
	short := *row
	short.Bands = slices.Clone(row.Bands[:1])
	for feet, want := range map[float64]report.Disposition{400: report.Shelf, 1000: report.Shelf, 1100: report.Hold, 7000: report.Hold} {
		f := changed(elevation(feet), heatOff("15:30"))
		f.schedules = append(f.schedules, short)
		r := f.report()
		if r.Disposition != want {
			t.Errorf("%v ft: %s, want %s", feet, r.Disposition, want)
		}
		if want == report.Hold {
			held := finding(t, f.day(), ruleHeld)
			if held.Outcome != undetermined || held.Message != "How many minutes this process takes is not known: no time is printed for this pack, jar and elevation." {
				t.Errorf("%+v", held)
			}
		}
	}
	held := finding(t, changed(func(f *fixture) { f.batch.Elevation = nil }).day(), ruleHeld)
	if held.Outcome != undetermined || held.Message != "How many minutes this process takes is not known: the elevation is not given." {
		t.Errorf("%+v", held)
	}
}

// While the pack is not known, the longest of the printed times counts.
func TestLongestOfSeveralRows(t *testing.T) {
	pint, _ := loaded().tables.Schedule("u15-freshpack-dill-raw-pint")
	quart, _ := loaded().tables.Schedule("u15-freshpack-dill-raw-quart")
	for off, want := range map[string]report.Disposition{"15:05": report.Shelf, "15:04": report.Reprocess} {
		f := changed(heatOff(off))
		f.schedules = append(f.schedules, *pint, *quart)
		if got := f.report().Disposition; got != want {
			t.Errorf("heat off at %s: %s, want %s", off, got, want)
		}
	}
}

// Usda-2015, p. 1-18: at least 1 inch over the jar tops, 2 inches when the time is more than 30 minutes. 2 % are left for
// writing an inch in centimeters.
func TestWaterCover(t *testing.T) {
	for _, test := range []struct {
		name     string
		minutes  float64
		inches   float64
		want     report.Outcome // empty: enough
		measured float64
		limit    float64
	}{
		{"an inch", 10, 1, "", 0, 0},
		{"an inch in centimeters, rounded", 10, 2.5 / 2.54, "", 0, 0},
		{"just within the rounding", 10, 0.98, "", 0, 0},
		{"just outside the rounding", 10, 0.9799, fail, 0.9799, 1},
		{"0.9 inches", 10, 0.9, fail, 0.9, 1},
		{"bare lids", 10, 0, fail, 0, 1},
		{"an inch for 30 minutes", 30, 1, "", 0, 0},
		{"an inch for 31 minutes", 31, 1, fail, 1, 2},
		{"1.9 inches for 31 minutes", 31, 1.9, fail, 1.9, 2},
		{"2 inches for 31 minutes", 31, 2, "", 0, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			row, _ := loaded().tables.Schedule("u15-freshpack-dill-raw-pint")
			long := *row
			long.Bands = slices.Clone(row.Bands[:1])
			long.Bands[0].Minutes = test.minutes
			f := changed(log(wet("14:50", document.EventBoilReached, test.inches), logged("15:30", document.EventHeatOff)))
			f.schedules = append(f.schedules, long)
			d := f.day()
			if test.want == "" {
				if found := findingsOf(d); len(found) > 0 {
					t.Errorf("%v", found)
				}
				return
			}
			cover := finding(t, d, ruleCover)
			if cover.Outcome != test.want || !sameAmount(cover.Measured, test.measured, "in") || !sameAmount(cover.Limit, test.limit, "in") {
				t.Errorf("%+v %+v %+v", cover, cover.Measured, cover.Limit)
			}
			if got := f.report().Disposition; got != report.Reprocess {
				t.Errorf("%s", got)
			}
		})
	}
}

// A finding with no jars is one on all; one with an empty list is one on none.
func TestFoundOn(t *testing.T) {
	for name, test := range map[string]struct {
		jars []int
		want bool
	}{"all": {nil, true}, "none": {[]int{}, false}, "it": {[]int{1, 2}, true}, "others": {[]int{0, 2}, false}} {
		t.Run(name, func(t *testing.T) {
			d := Day{jars: make([]jar, 3)}
			d.find(ruleSeal, test.jars, fail, "/batch", "message", "remedy")
			if got := d.has(1, fail, rulePH, ruleSeal); got != test.want {
				t.Errorf("%s: %v", name, got)
			}
			if d.has(1, undetermined, ruleSeal) || d.has(1, fail, rulePH) {
				t.Errorf("%s: another outcome or rule is found as well", name)
			}
			if got := d.asked(Recipe{})[1]; (len(got) == 1 && got[0] == ask{ruleSeal, "remedy"}) != test.want {
				t.Errorf("%s: asks for %v", name, got)
			}
		})
	}
}

// Without as_of the question is asked after the last time that is recorded, wherever in the record it stands.
func TestLastRecorded(t *testing.T) {
	late := at("20 10:00")
	for name, change := range map[string]func(*fixture){
		"packing":    func(f *fixture) { f.batch.PackedAt = late },
		"event":      func(f *fixture) { f.batch.Events[1].At = late },
		"opening":    func(f *fixture) { f.batch.Jars[1].OpenedAt = late },
		"seal check": func(f *fixture) { f.batch.Jars[1].SealChecks[0].At = late },
		"place":      func(f *fixture) { f.batch.Jars[2].Kept = []document.Kept{{From: late, Place: document.PlaceRoom}} },
		"reading":    func(f *fixture) { f.batch.PHReadings = []document.PHReading{{At: late, Value: 4}} },
	} {
		t.Run(name, func(t *testing.T) {
			d := changed(asOf(""), change).day()
			if got := written(d.asOf.From); got != late || !d.asOf.To.Equal(latest) {
				t.Errorf("%s: %s to %s", name, got, d.asOf.To)
			}
		})
	}
}
