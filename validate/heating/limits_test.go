package heating

import (
	"errors"
	"math"
	"testing"

	"jarwright/validate/table"
)

type bothSides struct{ inside, outside error }

func (b bothSides) check(t *testing.T) {
	t.Helper()
	if b.inside != nil {
		t.Errorf("just inside: %v", b.inside)
	}
	if !errors.Is(b.outside, table.ErrRange) {
		t.Errorf("just outside: %v", b.outside)
	}
}

// Each limit of the formulas just inside and just outside. The limits are those that the comments of the functions state.
func TestLimitsOfFormulas(t *testing.T) {
	slab := func(lengthM, diffusivityM2S, biot float64) error {
		return second(SlabCenter(lengthM, diffusivityM2S, biot))
	}
	line := func(startC, bathC, targetC float64) error {
		return second(FirstTerm{1, 10}.MinutesTo(startC, bathC, targetC))
	}
	record := func(minutes ...float64) error {
		return second(Accumulated(minutes, []float64{60, 60, 60}, Target{ReferenceC: 60, ZK: 10}))
	}
	for name, test := range map[string]bothSides{
		"thin":                     {slab(1e-4, 1.5e-7, 1), slab(0.99e-4, 1.5e-7, 1)},
		"thick":                    {slab(1, 1.5e-7, 1), slab(1.01, 1.5e-7, 1)},
		"slow":                     {slab(0.03, 1e-8, 1), slab(0.03, 0.99e-8, 1)},
		"fast":                     {slab(0.03, 1e-6, 1), slab(0.03, 1.01e-6, 1)},
		"small film":               {slab(0.03, 1.5e-7, 0.01), slab(0.03, 1.5e-7, 0.0099)},
		"cylinder":                 {second(CylinderAxis(1e-4, 1.5e-7, 1)), second(CylinderAxis(0.99e-4, 1.5e-7, 1))},
		"sphere":                   {second(SphereCenter(1e-4, 1.5e-7, 1)), second(SphereCenter(0.99e-4, 1.5e-7, 1))},
		"finite cylinder, across":  {second(FiniteCylinderCenter(1, 1, 1e-7, 1, 1)), second(FiniteCylinderCenter(1.01, 1, 1e-7, 1, 1))},
		"finite cylinder, along":   {second(FiniteCylinderCenter(1, 1, 1e-7, 1, 1)), second(FiniteCylinderCenter(1, 1.01, 1e-7, 1, 1))},
		"mass":                     {second(WellMixed(0.001, 4000, 100, 0.03)), second(WellMixed(-0.001, 4000, -100, 0.03))},
		"heat capacity":            {second(WellMixed(0.45, 1, 100, 0.03)), second(WellMixed(0.45, -1, -100, 0.03))},
		"transfer":                 {second(WellMixed(0.45, 4000, 1, 0.03)), second(WellMixed(0.45, 4000, 0, 0.03))},
		"area":                     {second(WellMixed(0.45, 4000, 100, 0.001)), second(WellMixed(0.45, 4000, 100, 0))},
		"target at the start":      {line(20, 100, 20), line(20, 100, 19.99)},
		"target at the bath":       {line(20, 100, 99.99), line(20, 100, 100)},
		"fill":                     {second(EquivalentRadiusM(0.01, 110)), second(EquivalentRadiusM(0, 110))},
		"large fill":               {second(EquivalentRadiusM(1e6, 110)), second(EquivalentRadiusM(1.01e6, 110))},
		"height of fill":           {second(EquivalentRadiusM(400, 0.01)), second(EquivalentRadiusM(400, 0))},
		"time that stands":         {record(0, 5, 5), record(0, 5, 4.99)},
		"as many times as degrees": {record(0, 5, 6), record(0, 5)},
	} {
		t.Run(name, test.check)
	}
}

// The ranges of Estimate, just inside and just outside.
func TestLimitsOfAnEstimate(t *testing.T) {
	of := func(change func(*Pack, *Process)) error {
		pack, process := pint(), rawPack()
		process.CoolingMinutes = 1
		change(&pack, &process)
		return second(Estimate(pack, process))
	}
	come := func(short, long float64) error {
		return of(func(_ *Pack, p *Process) { p.ComeUpShortMinutes, p.ComeUpLongMinutes = short, long })
	}
	for name, test := range map[string]bothSides{
		"narrow jar": {
			of(func(p *Pack, _ *Process) { p.InnerRadiusM, p.PieceRadiusM = 0.01, 0.005 }),
			of(func(p *Pack, _ *Process) { p.InnerRadiusM, p.PieceRadiusM = 0.0099, 0.005 }),
		},
		"wide jar":   {of(func(p *Pack, _ *Process) { p.InnerRadiusM = 0.2 }), of(func(p *Pack, _ *Process) { p.InnerRadiusM = 0.201 })},
		"flat fill":  {of(func(p *Pack, _ *Process) { p.FillHeightM = 0.01 }), of(func(p *Pack, _ *Process) { p.FillHeightM = 0.0099 })},
		"high fill":  {of(func(p *Pack, _ *Process) { p.FillHeightM = 0.6 }), of(func(p *Pack, _ *Process) { p.FillHeightM = 0.601 })},
		"thin piece": {of(func(p *Pack, _ *Process) { p.PieceRadiusM = 0.0005 }), of(func(p *Pack, _ *Process) { p.PieceRadiusM = 0.00049 })},
		"thick piece": {
			of(func(p *Pack, _ *Process) { p.PieceRadiusM = 0.036 }), of(func(p *Pack, _ *Process) { p.PieceRadiusM = 0.0361 }),
		},
		"pieces are asked about only where there are some": {
			of(func(p *Pack, _ *Process) { p.Pieces, p.PieceRadiusM = NoPieces, 0 }), of(func(p *Pack, _ *Process) { p.PieceRadiusM = 0 }),
		},
		"cold contents":    {of(func(_ *Pack, p *Process) { p.StartC = 0 }), of(func(_ *Pack, p *Process) { p.StartC = -0.1 })},
		"hot contents":     {of(func(_ *Pack, p *Process) { p.StartC = 105 }), of(func(_ *Pack, p *Process) { p.StartC = 105.1 })},
		"cold canner":      {of(func(_ *Pack, p *Process) { p.CannerC = 0 }), of(func(_ *Pack, p *Process) { p.CannerC = -0.1 })},
		"canner over bath": {of(func(_ *Pack, p *Process) { p.CannerC = 99.97 }), of(func(_ *Pack, p *Process) { p.CannerC = 99.98 })},
		"hot bath":         {of(func(_ *Pack, p *Process) { p.BathC = 105 }), of(func(_ *Pack, p *Process) { p.BathC = 105.1 })},
		"cold room":        {of(func(_ *Pack, p *Process) { p.RoomC = 0 }), of(func(_ *Pack, p *Process) { p.RoomC = -0.1 })},
		"hot room":         {of(func(_ *Pack, p *Process) { p.RoomC = 50 }), of(func(_ *Pack, p *Process) { p.RoomC = 50.1 })},
		"short come-up":    {come(0.1, 1), come(0.09, 1)},
		"come-ups crossed": {come(10, 10), come(10.1, 10)},
		"long come-up":     {come(10, 120), come(10, 120.1)},
		"no hold":          {of(func(_ *Pack, p *Process) { p.HoldMinutes = 0 }), of(func(_ *Pack, p *Process) { p.HoldMinutes = -0.1 })},
		"long hold":        {of(func(_ *Pack, p *Process) { p.HoldMinutes = 600 }), of(func(_ *Pack, p *Process) { p.HoldMinutes = 600.1 })},
		"no cooling":       {of(func(_ *Pack, p *Process) { p.CoolingMinutes = 0 }), of(func(_ *Pack, p *Process) { p.CoolingMinutes = -0.1 })},
		"long cooling":     {of(func(_ *Pack, p *Process) { p.CoolingMinutes = 600 }), of(func(_ *Pack, p *Process) { p.CoolingMinutes = 600.1 })},
	} {
		t.Run(name, test.check)
	}
}

// Every corner is looked at where the contents are hotter than the canner or a piece is thicker than half the narrower measure of
// the jar; elsewhere three suffice.
func TestWhichCornersAreLookedAt(t *testing.T) {
	for name, test := range map[string]struct {
		change  func(*Pack, *Process)
		corners int
	}{
		"as warm as the canner":                  {func(_ *Pack, p *Process) { p.StartC = 60 }, 3},
		"warmer than the canner":                 {func(_ *Pack, p *Process) { p.StartC = 60.1 }, 6},
		"a piece of half the radius":             {func(p *Pack, _ *Process) { p.PieceRadiusM = 0.018 }, 3},
		"a thicker piece":                        {func(p *Pack, _ *Process) { p.PieceRadiusM = 0.0181 }, 6},
		"a piece of half a flat fill":            {func(p *Pack, _ *Process) { p.FillHeightM, p.PieceRadiusM = 0.03, 0.015 }, 3},
		"a piece of more than half a flat fill":  {func(p *Pack, _ *Process) { p.FillHeightM, p.PieceRadiusM = 0.03, 0.0151 }, 6},
		"no pieces, whatever their radius would": {func(p *Pack, _ *Process) { p.Pieces, p.PieceRadiusM = NoPieces, 0.03 }, 3},
	} {
		t.Run(name, func(t *testing.T) {
			pack, process := pint(), rawPack()
			test.change(&pack, &process)
			process.ComeUpShortMinutes, process.ComeUpLongMinutes = 4, 20
			models, err := pack.models()
			if err != nil {
				t.Fatal(err)
			}
			runs := pack.runs(process, models)
			if len(runs) != test.corners {
				t.Errorf("%d corners, want %d", len(runs), test.corners)
			}
		})
	}
}

// A stretch of a millionth of a minute is followed, a shorter one is left out.
func TestLegsTooShortToMatter(t *testing.T) {
	if kept := newLeg(1e-6, 0.5, 20, 30); kept.steps != 1 {
		t.Errorf("%+v", kept)
	}
	if left := newLeg(0.99e-6, 0.5, 20, 30); left != (leg{}) {
		t.Errorf("%+v", left)
	}
	if long := newLeg(1.01, 0.5, 20, 30); long.steps != 3 {
		t.Errorf("%d steps of at most half a minute in 1.01, want 3", long.steps)
	}
}

// After ten hours in one bath every term has died away and a thin slab has its temperature.
func TestAllTermsDieAway(t *testing.T) {
	centerC := make([]float64, 1201)
	model{body: must(SlabCenter(0.001, 1.5e-7, math.Inf(1)))}.follow(centerC, 20, []leg{newLeg(600, 0.5, 100, 100)})
	if last := centerC[1200]; math.Abs(last-100) > 1e-6 {
		t.Errorf("%g °C", last)
	}
}

// Where a curve runs along the temperature that is asked about, that temperature is reached and held.
func TestPlateauAtTheTemperatureAskedAbout(t *testing.T) {
	curve := Curve{
		Minutes: []float64{0, 10, 20, 30, 40},
		LowC:    []float64{20, 50, 50, 50, 40},
		HighC:   []float64{20, 50, 50, 60, 50},
	}
	if got, want := curve.Reach(50), (Reach{true, 10, true, 10}); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	if low, high := curve.MinutesAbove(50); low != 20 || high != 30 {
		t.Errorf("at 50 °C or above for %g to %g min, want 20 to 30", low, high)
	}
}
