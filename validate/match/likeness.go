package match

import (
	"math"
	"slices"

	"jarwright/validate/composition"
)

// alike orders patterns by how much of the recipe is the same, 1 for the recipe itself. scaled is the same with as much liquid for the food as
// printed: pieces are told by their food and by what their liquid is made of, however much of it stays in the pot.
func (m *Matcher) alike(p *pattern, recipe *profile) (alike, scaled float64) {
	if p.mainSlot >= 0 && !recipe.has(&p.slots[p.mainSlot]) {
		return 0, 0
	}
	other := m.otherwise(p, recipe)
	alike = max(m.shared(p.shares, recipe.shares), m.shared(p.bareShares, recipe.shares)) - other
	if !p.jar.known || recipe.liquid <= 0 || recipe.liquid >= 1 {
		return alike, alike
	}
	recipe.asMuchLiquid(p.liquid)
	return alike, max(m.shared(p.shares, recipe.scaled), m.shared(p.bareShares, recipe.scaled)) - other
}

// otherwise is what a pattern loses for everything but its make-up.
func (m *Matcher) otherwise(p *pattern, recipe *profile) float64 {
	alike := 0.0
	alike -= m.likeness.Other * (1 - overlap(p.additives, recipe.additives))
	alike -= m.likeness.Seasoning * (1 - overlap(p.seasonings, recipe.seasonings))
	alike -= m.likeness.Cover * (1 - overlap(p.coverLiquids, recipe.coverLiquids))
	alike -= m.likeness.Sugar * math.Abs(p.sugar-recipe.sugar)
	if recipe.kind != "" && !kindFits(p.recipe.Kind, recipe.kind) {
		alike -= m.likeness.Kind
	}
	if recipe.keep != "" && recipe.keep != p.recipe.Keep {
		alike -= m.likeness.Keep
	}
	if p.mainSlot >= 0 && recipe.mainForm.Coarsest != composition.Unstated {
		if want := p.slots[p.mainSlot].lines[0].form; want.Coarsest != composition.Unstated {
			if recipe.mainForm.Finest > want.Coarsest || recipe.mainForm.Coarsest < want.Finest {
				alike -= m.likeness.Form
			}
		}
	}
	return -alike
}

// shared is the weight that two compositions have in common, whole items first, then items of one family and
// published stand-ins.
func (m *Matcher) shared(tested []share, written []profileShare) float64 {
	var allowance [32]float64
	left := allowance[:0]
	for i := range tested {
		left = append(left, tested[i].grams)
	}
	alike := 0.0
	for pass, worth := range [...]float64{1, m.likeness.StandIn, m.likeness.Family} {
		for i := range written {
			mark := &written[i]
			if pass == 0 {
				mark.left = mark.grams
			}
			for j := range tested {
				if left[j] == 0 || mark.left == 0 {
					continue
				}
				same := false
				switch pass {
				case 0:
					same = tested[j].item == mark.item
				case 1:
					_, same = tested[j].slot.accepts(mark.item)
				case 2:
					same = tested[j].item.Family == mark.item.Family
				}
				if !same {
					continue
				}
				both := min(mark.left, left[j])
				alike += both * worth
				mark.left -= both
				left[j] -= both
			}
		}
	}
	return alike
}

// overlap is the number of shared ids over the number of all ids, 1 when both are empty.
func overlap(a, b []string) float64 {
	if len(a) == 0 && len(b) == 0 {
		return 1
	}
	both := 0
	for _, id := range a {
		if slices.Contains(b, id) {
			both++
		}
	}
	return float64(both) / float64(len(a)+len(b)-both)
}

// kindFits says which kinds of recipe a cook may call a tested one: the words overlap.
func kindFits(tested, written string) bool {
	switch tested {
	case "brined":
		return written == "brined" || written == "fruit"
	case "relish", "sauce":
		return written == "relish" || written == "sauce"
	case "fruit":
		return written != "fermented" && written != "fresh"
	}
	return tested == written
}
