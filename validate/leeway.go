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
	cite := func(changes ...string) []catalog.Citation {
		sources := []catalog.Citation{recipe}
		for _, id := range changes {
			if c, ok := f.Tables.Change(id); ok {
				sources = catalog.AddCitation(sources, c.Citation)
			}
		}
		return sources
	}
	for _, room := range f.Match.Rooms {
		list = append(list, roomLeeway(f, room, cite))
	}
	list = append(list, saltLeeway(f, cite), sugarLeeway(f, cite))
	list = append(list, jarLeeway(f, cite)...)
	return append(list, minutesLeeway(f)...)
}

func roomLeeway(f *facts.Facts, room match.Room, cite func(...string) []catalog.Citation) report.Leeway {
	now := room.Now
	l := report.Leeway{Knob: room.Knob, At: room.At, Now: &now, Unit: room.Unit}
	amount := func(v float64) string { return measure.FormatAmount(v, room.Unit) }
	switch room.Knob {
	case "acid":
		low := min(room.Low, now)
		narrowed := ""
		if limit := f.Tables.MustLimit("ph-max").Value; f.Acidity.Reason == "" && f.Acidity.High > limit && low < now {
			low, narrowed = now, " (the proportions of the tested recipe would allow less, but the computed pH leaves no room for it)"
		}
		l.Low = &low
		l.Text = fmt.Sprintf("%s: at least %s%s; more is safe.", measure.Capital(room.Name), amount(low), narrowed)
		l.Sources = cite("c013", "c019")
	case "water":
		zero := 0.0
		l.Low, l.High = &zero, room.High
		l.Text = fmt.Sprintf("%s: at most %s with this much acid; less makes the brine stronger, which is safe.", measure.Capital(room.Name), amount(*room.High))
		l.Sources = cite("c020")
	default:
		zero := 0.0
		l.Low, l.High = &zero, room.High
		l.Text = fmt.Sprintf("%s: at most %s with this much acid; less is safe.", measure.Capital(room.Name), amount(*room.High))
		l.Sources = cite("c026", "c027")
	}
	return l
}

func saltLeeway(f *facts.Facts, cite func(...string) []catalog.Citation) report.Leeway {
	if f.Match.Recipe.Kind == document.KindFermented {
		return report.Leeway{Knob: "salt", Unit: "g", Text: "Salt: never less than the tested recipe has. In a ferment it is part of the safety.", Sources: cite("c064")}
	}
	zero := 0.0
	return report.Leeway{Knob: "salt", Unit: "g", Low: &zero, Text: "Salt: any amount, down to none; it seasons and firms, and the acid does not depend on it.", Sources: cite("c062", "c063")}
}

func sugarLeeway(f *facts.Facts, cite func(...string) []catalog.Citation) report.Leeway {
	zero := 0.0
	text := "Sugar: more or less to taste. Too sour? Add sugar and leave the acid as it is; never use less vinegar or juice."
	if f.Match.Recipe.Kind == document.KindFermented {
		text = "Too sour? Rinse or sweeten when serving; leave the ferment as it is."
	}
	return report.Leeway{Knob: "sugar", Unit: "g", Low: &zero, Text: text, Sources: cite("c015", "c070")}
}

func jarLeeway(f *facts.Facts, cite func(...string) []catalog.Citation) []report.Leeway {
	var list []report.Leeway
	if largest := f.Match.Pack.Largest; largest != nil && f.Composition.Jar != nil {
		now, high := f.Composition.Jar.CapacityML, largest.CapacityML
		list = append(list, report.Leeway{
			Knob: "jar", At: "/recipe/jar", Now: &now, High: &high, Unit: "mL", Sources: cite("c089", "c090"),
			Text: fmt.Sprintf("Jar: at most the %s; a smaller one is safe at the time of the next larger that is printed.", largest.Name),
		})
	}
	return append(list, report.Leeway{Knob: "pieces", Unit: "mm", Text: "Pieces: no larger than the tested recipe has them; a little smaller is safe.", Sources: cite("c088")})
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
		Knob: "minutes", At: "/recipe/process/time", Now: &now, Low: &low, Unit: "min", Sources: sources,
		Text: fmt.Sprintf("Minutes: at least %s at this elevation; longer is safe and makes the food softer.", measure.FormatNumber(low)),
	}}
}
