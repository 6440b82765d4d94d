package acidity

import (
	"fmt"
	"math"
	"slices"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
	"jarwright/validate/headspace"
	"jarwright/validate/measure"
	"jarwright/validate/rule"
)

// contents is what is reckoned with: one jar where food stands under brine, else the whole batch, which has the same
// proportions as each of its jars.
type contents struct {
	bands   Bands
	portion Portion // what stands in the jar, or the batch
	brine   Portion // the liquid alone
	foods   []foodShare
	one     bool    // one jar, filled up with brine
	fillML  float64 // of that jar
	brineML float64 // in that jar
	madeML  float64 // brine that the recipe makes for one jar
	acidity float64 // percent, of the vinegar
	assumed []string
}

// foodShare is one food with the figures it is reckoned with.
type foodShare struct {
	name   string
	kg     float64
	figure BufferFigure
	pH     Band
}

// sums are the batch, line by line added up.
type sums struct {
	foods                       []foodShare
	foodKg, foodHighKg, lowKg   float64
	acids, jarAcids             Acids     // mol: in the liquid of the batch; put into each jar
	liquidML                    float64   // vinegar, juice and water of the batch
	jarLiquidML                 float64   // put into each jar
	batch, jar                  dissolved // in the liquid of the batch; put into each jar
	waterML                     float64
	covers                      bool // water or juice fills the jar up
	vinegarAcidity              float64
	weakestAcetic, strongAcetic float64 // factors on the label
	weakestCitric, strongCitric float64
	assumed                     []string
}

// dissolved are solids that go into solution, in grams.
type dissolved struct{ salt, sugar, calcium, lime float64 }

func (d dissolved) times(factor float64) dissolved {
	return dissolved{d.salt * factor, d.sugar * factor, d.calcium * factor, d.lime * factor}
}

func (d dissolved) plus(o dissolved) dissolved {
	return dissolved{d.salt + o.salt, d.sugar + o.sugar, d.calcium + o.calcium, d.lime + o.lime}
}

// read adds up a recipe. It reports why it cannot when an amount that matters is not known.
func (m *Model) read(f *rule.Facts) (sums, string) {
	label := m.mustConstant("tolerance.vinegar_label")
	s := sums{weakestAcetic: 1 - label, strongAcetic: 1 + label, weakestCitric: 1, strongCitric: 1}
	for i := range f.Composition.Lines {
		line := &f.Composition.Lines[i]
		if !line.Counts() {
			continue
		}
		if reason := m.addLine(f, &s, line); reason != "" {
			return s, reason
		}
	}
	if s.foodKg == 0 {
		return s, "there is no food in the jar"
	}
	return s, ""
}

func (m *Model) addLine(f *rule.Facts, s *sums, line *composition.Line) string {
	factor := 1.0
	if line.PerJar {
		if f.Composition.Jars == nil {
			if line.Class != catalog.Acid && line.Class != catalog.LowAcid && line.Class != catalog.AcidFood {
				return ""
			}
			return "the number of jars is not given"
		}
		factor = *f.Composition.Jars
	}
	if line.State != composition.Given {
		switch {
		case line.Class == catalog.Water || line.Item != nil && line.Form.Has("hot") && line.Class == catalog.AcidFood:
			s.covers = true
			return ""
		case line.Class == catalog.LowAcid || line.Class == catalog.AcidFood || line.Class == catalog.Acid || line.Class == catalog.Egg:
			return "the amount of " + line.Name + " is not given"
		}
		return ""
	}
	switch line.Class {
	case catalog.LowAcid, catalog.AcidFood, catalog.Egg:
		return m.addFood(f, s, line, factor)
	case catalog.Acid:
		return m.addAcid(f, s, line, factor)
	case catalog.Water:
		if ml, ok := f.Scale.MillilitersOf(line.Item, line.Value, line.Unit); ok {
			s.liquidML += ml * factor
			s.waterML += ml * factor
		}
	case catalog.Salt:
		if low, high, ok := f.Scale.GramsOfKind(line.Item, line.SaltKind, line.Value, line.Unit); ok {
			s.dissolve(line).salt += (low + high) / 2
		}
	case catalog.Sugar:
		if low, high, ok := f.Scale.Grams(line.Item, line.Form, line.Value, line.Unit); ok {
			s.dissolve(line).sugar += (low + high) / 2
		}
	case catalog.Firming:
		if low, high, ok := f.Scale.Grams(line.Item, line.Form, line.Value, line.Unit); ok {
			switch line.Item.ID {
			case "calcium-chloride":
				s.dissolve(line).calcium += (low + high) / 2
			case "pickling-lime":
				s.dissolve(line).lime += (low + high) / 2
			}
		}
	}
	return ""
}

// dissolve is where the solids of a line go.
func (s *sums) dissolve(line *composition.Line) *dissolved {
	if line.PerJar {
		return &s.jar
	}
	return &s.batch
}

func (m *Model) addFood(f *rule.Facts, s *sums, line *composition.Line, factor float64) string {
	low, high, ok := f.Scale.Grams(line.Item, line.Form, line.Value, line.Unit)
	if !ok {
		return "no published weight is known for " + line.Name + " in " + line.Unit.Name
	}
	id, family := "", ""
	if line.Item != nil {
		id, family = line.Item.ID, line.Item.Family
	}
	share := foodShare{name: line.Name, kg: (low + high) / 2 * factor / 1e3, figure: m.Buffer(id, family, line.Class), pH: m.NaturalPH(line.Item, line.Class)}
	if share.figure.NaturalPH != nil {
		share.pH = *share.figure.NaturalPH
	}
	s.foods = append(s.foods, share)
	s.foodKg += share.kg
	s.foodHighKg += high * factor / 1e3
	if line.Class != catalog.AcidFood {
		s.lowKg += share.kg
	}
	return ""
}

func (m *Model) addAcid(f *rule.Facts, s *sums, line *composition.Line, factor float64) string {
	var acid Acid
	var mol, ml float64
	switch {
	case line.Item.Family == "vinegar":
		volume, ok := f.Scale.MillilitersOf(line.Item, line.Value, line.Unit)
		if !ok {
			return "the amount of " + line.Name + " is neither a volume nor a weight"
		}
		acidity := f.Tables.MustLimit("vinegar-acidity-min").Value
		if line.Acidity != nil {
			acidity = *line.Acidity
		} else {
			s.weakestAcetic = min(s.weakestAcetic, m.packing.value("vinegar.legal_min")/acidity)
			s.assumed = append(s.assumed, fmt.Sprintf("%s of %s %%, since its strength is not given", line.Name, measure.FormatNumber(acidity)))
		}
		acid, ml, mol = Acetic, volume, m.VinegarMoles(volume, acidity)
		s.vinegarAcidity = acidity
	case line.Item.ID == "citric-acid" || line.Item.ID == "ascorbic-acid":
		low, high, ok := f.Scale.Grams(line.Item, line.Form, line.Value, line.Unit)
		if !ok {
			return "no published weight is known for " + line.Name + " in " + line.Unit.Name
		}
		acid = Citric
		if line.Item.ID == "ascorbic-acid" {
			acid = Ascorbic
		}
		mol = m.Moles(acid, (low+high)/2)
	default: // lemon and lime juice
		volume, ok := f.Scale.MillilitersOf(line.Item, line.Value, line.Unit)
		if !ok {
			return "the amount of " + line.Name + " is neither a volume nor a weight"
		}
		usual := m.mustConstant("lemon_juice.bottled_high")
		acid, ml, mol = Citric, volume, m.Moles(Citric, volume/1e3*usual)
		weakest := m.mustConstant("lemon_juice.bottled_low") / usual
		if line.Bottled == nil || !*line.Bottled {
			weakest *= m.packing.value("juice.fresh_low")
		}
		s.weakestCitric = min(s.weakestCitric, weakest)
		s.strongCitric = max(s.strongCitric, m.mustConstant("lemon_juice.claimed")/usual)
	}
	if line.PerJar {
		s.jarAcids[acid] += mol
		s.jarLiquidML += ml
		return ""
	}
	s.acids[acid] += mol * factor
	s.liquidML += ml * factor
	return ""
}

func (m *Model) mustConstant(name string) float64 {
	c, _ := m.Constant(name) // the names used here are held by a test
	return c.Value
}

// contents lays out the jar. It reports why it cannot.
func (m *Model) contents(f *rule.Facts) (contents, string) {
	if f.Request.Recipe.Kind == document.KindFermented || f.Match.Recipe != nil && f.Match.Recipe.Kind == document.KindFermented {
		return contents{}, "the acid of a ferment is made in the jar and cannot be reckoned from what goes in"
	}
	s, reason := m.read(f)
	if reason != "" {
		return contents{}, reason
	}
	c := contents{foods: s.foods, acidity: s.vinegarAcidity, assumed: s.assumed}
	jars := 1.0
	if f.Composition.Jars != nil {
		jars = *f.Composition.Jars
	}
	brineML := s.liquidML + m.packing.value("sugar.volume")*s.batch.sugar
	foodFactor, liquidFactor := 1.0, 1.0
	if fill, ok := m.fillML(f); ok && f.Composition.Jars != nil && f.Request.Recipe.Kind == document.KindBrined && (s.liquidML > 0 || s.covers) {
		c.one, c.fillML, c.madeML = true, fill, brineML/jars+s.jarLiquidML
		density := m.packing.value("solids.density")
		solidsML := math.Min(s.foodKg/jars/density*1e3, m.packing.value("solids.most")*fill)
		foodFactor = solidsML / 1e3 * density / s.foodKg
		c.brineML = fill - solidsML
		if !s.covers {
			c.brineML = math.Min(c.brineML, c.madeML)
		}
		if brineML > 0 {
			liquidFactor = math.Max(0, math.Min(1/jars, (c.brineML-s.jarLiquidML)/brineML))
		}
	} else {
		for acid := range s.jarAcids {
			s.jarAcids[acid] *= jars
		}
		s.jarLiquidML *= jars
		s.jar = s.jar.times(jars)
	}
	m.fill(f, &c, &s, foodFactor, liquidFactor)
	return c, ""
}

// fillML is the volume of the recipe's jar up to its headspace.
func (m *Model) fillML(f *rule.Facts) (float64, bool) {
	if f.Composition.Jar == nil {
		return 0, false
	}
	inches := m.packing.value("headspace.usual")
	if f.Match.Pack.Style != nil && f.Match.Pack.Style.HeadspaceIn > 0 {
		inches = f.Match.Pack.Style.HeadspaceIn
	}
	depth := measure.Length(inches) * measure.Inch
	if si, given := f.SI(f.Request.Recipe.Headspace); given {
		depth = measure.Length(si)
	}
	jar, ok := f.Tables.Jar(f.Composition.Jar.ID)
	if !ok {
		return f.Composition.Jar.CapacityML, true
	}
	fill, err := headspace.Jar{CapacityML: jar.CapacityML, MouthMM: jar.MouthMM, InteriorHeightMM: jar.InteriorHeightMM}.FillVolumeML(depth.Millimeters())
	if err != nil {
		return 0, false
	}
	return fill.Value, true
}

// fill puts the foods and the liquid into the bands and the portion.
func (m *Model) fill(f *rule.Facts, c *contents, s *sums, foodFactor, liquidFactor float64) {
	mix := Mixture{}
	for acid := range mix.Acids {
		mix.Acids[acid] = s.acids[acid]*liquidFactor + s.jarAcids[acid]
	}
	foodKg := s.foodKg * foodFactor
	liquidML := s.liquidML*liquidFactor + s.jarLiquidML
	waterML := s.waterML * liquidFactor
	if c.one && s.covers {
		more := math.Max(0, c.brineML-liquidML-m.packing.value("sugar.volume")*s.batch.sugar*liquidFactor)
		liquidML += more
		waterML += more
	}
	mix.WaterKg = foodKg + liquidML/1e3
	if cooked := f.Match.Recipe; cooked != nil && !c.one && cooked.CookedDown != nil && cooked.CookedDown.Fraction > 0 {
		mix.WaterKg *= cooked.CookedDown.Fraction
	}
	solids := s.batch.times(liquidFactor).plus(s.jar)
	salt, sugar := solids.salt, solids.sugar
	mix.SodiumChlorideMol = salt / m.mustConstant("sodium_chloride.molar_mass")
	mix.CalciumChlorideMol = solids.calcium / m.mustConstant("calcium_chloride.molar_mass")
	if k := f.Request.Kitchen; k != nil && k.WaterAlkalinityMgPerL != nil {
		mix.AlkalinityMol = *k.WaterAlkalinityMgPerL * waterML / 1e6 / m.mustConstant("calcium_carbonate.equivalent_mass")
	}
	mix.AlkalinityMol += 2 * solids.lime / m.mustConstant("calcium_hydroxide.molar_mass")
	c.bands = Exact(mix)
	for i := range c.foods {
		c.foods[i].kg *= foodFactor
		c.bands.Produce = append(c.bands.Produce, ProduceBand{MassKg: c.foods[i].kg, NaturalPH: c.foods[i].pH, BufferMolPerKg: c.foods[i].figure.Buffer})
	}
	c.bands.Strength[Acetic] = Band{s.weakestAcetic, 1, s.strongAcetic}
	c.bands.Strength[Citric] = Band{s.weakestCitric, 1, s.strongCitric}
	c.bands.Household = Within(m.mustConstant("tolerance.household"))
	pack := m.mustConstant("tolerance.pack")
	// The larger weight of foods whose sources disagree bounds the high side.
	c.bands.Pack = Band{1 - pack, 1, (1 + pack) * math.Max(1, s.foodHighKg/s.foodKg)}
	if c.one {
		c.bands.Pack.High = 1 + pack // a jar is no larger for it
		c.bands.BrineKg = liquidML / 1e3
	}
	massG := mix.WaterKg*1e3 + salt + sugar
	c.portion = Portion{
		MassG: massG, VolumeML: mix.WaterKg*1e3 + m.packing.value("sugar.volume")*sugar, Acids: mix.Acids, SaltG: salt, SugarG: sugar,
		LowAcidFoodKg: s.lowKg * foodFactor,
	}
	c.brine = Portion{MassG: liquidML + salt + sugar, VolumeML: liquidML + m.packing.value("sugar.volume")*sugar, Acids: mix.Acids, SaltG: salt, SugarG: sugar}
	c.foods = slices.Clip(c.foods)
}
