package draft

import (
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/draft/amount"
	"jarwright/validate/measure"
)

// Lengths that the request schema allows.
const (
	maxItem = 100
	maxForm = 200
	maxName = 200
)

// ingredient writes one ingredient of the request.
func (w *writer) ingredient(at, lower string, written *amount.Line, n *named, shared bool) string {
	into := ingredientAt(len(w.out.Request.Recipe.Ingredients))
	w.resolveAmbiguous(at, into, lower, written, n)
	g := document.Ingredient{Per: document.PerBatch, Item: w.unknownItem(n.name), Form: w.form(written, n)}
	if w.perJar || containsAny(lower, perJarWords) {
		g.Per = document.PerJar
	} else {
		w.batch = true
	}
	class := catalog.LowAcid
	if n.known {
		g.Item, class = n.found.Item.ID, n.found.Item.Class
		g.Bottled, g.SaltKind = n.found.Bottled, n.found.SaltKind
	}
	if strings.TrimSpace(g.Item) == "" {
		g.Item = w.unknownItem(lower)
	}
	w.setAmount(at, into, written, class, shared, &g)
	switch class {
	case catalog.Acid:
		w.setAcid(at, into, lower, n, &g)
	case catalog.Salt:
		if g.SaltKind == "" {
			g.SaltKind = saltKind(lower)
		}
	}
	w.setDrained(at, into, lower, class, &g)
	return w.add(g)
}

// unknownItem is the name of a food as the request may have it. The beginning of a long one may not be the name of another food.
func (w *writer) unknownItem(name string) string {
	item := cut(name, maxItem)
	if item != name && w.r.names.knows(item) {
		return "food with a name that is too long to be read"
	}
	return item
}

// fillings say how full a spoon is, and nothing of the food.
var fillings = wordSet(`scant heaping heaped level rounded generous good`)

// form gathers what the line says of the state and cut of the food.
func (w *writer) form(written *amount.Line, n *named) string {
	var parts []string
	add := func(text string) {
		if text = strings.Trim(text, " ,;"); text != "" && !slices.Contains(parts, text) {
			parts = append(parts, text)
		}
	}
	for _, size := range written.Sizes {
		if !fillings[size] {
			add(size)
		}
	}
	add(w.pieceSize(written))
	if w.isCanned(written) {
		add("canned")
	}
	add(n.size)
	if n.known {
		add(n.prefix)
		add(n.suffix)
		add(n.found.Form)
	}
	add(strings.Join(n.before, " "))
	add(n.after)
	for _, remark := range n.remarks {
		add(remark)
	}
	return cut(strings.Join(parts, ", "), maxForm)
}

// pieceSize is the length of each piece, where the line gives one.
func (w *writer) pieceSize(written *amount.Line) string {
	if written.Package == nil {
		return ""
	}
	word, ok := w.r.amounts.Word(written.Package.Unit)
	if !ok || word.Kind != amount.UnitLength {
		return ""
	}
	return measure.FormatNumber(written.Package.High) + " " + word.Code
}

func (w *writer) isCanned(written *amount.Line) bool {
	if written.Amount == nil {
		return false
	}
	isCan := func(name string) bool { return name == "can" || name == "tin" }
	return isCan(written.Amount.Unit) || isCan(written.Container)
}

// leastCounts are the classes of which a range counts with its lower end: less of them is less safe. Acid food is not among
// them: with the added acid the same, more of it leaves less acid for each part.
func leastCounts(class catalog.Class) bool {
	switch class {
	case catalog.Acid, catalog.Salt, catalog.Sugar, catalog.Sweetener, catalog.Seasoning, catalog.Firming:
		return true
	}
	return false
}

// setAmount writes the amount, of a range the less safe end. An amount shared by several foods is left open where less of
// the food is less safe.
func (w *writer) setAmount(at, into string, written *amount.Line, class catalog.Class, shared bool, g *document.Ingredient) {
	into += "/amount"
	low, high, code, ok := w.r.amounts.Total(*written)
	switch {
	case ok && shared && !written.Each && leastCounts(class):
		w.assume(at, into, "One amount stands for several foods; how much of it is this one is not said, so its amount is left open.")
	case ok:
		value, end := high, "larger"
		if leastCounts(class) {
			value, end = low, "smaller"
		}
		if high > low {
			w.assume(at, into, "The line gives a range; the "+end+" end is the less safe one and was taken.")
		}
		if !w.r.bounds.Allows(into, value, code) {
			size := "larger"
			if value < 1 {
				size = "smaller"
			}
			w.notWritten(at, into, "", "The amount is "+size+" than any kitchen's and was left out.")
			return
		}
		g.Amount = &document.Quantity{Value: &value, Unit: code}
	case written.Open != "":
		g.Amount = &document.Quantity{Unit: written.Open}
	case written.Amount != nil:
		w.notWritten(at, into, "", "The amount cannot be turned into a measure and was left out.")
	default:
		w.notWritten(at, into, "", "The line gives no amount.")
	}
}

var (
	bottledWords = []string{"bottled", "store-bought", "store bought", "commercial", "from concentrate"}
	freshWords   = []string{"fresh", "squeezed", "homemade", "home-made", "juice of", "juice from"}
)

// setAcid reads how strong an acid is and whether it was bought.
func (w *writer) setAcid(at, into, lower string, n *named, g *document.Ingredient) {
	if value, ok := amount.Percent(lower); ok {
		if into := into + "/acidity_percent"; w.r.bounds.Allows(into, value, "") {
			g.AcidityPercent = &value
		} else {
			w.notWritten(at, into, "", "The strength is none that a label has, and was left out.")
		}
	}
	switch {
	case containsAny(lower, bottledWords):
		g.Bottled = new(true)
	case containsAny(lower, freshWords) && !strings.Contains(lower, "fresh bottle"):
		g.Bottled = new(false)
	case g.AcidityPercent != nil && n.found.Item.Family == "vinegar":
		g.Bottled = new(true)
		w.assume(at, into+"/bottled", "A vinegar whose strength is stated is taken for a bought one.")
	}
}

// spiceBagWords say that a spice does not stay in the jar.
var spiceBagWords = []string{"spice bag", "in a bag, removed", "tied in cheesecloth", "tied in a", "in cheesecloth", "taken out", "removed before"}

// setDrained reads what is poured away or taken out. Only what makes a jar safer or no different may be taken out of it on
// the strength of a word; food never is.
func (w *writer) setDrained(at, into, lower string, class catalog.Class, g *document.Ingredient) {
	switch class {
	case catalog.Water, catalog.Salt, catalog.Ice, catalog.Firming, catalog.Acid, catalog.Sugar, catalog.Sweetener:
		if w.soaking || containsAny(lower, soakingWords) {
			g.Drained = new(true)
			w.assume(at, into+"/drained", "The line speaks of a soak or of cooking water, which is poured away.")
		}
	case catalog.Seasoning, catalog.FreshHerb:
		if containsAny(lower, spiceBagWords) {
			g.Drained = new(true)
			w.assume(at, into+"/drained", "The line speaks of a spice bag that is taken out.")
		}
	}
}

// saltKind is the kind of salt that a line names, or nothing.
func saltKind(lower string) string {
	switch {
	case containsAny(lower, []string{"canning", "pickling salt", "preserving salt"}):
		return document.SaltCanning
	case strings.Contains(lower, "kosher"):
		return document.SaltKosherFlake
	case containsAny(lower, []string{"table salt", "iodized", "iodised"}):
		return document.SaltTable
	}
	return ""
}
