// Package draft reads recipes as the world publishes them (schema.org Recipe in JSON-LD, alone or in a web page) and
// writes the request document that says the same, with what was read from which place, what was assumed and what was not
// understood. It fetches nothing and judges nothing. It refuses to drop a line: what it does not understand becomes an
// ingredient that the catalog does not know, which counts as low-acid food; and where a recipe leaves a choice or a range
// it takes the end that is worse for safety.
package draft

import (
	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/draft/amount"
	"jarwright/validate/ingest"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// Limits of what is read, in bytes.
const (
	MaxJSONBytes = ingest.MaxBytes
	MaxPageBytes = 4 << 20 // a web page carries much that is no recipe
)

// Draft is a recipe in the form that can be judged, with how it came about.
type Draft struct {
	Request       document.Request `json:"request"`
	From          Origin           `json:"from"`
	Lines         []Line           `json:"lines"`
	Facts         []Fact           `json:"facts"`
	Assumed       []Note           `json:"assumed"`
	NotUnderstood []Note           `json:"not_understood"`
	Report        *report.Report   `json:"report,omitempty"` // only when asked for
}

// Origin says where in the sender's document the recipe stood.
type Origin struct {
	At    string   `json:"at"`              // JSON Pointer of the recipe; all pointers below go into the same document
	Block *float64 `json:"block,omitempty"` // of a web page: which JSON-LD block, from 0
}

// Values of Line.Kind.
const (
	LineIngredient = "ingredient"
	LineHeading    = "heading"
	LineEquipment  = "equipment"
)

// Line is one ingredient line of the source with what was read from it.
type Line struct {
	At           string   `json:"at"`
	Text         string   `json:"text"`
	Kind         string   `json:"kind"` // one of the Line constants
	Understood   bool     `json:"understood"`
	Amount       *Amount  `json:"amount,omitempty"`
	Plus         []Amount `json:"plus,omitempty"` // to be added; below zero: to be taken off
	Also         []Amount `json:"also,omitempty"` // the same amount written otherwise
	Package      *Amount  `json:"package,omitempty"`
	Container    string   `json:"container,omitempty"`
	Sizes        []string `json:"sizes,omitempty"`
	Open         string   `json:"open,omitempty"` // to_cover or as_needed
	Optional     bool     `json:"optional,omitzero"`
	Item         string   `json:"item,omitempty"`    // the food, as written
	ItemID       string   `json:"item_id,omitempty"` // of the catalog; absent: unknown
	Form         string   `json:"form,omitempty"`
	Preparation  string   `json:"preparation,omitempty"`
	Alternatives []string `json:"alternatives,omitempty"`
	Remarks      []string `json:"remarks,omitempty"`
	Into         []string `json:"into"` // pointers into the request
}

// Amount is an amount as written.
type Amount struct {
	Value float64  `json:"value"`
	Max   *float64 `json:"max,omitempty"` // the other end of a range
	Unit  string   `json:"unit,omitempty"`
	Code  string   `json:"code,omitempty"` // of /v1/units; absent where nothing measures the unit
	About bool     `json:"about,omitzero"`
}

// Names of facts.
const (
	FactMinutes       = "minutes_of_processing"
	FactMethod        = "method"
	FactHeadspace     = "headspace"
	FactJar           = "jar"
	FactJars          = "jars"
	FactPack          = "pack"
	FactVinegar       = "vinegar_strength"
	FactElevation     = "elevation_note"
	FactSterilizing   = "sterilizing"
	FactKeep          = "keep"
	FactKind          = "kind"
	FactWaterOverLids = "water_over_lids"
	FactTemperature   = "temperature"
	FactRest          = "rest"
	FactRinses        = "rinses"
)

// Fact is something else the recipe says, mostly in its steps.
type Fact struct {
	Name  string   `json:"name"` // one of the Fact constants
	At    string   `json:"at"`
	Text  string   `json:"text"` // the words it was read from
	Value *float64 `json:"value,omitempty"`
	Max   *float64 `json:"max,omitempty"`
	Unit  string   `json:"unit,omitempty"`
	Is    string   `json:"is,omitempty"`   // the value where it is a word of the request
	Into  string   `json:"into,omitempty"` // pointer into the request; absent: reported only
}

// Note is one thing assumed or not understood.
type Note struct {
	At   string `json:"at"`             // JSON Pointer into the sender's document
	Into string `json:"into,omitempty"` // pointer into the request
	Text string `json:"text,omitempty"` // the sender's words
	What string `json:"what"`
}

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

// Codes of errors that only drafts have.
const (
	CodeNoRecipe      = "no_recipe"
	CodeNoIngredients = "no_ingredients"
	CodeTooMany       = ingest.CodeTooMany
)

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

	perJar  bool    // the heading above speaks of each jar
	soaking bool    // the heading above speaks of a soak that is poured away
	longer  *longer // a deeper water over the lids, for long times
	batch   bool    // the assumption about whole batches is recorded
}

func (w *writer) notUnderstood(at, text, what string) {
	w.out.NotUnderstood = append(w.out.NotUnderstood, Note{At: at, Text: shortened(text), What: what})
}

func (w *writer) assume(at, into, what string) {
	w.out.Assumed = append(w.out.Assumed, Note{At: at, Into: into, What: what})
}

// put writes a quantity into the request where it may stand there, and says so where it may not.
func (w *writer) put(target **document.Quantity, f *Fact, into string, value float64, unit string) {
	if *target != nil {
		return
	}
	if !(value > 0) || !w.r.bounds.Allows(into, value, unit) {
		w.out.NotUnderstood = append(w.out.NotUnderstood, Note{At: f.At, Into: into, Text: shortened(f.Text), What: "The figure is none that a kitchen would have, and was left out."})
		return
	}
	*target, f.Into = &document.Quantity{Value: &value, Unit: unit}, into
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
