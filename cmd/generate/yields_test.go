package main

import (
	"bytes"
	"os"
	"testing"

	"jarwright/validate"
)

func TestYieldsPageIsCurrent(t *testing.T) {
	checker, err := validate.New()
	if err != nil {
		t.Fatal(err)
	}
	page, err := yieldsPage(checker)
	if err != nil {
		t.Fatal(err)
	}
	written, err := os.ReadFile("../../" + yieldsPageFile)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(page, written) {
		t.Errorf("%s is stale: run go run ./cmd/generate", yieldsPageFile)
	}
}

func TestOffByWords(t *testing.T) {
	for _, test := range []struct {
		value, low, high float64
		want             string
	}{{8, 7, 9, "0 %"}, {18, 7, 9, "100 %"}, {3.5, 7, 9, "-50 %"}} {
		if got := offByWords(test.value, test.low, test.high); got != test.want {
			t.Errorf("%g in %g to %g: %s, want %s", test.value, test.low, test.high, got, test.want)
		}
	}
}
