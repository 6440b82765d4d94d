package amount

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"jarwright/validate/measure"
	"jarwright/validate/table"
)

// UnitKind says what a household word for a unit stands for.
type UnitKind string

// Values of UnitKind.
const (
	UnitMeasure   UnitKind = "measure"   // a mass or a volume
	UnitLength    UnitKind = "length"    // never an amount of food by itself
	UnitContainer UnitKind = "container" // holds an amount that its label tells
	UnitPortion   UnitKind = "portion"   // pieces and helpings
)

// UnitWord is one row of the table of words that people write for units: what it is called in a reading, and the unit of
// the closed list it stands for, if any.
type UnitWord struct {
	Name   string
	Kind   UnitKind
	Code   string            // of measure.Units; empty where nothing measures it
	Factor float64           // how many of Code one of it is
	Dim    measure.Dimension // of Code
}

// Reader reads amounts as people write them. It is read-only after NewReader and safe for concurrent use.
type Reader struct {
	words     []UnitWord
	exact     map[string]int // spellings of one letter, whose case matters, and signs
	spellings map[string]int // all other spellings, in lower case
	longest   int            // bytes of the longest spelling
	names     map[string]int
	units     *measure.Units
}

var writtenUnitColumns = []string{"name", "kind", "code", "factor", "source", "spellings"}

// NewReader reads the embedded table of words. It fails when a row is broken, when a spelling stands for two words, or
// when a word stands for a unit that does not exist.
func NewReader(units *measure.Units) (*Reader, error) {
	rows, err := table.Rows(table.MustBytes("measure/written_units.csv"), writtenUnitColumns...)
	if err != nil {
		return nil, fmt.Errorf("read written_units.csv: %w", err)
	}
	r := &Reader{exact: map[string]int{}, spellings: map[string]int{}, names: map[string]int{}, units: units}
	for i, row := range rows {
		if err := r.addWord(row); err != nil {
			return nil, fmt.Errorf("read written_units.csv: line %d: %w", i+2, err)
		}
	}
	return r, nil
}

func (r *Reader) addWord(row []string) error {
	word := UnitWord{Name: row[0], Kind: UnitKind(row[1]), Code: row[2]}
	var err error
	if word.Factor, err = strconv.ParseFloat(row[3], 64); err != nil {
		return fmt.Errorf("factor of %s: %w", word.Name, err)
	}
	if word.Code != "" {
		unit, found := r.units.Lookup(word.Code)
		if !found {
			return fmt.Errorf("%s stands for the unknown unit %q", word.Name, word.Code)
		}
		word.Dim = unit.Dimension
	}
	at := len(r.words)
	r.words = append(r.words, word)
	r.names[word.Name] = at
	for spelling := range strings.SplitSeq(row[5], "|") {
		index, key := r.spellings, strings.ToLower(spelling)
		if len(spelling) == 1 {
			index, key = r.exact, spelling
		}
		if other, taken := index[key]; taken && other != at {
			return fmt.Errorf("%q stands for %s and %s", spelling, r.words[other].Name, word.Name)
		}
		index[key], r.longest = at, max(r.longest, len(key))
	}
	return nil
}

// Word finds the word that a reading calls by this name. It reports false for a name that the table does not have, and for
// the empty name of a bare number.
func (r *Reader) Word(name string) (UnitWord, bool) {
	at, found := r.names[name]
	if !found {
		return UnitWord{}, false
	}
	return r.words[at], true
}

// Words lists every word in the order of the table.
func (r *Reader) Words() []UnitWord { return slices.Clone(r.words) }

// spelled finds the word for one spelling: of a single letter as it stands, else in any case.
func (r *Reader) spelled(text, lower string) *UnitWord {
	if len(text) == 1 {
		if at, found := r.exact[text]; found {
			return &r.words[at]
		}
		return nil
	}
	return r.spelledInFull(lower)
}

// spelledInFull finds the word for a spelling of several letters, in lower case.
func (r *Reader) spelledInFull(lower string) *UnitWord {
	if len(lower) > r.longest {
		return nil
	}
	if at, found := r.spellings[lower]; found {
		return &r.words[at]
	}
	return nil
}

// ratio is how many of the second unit one of the first is. Both are of one dimension; where one of them has no unit of
// the closed list it is 1.
func (r *Reader) ratio(of, in *UnitWord) float64 {
	if of.Name == in.Name {
		return 1
	}
	a, okA := r.units.Lookup(of.Code)
	b, okB := r.units.Lookup(in.Code)
	if !okA || !okB {
		return 1
	}
	return a.SI(1) * of.Factor / (b.SI(1) * in.Factor)
}

// isMeasure tells a mass or a volume.
func (r *Reader) isMeasure(unit string) bool {
	word, known := r.Word(unit)
	return known && word.Kind == UnitMeasure
}

// isMetric tells the names of metric masses and volumes.
func isMetric(name string) bool {
	switch name {
	case "g", "kg", "mg", "mL", "cL", "dL", "L":
		return true
	}
	return false
}
