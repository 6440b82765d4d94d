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
	jarC   float64
	otherC float64
	fix    []report.Operation
}

// steps lists the meetings that can be told: the empty jar with what is filled in, the filled jar with the canner. A
// temperature that is not given is that of the printed instructions; nothing is supposed of a jar of which nothing is said.
func steps(f *facts.Facts) []step {
	recipe := &f.Request.Recipe
	given := recipe.Temperatures
	if given == nil && recipe.JarPreparation == "" {
		return nil
	}
	if given == nil {
		given = &document.Temperatures{}
	}
	boilingC, ok := boiling(f)
	if !ok {
		return nil
	}
	var list []step
	jarC, jarKnown := temperature(f, given.Jar)
	jarSaid := jarKnown
	if !jarKnown {
		jarC, jarKnown = preparedC(recipe.JarPreparation, boilingC)
	}
	liquidC, liquidKnown := temperature(f, given.Brine)
	if !liquidKnown {
		liquidC, liquidKnown = pouredC(recipe.Pack, boilingC)
	}
	if jarKnown && liquidKnown {
		s := step{
			what: "the empty jar and what is filled into it", at: "/recipe/jar_preparation",
			shock: heating.ShockOf(jarC, liquidC), jarC: jarC, otherC: liquidC,
		}
		s.fix = []report.Operation{{Op: "replace", Path: s.at, Value: document.JarsHot}}
		if jarSaid {
			s.at = "/recipe/temperatures/jar"
			s.fix = warmer(f, given.Jar, s.at, liquidC)
		}
		if recipe.JarPreparation == "" && !jarSaid || s.shock.Cooling {
			s.fix = nil
		}
		list = append(list, s)
	}
	canner, cannerSaid := temperature(f, given.Canner)
	packed, packedKnown := heating.PackedC(recipe.Pack, liquidC)
	if cannerSaid && packedKnown && liquidKnown {
		// The glass is about as warm as what is in it.
		glass := min(max(canner, packed.Low), packed.High)
		s := step{
			what: "the filled jar and the water of the canner", at: "/recipe/temperatures/canner",
			shock: heating.ShockOf(glass, canner), jarC: glass, otherC: canner,
		}
		if printed, ok := heating.CannerC(recipe.Pack); ok && !heating.ShockOf(min(max(printed.Value, packed.Low), packed.High), printed.Value).Over {
			if unit, ok := f.Units.Lookup(given.Canner.Unit); ok {
				s.fix = []report.Operation{{Op: "replace", Path: s.at + "/value", Value: math.Round(unit.From(printed.Value + zeroCelsiusK))}}
			}
		}
		list = append(list, s)
	}
	return list
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
