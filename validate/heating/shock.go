package heating

import (
	"math"

	"jarwright/validate/table"
)

var glass = table.MustFigures("heating/glass.csv")

// Shock is a step of temperature that a jar meets.
type Shock struct {
	DifferenceK float64 // never negative
	Cooling     bool    // down-shock, the more severe of the two
	Over        bool    // beyond ShockLimit
}

// ShockOf is the step of a jar at jarC that meets something at otherC, both in °C: brine, bath or bench. Any
// temperatures; the judgment rests on ShockLimit.
func ShockOf(jarC, otherC float64) Shock {
	difference := math.Abs(jarC - otherC)
	return Shock{DifferenceK: difference, Cooling: otherC < jarC, Over: difference > ShockLimit().Value}
}

// ShockLimit is the step in K that food jars are usually asked to stand, hot to cold (42 K, which is 75.6 °F). It is trade
// practice and from memory; the standard for the test, ASTM C149, sets none.
func ShockLimit() table.Figure { return glass.Get("usual_limit") }

// LeastJarC is the temperature in °C to which a jar is to be warmed before something at otherC goes into it.
func LeastJarC(otherC float64) float64 { return otherC - ShockLimit().Value }

// FullStressPa is the stress in pascals in the surface of glass that is held fast and changed by so many K: E a dT/(1-nu),
// 0.84 MPa per K. A real jar reaches a fraction of it. Soda-lime glass; derived in the reference figures.
func FullStressPa(differenceK float64) float64 {
	return glass.Value("youngs_modulus") * glass.Value("expansion") * differenceK / (1 - glass.Value("poisson_ratio"))
}
