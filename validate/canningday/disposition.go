package canningday

import (
	"slices"

	"jarwright/validate/facts"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/report"
	"jarwright/validate/storage"
)

// Recipe is what the rules on the recipe came to, without those on the canning day.
type Recipe struct {
	Remedies    map[string]string // what to do, by rule, where a remark says nothing more exact
	Disposition report.Disposition
	Because     []string // ids of the rules that stand between the recipe and the shelf
}

// verdict is what becomes of a jar, until when, and why.
type verdict struct {
	disposition report.Disposition
	by          known
	because     []string
}

// ranks orders the dispositions from good to bad.
var ranks = []report.Disposition{report.Shelf, report.Refrigerate, report.Hold, report.Reprocess, report.Discard}

func rank(d report.Disposition) int { return slices.Index(ranks, d) }

// Rules by what their remarks do to a jar.
var (
	// A fault of the process: a second process within the window puts it right.
	processRules = []string{ruleHeld, ruleContinuous, ruleCover}
	// Open questions that concern every jar of a load or of the batch.
	commonRules = []string{ruleRecord, ruleHeld, ruleContinuous, ruleCover, ruleInstrument, ruleCalibration, ruleTemperature, ruleEquilibrium, rulePH}
	// Open questions of one jar.
	ownRules = []string{ruleSealTime, ruleSeal, ruleWindow}
)

// said lists those of the rules that say something of this outcome on a jar.
func (d *day) said(jar int, outcome report.Outcome, rules ...string) []string {
	var found []string
	for _, id := range rules {
		if d.has(jar, outcome, id) {
			found = append(found, id)
		}
	}
	return found
}

// common is the best a jar can be by the recipe, the process of its load and the acid of the batch, whatever it shows of
// its own.
func (d *day) common(i int, recipe Recipe) verdict {
	j := &d.jars[i]
	if d.has(i, fail, rulePH) {
		became, by := d.fate(j, false)
		return verdict{became, by, []string{rulePH}}
	}
	if recipe.Disposition == report.Refrigerate {
		return verdict{report.Refrigerate, known{}, nil}
	}
	if faults := d.said(i, fail, processRules...); len(faults) > 0 {
		became, by := d.fate(j, true)
		if recipe.Disposition != report.Shelf && became != report.Discard {
			return d.held(j, append(slices.Clone(recipe.Because), faults...))
		}
		return verdict{became, by, faults}
	}
	if recipe.Disposition != report.Shelf {
		return d.held(j, recipe.Because)
	}
	if open := d.said(i, undetermined, commonRules...); len(open) > 0 {
		return d.unproven(j, open)
	}
	if d.proven(i) {
		return verdict{report.Shelf, known{}, d.met()}
	}
	return d.held(j, []string{ruleRecord})
}

// held is the verdict on a jar that is in doubt: the refrigerator keeps it until its time runs out.
func (d *day) held(j *jar, because []string) verdict {
	v := verdict{disposition: report.Hold, because: because}
	if j.deadline.ok && d.now.From <= j.deadline.at {
		v.by = j.deadline
	}
	return v
}

// unproven is the verdict on a jar of a tested recipe of which something is not known: one that went into the
// refrigerator in time may stay there.
func (d *day) unproven(j *jar, because []string) verdict {
	if j.place == coldPlace {
		return verdict{report.Refrigerate, known{}, because}
	}
	return d.held(j, because)
}

// proven reports whether there is positive evidence for the process of a jar. It asks for each piece itself and does not
// rely on the absence of remarks.
func (d *day) proven(i int) bool {
	j := &d.jars[i]
	if !d.need.applies || !d.need.known || !d.packed.ok || d.facts.Elevation == nil || j.last == nil || !j.ended.ok {
		return false
	}
	if d.need.depth > 0 && len(j.last.levels) == 0 {
		return false
	}
	held := longest(j.last.covered)
	return held.time() >= d.need.time-d.timeTolerance() && d.need.time > 0 && held.from >= d.packed.at && len(j.last.disorder) == 0
}

// judge says what becomes of one jar.
func (d *day) judge(i int, recipe Recipe) verdict {
	j := &d.jars[i]
	if d.has(i, fail, ruleSpoilage) {
		return verdict{report.Discard, known{}, []string{ruleSpoilage}}
	}
	common := d.common(i, recipe)
	if common.disposition == report.Discard || d.has(i, fail, rulePH) {
		return d.withWindow(i, common)
	}
	if recipe.Disposition == report.Refrigerate {
		return d.judgeRefrigerated(i)
	}
	if faults := d.said(i, fail, append(slices.Clone(processRules), ruleSeal, ruleWindow)...); len(faults) > 0 {
		became, by := d.fate(j, true)
		if recipe.Disposition == report.Shelf || became == report.Discard {
			return d.withWindow(i, verdict{became, by, faults})
		}
	}
	if common.disposition != report.Shelf {
		return common
	}
	if lost := d.said(i, fail, ruleLiquidLost); len(lost) > 0 {
		became, by := d.fate(j, false)
		return d.withWindow(i, verdict{became, by, lost})
	}
	if open := append(d.said(i, fail, ruleSealTime, ruleHeadspace), d.said(i, undetermined, ownRules...)...); len(open) > 0 {
		return d.unproven(j, open)
	}
	if j.opened {
		return verdict{report.Refrigerate, known{}, common.because}
	}
	if j.seal != good || !j.checked.ok || j.first == nil {
		return d.unproven(j, []string{ruleSeal})
	}
	return common
}

// withWindow adds the rules by which the hour decided.
func (d *day) withWindow(i int, v verdict) verdict {
	v.because = slices.Clone(v.because)
	for _, id := range []string{ruleWindow, storage.RefrigeratedUntilID} {
		if !slices.Contains(v.because, id) && (d.has(i, fail, id) || d.has(i, undetermined, id)) {
			v.because = append(v.because, id)
		}
	}
	return v
}

// judgeRefrigerated says what becomes of a jar of a recipe that is made for the refrigerator.
func (d *day) judgeRefrigerated(i int) verdict {
	if late := d.said(i, fail, storage.RefrigeratedUntilID); len(late) > 0 {
		return verdict{report.Discard, known{}, late}
	}
	if warm := d.said(i, fail, storage.ListeriaColdID); len(warm) > 0 {
		return verdict{report.Hold, known{}, warm}
	}
	return verdict{report.Refrigerate, known{}, []string{}}
}

// Complete adds to a report what the record of the canning day comes to, and makes its disposition that of the jar that
// is worst off. A request without a record leaves the report as it is.
func Complete(f *facts.Facts, recipe Recipe, r *report.Report) {
	d := read(f)
	if d == nil {
		return
	}
	if recipe.Disposition == report.Hold && len(recipe.Because) == 0 {
		recipe.Because = []string{match.RulePublishedMatch}
	}
	verdicts := make([]verdict, len(d.jars))
	best := verdict{disposition: report.Discard}
	r.Disposition = report.Shelf
	for i := range d.jars {
		verdicts[i] = d.judge(i, recipe)
		jar := report.Jar{ID: d.jars[i].doc.ID, Disposition: verdicts[i].disposition, Because: orEmpty(verdicts[i].because)}
		if d.jars[i].last != nil {
			jar.Load = d.jars[i].last.name
		}
		if verdicts[i].by.ok {
			jar.By = verdicts[i].by.at.String()
		}
		r.Jars = append(r.Jars, jar)
		if rank(jar.Disposition) > rank(r.Disposition) {
			r.Disposition = jar.Disposition
		}
		if common := d.common(i, recipe); i == 0 || rank(common.disposition) < rank(best.disposition) {
			best = common
		}
	}
	r.Batch = &report.Batch{Disposition: best.disposition, Because: orEmpty(best.because), UTCOffset: d.record.UTCOffset}
	d.deriveAcid(r)
	r.Next = d.tasks(verdicts, recipe)
	r.Dates = d.dates(verdicts)
	r.Labels = d.labels(verdicts)
}

func orEmpty(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}

// processTime is the time that a second process takes, for people.
func (d *day) processTime() string {
	if !d.need.known {
		return "the whole time"
	}
	return measure.FormatNumber(d.need.time.Minutes()) + " minutes"
}
