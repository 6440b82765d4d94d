package validate

import (
	"slices"
	"testing"

	"jarwright/validate/report"
)

// Two jars of one id are refused, each with the place of the other; so are three.
func TestJarsOfOneName(t *testing.T) {
	base := readFile(t, "examples/canning-day.json")
	for _, test := range []struct {
		name, patch string
		want        []string
	}{
		{"each its own", `[]`, nil},
		{"two alike", `[{"op": "replace", "path": "/batch/jars/2/id", "value": "1"}]`, []string{
			"/batch/jars/0/id See /batch/jars/2/id.", "/batch/jars/2/id See /batch/jars/0/id.",
		}},
		{"three alike", `[{"op": "replace", "path": "/batch/jars/1/id", "value": "4"}, {"op": "replace", "path": "/batch/jars/2/id", "value": "4"}]`, []string{
			"/batch/jars/1/id See /batch/jars/2/id.", "/batch/jars/2/id See /batch/jars/1/id.", "/batch/jars/3/id See /batch/jars/1/id.",
		}},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, problem := checker.Check(nil, patched(t, base, []byte(test.patch)), report.Options{})
			var got []string
			if problem != nil {
				for _, e := range problem.Errors {
					const detail = "Two jars go by this id, so it cannot be told which is which; give each its own. "
					got = append(got, e.Pointer+" "+e.Detail[len(detail):])
				}
			}
			if !slices.Equal(got, test.want) {
				t.Errorf("%q, want %q", got, test.want)
			}
		})
	}
}
