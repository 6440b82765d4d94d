package match

import (
	"math"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/packing"
)

// printedJar is what a tested recipe of pieces under a liquid puts into its jars, worked out once at the start. The class, and what
// is left of the food, go with the pack and are filled in when one is chosen.
type printedJar struct {
	packing.Print
	jar     *catalog.Jar // in which the yield is printed
	grams   []float64    // of each food slot, at the high end of printed ranges; 0: no food, or its weight is not known
	counted []bool       // slots of a few pieces that are judged by their number in a jar
	known   bool
}

// PrintedJar is what a tested recipe of pieces under a liquid makes, without the class of a pack; it reports false for other recipes.
func (m *Matcher) PrintedJar(recipe *catalog.TestedRecipe) (packing.Print, bool) {
	for i := range m.patterns {
		if m.patterns[i].recipe == recipe {
			return m.patterns[i].jar.Print, m.patterns[i].jar.known
		}
	}
	return packing.Print{}, false
}

// readPrintedJar adds up a printed recipe. It is not known where no pack is of pieces or an amount is not printed.
func (m *Matcher) readPrintedJar(p *pattern) (j printedJar) {
	pieces := false
	for i := range p.recipe.Packs {
		pieces = pieces || p.recipe.Packs[i].JarClass.Pieces()
	}
	jar, ok := m.tables.Jar(p.recipe.Yield.Unit)
	if !pieces || !ok {
		return j
	}
	j.jar, j.Least, j.Most = jar, p.recipe.Yield.Low, p.recipe.Yield.High
	seen := map[string]bool{}
	for i := range p.recipe.Ingredients {
		line := &p.recipe.Ingredients[i]
		item, found := m.tables.Item(line.Item)
		if !found || line.GoesInto != "jar" || line.Amount == nil || line.AltGroup != "" && seen[line.AltGroup] {
			continue
		}
		seen[line.AltGroup] = true
		amount, err := m.readAmount(line, item)
		if err != nil {
			continue
		}
		liquid := m.dissolved(m.printedMeasure(&amount, line.AcidityPercent))
		liquid = liquid.Times(j.jarsOf(&amount))
		j.Liquid = j.Liquid.Plus(&liquid)
	}
	j.grams, j.counted = make([]float64, len(p.slots)), make([]bool, len(p.slots))
	for i := range p.slots {
		if s := &p.slots[i]; (s.kind == lowAcidSlot || s.kind == acidFoodSlot) && !s.openEnded {
			j.grams[i] = m.slotGrams(s, &j)
			j.FoodG += j.grams[i]
		}
	}
	for i := range p.slots {
		j.counted[i] = i != p.mainSlot && p.slots[i].isCounted() && j.grams[i] <= packing.CountedShare*j.FoodG
	}
	j.known = j.FoodG > 0 && j.Liquid.AqueousML > 0
	return j
}

// jarsOf is how many times an amount goes into the batch: once, or once for each of the fewest jars that it is printed for.
func (j *printedJar) jarsOf(a *testedAmount) float64 {
	switch {
	case a.perJarML == 0:
		return 1
	case a.perJarML == anyJar:
		return j.Least
	}
	return j.Least * j.jar.CapacityML / a.perJarML
}

// slotGrams is the printed weight of a slot for the batch, at the high end of printed ranges and the middle of published weights; the
// recipe's own weight beats any table.
func (m *Matcher) slotGrams(s *slot, j *printedJar) float64 {
	sum := 0.0
	for i := range s.lines {
		a := &s.lines[i]
		low, high, ok := m.scale.Grams(a.item, a.form, a.high, a.unit)
		if !ok || a.alsoUnit.Dimension == measure.DimensionMass {
			low, high, ok = m.scale.Grams(a.item, a.form, a.also, a.alsoUnit)
		}
		if ok {
			sum += (low + high) / 2 * j.jarsOf(a)
		}
		if s.alternatives {
			break
		}
	}
	return sum
}

// isCounted reports whether the recipe counts the pieces of a slot.
func (s *slot) isCounted() bool {
	for i := range s.lines {
		if s.lines[i].unit.Dimension != measure.DimensionCount {
			return false
		}
	}
	return s.kind == lowAcidSlot
}

// measured is an amount of an item in both measures; zero in one that it cannot be turned into.
type measured struct {
	item    *catalog.Item
	grams   float64
	ml      float64
	percent *float64 // strength of a vinegar, where it is said
}

// printedMeasure is a printed amount at its low end. Salt counts as the canning salt that tested recipes are made with.
func (m *Matcher) printedMeasure(a *testedAmount, percent *float64) measured {
	out := measured{item: a.item, percent: percent}
	low, high, _ := m.scale.Grams(a.item, a.form, a.low, a.unit)
	if a.item.Class == catalog.Salt {
		low, high, _ = m.scale.GramsOfKind(a.item, document.SaltCanning, a.low, a.unit)
	}
	out.grams = (low + high) / 2
	out.ml, _ = m.scale.MillilitersOf(a.item, a.low, a.unit)
	return out
}

// dissolved is what an amount adds to the liquid of a jar; nothing where it is no liquid and dissolves in none. A vinegar without a
// strength, or with one under that of the tested recipes, counts as theirs: rules of their own judge the strength.
func (m *Matcher) dissolved(a measured) (l packing.Liquid) {
	switch a.item.Class {
	case catalog.Water, catalog.Ice:
		l.AqueousML = a.ml
	case catalog.Acid:
		m.sour(&l, a)
	case catalog.Salt:
		l.SaltG = a.grams
	case catalog.Fat:
		l.OilML = a.ml
	case catalog.Sugar, catalog.Sweetener: // what seasons and is wet is compared line by line
		if f, ok := m.tables.Flavoring(a.item); ok {
			l.AqueousML, l.SugarG, l.SaltG = a.grams*f.Water, a.grams*f.Sugar, a.grams*f.Salt
		}
	}
	return l
}

func (m *Matcher) sour(l *packing.Liquid, a measured) {
	switch {
	case a.item.ID == "citric-acid":
		l.Acid[packing.Citric] = a.grams
	case a.item.Family == "vinegar":
		strength := m.vinegarPercent
		if a.percent != nil {
			strength = math.Max(strength, *a.percent)
		}
		const whole = 100
		l.AqueousML, l.Acid[packing.Acetic] = a.ml, a.ml*strength/whole
	case strings.HasSuffix(a.item.Family, "-juice"):
		l.AqueousML, l.Acid[packing.Citric] = a.ml, a.ml*packing.JuiceGramsPerML
	}
}
