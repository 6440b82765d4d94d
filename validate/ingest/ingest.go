// Package ingest turns the bytes of a body into a document, or says everything that keeps them from being one: broken
// or ambiguous JSON, breaches of the schema, quantities no kitchen ever had. Messages are for people, codes and
// parameters for programs, places are JSON Pointers. It refuses to guess: nothing is corrected, converted or given a
// default, and it never says whether a recipe is any good.
package ingest

import (
	"fmt"

	"github.com/go-json-experiment/json"

	"jarwright/schemas"
	"jarwright/validate/budget"
	"jarwright/validate/document"
	"jarwright/validate/measure"
)

// Reader reads bodies. It is safe for concurrent use.
type Reader struct {
	request *quickSchema
	plan    *quickSchema
	card    *quickSchema
	shapes  shapes
	units   *measure.Units
	*Bounds
}

// NewReader compiles the request schema and loads the bounds. It fails when an embedded file is broken.
func NewReader(units *measure.Units) (*Reader, error) {
	compiled, err := schemas.CompileAll(schemas.RequestName, schemas.PlanRequestName, schemas.CardRequestName)
	if err != nil {
		return nil, fmt.Errorf("make reader: %w", err)
	}
	shapes, err := loadShapes()
	if err != nil {
		return nil, fmt.Errorf("make reader: %w", err)
	}
	bounds, err := LoadBounds(units)
	if err != nil {
		return nil, fmt.Errorf("make reader: %w", err)
	}
	reader := &Reader{shapes: shapes, units: units, Bounds: bounds}
	for i, into := range []**quickSchema{&reader.request, &reader.plan, &reader.card} {
		if *into, err = newQuickSchema(compiled[i]); err != nil {
			return nil, fmt.Errorf("make reader: %w", err)
		}
	}
	return reader, nil
}

// Request reads body as a request document. The Problem is nil exactly when the document may be used; otherwise it
// lists all errors of the first stage that found any, the stages being size, JSON, and schema together with bounds.
func (r *Reader) Request(b *budget.Budget, body []byte) (document.Request, *Problem) {
	return read[document.Request](r, b, r.request, body)
}

// Plan reads body as a request for a plan, as Request does.
func (r *Reader) Plan(b *budget.Budget, body []byte) (document.PlanRequest, *Problem) {
	return read[document.PlanRequest](r, b, r.plan, body)
}

// Card reads body as a request for a card, as Request does.
func (r *Reader) Card(b *budget.Budget, body []byte) (document.CardRequest, *Problem) {
	return read[document.CardRequest](r, b, r.card, body)
}

func read[T any](r *Reader, b *budget.Budget, schema *quickSchema, body []byte) (T, *Problem) {
	var none, read T
	if len(body) > MaxBytes {
		return none, TooLong(len(body), MaxBytes)
	}
	if !b.SpendText(len(body)) {
		return none, TooCostly(b.Err())
	}
	tree := readTree(body)
	if len(tree.errors) > 0 {
		sortErrors(body, tree.errors)
		return none, malformed(tree.errors, len(tree.errors)+tree.unlisted)
	}
	modern := modernize(tree.root)
	if broken := r.withOutOfRange(r.violationsOf(schema, tree), tree.root); len(broken) > 0 {
		sortErrors(body, broken)
		return none, invalid(broken)
	}
	if modern {
		var err error
		if body, err = json.Marshal(tree.root); err != nil {
			return none, cannotCheck()
		}
	}
	if err := json.Unmarshal(body, &read); err != nil {
		return none, cannotCheck()
	}
	return read, nil
}

// withOutOfRange adds the bounds that are passed. Where the schema has already found a value too small or too large for every
// unit, the bound takes its place, because it names the limits of the unit that was written; only what is less than
// nothing keeps the code of the schema. Any other fault that the schema found with the value stands alone.
func (r *Reader) withOutOfRange(broken []Error, root any) []Error {
	passed := r.outOfRange(root)
	if len(passed) == 0 {
		return broken
	}
	faulted := make(map[string]int, len(broken))
	for i, e := range broken {
		faulted[e.Pointer] = i
	}
	for _, e := range passed {
		i, isFaulted := faulted[e.Pointer]
		if !isFaulted {
			broken = append(broken, e)
			continue
		}
		switch code := broken[i].Code; {
		case code == CodeOutOfRange, code == CodeTooLarge && e.Params.Unit != "":
			broken[i] = e
		case code == CodeTooSmall && e.Params.Unit != "":
			if *e.Params.Least >= 0 {
				e.Code = CodeTooSmall
			}
			broken[i] = e
		}
	}
	return broken
}

func cannotCheck() *Problem {
	return malformed([]Error{{Code: CodeCannotCheck, Detail: "The document could not be checked and was not used."}}, 1)
}
