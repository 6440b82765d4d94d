// Package follow writes the request of a cook who follows a tested recipe to the letter: a start for one's own recipe, and
// the corpus that the rules are tested with. It copies what is printed and decides nothing.
package follow

import (
	"fmt"
	"math"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
)

// Choice says which of the printed ways is followed.
type Choice struct {
	Pack          int     // index into TestedRecipe.Packs
	Jar           string  // id of Jar, one of the pack's jars
	ElevationFeet float64 // of the kitchen
	Minutes       float64 // of process; 0 leaves the process out
	WithoutExtras bool    // leave out what is printed as optional
}

// vinegarStrengthLimit names the strength a cook who follows the guide uses where the recipe itself prints none (p. 1-28).
const vinegarStrengthLimit = "vinegar-acidity-min"

// Request writes the request. It fails when the choice is not printed.
func Request(tables *catalog.Tables, recipe *catalog.TestedRecipe, choice Choice) (document.Request, error) {
	if choice.Pack < 0 || choice.Pack >= len(recipe.Packs) {
		return document.Request{}, fmt.Errorf("following %s: it has no pack %d", recipe.ID, choice.Pack)
	}
	pack := &recipe.Packs[choice.Pack]
	if !slices.Contains(pack.Jars, choice.Jar) {
		return document.Request{}, fmt.Errorf("following %s: %s is not printed for %s pack", recipe.ID, choice.Jar, pack.Pack)
	}
	jar, ok := tables.Jar(choice.Jar)
	if !ok {
		return document.Request{}, fmt.Errorf("following %s: no jar %s", recipe.ID, choice.Jar)
	}
	r := document.Recipe{
		Name: recipe.Title, Kind: recipe.Kind, Keep: recipe.Keep, Jar: &document.Jar{ID: choice.Jar}, Pack: pack.Pack,
		Headspace: quantity(pack.HeadspaceIn, "in"), JarPreparation: document.JarsHot, Jars: new(jars(tables, recipe, jar)),
	}
	if pack.SolidsHeadspaceIn > 0 {
		r.SolidsHeadspace = quantity(pack.SolidsHeadspaceIn, "in")
	}
	if pack.SterileJars {
		r.JarPreparation = document.JarsSterilized
	}
	seen := map[string]bool{}
	for i := range recipe.Ingredients {
		line := &recipe.Ingredients[i]
		if line.AltGroup != "" && seen[line.AltGroup] || choice.WithoutExtras && line.Optional {
			continue
		}
		seen[line.AltGroup] = true
		ingredient, err := written(tables, line, jar)
		if err != nil {
			return document.Request{}, fmt.Errorf("following %s: line %d: %w", recipe.ID, i, err)
		}
		r.Ingredients = append(r.Ingredients, ingredient)
	}
	r.Steps = steps(tables, recipe, pack)
	if choice.Minutes > 0 {
		depth := tables.MustLimit("water-over-lids-min")
		if choice.Minutes > tables.MustLimit("water-over-lids-long-over").Value {
			depth = tables.MustLimit("water-over-lids-long-min")
		}
		r.Process = &document.Process{Method: document.MethodBoilingWater, Time: quantity(choice.Minutes, "min"), WaterOverLids: quantity(depth.Value, depth.Unit)}
	}
	return document.Request{Recipe: r, Kitchen: &document.Kitchen{Elevation: quantity(choice.ElevationFeet, "ft")}}, nil
}

// steps lists what the recipe demands on the way for one pack, with the least printed times. Of a ferment the first, warm
// condition is followed. What is compared elsewhere, or for jars that need not be sterile, is left out.
func steps(tables *catalog.Tables, recipe *catalog.TestedRecipe, pack *catalog.TestedPack) []document.Step {
	var list []document.Step
	fermented := false
	for i := range recipe.Steps {
		row := &recipe.Steps[i]
		kind, found := tables.StepKind(row.Step)
		if !found || kind.Judged == catalog.StepWord || row.Pack != "" && row.Pack != pack.Pack || row.Step == "sterile_jars" && !pack.SterileJars {
			continue
		}
		if kind.Judged == catalog.StepFerment {
			if fermented {
				continue
			}
			fermented = true
		}
		step := document.Step{Step: row.Step, Place: row.Place}
		if kind.Time && row.Value != nil {
			step.Time = quantity(*row.Value, row.Unit)
		}
		if kind.Temperature && row.TemperatureF != nil {
			step.Temperature = quantity(*row.TemperatureF, "F")
		}
		list = append(list, step)
	}
	return list
}

// jars is how many jars of this size the printed yield fills, the last one perhaps not full.
func jars(tables *catalog.Tables, recipe *catalog.TestedRecipe, jar *catalog.Jar) float64 {
	count := recipe.Yield.High
	if unit, ok := tables.Jar(recipe.Yield.Unit); ok {
		count = math.Ceil(count*unit.CapacityML/jar.CapacityML - 1e-9)
	}
	return max(count, 1)
}

func quantity(value float64, unit string) *document.Quantity {
	return &document.Quantity{Value: &value, Unit: unit}
}

func written(tables *catalog.Tables, line *catalog.TestedIngredient, jar *catalog.Jar) (document.Ingredient, error) {
	item, ok := tables.Item(line.Item)
	if !ok {
		return document.Ingredient{}, fmt.Errorf("no item %s", line.Item)
	}
	w := document.Ingredient{Item: item.Name, Per: document.PerBatch}
	w.Form, w.Piece = formAndPiece(line.Form)
	switch {
	case line.Amount != nil:
		value := *line.Amount
		if per, ok := tables.Jar(line.Per); ok {
			w.Per = document.PerJar
			value *= jar.CapacityML / per.CapacityML
		} else if line.Per == document.PerJar {
			w.Per = document.PerJar
		}
		w.Amount = quantity(value, line.Unit)
	case line.Unit == "to_cover" || line.Unit == "as_needed":
		w.Amount = &document.Quantity{Unit: line.Unit}
	default:
		w.Amount = &document.Quantity{Unit: "as_needed"} // the amount was lost in the copy read
	}
	if line.GoesInto == "discarded" || line.GoesInto == "partly" {
		w.Drained = new(true)
	}
	switch item.Class {
	case catalog.Acid:
		if w.Drained != nil && w.Form == "" {
			w.Form = "cooked with the food and poured off"
		}
		if item.Family == "vinegar" {
			w.AcidityPercent = new(tables.MustLimit(vinegarStrengthLimit).Value)
			if line.VinegarKind == "white" || line.VinegarKind == "cider" {
				w.Item = line.VinegarKind + " vinegar"
			}
		}
		if item.ID != "citric-acid" {
			w.Bottled = new(true)
		}
	case catalog.Salt:
		w.SaltKind, w.Form = document.SaltCanning, ""
	case catalog.Firming:
		if item.ID == "pickling-lime" {
			w.Rinses = new(tables.MustLimit("lime-rinses-min").Value)
		}
	}
	return w, nil
}

// formAndPiece parts the printed form into the words for the cut and the sizes that matter for it: length and diameter of
// whole pieces, thickness of cut ones.
func formAndPiece(text string) (string, *document.Piece) {
	form := composition.ReadForm(text)
	var piece document.Piece
	inches := func(mm float64) *document.Quantity { return quantity(measure.Round(mm/25.4, 4), "in") }
	whole := form.Coarsest >= composition.Strips
	switch {
	case !whole && form.ThicknessMM > 0:
		piece.Thickness = inches(form.ThicknessMM)
	case whole && form.LengthMM > 0:
		piece.Length = inches(form.LengthMM)
	case whole && form.DiameterMM > 0:
		piece.Thickness = inches(form.DiameterMM)
	default:
		return text, nil
	}
	if words := composition.WithoutSizes(text); words != "" {
		text = words
	}
	return text, &piece
}

// Schedules lists the time table rows for one pack and jar of a recipe.
func Schedules(tables *catalog.Tables, recipe *catalog.TestedRecipe, pack int, jar string) []*catalog.Schedule {
	var rows []*catalog.Schedule
	for _, id := range recipe.Packs[pack].Schedules {
		if row, ok := tables.Schedule(id); ok && row.Jar == jar {
			rows = append(rows, row)
		}
	}
	return rows
}

// MinutesAt is the printed time for one pack and jar at an elevation; it reports false when none is printed.
func MinutesAt(tables *catalog.Tables, recipe *catalog.TestedRecipe, pack int, jar string, elevation measure.Length) (float64, bool) {
	for _, row := range Schedules(tables, recipe, pack, jar) {
		if band, ok := row.Band(elevation); ok {
			return band.Minutes, true
		}
	}
	return 0, false
}
