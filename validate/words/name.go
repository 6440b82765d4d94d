package words

import "slices"

// ReadName lists what the name of an item says beyond the item: "dried beans", "seasoned rice vinegar". The catalog knows the name, so
// that its words are no second food and none is unknown; but the state, the strength and what contradicts a tested recipe count.
func (l *List) ReadName(name string, of *Context) []Span {
	spans := l.Read(name, of)
	if of.Item == nil {
		return spans
	}
	own := tokens(of.Item.Name, nil)
	return slices.DeleteFunc(spans, func(s Span) bool {
		if s.Row == nil || s.Kind == Unknown || s.Kind == LargerCut || s.Food != nil {
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
