package match

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/measure"
	"jarwright/validate/packing"
	"jarwright/validate/report"
)

// foodInJar compares the food of a jar with what the printed jar holds when the fewest are filled, all foods together and each low-acid
// food in its share.
func (c *comparison) foodInJar(p *pieces) {
	if !p.sized || p.foodG <= 0 {
		return
	}
	have := p.foodG / p.jars
	limit := p.print.MostFoodG(p.printedG, p.jar, c.matcher.tolerances.rounding)
	if p.said && !p.print.Holds(have, p.printedG, p.jar, c.matcher.tolerances.rounding, c.matcher.tolerances.ratio) {
		c.tooFull(p, have, limit)
		return // shares of a jar that is too full are its consequence
	}
	c.shares(p)
	c.counts(p)
}

func (c *comparison) tooFull(p *pieces, have, limit float64) {
	d := Departure{
		Rule: RuleFoodPerJar, Verdict: Untested, At: "/recipe/jars", Changes: c.changesOn(catalog.OtherProportions, catalog.MoreLowAcidFood),
		What: fmt.Sprintf("There is more food in a jar than in %s: %.0f g here, at most %.0f g there. What packs tighter leaves room for less of the liquid.",
			c.title(), have, limit),
		Measured: &report.Amount{Value: math.Round(have), Unit: "g"}, Limit: &report.Amount{Value: math.Round(limit), Unit: "g"},
	}
	if have > limit*packing.OverFull {
		d.Verdict = Unsafe
	}
	if prepared := c.preparedNames(); prepared != "" {
		d.What = fmt.Sprintf("The %s were weighed when they were prepared; %s weighs them as bought, which leaves less. That makes %.0f g of food as bought "+
			"in a jar, where "+
			"%s has at most %.0f g.", prepared, c.title(), have, c.title(), limit)
	}
	for i := range c.filled {
		d.What += c.largerCounted(i)
	}
	jars := math.Ceil(p.foodG/limit - 1e-6)
	d.Remedy = fmt.Sprintf("Fill %s jars, or use less of the food.", measure.FormatNumber(jars))
	if c.moreJars(p, jars) {
		d.Fix = []report.Operation{{Op: "replace", Path: "/recipe/jars", Value: jars}}
	} else {
		d.Fix = c.lessFood(p, limit/have)
		d.Remedy = "Use less of the food, in the tested proportions."
	}
	if perJar := c.perJarLine(p); perJar != nil {
		d.At = amountAt(perJar)
		if len(d.Fix) == 1 {
			d.Measured, d.Limit = shown(perJar, perJar.Value), shown(perJar, roundDown(perJar.Value*limit/have))
		}
	}
	c.add(d)
}

// largerCounted says that the pieces of a slot are larger than those that the recipe counts; empty when they are not.
func (c *comparison) largerCounted(i int) string {
	slot := &c.tested.slots[i]
	if slices.ContainsFunc(c.filled[i], func(l *composition.Line) bool { return c.matcher.oversize(slot, l) > 1 }) {
		return " The pieces of " + names(c.filled[i]) + " are larger than those that it counts, and so weigh more."
	}
	return ""
}

// moreJars reports whether the same batch fills so many jars: no food of it is measured into each jar, and there is liquid enough.
func (c *comparison) moreJars(p *pieces, jars float64) bool {
	for i := range p.food {
		if p.food[i] > 0 && slices.ContainsFunc(c.filled[i], func(l *composition.Line) bool { return l.PerJar }) {
			return false
		}
	}
	need := p.print.NeedML(p.foodG/jars, p.printedG, p.jar)
	return p.covers || p.liquid.VolumeML()/jars >= need.High*(1-c.matcher.tolerances.ratio)
}

// perJarLine is the food that is measured into each jar, where the main food is.
func (c *comparison) perJarLine(p *pieces) *composition.Line {
	if main := c.tested.mainSlot; main >= 0 && p.food[main] > 0 && c.filled[main][0].PerJar {
		return c.filled[main][0]
	}
	return nil
}

// lessFood cuts every food that is not counted.
func (c *comparison) lessFood(p *pieces, factor float64) []report.Operation {
	var fix []report.Operation
	for i := range p.food {
		if p.food[i] == 0 {
			continue
		}
		for _, line := range c.filled[i] {
			if line.Unit.Dimension == measure.DimensionCount {
				return nil // 1.7 peppers is no advice
			}
			fix = append(fix, report.Operation{Op: "replace", Path: line.At + "/amount/value", Value: roundDown(line.Value * factor)})
		}
	}
	return fix
}

// shares holds each low-acid food to its printed share of the food, where there is also more of it in a jar than printed: the same
// weight of another food may take up more acid.
func (c *comparison) shares(p *pieces) {
	for i := range c.tested.slots {
		slot, grams := &c.tested.slots[i], p.print.grams[i]
		if slot.kind != lowAcidSlot || p.food[i] == 0 || p.printedG == grams {
			continue
		}
		tolerance := 1 + c.matcher.tolerances.ratio
		limit := p.print.MostFoodG(grams, p.jar, c.matcher.tolerances.rounding)
		if p.food[i]/p.foodG <= grams/p.printedG*tolerance || p.food[i]/p.jars <= limit*tolerance {
			continue
		}
		lines := c.filled[i]
		d := Departure{
			Rule: RuleFoodPerJar, Verdict: Untested, At: amountAt(lines[0]), Changes: c.changesOn(catalog.OtherProportions, catalog.MoreLowAcidFood),
			What: fmt.Sprintf("There is more %s in a jar than in %s, %.0f g where it has at most %.0f g. Foods take up acid differently, so that one does not "+
				"stand in for another.",
				names(lines), c.title(), p.food[i]/p.jars, limit),
			Remedy:   "Keep the foods in the tested proportions.",
			Measured: &report.Amount{Value: math.Round(p.food[i] / p.jars), Unit: "g"}, Limit: &report.Amount{Value: math.Round(limit), Unit: "g"},
		}
		d.What += c.largerCounted(i)
		factor := limit * p.jars / p.food[i]
		for _, line := range lines {
			if line.Unit.Dimension == measure.DimensionCount {
				d.Fix = nil
				break
			}
			most := roundDown(line.Value * factor)
			d.Fix = append(d.Fix, report.Operation{Op: "replace", Path: line.At + "/amount/value", Value: most})
			if len(lines) == 1 {
				d.Measured, d.Limit = shown(line, line.Value), shown(line, most)
			}
		}
		c.add(d)
	}
}

// counts speaks of counted pieces whose number in a jar is over the printed one by more than a trifle.
func (c *comparison) counts(p *pieces) {
	for i := range c.tested.slots {
		if !p.print.counted[i] || len(c.filled[i]) == 0 {
			continue
		}
		over := c.overCount(p, &scales{of: c.match.ratios}, i)
		if over <= packing.CountedFree*p.foodG/p.jars {
			continue
		}
		lines := c.filled[i]
		c.add(Departure{
			Rule: RuleFoodPerJar, Verdict: Untested, At: amountAt(lines[0]), Changes: c.changesOn(catalog.OtherProportions, catalog.MoreLowAcidFood),
			What:   fmt.Sprintf("There is more %s in a jar than in %s, which counts %s.", names(lines), c.title(), printedAmount(&c.tested.slots[i])),
			Remedy: "Use the printed number for each jar.",
		})
	}
}

// liquidInJar compares the liquid made for a jar with what the jar takes.
func (c *comparison) liquidInJar(p *pieces) {
	if !p.sized || p.covers || p.foodG <= 0 {
		return
	}
	tolerance := 1 - c.matcher.tolerances.ratio
	jars := c.fullJars(p)
	have := p.liquid.VolumeML() / jars
	need := p.print.NeedML(p.foodG/jars, p.printedG, p.jar)
	switch {
	case have >= need.High*tolerance:
		c.lessLiquid(p)
		return
	case have >= need.Low*tolerance, c.sourEnough(p, jars):
		c.match.Jar.Spare = true
		return
	case have >= need.Least*tolerance:
		c.add(Departure{
			Rule: RuleLiquidForFood, Verdict: Untested, At: "/recipe/ingredients", Changes: c.changesOn(catalog.OtherProportions),
			What:   fmt.Sprintf("A jar gets %.0f mL of liquid; one of %s that is packed as closely gets %.0f mL.", have, c.title(), need.Low),
			Remedy: "Make as much liquid for the food as the tested recipe prints, in the same proportions.",
			Fix:    c.moreLiquid(p),
		})
		return
	}
	at := "/recipe/ingredients"
	if p.said {
		at = "/recipe/jars"
	}
	times := need.High / have
	c.add(Departure{
		Rule: RuleBrineEnough, Verdict: Unsafe, At: at, Changes: c.changesOn(catalog.OtherProportions, catalog.MoreWater),
		What: fmt.Sprintf("The recipe makes %.0f mL of liquid for each of %s jars, which take about %.0f mL: a jar that is not full has too little acid for "+
			"its food, "+
			"and one filled up with water still less.", have, measure.FormatNumber(round(jars, 1)), need.High),
		Remedy: fmt.Sprintf("Make %s times as much of the same liquid, in the same proportions; never stretch it with "+
			"water.", measure.FormatNumber(roundUp(times))),
		Measured: &report.Amount{Value: report.Rounded(p.liquid.VolumeML()), Unit: "mL"},
		Limit:    &report.Amount{Value: report.Rounded(need.High * jars), Unit: "mL"},
		Fix:      c.moreLiquid(p),
	})
}

// fullJars is how many jars are full: the printed yield at this size of batch and jar may end in a part of one, and jars are counted
// whole.
func (c *comparison) fullJars(p *pieces) float64 {
	batches, each := c.batches(p)*c.mainRange(), p.print.Most*p.print.Jar.CapacityML/p.jar.CapacityML
	printed := batches * each
	most := batches * math.Ceil(each-1e-9)
	const part = 1.35 // of a very small batch a whole jar more is another number of jars
	if whole := math.Ceil(printed - 1e-9); whole <= printed*part {
		most = math.Max(most, whole)
	}
	if p.jars > printed && p.jars <= most*(1+1e-9) {
		return printed
	}
	return p.jars
}

// mainRange is how many times its least the most of the main food is that is printed: 10 to 11 lb are one batch.
func (c *comparison) mainRange() float64 {
	low, high := 0.0, 0.0
	if c.tested.mainSlot >= 0 {
		for i := range c.tested.slots[c.tested.mainSlot].lines {
			line := &c.tested.slots[c.tested.mainSlot].lines[i]
			low, high = low+line.low, high+line.high
		}
	}
	if low <= 0 {
		return 1
	}
	return high / low
}

// sourEnough reports whether a jar that is short of liquid has its acid all the same, because only sugar was left out.
func (c *comparison) sourEnough(p *pieces, jars float64) bool {
	made := p.liquid.Times(1 / jars)
	return p.print.SourEnough(&made, p.foodG/jars, p.printedG, p.jar, c.matcher.tolerances.ratio)
}

// lessLiquid records that less liquid than printed is made, and yet enough.
func (c *comparison) lessLiquid(p *pieces) {
	if p.liquid.Acids()*p.printedG >= p.print.Liquid.Acids()*p.foodG*(1-c.matcher.tolerances.ratio) {
		return
	}
	c.add(Departure{
		Rule: RulePublishedRatio, Verdict: Safe, At: "/recipe/ingredients",
		What: "There is less liquid for the food than in the tested recipe; it is as strong, and enough to fill the jars.",
	})
}

// prepared are the words for food that was weighed after something was taken away.
var prepared = []string{"cooked", "boiled", "peeled", "skinned", "drained", "net"}

// takingAway are what is done to food that takes something away.
var takingAway = []string{"salting", "draining", "peeling", "cooking", "trimming", "boiling", "coring", "shelling"}

// isPrepared reports whether the amount of a slot is of food that was weighed prepared where the recipe weighs it as bought.
func (c *comparison) isPrepared(i int) bool {
	slot := &c.tested.slots[i]
	for _, line := range c.filled[i] {
		want := c.printedFor(slot, line)
		switch {
		case line.Unit.Dimension == measure.DimensionVolume && want.unit.Dimension == measure.DimensionMass && want.alsoUnit.Dimension != measure.DimensionVolume:
			return true
		case line.Unit.Dimension != measure.DimensionMass || want.unit.Dimension != measure.DimensionMass:
		case weighedPrepared(line.Written.Form) && !strings.Contains(want.formText, "weighed"):
			return true
		case line.Form.Has(prepared...) && !want.form.Has(prepared...):
			return true
		}
	}
	return false
}

// weighedPrepared reports whether a text says that a food was weighed after it was prepared: "weighed cooked", "after salting", "net".
func weighedPrepared(text string) bool {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r < 'a' || r > 'z' })
	weighed := false
	for k, word := range words {
		switch word {
		case "weighed", "weight":
			weighed = true
		case "net":
			return true
		case "cooked", "peeled", "skinned", "trimmed", "drained", "cored", "seeded", "salted", "shelled", "prepared", "blanched":
			if weighed {
				return true
			}
		case "after":
			if k+1 < len(words) && slices.Contains(takingAway, words[k+1]) {
				return true
			}
		}
	}
	return false
}

// preparedNames names the foods that were weighed prepared; empty when none was.
func (c *comparison) preparedNames() string {
	var lines []*composition.Line
	for i := range c.filled {
		if c.printed.grams[i] > 0 && !c.printed.counted[i] && len(c.filled[i]) > 0 && c.isPrepared(i) {
			lines = append(lines, c.filled[i]...)
		}
	}
	return names(lines)
}
