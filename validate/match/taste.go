package match

import (
	"fmt"
	"math"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
)

// taste is what a tested recipe prints of salt or of sugar. Neither is acid, but both are part of what was tested: they draw water
// from the food, fill the jar and bind its water. Less of them is safe where a published change says so for recipes like this one.
type taste struct {
	name    string
	printed []testedAmount // of lines that are not optional, in the jar or in a soak
	spared  bool           // a published change lets it be cut or left out
	topics  []catalog.Topic
}

// noteTaste keeps a printed line of salt or sugar that is not optional.
func (m *Matcher) noteTaste(p *pattern, line *catalog.TestedIngredient, item *catalog.Item) {
	if line.Optional || line.Amount == nil {
		return
	}
	var of *taste
	switch item.Class {
	case catalog.Salt:
		of = &p.salt
	case catalog.Sugar:
		of = &p.sweet
	default:
		return
	}
	if amount, err := m.readAmount(line, item); err == nil {
		of.printed = append(of.printed, amount)
	}
}

// readTastes finds what published changes say of less salt and less sugar in recipes like this one.
func (m *Matcher) readTastes(p *pattern) {
	p.salt.name, p.salt.topics = "salt", []catalog.Topic{catalog.LessSalt, catalog.NoSalt, catalog.SaltToTaste}
	p.sweet.name, p.sweet.topics = "sugar", []catalog.Topic{catalog.LessSugar, catalog.SugarToTaste}
	p.salt.spared = m.tables.Allows(p.recipe, p.salt.topics...)
	p.sweet.spared = m.tables.Allows(p.recipe, p.sweet.topics...)
	p.sweet.topics = append(p.sweet.topics, catalog.RecipeWithoutSugar)
}

// counts reports whether a line of the cook's is what the tested recipe prints: any salt, and any sugar that is white or brown where
// the recipe has one of these. Honey and syrups are other things (they hold water), unless it prints them.
func (t *taste) counts(line *composition.Line) bool {
	if line.Item == nil || !line.Used() {
		return false
	}
	solid := func(family string) bool { return family == "sugar" || family == "brown-sugar" }
	return slices.ContainsFunc(t.printed, func(a testedAmount) bool {
		return a.item.Family == line.Item.Family || solid(a.item.Family) && solid(line.Item.Family)
	})
}

// tastes compares salt and sugar. The salt of a ferment has a comparison of its own, and a recipe that was never tested in boiling
// water makes no jar fit whatever is in it.
func (c *comparison) tastes() {
	if c.tested.recipe.Canner != "boiling_water" {
		return
	}
	if !c.tested.fermented {
		c.lessThanPrinted(&c.tested.salt)
		c.saltKinds()
	}
	c.lessThanPrinted(&c.tested.sweet)
}

// lessThanPrinted says when there is less salt or sugar than the tested recipe has for so much food.
func (c *comparison) lessThanPrinted(t *taste) {
	if t.spared || len(t.printed) == 0 {
		return
	}
	scale, known := c.tasteScale(t)
	if !known {
		return // the comparison of amounts says what is missing
	}
	lines := c.tasteLines(t)
	d := Departure{Rule: RuleSaltAndSugar, Verdict: Untested, At: "/recipe/ingredients", Changes: c.changesIn(t.topics...)}
	d.Remedy = "Use as much " + t.name + " as the tested recipe, in proportion."
	if len(c.changesIn(catalog.RecipeWithoutSugar)) > 0 && t == &c.tested.sweet {
		d.Remedy += " There is another tested recipe without sugar: follow that one as it is printed."
	}
	if len(lines) == 0 {
		d.What = fmt.Sprintf("%s is made with %s; this recipe has none, and no published source says that it may be left out here.", c.title(), t.words())
		c.add(d)
		return
	}
	d.At = lines[0].At
	part, unknown := c.tastePart(t, lines)
	switch {
	case unknown != "":
		d.Verdict = Undetermined
		d.What = fmt.Sprintf("Whether there is as much %s as in %s cannot be told: %s.", t.name, c.title(), unknown)
		d.Remedy = "Give the amount as a weight or a volume."
		c.add(d)
	case part < scale*(1-c.matcher.tolerances.seasoning):
		d.What = fmt.Sprintf("There is less %s than in %s: %s %% of what it has for this much food. No published source says that it may be cut here.",
			t.name, c.title(), measure.FormatNumber(round(100*part/scale, 0)))
		if len(lines) == 1 {
			limit := roundUp(lines[0].Value * scale / part)
			d.Measured, d.Limit = shown(lines[0], lines[0].Value), shown(lines[0], limit)
		}
		c.add(d)
	}
}

func (c *comparison) tasteLines(t *taste) []*composition.Line {
	var lines []*composition.Line
	for i := range c.cook.Lines {
		if line := &c.cook.Lines[i]; t.counts(line) {
			lines = append(lines, line)
		}
	}
	return lines
}

// seasonedFor is how many times the printed batch of food the cook's salt and sugar are enough for, where they must not be cut,
// with what is forgiven; +Inf where they may, or are measured for each jar.
func (c *comparison) seasonedFor() float64 {
	most := math.Inf(1)
	if c.tested.fermented {
		return most
	}
	for _, t := range [...]*taste{&c.tested.salt, &c.tested.sweet} {
		lines := c.tasteLines(t)
		if t.spared || len(lines) == 0 || t.printed[0].perJarML != 0 {
			continue
		}
		if part, unknown := c.tastePart(t, lines); unknown == "" {
			most = math.Min(most, part/(1-c.matcher.tolerances.seasoning))
		}
	}
	return most
}

// tasteScale is how many times the printed batch the cook makes, by the food that the recipe is made of, at the least; 1 where salt or
// sugar is printed for each jar.
func (c *comparison) tasteScale(t *taste) (float64, bool) {
	if t.printed[0].perJarML != 0 {
		return 1, true
	}
	main := c.tested.mainSlot
	if main < 0 || len(c.filled[main]) == 0 || c.match.ratios[main].unknown != "" {
		return 0, false
	}
	r := c.match.ratios[main]
	if c.tested.slots[main].perJar() || r.high == 0 {
		return 0, false
	}
	if c.liquid > 0 {
		return min(r.low, r.high, c.liquid), true // what is dissolved in a liquid goes with it, and pieces may take less than was printed
	}
	return min(r.low, r.high), true
}

// tastePart is the cook's amount over the least printed one, at the most that the cook can mean.
func (c *comparison) tastePart(t *taste, lines []*composition.Line) (part float64, unknown string) {
	written := make([]portion, 0, len(lines))
	for _, line := range lines {
		value, unknown := perUnit(line, t.printed[0].perJarML, c.cook)
		if unknown != "" {
			return 0, unknown
		}
		written = append(written, portion{item: line.Item, form: line.Form, low: value, high: value, unit: line.Unit})
	}
	printed := make([]portion, 0, len(t.printed))
	for i := range t.printed {
		printed = append(printed, t.printed[i].portion(t.printed[i].perJarML))
	}
	if r, ok := direct(written, printed); ok {
		return r.low, ""
	}
	have, want := 0.0, 0.0
	for i, p := range written {
		_, most, ok := c.matcher.scale.GramsOfKind(p.item, lines[i].SaltKind, p.low, p.unit)
		if !ok {
			return 0, "no published weight turns " + p.unit.Name + " of " + lines[i].Name + " into the unit of the tested recipe"
		}
		have += most
	}
	for _, p := range printed {
		kind := ""
		if p.item.Class == catalog.Salt {
			kind = document.SaltCanning
		}
		least, _, ok := c.matcher.scale.GramsOfKind(p.item, kind, p.low, p.unit)
		if !ok || least <= 0 {
			return 0, "no published weight turns the printed " + t.name + " into the unit written here"
		}
		want += least
	}
	return have / want, ""
}

// words says the printed amounts.
func (t *taste) words() string {
	text := ""
	for i := range t.printed {
		if i > 0 {
			text += " and "
		}
		text += measure.FormatAmount(t.printed[i].low, t.printed[i].unit.Code) + " " + t.printed[i].item.Name
	}
	return text
}

// saltKinds says when reduced-sodium salt stands where no published change lets it.
func (c *comparison) saltKinds() {
	for i := range c.cook.Lines {
		line := &c.cook.Lines[i]
		if line.Class != catalog.Salt || !line.Used() || line.SaltKind != document.SaltReducedSodium {
			continue
		}
		if c.matcher.tables.Allows(c.tested.recipe, catalog.ReducedSodium) {
			continue
		}
		c.add(Departure{
			Rule: RuleSaltAndSugar, Verdict: Untested, At: line.At, Changes: c.changesIn(catalog.SaltSubstitute),
			What:   "Reduced-sodium salt is published for quick pickles in vinegar; " + c.title() + " is none.",
			Remedy: "Use canning or pickling salt; where salt may be left out, leave it out and add the other when serving.",
		})
	}
}

// Taste says of salt or sugar whether the tested recipe prints it, other than as optional, and whether a published change that
// reaches the recipe lets it be cut, down to none.
type Taste struct{ Printed, Spared bool }

// Salt is what holds for the salt of the matched recipe; nothing without a match.
func (m *Match) Salt() Taste { return m.taste(func(p *pattern) *taste { return &p.salt }) }

// Sugar is what holds for its sugar.
func (m *Match) Sugar() Taste { return m.taste(func(p *pattern) *taste { return &p.sweet }) }

func (m *Match) taste(of func(*pattern) *taste) Taste {
	if m.pattern == nil {
		return Taste{}
	}
	t := of(m.pattern)
	return Taste{Printed: len(t.printed) > 0, Spared: t.spared}
}
