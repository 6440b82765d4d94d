// Package heating estimates how hot the coldest spot of a jar gets in its bath, for how long, and what that does to the
// bacteria that matter. Two models bracket a real pack: contents that stir themselves, and contents that only conduct.
// Its results are bounds. They explain and warn; they never stand in for a tested process, and no bound here can make a
// jar fit for the shelf.
package heating

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"jarwright/validate/table"
)

// seriesTerms is how many terms of a conduction series are kept in each direction.
const seriesTerms = 8

const secondsPerMinute = 60

// mode is one term of a series: a part of the temperature difference that dies away at its own rate.
type mode struct {
	weight, perMinute float64
}

// Body is how the coldest spot of a body follows the temperature of what surrounds it. The last two weights of its series
// are set so that the spot starts at the temperature of the whole body and does not move at first, as a middle does; the
// cut series is then good to 0.01 of the first difference, and to 0.0001 from a Fourier number of 0.02 on.
type Body struct {
	modes []mode // slowest first
}

// FirstTerm is the straight part of a heating curve on logarithmic paper: bath - T = J (bath - start) 10^(-t/F).
type FirstTerm struct {
	J        float64
	FMinutes float64
}

func checkBody(lengthM, diffusivityM2S, biot float64) error {
	for _, err := range []error{
		table.Within("length", lengthM, 1e-4, 1, "m"),
		table.Within("thermal diffusivity", diffusivityM2S, 1e-8, 1e-6, "m²/s"),
		table.Within("Biot number", biot, 0.01, math.Inf(1), ""),
	} {
		if err != nil {
			return fmt.Errorf("conduction: %w", err)
		}
	}
	return nil
}

// SlabCenter is the middle of a wide slab of half thickness in m and thermal diffusivity in m²/s, heated from both
// sides. The Biot number is h L/k; infinite means that the surface takes the temperature of the bath at once.
//
// Lengths lie between 0.1 mm and 1 m, diffusivities between 1e-8 and 1e-6 m²/s, Biot numbers from 0.01; elsewhere the
// error wraps table.ErrRange. Standard conduction theory: roots of x tan x = Bi, from memory; constants at infinite
// Biot number derived in the reference figures (f = 0.9332 L²/α, j = 1.2732).
func SlabCenter(halfThicknessM, diffusivityM2S, biot float64) (Body, error) {
	if err := checkBody(halfThicknessM, diffusivityM2S, biot); err != nil {
		return Body{}, err
	}
	return series(slabTerms(biot), halfThicknessM, diffusivityM2S), nil
}

// CylinderAxis is the axis of a long cylinder of radius in m: a spear, a bean, a carrot stick. Range and errors are those
// of SlabCenter. Roots of x J1(x)/J0(x) = Bi; at infinite Biot number f = 0.3982 R²/α, j = 1.6020.
func CylinderAxis(radiusM, diffusivityM2S, biot float64) (Body, error) {
	if err := checkBody(radiusM, diffusivityM2S, biot); err != nil {
		return Body{}, err
	}
	return series(cylinderTerms(biot), radiusM, diffusivityM2S), nil
}

// SphereCenter is the middle of a sphere of radius in m: an onion, a small beet. Range and errors are those of
// SlabCenter. Roots of 1 - x cot x = Bi; at infinite Biot number f = 0.2333 R²/α, j = 2.
func SphereCenter(radiusM, diffusivityM2S, biot float64) (Body, error) {
	if err := checkBody(radiusM, diffusivityM2S, biot); err != nil {
		return Body{}, err
	}
	return series(sphereTerms(biot), radiusM, diffusivityM2S), nil
}

// FiniteCylinderCenter is the middle of a cylinder of radius and half height in m, heated on all sides: a jar whose
// contents only conduct. It is the product of CylinderAxis and SlabCenter, with a Biot number for each direction. Range and
// errors are those of SlabCenter. At infinite Biot numbers f = 0.3982/(α (1/a² + 0.4267/b²)), j = 2.0397.
func FiniteCylinderCenter(radiusM, halfHeightM, diffusivityM2S, biotRadius, biotHeight float64) (Body, error) {
	across, err := CylinderAxis(radiusM, diffusivityM2S, biotRadius)
	if err != nil {
		return Body{}, err
	}
	along, err := SlabCenter(halfHeightM, diffusivityM2S, biotHeight)
	if err != nil {
		return Body{}, err
	}
	product := Body{modes: make([]mode, 0, seriesTerms*seriesTerms)}
	for _, a := range across.modes {
		for _, b := range along.modes {
			product.modes = append(product.modes, mode{a.weight * b.weight, a.perMinute + b.perMinute})
		}
	}
	slices.SortFunc(product.modes, func(a, b mode) int { return cmp.Compare(a.perMinute, b.perMinute) })
	return product, nil
}

// WellMixed is a liquid that stirs itself: mass in kg, heat capacity in J/kg/K, heat transfer in W/m²/K over an area in
// m². Its straight line is f = 2.3026 m cp/(U A), j = 1. All four are positive; otherwise the error wraps
// table.ErrRange. Newton heating, derived in the reference figures.
func WellMixed(massKg, heatCapacityJKgK, transferWM2K, areaM2 float64) (Body, error) {
	perMinute := secondsPerMinute * transferWM2K * areaM2 / (massKg * heatCapacityJKgK)
	for _, value := range []float64{massKg, heatCapacityJKgK, transferWM2K, areaM2, perMinute} {
		if err := table.Within("well-mixed liquid", value, math.SmallestNonzeroFloat64, math.MaxFloat64, ""); err != nil {
			return Body{}, err
		}
	}
	return Body{modes: []mode{{1, perMinute}}}, nil
}

// FirstTerm is the slowest term of the series: the straight part of the curve.
func (b Body) FirstTerm() FirstTerm {
	return FirstTerm{J: b.modes[0].weight, FMinutes: math.Ln10 / b.modes[0].perMinute}
}

// CenterC is the temperature in °C of the coldest spot, from startC throughout, some minutes after it was put into a
// surrounding of bathC. Accuracy as said at Body.
func (b Body) CenterC(startC, bathC, minutes float64) float64 {
	left := 0.0
	for _, m := range b.modes {
		left += m.weight * math.Exp(-m.perMinute*minutes)
	}
	return bathC + (startC-bathC)*left
}

// MinutesTo is when the straight line passes a target temperature, all in °C: F log10(J (bath - start)/(bath - target)).
// For a center it is good to 0.1 % of the difference from a Fourier number of about 0.2; before, use Body.CenterC. The target
// lies between start and bath, below the bath; otherwise the error wraps table.ErrRange. It is 0 at the least.
func (f FirstTerm) MinutesTo(startC, bathC, targetC float64) (float64, error) {
	if !(startC <= targetC && targetC < bathC) {
		return 0, fmt.Errorf("minutes to %g °C from %g in a bath of %g: %w", targetC, startC, bathC, table.ErrRange)
	}
	return max(0, f.FMinutes*math.Log10(f.J*(bathC-startC)/(bathC-targetC))), nil
}

// term is a root of the series with its weight at the center; its rate is root² α/L².
type term struct {
	root, weight float64
}

func series(terms [seriesTerms]term, lengthM, diffusivityM2S float64) Body {
	scale := secondsPerMinute * diffusivityM2S / (lengthM * lengthM)
	body := Body{modes: make([]mode, seriesTerms)}
	rest, restSlope := 1.0, 0.0
	for i, t := range terms {
		body.modes[i] = mode{t.weight, t.root * t.root * scale}
		if i < seriesTerms-2 {
			rest -= t.weight
			restSlope -= t.weight * body.modes[i].perMinute
		}
	}
	// The last two weights w solve sum w = rest, sum w rate = restSlope.
	slower, faster := &body.modes[seriesTerms-2], &body.modes[seriesTerms-1]
	slower.weight = (rest*faster.perMinute - restSlope) / (faster.perMinute - slower.perMinute)
	faster.weight = rest - slower.weight
	return body
}

func slabTerms(biot float64) (terms [seriesTerms]term) {
	for i := range terms {
		low, x := float64(i)*math.Pi, (float64(i)+0.5)*math.Pi
		if !math.IsInf(biot, 1) {
			x = root(func(x float64) float64 { sin, cos := math.Sincos(x); return x*sin - biot*cos }, low, x)
		}
		terms[i] = term{x, 4 * math.Sin(x) / (2*x + math.Sin(2*x))}
	}
	return terms
}

// zerosJ0 and zerosJ1 are the zeros of the Bessel functions; that of J1 at the origin stands first.
var zerosJ0, zerosJ1 = besselZeros()

func besselZeros() (j0, j1 [seriesTerms]float64) {
	for i := range j0 {
		n := float64(i)
		j0[i] = root(math.J0, (n+0.5)*math.Pi, (n+1)*math.Pi)
		j1[i] = root(math.J1, n*math.Pi, (n+0.5)*math.Pi)
	}
	return j0, j1
}

func cylinderTerms(biot float64) (terms [seriesTerms]term) {
	for i := range terms {
		x := zerosJ0[i]
		if !math.IsInf(biot, 1) {
			x = root(func(x float64) float64 { return x*math.J1(x) - biot*math.J0(x) }, zerosJ1[i], x)
		}
		j0, j1 := math.J0(x), math.J1(x)
		terms[i] = term{x, 2 * j1 / (x * (j0*j0 + j1*j1))}
	}
	return terms
}

func sphereTerms(biot float64) (terms [seriesTerms]term) {
	for i := range terms {
		// The root at the origin is none of the series.
		low, x := max(0.01, float64(i)*math.Pi), float64(i+1)*math.Pi
		if !math.IsInf(biot, 1) {
			x = root(func(x float64) float64 { sin, cos := math.Sincos(x); return (1-biot)*sin - x*cos }, low, x)
		}
		sin, cos := math.Sincos(x)
		terms[i] = term{x, 4 * (sin - x*cos) / (2*x - math.Sin(2*x))}
	}
	return terms
}

// rootTolerance is relative; what it leaves is far below the digits of any property that goes in.
const rootTolerance = 1e-11

// root finds the zero of f between low and high, neither negative, where f has two signs, by the Illinois form of false
// position.
func root(f func(float64) float64, low, high float64) float64 {
	fLow, fHigh := f(low), f(high)
	for range 100 {
		x := (low*fHigh - high*fLow) / (fHigh - fLow)
		fx := f(x)
		if fx == 0 {
			return x
		}
		if (fx > 0) != (fHigh > 0) {
			low, fLow = high, fHigh
		} else {
			fLow /= 2
		}
		if math.Abs(x-high) < rootTolerance*x {
			return x
		}
		high, fHigh = x, fx
	}
	return high
}
