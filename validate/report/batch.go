package report

import (
	"fmt"
	"strings"
	"time"

	"jarwright/validate/measure"
	"jarwright/validate/plaintext"
)

// Task is one thing to do. At and By are RFC 3339 date-times in UTC, or dates.
type Task struct {
	At   string   `json:"at,omitempty"` // not before; empty: at once
	By   string   `json:"by,omitempty"` // latest; empty: no limit is set
	What string   `json:"what"`
	Jars []string `json:"jars"`
}

// Batch is what holds for a batch whatever a jar shows of its own.
type Batch struct {
	Disposition Disposition `json:"disposition"` // the best that any jar can be
	Because     []string    `json:"because"`
	UTCOffset   string      `json:"utc_offset,omitempty"` // of the clocks that its dates and texts go by
}

// Jar is what becomes of one jar.
type Jar struct {
	ID          string      `json:"id"`
	Load        string      `json:"load,omitempty"` // of its last process
	Disposition Disposition `json:"disposition"`
	Because     []string    `json:"because"`      // ids of rules; for Shelf, of those that were met
	By          string      `json:"by,omitempty"` // RFC 3339 date-time in UTC
}

// Date is one date of a batch.
type Date struct {
	Name string   `json:"name"`
	At   string   `json:"at"` // RFC 3339 date, or date-time in UTC
	Text string   `json:"text"`
	Jars []string `json:"jars"`
}

// Label is the text of one label.
type Label struct {
	Jars  []string `json:"jars"`
	Lines []string `json:"lines"`
}

// JarNames names jars to people, the first few and how many more.
func JarNames(ids []string) string {
	const most = 12
	var names []string
	for _, id := range ids[:min(len(ids), most)] {
		names = append(names, plaintext.Name(id))
	}
	if len(ids) > most {
		return "jars " + strings.Join(names, ", ") + fmt.Sprintf(" and %d more", len(ids)-most)
	}
	word := "jars "
	if len(ids) == 1 {
		word = "jar "
	}
	return word + strings.Join(names, ", ")
}

// TaskLine says a task to people: by when by clocks with an offset from UTC, which jars, what.
func TaskLine(t Task, utcOffset string) string {
	when := ""
	switch {
	case t.At != "" && t.By != "":
		when = "From " + Clock(t.At, utcOffset) + " to " + Clock(t.By, utcOffset) + ", "
	case t.At != "":
		when = "From " + Clock(t.At, utcOffset) + " on, "
	case t.By != "":
		when = "By " + Clock(t.By, utcOffset) + ", "
	}
	text := when + JarNames(t.Jars)
	return measure.Capital(text) + ": " + t.What
}

// Clock writes an RFC 3339 date-time to the minute for people, by clocks with an offset from UTC such as -06:00 (empty is
// UTC). A date stays as it is.
func Clock(text, utcOffset string) string {
	at, err := time.ParseInLocation(time.RFC3339, text, time.UTC)
	if err != nil {
		return text
	}
	zone, err := time.ParseInLocation("-07:00", utcOffset, time.UTC)
	if err != nil {
		return ClockTime(at.UTC())
	}
	return ClockTime(at.In(zone.Location()))
}

// ClockTime writes a time to the minute for people, by the clocks of its zone.
func ClockTime(at time.Time) string {
	layout := "2006-01-02 15:04 UTC-07:00"
	if _, offset := at.Zone(); offset == 0 {
		layout = "2006-01-02 15:04 UTC"
	}
	return at.Format(layout)
}

// batch writes what to do and what becomes of each jar, right below the summary.
func (p *page) batch(r Report) {
	if r.Batch == nil {
		return
	}
	if len(r.Next) > 0 {
		p.heading("What to do, in this order")
		for i, t := range r.Next {
			number := fmt.Sprintf("%d. ", i+1)
			p.wrap(p.safe(TaskLine(t, r.Batch.UTCOffset)), number, strings.Repeat(" ", len(number)))
		}
		p.print("\n")
	}
	p.heading("The jars")
	for _, alike := range grouped(r.Jars) {
		j, ids := alike[0], make([]string, len(alike))
		for i := range alike {
			ids[i] = alike[i].ID
		}
		text := JarNames(ids) + ": " + jarWords[j.Disposition]
		if j.By != "" {
			text += byWords[j.Disposition] + Clock(j.By, r.Batch.UTCOffset)
		}
		if len(j.Because) > 0 {
			text += " (" + strings.Join(j.Because, ", ") + ")"
		}
		p.wrap(p.safe(measure.Capital(text)), "- ", "  ")
	}
	p.print("\n")
	p.dates(r.Dates, r.Batch.UTCOffset)
	p.labels(r.Labels)
}

// jarWords is how the disposition of one jar is said to people.
var jarWords = map[Disposition]string{
	Shelf: "fit for the shelf", Refrigerate: "for the refrigerator", Hold: "on hold, not for the shelf", Reprocess: "process again", Discard: "throw away",
}

// byWords is what has to happen until the latest moment of a jar.
var byWords = map[Disposition]string{Refrigerate: ", there by ", Hold: ", to be decided by ", Reprocess: " by "}

// jarsTitle counts the jars by what becomes of them, the worst first.
func jarsTitle(jars []Jar) string {
	var parts []string
	for _, d := range []Disposition{Discard, Reprocess, Hold, Refrigerate, Shelf} {
		count := 0
		for i := range jars {
			if jars[i].Disposition == d {
				count++
			}
		}
		switch {
		case count == len(jars):
			return dispositionWords[d]
		case count > 0:
			parts = append(parts, fmt.Sprintf("%s: %d", dispositionWords[d], count))
		}
	}
	return strings.Join(parts, "; ")
}

// grouped puts jars together that have come to the same, in the order of the first of each group.
func grouped(jars []Jar) [][]Jar {
	var groups [][]Jar
	known := map[string]int{} // place in groups
	for i := range jars {
		key := strings.Join(append([]string{string(jars[i].Disposition), jars[i].By}, jars[i].Because...), " ")
		at, ok := known[key]
		if !ok {
			at = len(groups)
			known[key] = at
			groups = append(groups, nil)
		}
		groups[at] = append(groups[at], jars[i])
	}
	return groups
}

func (p *page) dates(list []Date, utcOffset string) {
	if len(list) == 0 {
		return
	}
	p.heading("Dates")
	for _, d := range list {
		p.wrap(p.safe(fmt.Sprintf("%s: %s (%s)", Clock(d.At, utcOffset), strings.TrimSuffix(d.Text, "."), JarNames(d.Jars))), "- ", "  ")
	}
	p.print("\n")
}

func (p *page) labels(list []Label) {
	if len(list) == 0 {
		return
	}
	p.heading("Labels")
	for _, l := range list {
		p.wrap(p.safe(fmt.Sprintf("For %s: %s", JarNames(l.Jars), strings.Join(l.Lines, " / "))), "- ", "  ")
	}
	p.print("\n")
}
