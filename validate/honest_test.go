package validate

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// honest is a change of a followed recipe that an honest cook makes: another word, another unit, another batch. It reports false
// where the recipe has nothing to change.
type honest struct {
	name   string
	change func(p printed, r *document.Request) bool
}

// allInMetric writes every weight and volume, and the headspace, in metric units, to a hundredth.
func allInMetric(_ printed, r *document.Request) bool {
	changed := false
	for i := range r.Recipe.Ingredients {
		amount := r.Recipe.Ingredients[i].Amount
		if amount == nil || amount.Value == nil {
			continue
		}
		unit, _ := checker.units.Lookup(amount.Unit)
		hundredths := func(value float64) *float64 { return new(math.Round(value*100) / 100) }
		switch unit.Dimension {
		case measure.DimensionMass:
			amount.Value, amount.Unit, changed = hundredths(unit.SI(*amount.Value)*1e3), "g", true
		case measure.DimensionVolume:
			amount.Value, amount.Unit, changed = hundredths(unit.SI(*amount.Value)*1e6), "mL", true
		}
	}
	r.Recipe.Headspace.Value, r.Recipe.Headspace.Unit = new(*r.Recipe.Headspace.Value*25.4), "mm"
	r.Kitchen.Elevation.Value, r.Kitchen.Elevation.Unit = new(*r.Kitchen.Elevation.Value*0.3048), "m"
	return changed
}

// batchOf makes so many times the printed batch, in so many times the jars; the last is perhaps not full.
func batchOf(times float64) func(printed, *document.Request) bool {
	return func(_ printed, r *document.Request) bool {
		for i := range r.Recipe.Ingredients {
			if line := &r.Recipe.Ingredients[i]; line.Per == document.PerBatch && line.Amount != nil && line.Amount.Value != nil {
				line.Amount.Value = new(*line.Amount.Value * times)
			}
		}
		r.Recipe.Jars = new(math.Ceil(*r.Recipe.Jars * times))
		return true
	}
}

// vinegarCalled writes the vinegar by another name.
func vinegarCalled(name string) honest {
	return honest{name, func(_ printed, r *document.Request) bool {
		changed := false
		for i := range r.Recipe.Ingredients {
			line := &r.Recipe.Ingredients[i]
			if item, ok := checker.tables.Item(line.Item); ok && item.Family == "vinegar" {
				line.Item, changed = name, true
			}
		}
		return changed
	}}
}

// otherNames writes each food by one of the other names of the catalog, -1: by its id.
func otherNames(which int) honest {
	return honest{fmt.Sprintf("names %d", which), func(_ printed, r *document.Request) bool {
		changed := false
		for i := range r.Recipe.Ingredients {
			line := &r.Recipe.Ingredients[i]
			item, ok := checker.tables.Item(line.Item)
			switch {
			case !ok:
			case which < 0:
				line.Item, changed = item.ID, true
			case which < len(item.Aliases) && anotherFood(item, item.Aliases[which]):
			case which < len(item.Aliases):
				line.Item, changed = item.Aliases[which], true
			}
		}
		return changed
	}}
}

// anotherFood reports whether a name is that of another state of an item, of which the tested recipes do not speak: of white flesh, or
// preserved before.
func anotherFood(item *catalog.Item, name string) bool {
	white := strings.HasPrefix(name, "white ") && !strings.HasPrefix(item.Name, "white ")
	return white || strings.HasPrefix(name, "preserved ")
}

// jarInMilliliters gives the jar by its capacity and measures.
func jarInMilliliters(p printed, r *document.Request) bool {
	jar, _ := checker.tables.Jar(p.jar)
	of := func(value float64, unit string) *document.Quantity {
		return &document.Quantity{Value: &value, Unit: unit}
	}
	r.Recipe.Jar = &document.Jar{
		Capacity: of(math.Round(jar.CapacityML), "mL"), InteriorHeight: of(jar.InteriorHeightMM, "mm"), Mouth: of(jar.MouthMM, "mm"),
	}
	return true
}

func longer(_ printed, r *document.Request) bool {
	if r.Recipe.Process == nil {
		return false
	}
	r.Recipe.Process.Time.Value = new(*r.Recipe.Process.Time.Value + 5)
	return true
}

func timeInHours(_ printed, r *document.Request) bool {
	if r.Recipe.Process == nil {
		return false
	}
	r.Recipe.Process.Time.Value, r.Recipe.Process.Time.Unit = new(*r.Recipe.Process.Time.Value/60), "h"
	return true
}

// acidByVinegar sours tomatoes in quarts with 4 tbsp of some vinegar (usda-2015, p. 3-5).
func acidByVinegar(name string) honest {
	return honest{"soured with " + name, func(p printed, r *document.Request) bool {
		prints := false
		for i := range p.recipe.Ingredients {
			line := &p.recipe.Ingredients[i]
			prints = prints || line.Item == "vinegar" && line.Per == "quart" && line.AltGroup != "" && line.Doubt == ""
		}
		if !prints || p.jar != "quart" {
			return false
		}
		for i := range r.Recipe.Ingredients {
			if line := &r.Recipe.Ingredients[i]; line.Item == "bottled lemon juice" || line.Item == "lemon juice" {
				*line = document.Ingredient{
					Item: name, Amount: &document.Quantity{Value: new(4.0), Unit: "tbsp"}, Per: document.PerJar,
					AcidityPercent: new(5.0), Bottled: new(true),
				}
				return true
			}
		}
		return false
	}}
}

func honestChanges() []honest {
	all := []honest{
		{"metric", allInMetric},
		{"half a batch", batchOf(0.5)},
		{"six batches", batchOf(6)},
		{"the jar in milliliters", jarInMilliliters},
		{"five minutes longer", longer},
		{"the time in hours", timeInHours},
		vinegarCalled("vinegar"), vinegarCalled("white vinegar"), vinegarCalled("distilled white vinegar"), vinegarCalled("cider vinegar"),
		vinegarCalled("apple cider vinegar"), vinegarCalled("malt vinegar"),
		acidByVinegar("vinegar"), acidByVinegar("white vinegar"), acidByVinegar("cider vinegar"),
	}
	for which := -1; which < 5; which++ {
		all = append(all, otherNames(which))
	}
	return all
}

// TestHonestChangesKeepTheShelf makes each tested recipe as an honest cook does who uses other words and units: it stays fit for the
// shelf. Outside truth: a unit, a name, a batch of another size (usda-2015, p. 6-13 to 6-15) and a longer time change nothing; white
// and cider vinegar stand in for each other (p. 1-28) and sour tomatoes (p. 3-5).
func TestHonestChangesKeepTheShelf(t *testing.T) {
	every := 9
	if *full {
		every = 1
	}
	tried := map[string]int{}
	changes := honestChanges()
	for i, p := range everyPrinted() {
		for k, change := range changes {
			if soured := strings.HasPrefix(change.name, "soured"); (i+k)%every != 0 && !soured {
				continue
			}
			request, timed := p.request(t, 500, false)
			if !timed || check(t, request).Disposition != report.Shelf || !change.change(p, &request) {
				continue
			}
			tried[change.name]++
			if r := check(t, request); r.Disposition != report.Shelf {
				t.Errorf("%s, %s: %s", p, change.name, r.Summary.Text)
				for _, f := range aboveInfo(r) {
					t.Logf("   %s %s: %s", f.Rule, f.Outcome, f.Message)
				}
			}
		}
	}
	for _, change := range changes {
		if tried[change.name] < 3 {
			t.Errorf("%s was tried %d times", change.name, tried[change.name])
		}
	}
	t.Logf("%v", tried)
}

// TestHonestDocuments are false alarms that were mended, each with the page that says why it is none.
func TestHonestDocuments(t *testing.T) {
	corn := func(form string, value float64, unit string) string {
		return fmt.Sprintf(`[{"op": "replace", "path": "/recipe/ingredients/0/form", "value": %q},
			{"op": "replace", "path": "/recipe/ingredients/0/amount", "value": {"value": %v, "unit": %q}}]`, form, value, unit)
	}
	const raw = `[{"op": "replace", "path": "/recipe/pack", "value": "raw"}]`
	inJars := func(jar string, jars, garlic int) string {
		return fmt.Sprintf(`[{"op": "replace", "path": "/recipe/jar", "value": %q}, {"op": "replace", "path": "/recipe/jars", "value": %d},
			{"op": "replace", "path": "/recipe/ingredients/%d/amount", "value": {"value": 1, "unit": "clove"}},
			{"op": "replace", "path": "/recipe/ingredients/%d/per", "value": "jar"}]`, jar, jars, garlic, garlic)
	}
	pod := func(name, form string) string {
		return fmt.Sprintf(`[{"op": "add", "path": "/recipe/ingredients/-", "value": {"item": %q, "form": %q, "amount": {"value": 1, "unit": "each"}, "per": "jar"}}]`,
			name, form)
	}
	for _, test := range []struct{ name, corpus, patch, source string }{
		{"okra packed raw", "pickled-dilled-okra.json", raw, "usda-2015, p. 6-19: raw pods are packed and boiling brine is poured over"},
		{"jalapeno rings packed raw", "pickled-jalapeno-rings.json", raw, "usda-2015, p. 6-23"},
		{"yellow pepper rings packed raw", "pickled-yellow-pepper-rings.json", raw, "usda-2015, p. 6-24"},
		{"a clove in a 12-oz jar", "pickled-dilled-beans.json", inJars("12-ounce", 11, 2), "usda-2015, p. 6-14: a clove a pint; c107 halves by the half-pint"},
		{"a clove in a half-pint", "pickled-bell-peppers.json", inJars("half-pint", 18, 4), "usda-2015, p. 6-21: half a clove, of which a whole one is the least"},
		{"a dried chile pod", "pickled-dilled-beans.json", pod("dried chile", ""), "usda-2015, p. 6-14 has a pint's worth of dried pepper flakes"},
		{"dried chile pods", "quick-fresh-pack-dill-pickles.json", pod("dried chile pods", ""), "as above"},
		{"a dried red chili pepper", "pickled-carrots.json", pod("dried red chili pepper", "whole"), "as above"},
		{"corn cut from the cob, in cups", "pickled-corn-relish.json", corn("cut from the cob", 10, "cup"), "usda-2015, p. 6-25: 10 cups fresh whole kernel corn"},
		{"corn cut from cob, in ears", "pickled-corn-relish.json", corn("cut from cob", 16, "ear"), "usda-2015, p. 6-25: 16 to 20 medium-size ears"},
		{"corn cut from cob, frozen weight", "pickled-corn-relish.json", corn("cut from cob", 60, "oz"), "usda-2015, p. 6-25: six 10-ounce packages"},
		{
			"corn, cut from cob", "pickled-corn-relish.json",
			`[{"op": "replace", "path": "/recipe/ingredients/0/item", "value": "corn, cut from cob"}, {"op": "remove", "path": "/recipe/ingredients/0/form"}]`,
			"usda-2015, p. 6-25",
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := checkBytes(t, patched(t, readFile(t, "testdata", "corpus", test.corpus), []byte(test.patch)))
			if r.Disposition != report.Shelf {
				t.Errorf("%s (%s): %s", r.Disposition, test.source, r.Summary.Text)
				for _, f := range aboveInfo(r) {
					t.Logf("   %s %s: %s", f.Rule, f.Outcome, f.Message)
				}
			}
		})
	}
	// What stays a departure: corn on the cob is no kernels.
	whole := checkBytes(t, patched(t, readFile(t, "testdata", "corpus", "pickled-corn-relish.json"), []byte(corn("whole, on the cob", 16, "ear"))))
	if whole.Disposition == report.Shelf {
		t.Error("corn on the cob is fit for the shelf")
	}
}
