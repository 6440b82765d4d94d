package canningday

import (
	"slices"

	"jarwright/validate/facts"
	"jarwright/validate/report"
)

// Ids of the rules that the findings belong to.
const (
	ruleRecord      = "batch.record"
	ruleContinuous  = "batch.boil-continuous"
	ruleHeld        = "batch.time-held"
	ruleCover       = "batch.water-cover"
	ruleLifting     = "batch.lifting-wait"
	ruleHeadspace   = "batch.headspace"
	ruleFoodCovered = "batch.food-covered"
	ruleLiquidLost  = "batch.liquid-lost"
	ruleSealTime    = "batch.seal-check-time"
	ruleSeal        = "batch.seal"
	ruleWindow      = "batch.reprocess-window"
	ruleInstrument  = "batch.ph-instrument"
	ruleCalibration = "batch.ph-calibration"
	ruleTemperature = "batch.ph-temperature"
	ruleEquilibrium = "batch.ph-equilibrium"
	rulePH          = "batch.ph-limit"
	ruleLabel       = "batch.label"
	ruleSpoilage    = "batch.spoilage"
)

const (
	fail         = report.Fail
	undetermined = report.Undetermined
)

// find records a finding. An empty remedy is that of the rule.
func (d *Day) find(id string, jars []int, outcome report.Outcome, at, message, remedy string) *dayFinding {
	d.findings = append(d.findings, dayFinding{
		rule: id, jars: jars, Finding: facts.Finding{Outcome: outcome, At: at, Message: message, Remedy: remedy},
	})
	d.note(ruleOutcome{id, outcome}, jars)
	return &d.findings[len(d.findings)-1]
}

// ruleOutcome is one outcome of one rule.
type ruleOutcome struct {
	rule    string
	outcome report.Outcome
}

// found is which jars an outcome of a rule was found on.
type found struct {
	onAll bool
	on    []bool // by jar
}

// note remembers on which jars an outcome was found, so that nobody has to go through all findings to ask for a jar.
func (d *Day) note(what ruleOutcome, jars []int) {
	if d.found == nil {
		d.found = map[ruleOutcome]*found{}
	}
	f := d.found[what]
	if f == nil {
		f = &found{on: make([]bool, len(d.jars))}
		d.found[what] = f
		d.kinds = append(d.kinds, what)
	}
	f.onAll = f.onAll || jars == nil
	for _, jar := range jars {
		f.on[jar] = true
	}
}

// has reports whether one of the rules has a finding of this outcome on a jar.
func (d *Day) has(jar int, outcome report.Outcome, rules ...string) bool {
	for _, id := range rules {
		if f := d.found[ruleOutcome{id, outcome}]; f != nil && (f.onAll || f.on[jar]) {
			return true
		}
	}
	return false
}

// openOn lists the rules among some that found anything on a jar, in the order in which they did so first.
func (d *Day) openOn(jar int, among map[string]bool) []string {
	var open []string
	for _, what := range d.kinds {
		if among[what.rule] && d.has(jar, what.outcome, what.rule) && !slices.Contains(open, what.rule) {
			open = append(open, what.rule)
		}
	}
	return open
}

// which lists those of the rules that have a finding of this outcome on a jar.
func (d *Day) which(jar int, outcome report.Outcome, rules ...string) []string {
	var found []string
	for _, id := range rules {
		if d.has(jar, outcome, id) {
			found = append(found, id)
		}
	}
	return found
}

// faulty reports whether a jar has a fault that a second process within the window puts right.
func (d *Day) faulty(jar int) bool {
	return d.has(jar, fail, ruleHeld, ruleContinuous, ruleCover, ruleSeal, ruleWindow)
}

// belongsInRefrigerator reports whether a jar has a fault for which it belongs into the refrigerator, to be eaten soon.
func (d *Day) belongsInRefrigerator(jar int) bool {
	return d.faulty(jar) || d.has(jar, fail, rulePH, ruleLiquidLost)
}
