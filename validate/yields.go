package validate

import (
	"fmt"
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/follow"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// Yield sets what a tested recipe prints as its yield beside what its amounts come to, in jars of one size.
type Yield struct {
	Recipe   *catalog.TestedRecipe
	Jar      string          // id of the jar that the yield is printed in
	Jars     *report.Derived // nil: it cannot be told
	Needed   *report.Derived // liquid for the printed number of jars; nil: all of it is mixed
	LeftOver *report.Derived // nil: the recipe makes as much as is needed, or it cannot be told
	Agrees   bool            // the computed range meets the printed one, the last jar not counted full
	Why      string          // why it does not, or what cannot be told; empty when both the jars and the liquid agree
}

// halfJar is what a printed number of jars may hide: the last one is seldom full. Ours, no source.
const halfJar = 0.5

// Yields lists the recipes that print a yield in jars, in the order of the table.
func (c *Checker) Yields() ([]Yield, error) {
	var list []Yield
	for i := range c.tables.Recipes {
		recipe := &c.tables.Recipes[i]
		jar, ok := c.tables.Jar(recipe.Yield.Unit)
		if !ok || recipe.Yield.High == 0 || len(recipe.Packs) == 0 {
			continue
		}
		yield, err := c.yield(recipe, jar)
		if err != nil {
			return nil, fmt.Errorf("yield of %s: %w", recipe.ID, err)
		}
		list = append(list, yield)
	}
	return list, nil
}

func (c *Checker) yield(recipe *catalog.TestedRecipe, jar *catalog.Jar) (Yield, error) {
	y := Yield{Recipe: recipe, Jar: jar.ID}
	choice := follow.Choice{Jar: recipe.Packs[0].Jars[0]}
	for i := range recipe.Packs {
		if slices.Contains(recipe.Packs[i].Jars, jar.ID) {
			choice.Pack, choice.Jar = i, jar.ID
			break
		}
	}
	choice.Minutes, _ = follow.MinutesAt(c.tables, recipe, choice.Pack, choice.Jar, 0)
	request, err := follow.Request(c.tables, recipe, choice)
	if err != nil {
		return y, err
	}
	request.Recipe.Follows = recipe.ID
	r := c.Run(&request, report.Options{})
	y.Jars, y.Needed, y.LeftOver = c.reckoned(&request), named(r.Derived, "brine_needed"), named(r.Derived, "brine_left_over")
	if y.Jars != nil && choice.Jar != jar.ID {
		printed, _ := c.tables.Jar(choice.Jar)
		inPrinted := scaled(*y.Jars, printed.CapacityML/jar.CapacityML)
		y.Jars = &inPrinted
	}
	y.Agrees = y.Jars != nil && *y.Jars.Low <= recipe.Yield.High+halfJar && *y.Jars.High >= recipe.Yield.Low-halfJar
	y.Why = y.why()
	return y, nil
}

// reckoned is how many jars the weights alone come to. Reports of a matched recipe give its printed yield instead; this is what they fall back
// on for recipes that match nothing. It is nil where that cannot be told.
func (c *Checker) reckoned(request *document.Request) *report.Derived {
	batch := facts.New(c.sources, request, false).Contents.Batch
	if batch == nil {
		return nil
	}
	filled, ok := batch.JarsFilled()
	if !ok {
		return nil
	}
	formula := "food and liquid by volume"
	if batch.Pieces {
		formula = "food as weighed"
	}
	return &report.Derived{Name: "jars_filled", Value: filled.Value, Low: &filled.Low, High: &filled.High, Unit: "jars", Formula: formula}
}

func named(list []report.Derived, name string) *report.Derived {
	for i := range list {
		if list[i].Name == name {
			return bounded(&list[i])
		}
	}
	return nil
}

// bounded is a figure whose bounds are both there.
func bounded(d *report.Derived) *report.Derived {
	whole := *d
	if whole.Low == nil {
		whole.Low, whole.High = &whole.Value, &whole.Value
	}
	return &whole
}

func scaled(d report.Derived, by float64) report.Derived {
	low, high := *d.Low*by, *d.High*by
	d.Value, d.Low, d.High = d.Value*by, &low, &high
	return d
}

// why says what parts the computed figures from the printed ones, as far as the printed recipe tells.
func (y *Yield) why() string {
	recipe := y.Recipe
	switch {
	case y.Jars == nil && recipe.CookedDown != nil:
		return "boiled down to no printed fraction"
	case y.Jars == nil:
		return "the amount of a food is not printed, or has no published weight"
	case y.Agrees:
		return y.whyLiquid()
	case strings.HasPrefix(recipe.Yield.Note, "canner load"):
		return "the printed yield is what one canner takes, not what the batch fills"
	case *y.Jars.Low > recipe.Yield.High && recipe.CookedDown != nil:
		return "more boils away than the printed fraction, and skins and seeds are taken out"
	case *y.Jars.Low > recipe.Yield.High && len(recipe.Soaks) > 0:
		return "salted or soaked and drained before: water is drawn out and poured away"
	case *y.Jars.Low > recipe.Yield.High:
		return "foods are weighed or measured before trimming, peeling, coring and cooking, which all take something away"
	}
	return "foods measured by the cup are taken at their published weights, which pack less tightly in a cup than in a jar"
}

// whyLiquid speaks of liquid that the recipe makes too little of by reckoning.
func (y *Yield) whyLiquid() string {
	if y.LeftOver == nil || *y.LeftOver.High >= 0 {
		return ""
	}
	return fmt.Sprintf("short of liquid at %s jars by reckoning: the foods shrink and give off water, or fewer jars are filled",
		measure.FormatNumber(y.Recipe.Yield.High))
}
