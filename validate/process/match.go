// Package process holds the rules about what is done with the filled jars: which tested process applies, by what method,
// for how long at the kitchen's elevation. Minutes come from the printed bands and are never interpolated.
package process

import (
	"fmt"

	"jarwright/validate/catalog"
	"jarwright/validate/match"
	"jarwright/validate/report"
	"jarwright/validate/rule"
)

// Ruleset since which the rules of this package exist.
const since = "2026.1"

func guide(locator string) catalog.Citation {
	return catalog.Citation{Source: "usda-2015", Locator: locator, Verified: catalog.Read}
}

// PublishedMatch demands a tested recipe that this one follows: only that can make a jar fit for the shelf.
func PublishedMatch() rule.Rule {
	return rule.Rule{
		ID: match.RulePublishedMatch, Title: "Follows a tested recipe", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About:   "A jar may stand on the shelf only when a published, tested recipe was followed in every respect that matters. The nearest tested recipe is looked up by its foods and proportions and the two are compared.",
		Sources: []catalog.Citation{guide("p. 1-28"), guide("p. 3-20")},
		Remedy:  "Follow a tested recipe, or keep the jars in the refrigerator.",
		Applies: rule.ForShelf,
		Run: func(f *rule.Facts) []rule.Finding {
			if f.Match.Recipe == nil {
				return []rule.Finding{noRecipe(f)}
			}
			findings := rule.Departed(f, match.RulePublishedMatch)
			if f.Request.Recipe.Keep == "" {
				findings = append(findings, rule.Finding{
					Outcome: report.Undetermined, At: "/recipe",
					Message: "The recipe does not say where the jars are to be kept.",
					Remedy:  "Say where the jars are kept (keep: shelf or refrigerator).",
				})
			}
			return findings
		},
	}
}

func noRecipe(f *rule.Facts) rule.Finding {
	finding := rule.Finding{
		Outcome: report.Fail, At: "/recipe/ingredients", Changes: []string{"c057"},
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
		finding.Message += fmt.Sprintf(" To show what a low-acid food takes: %s without added acid is given %s in a pressure canner, which no boiling-water canner can stand in for.", line.Name, minutes)
		finding.Sources = rule.AddSource(finding.Sources, rows[0].Citation)
		break
	}
	return finding
}
