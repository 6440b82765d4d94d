package contents

import (
	"fmt"
	"math"
	"testing"

	"jarwright/validate/acidity"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/headspace"
	"jarwright/validate/match"
)

func (k kitchen) jarful(t *testing.T, in Input) *Jarful {
	t.Helper()
	got := Read(in)
	if got.Jarful == nil {
		t.Fatal(got.Reason)
	}
	return got.Jarful
}

func nearBand(t *testing.T, what string, got, want acidity.Band) {
	t.Helper()
	near(t, what+", low", got.Low, want.Low, 1e-5)
	near(t, what, got.Estimate, want.Estimate, 1e-5)
	near(t, what+", high", got.High, want.High, 1e-5)
}

// By hand: 3 kg of food in 14 pints are 214.286 mL in each of 436.908, and a fourteenth of the brine does not fill the rest. A jar
// gets 1000/14 mL of vinegar of 5 %, 0.0594713 mol of acetic acid (60.053 g/mol), as much water, 80/14 g of salt (58.44 g/mol),
// 10 g of sugar of 0.62 mL each and 1 g of calcium chloride (110.98 g/mol). Water of 200 mg/L of calcium carbonate (50.045 g an
// equivalent) brings 0.285462 mmol.
func TestOneJarOfMany(t *testing.T) {
	k := loadKitchen(t)
	calcium := weighed(catalog.Firming, catalog.Item{ID: "calcium-chloride"}, 14, 14)
	in := k.input(document.KindBrined, 14, food(3000), vinegar(1000), water(1000), salt(80), sugar(140), calcium)
	in.Request.Kitchen = &document.Kitchen{WaterAlkalinityMgPerL: new(200.0)}
	j := k.jarful(t, in)
	if !j.One || j.Where() != "jar" || j.VinegarPercent != 5 || len(j.Foods) != 1 || j.Foods[0].Name != "root" {
		t.Errorf("%+v", j)
	}
	near(t, "fill", j.FillML, pintFillML, 0.001)
	mix := j.Bands.Mixture
	near(t, "water", mix.WaterKg, 0.3571429, 1e-6)
	near(t, "acetic acid", mix.Acids[acidity.Acetic], 0.0594713, 1e-6)
	near(t, "salt", mix.SodiumChlorideMol, 0.0977804, 1e-6)
	near(t, "calcium chloride", mix.CalciumChlorideMol, 0.0090106, 1e-6)
	near(t, "alkalinity", mix.AlkalinityMol, 0.000285462, 1e-8)
	near(t, "food", j.Foods[0].Kg, 0.2142857, 1e-6)
	near(t, "food in the bands", j.Bands.Produce[0].MassKg, 0.2142857, 1e-6)
	near(t, "brine in the bands", j.Bands.BrineKg, 0.1428571, 1e-6)
	nearBand(t, "household", j.Bands.Household, acidity.Band{Low: 0.9, Estimate: 1, High: 1.1})
	nearBand(t, "pack", j.Bands.Pack, acidity.Band{Low: 0.9, Estimate: 1, High: 1.1})
	nearBand(t, "vinegar", j.Bands.Strength[acidity.Acetic], acidity.Band{Low: 0.95, Estimate: 1, High: 1.05})
	nearBand(t, "no juice", j.Bands.Strength[acidity.Citric], acidity.Band{Low: 1, Estimate: 1, High: 1})

	near(t, "mass of the jar", j.Portion.MassG, 357.1429+5.7143+10, 0.001)
	near(t, "volume of the jar", j.Portion.VolumeML, 357.1429+6.2, 0.001)
	near(t, "salt of the jar", j.Portion.SaltG, 5.7143, 0.0001)
	near(t, "sugar of the jar", j.Portion.SugarG, 10, 1e-9)
	near(t, "low-acid food of the jar", j.Portion.LowAcidFoodKg, 0.2142857, 1e-6)
	near(t, "acid of the jar", j.Portion.Acids[acidity.Acetic], 0.0594713, 1e-6)
	near(t, "mass of the brine", j.Brine.MassG, 142.8571+5.7143+10, 0.001)
	near(t, "acid of the brine", j.Brine.Acids[acidity.Acetic], 0.0594713, 1e-6)
	near(t, "salt of the brine", j.Brine.SaltG, 5.7143, 0.0001)
	near(t, "sugar of the brine", j.Brine.SugarG, 10, 1e-9)
	if j.Brine.LowAcidFoodKg != 0 {
		t.Error("there is food in the brine")
	}
	// A liter of vinegar weighs 1005.1 g and one of water 998.2: with salt and sugar 158.81 g.
	density, err := headspace.Brine{SaltPercent: 3.598, SugarPercent: 6.297, AceticPercent: 2.249}.Density(20)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "volume of the brine", j.Brine.VolumeML, 158.81/density*1000, 0.05)
	near(t, "brine in the jar", j.BrineML, 158.81/density*1000, 0.05)
	near(t, "brine made for it", j.MadeML, 158.81/density*1000, 0.05)

	estimate := j.Estimate()
	if len(estimate.Produce) != 1 || estimate.WaterKg != mix.WaterKg || len(mix.Produce) != 0 {
		t.Fatalf("%+v", estimate)
	}
	root := estimate.Produce[0]
	if root.MassKg != j.Foods[0].Kg || root.NaturalPH != j.Foods[0].PH.Estimate || root.BufferMolPerKg != j.Foods[0].Buffer.Buffer.Estimate {
		t.Errorf("%+v of %+v", root, j.Foods[0])
	}
}

// By hand: 3 kg in 7 pints would take 428.6 mL of 436.908; no more than 0.65 of a jar, 283.990 mL, is ever packed, which leaves
// 152.918 for the liquid; all of the food is in the jar all the same. Two liters of vinegar and water measure 2000 mL to a thousandth, so
// that a jar takes 0.07646 of them.
func TestHowMuchBrineGoesIn(t *testing.T) {
	k := loadKitchen(t)
	ownJar := func(in *Input) { in.Composition.Jar.Known, in.Composition.Jar.CapacityML = nil, 500 }
	hot := open(weighed(catalog.AcidFood, catalog.Item{ID: "tomato-juice", Family: "tomato-juice"}, 0, 0))
	hot.Form = composition.ReadForm("hot")
	const pack, room = 3.0 / 7, 152.9178
	const left = pintFillML - 200 // by 1.4 kg in 7 jars
	acid := func(milliliters float64) float64 { return milliliters * 5 / 100 / 60.053 }
	usual := list{food(3000), vinegar(1000), water(1000)}
	for name, test := range map[string]struct {
		jars                     float64
		alter                    func(*Input)
		lines                    list
		fill, brine, made        float64 // mL
		foodKg, pouredKg, acetic float64 // kg, kg, mol
	}{
		"more brine than room":  {7, nil, usual, pintFillML, room, 285.7, pack, room / 1e3, acid(room / 2)},
		"some put in each jar":  {7, nil, append(usual[:3:3], perJar(vinegar(30))), pintFillML, room, 315.7, pack, room / 1e3, acid((room-30)/2 + 30)},
		"more in each jar":      {7, nil, append(usual[:3:3], perJar(vinegar(200))), pintFillML, room, 485.7, pack, 0.2, acid(200)},
		"less brine than room":  {7, nil, list{food(3000), vinegar(350), water(350)}, pintFillML, 100, 100, pack, 0.1, acid(50)},
		"water to cover":        {7, nil, list{food(3000), open(water(0)), perJar(vinegar(60))}, pintFillML, room, 60, pack, room / 1e3, acid(60)},
		"hot juice to cover":    {7, nil, list{food(3000), hot, perJar(vinegar(60))}, pintFillML, room, 60, pack, room / 1e3, acid(60)},
		"sugar under the water": {7, nil, list{food(3000), open(water(0)), perJar(vinegar(60)), sugar(70)}, pintFillML, room, 66.2, pack, 0.1467178, acid(60)},
		"covered already":       {7, nil, list{food(3000), open(water(0)), perJar(vinegar(200))}, pintFillML, room, 200, pack, 0.2, acid(200)},
		"vinegar, then covered": {7, nil, list{food(3000), open(water(0)), vinegar(350), water(350)}, pintFillML, room, 100, pack, room / 1e3, acid(50)},
		"a jar of one's own":    {7, ownJar, usual, 500, 175, 285.7, pack, 0.175, acid(87.5)},
		"loosely packed":        {7, nil, list{food(1400), vinegar(1000), water(1000)}, pintFillML, left, 285.7, 0.2, left / 1e3, acid(left / 2)},
	} {
		t.Run(name, func(t *testing.T) {
			in := k.input(document.KindBrined, test.jars, test.lines...)
			if test.alter != nil {
				test.alter(&in)
			}
			j := k.jarful(t, in)
			if !j.One {
				t.Fatal("not one jar")
			}
			near(t, "fill", j.FillML, test.fill, 0.001)
			near(t, "brine in the jar", j.BrineML, test.brine, 0.2)
			near(t, "brine made for it", j.MadeML, test.made, 0.4)
			near(t, "food", j.Foods[0].Kg, test.foodKg, 1e-6)
			near(t, "brine in the bands", j.Bands.BrineKg, test.pouredKg, 0.0002)
			near(t, "acetic acid", j.Bands.Mixture.Acids[acidity.Acetic], test.acetic, test.acetic/1000)
			near(t, "water", j.Bands.Mixture.WaterKg, test.foodKg+test.pouredKg, 0.0002)
		})
	}
}

// The water that fills up a jar is as hard as the other: 92.918 mL of 200 mg/L.
func TestWaterToCoverIsHardToo(t *testing.T) {
	k := loadKitchen(t)
	in := k.input(document.KindBrined, 7, food(3000), open(water(0)), perJar(vinegar(60)))
	in.Request.Kitchen = &document.Kitchen{WaterAlkalinityMgPerL: new(200.0)}
	near(t, "alkalinity", k.jarful(t, in).Bands.Mixture.AlkalinityMol, 200*92.9178/1e6/50.045, 1e-8)
	in.Request.Kitchen.WaterAlkalinityMgPerL = nil
	near(t, "alkalinity that is not known", k.jarful(t, in).Bands.Mixture.AlkalinityMol, 0, 0)
}

// What is not one jar is the whole batch: 2 kg of food, half a liter of vinegar (0.416299 mol) and 15 mL of lemon juice in each of
// 4 jars. Juice is reckoned with 39.2 g/L of citric acid (192.123 g/mol), the stronger of two samples: 60 mL hold 0.0122422 mol.
// The weaker had 34.1, the claim is 45, and fresh juice may hold 0.7 of bottled.
func TestWholeBatch(t *testing.T) {
	k := loadKitchen(t)
	lines := list{food(2000), vinegar(500), perJar(lemonJuice(15)), salt(30), perJar(sugar(5))}
	j := k.jarful(t, k.input(document.KindRelish, 4, lines...))
	if j.One || j.Where() != "batch" || j.FillML != 0 || j.BrineML != 0 || j.MadeML != 0 || j.Bands.BrineKg != 0 {
		t.Errorf("%+v", j)
	}
	mix := j.Bands.Mixture
	near(t, "water", mix.WaterKg, 2.56, 1e-9)
	near(t, "acetic acid", mix.Acids[acidity.Acetic], 0.416299, 1e-6)
	near(t, "citric acid", mix.Acids[acidity.Citric], 0.0122422, 1e-7)
	near(t, "mass", j.Portion.MassG, 2560+30+20, 1e-6)
	near(t, "volume", j.Portion.VolumeML, 2560+0.62*20, 1e-6)
	near(t, "food", j.Portion.LowAcidFoodKg, 2, 1e-9)
	near(t, "mass of the liquid", j.Brine.MassG, 560+30+20, 1e-6)
	nearBand(t, "juice", j.Bands.Strength[acidity.Citric], acidity.Band{Low: 0.608929, Estimate: 1, High: 1.147959})
}

// What single lines do to a whole batch.
func TestLinesOfAWholeBatch(t *testing.T) {
	k := loadKitchen(t)
	const relish = document.KindRelish
	bottled := lemonJuice(60)
	bottled.Bottled = new(true)
	fresh := lemonJuice(60)
	fresh.Bottled = new(false)
	plain := vinegar(500)
	plain.Acidity = nil
	half := &catalog.TestedRecipe{CookedDown: &catalog.CookedDown{Fraction: 0.5}}
	thick := &catalog.TestedRecipe{CookedDown: &catalog.CookedDown{Minutes: 60}}
	lime := weighed(catalog.Firming, catalog.Item{ID: "pickling-lime"}, 37.045, 37.045)
	crystals := weighed(catalog.Acid, catalog.Item{ID: "citric-acid"}, 19.2123, 19.2123)
	ascorbic := weighed(catalog.Acid, catalog.Item{ID: "ascorbic-acid"}, 17.612, 17.612)
	vague := weighed(catalog.LowAcid, catalog.Item{ID: "root"}, 800, 1600)
	fruit := weighed(catalog.AcidFood, catalog.Item{ID: "fruit"}, 500, 500)
	for name, test := range map[string]struct {
		kind   string
		jars   float64
		tested *catalog.TestedRecipe
		lines  list
		check  func(*testing.T, *Jarful)
	}{
		"bottled juice": {relish, 4, nil, list{food(2000), bottled}, func(t *testing.T, j *Jarful) {
			nearBand(t, "juice", j.Bands.Strength[acidity.Citric], acidity.Band{Low: 0.869898, Estimate: 1, High: 1.147959})
		}},
		"the weaker of two juices": {relish, 4, nil, list{food(2000), fresh, bottled}, func(t *testing.T, j *Jarful) {
			nearBand(t, "juice", j.Bands.Strength[acidity.Citric], acidity.Band{Low: 0.608929, Estimate: 1, High: 1.147959})
		}},
		"vinegar of unknown strength counts as of 5 %, or of the 4 that may be sold": {relish, 4, nil, list{food(2000), plain}, func(t *testing.T, j *Jarful) {
			nearBand(t, "vinegar", j.Bands.Strength[acidity.Acetic], acidity.Band{Low: 0.8, Estimate: 1, High: 1.05})
			near(t, "acetic acid", j.Bands.Mixture.Acids[acidity.Acetic], 0.416299, 1e-6)
			near(t, "strength", j.VinegarPercent, 5, 0)
		}},
		"boiled to a half": {relish, 4, half, list{food(2000), vinegar(500)}, func(t *testing.T, j *Jarful) {
			near(t, "water", j.Bands.Mixture.WaterKg, 1.25, 1e-9)
		}},
		"boiled until thick": {relish, 4, thick, list{food(2000), vinegar(500)}, func(t *testing.T, j *Jarful) {
			near(t, "water", j.Bands.Mixture.WaterKg, 2.5, 1e-9)
		}},
		"lime": {relish, 4, nil, list{food(2000), vinegar(500), lime}, func(t *testing.T, j *Jarful) {
			near(t, "alkalinity", j.Bands.Mixture.AlkalinityMol, 1, 1e-9)
		}},
		"dry acids": {relish, 4, nil, list{food(2000), crystals, ascorbic}, func(t *testing.T, j *Jarful) {
			near(t, "citric acid", j.Bands.Mixture.Acids[acidity.Citric], 0.1, 1e-9)
			near(t, "ascorbic acid", j.Bands.Mixture.Acids[acidity.Ascorbic], 0.1, 1e-9)
			near(t, "water", j.Bands.Mixture.WaterKg, 2, 1e-9)
		}},
		"a weight with a range": {relish, 4, nil, list{vague, vinegar(500)}, func(t *testing.T, j *Jarful) {
			nearBand(t, "pack", j.Bands.Pack, acidity.Band{Low: 0.9, Estimate: 1, High: 1.1 * 1600 / 1200})
			near(t, "food", j.Foods[0].Kg, 1.2, 1e-9)
		}},
		"a weight with a range in each jar": {relish, 4, nil, list{food(1200), perJar(vague), vinegar(500)}, func(t *testing.T, j *Jarful) {
			nearBand(t, "pack", j.Bands.Pack, acidity.Band{Low: 0.9, Estimate: 1, High: 1.1 * 7600 / 6000})
		}},
		"acid food": {relish, 4, nil, list{food(1000), fruit, perJar(fruit), vinegar(500)}, func(t *testing.T, j *Jarful) {
			near(t, "low-acid food", j.Portion.LowAcidFoodKg, 1, 1e-9)
			near(t, "water", j.Bands.Mixture.WaterKg, 4, 1e-9)
			near(t, "fruit of all jars", j.Foods[2].Kg, 2, 1e-9)
		}},
		"jars not said": {document.KindBrined, 0, nil, list{food(2000), vinegar(500)}, func(t *testing.T, j *Jarful) {
			near(t, "water", j.Bands.Mixture.WaterKg, 2.5, 1e-9)
			if j.One {
				t.Error("one jar of nobody knows how many")
			}
		}},
		"nothing poured but in each jar": {document.KindBrined, 4, nil, list{food(2000), perJar(vinegar(100))}, func(t *testing.T, j *Jarful) {
			near(t, "water", j.Bands.Mixture.WaterKg, 2.4, 1e-9)
			near(t, "acetic acid", j.Bands.Mixture.Acids[acidity.Acetic], 4*100*5/100/60.053, 1e-6)
			if j.One {
				t.Error("one jar without a brine")
			}
		}},
		"a liquid too strong for the tables swells by its sugar": {relish, 4, nil, list{food(2000), water(100), sugar(300)}, func(t *testing.T, j *Jarful) {
			near(t, "volume of the liquid", j.Brine.VolumeML, 100+0.62*300, 1e-6)
		}},
	} {
		t.Run(name, func(t *testing.T) {
			in := k.input(test.kind, test.jars, test.lines...)
			in.Match.Recipe = test.tested
			test.check(t, k.jarful(t, in))
		})
	}
}

// A jar is reckoned alone only where it is known which, how deep and how many.
func TestWhenOneJarIsReckoned(t *testing.T) {
	k := loadKitchen(t)
	in := k.input(document.KindBrined, 4, food(2000), vinegar(500))
	in.Composition.Jar = nil
	if j := k.jarful(t, in); j.One {
		t.Error("one jar of nobody knows which")
	}
	in = k.input(document.KindBrined, 4, food(2000), vinegar(500))
	in.Request.Recipe.Headspace = quantity(200, "mm")
	if j := k.jarful(t, in); j.One {
		t.Error("one jar that is deeper than it is")
	}
	in = k.input(document.KindBrined, 14, food(2000), vinegar(500))
	in.Match.Recipe = &catalog.TestedRecipe{CookedDown: &catalog.CookedDown{Fraction: 0.5}}
	near(t, "one jar is not boiled down", k.jarful(t, in).Bands.Mixture.WaterKg, 2.5/14, 1e-4)
}

// Every part of a liquid is added and multiplied.
func TestLiquids(t *testing.T) {
	one := liquid{
		acids: acidity.Acids{acidity.Acetic: 1, acidity.Ascorbic: 2}, milliliters: 3, waterML: 4,
		waterG: 5, aceticG: 6, saltG: 7, sugarG: 8, calciumG: 9, limeG: 10,
	}
	want := liquid{
		acids: acidity.Acids{acidity.Acetic: 3, acidity.Ascorbic: 6}, milliliters: 9, waterML: 12,
		waterG: 15, aceticG: 18, saltG: 21, sugarG: 24, calciumG: 27, limeG: 30,
	}
	if got := one.times(3); got != want {
		t.Errorf("three times: %+v", got)
	}
	if got := one.plus(one.times(2)); got != want {
		t.Errorf("one and two: %+v", got)
	}
	if brine, milliliters := (liquid{saltG: 10, sugarG: 5}).brine(); brine != (headspace.Brine{}) || milliliters != 0 {
		t.Errorf("salt without water: %+v, %g mL", brine, milliliters)
	}
	if brine, milliliters := (liquid{}).brine(); brine != (headspace.Brine{}) || milliliters != 0 {
		t.Errorf("nothing: %+v, %g mL", brine, milliliters)
	}
}

// An egg brings the pH that its buffer was reckoned from, and a food that the catalog does not know the prior of low-acid food.
func TestFoodsOfTheChemistry(t *testing.T) {
	k := loadKitchen(t)
	egg := weighed(catalog.Egg, catalog.Item{ID: "egg", Family: "egg"}, 600, 600)
	unknown := composition.Line{
		Name: "moon rock", Class: catalog.LowAcid, InJar: true, State: composition.Given, Value: 1, WeightKnown: true, GramsLow: 100, GramsHigh: 100,
	}
	j := k.jarful(t, k.input(document.KindRelish, 4, egg, unknown, vinegar(500)))
	figure := k.chemistry.Buffer("egg", "egg", catalog.Egg)
	if got := j.Foods[0]; got.Name != "egg" || figure.NaturalPH == nil || got.PH != *figure.NaturalPH || got.Buffer.Key != "egg" {
		t.Errorf("%+v", got)
	}
	if got := j.Foods[1]; got.Name != "moon rock" || got.Buffer.Key != "low_acid" || got.PH != k.chemistry.NaturalPH(nil, catalog.LowAcid) {
		t.Errorf("%+v", got)
	}
	near(t, "egg and rock are low-acid food", j.Portion.LowAcidFoodKg, 0.7, 1e-9)
	if math.Abs(j.Bands.Mixture.WaterKg-1.2) > 1e-9 {
		t.Errorf("%g kg of water", j.Bands.Mixture.WaterKg)
	}
}

// The guide (usda-2015, p. 6-10) has 8 lb of cucumbers, 1 1/2 quarts of vinegar and 2 quarts of water for 7 to 9 pints
// of quick fresh-pack dill pickles: what the foods fill by printed yields, and what brine it takes, come to that.
func ExampleRead() {
	tables, _ := catalog.Load()
	scale, _ := composition.NewScale(tables, loadUnits())
	chemistry, _ := acidity.Load()
	matcher, _ := match.NewMatcher(tables, scale)
	request := &document.Request{Recipe: document.Recipe{
		Kind: document.KindBrined, Pack: document.PackRaw, Jar: &document.Jar{ID: "pint"}, Jars: new(8.0), Headspace: quantity(0.5, "in"),
		Ingredients: []document.Ingredient{
			{Item: "cucumber", Form: "pickling, 3 to 5 in, whole", Amount: quantity(8, "lb")},
			{Item: "vinegar", Amount: quantity(1.5, "qt"), AcidityPercent: new(5.0)},
			{Item: "canning salt", Amount: quantity(0.75, "cup")},
			{Item: "sugar", Amount: quantity(0.25, "cup")},
			{Item: "water", Amount: quantity(2, "qt")},
		},
	}}
	lines := composition.Read(request, tables, scale)
	matched := matcher.Match(request, &lines)
	made := Read(Input{request, &lines, &matched, tables, scale.Units(), chemistry})
	filled, _ := made.Batch.JarsFilled()
	needed, _ := made.Batch.BrineNeededML()
	fmt.Printf("the foods fill %.0f pints\n", filled.Value)
	fmt.Printf("%.1f L of brine are made, %.1f to %.1f L needed\n", made.Batch.BrineML/1000, needed.Low/1000, needed.High/1000)
	fmt.Printf("one jar holds %.0f g of food and %.0f mL of brine\n", made.Jarful.Foods[0].Kg*1000, made.Jarful.BrineML)
	// Output:
	// the foods fill 8 pints
	// 3.4 L of brine are made, 1.2 to 1.7 L needed
	// one jar holds 454 g of food and 153 mL of brine
}

// What is dissolved in water "to cover" is the batch's, and a jar gets its share of it: 21 g of citric acid, 0.1093 mol of
// 192.12 g, and 70 g of salt in 7 jars are 0.015615 mol and 10 g a jar. No vinegar, sugar or measured water is in the pot.
func TestWaterToCoverSharesWhatIsDissolved(t *testing.T) {
	k := loadKitchen(t)
	citric := weighed(catalog.Acid, catalog.Item{ID: "citric-acid"}, 21, 21)
	j := k.jarful(t, k.input(document.KindBrined, 7, food(1500), open(water(0)), citric, salt(70)))
	if !j.One {
		t.Fatalf("%+v", j)
	}
	near(t, "citric acid of the jar", j.Bands.Mixture.Acids[acidity.Citric], 0.015615, 1e-5)
	near(t, "salt of the jar", j.Portion.SaltG, 10, 1e-9)
}
