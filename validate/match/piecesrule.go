package match

import (
	"fmt"
	"math"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/measure"
	"jarwright/validate/packing"
	"jarwright/validate/report"
)

// piecesAmounts compares pieces under a liquid by the jar that results: the strength of the liquid, of each kind of acid; the food in a
// jar; liquid enough for it; and, where the food takes up acid in the pot, how much liquid it had. Liquid that stays in the pot when raw
// pieces are covered earns nothing and costs nothing. weighed says whether the amount of every food is known.
func (c *comparison) piecesAmounts(s *scales, weighed bool) {
	p, ok := c.asPiecesInJars(s)
	if !ok {
		return
	}
	if !p.covers {
		c.liquid = p.liquid.AqueousML / p.print.Liquid.AqueousML
		if c.liquid > 0 {
			c.stays = math.Max(0, 1-c.batches(p)/c.liquid)
		}
	}
	if !weighed { // a departure says so; how strong the liquid is can be told all the same
		if c.strong(p) && !p.covers {
			c.sweet(p)
		}
		return
	}
	tolerance, size := 1+c.matcher.tolerances.ratio, c.batches(p)
	s.acid = size // soaks, thickeners and herbs go with the food
	c.perJarFood(s, tolerance)
	c.tooLittleAcid(s, size)
	c.diluters(s, size, tolerance)
	c.flavors(s, size, p)
	if c.strong(p) {
		c.sweet(p)
		c.foodInJar(p)
		c.liquidInJar(p)
		c.liquidForFood(p)
	}
	c.recordSafe(&scales{of: s.of, acid: p.liquid.Acids() / p.print.Liquid.Acids(), fruit: s.fruit})
	c.recordJar(p)
	c.piecesAllowances(s, p)
}

// perJarFood holds food that is measured into each jar and not counted to its printed amount.
func (c *comparison) perJarFood(s *scales, tolerance float64) {
	for i := range c.tested.slots {
		if slot := &c.tested.slots[i]; slot.kind == lowAcidSlot && slot.perJar() && !c.printed.counted[i] && s.of[i].high > tolerance {
			c.tooMuch(i, s.of[i].high, 1, "in each jar")
		}
	}
}

// strong compares the strength of the liquid, by weight of each kind of acid that is printed. A surplus of one kind does not stand for
// another.
func (c *comparison) strong(p *pieces) bool {
	for _, kind := range packing.Kinds() {
		want, have := p.print.Liquid.Strength(kind), p.liquid.Strength(kind)
		if want == 0 || have >= want*(1-c.matcher.tolerances.ratio) {
			continue
		}
		c.weak(p, kind, have, want)
		return false
	}
	return true
}

// weak says that the liquid has too little acid to its water: at the acid where that was cut, else at the water.
func (c *comparison) weak(p *pieces, kind packing.Kind, have, want float64) {
	acid, water := c.liquidLines(p, kind)
	d := Departure{
		Rule: RulePublishedRatio, Verdict: Unsafe, At: "/recipe/ingredients", Changes: c.changesOn(catalog.OtherProportions, catalog.LessAcid, catalog.MoreWater),
		What:     fmt.Sprintf("The liquid has %s %% acid where %s has %s %%.", figure(have), c.title(), figure(want)),
		Remedy:   "Use more of the acid or less water, in the tested proportion. To soften the taste add sugar, never less acid.",
		Measured: &report.Amount{Value: round(have*percent, 2), Unit: "percent"}, Limit: &report.Amount{Value: round(want*percent, 2), Unit: "percent"},
	}
	cut := len(acid) > 0 && p.liquid.Acid[kind] < p.print.Liquid.Acid[kind]*p.most*(1-c.matcher.tolerances.ratio)
	switch {
	case len(water) > 0 && !cut:
		d.At = amountAt(water[0])
		d.Changes = c.changesOn(catalog.OtherProportions, catalog.MoreWater)
		d.What += " There is more water to the acid: a weaker brine."
		if water[0].Item.Class != catalog.Water {
			d.What += " " + measure.Capital(water[0].Name) + " counts with its water."
		}
		c.lessWater(p, &d, water, want, have)
	case len(acid) > 0:
		d.At = amountAt(acid[0])
		c.moreAcid(p, &d, acid, kind, want)
	}
	c.add(d)
}

const percent = 100

func figure(strength float64) string { return measure.FormatNumber(round(strength*percent, 2)) }

func amountAt(line *composition.Line) string {
	if line.State == composition.Missing {
		return line.At
	}
	return line.At + "/amount"
}

// liquidLines lists the lines of an acid of the kind, and those of water.
func (c *comparison) liquidLines(p *pieces, kind packing.Kind) (acid, water []*composition.Line) {
	for i := range c.cook.Lines {
		line := &c.cook.Lines[i]
		if !line.Counts() || line.Item == nil || c.isOpenEnded(line) {
			continue
		}
		switch line.Class {
		case catalog.Water, catalog.Ice:
			water = append(water, line)
		case catalog.Seasoning, catalog.Sugar:
			if amount, _ := c.inBatch(p, line); amount.AqueousML > c.matcher.tolerances.ratio*p.liquid.AqueousML {
				water = slices.Insert(water, 0, line) // what is written as a seasoning is what surprises
			}
		case catalog.Acid:
			if (line.Item.Family == "vinegar") == (kind == packing.Acetic) {
				acid = append(acid, line)
			}
		}
	}
	return acid, water
}

// lessWater offers as little water as makes the liquid as strong as printed.
func (c *comparison) lessWater(p *pieces, d *Departure, water []*composition.Line, want, have float64) {
	sum := 0.0
	for _, line := range water {
		amount, ok := c.inBatch(p, line)
		if !ok || line.State != composition.Given || line.Unit.Code == measure.CodePart {
			return
		}
		sum += amount.AqueousML
	}
	left := sum - p.liquid.AqueousML*(1-have/want)
	if left < 0 || sum <= 0 {
		return
	}
	for _, line := range water {
		most := roundDown(line.Value * left / sum)
		d.Fix = append(d.Fix, report.Operation{Op: "replace", Path: line.At + "/amount/value", Value: most})
		if len(water) == 1 {
			d.Measured, d.Limit = shown(line, line.Value), shown(line, most)
			d.Remedy += fmt.Sprintf(" Water: at most %s.", measure.FormatAmount(most, line.Unit.Code))
		}
	}
}

// moreAcid offers as much of the acid as makes the liquid as strong as printed.
func (c *comparison) moreAcid(p *pieces, d *Departure, lines []*composition.Line, kind packing.Kind, want float64) {
	var sum packing.Liquid
	for _, line := range lines {
		amount, ok := c.inBatch(p, line)
		if !ok || line.State != composition.Given || line.Unit.Code == measure.CodePart {
			return
		}
		sum = sum.Plus(&amount)
	}
	gain := sum.Acid[kind] - want*sum.AqueousML // of as much again
	if gain <= 0 {
		return // no amount of it is enough
	}
	times := 1 + (want*p.liquid.AqueousML-p.liquid.Acid[kind])/gain
	for _, line := range lines {
		least := roundUp(line.Value * times)
		d.Fix = append(d.Fix, report.Operation{Op: "replace", Path: line.At + "/amount/value", Value: least})
		if len(lines) == 1 {
			d.Measured, d.Limit = shown(line, line.Value), shown(line, least)
			d.What = fmt.Sprintf("%s %s is too little for this much liquid; to be as strong as in %s it would be %s.",
				measure.FormatAmount(line.Value, line.Unit.Code), line.Name, c.title(), measure.FormatAmount(least, line.Unit.Code))
		}
	}
}

// sweet compares the acid with the whole liquid, sugar and oil among it. Oil floats and carries no acid, so that more of it is unsafe;
// sugar thins what it is dissolved in, and a little of that is printed.
func (c *comparison) sweet(p *pieces) {
	tolerance := c.matcher.tolerances.ratio
	want, have := p.print.Liquid.Diluted(), p.liquid.Diluted()
	oily := p.print.Liquid.OilML > 0 && p.liquid.OilPerML() > p.print.Liquid.OilPerML()*(1+tolerance)
	if oil := c.ofClass(catalog.Fat); oily && len(oil) > 0 {
		c.match.MoreOil = true
		d := Departure{
			Rule: RulePublishedRatio, Verdict: Unsafe, At: amountAt(oil[0]), Changes: c.changesOn(catalog.MoreFat),
			What: fmt.Sprintf("There is more %s to the liquid than in %s. Fat carries no acid, and coats food so that acid and heat reach it more "+
				"slowly.", names(oil), c.title()),
			Remedy: "Measure the fat as the tested recipe does.",
		}
		if len(oil) == 1 && oil[0].State == composition.Given && !p.covers {
			most := roundDown(oil[0].Value * p.print.Liquid.OilPerML() / p.liquid.OilPerML())
			d.Measured, d.Limit = shown(oil[0], oil[0].Value), shown(oil[0], most)
			d.Fix = []report.Operation{{Op: "replace", Path: oil[0].At + "/amount/value", Value: most}}
		}
		c.add(d)
		return
	}
	short := 1 - have/want
	if short <= tolerance || len(c.ofClass(catalog.Fat)) > 0 && p.print.Liquid.OilML == 0 {
		return // oil that is not printed has a departure of its own
	}
	d := Departure{
		Rule: RulePublishedRatio, Verdict: Safe, At: "/recipe/ingredients", Changes: c.changesOn(catalog.AddedSugar),
		What: fmt.Sprintf("There is more sugar to the acid than in %s: the liquid is %.0f %% weaker for it.", c.title(), short*percent),
	}
	if short > c.matcher.tolerances.sweetened {
		d.Rule, d.Verdict = RuleSweetened, Untested
		d.What = fmt.Sprintf("So much sugar makes the liquid %.0f %% weaker than that of %s; printed recipes with and without sugar differ by at most %.0f %%.",
			short*percent, c.title(), c.matcher.tolerances.sweetened*percent)
		d.Remedy = "Use less sugar, or more of the vinegar and of the other liquids in the tested proportion."
		if sugar := heaviest(c.ofClass(catalog.Sugar)); sugar != nil {
			d.At = amountAt(sugar)
		}
	}
	c.add(d)
}

// heaviest is the line with the greatest weight; nil where there is none.
func heaviest(lines []*composition.Line) *composition.Line {
	var most *composition.Line
	for _, line := range lines {
		if most == nil || line.GramsHigh > most.GramsHigh {
			most = line
		}
	}
	return most
}

// ofClass lists the lines of a class that end up in the jar.
func (c *comparison) ofClass(class catalog.Class) []*composition.Line {
	var lines []*composition.Line
	for i := range c.cook.Lines {
		if line := &c.cook.Lines[i]; line.Counts() && line.Class == class {
			lines = append(lines, line)
		}
	}
	return lines
}

// liquidForFood holds food that is heated in its liquid to the printed proportion of acid to food, because it takes acid up in the pot:
// in full where it lies in it for long, by half where it is heated for a short while.
func (c *comparison) liquidForFood(p *pieces) {
	if !p.print.Class.Heated() || p.foodG <= 0 || p.printedG <= 0 {
		return
	}
	d := Departure{Rule: RuleLiquidForFood, Verdict: Untested, At: "/recipe/ingredients", Changes: c.changesOn(catalog.OtherProportions)}
	share := 1.0
	if p.print.Class == catalog.JarHeatedShort {
		share = c.matcher.tolerances.shortLiquid
	}
	switch {
	case p.covers && p.print.Class == catalog.JarHeatedLong:
		d.What = fmt.Sprintf("In %s the food stands in a measured amount of liquid, from which it takes up acid; how much there is here is not said.", c.title())
		d.Remedy = "Make as much liquid for the food as the tested recipe prints, and write the amounts."
	case p.covers || p.liquid.Acids()/p.foodG >= (1-c.matcher.tolerances.ratio)*share*p.print.Liquid.Acids()/p.printedG:
		return
	default:
		times := share * p.print.Liquid.Acids() / p.printedG * p.foodG / p.liquid.Acids()
		d.What = fmt.Sprintf("There is too little liquid for the food that is heated in it: %s has %s times as much, and the food takes up acid in the pot.",
			c.title(), measure.FormatNumber(roundUp(times)))
		d.Remedy = "Make as much liquid for the food as the tested recipe prints, in the same proportions."
		d.Fix = c.moreLiquid(p)
	}
	c.add(d)
}

// liquidTimes is how many times the liquid is enough, both for the jars and for food that is heated in it. What salt swells it by is
// left as it is: salt is raised by less.
func (c *comparison) liquidTimes(p *pieces) float64 {
	jars := c.fullJars(p)
	need := p.print.NeedML(p.foodG/jars, p.printedG, p.jar)
	unsalted := p.liquid
	unsalted.SaltG = 0
	swollen := p.liquid.VolumeML() - unsalted.VolumeML()
	return math.Max((need.High*jars-swollen)/unsalted.VolumeML(), c.acidForFood(p)*p.foodG/p.liquid.Acids())
}

// moreLiquid scales every line of the liquid; nothing where one of them has no figure. Salt is scaled no further than to the printed
// liquid, for it may be there in full though the rest was cut, and that of a soak goes with it where it may not be cut.
func (c *comparison) moreLiquid(p *pieces) []report.Operation {
	times := c.liquidTimes(p)
	salt, soak := c.saltTimes(p, times)
	var fix []report.Operation
	scaled := func(line *composition.Line, by float64) {
		if by > 1 {
			fix = append(fix, report.Operation{Op: "replace", Path: line.At + "/amount/value", Value: roundUp(line.Value * by)})
		}
	}
	for i := range c.cook.Lines {
		line := &c.cook.Lines[i]
		soaks := line.Class == catalog.Salt && line.Used() && !line.Counts()
		if soaks && soak <= 1 || !soaks && !line.Counts() || line.Item == nil || c.isOpenEnded(line) {
			continue
		}
		switch line.Class {
		case catalog.Acid, catalog.Water, catalog.Ice, catalog.Sugar, catalog.Salt, catalog.Fat:
		default:
			continue
		}
		if line.State != composition.Given || line.Unit.Dimension == measure.DimensionCount || p.covers {
			return nil
		}
		switch {
		case soaks:
			scaled(line, soak)
		case line.Class != catalog.Salt:
			scaled(line, times)
		case !line.PerJar:
			scaled(line, salt)
		}
	}
	return fix
}

// saltTimes is by how much salt is raised where the liquid is, in the jar and in a soak: in the jar up to the printed liquid, and in both
// to what so much more liquid asks for where salt may not be cut.
func (c *comparison) saltTimes(p *pieces, times float64) (jar, soak float64) {
	jar, soak = 1, 1
	if p.liquid.SaltG > 0 {
		printed := p.print.Liquid.Times(p.liquid.AqueousML * times / p.print.Liquid.AqueousML)
		jar = math.Max(1, math.Min(times, printed.SaltG/p.liquid.SaltG))
	}
	salt := &c.tested.salt
	lines := c.tasteLines(salt)
	if salt.spared || len(salt.printed) == 0 || len(lines) == 0 || salt.printed[0].perJarML != 0 {
		return jar, soak
	}
	part, unknown := c.tastePart(salt, lines)
	main := c.tested.mainSlot
	if unknown != "" || part <= 0 || main < 0 || c.match.ratios[main].unknown != "" {
		return jar, soak
	}
	r := c.match.ratios[main]
	soak = math.Max(1, min(r.low, r.high, c.liquid*times)/part)
	return math.Max(jar, soak), soak
}

// recordJar keeps what the jar comes to, for reports, plans and cards.
func (c *comparison) recordJar(p *pieces) {
	low, _ := p.print.Displaced()
	size := p.print.Jar.CapacityML / p.jar.CapacityML
	present := p.printedG
	if present <= 0 || p.jars <= 0 {
		return
	}
	batch := c.batches(p)
	made := p.liquid.Times(1 / p.jars)
	printedMade := p.print.Liquid.Times(1 / p.print.Least)
	r := &c.match.Jar
	r.Jars, r.JarsSaid, r.FoodG, r.MostFoodG = p.jars, p.said, p.foodG/p.jars, p.print.MostFoodG(present, p.jar, c.matcher.tolerances.rounding)
	r.JarsLow, r.JarsHigh = batch*p.print.Least*size, batch*p.print.Most*size
	r.Need, r.Sizes, r.isComputed = p.print.NeedML(r.FoodG, present, p.jar), [2]packing.Jar{p.print.Jar, p.jar}, true
	if !p.covers {
		r.LiquidML = made.VolumeML()
	}
	r.AcidInJar = p.print.AcidInJar(&made, r.FoodG, p.jar, low)
	r.AcidAsked = p.print.AcidInJar(&printedMade, p.print.FoodG/p.print.Least, p.print.Jar, low)
	c.match.Acid = Proportion{Acid: p.liquid.Acids() / p.print.Liquid.Acids(), Food: p.foodG / present}
}

// batches is how many times the printed batch this is, by its main food, or by all foods where it has none.
func (c *comparison) batches(p *pieces) float64 {
	if main := c.tested.mainSlot; main >= 0 && p.print.grams[main] > 0 && p.food[main] > 0 {
		return p.food[main] / p.print.grams[main]
	}
	return p.most
}
