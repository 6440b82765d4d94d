package rules

import (
	"fmt"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// Ids of the limits for what is filled into jars.
const (
	hotFill  = "hot-fill-min"  // of what is packed hot, and of liquid that is poured on boiling
	warmFill = "warm-fill-min" // of hot liquid over raw food
)

// FilledHot demands that what is filled in hot is hot.
func FilledHot() Rule {
	return Rule{
		ID: "pack.filled-hot", Title: "Filled hot, as printed", Severity: report.Error, Hazard: report.Pathogen, Since: sinceSteps,
		About: "The printed minutes begin with jars that were filled hot: hot food in its boiling liquid, or raw food under a hot one. A jar that is filled " +
			"cold takes longer until its middle is hot. The least warmth is that of the water into which the guide has such jars put.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-12, 1-18")},
		Remedy:  "Fill the jars while food and liquid are boiling hot, one jar after the other.",
		Applies: func(f *facts.Facts) bool {
			return f.Matched() && f.Request.Recipe.Temperatures != nil && f.Request.Recipe.Temperatures.Brine != nil && fillLimit(f) != ""
		},
		Run: func(f *facts.Facts) []facts.Finding {
			written := f.Request.Recipe.Temperatures.Brine
			have, given := f.SI(written)
			least, limit := f.Limit(fillLimit(f))
			if !given || have >= least-f.Tolerance(catalog.ThermometerTolerance) {
				return nil
			}
			return []facts.Finding{{
				Outcome: report.Fail, At: "/recipe/temperatures/brine", Measured: f.In(written, have), Limit: f.In(written, least),
				Sources: []catalog.Citation{f.Match.Recipe.Citation, limit.Citation},
				Message: fmt.Sprintf("What is filled in has %s; “%s” is filled hot.", temperatureWords(written), f.Match.Recipe.Title),
			}}
		},
	}
}

// fillLimit is the id of the limit for what is filled in; empty where nothing hot is printed for the pack.
func fillLimit(f *facts.Facts) string {
	pack := f.Request.Recipe.Pack
	if pack == document.PackHot {
		return hotFill
	}
	limit := ""
	if f.Match.Recipe == nil || pack == document.PackCold {
		return limit
	}
	for i := range f.Match.Recipe.Steps {
		row := &f.Match.Recipe.Steps[i]
		if row.Pack != "" && row.Pack != pack {
			continue
		}
		switch row.Step {
		case "pour_boiling":
			return hotFill
		case "pour_hot", "fill_hot":
			limit = warmFill
		}
	}
	return limit
}

// SolidsHeadspace demands that the pieces leave the room below the rim that is printed for them, or for what is on top.
func SolidsHeadspace() Rule {
	return Rule{
		ID: "pack.solids-headspace", Title: "Room above the pieces", Severity: report.Error, Hazard: report.Spoilage, Since: sinceSteps,
		About: "Pieces that stand higher than printed are not covered by the liquid: acid and heat reach them less, and they are forced against the lid. " +
			"Where a recipe prints a room for the pieces, it holds; else the headspace holds for whatever stands highest. More room is no matter here.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-13"), catalog.Guide("p. 6-16, 6-20, 6-34")},
		Remedy:  "Pack the pieces lower and cover them with liquid.",
		Applies: func(f *facts.Facts) bool {
			_, given := f.SI(f.Request.Recipe.SolidsHeadspace)
			return f.Matched() && given && leastRoom(f) > 0
		},
		Run: func(f *facts.Facts) []facts.Finding {
			written := f.Request.Recipe.SolidsHeadspace
			si, _ := f.SI(written)
			printed := leastRoom(f)
			want := measure.Length(printed) * measure.Inch
			if si >= float64(want)-f.Tolerance(catalog.HeadspaceTolerance)*(1+1e-6) {
				return nil
			}
			return []facts.Finding{{
				Outcome: report.Fail, At: "/recipe/solids_headspace", Measured: f.In(written, si), Limit: f.In(written, float64(want)),
				Sources: []catalog.Citation{f.Match.Recipe.Citation},
				Message: fmt.Sprintf("Headspace of the pieces: they stay %s below the rim where “%s” has %s.", measure.FormatInches(measure.Length(si)),
					f.Match.Recipe.Title, measure.FormatInches(want)),
				Remedy: "Leave " + measure.FormatInches(want) + " between the pieces and the rim and cover them with liquid.",
				Fix:    []report.Operation{{Op: "replace", Path: "/recipe/solids_headspace", Value: map[string]any{"value": printed, "unit": "in"}}},
			}}
		},
	}
}

// leastRoom is the printed room above the pieces in inches: their own, else the least headspace; 0 where none is printed.
func leastRoom(f *facts.Facts) float64 {
	if solids := solidsHeadspace(f); solids > 0 {
		return solids
	}
	least := 0.0
	for _, inches := range f.Match.PrintedHeadspaces() {
		if least == 0 || inches < least {
			least = inches
		}
	}
	return least
}
