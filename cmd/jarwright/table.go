package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/validate/plaintext"
	"jarwright/validate/report"
)

// outcome is what a row of the table says of one document.
type outcome struct {
	name        string
	disposition report.Disposition // empty: it could not be read
	fit         bool
	why         string // the rule that weighs most, and what it says
}

// tally counts the documents of a run. It keeps no document, so that a folder may have any number.
type tally struct {
	documents int
	counts    map[report.Disposition]int
	reasons   map[string]int // how many documents each failed or open rule keeps from the shelf
}

func newTally() tally { return tally{counts: map[report.Disposition]int{}, reasons: map[string]int{}} }

func (t *tally) add(o outcome, judged *report.Report) {
	t.documents++
	t.counts[o.disposition]++
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

// row is the row of one document, at most 80 columns wide, with a second line that says what keeps it back.
func (o outcome) row(color bool) string {
	const wordWidth = 12
	word := fmt.Sprintf("%-*s", wordWidth-1, label(o.disposition))
	text := fmt.Sprintf("%s %s\n", paint(o.disposition, word, color), fitted(plaintext.Name(o.name), columns-wordWidth))
	if o.why != "" && !o.fit {
		text += fmt.Sprintf("%*s%s\n", wordWidth, "", fitted(o.why, columns-wordWidth))
	}
	return text
}

// markdownHead stands above the rows of the Markdown table.
const markdownHead = "| document | disposition | why |\n|---|---|---|\n"

// markdownRow is the same row as Markdown.
func (o outcome) markdownRow() string {
	why := o.why
	if o.fit {
		why = ""
	}
	return fmt.Sprintf("| %s | %s | %s |\n", plaintext.Markdown(plaintext.Name(o.name)), label(o.disposition), plaintext.Markdown(why))
}

// text is the counts below the rows.
func (t *tally) text(color bool) string {
	var b strings.Builder
	b.WriteByte('\n')
	for _, each := range counts {
		if n := t.counts[each.disposition]; n > 0 {
			fmt.Fprintf(&b, "%8d  %s\n", n, paint(each.disposition, each.words, color))
		}
	}
	fmt.Fprintf(&b, "%8d  in all\n", t.documents)
	if why := t.sortedReasons(); len(why) > 0 {
		b.WriteString("\nWhat keeps them back, by documents:\n")
		for _, each := range why {
			fmt.Fprintf(&b, "%8d  %s\n", each.documents, each.rule)
		}
	}
	return b.String()
}

// markdown is the same counts as Markdown.
func (t *tally) markdown() string {
	var b strings.Builder
	b.WriteString("\n| documents | |\n|---:|---|\n")
	for _, each := range counts {
		if n := t.counts[each.disposition]; n > 0 {
			fmt.Fprintf(&b, "| %d | %s |\n", n, each.words)
		}
	}
	fmt.Fprintf(&b, "| %d | in all |\n", t.documents)
	if why := t.sortedReasons(); len(why) > 0 {
		b.WriteString("\n| documents | kept back by |\n|---:|---|\n")
		for _, each := range why {
			fmt.Fprintf(&b, "| %d | %s |\n", each.documents, each.rule)
		}
	}
	return b.String()
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

// fitted cuts a text to a number of columns in one line.
func fitted(text string, most int) string {
	shown := strings.Join(strings.Fields(plaintext.Text(text)), " ")
	if plaintext.Width(shown) <= most {
		return shown
	}
	width := 0
	for i, r := range shown {
		if width += plaintext.Width(string(r)); width > most-1 {
			return shown[:i] + "…"
		}
	}
	return shown
}
