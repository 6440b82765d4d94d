package acidity

import (
	"errors"
	"fmt"
	"strconv"

	"jarwright/validate/catalog"
	"jarwright/validate/table"
)

// Basis says what a buffer figure rests on.
type Basis string

// Values of Basis.
const (
	Measured Basis = "measured" // a titration, or acid uptake reckoned from a measured pH
	Prior    Basis = "prior"    // the class or family as a whole; the band is a factor of two either way
	None     Basis = "none"     // the ingredient has no buffer beyond the acids that are counted apart
)

// BufferFigure is how much acid a food takes up, with its band. It stands for the straight line beta x (pH0 - pH), which
// is fair from the food's own pH down to about 3; a factor-2 error in it moves the pH of a 1 % acetic jar by 0.27.
type BufferFigure struct {
	Kind      string // item, family or class: how closely it fits the food asked for
	Key       string
	Buffer    Band  // mol H+ per kg of food per pH
	NaturalPH *Band // the starting pH the figure was reckoned from, where it must be used with it; else nil
	Basis     Basis
	Citation  catalog.Citation
	Note      string
}

var bufferColumns = []string{
	"kind", "key", "low_mmol_kg_ph", "estimate_mmol_kg_ph", "high_mmol_kg_ph", "natural_ph_low", "natural_ph",
	"natural_ph_high", "basis", "source", "locator", "verified", "note",
}

// Buffers lists every buffer figure in the order of the table.
func (m *Model) Buffers() []BufferFigure { return append([]BufferFigure(nil), m.buffers...) }

// Buffer finds the figure for a food: its own, else its family's, else its class's. A class without a row is taken as
// low-acid produce, which is the safe side for an unknown ingredient.
func (m *Model) Buffer(item, family string, class catalog.Class) BufferFigure {
	for _, want := range [...][2]string{{"item", item}, {"family", family}, {"class", string(class)}} {
		for _, figure := range m.buffers {
			if figure.Kind == want[0] && figure.Key == want[1] {
				return figure
			}
		}
	}
	return m.Buffer("", "", catalog.LowAcid)
}

func readBuffers(data []byte) ([]BufferFigure, error) {
	rows, err := table.Rows(data, bufferColumns...)
	if err != nil {
		return nil, err
	}
	figures := make([]BufferFigure, 0, len(rows))
	prior := false
	for i, row := range rows {
		figure, err := readBuffer(row)
		if err != nil {
			return nil, fmt.Errorf("row %d (%s %s): %w", i+1, row[0], row[1], err)
		}
		prior = prior || figure.Kind == "class" && figure.Key == string(catalog.LowAcid)
		figures = append(figures, figure)
	}
	if !prior {
		return nil, errors.New("the class low_acid, on which every unknown food falls back, has no row")
	}
	return figures, nil
}

func readBuffer(row []string) (BufferFigure, error) {
	figure := BufferFigure{
		Kind: row[0], Key: row[1], Basis: Basis(row[8]), Note: row[12],
		Citation: catalog.Citation{Source: row[9], Locator: row[10], Verified: catalog.Verified(row[11])},
	}
	mmol, err := readBand(row[2:5])
	if err != nil {
		return BufferFigure{}, fmt.Errorf("buffer: %w", err)
	}
	figure.Buffer = Band{Low: mmol.Low / 1000, Estimate: mmol.Estimate / 1000, High: mmol.High / 1000}
	if row[6] != "" {
		natural, err := readBand(row[5:8])
		if err != nil {
			return BufferFigure{}, fmt.Errorf("natural pH: %w", err)
		}
		figure.NaturalPH = &natural
	}
	return figure, nil
}

func readBand(cells []string) (Band, error) {
	var figures [3]float64
	for i, cell := range cells {
		var err error
		if figures[i], err = strconv.ParseFloat(cell, 64); err != nil {
			return Band{}, err
		}
	}
	band := Band{Low: figures[0], Estimate: figures[1], High: figures[2]}
	if !band.ordered() {
		return Band{}, fmt.Errorf("%v is not low <= estimate <= high", figures)
	}
	return band, nil
}
