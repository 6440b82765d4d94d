package validate

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
)

// memberOrder is the order of members in the schema, so that findings read from the top of the document down.
var memberOrder = []string{
	"recipe", "name", "follows", "kind", "keep", "jar", "jars", "pack", "headspace", "solids_headspace", "jar_preparation", "ingredients", "item", "form",
	"amount", "per",
	"piece", "acidity_percent", "salt_kind", "bottled", "drained", "rinses", "steps", "step", "done", "place", "temperatures", "brine",
	"canner", "process", "method", "time", "temperature", "water_over_lids", "rest", "kitchen",
	"elevation", "batch", "packed_at", "events", "at", "event", "seal_checks", "reprocessed", "kept", "ph_readings", "as_of", "assume",
}

// memberRank is the place of each member in memberOrder.
var memberRank = func() map[string]int {
	ranks := map[string]int{}
	for i, name := range memberOrder {
		ranks[name] = i
	}
	return ranks
}()

// part is one part of a JSON Pointer as it is compared: the number of an entry of a list, or the name of a member.
type part struct {
	isNumber bool
	number   int
	rank     int // in memberOrder; -1: not in it
	text     string
}

// partsOf takes a JSON Pointer apart.
func partsOf(at string) []part {
	parts := make([]part, 0, 1+strings.Count(at, "/"))
	for text := range strings.SplitSeq(at, "/") {
		p := part{rank: -1, text: text}
		if text != "" && text[0] <= '9' { // else no number, and the refusal of each would be an allocation
			number, err := strconv.Atoi(text)
			p.isNumber, p.number = err == nil, number
		}
		if rank, known := memberRank[text]; known {
			p.rank = rank
		}
		parts = append(parts, p)
	}
	return parts
}

// comparePlaces orders two JSON Pointers by their place in a document; a whole comes before its parts.
func comparePlaces(left, right []part) int {
	for i := range min(len(left), len(right)) {
		a, b := &left[i], &right[i]
		switch {
		case a.text == b.text:
		case a.isNumber && b.isNumber:
			return a.number - b.number
		case a.rank != b.rank:
			return a.rank - b.rank
		default:
			return strings.Compare(a.text, b.text)
		}
	}
	return len(left) - len(right)
}

// inOrder sorts by the place in the document, then by another text; equals stay in their order. Each pointer is taken apart
// once and each value moved once, because there may be thousands.
func inOrder[T any](list []T, by func(*T) (at, then string)) []T {
	type key struct {
		parts []part
		then  string
		index int
	}
	keys := make([]key, len(list))
	for i := range list {
		at, then := by(&list[i])
		keys[i] = key{partsOf(at), then, i}
	}
	slices.SortFunc(keys, func(a, b key) int {
		if order := comparePlaces(a.parts, b.parts); order != 0 {
			return order
		}
		return cmp.Or(strings.Compare(a.then, b.then), a.index-b.index)
	})
	sorted := make([]T, len(list))
	for i := range keys {
		sorted[i] = list[keys[i].index]
	}
	return sorted
}
