package headspace

import (
	"math"
	"strings"

	"jarwright/validate/altitude"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/rule"
	"jarwright/validate/table"
)

var packing = table.MustFigures("headspace/packing.csv")

func cite(f table.Figure) catalog.Citation {
	return catalog.Citation{Source: f.Source, Locator: f.Locator, Verified: catalog.Verified(f.Verified)}
}

// JarOf is the inside of the recipe's jar; it reports false when the recipe does not say enough of it, or says measures
// that no jar has.
func JarOf(f *rule.Facts) (Jar, bool) {
	written := f.Request.Recipe.Jar
	if written == nil || f.Composition.Jar == nil {
		return Jar{}, false
	}
	if known := f.Composition.Jar.Known; known != nil {
		return Jar{CapacityML: known.CapacityML, MouthMM: known.MouthMM, InteriorHeightMM: known.InteriorHeightMM}, true
	}
	mouth, hasMouth := f.SI(written.Mouth)
	height, hasHeight := f.SI(written.InteriorHeight)
	jar := Jar{
		CapacityML: f.Composition.Jar.CapacityML, MouthMM: measure.Length(mouth).Millimeters(), InteriorHeightMM: measure.Length(height).Millimeters(),
	}
	return jar, hasMouth && hasHeight && jar.Check() == nil
}

// Of is the headspace of the recipe: the one given, or where none is given the one that all printed packs that may apply
// have. It reports false when there is neither.
func Of(f *rule.Facts) (measure.Length, bool) {
	if si, given := f.SI(f.Request.Recipe.Headspace); given {
		return measure.Length(si), true
	}
	if f.Match.Recipe == nil {
		return 0, false
	}
	printed := printedHeadspaces(f)
	for _, inches := range printed {
		if inches != printed[0] {
			return 0, false
		}
	}
	if len(printed) == 0 || printed[0] == 0 {
		return 0, false
	}
	return measure.Length(printed[0]) * measure.Inch, true
}

// PackedC is how warm the contents of a jar are as a whole once it is filled, in °C, for a way of packing and a liquid at
// liquidC. Raw food at room temperature leaves from 0.35 to 0.5 of the jar to the liquid (from memory), so that the two meet
// that far between their temperatures; what is filled hot is as hot as jars are kept (usda-2015, p. 1-14) up to the liquid;
// a cold pack comes from the refrigerator or the room. It reports false for any other pack.
func PackedC(pack string, liquidC float64) (table.Bounds, bool) {
	room := packing.Value("room")
	between := func(low, high float64) (table.Bounds, bool) {
		return table.Bounds{Low: low, Value: (low + high) / 2, High: high}, true
	}
	switch pack {
	case document.PackRaw:
		a, b := mix(room, liquidC, packing.Value("void_low")), mix(room, liquidC, packing.Value("void_high"))
		return between(min(a, b), max(a, b))
	case document.PackHot:
		return between(min(packing.Value("jar_hot"), liquidC), liquidC)
	case document.PackCold:
		return between(packing.Value("refrigerator"), room)
	}
	return table.Bounds{}, false
}

// LiquidC is the temperature in °C of what is poured in: the one given, else the boil.
func LiquidC(f *rule.Facts, boilingC float64) float64 {
	if t := f.Request.Recipe.Temperatures; t != nil {
		if si, given := f.SI(t.Brine); given {
			return min(max(measure.Temperature(si).Celsius(), 0), boilingC)
		}
	}
	return boilingC
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

// BoilingC is the boiling point in °C at the elevation of the kitchen; false when that is not given.
func BoilingC(f *rule.Facts) (float64, bool) {
	if f.Elevation == nil {
		return 0, false
	}
	boiling, err := altitude.BoilingAt(float64(*f.Elevation))
	return boiling.TemperatureC, err == nil
}

// BathC is the temperature in °C at which the jars are held: the boiling point at the elevation, or what a low-temperature
// process says. It reports false without an elevation and for methods that are neither.
func BathC(f *rule.Facts) (float64, bool) {
	boilingC, ok := BoilingC(f)
	switch f.Method() {
	case document.MethodBoilingWater, document.MethodSteam:
		return boilingC, ok
	case document.MethodLowTemperature:
		held, given := f.SI(f.Request.Recipe.Process.Temperature)
		return min(measure.Temperature(held).Celsius(), boilingC), ok && given
	}
	return 0, false
}

// RoomC is the temperature in °C of a kitchen and a pantry. Common practice, no source.
func RoomC() table.Figure { return packing.Get("room") }

// HotJarC is the temperature in °C of jars that are kept hot until they are filled (usda-2015, p. 1-14).
func HotJarC() table.Figure { return packing.Get("jar_hot") }

// Batch is what a recipe makes: the tissue of its foods and the liquid it makes up. Foods count as weighed, before any
// trimming, peeling, salting and cooking, which all take something away; seasonings are left out.
type Batch struct {
	Jar       Jar
	FillML    table.Bounds // of one jar
	Jars      float64      // as the recipe says; 0 when it does not
	FoodG     table.Bounds // as weighed
	TissueML  table.Bounds
	Cooked    bool    // packed hot
	Poured    bool    // a liquid is poured over the pieces, more than juice to acidify with
	Pieces    bool    // pieces under a liquid; false: all of it is mixed
	BrineML   float64 // 0: as much as is needed is made, or it is not known
	Brine     Brine
	BoiledTo  float64 // what boiling down leaves of the whole; 1: it is not boiled down
	BoilsDown bool    // it is boiled down, to no printed fraction
}

// BatchOf reads the batch; it reports false when the jar, the headspace or the amount of a food is not known.
func BatchOf(f *rule.Facts) (Batch, bool) {
	jar, known := JarOf(f)
	head, said := Of(f)
	if !known || !said {
		return Batch{}, false
	}
	fill, err := jar.FillVolumeML(head.Millimeters())
	if err != nil || fill.Low <= 0 {
		return Batch{}, false
	}
	b := Batch{Jar: jar, FillML: fill, BoiledTo: 1, Cooked: f.Request.Recipe.Pack == document.PackHot}
	if f.Composition.Jars != nil {
		b.Jars = *f.Composition.Jars
	}
	if recipe := f.Match.Recipe; recipe != nil && recipe.CookedDown != nil {
		b.BoiledTo, b.BoilsDown = recipe.CookedDown.Fraction, recipe.CookedDown.Fraction == 0
	}
	m := mixture{f: f, jars: b.Jars}
	for i := range f.Composition.Lines {
		if !m.add(&f.Composition.Lines[i]) {
			return Batch{}, false
		}
	}
	b.FoodG = table.Bounds{Low: m.foodLowG, Value: (m.foodLowG + m.foodHighG) / 2, High: m.foodHighG}
	b.TissueML = table.Bounds{
		Low: m.foodLowG / packing.Value("tissue_high"), High: m.foodHighG / packing.Value("tissue_low"),
	}
	b.TissueML.Value = (b.TissueML.Low + b.TissueML.High) / 2
	b.Pieces = m.pieces(f.Request.Recipe.Kind) && !b.BoilsDown && b.BoiledTo == 1
	b.Poured = m.poured || m.openEnded
	if !m.openEnded {
		b.Brine, b.BrineML = m.brine()
		b.BrineML += m.oilML
	}
	return b, b.TissueML.High > 0
}

// mixture gathers the lines of a recipe.
type mixture struct {
	f                              *rule.Facts
	jars                           float64
	foodLowG, foodHighG            float64
	waterG, saltG, sugarG, aceticG float64
	oilML                          float64
	poured                         bool // there is more to pour than juice to acidify with
	openEnded                      bool
	coarsest                       composition.Cut // of the heaviest food
	heaviestG                      float64
}

// add takes a line in; it reports false when the amount of a food cannot be told.
func (m *mixture) add(line *composition.Line) bool {
	if !line.Counts() {
		return true
	}
	liquid := isLiquid(line)
	if line.State != composition.Given {
		m.openEnded = m.openEnded || liquid
		return liquid || !line.IsFood()
	}
	value := line.Value
	if line.PerJar {
		if m.jars == 0 {
			return !liquid && !line.IsFood()
		}
		value *= m.jars
	}
	switch {
	case liquid:
		return m.pour(line, value)
	case line.IsFood():
		return m.weigh(line, value)
	case line.Class == catalog.Fat:
		oilML, ok := m.f.Scale.MillilitersOf(line.Item, value, line.Unit)
		if ok {
			m.oilML += oilML
		}
	case line.Class == catalog.Salt:
		low, high, ok := m.f.Scale.GramsOfKind(line.Item, line.SaltKind, value, line.Unit)
		if ok {
			m.saltG += (low + high) / 2
		}
	case line.Class == catalog.Sugar:
		low, high, ok := m.f.Scale.Grams(line.Item, line.Form, value, line.Unit)
		if ok {
			m.sugarG += (low + high) / 2
		}
	}
	return true
}

// isLiquid tells what is poured from what is packed.
func isLiquid(line *composition.Line) bool {
	switch line.Class {
	case catalog.Water:
		return true
	case catalog.Acid:
		return line.Item.ID != "citric-acid"
	}
	return line.Item != nil && (strings.HasSuffix(line.Item.ID, "-juice") || strings.HasSuffix(line.Item.Family, "-juice"))
}

func (m *mixture) pour(line *composition.Line, value float64) bool {
	milliliters, ok := m.f.Scale.MillilitersOf(line.Item, value, line.Unit)
	if !ok {
		return false
	}
	percent := 0.0
	if line.Item.Family == "vinegar" {
		percent = m.f.Tables.MustLimit("vinegar-acidity-min").Value
		if line.Acidity != nil {
			percent = *line.Acidity
		}
	}
	m.poured = m.poured || line.Class != catalog.Acid || line.Item.Family == "vinegar"
	// The label counts grams in 100 mL.
	aceticG := milliliters * percent / 100
	wholeG := milliliters * water.density(packing.Value("room")) / 1000
	if liquid, err := (Brine{AceticPercent: percent}).Density(packing.Value("room")); err == nil {
		wholeG = milliliters * liquid / 1000
	}
	m.aceticG += aceticG
	m.waterG += wholeG - aceticG
	return true
}

func (m *mixture) weigh(line *composition.Line, value float64) bool {
	low, high, ok := m.f.Scale.Grams(line.Item, line.Form, value, line.Unit)
	if !ok {
		return false
	}
	m.foodLowG += low
	m.foodHighG += high
	if high > m.heaviestG {
		m.heaviestG, m.coarsest = high, line.Form.Coarsest
	}
	return true
}

// pieces reports whether the recipe is of pieces under a liquid, by its kind or, for fruit, by how its main food is cut.
func (m *mixture) pieces(kind string) bool {
	switch kind {
	case document.KindRelish, document.KindSauce:
		return false
	case document.KindFruit:
		return m.coarsest == composition.Unstated || m.coarsest >= composition.Sliced
	}
	return true
}

// brine is what the liquid lines make together, dissolved, and its volume in mL at room temperature; 0 when there is none
// or it is stronger than the tables of densities go.
func (m *mixture) brine() (Brine, float64) {
	whole := m.waterG + m.saltG + m.sugarG + m.aceticG
	if m.waterG <= 0 {
		return Brine{}, 0
	}
	b := Brine{SaltPercent: 100 * m.saltG / whole, SugarPercent: 100 * m.sugarG / whole, AceticPercent: 100 * m.aceticG / whole}
	density, err := b.Density(packing.Value("room"))
	if err != nil {
		return Brine{}, 0
	}
	return b, whole / density * 1000
}

// JarsFilled is how many jars the foods of the batch fill. Pieces are reckoned by printed yields, a pound of cucumbers as
// bought to a pint, between a loose pack of beans and a tight one of beets; what is mixed fills the jars as a whole, less
// what boils away. It reports false where it cannot be told: the recipe is boiled down to no printed fraction.
func (b *Batch) JarsFilled() (table.Bounds, bool) {
	if b.Pieces {
		return table.Bounds{
			Low:   b.FoodG.Low / (packing.Value("weighed_high") * b.FillML.High),
			Value: b.FoodG.Value / (packing.Value("weighed_usual") * b.FillML.Value),
			High:  b.FoodG.High / (packing.Value("weighed_low") * b.FillML.Low),
		}, true
	}
	if b.BoilsDown {
		return table.Bounds{}, false
	}
	return table.Bounds{
		Low:   (b.TissueML.Low + b.BrineML) * b.BoiledTo / b.FillML.High,
		Value: (b.TissueML.Value + b.BrineML) * b.BoiledTo / b.FillML.Value,
		High:  (b.TissueML.High + b.BrineML) * b.BoiledTo / b.FillML.Low,
	}, true
}

// BrineNeededML is how much liquid it takes to fill up the jars of the recipe, in mL: the room that the foods leave in
// them, and within its bounds also that which pieces usually leave. Raw pieces never leave less than that; cooked ones lie
// closer. The jars are those the recipe says, else as many as the foods fill. It reports false for what is mixed and for pieces in
// no liquid but their own.
func (b *Batch) BrineNeededML() (table.Bounds, bool) {
	if !b.Pieces || !b.Poured {
		return table.Bounds{}, false
	}
	jars := b.Jars
	if jars == 0 {
		filled, ok := b.JarsFilled()
		if !ok {
			return table.Bounds{}, false
		}
		jars = math.Ceil(filled.Value)
	}
	room := jars * b.FillML.Value
	void := func(tissueML float64) float64 { return min(max(1-tissueML/room, 0), 1) }
	usualLow, usualHigh := packing.Value("void_low"), packing.Value("void_high")
	least := max(void(b.TissueML.High), usualLow)
	if b.Cooked {
		least = min(void(b.TissueML.High), usualLow)
	}
	return table.Bounds{
		Low:   room * least,
		Value: room * max(void(b.TissueML.Value), usualLow),
		High:  room * max(void(b.TissueML.Low), usualHigh),
	}, true
}
