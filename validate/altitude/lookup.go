package altitude

import (
	"fmt"
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/measure"
	"jarwright/validate/table"
)

// Lookup answers what an elevation changes, from the printed tables and the standard atmosphere. It is safe for concurrent use.
type Lookup struct {
	tables *catalog.Tables
	units  *measure.Units
	rows   []*catalog.Schedule // with printed minutes and not superseded
}

// NewLookup builds a Lookup on the printed tables.
func NewLookup(tables *catalog.Tables, units *measure.Units) *Lookup {
	l := &Lookup{tables: tables, units: units}
	for i := range tables.Schedules {
		if row := &tables.Schedules[i]; len(row.Bands) > 0 && row.SupersededBy == "" {
			l.rows = append(l.rows, row)
		}
	}
	return l
}

// Limits are the lowest and the highest elevation, in meters, that At answers for.
func (l *Lookup) Limits() (lowest, highest measure.Length) {
	return l.limit("elevation-lowest"), l.limit("elevation-highest")
}

func (l *Lookup) limit(id string) measure.Length {
	limit := l.tables.MustLimit(id)
	unit, _ := l.units.Lookup(limit.Unit)
	return measure.Length(unit.SI(limit.Value))
}

// BoilingLimits are the boiling points, in kelvins, at the highest and the lowest elevation that At answers for.
func (l *Lookup) BoilingLimits() (lowest, highest measure.Temperature) {
	bottom, top := l.Limits()
	at := func(elevation measure.Length) measure.Temperature {
		return measure.Temperature(saturation.temperatureC(atmosphere.pressurePa(float64(elevation))) + zeroCelsiusK)
	}
	return at(top), at(bottom)
}

// Unit finds a unit by its code; it reports false for a code that does not exist.
func (l *Lookup) Unit(code string) (measure.Unit, bool) { return l.units.Lookup(code) }

// Recipe finds a tested recipe by its id; it reports false for an id that does not exist.
func (l *Lookup) Recipe(id string) (*catalog.TestedRecipe, bool) { return l.tables.Recipe(id) }

// NearestRecipe proposes the tested recipe that a wrong id was most likely meant to be; it is empty when nothing is near.
func (l *Lookup) NearestRecipe(id string) string {
	near, _ := l.tables.NearestRecipe(id)
	return near
}

// Question is what is asked about an elevation, which lies within Lookup.Limits. Recipe is nil where all printed rows are
// meant, BoilingPoint (in kelvins) where none was measured.
type Question struct {
	Elevation    measure.Length
	Recipe       *catalog.TestedRecipe
	BoilingPoint *measure.Temperature // what the kitchen reports
}

// At answers a question. The error wraps table.ErrRange for an elevation outside Limits and for a boiling point that
// ImpliedElevationM does not take.
func (l *Lookup) At(q Question) (Conditions, error) {
	lowest, highest := l.Limits()
	if err := table.Within("elevation", float64(q.Elevation), float64(lowest), float64(highest), "m"); err != nil {
		return Conditions{}, fmt.Errorf("what an elevation changes: %w", err)
	}
	at, err := BoilingAt(float64(q.Elevation))
	if err != nil {
		return Conditions{}, fmt.Errorf("what an elevation changes: %w", err)
	}
	minutes, err := SterilizingMinutes(q.Elevation.Feet())
	if err != nil {
		return Conditions{}, fmt.Errorf("what an elevation changes: %w", err)
	}
	mercury, _ := l.units.Lookup("inHg")
	found := Conditions{
		ElevationFt: measure.Round(q.Elevation.Feet(), 2), ElevationM: measure.Round(float64(q.Elevation), 2),
		PressurePa: measure.Round(at.PressurePa, 0), PressureHPa: measure.Round(at.PressurePa/100, 1),
		PressureInHg:  measure.Round(mercury.From(at.PressurePa), 2),
		BoilingPointC: measure.Round(at.TemperatureC, 2), BoilingPointF: measure.Round(at.TemperatureF, 2),
		Bands:          l.bands(q.Elevation),
		JarSterilizing: JarSterilizing{minutes, cite(SterilizingSource())},
		Sources:        []catalog.Citation{cite(atmosphereFigures.Get("sea_level_pressure")), cite(saturationFigures.Get("n1"))},
	}
	rows := l.rows
	if q.Recipe != nil {
		rows = l.recipeRows(q.Recipe)
		found.Recipe = l.recipe(q.Recipe, rows, q.Elevation)
	}
	found.Steam = l.steam(rows, q.Elevation)
	found.RulesOfThumb = l.thumbs(rows, q.Elevation, at)
	if q.BoilingPoint != nil {
		if found.Thermometer, err = thermometer(q.BoilingPoint.Celsius(), at); err != nil {
			return Conditions{}, fmt.Errorf("what an elevation changes: %w", err)
		}
	}
	return found, nil
}

func cite(f table.Figure) catalog.Citation {
	return catalog.Citation{Source: f.Source, Locator: f.Locator, Verified: catalog.Verified(f.Verified)}
}

// bands lists the sets of bands that the printed rows have, the set with most rows first, with the band of the elevation.
// Rows that were read for low kitchens only are passed over: their set is not the printed one.
func (l *Lookup) bands(elevation measure.Length) []TableBand {
	var sets [][]catalog.Band
	var counts []int
	for _, row := range l.rows {
		if row.Bands[len(row.Bands)-1].ToFt > 0 {
			continue
		}
		i := slices.IndexFunc(sets, func(set []catalog.Band) bool {
			return slices.EqualFunc(set, row.Bands, func(a, b catalog.Band) bool { return a.FromFt == b.FromFt && a.ToFt == b.ToFt })
		})
		if i < 0 {
			i = len(sets)
			sets, counts = append(sets, row.Bands), append(counts, 0)
		}
		counts[i]++
	}
	list := []TableBand{}
	for i, set := range sets {
		band, ok := catalog.Schedule{Bands: set}.Band(elevation)
		if !ok {
			continue
		}
		entry := TableBand{
			BandsInTable: len(set), Rows: counts[i], Number: 1 + slices.Index(set, band),
			FromFt: band.FromFt, FromM: measure.Round(band.FromFt*MetersPerFoot, 1),
		}
		if band.ToFt > 0 {
			toFt, toM := band.ToFt, measure.Round(band.ToFt*MetersPerFoot, 1)
			entry.ToFt, entry.ToM = &toFt, &toM
		}
		list = append(list, entry)
	}
	slices.SortStableFunc(list, func(a, b TableBand) int { return b.Rows - a.Rows })
	return list
}

// recipeRows are the rows of a recipe's packs, in the order of the packs.
func (l *Lookup) recipeRows(recipe *catalog.TestedRecipe) []*catalog.Schedule {
	var rows []*catalog.Schedule
	for i := range recipe.Packs {
		for _, id := range recipe.Packs[i].Schedules {
			row, ok := l.tables.Schedule(id)
			if ok && len(row.Bands) > 0 && !slices.Contains(rows, row) {
				rows = append(rows, row)
			}
		}
	}
	return rows
}

func (l *Lookup) recipe(recipe *catalog.TestedRecipe, rows []*catalog.Schedule, elevation measure.Length) *RecipeMinutes {
	p := &RecipeMinutes{
		ID: recipe.ID, Title: recipe.Title, Rows: []RowMinutes{},
		Text: "The printed minutes of this elevation band hold; nothing is reckoned between bands.",
	}
	if len(rows) == 0 {
		p.Text = "No time in boiling water is printed for this recipe."
	}
	for _, row := range rows {
		entry := RowMinutes{
			Schedule: row.ID, Pack: row.Pack, Jar: row.Jar, LowestBand: row.Bands[0].Minutes, SterileJars: row.SterileJars,
			RulesOfThumb: []ThumbDeparture{}, Source: row.Citation,
		}
		if band, ok := row.Band(elevation); ok {
			minutes := band.Minutes
			entry.Minutes = &minutes
			entry.SteamAllowed = measure.Duration(minutes)*measure.Minute <= l.steamLimit()
		}
		for i := range thumbs {
			bounds, verdict := thumbs[i].judge(row, elevation)
			if verdict == ThumbTooShort || verdict == ThumbTooLong {
				entry.RulesOfThumb = append(entry.RulesOfThumb, ThumbDeparture{thumbs[i].ID, measure.Round(bounds.Low, 1), measure.Round(bounds.High, 1), verdict})
			}
		}
		p.Rows = append(p.Rows, entry)
	}
	return p
}

func (l *Lookup) steamLimit() measure.Duration {
	limit := l.tables.MustLimit("steam-time-max")
	unit, _ := l.units.Lookup(limit.Unit)
	return measure.Duration(unit.SI(limit.Value))
}

func (l *Lookup) steam(rows []*catalog.Schedule, elevation measure.Length) SteamLimit {
	s := SteamLimit{LimitMinutes: l.steamLimit().Minutes(), Rows: len(rows), Source: l.tables.MustLimit("steam-time-max").Citation}
	for _, row := range rows {
		if band, ok := row.Band(elevation); ok && band.Minutes > s.LimitMinutes {
			s.RowsOver++
		}
	}
	s.Matters = s.RowsOver > 0
	s.Text = fmt.Sprintf("Every printed time here is within the %s minutes that a steam canner may run.", measure.FormatNumber(s.LimitMinutes))
	if s.Matters {
		s.Text = fmt.Sprintf("%d of %d printed times here are longer than the %s minutes that a steam canner may run: use boiling water for those.",
			s.RowsOver, s.Rows, measure.FormatNumber(s.LimitMinutes))
	}
	if s.Rows == 0 {
		s.Text = "There is no printed time to compare with what a steam canner may run."
	}
	return s
}

// judge compares a rule of thumb for minutes with a printed row. The table's own figure is right by definition.
func (t *Thumb) judge(row *catalog.Schedule, elevation measure.Length) (table.Bounds, ThumbVerdict) {
	band, printed := row.Band(elevation)
	if t.Quantity != ThumbMinutes || !printed || t.jellyOnly() && !isJelly(row) {
		return table.Bounds{}, ThumbSilent
	}
	bounds, err := t.Apply(row.Bands[0].Minutes, elevation.Feet())
	switch {
	case err != nil:
		return table.Bounds{}, ThumbSilent
	case bounds.High < band.Minutes:
		return bounds, ThumbTooShort
	case bounds.Low > band.Minutes:
		return bounds, ThumbTooLong
	}
	return bounds, ThumbAgrees
}

// jellyOnly reports whether the rule is said of jelly and jam alone.
func (t *Thumb) jellyOnly() bool { return strings.Contains(t.AppliesTo, "jelly") }

func isJelly(row *catalog.Schedule) bool {
	product := strings.ToLower(row.Product)
	return strings.Contains(product, "jelly") || strings.Contains(product, "jellies") || strings.Contains(product, "jam")
}

func (l *Lookup) thumbs(rows []*catalog.Schedule, elevation measure.Length, at Boiling) []ThumbCompared {
	list := make([]ThumbCompared, 0, len(thumbs))
	for i := range thumbs {
		t := &thumbs[i]
		entry := ThumbCompared{
			ID: t.ID, Quantity: t.Quantity, AppliesTo: t.AppliesTo, Statement: t.Statement,
			Source: catalog.Citation{Source: t.Source, Locator: t.Locator, Verified: catalog.Verified(t.Verified)},
		}
		if t.Quantity == ThumbBoilingPoint {
			entry.boilingPoint(t, elevation, at)
		} else {
			entry.minutes(t, rows, elevation)
		}
		list = append(list, entry)
	}
	return list
}

func (p *ThumbCompared) boilingPoint(t *Thumb, elevation measure.Length, at Boiling) {
	bounds, err := t.Apply(thumbSeaLevel.Value, elevation.Feet())
	if err != nil {
		p.Text = "It says nothing of this elevation."
		return
	}
	reported, off := measure.Round(bounds.Value, 1), measure.Round(bounds.Value-at.TemperatureF, 1)
	p.BoilingF, p.OffByF = &reported, &off
	p.Text = fmt.Sprintf("It gives %s °F; water boils at %s °F here, by the standard atmosphere.",
		measure.FormatNumber(reported), measure.FormatNumber(measure.Round(at.TemperatureF, 1)))
}

func (p *ThumbCompared) minutes(t *Thumb, rows []*catalog.Schedule, elevation measure.Length) {
	missing := 0.0
	for _, row := range rows {
		bounds, verdict := t.judge(row, elevation)
		switch verdict {
		case ThumbAgrees:
			p.Agrees++
		case ThumbTooShort:
			band, _ := row.Band(elevation)
			p.TooShort++
			missing = max(missing, band.Minutes-bounds.High)
		case ThumbTooLong:
			p.TooLong++
		case ThumbSilent:
			p.Silent++
		}
	}
	switch {
	case p.TooShort > 0:
		p.Text = fmt.Sprintf("It is too short for %d of the printed times here, by up to %s minutes. The table wins.", p.TooShort, measure.FormatNumber(missing))
	case p.TooLong > 0:
		p.Text = fmt.Sprintf("It is longer than %d of the printed times here. The table wins.", p.TooLong)
	case p.Agrees > 0:
		p.Text = "It agrees with the printed times here. The table wins wherever it does not."
	default:
		p.Text = "It says nothing of the times looked at."
	}
}

func thermometer(boilingC float64, at Boiling) (*ThermometerReading, error) {
	errorC := thermometerError.Value
	implied, err := ImpliedElevationM(boilingC, errorC)
	if err != nil {
		return nil, err
	}
	feet := func(meters float64) float64 { return measure.Round(meters/MetersPerFoot, 0) }
	t := &ThermometerReading{
		BoilingPointC: measure.Round(boilingC, 2), BoilingPointF: measure.Round(fahrenheit(boilingC), 2), ErrorC: errorC,
		ImpliedElevationFt: feet(implied.Value), ImpliedElevationM: measure.Round(implied.Value, 0),
		LowFt: feet(implied.Low), HighFt: feet(implied.High), LowM: measure.Round(implied.Low, 0), HighM: measure.Round(implied.High, 0),
		Agrees: at.ElevationM >= implied.Low && at.ElevationM <= implied.High,
	}
	span := fmt.Sprintf("Water that boils at %s °C (%s °F) stands at about %.0f m (%.0f ft), between %.0f and %.0f m", measure.FormatNumber(t.BoilingPointC),
		measure.FormatNumber(measure.Round(t.BoilingPointF, 1)), t.ImpliedElevationM, t.ImpliedElevationFt, t.LowM, t.HighM)
	switch {
	case t.Agrees:
		t.Text = span + ". That agrees with the elevation given."
	case at.ElevationM < implied.Low:
		t.Text = span + ". That is higher than the elevation given: check both, and until then use the minutes of the higher band."
	default:
		t.Text = span + ". That is lower than the elevation given: check the thermometer, and use the minutes of the elevation given."
	}
	return t, nil
}
