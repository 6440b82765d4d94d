package card

import (
	"fmt"
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/plan"
	"jarwright/validate/report"
)

// guide cites a page of the Complete Guide to Home Canning.
func guide(locator string) catalog.Citation {
	return catalog.Citation{Source: "usda-2015", Locator: locator, Verified: catalog.Read}
}

func (b *builder) step(title, text string, sources ...catalog.Citation) {
	if sources == nil {
		sources = []catalog.Citation{}
	}
	b.card.Steps = append(b.card.Steps, Step{Title: title, Text: text, Sources: sources})
}

// steps are in the order of the work. A recipe that is not fit has none: what it would say must not be followed.
func (b *builder) steps() {
	if h := b.request.Recipe.Headspace; h != nil && h.Value != nil {
		if unit, ok := b.writer.units.Lookup(h.Unit); ok {
			length := measure.Length(unit.SI(*h.Value))
			b.card.Headspace = fmt.Sprintf("%sch (%.0f mm)", measure.FormatInches(length), length.Millimeters())
		}
	}
	if !b.card.Fit {
		return
	}
	b.jarsStep()
	b.foodStep()
	b.liquidStep()
	b.fillStep()
	if b.processed() {
		b.processStep()
		b.step("Cool and check", coolText, guide("p. 1-18, 1-25, 1-26"))
		return
	}
	b.step("Cool", "Let the jars cool and put them into the refrigerator at once.")
}

const coolText = "Leave the jars standing in the canner for five minutes with the heat off and the lid off. Lift them out straight, " +
	"set them apart on a towel out of drafts, and let them cool for 12 to 24 hours. Then press each lid: it must stay down. " +
	"A jar that has not sealed is reprocessed within 24 hours with a new lid, or goes into the refrigerator."

func (b *builder) jarsStep() {
	below := b.writer.tables.MustLimit("sterile-jars-below")
	if !b.processed() {
		b.step("Jars", "Wash the jars and lids in hot soapy water and rinse them well.", guide("p. 1-14"))
		return
	}
	text := "Wash the jars and keep them hot; use new lids."
	short := false
	for _, band := range b.card.Times {
		short = short || band.Minutes < below.Value
	}
	if short || b.request.Recipe.JarPreparation == document.JarsSterilized {
		const form = "Wash the jars and use new lids. Sterilize the jars where the time in the canner is less than %s minutes: boil them " +
			"under water for 10 minutes, and 1 minute more for each further 1,000 ft (305 m) above 1,000 ft (305 m). Keep them hot."
		text = fmt.Sprintf(form, measure.FormatNumber(below.Value))
	}
	b.step("Jars", text, guide("p. 1-14"))
}

// withForm is how a step names the food of one line.
func withForm(in *plan.Ingredient) string {
	text := in.Item
	if in.Form != "" {
		text += " (" + in.Form + ")"
	}
	return text
}

func (b *builder) foodStep() {
	var foods, drained []string
	for i := range b.card.Ingredients {
		in := &b.card.Ingredients[i]
		line := b.lineAt(in.At)
		switch {
		case b.comp.Lines[line].IsFood():
			foods = append(foods, withForm(in))
		case in.Drained && in.Batch != nil:
			drained = append(drained, in.Batch.Household.Text+" ("+in.Batch.Metric.Text+") "+in.Item)
		}
	}
	text := "Wash and prepare: " + strings.Join(foods, "; ") + "."
	var sources []catalog.Citation
	if b.tested != nil {
		sources = append(sources, b.tested.Citation)
		for _, soak := range b.tested.Soaks {
			text += " " + soakText(&soak)
		}
		if b.tested.Preparation != "" {
			text += " Cooking: " + b.tested.Preparation + "."
		}
	}
	for i := range b.request.Recipe.Ingredients {
		if rinses := b.request.Recipe.Ingredients[i].Rinses; rinses != nil {
			text += fmt.Sprintf(" Rinse the lime off %s times, with an hour in fresh water each time.", measure.FormatNumber(*rinses))
		}
	}
	if len(drained) > 0 {
		text += " Used on the way and poured away or taken out: " + strings.Join(drained, "; ") + "."
	}
	b.step("Food", text, sources...)
	b.fermentSteps()
}

// fermentSteps are the printed conditions of a ferment, each as an alternative to the first.
func (b *builder) fermentSteps() {
	if b.request.Recipe.Kind != document.KindFermented || b.tested == nil || b.tested.Ferment == nil {
		return
	}
	for i, c := range b.tested.Ferment.Conditions {
		lowC, highC := (c.TemperatureF[0]-32)/1.8, (c.TemperatureF[1]-32)/1.8
		text := fmt.Sprintf("Ferment under the brine for %s weeks at %s °F (%.0f to %.0f °C).", between(c.Weeks), between(c.TemperatureF), lowC, highC)
		if i > 0 {
			text = strings.Replace(text, "Ferment", "Or ferment", 1)
		}
		b.step("Ferment", text, b.tested.Citation)
	}
}

func soakText(soak *catalog.Soak) string {
	text := "Soak: " + soak.What
	switch {
	case soak.Hours[1] > 0:
		text += ", " + between(soak.Hours) + " hours"
	case soak.Minutes[1] > 0:
		text += ", " + between(soak.Minutes) + " minutes"
	}
	if soak.Repeats > 1 {
		text += fmt.Sprintf(", %d times", soak.Repeats)
	}
	if soak.Drained {
		text += "; drain"
	}
	if soak.Rinsed {
		text += ", rinse"
	}
	if soak.Note != "" {
		text += " (" + soak.Note + ")"
	}
	return text + "."
}

// lineAt is the index of a line by its pointer; the card's lines are all of the recipe's.
func (b *builder) lineAt(at string) int {
	for i := range b.comp.Lines {
		if b.comp.Lines[i].At == at {
			return i
		}
	}
	return 0
}

func (b *builder) liquidStep() {
	var parts []string
	for i := range b.card.Ingredients {
		in := &b.card.Ingredients[i]
		line := &b.comp.Lines[b.lineAt(in.At)]
		switch line.Class {
		case catalog.Acid, catalog.Water, catalog.Salt, catalog.Sugar, catalog.Sweetener:
			if !in.Drained && !in.PerJar {
				parts = append(parts, in.Item)
			}
		}
	}
	if len(parts) == 0 {
		return
	}
	list := strings.Join(parts, ", ")
	switch b.request.Recipe.Kind {
	case document.KindRelish, document.KindSauce, document.KindFruit:
		b.step("Cook", "Cook everything together with the "+list+" as said above, and keep it hot.")
	case document.KindFermented:
		b.step("Brine", "Use the "+list+" for the brine.")
	default:
		verb := "Bring to a boil, stirring until all is dissolved: "
		if b.request.Recipe.Pack == document.PackCold {
			verb = "Stir until all is dissolved: "
		}
		text := verb + list + "."
		if b.request.Recipe.Pack == document.PackHot {
			text += " Heat the food in it."
		}
		b.step("Brine", text)
	}
}

func (b *builder) fillStep() {
	text := "Raw pack: fill the raw food into hot jars"
	switch b.request.Recipe.Pack {
	case document.PackHot:
		text = "Hot pack: fill the hot food into hot jars"
	case document.PackCold:
		text = "Fill the food into the jars"
	}
	var each []string
	for i := range b.card.Ingredients {
		in := &b.card.Ingredients[i]
		if in.PerJar && !in.Drained && in.Jar != nil {
			each = append(each, in.Jar.Household.Text+" "+in.Item)
		}
	}
	if len(each) > 0 {
		text += ", with " + strings.Join(each, ", ") + " in each jar"
	}
	switch b.request.Recipe.Kind {
	case document.KindRelish, document.KindSauce:
	default:
		text += ", and cover it with the liquid"
	}
	if b.card.Headspace != "" {
		text += ", leaving a headspace of " + b.card.Headspace
	}
	if b.tested != nil {
		for i := range b.tested.Packs {
			pack := &b.tested.Packs[i]
			if pack.Pack == b.request.Recipe.Pack && pack.SolidsHeadspaceIn > pack.HeadspaceIn {
				text += fmt.Sprintf(" above the liquid and %s above the food", measure.FormatInches(measure.Length(pack.SolidsHeadspaceIn)*measure.Inch))
				break
			}
		}
	}
	text += ". Let out the air bubbles, check the headspace again, wipe the rims, and close the jars finger-tight."
	b.step("Fill", text, guide("p. 1-13, 1-16"))
}

func (b *builder) processStep() {
	if b.lowTemperature() {
		const text = "Set the jars into warm water, cover them by 1 in (25 mm), and hold the water between 180 and 185 °F (82 and 85 °C) " +
			"for 30 minutes, by a thermometer, the whole time. This is the same at every elevation."
		b.step("Heat", text, guide("p. 6-5"))
		return
	}
	where := "in boiling water"
	start := "Keep at least " + b.waterWords() + ". Start the time at a full boil with the lid on; if the boil stops, bring it back and start the " +
		"whole time again."
	sources := []catalog.Citation{guide("p. 1-18, 1-22")}
	if b.method() == document.MethodSteam {
		where = "in a steam canner"
		start = "Start the time when steam comes freely at the boil of your elevation, never open the canner before it is over, and do not use " +
			"it for times over 45 minutes."
		sources = []catalog.Citation{b.writer.tables.MustLimit("steam-time-max").Citation}
	}
	var times []string
	for _, band := range b.card.Times {
		times = append(times, measure.FormatNumber(band.Minutes)+" minutes at "+bandWords(band))
	}
	for _, id := range b.report.Process.Schedules {
		if row, ok := b.writer.tables.Schedule(id); ok {
			sources = append(sources, row.Citation)
		}
	}
	text := "Process " + where + ": " + strings.Join(times, ", ") + ". "
	if n := len(b.card.Times); n > 0 && b.card.Times[n-1].ToFt != nil {
		text += "No time is printed for higher kitchens: keep the jars in the refrigerator there. "
	}
	b.step("Process", text+start, sources...)
}

// waterWords is the depth of water over the lids. Where only some elevations have a time that needs the greater depth, both
// depths are named with the time from which the greater one holds.
func (b *builder) waterWords() string {
	const usual, long = "1 inch (25 mm) of water over the lids", "2 inches (50 mm) of water over the lids"
	over := b.writer.tables.MustLimit("water-over-lids-long-over").Value
	isLong := func(band report.AltitudeBand) bool { return band.Minutes > over }
	switch {
	case !slices.ContainsFunc(b.card.Times, isLong):
		return usual
	case !slices.ContainsFunc(b.card.Times, func(band report.AltitudeBand) bool { return !isLong(band) }):
		return long
	}
	return usual + ", and 2 inches (50 mm) where the time is over " + measure.FormatNumber(over) + " minutes"
}

// bandWords is an elevation band in feet and meters.
func bandWords(band report.AltitudeBand) string {
	switch {
	case band.ToFt == nil:
		return fmt.Sprintf("over %s ft (%s m)", measure.Thousands(band.FromFt-1, 0), measure.Thousands(band.FromM, 0))
	case band.FromFt == 0:
		return fmt.Sprintf("0 to %s ft (0 to %s m)", measure.Thousands(*band.ToFt, 0), measure.Thousands(*band.ToM, 0))
	}
	return fmt.Sprintf("%s to %s ft (%s to %s m)",
		measure.Thousands(band.FromFt, 0), measure.Thousands(*band.ToFt, 0), measure.Thousands(band.FromM, 0), measure.Thousands(*band.ToM, 0))
}
