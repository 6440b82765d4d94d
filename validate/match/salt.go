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
