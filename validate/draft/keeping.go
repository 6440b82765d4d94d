package draft

import (
	"slices"
	"strconv"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/draft/steps"
)

// rest writes how long the jars rest before they are opened.
func (w *writer) rest(s *sentence) {
	figure, ok := s.Rest()
	if !ok {
		return
	}
	f := s.gives(FactRest, figure)
	w.put(&w.out.Request.Recipe.Rest, &f, intoRest)
	w.fact(f)
}

// mostFerments is how many statements of a ferment go into a request; no recipe has more.
const mostFerments = 10

// ferment writes how long and how warm a ferment stands, with the least time of a range and once for each end of a range of
// temperatures, so that both are judged.
func (w *writer) ferment(s *sentence) {
	time, warmth := s.Ferment()
	if time.Unit == "" && warmth.Unit == "" {
		return
	}
	temperatures := []float64{warmth.Value}
	if warmth.Max != nil && *warmth.Max != warmth.Value {
		temperatures = append(temperatures, *warmth.Max)
	}
	recipe := &w.out.Request.Recipe
	for _, degrees := range temperatures {
		if len(recipe.Steps) >= mostFerments {
			return
		}
		step := document.Step{Step: document.StepFerment}
		into := "/recipe/steps/" + strconv.Itoa(len(recipe.Steps))
		var told []Fact
		if time.Unit != "" {
			f := s.gives(FactFerment, time)
			w.put(&step.Time, &f, into+"/time")
			told = append(told, f)
		}
		if warmth.Unit != "" {
			f := s.gives(FactFerment, steps.Figure{Value: degrees, Unit: warmth.Unit})
			w.put(&step.Temperature, &f, into+"/temperature")
			told = append(told, f)
		}
		if step.Time == nil && step.Temperature == nil {
			return
		}
		recipe.Steps = append(recipe.Steps, step)
		for _, f := range told {
			w.fact(f)
		}
	}
}

// vinegar writes a strength that the text demands of the vinegar, for those lines that give none.
func (w *writer) vinegar(s *sentence) {
	percent, demanded, ok := s.Strength()
	if !ok {
		return
	}
	f := s.gives(FactVinegar, steps.Figure{Value: percent, Unit: "percent"})
	if demanded {
		f.Into = w.strengthen(s.at, percent)
	}
	w.fact(f)
}

// strengthen writes a strength into every vinegar that has none, and gives the place of the last of them. It does so once: then
// each has one.
func (w *writer) strengthen(at string, percent float64) (into string) {
	if w.strengthened {
		return ""
	}
	w.strengthened = true
	for i := range w.out.Request.Recipe.Ingredients {
		g := &w.out.Request.Recipe.Ingredients[i]
		item, known := w.r.tables.Item(g.Item)
		if !known || item.Class != catalog.Acid || item.Family != "vinegar" || g.AcidityPercent != nil {
			continue
		}
		g.AcidityPercent = new(percent)
		into = ingredientAt(i) + "/acidity_percent"
		if g.Bottled == nil {
			g.Bottled = new(true)
			w.assume(at, ingredientAt(i)+"/bottled", "A vinegar whose strength is stated is taken for a bought one.")
		}
	}
	return into
}

// ingredientAt is the pointer to an ingredient of the request.
func ingredientAt(i int) string { return "/recipe/ingredients/" + strconv.Itoa(i) }

// told is a text at a place that has been told.
type told struct{ at, text string }

// elevation tells a sentence on the elevation of the kitchen, unless a time of it was told as one.
func (w *writer) elevation(s *sentence) {
	if !s.NotesElevation() {
		return
	}
	if text := shortened(s.Text); !w.elevations[told{s.at, text}] {
		w.fact(Fact{Name: FactElevation, At: s.at, Text: s.Text})
	}
}

// rinses writes how often the lime is rinsed off.
func (w *writer) rinses(s *sentence) {
	times, ok := s.Rinses()
	if !ok {
		return
	}
	f := s.gives(FactRinses, steps.Figure{Value: times})
	for i := range w.out.Request.Recipe.Ingredients {
		if g := &w.out.Request.Recipe.Ingredients[i]; g.Item == "pickling-lime" && g.Rinses == nil {
			g.Rinses, f.Into = new(times), ingredientAt(i)+"/rinses"
		}
	}
	w.fact(f)
}

// keep finds out whether the jars are meant for the shelf or the refrigerator.
func (w *writer) keep(sentences []sentence) {
	for i := range sentences {
		if keep := sentences[i].Keep(); keep != "" {
			w.fact(sentences[i].says(FactKeep, keep))
		}
	}
	recipe := &w.out.Request.Recipe
	heated := recipe.Process != nil && recipe.Process.Method != "" || w.hasFigure(FactMinutes)
	for i := range w.out.Facts {
		f := &w.out.Facts[i]
		if f.Name != FactKeep || recipe.Keep != "" || heated && f.Is == document.KeepRefrigerator {
			continue
		}
		recipe.Keep, f.Into = f.Is, intoKeep
	}
	if recipe.Keep == "" && heated {
		recipe.Keep = document.KeepShelf
		w.assume(w.recipe.at(), intoKeep, "Jars that are heated when closed are taken to be meant for the shelf.")
	}
}

func (w *writer) hasFigure(name string) bool {
	return slices.ContainsFunc(w.out.Facts, func(f Fact) bool { return f.Name == name && f.Value != nil })
}

// kind finds the kind of product: in a category or keyword that is one to the letter, else in the words of a title, else by
// the acid among the ingredients.
func (w *writer) kind(sentences []sentence) {
	if w.kindInCategory() || w.kindInKeywords() || w.kindInTitle(sentences) {
		return
	}
	recipe := &w.out.Request.Recipe
	for i := range recipe.Ingredients {
		if item, ok := w.r.tables.Item(recipe.Ingredients[i].Item); ok && item.Class == catalog.Acid {
			recipe.Kind = document.KindBrined
			w.assume(w.recipe.at(), intoKind, "With an acid among the ingredients and no other word for it, the recipe is taken for pieces under an acid brine.")
			return
		}
	}
}

func (w *writer) kindInCategory() bool {
	n, ok := w.recipe.member("recipeCategory")
	if !ok {
		return false
	}
	for _, each := range n.list() {
		text, at := each.text()
		if w.kindIs(at, text, text) {
			return true
		}
	}
	return false
}

func (w *writer) kindInKeywords() bool {
	n, ok := w.recipe.member("keywords")
	if !ok {
		return false
	}
	text, at := n.text()
	for word := range strings.SplitSeq(text, ",") {
		if w.kindIs(at, text, word) {
			return true
		}
	}
	return false
}

// kindIs takes a word that is a kind of the request to the letter.
func (w *writer) kindIs(at, text, word string) bool {
	switch kind := strings.ToLower(strings.TrimSpace(word)); kind {
	case document.KindBrined, document.KindRelish, document.KindSauce, document.KindFermented, document.KindFruit, document.KindFresh:
		w.setKind(at, text, kind)
		return true
	}
	return false
}

// kindInTitle reads the name, the categories and the keywords of the recipe.
func (w *writer) kindInTitle(sentences []sentence) bool {
	for i := range sentences {
		s := &sentences[i]
		if !s.title || s.at != w.recipe.at()+"/name" && !strings.HasSuffix(s.at, "recipeCategory") && !strings.HasSuffix(s.at, "keywords") {
			continue
		}
		if kind := s.Kind(); kind != "" {
			w.setKind(s.at, s.Text, kind)
			return true
		}
	}
	return false
}

func (w *writer) setKind(at, text, kind string) {
	w.out.Request.Recipe.Kind = kind
	w.fact(Fact{Name: FactKind, At: at, Text: text, Is: kind, Into: intoKind})
}
