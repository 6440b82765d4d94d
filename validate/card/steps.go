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

func guide(locator string) catalog.Citation {
	return catalog.Citation{Source: "usda-2015", Locator: locator, Verified: catalog.Read}
}

func (d *draft) step(title, text string, sources ...catalog.Citation) {
	if sources == nil {
		sources = []catalog.Citation{}
	}
	d.card.Steps = append(d.card.Steps, Step{Title: title, Text: text, Sources: sources})
}

// steps are in the order of the work. A recipe that is not fit has none: what it would say must not be followed.
func (d *draft) steps() {
	if h := d.request.Recipe.Headspace; h != nil && h.Value != nil {
		if unit, ok := d.w.units.Lookup(h.Unit); ok {
			length := measure.Length(unit.SI(*h.Value))
			d.card.Headspace = fmt.Sprintf("%sch (%.0f mm)", measure.FormatInches(length), length.Millimeters())
		}
	}
	if !d.card.Fit {
		return
	}
	d.jarsStep()
	d.foodStep()
	d.liquidStep()
	d.fillStep()
	if d.processed() {
		d.processStep()
		d.step("Cool and check", "Leave the jars standing in the canner for five minutes with the heat off and the lid off. Lift them out straight, set them apart on a towel out of drafts, and let them cool for 12 to 24 hours. Then press each lid: it must stay down. A jar that has not sealed is reprocessed within 24 hours with a new lid, or goes into the refrigerator.",
			guide("p. 1-18, 1-25, 1-26"))
		return
	}
	d.step("Cool", "Let the jars cool and put them into the refrigerator at once.")
}

func (d *draft) jarsStep() {
	below := d.w.tables.MustLimit("sterile-jars-below")
	if !d.processed() {
		d.step("Jars", "Wash the jars and lids in hot soapy water and rinse them well.", guide("p. 1-14"))
		return
	}
	text := "Wash the jars and keep them hot; use new lids."
	short := false
	for _, band := range d.card.Times {
		short = short || band.Minutes < below.Value
	}
	if short || d.request.Recipe.JarPreparation == document.JarsSterilized {
		text = fmt.Sprintf("Wash the jars and use new lids. Sterilize the jars where the time in the canner is less than %s minutes: boil them under water for 10 minutes, and 1 minute more for each further 1,000 ft (305 m) above 1,000 ft (305 m). Keep them hot.",
			measure.FormatNumber(below.Value))
	}
	d.step("Jars", text, guide("p. 1-14"))
}

// amountOf is how the card speaks of one line within a step.
func amountOf(in *plan.Ingredient) string {
	text := in.Item
	if in.Form != "" {
		text += " (" + in.Form + ")"
	}
	return text
}

func (d *draft) foodStep() {
	var foods, drained []string
	for i := range d.card.Ingredients {
		in := &d.card.Ingredients[i]
		line := d.lineAt(in.At)
		switch {
		case d.comp.Lines[line].IsFood():
			foods = append(foods, amountOf(in))
		case in.Drained && in.Batch != nil:
			drained = append(drained, in.Batch.Household.Text+" ("+in.Batch.Metric.Text+") "+in.Item)
		}
	}
	text := "Wash and prepare: " + strings.Join(foods, "; ") + "."
	var sources []catalog.Citation
	if d.tested != nil {
		sources = append(sources, d.tested.Citation)
		for _, soak := range d.tested.Soaks {
			text += " " + soakText(&soak)
		}
		if d.tested.Preparation != "" {
			text += " Cooking: " + d.tested.Preparation + "."
		}
	}
	for i := range d.request.Recipe.Ingredients {
		if rinses := d.request.Recipe.Ingredients[i].Rinses; rinses != nil {
			text += fmt.Sprintf(" Rinse the lime off %s times, with an hour in fresh water each time.", measure.FormatNumber(*rinses))
		}
	}
	if len(drained) > 0 {
		text += " Used on the way and poured away or taken out: " + strings.Join(drained, "; ") + "."
	}
	d.step("Food", text, sources...)
	if d.request.Recipe.Kind != document.KindFermented || d.tested == nil || d.tested.Ferment == nil {
		return
	}
	for i, c := range d.tested.Ferment.Conditions {
		text := fmt.Sprintf("Ferment under the brine for %s weeks at %s °F (%.0f to %.0f °C).", between(c.Weeks), between(c.TemperatureF), (c.TemperatureF[0]-32)/1.8, (c.TemperatureF[1]-32)/1.8)
		if i > 0 {
			text = strings.Replace(text, "Ferment", "Or ferment", 1)
		}
		d.step("Ferment", text, d.tested.Citation)
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
func (d *draft) lineAt(at string) int {
	for i := range d.comp.Lines {
		if d.comp.Lines[i].At == at {
			return i
		}
	}
	return 0
}

func (d *draft) liquidStep() {
	var parts []string
	for i := range d.card.Ingredients {
		in := &d.card.Ingredients[i]
		line := &d.comp.Lines[d.lineAt(in.At)]
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
	switch d.request.Recipe.Kind {
	case document.KindRelish, document.KindSauce, document.KindFruit:
		d.step("Cook", "Cook everything together with the "+list+" as said above, and keep it hot.")
	case document.KindFermented:
		d.step("Brine", "Use the "+list+" for the brine.")
	default:
		verb := "Bring to a boil, stirring until all is dissolved: "
		if d.request.Recipe.Pack == document.PackCold {
			verb = "Stir until all is dissolved: "
		}
		text := verb + list + "."
		if d.request.Recipe.Pack == document.PackHot {
			text += " Heat the food in it."
		}
		d.step("Brine", text)
	}
}

func (d *draft) fillStep() {
	text := "Raw pack: fill the raw food into hot jars"
	switch d.request.Recipe.Pack {
	case document.PackHot:
		text = "Hot pack: fill the hot food into hot jars"
	case document.PackCold:
		text = "Fill the food into the jars"
	}
	var each []string
	for i := range d.card.Ingredients {
		in := &d.card.Ingredients[i]
		if in.PerJar && !in.Drained && in.Jar != nil {
			each = append(each, in.Jar.Household.Text+" "+in.Item)
		}
	}
	if len(each) > 0 {
		text += ", with " + strings.Join(each, ", ") + " in each jar"
	}
	switch d.request.Recipe.Kind {
	case document.KindRelish, document.KindSauce:
	default:
		text += ", and cover it with the liquid"
	}
	if d.card.Headspace != "" {
		text += ", leaving a headspace of " + d.card.Headspace
	}
	if d.tested != nil {
		for i := range d.tested.Packs {
			pack := &d.tested.Packs[i]
			if pack.Pack == d.request.Recipe.Pack && pack.SolidsHeadspaceIn > pack.HeadspaceIn {
				text += fmt.Sprintf(" above the liquid and %s above the food", measure.FormatInches(measure.Length(pack.SolidsHeadspaceIn)*measure.Inch))
				break
			}
		}
	}
	text += ". Let out the air bubbles, check the headspace again, wipe the rims, and close the jars finger-tight."
	d.step("Fill", text, guide("p. 1-13, 1-16"))
}

func (d *draft) processStep() {
	if d.lowTemperature() {
		d.step("Heat", "Set the jars into warm water, cover them by 1 in (25 mm), and hold the water between 180 and 185 °F (82 and 85 °C) for 30 minutes, by a thermometer, the whole time. This is the same at every elevation.", guide("p. 6-5"))
		return
	}
	where, start := "in boiling water", "Keep at least "+d.waterWords()+". Start the time at a full boil with the lid on; if the boil stops, bring it back and start the whole time again."
	sources := []catalog.Citation{guide("p. 1-18, 1-22")}
	if d.method() == document.MethodSteam {
		where, start = "in a steam canner", "Start the time when steam comes freely at the boil of your elevation, never open the canner before it is over, and do not use it for times over 45 minutes."
		sources = []catalog.Citation{d.w.tables.MustLimit("steam-time-max").Citation}
	}
	var times []string
	for _, band := range d.card.Times {
		times = append(times, measure.FormatNumber(band.Minutes)+" minutes at "+bandWords(band))
	}
	for _, id := range d.report.Process.Schedules {
		if row, ok := d.w.tables.Schedule(id); ok {
			sources = append(sources, row.Citation)
		}
	}
	text := "Process " + where + ": " + strings.Join(times, ", ") + ". "
	if n := len(d.card.Times); n > 0 && d.card.Times[n-1].ToFt != nil {
		text += "No time is printed for higher kitchens: keep the jars in the refrigerator there. "
	}
	d.step("Process", text+start, sources...)
}

// waterWords says the depth of water over the lids. Where only some elevations need the depth of a long boil, both are said,
// so that a card read in one kitchen does not ask for more than its recipe.
func (d *draft) waterWords() string {
	const usual, long = "1 inch (25 mm) of water over the lids", "2 inches (50 mm) of water over the lids"
	over := d.w.tables.MustLimit("water-over-lids-long-over").Value
	isLong := func(band report.AltitudeBand) bool { return band.Minutes > over }
	switch {
	case !slices.ContainsFunc(d.card.Times, isLong):
		return usual
	case !slices.ContainsFunc(d.card.Times, func(band report.AltitudeBand) bool { return !isLong(band) }):
		return long
	}
	return usual + ", and 2 inches (50 mm) where the time is over " + measure.FormatNumber(over) + " minutes"
}

// bandWords says an elevation band.
func bandWords(band report.AltitudeBand) string {
	switch {
	case band.ToFt == nil:
		return fmt.Sprintf("over %s ft (%s m)", measure.Thousands(band.FromFt-1, 0), measure.Thousands(band.FromM, 0))
	case band.FromFt == 0:
		return fmt.Sprintf("0 to %s ft (0 to %s m)", measure.Thousands(*band.ToFt, 0), measure.Thousands(*band.ToM, 0))
	}
	return fmt.Sprintf("%s to %s ft (%s to %s m)", measure.Thousands(band.FromFt, 0), measure.Thousands(*band.ToFt, 0), measure.Thousands(band.FromM, 0), measure.Thousands(*band.ToM, 0))
}
