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
			c.extraLowAcid(line)
		case catalog.AcidFood:
			c.add(Departure{
				Rule: RulePublishedMatch, Verdict: Untested, At: line.At + "/item",
				What:   "Not in " + c.title() + ": " + line.Name + ". Its effect on this recipe was not tested.",
				Remedy: "Leave it out, or follow a tested recipe that has it.", Fix: notUsed(line),
			})
		case catalog.Fat:
			c.add(Departure{
				Rule: RuleFat, Verdict: Untested, At: line.At, Changes: c.changesOn(catalog.MoreFat),
				What:   "Not in " + c.title() + ": " + line.Name + ". Fat coats food so that acid and heat reach it more slowly.",
				Remedy: "Leave the fat out; add it when serving.", Fix: notUsed(line),
			})
		case catalog.Thickener:
			c.add(Departure{
				Rule: RuleThickener, Verdict: Unsafe, At: line.At, Changes: c.changesOn(catalog.AnyThickener),
				What:   "Not in " + c.title() + ": " + line.Name + ". A thickened jar heats more slowly than the tested one.",
				Remedy: "Leave it out; thicken after opening the jar.", Fix: notUsed(line),
			})
		case catalog.FreshHerb:
			c.freshHerb(line)
		case catalog.Water, catalog.Ice:
			c.add(Departure{
				Rule: RulePublishedRatio, Verdict: Unsafe, At: line.At, Changes: c.changesOn(catalog.MoreWater), Measured: shown(line, line.Value), Limit: shown(line, 0),
				What:   c.title() + " has no water in the jar; water thins the acid.",
				Remedy: "Leave the water out.", Fix: notUsed(line),
			})
		case catalog.Acid:
			c.add(Departure{Rule: RulePublishedRatio, Verdict: Safe, At: line.At, What: line.Name + " is acid beyond what the tested recipe has."})
		case catalog.Salt, catalog.Sugar, catalog.Sweetener, catalog.Seasoning, catalog.Firming:
			if topic := c.flavorChange(line); topic != "" {
				c.add(Departure{
					Rule: RulePublishedMatch, Verdict: Safe, At: line.At, Changes: c.changesOn(topic),
					What: "Not in the tested recipe: " + line.Name + ". It changes the taste, not the safety.",
				})
			}
		}
	}
}

// flavorChange is the topic of the published changes by which an added flavoring is safe; a seasoning of the recipe is none.
func (c *comparison) flavorChange(line *composition.Line) catalog.Topic {
	switch line.Class {
	case catalog.Seasoning:
		if slices.Contains(c.tested.seasonings, line.Item.ID) {
			return ""
		}
		return catalog.AnotherSeasoning
	case catalog.Sugar:
		if c.tested.sugar > 0 {
			return ""
		}
		return catalog.AddedSugar
	case catalog.Sweetener:
		if slices.Contains(c.tested.additives, line.Item.ID) {
			return ""
		}
		return catalog.SugarSubstitute
	}
	return ""
}

func (c *comparison) extraLowAcid(line *composition.Line) {
	what := "A low-acid food that " + c.title() + " does not have: " + line.Name + ". Its acid was not measured for it."
	if line.Item == nil {
		what = "“" + line.Name + "” is not in the catalog and so counts as low-acid food; " + c.title() + " does not have it."
	}
	c.add(Departure{
		Rule: RuleLowAcidExtra, Verdict: Unsafe, At: line.At + "/item", Changes: c.changesOn(catalog.MoreLowAcidFood, catalog.AnotherLowAcidFood), What: what,
		Remedy: "Leave it out, or put it in when serving.", Fix: notUsed(line),
	})
}

func (c *comparison) freshHerb(line *composition.Line) {
	c.add(Departure{
		Rule: RuleFreshHerb, Verdict: Untested, At: line.At, Changes: c.changesOn(catalog.MoreFreshHerb),
		What:   "A fresh herb that " + c.title() + " does not have: " + line.Name + ". Fresh leaves are low in acid.",
		Remedy: "Use the dried herb, or add the fresh one when serving.", Fix: notUsed(line),
	})
}
