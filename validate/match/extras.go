package match

import (
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
)

// extras judges what the tested recipe does not hold.
func (c *comparison) extras() {
	for _, line := range c.extra {
		switch line.Class {
		case catalog.LowAcid, catalog.Egg:
			if c.flavorOf(line, true) == "" {
				c.extraLowAcid(line)
			}
		case catalog.AcidFood:
			c.add(Departure{
				Rule: RulePublishedMatch, Verdict: Untested, At: line.At + "/item", Changes: c.matcher.tables.Refused(c.tested.recipe, line.Item),
				What:   "Not in " + c.title() + ": " + line.Name + ". Its effect on this recipe was not tested.",
				Remedy: "Leave it out, or follow a tested recipe that has it.", Fix: notUsed(line), extra: line,
			})
		case catalog.Fat:
			c.add(Departure{
				Rule: RuleFat, Verdict: Untested, At: line.At, Changes: c.changesOn(catalog.MoreFat),
				What:   "Not in " + c.title() + ": " + line.Name + ". Fat coats food so that acid and heat reach it more slowly.",
				Remedy: "Leave the fat out; add it when serving.", Fix: notUsed(line), extra: line,
			})
		case catalog.Thickener:
			c.add(Departure{
				Rule: RuleThickener, Verdict: Unsafe, At: line.At, Changes: c.changesOn(catalog.AnyThickener),
				What:   "Not in " + c.title() + ": " + line.Name + ". A thickened jar heats more slowly than the tested one.",
				Remedy: "Leave it out; thicken after opening the jar.", Fix: notUsed(line), extra: line,
			})
		case catalog.Water, catalog.Ice:
			if c.printed != nil && line.State == composition.Given {
				continue // it is part of the liquid, whose strength is compared
			}
			c.add(Departure{
				Rule: RulePublishedRatio, Verdict: Unsafe, At: line.At, Changes: c.changesOn(catalog.MoreWater), Measured: shown(line, line.Value), Limit: shown(line, 0),
				What:   c.title() + " has no water in the jar; " + waterName(line) + " thins the acid.",
				Remedy: "Leave the water out.", Fix: notUsed(line), extra: line,
			})
		case catalog.Acid:
			c.add(Departure{Rule: RulePublishedRatio, Verdict: Safe, At: line.At, What: line.Name + " is acid beyond what the tested recipe has."})
		case catalog.Firming:
			c.firming(line)
		case catalog.Sugar, catalog.Sweetener, catalog.Seasoning:
			if changes := c.flavorChange(line); len(changes) > 0 {
				c.add(Departure{
					Rule: RulePublishedMatch, Verdict: Safe, At: line.At, Changes: changes,
					What: "Not in the tested recipe: " + line.Name + ". It changes the taste, not the safety.",
				})
			}
		}
	}
}

// flavorChange lists the published changes by which an added flavoring is safe; a seasoning of the recipe needs none.
func (c *comparison) flavorChange(line *composition.Line) []string {
	switch line.Class {
	case catalog.Seasoning:
		if !slices.Contains(c.tested.seasonings, line.Item.ID) {
			return c.changesOn(catalog.AnotherSeasoning)
		}
	case catalog.Sugar:
		if c.tested.sugar == 0 {
			return c.changesIn(catalog.AddedSugar)
		}
	case catalog.Sweetener:
		if !slices.Contains(c.tested.additives, line.Item.ID) {
			return c.changesIn(catalog.SugarSubstitute)
		}
	}
	return nil
}

// firming judges a firming agent that stays in the jar: where the tested recipe has none, a published change must allow it. Lime
// has a rule of its own.
func (c *comparison) firming(line *composition.Line) {
	var topics []catalog.Topic
	switch line.Item.ID {
	case "pickling-lime":
		return
	case "alum":
		topics = []catalog.Topic{catalog.Alum, catalog.AlumInFerment}
	case "calcium-chloride":
		topics = []catalog.Topic{catalog.CalciumChloride}
	case "grape-leaf":
		topics = []catalog.Topic{catalog.GrapeLeaf}
	}
	switch {
	case slices.Contains(c.tested.firming, line.Item.ID):
	case c.matcher.tables.Allows(c.tested.recipe, topics...):
		c.add(Departure{
			Rule: RulePublishedMatch, Verdict: Safe, At: line.At, Changes: c.changesIn(topics...),
			What: "Not in the tested recipe: " + line.Name + ". It changes how firm the food is, not the safety.",
		})
	default:
		c.add(Departure{
			Rule: RulePublishedMatch, Verdict: Untested, At: line.At + "/item", Changes: c.changesIn(topics...),
			What:   "Not in " + c.title() + ": " + line.Name + ". No published source calls it safe in a recipe like this one.",
			Remedy: "Leave it out.", Fix: notUsed(line), extra: line,
		})
	}
}

func (c *comparison) extraLowAcid(line *composition.Line) {
	what := "A low-acid food that " + c.title() + " does not have: " + line.Name + ". Its acid was not measured for it."
	if line.Item == nil {
		what = "“" + line.Name + "” is not in the catalog and so counts as low-acid food; " + c.title() + " does not have it."
	}
	c.add(Departure{
		Rule: RuleLowAcidExtra, Verdict: Unsafe, At: line.At + "/item", Changes: c.changesOn(catalog.MoreLowAcidFood, catalog.AnotherLowAcidFood), What: what,
		Remedy: "Leave it out, or put it in when serving.", Fix: notUsed(line), extra: line,
	})
}

// waterName is water by its name, or a drink with what it is in the jar.
func waterName(line *composition.Line) string {
	if line.Item != nil && line.Item.Class == catalog.Water {
		return "water"
	}
	return line.Name + " is mostly water and"
}
