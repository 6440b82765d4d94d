package draft

import (
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/draft/amount"
)

// mention is a food of the catalog as a line mentions it.
type mention struct {
	item    *catalog.Item
	name    string // in lower case
	line    string // in lower case
	written *amount.Line
}

// in tells whether the amount has one of the units.
func (m *mention) in(units ...string) bool {
	return m.written.Amount != nil && slices.Contains(units, m.written.Amount.Unit)
}

// ambiguities are names that mean another item with another amount or preparation. The first that applies counts.
var ambiguities = []struct {
	applies func(*mention) bool
	item    func(*mention) string // what it is then
	says    string
}{
	{isPepperSpice, is("black-pepper"), "Pepper by the spoon or without an amount is taken for the spice."},
	{isGingerRoot, is("ginger-root"), "Ginger that is peeled, cut or counted is taken for the fresh root."},
	{func(m *mention) bool { return m.item.ID == "fresh-dill" && m.in("head") }, is("dill-head"), "A head of dill."},
	{func(m *mention) bool { return m.item.ID == "cinnamon" && m.in("stick", "in", "piece") }, is("cinnamon-stick"), "Cinnamon by the stick."},
	{isFreshHerb, func(m *mention) string { return m.name + " fresh" }, "Sprigs, bunches and leaves are taken for the fresh herb."},
	{isGarlic, is("garlic"), "Cloves of garlic."},
	{isJuiced, func(m *mention) string { return "fresh " + m.item.ID + " juice" }, "The fruit is juiced; only fresh juice is counted."},
}

func is(item string) func(*mention) string { return func(*mention) string { return item } }

func isPepperSpice(m *mention) bool {
	plain := m.name == "pepper" || m.name == "cracked pepper" || strings.HasSuffix(m.name, "ground pepper")
	return m.item.ID == "any-pepper" && plain && (m.written.Amount == nil || m.in("tsp", "tbsp", "pinch", "dash", "dessertspoon"))
}

var cutGinger = []string{"grated", "minced", "peeled", "sliced", "piece", "knob", "inch", "chopped"}

func isGingerRoot(m *mention) bool {
	return m.item.ID == "ginger" && m.name == "ginger" && (m.written.Package != nil || m.written.Container != "" || containsAny(m.line, cutGinger))
}

func isFreshHerb(m *mention) bool {
	return m.item.Class == catalog.Seasoning && m.in("sprig", "bunch", "handful", "stem", "leaf")
}

func isGarlic(m *mention) bool {
	return m.item.ID == "clove" && m.name == "cloves" && strings.Contains(m.line, "garlic")
}

var juicedWords = []string{"juiced", "juice of", "juice from", "juice only"}

func isJuiced(m *mention) bool {
	return (m.item.ID == "lemon" || m.item.ID == "lime") && containsAny(m.line, juicedWords)
}

// resolveAmbiguous reads names that mean another thing with another amount: pepper by the spoon is the spice.
func (w *writer) resolveAmbiguous(at, into, lower string, written *amount.Line, n *named) {
	if !n.known {
		return
	}
	m := mention{item: n.found.Item, name: strings.ToLower(n.name), line: lower, written: written}
	for i := range ambiguities {
		if !ambiguities[i].applies(&m) {
			continue
		}
		if found, ok := w.r.tables.Resolve(ambiguities[i].item(&m)); ok {
			n.found = found
			w.assume(at, into, ambiguities[i].says)
		}
		return
	}
}
