package ingest

import (
	"math"
	"strconv"
	"unicode/utf8"
)

// spot is a value of a document by the way to it. It is written as a pointer only where something is wrong with the value.
type spot struct {
	above *spot
	name  string // of the member
	index int    // of the entry, where there is no name
	entry bool
}

func (s *spot) pointer() string {
	if s == nil {
		return ""
	}
	if s.entry {
		return s.above.pointer() + "/" + strconv.Itoa(s.index)
	}
	return child(s.above.pointer(), s.name)
}

// breach is a keyword of a schema that a value does not hold.
type breach struct {
	at      string // the pointer to the value
	schema  *quickSchema
	keyword string
}

// location is where the keyword stands, as the schema library says it.
func (b breach) location() string {
	if b.keyword == "" {
		return b.schema.location
	}
	return b.schema.location + "/" + b.keyword
}

// breaches adds what the schema finds wrong with a value and with all that stands in it, each keyword once. It finds what the
// schema library finds, to which tests hold it, and goes through the document once: the library takes a hundred milliseconds
// to explain a document that is wrong in a thousand places.
func (q *quickSchema) breaches(value any, at *spot, found []breach) []breach {
	if q == nil {
		return found
	}
	switch {
	case q.never:
		return append(found, breach{at.pointer(), q, ""})
	case q.types != 0 && q.types&kindOf(value) == 0:
		return append(found, breach{at.pointer(), q, "type"}) // nothing else is said of a value of another type
	}
	for _, each := range q.broken(value) {
		found = append(found, breach{at.pointer(), q, each})
	}
	switch value := value.(type) {
	case map[string]any:
		for name, property := range q.properties { // the errors are sorted before anyone sees them
			if member, ok := value[name]; ok {
				found = property.breaches(member, &spot{above: at, name: name}, found)
			}
		}
	case []any:
		for i, entry := range value {
			found = q.items.breaches(entry, &spot{above: at, index: i, entry: true}, found)
		}
	}
	found = q.ref.breaches(value, at, found)
	switch {
	case q.condition == nil:
		return found
	case q.condition.accepts(value):
		return q.then.breaches(value, at, found)
	}
	return q.otherwise.breaches(value, at, found)
}

// broken are the keywords of this schema that a value of the right type does not hold, without what stands in the value.
func (q *quickSchema) broken(value any) []string {
	var keywords []string
	wrong := func(isWrong bool, keyword string) {
		if isWrong {
			keywords = append(keywords, keyword)
		}
	}
	wrong(q.enum != nil && !q.listed(value), "enum")
	wrong(q.format != nil && !q.format(value), "format")
	wrong(q.not != nil && q.not.accepts(value), "not")
	switch value := value.(type) {
	case map[string]any:
		wrong(len(value) < q.minProperties, "minProperties")
		wrong(q.maxProperties >= 0 && len(value) > q.maxProperties, "maxProperties")
		wrong(q.lacks(value), "required")
		wrong(q.closed && q.hasStranger(value), "additionalProperties")
	case []any:
		wrong(len(value) < q.minItems, "minItems")
		wrong(q.maxItems >= 0 && len(value) > q.maxItems, "maxItems")
	case string:
		wrong(q.minLength >= 0 && utf8.RuneCountInString(value) < q.minLength, "minLength")
		wrong(q.maxLength >= 0 && utf8.RuneCountInString(value) > q.maxLength, "maxLength")
		wrong(q.pattern != nil && !q.pattern.MatchString(value), "pattern")
	case float64:
		wrong(value < q.minimum, "minimum")
		wrong(value > q.maximum, "maximum")
		wrong(value <= q.above, "exclusiveMinimum")
		wrong(value >= q.under, "exclusiveMaximum")
		wrong(q.whole && value != math.Trunc(value), "multipleOf")
	}
	return keywords
}

// lacks tells whether a member is missing that has to be there.
func (q *quickSchema) lacks(members map[string]any) bool {
	for _, name := range q.required {
		if _, ok := members[name]; !ok {
			return true
		}
	}
	return false
}

// hasStranger tells whether a member is there that the schema does not know.
func (q *quickSchema) hasStranger(members map[string]any) bool {
	for name := range members {
		if _, ok := q.properties[name]; !ok {
			return true
		}
	}
	return false
}
