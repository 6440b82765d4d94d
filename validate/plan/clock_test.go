package plan

import "testing"

// A day that does not exist is refused.
func TestReadLocalTime(t *testing.T) {
	for text, want := range map[string]bool{
		"2026-02-29T09:00": false, "2024-02-29T09:00": true, "2100-02-29T09:00": false, "2000-02-29T09:00": true,
		"2026-04-31T09:00": false, "2026-12-31T23:59": true, "2026-01-01T00:00Z": true, "2026-08-15": false, "": false,
	} {
		t.Run(text, func(t *testing.T) {
			if _, ok := readLocalTime(text); ok != want {
				t.Errorf("%v, want %v", ok, want)
			}
		})
	}
}

// The offset is carried along as it was written, seconds are dropped.
func TestLocalTimeKeepsItsOffset(t *testing.T) {
	for _, test := range []struct {
		text, want string
		minutes    float64
	}{
		{"2026-08-15T23:30:59+02:00", "2026-08-16T00:15+02:00", 45},
		{"2026-08-15T23:30Z", "2026-08-15T23:29Z", -1},
		{"2026-08-15T23:30:00", "2026-08-15T23:30", 0.5},
		{"2024-02-29T00:00-00:00", "2024-02-28T23:59-00:00", -1},
		{"2026-12-31T23:59", "2027-01-01T00:00", 1},
	} {
		t.Run(test.text, func(t *testing.T) {
			read, _ := readLocalTime(test.text)
			if got := read.add(test.minutes).String(); got != test.want {
				t.Errorf("%v minutes on it is %s, want %s", test.minutes, got, test.want)
			}
		})
	}
}
