package acidity

import (
	"math"
	"slices"
)

// Likely is a narrower range around the estimate of SolveBands: what the bands come to when not all of them are at their worst at once. Each
// band is taken as the spread of one input, inputs are taken as independent of each other, and their effects are added as
// squares. Foods that share one band of their buffer, a prior of their class, miss it together and count as one input. Each effect is
// one step of the balance from the estimate, which is fair within a few tenths of pH; the range never goes beyond the bounds. It
// explains, and nothing is judged by it. solved is what SolveBands gave with the bounds.
func (m *Model) Likely(b Bands, bounds Band, solved Result) Band {
	p, err := b.corner(estimated)
	if err != nil {
		return bounds
	}
	s := m.solution(&p, solved.IonicStrength)
	const step = 0.01 // of pH
	slope := (s.charge(solved.PH-step) - s.charge(solved.PH+step)) / (2 * step)
	var up, down float64
	for _, e := range b.effects(solved, slope-p.slope) {
		raises, lowers := e.high.moves(slope), e.low.moves(slope)
		if raises < lowers {
			raises, lowers = lowers, raises
		}
		up += raises * raises
		down += lowers * lowers
	}
	return Band{
		Low: math.Max(bounds.Low, solved.PH-math.Sqrt(down)), Estimate: solved.PH, High: math.Min(bounds.High, solved.PH+math.Sqrt(up)),
	}
}

// shift is what one end of a band adds to the balance at the estimate: positive charge, and how much more of it a unit of pH takes
// away (mol/kg of water).
type shift struct{ charge, slope float64 }

// moves is by how much that moves the pH, where a unit of pH takes away so much charge.
func (s shift) moves(slope float64) float64 { return s.charge / (slope + s.slope) }

// effect is one input at both ends of its band.
type effect struct{ low, high shift }

// grow adds a factor on what takes up charge: so much at the estimate, by such a slope, at the ends of the factor's band.
func grow(charge, slope float64, factor Band) effect {
	low, high := factor.Low/factor.Estimate-1, factor.High/factor.Estimate-1
	return effect{shift{charge * low, slope * low}, shift{charge * high, slope * high}}
}

// effects lists what each input does. acidSlope is what the acids and the water take away with a unit of pH.
func (b Bands) effects(solved Result, acidSlope float64) []effect {
	water := b.Mixture.WaterKg
	effects := make([]effect, 0, 2*len(b.Produce)+len(b.Strength)+3)
	buffers := make([]Band, 0, len(b.Produce))
	uptake, slope, produceKg := 0.0, 0.0, 0.0
	for _, food := range b.Produce {
		perBuffer, mass := food.MassKg/water*(food.NaturalPH.Estimate-solved.PH), food.MassKg/water
		at := slices.Index(buffers, food.BufferMolPerKg)
		if at < 0 {
			at = len(buffers)
			buffers, effects = append(buffers, food.BufferMolPerKg), append(effects, effect{})
		}
		low, high := food.BufferMolPerKg.Low-food.BufferMolPerKg.Estimate, food.BufferMolPerKg.High-food.BufferMolPerKg.Estimate
		e := &effects[at]
		e.low.charge, e.low.slope = e.low.charge+perBuffer*low, e.low.slope+mass*low
		e.high.charge, e.high.slope = e.high.charge+perBuffer*high, e.high.slope+mass*high
		uptake += perBuffer * food.BufferMolPerKg.Estimate
		slope += mass * food.BufferMolPerKg.Estimate
		produceKg += food.MassKg
	}
	for _, food := range b.Produce {
		perPH, natural := food.MassKg/water*food.BufferMolPerKg.Estimate, food.NaturalPH
		effects = append(effects, effect{shift{charge: perPH * (natural.Low - natural.Estimate)}, shift{charge: perPH * (natural.High - natural.Estimate)}})
	}
	acid := 0.0
	for i, strength := range b.Strength {
		acid += solved.Anions[i]
		effects = append(effects, grow(-solved.Anions[i], 0, strength))
	}
	packed := uptake // what a part more of produce takes up, and the acid it drives out
	if b.BrineKg > 0 {
		packed += acid * produceKg / b.BrineKg
	}
	return append(effects, grow(packed, slope, b.Pack), grow(-acid, acidSlope, b.Household), grow(solved.Alkalinity, 0, b.Alkalinity))
}
