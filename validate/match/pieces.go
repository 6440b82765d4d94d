package match

import (
	"math"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/measure"
	"jarwright/validate/packing"
)

// JarResult is what one jar of a recipe of pieces under a liquid comes to, beside the printed one. It is zero for other recipes and
// where it cannot be told.
type JarResult struct {
	Jars       float64 // of the recipe, or what the amounts were taken to fill where it does not say
	JarsSaid   bool
	JarsLow    float64      // the printed yield at this size of batch and jar
	JarsHigh   float64      //
	FoodG      float64      // in a jar, as the recipe weighs it
	MostFoodG  float64      // that the printed jar allows
	LiquidML   float64      // made for a jar; 0: as much as covers
	Need       packing.Need // liquid of a jar
	Spare      bool         // there may be too little liquid: between surely short and surely enough
	AcidInJar  float64      // g/kg of food, of the liquid that finds room
	AcidAsked  float64      // the same of the printed jar at its fewest jars
	Sizes      [2]packing.Jar
	isComputed bool
}

// Known reports whether the jar was worked out.
func (r *JarResult) Known() bool { return r.isComputed }

// pieces is what a cook puts into the jars of a recipe of pieces under a liquid.
type pieces struct {
	print    *printedJar
	jar      packing.Jar
	sized    bool      // the jar is known
	jars     float64   // of the recipe, else what its amounts would fill packed as printed
	said     bool      // the recipe says how many jars
	food     []float64 // g by slot, as the recipe weighs it
	foodG    float64   // of them, of counted pieces only what is over their number
	printedG float64   // of the printed recipe, the foods that are present
	most     float64   // the greatest multiple of a printed food
	liquid   packing.Liquid
	covers   bool // liquid to cover, without a figure
}

// printedIn is the printed jar of the pack that applies; nil where the class of the pack is judged by the pot.
func (m *Matcher) printedIn(p *pattern, choice *PackChoice, style string) *printedJar {
	if !p.jar.known {
		return nil
	}
	pack := choice.Style
	for i := range p.recipe.Packs {
		if pack == nil && (p.recipe.Packs[i].Pack == style || !slices.Contains(choice.Styles, style)) {
			pack = &p.recipe.Packs[i]
		}
	}
	if pack == nil || !pack.JarClass.Pieces() {
		return nil
	}
	j := p.jar
	j.Class, j.Prepared = pack.JarClass, pack.Prepared
	j.Jar = inside(j.jar.CapacityML, j.jar.MouthMM, pack)
	return &j
}

// inside is a jar filled to the headspace that a pack prints. Where the mouth is not known there is no headspace to take off.
func inside(capacityML, mouthMM float64, pack *catalog.TestedPack) packing.Jar {
	headspace := measure.Length(pack.HeadspaceIn) * measure.Inch
	return packing.Jar{CapacityML: capacityML, FillML: packing.FillML(capacityML, mouthMM, headspace.Millimeters())}
}

// asPiecesInJars works out what the cook's jars hold; it reports false, and says why, where that cannot be told.
func (c *comparison) asPiecesInJars(s *scales) (*pieces, bool) {
	p := &pieces{print: c.printed, food: make([]float64, len(s.of))}
	p.jar = p.print.Jar
	if jar := c.cook.Jar; jar != nil {
		mouth := c.printed.jar.MouthMM
		if jar.Known != nil {
			mouth = jar.Known.MouthMM
		}
		pack := c.match.Pack.Style
		if pack == nil {
			pack = &c.tested.recipe.Packs[0]
		}
		p.jar, p.sized = inside(jar.CapacityML, mouth, pack), true
	}
	c.weighPieces(p, s)
	c.countJars(p)
	for i := range s.of {
		if p.print.counted[i] && len(c.filled[i]) > 0 {
			p.foodG += c.overCount(p, s, i) * p.jars
		}
	}
	return p, c.pour(p)
}

// weighPieces sums up the foods that are not counted: as many times the printed weight as there is of the printed amount.
func (c *comparison) weighPieces(p *pieces, s *scales) {
	for i := range s.of {
		grams := p.print.grams[i]
		if grams == 0 || p.print.counted[i] || s.of[i].high == 0 {
			continue
		}
		times := s.of[i].high
		if c.isPrepared(i) {
			times /= p.print.Prepared[0]
		}
		p.food[i] = times * grams
		p.foodG += p.food[i]
		p.printedG += grams
		p.most = math.Max(p.most, times)
	}
}

// countJars takes the jars that the recipe says. Where it says none, each food is taken to be packed no closer than printed.
func (c *comparison) countJars(p *pieces) {
	if c.cook.Jars != nil && *c.cook.Jars > 0 {
		p.jars, p.said = *c.cook.Jars, true
		return
	}
	p.jars = math.Max(p.most, 1e-9) * p.print.Least * p.print.Jar.CapacityML / p.jar.CapacityML
}

// overCount is the weight of counted pieces in a jar, in g, beyond their printed number. In a smaller jar the number is rounded up to a
// whole piece, and in a larger one it goes with the capacity.
func (c *comparison) overCount(p *pieces, s *scales, i int) float64 {
	slot := &c.tested.slots[i]
	count := 0.0
	for k := range slot.lines {
		count += slot.lines[k].high * p.print.jarsOf(&slot.lines[k])
	}
	size := p.jar.CapacityML / p.print.Jar.CapacityML
	allowed, have := count/p.print.Least*size, s.of[i].high*count/p.jars
	if slot.perJar() {
		have = s.of[i].high * allowed
		if slot.lines[0].perJarML == anyJar {
			allowed = count / p.print.Least * math.Max(size, 1)
			have = s.of[i].high * count / p.print.Least
		}
	}
	if size < 1-c.matcher.tolerances.capacity {
		allowed = math.Max(1, math.Ceil(allowed-1e-9))
	}
	over := have - allowed*(1+c.matcher.tolerances.ratio)
	if over <= 0 || count <= 0 {
		return 0
	}
	return over * p.print.grams[i] / count
}

// pour sums up the liquid. It reports false, and says so, where its strength cannot be told.
func (c *comparison) pour(p *pieces) bool {
	var open, parts, given []*composition.Line
	known := true
	for i := range c.cook.Lines {
		line := &c.cook.Lines[i]
		if !line.Counts() || line.Item == nil || c.isOpenEnded(line) || c.printedOpen(line) {
			continue
		}
		wet := line.Class == catalog.Acid && line.Item.ID != "citric-acid" || line.Class == catalog.Water || line.Class == catalog.Ice
		switch {
		case !wet:
			if line.State == composition.Given && line.Unit.Code == measure.CodePart && c.dissolves(line) {
				parts = append(parts, line)
			} else {
				known = c.stirIn(p, line) && known
			}
		case line.State == composition.Missing:
			return c.unknownLiquid(line, "the amount of "+line.Name+" is not given")
		case line.State != composition.Given:
			open = append(open, line)
		case line.Unit.Code == measure.CodePart:
			parts = append(parts, line)
		default:
			given = append(given, line)
		}
	}
	return c.pourWet(p, open, parts, given) && known
}

// dissolves reports whether a line is no liquid and yet part of one: what is dissolved, dry acid and oil.
func (c *comparison) dissolves(line *composition.Line) bool {
	switch line.Class {
	case catalog.Salt, catalog.Fat, catalog.Acid:
		return !c.printedOpen(line)
	}
	return thins(line) && !c.printedOpen(line)
}

// thins reports whether a line holds sugar, salt or water that thins the acid of the liquid.
func thins(line *composition.Line) bool {
	return line.Flavoring.Water+line.Flavoring.Sugar+line.Flavoring.Salt > 0
}

// stirIn adds what is dissolved in the liquid; it reports false, and says so, where the strength of the liquid hangs on an amount that
// is not known.
func (c *comparison) stirIn(p *pieces, line *composition.Line) bool {
	if !c.dissolves(line) {
		return true
	}
	if line.State == composition.Given {
		if amount, ok := c.inBatch(p, line); ok {
			p.liquid = p.liquid.Plus(&amount)
			return true
		}
	}
	if thins(line) || line.Class == catalog.Acid || line.Class == catalog.Fat {
		return c.unknownSugar(line)
	}
	return true
}

// pourWet adds the liquids: those with figures, or those in parts, or one alone that covers.
func (c *comparison) pourWet(p *pieces, open, parts, given []*composition.Line) bool {
	switch {
	case len(parts) > 0 && len(given)+len(open) > 0:
		return c.unknownLiquid(slices.Concat(given, open)[0], "it stands beside a mixture that is given in parts")
	case len(parts) > 0:
		return c.cover(p, parts)
	case len(open) > 1 || len(open) == 1 && len(given) > 0:
		return c.unknownLiquid(open[0], "the amount of "+open[0].Name+" is not a number")
	case len(open) == 1 && open[0].Class == catalog.Acid:
		return c.cover(p, open)
	case len(open) == 1:
		return c.unknownLiquid(open[0], "the amount of "+open[0].Name+" is not a number")
	}
	for _, line := range given {
		amount, ok := c.inBatch(p, line)
		if !ok {
			return c.unknownLiquid(line, "the amount of "+line.Name+" is neither a volume nor a weight")
		}
		p.liquid = p.liquid.Plus(&amount)
	}
	return true
}

// inBatch is what a line with a figure adds to the liquid of the batch.
func (c *comparison) inBatch(p *pieces, line *composition.Line) (packing.Liquid, bool) {
	liquid, known := line.Liquid()
	amount := packing.Liquid{AqueousML: liquid.AqueousML, SugarG: liquid.SugarG, SaltG: liquid.SaltG, OilML: liquid.OilML}
	if line.Class == catalog.Acid {
		known = line.VolumeKnown || line.Item.ID == "citric-acid" && line.WeightKnown
		amount = c.matcher.dissolved(measured{item: line.Item, grams: line.Grams(), ml: line.Milliliters, percent: line.Acidity})
	}
	times := 1.0
	if line.PerJar {
		times = p.jars
	}
	if line.Class == catalog.Seasoning && known {
		times *= 1 - c.printedShare(p, line, line.Grams()*times)
	}
	amount = amount.Times(times)
	return amount, known
}

// printedShare is how much of the grams of a wet seasoning the tested recipe itself prints at the scale of the batch, as a fraction.
func (c *comparison) printedShare(p *pieces, line *composition.Line, grams float64) float64 {
	b := batch{scale: p.most, jars: p.jars, pints: p.jars * p.jar.CapacityML / pintML}
	printed := 0.0
	for i := range c.tested.flavors {
		if f := &c.tested.flavors[i]; f.line.Item == line.Item {
			printed += f.line.GramsHigh * b.printed(f)
		}
	}
	if grams <= printed {
		return 1
	}
	return printed / grams
}

// cover makes a liquid of lines that have no volume, in parts or alone: as strong as they make it, and as much as covers. Where sugar
// or salt is given by weight it is dissolved in the least that the jars take.
func (c *comparison) cover(p *pieces, lines []*composition.Line) bool {
	const part = 1000 // mL, of any size: only proportions count
	var mixed packing.Liquid
	for _, line := range lines {
		a := measured{item: line.Item, ml: part, percent: line.Acidity}
		if line.Class == catalog.Water {
			a.item = c.matcher.water // a brewed tea among it
		}
		if line.State == composition.Given {
			a.ml *= line.Value
			low, high, _ := c.matcher.scale.Grams(line.Item, line.Form, a.ml, c.matcher.milliliter)
			a.grams = (low + high) / 2
		}
		amount := c.matcher.dissolved(a)
		mixed = mixed.Plus(&amount)
	}
	if mixed.AqueousML <= 0 {
		return c.unknownLiquid(lines[0], "no liquid is among the parts")
	}
	_, high := p.print.Displaced()
	least := p.jars * p.print.RoomML(p.foodG/p.jars, p.jar, high)
	mixed = mixed.Times(least / mixed.VolumeML())
	p.liquid, p.covers = p.liquid.Plus(&mixed), true
	return true
}

// isOpenEnded reports whether a line without a figure answers to one that is printed without one.
func (c *comparison) isOpenEnded(line *composition.Line) bool {
	if line.State == composition.Given {
		return false
	}
	for i := range c.tested.slots {
		if c.tested.slots[i].openEnded && slices.Contains(c.filled[i], line) {
			return true
		}
	}
	return false
}

// unknownLiquid says that the liquid cannot be compared, and is always false.
func (c *comparison) unknownLiquid(line *composition.Line, why string) bool {
	c.add(Departure{
		Rule: RulePublishedRatio, Verdict: Undetermined, At: line.At,
		What:   "The proportions cannot be compared with " + c.title() + ": " + why + ".",
		Remedy: "Give the amount as a weight or a volume, or the whole liquid in parts; if it is for each jar, give the jar and how many jars.",
	})
	return false
}

func (c *comparison) unknownSugar(line *composition.Line) bool {
	rule := RuleSweetened
	if line.Class == catalog.Acid {
		rule = RulePublishedRatio
	}
	c.add(Departure{
		Rule: rule, Verdict: Undetermined, At: line.At,
		What:   "How much " + line.Name + " there is cannot be told, and so not how strong the liquid is.",
		Remedy: "Give its amount as a weight or a volume.",
	})
	return rule == RuleSweetened // the rest can still be compared
}
