// Package figures reads the small CSV files of coefficients and measured figures that the physics packages embed, and
// says whether an input lies in the range for which a figure holds. Every row of such a file names its document and
// how far it can be trusted. The package knows no physics and judges nothing.
package figures

import (
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// ErrRange marks an input outside the range for which a formula or table holds, or one that is not a number.
var ErrRange = errors.New("out of range")

// Within returns an error wrapping ErrRange unless low <= value <= high. What and unit only make the message.
func Within(what string, value, low, high float64, unit string) error {
	if math.IsNaN(value) || value < low || value > high {
		return fmt.Errorf("%s %g %s is not between %g and %g: %w", what, value, unit, low, high, ErrRange)
	}
	return nil
}

// Bounds is a computed figure with the interval it is believed to lie in: Low <= Value <= High, all in one unit.
type Bounds struct {
	Low, Value, High float64
}

// Figure is one number of a document. Source is a short id of the document, Verified one of read, computed, derived
// and recalled (from memory).
type Figure struct {
	Name     string
	Value    float64
	Unit     string
	Source   string
	Document string
	Locator  string
	Verified string
}

// Table is a list of figures that can be asked by name.
type Table []Figure

// MustParse reads a file with the columns name, value, unit, source, document, locator and verified. It panics on a
// file that does not parse, as regexp.MustCompile does: the text is part of the program.
func MustParse(text string) Table {
	var table Table
	for _, row := range MustRows(text, "name", "value", "unit", "source", "document", "locator", "verified") {
		table = append(table, Figure{row[0], MustNumber(row[1]), row[2], row[3], row[4], row[5], row[6]})
	}
	return table
}

// Get is the named figure; it panics when the file has none, which is a slip in the program.
func (t Table) Get(name string) Figure {
	i := slices.IndexFunc(t, func(f Figure) bool { return f.Name == name })
	if i < 0 {
		panic(fmt.Sprintf("figures: no figure named %q", name))
	}
	return t[i]
}

// Value is the number of the named figure; it panics like Get.
func (t Table) Value(name string) float64 { return t.Get(name).Value }

// MustRows reads a CSV text and returns, row by row, the cells of the named columns in the order asked for. It panics
// on a text that is not CSV or lacks a column.
func MustRows(text string, columns ...string) [][]string {
	records, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("figures: %v", err))
	}
	if len(records) == 0 {
		panic("figures: the file is empty")
	}
	places := make([]int, len(columns))
	for i, column := range columns {
		places[i] = slices.Index(records[0], column)
		if places[i] < 0 {
			panic(fmt.Sprintf("figures: no column %q in %v", column, records[0]))
		}
	}
	var rows [][]string
	for _, record := range records[1:] {
		row := make([]string, len(columns))
		for i, place := range places {
			row[i] = record[place]
		}
		rows = append(rows, row)
	}
	return rows
}

// MustNumber reads one number of an embedded file and panics on anything else.
func MustNumber(text string) float64 {
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic(fmt.Sprintf("figures: %v", err))
	}
	return value
}
