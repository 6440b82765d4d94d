package figures

import (
	"sync"
	"testing"

	"jarwright/validate/acidity"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/follow"
	"jarwright/validate/match"
	"jarwright/validate/measure"
)

// realSources are the real tables, read once for all tests.
var realSources = sync.OnceValues(func() (facts.Sources, error) {
	tables, err := catalog.Load()
	if err != nil {
		return facts.Sources{}, err
	}
	units, err := measure.LoadUnits()
	if err != nil {
		return facts.Sources{}, err
	}
	scale, err := composition.NewScale(tables, units)
	if err != nil {
		return facts.Sources{}, err
	}
	matcher, err := match.NewMatcher(tables, scale)
	if err != nil {
		return facts.Sources{}, err
	}
	chemistry, err := acidity.Load()
	if err != nil {
		return facts.Sources{}, err
	}
	chemistry.Know(tables.Items)
	return facts.Sources{Tables: tables, Units: units, Scale: scale, Matcher: matcher, Chemistry: chemistry}, nil
})

func realTables(t testing.TB) facts.Sources {
	t.Helper()
	from, err := realSources()
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

// factsOf works out what the rules see of a request.
func factsOf(t testing.TB, request document.Request) *facts.Facts {
	t.Helper()
	return facts.New(realTables(t), &request, false)
}

func inKitchen(recipe document.Recipe) document.Request {
	return document.Request{Recipe: recipe, Kitchen: &document.Kitchen{Elevation: amount(500, "ft")}}
}

// relish is 1 kg of cucumbers cut small, with half a liter of vinegar of 5 %, half a liter of water, 20 g of salt and 100 g of
// sugar.
func relish() document.Recipe {
	line := func(item string, value float64, unit string) document.Ingredient {
		return document.Ingredient{Item: item, Amount: amount(value, unit), Per: document.PerBatch}
	}
	vinegar := line("white vinegar", 500, "mL")
	vinegar.AcidityPercent, vinegar.Bottled = new(5.0), new(true)
	food := line("cucumber", 1, "kg")
	food.Form = "finely chopped"
	return document.Recipe{
		Kind: document.KindRelish, Keep: document.KeepShelf,
		Ingredients: []document.Ingredient{food, vinegar, line("water", 500, "mL"), line("salt", 20, "g"), line("sugar", 100, "g")},
	}
}
