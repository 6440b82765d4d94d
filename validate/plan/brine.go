package plan

import (
	"fmt"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/headspace"
	"jarwright/validate/measure"
)

// inBrine reports whether a line goes into the liquid that is made for the whole batch.
func inBrine(line *composition.Line) bool {
	if !line.InJar || line.PerJar || line.State != composition.Given || line.Value <= 0 {
		return false
	}
	switch line.Class {
	case catalog.Acid, catalog.Water, catalog.Salt, catalog.Sugar, catalog.Sweetener:
		return true
	}
	return false
}

// brine lists the liquid of a recipe of pieces under liquid, says whether it is enough for the space between them, and
// how much more to have ready where it may not be. The published recipes mostly make more than the jars take.
func (w *writer) brine() *Brine {
	switch w.scaled.Recipe.Kind {
	case document.KindBrined, document.KindFermented, document.KindFresh:
	default:
		return nil
	}
	b := &Brine{Lines: []BrineLine{}, Spare: []BrineLine{}, Needed: []measure.Both{}, Sources: []catalog.Citation{}}
	part := w.p.figures.Value("brine_spare")
	var spare []BrineLine
	milliliters, sour := 0.0, false
	for i := range w.comp.Lines {
		line := &w.comp.Lines[i]
		if !inBrine(line) {
			continue
		}
		to, slack := side(line, &w.scaled.Recipe), slack(line)
		b.Lines = append(b.Lines, BrineLine{line.Name, w.p.both(line, w.exact(i), to, slack)})
		spare = append(spare, BrineLine{line.Name, w.p.both(line, w.exact(i)*part, to, slack)})
		if line.Class != catalog.Acid && line.Class != catalog.Water {
			continue
		}
		if line.VolumeKnown {
			milliliters += line.Milliliters * w.exact(i) / line.Value
			sour = sour || line.Class == catalog.Acid
		}
	}
	if milliliters == 0 {
		return nil
	}
	b.Volume = w.p.kitchen.Volume(milliliters, measure.Nearest, measure.Loose)
	low, high, known := w.needed()
	if known {
		b.Needed = append(b.Needed, w.p.kitchen.Volume(low, measure.Nearest, measure.Loose), w.p.kitchen.Volume(high, measure.Nearest, measure.Loose))
	}
	switch {
	case known && milliliters >= high*(1+part):
		b.Text = fmt.Sprintf("Makes about %s (%s), more than the pieces leave room for: the spare is in it.", b.Volume.Household.Text, b.Volume.Metric.Text)
	case w.size.atHand.item == "vinegar":
		b.Text = "All the vinegar is used. If the brine runs short, fill fewer jars; never stretch it with water."
	default:
		b.Spare = spare
		b.Text = "Have the spare portion ready, mixed in the same proportion. If the brine runs short, make more like it; never stretch it with water."
		if sour {
			for _, id := range w.p.tables.ChangesOn(catalog.MoreBrine) {
				change, _ := w.p.tables.Change(id)
				b.Sources = append(b.Sources, change.Citation)
			}
		}
	}
	return b
}

// needed is the liquid that the report on the scaled recipe reckons to be needed, in mL; it reports false where the
// report has no such figure.
func (w *writer) needed() (low, high float64, ok bool) {
	for _, d := range w.report.Derived {
		if d.Name == "brine_needed" && d.Unit == "mL" && d.Low != nil && d.High != nil {
			return *d.Low, *d.High, *d.High > 0
		}
	}
	return 0, 0, false
}

// shape is the inside of the jar; it reports false for a jar whose measures are not known.
func (p *Planner) shape(jar *document.Jar) (headspace.Jar, bool) {
	if jar.ID != "" {
		row, ok := p.tables.Jar(jar.ID)
		if !ok {
			return headspace.Jar{}, false
		}
		return headspace.Jar{CapacityML: row.CapacityML, MouthMM: row.MouthMM, InteriorHeightMM: row.InteriorHeightMM}, true
	}
	si := func(q *document.Quantity) float64 {
		if q == nil || q.Value == nil {
			return 0
		}
		unit, _ := p.units.Lookup(q.Unit)
		return unit.SI(*q.Value)
	}
	own := headspace.Jar{CapacityML: si(jar.Capacity) * 1e6, MouthMM: si(jar.Mouth) * 1e3, InteriorHeightMM: si(jar.InteriorHeight) * 1e3}
	return own, own.Check() == nil
}

func (w *writer) millimeters(q *document.Quantity) (float64, bool) {
	if q == nil || q.Value == nil {
		return 0, false
	}
	unit, ok := w.p.units.Lookup(q.Unit)
	return measure.Length(unit.SI(*q.Value)).Millimeters(), ok
}
