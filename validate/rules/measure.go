package rules

import (
	"fmt"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// SaltByVolume warns of flake salt by the spoon or cup.
func SaltByVolume() Rule {
	return Rule{
		ID: "measure.salt-by-volume", Title: "Flake salt by weight", Severity: report.Warning, Hazard: report.Quality, Since: since,
		About: "A cup of flake salt weighs between 130 and 250 g, a cup of canning or table salt 220 to 292 g: only a weight says how salty the " +
			"pickle will be. In fresh packs this is a matter of taste; in ferments the salt has a rule of its own.",
		Sources: []catalog.Citation{catalog.Guide("p. 6-7"), {Source: "wisconsin-extension", Locator: "B2267, second-hand", Verified: catalog.Read}},
		Remedy:  "Weigh the salt and give it in grams.",
		Figures: []string{"salt_of_brine", "salt_of_jar"},
		Applies: func(f *facts.Facts) bool { return len(lines(f, saltByVolume)) > 0 },
		Run: func(f *facts.Facts) []facts.Finding {
			var findings []facts.Finding
			for _, line := range lines(f, counted(catalog.Salt)) {
				flake := line.SaltKind == document.SaltKosherFlake || line.SaltKind == document.SaltSeaCoarse
				if !flake || !saltByVolume(line) {
					continue
				}
				finding := facts.Finding{
					Outcome: report.Fail, At: line.At + "/amount", Changes: f.Tables.ChangesOn(catalog.FlakeSaltByVolume),
					Message: "Flake salts differ so much in density that a spoon or cup does not say how much salt it is.",
				}
				if line.WeightKnown {
					finding.Message = fmt.Sprintf("%s %s of this salt may weigh anything from %.0f to %.0f g.",
						measure.FormatNumber(line.Value), line.Unit.Code, line.GramsLow, line.GramsHigh)
				}
				findings = append(findings, finding)
			}
			return findings
		},
	}
}

// saltByVolume fits salt given by the spoon or cup, in the jar or not.
func saltByVolume(l *composition.Line) bool {
	return l.Class == catalog.Salt && l.State == composition.Given && l.Unit.Dimension == measure.DimensionVolume
}

// countless are families whose pieces are so small or so alike that a count needs no size.
var countless = []string{"garlic", "clove", "bay-leaf", "cinnamon", "dill", "pepper", "peppercorn", "allspice", "egg"}

// CountWithoutSize notes produce counted without saying how big it is.
func CountWithoutSize() Rule {
	return Rule{
		ID: "measure.count-without-size", Title: "Counted produce says its size", Severity: report.Info, Hazard: report.Quality, Since: since,
		About:   "Six onions weigh anything from 400 to 900 g. A weight is exact; a count with a size (small, medium, large) is next best.",
		Sources: []catalog.Citation{{Source: "usda-sr", Locator: "WEIGHT table", Verified: catalog.Read}},
		Remedy:  "Give a weight, or say small, medium or large.",
		Applies: func(f *facts.Facts) bool { return len(lines(f, countedFood)) > 0 },
		Run: func(f *facts.Facts) []facts.Finding {
			var findings []facts.Finding
			for _, line := range lines(f, countedFood) {
				if line.Form.Has("small", "medium", "large", "baby", "diameter") || line.Form.LengthMM+line.Form.DiameterMM+line.LengthMM+line.BreadthMM > 0 {
					continue
				}
				findings = append(findings, facts.Finding{
					Outcome: report.Fail, At: line.At + "/amount",
					Message: measure.Capital(line.Name) + " is counted without saying how large the pieces are.",
				})
			}
			return findings
		},
	}
}

func countedFood(l *composition.Line) bool {
	return l.Counts() && l.Item != nil && l.State == composition.Given && l.Unit.Code == "each" &&
		(l.Class == catalog.LowAcid || l.Class == catalog.AcidFood) && !slices.Contains(countless, l.Item.Family)
}

// Dimension notes food whose measure cannot be turned into a weight.
func Dimension() Rule {
	return Rule{
		ID: "measure.dimension", Title: "Amounts can be weighed", Severity: report.Info, Hazard: report.Quality, Since: since,
		About: "A food given by the cup or by the piece is compared by weight through published tables. " +
			"Where no table has that measure, only a recipe in the same measure can be compared.",
		Sources: []catalog.Citation{{Source: "usda-sr", Locator: "WEIGHT table", Verified: catalog.Read}},
		Remedy:  "Give a weight.",
		Figures: []string{"acid_per_low_acid_food"},
		Applies: func(f *facts.Facts) bool { return len(lines(f, measuredFood)) > 0 },
		Run: func(f *facts.Facts) []facts.Finding {
			var findings []facts.Finding
			for _, line := range lines(f, measuredFood) {
				if !line.WeightKnown {
					findings = append(findings, facts.Finding{
						Outcome: report.Fail, At: line.At + "/amount",
						Message: fmt.Sprintf("No published weight is known for %s measured in %s.", line.Name, line.Unit.Name),
					})
				}
			}
			return findings
		},
	}
}

func measuredFood(l *composition.Line) bool {
	return l.IsFood() && l.Counts() && l.Item != nil && l.State == composition.Given
}
