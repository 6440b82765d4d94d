package canningday

import (
	"slices"

	"jarwright/validate/document"
	"jarwright/validate/match"
	"jarwright/validate/report"
	"jarwright/validate/storage"
)

// Recipe is what the rules on the recipe came to, without those on the canning day.
type Recipe struct {
	Disposition report.Disposition
	Because     []string          // ids of the rules that stand between the recipe and the shelf
	Remedies    map[string]string // what to do, by the id of a rule, where a finding says nothing more exact
	Grave       map[string]bool   // ids of the rules of error severity: no jar on which one of them found anything is fit for the shelf
}

// verdict is what becomes of a jar, until when, and why.
type verdict struct {
	disposition report.Disposition
	by          document.Time
	because     []string
}

// ranks orders the dispositions from good to bad.
var ranks = []report.Disposition{report.Shelf, report.Refrigerate, report.Hold, report.Reprocess, report.Discard}

func rank(d report.Disposition) int { return slices.Index(ranks, d) }

// Rules by what their findings do to a jar.
var (
	// A fault of the process: a second process within the window puts it right.
	processRules = []string{ruleHeld, ruleContinuous, ruleCover}
	// Open questions that concern every jar of a load or of the batch.
	sharedRules = []string{
		ruleRecord, ruleHeld, ruleContinuous, ruleCover, ruleInstrument, ruleCalibration, ruleTemperature, ruleEquilibrium, rulePH,
	}
	// Open questions of one jar.
	jarRules = []string{ruleSealTime, ruleSeal, ruleWindow}
)

// bestCase is the best a jar can be by the recipe, the process of its load and the acid of the batch, whatever it shows of
// its own.
func (d *Day) bestCase(i int, recipe Recipe) verdict {
	j := &d.jars[i]
	if d.has(i, fail, rulePH) {
		became, by := d.outcomeOf(j, false)
		return verdict{became, by, []string{rulePH}}
	}
	if recipe.Disposition == report.Refrigerate {
		return verdict{report.Refrigerate, document.Time{}, nil}
	}
	if faults := d.which(i, fail, processRules...); len(faults) > 0 {
		became, by := d.outcomeOf(j, true)
		if recipe.Disposition != report.Shelf && became != report.Discard {
			return d.holdUntil(j, append(slices.Clone(recipe.Because), faults...))
		}
		return verdict{became, by, faults}
	}
	if recipe.Disposition != report.Shelf {
		return d.holdUntil(j, recipe.Because)
	}
	if open := d.which(i, undetermined, sharedRules...); len(open) > 0 {
		return d.withoutEvidence(j, open)
	}
	if d.hasEvidence(i) {
		return verdict{report.Shelf, document.Time{}, d.rulesMet()}
	}
	return d.holdUntil(j, []string{ruleRecord})
}

// holdUntil is the verdict on a jar that is in doubt: the refrigerator keeps it until its time runs out.
func (d *Day) holdUntil(j *jar, because []string) verdict {
	v := verdict{disposition: report.Hold, because: because}
	if j.deadline.Known && !d.asOf.From.After(j.deadline.Time) {
		v.by = j.deadline
	}
	return v
}

// withoutEvidence is the verdict on a jar of a tested recipe of which something is not known: one that went into the
// refrigerator in time may stay there.
func (d *Day) withoutEvidence(j *jar, because []string) verdict {
	if j.place == coldPlace {
		return verdict{report.Refrigerate, document.Time{}, because}
	}
	return d.holdUntil(j, because)
}

// hasEvidence reports whether there is positive evidence for the process of a jar. It asks for each piece itself and does
// not rely on the absence of findings.
func (d *Day) hasEvidence(i int) bool {
	j := &d.jars[i]
	need := d.requirement
	if !need.applies || !need.known || !d.packed.Known || d.facts.Elevation == nil || j.last == nil || !j.ended.Known {
		return false
	}
	if need.depth > 0 && len(j.last.levels) == 0 {
		return false
	}
	held := longest(j.last.covered)
	return held.length() >= need.time-d.timeTolerance() && need.time > 0 && !held.from.Before(d.packed.Time) && len(j.last.disorder) == 0
}

// rulesMet is the rules that a jar on the shelf has met.
func (d *Day) rulesMet() []string {
	if d.requirement.depth > 0 {
		return []string{match.RulePublishedMatch, ruleHeld, ruleCover, ruleSealTime, ruleSeal}
	}
	return []string{match.RulePublishedMatch, ruleHeld, ruleSealTime, ruleSeal}
}

// judge says what becomes of one jar.
func (d *Day) judge(i int, recipe Recipe) verdict {
	j := &d.jars[i]
	if d.has(i, fail, ruleSpoilage) {
		return verdict{report.Discard, document.Time{}, []string{ruleSpoilage}}
	}
	best := d.bestCase(i, recipe)
	if best.disposition == report.Discard || d.has(i, fail, rulePH) {
		return d.withWindow(i, best)
	}
	if recipe.Disposition == report.Refrigerate {
		return d.judgeRefrigerated(i)
	}
	if faults := d.which(i, fail, append(slices.Clone(processRules), ruleSeal, ruleWindow)...); len(faults) > 0 {
		became, by := d.outcomeOf(j, true)
		if recipe.Disposition == report.Shelf || became == report.Discard {
			return d.withWindow(i, verdict{became, by, faults})
		}
	}
	if best.disposition != report.Shelf {
		return best
	}
	if lost := d.which(i, fail, ruleLiquidLost); len(lost) > 0 {
		became, by := d.outcomeOf(j, false)
		return d.withWindow(i, verdict{became, by, lost})
	}
	if open := append(d.which(i, fail, ruleSealTime, ruleHeadspace), d.which(i, undetermined, jarRules...)...); len(open) > 0 {
		return d.withoutEvidence(j, open)
	}
	if d.happened(j.opened) {
		return verdict{report.Refrigerate, document.Time{}, best.because}
	}
	if j.seal != good || !j.checked.Known || j.first == nil {
		return d.withoutEvidence(j, []string{ruleSeal})
	}
	return best
}

// withWindow adds the rules by which the hour decided.
func (d *Day) withWindow(i int, v verdict) verdict {
	v.because = slices.Clone(v.because)
	for _, id := range []string{ruleWindow, storage.RefrigeratedUntilID} {
		if !slices.Contains(v.because, id) && (d.has(i, fail, id) || d.has(i, undetermined, id)) {
			v.because = append(v.because, id)
		}
	}
	return v
}

// judgeRefrigerated says what becomes of a jar of a recipe that is made for the refrigerator.
func (d *Day) judgeRefrigerated(i int) verdict {
	if late := d.which(i, fail, storage.RefrigeratedUntilID); len(late) > 0 {
		return verdict{report.Discard, document.Time{}, late}
	}
	if warm := d.which(i, fail, storage.ListeriaColdID); len(warm) > 0 {
		return verdict{report.Hold, document.Time{}, warm}
	}
	return verdict{report.Refrigerate, document.Time{}, []string{}}
}

// Complete adds to a report what the record of the canning day comes to, and makes its disposition that of the jar that
// is worst off. Without a record it leaves the report as it is.
func (d *Day) Complete(recipe Recipe, r *report.Report) {
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
		if open := d.openOn(i, recipe.Grave); verdicts[i].disposition == report.Shelf && len(open) > 0 {
			verdicts[i] = d.withoutEvidence(&d.jars[i], open)
		}
		jar := report.Jar{ID: d.jars[i].doc.ID, Disposition: verdicts[i].disposition, Because: orEmpty(verdicts[i].because)}
		if j := &d.jars[i]; j.last != nil && j.last != j.first {
			jar.Load = j.doc.Reprocessed.Load
		} else if j.last != nil {
			jar.Load = j.doc.Load
		}
		if verdicts[i].by.Known {
			jar.By = written(verdicts[i].by.Time)
		}
		r.Jars = append(r.Jars, jar)
		r.Disposition = ranks[max(rank(jar.Disposition), rank(r.Disposition))]
		if can := d.bestCase(i, recipe); i == 0 || rank(can.disposition) < rank(best.disposition) {
			best = can
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
