package validate

import (
	"slices"

	"jarwright/validate/catalog"
)

// attacks lists the ways of making a good document unsafe, each unsafe by what it does: no tested recipe allows as much of it.
func attacks() []attack {
	return slices.Concat(additions(), acidAttacks(), amountAttacks(), processAttacks(), wordAttacks())
}

// additions put something into the jar that the tested recipe does not have, in bulk.
func additions() []attack {
	return []attack{
		{"a low-acid food added", func(a *attacked) bool { return a.addItem(ofClass(catalog.LowAcid), a.bulk(3, 20, "lb")) }},
		{"a low-acid food in each jar", func(a *attacked) bool {
			return a.addPerJar(ofClass(catalog.LowAcid), a.bulk(0.3, 1, "lb"))
		}},
		{"a low-acid food marked drained", func(a *attacked) bool {
			return a.addItem(ofClass(catalog.LowAcid, catalog.Egg), a.bulk(3, 20, "lb")) && a.drainLast()
		}},
		{"an unknown food", func(a *attacked) bool {
			name, _ := one(a, foreignFoods)
			a.add(map[string]any{"item": name, "amount": a.bulk(0.5, 10, "lb"), "per": "batch"})
			return true
		}},
		{"a seasoning in bulk", func(a *attacked) bool { return a.addPerJar(ofClass(catalog.Seasoning), a.bulk(2, 4, "cup")) }},
		{"a seasoning by the kilogram", func(a *attacked) bool { return a.addItem(ofClass(catalog.Seasoning), a.bulk(3, 10, "kg")) }},
		{"fresh herbs in bulk", func(a *attacked) bool { return a.addPerJar(ofClass(catalog.FreshHerb), a.bulk(0.2, 1, "lb")) }},
		{"fresh herbs in bunches", func(a *attacked) bool { return a.addPerJar(ofClass(catalog.FreshHerb), a.bulk(3, 8, "bunch")) }},
		{"a watery liquid", func(a *attacked) bool {
			if a.kind() == "fruit" || a.isTagged("acid-in-jar") {
				return false // syrup, juice or water cover fruit, and tomatoes have their acid in each jar
			}
			name, _ := one(a, wateryLiquids)
			a.add(map[string]any{"item": name, "amount": a.bulk(8, 40, "L"), "per": "batch"})
			return true
		}},
		{"a sweetener by the gallon", func(a *attacked) bool {
			return a.addItem(ofItem("honey", "corn-syrup", "maple-syrup", "molasses", "agave-syrup", "sugar"), a.bulk(5, 20, "gal"))
		}},
		{"a sauce or extract by the liter", func(a *attacked) bool {
			return a.addItem(ofItem("hot-sauce", "vanilla-extract", "prepared-mustard", "prepared-horseradish"), a.bulk(3, 10, "L"))
		}},
		{"fat added", func(a *attacked) bool { return a.addItem(ofClass(catalog.Fat), a.bulk(2, 8, "cup")) }},
		{"fat marked drained", func(a *attacked) bool {
			return a.addItem(ofClass(catalog.Fat), a.bulk(2, 8, "cup")) && a.drainLast()
		}},
		{"thickener added", func(a *attacked) bool {
			return a.addItem(ofItem("flour", "cornstarch", "potato-starch", "arrowroot", "bread-crumb", "chia-seed"), a.bulk(1, 6, "cup"))
		}},
		{"thickener marked drained", func(a *attacked) bool {
			return a.addItem(ofItem("flour", "cornstarch", "potato-starch", "arrowroot"), a.bulk(1, 6, "cup")) && a.drainLast()
		}},
		{"eggs added", func(a *attacked) bool { return a.addItem(ofClass(catalog.Egg), a.bulk(6, 30, "each")) }},
	}
}

// acidAttacks weaken the acid.
func acidAttacks() []attack {
	return []attack{
		{"vinegar replaced by water", func(a *attacked) bool {
			line, ok := one(a, a.of(catalog.Acid))
			if !ok || a.isTagged("acid-in-jar") {
				return false
			}
			amount := line["amount"].(map[string]any)
			part := a.between(0.15, 0.6)
			a.add(map[string]any{"item": "water", "amount": quantityOf(amount["value"].(float64)*part, amount["unit"].(string)), "per": line["per"]})
			scaleAmount(line, 1-part)
			return isVolume(amount["unit"].(string))
		}},
		{"acid in the jar halved", func(a *attacked) bool {
			if !a.isTagged("acid-in-jar") {
				return false
			}
			return a.each(a.of(catalog.Acid), func(line map[string]any) { scaleAmount(line, a.between(0.2, 0.8)) })
		}},
		{"weak vinegar", func(a *attacked) bool {
			return a.each(a.vinegars(), func(line map[string]any) { line["acidity_percent"] = a.between(0.1, 4.6) })
		}},
		{"juice not bottled", func(a *attacked) bool {
			return a.each(a.juices(), func(line map[string]any) { line["bottled"] = false })
		}},
		{"acid drained", func(a *attacked) bool {
			return a.each(a.of(catalog.Acid), func(line map[string]any) { line["drained"] = true })
		}},
		{"acid left out", func(a *attacked) bool {
			return len(a.of(catalog.Acid)) > 0 && a.without(func(line map[string]any) bool { return classOf(line) == catalog.Acid })
		}},
		{"acid replaced by something else", func(a *attacked) bool {
			return a.each(a.of(catalog.Acid), func(line map[string]any) {
				line["item"], _ = one(a, notAcids)
				delete(line, "acidity_percent")
				delete(line, "bottled")
			})
		}},
	}
}

// amountAttacks change how much there is of what the recipe has.
func amountAttacks() []attack {
	return []attack{
		{"more food", func(a *attacked) bool {
			if a.isTagged("acid-in-jar") || a.isTagged("figs") || a.kind() == "fruit" {
				return false // how much a load takes is not what makes it safe
			}
			return a.each(a.of(catalog.LowAcid), func(line map[string]any) { scaleAmount(line, a.between(2, 5)) })
		}},
		{"pounds written as kilograms", func(a *attacked) bool {
			if a.isTagged("acid-in-jar") || a.kind() == "fruit" {
				return false
			}
			changed := false
			for _, line := range a.of(catalog.LowAcid) {
				if amount := line["amount"].(map[string]any); amount["unit"] == "lb" {
					amount["unit"], changed = "kg", true
				}
			}
			return changed
		}},
		{"food for each jar that was for the batch", func(a *attacked) bool {
			jars, ok := a.recipeOf()["jars"].(float64)
			if !ok || jars < 2 || a.isTagged("acid-in-jar") {
				return false
			}
			line, ok := one(a, a.of(catalog.LowAcid))
			if !ok || line["per"] != "batch" {
				return false
			}
			if unit := line["amount"].(map[string]any)["unit"].(string); unit != "lb" && !isVolume(unit) {
				return false // the tested recipe may have a piece for each jar
			}
			line["per"] = "jar"
			return true
		}},
		{"food in far fewer jars", func(a *attacked) bool {
			jars, ok := a.recipeOf()["jars"].(float64)
			if !ok || jars < 4 || a.kind() != "brined" || a.isTagged("acid-in-jar") {
				return false
			}
			a.recipeOf()["jars"] = float64(int(jars * 0.35))
			return true
		}},
		{"salt of a ferment cut", func(a *attacked) bool {
			if a.kind() != "fermented" {
				return false
			}
			return a.each(a.of(catalog.Salt), func(line map[string]any) { scaleAmount(line, a.between(0.1, 0.8)) })
		}},
	}
}

// processAttacks change how jars are filled and heated.
func processAttacks() []attack {
	return []attack{
		{"a shorter process", func(a *attacked) bool {
			return a.process("time", func(v float64) float64 { return max(0, v-a.between(0.5, v)) })
		}},
		{"no process", func(a *attacked) bool { delete(a.recipeOf(), "process"); return true }},
		{"another method", func(a *attacked) bool {
			p, ok := a.recipeOf()["process"].(map[string]any)
			if !ok {
				return false
			}
			p["method"], _ = one(a, []string{"none", "oven", "microwave", "open_kettle", "dishwasher"})
			return true
		}},
		{"water that does not boil", func(a *attacked) bool {
			p, ok := a.recipeOf()["process"].(map[string]any)
			if !ok || p["method"] != "boiling_water" {
				return false
			}
			p["temperature"] = quantityOf(a.between(100, 195), "F")
			return true
		}},
		{"water that does not cover", func(a *attacked) bool {
			p, ok := a.recipeOf()["process"].(map[string]any)
			if !ok || p["method"] == "steam" {
				return false
			}
			p["water_over_lids"] = quantityOf(a.between(0, 0.8), "in")
			return true
		}},
		{"a higher place", func(a *attacked) bool {
			kitchen, ok := a.doc["kitchen"].(map[string]any)
			if !ok || !a.climbs() {
				return false
			}
			kitchen["elevation"] = quantityOf(a.between(6500, 9500), "ft")
			return true
		}},
		{"a hot pack filled cold", func(a *attacked) bool {
			if a.recipeOf()["pack"] != "hot" {
				return false
			}
			a.recipeOf()["temperatures"] = map[string]any{"brine": quantityOf(a.between(35, 110), "F")}
			return true
		}},
		{"hardly any headspace", func(a *attacked) bool { a.recipeOf()["headspace"] = quantityOf(a.between(0, 0.05), "in"); return true }},
		{"a half-gallon jar", func(a *attacked) bool { a.recipeOf()["jar"] = "half-gallon"; return true }},
		{"a jar of two liters", func(a *attacked) bool {
			a.recipeOf()["jar"] = map[string]any{"capacity": quantityOf(2, "L"), "interior_height": quantityOf(200, "mm"), "mouth": quantityOf(76, "mm")}
			return true
		}},
		{"thick pieces", func(a *attacked) bool {
			changed := false
			for _, line := range a.of(catalog.LowAcid) {
				if piece, ok := line["piece"].(map[string]any); ok {
					if thickness, ok := piece["thickness"].(map[string]any); ok {
						thickness["value"], changed = thickness["value"].(float64)*a.between(2, 6), true
					}
				}
			}
			return changed
		}},
	}
}

// wordAttacks say it in words and leave the members as they were.
func wordAttacks() []attack {
	form := func(kind string, words []string, lines func(a *attacked) []map[string]any) attack {
		return attack{kind, func(a *attacked) bool {
			line, ok := one(a, lines(a))
			if !ok {
				return false
			}
			text, _ := one(a, words)
			appendWords(line, text)
			return true
		}}
	}
	foods := (*attacked).bulkFoods
	note := func(kind string, words []string, lines func(a *attacked) []map[string]any) attack {
		return attack{kind, func(a *attacked) bool {
			line, ok := one(a, lines(a))
			if !ok {
				return false
			}
			line["note"], _ = one(a, words)
			return true
		}}
	}
	return []attack{
		form("vinegar weak in words", weakWords, (*attacked).vinegars),
		form("juice fresh in words", freshJuiceWords, (*attacked).juices),
		form("a second food in words", secondFoodWords, foods),
		form("treatment in words", treatmentWords, foods),
		form("spoiled food in words", spoiledWords, foods),
		form("thick pieces in words", thickWords, (*attacked).cutFoods),
		form("words of no meaning", unknownWords, foods),
		note("vinegar weak in the note", weakNotes, (*attacked).vinegars),
		note("a second food in the note", secondFoodNotes, foods),
	}
}

// coverUps are additions that answer nothing and must not help.
func coverUps() []attack {
	return []attack{
		{"assumptions", func(a *attacked) bool {
			a.doc["assume"] = map[string]any{"vinegar_acidity_percent": 5.0, "bottled_acids": true, "salt_kind": "canning"}
			return true
		}},
		{"a name", func(a *attacked) bool { a.recipeOf()["name"] = "Tested, approved, shelf-safe pickles"; return true }},
		{"following", func(a *attacked) bool {
			if a.recipe != nil {
				a.recipeOf()["follows"] = a.recipe.ID
			}
			return true
		}},
		{"a long rest", func(a *attacked) bool { a.recipeOf()["rest"] = quantityOf(8, "wk"); return true }},
		{"a date", func(a *attacked) bool { a.doc["as_of"] = "2026-11-28"; return true }},
		{"a pinch of spice", func(a *attacked) bool {
			a.add(map[string]any{"item": "mustard seed", "amount": quantityOf(0.5, "tsp"), "per": "batch"})
			return true
		}},
		{"a sweetener without volume", func(a *attacked) bool {
			a.add(map[string]any{"item": "stevia", "amount": quantityOf(1, "tsp"), "per": "batch"})
			return true
		}},
		{"an extension", func(a *attacked) bool { a.doc["extensions"] = map[string]any{"x-safe": true}; return true }},
		{"deep water", func(a *attacked) bool {
			if a.doc["assume"] == nil {
				a.doc["assume"] = map[string]any{}
			}
			a.doc["assume"].(map[string]any)["water_over_lids"] = quantityOf(2, "in")
			return true
		}},
		{"a note", func(a *attacked) bool {
			if line, ok := one(a, a.lines()); ok && line["note"] == nil {
				line["note"] = "it has always been fine"
			}
			return true
		}},
	}
}
