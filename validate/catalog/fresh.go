package catalog

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"jarwright/validate/table"
)

// freshFile is the table of spices whose fresh plant bears the same name.
const freshFile = "fresh.csv"

// freshTwin is one row of it: the item that a spice is when its line speaks of the fresh plant.
type freshTwin struct {
	fresh  int      // of the items
	words  []string // that only a fresh plant has
	plural string   // by which the name means pods and not the powder; empty: none
}

// keepsDry are the words by which a line speaks of the spice after all.
var keepsDry = []string{"dried", "dry", "powder", "powdered", "dehydrated", "flake", "flakes"}

func (l *loader) loadFresh() error {
	columns := []string{"spice", "fresh", "words", "plural", "source", "locator", "verified"}
	return l.eachRow(freshFile, columns, func(r *table.Row) {
		spice, known := l.tables.items[r.Text("spice")]
		fresh, alsoKnown := l.tables.items[r.Text("fresh")]
		if !known || !alsoKnown {
			r.Fail(fmt.Errorf("unknown item %q or %q", r.Text("spice"), r.Text("fresh")))
			return
		}
		l.citation(r, "")
		l.tables.fresh[spice] = freshTwin{fresh: fresh, words: r.List("words", "|"), plural: r.Text("plural")}
	})
}

// FreshOf is what a spice is where its name and form speak of the fresh plant: "cayenne peppers", "ginger, grated". It is the spice
// itself where they do not. Fresh pods and roots are food, which a spice is not.
func (t *Tables) FreshOf(item *Item, name, form string) *Item {
	twin, known := t.fresh[t.items[item.ID]]
	if !known {
		return item
	}
	said := strings.FieldsFunc(strings.ToLower(name+" "+form), func(r rune) bool { return !unicode.IsLetter(r) })
	has := func(words []string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(said, w) })
	}
	if has(keepsDry) {
		return item
	}
	plural := twin.plural != "" && strings.Contains(strings.ToLower(name), twin.plural)
	if !plural && !has(twin.words) {
		return item
	}
	return &t.Items[twin.fresh]
}
