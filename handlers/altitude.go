package handlers

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"

	"github.com/labstack/echo/v4"

	"jarwright/validate/altitude"
	"jarwright/validate/ingest"
	"jarwright/validate/measure"
	"jarwright/validate/table"
)

// Units that the query of getAltitude takes. They have no default: feet taken for meters would move a kitchen by bands.
var (
	elevationUnits = []string{"ft", "m"}
	boilingUnits   = []string{"C", "F"}
)

// numberForm is a number of JSON, which is also what the API document promises.
var numberForm = regexp.MustCompile(`^-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]+)?$`)

// queryReader reads query parameters and gathers what is wrong with them, so that all of it is told at once.
type queryReader struct {
	context echo.Context
	errors  []ProblemError
}

func (q *queryReader) refuse(name, code, detail string, params *ingest.Params) {
	q.errors = append(q.errors, ProblemError{Parameter: name, Code: code, Detail: detail, Params: params})
}

// text reads a parameter that stands once at most.
func (q *queryReader) text(name string) (string, bool) {
	values := q.context.QueryParams()[name]
	if len(values) > 1 {
		q.refuse(name, "repeated_parameter", "This parameter stands more than once.", nil)
		return "", false
	}
	if len(values) == 0 {
		return "", false
	}
	return values[0], true
}

// required reads a parameter that has to be there.
func (q *queryReader) required(name string) (string, bool) {
	value, ok := q.text(name)
	if !ok && len(q.context.QueryParams()[name]) == 0 {
		q.refuse(name, "missing_parameter", "This parameter is needed and has no default.", nil)
	}
	return value, ok
}

// oneOf reads a parameter with a closed list of values.
func (q *queryReader) oneOf(name string, allowed []string) (string, bool) {
	value, ok := q.required(name)
	if ok && !slices.Contains(allowed, value) {
		params := &ingest.Params{Got: shortened(value), Allowed: allowed, Nearest: measure.NearestName(value, allowed)}
		q.refuse(name, ingest.CodeNotAllowed, "This value is not one of those allowed.", params)
		return "", false
	}
	return value, ok
}

// number reads a decimal number.
func (q *queryReader) number(name string) (float64, bool) {
	text, ok := q.required(name)
	if !ok {
		return 0, false
	}
	value, err := strconv.ParseFloat(text, 64)
	if err != nil || !numberForm.MatchString(text) || math.IsInf(value, 0) {
		q.refuse(name, "not_a_number", "This is not a decimal number.", &ingest.Params{Got: shortened(text)})
		return 0, false
	}
	return value, true
}

// within refuses a value outside a range, with the nearer end as the limit.
func (q *queryReader) within(name string, value, low, high float64, unit string) bool {
	limit := low
	if value > high {
		limit = high
	}
	if value >= low && value <= high {
		return true
	}
	q.refuse(name, ingest.CodeOutOfRange, fmt.Sprintf("The value lies between %s and %s %s.", measure.FormatNumber(low), measure.FormatNumber(high), unit),
		&ingest.Params{Got: value, Limit: &limit, Unit: unit})
	return false
}

// getAltitude answers with what an elevation changes.
func (s *Server) getAltitude(c echo.Context) error {
	q := queryReader{context: c}
	question := s.readAltitude(&q)
	if len(q.errors) > 0 {
		return &failure{kind: kindUnknownParameter, detail: "Ask for example for elevation=5200&unit=ft.", errors: q.errors, total: len(q.errors)}
	}
	place, err := s.altitude.At(question)
	if errors.Is(err, table.ErrRange) {
		return &failure{kind: kindUnknownParameter, detail: "The elevation is out of range.", cause: err}
	}
	if err != nil {
		return err
	}
	body, err := newJSONAsset(place)
	if err != nil {
		return err
	}
	return body.serve(c)
}

func (s *Server) readAltitude(q *queryReader) altitude.Question {
	var question altitude.Question
	lowest, highest := s.altitude.Limits()
	question.Elevation, _ = quantityIn[measure.Length](s, q, "elevation", "unit", elevationUnits, lowest, highest)
	if id, ok := q.text("recipe"); ok {
		recipe, found := s.altitude.Recipe(id)
		if !found {
			params := &ingest.Params{Got: shortened(id), Nearest: s.altitude.NearestRecipe(shortened(id))}
			q.refuse("recipe", "unknown_recipe", "There is no tested recipe of this id; see /v1/recipes.", params)
		}
		question.Recipe = recipe
	}
	// The unit of the boiling point is needed with it and means nothing alone.
	query := q.context.QueryParams()
	if len(query["boiling_point"])+len(query["boiling_unit"]) > 0 {
		coolest, hottest := s.altitude.BoilingLimits()
		if boiling, ok := quantityIn[measure.Temperature](s, q, "boiling_point", "boiling_unit", boilingUnits, coolest, hottest); ok {
			question.BoilingPoint = &boiling
		}
	}
	return question
}

// quantityIn reads a number and its unit from two parameters and holds it to limits, which are shown in that unit.
func quantityIn[Q ~float64](s *Server, q *queryReader, name, unitName string, allowed []string, lowest, highest Q) (Q, bool) {
	value, given := q.number(name)
	code, known := q.oneOf(unitName, allowed)
	unit, found := s.altitude.Unit(code)
	if !given || !known || !found {
		return 0, false
	}
	if !q.within(name, value, measure.Round(unit.From(float64(lowest)), 2), measure.Round(unit.From(float64(highest)), 2), code) {
		return 0, false
	}
	// What is at a limit as it is shown may lie past it by a rounding.
	return min(max(Q(unit.SI(value)), lowest), highest), true
}
