package rules

import (
	"fmt"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// EquilibriumPH takes fitness for the shelf away where the jar would not be an acid food. It never grants it.
func EquilibriumPH() Rule {
	return Rule{
		ID: "acid.equilibrium-ph", Title: "Acid enough by computation", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About: "The pH that food and brine come to is worked out from the acid, the salt and how much acid the food takes up. At 4.6 or below a food " +
			"is acid; 4.2 is the usual margin. A computed pH over 4.6 takes fitness for the shelf away; one below it grants nothing, since only a " +
			"tested process does.",
		Sources: []catalog.Citation{{Source: "cfr-21-114", Locator: "114.3(b)", Verified: catalog.Read}, {Source: "pa-agriculture", Verified: catalog.Read}},
		Remedy:  "Use more acid or less low-acid food, as the tested recipe has it.",
		Figures: []string{"equilibrium_ph", "acid_of_jar", "acid_per_low_acid_food"},
		Applies: func(f *facts.Facts) bool {
			return f.ForShelf() && f.Request.Recipe.Kind != document.KindFermented && f.Acidity.Reason == ""
		},
		Run: func(f *facts.Facts) []facts.Finding {
			limit := f.LimitAsPrinted("ph-max")
			if measure.Round(f.Acidity.PH, 2) <= limit.Value || asSourAsPrinted(f) {
				return nil
			}
			return []facts.Finding{{
				Outcome: report.Fail, At: "/recipe/ingredients",
				Message: fmt.Sprintf("By computation the jar comes to pH %s (between %s and %s), above the limit of %s for an acid food. "+
					"The estimate itself decided.", hundredths(f.Acidity.PH), hundredths(f.Acidity.Low), hundredths(f.Acidity.High), hundredths(limit.Value)),
				Measured: &report.Amount{Value: measure.Round(f.Acidity.PH, 2), Unit: "pH"}, Limit: &report.Amount{Value: limit.Value, Unit: "pH"},
			}}
		},
	}
}

// asSourAsPrinted reports whether the recipe is a tested one of pieces, followed in every respect, in jars that hold no less acid to the food
// than the printed ones: then the computation says of the tested recipe what it says of this one, and a test outweighs it. Hard water,
// which nobody printed, is reckoned with all the same.
func asSourAsPrinted(f *facts.Facts) bool {
	kitchen, jar := f.Request.Kitchen, &f.Match.Jar
	if kitchen != nil && kitchen.WaterAlkalinityMgPerL != nil {
		return false
	}
	return f.Match.Matched() && jar.Known() && jar.AcidInJar >= jar.AcidAsked*(1-f.Tolerance(catalog.RatioTolerance))
}

// hundredths writes a pH as it is compared: to two decimals.
func hundredths(pH float64) string { return measure.FormatNumber(measure.Round(pH, 2)) }

// AcidInReserve tells how far the computed pH lies from the limit.
func AcidInReserve() Rule {
	return Rule{
		ID: "acid.acid-in-reserve", Title: "Acid in reserve", Severity: report.Info, Hazard: report.Botulism, Since: since,
		About: "How far the computed pH lies below 4.6, and whether even the upper bound does. A tested recipe may have an upper bound over 4.6, " +
			"because for most foods the acid they take up is known only within a factor of two.",
		Sources: []catalog.Citation{{Source: "cfr-21-114", Locator: "114.3(b)", Verified: catalog.Read}, {Source: "pa-agriculture", Verified: catalog.Read}},
		Remedy:  "It decides nothing here; a pH meter would tell more exactly.",
		Figures: []string{"equilibrium_ph", "acid_of_jar", "acid_per_low_acid_food"},
		Applies: func(f *facts.Facts) bool {
			return f.ForShelf() && f.Request.Recipe.Kind != document.KindFermented && f.Acidity.Reason == ""
		},
		Run: func(f *facts.Facts) []facts.Finding {
			limit, margin := f.LimitAsPrinted("ph-max"), f.LimitAsPrinted("ph-margin")
			if measure.Round(f.Acidity.PH, 2) > limit.Value || f.Acidity.High <= margin.Value {
				return nil // over the limit another rule says so
			}
			finding := facts.Finding{
				Outcome: report.Fail, At: "/recipe/ingredients",
				Measured: &report.Amount{Value: measure.Round(f.Acidity.High, 2), Unit: "pH"},
			}
			if f.Acidity.High > limit.Value {
				finding.Message = fmt.Sprintf("By computation the jar comes to about pH %s, likely %s to %s; were every input at its worst at once it could be "+
					"%s, over %s. What opens that bound most is %s.", hundredths(f.Acidity.PH), hundredths(f.Acidity.Likely.Low),
					hundredths(f.Acidity.Likely.High), hundredths(f.Acidity.High), hundredths(limit.Value), f.Acidity.Decides)
				finding.Limit = &report.Amount{Value: limit.Value, Unit: "pH"}
			} else {
				finding.Message = fmt.Sprintf("By computation the jar comes to about pH %s, at most %s: below the limit of %s, above the usual "+
					"margin of %s.", hundredths(f.Acidity.PH), hundredths(f.Acidity.High), hundredths(limit.Value), hundredths(margin.Value))
				finding.Limit = &report.Amount{Value: margin.Value, Unit: "pH"}
			}
			return []facts.Finding{finding}
		},
	}
}
