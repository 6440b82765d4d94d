package measure

import (
	"math/bits"
	"strings"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
)

// longestWrong is the longest wrong name, in letters, that a nearest one is looked for. Ours: nobody mistypes more, and a
// comparison costs more the longer the name.
const longestWrong = 100

// Names is a list of known names in which the one nearest to a wrong name is found without comparing it with all of them. It is
// read-only after NewNames and safe for concurrent use.
type Names struct {
	known    []string
	byLength [][]spelled // by the number of letters
}

// spelled is a known name as it is compared: in small letters, with a count of each.
type spelled struct {
	at      int // in the list that was given
	lower   string
	letters letterCount
}

// NewNames prepares a list of known names. Of equals the first in the list is the nearest.
func NewNames(known []string) *Names {
	n := &Names{known: known}
	for at, name := range known {
		lower := strings.ToLower(name)
		length := utf8.RuneCountInString(lower)
		for len(n.byLength) <= length {
			n.byLength = append(n.byLength, nil)
		}
		n.byLength[length] = append(n.byLength[length], spelled{at, lower, countLetters(lower)})
	}
	return n
}

// Nearest is the place in the list of the known name that a wrong one was most likely meant to be, by the rule of NearestName. It
// reports false when nothing is that near.
func (n *Names) Nearest(wrong string) (at int, ok bool) {
	at, _ = n.search(wrong)
	return at, at >= 0
}

// search also tells how many of the known names were compared letter by letter, which is what a search costs.
func (n *Names) search(wrong string) (at, compared int) {
	letters := utf8.RuneCountInString(wrong)
	if letters > longestWrong {
		return -1, 0
	}
	lower := strings.ToLower(wrong)
	length, count, spelling := utf8.RuneCountInString(lower), countLetters(lower), newSpelling(lower)
	at, limit := -1, letters/3
	// Names of the same length first, then those a letter shorter or longer, and so on: so many letters at least differ.
	for differ := 0; differ <= limit; differ++ {
		for _, candidates := range [...][]spelled{n.ofLength(length - differ), n.ofLength(length + differ)} {
			for i := range candidates {
				name := &candidates[i]
				if !count.nearer(&name.letters, limit) {
					continue
				}
				compared++
				distance := spelling.distance(name.lower, limit)
				if distance < limit || distance == limit && (at < 0 || name.at < at) {
					at, limit = name.at, distance
				}
			}
			if differ == 0 {
				break
			}
		}
	}
	return at, compared
}

func (n *Names) ofLength(length int) []spelled {
	if length < 0 || length >= len(n.byLength) {
		return nil
	}
	return n.byLength[length]
}

// NearestName proposes the known name that a wrong one was most likely meant to be: the one at the smallest edit distance
// without regard to case, the first of equals. At most a third of the letters of the wrong name may differ, so that a name
// of one or two letters is near to nothing but itself. It is empty when nothing is that near, and for a wrong name of more
// than 100 letters. Who looks in the same long list again and again keeps it as Names.
func NearestName(wrong string, known []string) string {
	if at, ok := NewNames(known).Nearest(wrong); ok {
		return known[at]
	}
	return ""
}

// letterCount is how often each letter stands in a name, at most 127 times, a byte each. Letters share their places, so that it
// never tells of more differences than there are.
type letterCount struct {
	letters [4]uint64
	present uint32 // a bit for each place that is not zero
	length  int
}

func countLetters(text string) letterCount {
	const most = 127
	var counts [32]uint8
	var c letterCount
	for _, letter := range text {
		c.length++
		c.present |= 1 << (letter % 32)
		if count := &counts[letter%32]; *count < most {
			*count++
		}
	}
	for place, count := range counts {
		c.letters[place/8] |= uint64(count) << (place % 8 * 8)
	}
	return c
}

// nearer reports whether so few edits as a limit may turn one name into the other. An edit takes away one letter too many, adds one
// that is missing, or does both.
func (c *letterCount) nearer(other *letterCount, limit int) bool {
	if bits.OnesCount32(c.present&^other.present) > limit || bits.OnesCount32(other.present&^c.present) > limit {
		return false
	}
	const high, ones = 0x8080808080808080, 0x0101010101010101 // of each byte the highest bit, and the lowest
	differ := 0
	for i, mine := range c.letters {
		apart := (mine | high) - other.letters[i] // 128 and the difference, byte by byte
		more := (apart & high >> 7) * 0xff        // all bits of the bytes of which I have no fewer
		apart = apart&more&^high + (high&^more - apart&^more)
		differ += int(apart * ones >> 56)
	}
	// One kind of difference outweighs the other by what the names differ in length.
	return differ+max(c.length-other.length, other.length-c.length) <= 2*limit
}

// spelling is a name prepared for comparing it with many: for each letter where it stands, a bit for each place.
type spelling struct {
	lower  string
	length int
	ascii  [utf8.RuneSelf]uint64
	others map[rune]uint64
}

// wordLetters is how many letters a spelling compares at once.
const wordLetters = 64

func newSpelling(lower string) *spelling {
	s := &spelling{lower: lower, length: utf8.RuneCountInString(lower)}
	if s.length > wordLetters {
		return s
	}
	place := uint64(1)
	for _, letter := range lower {
		if letter < utf8.RuneSelf {
			s.ascii[letter] |= place
		} else {
			if s.others == nil {
				s.others = map[rune]uint64{}
			}
			s.others[letter] |= place
		}
		place <<= 1
	}
	return s
}

// distance is the edit distance (Levenshtein) to another name; where that is more than a limit, any number above it. It goes
// through the other name letter by letter and holds a whole column of the table of distances in the bits of two words, as Myers,
// Journal of the ACM 46 (1999) 395, in the form of Hyyrö (2003).
func (s *spelling) distance(other string, limit int) int {
	if s.length > wordLetters {
		return levenshtein.ComputeDistance(s.lower, other)
	}
	left := utf8.RuneCountInString(other)
	if s.length == 0 {
		return left
	}
	last := uint64(1) << (s.length - 1)
	distance, rises, falls := s.length, ^uint64(0), uint64(0)
	for _, letter := range other {
		var equal uint64
		if letter < utf8.RuneSelf {
			equal = s.ascii[letter]
		} else {
			equal = s.others[letter]
		}
		stays := equal | falls
		equal |= (equal&rises + rises) ^ rises
		up, down := falls|^(equal|rises), rises&equal
		switch {
		case up&last != 0:
			distance++
		case down&last != 0:
			distance--
		}
		left--
		if distance-left > limit {
			return distance - left
		}
		up, down = up<<1|1, down<<1
		rises, falls = down|^(stays|up), up&stays
	}
	return distance
}
