package main

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"

	"jarwright/validate/report"
)

// outcome is what is kept of one document for the table.
type outcome struct {
	name        string
	disposition report.Disposition // empty: it could not be read
	fit         bool
	why         string // the rule that weighs most, and what it says
}

// tally counts the documents of a run.
type tally struct {
	outcomes []outcome
	reasons  map[string]int // how many documents each failed or open rule keeps from the shelf
}

func (t *tally) add(o outcome, judged *report.Report) {
	t.outcomes = append(t.outcomes, o)
	if judged == nil || o.fit {
		return
	}
	seen := map[string]bool{}
	for i := range judged.Findings {
		f := &judged.Findings[i]
		if holds := f.Severity == report.Error || f.Severity == report.Warning && f.Outcome == report.Fail; holds && !seen[f.Rule] {
			seen[f.Rule] = true
			t.reasons[f.Rule]++
		}
	}
}

// reason is the finding that weighs most: failed before open, errors before warnings.
func reason(judged *report.Report) string {
	weigh := func(f *report.Finding) int {
		weight := map[report.Severity]int{report.Error: 4, report.Warning: 2, report.Info: 0}[f.Severity]
		if f.Outcome == report.Fail {
			weight++
		}
		return weight
	}
	var worst *report.Finding
	for i := range judged.Findings {
		if f := &judged.Findings[i]; worst == nil || weigh(f) > weigh(worst) {
			worst = f
		}
	}
	if worst == nil {
		return ""
	}
	return worst.Rule + ": " + worst.Message
}

// counts are the dispositions of the table, the good ones first, with the words for them.
var counts = []struct {
	disposition report.Disposition
	words       string
}{
	{report.Shelf, "fit for the shelf"},
	{report.Refrigerate, "for the refrigerator"},
	{report.Reprocess, "to be reprocessed"},
	{report.Hold, "on hold"},
	{report.Discard, "to be thrown away"},
	{"", "not readable"},
}

// columns is the width that the table keeps to.
const columns = 80

// paint is the color of a disposition as terminals have it.
func paint(d report.Disposition, text string, color bool) string {
	code := map[report.Disposition]string{
		report.Shelf: "32", report.Refrigerate: "36", report.Reprocess: "33", report.Hold: "31", report.Discard: "31", "": "31",
	}[d]
	if !color {
		return text
	}
	return "\x1b[" + code + "m" + text + "\x1b[0m"
}

// label is the word of a disposition in a row.
func label(d report.Disposition) string {
	if d == "" {
		return "unreadable"
	}
	return string(d)
}

// writeTable writes a row a document and the counts below, at most 80 columns wide.
func (t *tally) writeTable(w io.Writer, color bool) error {
	var b strings.Builder
	const wordWidth = 12
	for _, o := range t.outcomes {
		fmt.Fprintf(&b, "%s %s\n", paint(o.disposition, fmt.Sprintf("%-*s", wordWidth-1, label(o.disposition)), color), fitted(o.name, columns-wordWidth))
		if o.why != "" && !o.fit {
			fmt.Fprintf(&b, "%*s%s\n", wordWidth, "", fitted(o.why, columns-wordWidth))
		}
	}
	b.WriteByte('\n')
	for _, each := range counts {
		if n := t.count(each.disposition); n > 0 {
			fmt.Fprintf(&b, "%8d  %s\n", n, paint(each.disposition, each.words, color))
		}
	}
	fmt.Fprintf(&b, "%8d  in all\n", len(t.outcomes))
	if why := t.sortedReasons(); len(why) > 0 {
		b.WriteString("\nWhat keeps them back, by documents:\n")
		for _, each := range why {
			fmt.Fprintf(&b, "%8d  %s\n", each.documents, each.rule)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// writeMarkdown writes the same table as Markdown.
func (t *tally) writeMarkdown(w io.Writer) error {
	var b strings.Builder
	b.WriteString("| document | disposition | why |\n|---|---|---|\n")
	cell := strings.NewReplacer("|", `\|`, "\n", " ")
	for _, o := range t.outcomes {
		why := o.why
		if o.fit {
			why = ""
		}
		fmt.Fprintf(&b, "| %s | %s | %s |\n", cell.Replace(o.name), label(o.disposition), cell.Replace(why))
	}
	b.WriteString("\n| documents | |\n|---:|---|\n")
	for _, each := range counts {
		if n := t.count(each.disposition); n > 0 {
			fmt.Fprintf(&b, "| %d | %s |\n", n, each.words)
		}
	}
	fmt.Fprintf(&b, "| %d | in all |\n", len(t.outcomes))
	if why := t.sortedReasons(); len(why) > 0 {
		b.WriteString("\n| documents | kept back by |\n|---:|---|\n")
		for _, each := range why {
			fmt.Fprintf(&b, "| %d | %s |\n", each.documents, each.rule)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (t *tally) count(d report.Disposition) int {
	n := 0
	for _, o := range t.outcomes {
		if o.disposition == d {
			n++
		}
	}
	return n
}

type ruleCount struct {
	rule      string
	documents int
}

// sortedReasons lists the rules that keep documents back, those with most documents first.
func (t *tally) sortedReasons() []ruleCount {
	var all []ruleCount
	for rule, documents := range t.reasons {
		all = append(all, ruleCount{rule, documents})
	}
	slices.SortFunc(all, func(a, b ruleCount) int {
		return cmp.Or(cmp.Compare(b.documents, a.documents), cmp.Compare(a.rule, b.rule))
	})
	return all
}

// fitted cuts a text to a number of characters.
func fitted(text string, most int) string {
	// A name could hold the commands of a terminal.
	shown := strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, text)
	runes := []rune(strings.Join(strings.Fields(shown), " "))
	if len(runes) <= most {
		return string(runes)
	}
	return string(runes[:most-1]) + "…"
}
