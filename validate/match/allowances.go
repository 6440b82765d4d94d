package match

import (
	"math"
)

// allowances works out how far each amount may be moved by itself.
func (c *comparison) allowances(s *scales, needed float64) {
	needed = c.greatest(s, needed)
	for i := range c.tested.slots {
		slot := &c.tested.slots[i]
		r := s.of[i]
		perJar := slot.perJar()
		switch {
		case r.high == 0 || math.IsInf(r.high, 1):
		case slot.kind == acidSlot && perJar:
			c.allow(i, "acid", 1/r.low, math.Inf(1))
		case slot.kind == acidSlot:
			c.allow(i, "acid", needed/r.low, math.Inf(1))
		case slot.kind == waterSlot && !slot.openEnded:
			limit := s.acid
			if perJar || math.IsInf(limit, 1) {
				limit = 1
			}
			c.allow(i, "water", 0, limit/r.high)
		case slot.kind == lowAcidSlot && perJar:
			c.allow(i, "low_acid_food", 0, 1/r.high)
		case slot.kind == lowAcidSlot:
			limit := math.Min(s.acid, s.fruit)
			if i == c.tested.mainSlot {
				limit = math.Min(limit, c.seasonedFor())
			}
			if !math.IsInf(limit, 1) {
				least := 0.0
				if slot.exact {
					least = limit / r.high
				}
				c.allow(i, "low_acid_food", least, limit/r.high)
			}
		}
	}
}

// greatest is the greatest scale of what the acid of the batch has to match: the food that needs it, water, fat and thickener.
func (c *comparison) greatest(s *scales, needed float64) float64 {
	for i := range c.tested.slots {
		slot := &c.tested.slots[i]
		switch slot.kind {
		case acidSlot, soakAcidSlot, saltSlot:
			continue
		}
		if !slot.openEnded && !slot.perJar() {
			needed = math.Max(needed, s.of[i].high)
		}
	}
	return needed
}

// allow records how far the only line of a slot may be moved, as multiples of its amount; an endless most is no limit.
func (c *comparison) allow(i int, variable string, least, most float64) {
	lines := c.filled[i]
	if len(lines) != 1 {
		return
	}
	line := lines[0]
	allowance := Allowance{
		Variable: variable, At: line.At + "/amount/value", Name: line.Name, Unit: line.Unit.Code,
		Now: line.Value, Low: roundUp(line.Value * least),
	}
	if !math.IsInf(most, 1) {
		allowance.High = new(roundDown(line.Value * most))
	}
	c.match.Allowances = append(c.match.Allowances, allowance)
}
