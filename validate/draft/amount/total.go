package amount

import "jarwright/validate/measure"

// Total reckons what a line comes to in one unit of the closed list: what Amount counts times the size of each, with what
// is added. Both ends of ranges are kept. It reports false where the line gives no amount, or one that no unit of the list
// measures; then a second writing of the amount is used where there is one that can be measured.
func (r *Reader) Total(line Line) (low, high float64, code string, ok bool) {
	if line.Amount == nil || line.Amount.High <= 0 {
		return 0, 0, "", false
	}
	amount := *line.Amount
	word, known := r.Word(amount.Unit)
	switch {
	case line.Package != nil && r.isMeasure(line.Package.Unit):
		pack, _ := r.Word(line.Package.Unit)
		factor := 1.0
		if known && word.Name == "dozen" {
			factor = word.Factor
		}
		return amount.Low * line.Package.Low * factor * pack.Factor, amount.High * line.Package.High * factor * pack.Factor, pack.Code, true
	case known && word.Kind == UnitMeasure:
		low, high = amount.Low*word.Factor, amount.High*word.Factor
		low, high, exact := r.withPlus(line.Plus, &word, low, high)
		return low, high, word.Code, exact
	}
	for i := range line.Also {
		if r.isMeasure(line.Also[i].Unit) {
			also, _ := r.Word(line.Also[i].Unit)
			return line.Also[i].Low * also.Factor, line.Also[i].High * also.Factor, also.Code, true
		}
	}
	switch {
	case !known:
		return amount.Low, amount.High, measure.CodeEach, amount.Unit == ""
	case word.Kind == UnitLength:
		if _, isPiece := r.Word(line.Container); isPiece {
			return 1, 1, measure.CodeEach, true // "a 2-inch piece": one piece
		}
		return 0, 0, "", false
	case word.Code == "":
		return 0, 0, "", false
	}
	return amount.Low * word.Factor, amount.High * word.Factor, word.Code, true
}

// withPlus adds the further amounts in the unit of the first. It reports false where one of them is of another dimension:
// cups and grams add up only for a known food.
func (r *Reader) withPlus(plus []Amount, in *UnitWord, low, high float64) (float64, float64, bool) {
	for _, more := range plus {
		word, known := r.Word(more.Unit)
		if !known || word.Kind != UnitMeasure || word.Dim != in.Dim {
			return low, high, false
		}
		ratio := r.ratio(&word, in)
		low, high = low+more.Low*ratio*in.Factor, high+more.High*ratio*in.Factor
	}
	return max(low, 0), max(high, 0), true
}
