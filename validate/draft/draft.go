// Package draft reads recipes as the world publishes them (schema.org Recipe in JSON-LD, alone or in a web page) and
// writes the request document that says the same, with what was read from which place, what was assumed and what was not
// understood. It fetches nothing and judges nothing. It refuses to drop a line: what it does not understand becomes an
// ingredient that the catalog does not know, which counts as low-acid food; and where a recipe leaves a choice or a range
// it takes the end that is worse for safety.
package draft

import (
	"jarwright/validate/document"
	"jarwright/validate/ingest"
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
	FactFerment       = "ferment"
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

// Codes of errors that only drafts have.
const (
	CodeNoRecipe      = "no_recipe"
	CodeNoIngredients = "no_ingredients"
	CodeTooMany       = ingest.CodeTooMany
)
