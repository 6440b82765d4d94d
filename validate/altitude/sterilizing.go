package altitude

import (
	"fmt"
	"math"

	"jarwright/validate/table"
)

var sterilizing = table.MustFigures("altitude/sterilizing.csv")

// SterilizingMinutes is how many minutes empty jars are boiled to sterilize them at an elevation in feet: 10 minutes,
// and 1 more for each further 1,000 ft or part of it above 1,000 ft. Exactly 1,000 ft still takes 10, exactly 2,000 ft
// takes 11. Elevations are taken to a hundredth of a foot, so that one converted from meters does not step over a
// boundary by rounding.
//
// It holds over the range of PressurePa; elsewhere the error wraps table.ErrRange. Complete Guide to Home Canning
// (AIB 539, 2015), p. 1-14.
func SterilizingMinutes(elevationFt float64) (float64, error) {
	if err := withinElevationFt(elevationFt); err != nil {
		return 0, fmt.Errorf("minutes to sterilize jars: %w", err)
	}
	aboveFt := elevationFt - sterilizing.Value("base_to")
	steps := wholeSteps(aboveFt, sterilizing.Value("further_step"))
	return sterilizing.Value("base_minutes") + steps*sterilizing.Value("further_minutes"), nil
}

// SterilizingSource is where the minutes of SterilizingMinutes are printed.
func SterilizingSource() table.Figure { return sterilizing.Get("base_minutes") }

// wholeSteps counts the steps, each begun one in full, that cover a height above a starting point.
func wholeSteps(aboveFt, stepFt float64) float64 {
	hundredths := math.Round(aboveFt * 100)
	return max(0, math.Ceil(hundredths/(stepFt*100)))
}

func withinElevationFt(elevationFt float64) error {
	return table.Within("elevation", elevationFt, atmosphere.lowestM/MetersPerFoot, atmosphere.highestM/MetersPerFoot, "ft")
}
