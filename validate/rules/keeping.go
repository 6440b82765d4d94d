package rules

import (
	"fmt"
	"time"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/measure"
	"jarwright/validate/report"
	"jarwright/validate/storage"
)

// RefrigeratedOnly keeps recipes that were never tested for the shelf off it.
func RefrigeratedOnly() Rule {
	return Rule{
		ID: "keeping.refrigerated-only", Title: "Refrigerator recipes stay in the refrigerator", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About: "Some published recipes have no process at all: they were made for the refrigerator, and heating the jars does not make them fit for " +
			"a shelf.",
		Sources: []catalog.Citation{catalog.Guide("p. 6-30"), {Source: "nchfp", Locator: "pickled eggs", Verified: catalog.Read}},
		Remedy:  "Keep it in the refrigerator.",
		Applies: func(f *facts.Facts) bool { return f.Match.Recipe != nil && f.Match.Recipe.Canner == "none" },
		Run: func(f *facts.Facts) []facts.Finding {
			switch f.Request.Recipe.Keep {
			case document.KeepRefrigerator:
				return nil
			case "":
				return []facts.Finding{{
					Outcome: report.Undetermined, At: "/recipe", Changes: f.Tables.ChangesOn(catalog.CannedThoughCold),
					Message: "“" + f.Match.Recipe.Title + "” is for the refrigerator only, and this recipe does not say where it is kept.",
				}}
			}
			return []facts.Finding{{
				Outcome: report.Fail, At: "/recipe/keep", Changes: f.Tables.ChangesOn(catalog.CannedThoughCold),
				Message: "“" + f.Match.Recipe.Title + "” is for the refrigerator only.",
				Fix:     []report.Operation{{Op: "replace", Path: "/recipe/keep", Value: document.KeepRefrigerator}},
			}}
		},
	}
}

// Cure says when pickles have not stood long enough to be at their best.
func Cure() Rule {
	return Rule{
		ID: "keeping.cure", Title: "Stood as long as the recipe says before it is eaten", Severity: report.Info, Hazard: report.Quality, Since: since,
		About:   "Some pickles come to their flavor only after weeks in the closed jar. The tested recipe prints how many.",
		Sources: []catalog.Citation{catalog.Guide("p. 6-9, 6-13")},
		Remedy:  "Leave the jars closed until then.",
		Applies: func(f *facts.Facts) bool {
			_, printed := storage.CureWeeks(f)
			return printed && (f.Request.Batch != nil || f.Request.Recipe.Rest != nil)
		},
		Run: runCure,
	}
}

func runCure(f *facts.Facts) []facts.Finding {
	var findings []facts.Finding
	weeks, _ := storage.CureWeeks(f)
	if rest, given := f.SI(f.Request.Recipe.Rest); given && measure.Duration(rest).Days() < weeks[0]*storage.DaysOfWeek*(1-f.Tolerance(catalog.RestTolerance)) {
		least := measure.Duration(weeks[0]*storage.DaysOfWeek) * measure.Day
		findings = append(findings, facts.Finding{
			Outcome: report.Fail, At: "/recipe/rest",
			Message: fmt.Sprintf("“%s” stands %s to %s weeks before it is eaten.",
				f.Match.Recipe.Title, measure.FormatNumber(weeks[0]), measure.FormatNumber(weeks[1])),
			Measured: f.In(f.Request.Recipe.Rest, rest), Limit: f.In(f.Request.Recipe.Rest, float64(least)),
			Sources: []catalog.Citation{f.Match.Recipe.Citation},
		})
	}
	if f.Request.Batch == nil {
		return findings
	}
	from, _, known := storage.Cured(f)
	switch {
	case !known:
		findings = append(findings, facts.Finding{
			Outcome: report.Undetermined, At: "/batch",
			Message: "When the jars were packed is not recorded, so it is not known when they are ready.",
			Remedy:  "Say when the jars were packed (batch.packed_at).",
		})
	case !f.Times.HasAsOf:
		findings = append(findings, withoutDate("Ready from "+from.Format(time.DateOnly)+"; whether that day has come is not known."))
	case f.Times.AsOf.From.Before(from):
		findings = append(findings, facts.Finding{
			Outcome: report.Fail, At: "/as_of",
			Message: "The jars are ready from " + from.Format(time.DateOnly) + ".",
			Sources: []catalog.Citation{f.Match.Recipe.Citation},
		})
	}
	return findings
}

func withoutDate(message string) facts.Finding {
	return facts.Finding{Outcome: report.Undetermined, At: "", Message: message, Remedy: "Ask with a date (as_of)."}
}

// BestBefore says when jars from the shelf have stood longer than they are at their best.
func BestBefore() Rule {
	return Rule{
		ID: "keeping.best-before", Title: "Used within a year", Severity: report.Warning, Hazard: report.Quality, Since: since,
		About: "Canned food is best used within a year. Later it loses color, taste and firmness; what matters for safety is the seal and the signs " +
			"of spoilage.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-11")},
		Remedy:  "Use these jars first, and can no more than you use in a year.",
		Applies: func(f *facts.Facts) bool { return f.ForShelf() && f.Request.Batch != nil },
		Run: func(f *facts.Facts) []facts.Finding {
			until, known := storage.BestBefore(f)
			switch {
			case !known:
				return []facts.Finding{{
					Outcome: report.Undetermined, At: "/batch",
					Message: "When the jars were packed is not recorded, so it is not known how long they are at their best.",
					Remedy:  "Say when the jars were packed (batch.packed_at).",
				}}
			case !f.Times.HasAsOf:
				return []facts.Finding{withoutDate("Best before " + until.Format(time.DateOnly) + "; whether that day is past is not known.")}
			case !f.Times.AsOf.From.Before(until.AddDate(0, 0, 1)):
				return []facts.Finding{{Outcome: report.Fail, At: "/as_of", Message: "The jars were best before " + until.Format(time.DateOnly) + "."}}
			}
			return nil
		},
	}
}

// RefrigeratedUntil holds refrigerated jars to the time they keep there.
func RefrigeratedUntil() Rule {
	return Rule{
		ID: storage.RefrigeratedUntilID, Title: "Eaten from the refrigerator in time", Severity: report.Warning, Hazard: report.Pathogen,
		Since: since, CanningDay: true,
		About: "A jar that did not seal, or that is otherwise not fit for the shelf, keeps for days in the refrigerator: 3 are counted here, the " +
			"shortest of what is published. A recipe made for the refrigerator keeps as long as it prints.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-26"), {Source: "msu-extension", Locator: "2 to 3 days", Verified: catalog.Read}},
		Remedy:  "Throw away what is past its time.",
		Applies: func(f *facts.Facts) bool {
			if f.Request.Batch == nil {
				return false
			}
			_, printed := storage.RefrigeratorUntil(f)
			return printed || anyKept(f, func(k *document.Kept) bool { return k.Place == document.PlaceRefrigerator })
		},
		Run: remarked(storage.RefrigeratedUntilID),
	}
}

func anyKept(f *facts.Facts, fits func(*document.Kept) bool) bool {
	if f.Request.Batch == nil {
		return false
	}
	for i := range f.Request.Batch.Jars {
		for k := range f.Request.Batch.Jars[i].Kept {
			if fits(&f.Request.Batch.Jars[i].Kept[k]) {
				return true
			}
		}
	}
	return false
}

// StorageTemperature holds the shelf to the warmest that canned food is stored at.
func StorageTemperature() Rule {
	return Rule{
		ID: "keeping.storage-temperature", Title: "Stored no warmer than 95 °F", Severity: report.Warning, Hazard: report.Spoilage, Since: since,
		About: "Sealed jars are stored cool, best between 50 and 70 °F (10 and 21 °C) and never above 95 °F (35 °C): near hot pipes, a stove or under " +
			"a roof food loses quality within weeks and may spoil.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-6, 1-11, 1-26")},
		Remedy:  "Move the jars to a cool, dark, dry place, look them over for signs of spoilage, and use them first.",
		Applies: func(f *facts.Facts) bool {
			return anyKept(f, func(k *document.Kept) bool { return k.Place == document.PlaceRoom && k.Temperature != nil })
		},
		Run: func(f *facts.Facts) []facts.Finding {
			var findings []facts.Finding
			warmest, limit := f.Limit("storage-max")
			for i := range f.Request.Batch.Jars {
				jar := &f.Request.Batch.Jars[i]
				for k := range jar.Kept {
					kept := &jar.Kept[k]
					if si, given := f.SI(kept.Temperature); given && kept.Place == document.PlaceRoom && si > warmest+f.Tolerance(catalog.PantryTolerance) {
						findings = append(findings, facts.Finding{
							Outcome: report.Fail, At: fmt.Sprintf("/batch/jars/%d/kept/%d/temperature", i, k),
							Message:  fmt.Sprintf("Jar %q stood warmer than %s °F.", jar.ID, measure.FormatNumber(limit.Value)),
							Measured: f.In(kept.Temperature, si), Limit: f.In(kept.Temperature, warmest),
						})
					}
				}
			}
			return findings
		},
	}
}

// ListeriaCold keeps pickles that were never heated in the jar cold all the time.
func ListeriaCold() Rule {
	return Rule{
		ID: storage.ListeriaColdID, Title: "Unheated pickles cold all the time", Severity: report.Warning, Hazard: report.Pathogen,
		Since: since, CanningDay: true,
		About: "Listeria was found to live for weeks in refrigerator pickles that were never heated, and grows faster the warmer they stand. " +
			"They are kept at 40 °F (4 °C) or colder from the start.",
		Sources: []catalog.Citation{
			{Source: "jfp-2005", Verified: catalog.Read},
			{Source: "nchfp", Locator: "2004, on home-fermented refrigerator dills", Verified: catalog.Read},
		},
		Remedy:  "Keep them at 40 °F (4 °C) or colder, and record it (kept).",
		Applies: func(f *facts.Facts) bool { return f.Request.Batch != nil && !f.ForShelf() },
		Run:     remarked(storage.ListeriaColdID),
	}
}
