package canningday

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/moment"
	"jarwright/validate/report"
	"jarwright/validate/storage"
)

// task is one thing to do, with its times.
type task struct {
	at, by moment.Moment // Earliest and Latest: none
	onDays bool          // write the times as dates
	what   string
	jars   []int
}

// tasks lists what to do with the jars, in the order of time: what can be done at once and has no limit comes first,
// because that is what must not be put off.
type tasks struct{ all []task }

func (t *tasks) add(jar int, at, by known, what string) *task {
	from, to := moment.Earliest, moment.Latest
	if at.ok {
		from = at.at
	}
	if by.ok {
		to = by.at
	}
	for i := range t.all {
		if have := &t.all[i]; have.what == what && have.at == from && have.by == to {
			if !slices.Contains(have.jars, jar) {
				have.jars = append(have.jars, jar)
			}
			return have
		}
	}
	t.all = append(t.all, task{at: from, by: to, what: what, jars: []int{jar}})
	return &t.all[len(t.all)-1]
}

// when is what a task is ordered by.
func (t *task) when() moment.Moment {
	if t.at == moment.Earliest && t.by != moment.Latest {
		return t.by
	}
	return t.at
}

func (d *day) tasks(verdicts []verdict, recipe Recipe) []report.Task {
	var t tasks
	byRule := recipe.Remedies
	for i := range verdicts {
		j, v := &d.jars[i], &verdicts[i]
		switch v.disposition {
		case report.Discard:
			t.add(i, known{}, known{}, "Throw it away unopened and untasted, where no person or animal can get at it.")
		case report.Reprocess:
			t.add(i, known{}, v.by, fmt.Sprintf("Look at the rim for nicks, put on a new lid and process again for %s; or freeze it with 1 1/2 in of headspace; or put it into the refrigerator and eat it within days.", d.processTime()))
		case report.Refrigerate:
			d.refrigerated(&t, i, v)
		case report.Hold:
			d.heldTasks(&t, i, v, recipe, byRule)
		case report.Shelf:
			d.shelved(&t, i)
		}
		if (v.disposition == report.Shelf || v.disposition == report.Refrigerate) && (j.doc.Labeled == nil || !*j.doc.Labeled) {
			t.add(i, d.cooled(j), known{}, "Take the ring band off, wipe the jar, label and date it.")
		}
	}
	slices.SortStableFunc(t.all, func(a, b task) int { return cmp.Or(cmp.Compare(a.when(), b.when()), cmp.Compare(a.by, b.by)) })
	list := []report.Task{}
	for i := range t.all {
		list = append(list, d.written(&t.all[i]))
	}
	return list
}

// cooled is when a jar has cooled for as long as is printed at most and its seal has been looked at.
func (d *day) cooled(j *jar) known {
	if !j.ended.ok {
		return d.packed
	}
	at := j.ended.at.Add(d.hours("seal-check-max"))
	if j.checked.ok {
		at = max(at, j.checked.at)
	}
	return known{at, true}
}

func (d *day) written(t *task) report.Task {
	write := func(m moment.Moment) string {
		if t.onDays {
			return m.Date(d.offset).String()
		}
		return m.String()
	}
	out := report.Task{What: t.what, Jars: d.ids(t.jars)}
	if t.at != moment.Earliest {
		out.At = write(t.at)
	}
	if t.by != moment.Latest {
		out.By = write(t.by)
	}
	return out
}

func (d *day) refrigerated(t *tasks, i int, v *verdict) {
	j := &d.jars[i]
	days := fmt.Sprintf(" Eat it within %s days of that.", measure.FormatNumber(d.limit("unsealed-keeps")))
	if !j.cold.ok {
		what := "Put it into the refrigerator, at 40 °F (4 °C) or colder."
		if d.chilled(i) {
			what += days
		}
		t.add(i, known{}, v.by, what)
	}
	switch until, printed := storage.RefrigeratorUntil(d.facts); {
	case printed:
		t.add(i, known{}, known{until.Start(d.offset), true}, "Eat it from the refrigerator by then.").onDays = true
	case d.chilled(i) && d.useBy(j).ok:
		t.add(i, known{}, d.useBy(j), "Eat it from the refrigerator by then.")
	case d.chilled(i) && j.cold.ok: // frozen
		t.add(i, known{}, known{}, "Keep it frozen, and put it into the refrigerator to thaw."+days)
	}
}

// heldTasks says how to find out what a jar is fit for, and how to keep it meanwhile. While only the seal check is to
// come, the jar stays where it cools.
func (d *day) heldTasks(t *tasks, i int, v *verdict, recipe Recipe, byRule map[string]string) {
	j := &d.jars[i]
	waiting := len(v.because) == 1 && v.because[0] == ruleSealTime && j.ended.ok
	switch {
	case waiting:
		to := known{j.ended.at.Add(d.hours("seal-check-max")), true}
		if d.now.From > to.at {
			to = known{}
		}
		t.add(i, known{j.ended.at.Add(d.hours("seal-check-min")), true}, to, "Check the seal: press the center, tap the lid, look at it from the side.")
		return
	case v.by.ok:
		t.add(i, known{}, v.by, "Put it into the refrigerator until it is known what it is fit for; at room temperature it must not stand longer.")
	default:
		t.add(i, known{}, known{}, "Do not eat from it until it is known what it is fit for.")
	}
	if slices.ContainsFunc(v.because, func(id string) bool { return slices.Contains(recipe.Because, id) }) {
		t.add(i, known{}, v.by, "Put right what this report names in the recipe.")
	}
	for k := range d.remarks {
		r := &d.remarks[k]
		if !r.on(i) || !slices.Contains(v.because, r.rule) {
			continue
		}
		what := r.Remedy
		if what == "" {
			what = byRule[r.rule]
		}
		if r.rule == ruleEquilibrium && d.packed.ok {
			wait, _ := d.equilibriumWait()
			t.add(i, known{d.packed.at.Add(wait), true}, known{}, what)
			continue
		}
		t.add(i, known{}, v.by, what)
	}
}

func (d *day) shelved(t *tasks, i int) {
	j := &d.jars[i]
	if until, ok := storage.BestBefore(d.facts); ok {
		t.add(i, known{}, known{until.Start(d.offset), true}, "Use it; refrigerate it after opening.").onDays = true
	}
	if lost := j.doc.LiquidLostPercent; lost != nil && *lost > 0 || j.doc.FoodCovered != nil && !*j.doc.FoodCovered {
		t.add(i, known{}, known{}, "Do not open it to fill it up; use it before the others.")
	}
	if from, _, ok := storage.Cured(d.facts); ok && d.now.From < from.Start(d.offset) {
		t.add(i, known{from.Start(d.offset), true}, known{}, "It has stood long enough to be at its best.").onDays = true
	}
	warmest, limit := d.facts.Limit("storage-max")
	for k := range j.doc.Kept {
		if read, ok := d.temperature(j.doc.Kept[k].Temperature); ok && j.doc.Kept[k].Place == document.PlaceRoom && float64(read) > warmest+d.tolerance(catalog.RefrigeratorTolerance) {
			t.add(i, known{}, known{}, fmt.Sprintf("Move it to a cool, dark, dry place; it stood warmer than %s °F.", measure.FormatNumber(limit.Value)))
		}
	}
}

// dates lists the dates of the batch in the order of time.
func (d *day) dates(verdicts []verdict) []report.Date {
	type dated struct {
		at   moment.Moment
		date report.Date
	}
	var all []dated
	add := func(name string, at moment.Moment, onDay bool, text string, jars []int) {
		written := at.String()
		if onDay {
			written = at.Date(d.offset).String()
		}
		if len(jars) > 0 {
			all = append(all, dated{at, report.Date{Name: name, At: written, Text: text, Jars: d.ids(jars)}})
		}
	}
	kept := func(dispositions ...report.Disposition) []int {
		var jars []int
		for i := range verdicts {
			if slices.Contains(dispositions, verdicts[i].disposition) {
				jars = append(jars, i)
			}
		}
		return jars
	}
	if d.packed.ok {
		add("packed", d.packed.at, false, "The jars were packed.", d.all())
	}
	if d.need.applies {
		for _, l := range d.loads {
			if l.ended.ok && len(l.jars) > 0 {
				add("processed", l.ended.at, false, "The process ended.", l.jars)
				add("seal_check_from", l.ended.at.Add(d.hours("seal-check-min")), false, "From here on the seal can be checked.", l.jars)
				add("seal_check_to", l.ended.at.Add(d.hours("seal-check-max")), false, "The seal is checked by here.", l.jars)
			}
		}
		d.eachDeadline(func(at moment.Moment, jars []int) {
			add("reprocess_until", at, false, "Until here an unsealed jar can be processed again or put into the refrigerator.", jars)
		})
	}
	if from, to, ok := storage.Cured(d.facts); ok {
		add("cured_from", from.Start(d.offset), true, "At its best from here on, at the earliest.", kept(report.Shelf, report.Refrigerate))
		add("cured_by", to.Start(d.offset), true, "At its best from here on, at the latest.", kept(report.Shelf, report.Refrigerate))
	}
	if until, ok := storage.BestBefore(d.facts); ok {
		add("best_before", until.Start(d.offset), true, "Best used before this day.", kept(report.Shelf))
	}
	if until, ok := storage.RefrigeratorUntil(d.facts); ok {
		add("use_by", until.Start(d.offset), true, "To be eaten from the refrigerator by this day.", kept(report.Refrigerate))
	} else {
		for _, i := range kept(report.Refrigerate) {
			if due := d.useBy(&d.jars[i]); due.ok && d.chilled(i) {
				add("use_by", due.at, false, "To be eaten from the refrigerator by here.", []int{i})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b dated) int { return cmp.Compare(a.at, b.at) })
	list := make([]report.Date, len(all))
	for i := range all {
		list[i] = all[i].date
	}
	return list
}

// eachDeadline calls f with each deadline and the jars it holds for, by time.
func (d *day) eachDeadline(f func(moment.Moment, []int)) {
	jars := map[moment.Moment][]int{}
	var times []moment.Moment
	for i := range d.jars {
		if due := d.jars[i].deadline; due.ok && d.jars[i].first != nil {
			if jars[due.at] == nil {
				times = append(times, due.at)
			}
			jars[due.at] = append(jars[due.at], i)
		}
	}
	slices.Sort(times)
	for _, at := range times {
		f(at, jars[at])
	}
}

// labels writes the labels of the jars that may be kept.
func (d *day) labels(verdicts []verdict) []report.Label {
	list := []report.Label{}
	for i := range verdicts {
		var lines []string
		switch verdicts[i].disposition {
		case report.Shelf:
			lines = d.labelLines(i, true)
		case report.Refrigerate:
			lines = d.labelLines(i, false)
		default:
			continue
		}
		same := slices.IndexFunc(list, func(l report.Label) bool { return slices.Equal(l.Lines, lines) })
		if same < 0 {
			list = append(list, report.Label{Lines: lines})
			same = len(list) - 1
		}
		list[same].Jars = append(list[same].Jars, d.jars[i].doc.ID)
	}
	return list
}

func (d *day) labelLines(i int, shelf bool) []string {
	name := d.facts.Request.Recipe.Name
	if name == "" && d.facts.Match.Recipe != nil {
		name = d.facts.Match.Recipe.Title
	}
	lines := []string{strings.TrimSpace(name)}
	if packed, ok := storage.Packed(d.facts); ok {
		lines = append(lines, "Packed "+packed.String())
	}
	if d.record.Lot != "" {
		lines = append(lines, "Lot "+d.record.Lot)
	}
	if from, _, ok := storage.Cured(d.facts); ok {
		lines = append(lines, "Ready from "+from.String())
	}
	if shelf {
		if until, ok := storage.BestBefore(d.facts); ok {
			lines = append(lines, "Best before "+until.String())
		}
		return append(lines, "Refrigerate after opening")
	}
	if until, ok := storage.RefrigeratorUntil(d.facts); ok {
		lines = append(lines, "Use by "+until.String())
	} else if due := d.useBy(&d.jars[i]); due.ok && d.chilled(i) {
		lines = append(lines, "Use by "+due.at.Date(d.offset).String())
	}
	return append(lines, "Keep refrigerated, at 40 °F (4 °C) or colder")
}
