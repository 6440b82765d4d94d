package match

import (
	"jarwright/validate/catalog"
	"jarwright/validate/document"
)

// doubts says when a line of the cook's is one that the tested recipe prints in doubt.
func (c *comparison) doubts() {
	if c.recipe.Keep == document.KeepRefrigerator {
		return
	}
	for i, lines := range c.filled {
		for _, line := range lines {
			doubt, otherwise := c.tested.slots[i].doubtOf(line.Item)
			if doubt == "" {
				continue
			}
			c.add(Departure{
				Rule: RulePublishedMatch, Verdict: Untested, At: line.At + "/item",
				What:   "Whether " + line.Name + " may be used in " + c.title() + " is doubtful: " + doubt + ".",
				Remedy: "Use " + otherwise + ", as it is printed for certain.",
			})
		}
	}
}

// doubtOf is why the printed amounts that an item is measured by are doubtful, empty where one of them is not, and what is printed
// for certain instead.
func (s *slot) doubtOf(item *catalog.Item) (doubt, otherwise string) {
	for _, a := range s.alternativesFor(item) {
		if a.doubt == "" {
			return "", ""
		}
		doubt = a.doubt
	}
	for i := range s.lines {
		if s.lines[i].doubt != "" {
			continue
		}
		if otherwise != "" {
			otherwise += " or "
		}
		otherwise += s.lines[i].item.Name
	}
	if otherwise == "" {
		otherwise = "a tested recipe that prints it"
	}
	return doubt, otherwise
}
