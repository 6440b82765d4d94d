package canningday

import (
	"fmt"
	"math"
	"slices"
	"time"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// reading is one measurement of acidity, read.
type reading struct {
	doc         *document.PHReading
	at          string // its JSON Pointer
	when        document.Time
	calibration calibration
	accuracy    float64
	valid       bool
	worst       float64 // the higher of what was read and what it is by the calibration
	objections  []objection
}

// objection is why a reading is no evidence.
type objection struct {
	rule, at, message, remedy string
	measured, limit           *report.Amount
}

// sameFigure lets a figure that was added up in binary still equal its limit.
const sameFigure = 1 + 1e-9

func (d *Day) readReadings() {
	for i := range d.readings {
		doc, r := &d.record.PHReadings[i], &d.readings[i]
		r.doc, r.at, r.worst = doc, fmt.Sprintf("/batch/ph_readings/%d", i), doc.Value
		d.readInstrument(r)
		d.readEquilibrium(r)
		r.valid = len(r.objections) == 0 && d.happened(r.when)
	}
}

func (r *reading) object(id, at, message, remedy string) *objection {
	r.objections = append(r.objections, objection{rule: id, at: at, message: message, remedy: remedy})
	return &r.objections[len(r.objections)-1]
}

// figures adds what was measured and the limit it was held to.
func (o *objection) figures(measured, limit *report.Amount) { o.measured, o.limit = measured, limit }

func amountPH(value float64) *report.Amount {
	return &report.Amount{Value: measure.Round(value, 3), Unit: "pH"}
}

// limit is a published limit in its own unit.
func (d *Day) limit(id string) float64 { return d.facts.LimitAsPrinted(id).Value }

func (d *Day) readInstrument(r *reading) {
	most := d.limit("ph-strips-max")
	switch r.doc.Instrument {
	case document.InstrumentMeter:
		d.readMeter(r)
	case document.InstrumentStrips:
		if r.doc.Value > most {
			message := fmt.Sprintf("Strips read %s; above %s they are no evidence.", measure.FormatNumber(r.doc.Value), measure.FormatNumber(most))
			r.object(ruleInstrument, r.at+"/value", message, "Measure again with a calibrated meter.").figures(amountPH(r.doc.Value), amountPH(most))
		}
	default:
		r.object(ruleInstrument, r.at, "What this pH was read with is not recorded.", "Say whether it was a meter or strips (instrument).")
	}
}

func (d *Day) readMeter(r *reading) {
	r.accuracy = d.limit("ph-accuracy-usual")
	if r.doc.Accuracy != nil {
		r.accuracy = *r.doc.Accuracy
	}
	if coarsest := d.limit("ph-accuracy-max"); r.accuracy > coarsest {
		message := fmt.Sprintf("A meter that may be wrong by %s is too coarse.", measure.FormatNumber(r.accuracy))
		r.object(ruleInstrument, r.at+"/accuracy", message, "Measure with a better meter.").figures(amountPH(r.accuracy), amountPH(coarsest))
	}
	r.calibration = calibrate(r.doc.Buffers, d.limit("ph-buffers-apart"))
	if r.calibration.ok {
		r.worst = max(r.doc.Value, r.calibration.corrected(r.doc.Value))
	}
	d.readCalibration(r)
	d.readTemperatures(r)
}

// readCalibration demands two buffers around the reading. At and below the pH up to which any method will do, the meter
// may be read below its lower buffer: with the usual buffers of 4 and 7 most pickles are.
func (d *Day) readCalibration(r *reading) {
	at := r.at
	if len(r.doc.Buffers) > 0 {
		at += "/buffers"
	}
	c := r.calibration
	around := c.ok && c.low <= d.limit("ph-max") && c.high >= r.doc.Value && (c.low <= r.doc.Value || r.doc.Value <= d.limit("ph-strips-max"))
	switch {
	case c.near:
		apart, least := measure.Round(c.high-c.low, 3), d.limit("ph-buffers-apart")
		message := fmt.Sprintf("The buffers of pH %s and %s lie only %s apart, which does not show how the meter reads.",
			measure.FormatNumber(c.low), measure.FormatNumber(c.high), measure.FormatNumber(apart))
		r.object(ruleCalibration, at, message, "Calibrate with buffers of pH 4 and 7, record what the meter reads in them (buffers), and measure again.").
			figures(amountPH(apart), amountPH(least))
	case !around:
		r.object(ruleCalibration, at, fmt.Sprintf("The meter was not calibrated in two buffers around %s.", measure.FormatNumber(r.doc.Value)),
			"Calibrate with buffers of pH 4 and 7, record what the meter reads in them (buffers), and measure again.")
	case c.drift > r.accuracy*sameFigure:
		message := fmt.Sprintf("The meter is off by %s in a buffer, which is more than its accuracy of %s.",
			measure.FormatNumber(measure.Round(c.drift, 3)), measure.FormatNumber(r.accuracy))
		r.object(ruleCalibration, at, message, "Calibrate the meter anew, or clean or replace its electrode, and measure again.").
			figures(amountPH(c.drift), amountPH(r.accuracy))
	}
}

// readTemperatures demands a sample at room temperature and buffers as warm as the sample.
func (d *Day) readTemperatures(r *reading) {
	coldest, warmest := d.celsius("ph-temperature-min"), d.celsius("ph-temperature-max")
	sample, known := d.temperature(r.doc.Temperature)
	if !known {
		r.object(ruleTemperature, r.at, "The temperature of the sample is not recorded.", "Record it (temperature); it belongs between 20 and 30 °C.")
		return
	}
	rounding := d.tolerance(catalog.TemperatureTolerance)
	tooCold, tooWarm := sample.Celsius() < coldest-rounding, sample.Celsius() > warmest+rounding
	if tooCold || tooWarm {
		limit := coldest
		if tooWarm {
			limit = warmest
		}
		low, high, read := measure.FormatNumber(coldest), measure.FormatNumber(warmest), measure.Round(sample.Celsius(), 1)
		message := fmt.Sprintf("The sample was measured at %s °C; it belongs between %s and %s.", measure.FormatNumber(read), low, high)
		remedy := fmt.Sprintf("Let the sample come to between %s and %s °C, and measure again.", low, high)
		r.object(ruleTemperature, r.at+"/temperature", message, remedy).
			figures(&report.Amount{Value: read, Unit: "C"}, &report.Amount{Value: limit, Unit: "C"})
		return
	}
	tolerance := d.tolerance(catalog.BufferTolerance)
	for k := range r.doc.Buffers {
		buffer, known := d.temperature(r.doc.Buffers[k].Temperature)
		at := fmt.Sprintf("%s/buffers/%d", r.at, k)
		if !known {
			r.object(ruleTemperature, at, "The temperature of this buffer is not recorded.", "Record it (temperature); buffers are measured as warm as the sample.")
			return
		}
		if apart := math.Abs(float64(buffer - sample)); apart > tolerance*sameFigure {
			message := fmt.Sprintf("This buffer was %s °C warmer or colder than the sample.", measure.FormatNumber(measure.Round(apart, 1)))
			r.object(ruleTemperature, at+"/temperature", message, "Bring buffers and sample to the same temperature, and measure again.").
				figures(&report.Amount{Value: measure.Round(apart, 1), Unit: "K"}, &report.Amount{Value: tolerance, Unit: "K"})
			return
		}
	}
}

func (d *Day) celsius(id string) float64 {
	si, _ := d.facts.Limit(id)
	return measure.Round(measure.Temperature(si).Celsius(), 6)
}

// readEquilibrium demands that liquid and food have had the time to come to one pH. A jar blended whole needs none. And
// a liquid that is under-acid before its time only gets less acid by soaking in: that reading stands.
func (d *Day) readEquilibrium(r *reading) {
	tooHigh := r.worst > d.limit("ph-max")
	if d.packed.Known && r.when.Known && r.when.Before(d.packed.Time) && !tooHigh {
		r.object(ruleEquilibrium, r.at+"/at", "This pH was read before the jars were packed.", "Put its time or that of packing right, or measure again.")
		return
	}
	if r.doc.Sample == document.SampleBlended || r.doc.Sample == document.SampleLiquid && tooHigh {
		return
	}
	if !d.packed.Known {
		r.object(ruleEquilibrium, r.at, "How long after packing this pH was read is not known.", "Say when the jars were packed (batch.packed_at).")
		return
	}
	wait, words := d.equilibriumWait()
	if after := r.when.Sub(d.packed.Time); after < wait-d.timeTolerance() {
		message := fmt.Sprintf("This pH was read %s hours after packing; liquid and food of this recipe are taken to be at one pH after %s.", hours(after), words)
		remedy := fmt.Sprintf("Measure again after %s, or blend a whole jar.", d.clock(d.packed.Add(wait)))
		r.object(ruleEquilibrium, r.at+"/at", message, remedy).figures(amountHours(after), amountHours(wait))
	}
}

// equilibrium is how long liquid and food take to come to one pH, also in words.
type equilibrium struct {
	wait  time.Duration
	words string
}

// equilibriumWait is the longest wait that a food of the recipe takes (whole peppers, whole onions, eggs), else a day; and
// the same in words.
func (d *Day) equilibriumWait() (time.Duration, string) {
	if d.equilibrium == nil {
		wait, words := d.longestWait()
		d.equilibrium = &equilibrium{wait, words}
	}
	return d.equilibrium.wait, d.equilibrium.words
}

func (d *Day) longestWait() (time.Duration, string) {
	wait := d.duration("ph-wait")
	for i := range d.facts.Composition.Lines {
		line := &d.facts.Composition.Lines[i]
		if !line.Counts() || line.Item == nil {
			continue
		}
		// A pod or bulb whose cut is not given may be whole.
		whole := line.Form.Coarsest == composition.Whole || line.Form.Coarsest == composition.Unstated
		switch line.Item.Family {
		case "egg":
			wait = max(wait, d.duration("ph-wait-egg"))
		case "hot-pepper", "sweet-pepper", "any-pepper", "onion-or-pepper":
			if whole {
				wait = max(wait, d.duration("ph-wait-whole-pepper"))
			}
		case "onion", "pearl-onion", "shallot":
			if whole {
				wait = max(wait, d.duration("ph-wait-whole-onion"))
			}
		}
	}
	if days := wait.Hours() / 24; days > 1 {
		return wait, measure.FormatNumber(math.Ceil(days)) + " days"
	}
	return wait, hours(wait) + " hours"
}

// judgeAcid judges the readings. A reading that is no evidence leaves the acid open until a later one that is settles it.
func (d *Day) judgeAcid() {
	most := d.limit("ph-max")
	for i := range d.readings {
		r := &d.readings[i]
		if !r.valid {
			if !d.settledLater(r) {
				for _, o := range r.objections {
					d.find(o.rule, nil, undetermined, o.at, o.message, o.remedy).figures(o.measured, o.limit)
				}
			}
			continue
		}
		switch read := measure.FormatNumber(measure.Round(r.worst, 2)); {
		case r.worst > most:
			message := fmt.Sprintf("The pH is %s; food in a jar for the shelf has at most %s. All jars of this batch are in doubt.", read, measure.FormatNumber(most))
			d.find(rulePH, nil, fail, r.at+"/value", message, "").figures(amountPH(r.worst), amountPH(most))
		case r.worst+r.accuracy > most*sameFigure:
			message := fmt.Sprintf("The pH is %s, give or take %s, which does not show that it is at most %s.",
				read, measure.FormatNumber(r.accuracy), measure.FormatNumber(most))
			d.find(rulePH, nil, undetermined, r.at+"/value", message, "Measure again with a better meter; keep the jars in the refrigerator until then.").
				figures(amountPH(r.worst), amountPH(most))
		}
	}
}

// settledLater reports whether a later reading, of the same jar where this one is under-acid, is evidence of enough acid.
func (d *Day) settledLater(r *reading) bool {
	most := d.limit("ph-max")
	return slices.ContainsFunc(d.readings, func(other reading) bool {
		return other.valid && !other.when.Before(r.when.Time) && other.worst+other.accuracy <= most && (r.worst <= most || other.doc.Jar == r.doc.Jar)
	})
}

// deriveAcid shows what the calibration says of each reading, and where the reading lies in the computed band.
func (d *Day) deriveAcid(r *report.Report) {
	computed := slices.IndexFunc(r.Derived, func(derived report.Derived) bool { return derived.Name == "equilibrium_ph" })
	sources := []catalog.Citation{d.facts.LimitAsPrinted("ph-calibration-points").Citation}
	for i := range d.readings {
		read := &d.readings[i]
		number := report.Input{Name: "reading", Value: float64(i + 1), Unit: "count"}
		derived := report.Derived{
			Name: "ph_reading", Value: measure.Round(read.worst, 3), Unit: "pH", Formula: "as read",
			Inputs: []report.Input{number, {Name: "read", Value: read.doc.Value, Unit: "pH"}}, Sources: sources,
		}
		if read.calibration.ok {
			r.Derived = append(r.Derived, read.derivedCalibration(number, sources)...)
			derived.Formula = "the higher of what was read and of (read − offset) / slope"
		}
		if read.accuracy > 0 {
			low, high := measure.Round(read.worst-read.accuracy, 3), measure.Round(read.worst+read.accuracy, 3)
			derived.Low, derived.High = &low, &high
		}
		if computed >= 0 {
			compareWithComputed(&derived, &r.Derived[computed])
		}
		r.Derived = append(r.Derived, derived)
	}
}

// derivedCalibration shows slope and offset of a meter.
func (r *reading) derivedCalibration(number report.Input, sources []catalog.Citation) []report.Derived {
	inputs := []report.Input{number}
	for _, b := range sortedBuffers(r.doc.Buffers) {
		inputs = append(inputs, report.Input{Name: "buffer", Value: b.PH, Unit: "pH"}, report.Input{Name: "read in it", Value: b.Reading, Unit: "pH"})
	}
	return []report.Derived{
		{
			Name: "ph_meter_slope", Value: measure.Round(100*r.calibration.slope, 2), Unit: "%",
			Formula: "slope of the straight line through the readings in the buffers, in per cent of a perfect meter's", Inputs: inputs, Sources: sources,
		},
		{
			Name: "ph_meter_offset", Value: measure.Round(r.calibration.offset+(r.calibration.slope-1)*neutral, 3), Unit: "pH",
			Formula: "what the same line reads too much at pH 7", Inputs: inputs, Sources: sources,
		},
	}
}

// compareWithComputed says where a reading lies in the band that was computed for the recipe.
func compareWithComputed(derived, computed *report.Derived) {
	low, high := computed.Value, computed.Value
	if computed.Low != nil && computed.High != nil {
		low, high = *computed.Low, *computed.High
	}
	where := "within"
	switch {
	case derived.Value < low:
		where = "below"
	case derived.Value > high:
		where = "above"
	}
	derived.Formula += fmt.Sprintf("; %s the computed band of %s to %s", where, measure.FormatNumber(low), measure.FormatNumber(high))
	derived.Inputs = append(derived.Inputs,
		report.Input{Name: "computed, lowest", Value: low, Unit: "pH"}, report.Input{Name: "computed, highest", Value: high, Unit: "pH"})
}
