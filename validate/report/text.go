package report

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode"

	"jarwright/validate/catalog"
	"jarwright/validate/measure"
	"jarwright/validate/plaintext"
)

// The words for dispositions and hazards.
var (
	dispositionWords = map[Disposition]string{
		Shelf: "FIT FOR THE SHELF", Refrigerate: "KEEP IN THE REFRIGERATOR", Hold: "HOLD: NOT FOR THE SHELF", Reprocess: "REPROCESS", Discard: "THROW AWAY",
	}
	hazardWords = map[Hazard]string{
		Botulism: "danger of botulism", Pathogen: "danger of harmful germs", Spoilage: "may spoil", Injury: "danger of injury", Quality: "taste and texture only",
	}
)

// heading is the words over a group of findings.
type heading struct {
	words string
	holds func(Finding) bool
}

func headings() []heading {
	failed := func(s Severity) func(Finding) bool {
		return func(f Finding) bool { return f.Outcome == Fail && f.Severity == s }
	}
	return []heading{
		{"Must be put right", failed(Error)},
		{"Not known, and needed", func(f Finding) bool { return f.Outcome == Undetermined }},
		{"Should be put right", failed(Warning)},
		{"Good to know", failed(Info)},
	}
}

// page is one way of writing the same report: plain text or Markdown.
type page struct {
	w        *bufio.Writer
	markdown bool
}

// Text writes the report as plain text of at most about 80 columns, for a terminal or an e-mail.
func Text(w io.Writer, r Report) error { return write(w, r, false) }

// Markdown writes the report as Markdown.
func Markdown(w io.Writer, r Report) error { return write(w, r, true) }

func write(w io.Writer, r Report, markdown bool) error {
	p := page{w: bufio.NewWriter(w), markdown: markdown}
	if r.Batch == nil {
		p.title(dispositionWords[r.Disposition])
	} else {
		p.title(jarsTitle(r.Jars))
	}
	p.paragraph(p.safe(r.Summary.Text))
	if r.Batch == nil {
		p.paragraph(p.strong("Next: ") + p.safe(r.Summary.NextStep))
	} else {
		p.batch(r)
	}
	for _, h := range headings() {
		p.findings(h, r.Findings)
	}
	p.process(r.Process)
	p.altitudes(r.AltitudeTable)
	p.figures(r.Derived)
	p.derivation(r.Derivation)
	p.leeway(r.Leeway)
	p.assumed(r.Meta.Assumed)
	p.cautions(r.Cautions)
	p.sources(r.shownSources())
	p.paragraph(fmt.Sprintf("Rule set %s; %d rules: %s.", r.Meta.Ruleset, len(r.Rules), outcomes(r.Rules)))
	if err := p.w.Flush(); err != nil {
		return fmt.Errorf("writing the report: %w", err)
	}
	return nil
}

// print is the one way out, and lets nothing pass that is not to look at. An error stays in the bufio.Writer until Flush.
func (p *page) print(text string) { _, _ = p.w.WriteString(plaintext.Text(text)) }

func (p *page) title(text string) {
	if p.markdown {
		p.print("# " + text + "\n\n")
		return
	}
	p.print(text + "\n" + strings.Repeat("=", len(text)) + "\n\n")
}

func (p *page) heading(text string) {
	if p.markdown {
		p.print("## " + text + "\n\n")
		return
	}
	p.print(text + "\n" + strings.Repeat("-", len(text)) + "\n")
}

func (p *page) strong(text string) string {
	if p.markdown {
		return "**" + strings.TrimSpace(text) + "** "
	}
	return text
}

// safe keeps the sender's own words from being read as Markdown.
func (p *page) safe(text string) string {
	if !p.markdown {
		return text
	}
	return plaintext.Markdown(text)
}

func (p *page) paragraph(text string) { p.wrap(text, "", ""); p.print("\n") }

const columns = 80

// wrap breaks plain text into lines; Markdown is left in one line, as it reflows itself.
func (p *page) wrap(text, first, rest string) {
	if p.markdown {
		p.print(first + text + "\n")
		return
	}
	p.print(Wrapped(text, first, rest))
}

// Wrapped breaks text into lines of at most 80 columns, each with its end. The first begins with first, the others with rest;
// a word that is longer than a line stands alone. A line that begins within a quotation that sounds like us repeats the mark
// of quotation, so that words of a stranger never stand in a line as if they were ours.
func Wrapped(text, first, rest string) string {
	var all strings.Builder
	all.WriteString(first)
	width, empty := plaintext.Width(first), true
	quoted := 0 // bytes of a doubtful quotation that are still to come
	for {
		spaces := len(text) - len(strings.TrimLeftFunc(text, unicode.IsSpace))
		text, quoted = text[spaces:], max(quoted-spaces, 0)
		if text == "" {
			return all.String() + "\n"
		}
		end := strings.IndexFunc(text, unicode.IsSpace)
		if end < 0 {
			end = len(text)
		}
		word := text[:end]
		columnsOfWord := plaintext.Width(word)
		if !empty && width+1+columnsOfWord > columns {
			all.WriteString("\n" + rest)
			width, empty = plaintext.Width(rest), true
			if quoted > 0 {
				all.WriteString(quotationMark)
				width++
			}
		}
		if !empty {
			all.WriteString(" ")
			width++
		}
		all.WriteString(word)
		width += columnsOfWord
		empty = false
		quoted = quotedAfter(text, end, quoted)
		text = text[end:]
	}
}

const quotationMark = "“"

// quotedAfter gives how many bytes of a quotation that sounds like us stand in text from a place on, given how many stand there
// from the beginning of text on.
func quotedAfter(text string, from, quoted int) int {
	at := quoted
	for {
		open := strings.Index(text[min(at, from):from], quotationMark)
		if open < 0 || at >= from {
			return max(at-from, 0)
		}
		begin := at + open + len(quotationMark)
		length := strings.IndexFunc(text[begin:], func(r rune) bool { return r == '“' || r == '”' }) // each sign is looked at once
		if length < 0 {
			length = len(text) - begin
		}
		at = begin
		if plaintext.SoundsLikeUs(text[begin : begin+length]) {
			at += length
		}
	}
}

func (p *page) findings(h heading, findings []Finding) {
	first := true
	n := 0
	for _, f := range findings {
		if !h.holds(f) {
			continue
		}
		if first {
			p.heading(h.words)
			first = false
		}
		n++
		number := fmt.Sprintf("%d. ", n)
		indent := strings.Repeat(" ", len(number))
		p.wrap(p.safe(f.Message), number, indent)
		lead := indent
		if p.markdown {
			lead += "- " // a line of its own
		}
		p.wrap(p.strong("Do: ")+p.safe(f.Remedy), lead, indent)
		p.wrap(p.why(f), lead, indent)
		p.wrap(p.strong("Rule: ")+f.Rule+place(f.At), lead, indent)
		p.print("\n")
	}
}

// why is the line with the hazard and the sources of a finding. What is merely good to know has no hazard.
func (p *page) why(f Finding) string {
	if f.Severity == Info {
		return p.strong("Source: ") + citations(f.Sources) + "."
	}
	return p.strong("Why: ") + hazardWords[f.Hazard] + ". Source: " + citations(f.Sources) + "."
}

// place puts a JSON Pointer into words: /recipe/ingredients/1/salt_kind is ingredient 2, salt kind.
func place(at string) string {
	var words []string
	parts := strings.Split(strings.TrimPrefix(at, "/recipe"), "/")[1:]
	for i := 0; i < len(parts); i++ {
		word := strings.ReplaceAll(parts[i], "_", " ")
		if one, isList := entryWords[parts[i]]; isList && i+1 < len(parts) {
			if index, err := strconv.Atoi(parts[i+1]); err == nil {
				word, i = one+" no. "+strconv.Itoa(index+1), i+1
			}
		}
		if parts[i] == "ingredients" && i+1 < len(parts) {
			if index, err := strconv.Atoi(parts[i+1]); err == nil {
				word, i = "ingredient "+strconv.Itoa(index+1), i+1
			}
		}
		words = append(words, word)
	}
	if len(words) == 0 {
		return ""
	}
	return ", at " + strings.Join(words, ", ")
}

// entryWords are the names of one entry of each list of a batch.
var entryWords = map[string]string{
	"jars": "jar", "events": "event", "ph_readings": "pH reading", "seal_checks": "seal check", "kept": "place", "buffers": "buffer",
}

func citations(sources []catalog.Citation) string {
	var all []string
	for i, c := range sources {
		if i > 0 && c.Source == sources[i-1].Source && c.Locator != "" && strings.HasSuffix(all[len(all)-1], ")") {
			all[len(all)-1] = strings.TrimSuffix(all[len(all)-1], ")") + "; " + c.Locator + ")"
			continue
		}
		text := c.Source
		switch c.Source {
		case "practice":
			text = "common practice, no source"
		case "memory":
			text = "from memory"
		}
		if c.Locator != "" {
			text += " (" + c.Locator + ")"
		}
		all = append(all, text)
	}
	return strings.Join(all, "; ")
}

func (p *page) process(process *Process) {
	if process == nil {
		return
	}
	if process.Matched {
		p.heading("The tested process")
	} else {
		p.heading("The nearest tested process")
	}
	text := fmt.Sprintf("%s: %s", process.Title, citations([]catalog.Citation{process.Source}))
	if process.Pack != "" {
		text += fmt.Sprintf("; %s pack, %s jar, headspace %s", process.Pack, process.Jar, measure.FormatInches(measure.Length(process.HeadspaceIn)*measure.Inch))
	}
	p.paragraph(text + ".")
	safe := 0
	for _, d := range process.Departures {
		if d.Judged != "safe" {
			continue
		}
		if safe == 0 {
			p.print("Changes from it that are safe:\n")
			if p.markdown {
				p.print("\n")
			}
		}
		safe++
		p.wrap(p.safe(d.What), "- ", "  ")
	}
	if safe > 0 {
		p.print("\n")
	}
}

func (p *page) altitudes(table []AltitudeBand) {
	if len(table) == 0 {
		return
	}
	p.heading("Minutes by elevation")
	if p.markdown {
		p.print("| feet | meters | minutes |\n|---|---|---|\n")
	}
	for _, b := range table {
		feet, meter := span(b.FromFt, b.ToFt, 0), span(b.FromM, b.ToM, 1)
		mark := ""
		if b.Here {
			mark = "  <- your kitchen"
		}
		minutes := measure.FormatNumber(b.Minutes)
		if p.markdown {
			if b.Here {
				minutes = "**" + minutes + "** (your kitchen)"
			}
			p.print(fmt.Sprintf("| %s | %s | %s |\n", feet, meter, minutes))
			continue
		}
		p.print(fmt.Sprintf("  %-18s %-20s %4s min%s\n", feet+" ft", meter+" m", minutes, mark))
	}
	p.print("\n")
}

func span(from float64, to *float64, digits int) string {
	if to == nil {
		return "over " + measure.Thousands(from-boundary(digits), digits)
	}
	return measure.Thousands(from, digits) + " to " + measure.Thousands(*to, digits)
}

// boundary is what a band that begins at 1,001 ft begins above 1,000 ft by.
func boundary(digits int) float64 {
	if digits == 0 {
		return 1
	}
	return 0
}

func (p *page) derivation(steps []Step) {
	if len(steps) == 0 {
		return
	}
	p.heading("How the pH is worked out")
	for i, step := range steps {
		p.wrap(p.strong(step.Title+": ")+p.safe(step.Text), fmt.Sprintf("%d. ", i+1), "   ")
	}
	p.print("\n")
}

func (p *page) leeway(list []Leeway) {
	if len(list) == 0 {
		return
	}
	p.heading("What may be changed")
	for _, l := range list {
		p.wrap(p.safe(l.Text), "- ", "  ")
	}
	p.print("\n")
}

func (p *page) assumed(list []Assumption) {
	if len(list) == 0 {
		return
	}
	p.heading("Taken for granted")
	for _, a := range list {
		by := "on your word"
		if a.By == "default" {
			by = "as the usual case"
		}
		p.wrap(fmt.Sprintf("%s (%s).", p.safe(a.What), by), "- ", "  ")
	}
	p.print("\n")
}

func (p *page) cautions(list []Caution) {
	p.heading("Keep in mind")
	for _, c := range list {
		p.wrap(c.Text, "- ", "  ")
	}
	p.print("\n")
}

func (p *page) sources(list []Cited) {
	p.heading("Sources")
	for _, c := range list {
		text := c.ID + ": " + c.Title
		for _, more := range []string{c.Publisher, c.Year} {
			if more != "" {
				text += ", " + more
			}
		}
		p.wrap(text+".", "- ", "  ")
	}
	p.print("\n")
}

func outcomes(rules []RuleOutcome) string {
	counts := [4]int{}
	order := [4]Outcome{Pass, Fail, Undetermined, NotApplicable}
	labels := [4]string{"met", "not met", "not known", "did not apply"}
	for _, r := range rules {
		for i, o := range order {
			if r.Outcome == o {
				counts[i]++
			}
		}
	}
	var parts []string
	for i, n := range counts {
		if n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, labels[i]))
		}
	}
	return strings.Join(parts, ", ")
}
