package rules

import (
	"fmt"
	"math"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// Headspace demands the printed headspace.
func Headspace() Rule {
	return Rule{
		ID: "pack.headspace", Title: "Headspace as printed", Severity: report.Error, Hazard: report.Spoilage, Since: since,
		About: "Headspace is the room between the liquid and the rim. Too little and food is forced out and fouls the seal; too much and air stays " +
			"in, the seal is weak and the process is too short to drive it out. Each tested recipe prints its own.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-13")},
		Remedy:  "Fill to the printed headspace.",
		Figures: []string{"headspace_volume", "swelling_to_the_boil", "least_headspace_for_swelling", "vacuum_at_most"},
		Applies: matched,
		Run: func(f *facts.Facts) []facts.Finding {
			printed := f.Match.PrintedHeadspaces()
			if len(printed) == 0 || printed[0] == 0 {
				return nil
			}
			want := measure.Length(printed[0]) * measure.Inch
			tolerance := f.Tolerance(catalog.HeadspaceTolerance)
			si, given := f.SI(f.Request.Recipe.Headspace)
			if !given {
				return []facts.Finding{{
					Outcome: report.Undetermined, At: "/recipe",
					Message: fmt.Sprintf("The headspace is not given; “%s” has %s.", f.Match.Recipe.Title, measure.FormatInches(want)),
					Remedy:  "Leave " + measure.FormatInches(want) + " between the liquid and the rim and say so (headspace).",
					Sources: []catalog.Citation{f.Match.Recipe.Citation},
					Fix:     []report.Operation{{Op: "add", Path: "/recipe/headspace", Value: map[string]any{"value": printed[0], "unit": "in"}}},
				}}
			}
			off := false
			for _, inches := range printed {
				off = off || math.Abs(si-float64(measure.Length(inches)*measure.Inch)) > tolerance*(1+1e-6)
			}
			if !off {
				return nil
			}
			have := measure.Length(si)
			effect := "food may be forced out and keep the lid from sealing"
			if have > want {
				effect = "air stays in the jar and the seal may be weak"
			}
			q := f.Request.Recipe.Headspace
			finding := facts.Finding{
				Outcome: report.Fail, At: "/recipe/headspace",
				Message: fmt.Sprintf("There is %s of headspace where “%s” has %s: %s.",
					measure.FormatInches(have), f.Match.Recipe.Title, measure.FormatInches(want), effect),
				Remedy:   "Leave " + measure.FormatInches(want) + " between the liquid and the rim.",
				Measured: f.In(q, si), Limit: f.In(q, float64(want)), Sources: []catalog.Citation{f.Match.Recipe.Citation},
				Fix: []report.Operation{{Op: "replace", Path: "/recipe/headspace", Value: map[string]any{"value": printed[0], "unit": "in"}}},
			}
			if solids := solidsHeadspace(f); solids > 0 {
				finding.Remedy += fmt.Sprintf(" The solids stay %s below the rim.", measure.FormatInches(measure.Length(solids)*measure.Inch))
			}
			return []facts.Finding{finding}
		},
	}
}

func solidsHeadspace(f *facts.Facts) float64 {
	if f.Match.Pack.Style == nil {
		return 0
	}
	return f.Match.Pack.Style.SolidsHeadspaceIn
}

// JarSize holds the jar to the largest that was tested.
func JarSize() Rule {
	return Rule{
		ID: "pack.jar-size", Title: "Jar no larger than tested", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About: "The middle of a larger jar heats more slowly and no formula extends the printed time. A smaller jar is safe at the time of the next " +
			"larger printed one.",
		Sources: []catalog.Citation{
			{Source: "nchfp", Locator: "note on jar sizes", Verified: catalog.Read},
			{Source: "kansas-extension", Locator: "2019, 2022", Verified: catalog.Read},
			catalog.Guide("p. 1-22"),
		},
		Remedy:  "Use a jar of a printed size, or a smaller one.",
		Figures: []string{"fill_volume"},
		Applies: matched,
		Run: func(f *facts.Facts) []facts.Finding {
			pack := f.Match.Pack
			if f.Composition.Jar == nil {
				at := "/recipe"
				if f.Request.Recipe.Jar != nil {
					at = "/recipe/jar"
				}
				return []facts.Finding{{
					Outcome: report.Undetermined, At: at, Changes: f.Tables.ChangesOn(catalog.LargerJar),
					Message: "The size of the jar is not given.",
					Remedy:  "Say which jar it is (jar): a name of /v1/jars, or the capacity and interior height of your own.",
				}}
			}
			if pack.Twin {
				return nil // a rule of its own speaks of it
			}
			if pack.Largest == nil || f.Composition.Jar.CapacityML*(1-f.Tolerance(catalog.CapacityTolerance)) <= pack.Largest.CapacityML {
				return nil
			}
			return []facts.Finding{{
				Outcome: report.Fail, At: "/recipe/jar", Changes: f.Tables.ChangesOn(catalog.LargerJar),
				Message: fmt.Sprintf("The jar holds %.0f mL; the largest that “%s” was tested in is the %s, %.0f mL.",
					f.Composition.Jar.CapacityML, f.Match.Recipe.Title, pack.Largest.Name, pack.Largest.CapacityML),
				Measured: &report.Amount{Value: measure.Round(f.Composition.Jar.CapacityML, 1), Unit: "mL"},
				Limit:    &report.Amount{Value: measure.Round(pack.Largest.CapacityML, 1), Unit: "mL"},
				Sources:  []catalog.Citation{f.Match.Recipe.Citation}, Fix: jarFix(f, pack.Largest),
			}}
		},
	}
}

// jarFix puts the largest tested jar in, unless amounts are given for each jar: those were meant for the other jar.
func jarFix(f *facts.Facts, jar *catalog.Jar) []report.Operation {
	for i := range f.Request.Recipe.Ingredients {
		if f.Request.Recipe.Ingredients[i].Per == document.PerJar && f.Composition.Lines[i].IsFood() {
			return nil
		}
	}
	if r := &f.Match.Jar; r.Known() && r.FoodG > r.MostFoodG*jar.CapacityML/f.Composition.Jar.CapacityML {
		return nil // so much food takes more of the smaller jars
	}
	return append([]report.Operation{{Op: "replace", Path: "/recipe/jar", Value: jar.ID}}, TimeFix(f, f.Match.Pack.LargestRow)...)
}

// Style holds the way of packing to the printed one.
func Style() Rule {
	return Rule{
		ID: "pack.style", Title: "Packed raw or hot as printed", Severity: report.Error, Hazard: report.Pathogen, Since: since,
		About:   "Raw-packed jars start colder than hot-packed ones, so each has its own time. A pack that is not printed was not tested.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-22, 1-23")},
		Remedy:  "Use the printed pack.",
		Applies: matched,
		Run: func(f *facts.Facts) []facts.Finding {
			written := f.Request.Recipe.Pack
			styles := f.Match.Pack.Styles
			if len(styles) == 0 {
				return nil
			}
			printed := measure.JoinOr(styles)
			if written == "" {
				return []facts.Finding{{
					Outcome: report.Undetermined, At: "/recipe", Changes: f.Tables.ChangesOn(catalog.OtherPack),
					Message: fmt.Sprintf("The recipe does not say how the jars are packed; “%s” is packed %s.", f.Match.Recipe.Title, printed),
					Remedy:  "Say how the jars are packed (pack: raw or hot).",
				}}
			}
			for _, style := range styles {
				if style == written {
					return nil
				}
			}
			finding := facts.Finding{
				Outcome: report.Fail, At: "/recipe/pack", Changes: f.Tables.ChangesOn(catalog.OtherPack),
				Message: fmt.Sprintf("The jars are packed %s; “%s” has a time for %s pack only.", written, f.Match.Recipe.Title, printed),
				Remedy:  "Pack the jars " + printed + ".", Sources: []catalog.Citation{f.Match.Recipe.Citation},
				Fix: []report.Operation{{Op: "replace", Path: "/recipe/pack", Value: styles[0]}},
			}
			for i := range f.Match.Recipe.Packs {
				if note := f.Match.Recipe.Packs[i].FillNote; note != "" {
					finding.Remedy += " Note of the table: " + note + "."
					break
				}
			}
			return []facts.Finding{finding}
		},
	}
}

// PieceSize holds pieces to the size that was tested.
func PieceSize() Rule {
	return aboutLines(Rule{
		ID: match.RulePieceSize, Title: "Pieces no larger than tested", Severity: report.Error, Hazard: report.Pathogen,
		About: "The printed time heats the middle of pieces of the printed size. The published guide states that the time depends on the size; that " +
			"larger pieces need more is the consequence.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-29")},
		Remedy:  "Cut the food as the tested recipe says.",
	}, func(l *composition.Line) bool { return l.IsFood() && l.Counts() })
}
