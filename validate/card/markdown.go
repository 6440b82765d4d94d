package card

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"jarwright/validate/measure"
)

var escaper = strings.NewReplacer(`\`, `\\`, "`", "\\`", "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`, "<", "&lt;", ">", "&gt;", "#", `\#`, "|", `\|`, "\n", " ")

// Markdown writes the card as Markdown. Whatever the sender wrote stays text.
func (c *Card) Markdown(w io.Writer) error {
	b := bufio.NewWriter(w)
	put := func(format string, values ...any) { fmt.Fprintf(b, format, values...) } // the error stays in the writer until Flush
	safe := escaper.Replace
	put("# %s\n\n**%s**\n\n", safe(c.Title), safe(c.Notice))
	if c.Description != "" {
		put("%s\n\n", safe(c.Description))
	}
	if len(c.Problems) > 0 {
		put("## Why not\n\n")
		for _, f := range c.Problems {
			put("- %s %s\n", safe(f.Message), safe(f.Remedy))
		}
		put("\n")
	}
	if c.Yield != "" {
		put("Makes %s.\n\n", safe(c.Yield))
	}
	put("## Ingredients\n\n| ingredient | for the batch | for one jar |\n|---|---|---|\n")
	for i := range c.Ingredients {
		in := &c.Ingredients[i]
		name := in.Item
		for _, more := range []string{in.Form, in.Note} {
			if more != "" {
				name += ", " + more
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
		put("| %s | %s | %s |\n", safe(name), batch, jar)
	}
	put("\n")
	if len(c.Steps) > 0 {
		put("## Steps\n\n")
		for i, step := range c.Steps {
			put("%d. **%s.** %s\n", i+1, step.Title, safe(step.Text))
		}
		put("\n")
	}
	if len(c.Times) > 0 {
		put("## Minutes in the canner\n\n| elevation | minutes |\n|---|---|\n")
		for _, band := range c.Times {
			put("| %s | %s |\n", bandWords(band), measure.FormatNumber(band.Minutes))
		}
		put("\n")
	}
	put("## Keeping\n\n")
	for _, text := range c.Storage {
		put("- %s\n", text)
	}
	put("\n")
	for _, group := range []struct {
		title   string
		changes []Change
	}{{"You may", c.May}, {"You may not", c.MayNot}} {
		if len(group.changes) == 0 {
			continue
		}
		put("## %s\n\n", group.title)
		for _, change := range group.changes {
			put("- %s\n", safe(change.Text))
		}
		put("\n")
	}
	put("## Keep in mind\n\n")
	for _, caution := range c.Cautions {
		put("- %s\n", caution.Text)
	}
	put("\n## Sources\n\n")
	for _, source := range c.Sources {
		text := source.Title
		for _, more := range []string{source.Publisher, source.Year} {
			if more != "" && !strings.Contains(text, more) {
				text += ", " + more
			}
		}
		put("- %s.\n", text)
	}
	if err := b.Flush(); err != nil {
		return fmt.Errorf("write card: %w", err)
	}
	return nil
}
