package facts

import (
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/measure"
	"jarwright/validate/words"
)

// LineWords is what the free words of a line say that is not plainly harmless.
type LineWords struct {
	Line *composition.Line
	Form []words.Span
	Item []words.Span // of a name that says more than its item: "dried beans"
	Note []words.Span
}

// mostSuggestions is how many unknown words of a document a near word is looked for.
const mostSuggestions = 12

// sameWeight is how much more than its first amount the second amount of a line may weigh and still be called the same: "6 large
// onions (about 2 lb)". Common practice, no source: counts turn into weights no better.
const sameWeight = 1.15

// readWords reads the free words of every line beside the tested recipe. Lines without any are left out.
func (f *Facts) readWords(list *words.List, scale *composition.Scale) {
	if list == nil {
		return
	}
	suggestions := mostSuggestions
	of := words.Context{Recipe: f.Match.Recipe, Suggestions: &suggestions}
	for i := range f.Composition.Lines {
		line := &f.Composition.Lines[i]
		if !line.Used() || line.Written.Form == "" && line.Written.Note == "" && IsPlainName(line) {
			continue
		}
		of.Item, of.Class, of.StandsFor = line.Item, line.Class, f.Match.StandsFor(line)
		of.PouredAway, of.PerJar, of.Open = !line.InJar, line.PerJar, line.State == composition.ToCover || line.State == composition.AsNeeded
		of.SameAmount = func(value float64, code string) bool { return isSameAmount(line, value, code, scale) }
		read := LineWords{Line: line, Form: list.Read(line.Written.Form, &of), Note: list.Search(line.Written.Note, &of)}
		if !IsPlainName(line) {
			read.Item = list.ReadName(line.Written.Item, &of)
		}
		if len(read.Form)+len(read.Item)+len(read.Note) > 0 {
			f.Words = append(f.Words, read)
		}
	}
}

// IsPlainName reports whether a line names its item as the catalog does, or by a name that says no more; an unknown item has a rule of
// its own.
func IsPlainName(line *composition.Line) bool {
	return line.Item == nil || line.Written.Item == line.Item.Name || strings.ReplaceAll(line.Written.Item, " ", "-") == line.Item.ID
}

// isSameAmount tells whether an amount, given once more in the words of a line, is no more than that of the line.
func isSameAmount(line *composition.Line, value float64, code string, scale *composition.Scale) bool {
	unit, known := scale.Units().Lookup(code)
	if !known || line.State != composition.Given {
		return false
	}
	if unit.Dimension == line.Unit.Dimension && unit.Dimension != measure.DimensionCount {
		return unit.SI(value) <= sameWeight*line.Unit.SI(line.Value)
	}
	low, _, weighed := scale.Grams(line.Item, line.Form, value, unit)
	return weighed && line.WeightKnown && low <= sameWeight*line.GramsHigh
}

// Fails lists the spans of a line that say what no tested recipe allows, those of its name first.
func (w *LineWords) Fails() []words.Span {
	var found []words.Span
	for _, spans := range [...][]words.Span{w.Item, w.Form} {
		for i := range spans {
			if spans[i].Kind == words.Fails {
				found = append(found, spans[i])
			}
		}
	}
	return found
}

// IsProduce reports whether the line is a food that is cut and packed.
func (w *LineWords) IsProduce() bool {
	return w.Line.Class == catalog.LowAcid || w.Line.Class == catalog.AcidFood
}
