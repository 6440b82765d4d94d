package match

import (
	"math"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
)

// The weights below only order the tested recipes by likeness, so that the right one is compared with; they decide
// nothing about safety. They are ours, no source.
const (
	standInLikeness  = 0.98 // share that a published stand-in counts for
	familyLikeness   = 0.8  // share of an item that another item of its family counts for
	otherWeight      = 0.10 // sweetener, fat, thickener, firming agent, egg
	seasoningWeight  = 0.05
	coverWeight      = 0.05 // which liquid covers
	kindWeight       = 0.10
	keepWeight       = 0.10
	sugarWeight      = 0.10
	formWeight       = 0.06
	leastLikeness    = 0.50 // below this no tested recipe is near
	likenessOfEquals = 0.02 // recipes this close are told apart by their departures
	clearLikeness    = 0.75 // from here on the tested recipe is surely the one meant, and patches towards it are offered
	shortFruit       = 1.5  // an acid food shorter than this by so much was not cut; something else was raised
	unknownGrams     = 100  // stands for an amount that was left out
)

// likeness orders patterns by how much of the recipe is the same, 1 for the recipe itself.
func (m *Matcher) likeness(p *pattern, recipe *subject) float64 {
	if p.mainSlot >= 0 && !recipe.has(&p.slots[p.mainSlot]) {
		return 0
	}
	alike := max(shared(p.marks, recipe.marks), shared(p.bareMarks, recipe.marks))
	alike -= otherWeight * (1 - overlap(p.others, recipe.others))
	alike -= seasoningWeight * (1 - overlap(p.seasonings, recipe.seasonings))
	alike -= coverWeight * (1 - overlap(p.covers, recipe.covers))
	alike -= sugarWeight * math.Abs(p.sugar-recipe.sugar)
	if recipe.kind != "" && !kindFits(p.recipe.Kind, recipe.kind) {
		alike -= kindWeight
	}
	if recipe.keep != "" && recipe.keep != p.recipe.Keep {
		alike -= keepWeight
	}
	if p.mainSlot >= 0 && recipe.mainForm.Coarsest != composition.Unstated {
		if want := p.slots[p.mainSlot].lines[0].form; want.Coarsest != composition.Unstated {
			if recipe.mainForm.Finest > want.Coarsest || recipe.mainForm.Coarsest < want.Finest {
				alike -= formWeight
			}
		}
	}
	return alike
}

// shared is the weight that two compositions have in common, whole items first, then items of one family and
// published stand-ins.
func shared(tested []mark, mine []subjectMark) float64 {
	var room [32]float64
	left := room[:0]
	for i := range tested {
		left = append(left, tested[i].grams)
	}
	alike := 0.0
	for pass, worth := range [...]float64{1, standInLikeness, familyLikeness} {
		for i := range mine {
			mark := &mine[i]
			if pass == 0 {
				mark.left = mark.grams
			}
			for j := range tested {
				if left[j] <= 0 || mark.left <= 0 {
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

// subject is the cook's recipe as likeness sees it.
type subject struct {
	kind, keep string
	marks      []subjectMark
	others     []string
	seasonings []string
	covers     []string
	mainForm   composition.Form
	sugar      float64 // see pattern.sugar
}

type subjectMark struct {
	item  *catalog.Item
	grams float64
	left  float64
}

// has reports whether the recipe holds something that fills the slot.
func (s *subject) has(want *slot) bool {
	for i := range s.marks {
		if _, ok := want.accepts(s.marks[i].item); ok {
			return true
		}
	}
	return false
}

func (m *Matcher) readSubject(kind, keep string, c *composition.Composition) subject {
	s := subject{kind: kind, keep: keep}
	total, heaviest, sugar := 0.0, 0.0, 0.0
	for i := range c.Lines {
		line := &c.Lines[i]
		if line.Item == nil || !line.Used() {
			continue
		}
		switch line.Class {
		case catalog.Sweetener, catalog.Fat, catalog.Thickener, catalog.Firming, catalog.Egg:
			s.others = addOnce(s.others, line.Item.ID)
			if line.Class != catalog.Egg {
				continue
			}
		case catalog.Sugar:
			if line.InJar {
				sugar += m.subjectGrams(line.Item, line, c)
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
				s.others = addOnce(s.others, soakMark+line.Item.Family)
			}
			continue
		}
		if line.State == composition.ToCover {
			s.covers = addOnce(s.covers, line.Item.ID)
			continue
		}
		item := line.Item
		if item.Family == m.vinegar.Family {
			item = m.vinegar // which vinegar it is does not tell recipes apart
		}
		grams := m.subjectGrams(item, line, c)
		total += grams
		s.marks = append(s.marks, subjectMark{item: item, grams: grams})
		if line.IsFood() && grams > heaviest {
			heaviest, s.mainForm = grams, line.Form
		}
	}
	for i := range s.marks {
		if total > 0 {
			s.marks[i].grams /= total
		}
	}
	if sugar > 0 {
		s.sugar = sugar / (sugar + total)
	}
	return s
}

func (m *Matcher) subjectGrams(item *catalog.Item, line *composition.Line, c *composition.Composition) float64 {
	if line.State != composition.Given {
		return unknownGrams
	}
	low, high, ok := m.scale.Grams(item, line.Form, line.Value, line.Unit)
	if !ok {
		return unknownGrams
	}
	grams := (low + high) / 2
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
