package draft

import (
	"slices"
	"strconv"
	"strings"

	"jarwright/validate/budget"
	"jarwright/validate/draft/amount"
)

// node is one value of the sender's document with its place.
type node struct {
	place *place // nil: the whole document
	value any
}

// place is where a value stands: a step further than the value around it. It is written as a pointer only where one is told, since
// the pointers of a document can be far longer than the document.
type place struct {
	around *place
	name   string // of a member
	index  int    // of an entry, where name is empty and member is not set
	member bool
	length int // of the pointer in bytes
}

// maxPointer is the length in bytes of the longest pointer to a recipe that is told. Names of members that make a longer one are
// not those of a recipe.
const maxPointer = 1000

// at is the JSON Pointer of a node.
func (n node) at() string {
	var steps []*place
	for p := n.place; p != nil; p = p.around {
		steps = append(steps, p)
	}
	var pointer strings.Builder
	for _, step := range slices.Backward(steps) {
		pointer.WriteByte('/')
		if step.member {
			_, _ = escapeToken.WriteString(&pointer, step.name) // a strings.Builder takes everything
		} else {
			pointer.WriteString(strconv.Itoa(step.index))
		}
	}
	return pointer.String()
}

var escapeToken = strings.NewReplacer("~", "~0", "/", "~1")

func (n node) child(name string, value any) node {
	return node{place: n.place.with(place{name: name, member: true, length: 1 + len(name)}), value: value}
}

func (n node) entry(i int, value any) node {
	return node{place: n.place.with(place{index: i, length: 1 + len(strconv.Itoa(i))}), value: value}
}

// with is a step further.
func (p *place) with(step place) *place {
	if step.around = p; p != nil {
		step.length += p.length
	}
	return &step
}

func (n node) object() map[string]any { object, _ := n.value.(map[string]any); return object }

// prefixes under which the members of schema.org are written where the context does not make them bare.
var prefixes = []string{"", "schema:", "http://schema.org/", "https://schema.org/"}

// member finds a member by its schema.org name.
func (n node) member(name string) (node, bool) {
	object := n.object()
	for _, prefix := range prefixes {
		if value, ok := object[prefix+name]; ok && value != nil {
			return n.child(prefix+name, value), true
		}
	}
	return node{}, false
}

// list turns a scalar, a list or a JSON-LD @list or @set into its entries.
func (n node) list() []node {
	switch value := n.value.(type) {
	case []any:
		entries := make([]node, 0, len(value))
		for i, each := range value {
			if each != nil {
				entries = append(entries, n.entry(i, each))
			}
		}
		return entries
	case map[string]any:
		for _, name := range []string{"@list", "@set"} {
			if inner, ok := value[name]; ok {
				return n.child(name, inner).list()
			}
		}
	case nil:
		return nil
	}
	return []node{n}
}

// hasType tells whether the node is of a schema.org type, however the type is written.
func (n node) hasType(name string) bool {
	object := n.object()
	for _, key := range []string{"@type", "type"} {
		for _, each := range (node{value: object[key]}).list() {
			text, _ := each.value.(string)
			if cut := strings.LastIndexAny(text, "/:#"); cut >= 0 {
				text = text[cut+1:]
			}
			if strings.EqualFold(strings.TrimSpace(text), name) {
				return true
			}
		}
	}
	return false
}

// text is the words of a scalar, of a JSON-LD value object, or of a thing with a text or a name.
func (n node) text() (string, string) {
	switch value := n.value.(type) {
	case string:
		return value, n.at()
	case float64:
		return strconv.FormatFloat(value, 'f', -1, 64), n.at()
	case []any:
		for _, each := range n.list() {
			if text, at := each.text(); text != "" {
				return text, at
			}
		}
	case map[string]any:
		if inner, ok := value["@value"]; ok {
			return n.child("@value", inner).text()
		}
		for _, name := range []string{"text", "name", "description", "item", "value"} {
			if inner, ok := n.member(name); ok {
				if text, at := inner.text(); text != "" {
					return text, at
				}
			}
		}
	}
	return "", n.at()
}

// maxNodes bounds the search for recipes.
const maxNodes = 20000

// recipes finds every Recipe of a document, those of the outer levels first. A document without any type that lists
// ingredients counts as one. Recipes that stand too far down to be pointed at are passed over, and counted in hidden.
func recipes(b *budget.Budget, root any) (found []node, hidden int) {
	queue := []node{{value: root}}
	for seen := 0; seen < len(queue) && seen < maxNodes && b.Spend(1); seen++ {
		n := queue[seen]
		switch value := n.value.(type) {
		case []any:
			for i, each := range value {
				if isContainer(each) {
					queue = append(queue, n.entry(i, each))
				}
			}
		case map[string]any:
			if n.hasType("Recipe") {
				if n.place != nil && n.place.length > maxPointer {
					hidden++
				} else {
					found = append(found, n)
				}
				continue
			}
			for _, name := range sortedNames(value) {
				if isContainer(value[name]) {
					queue = append(queue, n.child(name, value[name]))
				}
			}
		}
	}
	if n := (node{value: root}); len(found) == 0 && n.object() != nil {
		_, typed := n.object()["@type"]
		if _, lists := n.member("recipeIngredient"); lists && !typed {
			found = append(found, n)
		}
	}
	return found, hidden
}

func isContainer(value any) bool {
	switch value.(type) {
	case []any, map[string]any:
		return true
	}
	return false
}

func sortedNames(object map[string]any) []string {
	names := make([]string, 0, len(object))
	for name := range object {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// passage is a piece of text with its place.
type passage struct {
	at   string
	text string // plain, see amount.PlainText
}

// passages gives the texts of the instructions, in order, however they are nested: one more than has sentences that are read, at
// most, so that it is told that there are more.
func (n node) passages() []passage {
	var all []passage
	var walk func(node, int)
	walk = func(n node, depth int) {
		const deepest = 12
		if depth > deepest || len(all) > mostSentences {
			return
		}
		switch value := n.value.(type) {
		case string:
			at := n.at()
			for _, part := range inLines(value) {
				if text := amount.PlainText(part); text != "" && len(all) <= mostSentences {
					all = append(all, passage{at: at, text: text})
				}
			}
		case []any:
			for _, each := range n.ordered() {
				walk(each, depth+1)
			}
		case map[string]any:
			text, hasText := n.member("text")
			name, hasName := n.member("name")
			if hasName && (!hasText || !startsWith(text, name)) {
				walk(name, depth+1)
			}
			if hasText {
				walk(text, depth+1)
			}
			for _, name := range []string{"description", "itemListElement", "item", "step", "steps", "recipeInstructions", "@list", "@set", "@value"} {
				if inner, ok := n.member(name); ok {
					walk(inner, depth+1)
				}
			}
		}
	}
	walk(n, 0)
	return all
}

// breaks are the tags that end a line.
var breaks = strings.NewReplacer("<br>", "\n", "<br/>", "\n", "<br />", "\n", "</p>", "\n", "</li>", "\n", "</div>", "\n", "<BR>", "\n")

// inLines splits a text at line breaks and at the tags that end a line. Empty lines are left out.
func inLines(text string) []string {
	return strings.FieldsFunc(breaks.Replace(text), func(r rune) bool { return r == '\n' || r == '\r' })
}

func startsWith(text, name node) bool {
	long, _ := text.value.(string)
	short, _ := name.value.(string)
	return short != "" && strings.HasPrefix(long, strings.TrimRight(short, "….")) // a name made from the start of the text
}

// ordered gives the entries of a list in the order of their positions, where every entry has one.
func (n node) ordered() []node {
	entries := n.list()
	positions := make(map[*place]float64, len(entries))
	for _, each := range entries {
		position, ok := each.member("position")
		if !ok {
			return entries
		}
		text, _ := position.text()
		value, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return entries
		}
		positions[each.place] = value
	}
	slices.SortStableFunc(entries, func(a, b node) int {
		switch before, after := positions[a.place], positions[b.place]; {
		case before < after:
			return -1
		case before > after:
			return 1
		}
		return 0
	})
	return entries
}
