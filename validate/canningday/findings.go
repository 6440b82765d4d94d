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
	return &d.findings[len(d.findings)-1]
}

// has reports whether one of the rules has a finding of this outcome on a jar.
func (d *Day) has(jar int, outcome report.Outcome, rules ...string) bool {
	for k := range d.findings {
		f := &d.findings[k]
		if f.Outcome == outcome && f.concerns(jar) && slices.Contains(rules, f.rule) {
			return true
		}
	}
	return false
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
