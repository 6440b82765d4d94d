package card

import (
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
)

// changes says what a reader may and may not change: the leeway of the report where it has one, and the published
// changes that speak of this recipe.
func (b *builder) changes() {
	if !b.card.Fit || b.tested == nil {
		return
	}
	for _, l := range b.report.Leeway {
		if l.Variable == "minutes" {
			continue // the table of the card has them
		}
		b.card.May = append(b.card.May, Change{Text: l.Text, Sources: l.Sources})
	}
	for i := range b.writer.tables.Changes {
		change := &b.writer.tables.Changes[i]
		named := b.speaksOf(change)
		switch {
		case change.Safe && named:
			b.card.May = append(b.card.May, changeOf(change))
		case !change.Safe && change.MattersFor != "quality" && (named || change.EveryCard && b.appliesToKind(change)):
			b.card.MayNot = append(b.card.MayNot, changeOf(change))
		}
	}
}

func changeOf(change *catalog.Change) Change {
	text := measure.Capital(change.Change)
	if change.Condition != "" {
		text += " (" + change.Condition + ")"
	}
	return Change{Text: text + ".", Sources: []catalog.Citation{change.Citation}}
}

// speaksOf reports whether a change was printed for a group of recipes that this one is of, other than all recipes or all
// of a kind. Ferments are few, so that what is said of them counts as said of each.
func (b *builder) speaksOf(change *catalog.Change) bool {
	return slices.ContainsFunc(change.AppliesTo, func(to string) bool {
		wide := to == "all" || strings.HasPrefix(to, "kind:") && to != "kind:"+document.KindFermented
		return !wide && b.tested.In(to)
	})
}

// appliesToKind reports whether a change was printed for every recipe, or for every one of the kind.
func (b *builder) appliesToKind(change *catalog.Change) bool {
	return slices.ContainsFunc(change.AppliesTo, func(to string) bool { return to == "all" || to == "kind:"+b.tested.Kind })
}
