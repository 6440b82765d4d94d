package rules

import (
	"fmt"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// lines lists the used lines that fit.
func lines(f *facts.Facts, fits func(*composition.Line) bool) []*composition.Line {
	var found []*composition.Line
	for i := range f.Composition.Lines {
		if line := &f.Composition.Lines[i]; line.Used() && fits(line) {
			found = append(found, line)
		}
	}
	return found
}

func ofClass(class catalog.Class) func(*composition.Line) bool {
	return func(l *composition.Line) bool { return l.Class == class }
}

func counted(class catalog.Class) func(*composition.Line) bool {
	return func(l *composition.Line) bool { return l.Class == class && l.Counts() }
}

func unknown(l *composition.Line) bool { return l.Item == nil }

// aboutLines is a rule that speaks for departures from the tested recipe where the recipe has lines that fit.
func aboutLines(r Rule, fits func(*composition.Line) bool) Rule {
	r.Since = since
	r.Applies = func(f *facts.Facts) bool { return f.Matched() && len(lines(f, fits)) > 0 }
	r.Run = func(f *facts.Facts) []facts.Finding { return departed(f, r.ID) }
	return r
}

// Unknown says which items the catalog does not know; they count as low-acid food.
func Unknown() Rule {
	return Rule{
		ID: "ingredient.unknown", Title: "Every ingredient is known", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About:   "An item that the catalog does not know is read as low-acid food, the most dangerous thing it could be.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-8")},
		Remedy:  "Use a name of /v1/foods or /v1/ingredients, or leave it out.",
		Applies: forShelf,
		Run: func(f *facts.Facts) []facts.Finding {
			var findings []facts.Finding
			for _, line := range lines(f, unknown) {
				finding := facts.Finding{
					Outcome: report.Undetermined, At: line.At + "/item",
					Message: fmt.Sprintf("“%s” is not in the catalog; it is read as low-acid food.", line.Name),
				}
				if near, ok := f.Tables.NearestItem(line.Name); ok {
					finding.Remedy = fmt.Sprintf("If you mean %s, write that; otherwise leave it out.", near)
				}
				findings = append(findings, finding)
			}
			return findings
		},
	}
}

// LowAcidExtra stops low-acid food that the tested recipe does not have.
func LowAcidExtra() Rule {
	r := aboutLines(Rule{
		ID: match.RuleLowAcidExtra, Title: "No low-acid food beyond the tested recipe", Severity: report.Error, Hazard: report.Botulism,
		About:   "Every added vegetable takes up acid that was measured for the others.",
		Sources: []catalog.Citation{catalog.Guide("p. 3-20"), catalog.Guide("p. 3-21")},
		Remedy:  "Leave it out, or add it when serving.",
		Figures: []string{"acid_per_low_acid_food"},
	}, lowAcidLine)
	r.Applies = func(f *facts.Facts) bool { // a seasoning in bulk is low-acid food too
		return f.Matched() && (len(lines(f, lowAcidLine)) > 0 || len(f.Match.Departs(match.RuleLowAcidExtra)) > 0)
	}
	return r
}

func lowAcidLine(l *composition.Line) bool {
	return l.Counts() && (l.Class == catalog.LowAcid || l.Class == catalog.Egg)
}

// PouredAway stops marks that would take food, or what is mixed in, out of the jar.
func PouredAway() Rule {
	r := aboutLines(Rule{
		ID: match.RulePouredAway, Title: "Poured away only what the tested recipe pours away", Severity: report.Error, Hazard: report.Botulism,
		About: "The water, ice and salt of a soak, lime, vinegar in which food is first cooked, and a spice bag are poured away or lifted out where the " +
			"tested recipe has such a step. Elsewhere the mark has no meaning: food, fat, sugar, eggs and thickener count as in the jar, and an acid that is " +
			"poured away gives none. Each line with the mark is listed among what was assumed.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-28"), catalog.Guide("p. 3-20")},
		Remedy:  "Take the mark (drained) off if it goes into the jar; leave the line out if it does not.",
	}, func(l *composition.Line) bool { return l.Pouring != composition.NotMarked })
	r.Since = sinceSteps
	return r
}

// FreshHerb notes fresh leaves that the tested recipe does not have.
func FreshHerb() Rule {
	return aboutLines(Rule{
		ID: match.RuleFreshHerb, Title: "Fresh herbs as in the tested recipe", Severity: report.Warning, Hazard: report.Quality,
		About: "Fresh leaves are low in acid. Published guidance keeps their amount to that of the recipe and adds more when serving; dried herbs " +
			"are free.",
		Sources: []catalog.Citation{catalog.Guide("p. 3-20")},
		Remedy:  "Use dried herbs, or add fresh ones when serving.",
	}, counted(catalog.FreshHerb))
}

// SeasoningInBulk holds seasonings to what a tested recipe ever held of their kind.
func SeasoningInBulk() Rule {
	r := aboutLines(Rule{
		ID: match.RuleSeasoning, Title: "Seasoning, not bulk", Severity: report.Warning, Hazard: report.Botulism,
		About: "Dried spice, dried vegetables, garlic, mustard and the like season freely up to the most that any tested recipe has of them in a pint. Beyond " +
			"that they are food: a gram of spice takes up about as much acid as seven grams of vegetable, an onion dried weighs a ninth of what it was. " +
			"Sauces, extracts, syrups and brewed tea count as water and sugar.",
		Sources: []catalog.Citation{{Source: "seasoning-shares", Verified: catalog.Derived}, {Source: "fragedakis-2023", Verified: catalog.Read}},
		Remedy:  "Use less of it, or season when serving.",
		Figures: []string{"acid_per_low_acid_food"},
	}, func(l *composition.Line) bool { return l.Counts() && l.Flavoring.Kind != "" })
	r.Since = "2026.2"
	return r
}

// Fat holds fat to the tested recipe.
func Fat() Rule {
	return aboutLines(Rule{
		ID: match.RuleFat, Title: "No fat beyond the tested recipe", Severity: report.Error, Hazard: report.Botulism,
		About:   "Fat coats food, so that acid and heat reach it more slowly, and can keep a lid from sealing. Only a few tested pickles hold measured oil.",
		Sources: []catalog.Citation{{Source: "osu-extension", Verified: catalog.Read}, catalog.Guide("p. 6-14, 6-18, 6-20")},
		Remedy:  "Leave the fat out; add it when serving.",
	}, counted(catalog.Fat))
}

// Thickener holds flour and starch to the tested recipe.
func Thickener() Rule {
	return aboutLines(Rule{
		ID: match.RuleThickener, Title: "No thickener beyond the tested recipe", Severity: report.Error, Hazard: report.Botulism,
		About:   "A thickened jar heats more slowly than the one that was tested.",
		Sources: []catalog.Citation{catalog.Guide("p. 3-21"), catalog.Guide("p. 6-28"), catalog.Guide("p. 6-29")},
		Remedy:  "Thicken after opening the jar.",
	}, counted(catalog.Thickener))
}

// Pureed stops purees of food that was tested in pieces.
func Pureed() Rule {
	return aboutLines(Rule{
		ID: match.RulePureed, Title: "Not pureed", Severity: report.Error, Hazard: report.Botulism,
		About:   "A puree heats by conduction alone, far more slowly than pieces in brine. No process was determined for pureed vegetables.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-31")},
		Remedy:  "Leave the food in pieces; puree it when serving.",
	}, func(l *composition.Line) bool { return l.IsFood() && l.Counts() })
}

// Unsuitable stops produce in a state that the recipe was not tested with.
func Unsuitable() Rule {
	rule := aboutLines(Rule{
		ID: match.RuleUnsuitable, Title: "Sound produce, as ripe as tested", Severity: report.Error, Hazard: report.Botulism,
		About: "Tomatoes from dead or frost-killed vines and overripe fruit are lower in acid; drained tomatoes have lost their acid juice; some " +
			"recipes were tested with hard, unripe fruit only.",
		Sources: []catalog.Citation{catalog.Guide("p. 3-5"), catalog.Guide("p. 3-19"), catalog.Guide("p. 3-21")},
		Remedy:  "Use sound produce in the state the tested recipe names.",
	}, func(l *composition.Line) bool { return l.IsFood() && l.Counts() })
	rule.Run = withWords(rule.ID, rule.Run)
	return rule
}

// BlossomEnd holds cucumbers to the cut that every tested recipe asks for.
func BlossomEnd() Rule {
	return Rule{
		ID: "ingredient.blossom-end", Title: "Blossom end cut off", Severity: report.Warning, Hazard: report.Quality, Since: since,
		About: "The blossom end of a cucumber holds enzymes that soften the pickle; the tested recipes cut 1/16 inch off it. That matters for the " +
			"quality and takes nothing from the safety. What is not said is not held against a recipe.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-28")},
		Remedy:  "Cut 1/16 inch (2 mm) from the blossom end, the one away from the stem, and throw it away.",
		Applies: func(f *facts.Facts) bool { return f.ForShelf() && len(lines(f, cucumber)) > 0 },
		Run: func(f *facts.Facts) []facts.Finding {
			var findings []facts.Finding
			for _, line := range lines(f, cucumber) {
				if line.Form.KeepsBlossomEnd {
					findings = append(findings, facts.Finding{
						Outcome: report.Fail, At: line.At + "/form", Changes: f.Tables.ChangesOn(catalog.BlossomEndLeft),
						Message: "The blossom end stays on the " + line.Name + ".",
					})
				}
			}
			for i := range f.Request.Recipe.Steps {
				step := &f.Request.Recipe.Steps[i]
				if member, is := leftOut(f, step); is && step.Step == document.StepTrimBlossom {
					findings = append(findings, facts.Finding{
						Outcome: report.Fail, At: stepAt(i, member), Changes: f.Tables.ChangesOn(catalog.BlossomEndLeft),
						Message: "The blossom end stays on the cucumbers.",
					})
				}
			}
			return findings
		},
	}
}

func cucumber(l *composition.Line) bool {
	return l.Counts() && l.Item != nil && l.Item.Family == "cucumber"
}

// SaltInFerment holds a ferment to its salt.
func SaltInFerment() Rule {
	return Rule{
		ID: match.RuleSaltInFerment, Title: "Full salt in a ferment", Severity: report.Error, Hazard: report.Pathogen, Since: since,
		About: "In fermented pickles and sauerkraut the salt keeps harmful bacteria down until the acid has formed. It must not be cut, and salt with " +
			"less sodium must not stand in for it. Two sources differ on the weight of a cup of canning salt (220 or 292 g); the larger, safer one is taken.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-28"), catalog.Guide("p. 6-7")},
		Remedy:  "Use the full salt of the tested recipe, weighed.",
		Figures: []string{"salt_of_brine", "salt_of_jar"},
		Applies: func(f *facts.Facts) bool {
			if f.Match.Recipe != nil && f.Match.Recipe.Kind == document.KindFermented {
				return true
			}
			return f.Request.Recipe.Kind == document.KindFermented
		},
		Run: runSaltInFerment,
	}
}

func runSaltInFerment(f *facts.Facts) []facts.Finding {
	var findings []facts.Finding
	if f.Match.Recipe == nil {
		findings = append(findings, facts.Finding{
			Outcome: report.Undetermined, At: "/recipe/ingredients", Changes: f.Tables.ChangesOn(catalog.LessSaltInFerment),
			Message: "No tested ferment was found for this food, so the salt it needs is not known.", Remedy: "Follow a tested fermented recipe.",
		})
	} else {
		findings = departed(f, match.RuleSaltInFerment)
	}
	for _, line := range lines(f, counted(catalog.Salt)) {
		switch line.SaltKind {
		case document.SaltReducedSodium:
			findings = append(findings, facts.Finding{
				Outcome: report.Fail, At: line.At, Changes: f.Tables.ChangesOn(catalog.ReducedSodiumFerment),
				Message: "Reduced-sodium salt does not hold harmful bacteria down in a ferment.", Remedy: "Use canning or pickling salt.",
				Fix: []report.Operation{{Op: "add", Path: line.At + "/salt_kind", Value: document.SaltCanning}},
			})
		case "":
			if line.Unit.Dimension != measure.DimensionVolume {
				findings = append(findings, facts.Finding{
					Outcome: report.Undetermined, At: line.At, Changes: f.Tables.ChangesOn(catalog.ReducedSodiumFerment),
					Message: "The recipe does not say which salt goes into the ferment; reduced-sodium salt would not do.",
					Remedy:  "Say which salt it is (salt_kind).",
				})
			}
		}
	}
	return findings
}

// SaltAndSugar holds salt and sugar to the tested recipe where no published change lets there be less.
func SaltAndSugar() Rule {
	return Rule{
		ID: match.RuleSaltAndSugar, Title: "Salt and sugar as in the tested recipe", Severity: report.Error, Hazard: report.Spoilage, Since: "2026.2",
		About: "Published sources let salt be cut in fresh-pack pickles, canned tomatoes and some salsas, and sugar in quick pickles, tomato products " +
			"and canned fruit. Pickles that stand for days in brine, relishes, chutneys, butters and fruit pickles were tested with theirs, which draws water, " +
			"fills the jar and binds its water; with less they were not tested. Reduced-sodium salt is published for quick pickles only.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-28"), catalog.Guide("p. 1-31"), {Source: "wisconsin-extension", Verified: catalog.Read}},
		Remedy:  "Use the salt and sugar of the tested recipe, in proportion.",
		Applies: func(f *facts.Facts) bool {
			return f.Matched() && (f.Match.Salt().Printed || f.Match.Sugar().Printed || len(lines(f, ofClass(catalog.Salt))) > 0)
		},
		Run: func(f *facts.Facts) []facts.Finding { return departed(f, match.RuleSaltAndSugar) },
	}
}

// SaltKind notes salts that cloud the brine or taste otherwise.
func SaltKind() Rule {
	return Rule{
		ID: "ingredient.salt-kind", Title: "Kind of salt", Severity: report.Info, Hazard: report.Quality, Since: since,
		About: "Canning or pickling salt keeps the brine clear. Table salt is safe and may cloud it; reduced-sodium salt is published for quick pickles " +
			"and tastes different.",
		Sources: []catalog.Citation{catalog.Guide("p. 6-7")},
		Remedy:  "Use canning or pickling salt for a clear brine.",
		Applies: func(f *facts.Facts) bool { return len(lines(f, counted(catalog.Salt))) > 0 },
		Run: func(f *facts.Facts) []facts.Finding {
			var findings []facts.Finding
			for _, line := range lines(f, counted(catalog.Salt)) {
				switch line.SaltKind {
				case document.SaltTable:
					findings = append(findings, facts.Finding{
						Outcome: report.Fail, At: line.At, Changes: f.Tables.ChangesOn(catalog.TableSalt),
						Message: "Table salt is safe; what keeps it from caking may cloud the brine.",
					})
				case document.SaltReducedSodium:
					if f.Match.Recipe == nil || f.Tables.Allows(f.Match.Recipe, catalog.ReducedSodium) {
						findings = append(findings, facts.Finding{
							Outcome: report.Fail, At: line.At, Changes: f.Tables.ChangesOn(catalog.ReducedSodium),
							Message: "Reduced-sodium salt is safe in a quick pickle; it tastes different.",
						})
					}
				}
			}
			return findings
		},
	}
}

// Egg keeps eggs off the shelf.
func Egg() Rule {
	return Rule{
		ID: "ingredient.egg", Title: "No eggs on the shelf", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About:   "No canning process was ever tested for pickled eggs; eggs pickled and kept at room temperature have caused botulism.",
		Sources: []catalog.Citation{{Source: "nchfp", Locator: "pickled eggs", Verified: catalog.Read}},
		Remedy:  "Keep pickled eggs in the refrigerator, out of it for at most 2 hours.",
		Applies: func(f *facts.Facts) bool { return len(lines(f, counted(catalog.Egg))) > 0 },
		Run: func(f *facts.Facts) []facts.Finding {
			if !f.ForShelf() {
				return nil
			}
			var findings []facts.Finding
			for _, line := range lines(f, counted(catalog.Egg)) {
				finding := facts.Finding{
					Outcome: report.Fail, At: line.At + "/item", Changes: f.Tables.ChangesOn(catalog.CannedThoughCold),
					Message: "Eggs are never canned: no process is known that makes them safe on a shelf.",
				}
				if f.Request.Recipe.Keep != "" {
					finding.Fix = []report.Operation{{Op: "replace", Path: "/recipe/keep", Value: document.KeepRefrigerator}}
				}
				findings = append(findings, finding)
			}
			return findings
		},
	}
}

// GarlicInOil stops garlic under oil outside a tested recipe.
func GarlicInOil() Rule {
	return Rule{
		ID: "ingredient.garlic-in-oil", Title: "No garlic in oil at room temperature", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About: "Garlic under oil has no air and little acid: at room temperature it can become poisonous. In the refrigerator it keeps for a week. " +
			"Sources say 7 days, 10 days and 3 weeks; the shortest is taken.",
		Sources: []catalog.Citation{{Source: "nchfp", Locator: "from UC work of 2002", Verified: catalog.Read}},
		Remedy:  "Keep it in the refrigerator at 40 °F (4 °C) for at most 7 days, or freeze it.",
		Applies: func(f *facts.Facts) bool {
			return f.ForShelf() && len(lines(f, counted(catalog.Fat))) > 0 && len(lines(f, garlic)) > 0
		},
		Run: func(f *facts.Facts) []facts.Finding {
			if f.Match.Recipe != nil && len(f.Match.Departs(match.RuleFat)) == 0 && !f.Match.MoreOil {
				return nil
			}
			return []facts.Finding{{
				Outcome: report.Fail, At: lines(f, garlic)[0].At,
				Message: "There are garlic and oil in the jar, and no tested recipe that has both in these amounts.",
			}}
		},
	}
}

func garlic(l *composition.Line) bool {
	return l.Counts() && l.Item != nil && l.Item.Family == "garlic"
}

// needless are the firming agents that have no effect or are not needed, with the published change that says so. Whether they are
// safe in a recipe is judged by the comparison with the tested one.
var needless = []struct {
	item    string
	change  catalog.Topic
	message string
}{
	{"alum", catalog.Alum, "Alum has no effect in quick pickles and is not needed in ferments; published advice calls it safe in fermented pickles only."},
	{"grape-leaf", catalog.GrapeLeaf, "A grape leaf is not needed when the blossom end is cut off."},
}

// FirmingAgent notes firming agents that do nothing, or that do not belong into a ferment.
func FirmingAgent() Rule {
	return Rule{
		ID: "ingredient.firming-agent", Title: "Firming agents", Severity: report.Info, Hazard: report.Quality, Since: since,
		About:   "Calcium chloride firms and does not change acidity; alum and grape leaves are not needed. Lime has a rule of its own.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-28"), {Source: "iowa-extension", Locator: "2020", Verified: catalog.Read}},
		Remedy:  "Cut 1/16 inch from the blossom end and keep the food cold before packing.",
		Applies: func(f *facts.Facts) bool { return len(lines(f, ofClass(catalog.Firming))) > 0 },
		Run: func(f *facts.Facts) []facts.Finding {
			var findings []facts.Finding
			for _, line := range lines(f, ofClass(catalog.Firming)) {
				for _, n := range needless {
					if line.Item.ID == n.item {
						findings = append(findings, facts.Finding{Outcome: report.Fail, At: line.At, Changes: f.Tables.ChangesOn(n.change), Message: n.message})
					}
				}
				if line.Item.ID == "calcium-chloride" && f.Request.Recipe.Kind == document.KindFermented {
					findings = append(findings, facts.Finding{
						Outcome: report.Fail, At: line.At, Changes: f.Tables.ChangesOn(catalog.CalciumChloride),
						Message: "Calcium chloride goes into the jar, not into a fermenting crock.",
					})
				}
			}
			return findings
		},
	}
}
