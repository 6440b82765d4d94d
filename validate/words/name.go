package words

import (
	"slices"

	"jarwright/validate/catalog"
)

// partsOfNames are the parts of words by which a name says more than its item.
var partsOfNames = []string{"state", "provenance", "variety", "ripeness", "strength", "dilution", "brine"}

// ReadName lists what the name of an item says beyond the item: "dried beans", "seasoned rice vinegar". The catalog knows the name, so
// that its words are no second food and none is unknown; but the state, the strength and what contradicts a tested recipe count.
func (l *List) ReadName(name string, of *Context) []Span {
	spans := l.read(name, of, true)
	if of.Item == nil || len(spans) == 0 {
		return spans
	}
	switch of.Class {
	case catalog.LowAcid, catalog.AcidFood, catalog.Acid:
	default:
		return nil // kinds of salt, spices and the like
	}
	own := tokens(of.Item.Name, nil)
	return slices.DeleteFunc(spans, func(s Span) bool {
		if s.Row == nil || s.Kind == Unknown || s.Kind == LargerCut || !slices.Contains(partsOfNames, s.Row.Part) {
			return true
		}
		if s.Kind == Question && !slices.Contains([]string{"state", "strength", "origin", "meaning"}, s.Code) {
			return true
		}
		said := tokens(name[s.Start:s.End], nil)
		return slices.ContainsFunc(said, func(t token) bool {
			return slices.ContainsFunc(own, func(o token) bool { return o.stem == t.stem })
		})
	})
}
