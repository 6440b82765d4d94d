package rules

import (
	"fmt"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// PublishedMatch demands a tested recipe that this one follows: only that can make a jar fit for the shelf.
func PublishedMatch() Rule {
	return Rule{
		ID: match.RulePublishedMatch, Title: "Follows a tested recipe", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About: "A jar may stand on the shelf only when a published, tested recipe was followed in every respect that matters. The nearest tested " +
			"recipe is looked up by its foods and proportions and the two are compared.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-28"), catalog.Guide("p. 3-20")},
		Remedy:  "Follow a tested recipe, or keep the jars in the refrigerator.",
		Applies: forShelf,
		Run: func(f *facts.Facts) []facts.Finding {
			if f.Match.Recipe == nil {
				return []facts.Finding{noRecipe(f)}
			}
			findings := departed(f, match.RulePublishedMatch)
			if f.Request.Recipe.Keep == "" {
				findings = append(findings, facts.Finding{
					Outcome: report.Undetermined, At: "/recipe",
					Message: "The recipe does not say where the jars are to be kept.",
					Remedy:  "Say where the jars are kept (keep: shelf or refrigerator).",
				})
			}
			return findings
		},
	}
}

func noRecipe(f *facts.Facts) facts.Finding {
	finding := facts.Finding{
		Outcome: report.Fail, At: "/recipe/ingredients", Changes: f.Tables.ChangesOn(catalog.UntestedSalsa),
		Message: "No tested recipe was found for these foods in anything like these proportions, so no process time can be given.",
		Remedy:  "Keep the jars in the refrigerator, freeze them, or follow a tested recipe.",
	}
	for i := range f.Composition.Lines {
		line := &f.Composition.Lines[i]
		if line.Item == nil || line.Class != catalog.LowAcid || !line.Counts() {
			continue
		}
		rows := f.Tables.SearchPressure(line.Item.Name)
		if len(rows) == 0 {
			continue
		}
		least, most := rows[0].Minutes, rows[0].Minutes
		for _, row := range rows {
			least, most = min(least, row.Minutes), max(most, row.Minutes)
		}
		minutes := fmt.Sprintf("%.0f minutes", least)
		if most > least {
			minutes = fmt.Sprintf("%.0f to %.0f minutes", least, most)
		}
		finding.Message += fmt.Sprintf(" To show what a low-acid food takes: %s without added acid is given %s in a pressure canner, which no "+
			"boiling-water canner can stand in for.", line.Name, minutes)
		finding.Sources = catalog.AddCitation(finding.Sources, rows[0].Citation)
		break
	}
	return finding
}

// Method demands a way of heating that a published process was tested with.
func Method() Rule {
	return Rule{
		ID: "process.method", Title: "Heated in a boiling-water canner or one tested as its equal",
		Severity: report.Error, Hazard: report.Botulism, Since: since,
		About: "Shelf jars are processed in boiling water, in an atmospheric steam canner within its limit, or at 180 to 185 °F where the recipe " +
			"allows it. Ovens, microwaves, dishwashers, filling hot without a process, and canning powders do not heat the food evenly or enough.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-10"), catalog.Guide("p. 1-18")},
		Remedy:  "Process the closed jars in a boiling-water canner for the printed time.",
		Applies: forShelf,
		Run:     runMethod,
	}
}

func runMethod(f *facts.Facts) []facts.Finding {
	method := f.Method()
	finding := facts.Finding{Outcome: report.Fail, At: "/recipe/process/method", Changes: f.Tables.ChangesOn(catalog.NoBoilingWater)}
	switch method {
	case document.MethodBoilingWater, document.MethodSteam, document.MethodLowTemperature:
		return nil
	case "":
		at := "/recipe"
		if f.Request.Recipe.Process != nil {
			at = "/recipe/process"
		}
		return []facts.Finding{{
			Outcome: report.Undetermined, At: at,
			Message: "The recipe does not say how the closed jars are heated.",
			Remedy:  "Say how they are heated (process.method), for example boiling_water.",
		}}
	case document.MethodNone:
		finding.Message = "The closed jars are not heated at all. Without a process neither the seal nor the food is safe on a shelf."
	case document.MethodOpenKettle:
		finding.Message = "Filling boiling food into jars and closing them without a process (open kettle) leaves whatever fell in at the filling alive."
	case document.MethodOven:
		finding.Message = "An oven heats jars unevenly and may burst them."
	case document.MethodMicrowave:
		finding.Message = "A microwave oven heats jars unevenly and may burst them."
	case document.MethodDishwasher:
		finding.Message = "A dishwasher does not get hot enough to process jars."
	case document.MethodCanningPowder:
		finding.Message = "Canning powder does not preserve food and does not replace the process."
		finding.Changes = f.Tables.ChangesOn(catalog.CanningPowder)
	case document.MethodPressure:
		finding.Message = "The tested process for this food is in boiling water; no pressure process is printed for pickles, and none is checked here."
		finding.Changes = nil
	case document.MethodMulticooker:
		finding.Message = "No published process was tested in an electric multi-cooker."
		finding.Changes = nil
		finding.Sources = []catalog.Citation{{Source: "nchfp", Locator: "quoted by state extension services", Verified: catalog.Read}}
	default:
		finding.Message = "This way of heating is not one a process was tested with."
	}
	finding.Fix = toBoilingWater(f)
	if required, ok := f.MinutesToBeSafe(); ok {
		finding.Remedy = fmt.Sprintf("Process the closed jars in boiling water for %s minutes.", measure.FormatNumber(required))
	}
	return []facts.Finding{finding}
}

// toBoilingWater is the fix that puts the jars into boiling water instead, long enough where that is known, and with water
// enough over them. A time that is longer than needed stays, and a temperature at which water does not boil goes.
func toBoilingWater(f *facts.Facts) []report.Operation {
	fix := []report.Operation{{Op: "replace", Path: "/recipe/process/method", Value: document.MethodBoilingWater}}
	time, given := f.Time()
	if required, ok := f.MinutesToBeSafe(); ok && (!given || time.Minutes() < required) {
		fix = append(fix, report.Operation{Op: "add", Path: "/recipe/process/time", Value: map[string]any{"value": required, "unit": "min"}})
		time = measure.Duration(required) * measure.Minute
	}
	if have, said := f.SI(f.Request.Recipe.Process.Temperature); said {
		if boilingC, ok := boiling(f); !ok || have < boilingC+zeroCelsiusK-f.Tolerance(catalog.ThermometerTolerance) {
			fix = append(fix, report.Operation{Op: "remove", Path: "/recipe/process/temperature"})
		}
	}
	return append(fix, deepEnough(f, time)...)
}

// deepEnough raises the water over the jars to what a process time asks for, where it is lower or not said.
func deepEnough(f *facts.Facts, time measure.Duration) []report.Operation {
	need := f.WaterDepth(time)
	if have, given := f.WaterOverLids(); given && have >= need*(1-measure.Length(f.Tolerance(catalog.DepthTolerance))) {
		return nil
	}
	return []report.Operation{{
		Op: "add", Path: "/recipe/process/water_over_lids",
		Value: map[string]any{"value": measure.Round(need.Inches(), 4), "unit": "in"},
	}}
}

// LowTemperature allows the 180 °F treatment only where the recipe does, hot enough and long enough.
func LowTemperature() Rule {
	return Rule{
		ID: "process.low-temperature", Title: "Low-temperature treatment only where the recipe allows it",
		Severity: report.Error, Hazard: report.Pathogen, Since: since,
		About: "Water held at 180 to 185 °F for 30 minutes, checked by thermometer the whole time, replaces boiling for a few cucumber and squash " +
			"pickles only.",
		Sources: []catalog.Citation{catalog.Guide("p. 6-5")},
		Remedy:  "Process in boiling water instead.",
		Figures: []string{"boiling_point", "boiling_point_fahrenheit"},
		Applies: func(f *facts.Facts) bool { return f.Matched() && f.Method() == document.MethodLowTemperature },
		Run:     runLowTemperature,
	}
}

func runLowTemperature(f *facts.Facts) []facts.Finding {
	if !lowTemperatureAllowed(f) {
		return []facts.Finding{{
			Outcome: report.Fail, At: "/recipe/process/method", Changes: f.Tables.ChangesOn(catalog.LowTemperatureNowhere),
			Message: "“" + f.Match.Recipe.Title + "” has no low-temperature treatment: only boiling was tested for it.",
			Fix:     toBoilingWater(f),
		}}
	}
	var findings []facts.Finding
	for _, finding := range []*facts.Finding{tooBrief(f), tooCold(f)} {
		if finding != nil {
			findings = append(findings, *finding)
		}
	}
	return findings
}

// tooBrief judges the time of a low-temperature treatment.
func tooBrief(f *facts.Facts) *facts.Finding {
	atLeast, limit := f.Limit("low-temperature-time-min")
	have, given := f.Time()
	if !given {
		return &facts.Finding{
			Outcome: report.Undetermined, At: "/recipe/process", Changes: f.Tables.ChangesOn(catalog.LowTemperature),
			Message: "The time of the low-temperature treatment is not given.",
			Remedy:  "Hold the water at 180 to 185 °F (82 to 85 °C) for 30 minutes and say so (process.time).",
		}
	}
	if float64(have) >= atLeast {
		return nil
	}
	written := f.Request.Recipe.Process.Time
	return &facts.Finding{
		Outcome: report.Fail, At: "/recipe/process/time", Changes: f.Tables.ChangesOn(catalog.LowTemperature),
		Message: fmt.Sprintf("%s minutes at low temperature are fewer than the %s it takes.",
			measure.FormatNumber(have.Minutes()), measure.FormatNumber(limit.Value)),
		Remedy:   "Hold the temperature for the full 30 minutes.",
		Measured: f.In(written, float64(have)), Limit: f.In(written, atLeast),
		Fix: []report.Operation{{Op: "add", Path: "/recipe/process/time", Value: map[string]any{"value": limit.Value, "unit": limit.Unit}}},
	}
}

// tooCold judges the temperature of a low-temperature treatment.
func tooCold(f *facts.Facts) *facts.Finding {
	coldest, limit := f.Limit("low-temperature-min")
	written := f.Request.Recipe.Process.Temperature
	have, given := f.SI(written)
	if !given {
		return &facts.Finding{
			Outcome: report.Undetermined, At: "/recipe/process", Changes: f.Tables.ChangesOn(catalog.LowTemperature),
			Message: "The temperature of the water is not given; it must stay at 180 °F (82 °C) or above the whole time.",
			Remedy:  "Read a thermometer in the water and give the temperature (process.temperature).",
		}
	}
	if have >= coldest-f.Tolerance(catalog.TemperatureTolerance) {
		return nil
	}
	return &facts.Finding{
		Outcome: report.Fail, At: "/recipe/process/temperature", Changes: f.Tables.ChangesOn(catalog.LowTemperature),
		Message:  fmt.Sprintf("The water is colder than %s °F.", measure.FormatNumber(limit.Value)),
		Remedy:   "Hold the water between 180 and 185 °F (82 to 85 °C).",
		Measured: f.In(written, have), Limit: f.In(written, coldest),
		Fix: []report.Operation{{
			Op: "replace", Path: "/recipe/process/temperature", Value: map[string]any{"value": limit.Value, "unit": limit.Unit},
		}},
	}
}

func lowTemperatureAllowed(f *facts.Facts) bool {
	if f.Match.Pack.Style != nil {
		return f.Match.Pack.Style.LowTemperature
	}
	for i := range f.Match.Recipe.Packs {
		if !f.Match.Recipe.Packs[i].LowTemperature {
			return false
		}
	}
	return len(f.Match.Recipe.Packs) > 0
}

// Temperature demands that water which is called boiling, and steam, is as hot as that at the elevation of the kitchen.
func Temperature() Rule {
	return Rule{
		ID: "process.temperature", Title: "As hot as the method says", Severity: report.Error, Hazard: report.Pathogen, Since: sinceSteps,
		About: "The minutes of the tables hold at the full boil, or in steam as hot. Where the recipe gives a temperature for a process in boiling water " +
			"or steam, it is compared with the boiling point at the elevation of the kitchen, less what a kitchen thermometer may be off by.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-18")},
		Remedy:  "Keep the water at a full rolling boil the whole time, and leave the temperature out or give that of the boil.",
		Figures: []string{"boiling_point", "boiling_point_fahrenheit"},
		Applies: func(f *facts.Facts) bool {
			method := f.Method()
			return f.ForShelf() && (method == document.MethodBoilingWater || method == document.MethodSteam) && f.Request.Recipe.Process.Temperature != nil
		},
		Run: runTemperature,
	}
}

func runTemperature(f *facts.Facts) []facts.Finding {
	written := f.Request.Recipe.Process.Temperature
	have, given := f.SI(written)
	boilingC, ok := boiling(f)
	if !given || !ok {
		return nil
	}
	boil := boilingC + zeroCelsiusK
	if have >= boil-f.Tolerance(catalog.ThermometerTolerance) {
		return nil
	}
	finding := facts.Finding{
		Outcome: report.Fail, At: "/recipe/process/temperature", Measured: f.In(written, have), Limit: f.In(written, boil),
		Message: fmt.Sprintf("Water of %s does not boil: the recipe calls the process %s, and that boils at %.0f °F (%.0f °C) here.",
			temperatureWords(written), methodWords(f.Method()), boilingC*1.8+32, boilingC),
	}
	if f.Elevation == nil {
		finding.Outcome = report.Undetermined
		finding.Message = fmt.Sprintf("At %s water boils in a high kitchen only, and the elevation is not given.", temperatureWords(written))
		finding.Remedy = "Give the elevation of the kitchen, and keep the water at a full rolling boil."
	}
	return []facts.Finding{finding}
}

// temperatureWords is a temperature as it was written: 150 °F.
func temperatureWords(q *document.Quantity) string {
	return measure.FormatNumber(*q.Value) + " °" + q.Unit
}

func methodWords(method string) string {
	if method == document.MethodSteam {
		return "one in steam"
	}
	return "one in boiling water"
}

// SteamJars demands jars that are hot before they are filled for a steam canner.
func SteamJars() Rule {
	return Rule{
		ID: "process.steam-jars", Title: "Hot jars for a steam canner", Severity: report.Error, Hazard: report.Pathogen, Since: sinceSteps,
		About: "The times of a steam canner were tested with jars that were heated before they were filled, and filled hot. Cold jars take longer to warm " +
			"through than those in water do.",
		Sources: []catalog.Citation{{Source: "nchfp", Locator: "addendum of 14 September 2015", Verified: catalog.Read}},
		Remedy:  "Keep the jars in hot water until they are filled, or process them in boiling water.",
		Applies: func(f *facts.Facts) bool { return f.ForShelf() && f.Method() == document.MethodSteam },
		Run:     runSteamJars,
	}
}

func runSteamJars(f *facts.Facts) []facts.Finding {
	recipe := &f.Request.Recipe
	finding := facts.Finding{Outcome: report.Fail, Changes: f.Tables.ChangesOn(catalog.Steam)}
	if recipe.Temperatures != nil {
		least, _ := f.Limit(warmFill)
		if have, given := f.SI(recipe.Temperatures.Jar); given && have < least-f.Tolerance(catalog.ThermometerTolerance) {
			finding.At = "/recipe/temperatures/jar"
			finding.Message = fmt.Sprintf("Jars of %s are cold; jars for a steam canner are heated before they are filled.", temperatureWords(recipe.Temperatures.Jar))
			finding.Measured, finding.Limit = f.In(recipe.Temperatures.Jar, have), f.In(recipe.Temperatures.Jar, least)
			return []facts.Finding{finding}
		} else if given {
			return nil
		}
	}
	switch recipe.JarPreparation {
	case document.JarsHot, document.JarsSterilized:
		return nil
	case "":
		finding.Outcome, finding.At = report.Undetermined, "/recipe"
		finding.Message = "The recipe does not say whether the jars are hot before they are filled, as a steam canner asks for."
		finding.Remedy = "Keep the jars in hot water until they are filled, and say so (jar_preparation: hot)."
	default:
		finding.At = "/recipe/jar_preparation"
		finding.Message = "The jars are only washed; jars for a steam canner are heated before they are filled."
		finding.Fix = []report.Operation{{Op: "replace", Path: "/recipe/jar_preparation", Value: document.JarsHot}}
	}
	return []facts.Finding{finding}
}

// SteamLimit holds a steam canner to the time its water lasts.
func SteamLimit() Rule {
	return Rule{
		ID: "process.steam-limit", Title: "Steam canner no longer than 45 minutes", Severity: report.Error, Hazard: report.Pathogen, Since: since,
		About: "An atmospheric steam canner may replace boiling water for acid foods when the whole time, altitude included, is 45 minutes or less: " +
			"longer ones boil it dry.",
		Sources: []catalog.Citation{{Source: "nchfp", Locator: "addendum of 14 September 2015", Verified: catalog.Read}},
		Remedy:  "Use a boiling-water canner for longer processes.",
		Figures: []string{"boiling_point", "boiling_point_fahrenheit"},
		Applies: func(f *facts.Facts) bool { return f.ForShelf() && f.Method() == document.MethodSteam },
		Run: func(f *facts.Facts) []facts.Finding {
			most, limit := f.Limit("steam-time-max")
			have, given := f.Time()
			if !given {
				return []facts.Finding{{
					Outcome: report.Undetermined, At: "/recipe/process", Changes: f.Tables.ChangesOn(catalog.Steam),
					Message: "The steaming time is not given.",
					Remedy:  "Give the steaming time (process.time).",
				}}
			}
			if float64(have) <= most {
				return nil
			}
			return []facts.Finding{{
				Outcome: report.Fail, At: "/recipe/process/time", Changes: f.Tables.ChangesOn(catalog.Steam),
				Message: fmt.Sprintf("%s minutes are more than the %s that the water of a steam canner lasts.",
					measure.FormatNumber(have.Minutes()), measure.FormatNumber(limit.Value)),
				Measured: f.In(f.Request.Recipe.Process.Time, float64(have)), Limit: f.In(f.Request.Recipe.Process.Time, most),
				Fix: toBoilingWater(f),
			}}
		},
	}
}
