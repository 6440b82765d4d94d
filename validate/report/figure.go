package report

import (
	"fmt"
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/measure"
)

// figureWords is how a computed figure is said to people. Everyday figures stand in the text; the others are for those who
// read the whole of a report, formula and all.
type figureWords struct {
	name, words, unit string // the unit as it is shown; empty: as it is
	everyday          bool
}

var figureTable = []figureWords{
	{"equilibrium_ph", "pH of the jar once everything has soaked through", "none", true},
	{"equilibrium_ph_likely", "pH of the jar, where not every input is at its worst at once", "none", false},
	{"acid_of_brine", "acid in the brine, as acetic acid", "g in 100 mL", true},
	{"acid_of_jar", "acid in the finished jar, as acetic acid", "g in 100 mL", true},
	{"acid_of_jar_by_weight", "acid in the finished jar by weight", "g in 100 g", false},
	{"acid_per_low_acid_food", "acid for each kilogram of low-acid food", "", false},
	{"acid_share_of_tested", "acid beside the food, times that of the tested recipe", "none", true},
	{"titratable_acidity", "titratable acidity, as acetic acid", "g in 100 g", false},
	{"undissociated_acetic_acid", "acetic acid that is not dissociated", "", false},
	{"salt_of_brine", "salt in the brine", "g in 100 g", true},
	{"salt_of_jar", "salt in the finished jar", "g in 100 g", true},
	{"sodium", "sodium in the finished jar", "mg in 100 g", false},
	{"sugar_of_jar", "sugar added, in the finished jar", "g in 100 g", false},
	{"air_pressure", "air pressure", "", false},
	{"boiling_point", "water boils in this kitchen at", "", true},
	{"boiling_point_fahrenheit", "the same in Fahrenheit", "", true},
	{"headspace_volume", "empty space under the lid", "", false},
	{"fill_volume", "what a jar holds up to the headspace", "", true},
	{"longest_upright_piece", "longest upright piece that stays covered", "", true},
	{"swelling_to_the_boil", "swelling of the filling up to the boil", "", false},
	{"least_headspace_for_swelling", "headspace that the swelling takes", "", false},
	{"vacuum_at_most", "vacuum after cooling, at most", "", false},
	{"jars_filled", "jars that it fills, about", "none", true},
	{"contents_for_up_to", "contents for up to so many full jars", "none", true},
	{"food_in_jar", "food in a jar, as weighed", "", true},
	{"brine_needed", "brine needed for all jars", "", true},
	{"brine_left_over", "brine left over (below zero: too little)", "", true},
	{"minutes_to_160_f", "minutes until the coldest spot has 160 °F (71 °C)", "min", false},
	{"minutes_to_165_f", "minutes until the coldest spot has 165 °F (74 °C)", "min", false},
	{"minutes_to_180_f", "minutes until the coldest spot has 180 °F (82 °C)", "min", false},
	{"accumulated_lethality", "heat treatment of the coldest spot, as minutes at 160 °F (71 °C)", "min", false},
	{"lethality_over_target", "heat treatment, times what the acidity asks for", "none", false},
}

func figureOf(name string) figureWords {
	for _, f := range figureTable {
		if f.name == name {
			return f
		}
	}
	return figureWords{name: name, words: strings.ReplaceAll(name, "_", " ")}
}

// Words says what the figure is.
func (d Derived) Words() string { return figureOf(d.Name).words }

// UnitWords says its unit with a space before it, or nothing where the words say it all.
func (d Derived) UnitWords() string {
	unit := figureOf(d.Name).unit
	switch unit {
	case "":
		unit = d.Unit
	case "none":
		return ""
	}
	return " " + unit
}

// shownSources are the documents behind what the text shows: all but those of figures that it leaves out.
func (r Report) shownSources() []Cited {
	var shown []catalog.Citation
	for _, f := range r.Findings {
		shown = append(shown, f.Sources...)
	}
	if r.Process != nil {
		shown = append(shown, r.Process.Source)
	}
	for _, d := range r.Derived {
		if figureOf(d.Name).everyday || len(r.Derivation) > 0 {
			shown = append(shown, d.Sources...)
		}
	}
	for _, l := range r.Leeway {
		shown = append(shown, l.Sources...)
	}
	for _, c := range r.Cautions {
		shown = append(shown, c.Sources...)
	}
	var list []Cited
	for _, c := range r.Sources {
		if slices.ContainsFunc(shown, func(citation catalog.Citation) bool { return citation.Source == c.ID }) {
			list = append(list, c)
		}
	}
	return list
}

// figures lists what a cook can use and says how many more there are.
func (p *page) figures(derived []Derived) {
	more := 0
	var lines []string
	for _, d := range derived {
		if !figureOf(d.Name).everyday {
			more++
			continue
		}
		text := fmt.Sprintf("%s: %s%s", d.Words(), measure.FormatNumber(threeDigits(d.Value)), d.UnitWords())
		if d.Low != nil && d.High != nil {
			text += fmt.Sprintf(" (between %s and %s)", measure.FormatNumber(threeDigits(*d.Low)), measure.FormatNumber(threeDigits(*d.High)))
		}
		lines = append(lines, text)
	}
	if len(lines) == 0 {
		return
	}
	p.heading("Worked out")
	for _, line := range lines {
		p.wrap(p.safe(line), "- ", "  ")
	}
	if more > 0 {
		p.wrap(fmt.Sprintf("%d more, with the formula and the source of each, are in the report as JSON.", more), "- ", "  ")
	}
	p.print("\n")
}
