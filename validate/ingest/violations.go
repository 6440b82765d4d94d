package ingest

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/go-json-experiment/json"

	"jarwright/schemas"
	"jarwright/validate/measure"
)

// shapes holds the schema files as plain values, by address, to look up what a broken schema node allows.
type shapes map[string]any

func loadShapes() (shapes, error) {
	byAddress := shapes{}
	for _, name := range schemas.Names() {
		data, err := schemas.Read(name)
		if err != nil {
			return nil, err
		}
		var value any
		if err := json.Unmarshal(data, &value); err != nil {
			return nil, fmt.Errorf("read schema %s: %w", name, err)
		}
		byAddress[schemas.BaseURL+name] = value
	}
	return byAddress, nil
}

// node finds the schema object that holds the keyword at an absolute keyword location, and that keyword.
func (s shapes) node(location string) (node map[string]any, keyword string) {
	address, fragment, _ := strings.Cut(location, "#")
	tokens := tokensOf(pointerOf(fragment))
	if len(tokens) == 0 {
		return nil, ""
	}
	value := descend(s[address], tokens[:len(tokens)-1])
	node, _ = value.(map[string]any)
	return node, tokens[len(tokens)-1]
}

// descend follows tokens into a tree; it gives nil where there is nothing.
func descend(value any, tokens []string) any {
	for _, token := range tokens {
		switch inner := value.(type) {
		case map[string]any:
			value = inner[token]
		case []any:
			index, err := strconv.Atoi(token)
			if err != nil || index < 0 || index >= len(inner) {
				return nil
			}
			value = inner[index]
		default:
			return nil
		}
	}
	return value
}

// keyword is one of a schema, in the object that it stands in.
type keyword struct {
	name string
	node map[string]any
}

// violationsOf lists every breach of one schema, in no particular order.
func (r *Reader) violationsOf(schema *quickSchema, t tree) []Error {
	if schema.accepts(t.root) {
		return nil
	}
	breaches := schema.breaches(t.root, nil, nil)
	found := make([]Error, 0, len(breaches))
	known := map[breach]keyword{} // many are of the same keyword, each of which is looked up once
	for _, each := range breaches {
		at := each.at
		each.at = ""
		of, isKnown := known[each]
		if !isKnown {
			of.node, of.name = r.shapes.node(each.location())
			known[each] = of
		}
		found = append(found, r.translate(of, at, t)...)
	}
	return found
}

// codesOfKeywords are the codes of breaches that are one error each. That of an enum may turn out to be narrower.
var codesOfKeywords = map[string]string{
	"type": CodeWrongType, "enum": CodeNotAllowed, "format": CodeBadFormat, "pattern": CodeBadFormat,
	"minimum": CodeTooSmall, "maximum": CodeTooLarge, "multipleOf": CodeNotWhole,
	"minLength": CodeTooShort, "maxLength": CodeTooLong, "minItems": CodeTooFew, "maxItems": CodeTooMany,
}

// translate notes one breach. What was found and what is allowed are read from the document and the schema, once it is known which
// errors are listed.
func (r *Reader) translate(of keyword, at string, t tree) []Error {
	one := func(code, detail string, params Params) []Error {
		return []Error{{Pointer: at, Code: code, Detail: detail, Params: &params}}
	}
	switch of.name {
	case "required":
		return missingMembers(of.node, at, descend(t.root, tokensOf(at)))
	case "additionalProperties":
		return unknownMembers(of.node, at, descend(t.root, tokensOf(at)))
	case "minProperties", "maxProperties":
		members, _ := descend(t.root, tokensOf(at)).(map[string]any)
		return one(CodeNotAllowed, "Exactly one member is expected here.", Params{Got: len(members)})
	case "not":
		value := descend(t.root, tokensOf(at))
		if got, isNumber := value.(float64); isNumber {
			return one(nearlyZero(of.node, got))
		}
		return forbiddenMembers(of.node, at, value)
	case "format":
		if of.node["format"] == "uri" && of.node["pattern"] != nil {
			return nil // the pattern is narrower, and speaks for both
		}
	}
	code, isOne := codesOfKeywords[of.name]
	if !isOne {
		return one(CodeNotAllowed, "This is not allowed here.", Params{})
	}
	return []Error{{Pointer: at, Code: code, words: func(e *Error) {
		var params Params
		e.Code, e.Detail, params = r.describe(of, at, t)
		e.Params = &params
	}}}
}

// describe puts a breach that is one error into words.
func (r *Reader) describe(of keyword, at string, t tree) (code, detail string, params Params) {
	value := descend(t.root, tokensOf(at))
	switch of.name {
	case "type":
		return wrongType(of.node, value)
	case "enum":
		return r.notAllowed(of.node, at, value)
	case "format":
		return badFormat(of.node, value)
	case "pattern":
		if of.node["format"] == "uri" {
			return badAddress(of.node, value)
		}
		return badPattern(of.node, value)
	case "minimum", "maximum", "multipleOf":
		return wrongNumber(of.node, of.name, value)
	}
	return wrongSize(of.node, of.name, sizeOf(at, value, t))
}

func missingMembers(node map[string]any, at string, value any) []Error {
	members, _ := value.(map[string]any)
	properties, _ := node["properties"].(map[string]any)
	var found []Error
	for _, name := range stringsOf(node["required"]) {
		if _, present := members[name]; present {
			continue
		}
		detail := fmt.Sprintf("%q is missing.", name)
		if about := firstSentence(properties[name]); about != "" {
			detail += " Expected there: " + about
		}
		found = append(found, Error{Pointer: at, Code: CodeMissingMember, Detail: detail, Params: &Params{Member: name}})
	}
	return found
}

func firstSentence(property any) string {
	node, _ := property.(map[string]any)
	description, _ := node["description"].(string)
	sentence, _, more := strings.Cut(description, ". ")
	if more {
		sentence += "."
	}
	return sentence
}

// unknownMembers lists the members that the schema does not know. There may be tens of thousands, so only those that a
// Problem lists are put into words, by describeUnknown.
func unknownMembers(node map[string]any, at string, value any) []Error {
	members, _ := value.(map[string]any)
	properties, _ := node["properties"].(map[string]any)
	known := sortedKeys(properties)
	var found []Error
	for name := range members { // the errors are sorted before anyone sees them
		if _, isKnown := properties[name]; !isKnown {
			found = append(found, Error{
				Pointer: boundedPointer(child(at, name)), Code: CodeUnknownMember,
				Params: &Params{Member: shortened(name, maxMember), Allowed: known}, words: describeUnknown,
			})
		}
	}
	return found
}

func describeUnknown(e *Error) {
	e.Detail = fmt.Sprintf("%s is not known here.", quoted(e.Params.Member))
	if e.Params.Nearest = measure.NearestName(e.Params.Member, e.Params.Allowed); e.Params.Nearest != "" {
		e.Detail += fmt.Sprintf(" Did you mean %q?", e.Params.Nearest)
	} else {
		e.Detail += fmt.Sprintf(" Known here: %s.", listed(e.Params.Allowed))
	}
}

// forbiddenMembers explains the "not" of an object in the schemas: members that contradict the others of their object.
func forbiddenMembers(node map[string]any, at string, value any) []Error {
	members, _ := value.(map[string]any)
	refused, _ := node["not"].(map[string]any)
	unit, _ := members["unit"].(string)
	var found []Error
	for _, name := range stringsOf(refused["required"]) {
		found = append(found, Error{
			Pointer: child(at, name), Code: CodeNotAllowed,
			Detail: fmt.Sprintf("%q stands without %q.", unit, name), Params: &Params{Member: name},
		})
	}
	return found
}

func wrongType(node map[string]any, value any) (string, string, Params) {
	allowed := stringsOf(node["type"])
	if single, isOne := node["type"].(string); isOne {
		allowed = []string{single}
	}
	var words []string
	for _, name := range allowed {
		words = append(words, typeInWords(name))
	}
	got := typeOf(value)
	detail := fmt.Sprintf("Found %s where %s belongs.", typeInWords(got), measure.JoinOr(words))
	if value == nil {
		detail = fmt.Sprintf("Found null where %s belongs; leave the member out if there is nothing to say.", measure.JoinOr(words))
	}
	if examples, _ := node["examples"].([]any); len(examples) > 0 {
		if example, err := json.Marshal(examples[0], json.Deterministic(true)); err == nil && len(example) < 80 {
			detail += fmt.Sprintf(" For example: %s.", example)
		}
	}
	return CodeWrongType, detail, Params{Got: got, Allowed: allowed}
}

func typeOf(value any) string {
	switch value.(type) {
	case nil:
		return "null"
	case bool:
		return "boolean"
	case float64:
		return "number"
	case string:
		return "string"
	case []any:
		return "array"
	}
	return "object"
}

func typeInWords(name string) string {
	switch name {
	case "boolean":
		return "true or false"
	case "number":
		return "a number"
	case "string":
		return "text"
	case "array":
		return "a list"
	case "object":
		return "an object"
	}
	return name
}

func (r *Reader) notAllowed(node map[string]any, at string, value any) (string, string, Params) {
	got, _ := value.(string)
	allowed := stringsOf(node["enum"])
	params := Params{Got: shortened(got, maxMember), Allowed: allowed}
	if tokens := tokensOf(at); len(tokens) > 1 && tokens[len(tokens)-1] == "unit" {
		if unit, exists := r.units.Lookup(got); exists {
			if wanted := r.dimensions(allowed); !slices.Contains(wanted, unit.Dimension) {
				name := tokens[len(tokens)-2]
				return CodeWrongDimension, fmt.Sprintf("%q is %s; %q %s. Allowed: %s.",
					name, anyOf(wanted), got, measures(unit.Dimension), listed(allowed)), params
			}
		} else if code, near := r.units.Nearest(shortened(got, maxShown)); near && slices.Contains(allowed, code) {
			params.Nearest = code
		}
	}
	if params.Nearest == "" {
		params.Nearest = measure.NearestName(got, allowed)
	}
	detail := fmt.Sprintf("%s is not one of the values allowed here.", quoted(got))
	if params.Nearest != "" {
		detail += fmt.Sprintf(" Did you mean %q?", params.Nearest)
	}
	return CodeNotAllowed, detail + fmt.Sprintf(" Allowed: %s.", listed(allowed)), params
}

// dimensions lists what the unit codes measure, each dimension once, in their order.
func (r *Reader) dimensions(codes []string) []measure.Dimension {
	var found []measure.Dimension
	for _, code := range codes {
		if unit, exists := r.units.Lookup(code); exists && !slices.Contains(found, unit.Dimension) {
			found = append(found, unit.Dimension)
		}
	}
	return found
}

func anyOf(dimensions []measure.Dimension) string {
	var words []string
	for _, dimension := range dimensions {
		switch dimension {
		case measure.DimensionUnmeasured: // no kind of quantity; the list of codes that follows names them
		case measure.DimensionDuration:
			words = append(words, "a length of time")
		default:
			words = append(words, "a "+string(dimension))
		}
	}
	return measure.JoinOr(words)
}

func measures(dimension measure.Dimension) string {
	switch dimension {
	case measure.DimensionCount:
		return "counts pieces"
	case measure.DimensionPart:
		return "measures a share of a mixture"
	case measure.DimensionUnmeasured:
		return "measures nothing"
	case measure.DimensionDuration:
		return "measures time"
	}
	return "measures " + string(dimension)
}

func badFormat(node map[string]any, value any) (string, string, Params) {
	got, _ := value.(string)
	format, _ := node["format"].(string)
	detail := fmt.Sprintf("%s is not a %s.", quoted(got), format)
	if format == "date" {
		detail = fmt.Sprintf("%s is not a date of the calendar written as year-month-day, for example 2026-08-15.", quoted(got))
	}
	if format == "date-time" {
		detail = fmt.Sprintf("%s is not a date and time with its offset from UTC, for example 2026-08-15T14:05:00-06:00.", quoted(got))
	}
	return CodeBadFormat, detail, Params{Got: shortened(got, maxMember), Allowed: []string{format}}
}

// badPattern shows how a text of a fixed form is written by the example that stands beside the pattern.
func badPattern(node map[string]any, value any) (string, string, Params) {
	got, _ := value.(string)
	examples := stringsOf(node["examples"])
	return CodeBadFormat, fmt.Sprintf("%s is not written as it has to be, for example %s.", quoted(got), measure.JoinOr(examples)),
		Params{Got: shortened(got, maxMember), Allowed: examples}
}

// badAddress says what an address has to be that may become a link.
func badAddress(node map[string]any, value any) (string, string, Params) {
	got, _ := value.(string)
	detail := fmt.Sprintf("%s is no address of a web page or picture: it begins with https:// or http:// and a host, has no name of a user, and "+
		"only signs that addresses have, for example %s.", quoted(got), measure.JoinOr(stringsOf(node["examples"])))
	return CodeBadFormat, detail, Params{Got: shortened(got, maxMember), Allowed: []string{"http", "https"}}
}

// wrongNumber names both limits of a number, whichever of them was passed.
func wrongNumber(node map[string]any, keyword string, value any) (string, string, Params) {
	got, _ := value.(float64)
	if keyword == "multipleOf" {
		return CodeNotWhole, fmt.Sprintf("%s is not a whole number.", number(got)), Params{Got: got}
	}
	limit, _ := node[keyword].(float64)
	params := Params{Got: got, Limit: &limit}
	least, hasLeast := node["minimum"].(float64)
	most, hasMost := node["maximum"].(float64)
	if hasLeast && hasMost {
		params.Least, params.Most = &least, &most
	}
	if keyword == "minimum" {
		detail := fmt.Sprintf("%s is too small; the least allowed here is %s", number(got), number(limit))
		if hasMost {
			detail += fmt.Sprintf(" and the most %s", number(most))
		}
		return CodeTooSmall, detail + ".", params
	}
	detail := fmt.Sprintf("%s is too large; the most allowed here is %s", number(got), number(limit))
	if hasLeast {
		detail += fmt.Sprintf(" and the least %s", number(least))
	}
	return CodeTooLarge, detail + ".", params
}

// nearlyZero explains the "not" of a number in the schemas: what lies between zero and the least amount that means anything.
func nearlyZero(node map[string]any, got float64) (string, string, Params) {
	refused, _ := node["not"].(map[string]any)
	least, _ := refused["exclusiveMaximum"].(float64)
	most, _ := node["maximum"].(float64)
	return CodeOutOfRange,
		fmt.Sprintf("%s is too small to mean anything; besides 0 the least allowed here is %s and the most %s.", number(got), number(least), number(most)),
		Params{Got: got, Limit: &least, Least: &least, Most: &most}
}

func sizeOf(at string, value any, t tree) int {
	if size, isCut := t.listSizes[at]; isCut {
		return size
	}
	switch value := value.(type) {
	case []any:
		return len(value)
	case string:
		return utf8.RuneCountInString(value)
	}
	return 0
}

func wrongSize(node map[string]any, keyword string, size int) (string, string, Params) {
	limit, _ := node[keyword].(float64)
	params := Params{Got: size, Limit: &limit}
	switch keyword {
	case "minLength":
		return CodeTooShort, fmt.Sprintf("The text has %d characters; at least %s are needed.", size, number(limit)), params
	case "maxLength":
		return CodeTooLong, fmt.Sprintf("The text has %d characters; at most %s are allowed.", size, number(limit)), params
	case "minItems":
		return CodeTooFew, fmt.Sprintf("The list has %d entries; at least %s are needed.", size, number(limit)), params
	}
	return CodeTooMany, fmt.Sprintf("The list has %d entries; at most %s are allowed.", size, number(limit)), params
}

func stringsOf(list any) []string {
	entries, _ := list.([]any)
	texts := make([]string, 0, len(entries))
	for _, entry := range entries {
		if text, isText := entry.(string); isText {
			texts = append(texts, text)
		}
	}
	return texts
}

func sortedKeys(members map[string]any) []string {
	names := make([]string, 0, len(members))
	for name := range members {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}
