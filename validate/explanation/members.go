package explanation

import (
	"maps"
	"slices"
	"strconv"
	"strings"
)

// MostMembers is how many members of a document are left out, one at a time, to find what an answer hangs on. Ours, no
// source: it bounds the work, and a whole canning day has about 150. Of a document that is longer than any but a contrived
// one, fewer are tried, so that the work does not grow with the square of its length.
func MostMembers(bytes int) int {
	const most, ordinary = 300, 16 << 10 // bytes of a document
	return min(most, most*ordinary/max(bytes, 1))
}

// MostSaid is how many messages of a rule are told for each member that is left out. Ours, no source: a rule has a message for
// each line it objects to, and there are as many lines as members.
const MostSaid = 20

// Member is one member of a document that can be left out: a value, a quantity with its unit, or an entry of a list.
type Member struct {
	At    string // JSON Pointer (RFC 6901)
	Value any    // as decoded from JSON
}

// Members lists the members of a document, decoded as ingest.Value does, in no order that matters. What the sender carries for
// itself (extensions) is passed over: nothing reads it.
func Members(document any) []Member {
	var list []Member
	collect(document, "", &list)
	return list
}

func collect(value any, at string, list *[]Member) {
	switch value := value.(type) {
	case map[string]any:
		if at == "/extensions" {
			return
		}
		if isQuantity(value) {
			*list = append(*list, Member{at, value})
			return
		}
		for _, name := range slices.Sorted(maps.Keys(value)) {
			collect(value[name], at+"/"+pointerEscaper.Replace(name), list)
		}
	case []any:
		for i, entry := range value {
			place := at + "/" + strconv.Itoa(i)
			if whole, isObject := entry.(map[string]any); isObject && !isQuantity(whole) {
				*list = append(*list, Member{place, entry})
			}
			collect(entry, place, list)
		}
	default:
		*list = append(*list, Member{at, value})
	}
}

var pointerEscaper = strings.NewReplacer("~", "~0", "/", "~1")

// isQuantity reports whether an object is a number with its unit, which are left out together.
func isQuantity(object map[string]any) bool {
	_, hasUnit := object["unit"]
	_, hasValue := object["value"]
	return hasUnit && (len(object) == 1 || hasValue && len(object) == 2)
}

// Without is the document without one of its members. Objects that are empty then are left out too. The document itself is
// not changed.
func Without(document any, at string) any {
	return without(document, strings.Split(strings.TrimPrefix(at, "/"), "/"))
}

func without(value any, path []string) any {
	switch value := value.(type) {
	case map[string]any:
		name := strings.NewReplacer("~1", "/", "~0", "~").Replace(path[0])
		rest := maps.Clone(value)
		delete(rest, name)
		if len(path) == 1 {
			return rest
		}
		below := without(value[name], path[1:])
		if object, isObject := below.(map[string]any); !isObject || len(object) > 0 {
			rest[name] = below
		}
		return rest
	case []any:
		i, err := strconv.Atoi(path[0])
		if err != nil || i < 0 || i >= len(value) {
			return value
		}
		if len(path) == 1 {
			return slices.Delete(slices.Clone(value), i, i+1)
		}
		rest := slices.Clone(value)
		rest[i] = without(value[i], path[1:])
		return rest
	}
	return value
}

// Restored is the place in the whole document of what stands at a place of the document without a member: the entries of a
// list move up when one before them is left out.
func Restored(at, removed string) string {
	list, entry := cutLast(removed)
	index, err := strconv.Atoi(entry)
	if err != nil || !strings.HasPrefix(at, list+"/") {
		return at
	}
	first, rest, deeper := strings.Cut(strings.TrimPrefix(at, list+"/"), "/")
	place, err := strconv.Atoi(first)
	if err != nil || place < index {
		return at
	}
	restored := list + "/" + strconv.Itoa(place+1)
	if deeper {
		restored += "/" + rest
	}
	return restored
}

func cutLast(at string) (before, last string) {
	i := strings.LastIndexByte(at, '/')
	if i < 0 {
		return "", at
	}
	return at[:i], at[i+1:]
}
