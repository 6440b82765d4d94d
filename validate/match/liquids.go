package match

import (
	"fmt"
	"math"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/measure"
	"jarwright/validate/packing"
)

// liquidSum is the liquid of the cook's batch, as far as it can be told, by where it comes from.
type liquidSum struct {
	all    composition.Liquid
	wet    float64             // mL of water that comes with sauces, extracts, mustard and the like, which fill no slot
	wets   []*composition.Line // what brings it
	syrup  float64             // mL of water that comes with syrups, honey and sweet things
	sweets []*composition.Line
}

// liquids holds what thins the acid and is no water of the recipe: sauces and extracts, syrup, sugar, salt. It is for what is not judged by
// the liquid of the jar, where all of that is part of the liquid.
func (c *comparison) liquids(s *scales, b *batch) {
	p, known := c.sumLiquid(b)
	if !known {
		return
	}
	printed := c.tested.batchLiquid.Times(b.scale).Plus(c.tested.liquidPerML.Times(b.pints * pintML))
	spare := c.spareWater(s, b)
	c.wetSeasonings(&p, spare, b)
	c.swollen(&p, &printed, spare, b)
}

// sumLiquid adds up the lines that end in the jar. It reports false, and says so, where sugar or something wet has an amount that cannot be told.
func (c *comparison) sumLiquid(b *batch) (liquidSum, bool) {
	var p liquidSum
	known := true
	for i := range c.cook.Lines {
		line := &c.cook.Lines[i]
		liquid, told := line.Liquid()
		kind := line.Flavoring.Kind
		flavored := kind == catalog.SweetKind || kind == catalog.WetSeasoning
		times, counted := b.of(line)
		if flavored && line.Counts() && (!told || !counted) {
			if c.printedOpen(line) {
				continue
			}
			c.askFlavor(line, "How much "+line.Name+" goes in cannot be told.",
				"Give its amount as a weight or a volume; if it is for each jar, the jar and how many jars.")
			known = false
			continue
		}
		liquid = liquid.Times(times)
		p.all = p.all.Plus(liquid)
		switch {
		case liquid.SugarG > 0 && liquid.SugarG >= liquid.AqueousML:
			p.syrup += liquid.AqueousML
			p.sweets = append(p.sweets, line)
		case kind != "" && liquid.AqueousML > 0:
			p.wet += liquid.AqueousML
			p.wets = append(p.wets, line)
		}
	}
	return p, known
}

// printedOpen reports whether the tested recipe prints the item of a line without a figure.
func (c *comparison) printedOpen(line *composition.Line) bool {
	return slices.ContainsFunc(c.tested.flavors, func(f flavor) bool { return f.open && f.line.Item == line.Item })
}

// spareWater is how many mL of the printed water, at the scale of the acid, the cook leaves out.
func (c *comparison) spareWater(s *scales, b *batch) float64 {
	if math.IsInf(s.acid, 1) {
		return 0
	}
	spare := 0.0
	for i := range c.tested.slots {
		slot := &c.tested.slots[i]
		if slot.kind != waterSlot || slot.openEnded || slot.perJar() {
			continue
		}
		ml := 0.0
		for j := range slot.lines {
			line := &slot.lines[j]
			if most, ok := c.matcher.scale.MillilitersOf(line.item, line.high, line.unit); ok {
				ml += most
			}
		}
		spare += ml * (b.scale - s.of[i].high)
	}
	return math.Max(0, spare)
}

// ownWater is the water of the wet and of the sweet things that the tested recipe prints, in mL.
func (c *comparison) ownWater(b *batch) (wet, syrup float64) {
	for i := range c.tested.flavors {
		f := &c.tested.flavors[i]
		liquid, _ := f.line.Liquid()
		if liquid = liquid.Times(b.printed(f)); liquid.SugarG >= liquid.AqueousML {
			syrup += liquid.AqueousML
		} else {
			wet += liquid.AqueousML
		}
	}
	return wet, syrup
}

// wetSeasonings holds what is mostly water to the printed water; a pint may have as much of it as of ground spice.
func (c *comparison) wetSeasonings(p *liquidSum, spare float64, b *batch) {
	own, _ := c.ownWater(b)
	free := c.matcher.tables.Seasoned.Wet.Grams * b.pints
	beyond := p.wet - own*(1+c.matcher.tolerances.ratio) - spare - free
	if !over(beyond) || len(p.wets) == 0 {
		return
	}
	line := p.wets[0]
	c.retract(p.wets)
	c.add(Departure{
		Rule: RulePublishedRatio, Verdict: Unsafe, At: line.At, Changes: c.changesOn(catalog.MoreWater), Measured: shown(line, line.Value),
		What: fmt.Sprintf("%s: %s mL of water for the batch, %s mL more than %s has water for. More water to the acid makes a weaker liquid.",
			measure.Capital(fewNames(p.wets)), measure.FormatNumber(round(p.wet, 0)), measure.FormatNumber(round(math.Ceil(beyond), 0)), c.title()),
		Remedy: "Leave it out or use it in place of the printed water, or add it when serving.",
	})
}

// swollen holds sugar and salt: both swell what they dissolve in, so that the same acid is spread thinner. Where a published change has sugar
// to taste it may be as much as two printed recipes differ by.
func (c *comparison) swollen(p *liquidSum, printed *composition.Liquid, spare float64, b *batch) {
	_, ownSyrup := c.ownWater(b)
	sweet := packing.Liquid{SugarG: math.Max(0, p.all.SugarG-printed.SugarG), AqueousML: math.Max(0, p.syrup-ownSyrup)}
	salt := packing.Liquid{SaltG: math.Max(0, p.all.SaltG-printed.SaltG)}
	whole := b.pints * pintML
	free := c.matcher.tolerances.sweetened * whole
	swollen := sweet.VolumeML() + salt.VolumeML() - spare
	if c.inPot() && !c.tested.acidInJar && !c.matcher.tables.Allows(c.tested.recipe, catalog.AddedSugar) {
		swollen = math.Max(sweet.VolumeML()-spare, swollen-free)
		free = c.matcher.tolerances.ratio * whole
	}
	if swollen <= free || !over(swollen) {
		return
	}
	at, name := "/recipe/ingredients", "The salt"
	if len(p.sweets) > 0 {
		at, name = p.sweets[0].At, measure.Capital(fewNames(p.sweets))
		c.retract(p.sweets)
	}
	c.add(Departure{
		Rule: RulePublishedRatio, Verdict: Untested, At: at,
		What: fmt.Sprintf("%s swells the liquid by %s mL beyond what %s has dissolved in it, so that the same acid is spread thinner: "+
			"the liquid is %s %% weaker than printed. No more than %s %% was ever tested.", name, measure.FormatNumber(round(swollen, 0)), c.title(),
			measure.FormatNumber(round(100*swollen/(whole+swollen), 0)), measure.FormatNumber(round(100*free/whole, 0))),
		Remedy: "Use no more sugar and salt than the tested recipe for this much acid.",
	})
}

// retract takes back that lines change the taste alone.
func (c *comparison) retract(lines []*composition.Line) {
	at := make(map[string]bool, len(lines))
	for _, line := range lines {
		at[line.At] = true
	}
	c.match.Departures = slices.DeleteFunc(c.match.Departures, func(d Departure) bool { return d.Verdict == Safe && at[d.At] })
}
