package canningday

import (
	"fmt"
	"time"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/storage"
)

// judgeKeeping judges how the jars that belong into the refrigerator are kept there.
func (d *Day) judgeKeeping() {
	until, printed := storage.RefrigeratorUntil(d.facts)
	for i := range d.jars {
		j := &d.jars[i]
		if !d.facts.ForShelf() {
			d.judgeCold(i, j)
		}
		switch due := d.useBy(j); {
		case printed:
			d.judgeUntil(i, j, until.AddDate(0, 0, 1).Add(-time.Millisecond), until.Format(time.DateOnly))
		case due.Known && d.belongsInRefrigerator(i):
			d.judgeUntil(i, j, due.Time, d.clock(due.Time))
		}
	}
}

func (d *Day) judgeUntil(i int, j *jar, due time.Time, words string) {
	switch {
	case d.asOf.From.After(due):
		d.find(storage.RefrigeratedUntilID, []int{i}, fail, j.at, fmt.Sprintf("Jar %q was to be eaten from the refrigerator by %s.", j.doc.ID, words), "")
	case d.asOf.To.After(due):
		d.find(storage.RefrigeratedUntilID, []int{i}, undetermined, j.at,
			fmt.Sprintf("Jar %q is to be eaten from the refrigerator by %s; whether that is past is not known.", j.doc.ID, words),
			"Ask with the date and time (as_of).")
	}
}

// judgeCold judges whether a jar that was never heated stood cold all the time.
func (d *Day) judgeCold(i int, j *jar) {
	const outside = "Do not eat from it; ask for jars of this recipe to be kept cold from the start."
	warmest, limit := d.facts.Limit("refrigerator-max")
	recorded, warm := false, 0
	for k, s := range j.stays {
		if !d.happened(s.from) {
			continue
		}
		at := fmt.Sprintf("%s/kept/%d", j.at, k)
		if s.doc.Place == document.PlaceRoom {
			if warm++; warm <= mostAlike {
				d.find(storage.ListeriaColdID, []int{i}, fail, at+"/place", fmt.Sprintf("Jar %q stood at room temperature.", j.doc.ID), outside)
			}
			continue
		}
		read, ok := d.temperature(s.doc.Temperature)
		recorded = recorded || ok
		if !ok || float64(read) <= warmest+d.tolerance(catalog.RefrigeratorTolerance) {
			continue
		}
		if warm++; warm <= mostAlike {
			message := fmt.Sprintf("Jar %q stood warmer than %s °F.", j.doc.ID, measure.FormatNumber(limit.Value))
			d.find(storage.ListeriaColdID, []int{i}, fail, at+"/temperature", message, "").
				figures(d.facts.In(s.doc.Temperature, float64(read)), d.facts.In(s.doc.Temperature, warmest))
		}
	}
	if more := warm - mostAlike; more > 0 {
		d.find(storage.ListeriaColdID, []int{i}, fail, j.at+"/kept", fmt.Sprintf("Further times at which jar %q stood too warm: %d.", j.doc.ID, more), outside)
	}
	if !recorded && !d.has(i, fail, storage.ListeriaColdID) {
		d.find(storage.ListeriaColdID, []int{i}, undetermined, j.at, fmt.Sprintf("How cold jar %q is kept is not recorded.", j.doc.ID), "")
	}
}
