package match

import (
	"fmt"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/measure"
)

// slotKind is what a slot does in the jar.
type slotKind int

const (
	lowAcidSlot slotKind = iota
	acidFoodSlot
	acidSlot
	soakAcidSlot // acid that touches the food and is poured off: part of the process, not of the jar
	waterSlot
	fatSlot
	thickenerSlot
	saltSlot
	herbSlot // fresh leaves, ginger, peel: low in acid, small in amount
)

// slot is one ingredient of a tested recipe that a cook's recipe has to come up to or stay under, with everything that
// may stand in for it.
type slot struct {
	kind         slotKind
	name         string
	lines        []testedAmount
	alternatives bool // each line is the whole amount by itself
	optional     bool
	standIns     catalog.Foods // foods that may stand in for the lines' items
	changes      []string      // published changes that allow the stand-ins
	openEnded    bool          // to cover or as needed: no figure is printed
	exact        bool          // the page forbids less of it as well as more
	same         catalog.Foods // foods that count as the printed ones
}

// covers reports whether the slot is printed as a liquid that covers the food, without a figure.
func (s *slot) covers() bool {
	return slices.ContainsFunc(s.lines, func(a testedAmount) bool { return a.unit.Code == "to_cover" })
}

// perJar reports whether the amount is printed for each jar and not for the batch.
func (s *slot) perJar() bool { return s.lines[0].perJarML != 0 }

// testedAmount is one printed amount. Values are in the printed unit; low and high close a printed range.
type testedAmount struct {
	item      *catalog.Item
	form      composition.Form
	formText  string
	low, high float64
	unit      measure.Unit
	also      float64 // the same amount in another unit, 0 when not printed
	alsoUnit  measure.Unit
	alsoSmall float64 // how many small pieces may stand in for the amount, 0 when none are printed
	doubt     string  // why a jar with it is not fit by the recipe; empty: it is printed for certain
	perJarML  float64 // capacity of the jar the amount is for; 0: for the batch; anyJar: for a jar of whatever printed size
}

// anyJar is the perJarML of an amount that is printed for a jar without saying which.
const anyJar = -1

// slotOf says what a printed line is compared as; seasonings, sugar and what is thrown away are not compared.
func slotOf(line *catalog.TestedIngredient, item *catalog.Item) (slotKind, bool) {
	if item.Class == catalog.FreshHerb && line.GoesInto == "jar" {
		return herbSlot, true
	}
	switch line.GoesInto {
	case "discarded":
		return 0, false
	case "partly":
		switch line.Role {
		case "acid":
			return soakAcidSlot, true
		case "low_acid", "acid_food":
		default:
			return 0, false
		}
	}
	switch line.Role {
	case "low_acid":
		return lowAcidSlot, true
	case "acid_food":
		return acidFoodSlot, true
	case "acid":
		return acidSlot, true
	case "water":
		return waterSlot, true
	case "fat":
		return fatSlot, true
	case "thickener":
		return thickenerSlot, true
	case "salt":
		return saltSlot, true
	}
	return 0, false
}

// add puts a printed line into the slot of its item or alternatives.
func (p *pattern) add(kind slotKind, line *catalog.TestedIngredient, amount testedAmount) {
	item := amount.item
	open := line.Amount == nil
	if line.Unit == "to_cover" {
		p.coverLiquids = append(p.coverLiquids, item.ID)
	}
	for i := range p.slots {
		s := &p.slots[i]
		if s.kind != kind {
			continue
		}
		sameGroup := line.AltGroup != "" && kind != herbSlot && s.alternatives && s.name == line.AltGroup
		sameItem := (line.AltGroup == "" || kind == herbSlot) && !s.alternatives &&
			s.lines[0].item.ID == item.ID && s.perJar() == (amount.perJarML != 0)
		if sameGroup || sameItem {
			s.lines = append(s.lines, amount)
			s.optional = s.optional && line.Optional
			s.openEnded = s.openEnded || open
			return
		}
	}
	s := slot{kind: kind, name: item.Name, lines: []testedAmount{amount}, optional: line.Optional, openEnded: open}
	if line.AltGroup != "" && kind != herbSlot {
		s.name, s.alternatives = line.AltGroup, true
	}
	p.slots = append(p.slots, s)
}

// roles are the slots that a substitution speaks of, by the word of its column role.
var roles = map[string]slotKind{"low_acid": lowAcidSlot, "acid_food": acidFoodSlot, "acid": acidSlot, "soak_acid": soakAcidSlot}

// substitute widens and merges slots where a published change lets one food stand in for another.
func (p *pattern) substitute(all []catalog.Substitution) {
	for i := range all {
		s := &all[i]
		if !s.AppliesIn(p.recipe) {
			continue
		}
		if s.Basis == catalog.BasisTotal {
			p.merge(s)
			continue
		}
		for j := range p.slots {
			for _, role := range s.Roles {
				if slot := &p.slots[j]; slot.kind == roles[role] && slot.speaksOf(s) {
					slot.widen(s)
				}
			}
		}
	}
}

// speaksOf reports whether a substitution speaks of the slot. Of alternatives it may speak of any one where it calls a food the same:
// that is measured by its own alternative.
func (s *slot) speaksOf(of *catalog.Substitution) bool {
	if !s.alternatives || of.Verdict != catalog.SameFood {
		return of.Replace.Hold(s.lines[0].item)
	}
	return slices.ContainsFunc(s.lines, func(a testedAmount) bool { return of.Replace.Hold(a.item) })
}

// merge makes one slot of all low-acid lines whose item is one of the foods, so that their total counts.
func (p *pattern) merge(s *catalog.Substitution) {
	target := -1
	kept := p.slots[:0]
	for _, slot := range p.slots {
		fits := slot.kind == lowAcidSlot && !slot.alternatives && !slot.perJar() && s.Replace.Hold(slot.lines[0].item)
		switch {
		case !fits:
			kept = append(kept, slot)
		case target < 0:
			slot.widen(s)
			target = len(kept)
			kept = append(kept, slot)
		default:
			total := &kept[target]
			total.lines = append(total.lines, slot.lines...)
			total.name, total.optional = s.Name, total.optional && slot.optional
		}
	}
	p.slots = kept
}

// widen lets further foods fill the slot.
func (s *slot) widen(by *catalog.Substitution) {
	if by.Verdict == catalog.SameFood {
		s.same = s.same.And(by.By)
		return
	}
	s.standIns, s.changes = s.standIns.And(by.By), append(s.changes, by.Changes...)
	s.exact = s.exact || by.Basis == catalog.BasisExact
}

// accepts reports whether the item is one of the slot's own and whether it may stand in for one.
func (s *slot) accepts(item *catalog.Item) (own, standIn bool) {
	for i := range s.lines {
		if s.lines[i].item == item {
			return true, true
		}
	}
	if s.same.Hold(item) {
		return true, true
	}
	return false, s.standIns.Hold(item)
}

// printedDried reports whether the recipe itself prints a dried food.
func (s *slot) printedDried() bool {
	return slices.ContainsFunc(s.lines, func(a testedAmount) bool { return a.form.Has("dried") })
}

// packAcidInJar holds low-acid fruit that is acidified in the jar, and its measured syrup, to the printed amount for each
// jar, because there the acid goes with the jar and not with the batch.
func (m *Matcher) packAcidInJar(p *pattern) {
	if !p.acidInJar {
		return
	}
	for i := range p.slots {
		if p.slots[i].kind == acidFoodSlot {
			return
		}
	}
	for i := range p.slots {
		if s := &p.slots[i]; s.kind == lowAcidSlot || (s.kind == waterSlot && !s.openEnded) {
			for j := range s.lines {
				s.lines[j].perJarML = m.yieldML(p.recipe)
			}
		}
	}
}

func slotNames(s *slot) string {
	if !s.alternatives {
		return s.lines[0].item.Name
	}
	text := ""
	for i := range s.lines {
		if i > 0 {
			text += " or "
		}
		text += s.lines[i].item.Name
	}
	return text
}

func printedAmount(s *slot) string {
	text := ""
	for i := range s.lines {
		line := &s.lines[i]
		if i > 0 {
			if !s.alternatives {
				text += " and "
			} else {
				text += " or "
			}
		}
		text += measure.FormatAmount(line.low, line.unit.Code) + " " + line.item.Name
		if line.perJarML > 0 {
			text += fmt.Sprintf(" for each %s mL of jar", measure.FormatNumber(round(line.perJarML, 0)))
		}
	}
	return text
}
