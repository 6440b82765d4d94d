package match

import (
	"fmt"
	"math"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// isLiquid reports whether the slot is of liquid that ends up in the jar.
func (s *slot) isLiquid() bool { return s.kind == acidSlot || s.kind == waterSlot || s.kind == fatSlot }

// scales are the cook's amounts as multiples of the printed ones. A batch of another size has the same multiple everywhere.
type scales struct {
	of    []ratio // by slot
	acid  float64 // the least acid slot; +Inf where the tested recipe adds no acid
	fruit float64 // the least acid-food slot, whose acid the low-acid food leans on; +Inf where there is none
}

// amounts compares proportions. A recipe is as safe as the tested one when, at the scale of its acid, no low-acid food,
// no acid food, no water, fat or thickener is more than printed, and when the low-acid food is no more than printed at the
// scale of its acid food. Whole batches may be any size.
func (c *comparison) amounts() {
	s, ok := c.measureSlots()
	c.match.ratios = s.of
	if !ok && c.printed == nil {
		return
	}
	tolerance := 1 + c.matcher.tolerances.ratio
	if c.missingAcid() {
		return
	}
	if c.printed != nil {
		c.piecesAmounts(&s, ok)
		return
	}
	if c.tested.acidInJar {
		c.acidPerJar(&s, tolerance)
		s.acid = math.Inf(1) // the jar, not the batch, holds the acid to the food
	}
	needed := c.food(&s, tolerance)
	c.lessThanExact(&s, tolerance)
	if !math.IsInf(s.acid, 1) { // else no acid is measured for the batch
		c.tooLittleAcid(&s, needed)
	}
	c.diluters(&s, math.Max(s.acid, needed), tolerance)
	c.flavors(&s, needed, nil)
	c.recordSafe(&s)
	if needed > 0 && !math.IsInf(s.acid, 1) {
		c.match.Acid = Proportion{Acid: s.acid, Food: needed}
	}
	c.allowances(&s, needed)
}

// measureSlots takes the ratio of every slot; it reports false when one could not be taken, and says so.
func (c *comparison) measureSlots() (scales, bool) {
	s := scales{of: make([]ratio, len(c.tested.slots)), acid: math.Inf(1), fruit: math.Inf(1)}
	known := true
	for i := range c.tested.slots {
		slot := &c.tested.slots[i]
		if slot.kind == saltSlot || slot.kind == herbSlot {
			continue // each has a comparison of its own
		}
		if slot.openEnded {
			c.openEnded(slot, c.filled[i])
			continue
		}
		r := c.matcher.ratio(slot, c.filled[i], c.cook)
		if r.unknown != "" && c.printed != nil && slot.isLiquid() {
			continue // the liquid is compared as a whole
		}
		if r.unknown != "" {
			c.add(Departure{
				Rule: RulePublishedRatio, Verdict: Undetermined, At: r.at,
				What:   "The proportions cannot be compared with " + c.title() + ": " + r.unknown + ".",
				Remedy: "Give the amount as a weight or a volume; if it is for each jar, give the jar and how many jars.",
			})
			known = false
			continue
		}
		s.of[i] = r
		switch {
		case slot.kind == acidSlot || slot.kind == soakAcidSlot:
			if !slot.optional && !slot.perJar() {
				s.acid = math.Min(s.acid, r.low)
			}
		case slot.kind == acidFoodSlot && !slot.optional && !slot.openEnded:
			s.fruit = math.Min(s.fruit, r.low)
		}
	}
	return s, known
}

// openEnded deals with lines printed without a figure. What covers the food must be there; of water nobody can tell whether an
// amount that is given is too much, but for the brine that tops up a ferment.
func (c *comparison) openEnded(slot *slot, lines []*composition.Line) {
	switch {
	case len(lines) == 0 && slot.covers() && !slot.optional:
		c.missingLiquid(slot)
	case slot.kind != waterSlot || c.tested.acidInJar:
	case c.tested.fermented:
		c.toppedUp(lines)
	default:
		c.noFigure(lines)
	}
}

// noFigure asks of water that is printed without a figure, and given with one, whether it is too much.
func (c *comparison) noFigure(lines []*composition.Line) {
	for _, line := range lines {
		if line.State == composition.Given && c.printed != nil {
			continue // it is part of the liquid, whose strength is compared
		}
		if line.State == composition.Given || line.State == composition.Missing {
			at := line.At
			if line.State == composition.Given {
				at += "/amount"
			}
			c.add(Departure{
				Rule: RulePublishedRatio, Verdict: Undetermined, At: at, Changes: c.changesOn(catalog.MoreWaterThanCovers),
				What:   c.title() + " allows only as much water as just covers the pieces; whether the amount here is more than that cannot be told.",
				Remedy: "Write as_needed for the water and add no more than covers the pieces.",
				Fix:    []report.Operation{{Op: "add", Path: line.At + "/amount", Value: map[string]any{"unit": "as_needed"}}},
			})
		}
	}
}

func (c *comparison) missingAcid() bool {
	missing := false
	for i := range c.tested.slots {
		slot := &c.tested.slots[i]
		if (slot.kind != acidSlot && slot.kind != soakAcidSlot) || slot.optional || len(c.filled[i]) > 0 {
			continue
		}
		missing = true
		what := fmt.Sprintf("%s has %s in the jar; this recipe has none.", c.title(), slotNames(slot))
		if slot.kind == soakAcidSlot {
			what = fmt.Sprintf("In %s the food is first cooked in %s that is poured away; this recipe has no such drained line.", c.title(), slotNames(slot))
		}
		changes := c.changesOn(catalog.LessAcid)
		if c.tested.acidInJar {
			changes = append(changes, c.changesOn(catalog.NoAcid)...)
		}
		for _, line := range c.extra {
			if line.Class == catalog.Acid {
				changes = append(changes, c.matcher.tables.Refused(c.tested.recipe, line.Item)...)
			}
		}
		c.add(Departure{
			Rule: RulePublishedRatio, Verdict: Unsafe, At: "/recipe/ingredients", Changes: changes,
			What: what, Remedy: "Add " + printedAmount(slot) + ".",
		})
	}
	return missing
}

// acidPerJar checks recipes whose acid is measured into each jar.
func (c *comparison) acidPerJar(s *scales, tolerance float64) {
	for i := range c.tested.slots {
		slot := &c.tested.slots[i]
		if slot.kind != acidSlot || slot.optional || len(c.filled[i]) == 0 || s.of[i].low*tolerance >= 1 {
			continue
		}
		line := c.filled[i][0]
		limit := roundUp(line.Value / s.of[i].low)
		c.add(Departure{
			Rule: RulePublishedRatio, Verdict: Unsafe, At: line.At + "/amount", Changes: c.changesOn(catalog.LessAcid),
			Measured: shown(line, line.Value), Limit: shown(line, limit),
			What: fmt.Sprintf("%s %s is too little acid for the jar; %s has %s.", measure.FormatAmount(line.Value, line.Unit.Code), line.Name,
				c.title(), printedAmount(slot)),
			Remedy: fmt.Sprintf("Use at least %s.", measure.FormatAmount(limit, line.Unit.Code)),
			Fix:    []report.Operation{{Op: "replace", Path: line.At + "/amount/value", Value: limit}},
		})
	}
}
