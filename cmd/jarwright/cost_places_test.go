package main

import (
	"bytes"
	"encoding/json"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"

	"jarwright/schemas"
)

// This file finds what a sender may fill in a document: every text, list, map and number of its schema. What is added to a schema is
// measured without anything being added here.

// member is a place in the documents of a schema.
type member struct {
	path []step
	rule map[string]any // the schema of what stands there, references followed
}

// step is one name on the way to a member; a list is entered at its entries.
type step struct {
	name string         // empty for an entry of a list
	rule map[string]any // of what stands there
}

func (m member) String() string {
	var text strings.Builder
	for _, each := range m.path {
		if each.name == "" {
			text.WriteString("[]")
			continue
		}
		text.WriteString("/" + each.name)
	}
	return text.String()
}

func (m member) inList() bool {
	return slices.ContainsFunc(m.path, func(s step) bool { return s.name == "" })
}

// is tells whether a schema allows a type.
func is(rule map[string]any, name string) bool {
	switch of := rule["type"].(type) {
	case string:
		return of == name
	case []any:
		return slices.Contains(of, any(name))
	}
	return false
}

func (m member) isText() bool {
	return is(m.rule, "string") && m.rule["enum"] == nil && m.rule["const"] == nil
}
func (m member) isNumber() bool { return is(m.rule, "number") || is(m.rule, "integer") }
func (m member) isList() bool   { return is(m.rule, "array") }
func (m member) isMap() bool    { return is(m.rule, "object") && m.rule["additionalProperties"] == true }

// number reads a bound of a schema, and gives another where there is none.
func number(rule map[string]any, name string, otherwise float64) float64 {
	if value, ok := rule[name].(float64); ok {
		return value
	}
	return otherwise
}

// walker follows references between the files of schemas.
type walker struct {
	t     *testing.T
	files map[string]map[string]any
}

// membersOf are the members of the documents of a schema, in the order of their names.
func membersOf(t *testing.T, file string) []member {
	t.Helper()
	w := &walker{t: t, files: map[string]map[string]any{}}
	root := w.resolve(file, map[string]any{"$ref": file})
	return w.below(root, nil, 0)
}

func (w *walker) file(name string) map[string]any {
	if known, ok := w.files[name]; ok {
		return known
	}
	text, err := schemas.Read(name)
	if err != nil {
		w.t.Fatal(err)
	}
	var document map[string]any
	if err := json.Unmarshal(text, &document); err != nil {
		w.t.Fatal(err)
	}
	w.files[name] = document
	return document
}

// resolve follows the reference of a schema, and notes in which file what it found stands.
func (w *walker) resolve(file string, rule map[string]any) map[string]any {
	const noted = "in file"
	if from, ok := rule[noted].(string); ok {
		file = from
	}
	reference, ok := rule["$ref"].(string)
	if !ok {
		found := maps.Clone(rule)
		found[noted] = file
		return found
	}
	name, pointer, _ := strings.Cut(reference, "#")
	if name == "" {
		name = file
	}
	var at any = w.file(name)
	for _, token := range strings.Split(strings.TrimPrefix(pointer, "/"), "/") {
		if token != "" {
			object, ok := at.(map[string]any)
			if !ok {
				w.t.Fatalf("%s leads nowhere", reference)
			}
			at = object[token]
		}
	}
	found, ok := at.(map[string]any)
	if !ok {
		w.t.Fatalf("%s leads nowhere", reference)
	}
	return w.resolve(name, found)
}

// below gives the members below a schema. Schemas of requests do not contain themselves; the depth is bounded all the same.
func (w *walker) below(rule map[string]any, path []step, depth int) []member {
	const deepest = 12
	if depth > deepest {
		w.t.Fatalf("%s: deeper than %d", member{path: path}, deepest)
	}
	var found []member
	if len(path) > 0 {
		found = append(found, member{path: slices.Clone(path), rule: rule})
	}
	file, _ := rule["in file"].(string)
	if properties, ok := rule["properties"].(map[string]any); ok {
		for _, name := range slices.Sorted(maps.Keys(properties)) {
			inner, ok := properties[name].(map[string]any)
			if !ok {
				continue
			}
			resolved := w.resolve(file, inner)
			found = append(found, w.below(resolved, append(slices.Clone(path), step{name, resolved}), depth+1)...)
		}
	}
	if items, ok := rule["items"].(map[string]any); ok {
		resolved := w.resolve(file, items)
		found = append(found, w.below(resolved, append(slices.Clone(path), step{"", resolved}), depth+1)...)
	}
	return found
}

// sample is a value that a schema takes, as far as that can be told from it: with what it requires, or with every member.
func (w *walker) sample(rule map[string]any, whole bool) any {
	if given, ok := rule["examples"].([]any); ok && len(given) > 0 && !whole {
		return clone(given[0])
	}
	if given, ok := rule["enum"].([]any); ok {
		return given[0]
	}
	if given, ok := rule["const"]; ok {
		return given
	}
	file, _ := rule["in file"].(string)
	switch {
	case is(rule, "object") && !(is(rule, "string") && !whole):
		object := map[string]any{}
		properties, _ := rule["properties"].(map[string]any)
		required, _ := rule["required"].([]any)
		for name, inner := range properties {
			if inner, ok := inner.(map[string]any); ok && (whole || slices.Contains(required, any(name))) {
				object[name] = w.sample(w.resolve(file, inner), whole)
			}
		}
		return object
	case is(rule, "array"):
		items, _ := rule["items"].(map[string]any)
		return []any{w.sample(w.resolve(file, items), whole)}
	case is(rule, "number"), is(rule, "integer"):
		return min(max(1, number(rule, "minimum", 1)), number(rule, "maximum", 1))
	case is(rule, "boolean"):
		return true
	}
	switch rule["format"] {
	case "date":
		return "2026-08-15"
	case "date-time":
		return "2026-08-15T14:05:00-06:00"
	case "uri":
		return "https://garden.example/"
	}
	return "pint"
}

// clone copies a document of maps and lists.
func clone(value any) any {
	switch value := value.(type) {
	case map[string]any:
		object := make(map[string]any, len(value))
		for name, each := range value {
			object[name] = clone(each)
		}
		return object
	case []any:
		list := make([]any, len(value))
		for i, each := range value {
			list[i] = clone(each)
		}
		return list
	}
	return value
}

// encoded writes JSON as plainly as it can be written: what a sender can say in one byte is not said in six.
func encoded(value any) []byte {
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(value); err != nil {
		panic(err)
	}
	return bytes.TrimSpace(out.Bytes())
}

// filling says how a member is filled.
type filling struct {
	in    member
	value func(n int) any // the n-th value that is put there
	most  int             // bytes of the document
	whole bool            // entries of lists have every member
}

// fill puts values where the member stands: one, or as many as the lists on the way to it and the length of a document take.
func (w *walker) fill(base map[string]any, f filling) []byte {
	count := 1
	if f.in.inList() {
		one := encoded(w.set(clone(base), f, 0, &counter{most: 1}))
		size := max(1, len(encoded(w.set(clone(base), f, 0, &counter{most: 2})))-len(one))
		count = max(1, (f.most-len(one))/size+1)
	}
	for {
		body := encoded(w.set(clone(base), f, 0, &counter{most: count}))
		if len(body) <= f.most || count == 1 {
			return body
		}
		count = count * f.most / len(body) * 99 / 100
		count = max(1, count)
	}
}

// counter counts the values that are put into a document.
type counter struct{ n, most int }

// set walks down the path and puts values at its end. Lists are filled until enough values are in them, or as many as they take.
func (w *walker) set(in any, f filling, depth int, c *counter) any {
	if depth == len(f.in.path) {
		c.n++
		return f.value(c.n - 1)
	}
	at := f.in.path[depth]
	if at.name != "" {
		object, ok := in.(map[string]any)
		if !ok || depth > 0 && number(f.in.path[depth-1].rule, "maxProperties", 0) == 1 {
			object = map[string]any{}
		}
		if _, there := object[at.name]; !there {
			object[at.name] = w.sample(at.rule, f.whole)
		}
		object[at.name] = w.set(object[at.name], f, depth+1, c)
		return object
	}
	most := 1_000_000
	if depth > 0 {
		most = int(number(f.in.path[depth-1].rule, "maxItems", float64(most)))
	}
	var list []any
	for len(list) == 0 || len(list) < most && c.n < c.most {
		list = append(list, w.set(w.sample(at.rule, f.whole), f, depth+1, c))
	}
	return list
}

// longest is how many characters a text may have, or a figure that no bound reaches.
func longest(rule map[string]any) int { return int(number(rule, "maxLength", 1<<30)) }

// cutTo makes a text so many bytes long at most, at the end of a character.
func cutTo(text string, most int) string {
	if len(text) <= most {
		return text
	}
	for most > 0 && text[most]&0xC0 == 0x80 {
		most--
	}
	return text[:most]
}

// Every kind of member is found in the schemas, so that nothing of them can go unmeasured without notice.
func TestMembersOfSchemas(t *testing.T) {
	for _, test := range []struct{ file, text, list, number, free string }{
		{schemas.RequestName, "/recipe/ingredients[]/item", "/batch/jars[]/seal_checks", "/recipe/ingredients[]/amount/value", "/extensions"},
		{schemas.PlanRequestName, "/target/produce/item", "/recipe/ingredients", "/canner/jars_per_load", "/extensions"},
		{schemas.CardRequestName, "/publication/image", "/recipe/ingredients", "/recipe/jars", "/extensions"},
	} {
		found := map[string]bool{}
		for _, each := range membersOf(t, test.file) {
			for kind, is := range map[string]bool{"text": each.isText(), "list": each.isList(), "number": each.isNumber(), "map": each.isMap()} {
				if is {
					found[kind+" "+each.String()] = true
				}
			}
		}
		for _, want := range []string{"text " + test.text, "list " + test.list, "number " + test.number, "map " + test.free} {
			if !found[want] {
				t.Errorf("%s: no %s in %s", test.file, want, strconv.Quote(strings.Join(slices.Sorted(maps.Keys(found)), ", ")))
			}
		}
	}
}
