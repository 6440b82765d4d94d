package rules

import (
	"fmt"
	"math"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// PieceFits notes pieces that the jar cannot take upright under its liquid, or not through its mouth.
func PieceFits() Rule {
	return Rule{
		ID: "pack.piece-fits", Title: "Pieces that fit the jar", Severity: report.Info, Hazard: report.Quality, Since: since,
		About: "A piece that is longer than the jar is high under its headspace stands out of the liquid or has to lie; one that is thicker than the " +
			"mouth does not go in. Lengths that the tested recipe itself prints for its jars are let be. Tested recipes for long vegetables have them " +
			"cut to the jar. Measures of common jars are from memory: measure your own where it matters.",
		Sources: []catalog.Citation{catalog.Guide("p. 6-13, 6-14"), {Source: "jar-geometry", Verified: catalog.Recalled}},
		Remedy:  "Cut the pieces to the jar, or choose smaller ones.",
		Figures: []string{"longest_upright_piece"},
		Applies: func(f *facts.Facts) bool {
			_, known := f.Jar()
			_, given := f.Headspace()
			return known && given && !mixed(f) && len(sized(f)) > 0
		},
		Run: runPieceFits,
	}
}

// mixed reports whether the recipe is cut small and cooked together, so that no piece stands in the jar.
func mixed(f *facts.Facts) bool {
	kind := f.Request.Recipe.Kind
	return kind == document.KindRelish || kind == document.KindSauce
}

// sized lists the foods that are left whole or in long pieces and say how large those are.
func sized(f *facts.Facts) []*composition.Line {
	var lines []*composition.Line
	for i := range f.Composition.Lines {
		line := &f.Composition.Lines[i]
		long := line.Form.Coarsest == composition.Unstated || line.Form.Coarsest >= composition.Strips
		if line.Counts() && line.IsFood() && long && (line.LengthMM > 0 || line.DiameterMM() > 0) {
			lines = append(lines, line)
		}
	}
	return lines
}

// fitMM is what a piece may be too long by before it is worth a word, in mm.
func fitMM(f *facts.Facts) float64 {
	return f.Tolerance(catalog.FitTolerance) / float64(measure.Millimeter)
}

func runPieceFits(f *facts.Facts) []facts.Finding {
	jar, _ := f.Jar()
	head, _ := f.Headspace()
	// Where less is given than printed, another rule asks for the printed headspace.
	if printed := f.Match.PrintedHeadspaces(); len(printed) > 0 {
		head = max(head, measure.Length(slices.Min(printed))*measure.Inch)
	}
	longestMM, err := jar.LongestUprightPieceMM(head.Millimeters(), 0)
	if err != nil {
		return nil
	}
	var findings []facts.Finding
	for _, line := range sized(f) {
		if line.LengthMM > max(longestMM, jar.MouthMM)+fitMM(f) {
			if !printedThatLong(f, line) {
				findings = append(findings, tooLong(f, line, longestMM))
			}
			continue
		}
		if line.DiameterMM() > jar.MouthMM+fitMM(f) {
			findings = append(findings, facts.Finding{
				Outcome: report.Fail, At: line.At,
				Message: fmt.Sprintf("Pieces of %s %s across do not go through a mouth of %s.",
					line.Name, kitchenLength(line.DiameterMM()), kitchenLength(jar.MouthMM)),
				Measured: millimeterAmount(line.DiameterMM()), Limit: millimeterAmount(jar.MouthMM),
				Remedy: "Choose smaller ones, cut them as the tested recipe allows, or take a jar of the same size with a wider mouth.",
			})
		}
	}
	return findings
}

// printedThatLong reports whether the tested recipe itself puts pieces of that length into its jars, as fresh-pack dill
// pickles do with cucumbers of 3 to 5 inches in pints: they lie, or the shorter ones are picked out.
func printedThatLong(f *facts.Facts, line *composition.Line) bool {
	return line.Item != nil && f.Match.PrintedLengthMM(line.Item.ID) >= line.LengthMM-fitMM(f)
}

func tooLong(f *facts.Facts, line *composition.Line, longestMM float64) facts.Finding {
	finding := facts.Finding{
		Outcome: report.Fail, At: line.At,
		Message: fmt.Sprintf("Pieces of %s %s long do not stand under the liquid of this jar: the longest that does is %s.",
			line.Name, kitchenLength(line.LengthMM), kitchenLength(longestMM)),
		Remedy:   fmt.Sprintf("Choose or cut pieces of at most %s, or lay them so that the liquid covers them.", kitchenLength(longestMM)),
		Measured: millimeterAmount(line.LengthMM), Limit: millimeterAmount(longestMM),
	}
	piece := line.Written.Piece
	if piece == nil || piece.Length == nil || line.Form.LengthMM > longestMM {
		return finding
	}
	finding.At += "/piece/length"
	finding.Measured, finding.Limit = f.In(piece.Length, line.LengthMM/1000), f.In(piece.Length, longestMM/1000)
	if unit, ok := f.Units.Lookup(piece.Length.Unit); ok {
		const parts = 16 // of any unit of length: fine enough for a kitchen, and never above the limit
		shorter := math.Floor(unit.From(longestMM/1000)*parts) / parts
		if shorter > 0 {
			finding.Fix = []report.Operation{{Op: "replace", Path: finding.At + "/value", Value: shorter}}
		}
	}
	return finding
}

// kitchenLength says a length in both systems, to a quarter of an inch and a millimeter, rounded down.
func kitchenLength(mm float64) string {
	const parts = 4
	inches := math.Floor((measure.Length(mm)*measure.Millimeter).Inches()*parts+1e-6) / parts
	return fmt.Sprintf("%s (%.0f mm)", measure.FormatInches(measure.Length(inches)*measure.Inch), math.Floor(mm+1e-6))
}

func millimeterAmount(mm float64) *report.Amount {
	return &report.Amount{Value: measure.Round(mm, 1), Unit: "mm"}
}

// FoodCovered demands that the pieces stay under the liquid, as far as the tested recipe prints it.
func FoodCovered() Rule {
	return Rule{
		ID: "pack.food-covered", Title: "Pieces under the liquid", Severity: report.Warning, Hazard: report.Spoilage, Since: since,
		About: "Some tested recipes print two headspaces: one for the pieces and a smaller one for the liquid, which then covers them. Pieces that " +
			"stand out of the liquid darken, dry out and are not reached by the acid.",
		Sources: []catalog.Citation{catalog.Guide("p. 6-16, 6-20, 6-34")},
		Remedy:  "Leave the printed headspace above the pieces, and fill up with liquid to its own.",
		Figures: []string{"longest_upright_piece"},
		Applies: func(f *facts.Facts) bool {
			_, given := f.SI(f.Request.Recipe.SolidsHeadspace)
			return f.ForShelf() && (given || solidsHeadspace(f) > 0)
		},
		Run: runFoodCovered,
	}
}

func runFoodCovered(f *facts.Facts) []facts.Finding {
	written := f.Request.Recipe.SolidsHeadspace
	si, given := f.SI(written)
	tolerance := f.Tolerance(catalog.HeadspaceTolerance)
	tolerance *= 1 + 1e-6
	printed := solidsHeadspace(f)
	want := measure.Length(printed) * measure.Inch
	if !given {
		return []facts.Finding{{
			Outcome: report.Undetermined, At: "/recipe",
			Message: fmt.Sprintf("The recipe does not say how far below the rim the pieces stay; “%s” has %s.",
				f.Match.Recipe.Title, measure.FormatInches(want)),
			Remedy:  "Leave " + measure.FormatInches(want) + " between the pieces and the rim, cover them with liquid, and say so (solids_headspace).",
			Sources: []catalog.Citation{f.Match.Recipe.Citation},
			Fix:     []report.Operation{{Op: "add", Path: "/recipe/solids_headspace", Value: map[string]any{"value": printed, "unit": "in"}}},
		}}
	}
	finding := facts.Finding{Outcome: report.Fail, At: "/recipe/solids_headspace", Measured: f.In(written, si)}
	if f.Match.Recipe != nil {
		finding.Sources = []catalog.Citation{f.Match.Recipe.Citation}
	}
	if f.Matched() && si < float64(measure.Length(leastRoom(f))*measure.Inch)-tolerance {
		return nil // a rule of its own demands the room above the pieces
	}
	liquid, known := f.Headspace()
	if known && si < float64(liquid)-tolerance {
		finding.Message = fmt.Sprintf("The pieces reach %s below the rim and the liquid only %s: they stand out of it.",
			measure.FormatInches(measure.Length(si)), measure.FormatInches(liquid))
		finding.Remedy = "Pack the pieces lower, so that the liquid covers them."
		finding.Limit = f.In(written, float64(liquid))
		return []facts.Finding{finding}
	}
	return nil
}
