// Package words reads the free words of an ingredient line from an allow-list: which say nothing about safety, which another
// reader takes in, which ask a question, which contradict what is tested, and which nobody here knows. It finds and sorts words; what
// follows from them the rules say. It never guesses: a word that is not in the list is unknown.
package words

import (
	"fmt"
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/table"
)

// File is the table of words, below the folder of tables.
const File = "words/words.csv"

// Effect is what a word does to the safety of a jar, worst last.
type Effect uint8

// The effects of words.csv.
const (
	None Effect = iota
	Smaller
	Larger
	Strengthens
	PouredAway
	Asks
	AddsWater
	AddsFat
	AddsLowAcid
	WeakensAcid
	Contradicts
)

var effects = []string{
	"none", "smaller", "larger", "strengthens", "poured away", "asks", "adds water", "adds fat", "adds low-acid", "weakens acid", "contradicts",
}

// Row is one row of words.csv.
type Row struct {
	Phrase, Part string
	Effect       Effect
	Asks         string // code of the question, of an effect that asks
	Meaning      string // why, of an effect that weakens, adds or contradicts
	Citation     catalog.Citation

	only      string // lines, steps or nothing
	items     []string
	classes   []catalog.Class
	timed     bool // of the time or the process, which no line is about
	ownOfFood bool // of a part that says nothing of a liquid
	ofPlant   bool // of a part that says nothing of a salt or sugar either
}

// parts of a line that do not count for acid, water and fat, unless a row is for them by name.
var foodParts = []string{"cut", "size", "preparation", "ripeness", "plant part", "state", "treatment"}

// parts that do not count for salt, sugar, thickeners and firming agents.
var plantParts = []string{"size", "ripeness", "plant part"}

// parts of steps: a word of theirs in a line speaks of time, heat or jars.
var timedParts = []string{"heat", "time", "place", "sealing", "packing", "jar"}

// List is the allow-list, ready to be read with. It is read-only after New and safe for concurrent use.
type List struct {
	rows    []Row
	ids     map[string]int32 // of each stem
	next    map[uint64]int32 // node and stem to node
	nodes   []node
	near    *nearWords
	printed map[*catalog.TestedRecipe][]printedForm
	answers []answer
}

// node is one place in the tree of phrases: the phrase that leads to it, if it is one.
type node struct {
	rows []int32
	food *catalog.Item
}

// answersFile is the table of words that a published change answers, below the folder of tables.
const answersFile = "words/answers.csv"

// answer is one row of it: words about some foods of some recipes that a published change allows.
type answer struct {
	groups, families, words []string
}

// addAnswer reads one row of answers.csv.
func (l *List) addAnswer(r *table.Row, tables *catalog.Tables) {
	a := answer{groups: r.List("applies_to", ";"), words: r.List("words", "|")}
	for _, food := range r.List("foods", ";") {
		family, isFamily := strings.CutPrefix(food, "family:")
		if !isFamily || !slices.ContainsFunc(tables.Items, func(i catalog.Item) bool { return i.Family == family }) {
			r.Fail(fmt.Errorf("unknown food %q", food))
		}
		a.families = append(a.families, family)
	}
	for _, id := range r.List("changes", ";") {
		if _, known := tables.Change(id); !known {
			r.Fail(fmt.Errorf("unknown change %q", id))
		}
	}
	if _, known := tables.Source(r.Text("source")); !known {
		r.Fail(fmt.Errorf("unknown source %q", r.Text("source")))
	}
	l.answers = append(l.answers, a)
}

// isAnswered tells whether a published change allows words about a food in a recipe.
func (l *List) isAnswered(text string, of *Context) bool {
	return slices.ContainsFunc(l.answers, func(a answer) bool {
		return slices.Contains(a.families, of.Item.Family) && slices.ContainsFunc(a.groups, of.Recipe.In) &&
			slices.ContainsFunc(a.words, func(w string) bool { return strings.EqualFold(w, text) })
	})
}

// printedForm is the form of one printed line, as stems.
type printedForm struct {
	item  *catalog.Item
	stems []string
}

// New reads the list, and the names of the catalog's foods. It fails on a row whose effect, item, class or source does not exist.
func New(tables *catalog.Tables) (*List, error) {
	l := &List{ids: map[string]int32{}, next: map[uint64]int32{}, nodes: make([]node, 1), printed: map[*catalog.TestedRecipe][]printedForm{}}
	columns := []string{"phrase", "part", "effect", "only_with", "only_in", "asks", "meaning", "source", "locator", "verified"}
	err := table.Each(table.Files(), File, columns, func(r *table.Row) {
		l.addRow(r, tables)
	})
	if err != nil {
		return nil, fmt.Errorf("the list of words: %w", err)
	}
	err = table.Each(table.Files(), answersFile, []string{"applies_to", "foods", "words", "changes", "source", "locator", "verified"}, func(r *table.Row) {
		l.addAnswer(r, tables)
	})
	if err != nil {
		return nil, fmt.Errorf("the words that changes answer: %w", err)
	}
	l.addFoods(tables)
	l.near = newNearWords(l)
	for i := range tables.Recipes {
		recipe := &tables.Recipes[i]
		for j := range recipe.Ingredients {
			printed := &recipe.Ingredients[j]
			item, _ := tables.Item(printed.Item)
			form := printedForm{item: item}
			for _, t := range tokens(printed.Form+" , "+strings.ReplaceAll(printed.Item, "-", " "), nil) {
				form.stems = append(form.stems, t.stem)
			}
			l.printed[recipe] = append(l.printed[recipe], form)
		}
	}
	return l, nil
}

// Rows lists the rows of the table in its order.
func (l *List) Rows() []Row { return slices.Clone(l.rows) }

func (l *List) addRow(r *table.Row, tables *catalog.Tables) {
	row := Row{
		Phrase: r.Text("phrase"), Part: r.Text("part"), Asks: r.Text("asks"), Meaning: r.Text("meaning"), only: r.Text("only_in"),
		Citation: catalog.Citation{Source: r.Text("source"), Locator: r.Text("locator"), Verified: catalog.Verified(r.Text("verified"))},
	}
	effect := slices.Index(effects, r.Text("effect"))
	if _, known := tables.Source(row.Citation.Source); effect < 0 || !known {
		r.Fail(fmt.Errorf("unknown effect %q or source %q", r.Text("effect"), row.Citation.Source))
		return
	}
	row.Effect = Effect(effect) //nolint:gosec // a place in a short list
	for _, name := range r.List("only_with", "|") {
		if class, isClass := strings.CutPrefix(name, "class:"); isClass {
			if !slices.Contains(catalog.Classes(), catalog.Class(class)) {
				r.Fail(fmt.Errorf("unknown class %q", class))
			}
			row.classes = append(row.classes, catalog.Class(class))
			continue
		}
		row.items = append(row.items, name)
	}
	row.timed = slices.Contains(timedParts, row.Part)
	plain := len(row.items)+len(row.classes) == 0
	row.ownOfFood = plain && slices.Contains(foodParts, row.Part)
	row.ofPlant = plain && slices.Contains(plantParts, row.Part)
	if row.Effect == Asks && row.Asks == "" {
		row.Asks = askedOf(row.Part)
	}
	var buffer [16]token
	phrase := tokens(row.Phrase, buffer[:0])
	if len(phrase) == 0 || phrase[0].kind == number && row.Effect <= Strengthens {
		return // numbers are read by a grammar of their own
	}
	at := l.nodeOf(phrase)
	l.nodes[at].rows = append(l.nodes[at].rows, int32(len(l.rows))) //nolint:gosec // some thousands
	l.rows = append(l.rows, row)
}

// askedOf is the question of a row that asks and does not say what.
func askedOf(part string) string {
	switch part {
	case "plant part":
		return "part"
	case "quantity":
		return "number"
	case "provenance":
		return "origin"
	}
	return "meaning"
}

// addFoods puts the names of the catalog's items into the tree.
func (l *List) addFoods(tables *catalog.Tables) {
	for i := range tables.Items {
		item := &tables.Items[i]
		for _, name := range append([]string{strings.ReplaceAll(item.ID, "-", " "), item.Name}, item.Aliases...) {
			if phrase := tokens(name, nil); len(phrase) > 0 {
				if at := l.nodeOf(phrase); l.nodes[at].food == nil {
					l.nodes[at].food = item
				}
			}
		}
	}
}

// nodeOf finds the place of a phrase in the tree, and makes it where there is none.
func (l *List) nodeOf(phrase []token) int32 {
	at := int32(0)
	for i := range phrase {
		id, known := l.ids[phrase[i].stem]
		if !known {
			id = int32(len(l.ids)) //nolint:gosec // some thousands
			l.ids[phrase[i].stem] = id
		}
		key := uint64(at)<<32 | uint64(id) //nolint:gosec // neither is negative
		child, known := l.next[key]
		if !known {
			child = int32(len(l.nodes)) //nolint:gosec // some thousands
			l.nodes = append(l.nodes, node{})
			l.next[key] = child
		}
		at = child
	}
	return at
}

// knows tells whether a single word stands in the list, for whatever item.
func (l *List) knows(text string) bool {
	var buffer [2]token
	said := tokens(text, buffer[:0])
	if len(said) != 1 {
		return false
	}
	id, known := l.ids[said[0].stem]
	if !known {
		return false
	}
	at, known := l.next[uint64(id)] //nolint:gosec // never negative
	return known && len(l.nodes[at].rows) > 0
}

// fits tells how closely a row is for an item: 2 by its name, 1 by its class, 0 for any item, -1 for another one.
func (r *Row) fits(item *catalog.Item, class catalog.Class) int {
	if len(r.items)+len(r.classes) == 0 {
		return 0
	}
	if item != nil {
		for _, name := range r.items {
			if item.ID == name || strings.HasSuffix(item.ID, name) && item.ID[len(item.ID)-len(name)-1] == '-' {
				return 2
			}
		}
	}
	if slices.Contains(r.classes, class) {
		return 1
	}
	return -1
}

// Counts reports whether a row stands between a line and the shelf wherever it counts: it asks, weakens, adds or contradicts, in lines.
func (r *Row) Counts() bool { return r.Effect >= Asks && r.only != "steps" }

// IsFor reports whether a row is for an item, by its name, its class or because it is for any.
func (r *Row) IsFor(item *catalog.Item) bool { return r.fits(item, item.Class) >= 0 }
