package canningday

import (
	"cmp"
	"math"
	"slices"

	"jarwright/validate/document"
)

// calibration is the straight line through what a meter read in its buffers: reading = offset + slope × pH. A perfect
// meter has slope 1 and offset 0.
type calibration struct {
	ok            bool
	slope, offset float64
	low, high     float64 // pH of the outermost buffers
	drift         float64 // largest difference between a buffer and its reading
	near          bool    // the buffers lie too near each other to show how the meter reads between and beside them
}

// neutral is the pH at which glass electrodes give no voltage, so that the offset is shown there (from memory).
const neutral = 7

// calibrate fits the line by least squares; through two buffers it goes exactly. Buffers that lie nearer to each other than
// apart, in pH, give no line.
func calibrate(buffers []document.Buffer, apart float64) calibration {
	var c calibration
	if len(buffers) == 0 {
		return c
	}
	var n, x, y, xx, xy float64
	c.low, c.high = buffers[0].PH, buffers[0].PH
	for _, b := range buffers {
		n, x, y, xx, xy = n+1, x+b.PH, y+b.Reading, xx+b.PH*b.PH, xy+b.PH*b.Reading
		c.low, c.high = min(c.low, b.PH), max(c.high, b.PH)
		c.drift = max(c.drift, math.Abs(b.Reading-b.PH))
	}
	if c.high <= c.low {
		return c
	}
	if (c.high-c.low)*sameFigure < apart {
		c.near = true
		return c
	}
	c.slope = (n*xy - x*y) / (n*xx - x*x)
	c.offset = (y - c.slope*x) / n
	c.ok = c.slope > 0
	return c
}

// corrected is the pH that a reading stands for.
func (c calibration) corrected(value float64) float64 { return (value - c.offset) / c.slope }

func sortedBuffers(buffers []document.Buffer) []document.Buffer {
	sorted := slices.Clone(buffers)
	slices.SortFunc(sorted, func(a, b document.Buffer) int {
		return cmp.Or(cmp.Compare(a.PH, b.PH), cmp.Compare(a.Reading, b.Reading))
	})
	return sorted
}
