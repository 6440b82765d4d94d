package altitude

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"jarwright/validate/catalog"
	"jarwright/validate/measure"
	"jarwright/validate/table"
)

func guide(t testing.TB) *Guide {
	t.Helper()
	tables, err := catalog.Load()
	if err != nil {
		t.Fatal(err)
	}
	units, err := measure.LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	return NewGuide(tables, units)
}

func ask(t *testing.T, g *Guide, q Question) Place {
	t.Helper()
	place, err := g.At(q)
	if err != nil {
		t.Fatal(err)
	}
	return place
}

// Complete Guide to Home Canning (2015): its pickle tables have the bands 0 to 1,000, to 6,000 and above, its tomato tables
// 0 to 1,000, to 3,000, to 6,000 and above; exactly 1,000 ft is the lowest band of both.
func TestBandsOfThePrintedTables(t *testing.T) {
	g := guide(t)
	for _, test := range []struct {
		feet    float64
		numbers []int // of the three-band and the four-band tables
	}{
		{-500, []int{1, 1}},
		{0, []int{1, 1}},
		{1000, []int{1, 1}},
		{1000.5, []int{2, 2}},
		{3000, []int{2, 2}},
		{5200, []int{2, 3}},
		{6000, []int{2, 3}},
		{6001, []int{3, 4}},
		{30000, []int{3, 4}},
	} {
		place := ask(t, g, Question{Elevation: measure.Length(test.feet) * measure.Foot})
		var sizes, numbers []int
		for _, band := range place.Bands {
			sizes, numbers = append(sizes, band.BandsInTable), append(numbers, band.Number)
			if test.feet > 1000 && (band.FromFt >= test.feet || band.ToFt != nil && *band.ToFt < test.feet) {
				t.Errorf("%g ft: band %+v does not hold it", test.feet, band)
			}
		}
		if !slices.Equal(sizes, []int{3, 4}) || !slices.Equal(numbers, test.numbers) {
			t.Errorf("%g ft: bands %v of %v, want %v of [3 4]", test.feet, numbers, sizes, test.numbers)
		}
	}
}

// Dilled beans: 5, 10 and 15 minutes (Complete Guide, p. 6-14). Tomatoes in juice: 85 minutes at sea level, beyond what a
// steam canner may run (45 minutes, addendum of the National Center for Home Food Preservation, 2015).
func TestRecipeAtAnElevation(t *testing.T) {
	g := guide(t)
	beans, ok := g.Recipe("pickled-dilled-beans")
	if !ok {
		t.Fatal("no dilled beans")
	}
	for feet, want := range map[float64]float64{500: 5, 5200: 10, 7000: 15} {
		place := ask(t, g, Question{Elevation: measure.Length(feet) * measure.Foot, Recipe: beans})
		if rows := place.Recipe.Rows; len(rows) != 1 || rows[0].Minutes == nil || *rows[0].Minutes != want || !rows[0].SteamAllowed {
			t.Errorf("%g ft: %+v, want %g minutes, steam allowed", feet, rows, want)
		}
	}
	juice, ok := g.Recipe("tomatoes-in-juice-acidified")
	if !ok {
		t.Fatal("no tomatoes in juice")
	}
	place := ask(t, g, Question{Recipe: juice})
	if !place.Steam.Matters || place.Steam.RowsOver != len(place.Recipe.Rows) {
		t.Errorf("tomatoes in juice: %+v", place.Steam)
	}
	for _, row := range place.Recipe.Rows {
		if row.SteamAllowed || *row.Minutes != 85 {
			t.Errorf("tomatoes in juice: %+v", row)
		}
	}
	sauce, ok := g.Recipe("mexican-tomato-sauce")
	if !ok {
		t.Fatal("no Mexican tomato sauce")
	}
	if place := ask(t, g, Question{Recipe: sauce}); len(place.Recipe.Rows) != 0 || place.Recipe.Text == "" {
		t.Errorf("pressure only: %+v", place.Recipe)
	}
}

// At 2,000 ft the books' rule makes 11 to 12 minutes of a 10-minute pickle, for which the table prints 15: the table wins.
func TestRulesOfThumbBesideTheTable(t *testing.T) {
	g := guide(t)
	okra, ok := g.Recipe("pickled-dilled-okra") // 10, 15 and 20 minutes (Complete Guide)
	if !ok {
		t.Fatal("no okra")
	}
	place := ask(t, g, Question{Elevation: 2000 * measure.Foot, Recipe: okra})
	row := place.Recipe.Rows[0]
	want := ThumbMinutesHere{ID: "minutes-per-thousand-feet", Low: 11, High: 12, Verdict: ThumbTooShort}
	if *row.Minutes != 15 || !slices.Contains(row.RulesOfThumb, want) {
		t.Errorf("%+v, want 15 minutes and %+v beside them", row, want)
	}
	for _, thumb := range place.RulesOfThumb {
		if thumb.ID == want.ID && (thumb.TooShort != len(place.Recipe.Rows) || thumb.Text == "") {
			t.Errorf("%+v", thumb)
		}
		if thumb.Quantity == ThumbBoilingPoint && (*thumb.BoilingF != 208 || math.Abs(*thumb.OffByF) > 1) {
			t.Errorf("%+v, want 208 °F", thumb)
		}
	}
}

// A kitchen that says 5,200 ft and boils at 94 °C is told that 94 °C is about 1,795 m (ExampleImpliedElevationM).
func TestThermometer(t *testing.T) {
	g := guide(t)
	boiling := measure.Temperature(94 + 273.15)
	for _, test := range []struct {
		meters float64
		agrees bool
	}{{1585, false}, {1800, true}, {1940, true}, {2500, false}} {
		place := ask(t, g, Question{Elevation: measure.Length(test.meters), BoilingPoint: &boiling})
		if th := place.Thermometer; th == nil || th.ImpliedElevationM != 1795 || th.LowM != 1645 || th.HighM != 1945 || th.Agrees != test.agrees {
			t.Errorf("%g m: %+v", test.meters, th)
		}
	}
}

func TestPlaceLimits(t *testing.T) {
	g := guide(t)
	for _, elevation := range []measure.Length{-1500.1 * measure.Foot, 30000.1 * measure.Foot, measure.Length(math.NaN())} {
		if _, err := g.At(Question{Elevation: elevation}); !errors.Is(err, table.ErrRange) {
			t.Errorf("%v: error %v", elevation, err)
		}
	}
	cold := measure.Temperature(0)
	if _, err := g.At(Question{BoilingPoint: &cold}); !errors.Is(err, table.ErrRange) {
		t.Errorf("boiling at nothing: %v", err)
	}
	lowest, highest := g.BoilingLimits()
	if lowest.Celsius() > 70 || lowest.Celsius() < 65 || highest.Celsius() < 100 || highest.Celsius() > 103 {
		t.Errorf("boiling limits %g to %g °C", lowest.Celsius(), highest.Celsius())
	}
}

// A higher kitchen is never told fewer minutes, of any recipe, and never a hotter boil.
func TestHigherKitchenNeverFewerMinutes(t *testing.T) {
	g := guide(t)
	ids := g.RecipeIDs()
	rapid.Check(t, func(t *rapid.T) {
		recipe, _ := g.Recipe(rapid.SampledFrom(ids).Draw(t, "recipe"))
		low := rapid.Float64Range(-1500, 30000).Draw(t, "low")
		high := rapid.Float64Range(low, 30000).Draw(t, "high")
		below, errLow := g.At(Question{Elevation: measure.Length(low) * measure.Foot, Recipe: recipe})
		above, errHigh := g.At(Question{Elevation: measure.Length(high) * measure.Foot, Recipe: recipe})
		if errLow != nil || errHigh != nil {
			t.Fatal(errLow, errHigh)
		}
		if above.BoilingPointC > below.BoilingPointC || above.JarSterilizing.Minutes < below.JarSterilizing.Minutes {
			t.Fatalf("%g ft: %+v, %g ft: %+v", low, below, high, above)
		}
		for i, row := range above.Recipe.Rows {
			if lower := below.Recipe.Rows[i]; row.Minutes != nil && lower.Minutes != nil && *row.Minutes < *lower.Minutes {
				t.Fatalf("%s: %g min at %g ft, %g min at %g ft", row.Schedule, *lower.Minutes, low, *row.Minutes, high)
			}
		}
	})
}
