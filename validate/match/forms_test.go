package match

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/report"
)

func written(t *testing.T, form string) *composition.Line {
	t.Helper()
	read := composition.ReadForm(form)
	return &composition.Line{
		At: "0", Name: "carrot", Item: item(t, "carrot"), Form: read, LengthMM: read.LengthMM, Written: &document.Ingredient{Form: form, Piece: &document.Piece{}},
	}
}

func printed(t *testing.T, form string) *testedAmount {
	t.Helper()
	return &testedAmount{item: item(t, "carrot"), form: composition.ReadForm(form), formText: form}
}

// TestPrintedForCut picks among printed lines of one item by the cut alone.
func TestPrintedForCut(t *testing.T) {
	for _, c := range []struct {
		name, form string
		printed    []string
		want       int
	}{
		{"the cut itself before a coarser one", "sliced", []string{"whole", "sliced"}, 1},
		{"a range that starts with the cut", "sliced", []string{"whole", "slices or whole"}, 1},
		{"a cut among those written, though finer", "slices or whole", []string{"grated", "sliced"}, 1},
		{"no cut: the first", "", []string{"chopped", ""}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := slot{}
			for _, form := range c.printed {
				s.lines = append(s.lines, *printed(t, form))
			}
			if got := (&comparison{}).printedFor(&s, written(t, c.form)); got != &s.lines[c.want] {
				t.Errorf("%s", got.formText)
			}
		})
	}
}

func TestCut(t *testing.T) {
	for _, c := range []struct {
		name, written, printed string
		main                   bool
		rule                   string // empty: no departure
		verdict                Verdict
	}{
		{"neither says", "", "", true, RulePureed, Undetermined},
		{"neither says, of another food", "", "", false, "", ""},
		{"the main food is not said", "", "chopped", true, RulePieceSize, Undetermined},
		{"only here", "whole", "", true, "", ""},
		{"only here, pureed", "pureed", "", true, RulePureed, Unsafe},
		{"pureed in both", "pureed", "pureed", true, "", ""},
		{"one step finer", "sliced", "strips", true, "", ""},
		{"two steps finer", "chopped", "strips", true, RulePieceSize, Untested},
		{"the same", "strips", "strips", true, "", ""},
		{"coarser", "whole", "strips", true, RulePieceSize, Unsafe},
	} {
		t.Run(c.name, func(t *testing.T) {
			laidOut, _ := laid(t, nil)
			laidOut.cut(written(t, c.written), printed(t, c.printed), c.main)
			found := laidOut.match.Departures
			if c.rule == "" && len(found) > 0 || c.rule != "" && (len(found) != 1 || found[0].Rule != c.rule || found[0].Verdict != c.verdict) {
				t.Errorf("want %q %q:\n%s", c.rule, c.verdict, list(found))
			}
		})
	}
}

func TestSize(t *testing.T) {
	const inch = 25.4
	for _, c := range []struct {
		name, written string
		length, broad float64 // in mm; 0: not given
		printed       string
		want          string // in the words of the only departure; empty: none
	}{
		{"strips of no length where whole pieces have one", "strips", 0, 0, "whole, 4 in", "does not say the length"},
		{"strips at the limit", "strips", 4 * inch * 1.25, 0, "whole, 4 in", ""},
		{"strips over it", "strips", 4 * inch * 1.26, 0, "whole, 4 in", "5.04 in in length; the tested recipe has at most 4 in"},
		{"whole, of no diameter", "whole", 0, 0, "whole, 2 in diameter", "does not say the thickness"},
		{"whole, over the diameter", "whole", 0, 3 * inch, "whole, 2 in diameter", "3 in in thickness; the tested recipe has at most 2 in"},
		{"cubes of no size", "cubes", 0, 0, "1/2 in cubes", "does not say the thickness"},
		{"cubes over the size", "cubes", 0, inch, "1/2 in cubes", "1 in in thickness; the tested recipe has at most 1/2 in"},
		{"grated where cubes are printed", "grated", 0, 0, "1/2 in cubes", ""},
		{"slices of no length", "sliced", 0, 0, "whole, 4 in", ""},
		{"slices of a length", "sliced", 6 * inch, 0, "whole, 4 in", "6 in in length"},
		{"slices of a length where none is printed", "sliced", 6 * inch, 0, "whole", ""},
		{"slices where strips of a length are printed", "sliced", 6 * inch, 0, "strips, 4 in long", ""},
		{"no cut", "", 6 * inch, 0, "whole, 4 in", ""},
		{"a coarser cut", "whole", 6 * inch, 0, "strips, 4 in long", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			laidOut, _ := laid(t, nil)
			line := written(t, c.written)
			line.LengthMM, line.BreadthMM = c.length, c.broad
			laidOut.size(line, printed(t, c.printed))
			found := laidOut.match.Departures
			if c.want == "" && len(found) > 0 || c.want != "" && (len(found) != 1 || !strings.Contains(found[0].What, c.want)) {
				t.Errorf("want %q:\n%s", c.want, list(found))
			}
		})
	}
}

// A fix puts in what is printed and nothing else.
func TestFormFixes(t *testing.T) {
	inches := func(value float64) map[string]any { return map[string]any{"value": value, "unit": "in"} }
	for _, c := range []struct {
		printed, words string
		piece          map[string]any // nil: none
	}{
		{"", "whole", nil},
		{"strips", "strips", nil},
		{"strips, 4 in long", "strips", map[string]any{"length": inches(4)}},
		{"whole, 4 in", "whole", map[string]any{"length": inches(4)}},
		{"whole, 2 in diameter", "whole", map[string]any{"thickness": inches(2)}},
		{"1/2 in cubes", "cubes", map[string]any{"thickness": inches(0.5)}},
	} {
		want := []report.Operation{{Op: "replace", Path: "0/form", Value: c.words}}
		if c.piece != nil {
			want = append(want, report.Operation{Op: "add", Path: "0/piece", Value: c.piece})
		}
		if got := formFix(written(t, ""), printed(t, c.printed)); !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %+v, want %+v", c.printed, got, want)
		}
	}
}

// The headspaces of the printed packs, or of the one that applies.
func TestPrintedHeadspaces(t *testing.T) {
	if got := (&Match{}).PrintedHeadspaces(); got != nil {
		t.Errorf("nothing is matched, and %v in are printed", got)
	}
	request := followed(t, "pickled-dilled-beans")
	m := comparedWith(&request)
	if got := m.PrintedHeadspaces(); !slices.Equal(got, []float64{0.5}) {
		t.Errorf("the pack is said: %v", got)
	}
	request.Recipe.Pack = ""
	m = comparedWith(&request)
	var want []float64
	for _, pack := range m.Recipe.Packs {
		want = append(want, pack.HeadspaceIn)
	}
	if got := m.PrintedHeadspaces(); len(got) == 0 || !slices.Equal(got, want) {
		t.Errorf("the pack is not said: %v, want %v", got, want)
	}
}
