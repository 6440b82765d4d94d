package catalog

import (
	"maps"
	"slices"
)

// WithLimit is a copy of the tables in which one limit or tolerance has another value, to find out which answers it decides.
// The tables
// themselves are not changed; a limit that they do not have changes nothing.
func (t *Tables) WithLimit(id string, value float64) *Tables {
	moved := *t
	moved.Limits = slices.Clone(t.Limits)
	if i, found := t.limits[id]; found {
		moved.Limits[i].Value = value
	}
	if allowance, found := t.tolerances[Tolerance(id)]; found {
		moved.tolerances = maps.Clone(t.tolerances)
		allowance.Value, allowance.SI = value, allowance.SI*value/allowance.Value
		moved.tolerances[allowance.ID] = allowance
	}
	return &moved
}
