// Package keeping holds the rules about where and how long jars are kept, and the standing cautions of every report.
package storage

import (
	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/report"
	"jarwright/validate/rule"
)

// Rule set since which the rules of this package exist.
const since = "2026.1"

func guide(locator string) catalog.Citation {
	return catalog.Citation{Source: "usda-2015", Locator: locator, Verified: catalog.Read}
}

// RefrigeratedOnly keeps recipes that were never tested for the shelf off it.
func RefrigeratedOnly() rule.Rule {
	return rule.Rule{
		ID: "keeping.refrigerated-only", Title: "Refrigerator recipes stay in the refrigerator", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About:   "Some published recipes have no process at all: they were made for the refrigerator, and heating the jars does not make them fit for a shelf.",
		Sources: []catalog.Citation{guide("p. 6-30"), {Source: "nchfp", Locator: "pickled eggs", Verified: catalog.Read}},
		Remedy:  "Keep it in the refrigerator.",
		Applies: func(f *rule.Facts) bool { return f.Match.Recipe != nil && f.Match.Recipe.Canner == "none" },
		Run: func(f *rule.Facts) []rule.Finding {
			switch f.Request.Recipe.Keep {
			case document.KeepRefrigerator:
				return nil
			case "":
				return []rule.Finding{{Outcome: report.Undetermined, At: "/recipe", Changes: []string{"c106"}, Message: "“" + f.Match.Recipe.Title + "” is for the refrigerator only, and this recipe does not say where it is kept."}}
			}
			return []rule.Finding{{
				Outcome: report.Fail, At: "/recipe/keep", Changes: []string{"c106"},
				Message: "“" + f.Match.Recipe.Title + "” is for the refrigerator only.",
				Fix:     []report.Operation{{Op: "replace", Path: "/recipe/keep", Value: document.KeepRefrigerator}},
			}}
		},
	}
}
