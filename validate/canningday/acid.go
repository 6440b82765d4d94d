package canningday

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/moment"
	"jarwright/validate/report"
)

// reading is one measurement of acidity, read.
type reading struct {
	doc       *document.PHReading
	at        string // its JSON Pointer
	when      moment.Moment
	future    bool
	line      calibration
	accuracy  float64
	valid     bool
	worst     float64 // the higher of what was read and what it is by the calibration
	objection []objection
}

// objection is why a reading is no evidence.
type objection struct {
	rule, at, message, remedy string
	measured, limit           *report.Amount
}

// calibration is the straight line through what a meter read in its buffers: reading = offset + slope × pH. A perfect
// meter has slope 1 and offset 0.
type calibration struct {
	ok            bool
	slope, offset float64
	low, high     float64 // pH of the outermost buffers
	drift         float64 // largest difference between a buffer and its reading
}

// neutral is the pH at which glass electrodes give no voltage, so that the offset is shown there (from memory).
const neutral = 7

// calibrate fits the line by least squares; through two buffers it goes exactly.
func calibrate(buffers []document.Buffer) calibration {
	var c calibration
	if len(buffers) == 0 {
		return c
	}
	var n, x, y, xx, xy float64
	c.low, c.high = buffers[0].PH, buffers[0].PH
	for _, b := range buffers {
		n, x, y, xx, xy = n+1, x+b.PH, y+b.Reading, xx+b.PH*b.PH, xy+b.PH*b.Reading
		c.low, c.high = min(c.low, b.PH), max(c.high, b.PH)
		c.drift = max(c.drift, math.Abs(b.Reading-b.PH))
	}
	if c.high <= c.low {
		return c
	}
	c.slope = (n*xy - x*y) / (n*xx - x*x)
	c.offset = (y - c.slope*x) / n
	c.ok = c.slope > 0
	return c
}

// corrected is the pH that a reading stands for.
func (c calibration) corrected(value float64) float64 { return (value - c.offset) / c.slope }

func (d *day) readReadings() {
	d.readings = make([]reading, len(d.record.PHReadings))
	for i := range d.readings {
		doc := &d.record.PHReadings[i]
		r := &d.readings[i]
		*r = reading{doc: doc, at: pointer("batch", "ph_readings", i), worst: doc.Value}
		var ok bool
		r.when, ok = moment.Parse(doc.At)
		r.future = !ok || d.future(r.when)
		d.readInstrument(r)
		d.readEquilibrium(r)
		r.valid = len(r.objection) == 0 && !r.future
	}
}

func (r *reading) object(id, at, message, remedy string) *objection {
	r.objection = append(r.objection, objection{rule: id, at: at, message: message, remedy: remedy})
	return &r.objection[len(r.objection)-1]
}

func ph(value float64) *report.Amount { return &report.Amount{Value: roundTo(value, 3), Unit: "pH"} }

func (d *day) limit(id string) float64 { return d.facts.LimitAsPrinted(id).Value }

func (d *day) readInstrument(r *reading) {
	color := d.limit("ph-strips-max")
	switch r.doc.Instrument {
	case document.InstrumentMeter:
		d.readMeter(r)
	case document.InstrumentStrips:
		if r.doc.Value > color {
			o := r.object(ruleInstrument, r.at+"/value", fmt.Sprintf("Strips read %s; above %s they are no evidence.", measure.FormatNumber(r.doc.Value), measure.FormatNumber(color)), "Measure again with a calibrated meter.")
			o.measured, o.limit = ph(r.doc.Value), ph(color)
		}
	default:
		r.object(ruleInstrument, r.at, "What this pH was read with is not recorded.", "Say whether it was a meter or strips (instrument).")
	}
}

func (d *day) readMeter(r *reading) {
	r.accuracy = d.limit("ph-accuracy-usual")
	if r.doc.Accuracy != nil {
		r.accuracy = *r.doc.Accuracy
	}
	if coarsest := d.limit("ph-accuracy-max"); r.accuracy > coarsest {
		o := r.object(ruleInstrument, r.at+"/accuracy", fmt.Sprintf("A meter that may be wrong by %s is too coarse.", measure.FormatNumber(r.accuracy)), "Measure with a better meter.")
		o.measured, o.limit = ph(r.accuracy), ph(coarsest)
	}
	r.line = calibrate(r.doc.Buffers)
	if r.line.ok {
		r.worst = max(r.doc.Value, r.line.corrected(r.doc.Value))
	}
	d.readCalibration(r)
	d.readTemperatures(r)
}

// readCalibration demands two buffers around the reading. At and below the pH up to which any method will do, the meter
// may be read below its lower buffer: with the usual buffers of 4 and 7 most pickles are.
func (d *day) readCalibration(r *reading) {
	at := r.at
	if len(r.doc.Buffers) > 0 {
		at += "/buffers"
	}
	c := r.line
	around := c.ok && c.low <= d.limit("ph-max") && c.high >= r.doc.Value && (c.low <= r.doc.Value || r.doc.Value <= d.limit("ph-strips-max"))
	switch {
	case !around:
		r.object(ruleCalibration, at, fmt.Sprintf("The meter was not calibrated in two buffers around %s.", measure.FormatNumber(r.doc.Value)),
			"Calibrate with buffers of pH 4 and 7, record what the meter reads in them (buffers), and measure again.")
	case c.drift > r.accuracy*(1+1e-9):
		o := r.object(ruleCalibration, at, fmt.Sprintf("The meter is off by %s in a buffer, which is more than its accuracy of %s.", measure.FormatNumber(roundTo(c.drift, 3)), measure.FormatNumber(r.accuracy)),
			"Calibrate the meter anew, or clean or replace its electrode, and measure again.")
		o.measured, o.limit = ph(c.drift), ph(r.accuracy)
	}
}

func (d *day) readTemperatures(r *reading) {
	coldest, warmest := d.celsius("ph-temperature-min"), d.celsius("ph-temperature-max")
	rounding := d.tolerance(catalog.TemperatureTolerance)
	sample, known := d.temperature(r.doc.Temperature)
	span := fmt.Sprintf("Let the sample come to between %s and %s °C, and measure again.", measure.FormatNumber(coldest), measure.FormatNumber(warmest))
	switch at := r.at + "/temperature"; {
	case !known:
		r.object(ruleTemperature, r.at, "The temperature of the sample is not recorded.", "Record it (temperature); it belongs between 20 and 30 °C.")
		return
	case sample.Celsius() < coldest-rounding, sample.Celsius() > warmest+rounding:
		o := r.object(ruleTemperature, at, fmt.Sprintf("The sample was measured at %s °C; it belongs between %s and %s.", measure.FormatNumber(roundTo(sample.Celsius(), 1)), measure.FormatNumber(coldest), measure.FormatNumber(warmest)), span)
		o.measured, o.limit = &report.Amount{Value: roundTo(sample.Celsius(), 1), Unit: "C"}, &report.Amount{Value: coldest, Unit: "C"}
		if sample.Celsius() > warmest {
			o.limit.Value = warmest
		}
		return
	}
	tolerance := d.tolerance(catalog.BufferTolerance)
	for k := range r.doc.Buffers {
		buffer, known := d.temperature(r.doc.Buffers[k].Temperature)
		at := fmt.Sprintf("%s/buffers/%d", r.at, k)
		switch {
		case !known:
			r.object(ruleTemperature, at, "The temperature of this buffer is not recorded.", "Record it (temperature); buffers are measured as warm as the sample.")
			return
		case math.Abs(float64(buffer-sample)) > tolerance*(1+1e-9):
			o := r.object(ruleTemperature, at+"/temperature", fmt.Sprintf("This buffer was %s °C warmer or colder than the sample.", measure.FormatNumber(roundTo(math.Abs(float64(buffer-sample)), 1))), "Bring buffers and sample to the same temperature, and measure again.")
			o.measured, o.limit = &report.Amount{Value: roundTo(math.Abs(float64(buffer-sample)), 1), Unit: "K"}, &report.Amount{Value: tolerance, Unit: "K"}
			return
		}
	}
}

func (d *day) celsius(id string) float64 {
	si, _ := d.facts.Limit(id)
	return roundTo(measure.Temperature(si).Celsius(), 6)
}

// readEquilibrium demands that liquid and food have had the time to come to one pH. A jar blended whole needs none. And
// a liquid that is under-acid before its time only gets less acid by soaking in: that reading stands.
func (d *day) readEquilibrium(r *reading) {
	if r.doc.Sample == document.SampleBlended || r.doc.Sample == document.SampleLiquid && r.worst > d.limit("ph-max") {
		return
	}
	wait, source := d.equilibriumWait()
	if !d.packed.ok {
		r.object(ruleEquilibrium, r.at, "How long after packing this pH was read is not known.", "Say when the jars were packed (batch.packed_at).")
		return
	}
	if after := r.when.Since(d.packed.at); after < wait-d.timeTolerance() {
		o := r.object(ruleEquilibrium, r.at+"/at", fmt.Sprintf("This pH was read %s hours after packing; liquid and food of this recipe are taken to be at one pH after %s.", measure.FormatNumber(amountHours(after).Value), source),
			fmt.Sprintf("Measure again after %s, or blend a whole jar.", d.clock(d.packed.at.Add(wait))))
		o.measured, o.limit = amountHours(after), amountHours(wait)
	}
}

// equilibriumWait is the longest wait that a food of the recipe takes (whole peppers, whole onions, eggs), else a day.
func (d *day) equilibriumWait() (measure.Duration, string) {
	id := "ph-wait"
	longer := func(other string) {
		if d.hours(other) > d.hours(id) {
			id = other
		}
	}
	for i := range d.facts.Composition.Lines {
		line := &d.facts.Composition.Lines[i]
		if !line.Counts() || line.Item == nil {
			continue
		}
		// A pod or bulb whose cut is not said may be whole.
		whole := line.Form.Coarsest == composition.Whole || line.Form.Coarsest == composition.Unstated
		switch line.Item.Family {
		case "egg":
			longer("ph-wait-egg")
		case "hot-pepper", "sweet-pepper", "any-pepper", "onion-or-pepper":
			if whole {
				longer("ph-wait-whole-pepper")
			}
		case "onion", "pearl-onion", "shallot":
			if whole {
				longer("ph-wait-whole-onion")
			}
		}
	}
	wait := d.hours(id)
	if days := wait.Days(); days > 1 {
		return wait, measure.FormatNumber(math.Ceil(days)) + " days"
	}
	return wait, measure.FormatNumber(amountHours(wait).Value) + " hours"
}

// remarkAcid judges the readings. A reading that is no evidence leaves the acid open until a later one that is settles it.
func (d *day) remarkAcid() {
	most := d.limit("ph-max")
	for i := range d.readings {
		r := &d.readings[i]
		if !r.valid {
			if !d.settled(r) {
				for _, o := range r.objection {
					said := d.say(o.rule, nil, undetermined, o.at, o.message, o.remedy)
					said.Measured, said.Limit = o.measured, o.limit
				}
			}
			continue
		}
		switch {
		case r.worst > most:
			said := d.say(rulePH, nil, fail, r.at+"/value", fmt.Sprintf("The pH is %s; food in a jar for the shelf has at most %s. All jars of this batch are in doubt.", measure.FormatNumber(roundTo(r.worst, 2)), measure.FormatNumber(most)), "")
			said.Measured, said.Limit = ph(r.worst), ph(most)
		case r.worst+r.accuracy > most*(1+1e-9):
			said := d.say(rulePH, nil, undetermined, r.at+"/value", fmt.Sprintf("The pH is %s, give or take %s, which does not show that it is at most %s.", measure.FormatNumber(roundTo(r.worst, 2)), measure.FormatNumber(r.accuracy), measure.FormatNumber(most)), "Measure again with a better meter; keep the jars in the refrigerator until then.")
			said.Measured, said.Limit = ph(r.worst), ph(most)
		}
	}
}

// settled reports whether a later reading, of the same jar where this one is under-acid, is evidence of enough acid.
func (d *day) settled(r *reading) bool {
	most := d.limit("ph-max")
	return slices.ContainsFunc(d.readings, func(other reading) bool {
		return other.valid && other.when >= r.when && other.worst+other.accuracy <= most && (r.worst <= most || other.doc.Jar == r.doc.Jar)
	})
}

// deriveAcid shows what the calibration says of each reading, and where the reading lies in the computed band.
func (d *day) deriveAcid(r *report.Report) {
	computed := slices.IndexFunc(r.Derived, func(derived report.Derived) bool { return derived.Name == "equilibrium_ph" })
	sources := []catalog.Citation{d.facts.LimitAsPrinted("ph-calibration-points").Citation}
	for i := range d.readings {
		read := &d.readings[i]
		number := report.Input{Name: "reading", Value: float64(i + 1), Unit: "count"}
		if read.line.ok {
			inputs := []report.Input{number}
			for _, b := range sortedBuffers(read.doc.Buffers) {
				inputs = append(inputs, report.Input{Name: "buffer", Value: b.PH, Unit: "pH"}, report.Input{Name: "read in it", Value: b.Reading, Unit: "pH"})
			}
			r.Derived = append(
				r.Derived,
				report.Derived{Name: "ph_meter_slope", Value: roundTo(100*read.line.slope, 2), Unit: "%", Formula: "slope of the straight line through the readings in the buffers, in per cent of a perfect meter's", Inputs: inputs, Sources: sources},
				report.Derived{Name: "ph_meter_offset", Value: roundTo(read.line.offset+(read.line.slope-1)*neutral, 3), Unit: "pH", Formula: "what the same line reads too much at pH 7", Inputs: inputs, Sources: sources},
			)
		}
		derived := report.Derived{Name: "ph_reading", Value: roundTo(read.worst, 3), Unit: "pH", Formula: "as read", Inputs: []report.Input{number, {Name: "read", Value: read.doc.Value, Unit: "pH"}}, Sources: sources}
		if read.line.ok {
			derived.Formula = "the higher of what was read and of (read − offset) / slope"
		}
		if read.accuracy > 0 {
			low, high := roundTo(read.worst-read.accuracy, 3), roundTo(read.worst+read.accuracy, 3)
			derived.Low, derived.High = &low, &high
		}
		if computed >= 0 {
			compareWithComputed(&derived, &r.Derived[computed])
		}
		r.Derived = append(r.Derived, derived)
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
	derived.Inputs = append(derived.Inputs, report.Input{Name: "computed, lowest", Value: low, Unit: "pH"}, report.Input{Name: "computed, highest", Value: high, Unit: "pH"})
}

func sortedBuffers(buffers []document.Buffer) []document.Buffer {
	sorted := slices.Clone(buffers)
	slices.SortFunc(sorted, func(a, b document.Buffer) int {
		return cmp.Or(cmp.Compare(a.PH, b.PH), cmp.Compare(a.Reading, b.Reading))
	})
	return sorted
}
