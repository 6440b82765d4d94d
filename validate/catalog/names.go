package catalog

import (
	"maps"
	"slices"
)

// FoldedNames lists every name that Resolve knows, as Fold writes it, in the order of the alphabet.
func (t *Tables) FoldedNames() []string { return slices.Sorted(maps.Keys(t.names)) }
