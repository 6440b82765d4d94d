package match

import "math"

// herbScale is the scale of the batch that seasonings go by: that of its acid, or of its fruit or main food where the
// tested recipe adds no acid to the batch.
func (c *comparison) herbScale(s *scales, needed float64) float64 {
	scale := math.Max(s.acid, needed)
	switch {
	case math.IsInf(scale, 1) && !math.IsInf(s.fruit, 1):
		return s.fruit
	case math.IsInf(scale, 1) && c.tested.mainSlot >= 0 && !c.tested.slots[c.tested.mainSlot].perJar():
		return s.of[c.tested.mainSlot].low
	}
	return scale
}
