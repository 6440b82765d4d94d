package acidity

// Acid names one weak acid of the model and indexes Acids.
type Acid int

// The weak acids that kitchen ingredients bring and whose constants are published.
const (
	Acetic Acid = iota
	Citric
	Malic
	Lactic
	Tartaric
	Phosphoric
	Ascorbic
	acidCount
)

// maxProtons is the most protons an acid of the model gives off.
const maxProtons = 3

var acidNames = [acidCount]string{"acetic", "citric", "malic", "lactic", "tartaric", "phosphoric", "ascorbic"}

// String gives the name used in the tables, or "unknown".
func (a Acid) String() string {
	if a < 0 || a >= acidCount {
		return "unknown"
	}
	return acidNames[a]
}

// Acids holds one figure for each Acid: moles in a Mixture, mol per kg of water in a Result. All protonation states of
// an acid count together.
type Acids [acidCount]float64

// VinegarMoles gives the moles of acetic acid in a volume (mL) of vinegar whose label states its acidity as grams of
// acetic acid per 100 mL, the legal basis of vinegar strength (FDA CPG 525.825). It is linear in both and makes no
// correction for temperature: the label basis is 20 C.
func (m *Model) VinegarMoles(volumeML, acidityPercent float64) float64 {
	return volumeML * acidityPercent / 100 / m.molarMass[Acetic]
}

// Moles gives the moles in a mass (g) of an acid, taken as anhydrous and pure.
func (m *Model) Moles(acid Acid, massG float64) float64 { return massG / m.molarMass[acid] }

// VinegarDensity gives the density (g/mL at 20 C) of vinegar with the stated acidity in g per 100 mL, read by straight
// lines from a published table of pure aqueous acetic acid at 1, 5, 10 and 20 % w/w. Outside the table the nearest row
// holds, which is 0.2 % off for plain water. Vinegar with sugar or malt is up to 2 % denser.
func (m *Model) VinegarDensity(acidityPercent float64) float64 {
	table := m.aceticDensity
	if acidityPercent <= table[0].gramsPer100ML {
		return table[0].density
	}
	for i := 1; i < len(table); i++ {
		low, high := table[i-1], table[i]
		if acidityPercent <= high.gramsPer100ML {
			share := (acidityPercent - low.gramsPer100ML) / (high.gramsPer100ML - low.gramsPer100ML)
			return low.density + share*(high.density-low.density)
		}
	}
	return table[len(table)-1].density
}

// Equivalents counts the protons (mol) that an acid gives off per mole when it is titrated to the end point of the
// vinegar method (AOAC 930.35J, pH 8.2): those whose pKa lies below it.
func (m *Model) Equivalents(acid Acid) int {
	count := 0
	for _, pka := range m.pka[acid] {
		if pka < m.endpointPH {
			count++
		}
	}
	return count
}

// Portion is an amount of brine, or the whole contents of a jar, in plain numbers for the acid and salt figures.
type Portion struct {
	MassG           float64 // everything, water included
	VolumeML        float64 // of the liquid and the food together
	Acids           Acids   // mol, from vinegar, juices and added acids; the food's own acid is left out
	SaltG           float64 // sodium chloride
	OtherSodiumMol  float64 // sodium that came with other salts, such as sodium citrate
	SugarG          float64
	LowAcidFoodKg   float64 // food whose natural pH is over 4.6; zero in brine
	TestedAcidPerKg float64 // mmol of acid per kg of low-acid food in the tested recipe; zero where there is none
}

// Figures are the acid, salt and sugar figures of a Portion. A figure whose divisor is zero is zero.
type Figures struct {
	AcidMol           float64 // equivalents of acid up to the titration end point
	AceticPercentWV   float64 // g acetic acid equivalent per 100 mL
	AceticPercentWW   float64 // g acetic acid equivalent per 100 g
	AcidMmolPerKg     float64 // mmol of acid equivalents per kg of low-acid food
	ShareOfTested     float64 // AcidMmolPerKg over the tested recipe's
	SaltPercentWW     float64 // g sodium chloride per 100 g
	SodiumMgPer100G   float64
	SugarPercentWW    float64 // g per 100 g
	EquivalentsByAcid Acids   // equivalents (mol) that each acid brings
}

// Figures works out the plain proportions of p. They are arithmetic on what was put in, so they are as good as the
// masses; nothing is said about pH. Acids other than acetic count by equivalents (citric 64.0 g, lactic 90.1 g and
// acetic 60.1 g an equivalent, as the titration formula has it).
func (m *Model) Figures(p Portion) Figures {
	var f Figures
	for acid := range acidCount {
		f.EquivalentsByAcid[acid] = p.Acids[acid] * float64(m.Equivalents(acid))
		f.AcidMol += f.EquivalentsByAcid[acid]
	}
	aceticG := f.AcidMol * m.molarMass[Acetic]
	f.AceticPercentWV = 100 * ratio(aceticG, p.VolumeML)
	f.AceticPercentWW = 100 * ratio(aceticG, p.MassG)
	f.AcidMmolPerKg = 1000 * ratio(f.AcidMol, p.LowAcidFoodKg)
	f.ShareOfTested = ratio(f.AcidMmolPerKg, p.TestedAcidPerKg)
	f.SaltPercentWW = 100 * ratio(p.SaltG, p.MassG)
	sodiumMol := p.SaltG/m.sodiumChlorideMolarMass + p.OtherSodiumMol
	f.SodiumMgPer100G = 100 * 1000 * ratio(sodiumMol*m.sodiumMolarMass, p.MassG)
	f.SugarPercentWW = 100 * ratio(p.SugarG, p.MassG)
	return f
}

func ratio(numerator, denominator float64) float64 {
	if denominator == 0 {
		return 0
	}
	return numerator / denominator
}
