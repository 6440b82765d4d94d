// Package card writes a recipe down for others: amounts in both systems of units, steps in order, the times of every
// elevation, what a reader may change and what not. It judges nothing itself. Of a recipe that is not fit to keep it
// still makes a card, which says so before anything else.
package card

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/validate/budget"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/plan"
	"jarwright/validate/report"
)

// Card is a recipe for publication. The same request and rule set give the same bytes. Texts have both °F and °C, inches and
// millimeters, feet and meters.
type Card struct {
	Title       string                `json:"title"`
	Fit         bool                  `json:"fit"` // may be kept as the card says
	Disposition report.Disposition    `json:"disposition"`
	Notice      string                `json:"notice"` // stands at the top
	Description string                `json:"description,omitempty"`
	Yield       string                `json:"yield,omitempty"`
	Ingredients []plan.Ingredient     `json:"ingredients"`
	Steps       []Step                `json:"steps"`
	Headspace   string                `json:"headspace,omitempty"`
	Times       []report.AltitudeBand `json:"times"` // in the canner, by elevation; empty where nothing is processed
	Storage     []string              `json:"storage"`
	May         []Change              `json:"may"`      // what a reader may change
	MayNot      []Change              `json:"may_not"`  // and what not
	Problems    []report.Finding      `json:"problems"` // why it is not fit; empty when it is
	Cautions    []report.Caution      `json:"cautions"`
	Sources     []report.Cited        `json:"sources"`
	Author      string                `json:"author,omitempty"`
	Published   string                `json:"published,omitempty"`
	Image       string                `json:"image,omitempty"`
	URL         string                `json:"url,omitempty"`
	Missing     []string              `json:"missing"` // members of publication that search engines ask for
	Ruleset     string                `json:"ruleset"`

	kind     string
	basedOn  *report.Cited
	prepare  float64 // minutes, as kitchens usually take
	longest  float64 // minutes in the canner, at the highest elevation
	keywords []string
}

// Step is one thing to do.
type Step struct {
	Title   string             `json:"title"`
	Text    string             `json:"text"`
	Sources []catalog.Citation `json:"sources"`
}

// Change is one thing that a reader may or may not change.
type Change struct {
	Text    string             `json:"text"`
	Sources []catalog.Citation `json:"sources"`
}

// Writer writes cards. It is safe for concurrent use.
type Writer struct {
	tables  *catalog.Tables
	units   *measure.Units
	scale   *composition.Scale
	planner *plan.Planner
	judge   plan.Judge
}

// New makes a writer. The judge answers whether a recipe is fit; the planner puts amounts into words.
func New(tables *catalog.Tables, units *measure.Units, scale *composition.Scale, planner *plan.Planner, judge plan.Judge) *Writer {
	return &Writer{tables: tables, units: units, scale: scale, planner: planner, judge: judge}
}

// builder writes one card.
type builder struct {
	writer  *Writer
	request document.Request
	report  report.Report
	comp    composition.Composition
	tested  *catalog.TestedRecipe // nil: none is followed
	card    Card
}

// Write writes the card of a recipe. It always gives a card; one that is not fit has the reasons and no steps. Once
// the budget has ended it is no card.
func (w *Writer) Write(allowed *budget.Budget, asked *document.CardRequest) Card {
	request := asked.Request()
	b := &builder{writer: w, request: request, comp: composition.Read(&request, w.tables, w.scale), report: w.answer(allowed, &request)}
	if p := b.report.Process; p != nil && p.Matched {
		b.tested, _ = w.tables.Recipe(p.Recipe)
	}
	b.card = Card{
		Disposition: b.report.Disposition, Ingredients: w.planner.Ingredients(&request), Steps: []Step{}, Times: []report.AltitudeBand{},
		Storage: []string{}, May: []Change{}, MayNot: []Change{}, Problems: []report.Finding{},
		Sources: []report.Cited{}, Missing: []string{}, Ruleset: b.report.Meta.Ruleset, kind: request.Recipe.Kind,
	}
	b.card.Fit = b.card.Disposition == report.Shelf || b.card.Disposition == report.Refrigerate
	b.cautions()
	b.title()
	b.yield()
	b.times()
	b.steps()
	b.storage()
	b.changes()
	b.problems()
	b.publication(asked.Publication)
	b.sources()
	return b.card
}

// answer judges the recipe for readers at any elevation. A card prints the times of all elevations, so that not knowing the
// reader's is no fault of the recipe: where nothing else is missing, the answer for a kitchen at sea level holds.
func (w *Writer) answer(allowed *budget.Budget, request *document.Request) report.Report {
	answer := w.judge(allowed, request)
	unknown := false
	for _, f := range answer.Findings {
		if f.Severity != report.Error {
			continue
		}
		if f.Rule != "process.elevation-known" {
			return answer
		}
		unknown = true
	}
	if !unknown || len(answer.AltitudeTable) == 0 {
		return answer
	}
	zero := 0.0
	low := *request
	low.Kitchen = &document.Kitchen{Elevation: &document.Quantity{Value: &zero, Unit: "ft"}}
	if at := w.judge(allowed, &low); at.Disposition == report.Shelf {
		return at
	}
	return answer
}

// onlyWhenFit are the cautions that speak of jars on the shelf; beside a recipe that is not fit they would mislead.
var onlyWhenFit = []string{"seal-check", "full-boil", "storage"}

// cautions are those of the report, in the words of a card.
func (b *builder) cautions() {
	b.card.Cautions = []report.Caution{}
	for _, c := range b.report.Cautions {
		if !b.card.Fit && slices.Contains(onlyWhenFit, c.ID) {
			continue
		}
		c.Text = strings.ReplaceAll(c.Text, "This report", "This card")
		b.card.Cautions = append(b.card.Cautions, c)
	}
}

func (b *builder) title() {
	c := &b.card
	c.Title = b.request.Recipe.Name
	if c.Title == "" && b.tested != nil {
		c.Title = b.tested.Title
	}
	if c.Title == "" {
		c.Title = "Recipe without a name"
	}
	switch c.Disposition {
	case report.Shelf:
		c.Notice = fmt.Sprintf("Fit for the shelf when it is followed as it stands here: it follows the tested recipe “%s” (%s).",
			b.report.Process.Title, words(b.writer.tables, b.report.Process.Source))
	case report.Refrigerate:
		c.Notice = "For the refrigerator only. Keep the jars at 40 °F (4 °C) or colder from the start; they are not fit for the shelf."
	default:
		c.Notice = "NOT FIT FOR THE SHELF AS WRITTEN. Do not can it and do not pass it on as a recipe for the shelf. " + b.report.Summary.Text
	}
}

// words names a document with its place.
func words(tables *catalog.Tables, c catalog.Citation) string {
	text := c.Source
	if source, ok := tables.Source(c.Source); ok {
		text = source.Title
		if source.Year != "" && !strings.Contains(text, source.Year) {
			text += ", " + source.Year
		}
	}
	if c.Locator != "" {
		text += ", " + c.Locator
	}
	return text
}

func (b *builder) yield() {
	if b.comp.Jars == nil || b.comp.Jar == nil {
		return
	}
	size := b.comp.Jar.Name
	switch {
	case strings.HasSuffix(b.comp.Jar.ID, "-ounce") && strings.HasSuffix(size, "fl oz"): // "12 fl oz" alone names no jar
		size = b.comp.Jar.ID + " (" + size + ")"
	case b.comp.Jar.ID == "":
		size = measure.FormatNumber(math.Round(b.comp.Jar.CapacityML)) + " mL"
	}
	b.card.Yield = fmt.Sprintf("%s jars, %s", measure.FormatNumber(*b.comp.Jars), size)
	if *b.comp.Jars == 1 {
		b.card.Yield = "1 jar, " + size
	}
}

// times are the published minutes, without a mark for anybody's kitchen.
func (b *builder) times() {
	if !b.processed() || b.lowTemperature() {
		return
	}
	for _, band := range b.report.AltitudeTable {
		band.Here = false
		b.card.Times = append(b.card.Times, band)
		b.card.longest = math.Max(b.card.longest, band.Minutes)
	}
}

func (b *builder) method() string {
	if b.request.Recipe.Process == nil {
		return ""
	}
	return b.request.Recipe.Process.Method
}

func (b *builder) lowTemperature() bool { return b.method() == document.MethodLowTemperature }

// processed reports whether the card has a process to print: only a recipe that is fit for the shelf has.
func (b *builder) processed() bool { return b.card.Disposition == report.Shelf }

func (b *builder) storage() {
	add := func(text string) { b.card.Storage = append(b.card.Storage, text) }
	weeks := [2]float64{}
	if b.tested != nil {
		weeks = b.tested.CureWeeks
	}
	if rest := b.request.Recipe.Rest; rest != nil && rest.Value != nil {
		if unit, ok := b.writer.units.Lookup(rest.Unit); ok {
			own := measure.Round(measure.Duration(unit.SI(*rest.Value)).Days()/7, 2)
			weeks = [2]float64{own, own}
		}
	}
	switch b.card.Disposition {
	case report.Shelf:
		limit := b.writer.tables.MustLimit("best-before")
		add("Take off the bands, wash the jars, label and date them.")
		add("Keep sealed jars in a cool, dark, dry place, best between 50 and 70 °F (10 and 21 °C), never above 95 °F (35 °C).")
		if weeks[1] > 0 {
			add("Best after " + between(weeks) + " weeks.")
		}
		add("Use within " + measure.FormatNumber(limit.Value) + " months. Refrigerate after opening.")
	case report.Refrigerate:
		add("Keep at 40 °F (4 °C) or colder from the start.")
		if b.tested != nil && b.tested.Refrigerator[1] > 0 {
			add("Use within " + between(b.tested.Refrigerator) + " months.")
		}
		if weeks[1] > 0 {
			add("Best after " + between(weeks) + " weeks.")
		}
	default:
		add("Jars made by this recipe less than 24 hours ago go into the refrigerator. Do not eat from jars that have stood at room temperature longer.")
	}
}

func between(span [2]float64) string { return measure.FormatSpan(span[0], span[1]) }

func (b *builder) problems() {
	if b.card.Fit {
		return
	}
	for _, f := range b.report.Findings {
		if f.Severity == report.Error {
			b.card.Problems = append(b.card.Problems, f)
		}
	}
}

func (b *builder) publication(p *document.Publication) {
	if p == nil {
		p = &document.Publication{}
	}
	c := &b.card
	c.Author, c.Published, c.Description, c.Image, c.URL = p.Author, p.Published, p.Description, p.Image, p.URL
	for _, member := range []struct{ name, value string }{
		{"image", p.Image}, {"author", p.Author}, {"published", p.Published}, {"description", p.Description},
	} {
		if member.value == "" {
			c.Missing = append(c.Missing, member.name)
		}
	}
	c.prepare = b.writer.planner.UsualMinutes(&b.request)
	if c.kind != "" {
		c.keywords = append(c.keywords, c.kind)
	}
	for i := range b.comp.Lines {
		if line := &b.comp.Lines[i]; line.IsFood() && line.Used() && !slices.Contains(c.keywords, line.Name) {
			c.keywords = append(c.keywords, line.Name)
		}
	}
}

func (b *builder) sources() {
	list := []report.Cited{}
	if p := b.report.Process; p != nil && b.card.Fit {
		list = report.AddCited(list, b.writer.tables, p.Source)
		if len(list) == 1 {
			based := list[0]
			b.card.basedOn = &based
		}
	}
	add := func(citations []catalog.Citation) { list = report.AddCited(list, b.writer.tables, citations...) }
	for _, f := range b.card.Problems {
		add(f.Sources)
	}
	for _, s := range b.card.Steps {
		add(s.Sources)
	}
	for _, changes := range [][]Change{b.card.May, b.card.MayNot} {
		for _, c := range changes {
			add(c.Sources)
		}
	}
	for _, c := range b.card.Cautions {
		add(c.Sources)
	}
	b.card.Sources = list
}
