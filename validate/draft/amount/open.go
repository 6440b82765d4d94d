package amount

import (
	"strings"

	"jarwright/validate/measure"
)

// openPhrases are the words for amounts that nobody measures, the longest first. Common practice, no source: they are English.
var openPhrases = []struct{ text, code string }{
	{"enough to cover", measure.CodeToCover},
	{"to cover", measure.CodeToCover},
	{"to fill", measure.CodeToCover},
	{"to taste", measure.CodeAsNeeded},
	{"as needed", measure.CodeAsNeeded},
	{"as required", measure.CodeAsNeeded},
	{"as necessary", measure.CodeAsNeeded},
	{"as desired", measure.CodeAsNeeded},
	{"if needed", measure.CodeAsNeeded},
	{"if desired", measure.CodeAsNeeded},
	{"if necessary", measure.CodeAsNeeded},
	{"q.s.", measure.CodeAsNeeded},
}

// open reads "to taste", "to cover", "as needed" and "optional" in what is left of the line. They stay in it.
func (p *parser) open() {
	if p.out.Rest == "" {
		return
	}
	lower := lowered(p.out.Rest)
	if strings.Contains(lower, "optional") {
		p.out.Optional = true
	}
	if p.out.Amount != nil && p.out.Amount.High > 0 {
		return
	}
	for _, phrase := range openPhrases {
		if strings.Contains(lower, phrase.text) {
			p.out.Open = phrase.code
			return
		}
	}
}

// lowered is strings.ToLower, which looks at every character twice, for lines that mostly are in lower case already.
func lowered(text string) string {
	for i := range len(text) {
		if text[i] >= 'A' && text[i] <= 'Z' || text[i] >= 0x80 {
			return strings.ToLower(text)
		}
	}
	return text
}
