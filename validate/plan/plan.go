// Package plan turns a recipe and a target into a day's work: the recipe made larger or smaller, what to buy, the brine, the
// jars, the canner loads, the hours and the labels. It judges nothing itself: it asks whoever judges recipes whether
// the scaled recipe still gets the answer of the first, and sets out no hours for a recipe that is not fit to keep.
package plan

import (
	"fmt"
	"strings"

	"jarwright/validate/budget"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/ingest"
	"jarwright/validate/measure"
	"jarwright/validate/report"
	"jarwright/validate/table"
)

// Plan is the answer to one plan request. The same request and rule set give the same bytes. Amounts carry their unit; minutes
// and factors are plain numbers.
type Plan struct {
	Summary     string             `json:"summary"`
	Disposition report.Disposition `json:"disposition"` // of the scaled recipe
	Report      report.Summary     `json:"report"`      // of the scaled recipe
	SameAnswer  bool               `json:"same_answer"` // the scaled recipe gets the disposition and findings of the one that was sent
	Factor      float64            `json:"factor"`      // times the recipe
	Request     document.Request   `json:"request"`     // the scaled recipe, ready for a report
	Ingredients []Ingredient       `json:"ingredients"`
	Shopping    []Purchase         `json:"shopping"`
	Brine       *Brine             `json:"brine,omitempty"` // absent where the food is cooked in its liquid
	Jars        Jars               `json:"jars"`
	Canner      *Canner            `json:"canner,omitempty"`   // absent where nothing is processed
	Timetable   []Step             `json:"timetable"`          // empty where the recipe is not fit to keep
	Label       *Label             `json:"label,omitempty"`    // likewise
	Leftover    *Leftover          `json:"leftover,omitempty"` // of what is at hand
	Notes       []string           `json:"notes"`
	Sources     []report.Cited     `json:"sources"`
	Ruleset     string             `json:"ruleset"`
}

// Ingredient is one line of the scaled recipe in both systems of units.
type Ingredient struct {
	At      string        `json:"at"` // JSON Pointer into Request
	Item    string        `json:"item"`
	Form    string        `json:"form,omitempty"`
	Note    string        `json:"note,omitempty"`   // strength, kind, bottled
	Remark  string        `json:"remark,omitempty"` // free words of the cook, not judged
	Batch   *measure.Both `json:"batch,omitempty"`  // absent where only a jar is measured and the jars are not counted
	Jar     *measure.Both `json:"jar,omitempty"`    // what of it goes with one jar; absent where nobody measures it
	PerJar  bool          `json:"per_jar"`          // measured into each jar
	Drained bool          `json:"drained"`          // poured away, not in the jar
	Rounded string        `json:"rounded"`          // up, down or nearest
}

// Purchase is one line of the shopping list, always rounded up.
type Purchase struct {
	Item    string         `json:"item"`
	Amounts []measure.Both `json:"amounts"` // more than one where lines cannot be added, such as cups and heads
	Note    string         `json:"note,omitempty"`
}

// Brine is the liquid to be made.
type Brine struct {
	Lines   []BrineLine        `json:"lines"`
	Volume  measure.Both       `json:"volume"`  // of the liquids together
	Needed  []measure.Both     `json:"needed"`  // least and most that the jars take, as the report reckons; empty where it does not
	Spare   []BrineLine        `json:"spare"`   // a further portion in the same proportion; empty where there is enough
	Text    string             `json:"text"`    // what to do
	Sources []catalog.Citation `json:"sources"` // of the advice
}

// BrineLine is one part of the brine.
type BrineLine struct {
	Item   string       `json:"item"`
	Amount measure.Both `json:"amount"`
}

// Jars is the glass to set out. Counts are whole.
type Jars struct {
	Jar       string  `json:"jar,omitempty"` // id; empty for a jar of one's own
	Name      string  `json:"name"`
	Count     float64 `json:"count"`
	Lids      float64 `json:"lids"` // with a few spare
	LastFull  bool    `json:"last_full"`
	Headspace string  `json:"headspace,omitempty"`
}

// Canner is how the jars go into the pot. Minutes, water over the lids and temperatures are published (see Sources), and the
// depth of water and the water at the start are worked out from the jar; a canner whose width is not given has a usual one.
type Canner struct {
	Method        string             `json:"method"`
	PerLoad       float64            `json:"per_load"`
	Loads         []float64          `json:"loads"`
	Minutes       *float64           `json:"minutes,omitempty"` // at the kitchen's elevation
	PreheatF      float64            `json:"preheat_f,omitempty"`
	PreheatC      float64            `json:"preheat_c,omitempty"`
	WaterOverLids *measure.Amount    `json:"water_over_lids,omitempty"`
	DepthIn       float64            `json:"depth_in,omitempty"` // of water above the rack once the jars stand in it
	DepthMM       float64            `json:"depth_mm,omitempty"`
	WaterAtStart  *measure.Both      `json:"water_at_start,omitempty"` // to put in before the jars
	Text          string             `json:"text"`
	Sources       []catalog.Citation `json:"sources"`
}

// Step is one line of the timetable.
type Step struct {
	ID      string             `json:"id"`
	Title   string             `json:"title"`
	Text    string             `json:"text"`
	From    float64            `json:"from_minutes"` // from the start of the day
	Minutes float64            `json:"minutes"`      // how long it takes
	At      string             `json:"at,omitempty"` // local time; absent when neither start nor finish is given
	Until   string             `json:"until,omitempty"`
	Sources []catalog.Citation `json:"sources"`
}

// Label is the text for each jar, and how many are needed. A date that is not known is a blank to fill in.
type Label struct {
	Lines []string `json:"lines"`
	Count float64  `json:"count"`
}

// Leftover is what remains of the produce or vinegar at hand.
type Leftover struct {
	Item   string       `json:"item"`
	Amount measure.Both `json:"amount"`
}

// Judge answers whether a recipe is fit. The same request always gets the same answer, as long as the budget lasts.
type Judge func(*budget.Budget, *document.Request) report.Report

// Planner makes plans. It is safe for concurrent use.
type Planner struct {
	tables  *catalog.Tables
	units   *measure.Units
	scale   *composition.Scale
	kitchen *measure.Measures
	figures table.Table
	loads   []load
	bushels []bushel
	bounds  *ingest.Bounds
	judge   Judge
}

// load is how many jars up to a capacity stand in a usual canner.
type load struct {
	upToML, jars float64
	citation     catalog.Citation
}

// bushel is what a bushel of a family of foods weighs.
type bushel struct {
	families  []string
	low, high float64 // lb
	citation  catalog.Citation
}

// New makes a planner. It fails when an embedded table is broken.
func New(tables *catalog.Tables, units *measure.Units, scale *composition.Scale, judge Judge) (*Planner, error) {
	measures, err := measure.Load(units)
	if err != nil {
		return nil, fmt.Errorf("make planner: %w", err)
	}
	bounds, err := ingest.LoadBounds(units)
	if err != nil {
		return nil, fmt.Errorf("make planner: %w", err)
	}
	p := &Planner{tables: tables, units: units, scale: scale, kitchen: measures, figures: table.MustFigures("plan/figures.csv"), bounds: bounds, judge: judge}
	for _, row := range table.MustRows("plan/loads.csv", "up_to_ml", "jars", "source", "locator", "verified") {
		p.loads = append(p.loads, load{table.MustNumber(row[0]), table.MustNumber(row[1]), citation(row[2:])})
	}
	for _, row := range table.MustRows("plan/bushels.csv", "families", "pounds_low", "pounds_high", "source", "locator", "verified") {
		p.bushels = append(p.bushels, bushel{strings.Split(row[0], "|"), table.MustNumber(row[1]), table.MustNumber(row[2]), citation(row[3:])})
	}
	return p, nil
}

func citation(cells []string) catalog.Citation {
	return catalog.Citation{Source: cells[0], Locator: cells[1], Verified: catalog.Verified(cells[2])}
}

func (p *Planner) cite(figure string) catalog.Citation {
	f := p.figures.Get(figure)
	return catalog.Citation{Source: f.Source, Locator: f.Locator, Verified: catalog.Verified(f.Verified)}
}

// limit is the citation of a published limit.
func (p *Planner) limit(id string) catalog.Citation { return p.tables.MustLimit(id).Citation }

// Plan makes the plan. The errors say why there is none: the recipe does not say its jars, or the target cannot be
// reached or is more than one plan holds; they are found before anything is judged. Once the budget has ended there is none
// either, and nothing in errors.
func (p *Planner) Plan(b *budget.Budget, request *document.PlanRequest) (Plan, []ingest.Error) {
	if errors := p.needs(request); len(errors) > 0 {
		return Plan{}, errors
	}
	asked := request.Request()
	base := composition.Read(&asked, p.tables, p.scale)
	made, errors := p.sizeOf(request, &base)
	if len(errors) == 0 {
		errors = p.within(request, &base, made)
	}
	if len(errors) > 0 {
		return Plan{}, errors
	}
	first := p.judge(b, &asked)
	scaled := p.scaleTo(b, &asked, &base, made, first)
	if b.Err() != nil {
		return Plan{}, nil
	}
	w := &writer{
		p: p, request: request, scaled: scaled.request, report: scaled.report, size: scaled.size, base: &base,
		comp: composition.Read(&scaled.request, p.tables, p.scale),
	}
	if w.report.Process != nil {
		w.tested, _ = p.tables.Recipe(w.report.Process.Recipe)
	}
	plan := Plan{
		Disposition: w.report.Disposition, Report: w.report.Summary, SameAnswer: sameAnswer(first, w.report), Factor: tidy(w.size.factor),
		Request: w.scaled, Timetable: []Step{}, Notes: []string{}, Sources: []report.Cited{}, Ruleset: w.report.Meta.Ruleset,
	}
	plan.Ingredients = w.ingredients()
	plan.Brine = w.brine()
	plan.Shopping = w.shopping(plan.Brine)
	plan.Jars = w.jars()
	plan.Canner = w.canner()
	plan.Leftover = w.leftover()
	if w.fit() {
		plan.Timetable = w.timetable(plan.Canner)
		plan.Label = w.label(plan.Timetable)
	}
	plan.Notes = w.notes(&plan)
	plan.Summary = w.summary(&plan)
	plan.Sources = w.sources(&plan)
	return plan, nil
}

// needs lists what a plan cannot do without.
func (p *Planner) needs(request *document.PlanRequest) []ingest.Error {
	var errors []ingest.Error
	missing := func(member, detail string) {
		errors = append(errors, ingest.Error{Pointer: "/recipe", Code: ingest.CodeMissingMember, Detail: detail, Params: &ingest.Params{Member: member}})
	}
	if request.Recipe.Jar == nil {
		missing("jar", `"jar" is missing. A plan needs to know the jar.`)
	}
	if request.Recipe.Jars == nil {
		missing("jars", `"jars" is missing. A plan needs to know how many jars the recipe fills.`)
	}
	if request.Start != "" && request.Finish != "" {
		errors = append(errors, ingest.Error{Pointer: "/finish", Code: ingest.CodeNotAllowed, Detail: "Give start or finish, not both."})
	}
	for _, written := range []struct{ pointer, text string }{{"/start", request.Start}, {"/finish", request.Finish}} {
		if written.text == "" {
			continue
		}
		at, ok := readLocalTime(written.text)
		if !ok {
			errors = append(errors, ingest.Error{
				Pointer: written.pointer, Code: ingest.CodeBadFormat, Detail: "There is no such day.", Params: &ingest.Params{Got: written.text},
			})
			continue
		}
		errors = append(errors, p.withinYears(written.pointer, written.text, at)...)
	}
	return errors
}

// writer writes one plan.
type writer struct {
	p       *Planner
	request *document.PlanRequest
	scaled  document.Request
	report  report.Report // on the scaled recipe
	size    size
	base    *composition.Composition // of the recipe as sent
	comp    composition.Composition  // of the scaled recipe
	tested  *catalog.TestedRecipe    // nil: none is near
}

// fit reports whether the scaled recipe may be kept as it means to be.
func (w *writer) fit() bool {
	return w.report.Disposition == report.Shelf || w.report.Disposition == report.Refrigerate
}

func (w *writer) summary(plan *Plan) string {
	text := fmt.Sprintf("%s times the recipe: %s, %s.", measure.FormatNumber(plan.Factor), jarsWord(plan.Jars.Count), plan.Jars.Name)
	if !plan.Jars.LastFull {
		text = fmt.Sprintf("%s times the recipe: %s, %s; the last one not full.", measure.FormatNumber(plan.Factor), jarsWord(plan.Jars.Count), plan.Jars.Name)
	}
	if !w.fit() {
		text += " The recipe is not fit to keep as it is written, so there is no timetable: see the report."
	}
	return text
}

func jarsWord(count float64) string {
	if count == 1 {
		return "1 jar"
	}
	return measure.FormatNumber(count) + " jars"
}

// sources gathers the documents that the plan cites, by first mention.
func (w *writer) sources(plan *Plan) []report.Cited {
	list := []report.Cited{}
	if w.tested != nil {
		list = report.AddCited(list, w.p.tables, w.tested.Citation)
	}
	if plan.Brine != nil {
		list = report.AddCited(list, w.p.tables, plan.Brine.Sources...)
	}
	if plan.Canner != nil {
		list = report.AddCited(list, w.p.tables, plan.Canner.Sources...)
	}
	for _, step := range plan.Timetable {
		list = report.AddCited(list, w.p.tables, step.Sources...)
	}
	return list
}
