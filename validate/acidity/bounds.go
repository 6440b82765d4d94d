package acidity

import "fmt"

// Band is an input or an answer with what it may lie between.
type Band struct{ Low, Estimate, High float64 }

// Exactly is a band of no width.
func Exactly(value float64) Band { return Band{Low: value, Estimate: value, High: value} }

// Within is the factor 1, give or take a fraction of it.
func Within(fraction float64) Band { return Band{Low: 1 - fraction, Estimate: 1, High: 1 + fraction} }

func (b Band) ordered() bool { return b.Low <= b.Estimate && b.Estimate <= b.High }

// ProduceBand is one food with its bands. Its mass is the estimate; Bands.Pack spreads it.
type ProduceBand struct {
	MassKg         float64
	NaturalPH      Band
	BufferMolPerKg Band // mol H+ per kg per pH
}

// Bands is a jar whose inputs are known within limits. Start from Exact and open what is uncertain.
type Bands struct {
	// Mixture is everything taken as known: water, salt, and the estimates of acid and alkalinity. Its Produce must be
	// empty. Water stays as it is at every corner, because a jar is full whatever is in it, and so does salt, of which a
	// tenth more or less moves the pH by less than 0.01.
	Mixture    Mixture
	Produce    []ProduceBand
	Strength   [acidCount]Band // factor on each acid: strength against the label
	Household  Band            // factor on all acids: how exactly they were measured out
	Pack       Band            // factor on the mass of produce
	Alkalinity Band            // factor on the alkalinity
	// BrineKg is the acid liquid in a jar that is filled up with it. Produce packed beyond the estimate drives as much
	// brine out, and its acid with it. Zero where food and liquid are cooked together and no pack can change the shares.
	BrineKg float64
}

// Exact gives bands of no width around a mixture.
func Exact(mix Mixture) Bands {
	b := Bands{Mixture: mix, Household: Exactly(1), Pack: Exactly(1), Alkalinity: Exactly(1)}
	for acid := range b.Strength {
		b.Strength[acid] = Exactly(1)
	}
	for _, food := range mix.Produce {
		b.Produce = append(b.Produce, ProduceBand{
			MassKg: food.MassKg, NaturalPH: Exactly(food.NaturalPH), BufferMolPerKg: Exactly(food.BufferMolPerKg),
		})
	}
	b.Mixture.Produce = nil
	return b
}

// Bounds gives the lowest and highest pH the bands allow, and the estimate between them.
//
// The extremes lie at corners, because the surplus of charge, whose only root is the pH, moves one way with each input
// whatever the others are, and a higher surplus means a higher root:
//   - acid (strength, household error, brine driven out): each mole adds negative charge at every pH, so more lowers it;
//   - alkalinity: adds positive charge at every pH, so more raises it;
//   - natural pH: raises the uptake beta (pH0 - pH), which counts as positive charge, at every pH;
//   - buffer and mass of produce: raise the uptake below the food's natural pH and lower it above. The bound therefore
//     takes, at each trial pH, whichever end of the band serves it: low-acid food counts high for the upper bound, a food
//     more acid than the jar counts low. The envelope of falling lines is itself falling, so this too has one root, and
//     it is the true extreme. Only where BrineKg is set and such an acid food is packed too are the bounds wider than
//     the truth, since its mass then counts low while the brine counts as driven out.
//
// The change of ionic strength with each input works through the activities, is a small fraction of the direct effect,
// and is followed at each corner. Bands that are wider therefore never give bounds that are narrower.
//
// It fails, wrapping ErrOutOfRange, when a band is not ordered, an input is out of range, or more brine is driven out than
// there is.
func (m *Model) Bounds(b Bands) (Band, error) {
	answer, _, err := m.SolveBands(b)
	return answer, err
}

// SolveBands is Bounds together with everything that was solved at the estimate.
func (m *Model) SolveBands(b Bands) (Band, Result, error) {
	if err := b.check(); err != nil {
		return Band{}, Result{}, err
	}
	var answer Band
	var atEstimate Result
	for _, corner := range [...]struct {
		pick pick
		pH   *float64
	}{{lowest, &answer.Low}, {estimated, &answer.Estimate}, {highest, &answer.High}} {
		p, err := b.corner(corner.pick)
		if err != nil {
			return Band{}, Result{}, fmt.Errorf("describe the mixture: %w", err)
		}
		solved, err := m.solve(&p)
		if err != nil {
			return Band{}, Result{}, err
		}
		*corner.pH = solved.PH
		if corner.pick == estimated {
			atEstimate = solved
		}
	}
	return answer, atEstimate, nil
}

// Driver is one input and the bounds it would give if it alone were uncertain.
type Driver struct {
	Input string // buffer, natural_ph, pack, strength, household, alkalinity
	PH    Band
}

// Drivers tells what makes the bounds wide: each group of bands opened by itself, in a fixed order.
func (m *Model) Drivers(b Bands) ([]Driver, error) {
	if err := b.check(); err != nil {
		return nil, err
	}
	closed := b.closed()
	inputs := []struct {
		name string
		open func(*Bands)
	}{
		{"buffer", func(o *Bands) {
			for i := range o.Produce {
				o.Produce[i].BufferMolPerKg = b.Produce[i].BufferMolPerKg
			}
		}},
		{"natural_ph", func(o *Bands) {
			for i := range o.Produce {
				o.Produce[i].NaturalPH = b.Produce[i].NaturalPH
			}
		}},
		{"pack", func(o *Bands) { o.Pack = b.Pack }},
		{"strength", func(o *Bands) { o.Strength = b.Strength }},
		{"household", func(o *Bands) { o.Household = b.Household }},
		{"alkalinity", func(o *Bands) { o.Alkalinity = b.Alkalinity }},
	}
	drivers := make([]Driver, 0, len(inputs))
	for _, input := range inputs {
		opened := closed
		opened.Produce = append([]ProduceBand(nil), closed.Produce...)
		input.open(&opened)
		pH, err := m.Bounds(opened)
		if err != nil {
			return nil, fmt.Errorf("open %s: %w", input.name, err)
		}
		drivers = append(drivers, Driver{Input: input.name, PH: pH})
	}
	return drivers, nil
}

// closed is b with every band shut on its estimate.
func (b Bands) closed() Bands {
	shut := func(band Band) Band { return Exactly(band.Estimate) }
	closed := b
	closed.Household, closed.Pack, closed.Alkalinity = shut(b.Household), shut(b.Pack), shut(b.Alkalinity)
	for acid, band := range b.Strength {
		closed.Strength[acid] = shut(band)
	}
	closed.Produce = make([]ProduceBand, len(b.Produce))
	for i, food := range b.Produce {
		closed.Produce[i] = ProduceBand{
			MassKg: food.MassKg, NaturalPH: shut(food.NaturalPH), BufferMolPerKg: shut(food.BufferMolPerKg),
		}
	}
	return closed
}

func (b Bands) check() error {
	if len(b.Mixture.Produce) > 0 {
		return fmt.Errorf("produce stands in the mixture as well as in the bands: %w", ErrOutOfRange)
	}
	named := []struct {
		name string
		band Band
	}{{"household", b.Household}, {"pack", b.Pack}, {"alkalinity", b.Alkalinity}}
	for acid, band := range b.Strength {
		named = append(named, struct {
			name string
			band Band
		}{"strength of " + Acid(acid).String() + " acid", band})
	}
	for _, food := range b.Produce {
		named = append(named, struct {
			name string
			band Band
		}{"natural pH", food.NaturalPH}, struct {
			name string
			band Band
		}{"buffer", food.BufferMolPerKg})
	}
	for _, entry := range named {
		if !entry.band.ordered() || entry.band.Low < 0 {
			return fmt.Errorf("band of %s %v is not 0 <= low <= estimate <= high: %w", entry.name, entry.band, ErrOutOfRange)
		}
	}
	return nil
}

// pick says which pH is sought.
type pick int

const (
	lowest pick = iota
	estimated
	highest
)

// raising takes the end of a band that gives the sought pH when more of the input raises it.
func (p pick) raising(b Band) float64 { return [...]float64{b.Low, b.Estimate, b.High}[p] }

// lowering takes the end of a band that gives the sought pH when more of the input lowers it.
func (p pick) lowering(b Band) float64 { return [...]float64{b.High, b.Estimate, b.Low}[p] }

func (b Bands) corner(want pick) (problem, error) {
	mix := b.Mixture
	var produceKg float64
	for _, food := range b.Produce {
		if err := within("mass of produce in kg", food.MassKg, 0, largestWaterKg); err != nil {
			return problem{}, err
		}
		produceKg += food.MassKg
	}
	acidShare := want.lowering(b.Household)
	if b.BrineKg > 0 {
		left := 1 - (want.raising(b.Pack)-1)*produceKg/b.BrineKg
		if err := within("share of the brine left by the produce", left, 0, 2); err != nil {
			return problem{}, err
		}
		acidShare *= left
	}
	for acid := range mix.Acids {
		mix.Acids[acid] *= acidShare * want.lowering(b.Strength[acid])
	}
	mix.AlkalinityMol *= want.raising(b.Alkalinity)
	p, err := mix.problem()
	if err != nil {
		return problem{}, err
	}
	for _, food := range b.Produce {
		natural := want.raising(food.NaturalPH)
		below := food.MassKg * want.raising(b.Pack) * want.raising(food.BufferMolPerKg) / mix.WaterKg
		above := food.MassKg * want.lowering(b.Pack) * want.lowering(food.BufferMolPerKg) / mix.WaterKg
		p.slope += below
		p.offset += below * natural
		if below != above { // else there is no kink, as for every food of a band that is shut
			p.kinks = append(p.kinks, kink{at: natural, change: below - above})
		}
		if err := within("natural pH", natural, 0, maxPH); err != nil {
			return problem{}, err
		}
	}
	return p, within("buffer of the produce in mol per kg of water and pH", p.slope, 0, maxBufferMolPerKg)
}
