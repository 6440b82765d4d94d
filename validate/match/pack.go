package match

import (
	"math"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
)

// PackChoice is the printed way of filling that applies to the cook's pack and jar.
type PackChoice struct {
	Styles     []string            // pack styles that are printed
	Style      *catalog.TestedPack // the printed pack whose jar is the next larger or equal; nil: none
	Jar        *catalog.Jar        // that jar
	Largest    *catalog.Jar        // the largest jar printed for the style (of any style when it is not given)
	Schedule   *catalog.Schedule   // its row of the time table; nil: none is printed
	LargestRow *catalog.Schedule   // the row of the largest jar
	Possible   []*catalog.Schedule // the rows that may apply while pack or jar is not given
	HasStyle   bool
	HasJar     bool
	Twin       bool // the jar is a metric one a little larger than the largest printed, whose row is then chosen
}

// choosePack finds the printed pack for the cook's pack style and jar: of the jars printed for the style, the smallest
// that is not smaller than the cook's (a smaller jar takes the minutes of the next larger printed one).
func (m *Matcher) choosePack(recipe *catalog.TestedRecipe, style string, c *composition.Composition) PackChoice {
	choice := PackChoice{HasStyle: style != "", HasJar: c.Jar != nil}
	for i := range recipe.Packs {
		pack := &recipe.Packs[i]
		if !slices.Contains(choice.Styles, pack.Pack) {
			choice.Styles = append(choice.Styles, pack.Pack)
		}
	}
	for i := range recipe.Packs {
		pack := &recipe.Packs[i]
		if pack.Pack != style && slices.Contains(choice.Styles, style) {
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
			switch {
			case c.Jar != nil && !m.holds(jar.CapacityML, c.Jar.CapacityML):
			case c.Jar != nil && pack.Pack == style:
				if choice.Jar == nil || jar.CapacityML < choice.Jar.CapacityML {
					choice.Style, choice.Jar, choice.Schedule = pack, jar, schedule
				}
			case schedule != nil:
				choice.Possible = append(choice.Possible, schedule)
			}
		}
	}
	m.chooseTwin(&choice, recipe, style, c)
	if choice.Schedule != nil {
		choice.Possible = []*catalog.Schedule{choice.Schedule}
	}
	return choice
}

// chooseTwin takes the row of the largest printed jar for the metric jar that is sold in its place: nobody tested it, but it is not
// another size of jar either.
func (m *Matcher) chooseTwin(choice *PackChoice, recipe *catalog.TestedRecipe, style string, c *composition.Composition) {
	if choice.Style != nil || c.Jar == nil || choice.Largest == nil || !slices.Contains(choice.Styles, style) ||
		c.Jar.CapacityML > choice.Largest.CapacityML*(1+m.tolerances.twin) {
		return
	}
	for i := range recipe.Packs {
		if pack := &recipe.Packs[i]; pack.Pack == style && slices.Contains(pack.Jars, choice.Largest.ID) {
			choice.Style, choice.Jar, choice.Schedule, choice.Twin = pack, choice.Largest, choice.LargestRow, true
			return
		}
	}
}

// holds reports whether a printed jar is at least as large as the cook's, up to the rounding of a capacity written in
// another unit.
func (m *Matcher) holds(printedML, writtenML float64) bool {
	return printedML >= writtenML*(1-m.tolerances.capacity)
}

func (m *Matcher) schedule(pack *catalog.TestedPack, jar string) *catalog.Schedule {
	for _, id := range pack.Schedules {
		if row, ok := m.tables.Schedule(id); ok && (row.Jar == jar || row.Jar == "any") {
			return row
		}
	}
	return nil
}

// otherHeadspace reports whether a headspace is given and is nearer to another than to the printed one.
func (m *Matcher) otherHeadspace(pack *PackChoice, written *document.Quantity) bool {
	if pack.Style == nil || written == nil || written.Value == nil {
		return false
	}
	unit, ok := m.scale.Units().Lookup(written.Unit)
	printed := measure.Length(pack.Style.HeadspaceIn) * measure.Inch
	return ok && math.Abs(unit.SI(*written.Value)-float64(printed)) > m.tolerances.headspace
}
