package altitude

import (
	"errors"
	"math"
	"testing"

	"jarwright/validate/table"
)

// Each limit just inside and just outside: the standard atmosphere in its printed form holds from -16,500 to 36,000 ft, the
// saturation line of IF97 from 273.15 to 647.096 K and from 611.213 Pa to 22.064 MPa.
func TestLimits(t *testing.T) {
	thumb := func(id string, base, feet float64) error {
		for _, thumb := range Thumbs() {
			if thumb.ID == id {
				return second(thumb.Apply(base, feet))
			}
		}
		return errors.New("no such rule of thumb")
	}
	boiling := func(meters float64) float64 {
		at, err := BoilingAt(meters)
		if err != nil {
			t.Fatal(err)
		}
		return at.TemperatureC
	}
	hottest, coldest := boiling(-5029.2), boiling(10972.8)
	for name, test := range map[string]struct{ inside, outside error }{
		"deep":                  {second(PressurePa(-5029.2)), second(PressurePa(-5029.3))},
		"high":                  {second(PressurePa(10972.8)), second(PressurePa(10972.9))},
		"boiling deep":          {second(BoilingAt(-5029.2)), second(BoilingAt(-5029.3))},
		"boiling high":          {second(BoilingAt(10972.8)), second(BoilingAt(10972.9))},
		"sterilizing deep":      {second(SterilizingMinutes(-16499.9)), second(SterilizingMinutes(-16500.1))},
		"sterilizing high":      {second(SterilizingMinutes(35999.9)), second(SterilizingMinutes(36000.1))},
		"thin air":              {second(ElevationM(22731)), second(ElevationM(22727))},
		"thick air":             {second(ElevationM(178238)), second(ElevationM(178245))},
		"no error":              {second(ImpliedElevationM(94, 0)), second(ImpliedElevationM(94, -0.01))},
		"boils hottest":         {second(ImpliedElevationM(hottest, 0)), second(ImpliedElevationM(hottest+0.01, 0))},
		"boils coldest":         {second(ImpliedElevationM(coldest, 0)), second(ImpliedElevationM(coldest-0.01, 0))},
		"error above":           {second(ImpliedElevationM(hottest-0.51, 0.5)), second(ImpliedElevationM(hottest-0.49, 0.5))},
		"error below":           {second(ImpliedElevationM(coldest+0.51, 0.5)), second(ImpliedElevationM(coldest+0.49, 0.5))},
		"freezing":              {second(SaturationPressurePa(0)), second(SaturationPressurePa(-0.001))},
		"critical temperature":  {second(SaturationPressurePa(373.945)), second(SaturationPressurePa(373.947))},
		"lowest pressure":       {second(SaturationTemperatureC(611.213)), second(SaturationTemperatureC(611.212))},
		"critical pressure":     {second(SaturationTemperatureC(22.064e6)), second(SaturationTemperatureC(22.0641e6))},
		"thumb of no minutes":   {thumb("five-per-band", 0.1, 500), thumb("five-per-band", 0, 500)},
		"thumb of a deep place": {thumb("five-per-band", 10, -16499), thumb("five-per-band", 10, -16500)},
		"thumb of a high place": {thumb("five-per-band", 10, 10000), thumb("five-per-band", 10, 10000.1)},
		"thumb of jelly":        {thumb("jelly-minute-per-thousand-feet", 5, 2000), thumb("jelly-minute-per-thousand-feet", 5.1, 2000)},
	} {
		t.Run(name, func(t *testing.T) {
			if test.inside != nil {
				t.Errorf("just inside: %v", test.inside)
			}
			if !errors.Is(test.outside, table.ErrRange) {
				t.Errorf("just outside: %v", test.outside)
			}
		})
	}
}

// The inverse of 94 °C give or take half a degree, from below and above: low is where it boils half a degree hotter.
func TestImpliedElevationAllowsForTheThermometer(t *testing.T) {
	implied, err := ImpliedElevationM(94, 0.5)
	if err != nil {
		t.Fatal(err)
	}
	for celsius, meters := range map[float64]float64{94.5: implied.Low, 94: implied.Value, 93.5: implied.High} {
		if at, err := BoilingAt(meters); err != nil || math.Abs(at.TemperatureC-celsius) > 1e-5 {
			t.Errorf("at %g m it boils at %g °C, %v, want %g", meters, at.TemperatureC, err, celsius)
		}
	}
}
