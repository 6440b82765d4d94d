package acidity

import (
	"errors"
	"fmt"
	"math"
)

// ErrOutOfRange is wrapped by every error that says an input lies outside the model.
var ErrOutOfRange = errors.New("outside the range of the acidity model")

// Mixture is one jar, or any part of a batch, in plain numbers. Only proportions matter: twice of everything has the
// same pH. What is worked out is equilibrium, which whole onions, peppers or eggs take days to weeks to reach. Where the
// water content of a food is not known its whole mass counts as water, on which basis the buffer figures were reckoned;
// it puts the pH up to about 0.03 too high.
type Mixture struct {
	WaterKg            float64   // all the water: brine, vinegar, and that of the produce
	Acids              Acids     // mol, from vinegar, juices and added acids; the acid of the produce is in its buffer
	SodiumChlorideMol  float64   // mol
	CalciumChlorideMol float64   // mol
	SodiumMol          float64   // mol of sodium that came with an acid's anion, such as 3 per mol of sodium citrate
	AlkalinityMol      float64   // mol of hardness bicarbonate in the water used; its carbon dioxide is taken as gone
	Produce            []Produce // buffers
	FixedIonicStrength *float64  // mol/kg; nil: worked out from what is dissolved
}

// Produce is one food as a buffer that takes up BufferMolPerKg x (NaturalPH - pH) mol of hydrogen ion per kg. A food
// that is more acid than the jar gives hydrogen ion off by the same line.
type Produce struct {
	MassKg         float64
	NaturalPH      float64
	BufferMolPerKg float64 // mol H+ per kg per pH
}

// Limits of what the solver takes, per kg of water. They keep the arithmetic finite and lie far outside any kitchen.
const (
	maxAcidMolPerKg   = 20
	maxSaltMolPerKg   = 10
	maxCationMolPerKg = 10
	maxBufferMolPerKg = 10 // per pH, of all the produce together
	maxIonicStrength  = 50
	maxPH             = 14
	smallestWaterKg   = 1e-9
	largestWaterKg    = 1e9
)

// within reports an error unless low <= value <= high; NaN is never within.
func within(what string, value, low, high float64) error {
	if value >= low && value <= high {
		return nil
	}
	return fmt.Errorf("%s %g is not from %g to %g: %w", what, value, low, high, ErrOutOfRange)
}

// problem is a Mixture per kg of water, as the solver wants it. The produce takes up
// offset - slope pH + sum of change x max(0, pH - at) over the kinks.
type problem struct {
	acids              Acids
	sodium, chloride   float64
	calcium            float64
	alkalinity         float64
	offset, slope      float64
	kinks              []kink
	fixedIonicStrength float64 // negative: worked out
	evaluations        int     // how often the charge was worked out; the work of a solve, which a test bounds
}

type kink struct{ at, change float64 }

// problem checks m and brings it to one kg of water.
func (mix Mixture) problem() (problem, error) {
	if err := within("water in kg", mix.WaterKg, smallestWaterKg, largestWaterKg); err != nil {
		return problem{}, err
	}
	p := problem{fixedIonicStrength: -1, alkalinity: mix.AlkalinityMol / mix.WaterKg}
	for acid, mol := range mix.Acids {
		p.acids[acid] = mol / mix.WaterKg
		if !(p.acids[acid] >= 0 && p.acids[acid] <= maxAcidMolPerKg) {
			return problem{}, within(Acid(acid).String()+" acid in mol per kg of water", p.acids[acid], 0, maxAcidMolPerKg)
		}
	}
	salt, other := mix.SodiumChlorideMol/mix.WaterKg, mix.SodiumMol/mix.WaterKg
	p.calcium = mix.CalciumChlorideMol / mix.WaterKg
	p.sodium = salt + other
	p.chloride = salt + 2*p.calcium
	for _, food := range mix.Produce {
		if err := food.check(); err != nil {
			return problem{}, err
		}
		slope := food.MassKg * food.BufferMolPerKg / mix.WaterKg
		p.slope += slope
		p.offset += slope * food.NaturalPH
	}
	if mix.FixedIonicStrength != nil {
		p.fixedIonicStrength = *mix.FixedIonicStrength
		if err := within("ionic strength in mol/kg", p.fixedIonicStrength, 0, maxIonicStrength); err != nil {
			return problem{}, err
		}
	}
	return p, errors.Join(
		within("sodium chloride in mol per kg of water", salt, 0, maxSaltMolPerKg),
		within("calcium chloride in mol per kg of water", p.calcium, 0, maxSaltMolPerKg),
		within("sodium in mol per kg of water", other, 0, maxCationMolPerKg),
		within("alkalinity in mol per kg of water", p.alkalinity, 0, maxCationMolPerKg),
		within("buffer of the produce in mol per kg of water and pH", p.slope, 0, maxBufferMolPerKg),
	)
}

func (p Produce) check() error {
	if err := within("mass of produce in kg", p.MassKg, 0, math.MaxFloat64); err != nil {
		return err
	}
	if err := within("natural pH", p.NaturalPH, 0, maxPH); err != nil {
		return err
	}
	return within("buffer in mol per kg and pH", p.BufferMolPerKg, 0, maxBufferMolPerKg)
}

// uptake is the hydrogen ion (mol per kg of water) that the produce takes up between its own pH and pH.
func (p *problem) uptake(pH float64) float64 {
	taken := p.offset - p.slope*pH
	for _, k := range p.kinks {
		taken += k.change * math.Max(0, pH-k.at)
	}
	return taken
}
