package validate

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/report"
)

// row is one tested recipe of pieces in one printed pack, in a jar that is printed or smaller.
type row struct {
	printed
	in string // id of the jar
}

func (r row) String() string { return r.printed.String() + " in " + r.in }

// pieceRows lists every recipe of pieces in each printed pack and jar, and each also in half-pints and 12-ounce jars where those are smaller.
func pieceRows() []row {
	var rows []row
	for _, p := range everyPrinted() {
		if !pieces(p) || p.recipe.Canner != "boiling_water" {
			continue
		}
		printedJar, _ := checker.tables.Jar(p.jar)
		rows = append(rows, row{p, p.jar})
		for _, id := range []string{"half-pint", "12-ounce"} {
			if jar, _ := checker.tables.Jar(id); jar.CapacityML < printedJar.CapacityML {
				rows = append(rows, row{p, id})
			}
		}
	}
	return rows
}

// request is that of a cook who follows the recipe and fills the fewest or the most printed jars, in whole jars of the size.
func (r row) request(t *testing.T, most bool, size float64) (document.Request, bool) {
	t.Helper()
	request, timed := r.printed.request(t, 500, false)
	from, _ := checker.tables.Jar(r.recipe.Yield.Unit)
	was, _ := checker.tables.Jar(r.jar)
	jar, _ := checker.tables.Jar(r.in)
	count := r.recipe.Yield.Low
	if most {
		count = r.recipe.Yield.High
	}
	request.Recipe.Jar = &document.Jar{ID: r.in}
	request.Recipe.Jars = new(math.Ceil(count*from.CapacityML/jar.CapacityML*size - 1e-9))
	each(&request, measured, func(i *document.Ingredient) {
		if i.Per == document.PerJar {
			times(jar.CapacityML / was.CapacityML)(i)
		} else {
			times(size)(i)
		}
	})
	// At the fewest jars the most of a printed range is packed.
	for i := range r.recipe.Ingredients {
		line := &r.recipe.Ingredients[i]
		if most || line.Amount == nil || *line.AmountMax == *line.Amount || line.Role != "low_acid" && line.Role != "acid_food" {
			continue
		}
		each(&request, func(w *document.Ingredient) bool {
			found, ok := checker.tables.Resolve(w.Item)
			return ok && found.Item.ID == line.Item && measured(w)
		}, times(*line.AmountMax / *line.Amount))
	}
	return request, timed
}

// Every recipe of pieces passes its own print: in each printed pack and jar and in smaller jars, at the fewest and at the most jars, whole,
// half and six times, in US and metric measures, and with stronger vinegar brought to the printed strength.
func TestPiecesPassTheirOwnPrint(t *testing.T) {
	done := 0
	for _, r := range pieceRows() {
		for _, most := range []bool{false, true} {
			for _, size := range []float64{1, 0.5, 6} {
				for _, how := range []string{"as printed", "metric", "vinegar of 5.5 %", "vinegar of 6 %"} {
					request, timed := r.request(t, most, size)
					if !timed {
						continue
					}
					switch how {
					case "metric":
						inMetric(r.printed, &request)
					case "vinegar of 5.5 %":
						thinned(&request, 5.5)
					case "vinegar of 6 %":
						thinned(&request, 6)
					}
					done++
					if got := check(t, request); got.Disposition != report.Shelf {
						t.Errorf("%s, most %v, %g times, %s: %s %v (compared with %s)", r, most, size, how, got.Disposition, spoken(got), got.Process.Recipe)
					}
				}
			}
		}
	}
	if done < 228*3*4 {
		t.Errorf("only %d requests", done)
	}
	t.Logf("%d requests, %d rows", done, len(pieceRows())*2)
}

// thinned takes stronger vinegar, less of it, and water for the rest.
func thinned(r *document.Request, percent float64) {
	var water []document.Ingredient
	each(r, both(vinegar, class(catalog.Acid)), func(i *document.Ingredient) {
		whole := *i.Amount.Value
		i.AcidityPercent = new(percent)
		i.Amount = q(whole*5/percent, i.Amount.Unit)
		water = append(water, document.Ingredient{Item: "water", Amount: q(whole*(1-5/percent), i.Amount.Unit), Per: i.Per})
	})
	r.Recipe.Ingredients = append(r.Recipe.Ingredients, water...)
}

// Poured on raw pieces, liquid that stays in the pot is worth nothing: just enough of it and a gallon too much get the same verdict and
// the same pH.
func TestPouredLiquidLeftOverIsNothing(t *testing.T) {
	done := 0
	for _, p := range everyPrinted() {
		if p.recipe.Packs[p.pack].JarClass != catalog.JarPoured {
			continue
		}
		request, timed := p.request(t, 500, false)
		if !timed {
			continue
		}
		printed := check(t, request)
		needed, over := named(printed.Derived, "brine_needed"), named(printed.Derived, "brine_left_over")
		if needed == nil || over == nil || over.Value < 0.01*needed.Value {
			continue // the print itself makes less than its jars may take
		}
		liquids := both(class(catalog.Acid, catalog.Water, catalog.Sugar, catalog.Salt, catalog.Fat), func(i *document.Ingredient) bool {
			return measured(i) && i.Per == document.PerBatch
		})
		made := needed.Value + over.Value
		enough, _ := p.request(t, 500, false)
		each(&enough, liquids, times(needed.Value/made))
		gallon, _ := p.request(t, 500, false)
		const gallonML = 3785.4
		each(&gallon, liquids, times(1+gallonML/made))
		just, more := check(t, enough), check(t, gallon)
		least, _ := derivedPH(just)
		most, _ := derivedPH(more)
		if just.Disposition != report.Shelf || more.Disposition != report.Shelf || math.Abs(least.Value-most.Value) > 0.011 {
			t.Errorf("%s: just enough is %s at pH %v, with a gallon more %s at pH %v: %v %v",
				p, just.Disposition, least.Value, more.Disposition, most.Value, spoken(just), spoken(more))
		}
		done++
	}
	if done < 15 {
		t.Errorf("only %d", done)
	}
}

// What the program makes of each printed recipe agrees with the figures of another program: food, liquid, acid. Outside truth:
// testdata/worked/jar_model.csv, reckoned from the same prints. Weights of cups differ between the two, and optional onions are counted
// here and not there.
func TestPrintedJarsAgree(t *testing.T) {
	file, err := os.Open("../testdata/worked/jar_model.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	done := 0
	for _, cells := range rows[1:] {
		value := func(column string) float64 {
			for i, name := range rows[0] {
				if name == column {
					number, _ := strconv.ParseFloat(cells[i], 64)
					return number
				}
			}
			panic(column)
		}
		recipe, ok := checker.tables.Recipe(cells[0])
		if !ok {
			t.Fatalf("no recipe %s", cells[0])
		}
		made, ok := checker.sources.Matcher.PrintedJar(recipe)
		if !ok {
			t.Errorf("%s: not known", recipe.ID)
			continue
		}
		done++
		sweetened := 0.0 // the other program takes sweeteners for nothing
		if slices.ContainsFunc(recipe.Ingredients, func(i catalog.TestedIngredient) bool {
			item, _ := checker.tables.Item(i.Item)
			return item != nil && item.Class == catalog.Sweetener
		}) {
			sweetened = 0.3
		}
		for _, c := range []struct {
			what      string
			got, want float64
			tolerance float64
		}{
			{"food", made.FoodG, value("food_g_high"), 0.23},
			{"liquid", made.Liquid.VolumeML(), value("liquid_made_mL"), 0.06 + sweetened},
			{"aqueous", made.Liquid.AqueousML, value("aqueous_mL"), 0.02},
			{"acetic", made.Liquid.Acid[0], value("acetic_g"), 0.01},
			{"citric", made.Liquid.Acid[1], value("citric_g"), 0.03},
			{"fewest", made.Least, value("printed_jars_low"), 0},
			{"most", made.Most, value("printed_jars_high"), 0},
		} {
			if math.Abs(c.got-c.want) > c.tolerance*c.want {
				t.Errorf("%s: %s %.1f, want %.1f", recipe.ID, c.what, c.got, c.want)
			}
		}
	}
	if done < 40 {
		t.Errorf("only %d", done)
	}
}
