package validate

import (
	"slices"
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/report"
)

// change is one published change, as it is done to the request of a cook who otherwise follows a tested recipe. Outside
// truth: changes.csv, whose rows name the document; rows tells which. apply reports false where the change cannot be
// expressed in the recipe.
type change struct {
	name  string
	rows  []string
	rule  string // the rule that names an unsafe change
	apply func(p printed, r *document.Request) bool
}

const (
	ratioRule = "acid.published-ratio"
	extraRule = "ingredient.low-acid-extra"

	ratioOrExtra  = ratioRule + "|" + extraRule
	seasoningRule = "ingredient.salt-and-sugar"
)

func unsafeChanges() []change {
	salsa := inTags("salsa-guide-3")
	return []change{
		{"vinegar and juice cut by a quarter", []string{"c001", "c013", "c014", "c020"}, ratioRule, only(not(withoutWater), more(class(catalog.Acid), 0.75))},
		{"only the vinegar cut by a quarter", []string{"c001", "c013"}, ratioRule, only(not(withoutWater), more(vinegar, 0.75))},
		{
			"two thirds of the liquid left out",
			[]string{"c001", "c013", "c020"},
			"pack.brine-enough|acid.liquid-for-food|" + ratioRule, // of another recipe, where that is now nearer
			only(pieces, more(class(catalog.Acid, catalog.Water, catalog.Sugar, catalog.Fat), 0.3)),
		},
		{"acid left out", []string{"c016", "c018"}, ratioRule + "|acid.no-acid", omit(class(catalog.Acid))},
		{"a quarter more water", []string{"c001", "c020"}, ratioRule, more(class(catalog.Water), 1.25)},
		{"two cups of water added", []string{"c020"}, ratioRule, only(not(func(p printed) bool {
			return p.recipe.Kind == "fermented" || slices.ContainsFunc(p.recipe.Ingredients, func(i catalog.TestedIngredient) bool {
				return i.Role == "water" && i.Amount == nil && p.has("acid-in-jar")
			})
		}), adding(document.Ingredient{Item: "water", Amount: q(2, "cup"), Per: "batch"}))},
		{
			"measured water where the least is printed",
			[]string{"c110"},
			ratioRule,
			only(ids("pickled-sweet-green-tomatoes"), edit(class(catalog.Water), func(i *document.Ingredient) { i.Amount = q(4, "cup") })),
		},
		{"vinegar of 4 %", []string{"c003", "c023"}, "acid.vinegar-strength", edit(vinegar, func(i *document.Ingredient) { i.AcidityPercent = new(4.0) })},
		{"vinegar of unknown strength", []string{"c002"}, "acid.vinegar-strength", edit(vinegar, func(i *document.Ingredient) { i.AcidityPercent = nil })},
		{"homemade vinegar by name", []string{"c006"}, "acid.vinegar-origin", edit(vinegar, renamed("homemade vinegar"))},
		{"homemade vinegar by form", []string{"c006"}, "acid.vinegar-origin", edit(vinegar, func(i *document.Ingredient) { i.Form, i.Bottled = "homemade", nil })},
		{"vinegar not bought", []string{"c006"}, "acid.vinegar-origin", edit(vinegar, func(i *document.Ingredient) { i.Bottled = new(false) })},
		{"wine vinegar", []string{"c024"}, "acid.vinegar-origin", edit(vinegar, renamed("wine vinegar"))},
		{"cleaning vinegar", []string{"c024"}, "acid.vinegar-origin", edit(vinegar, func(i *document.Ingredient) { i.AcidityPercent = new(10.0) })},
		{
			"a quarter more low-acid vegetables",
			[]string{"c001", "c025", "c026", "c029", "c030"},
			ratioRule + "|ingredient.salt-in-ferment|pack.food-per-jar|pack.piece-size",
			only(not(ids("pickled-asparagus-12oz")), moreLowAcid),
		},
		{"a quarter more onion and pepper", []string{"c025"}, ratioRule, only(salsa, more(family("onion", "sweet-pepper", "hot-pepper"), 1.25))},
		{
			"half as much garlic and celery again",
			[]string{"c026"},
			ratioRule,
			only(func(p printed) bool { return p.has("salsa") || p.recipe.Kind == "relish" || p.recipe.Kind == "sauce" }, more(family("garlic", "celery"), 1.5)),
		},
		{"a quarter fewer tomatoes", []string{"c028"}, ratioRule, only(func(p printed) bool {
			return (p.has("salsa") || p.has("tomato")) && slices.ContainsFunc(p.recipe.Ingredients,
				func(i catalog.TestedIngredient) bool { return i.Role == "low_acid" })
		}, following(more(both(class(catalog.AcidFood), family("tomato", "green-tomato", "tomatillo")), 0.75)))},
		{
			"a vegetable not listed",
			[]string{"c026", "c038"},
			extraRule,
			adding(document.Ingredient{Item: "broccoli", Form: "chopped", Amount: q(1, "cup"), Per: "batch"}),
		},
		{"an item nobody knows", []string{"c038"}, extraRule, adding(document.Ingredient{Item: "moonroot", Amount: q(1, "cup"), Per: "batch"})},
		{"fresh juice for bottled", []string{"c007"}, "acid.juice-bottled", edit(juice, func(i *document.Ingredient) { i.Bottled, i.Form = new(false), "fresh" })},
		{"juice not said to be bottled", []string{"c007"}, "acid.juice-bottled", edit(juice, func(i *document.Ingredient) { i.Bottled, i.Form = nil, "" })},
		{"vinegar for juice", []string{"c009", "c010"}, ratioRule, only(func(p printed) bool { return p.has("salsa") }, func(_ printed, r *document.Request) bool {
			return each(r, juice, func(i *document.Ingredient) {
				i.Item, i.Form, i.AcidityPercent, i.Bottled = "white vinegar", "", new(5.0), new(true)
			})
		})},
		{"key lime juice", []string{"c012"}, "acid.juice-bottled", only(func(p printed) bool { return p.has("salsa") }, edit(juice, renamed("key lime juice")))},
		{"bell peppers for the same number of small ones", []string{"c033"}, ratioOrExtra, only(inTags("salsa"), func(_ printed, r *document.Request) bool {
			return each(r, func(i *document.Ingredient) bool {
				return family("hot-pepper")(i) && i.Amount != nil && i.Amount.Unit == "each"
			}, func(i *document.Ingredient) { i.Item, i.Form = "green bell pepper", "chopped" })
		})},
		{"large onions for the same number", []string{"c001"}, ratioRule, only(ids("oscar-relish"), edit(family("onion"), func(i *document.Ingredient) {
			i.Form, i.Amount = "large, ground", q(6, "each")
		}))},
		{
			"tomatoes from killed vines",
			[]string{"c043"},
			"ingredient.unsuitable",
			only(inTags("salsa-guide-3", "tomato"), edit(both(family("tomato"), class(catalog.AcidFood)),
				func(i *document.Ingredient) { i.Form += ", from frost-killed vines" })),
		},
		{
			"drained tomatoes",
			[]string{"c044"},
			"ingredient.unsuitable",
			only(salsa, edit(both(family("tomato"), class(catalog.AcidFood)), func(i *document.Ingredient) { i.Form += ", drained" })),
		},
		{"lime with squash", []string{"c046"}, "acid.lime-rinsed", only(ids("squash-bread-and-butter-pickles"),
			adding(document.Ingredient{Item: "pickling lime", Amount: q(1, "cup"), Per: "batch", Drained: new(true), Rinses: new(3.0)}))},
		{"lime rinsed twice", []string{"c083"}, "acid.lime-rinsed", edit(family("pickling-lime"), func(i *document.Ingredient) { i.Rinses = new(2.0) })},
		{"ripe mango or peach", []string{"c054"}, "", only(ids("mango-salsa", "peach-salsa", "mango-chutney", "peach-apple-salsa"),
			edit(family("mango", "peach"), func(i *document.Ingredient) { i.Form = "ripe, chopped" }))},
		{"twice the fresh cilantro", []string{"c059"}, "ingredient.fresh-herb", only(salsa, more(family("cilantro", "coriander"), 2))},
		{
			"a cup of fresh basil in each jar",
			[]string{"c059"},
			"ingredient.fresh-herb",
			adding(document.Ingredient{Item: "fresh basil", Amount: q(1, "cup"), Per: "jar"}),
		},
		{"a pound of fresh ginger", nil, "ingredient.fresh-herb", adding(document.Ingredient{Item: "ginger root", Form: "grated", Amount: q(1, "lb"), Per: "batch"})},
		{"less salt in a ferment", []string{"c064"}, "ingredient.salt-in-ferment", only(kinds("fermented"), more(class(catalog.Salt), 0.75))},
		{
			"reduced-sodium salt in a ferment",
			[]string{"c066"},
			"ingredient.salt-in-ferment",
			only(kinds("fermented"), edit(class(catalog.Salt), func(i *document.Ingredient) { i.SaltKind = document.SaltReducedSodium })),
		},
		{
			"flake salt by volume in a ferment",
			[]string{"c068"},
			"ingredient.salt-in-ferment",
			only(kinds("fermented"), edit(both(class(catalog.Salt), byVolume), func(i *document.Ingredient) { i.SaltKind = document.SaltKosherFlake })),
		},
		{
			"blossom end left on",
			[]string{"c087"},
			"ingredient.blossom-end",
			edit(family("cucumber"), func(i *document.Ingredient) { i.Form += ", blossom end left on" }),
		},
		{"flour added", []string{"c077"}, "ingredient.thickener", adding(document.Ingredient{Item: "flour", Amount: q(0.5, "cup"), Per: "batch"})},
		{"cornstarch added", []string{"c077"}, "ingredient.thickener", adding(document.Ingredient{Item: "cornstarch", Amount: q(3, "tbsp"), Per: "batch"})},
		{"oil added", []string{"c081"}, "ingredient.fat|" + ratioRule, adding(document.Ingredient{Item: "olive oil", Amount: q(0.5, "cup"), Per: "batch"})},
		{"larger pieces", []string{"c088"}, "pack.piece-size", larger},
		{"a larger jar", []string{"c089", "c091"}, "pack.jar-size|process.altitude-time", only(not(ids("pickled-asparagus-12oz")), nextLargerJar)},
		{"the pack that is not printed", []string{"c092"}, "pack.style", otherPack},
		{"cold pack", []string{"c092"}, "pack.style", func(_ printed, r *document.Request) bool { r.Recipe.Pack = document.PackCold; return true }},
		{"headspace of an eighth of an inch", nil, "pack.headspace", headspaceOf(0.125)},
		{"headspace of two inches", nil, "pack.headspace", headspaceOf(2)},
		{"minutes of the band below", []string{"c093", "c094"}, "process.altitude-time", bandBelow},
		{"no process", []string{"c093"}, "process.method", func(_ printed, r *document.Request) bool {
			r.Recipe.Process = &document.Process{Method: document.MethodNone}
			return true
		}},
		{"oven", []string{"c096"}, "process.method", method(document.MethodOven)},
		{"open kettle", []string{"c096"}, "process.method", method(document.MethodOpenKettle)},
		{"microwave", []string{"c096"}, "process.method", method(document.MethodMicrowave)},
		{"dishwasher", []string{"c096"}, "process.method", method(document.MethodDishwasher)},
		{"canning powder", []string{"c101"}, "process.method", method(document.MethodCanningPowder)},
		{"steam too long", []string{"c099"}, "process.steam-limit", steamTooLong},
		{"low temperature where it is not allowed", []string{"c098"}, "process.low-temperature", only(not(mayBeLow), lowTemperature)},
		{"jars not sterile", []string{"c100"}, "process.sterile-jars", func(_ printed, r *document.Request) bool {
			r.Recipe.JarPreparation = document.JarsHot
			return *r.Recipe.Process.Time.Value < 10
		}},
		{
			"pureed vegetables",
			[]string{"c103"},
			"ingredient.pureed",
			edit(both(class(catalog.LowAcid), func(i *document.Ingredient) bool { return i.Form != "" }), func(i *document.Ingredient) { i.Form = "pureed" }),
		},
		{"alum", []string{"c085"}, "process.published-match", only(not(inTags("fermented-cucumbers")),
			adding(document.Ingredient{Item: "alum", Amount: q(0.25, "tsp"), Per: "jar"}))},
		{"vinegar in tomatillos", []string{"c113"}, ratioRule, only(inTags("acidified-tomatillos"), edit(class(catalog.Acid), func(i *document.Ingredient) {
			*i = document.Ingredient{Item: "vinegar", Amount: q(4, "tbsp"), Per: "jar", AcidityPercent: new(5.0), Bottled: new(true)}
		}))},
		{"vinegar in a tomato sauce, in doubt", nil, "process.published-match", only(func(p printed) bool { return doubtfulIn(p, "vinegar") },
			following(edit(class(catalog.Acid), func(i *document.Ingredient) {
				*i = document.Ingredient{Item: "vinegar", Amount: q(4, "tbsp"), Per: "jar", AcidityPercent: new(5.0), Bottled: new(true)}
			})))},
		{"ripe tomatoes for green ones and tomatillos", []string{"c114"}, "process.published-match", only(inTags("tomatillo", "green-tomato"),
			following(edit(family("tomatillo", "green-tomato"), renamed("tomato"))))},
		{"white peaches by form", []string{"c115"}, "ingredient.unsuitable", edit(family("peach"), func(i *document.Ingredient) { i.Form += ", white flesh" })},
		{"white peaches by name", []string{"c115"}, "ingredient.unsuitable", edit(family("peach"), renamed("white peaches"))},
		{"slicing tomatoes where paste tomatoes are printed", nil, "ingredient.unsuitable", only(both2(ids("tomato-taco-sauce"), not(inTags("paste-tomatoes"))),
			edit(family("tomato"), func(i *document.Ingredient) { i.Form = strings.Replace(i.Form, "paste type", "slicing type", 1) }))},
		{"half the salt of days in brine", []string{"c117"}, seasoningRule, only(inTags("days-in-brine"), edit(saltOrSoak, times(0.5)))},
		{"half the salt", nil, seasoningRule, only(both2(not(saltMayBeCut), not(kinds("fermented"))), edit(saltOrSoak, times(0.5)))},
		{"no salt", nil, seasoningRule, only(both2(not(saltMayBeCut), not(kinds("fermented"))), omit(saltOrSoak))},
		{"half the sugar", nil, seasoningRule, only(not(sugarMayBeCut), edit(class(catalog.Sugar), times(0.5)))},
		{"no sugar", nil, "", only(not(sugarMayBeCut), omit(class(catalog.Sugar)))},
		{"too little water over the jars", nil, "process.water-cover", func(_ printed, r *document.Request) bool {
			r.Recipe.Process.WaterOverLids = q(0.5, "in")
			return true
		}},
	}
}

// contradictions are unsafe changes that one member tells of, mostly a free text, while the other members say that all is well. The text counts. They
// are not among the changes whose members are left out one by one: without its text such a request is that of the tested recipe.
func contradictions() []change {
	return []change{
		{"fresh juice that is called bottled", []string{"c007"}, "acid.juice-bottled", edit(juice, func(i *document.Ingredient) { i.Form = "freshly squeezed" })},
		{
			"diluted vinegar with another denial",
			[]string{"c001", "c020"},
			"acid.vinegar-strength",
			edit(vinegar, func(i *document.Ingredient) { i.Form = "diluted with water, no sugar" }),
		},
		{"diluted juice", []string{"c001"}, "acid.juice-bottled", edit(juice, func(i *document.Ingredient) { i.Form = "bottled, diluted with water" })},
		{"diluted vinegar", []string{"c001", "c020"}, "acid.vinegar-strength", edit(vinegar, func(i *document.Ingredient) { i.Form = "diluted 1:1 with water" })},
		{
			"reduced-sodium salt in tomatoes and other recipes that are no quick pickles",
			[]string{"c116"},
			seasoningRule,
			only(both2(not(inTags("quick-pickle")), not(kinds("fermented"))),
				edit(class(catalog.Salt), func(i *document.Ingredient) { i.SaltKind = document.SaltReducedSodium })),
		},
		{"homemade vinegar that is called bottled", []string{"c006"}, "acid.vinegar-origin", edit(vinegar, func(i *document.Ingredient) { i.Form = "homemade" })},
	}
}

// TestUnsafeChangesLoseTheShelf does every unsafe change to every tested recipe in every printed pack and jar.
func TestUnsafeChangesLoseTheShelf(t *testing.T) {
	done := map[string]int{}
	for _, c := range append(unsafeChanges(), contradictions()...) {
		for _, p := range everyPrinted() {
			for _, feet := range []float64{500, 6001} {
				request, timed := p.request(t, feet, feet > 1000)
				if !timed || p.recipe.Canner != "boiling_water" || !c.apply(p, &request) {
					continue
				}
				done[c.name]++
				r := check(t, request)
				// A blossom end softens the pickle and takes nothing from its safety.
				if keeps := c.rule == "ingredient.blossom-end"; (r.Disposition == report.Shelf) != keeps {
					t.Errorf("%s: %s: %s (compared with %s)", c.name, p, r.Disposition, r.Process.Recipe)
				}
				if c.rule != "" && !speaks(r, c.rule) {
					t.Errorf("%s: %s: %s says nothing; %v", c.name, p, c.rule, spoken(r))
				}
			}
		}
		if done[c.name] == 0 {
			t.Errorf("%s: could not be expressed anywhere", c.name)
		}
	}
}

// speaks reports whether one of the rules, parted by bars, has a finding.
func speaks(r report.Report, rules string) bool {
	return slices.ContainsFunc(r.Findings, func(f report.Finding) bool { return slices.Contains(strings.Split(rules, "|"), f.Rule) })
}

func spoken(r report.Report) []string {
	var all []string
	for _, f := range aboveInfo(r) {
		all = append(all, f.Rule+" at "+f.At)
	}
	return all
}
