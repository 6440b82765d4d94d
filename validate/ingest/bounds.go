package ingest

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"

	"jarwright/validate/measure"
	"jarwright/validate/table"
)

// boundsTable holds the range of each quantity and number that this service reads as meant. The bounds are common practice
// and have no source: they catch slips of unit or decimal point, which the schema, seeing value and unit apart, can catch
// only in part, and they keep out what is too small or too large to be reckoned with.
const boundsTable = "request_bounds.csv"

var boundsColumns = []string{"pointer", "dimension", "zero", "low", "high", "unit", "quantity", "why"}

// dimensionNumber is the dimension of a member that is a number without a unit.
const dimensionNumber measure.Dimension = "number"

// Limits are the least and the most that one place of a document takes, in one unit.
type Limits struct {
	Least, Most float64
	Zero        bool // 0 is taken, although it is less than Least
}

// Take tells whether a value is between the limits.
func (l Limits) Take(value float64) bool {
	return value >= l.Least && value <= l.Most || value == 0 && l.Zero
}

// bound is what request_bounds.csv says of one place: a row for each dimension that it takes.
type bound struct {
	path      []string          // tokens of the pointer; "*" stands for every entry of a list
	dimension measure.Dimension // of the first row
	quantity  string            // what is bounded, in words
	limits    map[string]Limits // by the code of the unit that is written; "" for a number without one
}

// Bounds are the least and the greatest amounts that a document may have at each of its places. They are read-only.
type Bounds struct {
	rows []bound
}

// LoadBounds reads the embedded table. It fails when a row is broken.
func LoadBounds(units *measure.Units) (*Bounds, error) {
	return readBounds(table.MustBytes(boundsTable), units)
}

func readBounds(data []byte, units *measure.Units) (*Bounds, error) {
	rows, err := table.Rows(data, boundsColumns...)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", boundsTable, err)
	}
	var bounds Bounds
	for i, row := range rows {
		b, err := readBound(row, units)
		if err != nil {
			return nil, fmt.Errorf("read %s: line %d: %w", boundsTable, i+2, err)
		}
		same := slices.IndexFunc(bounds.rows, func(have bound) bool { return slices.Equal(have.path, b.path) })
		if same < 0 {
			bounds.rows = append(bounds.rows, b)
			continue
		}
		maps.Copy(bounds.rows[same].limits, b.limits)
	}
	return &bounds, nil
}

func readBound(row []string, units *measure.Units) (bound, error) {
	b := bound{path: tokensOf(row[0]), dimension: measure.Dimension(row[1]), quantity: row[6], limits: map[string]Limits{}}
	var stated Limits
	var err error
	if row[2] != "yes" && row[2] != "no" {
		return bound{}, fmt.Errorf("zero is %q, which is neither yes nor no", row[2])
	}
	stated.Zero = row[2] == "yes"
	if stated.Least, err = strconv.ParseFloat(row[3], 64); err != nil {
		return bound{}, fmt.Errorf("low: %w", err)
	}
	if stated.Most, err = strconv.ParseFloat(row[4], 64); err != nil {
		return bound{}, fmt.Errorf("high: %w", err)
	}
	if stated.Least >= stated.Most {
		return bound{}, fmt.Errorf("low %g is not below high %g", stated.Least, stated.Most)
	}
	if b.dimension == dimensionNumber {
		b.limits[""] = stated
		return b, nil
	}
	stands, found := units.Lookup(row[5])
	if !found || stands.Dimension != b.dimension {
		return bound{}, fmt.Errorf("%q is not a unit of %s", row[5], row[1])
	}
	for _, unit := range units.ByDimension(b.dimension) {
		b.limits[unit.Code] = Limits{
			Least: written(unit.From(stands.SI(stated.Least)), math.Ceil),
			Most:  written(unit.From(stands.SI(stated.Most)), math.Floor),
			Zero:  stated.Zero,
		}
	}
	return b, nil
}

// written is a limit as it is shown in an error: of six digits, rounded to the inside, so that what is shown is what holds.
func written(limit float64, inside func(float64) float64) float64 {
	if limit == 0 {
		return 0
	}
	scale := math.Pow10(5 - int(math.Floor(math.Log10(math.Abs(limit)))))
	scaled := limit * scale
	// What misses six digits by no more than float arithmetic does is meant to have them: 1 ft is 12 in.
	whole := math.Round(scaled)
	if math.Abs(scaled-whole) > 1e-6 {
		whole = inside(scaled)
	}
	short, err := strconv.ParseFloat(strconv.FormatFloat(whole/scale, 'g', 6, 64), 64)
	if err != nil {
		return limit
	}
	return short
}

// outOfRange lists the quantities of the tree that pass their bound. It reads what it can of a document that breaks
// the schema, so that both kinds of error are reported at once.
func (b *Bounds) outOfRange(root any) []Error {
	var found []Error
	for i := range b.rows {
		found = append(found, b.rows[i].passing(root, b.rows[i].path)...)
	}
	return found
}

// passing lists the errors at and below value, the rest of the path still to go. Pointers are completed on the way
// back, so that a document without errors pays nothing for them.
func (b *bound) passing(value any, rest []string) []Error {
	if len(rest) == 0 {
		return b.passedBy(value)
	}
	switch value := value.(type) {
	case map[string]any:
		if member, present := value[rest[0]]; present {
			return below(rest[0], b.passing(member, rest[1:]))
		}
	case []any:
		if rest[0] != "*" {
			return nil
		}
		var found []Error
		for i, entry := range value {
			if inEntry := b.passing(entry, rest[1:]); len(inEntry) > 0 {
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

// passedBy is the error of a value, none where it is within the bound or is of another kind than the bound speaks of.
func (b *bound) passedBy(value any) []Error {
	pointer, code := "", ""
	amount, isNumber := value.(float64)
	if b.dimension != dimensionNumber {
		quantity, _ := value.(map[string]any)
		pointer = "/value"
		amount, isNumber = quantity["value"].(float64)
		code, _ = quantity["unit"].(string)
	}
	limits, known := b.limits[code]
	if !isNumber || !known || limits.Take(amount) {
		return nil
	}
	return []Error{limits.refuse(pointer, amount, code, b.quantity)}
}

// refuse notes the error of an amount that is outside of the limits.
func (l Limits) refuse(pointer string, amount float64, unit, quantity string) Error {
	limit := l.Least
	if amount > l.Most {
		limit = l.Most
	}
	return Error{
		Pointer: pointer, Code: CodeOutOfRange, Params: &Params{Got: amount, Limit: &limit, Least: &l.Least, Most: &l.Most, Unit: unit},
		words: func(e *Error) { e.Detail = l.inWords(amount, unit, quantity) },
	}
}

// inWords says of an amount outside of the limits which it has passed.
func (l Limits) inWords(amount float64, unit, quantity string) string {
	in := func(value float64) string {
		if unit == "" {
			return number(value)
		}
		return number(value) + " " + unit
	}
	but := ""
	if l.Zero && l.Least > 0 {
		but = " besides 0"
	}
	if amount > l.Most {
		return fmt.Sprintf("%s is more than %s, the most that is read as %s; the least%s is %s.", in(amount), in(l.Most), quantity, but, in(l.Least))
	}
	return fmt.Sprintf("%s is less than %s, the least that is read as %s%s; the most is %s.", in(amount), in(l.Least), quantity, but, in(l.Most))
}

// Limits are those of one place of a document in one unit; "" is the unit of a number without one. It reports false for a
// place or a unit that no bound is set for.
func (b *Bounds) Limits(pointer, unit string) (Limits, bool) {
	tokens := tokensOf(pointer)
	for i := range b.rows {
		row := &b.rows[i]
		if !slices.EqualFunc(row.path, tokens, func(pattern, token string) bool { return pattern == "*" || pattern == token }) {
			continue
		}
		if limits, known := row.limits[unit]; known {
			return limits, true
		}
	}
	return Limits{}, false
}

// Allows tells whether Request would take this value at this place of a document. A place that no bound is set for allows
// every value.
func (b *Bounds) Allows(pointer string, value float64, unit string) bool {
	limits, known := b.Limits(pointer, unit)
	return !known || limits.Take(value)
}
