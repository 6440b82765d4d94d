// Package match finds the tested recipe that a cook's recipe follows and lists every respect in which the two differ,
// each marked safe, unsafe, untested or undetermined by what was published about such changes. It never calls a recipe
// safe that no tested recipe covers.
package match

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

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
	extra    *composition.Line // that the fix leaves out
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
	RuleSeasoning      = "ingredient.seasoning-in-bulk"
	RuleUnsuitable     = "ingredient.unsuitable"
	RulePieceSize      = "pack.piece-size"
	RulePureed         = "ingredient.pureed"
	RuleSaltAndSugar   = "ingredient.salt-and-sugar"
	RulePouredAway     = "ingredient.poured-away"
	RuleFoodPerJar     = "pack.food-per-jar"
	RuleBrineEnough    = "pack.brine-enough"
	RuleSweetened      = "acid.sweetened-liquid"
	RuleLiquidForFood  = "acid.liquid-for-food"
	RuleMetricJar      = "pack.metric-jar"
)

// Match is the tested recipe nearest to the cook's, and how they differ.
type Match struct {
	Recipe     *catalog.TestedRecipe // nil: none is near
	Likeness   float64               // 1 for the recipe itself; orders candidates, judges nothing
	Departures []Departure
	Pack       PackChoice
	Limed      bool // the tested recipe has a lime soak
	Allowances []Allowance
	Acid       Proportion
	Jar        JarResult
	MoreOil    bool // there is more oil to the liquid of pieces than printed

	// SeasoningFoodG is what of the seasonings counts as food, in g for the batch, where there is room for it.
	SeasoningFoodG float64

	pattern        *pattern              // of Recipe
	filled         [][]*composition.Line // the cook's lines, by slot of the pattern
	ratios         []ratio               // the cook's amounts over the printed ones, by slot; zero where they were not compared
	inPieces       *printedJar           // nil: the recipe is judged by the pot
	clear          bool                  // the tested recipe is surely the one meant
	jarML          float64               // capacity of the cook's jar; 0: not said
	otherHeadspace bool                  // only tells recipes apart; a rule judges it
	dry            bool                  // a liquid that covers the food is printed and missing
}

// Proportion is the acid and the food of a recipe, each as a multiple of the tested recipe's; zero where it cannot be told.
type Proportion struct{ Acid, Food float64 }

// Allowance is how far one amount may be moved without leaving the tested proportions, all others being left as they are.
type Allowance struct {
	Variable string // acid, water, low_acid_food
	At       string
	Name     string
	Unit     string
	Now      float64
	Low      float64  // least that is safe
	High     *float64 // most that is safe; nil: no limit
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

// StandsFor lists the printed items of the slot that a cook's line fills; none where it fills none.
func (m *Match) StandsFor(line *composition.Line) []*catalog.Item {
	for i, lines := range m.filled {
		if !slices.Contains(lines, line) {
			continue
		}
		var items []*catalog.Item
		for j := range m.pattern.slots[i].lines {
			items = append(items, m.pattern.slots[i].lines[j].item)
		}
		return items
	}
	return nil
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

// InPieces reports whether the tested recipe is of pieces under a liquid, and so judged by the jar.
func (m *Match) InPieces() bool { return m.inPieces != nil }

// Yield is how many jars of the cook's size the printed yield fills at the size of the cook's batch, which its main food tells: at least and
// at most. It reports false where the tested recipe is not surely the one meant, no number of jars is printed, or the size of the batch cannot be told.
func (m *Match) Yield() (low, high float64, ok bool) {
	if m.Jar.Known() && m.clear {
		return m.Jar.JarsLow, m.Jar.JarsHigh, true
	}
	if m.pattern == nil || !m.clear || m.inPieces != nil || m.pattern.yieldML == 0 ||
		m.jarML == 0 || m.pattern.mainSlot < 0 || m.pattern.slots[m.pattern.mainSlot].perJar() {
		return 0, 0, false
	}
	batches := m.ratios[m.pattern.mainSlot].high
	size := batches * m.pattern.yieldML / m.jarML
	return size * m.Recipe.Yield.Low, size * m.Recipe.Yield.High, batches > 0
}

// Matcher compares recipes with all tested recipes. It is read-only after NewMatcher and safe for concurrent use.
type Matcher struct {
	tables     *catalog.Tables
	scale      *composition.Scale
	patterns   []pattern
	likeness   catalog.Likeness
	tolerances tolerances
	vinegar    *catalog.Item
	water      *catalog.Item

	crockPounds      float64 // of food in a fermenting crock, for each gallon that it holds
	topUpTablespoons float64 // of salt in each quart of brine that tops up a ferment
	thickestMM       float64 // of the slices and cubes of any tested recipe
	vinegarPercent   float64 // of the vinegar that tested recipes ask for
	milliliter       measure.Unit
}

// vinegarStrengthLimit names the strength of the vinegar that tested recipes ask for.
const vinegarStrengthLimit = "vinegar-acidity-min"

// tolerances are the allowances of tolerances.csv that matching needs, in SI units, fractions and factors.
type tolerances struct {
	ratio, piece, saltMass, headspace, capacity, shortFruit, seasoning float64
	rounding, sweetened, shortLiquid, twin                             float64
}

// NewMatcher reads every tested recipe into a pattern.
func NewMatcher(tables *catalog.Tables, scale *composition.Scale) (*Matcher, error) {
	m := &Matcher{tables: tables, scale: scale, likeness: tables.Likeness, tolerances: tolerances{
		ratio: tables.Tolerance(catalog.RatioTolerance), piece: tables.Tolerance(catalog.PieceTolerance),
		saltMass: tables.Tolerance(catalog.SaltMassTolerance), headspace: tables.Tolerance(catalog.HeadspaceTolerance),
		capacity:   tables.Tolerance(catalog.CapacityTolerance),
		shortFruit: tables.Tolerance(catalog.ShortFruitTolerance), seasoning: tables.Tolerance(catalog.SeasoningTolerance),
		rounding: tables.Tolerance(catalog.JarRoundingTolerance), sweetened: tables.Tolerance(catalog.SweetenedTolerance),
		shortLiquid: tables.Tolerance(catalog.ShortLiquidTolerance), twin: tables.Tolerance(catalog.MetricTwinTolerance),
	}}
	milliliter, ok := scale.Units().Lookup("mL")
	if !ok {
		return nil, errors.New("the units have no milliliter")
	}
	m.milliliter = milliliter
	m.vinegarPercent = tables.MustLimit(vinegarStrengthLimit).Value
	vinegar, ok := tables.Item("vinegar")
	if !ok {
		return nil, errors.New("the catalog has no vinegar")
	}
	m.vinegar = vinegar
	m.crockPounds, m.topUpTablespoons = tables.MustLimit("ferment-food-per-gallon").Value, tables.MustLimit("ferment-top-up-salt").Value
	water, ok := tables.Item("water")
	if !ok {
		return nil, errors.New("the catalog has no water")
	}
	m.water = water
	for i := range tables.Recipes {
		p, err := m.readPattern(&tables.Recipes[i])
		if err != nil {
			return nil, fmt.Errorf("reading the tested recipe %s: %w", tables.Recipes[i].ID, err)
		}
		m.patterns = append(m.patterns, p)
	}
	m.thickestMM = thickestCut(m.patterns)
	return m, nil
}

// candidate is one tested recipe compared in full.
type candidate struct {
	match             Match
	departed, flavors int // departures, and those of salt and sugar, which part only recipes that are else alike
}

// Match finds the tested recipe that the request follows. It also settles, in the composition, what becomes of lines that are
// marked as poured away: that hangs on the tested recipe.
func (m *Matcher) Match(request *document.Request, c *composition.Composition) Match {
	recipe := &request.Recipe
	for i := range m.patterns {
		if recipe.Follows == "" || m.patterns[i].recipe.ID != recipe.Follows {
			continue
		}
		match := m.compareWith(&m.patterns[i], recipe, c, 1)
		if match.dry {
			nearer := m.nearest(recipe, c)
			match.tellOf(&nearer, m.elevation(request))
			match.pattern.settle(c)
		}
		return match
	}
	match := m.nearest(recipe, c)
	if match.pattern != nil {
		match.pattern.settle(c)
		return match
	}
	for i := range c.Lines {
		c.Lines[i].SettleAlone()
	}
	return match
}

// nearest compares with the tested recipes that are most like the cook's and takes the one with the fewest departures.
func (m *Matcher) nearest(recipe *document.Recipe, c *composition.Composition) Match {
	match := m.choose(recipe, c)
	m.withhold(recipe, c, &match)
	return match
}

// choose is nearest before any fix is taken back.
func (m *Matcher) choose(recipe *document.Recipe, c *composition.Composition) Match {
	profile := m.readProfile(recipe.Kind, recipe.Keep, c)
	type like struct{ written, scaled float64 }
	best := like{m.likeness.Least, m.likeness.Least}
	likenesses := make([]like, len(m.patterns))
	for i := range m.patterns {
		likenesses[i].written, likenesses[i].scaled = m.alike(&m.patterns[i], &profile)
		best.written, best.scaled = math.Max(best.written, likenesses[i].written), math.Max(best.scaled, likenesses[i].scaled)
	}
	var near []candidate
	for i, by := range likenesses {
		if by.written < best.written-m.likeness.Equals && by.scaled < best.scaled-m.likeness.Equals {
			continue
		}
		likeness := math.Max(by.written, by.scaled)
		if likeness < m.likeness.Least {
			continue
		}
		match := m.compareWith(&m.patterns[i], recipe, c, likeness)
		flavors := len(match.Departs(RuleSaltAndSugar))
		near = append(near, candidate{match: match, departed: match.departed() - flavors, flavors: flavors})
	}
	if len(near) == 0 {
		return Match{}
	}
	slices.SortStableFunc(near, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(a.departed, b.departed), cmp.Compare(a.flavors, b.flavors), cmp.Compare(b.match.Likeness, a.match.Likeness))
	})
	return near[0].match
}

// withhold takes back each fix of the nearest match that leaves out a line without which another tested recipe would be the nearest: by
// that one the other lines and the steps may be judged quite otherwise. Of many such lines only the first are looked into and keep a fix.
func (m *Matcher) withhold(recipe *document.Recipe, c *composition.Composition, match *Match) {
	const most = 4
	looked := 0
	for i := range match.Departures {
		d := &match.Departures[i]
		if len(d.Fix) == 0 || d.extra == nil {
			continue
		}
		if looked++; looked <= most {
			without := *c
			without.Lines = slices.DeleteFunc(slices.Clone(c.Lines), func(l composition.Line) bool { return l.At == d.extra.At })
			if other := m.choose(recipe, &without); other.pattern == match.pattern {
				continue
			}
		}
		d.Fix = nil
	}
}

func (m *Matcher) compareWith(p *pattern, recipe *document.Recipe, cook *composition.Composition, likeness float64) Match {
	p.settle(cook)
	match := Match{Recipe: p.recipe, pattern: p, Likeness: likeness, Limed: slices.Contains(p.firming, "pickling-lime")}
	match.Pack = m.choosePack(p.recipe, recipe.Pack, cook)
	match.otherHeadspace = m.otherHeadspace(&match.Pack, recipe.Headspace)
	c := comparison{matcher: m, tested: p, recipe: recipe, cook: cook, match: &match}
	c.printed = m.printedIn(p, &match.Pack, recipe.Pack)
	match.inPieces, match.clear = c.printed, likeness >= m.likeness.Clear
	if cook.Jar != nil {
		match.jarML = cook.Jar.CapacityML
	}
	c.identity()
	c.assign()
	match.filled = c.filled
	c.main()
	c.doubts()
	c.extras()
	c.forms()
	c.amounts()
	c.unweighed()
	c.salt()
	c.tastes()
	c.pouredAway()
	if likeness < m.likeness.Clear {
		for i := range match.Departures {
			match.Departures[i].Fix = nil
		}
	}
	return match
}

func (m *Match) departed() int {
	departed := 0
	for _, d := range m.Departures {
		if d.Verdict != Safe {
			departed++
		}
	}
	if m.Pack.Style == nil && (m.Pack.HasStyle || m.Pack.HasJar) {
		departed++
	}
	if m.otherHeadspace {
		departed++
	}
	return departed
}
