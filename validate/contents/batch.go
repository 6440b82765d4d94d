package contents

import (
	"math"

	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/headspace"
	"jarwright/validate/measure"
	"jarwright/validate/table"
)

// Batch is what a recipe makes: the tissue of its foods and the liquid it makes up. Foods count as weighed, before any
// trimming, peeling, salting and cooking, which all take something away; seasonings are left out.
type Batch struct {
	Jar       headspace.Jar
	FillML    table.Bounds // of one jar
	Jars      float64      // as the recipe says; 0 when it does not
	FoodG     table.Bounds // as weighed
	TissueML  table.Bounds
	Cooked    bool    // packed hot
	Poured    bool    // a liquid is poured over the pieces, more than juice to acidify with
	Pieces    bool    // pieces under a liquid; false: all of it is mixed
	BrineML   float64 // 0: as much as is needed is made, or it is not known
	Brine     headspace.Brine
	BoiledTo  float64 // what boiling down leaves of the whole; 1: it is not boiled down
	BoilsDown bool    // it is boiled down, to no printed fraction
}

// batch lays out the whole batch; nil when the amount of a food or of a liquid is not known, or there is no food.
func (a *amounts) batch(in *Input, jar headspace.Jar, depth measure.Length) *Batch {
	fill, err := jar.FillVolumeML(depth.Millimeters())
	if err != nil || fill.Low <= 0 || a.unweighed {
		return nil
	}
	b := Batch{Jar: jar, FillML: fill, BoiledTo: 1, Cooked: in.Request.Recipe.Pack == document.PackHot}
	if in.Composition.Jars != nil {
		b.Jars = *in.Composition.Jars
	}
	if recipe := in.Match.Recipe; recipe != nil && recipe.CookedDown != nil {
		b.BoiledTo, b.BoilsDown = recipe.CookedDown.Fraction, recipe.CookedDown.Fraction == 0
	}
	b.FoodG = table.Bounds{Low: a.tissueLowG, Value: (a.tissueLowG + a.tissueHighG) / 2, High: a.tissueHighG}
	b.TissueML = table.Bounds{Low: a.tissueLowG / filling.Value("tissue_high"), High: a.tissueHighG / filling.Value("tissue_low")}
	b.TissueML.Value = (b.TissueML.Low + b.TissueML.High) / 2
	b.Pieces = a.pieces(in.Request.Recipe.Kind) && !b.BoilsDown && b.BoiledTo == 1
	b.Poured = a.poured || a.openEnded
	if !a.openEnded {
		b.Brine, b.BrineML = a.pot.plus(a.perJar.times(b.Jars)).brine()
		b.BrineML += a.oilML
	}
	if b.TissueML.High <= 0 {
		return nil
	}
	return &b
}

// pieces reports whether the recipe is of pieces under a liquid, by its kind or, for fruit, by how its main food is cut.
func (a *amounts) pieces(kind string) bool {
	switch kind {
	case document.KindRelish, document.KindSauce:
		return false
	case document.KindFruit:
		return a.coarsest == composition.Unstated || a.coarsest >= composition.Sliced
	}
	return true
}

// JarsFilled is about how many jars the foods of the batch fill, for recipes that no printed yield is at hand for. Pieces are reckoned as a
// pound of cucumbers as bought to a pint; what is mixed fills the jars as a whole, less what boils away. Of the printed yields about half lie
// within 15 % of such a reckoning, so that the bounds are 0.6 and 1.6 times. It reports false where it cannot be told: the recipe is boiled
// down to no printed fraction.
func (b *Batch) JarsFilled() (table.Bounds, bool) {
	var value float64
	switch {
	case b.Pieces:
		value = b.FoodG.Value / (filling.Value("weighed_usual") * b.FillML.Value)
	case b.BoilsDown:
		return table.Bounds{}, false
	default:
		value = (b.TissueML.Value + b.BrineML) * b.BoiledTo / b.FillML.Value
	}
	return table.Bounds{Low: value * filling.Value("yield_low"), Value: value, High: value * filling.Value("yield_high")}, true
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
	usualLow, usualHigh := filling.Value("void_low"), filling.Value("void_high")
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
