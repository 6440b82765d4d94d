package altitude

import (
	_ "embed"
	"fmt"
	"math"

	"jarwright/validate/figures"
)

//go:embed sterilising.csv
var sterilisingCSV string

var sterilising = figures.MustParse(sterilisingCSV)

// SterilisingMinutes is how many minutes empty jars are boiled to sterilise them at an elevation in feet: 10 minutes,
// and 1 more for each further 1,000 ft or part of it above 1,000 ft. Exactly 1,000 ft still takes 10, exactly 2,000 ft
// takes 11. Elevations are taken to a hundredth of a foot, so that one converted from metres does not step over a
// boundary by rounding.
//
// It holds over the range of PressurePa; elsewhere the error wraps figures.ErrRange. Complete Guide to Home Canning
// (AIB 539, 2015), p. 1-14.
func SterilisingMinutes(elevationFt float64) (float64, error) {
	if err := withinElevationFt(elevationFt); err != nil {
		return 0, fmt.Errorf("minutes to sterilise jars: %w", err)
	}
	aboveFt := elevationFt - sterilising.Value("base_to")
	steps := wholeSteps(aboveFt, sterilising.Value("further_step"))
	return sterilising.Value("base_minutes") + steps*sterilising.Value("further_minutes"), nil
}

// SterilisingSource is where the minutes of SterilisingMinutes are printed.
func SterilisingSource() figures.Figure { return sterilising.Get("base_minutes") }

// wholeSteps counts the steps, each begun one in full, that cover a height above a starting point.
func wholeSteps(aboveFt, stepFt float64) float64 {
	hundredths := math.Round(aboveFt * 100)
	return max(0, math.Ceil(hundredths/(stepFt*100)))
}

func withinElevationFt(elevationFt float64) error {
	return figures.Within("elevation", elevationFt, atmosphere.lowestM/MetresPerFoot, atmosphere.highestM/MetresPerFoot, "ft")
}
