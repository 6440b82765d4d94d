package draft

import (
	"slices"
	"strings"

	"jarwright/validate/catalog"
)

// furtherFoods takes the further foods out of what stands behind the first. Those that the cook may choose instead become
// alternatives of it.
func (w *writer) furtherFoods(at string, n *named, rest string) []string {
	n.alternatives = append(n.alternatives, choicesInBrackets(n.remarks, rest)...)
	if isLongList(n.after) {
		w.notUnderstood(at, n.after, "The line is too long to be read to its end.")
		return nil
	}
	list, found := w.r.listed(n)
	if !found {
		return nil
	}
	n.after = list.rest
	if list.choice {
		w.r.withNoun(n, list.foods)
		n.alternatives = append(n.alternatives, list.foods...)
		return nil
	}
	return list.foods
}

// choicesInBrackets reads "vinegar (or water)", but not "lime (or lemon) juice".
func choicesInBrackets(remarks []string, rest string) []string {
	var choices []string
	for _, remark := range remarks[:min(len(remarks), mostListed)] {
		if !isChoice(bare(firstWord(remark))) {
			continue
		}
		foods, joint := joinedFoods(remark)
		if len(foods) != 1 || !strings.HasPrefix(strings.ToLower(remark), joint) || !mayBeFood(foods[0]) {
			continue
		}
		if _, behind, _ := strings.Cut(rest, remark+")"); behind == "" || behind[0] == ',' {
			choices = append(choices, foods[0])
		}
	}
	return choices
}

// foodList is the food that stands behind the first food of a line.
type foodList struct {
	foods  []string
	choice bool   // the cook takes one, not all
	rest   string // what else stands behind the first food
}

// No line of a cook has more behind its first food. What has is not read to its end.
const (
	longestList = 500 // bytes
	mostListed  = 24  // foods, alternatives, remarks
)

// isLongList tells what stands behind a food and is more than a list of foods.
func isLongList(text string) bool {
	return len(text) > longestList || strings.Count(text, ", ") >= mostListed || len(strings.Fields(text)) > 2*mostListed && countJoints(text) >= mostListed
}

// countJoints is how many words join foods.
func countJoints(text string) int {
	count := 0
	for each := range strings.FieldsSeq(text) {
		if joinsFoods(bare(each)) {
			count++
		}
	}
	return count
}

// listed reads further foods behind the first: "tomatoes, onions, and peppers", "vinegar, or water", "tomatoes with green
// chilies". What is done to the first food may stand between where a word joins them: "tomatoes, peeled, or peppers".
func (r *Reader) listed(n *named) (list foodList, found bool) {
	if n.after == "" || isMixture(n) {
		return foodList{}, false
	}
	segments := strings.Split(n.after, ", ")
	var rest []string
	for i, segment := range segments {
		if givesExamples(segment) {
			return foodList{}, false
		}
		foods, joint := joinedFoods(segment)
		switch {
		case r.areFoods(foods) && (joint != "" || !isPart(segment)) || isChoice(joint) && r.mayBeFoods(foods):
			list.foods = append(list.foods, foods...)
			if joint != "" {
				list.choice, list.rest = isChoice(joint), strings.Join(append(rest, segments[i+1:]...), ", ")
				return list, true
			}
			continue
		case len(list.foods) == 0:
			rest = append(rest, segment)
			continue
		}
		rest = append(rest, segments[i:]...)
		break
	}
	list.rest = strings.Join(rest, ", ")
	return list, r.followsAtOnce(n, list.foods)
}

// followsAtOnce tells whether foods that no word joins are further ones: they follow the first at once and are others.
func (r *Reader) followsAtOnce(n *named, foods []string) bool {
	if len(foods) == 0 || !n.known || !strings.HasPrefix(n.after, foods[0]) {
		return false
	}
	return !slices.ContainsFunc(foods, func(food string) bool { return r.saysCloser(n, food) })
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

// givesExamples tells "such as jalapeño".
func givesExamples(segment string) bool { return kindsOf(bare(firstWord(segment)))&exampleWord != 0 }

func firstWord(text string) string {
	first, _, _ := strings.Cut(text, " ")
	return first
}

// joinedFoods splits "carrots and celery" and "or water", and gives the word that joins.
func joinedFoods(segment string) (foods []string, joint string) {
	words := strings.Fields(segment)
	from := 0
	for i, word := range words {
		lower := bare(word)
		if !joinsFoods(lower) && !(lower == "with" && i == 0) {
			continue
		}
		if joint == "" || isChoice(lower) {
			joint = lower
		}
		if i > from {
			foods = append(foods, strings.Join(words[from:i], " "))
		}
		from = i + 1
	}
	if from < len(words) {
		foods = append(foods, strings.Join(words[from:], " "))
	}
	return foods, joint
}

// isPart tells "garlic, cloves separated": what follows is a part of the food before it.
func isPart(segment string) bool { return kindsOf(bare(firstWord(segment)))&portion != 0 }

// areFoods tells whether the first is a food of the catalog and none only says what is done to a food.
func (r *Reader) areFoods(foods []string) bool {
	return len(foods) > 0 && allMayBeFood(foods) && r.nameOf(foods[0]).known
}

// mayBeFoods tells whether a choice can be one of foods that the catalog does not all know: "or cordial", "shrub or cider".
func (r *Reader) mayBeFoods(foods []string) bool {
	return allMayBeFood(foods) && (len(foods) == 1 || len(foods) > 1 && r.nameOf(foods[len(foods)-1]).known)
}

func allMayBeFood(texts []string) bool {
	return !slices.ContainsFunc(texts, func(text string) bool { return !mayBeFood(text) })
}

// mayBeFood refuses what is no name: "chopped", "to taste", "2 tbsp dried", "more if needed".
func mayBeFood(text string) bool {
	first := bare(firstWord(strings.TrimSpace(text)))
	if text == "" || kindsOf(first)&(nameStop|noFood) != 0 || isChoice(first) || startsWithDigit(text) || allQualifiers(text) {
		return false
	}
	return !beginsPreparing(text)
}

// beginsPreparing tells a text whose first words say what is done to a food, as prepares does.
func beginsPreparing(text string) bool {
	for each := range strings.FieldsSeq(text) {
		lower := bare(each)
		kinds := kindsOf(lower)
		if kinds&preparing != 0 || lower == "ground" {
			return true
		}
		if kinds&adverb == 0 {
			return false
		}
	}
	return false
}
