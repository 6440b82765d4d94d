package ingest

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"reflect"
	"regexp"
	"slices"
	"unicode/utf8"

	"github.com/santhosh-tekuri/jsonschema/v5"
)

// quickSchema is a compiled schema that says yes or no, and of what it turns down which keywords are broken where; see breaches.
// Nearly every document that comes in is a good one, and for those the schema library spends most of its time on explanations that
// nobody will read: half of the time of a whole report. For a document with thousands of faults it takes two hundred times as long
// as for a report. quickSchema knows the keywords of our request schemas and no others: what it does not know keeps newQuickSchema
// from building one. A test and a fuzz target hold its yes and no, and the broken keywords, to those of the library.
type quickSchema struct {
	location string // of the compiled schema

	types     uint8 // a bit for each kind; 0: any
	enum      []string
	format    func(any) bool
	never     bool // the schema false
	ref       *quickSchema
	not       *quickSchema
	condition *quickSchema // if, then, else
	then      *quickSchema
	otherwise *quickSchema

	required      []string
	properties    map[string]*quickSchema
	closed        bool // no other properties
	minProperties int
	maxProperties int

	items    *quickSchema
	minItems int
	maxItems int

	minLength int
	maxLength int
	pattern   *regexp.Regexp

	minimum float64
	maximum float64
	above   float64 // exclusiveMinimum
	under   float64 // exclusiveMaximum
	whole   bool    // multipleOf 1
}

// Kinds of JSON values as bits; a whole number is of two kinds.
const (
	kindNull uint8 = 1 << iota
	kindBoolean
	kindNumber
	kindInteger
	kindString
	kindArray
	kindObject
)

var kindNames = map[string]uint8{
	"null": kindNull, "boolean": kindBoolean, "number": kindNumber, "integer": kindInteger,
	"string": kindString, "array": kindArray, "object": kindObject,
}

// newQuickSchema builds the quick check of a compiled schema. It fails for a keyword that it does not know.
func newQuickSchema(schema *jsonschema.Schema) (*quickSchema, error) {
	return quickSchemaOf(schema, map[*jsonschema.Schema]*quickSchema{})
}

// readFields are the fields of a compiled schema that a quickSchema reads, or that say nothing about what is valid.
var readFields = []string{
	"Location", "Draft", "Format", "Always", "Ref", "Types", "Enum", "Not", "If", "Then", "Else", "MinProperties", "MaxProperties",
	"Required", "Properties", "AdditionalProperties", "MinItems", "MaxItems", "Items2020", "MinLength", "MaxLength", "Pattern",
	"Minimum", "Maximum", "ExclusiveMinimum", "ExclusiveMaximum", "MultipleOf",
	"Title", "Description", "Default", "Comment", "ReadOnly", "WriteOnly", "Examples", "Deprecated",
	"ContainsEval",  // how contains would be counted
	"DynamicAnchor", // without a dynamic reference to it, it is a name
}

// defaults are fields that a schema has at these values where the keyword is not written.
var defaults = map[string]int{"MinContains": 1, "MaxContains": -1}

func quickSchemaOf(schema *jsonschema.Schema, done map[*jsonschema.Schema]*quickSchema) (*quickSchema, error) {
	if schema == nil {
		return nil, nil
	}
	if have, ok := done[schema]; ok {
		return have, nil
	}
	if err := checkFields(schema); err != nil {
		return nil, err
	}
	q := &quickSchema{
		location: schema.Location,
		never:    schema.Always != nil && !*schema.Always,
		required: schema.Required, minProperties: schema.MinProperties, maxProperties: schema.MaxProperties,
		minItems: schema.MinItems, maxItems: schema.MaxItems,
		minLength: schema.MinLength, maxLength: schema.MaxLength, pattern: schema.Pattern,
		minimum: math.Inf(-1), maximum: math.Inf(1), above: math.Inf(-1), under: math.Inf(1),
	}
	done[schema] = q
	for _, name := range schema.Types {
		q.types |= kindNames[name]
	}
	if err := q.readLimits(schema); err != nil {
		return nil, fmt.Errorf("quick check of %s: %w", schema.Location, err)
	}
	if err := q.readParts(schema, done); err != nil {
		return nil, err
	}
	return q, nil
}

// checkFields fails for a keyword that a quickSchema does not read.
func checkFields(schema *jsonschema.Schema) error {
	fields := reflect.ValueOf(*schema)
	for i := range fields.NumField() {
		field := fields.Type().Field(i)
		if !field.IsExported() || slices.Contains(readFields, field.Name) || fields.Field(i).IsZero() {
			continue
		}
		if value, ok := defaults[field.Name]; !ok || int(fields.Field(i).Int()) != value {
			return fmt.Errorf("quick check of %s: the keyword behind %s is not known", schema.Location, field.Name)
		}
	}
	return nil
}

// readLimits reads what the schema says of a value itself: its values, format, bounds and other members.
func (q *quickSchema) readLimits(schema *jsonschema.Schema) error {
	for _, item := range schema.Enum {
		text, ok := item.(string)
		if !ok {
			return fmt.Errorf("enum has %v, which is not a string", item)
		}
		q.enum = append(q.enum, text)
	}
	if schema.Format != "" {
		q.format = jsonschema.Formats[schema.Format] // none for those that only describe, such as double
	}
	switch additional := schema.AdditionalProperties.(type) {
	case nil:
	case bool:
		q.closed = !additional
	default:
		return errors.New("additionalProperties is a schema")
	}
	for _, bound := range []struct {
		keyword string
		from    *big.Rat
		into    *float64
	}{
		{"minimum", schema.Minimum, &q.minimum},
		{"maximum", schema.Maximum, &q.maximum},
		{"exclusiveMinimum", schema.ExclusiveMinimum, &q.above},
		{"exclusiveMaximum", schema.ExclusiveMaximum, &q.under},
	} {
		var err error
		if *bound.into, err = bounded(bound.from, *bound.into); err != nil {
			return fmt.Errorf("%s: %w", bound.keyword, err)
		}
	}
	if schema.MultipleOf != nil {
		if q.whole = schema.MultipleOf.Cmp(big.NewRat(1, 1)) == 0; !q.whole {
			return errors.New("multipleOf is not 1")
		}
	}
	return nil
}

// readParts reads the schemas that stand in the schema.
func (q *quickSchema) readParts(schema *jsonschema.Schema, done map[*jsonschema.Schema]*quickSchema) error {
	for _, part := range []struct {
		into *(*quickSchema)
		from *jsonschema.Schema
	}{
		{&q.ref, schema.Ref},
		{&q.not, schema.Not},
		{&q.condition, schema.If},
		{&q.then, schema.Then},
		{&q.otherwise, schema.Else},
		{&q.items, schema.Items2020},
	} {
		var err error
		if *part.into, err = quickSchemaOf(part.from, done); err != nil {
			return err
		}
	}
	q.properties = make(map[string]*quickSchema, len(schema.Properties))
	for name, property := range schema.Properties {
		part, err := quickSchemaOf(property, done)
		if err != nil {
			return err
		}
		q.properties[name] = part
	}
	return nil
}

// bounded is a bound of a schema as a float64. Comparing with it gives what comparing decimals gives, because the two print
// the same; a bound of more digits is refused.
func bounded(bound *big.Rat, none float64) (float64, error) {
	if bound == nil {
		return none, nil
	}
	value, _ := bound.Float64()
	if printed, ok := new(big.Rat).SetString(fmt.Sprint(value)); !ok || printed.Cmp(bound) != 0 {
		return 0, fmt.Errorf("%s has more digits than a float64", bound)
	}
	return value, nil
}

// accepts reports whether the schema finds nothing wrong with a value as readTree makes it.
func (q *quickSchema) accepts(value any) bool {
	if q == nil {
		return true
	}
	if q.never || !q.kind(value) || !q.within(value) {
		return false
	}
	if q.ref != nil && !q.ref.accepts(value) || q.not != nil && q.not.accepts(value) {
		return false
	}
	switch {
	case q.condition == nil:
		return true
	case q.condition.accepts(value):
		return q.then.accepts(value)
	}
	return q.otherwise.accepts(value)
}

// kind checks type, enum and format.
func (q *quickSchema) kind(value any) bool {
	if q.types != 0 && q.types&kindOf(value) == 0 {
		return false
	}
	if q.enum != nil && !q.listed(value) {
		return false
	}
	return q.format == nil || q.format(value)
}

func (q *quickSchema) listed(value any) bool {
	text, ok := value.(string)
	return ok && slices.Contains(q.enum, text)
}

func kindOf(value any) uint8 {
	switch value := value.(type) {
	case nil:
		return kindNull
	case bool:
		return kindBoolean
	case float64:
		if value == math.Trunc(value) {
			return kindNumber | kindInteger
		}
		return kindNumber
	case string:
		return kindString
	case []any:
		return kindArray
	case map[string]any:
		return kindObject
	}
	return 0
}

// within checks what the schema says of values of this kind.
func (q *quickSchema) within(value any) bool {
	switch value := value.(type) {
	case map[string]any:
		return q.object(value)
	case []any:
		if !between(len(value), q.minItems, q.maxItems) {
			return false
		}
		for _, item := range value {
			if !q.items.accepts(item) {
				return false
			}
		}
	case string:
		if (q.minLength >= 0 || q.maxLength >= 0) && !between(utf8.RuneCountInString(value), q.minLength, q.maxLength) {
			return false
		}
		return q.pattern == nil || q.pattern.MatchString(value)
	case float64:
		return value >= q.minimum && value <= q.maximum && value > q.above && value < q.under && (!q.whole || value == math.Trunc(value))
	}
	return true
}

func (q *quickSchema) object(members map[string]any) bool {
	if !between(len(members), q.minProperties, q.maxProperties) {
		return false
	}
	if q.lacks(members) {
		return false
	}
	if len(q.properties) == 0 && !q.closed {
		return true
	}
	for name, member := range members {
		property, ok := q.properties[name]
		if !ok && q.closed || ok && !property.accepts(member) {
			return false
		}
	}
	return true
}

// between checks a count; bounds below zero are none.
func between(count, least, most int) bool {
	return count >= least && (most < 0 || count <= most)
}
