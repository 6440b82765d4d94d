package plan

import (
	"strings"

	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
)

// cutNouns are the words of a form that a thickness belongs to.
var cutNouns = []string{"slices", "rings", "rounds", "cubes", "squares", "florets", "dice", "pieces"}

// formWithSizes is the form of a line with the sizes of its pieces, which decide how fast heat reaches their middle: a reader
// of the list must not lose them.
func (p *Planner) formWithSizes(line *composition.Line) string {
	piece := line.Written.Piece
	if piece == nil {
		return line.Written.Form
	}
	parts := []string{}
	if line.Written.Form != "" {
		parts = append(parts, line.Written.Form)
	}
	if size := p.inches(piece.Length); size != "" {
		parts = append(parts, size+" long")
	}
	if size := p.inches(piece.Thickness); size != "" {
		noun := "in diameter"
		if line.Form.Coarsest != composition.Unstated && line.Form.Coarsest < composition.Strips {
			noun = "pieces"
			for _, word := range cutNouns {
				if line.Form.Has(word) {
					noun = word
					break
				}
			}
		}
		parts = append(parts, size+" "+noun)
	}
	return strings.Join(parts, ", ")
}

// inches is a length for a kitchen; empty where none is given.
func (p *Planner) inches(length *document.Quantity) string {
	if length == nil || length.Value == nil {
		return ""
	}
	unit, ok := p.units.Lookup(length.Unit)
	if !ok {
		return ""
	}
	return measure.FormatInches(measure.Length(unit.SI(*length.Value)))
}
