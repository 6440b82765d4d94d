package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/report"
	"jarwright/validate/storage"
)

// day lays out the steps one after the other; minutes count from its start.
type day struct {
	steps []Step
	now   float64 // when the last step that others wait for is over
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
func (w *writer) timetable(canner *Canner) []Step {
	d := &day{}
	figure := w.p.figures.Value
	w.ferment(d)
	wash := fmt.Sprintf("Wash %s and new lids, the pots and the food. Throw out jars with nicks or cracks.", jarsWord(w.size.jars))
	d.step("wash", "Wash", wash, figure("wash_minutes"))
	d.step("prepare", "Prepare the food", w.prepareText(), figure("prepare_minutes")+figure("prepare_minutes_per_kg")*w.foodKg())
	w.soaks(d)
	if canner != nil {
		w.process(d, canner)
	} else {
		w.cold(d)
	}
	return w.onTheClock(d)
}

// UsualMinutes is how many minutes the work before the canner usually takes, without soaks and ferments. The figures are usual
// ones of a kitchen and have no source.
func (p *Planner) UsualMinutes(request *document.Request) float64 {
	comp := composition.Read(request, p.tables, p.scale)
	jars := 1.0
	if request.Recipe.Jars != nil {
		jars = *request.Recipe.Jars
	}
	w := &writer{p: p, scaled: *request, comp: comp, base: &comp, size: size{factor: 1, jars: jars, perJar: 1}}
	figure := p.figures.Value
	prepare := figure("prepare_minutes") + figure("prepare_minutes_per_kg")*w.foodKg()
	return figure("wash_minutes") + prepare + figure("brine_minutes") + figure("fill_minutes_per_jar")*jars
}

func (w *writer) ferment(d *day) {
	if w.scaled.Recipe.Kind != document.KindFermented || w.tested == nil || w.tested.Ferment == nil || len(w.tested.Ferment.Conditions) == 0 {
		return
	}
	c := w.tested.Ferment.Conditions[0]
	lowC, highC := math.Round(celsius(c.TemperatureF[0])), math.Round(celsius(c.TemperatureF[1]))
	const form = "Pack with the salt, keep the food under its brine, and ferment %s weeks at %s °F (%s °C), until it has soured fully. Cooler takes longer."
	span := measure.FormatSpan
	text := fmt.Sprintf(form, span(c.Weeks[0], c.Weeks[1]), span(c.TemperatureF[0], c.TemperatureF[1]), span(lowC, highC))
	d.step("ferment", "Ferment", text, c.Weeks[1]*7*minutesPerDay, w.tested.Citation)
}

func (w *writer) soaks(d *day) {
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
			text += fmt.Sprintf(", %s hours", measure.FormatSpan(hours[0], hours[1]))
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
		d.step("soak", "Soak", measure.Capital(text)+".", minutes, w.tested.Citation)
	}
}

// process is the boiling, load by load.
func (w *writer) process(d *day, canner *Canner) {
	minutes := 0.0
	if canner.Minutes != nil {
		minutes = *canner.Minutes
	}
	w.heatUp(d, canner, minutes)
	firstOut := 0.0
	for n, jars := range canner.Loads {
		w.load(d, canner, n, jars, minutes)
		if n == 0 {
			firstOut = d.now
		}
		if n < len(canner.Loads)-1 {
			const text = "Lift the jars out onto a towel, apart from each other. Top up the canner with hot water."
			d.step("out", "Out"+loadWords(canner, n), text, w.p.figures.Value("reload_minutes"))
		}
	}
	w.cool(d, firstOut)
}

// heatUp is what is done until the first jar is filled: canner, jars and brine hot.
func (w *writer) heatUp(d *day, canner *Canner, minutes float64) {
	figure := w.p.figures.Value
	heat := figure("heat_canner_minutes")
	d.beside("canner", "Canner on", canner.Text, math.Max(0, d.now-math.Floor(heat/2)), heat, canner.Sources...)
	if w.sterilize(minutes) {
		text, boil := w.sterilizeText()
		d.step("sterilize", "Sterilize the jars", text, heat/2+boil, sterilizingCitation())
	} else {
		d.beside("hot-jars", "Jars hot", "Keep the washed jars in hot water until they are filled.", d.now, figure("brine_minutes"), guide("p. 1-14"))
	}
	d.step("brine", w.cookTitle(), w.cookText(), figure("brine_minutes"))
}

// load is one load of the canner, from filling its jars until they may be taken out.
func (w *writer) load(d *day, canner *Canner, n int, jars, minutes float64) {
	figure, load := w.p.figures.Value, loadWords(canner, n)
	d.step("fill", "Fill"+load, w.fillText(jars), jars*figure("fill_minutes_per_jar"), guide("p. 1-16"))
	d.step("boil", "Into the canner"+load, heatUpText(canner), figure("return_to_boil_minutes"), w.p.cite("return_to_boil_minutes"))
	d.step("process", "Process"+load, processText(canner, minutes), minutes, w.processSources()...)
	const wait = "Heat off, lid off; leave the jars standing for 5 minutes."
	d.step("wait", "Wait"+load, wait, figure("wait_minutes"), w.p.cite("wait_minutes"))
}

// loadWords names a load where there are several.
func loadWords(canner *Canner, n int) string {
	if len(canner.Loads) < 2 {
		return ""
	}
	return fmt.Sprintf(", load %d of %d", n+1, len(canner.Loads))
}

// cool is what follows the last load; firstOut is when the jars of the first were taken out.
func (w *writer) cool(d *day, firstOut float64) {
	out := d.now
	const lift = "Lift the jars straight up onto a towel, 1 in (25 mm) apart, out of drafts. Leave the bands alone."
	d.step("out", "Out", lift, 0, w.p.cite("cool_hours_min"))
	figure := w.p.figures.Value
	early, late := figure("cool_hours_min")*minutesPerHour, figure("cool_hours_max")*minutesPerHour
	const press = "Press each lid: it must stay down. A jar that has not sealed is reprocessed with a new lid before this time is over, " +
		"or goes into the refrigerator."
	d.beside("seal-check", "Check the seals", press, out+early, firstOut+late-out-early, guide("p. 1-25, 1-26"))
	d.beside("label", "Label and store", storeText, out+late, 0, w.p.limit("storage-max"))
	w.later(d, out)
}

// guide cites a page of the Complete Guide to Home Canning.
func guide(locator string) catalog.Citation {
	return catalog.Citation{Source: "usda-2015", Locator: locator, Verified: catalog.Read}
}

// cold is the rest of the day for jars that go straight into the refrigerator.
func (w *writer) cold(d *day) {
	figure := w.p.figures.Value
	d.step("brine", w.cookTitle(), w.cookText(), figure("brine_minutes"))
	d.step("fill", "Fill", w.fillText(w.size.jars), w.size.jars*figure("fill_minutes_per_jar"))
	out := d.now
	d.step("refrigerate", "Refrigerate", "Into the refrigerator at 40 °F (4 °C) or colder, and keep it there.", 0)
	w.later(d, out)
}

// later are the dates that lie weeks or months ahead.
func (w *writer) later(d *day, out float64) {
	if weeks, ok := w.cureWeeks(); ok {
		text := fmt.Sprintf("Ready to eat after %s weeks.", measure.FormatSpan(weeks[0], weeks[1]))
		var sources []catalog.Citation
		if w.tested != nil {
			sources = append(sources, w.tested.Citation)
		}
		d.beside("cure", "Ready to eat", text, out+weeks[0]*7*minutesPerDay, 0, sources...)
	}
}

// cureWeeks is how long the jars stand before they are eaten from: what the recipe says, or the tested recipe prints.
func (w *writer) cureWeeks() ([2]float64, bool) {
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

func (w *writer) sterilize(minutes float64) bool {
	return w.scaled.Recipe.JarPreparation == document.JarsSterilized || minutes > 0 && minutes < w.p.tables.MustLimit("sterile-jars-below").Value
}

// onTheClock sorts the steps by their beginning and puts local times to them.
func (w *writer) onTheClock(d *day) []Step {
	steps := d.steps
	slices.SortStableFunc(steps, func(a, b Step) int { return cmp.Compare(a.From, b.From) })
	start, ok := readLocalTime(w.request.Start)
	if finish, given := readLocalTime(w.request.Finish); given {
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
	if best, printed := w.bestBefore(); printed && ok {
		day := storage.AddMonths(start.add(w.outAt(d)).day(), int(best))
		text := fmt.Sprintf("Use the jars by then: within %s months.", measure.FormatNumber(best))
		steps = append(steps, Step{
			ID: "best-before", Title: "Best before", Text: text, At: day.Format(time.DateOnly),
			From: day.Sub(start.wall).Minutes(), Sources: []catalog.Citation{w.p.limit("best-before")},
		})
	}
	return steps
}

// outAt is when the last jars are out of the canner, or in the refrigerator.
func (w *writer) outAt(d *day) float64 {
	at := 0.0
	for _, step := range d.steps {
		if step.ID == "out" || step.ID == "refrigerate" {
			at = math.Max(at, math.Round(step.From))
		}
	}
	return at
}

// bestBefore is in months; it reports false where nothing is printed.
func (w *writer) bestBefore() (float64, bool) {
	if w.report.Disposition == report.Shelf {
		return w.p.tables.MustLimit("best-before").Value, true
	}
	if w.tested != nil && w.tested.Refrigerator[0] >= 1 {
		return w.tested.Refrigerator[0], true
	}
	return 0, false
}

// celsius is a temperature in °F as °C.
func celsius(fahrenheit float64) float64 { return (fahrenheit - 32) / 1.8 }
