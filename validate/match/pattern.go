package match

import (
	"fmt"
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
)

// pattern is a tested recipe made ready for comparison.
type pattern struct {
	recipe       *catalog.TestedRecipe
	slots        []slot
	acidInJar    bool // the acid is measured into each jar
	fermented    bool
	shares       []share         // what the recipe is made of, by weight, for likeness
	bareShares   []share         // the same without what is printed as optional
	additives    []string        // ids of sweeteners, fats, thickeners, firming agents, eggs
	seasonings   []string        // ids of seasonings
	coverLiquids []string        // ids of liquids that cover without a figure
	sugar        float64         // share of sugar in the weight of foods, acid, water and sugar
	mainSlot     int             // index of the weightiest food slot
	firming      []string        // ids of firming agents of the recipe
	salt, sweet  taste           // what it prints of salt and of sugar
	poured       []*catalog.Item // what is poured away or lifted out, a line each
	soaks        bool            // water, ice or salt is poured away on the way
	jar          printedJar
	liquid       float64 // share of acid and water in shares
	yieldML      float64 // capacity of the jar in which the yield of a batch is printed; 0: none is
	flavors      []flavor
	batchLiquid  composition.Liquid // what is printed for the batch, at the high end
	liquidPerML  composition.Liquid // what is printed for jars, for each mL of jar
}

// share is the share of one item in the weight of foods, acid and water.
type share struct {
	item  *catalog.Item
	grams float64
	slot  *slot
}

// cannerLoad begins the note of a printed yield that is what one canner takes, and not what the batch fills.
const cannerLoad = "canner load"

func (m *Matcher) readPattern(recipe *catalog.TestedRecipe) (pattern, error) {
	p := pattern{recipe: recipe, fermented: recipe.Kind == document.KindFermented, acidInJar: slices.Contains(recipe.Tags, "acid-in-jar"), mainSlot: -1}
	for i := range recipe.Ingredients {
		line := &recipe.Ingredients[i]
		item, ok := m.tables.Item(line.Item)
		if !ok {
			return p, fmt.Errorf("line %d: no item %q", i, line.Item)
		}
		if line.GoesInto != "jar" {
			p.poured = append(p.poured, item)
		}
		kind, compared := slotOf(line, item)
		if !compared {
			p.noteAdditive(line, item)
			m.noteSugar(&p, line, item)
			m.noteTaste(&p, line, item)
			continue
		}
		amount, err := m.readAmount(line, item)
		if err != nil {
			return p, fmt.Errorf("line %d: %w", i, err)
		}
		p.add(kind, line, amount)
		m.noteTaste(&p, line, item)
	}
	p.soaks = slices.ContainsFunc(recipe.Steps, func(s catalog.PrintedStep) bool { return s.Pours }) || slices.ContainsFunc(p.poured, soaked)
	p.substitute(m.tables.Substitutions)
	m.readTastes(&p)
	m.packAcidInJar(&p)
	m.readFlavors(&p)
	m.weigh(&p)
	p.jar = m.readPrintedJar(&p)
	if jar, ok := m.tables.Jar(recipe.Yield.Unit); ok && recipe.Yield.Low > 0 && !strings.HasPrefix(recipe.Yield.Note, cannerLoad) {
		p.yieldML = jar.CapacityML
	}
	return p, nil
}

func (m *Matcher) noteSugar(p *pattern, line *catalog.TestedIngredient, item *catalog.Item) {
	if item.Class != catalog.Sugar || line.GoesInto != "jar" {
		return
	}
	if amount, err := m.readAmount(line, item); err == nil {
		p.sugar += m.grams(p.recipe, amount)
	}
}

func (p *pattern) noteAdditive(line *catalog.TestedIngredient, item *catalog.Item) {
	switch item.Class {
	case catalog.Sweetener, catalog.Egg:
		p.additives = append(p.additives, item.ID)
	case catalog.Firming:
		p.additives, p.firming = append(p.additives, item.ID), append(p.firming, item.ID)
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
	a := testedAmount{item: item, form: composition.ReadForm(line.Form), formText: line.Form, unit: unit, doubt: line.Doubt}
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

// grams is the printed weight of the slot for the batch, for likeness only.
func (m *Matcher) grams(recipe *catalog.TestedRecipe, a testedAmount) float64 {
	low, high, ok := m.scale.Grams(a.item, a.form, (a.low+a.high)/2, a.unit)
	if !ok {
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
			p.additives = append(p.additives, item.ID)
			continue
		case soakAcidSlot:
			p.additives = append(p.additives, soakMark+item.Family)
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
			p.shares = append(p.shares, share{item: line.item, grams: grams, slot: s})
			if !s.optional {
				p.bareShares = append(p.bareShares, share{item: line.item, grams: grams, slot: s})
			}
		}
		if (s.kind == lowAcidSlot || s.kind == acidFoodSlot) && sum > heaviest {
			heaviest, p.mainSlot = sum, i
		}
	}
	if total := toShares(p.shares); p.sugar > 0 {
		p.sugar /= p.sugar + total
	}
	toShares(p.bareShares)
	for i := range p.shares {
		if kind := p.shares[i].slot.kind; kind == acidSlot || kind == waterSlot {
			p.liquid += p.shares[i].grams
		}
	}
}

// soakMark shares an acid that is poured away among the ids that tell recipes apart.
const soakMark = "soak:"

// toShares divides by the total and returns it, in grams.
func toShares(shares []share) float64 {
	total := 0.0
	for i := range shares {
		total += shares[i].grams
	}
	for i := range shares {
		if total > 0 {
			shares[i].grams /= total
		}
	}
	return total
}
