package ingest

import (
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// examplesFor reads the example documents of one schema.
func examplesFor(t testing.TB, folders ...string) [][]byte {
	t.Helper()
	var all [][]byte
	for _, folder := range folders {
		paths, err := filepath.Glob(filepath.Join("..", "..", folder, "*.json"))
		if err != nil {
			t.Fatal(err)
		}
		for _, path := range paths {
			body, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, body)
		}
	}
	if len(all) == 0 {
		t.Fatalf("no documents in %v", folders)
	}
	return all
}

// replacements are put in the place of every value in turn; each breaks some keyword of some place and keeps those of others.
func replacements() []any {
	return []any{
		nil, true, "", "pint", "x", "kg", "F", "2026-02-30", "2026-02-28", "2026-08-01T10:00:00Z",
		"é" + strings.Repeat("ü", 199), strings.Repeat("z", 201), "a\x01b",
		0.0, -1.0, 1.0, 2.5, 20.0, 1e6, 1e300, 5e-324, 0.1, 100.0000000001, float64(1 << 53), math.Copysign(0, -1),
		[]any{},
		[]any{"a"},
		slices.Repeat([]any{map[string]any{"item": "salt"}}, 201),
		map[string]any{},
		map[string]any{"value": 1.0, "unit": "cup"},
		map[string]any{"value": 1.0, "unit": "as_needed"},
		map[string]any{"unit": "to_cover"},
	}
}

// visitPlaces calls visit for each place of a tree with a function that puts another value there, and one that takes it away.
func visitPlaces(value any, visit func(put func(any))) {
	switch inner := value.(type) {
	case map[string]any:
		for name, member := range inner {
			visit(func(v any) { inner[name] = v })
			inner[name] = member
			visitPlaces(member, visit)
		}
	case []any:
		for i, entry := range inner {
			visit(func(v any) { inner[i] = v })
			inner[i] = entry
			visitPlaces(entry, visit)
		}
	}
}

// The quick check says yes exactly where the schema library does, and finds the same keywords broken at the same places: every
// place of every example is changed in many ways, taken away, and given a stranger. Outside truth:
// github.com/santhosh-tekuri/jsonschema/v5.
func TestQuickCheckAgreesWithTheLibrary(t *testing.T) {
	request, plan, card := bySchemaLibrary(t, newTestReader(t))
	for _, c := range []struct {
		name    string
		schema  checked
		folders []string
	}{
		{"request", request, []string{"examples", "testdata/batch"}},
		{"plan", plan, []string{"examples/plans"}},
		{"card", card, []string{"examples/cards"}},
	} {
		yes, no := 0, 0
		hold := func(root any, what string) {
			full, difference := c.schema.agrees(t, root)
			if difference != "" {
				t.Errorf("%s: %s: %s", c.name, what, difference)
			}
			if full {
				yes++
			} else {
				no++
			}
		}
		documents, every := examplesFor(t, c.folders...), 3
		if len(documents) > 10 {
			every = 12
		}
		for n, body := range documents {
			root := readTree(body).root
			hold(root, fmt.Sprintf("document %d", n))
			turn := n
			visitPlaces(root, func(put func(any)) {
				// Of many documents each gets every twelfth replacement, another twelfth each, to keep the test short.
				for i, value := range replacements() {
					if (i+turn)%every == 0 {
						put(value)
						hold(root, fmt.Sprintf("document %d with %v", n, value))
					}
				}
				turn++
			})
			visitObjects(root, func(object map[string]any) {
				object["stranger"] = 1.0
				hold(root, fmt.Sprintf("document %d with a stranger", n))
				delete(object, "stranger")
				for _, name := range slices.Sorted(maps.Keys(object)) {
					member := object[name]
					delete(object, name)
					hold(root, fmt.Sprintf("document %d without %s", n, name))
					object[name] = member
				}
			})
		}
		t.Logf("%s: %d documents, %d variants taken, %d not", c.name, len(documents), yes, no)
		if yes < 100 || no < 100 {
			t.Errorf("%s: %d taken and %d not: too one-sided to show anything", c.name, yes, no)
		}
	}
}

func visitObjects(value any, visit func(map[string]any)) {
	switch inner := value.(type) {
	case map[string]any:
		visit(inner)
		for _, member := range inner {
			visitObjects(member, visit)
		}
	case []any:
		for _, entry := range inner {
			visitObjects(entry, visit)
		}
	}
}

// Whatever a body holds, the quick check and the library agree.
func FuzzQuickCheck(f *testing.F) {
	for _, body := range examplesFor(f, "examples", "examples/plans", "examples/cards", "testdata/batch") {
		f.Add(body)
	}
	request, plan, card := bySchemaLibrary(f, newTestReader(f))
	f.Fuzz(func(t *testing.T, body []byte) {
		tree := readTree(body)
		if len(tree.errors) > 0 {
			return
		}
		for name, schema := range map[string]checked{"request": request, "plan": plan, "card": card} {
			if _, difference := schema.agrees(t, tree.root); difference != "" {
				t.Errorf("%s: %s", name, difference)
			}
		}
	})
}
