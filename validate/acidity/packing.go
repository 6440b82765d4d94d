package acidity

import (
	"fmt"
	"strconv"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/table"
)

// packing holds the figures by which a recipe becomes the contents of a jar.
type packing struct {
	figures map[string]Constant
}

// packingNames are the figures that the model and its callers ask for; without one of them the table is refused.
var packingNames = []string{
	"natural_ph.low_acid.low", "natural_ph.low_acid.estimate", "natural_ph.low_acid.high",
	"natural_ph.acid_food.low", "natural_ph.acid_food.estimate", "natural_ph.acid_food.high",
	"solids.most", "solids.density", "sugar.volume", "vinegar.legal_min", "juice.fresh_low", "headspace.usual",
}

func readPacking(data []byte) (packing, error) {
	rows, err := table.Rows(data, "name", "value", "unit", "source", "locator", "verified", "note")
	if err != nil {
		return packing{}, err
	}
	p := packing{figures: map[string]Constant{}}
	for i, row := range rows {
		value, err := strconv.ParseFloat(row[1], 64)
		if err != nil {
			return packing{}, fmt.Errorf("row %d (%s): %w", i+1, row[0], err)
		}
		p.figures[row[0]] = Constant{
			Name: row[0], Value: value, Unit: row[2], Note: row[6],
			Citation: catalog.Citation{Source: row[3], Locator: row[4], Verified: catalog.Verified(row[5])},
		}
	}
	for _, name := range packingNames {
		if _, ok := p.figures[name]; !ok {
			return packing{}, fmt.Errorf("missing %s", name)
		}
	}
	return p, nil
}

func (p packing) value(name string) float64 { return p.figures[name].Value }

// Packing is the named figure of how a recipe becomes the contents of a jar, in the unit of its row; 0 for a name that the
// table lacks, which a test refuses.
func (m *Model) Packing(name string) float64 { return m.packing.value(name) }

// preparedWords mark printed pH rows that are not of the fresh food.
var preparedWords = []string{
	"canned", "pickle", "juice", "cooked", "dried", "implausible", "sauce", "jam", "jelly", "preserve", "paste", "baked", "frozen",
	"sulfured", "nectar", "cider", "puree", "acidified", "as listed",
}

// NaturalPH is the pH of a food by itself, with its range: a figure of packing.csv where the tested recipe says something of its
// own, the rows of the fresh food in the list of the US Food and Drug Administration where there are any, else of other printed
// lists, else of the cooked food, else of the fresh food from memory, else the prior of its class, which is that of low-acid food
// for every class but acid food. A nil item is a food that nobody knows.
func (m *Model) NaturalPH(item *catalog.Item, class catalog.Class) Band {
	if item != nil {
		if known, ok := m.natural[item.ID]; ok {
			return known
		}
		if own, ok := m.packing.naturalPH(item.ID); ok {
			return own
		}
		for _, choose := range []func(catalog.PHRange) bool{
			func(r catalog.PHRange) bool { return r.Citation.Source == "fda-ph-2003" && fresh(r.Form) },
			func(r catalog.PHRange) bool { return r.Citation.Verified != catalog.Recalled && fresh(r.Form) },
			func(r catalog.PHRange) bool { return strings.Contains(r.Form, "cooked") },
			func(r catalog.PHRange) bool { return fresh(r.Form) },
		} {
			low, high, found := 14.0, 0.0, false
			for _, r := range item.PH {
				if choose(r) {
					low, high, found = min(low, r.Low), max(high, r.High), true
				}
			}
			if found {
				return Band{Low: low, Estimate: (low + high) / 2, High: high}
			}
		}
	}
	key := "low_acid"
	if class == catalog.AcidFood {
		key = "acid_food"
	}
	band, _ := m.packing.naturalPH(key)
	return band
}

// Know reads the printed pH of the catalog's foods once, so that reports need not. It is for the start of the program.
func (m *Model) Know(items []catalog.Item) {
	natural := make(map[string]Band, len(items))
	for i := range items {
		natural[items[i].ID] = m.NaturalPH(&items[i], items[i].Class)
	}
	m.natural = natural
}

func (p packing) naturalPH(key string) (Band, bool) {
	estimate, ok := p.figures["natural_ph."+key+".estimate"]
	return Band{Low: p.value("natural_ph." + key + ".low"), Estimate: estimate.Value, High: p.value("natural_ph." + key + ".high")}, ok
}

func fresh(form string) bool {
	for _, word := range preparedWords {
		if strings.Contains(form, word) {
			return false
		}
	}
	return true
}
