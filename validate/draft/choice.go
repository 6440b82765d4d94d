package draft

import (
	"slices"
	"strings"

	"jarwright/validate/catalog"
)

// lessSafeAlternative takes the alternative that is less safe in place of the food named first.
func (w *writer) lessSafeAlternative(at string, n *named, alternatives []string) {
	const mostWords = 4 // a longer name that is not known is a sentence
	for _, text := range alternatives {
		if written := w.r.amounts.Line(text); written.Amount != nil { // "or 1 cup water"
			text = written.Rest
		}
		if text == "" || allQualifiers(text) { // "or 1 tsp dried"
			continue
		}
		other := w.r.nameOf(text)
		if other.name == "" || !other.known && n.known && len(strings.Fields(other.name)) > mostWords || safetyRank(&other) >= safetyRank(n) {
			continue
		}
		if !other.known {
			w.notUnderstood(at, text, "The line leaves a choice, and the catalog does not know this alternative. The first was taken.")
			continue
		}
		w.assume(at, ingredientAt(len(w.out.Request.Recipe.Ingredients)), "The line leaves a choice; "+other.name+" is the less safe one and was taken.")
		other.size = n.size
		other.after, other.before, other.remarks = join(other.after, n.after), n.before, n.remarks
		*n = other
	}
}

// classesBySafety orders the classes by what reading one for another could hide, the least safe first.
var classesBySafety = []catalog.Class{
	catalog.Egg, catalog.LowAcid, catalog.Fat, catalog.Thickener, catalog.FreshHerb, catalog.AcidFood, catalog.Water, catalog.Ice,
	catalog.Firming, catalog.Sugar, catalog.Sweetener, catalog.Salt, catalog.Seasoning, catalog.Acid,
}

// testedVinegars are those that recipes were tested with.
var testedVinegars = []string{"vinegar", "white-vinegar", "cider-vinegar"}

// safetyRank is the place of a food in the order of safety, from 0 for one that is not known. Rice, wine and other vinegars
// stand before those that recipes were tested with.
func safetyRank(n *named) int {
	if !n.known {
		return 0
	}
	item := n.found.Item
	rank := slices.Index(classesBySafety, item.Class) + 1
	untested := item.Family == "vinegar" && !slices.Contains(testedVinegars, item.ID)
	if item.Class == catalog.Acid && !untested {
		rank++
	}
	return rank
}
