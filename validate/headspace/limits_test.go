package headspace

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

// Each limit just inside and just outside. The limits are those that the comments of the functions state.
func TestLimits(t *testing.T) {
	const highestSalt = 100 * 5 * 0.0584428 / (1 + 5*0.0584428) // 5 mol per kg of water
	jar := func(change func(*Jar)) error {
		j := Jar{CapacityML: 473.176, MouthMM: 60.3, InteriorHeightMM: 122.7}
		change(&j)
		return j.Check()
	}
	mouthOf := func(neckML float64) float64 { return math.Sqrt(neckML * 1000 / 19.05 * 4 / math.Pi) }
	pint := Jar{CapacityML: 473.176, MouthMM: 60.3, InteriorHeightMM: 122.7}
	for name, test := range map[string]bothSides{
		"ice":      {second(WaterDensity(0)), second(WaterDensity(-0.01))},
		"steam":    {second(WaterDensity(105)), second(WaterDensity(105.01))},
		"no salt":  {second(Brine{}.Density(20)), second(Brine{SaltPercent: -0.01}.Density(20))},
		"salt":     {second(Brine{SaltPercent: highestSalt - 1e-6}.Density(20)), second(Brine{SaltPercent: highestSalt + 1e-6}.Density(20))},
		"no sugar": {second(Brine{}.Density(20)), second(Brine{SugarPercent: -0.01}.Density(20))},
		"sugar":    {second(Brine{SugarPercent: 65}.Density(20)), second(Brine{SugarPercent: 65.01}.Density(20))},
		"no acid":  {second(Brine{}.Density(20)), second(Brine{AceticPercent: -0.01}.Density(20))},
		"acid":     {second(Brine{AceticPercent: 30}.Density(20)), second(Brine{AceticPercent: 30.01}.Density(20))},
		"salt counted in salt and water": {
			second(Brine{SaltPercent: 11, SugarPercent: 50}.Density(20)), second(Brine{SaltPercent: 11.5, SugarPercent: 50}.Density(20)),
		},
		"small jar":   {jar(func(j *Jar) { j.CapacityML, j.MouthMM = 20, 20 }), jar(func(j *Jar) { j.CapacityML, j.MouthMM = 19.9, 20 })},
		"large jar":   {jar(func(j *Jar) { j.CapacityML = 20000 }), jar(func(j *Jar) { j.CapacityML = 20001 })},
		"small mouth": {jar(func(j *Jar) { j.MouthMM = 10 }), jar(func(j *Jar) { j.MouthMM = 9.9 })},
		"large mouth": {
			jar(func(j *Jar) { j.MouthMM, j.CapacityML = 500, 20000 }), jar(func(j *Jar) { j.MouthMM, j.CapacityML = 500.1, 20000 }),
		},
		"flat jar": {jar(func(j *Jar) { j.InteriorHeightMM = 28.58 }), jar(func(j *Jar) { j.InteriorHeightMM = 28.5 })},
		"deep jar": {jar(func(j *Jar) { j.InteriorHeightMM = 1000 }), jar(func(j *Jar) { j.InteriorHeightMM = 1000.1 })},
		"neck of nine tenths": {
			jar(func(j *Jar) { j.MouthMM = mouthOf(0.8999 * 473.176) }), jar(func(j *Jar) { j.MouthMM = mouthOf(0.9001 * 473.176) }),
		},
		"headspace above the rim":    {second(pint.HeadspaceVolumeML(0)), second(pint.HeadspaceVolumeML(-0.01))},
		"headspace below the bottom": {second(pint.HeadspaceVolumeML(122.7)), second(pint.HeadspaceVolumeML(122.71))},
		"no space":                   {second(pint.HeadspaceMM(0)), second(pint.HeadspaceMM(-0.01))},
		"more space than jar":        {second(pint.HeadspaceMM(473.176)), second(pint.HeadspaceMM(473.18))},
		"no liquid over the food":    {second(pint.LongestUprightPieceMM(0, 0)), second(pint.LongestUprightPieceMM(0, -0.01))},
		"too much liquid over it":    {second(pint.LongestUprightPieceMM(0, 122.7)), second(pint.LongestUprightPieceMM(0, 122.71))},
	} {
		t.Run(name, test.check)
	}
}

// The limits of a closed jar, just inside and just outside.
func TestLimitsOfAVacuum(t *testing.T) {
	for name, test := range map[string]bothSides{
		"closed without headspace": {
			second(VacuumPa(Closing{HeadspaceFraction: 0.001, ClosedC: 80, StoredC: 20})), second(VacuumPa(Closing{ClosedC: 80, StoredC: 20})),
		},
		"closed empty": {
			second(VacuumPa(Closing{HeadspaceFraction: 0.999, ClosedC: 80, StoredC: 20})),
			second(VacuumPa(Closing{HeadspaceFraction: 1, ClosedC: 80, StoredC: 20})),
		},
		"closed hot": {
			second(VacuumPa(Closing{HeadspaceFraction: 0.1, ClosedC: 105, StoredC: 20})),
			second(VacuumPa(Closing{HeadspaceFraction: 0.1, ClosedC: 105.1, StoredC: 20})),
		},
		"stored cold": {second(VacuumLimitPa(0, 0)), second(VacuumLimitPa(-0.1, 0))},
		// Water of 60 °C takes up 983.2/999.9 of the room of that of 1 °C: 1.70 % of the jar.
		"outgrown": {
			second(VacuumPa(Closing{HeadspaceFraction: 0.0170, ClosedC: 1, StoredC: 60})),
			second(VacuumPa(Closing{HeadspaceFraction: 0.0165, ClosedC: 1, StoredC: 60})),
		},
	} {
		t.Run(name, test.check)
	}
}

// Survey of 378 and 382 jars, abstract: 13 to 15 inches of mercury.
func TestSurveyedVacuum(t *testing.T) {
	survey := SurveyedVacuumPa()
	for want, got := range map[float64]float64{13: survey.Low, 14: survey.Value, 15: survey.High} {
		if math.Abs(got-want*3386.389) > 1e-6 {
			t.Errorf("%g Pa, want %g inHg", got, want)
		}
	}
}
