package match

import (
	"fmt"
	"math"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/measure"
)

// Compared is one ingredient of the tested recipe beside the lines of the cook's recipe that answer to it.
type Compared struct {
	Name    string              // of the printed ingredient
	Role    string              // low_acid_food, acid_food, acid, soak_acid, water, fat, thickener, salt, herb
	Printed string              // the printed amount, for people
	Lines   []*composition.Line // of the cook; none: left out
	Low     float64             // the cook's amount over the printed one, at least; 0 where the two were not compared
	High    float64             // the same, at most; batches of any size are compared, so that 2 is a double batch
}

// Compared lists the ingredients of the tested recipe that proportions are judged by, in the order in which it prints them.
func (m *Match) Compared() []Compared {
	if m.pattern == nil {
		return nil
	}
	list := make([]Compared, len(m.pattern.slots))
	for i := range m.pattern.slots {
		s := &m.pattern.slots[i]
		list[i] = Compared{Name: s.name, Role: slotRoles[s.kind], Printed: s.printedWords(), Lines: m.filled[i]}
		if !math.IsInf(m.ratios[i].high, 1) {
			list[i].Low, list[i].High = m.ratios[i].low, m.ratios[i].high
		}
	}
	return list
}

var slotRoles = map[slotKind]string{
	lowAcidSlot: "low_acid_food", acidFoodSlot: "acid_food", acidSlot: "acid", soakAcidSlot: "soak_acid", waterSlot: "water",
	fatSlot: "fat", thickenerSlot: "thickener", saltSlot: "salt", herbSlot: "herb",
}

// printedWords says the printed amount with its range, and for which jar it is.
func (s *slot) printedWords() string {
	if s.openEnded {
		return s.name + ", without a figure"
	}
	text := ""
	for i := range s.lines {
		line := &s.lines[i]
		switch {
		case i > 0 && s.alternatives:
			text += " or "
		case i > 0:
			text += " and "
		}
		if line.high > line.low {
			text += measure.FormatNumber(line.low) + " to "
		}
		text += measure.FormatAmount(line.high, line.unit.Code) + " " + line.item.Name
		switch {
		case line.perJarML > 0:
			text += fmt.Sprintf(" for each %s mL of jar", measure.FormatNumber(round(line.perJarML, 0)))
		case line.perJarML != 0:
			text += " for each jar"
		}
	}
	return text
}

// TolerancesOf lists the ids of the published allowances that decide the departures which a rule speaks for.
func TolerancesOf(rule string) []catalog.Tolerance {
	switch rule {
	case RulePublishedRatio, RuleFreshHerb, RuleSeasoning, RuleFat, RuleThickener:
		return []catalog.Tolerance{catalog.RatioTolerance}
	case RuleSaltAndSugar:
		return []catalog.Tolerance{catalog.SeasoningTolerance}
	case RuleFoodPerJar:
		return []catalog.Tolerance{catalog.RatioTolerance, catalog.JarRoundingTolerance}
	case RuleBrineEnough:
		return []catalog.Tolerance{catalog.RatioTolerance}
	case RuleLiquidForFood:
		return []catalog.Tolerance{catalog.RatioTolerance, catalog.ShortLiquidTolerance}
	case RuleSweetened:
		return []catalog.Tolerance{catalog.RatioTolerance, catalog.SweetenedTolerance}
	case RuleMetricJar:
		return []catalog.Tolerance{catalog.MetricTwinTolerance}
	case RulePieceSize:
		return []catalog.Tolerance{catalog.PieceTolerance}
	case RuleSaltInFerment:
		return []catalog.Tolerance{catalog.SaltMassTolerance}
	}
	return nil
}
