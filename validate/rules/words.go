package rules

import (
	"fmt"
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/facts"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/report"
	"jarwright/validate/words"
)

// Words asks about the free words of a line that are not understood. They make no jar unsafe; they leave the line undetermined.
func Words() Rule {
	return Rule{
		ID: "ingredient.words", Title: "Every word understood", Severity: report.Error, Hazard: report.Botulism, Since: sinceWords,
		About: "A line is judged by what it says in full. Words of its name and form are read from a list of what they do to safety; a word that is " +
			"not in it, or that leaves a question open, may hide another food, an amount, a weaker acid or a treatment.",
		Sources: []catalog.Citation{{Source: "word-list", Verified: catalog.Recalled}, catalog.Guide("p. 1-28")},
		Remedy:  "Say it in the members, or move to note what does not matter for safety.",
		Applies: hasWords,
		Run: func(f *facts.Facts) []facts.Finding {
			var findings []facts.Finding
			for i := range f.Words {
				line := &f.Words[i]
				if finding := openWords(line); finding != nil {
					findings = append(findings, *finding)
				}
				if finding := notedWords(line); finding != nil {
					findings = append(findings, *finding)
				}
			}
			return findings
		},
	}
}

// hasWords is the Applies of a rule on the free words of lines.
func hasWords(f *facts.Facts) bool {
	return slices.ContainsFunc(f.Composition.Lines, func(l composition.Line) bool {
		return l.Used() && (l.Written.Form != "" || l.Written.Note != "" || !facts.IsPlainName(&l))
	})
}

// sinceWords is the rule set that first had the rules on words.
const sinceWords = "2026.2"

// openWords is the finding on the words of one line that are unknown or ask something; nil where there are none.
func openWords(line *facts.LineWords) *facts.Finding {
	var says, asks []string
	at := "/form"
	for _, spans := range [...][]words.Span{line.Item, line.Form} {
		for i := range spans {
			sentence, ask := openWord(line, &spans[i])
			if sentence == "" {
				continue
			}
			says = append(says, sentence)
			if !slices.Contains(asks, ask) {
				asks = append(asks, ask)
			}
		}
		if len(says) > 0 && len(spans) > 0 && len(line.Item) > 0 && len(line.Form) == 0 {
			at = "/item"
		}
	}
	if len(says) == 0 {
		return nil
	}
	const most = 12 // sentences of one finding
	if more := len(says) - most; more > 0 {
		says = append(says[:most], fmt.Sprintf("And %d more.", more))
	}
	return &facts.Finding{
		Outcome: report.Undetermined, At: line.Line.At + at,
		Message: strings.Join(says, " "), Remedy: strings.Join(asks, " "),
	}
}

// unknownRemedy is what to do about a word that nobody here knows.
const unknownRemedy = "If it says only where it comes from or how it tastes, move it to note. If it names a food, an amount, a strength or a " +
	"treatment, give that a line or member of its own."

// openWord is the sentence on one span and what to do about it; empty where it is nothing to ask about.
func openWord(line *facts.LineWords, s *words.Span) (sentence, ask string) {
	switch s.Kind {
	case words.Unknown:
		sentence = "“" + s.Text + "” is not a word known here, so this line is not judged."
		if s.Near != "" {
			sentence += " Did you mean “" + s.Near + "”?"
		}
		return sentence, unknownRemedy
	case words.LargerCut:
		if !leavesSizeOpen(line, s) {
			return "", ""
		}
		says, ask := words.Says("cut")
		return "“" + s.Text + "” " + says + ".", ask
	case words.Question:
		says, ask := words.Says(s.Code)
		return "“" + s.Text + "” " + says + ".", ask
	}
	return "", ""
}

// leavesSizeOpen tells whether a word for large pieces is one that the reader of forms cannot take in: of a food, thick or uncounted.
func leavesSizeOpen(line *facts.LineWords, s *words.Span) bool {
	if !line.IsProduce() {
		return false
	}
	l := line.Line
	if s.Row.Part == "size" {
		return l.State == composition.Given && l.Unit.Dimension == measure.DimensionCount && !strings.Contains(strings.ToLower(s.Text), "large")
	}
	if strings.HasPrefix(s.Row.Phrase, "large ") || strings.HasPrefix(s.Row.Phrase, "big ") || strings.Contains(s.Row.Phrase, "into large ") {
		return true
	}
	if strings.Contains(s.Row.Phrase, "thick") {
		return l.ThicknessMM() == 0
	}
	cut := composition.ReadForm(s.Text).Coarsest
	if cut == composition.Whole && l.Form.Finest < composition.Strips {
		return true // "slices, left uncut"
	}
	// Where the line names no other cut, the comparison of cuts asks for it.
	return l.Form.Coarsest != composition.Unstated && cut == composition.Unstated
}

// notedWords is the finding on a note that says what belongs into the members; nil where it does not.
func notedWords(line *facts.LineWords) *facts.Finding {
	if len(line.Note) == 0 {
		return nil
	}
	var said []string
	for i := range line.Note {
		if text := "“" + line.Note[i].Text + "”"; !slices.Contains(said, text) {
			said = append(said, text)
		}
	}
	const most = 8 // of the words that are told
	if len(said) > most {
		said = append(said[:most], "…")
	}
	return &facts.Finding{
		Outcome: report.Undetermined, At: line.Line.At + "/note",
		Message: "The note has " + strings.Join(said, ", ") + ", and a note is not judged.",
		Remedy:  "Say it in the members, or take it out.",
	}
}

// Contradiction stops a line whose words say what no tested recipe allows, where no other rule speaks for it.
func Contradiction() Rule {
	return Rule{
		ID: "ingredient.contradiction", Title: "Words that contradict a tested recipe", Severity: report.Error, Hazard: report.Botulism, Since: sinceWords,
		About: "Words of a line count as its members do. Where they say that acid is weaker, that food, fat, water or a thickener is in it, that it was " +
			"dried, fried or stuffed, or that a step was left out, the line is not that of the tested recipe, whatever the members say.",
		Sources: []catalog.Citation{{Source: "word-list", Verified: catalog.Recalled}, catalog.Guide("p. 1-28"), catalog.Guide("p. 3-20")},
		Remedy:  "Make the line as the tested recipe prints it, and take the words out.",
		Applies: hasWords,
		Run: func(f *facts.Facts) []facts.Finding {
			var findings []facts.Finding
			for i := range f.Words {
				line := &f.Words[i]
				if speaksOf(f, line) != "" {
					continue
				}
				if finding := contradicted(line); finding != nil {
					findings = append(findings, *finding)
				}
			}
			return findings
		},
	}
}

// speaksOf is the rule of its own that speaks for what the words of a line contradict; empty where none does.
func speaksOf(f *facts.Facts, line *facts.LineWords) string {
	l := line.Line
	switch {
	case !f.ForShelf() || l.Item == nil:
		return ""
	case l.Kind != composition.NotVinegar:
		return "acid.vinegar-strength"
	case slices.Contains(juiceItems, l.Item.ID):
		return "acid.juice-bottled"
	case !f.Matched() || !l.IsFood() || !l.Counts():
		return ""
	}
	for _, span := range line.Fails() {
		if span.Row.Part != "ripeness" && span.Row.Part != "variety" && span.Row.Phrase != "juice poured off" {
			return ""
		}
	}
	return match.RuleUnsuitable
}

// contradicted is the finding on a line whose words contradict a tested recipe; nil where none do.
func contradicted(line *facts.LineWords) *facts.Finding {
	fails := slices.DeleteFunc(slices.Clone(line.Fails()), func(s words.Span) bool { return ofBlossomEnd(line.Line, &s) })
	if len(fails) == 0 {
		return nil
	}
	at := "/form"
	if line.Line.Written.Form == "" || len(line.Item) > 0 && fails[0].Text == line.Item[0].Text {
		at = "/item"
	}
	finding := &facts.Finding{Outcome: report.Fail, At: line.Line.At + at}
	var sentences []string
	for i := range fails {
		s := &fails[i]
		sentences = append(sentences, "“"+s.Text+"” "+saysOf(line.Line, s)+".")
		finding.Sources = catalog.AddCitation(finding.Sources, s.Row.Citation)
	}
	finding.Message = strings.Join(sentences, " ")
	return finding
}

// ofBlossomEnd reports whether words are of a blossom end that stays on a cucumber: a rule of its own warns of it.
func ofBlossomEnd(line *composition.Line, s *words.Span) bool {
	return cucumber(line) && line.Form.KeepsBlossomEnd && strings.Contains(s.Row.Phrase, "blossom")
}

// saysOf is what a span that contradicts a tested recipe says of its line.
func saysOf(line *composition.Line, s *words.Span) string {
	of := "the " + line.Name
	var text string
	switch s.Row.Effect {
	case words.WeakensAcid:
		text = "says that " + of + " has less acid than the tested recipe counts on"
	case words.AddsLowAcid:
		text = "says that more low-acid food than the tested recipe has is in " + of
	case words.AddsFat:
		text = "says that fat is in " + of
	case words.AddsWater:
		text = "says that water or a thin liquid is in " + of
	default:
		text = "says of " + of + " what no tested recipe allows"
	}
	if s.Row.Meaning != "" {
		text += ": " + s.Row.Meaning
	}
	return text
}

// withWords adds to what a rule finds the findings on words that it speaks for, where it has none on that line yet.
func withWords(id string, run func(*facts.Facts) []facts.Finding) func(*facts.Facts) []facts.Finding {
	return func(f *facts.Facts) []facts.Finding {
		findings := run(f)
		for _, more := range spoken(f, id) {
			line := strings.TrimSuffix(strings.TrimSuffix(more.At, "/form"), "/item")
			if !slices.ContainsFunc(findings, func(have facts.Finding) bool {
				return have.Outcome == report.Fail && (have.At == line || strings.HasPrefix(have.At, line+"/"))
			}) {
				findings = append(findings, more)
			}
		}
		return findings
	}
}

// spoken lists the findings on words that one of the rules of acid or ripeness speaks for.
func spoken(f *facts.Facts, id string) []facts.Finding {
	var findings []facts.Finding
	for i := range f.Words {
		line := &f.Words[i]
		if speaksOf(f, line) != id {
			continue
		}
		if finding := contradicted(line); finding != nil {
			findings = append(findings, *finding)
		}
	}
	return findings
}
