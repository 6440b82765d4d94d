package match

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// comparison is one recipe laid beside one pattern.
type comparison struct {
	m      *Matcher
	p      *pattern
	recipe *document.Recipe
	c      *composition.Composition
	match  *Match
	filled [][]*composition.Line // by slot
	extra  []*composition.Line   // foods and acids that no slot takes
}

// title is the name of the tested recipe, in quotation marks.
func (k *comparison) title() string { return "“" + k.p.recipe.Title + "”" }

func (k *comparison) add(d Departure) { k.match.Departures = append(k.match.Departures, d) }

// main says when the food that the tested recipe is made of is missing, which only a recipe named by the cook can show.
func (k *comparison) main() {
	if k.p.mainSlot >= 0 && len(k.filled[k.p.mainSlot]) == 0 {
		k.add(Departure{
			Rule: RulePublishedMatch, Verdict: Untested, At: "/recipe/ingredients",
			What:   k.title() + " is made of " + k.p.slots[k.p.mainSlot].name + "; this recipe has none.",
			Remedy: "Follow the recipe that you name, or leave follows out.",
		})
	}
}

// identity checks that the tested recipe is one for the shelf and of the cook's kind.
func (k *comparison) identity() {
	tested := k.p.recipe
	if k.recipe.Kind == "" {
		k.add(Departure{
			Rule: RulePublishedMatch, Verdict: Undetermined, At: "/recipe",
			What:   "The recipe does not say of what kind it is (brined, relish, sauce, fruit, fermented, fresh).",
			Remedy: "Add kind; " + k.title() + " is " + tested.Kind + ".",
		})
	} else if !kindFits(tested.Kind, k.recipe.Kind) {
		k.add(Departure{
			Rule: RulePublishedMatch, Verdict: Untested, At: "/recipe/kind",
			What:   fmt.Sprintf("The recipe is called %s; the nearest tested recipe, %s, is %s.", k.recipe.Kind, k.title(), tested.Kind),
			Remedy: "Check the kind, or follow a tested recipe of this kind.",
		})
	}
	switch {
	case tested.Canner == "pressure_only":
		k.add(Departure{
			Rule: RulePublishedMatch, Verdict: Unsafe, At: "/recipe", Changes: []string{"c102"},
			What:   k.title() + " is a low-acid mixture: it has no boiling-water process, only one in a pressure canner.",
			Remedy: "Pressure-can it by the published directions, freeze it, or keep it in the refrigerator for a few days.",
		})
	case tested.Canner == "none" && k.recipe.Keep == document.KeepShelf:
		k.add(Departure{
			Rule: RulePublishedMatch, Verdict: Unsafe, At: "/recipe/keep", Changes: []string{"c106"},
			What:   k.title() + " was never tested for the shelf; it is kept in the refrigerator.",
			Remedy: "Keep it in the refrigerator.",
			Fix:    []report.Operation{{Op: "replace", Path: "/recipe/keep", Value: document.KeepRefrigerator}},
		})
	case tested.Canner == "boiling_water" && len(k.match.Pack.Possible) == 0 && k.match.Pack.Style != nil:
		k.add(Departure{
			Rule: RulePublishedMatch, Verdict: Untested, At: "/recipe",
			What:   "No process time is printed in the copies of " + k.title() + " behind this service, so none can be checked.",
			Remedy: "Keep it in the refrigerator, or follow a tested recipe whose process time is printed.",
		})
	}
	if !tested.Complete && k.recipe.Keep != document.KeepRefrigerator {
		k.add(Departure{
			Rule: RulePublishedMatch, Verdict: Untested, At: "/recipe",
			What:   "Some ingredients of " + k.title() + " are missing in the copies behind this service, so it cannot be compared in full.",
			Remedy: "Keep it in the refrigerator.",
		})
	}
}

// assign puts each line that ends up in the jar into the slot it fills.
func (k *comparison) assign() {
	k.filled = make([][]*composition.Line, len(k.p.slots))
	for i := range k.c.Lines {
		line := &k.c.Lines[i]
		if !line.Used() {
			continue
		}
		if slot := k.slotFor(line); slot >= 0 {
			k.filled[slot] = append(k.filled[slot], line)
		} else if line.InJar {
			k.extra = append(k.extra, line)
		}
	}
}

func (k *comparison) slotFor(line *composition.Line) int {
	if line.Item == nil {
		return -1
	}
	standIn := -1
	for i := range k.p.slots {
		s := &k.p.slots[i]
		if (s.kind == soakAcidSlot) == line.InJar {
			continue // an acid poured away belongs to the soak, all else to the jar
		}
		if s.kind == herbSlot && line.Class != catalog.FreshHerb {
			continue // the dried herb is free
		}
		perJar := s.lines[0].perJarML != 0
		own, also := s.accepts(line.Item)
		switch {
		case own && perJar == line.PerJar:
			return i
		case own || (also && standIn < 0):
			standIn = i
		}
	}
	return standIn
}

// extras judges what the tested recipe does not hold.
func (k *comparison) extras() {
	for _, line := range k.extra {
		switch line.Class {
		case catalog.LowAcid, catalog.Egg:
			k.extraLowAcid(line)
		case catalog.AcidFood:
			k.add(Departure{
				Rule: RulePublishedMatch, Verdict: Untested, At: line.At + "/item",
				What:   "Not in " + k.title() + ": " + line.Name + ". Its effect on this recipe was not tested.",
				Remedy: "Leave it out, or follow a tested recipe that has it.", Fix: notUsed(line),
			})
		case catalog.Fat:
			k.add(Departure{
				Rule: RuleFat, Verdict: Untested, At: line.At, Changes: []string{"c081"},
				What:   "Not in " + k.title() + ": " + line.Name + ". Fat coats food so that acid and heat reach it more slowly.",
				Remedy: "Leave the fat out; add it when serving.", Fix: notUsed(line),
			})
		case catalog.Thickener:
			k.add(Departure{
				Rule: RuleThickener, Verdict: Unsafe, At: line.At, Changes: []string{"c077"},
				What:   "Not in " + k.title() + ": " + line.Name + ". A thickened jar heats more slowly than the tested one.",
				Remedy: "Leave it out; thicken after opening the jar.", Fix: notUsed(line),
			})
		case catalog.FreshHerb:
			k.freshHerb(line)
		case catalog.Water, catalog.Ice:
			k.add(Departure{
				Rule: RulePublishedRatio, Verdict: Unsafe, At: line.At, Changes: []string{"c020"}, Measured: shown(line, line.Value), Limit: shown(line, 0),
				What:   k.title() + " has no water in the jar; water thins the acid.",
				Remedy: "Leave the water out, or mark it drained if it is poured away.", Fix: notUsed(line),
			})
		case catalog.Acid:
			k.add(Departure{Rule: RulePublishedRatio, Verdict: Safe, At: line.At, What: line.Name + " is acid beyond what the tested recipe has."})
		case catalog.Salt, catalog.Sugar, catalog.Sweetener, catalog.Seasoning, catalog.Firming:
			if change := k.flavorChange(line); change != "" {
				k.add(Departure{Rule: RulePublishedMatch, Verdict: Safe, At: line.At, What: "Not in the tested recipe: " + line.Name + ". It changes the taste, not the safety.", Changes: []string{change}})
			}
		}
	}
}

// flavorChange names the published change by which an added flavoring is safe; a seasoning of the recipe is no change.
func (k *comparison) flavorChange(line *composition.Line) string {
	switch line.Class {
	case catalog.Seasoning:
		if slices.Contains(k.p.seasonings, line.Item.ID) {
			return ""
		}
		return "c060"
	case catalog.Sugar:
		if k.p.sugar > 0 {
			return ""
		}
		return "c015"
	case catalog.Sweetener:
		if slices.Contains(k.p.others, line.Item.ID) {
			return ""
		}
		return "c073"
	}
	return ""
}

func (k *comparison) extraLowAcid(line *composition.Line) {
	what := "A low-acid food that " + k.title() + " does not have: " + line.Name + ". Its acid was not measured for it."
	if line.Item == nil {
		what = "“" + line.Name + "” is not in the catalog and so counts as low-acid food; " + k.title() + " does not have it."
	}
	k.add(Departure{
		Rule: RuleLowAcidExtra, Verdict: Unsafe, At: line.At + "/item", Changes: []string{"c026", "c038"}, What: what,
		Remedy: "Leave it out, or put it in when serving.", Fix: notUsed(line),
	})
}

func (k *comparison) freshHerb(line *composition.Line) {
	k.add(Departure{
		Rule: RuleFreshHerb, Verdict: Untested, At: line.At, Changes: []string{"c059"},
		What:   "A fresh herb that " + k.title() + " does not have: " + line.Name + ". Fresh leaves are low in acid.",
		Remedy: "Use the dried herb, or add the fresh one when serving.", Fix: notUsed(line),
	})
}

// notUsed sets the amount of a line to none: unlike removing the line, it leaves the places of all other lines as they are.
func notUsed(line *composition.Line) []report.Operation {
	if line.State == composition.Given {
		return []report.Operation{{Op: "replace", Path: line.At + "/amount/value", Value: 0.0}}
	}
	return []report.Operation{{Op: "add", Path: line.At + "/amount", Value: map[string]any{"value": 0.0, "unit": "g"}}}
}

func shown(line *composition.Line, value float64) *report.Amount {
	if line.State != composition.Given {
		return nil
	}
	return &report.Amount{Value: value, Unit: line.Unit.Code}
}

// unsuitableWords are words of a form that a published change calls unsafe or untested, with the change and the tags or
// recipes it was printed for.
var unsuitableWords = []struct {
	words   []string
	item    string // family of the item
	change  string
	verdict Verdict
	what    string
}{
	{[]string{"killed", "dead", "overripe", "spoiled", "spoiling", "rotten"}, "tomato", "c043", Unsafe, "Tomatoes from dead or frost-killed vines, overripe or spoiling, may be too low in acid."},
	{[]string{"ripe", "soft"}, "mango", "c054", Untested, "The recipe was tested with hard, unripe fruit; ripe fruit is less acid."},
	{[]string{"ripe", "soft"}, "peach", "c054", Untested, "The recipe was tested with hard, unripe fruit; ripe fruit is less acid."},
	{[]string{"drained"}, "tomato", "c044", Unsafe, "Draining tomatoes takes away their acid juice."},
}

// forms compares how the foods are cut and how large the pieces are.
func (k *comparison) forms() {
	for i, lines := range k.filled {
		s := &k.p.slots[i]
		if s.kind != lowAcidSlot && s.kind != acidFoodSlot {
			continue
		}
		for _, line := range lines {
			want := k.printedFor(s, line)
			k.condition(line, want)
			k.cut(line, want, i == k.p.mainSlot)
			k.size(line, want)
		}
	}
}

// printedFor is the printed line that a cook's line answers to: the one of its item whose form is nearest.
func (k *comparison) printedFor(s *slot, line *composition.Line) *testedAmount {
	best, score := &s.lines[0], -1
	for i := range s.lines {
		a, points := &s.lines[i], 0
		if a.item == line.Item {
			points += 4
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

func (k *comparison) condition(line *composition.Line, want *testedAmount) {
	for _, u := range unsuitableWords {
		if line.Item.Family != u.item || !line.Form.Has(u.words...) || want.form.Has(u.words...) {
			continue
		}
		if u.change == "c054" && (!want.form.Has("unripe", "underripe") || line.Form.Has("unripe", "underripe")) {
			continue
		}
		k.add(Departure{
			Rule: RuleUnsuitable, Verdict: u.verdict, At: line.At + "/form", Changes: []string{u.change}, What: u.what,
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

func (k *comparison) cut(line *composition.Line, want *testedAmount, main bool) {
	mine := line.Form
	at := line.At + "/form"
	switch {
	case want.form.Coarsest == composition.Unstated && main && line.Written.Form == "":
		k.add(Departure{
			Rule: RulePureed, Verdict: Undetermined, At: line.At, Changes: []string{"c103"},
			What:   "The recipe does not say the form of the " + line.Name + "; the tested recipe has it: " + orAsIs(want.formText) + ".",
			Remedy: "Say the form, for example whole.",
		})
	case want.form.Coarsest == composition.Unstated && mine.Coarsest != composition.Pureed:
	case mine.Coarsest == composition.Unstated:
		k.add(Departure{
			Rule: RulePieceSize, Verdict: Undetermined, At: line.At, Changes: []string{"c088"},
			What:   "The recipe does not say the cut of the " + line.Name + "; the tested recipe has: " + want.formText + ".",
			Remedy: "Say the form, for example " + want.form.Coarsest.String() + ".",
		})
	case mine.Coarsest == composition.Pureed && want.form.Finest != composition.Pureed:
		k.add(Departure{
			Rule: RulePureed, Verdict: Unsafe, At: at, Changes: []string{"c103"},
			What:   fmt.Sprintf("Pureed here and in pieces in the tested recipe: %s. A puree heats far more slowly and no process was determined for it.", line.Name),
			Remedy: "Leave it in pieces; puree it when serving.", Fix: formFix(line, want),
		})
	case mine.Coarsest > want.form.Coarsest:
		k.add(Departure{
			Rule: RulePieceSize, Verdict: Unsafe, At: at, Changes: []string{"c088"},
			What:   fmt.Sprintf("%s: %s here, smaller in the tested recipe (%s). Heat takes longer to reach the middle of larger pieces.", measure.Capital(line.Name), mine.Coarsest, want.formText),
			Remedy: "Cut it as the tested recipe says.", Fix: formFix(line, want),
		})
	case mine.Coarsest+1 < want.form.Finest:
		k.add(Departure{
			Rule: RulePieceSize, Verdict: Untested, At: at,
			What:   fmt.Sprintf("%s: %s here, coarser in the tested recipe (%s). Finer pieces pack closer, and that was not tested.", measure.Capital(line.Name), mine.Coarsest, want.formText),
			Remedy: "Cut it as the tested recipe says.", Fix: formFix(line, want),
		})
	}
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

// size compares the sizes that the tested recipe prints: thickness of slices and cubes, length and diameter of whole pieces.
func (k *comparison) size(line *composition.Line, want *testedAmount) {
	form := want.form
	coarsest := line.Form.Coarsest
	if coarsest == composition.Unstated || coarsest > form.Coarsest {
		return // said already
	}
	whole := coarsest >= composition.Strips
	switch {
	case whole && form.LengthMM > 0:
		k.compareSize(line, "length", line.LengthMM, form.LengthMM)
	case whole && form.DiameterMM > 0:
		k.compareSize(line, "thickness", line.DiameterMM(), form.DiameterMM)
	case !whole && form.ThicknessMM > 0 && coarsest >= composition.Chopped:
		k.compareSize(line, "thickness", line.ThicknessMM(), form.ThicknessMM)
	case !whole && form.ThicknessMM == 0 && form.LengthMM > 0 && line.Form.LengthMM+line.LengthMM > 0 && coarsest == composition.Sliced && form.Coarsest == composition.Whole:
		k.compareSize(line, "length", line.LengthMM, form.LengthMM)
	}
}

func (k *comparison) compareSize(line *composition.Line, member string, mineMM, limitMM float64) {
	inches := measure.FormatInches(measure.Length(limitMM / 1e3))
	limit := &report.Amount{Value: round(limitMM/25.4, 4), Unit: "in"}
	fix := []report.Operation{{Op: "add", Path: line.At + "/piece", Value: map[string]any{member: map[string]any{"value": limit.Value, "unit": "in"}}}}
	switch {
	case mineMM == 0:
		k.add(Departure{
			Rule: RulePieceSize, Verdict: Undetermined, At: line.At, Changes: []string{"c088"}, Limit: limit,
			What:   fmt.Sprintf("The recipe does not say the %s of the %s; the tested recipe has at most %s.", member, line.Name, inches),
			Remedy: "Give piece." + member + ".",
		})
	case mineMM > limitMM*(1+k.m.limits.piece):
		d := Departure{
			Rule: RulePieceSize, Verdict: Unsafe, At: line.At, Changes: []string{"c088"}, Limit: limit,
			Measured: &report.Amount{Value: round(mineMM/25.4, 4), Unit: "in"},
			What:     fmt.Sprintf("%s: %s in %s; the tested recipe has at most %s. Heat takes longer to reach the middle of larger pieces.", measure.Capital(line.Name), measure.FormatInches(measure.Length(mineMM/1e3)), member, inches),
			Remedy:   "Cut the pieces to at most " + inches + ".",
		}
		if line.Written.Piece != nil {
			d.Fix = fix
		}
		k.add(d)
	}
}

func round(value float64, digits int) float64 {
	scale := math.Pow(10, float64(digits))
	return math.Round(value*scale) / scale
}

// roundUp and roundDown keep three figures, as many as a kitchen scale shows, to the safe side.
func roundUp(value float64) float64   { return roundTo(value, math.Ceil) }
func roundDown(value float64) float64 { return roundTo(value, math.Floor) }

func roundTo(value float64, towards func(float64) float64) float64 {
	if value <= 0 {
		return 0
	}
	// A hair of float error must not push 6.000000000001 up to 6.001.
	scale := math.Pow(10, 2-math.Floor(math.Log10(value)))
	scaled := value * scale
	if near := math.Round(scaled); math.Abs(scaled-near) < 1e-6*scaled {
		return near / scale
	}
	return towards(scaled) / scale
}

func names(lines []*composition.Line) string {
	var all []string
	for _, line := range lines {
		all = append(all, line.Name)
	}
	return strings.Join(all, " and ")
}
