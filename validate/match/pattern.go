// Package match finds the tested recipe that a cook's recipe follows and lists every respect in which the two differ,
// each marked safe, unsafe, untested or undetermined by what was published about such changes. It never calls a recipe
// safe that no tested recipe covers.
package match

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
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
	families     []string // families that may stand in for the lines' items
	items        []string // further items that may
	changes      []string // published changes that allow the stand-ins
	openEnded    bool     // to cover or as needed: no figure is printed
	slack        float64  // of a herb: how many times the printed amount is still no matter
}

// testedAmount is one printed amount. Values are in the printed unit; low and high close a printed range.
type testedAmount struct {
	item      *catalog.Item
	form      composition.Form
	formText  string
	low, high float64
	unit      measure.Unit
	also      float64 // the same amount in another unit, 0 when not printed
	alsoUnit  measure.Unit
	alsoSmall float64 // how many small pieces may stand in for the amount (change c055), 0 when none are printed
	perJarML  float64 // capacity of the jar the amount is for; 0: for the batch; anyJar: for a jar of whatever printed size
}

// herbSlack is how many times the printed amount of a fresh herb is still no matter outside the salsas, where a published
// change forbids more. Ours, no source: twice a sprig is a sprig.
const herbSlack = 2

// anyJar is the perJarML of an amount that is printed for a jar without saying which.
const anyJar = -1

// pattern is a tested recipe made ready for comparison.
type pattern struct {
	recipe     *catalog.TestedRecipe
	slots      []slot
	acidInJar  bool // the acid is measured into each jar
	fermented  bool
	marks      []mark   // what the recipe is made of, by weight, for likeness
	bareMarks  []mark   // the same without what is printed as optional
	others     []string // ids of sweeteners, fats, thickeners, firming agents, eggs
	seasonings []string // ids of seasonings
	covers     []string // ids of liquids that cover without a figure
	sugar      float64  // share of sugar in the weight of foods, acid, water and sugar
	mainSlot   int      // index of the weightiest food slot
	firming    []string // ids of firming agents of the recipe
}

// mark is the share of one item in the weight of foods, acid and water.
type mark struct {
	item  *catalog.Item
	grams float64
	slot  *slot
}

// Matcher compares recipes with all tested recipes. It is read-only after NewMatcher and safe for concurrent use.
type Matcher struct {
	tables   *catalog.Tables
	scale    *composition.Scale
	patterns []pattern
	limits   limits
	vinegar  *catalog.Item
}

type limits struct {
	ratio, piece, saltMass float64
	headspace              float64 // m
}

// NewMatcher reads every tested recipe into a pattern.
func NewMatcher(tables *catalog.Tables, scale *composition.Scale) (*Matcher, error) {
	m := &Matcher{tables: tables, scale: scale, limits: limits{
		ratio: tables.MustLimit("ratio-tolerance").Value, piece: tables.MustLimit("piece-tolerance").Value,
		saltMass:  tables.MustLimit("salt-mass-tolerance").Value,
		headspace: tables.MustLimit("headspace-tolerance").Value * float64(measure.Inch),
	}}
	vinegar, ok := tables.Item("vinegar")
	if !ok {
		return nil, errors.New("the catalog has no vinegar")
	}
	m.vinegar = vinegar
	for i := range tables.Recipes {
		p, err := m.readPattern(&tables.Recipes[i])
		if err != nil {
			return nil, fmt.Errorf("reading the tested recipe %s: %w", tables.Recipes[i].ID, err)
		}
		m.patterns = append(m.patterns, p)
	}
	return m, nil
}

func (m *Matcher) readPattern(recipe *catalog.TestedRecipe) (pattern, error) {
	p := pattern{recipe: recipe, fermented: recipe.Kind == document.KindFermented, acidInJar: slices.Contains(recipe.Tags, "acid-in-jar"), mainSlot: -1}
	for i := range recipe.Ingredients {
		line := &recipe.Ingredients[i]
		item, ok := m.tables.Item(line.Item)
		if !ok {
			return p, fmt.Errorf("line %d: no item %q", i, line.Item)
		}
		kind, compared := slotOf(line, item)
		if !compared {
			p.noteOther(line, item)
			m.noteSugar(&p, line, item)
			continue
		}
		amount, err := m.readAmount(line, item)
		if err != nil {
			return p, fmt.Errorf("line %d: %w", i, err)
		}
		p.add(kind, line, amount)
	}
	p.allowChanges()
	m.packAcidInJar(&p)
	m.weigh(&p)
	return p, nil
}

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

func (m *Matcher) noteSugar(p *pattern, line *catalog.TestedIngredient, item *catalog.Item) {
	if item.Class != catalog.Sugar || line.GoesInto != "jar" {
		return
	}
	if amount, err := m.readAmount(line, item); err == nil {
		p.sugar += m.grams(p.recipe, amount)
	}
}

func (p *pattern) noteOther(line *catalog.TestedIngredient, item *catalog.Item) {
	switch item.Class {
	case catalog.Sweetener, catalog.Egg:
		p.others = append(p.others, item.ID)
	case catalog.Firming:
		p.others, p.firming = append(p.others, item.ID), append(p.firming, item.ID)
	case catalog.Seasoning:
		if line.GoesInto != "discarded" {
			p.seasonings = append(p.seasonings, item.ID)
		}
	}
}

func (m *Matcher) readAmount(line *catalog.TestedIngredient, item *catalog.Item) (testedAmount, error) {
	unit, ok := m.scale.Units().Lookup(line.Unit)
	if !ok {
		return testedAmount{}, fmt.Errorf("no unit %q", line.Unit)
	}
	a := testedAmount{item: item, form: composition.ReadForm(line.Form), formText: line.Form, unit: unit}
	if line.Amount != nil {
		a.low, a.high = *line.Amount, *line.Amount
	}
	if line.AmountMax != nil {
		a.high = max(a.high, *line.AmountMax)
	}
	if jar, ok := m.tables.Jar(line.Per); ok {
		a.perJarML = jar.CapacityML
	} else if line.Per == document.PerJar {
		a.perJarML = anyJar
	}
	if line.Also != nil && line.Also.Per == "" {
		if also, ok := m.scale.Units().Lookup(line.Also.Unit); ok {
			a.also, a.alsoUnit, a.alsoSmall = line.Also.Value, also, line.Also.Small
		}
	}
	return a, nil
}

func (m *Matcher) largestJarML(recipe *catalog.TestedRecipe) float64 {
	largest := 0.0
	for _, pack := range recipe.Packs {
		for _, id := range pack.Jars {
			if jar, ok := m.tables.Jar(id); ok {
				largest = max(largest, jar.CapacityML)
			}
		}
	}
	return largest
}

func (p *pattern) add(kind slotKind, line *catalog.TestedIngredient, amount testedAmount) {
	item := amount.item
	open := line.Amount == nil
	if line.Unit == "to_cover" {
		p.covers = append(p.covers, item.ID)
	}
	for i := range p.slots {
		s := &p.slots[i]
		if s.kind != kind {
			continue
		}
		sameGroup := line.AltGroup != "" && kind != herbSlot && s.alternatives && s.name == line.AltGroup
		sameItem := (line.AltGroup == "" || kind == herbSlot) && !s.alternatives && s.lines[0].item.ID == item.ID && (s.lines[0].perJarML != 0) == (amount.perJarML != 0)
		if sameGroup || sameItem {
			s.lines = append(s.lines, amount)
			s.optional = s.optional && line.Optional
			s.openEnded = s.openEnded || open
			return
		}
	}
	s := slot{kind: kind, name: item.Name, lines: []testedAmount{amount}, optional: line.Optional, openEnded: open, slack: herbSlack}
	if kind == herbSlot {
		s.families = []string{item.Family} // a sprig of dill for a head of dill
	}
	if slices.Contains(p.recipe.Tags, "salsa-guide-3") {
		s.slack = 1 // change c059: no more fresh herb than printed
	}
	if line.AltGroup != "" && kind != herbSlot {
		s.name, s.alternatives = line.AltGroup, true
	}
	p.slots = append(p.slots, s)
}

// Families of the catalog that the swaps below speak of.
const (
	familyOnion       = "onion"
	familySweetPepper = "sweet-pepper"
	familyHotPepper   = "hot-pepper"
	familyTomato      = "tomato"
)

// allowChanges widens and merges slots where a published change lets one food stand in for another.
func (p *pattern) allowChanges() {
	has := func(tag string) bool { return slices.Contains(p.recipe.Tags, tag) }
	id := p.recipe.ID
	peppers := []string{familySweetPepper, familyHotPepper}
	switch {
	case has("salsa-guide-3"):
		p.merge(peppers, "peppers", "c031", "c032")
		p.merge([]string{familyOnion}, "onions", "c034")
		p.widen(acidFoodSlot, []string{"tomato", "tomatillo", "green-tomato"}, nil, []string{"tomato", "tomatillo", "green-tomato"}, "c039", "c040")
		for i := range p.slots {
			if s := &p.slots[i]; s.kind == acidSlot && s.lines[0].item.Family == "vinegar" {
				s.items, s.changes = append(s.items, "lemon-juice"), append(s.changes, "c008")
			}
		}
	case strings.HasPrefix(id, "marinated-peppers"):
		p.merge(append(peppers, "any-pepper"), "peppers", "c036")
	case id == "choice-salsa":
		p.widen(lowAcidSlot, []string{"onion-or-pepper"}, append(peppers, familyOnion, "any-pepper"), nil, "c037")
	case id == "tomato-vegetable-juice-acidified":
		p.widen(lowAcidSlot, []string{"mixed-vegetables"}, append(peppers, familyOnion, "celery", "carrot"), nil, "c030")
	case has("pepper"):
		// The main vegetable of these pickles: brine and pack were tested for its kind, so only colors and sorts of
		// that kind stand in.
		p.merge([]string{familySweetPepper}, "sweet peppers", "c031")
		p.merge([]string{familyHotPepper}, "hot peppers", "c031")
	default:
		p.merge(peppers, "peppers", "c031")
	}
	if id == "summer-squash-relish" || id == "squash-bread-and-butter-pickles" {
		p.widen(lowAcidSlot, []string{"summer-squash"}, []string{"summer-squash"}, nil, "c035")
	}
	if has("acid-in-jar") && has("tomato") {
		p.widen(acidFoodSlot, []string{"tomato"}, nil, []string{"green-tomato"}, "c041")
	}
}

// merge makes one slot of all low-acid lines whose item is of one of the families, so that their total counts.
func (p *pattern) merge(families []string, name string, changes ...string) {
	target := -1
	kept := p.slots[:0]
	for _, s := range p.slots {
		match := s.kind == lowAcidSlot && !s.alternatives && s.lines[0].perJarML == 0 && slices.Contains(families, s.lines[0].item.Family)
		switch {
		case !match:
			kept = append(kept, s)
		case target < 0:
			s.families, s.changes = families, changes
			target = len(kept)
			kept = append(kept, s)
		default:
			t := &kept[target]
			t.lines = append(t.lines, s.lines...)
			t.name, t.optional = name, t.optional && s.optional
		}
	}
	p.slots = kept
}

// widen lets further families and items stand in for the slots whose first item is one of ids or of one of these families.
func (p *pattern) widen(kind slotKind, ids, families, items []string, changes ...string) {
	for i := range p.slots {
		s := &p.slots[i]
		if s.kind == kind && (slices.Contains(ids, s.lines[0].item.ID) || slices.Contains(ids, s.lines[0].item.Family)) {
			s.families, s.items, s.changes = append(s.families, families...), append(s.items, items...), append(s.changes, changes...)
		}
	}
}

// accepts reports whether the item is one of the slot's own and whether it may stand in for one.
func (s *slot) accepts(item *catalog.Item) (own, standIn bool) {
	for i := range s.lines {
		if s.lines[i].item == item {
			return true, true
		}
	}
	if (s.kind == acidSlot || s.kind == soakAcidSlot) && item.Family == "vinegar" && s.lines[0].item.Family == "vinegar" {
		return true, true
	}
	return false, slices.Contains(s.families, item.Family) || slices.Contains(s.items, item.ID)
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

// grams is the printed weight of the slot for the batch, for likeness only.
func (m *Matcher) grams(recipe *catalog.TestedRecipe, a testedAmount) float64 {
	low, high, ok := m.scale.Grams(a.item, a.form, (a.low+a.high)/2, a.unit)
	if !ok && a.also > 0 {
		low, high, ok = m.scale.Grams(a.item, a.form, a.also, a.alsoUnit)
	}
	if !ok {
		return 0
	}
	grams := (low + high) / 2
	switch {
	case a.perJarML == anyJar:
		grams *= recipe.Yield.High
	case a.perJarML > 0:
		grams *= m.yieldML(recipe) / a.perJarML
	}
	return grams
}

// yieldML is the printed yield as a volume of filled jars.
func (m *Matcher) yieldML(recipe *catalog.TestedRecipe) float64 {
	jar, ok := m.tables.Jar(recipe.Yield.Unit)
	if !ok {
		return m.largestJarML(recipe)
	}
	return (recipe.Yield.Low + recipe.Yield.High) / 2 * jar.CapacityML
}

// weigh finds what the recipe is made of: the share of each item in the weight of foods, acid and water.
func (m *Matcher) weigh(p *pattern) {
	heaviest := 0.0
	for i := range p.slots {
		s := &p.slots[i]
		item := s.lines[0].item
		switch s.kind {
		case fatSlot, thickenerSlot:
			p.others = append(p.others, item.ID)
			continue
		case soakAcidSlot:
			p.others = append(p.others, soakMark+item.Family)
			continue
		case saltSlot:
			continue
		case herbSlot:
			p.seasonings = append(p.seasonings, item.ID)
			continue
		}
		sum := 0.0
		for j, line := range s.lines {
			grams := m.grams(p.recipe, line)
			if s.alternatives && j > 0 || p.acidInJar && s.kind == acidSlot {
				grams = 0 // one of the alternatives stands for all; acid by the jar says nothing of the batch
			}
			sum += grams
			p.marks = append(p.marks, mark{item: line.item, grams: grams, slot: s})
			if !s.optional {
				p.bareMarks = append(p.bareMarks, mark{item: line.item, grams: grams, slot: s})
			}
		}
		if (s.kind == lowAcidSlot || s.kind == acidFoodSlot) && sum > heaviest {
			heaviest, p.mainSlot = sum, i
		}
	}
	if total := toShares(p.marks); p.sugar > 0 {
		p.sugar /= p.sugar + total
	}
	toShares(p.bareMarks)
}

// soakMark marks an acid that is poured away among the ids that tell recipes apart.
const soakMark = "soak:"

// toShares divides by the total and returns it, in grams.
func toShares(marks []mark) float64 {
	total := 0.0
	for i := range marks {
		total += marks[i].grams
	}
	for i := range marks {
		if total > 0 {
			marks[i].grams /= total
		}
	}
	return total
}
