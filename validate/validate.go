// Package validate is the one way through: request bytes in, report out. It uses no clock, no network, no randomness
// and no state beyond the read-only tables it was built with, so the same request gives the same report.
package validate

import (
	"fmt"

	"jarwright/validate/acidity"
	"jarwright/validate/budget"
	"jarwright/validate/canningday"
	"jarwright/validate/card"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/draft"
	"jarwright/validate/facts"
	"jarwright/validate/ingest"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/plan"
	"jarwright/validate/report"
	"jarwright/validate/rules"
	"jarwright/validate/words"
)

// Checker judges requests against the published tables. It is safe for concurrent use.
type Checker struct {
	tables   *catalog.Tables
	units    *measure.Units
	scale    *composition.Scale
	reader   *ingest.Reader
	sources  facts.Sources
	rules    []rules.Rule
	remedies map[string]string // by rule id
	grave    map[string]bool   // ids of the rules of error severity
	stamps   []report.TableStamp
	planner  *plan.Planner
	cards    *card.Writer
	drafts   *draft.Reader
}

// New builds a Checker; it fails when an embedded table or schema does not load.
func New() (*Checker, error) {
	tables, err := catalog.Load()
	if err != nil {
		return nil, fmt.Errorf("loading the published tables: %w", err)
	}
	return newChecker(tables)
}

// newChecker builds a Checker that judges by the tables given, which a test may have changed.
func newChecker(tables *catalog.Tables) (*Checker, error) {
	units, err := measure.LoadUnits()
	if err != nil {
		return nil, fmt.Errorf("loading the units: %w", err)
	}
	scale, err := composition.NewScale(tables, units)
	if err != nil {
		return nil, fmt.Errorf("building the kitchen scale: %w", err)
	}
	matcher, err := match.NewMatcher(tables, scale)
	if err != nil {
		return nil, fmt.Errorf("reading the tested recipes: %w", err)
	}
	reader, err := ingest.NewReader(units)
	if err != nil {
		return nil, fmt.Errorf("compiling the request schema: %w", err)
	}
	model, err := acidity.Load()
	if err != nil {
		return nil, fmt.Errorf("loading the figures of acidity: %w", err)
	}
	model.Know(tables.Items)
	list, err := words.New(tables)
	if err != nil {
		return nil, fmt.Errorf("loading the list of words: %w", err)
	}
	drafts, err := draft.New(tables, units, reader)
	if err != nil {
		return nil, fmt.Errorf("building the reader of published recipes: %w", err)
	}
	c := &Checker{
		sources: facts.Sources{Tables: tables, Units: units, Scale: scale, Matcher: matcher, Chemistry: model, Words: list},
		tables:  tables, units: units, scale: scale, reader: reader, rules: rules.All(), drafts: drafts,
	}
	c.remedies, c.grave = map[string]string{}, map[string]bool{}
	for i := range c.rules {
		c.remedies[c.rules[i].ID] = c.rules[i].Remedy
		c.grave[c.rules[i].ID] = c.rules[i].Severity == report.Error
	}
	for _, stamp := range tables.Stamps() {
		c.stamps = append(c.stamps, report.TableStamp{Name: stamp.Name, SHA256: stamp.SHA256})
	}
	if c.planner, err = plan.New(tables, units, scale, c.judgePlainly); err != nil {
		return nil, fmt.Errorf("making the planner: %w", err)
	}
	c.cards = card.New(tables, units, scale, c.planner, c.judgePlainly)
	return c, nil
}

// Tables are the published figures behind the reports.
func (c *Checker) Tables() *catalog.Tables { return c.tables }

// Units are the units a request may use.
func (c *Checker) Units() *measure.Units { return c.units }

// Rules is the catalog of rules.
func (c *Checker) Rules() []rules.Rule { return c.rules }

// Check reads one request document and reports on it, as long as the budget lasts; nil is a budget without limits. The second
// result is non-nil when the bytes are not a request document at all, or cost too much; then there is no report.
func (c *Checker) Check(b *budget.Budget, body []byte, options report.Options) (report.Report, *ingest.Problem) {
	request, problem := c.request(b, body)
	if problem != nil {
		return report.Report{}, problem
	}
	judged := c.run(b, &request, options)
	if problem := ingest.TooCostly(b.Err()); problem != nil {
		return report.Report{}, problem
	}
	return judged, nil
}

// request reads one request document and looks up the names in it.
func (c *Checker) request(b *budget.Budget, body []byte) (document.Request, *ingest.Problem) {
	request, problem := c.reader.Request(b, body)
	if problem == nil {
		problem = c.names(&request)
	}
	return request, problem
}

// Run judges a request that has been read.
func (c *Checker) Run(request *document.Request, options report.Options) report.Report {
	return c.run(nil, request, options)
}

// run judges a request. What it returns once the budget has ended is no report.
func (c *Checker) run(b *budget.Budget, request *document.Request, options report.Options) report.Report {
	if !b.Spend(derivationSteps(request)) {
		return report.Report{}
	}
	f, day := c.derive(request, options)
	all := c.judge(b, f)
	if b.Err() != nil {
		return report.Report{}
	}
	return c.assemble(f, day, all, options)
}

// derivationSteps is the work of matching, weighing and reading a request: some for any, and some for each of its lines, jars
// and events.
func derivationSteps(request *document.Request) int {
	const (
		always  = 80
		each    = 6
		reading = 2
	)
	steps := always + each*len(request.Recipe.Ingredients) + reading*len(request.Recipe.Steps)
	if day := request.Batch; day != nil {
		steps += each*len(day.Jars) + reading*(len(day.Events)+len(day.PHReadings))
	}
	return steps
}

// derive works out everything that the rules look at, and the canning day it was read from; nil when none is recorded.
func (c *Checker) derive(request *document.Request, options report.Options) (*facts.Facts, *canningday.Day) {
	f := facts.New(c.sources, request, options.Derivation)
	return f, readDay(f)
}

// readDay reads the record of the canning day for the rules.
func readDay(f *facts.Facts) *canningday.Day {
	day := canningday.Read(f)
	f.Remarks, f.PHMeasured = day.Remarks(), day.PHMeasured()
	return day
}

// judged is one rule with what it found.
type judged struct {
	rule     *rules.Rule
	outcome  report.Outcome
	findings []facts.Finding
}

// judge runs every rule, as long as the budget lasts.
func (c *Checker) judge(b *budget.Budget, f *facts.Facts) []judged {
	all := make([]judged, len(c.rules))
	steps := 1 + len(f.Composition.Lines)/8
	for i := range c.rules {
		if !b.Spend(steps) {
			break
		}
		all[i] = judgeBy(&c.rules[i], f)
	}
	return all
}

// judgeBy runs one rule. It fails when one of its findings does, and is undetermined when none fails and one could not be
// judged.
func judgeBy(rule *rules.Rule, f *facts.Facts) judged {
	j := judged{rule: rule, outcome: report.NotApplicable}
	if !rule.Applies(f) {
		return j
	}
	j.findings, j.outcome = rule.Run(f), report.Pass
	for i := range j.findings {
		if outcome := j.findings[i].Outcome; outcome == report.Fail || j.outcome == report.Pass {
			j.outcome = outcome
		}
	}
	return j
}
