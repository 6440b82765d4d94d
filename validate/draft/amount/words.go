package amount

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"jarwright/validate/measure"
	"jarwright/validate/table"
)

// WordKind says what a household word for an amount stands for.
type WordKind string

// Values of WordKind.
const (
	WordMeasure   WordKind = "measure"   // a mass or a volume
	WordLength    WordKind = "length"    // never an amount of food by itself
	WordContainer WordKind = "container" // holds an amount that its label tells
	WordPortion   WordKind = "portion"   // pieces and helpings
)

// Word is one row of the table of words that people write for units: what it is called in a reading, and the unit of the
// closed list it stands for, if any.
type Word struct {
	Name   string
	Kind   WordKind
	Code   string            // of Units; empty where nothing measures it
	Factor float64           // how many of Code one of it is
	Dim    measure.Dimension // of Code
}

// Writing reads amounts as people write them. It is read-only after LoadWriting and safe for concurrent use.
type Writing struct {
	words []Word
	exact map[string]int // spellings of one letter, whose case matters, and signs
	index map[string]int // all other spellings, in lower case
	names map[string]int
	units *measure.Units
}

var writtenUnitColumns = []string{"name", "kind", "code", "factor", "source", "spellings"}

// LoadWriting reads the embedded table of words. It fails when a row is broken, when a spelling stands for two words, or
// when a word stands for a unit that does not exist.
func LoadWriting(units *measure.Units) (*Writing, error) {
	rows, err := table.Rows(table.MustBytes("measure/written_units.csv"), writtenUnitColumns...)
	if err != nil {
		return nil, fmt.Errorf("read written_units.csv: %w", err)
	}
	w := &Writing{exact: map[string]int{}, index: map[string]int{}, names: map[string]int{}, units: units}
	for i, row := range rows {
		if err := w.addWord(row); err != nil {
			return nil, fmt.Errorf("read written_units.csv: line %d: %w", i+2, err)
		}
	}
	return w, nil
}

func (w *Writing) addWord(row []string) error {
	word := Word{Name: row[0], Kind: WordKind(row[1]), Code: row[2]}
	var err error
	if word.Factor, err = strconv.ParseFloat(row[3], 64); err != nil {
		return fmt.Errorf("factor of %s: %w", word.Name, err)
	}
	if word.Code != "" {
		unit, found := w.units.Lookup(word.Code)
		if !found {
			return fmt.Errorf("%s stands for the unknown unit %q", word.Name, word.Code)
		}
		word.Dim = unit.Dimension
	}
	at := len(w.words)
	w.words = append(w.words, word)
	w.names[word.Name] = at
	for spelling := range strings.SplitSeq(row[5], "|") {
		index, key := w.index, strings.ToLower(spelling)
		if len(spelling) == 1 {
			index, key = w.exact, spelling
		}
		if other, taken := index[key]; taken && other != at {
			return fmt.Errorf("%q stands for %s and %s", spelling, w.words[other].Name, word.Name)
		}
		index[key] = at
	}
	return nil
}

// Word finds the word that a reading calls by this name.
func (w *Writing) Word(name string) (Word, bool) {
	at, found := w.names[name]
	if !found {
		return Word{}, false
	}
	return w.words[at], true
}

// Words lists every word in the order of the table.
func (w *Writing) Words() []Word { return slices.Clone(w.words) }

// spelled finds the word for one spelling: of a single letter as it stands, else in any case.
func (w *Writing) spelled(text, lower string) *Word {
	index, key := w.index, lower
	if len(text) == 1 {
		index, key = w.exact, text
	}
	if at, found := index[key]; found {
		return &w.words[at]
	}
	return nil
}
