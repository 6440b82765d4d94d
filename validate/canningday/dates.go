package canningday

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"jarwright/validate/plaintext"
	"jarwright/validate/report"
	"jarwright/validate/storage"
)

// calendar gathers the dates of a day.
type calendar struct {
	day *Day
	all []calendarDate
}

type calendarDate struct {
	at   time.Time
	date report.Date
}

// at adds a moment for some jars; none when there are none.
func (c *calendar) at(name string, at time.Time, text string, jars []int) {
	c.add(name, at, written(at), text, jars)
}

// on adds a day.
func (c *calendar) on(name string, day time.Time, text string, jars []int) {
	c.add(name, day, c.day.date(day), text, jars)
}

func (c *calendar) add(name string, at time.Time, words, text string, jars []int) {
	if len(jars) > 0 {
		c.all = append(c.all, calendarDate{at, report.Date{Name: name, At: words, Text: text, Jars: c.day.ids(jars)}})
	}
}

// dates lists the dates of the batch in the order of time.
func (d *Day) dates(verdicts []verdict) []report.Date {
	c := &calendar{day: d}
	if d.packed.Known {
		c.at("packed", d.packed.Time, "The jars were packed.", d.all())
	}
	if d.requirement.applies {
		d.processDates(c)
	}
	shelf, refrigerated := withDisposition(verdicts, report.Shelf), withDisposition(verdicts, report.Refrigerate)
	kept := slices.Sorted(slices.Values(slices.Concat(shelf, refrigerated)))
	if from, to, ok := storage.Cured(d.facts); ok {
		c.on("cured_from", from, "At its best from here on, at the earliest.", kept)
		c.on("cured_by", to, "At its best from here on, at the latest.", kept)
	}
	if until, ok := storage.BestBefore(d.facts); ok {
		c.on("best_before", until, "Best used before this day.", shelf)
	}
	if until, ok := storage.RefrigeratorUntil(d.facts); ok {
		c.on("use_by", until, "To be eaten from the refrigerator by this day.", refrigerated)
	} else {
		for _, i := range refrigerated {
			if due := d.useBy(&d.jars[i]); due.Known && d.belongsInRefrigerator(i) {
				c.at("use_by", due.Time, "To be eaten from the refrigerator by here.", []int{i})
			}
		}
	}
	slices.SortStableFunc(c.all, func(a, b calendarDate) int { return a.at.Compare(b.at) })
	list := make([]report.Date, len(c.all))
	for i := range c.all {
		list[i] = c.all[i].date
	}
	return list
}

// processDates adds the dates that count from the process of each load.
func (d *Day) processDates(c *calendar) {
	for _, l := range d.loads {
		if !l.ended.Known {
			continue
		}
		c.at("processed", l.ended.Time, "The process ended.", l.jars)
		c.at("seal_check_from", l.ended.Add(d.duration("seal-check-min")), "From here on the seal can be checked.", l.jars)
		c.at("seal_check_to", l.ended.Add(d.duration("seal-check-max")), "The seal is checked by here.", l.jars)
	}
	for _, group := range d.byDeadline() {
		at := d.jars[group[0]].deadline.Time
		c.at("reprocess_until", at, "Until here an unsealed jar can be processed again or put into the refrigerator.", group)
	}
}

// withDisposition lists the jars that come to a disposition.
func withDisposition(verdicts []verdict, disposition report.Disposition) []int {
	var jars []int
	for i := range verdicts {
		if verdicts[i].disposition == disposition {
			jars = append(jars, i)
		}
	}
	return jars
}

// instant is a time as a key: equal times are the same, whatever their zones.
type instant struct {
	seconds int64
	nanos   int
}

func instantOf(at time.Time) instant { return instant{at.Unix(), at.Nanosecond()} }

// byDeadline groups the jars of the log by their deadlines, in the order of time.
func (d *Day) byDeadline() [][]int {
	var groups [][]int
	known := map[instant]int{} // place in groups
	for i := range d.jars {
		j := &d.jars[i]
		if !j.deadline.Known || j.first == nil {
			continue
		}
		at := instantOf(j.deadline.Time)
		same, ok := known[at]
		if !ok {
			known[at] = len(groups)
			groups = append(groups, []int{i})
			continue
		}
		groups[same] = append(groups[same], i)
	}
	slices.SortFunc(groups, func(a, b []int) int {
		return cmp.Or(d.jars[a[0]].deadline.Compare(d.jars[b[0]].deadline.Time), cmp.Compare(a[0], b[0]))
	})
	return groups
}

// labels writes the labels of the jars that may be kept.
func (d *Day) labels(verdicts []verdict) []report.Label {
	list, known := []report.Label{}, map[string]int{} // place in the list
	for i := range verdicts {
		disposition := verdicts[i].disposition
		if disposition != report.Shelf && disposition != report.Refrigerate {
			continue
		}
		lines := d.labelLines(i, disposition == report.Shelf)
		text := strings.Join(lines, "\n")
		same, ok := known[text]
		if !ok {
			same = len(list)
			known[text] = same
			list = append(list, report.Label{Lines: lines})
		}
		list[same].Jars = append(list[same].Jars, d.jars[i].doc.ID)
	}
	return list
}

func (d *Day) labelLines(i int, shelf bool) []string {
	name := plaintext.Name(d.facts.Request.Recipe.Name)
	if name == "" && d.facts.Match.Recipe != nil {
		name = d.facts.Match.Recipe.Title
	}
	lines := []string{strings.TrimSpace(name)}
	if d.packed.Known {
		lines = append(lines, "Packed "+d.date(d.packed.Time))
	}
	if d.record.Lot != "" {
		lines = append(lines, "Lot "+plaintext.Name(d.record.Lot))
	}
	if from, _, ok := storage.Cured(d.facts); ok {
		lines = append(lines, "Ready from "+d.date(from))
	}
	if shelf {
		if until, ok := storage.BestBefore(d.facts); ok {
			lines = append(lines, "Best before "+d.date(until))
		}
		return append(lines, "Refrigerate after opening")
	}
	if until, ok := storage.RefrigeratorUntil(d.facts); ok {
		lines = append(lines, "Use by "+d.date(until))
	} else if due := d.useBy(&d.jars[i]); due.Known && d.belongsInRefrigerator(i) {
		lines = append(lines, "Use by "+d.date(due.Time))
	}
	return append(lines, "Keep refrigerated, at 40 °F (4 °C) or colder")
}
