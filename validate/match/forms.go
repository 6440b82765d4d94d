package match

import (
	"fmt"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// forms compares how the foods are cut and how large the pieces are.
func (c *comparison) forms() {
	for i, lines := range c.filled {
		s := &c.tested.slots[i]
		if s.kind != lowAcidSlot && s.kind != acidFoodSlot {
			continue
		}
		for _, line := range lines {
			want := c.printedFor(s, line)
			c.condition(line, want)
			c.cut(line, want, i == c.tested.mainSlot)
			c.size(line, want)
		}
	}
}

// printedFor is the printed line that a cook's line answers to: the one of its item whose form is nearest, or, where a published change
// lets the item stand for the others of the slot too, the one whose form it fits.
func (c *comparison) printedFor(s *slot, line *composition.Line) *testedAmount {
	best, score := &s.lines[0], -1
	own := 4
	if s.standIns.Hold(line.Item) {
		own = 1
	}
	for i := range s.lines {
		a, points := &s.lines[i], 0
		if a.item == line.Item {
			points += own
		}
		if line.Form.Coarsest <= a.form.Coarsest {
			points += 2
		}
		if line.Form.Coarsest != composition.Unstated && line.Form.Finest <= a.form.Coarsest && a.form.Finest <= line.Form.Coarsest {
			points++
		}
		if points > score {
			best, score = a, points
		}
	}
	return best
}

// condition looks for words by which the food is in a state that the tested recipe does not hold for.
func (c *comparison) condition(line *composition.Line, want *testedAmount) {
	for i := range c.matcher.tables.Conditions {
		bad := &c.matcher.tables.Conditions[i]
		switch {
		case !bad.AppliesIn(c.tested.recipe) || !bad.Food.Hold(line.Item) || !line.Form.Has(bad.Words...) || want.form.Has(bad.Words...):
			continue
		case len(bad.Printed) > 0 && !want.form.Has(bad.Printed...), line.Form.Has(bad.Excused...):
			continue
		}
		c.add(Departure{
			Rule: RuleUnsuitable, Verdict: Verdict(bad.Verdict), At: line.At + "/form", Changes: []string{bad.Change}, What: bad.Text,
			Remedy: "Use " + line.Name + " as the tested recipe says: " + orAsIs(want.formText) + ".",
		})
	}
}

func orAsIs(form string) string {
	if form == "" {
		return "sound and fresh"
	}
	return form
}

func (c *comparison) cut(line *composition.Line, want *testedAmount, main bool) {
	written := line.Form
	at := line.At + "/form"
	switch {
	case want.form.Coarsest == composition.Unstated && main && line.Written.Form == "":
		c.add(Departure{
			Rule: RulePureed, Verdict: Undetermined, At: line.At, Changes: c.changesOn(catalog.Puree),
			What:   "The recipe does not say the form of the " + line.Name + "; the tested recipe has it: " + orAsIs(want.formText) + ".",
			Remedy: "Say the form, for example whole.",
		})
	case want.form.Coarsest == composition.Unstated && written.Coarsest != composition.Pureed:
	case written.Coarsest == composition.Unstated:
		c.add(Departure{
			Rule: RulePieceSize, Verdict: Undetermined, At: line.At, Changes: c.changesOn(catalog.LargerPieces),
			What:   "The recipe does not say the cut of the " + line.Name + "; the tested recipe has: " + want.formText + ".",
			Remedy: "Say the form, for example " + want.form.Coarsest.String() + ".",
		})
	case written.Coarsest == composition.Pureed && want.form.Finest != composition.Pureed:
		c.add(Departure{
			Rule: RulePureed, Verdict: Unsafe, At: at, Changes: c.changesOn(catalog.Puree),
			What:   fmt.Sprintf("Pureed here and in pieces in the tested recipe: %s. A puree heats far more slowly and no process was determined for it.", line.Name),
			Remedy: "Leave it in pieces; puree it when serving.", Fix: formFix(line, want),
		})
	case written.Coarsest > want.form.Coarsest:
		c.add(Departure{
			Rule: RulePieceSize, Verdict: Unsafe, At: at, Changes: c.changesOn(catalog.LargerPieces),
			What: fmt.Sprintf("%s: %s here, smaller in the tested recipe (%s). Heat takes longer to reach the middle of larger pieces.",
				measure.Capital(line.Name), written.Coarsest, want.formText),
			Remedy: "Cut it as the tested recipe says.", Fix: formFix(line, want),
		})
	case c.printed != nil && c.printed.Class == catalog.JarPoured && written.Coarsest < want.form.Finest && !sameCutWord(written, want.form),
		written.Coarsest+1 < want.form.Finest:
		c.add(Departure{
			Rule: RulePieceSize, Verdict: Untested, At: at,
			What: fmt.Sprintf("%s: %s here, coarser in the tested recipe (%s). Finer pieces pack closer, and that was not tested.",
				measure.Capital(line.Name), written.Coarsest, want.formText),
			Remedy: "Cut it as the tested recipe says.", Fix: formFix(line, want),
		})
	}
}

// cuttingWords are the words of cuts that a printed form may share with the cook's though it says more of them.
var cuttingWords = []string{
	"spears", "florets", "rings", "slices", "strips", "halves", "halved", "quarters", "quartered", "pieces", "chunks",
	"cubes", "wedges",
}

// sameCutWord reports whether both texts name a cut by the same word: "whole spears" are spears.
func sameCutWord(written, printed composition.Form) bool {
	return slices.ContainsFunc(cuttingWords, func(word string) bool { return written.Has(word) && printed.Has(word) })
}

// formFix puts the printed form and sizes in.
func formFix(line *composition.Line, want *testedAmount) []report.Operation {
	words := composition.WithoutSizes(want.formText)
	if words == "" {
		words = "whole"
	}
	fix := []report.Operation{{Op: "replace", Path: line.At + "/form", Value: words}}
	whole := want.form.Coarsest >= composition.Strips
	piece := map[string]any{}
	add := func(member string, mm float64) {
		if mm > 0 {
			piece[member] = map[string]any{"value": round(mm/25.4, 4), "unit": "in"}
		}
	}
	if whole {
		add("length", want.form.LengthMM)
		add("thickness", want.form.DiameterMM)
	} else {
		add("thickness", want.form.ThicknessMM)
	}
	if len(piece) > 0 {
		fix = append(fix, report.Operation{Op: "add", Path: line.At + "/piece", Value: piece})
	}
	return fix
}

// size compares the sizes that the tested recipe prints: thickness of slices and cubes, length and diameter of whole pieces. Slices and
// cubes without a printed thickness are held to the thickest that any tested recipe has.
func (c *comparison) size(line *composition.Line, want *testedAmount) {
	form := want.form
	coarsest := line.Form.Coarsest
	if coarsest == composition.Unstated || coarsest > form.Coarsest {
		return // the cut has a departure of its own
	}
	whole := coarsest >= composition.Strips
	if form.ThicknessMM == 0 {
		c.thickness(line)
	}
	switch {
	case whole && form.LengthMM > 0:
		c.compareSize(line, "length", line.LengthMM, form.LengthMM)
	case whole && form.DiameterMM > 0:
		c.compareSize(line, "thickness", line.DiameterMM(), form.DiameterMM)
	case !whole && form.ThicknessMM > 0 && coarsest >= composition.Chopped:
		c.compareSize(line, "thickness", line.ThicknessMM(), form.ThicknessMM)
	case coarsest == composition.Sliced && form.Coarsest == composition.Whole && form.ThicknessMM == 0 && form.LengthMM > 0 && line.LengthMM > 0:
		c.compareSize(line, "length", line.LengthMM, form.LengthMM)
	}
}

// thickness holds slices and cubes of which the tested recipe prints no thickness to the thickest that any tested recipe has; of
// strips only what the words call thick, since a strip is as wide as the food.
func (c *comparison) thickness(line *composition.Line) {
	thick := line.ThicknessMM()
	switch {
	case line.Form.Coarsest >= composition.Whole, line.Form.Finest >= composition.Strips, isFloret(&line.Form):
		return
	case line.Form.Coarsest == composition.Strips:
		thick = line.Form.ThicknessMM
	}
	if thick > 0 {
		c.compareSize(line, "thickness", thick, c.matcher.thickestMM)
	}
}

// isFloret tells whether pieces are florets, which are as thick as they are long and full of gaps.
func isFloret(form *composition.Form) bool { return form.Has("floret", "florets", "flowerets") }

// thickestCut is the thickness of the thickest slices or cubes that any tested recipe prints.
func thickestCut(patterns []pattern) float64 {
	thickest := 0.0
	for i := range patterns {
		for j := range patterns[i].slots {
			for k := range patterns[i].slots[j].lines {
				if form := &patterns[i].slots[j].lines[k].form; !isFloret(form) {
					thickest = max(thickest, form.ThicknessMM)
				}
			}
		}
	}
	return thickest
}

func (c *comparison) compareSize(line *composition.Line, member string, writtenMM, limitMM float64) {
	inches := measure.FormatInches(measure.Length(limitMM / 1e3))
	limit := &report.Amount{Value: round(limitMM/25.4, 4), Unit: "in"}
	fix := []report.Operation{{Op: "add", Path: line.At + "/piece", Value: map[string]any{member: map[string]any{"value": limit.Value, "unit": "in"}}}}
	switch {
	case writtenMM == 0:
		c.add(Departure{
			Rule: RulePieceSize, Verdict: Undetermined, At: line.At, Changes: c.changesOn(catalog.LargerPieces), Limit: limit,
			What:   fmt.Sprintf("The recipe does not say the %s of the %s; the tested recipe has at most %s.", member, line.Name, inches),
			Remedy: "Give piece." + member + ".",
		})
	case writtenMM > limitMM*(1+c.matcher.tolerances.piece):
		d := Departure{
			Rule: RulePieceSize, Verdict: Unsafe, At: line.At, Changes: c.changesOn(catalog.LargerPieces), Limit: limit,
			Measured: &report.Amount{Value: round(writtenMM/25.4, 4), Unit: "in"},
			What: fmt.Sprintf("%s: %s in %s; the tested recipe has at most %s. Heat takes longer to reach the middle of larger pieces.",
				measure.Capital(line.Name), measure.FormatInches(measure.Length(writtenMM/1e3)), member, inches),
			Remedy: "Cut the pieces to at most " + inches + ".",
		}
		if line.Written.Piece != nil {
			d.Fix = fix
		}
		c.add(d)
	}
}
