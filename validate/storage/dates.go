package storage

import (
	"fmt"
	"math"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/moment"
	"jarwright/validate/report"
	"jarwright/validate/rule"
)

// Packed is the day on which the batch was packed, in the zone of its labels; it reports false when that is not recorded.
func Packed(f *rule.Facts) (moment.Date, bool) {
	if f.Request.Batch == nil {
		return moment.Date{}, false
	}
	at, ok := moment.Parse(f.Request.Batch.PackedAt)
	return at.Date(offset(f)), ok
}

// offset is the zone of the labels, in minutes ahead of UTC.
func offset(f *rule.Facts) int {
	minutes, _ := moment.ParseOffset(f.Request.Batch.UTCOffset)
	return minutes
}

const daysOfWeek = 7

// Cured is between which days the jars have stood as long as the tested recipe prints; it reports false when it prints
// none, or when the day of packing is not recorded.
func Cured(f *rule.Facts) (from, to moment.Date, ok bool) {
	packed, known := Packed(f)
	weeks, printed := cureWeeks(f)
	if !known || !printed {
		return moment.Date{}, moment.Date{}, false
	}
	return packed.AddDays(int(weeks[0] * daysOfWeek)), packed.AddDays(int(weeks[1] * daysOfWeek)), true
}

func cureWeeks(f *rule.Facts) ([2]float64, bool) {
	if f.Match.Recipe == nil {
		return [2]float64{}, false
	}
	return f.Match.Recipe.CureWeeks, f.Match.Recipe.CureWeeks[0] > 0
}

// BestBefore is the day until which jars from the shelf are best used; it reports false when the day of packing is not
// recorded.
func BestBefore(f *rule.Facts) (moment.Date, bool) {
	packed, ok := Packed(f)
	return packed.AddMonths(int(f.Tables.MustLimit("best-before").Value)), ok
}

// RefrigeratorUntil is the last day of a recipe that is made for the refrigerator; it reports false when it prints no
// such time, or when the day of packing is not recorded.
func RefrigeratorUntil(f *rule.Facts) (moment.Date, bool) {
	packed, ok := Packed(f)
	if !ok || f.ForShelf() || f.Match.Recipe == nil || f.Match.Recipe.Refrigerator[1] == 0 {
		return moment.Date{}, false
	}
	return packed.AddMonths(int(math.Floor(f.Match.Recipe.Refrigerator[1]))), true
}

// Cure says when pickles have not stood long enough to be at their best.
func Cure() rule.Rule {
	return rule.Rule{
		ID: "keeping.cure", Title: "Stood as long as the recipe says before it is eaten", Severity: report.Info, Hazard: report.Quality, Since: since,
		About:   "Some pickles come to their flavor only after weeks in the closed jar. The tested recipe prints how many.",
		Sources: []catalog.Citation{guide("p. 6-9, 6-13")},
		Remedy:  "Leave the jars closed until then.",
		Applies: func(f *rule.Facts) bool {
			_, printed := cureWeeks(f)
			return printed && (f.Request.Batch != nil || f.Request.Recipe.Rest != nil)
		},
		Run: runCure,
	}
}

func runCure(f *rule.Facts) []rule.Finding {
	var findings []rule.Finding
	weeks, _ := cureWeeks(f)
	if rest, given := f.SI(f.Request.Recipe.Rest); given && measure.Duration(rest).Days() < weeks[0]*daysOfWeek*(1-restRounding) {
		least := measure.Duration(weeks[0]*daysOfWeek) * measure.Day
		findings = append(findings, rule.Finding{
			Outcome: report.Fail, At: "/recipe/rest", Message: fmt.Sprintf("“%s” stands %s to %s weeks before it is eaten.", f.Match.Recipe.Title, measure.FormatNumber(weeks[0]), measure.FormatNumber(weeks[1])),
			Measured: f.In(f.Request.Recipe.Rest, rest), Limit: f.In(f.Request.Recipe.Rest, float64(least)), Sources: []catalog.Citation{f.Match.Recipe.Citation},
		})
	}
	if f.Request.Batch == nil {
		return findings
	}
	from, _, known := Cured(f)
	now, asked := moment.ParseSpan(f.Request.AsOf)
	switch {
	case !known:
		findings = append(findings, rule.Finding{Outcome: report.Undetermined, At: "/batch", Message: "When the jars were packed is not recorded, so it is not known when they are ready.", Remedy: "Say when the jars were packed (batch.packed_at)."})
	case !asked:
		findings = append(findings, withoutDate("Ready from "+from.String()+"; whether that day has come is not known."))
	case now.From < from.Start(offset(f)):
		findings = append(findings, rule.Finding{Outcome: report.Fail, At: "/as_of", Message: "The jars are ready from " + from.String() + ".", Sources: []catalog.Citation{f.Match.Recipe.Citation}})
	}
	return findings
}

// restRounding lets 28 days stand for the 4 weeks of a year of 52.18. Ours, no source.
const restRounding = 0.01

func withoutDate(message string) rule.Finding {
	return rule.Finding{Outcome: report.Undetermined, At: "", Message: message, Remedy: "Ask with a date (as_of)."}
}

// BestBeforeRule says when jars from the shelf have stood longer than they are at their best.
func BestBeforeRule() rule.Rule {
	return rule.Rule{
		ID: "keeping.best-before", Title: "Used within a year", Severity: report.Warning, Hazard: report.Quality, Since: since,
		About:   "Canned food is best used within a year. Later it loses color, taste and firmness; what matters for safety is the seal and the signs of spoilage.",
		Sources: []catalog.Citation{guide("p. 1-11")},
		Remedy:  "Use these jars first, and can no more than you use in a year.",
		Applies: func(f *rule.Facts) bool { return f.ForShelf() && f.Request.Batch != nil },
		Run: func(f *rule.Facts) []rule.Finding {
			until, known := BestBefore(f)
			now, asked := moment.ParseSpan(f.Request.AsOf)
			switch {
			case !known:
				return []rule.Finding{{Outcome: report.Undetermined, At: "/batch", Message: "When the jars were packed is not recorded, so it is not known how long they are at their best.", Remedy: "Say when the jars were packed (batch.packed_at)."}}
			case !asked:
				return []rule.Finding{withoutDate("Best before " + until.String() + "; whether that day is past is not known.")}
			case now.From >= until.AddDays(1).Start(offset(f)):
				return []rule.Finding{{Outcome: report.Fail, At: "/as_of", Message: "The jars were best before " + until.String() + "."}}
			}
			return nil
		},
	}
}

// RefrigeratedUntilID is the id of the rule below; package batch makes its remarks.
const RefrigeratedUntilID = "keeping.refrigerated-until"

// RefrigeratedUntil holds refrigerated jars to the time they keep there.
func RefrigeratedUntil() rule.Rule {
	return rule.Rule{
		ID: RefrigeratedUntilID, Title: "Eaten from the refrigerator in time", Severity: report.Warning, Hazard: report.Pathogen, Since: since, OfBatch: true,
		About:   "A jar that did not seal, or that is otherwise not fit for the shelf, keeps for days in the refrigerator: 3 are counted here, the shortest of what is published. A recipe made for the refrigerator keeps as long as it prints.",
		Sources: []catalog.Citation{guide("p. 1-26"), {Source: "msu-extension", Locator: "2 to 3 days", Verified: catalog.Read}},
		Remedy:  "Throw away what is past its time.",
		Applies: func(f *rule.Facts) bool {
			if f.Request.Batch == nil {
				return false
			}
			_, printed := RefrigeratorUntil(f)
			return printed || anyKept(f, func(k *document.Kept) bool { return k.Place == document.PlaceRefrigerator })
		},
		Run: rule.Remarked(RefrigeratedUntilID),
	}
}

func anyKept(f *rule.Facts, fits func(*document.Kept) bool) bool {
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
func StorageTemperature() rule.Rule {
	return rule.Rule{
		ID: "keeping.storage-temperature", Title: "Stored no warmer than 95 °F", Severity: report.Warning, Hazard: report.Spoilage, Since: since,
		About:   "Sealed jars are stored cool, best between 50 and 70 °F (10 and 21 °C) and never above 95 °F (35 °C): near hot pipes, a stove or under a roof food loses quality within weeks and may spoil.",
		Sources: []catalog.Citation{guide("p. 1-6, 1-11, 1-26")},
		Remedy:  "Move the jars to a cool, dark, dry place, look them over for signs of spoilage, and use them first.",
		Applies: func(f *rule.Facts) bool {
			return anyKept(f, func(k *document.Kept) bool { return k.Place == document.PlaceRoom && k.Temperature != nil })
		},
		Run: func(f *rule.Facts) []rule.Finding {
			var findings []rule.Finding
			warmest, limit := f.Limit("storage-max")
			for i := range f.Request.Batch.Jars {
				jar := &f.Request.Batch.Jars[i]
				for k := range jar.Kept {
					kept := &jar.Kept[k]
					if si, given := f.SI(kept.Temperature); given && kept.Place == document.PlaceRoom && si > warmest+temperatureRounding {
						findings = append(findings, rule.Finding{
							Outcome: report.Fail, At: fmt.Sprintf("/batch/jars/%d/kept/%d/temperature", i, k), Message: fmt.Sprintf("Jar %q stood warmer than %s °F.", jar.ID, measure.FormatNumber(limit.Value)),
							Measured: f.In(kept.Temperature, si), Limit: f.In(kept.Temperature, warmest),
						})
					}
				}
			}
			return findings
		},
	}
}

// temperatureRounding, in kelvin, lets a limit in °F be written in °C. Ours, no source.
const temperatureRounding = 0.3

// ListeriaColdID is the id of the rule below; package batch makes its remarks.
const ListeriaColdID = "keeping.listeria-cold"

// ListeriaCold keeps pickles that were never heated in the jar cold all the time.
func ListeriaCold() rule.Rule {
	return rule.Rule{
		ID: ListeriaColdID, Title: "Unheated pickles cold all the time", Severity: report.Warning, Hazard: report.Pathogen, Since: since, OfBatch: true,
		About:   "Listeria was found to live for weeks in refrigerator pickles that were never heated, and grows faster the warmer they stand. They are kept at 40 °F (4 °C) or colder from the start.",
		Sources: []catalog.Citation{{Source: "jfp-2005", Verified: catalog.Read}, {Source: "nchfp", Locator: "2004, on home-fermented refrigerator dills", Verified: catalog.Read}},
		Remedy:  "Keep them at 40 °F (4 °C) or colder, and record it (kept).",
		Applies: func(f *rule.Facts) bool { return f.Request.Batch != nil && !f.ForShelf() },
		Run:     rule.Remarked(ListeriaColdID),
	}
}
