package plan

import (
	"fmt"
	"math"
	"strings"

	"jarwright/validate/altitude"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// day lays out the steps one after the other; minutes count from its start.
type day struct {
	steps []Step
	now   float64
}

func (d *day) step(id, title, text string, minutes float64, sources ...catalog.Citation) {
	d.beside(id, title, text, d.now, minutes, sources...)
	d.now += math.Ceil(minutes)
}

// beside adds a step that goes on while others do.
func (d *day) beside(id, title, text string, from, minutes float64, sources ...catalog.Citation) {
	if sources == nil {
		sources = []catalog.Citation{}
	}
	d.steps = append(d.steps, Step{ID: id, Title: title, Text: text, From: from, Minutes: math.Ceil(minutes), Sources: sources})
}

// timetable lays out the day. Only what is printed has a source; the rest are the usual hours of a kitchen, to be moved
// as the cook goes.
func (w *work) timetable(canner *Canner) []Step {
	d := &day{}
	figure := w.p.figures.Value
	w.ferment(d)
	d.step("wash", "Wash", fmt.Sprintf("Wash %s and new lids, the pots and the food. Throw out jars with nicks or cracks.", jarsWord(w.goal.jars)), figure("wash_minutes"))
	d.step("prepare", "Prepare the food", w.prepareText(), figure("prepare_minutes")+figure("prepare_minutes_per_kg")*w.foodKg())
	w.soaks(d)
	if canner != nil {
		w.process(d, canner)
	} else {
		w.cold(d)
	}
	return w.onTheClock(d)
}

// UsualMinutes is how long the work before the canner usually takes, soaks and ferments aside.
func (p *Planner) UsualMinutes(request *document.Request) float64 {
	comp := composition.Read(request, p.tables, p.scale)
	jars := 1.0
	if request.Recipe.Jars != nil {
		jars = *request.Recipe.Jars
	}
	w := &work{p: p, scaled: *request, comp: comp, base: &comp, goal: goal{factor: 1, jars: jars, perJar: 1}}
	figure := p.figures.Value
	return figure("wash_minutes") + figure("prepare_minutes") + figure("prepare_minutes_per_kg")*w.foodKg() + figure("brine_minutes") + figure("fill_minutes_per_jar")*jars
}

func (w *work) ferment(d *day) {
	if w.scaled.Recipe.Kind != document.KindFermented || w.tested == nil || w.tested.Ferment == nil || len(w.tested.Ferment.Conditions) == 0 {
		return
	}
	c := w.tested.Ferment.Conditions[0]
	text := fmt.Sprintf("Pack with the salt, keep the food under its brine, and ferment %s weeks at %s °F (%s °C), until it has soured fully. Cooler takes longer.",
		between(c.Weeks[0], c.Weeks[1]), between(c.TemperatureF[0], c.TemperatureF[1]), between(math.Round((c.TemperatureF[0]-32)/1.8), math.Round((c.TemperatureF[1]-32)/1.8)))
	d.step("ferment", "Ferment", text, c.Weeks[1]*7*minutesPerDay, w.tested.Citation)
}

func between(low, high float64) string {
	if low == high || high == 0 {
		return measure.FormatNumber(low)
	}
	return measure.FormatNumber(low) + " to " + measure.FormatNumber(high)
}

func (w *work) prepareText() string {
	var foods []string
	for i := range w.comp.Lines {
		line := &w.comp.Lines[i]
		if !line.IsFood() || !line.Used() {
			continue
		}
		text := line.Name
		if line.State == composition.Given {
			text = w.p.both(line, w.exact(i)*times(line, w.goal.jars), side(line, &w.scaled.Recipe), slack(line)).Household.Text + " " + text
		}
		if line.Written.Form != "" {
			text += " (" + line.Written.Form + ")"
		}
		foods = append(foods, text)
	}
	text := strings.Join(foods, "; ") + "."
	if w.tested != nil && w.tested.Preparation != "" {
		text += " In the tested recipe: " + w.tested.Preparation + "."
	}
	return text
}

// foodKg is the weight of the food, as far as it can be weighed.
func (w *work) foodKg() float64 {
	grams := 0.0
	for i := range w.comp.Lines {
		line := &w.comp.Lines[i]
		if !line.IsFood() || line.State != composition.Given {
			continue
		}
		if low, high, ok := w.p.weigh(line, w.exact(i)*times(line, w.goal.jars)); ok {
			grams += (low + high) / 2
		}
	}
	return grams / 1e3
}

func (w *work) soaks(d *day) {
	if w.tested == nil || w.report.Process == nil || !w.report.Process.Matched {
		return
	}
	for _, soak := range w.tested.Soaks {
		minutes, hours := soak.Minutes[0], soak.Hours
		if hours[0] > 0 {
			minutes = hours[0] * minutesPerHour
		}
		if minutes == 0 {
			continue
		}
		text := soak.What
		if hours[0] > 0 {
			text += fmt.Sprintf(", %s hours", between(hours[0], hours[1]))
		}
		if soak.Repeats > 1 {
			text += fmt.Sprintf(", %d times", soak.Repeats)
			minutes *= float64(soak.Repeats)
		}
		if soak.Drained {
			text += "; then drain"
		}
		if soak.Rinsed {
			text += " and rinse"
		}
		d.step("soak", "Soak", strings.ToUpper(text[:1])+text[1:]+".", minutes, w.tested.Citation)
	}
}

// process is the boiling, load by load.
func (w *work) process(d *day, canner *Canner) {
	figure := w.p.figures.Value
	minutes := 0.0
	if canner.Minutes != nil {
		minutes = *canner.Minutes
	}
	heat := figure("heat_canner_minutes")
	d.beside("canner", "Canner on", canner.Text, math.Max(0, d.now-math.Floor(heat/2)), heat, canner.Sources...)
	if w.sterilize(minutes) {
		text, boil := w.sterilizeText()
		d.step("sterilize", "Sterilize the jars", text, heat/2+boil, altitudeCitation())
	} else {
		d.beside("hot-jars", "Jars hot", "Keep the washed jars in hot water until they are filled.", d.now, figure("brine_minutes"), catalog.Citation{Source: "usda-2015", Locator: "p. 1-14", Verified: catalog.Read})
	}
	d.step("brine", w.cookTitle(), w.cookText(), figure("brine_minutes"))
	firstOut := 0.0
	for n, jars := range canner.Loads {
		load := ""
		if len(canner.Loads) > 1 {
			load = fmt.Sprintf(", load %d of %d", n+1, len(canner.Loads))
		}
		d.step("fill", "Fill"+load, w.fillText(jars), jars*figure("fill_minutes_per_jar"), catalog.Citation{Source: "usda-2015", Locator: "p. 1-16", Verified: catalog.Read})
		d.step("boil", "Into the canner"+load, heatUpText(canner), figure("return_to_boil_minutes"), w.p.cite("return_to_boil_minutes"))
		d.step("process", "Process"+load, processText(canner, minutes), minutes, w.processSources()...)
		d.step("wait", "Wait"+load, "Heat off, lid off; leave the jars standing for 5 minutes.", figure("wait_minutes"), w.p.cite("wait_minutes"))
		if n == 0 {
			firstOut = d.now
		}
		if n < len(canner.Loads)-1 {
			d.step("out", "Out"+load, "Lift the jars out onto a towel, apart from each other. Top up the canner with hot water.", figure("reload_minutes"))
		}
	}
	out := d.now
	d.step("out", "Out", "Lift the jars straight up onto a towel, 1 in (25 mm) apart, out of drafts. Leave the bands alone.", 0, w.p.cite("cool_hours_min"))
	early, late := figure("cool_hours_min")*minutesPerHour, figure("cool_hours_max")*minutesPerHour
	d.beside("seal-check", "Check the seals", "Press each lid: it must stay down. A jar that has not sealed is reprocessed with a new lid before this time is over, or goes into the refrigerator.", out+early, firstOut+late-out-early,
		catalog.Citation{Source: "usda-2015", Locator: "p. 1-25, 1-26", Verified: catalog.Read})
	d.beside("label", "Label and store", w.storeText(), out+late, 0, w.p.limit("storage-max"))
	w.later(d, out)
}

// cold is the rest of the day for jars that go straight into the refrigerator.
func (w *work) cold(d *day) {
	figure := w.p.figures.Value
	d.step("brine", w.cookTitle(), w.cookText(), figure("brine_minutes"))
	d.step("fill", "Fill", w.fillText(w.goal.jars), w.goal.jars*figure("fill_minutes_per_jar"))
	out := d.now
	d.step("refrigerate", "Refrigerate", "Into the refrigerator at 40 °F (4 °C) or colder, and keep it there.", 0)
	w.later(d, out)
}

// later are the dates that lie weeks or months ahead.
func (w *work) later(d *day, out float64) {
	if weeks, ok := w.cureWeeks(); ok {
		text := fmt.Sprintf("Ready to eat after %s weeks.", between(weeks[0], weeks[1]))
		var sources []catalog.Citation
		if w.tested != nil {
			sources = append(sources, w.tested.Citation)
		}
		d.beside("cure", "Ready to eat", text, out+weeks[0]*7*minutesPerDay, 0, sources...)
	}
}

// cureWeeks is how long the jars stand before they are eaten from: what the recipe says, or the tested recipe prints.
func (w *work) cureWeeks() ([2]float64, bool) {
	if rest := w.scaled.Recipe.Rest; rest != nil && rest.Value != nil {
		unit, _ := w.p.units.Lookup(rest.Unit)
		weeks := tidy(measure.Duration(unit.SI(*rest.Value)).Days() / 7)
		return [2]float64{weeks, weeks}, weeks > 0
	}
	if w.tested != nil && w.tested.CureWeeks[0] > 0 {
		return w.tested.CureWeeks, true
	}
	return [2]float64{}, false
}

func (w *work) sterilize(minutes float64) bool {
	return w.scaled.Recipe.JarPreparation == document.JarsSterilized || minutes > 0 && minutes < w.p.tables.MustLimit("sterile-jars-below").Value
}

func (w *work) sterilizeText() (string, float64) {
	feet := 0.0
	if k := w.scaled.Kitchen; k != nil && k.Elevation != nil && k.Elevation.Value != nil {
		unit, _ := w.p.units.Lookup(k.Elevation.Unit)
		feet = measure.Length(unit.SI(*k.Elevation.Value)).Feet()
	}
	minutes, err := altitude.SterilizingMinutes(math.Max(0, feet))
	if err != nil {
		minutes = 0
	}
	return fmt.Sprintf("Stand the jars upright in the canner, cover them with hot water by 1 in (25 mm) and boil %s minutes at this elevation. Leave them in the hot water.", measure.FormatNumber(minutes)), minutes
}

func altitudeCitation() catalog.Citation {
	f := altitude.SterilizingSource()
	return catalog.Citation{Source: "usda-2015", Locator: f.Locator, Verified: catalog.Verified(f.Verified)}
}

func (w *work) cookTitle() string {
	switch w.scaled.Recipe.Kind {
	case document.KindRelish, document.KindSauce, document.KindFruit:
		return "Cook"
	}
	return "Brine on"
}

func (w *work) cookText() string {
	switch w.scaled.Recipe.Kind {
	case document.KindRelish, document.KindSauce, document.KindFruit:
		return "Cook it as the recipe says and keep it hot."
	case document.KindFermented:
		return "Bring the brine of the ferment to a boil; strain it if you like."
	}
	if w.scaled.Recipe.Pack == document.PackHot {
		return "Bring vinegar, water, salt and sugar to a boil and heat the food in it as the recipe says."
	}
	if w.scaled.Recipe.Pack == document.PackCold {
		return "Stir vinegar, water, salt and sugar until they are dissolved."
	}
	return "Bring vinegar, water, salt and sugar to a boil."
}

func (w *work) fillText(jars float64) string {
	head := w.jars().Headspace
	text := fmt.Sprintf("Fill %s", jarsWord(jars))
	if head != "" {
		text += ", leaving " + head + " headspace"
	}
	return text + "; let out the air bubbles, check the headspace again, wipe the rims, put on lids and bands finger-tight."
}

func heatUpText(canner *Canner) string {
	switch canner.Method {
	case document.MethodSteam:
		return "Close the steam canner and vent it until steam comes freely at the boil of this elevation."
	case document.MethodLowTemperature:
		return "Set the jars into warm water, cover them, and bring the water to 180 °F (82 °C)."
	}
	return fmt.Sprintf("Set the jars in, cover them by %s, lid on, and bring to a full boil.", canner.WaterOverLids.Text)
}

func processText(canner *Canner, minutes float64) string {
	n := measure.FormatNumber(minutes)
	switch canner.Method {
	case document.MethodSteam:
		return n + " minutes in steam from the first full jet. Never open the canner before they are over; if the steam fails, start the whole time again."
	case document.MethodLowTemperature:
		return n + " minutes with the water between 180 and 185 °F (82 and 85 °C), by a thermometer, the whole time."
	}
	return n + " minutes from the first full boil. If the boil stops, bring it back and start the whole time again."
}

func (w *work) processSources() []catalog.Citation {
	var sources []catalog.Citation
	if w.report.Process == nil {
		return nil
	}
	for _, id := range w.report.Process.Schedules {
		if row, ok := w.p.tables.Schedule(id); ok && (len(sources) == 0 || sources[len(sources)-1] != row.Citation) {
			sources = append(sources, row.Citation)
		}
	}
	return sources
}

func (w *work) storeText() string {
	return "Take off the bands, wash the jars, label and date them. Cool, dark and dry, best between 50 and 70 °F (10 and 21 °C), never above 95 °F (35 °C)."
}

// onTheClock sorts the steps by their beginning and puts local times to them.
func (w *work) onTheClock(d *day) []Step {
	steps := d.steps
	for i := 1; i < len(steps); i++ { // few and nearly sorted; stable
		for j := i; j > 0 && steps[j].From < steps[j-1].From; j-- {
			steps[j], steps[j-1] = steps[j-1], steps[j]
		}
	}
	start, ok := readClock(w.request.Start)
	if finish, said := readClock(w.request.Finish); said {
		start, ok = finish.add(-w.outAt(d)), true
	}
	for i := range steps {
		steps[i].From = math.Round(steps[i].From)
		if ok {
			steps[i].At = start.add(steps[i].From).String()
			if steps[i].Minutes > 0 {
				steps[i].Until = start.add(steps[i].From + steps[i].Minutes).String()
			}
		}
	}
	if best, said := w.bestBefore(); said && ok {
		out := start.add(w.outAt(d))
		text := fmt.Sprintf("Use the jars by then: within %s months.", measure.FormatNumber(best))
		steps = append(steps, Step{
			ID: "best-before", Title: "Best before", Text: text, At: out.addMonths(int(best)).day(),
			From: out.addMonths(int(best)).since(start), Sources: []catalog.Citation{w.p.limit("best-before")},
		})
	}
	return steps
}

// outAt is when the last jars are out of the canner, or in the refrigerator.
func (w *work) outAt(d *day) float64 {
	at := 0.0
	for _, step := range d.steps {
		if step.ID == "out" || step.ID == "refrigerate" {
			at = math.Max(at, math.Round(step.From))
		}
	}
	return at
}

// bestBefore is in months; it reports false where nothing is printed.
func (w *work) bestBefore() (float64, bool) {
	if w.report.Disposition == report.Shelf {
		return w.p.tables.MustLimit("best-before").Value, true
	}
	if w.tested != nil && w.tested.Refrigerator[0] >= 1 {
		return w.tested.Refrigerator[0], true
	}
	return 0, false
}

// label is the text for each jar. Dates are blanks to fill in where no time was given.
func (w *work) label(steps []Step) *Label {
	name := w.scaled.Recipe.Name
	if name == "" && w.tested != nil {
		name = w.tested.Title
	}
	packed, ready, best := "________", "", "________"
	for _, step := range steps {
		switch {
		case step.At == "":
		case step.ID == "out" || step.ID == "refrigerate":
			packed = step.At[:10]
		case step.ID == "cure":
			ready = step.At[:10]
		case step.ID == "best-before":
			best = step.At
		}
	}
	lines := []string{name, "Packed " + packed}
	if weeks, ok := w.cureWeeks(); ok {
		if ready == "" {
			ready = between(weeks[0], weeks[1]) + " weeks later"
		}
		lines = append(lines, "Ready from "+ready)
	}
	if _, said := w.bestBefore(); said {
		lines = append(lines, "Best before "+best)
	}
	if w.report.Disposition == report.Shelf {
		lines = append(lines, "Keep cool and dark; refrigerate after opening")
	} else {
		lines = append(lines, "KEEP REFRIGERATED at 40 °F (4 °C) or colder")
	}
	return &Label{Lines: lines, Count: w.goal.jars}
}

func (w *work) leftover() *Leftover {
	have := w.goal.have
	if have.item == "" {
		return nil
	}
	left := math.Max(0, have.amount-have.need*w.goal.factor)
	l := &Leftover{Item: have.item}
	switch have.unit.Dimension {
	case measure.DimensionMass:
		l.Amount = w.p.kitchen.Mass(have.unit.SI(left)*1e3, measure.Down, pieceSlack)
	case measure.DimensionVolume:
		l.Amount = w.p.kitchen.Volume(composition.Milliliters(have.unit, left), measure.Down, pieceSlack)
	default:
		l.Amount = w.p.kitchen.Count(left, have.unit.Code, measure.Down, pieceSlack)
	}
	if left <= have.amount*wholeJars {
		l.Amount = measure.Unmeasured("none")
	}
	return l
}

// notes are what a cook should know of the plan.
func (w *work) notes(plan *Plan) []string {
	notes := []string{}
	if !plan.SameAnswer {
		notes = append(notes, "The scaled recipe does not get the same answer as the one that was sent: "+w.report.Summary.Text)
	}
	if !plan.Jars.LastFull {
		notes = append(notes, "The last jar does not come full. Do not process it: keep it in the refrigerator and eat it first.")
	}
	if c := w.goal.citation; c != nil {
		notes = append(notes, "A bushel is taken by its published least weight ("+c.Locator+"), so weigh the produce where you can.")
	}
	if plan.Factor != 1 {
		notes = append(notes, "Amounts are rounded to kitchen measures: acid up, food and water down, so that there is never less acid for the food.")
	}
	if w.tested != nil && w.report.Process != nil && w.report.Process.Matched {
		if low, high, ok := w.printedYield(); ok && (plan.Jars.Count < math.Floor(low) || plan.Jars.Count > math.Ceil(high)) {
			notes = append(notes, fmt.Sprintf("The tested recipe prints a yield of %s jars of this size for this much food; have jars for that at hand.", between(math.Floor(low), math.Ceil(high))))
		}
	}
	if plan.Canner != nil && len(plan.Timetable) > 0 {
		notes = append(notes, "Hours without a source are the usual ones of a kitchen. Move them as you go, but never the minutes of the process.")
	}
	return notes
}

// printedYield is the yield that the tested recipe prints, for the food of the scaled recipe and in its jar.
func (w *work) printedYield() (low, high float64, ok bool) {
	jar, ok := w.p.tables.Jar(w.tested.Yield.Unit)
	if !ok || w.tested.Yield.High == 0 {
		return 0, 0, false
	}
	share, ok := w.foodShare()
	if !ok {
		return 0, 0, false
	}
	size := jar.CapacityML / w.comp.Jar.CapacityML
	return w.tested.Yield.Low * share * size, w.tested.Yield.High * share * size, true
}

// foodShare is the weight of the food against that of the tested recipe.
func (w *work) foodShare() (float64, bool) {
	printed := 0.0
	for i := range w.tested.Ingredients {
		line := &w.tested.Ingredients[i]
		item, ok := w.p.tables.Item(line.Item)
		if !ok || line.Optional || line.Amount == nil || item.Class != catalog.LowAcid && item.Class != catalog.AcidFood || line.Per != document.PerBatch {
			continue
		}
		unit, ok := w.p.units.Lookup(line.Unit)
		if !ok {
			return 0, false
		}
		low, high, ok := w.p.scale.Grams(item, composition.ReadForm(line.Form), *line.Amount, unit)
		if !ok {
			return 0, false
		}
		printed += (low + high) / 2
	}
	if printed == 0 {
		return 0, false
	}
	return w.foodKg() * 1e3 / printed, true
}
