package figures

import (
	"jarwright/validate/altitude"
	"jarwright/validate/catalog"
	"jarwright/validate/contents"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/headspace"
	"jarwright/validate/heating"
	"jarwright/validate/report"
	"jarwright/validate/table"
)

// Jar works out what the jar holds and what its headspace does: volumes, swelling, vacuum, pieces that fit, and what
// the batch fills. It leaves out what the recipe says too little for. The figures explain; nothing is judged by them.
func Jar(f *facts.Facts) []report.Derived {
	jar, known := f.Jar()
	head, given := f.Headspace()
	if !known || !given {
		return nil
	}
	space, err := jar.HeadspaceVolumeML(head.Millimeters())
	if err != nil {
		return nil
	}
	fill, err := jar.FillVolumeML(head.Millimeters())
	if err != nil {
		return nil
	}
	const usual = 12 // figures of the jar
	e := jarFigures{list: make([]report.Derived, 0, usual), f: f, jar: jar, headMM: head.Millimeters(), shape: shapeSource(f)}
	inputs := []report.Input{
		{Name: "capacity", Value: report.Rounded(jar.CapacityML), Unit: "mL"},
		{Name: "mouth", Value: report.Rounded(jar.MouthMM), Unit: "mm"},
		{Name: "headspace", Value: report.Rounded(e.headMM), Unit: "mm"},
	}
	e.add("headspace_volume", space, "mL", "area of the mouth x headspace, widening below the neck for the bound", inputs, e.shape,
		catalog.Cite(headspace.JarFigure("neck_depth")))
	e.add("fill_volume", fill, "mL", "capacity - headspace volume", inputs, e.shape)
	e.longestPiece()
	batch := f.Contents.Batch
	if batch == nil {
		batch = &contents.Batch{}
	}
	e.swelling(batch.Brine, space)
	if f.Contents.Batch != nil {
		e.batch(batch)
	}
	return e.list
}

// jarFigures gathers the figures.
type jarFigures struct {
	f      *facts.Facts
	jar    headspace.Jar
	headMM float64
	shape  catalog.Citation
	list   []report.Derived
}

// shapeSource is where the measures of the jar come from.
func shapeSource(f *facts.Facts) catalog.Citation {
	if known := f.Composition.Jar.Known; known != nil {
		return known.Shape
	}
	return catalog.Citation{Source: "practice", Locator: "measures given in the request", Verified: catalog.Derived}
}

func (e *jarFigures) add(name string, b table.Bounds, unit, formula string, inputs []report.Input, sources ...catalog.Citation) {
	low, high := report.Rounded(b.Low), report.Rounded(b.High)
	d := report.Derived{Name: name, Value: report.Rounded(b.Value), Unit: unit, Formula: formula, Inputs: inputs, Sources: sources}
	if low != high {
		d.Low, d.High = &low, &high
	}
	e.list = append(e.list, d)
}

func exactly(value float64) table.Bounds {
	return table.Bounds{Low: value, Value: value, High: value}
}

func (e *jarFigures) longestPiece() {
	longest, err := e.jar.LongestUprightPieceMM(e.headMM, 0)
	if err != nil {
		return
	}
	e.add("longest_upright_piece", exactly(longest), "mm", "interior height - headspace; a piece that long just reaches the top of the liquid",
		[]report.Input{
			{Name: "interior_height", Value: report.Rounded(e.jar.InteriorHeightMM), Unit: "mm"},
			{Name: "headspace", Value: report.Rounded(e.headMM), Unit: "mm"},
		}, e.shape)
}

// swelling works out how far the fill swells up to the boil, the least headspace that holds it, and the vacuum after
// cooling. Without an elevation the boil is that of sea level for the swelling, and there is no vacuum to speak of.
func (e *jarFigures) swelling(brine headspace.Brine, space table.Bounds) {
	elevationM := 0.0
	if e.f.Elevation != nil {
		elevationM = float64(*e.f.Elevation)
	}
	boiling, err := altitude.BoilingAt(elevationM)
	if err != nil {
		return
	}
	packed, ok := heating.PackedC(e.f.Request.Recipe.Pack, e.f.LiquidC(boiling.TemperatureC))
	if !ok {
		return
	}
	heated := e.f.Method() != document.MethodNone && e.f.ForShelf()
	if heated {
		e.swells(brine, packed, boiling.TemperatureC)
	}
	if e.f.Elevation != nil {
		e.vacuum(packed, boiling, space, heated)
	}
}

func (e *jarFigures) swells(brine headspace.Brine, packed table.Bounds, boilingC float64) {
	boiled, err := brine.Density(boilingC)
	if err != nil {
		return
	}
	var percent [3]float64 // warmest, usual, coldest
	var depth [3]table.Bounds
	for i, packedC := range []float64{packed.High, packed.Value, packed.Low} {
		cold, err := brine.Density(packedC)
		if err != nil {
			return
		}
		percent[i] = 100 * (cold/boiled - 1)
		if depth[i], err = headspace.LeastForSwellingMM(e.jar, cold/boiled); err != nil {
			return
		}
	}
	inputs := []report.Input{
		{Name: "packed_at", Value: report.Rounded(packed.Value), Unit: "°C"},
		{Name: "boiling_point", Value: report.Rounded(boilingC), Unit: "°C"},
		{Name: "salt", Value: report.Rounded(brine.SaltPercent), Unit: "%"},
		{Name: "sugar", Value: report.Rounded(brine.SugarPercent), Unit: "%"},
	}
	sources := []catalog.Citation{
		catalog.Cite(headspace.WaterFigure("b1")),
		catalog.Cite(heating.PackingFigure("jar_hot")),
		catalog.Cite(heating.PackingFigure("void_low")),
	}
	e.add("swelling_to_the_boil", table.Bounds{Low: percent[0], Value: percent[1], High: percent[2]}, "%",
		"density as packed / density at the boil - 1; the bounds are the warmest and the coldest that such a pack may be", inputs, sources...)
	e.add("least_headspace_for_swelling", table.Bounds{Low: depth[0].Low, Value: depth[1].Value, High: depth[2].High}, "mm",
		"depth of the volume by which the fill swells; bubbles and the surge of the boil need more, so that the printed headspace holds", inputs, sources...)
}

func (e *jarFigures) vacuum(packed table.Bounds, boiling altitude.Boiling, space table.Bounds, heated bool) {
	closedC := packed.Value
	formula := "air pressure - vapor pressure at room temperature - what air is left in the headspace; an upper bound, most home-canned jars show 13 " +
		"to 15 inHg"
	if heated {
		closedC = boiling.TemperatureC
		if bath, ok := e.f.BathC(); ok {
			closedC = bath
		}
	}
	vacuum, err := headspace.VacuumPa(headspace.Closing{
		HeadspaceFraction: space.Value / e.jar.CapacityML, ClosedC: closedC, StoredC: heating.PackingFigure("room").Value, ElevationM: boiling.ElevationM,
	})
	if err != nil {
		return
	}
	e.add("vacuum_at_most", exactly(headspace.InchesOfMercury(vacuum)), "inHg", formula, []report.Input{
		{Name: "air_pressure", Value: report.Rounded(boiling.PressurePa / 100), Unit: "hPa"},
		{Name: "closed_at", Value: report.Rounded(closedC), Unit: "°C"},
		{Name: "stored_at", Value: heating.PackingFigure("room").Value, Unit: "°C"},
		{Name: "headspace_fraction", Value: report.Rounded(space.Value / e.jar.CapacityML), Unit: "1"},
	}, catalog.Cite(headspace.JarFigure("surveyed_vacuum_low")), catalog.Cite(heating.PackingFigure("room")))
}

func (e *jarFigures) batch(b *contents.Batch) {
	inputs := []report.Input{
		{Name: "food_as_weighed", Value: report.Rounded(b.FoodG.Value), Unit: "g"},
		{Name: "food", Value: report.Rounded(b.TissueML.Value), Unit: "mL"},
		{Name: "liquid", Value: report.Rounded(b.BrineML), Unit: "mL"},
		{Name: "fill_of_a_jar", Value: report.Rounded(b.FillML.Value), Unit: "mL"},
	}
	e.yield(b, inputs)
	e.foodInJar()
	needed, ok := b.BrineNeededML()
	if !ok {
		return
	}
	if j := &e.f.Match.Jar; j.Known() && j.Jars > 0 {
		most := max(j.Need.High*j.Jars, needed.High)
		e.brine(b, table.Bounds{Low: j.Need.Low * j.Jars, Value: j.Need.High * j.Jars, High: most},
			"what the printed jar gets that is packed as closely, or all the room beside the pieces, of all jars; at most what pieces usually "+
				"leave", append(inputs, report.Input{
				Name: "jars", Value: report.Rounded(j.Jars), Unit: "jars",
			}), e.f.Match.Recipe.Citation, catalog.Cite(heating.PackingFigure("tissue_low")))
		return
	}
	if b.Jars > 0 {
		inputs = append(inputs[:len(inputs):len(inputs)], report.Input{Name: "jars", Value: b.Jars, Unit: "jars"})
	}
	sources := []catalog.Citation{e.shape, catalog.Cite(heating.PackingFigure("void_low")), catalog.Cite(heating.PackingFigure("tissue_low"))}
	e.brine(b, needed, "fill of all jars - food, and not less than pieces usually leave (0.35 to 0.5 of the fill)", inputs, sources...)
}

// yield says how many jars the batch fills: as many as the tested recipe prints, at the size of its main food; where none is matched,
// about what such foods fill.
func (e *jarFigures) yield(b *contents.Batch, inputs []report.Input) {
	if low, high, ok := e.f.Match.Yield(); ok {
		e.add("jars_filled", table.Bounds{Low: low, Value: (low + high) / 2, High: high}, "jars",
			"printed yield x main food / that of the tested recipe x capacity of its jar / capacity of this one", inputs, e.f.Match.Recipe.Citation)
	} else if filled, ok := b.JarsFilled(); ok {
		sources := []catalog.Citation{e.shape, catalog.Cite(heating.PackingFigure("tissue_low"))}
		formula := "(food + liquid) x what boiling down leaves / fill of a jar, 0.6 to 1.6 times: no printed yield is at hand"
		if b.Pieces {
			formula = "food as weighed / (fill of a jar x 1.04 g of food per mL, as of cucumbers as bought), 0.6 to 1.6 times: no printed yield is at hand"
			sources = []catalog.Citation{catalog.Cite(heating.PackingFigure("weighed_usual"))}
		}
		e.add("jars_filled", filled, "jars", formula, inputs, append(sources, catalog.Cite(heating.PackingFigure("yield_low")))...)
	}
	if b.BoiledTo == 1 && !b.BoilsDown && b.BrineML > 0 {
		most := (b.TissueML.High + b.BrineML) / b.FillML.Low
		e.add("contents_for_up_to", exactly(most), "jars", "(food + liquid) / fill of a jar: no more jars can be full", inputs, e.shape)
	}
}

// foodInJar says how much food a jar of pieces holds beside what the printed jar may hold.
func (e *jarFigures) foodInJar() {
	j := &e.f.Match.Jar
	if !j.Known() {
		return
	}
	e.add("food_in_jar", exactly(j.FoodG), "g", "food as the tested recipe weighs it / jars", []report.Input{
		{Name: "jars", Value: report.Rounded(j.Jars), Unit: "jars"},
		{Name: "most_in_print", Value: report.Rounded(j.MostFoodG), Unit: "g"},
	}, e.f.Match.Recipe.Citation)
}

// brine says how much liquid the jars take, and how much of what is made is left over.
func (e *jarFigures) brine(b *contents.Batch, needed table.Bounds, formula string, inputs []report.Input, sources ...catalog.Citation) {
	e.add("brine_needed", needed, "mL", formula, inputs, sources...)
	if b.BrineML > 0 {
		over := table.Bounds{Low: b.BrineML - needed.High, Value: b.BrineML - needed.Value, High: b.BrineML - needed.Low}
		e.add("brine_left_over", over, "mL", "brine made - brine needed; below zero it runs short", inputs, sources...)
	}
}
