package altitude

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/measure"
	"jarwright/validate/table"
)

// Guide answers what an elevation changes, from the printed tables. It is safe for concurrent use.
type Guide struct {
	tables *catalog.Tables
	units  *measure.Units
	rows   []*catalog.Schedule // with printed minutes and not superseded
}

// NewGuide builds a Guide on the printed tables.
func NewGuide(tables *catalog.Tables, units *measure.Units) *Guide {
	g := &Guide{tables: tables, units: units}
	for i := range tables.Schedules {
		if row := &tables.Schedules[i]; len(row.Bands) > 0 && row.SupersededBy == "" {
			g.rows = append(g.rows, row)
		}
	}
	return g
}

// Limits are the lowest and the highest elevation, in meters, that a Guide is asked about.
func (g *Guide) Limits() (lowest, highest measure.Length) {
	return g.limit("elevation-lowest"), g.limit("elevation-highest")
}

func (g *Guide) limit(id string) measure.Length {
	limit := g.tables.MustLimit(id)
	unit, _ := g.units.Lookup(limit.Unit)
	return measure.Length(unit.SI(limit.Value))
}

// BoilingLimits are the boiling points at the highest and the lowest elevation that a Guide is asked about.
func (g *Guide) BoilingLimits() (lowest, highest measure.Temperature) {
	bottom, top := g.Limits()
	at := func(elevation measure.Length) measure.Temperature {
		return measure.Temperature(saturation.temperatureC(atmosphere.pressurePa(float64(elevation))) + zeroCelsiusK)
	}
	return at(top), at(bottom)
}

// Unit finds a unit by its code.
func (g *Guide) Unit(code string) (measure.Unit, bool) { return g.units.Lookup(code) }

// Recipe finds a tested recipe by id.
func (g *Guide) Recipe(id string) (*catalog.TestedRecipe, bool) { return g.tables.Recipe(id) }

// RecipeIDs are the ids of all tested recipes.
func (g *Guide) RecipeIDs() []string {
	ids := make([]string, 0, len(g.tables.Recipes))
	for i := range g.tables.Recipes {
		ids = append(ids, g.tables.Recipes[i].ID)
	}
	return ids
}

// Question is what is asked about an elevation. Recipe and BoilingPoint are nil where nothing is asked of them.
type Question struct {
	Elevation    measure.Length
	Recipe       *catalog.TestedRecipe
	BoilingPoint *measure.Temperature // what the kitchen reports
}

// Place is what an elevation changes. Its JSON is what clients read; figures are rounded for reading.
type Place struct {
	ElevationFt    float64            `json:"elevation_ft"`
	ElevationM     float64            `json:"elevation_m"`
	PressurePa     float64            `json:"pressure_pa"`
	PressureHPa    float64            `json:"pressure_hpa"`
	PressureInHg   float64            `json:"pressure_in_hg"`
	BoilingPointC  float64            `json:"boiling_point_c"`
	BoilingPointF  float64            `json:"boiling_point_f"`
	Bands          []PlaceBand        `json:"bands"`
	JarSterilizing PlaceSterilizing   `json:"jar_sterilizing"`
	Steam          PlaceSteam         `json:"steam"`
	Recipe         *PlaceRecipe       `json:"recipe,omitempty"`
	Thermometer    *PlaceThermometer  `json:"thermometer,omitempty"`
	RulesOfThumb   []PlaceThumb       `json:"rules_of_thumb"`
	Sources        []catalog.Citation `json:"sources"`
}

// PlaceBand is the band of one set of printed tables that an elevation lies in. From is exclusive but in the lowest band,
// To inclusive; To is nil in the highest.
type PlaceBand struct {
	BandsInTable int      `json:"bands_in_table"`
	FromFt       float64  `json:"from_ft"`
	ToFt         *float64 `json:"to_ft,omitempty"`
	FromM        float64  `json:"from_m"`
	ToM          *float64 `json:"to_m,omitempty"`
	Rows         int      `json:"rows"`   // how many printed rows have this set of bands
	Number       int      `json:"number"` // 1 is the lowest
}

// PlaceSterilizing is how long empty jars are boiled where they have to be sterile.
type PlaceSterilizing struct {
	Minutes float64          `json:"minutes"`
	Source  catalog.Citation `json:"source"`
}

// PlaceSteam says whether the limit of an atmospheric steam canner matters: of the rows looked at, those of the recipe or
// all printed ones, how many take longer here than a steam canner may run.
type PlaceSteam struct {
	LimitMinutes float64          `json:"limit_minutes"`
	Matters      bool             `json:"matters"`
	RowsOver     int              `json:"rows_over"`
	Rows         int              `json:"rows"`
	Text         string           `json:"text"`
	Source       catalog.Citation `json:"source"`
}

// PlaceRecipe is what one tested recipe takes at the elevation.
type PlaceRecipe struct {
	ID    string     `json:"id"`
	Title string     `json:"title"`
	Rows  []PlaceRow `json:"rows"` // empty: no time in boiling water is printed
	Text  string     `json:"text"`
}

// PlaceRow is one row of a time table, read at the elevation.
type PlaceRow struct {
	Schedule     string             `json:"schedule"`
	Pack         string             `json:"pack"`
	Jar          string             `json:"jar"`
	Minutes      *float64           `json:"minutes,omitempty"` // absent: none is printed for this elevation
	LowestBand   float64            `json:"minutes_in_lowest_band"`
	SteamAllowed bool               `json:"steam_allowed"`
	SterileJars  bool               `json:"sterile_jars"`
	RulesOfThumb []ThumbMinutesHere `json:"rules_of_thumb"` // only those that part from the printed minutes
	Source       catalog.Citation   `json:"source"`
}

// ThumbMinutesHere is a rule of thumb that disagrees with a printed row.
type ThumbMinutesHere struct {
	ID      string       `json:"id"`
	Low     float64      `json:"low"`
	High    float64      `json:"high"`
	Verdict ThumbVerdict `json:"verdict"`
}

// ThumbVerdict says how a rule of thumb stands to the printed table, which wins.
type ThumbVerdict string

// Values of ThumbVerdict.
const (
	ThumbAgrees   ThumbVerdict = "agrees"
	ThumbTooShort ThumbVerdict = "too_short"
	ThumbTooLong  ThumbVerdict = "too_long"
	ThumbSilent   ThumbVerdict = "silent" // it says nothing of such a time or elevation
)

// PlaceThumb is a rule of thumb beside the tables. For minutes it counts the printed rows by how it stands to them; for
// the boiling point it gives the figure and how far it is off.
type PlaceThumb struct {
	ID        string           `json:"id"`
	Quantity  string           `json:"quantity"`
	AppliesTo string           `json:"applies_to"`
	Statement string           `json:"statement"`
	Agrees    int              `json:"rows_agree"`
	TooShort  int              `json:"rows_too_short"`
	TooLong   int              `json:"rows_too_long"`
	Silent    int              `json:"rows_silent"`
	BoilingF  *float64         `json:"boiling_point_f,omitempty"`
	OffByF    *float64         `json:"off_by_f,omitempty"`
	Text      string           `json:"text"`
	Source    catalog.Citation `json:"source"`
}

// PlaceThermometer is what a boiling point read in a kitchen says about where the kitchen stands.
type PlaceThermometer struct {
	BoilingPointC      float64 `json:"boiling_point_c"`
	BoilingPointF      float64 `json:"boiling_point_f"`
	ErrorC             float64 `json:"error_c"` // taken for thermometer and weather together, either way
	ImpliedElevationFt float64 `json:"implied_elevation_ft"`
	ImpliedElevationM  float64 `json:"implied_elevation_m"`
	LowFt              float64 `json:"low_ft"`
	HighFt             float64 `json:"high_ft"`
	LowM               float64 `json:"low_m"`
	HighM              float64 `json:"high_m"`
	Agrees             bool    `json:"agrees"`
	Text               string  `json:"text"`
}

// At answers a question. The error wraps table.ErrRange for an elevation outside Limits and for a boiling point that
// ImpliedElevationM does not take.
func (g *Guide) At(q Question) (Place, error) {
	lowest, highest := g.Limits()
	if err := table.Within("elevation", float64(q.Elevation), float64(lowest), float64(highest), "m"); err != nil {
		return Place{}, fmt.Errorf("what an elevation changes: %w", err)
	}
	at, err := BoilingAt(float64(q.Elevation))
	if err != nil {
		return Place{}, fmt.Errorf("what an elevation changes: %w", err)
	}
	minutes, err := SterilizingMinutes(q.Elevation.Feet())
	if err != nil {
		return Place{}, fmt.Errorf("what an elevation changes: %w", err)
	}
	mercury, _ := g.units.Lookup("inHg")
	p := Place{
		ElevationFt: round(q.Elevation.Feet(), 2), ElevationM: round(float64(q.Elevation), 2),
		PressurePa: round(at.PressurePa, 0), PressureHPa: round(at.PressurePa/100, 1), PressureInHg: round(mercury.From(at.PressurePa), 2),
		BoilingPointC: round(at.TemperatureC, 2), BoilingPointF: round(at.TemperatureF, 2),
		Bands:          g.bands(q.Elevation),
		JarSterilizing: PlaceSterilizing{minutes, cite(SterilizingSource())},
		Sources:        []catalog.Citation{cite(atmosphereFigures.Get("sea_level_pressure")), cite(saturationFigures.Get("n1"))},
	}
	rows := g.rows
	if q.Recipe != nil {
		rows = g.recipeRows(q.Recipe)
		p.Recipe = g.recipe(q.Recipe, rows, q.Elevation)
	}
	p.Steam = g.steam(rows, q.Elevation)
	p.RulesOfThumb = g.thumbs(rows, q.Elevation, at)
	if q.BoilingPoint != nil {
		if p.Thermometer, err = thermometer(q.BoilingPoint.Celsius(), at); err != nil {
			return Place{}, fmt.Errorf("what an elevation changes: %w", err)
		}
	}
	return p, nil
}

func cite(f table.Figure) catalog.Citation {
	return catalog.Citation{Source: f.Source, Locator: f.Locator, Verified: catalog.Verified(f.Verified)}
}

func round(value float64, decimals int) float64 {
	scale := math.Pow10(decimals)
	return math.Round(value*scale)/scale + 0 // no minus before a zero
}

// bands lists the sets of bands that the printed rows have, the set with most rows first, with the band of the elevation.
// Rows that were read for low kitchens only are passed over: their set is not the printed one.
func (g *Guide) bands(elevation measure.Length) []PlaceBand {
	var sets [][]catalog.Band
	var counts []int
	for _, row := range g.rows {
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
	list := []PlaceBand{}
	for i, set := range sets {
		band, ok := catalog.Schedule{Bands: set}.Band(elevation)
		if !ok {
			continue
		}
		entry := PlaceBand{
			BandsInTable: len(set), Rows: counts[i], Number: 1 + slices.Index(set, band),
			FromFt: band.FromFt, FromM: round(band.FromFt*MetersPerFoot, 1),
		}
		if band.ToFt > 0 {
			toFt, toM := band.ToFt, round(band.ToFt*MetersPerFoot, 1)
			entry.ToFt, entry.ToM = &toFt, &toM
		}
		list = append(list, entry)
	}
	slices.SortStableFunc(list, func(a, b PlaceBand) int { return b.Rows - a.Rows })
	return list
}

// recipeRows are the rows of a recipe's packs, in the order of the packs.
func (g *Guide) recipeRows(recipe *catalog.TestedRecipe) []*catalog.Schedule {
	var rows []*catalog.Schedule
	for i := range recipe.Packs {
		for _, id := range recipe.Packs[i].Schedules {
			row, ok := g.tables.Schedule(id)
			if ok && len(row.Bands) > 0 && !slices.Contains(rows, row) {
				rows = append(rows, row)
			}
		}
	}
	return rows
}

func (g *Guide) recipe(recipe *catalog.TestedRecipe, rows []*catalog.Schedule, elevation measure.Length) *PlaceRecipe {
	p := &PlaceRecipe{ID: recipe.ID, Title: recipe.Title, Rows: []PlaceRow{}, Text: "The printed minutes of this elevation band hold; nothing is reckoned between bands."}
	if len(rows) == 0 {
		p.Text = "No time in boiling water is printed for this recipe."
	}
	for _, row := range rows {
		entry := PlaceRow{
			Schedule: row.ID, Pack: row.Pack, Jar: row.Jar, LowestBand: row.Bands[0].Minutes, SterileJars: row.SterileJars,
			RulesOfThumb: []ThumbMinutesHere{}, Source: row.Citation,
		}
		if band, ok := row.Band(elevation); ok {
			minutes := band.Minutes
			entry.Minutes = &minutes
			entry.SteamAllowed = measure.Duration(minutes)*measure.Minute <= g.steamLimit()
		}
		for i := range thumbs {
			bounds, verdict := thumbs[i].judge(row, elevation)
			if verdict == ThumbTooShort || verdict == ThumbTooLong {
				entry.RulesOfThumb = append(entry.RulesOfThumb, ThumbMinutesHere{thumbs[i].ID, round(bounds.Low, 1), round(bounds.High, 1), verdict})
			}
		}
		p.Rows = append(p.Rows, entry)
	}
	return p
}

func (g *Guide) steamLimit() measure.Duration {
	limit := g.tables.MustLimit("steam-time-max")
	unit, _ := g.units.Lookup(limit.Unit)
	return measure.Duration(unit.SI(limit.Value))
}

func (g *Guide) steam(rows []*catalog.Schedule, elevation measure.Length) PlaceSteam {
	s := PlaceSteam{LimitMinutes: g.steamLimit().Minutes(), Rows: len(rows), Source: g.tables.MustLimit("steam-time-max").Citation}
	for _, row := range rows {
		if band, ok := row.Band(elevation); ok && band.Minutes > s.LimitMinutes {
			s.RowsOver++
		}
	}
	s.Matters = s.RowsOver > 0
	s.Text = fmt.Sprintf("Every printed time here is within the %s minutes that a steam canner may run.", measure.FormatNumber(s.LimitMinutes))
	if s.Matters {
		s.Text = fmt.Sprintf("%d of %d printed times here are longer than the %s minutes that a steam canner may run: use boiling water for those.", s.RowsOver, s.Rows, measure.FormatNumber(s.LimitMinutes))
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

func (g *Guide) thumbs(rows []*catalog.Schedule, elevation measure.Length, at Boiling) []PlaceThumb {
	list := make([]PlaceThumb, 0, len(thumbs))
	for i := range thumbs {
		t := &thumbs[i]
		entry := PlaceThumb{
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

func (p *PlaceThumb) boilingPoint(t *Thumb, elevation measure.Length, at Boiling) {
	bounds, err := t.Apply(thumbSeaLevel.Value, elevation.Feet())
	if err != nil {
		p.Text = "It says nothing of this elevation."
		return
	}
	said, off := round(bounds.Value, 1), round(bounds.Value-at.TemperatureF, 1)
	p.BoilingF, p.OffByF = &said, &off
	p.Text = fmt.Sprintf("It gives %s °F; water boils at %s °F here, by the standard atmosphere.", measure.FormatNumber(said), measure.FormatNumber(round(at.TemperatureF, 1)))
}

func (p *PlaceThumb) minutes(t *Thumb, rows []*catalog.Schedule, elevation measure.Length) {
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

func thermometer(boilingC float64, at Boiling) (*PlaceThermometer, error) {
	errorC := thermometerError.Value
	implied, err := ImpliedElevationM(boilingC, errorC)
	if err != nil {
		return nil, err
	}
	feet := func(meters float64) float64 { return round(meters/MetersPerFoot, 0) }
	t := &PlaceThermometer{
		BoilingPointC: round(boilingC, 2), BoilingPointF: round(fahrenheit(boilingC), 2), ErrorC: errorC,
		ImpliedElevationFt: feet(implied.Value), ImpliedElevationM: round(implied.Value, 0),
		LowFt: feet(implied.Low), HighFt: feet(implied.High), LowM: round(implied.Low, 0), HighM: round(implied.High, 0),
		Agrees: at.ElevationM >= implied.Low && at.ElevationM <= implied.High,
	}
	span := fmt.Sprintf("Water that boils at %s °C (%s °F) stands at about %.0f m (%.0f ft), between %.0f and %.0f m", measure.FormatNumber(t.BoilingPointC),
		measure.FormatNumber(round(t.BoilingPointF, 1)), t.ImpliedElevationM, t.ImpliedElevationFt, t.LowM, t.HighM)
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
