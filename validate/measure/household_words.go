package measure

import (
	"math"
	"strconv"
	"strings"
)

// Amount is an amount in one unit, with the words for it. Unit and Value are empty where nobody measures it.
type Amount struct {
	Value float64 `json:"value,omitempty"`
	Unit  string  `json:"unit,omitempty"`
	Text  string  `json:"text"`
}

// Both is one amount in both systems of units, US customary and metric. Each is rounded from the exact amount to the same
// side, so that lines may be measured by either.
type Both struct {
	Household Amount `json:"household"`
	Metric    Amount `json:"metric"`
}

// Bounds in US customary measures at which a cook takes the next larger one. Common practice, no source.
const (
	spoonfulsTsp = 3  // 3 tsp are a tablespoon
	spoonfulsCup = 4  // 4 tbsp are a quarter cup
	cupsQuart    = 16 // from 16 cups on, quarts are counted
	ouncesPound  = 16
	thousand     = 1000 // grams, milliliters
)

// Volume puts milliliters into words of both systems, rounded to the side by at most slack, a part of the amount.
func (m *Measures) Volume(milliliters float64, side Side, slack float64) Both {
	si := milliliters * float64(Milliliter)
	in := func(code string) float64 { return m.mustUnit(code).From(si) }
	both := Both{Metric: m.metric(milliliters, "mL", "L", side, slack)}
	tsp := in("tsp")
	switch {
	case tsp < spoonfulsTsp*(1-slack):
		both.Household = m.plain(tsp, "tsp", side, slack)
	case in("tbsp") < spoonfulsCup*(1-slack):
		value := m.Round(in("tbsp"), "tbsp", side, slack)
		both.Household = Amount{Value: value, Unit: "tbsp", Text: spoons(value * 3)}
	case in("cup") < cupsQuart:
		value := m.Round(in("cup"), "cup", side, slack)
		both.Household = Amount{Value: value, Unit: "cup", Text: cups(value)}
	default:
		value := m.Round(in("qt"), "qt", side, slack)
		both.Household = Amount{Value: value, Unit: "qt", Text: quarts(value)}
	}
	return both
}

// Mass puts grams into words of both systems, rounded to the side by at most slack, a part of the amount.
func (m *Measures) Mass(grams float64, side Side, slack float64) Both {
	both := Both{Metric: m.metric(grams, "g", "kg", side, slack)}
	si := grams * float64(Gram)
	if ounces := m.mustUnit("oz").From(si); ounces < ouncesPound*(1-onStep) {
		both.Household = m.plain(ounces, "oz", side, slack)
		return both
	}
	value := m.Round(m.mustUnit("lb").From(si), "lb", side, slack)
	both.Household = Amount{Value: value, Unit: "lb", Text: pounds(value)}
	return both
}

// Count is pieces of a unit that counts, the same in both systems, rounded to the side by at most slack, a part of the amount.
func (m *Measures) Count(value float64, code string, side Side, slack float64) Both {
	amount := m.plain(value, code, side, slack)
	return Both{Household: amount, Metric: amount}
}

// Unmeasured is an amount that nobody measures, in words.
func Unmeasured(text string) Both {
	return Both{Household: Amount{Text: text}, Metric: Amount{Text: text}}
}

func (m *Measures) mustUnit(code string) Unit {
	unit, ok := m.units.Lookup(code)
	if !ok {
		panic("units.csv has no " + code)
	}
	return unit
}

func (m *Measures) plain(value float64, code string, side Side, slack float64) Amount {
	value = m.Round(value, code, side, slack)
	return Amount{Value: value, Unit: code, Text: measured(value, code)}
}

func (m *Measures) metric(value float64, small, large string, side Side, slack float64) Amount {
	if value < thousand*(1-onStep) {
		return m.plain(value, small, side, slack)
	}
	value = m.Round(value/thousand, large, side, slack)
	return Amount{Value: value, Unit: large, Text: FormatNumber(value) + " " + large}
}

// measured is a value with its unit, fractions as kitchens write them.
func measured(value float64, code string) string {
	unit := strings.TrimPrefix(FormatAmount(value, code), FormatNumber(value))
	switch code {
	case "g", "kg", "mg", "mL", "L", "cL", "dL":
		return FormatNumber(value) + unit
	}
	return FormatFraction(value) + unit
}

// FormatFraction writes a number with the fractions of kitchens: "2 1/2", "1/3", "7/8"; any other as a decimal.
func FormatFraction(value float64) string {
	if !Known(value) {
		return FormatNumber(value)
	}
	whole := math.Floor(value + tolerance)
	rest := value - whole
	if math.Abs(rest) <= tolerance {
		return FormatNumber(whole)
	}
	for _, denominator := range []float64{2, 3, 4, 8, 16} {
		numerator := math.Round(rest * denominator)
		if math.Abs(rest*denominator-numerator) > tolerance*denominator {
			continue
		}
		fraction := strconv.Itoa(int(numerator)) + "/" + strconv.Itoa(int(denominator))
		if whole == 0 {
			return fraction
		}
		return FormatNumber(whole) + " " + fraction
	}
	return FormatNumber(value)
}

// tolerance is what a fraction cut to six decimals may be off.
const tolerance = 2e-6

// spoons writes teaspoons as tablespoons and teaspoons.
func spoons(tsp float64) string {
	tbsp := math.Floor(tsp/3 + tolerance)
	rest := tsp - tbsp*3
	if math.Abs(rest-1.5) <= 3*tolerance {
		return FormatFraction(tbsp+0.5) + " tbsp"
	}
	var parts []string
	if tbsp > 0 {
		parts = append(parts, FormatFraction(tbsp)+" tbsp")
	}
	if rest > 3*tolerance {
		parts = append(parts, FormatFraction(rest)+" tsp")
	}
	return strings.Join(parts, " ")
}

// cupParts are the cup measures of a set, and none.
var cupParts = []float64{0, 1.0 / 4, 1.0 / 3, 1.0 / 2, 2.0 / 3, 3.0 / 4}

// cups writes cups with as few measures as a set of cups and spoons allows.
func cups(value float64) string {
	const tspPerCup = 48
	whole := math.Floor(value + tolerance)
	best, fewest := "", math.Inf(1)
	for _, part := range cupParts {
		rest := value - whole - part
		if rest < -tolerance {
			continue
		}
		tsp := math.Max(0, rest*tspPerCup)
		tbsp := math.Floor(tsp/3 + tspPerCup*tolerance)
		measures := tbsp + math.Ceil(math.Max(0, tsp-3*tbsp)-tspPerCup*tolerance)
		if measures >= fewest {
			continue
		}
		fewest = measures
		best = cupWord(whole + part)
		if tsp > tspPerCup*tolerance {
			best = strings.TrimSpace(best + " " + spoons(math.Round(tsp*8)/8))
		}
	}
	return best
}

func cupWord(value float64) string {
	switch {
	case value <= tolerance:
		return ""
	case value <= 1+tolerance:
		return FormatFraction(value) + " cup"
	}
	return FormatFraction(value) + " cups"
}

// quarts writes quarts and cups.
func quarts(value float64) string {
	whole := math.Floor(value + tolerance)
	rest := (value - whole) * 4
	if math.Abs(rest-2) <= 4*tolerance {
		return FormatFraction(value) + " qt"
	}
	text := FormatNumber(whole) + " qt"
	if rest > 4*tolerance {
		text += " " + cups(rest)
	}
	return text
}

// pounds writes pounds in quarters, or pounds and ounces.
func pounds(value float64) string {
	if quarters := value * 4; math.Abs(quarters-math.Round(quarters)) <= 4*tolerance {
		return FormatFraction(value) + " lb"
	}
	whole := math.Floor(value + tolerance)
	return FormatNumber(whole) + " lb " + FormatFraction((value-whole)*ouncesPound) + " oz"
}
