package validate

import (
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/follow"
	"jarwright/validate/measure"
)

func q(value float64, unit string) *document.Quantity {
	return &document.Quantity{Value: &value, Unit: unit}
}

func (p printed) has(tag string) bool { return slices.Contains(p.recipe.Tags, tag) }

// each runs edit on the lines that fit and reports whether any did.
func each(r *document.Request, fits func(*document.Ingredient) bool, edit func(*document.Ingredient)) bool {
	found := false
	for i := range r.Recipe.Ingredients {
		if line := &r.Recipe.Ingredients[i]; fits(line) {
			edit(line)
			found = true
		}
	}
	return found
}

func class(classes ...catalog.Class) func(*document.Ingredient) bool {
	return func(i *document.Ingredient) bool {
		found, ok := checker.tables.Resolve(i.Item)
		return ok && slices.Contains(classes, found.Item.Class) && (i.Drained == nil || !*i.Drained)
	}
}

func family(names ...string) func(*document.Ingredient) bool {
	return func(i *document.Ingredient) bool {
		found, ok := checker.tables.Resolve(i.Item)
		return ok && slices.Contains(names, found.Item.Family)
	}
}

func both(a, b func(*document.Ingredient) bool) func(*document.Ingredient) bool {
	return func(i *document.Ingredient) bool { return a(i) && b(i) }
}

func times(factor float64) func(*document.Ingredient) {
	return func(i *document.Ingredient) {
		if i.Amount != nil && i.Amount.Value != nil {
			i.Amount = q(*i.Amount.Value*factor, i.Amount.Unit)
		}
	}
}

func measured(i *document.Ingredient) bool { return i.Amount != nil && i.Amount.Value != nil }

// more multiplies what fits; lines without a figure cannot be multiplied.
func more(fits func(*document.Ingredient) bool, factor float64) func(printed, *document.Request) bool {
	return func(_ printed, r *document.Request) bool { return each(r, both(fits, measured), times(factor)) }
}

func adding(line document.Ingredient) func(printed, *document.Request) bool {
	return func(_ printed, r *document.Request) bool {
		r.Recipe.Ingredients = append(r.Recipe.Ingredients, line)
		return true
	}
}

func omit(fits func(*document.Ingredient) bool) func(printed, *document.Request) bool {
	return func(_ printed, r *document.Request) bool {
		before := len(r.Recipe.Ingredients)
		r.Recipe.Ingredients = slices.DeleteFunc(r.Recipe.Ingredients, func(i document.Ingredient) bool { return fits(&i) })
		return len(r.Recipe.Ingredients) < before
	}
}

func edit(fits func(*document.Ingredient) bool, change func(*document.Ingredient)) func(printed, *document.Request) bool {
	return func(_ printed, r *document.Request) bool { return each(r, fits, change) }
}

var vinegar = family("vinegar")

func byVolume(i *document.Ingredient) bool {
	if !measured(i) {
		return false
	}
	unit, ok := checker.units.Lookup(i.Amount.Unit)
	return ok && unit.Dimension == measure.DimensionVolume
}

func juice(i *document.Ingredient) bool {
	found, ok := checker.tables.Resolve(i.Item)
	return ok && (found.Item.ID == "lemon-juice" || found.Item.ID == "lime-juice")
}

func renamed(name string) func(*document.Ingredient) {
	return func(i *document.Ingredient) { i.Item = name }
}

func method(name string) func(printed, *document.Request) bool {
	return func(_ printed, r *document.Request) bool { r.Recipe.Process.Method = name; return true }
}

func inTags(tags ...string) func(printed) bool {
	return func(p printed) bool { return slices.ContainsFunc(tags, p.has) }
}

func kinds(names ...string) func(printed) bool {
	return func(p printed) bool { return slices.Contains(names, p.recipe.Kind) }
}

// printedFor are the recipes that a published change is printed for.
func printedFor(id string) func(printed) bool {
	return func(p printed) bool {
		change, _ := checker.tables.Change(id)
		return change.AppliesIn(p.recipe)
	}
}

func either(one, other func(printed) bool) func(printed) bool {
	return func(p printed) bool { return one(p) || other(p) }
}

func ids(names ...string) func(printed) bool {
	return func(p printed) bool { return slices.Contains(names, p.recipe.ID) }
}

func only(where func(printed) bool, apply func(printed, *document.Request) bool) func(printed, *document.Request) bool {
	return func(p printed, r *document.Request) bool { return where(p) && apply(p, r) }
}

// following names the tested recipe that is changed, where another one may be nearer to what comes of the change.
func following(apply func(printed, *document.Request) bool) func(printed, *document.Request) bool {
	return func(p printed, r *document.Request) bool {
		r.Recipe.Follows = p.recipe.ID
		return apply(p, r)
	}
}

// nextLargerJar is the next size of the catalog above the largest that is printed for the pack style.
func nextLargerJar(p printed, r *document.Request) bool {
	largest := 0.0
	for _, pack := range p.recipe.Packs {
		if pack.Pack != p.recipe.Packs[p.pack].Pack {
			continue
		}
		for _, id := range pack.Jars {
			jar, _ := checker.tables.Jar(id)
			largest = max(largest, jar.CapacityML)
		}
	}
	for _, id := range []string{"half-pint", "12-ounce", "pint", "24-ounce", "quart", "half-gallon"} {
		if jar, ok := checker.tables.Jar(id); ok && jar.CapacityML > largest*1.01 {
			r.Recipe.Jar = &document.Jar{ID: id}
			return true
		}
	}
	return false
}

func otherPack(p printed, r *document.Request) bool {
	for _, style := range []string{document.PackRaw, document.PackHot} {
		if !slices.ContainsFunc(p.recipe.Packs, func(pack catalog.TestedPack) bool { return pack.Pack == style }) {
			r.Recipe.Pack = style
			return true
		}
	}
	return false
}

func headspaceOf(inches float64) func(printed, *document.Request) bool {
	return func(p printed, r *document.Request) bool {
		r.Recipe.Headspace = q(inches, "in")
		return p.recipe.Packs[p.pack].HeadspaceIn != inches
	}
}

// bandBelow processes for the minutes of the next lower band.
func bandBelow(p printed, r *document.Request) bool {
	feet := *r.Kitchen.Elevation.Value
	here, _ := follow.MinutesAt(checker.tables, p.recipe, p.pack, p.jar, measure.Length(feet)*measure.Foot)
	for _, lower := range []float64{6000, 3000, 1000} {
		if lower >= feet {
			continue
		}
		if minutes, ok := follow.MinutesAt(checker.tables, p.recipe, p.pack, p.jar, measure.Length(lower)*measure.Foot); ok && minutes < here {
			r.Recipe.Process.Time = q(minutes, "min")
			return true
		}
	}
	return false
}

func steamTooLong(_ printed, r *document.Request) bool {
	r.Recipe.Process.Method = document.MethodSteam
	r.Recipe.Process.Time = q(max(*r.Recipe.Process.Time.Value, 46), "min")
	return true
}

func lowTemperature(_ printed, r *document.Request) bool {
	r.Recipe.Process = &document.Process{Method: document.MethodLowTemperature, Time: q(30, "min"), Temperature: q(182, "F"), WaterOverLids: q(1, "in")}
	return true
}

func mayBeLow(p printed) bool { return p.recipe.Packs[p.pack].LowTemperature }

func not(where func(printed) bool) func(printed) bool {
	return func(p printed) bool { return !where(p) }
}

func hasLine(fits func(*document.Ingredient) bool) func(printed, *document.Request) bool {
	return func(_ printed, r *document.Request) bool {
		return slices.ContainsFunc(r.Recipe.Ingredients, func(i document.Ingredient) bool { return fits(&i) })
	}
}

// larger makes the pieces of the first food half as large again as printed, or leaves it whole where it is printed cut.
func larger(_ printed, r *document.Request) bool {
	done := false
	each(r, class(catalog.LowAcid, catalog.AcidFood), func(i *document.Ingredient) {
		if done || strings.Contains(i.Form, "puree") {
			return
		}
		if i.Piece != nil {
			for _, size := range []*document.Quantity{i.Piece.Length, i.Piece.Thickness} {
				if size != nil {
					size.Value, done = new(*size.Value*1.5), true
				}
			}
			return
		}
		for _, cut := range []string{"chopped", "grated", "shredded", "diced", "julienne", "sliced", "strips"} {
			if strings.Contains(i.Form, cut) && !strings.Contains(i.Form, "whole") {
				i.Form, done = "whole", true
				return
			}
		}
	})
	return done
}

// moreLowAcid takes a quarter more than the most that is printed.
func moreLowAcid(p printed, r *document.Request) bool {
	factor := 1.25
	for _, i := range p.recipe.Ingredients {
		if i.Role == "low_acid" && i.Amount != nil && i.AmountMax != nil {
			factor = max(factor, 1.25**i.AmountMax / *i.Amount)
		}
	}
	if pieces(p) { // the printed range of jars is as wide as the range of food in a jar
		factor *= 1.02 * p.recipe.Yield.High / p.recipe.Yield.Low
	}
	return more(class(catalog.LowAcid), factor)(p, r)
}

// withoutWater reports whether the liquid of the pieces is vinegar alone, which cannot be thinned by leaving some of it out.
func withoutWater(p printed) bool {
	return pieces(p) && !slices.ContainsFunc(p.recipe.Ingredients, func(i catalog.TestedIngredient) bool {
		return i.Role == "water" && i.GoesInto == "jar" && i.Amount != nil
	})
}
