// Package composition turns the lines of a recipe into catalog items with their amounts: what goes into the jar, what
// is poured away, what is not known. It looks things up and converts; it does not judge.
package composition

import (
	"strconv"
	"strings"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/measure"
	"jarwright/validate/plaintext"
	"jarwright/validate/words"
)

// State says what is known of an amount.
type State int

// Values of State.
const (
	Missing  State = iota // not written
	ToCover               // as much as covers the food
	AsNeeded              // as much as is needed
	Given                 // a number; 0 means that the line is not used
)

// Line is one ingredient line, read against the catalog.
type Line struct {
	At        string // JSON Pointer of the line
	Written   *document.Ingredient
	Name      string        // as the cook wrote it, fit to stand in a sentence
	Item      *catalog.Item // nil: the catalog does not know it
	Class     catalog.Class // an unknown item counts as low-acid food
	InJar     bool          // false: poured away
	Pouring   Pouring       // what becomes of a line that is marked as poured away
	PerJar    bool
	State     State
	Value     float64
	Unit      measure.Unit
	Form      Form
	SaltKind  string
	Bottled   *bool
	Thinned   bool     // of an acid: the form says that water was added or that it was used before
	Acidity   *float64 // percent, of vinegar; where words and member give one, the less
	InWords   bool     // the acidity is that of the words
	Kind      VinegarKind
	Flavoring catalog.Flavoring // what it is made of that seasons, sweetens or firms; no Kind: it does none of that
	FreshFrom float64           // of a dried vegetable: grams that dry to one; 0: it is not dried

	fatDensity float64  // g/mL of a fat without a published weight
	Assumed    []string // names of members taken from the request's assume
	LengthMM   float64  // longest piece, by the piece member or the words of the form; 0: not said
	BreadthMM  float64  // slice thickness or diameter by the piece member alone; 0: not said

	// What the amount comes to, for the batch or for one jar as it is written; nothing where it is not a number.
	WeightKnown         bool // a weight was written, or a published one turns the amount into grams
	GramsLow, GramsHigh float64
	VolumeKnown         bool // a volume was written, or a published weight turns the amount into milliliters
	Milliliters         float64
}

// Grams is the middle of what the amount may weigh, in grams; 0 where the weight is not known.
func (l *Line) Grams() float64 { return (l.GramsLow + l.GramsHigh) / 2 }

// VinegarKind says where a vinegar comes from.
type VinegarKind string

// Values of VinegarKind.
const (
	NotVinegar      VinegarKind = ""
	PlainVinegar    VinegarKind = "vinegar"    // white distilled, cider, malt, or not said which
	HomemadeVinegar VinegarKind = "homemade"   // strength not controlled
	OtherVinegar    VinegarKind = "other kind" // wine, rice, balsamic, cleaning, diluted
)

// Used reports whether the line puts anything into the batch.
func (l *Line) Used() bool { return l.State != Given || l.Value > 0 }

// Counts reports whether the line ends up in the jar.
func (l *Line) Counts() bool { return l.InJar && l.Used() }

// IsFood reports whether the line is produce, counted or not.
func (l *Line) IsFood() bool {
	switch l.Class {
	case catalog.LowAcid, catalog.AcidFood, catalog.Egg:
		return true
	}
	return false
}

// Composition is a recipe read against the catalog.
type Composition struct {
	Lines []Line
	Jar   *Jar     // nil: the recipe does not say which jar
	Jars  *float64 // how many; nil: not said
}

// Jar is the recipe's jar, from the catalog or described by the cook.
type Jar struct {
	ID         string // empty for a jar of one's own
	Name       string
	CapacityML float64
	Known      *catalog.Jar // nil for a jar of one's own
}

// Read reads a recipe against the catalog. Jar ids were checked when the request was taken in; a jar the catalog
// does not know is treated as not said.
func Read(request *document.Request, tables *catalog.Tables, scale *Scale) Composition {
	recipe := &request.Recipe
	c := Composition{Lines: make([]Line, len(recipe.Ingredients)), Jars: recipe.Jars, Jar: readJar(recipe.Jar, tables, scale.units)}
	for i := range recipe.Ingredients {
		c.Lines[i] = readLine(i, &recipe.Ingredients[i], request.Assume, tables, scale.units)
		c.Lines[i].weigh(scale)
	}
	return c
}

func readJar(written *document.Jar, tables *catalog.Tables, units *measure.Units) *Jar {
	if written == nil {
		return nil
	}
	if written.ID != "" {
		jar, ok := tables.Jar(written.ID)
		if !ok {
			return nil
		}
		return &Jar{ID: jar.ID, Name: jar.Name, CapacityML: jar.CapacityML, Known: jar}
	}
	if written.Capacity == nil || written.Capacity.Value == nil {
		return nil
	}
	unit, ok := units.Lookup(written.Capacity.Unit)
	if !ok {
		return nil
	}
	return &Jar{Name: "own jar", CapacityML: Milliliters(unit, *written.Capacity.Value)}
}

func readLine(index int, written *document.Ingredient, assume *document.Assume, tables *catalog.Tables, units *measure.Units) Line {
	line := Line{
		At: "/recipe/ingredients/" + strconv.Itoa(index), Written: written, Name: plaintext.Line(written.Item), Class: catalog.LowAcid,
		InJar: true, PerJar: written.Per == document.PerJar,
		Form: ReadForm(written.Form), SaltKind: written.SaltKind, Bottled: written.Bottled, Acidity: written.AcidityPercent,
	}
	line.resolve(tables)
	if written.Drained != nil && *written.Drained {
		line.mark()
	}
	line.readAmount(written.Amount, units)
	line.readFlavoring(tables)
	line.readSize(written.Piece, units)
	switch {
	case line.Class == catalog.Acid && line.Item.Family == "vinegar":
		line.readAcid()
		line.readVinegar(assume)
	case line.Class == catalog.Acid:
		line.readAcid()
		line.readBottled(assume)
	case line.Class == catalog.Salt:
		line.readSaltKind(assume)
	}
	return line
}

// resolve finds the item of a line in the catalog, and what its name says besides: fresh juice, flaked salt.
func (l *Line) resolve(tables *catalog.Tables) {
	found, ok := tables.Resolve(l.Written.Item)
	if !ok {
		return
	}
	item := tables.FreshOf(found.Item, l.Written.Item, l.Written.Form)
	l.Item, l.Class = item, item.Class
	if l.Bottled == nil {
		l.Bottled = found.Bottled
	}
	if l.SaltKind == "" {
		l.SaltKind = found.SaltKind
	}
	if found.Form != "" {
		l.Form = ReadForm(l.Written.Form + " " + found.Form)
	}
}

// readAcid reads from the words of an acid whether it is poured away, where no flag says so, and whether it was thinned.
func (l *Line) readAcid() {
	if l.Written.Drained == nil && (l.Form.Has("drained", "discarded") || l.Form.pouredOff()) {
		l.mark()
	}
	l.Thinned = l.Form.thinned()
}

// readBottled reads whether an acid other than vinegar was bought bottled. Of two words that contradict each other the worse counts.
func (l *Line) readBottled(assume *document.Assume) {
	switch {
	case l.Form.says("fresh", "freshly", "squeezed"):
		l.Bottled = new(bool)
	case l.Bottled != nil:
	case l.Form.Has("bottled"):
		l.Bottled = new(true)
	case assume != nil && assume.BottledAcids != nil:
		l.Bottled, l.Assumed = assume.BottledAcids, append(l.Assumed, "bottled")
	}
}

// readSaltKind reads the kind of a salt where neither the member nor the name gives it.
func (l *Line) readSaltKind(assume *document.Assume) {
	if l.SaltKind != "" {
		return
	}
	l.SaltKind = saltKindOf(l.Form)
	if l.SaltKind == "" && assume != nil && assume.SaltKind != "" {
		l.SaltKind, l.Assumed = assume.SaltKind, append(l.Assumed, "salt_kind")
	}
}

func (l *Line) readAmount(written *document.Quantity, units *measure.Units) {
	if written == nil {
		return
	}
	unit, ok := units.Lookup(written.Unit)
	if !ok {
		return
	}
	l.Unit = unit
	switch {
	case written.Unit == "to_cover":
		l.State = ToCover
	case written.Unit == "as_needed":
		l.State = AsNeeded
	case written.Value != nil:
		l.State, l.Value = Given, *written.Value
	}
}

// weigh turns the amount into grams and milliliters. Salt goes by its kind, everything else by its form.
func (l *Line) weigh(scale *Scale) {
	if l.State != Given {
		return
	}
	if l.Class == catalog.Salt {
		l.GramsLow, l.GramsHigh, l.WeightKnown = scale.GramsOfKind(l.Item, l.SaltKind, l.Value, l.Unit)
	} else {
		l.GramsLow, l.GramsHigh, l.WeightKnown = scale.Grams(l.Item, l.Form, l.Value, l.Unit)
	}
	if !l.WeightKnown && l.Unit.Dimension == measure.DimensionVolume && l.Flavoring.Density > 0 {
		grams := Milliliters(l.Unit, l.Value) * l.Flavoring.Density
		l.GramsLow, l.GramsHigh, l.WeightKnown = grams, grams, true
	}
	if l.Item != nil || l.Unit.Dimension == measure.DimensionVolume {
		l.Milliliters, l.VolumeKnown = scale.MillilitersOf(l.Item, l.Value, l.Unit)
	}
}

// Reweigh sets another value in the unit of the line, of which an amount is given, and turns it into grams and milliliters.
func (l *Line) Reweigh(value float64, scale *Scale) {
	l.Value = value
	l.GramsLow, l.GramsHigh, l.WeightKnown, l.Milliliters, l.VolumeKnown = 0, 0, false, 0, false
	l.weigh(scale)
}

// readSize takes the sizes of the pieces from the piece member and from the words of the form; where both say something
// the larger counts.
func (l *Line) readSize(piece *document.Piece, units *measure.Units) {
	l.LengthMM = l.Form.LengthMM
	if piece == nil {
		return
	}
	l.LengthMM = max(l.LengthMM, millimeters(piece.Length, units))
	l.BreadthMM = millimeters(piece.Thickness, units)
}

// ThicknessMM is the thickness of cut pieces, 0 when it is not said.
func (l *Line) ThicknessMM() float64 { return max(l.Form.ThicknessMM, l.BreadthMM) }

// DiameterMM is the diameter of whole pieces, 0 when it is not said.
func (l *Line) DiameterMM() float64 { return max(l.Form.DiameterMM, l.BreadthMM) }

func millimeters(q *document.Quantity, units *measure.Units) float64 {
	if q == nil || q.Value == nil {
		return 0
	}
	unit, ok := units.Lookup(q.Unit)
	if !ok {
		return 0
	}
	return unit.SI(*q.Value) * 1e3
}

func (l *Line) readVinegar(assume *document.Assume) {
	l.Kind = PlainVinegar
	switch l.Item.ID {
	case "vinegar", "white-vinegar", "cider-vinegar", "malt-vinegar":
	case "homemade-vinegar":
		l.Kind = HomemadeVinegar
	default:
		l.Kind = OtherVinegar
	}
	text := strings.ToLower(l.Written.Form)
	if strings.Contains(text, "homemade") || strings.Contains(text, "home-made") || strings.Contains(text, "home made") {
		l.Kind = HomemadeVinegar
	}
	if l.Bottled == nil && l.Form.Has("bottled", "bought") {
		l.Bottled = new(true)
	}
	if percent, said := words.Percent(l.Written.Form); said && (l.Acidity == nil || percent < *l.Acidity) {
		l.Acidity, l.InWords = &percent, true
	}
	if l.Kind == PlainVinegar && l.Form.Has("wine", "rice", "balsamic", "cleaning") {
		l.Kind = OtherVinegar
	}
	if assume == nil {
		return
	}
	if l.Acidity == nil && assume.VinegarAcidityPercent != nil {
		l.Acidity, l.Assumed = assume.VinegarAcidityPercent, append(l.Assumed, "acidity_percent")
	}
	if l.Bottled == nil && assume.BottledAcids != nil {
		l.Bottled, l.Assumed = assume.BottledAcids, append(l.Assumed, "bottled")
	}
}

// saltKindOf reads the kind of salt from the words of its form.
func saltKindOf(form Form) string {
	switch {
	case form.Has("canning", "pickling"):
		return document.SaltCanning
	case form.Has("kosher", "flake", "flaked"):
		return document.SaltKosherFlake
	case form.Has("reduced", "lite"):
		return document.SaltReducedSodium
	case form.Has("table", "iodised", "iodized"):
		return document.SaltTable
	case form.Has("sea") && form.Has("coarse"):
		return document.SaltSeaCoarse
	case form.Has("sea"):
		return document.SaltSeaFine
	}
	return ""
}
