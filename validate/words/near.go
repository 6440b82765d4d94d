package words

// nearWords finds the one word of the list that a misspelled one may stand for.
type nearWords struct {
	harmless map[string]bool // words that say nothing about safety
	other    map[string]bool // foods, harms and denials
}

// What is looked for near an unknown word: a word of at least so many letters, one letter away. Of short words too many are near.
const (
	leastNear = 6
	mostNear  = 24
)

// newNearWords sorts the single words of the list.
func newNearWords(l *List) *nearWords {
	n := &nearWords{harmless: map[string]bool{}, other: map[string]bool{}}
	for id := range l.ids {
		at, known := l.next[uint64(l.ids[id])] //nolint:gosec // never negative
		if !known {
			continue
		}
		here := &l.nodes[at]
		harm := here.food != nil
		for _, i := range here.rows {
			row := &l.rows[i]
			plain := len(row.items)+len(row.classes) == 0
			harm = harm || row.only != "steps" && (row.Effect > Asks && plain || row.Part == "negation" || row.Part == "food")
		}
		if harm || len(here.rows) == 0 {
			n.other[id] = true
		} else {
			n.harmless[id] = true
		}
	}
	return n
}

// nearest is the only word of the list one letter away from an unknown one, or nothing.
func (n *nearWords) nearest(unknown string) string {
	if len(unknown) < leastNear-1 || len(unknown) > mostNear || n.harmless[unknown] || n.other[unknown] {
		return ""
	}
	found := ""
	one := func(candidate string) bool {
		if n.other[candidate] {
			return false
		}
		if n.harmless[candidate] && len(candidate) >= leastNear && candidate != found {
			if found != "" {
				return false
			}
			found = candidate
		}
		return true
	}
	const letters = "abcdefghijklmnopqrstuvwxyz"
	for i := 0; i <= len(unknown); i++ {
		if i < len(unknown) && !one(unknown[:i]+unknown[i+1:]) {
			return ""
		}
		for k := range letters {
			letter := letters[k : k+1]
			if !one(unknown[:i] + letter + unknown[i:]) {
				return ""
			}
			if i < len(unknown) && !one(unknown[:i]+letter+unknown[i+1:]) {
				return ""
			}
		}
	}
	return found
}
