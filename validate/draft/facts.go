package draft

import (
	"jarwright/validate/document"
	"jarwright/validate/draft/steps"
)

// Package steps says what one sentence says. The files facts.go, heating.go, jars.go and keeping.go decide which of several
// statements goes into the request, by these rules:
//
//   - method, pack, jar, headspace, rest: the first that is named; another one later is told and left
//   - jar: of several sizes in one place the largest, for heat needs longest to reach its middle
//   - jar preparation: the most that is done
//   - time: the one named for the recipe's jar, or else the shortest; never one for another elevation
//   - keep: the shelf, where jars are heated after closing
//   - ferment: each one that is named is a step, at both ends of a range of temperatures
//
// Sentences that forbid something are read for strength, elevation and keeping only. Every statement that is found becomes a
// Fact; one that goes into the request says where.

// Paths of the request that facts go into.
const (
	intoMethod        = "/recipe/process/method"
	intoTime          = "/recipe/process/time"
	intoTemperature   = "/recipe/process/temperature"
	intoWaterOverLids = "/recipe/process/water_over_lids"
	intoHeadspace     = "/recipe/headspace"
	intoJar           = "/recipe/jar"
	intoJars          = "/recipe/jars"
	intoPack          = "/recipe/pack"
	intoJarPrep       = "/recipe/jar_preparation"
	intoKeep          = "/recipe/keep"
	intoKind          = "/recipe/kind"
	intoRest          = "/recipe/rest"
)

// sentence is one sentence of the recipe with its place.
type sentence struct {
	steps.Sentence
	at    string
	title bool // of the recipe's name, description, yield or category: no instruction
}

// says is a fact that the sentence states in a word of the request.
func (s *sentence) says(name, is string) Fact {
	return Fact{Name: name, At: s.at, Text: s.Text, Is: is}
}

// gives is a fact that the sentence states as a figure.
func (s *sentence) gives(name string, figure steps.Figure) Fact {
	return Fact{Name: name, At: s.at, Text: s.Text, Value: &figure.Value, Max: figure.Max, Unit: figure.Unit}
}

// facts reads what the recipe says beside its ingredients.
func (w *writer) facts() {
	sentences := w.sentences()
	w.yield()
	for i := range sentences {
		if s := &sentences[i]; !s.title && !s.Forbids() {
			w.instruction(s)
		}
	}
	for i := range sentences {
		w.vinegar(&sentences[i])
		w.elevation(&sentences[i])
		w.rinses(&sentences[i])
	}
	w.keep(sentences)
	w.kind(sentences)
	w.chooseTime()
}

// instruction reads what a sentence of the steps says of the jars.
func (w *writer) instruction(s *sentence) {
	w.method(s)
	w.times(s)
	w.headspace(s)
	w.jarInStep(s)
	w.pack(s)
	w.jarPreparation(s)
	w.waterOverLids(s)
	w.rest(s)
	w.ferment(s)
}

var (
	// instructionMembers are the members that hold steps; the first that has any is read.
	instructionMembers = []string{"recipeInstructions", "step", "steps", "instructions", "text"}
	// titleMembers are those that say what the recipe is.
	titleMembers = []string{"name", "description", "recipeCategory", "keywords", "cookingMethod", "recipeNotes", "tool"}
)

// mostSentences is how many sentences of the steps, or of one title, are read: no recipe has more.
const mostSentences = 2000

// sentences are those of the steps, then those of the titles.
func (w *writer) sentences() []sentence {
	var all []sentence
	add := func(passages []passage, title bool) {
		left := mostSentences
		for _, each := range passages {
			for one := range steps.Sentences(each.text) {
				if !w.budget.SpendText(len(one.Text)) {
					return
				}
				if left--; left < 0 {
					w.notUnderstood(each.at, one.Text, "There is more text than a recipe has; from here on it was not read.")
					return
				}
				all = append(all, sentence{Sentence: one, at: each.at, title: title})
			}
		}
	}
	for _, name := range instructionMembers {
		if n, ok := w.recipe.member(name); ok {
			if passages := n.passages(); len(passages) > 0 {
				add(passages, false)
				break
			}
		}
	}
	for _, name := range titleMembers {
		if n, ok := w.recipe.member(name); ok {
			add(n.passages(), true)
		}
	}
	return all
}

// fact tells a fact. Those beyond mostFacts are counted, unless they go into the request.
func (w *writer) fact(f Fact) {
	if len(w.out.Facts) >= mostFacts && f.Into == "" {
		w.factsLeft++
		return
	}
	f.Text = shortened(f.Text)
	if f.Name == FactElevation {
		w.elevations[told{f.At, f.Text}] = true
	}
	w.out.Facts = append(w.out.Facts, f)
}

// process is the process of the request, made where it has none yet.
func (w *writer) process() *document.Process {
	recipe := &w.out.Request.Recipe
	if recipe.Process == nil {
		recipe.Process = &document.Process{}
	}
	return recipe.Process
}
