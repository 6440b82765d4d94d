package plan

import (
	"fmt"
	"math"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
)

// leftover is what remains of the produce or vinegar at hand; nil where nothing at hand decided the size.
func (w *writer) leftover() *Leftover {
	atHand := w.size.atHand
	if atHand.item == "" {
		return nil
	}
	left := math.Max(0, atHand.amount-atHand.need*w.size.factor)
	l := &Leftover{Item: atHand.item}
	switch atHand.unit.Dimension {
	case measure.DimensionMass:
		l.Amount = w.p.kitchen.Mass(atHand.unit.SI(left)*1e3, measure.Down, pieceSlack)
	case measure.DimensionVolume:
		l.Amount = w.p.kitchen.Volume(composition.Milliliters(atHand.unit, left), measure.Down, pieceSlack)
	default:
		l.Amount = w.p.kitchen.Count(left, atHand.unit.Code, measure.Down, pieceSlack)
	}
	if left <= atHand.amount*wholeJars {
		l.Amount = measure.Unmeasured("none")
	}
	return l
}

// notes are what a cook should know of the plan.
func (w *writer) notes(plan *Plan) []string {
	notes := []string{}
	if !plan.SameAnswer {
		notes = append(notes, "The scaled recipe does not get the same answer as the one that was sent: "+w.report.Summary.Text)
	}
	if !plan.Jars.LastFull {
		notes = append(notes, "The last jar does not come full. Do not process it: keep it in the refrigerator and eat it first.")
	}
	if c := w.size.citation; c != nil {
		notes = append(notes, "A bushel is taken by its published least weight ("+c.Locator+"), so weigh the produce where you can.")
	}
	if plan.Factor != 1 {
		notes = append(notes, "Amounts are rounded to kitchen measures: acid up, food and water down, so that there is never less acid for the food.")
	}
	if w.tested != nil && w.report.Process != nil && w.report.Process.Matched {
		if low, high, ok := w.printedYield(); ok && (plan.Jars.Count < math.Floor(low) || plan.Jars.Count > math.Ceil(high)) {
			const form = "The tested recipe prints a yield of %s jars of this size for this much food; have jars for that at hand."
			notes = append(notes, fmt.Sprintf(form, measure.FormatSpan(math.Floor(low), math.Ceil(high))))
		}
	}
	if plan.Canner != nil && len(plan.Timetable) > 0 {
		notes = append(notes, "Hours without a source are the usual ones of a kitchen. Move them as you go, but never the minutes of the process.")
	}
	return notes
}

// printedYield is the yield that the tested recipe prints, for the food of the scaled recipe and in its jar.
func (w *writer) printedYield() (low, high float64, ok bool) {
	jar, ok := w.p.tables.Jar(w.tested.Yield.Unit)
	if !ok || w.tested.Yield.High == 0 {
		return 0, 0, false
	}
	share, ok := w.foodShare()
	if !ok {
		return 0, 0, false
	}
	size := jar.CapacityML / w.comp.Jar.CapacityML
	return w.tested.Yield.Low * share * size, w.tested.Yield.High * share * size, true
}

// foodShare is the weight of the food against that of the tested recipe.
func (w *writer) foodShare() (float64, bool) {
	printed := 0.0
	for i := range w.tested.Ingredients {
		line := &w.tested.Ingredients[i]
		item, ok := w.p.tables.Item(line.Item)
		if !ok || line.Optional || line.Amount == nil || item.Class != catalog.LowAcid && item.Class != catalog.AcidFood || line.Per != document.PerBatch {
			continue
		}
		unit, ok := w.p.units.Lookup(line.Unit)
		if !ok {
			return 0, false
		}
		low, high, ok := w.p.scale.Grams(item, composition.ReadForm(line.Form), *line.Amount, unit)
		if !ok {
			return 0, false
		}
		printed += (low + high) / 2
	}
	if printed == 0 {
		return 0, false
	}
	return w.foodKg() * 1e3 / printed, true
}
