// Package packing is the model of a jar of pieces under a liquid: how much food it may hold, how much liquid it takes, how strong
// that liquid is, and how much acid there is for the food. It compares a request with a printed recipe by the jar that results.
// It knows amounts and nothing of lines, recipes or rules. What is from memory in it (how closely pieces pack, what is left of food
// once it is trimmed and cooked) says only how much room there is, the same on both sides, and never excuses food.
package packing

import (
	"math"

	"jarwright/validate/catalog"
	"jarwright/validate/table"
)

var figures = table.MustFigures("packing/jar.csv")

// Figures of the model that package match needs where it adds up lines.
var (
	// JuiceGramsPerML is the citric acid in a milliliter of bottled lemon or lime juice. It stands on both sides of a comparison.
	JuiceGramsPerML = figures.Value("juice")
	// CountedShare is the share of the food up to which pieces that are counted are judged by their number.
	CountedShare = figures.Value("counted")
	// CountedFree is how large a share of the food such pieces may be over their number.
	CountedFree = figures.Value("counted_free")
	// OverFull is how many times the food of the printed jar is no longer the printed pack.
	OverFull = figures.Value("over_full")
)

// Kind is a kind of acid; each is compared with its own.
type Kind int

// The kinds of acid.
const (
	Acetic Kind = iota
	Citric
	kinds
)

// Kinds lists the kinds of acid.
func Kinds() []Kind { return []Kind{Acetic, Citric} }

// Liquid is what ends in the jars as liquid, and what is dissolved in it: of a batch, a jar or a share of either.
type Liquid struct {
	Acid      [kinds]float64 // g, by Kind
	AqueousML float64        // vinegar, juice and water
	SugarG    float64
	SaltG     float64
	OilML     float64
}

// VolumeML is the volume of the liquid once sugar and salt are dissolved in it, in mL. Sugar and salt add 0.62 and 0.33 mL to the
// gram (from memory; within 3 % up to the sweetest printed syrup).
func (l *Liquid) VolumeML() float64 {
	return l.AqueousML + figures.Value("sugar")*l.SugarG + figures.Value("salt")*l.SaltG + l.OilML
}

// Acids is the acid of all kinds, in g.
func (l *Liquid) Acids() float64 { return l.Acid[Acetic] + l.Acid[Citric] }

// Plus is both liquids together.
func (l *Liquid) Plus(o *Liquid) Liquid {
	return Liquid{
		Acid:      [kinds]float64{l.Acid[Acetic] + o.Acid[Acetic], l.Acid[Citric] + o.Acid[Citric]},
		AqueousML: l.AqueousML + o.AqueousML, SugarG: l.SugarG + o.SugarG, SaltG: l.SaltG + o.SaltG, OilML: l.OilML + o.OilML,
	}
}

// Times is so many times the liquid.
func (l *Liquid) Times(factor float64) Liquid {
	return Liquid{
		Acid:      [kinds]float64{l.Acid[Acetic] * factor, l.Acid[Citric] * factor},
		AqueousML: l.AqueousML * factor, SugarG: l.SugarG * factor, SaltG: l.SaltG * factor, OilML: l.OilML * factor,
	}
}

// Strength is the acid of a kind to the aqueous liquid, in g/mL; 0 where there is no liquid.
func (l *Liquid) Strength(kind Kind) float64 { return over(l.Acid[kind], l.AqueousML) }

// Diluted is all acid to the whole liquid, sugar and oil among it, in g/mL; 0 where there is no liquid.
func (l *Liquid) Diluted() float64 { return over(l.Acids(), l.VolumeML()) }

// OilPerML is the oil to the aqueous liquid, in mL/mL; 0 where there is no liquid. Sugar, which may be left out, is no part of it.
func (l *Liquid) OilPerML() float64 { return over(l.OilML, l.AqueousML) }

func over(part, whole float64) float64 {
	if whole <= 0 {
		return 0
	}
	return part / whole
}

// Jar is the inside of a jar, in mL.
type Jar struct {
	CapacityML float64 // nominal
	FillML     float64 // under the headspace
}

// FillML is what a jar holds under its headspace: its capacity less a cylinder as wide as its mouth. Mouth and headspace are in mm.
// It is never less than nothing.
func FillML(capacityML, mouthMM, headspaceMM float64) float64 {
	return max(0, capacityML-math.Pi/4*mouthMM*mouthMM*headspaceMM/1000)
}

// Print is what a printed recipe makes, and in how many jars of which size.
type Print struct {
	Class    catalog.JarClass
	Prepared catalog.Prepared
	Liquid   Liquid
	FoodG    float64 // as the recipe weighs it, at the high end of printed ranges
	Jar      Jar     // in which its yield is printed
	Least    float64 // fewest jars
	Most     float64 // most jars
}

// Rounding is how much more food a jar may hold because a printed number of jars is rounded to whole ones: half a jar, at most the
// share given. A printed range has its own fewest jars and is not rounded. It stays that of the print whatever the size of a batch.
func (p *Print) Rounding(atMost float64) float64 {
	half := figures.Value("half_jar")
	if p.Most > p.Least || p.Least <= half {
		return 0
	}
	return min(atMost, half/(p.Least-half))
}

// Scale is how much of the food of the printed jar a jar may hold: by capacity, and small jars by what they hold under the
// headspace. atMost is the greatest share that Rounding may have. The leave of capacity and that of rounding are never both granted.
func (p *Print) Scale(jar Jar, atMost float64) float64 {
	rounding := 1 + p.Rounding(atMost)
	capacity, fill := over(jar.CapacityML, p.Jar.CapacityML), over(jar.FillML, p.Jar.FillML)
	switch {
	case jar.CapacityML >= p.Jar.CapacityML:
		return capacity * rounding
	case jar.CapacityML >= figures.Value("whole_jar"):
		return max(capacity, fill*rounding)
	}
	return fill * rounding
}

// MostFoodG is the food that a jar may hold, in g as the recipe weighs it: that of the printed jar when the fewest are filled. food
// is how much of the printed food is of kinds that the request has.
func (p *Print) MostFoodG(food float64, jar Jar, atMost float64) float64 {
	return food / p.Least * p.Scale(jar, atMost)
}

// Holds reports whether so much food in a jar is no more than printed. kitchen is the share that measures of a kitchen cannot tell; it is
// granted where the leave of rounding is not taken.
func (p *Print) Holds(foodG, food float64, jar Jar, atMost, kitchen float64) bool {
	most := p.MostFoodG(food, jar, atMost)
	if plain := p.MostFoodG(food, jar, 0) * (1 + kitchen); plain > most {
		most = plain
	}
	const hair = 1e-9 // of float error
	return foodG <= most*(1+hair)
}

// piecesMost is the most of a jar that its pieces can take.
func (p *Print) piecesMost() float64 {
	if p.Class == catalog.JarPoured {
		return figures.Value("pieces_raw")
	}
	return figures.Value("pieces_soft")
}

// Displaced is how many mL of a jar a gram of the food as weighed takes, at least and at most.
func (p *Print) Displaced() (low, high float64) {
	return p.Prepared[0] / figures.Value("tissue_high"), p.Prepared[1] / figures.Value("tissue_low")
}

// RoomML is the liquid that a jar with so many grams of the food takes, in mL, where a gram takes up displaced mL.
func (p *Print) RoomML(foodG float64, jar Jar, displaced float64) float64 {
	return jar.FillML - min(foodG*displaced, p.piecesMost()*jar.FillML)
}

// Need is the liquid a jar must get, in mL. Under Least it is surely short: no printed jar gets so little. From Low on the jar has the acid
// of the printed one that is packed as closely, and from High on it is surely full.
type Need struct{ Least, Low, High float64 }

// NeedML is the liquid that a jar with so many grams of food must get, in mL: what fills it, or, where the print itself leaves that
// open, what the printed jar gets that is packed as closely. Where it is packed more loosely than when the most jars are filled, that is
// more by what the food does not take up. food is as in MostFoodG.
func (p *Print) NeedML(foodG, food float64, jar Jar) Need {
	low, high := p.Displaced()
	jars, size := p.packedAs(foodG, food, jar)
	printed, least := p.Liquid.VolumeML()/jars*size, p.Liquid.VolumeML()/p.Most*size
	if loose := food/p.Most*over(jar.CapacityML, p.Jar.CapacityML) - foodG; loose > 0 {
		printed += loose * high
		least += loose * high
	}
	tight, wide := p.RoomML(foodG, jar, high), p.RoomML(foodG, jar, low)
	return Need{Least: min(least, tight), Low: min(printed, tight), High: min(printed, wide)}
}

// packedAs is the printed number of jars by which a jar is packed as closely, and how much of the printed liquid of a jar goes into it.
func (p *Print) packedAs(foodG, food float64, jar Jar) (jars, size float64) {
	capacity, fill := over(jar.CapacityML, p.Jar.CapacityML), over(jar.FillML, p.Jar.FillML)
	return min(max(over(food*capacity, foodG), p.Least), p.Most), min(capacity, fill)
}

// SourEnough reports whether a jar gets as much of the aqueous liquid as a printed jar that is packed as closely, less a share: then it
// has the acid of the printed jar even where it is not full because sugar was left out. made is the liquid made for one jar.
func (p *Print) SourEnough(made *Liquid, foodG, food float64, jar Jar, less float64) bool {
	jars, size := p.packedAs(foodG, food, jar)
	return made.AqueousML >= p.Liquid.AqueousML/jars*size*(1-less)
}

// AcidInJar is the acid in a jar to the food, in g/kg: that of the liquid which finds room there. made is the liquid made for one jar.
// It is 0 where there is no food or no liquid.
func (p *Print) AcidInJar(made *Liquid, foodG float64, jar Jar, displaced float64) float64 {
	poured := min(made.VolumeML(), p.RoomML(foodG, jar, displaced))
	return over(made.Diluted()*poured, foodG) * 1000
}
