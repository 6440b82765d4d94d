package heating

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"jarwright/validate/table"
)

// The constants of the straight line, derived in the reference figures, within 0.5 %.
func TestConductionConstants(t *testing.T) {
	const lengthM, diffusivity = 0.03, 1.5e-7
	scale := lengthM * lengthM / diffusivity / 60
	printed := map[string]float64{}
	for _, row := range worked(t, "heat_penetration.csv", "topic", "product_or_material", "quantity", "value") {
		if value, err := strconv.ParseFloat(row[3], 64); row[0] == "theory" && row[2] == "f" && err == nil {
			kind, _, _ := strings.Cut(row[1], ",")
			printed[kind] = value
		}
	}
	finite := 0.3982 / (1/(lengthM*lengthM) + 0.4267/(0.055*0.055)) / diffusivity / 60
	for _, test := range []struct {
		name  string
		body  Body
		f, j  float64
		terms FirstTerm
	}{
		{"slab", must(SlabCenter(lengthM, diffusivity, fixed)), printed["infinite slab"] * scale, 1.2732, FirstTerm{}},
		{"cylinder", must(CylinderAxis(lengthM, diffusivity, fixed)), printed["infinite cylinder"] * scale, 1.6020, FirstTerm{}},
		{"sphere", must(SphereCenter(lengthM, diffusivity, fixed)), printed["sphere"] * scale, 2, FirstTerm{}},
		{"finite cylinder", must(FiniteCylinderCenter(lengthM, 0.055, diffusivity, fixed, fixed)), finite, 2.0397, FirstTerm{}},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := test.body.FirstTerm(); test.f == 0 || !near(got.FMinutes, test.f, 0.0005) || !near(got.J, test.j, 0.0001) {
				t.Errorf("%+v, want f %.4f min, j %.4f", got, test.f, test.j)
			}
		})
	}
}

var (
	modelJar = regexp.MustCompile(`inner radius (\d+) mm, filled height (\d+) mm(?:, start (\d+) C)?$`)
	mixedJar = regexp.MustCompile(`: ([\d.]+) kg, (?:inner diameter )?(\d+) mm, (?:height )?(\d+) mm, U=(\d+) W/m2/K on side and bottom$`)
	bathJar  = regexp.MustCompile(`^time_to_([\d.]+)C$`)
)

// The worked cases of conducting and stirred jars and of pieces, derived in the reference figures, within 0.5 %. Times and
// f printed to 0.1 min or less finely get half a digit on top.
func TestWorkedHeatingCases(t *testing.T) {
	checked := 0
	for _, row := range worked(t, "heat_penetration.csv", "topic", "container_or_condition", "quantity", "value", "minutes_60C_to_82.2C") {
		if row[0] != "worked_example" {
			continue
		}
		want := table.MustNumber(row[3])
		var got, digit float64
		switch {
		case modelJar.MatchString(row[1]):
			match := modelJar.FindStringSubmatch(row[1])
			line := must(FiniteCylinderCenter(table.MustNumber(match[1])/1000, table.MustNumber(match[2])/2000, 1.5e-7, fixed, fixed)).FirstTerm()
			got = line.FMinutes
			if target := bathJar.FindStringSubmatch(row[2]); target != nil {
				got = must(line.MinutesTo(table.MustNumber(match[3]), 100, table.MustNumber(target[1])))
				digit = 0.05
			}
		case mixedJar.MatchString(row[1]):
			match := mixedJar.FindStringSubmatch(row[1])
			diameter, height := table.MustNumber(match[2])/1000, table.MustNumber(match[3])/1000
			area := math.Pi*diameter*height + math.Pi/4*diameter*diameter
			line := must(WellMixed(table.MustNumber(match[1]), 4000, table.MustNumber(match[4]), area)).FirstTerm()
			got = line.FMinutes
			if minutes := must(line.MinutesTo(60, 100, 82.2)); math.Abs(minutes-table.MustNumber(row[4])) > 0.0501 {
				t.Errorf("%s: %.3f min from 60 to 82.2 °C, want %s", row[1], minutes, row[4])
			}
		case row[2] == "f_piece":
			var diameterMM float64
			if text, _, ok := strings.Cut(strings.TrimPrefix(row[1], "diameter "), " mm"); ok {
				diameterMM = table.MustNumber(text)
			}
			got = must(CylinderAxis(diameterMM/2000, 1.45e-7, fixed)).FirstTerm().FMinutes
		default:
			continue // film coefficients: TestTransferBoundsHoldFreeConvection
		}
		checked++
		if math.Abs(got-want) > digit+0.005*want {
			t.Errorf("%s, %s = %.3f, want %g", row[1], row[2], got, want)
		}
	}
	if checked != 32 {
		t.Errorf("%d rows, want 32", checked)
	}
}

var wallAndLiquid = regexp.MustCompile(`^wall (\d+) C, liquid (\d+) C$`)

// The liquid beside a hot wall of a jar takes up heat by free convection: the correlation of Churchill and Chu for a vertical
// plate (from memory in the reference figures, too) with the properties of water as iapws 1.5.2 computes them gives the worked
// film coefficients within 0.5 %. With the wall of glass and 2000 W/m²/K outside, as those cases have it, the whole lies between
// the two coefficients that the estimate takes as bounds.
func TestTransferBoundsHoldFreeConvection(t *testing.T) {
	water := waterProperties(t)
	bounds := heatingFigures
	const heightM, outside = 0.11, 2000.0
	checked := 0
	for _, row := range worked(t, "heat_penetration.csv", "quantity", "container_or_condition", "value") {
		if row[0] != "h_inside" {
			continue
		}
		checked++
		match := wallAndLiquid.FindStringSubmatch(row[1])
		wallC, liquidC := table.MustNumber(match[1]), table.MustNumber(match[2])
		at := water((wallC + liquidC) / 2)
		prandtl := at.viscosity * at.heat / at.conductivity
		diffusivity := at.conductivity / at.density / at.heat
		rayleigh := 9.81 * at.expansion * (wallC - liquidC) * heightM * heightM * heightM / (at.viscosity / at.density * diffusivity)
		nusselt := 0.825 + 0.387*math.Pow(rayleigh, 1.0/6)/math.Pow(1+math.Pow(0.492/prandtl, 9.0/16), 8.0/27)
		inside := nusselt * nusselt * at.conductivity / heightM
		if want := table.MustNumber(row[2]); !near(inside, want, 0.005) {
			t.Errorf("%s: %.1f W/m²/K, want %g", row[1], inside, want)
		}
		whole := 1 / (1/inside + 1/bounds.Value("wall_conductance") + 1/outside)
		if whole < bounds.Value("transfer_low") || whole > bounds.Value("transfer_high") {
			t.Errorf("%s: %.0f W/m²/K altogether, outside the bounds of the estimate", row[1], whole)
		}
	}
	if checked != 4 {
		t.Errorf("%d rows, want 4", checked)
	}
}

// waterAt are properties of water in SI: W/m/K, kg/m³, J/kg/K, Pa s, 1/K.
type waterAt struct{ conductivity, density, heat, viscosity, expansion float64 }

// waterProperties reads the five printed temperatures and gives a function that puts a polynomial through them.
func waterProperties(t *testing.T) func(celsius float64) waterAt {
	t.Helper()
	var temperatures []float64
	var columns [5][]float64
	for _, row := range worked(t, "heat_penetration.csv", "topic", "product_or_material", "container_or_condition", "value") {
		if row[0] != "property" || row[1] != "water (stand-in for dilute brine)" {
			continue
		}
		degrees, _, _ := strings.Cut(row[2], " ")
		temperatures = append(temperatures, table.MustNumber(degrees))
		for i, text := range strings.Split(row[3], " / ")[:5] {
			columns[i] = append(columns[i], table.MustNumber(text))
		}
	}
	if len(temperatures) != 5 {
		t.Fatalf("properties at %d temperatures, want 5", len(temperatures))
	}
	through := func(values []float64, celsius float64) float64 {
		sum := 0.0
		for i, term := range values {
			for j := range values {
				if i != j {
					term *= (celsius - temperatures[j]) / (temperatures[i] - temperatures[j])
				}
			}
			sum += term
		}
		return sum
	}
	logarithms := make([]float64, 5) // viscosity falls so fast that its logarithm is what bends little
	for i, viscosity := range columns[3] {
		logarithms[i] = math.Log(viscosity)
	}
	return func(celsius float64) waterAt {
		return waterAt{
			through(columns[0], celsius), through(columns[1], celsius), 1000 * through(columns[2], celsius),
			math.Exp(through(logarithms, celsius)), through(columns[4], celsius),
		}
	}
}

// The roots must solve their equations (standard conduction theory), and a large Biot number must come to the same as a
// fixed surface.
func TestRootsOfFiniteBiotNumbers(t *testing.T) {
	for _, biot := range []float64{0.01, 0.1, 1, 2, 15, 300} {
		for i := range seriesTerms {
			slab, cylinder, sphere := slabTerms(biot)[i].root, cylinderTerms(biot)[i].root, sphereTerms(biot)[i].root
			if got := slab * math.Tan(slab); !near(got, biot, 1e-6) {
				t.Errorf("slab, Bi %g, root %d: x tan x = %g", biot, i, got)
			}
			if got := cylinder * math.J1(cylinder) / math.J0(cylinder); !near(got, biot, 1e-6) {
				t.Errorf("cylinder, Bi %g, root %d: x J1/J0 = %g", biot, i, got)
			}
			if got := 1 - sphere/math.Tan(sphere); !near(got, biot, 1e-6) {
				t.Errorf("sphere, Bi %g, root %d: 1 - x cot x = %g", biot, i, got)
			}
		}
	}
	for name, pair := range map[string][2]Body{
		"slab":     {must(SlabCenter(0.03, 1.5e-7, 1e7)), must(SlabCenter(0.03, 1.5e-7, fixed))},
		"cylinder": {must(CylinderAxis(0.03, 1.5e-7, 1e7)), must(CylinderAxis(0.03, 1.5e-7, fixed))},
		"sphere":   {must(SphereCenter(0.03, 1.5e-7, 1e7)), must(SphereCenter(0.03, 1.5e-7, fixed))},
	} {
		large, infinite := pair[0].FirstTerm(), pair[1].FirstTerm()
		if !near(large.J, infinite.J, 1e-5) || !near(large.FMinutes, infinite.FMinutes, 1e-5) {
			t.Errorf("%s: %+v at a large Biot number, %+v at an infinite one", name, large, infinite)
		}
	}
}

// First roots and weights as textbooks of heat transfer tabulate them (from memory): slab, cylinder and sphere at Biot numbers of 1
// and, for the sphere, 0.1. For the sphere at 1 they are π/2 and 4/π exactly.
func TestTabulatedFirstTerms(t *testing.T) {
	for name, test := range map[string]struct {
		got, want term
	}{
		"slab, Bi 1":     {slabTerms(1)[0], term{0.8603, 1.1191}},
		"cylinder, Bi 1": {cylinderTerms(1)[0], term{1.2558, 1.2071}},
		"sphere, Bi 1":   {sphereTerms(1)[0], term{math.Pi / 2, 4 / math.Pi}},
		"sphere, Bi 0.1": {sphereTerms(0.1)[0], term{0.5423, 1.0298}},
	} {
		t.Run(name, func(t *testing.T) {
			if math.Abs(test.got.root-test.want.root) > 0.0001 || math.Abs(test.got.weight-test.want.weight) > 0.0001 {
				t.Errorf("%+v, want %+v", test.got, test.want)
			}
		})
	}
}

// The lag of a center: at the start its straight line would have been at the target F log10 J minutes too early.
func TestMinutesToTheStartingTemperature(t *testing.T) {
	for j, want := range map[float64]float64{2: 3.0103, 1: 0, 0.5: 0} {
		if got, err := (FirstTerm{j, 10}).MinutesTo(20, 100, 20); err != nil || math.Abs(got-want) > 0.0001 {
			t.Errorf("J %g: %g min, %v, want %g", j, got, err, want)
		}
	}
}

// differences steps the heat equation over shells of a body whose surface is held at 1 from a start of 0 and returns its
// middle after a Fourier number: an independent check. Dimension 1 is a slab, 2 a cylinder, 3 a sphere.
func differences(dimension, fourier float64) float64 {
	const shells = 200
	var now, next [shells + 1]float64
	now[shells] = 1
	step := 1.0 / shells
	dt := 0.15 * step * step
	for passed := 0.0; passed < fourier; passed += dt {
		next[shells] = 1
		next[0] = now[0] + dt/(step*step)*2*dimension*(now[1]-now[0])
		for i := 1; i < shells; i++ {
			curve := (now[i+1] - 2*now[i] + now[i-1]) / (step * step)
			spread := (dimension - 1) / (float64(i) * step) * (now[i+1] - now[i-1]) / (2 * step)
			next[i] = now[i] + dt*(curve+spread)
		}
		now = next
	}
	return now[0]
}

func TestSeriesAgainstDifferences(t *testing.T) {
	const radiusM, diffusivity = 0.036, 1.5e-7
	bodies := []Body{
		must(SlabCenter(radiusM, diffusivity, fixed)),
		must(CylinderAxis(radiusM, diffusivity, fixed)),
		must(SphereCenter(radiusM, diffusivity, fixed)),
	}
	for i, body := range bodies {
		for _, test := range []struct{ fourier, tolerance float64 }{
			{0.0035, 0.01}, {0.01, 0.0025}, {0.02, 0.0001}, {0.05, 0.0001}, {0.1, 0.0001}, {0.3, 0.0001},
		} {
			minutes := test.fourier * radiusM * radiusM / diffusivity / 60
			got, want := body.CenterC(0, 1, minutes), differences(float64(i+1), test.fourier)
			if math.Abs(got-want) > test.tolerance {
				t.Errorf("dimension %d, Fourier number %g: %.5f, differences give %.5f", i+1, test.fourier, got, want)
			}
		}
		if got := body.CenterC(20, 100, 0); math.Abs(got-20) > 1e-9 {
			t.Errorf("dimension %d starts at %g °C, not 20", i+1, got)
		}
	}
}
