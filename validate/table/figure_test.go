package table

import (
	"errors"
	"math"
	"testing"
)

const small = "name,value,unit,source,document,locator,verified\na,1.5,m,s,A document,p. 1,read\nb,-2e3,Pa,s,A document,p. 2,recalled\n"

func TestTableByName(t *testing.T) {
	table := mustParse([]byte(small))
	if got := table.Value("b"); got != -2000 {
		t.Errorf("b = %g, want -2000", got)
	}
	if got := table.Get("a"); got.Locator != "p. 1" || got.Verified != "read" || got.Unit != "m" {
		t.Errorf("a = %+v", got)
	}
}

func TestBrokenFilesPanic(t *testing.T) {
	for name, use := range map[string]func(){
		"unknown name":   func() { mustParse([]byte(small)).Get("c") },
		"missing column": func() { MustRows("x,y\n1,2\n", "z") },
		"empty":          func() { MustRows("", "x") },
		"ragged":         func() { MustRows("x,y\n1\n", "x") },
		"not a number":   func() { MustNumber("1,5") },
	} {
		t.Run(name, func(t *testing.T) {
			defer func() {
				if recover() == nil {
					t.Error("no panic")
				}
			}()
			use()
		})
	}
}

func TestWithin(t *testing.T) {
	for _, value := range []float64{0, 0.5, 1} {
		if err := Within("x", value, 0, 1, "m"); err != nil {
			t.Errorf("%g: %v", value, err)
		}
	}
	for _, value := range []float64{-1, 1.01, math.NaN(), math.Inf(1)} {
		if err := Within("x", value, 0, 1, "m"); !errors.Is(err, ErrRange) {
			t.Errorf("%g: %v", value, err)
		}
	}
}
