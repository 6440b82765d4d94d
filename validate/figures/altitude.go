// Package figures works out the computed figures that a report shows beside its verdict: air and boiling point, acid and pH
// with their derivation, what the jar holds, how it heats. They explain; nothing is judged by them.
package figures

import (
	"jarwright/validate/altitude"
	"jarwright/validate/catalog"
	"jarwright/validate/facts"
	"jarwright/validate/report"
)

// Altitude is the pressure and the boiling point at the elevation of the kitchen, in both scales; nothing when the elevation
// is not given. Neither is judged by: minutes come from the printed band alone.
func Altitude(f *facts.Facts) []report.Derived {
	if f.Elevation == nil {
		return nil
	}
	at, err := altitude.BoilingAt(float64(*f.Elevation))
	if err != nil {
		return nil
	}
	elevation := []report.Input{{Name: "elevation", Value: report.Rounded(at.ElevationM), Unit: "m"}}
	pressure := []report.Input{{Name: "air_pressure", Value: report.Rounded(at.PressurePa / 100), Unit: "hPa"}}
	air := []catalog.Citation{catalog.Cite(altitude.AtmosphereFigure("sea_level_pressure"))}
	boil := []catalog.Citation{catalog.Cite(altitude.SaturationFigure("n1"))}
	const formula = "IAPWS-IF97, equation 31, of pure water; the weather moves it by about half a degree"
	return []report.Derived{
		{
			Name: "air_pressure", Value: report.Rounded(at.PressurePa / 100), Unit: "hPa",
			Formula: "1013.25 x (1 - elevation / 44330.77)^5.25588", Inputs: elevation, Sources: air,
		},
		{Name: "boiling_point", Value: report.Rounded(at.TemperatureC), Unit: "°C", Formula: formula, Inputs: pressure, Sources: boil},
		{Name: "boiling_point_fahrenheit", Value: report.Rounded(at.TemperatureF), Unit: "°F", Formula: formula, Inputs: pressure, Sources: boil},
	}
}
