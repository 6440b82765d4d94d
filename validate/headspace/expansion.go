package headspace

import (
	"fmt"

	"jarwright/validate/table"
)

// Expansion is the volume of a brine at one temperature in °C as a multiple of its volume at another: above 1 when it
// swells. Food in the jar is mostly water and is counted as brine.
//
// Range, accuracy and errors are those of Brine.Density; the ratio for salt is good to 0.0002.
func (b Brine) Expansion(fromC, toC float64) (float64, error) {
	before, err := b.Density(fromC)
	if err != nil {
		return 0, fmt.Errorf("expansion: %w", err)
	}
	after, err := b.Density(toC)
	if err != nil {
		return 0, fmt.Errorf("expansion: %w", err)
	}
	return before / after, nil
}

// LeastHeadspaceMM is the smallest headspace in mm that still holds the whole fill when it has swollen from the packing
// temperature to boilingC, both in °C. It leaves nothing for bubbles of air out of the food and for the surge of the
// boil, so that published headspaces are larger.
//
// Value and bounds are those of Jar.HeadspaceMM. It is 0 for a fill packed at the boil or hotter. Errors are those of
// Brine.Expansion and Jar.Check.
func LeastHeadspaceMM(jar Jar, brine Brine, packedC, boilingC float64) (table.Bounds, error) {
	ratio, err := brine.Expansion(packedC, boilingC)
	if err != nil {
		return table.Bounds{}, fmt.Errorf("least headspace: %w", err)
	}
	return LeastForSwellingMM(jar, ratio)
}

// LeastForSwellingMM is LeastHeadspaceMM for a fill whose volume at the boil is a ratio of that when it is packed; 0 for one that
// does not swell. The error wraps table.ErrRange for measures that fail Jar.Check.
func LeastForSwellingMM(jar Jar, ratio float64) (table.Bounds, error) {
	depth, err := jar.HeadspaceMM(jar.CapacityML * max(0, 1-1/ratio))
	if err != nil {
		return table.Bounds{}, fmt.Errorf("least headspace: %w", err)
	}
	return depth, nil
}

// HeadspaceAtMM is the headspace in mm after a fill packed at one temperature in °C has come to another, with nothing
// lost. A hot pack ends lower once it is cold, which may bare the tips of the food. A fill that would run over ends at
// the rim.
//
// Low and High span the shapes of Jar.HeadspaceVolumeML. Errors are those of Jar.HeadspaceVolumeML and Brine.Expansion.
func HeadspaceAtMM(jar Jar, brine Brine, headspaceMM, packedC, laterC float64) (table.Bounds, error) {
	ratio, err := brine.Expansion(packedC, laterC)
	if err != nil {
		return table.Bounds{}, fmt.Errorf("headspace at %g °C: %w", laterC, err)
	}
	if err := jar.checkHeadspace(headspaceMM); err != nil {
		return table.Bounds{}, fmt.Errorf("headspace at %g °C: %w", laterC, err)
	}
	after := func(s shape) float64 { return s.depthMM(s.capacityML - (s.capacityML-s.spaceML(headspaceMM))*ratio) }
	cylinder, shouldered := jar.shapes()
	return span(after(cylinder), after(shouldered)), nil
}
