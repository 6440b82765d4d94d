package plan

import (
	"jarwright/validate/measure"
	"jarwright/validate/plaintext"
	"jarwright/validate/report"
)

// label is the text for each jar. Dates are blanks to fill in where no time was given.
func (w *writer) label(steps []Step) *Label {
	name := plaintext.Name(w.scaled.Recipe.Name)
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
			ready = measure.FormatSpan(weeks[0], weeks[1]) + " weeks later"
		}
		lines = append(lines, "Ready from "+ready)
	}
	if _, given := w.bestBefore(); given {
		lines = append(lines, "Best before "+best)
	}
	if w.report.Disposition == report.Shelf {
		lines = append(lines, "Keep cool and dark; refrigerate after opening")
	} else {
		lines = append(lines, "KEEP REFRIGERATED at 40 °F (4 °C) or colder")
	}
	return &Label{Lines: lines, Count: w.size.jars}
}
