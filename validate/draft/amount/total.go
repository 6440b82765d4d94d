package amount

import "jarwright/validate/measure"

// Total reckons what a line comes to in one unit of the closed list: what Amount counts times the size of each, with what
// is added. Both ends of ranges are kept. It reports false where the line gives no amount, or one that no unit of the list
// measures; then a second writing of the amount is used where there is one that can be measured.
func (w *Writing) Total(line Written) (low, high float64, code string, ok bool) {
	if line.Amount == nil || line.Amount.High <= 0 {
		return 0, 0, "", false
	}
	amount := *line.Amount
	word, known := w.Word(amount.Unit)
	switch {
	case line.Package != nil && w.measures(line.Package.Unit):
		pack, _ := w.Word(line.Package.Unit)
		factor := 1.0
		if known && word.Name == "dozen" {
			factor = word.Factor
		}
		return amount.Low * line.Package.Low * factor * pack.Factor, amount.High * line.Package.High * factor * pack.Factor, pack.Code, true
	case known && word.Kind == WordMeasure:
		low, high = amount.Low*word.Factor, amount.High*word.Factor
		low, high, exact := w.withPlus(line.Plus, &word, low, high)
		return low, high, word.Code, exact
	}
	for i := range line.Also {
		if w.measures(line.Also[i].Unit) {
			also, _ := w.Word(line.Also[i].Unit)
			return line.Also[i].Low * also.Factor, line.Also[i].High * also.Factor, also.Code, true
		}
	}
	switch {
	case !known:
		return amount.Low, amount.High, measure.CodeEach, amount.Unit == ""
	case word.Kind == WordLength:
		if _, isPiece := w.Word(line.Container); isPiece {
			return 1, 1, measure.CodeEach, true // "a 2-inch piece": one piece
		}
		return 0, 0, "", false
	case word.Code == "":
		return 0, 0, "", false
	}
	return amount.Low * word.Factor, amount.High * word.Factor, word.Code, true
}

func (w *Writing) measures(name string) bool {
	word, known := w.Word(name)
	return known && word.Kind == WordMeasure
}

// withPlus adds the further amounts in the unit of the first. It reports false where one of them is of another dimension:
// cups and grams add up only for a known food.
func (w *Writing) withPlus(plus []Amount, in *Word, low, high float64) (float64, float64, bool) {
	for _, more := range plus {
		word, known := w.Word(more.Unit)
		if !known || word.Kind != WordMeasure || word.Dim != in.Dim {
			return low, high, false
		}
		ratio := w.ratio(&word, in)
		low, high = low+more.Low*ratio*in.Factor, high+more.High*ratio*in.Factor
	}
	return max(low, 0), max(high, 0), true
}
