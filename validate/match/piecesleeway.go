package match

import (
	"math"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/measure"
	"jarwright/validate/packing"
)

// piecesAllowances works out how far each amount may be moved by itself so that the jar is still no less acid than printed: without
// any tolerance, which is for what a kitchen cannot measure.
func (c *comparison) piecesAllowances(s *scales, p *pieces) {
	if p.covers || !p.sized || p.foodG <= 0 || p.liquid.Acids() <= 0 {
		return
	}
	for i := range c.tested.slots {
		slot := &c.tested.slots[i]
		if len(c.filled[i]) != 1 || c.filled[i][0].State != composition.Given || slot.openEnded || s.of[i].high == 0 {
			continue
		}
		line := c.filled[i][0]
		switch {
		case slot.kind == acidSlot:
			if amount, ok := c.inBatch(p, line); ok {
				c.allow(i, "acid", 1-c.mostTaken(p, &amount), math.Inf(1))
			}
		case slot.kind == waterSlot:
			if amount, ok := c.inBatch(p, line); ok && amount.AqueousML > 0 {
				c.allow(i, "water", 1-c.mostTaken(p, &amount), 1+c.mostAdded(p)/amount.AqueousML)
			}
		case slot.kind == lowAcidSlot && p.said && p.food[i] > 0 && line.Unit.Dimension != measure.DimensionCount:
			c.allow(i, "low_acid_food", 0, c.mostFood(s, p, i))
		}
	}
}

// mostTaken is the share of a part of the liquid that may be left out: so that what is left is as strong as printed, fills the jars, and
// is enough for food that is heated in it.
func (c *comparison) mostTaken(p *pieces, part *packing.Liquid) float64 {
	most := 1.0
	keep := func(have, of, least, ofLeast float64) { // have - of·t >= least - ofLeast·t
		const hair = 1e-9 // of float error
		if of > ofLeast*(1+hair) {
			most = math.Min(most, math.Max(0, (have-least)/(of-ofLeast)))
		} else if have < least*(1-hair) {
			most = 0
		}
	}
	for _, kind := range packing.Kinds() {
		want := p.print.Liquid.Strength(kind)
		keep(p.liquid.Acid[kind], part.Acid[kind], want*p.liquid.AqueousML, want*part.AqueousML)
	}
	thin := p.print.Liquid.Diluted() * (1 - c.matcher.tolerances.sweetened)
	keep(p.liquid.Acids(), part.Acids(), thin*p.liquid.VolumeML(), thin*part.VolumeML())
	jars := c.fullJars(p)
	need := p.print.NeedML(p.foodG/jars, p.printedG, p.jar)
	keep(p.liquid.VolumeML(), part.VolumeML(), need.High*jars, 0)
	keep(p.liquid.Acids(), part.Acids(), c.acidForFood(p)*p.foodG, 0)
	if oil := p.print.Liquid.OilPerML(); oil > 0 {
		keep(p.liquid.AqueousML, part.AqueousML, p.liquid.OilML/oil, part.OilML/oil)
	}
	return most
}

// acidForFood is the acid that food heated in its liquid must have in the pot, in g/g.
func (c *comparison) acidForFood(p *pieces) float64 {
	printed := p.print.Liquid.Acids() / p.printedG
	switch p.print.Class {
	case catalog.JarHeatedLong:
		return printed
	case catalog.JarHeatedShort:
		return printed * c.matcher.tolerances.shortLiquid
	}
	return 0
}

// mostAdded is the water, in mL, that may be added before the liquid is weaker than printed.
func (c *comparison) mostAdded(p *pieces) float64 {
	most := math.Inf(1)
	for _, kind := range packing.Kinds() {
		if want := p.print.Liquid.Strength(kind); want > 0 {
			most = math.Min(most, p.liquid.Acid[kind]/want-p.liquid.AqueousML)
		}
	}
	thin := p.print.Liquid.Diluted() * (1 - c.matcher.tolerances.sweetened)
	return math.Max(0, math.Min(most, p.liquid.Acids()/thin-p.liquid.VolumeML()))
}

// mostFood is how many times a food may be there, all else being left as it is: no more food in a jar than printed, of this food no more
// than printed where others are beside it, and none that a soak or the liquid is not enough for.
func (c *comparison) mostFood(s *scales, p *pieces, i int) float64 {
	most := p.print.MostFoodG(p.printedG, p.jar, c.matcher.tolerances.rounding)*p.jars - p.foodG + p.food[i]
	if p.printedG > p.print.grams[i] {
		most = math.Min(most, p.print.MostFoodG(p.print.grams[i], p.jar, c.matcher.tolerances.rounding)*p.jars)
	}
	if least := c.acidForFood(p); least > 0 {
		most = math.Min(most, p.liquid.Acids()/least-p.foodG+p.food[i])
	}
	for k := range c.tested.slots {
		if c.tested.slots[k].kind == soakAcidSlot && i == c.tested.mainSlot && len(c.filled[k]) > 0 {
			most = math.Min(most, s.of[k].low*p.print.grams[i])
		}
	}
	if seasoned := c.seasonedFor(); i == c.tested.mainSlot && c.liquid > seasoned {
		most = math.Min(most, seasoned*p.print.grams[i])
	}
	return math.Max(0, c.liquidFor(p, i, most)/p.food[i])
}

// liquidFor lowers an amount of a food, in g, until the liquid is enough for it.
func (c *comparison) liquidFor(p *pieces, i int, most float64) float64 {
	jars := c.fullJars(p)
	enough := func(grams float64) bool {
		need := p.print.NeedML((p.foodG-p.food[i]+grams)/jars, p.printedG, p.jar)
		return p.liquid.VolumeML()/jars >= need.High*(1-1e-6)
	}
	const halvings = 20
	low, high := p.food[i], most
	if !enough(low) {
		return low
	}
	for range halvings {
		if enough(high) {
			return high
		}
		if middle := (low + high) / 2; enough(middle) {
			low = middle
			if high-low < most/1000 {
				break
			}
			high = (middle + high) / 2
		} else {
			high = middle
		}
	}
	return low
}
