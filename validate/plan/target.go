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

// goal is how much is made.
type goal struct {
	factor   float64 // times the lines per batch
	jars     float64 // whole
	perJar   float64 // times the lines per jar: 1 unless the jar is another
	jar      *document.Jar
	free     bool // the factor was asked for, not the jars: the last jar may not come full
	have     have
	citation *catalog.Citation // of a bushel
}

// have is what is at hand, in a unit in which the recipe's need can be told.
type have struct {
	item   string
	amount float64 // g, mL or pieces
	need   float64 // of the recipe as sent, in the same
	unit   measure.Unit
}

// wholeJars is the part of a jar that float arithmetic alone may be short of. Ours, no source.
const wholeJars = 1e-9

// aim works out the goal from the target.
func (p *Planner) aim(request *document.PlanRequest, base *composition.Composition) (goal, []ingest.Error) {
	jars := *request.Recipe.Jars
	g := goal{jars: jars, perJar: 1, jar: request.Recipe.Jar}
	target := &request.Target
	switch {
	case target.Factor != nil:
		g.factor, g.free = *target.Factor, true
		g.jars = max(1, math.Ceil(g.factor*jars-wholeJars))
		return g, nil
	case target.Jars != nil:
		g.jars = target.Jars.Count
		if target.Jars.Jar != nil {
			other := composition.Read(&document.Request{Recipe: document.Recipe{Jar: target.Jars.Jar}}, p.tables, p.scale)
			if other.Jar == nil {
				return g, []ingest.Error{p.unknownJar(target.Jars.Jar)}
			}
			g.jar, g.perJar = target.Jars.Jar, other.Jar.CapacityML/base.Jar.CapacityML
		}
		g.factor = g.jars * g.perJar / jars
		return g, nil
	case target.Volume != nil:
		unit, _ := p.units.Lookup(target.Volume.Unit)
		return g.whole(composition.Milliliters(unit, *target.Volume.Value)/base.Jar.CapacityML, jars, "/target/volume")
	case target.Vinegar != nil:
		unit, _ := p.units.Lookup(target.Vinegar.Unit)
		return p.aimAtVinegar(g, composition.Milliliters(unit, *target.Vinegar.Value), jars, base)
	}
	return p.aimAtProduce(g, target.Produce, jars, base)
}

func (p *Planner) unknownJar(jar *document.Jar) ingest.Error {
	near, _ := p.tables.NearestJar(jar.ID)
	return ingest.UnknownName("/target/jars/jar", jar.ID, near, nil, "There is no jar of that name; use an id of /v1/jars or give its capacity.")
}

// whole takes the full jars of what could be filled.
func (g goal) whole(could, jars float64, pointer string) (goal, []ingest.Error) {
	g.jars = math.Floor(could*(1+wholeJars) + wholeJars)
	if g.jars < 1 {
		return g, []ingest.Error{{Pointer: pointer, Code: ingest.CodeTooSmall, Detail: "This is not enough for one jar of the recipe."}}
	}
	g.factor = g.jars / jars
	return g, nil
}

func (p *Planner) aimAtVinegar(g goal, milliliters, jars float64, base *composition.Composition) (goal, []ingest.Error) {
	need := 0.0
	for i := range base.Lines {
		line := &base.Lines[i]
		if line.Item == nil || line.Item.Family != "vinegar" || line.State != composition.Given {
			continue
		}
		if ml, ok := p.scale.MillilitersOf(line.Item, line.Value, line.Unit); ok {
			need += ml * times(line, jars)
		}
	}
	if need <= 0 {
		return g, []ingest.Error{{Pointer: "/target/vinegar", Code: ingest.CodeNotAllowed, Detail: "The recipe has no measured vinegar."}}
	}
	unit, _ := p.units.Lookup("mL")
	g.have = have{item: "vinegar", amount: milliliters, need: need, unit: unit}
	// Vinegar is rounded up, so the last part of a jar may be lost to it.
	const roundedUp = 1.01
	return g.whole(milliliters/(need*roundedUp)*jars, jars, "/target/vinegar")
}

// times is how often a line is measured in the batch.
func times(line *composition.Line, jars float64) float64 {
	if line.PerJar {
		return jars
	}
	return 1
}

func (p *Planner) aimAtProduce(g goal, produce *document.Produce, jars float64, base *composition.Composition) (goal, []ingest.Error) {
	lines, err := p.produceLines(produce.Item, base, jars)
	if err != nil {
		return g, []ingest.Error{*err}
	}
	unit, _ := p.units.Lookup(produce.Amount.Unit)
	refuse := func(detail string) (goal, []ingest.Error) {
		return g, []ingest.Error{{Pointer: "/target/produce/amount", Code: ingest.CodeNotAllowed, Detail: detail}}
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
		unit, g.citation = pound, &p.bushels[row].citation
	}
	g.have = have{item: item.Name, unit: unit, amount: amount}
	for _, line := range lines {
		need, ok := p.inUnit(line, unit)
		if !ok {
			return refuse(fmt.Sprintf("%s of %s cannot be compared with the %s of the recipe; give pounds or kilograms.", unit.Name, item.Name, line.Unit.Name))
		}
		g.have.need += need * times(line, jars)
	}
	return g.whole(amount/g.have.need*jars, jars, "/target/produce/amount")
}

// inUnit is the amount of a line in a unit of another dimension, through published weights where need be.
func (p *Planner) inUnit(line *composition.Line, unit measure.Unit) (float64, bool) {
	if line.Unit.Dimension == unit.Dimension && (unit.Dimension != measure.DimensionCount || line.Unit.Code == unit.Code) {
		return unit.From(line.Unit.SI(line.Value)), true
	}
	low, high, ok := p.scale.Grams(line.Item, line.Form, line.Value, line.Unit)
	lowOne, highOne, okOne := p.scale.Grams(line.Item, line.Form, 1, unit)
	if !ok || !okOne || lowOne+highOne <= 0 {
		return 0, false
	}
	return (low + high) / (lowOne + highOne), true
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
		if low, high, ok := p.scale.Grams(line.Item, line.Form, line.Value, line.Unit); ok && (low+high)*times(line, jars) > most {
			heaviest, most = len(foods), (low+high)*times(line, jars)
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
		return nil, &ingest.Error{Pointer: "/target/produce", Code: ingest.CodeMissingMember, Detail: "Say which food is at hand.", Params: &ingest.Params{Member: "item"}}
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
