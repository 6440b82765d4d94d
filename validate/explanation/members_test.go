package explanation

import (
	"encoding/json"
	"reflect"
	"slices"
	"testing"
)

const small = `{
  "recipe": {"name": "a/b", "jar": {"capacity": {"value": 500, "unit": "mL"}},
    "ingredients": [{"item": "beet", "amount": {"value": 1, "unit": "lb"}}, {"item": "salt", "amount": {"unit": "as_needed"}}]},
  "batch": {"jars": [{"id": "1", "spoilage_signs": ["mold", "slime"]}]},
  "extensions": {"mine": 1}
}`

func decoded(t *testing.T, text string) any {
	t.Helper()
	var value any
	if err := json.Unmarshal([]byte(text), &value); err != nil {
		t.Fatal(err)
	}
	return value
}

// Quantities are left out with their unit, entries of lists as a whole and by their members; extensions are passed over.
func TestMembers(t *testing.T) {
	var at []string
	for _, member := range Members(decoded(t, small)) {
		at = append(at, member.At)
	}
	slices.Sort(at)
	want := []string{
		"/batch/jars/0", "/batch/jars/0/id", "/batch/jars/0/spoilage_signs/0", "/batch/jars/0/spoilage_signs/1", "/recipe/ingredients/0",
		"/recipe/ingredients/0/amount", "/recipe/ingredients/0/item", "/recipe/ingredients/1", "/recipe/ingredients/1/amount",
		"/recipe/ingredients/1/item", "/recipe/jar/capacity", "/recipe/name",
	}
	if !slices.Equal(at, want) {
		t.Errorf("%q", at)
	}
}

func TestWithout(t *testing.T) {
	for _, test := range []struct{ name, document, at, want string }{
		{"a member", `{"a": 1, "b": 2}`, "/a", `{"b": 2}`},
		{"the only member of an object", `{"a": {"b": {"c": 1}}, "d": 2}`, "/a/b/c", `{"d": 2}`},
		{"an entry of a list", `{"a": [1, 2, 3]}`, "/a/1", `{"a": [1, 3]}`},
		{"the only entry of a list", `{"a": [1]}`, "/a/0", `{"a": []}`},
		{"a member of an entry", `{"a": [{"b": 1, "c": 2}, {"b": 3}]}`, "/a/0/b", `{"a": [{"c": 2}, {"b": 3}]}`},
		{"the only member of an entry", `{"a": [{"b": 1}]}`, "/a/0/b", `{"a": [{}]}`},
		{"a name with a slash and a tilde", `{"a/b~": 1, "c": 2}`, "/a~1b~0", `{"c": 2}`},
		{"an entry that is not there", `{"a": [1]}`, "/a/1", `{"a": [1]}`},
	} {
		t.Run(test.name, func(t *testing.T) {
			document := decoded(t, test.document)
			if got := Without(document, test.at); !reflect.DeepEqual(got, decoded(t, test.want)) {
				t.Errorf("%v", got)
			}
			if !reflect.DeepEqual(document, decoded(t, test.document)) {
				t.Errorf("the document was changed: %v", document)
			}
		})
	}
}

func TestRestored(t *testing.T) {
	for _, test := range []struct{ name, at, removed, want string }{
		{"behind the entry", "/recipe/ingredients/3/amount", "/recipe/ingredients/2", "/recipe/ingredients/4/amount"},
		{"where the entry was", "/recipe/ingredients/2", "/recipe/ingredients/2", "/recipe/ingredients/3"},
		{"before the entry", "/recipe/ingredients/1", "/recipe/ingredients/2", "/recipe/ingredients/1"},
		{"the list itself", "/recipe/ingredients", "/recipe/ingredients/2", "/recipe/ingredients"},
		{"another list", "/batch/jars/3", "/recipe/ingredients/2", "/batch/jars/3"},
		{"no entry was removed", "/recipe/ingredients/3", "/recipe/ingredients/2/amount", "/recipe/ingredients/3"},
		{"nothing was removed", "/recipe/ingredients/3", "", "/recipe/ingredients/3"},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := Restored(test.at, test.removed); got != test.want {
				t.Errorf("%s, want %s", got, test.want)
			}
		})
	}
}
