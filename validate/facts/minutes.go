package facts

import (
	"math"

	"jarwright/validate/catalog"
	"jarwright/validate/measure"
)

// Required is what the printed table asks for: the minutes in the lowest and highest band of all rows that may apply, and
// those at the kitchen's elevation when it is given and printed.
type Required struct {
	Printed  bool // a table row applies
	Lowest   float64
	Highest  float64
	OpenTop  bool // the highest band has no upper end
	Here     float64
	HasHere  bool // elevation given and its band printed
	OffTable bool // elevation given but above what is printed
}

// MinutesRequired reads the printed minutes for the matched recipe. While pack or jar is unknown the longest of the rows
// that may apply counts.
func (f *Facts) MinutesRequired() Required {
	var r Required
	for _, row := range f.Match.Pack.Possible {
		if len(row.Bands) == 0 {
			continue
		}
		if !r.Printed {
			r.OpenTop = true
		}
		r.Printed = true
		last := row.Bands[len(row.Bands)-1]
		r.Lowest = math.Max(r.Lowest, row.Bands[0].Minutes)
		r.Highest = math.Max(r.Highest, last.Minutes)
		r.OpenTop = r.OpenTop && last.ToFt == 0
		if f.Elevation == nil {
			continue
		}
		if band, ok := row.Band(*f.Elevation); ok {
			r.Here, r.HasHere = math.Max(r.Here, band.Minutes), true
		} else {
			r.OffTable = true
		}
	}
	return r
}

// MinutesToBeSafe is the time to advise: that of the kitchen's elevation, or of the highest band when it is not known.
func (f *Facts) MinutesToBeSafe() (float64, bool) {
	r := f.MinutesRequired()
	switch {
	case !r.Printed || r.OffTable:
		return 0, false
	case r.HasHere:
		return r.Here, true
	}
	return r.Highest, r.OpenTop
}

// WaterDepth is the least water over the jar tops for a process time.
func (f *Facts) WaterDepth(time measure.Duration) measure.Length {
	depth, _ := f.Limit("water-over-lids-min")
	over, _ := f.Limit("water-over-lids-long-over")
	if float64(time) > over+f.Tolerance(catalog.TimeTolerance) {
		depth, _ = f.Limit("water-over-lids-long-min")
	}
	return measure.Length(depth)
}

// MinutesTolerance absorbs, in minutes, the float error of a time given in hours.
func (f *Facts) MinutesTolerance() float64 {
	return measure.Duration(f.Tolerance(catalog.TimeTolerance)).Minutes()
}
