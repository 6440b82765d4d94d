package rules

import (
	"fmt"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// vinegars lists the lines of vinegar that matter: in the jar, or cooked with the food and poured off.
func vinegars(f *facts.Facts) []*composition.Line {
	var lines []*composition.Line
	for i := range f.Composition.Lines {
		if line := &f.Composition.Lines[i]; line.Kind != composition.NotVinegar && line.Used() {
			lines = append(lines, line)
		}
	}
	return lines
}

func hasVinegar(f *facts.Facts) bool { return f.ForShelf() && len(vinegars(f)) > 0 }

// VinegarStrength demands vinegar of at least 5 % acetic acid.
func VinegarStrength() Rule {
	return Rule{
		ID: "acid.vinegar-strength", Title: "Vinegar of at least 5 %", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About: "Tested recipes were tested with vinegar of 5 % acetic acid (50 grain). Some older texts accept 4 to 6 %; the newer and safer figure " +
			"is taken. Vinegar whose strength is not known may be weaker.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-28"), catalog.Guide("p. 3-19")},
		Remedy:  "Use bought vinegar labeled 5 % acidity.",
		Figures: []string{"acid_of_brine", "acid_of_jar", "equilibrium_ph"},
		Applies: hasVinegar,
		Run:     withWords("acid.vinegar-strength", perLine(vinegars, weakVinegar)),
	}
}

func weakVinegar(f *facts.Facts, line *composition.Line) *facts.Finding {
	limit := f.LimitAsPrinted("vinegar-acidity-min").Value
	if line.Thinned {
		return thinned(f, line)
	}
	if line.Acidity == nil {
		return &facts.Finding{
			Outcome: report.Undetermined, At: line.At, Changes: f.Tables.ChangesOn(catalog.UnknownVinegar),
			Message: "The strength of the " + line.Name + " is not given. Weaker vinegar would leave too little acid in the jar.",
			Remedy:  "Read the acidity off the label and give it (acidity_percent); it must be at least 5 %.",
		}
	}
	if *line.Acidity >= limit {
		return nil
	}
	if line.InWords {
		return &facts.Finding{ // without a fix: another figure would leave the words as they are
			Outcome: report.Fail, At: line.At + "/form", Changes: f.Tables.ChangesOn(catalog.WeakVinegar),
			Message: fmt.Sprintf("The words of the %s say %s %% acid; tested recipes need at least %s %%.",
				line.Name, measure.FormatNumber(*line.Acidity), measure.FormatNumber(limit)),
			Measured: percent(*line.Acidity), Limit: percent(limit),
			Remedy: "Use vinegar of 5 % in the same volume, and say what its label says.",
		}
	}
	return &facts.Finding{
		Outcome: report.Fail, At: line.At + "/acidity_percent", Changes: f.Tables.ChangesOn(catalog.WeakVinegar),
		Message: fmt.Sprintf("The %s has %s %% acid; tested recipes need at least %s %%.",
			line.Name, measure.FormatNumber(*line.Acidity), measure.FormatNumber(limit)),
		Measured: percent(*line.Acidity), Limit: percent(limit),
		Remedy: "Use vinegar of 5 % in the same volume. Jars already made with weaker vinegar: within 24 hours put them into the " +
			"refrigerator, later throw them away.",
		Fix: []report.Operation{{Op: "add", Path: line.At + "/acidity_percent", Value: limit}},
	}
}

func percent(value float64) *report.Amount { return &report.Amount{Value: value, Unit: "percent"} }

// thinned is the finding on an acid that has less in it than its label says.
func thinned(f *facts.Facts, line *composition.Line) *facts.Finding {
	return &facts.Finding{
		Outcome: report.Fail, At: line.At + "/form", Changes: f.Tables.ChangesOn(catalog.OtherProportions, catalog.MoreWater),
		Message: "The " + line.Name + " is thinned or was used before, so that it holds less acid than its label says.",
		Remedy:  "Take it straight from the bottle, in the full amount of the tested recipe; water has a line of its own.",
	}
}

// VinegarOrigin demands bought white distilled or cider vinegar.
func VinegarOrigin() Rule {
	return Rule{
		ID: "acid.vinegar-origin", Title: "Bought white or cider vinegar", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About: "The strength of homemade vinegar varies from batch to batch. Wine vinegars, diluted pickling bases and cleaning vinegars are not for " +
			"canning; other kinds were not tested. White distilled, cider and malt vinegar of the printed strength may stand in for each other.",
		Sources: []catalog.Citation{
			catalog.Guide("p. 1-28"),
			catalog.Guide("p. 3-19"),
			{Source: "wisconsin-extension", Locator: "2023", Verified: catalog.Read},
			{Source: "minnesota-extension", Locator: "August 2010, as printed in a newspaper: other kinds only where one is sure of their acid", Verified: catalog.Read},
		},
		Remedy:  "Use bought white distilled or cider vinegar of 5 %.",
		Figures: []string{"acid_of_brine", "acid_of_jar"},
		Applies: hasVinegar,
		Run:     perLine(vinegars, strangeVinegar),
	}
}

func strangeVinegar(f *facts.Facts, line *composition.Line) *facts.Finding {
	most := f.LimitAsPrinted("vinegar-acidity-usual-max").Value
	plain := report.Operation{Op: "replace", Path: line.At + "/item", Value: "vinegar"}
	withoutForm := report.Operation{Op: "add", Path: line.At + "/form", Value: ""}
	bought := report.Operation{Op: "add", Path: line.At + "/bottled", Value: true}
	if line.Kind == composition.HomemadeVinegar {
		return &facts.Finding{
			Outcome: report.Fail, At: line.At + "/item", Changes: f.Tables.ChangesOn(catalog.HomemadeVinegar),
			Message: "The vinegar is homemade; its strength varies and cannot be relied on.",
			Fix:     []report.Operation{plain, withoutForm, bought},
		}
	}
	if line.Kind == composition.OtherVinegar {
		return &facts.Finding{
			Outcome: report.Fail, At: line.At + "/item", Changes: f.Tables.ChangesOn(catalog.OtherVinegar),
			Message: measure.Capital(line.Name) + " is not one of the vinegars recipes were tested with.",
			Fix:     []report.Operation{plain, withoutForm},
		}
	}
	if line.Bottled != nil && !*line.Bottled {
		return &facts.Finding{
			Outcome: report.Fail, At: line.At + "/bottled", Changes: f.Tables.ChangesOn(catalog.HomemadeVinegar),
			Message: "The vinegar was not bought bottled; the strength of homemade vinegar varies.",
			Fix:     []report.Operation{bought},
		}
	}
	if line.Acidity != nil && *line.Acidity > most {
		return &facts.Finding{ // without a fix: a lower figure would be as strong as tested, but a fix never weakens acid
			Outcome: report.Fail, At: line.At + "/acidity_percent", Changes: f.Tables.ChangesOn(catalog.OtherVinegar),
			Message: fmt.Sprintf("Vinegar of %s %% is a cleaning vinegar or a concentrate, not one that recipes were tested with.",
				measure.FormatNumber(*line.Acidity)),
			Measured: percent(*line.Acidity), Limit: percent(most),
		}
	}
	if line.Bottled != nil {
		return nil
	}
	return &facts.Finding{
		Outcome: report.Undetermined, At: line.At, Changes: f.Tables.ChangesOn(catalog.HomemadeVinegar),
		Message: "The recipe does not say whether the " + line.Name + " was bought. The strength of homemade vinegar varies.",
		Remedy:  "Say that the vinegar was bought (bottled: true), or buy some.",
	}
}

// juiceItems are the juices that recipes are acidified with.
var juiceItems = []string{"lemon-juice", "lime-juice", "key-lime-juice"}

func juices(f *facts.Facts) []*composition.Line {
	var lines []*composition.Line
	for i := range f.Composition.Lines {
		line := &f.Composition.Lines[i]
		if line.Item != nil && line.Used() && slices.Contains(juiceItems, line.Item.ID) {
			lines = append(lines, line)
		}
	}
	return lines
}

// JuiceBottled demands bottled lemon and lime juice, whose acidity the maker controls.
func JuiceBottled() Rule {
	return Rule{
		ID: "acid.juice-bottled", Title: "Bottled lemon or lime juice", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About:   "Fresh lemons and limes differ in acidity; bottled juice is made to one strength. Key lime juice is not accepted, bottled or not.",
		Sources: []catalog.Citation{catalog.Guide("p. 3-5"), catalog.Guide("p. 3-19")},
		Remedy:  "Use bottled juice in the same amount.",
		Figures: []string{"acid_of_jar", "equilibrium_ph"},
		Applies: func(f *facts.Facts) bool { return f.ForShelf() && len(juices(f)) > 0 },
		Run:     withWords("acid.juice-bottled", perLine(juices, freshJuice)),
	}
}

func freshJuice(f *facts.Facts, line *composition.Line) *facts.Finding {
	bottled := report.Operation{Op: "add", Path: line.At + "/bottled", Value: true}
	if line.Item.ID == "key-lime-juice" {
		return &facts.Finding{
			Outcome: report.Fail, At: line.At + "/item", Changes: f.Tables.ChangesOn(catalog.KeyLimeJuice),
			Message: "Key lime juice was not accepted in any tested recipe.", Remedy: "Use bottled lemon or lime juice in the same amount.",
			Fix: []report.Operation{{Op: "replace", Path: line.At + "/item", Value: "lime juice"}, bottled},
		}
	}
	if line.Thinned {
		return thinned(f, line)
	}
	if line.Bottled == nil {
		return &facts.Finding{
			Outcome: report.Undetermined, At: line.At, Changes: f.Tables.ChangesOn(catalog.FreshJuice),
			Message: "The recipe does not say whether the " + line.Name + " is bottled. The acidity of fresh juice varies.",
			Remedy:  "Use bottled juice and say so (bottled: true).",
		}
	}
	if *line.Bottled {
		return nil
	}
	finding := facts.Finding{
		Outcome: report.Fail, At: line.At, Changes: f.Tables.ChangesOn(catalog.FreshJuice),
		Message: measure.Capital(line.Name) + " is fresh; its acidity varies from fruit to fruit.",
		Fix:     []report.Operation{bottled},
	}
	if line.Written.Bottled != nil {
		finding.At = line.At + "/bottled"
	}
	if line.Written.Form != "" {
		finding.Fix = append(finding.Fix, report.Operation{Op: "replace", Path: line.At + "/form", Value: "bottled"})
	}
	return &finding
}

func limes(f *facts.Facts) []*composition.Line {
	var lines []*composition.Line
	for i := range f.Composition.Lines {
		if line := &f.Composition.Lines[i]; line.Item != nil && line.Item.ID == "pickling-lime" && line.Used() {
			lines = append(lines, line)
		}
	}
	return lines
}

// LimeRinsed demands that pickling lime, a base, is soaked out again.
func LimeRinsed() Rule {
	return Rule{
		ID: "acid.lime-rinsed", Title: "Pickling lime rinsed out", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About: "Pickling lime neutralizes acid. Where a tested recipe uses it, the lime water is drained and the food is rinsed and soaked for an " +
			"hour in fresh water three times. In other recipes it was not tested.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-28"), catalog.Guide("p. 6-9"), catalog.Guide("p. 6-23")},
		Remedy:  "Drain the lime water, then rinse and soak in fresh water for an hour, three times.",
		Figures: []string{"acid_of_jar", "equilibrium_ph"},
		Applies: func(f *facts.Facts) bool { return f.ForShelf() && len(limes(f)) > 0 },
		Run:     perLine(limes, limeLeft),
	}
}

func limeLeft(f *facts.Facts, line *composition.Line) *facts.Finding {
	least := f.LimitAsPrinted("lime-rinses-min").Value
	if !f.Match.Limed {
		finding := facts.Finding{
			Outcome: report.Fail, At: line.At + "/item", Changes: f.Tables.ChangesOn(catalog.PicklingLime),
			Message: "Pickling lime is not part of the tested recipe; it neutralizes acid.",
			Remedy:  "Leave the lime out; ice or calcium chloride firms too.",
		}
		if line.State == composition.Given && f.Match.Recipe != nil {
			finding.Fix = []report.Operation{{Op: "replace", Path: line.At + "/amount/value", Value: 0.0}}
		}
		return &finding
	}
	if line.InJar {
		return &facts.Finding{
			Outcome: report.Fail, At: line.At, Changes: f.Tables.ChangesOn(catalog.LimeNotRinsed),
			Message: "The pickling lime stays in the jar, where it neutralizes the acid.",
			Fix: []report.Operation{
				{Op: "add", Path: line.At + "/drained", Value: true},
				{Op: "add", Path: line.At + "/rinses", Value: least},
			},
		}
	}
	rinses := line.Written.Rinses
	if rinses == nil {
		return &facts.Finding{
			Outcome: report.Undetermined, At: line.At, Changes: f.Tables.ChangesOn(catalog.LimeNotRinsed),
			Message: "The recipe does not say how often the food is rinsed and soaked after the lime.",
			Remedy:  "Say how many one-hour soaks in fresh water follow (rinses); it takes three.",
		}
	}
	if *rinses >= least {
		return nil
	}
	return &facts.Finding{
		Outcome: report.Fail, At: line.At + "/rinses", Changes: f.Tables.ChangesOn(catalog.LimeNotRinsed),
		Message: fmt.Sprintf("%s soaks after the lime are too few; it takes %s to get the lime out.",
			measure.FormatNumber(*rinses), measure.FormatNumber(least)),
		Measured: &report.Amount{Value: *rinses, Unit: "count"}, Limit: &report.Amount{Value: least, Unit: "count"},
		Fix: []report.Operation{{Op: "replace", Path: line.At + "/rinses", Value: least}},
	}
}

// NoAcid stops low-acid food that has no acid at all and is not fermented.
func NoAcid() Rule {
	return Rule{
		ID: "acid.no-acid", Title: "Acid in the jar", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About: "Vegetables and some fruit are low in acid. Without vinegar, bottled juice or citric acid the germ of botulism can grow in a closed jar on " +
			"the shelf; boiling water does not kill its spores.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-8"), {Source: "cfr-21-114", Locator: "114.3(b)", Verified: catalog.Read}},
		Remedy:  "Follow a tested recipe with acid, or pressure-can the food by its own published directions.",
		Figures: []string{"acid_of_jar", "equilibrium_ph"},
		Applies: func(f *facts.Facts) bool {
			return f.ForShelf() && f.Request.Recipe.Kind != document.KindFermented && slices.ContainsFunc(f.Composition.Lines, func(l composition.Line) bool {
				return l.Counts() && (l.Class == catalog.LowAcid || l.Class == catalog.Egg)
			})
		},
		Run: func(f *facts.Facts) []facts.Finding {
			for i := range f.Composition.Lines {
				if line := &f.Composition.Lines[i]; line.Class == catalog.Acid && line.Counts() {
					return nil
				}
			}
			return []facts.Finding{{
				Outcome: report.Fail, At: "/recipe/ingredients",
				Message: "There is low-acid food in the jar and no vinegar, bottled juice or citric acid.",
			}}
		},
	}
}

// PublishedRatio demands at least the acid for the food, and at most the water for the acid, of the tested recipe.
func PublishedRatio() Rule {
	return Rule{
		ID: match.RulePublishedRatio, Title: "Proportions of the tested recipe", Severity: report.Error, Hazard: report.Botulism, Since: since,
		About: "At the scale of its acid a recipe holds no more low-acid food, acid food or water than the tested one, and no more " +
			"low-acid food beside its tomatoes or fruit. More acid, less low-acid food, or more brine of the same strength are safe.",
		Sources: []catalog.Citation{catalog.Guide("p. 1-28"), catalog.Guide("p. 3-20")},
		Remedy:  "Keep the proportions of the tested recipe.",
		Figures: []string{"acid_share_of_tested", "acid_of_brine", "acid_of_jar", "acid_per_low_acid_food"},
		Applies: matched,
		Run:     func(f *facts.Facts) []facts.Finding { return departed(f, match.RulePublishedRatio) },
	}
}
