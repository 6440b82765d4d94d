package validate

import (
	"fmt"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// leeway says what may be changed without losing safety: the ranges of the tested recipe, which computation may only
// narrow. There is none for a recipe that is not matched.
func leeway(f *facts.Facts) []report.Leeway {
	if f.Match.Recipe == nil || !f.Match.Matched() || !f.ForShelf() {
		return nil
	}
	var list []report.Leeway
	recipe := f.Match.Recipe.Citation
	cite := func(topics ...catalog.Topic) []catalog.Citation {
		sources := []catalog.Citation{recipe}
		for _, id := range f.Tables.ChangesIn(f.Match.Recipe, topics...) {
			change, _ := f.Tables.Change(id)
			sources = catalog.AddCitation(sources, change.Citation)
		}
		return sources
	}
	for _, allowance := range f.Match.Allowances {
		list = append(list, amountLeeway(f, allowance, cite))
	}
	list = append(list, saltLeeway(f, cite)...)
	list = append(list, sugarLeeway(f, cite)...)
	list = append(list, jarLeeway(f, cite)...)
	return append(list, minutesLeeway(f)...)
}

func amountLeeway(f *facts.Facts, allowance match.Allowance, cite func(...catalog.Topic) []catalog.Citation) report.Leeway {
	now := allowance.Now
	l := report.Leeway{Variable: allowance.Variable, At: allowance.At, Now: &now, Unit: allowance.Unit}
	amount := func(v float64) string { return measure.FormatAmount(v, allowance.Unit) }
	switch allowance.Variable {
	case "acid":
		low := min(allowance.Low, now)
		narrowed := ""
		if limit := f.Tables.MustLimit("ph-max").Value; f.Acidity.Reason == "" && f.Acidity.High > limit && low < now {
			low, narrowed = now, " (the proportions of the tested recipe would allow less, but the computed pH leaves no room for it)"
		}
		l.Low = &low
		l.Text = fmt.Sprintf("%s: at least %s%s; more is safe.", measure.Capital(allowance.Name), amount(low), narrowed)
		l.Sources = cite(catalog.LessAcid, catalog.MoreBrine)
	case "water":
		least := allowance.Low
		l.Low, l.High = &least, allowance.High
		l.Text = fmt.Sprintf("%s: at most %s with this much acid; less makes the brine stronger, which is safe.",
			measure.Capital(allowance.Name), amount(*allowance.High))
		if least > 0 {
			l.Text = fmt.Sprintf("%s: at most %s with this much acid, and at least %s, so that there is liquid enough for the jars.",
				measure.Capital(allowance.Name), amount(*allowance.High), amount(least))
		}
		l.Sources = cite(catalog.MoreWater)
	default:
		l.Low, l.High = new(min(allowance.Low, *allowance.High)), allowance.High
		if *l.Low > 0 {
			l.Text = fmt.Sprintf("%s: %s with this much acid, as the tested recipe has; it allows no other amount.", measure.Capital(allowance.Name), amount(*l.Low))
			l.Sources = cite(catalog.MoreLowAcidFood)
			break
		}
		l.Text = fmt.Sprintf("%s: at most %s with this much acid; less is safe.", measure.Capital(allowance.Name), amount(*allowance.High))
		l.Sources = cite(catalog.MoreLowAcidFood, catalog.LessLowAcidFood)
	}
	return l
}

// saltLeeway offers less salt only where a published change lets the matched recipe have less, as the comparison judges it.
func saltLeeway(f *facts.Facts, cite func(...catalog.Topic) []catalog.Citation) []report.Leeway {
	l := report.Leeway{Variable: "salt", Unit: "g"}
	salt := f.Match.Salt()
	switch {
	case f.Match.Recipe.Kind == document.KindFermented:
		l.Sources = cite(catalog.LessSaltInFerment)
		l.Text = "Salt: never less than the tested recipe has. In a ferment it is part of the safety."
	case salt.Spared:
		l.Low, l.Sources = new(0.0), cite(catalog.LessSalt, catalog.NoSalt, catalog.SaltToTaste)
		l.Text = "Salt: less is safe, down to none; it seasons and firms, and the acid does not depend on it."
	case salt.Printed:
		l.Sources = cite(catalog.LessSalt)
		l.Text = "Salt: as much as the tested recipe has. No published source lets this recipe have less."
	default:
		return nil
	}
	return []report.Leeway{l}
}

// sugarLeeway offers less and more sugar only where published changes let the matched recipe have it.
func sugarLeeway(f *facts.Facts, cite func(...catalog.Topic) []catalog.Citation) []report.Leeway {
	l := report.Leeway{Variable: "sugar", Unit: "g", Sources: cite(catalog.AddedSugar, catalog.LessSugar, catalog.SugarToTaste, catalog.RecipeWithoutSugar)}
	sugar, more := f.Match.Sugar(), f.Tables.Allows(f.Match.Recipe, catalog.AddedSugar, catalog.SugarToTaste)
	if sugar.Spared {
		l.Low = new(0.0)
	}
	const sour = " Too sour? Add sugar and leave the acid as it is; never use less vinegar or juice."
	switch {
	case f.Match.Recipe.Kind == document.KindFermented:
		l.Text = "Too sour? Rinse or sweeten when serving; leave the ferment as it is."
	case more && (sugar.Spared || !sugar.Printed):
		l.Text = "Sugar: more or less to taste." + sour
	case more:
		l.Text = "Sugar: no less than the tested recipe has." + sour
	case sugar.Spared && sugar.Printed:
		l.Text = "Sugar: less is safe, down to none. Never use less vinegar or juice instead."
	case sugar.Printed:
		l.Text = "Sugar: as much as the tested recipe has. No published source lets this recipe have less."
	default:
		return nil
	}
	return []report.Leeway{l}
}

func jarLeeway(f *facts.Facts, cite func(...catalog.Topic) []catalog.Citation) []report.Leeway {
	var list []report.Leeway
	if largest := f.Match.Pack.Largest; largest != nil && f.Composition.Jar != nil {
		now, high := f.Composition.Jar.CapacityML, largest.CapacityML
		list = append(list, report.Leeway{
			Variable: "jar", At: "/recipe/jar", Now: &now, High: &high, Unit: "mL", Sources: cite(catalog.LargerJar, catalog.SmallerJar),
			Text: fmt.Sprintf("Jar: at most the %s; a smaller one is safe at the time of the next larger that is printed.", largest.Name),
		})
	}
	return append(list, report.Leeway{
		Variable: "pieces", Unit: "mm", Sources: cite(catalog.LargerPieces),
		Text: "Pieces: cut as the tested recipe has them. Larger ones heat more slowly; finer ones pack closer, which was not tested.",
	})
}

func minutesLeeway(f *facts.Facts) []report.Leeway {
	required := f.MinutesRequired()
	have, given := f.Time()
	if f.Method() == document.MethodLowTemperature || !given || !required.HasHere {
		return nil
	}
	now, low := have.Minutes(), required.Here
	var sources []catalog.Citation
	for _, row := range f.Match.Pack.Possible {
		sources = catalog.AddCitation(sources, row.Citation)
	}
	return []report.Leeway{{
		Variable: "minutes", At: "/recipe/process/time", Now: &now, Low: &low, Unit: "min", Sources: sources,
		Text: fmt.Sprintf("Minutes: at least %s at this elevation; longer is safe and makes the food softer.", measure.FormatNumber(low)),
	}}
}
