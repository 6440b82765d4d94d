package handlers

import (
	"html/template"
	"strings"
)

// choices are the options of a select element, escaped once: a form has them in each of up to 200 rows.
type choices []choice

type choice struct {
	value         string
	before, after string // of the place for the attribute that selects it
}

func (c *choices) add(value, words string) {
	*c = append(*c, choice{
		value:  value,
		before: `<option value="` + template.HTMLEscapeString(value) + `"`,
		after:  `>` + template.HTMLEscapeString(words) + `</option>`,
	})
}

// With writes the options with one of them selected, if there is such a one.
func (c choices) With(selected string) template.HTML {
	var all strings.Builder
	for _, each := range c {
		all.WriteString(each.before)
		if each.value == selected {
			all.WriteString(" selected")
		}
		all.WriteString(each.after)
	}
	return template.HTML(all.String()) // escaped in add
}
