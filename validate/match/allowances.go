package match

import (
	"math"

	"jarwright/validate/composition"
)

// allowances works out how far each amount may be moved by itself.
func (c *comparison) allowances(s *scales, needed float64) {
	add := func(i int, variable string, least, most float64) {
		lines := c.filled[i]
		if len(lines) != 1 || lines[0].State != composition.Given || lines[0].Value == 0 {
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
	for i := range c.tested.slots {
		// The acid has to match whatever is greatest in scale.
		if slot := &c.tested.slots[i]; slot.kind != acidSlot && slot.kind != soakAcidSlot && slot.kind != saltSlot && !slot.openEnded && !slot.perJar() {
			needed = math.Max(needed, s.of[i].high)
		}
	}
	for i := range c.tested.slots {
		slot := &c.tested.slots[i]
		r := s.of[i]
		perJar := slot.perJar()
		switch {
		case r.high == 0 || math.IsInf(r.high, 1):
		case slot.kind == acidSlot && perJar:
			add(i, "acid", 1/r.low, math.Inf(1))
		case slot.kind == acidSlot:
			add(i, "acid", needed/r.low, math.Inf(1))
		case slot.kind == waterSlot && !slot.openEnded:
			limit := s.acid
			if perJar || math.IsInf(limit, 1) {
				limit = 1
			}
			add(i, "water", 0, limit/r.high)
		case slot.kind == lowAcidSlot && perJar:
			add(i, "low_acid_food", 0, 1/r.high)
		case slot.kind == lowAcidSlot:
			if limit := math.Min(s.acid, s.fruit); !math.IsInf(limit, 1) {
				add(i, "low_acid_food", 0, limit/r.high)
			}
		}
	}
}
