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

// flavorOf is the kind of seasoning that a line is weighed as; empty for what is judged elsewhere. extra says that no slot takes the line. Garlic that the tested recipe does
// not print seasons as its dried form does, except where a published change forbids more of it.
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

// spices holds a kind of dried spice to its limit; beyond it a gram takes up as much acid as several grams of food.
func (c *comparison) spices(f *flavored, limit catalog.SeasoningLimit, name string, r *room, b *batch) {
	beyond := c.beyond(f, limit.Grams, b)
	if !over(beyond) {
		return
	}
	food := beyond * c.matcher.tables.Seasoned.Factor
	if c.takes(r, food) {
		return
	}
	d := Departure{
		Rule: RuleSeasoning, Verdict: Untested,
		What: fmt.Sprintf("%s: %s of jar, where no tested recipe has more than %s g of %s (%s). Beyond that a spice counts as food, of which it "+
			"takes up acid as %s grams do, and there is no room for that here.", measure.Capital(fewNames(f.lines)), perPint(f.grams, b),
			measure.FormatNumber(limit.Grams), name, c.most(limit),
			measure.FormatNumber(c.matcher.tables.Seasoned.Factor)),
		Remedy: "Use less of it, or season when serving.",
	}
	c.blameFlavor(d, f, beyond, r.crowded(food))
}

// groundSpices holds ground spice and dried leaves to their limit. Where a published change leaves the dried spices free they may be
// as many as whole ones.
func (c *comparison) groundSpices(f *flavored, r *room, b *batch) {
	limits := &c.matcher.tables.Seasoned
	if !c.matcher.tables.Allows(c.tested.recipe, catalog.SaltToTaste) {
		c.spices(f, limits.Ground, "ground spice", r, b)
		return
	}
	if beyond := c.beyond(f, limits.Ground.Grams, b); over(beyond) && f.grams <= limits.Whole.Grams*b.pints {
		c.add(Departure{
			Rule: RuleSeasoning, Verdict: Safe, At: f.lines[0].At, Changes: c.changesOn(catalog.SaltToTaste),
			What: fmt.Sprintf("%s: %s of jar, more than any tested recipe has of ground spice. This one leaves the dried spices free.",
				measure.Capital(fewNames(f.lines)), perPint(f.grams, b)),
		})
		return
	}
	c.spices(f, limits.Whole, "dried spice", r, b)
}

// driedVegetables holds dried vegetables, by what they were fresh, and garlic as a seasoning to the garlic of tested recipes.
func (c *comparison) driedVegetables(f *flavored, r *room, b *batch) {
	limits := &c.matcher.tables.Seasoned
	limit := limits.GarlicInBrine
	if c.inPot() {
		limit = limits.GarlicInPot
	}
	beyond := c.beyond(f, limit.Grams, b)
	if !over(beyond) {
		return
	}
	if beyond <= limits.Noticed*r.food {
		return // no more than a kitchen's measures are off
	}
	d := Departure{
		Rule: RuleLowAcidExtra, Verdict: Unsafe, Changes: c.changesOn(catalog.MoreLowAcidFood, catalog.AnotherLowAcidFood),
		What: fmt.Sprintf("%s: %s of jar, counted fresh. No tested recipe has more than %s g of garlic or dried vegetable as a seasoning (%s). "+
			"Beyond that it is a low-acid food that %s does not have.", measure.Capital(fewNames(f.lines)), perPint(f.grams, b),
			measure.FormatNumber(limit.Grams), c.most(limit), c.title()),
		Remedy: "Use less of it, or put it in when serving.",
	}
	c.blameFlavor(d, f, beyond, true)
}

// freshHerbs holds fresh leaves, heads, roots and peel to the printed ones and to what any tested recipe has of them.
func (c *comparison) freshHerbs(f *flavored, b *batch) {
	limit := c.matcher.tables.Seasoned.FreshHerb
	if c.matcher.tables.Forbids(catalog.MoreFreshHerb, c.tested.recipe) {
		limit.Grams = 0
	}
	beyond := c.beyond(f, limit.Grams, b)
	if !over(beyond) {
		return
	}
	d := Departure{
		Rule: RuleFreshHerb, Verdict: Untested, Changes: c.changesOn(catalog.MoreFreshHerb),
		What: fmt.Sprintf("Fresh herb beyond what %s has: %s, up to %s of jar. No tested recipe has more than %s g a pint, or than it prints itself. "+
			"Fresh leaves and roots are low in acid.", c.title(), fewNames(f.lines), perPint(f.grams, b),
			measure.FormatNumber(c.matcher.tables.Seasoned.FreshHerb.Grams)),
		Remedy: "Use the dried herb, or add the fresh one when serving.",
	}
	c.blameFlavor(d, f, beyond, false)
}

// prepared holds candy, mustard and horseradish to what the tested recipe itself prints; more of them is food.
func (c *comparison) prepared(f *flavored, r *room, b *batch) {
	beyond := c.beyond(f, 0, b)
	if !over(beyond) {
		return
	}
	if c.takes(r, beyond) {
		return
	}
	d := Departure{
		Rule: RuleSeasoning, Verdict: Untested,
		What: fmt.Sprintf("%s: %s of jar more than %s has. It counts as food, and there is no room for more food here.",
			measure.Capital(fewNames(f.lines)), perPint(beyond, b), c.title()),
		Remedy: "Use no more of it than the tested recipe.",
	}
	c.blameFlavor(d, f, beyond, r.crowded(beyond))
}

// saltInBulk holds salt to the most that a tested recipe has in its jars, and to what the nearest one prints.
func (c *comparison) saltInBulk(f *flavored, b *batch) {
	limit := c.matcher.tables.Seasoned.Salt
	if c.tested.fermented {
		limit = c.matcher.tables.Seasoned.SaltInFerment
		if len(c.match.Departs(RulePublishedRatio)) > 0 {
			return // salt goes with the brine, of which there is too much already
		}
	}
	if c.stays > 0 { // what is dissolved in liquid that stays in the pot is in no jar
		poured := *f
		poured.grams *= 1 - c.stays
		f = &poured
	}
	beyond := c.beyond(f, limit.Grams, b)
	if !over(beyond) {
		return
	}
	d := Departure{
		Rule: RuleSeasoning, Verdict: Untested,
		What: fmt.Sprintf("%s: up to %s of jar, where no tested recipe has more than %s g of salt (%s), nor %s so much.", measure.Capital(fewNames(f.lines)),
			perPint(f.grams, b), measure.FormatNumber(limit.Grams), c.most(limit), c.title()),
		Remedy: "Use no more salt than the tested recipe.",
	}
	c.blameFlavor(d, f, beyond, false)
}

// openSweeteners holds a sweetener that the tested recipe prints without a figure to the most that any prints.
func (c *comparison) openSweeteners(b *batch) {
	limit := c.matcher.tables.Seasoned.Sweetener
	for i := range c.cook.Lines {
		line := &c.cook.Lines[i]
		times, counted := b.of(line)
		if line.Flavoring.Kind != catalog.SweetKind || !line.Counts() || !c.printedOpen(line) || counted && line.GramsHigh*times <= limit.Grams*b.pints {
			continue
		}
		c.add(Departure{
			Rule: RuleSeasoning, Verdict: Untested, At: line.At,
			What: fmt.Sprintf("%s: %s of jar. The amount that %s has is not known, and no tested recipe has more than %s g of it (%s).", measure.Capital(line.Name),
				perPint(line.GramsHigh*times, b), c.title(), measure.FormatNumber(limit.Grams), c.most(limit)),
			Remedy: "Sweeten when serving.",
		})
	}
}

// blameFlavor tells a departure at the line that goes furthest beyond, and takes back that it changes the taste alone. The fix cuts each
// line that goes beyond the printed one by as large a share of that.
func (c *comparison) blameFlavor(d Departure, f *flavored, beyond float64, unsafe bool) {
	line := slices.MaxFunc(f.lines, func(a, b *composition.Line) int { return int(math.Copysign(1, a.FreshGrams()-b.FreshGrams())) })
	d.At = line.At
	if c.prints(line) {
		d.At += "/amount"
	}
	if unsafe {
		d.Verdict = Unsafe
		if d.Rule == RuleSeasoning {
			d.Rule, d.Changes = RuleLowAcidExtra, c.changesOn(catalog.MoreLowAcidFood, catalog.AnotherLowAcidFood)
		}
	}
	cut := beyond / (f.grams - f.own)
	for i, line := range f.lines {
		most := roundDown(line.Value * (1 - cut*f.more[i]))
		d.Fix = append(d.Fix, report.Operation{Op: "replace", Path: line.At + "/amount/value", Value: most})
		if len(f.lines) == 1 {
			d.Measured, d.Limit = shown(line, line.Value), shown(line, most)
		}
	}
	c.retract(f.lines)
	c.add(d)
}

// fewNames names lines, the first of them where there are many.
func fewNames(lines []*composition.Line) string {
	const most = 4
	if len(lines) <= most {
		return names(lines)
	}
	return fmt.Sprintf("%s and %d others", names(lines[:most]), len(lines)-most)
}

// over reports whether a weight in grams is one: below a hundredth of a gram two sums differ by how they were added up.
func over(grams float64) bool {
	const hair = 0.01
	return grams > hair
}

func perPint(grams float64, b *batch) string {
	if b.pints <= 0 {
		return measure.FormatNumber(round(grams, 1)) + " g"
	}
	return measure.FormatNumber(round(grams/b.pints, 1)) + " g a pint"
}

// prints reports whether the tested recipe prints the item of a line.
func (c *comparison) prints(line *composition.Line) bool {
	return slices.ContainsFunc(c.tested.flavors, func(f flavor) bool { return f.line.Item == line.Item })
}

// most names the tested recipe that holds the most of a kind.
func (c *comparison) most(limit catalog.SeasoningLimit) string {
	if recipe, ok := c.matcher.tables.Recipe(limit.Recipe); ok {
		return "“" + recipe.Title + "”"
	}
	return "“" + limit.Recipe + "”"
}

// room is what of the acid of the batch no food of it takes up yet, as food in grams.
type room struct {
	food  float64 // all food of the batch
	have  float64 // of the food that is compared
	limit float64
}

// takes reports whether there is room for so much more food, and then counts it among the food. Where there is too much food already
// that is told by itself.
func (c *comparison) takes(r *room, more float64) bool {
	if r.have+more > r.limit && r.have <= r.limit {
		return false
	}
	r.have += more
	c.match.SeasoningFoodG += more
	return true
}

// crowded reports whether so much more is further beyond the print than packing ever is.
func (r *room) crowded(more float64) bool { return r.have+more > r.limit*packing.OverFull }

// room is found, for pieces under a liquid, by the food of the printed jar when the fewest are filled; for what is cooked together by
// its low-acid food at the scale of its acid. Elsewhere there is none: the acid goes with the jar, or there is none to lean on.
func (c *comparison) room(s *scales, b *batch, p *pieces) room {
	if p != nil {
		return room{food: p.foodG, have: p.foodG, limit: p.print.MostFoodG(p.printedG, p.jar, c.matcher.tolerances.rounding) * p.jars}
	}
	mine, low, lowMine := 0.0, 0.0, 0.0
	for i := range c.tested.slots {
		slot := &c.tested.slots[i]
		if slot.kind != lowAcidSlot && slot.kind != acidFoodSlot || slot.openEnded {
			continue
		}
		grams := c.matcher.printedGrams(slot, b)
		have := grams * s.of[i].high
		if !slot.perJar() {
			have /= b.scale
		}
		mine += have
		if slot.kind == lowAcidSlot {
			low, lowMine = low+grams, lowMine+have
		}
	}
	if c.inPot() && !math.IsInf(s.acid, 1) {
		return room{food: mine, have: lowMine, limit: low*(1+c.matcher.tolerances.ratio) + c.matcher.tables.Seasoned.Noticed*mine}
	}
	return room{food: mine}
}

// printedGrams is what the tested recipe has of a slot at the scale of the batch, at the high end of printed ranges.
func (m *Matcher) printedGrams(s *slot, b *batch) float64 {
	sum := 0.0
	for i := range s.lines {
		a := s.lines[i]
		_, high, ok := m.scale.Grams(a.item, a.form, a.high, a.unit)
		if !ok {
			_, high, ok = m.scale.Grams(a.item, a.form, a.also, a.alsoUnit)
		}
		if !ok {
			continue
		}
		sum += high * b.printed(&flavor{perJarML: a.perJarML})
		if s.alternatives {
			break
		}
	}
	return sum
}
