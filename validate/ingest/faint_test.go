package ingest_test

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/validate/ingest"
)

// Go takes a hundred times as long for a number like 5e-324 as for others. A document may have some, wherever they stand, and is
// refused where it has thousands, whoever reads it.
func TestFaintNumbers(t *testing.T) {
	reader := newReader(t)
	of := func(text string, times int) []byte {
		list := strings.TrimSuffix(strings.Repeat(text+",", times), ",")
		return []byte(`{"recipe":{"ingredients":[{"item":"salt","per":"jar"}]},"extensions":{"numbers":[` + list + `]}}`)
	}
	for _, test := range []struct {
		number string
		times  int
		total  int // errors
	}{
		{"5e-324", 100, 0},
		{"5e-324", 101, 1},
		{"5e-324", 5000, 4900},
		{"1e-320", 5000, 4900},
		{"-1E-0310", 5000, 4900},
		{"123456789e-318", 5000, 4900},
		{"1.5e-279", 5000, 0},
		{"1e-9", 5000, 0},
		{"0.25", 5000, 0},
		{"1e300", 5000, 0},
		{"0", 5000, 0},
	} {
		t.Run(fmt.Sprintf("%d times %s", test.times, test.number), func(t *testing.T) {
			body := of(test.number, test.times)
			_, byRequest := reader.Request(nil, body)
			_, byValue := ingest.Value(body, ingest.MaxBytes)
			for _, problem := range []*ingest.Problem{byRequest, byValue} {
				switch {
				case test.total == 0 && problem != nil:
					t.Errorf("refused: %+v", problem)
				case test.total > 0 && (problem == nil || problem.Total != test.total || problem.Errors[0].Code != ingest.CodeNumberOutOfRange):
					t.Errorf("problem %+v, want %d errors", problem, test.total)
				}
			}
		})
	}
}
