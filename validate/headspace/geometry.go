package headspace

import (
	"fmt"
	"math"

	"jarwright/validate/table"
)

var jarFigures = table.MustFigures("headspace/jar.csv")

// Jar is the inside of a jar: how much it holds brimful, how wide its mouth is, and how deep it is from the rim to the
// bottom. A nominal pint is not always a brimful one; measure where it matters.
type Jar struct {
	CapacityML       float64
	MouthMM          float64
	InteriorHeightMM float64
}

// shape is a neck of the width of the mouth on a straight body that makes up the capacity. How deep the neck of a jar
// really is differs, which is what the bounds span: in one shape it goes on for as far as is asked, in the other the
// shoulders begin as soon as they are known to.
type shape struct {
	neckMM, neckAreaMM2, bodyAreaMM2 float64
	capacityML, heightMM             float64
}

func (j Jar) shapes() (cylinder, shouldered shape) {
	mouthMM2 := math.Pi / 4 * j.MouthMM * j.MouthMM
	neckMM := jarFigures.Value("neck_depth")
	bodyMM2 := (j.CapacityML*1000 - mouthMM2*neckMM) / (j.InteriorHeightMM - neckMM)
	return shape{neckMM, mouthMM2, mouthMM2, j.CapacityML, j.InteriorHeightMM},
		shape{neckMM, mouthMM2, bodyMM2, j.CapacityML, j.InteriorHeightMM}
}

// spaceML is the volume above a depth below the rim.
func (s shape) spaceML(depthMM float64) float64 {
	space := s.neckAreaMM2*min(depthMM, s.neckMM) + s.bodyAreaMM2*max(0, depthMM-s.neckMM)
	return min(space/1000, s.capacityML)
}

// depthMM inverts spaceML; a space of all the jar or more ends at its bottom.
func (s shape) depthMM(spaceML float64) float64 {
	space := max(0, spaceML*1000)
	neck := min(space, s.neckAreaMM2*s.neckMM)
	return min(neck/s.neckAreaMM2+(space-neck)/s.bodyAreaMM2, s.heightMM)
}

// span is a figure for the mouth-wide cylinder, bounded by that for the other shape.
func span(cylinder, shouldered float64) table.Bounds {
	return table.Bounds{Low: min(cylinder, shouldered), Value: cylinder, High: max(cylinder, shouldered)}
}

// Check returns an error wrapping table.ErrRange unless the measures can be those of a jar: deeper than its neck
// (19 mm), between 20 mL and 20 L, with a mouth that leaves some of the capacity for the body.
func (j Jar) Check() error {
	neckMM := jarFigures.Value("neck_depth")
	for _, err := range []error{
		table.Within("capacity", j.CapacityML, 20, 20000, "mL"),
		table.Within("mouth", j.MouthMM, 10, 500, "mm"),
		table.Within("interior height", j.InteriorHeightMM, 1.5*neckMM, 1000, "mm"),
		table.Within("volume of the neck", math.Pi/4*j.MouthMM*j.MouthMM*neckMM/1000, 0, 0.9*j.CapacityML, "mL"),
	} {
		if err != nil {
			return fmt.Errorf("measures of the jar: %w", err)
		}
	}
	return nil
}

func (j Jar) checkHeadspace(headspaceMM float64) error {
	if err := j.Check(); err != nil {
		return err
	}
	return table.Within("headspace", headspaceMM, 0, j.InteriorHeightMM, "mm")
}

// HeadspaceVolumeML is the volume in mL above a fill that ends headspaceMM below the rim. Value is the cylinder of the
// width of the mouth; the other bound lets the shoulders begin 19 mm (3/4 in) below the rim, so that the two agree down
// to there.
//
// The headspace lies between 0 and the interior height; elsewhere, and for measures that fail Check, the error wraps
// table.ErrRange. Headspace volumes as cylinders of the mouth: derived in the reference figures, not printed; the
// depth of the neck is from memory.
func (j Jar) HeadspaceVolumeML(headspaceMM float64) (table.Bounds, error) {
	if err := j.checkHeadspace(headspaceMM); err != nil {
		return table.Bounds{}, fmt.Errorf("headspace volume: %w", err)
	}
	cylinder, shouldered := j.shapes()
	return span(cylinder.spaceML(headspaceMM), shouldered.spaceML(headspaceMM)), nil
}

// FillVolumeML is the volume in mL that the jar takes up to headspaceMM below the rim: capacity less headspace. Range
// and errors are those of HeadspaceVolumeML.
func (j Jar) FillVolumeML(headspaceMM float64) (table.Bounds, error) {
	space, err := j.HeadspaceVolumeML(headspaceMM)
	if err != nil {
		return table.Bounds{}, fmt.Errorf("fill volume: %w", err)
	}
	return table.Bounds{
		Low:   j.CapacityML - space.High,
		Value: j.CapacityML - space.Value,
		High:  j.CapacityML - space.Low,
	}, nil
}

// HeadspaceMM is how far below the rim a fill ends that leaves spaceML empty: the inverse of HeadspaceVolumeML.
//
// The space lies between 0 and the capacity; elsewhere, and for measures that fail Check, the error wraps
// table.ErrRange. A straight mouth-wide cylinder deeper than the jar is cut off at its depth.
func (j Jar) HeadspaceMM(spaceML float64) (table.Bounds, error) {
	if err := j.Check(); err != nil {
		return table.Bounds{}, fmt.Errorf("depth of headspace: %w", err)
	}
	if err := table.Within("space", spaceML, 0, j.CapacityML, "mL"); err != nil {
		return table.Bounds{}, fmt.Errorf("depth of headspace: %w", err)
	}
	cylinder, shouldered := j.shapes()
	return span(cylinder.depthMM(spaceML), shouldered.depthMM(spaceML)), nil
}

// LongestUprightPieceMM is the length in mm of the longest piece that stands upright in the jar with coverMM of liquid
// over it, when the liquid ends headspaceMM below the rim. Published packs that print both keep half an inch of liquid
// over the food (solids at 1 in, liquid at 1/2 in); how little will do is for the caller.
//
// It is exact for the measures given. It is 0 when nothing fits. Headspace and cover lie between 0 and the interior
// height; elsewhere, and for measures that fail Check, the error wraps table.ErrRange.
func (j Jar) LongestUprightPieceMM(headspaceMM, coverMM float64) (float64, error) {
	err := j.checkHeadspace(headspaceMM)
	if err == nil {
		err = table.Within("liquid over the food", coverMM, 0, j.InteriorHeightMM, "mm")
	}
	if err != nil {
		return 0, fmt.Errorf("longest piece: %w", err)
	}
	return max(0, j.InteriorHeightMM-headspaceMM-coverMM), nil
}

// NeckMM is how deep the neck of a jar goes at least, in mm; from memory.
func NeckMM() float64 { return jarFigures.Value("neck_depth") }

// JarFigure is a figure of jars in general with its source; it panics on a name that the table lacks.
func JarFigure(name string) table.Figure { return jarFigures.Get(name) }
