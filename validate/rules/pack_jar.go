package rules

import (
	"fmt"
	"math"

	"jarwright/validate/catalog"
	"jarwright/validate/facts"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// reckonedHere is the model of a jar that these rules go by.
func reckonedHere(section string) catalog.Citation {
	return catalog.Citation{Source: "jar-that-results", Locator: section, Verified: catalog.Derived}
}

// inPieces is the Applies of a rule about pieces under a liquid, whose tested recipe is judged by the jar.
func inPieces(f *facts.Facts) bool { return f.Matched() && f.Match.InPieces() }

// FoodPerJar demands no more food in a jar than the printed jar holds.
func FoodPerJar() Rule {
	return Rule{
		ID: match.RuleFoodPerJar, Title: "Food in a jar no more than printed", Severity: report.Error, Hazard: report.Botulism, Since: sinceJar,
		About: "Pieces that are packed tighter leave room for less of the liquid, and so for less acid. A jar holds at most what the tested recipe puts " +
			"into each of " +
			"its fewest jars, by capacity; each low-acid food keeps its share, or its printed weight. A little more was not tested; a fifth more is another pack.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-28"), reckonedHere("food in a jar")},
		Remedy:  "Fill more jars, or use less of the food.",
		Figures: []string{"food_in_jar", "acid_of_jar", "equilibrium_ph"},
		Applies: inPieces,
		Run:     func(f *facts.Facts) []facts.Finding { return departed(f, match.RuleFoodPerJar) },
	}
}

// LiquidForFood demands the printed proportion of liquid where food takes up acid in the pot.
func LiquidForFood() Rule {
	return Rule{
		ID: match.RuleLiquidForFood, Title: "Liquid enough for the food", Severity: report.Warning, Hazard: report.Pathogen, Since: sinceJar,
		About: "Food that is simmered or stands in its liquid takes up acid there. Where it lies in it for long, the liquid is as much for the food as " +
			"printed; where it is heated " +
			"for a few minutes, half of that is enough. What is poured over raw pieces only has to fill the jars. A jar with less liquid than the printed one " +
			"that is packed as closely was not tested.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-28"), reckonedHere("food heated in its liquid")},
		Remedy:  "Make as much liquid as the tested recipe prints.",
		Figures: []string{"acid_of_jar", "equilibrium_ph"},
		Applies: inPieces,
		Run:     func(f *facts.Facts) []facts.Finding { return departed(f, match.RuleLiquidForFood) },
	}
}

// SweetenedLiquid says where sugar makes the liquid weaker than any printed pair of recipes.
func SweetenedLiquid() Rule {
	return Rule{
		ID: match.RuleSweetened, Title: "Sugar that thins the liquid", Severity: report.Warning, Hazard: report.Pathogen, Since: sinceJar,
		About: "Sugar may soften sourness, as published. It takes up room in the liquid all the same, so that a jar filled with it holds less acid. Recipes " +
			"that are printed " +
			"with and without sugar differ by a seventh; more was not tested in pieces under a liquid.",
		Sources: []catalog.Citation{catalog.Guide("p. 6-15, 6-32"), reckonedHere("sugar")},
		Remedy:  "Use less sugar, or more of the vinegar and the other liquids in the tested proportion.",
		Figures: []string{"acid_of_brine", "acid_of_jar", "equilibrium_ph"},
		Applies: inPieces,
		Run:     func(f *facts.Facts) []facts.Finding { return departed(f, match.RuleSweetened) },
	}
}

// MetricJar says where the jar is the metric one sold in place of the largest that is printed.
func MetricJar() Rule {
	return Rule{
		ID: match.RuleMetricJar, Title: "Metric jar a little larger than printed", Severity: report.Warning, Hazard: report.Pathogen, Since: sinceJar,
		About: "A jar of 500 mL is sold in place of a pint and holds 6 % more. It takes the minutes of the next larger printed jar, a quart. Where none is " +
			"printed nobody has " +
			"tested it, though its middle heats nearly as fast.",
		Sources: []catalog.Citation{{Source: "nchfp", Locator: "note on jar sizes", Verified: catalog.Read}, catalog.Guide("p. 1-22")},
		Remedy:  "Use a jar of the printed size or a smaller one.",
		Figures: []string{"fill_volume"},
		Applies: matched,
		Run:     func(f *facts.Facts) []facts.Finding { return departed(f, match.RuleMetricJar) },
	}
}

// BrineEnough demands liquid enough to fill the jars.
func BrineEnough() Rule {
	return Rule{
		ID: match.RuleBrineEnough, Title: "Liquid enough for the jars", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About: "A jar that is not filled up with its liquid has too little acid for its food, and one filled up with water still less. What the recipe " +
			"makes is compared with " +
			"what its jars surely take: what the printed jar gets when the most are filled, or all the room beside the pieces where that is less.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-28"), reckonedHere("liquid in a jar")},
		Remedy:  "Make more of the same liquid, in the same proportions; never stretch it with water.",
		Figures: []string{"fill_volume", "jars_filled", "brine_needed", "brine_left_over"},
		Applies: inPieces,
		Run:     func(f *facts.Facts) []facts.Finding { return departed(f, match.RuleBrineEnough) },
	}
}

// BrineSpare advises to have more liquid ready where it may just be too little.
func BrineSpare() Rule {
	return Rule{
		ID: "pack.brine-spare", Title: "A spare of the liquid", Severity: report.Warning, Hazard: report.Quality, Since: sinceJar,
		About: "Pieces leave about a third to a half of a jar to the liquid, less when they are cooked. Between what jars surely take and what they may " +
			"take there should be some " +
			"more of the same liquid at hand. How pieces pack is from memory, and foods are counted as weighed; of recipes that no printed jar is at hand for, " +
			"this is no more than a note.",
		Sources: []catalog.Citation{
			{Source: "usda-2015", Locator: "p. 6-15, 6-32", Verified: catalog.Read},
			{Source: "memory", Locator: "how pieces pack", Verified: catalog.Recalled},
		},
		Remedy:  "Have more of the same liquid ready, in the same proportions; never stretch it with water.",
		Figures: []string{"fill_volume", "jars_filled", "brine_needed", "brine_left_over"},
		Applies: func(f *facts.Facts) bool {
			batch := f.Contents.Batch
			return inPieces(f) || batch != nil && batch.Pieces && batch.Poured && batch.Jars > 0 && batch.BrineML > 0
		},
		Run: runBrineSpare,
	}
}

func runBrineSpare(f *facts.Facts) []facts.Finding {
	if !inPieces(f) {
		return roughly(f)
	}
	jar := f.Match.Jar
	if !jar.Known() || !jar.Spare {
		return nil
	}
	at := "/recipe/ingredients"
	if jar.JarsSaid {
		at = "/recipe/jars"
	}
	made, most := jar.LiquidML*jar.Jars, jar.Need.High*jar.Jars
	return []facts.Finding{{
		Outcome: report.Fail, At: at,
		Message:  fmt.Sprintf("The recipe makes %s of liquid, and its jars may take %s.", kitchenVolume(f, made), kitchenVolume(f, most)),
		Remedy:   fmt.Sprintf("Have about %s more of the same liquid ready, in the same proportions; never stretch it with water.", kitchenVolume(f, most-made)),
		Measured: &report.Amount{Value: report.Rounded(made), Unit: "mL"}, Limit: &report.Amount{Value: report.Rounded(most), Unit: "mL"},
	}}
}

// shortage is the share of the liquid that may be missing without a word: a jar in eight of a usual batch need not be
// full, since printed yields are whole jars. It goes with the liquid and not with the jars, so that half a recipe gets the
// same answer. Ours, no source.
const shortage = 1.0 / 8

// roughly compares the liquid of a recipe that no printed jar is at hand for with what its jars take.
func roughly(f *facts.Facts) []facts.Finding {
	batch := f.Contents.Batch
	needed, ok := batch.BrineNeededML()
	short := needed.Value - batch.BrineML
	if !ok || short <= needed.Value*shortage {
		return nil
	}
	return []facts.Finding{{
		Outcome: report.Fail, Severity: report.Info, At: "/recipe/jars",
		Message: fmt.Sprintf("The recipe makes about %s of liquid; %s jars take about %s, so that about %s may be short.",
			kitchenVolume(f, batch.BrineML), measure.FormatNumber(batch.Jars), kitchenVolume(f, needed.Value), kitchenVolume(f, short)),
		Remedy: fmt.Sprintf("Have about %s more of the same liquid ready, in the same proportions, or fill fewer jars; never stretch it with water.",
			kitchenVolume(f, short)),
		Measured: &report.Amount{Value: report.Rounded(batch.BrineML), Unit: "mL"}, Limit: &report.Amount{Value: report.Rounded(needed.Value), Unit: "mL"},
	}}
}

// kitchenVolume says a volume in both systems, to a quarter of a cup and ten milliliters.
func kitchenVolume(f *facts.Facts, milliliters float64) string {
	cup, _ := f.Units.Lookup("cup")
	const parts = 4
	cups := max(math.Round(cup.From(milliliters/1e6)*parts), 1) / parts
	return fmt.Sprintf("%s (%.0f mL)", measure.FormatAmount(cups, "cup"), math.Round(milliliters/10)*10)
}
