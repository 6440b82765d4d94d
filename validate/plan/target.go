package plan

import (
	"fmt"
	"math"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/ingest"
	"jarwright/validate/measure"
)

// size is how much is made.
type size struct {
	factor   float64 // times the lines measured for the batch
	jars     float64 // whole
	perJar   float64 // times the lines measured for each jar: 1 unless the jar is another
	jar      *document.Jar
	byFactor bool // a factor was asked for and not jars, so that the last jar may not come full
	atHand   atHand
	citation *catalog.Citation // of the weight of a bushel; nil where none was needed
}

// atHand is the produce or vinegar that decides the size, in one unit. Its item is empty where nothing at hand decides.
type atHand struct {
	item   string
	amount float64
	need   float64 // of the recipe as sent
	unit   measure.Unit
}

// wholeJars is the part of a jar by which float arithmetic alone may miss a whole number. Ours, no source.
const wholeJars = 1e-9

// sizeOf works out how much is made to reach the target.
func (p *Planner) sizeOf(request *document.PlanRequest, base *composition.Composition) (size, []ingest.Error) {
	jars := *request.Recipe.Jars
	made := size{jars: jars, perJar: 1, jar: request.Recipe.Jar}
	target := &request.Target
	switch {
	case target.Factor != nil:
		made.factor, made.byFactor = *target.Factor, true
		made.jars = max(1, math.Ceil(made.factor*jars-wholeJars))
		return made, nil
	case target.Jars != nil:
		made.jars = target.Jars.Count
		if target.Jars.Jar != nil {
			other := composition.Read(&document.Request{Recipe: document.Recipe{Jar: target.Jars.Jar}}, p.tables, p.scale)
			if other.Jar == nil {
				return made, []ingest.Error{p.unknownJar(target.Jars.Jar)}
			}
			made.jar, made.perJar = target.Jars.Jar, other.Jar.CapacityML/base.Jar.CapacityML
		}
		made.factor = made.jars * made.perJar / jars
		return made, nil
	case target.Volume != nil:
		unit, _ := p.units.Lookup(target.Volume.Unit)
		return made.fullJars(composition.Milliliters(unit, *target.Volume.Value)/base.Jar.CapacityML, jars, "/target/volume")
	case target.Vinegar != nil:
		unit, _ := p.units.Lookup(target.Vinegar.Unit)
		return p.sizeForVinegar(made, composition.Milliliters(unit, *target.Vinegar.Value), jars, base)
	}
	return p.sizeForProduce(made, target.Produce, jars, base)
}

func (p *Planner) unknownJar(jar *document.Jar) ingest.Error {
	near, _ := p.tables.NearestJar(jar.ID)
	return ingest.UnknownName("/target/jars/jar", jar.ID, near, nil, "There is no jar of that name; use an id of /v1/jars or give its capacity.")
}

// fullJars takes the whole jars of those that could be filled, and refuses less than one.
func (made size) fullJars(could, jars float64, pointer string) (size, []ingest.Error) {
	made.jars = math.Floor(could*(1+wholeJars) + wholeJars)
	if !(made.jars >= 1) {
		return made, []ingest.Error{{Pointer: pointer, Code: ingest.CodeTooSmall, Detail: "This is not enough for one jar of the recipe."}}
	}
	made.factor = made.jars / jars
	return made, nil
}

func (p *Planner) sizeForVinegar(made size, milliliters, jars float64, base *composition.Composition) (size, []ingest.Error) {
	need := 0.0
	for i := range base.Lines {
		line := &base.Lines[i]
		if line.Item == nil || line.Item.Family != "vinegar" || line.State != composition.Given {
			continue
		}
		need += line.Milliliters * times(line, jars)
	}
	if need <= 0 {
		return made, []ingest.Error{{Pointer: "/target/vinegar", Code: ingest.CodeNotAllowed, Detail: "The recipe has no measured vinegar."}}
	}
	unit, _ := p.units.Lookup("mL")
	made.atHand = atHand{item: "vinegar", amount: milliliters, need: need, unit: unit}
	// Vinegar is rounded up, which may take the last part of a jar.
	const roundedUp = 1.01
	return made.fullJars(milliliters/(need*roundedUp)*jars, jars, "/target/vinegar")
}

// times is how often a line is measured in the batch.
func times(line *composition.Line, jars float64) float64 {
	if line.PerJar {
		return jars
	}
	return 1
}

func (p *Planner) sizeForProduce(made size, produce *document.Produce, jars float64, base *composition.Composition) (size, []ingest.Error) {
	lines, err := p.produceLines(produce.Item, base, jars)
	if err != nil {
		return made, []ingest.Error{*err}
	}
	unit, _ := p.units.Lookup(produce.Amount.Unit)
	refuse := func(detail string) (size, []ingest.Error) {
		return made, []ingest.Error{{Pointer: "/target/produce/amount", Code: ingest.CodeNotAllowed, Detail: detail}}
	}
	if produce.Amount.Value == nil {
		return refuse("The produce at hand needs a number.")
	}
	item := lines[0].Item
	amount := *produce.Amount.Value
	if unit.Code == "bushel" || unit.Code == "peck" {
		row := slices.IndexFunc(p.bushels, func(b bushel) bool { return slices.Contains(b.families, item.Family) })
		if row < 0 {
			return refuse("No weight of a bushel of " + item.Name + " is published here; give pounds or kilograms.")
		}
		pound, _ := p.units.Lookup("lb")
		volume, _ := p.units.Lookup("bushel")
		amount *= unit.Factor / volume.Factor * p.bushels[row].low
		unit, made.citation = pound, &p.bushels[row].citation
	}
	made.atHand = atHand{item: item.Name, unit: unit, amount: amount}
	for _, line := range lines {
		need, ok := p.inUnit(line, unit)
		if !ok {
			const detail = "%s of %s cannot be compared with the %s of the recipe; give pounds or kilograms."
			return refuse(fmt.Sprintf(detail, unit.Name, item.Name, line.Unit.Name))
		}
		made.atHand.need += need * times(line, jars)
	}
	if made.atHand.need <= 0 {
		return refuse("The recipe has no measured weight of " + item.Name + " to compare with.")
	}
	return made.fullJars(amount/made.atHand.need*jars, jars, "/target/produce/amount")
}

// inUnit is the amount of a line in a unit of another dimension, through published weights where need be.
func (p *Planner) inUnit(line *composition.Line, unit measure.Unit) (float64, bool) {
	if line.Unit.Dimension == unit.Dimension && (unit.Dimension != measure.DimensionCount || line.Unit.Code == unit.Code) {
		return unit.From(line.Unit.SI(line.Value)), true
	}
	lowOne, highOne, ok := p.scale.Grams(line.Item, line.Form, 1, unit)
	if !ok || !line.WeightKnown || lowOne+highOne <= 0 {
		return 0, false
	}
	return (line.GramsLow + line.GramsHigh) / (lowOne + highOne), true
}

// produceLines finds the lines of the food at hand: the one named, or the food that weighs most.
func (p *Planner) produceLines(name string, base *composition.Composition, jars float64) ([]*composition.Line, *ingest.Error) {
	var foods []*composition.Line
	heaviest, most := -1, 0.0
	for i := range base.Lines {
		line := &base.Lines[i]
		if !line.IsFood() || line.Item == nil || line.State != composition.Given || line.Value <= 0 {
			continue
		}
		if grams := line.Grams() * times(line, jars); grams > most {
			heaviest, most = len(foods), grams
		}
		foods = append(foods, line)
	}
	if name == "" {
		switch {
		case heaviest >= 0:
			return foods[heaviest : heaviest+1], nil
		case len(foods) == 1:
			return foods, nil
		}
		return nil, &ingest.Error{
			Pointer: "/target/produce", Code: ingest.CodeMissingMember, Detail: "Say which food is at hand.",
			Params: &ingest.Params{Member: "item"},
		}
	}
	resolved, known := p.tables.Resolve(name)
	var same []*composition.Line
	for _, line := range foods {
		if known && (line.Item == resolved.Item || line.Item.Family == resolved.Item.Family) {
			same = append(same, line)
		}
	}
	if len(same) > 0 {
		return same, nil
	}
	var names []string
	for _, line := range foods {
		names = append(names, line.Item.ID)
	}
	return nil, &ingest.Error{
		Pointer: "/target/produce/item", Code: ingest.CodeNotAllowed, Detail: "The recipe has no measured amount of this food.",
		Params: &ingest.Params{Got: name, Allowed: names},
	}
}
