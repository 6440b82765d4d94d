package packing

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"

	"jarwright/validate/catalog"
)

var full = flag.Bool("full", false, "try the whole grid of 80,000 jars")

// The tolerances as tolerances.csv has them.
const (
	kitchen  = 0.02
	rounding = 0.07
)

// passes is the rule for poured liquid: as strong as printed, no more food in a jar, liquid enough for it. Between what a jar surely takes
// and what it may take the rule warns, "have more ready": there the jar that takes the least is looked at, elsewhere each.
func passes(p *Print, jar Jar, made *Liquid, foodG, displaced float64) bool {
	need := p.NeedML(foodG, p.FoodG, jar)
	low, _ := p.Displaced()
	if displaced == low && made.VolumeML() < need.High*(1-kitchen) {
		return false
	}
	return made.Strength(Acetic) >= p.Liquid.Strength(Acetic)*(1-kitchen) && made.Diluted() >= p.Liquid.Diluted()*(1-kitchen) &&
		p.Holds(foodG, p.FoodG, jar, rounding, kitchen) && made.VolumeML() >= need.Low*(1-kitchen)
}

// asked is the least acid, in g/kg, that the printed jar at its fewest jars has once it is let off the same tolerances: its liquid
// weaker and less by what a kitchen cannot tell, its food more by what the print rounds.
func asked(p *Print, jar Jar, displaced float64) float64 {
	most := p.MostFoodG(p.FoodG, jar, rounding)
	most = max(most, p.MostFoodG(p.FoodG, jar, 0)*(1+kitchen))
	_, size := p.packedAs(most, p.FoodG, jar)
	made := p.Liquid.Times(size / p.Least)
	least := 1.0
	if made.VolumeML() < p.RoomML(most, jar, displaced) {
		least = 1 - kitchen
	}
	return p.AcidInJar(&made, most, jar, displaced) * (1 - kitchen) * least
}

// No jar of raw pieces under a poured liquid passes with less acid to its food than the printed jar at its fewest jars after the same
// tolerances, however loosely or tightly it is packed, and whatever of the liquid stays in the pot. The seed is fixed.
func TestPouredGrid(t *testing.T) {
	tries := 4000
	if *full {
		tries = 80000
	}
	random := rand.New(rand.NewPCG(14, 2026))
	jars := []Jar{pint, quart, halfPint, {354.882, 318.6}, {500, 450}, {250, 214}}
	between := func(low, high float64) float64 { return low + (high-low)*random.Float64() }
	passed, worse, literal := 0, 0, 0
	greatest := 0.0
	for range tries {
		least := math.Floor(between(3, 11))
		p := Print{
			Class: catalog.JarPoured, Jar: pint, Least: least, Most: least + math.Floor(between(0, 4)), FoodG: least * between(220, 800),
			Prepared: catalog.Prepared{between(0.5, 0.9), 0},
		}
		p.Prepared[1] = p.Prepared[0] + between(0, 0.15)
		p.Liquid = Liquid{AqueousML: p.Most * between(150, 500), SugarG: p.Most * between(0, 100)}
		p.Liquid.Acid[Acetic] = p.Liquid.AqueousML * between(0.018, 0.05)
		jar := jars[random.IntN(len(jars))]
		foodG := p.FoodG / p.Least * jar.CapacityML / pint.CapacityML * between(0.4, 1.15)
		made := p.Liquid.Times(jar.CapacityML / pint.CapacityML / p.Least * between(0.02, 1.3))
		made.Acid[Acetic] *= between(0.95, 1.1)
		low, high := p.Displaced()
		for _, displaced := range []float64{low, high} {
			have, want := p.AcidInJar(&made, foodG, jar, displaced), asked(&p, jar, displaced)
			if made.Strength(Acetic) >= p.Liquid.Strength(Acetic)*(1-kitchen) && foodG <= p.FoodG/p.Least*jar.FillML/pint.FillML && have < want {
				literal++ // without a floor under the liquid
			}
			if !passes(&p, jar, &made, foodG, displaced) {
				continue
			}
			passed++
			exact := p.AcidInJar(new(p.Liquid.Times(jar.CapacityML/pint.CapacityML/p.Least)), p.MostFoodG(p.FoodG, jar, 0), jar, displaced)
			greatest = max(greatest, 1-have/exact)
			if have < want*(1-1e-9) {
				worse++
				if worse <= 10 {
					t.Errorf("%.3f g/kg, want %.3f: %.0f g of food and %.0f mL in %+v of %+v", have, want, foodG, made.VolumeML(), jar, p)
				}
			}
		}
	}
	t.Logf("%d jars tried, %d passed, %d of them with less acid for their food than printed; without a floor under the liquid it were %d; greatest loss "+
		"without tolerances %.1f %%",
		tries*2, passed, worse, literal, greatest*100)
	if passed < tries/20 || literal == 0 {
		t.Errorf("%d passed, %d by the literal test: the grid tries nothing", passed, literal)
	}
}
