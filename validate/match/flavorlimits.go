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

// spices holds a kind of dried spice to its limit; beyond it a gram takes up as much acid as several grams of food.
func (c *comparison) spices(f *flavored, limit catalog.SeasoningLimit, name string, r *room, b *batch) {
	beyond := c.beyond(f, limit.Grams, b)
	if !over(beyond) {
		return
	}
	food := beyond * c.matcher.tables.Seasoned.Factor
	if c.takes(r, food) {
		return
	}
	d := Departure{
		Rule: RuleSeasoning, Verdict: Untested,
		What: fmt.Sprintf("%s: %s of jar, where no tested recipe has more than %s g of %s (%s). Beyond that a spice counts as food, of which it "+
			"takes up acid as %s grams do, and there is no room for that here.", measure.Capital(fewNames(f.lines)), perPint(f.grams, b),
			measure.FormatNumber(limit.Grams), name, c.most(limit),
			measure.FormatNumber(c.matcher.tables.Seasoned.Factor)),
		Remedy: "Use less of it, or season when serving.",
	}
	c.blameFlavor(d, f, beyond, r.crowded(food))
}

// groundSpices holds ground spice and dried leaves to their limit. Where a published change leaves the dried spices free they may be
// as many as whole ones.
func (c *comparison) groundSpices(f *flavored, r *room, b *batch) {
	limits := &c.matcher.tables.Seasoned
	if !c.matcher.tables.Allows(c.tested.recipe, catalog.SaltToTaste) {
		c.spices(f, limits.Ground, "ground spice", r, b)
		return
	}
	if beyond := c.beyond(f, limits.Ground.Grams, b); over(beyond) && f.grams <= limits.Whole.Grams*b.pints {
		c.add(Departure{
			Rule: RuleSeasoning, Verdict: Safe, At: f.lines[0].At, Changes: c.changesOn(catalog.SaltToTaste),
			What: fmt.Sprintf("%s: %s of jar, more than any tested recipe has of ground spice. This one leaves the dried spices free.",
				measure.Capital(fewNames(f.lines)), perPint(f.grams, b)),
		})
		return
	}
	c.spices(f, limits.Whole, "dried spice", r, b)
}

// driedVegetables holds dried vegetables, by what they were fresh, and garlic as a seasoning to the garlic of tested recipes.
func (c *comparison) driedVegetables(f *flavored, r *room, b *batch) {
	limits := &c.matcher.tables.Seasoned
	limit := limits.GarlicInBrine
	if c.inPot() {
		limit = limits.GarlicInPot
	}
	beyond := c.beyond(f, limit.Grams, b)
	if !over(beyond) {
		return
	}
	if beyond <= limits.Noticed*r.food {
		return // no more than a kitchen's measures are off
	}
	d := Departure{
		Rule: RuleLowAcidExtra, Verdict: Unsafe, Changes: c.changesOn(catalog.MoreLowAcidFood, catalog.AnotherLowAcidFood),
		What: fmt.Sprintf("%s: %s of jar, counted fresh. No tested recipe has more than %s g of garlic or dried vegetable as a seasoning (%s). "+
			"Beyond that it is a low-acid food that %s does not have.", measure.Capital(fewNames(f.lines)), perPint(f.grams, b),
			measure.FormatNumber(limit.Grams), c.most(limit), c.title()),
		Remedy: "Use less of it, or put it in when serving.",
	}
	c.blameFlavor(d, f, beyond, true)
}

// freshHerbs holds fresh leaves, heads, roots and peel to the printed ones and to what any tested recipe has of them.
func (c *comparison) freshHerbs(f *flavored, b *batch) {
	limit := c.matcher.tables.Seasoned.FreshHerb
	if c.matcher.tables.Forbids(catalog.MoreFreshHerb, c.tested.recipe) {
		limit.Grams = 0
	}
	beyond := c.beyond(f, limit.Grams, b)
	if !over(beyond) {
		return
	}
	d := Departure{
		Rule: RuleFreshHerb, Verdict: Untested, Changes: c.changesOn(catalog.MoreFreshHerb),
		What: fmt.Sprintf("Fresh herb beyond what %s has: %s, up to %s of jar. No tested recipe has more than %s g a pint, or than it prints itself. "+
			"Fresh leaves and roots are low in acid.", c.title(), fewNames(f.lines), perPint(f.grams, b),
			measure.FormatNumber(c.matcher.tables.Seasoned.FreshHerb.Grams)),
		Remedy: "Use the dried herb, or add the fresh one when serving.",
	}
	c.blameFlavor(d, f, beyond, false)
}

// prepared holds candy, mustard and horseradish to what the tested recipe itself prints; more of them is food.
func (c *comparison) prepared(f *flavored, r *room, b *batch) {
	beyond := c.beyond(f, 0, b)
	if !over(beyond) {
		return
	}
	if c.takes(r, beyond) {
		return
	}
	d := Departure{
		Rule: RuleSeasoning, Verdict: Untested,
		What: fmt.Sprintf("%s: %s of jar more than %s has. It counts as food, and there is no room for more food here.",
			measure.Capital(fewNames(f.lines)), perPint(beyond, b), c.title()),
		Remedy: "Use no more of it than the tested recipe.",
	}
	c.blameFlavor(d, f, beyond, r.crowded(beyond))
}

// saltInBulk holds salt to the most that a tested recipe has in its jars, and to what the nearest one prints.
func (c *comparison) saltInBulk(f *flavored, b *batch) {
	limit := c.matcher.tables.Seasoned.Salt
	if c.tested.fermented {
		limit = c.matcher.tables.Seasoned.SaltInFerment
		if len(c.match.Departs(RulePublishedRatio)) > 0 {
			return // salt goes with the brine, of which there is too much already
		}
	}
	if c.stays > 0 { // what is dissolved in liquid that stays in the pot is in no jar
		poured := *f
		poured.grams *= 1 - c.stays
		f = &poured
	}
	beyond := c.beyond(f, limit.Grams, b)
	if !over(beyond) {
		return
	}
	d := Departure{
		Rule: RuleSeasoning, Verdict: Untested,
		What: fmt.Sprintf("%s: up to %s of jar, where no tested recipe has more than %s g of salt (%s), nor %s so much.", measure.Capital(fewNames(f.lines)),
			perPint(f.grams, b), measure.FormatNumber(limit.Grams), c.most(limit), c.title()),
		Remedy: "Use no more salt than the tested recipe.",
	}
	c.blameFlavor(d, f, beyond, false)
}

// openSweeteners holds a sweetener that the tested recipe prints without a figure to the most that any prints.
func (c *comparison) openSweeteners(b *batch) {
	limit := c.matcher.tables.Seasoned.Sweetener
	for i := range c.cook.Lines {
		line := &c.cook.Lines[i]
		times, counted := b.of(line)
		if line.Flavoring.Kind != catalog.SweetKind || !line.Counts() || !c.printedOpen(line) || counted && line.GramsHigh*times <= limit.Grams*b.pints {
			continue
		}
		c.add(Departure{
			Rule: RuleSeasoning, Verdict: Untested, At: line.At,
			What: fmt.Sprintf("%s: %s of jar. The amount that %s has is not known, and no tested recipe has more than %s g of it (%s).", measure.Capital(line.Name),
				perPint(line.GramsHigh*times, b), c.title(), measure.FormatNumber(limit.Grams), c.most(limit)),
			Remedy: "Sweeten when serving.",
		})
	}
}

// blameFlavor tells a departure at the line that goes furthest beyond, and takes back that it changes the taste alone. The fix cuts each
// line that goes beyond the printed one by as large a share of that.
func (c *comparison) blameFlavor(d Departure, f *flavored, beyond float64, unsafe bool) {
	line := slices.MaxFunc(f.lines, func(a, b *composition.Line) int { return int(math.Copysign(1, a.FreshGrams()-b.FreshGrams())) })
	d.At = line.At
	if c.prints(line) {
		d.At += "/amount"
	}
	if unsafe {
		d.Verdict = Unsafe
		if d.Rule == RuleSeasoning {
			d.Rule, d.Changes = RuleLowAcidExtra, c.changesOn(catalog.MoreLowAcidFood, catalog.AnotherLowAcidFood)
		}
	}
	cut := beyond / (f.grams - f.own)
	for i, line := range f.lines {
		most := roundDown(line.Value * (1 - cut*f.more[i]))
		d.Fix = append(d.Fix, report.Operation{Op: "replace", Path: line.At + "/amount/value", Value: most})
		if len(f.lines) == 1 {
			d.Measured, d.Limit = shown(line, line.Value), shown(line, most)
		}
	}
	c.retract(f.lines)
	c.add(d)
}

// fewNames names lines, the first of them where there are many.
func fewNames(lines []*composition.Line) string {
	const most = 4
	if len(lines) <= most {
		return names(lines)
	}
	return fmt.Sprintf("%s and %d others", names(lines[:most]), len(lines)-most)
}

// over reports whether a weight in grams is one: below a hundredth of a gram two sums differ by how they were added up.
func over(grams float64) bool {
	const hair = 0.01
	return grams > hair
}

func perPint(grams float64, b *batch) string {
	if b.pints <= 0 {
		return measure.FormatNumber(round(grams, 1)) + " g"
	}
	return measure.FormatNumber(round(grams/b.pints, 1)) + " g a pint"
}

// prints reports whether the tested recipe prints the item of a line.
func (c *comparison) prints(line *composition.Line) bool {
	return slices.ContainsFunc(c.tested.flavors, func(f flavor) bool { return f.line.Item == line.Item })
}

// most names the tested recipe that holds the most of a kind.
func (c *comparison) most(limit catalog.SeasoningLimit) string {
	if recipe, ok := c.matcher.tables.Recipe(limit.Recipe); ok {
		return "“" + recipe.Title + "”"
	}
	return "“" + limit.Recipe + "”"
}
