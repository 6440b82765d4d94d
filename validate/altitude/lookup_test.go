package altitude

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"jarwright/validate/catalog"
	"jarwright/validate/measure"
	"jarwright/validate/table"
)

func newLookup(t testing.TB) *Lookup {
	t.Helper()
	tables, err := catalog.Load()
	if err != nil {
		t.Fatal(err)
	}
	units, err := measure.LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	return NewLookup(tables, units)
}

func recipeOf(t *testing.T, l *Lookup, id string) *catalog.TestedRecipe {
	t.Helper()
	recipe, ok := l.Recipe(id)
	if !ok {
		t.Fatalf("no recipe %s", id)
	}
	return recipe
}

func ask(t *testing.T, l *Lookup, q Question) Conditions {
	t.Helper()
	at, err := l.At(q)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// Complete Guide to Home Canning (2015): its pickle tables have the bands 0 to 1,000, to 6,000 and above, its tomato tables
// 0 to 1,000, to 3,000, to 6,000 and above; exactly 1,000 ft is the lowest band of both.
func TestBandsOfThePrintedTables(t *testing.T) {
	l := newLookup(t)
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
		t.Run(fmt.Sprintf("%g ft", test.feet), func(t *testing.T) {
			at := ask(t, l, Question{Elevation: measure.Length(test.feet) * measure.Foot})
			var sizes, numbers []int
			for _, band := range at.Bands {
				sizes, numbers = append(sizes, band.BandsInTable), append(numbers, band.Number)
				if test.feet > 1000 && (band.FromFt >= test.feet || band.ToFt != nil && *band.ToFt < test.feet) {
					t.Errorf("band %+v does not hold it", band)
				}
			}
			if !slices.Equal(sizes, []int{3, 4}) || !slices.Equal(numbers, test.numbers) {
				t.Errorf("bands %v of %v, want %v of [3 4]", numbers, sizes, test.numbers)
			}
		})
	}
}

// Dilled beans: 5, 10 and 15 minutes (Complete Guide, p. 6-14).
func TestMinutesOfARecipeAreThoseOfItsBand(t *testing.T) {
	l := newLookup(t)
	beans := recipeOf(t, l, "pickled-dilled-beans")
	for _, test := range []struct{ feet, minutes float64 }{{500, 5}, {1000, 5}, {1001, 10}, {5200, 10}, {6000, 10}, {6001, 15}, {7000, 15}} {
		t.Run(fmt.Sprintf("%g ft", test.feet), func(t *testing.T) {
			at := ask(t, l, Question{Elevation: measure.Length(test.feet) * measure.Foot, Recipe: beans})
			if rows := at.Recipe.Rows; len(rows) != 1 || rows[0].Minutes == nil || *rows[0].Minutes != test.minutes || !rows[0].SteamAllowed {
				t.Errorf("%+v, want %g minutes, steam allowed", rows, test.minutes)
			}
		})
	}
}

// Tomatoes in juice: 85 minutes at sea level, beyond what a steam canner may run (45 minutes, addendum of the National Center
// for Home Food Preservation, 2015).
func TestSteamIsNotAllowedForLongTimes(t *testing.T) {
	l := newLookup(t)
	at := ask(t, l, Question{Recipe: recipeOf(t, l, "tomatoes-in-juice-acidified")})
	if !at.Steam.Matters || at.Steam.RowsOver != len(at.Recipe.Rows) || at.Steam.LimitMinutes != 45 {
		t.Errorf("tomatoes in juice: %+v", at.Steam)
	}
	for _, row := range at.Recipe.Rows {
		if row.SteamAllowed || *row.Minutes != 85 {
			t.Errorf("tomatoes in juice: %+v", row)
		}
	}
}

func TestRecipeForPressureAloneHasNoRows(t *testing.T) {
	l := newLookup(t)
	if at := ask(t, l, Question{Recipe: recipeOf(t, l, "mexican-tomato-sauce")}); len(at.Recipe.Rows) != 0 || at.Recipe.Text == "" {
		t.Errorf("pressure only: %+v", at.Recipe)
	}
}

// At 2,000 ft the books' rule makes 11 to 12 minutes of a 10-minute pickle, for which the table prints 15: the table wins.
func TestRulesOfThumbBesideTheTable(t *testing.T) {
	l := newLookup(t)
	okra := recipeOf(t, l, "pickled-dilled-okra") // 10, 15 and 20 minutes (Complete Guide)
	at := ask(t, l, Question{Elevation: 2000 * measure.Foot, Recipe: okra})
	row := at.Recipe.Rows[0]
	want := ThumbDeparture{ID: "minutes-per-thousand-feet", Low: 11, High: 12, Verdict: ThumbTooShort}
	if *row.Minutes != 15 || !slices.Contains(row.RulesOfThumb, want) {
		t.Errorf("%+v, want 15 minutes and %+v beside them", row, want)
	}
	for _, thumb := range at.RulesOfThumb {
		if thumb.ID == want.ID && (thumb.TooShort != len(at.Recipe.Rows) || thumb.Text == "") {
			t.Errorf("%+v", thumb)
		}
		if thumb.Quantity == ThumbBoilingPoint && (*thumb.BoilingF != 208 || math.Abs(*thumb.OffByF) > 1) {
			t.Errorf("%+v, want 208 °F", thumb)
		}
	}
}

// A kitchen that says 5,200 ft and boils at 94 °C is told that 94 °C is about 1,795 m (ExampleImpliedElevationM).
func TestThermometerIsComparedWithTheElevationGiven(t *testing.T) {
	l := newLookup(t)
	boiling := measure.Temperature(94 + 273.15)
	for _, test := range []struct {
		meters float64
		agrees bool
	}{{1585, false}, {1800, true}, {1940, true}, {2500, false}} {
		t.Run(fmt.Sprintf("%g m", test.meters), func(t *testing.T) {
			at := ask(t, l, Question{Elevation: measure.Length(test.meters), BoilingPoint: &boiling})
			if th := at.Thermometer; th == nil || th.ImpliedElevationM != 1795 || th.LowM != 1645 || th.HighM != 1945 || th.Agrees != test.agrees {
				t.Errorf("%+v", th)
			}
		})
	}
}

func TestElevationsOutsideTheLimitsAreRefused(t *testing.T) {
	l := newLookup(t)
	for _, elevation := range []measure.Length{-1500.1 * measure.Foot, 30000.1 * measure.Foot, measure.Length(math.NaN())} {
		if _, err := l.At(Question{Elevation: elevation}); !errors.Is(err, table.ErrRange) {
			t.Errorf("%v: error %v", elevation, err)
		}
	}
	cold := measure.Temperature(0)
	if _, err := l.At(Question{BoilingPoint: &cold}); !errors.Is(err, table.ErrRange) {
		t.Errorf("boiling at nothing: %v", err)
	}
	lowest, highest := l.BoilingLimits()
	if lowest.Celsius() > 70 || lowest.Celsius() < 65 || highest.Celsius() < 100 || highest.Celsius() > 103 {
		t.Errorf("boiling limits %g to %g °C", lowest.Celsius(), highest.Celsius())
	}
}

func TestNearestRecipeIsProposed(t *testing.T) {
	l := newLookup(t)
	for wrong, want := range map[string]string{"pickled-diled-beans": "pickled-dilled-beans", "lutefisk": ""} {
		t.Run(wrong, func(t *testing.T) {
			if got := l.NearestRecipe(wrong); got != want {
				t.Errorf("nearest is %q, want %q", got, want)
			}
		})
	}
}

// A higher kitchen is never told fewer minutes, of any recipe, and never a hotter boil.
func TestHigherKitchenNeverFewerMinutes(t *testing.T) {
	l := newLookup(t)
	var ids []string
	for i := range l.tables.Recipes {
		ids = append(ids, l.tables.Recipes[i].ID)
	}
	rapid.Check(t, func(t *rapid.T) {
		recipe, _ := l.Recipe(rapid.SampledFrom(ids).Draw(t, "recipe"))
		low := rapid.Float64Range(-1500, 30000).Draw(t, "low")
		high := rapid.Float64Range(low, 30000).Draw(t, "high")
		below, errLow := l.At(Question{Elevation: measure.Length(low) * measure.Foot, Recipe: recipe})
		above, errHigh := l.At(Question{Elevation: measure.Length(high) * measure.Foot, Recipe: recipe})
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
