package match

import (
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/measure"
)

// profile is the cook's recipe as likeness sees it.
type profile struct {
	kind, keep   string
	shares       []profileShare
	additives    []string
	seasonings   []string
	coverLiquids []string
	mainForm     composition.Form
	sugar        float64 // see pattern.sugar
	liquid       float64 // share of acid and water
	scaled       []profileShare
}

// asMuchLiquid sets the shares that the recipe would have with another share of liquid, between 0 and 1.
func (s *profile) asMuchLiquid(share float64) {
	s.scaled = append(s.scaled[:0], s.shares...)
	for i := range s.scaled {
		if s.scaled[i].isLiquid {
			s.scaled[i].grams *= share / s.liquid
		} else {
			s.scaled[i].grams *= (1 - share) / (1 - s.liquid)
		}
	}
}

type profileShare struct {
	item  *catalog.Item
	grams float64
	left  float64

	isLiquid bool
}

// has reports whether the recipe holds something that fills the slot.
func (s *profile) has(want *slot) bool {
	for i := range s.shares {
		if _, ok := want.accepts(s.shares[i].item); ok {
			return true
		}
	}
	return false
}

func (m *Matcher) readProfile(kind, keep string, c *composition.Composition) profile {
	s := profile{kind: kind, keep: keep}
	total, heaviest, sugar := 0.0, 0.0, 0.0
	for i := range c.Lines {
		line := &c.Lines[i]
		if line.Item == nil || !line.Used() {
			continue
		}
		switch line.Class {
		case catalog.Sweetener, catalog.Fat, catalog.Thickener, catalog.Firming, catalog.Egg:
			s.additives = addOnce(s.additives, line.Item.ID)
			if line.Class != catalog.Egg {
				continue
			}
		case catalog.Sugar:
			if line.InJar {
				sugar += m.profileGrams(line.Item, line, c)
			}
			continue
		case catalog.Seasoning, catalog.FreshHerb:
			s.seasonings = addOnce(s.seasonings, line.Item.ID)
			continue
		case catalog.LowAcid, catalog.AcidFood, catalog.Acid, catalog.Water:
		default:
			continue
		}
		if !line.InJar {
			if line.Class == catalog.Acid {
				s.additives = addOnce(s.additives, soakMark+line.Item.Family)
			}
			continue
		}
		if line.State == composition.ToCover {
			s.coverLiquids = addOnce(s.coverLiquids, line.Item.ID)
			continue
		}
		item := m.standsFor(line)
		grams := m.profileGrams(item, line, c)
		total += grams
		s.shares = append(s.shares, profileShare{item: item, grams: grams, isLiquid: !line.IsFood()})
		if line.IsFood() && grams > heaviest {
			heaviest, s.mainForm = grams, line.Form
		}
	}
	for i := range s.shares {
		if total > 0 {
			s.shares[i].grams /= total
		}
		if s.shares[i].isLiquid {
			s.liquid += s.shares[i].grams
		}
	}
	if sugar > 0 {
		s.sugar = sugar / (sugar + total)
	}
	return s
}

// standsFor is the item that a line counts as: which vinegar it is does not tell recipes apart, and a brewed tea is water.
func (m *Matcher) standsFor(line *composition.Line) *catalog.Item {
	switch {
	case line.Item.Family == m.vinegar.Family:
		return m.vinegar
	case line.Class == catalog.Water:
		return m.water
	}
	return line.Item
}

// profileGrams is the middle of what a line weighs in the whole batch as an item: its own, or the vinegar that stands for all.
func (m *Matcher) profileGrams(item *catalog.Item, line *composition.Line, c *composition.Composition) float64 {
	grams, known := line.Grams(), line.WeightKnown
	if item != line.Item {
		var low, high float64
		low, high, known = m.scale.Grams(item, line.Form, line.Value, line.Unit)
		grams = (low + high) / 2
	}
	if !known && line.Unit.Dimension == measure.DimensionPart {
		return m.likeness.UnknownGrams * line.Value
	}
	if !known {
		return m.likeness.UnknownGrams
	}
	if line.PerJar && c.Jars != nil {
		grams *= *c.Jars
	}
	return grams
}

func addOnce(ids []string, id string) []string {
	if slices.Contains(ids, id) {
		return ids
	}
	return append(ids, id)
}
