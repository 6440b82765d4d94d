package storage

import (
	"sync"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/match"
	"jarwright/validate/measure"
)

// shared is what all tests of the package read: the published tables, as the service has them.
type shared struct {
	tables *catalog.Tables
	units  *measure.Units
	scale  *composition.Scale
}

var loaded = sync.OnceValue(func() shared {
	tables, err := catalog.Load()
	if err != nil {
		panic(err)
	}
	units, err := measure.LoadUnits()
	if err != nil {
		panic(err)
	}
	scale, err := composition.NewScale(tables, units)
	if err != nil {
		panic(err)
	}
	return shared{tables, units, scale}
})

// Tested recipes with what each prints of storage.
const (
	dills          = "quick-fresh-pack-dill-pickles"            // for the shelf, no cure
	breadAndButter = "bread-and-butter-pickles"                 // 4 to 5 weeks before it is eaten
	coldRelish     = "pickled-pepper-onion-relish-refrigerated" // a month in the refrigerator
	coldEggs       = "refrigerated-pickled-eggs"                // 2 to 3 months
)

// factsOf is a request for the shelf, packed at 14:05 on 15 August 2026, that follows a tested recipe (empty: none is near).
func factsOf(tested string, changes ...func(*document.Request)) *facts.Facts {
	all := loaded()
	request := &document.Request{Recipe: document.Recipe{Keep: document.KeepShelf}, Batch: &document.Batch{PackedAt: "2026-08-15T14:05:00Z"}}
	for _, change := range changes {
		change(request)
	}
	f := &facts.Facts{Request: request, Tables: all.tables, Units: all.units, Times: facts.ReadTimes(request)}
	f.Composition = composition.Read(request, all.tables, all.scale)
	if tested == "" {
		return f
	}
	recipe, ok := all.tables.Recipe(tested)
	if !ok {
		panic("no tested recipe " + tested)
	}
	f.Match = match.Match{Recipe: recipe}
	return f
}

func packed(text, offset string) func(*document.Request) {
	return func(r *document.Request) { r.Batch.PackedAt, r.Batch.UTCOffset = text, offset }
}

func noBatch(r *document.Request) { r.Batch = nil }

func refrigerated(r *document.Request) { r.Recipe.Keep = document.KeepRefrigerator }

func quantity(value float64, unit string) *document.Quantity {
	return &document.Quantity{Value: &value, Unit: unit}
}
