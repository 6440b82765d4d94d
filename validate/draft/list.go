package draft

import (
	"slices"
	"strings"

	"jarwright/validate/catalog"
)

// more is the food that stands behind the first food of a line.
type more struct {
	foods  []string
	choice bool   // the cook takes one, not all
	rest   string // what else stands behind the first food
}

// longestList is how many bytes behind the first food are searched for more of them: no line of a cook is longer, and the
// search is not linear.
const longestList = 500

// listed reads further foods behind the first: "tomatoes, onions, and peppers", "vinegar, or water", "tomatoes with green
// chilies". What is done to the first food may stand between where a word joins them: "tomatoes, peeled, or peppers".
func (r *Reader) listed(n *named) (m more, found bool) {
	if n.after == "" || len(n.after) > longestList || isMixture(n) {
		return m, false
	}
	segments := strings.Split(n.after, ", ")
	var rest []string
	for i, segment := range segments {
		if givesExamples(segment) {
			return more{}, false
		}
		pieces, link := joinedPieces(segment)
		if r.areFoods(pieces) && (link != "" || !isPart(segment)) || isChoice(link) && r.mayBeFoods(pieces) {
			m.foods = append(m.foods, pieces...)
			if link != "" {
				m.choice, m.rest = isChoice(link), strings.Join(append(rest, segments[i+1:]...), ", ")
				return m, true
			}
			continue
		}
		if len(m.foods) > 0 {
			rest = append(rest, segments[i:]...)
			break
		}
		rest = append(rest, segment)
	}
	// Nothing joins them: food must follow food at once, and another food.
	m.rest = strings.Join(rest, ", ")
	return m, len(m.foods) > 0 && strings.HasPrefix(n.after, m.foods[0]) && n.known && !slices.ContainsFunc(m.foods, func(food string) bool { return r.saysCloser(n, food) })
}

// saysCloser tells "salt, canning salt" from "salt, sugar": the second names the first again.
func (r *Reader) saysCloser(n *named, food string) bool {
	return r.nameOf(food).found.Item.Family == n.found.Item.Family
}

// isMixture tells "mixed vegetables, celery and carrots": what follows is in it already, and it counts as low-acid food.
func isMixture(n *named) bool {
	lower := strings.ToLower(n.name)
	return (strings.Contains(lower, "mixed") || strings.Contains(lower, "assorted")) && (!n.known || n.found.Item.Class == catalog.LowAcid)
}

// withNoun gives the noun of the last food to those that lack it: "malt, cider or wine vinegar".
func (r *Reader) withNoun(n *named, foods []string) {
	last := strings.Fields(foods[len(foods)-1])
	if len(last) < 2 {
		return
	}
	noun := " " + last[len(last)-1]
	if whole := r.nameOf(n.name + noun); !n.known && whole.known {
		n.name, n.found, n.known, n.prefix, n.suffix = whole.name, whole.found, true, whole.prefix, whole.suffix
	}
	for i, food := range foods[:len(foods)-1] {
		if !r.nameOf(food).known && r.nameOf(food+noun).known {
			foods[i] = food + noun
		}
	}
}

// givesExamples tells "such as jalapeño": what follows names the same food more closely.
func givesExamples(segment string) bool {
	first, _, _ := strings.Cut(segment, " ")
	return slices.Contains([]string{"such", "like", "including", "e.g", "eg", "i.e"}, bare(first))
}

// joinedPieces parts "carrots and celery" and "or water", and gives the word that joins.
func joinedPieces(segment string) (pieces []string, link string) {
	words := strings.Fields(segment)
	from := 0
	for i, word := range words {
		lower := bare(word)
		if !joinsFoods(lower) && !(lower == "with" && i == 0) {
			continue
		}
		if link == "" || isChoice(lower) {
			link = lower
		}
		if i > from {
			pieces = append(pieces, strings.Join(words[from:i], " "))
		}
		from = i + 1
	}
	if from < len(words) {
		pieces = append(pieces, strings.Join(words[from:], " "))
	}
	return pieces, link
}

// isPart tells "garlic, cloves separated": what follows is a part of the food before it.
func isPart(segment string) bool {
	first, _, _ := strings.Cut(segment, " ")
	return portions[bare(first)]
}

// areFoods tells whether the first piece is a food of the catalog and none only says what is done to a food.
func (r *Reader) areFoods(pieces []string) bool {
	for _, piece := range pieces {
		if !mayBeFood(piece) {
			return false
		}
	}
	return len(pieces) > 0 && r.nameOf(pieces[0]).known
}

// mayBeFoods tells whether a choice can be one of foods that the catalog does not all know: "or cordial", "shrub or cider".
func (r *Reader) mayBeFoods(pieces []string) bool {
	for _, piece := range pieces {
		if !mayBeFood(piece) {
			return false
		}
	}
	return len(pieces) == 1 || len(pieces) > 1 && r.nameOf(pieces[len(pieces)-1]).known
}

// mayBeFood refuses what is no name: "chopped", "to taste", "2 tbsp dried", "no salt added", "more if needed", "a mixture".
func mayBeFood(piece string) bool {
	words := strings.Fields(piece)
	if len(words) == 0 || allQualifiers(piece) || prepares(words, 0) || piece[0] >= '0' && piece[0] <= '9' {
		return false
	}
	first := bare(words[0])
	return !stops[first] && !isChoice(first) && !slices.Contains([]string{"no", "not", "less", "a", "an", "one", "two", "other", "another", "additional", "more", "extra", "if", "so", "use", "substitute", "until", "enough", "whatever", "half"}, first)
}
