package altitude

import (
	"fmt"
	"math"

	"jarwright/validate/table"
)

// zeroCelsiusK is 0 °C in kelvin, exact by definition.
const zeroCelsiusK = 273.15

// The reduced pressure and temperature of IF97 are in MPa and K.
const pascalsPerMegapascal = 1e6

var (
	saturationFigures = table.MustFigures("altitude/saturation.csv")
	saturation        = loadSaturation(saturationFigures)
)

// saturationLine is region 4 of IF97; n[1] to n[10] are named as in its Table 34.
type saturationLine struct {
	n                   [11]float64
	lowestC, highestC   float64
	lowestPa, highestPa float64
}

func loadSaturation(table table.Table) saturationLine {
	line := saturationLine{
		lowestC:   table.Value("lowest_temperature") - zeroCelsiusK,
		highestC:  table.Value("highest_temperature") - zeroCelsiusK,
		lowestPa:  table.Value("lowest_pressure"),
		highestPa: table.Value("highest_pressure"),
	}
	for i := 1; i < len(line.n); i++ {
		line.n[i] = table.Value(fmt.Sprintf("n%d", i))
	}
	return line
}

// pressurePa is IF97 eq. 30.
func (s *saturationLine) pressurePa(temperatureC float64) float64 {
	n, kelvin := &s.n, temperatureC+zeroCelsiusK
	theta := kelvin + n[9]/(kelvin-n[10])
	a := theta*theta + n[1]*theta + n[2]
	b := n[3]*theta*theta + n[4]*theta + n[5]
	c := n[6]*theta*theta + n[7]*theta + n[8]
	root := 2 * c / (-b + math.Sqrt(b*b-4*a*c))
	return root * root * root * root * pascalsPerMegapascal
}

// temperatureC is IF97 eq. 31.
func (s *saturationLine) temperatureC(pressurePa float64) float64 {
	n, beta := &s.n, math.Sqrt(math.Sqrt(pressurePa/pascalsPerMegapascal))
	e := beta*beta + n[3]*beta + n[6]
	f := n[1]*beta*beta + n[4]*beta + n[7]
	g := n[2]*beta*beta + n[5]*beta + n[8]
	d := 2 * g / (-f - math.Sqrt(f*f-4*e*g))
	sum := n[10] + d
	return (sum-math.Sqrt(sum*sum-4*(n[9]+n[10]*d)))/2 - zeroCelsiusK
}

// SaturationPressurePa is the pressure in pascals at which water boils at a temperature in °C.
//
// It holds from 0 to 373.946 °C; elsewhere the error wraps table.ErrRange. It lies within 0.01 % of IAPWS-95 from 5 °C
// up. IAPWS R7-97(2012), eq. 30, Table 34.
func SaturationPressurePa(temperatureC float64) (float64, error) {
	if err := table.Within("temperature", temperatureC, saturation.lowestC, saturation.highestC, "°C"); err != nil {
		return 0, fmt.Errorf("saturation pressure: %w", err)
	}
	return saturation.pressurePa(temperatureC), nil
}

// SaturationTemperatureC is the temperature in °C at which water boils under a pressure in pascals. At 101,325 Pa it is
// 99.974 °C, not 100: that is how the scale of 1990 has it.
//
// It holds from 611.213 Pa to 22.064 MPa; elsewhere the error wraps table.ErrRange. IAPWS R7-97(2012), eq. 31,
// Table 34.
func SaturationTemperatureC(pressurePa float64) (float64, error) {
	if err := table.Within("pressure", pressurePa, saturation.lowestPa, saturation.highestPa, "Pa"); err != nil {
		return 0, fmt.Errorf("saturation temperature: %w", err)
	}
	return saturation.temperatureC(pressurePa), nil
}

// SaturationFigure is a coefficient of the saturation line with its source; it panics on a name that the table lacks.
func SaturationFigure(name string) table.Figure { return saturationFigures.Get(name) }
