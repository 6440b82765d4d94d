package heating

import "testing"

// Worked cases derived in the reference notes on glass; the limit of 42 K is trade practice, from memory.
func TestThermalShock(t *testing.T) {
	for _, test := range []struct {
		name       string
		jar, other float64
		want       float64
		cooling    bool
		over       bool
		leastJar   float64
	}{
		{"boiling brine into a jar at room temperature", 20, 100, 80, false, true, 58},
		{"brine into a warmed jar", 60, 95, 35, false, false, 53},
		{"hot jar into the canner", 80, 60, 20, true, false, 18},
		{"just as warm", 20, 20, 0, false, false, -22},
		{"42 K colder", 62, 20, 42, true, false, -22},
		{"over 42 K colder", 62.5, 20, 42.5, true, true, -22},
		{"42 K hotter", 20, 62, 42, false, false, 20},
		{"over 42 K hotter", 20, 62.5, 42.5, false, true, 20.5},
		{"jar onto a wet bench", 96, 20, 76, true, true, -22},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := ShockOf(test.jar, test.other)
			if got.DifferenceK != test.want || got.Cooling != test.cooling || got.Over != test.over || LeastJarC(test.other) != test.leastJar {
				t.Errorf("%+v, least %g °C", got, LeastJarC(test.other))
			}
		})
	}
	if ShockLimit().Verified != "recalled" {
		t.Error("the limit of 42 K is from memory and must say so")
	}
	for difference, wantMPa := range map[float64]float64{1: 0.84, 42: 35, 55: 46} {
		if got := FullStressPa(difference) / 1e6; !near(got, wantMPa, 0.011) {
			t.Errorf("%g K: %g MPa, want %g", difference, got, wantMPa)
		}
	}
}
