package headspace

import (
	"math"
	"testing"

	"jarwright/validate/table"
)

// boundsNear reports whether each part of got lies within tolerance of want.
func boundsNear(got, want table.Bounds, tolerance float64) bool {
	return math.Abs(got.Low-want.Low) <= tolerance && math.Abs(got.Value-want.Value) <= tolerance && math.Abs(got.High-want.High) <= tolerance
}

// Worked out by hand for the model pint: its mouth has an area of 2,855.778 mm², the neck of 19.05 mm holds 54.4026 mL, and
// (473,176 - 54,402.6) mm³ over 103.65 mm of body make 4,040.265 mm².
func TestShoulderedJar(t *testing.T) {
	for name, test := range map[string]struct {
		depthMM float64
		space   table.Bounds // mL
	}{
		"none":                {0, table.Bounds{}},
		"within the neck":     {10, table.Bounds{Low: 28.5578, Value: 28.5578, High: 28.5578}},
		"to the shoulders":    {19.05, table.Bounds{Low: 54.4026, Value: 54.4026, High: 54.4026}},
		"below the shoulders": {31.75, table.Bounds{Low: 90.6710, Value: 90.6710, High: 105.7139}},
		"half way":            {50, table.Bounds{Low: 142.7889, Value: 142.7889, High: 179.4488}},
		"all of it":           {122.7, table.Bounds{Low: 350.4040, Value: 350.4040, High: 473.176}},
	} {
		t.Run(name, func(t *testing.T) {
			space, err := modelPint.HeadspaceVolumeML(test.depthMM)
			if err != nil || !boundsNear(space, test.space, 0.0001) {
				t.Errorf("%g mm leave %+v mL, %v, want %+v", test.depthMM, space, err, test.space)
			}
			fill, err := modelPint.FillVolumeML(test.depthMM)
			want := table.Bounds{Low: 473.176 - test.space.High, Value: 473.176 - test.space.Value, High: 473.176 - test.space.Low}
			if err != nil || !boundsNear(fill, want, 0.0001) {
				t.Errorf("filled to %g mm it holds %+v mL, %v, want %+v", test.depthMM, fill, err, want)
			}
		})
	}
	for name, test := range map[string]struct {
		spaceML float64
		depth   table.Bounds // mm
	}{
		"none":                {0, table.Bounds{}},
		"within the neck":     {40, table.Bounds{Low: 14.0067, Value: 14.0067, High: 14.0067}},
		"below the shoulders": {105, table.Bounds{Low: 31.5733, Value: 36.7676, High: 36.7676}},
		"half way":            {200, table.Bounds{Low: 55.0866, Value: 70.0334, High: 70.0334}},
		"all of it":           {473.176, table.Bounds{Low: 122.7, Value: 122.7, High: 122.7}},
	} {
		t.Run("depth of "+name, func(t *testing.T) {
			if depth, err := modelPint.HeadspaceMM(test.spaceML); err != nil || !boundsNear(depth, test.depth, 0.0001) {
				t.Errorf("%g mL are %+v mm deep, %v, want %+v", test.spaceML, depth, err, test.depth)
			}
		})
	}
}

// Twice the capacity in a jar of the same height: the shape with shoulders is the wider body, and the mouth-wide cylinder is
// never more than the jar holds.
func TestSpaceNeverExceedsTheCapacity(t *testing.T) {
	narrow := Jar{CapacityML: 100, MouthMM: 50, InteriorHeightMM: 122.7} // the cylinder would hold 241 mL
	space, err := narrow.HeadspaceVolumeML(122.7)
	if err != nil || space.Value != 100 || space.High != 100 {
		t.Errorf("%+v, %v, want 100 mL at most", space, err)
	}
}

// A fill that swells by 4 % from half an inch below the rim of the model pint: (473.176 - 36.2684) 1.04 leaves 18.7921 mL, the
// part of the neck above 6.5804 mm; by 10 % it would overflow and ends at the rim.
func TestSwellingByHand(t *testing.T) {
	least, err := LeastForSwellingMM(modelPint, 1.04)
	if want := 473.176 * (1 - 1/1.04) * 1000 / 2855.7784; err != nil || math.Abs(least.Value-want) > 1e-4 {
		t.Errorf("least headspace for 4 %%: %+v, %v, want %.4f", least, err, want)
	}
	for name, ratio := range map[string]float64{"unchanged": 1, "shrinking": 0.97} {
		t.Run(name, func(t *testing.T) {
			if least, err := LeastForSwellingMM(modelPint, ratio); err != nil || least != (table.Bounds{}) {
				t.Errorf("%+v, %v, want 0", least, err)
			}
		})
	}
	ratio, err := Brine{}.Expansion(20, 99.97)
	if err != nil {
		t.Fatal(err)
	}
	later, err := HeadspaceAtMM(modelPint, Brine{}, 12.7, 20, 99.97)
	if want := (473.176 - (473.176-36.26839)*ratio) * 1000 / 2855.7784; err != nil || math.Abs(later.Value-want) > 1e-3 {
		t.Errorf("half an inch at 20 °C is %+v at the boil, %v, want %.3f", later, err, want)
	}
	if over, err := HeadspaceAtMM(modelPint, Brine{}, 1, 20, 99.97); err != nil || over != (table.Bounds{}) {
		t.Errorf("a fill that runs over ends at %+v, %v, want the rim", over, err)
	}
}

// The arithmetic of pieces: height less headspace less liquid over the food.
func TestLongestUprightPiece(t *testing.T) {
	for name, test := range map[string]struct{ headspaceMM, coverMM, want float64 }{
		"half an inch each": {12.7, 12.7, 97.3},
		"no liquid over it": {12.7, 0, 110},
		"just fits":         {100, 22.6, 0.1},
		"does not fit":      {100, 22.8, 0},
	} {
		t.Run(name, func(t *testing.T) {
			if got, err := modelPint.LongestUprightPieceMM(test.headspaceMM, test.coverMM); err != nil || math.Abs(got-test.want) > 1e-9 {
				t.Errorf("%g mm, %v, want %g", got, err, test.want)
			}
		})
	}
}
