package draft

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"jarwright/validate/catalog"
)

// The index finds for every row of words what the catalog resolves for their text: names as they are written, turned about,
// in the plural, with marks between their words, and rows that are no names.
func TestIndexFindsWhatTheCatalogResolves(t *testing.T) {
	tables, err := catalog.Load()
	if err != nil {
		t.Fatal(err)
	}
	index := newNameIndex(tables)
	var names, words []string
	for i := range tables.Items {
		names = append(names, tables.Items[i].ID, tables.Items[i].Name)
		names = append(names, tables.Items[i].Aliases...)
	}
	for _, name := range names {
		words = append(words, strings.Fields(name)...)
	}
	words = append(words, "&", "and", "-", "x", "(red)", "and/or", "don't", "Jalapeño", "half-and-half", "red,onion", ",", "onions,", "LEAVES", "berries", "5%")
	random := rand.New(rand.NewPCG(5, 6)) //nolint:gosec // a test
	found := 0
	compare := func(text string) {
		got, ok := index.find(index.wordsOf(text), nil)
		want, known := tables.Resolve(text)
		want.Exact, got.Exact = false, false // the draft does not ask for it
		if ok != known || got != want {
			t.Fatalf("%q: %v %+v, want %v %+v", text, ok, got, known, want)
		}
		all := index.wordsOf(text)
		at := len(all) / 2
		if split, ok := index.find(all[:at], all[at:]); ok != known || split.Item != want.Item {
			t.Fatalf("%q in two parts: %v, want %v", text, ok, known)
		}
		if known {
			found++
		}
	}
	for _, name := range names {
		for _, text := range []string{name, strings.ToUpper(name), name + "s", "(" + name + ")", strings.ReplaceAll(name, " ", ", "), name + ", x"} {
			compare(text)
		}
		if parts := strings.Fields(name); len(parts) > 1 {
			compare(strings.Join(parts[1:], " ") + ", " + parts[0])
			compare(parts[len(parts)-1] + ", " + strings.Join(parts[:len(parts)-1], " "))
			compare(strings.Join(slices.Concat(parts, []string{"-"}, parts), " "))
		}
	}
	if found < 2*len(names) {
		t.Errorf("only %d of the texts are names", found)
	}
	for range 20_000 {
		texts := make([]string, 1+random.IntN(4))
		for i := range texts {
			if texts[i] = words[random.IntN(len(words))]; random.IntN(8) == 0 {
				texts[i] += ","
			}
		}
		compare(strings.Join(texts, " "))
	}
}
