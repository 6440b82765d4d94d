package catalog

import (
	"math/rand/v2"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
)

// nearestByAll is what nearest finds, said plainly: the wrong name is compared with all names, each in full.
func nearestByAll(wrong string, n nearNames, folded []string) (id string, ok bool) {
	wrong = Fold(wrong)
	letters := utf8.RuneCountInString(wrong)
	at, best := -1, letters/3+1
	for i, name := range folded {
		if distance := levenshtein.ComputeDistance(wrong, name); distance < best {
			at, best = i, distance
		}
	}
	if at < 0 || letters > 100 {
		return "", false
	}
	return n.ids[at], true
}

// misspelled is a name with one letter changed, taken away, put in or moved.
func misspelled(r *rand.Rand, name string) string {
	letters := []rune(name)
	if len(letters) < 2 {
		return name + "x"
	}
	alphabet := []rune("abcdefghijklmnopqrstuvwxyz -éß漢")
	letter, at := alphabet[r.IntN(len(alphabet))], r.IntN(len(letters))
	switch r.IntN(4) {
	case 0:
		letters[at] = letter
	case 1:
		letters = append(letters[:at], letters[at+1:]...)
	case 2:
		letters = append(letters[:at], append([]rune{letter}, letters[at:]...)...)
	case 3:
		other := (at + 1) % len(letters)
		letters[at], letters[other] = letters[other], letters[at]
	}
	return string(letters)
}

// The index must answer what a comparison with every name answers, for whatever is written: names with up to four mistakes,
// two names run together, their letters in disorder, and words that are no names.
func TestNearestIsThatOfAllNames(t *testing.T) {
	tables, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, table := range []struct {
		name  string
		near  nearNames
		named []namedID
	}{
		{"items", tables.nearItems, itemNames(tables)}, {"jars", tables.nearJars, jarNames(tables)}, {"recipes", tables.nearRecipes, recipeNames(tables)},
	} {
		t.Run(table.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(3, 5))
			folded := make([]string, len(table.named))
			for i := range folded {
				folded[i] = Fold(table.named[i].name)
			}
			none := 0
			check := func(wrong string) {
				have, ok := table.near.nearest(wrong)
				want, wantOK := nearestByAll(wrong, table.near, folded)
				if have != want || ok != wantOK {
					t.Errorf("nearest to %q is %q (%v), of all names %q (%v)", wrong, have, ok, want, wantOK)
				}
				if !ok {
					none++
				}
			}
			const every = 8 // of the names, to keep the test short; it held for all of them
			for i := 0; i < len(table.named); i += every {
				named := table.named[i]
				check(named.name)
				wrong := named.name
				for range 1 + i/every%4 {
					wrong = misspelled(r, wrong)
					check(wrong)
				}
				letters := []rune(named.name)
				r.Shuffle(len(letters), func(a, b int) { letters[a], letters[b] = letters[b], letters[a] })
				check(string(letters))
				check(named.name + " " + table.named[r.IntN(len(table.named))].name)
				check(strings.Repeat(named.name, 3))
			}
			if none == 0 {
				t.Error("every word is near to a name, so that nothing was told apart")
			}
		})
	}
}
