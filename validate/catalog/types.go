// Package catalog holds the figures that other people measured, tested and printed: tested recipes, process times,
// weights of household measures, natural pH, jars, published changes, and the bibliography they come from. The tables
// are the CSV and JSON files of package table, each row with its source; here they get types and are held to each other. Nothing
// here judges a recipe.
package catalog

// Verified says how far a figure can be trusted.
type Verified string

// Values of Verified. A recalled figure is marked "from memory" wherever it is shown.
const (
	Read     Verified = "read"     // read in a copy of the named document
	Computed Verified = "computed" // output of a named reference library
	Derived  Verified = "derived"  // arithmetic on figures that were read
	Recalled Verified = "recalled" // from memory, not found in print
)

// Source is one document of the bibliography.
type Source struct {
	ID        string   `json:"id"`
	Title     string   `json:"title"`
	Publisher string   `json:"publisher"`
	Year      string   `json:"year,omitempty"`
	Kind      string   `json:"kind"` // government, extension, standard, research, data, trade_practice, memory
	URL       string   `json:"url,omitempty"`
	Note      string   `json:"note,omitempty"`
	Verified  Verified `json:"verified"`
}

// Citation points into a Source.
type Citation struct {
	Source   string   `json:"id"`
	Locator  string   `json:"locator,omitempty"`
	Verified Verified `json:"verified,omitempty"`
}

// Class says what an ingredient does to the safety of a jar.
type Class string

// Values of Class.
const (
	LowAcid   Class = "low_acid"  // natural pH above 4.6, or counted so by its tested recipe: must be acidified
	AcidFood  Class = "acid_food" // fruit, tomato and their juices: acid of themselves, or nearly
	Acid      Class = "acid"      // vinegar, bottled juices, citric acid
	Water     Class = "water"
	Salt      Class = "salt"
	Sugar     Class = "sugar"
	Sweetener Class = "sweetener"  // sweetness without sugar
	Seasoning Class = "seasoning"  // dried spice and herb, prepared condiment
	FreshHerb Class = "fresh_herb" // fresh leaves: low in acid, small in amount
	Fat       Class = "fat"
	Thickener Class = "thickener"
	Firming   Class = "firming" // lime, alum, calcium chloride, grape leaf
	Egg       Class = "egg"
	Ice       Class = "ice"
)

// Item is one food or ingredient of the catalog.
type Item struct {
	ID      string    `json:"id"` // kebab-case singular
	Name    string    `json:"name"`
	Class   Class     `json:"class"`
	Family  string    `json:"family"` // foods that are one kind of thing: onion, sweet-pepper, hot-pepper, tomato, ...
	Aliases []string  `json:"aliases"`
	Note    string    `json:"note,omitempty"`
	PH      []PHRange `json:"ph"`      // natural pH; empty where none is published
	Weights []Weight  `json:"weights"` // grams per household measure
}

// PHRange is a published natural pH.
type PHRange struct {
	Form     string   `json:"form,omitempty"`
	Low      float64  `json:"low"`
	High     float64  `json:"high"`
	Citation Citation `json:"source"`
}

// Weight is grams of an item per household measure. Where a range is published GramsMax closes it, otherwise
// GramsMax equals Grams. Unit is a code of measure.Units (cup, tsp, tbsp, each, clove, slice, ...).
type Weight struct {
	Form     string   `json:"form,omitempty"`
	Unit     string   `json:"unit"`
	Grams    float64  `json:"grams"`
	GramsMax float64  `json:"grams_max"`
	Citation Citation `json:"source"`
	Note     string   `json:"note,omitempty"`
}

// Jar is a size of jar. Lengths are inside measures.
type Jar struct {
	ID               string   `json:"id"`
	Name             string   `json:"name"`
	Aliases          []string `json:"aliases"`
	CapacityML       float64  `json:"capacity_ml"`
	MouthMM          float64  `json:"mouth_mm"`
	InteriorHeightMM float64  `json:"interior_height_mm"`
	CountsAs         string   `json:"counts_as"` // the jar id of the time tables whose minutes it takes
	Capacity         Citation `json:"capacity_source"`
	Shape            Citation `json:"shape_source"`
	Note             string   `json:"note,omitempty"`
}

// Band is one elevation band of a process table, as printed. FromFt is exclusive except for the lowest band, ToFt is
// inclusive: exactly 1,000 ft belongs to 0 to 1,000 ft. ToFt is 0 in the open-ended top band.
type Band struct {
	FromFt  float64 `json:"from_ft"`
	ToFt    float64 `json:"to_ft,omitempty"`
	Minutes float64 `json:"minutes"`
}

// Schedule is one row of a published boiling-water time table.
type Schedule struct {
	ID             string   `json:"id"`
	Product        string   `json:"product"`
	Form           string   `json:"form,omitempty"`
	Pack           string   `json:"pack"`                   // raw or hot
	Jar            string   `json:"jar"`                    // id of Jar, or "any" for the pressure-only rows
	HeadspaceIn    float64  `json:"headspace_in,omitempty"` // 0: not printed
	Bands          []Band   `json:"bands"`                  // empty: no boiling-water process is published
	Unprocessed    string   `json:"unprocessed,omitempty"`  // "pressure only" or "not processed"
	SterileJars    bool     `json:"sterile_jars"`
	LowTemperature bool     `json:"low_temperature_allowed"`
	SupersededBy   string   `json:"superseded_by,omitempty"`
	Note           string   `json:"note,omitempty"`
	Citation       Citation `json:"source"`

	elevationTolerance float64 // fraction of a boundary, see Band
}

// TestedRecipe is one published recipe, as facts.
type TestedRecipe struct {
	ID               string             `json:"id"`
	Title            string             `json:"title"`
	VariantOf        string             `json:"variant_of,omitempty"`
	Kind             string             `json:"kind"`   // brined, relish, sauce, fruit, fermented
	Keep             string             `json:"keep"`   // shelf, refrigerator
	Canner           string             `json:"canner"` // boiling_water, none, pressure_only
	Tags             []string           `json:"tags"`
	Complete         bool               `json:"complete"` // false: not every ingredient was found in the copies read
	Ingredients      []TestedIngredient `json:"ingredients"`
	Packs            []TestedPack       `json:"packs"`
	CookedDown       *CookedDown        `json:"cooked_down,omitempty"`
	Yield            Yield              `json:"yield"`
	CureWeeks        [2]float64         `json:"cure_weeks"`          // zero: none printed
	Refrigerator     [2]float64         `json:"refrigerator_months"` // how long it keeps there; zero: none printed
	RefrigeratorNote string             `json:"refrigerator_note,omitempty"`
	Preparation      string             `json:"preparation,omitempty"` // blanching, cooking, soaking, in our own words
	BrineNote        string             `json:"brine_note,omitempty"`
	LowAcidNote      string             `json:"low_acid_note,omitempty"` // printed bound on the low-acid foods together
	Soaks            []Soak             `json:"soaks,omitempty"`
	Ferment          *Ferment           `json:"ferment,omitempty"`
	Steps            []PrintedStep      `json:"steps,omitempty"` // what it demands on the way, in order
	Warnings         []string           `json:"warnings"`
	Doubts           []string           `json:"doubts"`
	Doubt            string             `json:"doubt,omitempty"` // why its process is not sure enough to make a jar fit; empty: it is
	Citation         Citation           `json:"source"`
}

// TestedIngredient is one line of a tested recipe. Amount is nil for to_cover, as_needed and for amounts lost in the
// copy read. AmountMax closes a printed range and otherwise equals Amount.
type TestedIngredient struct {
	Item           string   `json:"item"` // id of Item
	Form           string   `json:"form,omitempty"`
	Amount         *float64 `json:"amount"`
	AmountMax      *float64 `json:"amount_max"`
	Unit           string   `json:"unit"`
	Also           *Also    `json:"also,omitempty"` // the same amount another way; never added
	Per            string   `json:"per"`            // batch, jar, half-pint, pint, quart
	Optional       bool     `json:"optional"`
	AltGroup       string   `json:"alt_group,omitempty"` // use one line of the group
	Role           string   `json:"role"`                // low_acid, acid_food, acid, water, salt, sugar, seasoning, fat, thickener, firming, soak
	AcidityPercent *float64 `json:"acidity_percent,omitempty"`
	VinegarKind    string   `json:"vinegar_kind,omitempty"` // white, cider, any
	Bottled        bool     `json:"bottled"`
	GoesInto       string   `json:"goes_into"` // jar, partly, discarded
	Note           string   `json:"note,omitempty"`
	Doubt          string   `json:"doubt,omitempty"` // why a jar with it is not fit by this recipe; empty: it is printed for certain
}

// Also is a second printing of one amount.
type Also struct {
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
	Per   string  `json:"per,omitempty"`
	Small float64 `json:"small,omitempty"` // how many small pieces may stand in for the amount, where a change says so
}

// JarClass says what happens to the food between the knife and the lid, and so by what a jar of it is judged.
type JarClass string

// Values of JarClass.
const (
	JarPoured         JarClass = "poured"          // raw or blanched pieces, boiling liquid poured on
	JarHeatedShort    JarClass = "heated_short"    // pieces heated in their liquid, up to about ten minutes
	JarHeatedLong     JarClass = "heated_long"     // pieces simmered in it for twenty minutes or more, or left standing in it for hours
	JarCookedTogether JarClass = "cooked_together" // relish, salsa, sauce: what is in the pot is in the jar
	JarAcidPerJar     JarClass = "acid_per_jar"    // the acid is measured into each jar
	JarFruitInSyrup   JarClass = "fruit_in_syrup"  // fruit that is acid enough by itself
	JarFermented      JarClass = "fermented"
	JarNoLiquid       JarClass = "no_liquid" // in its own juice
)

// JarClasses lists every JarClass.
func JarClasses() []JarClass {
	return []JarClass{
		JarPoured, JarHeatedShort, JarHeatedLong, JarCookedTogether, JarAcidPerJar, JarFruitInSyrup, JarFermented, JarNoLiquid,
	}
}

// Pieces reports whether the class is of pieces under a liquid, which are judged by the jar and not by the pot.
func (c JarClass) Pieces() bool { return c == JarPoured || c == JarHeatedShort || c == JarHeatedLong }

// Heated reports whether the pieces take up acid in the pot.
func (c JarClass) Heated() bool { return c == JarHeatedShort || c == JarHeatedLong }

// Prepared is what is left of the food of a recipe, by weight, once it is trimmed, salted and cooked as printed: the least and the
// most. Zero where the class is not of pieces. The shares are from memory but for those that a recipe prints in two states; they
// say how much room there is in a jar, and never excuse food.
type Prepared [2]float64

// TestedPack is one way of filling that the recipe prints.
type TestedPack struct {
	Pack              string   `json:"pack"`
	JarClass          JarClass `json:"jar_class"`
	Prepared          Prepared `json:"prepared,omitzero"` // of pieces under a liquid only
	Jars              []string `json:"jars"`              // ids of Jar
	HeadspaceIn       float64  `json:"headspace_in"`
	SolidsHeadspaceIn float64  `json:"solids_headspace_in,omitempty"` // 0: not printed apart
	SterileJars       bool     `json:"sterile_jars"`
	LowTemperature    bool     `json:"low_temperature_allowed"`
	FillNote          string   `json:"fill_note,omitempty"`
	Schedules         []string `json:"schedules"` // ids of Schedule
}

// CookedDown says how far the recipe is boiled down. Fraction 0: boiled down, to no printed fraction.
type CookedDown struct {
	Fraction   float64 `json:"fraction,omitempty"`
	Minutes    float64 `json:"minutes,omitempty"`
	MinutesMax float64 `json:"minutes_max,omitempty"`
}

// Soak is one bath of the food before packing.
type Soak struct {
	What    string     `json:"what"`
	Salt    *Also      `json:"salt,omitempty"`
	Water   *Also      `json:"water,omitempty"`
	Hours   [2]float64 `json:"hours"`   // zero: not printed
	Minutes [2]float64 `json:"minutes"` // zero: not printed
	Drained bool       `json:"drained"`
	Rinsed  bool       `json:"rinsed"`
	Repeats int        `json:"repeats"`
	Note    string     `json:"note,omitempty"`
}

// Ferment is how a recipe that sours by itself is kept while it does. Temperatures are in degrees Fahrenheit as printed.
type Ferment struct {
	Conditions   []FermentCondition `json:"conditions"`
	TooWarmF     float64            `json:"too_warm_f,omitempty"`
	TooColdF     float64            `json:"too_cold_f,omitempty"`
	UnderBrineIn [2]float64         `json:"under_brine_in"` // depth of the food under the brine; zero: not printed
	Container    string             `json:"container,omitempty"`
}

// FermentCondition is one printed pair of temperature and time.
type FermentCondition struct {
	TemperatureF [2]float64 `json:"temperature_f"`
	Weeks        [2]float64 `json:"weeks"`
}

// Yield is the printed yield.
type Yield struct {
	Low  float64 `json:"low,omitempty"`
	High float64 `json:"high,omitempty"`
	Unit string  `json:"unit"`
	Note string  `json:"note,omitempty"`
}

// PressureProcess is one row of a pressure-canner table, kept only to say what a low-acid food would need instead.
type PressureProcess struct {
	Product     string   `json:"product"`
	Families    []string `json:"families"` // Item.Family of the foods it is for; empty for mixtures
	Form        string   `json:"form,omitempty"`
	Pack        string   `json:"pack"`
	Jar         string   `json:"jar"`
	Minutes     float64  `json:"minutes"`
	DialPSI     float64  `json:"dial_psi_to_2000ft,omitempty"`     // gauge pressure up to 2,000 ft; 0: not printed
	WeightedPSI float64  `json:"weighted_psi_to_1000ft,omitempty"` // weighted gauge up to 1,000 ft; 0: not printed
	Note        string   `json:"note,omitempty"`
	Citation    Citation `json:"source"`
}

// Limit is one published bound that a rule compares with, so that no rule holds a number of its own.
type Limit struct {
	ID       string   `json:"id"`
	Value    float64  `json:"value"`
	Unit     string   `json:"unit"`
	Meaning  string   `json:"meaning"`
	Citation Citation `json:"source"`
}
