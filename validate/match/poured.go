package match

import (
	"fmt"
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
)

// soaked reports whether an item is what a soak is made of.
func soaked(item *catalog.Item) bool {
	switch item.Class {
	case catalog.Water, catalog.Ice, catalog.Salt, catalog.Firming:
		return true
	}
	return false
}

// settle decides, in the composition, what becomes of the lines that are marked as poured away beside this tested recipe.
func (p *pattern) settle(cook *composition.Composition) {
	water := quota{kind: waterSlot, classes: []catalog.Class{catalog.Water, catalog.Ice}}
	salt := quota{kind: saltSlot, classes: []catalog.Class{catalog.Salt}}
	sugars := 0
	for i := range cook.Lines {
		line := &cook.Lines[i]
		if line.Pouring == composition.NotMarked {
			continue
		}
		asPrinted := p.pours(line)
		switch {
		case !asPrinted:
		case slices.Contains(water.classes, line.Class):
			asPrinted = water.take(p, cook)
		case slices.Contains(salt.classes, line.Class):
			asPrinted = salt.take(p, cook)
		case line.Class == catalog.Sugar:
			sugars++
			asPrinted = sugars <= countOf(p.poured, line.Item)
		}
		line.Settle(asPrinted)
	}
}

// quota is how many marked lines of water, or of salt, may be poured away. Where the tested recipe has such a thing in the jar and
// every line of it is marked, the mark stands on that of the jar too: then only as many are poured away as are printed.
type quota struct {
	kind    slotKind
	classes []catalog.Class
	counted bool
	left    int
}

// take reports whether one more line may be poured away.
func (q *quota) take(p *pattern, cook *composition.Composition) bool {
	if !q.counted {
		q.counted, q.left = true, len(cook.Lines)
		inJar := slices.ContainsFunc(p.slots, func(s slot) bool { return s.kind == q.kind })
		if inJar && !slices.ContainsFunc(cook.Lines, func(l composition.Line) bool {
			return l.Class == q.classes[0] && l.Used() && l.Pouring == composition.NotMarked
		}) {
			q.left = 0
			for _, item := range p.poured {
				if slices.Contains(q.classes, item.Class) {
					q.left++
				}
			}
		}
	}
	q.left--
	return q.left >= 0
}

func countOf(items []*catalog.Item, item *catalog.Item) int {
	count := 0
	for _, other := range items {
		if other == item {
			count++
		}
	}
	return count
}

// pours reports whether the tested recipe pours such a thing away: water and ice where it has a soak, another thing where
// it pours the same away, a spice or herb where it lifts out any.
func (p *pattern) pours(line *composition.Line) bool {
	if line.Item == nil {
		return false
	}
	switch line.Class {
	case catalog.Water, catalog.Ice:
		return p.soaks
	case catalog.Seasoning, catalog.FreshHerb:
		return slices.ContainsFunc(p.poured, func(item *catalog.Item) bool {
			return item.Class == catalog.Seasoning || item.Class == catalog.FreshHerb
		})
	case catalog.Acid:
		return slices.ContainsFunc(p.poured, func(item *catalog.Item) bool { return item.Class == catalog.Acid && item.Family == line.Item.Family })
	}
	return slices.Contains(p.poured, line.Item) || line.Class == catalog.Salt && slices.ContainsFunc(p.poured, isSalt)
}

func isSalt(item *catalog.Item) bool { return item.Class == catalog.Salt }

// pouredAway speaks of lines that are marked as poured away where the tested recipe pours no such thing away. A line that is
// named anyhow has it said there; spices and herbs that are lifted out all the same count as in the jar, and that is all.
func (c *comparison) pouredAway() {
	for i := range c.cook.Lines {
		line := &c.cook.Lines[i]
		if line.Pouring != composition.MarkedWrong || !line.Used() || c.saidOf(line) {
			continue
		}
		d := Departure{
			Rule: RulePouredAway, Verdict: Unsafe, At: line.At + "/drained",
			What:   fmt.Sprintf("%s is marked as poured away. %s", measure.Capital(line.Name), measure.Capital(c.whyNot(line))),
			Remedy: "Take the mark (drained) off if it goes into the jar; leave the line out if it does not.",
		}
		switch line.Class {
		case catalog.Seasoning, catalog.FreshHerb:
			continue
		case catalog.Acid:
			if !c.gaveAcid(line) {
				continue // it is none that the tested recipe rests on
			}
			d.Remedy = "Put the acid into the jar as the tested recipe does, and take the mark (drained) off."
		}
		c.add(d)
	}
}

// saidOf adds to the departures that name the line already that it is marked as poured away. It reports false where there is none.
func (c *comparison) saidOf(line *composition.Line) bool {
	said := false
	for i := range c.match.Departures {
		d := &c.match.Departures[i]
		if (d.Verdict == Unsafe || d.Verdict == Untested) && (d.At == line.At || strings.HasPrefix(d.At, line.At+"/")) {
			d.What += " It is marked as poured away: " + c.whyNot(line)
			said = true
		}
	}
	return said
}

// whyNot says why the mark on a line has no meaning.
func (c *comparison) whyNot(line *composition.Line) string {
	switch {
	case line.Class == catalog.Acid:
		return "an acid that is poured away gives the jar none."
	case line.Class == catalog.Salt && c.tested.fermented:
		return "salt that is poured away does not hold in the ferment."
	case line.Class == catalog.AcidFood:
		return "food is never poured away, and fruit or tomatoes whose juice is poured away have lost their acid. It counts as in the jar."
	case line.IsFood():
		return "food is never poured away. It counts as in the jar."
	case line.Class == catalog.Fat, line.Class == catalog.Thickener, line.Class == catalog.Sugar, line.Class == catalog.Sweetener:
		return "what is mixed in is never poured away. It counts as in the jar."
	}
	return c.title() + " pours nothing of the kind away, so that nobody can tell whether it is in the jar."
}

// gaveAcid reports whether the acid of the line is one that the tested recipe rests on.
func (c *comparison) gaveAcid(line *composition.Line) bool {
	return slices.ContainsFunc(c.tested.slots, func(s slot) bool {
		own, standIn := s.accepts(line.Item)
		return s.kind == acidSlot && !s.optional && (own || standIn)
	})
}

// elevation is where the jars are processed, nil when it is not given.
func (m *Matcher) elevation(request *document.Request) *measure.Length {
	var written *document.Quantity
	switch {
	case request.Batch != nil && request.Batch.Elevation != nil:
		written = request.Batch.Elevation
	case request.Kitchen != nil:
		written = request.Kitchen.Elevation
	}
	if written == nil {
		return nil
	}
	si, ok := m.scale.Units().SI(written.Value, written.Unit)
	if !ok {
		return nil
	}
	return new(measure.Length(si))
}

// missingLiquid says that the liquid which covers the food in the tested recipe is missing.
func (c *comparison) missingLiquid(slot *slot) {
	c.match.dry = true
	c.add(Departure{
		Rule: RulePublishedMatch, Verdict: Untested, At: "/recipe/ingredients",
		What:   fmt.Sprintf("In %s %s covers the food; this recipe has none. Its minutes hold for jars with that liquid only.", c.title(), slotNames(slot)),
		Remedy: fmt.Sprintf("Cover the food with %s as printed and say so (to_cover), or follow the tested recipe for food packed without it.", slotNames(slot)),
	})
}

// tellOf says, where the liquid is missing, which tested recipe has none either and how long that one takes.
func (m *Match) tellOf(nearer *Match, elevation *measure.Length) {
	if nearer.Recipe == nil || nearer.Recipe.ID == m.Recipe.ID || nearer.Pack.Schedule == nil || len(nearer.Pack.Schedule.Bands) == 0 {
		return
	}
	row := nearer.Pack.Schedule
	first, last := row.Bands[0].Minutes, row.Bands[len(row.Bands)-1].Minutes
	minutes := measure.FormatNumber(first)
	if last > first {
		minutes += " to " + measure.FormatNumber(last) + " minutes by elevation"
	} else {
		minutes += " minutes"
	}
	if elevation != nil {
		if band, ok := row.Band(*elevation); ok {
			minutes = measure.FormatNumber(band.Minutes) + " minutes"
		}
	}
	for i := range m.Departures {
		if d := &m.Departures[i]; d.Rule == RulePublishedMatch && d.Verdict == Untested && d.At == "/recipe/ingredients" {
			d.What += fmt.Sprintf(" Packed as it stands it is nearer to “%s”, which takes %s.", nearer.Recipe.Title, minutes)
		}
	}
}
