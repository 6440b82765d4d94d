package heating

import (
	"jarwright/validate/document"
	"jarwright/validate/table"
)

// packing holds how warm foods, jars and canners are.
var packing = table.MustFigures("headspace/packing.csv")

// PackedC is how warm the contents of a jar are as a whole once it is filled, in °C, for a way of packing and a liquid at
// liquidC. Raw food at room temperature leaves from 0.35 to 0.5 of the jar to the liquid (from memory), so that the two meet
// that far between their temperatures; what is filled hot is as hot as jars are kept (usda-2015, p. 1-14) up to the liquid;
// a cold pack comes from the refrigerator or the room. It reports false for any other pack.
func PackedC(pack string, liquidC float64) (table.Bounds, bool) {
	room := packing.Value("room")
	bounds := func(low, high float64) (table.Bounds, bool) {
		return table.Bounds{Low: low, Value: (low + high) / 2, High: high}, true
	}
	switch pack {
	case document.PackRaw:
		between := func(part float64) float64 { return room + (liquidC-room)*part }
		a, b := between(packing.Value("void_low")), between(packing.Value("void_high"))
		return bounds(min(a, b), max(a, b))
	case document.PackHot:
		return bounds(min(packing.Value("jar_hot"), liquidC), liquidC)
	case document.PackCold:
		return bounds(packing.Value("refrigerator"), room)
	}
	return table.Bounds{}, false
}

// CannerC is the temperature in °C of the water that jars of a pack are put into, as the guide asks for it (usda-2015,
// p. 1-18); false for packs that it does not speak of.
func CannerC(pack string) (table.Figure, bool) {
	switch pack {
	case document.PackRaw:
		return packing.Get("canner_raw"), true
	case document.PackHot:
		return packing.Get("canner_hot"), true
	}
	return table.Figure{}, false
}

// RoomC is the temperature in °C of a kitchen and a pantry. Common practice, no source.
func RoomC() table.Figure { return packing.Get("room") }

// HotJarC is the temperature in °C of jars that are kept hot until they are filled (usda-2015, p. 1-14).
func HotJarC() table.Figure { return packing.Get("jar_hot") }

// PackingFigure is a figure of how warm and how tightly jars are packed, with its source; it panics on a name that the table
// lacks.
func PackingFigure(name string) table.Figure { return packing.Get(name) }
