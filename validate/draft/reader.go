package draft

import (
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
	return &Reader{tables: tables, amounts: amounts, bounds: bounds}, nil
}

// JSON reads a schema.org Recipe in JSON-LD. The Problem is non-nil when there is no recipe with ingredients in it.
func (r *Reader) JSON(body []byte) (Draft, *ingest.Problem) {
	root, problem := ingest.Value(body, MaxJSONBytes)
	if problem != nil {
		return Draft{}, problem
	}
	nodes := recipes(root)
	if len(nodes) == 0 {
		return Draft{}, ingest.Unusable("", CodeNoRecipe, "There is no schema.org Recipe in the document: no node has the @type Recipe.")
	}
	return r.draft(nodes, nil)
}

// maxIngredients is what the request schema allows.
const maxIngredients = 200

// draft writes the draft of the first recipe.
func (r *Reader) draft(nodes []node, block *float64) (Draft, *ingest.Problem) {
	recipe := nodes[0]
	w := writer{r: r, recipe: recipe, out: Draft{
		From: Origin{At: recipe.at, Block: block}, Lines: []Line{}, Facts: []Fact{}, Assumed: []Note{}, NotUnderstood: []Note{},
	}}
	for _, other := range nodes[1:] {
		w.notUnderstood(other.at, "", "This is another recipe; only the first in the document is read.")
	}
	w.name()
	w.ingredients()
	count := len(w.out.Request.Recipe.Ingredients)
	switch {
	case count == 0:
		return Draft{}, ingest.Unusable(recipe.at, CodeNoIngredients, "The recipe lists no ingredients.")
	case count > maxIngredients:
		return Draft{}, ingest.Unusable(recipe.at, CodeTooMany, "The recipe has more than 200 ingredients.")
	}
	w.facts()
	w.unread()
	return w.out, nil
}

// writer fills one draft.
type writer struct {
	r      *Reader
	recipe node
	out    Draft

	perJar  bool         // the heading above speaks of each jar
	soaking bool         // the heading above speaks of a soak that is poured away
	deeper  *deeperWater // over the lids, for long times
	batch   bool         // an amount was taken for that of the whole batch
}

func (w *writer) notUnderstood(at, text, what string) {
	w.out.NotUnderstood = append(w.out.NotUnderstood, Note{At: at, Text: shortened(text), What: what})
}

// notWritten notes what a place of the request was not given, or not as the sender has it.
func (w *writer) notWritten(at, into, text, what string) {
	w.out.NotUnderstood = append(w.out.NotUnderstood, Note{At: at, Into: into, Text: shortened(text), What: what})
}

func (w *writer) assume(at, into, what string) {
	w.out.Assumed = append(w.out.Assumed, Note{At: at, Into: into, What: what})
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
