package facts

import (
	"jarwright/validate/altitude"
	"jarwright/validate/document"
	"jarwright/validate/measure"
)

// LiquidC is the temperature in °C of what is poured in: the one given, else the boil.
func (f *Facts) LiquidC(boilingC float64) float64 {
	if t := f.Request.Recipe.Temperatures; t != nil {
		if si, given := f.SI(t.Brine); given {
			return min(max(measure.Temperature(si).Celsius(), 0), boilingC)
		}
	}
	return boilingC
}

// BoilingC is the boiling point in °C at the elevation of the kitchen; false when that is not given.
func (f *Facts) BoilingC() (float64, bool) {
	if f.Elevation == nil {
		return 0, false
	}
	boiling, err := altitude.BoilingAt(float64(*f.Elevation))
	return boiling.TemperatureC, err == nil
}

// BathC is the temperature in °C at which the jars are held: the boiling point at the elevation, or what a low-temperature
// process says. It reports false without an elevation and for methods that are neither.
func (f *Facts) BathC() (float64, bool) {
	boilingC, ok := f.BoilingC()
	switch f.Method() {
	case document.MethodBoilingWater, document.MethodSteam:
		return boilingC, ok
	case document.MethodLowTemperature:
		held, given := f.SI(f.Request.Recipe.Process.Temperature)
		return min(measure.Temperature(held).Celsius(), boilingC), ok && given
	}
	return 0, false
}
