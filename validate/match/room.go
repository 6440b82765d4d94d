package match

import (
	"math"

	"jarwright/validate/packing"
)

// room is what of the acid of the batch no food of it takes up yet, as food in grams.
type room struct {
	food  float64 // all food of the batch
	have  float64 // of the food that is compared
	limit float64
}

// takes reports whether there is room for so much more food, and then counts it among the food. Where there is too much food already
// that is told by itself.
func (c *comparison) takes(r *room, more float64) bool {
	if r.have+more > r.limit && r.have <= r.limit {
		return false
	}
	r.have += more
	c.match.SeasoningFoodG += more
	return true
}

// crowded reports whether so much more is further beyond the print than packing ever is.
func (r *room) crowded(more float64) bool { return r.have+more > r.limit*packing.OverFull }

// room is found, for pieces under a liquid, by the food of the printed jar when the fewest are filled; for what is cooked together by
// its low-acid food at the scale of its acid. Elsewhere there is none: the acid goes with the jar, or there is none to lean on.
func (c *comparison) room(s *scales, b *batch, p *pieces) room {
	if p != nil {
		return room{food: p.foodG, have: p.foodG, limit: p.print.MostFoodG(p.printedG, p.jar, c.matcher.tolerances.rounding) * p.jars}
	}
	mine, low, lowMine := 0.0, 0.0, 0.0
	for i := range c.tested.slots {
		slot := &c.tested.slots[i]
		if slot.kind != lowAcidSlot && slot.kind != acidFoodSlot || slot.openEnded {
			continue
		}
		grams := c.matcher.printedGrams(slot, b)
		have := grams * s.of[i].high
		if !slot.perJar() {
			have /= b.scale
		}
		mine += have
		if slot.kind == lowAcidSlot {
			low, lowMine = low+grams, lowMine+have
		}
	}
	if c.inPot() && !math.IsInf(s.acid, 1) {
		return room{food: mine, have: lowMine, limit: low*(1+c.matcher.tolerances.ratio) + c.matcher.tables.Seasoned.Noticed*mine}
	}
	return room{food: mine}
}

// printedGrams is what the tested recipe has of a slot at the scale of the batch, at the high end of printed ranges.
func (m *Matcher) printedGrams(s *slot, b *batch) float64 {
	sum := 0.0
	for i := range s.lines {
		a := s.lines[i]
		_, high, ok := m.scale.Grams(a.item, a.form, a.high, a.unit)
		if !ok {
			_, high, ok = m.scale.Grams(a.item, a.form, a.also, a.alsoUnit)
		}
		if !ok {
			continue
		}
		sum += high * b.printed(&flavor{perJarML: a.perJarML})
		if s.alternatives {
			break
		}
	}
	return sum
}
