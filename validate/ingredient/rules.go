// Package ingredient holds the rules about what may be in a jar: foods the tested recipe does not have, fat, thickener,
// salt, eggs, firming agents, and amounts that say too little. It judges by the tested recipe and the published changes.
package ingredient

import (
	"fmt"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/report"
	"jarwright/validate/rule"
)

// Rule set since which the rules of this package exist.
const since = "2026.1"

func guide(locator string) catalog.Citation {
	return catalog.Citation{Source: "usda-2015", Locator: locator, Verified: catalog.Read}
}

// lines lists the used lines that fit.
func lines(f *rule.Facts, fits func(*composition.Line) bool) []*composition.Line {
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

// departed is a rule that speaks for departures from the tested recipe where the recipe has lines that fit.
func departed(r rule.Rule, fits func(*composition.Line) bool) rule.Rule {
	r.Since = since
	r.Applies = func(f *rule.Facts) bool { return rule.Matched(f) && len(lines(f, fits)) > 0 }
	r.Run = func(f *rule.Facts) []rule.Finding { return rule.Departed(f, r.ID) }
	return r
}

// Unknown says which items the catalog does not know; they count as low-acid food.
func Unknown() rule.Rule {
	return rule.Rule{
		ID: "ingredient.unknown", Title: "Every ingredient is known", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About:   "An item that the catalog does not know is read as low-acid food, the most dangerous thing it could be.",
		Sources: []catalog.Citation{guide("p. 1-8")},
		Remedy:  "Use a name of /v1/foods or /v1/ingredients, or leave it out.",
		Applies: rule.ForShelf,
		Run: func(f *rule.Facts) []rule.Finding {
			var findings []rule.Finding
			for _, line := range lines(f, unknown) {
				finding := rule.Finding{Outcome: report.Undetermined, At: line.At + "/item", Message: fmt.Sprintf("“%s” is not in the catalog; it is read as low-acid food.", line.Name)}
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
func LowAcidExtra() rule.Rule {
	return departed(rule.Rule{
		ID: match.RuleLowAcidExtra, Title: "No low-acid food beyond the tested recipe", Severity: report.Error, Hazard: report.Botulism,
		About:   "Every added vegetable takes up acid that was measured for the others.",
		Sources: []catalog.Citation{guide("p. 3-20"), guide("p. 3-21")},
		Remedy:  "Leave it out, or add it when serving.",
	}, func(l *composition.Line) bool {
		return l.Counts() && (l.Class == catalog.LowAcid || l.Class == catalog.Egg)
	})
}

// FreshHerb notes fresh leaves that the tested recipe does not have.
func FreshHerb() rule.Rule {
	return departed(rule.Rule{
		ID: match.RuleFreshHerb, Title: "Fresh herbs as in the tested recipe", Severity: report.Warning, Hazard: report.Quality,
		About:   "Fresh leaves are low in acid. Published guidance keeps their amount to that of the recipe and adds more when serving; dried herbs are free.",
		Sources: []catalog.Citation{guide("p. 3-20")},
		Remedy:  "Use dried herbs, or add fresh ones when serving.",
	}, counted(catalog.FreshHerb))
}

// Fat holds fat to the tested recipe.
func Fat() rule.Rule {
	return departed(rule.Rule{
		ID: match.RuleFat, Title: "No fat beyond the tested recipe", Severity: report.Error, Hazard: report.Botulism,
		About:   "Fat coats food, so that acid and heat reach it more slowly, and can keep a lid from sealing. Only a few tested pickles hold measured oil.",
		Sources: []catalog.Citation{{Source: "osu-extension", Verified: catalog.Read}, guide("p. 6-14, 6-18, 6-20")},
		Remedy:  "Leave the fat out; add it when serving.",
	}, counted(catalog.Fat))
}

// Thickener holds flour and starch to the tested recipe.
func Thickener() rule.Rule {
	return departed(rule.Rule{
		ID: match.RuleThickener, Title: "No thickener beyond the tested recipe", Severity: report.Error, Hazard: report.Botulism,
		About:   "A thickened jar heats more slowly than the one that was tested.",
		Sources: []catalog.Citation{guide("p. 3-21"), guide("p. 6-28"), guide("p. 6-29")},
		Remedy:  "Thicken after opening the jar.",
	}, counted(catalog.Thickener))
}

// Pureed stops purees of food that was tested in pieces.
func Pureed() rule.Rule {
	return departed(rule.Rule{
		ID: match.RulePureed, Title: "Not pureed", Severity: report.Error, Hazard: report.Botulism,
		About:   "A puree heats by conduction alone, far more slowly than pieces in brine. No process was determined for pureed vegetables.",
		Sources: []catalog.Citation{guide("p. 1-31")},
		Remedy:  "Leave the food in pieces; puree it when serving.",
	}, func(l *composition.Line) bool { return l.IsFood() && l.Counts() })
}

// Unsuitable stops produce in a state that the recipe was not tested with.
func Unsuitable() rule.Rule {
	return departed(rule.Rule{
		ID: match.RuleUnsuitable, Title: "Sound produce, as ripe as tested", Severity: report.Error, Hazard: report.Botulism,
		About:   "Tomatoes from dead or frost-killed vines and overripe fruit are lower in acid; drained tomatoes have lost their acid juice; some recipes were tested with hard, unripe fruit only.",
		Sources: []catalog.Citation{guide("p. 3-5"), guide("p. 3-19"), guide("p. 3-21")},
		Remedy:  "Use sound produce in the state the tested recipe names.",
	}, func(l *composition.Line) bool { return l.IsFood() && l.Counts() })
}

// BlossomEnd holds cucumbers to the cut that every tested recipe asks for.
func BlossomEnd() rule.Rule {
	return rule.Rule{
		ID: "ingredient.blossom-end", Title: "Blossom end cut off", Severity: report.Error, Hazard: report.Quality, Since: since,
		About:   "The blossom end of a cucumber holds enzymes that soften the pickle; the tested recipes cut 1/16 inch off it. A recipe that leaves it on is not the one that was tested. What is not said is not held against a recipe.",
		Sources: []catalog.Citation{guide("p. 1-28")},
		Remedy:  "Cut 1/16 inch (2 mm) from the blossom end, the one away from the stem, and throw it away.",
		Applies: func(f *rule.Facts) bool { return f.ForShelf() && len(lines(f, cucumber)) > 0 },
		Run: func(f *rule.Facts) []rule.Finding {
			var findings []rule.Finding
			for _, line := range lines(f, cucumber) {
				if line.Form.KeepsBlossomEnd {
					findings = append(findings, rule.Finding{
						Outcome: report.Fail, At: line.At + "/form", Changes: []string{"c087"},
						Message: "The blossom end stays on the " + line.Name + ".",
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

// PieceSize holds pieces to the size that was tested.
func PieceSize() rule.Rule {
	return departed(rule.Rule{
		ID: match.RulePieceSize, Title: "Pieces no larger than tested", Severity: report.Error, Hazard: report.Pathogen,
		About:   "The printed time heats the middle of pieces of the printed size. The published guide states that the time depends on the size; that larger pieces need more is the consequence.",
		Sources: []catalog.Citation{guide("p. 1-29")},
		Remedy:  "Cut the food as the tested recipe says.",
	}, func(l *composition.Line) bool { return l.IsFood() && l.Counts() })
}

// SaltInFerment holds a ferment to its salt.
func SaltInFerment() rule.Rule {
	return rule.Rule{
		ID: match.RuleSaltInFerment, Title: "Full salt in a ferment", Severity: report.Error, Hazard: report.Pathogen, Since: since,
		About:   "In fermented pickles and sauerkraut the salt keeps harmful bacteria down until the acid has formed. It must not be cut, and salt with less sodium must not stand in for it. Two sources differ on the weight of a cup of canning salt (220 or 292 g); the larger, safer one is taken.",
		Sources: []catalog.Citation{guide("p. 1-28"), guide("p. 6-7")},
		Remedy:  "Use the full salt of the tested recipe, weighed.",
		Applies: func(f *rule.Facts) bool {
			if f.Match.Recipe != nil && f.Match.Recipe.Kind == document.KindFermented {
				return true
			}
			return f.Request.Recipe.Kind == document.KindFermented
		},
		Run: runSaltInFerment,
	}
}

func runSaltInFerment(f *rule.Facts) []rule.Finding {
	var findings []rule.Finding
	if f.Match.Recipe == nil {
		findings = append(findings, rule.Finding{
			Outcome: report.Undetermined, At: "/recipe/ingredients", Changes: []string{"c064"},
			Message: "No tested ferment was found for this food, so the salt it needs is not known.", Remedy: "Follow a tested fermented recipe.",
		})
	} else {
		findings = rule.Departed(f, match.RuleSaltInFerment)
	}
	for _, line := range lines(f, counted(catalog.Salt)) {
		switch line.SaltKind {
		case document.SaltReducedSodium:
			findings = append(findings, rule.Finding{
				Outcome: report.Fail, At: line.At, Changes: []string{"c066"},
				Message: "Reduced-sodium salt does not hold harmful bacteria down in a ferment.", Remedy: "Use canning or pickling salt.",
				Fix: []report.Operation{{Op: "add", Path: line.At + "/salt_kind", Value: document.SaltCanning}},
			})
		case "":
			if line.Unit.Dimension != measure.DimensionVolume {
				findings = append(findings, rule.Finding{
					Outcome: report.Undetermined, At: line.At, Changes: []string{"c066"},
					Message: "The recipe does not say which salt goes into the ferment; reduced-sodium salt would not do.", Remedy: "Say which salt it is (salt_kind).",
				})
			}
		}
	}
	return findings
}

// SaltKind notes salts that cloud the brine or taste otherwise.
func SaltKind() rule.Rule {
	return rule.Rule{
		ID: "ingredient.salt-kind", Title: "Kind of salt", Severity: report.Info, Hazard: report.Quality, Since: since,
		About:   "Canning or pickling salt keeps the brine clear. Table salt is safe and may cloud it; reduced-sodium salt is safe in quick pickles and tastes different.",
		Sources: []catalog.Citation{guide("p. 6-7")},
		Remedy:  "Use canning or pickling salt for a clear brine.",
		Applies: func(f *rule.Facts) bool { return len(lines(f, counted(catalog.Salt))) > 0 },
		Run: func(f *rule.Facts) []rule.Finding {
			var findings []rule.Finding
			for _, line := range lines(f, counted(catalog.Salt)) {
				switch line.SaltKind {
				case document.SaltTable:
					findings = append(findings, rule.Finding{Outcome: report.Fail, At: line.At, Changes: []string{"c067"}, Message: "Table salt is safe; what keeps it from caking may cloud the brine."})
				case document.SaltReducedSodium:
					if f.Request.Recipe.Kind != document.KindFermented {
						findings = append(findings, rule.Finding{Outcome: report.Fail, At: line.At, Changes: []string{"c065"}, Message: "Reduced-sodium salt is safe in a quick pickle; it tastes different."})
					}
				}
			}
			return findings
		},
	}
}

// Egg keeps eggs off the shelf.
func Egg() rule.Rule {
	return rule.Rule{
		ID: "ingredient.egg", Title: "No eggs on the shelf", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About:   "No canning process was ever tested for pickled eggs; eggs pickled and kept at room temperature have caused botulism.",
		Sources: []catalog.Citation{{Source: "nchfp", Locator: "pickled eggs", Verified: catalog.Read}},
		Remedy:  "Keep pickled eggs in the refrigerator, out of it for at most 2 hours.",
		Applies: func(f *rule.Facts) bool { return len(lines(f, counted(catalog.Egg))) > 0 },
		Run: func(f *rule.Facts) []rule.Finding {
			if !f.ForShelf() {
				return nil
			}
			var findings []rule.Finding
			for _, line := range lines(f, counted(catalog.Egg)) {
				finding := rule.Finding{Outcome: report.Fail, At: line.At + "/item", Changes: []string{"c106"}, Message: "Eggs are never canned: no process is known that makes them safe on a shelf."}
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
func GarlicInOil() rule.Rule {
	return rule.Rule{
		ID: "ingredient.garlic-in-oil", Title: "No garlic in oil at room temperature", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About:   "Garlic under oil has no air and little acid: at room temperature it can become poisonous. In the refrigerator it keeps for a week. Sources say 7 days, 10 days and 3 weeks; the shortest is taken.",
		Sources: []catalog.Citation{{Source: "nchfp", Locator: "from UC work of 2002", Verified: catalog.Read}},
		Remedy:  "Keep it in the refrigerator at 40 °F (4 °C) for at most 7 days, or freeze it.",
		Applies: func(f *rule.Facts) bool {
			return f.ForShelf() && len(lines(f, counted(catalog.Fat))) > 0 && len(lines(f, garlic)) > 0
		},
		Run: func(f *rule.Facts) []rule.Finding {
			if f.Match.Recipe != nil && len(f.Match.Departs(match.RuleFat)) == 0 {
				return nil
			}
			return []rule.Finding{{Outcome: report.Fail, At: lines(f, garlic)[0].At, Message: "There are garlic and oil in the jar, and no tested recipe that has both in these amounts."}}
		},
	}
}

func garlic(l *composition.Line) bool {
	return l.Counts() && l.Item != nil && l.Item.Family == "garlic"
}

// FiringAgents that are safe and without effect, by item, with the published change.
var needless = []struct{ item, change, message string }{
	{"alum", "c085", "Alum is safe but has no effect in quick pickles and is not needed in ferments."},
	{"grape-leaf", "c111", "A grape leaf is not needed when the blossom end is cut off."},
}

// FirmingAgent notes firming agents that do nothing, or that do not belong into a ferment.
func FirmingAgent() rule.Rule {
	return rule.Rule{
		ID: "ingredient.firming-agent", Title: "Firming agents", Severity: report.Info, Hazard: report.Quality, Since: since,
		About:   "Calcium chloride firms and does not change acidity; alum and grape leaves are safe and not needed. Lime has a rule of its own.",
		Sources: []catalog.Citation{guide("p. 1-28"), {Source: "iowa-extension", Locator: "2020", Verified: catalog.Read}},
		Remedy:  "Cut 1/16 inch from the blossom end and keep the food cold before packing.",
		Applies: func(f *rule.Facts) bool { return len(lines(f, ofClass(catalog.Firming))) > 0 },
		Run: func(f *rule.Facts) []rule.Finding {
			var findings []rule.Finding
			for _, line := range lines(f, ofClass(catalog.Firming)) {
				for _, n := range needless {
					if line.Item.ID == n.item {
						findings = append(findings, rule.Finding{Outcome: report.Fail, At: line.At, Changes: []string{n.change}, Message: n.message})
					}
				}
				if line.Item.ID == "calcium-chloride" && f.Request.Recipe.Kind == document.KindFermented {
					findings = append(findings, rule.Finding{Outcome: report.Fail, At: line.At, Changes: []string{"c086"}, Message: "Calcium chloride goes into the jar, not into a fermenting crock."})
				}
			}
			return findings
		},
	}
}

// SaltByVolume warns of flake salt by the spoon or cup.
func SaltByVolume() rule.Rule {
	return rule.Rule{
		ID: "measure.salt-by-volume", Title: "Flake salt by weight", Severity: report.Warning, Hazard: report.Quality, Since: since,
		About:   "A cup of flake salt weighs between 130 and 250 g, a cup of canning or table salt 220 to 292 g: only a weight says how salty the pickle will be. In fresh packs this is a matter of taste; in ferments the salt has a rule of its own.",
		Sources: []catalog.Citation{guide("p. 6-7"), {Source: "wisconsin-extension", Locator: "B2267, second-hand", Verified: catalog.Read}},
		Remedy:  "Weigh the salt and give it in grams.",
		Applies: func(f *rule.Facts) bool {
			return len(lines(f, func(l *composition.Line) bool {
				return l.Class == catalog.Salt && l.State == composition.Given && l.Unit.Dimension == measure.DimensionVolume
			})) > 0
		},
		Run: func(f *rule.Facts) []rule.Finding {
			var findings []rule.Finding
			for _, line := range lines(f, counted(catalog.Salt)) {
				flake := line.SaltKind == document.SaltKosherFlake || line.SaltKind == document.SaltSeaCoarse
				if !flake || line.State != composition.Given || line.Unit.Dimension != measure.DimensionVolume {
					continue
				}
				low, high, ok := f.Scale.GramsOfKind(line.Item, line.SaltKind, line.Value, line.Unit)
				finding := rule.Finding{Outcome: report.Fail, At: line.At + "/amount", Changes: []string{"c068"}, Message: "Flake salts differ so much in density that a spoon or cup does not say how much salt it is."}
				if ok {
					finding.Message = fmt.Sprintf("%s %s of this salt may weigh anything from %.0f to %.0f g.", measure.FormatNumber(line.Value), line.Unit.Code, low, high)
				}
				findings = append(findings, finding)
			}
			return findings
		},
	}
}

// countless are families whose pieces are so small or so alike that a count needs no size.
var countless = []string{"garlic", "clove", "bay-leaf", "cinnamon", "dill", "pepper", "peppercorn", "allspice", "egg"}

// CountWithoutSize notes produce counted without saying how big it is.
func CountWithoutSize() rule.Rule {
	return rule.Rule{
		ID: "measure.count-without-size", Title: "Counted produce says its size", Severity: report.Info, Hazard: report.Quality, Since: since,
		About:   "Six onions weigh anything from 400 to 900 g. A weight is exact; a count with a size (small, medium, large) is next best.",
		Sources: []catalog.Citation{{Source: "usda-sr", Locator: "WEIGHT table", Verified: catalog.Read}},
		Remedy:  "Give a weight, or say small, medium or large.",
		Applies: func(f *rule.Facts) bool { return len(lines(f, countedFood)) > 0 },
		Run: func(f *rule.Facts) []rule.Finding {
			var findings []rule.Finding
			for _, line := range lines(f, countedFood) {
				if line.Form.Has("small", "medium", "large", "baby", "diameter") || line.Form.LengthMM+line.Form.DiameterMM+line.LengthMM+line.BreadthMM > 0 {
					continue
				}
				findings = append(findings, rule.Finding{Outcome: report.Fail, At: line.At + "/amount", Message: measure.Capital(line.Name) + " is counted without saying how large the pieces are."})
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
func Dimension() rule.Rule {
	return rule.Rule{
		ID: "measure.dimension", Title: "Amounts can be weighed", Severity: report.Info, Hazard: report.Quality, Since: since,
		About:   "A food given by the cup or by the piece is compared by weight through published tables. Where no table has that measure, only a recipe in the same measure can be compared.",
		Sources: []catalog.Citation{{Source: "usda-sr", Locator: "WEIGHT table", Verified: catalog.Read}},
		Remedy:  "Give a weight.",
		Applies: func(f *rule.Facts) bool { return len(lines(f, measuredFood)) > 0 },
		Run: func(f *rule.Facts) []rule.Finding {
			var findings []rule.Finding
			for _, line := range lines(f, measuredFood) {
				if _, _, ok := f.Scale.Grams(line.Item, line.Form, line.Value, line.Unit); !ok {
					findings = append(findings, rule.Finding{
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
