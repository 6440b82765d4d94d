package ingest

import (
	"fmt"
	"math"
	"math/big"
	"reflect"
	"regexp"
	"slices"
	"unicode/utf8"

	"github.com/santhosh-tekuri/jsonschema/v5"
)

// acceptor is a compiled schema that can only say yes or no. Nearly every document that comes in is a good one, and for
// those the schema library spends most of its time on explanations that nobody will read: half of the time of a whole
// report. So the acceptor looks first and the library is asked only about what it turns down. It knows the keywords of our
// request schemas and no others: what it does not know keeps newAcceptor from building one. A test and a fuzz target hold
// its yes and no to those of the library.
type acceptor struct {
	types     uint8 // a bit for each kind; 0: any
	enum      []string
	format    func(any) bool
	never     bool // the schema false
	ref       *acceptor
	not       *acceptor
	condition *acceptor // if, then, else
	then      *acceptor
	otherwise *acceptor

	required      []string
	properties    map[string]*acceptor
	closed        bool // no other properties
	minProperties int
	maxProperties int

	items    *acceptor
	minItems int
	maxItems int

	minLength int
	maxLength int
	pattern   *regexp.Regexp

	minimum float64
	maximum float64
	whole   bool // multipleOf 1
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

// newAcceptor builds the acceptor of a compiled schema. It fails for a keyword that it does not know.
func newAcceptor(schema *jsonschema.Schema) (*acceptor, error) {
	return acceptorOf(schema, map[*jsonschema.Schema]*acceptor{})
}

// known are the fields of a compiled schema that an acceptor reads, or that say nothing about what is valid.
var known = []string{
	"Location", "Draft", "Format", "Always", "Ref", "Types", "Enum", "Not", "If", "Then", "Else", "MinProperties", "MaxProperties",
	"Required", "Properties", "AdditionalProperties", "MinItems", "MaxItems", "Items2020", "MinLength", "MaxLength", "Pattern",
	"Minimum", "Maximum", "MultipleOf", "Title", "Description", "Default", "Comment", "ReadOnly", "WriteOnly", "Examples", "Deprecated",
	"ContainsEval",  // how contains would be counted
	"DynamicAnchor", // without a dynamic reference to it, it is a name
}

// defaults are fields that a schema has at these values where the keyword is not written.
var defaults = map[string]int{"MinContains": 1, "MaxContains": -1}

func acceptorOf(schema *jsonschema.Schema, done map[*jsonschema.Schema]*acceptor) (*acceptor, error) {
	if schema == nil {
		return nil, nil
	}
	if a, ok := done[schema]; ok {
		return a, nil
	}
	fields := reflect.ValueOf(*schema)
	for i := range fields.NumField() {
		field := fields.Type().Field(i)
		if !field.IsExported() || slices.Contains(known, field.Name) || fields.Field(i).IsZero() {
			continue
		}
		if value, ok := defaults[field.Name]; !ok || int(fields.Field(i).Int()) != value {
			return nil, fmt.Errorf("quick check of %s: the keyword behind %s is not known", schema.Location, field.Name)
		}
	}
	a := &acceptor{
		never:    schema.Always != nil && !*schema.Always,
		required: schema.Required, minProperties: schema.MinProperties, maxProperties: schema.MaxProperties,
		minItems: schema.MinItems, maxItems: schema.MaxItems,
		minLength: schema.MinLength, maxLength: schema.MaxLength, pattern: schema.Pattern,
		minimum: math.Inf(-1), maximum: math.Inf(1),
	}
	done[schema] = a
	for _, name := range schema.Types {
		a.types |= kindNames[name]
	}
	for _, item := range schema.Enum {
		text, ok := item.(string)
		if !ok {
			return nil, fmt.Errorf("quick check of %s: enum has %v, which is not a string", schema.Location, item)
		}
		a.enum = append(a.enum, text)
	}
	if schema.Format != "" {
		a.format = jsonschema.Formats[schema.Format] // none for those that only describe, such as double
	}
	switch additional := schema.AdditionalProperties.(type) {
	case nil:
	case bool:
		a.closed = !additional
	default:
		return nil, fmt.Errorf("quick check of %s: additionalProperties is a schema", schema.Location)
	}
	var err error
	if a.minimum, err = bounded(schema.Minimum, a.minimum); err != nil {
		return nil, fmt.Errorf("quick check of %s: minimum: %w", schema.Location, err)
	}
	if a.maximum, err = bounded(schema.Maximum, a.maximum); err != nil {
		return nil, fmt.Errorf("quick check of %s: maximum: %w", schema.Location, err)
	}
	if schema.MultipleOf != nil {
		if a.whole = schema.MultipleOf.Cmp(big.NewRat(1, 1)) == 0; !a.whole {
			return nil, fmt.Errorf("quick check of %s: multipleOf is not 1", schema.Location)
		}
	}
	for _, part := range []struct {
		into *(*acceptor)
		from *jsonschema.Schema
	}{
		{&a.ref, schema.Ref},
		{&a.not, schema.Not},
		{&a.condition, schema.If},
		{&a.then, schema.Then},
		{&a.otherwise, schema.Else},
		{&a.items, schema.Items2020},
	} {
		if *part.into, err = acceptorOf(part.from, done); err != nil {
			return nil, err
		}
	}
	a.properties = make(map[string]*acceptor, len(schema.Properties))
	for name, property := range schema.Properties {
		if a.properties[name], err = acceptorOf(property, done); err != nil {
			return nil, err
		}
	}
	return a, nil
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
func (a *acceptor) accepts(value any) bool {
	if a == nil {
		return true
	}
	if a.never || !a.kind(value) || !a.within(value) {
		return false
	}
	if a.ref != nil && !a.ref.accepts(value) || a.not != nil && a.not.accepts(value) {
		return false
	}
	switch {
	case a.condition == nil:
		return true
	case a.condition.accepts(value):
		return a.then.accepts(value)
	}
	return a.otherwise.accepts(value)
}

// kind checks type, enum and format.
func (a *acceptor) kind(value any) bool {
	if a.types != 0 && a.types&kindOf(value) == 0 {
		return false
	}
	if a.enum != nil {
		text, ok := value.(string)
		if !ok || !slices.Contains(a.enum, text) {
			return false
		}
	}
	return a.format == nil || a.format(value)
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
func (a *acceptor) within(value any) bool {
	switch value := value.(type) {
	case map[string]any:
		return a.object(value)
	case []any:
		if !between(len(value), a.minItems, a.maxItems) {
			return false
		}
		for _, item := range value {
			if !a.items.accepts(item) {
				return false
			}
		}
	case string:
		if (a.minLength >= 0 || a.maxLength >= 0) && !between(utf8.RuneCountInString(value), a.minLength, a.maxLength) {
			return false
		}
		return a.pattern == nil || a.pattern.MatchString(value)
	case float64:
		return value >= a.minimum && value <= a.maximum && (!a.whole || value == math.Trunc(value))
	}
	return true
}

func (a *acceptor) object(members map[string]any) bool {
	if !between(len(members), a.minProperties, a.maxProperties) {
		return false
	}
	for _, name := range a.required {
		if _, ok := members[name]; !ok {
			return false
		}
	}
	if len(a.properties) == 0 && !a.closed {
		return true
	}
	for name, member := range members {
		property, ok := a.properties[name]
		if !ok && a.closed || ok && !property.accepts(member) {
			return false
		}
	}
	return true
}

// between checks a count; bounds below zero are none.
func between(count, least, most int) bool {
	return count >= least && (most < 0 || count <= most)
}
