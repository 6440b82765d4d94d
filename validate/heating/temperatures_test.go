package heating

import (
	"math"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/table"
)

// By hand, from a room of 20 °C, a refrigerator of 4 °C, jars of 82.22 °C and a part of 0.35 to 0.5 left to the liquid: raw food
// under a boiling liquid comes to 20 + 80 × 0.35 = 48 up to 20 + 80 × 0.5 = 60 °C.
func TestPackedC(t *testing.T) {
	for name, test := range map[string]struct {
		pack    string
		liquidC float64
		want    table.Bounds
		known   bool
	}{
		"raw, boiling":               {document.PackRaw, 100, table.Bounds{Low: 48, Value: 54, High: 60}, true},
		"raw, at the room":           {document.PackRaw, 20, table.Bounds{Low: 20, Value: 20, High: 20}, true},
		"raw, iced":                  {document.PackRaw, 4, table.Bounds{Low: 12, Value: 13.2, High: 14.4}, true},
		"hot, boiling":               {document.PackHot, 100, table.Bounds{Low: 82.22, Value: 91.11, High: 100}, true},
		"hot, cooler than the jars":  {document.PackHot, 70, table.Bounds{Low: 70, Value: 70, High: 70}, true},
		"cold":                       {document.PackCold, 100, table.Bounds{Low: 4, Value: 12, High: 20}, true},
		"a pack that nobody told of": {"", 100, table.Bounds{}, false},
	} {
		t.Run(name, func(t *testing.T) {
			got, known := PackedC(test.pack, test.liquidC)
			if known != test.known || math.Abs(got.Low-test.want.Low) > 1e-9 || math.Abs(got.Value-test.want.Value) > 1e-9 ||
				math.Abs(got.High-test.want.High) > 1e-9 {
				t.Errorf("%+v, %t, want %+v, %t", got, known, test.want, test.known)
			}
		})
	}
}

// Complete Guide to Home Canning (AIB 539, 2015), p. 1-18: water of 140 °F for raw packs and of 180 °F for hot ones; p. 1-14: jars
// are kept hot at 180 °F.
func TestPrintedTemperatures(t *testing.T) {
	raw, hasRaw := CannerC(document.PackRaw)
	hot, hasHot := CannerC(document.PackHot)
	if !hasRaw || !hasHot || math.Abs(raw.Value-Celsius(140)) > 0.005 || math.Abs(hot.Value-Celsius(180)) > 0.005 {
		t.Errorf("canner of %+v and %+v", raw, hot)
	}
	if cold, has := CannerC(document.PackCold); has {
		t.Errorf("the guide does not speak of cold packs: %+v", cold)
	}
	if jar := HotJarC(); math.Abs(jar.Value-Celsius(180)) > 0.005 || jar.Source != "usda-2015" {
		t.Errorf("hot jars of %+v", jar)
	}
	if room := RoomC(); room.Value != 20 || room.Unit != "°C" {
		t.Errorf("a room of %+v", room)
	}
	if PackingFigure("room") != RoomC() || Figure("cooling_followed").Unit != "min" {
		t.Error("figures are not found by their names")
	}
}
