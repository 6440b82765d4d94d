package match

import (
	"fmt"
	"math"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// food compares the foods with one another and returns the scale of acid that they need.
func (c *comparison) food(s *scales, tolerance float64) (needed float64) {
	high := make([]float64, len(s.of))
	most := 0.0
	for i := range c.tested.slots {
		high[i] = s.of[i].high
		if c.tested.slots[i].kind == lowAcidSlot && !c.tested.slots[i].perJar() {
			most = math.Max(most, high[i])
		}
	}
	fruit := s.fruit
	if most <= fruit*c.matcher.tolerances.shortFruit && most <= s.acid*tolerance && !c.tested.acidInJar {
		// The acid is enough for the low-acid food, so acid food that is short is what was cut.
		c.tooLittleFruit(s, most)
		fruit = most
	}
	var over []int
	for i := range c.tested.slots {
		if !c.leansOnAcid(s, i, fruit, high, tolerance) {
			continue
		}
		if high[i] > s.acid*tolerance {
			over = append(over, i)
		}
		if i == c.tested.mainSlot {
			needed = high[i]
		}
	}
	if needed > s.acid*tolerance {
		for _, i := range over {
			needed = math.Max(needed, high[i])
		}
		return needed
	}
	for _, i := range over {
		c.tooMuch(i, s.of[i].high, s.acid, "for its acid")
	}
	return needed
}

// leansOnAcid reports whether a slot is food that the acid of the batch has to match. What is measured for each jar is held
// to its printed amount instead, and low-acid food first to the acid food beside it.
func (c *comparison) leansOnAcid(s *scales, i int, fruit float64, high []float64, tolerance float64) bool {
	slot := &c.tested.slots[i]
	switch {
	case slot.kind == acidFoodSlot:
		return !slot.openEnded
	case slot.kind != lowAcidSlot:
		return false
	case slot.perJar():
		if high[i] > tolerance {
			c.tooMuch(i, high[i], 1, "in each jar")
		}
		return false
	case high[i] > fruit*tolerance:
		if short := c.shortestFruit(s); fruit == 0 {
			c.withoutFruit(i, short)
		} else {
			c.tooMuch(i, high[i], math.Min(fruit, math.Max(s.acid, 1)), "beside the "+short.name)
		}
		high[i] = fruit
	}
	return true
}

// shortestFruit is the acid food that is shortest; nil where the tested recipe has none.
func (c *comparison) shortestFruit(s *scales) *slot {
	var shortest *slot
	least := math.Inf(1)
	for i := range c.tested.slots {
		if slot := &c.tested.slots[i]; slot.kind == acidFoodSlot && !slot.optional && !slot.openEnded && s.of[i].low < least {
			shortest, least = slot, s.of[i].low
		}
	}
	return shortest
}

// withoutFruit reports low-acid food from which the acid food that the tested recipe has beside it is missing.
func (c *comparison) withoutFruit(i int, missing *slot) {
	lines := c.filled[i]
	c.add(Departure{
		Rule: RulePublishedRatio, Verdict: Unsafe, At: lines[0].At + "/amount", Changes: c.changesOn(catalog.FewerTomatoes, catalog.OtherProportions),
		What: fmt.Sprintf("There is no %s beside the %s: %s has it, and the low-acid food leans on its acid.",
			missing.name, names(lines), c.title()),
		Remedy: "Add " + printedAmount(missing) + ", in the tested proportion.",
	})
}

// tooLittleFruit reports each acid food that is short of the scale. None is missing: the scale is zero where one is.
func (c *comparison) tooLittleFruit(s *scales, scale float64) {
	for i := range c.tested.slots {
		slot := &c.tested.slots[i]
		short := s.of[i].low
		if slot.kind != acidFoodSlot || slot.optional || slot.openEnded || scale <= short*(1+c.matcher.tolerances.ratio) {
			continue
		}
		lines := c.filled[i]
		d := Departure{
			Rule: RulePublishedRatio, Verdict: Unsafe, At: lines[0].At + "/amount", Changes: c.changesOn(catalog.FewerTomatoes, catalog.OtherProportions),
			What:   fmt.Sprintf("There is less %s beside the low-acid food than in %s. It is an acid food of the recipe.", slot.name, c.title()),
			Remedy: "Use the tested proportion: more " + slot.name + ", or less of the low-acid food.",
		}
		if len(lines) == 1 {
			line := lines[0]
			limit := roundUp(line.Value * scale / short)
			d.Measured, d.Limit = shown(line, line.Value), shown(line, limit)
			d.Fix = []report.Operation{{Op: "replace", Path: line.At + "/amount/value", Value: limit}}
		}
		c.add(d)
	}
}

// tooMuch reports a slot that holds more than the allowed scale.
func (c *comparison) tooMuch(i int, have, allowed float64, beside string) {
	slot := &c.tested.slots[i]
	lines := c.filled[i]
	factor := allowed / have
	d := Departure{
		Rule: RulePublishedRatio, Verdict: Unsafe, At: lines[0].At + "/amount", Changes: c.changesOn(catalog.OtherProportions, catalog.MoreLowAcidFood),
		What: fmt.Sprintf("There is more %s %s than in %s: %s %% of the tested amount.", names(lines), beside, c.title(),
			measure.FormatNumber(round(100/factor, 0))),
		Remedy: "Use less of it, in the tested proportion.",
	}
	if slices.ContainsFunc(lines, func(l *composition.Line) bool { return c.matcher.oversize(slot, l) > 1 }) {
		d.What += " The pieces are larger than those that it counts, and so weigh more."
	}
	if item := lines[0].Item; slot.kind == lowAcidSlot && item != nil && c.matcher.tables.IsTarget(catalog.MoreOnionsOrPeppers, item) {
		d.Changes = append(d.Changes, c.changesOn(catalog.MoreOnionsOrPeppers)...)
	}
	for _, line := range lines {
		limit := roundDown(line.Value * factor)
		if len(lines) == 1 {
			d.Measured, d.Limit = shown(line, line.Value), shown(line, limit)
			d.Remedy = fmt.Sprintf("Use at most %s.", measure.FormatAmount(limit, line.Unit.Code))
		}
		d.Fix = append(d.Fix, report.Operation{Op: "replace", Path: line.At + "/amount/value", Value: limit})
	}
	if slices.ContainsFunc(lines, func(l *composition.Line) bool { return l.Unit.Dimension == measure.DimensionCount }) {
		d.Fix = nil // 1.7 peppers is no advice
	}
	c.add(d)
}

// tooLittleAcid reports that the acid is short for the food, at each acid line.
func (c *comparison) tooLittleAcid(s *scales, needed float64) {
	for i := range c.tested.slots {
		slot := &c.tested.slots[i]
		if slot.kind == acidSlot && c.printed != nil {
			continue // the jar has its liquid compared
		}
		if (slot.kind != acidSlot && slot.kind != soakAcidSlot) || slot.optional || len(c.filled[i]) == 0 || s.of[i].low >= needed/(1+c.matcher.tolerances.ratio) {
			continue
		}
		lines := c.filled[i]
		factor := needed / s.of[i].low
		d := Departure{
			Rule: RulePublishedRatio, Verdict: Unsafe, At: lines[0].At + "/amount", Changes: c.changesOn(catalog.OtherProportions, catalog.LessAcid, catalog.MoreWater),
			What: fmt.Sprintf("%s: %s %% of what %s has for this much food.", names(lines), measure.FormatNumber(round(100/factor, 0)), c.title()),
		}
		for _, line := range lines {
			limit := roundUp(line.Value * factor)
			d.Fix = append(d.Fix, report.Operation{Op: "replace", Path: line.At + "/amount/value", Value: limit})
			if len(lines) == 1 {
				d.Measured, d.Limit = shown(line, line.Value), shown(line, limit)
				d.What = fmt.Sprintf("%s %s is too little for this much food; in the proportion of %s it would be %s.",
					measure.FormatAmount(line.Value, line.Unit.Code), line.Name, c.title(), measure.FormatAmount(limit, line.Unit.Code))
			}
		}
		d.Remedy = "Use at least that much acid, or less of the food. To soften the taste add sugar, never less acid."
		c.add(d)
	}
}

// lessThanExact reports low-acid food that is less than printed where the page says that its amounts are not to be changed.
func (c *comparison) lessThanExact(s *scales, tolerance float64) {
	scale := math.Min(s.acid, s.fruit)
	for i := range c.tested.slots {
		slot := &c.tested.slots[i]
		if !slot.exact || len(c.filled[i]) == 0 || math.IsInf(scale, 1) || s.of[i].high*tolerance >= scale {
			continue
		}
		lines := c.filled[i]
		d := Departure{
			Rule: RulePublishedRatio, Verdict: Untested, At: lines[0].At + "/amount", Changes: slot.changes,
			What:   fmt.Sprintf("There is less %s than in %s, whose page says that its amounts are not to be changed.", names(lines), c.title()),
			Remedy: "Use the printed amount: " + printedAmount(slot) + ".",
		}
		if line := lines[0]; len(lines) == 1 {
			limit := roundDown(line.Value * scale / s.of[i].high)
			d.Measured, d.Limit = shown(line, line.Value), shown(line, limit)
		}
		c.add(d)
	}
}

// diluters compares water, fat and thickener with the acid.
func (c *comparison) diluters(s *scales, acid, tolerance float64) {
	for i := range c.tested.slots {
		slot := &c.tested.slots[i]
		if len(c.filled[i]) == 0 || slot.openEnded || c.printed != nil && slot.isLiquid() {
			continue
		}
		limit := acid
		if math.IsInf(limit, 1) {
			limit = 1 // measured for each jar, or in proportion to the food that is fermented
			if c.tested.mainSlot >= 0 && !slot.perJar() {
				limit = s.of[c.tested.mainSlot].low
			}
		}
		if s.of[i].high <= limit*tolerance {
			continue
		}
		lines := c.filled[i]
		factor := limit / s.of[i].high
		d := Departure{Verdict: Unsafe, At: lines[0].At + "/amount"}
		switch slot.kind {
		case waterSlot:
			d.Rule, d.Changes = RulePublishedRatio, c.changesOn(catalog.OtherProportions, catalog.MoreWater)
			d.What = fmt.Sprintf("There is more water to the acid than in %s: a weaker brine.", c.title())
			d.Remedy = "Use less water, or more acid in the same proportion."
		case fatSlot:
			d.Rule, d.Verdict, d.Changes = RuleFat, Untested, c.changesOn(catalog.MoreFat)
			d.What = fmt.Sprintf("There is more %s than in %s. Fat coats food so that acid and heat reach it more slowly.", names(lines), c.title())
			d.Remedy = "Measure the fat as the tested recipe does."
		case thickenerSlot:
			d.Rule, d.Changes = RuleThickener, c.changesOn(catalog.AnyThickener, catalog.PrintedFlour, catalog.PrintedCornstarch)
			d.What = fmt.Sprintf("There is more %s than in %s; the process was tested with that amount only.", names(lines), c.title())
			d.Remedy = "Use no more thickener than the tested recipe."
		default:
			continue
		}
		for _, line := range lines {
			most := roundDown(line.Value * factor)
			d.Fix = append(d.Fix, report.Operation{Op: "replace", Path: line.At + "/amount/value", Value: most})
			if len(lines) == 1 {
				d.Measured, d.Limit = shown(line, line.Value), shown(line, most)
				d.Remedy += fmt.Sprintf(" At most %s.", measure.FormatAmount(most, line.Unit.Code))
			}
		}
		c.add(d)
	}
}
