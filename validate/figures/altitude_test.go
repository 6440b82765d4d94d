package figures

import (
	"testing"

	"jarwright/validate/document"
)

// 500 ft are 152.4 m: 1013.25 x (1 - 152.4 / 44330.77)^5.25588 = 995.1 hPa, where water boils at 99.47 °C.
func TestAltitude(t *testing.T) {
	height, air := of("elevation", 152.4, "m"), of("air_pressure", 995.1, "hPa")
	compare(t, Altitude(factsOf(t, dills(t))), []wanted{
		plainly("air_pressure", 995.1, "hPa", height),
		plainly("boiling_point", 99.47, "°C", air),
		plainly("boiling_point_fahrenheit", 211, "°F", air),
	})
	request := dills(t)
	request.Kitchen = nil
	if list := Altitude(factsOf(t, request)); list != nil {
		t.Errorf("no elevation: %v", names(list))
	}
	request.Kitchen = &document.Kitchen{Elevation: amount(1e6, "ft")}
	if list := Altitude(factsOf(t, request)); list != nil {
		t.Errorf("in space: %v", names(list))
	}
}
