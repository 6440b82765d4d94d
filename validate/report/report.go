// Package report holds the answer to a request: the disposition, the findings that led to it, the process it was
// measured against and the figures behind it. The types here are the JSON that clients read; rendering as plain text
// and Markdown is in this package too. It judges nothing.
package report

import "jarwright/validate/catalog"

// Report is the answer to one request. The same request and rule set give the same bytes.
type Report struct {
	Disposition   Disposition    `json:"disposition"`
	Summary       Summary        `json:"summary"`
	Next          []Task         `json:"next,omitempty"`   // with a batch, as are the four below
	Batch         *Batch         `json:"batch,omitempty"`  // the best that any jar can be
	Jars          []Jar          `json:"jars,omitempty"`   // in the order of the request
	Dates         []Date         `json:"dates,omitempty"`  // in the order of time
	Labels        []Label        `json:"labels,omitempty"` // of the jars that may be kept
	Findings      []Finding      `json:"findings"`
	Process       *Process       `json:"process,omitempty"`
	Derived       []Derived      `json:"derived"`
	Leeway        []Leeway       `json:"leeway"`
	Derivation    []Step         `json:"derivation,omitempty"` // only when asked for
	Curves        []Curve        `json:"curves,omitempty"`     // only when asked for
	AltitudeTable []AltitudeBand `json:"altitude_table"`
	Cautions      []Caution      `json:"cautions"`
	Rules         []RuleOutcome  `json:"rules"`
	Sources       []Cited        `json:"sources"` // every document cited above, by first mention
	Meta          Meta           `json:"meta"`
}

// Disposition says what the jar is fit for.
type Disposition string

// Values of Disposition. Reprocess and discard need the record of a canning day.
const (
	Shelf       Disposition = "shelf"
	Refrigerate Disposition = "refrigerate"
	Hold        Disposition = "hold" // undecided: something is missing, untested or unsafe as written
	Reprocess   Disposition = "reprocess"
	Discard     Disposition = "discard"
)

// Severity belongs to a rule.
type Severity string

// Values of Severity.
const (
	Error   Severity = "error"   // a published source says unsafe, or must
	Warning Severity = "warning" // a published source says should, or an untested departure
	Info    Severity = "info"    // good to know; judgment of our own is never above this
)

// Outcome is what came of one rule.
type Outcome string

// Values of Outcome.
const (
	Pass          Outcome = "pass"
	Fail          Outcome = "fail"
	NotApplicable Outcome = "not_applicable"
	Undetermined  Outcome = "undetermined" // an input is missing; never a pass
)

// Hazard is what a failed rule may lead to.
type Hazard string

// Values of Hazard.
const (
	Botulism Hazard = "botulism"
	Pathogen Hazard = "pathogen"
	Spoilage Hazard = "spoilage"
	Injury   Hazard = "injury"
	Quality  Hazard = "quality"
)

// Summary is the answer in one sentence with the counts of findings behind it.
type Summary struct {
	Text         string `json:"text"`
	NextStep     string `json:"next_step"`
	Errors       int    `json:"errors"`
	Warnings     int    `json:"warnings"`
	Infos        int    `json:"infos"`
	Undetermined int    `json:"undetermined"`
}

// Finding is one failed or undetermined rule at one place of the request.
type Finding struct {
	Rule     string             `json:"rule"`
	Severity Severity           `json:"severity"`
	Outcome  Outcome            `json:"outcome"`
	Hazard   Hazard             `json:"hazard"`
	At       string             `json:"at"` // JSON Pointer (RFC 6901) into the request
	Message  string             `json:"message"`
	Remedy   string             `json:"remedy"`
	Measured *Amount            `json:"measured,omitempty"`
	Limit    *Amount            `json:"limit,omitempty"`
	Changes  []string           `json:"changes,omitempty"` // ids of published changes that decided it
	Sources  []catalog.Citation `json:"sources"`
	Fix      []Operation        `json:"fix,omitempty"`
}

// Amount is a figure with the code of its unit (see measure.Units), rounded for people.
type Amount struct {
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
}

// Operation is one operation of an RFC 6902 JSON Patch against the request.
type Operation struct {
	Op    string `json:"op"`
	Path  string `json:"path"`
	Value any    `json:"value"`
}

// Process is the published process that the recipe was measured against.
type Process struct {
	Recipe      string           `json:"recipe"`
	Title       string           `json:"title"`
	Matched     bool             `json:"matched"` // true: followed in every respect that matters
	Schedules   []string         `json:"schedules"`
	Pack        string           `json:"pack,omitempty"`
	Jar         string           `json:"jar,omitempty"` // the jar of the table whose minutes apply
	HeadspaceIn float64          `json:"headspace_in,omitempty"`
	SterileJars bool             `json:"sterile_jars"`
	MinutesHere *float64         `json:"minutes_here,omitempty"` // minutes at the kitchen's elevation
	Departures  []Departure      `json:"departures"`
	Source      catalog.Citation `json:"source"`
}

// Departure is one respect in which the recipe differs from the published one.
type Departure struct {
	At      string   `json:"at"`
	What    string   `json:"what"`
	Judged  string   `json:"judged"` // safe, unsafe, untested, undetermined
	Rule    string   `json:"rule,omitempty"`
	Changes []string `json:"changes,omitempty"`
}

// Derived is one computed figure with what it was computed from. Low and High are its bounds; nil where it has none.
type Derived struct {
	Name    string             `json:"name"`
	Value   float64            `json:"value"`
	Low     *float64           `json:"low,omitempty"`
	High    *float64           `json:"high,omitempty"`
	Unit    string             `json:"unit"`
	Formula string             `json:"formula"`
	Inputs  []Input            `json:"inputs"`
	Sources []catalog.Citation `json:"sources"`
}

// Input is one named input of a derived figure.
type Input struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
}

// Leeway is what may be changed without losing safety: the present value of one variable of the recipe and its safe range.
type Leeway struct {
	Variable string             `json:"variable"` // acid, water, low_acid_food, salt, sugar, jar, pieces, minutes
	At       string             `json:"at,omitempty"`
	Now      *float64           `json:"now,omitempty"`
	Low      *float64           `json:"low,omitempty"`  // least that is safe; absent: none
	High     *float64           `json:"high,omitempty"` // most that is safe; absent: no limit
	Unit     string             `json:"unit"`
	Text     string             `json:"text"` // the range and what sets it, for people
	Sources  []catalog.Citation `json:"sources"`
}

// Step is one line of a worked derivation, with the numbers put in, so that a class can follow it by hand.
type Step struct {
	Title string `json:"title"`
	Text  string `json:"text"`
}

// Curve is one quantity over another, as arrays of equal length.
type Curve struct {
	Name  string    `json:"name"`
	X     string    `json:"x"` // what X holds, with its unit
	Y     string    `json:"y"`
	XUnit string    `json:"x_unit"`
	YUnit string    `json:"y_unit"`
	Xs    []float64 `json:"xs"`
	Ys    []float64 `json:"ys"`
}

// Options says what a report holds beyond the usual.
type Options struct {
	Derivation bool // the worked derivation of the acidity
	Curves     bool // temperature curves
}

// AltitudeBand is one column of the time table for the recipe's pack and jar. Both ends belong to it: the one that follows a
// band to 1,000 ft begins at 1,001 ft. Meters are converted from the printed feet.
type AltitudeBand struct {
	FromFt  float64  `json:"from_ft"`
	ToFt    *float64 `json:"to_ft,omitempty"` // absent: and above
	FromM   float64  `json:"from_m"`
	ToM     *float64 `json:"to_m,omitempty"`
	Minutes float64  `json:"minutes"`
	Here    bool     `json:"here"` // the kitchen's elevation lies in this band
}

// Caution is a standing warning that goes with the report.
type Caution struct {
	ID      string             `json:"id"`
	Text    string             `json:"text"`
	Sources []catalog.Citation `json:"sources"`
}

// RuleOutcome is one line of the list of all rules.
type RuleOutcome struct {
	Rule    string  `json:"rule"`
	Outcome Outcome `json:"outcome"`
}

// Cited is one document of the bibliography that the report cites.
type Cited struct {
	ID        string `json:"id"`
	Title     string `json:"title"`
	Publisher string `json:"publisher,omitempty"`
	Year      string `json:"year,omitempty"`
}

// Meta says what the report was made with.
type Meta struct {
	Ruleset string       `json:"ruleset"`
	Tables  []TableStamp `json:"tables"`
	Assumed []Assumption `json:"assumed"`
}

// TableStamp names one embedded table and the hash of its bytes.
type TableStamp struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
}

// Assumption is one fact taken on the caller's word, or a default that was used.
type Assumption struct {
	At   string `json:"at"`
	What string `json:"what"`
	By   string `json:"by"` // caller, default
}
