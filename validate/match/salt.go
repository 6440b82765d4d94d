package match

import (
	"fmt"
	"math"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// salt compares the salt of a ferment, which its safety rests on, by weight for the vegetables and for the brine. In fresh
// packs salt is taste only, so less of it is a safe change.
func (c *comparison) salt() {
	for i := range c.tested.slots {
		slot := &c.tested.slots[i]
		if slot.kind == saltSlot && c.tested.fermented {
			c.fermentSalt(i, slot)
		}
	}
}

func (c *comparison) fermentSalt(i int, slot *slot) {
	lines := c.filled[i]
	if len(lines) == 0 {
		c.add(Departure{
			Rule: RuleSaltInFerment, Verdict: Unsafe, At: "/recipe/ingredients", Changes: c.changesOn(catalog.LessSaltInFerment),
			What: c.title() + " is fermented in salt; this recipe has none.", Remedy: "Add " + printedAmount(slot) + " in proportion.",
		})
		return
	}
	line := lines[0]
	scale := 0.0
	for j := range c.tested.slots {
		other := &c.tested.slots[j]
		if other.kind != lowAcidSlot && other.kind != waterSlot || other.optional || other.openEnded || len(c.filled[j]) == 0 {
			continue
		}
		r := c.matcher.ratio(other, c.filled[j], c.cook)
		if r.unknown != "" {
			return // the comparison of amounts says what is missing
		}
		scale = math.Max(scale, r.high)
	}
	scale += c.saltOfTopUp(slot)
	r, unknown := c.saltRatio(line, slot)
	switch {
	case unknown != "":
		c.add(Departure{
			Rule: RuleSaltInFerment, Verdict: Undetermined, At: line.At, Changes: c.changesOn(catalog.LessSaltInFerment),
			What: "Whether the ferment has salt enough cannot be told: " + unknown + ".", Remedy: "Weigh the salt and say its kind.",
		})
	case r < scale*(1-c.matcher.tolerances.saltMass):
		limit := roundUp(line.Value * scale / r)
		c.add(Departure{
			Rule: RuleSaltInFerment, Verdict: Unsafe, At: line.At + "/amount", Changes: c.changesOn(catalog.LessSaltInFerment),
			Measured: shown(line, line.Value), Limit: shown(line, limit),
			What: fmt.Sprintf("%s of salt is less than %s has for this much food. In a ferment the salt keeps harmful bacteria down while the acid forms.",
				measure.FormatAmount(line.Value, line.Unit.Code), c.title()),
			Remedy: fmt.Sprintf("Use at least %s.", measure.FormatAmount(limit, line.Unit.Code)),
			Fix:    []report.Operation{{Op: "replace", Path: line.At + "/amount/value", Value: limit}},
		})
	}
}

// saltRatio compares salts by weight, each through its own kind, with the least the cook's can weigh and, since sources
// disagree whether a cup of canning salt is 220 g or 292 g, the larger reading of the tested amount: the safer one.
// Two volumes of fine salt are compared as volumes.
func (c *comparison) saltRatio(line *composition.Line, slot *slot) (float64, string) {
	value, unknown := perUnit(line, slot.lines[0].perJarML, c.cook)
	if unknown != "" {
		return 0, unknown
	}
	printed := &slot.lines[0]
	fine := line.SaltKind == document.SaltCanning || line.SaltKind == document.SaltTable
	if line.Unit.Dimension == measure.DimensionVolume && fine {
		return line.Unit.SI(value) / printed.unit.SI(printed.low), ""
	}
	if line.SaltKind == "" && line.Unit.Dimension == measure.DimensionVolume {
		return 0, "the kind of salt is not said, and a cup of flake salt weighs half as much as a cup of fine salt"
	}
	least, _, ok := c.matcher.scale.GramsOfKind(line.Item, line.SaltKind, value, line.Unit)
	_, want, ok2 := c.matcher.scale.GramsOfKind(printed.item, document.SaltCanning, printed.low, printed.unit)
	if !ok || !ok2 || want <= 0 {
		return 0, "the salt is not given as a weight or a volume"
	}
	return least / want, ""
}

// toppedUp looks at brine that tops up a ferment and is printed without a figure. What salt it takes is added to that of the
// food; together with the food it fits the container that is printed for so much food, else it is more than a topping up.
func (c *comparison) toppedUp(lines []*composition.Line) {
	liters := 0.0
	for _, line := range lines {
		value, unknown := perUnit(line, 0, c.cook)
		milliliters, ok := c.matcher.scale.MillilitersOf(line.Item, value, line.Unit)
		if line.State != composition.Given || unknown != "" || !ok {
			continue // as needed
		}
		liters += milliliters / 1e3
	}
	room, known := c.roomForBrine()
	if !known || liters <= room*(1+c.matcher.tolerances.ratio) {
		return
	}
	c.add(Departure{
		Rule: RulePublishedRatio, Verdict: Unsafe, At: lines[0].At + "/amount", Changes: c.changesOn(catalog.MoreWaterThanCovers, catalog.LessSaltInFerment),
		What: fmt.Sprintf("There is more water than %s takes: its own juice is the brine, and a little salted water only tops it up. Beside this much food "+
			"a crock of the printed size (1 gallon for each %s lb) has no room for more than %s L.",
			c.title(), measure.FormatNumber(c.matcher.crockPounds), measure.FormatNumber(round(room, 1))),
		Remedy: "Let the salted food make its own brine; top it up only where that does not cover the food, with boiled and cooled salted water.",
	})
}

// roomForBrine is how many liters of brine have room beside the food in the crock that is printed for so much of it, in which a
// kilogram of food takes a liter.
func (c *comparison) roomForBrine() (float64, bool) {
	if c.tested.mainSlot < 0 {
		return 0, false
	}
	gallon, _ := c.matcher.scale.Units().Lookup("gal")
	pound, _ := c.matcher.scale.Units().Lookup("lb")
	kilograms := 0.0
	for _, line := range c.filled[c.tested.mainSlot] {
		grams := line.Grams()
		if line.PerJar && c.cook.Jars != nil {
			grams *= *c.cook.Jars
		}
		kilograms += grams / 1e3
	}
	liters := kilograms / pound.SI(c.matcher.crockPounds) * gallon.SI(1) * 1e3
	return max(liters-kilograms, 0), kilograms > 0
}

// saltOfTopUp is the salt that water beside the food of a ferment takes, over the printed salt of the food.
func (c *comparison) saltOfTopUp(salt *slot) float64 {
	quart, _ := c.matcher.scale.Units().Lookup("qt")
	tablespoon, _ := c.matcher.scale.Units().Lookup("tbsp")
	printed := &salt.lines[0]
	if printed.unit.Dimension != measure.DimensionVolume || printed.low <= 0 {
		return 0
	}
	cubicMeters := 0.0
	for i := range c.tested.slots {
		if s := &c.tested.slots[i]; s.kind != waterSlot || !s.openEnded {
			continue
		}
		for _, line := range c.filled[i] {
			value, unknown := perUnit(line, 0, c.cook)
			if milliliters, ok := c.matcher.scale.MillilitersOf(line.Item, value, line.Unit); ok && unknown == "" {
				cubicMeters += milliliters / 1e6
			}
		}
	}
	return tablespoon.SI(c.matcher.topUpTablespoons*quart.From(cubicMeters)) / printed.unit.SI(printed.low)
}
