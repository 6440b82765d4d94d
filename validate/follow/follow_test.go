package follow

import (
	"fmt"
	"slices"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
)

func loadTables(t *testing.T) *catalog.Tables {
	t.Helper()
	tables, err := catalog.Load()
	if err != nil {
		t.Fatal(err)
	}
	return tables
}

func recipeOf(t *testing.T, tables *catalog.Tables, id string) *catalog.TestedRecipe {
	t.Helper()
	recipe, ok := tables.Recipe(id)
	if !ok {
		t.Fatalf("no recipe %s", id)
	}
	return recipe
}

// Pickled dilled beans (Complete Guide, 2015, p. 6-14): 4 lb of beans, a clove of garlic a pint if you like, 4 cups each of
// vinegar of 5 % and water; about 8 pints, raw pack, half an inch of headspace, sterilized jars.
func TestRequestCopiesWhatIsPrinted(t *testing.T) {
	tables := loadTables(t)
	request, err := Request(tables, recipeOf(t, tables, "pickled-dilled-beans"), Choice{Jar: "pint", ElevationFeet: 500, Minutes: 5})
	if err != nil {
		t.Fatal(err)
	}
	r := &request.Recipe
	got := fmt.Sprintf("%g %s jars, %s pack, headspace %g %s, jars %s", *r.Jars, r.Jar.ID, r.Pack, *r.Headspace.Value, r.Headspace.Unit, r.JarPreparation)
	if got != "8 pint jars, raw pack, headspace 0.5 in, jars sterilized" {
		t.Error(got)
	}
	if *request.Kitchen.Elevation.Value != 500 || request.Kitchen.Elevation.Unit != "ft" || *r.Process.Time.Value != 5 {
		t.Errorf("%+v, %+v", request.Kitchen.Elevation, r.Process.Time)
	}
	found := map[string]bool{}
	for i := range r.Ingredients {
		line := &r.Ingredients[i]
		switch line.Item {
		case "white vinegar":
			found["vinegar"] = *line.Amount.Value == 4 && line.Amount.Unit == "cup" && *line.AcidityPercent == 5 && *line.Bottled
		case "garlic":
			found["garlic"] = line.Per == document.PerJar && *line.Amount.Value == 1
		case "salt":
			found["salt"] = line.SaltKind == document.SaltCanning && line.Form == ""
		case "green or yellow bean":
			found["beans"] = line.Piece != nil && *line.Piece.Length.Value == 4 && line.Per == document.PerBatch
		}
	}
	for _, name := range []string{"vinegar", "garlic", "salt", "beans"} {
		if !found[name] {
			t.Errorf("the line of the %s is not as printed: %+v", name, r.Ingredients)
		}
	}
}

func TestOptionalLinesCanBeLeftOut(t *testing.T) {
	tables := loadTables(t)
	recipe := recipeOf(t, tables, "pickled-dilled-beans")
	all, errAll := Request(tables, recipe, Choice{Jar: "pint"})
	plain, errPlain := Request(tables, recipe, Choice{Jar: "pint", WithoutExtras: true})
	if errAll != nil || errPlain != nil {
		t.Fatal(errAll, errPlain)
	}
	if len(all.Recipe.Ingredients) != len(recipe.Ingredients) || len(all.Recipe.Ingredients)-len(plain.Recipe.Ingredients) != 2 { // garlic and pepper flakes
		t.Errorf("%d lines with the optional ones, %d without", len(all.Recipe.Ingredients), len(plain.Recipe.Ingredients))
	}
	if all.Recipe.Process != nil {
		t.Error("no minutes were chosen, and there is a process")
	}
}

// A time above 30 minutes takes 2 in of water over the lids, any other 1 in (Complete Guide, p. 1-18).
func TestWaterOverTheLidsFollowsTheMinutes(t *testing.T) {
	tables := loadTables(t)
	recipe := recipeOf(t, tables, "pickled-beets")
	for _, test := range []struct{ minutes, inches float64 }{{1, 1}, {30, 1}, {30.5, 2}, {85, 2}} {
		t.Run(fmt.Sprintf("%g minutes", test.minutes), func(t *testing.T) {
			request, err := Request(tables, recipe, Choice{Jar: "quart", Minutes: test.minutes})
			if err != nil {
				t.Fatal(err)
			}
			if depth := request.Recipe.Process.WaterOverLids; *depth.Value != test.inches || depth.Unit != "in" {
				t.Errorf("%g %s of water, want %g in", *depth.Value, depth.Unit, test.inches)
			}
		})
	}
}

func TestJarsAreThePrintedYieldInTheChosenJar(t *testing.T) {
	tables := loadTables(t)
	recipe := recipeOf(t, tables, "pickled-beets") // 8 pints
	for jar, want := range map[string]float64{"pint": 8, "quart": 4} {
		t.Run(jar, func(t *testing.T) {
			request, err := Request(tables, recipe, Choice{Jar: jar})
			if err != nil {
				t.Fatal(err)
			}
			if *request.Recipe.Jars != want {
				t.Errorf("%g jars, want %g", *request.Recipe.Jars, want)
			}
		})
	}
}

func TestWhatIsPouredAwayIsMarked(t *testing.T) {
	tables := loadTables(t)
	request, err := Request(tables, recipeOf(t, tables, "pickled-beets"), Choice{Jar: "pint"})
	if err != nil {
		t.Fatal(err)
	}
	var drained []string
	for i := range request.Recipe.Ingredients {
		if line := &request.Recipe.Ingredients[i]; line.Drained != nil && *line.Drained {
			drained = append(drained, line.Amount.Unit)
		}
	}
	if !slices.Equal(drained, []string{"stick", "each", "to_cover"}) { // the spice bag and the cooking water
		t.Errorf("poured away or lifted out: lines measured in %q", drained)
	}
}

func TestRequestRefusesWhatIsNotPrinted(t *testing.T) {
	tables := loadTables(t)
	recipe := recipeOf(t, tables, "pickled-dilled-beans")
	for name, choice := range map[string]Choice{
		"a jar that the pack does not have": {Jar: "quart"},
		"a pack after the last":             {Pack: 1, Jar: "pint"},
		"a pack before the first":           {Pack: -1, Jar: "pint"},
		"a jar that no table has":           {Jar: "bucket"},
		"no jar":                            {},
	} {
		t.Run(name, func(t *testing.T) {
			if request, err := Request(tables, recipe, choice); err == nil {
				t.Errorf("written: %+v", request.Recipe)
			}
		})
	}
}

// Dilled beans: 5, 10 and 15 minutes at 0 to 1,000 ft, to 6,000 ft and above (Complete Guide, p. 6-14).
func TestMinutesAreThoseOfThePrintedBand(t *testing.T) {
	tables := loadTables(t)
	recipe := recipeOf(t, tables, "pickled-dilled-beans")
	for _, test := range []struct{ feet, minutes float64 }{{0, 5}, {1000, 5}, {1001, 10}, {6000, 10}, {6001, 15}} {
		t.Run(fmt.Sprintf("%g ft", test.feet), func(t *testing.T) {
			minutes, ok := MinutesAt(tables, recipe, 0, "pint", measure.Length(test.feet)*measure.Foot)
			if !ok || minutes != test.minutes {
				t.Errorf("%g minutes (%v), want %g", minutes, ok, test.minutes)
			}
		})
	}
	t.Run("a jar without a row", func(t *testing.T) {
		if minutes, ok := MinutesAt(tables, recipe, 0, "quart", 0); ok {
			t.Errorf("%g minutes for a jar that is not printed", minutes)
		}
	})
}
