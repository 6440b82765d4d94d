package card

import (
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
)

// unsafeAlways are published statements that hold for every reader of a card for the shelf, in the order in which they
// are told. Which to tell is ours; what they say is published.
var unsafeAlways = []string{"c013", "c003", "c006", "c001", "c026", "c064", "c088", "c089", "c093", "c094", "c096", "c103"}

// changes says what a reader may and may not change: the leeway of the report where it has one, and the published
// changes that speak of this recipe.
func (b *builder) changes() {
	if !b.card.Fit || b.tested == nil {
		return
	}
	for _, l := range b.report.Leeway {
		if l.Knob == "minutes" {
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
		case !change.Safe && change.MattersFor != "quality" && (named || slices.Contains(unsafeAlways, change.ID) && b.applies(change)):
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

// speaksOf reports whether a change was printed for this recipe or a group that it is tagged with.
func (b *builder) speaksOf(change *catalog.Change) bool {
	for _, to := range change.AppliesTo {
		tag, tagged := strings.CutPrefix(to, "tag:")
		switch {
		case to == b.tested.ID, tagged && slices.Contains(b.tested.Tags, tag):
			return true
		case to == "kind:fermented" && b.tested.Kind == document.KindFermented:
			return true
		}
	}
	return false
}

// applies adds the changes printed for every recipe of the kind.
func (b *builder) applies(change *catalog.Change) bool {
	return slices.ContainsFunc(change.AppliesTo, func(to string) bool { return to == "all" || to == "kind:"+b.tested.Kind })
}
