package heating

import (
	"errors"
	"math"
	"os"
	"testing"

	"jarwright/validate/table"
)

// Each file of testdata/worked names the document of every row.
func worked(t *testing.T, file string, columns ...string) [][]string {
	t.Helper()
	text, err := os.ReadFile("../../testdata/worked/" + file)
	if err != nil {
		t.Fatal(err)
	}
	return table.MustRowsOf(text, columns...)
}

// near reports whether got lies within tolerance, a fraction, of want.
func near(got, want, tolerance float64) bool { return math.Abs(got-want) <= tolerance*math.Abs(want) }

func must[T any](value T, err error) T {
	if err != nil {
		panic(err)
	}
	return value
}

var fixed = math.Inf(1)

func TestOutOfRange(t *testing.T) {
	pack, process := pint(), rawPack()
	wrong := func(change func(*Pack, *Process)) error {
		pack, process := pack, process
		change(&pack, &process)
		return second(Estimate(pack, process))
	}
	for name, err := range map[string]error{
		"thin":             second(SlabCenter(1e-6, 1.5e-7, 1)),
		"no diffusivity":   second(CylinderAxis(0.03, 0, 1)),
		"no film":          second(SphereCenter(0.03, 1.5e-7, 0)),
		"half of it":       second(FiniteCylinderCenter(0.03, 2, 1.5e-7, 1, 1)),
		"no mass":          second(WellMixed(0, 4000, 100, 0.03)),
		"never":            second(FirstTerm{1, 10}.MinutesTo(20, 80, 80)),
		"already":          second(FirstTerm{1, 10}.MinutesTo(90, 100, 80)),
		"no fill":          second(EquivalentRadiusM(0, 110)),
		"lengths":          second(Accumulated([]float64{0}, nil, Target{})),
		"time falls":       second(Accumulated([]float64{1, 0}, []float64{1, 1}, Target{ZK: 1})),
		"jar":              wrong(func(p *Pack, _ *Process) { p.InnerRadiusM = 0.5 }),
		"fill":             wrong(func(p *Pack, _ *Process) { p.FillHeightM = 0 }),
		"piece":            wrong(func(p *Pack, _ *Process) { p.PieceRadiusM = 0.1 }),
		"shape":            wrong(func(p *Pack, _ *Process) { p.Pieces = "cube" }),
		"start":            wrong(func(_ *Pack, p *Process) { p.StartC = -5 }),
		"canner over bath": wrong(func(_ *Pack, p *Process) { p.CannerC = 101 }),
		"pressure canner":  wrong(func(_ *Pack, p *Process) { p.BathC = 121 }),
		"hold":             wrong(func(_ *Pack, p *Process) { p.HoldMinutes = math.NaN() }),
		"come-up":          wrong(func(_ *Pack, p *Process) { p.ComeUpShortMinutes = 5 }),
		"room":             wrong(func(_ *Pack, p *Process) { p.RoomC = 60 }),
	} {
		t.Run(name, func(t *testing.T) {
			if !errors.Is(err, table.ErrRange) {
				t.Errorf("error %v", err)
			}
		})
	}
}

func second[T any](_ T, err error) error { return err }
