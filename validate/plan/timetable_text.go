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
	"jarwright/validate/plaintext"
)

// The texts of the steps. What is done and when is in timetable.go.

func (w *writer) prepareText() string {
	var foods []string
	for i := range w.comp.Lines {
		line := &w.comp.Lines[i]
		if !line.IsFood() || !line.Used() {
			continue
		}
		text := line.Name
		if line.State == composition.Given {
			text = w.p.both(line, w.exact(i)*times(line, w.size.jars), side(line, &w.scaled.Recipe), slack(line)).Household.Text + " " + text
		}
		if line.Written.Form != "" {
			text += " (" + plaintext.Line(line.Written.Form) + ")"
		}
		foods = append(foods, text)
	}
	text := strings.Join(foods, "; ") + "."
	if w.tested != nil && w.tested.Preparation != "" {
		text += " In the tested recipe: " + w.tested.Preparation + "."
	}
	return text
}

// sterilizeText also gives the minutes that empty jars are boiled at the elevation of the kitchen.
func (w *writer) sterilizeText() (string, float64) {
	feet := 0.0
	if k := w.scaled.Kitchen; k != nil && k.Elevation != nil && k.Elevation.Value != nil {
		unit, _ := w.p.units.Lookup(k.Elevation.Unit)
		feet = measure.Length(unit.SI(*k.Elevation.Value)).Feet()
	}
	minutes, err := altitude.SterilizingMinutes(math.Max(0, feet))
	if err != nil {
		minutes = 0
	}
	const form = "Stand the jars upright in the canner, cover them with hot water by 1 in (25 mm) and boil %s minutes at this elevation. " +
		"Leave them in the hot water."
	return fmt.Sprintf(form, measure.FormatNumber(minutes)), minutes
}

// sterilizingCitation is where the minutes of empty jars are printed.
func sterilizingCitation() catalog.Citation {
	f := altitude.SterilizingSource()
	return catalog.Citation{Source: "usda-2015", Locator: f.Locator, Verified: catalog.Verified(f.Verified)}
}

func (w *writer) cookTitle() string {
	switch w.scaled.Recipe.Kind {
	case document.KindRelish, document.KindSauce, document.KindFruit:
		return "Cook"
	}
	return "Brine on"
}

func (w *writer) cookText() string {
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

func (w *writer) fillText(jars float64) string {
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

func (w *writer) processSources() []catalog.Citation {
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

const storeText = "Take off the bands, wash the jars, label and date them. Cool, dark and dry, best between 50 and 70 °F (10 and 21 °C), " +
	"never above 95 °F (35 °C)."
