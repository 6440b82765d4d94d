package main

import (
	"bytes"
	"fmt"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/follow"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// edge is one small change to a followed recipe that lies just inside or just outside of what a rule compares with, so that
// the lock moves when a comparison or a limit does. It reports false where the recipe has nothing of the kind.
type edge struct {
	name  string
	apply func(*edited) bool
}

// edited is a followed recipe with the classes of its lines.
type edited struct {
	document.Request
	classes    []catalog.Class
	capacityML float64 // of its jar
}

// scaled multiplies the amounts of all lines of some classes.
func scaled(by float64, classes ...catalog.Class) func(*edited) bool {
	return func(e *edited) bool {
		changed := false
		for i := range e.Recipe.Ingredients {
			line := &e.Recipe.Ingredients[i]
			if line.Amount == nil || line.Amount.Value == nil || !slices.Contains(classes, e.classes[i]) {
				continue
			}
			line.Amount = quantityOf(*line.Amount.Value*by, line.Amount.Unit)
			changed = true
		}
		return changed
	}
}

func quantityOf(value float64, unit string) *document.Quantity {
	return &document.Quantity{Value: &value, Unit: unit}
}

// added puts one more line in.
func added(item, form string, value float64, unit string) func(*edited) bool {
	return func(e *edited) bool {
		e.Recipe.Ingredients = append(e.Recipe.Ingredients, document.Ingredient{
			Item: item, Form: form, Amount: quantityOf(value, unit), Per: document.PerBatch,
		})
		return true
	}
}

// lines changes each line of a class.
func lines(class catalog.Class, change func(*document.Ingredient)) func(*edited) bool {
	return func(e *edited) bool {
		changed := false
		for i := range e.Recipe.Ingredients {
			if e.classes[i] == class {
				change(&e.Recipe.Ingredients[i])
				changed = true
			}
		}
		return changed
	}
}

// processed changes the process of a recipe that has one.
func processed(change func(*document.Process)) func(*edited) bool {
	return func(e *edited) bool {
		if e.Recipe.Process != nil {
			change(e.Recipe.Process)
		}
		return e.Recipe.Process != nil
	}
}

func timed(by float64) func(*edited) bool {
	return processed(func(p *document.Process) { p.Time = quantityOf(*p.Time.Value+by, p.Time.Unit) })
}

func covered(inches float64) func(*edited) bool {
	return processed(func(p *document.Process) { p.WaterOverLids = quantityOf(inches, "in") })
}

func lowTemperature(minutes, fahrenheit float64) func(*edited) bool {
	return processed(func(p *document.Process) {
		p.Method, p.Time, p.Temperature = document.MethodLowTemperature, quantityOf(minutes, "min"), quantityOf(fahrenheit, "F")
	})
}

func deeper(inches float64) func(*edited) bool {
	return func(e *edited) bool {
		e.Recipe.Headspace = quantityOf(*e.Recipe.Headspace.Value+inches, "in")
		return *e.Recipe.Headspace.Value > 0
	}
}

func at(feet float64) func(*edited) bool {
	return func(e *edited) bool {
		e.Kitchen = &document.Kitchen{Elevation: quantityOf(feet, "ft")}
		return true
	}
}

// thicker scales the pieces of every line that says how large they are.
func thicker(by float64) func(*edited) bool {
	return func(e *edited) bool {
		changed := false
		for i := range e.Recipe.Ingredients {
			piece := e.Recipe.Ingredients[i].Piece
			if piece == nil {
				continue
			}
			larger := *piece
			for _, side := range []**document.Quantity{&larger.Length, &larger.Thickness} {
				if *side != nil {
					*side = quantityOf(*(*side).Value*by, (*side).Unit)
				}
			}
			e.Recipe.Ingredients[i].Piece = &larger
			changed = true
		}
		return changed
	}
}

// edges lists the changes. The amounts straddle what tables and tolerances say today; they judge nothing themselves.
var edges = []edge{
	{"acid-1-percent-less", scaled(0.99, catalog.Acid)},
	{"acid-3-percent-less", scaled(0.97, catalog.Acid)},
	{"food-1-percent-more", scaled(1.01, catalog.LowAcid)},
	{"food-3-percent-more", scaled(1.03, catalog.LowAcid)},
	{"acid-food-3-percent-less", scaled(0.97, catalog.AcidFood)},
	{"acid-food-a-third-less", scaled(0.66, catalog.AcidFood)},
	{"acid-food-6-percent-more", scaled(1.06, catalog.AcidFood)},
	{"water-1-percent-more", scaled(1.01, catalog.Water)},
	{"water-5-percent-more", scaled(1.05, catalog.Water)},
	{"salt-1-percent-less", scaled(0.99, catalog.Salt)},
	{"salt-5-percent-less", scaled(0.95, catalog.Salt)},
	{"sugar-halved", scaled(0.5, catalog.Sugar)},
	{"herbs-twice", scaled(2, catalog.FreshHerb)},
	{"herbs-two-and-a-half-times", scaled(2.5, catalog.FreshHerb)},
	{"thickener-twice", scaled(2, catalog.Thickener)},
	{"fat-5-percent-more", scaled(1.05, catalog.Fat)},
	{"half-a-minute-short", timed(-0.5)},
	{"half-a-minute-long", timed(0.5)},
	{"water-0.97-in", covered(0.97)},
	{"water-0.985-in", covered(0.985)},
	{"water-1.95-in", covered(1.95)},
	{"low-temperature-28-min", lowTemperature(28, 180)},
	{"low-temperature-30-min", lowTemperature(30, 180)},
	{"low-temperature-179-f", lowTemperature(30, 179)},
	{"headspace-a-sixteenth-more", deeper(1.0 / 16)},
	{"headspace-an-eighth-more", deeper(1.0 / 8)},
	{"headspace-a-sixteenth-less", deeper(-1.0 / 16)},
	{"headspace-an-eighth-less", deeper(-1.0 / 8)},
	{"at-1000.5-ft", at(1000.5)},
	{"at-10000-ft", at(10_000)},
	{"elevation-not-said", func(e *edited) bool { e.Kitchen = nil; return true }},
	{"jars-only-washed", func(e *edited) bool { e.Recipe.JarPreparation = document.JarsClean; return true }},
	{"pieces-3-percent-larger", thicker(1.03)},
	{"pieces-10-percent-larger", thicker(1.10)},
	{"vinegar-of-4.9-percent", lines(catalog.Acid, func(l *document.Ingredient) {
		if l.AcidityPercent != nil {
			l.AcidityPercent = new(4.9)
		}
	})},
	{"acid-of-no-known-strength", lines(catalog.Acid, func(l *document.Ingredient) { l.AcidityPercent, l.Bottled = nil, nil })},
	{"flake-salt", lines(catalog.Salt, func(l *document.Ingredient) { l.SaltKind = document.SaltKosherFlake })},
	{"reduced-sodium-salt", lines(catalog.Salt, func(l *document.Ingredient) { l.SaltKind = document.SaltReducedSodium })},
	{"one-rinse-less", lines(catalog.Firming, func(l *document.Ingredient) {
		if l.Rinses != nil {
			l.Rinses = new(*l.Rinses - 1)
		}
	})},
	{"steam-46-min", processed(func(p *document.Process) { p.Method, p.Time = document.MethodSteam, quantityOf(46, "min") })},
	{"steam-45-min", processed(func(p *document.Process) { p.Method, p.Time = document.MethodSteam, quantityOf(45, "min") })},
	{"a-jar-0.4-percent-larger", ownJar(1.004)},
	{"a-jar-10-percent-larger", ownJar(1.10)},
	{"oil-added", added("vegetable oil", "", 1, "cup")},
	{"flour-added", added("flour", "", 2, "tbsp")},
	{"onion-added", added("onion", "chopped", 8, "oz")},
	{"a-word-nobody-knows", added("wobblefruit", "", 1, "cup")},
	{"spices-added", added("mustard seed", "", 1, "tbsp")},
	{"food-marked-as-poured-away", lines(catalog.LowAcid, func(l *document.Ingredient) { l.Drained = new(true) })},
	{"acid-marked-as-poured-away", lines(catalog.Acid, func(l *document.Ingredient) { l.Drained = new(true) })},
	{"beans-marked-as-poured-away", func(e *edited) bool {
		added("black beans", "canned", 4, "cup")(e)
		e.Recipe.Ingredients[len(e.Recipe.Ingredients)-1].Drained = new(true)
		return true
	}},
	{"steps-not-said", func(e *edited) bool { e.Recipe.Steps = nil; return true }},
	{"steps-half-as-long", stepped(0.5)},
	{"steps-2-percent-shorter", stepped(0.98)},
	{"filled-at-130-f", filledAt(130)},
	{"filled-at-170-f", filledAt(170)},
	{"boils-at-205-f", processed(func(p *document.Process) { p.Temperature = quantityOf(205, "F") })},
	{"boils-at-209-f", processed(func(p *document.Process) { p.Temperature = quantityOf(209, "F") })},
	{"steam-and-cold-jars", func(e *edited) bool {
		e.Recipe.JarPreparation = document.JarsClean
		return processed(func(p *document.Process) { p.Method = document.MethodSteam })(e)
	}},
	{"pieces-at-the-rim", func(e *edited) bool { e.Recipe.SolidsHeadspace = quantityOf(0, "in"); return true }},
}

// stepped scales the times of all steps.
func stepped(by float64) func(*edited) bool {
	return func(e *edited) bool {
		changed := false
		for i := range e.Recipe.Steps {
			if time := e.Recipe.Steps[i].Time; time != nil {
				e.Recipe.Steps[i].Time, changed = quantityOf(*time.Value*by, time.Unit), true
			}
		}
		return changed
	}
}

func filledAt(fahrenheit float64) func(*edited) bool {
	return func(e *edited) bool {
		e.Recipe.Temperatures = &document.Temperatures{Brine: quantityOf(fahrenheit, "F")}
		return true
	}
}

// ownJar describes the jar by its capacity, larger by a factor.
func ownJar(by float64) func(*edited) bool {
	return func(e *edited) bool {
		if e.Recipe.Jar == nil || e.capacityML == 0 {
			return false
		}
		e.Recipe.Jar = &document.Jar{Capacity: quantityOf(e.capacityML*by, "mL")}
		return true
	}
}

// edgeDocuments makes every change to every tested recipe, in its first printed pack and jar in a kitchen at 500 ft.
func edgeDocuments(tables *catalog.Tables) ([]lockedDocument, error) {
	var documents []lockedDocument
	for i := range tables.Recipes {
		recipe := &tables.Recipes[i]
		if len(recipe.Packs) == 0 {
			continue
		}
		choice := follow.Choice{Jar: recipe.Packs[0].Jars[0], ElevationFeet: corpusElevation}
		choice.Minutes, _ = follow.MinutesAt(tables, recipe, 0, choice.Jar, corpusElevation*measure.Foot)
		for _, change := range edges {
			request, err := follow.Request(tables, recipe, choice)
			if err != nil {
				return nil, fmt.Errorf("follow a recipe to its edges: %w", err)
			}
			e := edited{Request: request}
			if jar, ok := tables.Jar(choice.Jar); ok {
				e.capacityML = jar.CapacityML
			}
			for _, line := range request.Recipe.Ingredients {
				class := catalog.LowAcid
				if found, ok := tables.Resolve(line.Item); ok {
					class = found.Item.Class
				}
				e.classes = append(e.classes, class)
			}
			if !change.apply(&e) {
				continue
			}
			var body bytes.Buffer
			if err := report.Encode(&body, e.Request); err != nil {
				return nil, fmt.Errorf("encode %s: %w", recipe.ID, err)
			}
			documents = append(documents, lockedDocument{fmt.Sprintf("edge/%s/%s", recipe.ID, change.name), body.Bytes()})
		}
	}
	return documents, nil
}
