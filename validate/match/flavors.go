package match

import (
	"fmt"
	"math"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/measure"
)

// pintML is the jar that weights of seasoning are printed for; exact by definition.
const pintML = 473.176473

// flavor is one printed line that seasons, sweetens or firms, or garlic.
type flavor struct {
	line     composition.Line // at the high end of its amount
	perJarML float64          // as in testedAmount
	open     bool             // printed without a figure
}

// readFlavors reads what of a tested recipe seasons, sweetens and firms, and what its liquid is made of.
func (m *Matcher) readFlavors(p *pattern) {
	taken := map[string]bool{}
	for i := range p.recipe.Ingredients {
		printed := &p.recipe.Ingredients[i]
		if printed.GoesInto == "discarded" {
			continue
		}
		amount := 0.0
		if printed.AmountMax != nil {
			amount = *printed.AmountMax
		}
		f := flavor{line: composition.Printed(printed, amount, m.tables, m.scale), open: printed.Amount == nil}
		if jar, ok := m.tables.Jar(printed.Per); ok {
			f.perJarML = jar.CapacityML
		} else if printed.Per != "batch" {
			f.perJarML = anyJar
		}
		if f.line.Flavoring.Kind != "" || isGarlic(&f.line) || f.line.Class == catalog.Salt {
			p.flavors = append(p.flavors, f)
		}
		if printed.AltGroup != "" && taken[printed.AltGroup] {
			continue
		}
		taken[printed.AltGroup] = true
		liquid, _ := f.line.Liquid()
		switch {
		case f.perJarML > 0:
			p.liquidPerML = p.liquidPerML.Plus(liquid.Times(1 / f.perJarML))
		case f.perJarML == 0:
			p.batchLiquid = p.batchLiquid.Plus(liquid)
		}
	}
}

func isGarlic(line *composition.Line) bool { return line.Item != nil && line.Item.Family == "garlic" }

// batch is how large the cook's batch is beside the printed one.
type batch struct {
	scale float64 // of what is printed for the batch
	jars  float64 // 0: not known
	pints float64 // of jar; what the tested recipe makes, at that scale, where the recipe does not say
}

// batch works out how large the batch is. What is cooked together or fermented makes what the tested recipe makes at its scale, however many
// jars the cook says.
func (c *comparison) batch(s *scales, needed float64) batch {
	b := batch{scale: c.herbScale(s, needed)}
	said := 0.0
	if c.cook.Jars != nil && c.cook.Jar != nil {
		b.jars = *c.cook.Jars
		said = b.jars * c.cook.Jar.CapacityML / pintML
	}
	made := c.matcher.mostML(c.tested) / pintML
	if math.IsInf(b.scale, 1) || b.scale <= 0 {
		b.scale = 1
		if said > 0 && made > 0 {
			b.scale = said / made
		}
	}
	b.pints = said
	if said == 0 || c.inPot() || c.tested.fermented {
		b.pints = made * b.scale
		if c.cook.Jar != nil {
			b.jars = b.pints * pintML / c.cook.Jar.CapacityML // what is for each jar is in as many jars as it fills
		}
	}
	return b
}

// mostML is the printed yield at the most jars, as a volume of filled jars; where no jars are printed, food and liquid together.
func (m *Matcher) mostML(p *pattern) float64 {
	if jar, ok := m.tables.Jar(p.recipe.Yield.Unit); ok && p.recipe.Yield.High > 0 {
		return p.recipe.Yield.High * jar.CapacityML
	}
	whole := p.batchLiquid.AqueousML
	for i := range p.slots {
		if slot := &p.slots[i]; !slot.perJar() && (slot.kind == lowAcidSlot || slot.kind == acidFoodSlot) {
			whole += m.printedGrams(slot, &batch{scale: 1}) // a gram is about a milliliter
		}
	}
	return whole
}

// inPot reports whether everything of the tested recipe is cooked together, so that the pot has the proportions of its jars.
func (c *comparison) inPot() bool {
	return slices.ContainsFunc(c.tested.recipe.Packs, func(p catalog.TestedPack) bool { return p.JarClass == catalog.JarCookedTogether })
}

// of is what a line is for the whole batch, as so many times what is written; it reports false where the number of jars is
// not said and is needed.
func (b *batch) of(line *composition.Line) (float64, bool) {
	if !line.PerJar {
		return 1, true
	}
	return b.jars, b.jars > 0
}

// printed is how many times a printed flavor goes into the batch.
func (b *batch) printed(f *flavor) float64 {
	switch {
	case f.perJarML > 0:
		return b.pints * pintML / f.perJarML
	case f.perJarML != 0:
		return b.jars
	}
	return b.scale
}

// flavored is one kind of seasoning of the cook, for the whole batch.
type flavored struct {
	lines []*composition.Line // what the tested recipe does not print so much of
	more  []float64           // grams of each of those lines beyond the printed ones, as fractions of the line
	grams float64             // in all; of dried vegetables what they were fresh
	own   float64             // of them what the tested recipe prints, item by item
}

// flavors holds seasonings to what a tested recipe ever held. What goes beyond that is food: it takes up acid as food does. p is what the
// jars hold where they are judged by that, else nil.
func (c *comparison) flavors(s *scales, needed float64, p *pieces) {
	c.weighed = true
	b := c.batch(s, needed)
	r := c.room(s, &b, p)
	left := make([]float64, len(c.tested.flavors)) // what of each printed flavor no line has taken yet, in grams
	for i := range c.tested.flavors {
		f := &c.tested.flavors[i]
		left[i] = f.line.FreshGrams() * b.printed(f)
	}
	var whole, ground, dried, fresh, leaves, prepared, salt flavored
	next := 0
	for i := range c.cook.Lines {
		line := &c.cook.Lines[i]
		extra := next < len(c.extra) && c.extra[next] == line // they stand in the order of the lines
		if extra {
			next++
		}
		kind := c.flavorOf(line, extra)
		if kind == "" || !line.Counts() {
			continue
		}
		grams, own, ok := c.weighFlavor(line, &b, left)
		if !ok {
			continue
		}
		of := &ground
		switch kind {
		case catalog.WholeSpice:
			of = &whole
		case catalog.DriedVegetable:
			of = &dried
		case catalog.FreshLeaf:
			of = &fresh
			if line.Class == catalog.Firming {
				of = &leaves // a published change has them in the jar
			}
		case catalog.PreparedOnly:
			of = &prepared
		case saltKind:
			of = &salt
		}
		of.grams, of.own = of.grams+grams, of.own+own
		if grams > own {
			of.lines, of.more = append(of.lines, line), append(of.more, (grams-own)/grams)
		}
	}
	limits := &c.matcher.tables.Seasoned
	c.spices(&whole, limits.Whole, "whole spice", &r, &b)
	c.groundSpices(&ground, &r, &b)
	c.spices(&leaves, limits.Ground, "firming leaf", &r, &b)
	c.driedVegetables(&dried, &r, &b)
	c.freshHerbs(&fresh, &b)
	c.prepared(&prepared, &r, &b)
	c.saltInBulk(&salt, &b)
	c.openSweeteners(&b)
	if p == nil {
		c.liquids(s, &b)
		return
	}
	p.foodG += c.match.SeasoningFoodG
}

// beyond is how much a kind goes beyond its limit, in g a pint, and beyond what the tested recipe prints of the same items; 0 where it does not
// or where only a kitchen's measures are off.
func (c *comparison) beyond(f *flavored, limit float64, b *batch) float64 {
	free := math.Max(limit*b.pints, f.own)
	if len(f.lines) == 0 || f.grams <= math.Max(free, f.own*(1+c.matcher.tolerances.ratio)) {
		return 0
	}
	return f.grams - free
}

// flavorOf is the kind of seasoning that a line is weighed as; empty for what is judged elsewhere. extra says that no slot takes the line.
// Garlic that the tested recipe does not print seasons as its dried form does, except where a published change forbids more of it.
func (c *comparison) flavorOf(line *composition.Line, extra bool) catalog.FlavoringKind {
	if isGarlic(line) && line.Class == catalog.LowAcid {
		if extra && !c.garlicForbidden() {
			return catalog.DriedVegetable
		}
		return ""
	}
	switch kind := line.Flavoring.Kind; {
	case line.Class == catalog.Salt:
		return saltKind
	case kind == catalog.SweetKind, kind == catalog.WetSeasoning:
		return "" // part of the liquid
	case line.IsFood() && !extra:
		return "" // a dried food in the slot of the fresh one
	default:
		return kind
	}
}

// saltKind is what salt is weighed as among the seasonings.
const saltKind catalog.FlavoringKind = "salt"

// unweighed tells of garlic and dried vegetables that the tested recipe lacks where the amounts were not compared, and so nothing was weighed.
func (c *comparison) unweighed() {
	if c.weighed {
		return
	}
	for _, line := range c.extra {
		if line.Class == catalog.LowAcid && c.flavorOf(line, true) != "" {
			c.extraLowAcid(line)
		}
	}
}

func (c *comparison) garlicForbidden() bool {
	return c.matcher.tables.Forbids(catalog.MoreLowAcidFood, c.tested.recipe)
}

// weighFlavor is what a line weighs in the whole batch and how much of that the tested recipe prints. It reports false where
// that cannot be told, and says so, or where an amount without a weight is as printed.
func (c *comparison) weighFlavor(line *composition.Line, b *batch, left []float64) (grams, own float64, ok bool) {
	times, counted := b.of(line)
	at := slices.IndexFunc(c.tested.flavors, func(f flavor) bool { return f.line.Item == line.Item && f.line.Flavoring.Kind == line.Flavoring.Kind })
	if at < 0 {
		at = slices.IndexFunc(c.tested.flavors, func(f flavor) bool { return f.line.Item == line.Item })
	}
	switch {
	case at >= 0 && c.tested.flavors[at].open:
		return 0, 0, false
	case line.State == composition.AsNeeded && toTaste(line):
		return 0, 0, false // as taste has it
	case line.State != composition.Given:
		c.askFlavor(line, "How much "+freshWord(line)+line.Name+" there is, is not given.", "Give its amount.")
		return 0, 0, false
	case !counted:
		c.askFlavor(line, "How much "+line.Name+" goes into the batch cannot be told: the number of jars is not given.", "Give the jar and how many jars.")
		return 0, 0, false
	case !line.WeightKnown:
		if at >= 0 && c.asPrinted(line, &c.tested.flavors[at], times, b) {
			return 0, 0, false
		}
		c.askFlavor(line, fmt.Sprintf("What %s %s weighs is not known.", measure.FormatAmount(line.Value, line.Unit.Code), line.Name),
			"Weigh it and give grams, or measure it in spoons or cups.")
		return 0, 0, false
	}
	grams = line.FreshGrams() * times
	if at < 0 {
		return grams, 0, true
	}
	own = math.Min(grams, left[at])
	left[at] -= own
	return grams, own, true
}

// toTaste reports whether taste bounds how much of a line goes in: of salt and spice, not of sugar or dried vegetables.
func toTaste(line *composition.Line) bool {
	return line.Class == catalog.Salt || line.Flavoring.Kind == catalog.WholeSpice || line.Flavoring.Kind == catalog.GroundSpice
}

// asPrinted reports whether an amount that nobody can weigh is no more than the printed one in the same unit.
func (c *comparison) asPrinted(line *composition.Line, f *flavor, times float64, b *batch) bool {
	return f.line.Unit.Code == line.Unit.Code && line.Value*times <= f.line.Value*b.printed(f)*(1+c.matcher.tolerances.ratio)
}

func freshWord(line *composition.Line) string {
	if line.Class == catalog.FreshHerb {
		return "fresh "
	}
	return ""
}

func (c *comparison) askFlavor(line *composition.Line, what, remedy string) {
	rule := RuleSeasoning
	var changes []string
	if line.Class == catalog.FreshHerb {
		rule, changes = RuleFreshHerb, c.changesOn(catalog.MoreFreshHerb)
	}
	at := line.At
	if line.State == composition.Given {
		at += "/amount"
	}
	c.add(Departure{Rule: rule, Verdict: Undetermined, At: at, Changes: changes, What: what, Remedy: remedy})
}
