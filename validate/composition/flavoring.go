package composition

import (
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
)

// Liquid is what lines bring to the liquid of the jars. It is what strength is reckoned with, the same for a cook's recipe and
// for a tested one: what stands in no member of it (food, seasoning) brings nothing.
type Liquid struct {
	AqueousML float64 // vinegar, juice, water, and the water of brewed tea, sauces, extracts and syrups
	SugarG    float64 // sugar, what syrups and candy hold of it, and sweetener by its weight
	SaltG     float64
	OilML     float64
}

// Plus is the liquid of both.
func (l Liquid) Plus(o Liquid) Liquid {
	return Liquid{l.AqueousML + o.AqueousML, l.SugarG + o.SugarG, l.SaltG + o.SaltG, l.OilML + o.OilML}
}

// Times is the liquid so many times.
func (l Liquid) Times(factor float64) Liquid {
	return Liquid{l.AqueousML * factor, l.SugarG * factor, l.SaltG * factor, l.OilML * factor}
}

// Liquid is what a line brings to the liquid, for the batch or for one jar as it is written. It reports false where the line
// brings something and its amount is not a number or cannot be turned into milliliters or grams. A line that is poured away or not
// used brings nothing.
func (l *Line) Liquid() (Liquid, bool) {
	if !l.Counts() {
		return Liquid{}, true
	}
	switch {
	case l.Class == catalog.Water, l.Class == catalog.Ice, l.Class == catalog.Acid && l.Item.ID != "citric-acid", l.isJuice():
		return Liquid{AqueousML: l.Milliliters}, l.VolumeKnown
	case l.Class == catalog.Salt:
		return Liquid{SaltG: l.Grams()}, l.WeightKnown
	case l.Class == catalog.Fat:
		if l.VolumeKnown {
			return Liquid{OilML: l.Milliliters}, true
		}
		return Liquid{OilML: l.Grams() / l.fatDensity}, l.WeightKnown
	case l.Flavoring.Water+l.Flavoring.Sugar+l.Flavoring.Salt > 0:
		f := &l.Flavoring
		return Liquid{AqueousML: l.Grams() * f.Water, SugarG: l.Grams() * f.Sugar, SaltG: l.Grams() * f.Salt}, l.WeightKnown
	}
	return Liquid{}, true
}

func (l *Line) isJuice() bool {
	return l.Class == catalog.AcidFood && (strings.HasSuffix(l.Item.ID, "-juice") || strings.HasSuffix(l.Item.Family, "-juice"))
}

// Words that tell the states of what seasons. Common practice, no source: they are English, not figures.
var (
	groundWords = []string{"ground", "powder", "powdered", "grated", "cracked", "crushed"}
	wholeWords  = []string{"whole", "seed", "seeds", "berry", "berries", "stick", "sticks", "pod", "pods"}
	driedWords  = []string{"dried", "dehydrated", "powder", "powdered", "granulated"}
	towelWords  = []string{"pat", "patted", "towel", "towels", "washed", "rinsed", "drained", "wiped", "well", "thoroughly"}
	leafWords   = []string{"leaf", "leaves", "loose", "dry", "dried", "bag", "bags"}
)

// readFlavoring reads what an item is weighed as that seasons, sweetens or firms. A tea by the cup is a drink and counts as
// water; a spice is ground or whole as its words have it, else as the table; a dried vegetable is what it was fresh; a
// dried hot pepper is a spice.
func (l *Line) readFlavoring(tables *catalog.Tables) {
	if l.Item == nil {
		return
	}
	l.fatDensity = tables.Seasoned.FatDensity
	l.Flavoring, _ = tables.Flavoring(l.Item)
	said := ReadForm(l.Written.Item)
	has := func(words []string) bool { return l.Form.Has(words...) || said.Has(words...) }
	if l.Class == catalog.Seasoning && l.Form.says("fresh") && !has(groundWords) {
		l.readFresh()
	}
	switch l.Flavoring.Kind {
	case catalog.WholeSpice:
		if has(groundWords) {
			l.Flavoring.Kind = catalog.GroundSpice
		}
	case catalog.GroundSpice:
		switch {
		case l.Item.Family == "tannin-leaf" && l.Unit.Dimension == measure.DimensionVolume && !has(leafWords):
			l.Class, l.Flavoring = catalog.Water, catalog.Flavoring{Item: l.Item.ID}
		case has(wholeWords) && !has(groundWords):
			l.Flavoring.Kind = catalog.WholeSpice
		}
	case catalog.DriedVegetable:
		l.FreshFrom = tables.Seasoned.FreshFrom(l.Item.Family)
	case "":
		if l.Class == catalog.LowAcid && l.Item.Class == catalog.Seasoning {
			return
		}
		dried := said.Has(driedWords...) || l.Form.says(driedWords...) && !l.Form.Has(towelWords...)
		l.readDried(tables, dried, has(groundWords))
	}
}

// readFresh reads a dried spice that is said to be fresh: a chile is then food, and leaves are a fresh herb.
func (l *Line) readFresh() {
	switch {
	case l.Item.Family == "ground-chile":
		l.Class, l.Flavoring = catalog.LowAcid, catalog.Flavoring{}
	case l.Flavoring.Kind == catalog.GroundSpice:
		l.Class, l.Flavoring.Kind = catalog.FreshHerb, catalog.FreshLeaf
	}
}

// readDried reads food that is dried: a vegetable by what it was fresh, a hot pepper as the spice that it is then.
func (l *Line) readDried(tables *catalog.Tables, dried, ground bool) {
	food := l.Class == catalog.LowAcid || l.Class == catalog.AcidFood && l.Item.Family == "tomato"
	if !food || !dried {
		return
	}
	l.FreshFrom = tables.Seasoned.FreshFrom(l.Item.Family)
	if l.Item.Family != "hot-pepper" {
		if l.Class == catalog.LowAcid {
			l.Flavoring = catalog.Flavoring{Item: l.Item.ID, Kind: catalog.DriedVegetable, Density: tables.Seasoned.DriedDensity}
		}
		return
	}
	l.Class = catalog.Seasoning
	l.Flavoring = catalog.Flavoring{Item: l.Item.ID, Kind: catalog.WholeSpice, Density: tables.Seasoned.DriedDensity}
	if ground {
		l.Flavoring.Kind = catalog.GroundSpice
	}
}

// FreshGrams is the weight of a dried vegetable when it was fresh, for the batch or one jar as it is written: the most that it
// may be. Of everything else it is the weight as it is.
func (l *Line) FreshGrams() float64 { return l.GramsHigh * max(l.FreshFrom, 1) }

// Printed reads a line of a tested recipe as a cook's line of that amount would be read, poured away or not as the recipe has it.
// An amount per jar is for one jar of the printed size.
func Printed(printed *catalog.TestedIngredient, amount float64, tables *catalog.Tables, scale *Scale) Line {
	written := document.Ingredient{
		Item: printed.Item, Form: printed.Form, Amount: &document.Quantity{Value: &amount, Unit: printed.Unit}, Per: document.PerBatch,
		AcidityPercent: printed.AcidityPercent, Drained: new(printed.GoesInto == "discarded"),
	}
	if printed.Role == "salt" {
		written.SaltKind = document.SaltCanning
	}
	if printed.Per != document.PerBatch {
		written.Per = document.PerJar
	}
	line := readLine(0, &written, nil, tables, scale.units)
	line.weigh(scale)
	return line
}
