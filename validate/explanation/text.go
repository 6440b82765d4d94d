package explanation

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/plaintext"
	"jarwright/validate/report"
)

// JSON writes the explanation as it is, indented.
func JSON(w io.Writer, e Explanation) error {
	if err := report.EncodeIndented(w, e); err != nil {
		return fmt.Errorf("writing the explanation: %w", err)
	}
	return nil
}

// Text writes the explanation as plain text of 80 columns, without color. It leaves out what the family of the rule is not
// about; JSON has everything.
func Text(w io.Writer, e Explanation) error {
	p := page{w: bufio.NewWriter(w)}
	p.heading(e.Rule.Title+" ("+e.Rule.ID+")", "=")
	p.line("%s. %s", outcomeWords(e.Outcome), e.Rule.stakes())
	p.line("%s", e.Rule.About)
	p.findings(e.Findings, e.Applies, &e.Rule)
	p.lookedAt(&e.LookedAt, e.Outcome)
	p.limits(e.ComparedWith)
	if e.Applies {
		p.tested(e.Tested, &e)
		p.figures(e.Figures, e.NotWorkedOut)
	}
	p.sources(e.Sources)
	p.line("Rule set %s. This is one rule of many; the whole document comes to: %s.", e.Ruleset, dispositionWords(e.Disposition))
	if err := p.w.Flush(); err != nil {
		return fmt.Errorf("writing the explanation: %w", err)
	}
	return nil
}

// page gathers the lines.
type page struct {
	w     *bufio.Writer
	later bool // something stands above
}

// print is the one way out, and lets nothing pass that is not to look at. An error stays in the bufio.Writer until Flush.
func (p *page) print(text string) { _, _ = p.w.WriteString(plaintext.Text(text)) }

// gap leaves a line free between two blocks.
func (p *page) gap() {
	if p.later {
		p.print("\n")
	}
	p.later = true
}

func (p *page) heading(text, under string) {
	p.gap()
	p.print(report.Wrapped(text, "", ""))
	p.print(strings.Repeat(under, min(len([]rune(text)), 80)) + "\n")
}

func (p *page) line(format string, args ...any) {
	p.print(report.Wrapped(fmt.Sprintf(format, args...), "", ""))
}

func (p *page) item(format string, args ...any) {
	p.print(report.Wrapped(fmt.Sprintf(format, args...), "- ", "  "))
}

func (p *page) under(format string, args ...any) {
	p.print(report.Wrapped(fmt.Sprintf(format, args...), "   ", "   "))
}

func outcomeWords(outcome report.Outcome) string {
	switch outcome {
	case report.Pass:
		return "Met"
	case report.Fail:
		return "Not met"
	case report.Undetermined:
		return "Not known"
	}
	return "Does not apply"
}

func dispositionWords(d report.Disposition) string {
	return strings.Replace(strings.ToLower(d.Words()), ": ", ", ", 1)
}

// stakes says how grave the rule is. What is merely good to know is at no one's peril.
func (r *Rule) stakes() string {
	switch r.Severity {
	case report.Error:
		return "It has to be met (" + r.Hazard.Words() + ")."
	case report.Warning:
		return "It should be met (" + r.Hazard.Words() + ")."
	}
	return "It is good to know."
}

// family is the first word of the id.
func (r *Rule) family() string {
	family, _, _ := strings.Cut(r.ID, ".")
	return family
}

func (p *page) findings(findings []Finding, applies bool, rule *Rule) {
	p.heading("What it says", "-")
	if len(findings) == 0 {
		why := "it found nothing to put right"
		if !applies {
			why = "it does not apply to this document"
		}
		p.line("Nothing: %s. The rule rests on %s.", why, citationWords(rule.Sources))
		return
	}
	for i := range findings {
		f := &findings[i]
		p.print(report.Wrapped(f.Message, fmt.Sprintf("%d. ", i+1), "   "))
		p.under("Where: %s.", placeWords(f.At))
		switch {
		case f.Measured != nil && f.Limit != nil:
			p.under("Found: %s. Limit: %s.", f.Measured.Words(), f.Limit.Words())
		case f.Measured != nil:
			p.under("Found: %s.", f.Measured.Words())
		case f.Limit != nil:
			p.under("Limit: %s.", f.Limit.Words())
		}
		p.under("Do: %s", f.Remedy)
		p.changes(f.Changes)
		p.under("Source: %s.", citationWords(f.Sources))
	}
}

func (p *page) changes(changes []Change) {
	for _, c := range changes {
		verdict := "not safe"
		if c.Safe {
			verdict = "safe"
		}
		p.under("Published change %s, %s: %s.", c.ID, verdict, strings.TrimSuffix(c.Text, "."))
	}
}

// mostLooked is how many members the text names; JSON has all.
const mostLooked = 8

func (p *page) lookedAt(l *LookedAt, whole report.Outcome) {
	p.heading("What it looked at", "-")
	for i := range l.Members[:min(len(l.Members), mostLooked)] {
		looked := &l.Members[i]
		says := ""
		if len(looked.Says) > 0 && looked.Without == whole {
			says = ": " + looked.Says[0] // the outcome alone would not tell the difference
		}
		p.item("%s (%s). Without it: %s%s", measure.Capital(placeWords(looked.At)), writtenWords(looked.Written), strings.ToLower(outcomeWords(looked.Without)),
			strings.TrimSuffix(says, ".")+".")
	}
	if more := len(l.Members) - mostLooked; more > 0 {
		p.item("%d more, which the JSON form lists.", more)
	}
	text := fmt.Sprintf("Found by leaving out %d members of the document, one at a time, and asking the rule again", l.Tried)
	if len(l.Members) == 0 {
		text = fmt.Sprintf("Nothing that is written: leaving out any of %d members, one at a time, changes nothing", l.Tried)
	}
	if l.Needed > 0 {
		text += fmt.Sprintf("; %d more have to be there", l.Needed)
	}
	if l.NotTried > 0 {
		text += fmt.Sprintf("; %d were too many to try", l.NotTried)
	}
	p.line("%s.", text)
}

// placeWords says a JSON Pointer to people.
func placeWords(at string) string {
	if words := (report.Finding{At: at}).Place(); words != "" {
		return words
	}
	if at == "/recipe" {
		return "the recipe"
	}
	return "the whole document"
}

// writtenWords says a JSON value briefly. Text of the sender is quoted, so that no sign in it can disturb a terminal.
func writtenWords(value any) string {
	switch value := value.(type) {
	case string:
		return shortened(fmt.Sprintf("%q", value))
	case float64:
		return measure.FormatNumber(value)
	case map[string]any:
		unit, _ := value["unit"].(string)
		if number, isNumber := value["value"].(float64); isNumber && isQuantity(value) {
			return measure.FormatAmount(number, unit)
		}
		for _, name := range []string{"item", "event", "id", "unit"} {
			if text, isText := value[name].(string); isText {
				return "the whole entry, " + shortened(fmt.Sprintf("%q", text))
			}
		}
		return "the whole entry"
	}
	return fmt.Sprint(value)
}

func shortened(text string) string {
	const most = 40
	if letters := []rune(text); len(letters) > most {
		return string(letters[:most]) + "…"
	}
	return text
}

func (p *page) limits(limits []Limit) {
	if len(limits) == 0 {
		return
	}
	p.heading("Published limits it looked up", "-")
	for _, l := range limits {
		p.item("%s: %s; %s.", measure.Capital(l.Meaning), l.words(), citationWords([]Source{l.Source}))
	}
}

// words says the limit with its unit; shares are said in percent.
func (l *Limit) words() string {
	switch l.Unit {
	case "fraction":
		return measure.FormatNumber(100*l.Value) + " %"
	case "percent":
		return measure.FormatNumber(l.Value) + " %"
	case "count":
		return measure.FormatNumber(l.Value)
	case "pH":
		return "pH " + measure.FormatNumber(l.Value)
	}
	return measure.FormatAmount(l.Value, l.Unit)
}

// testedParts is what of the tested recipe the text shows, by the family of the rule.
var testedParts = map[string][]string{
	"acid": {"amounts"}, "ingredient": {"amounts"}, "measure": {"amounts"},
	"pack": {"packs"}, "process": {"packs", "times"}, "batch": {"packs", "times"},
}

func (p *page) tested(t *Tested, e *Explanation) {
	if t == nil {
		return
	}
	p.heading("The tested recipe", "-")
	followed := "depart from it"
	if t.Followed {
		followed = "follow it"
	}
	p.line("“%s”, %s. Foods, proportions and pieces %s here.", t.Title, citationWords([]Source{t.Source}), followed)
	parts := testedParts[e.Rule.family()]
	if slices.Contains(parts, "packs") {
		for i := range t.Packs {
			p.item("%s", t.Packs[i].words())
		}
	}
	if slices.Contains(parts, "times") {
		for i := range t.Times {
			p.item("%s", t.Times[i].words())
		}
	}
	if slices.Contains(parts, "amounts") {
		for i := range t.Amounts {
			p.item("%s", t.Amounts[i].words(t.Allowances))
		}
		if s := t.Proportion; s != nil {
			p.item("Acid %s times and food %s times the tested recipe's: %s %% of the tested acid for the food.", measure.FormatNumber(s.Acid),
				measure.FormatNumber(s.Food), measure.FormatNumber(measure.Round(100*s.Share, 1)))
		}
	}
	for i := range t.Departures {
		d := &t.Departures[i]
		if slices.ContainsFunc(e.Findings, func(f Finding) bool { return f.Message == d.What }) {
			continue // it stands above
		}
		p.item("Departure, %s: %s", verdictWords[d.Verdict], d.What)
	}
}

var verdictWords = map[match.Verdict]string{
	match.Safe: "published as safe", match.Unsafe: "published as unsafe", match.Untested: "not tested", match.Undetermined: "not known",
}

func (t *Pack) words() string {
	text := fmt.Sprintf("%s pack in %s", measure.Capital(t.Pack), strings.ReplaceAll(strings.Join(t.Jars, " or "), "_", " "))
	if t.HeadspaceIn > 0 {
		text += ", headspace " + measure.FormatInches(measure.Length(t.HeadspaceIn)*measure.Inch)
	}
	if t.SolidsHeadspaceIn > 0 {
		text += ", pieces " + measure.FormatInches(measure.Length(t.SolidsHeadspaceIn)*measure.Inch) + " below the rim"
	}
	if t.SterileJars {
		text += ", jars sterilized"
	}
	if t.LowTemperature {
		text += ", or the low-temperature treatment"
	}
	return text + "."
}

// words says the minutes by elevation: "0 to 1,000 ft 10 min; to 6,000 ft 15 min (this kitchen); above 20 min".
func (t *Times) words() string {
	var bands []string
	for _, b := range t.Bands {
		text := "above that"
		switch {
		case b.ToFt != nil:
			text = fmt.Sprintf("up to %s ft", thousands(*b.ToFt))
		case len(t.Bands) == 1:
			text = "at any elevation"
		}
		text += " " + measure.FormatAmount(b.Minutes, "min")
		if b.Here {
			text += " (this kitchen)"
		}
		bands = append(bands, text)
	}
	if len(bands) == 0 {
		bands = []string{"none printed"}
	}
	return fmt.Sprintf("Minutes, %s pack, %s: %s.", t.Pack, t.Jar, strings.Join(bands, "; "))
}

func thousands(feet float64) string {
	whole := fmt.Sprintf("%.0f", feet)
	if len(whole) > 3 {
		return whole[:len(whole)-3] + "," + whole[len(whole)-3:]
	}
	return whole
}

// words says the printed amount, the cook's, and how far that may be moved.
func (a *Amount) words(allowances []Allowance) string {
	var here []string
	for _, line := range a.Here {
		here = append(here, line.Text)
	}
	if len(here) == 0 {
		here = []string{"none"}
	}
	text := fmt.Sprintf("%s: printed %s; here %s", measure.Capital(a.Name), a.Printed, measure.JoinAnd(here))
	if a.Low != nil && a.High != nil {
		times := measure.FormatNumber(*a.Low)
		if *a.High != *a.Low {
			times += " to " + measure.FormatNumber(*a.High)
		}
		text += ", " + times + " times"
	}
	for i := range allowances {
		if len(a.Here) == 1 && strings.HasPrefix(allowances[i].At, a.Here[0].At+"/") {
			text += "; " + allowances[i].words()
		}
	}
	return text + "."
}

func (r *Allowance) words() string {
	if r.High == nil {
		return "at least " + measure.FormatAmount(r.Low, r.Unit) + " keeps the proportions"
	}
	return "at most " + measure.FormatAmount(*r.High, r.Unit) + " keeps the proportions"
}

func (p *page) figures(figures []report.Derived, missing []Missing) {
	if len(figures)+len(missing) == 0 {
		return
	}
	p.heading("Worked out", "-")
	formula := ""
	for _, d := range figures {
		text := fmt.Sprintf("%s: %s%s", figureWords(d.Name), measure.FormatNumber(d.Value), d.UnitWords())
		if d.Low != nil && d.High != nil {
			text += fmt.Sprintf(" (between %s and %s)", measure.FormatNumber(*d.Low), measure.FormatNumber(*d.High))
		}
		if d.Formula == formula {
			p.item("%s.", text) // worked out as the one above
			continue
		}
		formula = d.Formula
		p.item("%s; %s. Source: %s.", text, strings.TrimSuffix(formula, "."), report.CitationWords(d.Sources))
	}
	for _, m := range missing {
		why := ""
		if m.Why != "" {
			why = ": " + m.Why
		}
		p.item("%s: not worked out%s.", figureWords(m.Name), why)
	}
}

// figureWords names a figure at the beginning of a sentence; pH keeps its small letter.
func figureWords(name string) string {
	words := report.Derived{Name: name}.Words()
	if strings.HasPrefix(strings.ToLower(words), "ph ") {
		return "pH " + words[len("ph "):]
	}
	return measure.Capital(words)
}

func (p *page) sources(sources []report.Cited) {
	p.heading("Sources", "-")
	for _, s := range sources {
		p.item("%s", s.ID+": "+s.Title+".")
	}
	p.print("\n")
}

// citationWords names places in documents by the ids of those.
func citationWords(sources []Source) string {
	citations := make([]catalog.Citation, len(sources))
	for i, s := range sources {
		citations[i] = catalog.Citation{Source: s.ID, Locator: s.Locator, Verified: s.Verified}
	}
	return report.CitationWords(citations)
}
