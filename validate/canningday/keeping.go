package canningday

import (
	"fmt"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/moment"
	"jarwright/validate/storage"
)

// remarkKeeping judges how the jars that belong into the refrigerator are kept there.
func (d *day) remarkKeeping() {
	until, printed := storage.RefrigeratorUntil(d.facts)
	for i := range d.jars {
		j := &d.jars[i]
		if !d.facts.ForShelf() {
			d.remarkCold(i, j)
		}
		switch due := d.useBy(j); {
		case printed:
			d.remarkUntil(i, j, known{until.AddDays(1).Start(d.offset) - 1, true}, until.String())
		case due.ok && d.chilled(i):
			d.remarkUntil(i, j, due, d.clock(due.at))
		}
	}
}

// chilled reports whether a jar has a fault for which it belongs into the refrigerator, to be eaten soon.
func (d *day) chilled(i int) bool {
	return d.faulty(i) || d.has(i, fail, rulePH, ruleLiquidLost)
}

func (d *day) remarkUntil(i int, j *jar, due known, words string) {
	switch {
	case d.now.From > due.at:
		d.say(storage.RefrigeratedUntilID, []int{i}, fail, j.at, fmt.Sprintf("Jar %q was to be eaten from the refrigerator by %s.", j.doc.ID, words), "")
	case d.now.To > due.at:
		d.say(storage.RefrigeratedUntilID, []int{i}, undetermined, j.at, fmt.Sprintf("Jar %q is to be eaten from the refrigerator by %s; whether that is past is not known.", j.doc.ID, words), "Ask with the date and time (as_of).")
	}
}

func (d *day) remarkCold(i int, j *jar) {
	warmest, limit := d.facts.Limit("refrigerator-max")
	recorded := false
	for k := range j.doc.Kept {
		kept := &j.doc.Kept[k]
		at := pointer("batch", "jars", i, "kept", k)
		if from, ok := moment.Parse(kept.From); !ok || d.future(from) {
			continue
		}
		if kept.Place == document.PlaceRoom {
			d.say(storage.ListeriaColdID, []int{i}, fail, at+"/place", fmt.Sprintf("Jar %q stood at room temperature.", j.doc.ID), "Do not eat from it; ask for jars of this recipe to be kept cold from the start.")
			continue
		}
		read, ok := d.temperature(kept.Temperature)
		recorded = recorded || ok
		if ok && float64(read) > warmest+d.tolerance(catalog.RefrigeratorTolerance) {
			r := d.say(storage.ListeriaColdID, []int{i}, fail, at+"/temperature", fmt.Sprintf("Jar %q stood warmer than %s °F.", j.doc.ID, measure.FormatNumber(limit.Value)), "")
			r.Measured, r.Limit = d.facts.In(kept.Temperature, float64(read)), d.facts.In(kept.Temperature, warmest)
		}
	}
	if !recorded && !d.has(i, fail, storage.ListeriaColdID) {
		d.say(storage.ListeriaColdID, []int{i}, undetermined, j.at, fmt.Sprintf("How cold jar %q is kept is not recorded.", j.doc.ID), "")
	}
}
