// Package contents is the one model of what a recipe makes and of what one jar of it holds: the food, the liquid and what is
// dissolved in it, each line by the grams and milliliters that it came to when it was read. Rules, computed figures, plans
// and pictures read it; nothing else adds up lines. It judges nothing.
package contents

import (
	"jarwright/validate/acidity"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/headspace"
	"jarwright/validate/match"
	"jarwright/validate/measure"
)

// Input is what the contents are read from.
type Input struct {
	Request     *document.Request
	Composition *composition.Composition
	Match       *match.Match
	Tables      *catalog.Tables
	Units       *measure.Units
	Chemistry   *acidity.Model
}

// Contents is what a recipe makes.
type Contents struct {
	Jar       *headspace.Jar  // the inside of the recipe's jar; nil: not enough of it is said, or no jar has such measures
	Headspace *measure.Length // as given, or as all printed packs that may apply have it; nil: neither
	Batch     *Batch          // nil: jar, headspace or the amount of a food is not known
	Jarful    *Jarful         // what the chemistry is reckoned with; nil: see Reason
	Reason    string          // why there is no Jarful
}

// Read adds up the lines of a recipe once and lays out the batch and the jar.
func Read(in Input) Contents {
	c := Contents{Jar: inside(&in), Headspace: depth(&in)}
	sum := addUp(&in)
	if c.Jar != nil && c.Headspace != nil {
		c.Batch = sum.batch(&in, *c.Jar, *c.Headspace)
	}
	c.Jarful, c.Reason = sum.jarful(&in)
	return c
}

// inside is the inside of the recipe's jar.
func inside(in *Input) *headspace.Jar {
	written, jar := in.Request.Recipe.Jar, in.Composition.Jar
	if written == nil || jar == nil {
		return nil
	}
	if known := jar.Known; known != nil {
		return &headspace.Jar{CapacityML: known.CapacityML, MouthMM: known.MouthMM, InteriorHeightMM: known.InteriorHeightMM}
	}
	mouth, hasMouth := in.si(written.Mouth)
	height, hasHeight := in.si(written.InteriorHeight)
	own := headspace.Jar{
		CapacityML: jar.CapacityML, MouthMM: measure.Length(mouth).Millimeters(), InteriorHeightMM: measure.Length(height).Millimeters(),
	}
	if !hasMouth || !hasHeight || own.Check() != nil {
		return nil
	}
	return &own
}

// depth is the headspace of the recipe: the one given, or where none is given the one that all printed packs that may apply
// have.
func depth(in *Input) *measure.Length {
	if si, given := in.si(in.Request.Recipe.Headspace); given {
		return new(measure.Length(si))
	}
	printed := in.Match.PrintedHeadspaces()
	for _, inches := range printed {
		if inches != printed[0] {
			return nil
		}
	}
	if len(printed) == 0 || printed[0] == 0 {
		return nil
	}
	return new(measure.Length(printed[0]) * measure.Inch)
}

// si is a quantity in its SI unit; it reports false when the quantity or its value is absent.
func (in *Input) si(q *document.Quantity) (float64, bool) {
	if q == nil {
		return 0, false
	}
	return in.Units.SI(q.Value, q.Unit)
}
