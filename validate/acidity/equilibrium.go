// Package acidity works out what a jar comes to: its equilibrium pH with honest bounds, and the plain acid, salt and
// sugar figures. It is chemistry at 25 C on plain numbers. It knows no recipe and no ingredient beyond a buffer figure,
// says nothing about heat or time, refuses fermented food (whose acid is made in the jar and cannot be reckoned from
// what went in), and a pH from here never makes a jar fit for the shelf: it explains, warns, or takes that away.
package acidity

import (
	"fmt"
	"math"
)

// Result is a solved Mixture. Amounts are mol per kg of water.
type Result struct {
	PH                          float64 // -log10 of the hydrogen ion activity, which is what a meter shows
	IonicStrength               float64 // mol/kg
	UnivalentActivity           float64 // Davies coefficient of an ion of charge one
	UndissociatedAceticMolPerKg float64 // the form that acts against microbes
	BeyondDavies                bool    // ionic strength over 0.5: the activities are outside published use

	// The charge balance, term by term: Hydrogen + Sodium + 2 Calcium + Alkalinity + Uptake
	// = Hydroxide + Chloride + the sum of Anions.
	Hydrogen   float64 // concentration, not activity
	Hydroxide  float64
	Sodium     float64 // all of it, paired or free
	Calcium    float64
	Chloride   float64
	Alkalinity float64
	Uptake     float64 // hydrogen ion taken up by the produce; negative where it gives some off
	Anions     Acids   // negative charge on each acid
	Total      Acids   // all forms of each acid
}

// PH solves the charge balance of a mixture:
//
//	[H+] + [Na+] + 2[Ca++] + alkalinity + sum beta (pH0 - pH) = [OH-] + [Cl-] + sum of z [A z-]
//
// with the thermodynamic constants of constants.csv for 25 C, Davies activities, an ionic strength that agrees with the
// answer, and the sodium acetate pair. The left side less the right falls steadily with pH, so there is one root, found
// by bracketing between 0 and 14. Solutions of acetic acid, salt and base agree with PHREEQC 3 (minteq.v4) to 0.001. With
// produce the answer is as good as its buffer: about 0.1 from a titration of the food, 0.3 (one standard deviation) from
// a class figure.
//
// Left out: sodium citrate pairs, which would lower the pH by up to 0.012 in the check cases; calcium acetate pairs, which
// would lower it by up to about 0.07 at 0.5 % calcium chloride (reckoned with a log K of 1.18, from memory); carbon dioxide
// and the difference between 25 C and the pantry, which are below 0.02 in a pickle. The first two make the answer too high,
// the safe side. Lime that food still carries must be added as AlkalinityMol by the caller.
//
// It fails, wrapping ErrOutOfRange, when an input is out of range or the root is not between pH 0 and 14. It allocates
// nothing unless it fails.
func (m *Model) PH(mix Mixture) (Result, error) {
	p, err := mix.problem()
	if err != nil {
		return Result{}, fmt.Errorf("describe the mixture: %w", err)
	}
	return m.solve(&p)
}

// Tolerances of the two nested root searches: far below what any input deserves, and small enough that the properties
// (more acid never raises pH) hold to the last printed digit.
const (
	phTolerance    = 1e-11
	ionicTolerance = 1e-10
)

// guess is where the search for a pH starts, and how far around it to look before looking everywhere. It changes the
// work, never the answer.
type guess struct{ pH, spread float64 }

const (
	middlePH     = 3.5 // of the pickles
	pickleSpread = 1.0
	trialSpread  = 0.05 // between one trial of the ionic strength and the next
)

// mostIonicStrength (mol/kg) is more than can be dissolved within the limits of a Mixture: every acid at its limit and fully
// ionized makes 320, salts and alkalinity at theirs 50, the largest uptake 70, hydrogen ion at pH 0 less than 2.
const mostIonicStrength = 500

func (m *Model) solve(p *problem) (Result, error) {
	from := guess{pH: middlePH, spread: pickleSpread}
	ionic := p.fixedIonicStrength
	if ionic < 0 {
		ionic = m.selfConsistent(p, &from)
	}
	s := m.solution(p, ionic)
	s.findPH(from)
	if !(s.pH > 0 && s.pH < maxPH) {
		return Result{}, fmt.Errorf("the mixture has no pH from 0 to %d: %w", maxPH, ErrOutOfRange)
	}
	return s.result(ionic), nil
}

// selfConsistent finds the ionic strength that the solution it leads to has, and leaves the pH there as the guess.
// What a trial gives back differs little from trial to trial, so the root nearly always lies within twice the first
// difference of the salts' own ionic strength; where it does not, the whole range is searched.
func (m *Model) selfConsistent(p *problem, from *guess) float64 {
	difference := func(trial float64) float64 {
		s := m.solution(p, trial)
		s.findPH(*from)
		*from = guess{pH: s.pH, spread: trialSpread}
		return s.ionicStrength() - trial
	}
	low := (p.sodium + p.chloride + 4*p.calcium + p.alkalinity) / 2
	atLow := difference(low)
	high := math.Min(mostIonicStrength, math.Max(0, low+2*atLow))
	atHigh := difference(high)
	if (atLow > 0) == (atHigh > 0) {
		low, high = 0, mostIonicStrength
		atLow, atHigh = difference(low), difference(high)
	}
	return root(low, atLow, high, atHigh, ionicTolerance, difference)
}

// solution is a problem at one ionic strength. Charge balance is evaluated at a trial pH, which leaves the speciation
// at that pH behind.
type solution struct {
	model     *Model
	problem   *problem
	univalent float64                        // activity coefficient
	apparent  [acidCount][maxProtons]float64 // constants with the activities of both forms taken in
	pair      float64                        // association constant of sodium acetate, taken in likewise

	pH                  float64
	hydrogen, hydroxide float64
	freeSodium          float64
	neutralAcetic       float64
	anions              Acids // charge on each acid
	squares             Acids // sum of z^2 c for each acid
}

func (m *Model) solution(p *problem, ionicStrength float64) solution {
	s := solution{model: m, problem: p, univalent: m.univalentActivity(ionicStrength)}
	s.pair = m.sodiumAcetate * s.univalent * s.univalent
	for acid, total := range p.acids {
		if total == 0 {
			continue
		}
		univalent := s.univalent
		if m.limiting[acid] {
			univalent = m.limitingActivity(ionicStrength)
		}
		perStep := 1 / (univalent * univalent)
		// From charge j-1 to j the coefficients leave gamma1^((j-1)^2 - j^2) = gamma1^-(2j-1), the hydrogen ion being an
		// activity already.
		factor := 1 / univalent
		for step := range m.protons[acid] {
			s.apparent[acid][step] = m.ka[acid][step] * factor
			factor *= perStep
		}
	}
	return s
}

// findPH finds the pH at which charges balance: first near the guess, then anywhere.
func (s *solution) findPH(from guess) {
	low, high := math.Max(0, from.pH-from.spread), math.Min(maxPH, from.pH+from.spread)
	atLow, atHigh := s.charge(low), s.charge(high)
	if (atLow > 0) == (atHigh > 0) {
		low, high = 0, maxPH
		atLow, atHigh = s.charge(low), s.charge(high)
	}
	s.pH = root(low, atLow, high, atHigh, phTolerance, s.charge)
	s.charge(s.pH)
}

// charge is the surplus of positive charge (mol/kg) at a pH. It falls with pH: hydrogen ion and the uptake of the produce
// fall, hydroxide and the ionization of every acid rise.
func (s *solution) charge(pH float64) float64 {
	p := s.problem
	p.evaluations++
	activity := math.Exp(-math.Ln10 * pH)
	s.hydrogen = activity / s.univalent
	s.hydroxide = s.model.waterProduct / (activity * s.univalent)
	surplus := s.hydrogen - s.hydroxide + p.sodium + 2*p.calcium - p.chloride + p.alkalinity + p.uptake(pH)
	s.freeSodium = p.sodium
	for acid, total := range p.acids {
		if total == 0 {
			continue
		}
		if Acid(acid) == Acetic {
			s.acetate(activity)
		} else {
			s.ionize(Acid(acid), activity)
		}
		surplus -= s.anions[acid]
	}
	return surplus
}

func (s *solution) ionize(acid Acid, activity float64) {
	form, forms, charge, square := 1.0, 1.0, 0.0, 0.0
	for step := range s.model.protons[acid] {
		form *= s.apparent[acid][step] / activity
		z := float64(step + 1)
		forms += form
		charge += z * form
		square += z * z * form
	}
	total := s.problem.acids[acid]
	s.anions[acid] = total * charge / forms
	s.squares[acid] = total * square / forms
}

// acetate shares acetic acid out among HA, A- and the pair NaA. With x the free sodium, r = [A-]/[HA] and k = r K(pair),
// x + C k x/(1 + r + k x) = total sodium is a quadratic with one positive root, taken in the form that is 0 where there is no sodium. Where
// sodium is so much that its middle term is negative, c is of the size of its square and nothing cancels.
func (s *solution) acetate(activity float64) {
	total, sodium := s.problem.acids[Acetic], s.problem.sodium
	r := s.apparent[Acetic][0] / activity
	k := r * s.pair
	b := 1 + r + (total-sodium)*k
	c := 4 * k * (1 + r) * sodium
	x := 2 * (1 + r) * sodium / (b + math.Sqrt(b*b+c))
	s.freeSodium = x
	s.neutralAcetic = total / (1 + r + k*x)
	s.anions[Acetic] = s.neutralAcetic * (r + k*x)
	s.squares[Acetic] = s.neutralAcetic * r
}

// ionicStrength is half the sum of c z^2 at the last pH. Uptake by the produce sets free as many univalent ions.
func (s *solution) ionicStrength() float64 {
	p := s.problem
	sum := s.hydrogen + s.hydroxide + s.freeSodium + p.chloride + 4*p.calcium + p.alkalinity + math.Abs(p.uptake(s.pH))
	for _, square := range s.squares {
		sum += square
	}
	return sum / 2
}

func (s *solution) result(ionicStrength float64) Result {
	p := s.problem
	return Result{
		PH: s.pH, IonicStrength: ionicStrength, UnivalentActivity: s.univalent,
		UndissociatedAceticMolPerKg: s.neutralAcetic, BeyondDavies: ionicStrength > s.model.daviesTrusted,
		Hydrogen: s.hydrogen, Hydroxide: s.hydroxide, Sodium: p.sodium, Calcium: p.calcium, Chloride: p.chloride,
		Alkalinity: p.alkalinity, Uptake: p.uptake(s.pH), Anions: s.anions, Total: p.acids,
	}
}

// TitratableMol gives the base (mol) that takes a mixture to the end point of the vinegar method, pH 8.2 (AOAC 930.35J).
// For brine it is good to 1 %. Where there is produce its straight-line buffer is carried on to 8.2, beyond the range it
// was taken from, so that share is rough. It is negative when the mixture already lies above the end point, and it fails
// as PH does.
func (m *Model) TitratableMol(mix Mixture) (float64, error) {
	p, err := mix.problem()
	if err != nil {
		return 0, fmt.Errorf("describe the mixture: %w", err)
	}
	solved, err := m.solve(&p)
	if err != nil {
		return 0, err
	}
	s := m.solution(&p, solved.IonicStrength)
	return -s.charge(m.endpointPH) * mix.WaterKg, nil
}
