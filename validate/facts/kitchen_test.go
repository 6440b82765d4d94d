package facts

import (
	"sync"
	"testing"

	"jarwright/validate/acidity"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/follow"
	"jarwright/validate/match"
	"jarwright/validate/measure"
)

// sources are the real tables, read once for all tests.
var sources = sync.OnceValues(func() (Sources, error) {
	tables, err := catalog.Load()
	if err != nil {
		return Sources{}, err
	}
	units, err := measure.LoadUnits()
	if err != nil {
		return Sources{}, err
	}
	scale, err := composition.NewScale(tables, units)
	if err != nil {
		return Sources{}, err
	}
	matcher, err := match.NewMatcher(tables, scale)
	if err != nil {
		return Sources{}, err
	}
	chemistry, err := acidity.Load()
	if err != nil {
		return Sources{}, err
	}
	chemistry.Know(tables.Items)
	return Sources{Tables: tables, Units: units, Scale: scale, Matcher: matcher, Chemistry: chemistry}, nil
})

func realTables(t testing.TB) Sources {
	t.Helper()
	from, err := sources()
	if err != nil {
		t.Fatal(err)
	}
	return from
}

func amount(value float64, unit string) *document.Quantity {
	return &document.Quantity{Value: &value, Unit: unit}
}

// dills is the request of a cook at 500 ft who follows fresh-pack dill pickles to the letter, in pints for 10 minutes.
func dills(t testing.TB) document.Request {
	t.Helper()
	tables := realTables(t).Tables
	recipe, ok := tables.Recipe("quick-fresh-pack-dill-pickles")
	if !ok {
		t.Fatal("the recipe is gone")
	}
	request, err := follow.Request(tables, recipe, follow.Choice{Jar: "pint", ElevationFeet: 500, Minutes: 10})
	if err != nil {
		t.Fatal(err)
	}
	return request
}

// factsOf works out what the rules see of dills, changed.
func factsOf(t testing.TB, edits ...func(*document.Request)) *Facts {
	t.Helper()
	request := dills(t)
	for _, edit := range edits {
		edit(&request)
	}
	return New(realTables(t), &request, false)
}
