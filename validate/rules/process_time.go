package rules

import (
	"fmt"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

func timed(f *facts.Facts) bool {
	method := f.Method()
	return f.Matched() && (method == "" || method == document.MethodBoilingWater || method == document.MethodSteam)
}

// AltitudeTime demands the printed minutes of the kitchen's elevation band.
func AltitudeTime() Rule {
	return Rule{
		ID: "process.altitude-time", Title: "Long enough for the elevation", Severity: report.Error, Hazard: report.Pathogen, Since: since,
		About: "Water boils cooler the higher the kitchen stands, so the tables print more minutes for higher bands. The minutes of the kitchen's own " +
			"band count; exactly 1,000 ft belongs to the band below.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-22")},
		Remedy:  "Process for the minutes printed for your elevation.",
		Figures: []string{"boiling_point", "boiling_point_fahrenheit"},
		Applies: func(f *facts.Facts) bool { return timed(f) && f.Match.Recipe.Canner == "boiling_water" },
		Run:     runAltitudeTime,
	}
}

func runAltitudeTime(f *facts.Facts) []facts.Finding {
	required := f.MinutesRequired()
	have, given := f.Time()
	sources := rowSources(f)
	at := "/recipe/process"
	if f.Request.Recipe.Process == nil {
		at = "/recipe"
	}
	switch {
	case !required.Printed:
		return []facts.Finding{{
			Outcome: report.Undetermined, At: at,
			Message: "No printed time applies to this pack and jar, so the time cannot be checked.",
			Remedy:  "Use a pack and a jar that the tested recipe prints a time for.",
		}}
	case !given:
		return []facts.Finding{{
			Outcome: report.Undetermined, At: at,
			Message: "The process time is not given.",
			Remedy:  "Give the minutes (process.time); the table of this report says how many it takes.",
			Sources: sources,
		}}
	case required.OffTable && !required.HasHere:
		return []facts.Finding{{
			Outcome: report.Undetermined, At: "/kitchen/elevation",
			Message: "The tables that were read print no time for this elevation.",
			Remedy:  "Ask the publisher of the recipe, or follow a recipe whose time is printed for your elevation.",
			Sources: sources,
		}}
	}
	limit := required.Lowest
	where := "at any elevation"
	if required.HasHere {
		limit, where = required.Here, "at "+elevationWords(f)
	}
	if have.Minutes() >= limit-f.MinutesTolerance() {
		return nil
	}
	advise, ok := f.MinutesToBeSafe()
	finding := facts.Finding{
		Outcome: report.Fail, At: "/recipe/process/time", Changes: f.Tables.ChangesOn(catalog.ShorterProcess), Sources: sources,
		Message: fmt.Sprintf("%s minutes are too few %s: “%s” takes %s.",
			measure.FormatNumber(have.Minutes()), where, f.Match.Recipe.Title, measure.FormatNumber(limit)),
		Measured: f.In(f.Request.Recipe.Process.Time, float64(have)), Limit: f.In(f.Request.Recipe.Process.Time, limit*float64(measure.Minute)),
		Remedy: fmt.Sprintf("Process for at least %s minutes.", measure.FormatNumber(limit)),
	}
	if ok {
		finding.Fix = []report.Operation{{Op: "replace", Path: "/recipe/process/time", Value: map[string]any{"value": advise, "unit": "min"}}}
		if f.Method() == document.MethodBoilingWater {
			finding.Fix = append(finding.Fix, deepEnough(f, measure.Duration(advise)*measure.Minute)...)
		}
	}
	return []facts.Finding{finding}
}

func rowSources(f *facts.Facts) []catalog.Citation {
	var sources []catalog.Citation
	for _, row := range f.Match.Pack.Possible {
		sources = catalog.AddCitation(sources, row.Citation)
	}
	return sources
}

func elevationWords(f *facts.Facts) string {
	q := f.ElevationWritten()
	return measure.FormatNumber(*q.Value) + " " + q.Unit
}

// ElevationKnown demands the elevation unless the time suffices everywhere.
func ElevationKnown() Rule {
	return Rule{
		ID: "process.elevation-known", Title: "Elevation known, or time enough for any", Severity: report.Error, Hazard: report.Pathogen, Since: since,
		About:   "Without the elevation of the kitchen a time is enough only when it is enough in the highest printed band.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-10")},
		Remedy:  "Give the elevation of the kitchen (kitchen.elevation), or process for the minutes of the highest band.",
		Figures: []string{"boiling_point", "boiling_point_fahrenheit"},
		Applies: func(f *facts.Facts) bool {
			return timed(f) && f.Elevation == nil && f.MinutesRequired().Printed
		},
		Run: func(f *facts.Facts) []facts.Finding {
			required := f.MinutesRequired()
			have, given := f.Time()
			if given && required.OpenTop && have.Minutes() >= required.Highest-f.MinutesTolerance() {
				return nil
			}
			message := fmt.Sprintf("The elevation of the kitchen is not given. In a low kitchen %s minutes are enough; in the highest it takes %s.",
				measure.FormatNumber(required.Lowest), measure.FormatNumber(required.Highest))
			if !required.OpenTop {
				message = "The elevation of the kitchen is not given, and the tables that were read print a time for low kitchens only."
			}
			return []facts.Finding{{Outcome: report.Undetermined, At: "", Message: message, Sources: rowSources(f)}}
		},
	}
}

// OverProcessed notes a longer time than printed: safe, but softer.
func OverProcessed() Rule {
	return Rule{
		ID: "process.over-processed", Title: "Longer than needed", Severity: report.Info, Hazard: report.Quality, Since: since,
		About:   "A longer process than printed is safe; the food turns softer.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-22")},
		Remedy:  "The printed minutes are enough.",
		Figures: []string{"boiling_point", "boiling_point_fahrenheit"},
		Applies: func(f *facts.Facts) bool {
			_, given := f.Time()
			return timed(f) && given && f.MinutesRequired().Printed
		},
		Run: func(f *facts.Facts) []facts.Finding {
			required := f.MinutesRequired()
			limit := required.Highest
			if required.HasHere {
				limit = required.Here
			}
			have, _ := f.Time()
			if have.Minutes() <= limit+f.MinutesTolerance() {
				return nil
			}
			return []facts.Finding{{
				Outcome: report.Fail, At: "/recipe/process/time",
				Message: fmt.Sprintf("%s minutes are more than the %s that are printed. That is safe; the food gets softer.",
					measure.FormatNumber(have.Minutes()), measure.FormatNumber(limit)),
				Measured: f.In(f.Request.Recipe.Process.Time, float64(have)), Limit: f.In(f.Request.Recipe.Process.Time, limit*float64(measure.Minute)),
			}}
		},
	}
}

// SterileJars demands sterilized jars where the process is too short to sterilize them.
func SterileJars() Rule {
	return Rule{
		ID: "process.sterile-jars", Title: "Sterilized jars for short processes", Severity: report.Error, Hazard: report.Pathogen, Since: since,
		About:   "Jars that are processed for less than 10 minutes must be sterilized first. From 10 minutes on the process does it.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-14")},
		Remedy:  "Boil the empty jars for 10 minutes below 1,000 ft and one minute more for each further 1,000 ft, or process for 10 minutes.",
		Figures: []string{"boiling_point", "boiling_point_fahrenheit"},
		Applies: func(f *facts.Facts) bool {
			have, given := f.Time()
			below, _ := f.Limit("sterile-jars-below")
			return timed(f) && given && float64(have) < below-f.Tolerance(catalog.TimeTolerance) && f.MinutesRequired().Printed
		},
		Run: func(f *facts.Facts) []facts.Finding {
			finding := facts.Finding{Changes: f.Tables.ChangesOn(catalog.JarsNotSterilized)}
			switch f.Request.Recipe.JarPreparation {
			case document.JarsSterilized:
				return nil
			case "":
				finding.Outcome, finding.At = report.Undetermined, "/recipe"
				finding.Message = "The process is shorter than 10 minutes and the recipe does not say whether the jars were sterilized."
			default:
				finding.Outcome, finding.At = report.Fail, "/recipe/jar_preparation"
				finding.Message = "The process is shorter than 10 minutes, too short to sterilize the jars, and they were only washed or kept hot."
				finding.Fix = []report.Operation{{Op: "replace", Path: "/recipe/jar_preparation", Value: document.JarsSterilized}}
			}
			return []facts.Finding{finding}
		},
	}
}

// TimeFix sets the time to the minutes of a table row, where it is shorter, with the water that goes with it.
func TimeFix(f *facts.Facts, row *catalog.Schedule) []report.Operation {
	if row == nil || f.Request.Recipe.Process == nil {
		return nil
	}
	minutes, ok := minutesOf(f, row)
	if !ok {
		return nil
	}
	if have, given := f.Time(); !given || have.Minutes() >= minutes {
		return nil
	}
	longer := report.Operation{Op: "add", Path: "/recipe/process/time", Value: map[string]any{"value": minutes, "unit": "min"}}
	return append([]report.Operation{longer}, deepEnough(f, measure.Duration(minutes)*measure.Minute)...)
}

// minutesOf is the time of one row at the kitchen's elevation, or of its highest band when that is not known.
func minutesOf(f *facts.Facts, row *catalog.Schedule) (float64, bool) {
	if len(row.Bands) == 0 {
		return 0, false
	}
	if f.Elevation == nil {
		return row.Bands[len(row.Bands)-1].Minutes, true
	}
	band, ok := row.Band(*f.Elevation)
	return band.Minutes, ok
}

// WaterCover demands water over the jars.
func WaterCover() Rule {
	return Rule{
		ID: "process.water-cover", Title: "Water over the jars", Severity: report.Error, Hazard: report.Pathogen, Since: since,
		About:   "The water stands at least 1 inch over the jar tops, 2 inches when the time is longer than 30 minutes, so that none boils away below them.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-18")},
		Remedy:  "Fill the canner higher and top it up with boiling water.",
		Applies: func(f *facts.Facts) bool {
			return f.ForShelf() && (f.Method() == document.MethodBoilingWater || f.Method() == document.MethodLowTemperature)
		},
		Run: runWaterCover,
	}
}

func runWaterCover(f *facts.Facts) []facts.Finding {
	time, given := f.Time()
	if required, ok := f.MinutesToBeSafe(); given && ok && time.Minutes() > required {
		time = measure.Duration(required) * measure.Minute // what is boiled beyond the printed time may lose water
	}
	if f.Method() == document.MethodLowTemperature {
		time = 0 // the treatment asks for 1 inch whatever its length (p. 6-5)
	}
	need := f.WaterDepth(time)
	have, said := f.WaterOverLids()
	if said && have >= need*(1-measure.Length(f.Tolerance(catalog.DepthTolerance))) {
		return nil
	}
	finding := facts.Finding{
		Outcome: report.Undetermined, At: "/recipe/process",
		Message: "The recipe does not say how deep the water stands over the jars.",
		Remedy:  fmt.Sprintf("Let at least %s of water stand over the lids and say so (process.water_over_lids).", measure.FormatInches(need)),
		Fix:     deepEnough(f, time),
	}
	if said {
		finding.Outcome, finding.At, finding.Remedy = report.Fail, "/recipe/process/water_over_lids", ""
		finding.Message = fmt.Sprintf("%s of water over the jars is too little; it takes at least %s for this time.",
			measure.FormatInches(have), measure.FormatInches(need))
		finding.Measured = &report.Amount{Value: measure.Round(have.Inches(), 4), Unit: "in"}
		finding.Limit = &report.Amount{Value: measure.Round(need.Inches(), 4), Unit: "in"}
	}
	return []facts.Finding{finding}
}
