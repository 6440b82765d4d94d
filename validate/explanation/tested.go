package explanation

import (
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/facts"
	"jarwright/validate/match"
	"jarwright/validate/measure"
	"jarwright/validate/report"
)

// Tested is the tested recipe that the document was compared with.
type Tested struct {
	ID         string      `json:"id"`
	Title      string      `json:"title"`
	Source     Source      `json:"source"`
	Followed   bool        `json:"followed"` // in every respect that proportions, foods and pieces are judged by
	Packs      []Pack      `json:"packs"`    // the printed ways of filling that may apply
	Times      []Times     `json:"times"`    // the rows of the time table that may apply
	Amounts    []Amount    `json:"amounts"`
	Proportion *Proportion `json:"proportion,omitempty"` // absent: the acid is measured into each jar, or could not be compared
	Allowances []Allowance `json:"allowances"`
	Departures []Departure `json:"departures"` // those that the explained rule speaks for, the safe ones too
}

// Pack is one printed way of filling.
type Pack struct {
	Pack              string   `json:"pack"`
	Jars              []string `json:"jars"`
	HeadspaceIn       float64  `json:"headspace_in"`
	SolidsHeadspaceIn float64  `json:"solids_headspace_in,omitempty"` // 0: not printed apart
	SterileJars       bool     `json:"sterile_jars"`
	LowTemperature    bool     `json:"low_temperature_allowed"`
}

// Times is one row of the time table: the minutes of each printed band of elevations.
type Times struct {
	Schedule string `json:"schedule"`
	Pack     string `json:"pack"`
	Jar      string `json:"jar"`
	Bands    []Band `json:"bands"`
	Source   Source `json:"source"`
}

// Band is the minutes up to an elevation. ToFt nil: above all others.
type Band struct {
	ToFt    *float64 `json:"to_ft,omitempty"`
	Minutes float64  `json:"minutes"`
	Here    bool     `json:"here"` // the kitchen's elevation lies in this band
}

// Amount is one ingredient of the tested recipe beside the cook's lines.
type Amount struct {
	Name    string   `json:"name"`
	Role    string   `json:"role"` // low_acid_food, acid_food, acid, soak_acid, water, fat, thickener, salt, herb
	Printed string   `json:"printed"`
	Here    []Line   `json:"here"`
	Low     *float64 `json:"low,omitempty"`  // the cook's amount over the printed one, at least; absent: not compared
	High    *float64 `json:"high,omitempty"` // the same, at most
}

// Line is one line of the cook's recipe.
type Line struct {
	At   string `json:"at"`
	Text string `json:"text"`
}

// Proportion is the acid and the food of the document, each as a multiple of the tested recipe's.
type Proportion struct {
	Acid  float64 `json:"acid"`
	Food  float64 `json:"food"`
	Share float64 `json:"share"` // acid over food: 1 is the tested proportion
}

// Allowance is how far one amount may be moved, all others being left as they are.
type Allowance struct {
	What string   `json:"what"` // acid, water, low_acid_food
	At   string   `json:"at"`
	Name string   `json:"name"`
	Unit string   `json:"unit"`
	Now  float64  `json:"now"`
	Low  float64  `json:"low"`            // least that is safe
	High *float64 `json:"high,omitempty"` // most that is safe; absent: no limit
}

// Departure is one respect in which the document differs from the tested recipe.
type Departure struct {
	Verdict  match.Verdict  `json:"verdict"`
	At       string         `json:"at"`
	What     string         `json:"what"`
	Measured *report.Amount `json:"measured,omitempty"`
	Limit    *report.Amount `json:"limit,omitempty"`
	Changes  []Change       `json:"changes,omitempty"`
}

// tested lays the tested recipe beside the cook's; nil where none is near.
func (c *citer) tested(f *facts.Facts, rule string) *Tested {
	recipe := f.Match.Recipe
	if recipe == nil {
		return nil
	}
	t := &Tested{
		ID: recipe.ID, Title: recipe.Title, Source: c.source(recipe.Citation), Followed: f.Match.Matched(),
		Packs: packs(&f.Match), Times: []Times{}, Amounts: amounts(&f.Match), Allowances: []Allowance{}, Departures: []Departure{},
	}
	for _, row := range f.Match.Pack.Possible {
		t.Times = append(t.Times, c.times(f, row))
	}
	if share := f.Match.Acid; share.Food > 0 {
		t.Proportion = &Proportion{Acid: measure.Round(share.Acid, 3), Food: measure.Round(share.Food, 3), Share: measure.Round(share.Acid/share.Food, 3)}
	}
	for _, a := range f.Match.Allowances {
		t.Allowances = append(t.Allowances, Allowance{What: a.Variable, At: a.At, Name: a.Name, Unit: a.Unit, Now: a.Now, Low: a.Low, High: a.High})
	}
	for i := range f.Match.Departures {
		if d := &f.Match.Departures[i]; d.Rule == rule {
			t.Departures = append(t.Departures, Departure{
				Verdict: d.Verdict, At: d.At, What: measure.Capital(d.What), Measured: d.Measured, Limit: d.Limit, Changes: c.changes(d.Changes),
			})
		}
	}
	return t
}

// packs is the printed way of filling that applies, or all of them while pack or jar is not known.
func packs(m *match.Match) []Pack {
	list := []Pack{}
	for i := range m.Recipe.Packs {
		p := &m.Recipe.Packs[i]
		if m.Pack.Style != nil && p != m.Pack.Style {
			continue
		}
		list = append(list, Pack{
			Pack: p.Pack, Jars: p.Jars, HeadspaceIn: p.HeadspaceIn, SolidsHeadspaceIn: p.SolidsHeadspaceIn, SterileJars: p.SterileJars,
			LowTemperature: p.LowTemperature,
		})
	}
	return list
}

func (c *citer) times(f *facts.Facts, row *catalog.Schedule) Times {
	t := Times{Schedule: row.ID, Pack: row.Pack, Jar: row.Jar, Bands: []Band{}, Source: c.source(row.Citation)}
	var here catalog.Band
	known := false
	if f.Elevation != nil {
		here, known = row.Band(*f.Elevation)
	}
	for _, printed := range row.Bands {
		band := Band{Minutes: printed.Minutes, Here: known && printed == here}
		if printed.ToFt > 0 {
			band.ToFt = &printed.ToFt
		}
		t.Bands = append(t.Bands, band)
	}
	return t
}

func amounts(m *match.Match) []Amount {
	list := []Amount{}
	for _, compared := range m.Compared() {
		a := Amount{Name: compared.Name, Role: compared.Role, Printed: compared.Printed, Here: []Line{}}
		for _, line := range compared.Lines {
			a.Here = append(a.Here, Line{At: line.At, Text: lineWords(line)})
		}
		if compared.High > 0 {
			a.Low, a.High = new(measure.Round(compared.Low, 3)), new(measure.Round(compared.High, 3))
		}
		list = append(list, a)
	}
	return list
}

// lineWords says a line of the cook's recipe with its amount.
func lineWords(line *composition.Line) string {
	text := line.Name
	switch line.State {
	case composition.Given:
		text = measure.FormatAmount(line.Value, line.Unit.Code) + " " + text
	case composition.ToCover:
		text += ", to cover"
	case composition.AsNeeded:
		text += ", as needed"
	case composition.Missing:
		text += ", no amount"
	}
	if line.PerJar {
		text += ", for each jar"
	}
	return text
}
