// Package document holds the request as the sender wrote it: recipes, amounts and the kitchen they are made in.
// It does no arithmetic and judges nothing; a member that was left out stays nil or empty so that later stages can
// tell "absent" from "zero".
package document

// Request is one question to the service: is this recipe, made in this kitchen, what a tested process asks for?
type Request struct {
	Recipe     Recipe         `json:"recipe"`
	Kitchen    *Kitchen       `json:"kitchen,omitempty"`
	Batch      *Batch         `json:"batch,omitempty"` // nil: only the recipe is judged
	AsOf       string         `json:"as_of,omitempty"` // RFC 3339 full-date or date-time
	Assume     *Assume        `json:"assume,omitempty"`
	Extensions map[string]any `json:"extensions,omitempty"` // carried by the sender for itself; never read
}

// Recipe is one recipe for one kind and size of jar.
type Recipe struct {
	Name            string        `json:"name,omitempty"`
	Follows         string        `json:"follows,omitempty"` // id of the tested recipe the cook means to follow
	Kind            string        `json:"kind,omitempty"`    // one of the Kind constants
	Keep            string        `json:"keep,omitempty"`    // one of the Keep constants
	Jar             *Jar          `json:"jar,omitempty"`
	Jars            *float64      `json:"jars,omitempty"` // how many jars the batch fills
	Pack            string        `json:"pack,omitempty"` // one of the Pack constants
	Headspace       *Quantity     `json:"headspace,omitempty"`
	SolidsHeadspace *Quantity     `json:"solids_headspace,omitempty"` // from the rim to the top of the pieces, where that is lower than the liquid
	JarPreparation  string        `json:"jar_preparation,omitempty"`  // one of the JarPreparation constants
	Ingredients     []Ingredient  `json:"ingredients"`
	Steps           []Step        `json:"steps,omitempty"` // what is done on the way, as far as the cook says it
	Temperatures    *Temperatures `json:"temperatures,omitempty"`
	Process         *Process      `json:"process,omitempty"`
	Rest            *Quantity     `json:"rest,omitempty"` // how long the closed jars stand before eating
}

// Quantity is a number and its unit code (see measure.Units), which is case-sensitive. Value is nil for "to_cover" and
// "as_needed". Which range a value may have is in table/request_bounds.csv.
type Quantity struct {
	Value *float64 `json:"value,omitempty"`
	Unit  string   `json:"unit"`
}

// Ingredient is one line of the recipe.
type Ingredient struct {
	Item           string    `json:"item"`
	Form           string    `json:"form,omitempty"`
	Amount         *Quantity `json:"amount,omitempty"`
	Per            string    `json:"per"` // PerBatch or PerJar
	Piece          *Piece    `json:"piece,omitempty"`
	AcidityPercent *float64  `json:"acidity_percent,omitempty"` // g acetic acid per 100 mL, as the label states it
	SaltKind       string    `json:"salt_kind,omitempty"`       // one of the SaltKind constants
	Bottled        *bool     `json:"bottled,omitempty"`         // bought bottled, with an acidity the maker controls
	Drained        *bool     `json:"drained,omitempty"`         // poured away after soaking or cooking; not in the jar
	Rinses         *float64  `json:"rinses,omitempty"`          // one-hour soaks in fresh water after a lime soak
	Note           string    `json:"note,omitempty"`            // free words for people, shown and never judged
}

// Step is one thing that is done on the way, by the name that the tested recipes have for it.
type Step struct {
	Step        string    `json:"step"`                  // a name of step_kinds.csv
	At          string    `json:"at,omitempty"`          // JSON Pointer of the ingredient line that it is about
	Done        *bool     `json:"done,omitempty"`        // false: it is left out; not said is done
	Time        *Quantity `json:"time,omitempty"`        // how long; 0 is left out
	Temperature *Quantity `json:"temperature,omitempty"` // how warm what it is done to is
	Place       string    `json:"place,omitempty"`       // one of the StepPlace constants
}

// Piece is the size of the pieces put into the jar.
type Piece struct {
	Length    *Quantity `json:"length,omitempty"`
	Thickness *Quantity `json:"thickness,omitempty"` // slice thickness, or diameter of a whole round piece
}

// Jar is either an id of the jar catalog or a jar described by its own measures.
type Jar struct {
	ID             string
	Capacity       *Quantity
	InteriorHeight *Quantity
	Mouth          *Quantity
}

// Process is what is done to the filled, closed jars.
type Process struct {
	Method        string    `json:"method,omitempty"` // one of the Method constants
	Time          *Quantity `json:"time,omitempty"`
	Temperature   *Quantity `json:"temperature,omitempty"` // of the water; only read for low_temperature
	WaterOverLids *Quantity `json:"water_over_lids,omitempty"`
}

// Temperatures is how warm the jar, what goes into it and the water of the canner are when they meet.
type Temperatures struct {
	Jar    *Quantity `json:"jar,omitempty"`    // the empty jar as it is filled
	Brine  *Quantity `json:"brine,omitempty"`  // the liquid, or the hot food, that is filled in
	Canner *Quantity `json:"canner,omitempty"` // the water as the jars go in
}

// Kitchen is where the jars are processed.
type Kitchen struct {
	Elevation             *Quantity `json:"elevation,omitempty"`
	WaterAlkalinityMgPerL *float64  `json:"water_alkalinity_mg_per_l,omitempty"` // as calcium carbonate, from the water works
}

// Assume holds facts that the caller vouches for and the recipe does not say; each is repeated in the report.
type Assume struct {
	VinegarAcidityPercent *float64  `json:"vinegar_acidity_percent,omitempty"`
	BottledAcids          *bool     `json:"bottled_acids,omitempty"`
	SaltKind              string    `json:"salt_kind,omitempty"`
	WaterOverLids         *Quantity `json:"water_over_lids,omitempty"`
}

// Values of Recipe.Kind.
const (
	KindBrined    = "brined"    // pieces under an acid brine or syrup
	KindRelish    = "relish"    // cut small and cooked together
	KindSauce     = "sauce"     // salsa, ketchup, juice, crushed tomatoes: poured hot
	KindFruit     = "fruit"     // fruit in syrup or vinegar, chutney, butter
	KindFermented = "fermented" // soured in salt brine
	KindFresh     = "fresh"     // no heat
)

// Values of Recipe.Keep.
const (
	KeepShelf        = "shelf"
	KeepRefrigerator = "refrigerator"
)

// Values of Recipe.Pack.
const (
	PackRaw  = "raw"  // raw food, boiling liquid poured over
	PackHot  = "hot"  // food heated in the liquid, filled hot
	PackCold = "cold" // raw food under cold liquid
)

// Values of Recipe.JarPreparation.
const (
	JarsSterilized = "sterilized" // boiled under water for the time the elevation asks for
	JarsHot        = "hot"        // washed and kept hot
	JarsClean      = "clean"      // washed only
)

// Values of Step.Place.
const (
	StepPlaceRoom         = "room"
	StepPlaceCellar       = "cellar"
	StepPlaceRefrigerator = "refrigerator"
	StepPlaceFreezer      = "freezer"
)

// StepFerment and StepTrimBlossom are the names of steps that rules ask for by name.
const (
	StepFerment     = "ferment"
	StepTrimBlossom = "trim_blossom"
)

// Values of Ingredient.Per.
const (
	PerBatch = "batch"
	PerJar   = "jar"
)

// Values of Ingredient.SaltKind.
const (
	SaltCanning       = "canning" // canning or pickling salt
	SaltTable         = "table"
	SaltKosherFlake   = "kosher_flake"
	SaltSeaFine       = "sea_fine"
	SaltSeaCoarse     = "sea_coarse"
	SaltReducedSodium = "reduced_sodium"
)

// Values of Process.Method.
const (
	MethodBoilingWater   = "boiling_water"
	MethodSteam          = "steam" // atmospheric steam canner
	MethodLowTemperature = "low_temperature"
	MethodPressure       = "pressure"
	MethodMulticooker    = "electric_multicooker"
	MethodOpenKettle     = "open_kettle"
	MethodOven           = "oven"
	MethodMicrowave      = "microwave"
	MethodDishwasher     = "dishwasher"
	MethodCanningPowder  = "canning_powder"
	MethodNone           = "none"
)
