// Package headspace works out what the empty space at the top of a jar does: how much the jar holds under it, how long a
// piece stays covered, how far the fill swells on its way to boiling, and what vacuum is left after cooling. Its vacuum
// is an upper bound and its volumes rest on a simple shape of jar; neither can say that a jar has sealed.
package headspace

import (
	"fmt"
	"math"
	"slices"

	"jarwright/validate/table"
)

const zeroCelsiusK = 273.15

var (
	waterFigures  = table.MustFigures("headspace/water.csv")
	saltKgPerMole = waterFigures.Value("salt_molar_mass")

	water   = loadWater(waterFigures)
	salt    = loadSalt(table.MustRows("headspace/salt.csv", "temperature_c", "molality_mol_per_kg", "specific_volume_cm3_per_g"))
	sucrose = loadSolute("sucrose")
	acetic  = loadSolute("acetic")
)

// waterLine is the supplementary equation for the density of saturated liquid water, rho/rhoc = 1 + sum b tau^(n/3)
// with tau = 1 - T/Tc.
type waterLine struct {
	criticalK, criticalDensity float64
	b                          [6]float64
	thirds                     [6]int
}

func loadWater(table table.Table) waterLine {
	line := waterLine{criticalK: table.Value("critical_temperature"), criticalDensity: table.Value("critical_density")}
	for i := range line.b {
		line.b[i] = table.Value(fmt.Sprintf("b%d", i+1))
		line.thirds[i] = int(table.Value(fmt.Sprintf("thirds%d", i+1)))
	}
	return line
}

func (w *waterLine) density(temperatureC float64) float64 {
	root := math.Cbrt(1 - (temperatureC+zeroCelsiusK)/w.criticalK)
	sum := 1.0
	for i, b := range w.b {
		sum += b * wholePower(root, w.thirds[i])
	}
	return w.criticalDensity * sum
}

// wholePower is x to a whole power above 0, by squaring: several times faster than math.Pow.
func wholePower(x float64, n int) float64 {
	power := 1.0
	for ; n > 0; n >>= 1 {
		if n&1 == 1 {
			power *= x
		}
		x *= x
	}
	return power
}

// WaterDensity is the density in kg/m³ of liquid water at a temperature in °C, under its own vapor pressure; at the
// pressure of a kitchen it is 0.005 % more at most.
//
// It holds from 0 to 105 °C, within 0.001 % of IAPWS-95; elsewhere the error wraps table.ErrRange. IAPWS SR1-86(1992).
func WaterDensity(temperatureC float64) (float64, error) {
	if err := withinLiquid("temperature", temperatureC); err != nil {
		return 0, fmt.Errorf("density of water: %w", err)
	}
	return water.density(temperatureC), nil
}

func withinLiquid(what string, temperatureC float64) error {
	return table.Within(what, temperatureC, 0, jarFigures.Value("highest_temperature"), "°C")
}

// Brine is what is dissolved in a brine, in g per 100 g of it; the rest is water.
type Brine struct {
	SaltPercent, SugarPercent, AceticPercent float64
}

// Density is the density in kg/m³ of a brine at a temperature in °C.
//
// Salt holds to 5 mol per kg of its water (22.6 % in salt and water alone), sugar to 65 % and acetic acid to 30 % of
// solute and water, temperature from 0 to 105 °C; elsewhere the error wraps table.ErrRange. Salt alone lies within
// 0.05 % of the printed tables from 0 to 100 °C. Sugar and acetic acid were tabulated at 20 °C only, above 21 % of sugar
// from memory: their own volume per gram is held at its 20 °C value, so that they lie within 0.1 % at 20 °C, and
// elsewhere, as in mixtures, rest on volumes adding up, which no table at hand tests.
//
// Each solute brings its apparent volume to that of the water. Salt: CRC Handbook (2005), volumetric properties of
// aqueous NaCl. Sugar: beet-sugar handbook, Table A.1, without the row of 5 %, which breaks its series. Acetic acid: an
// engineering reference table.
func (b Brine) Density(temperatureC float64) (float64, error) {
	waterPercent := 100 - b.SaltPercent - b.SugarPercent - b.AceticPercent
	highestSalt := 100 * salt.highestMolality() * saltKgPerMole / (1 + salt.highestMolality()*saltKgPerMole)
	for _, err := range []error{
		withinLiquid("temperature", temperatureC),
		table.Within("water in the brine", waterPercent, math.SmallestNonzeroFloat64, 100, "%"),
		table.Within("salt in salt and water", share(b.SaltPercent, waterPercent), 0, highestSalt, "%"),
		table.Within("sugar in sugar and water", share(b.SugarPercent, waterPercent), 0, sucrose.highestPercent(), "%"),
		table.Within("acetic acid in acid and water", share(b.AceticPercent, waterPercent), 0, acetic.highestPercent(), "%"),
	} {
		if err != nil {
			return 0, fmt.Errorf("density of brine: %w", err)
		}
	}
	return b.density(temperatureC), nil
}

func (b Brine) density(temperatureC float64) float64 {
	waterPercent := 100 - b.SaltPercent - b.SugarPercent - b.AceticPercent
	molality := b.SaltPercent / waterPercent / saltKgPerMole
	volume := waterPercent/water.density(temperatureC) +
		b.SugarPercent*sucrose.apparentVolume(share(b.SugarPercent, waterPercent)) +
		b.AceticPercent*acetic.apparentVolume(share(b.AceticPercent, waterPercent)) +
		b.SaltPercent*salt.apparentVolume(molality, temperatureC)
	return 100 / volume
}

// share is a part in percent of itself and the water.
func share(part, waterPart float64) float64 { return 100 * part / (part + waterPart) }

// saltTable holds the apparent volume of salt, m³/kg of salt, over temperature and molality. It is smoother than the
// density itself and gives the density of water at no salt, so that straight interpolation serves.
type saltTable struct {
	temperaturesC, molalities []float64
	volumes                   [][]float64 // by temperature, then molality
}

func loadSalt(rows [][]string) saltTable {
	var read saltTable
	for _, row := range rows {
		temperatureC, molality := table.MustNumber(row[0]), table.MustNumber(row[1])
		solution := table.MustNumber(row[2]) / 1000 * (1 + molality*saltKgPerMole) // m³ per kg of water
		if !slices.Contains(read.temperaturesC, temperatureC) {
			read.temperaturesC = append(read.temperaturesC, temperatureC)
			read.volumes = append(read.volumes, nil)
		}
		last := len(read.volumes) - 1
		if last == 0 {
			read.molalities = append(read.molalities, molality)
		}
		volume := (solution - 1/water.density(temperatureC)) / (molality * saltKgPerMole)
		read.volumes[last] = append(read.volumes[last], volume)
	}
	return read
}

func (s *saltTable) highestMolality() float64 { return s.molalities[len(s.molalities)-1] }

func (s *saltTable) apparentVolume(molality, temperatureC float64) float64 {
	row, down := bracket(s.temperaturesC, temperatureC)
	column, across := bracket(s.molalities, molality)
	upper := interpolate(s.volumes[row][column], s.volumes[row][column+1], across)
	lower := interpolate(s.volumes[row+1][column], s.volumes[row+1][column+1], across)
	return interpolate(upper, lower, down)
}

// soluteTable holds the apparent volume at 20 °C, m³/kg of solute, over mass percent in solute and water.
type soluteTable struct {
	percents, volumes []float64
}

func loadSolute(name string) soluteTable {
	const tabulatedC = 20
	var read soluteTable
	for _, row := range table.MustRows("headspace/solutes.csv", "solute", "mass_percent", "quantity", "value") {
		if row[0] != name {
			continue
		}
		percent, density := table.MustNumber(row[1]), table.MustNumber(row[3])
		if row[2] == "specific_gravity" {
			density *= water.density(tabulatedC)
		} else {
			density *= 1000
		}
		volume := (100/density - (100-percent)/water.density(tabulatedC)) / percent
		read.percents, read.volumes = append(read.percents, percent), append(read.volumes, volume)
	}
	return read
}

func (s *soluteTable) highestPercent() float64 { return s.percents[len(s.percents)-1] }

func (s *soluteTable) apparentVolume(percent float64) float64 {
	i, along := bracket(s.percents, percent)
	return interpolate(s.volumes[i], s.volumes[i+1], along)
}

// bracket finds the interval of a rising list that holds x, and how far along it x lies; ends are held.
func bracket(list []float64, x float64) (int, float64) {
	x = min(max(x, list[0]), list[len(list)-1])
	i, _ := slices.BinarySearch(list, x)
	i = max(i-1, 0)
	return i, (x - list[i]) / (list[i+1] - list[i])
}

// interpolate is the value a part of the way from a to b.
func interpolate(a, b, part float64) float64 { return a + (b-a)*part }

// WaterFigure is a coefficient of the density of water with its source; it panics on a name that the table lacks.
func WaterFigure(name string) table.Figure { return waterFigures.Get(name) }
