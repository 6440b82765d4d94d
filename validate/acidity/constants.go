package acidity

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/table"
)

// Constant is one published figure of the model with where it comes from.
type Constant struct {
	Name       string
	Value      float64
	Unit       string
	Conditions string
	Citation   catalog.Citation
	Note       string // what other sources say, and why this one was chosen
}

// Model is the chemistry, loaded: constants for 25 C and buffer figures. It is read-only and safe for concurrent use.
type Model struct {
	constants []Constant
	index     map[string]int
	buffers   []BufferFigure
	packing   packing
	natural   map[string]Band // by item id; see Know

	pka           [acidCount][]float64
	ka            [acidCount][maxProtons]float64
	protons       [acidCount]int
	molarMass     Acids // g/mol
	waterProduct  float64
	sodiumAcetate float64 // association constant, kg/mol
	debyeHuckelA  float64
	limiting      [acidCount]bool // see WithLimitingLaw
	daviesB       float64
	daviesTrusted float64 // mol/kg
	daviesCeiling float64 // mol/kg
	endpointPH    float64

	sodiumChlorideMolarMass, sodiumMolarMass float64 // g/mol
	aceticDensity                            []densityRow
}

type densityRow struct{ gramsPer100ML, density float64 }

// aceticDensityRows are the strengths in % w/w at which the table gives the density of aqueous acetic acid.
var aceticDensityRows = []float64{1, 5, 10, 20}

var constantColumns = []string{"name", "value", "unit", "conditions", "source", "locator", "verified", "note"}

// Load reads the embedded tables. It fails when a row is broken, a name stands twice or a figure that the model needs
// is missing.
func Load() (*Model, error) {
	m := &Model{index: map[string]int{}}
	if err := m.readConstants(table.MustBytes("acidity/constants.csv")); err != nil {
		return nil, fmt.Errorf("load constants.csv: %w", err)
	}
	if err := m.bindConstants(); err != nil {
		return nil, fmt.Errorf("load constants.csv: %w", err)
	}
	var err error
	if m.buffers, err = readBuffers(table.MustBytes("acidity/buffer.csv")); err != nil {
		return nil, fmt.Errorf("load buffer.csv: %w", err)
	}
	if m.packing, err = readPacking(table.MustBytes("acidity/packing.csv")); err != nil {
		return nil, fmt.Errorf("load packing.csv: %w", err)
	}
	return m, nil
}

// Constants lists every constant in the order of the table.
func (m *Model) Constants() []Constant { return slices.Clone(m.constants) }

// Constant finds a figure by its name, such as "acetic.pka1" or "tolerance.pack".
func (m *Model) Constant(name string) (Constant, bool) {
	i, found := m.index[name]
	if !found {
		return Constant{}, false
	}
	return m.constants[i], true
}

func (m *Model) readConstants(data []byte) error {
	rows, err := table.Rows(data, constantColumns...)
	if err != nil {
		return err
	}
	for i, row := range rows {
		value, err := strconv.ParseFloat(row[1], 64)
		if err != nil {
			return fmt.Errorf("row %d: value of %q: %w", i+1, row[0], err)
		}
		if _, taken := m.index[row[0]]; taken {
			return fmt.Errorf("row %d: %q stands twice", i+1, row[0])
		}
		m.index[row[0]] = len(m.constants)
		m.constants = append(m.constants, Constant{
			Name: row[0], Value: value, Unit: row[2], Conditions: row[3], Note: row[7],
			Citation: catalog.Citation{Source: row[4], Locator: row[5], Verified: catalog.Verified(row[6])},
		})
	}
	return nil
}

// bindConstants copies what the solver needs out of the table, so that no solve looks up a name.
func (m *Model) bindConstants() error {
	var missing []string
	need := func(name string) float64 {
		constant, found := m.Constant(name)
		if !found {
			missing = append(missing, name)
		}
		return constant.Value
	}
	for acid := range acidCount {
		m.molarMass[acid] = need(acid.String() + ".molar_mass")
		for step := range maxProtons {
			constant, found := m.Constant(fmt.Sprintf("%s.pka%d", acid, step+1))
			if !found {
				break
			}
			m.pka[acid] = append(m.pka[acid], constant.Value)
			m.ka[acid][step] = math.Pow(10, -constant.Value)
			m.protons[acid]++
		}
		if m.protons[acid] == 0 {
			missing = append(missing, acid.String()+".pka1")
		}
	}
	m.waterProduct = math.Pow(10, need("water.log_k"))
	m.sodiumAcetate = math.Pow(10, need("sodium_acetate.log_k"))
	m.debyeHuckelA = need("debye_huckel.a")
	m.daviesB = need("davies.b")
	m.daviesTrusted = need("davies.trusted")
	m.daviesCeiling = need("davies.ceiling")
	m.endpointPH = need("titration.endpoint")
	m.sodiumChlorideMolarMass = need("sodium_chloride.molar_mass")
	m.sodiumMolarMass = need("sodium.molar_mass")
	for _, percent := range aceticDensityRows {
		density := need(fmt.Sprintf("acetic.density_%g", percent))
		m.aceticDensity = append(m.aceticDensity, densityRow{gramsPer100ML: percent * density, density: density})
	}
	if len(missing) > 0 {
		return fmt.Errorf("missing %s", strings.Join(missing, ", "))
	}
	return nil
}

// MustValue is the value of a constant in the unit of its row; 0 for a name that the table lacks, which a test refuses.
func (m *Model) MustValue(name string) float64 {
	c, _ := m.Constant(name)
	return c.Value
}

// Citation is where a constant comes from.
func (m *Model) Citation(name string) catalog.Citation {
	c, _ := m.Constant(name)
	return c.Citation
}

// MolarMass is the mass of one mol of an acid, in grams.
func (m *Model) MolarMass(acid Acid) float64 { return m.molarMass[acid] }
