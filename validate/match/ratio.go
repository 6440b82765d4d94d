package match

import (
	"math"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/measure"
)

// ratio is how much of a slot the cook's recipe holds against the printed amount. high compares the most the cook can
// have with the printed maximum (the safe side for low-acid food and water), low the least with the printed minimum (the
// safe side for acid). Where both were measured in the same unit the two are equal; where weights of cups and pieces had
// to be looked up they span what the sources leave open.
type ratio struct {
	low, high float64
	unknown   string // why it cannot be computed; empty when it can
	at        string // the line to blame when unknown
}

// portion is one amount on either side of a ratio.
type portion struct {
	item      *catalog.Item
	form      composition.Form
	low, high float64
	unit      measure.Unit
	also      float64
	alsoUnit  measure.Unit
	alsoSmall float64
}

// ratio compares the cook's lines in a slot with the printed amount.
func (m *Matcher) ratio(s *slot, lines []*composition.Line, c *composition.Composition) ratio {
	if len(lines) == 0 {
		return ratio{}
	}
	perJarML := s.lines[0].perJarML
	written := make([]portion, 0, len(lines))
	for _, line := range lines {
		value, unknown := perUnit(line, perJarML, c)
		if unknown != "" {
			return ratio{unknown: unknown, at: line.At}
		}
		value *= m.oversize(s, line)
		if line.FreshFrom > 1 && !s.printedDried() {
			value *= line.FreshFrom // so much fresh food was dried to it
		}
		written = append(written, portion{item: line.Item, form: line.Form, low: value, high: value, unit: line.Unit})
	}
	if s.alternatives {
		return m.alternativeRatio(s, written, lines)
	}
	printed := make([]portion, 0, len(s.lines))
	for i := range s.lines {
		printed = append(printed, s.lines[i].portion(s.lines[i].perJarML))
	}
	r, ok := m.compare(written, printed, s.kind)
	if !ok {
		return ratio{unknown: "no published weight turns " + lines[0].Unit.Name + " of " + lines[0].Name + " into the unit of the tested recipe", at: lines[0].At}
	}
	return r
}

// alternativeRatio adds up what fraction of the whole each line is of its own alternative.
func (m *Matcher) alternativeRatio(s *slot, written []portion, lines []*composition.Line) ratio {
	total := ratio{}
	for i, p := range written {
		best, found := ratio{}, false
		for _, alternative := range s.alternativesFor(p.item) {
			r, ok := m.compare([]portion{p}, []portion{alternative.portion(alternative.perJarML)}, s.kind)
			if ok && (!found || r.high < best.high) {
				best, found = r, true
			}
		}
		if !found {
			return ratio{unknown: "no printed amount of " + lines[i].Name + " to compare with", at: lines[i].At}
		}
		total.low += best.low
		total.high += best.high
	}
	return total
}

// alternativesFor lists the printed amounts that an item is measured by: its own, else another vinegar's, else all.
func (s *slot) alternativesFor(item *catalog.Item) []*testedAmount {
	var own, sameFamily, all []*testedAmount
	for i := range s.lines {
		a := &s.lines[i]
		all = append(all, a)
		if a.item == item {
			own = append(own, a)
		} else if a.item.Family == item.Family {
			sameFamily = append(sameFamily, a)
		}
	}
	switch {
	case len(own) > 0:
		return own
	case len(sameFamily) > 0:
		return sameFamily
	}
	return all
}

func (a *testedAmount) portion(perJarML float64) portion {
	p := portion{item: a.item, form: a.form, low: a.low, high: a.high, unit: a.unit, also: a.also, alsoUnit: a.alsoUnit, alsoSmall: a.alsoSmall}
	if perJarML > 0 {
		p.low, p.high, p.also, p.alsoSmall = p.low/perJarML, p.high/perJarML, p.also/perJarML, p.alsoSmall/perJarML
	}
	return p
}

// perUnit is the line's amount for the batch when perJarML is 0, for each jar when it is anyJar, and for each milliliter of
// jar when it is a capacity.
func perUnit(line *composition.Line, perJarML float64, c *composition.Composition) (value float64, unknown string) {
	switch line.State {
	case composition.Missing:
		return 0, "the amount of " + line.Name + " is not given"
	case composition.ToCover, composition.AsNeeded:
		return 0, "the amount of " + line.Name + " is not a number"
	}
	value = line.Value
	switch {
	case perJarML > 0 && c.Jar == nil:
		return 0, "the jar is not given"
	case perJarML > 0:
		value /= c.Jar.CapacityML
	}
	switch forJar := perJarML != 0; {
	case forJar == line.PerJar:
		return value, ""
	case c.Jars == nil || *c.Jars <= 0:
		return 0, "the number of jars is not given"
	case forJar:
		return value / *c.Jars, ""
	}
	return value * *c.Jars, ""
}

// compare gives the ratio of two sums of portions. It takes them in a unit that both sides were measured in where there
// is one, because then no published weight can be wrong; otherwise it goes through grams (or milliliters for a liquid).
func (m *Matcher) compare(written, printed []portion, kind slotKind) (ratio, bool) {
	if kind == acidSlot || kind == waterSlot || kind == soakAcidSlot {
		if r, ok := m.compareLiquids(written, printed); ok {
			return r, true
		}
	}
	if r, ok := direct(written, printed); ok {
		return r, true
	}
	r, weighed := m.compareGrams(written, printed)
	if parts, ok := byMeasure(written, printed); ok {
		if weighed {
			parts.low, parts.high = math.Max(r.low, parts.low), math.Min(r.high, parts.high)
		}
		return parts, true
	}
	return r, weighed
}

// byMeasure compares cups with cups and pieces with pieces where a sum holds both, as "3 cups of chiles and 1 jalapeno": the whole is
// no more than the part that is largest beside what is printed, and no less than the smallest.
func byMeasure(written, printed []portion) (ratio, bool) {
	whole := ratio{low: math.Inf(1)}
	for _, dimension := range [...]measure.Dimension{measure.DimensionMass, measure.DimensionVolume, measure.DimensionCount} {
		in := func(all []portion) []portion {
			return slices.DeleteFunc(slices.Clone(all), func(p portion) bool { return p.unit.Dimension != dimension })
		}
		mine, theirs := in(written), in(printed)
		if len(mine)+len(theirs) == 0 {
			continue
		}
		if len(mine) == 0 || len(theirs) == 0 {
			return ratio{}, false
		}
		part, ok := direct(mine, theirs)
		if !ok {
			return ratio{}, false
		}
		whole.low, whole.high = math.Min(whole.low, part.low), math.Max(whole.high, part.high)
	}
	return whole, !math.IsInf(whole.low, 1)
}

// direct compares without looking up weights: masses with masses, volumes of the same cut with volumes, pieces of the
// same item with pieces.
func direct(written, printed []portion) (ratio, bool) {
	dimension := written[0].unit.Dimension
	sum := 0.0
	for _, p := range written {
		if p.unit.Dimension != dimension || !sameDensity(p, written[0]) {
			return ratio{}, false
		}
		sum += p.unit.SI(p.low)
	}
	low, high := 0.0, 0.0
	for _, p := range printed {
		if p.unit.Dimension != dimension {
			p.unit, p.low, p.high = p.alsoUnit, p.also, p.also
			if small := func(w portion) bool { return w.form.Has("small") }; p.alsoSmall > 0 && all(written, small) {
				p.low, p.high = p.alsoSmall, p.alsoSmall
			}
		}
		if p.unit.Dimension != dimension || !sameDensity(p, written[0]) || p.low <= 0 {
			return ratio{}, false
		}
		low += p.unit.SI(p.low)
		high += p.unit.SI(p.high)
	}
	return ratio{low: sum / low, high: sum / high}, true
}

func all(portions []portion, fit func(portion) bool) bool {
	return !slices.ContainsFunc(portions, func(p portion) bool { return !fit(p) })
}

// sameDensity reports whether equal measures of the printed portion and of the cook's hold about equal weights.
func sameDensity(a, b portion) bool {
	switch a.unit.Dimension {
	case measure.DimensionMass:
		return true
	case measure.DimensionVolume:
		if a.form.Coarsest <= composition.Chopped || b.form.Coarsest <= composition.Pureed {
			return true // what is cut fine packs alike, a cut that is not said is taken for the printed one, and a puree has a departure of its own
		}
		return a.form.Finest <= b.form.Coarsest // a cut that is coarser than printed has a departure of its own
	case measure.DimensionCount:
		return a.item == b.item && a.unit.Code == b.unit.Code && !larger(b.form, a.form)
	}
	return false
}

// larger reports whether pieces are said to be large where those of the recipe are not: then their number says too little.
func larger(written, printed composition.Form) bool {
	return written.Has("large", "jumbo") && !printed.Has("large", "jumbo")
}

// oversize is how many printed pieces one of the cook's weighs, where both are counted and both sizes are said and the cook's is
// the larger: weight goes with the cube of the size. Else 1.
func (m *Matcher) oversize(s *slot, line *composition.Line) float64 {
	if line.Unit.Dimension != measure.DimensionCount {
		return 1
	}
	const dimensions = 3
	printed, written := 0.0, max(line.Form.DiameterMM, line.LengthMM)
	for i := range s.lines {
		if a := &s.lines[i]; a.item == line.Item && a.unit.Code == line.Unit.Code {
			printed = max(printed, a.form.DiameterMM, a.form.LengthMM)
		}
	}
	if printed <= 0 || written <= printed*(1+m.tolerances.piece) {
		return 1
	}
	return math.Pow(written/printed, dimensions)
}

func (m *Matcher) compareLiquids(written, printed []portion) (ratio, bool) {
	sum := 0.0
	for _, p := range written {
		ml, ok := m.scale.MillilitersOf(p.item, p.low, p.unit)
		if !ok {
			return ratio{}, false
		}
		sum += ml
	}
	low, high := 0.0, 0.0
	for _, p := range printed {
		least, ok := m.scale.MillilitersOf(p.item, p.low, p.unit)
		most, ok2 := m.scale.MillilitersOf(p.item, p.high, p.unit)
		if !ok || !ok2 {
			return ratio{}, false
		}
		low += least
		high += most
	}
	return ratio{low: sum / low, high: sum / high}, low > 0
}

// compareGrams goes through published weights. Where both sides name the same foods in the same measures, one and the
// same weight applies to both, so the ratio is taken at each end of the range; otherwise the unsafe end of each side.
func (m *Matcher) compareGrams(written, printed []portion) (ratio, bool) {
	written = asPrinted(written, printed)
	writtenLow, writtenHigh, ok := m.weighAll(written, false)
	printedMinLow, printedMinHigh, ok2 := m.weighAll(printed, false)
	printedMaxLow, printedMaxHigh, ok3 := m.weighAll(printed, true)
	if !ok || !ok2 || !ok3 || printedMinLow <= 0 {
		return ratio{}, false
	}
	if sameMeasures(written, printed) {
		return ratio{
			low:  math.Min(writtenLow/printedMinLow, writtenHigh/printedMinHigh),
			high: math.Max(writtenLow/printedMaxLow, writtenHigh/printedMaxHigh),
		}, true
	}
	return ratio{low: writtenLow / printedMinHigh, high: writtenHigh / printedMaxLow}, true
}

// asPrinted turns pieces into the printed measure where the recipe itself says how many pieces that is ("1 tablespoon, from 1
// pepper"): its own word beats the weight of a piece in any table. Of a written portion low counts.
func asPrinted(written, printed []portion) []portion {
	converted := slices.Clone(written)
	for i := range converted {
		p := &converted[i]
		for _, q := range printed {
			if p.item == q.item && p.unit.Dimension == measure.DimensionCount && p.unit.Code == q.alsoUnit.Code && !larger(p.form, q.form) {
				pieces := q.also
				if q.alsoSmall > 0 && p.form.Has("small") {
					pieces = q.alsoSmall
				}
				p.low, p.unit = p.low/pieces*q.low, q.unit
				break
			}
		}
	}
	return converted
}

func (m *Matcher) weighAll(portions []portion, most bool) (low, high float64, ok bool) {
	for _, p := range portions {
		value := p.low
		if most {
			value = p.high
		}
		least, greatest, ok := m.scale.Grams(p.item, p.form, value, p.unit)
		if !ok || p.alsoUnit.Dimension == measure.DimensionMass {
			// The recipe's own weight beats any table.
			least, greatest, ok = m.scale.Grams(p.item, p.form, p.also, p.alsoUnit)
		}
		if !ok {
			return 0, 0, false
		}
		low += least
		high += greatest
	}
	return low, high, true
}

func sameMeasures(written, printed []portion) bool {
	for _, p := range written {
		found := false
		for _, q := range printed {
			if p.item == q.item && p.unit.Dimension == q.unit.Dimension && (p.unit.Dimension != measure.DimensionCount || p.unit.Code == q.unit.Code) {
				found = true
			}
		}
		if !found {
			return false
		}
	}
	return true
}
