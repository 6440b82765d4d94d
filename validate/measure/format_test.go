package measure

import "testing"

func TestFormatNumber(t *testing.T) {
	tests := []struct {
		value float64
		want  string
	}{
		{6, "6"},
		{3.5, "3.5"},
		{0.25, "0.25"},
		{1.0 / 3, "0.333"},
		{2.0 / 3, "0.667"},
		{1234.5678, "1234.568"},
		{0.0001234, "0.000123"},
		{1e-12, "0.000000000001"},
		{1e21, "1000000000000000000000"},
		{0, "0"},
		{-0.5, "-0.5"},
		{0.9999, "1"},
		{2.0004, "2"},
	}
	for _, test := range tests {
		t.Run(test.want, func(t *testing.T) {
			if got := FormatNumber(test.value); got != test.want {
				t.Errorf("FormatNumber(%v) = %q, want %q", test.value, got, test.want)
			}
		})
	}
}

func TestFormatInches(t *testing.T) {
	tests := []struct {
		inches float64
		want   string
	}{
		{0.5, "1/2 in"},
		{1.25, "1 1/4 in"},
		{0.125, "1/8 in"},
		{1, "1 in"},
		{0, "0 in"},
		{2.9375, "2 15/16 in"},
		{0.3, "0.3 in"},
		{-0.5, "-0.5 in"},
		{0.51, "0.51 in"},
	}
	for _, test := range tests {
		t.Run(test.want, func(t *testing.T) {
			if got := FormatInches(Length(test.inches) * Inch); got != test.want {
				t.Errorf("FormatInches(%v in) = %q, want %q", test.inches, got, test.want)
			}
		})
	}
	if got := FormatInches(0.0127); got != "1/2 in" { // 12.7 mm
		t.Errorf("12.7 mm = %q, want 1/2 in", got)
	}
}
