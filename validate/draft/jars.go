package draft

import (
	"slices"

	"jarwright/validate/document"
	"jarwright/validate/draft/amount"
	"jarwright/validate/draft/steps"
)

// yield reads how many jars of which size the recipe makes.
func (w *writer) yield() {
	for _, name := range []string{"recipeYield", "yield"} {
		n, ok := w.recipe.member(name)
		if !ok {
			continue
		}
		for _, each := range n.list() {
			text, at := each.text()
			if each.object() != nil {
				text, at = lineOf(each), each.at()
			}
			if w.yieldOf(at, amount.PlainText(text)) {
				return
			}
		}
	}
}

// yieldOf reads one statement of the yield and tells whether it names jars.
func (w *writer) yieldOf(at, text string) bool {
	ids := steps.JarsIn(text)
	if len(ids) == 0 {
		return false
	}
	w.setJar(at, text, ids)
	written := w.r.amounts.Line(text)
	if written.Amount == nil || len(ids) > 1 || !w.countsJars(&written) {
		return true
	}
	count := written.Amount.High
	if whole := float64(int(count)); count != whole {
		count = whole + 1
	}
	recipe := &w.out.Request.Recipe
	const most = 10000 // as the schema has it
	if recipe.Jars == nil && count >= 1 && count <= most {
		recipe.Jars = &count
		w.fact(Fact{Name: FactJars, At: at, Text: text, Value: &count, Into: intoJars})
		if written.Amount.Low < written.Amount.High {
			w.assume(at, intoJars, "The yield is a range; the larger number of jars was taken.")
		}
	}
	return true
}

// jarUnits are the units of volume that are the sizes of jars.
var jarUnits = []string{"half-pint", "pt", "qt", "gal"}

// countsJars tells "6 pints" and "6 (8 oz) jars" from "2 cups".
func (w *writer) countsJars(written *amount.Line) bool {
	word, ok := w.r.amounts.Word(written.Amount.Unit)
	return !ok || word.Kind != amount.UnitMeasure || written.Package != nil || slices.Contains(jarUnits, word.Name)
}

// jarInStep reads the size of the jars from a step.
func (w *writer) jarInStep(s *sentence) {
	ids, sure := s.Jars()
	if len(ids) == 0 || !sure && w.out.Request.Recipe.Jar != nil {
		return
	}
	w.setJar(s.at, s.Text, ids)
}

// setJar takes the largest of the jars named at one place: heat needs longest to reach its middle.
func (w *writer) setJar(at, text string, ids []string) {
	largest, capacity := "", 0.0
	for _, id := range ids {
		if jar, ok := w.r.tables.Jar(id); ok && jar.CapacityML > capacity {
			largest, capacity = jar.ID, jar.CapacityML
		}
	}
	if largest == "" {
		return
	}
	recipe := &w.out.Request.Recipe
	f := Fact{Name: FactJar, At: at, Text: text, Is: largest}
	switch {
	case recipe.Jar == nil:
		recipe.Jar = &document.Jar{ID: largest}
		f.Into = intoJar
		if len(ids) > 1 {
			w.assume(at, intoJar, "Several sizes of jar are named; the largest was taken.")
		}
	case recipe.Jar.ID == largest:
		return
	default:
		w.assume(at, intoJar, "Another size of jar is named here too; the first found, "+recipe.Jar.ID+", was taken.")
	}
	w.fact(f)
}

// headspace writes how much of the jar is left free; of a range it takes the smaller end.
func (w *writer) headspace(s *sentence) {
	figure, ok := s.Headspace()
	if !ok {
		return
	}
	f := s.gives(FactHeadspace, figure)
	w.put(&w.out.Request.Recipe.Headspace, &f, intoHeadspace)
	if f.Into != "" && f.Max != nil {
		w.assume(s.at, intoHeadspace, "The headspace is a range; the smaller end was taken.")
	}
	w.fact(f)
}

// pack writes how the jars are filled.
func (w *writer) pack(s *sentence) {
	pack, named := s.Pack()
	if pack == "" {
		return
	}
	f := s.says(FactPack, pack)
	if recipe := &w.out.Request.Recipe; recipe.Pack == "" {
		recipe.Pack, f.Into = pack, intoPack
		if !named {
			w.assume(s.at, intoPack, "How the jars are filled was taken from the words of this step.")
		}
	}
	w.fact(f)
}

// jarPreparationOrder has what is done to empty jars, the most of it last.
var jarPreparationOrder = []string{"", document.JarsClean, document.JarsHot, document.JarsSterilized}

// jarPreparation writes what is done to the empty jars.
func (w *writer) jarPreparation(s *sentence) {
	preparation := s.JarPreparation()
	if preparation == "" {
		return
	}
	f := s.says(FactSterilizing, preparation)
	recipe := &w.out.Request.Recipe
	if slices.Index(jarPreparationOrder, preparation) > slices.Index(jarPreparationOrder, recipe.JarPreparation) {
		recipe.JarPreparation, f.Into = preparation, intoJarPrep
	}
	w.fact(f)
}
