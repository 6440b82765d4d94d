package facts

import (
	"jarwright/validate/headspace"
	"jarwright/validate/measure"
)

// Jar is the inside of the recipe's jar; it reports false when the recipe does not say enough of it, or says measures that
// no jar has.
func (f *Facts) Jar() (headspace.Jar, bool) {
	if f.Contents.Jar == nil {
		return headspace.Jar{}, false
	}
	return *f.Contents.Jar, true
}

// Headspace is the headspace of the recipe: the one given, or where none is given the one that all printed packs that may
// apply have. It reports false when there is neither.
func (f *Facts) Headspace() (measure.Length, bool) {
	if f.Contents.Headspace == nil {
		return 0, false
	}
	return *f.Contents.Headspace, true
}
