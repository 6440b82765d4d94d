package figures

import (
	"fmt"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/facts"
	"jarwright/validate/heating"
	"jarwright/validate/measure"
	"jarwright/validate/report"
	"jarwright/validate/table"
)

// Heating works out how the coldest spot of the jar heats: when it passes the temperatures of heating.Landmarks, what the heat
// adds up to against the target for the pH of the jar, and the course of its temperature, all between bounds. pH is the
// highest equilibrium pH that is believed; nil takes the target of the highest that acidified food may have. It leaves all
// out where jar, headspace, pack, elevation, time or method is not given. An estimate takes some 30 µs and two are made, so
// that a report has them only when it is asked for curves.
//
// Nothing is judged by these figures. They say why the printed minutes are what they are; they grant nothing.
func Heating(f *facts.Facts, pH *float64) ([]report.Derived, []report.Curve) {
	pack, process, ok := setting(f)
	if !ok {
		return nil, nil
	}
	boilingC, known := f.BoilingC()
	packed, ok := heating.PackedC(f.Request.Recipe.Pack, f.LiquidC(boilingC))
	if !known || !ok {
		return nil, nil
	}
	curve, err := between(pack, process, packed)
	if err != nil {
		return nil, nil
	}
	e := heatingFigures{pack: pack, process: process, packed: packed, curve: curve}
	for _, landmark := range heating.Landmarks() {
		e.reach(landmark)
	}
	highest := f.Tables.MustLimit("ph-max").Value
	if pH != nil {
		highest = *pH
	}
	if target, ok := heating.TargetFor(highest); ok {
		e.lethality(target, highest)
	}
	return e.list, e.curves()
}

// setting is what the recipe says of jar and process; StartC is left open.
func setting(f *facts.Facts) (heating.Pack, heating.Process, bool) {
	jar, known := f.Jar()
	head, given := f.Headspace()
	bathC, held := f.BathC()
	time, timed := f.Time()
	if !known || !given || !held || !timed {
		return heating.Pack{}, heating.Process{}, false
	}
	fill, err := jar.FillVolumeML(head.Millimeters())
	if err != nil {
		return heating.Pack{}, heating.Process{}, false
	}
	heightMM := jar.InteriorHeightMM - head.Millimeters()
	radiusM, err := heating.EquivalentRadiusM(fill.Value, heightMM)
	if err != nil {
		return heating.Pack{}, heating.Process{}, false
	}
	pack := heating.Pack{InnerRadiusM: radiusM, FillHeightM: heightMM / 1000}
	pack.Pieces, pack.PieceRadiusM = thickest(f, radiusM)
	process := heating.Process{
		CannerC: cannerC(f, bathC), BathC: bathC, HoldMinutes: time.Minutes(),
		RoomC: heating.RoomC().Value, CoolingMinutes: heating.Figure("cooling_followed").Value,
	}
	return pack, process, true
}

func cannerC(f *facts.Facts, bathC float64) float64 {
	if t := f.Request.Recipe.Temperatures; t != nil {
		if si, given := f.SI(t.Canner); given {
			return min(measure.Temperature(si).Celsius(), bathC)
		}
	}
	if printed, ok := heating.CannerC(f.Request.Recipe.Pack); ok {
		return min(printed.Value, bathC)
	}
	return heating.RoomC().Value
}

// thickest is the shape and the radius in m of the thickest pieces whose thickness the recipe says. Where it says none
// the pieces count as liquid, which leaves the high bound too high and not too low.
func thickest(f *facts.Facts, jarRadiusM float64) (heating.Shape, float64) {
	shape, radiusM := heating.NoPieces, 0.0
	for i := range f.Composition.Lines {
		line := &f.Composition.Lines[i]
		if !line.Counts() || !line.IsFood() || line.Form.Coarsest < composition.Strips {
			continue
		}
		breadthMM := line.ThicknessMM()
		kind := heating.LongPieces
		if line.Form.Coarsest == composition.Whole && line.LengthMM == 0 {
			breadthMM, kind = line.DiameterMM(), heating.RoundPieces
		}
		if half := min(breadthMM/2000, jarRadiusM); half > radiusM {
			shape, radiusM = kind, half
		}
	}
	const thinnest = 0.0005
	if radiusM < thinnest {
		return heating.NoPieces, 0
	}
	return shape, radiusM
}

// between is the course from the coldest start for the low bound and from the warmest for the high one.
func between(pack heating.Pack, process heating.Process, packed table.Bounds) (heating.Curve, error) {
	process.StartC = packed.Low
	curve, err := heating.Estimate(pack, process)
	if err != nil {
		return curve, err
	}
	process.StartC = packed.High
	warm, err := heating.Estimate(pack, process)
	curve.HighC = warm.HighC
	return curve, err
}

// heatingFigures gathers the figures.
type heatingFigures struct {
	pack    heating.Pack
	process heating.Process
	packed  table.Bounds
	curve   heating.Curve
	list    []report.Derived
}

func (e *heatingFigures) inputs() []report.Input {
	return []report.Input{
		{Name: "packed_at_low", Value: report.Rounded(e.packed.Low), Unit: "°C"},
		{Name: "packed_at_high", Value: report.Rounded(e.packed.High), Unit: "°C"},
		{Name: "canner", Value: report.Rounded(e.process.CannerC), Unit: "°C"},
		{Name: "bath", Value: report.Rounded(e.process.BathC), Unit: "°C"},
		{Name: "time", Value: report.Rounded(e.process.HoldMinutes), Unit: "min"},
		{Name: "radius_of_jar", Value: report.Rounded(e.pack.InnerRadiusM * 1000), Unit: "mm"},
		{Name: "radius_of_pieces", Value: report.Rounded(e.pack.PieceRadiusM * 1000), Unit: "mm"},
	}
}

func sources() []catalog.Citation {
	return []catalog.Citation{
		catalog.Cite(heating.Figure("diffusivity_low")),
		catalog.Cite(heating.Figure("transfer_low")),
		catalog.Cite(heating.Figure("come_up_long")),
	}
}

// reach adds when the coldest spot passes a landmark. What no bound reaches is left out; what only the fast bound reaches
// has no upper end.
func (e *heatingFigures) reach(landmark table.Figure) {
	reach := e.curve.Reach(heating.Celsius(landmark.Value))
	if !reach.Possible {
		return
	}
	low := report.Rounded(reach.EarliestMinute)
	d := report.Derived{
		Name: fmt.Sprintf("minutes_to_%g_f", landmark.Value), Value: low, Low: &low, Unit: "min",
		Formula: "minutes from the start of the timer until the coldest spot is that hot, below zero: before it; stirred contents for the low bound, " +
			"conduction alone for the high one",
		Inputs: e.inputs(), Sources: append(sources(), catalog.Cite(landmark)),
	}
	if reach.Certain {
		high := report.Rounded(reach.LatestMinute)
		d.Value, d.High = high, &high
	} else {
		d.Formula += ", which does not get there in this process"
	}
	e.list = append(e.list, d)
}

func (e *heatingFigures) lethality(target heating.Target, pH float64) {
	low, high := e.curve.Accumulated(target)
	low, high = report.Rounded(low), report.Rounded(high)
	inputs := append(e.inputs(),
		report.Input{Name: "ph", Value: report.Rounded(pH), Unit: "pH"},
		report.Input{Name: "target", Value: target.Minutes, Unit: "min"},
		report.Input{Name: "reference", Value: report.Rounded(target.ReferenceC), Unit: "°C"},
		report.Input{Name: "z", Value: report.Rounded(target.ZK), Unit: "K"})
	cited := append(sources(), catalog.Citation{Source: target.Source, Locator: target.Locator, Verified: catalog.Verified(target.Verified)})
	e.list = append(e.list, report.Derived{
		Name: "accumulated_lethality", Value: low, Low: &low, High: &high, Unit: "min at 160 °F",
		Formula: "integral of 10^((temperature - reference) / z) over time at the coldest spot; the target leaves one in 100,000 of the hardiest " +
			"pathogens; explains and grants nothing",
		Inputs: inputs, Sources: cited,
	})
	shareLow, shareHigh := report.Rounded(low/target.Minutes), report.Rounded(high/target.Minutes)
	e.list = append(e.list, report.Derived{
		Name: "lethality_over_target", Value: shareLow, Low: &shareLow, High: &shareHigh, Unit: "1",
		Formula: "accumulated lethality / target", Inputs: inputs, Sources: cited,
	})
}

// curves are the two bounds of the course, in °C over minutes from the start of the timer.
func (e *heatingFigures) curves() []report.Curve {
	hundredths := func(list []float64) []float64 {
		short := make([]float64, len(list))
		for i, value := range list {
			short[i] = measure.Round(value, 2)
		}
		return short
	}
	minutes := hundredths(e.curve.Minutes)
	curve := func(name, y string, values []float64) report.Curve {
		return report.Curve{Name: name, X: "time from the start of the timer", Y: y, XUnit: "min", YUnit: "°C", Xs: minutes, Ys: hundredths(values)}
	}
	return []report.Curve{
		curve("coldest_spot_low", "temperature of the coldest spot, lower bound", e.curve.LowC),
		curve("coldest_spot_high", "temperature of the coldest spot, upper bound", e.curve.HighC),
	}
}
