package steps

import (
	"regexp"
	"strings"

	"jarwright/validate/document"
	"jarwright/validate/measure"
)

// methods are the phrases for each way of heating closed jars, the more telling ones first.
var methods = []struct {
	method string
	words  phrases
}{
	{document.MethodPressure, anyOf(
		"pressure canner", "pressure can ", "pressure-can", "pressure cook the jars", "pounds pressure", " psi", "lbs pressure", "lb pressure",
	)},
	{document.MethodMulticooker, anyOf("multicooker", "multi-cooker", "instant pot canner", "electric canner")},
	{document.MethodLowTemperature, anyOf(
		"low-temperature", "low temperature", "180 to 185", "180-185", "180°f", "180 °f", "180 f", "180f ", "180 degrees", "82°c", "82 °c",
		"pasteuriz", "pasteuris",
	)},
	{document.MethodSteam, anyOf("steam canner", "steam canning", "atmospheric steam", "steam-canner")},
	{document.MethodBoilingWater, anyOf(
		"boiling water bath", "boiling-water bath", "boiling water canner", "boiling-water canner", "boiling-water-canner", "water bath", "water-bath",
		"waterbath", "hot water bath", "process in boiling water", "process in a boiling", "process jars in boiling", "boiling water process",
		"processed in boiling", "boiling-water process", "process the jars in boiling",
	)},
	{document.MethodOven, anyOf(
		"oven canning", "jars in the oven to seal", "process in the oven", "process jars in the oven", "process in a 2", "seal in the oven",
	)},
	{document.MethodDishwasher, anyOf("dishwasher canning", "process in the dishwasher", "seal in the dishwasher")},
	{document.MethodMicrowave, anyOf("process in the microwave", "microwave the jars to seal", "microwave canning")},
	{document.MethodOpenKettle, anyOf(
		"open kettle", "open-kettle", "turn jars upside down", "turn the jars upside down", "invert the jars", "invert jars", "turn upside down",
		"flip the jars", "no processing", "jars upside down",
	)},
}

var (
	// A temperature alone may be that of the brine.
	lowTemperatureContext = anyOf("process", "water", "jar")
	// Another way beside the one that is described.
	otherPressure = anyOf("or pressure", "pressure cooker as")
)

// Method is how the closed jars are heated, one of the methods of the request, or nothing.
func (s Sentence) Method() string {
	for _, each := range methods {
		switch {
		case !each.words.in(&s.found):
		case each.method == document.MethodLowTemperature && !lowTemperatureContext.in(&s.found):
		case each.method == document.MethodPressure && otherPressure.in(&s.found):
		default:
			return each.method
		}
	}
	return ""
}

// Temperature is how hot the water is, in F or C.
func (s Sentence) Temperature() (Figure, bool) { return temperature(s.lower) }

var (
	// One of them makes a time one of the canner, where jars are meant.
	processing = anyOf(
		"process", "water bath", "water-bath", "waterbath", "canner", "boiling water", "boil the jars", "boil jars", "boil the filled", "boil filled",
		"simmer the jars", "steam for", "return to a boil",
	)
	processingStart = anyOf("process", "water bath", "water-bath", "waterbath", "canner", "boil")
	cannerContext   = anyOf("process", "bath", "canner", "jar")
	// The kitchen machine, unless the sentence speaks of canning too.
	notOfMachine = anyOf("water bath", "canner", "jar")
	// The wait behind the process.
	waiting = anyOf(
		"heat off", "turn off the heat", "turn the heat off", "standing in the canner", "sit in the canner", "rest in the canner", "stand in the canner",
		"remain in the canner", "before removing", "before taking",
	)
	// Work before the jars are filled.
	preparation = anyOf("blanch", "sterili", "soak", "empty jars")
)

// Time is minutes of processing.
type Time struct {
	Figure
	Jar       string // id of the size of jar it is for; empty where the sentence does not say
	Elsewhere bool   // it is for an elevation other than the lowest, or to be added to another time
}

// Times are the minutes in the canner that the sentence gives, in order.
func (s Sentence) Times() []Time {
	if !s.timesTheCanner() {
		return nil
	}
	matches := minutesPattern.findAll(s.lower)
	if len(matches) == 0 {
		return s.hours()
	}
	const before = 40 // bytes before the word for the canner that are looked at
	from, sizes := processingStart.first(&s)-before, s.sizes()
	var times []Time
	for i := range matches {
		if matches[i].end > from {
			times = append(times, s.timeAt(matches, i, sizes))
		}
	}
	return times
}

// timesTheCanner tells whether a time in the sentence can be that of the process.
func (s Sentence) timesTheCanner() bool {
	processed := strings.Contains(s.lower, "process ")
	switch {
	case !strings.Contains(s.lower, "min") && !strings.Contains(s.lower, "hour"), !processing.in(&s.found):
		return false
	case strings.Contains(s.lower, "food processor") && !notOfMachine.in(&s.found):
		return false
	case waiting.in(&s.found) && !processed:
		return false
	case preparation.in(&s.found) && !processed && !strings.Contains(s.lower, "water bath"):
		return false
	}
	return cannerContext.in(&s.found)
}

// hours reads a process of hours.
func (s Sentence) hours() []Time {
	const minutes = 60
	m, ok := hoursPattern.find(s.lower, 0)
	if !ok || !strings.Contains(s.lower, "process") {
		return nil
	}
	return []Time{{Figure: Figure{Value: measure.MixedNumber(m.low) * minutes, Unit: "min"}}}
}

// timeAt reads one of the times. The words of its own clause say which jar it is for, or that it is for another elevation.
func (s Sentence) timeAt(matches []match, i int, sizes []jarSize) Time {
	t := Time{Figure: matches[i].figure("min")}
	before, after := clauseAround(s.lower, matches, i)
	clause := before + after
	elsewhere := namesElevation(clause) && !namesLowest(clause)
	if elsewhere || strings.Contains(clause, "add ") || strings.Contains(after, "more for") || strings.Contains(clause, "additional") {
		t.Elsewhere = true
		return t
	}
	if t.Jar = jarIn(before, sizes); t.Jar == "" {
		t.Jar = jarIn(after, sizes)
	}
	return t
}

// clauseAround is what stands before and behind a match in its own clause, up to its neighbors.
func clauseAround(text string, matches []match, i int) (before, after string) {
	const most = 60 // bytes to either side
	previous, next, m := 0, len(text), &matches[i]
	if i > 0 {
		previous = matches[i-1].end
	}
	if i+1 < len(matches) {
		next = matches[i+1].start
	}
	before, after = text[max(previous, m.start-most):m.start], text[m.end:min(next, m.end+most)]
	for _, mark := range []string{", ", "; ", "("} {
		if clause := strings.LastIndex(before, mark); clause >= 0 {
			before = before[clause:]
		}
	}
	for _, mark := range []string{", ", "; ", ")"} {
		if clause := strings.Index(after, mark); clause >= 0 {
			after = after[:clause]
		}
	}
	return before, after
}

var overLids = anyOf(
	"over the lids", "above the lids", "over the jars", "above the jars", "over lids", "above lids", "over the tops", "above the tops", "over jars",
	"above jars", "over tops", "inches of water", "inch of water", "covered by", "over jar tops", "cover the jars by", "cover jars by", "cover the lids",
	"cover lids",
)

// WaterOverLids is how deep the water stands over the lids.
func (s Sentence) WaterOverLids() (Figure, bool) {
	if !overLids.in(&s.found) || !strings.Contains(s.lower, "water") && !strings.Contains(s.lower, "cover") {
		return Figure{}, false
	}
	m, ok := sizePattern.find(s.lower, 0)
	if !ok {
		return Figure{}, false
	}
	return figure(m.low, "", lengthUnit(m.unit)), true
}

// numberText matches an integer, a decimal, a fraction and a mixed number.
const numberText = `(\d+(?:[.,]\d+)?(?:[ -]\d+/\d+)?|\d+/\d+)`

// deeperPattern finds the depth that holds for long times: "2 in (50 mm) where the time is over 30 minutes".
var deeperPattern = regexp.MustCompile(`,? ` + numberText + `[ -]*(inch(?:es)?|in\b|cm\b)(?: \([^)]*\))? ` +
	`(?:where|when|if|for)[^.;]*?over ` + numberText + ` min`)

// DeeperWater is a second depth of the water, for processes of more than a number of minutes. It costs far more than the other
// questions, so it is for a sentence that has a first depth.
func (s Sentence) DeeperWater() (depth Figure, minutes float64, ok bool) {
	m := deeperPattern.FindStringSubmatch(s.lower)
	if m == nil {
		return Figure{}, 0, false
	}
	return figure(m[1], "", lengthUnit(m[2])), measure.MixedNumber(m[3]), true
}

var elevations = anyOf("altitude", "elevation", "sea level", " ft", "feet above", "1,000 feet", "1000 feet")

// NotesElevation tells a sentence that speaks of the elevation of the kitchen.
func (s Sentence) NotesElevation() bool { return elevations.in(&s.found) }
