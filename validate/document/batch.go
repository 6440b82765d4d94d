package document

// Batch is the record of one canning day: what was done to the filled jars, and what was seen on them since. Times are
// RFC 3339 date-times with any offset; lists may stand in any order.
type Batch struct {
	Lot           string      `json:"lot,omitempty"`
	PackedAt      string      `json:"packed_at,omitempty"`  // when the jars were filled and closed
	UTCOffset     string      `json:"utc_offset,omitempty"` // of the dates on labels; UTC when left out
	Elevation     *Quantity   `json:"elevation,omitempty"`  // where the jars were processed; goes before that of the kitchen
	WaterOverLids *Quantity   `json:"water_over_lids,omitempty"`
	Events        []Event     `json:"events,omitempty"`
	Jars          []BatchJar  `json:"jars"`
	PHReadings    []PHReading `json:"ph_readings,omitempty"`
}

// Event is one entry of the log of a canner.
type Event struct {
	At            string    `json:"at"`
	Event         string    `json:"event"`                     // one of the Event constants
	Load          string    `json:"load,omitempty"`            // which canner load, where there were several
	WaterOverLids *Quantity `json:"water_over_lids,omitempty"` // read then; 0: the lids are not covered
	Temperature   *Quantity `json:"temperature,omitempty"`     // of the water, read then
}

// BatchJar is one jar and what was seen of it.
type BatchJar struct {
	ID                string        `json:"id"`
	Load              string        `json:"load,omitempty"`
	Headspace         *Quantity     `json:"headspace,omitempty"` // measured when the jar was closed
	FoodCovered       *bool         `json:"food_covered,omitempty"`
	LiquidLostPercent *float64      `json:"liquid_lost_percent,omitempty"`
	SealChecks        []SealCheck   `json:"seal_checks,omitempty"`
	Reprocessed       *Reprocessing `json:"reprocessed,omitempty"`
	SpoilageSigns     []string      `json:"spoilage_signs,omitempty"` // of the Sign constants
	OpenedAt          string        `json:"opened_at,omitempty"`
	Kept              []Kept        `json:"kept,omitempty"`
	Labeled           *bool         `json:"labeled,omitempty"`
}

// SealCheck is one look at the seal of a jar.
type SealCheck struct {
	At      string `json:"at"`
	Center  string `json:"center,omitempty"` // one of the Center constants
	Ring    string `json:"ring,omitempty"`   // one of the Ring constants
	Lid     string `json:"lid,omitempty"`    // one of the Lid constants
	Leaking *bool  `json:"leaking,omitempty"`
}

// Reprocessing is a second process of a jar that had not sealed.
type Reprocessing struct {
	Load   string `json:"load"` // whose events are the second process
	NewLid *bool  `json:"new_lid,omitempty"`
}

// Kept is a place where a jar stood from a time on.
type Kept struct {
	From        string    `json:"from"`
	Place       string    `json:"place"` // one of the Place constants
	Temperature *Quantity `json:"temperature,omitempty"`
}

// PHReading is one measurement of acidity.
type PHReading struct {
	At          string    `json:"at"`
	Value       float64   `json:"value"`
	Jar         string    `json:"jar,omitempty"`        // id of the jar it was taken from; empty: from several
	Sample      string    `json:"sample,omitempty"`     // one of the Sample constants
	Instrument  string    `json:"instrument,omitempty"` // one of the Instrument constants
	Accuracy    *float64  `json:"accuracy,omitempty"`   // of the meter, as its maker states it, in pH
	Temperature *Quantity `json:"temperature,omitempty"`
	Buffers     []Buffer  `json:"buffers,omitempty"`
}

// Buffer is one calibration buffer and what the meter read in it.
type Buffer struct {
	PH          float64   `json:"ph"`
	Reading     float64   `json:"reading"`
	Temperature *Quantity `json:"temperature,omitempty"`
}

// Values of Event.Event.
const (
	EventJarsIn       = "jars_in"
	EventWaterLevel   = "water_level"
	EventTemperature  = "temperature"
	EventToppedUp     = "topped_up"
	EventBoilReached  = "boil_reached"
	EventBoilLost     = "boil_lost"
	EventBoilRegained = "boil_regained"
	EventHeatOff      = "heat_off"
	EventLidOff       = "lid_off"
	EventJarsOut      = "jars_out"
)

// Values of SealCheck.Center.
const (
	CenterDown    = "down" // does not move when pressed
	CenterSprings = "springs"
)

// Values of SealCheck.Ring.
const (
	RingClear = "clear"
	RingDull  = "dull"
)

// Values of SealCheck.Lid.
const (
	LidConcave = "concave" // drawn down in the middle
	LidFlat    = "flat"
	LidBulging = "bulging"
)

// Values of BatchJar.SpoilageSigns.
const (
	SignBulgingLid    = "bulging_lid"
	SignLeaking       = "leaking"
	SignDriedStreaks  = "dried_streaks"
	SignRisingBubbles = "rising_bubbles"
	SignSpurting      = "spurting"
	SignMold          = "mold"
	SignOddSmell      = "odd_smell"
	SignOddColor      = "odd_color"
	SignSlime         = "slime"
)

// Values of Kept.Place.
const (
	PlaceRoom         = "room"
	PlaceRefrigerator = "refrigerator"
	PlaceFreezer      = "freezer"
)

// Values of PHReading.Sample.
const (
	SampleLiquid  = "liquid"  // the liquid alone
	SamplePiece   = "piece"   // the middle of the largest piece
	SampleBlended = "blended" // liquid and food of whole jars, blended
)

// Values of PHReading.Instrument.
const (
	InstrumentMeter  = "meter"
	InstrumentStrips = "strips"
)
