package measure

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"jarwright/validate/table"
)

// Dimension is the kind of quantity a unit measures.
type Dimension string

// Values of Dimension.
const (
	DimensionMass        Dimension = "mass"
	DimensionVolume      Dimension = "volume"
	DimensionLength      Dimension = "length"
	DimensionDuration    Dimension = "duration"
	DimensionTemperature Dimension = "temperature"
	DimensionPressure    Dimension = "pressure"
	DimensionCount       Dimension = "count"      // pieces; the factor is 1
	DimensionPart        Dimension = "part"       // a share of a mixture; the factor is 1
	DimensionUnmeasured  Dimension = "unmeasured" // to_cover and as_needed: an amount nobody measured
)

// Codes of units that the code itself names.
const (
	CodeToCover  = "to_cover"
	CodeAsNeeded = "as_needed"
	CodeEach     = "each"
	CodePart     = "part"
)

// Unit is one row of the unit table. Its code is the only way to name it in a document, and is case-sensitive.
type Unit struct {
	Code       string    `json:"code"`
	Name       string    `json:"name"`
	Dimension  Dimension `json:"dimension"`
	Factor     float64   `json:"factor"`           // SI = (value + Offset) x Factor
	Offset     float64   `json:"offset,omitempty"` // zero but for temperatures
	Exact      bool      `json:"exact"`            // the factor holds by definition, without rounding
	Definition string    `json:"definition"`
	Spellings  []string  `json:"spellings"` // how people write it; only read to suggest the code
	Source     string    `json:"source"`
	Locator    string    `json:"locator,omitempty"` // the code in UCUM, where it has one
	Verified   string    `json:"verified"`          // read, derived or recalled
}

// SI turns a value in u into the SI unit of its dimension (kg, m3, m, s, K, Pa). For counts and unmeasured units it
// returns the value.
func (u Unit) SI(value float64) float64 { return (value + u.Offset) * u.Factor }

// From is the inverse of SI: it turns an SI value into u.
func (u Unit) From(si float64) float64 { return si/u.Factor - u.Offset }

// Units is the unit table, loaded. The zero value is an empty table.
type Units struct {
	all       []Unit
	index     map[string]int
	spellings map[string]string // spelling as written to code
	folded    map[string]string // spelling in lower case to code, where that is one code only
	near      *Names            // spellings in which a wrong one is looked for; nil in the empty table
}

// unitColumns is the header of units.csv.
var unitColumns = []string{
	"code", "name", "dimension", "factor", "offset", "exactness", "definition", "source", "locator", "verified", "spellings",
}

// LoadUnits reads the embedded unit table. It fails when a row is broken, or a code or spelling stands for two units.
func LoadUnits() (*Units, error) {
	units, err := readUnits(table.MustBytes("measure/units.csv"))
	if err != nil {
		return nil, fmt.Errorf("load units.csv: %w", err)
	}
	return units, nil
}

func readUnits(data []byte) (*Units, error) {
	rows, err := table.Rows(data, unitColumns...)
	if err != nil {
		return nil, err
	}
	units := &Units{index: map[string]int{}, spellings: map[string]string{}, folded: map[string]string{}}
	for i, row := range rows {
		unit, err := readUnit(row)
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", i+2, err)
		}
		if _, taken := units.index[unit.Code]; taken {
			return nil, fmt.Errorf("line %d: code %q stands twice", i+2, unit.Code)
		}
		units.index[unit.Code] = len(units.all)
		units.all = append(units.all, unit)
	}
	return units, units.indexSpellings()
}

func readUnit(row []string) (Unit, error) {
	unit := Unit{
		Code: row[0], Name: row[1], Dimension: Dimension(row[2]), Exact: row[5] == "exact", Definition: row[6],
		Source: row[7], Locator: row[8], Verified: row[9], Spellings: []string{},
	}
	if row[10] != "" {
		unit.Spellings = strings.Split(row[10], "|")
	}
	if !slices.Contains(Dimensions(), unit.Dimension) {
		return Unit{}, fmt.Errorf("unit %q has the unknown dimension %q", unit.Code, unit.Dimension)
	}
	var err error
	if unit.Factor, err = parseFactor(row[3]); err != nil {
		return Unit{}, fmt.Errorf("factor of %q: %w", unit.Code, err)
	}
	if unit.Offset, err = strconv.ParseFloat(row[4], 64); err != nil {
		return Unit{}, fmt.Errorf("offset of %q: %w", unit.Code, err)
	}
	return unit, nil
}

// parseFactor reads a decimal, or a fraction such as 5/9 that no decimal states exactly.
func parseFactor(text string) (float64, error) {
	numerator, denominator, isFraction := strings.Cut(text, "/")
	value, err := strconv.ParseFloat(numerator, 64)
	if err != nil {
		return 0, err
	}
	if isFraction {
		divisor, err := strconv.ParseFloat(denominator, 64)
		if err != nil {
			return 0, err
		}
		value /= divisor
	}
	if !(value > 0) {
		return 0, fmt.Errorf("%q is not above zero", text)
	}
	return value, nil
}

func (t *Units) indexSpellings() error {
	ambiguous := map[string]bool{}
	var long []string
	for _, unit := range t.all {
		for _, spelling := range append([]string{unit.Code}, unit.Spellings...) {
			if utf8.RuneCountInString(spelling) >= 3 { // every short word is near to a one-letter spelling
				long = append(long, spelling)
			}
			if code, taken := t.spellings[spelling]; taken && code != unit.Code {
				return fmt.Errorf("spelling %q stands for %s and %s", spelling, code, unit.Code)
			}
			t.spellings[spelling] = unit.Code
			key := strings.ToLower(spelling)
			if code, taken := t.folded[key]; taken && code != unit.Code {
				ambiguous[key] = true
			}
			t.folded[key] = unit.Code
		}
	}
	for key := range ambiguous {
		delete(t.folded, key)
	}
	t.near = NewNames(long)
	return nil
}

// Dimensions lists every dimension in the order of the table.
func Dimensions() []Dimension {
	return []Dimension{
		DimensionMass, DimensionVolume, DimensionLength, DimensionDuration, DimensionTemperature, DimensionPressure,
		DimensionCount, DimensionPart, DimensionUnmeasured,
	}
}

// All lists the units in the order of the table.
func (t *Units) All() []Unit { return slices.Clone(t.all) }

// Lookup finds a unit by its exact, case-sensitive code.
func (t *Units) Lookup(code string) (Unit, bool) {
	i, found := t.index[code]
	if !found {
		return Unit{}, false
	}
	return t.all[i], true
}

// ByDimension lists the units of one dimension in the order of the table.
func (t *Units) ByDimension(dimension Dimension) []Unit {
	var units []Unit
	for _, unit := range t.all {
		if unit.Dimension == dimension {
			units = append(units, unit)
		}
	}
	return units
}

// Nearest proposes the code that a wrong one was most likely meant to be. It tries the known spellings as written
// ("T" is a tablespoon, "t" a teaspoon), then without regard to case, then the code or spelling at the smallest edit
// distance, as NearestName does. It reports false when nothing is that near.
func (t *Units) Nearest(wrong string) (code string, ok bool) {
	text := strings.TrimSpace(wrong)
	if code, found := t.spellings[text]; found {
		return code, true
	}
	text = strings.ToLower(text)
	if code, found := t.folded[text]; found {
		return code, true
	}
	if t.near == nil {
		return "", false
	}
	at, ok := t.near.Nearest(text)
	if !ok {
		return "", false
	}
	return t.spellings[t.near.known[at]], true
}

// Convert turns a value in the unit from into the unit to. It fails for an unknown code and for units of different
// dimensions, and for counts and unmeasured amounts of different codes, between which no factor exists.
func (t *Units) Convert(value float64, from, to string) (float64, error) {
	source, found := t.Lookup(from)
	if !found {
		return 0, fmt.Errorf("convert %s to %s: unknown unit %q", from, to, from)
	}
	target, found := t.Lookup(to)
	if !found {
		return 0, fmt.Errorf("convert %s to %s: unknown unit %q", from, to, to)
	}
	if source.Code == target.Code {
		return value, nil
	}
	uncountable := source.Dimension == DimensionCount || source.Dimension == DimensionPart || source.Dimension == DimensionUnmeasured
	if source.Dimension != target.Dimension || uncountable {
		return 0, fmt.Errorf("convert %s to %s: no factor between %s and %s", from, to, source.Dimension, target.Dimension)
	}
	return target.From(source.SI(value)), nil
}

// SI is a value of the unit with a code in the SI unit of its dimension. It reports false for an absent value and for a code
// that stands for no unit.
func (t *Units) SI(value *float64, code string) (float64, bool) {
	if value == nil {
		return 0, false
	}
	unit, ok := t.Lookup(code)
	if !ok {
		return 0, false
	}
	return unit.SI(*value), true
}
