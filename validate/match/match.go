package match

import (
	"math"
	"slices"
	"sort"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// Verdict is what was published about a departure.
type Verdict string

// Values of Verdict.
const (
	Safe         Verdict = "safe"
	Unsafe       Verdict = "unsafe"
	Untested     Verdict = "untested"
	Undetermined Verdict = "undetermined"
)

// Departure is one respect in which the cook's recipe differs from the tested one.
type Departure struct {
	Rule     string // id of the rule that speaks for it
	Verdict  Verdict
	At       string
	What     string // what was found and what the tested recipe has
	Remedy   string
	Measured *report.Amount
	Limit    *report.Amount
	Fix      []report.Operation
	Changes  []string
}

// Ids of the rules that speak for departures.
const (
	RulePublishedMatch = "process.published-match"
	RulePublishedRatio = "acid.published-ratio"
	RuleLowAcidExtra   = "ingredient.low-acid-extra"
	RuleFat            = "ingredient.fat"
	RuleThickener      = "ingredient.thickener"
	RuleSaltInFerment  = "ingredient.salt-in-ferment"
	RuleFreshHerb      = "ingredient.fresh-herb"
	RuleUnsuitable     = "ingredient.unsuitable"
	RulePieceSize      = "pack.piece-size"
	RulePureed         = "ingredient.pureed"
)

// Match is the tested recipe nearest to the cook's, and how they differ.
type Match struct {
	Recipe     *catalog.TestedRecipe // nil: none is near
	Likeness   float64               // 1 for the recipe itself; orders candidates, judges nothing
	Departures []Departure
	Pack       PackChoice
	LimedHere  bool // the tested recipe has a lime soak
	Rooms      []Room
	Acid       Proportion

	pattern        *pattern              // of Recipe
	filled         [][]*composition.Line // the cook's lines, by slot of the pattern
	ratios         []ratio               // the cook's amounts over the printed ones, by slot; empty where they were not compared
	otherHeadspace bool                  // only tells recipes apart; a rule judges it
}

// Proportion is the acid and the food of a recipe, each as a multiple of the tested recipe's; zero where it cannot be told.
type Proportion struct{ Here, Food float64 }

// Room is how far one amount may be moved without leaving the tested proportions, all others being left as they are.
type Room struct {
	Knob string // vinegar, water, low_acid_food, salt, acid_food
	At   string
	Name string
	Unit string
	Now  float64
	Low  float64  // least that is safe
	High *float64 // most that is safe; nil: no limit
}

// Departs lists the departures of one rule that are not safe.
func (m *Match) Departs(rule string) []Departure {
	var found []Departure
	for _, d := range m.Departures {
		if d.Rule == rule && d.Verdict != Safe {
			found = append(found, d)
		}
	}
	return found
}

// PrintedLengthMM is the longest piece of an item that the tested recipe prints, in mm; 0 when it prints none.
func (m *Match) PrintedLengthMM(item string) float64 {
	longest := 0.0
	if m.pattern == nil {
		return longest
	}
	for i := range m.pattern.slots {
		for j := range m.pattern.slots[i].lines {
			if line := &m.pattern.slots[i].lines[j]; line.item.ID == item {
				longest = max(longest, line.form.LengthMM)
			}
		}
	}
	return longest
}

// PrintedHeadspaces lists the liquid headspaces, in inches, of the printed packs that may apply.
func (m *Match) PrintedHeadspaces() []float64 {
	if style := m.Pack.Style; style != nil {
		return []float64{style.HeadspaceIn}
	}
	if m.Recipe == nil {
		return nil
	}
	var all []float64
	for i := range m.Recipe.Packs {
		all = append(all, m.Recipe.Packs[i].HeadspaceIn)
	}
	return all
}

// Matched reports whether no departure stands between the recipe and the tested one.
func (m *Match) Matched() bool {
	return m.Recipe != nil && !slices.ContainsFunc(m.Departures, func(d Departure) bool { return d.Verdict != Safe })
}

// PackChoice is the printed way of filling that applies to the cook's pack and jar.
type PackChoice struct {
	Styles     []string            // pack styles that are printed
	Style      *catalog.TestedPack // the printed pack whose jar is the next larger or equal; nil: none
	Jar        *catalog.Jar        // that jar
	Largest    *catalog.Jar        // the largest jar printed for the style (of any style when it is not given)
	Schedule   *catalog.Schedule   // its row of the time table; nil: none is printed
	LargestRow *catalog.Schedule   // the row of the largest jar
	Possible   []*catalog.Schedule // the rows that may apply while pack or jar is not given
	StyleSaid  bool
	JarSaid    bool
}

// candidate is one tested recipe compared in full.
type candidate struct {
	match Match
	bad   int
	index int
}

// Match finds the tested recipe that the request follows.
func (m *Matcher) Match(request *document.Request, c *composition.Composition) Match {
	recipe := &request.Recipe
	if recipe.Follows != "" {
		for i := range m.patterns {
			if m.patterns[i].recipe.ID == recipe.Follows {
				return m.compareWith(&m.patterns[i], recipe, c, 1)
			}
		}
	}
	subject := m.readSubject(recipe.Kind, recipe.Keep, c)
	best := leastLikeness
	likenesses := make([]float64, len(m.patterns))
	for i := range m.patterns {
		likenesses[i] = m.likeness(&m.patterns[i], &subject)
		best = math.Max(best, likenesses[i])
	}
	var near []candidate
	for i, likeness := range likenesses {
		if likeness < leastLikeness || likeness < best-likenessOfEquals {
			continue
		}
		match := m.compareWith(&m.patterns[i], recipe, c, likeness)
		near = append(near, candidate{match: match, index: i, bad: match.bad()})
	}
	if len(near) == 0 {
		return Match{}
	}
	sort.SliceStable(near, func(i, j int) bool {
		if near[i].bad != near[j].bad {
			return near[i].bad < near[j].bad
		}
		return near[i].match.Likeness > near[j].match.Likeness
	})
	return near[0].match
}

func (m *Match) bad() int {
	bad := 0
	for _, d := range m.Departures {
		if d.Verdict != Safe {
			bad++
		}
	}
	if m.Pack.Style == nil && (m.Pack.StyleSaid || m.Pack.JarSaid) {
		bad++
	}
	if m.otherHeadspace {
		bad++
	}
	return bad
}

func (m *Matcher) compareWith(p *pattern, recipe *document.Recipe, c *composition.Composition, likeness float64) Match {
	match := Match{Recipe: p.recipe, pattern: p, Likeness: likeness, LimedHere: slices.Contains(p.firming, "pickling-lime")}
	match.Pack = m.choosePack(p.recipe, recipe.Pack, c)
	match.otherHeadspace = m.otherHeadspace(&match.Pack, recipe.Headspace)
	k := comparison{m: m, p: p, recipe: recipe, c: c, match: &match}
	k.identity()
	k.assign()
	match.filled = k.filled
	k.main()
	k.extras()
	k.forms()
	k.amounts()
	k.salt()
	if likeness < clearLikeness {
		for i := range match.Departures {
			match.Departures[i].Fix = nil
		}
	}
	return match
}

// otherHeadspace reports whether a headspace is given and is nearer to another than to the printed one.
func (m *Matcher) otherHeadspace(pack *PackChoice, written *document.Quantity) bool {
	if pack.Style == nil || written == nil || written.Value == nil {
		return false
	}
	unit, ok := m.scale.Units().Lookup(written.Unit)
	printed := measure.Length(pack.Style.HeadspaceIn) * measure.Inch
	return ok && math.Abs(unit.SI(*written.Value)-float64(printed)) > m.limits.headspace
}

// choosePack finds the printed pack for the cook's pack style and jar: of the jars printed for the style, the smallest
// that is not smaller than the cook's (a smaller jar takes the minutes of the next larger printed one: change c090).
func (m *Matcher) choosePack(recipe *catalog.TestedRecipe, style string, c *composition.Composition) PackChoice {
	choice := PackChoice{StyleSaid: style != "", JarSaid: c.Jar != nil}
	for i := range recipe.Packs {
		pack := &recipe.Packs[i]
		if !slices.Contains(choice.Styles, pack.Pack) {
			choice.Styles = append(choice.Styles, pack.Pack)
		}
	}
	for i := range recipe.Packs {
		pack := &recipe.Packs[i]
		if style != "" && pack.Pack != style && slices.Contains(choice.Styles, style) {
			continue
		}
		for _, id := range pack.Jars {
			jar, ok := m.tables.Jar(id)
			if !ok {
				continue
			}
			schedule := m.schedule(pack, id)
			if choice.Largest == nil || jar.CapacityML > choice.Largest.CapacityML {
				choice.Largest, choice.LargestRow = jar, schedule
			}
			if c.Jar == nil || !sameOrLarger(jar.CapacityML, c.Jar.CapacityML) || (style != "" && pack.Pack != style) {
				if schedule != nil && (c.Jar == nil || sameOrLarger(jar.CapacityML, c.Jar.CapacityML)) {
					choice.Possible = append(choice.Possible, schedule)
				}
				continue
			}
			if style == "" {
				if schedule != nil {
					choice.Possible = append(choice.Possible, schedule)
				}
				continue
			}
			if choice.Jar == nil || jar.CapacityML < choice.Jar.CapacityML {
				choice.Style, choice.Jar, choice.Schedule = pack, jar, schedule
			}
		}
	}
	if choice.Schedule != nil {
		choice.Possible = []*catalog.Schedule{choice.Schedule}
	}
	return choice
}

// sameOrLarger allows for the rounding of a capacity written in another unit.
func sameOrLarger(printedML, mineML float64) bool { return printedML >= mineML*(1-capacityRounding) }

// capacityRounding is what a capacity may differ by through rounding alone: 473 mL is a pint. Ours, no source.
const capacityRounding = 0.005

func (m *Matcher) schedule(pack *catalog.TestedPack, jar string) *catalog.Schedule {
	for _, id := range pack.Schedules {
		if row, ok := m.tables.Schedule(id); ok && (row.Jar == jar || row.Jar == "any") {
			return row
		}
	}
	return nil
}
