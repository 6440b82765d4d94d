package contents

import (
	"slices"

	"jarwright/validate/acidity"
	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/headspace"
)

// Jarful is what the chemistry is reckoned with: one jar where food stands under brine, else the whole batch, which has the
// same proportions as each of its jars.
type Jarful struct {
	Bands          acidity.Bands
	Portion        acidity.Portion // what stands in the jar, or the batch
	Brine          acidity.Portion // the liquid alone
	Foods          []Food
	One            bool    // one jar, filled up with brine
	FillML         float64 // of that jar
	BrineML        float64 // in that jar
	MadeML         float64 // brine that the recipe makes for one jar
	VinegarPercent float64 // acidity of the vinegar; 0: there is none
}

// Where is what the figures are for, in a word.
func (j *Jarful) Where() string {
	if j.One {
		return "jar"
	}
	return "batch"
}

// Estimate is the mixture with every band shut on its estimate.
func (j *Jarful) Estimate() acidity.Mixture {
	mix := j.Bands.Mixture
	for _, food := range j.Bands.Produce {
		mix.Produce = append(mix.Produce, acidity.Produce{MassKg: food.MassKg, NaturalPH: food.NaturalPH.Estimate, BufferMolPerKg: food.BufferMolPerKg.Estimate})
	}
	return mix
}

// volumeML is the volume of a liquid at room temperature; beyond the tables of densities, sugar swells it by its own volume.
func volumeML(in *Input, l liquid) float64 {
	if _, ml := l.brine(); ml > 0 {
		return ml
	}
	return l.milliliters + in.Chemistry.Packing("sugar.volume")*l.sugarG
}

// jarful lays out what the chemistry is reckoned with, or says why it cannot.
func (a *amounts) jarful(in *Input) (*Jarful, string) {
	if in.Request.Recipe.Kind == document.KindFermented || in.Match.Recipe != nil && in.Match.Recipe.Kind == document.KindFermented {
		return nil, "the acid of a ferment is made in the jar and cannot be reckoned from what goes in"
	}
	if a.unreckoned != "" {
		return nil, a.unreckoned
	}
	j := &Jarful{Foods: a.foods, VinegarPercent: a.vinegarPercent}
	fill, known := fillML(in)
	underBrine := in.Request.Recipe.Kind == document.KindBrined && (a.pot.milliliters > 0 || a.covers)
	if !known || in.Composition.Jars == nil || !underBrine {
		count := 1.0
		if in.Composition.Jars != nil {
			count = *in.Composition.Jars
		}
		j.mix(in, a, 1, a.pot.plus(a.perJar.times(count)))
		return j, ""
	}
	count := *in.Composition.Jars
	potML, perJarML := volumeML(in, a.pot)+a.oilML, a.perJar.milliliters // oil is poured with the rest, and takes its room
	j.One, j.FillML, j.MadeML = true, fill, potML/count+perJarML
	density := in.Chemistry.Packing("solids.density")
	solidsML := min(a.foodKg/count/density*1e3, in.Chemistry.Packing("solids.most")*fill)
	j.BrineML = fill - solidsML
	if !a.covers {
		j.BrineML = min(j.BrineML, j.MadeML)
	}
	share := 1 / count // of the pot, in one jar; what is dissolved in water "to cover" is shared too
	if potML > 0 {
		share = max(0, min(1/count, (j.BrineML-perJarML)/potML))
	}
	poured := a.pot.times(share).plus(a.perJar)
	if a.covers {
		more := max(0, j.BrineML-poured.milliliters-in.Chemistry.Packing("sugar.volume")*a.pot.sugarG*share)
		poured.milliliters += more
		poured.waterML += more
		poured.waterG += more
	}
	// Food that was put in is in: shrinking makes room for liquid and takes nothing away that takes up acid.
	j.mix(in, a, 1/count, poured)
	return j, ""
}

// fillML is the volume of the recipe's jar up to its headspace; the whole capacity of a jar whose shape is not known.
func fillML(in *Input) (float64, bool) {
	written := in.Composition.Jar
	if written == nil {
		return 0, false
	}
	if written.Known == nil {
		return written.CapacityML, true
	}
	jar := headspace.Jar{CapacityML: written.Known.CapacityML, MouthMM: written.Known.MouthMM, InteriorHeightMM: written.Known.InteriorHeightMM}
	fill, err := jar.FillVolumeML(depthOf(in).Millimeters())
	if err != nil {
		return 0, false
	}
	return fill.Value, true
}

// mix puts a share of the food and the liquid into the bands and the portions.
func (j *Jarful) mix(in *Input, a *amounts, foodShare float64, poured liquid) {
	chemistry := in.Chemistry
	mix := acidity.Mixture{Acids: poured.acids, WaterKg: a.foodKg*foodShare + poured.milliliters/1e3}
	if tested := in.Match.Recipe; tested != nil && !j.One && tested.CookedDown != nil && tested.CookedDown.Fraction > 0 {
		mix.WaterKg *= tested.CookedDown.Fraction
	}
	mix.SodiumChlorideMol = poured.saltG / chemistry.MustValue("sodium_chloride.molar_mass")
	mix.CalciumChlorideMol = poured.calciumG / chemistry.MustValue("calcium_chloride.molar_mass")
	if k := in.Request.Kitchen; k != nil && k.WaterAlkalinityMgPerL != nil {
		mix.AlkalinityMol = *k.WaterAlkalinityMgPerL * poured.waterML / 1e6 / chemistry.MustValue("calcium_carbonate.equivalent_mass")
	}
	mix.AlkalinityMol += 2 * poured.limeG / chemistry.MustValue("calcium_hydroxide.molar_mass")
	j.Bands = acidity.Exact(mix)
	j.Foods = slices.Clone(j.Foods)
	for i := range j.Foods {
		j.Foods[i].Kg *= foodShare
		j.Bands.Produce = append(j.Bands.Produce, acidity.ProduceBand{MassKg: j.Foods[i].Kg, NaturalPH: j.Foods[i].PH, BufferMolPerKg: j.Foods[i].Buffer.Buffer})
	}
	if a.seasoningKg > 0 {
		share := 1.0 // of the batch
		if j.One {
			share = 1 / *in.Composition.Jars
		}
		spice := Food{
			Name: "seasonings", Kg: a.seasoningKg * share, Buffer: chemistry.Buffer("", "", catalog.Seasoning), PH: chemistry.NaturalPH(nil, catalog.Seasoning),
		}
		j.Foods = append(j.Foods, spice)
		j.Bands.Produce = append(j.Bands.Produce, acidity.ProduceBand{MassKg: spice.Kg, NaturalPH: spice.PH, BufferMolPerKg: spice.Buffer.Buffer})
	}
	j.Bands.Strength[acidity.Acetic] = acidity.Band{Low: a.weakestAcetic, Estimate: 1, High: 1 + chemistry.MustValue("tolerance.vinegar_label")}
	j.Bands.Strength[acidity.Citric] = acidity.Band{Low: a.weakestCitric, Estimate: 1, High: a.strongCitric}
	j.Bands.Household = acidity.Within(chemistry.MustValue("tolerance.household"))
	pack := chemistry.MustValue("tolerance.pack")
	// The larger weight of foods whose sources disagree bounds the high side; a jar is no larger for it.
	j.Bands.Pack = acidity.Band{Low: 1 - pack, Estimate: 1, High: (1 + pack) * max(1, a.foodHighKg/a.foodKg)}
	if j.One {
		j.Bands.Pack.High = 1 + pack
		j.Bands.BrineKg = poured.milliliters / 1e3
	}
	swollen := chemistry.Packing("sugar.volume") * poured.sugarG
	j.Portion = acidity.Portion{
		MassG: mix.WaterKg*1e3 + poured.saltG + poured.sugarG, VolumeML: mix.WaterKg*1e3 + swollen, Acids: mix.Acids, SaltG: poured.saltG, SugarG: poured.sugarG,
		LowAcidFoodKg: a.lowKg * foodShare,
	}
	j.Brine = acidity.Portion{
		MassG: poured.milliliters + poured.saltG + poured.sugarG, VolumeML: volumeML(in, poured), Acids: mix.Acids, SaltG: poured.saltG, SugarG: poured.sugarG,
	}
}
