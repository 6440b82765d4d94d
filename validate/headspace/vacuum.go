package headspace

import (
	"fmt"

	"jarwright/validate/altitude"
	"jarwright/validate/table"
)

// Closing is a jar as it is closed and as it is stored. HeadspaceFraction is the headspace at closing as a part of the
// whole volume of the jar; ClosedC is the temperature of fill and headspace at closing.
type Closing struct {
	HeadspaceFraction float64
	ClosedC           float64
	StoredC           float64
	ElevationM        float64
}

// VacuumPa is the vacuum in pascals that a jar holds once cold, below the pressure of the air around it: an upper bound.
// The headspace is taken as air and saturated steam at closing, the lid as stiff, the fill as water that shrinks; nothing
// dissolved, and no air out of the food. Home-canned jars show less, see SurveyedVacuumPa. A negative figure is a pressure.
//
// The headspace is a fraction above 0 and below 1, temperatures lie between 0 and 105 °C, the elevation in the range of
// altitude.PressurePa; elsewhere the error wraps table.ErrRange. At and above the boiling point all air counts as
// driven out, and the result is VacuumLimitPa.
//
// Ideal gas, derived in the reference figures: patm - [(patm - psat(Tc)) (Vh/Vh2) (Ts/Tc) + psat(Ts)] with
// Vh2 = Vh + Vl (1 - rho(Tc)/rho(Ts)).
func VacuumPa(c Closing) (float64, error) {
	if !(c.HeadspaceFraction > 0 && c.HeadspaceFraction < 1) {
		return 0, fmt.Errorf("vacuum: headspace fraction %g is not between 0 and 1: %w", c.HeadspaceFraction, table.ErrRange)
	}
	limitPa, err := VacuumLimitPa(c.StoredC, c.ElevationM)
	if err != nil {
		return 0, err
	}
	if err := withinLiquid("closing temperature", c.ClosedC); err != nil {
		return 0, fmt.Errorf("vacuum: %w", err)
	}
	airPa, err := altitude.PressurePa(c.ElevationM)
	if err != nil {
		return 0, fmt.Errorf("vacuum: %w", err)
	}
	steamPa, err := altitude.SaturationPressurePa(c.ClosedC)
	if err != nil {
		return 0, fmt.Errorf("vacuum: %w", err)
	}
	shrunk := (1 - c.HeadspaceFraction) * (1 - water.density(c.ClosedC)/water.density(c.StoredC))
	cooled := (c.StoredC + zeroCelsiusK) / (c.ClosedC + zeroCelsiusK)
	// A fill that swells past the whole headspace leaves no gas to reckon with.
	spaceLeft := c.HeadspaceFraction + shrunk
	if spaceLeft <= 0 {
		return 0, fmt.Errorf("vacuum: the fill outgrows the headspace on its way to %g °C: %w", c.StoredC, table.ErrRange)
	}
	return limitPa - max(0, airPa-steamPa)*c.HeadspaceFraction/spaceLeft*cooled, nil
}

// VacuumLimitPa is the vacuum in pascals of a headspace that holds nothing but the vapor of its water at the storage
// temperature: what no jar can exceed at that elevation in meters. Range and errors are those of VacuumPa.
func VacuumLimitPa(storedC, elevationM float64) (float64, error) {
	if err := withinLiquid("storage temperature", storedC); err != nil {
		return 0, fmt.Errorf("vacuum: %w", err)
	}
	airPa, err := altitude.PressurePa(elevationM)
	if err != nil {
		return 0, fmt.Errorf("vacuum: %w", err)
	}
	vaporPa, err := altitude.SaturationPressurePa(storedC)
	if err != nil {
		return 0, fmt.Errorf("vacuum: %w", err)
	}
	return airPa - vaporPa, nil
}

// InchesOfMercury turns pascals into the inches of mercury of a vacuum gauge (3,386.389 Pa each).
func InchesOfMercury(pascals float64) float64 {
	return pascals / jarFigures.Value("pascals_per_inch_of_mercury")
}

// SurveyedVacuumPa is what most home-canned jars of tomatoes and of tomato juice showed, in pascals (13 to 15 inHg), at
// the elevation of the survey, which is not known. Value is the middle of the range. Survey of 378 and 382 jars, abstract.
func SurveyedVacuumPa() table.Bounds {
	scale := jarFigures.Value("pascals_per_inch_of_mercury")
	low, high := jarFigures.Value("surveyed_vacuum_low")*scale, jarFigures.Value("surveyed_vacuum_high")*scale
	return table.Bounds{Low: low, Value: (low + high) / 2, High: high}
}
