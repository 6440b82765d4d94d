package draft

import (
	"fmt"
	"strconv"

	"jarwright/validate/budget"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/draft/amount"
	"jarwright/validate/ingest"
	"jarwright/validate/measure"
)

// Reader writes drafts. It is read-only after New and safe for concurrent use.
type Reader struct {
	tables  *catalog.Tables
	amounts *amount.Reader
	names   *nameIndex
	bounds  Bounds
}

// Bounds tells whether a request may hold a value at a place; see ingest.Reader.
type Bounds interface {
	Allows(pointer string, value float64, unit string) bool
}

// New makes a Reader, which writes no quantity that the bounds do not allow. It fails when the table of written units does
// not load.
func New(tables *catalog.Tables, units *measure.Units, bounds Bounds) (*Reader, error) {
	amounts, err := amount.NewReader(units)
	if err != nil {
		return nil, err
	}
	return &Reader{tables: tables, amounts: amounts, names: newNameIndex(tables), bounds: bounds}, nil
}

// JSON reads a schema.org Recipe in JSON-LD. The Problem is non-nil when there is no recipe with ingredients in it.
func (r *Reader) JSON(b *budget.Budget, body []byte) (Draft, *ingest.Problem) {
	root, problem := value(b, body, MaxJSONBytes)
	if problem != nil {
		return Draft{}, problem
	}
	nodes, hidden := recipes(b, root)
	if len(nodes) == 0 {
		return Draft{}, noRecipe(b, "There is no schema.org Recipe in the document: no node has the @type Recipe.", hidden)
	}
	return r.draft(b, nodes, nil)
}

// value reads JSON. The values of a document take some ten times its length.
func value(b *budget.Budget, body []byte, most int) (any, *ingest.Problem) {
	const growth = 10
	if len(body) <= most && !(b.SpendText(len(body)) && b.Hold(growth*len(body))) {
		return nil, ingest.TooCostly(b.Err())
	}
	return ingest.Value(body, most)
}

// noRecipe says that nothing of a document can be read as a recipe.
func noRecipe(b *budget.Budget, detail string, hidden int) *ingest.Problem {
	if problem := ingest.TooCostly(b.Err()); problem != nil {
		return problem
	}
	if hidden > 0 {
		detail = fmt.Sprintf("Every recipe of the document stands below names too long to point at: its pointer has more than %d bytes.", maxPointer)
	}
	return ingest.Unusable("", CodeNoRecipe, detail)
}

// maxIngredients is what the request schema allows.
const maxIngredients = 200

// draft writes the draft of the first recipe.
func (r *Reader) draft(b *budget.Budget, nodes []node, block *float64) (Draft, *ingest.Problem) {
	recipe := nodes[0]
	w := writer{r: r, budget: b, recipe: recipe, elevations: map[told]bool{}, out: Draft{
		From: Origin{At: recipe.at(), Block: block}, Lines: []Line{}, Facts: []Fact{}, Assumed: []Note{}, NotUnderstood: []Note{},
	}}
	for _, other := range nodes[1:] {
		w.notUnderstood(other.at(), "", "This is another recipe; only the first in the document is read.")
	}
	w.name()
	w.ingredients()
	count := len(w.out.Request.Recipe.Ingredients)
	switch {
	case b.Err() != nil:
		return Draft{}, ingest.TooCostly(b.Err())
	case count == 0:
		return Draft{}, ingest.Unusable(recipe.at(), CodeNoIngredients, "The recipe lists no ingredients.")
	case count > maxIngredients:
		return Draft{}, ingest.Unusable(recipe.at(), CodeTooMany, "The recipe has more than 200 ingredients.")
	case len(w.out.Lines) > maxLines:
		return Draft{}, ingest.Unusable(recipe.at(), CodeTooMany, "The recipe has more than 1,000 lines of ingredients.")
	}
	w.facts()
	w.unread()
	if problem := ingest.TooCostly(b.Err()); problem != nil {
		return Draft{}, problem
	}
	w.countLeft()
	return w.out, nil
}

// writer fills one draft.
type writer struct {
	r      *Reader
	budget *budget.Budget
	recipe node
	out    Draft

	perJar  bool         // the heading above speaks of each jar
	soaking bool         // the heading above speaks of a soak that is poured away
	deeper  *deeperWater // over the lids, for long times
	batch   bool         // an amount was taken for that of the whole batch

	strengthened bool          // the vinegars have the strength that the text demands
	elevations   map[told]bool // what was told of the elevation
	// What was found beyond the most that a draft lists.
	factsLeft, assumedLeft, notUnderstoodLeft int
}

// The most that a draft lists of each. No recipe says more; what there is beyond is counted.
const (
	mostFacts = 1000
	mostNotes = 1000
)

func (w *writer) notUnderstood(at, text, what string) { w.notWritten(at, "", text, what) }

// notWritten notes what a place of the request was not given, or not as the sender has it.
func (w *writer) notWritten(at, into, text, what string) {
	if len(w.out.NotUnderstood) >= mostNotes {
		w.notUnderstoodLeft++
		return
	}
	w.out.NotUnderstood = append(w.out.NotUnderstood, Note{At: at, Into: into, Text: shortened(text), What: what})
}

func (w *writer) assume(at, into, what string) {
	if len(w.out.Assumed) >= mostNotes {
		w.assumedLeft++
		return
	}
	w.out.Assumed = append(w.out.Assumed, Note{At: at, Into: into, What: what})
}

// countLeft says how much there is that the draft does not list.
func (w *writer) countLeft() {
	add := func(notes *[]Note, left int, what string) {
		if left > 0 {
			*notes = append(*notes, Note{At: w.recipe.at(), What: strconv.Itoa(left) + what})
		}
	}
	add(&w.out.Assumed, w.assumedLeft, " further things were assumed that are not listed.")
	add(&w.out.NotUnderstood, w.notUnderstoodLeft, " further things were not understood that are not listed.")
	add(&w.out.NotUnderstood, w.factsLeft, " further statements were found that are not listed.")
}

// put writes the figure of a fact into the request where it may stand there, and says so where it may not.
func (w *writer) put(target **document.Quantity, f *Fact, into string) {
	if *target != nil {
		return
	}
	value := *f.Value
	if !(value > 0) || !w.r.bounds.Allows(into, value, f.Unit) {
		w.notWritten(f.At, into, f.Text, "The figure is none that a kitchen would have, and was left out.")
		return
	}
	*target, f.Into = &document.Quantity{Value: &value, Unit: f.Unit}, into
}

// shortened keeps what the sender wrote from filling the answer.
func shortened(text string) string { return cut(text, 500) }

// cut ends a text after most characters, at a whole one.
func cut(text string, most int) string {
	if len(text) <= most {
		return text
	}
	count := 0
	for at := range text {
		if count == most {
			return text[:at]
		}
		count++
	}
	return text
}
