package rules

import (
	"fmt"
	"math"

	"jarwright/validate/altitude"
	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/heating"
	"jarwright/validate/measure"
	"jarwright/validate/report"
	"jarwright/validate/table"
)

// ThermalShock notes steps of temperature that may crack a jar.
func ThermalShock() Rule {
	return Rule{
		ID: "pack.thermal-shock", Title: "No great step of temperature", Severity: report.Info, Hazard: report.Injury, Since: since,
		About: "Hot food in a cold jar, and a cold jar in a hot canner, crack glass. The guide has jars kept hot, canner water at 140 °F for raw packs " +
			"and at 180 °F for hot ones. Steps beyond 42 °C (76 °F) are pointed out; that figure is trade practice and from memory. Where a temperature " +
			"is not given, that of the printed instructions is taken.",
		Sources: []catalog.Citation{
			{Source: "usda-2015", Locator: "p. 1-14, 1-18", Verified: catalog.Read},
			{Source: "msu-extension", Locator: "01600738", Verified: catalog.Read},
			{Source: "astm-c149", Locator: "usual difference for food jars", Verified: catalog.Recalled},
		},
		Remedy:  "Keep the jars hot until they are filled, and put them into water of about their own temperature.",
		Figures: []string{"boiling_point", "boiling_point_fahrenheit"},
		Applies: func(f *facts.Facts) bool { return len(steps(f)) > 0 },
		Run: func(f *facts.Facts) []facts.Finding {
			usual := heating.ShockLimit()
			f.Compared(catalog.Limit{
				ID: usual.Name, Value: usual.Value, Unit: usual.Unit, Citation: catalog.Cite(usual),
				Meaning: "step of temperature that food jars are usually asked to stand",
			})
			var findings []facts.Finding
			for _, s := range steps(f) {
				if s.shock.Over {
					findings = append(findings, s.finding())
				}
			}
			return findings
		},
	}
}

// step is one meeting of the jar with something of another temperature, in °C.
type step struct {
	what   string // for people
	at     string
	shock  heating.Shock
	otherC float64
	fix    []report.Operation
}

// steps lists the meetings that can be told: the empty jar with what is filled in, the filled jar with the canner. A
// temperature that is not given is that of the printed instructions; nothing is supposed of a jar of which nothing is said.
func steps(f *facts.Facts) []step {
	recipe := &f.Request.Recipe
	written := recipe.Temperatures
	if written == nil && recipe.JarPreparation == "" {
		return nil
	}
	if written == nil {
		written = &document.Temperatures{}
	}
	boilingC, ok := boiling(f)
	if !ok {
		return nil
	}
	liquidC, known := temperature(f, written.Brine)
	if !known {
		liquidC, known = pouredC(recipe.Pack, boilingC)
	}
	if !known {
		return nil
	}
	var list []step
	if jarC, given := temperature(f, written.Jar); given {
		s := fillingStep(jarC, liquidC, "/recipe/temperatures/jar")
		if !s.shock.Cooling {
			s.fix = warmer(f, written.Jar, s.at, liquidC)
		}
		list = append(list, s)
	} else if jarC, prepared := preparedC(recipe.JarPreparation, boilingC); prepared {
		s := fillingStep(jarC, liquidC, "/recipe/jar_preparation")
		if !s.shock.Cooling {
			s.fix = []report.Operation{{Op: "replace", Path: s.at, Value: document.JarsHot}}
		}
		list = append(list, s)
	}
	cannerC, given := temperature(f, written.Canner)
	packed, known := heating.PackedC(recipe.Pack, liquidC)
	if given && known {
		list = append(list, cannerStep(f, cannerC, packed))
	}
	return list
}

// fillingStep is the meeting of the empty jar with what is filled into it.
func fillingStep(jarC, liquidC float64, at string) step {
	return step{what: "the empty jar and what is filled into it", at: at, shock: heating.ShockOf(jarC, liquidC), otherC: liquidC}
}

// cannerStep is the meeting of a filled jar with the water of the canner. Water as the guide has it mends it, unless that is
// too far from the jar as well.
func cannerStep(f *facts.Facts, cannerC float64, packed table.Bounds) step {
	shockIn := func(waterC float64) heating.Shock {
		glassC := min(max(waterC, packed.Low), packed.High) // glass is about as warm as what is in it
		return heating.ShockOf(glassC, waterC)
	}
	s := step{what: "the filled jar and the water of the canner", at: "/recipe/temperatures/canner", shock: shockIn(cannerC), otherC: cannerC}
	printed, ok := heating.CannerC(f.Request.Recipe.Pack)
	if !ok || shockIn(printed.Value).Over {
		return s
	}
	if unit, ok := f.Units.Lookup(f.Request.Recipe.Temperatures.Canner.Unit); ok {
		s.fix = []report.Operation{{Op: "replace", Path: s.at + "/value", Value: math.Round(unit.From(printed.Value + zeroCelsiusK))}}
	}
	return s
}

const zeroCelsiusK = 273.15

// boiling is the boiling point in °C at the kitchen, at sea level when its elevation is not given.
func boiling(f *facts.Facts) (float64, bool) {
	elevationM := 0.0
	if f.Elevation != nil {
		elevationM = float64(*f.Elevation)
	}
	at, err := altitude.BoilingAt(elevationM)
	return at.TemperatureC, err == nil
}

func temperature(f *facts.Facts, q *document.Quantity) (float64, bool) {
	si, given := f.SI(q)
	return measure.Temperature(si).Celsius(), given
}

// preparedC is how warm jars are by the way they are prepared.
func preparedC(preparation string, boilingC float64) (float64, bool) {
	switch preparation {
	case document.JarsClean:
		return heating.RoomC().Value, true
	case document.JarsHot:
		return min(heating.HotJarC().Value, boilingC), true
	case document.JarsSterilized:
		return boilingC, true
	}
	return 0, false
}

// pouredC is how warm what is filled in is, by the way of packing: a cold pack is at room temperature.
func pouredC(pack string, boilingC float64) (float64, bool) {
	switch pack {
	case document.PackRaw, document.PackHot:
		return boilingC, true
	case document.PackCold:
		return heating.RoomC().Value, true
	}
	return 0, false
}

// warmer raises the temperature of the jar, in the unit it was given in, to what the liquid asks for.
func warmer(f *facts.Facts, written *document.Quantity, at string, liquidC float64) []report.Operation {
	unit, ok := f.Units.Lookup(written.Unit)
	if !ok {
		return nil
	}
	return []report.Operation{{Op: "replace", Path: at + "/value", Value: math.Ceil(unit.From(heating.LeastJarC(liquidC) + zeroCelsiusK))}}
}

func (s *step) finding() facts.Finding {
	finding := facts.Finding{
		Outcome: report.Fail, At: s.at,
		Message: fmt.Sprintf("Between %s lie %.0f °C (%.0f °F); beyond %.0f °C a jar may crack.",
			s.what, s.shock.DifferenceK, s.shock.DifferenceK*1.8, heating.ShockLimit().Value),
		Measured: &report.Amount{Value: report.Rounded(s.shock.DifferenceK), Unit: "°C"},
		Limit:    &report.Amount{Value: heating.ShockLimit().Value, Unit: "°C"},
		Fix:      s.fix,
	}
	switch s.at {
	case "/recipe/temperatures/canner":
		finding.Remedy = "Put the jars into water of about their own temperature: 140 °F (60 °C) for raw packs, 180 °F (82 °C) for hot ones."
	default:
		finding.Remedy = fmt.Sprintf("Warm the jar to at least %.0f °C (%.0f °F), best by keeping it in hot water until it is filled.",
			math.Ceil(heating.LeastJarC(s.otherC)), math.Ceil(heating.LeastJarC(s.otherC)*1.8+32))
		if s.shock.Cooling {
			finding.Remedy = "Let the jar cool on a towel out of a draft before anything cold goes into it."
		}
	}
	return finding
}
