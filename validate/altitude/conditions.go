package altitude

import "jarwright/validate/catalog"

// Conditions is what an elevation changes. Its JSON is what clients read; figures are rounded for reading. Units are in the
// names of the members; pressure and boiling point are those of the standard atmosphere (see PressurePa and
// SaturationTemperatureC), and minutes are printed ones of the documents that each member cites.
type Conditions struct {
	ElevationFt    float64             `json:"elevation_ft"`
	ElevationM     float64             `json:"elevation_m"`
	PressurePa     float64             `json:"pressure_pa"`
	PressureHPa    float64             `json:"pressure_hpa"`
	PressureInHg   float64             `json:"pressure_in_hg"`
	BoilingPointC  float64             `json:"boiling_point_c"`
	BoilingPointF  float64             `json:"boiling_point_f"`
	Bands          []TableBand         `json:"bands"`
	JarSterilizing JarSterilizing      `json:"jar_sterilizing"`
	Steam          SteamLimit          `json:"steam"`
	Recipe         *RecipeMinutes      `json:"recipe,omitempty"`
	Thermometer    *ThermometerReading `json:"thermometer,omitempty"`
	RulesOfThumb   []ThumbCompared     `json:"rules_of_thumb"`
	Sources        []catalog.Citation  `json:"sources"`
}

// TableBand is the band of one set of printed tables that an elevation lies in. From is exclusive but in the lowest band,
// To inclusive; To is nil in the highest. Meters are converted from the printed feet and rounded to a tenth.
type TableBand struct {
	BandsInTable int      `json:"bands_in_table"`
	FromFt       float64  `json:"from_ft"`
	ToFt         *float64 `json:"to_ft,omitempty"`
	FromM        float64  `json:"from_m"`
	ToM          *float64 `json:"to_m,omitempty"`
	Rows         int      `json:"rows"`   // how many printed rows have this set of bands
	Number       int      `json:"number"` // 1 is the lowest
}

// JarSterilizing is how long empty jars are boiled where they have to be sterile: the minutes of SterilizingMinutes.
type JarSterilizing struct {
	Minutes float64          `json:"minutes"`
	Source  catalog.Citation `json:"source"`
}

// SteamLimit says whether the limit of an atmospheric steam canner matters. Rows are those of the recipe, or all printed
// ones where no recipe is asked for; RowsOver are those that take longer here than a steam canner may run.
type SteamLimit struct {
	LimitMinutes float64          `json:"limit_minutes"`
	Matters      bool             `json:"matters"`
	RowsOver     int              `json:"rows_over"`
	Rows         int              `json:"rows"`
	Text         string           `json:"text"`
	Source       catalog.Citation `json:"source"`
}

// RecipeMinutes is how long one tested recipe is processed at the elevation, for each of its printed rows.
type RecipeMinutes struct {
	ID    string       `json:"id"`
	Title string       `json:"title"`
	Rows  []RowMinutes `json:"rows"` // empty: no time in boiling water is printed
	Text  string       `json:"text"`
}

// RowMinutes is one row of a time table, read at the elevation. Minutes are those of the printed band, never interpolated.
type RowMinutes struct {
	Schedule     string           `json:"schedule"`
	Pack         string           `json:"pack"`
	Jar          string           `json:"jar"`
	Minutes      *float64         `json:"minutes,omitempty"` // absent: none is printed for this elevation
	LowestBand   float64          `json:"minutes_in_lowest_band"`
	SteamAllowed bool             `json:"steam_allowed"`
	SterileJars  bool             `json:"sterile_jars"`
	RulesOfThumb []ThumbDeparture `json:"rules_of_thumb"` // only those that differ from the printed minutes
	Source       catalog.Citation `json:"source"`
}

// ThumbDeparture is a rule of thumb that disagrees with a printed row: the least and the most minutes that it gives.
type ThumbDeparture struct {
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

// ThumbCompared is a rule of thumb beside the tables. For minutes it counts the printed rows by how it stands to them; for
// the boiling point it gives the figure and how far that is above (below zero: below) the one of the standard atmosphere.
type ThumbCompared struct {
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

// ThermometerReading is the elevation that a boiling point read in a kitchen stands for, with its bounds (see
// ImpliedElevationM), and whether the elevation given lies between them.
type ThermometerReading struct {
	BoilingPointC      float64 `json:"boiling_point_c"`
	BoilingPointF      float64 `json:"boiling_point_f"`
	ErrorC             float64 `json:"error_c"` // allowed for thermometer and weather together, up or down
	ImpliedElevationFt float64 `json:"implied_elevation_ft"`
	ImpliedElevationM  float64 `json:"implied_elevation_m"`
	LowFt              float64 `json:"low_ft"`
	HighFt             float64 `json:"high_ft"`
	LowM               float64 `json:"low_m"`
	HighM              float64 `json:"high_m"`
	Agrees             bool    `json:"agrees"`
	Text               string  `json:"text"`
}
