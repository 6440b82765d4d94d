package table

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
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

// MustFigures reads a table with the columns name, value, unit, source, document, locator and verified. It panics on one
// that does not parse, as regexp.MustCompile does: the tables are part of the program.
func MustFigures(path string) Table { return mustParse(MustBytes(path)) }

func mustParse(data []byte) Table {
	var table Table
	for _, row := range MustRowsOf(data, "name", "value", "unit", "source", "document", "locator", "verified") {
		table = append(table, Figure{row[0], MustNumber(row[1]), row[2], row[3], row[4], row[5], row[6]})
	}
	return table
}

// Get is the named figure; it panics when the file has none, which is a slip in the program.
func (t Table) Get(name string) Figure {
	i := slices.IndexFunc(t, func(f Figure) bool { return f.Name == name })
	if i < 0 {
		panic(fmt.Sprintf("table: no figure named %q", name))
	}
	return t[i]
}

// Value is the number of the named figure; it panics like Get.
func (t Table) Value(name string) float64 { return t.Get(name).Value }

// MustRows reads a table and returns, row by row, the cells of the named columns in the order asked for. It panics on one
// that is not CSV or lacks a column.
func MustRows(path string, columns ...string) [][]string {
	return MustRowsOf(MustBytes(path), columns...)
}

// MustRowsOf is MustRows for a text that is at hand.
func MustRowsOf(data []byte, columns ...string) [][]string {
	records, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("table: %v", err))
	}
	if len(records) == 0 {
		panic("table: the file is empty")
	}
	places := make([]int, len(columns))
	for i, column := range columns {
		places[i] = slices.Index(records[0], column)
		if places[i] < 0 {
			panic(fmt.Sprintf("table: no column %q in %v", column, records[0]))
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
		panic(fmt.Sprintf("table: %v", err))
	}
	return value
}
