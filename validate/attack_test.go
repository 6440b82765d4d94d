package validate

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/report"
)

// attacked is a good document that somebody works upon to get "shelf" for something unsafe.
type attacked struct {
	name   string
	recipe *catalog.TestedRecipe // that it follows; nil for an example
	doc    map[string]any
	random *rand.Rand
}

// attack is one way of making a good document unsafe. change reports false where the document has nothing of the kind.
type attack struct {
	kind   string
	change func(a *attacked) bool
}

// attackBases lists the bytes of good documents: each tested recipe in each pack and jar at two elevations, and the examples.
func attackBases(t *testing.T) []attacked {
	t.Helper()
	var all []attacked
	add := func(name string, recipe *catalog.TestedRecipe, body []byte) {
		r, ok := answer(body)
		if !ok || r.Disposition != report.Shelf {
			return
		}
		var doc map[string]any
		if err := json.Unmarshal(body, &doc); err != nil {
			t.Fatal(err)
		}
		all = append(all, attacked{name: name, recipe: recipe, doc: doc})
	}
	for _, p := range everyPrinted() {
		for _, feet := range []float64{500, 4000} {
			request, _ := p.request(t, feet, false)
			add(fmt.Sprintf("%s at %v ft", p, feet), p.recipe, marshaled(t, request))
		}
	}
	for _, name := range fileNames(t, ".json", "examples") {
		add(name, nil, readFile(t, "examples", name))
	}
	return all
}

// cloned copies a JSON value.
func cloned(value any) any {
	switch v := value.(type) {
	case map[string]any:
		c := maps.Clone(v)
		for name, child := range c {
			c[name] = cloned(child)
		}
		return c
	case []any:
		c := slices.Clone(v)
		for i, child := range c {
			c[i] = cloned(child)
		}
		return c
	}
	return value
}

// attackMany makes n unsafe documents and returns, by kind, how many there were and which came out fit for the shelf.
func attackMany(t *testing.T, bases []attacked, n int) (tried map[string]int, passed map[string][]string) {
	t.Helper()
	tried, passed = map[string]int{}, map[string][]string{}
	kinds, covers := attacks(), coverUps()
	for i := range n {
		random := rand.New(rand.NewPCG(20261128, uint64(i)))
		base := bases[random.IntN(len(bases))]
		a := attacked{name: base.name, recipe: base.recipe, doc: cloned(base.doc).(map[string]any), random: random}
		kind := kinds[i%len(kinds)]
		if !kind.change(&a) {
			continue
		}
		// Whatever is added besides must not help.
		for range random.IntN(3) {
			covers[random.IntN(len(covers))].change(&a)
		}
		body, err := json.Marshal(a.doc)
		if err != nil {
			t.Fatal(err)
		}
		tried[kind.kind]++
		if r, ok := answer(body); ok && fitAnywhere(&r) {
			passed[kind.kind] = append(passed[kind.kind], a.name+"\n"+string(body))
		}
	}
	return tried, passed
}

// fitAnywhere reports whether the recipe may be put on the shelf.
func fitAnywhere(r *report.Report) bool { return r.Disposition == report.Shelf }

// TestNoAttackGivesTheShelf makes unsafe documents of good ones, each with up to two things added to cover it up. None may be
// fit for the shelf. With -full 100,000 of them.
func TestNoAttackGivesTheShelf(t *testing.T) {
	n := 4000
	if *full {
		n = 130_000 // of which some find nothing to change
	}
	tried, passed := attackMany(t, attackBases(t), n)
	total := 0
	for _, kind := range attacks() {
		if tried[kind.kind] == 0 {
			t.Errorf("%s: no document was made", kind.kind)
		}
		total += tried[kind.kind]
		t.Logf("%6d %6d fit  %s", tried[kind.kind], len(passed[kind.kind]), kind.kind)
		for i, body := range passed[kind.kind] {
			if i < 2 {
				t.Errorf("%s: fit for the shelf: %s", kind.kind, body)
			}
		}
	}
	t.Logf("%6d in all", total)
}

// recipeOf is the recipe of the document.
func (a *attacked) recipeOf() map[string]any { return a.doc["recipe"].(map[string]any) }

// lines are the ingredients.
func (a *attacked) lines() []map[string]any { return objectsIn(a.recipeOf()["ingredients"]) }

func objectsIn(list any) []map[string]any {
	var all []map[string]any
	entries, _ := list.([]any)
	for _, entry := range entries {
		if object, ok := entry.(map[string]any); ok {
			all = append(all, object)
		}
	}
	return all
}

// add puts a line among the others.
func (a *attacked) add(line map[string]any) {
	list, _ := a.recipeOf()["ingredients"].([]any)
	a.recipeOf()["ingredients"] = slices.Insert(slices.Clone(list), a.random.IntN(len(list)+1), any(line))
}

// itemOf is the item of the catalog that a line names, nil where it is none.
func itemOf(line map[string]any) *catalog.Item {
	name, _ := line["item"].(string)
	if resolved, ok := checker.tables.Resolve(name); ok {
		return resolved.Item
	}
	return nil
}

// of lists the lines of the classes that have a number and are not poured away.
func (a *attacked) of(classes ...catalog.Class) []map[string]any {
	var some []map[string]any
	for _, line := range a.lines() {
		item := itemOf(line)
		amount, _ := line["amount"].(map[string]any)
		if _, ok := amount["value"].(float64); ok && item != nil && slices.Contains(classes, item.Class) && line["drained"] != true {
			some = append(some, line)
		}
	}
	return some
}

// one is one of a list; nil of an empty one.
func one[T any](a *attacked, list []T) (chosen T, ok bool) {
	if len(list) == 0 {
		return chosen, false
	}
	return list[a.random.IntN(len(list))], true
}

func (a *attacked) between(low, high float64) float64 { return low + (high-low)*a.random.Float64() }

// isTagged reports whether the followed recipe has a tag.
func (a *attacked) isTagged(tag string) bool {
	return a.recipe != nil && slices.Contains(a.recipe.Tags, tag)
}

func (a *attacked) kind() string { kind, _ := a.recipeOf()["kind"].(string); return kind }

func quantityOf(value float64, unit string) map[string]any {
	return map[string]any{"value": value, "unit": unit}
}

func scaleAmount(line map[string]any, factor float64) {
	amount := line["amount"].(map[string]any)
	amount["value"] = amount["value"].(float64) * factor
}

// appendWords adds words to the form of a line.
func appendWords(line map[string]any, words string) {
	form, _ := line["form"].(string)
	line["form"] = strings.TrimPrefix(form+", "+words, ", ")
}
