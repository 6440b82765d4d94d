package match

import (
	"fmt"
	"math"
	"slices"

	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// scales is how the cook's amounts stand to the printed ones, by slot: 1 is the recipe itself, whatever its size.
type scales struct {
	of    []ratio
	acid  float64 // the least acid slot; +Inf where the tested recipe adds no acid
	fruit float64 // the least acid-food slot, whose acid the low-acid food leans on; +Inf where there is none
}

// amounts compares proportions. A recipe is as safe as the tested one when, at the scale of its acid, no low-acid food,
// no acid food, no water, fat or thickener is more than printed, and when the low-acid food is no more than printed at the
// scale of its acid food. Whole batches may be any size.
func (k *comparison) amounts() {
	s, ok := k.measureSlots()
	k.match.ratios = s.of
	if !ok {
		return
	}
	tolerance := 1 + k.m.limits.ratio
	if k.missingAcid() {
		return
	}
	if k.p.acidInJar {
		k.acidPerJar(&s, tolerance)
		s.acid = math.Inf(1) // the jar, not the batch, holds the acid to the food
	}
	needed := k.food(&s, tolerance)
	if needed > s.acid*tolerance {
		k.tooLittleAcid(&s, needed)
	}
	k.diluters(&s, math.Max(s.acid, needed), tolerance)
	k.herbs(k.herbScale(&s, needed), tolerance)
	k.recordSafe(&s)
	if needed > 0 && !math.IsInf(s.acid, 1) {
		k.match.Acid = Proportion{Here: s.acid, Food: needed}
	}
	k.rooms(&s, needed)
}

// rooms works out how far each amount may be moved by itself.
func (k *comparison) rooms(s *scales, needed float64) {
	add := func(i int, knob string, least, most float64) {
		lines := k.filled[i]
		if len(lines) != 1 || lines[0].State != composition.Given || lines[0].Value == 0 {
			return
		}
		line := lines[0]
		room := Room{Knob: knob, At: line.At + "/amount/value", Name: line.Name, Unit: line.Unit.Code, Now: line.Value, Low: roundUp(line.Value * least)}
		if !math.IsInf(most, 1) {
			room.High = new(roundDown(line.Value * most))
		}
		k.match.Rooms = append(k.match.Rooms, room)
	}
	for i := range k.p.slots {
		// The acid has to match whatever is greatest in scale.
		if slot := &k.p.slots[i]; slot.kind != acidSlot && slot.kind != soakAcidSlot && slot.kind != saltSlot && !slot.openEnded && slot.lines[0].perJarML == 0 {
			needed = math.Max(needed, s.of[i].high)
		}
	}
	for i := range k.p.slots {
		slot := &k.p.slots[i]
		r := s.of[i]
		perJar := slot.lines[0].perJarML != 0
		switch {
		case r.high == 0 || math.IsInf(r.high, 1):
		case slot.kind == acidSlot && perJar:
			add(i, "acid", 1/r.low, math.Inf(1))
		case slot.kind == acidSlot:
			add(i, "acid", needed/r.low, math.Inf(1))
		case slot.kind == waterSlot && !slot.openEnded:
			limit := s.acid
			if perJar || math.IsInf(limit, 1) {
				limit = 1
			}
			add(i, "water", 0, limit/r.high)
		case slot.kind == lowAcidSlot && perJar:
			add(i, "low_acid_food", 0, 1/r.high)
		case slot.kind == lowAcidSlot:
			if limit := math.Min(s.acid, s.fruit); !math.IsInf(limit, 1) {
				add(i, "low_acid_food", 0, limit/r.high)
			}
		}
	}
}

// measureSlots takes the ratio of every slot; it reports false when one could not be taken, and says so.
func (k *comparison) measureSlots() (scales, bool) {
	s := scales{of: make([]ratio, len(k.p.slots)), acid: math.Inf(1), fruit: math.Inf(1)}
	known := true
	for i := range k.p.slots {
		slot := &k.p.slots[i]
		if slot.kind == saltSlot || slot.kind == herbSlot {
			continue // each has a comparison of its own
		}
		if slot.openEnded {
			k.openEnded(slot, k.filled[i])
			continue
		}
		r := k.m.ratio(slot, k.filled[i], k.c)
		if r.unknown != "" {
			k.add(Departure{
				Rule: RulePublishedRatio, Verdict: Undetermined, At: r.at,
				What:   "The proportions cannot be compared with " + k.title() + ": " + r.unknown + ".",
				Remedy: "Give the amount as a weight or a volume; if it is for each jar, give the jar and how many jars.",
			})
			known = false
			continue
		}
		s.of[i] = r
		switch {
		case slot.kind == acidSlot || slot.kind == soakAcidSlot:
			if !slot.optional && slot.lines[0].perJarML == 0 {
				s.acid = math.Min(s.acid, r.low)
			}
		case slot.kind == acidFoodSlot && !slot.optional && !slot.openEnded:
			s.fruit = math.Min(s.fruit, r.low)
		}
	}
	return s, known
}

// openEnded deals with lines printed without a figure: there is nothing to compare, but for water nobody can tell whether
// an amount that is given is too much.
func (k *comparison) openEnded(slot *slot, lines []*composition.Line) {
	if slot.kind != waterSlot || k.p.acidInJar || k.p.fermented {
		return
	}
	for _, line := range lines {
		if line.State == composition.Given || line.State == composition.Missing {
			at := line.At
			if line.State == composition.Given {
				at += "/amount"
			}
			k.add(Departure{
				Rule: RulePublishedRatio, Verdict: Undetermined, At: at, Changes: []string{"c110"},
				What:   k.title() + " allows only as much water as just covers the pieces; whether the amount here is more than that cannot be told.",
				Remedy: "Write as_needed for the water and add no more than covers the pieces.",
				Fix:    []report.Operation{{Op: "add", Path: line.At + "/amount", Value: map[string]any{"unit": "as_needed"}}},
			})
		}
	}
}

func (k *comparison) missingAcid() bool {
	missing := false
	for i := range k.p.slots {
		slot := &k.p.slots[i]
		if (slot.kind != acidSlot && slot.kind != soakAcidSlot) || slot.optional || len(k.filled[i]) > 0 {
			continue
		}
		missing = true
		what := fmt.Sprintf("%s has %s in the jar; this recipe has none.", k.title(), slotNames(slot))
		if slot.kind == soakAcidSlot {
			what = fmt.Sprintf("In %s the food is first cooked in %s that is poured away; this recipe has no such drained line.", k.title(), slotNames(slot))
		}
		changes := []string{"c013"}
		if k.p.acidInJar {
			changes = append(changes, "c016", "c018")
		}
		k.add(Departure{Rule: RulePublishedRatio, Verdict: Unsafe, At: "/recipe/ingredients", What: what, Changes: changes, Remedy: "Add " + printedAmount(slot) + "."})
	}
	return missing
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

// acidPerJar checks recipes whose acid is measured into each jar.
func (k *comparison) acidPerJar(s *scales, tolerance float64) {
	for i := range k.p.slots {
		slot := &k.p.slots[i]
		if slot.kind != acidSlot || slot.optional || len(k.filled[i]) == 0 || s.of[i].low*tolerance >= 1 {
			continue
		}
		line := k.filled[i][0]
		limit := roundUp(line.Value / s.of[i].low)
		k.add(Departure{
			Rule: RulePublishedRatio, Verdict: Unsafe, At: line.At + "/amount", Changes: []string{"c013"},
			Measured: shown(line, line.Value), Limit: shown(line, limit),
			What: fmt.Sprintf("%s %s is too little acid for the jar; %s has %s.", measure.FormatAmount(line.Value, line.Unit.Code), line.Name,
				k.title(), printedAmount(slot)),
			Remedy: fmt.Sprintf("Use at least %s.", measure.FormatAmount(limit, line.Unit.Code)),
			Fix:    []report.Operation{{Op: "replace", Path: line.At + "/amount/value", Value: limit}},
		})
	}
}

// food compares the foods with one another and returns the scale of acid that they need.
func (k *comparison) food(s *scales, tolerance float64) (needed float64) {
	high := make([]float64, len(s.of))
	most := 0.0
	for i := range k.p.slots {
		high[i] = s.of[i].high
		if k.p.slots[i].kind == lowAcidSlot && k.p.slots[i].lines[0].perJarML == 0 {
			most = math.Max(most, high[i])
		}
	}
	fruit := s.fruit
	if most > fruit*tolerance && most <= fruit*shortFruit && most <= s.acid*tolerance && !k.p.acidInJar {
		// The acid is enough for the low-acid food, the acid food is short: it is what was cut.
		k.tooLittleFruit(s, most)
		fruit = most
	}
	var over []int
	for i := range k.p.slots {
		slot := &k.p.slots[i]
		switch {
		case slot.kind == lowAcidSlot && slot.lines[0].perJarML != 0:
			if high[i] > tolerance {
				k.tooMuch(i, high[i], 1, "in each jar")
			}
			continue
		case slot.kind == lowAcidSlot && high[i] > fruit*tolerance:
			k.tooMuch(i, high[i], math.Min(fruit, math.Max(s.acid, 1)), "beside the "+k.shortestFruit(s))
			high[i] = fruit
		case slot.kind == lowAcidSlot:
		case slot.kind == acidFoodSlot && !slot.openEnded:
		default:
			continue
		}
		if high[i] > s.acid*tolerance {
			over = append(over, i)
		}
		if i == k.p.mainSlot {
			needed = high[i]
		}
	}
	if needed > s.acid*tolerance {
		for _, i := range over {
			needed = math.Max(needed, high[i])
		}
		return needed
	}
	for _, i := range over {
		k.tooMuch(i, s.of[i].high, s.acid, "for its acid")
	}
	return needed
}

// shortestFruit names the acid food that is shortest.
func (k *comparison) shortestFruit(s *scales) string {
	name, least := "acid food", math.Inf(1)
	for i := range k.p.slots {
		if slot := &k.p.slots[i]; slot.kind == acidFoodSlot && !slot.optional && !slot.openEnded && s.of[i].low < least {
			name, least = slot.name, s.of[i].low
		}
	}
	return name
}

// tooLittleFruit reports each acid food that is short of the scale.
func (k *comparison) tooLittleFruit(s *scales, scale float64) {
	for i := range k.p.slots {
		slot := &k.p.slots[i]
		short := s.of[i].low
		if slot.kind != acidFoodSlot || slot.optional || slot.openEnded || scale <= short*(1+k.m.limits.ratio) {
			continue
		}
		d := Departure{
			Rule: RulePublishedRatio, Verdict: Unsafe, At: "/recipe/ingredients", Changes: []string{"c028", "c001"},
			What:   fmt.Sprintf("There is less %s beside the low-acid food than in %s. It is an acid food of the recipe.", slot.name, k.title()),
			Remedy: "Use the tested proportion: more " + slot.name + ", or less of the low-acid food.",
		}
		if lines := k.filled[i]; len(lines) > 0 && short > 0 {
			line := lines[0]
			d.At = line.At + "/amount"
			if len(lines) == 1 {
				limit := roundUp(line.Value * scale / short)
				d.Measured, d.Limit = shown(line, line.Value), shown(line, limit)
				d.Fix = []report.Operation{{Op: "replace", Path: line.At + "/amount/value", Value: limit}}
			}
		}
		k.add(d)
	}
}

// tooMuch reports a slot that holds more than the allowed scale.
func (k *comparison) tooMuch(i int, have, allowed float64, beside string) {
	slot := &k.p.slots[i]
	lines := k.filled[i]
	factor := allowed / have
	d := Departure{
		Rule: RulePublishedRatio, Verdict: Unsafe, At: lines[0].At + "/amount", Changes: []string{"c001", "c026"},
		What: fmt.Sprintf("There is more %s %s than in %s: %s %% of the tested amount.", names(lines), beside, k.title(),
			measure.FormatNumber(round(100/factor, 0))),
		Remedy: "Use less of it, in the tested proportion.",
	}
	if slot.kind == lowAcidSlot && lines[0].Item != nil && (lines[0].Item.Family == familyOnion || lines[0].Item.Family == familySweetPepper || lines[0].Item.Family == familyHotPepper) {
		d.Changes = append(d.Changes, "c025")
	}
	for _, line := range lines {
		limit := roundDown(line.Value * factor)
		if len(lines) == 1 {
			d.Measured, d.Limit = shown(line, line.Value), shown(line, limit)
			d.Remedy = fmt.Sprintf("Use at most %s.", measure.FormatAmount(limit, line.Unit.Code))
		}
		d.Fix = append(d.Fix, report.Operation{Op: "replace", Path: line.At + "/amount/value", Value: limit})
	}
	if slices.ContainsFunc(lines, func(l *composition.Line) bool { return l.Unit.Dimension == measure.DimensionCount }) {
		d.Fix = nil // 1.7 peppers is no advice
	}
	k.add(d)
}

// tooLittleAcid reports that the acid is short for the food, at each acid line.
func (k *comparison) tooLittleAcid(s *scales, needed float64) {
	for i := range k.p.slots {
		slot := &k.p.slots[i]
		if (slot.kind != acidSlot && slot.kind != soakAcidSlot) || slot.optional || len(k.filled[i]) == 0 || s.of[i].low >= needed/(1+k.m.limits.ratio) {
			continue
		}
		lines := k.filled[i]
		factor := needed / s.of[i].low
		d := Departure{
			Rule: RulePublishedRatio, Verdict: Unsafe, At: lines[0].At + "/amount", Changes: []string{"c001", "c013", "c020"},
			What: fmt.Sprintf("%s: %s %% of what %s has for this much food.", names(lines), measure.FormatNumber(round(100/factor, 0)), k.title()),
		}
		for _, line := range lines {
			limit := roundUp(line.Value * factor)
			d.Fix = append(d.Fix, report.Operation{Op: "replace", Path: line.At + "/amount/value", Value: limit})
			if len(lines) == 1 {
				d.Measured, d.Limit = shown(line, line.Value), shown(line, limit)
				d.What = fmt.Sprintf("%s %s is too little for this much food; in the proportion of %s it would be %s.",
					measure.FormatAmount(line.Value, line.Unit.Code), line.Name, k.title(), measure.FormatAmount(limit, line.Unit.Code))
			}
		}
		d.Remedy = "Use at least that much acid, or less of the food. To soften the taste add sugar, never less acid."
		k.add(d)
	}
}

// diluters compares water, fat and thickener with the acid.
func (k *comparison) diluters(s *scales, acid, tolerance float64) {
	for i := range k.p.slots {
		slot := &k.p.slots[i]
		if len(k.filled[i]) == 0 || slot.openEnded {
			continue
		}
		limit := acid
		if math.IsInf(limit, 1) {
			limit = 1 // measured for each jar, or in proportion to the food that is fermented
			if k.p.mainSlot >= 0 && slot.lines[0].perJarML == 0 {
				limit = s.of[k.p.mainSlot].low
			}
		}
		if s.of[i].high <= limit*tolerance {
			continue
		}
		lines := k.filled[i]
		factor := limit / s.of[i].high
		d := Departure{Verdict: Unsafe, At: lines[0].At + "/amount"}
		switch slot.kind {
		case waterSlot:
			d.Rule, d.Changes = RulePublishedRatio, []string{"c001", "c020"}
			d.What = fmt.Sprintf("There is more water to the acid than in %s: a weaker brine.", k.title())
			d.Remedy = "Use less water, or more acid in the same proportion."
		case fatSlot:
			d.Rule, d.Verdict, d.Changes = RuleFat, Untested, []string{"c081"}
			d.What = fmt.Sprintf("There is more %s than in %s. Fat coats food so that acid and heat reach it more slowly.", names(lines), k.title())
			d.Remedy = "Measure the fat as the tested recipe does."
		case thickenerSlot:
			d.Rule, d.Changes = RuleThickener, []string{"c077", "c078", "c079"}
			d.What = fmt.Sprintf("There is more %s than in %s; the process was tested with that amount only.", names(lines), k.title())
			d.Remedy = "Use no more thickener than the tested recipe."
		default:
			continue
		}
		for _, line := range lines {
			most := roundDown(line.Value * factor)
			d.Fix = append(d.Fix, report.Operation{Op: "replace", Path: line.At + "/amount/value", Value: most})
			if len(lines) == 1 {
				d.Measured, d.Limit = shown(line, line.Value), shown(line, most)
				d.Remedy += fmt.Sprintf(" At most %s.", measure.FormatAmount(most, line.Unit.Code))
			}
		}
		k.add(d)
	}
}

// herbScale is the scale of the batch that fresh herbs go by: that of its acid, or of its fruit or main food where the
// tested recipe adds no acid to the batch.
func (k *comparison) herbScale(s *scales, needed float64) float64 {
	scale := math.Max(s.acid, needed)
	switch {
	case math.IsInf(scale, 1) && !math.IsInf(s.fruit, 1):
		return s.fruit
	case math.IsInf(scale, 1) && k.p.mainSlot >= 0 && k.p.slots[k.p.mainSlot].lines[0].perJarML == 0:
		return s.of[k.p.mainSlot].low
	}
	return scale
}

// herbs compares fresh herbs with the printed amount at the scale of the batch. What cannot be compared, a bunch with a
// head, is let be: it is little either way.
func (k *comparison) herbs(scale, tolerance float64) {
	for i := range k.p.slots {
		slot := &k.p.slots[i]
		if slot.kind != herbSlot || slot.openEnded || len(k.filled[i]) == 0 {
			continue
		}
		if missing := slices.IndexFunc(k.filled[i], func(l *composition.Line) bool { return l.State == composition.Missing }); missing >= 0 {
			line := k.filled[i][missing]
			k.add(Departure{
				Rule: RuleFreshHerb, Verdict: Undetermined, At: line.At, Changes: []string{"c059"},
				What: "How much fresh " + line.Name + " there is, is not given.", Remedy: "Give its amount.",
			})
			continue
		}
		limit := slot.slack
		if slot.lines[0].perJarML == 0 && !math.IsInf(scale, 1) {
			limit *= scale
		}
		r := k.m.ratio(slot, k.filled[i], k.c)
		if r.unknown != "" || r.high <= limit*tolerance {
			continue
		}
		d := Departure{
			Rule: RuleFreshHerb, Verdict: Untested, At: k.filled[i][0].At + "/amount", Changes: []string{"c059"},
			What:   fmt.Sprintf("There is more fresh %s than %s has. Fresh herbs and roots are low in acid.", slot.name, k.title()),
			Remedy: "Add the rest when serving, or use the dried herb.",
		}
		for _, line := range k.filled[i] {
			most := roundDown(line.Value * limit / r.high)
			d.Fix = append(d.Fix, report.Operation{Op: "replace", Path: line.At + "/amount/value", Value: most})
			if len(k.filled[i]) == 1 {
				d.Measured, d.Limit = shown(line, line.Value), shown(line, most)
			}
		}
		k.add(d)
	}
}

// recordSafe lists the changes that published sources call safe, so that a reader sees them recognized.
func (k *comparison) recordSafe(s *scales) {
	tolerance := 1 + k.m.limits.ratio
	base := s.fruit
	if k.p.mainSlot >= 0 {
		base = s.of[k.p.mainSlot].high
	}
	if !math.IsInf(s.acid, 1) && s.acid > base*tolerance && base > 0 {
		k.add(Departure{Rule: RulePublishedRatio, Verdict: Safe, At: "/recipe/ingredients", What: "There is more acid for the food than in the tested recipe.", Changes: []string{"c019"}})
	}
	for i := range k.p.slots {
		slot := &k.p.slots[i]
		if slot.kind == lowAcidSlot && i != k.p.mainSlot && slot.lines[0].perJarML == 0 && s.of[i].high*tolerance < base {
			k.add(Departure{Rule: RulePublishedRatio, Verdict: Safe, At: "/recipe/ingredients", What: "There is less " + slot.name + " than in the tested recipe, or none.", Changes: []string{"c027"}})
		}
		for _, line := range k.filled[i] {
			if own, standIn := slot.accepts(line.Item); standIn && !own {
				k.add(Departure{Rule: RulePublishedMatch, Verdict: Safe, At: line.At + "/item", What: line.Name + " stands in for " + slot.lines[0].item.Name + ".", Changes: slot.changes})
			}
		}
	}
}

// salt compares the salt of a ferment, which its safety rests on, by weight for the vegetables and for the brine. In fresh
// packs salt is taste only, so less of it is a safe change.
func (k *comparison) salt() {
	for i := range k.p.slots {
		slot := &k.p.slots[i]
		if slot.kind == saltSlot && k.p.fermented {
			k.fermentSalt(i, slot)
		}
	}
}

func (k *comparison) fermentSalt(i int, slot *slot) {
	lines := k.filled[i]
	if len(lines) == 0 {
		k.add(Departure{
			Rule: RuleSaltInFerment, Verdict: Unsafe, At: "/recipe/ingredients", Changes: []string{"c064"},
			What: k.title() + " is fermented in salt; this recipe has none.", Remedy: "Add " + printedAmount(slot) + " in proportion.",
		})
		return
	}
	line := lines[0]
	scale := 0.0
	for j := range k.p.slots {
		other := &k.p.slots[j]
		if other.kind != lowAcidSlot && other.kind != waterSlot || other.optional || other.openEnded || len(k.filled[j]) == 0 {
			continue
		}
		r := k.m.ratio(other, k.filled[j], k.c)
		if r.unknown != "" {
			return // said with the amounts
		}
		scale = math.Max(scale, r.high)
	}
	r, unknown := k.saltRatio(line, slot)
	switch {
	case unknown != "":
		k.add(Departure{
			Rule: RuleSaltInFerment, Verdict: Undetermined, At: line.At, Changes: []string{"c064"},
			What: "Whether the ferment has salt enough cannot be told: " + unknown + ".", Remedy: "Weigh the salt and say its kind.",
		})
	case r < scale*(1-k.m.limits.saltMass):
		limit := roundUp(line.Value * scale / r)
		k.add(Departure{
			Rule: RuleSaltInFerment, Verdict: Unsafe, At: line.At + "/amount", Changes: []string{"c064"},
			Measured: shown(line, line.Value), Limit: shown(line, limit),
			What: fmt.Sprintf("%s of salt is less than %s has for this much food. In a ferment the salt keeps harmful bacteria down while the acid forms.",
				measure.FormatAmount(line.Value, line.Unit.Code), k.title()),
			Remedy: fmt.Sprintf("Use at least %s.", measure.FormatAmount(limit, line.Unit.Code)),
			Fix:    []report.Operation{{Op: "replace", Path: line.At + "/amount/value", Value: limit}},
		})
	}
}

// saltRatio compares salts by weight, each through its own kind, with the least the cook's can weigh and, since sources
// disagree whether a cup of canning salt is 220 g or 292 g, the larger reading of the tested amount: the safer one.
// Two volumes of fine salt are compared as volumes.
func (k *comparison) saltRatio(line *composition.Line, slot *slot) (float64, string) {
	value, unknown := perUnit(line, slot.lines[0].perJarML, k.c)
	if unknown != "" {
		return 0, unknown
	}
	printed := &slot.lines[0]
	fine := line.SaltKind == document.SaltCanning || line.SaltKind == document.SaltTable
	if line.Unit.Dimension == measure.DimensionVolume && fine {
		return line.Unit.SI(value) / printed.unit.SI(printed.low), ""
	}
	if line.SaltKind == "" && line.Unit.Dimension == measure.DimensionVolume {
		return 0, "the kind of salt is not said, and a cup of flake salt weighs half as much as a cup of fine salt"
	}
	least, _, ok := k.m.scale.GramsOfKind(line.Item, line.SaltKind, value, line.Unit)
	_, want, ok2 := k.m.scale.GramsOfKind(printed.item, document.SaltCanning, printed.low, printed.unit)
	if !ok || !ok2 || want <= 0 {
		return 0, "the salt is not given as a weight or a volume"
	}
	return least / want, ""
}
