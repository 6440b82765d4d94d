package acidity_test

import (
	"math"

	"jarwright/validate/acidity"
)

// This file is a second solver that shares nothing with the package but its table of constants: species by species mass
// action from formation constants, every unknown iterated in the plainest way, no shortcut for any acid.

// activityLaw gives log10 of the activity coefficient of an ion.
type activityLaw func(ionicStrength float64, charge int) float64

func davies(ionicStrength float64, charge int) float64 {
	i := math.Min(ionicStrength, 1) // the ceiling the package states
	return -0.509 * float64(charge*charge) * (math.Sqrt(i)/(1+math.Sqrt(i)) - 0.3*i)
}

// limitingLaw is Debye and Hueckel's, which holds only in very dilute solution.
func limitingLaw(ionicStrength float64, charge int) float64 {
	return -0.509 * float64(charge*charge) * math.Sqrt(ionicStrength)
}

func ideal(float64, int) float64 { return 0 }

// species is protons + sodium + one fully ionized anion, with the log of its formation constant.
type species struct {
	protons, sodium int
	logBeta         float64
}

type anion struct {
	charge  int // of the bare anion, positive
	total   float64
	species []species
	law     activityLaw
}

func (a anion) chargeOf(s species) int { return s.protons + s.sodium - a.charge }

// fromPKa makes an anion with its protonated forms from stepwise constants, first pKa first.
func fromPKa(total float64, law activityLaw, pka ...float64) anion {
	a := anion{charge: len(pka), total: total, species: []species{{}}, law: law}
	sum := 0.0
	for i := len(pka) - 1; i >= 0; i-- {
		sum += pka[i]
		a.species = append(a.species, species{protons: len(pka) - i, logBeta: sum})
	}
	return a
}

type bruteMixture struct {
	anions                                 []anion
	sodium, chloride, calcium, otherCation float64
	bufferOffset, bufferSlope              float64 // uptake = offset - slope pH
	law                                    activityLaw
}

// solve bisects the charge balance inside a plain repetition of the ionic strength.
func (b bruteMixture) solve() (pH, ionicStrength float64) {
	ionicStrength = 0.1
	for range 400 {
		low, high := 0.0, 14.0
		for range 50 {
			pH = (low + high) / 2
			if surplus, _ := b.at(pH, ionicStrength); surplus > 0 {
				low = pH
			} else {
				high = pH
			}
		}
		_, next := b.at(pH, ionicStrength)
		if math.Abs(next-ionicStrength) < 1e-13 {
			break
		}
		ionicStrength = (ionicStrength + next) / 2
	}
	return pH, ionicStrength
}

func (b bruteMixture) at(pH, ionicStrength float64) (surplus, nextIonic float64) {
	gamma := func(law activityLaw, z int) float64 { return math.Pow(10, law(ionicStrength, z)) }
	h := math.Pow(10, -pH) / gamma(b.law, 1)
	oh := math.Pow(10, pH-13.997) / gamma(b.law, 1)
	free := b.sodium
	var charge, squares, bound float64
	for range 2000 {
		charge, squares, bound = 0, 0, 0
		for _, a := range b.anions {
			var weights []float64
			sum := 0.0
			for _, s := range a.species {
				w := math.Pow(10, s.logBeta-float64(s.protons)*pH) *
					math.Pow(free*gamma(b.law, 1), float64(s.sodium)) / gamma(a.law, a.chargeOf(s))
				weights = append(weights, w)
				sum += w
			}
			for i, s := range a.species {
				c := a.total * weights[i] / sum
				z := float64(a.chargeOf(s))
				charge += z * c
				squares += z * z * c
				bound += float64(s.sodium) * c
			}
		}
		if free == 0 {
			break
		}
		next := b.sodium / (1 + bound/free)
		if math.Abs(next-free) <= 1e-14*free {
			break
		}
		free = next
	}
	uptake := b.bufferOffset - b.bufferSlope*pH
	surplus = h - oh + free + 2*b.calcium - b.chloride + b.otherCation + uptake + charge
	nextIonic = (h + oh + free + b.chloride + 4*b.calcium + b.otherCation + math.Abs(uptake) + squares) / 2
	return surplus, nextIonic
}

// bruteOf describes a mixture of one kg of water to the second solver, with the constants typed in again from
// constants.csv of the reference (MINTEQ v4 and the others named there).
func bruteOf(mix acidity.Mixture, law activityLaw) bruteMixture {
	acid := func(a acidity.Acid) float64 { return mix.Acids[a] / mix.WaterKg }
	acetate := fromPKa(acid(acidity.Acetic), law, 4.757)
	acetate.species = append(acetate.species, species{sodium: 1, logBeta: -0.18})
	b := bruteMixture{law: law, anions: []anion{
		acetate,
		fromPKa(acid(acidity.Citric), law, 3.128, 4.761, 6.396),
		fromPKa(acid(acidity.Malic), law, 3.4, 5.2),
		fromPKa(acid(acidity.Lactic), law, 3.86),
		fromPKa(acid(acidity.Tartaric), law, 3.036, 4.366),
		fromPKa(acid(acidity.Phosphoric), law, 2.148, 7.198, 12.375),
		fromPKa(acid(acidity.Ascorbic), law, 4.1, 11.8),
	}}
	b.calcium = mix.CalciumChlorideMol / mix.WaterKg
	b.sodium = (mix.SodiumChlorideMol + mix.SodiumMol) / mix.WaterKg
	b.chloride = mix.SodiumChlorideMol/mix.WaterKg + 2*b.calcium
	b.otherCation = mix.AlkalinityMol / mix.WaterKg
	for _, food := range mix.Produce {
		slope := food.MassKg * food.BufferMolPerKg / mix.WaterKg
		b.bufferSlope += slope
		b.bufferOffset += slope * food.NaturalPH
	}
	return b
}
