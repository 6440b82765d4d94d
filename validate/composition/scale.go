package composition

import (
	"fmt"
	"math/bits"

	"jarwright/validate/catalog"
	"jarwright/validate/measure"
)

// Scale turns household measures of the catalog's items into grams and milliliters. It is read-only after NewScale
// and safe for concurrent use.
type Scale struct {
	units   *measure.Units
	entries map[string][]entry // by item id
}

// entry is one published weight, ready for use: grams per milliliter for a volume, grams per piece for a count.
type entry struct {
	dimension measure.Dimension
	code      string // unit code of a count
	low, high float64
	form      Form
	text      string
}

// NewScale reads the weights of all items. It fails when a weight names a unit that does not exist.
func NewScale(tables *catalog.Tables, units *measure.Units) (*Scale, error) {
	scale := &Scale{units: units, entries: map[string][]entry{}}
	for i := range tables.Items {
		item := &tables.Items[i]
		for _, w := range item.Weights {
			unit, ok := units.Lookup(w.Unit)
			if !ok {
				return nil, fmt.Errorf("reading the weights of %s: no unit %q", item.ID, w.Unit)
			}
			e := entry{dimension: unit.Dimension, code: w.Unit, low: w.Grams, high: max(w.Grams, w.GramsMax), form: ReadForm(w.Form), text: w.Form}
			if unit.Dimension == measure.DimensionVolume {
				ml := Milliliters(unit, 1)
				e.low, e.high = e.low/ml, e.high/ml
			}
			scale.entries[item.ID] = append(scale.entries[item.ID], e)
		}
	}
	return scale, nil
}

// Units is the table of units the scale was built with.
func (s *Scale) Units() *measure.Units { return s.units }

// Milliliters turns a volume in the given unit into milliliters.
func Milliliters(unit measure.Unit, value float64) float64 { return unit.SI(value) * 1e6 }

// Grams turns an amount of an item into grams. Where sources disagree or the text leaves the size open it gives the
// range that they leave. It reports false when no published weight lets it be turned into a weight.
func (s *Scale) Grams(item *catalog.Item, form Form, value float64, unit measure.Unit) (low, high float64, ok bool) {
	if unit.Dimension == measure.DimensionMass {
		grams := unit.SI(value) * 1e3
		return grams, grams, true
	}
	if item == nil {
		return 0, 0, false
	}
	factor := value
	if unit.Dimension == measure.DimensionVolume {
		factor = Milliliters(unit, value)
	}
	low, high, ok = s.perOne(item, form, unit)
	return low * factor, high * factor, ok
}

// GramsOfKind is Grams for an item whose weights are kept by kind, such as salt: of a volume only the rows count whose form is the
// kind, or all of them where no kind is given. It reports false for a kind without rows.
func (s *Scale) GramsOfKind(item *catalog.Item, kind string, value float64, unit measure.Unit) (low, high float64, ok bool) {
	if unit.Dimension != measure.DimensionVolume || item == nil {
		return s.Grams(item, Form{}, value, unit)
	}
	ml := Milliliters(unit, value)
	for _, e := range s.entries[item.ID] {
		if e.dimension != unit.Dimension || (kind != "" && e.text != kind) {
			continue
		}
		if !ok {
			low, high, ok = e.low*ml, e.high*ml, true
			continue
		}
		low, high = min(low, e.low*ml), max(high, e.high*ml)
	}
	return low, high, ok
}

// MillilitersOf turns an amount of a liquid into milliliters; a mass goes through the published weight of the liquid.
func (s *Scale) MillilitersOf(item *catalog.Item, value float64, unit measure.Unit) (float64, bool) {
	switch unit.Dimension {
	case measure.DimensionVolume:
		return Milliliters(unit, value), true
	case measure.DimensionMass:
		low, high, ok := s.perOne(item, Form{}, measure.Unit{Dimension: measure.DimensionVolume})
		if !ok {
			return 0, false
		}
		return unit.SI(value) * 1e3 / ((low + high) / 2), true
	}
	return 0, false
}

// perOne is grams per milliliter, or per piece of the count unit, over the weights that fit the form best.
func (s *Scale) perOne(item *catalog.Item, form Form, unit measure.Unit) (low, high float64, ok bool) {
	best := -1
	for _, e := range s.entries[item.ID] {
		if e.dimension != unit.Dimension || (unit.Dimension == measure.DimensionCount && e.code != unit.Code) {
			continue
		}
		fit := fits(form, e.form)
		switch {
		case fit > best:
			best, low, high, ok = fit, e.low, e.high, true
		case fit == best:
			low, high = min(low, e.low), max(high, e.high)
		}
	}
	return low, high, ok
}

// sizeWords are the words by which a weight says which size or state it is of; the last three are states, and a weight of
// canned food is not one of fresh.
var sizeWords = []string{"small", "medium", "large", "baby", "miniature", "canned", "frozen", "dried"}

// preparedSizes are the states among the sizeWords.
const preparedSizes sizeSet = 1<<5 | 1<<6 | 1<<7

// fits scores how well a published weight's form fits what the cook wrote.
func fits(written, weighed Form) int {
	score := 0
	if written.Coarsest != Unstated && weighed.Coarsest != Unstated {
		if weighed.Finest <= written.Coarsest && written.Finest <= weighed.Coarsest {
			score += 2
		}
	} else if weighed.Coarsest == Unstated {
		score++
	}
	score += 4 * bits.OnesCount16(uint16(written.sizes&weighed.sizes))
	score -= bits.OnesCount16(uint16(weighed.sizes &^ written.sizes & preparedSizes))
	return max(score, 0)
}
