package canningday

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/report"
	"jarwright/validate/storage"
)

// task is one thing to do, with its times.
type task struct {
	at, by time.Time // earliest and latest: none
	onDays bool      // write the times as dates
	what   string
	jars   []int
}

// tasks lists what to do with the jars.
type tasks struct {
	all   []task
	known map[taskKey]int // place in all
}

// taskKey tells tasks apart.
type taskKey struct {
	what     string
	from, to instant
}

// add adds a jar to a thing to do between two times, each of which may be none. Jars are added one after the other.
func (t *tasks) add(jar int, at, by document.Time, what string) *task {
	from, to := earliest, latest
	if at.Known {
		from = at.Time
	}
	if by.Known {
		to = by.Time
	}
	key := taskKey{what, instantOf(from), instantOf(to)}
	if at, known := t.known[key]; known {
		have := &t.all[at]
		if have.jars[len(have.jars)-1] != jar {
			have.jars = append(have.jars, jar)
		}
		return have
	}
	if t.known == nil {
		t.known = map[taskKey]int{}
	}
	t.known[key] = len(t.all)
	t.all = append(t.all, task{at: from, by: to, what: what, jars: []int{jar}})
	return &t.all[len(t.all)-1]
}

// now adds a jar to a thing to do that has no times.
func (t *tasks) now(jar int, what string) { t.add(jar, document.Time{}, document.Time{}, what) }

// when is what a task is ordered by.
func (t *task) when() time.Time {
	if t.at.Equal(earliest) && !t.by.Equal(latest) {
		return t.by
	}
	return t.at
}

// tasks lists what to do with the jars in the order of time: what can be done at once and has no limit comes first, because
// that is what must not be put off.
func (d *Day) tasks(verdicts []verdict, recipe Recipe) []report.Task {
	var t tasks
	asked := d.asked(recipe)
	for i := range verdicts {
		j, v := &d.jars[i], &verdicts[i]
		switch v.disposition {
		case report.Discard:
			t.now(i, "Throw it away unopened and untasted, where no person or animal can get at it.")
		case report.Reprocess:
			t.add(i, document.Time{}, v.by, fmt.Sprintf("Look at the rim for nicks, put on a new lid and process again for %s; "+
				"or freeze it with 1 1/2 in of headspace; or put it into the refrigerator and eat it within days.", d.processTime()))
		case report.Refrigerate:
			d.refrigeratorTasks(&t, i, v)
		case report.Hold:
			d.holdTasks(&t, i, v, recipe, asked[i])
		case report.Shelf:
			d.shelfTasks(&t, i)
		}
		if (v.disposition == report.Shelf || v.disposition == report.Refrigerate) && (j.doc.Labeled == nil || !*j.doc.Labeled) {
			t.add(i, d.cooled(j), document.Time{}, "Take the ring band off, wipe the jar, label and date it.")
		}
	}
	slices.SortStableFunc(t.all, func(a, b task) int { return cmp.Or(a.when().Compare(b.when()), a.by.Compare(b.by)) })
	list := []report.Task{}
	for i := range t.all {
		list = append(list, d.reported(&t.all[i]))
	}
	return list
}

// processTime is the time that a second process takes, for people.
func (d *Day) processTime() string {
	if !d.requirement.known {
		return "the whole time"
	}
	return minutes(d.requirement.time) + " minutes"
}

// cooled is when a jar has cooled for as long as is printed at most and its seal has been looked at.
func (d *Day) cooled(j *jar) document.Time {
	if !j.ended.Known {
		return d.packed
	}
	at := j.ended.Add(d.duration("seal-check-max"))
	if j.checked.Known {
		at = later(at, j.checked.Time)
	}
	return document.KnownTime(at)
}

// reported writes a task as a report has it.
func (d *Day) reported(t *task) report.Task {
	write := written
	if t.onDays {
		write = d.date
	}
	out := report.Task{What: t.what, Jars: d.ids(t.jars)}
	if !t.at.Equal(earliest) {
		out.At = write(t.at)
	}
	if !t.by.Equal(latest) {
		out.By = write(t.by)
	}
	return out
}

// date is the day of a time, by the calendar of the labels.
func (d *Day) date(at time.Time) string { return at.In(d.facts.Times.Zone).Format(time.DateOnly) }

func (d *Day) refrigeratorTasks(t *tasks, i int, v *verdict) {
	j := &d.jars[i]
	days := fmt.Sprintf(" Eat it within %s days of that.", measure.FormatNumber(d.limit("unsealed-keeps")))
	if !j.coldSince.Known {
		what := "Put it into the refrigerator, at 40 °F (4 °C) or colder."
		if d.belongsInRefrigerator(i) {
			what += days
		}
		t.add(i, document.Time{}, v.by, what)
	}
	switch until, printed := storage.RefrigeratorUntil(d.facts); {
	case printed:
		t.add(i, document.Time{}, document.KnownTime(until), "Eat it from the refrigerator by then.").onDays = true
	case d.belongsInRefrigerator(i) && d.useBy(j).Known:
		t.add(i, document.Time{}, d.useBy(j), "Eat it from the refrigerator by then.")
	case d.belongsInRefrigerator(i) && j.coldSince.Known: // frozen
		t.now(i, "Keep it frozen, and put it into the refrigerator to thaw."+days)
	}
}

// holdTasks says how to find out what a jar is fit for, and how to keep it meanwhile. While only the seal check is to
// come, the jar stays where it cools.
func (d *Day) holdTasks(t *tasks, i int, v *verdict, recipe Recipe, asked []ask) {
	j := &d.jars[i]
	if len(v.because) == 1 && v.because[0] == ruleSealTime && j.ended.Known {
		by := document.KnownTime(j.ended.Add(d.duration("seal-check-max")))
		if d.asOf.From.After(by.Time) {
			by = document.Time{}
		}
		from := document.KnownTime(j.ended.Add(d.duration("seal-check-min")))
		t.add(i, from, by, "Check the seal: press the center, tap the lid, look at it from the side.")
		return
	}
	if v.by.Known {
		t.add(i, document.Time{}, v.by, "Put it into the refrigerator until it is known what it is fit for; at room temperature it must not stand longer.")
	} else {
		t.now(i, "Do not eat from it until it is known what it is fit for.")
	}
	if slices.ContainsFunc(v.because, func(id string) bool { return slices.Contains(recipe.Because, id) }) {
		t.add(i, document.Time{}, v.by, "Put right what this report names in the recipe.")
	}
	for _, a := range asked {
		if !slices.Contains(v.because, a.rule) {
			continue
		}
		if a.rule == ruleEquilibrium && d.packed.Known {
			wait, _ := d.equilibriumWait()
			t.add(i, document.KnownTime(d.packed.Add(wait)), document.Time{}, a.what)
			continue
		}
		t.add(i, document.Time{}, v.by, a.what)
	}
}

// ask is what the findings of a rule ask for.
type ask struct{ rule, what string }

// asked gives for each jar what the findings on it ask for, each once, in the order of the findings.
func (d *Day) asked(recipe Recipe) [][]ask {
	byJar, known := make([][]ask, len(d.jars)), map[ask]*found{}
	for k := range d.findings {
		f := &d.findings[k]
		a := ask{f.rule, f.Remedy}
		if a.what == "" {
			a.what = recipe.Remedies[f.rule]
		}
		of := known[a]
		if of == nil {
			of = &found{on: make([]bool, len(d.jars))}
			known[a] = of
		}
		if of.onAll {
			continue
		}
		jars := f.jars
		if jars == nil {
			of.onAll, jars = true, d.all()
		}
		for _, i := range jars {
			if !of.on[i] {
				of.on[i], byJar[i] = true, append(byJar[i], a)
			}
		}
	}
	return byJar
}

func (d *Day) shelfTasks(t *tasks, i int) {
	j := &d.jars[i]
	if until, ok := storage.BestBefore(d.facts); ok {
		t.add(i, document.Time{}, document.KnownTime(until), "Use it; refrigerate it after opening.").onDays = true
	}
	if lost := j.doc.LiquidLostPercent; lost != nil && *lost > 0 || j.doc.FoodCovered != nil && !*j.doc.FoodCovered {
		t.now(i, "Do not open it to fill it up; use it before the others.")
	}
	if from, _, ok := storage.Cured(d.facts); ok && d.asOf.From.Before(from) {
		t.add(i, document.KnownTime(from), document.Time{}, "It has stood long enough to be at its best.").onDays = true
	}
	warmest, limit := d.facts.Limit("storage-max")
	for _, s := range j.stays {
		if read, ok := d.temperature(s.doc.Temperature); ok && s.doc.Place == document.PlaceRoom &&
			float64(read) > warmest+d.tolerance(catalog.RefrigeratorTolerance) {
			t.now(i, fmt.Sprintf("Move it to a cool, dark, dry place; it stood warmer than %s °F.", measure.FormatNumber(limit.Value)))
		}
	}
}
