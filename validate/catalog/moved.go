package catalog

import "slices"

// WithLimit is a copy of the tables in which one limit has another value, to find out which answers it decides. The tables
// themselves are not changed; a limit that they do not have changes nothing.
func (t *Tables) WithLimit(id string, value float64) *Tables {
	moved := *t
	moved.Limits = slices.Clone(t.Limits)
	if i, found := t.limits[id]; found {
		moved.Limits[i].Value = value
	}
	return &moved
}
