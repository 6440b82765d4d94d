// Package table holds every table of the project, CSV and JSON with the provenance of each figure, and the one reader of
// them. It checks the shape of a file; what its figures mean, and whether they agree with each other, is for the
// packages that ask for them. It imports nothing of the project.
package table

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/csv"
	"encoding/hex"
	"fmt"
	"io/fs"
	"slices"
	"strconv"
	"strings"
)

//go:embed *.csv *.json */*.csv
var files embed.FS

// Files is the folder of every table.
func Files() fs.FS { return files }

// HistoryFile is the history of rule sets. It stands among the tables and is none: it says what changed and changes nothing.
const HistoryFile = "rulesets.csv"

// Stamp names one table and its content, so that a report can say by which figures it was made.
type Stamp struct {
	Name   string `json:"name"`   // path below the folder of tables
	SHA256 string `json:"sha256"` // lower-case hexadecimal
}

// Stamps lists every table of a folder in the order of their paths, but not the history of rule sets.
func Stamps(folder fs.FS) ([]Stamp, error) {
	var stamps []Stamp
	err := fs.WalkDir(folder, ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || path == HistoryFile {
			return err
		}
		data, err := fs.ReadFile(folder, path)
		if err != nil {
			return err
		}
		if strings.HasSuffix(path, ".csv") || strings.HasSuffix(path, ".json") {
			sum := sha256.Sum256(data)
			stamps = append(stamps, Stamp{Name: path, SHA256: hex.EncodeToString(sum[:])})
		}
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("stamp the tables: %w", err)
	}
	return stamps, nil
}

// MustBytes is the content of one table; it panics when there is none of that path, which is a slip in the program.
func MustBytes(path string) []byte {
	data, err := files.ReadFile(path)
	if err != nil {
		panic(fmt.Sprintf("table: %v", err))
	}
	return data
}

// Rows reads a CSV text whose header must be exactly the columns given, and returns the rows below it.
func Rows(data []byte, columns ...string) ([][]string, error) {
	lines, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("read rows: %w", err)
	}
	if len(lines) == 0 || !slices.Equal(lines[0], columns) {
		return nil, fmt.Errorf("header is not %s", strings.Join(columns, ","))
	}
	return lines[1:], nil
}

// Row is one line of a table, read by column name. The first fault is kept, so that a reader of a row need not check each
// cell.
type Row struct {
	columns []string
	cells   []string
	err     error
}

// Text is a cell; a column that the table lacks is a fault.
func (r *Row) Text(column string) string {
	i := slices.Index(r.columns, column)
	if i < 0 {
		r.Fail(fmt.Errorf("no column %q", column))
		return ""
	}
	return r.cells[i]
}

// Fail keeps the first fault of a row; nil is none.
func (r *Row) Fail(err error) {
	if r.err == nil {
		r.err = err
	}
}

// Failed reports whether the row has a fault.
func (r *Row) Failed() bool { return r.err != nil }

// Number reads a decimal; an empty cell is zero.
func (r *Row) Number(column string) float64 {
	text := r.Text(column)
	if text == "" {
		return 0
	}
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		r.Fail(fmt.Errorf("column %s: %w", column, err))
	}
	return value
}

// Yes reads a cell that must be yes or no.
func (r *Row) Yes(column string) bool {
	text := r.Text(column)
	if text != "yes" && text != "no" {
		r.Fail(fmt.Errorf("column %s: %q is neither yes nor no", column, text))
	}
	return text == "yes"
}

// List reads a cell of parts between separators; an empty cell is an empty list.
func (r *Row) List(column, separator string) []string {
	text := r.Text(column)
	if text == "" {
		return []string{}
	}
	return strings.Split(text, separator)
}

// Each reads a table whose header must be exactly the columns given, and calls read for each row. It fails at the first row
// with a fault, naming it.
func Each(folder fs.FS, path string, columns []string, read func(*Row)) error {
	data, err := fs.ReadFile(folder, path)
	if err != nil {
		return fmt.Errorf("read %s: %w", path, err)
	}
	rows, err := Rows(data, columns...)
	if err != nil {
		return fmt.Errorf("read %s: %w", path, err)
	}
	for i, cells := range rows {
		row := &Row{columns: columns, cells: cells}
		if read(row); row.err != nil {
			return fmt.Errorf("read %s, row %d (%s): %w", path, i+2, cells[0], row.err)
		}
	}
	return nil
}
