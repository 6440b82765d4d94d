package match

import (
	"fmt"
	"math"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/report"
)

// comparison is one recipe laid beside one pattern.
type comparison struct {
	matcher *Matcher
	tested  *pattern
	recipe  *document.Recipe
	cook    *composition.Composition
	match   *Match
	filled  [][]*composition.Line // by slot
	extra   []*composition.Line   // foods and acids that no slot takes
	liquid  float64               // of pieces: how many times the printed liquid there is; 0 where that cannot be told
	weighed bool                  // seasonings were weighed
	stays   float64               // of pieces: the share of the liquid that is more than printed for the food
	printed *printedJar           // nil: the recipe is judged by the pot and not by the jar
}

// title is the name of the tested recipe, in quotation shares.
func (c *comparison) title() string { return "“" + c.tested.recipe.Title + "”" }

func (c *comparison) add(d Departure) { c.match.Departures = append(c.match.Departures, d) }

// changesOn lists the published changes on the topics.
func (c *comparison) changesOn(topics ...catalog.Topic) []string {
	return c.matcher.tables.ChangesOn(topics...)
}

// changesIn lists the published changes on the topics that were printed for recipes like the tested one.
func (c *comparison) changesIn(topics ...catalog.Topic) []string {
	return c.matcher.tables.ChangesIn(c.tested.recipe, topics...)
}

// main says when the food that the tested recipe is made of is missing, which only a recipe named by the cook can show.
func (c *comparison) main() {
	if c.tested.mainSlot >= 0 && len(c.filled[c.tested.mainSlot]) == 0 {
		c.add(Departure{
			Rule: RulePublishedMatch, Verdict: Untested, At: "/recipe/ingredients",
			What:   c.title() + " is made of " + c.tested.slots[c.tested.mainSlot].name + "; this recipe has none.",
			Remedy: "Follow the recipe that you name, or leave follows out.",
		})
	}
}

// identity checks that the tested recipe is one for the shelf and of the cook's kind.
func (c *comparison) identity() {
	tested := c.tested.recipe
	if c.recipe.Kind == "" {
		c.add(Departure{
			Rule: RulePublishedMatch, Verdict: Undetermined, At: "/recipe",
			What:   "The recipe does not say of what kind it is (brined, relish, sauce, fruit, fermented, fresh).",
			Remedy: "Add kind; " + c.title() + " is " + tested.Kind + ".",
		})
	} else if !kindFits(tested.Kind, c.recipe.Kind) {
		c.add(Departure{
			Rule: RulePublishedMatch, Verdict: Untested, At: "/recipe/kind",
			What:   fmt.Sprintf("The recipe is called %s; the nearest tested recipe, %s, is %s.", c.recipe.Kind, c.title(), tested.Kind),
			Remedy: "Check the kind, or follow a tested recipe of this kind.",
		})
	}
	switch {
	case tested.Canner == "pressure_only":
		c.add(Departure{
			Rule: RulePublishedMatch, Verdict: Unsafe, At: "/recipe", Changes: c.changesOn(catalog.BoilingForPressure),
			What:   c.title() + " is a low-acid mixture: it has no boiling-water process, only one in a pressure canner.",
			Remedy: "Pressure-can it by the published directions, freeze it, or keep it in the refrigerator for a few days.",
		})
	case tested.Canner == "none" && c.recipe.Keep == document.KeepShelf:
		c.add(Departure{
			Rule: RulePublishedMatch, Verdict: Unsafe, At: "/recipe/keep", Changes: c.changesOn(catalog.CannedThoughCold),
			What:   c.title() + " was never tested for the shelf; it is kept in the refrigerator.",
			Remedy: "Keep it in the refrigerator.",
			Fix:    []report.Operation{{Op: "replace", Path: "/recipe/keep", Value: document.KeepRefrigerator}},
		})
	case tested.Canner == "boiling_water" && len(c.match.Pack.Possible) == 0 && c.match.Pack.Style != nil:
		c.add(Departure{
			Rule: RulePublishedMatch, Verdict: Untested, At: "/recipe",
			What:   "No process time is printed in the copies of " + c.title() + " behind this service, so none can be checked.",
			Remedy: "Keep it in the refrigerator, or follow a tested recipe whose process time is printed.",
		})
	}
	c.metricTwin()
	c.unsure()
}

// unsure says when a tested recipe is not known well enough to call a jar fit by it.
func (c *comparison) unsure() {
	tested := c.tested.recipe
	if c.recipe.Keep == document.KeepRefrigerator {
		return
	}
	if tested.Doubt != "" {
		c.add(Departure{
			Rule: RulePublishedMatch, Verdict: Untested, At: "/recipe",
			What:   "The process of " + c.title() + " is not certain: " + tested.Doubt + ".",
			Remedy: "Keep it in the refrigerator, or follow a tested recipe whose process is certain.",
		})
	}
	if !tested.Complete {
		c.add(Departure{
			Rule: RulePublishedMatch, Verdict: Untested, At: "/recipe",
			What:   "Some ingredients of " + c.title() + " are missing in the copies behind this service, so it cannot be compared in full.",
			Remedy: "Keep it in the refrigerator.",
		})
	}
}

// metricTwin says that the jar is a metric one in place of the largest printed: a few per cent more, which nobody tested.
func (c *comparison) metricTwin() {
	pack := &c.match.Pack
	if !pack.Twin {
		return
	}
	c.add(Departure{
		Rule: RuleMetricJar, Verdict: Untested, At: "/recipe/jar", Changes: c.changesOn(catalog.LargerJar),
		What: fmt.Sprintf("The jar holds %.0f mL, %.0f %% more than the largest in print for %s, the %s. It is the metric jar sold in its place, and its "+
			"middle heats "+
			"nearly as fast; but no publisher has printed minutes for "+
			"it.", c.cook.Jar.CapacityML, (c.cook.Jar.CapacityML/pack.Jar.CapacityML-1)*percent, c.title(), pack.Jar.Name),
		Remedy:   "Use a jar of the printed size or a smaller one, such as the next smaller metric jar; the printed minutes hold for both.",
		Measured: &report.Amount{Value: round(c.cook.Jar.CapacityML, 1), Unit: "mL"}, Limit: &report.Amount{Value: round(pack.Jar.CapacityML, 1), Unit: "mL"},
	})
}

// assign puts each line that ends up in the jar into the slot it fills.
func (c *comparison) assign() {
	c.filled = make([][]*composition.Line, len(c.tested.slots))
	for i := range c.cook.Lines {
		line := &c.cook.Lines[i]
		if !line.Used() {
			continue
		}
		if slot := c.slotFor(line); slot >= 0 {
			c.filled[slot] = append(c.filled[slot], line)
		} else if line.InJar {
			c.extra = append(c.extra, line)
		}
	}
}

func (c *comparison) slotFor(line *composition.Line) int {
	if line.Item == nil {
		return -1
	}
	standIn := -1
	for i := range c.tested.slots {
		s := &c.tested.slots[i]
		if (s.kind == soakAcidSlot) == line.InJar {
			continue // an acid poured away belongs to the soak, all else to the jar
		}
		if s.kind == herbSlot && line.Class != catalog.FreshHerb {
			continue // the dried herb is free
		}
		perJar := s.perJar()
		own, also := s.accepts(line.Item)
		own = own || s.kind == waterSlot && line.Class == catalog.Water // a brewed tea is water
		switch {
		case own && perJar == line.PerJar:
			return i
		case own || (also && standIn < 0):
			standIn = i
		}
	}
	return standIn
}

// recordSafe lists the changes that published sources call safe, so that a reader sees them recognized.
func (c *comparison) recordSafe(s *scales) {
	tolerance := 1 + c.matcher.tolerances.ratio
	base := s.fruit
	if c.tested.mainSlot >= 0 {
		base = s.of[c.tested.mainSlot].high
	}
	if !math.IsInf(s.acid, 1) && s.acid > base*tolerance && base > 0 {
		c.add(Departure{
			Rule: RulePublishedRatio, Verdict: Safe, At: "/recipe/ingredients", Changes: c.changesIn(catalog.MoreBrine),
			What: "There is more acid for the food than in the tested recipe.",
		})
	}
	for i := range c.tested.slots {
		slot := &c.tested.slots[i]
		if slot.kind == lowAcidSlot && i != c.tested.mainSlot && !slot.perJar() && !slot.exact && s.of[i].high*tolerance < base {
			c.add(Departure{
				Rule: RulePublishedRatio, Verdict: Safe, At: "/recipe/ingredients", Changes: c.changesIn(catalog.LessLowAcidFood),
				What: "There is less " + slot.name + " than in the tested recipe, or none.",
			})
		}
		for _, line := range c.filled[i] {
			if own, standIn := slot.accepts(line.Item); standIn && !own {
				c.add(Departure{
					Rule: RulePublishedMatch, Verdict: Safe, At: line.At + "/item", Changes: slot.changes,
					What: line.Name + " stands in for " + slot.lines[0].item.Name + ".",
				})
			}
		}
	}
}

func shown(line *composition.Line, value float64) *report.Amount {
	if line.State != composition.Given {
		return nil
	}
	return &report.Amount{Value: value, Unit: line.Unit.Code}
}

// notUsed sets the amount of a line to none: unlike removing the line, it leaves the places of all other lines as they are.
func notUsed(line *composition.Line) []report.Operation {
	if line.State == composition.Given {
		return []report.Operation{{Op: "replace", Path: line.At + "/amount/value", Value: 0.0}}
	}
	return []report.Operation{{Op: "add", Path: line.At + "/amount", Value: map[string]any{"value": 0.0, "unit": "g"}}}
}

func names(lines []*composition.Line) string {
	var all []string
	for _, line := range lines {
		all = append(all, line.Name)
	}
	return strings.Join(all, " and ")
}
