package card

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"jarwright/validate/measure"
	"jarwright/validate/plaintext"
	"jarwright/validate/plan"
	"jarwright/validate/report"
)

// Markdown writes the card as Markdown. Whatever the sender wrote stays text. The error is that of the writer.
func (c *Card) Markdown(w io.Writer) error {
	p := page{bufio.NewWriter(w)}
	p.print("# %s\n\n**%s**\n\n", safe(plaintext.Name(c.Title)), safe(c.Notice))
	if c.Description != "" {
		p.print("%s\n\n", safe(plaintext.Name(c.Description)))
	}
	p.problems(c.Problems)
	if c.Yield != "" {
		p.print("Makes %s.\n\n", safe(c.Yield))
	}
	p.ingredients(c.Ingredients)
	p.steps(c.Steps)
	p.times(c.Times)
	p.print("## Keeping\n\n")
	for _, text := range c.Storage {
		p.print("- %s\n", text)
	}
	p.print("\n")
	p.changes("You may", c.May)
	p.changes("You may not", c.MayNot)
	p.print("## Keep in mind\n\n")
	for _, caution := range c.Cautions {
		p.print("- %s\n", caution.Text)
	}
	p.sources(c.Sources)
	if err := p.Flush(); err != nil {
		return fmt.Errorf("write card: %w", err)
	}
	return nil
}

// safe keeps the sender's own words from being read as Markdown, and on one line.
func safe(text string) string { return plaintext.Markdown(text) }

// page is a card in the making. Its writer keeps the first error until it is flushed.
type page struct{ *bufio.Writer }

// print is the one way out, and lets nothing pass that is not to look at.
func (p page) print(format string, values ...any) {
	_, _ = p.WriteString(plaintext.Text(fmt.Sprintf(format, values...)))
}

func (p page) problems(list []report.Finding) {
	if len(list) == 0 {
		return
	}
	p.print("## Why not\n\n")
	for i := range list {
		p.print("- %s %s\n", safe(list[i].Message), safe(list[i].Remedy))
	}
	p.print("\n")
}

func (p page) ingredients(list []plan.Ingredient) {
	p.print("## Ingredients\n\n| ingredient | for the batch | for one jar |\n|---|---|---|\n")
	for i := range list {
		in := &list[i]
		name := plaintext.Name(in.Item)
		for _, more := range []string{in.Form, in.Note, in.Remark} {
			if more != "" {
				name += ", " + plaintext.Name(more)
			}
		}
		if in.Drained {
			name += " (poured away or taken out)"
		}
		batch, jar := "", ""
		if in.Batch != nil {
			batch = amount(in.Batch.Household.Text, in.Batch.Metric.Text)
		}
		if in.Jar != nil {
			jar = amount(in.Jar.Household.Text, in.Jar.Metric.Text)
		}
		p.print("| %s | %s | %s |\n", safe(name), batch, jar)
	}
	p.print("\n")
}

func (p page) steps(list []Step) {
	if len(list) == 0 {
		return
	}
	p.print("## Steps\n\n")
	for i, step := range list {
		p.print("%d. **%s.** %s\n", i+1, step.Title, safe(step.Text))
	}
	p.print("\n")
}

func (p page) times(bands []report.AltitudeBand) {
	if len(bands) == 0 {
		return
	}
	p.print("## Minutes in the canner\n\n| elevation | minutes |\n|---|---|\n")
	for _, band := range bands {
		p.print("| %s | %s |\n", bandWords(band), measure.FormatNumber(band.Minutes))
	}
	p.print("\n")
}

func (p page) changes(title string, list []Change) {
	if len(list) == 0 {
		return
	}
	p.print("## %s\n\n", title)
	for _, change := range list {
		p.print("- %s\n", safe(change.Text))
	}
	p.print("\n")
}

func (p page) sources(list []report.Cited) {
	p.print("\n## Sources\n\n")
	for _, source := range list {
		text := source.Title
		for _, more := range []string{source.Publisher, source.Year} {
			if more != "" && !strings.Contains(text, more) {
				text += ", " + more
			}
		}
		p.print("- %s.\n", text)
	}
}
