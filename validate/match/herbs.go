package match

import (
	"fmt"
	"math"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/report"
)

// herbScale is the scale of the batch that fresh herbs go by: that of its acid, or of its fruit or main food where the
// tested recipe adds no acid to the batch.
func (c *comparison) herbScale(s *scales, needed float64) float64 {
	scale := math.Max(s.acid, needed)
	switch {
	case math.IsInf(scale, 1) && !math.IsInf(s.fruit, 1):
		return s.fruit
	case math.IsInf(scale, 1) && c.tested.mainSlot >= 0 && !c.tested.slots[c.tested.mainSlot].perJar():
		return s.of[c.tested.mainSlot].low
	}
	return scale
}

// herbs compares fresh herbs with the printed amount at the scale of the batch. What cannot be compared, a bunch with a
// head, is let be: it is little either way.
func (c *comparison) herbs(scale, tolerance float64) {
	for i := range c.tested.slots {
		slot := &c.tested.slots[i]
		if slot.kind != herbSlot || slot.openEnded || len(c.filled[i]) == 0 {
			continue
		}
		if missing := slices.IndexFunc(c.filled[i], func(l *composition.Line) bool { return l.State == composition.Missing }); missing >= 0 {
			line := c.filled[i][missing]
			c.add(Departure{
				Rule: RuleFreshHerb, Verdict: Undetermined, At: line.At, Changes: c.changesOn(catalog.MoreFreshHerb),
				What: "How much fresh " + line.Name + " there is, is not given.", Remedy: "Give its amount.",
			})
			continue
		}
		limit := slot.most
		if !slot.perJar() && !math.IsInf(scale, 1) {
			limit *= scale
		}
		r := c.matcher.ratio(slot, c.filled[i], c.cook)
		if r.unknown != "" || r.high <= limit*tolerance {
			continue
		}
		d := Departure{
			Rule: RuleFreshHerb, Verdict: Untested, At: c.filled[i][0].At + "/amount", Changes: c.changesOn(catalog.MoreFreshHerb),
			What:   fmt.Sprintf("There is more fresh %s than %s has. Fresh herbs and roots are low in acid.", slot.name, c.title()),
			Remedy: "Add the rest when serving, or use the dried herb.",
		}
		for _, line := range c.filled[i] {
			most := roundDown(line.Value * limit / r.high)
			d.Fix = append(d.Fix, report.Operation{Op: "replace", Path: line.At + "/amount/value", Value: most})
			if len(c.filled[i]) == 1 {
				d.Measured, d.Limit = shown(line, line.Value), shown(line, most)
			}
		}
		c.add(d)
	}
}
