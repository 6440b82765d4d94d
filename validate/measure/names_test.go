package measure

import (
	"math/rand/v2"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
)

// word is a random word of some letters, a few of them from outside of ASCII.
func word(r *rand.Rand, letters int) string {
	alphabet := []rune("aabcdeehilnoorstu éß漢ж")
	text := make([]rune, letters)
	for i := range text {
		text[i] = alphabet[r.IntN(len(alphabet))]
	}
	return string(text)
}

func FuzzDistance(f *testing.F) {
	f.Add("cucumber", "cucumebr", 3)
	f.Add("", "jar", 0)
	f.Add("é漢", "e漢é", 2)
	f.Add("a\xffb", "ab", 1)
	f.Add(strings.Repeat("ab", 32), strings.Repeat("ba", 32), 40)
	f.Add(strings.Repeat("ab", 40), strings.Repeat("ba", 30), 40)
	f.Fuzz(checkDistance)
}

// checkDistance compares a distance with the whole table of distances, and the count of letters with both.
func checkDistance(t *testing.T, one, other string, limit int) {
	t.Helper()
	want := levenshtein.ComputeDistance(one, other)
	if have := newSpelling(one).distance(other, limit); have != want && (want <= limit || have <= limit) {
		t.Errorf("from %q to %q are %d edits within %d, want %d", one, other, have, limit, want)
	}
	mine, others := countLetters(one), countLetters(other)
	if want <= limit && !mine.nearer(&others, limit) {
		t.Errorf("by its letters %q is not within %d of %q, which is %d edits away", one, limit, other, want)
	}
}

func TestDistance(t *testing.T) {
	const pairs = 20000
	r := rand.New(rand.NewPCG(13, 17))
	for range pairs {
		one, other := word(r, r.IntN(80)), word(r, r.IntN(80))
		if r.IntN(2) == 0 { // nearly the same
			letters := []rune(one)
			for range r.IntN(4) {
				if at := r.IntN(len(letters) + 1); at < len(letters) {
					letters[at] = 'x'
				}
			}
			other = string(letters)
		}
		checkDistance(t, one, other, r.IntN(30))
	}
}

// A search may look at the lengths and the letters of all names, but it compares few of them letter by letter.
func TestSearchComparesFewNames(t *testing.T) {
	const names, searches = 2000, 200
	r := rand.New(rand.NewPCG(19, 23))
	known := make([]string, names)
	for i := range known {
		known[i] = word(r, 4+r.IntN(30))
	}
	index := NewNames(known)
	for _, letters := range []int{8, 16, 32, 64, 100} {
		compared := 0
		for range searches {
			_, n := index.search(word(r, letters))
			compared += n
		}
		if share := float64(compared) / (names * searches); share > 0.3 {
			t.Errorf("a word of %d letters is compared with %.0f %% of the names", letters, 100*share)
		} else {
			t.Logf("a word of %d letters is compared with %.1f %% of the names", letters, 100*share)
		}
	}
	misspelled := 0
	for _, name := range known {
		_, n := index.search(name + "x")
		misspelled += n
	}
	if share := float64(misspelled) / (names * names); share > 0.1 {
		t.Errorf("a misspelled name is compared with %.0f %% of the names", 100*share)
	}
	if at, compared := index.search(strings.Repeat("a", 101)); at >= 0 || compared > 0 {
		t.Errorf("a word of 101 letters is compared with %d names", compared)
	}
	if utf8.RuneCountInString(known[0]) < 4 {
		t.Error("the names are too short to tell anything")
	}
}
