package figures

import (
	"testing"

	"jarwright/validate/document"
)

// What heats: the coldest spot of a recipe reaches 160 °F sooner hot than raw, and a stricter target leaves a smaller share.
func TestHeatingFiguresFollowPackAndTarget(t *testing.T) {
	recipe := func(pack string) document.Recipe {
		minutes, inch := 15.0, 0.5
		return document.Recipe{
			Jar: &document.Jar{ID: "pint"}, Pack: pack, Headspace: &document.Quantity{Value: &inch, Unit: "in"},
			Process: &document.Process{Method: document.MethodBoilingWater, Time: &document.Quantity{Value: &minutes, Unit: "min"}},
			Ingredients: []document.Ingredient{{
				Item: "cucumber", Form: "spears", Per: "batch",
				Piece: &document.Piece{Thickness: &document.Quantity{Value: new(25.0), Unit: "mm"}},
			}},
		}
	}
	mild, strict := 3.9, 4.4
	raw, curves := Heating(factsOf(t, inKitchen(recipe(document.PackRaw))), &strict)
	hot, _ := Heating(factsOf(t, inKitchen(recipe(document.PackHot))), &strict)
	easier, _ := Heating(factsOf(t, inKitchen(recipe(document.PackRaw))), &mild)
	if len(raw) != 5 || len(hot) != 5 || len(easier) != 5 || len(curves) != 2 {
		t.Fatalf("%d, %d and %d figures, %d curves", len(raw), len(hot), len(easier), len(curves))
	}
	const reach, lethality, share = 0, 3, 4
	if raw[reach].Name != "minutes_to_160_f" || *hot[reach].Low > *raw[reach].Low {
		t.Errorf("160 °F: raw %+v, hot %+v", raw[reach], hot[reach])
	}
	if raw[lethality].Value > hot[lethality].Value || *raw[share].High >= *easier[share].High {
		t.Errorf("raw %+v, hot %+v, at pH 3.9 %+v", raw[share], hot[share], easier[share])
	}
	tooHigh := 4.7
	if unknown, _ := Heating(factsOf(t, inKitchen(recipe(document.PackRaw))), &tooHigh); len(unknown) != lethality {
		t.Errorf("above pH 4.6 no heating in boiling water is enough, but there are %d figures", len(unknown))
	}
	bare := recipe(document.PackRaw)
	bare.Process.Time = nil
	if list, curves := Heating(factsOf(t, inKitchen(bare)), nil); list != nil || curves != nil {
		t.Errorf("without a time: %+v", list)
	}
}
