package composition

import (
	"math"
	"slices"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
)

// kitchen is what recipes are read with.
type kitchen struct {
	tables *catalog.Tables
	units  *measure.Units
	scale  *Scale
}

func loadKitchen(t *testing.T) kitchen {
	t.Helper()
	tables, err := catalog.Load()
	if err != nil {
		t.Fatal(err)
	}
	units, err := measure.LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	scale, err := NewScale(tables, units)
	if err != nil {
		t.Fatal(err)
	}
	return kitchen{tables, units, scale}
}

func (k kitchen) read(assume *document.Assume, lines ...document.Ingredient) Composition {
	return Read(&document.Request{Recipe: document.Recipe{Ingredients: lines}, Assume: assume}, k.tables, k.scale)
}

func (k kitchen) line(assume *document.Assume, line document.Ingredient) Line {
	return k.read(assume, line).Lines[0]
}

func quantity(value float64, unit string) *document.Quantity {
	return &document.Quantity{Value: &value, Unit: unit}
}

// What a line says of itself: where it stands, whose it is and where it ends up.
func TestLines(t *testing.T) {
	k := loadKitchen(t)
	read := k.read(nil,
		document.Ingredient{Item: "onions", Amount: quantity(2, "lb"), Per: document.PerBatch},
		document.Ingredient{Item: "moon rock", Amount: quantity(1, "cup"), Per: document.PerJar},
	)
	onion, unknown := read.Lines[0], read.Lines[1]
	if onion.At != "/recipe/ingredients/0" || onion.Item == nil || onion.Item.ID != "onion" || onion.Name != "onions" || onion.PerJar {
		t.Errorf("%+v", onion)
	}
	if unknown.At != "/recipe/ingredients/1" || unknown.Item != nil || unknown.Class != catalog.LowAcid || !unknown.PerJar || !unknown.IsFood() {
		t.Errorf("what nobody knows is not low-acid food: %+v", unknown)
	}
	if juice := k.line(nil, document.Ingredient{Item: "fresh lemon juice", Form: "strained"}); !juice.Form.Has("fresh") || !juice.Form.Has("strained") {
		t.Errorf("what the name says is lost: %+v", juice.Form)
	}
	for name, test := range map[string]struct {
		line  document.Ingredient
		inJar bool
	}{
		"nothing said":            {document.Ingredient{Item: "cucumber"}, true},
		"drained":                 {document.Ingredient{Item: "salt", Drained: new(true)}, false},
		"not drained":             {document.Ingredient{Item: "salt", Drained: new(false)}, true},
		"vinegar poured off":      {document.Ingredient{Item: "vinegar", Form: "poured off after an hour"}, false},
		"vinegar drained":         {document.Ingredient{Item: "vinegar", Form: "drained"}, false},
		"vinegar discarded":       {document.Ingredient{Item: "vinegar", Form: "then discarded"}, false},
		"the flag over the words": {document.Ingredient{Item: "vinegar", Form: "drained", Drained: new(false)}, true},
		"a food that is drained":  {document.Ingredient{Item: "cucumber", Form: "drained"}, true},
	} {
		t.Run(name, func(t *testing.T) {
			if got := k.line(nil, test.line); got.InJar != test.inJar || got.Counts() != test.inJar {
				t.Errorf("in the jar: %t, counted: %t, want %t", got.InJar, got.Counts(), test.inJar)
			}
		})
	}
	for class, food := range map[catalog.Class]bool{
		catalog.LowAcid: true, catalog.AcidFood: true, catalog.Egg: true, catalog.Acid: false, catalog.Salt: false, catalog.Sugar: false,
		catalog.Water: false, catalog.Seasoning: false,
	} {
		if line := (Line{Class: class}); line.IsFood() != food {
			t.Errorf("%s is food: %t", class, line.IsFood())
		}
	}
}

func TestAmounts(t *testing.T) {
	k := loadKitchen(t)
	for name, test := range map[string]struct {
		amount *document.Quantity
		state  State
		value  float64
		used   bool
	}{
		"none":               {nil, Missing, 0, true},
		"no number":          {&document.Quantity{Unit: "cup"}, Missing, 0, true},
		"a unit of nobody's": {quantity(1, "furlong"), Missing, 0, true},
		"to cover":           {&document.Quantity{Unit: "to_cover"}, ToCover, 0, true},
		"as needed":          {&document.Quantity{Unit: "as_needed"}, AsNeeded, 0, true},
		"a number":           {quantity(2, "cup"), Given, 2, true},
		"very little":        {quantity(0.001, "cup"), Given, 0.001, true},
		"left out":           {quantity(0, "cup"), Given, 0, false},
	} {
		t.Run(name, func(t *testing.T) {
			got := k.line(nil, document.Ingredient{Item: "water", Amount: test.amount})
			if got.State != test.state || got.Value != test.value || got.Used() != test.used || got.Counts() != test.used {
				t.Errorf("%+v", got)
			}
		})
	}
	if poured := (Line{State: Given, Value: 1}); poured.Counts() {
		t.Error("what does not go into the jar counts")
	}
}

// Whether an acid other than vinegar was bought bottled.
func TestBottledAcids(t *testing.T) {
	k := loadKitchen(t)
	yes, no := new(true), new(false)
	assumed := &document.Assume{BottledAcids: yes}
	for name, test := range map[string]struct {
		line    document.Ingredient
		assume  *document.Assume
		want    *bool
		assumed bool
	}{
		"nothing said":               {document.Ingredient{Item: "lemon juice"}, nil, nil, false},
		"nothing assumed":            {document.Ingredient{Item: "lemon juice"}, &document.Assume{}, nil, false},
		"assumed":                    {document.Ingredient{Item: "lemon juice"}, assumed, yes, true},
		"assumed to be fresh":        {document.Ingredient{Item: "lemon juice"}, &document.Assume{BottledAcids: no}, no, true},
		"by its name":                {document.Ingredient{Item: "bottled lemon juice"}, nil, yes, false},
		"by its form":                {document.Ingredient{Item: "lemon juice", Form: "bottled"}, nil, yes, false},
		"by its form, not assumed":   {document.Ingredient{Item: "lemon juice", Form: "bottled"}, &document.Assume{BottledAcids: no}, yes, false},
		"by the member":              {document.Ingredient{Item: "lemon juice", Bottled: yes}, nil, yes, false},
		"the member over the name":   {document.Ingredient{Item: "bottled lemon juice", Bottled: no}, nil, no, false},
		"the member, not assumed":    {document.Ingredient{Item: "lemon juice", Bottled: no}, assumed, no, false},
		"fresh":                      {document.Ingredient{Item: "lemon juice", Form: "fresh"}, assumed, no, false},
		"squeezed, with the member":  {document.Ingredient{Item: "lemon juice", Form: "freshly squeezed", Bottled: yes}, nil, no, false},
		"squeezed, by a bottle":      {document.Ingredient{Item: "bottled lemon juice", Form: "squeezed"}, nil, no, false},
		"not fresh":                  {document.Ingredient{Item: "lemon juice", Form: "bottled, not fresh"}, nil, yes, false},
		"vinegar, nothing said":      {document.Ingredient{Item: "vinegar"}, nil, nil, false},
		"vinegar, assumed":           {document.Ingredient{Item: "vinegar"}, assumed, yes, true},
		"vinegar, bought":            {document.Ingredient{Item: "vinegar", Form: "bought"}, nil, yes, false},
		"vinegar, bottled":           {document.Ingredient{Item: "vinegar", Form: "bottled"}, &document.Assume{BottledAcids: no}, yes, false},
		"vinegar, by the member":     {document.Ingredient{Item: "vinegar", Form: "bottled", Bottled: no}, assumed, no, false},
		"nobody asks it of cucumber": {document.Ingredient{Item: "cucumber", Form: "bottled"}, assumed, nil, false},
	} {
		t.Run(name, func(t *testing.T) {
			got := k.line(test.assume, test.line)
			if (got.Bottled == nil) != (test.want == nil) || got.Bottled != nil && *got.Bottled != *test.want {
				t.Errorf("bottled %v, want %v", got.Bottled, test.want)
			}
			if slices.Contains(got.Assumed, "bottled") != test.assumed {
				t.Errorf("assumed %v", got.Assumed)
			}
		})
	}
}

func TestVinegars(t *testing.T) {
	k := loadKitchen(t)
	for name, test := range map[string]struct {
		item, form string
		kind       VinegarKind
	}{
		"any":                    {"vinegar", "", PlainVinegar},
		"white":                  {"white vinegar", "", PlainVinegar},
		"cider":                  {"cider vinegar", "", PlainVinegar},
		"homemade":               {"homemade vinegar", "", HomemadeVinegar},
		"wine":                   {"wine vinegar", "", OtherVinegar},
		"diluted pickling base":  {"pickling-base", "", OtherVinegar},
		"homemade by its form":   {"cider vinegar", "Homemade", HomemadeVinegar},
		"home-made":              {"vinegar", "home-made", HomemadeVinegar},
		"home made":              {"vinegar", "home made", HomemadeVinegar},
		"homemade wine vinegar":  {"wine vinegar", "homemade", HomemadeVinegar},
		"malt":                   {"malt vinegar", "", PlainVinegar},
		"malt by its form":       {"vinegar", "malt", PlainVinegar},
		"malt and wine":          {"malt vinegar", "with white wine vinegar", OtherVinegar},
		"malt for cleaning":      {"malt vinegar", "cleaning", OtherVinegar},
		"rice by its form":       {"vinegar", "rice", OtherVinegar},
		"wine by its form":       {"vinegar", "white wine", OtherVinegar},
		"homemade of malt":       {"vinegar", "malt, homemade", HomemadeVinegar},
		"not vinegar":            {"lemon juice", "wine", NotVinegar},
		"for cleaning, by words": {"vinegar", "cleaning", OtherVinegar},
	} {
		t.Run(name, func(t *testing.T) {
			if got := k.line(nil, document.Ingredient{Item: test.item, Form: test.form}); got.Kind != test.kind {
				t.Errorf("%q, want %q", got.Kind, test.kind)
			}
		})
	}
	assume := &document.Assume{VinegarAcidityPercent: new(5.0)}
	assumed := k.line(assume, document.Ingredient{Item: "vinegar"})
	if assumed.Acidity == nil || *assumed.Acidity != 5 || !slices.Contains(assumed.Assumed, "acidity_percent") {
		t.Errorf("%+v", assumed)
	}
	given := k.line(assume, document.Ingredient{Item: "vinegar", AcidityPercent: new(4.0)})
	if given.Acidity == nil || *given.Acidity != 4 || len(given.Assumed) != 0 {
		t.Errorf("%+v", given)
	}
	if silent := k.line(&document.Assume{}, document.Ingredient{Item: "vinegar"}); silent.Acidity != nil || len(silent.Assumed) != 0 {
		t.Errorf("%+v", silent)
	}
	for form, thinned := range map[string]bool{"diluted": true, "": false} {
		if got := k.line(nil, document.Ingredient{Item: "vinegar", Form: form}); got.Thinned != thinned {
			t.Errorf("%q: thinned %t", form, got.Thinned)
		}
	}
	if food := k.line(nil, document.Ingredient{Item: "cucumber", Form: "diluted"}); food.Thinned {
		t.Error("a food is thinned")
	}
}

func TestKindsOfSalt(t *testing.T) {
	k := loadKitchen(t)
	table := &document.Assume{SaltKind: document.SaltTable}
	for name, test := range map[string]struct {
		line    document.Ingredient
		assume  *document.Assume
		want    string
		assumed bool
	}{
		"nothing said":             {document.Ingredient{Item: "salt"}, nil, "", false},
		"nothing assumed":          {document.Ingredient{Item: "salt"}, &document.Assume{}, "", false},
		"assumed":                  {document.Ingredient{Item: "salt"}, table, document.SaltTable, true},
		"by its name":              {document.Ingredient{Item: "canning salt"}, table, document.SaltCanning, false},
		"the member over the name": {document.Ingredient{Item: "canning salt", SaltKind: document.SaltSeaFine}, table, document.SaltSeaFine, false},
		"canning":                  {document.Ingredient{Item: "salt", Form: "canning"}, table, document.SaltCanning, false},
		"pickling":                 {document.Ingredient{Item: "salt", Form: "pickling"}, nil, document.SaltCanning, false},
		"kosher":                   {document.Ingredient{Item: "salt", Form: "kosher"}, nil, document.SaltKosherFlake, false},
		"flakes":                   {document.Ingredient{Item: "salt", Form: "flaked sea"}, nil, document.SaltKosherFlake, false},
		"reduced sodium":           {document.Ingredient{Item: "salt", Form: "reduced sodium"}, nil, document.SaltReducedSodium, false},
		"lite":                     {document.Ingredient{Item: "salt", Form: "lite"}, nil, document.SaltReducedSodium, false},
		"iodized":                  {document.Ingredient{Item: "salt", Form: "iodized"}, nil, document.SaltTable, false},
		"coarse sea":               {document.Ingredient{Item: "salt", Form: "sea, coarse"}, nil, document.SaltSeaCoarse, false},
		"sea":                      {document.Ingredient{Item: "salt", Form: "sea"}, nil, document.SaltSeaFine, false},
		"coarse":                   {document.Ingredient{Item: "salt", Form: "coarse"}, nil, "", false},
		"nobody asks it of sugar":  {document.Ingredient{Item: "sugar"}, table, "", false},
	} {
		t.Run(name, func(t *testing.T) {
			got := k.line(test.assume, test.line)
			if got.SaltKind != test.want || slices.Contains(got.Assumed, "salt_kind") != test.assumed {
				t.Errorf("%q, assumed %v, want %q", got.SaltKind, got.Assumed, test.want)
			}
		})
	}
}

// The larger of what the member and the words say counts.
func TestSizesOfPieces(t *testing.T) {
	k := loadKitchen(t)
	for name, test := range map[string]struct {
		form                        string
		piece                       *document.Piece
		length, thickness, diameter float64
	}{
		"nothing":                 {"", nil, 0, 0, 0},
		"words":                   {"4 in, 5 mm slices", nil, 101.6, 5, 0},
		"member":                  {"", &document.Piece{Length: quantity(10, "cm"), Thickness: quantity(6, "mm")}, 100, 6, 6},
		"longer by the words":     {"5 in", &document.Piece{Length: quantity(4, "in")}, 127, 0, 0},
		"longer by the member":    {"3 in", &document.Piece{Length: quantity(4, "in")}, 101.6, 0, 0},
		"thicker by the words":    {"8 mm slices", &document.Piece{Thickness: quantity(6, "mm")}, 0, 8, 6},
		"wider by the words":      {"1 in diameter", &document.Piece{Thickness: quantity(6, "mm")}, 0, 6, 25.4},
		"no number":               {"", &document.Piece{Length: &document.Quantity{Unit: "in"}}, 0, 0, 0},
		"no unit that is a unit":  {"", &document.Piece{Length: quantity(4, "furlong")}, 0, 0, 0},
		"a member that is silent": {"4 in", &document.Piece{}, 101.6, 0, 0},
	} {
		t.Run(name, func(t *testing.T) {
			got := k.line(nil, document.Ingredient{Item: "cucumber", Form: test.form, Piece: test.piece})
			if !near(got.LengthMM, test.length) || !near(got.ThicknessMM(), test.thickness) || !near(got.DiameterMM(), test.diameter) {
				t.Errorf("%g long, %g thick, %g across", got.LengthMM, got.ThicknessMM(), got.DiameterMM())
			}
		})
	}
}

// By exact units and by the weights of the catalog: a US cup of 236.5882365 mL holds 145 g of fresh corn (USDA SR Legacy),
// 259 g of fine sea salt (48 spoons of 5.4 g make 259.2) or 220 to 292 g of canning salt (48 of 6.1 make 292.8), and of vinegar
// 238 g, or 16 spoons of 14.9 g.
func TestGramsAndMilliliters(t *testing.T) {
	k := loadKitchen(t)
	const cup = 236.5882365
	for name, test := range map[string]struct {
		line                   document.Ingredient
		weightKnown            bool
		low, high              float64
		volumeKnown            bool
		milliliters, tolerance float64
	}{
		"pounds":                    {document.Ingredient{Item: "onion", Amount: quantity(2, "lb")}, true, 907.18474, 907.18474, true, 0, math.Inf(1)},
		"pounds of an unknown food": {document.Ingredient{Item: "moon rock", Amount: quantity(1, "lb")}, true, 453.59237, 453.59237, false, 0, 0},
		"cups of an unknown food":   {document.Ingredient{Item: "moon rock", Amount: quantity(2, "cup")}, false, 0, 0, true, 2 * cup, 1e-9},
		"pieces of an unknown food": {document.Ingredient{Item: "moon rock", Amount: quantity(2, "each")}, false, 0, 0, false, 0, 0},
		"chopped":                   {document.Ingredient{Item: "corn", Form: "fresh, kernels", Amount: quantity(3, "cup")}, true, 435, 435, true, 3 * cup, 1e-9},
		"fine sea salt":             {document.Ingredient{Item: "salt", SaltKind: "sea_fine", Amount: quantity(0.5, "cup")}, true, 129.5, 129.6, true, cup / 2, 1e-9},
		"canning salt":              {document.Ingredient{Item: "canning salt", Amount: quantity(1, "cup")}, true, 220, 292.8, true, cup, 1e-9},
		"salt by weight":            {document.Ingredient{Item: "salt", Amount: quantity(100, "g")}, true, 100, 100, true, 0, math.Inf(1)},
		"no amount":                 {document.Ingredient{Item: "onion"}, false, 0, 0, false, 0, 0},
		"a volume of vinegar":       {document.Ingredient{Item: "vinegar", Amount: quantity(500, "mL")}, true, 503.0, 505.1, true, 500, 1e-9},
		"a weight of vinegar":       {document.Ingredient{Item: "vinegar", Amount: quantity(505, "g")}, true, 505, 505, true, 501, 1.5},
	} {
		t.Run(name, func(t *testing.T) {
			got := k.line(nil, test.line)
			if got.WeightKnown != test.weightKnown || math.Abs(got.GramsLow-test.low) > 0.1 || math.Abs(got.GramsHigh-test.high) > 0.1 ||
				math.Abs(got.Grams()-(test.low+test.high)/2) > 0.1 {
				t.Errorf("%t, %g to %g g, want %g to %g", got.WeightKnown, got.GramsLow, got.GramsHigh, test.low, test.high)
			}
			if math.IsInf(test.tolerance, 1) {
				return
			}
			if got.VolumeKnown != test.volumeKnown || math.Abs(got.Milliliters-test.milliliters) > test.tolerance {
				t.Errorf("%t, %g mL, want %g", got.VolumeKnown, got.Milliliters, test.milliliters)
			}
		})
	}
}

func TestJars(t *testing.T) {
	k := loadKitchen(t)
	for name, test := range map[string]struct {
		written  *document.Jar
		want     string
		capacity float64
		known    bool
	}{
		"none":                         {nil, "", 0, false},
		"of the catalog":               {&document.Jar{ID: "pint"}, "pint", 473.176, true},
		"of nobody's":                  {&document.Jar{ID: "bucket"}, "", 0, false},
		"of one's own":                 {&document.Jar{Capacity: quantity(0.5, "L")}, "own jar", 500, false},
		"of one's own, without number": {&document.Jar{Capacity: &document.Quantity{Unit: "L"}}, "", 0, false},
		"of one's own, without unit":   {&document.Jar{Capacity: quantity(1, "furlong")}, "", 0, false},
		"of one's own, without size":   {&document.Jar{}, "", 0, false},
	} {
		t.Run(name, func(t *testing.T) {
			got := Read(&document.Request{Recipe: document.Recipe{Jar: test.written, Jars: new(7.0)}}, k.tables, k.scale)
			if got.Jars == nil || *got.Jars != 7 {
				t.Errorf("jars %v", got.Jars)
			}
			switch jar := got.Jar; {
			case test.want == "":
				if jar != nil {
					t.Errorf("%+v, want none", jar)
				}
			case jar == nil:
				t.Error("no jar")
			case jar.ID != test.want && jar.Name != test.want, math.Abs(jar.CapacityML-test.capacity) > 0.001, (jar.Known != nil) != test.known:
				t.Errorf("%+v", jar)
			}
		})
	}
}
