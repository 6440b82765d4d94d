package ingest

import (
	"fmt"
	"slices"
	"strconv"

	"jarwright/validate/measure"
	"jarwright/validate/table"
)

// boundsTable holds the range of each quantity that this service reads as meant. The bounds are ours and have no source:
// they only catch slips of unit or decimal point that the schema, which sees value and unit apart, cannot.
const boundsTable = "request_bounds.csv"

var boundsColumns = []string{"pointer", "dimension", "low", "high", "unit", "quantity", "why"}

// bound is one row of request_bounds.csv. low and high are in unit; nil is no bound.
type bound struct {
	path      []string // tokens of the pointer; "*" stands for every entry of a list
	dimension measure.Dimension
	low, high *float64
	unit      measure.Unit
	quantity  string // what is bounded, in words
}

func loadBounds(data []byte, units *measure.Units) ([]bound, error) {
	rows, err := table.Rows(data, boundsColumns...)
	if err != nil {
		return nil, fmt.Errorf("read request_bounds.csv: %w", err)
	}
	var bounds []bound
	for i, row := range rows {
		b := bound{path: tokensOf(row[0]), dimension: measure.Dimension(row[1]), quantity: row[5]}
		var found bool
		if b.unit, found = units.Lookup(row[4]); !found || b.unit.Dimension != b.dimension {
			return nil, fmt.Errorf("read request_bounds.csv: line %d: %q is not a unit of %s", i+2, row[4], row[1])
		}
		if b.low, err = readLimit(row[2]); err != nil {
			return nil, fmt.Errorf("read request_bounds.csv: line %d: low: %w", i+2, err)
		}
		if b.high, err = readLimit(row[3]); err != nil {
			return nil, fmt.Errorf("read request_bounds.csv: line %d: high: %w", i+2, err)
		}
		bounds = append(bounds, b)
	}
	return bounds, nil
}

// readLimit reads one side of a bound; empty is none.
func readLimit(text string) (*float64, error) {
	if text == "" {
		return nil, nil
	}
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return nil, err
	}
	return &value, nil
}

// outOfRange lists the quantities of the tree that pass their bound. It reads what it can of a document that breaks
// the schema, so that both kinds of error are reported at once.
func (r *Reader) outOfRange(root any) []Error {
	var found []Error
	for _, b := range r.bounds {
		found = append(found, r.passing(b, root, b.path)...)
	}
	return found
}

// passing lists the errors at and below value, the rest of the path still to go. Pointers are completed on the way
// back, so that a document without errors pays nothing for them.
func (r *Reader) passing(b bound, value any, rest []string) []Error {
	if len(rest) == 0 {
		return r.passesBound(b, value)
	}
	switch value := value.(type) {
	case map[string]any:
		if member, present := value[rest[0]]; present {
			return below(rest[0], r.passing(b, member, rest[1:]))
		}
	case []any:
		if rest[0] != "*" {
			return nil
		}
		var found []Error
		for i, entry := range value {
			if inEntry := r.passing(b, entry, rest[1:]); len(inEntry) > 0 {
				found = append(found, below(strconv.Itoa(i), inEntry)...)
			}
		}
		return found
	}
	return nil
}

func below(token string, errors []Error) []Error {
	for i := range errors {
		errors[i].Pointer = "/" + token + errors[i].Pointer
	}
	return errors
}

func (r *Reader) passesBound(b bound, value any) []Error {
	quantity, _ := value.(map[string]any)
	amount, isNumber := quantity["value"].(float64)
	code, _ := quantity["unit"].(string)
	unit, known := r.units.Lookup(code)
	if !isNumber || !known || unit.Dimension != b.dimension {
		return nil
	}
	// 1 ft and 12 in differ in the last digit of a float64; one part in a thousand million is below any meaning here.
	const slack = 1e-9
	si := unit.SI(amount)
	limit, words := b.low, "less than %s %s, the least"
	switch {
	case b.low != nil && si < b.unit.SI(*b.low)-slack:
	case b.high != nil && si > b.unit.SI(*b.high)*(1+slack):
		limit, words = b.high, "more than %s %s, the most"
	default:
		return nil
	}
	return []Error{{
		Pointer: "/value",
		Code:    CodeOutOfRange,
		Detail: fmt.Sprintf("%s %s is "+words+" that is read as %s.",
			number(amount), code, number(*limit), b.unit.Code, b.quantity),
		Params: &Params{Got: amount, Limit: limit, Unit: b.unit.Code},
	}}
}

// Allows tells whether Request would take this value at this place of a document. A place that no bound is set for allows
// every value.
func (r *Reader) Allows(pointer string, value float64, unit string) bool {
	tokens := tokensOf(pointer)
	for _, b := range r.bounds {
		if !slices.EqualFunc(b.path, tokens, func(pattern, token string) bool { return pattern == "*" || pattern == token }) {
			continue
		}
		if len(r.passesBound(b, map[string]any{"value": value, "unit": unit})) > 0 {
			return false
		}
	}
	return true
}
