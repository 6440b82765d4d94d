package plan

import (
	"fmt"
	"math"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
)

func (w *writer) jars() Jars {
	jars := Jars{
		Name: w.comp.Jar.Name, Jar: w.comp.Jar.ID, Count: w.size.jars, Lids: w.size.jars + w.p.figures.Value("spare_lids"),
		LastFull: !w.size.byFactor || w.size.factor**w.request.Recipe.Jars >= w.size.jars*(1-wholeJars),
	}
	if depth, ok := w.millimeters(w.scaled.Recipe.Headspace); ok {
		jars.Headspace = fmt.Sprintf("%s (%s mm)", measure.FormatInches(measure.Length(depth)*measure.Millimeter), measure.FormatNumber(math.Round(depth)))
	}
	return jars
}

// canner sets the jars into loads. It is nil where no pot is needed.
func (w *writer) canner() *Canner {
	process := w.scaled.Recipe.Process
	if !inCanner(process) {
		return nil
	}
	c := &Canner{Method: process.Method}
	c.PerLoad, c.Sources = w.p.perLoad(w.request.Canner, w.comp.Jar.CapacityML)
	c.Loads = loads(w.size.jars, c.PerLoad)
	if w.fit() {
		c.Minutes = w.minutes()
	}
	preheat := w.p.figures.Get("preheat_raw")
	if w.scaled.Recipe.Pack == document.PackHot {
		preheat = w.p.figures.Get("preheat_hot")
	}
	if process.Method == document.MethodSteam {
		c.Text = fmt.Sprintf("%s. Fill the base as the maker of the steam canner says.", loadsText(c))
		return c
	}
	c.PreheatF, c.PreheatC = preheat.Value, math.Round(celsius(preheat.Value))
	c.Sources = append(c.Sources, w.p.cite("preheat_raw"))
	c.Text = loadsText(c) + "."
	w.water(c)
	return c
}

func loadsText(c *Canner) string {
	text := measure.FormatNumber(c.Loads[0])
	for i := 1; i < len(c.Loads); i++ {
		text += " + " + measure.FormatNumber(c.Loads[i])
	}
	if len(c.Loads) == 1 {
		return "One load of " + text
	}
	return fmt.Sprintf("%d loads: %s", len(c.Loads), text)
}

// inCanner tells whether the jars are set into a pot of water or steam.
func inCanner(process *document.Process) bool {
	if process == nil {
		return false
	}
	switch process.Method {
	case document.MethodBoilingWater, document.MethodSteam, document.MethodLowTemperature:
		return true
	}
	return false
}

// loads sets jars into as few loads as they take; how many that may be, Planner.within has seen to.
func loads(jars, perLoad float64) []float64 {
	list := make([]float64, 0, int(math.Ceil(jars/perLoad)))
	for i := range cap(list) {
		list = append(list, math.Min(perLoad, jars-float64(i)*perLoad))
	}
	return list
}

// perLoad is how many jars of a capacity stand in the canner: as the cook says, or a usual load of this size with its source.
func (p *Planner) perLoad(own *document.Canner, capacityML float64) (float64, []catalog.Citation) {
	if own != nil && own.JarsPerLoad != nil {
		return *own.JarsPerLoad, []catalog.Citation{}
	}
	for _, load := range p.loads {
		if capacityML <= load.upToML {
			return load.jars, []catalog.Citation{load.citation}
		}
	}
	return 1, []catalog.Citation{}
}

// minutes is the time at the kitchen's elevation, or the recipe's own where that is longer or nothing is printed.
func (w *writer) minutes() *float64 {
	var minutes float64
	if time := w.scaled.Recipe.Process.Time; time != nil && time.Value != nil {
		unit, _ := w.p.units.Lookup(time.Unit)
		minutes = measure.Duration(unit.SI(*time.Value)).Minutes()
	}
	lowTemperature := w.scaled.Recipe.Process.Method == document.MethodLowTemperature
	if p := w.report.Process; p != nil && p.MinutesHere != nil && !lowTemperature {
		minutes = math.Max(minutes, *p.MinutesHere)
	}
	if lowTemperature {
		minutes = math.Max(minutes, w.p.tables.MustLimit("low-temperature-time-min").Value)
	}
	if minutes == 0 {
		return nil
	}
	return &minutes
}

// water works out how deep the water stands and how much of it to put in first.
func (w *writer) water(c *Canner) {
	over := w.p.tables.MustLimit("water-over-lids-min")
	if c.Minutes != nil && *c.Minutes > w.p.tables.MustLimit("water-over-lids-long-over").Value {
		over = w.p.tables.MustLimit("water-over-lids-long-min")
	}
	unit, _ := w.p.units.Lookup(over.Unit)
	overMM := measure.Length(unit.SI(over.Value)).Millimeters()
	if own, given := w.millimeters(w.scaled.Recipe.Process.WaterOverLids); given {
		overMM = math.Max(overMM, own)
	}
	c.Sources = append(c.Sources, over.Citation)
	inches := measure.FormatInches(measure.Length(overMM) * measure.Millimeter)
	c.WaterOverLids = &measure.Amount{Value: tidy(overMM / 25.4), Unit: "in", Text: fmt.Sprintf("%s (%s mm)", inches, measure.FormatNumber(math.Round(overMM)))}
	c.Text += fmt.Sprintf(" At least %s of water over the lids; water at about %s °F (%s °C) when the jars go in.",
		c.WaterOverLids.Text, measure.FormatNumber(c.PreheatF), measure.FormatNumber(c.PreheatC))
	shape, ok := w.p.shape(w.scaled.Recipe.Jar)
	if !ok {
		return
	}
	figure := w.p.figures.Value
	heightMM := shape.InteriorHeightMM + figure("glass_base_mm") + figure("lid_mm")
	c.DepthMM = math.Ceil(heightMM + overMM)
	c.DepthIn = math.Ceil(c.DepthMM/25.4*4) / 4
	diameterMM := figure("canner_diameter_mm")
	if own := w.request.Canner; own != nil {
		if mm, given := w.millimeters(own.Diameter); given {
			diameterMM = mm
		}
	}
	radiusMM := math.Sqrt(shape.CapacityML*1e3/(math.Pi*shape.InteriorHeightMM)) + figure("glass_wall_mm")
	jarML := math.Pi * radiusMM * radiusMM * heightMM / 1e3
	waterML := math.Pi/4*diameterMM*diameterMM*c.DepthMM/1e3 - c.Loads[0]*jarML
	c.Sources = append(c.Sources, w.p.cite("glass_wall_mm"))
	c.Text += fmt.Sprintf(" That is %s in (%s mm) above the rack.", measure.FormatFraction(c.DepthIn), measure.FormatNumber(c.DepthMM))
	if waterML <= 0 {
		return
	}
	const rough = 0.1 // the pot, the rack and the glass are not known better
	volume := w.p.kitchen.Volume(waterML, measure.Nearest, rough)
	c.WaterAtStart = &volume
	c.Text += fmt.Sprintf(" In a canner %s in (%s cm) wide put in about %s (%s) first, and keep a kettle of boiling water to top up.",
		measure.FormatNumber(math.Round(diameterMM/25.4)), measure.FormatNumber(math.Round(diameterMM/10)), volume.Household.Text, volume.Metric.Text)
}
