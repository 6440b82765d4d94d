// Package altitude turns the elevation of a kitchen into the pressure there, the temperature at which its water boils,
// and the minutes for sterilizing empty jars; and turns a boiling point back into the elevation it implies. It also
// keeps the rules of thumb for altitude that circulate, so that they can be shown beside the published tables. It
// never computes the minutes of a process: those come from the published band alone.
package altitude

import (
	"fmt"
	"math"

	"jarwright/validate/table"
)

// MetersPerFoot is the international foot, exact by definition.
const MetersPerFoot = 0.3048

var (
	atmosphereFigures = table.MustFigures("altitude/atmosphere.csv")
	atmosphere        = loadAtmosphere(atmosphereFigures)
	thumbSeaLevel     = atmosphereFigures.Get("thumb_sea_level_boiling")
	thermometerError  = atmosphereFigures.Get("thermometer_error")
)

type standardAtmosphere struct {
	seaLevelPa    float64
	overLapseM    float64
	exponent      float64
	lowestM       float64
	highestM      float64
	highestPa     float64 // at lowestM
	lowestPa      float64 // at highestM
	boilsHighestC float64
	boilsLowestC  float64
}

func loadAtmosphere(table table.Table) standardAtmosphere {
	a := standardAtmosphere{
		seaLevelPa: table.Value("sea_level_pressure"),
		overLapseM: table.Value("temperature_over_lapse"),
		exponent:   table.Value("exponent"),
		lowestM:    table.Value("lowest_elevation"),
		highestM:   table.Value("highest_elevation"),
	}
	a.highestPa, a.lowestPa = a.pressurePa(a.lowestM), a.pressurePa(a.highestM)
	a.boilsHighestC, a.boilsLowestC = saturation.temperatureC(a.highestPa), saturation.temperatureC(a.lowestPa)
	return a
}

func (a standardAtmosphere) pressurePa(elevationM float64) float64 {
	return a.seaLevelPa * math.Pow(1-elevationM/a.overLapseM, a.exponent)
}

func (a standardAtmosphere) elevationM(pressurePa float64) float64 {
	return a.overLapseM * (1 - math.Pow(pressurePa/a.seaLevelPa, 1/a.exponent))
}

// PressurePa is the pressure of the standard atmosphere, in pascals, at an elevation in meters above sea level.
//
// It holds from -5,029 to 10,973 m; elsewhere the error wraps table.ErrRange. The elevation is taken as geopotential
// height: at 3,658 m (12,000 ft) that is 17 Pa, under 0.01 °C of boiling point, from the geometric one. Weather moves
// the real pressure by some 2 % (from memory).
//
// US Standard Atmosphere 1976, troposphere: p = p0 (1 - H L/T0)^(g0 M/(R L)).
func PressurePa(elevationM float64) (float64, error) {
	if err := table.Within("elevation", elevationM, atmosphere.lowestM, atmosphere.highestM, "m"); err != nil {
		return 0, fmt.Errorf("standard pressure: %w", err)
	}
	return atmosphere.pressurePa(elevationM), nil
}

// ElevationM is the elevation in meters at which the standard atmosphere has a pressure in pascals: the inverse of
// PressurePa, to rounding. It holds from 22,730 to 178,240 Pa; elsewhere the error wraps table.ErrRange.
func ElevationM(pressurePa float64) (float64, error) {
	if err := table.Within("pressure", pressurePa, atmosphere.lowestPa, atmosphere.highestPa, "Pa"); err != nil {
		return 0, fmt.Errorf("standard elevation: %w", err)
	}
	return atmosphere.elevationM(pressurePa), nil
}

// Boiling is how water boils in a kitchen.
type Boiling struct {
	ElevationM   float64
	PressurePa   float64
	TemperatureC float64
	TemperatureF float64
}

// BoilingAt is the pressure and the boiling point of pure water, in both scales, at an elevation in meters.
//
// Range and errors are those of PressurePa. The formulas agree with IAPWS-95 within 0.001 °C; the real boiling point
// moves with the weather by about half a degree. Salt in a brine raises it (0.85 °C at 5 % salt), but the bath outside
// the jar is plain water, so that is not to be credited.
func BoilingAt(elevationM float64) (Boiling, error) {
	pressurePa, err := PressurePa(elevationM)
	if err != nil {
		return Boiling{}, fmt.Errorf("boiling point: %w", err)
	}
	temperatureC := saturation.temperatureC(pressurePa)
	return Boiling{elevationM, pressurePa, temperatureC, fahrenheit(temperatureC)}, nil
}

// ImpliedElevationM is the elevation in meters at which pure water boils at a temperature in °C. Low and High allow the
// thermometer to be wrong by errorC degrees either way; with errorC 0 they equal Value. One degree is about 300 m.
//
// It holds for boiling points (the error included) of the range of PressurePa, about 63 to 117 °C; elsewhere the
// returned error wraps table.ErrRange. It inverts BoilingAt within 0.01 m.
func ImpliedElevationM(boilingC, errorC float64) (table.Bounds, error) {
	if err := table.Within("thermometer error", errorC, 0, math.Inf(1), "°C"); err != nil {
		return table.Bounds{}, fmt.Errorf("elevation implied by a boiling point: %w", err)
	}
	for _, temperatureC := range []float64{boilingC - errorC, boilingC + errorC} {
		err := table.Within("boiling point", temperatureC, atmosphere.boilsLowestC, atmosphere.boilsHighestC, "°C")
		if err != nil {
			return table.Bounds{}, fmt.Errorf("elevation implied by a boiling point: %w", err)
		}
	}
	at := func(temperatureC float64) float64 { return atmosphere.elevationM(saturation.pressurePa(temperatureC)) }
	return table.Bounds{Low: at(boilingC + errorC), Value: at(boilingC), High: at(boilingC - errorC)}, nil
}

func fahrenheit(temperatureC float64) float64 { return temperatureC*1.8 + 32 }

// AtmosphereFigure is a figure of the standard atmosphere with its source; it panics on a name that the table lacks.
func AtmosphereFigure(name string) table.Figure { return atmosphereFigures.Get(name) }
