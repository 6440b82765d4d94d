package facts

import (
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
)

func row(bands ...catalog.Band) *catalog.Schedule { return &catalog.Schedule{Bands: bands} }

// three is a row as printed: 10 minutes up to 1,000 ft, 15 up to 6,000 ft, 20 above.
func three(add float64) *catalog.Schedule {
	return row(
		catalog.Band{ToFt: 1000, Minutes: 10 + add},
		catalog.Band{FromFt: 1001, ToFt: 6000, Minutes: 15 + add},
		catalog.Band{FromFt: 6001, Minutes: 20 + add})
}

func feet(value float64) *measure.Length { return new(measure.Length(value) * measure.Foot) }

func TestMinutesRequired(t *testing.T) {
	low := row(catalog.Band{ToFt: 1000, Minutes: 30})
	for _, test := range []struct {
		name      string
		elevation *measure.Length
		rows      []*catalog.Schedule
		want      Required
	}{
		{"no row", feet(500), nil, Required{}},
		{"a row for the pressure canner", feet(500), []*catalog.Schedule{row()}, Required{}},
		{"at 500 ft", feet(500), []*catalog.Schedule{three(0)}, Required{Printed: true, Lowest: 10, Highest: 20, OpenTop: true, Here: 10, HasHere: true}},
		{
			"at exactly 1,000 ft",
			feet(1000),
			[]*catalog.Schedule{three(0)},
			Required{Printed: true, Lowest: 10, Highest: 20, OpenTop: true, Here: 10, HasHere: true},
		},
		{"at 1,001 ft", feet(1001), []*catalog.Schedule{three(0)}, Required{Printed: true, Lowest: 10, Highest: 20, OpenTop: true, Here: 15, HasHere: true}},
		{
			"at exactly 6,000 ft",
			feet(6000),
			[]*catalog.Schedule{three(0)},
			Required{Printed: true, Lowest: 10, Highest: 20, OpenTop: true, Here: 15, HasHere: true},
		},
		{"at 9,000 ft", feet(9000), []*catalog.Schedule{three(0)}, Required{Printed: true, Lowest: 10, Highest: 20, OpenTop: true, Here: 20, HasHere: true}},
		{"elevation not given", nil, []*catalog.Schedule{three(0)}, Required{Printed: true, Lowest: 10, Highest: 20, OpenTop: true}},
		{
			"the longest row first",
			feet(500),
			[]*catalog.Schedule{three(5), three(0)},
			Required{Printed: true, Lowest: 15, Highest: 25, OpenTop: true, Here: 15, HasHere: true},
		},
		{
			"the longest row last",
			feet(500),
			[]*catalog.Schedule{three(0), three(5)},
			Required{Printed: true, Lowest: 15, Highest: 25, OpenTop: true, Here: 15, HasHere: true},
		},
		{
			"a row without bands among them",
			feet(500),
			[]*catalog.Schedule{row(), three(0)},
			Required{Printed: true, Lowest: 10, Highest: 20, OpenTop: true, Here: 10, HasHere: true},
		},
		{"above the table", feet(2000), []*catalog.Schedule{low}, Required{Printed: true, Lowest: 30, Highest: 30, OffTable: true}},
		{
			"above one table of two",
			feet(2000),
			[]*catalog.Schedule{low, three(0)},
			Required{Printed: true, Lowest: 30, Highest: 30, Here: 15, HasHere: true, OffTable: true},
		},
		{
			"the other way round",
			feet(2000),
			[]*catalog.Schedule{three(0), low},
			Required{Printed: true, Lowest: 30, Highest: 30, Here: 15, HasHere: true, OffTable: true},
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			f := factsOf(t)
			f.Elevation, f.Match.Pack.Possible = test.elevation, test.rows
			if got := f.MinutesRequired(); got != test.want {
				t.Errorf("%+v, want %+v", got, test.want)
			}
		})
	}
}

func TestMinutesToBeSafe(t *testing.T) {
	low := row(catalog.Band{ToFt: 1000, Minutes: 30})
	for _, test := range []struct {
		name      string
		elevation *measure.Length
		rows      []*catalog.Schedule
		want      float64
		safe      bool
	}{
		{"no row", feet(500), nil, 0, false},
		{"at the elevation", feet(2000), []*catalog.Schedule{three(0)}, 15, true},
		{"elevation not given", nil, []*catalog.Schedule{three(0)}, 20, true},
		{"elevation not given, the table ends", nil, []*catalog.Schedule{low}, 30, false},
		{"above the table", feet(2000), []*catalog.Schedule{low}, 0, false},
		{"above one table of two", feet(2000), []*catalog.Schedule{low, three(0)}, 0, false},
	} {
		t.Run(test.name, func(t *testing.T) {
			f := factsOf(t)
			f.Elevation, f.Match.Pack.Possible = test.elevation, test.rows
			if got, safe := f.MinutesToBeSafe(); got != test.want || safe != test.safe {
				t.Errorf("%v, %v, want %v, %v", got, safe, test.want, test.safe)
			}
		})
	}
}

// Pack and jar not said, the longest of all printed rows counts: dills take 15 minutes in quarts and 10 in pints.
func TestMinutesOfAnUnknownJar(t *testing.T) {
	f := factsOf(t, func(r *document.Request) { r.Recipe.Jar = nil })
	if r := f.MinutesRequired(); r.Here != 15 || r.Highest != 25 {
		t.Errorf("%+v", r)
	}
}

func TestWaterDepth(t *testing.T) {
	f := factsOf(t)
	over, _ := f.Limit("water-over-lids-long-over")
	for _, test := range []struct {
		name   string
		time   measure.Duration
		inches float64
	}{
		{"no time", 0, 1},
		{"10 minutes", 10 * measure.Minute, 1},
		{"30 minutes", 30 * measure.Minute, 1},
		{"half an hour", 0.5 * 60 * measure.Minute, 1},
		{"30 minutes and their rounding", measure.Duration(over + f.Tolerance(catalog.TimeTolerance)), 1},
		{"a little over 30 minutes", 30.01 * measure.Minute, 2},
		{"31 minutes", 31 * measure.Minute, 2},
		{"90 minutes", 90 * measure.Minute, 2},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := f.WaterDepth(test.time).Inches(); !near(got, test.inches) {
				t.Errorf("%v in, want %v", got, test.inches)
			}
		})
	}
}
