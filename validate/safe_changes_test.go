package validate

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// Where changes.csv lets salt and sugar be cut: c058, c062, c063, c069; c070, c075.
func saltMayBeCut(p printed) bool {
	return inTags("salsa-guide-3", "fresh-pack-cucumbers", "fresh-pack", "tomato")(p)
}

func sugarMayBeCut(p printed) bool { return inTags("less-sugar", "tomato", "pie-filling")(p) }

func saltOrSoak(i *document.Ingredient) bool {
	found, ok := checker.tables.Resolve(i.Item)
	return ok && found.Item.Class == catalog.Salt
}

func both2(a, b func(printed) bool) func(printed) bool {
	return func(p printed) bool { return a(p) && b(p) }
}

// doubtfulIn reports whether a line of the recipe is noted as doubtful.
func doubtfulIn(p printed, item string) bool {
	return slices.ContainsFunc(p.recipe.Ingredients, func(i catalog.TestedIngredient) bool { return i.Item == item && i.Doubt != "" })
}

// jarsOf is how many jars of a size the printed yield fills: by capacity, and jars under a half-pint by what they hold under half an inch
// of headspace.
func jarsOf(p printed, id string, r *document.Request) float64 {
	jar, _ := checker.tables.Jar(id)
	from, ok := checker.tables.Jar(p.recipe.Yield.Unit)
	count := p.recipe.Yield.High
	if !ok {
		from, _ = checker.tables.Jar(p.jar)
		count = *r.Recipe.Jars
	}
	if jar.CapacityML >= 236 {
		return count * from.CapacityML / jar.CapacityML
	}
	const neckML = 36.3
	return count * (from.CapacityML - neckML) / (jar.CapacityML - neckML)
}

// pieces reports whether the printed pack is of pieces under a liquid.
func pieces(p printed) bool { return p.recipe.Packs[p.pack].JarClass.Pieces() }

func safeChanges() []change {
	salsa := inTags("salsa-guide-3")
	cucumbers := ids("bread-and-butter-pickles", "bread-and-butter-pickles-limed", "quick-fresh-pack-dill-pickles", "quick-sweet-pickles",
		"quick-sweet-pickles-limed",
		"no-sugar-added-sweet-cucumber-slices", "reduced-sodium-sliced-dill-pickles", "reduced-sodium-sliced-sweet-pickles")
	oneJar := func(id string) func(printed, *document.Request) bool {
		return func(p printed, r *document.Request) bool {
			small, _ := checker.tables.Jar(id)
			now, _ := checker.tables.Jar(p.jar)
			if small.CapacityML >= now.CapacityML {
				return false
			}
			for i := range r.Recipe.Ingredients {
				if line := &r.Recipe.Ingredients[i]; line.Per == document.PerJar {
					times(small.CapacityML / now.CapacityML)(line)
				}
			}
			r.Recipe.Jar = &document.Jar{ID: id}
			r.Recipe.Jars = new(math.Ceil(jarsOf(p, id, r) - 1e-9))
			return true
		}
	}
	scale := func(factor float64) func(printed, *document.Request) bool {
		return func(_ printed, r *document.Request) bool {
			if *r.Recipe.Jars*factor != float64(int(*r.Recipe.Jars*factor)) {
				return false
			}
			r.Recipe.Jars = new(*r.Recipe.Jars * factor)
			return each(r, func(i *document.Ingredient) bool { return measured(i) && i.Per == document.PerBatch }, times(factor))
		}
	}
	return []change{
		{"vinegar of 6 %", []string{"c004"}, "", edit(vinegar, func(i *document.Ingredient) { i.AcidityPercent = new(6.0) })},
		{"cider vinegar for white", []string{"c005"}, "", edit(vinegar, renamed("cider vinegar"))},
		{"malt vinegar of 5 %", nil, "", edit(vinegar, renamed("malt vinegar"))},
		{"white vinegar for cider", []string{"c005"}, "", edit(vinegar, renamed("distilled white vinegar"))},
		{"more vinegar", nil, "", only(not(func(p printed) bool {
			return pieces(p) && slices.ContainsFunc(p.recipe.Ingredients, func(i catalog.TestedIngredient) bool {
				return i.Item == "lemon-juice" && i.GoesInto == "jar" // which it would thin
			})
		}), more(both(vinegar, class(catalog.Acid)), 1.3))},
		{"bottled lemon juice for the vinegar", []string{"c008"}, "", only(salsa, edit(vinegar, func(i *document.Ingredient) {
			i.Item, i.AcidityPercent, i.Form, i.Bottled = "lemon juice", nil, "bottled", new(true)
		}))},
		{"bottled lime juice for lemon", []string{"c011"}, "", only(ids("tomato-salsa-paste-tomatoes", "tomato-paste-salsa", "choice-salsa"),
			edit(juice, renamed("lime juice")))},
		{
			"sugar against sourness",
			[]string{"c015"},
			"",
			only(both2(not(ids("marinated-whole-mushrooms")), either(pieces, printedFor("c015"))),
				adding(document.Ingredient{Item: "sugar", Amount: q(0.25, "cup"), Per: "batch"})),
		},
		{"a spoon of sugar", []string{"c015"}, "", adding(document.Ingredient{Item: "sugar", Amount: q(1, "tbsp"), Per: "batch"})},
		{"a cup of sugar where it is printed", []string{"c015"}, "", only(printedFor("c015"),
			adding(document.Ingredient{Item: "sugar", Amount: q(1, "cup"), Per: "batch"}))},
		{"half again as much sugar", []string{"c015"}, "", only(printedFor("c015"), more(family("sugar", "brown-sugar"), 1.5))},
		{"a fifth more sugar under pieces", []string{"c015"}, "", only(pieces, more(family("sugar", "brown-sugar"), 1.2))},
		{"vinegar for juice in tomatoes", []string{"c017"}, "", only(func(p printed) bool { return p.has("acidified-tomatoes") && !doubtfulIn(p, "vinegar") },
			func(p printed, r *document.Request) bool {
				jar, _ := checker.tables.Jar(p.jar)
				quart, _ := checker.tables.Jar("quart")
				return each(r, class(catalog.Acid), func(i *document.Ingredient) {
					*i = document.Ingredient{Item: "vinegar", Amount: q(4*jar.CapacityML/quart.CapacityML, "tbsp"), Per: "jar", AcidityPercent: new(5.0), Bottled: new(true)}
				})
			})},
		{
			"citric acid for juice in tomatoes and figs",
			[]string{"c017"},
			"",
			only(func(p printed) bool { return p.has("acid-in-jar") && p.recipe.ID != "asian-pears-acidified" }, func(p printed, r *document.Request) bool {
				jar, _ := checker.tables.Jar(p.jar)
				pint, _ := checker.tables.Jar("pint")
				return each(r, class(catalog.Acid), func(i *document.Ingredient) {
					*i = document.Ingredient{Item: "citric acid", Amount: q(0.25*jar.CapacityML/pint.CapacityML, "tsp"), Per: "jar"}
				})
			}),
		},
		{
			"a fifth more brine of the same strength",
			[]string{"c019"},
			"",
			only(func(p printed) bool { return p.recipe.Kind == "brined" && !p.has("acid-in-jar") }, more(both(class(catalog.Acid, catalog.Water), measured), 1.2)),
		},
		{"fewer onions, peppers and celery", []string{"c027"}, "", only(both2(inTags("salsa", "tomato"), not(ids("choice-salsa"))),
			more(family("onion", "sweet-pepper", "hot-pepper", "celery", "garlic"), 0.5))},
		{"another pepper", []string{"c031"}, "", only(salsa, edit(family("hot-pepper"), func(i *document.Ingredient) {
			if i.Amount.Unit != "each" {
				i.Item = "red bell pepper"
			}
		}))},
		{
			"a bell pepper of another color", nil, "",
			edit(func(i *document.Ingredient) bool { return strings.Contains(i.Item, "bell pepper") && measured(i) }, renamed("yellow bell pepper")),
		},
		{"canned chiles", []string{"c032"}, "", only(salsa, edit(family("hot-pepper"), func(i *document.Ingredient) { i.Form += ", canned" }))},
		{"onion of another color", []string{"c034"}, "", edit(family("onion"), renamed("red onion"))},
		{"zucchini for yellow squash", []string{"c035"}, "", only(ids("summer-squash-relish"), edit(family("summer-squash"), renamed("zucchini")))},
		{"mild mix of peppers", []string{"c036"}, "", only(ids("marinated-peppers", "marinated-peppers-hot-style"), func(_ printed, r *document.Request) bool {
			found := each(r, family("hot-pepper", "any-pepper"), func(i *document.Ingredient) { i.Item, i.Amount = "jalapeno pepper", q(1, "lb") })
			r.Recipe.Ingredients = append(r.Recipe.Ingredients, document.Ingredient{
				Item: "red bell pepper", Form: "whole or quartered", Amount: q(3, "lb"),
				Per: "batch",
			})
			return found
		})},
		{"any mix of onions and peppers", []string{"c037"}, "", only(ids("choice-salsa"), func(_ printed, r *document.Request) bool {
			found := each(r, family("onion-or-pepper"), func(i *document.Ingredient) { i.Item, i.Amount = "onion", q(4, "cup") })
			r.Recipe.Ingredients = append(r.Recipe.Ingredients, document.Ingredient{Item: "green bell pepper", Form: "1/4 in dice", Amount: q(5, "cup"), Per: "batch"})
			return found
		})},
		{
			"green tomatoes for ripe",
			[]string{"c039", "c040", "c041"},
			"",
			only(inTags("salsa-guide-3", "acidified-tomatoes"), edit(func(i *document.Ingredient) bool { return i.Item == "tomato" || i.Item == "tomatillo" },
				func(i *document.Ingredient) {
					if i.Item == "tomatillo" { // whose printed words are of no tomato
						i.Form = strings.Replace(i.Form, "husked, ", "", 1)
						i.Form = strings.Replace(i.Form, ", boiled, drained", "", 1)
					}
					i.Item = "green tomato"
				})),
		},
		{"tomatillos for ripe tomatoes", []string{"c039"}, "", only(ids("chile-salsa", "chile-salsa-ii", "tomato-salsa-slicing-tomatoes",
			"tomato-green-chile-salsa", "tomato-taco-sauce", "tomato-salsa-paste-tomatoes"), edit(family("tomato"), renamed("tomatillo")))},
		{"squash for cucumbers", []string{"c045"}, "", only(ids("bread-and-butter-pickles"), edit(family("cucumber"), func(i *document.Ingredient) {
			i.Item, i.Form = "zucchini", "slender, 1 to 1-1/2 in diameter, 3/16 in slices"
		}))},
		{"Brussels sprouts for cauliflower", []string{"c047"}, "", only(ids("pickled-cauliflower"),
			func(p printed, r *document.Request) bool {
				r.Recipe.Steps = nil // sprouts are blanched a minute longer
				return edit(family("cauliflower"), func(i *document.Ingredient) { i.Item, i.Form = "Brussels sprouts", "small, whole" })(p, r)
			})},
		{"baby carrots", []string{"c048"}, "", only(ids("pickled-carrots"), edit(family("carrot"), func(i *document.Ingredient) {
			i.Item, i.Form, i.Amount = "baby carrots", "whole, peeled", q(8.5, "cup")
		}))},
		{"baby beets", []string{"c049"}, "", only(ids("pickled-beets", "no-sugar-added-pickled-beets"),
			edit(family("beet"), func(i *document.Ingredient) { i.Form = "baby, 1 to 1-1/2 in diameter, whole" }))},
		{"onions left out", []string{"c050"}, "", only(ids("pickled-beets", "pickled-baby-beets", "no-sugar-added-pickled-beets"), omit(family("onion")))},
		{"onion slices in each jar", []string{"c051"}, "", only(ids("quick-sweet-pickles", "quick-sweet-pickles-limed"), hasLine(family("onion")))},
		{"frozen corn", []string{"c052"}, "", only(ids("pickled-corn-relish"),
			edit(family("corn"), func(i *document.Ingredient) { i.Form, i.Amount = "frozen whole kernel", q(60, "oz") }))},
		{"peaches for mangoes", []string{"c053"}, "", only(ids("mango-salsa"),
			edit(family("mango"), func(i *document.Ingredient) { i.Item, i.Form = "peach", "hard, underripe, 1/2 in cubes" }))},
		{"optional ingredients left out", []string{"c056"}, "", func(p printed, r *document.Request) bool {
			before := len(r.Recipe.Ingredients)
			r.Recipe.Ingredients = slices.DeleteFunc(r.Recipe.Ingredients, func(i document.Ingredient) bool {
				found, ok := checker.tables.Resolve(i.Item)
				return ok && slices.ContainsFunc(p.recipe.Ingredients, func(line catalog.TestedIngredient) bool {
					return line.Item == found.Item.ID && line.Optional && line.Form == i.Form
				})
			})
			return len(r.Recipe.Ingredients) < before
		}},
		{"dried spice doubled", []string{"c058"}, "", only(printedFor("c058"), more(class(catalog.Seasoning), 2))},
		{"dried spice left out", []string{"c058"}, "", omit(class(catalog.Seasoning))},
		{"another dried spice", []string{"c060"}, "", adding(document.Ingredient{Item: "star anise", Amount: q(1, "tbsp"), Per: "batch"})},
		{"salt halved in a cucumber pickle", []string{"c062"}, "", only(cucumbers, more(class(catalog.Salt), 0.5))},
		{
			"salt halved in a fresh pack",
			[]string{"c063", "c058", "c069"},
			"",
			only(saltMayBeCut, more(class(catalog.Salt), 0.5)),
		},
		{"no salt in a fresh pack", []string{"c063", "c069"}, "", only(saltMayBeCut, omit(saltOrSoak))},
		{
			"reduced-sodium salt in a quick pickle",
			[]string{"c065"},
			"",
			only(inTags("quick-pickle"), edit(class(catalog.Salt), func(i *document.Ingredient) { i.SaltKind = document.SaltReducedSodium })),
		},
		{"table salt", []string{"c067"}, "", edit(class(catalog.Salt), func(i *document.Ingredient) { i.SaltKind = document.SaltTable })},
		{"half the sugar", []string{"c070", "c075"}, "", only(sugarMayBeCut, more(family("sugar", "brown-sugar"), 0.5))},
		{"no sugar", []string{"c070"}, "", only(sugarMayBeCut, omit(class(catalog.Sugar)))},
		{
			"no sugar in beets, by the recipe that has none",
			[]string{"c071"},
			"",
			only(func(p printed) bool { return p.recipe.ID == "pickled-beets" && p.jar == "pint" }, func(p printed, r *document.Request) bool {
				r.Recipe.Follows = "no-sugar-added-pickled-beets"
				return omit(class(catalog.Sugar))(p, r) && more(both(class(catalog.Acid, catalog.Water), measured), 1.5)(p, r)
			}),
		},
		{"sucralose for sugar", []string{"c073"}, "", only(both2(kinds("fruit"), sugarMayBeCut), edit(class(catalog.Sugar), renamed("sucralose")))},
		{"honey for some sugar", []string{"c074"}, "", only(func(p printed) bool { return p.recipe.Kind == "fruit" },
			honeyForSugar)},
		{"flour paste in corn relish", []string{"c078"}, "", only(ids("pickled-corn-relish"), hasLine(family("flour")))},
		{"cornstarch in green tomato relish", []string{"c079"}, "", only(ids("pickled-green-tomato-relish"), hasLine(class(catalog.Thickener)))},
		{"lime, rinsed", []string{"c082"}, "", only(inTags("limed"), hasLine(family("pickling-lime")))},
		{"alum", []string{"c084"}, "", only(inTags("fermented-cucumbers"), adding(document.Ingredient{Item: "alum", Amount: q(0.25, "tsp"), Per: "jar"}))},
		{
			"calcium chloride",
			[]string{"c086"},
			"",
			only(inTags("quick-pickle"), adding(document.Ingredient{Item: "calcium chloride", Amount: q(0.125, "tsp"), Per: "jar"})),
		},
		{"a half-pint jar", []string{"c090"}, "", oneJar("half-pint")},
		{"a 12-ounce jar", []string{"c090"}, "", oneJar("12-ounce")},
		{"a 4-ounce jar", []string{"c090"}, "", oneJar("4-ounce")},
		{"a pint jar for a quart", []string{"c090"}, "", func(p printed, r *document.Request) bool { return p.jar == "quart" && oneJar("24-ounce")(p, r) }},
		{"low temperature where it is allowed", []string{"c097"}, "", only(mayBeLow, lowTemperature)},
		{"atmospheric steam", []string{"c099"}, "", func(_ printed, r *document.Request) bool {
			r.Recipe.Process.Method = document.MethodSteam
			return *r.Recipe.Process.Time.Value <= 45
		}},
		{
			"seasonings doubled for the pint of bell peppers",
			[]string{"c107"},
			"",
			only(func(p printed) bool { return p.recipe.ID == "pickled-bell-peppers" && p.jar == "pint" }, hasLine(family("garlic"))),
		},
		{"twice the batch", []string{"c108"}, "", scale(2)},
		{"half the batch", []string{"c108"}, "", scale(0.5)},
		{
			"slicing tomatoes for paste tomatoes",
			[]string{"c042"},
			"",
			only(ids("tomato-salsa-paste-tomatoes"),
				edit(func(i *document.Ingredient) bool { return i.Item == "tomato" }, func(i *document.Ingredient) {
					i.Form = strings.Replace(i.Form, "paste type", "slicing type", 1)
				})),
		},
		{"two small hot peppers for a spoon of them", []string{"c055"}, "", only(ids("oscar-relish"), edit(family("hot-pepper"), func(i *document.Ingredient) {
			i.Form, i.Amount = "small, red, ground", q(2, "each")
		}))},
		{"hot sauce for a spoon of hot pepper", []string{"c055"}, "", only(ids("oscar-relish"), edit(family("hot-pepper"), func(i *document.Ingredient) {
			i.Item, i.Form, i.Amount = "hot sauce", "", q(1, "tsp")
		}))},
		{"celery salt for celery seed", []string{"c061"}, "", only(ids("summer-squash-relish"), edit(family("celery-seed"), renamed("celery salt")))},
		{"a grape leaf", []string{"c111"}, "", only(func(p printed) bool { return p.recipe.Kind == "fermented" || p.has("cucumber") },
			adding(document.Ingredient{Item: "grape leaf", Amount: q(1, "each"), Per: "jar"}))},
		{"ten minutes longer", nil, "", func(_ printed, r *document.Request) bool {
			r.Recipe.Process.Time = q(*r.Recipe.Process.Time.Value+10, "min")
			r.Recipe.Process.WaterOverLids = q(2, "in")
			return true
		}},
		{"the jars sterilized where they need not be", nil, "", func(_ printed, r *document.Request) bool {
			r.Recipe.JarPreparation = document.JarsSterilized
			return true
		}},
		{"metric measures", nil, "", inMetric},
	}
}

// inMetric writes every mass in grams, every volume in milliliters, every length in millimeters, the elevation in meters.
// honeyForSugar puts a quarter cup of honey in place of as much of a cup of sugar or more.
func honeyForSugar(_ printed, r *document.Request) bool {
	const cups = 0.25
	for i := range r.Recipe.Ingredients {
		line := &r.Recipe.Ingredients[i]
		if line.Item == "sugar" && line.Amount.Unit == "cup" && line.Per == document.PerBatch && *line.Amount.Value >= 1 {
			*line.Amount.Value -= cups
			r.Recipe.Ingredients = append(r.Recipe.Ingredients, document.Ingredient{Item: "honey", Amount: q(cups, "cup"), Per: document.PerBatch})
			return true
		}
	}
	return false
}

func inMetric(_ printed, r *document.Request) bool {
	to := func(quantity *document.Quantity, dimension measure.Dimension, code string) {
		if quantity == nil || quantity.Value == nil {
			return
		}
		unit, _ := checker.units.Lookup(quantity.Unit)
		metric, _ := checker.units.Lookup(code)
		if unit.Dimension == dimension {
			*quantity = *q(metric.From(unit.SI(*quantity.Value)), code)
		}
	}
	for i := range r.Recipe.Ingredients {
		to(r.Recipe.Ingredients[i].Amount, measure.DimensionMass, "g")
		to(r.Recipe.Ingredients[i].Amount, measure.DimensionVolume, "mL")
	}
	to(r.Recipe.Headspace, measure.DimensionLength, "mm")
	to(r.Recipe.Process.WaterOverLids, measure.DimensionLength, "cm")
	to(r.Kitchen.Elevation, measure.DimensionLength, "m")
	return true
}

// TestSafeChangesKeepTheShelf does every safe change to every tested recipe in every printed pack and jar.
func TestSafeChangesKeepTheShelf(t *testing.T) {
	for _, c := range safeChanges() {
		done := 0
		for _, p := range everyPrinted() {
			for _, feet := range []float64{500, 6001} {
				request, timed := p.request(t, feet, false)
				if !timed || p.recipe.Canner != "boiling_water" || !c.apply(p, &request) {
					continue
				}
				done++
				if r := check(t, request); r.Disposition != report.Shelf {
					t.Errorf("%s: %s: %s (compared with %+v) %v", c.name, p, r.Disposition, r.Process, spoken(r))
				}
			}
		}
		if done == 0 {
			t.Errorf("%s: could not be expressed anywhere", c.name)
		}
	}
}
