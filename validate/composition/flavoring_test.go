package composition

import (
	"math"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
)

// What each line brings to the liquid. Expected by hand: a cup is 236.588 mL, of mustard 249 g (water 0.83, sugar 0.01, salt 0.03); honey is
// water by 0.17 and sugar by 0.83, corn syrup by 0.23 and 0.77; a stick of butter weighs 113 g.
func TestLiquid(t *testing.T) {
	k := loadKitchen(t)
	for _, c := range []struct {
		name    string
		line    document.Ingredient
		want    Liquid
		unknown bool
	}{
		{"vinegar", document.Ingredient{Item: "vinegar", Amount: quantity(1, "cup")}, Liquid{AqueousML: 236.588}, false},
		{"lemon juice", document.Ingredient{Item: "lemon juice", Amount: quantity(2, "cup")}, Liquid{AqueousML: 473.176}, false},
		{"citric acid", document.Ingredient{Item: "citric acid", Amount: quantity(1, "tsp")}, Liquid{}, false},
		{"water", document.Ingredient{Item: "water", Amount: quantity(1, "cup")}, Liquid{AqueousML: 236.588}, false},
		{"ice", document.Ingredient{Item: "ice", Amount: quantity(1, "cup")}, Liquid{AqueousML: 236.588}, false},
		{"water poured away", document.Ingredient{Item: "water", Amount: quantity(1, "cup"), Drained: new(true)}, Liquid{}, false},
		{"no water", document.Ingredient{Item: "water", Amount: quantity(0, "cup")}, Liquid{}, false},
		{"water to cover", document.Ingredient{Item: "water", Amount: &document.Quantity{Unit: "to_cover"}}, Liquid{}, true},
		{"orange juice", document.Ingredient{Item: "orange juice", Amount: quantity(1, "cup")}, Liquid{AqueousML: 236.588}, false},
		{"brewed tea", document.Ingredient{Item: "black tea", Form: "brewed", Amount: quantity(1, "cup")}, Liquid{AqueousML: 236.588}, false},
		{"tea of which nothing is said", document.Ingredient{Item: "tea", Amount: quantity(1, "cup")}, Liquid{AqueousML: 236.588}, false},
		{"tea leaves", document.Ingredient{Item: "tea", Form: "loose leaves", Amount: quantity(1, "cup")}, Liquid{}, false},
		{"tea by weight", document.Ingredient{Item: "tea", Amount: quantity(10, "g")}, Liquid{}, false},
		{"sugar", document.Ingredient{Item: "sugar", Amount: quantity(200, "g")}, Liquid{SugarG: 200}, false},
		{"honey", document.Ingredient{Item: "honey", Amount: quantity(1, "lb")}, Liquid{AqueousML: 77.11, SugarG: 376.48}, false},
		{"corn syrup", document.Ingredient{Item: "corn syrup", Amount: quantity(100, "g")}, Liquid{AqueousML: 23, SugarG: 77}, false},
		{"agave by its density", document.Ingredient{Item: "agave", Amount: quantity(100, "mL")}, Liquid{AqueousML: 31.28, SugarG: 104.72}, false},
		{"sugar by the handful", document.Ingredient{Item: "sugar", Amount: quantity(1, "bunch")}, Liquid{}, true},
		{"mustard", document.Ingredient{Item: "prepared mustard", Amount: quantity(1, "cup")}, Liquid{AqueousML: 206.67, SugarG: 2.49, SaltG: 7.47}, false},
		{"salt", document.Ingredient{Item: "salt", Amount: quantity(16, "g")}, Liquid{SaltG: 16}, false},
		{"oil", document.Ingredient{Item: "oil", Amount: quantity(1, "cup")}, Liquid{OilML: 236.588}, false},
		{"butter by the stick", document.Ingredient{Item: "butter", Amount: quantity(1, "stick")}, Liquid{OilML: 122.83}, false},
		{"cucumber", document.Ingredient{Item: "cucumber", Amount: quantity(1, "lb")}, Liquid{}, false},
		{"paprika", document.Ingredient{Item: "paprika", Amount: quantity(1, "kg")}, Liquid{}, false},
		{"something unknown", document.Ingredient{Item: "gribble", Amount: quantity(1, "cup")}, Liquid{}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			line := k.line(nil, c.line)
			got, known := line.Liquid()
			if known == c.unknown {
				t.Errorf("known: %v", known)
			}
			for _, pair := range [][2]float64{
				{got.AqueousML, c.want.AqueousML}, {got.SugarG, c.want.SugarG}, {got.SaltG, c.want.SaltG}, {got.OilML, c.want.OilML},
			} {
				if !c.unknown && math.Abs(pair[0]-pair[1]) > 0.01 {
					t.Errorf("%+v, want %+v", got, c.want)
				}
			}
		})
	}
	sum := Liquid{1, 2, 3, 4}.Plus(Liquid{10, 20, 30, 40}).Times(2)
	if sum != (Liquid{22, 44, 66, 88}) {
		t.Errorf("%+v", sum)
	}
}

// As what a line is weighed that seasons.
func TestKindsOfSeasoning(t *testing.T) {
	k := loadKitchen(t)
	for _, c := range []struct {
		item, form string
		kind       catalog.FlavoringKind
		class      catalog.Class
		fresh      float64
	}{
		{"allspice", "", catalog.WholeSpice, catalog.Seasoning, 0},
		{"allspice", "ground", catalog.GroundSpice, catalog.Seasoning, 0},
		{"ground allspice", "", catalog.GroundSpice, catalog.Seasoning, 0},
		{"mustard seed", "crushed", catalog.GroundSpice, catalog.Seasoning, 0},
		{"cumin", "", catalog.GroundSpice, catalog.Seasoning, 0},
		{"cumin seed", "", catalog.WholeSpice, catalog.Seasoning, 0},
		{"cumin", "whole", catalog.WholeSpice, catalog.Seasoning, 0},
		{"cumin", "ground from whole seeds", catalog.GroundSpice, catalog.Seasoning, 0},
		{"garlic powder", "", catalog.DriedVegetable, catalog.Seasoning, 2.5},
		{"dried onion", "", catalog.DriedVegetable, catalog.Seasoning, 9},
		{"onion", "dried, minced", catalog.DriedVegetable, catalog.LowAcid, 9},
		{"mushroom", "dried", catalog.DriedVegetable, catalog.LowAcid, 10},
		{"mushroom", "rinsed and dried", "", catalog.LowAcid, 0},
		{"mushroom", "not dried", "", catalog.LowAcid, 0},
		{"cucumber", "patted dry", "", catalog.LowAcid, 0},
		{"tomato", "dried", "", catalog.AcidFood, 16},
		{"apricot", "dried", "", catalog.AcidFood, 0},
		{"dried red pepper", "", catalog.WholeSpice, catalog.Seasoning, 11},
		{"hot pepper", "dried, ground", catalog.GroundSpice, catalog.Seasoning, 11},
		{"hot pepper", "fresh", "", catalog.LowAcid, 0},
		{"cayenne pepper", "fresh, whole", "", catalog.LowAcid, 0},
		{"cayenne pepper", "", catalog.GroundSpice, catalog.Seasoning, 0},
		{"oregano", "fresh", catalog.FreshLeaf, catalog.FreshHerb, 0},
		{"mustard seed", "fresh", catalog.WholeSpice, catalog.Seasoning, 0},
		{"grape leaf", "", catalog.FreshLeaf, catalog.Firming, 0},
		{"honey", "", catalog.SweetKind, catalog.Sugar, 0},
		{"gribble", "", "", catalog.LowAcid, 0},
	} {
		t.Run(c.item+" "+c.form, func(t *testing.T) {
			line := k.line(nil, document.Ingredient{Item: c.item, Form: c.form, Amount: quantity(2, "g")})
			if line.Flavoring.Kind != c.kind || line.Class != c.class || line.FreshFrom != c.fresh {
				t.Errorf("%q, %q, %v", line.Flavoring.Kind, line.Class, line.FreshFrom)
			}
			if want := 2 * max(1, c.fresh); line.FreshGrams() != want {
				t.Errorf("%v g fresh, want %v", line.FreshGrams(), want)
			}
		})
	}
}

// A measure without a published weight goes by the density of the table: a mL of star anise at 0.75 g.
func TestDensityOfSeasonings(t *testing.T) {
	k := loadKitchen(t)
	line := k.line(nil, document.Ingredient{Item: "star anise", Amount: quantity(10, "mL")})
	if !line.WeightKnown || math.Abs(line.Grams()-7.5) > 1e-9 {
		t.Errorf("%v g, known %v", line.Grams(), line.WeightKnown)
	}
	if line = k.line(nil, document.Ingredient{Item: "star anise", Amount: quantity(1, "bunch")}); line.WeightKnown {
		t.Errorf("a bunch of star anise weighs %v g", line.Grams())
	}
}

// A printed line is read as a cook's is: with canning salt, poured away where the recipe has it so, for a jar or the batch.
func TestPrinted(t *testing.T) {
	k := loadKitchen(t)
	printed := func(i catalog.TestedIngredient, amount float64) Line { return Printed(&i, amount, k.tables, k.scale) }
	salt := printed(catalog.TestedIngredient{Item: "salt", Unit: "tbsp", Per: "pint", Role: "salt", GoesInto: "jar"}, 1)
	if !salt.PerJar || !salt.InJar || salt.SaltKind != document.SaltCanning || !salt.WeightKnown || salt.Value != 1 {
		t.Errorf("%+v", salt)
	}
	soak := printed(catalog.TestedIngredient{Item: "water", Unit: "cup", Per: "batch", Role: "soak", GoesInto: "discarded"}, 2)
	if soak.PerJar || soak.InJar || math.Abs(soak.Milliliters-473.176) > 0.01 {
		t.Errorf("%+v", soak)
	}
	if spice := printed(catalog.TestedIngredient{Item: "allspice", Form: "ground", Unit: "tsp", Per: "batch", GoesInto: "partly"}, 1); !spice.InJar ||
		spice.Flavoring.Kind != catalog.GroundSpice || spice.SaltKind != "" {
		t.Errorf("%+v", spice)
	}
}
