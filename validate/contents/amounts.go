package contents

import (
	"strings"

	"jarwright/validate/acidity"
	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/headspace"
	"jarwright/validate/measure"
	"jarwright/validate/table"
)

// filling holds the figures by which foods and liquids fill jars.
var filling = table.MustFigures("headspace/packing.csv")

// Food is one food with the figures it is reckoned with.
type Food struct {
	Name   string
	Kg     float64
	Buffer acidity.BufferFigure
	PH     acidity.Band
}

// liquid is what is poured, and what is dissolved in it.
type liquid struct {
	acids                          acidity.Acids // mol
	milliliters                    float64       // vinegar, juice to acidify with, and water
	waterML                        float64       // of them water
	waterG, aceticG                float64       // of all that is poured, juices of food among it
	saltG, sugarG, calciumG, limeG float64       // dissolved, in grams
}

// times is the liquid for as many jars.
func (l liquid) times(factor float64) liquid {
	for acid := range l.acids {
		l.acids[acid] *= factor
	}
	return liquid{
		l.acids, l.milliliters * factor, l.waterML * factor, l.waterG * factor, l.aceticG * factor,
		l.saltG * factor, l.sugarG * factor, l.calciumG * factor, l.limeG * factor,
	}
}

func (l liquid) plus(o liquid) liquid {
	for acid := range l.acids {
		l.acids[acid] += o.acids[acid]
	}
	return liquid{
		l.acids, l.milliliters + o.milliliters, l.waterML + o.waterML, l.waterG + o.waterG, l.aceticG + o.aceticG,
		l.saltG + o.saltG, l.sugarG + o.sugarG, l.calciumG + o.calciumG, l.limeG + o.limeG,
	}
}

// brine is the liquid as a solution, and its volume in mL at room temperature; 0 when there is no water in it or it is stronger
// than the tables of densities go.
func (l liquid) brine() (headspace.Brine, float64) {
	whole := l.waterG + l.saltG + l.sugarG + l.aceticG
	b := headspace.Brine{SaltPercent: 100 * l.saltG / whole, SugarPercent: 100 * l.sugarG / whole, AceticPercent: 100 * l.aceticG / whole}
	density, err := b.Density(filling.Value("room"))
	if err != nil {
		return headspace.Brine{}, 0
	}
	return b, whole / density * 1000
}

// amounts is a recipe, line by line added up. What is put into each jar is kept apart from what goes into the pot, because
// poured liquid may stay in the pot.
type amounts struct {
	pot, perJar liquid
	oilML       float64

	foods                        []Food // as the chemistry sees them, juices of food among them
	foodKg, foodHighKg, lowKg    float64
	seasoningKg                  float64         // dried spice, fresh herb and the like of the batch, as they take up acid; no water to speak of
	unreckoned                   string          // why the chemistry cannot be reckoned; empty when it can
	tissueLowG, tissueHighG      float64         // foods that take room as pieces or pulp, as weighed
	unweighed                    bool            // the amount of a food or of a liquid cannot be told
	coarsest                     composition.Cut // of the heaviest food
	heaviestG                    float64
	poured                       bool // there is more to pour than juice to acidify with
	openEnded                    bool // a liquid is poured as far as it is needed
	covers                       bool // water or hot juice fills the jars up
	vinegarPercent               float64
	weakestAcetic, weakestCitric float64 // factors on the label
	strongCitric                 float64
}

// addUp reads every line that ends up in the jars.
func addUp(in *Input) *amounts {
	a := &amounts{weakestAcetic: 1 - in.Chemistry.MustValue("tolerance.vinegar_label"), weakestCitric: 1, strongCitric: 1}
	for i := range in.Composition.Lines {
		if line := &in.Composition.Lines[i]; line.Counts() {
			a.addToJar(in, line)
			a.addToChemistry(in, line)
		}
	}
	if a.foodKg == 0 {
		a.cannotReckon("there is no food in the jar")
	}
	return a
}

// cannotReckon keeps the first reason why there is no chemistry.
func (a *amounts) cannotReckon(reason string) {
	if a.unreckoned == "" {
		a.unreckoned = reason
	}
}

// jarsOf is how many jars a line is for: the jars of the recipe where it is measured by the jar, else 1.
func jarsOf(in *Input, line *composition.Line) (float64, bool) {
	switch {
	case !line.PerJar:
		return 1, true
	case in.Composition.Jars == nil:
		return 0, false
	}
	return *in.Composition.Jars, true
}

// isLiquid tells what is poured from what is packed.
func isLiquid(line *composition.Line) bool {
	switch line.Class {
	case catalog.Water:
		return true
	case catalog.Acid:
		return line.Item.ID != "citric-acid"
	}
	return line.Item != nil && (strings.HasSuffix(line.Item.ID, "-juice") || strings.HasSuffix(line.Item.Family, "-juice"))
}

// addToJar adds a line to what takes room: foods by their weight, liquids and what is dissolved in them by their volume.
func (a *amounts) addToJar(in *Input, line *composition.Line) {
	poured := isLiquid(line)
	if line.State != composition.Given {
		a.openEnded = a.openEnded || poured
		a.unweighed = a.unweighed || !poured && line.IsFood()
		return
	}
	count, counted := jarsOf(in, line)
	if !counted {
		a.unweighed = a.unweighed || poured || line.IsFood()
		return
	}
	switch {
	case poured:
		a.addLiquid(in, line)
	case line.IsFood():
		a.addTissue(line, count)
	case line.Class == catalog.Fat && line.VolumeKnown:
		a.oilML += line.Milliliters * count
	case line.WeightKnown:
		a.dissolve(line)
	}
}

// addTissue adds a food that takes room as it was weighed. The cut of the heaviest food is that of the recipe.
func (a *amounts) addTissue(line *composition.Line, count float64) {
	if !line.WeightKnown {
		a.unweighed = true
		return
	}
	a.tissueLowG += line.GramsLow * count
	a.tissueHighG += line.GramsHigh * count
	if high := line.GramsHigh * count; high > a.heaviestG {
		a.heaviestG, a.coarsest = high, line.Form.Coarsest
	}
}

// dissolve adds what dissolves in a liquid: salt, sugar and what makes food firm. Everything else is seasoning.
func (a *amounts) dissolve(line *composition.Line) {
	into := a.into(line)
	switch line.Class {
	case catalog.Salt:
		into.saltG += line.Grams()
	case catalog.Sugar:
		into.sugarG += line.Grams() * line.Flavoring.Sugar
		into.waterG += line.Grams() * line.Flavoring.Water
	case catalog.Firming:
		switch line.Item.ID {
		case "calcium-chloride":
			into.calciumG += line.Grams()
		case "pickling-lime":
			into.limeG += line.Grams()
		}
	}
}

// into is where what a line pours or dissolves goes: into each jar or into the pot.
func (a *amounts) into(line *composition.Line) *liquid {
	if line.PerJar {
		return &a.perJar
	}
	return &a.pot
}

// addLiquid adds the mass of what is poured. The label of a vinegar counts grams in 100 mL.
func (a *amounts) addLiquid(in *Input, line *composition.Line) {
	if !line.VolumeKnown {
		a.unweighed = true
		return
	}
	a.poured = a.poured || line.Class != catalog.Acid || line.Item.Family == "vinegar"
	percent := 0.0
	if line.Item.Family == "vinegar" {
		percent = strength(in, line)
	}
	density, err := headspace.Brine{AceticPercent: percent}.Density(filling.Value("room"))
	if err != nil {
		density, _ = headspace.Brine{}.Density(filling.Value("room"))
	}
	aceticG := line.Milliliters * percent / 100
	into := a.into(line)
	into.aceticG += aceticG
	into.waterG += line.Milliliters*density/1000 - aceticG
}

// strength is the acidity of a vinegar in percent: the one given, else what tested recipes ask for.
func strength(in *Input, line *composition.Line) float64 {
	if line.Acidity != nil {
		return *line.Acidity
	}
	return in.Tables.MustLimit("vinegar-acidity-min").Value
}

// addToChemistry adds a line to what the chemistry sees.
func (a *amounts) addToChemistry(in *Input, line *composition.Line) {
	food := line.Class == catalog.LowAcid || line.Class == catalog.AcidFood
	count, counted := jarsOf(in, line)
	if !counted {
		if food || line.Class == catalog.Acid {
			a.cannotReckon("the number of jars is not given")
		}
		return
	}
	if line.State != composition.Given {
		switch {
		case line.Class == catalog.Water || line.Item != nil && line.Form.Has("hot") && line.Class == catalog.AcidFood:
			a.covers = true
		case food || line.Class == catalog.Acid || line.Class == catalog.Egg:
			a.cannotReckon("the amount of " + line.Name + " is not given")
		}
		return
	}
	switch line.Class {
	case catalog.LowAcid, catalog.AcidFood, catalog.Egg:
		a.addFood(in, line, count)
	case catalog.Acid:
		a.addAcid(in, line)
	case catalog.Seasoning, catalog.FreshHerb, catalog.Sugar, catalog.Firming:
		a.addFlavoring(in, line, count)
	case catalog.Water:
		if line.VolumeKnown {
			into := a.into(line)
			into.milliliters += line.Milliliters
			into.waterML += line.Milliliters
		}
	}
}

// addFlavoring adds what seasons: spice takes up acid, and what is wet thins it. A dried vegetable takes up as much as it did fresh, which
// is that of as much less spice.
func (a *amounts) addFlavoring(in *Input, line *composition.Line, count float64) {
	if !line.WeightKnown {
		return
	}
	if water := line.Grams() * line.Flavoring.Water; water > 0 {
		a.into(line).milliliters += water // a gram is a milliliter
	}
	switch line.Flavoring.Kind {
	case catalog.WholeSpice, catalog.GroundSpice, catalog.FreshLeaf, catalog.PreparedOnly:
		if line.Class != catalog.Firming || line.Flavoring.Kind == catalog.FreshLeaf {
			a.seasoningKg += line.Grams() * count / 1e3
		}
	case catalog.DriedVegetable:
		a.seasoningKg += line.FreshGrams() / in.Tables.Seasoned.Factor * count / 1e3
	}
}

// addFood adds a food that takes up acid.
func (a *amounts) addFood(in *Input, line *composition.Line, count float64) {
	if !line.WeightKnown {
		a.cannotReckon("no published weight is known for " + line.Name + " in " + line.Unit.Name)
		return
	}
	id, family := "", ""
	if line.Item != nil {
		id, family = line.Item.ID, line.Item.Family
	}
	food := Food{
		Name: line.Name, Kg: line.Grams() * max(line.FreshFrom, 1) * count / 1e3,
		Buffer: in.Chemistry.Buffer(id, family, line.Class), PH: in.Chemistry.NaturalPH(line.Item, line.Class),
	}
	if food.Buffer.NaturalPH != nil {
		food.PH = *food.Buffer.NaturalPH
	}
	a.foods = append(a.foods, food)
	a.foodKg += food.Kg
	a.foodHighKg += line.FreshGrams() * count / 1e3
	if line.Class != catalog.AcidFood {
		a.lowKg += food.Kg
	}
}

// addAcid adds an acid: vinegar by its strength, dry acids by weight, lemon and lime juice by what bottled juice holds.
func (a *amounts) addAcid(in *Input, line *composition.Line) {
	into, chemistry := a.into(line), in.Chemistry
	switch {
	case line.Item.ID == "citric-acid" || line.Item.ID == "ascorbic-acid":
		if !line.WeightKnown {
			a.cannotReckon("no published weight is known for " + line.Name + " in " + line.Unit.Name)
			return
		}
		acid := acidity.Citric
		if line.Item.ID == "ascorbic-acid" {
			acid = acidity.Ascorbic
		}
		into.acids[acid] += chemistry.Moles(acid, line.Grams())
		return
	case !line.VolumeKnown:
		a.cannotReckon("the amount of " + line.Name + " is neither a volume nor a weight")
		return
	case line.Item.Family == "vinegar":
		percent := strength(in, line)
		if line.Acidity == nil {
			a.weakestAcetic = min(a.weakestAcetic, chemistry.Packing("vinegar.legal_min")/percent)
		}
		into.acids[acidity.Acetic] += chemistry.VinegarMoles(line.Milliliters, percent)
		a.vinegarPercent = percent
	default:
		usual := chemistry.MustValue("lemon_juice.bottled_high")
		weakest := chemistry.MustValue("lemon_juice.bottled_low") / usual
		if line.Bottled == nil || !*line.Bottled {
			weakest *= chemistry.Packing("juice.fresh_low")
		}
		into.acids[acidity.Citric] += chemistry.Moles(acidity.Citric, line.Milliliters/1e3*usual)
		a.weakestCitric = min(a.weakestCitric, weakest)
		a.strongCitric = max(a.strongCitric, chemistry.MustValue("lemon_juice.claimed")/usual)
	}
	into.milliliters += line.Milliliters
}

// depthOf is the headspace of the jar that the chemistry fills: the one given, else the printed one, else the usual.
func depthOf(in *Input) measure.Length {
	if si, given := in.si(in.Request.Recipe.Headspace); given {
		return measure.Length(si)
	}
	if style := in.Match.Pack.Style; style != nil && style.HeadspaceIn > 0 {
		return measure.Length(style.HeadspaceIn) * measure.Inch
	}
	return measure.Length(in.Chemistry.Packing("headspace.usual")) * measure.Inch
}
