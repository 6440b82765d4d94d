package draft

import (
	"strings"

	"jarwright/validate/document"
	"jarwright/validate/draft/amount"
)

// name writes what the recipe is called.
func (w *writer) name() {
	n, ok := w.recipe.member("name")
	if !ok {
		n, ok = w.recipe.member("headline")
	}
	if !ok {
		return
	}
	text, at := n.text()
	text = amount.PlainText(text)
	if short := cut(text, maxName); short != text {
		w.notUnderstood(at, text, "The name is longer than 200 characters and was cut.")
		text = short
	}
	w.out.Request.Recipe.Name = text
}

// ingredients reads every ingredient line, however the list is shaped.
func (w *writer) ingredients() {
	list, ok := w.recipe.member("recipeIngredient")
	if old, has := w.recipe.member("ingredients"); has {
		if ok && len(list.list()) > 0 {
			w.notUnderstood(old.at(), "", "The recipe lists its ingredients twice; only recipeIngredient is read.")
		} else {
			list, ok = old, true
			w.assume(old.at(), "/recipe/ingredients", "The superseded property ingredients was read in place of recipeIngredient.")
		}
	}
	if !ok {
		if list, ok = w.recipe.member("supply"); !ok {
			return
		}
	}
	w.entries(list, 0)
	if w.batch {
		w.assume(w.recipe.at(), "/recipe/ingredients", "Amounts are taken for the whole batch, except where a line or its heading speaks of each jar.")
	}
}

// maxLines is how many lines of ingredients, headings and equipment a recipe may have.
const maxLines = 1000

// isFull tells whether there are more lines or ingredients than a recipe may have: it is refused, and the others need no reading.
func (w *writer) isFull() bool {
	return !w.budget.Spend(1) || len(w.out.Lines) > maxLines || len(w.out.Request.Recipe.Ingredients) > maxIngredients
}

// deepestList is how many lists within lists are read.
const deepestList = 8

// entries reads one level of the list of ingredients.
func (w *writer) entries(n node, depth int) {
	for _, each := range n.list() {
		if w.isFull() {
			return
		}
		switch value := each.value.(type) {
		case string:
			for _, part := range inLines(value) {
				if w.isFull() || !w.budget.SpendText(len(part)) {
					return
				}
				w.line(each.at(), part)
			}
		case map[string]any:
			w.entry(each, depth)
		case []any:
			if depth < deepestList {
				w.entries(each, depth+1)
			}
		default:
			text, at := each.text()
			w.line(at, text)
		}
	}
}

// entry reads a section of the list, or an ingredient that is written as an object.
func (w *writer) entry(n node, depth int) {
	if inner, ok := n.member("itemListElement"); ok && depth < deepestList {
		if heading, ok := n.member("name"); ok {
			text, at := heading.text()
			w.heading(at, amount.PlainText(text))
		}
		w.entries(inner, depth+1)
		return
	}
	if inner, ok := n.member("item"); ok && isContainer(inner.value) && depth < deepestList {
		w.entries(inner, depth+1)
		return
	}
	if text := lineOf(n); text != "" {
		w.line(n.at(), text)
		return
	}
	w.notUnderstood(n.at(), "", "This ingredient has no text.")
	w.unknown(n.at(), "ingredient without text", "ingredient without text")
}

// unknown puts an ingredient nobody can identify into the recipe; it counts as low-acid food. The item is what the request calls
// it, never the text: its beginning may be the name of a food.
func (w *writer) unknown(at, text, item string) (into string) {
	into = w.add(document.Ingredient{Item: item, Per: document.PerBatch})
	w.out.Lines = append(w.out.Lines, Line{At: at, Text: shortened(text), Kind: LineIngredient, Into: []string{into}})
	return into
}

// add appends an ingredient and gives its pointer.
func (w *writer) add(ingredient document.Ingredient) string {
	recipe := &w.out.Request.Recipe
	recipe.Ingredients = append(recipe.Ingredients, ingredient)
	return ingredientAt(len(recipe.Ingredients) - 1)
}

// lineOf makes a line of a PropertyValue or a HowToSupply: its quantity before its name.
func lineOf(n node) string {
	quantity := ""
	for _, member := range []string{"requiredQuantity", "value", "amount", "quantity"} {
		if value, ok := n.member(member); ok {
			quantity = quantityText(value)
			break
		}
	}
	name, _ := n.text()
	if inner, ok := n.member("name"); ok {
		name, _ = inner.text()
	}
	if quantity != "" && quantity != name {
		return quantity + unitText(n) + " " + name
	}
	return name
}

// quantityText writes a QuantitativeValue, or a number or text in its place.
func quantityText(n node) string {
	if n.object() == nil {
		text, _ := n.text()
		return text
	}
	number := ""
	value, hasValue := n.member("value")
	low, hasLow := n.member("minValue")
	high, hasHigh := n.member("maxValue")
	switch {
	case hasValue:
		number, _ = value.text()
	case hasLow && hasHigh:
		from, _ := low.text()
		to, _ := high.text()
		number = from + "-" + to
	}
	return number + unitText(n)
}

// unitCodes are the UN/CEFACT codes of the units that lines of recipes use. From memory (Recommendation 20).
var unitCodes = map[string]string{
	"GRM": "g", "KGM": "kg", "LBR": "lb", "ONZ": "oz", "MLT": "ml", "LTR": "L", "G21": "cup", "G24": "tbsp", "G25": "tsp", "OZA": "fl oz", "PTL": "pint",
	"QTL": "quart", "GLL": "gallon", "BUA": "bushel", "G23": "peck", "CLT": "cl", "DLT": "dl",
}

// unitText is the unit of a quantity behind a space, or nothing.
func unitText(n node) string {
	if unit, ok := n.member("unitText"); ok {
		text, _ := unit.text()
		return " " + text
	}
	if code, ok := n.member("unitCode"); ok {
		text, _ := code.text()
		if name, known := unitCodes[text]; known {
			return " " + name
		}
		return " " + text
	}
	return ""
}

// perJarWords say that the amount is that of each jar.
var perJarWords = []string{"per jar", "each jar", "per pint", "per quart", "per half-pint", "every jar", "/jar", "to a jar"}

// soakingWords say that the line is of a soak or of cooking water, which does not reach the jar.
var soakingWords = []string{
	"for soaking", "soaking", "to soak", "soak in", "for the soak", "salt soak", "lime soak", "ice bath", "cooking water", "simmer water",
	"for blanching", "poured away", "discarded",
}

// heading takes note of a line that only names what follows.
func (w *writer) heading(at, text string) {
	lower := strings.ToLower(text)
	w.perJar, w.soaking = containsAny(lower, perJarWords), containsAny(lower, soakingWords)
	w.out.Lines = append(w.out.Lines, Line{At: at, Text: shortened(text), Kind: LineHeading, Understood: true, Into: []string{}})
}

// isHeading tells "For the brine:" from a line of food. A line that names something of the catalog is never a heading.
func (r *Reader) isHeading(text string, written *amount.Line) bool {
	if written.Amount != nil || written.Open != "" {
		return false
	}
	lower := strings.ToLower(text)
	if !strings.HasSuffix(text, ":") && !strings.HasPrefix(lower, "for the ") && !strings.HasPrefix(text, "---") && !strings.HasPrefix(text, "==") {
		return false
	}
	texts := strings.Fields(strings.Trim(strings.TrimPrefix(lower, "for the "), " :-="))
	return !r.knowsLoosely(r.names.read(texts[:min(longestKnown, len(texts))]))
}
