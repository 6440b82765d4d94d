package heating

import (
	"fmt"
	"math"

	"jarwright/validate/table"
)

var (
	heatingFigures = table.MustFigures("heating/heating.csv")
	properties     = loadProperties(heatingFigures)
)

// physical holds the properties of contents, jar and surroundings that the bounds are made of.
type physical struct {
	diffusivityLow, diffusivityHigh   float64 // m²/s
	conductivityLow                   float64 // W/m/K
	heatCapacityLow, heatCapacityHigh float64 // J/m³/K
	transferLow, transferHigh         float64 // W/m²/K, bath to stirred contents
	wallTransferLow                   float64 // W/m²/K, bath to the inner face of the glass
	airLow, airHigh                   float64 // W/m²/K, jar to air
	comeUpShort, comeUpLong           float64 // min
}

func loadProperties(table table.Table) physical {
	wall, film := table.Value("wall_conductance"), table.Value("bath_film_low")
	return physical{
		diffusivityLow:   table.Value("diffusivity_low"),
		diffusivityHigh:  table.Value("diffusivity_high"),
		conductivityLow:  table.Value("conductivity_low"),
		heatCapacityLow:  table.Value("heat_capacity_low"),
		heatCapacityHigh: table.Value("heat_capacity_high"),
		transferLow:      table.Value("transfer_low"),
		transferHigh:     table.Value("transfer_high"),
		wallTransferLow:  wall * film / (wall + film),
		airLow:           table.Value("air_film_low"),
		airHigh:          table.Value("air_film_high"),
		comeUpShort:      table.Value("come_up_short"),
		comeUpLong:       table.Value("come_up_long"),
	}
}

// Landmarks are the temperatures in °F that published sources want at the coldest spot: 160 for the pathogens, 165 for the
// keeping of fresh-pack pickles, 180 for the bath of the low-temperature treatment.
func Landmarks() []table.Figure {
	return []table.Figure{
		heatingFigures.Get("landmark_pathogens"),
		heatingFigures.Get("landmark_quality"),
		heatingFigures.Get("landmark_low_temperature"),
	}
}

// Shape is the shape of the pieces in a pack.
type Shape string

// Values of Shape.
const (
	NoPieces    Shape = ""       // a liquid or a relish
	LongPieces  Shape = "long"   // spears, beans, sticks: a long cylinder
	RoundPieces Shape = "sphere" // onions, small beets: a sphere
)

// Pack is what is heated: the inside radius of the jar and the height of the fill in m, and the pieces in it with the
// radius of the thickest.
type Pack struct {
	InnerRadiusM float64
	FillHeightM  float64
	Pieces       Shape
	PieceRadiusM float64
}

// EquivalentRadiusM is the radius in m of a straight jar that holds a fill of so many mL in so many mm of height. Both are
// positive; otherwise the error wraps table.ErrRange.
func EquivalentRadiusM(fillML, fillHeightMM float64) (float64, error) {
	for _, value := range []float64{fillML, fillHeightMM} {
		if err := table.Within("fill", value, math.SmallestNonzeroFloat64, 1e6, "mL or mm"); err != nil {
			return 0, fmt.Errorf("equivalent radius: %w", err)
		}
	}
	return math.Sqrt(fillML / 1000 / (math.Pi * fillHeightMM)), nil
}

// Process is how it is heated. The jars, their contents at StartC throughout, go into water at CannerC, which comes to
// BathC within the come-up time; there it stays for HoldMinutes. Then the jars stand in air of RoomC for CoolingMinutes.
// BathC is the boiling point at the elevation (altitude.BoilingAt), or what a low-temperature treatment holds. The brine
// in the jar does not get hotter than the bath, whatever its own boiling point. Leave both come-up times at zero for the
// published range of canners, 4.3 to 21 min.
type Process struct {
	StartC             float64
	CannerC            float64
	BathC              float64
	ComeUpShortMinutes float64
	ComeUpLongMinutes  float64
	HoldMinutes        float64
	RoomC              float64
	CoolingMinutes     float64
}

func (p Pack) check() error {
	for _, err := range []error{
		table.Within("radius of the jar", p.InnerRadiusM, 0.01, 0.2, "m"),
		table.Within("height of the fill", p.FillHeightM, 0.01, 0.6, "m"),
	} {
		if err != nil {
			return err
		}
	}
	switch p.Pieces {
	case NoPieces:
		return nil
	case LongPieces, RoundPieces:
		return table.Within("radius of the pieces", p.PieceRadiusM, 0.0005, p.InnerRadiusM, "m")
	}
	return fmt.Errorf("shape of the pieces %q: %w", p.Pieces, table.ErrRange)
}

func (p Process) check() error {
	for _, err := range []error{
		table.Within("temperature of the contents", p.StartC, 0, 105, "°C"),
		table.Within("temperature of the canner", p.CannerC, 0, 105, "°C"),
		table.Within("temperature of the bath", p.BathC, p.CannerC, 105, "°C"),
		table.Within("temperature of the room", p.RoomC, 0, 50, "°C"),
		table.Within("short come-up", p.ComeUpShortMinutes, 0.1, p.ComeUpLongMinutes, "min"),
		table.Within("long come-up", p.ComeUpLongMinutes, 0.1, 120, "min"),
		table.Within("time in the bath", p.HoldMinutes, 0, 600, "min"),
		table.Within("time of cooling", p.CoolingMinutes, 0, 600, "min"),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

// Estimate is the course of the coldest spot through come-up, bath and cooling, between bounds.
//
// The bounds enclose three models: a pack that only conducts, behind the glass and the film of water, with the least
// conducting vegetable, and which afterwards cools as if in water; a pack that stirs itself at the lowest published rate,
// with the coldest spot in the middle of the thickest piece; and the same at the highest rate; with come-ups from the
// shortest to the longest. A real pack of pieces in brine lies between; how it lies is not
// known, so that there is no best value. The top of the fill counts as heated like the rest. Pieces take the temperature
// of the brine at their surface, since their inside governs (pickled cucumbers, 2011 study).
//
// Ranges: jar radius 10 to 200 mm, fill 10 to 600 mm, pieces from 0.5 mm up to the radius of the jar; temperatures 0 to
// 105 °C, room 0 to 50, canner not above bath; times to 600 min, come-up to 120. Elsewhere the error wraps
// table.ErrRange. Steps are half a minute at most, a minute after the bath; they add no error of their own, the
// surroundings being straight within each, but for the lag of a piece behind its liquid (under 0.1 °C).
func Estimate(pack Pack, process Process) (Curve, error) {
	if process.ComeUpShortMinutes == 0 && process.ComeUpLongMinutes == 0 {
		process.ComeUpShortMinutes, process.ComeUpLongMinutes = properties.comeUpShort, properties.comeUpLong
	}
	if err := pack.check(); err != nil {
		return Curve{}, fmt.Errorf("heating estimate: %w", err)
	}
	if err := process.check(); err != nil {
		return Curve{}, fmt.Errorf("heating estimate: %w", err)
	}
	models, err := pack.models()
	if err != nil {
		return Curve{}, fmt.Errorf("heating estimate: %w", err)
	}
	return envelope(pack.runs(process, models), process), nil
}

// run is one model with one come-up time.
type run struct {
	model  model
	comeUp float64
}

// runs are the corners that bound the course. Contents no hotter than the canner heat all the way, so that the slow
// models (all but the last) with the short come-up are the coldest and the fast model with the long one the hottest.
// Hotter contents may first cool in the canner, and a piece that fills the jar may heat more slowly than a pack that
// conducts as a whole; then every corner is looked at.
func (p Pack) runs(process Process, models []model) []run {
	early, late := process.ComeUpLongMinutes, process.ComeUpShortMinutes
	thick := p.Pieces != NoPieces && p.PieceRadiusM > min(p.InnerRadiusM, p.FillHeightM)/2
	runs := make([]run, 0, 2*len(models))
	if process.StartC > process.CannerC || thick {
		for _, m := range models {
			runs = append(runs, run{m, early}, run{m, late})
		}
		return runs
	}
	last := len(models) - 1
	for _, m := range models[:last] {
		runs = append(runs, run{m, late})
	}
	return append(runs, run{models[last], early})
}

// model is one way for a pack to heat. Where the liquid rates are zero the body stands in the bath itself.
type model struct {
	body                   Body // no modes: the liquid is the coldest spot
	liquidBath, liquidRoom float64
}

func (p Pack) models() ([]model, error) {
	q := &properties
	wall := q.wallTransferLow / q.conductivityLow
	conducting, err := FiniteCylinderCenter(p.InnerRadiusM, p.FillHeightM/2, q.diffusivityLow,
		wall*p.InnerRadiusM, wall*p.FillHeightM/2)
	if err != nil {
		return nil, err
	}
	slowPiece, err := p.piece(q.diffusivityLow)
	if err != nil {
		return nil, err
	}
	fastPiece, err := p.piece(q.diffusivityHigh)
	if err != nil {
		return nil, err
	}
	// Side and bottom over volume.
	areaPerVolume := (2*p.FillHeightM + p.InnerRadiusM) / (p.InnerRadiusM * p.FillHeightM)
	perMinute := func(transfer, heatCapacity float64) float64 {
		return secondsPerMinute * transfer * areaPerVolume / heatCapacity
	}
	return []model{
		{conducting, 0, 0},
		{slowPiece, perMinute(q.transferLow, q.heatCapacityHigh), perMinute(q.airHigh, q.heatCapacityLow)},
		{fastPiece, perMinute(q.transferHigh, q.heatCapacityLow), perMinute(q.airLow, q.heatCapacityHigh)},
	}, nil
}

func (p Pack) piece(diffusivityM2S float64) (Body, error) {
	switch p.Pieces {
	case LongPieces:
		return CylinderAxis(p.PieceRadiusM, diffusivityM2S, math.Inf(1))
	case RoundPieces:
		return SphereCenter(p.PieceRadiusM, diffusivityM2S, math.Inf(1))
	}
	return Body{}, nil
}

// Figure is a figure of the conduction model with its source; it panics on a name that the table lacks.
func Figure(name string) table.Figure { return heatingFigures.Get(name) }
