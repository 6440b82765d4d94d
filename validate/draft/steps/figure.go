package steps

import (
	"strings"

	"jarwright/validate/measure"
)

// Figure is a number with its unit.
type Figure struct {
	Value float64
	Max   *float64 // the other end of a range; nil where there is none
	Unit  string   // a code of measure.Units, or "wk" and "mo"
}

// pattern is a number, or a range of numbers, with its unit: "5", "1 1/2 to 2 inches".
type pattern struct {
	joints []string // may stand between the ends of a range
	gap    string   // the characters that may stand between number and unit
	units  []unitEnding
}

// unitEnding is how a unit begins, and how it may go on.
type unitEnding struct {
	text   string
	more   string // follows or does not
	closed bool   // no letter or digit may follow
}

// The patterns of figures. They are those of the regular expressions in the tests, which say the same at a higher price.
var (
	sizePattern = pattern{joints: []string{"-", "to"}, gap: " -", units: []unitEnding{
		{text: "inch", more: "es"}, {text: "in", closed: true}, {text: `"`}, {text: "cm", closed: true}, {text: "mm", closed: true}, {text: "centim"},
	}}
	minutesPattern = pattern{
		joints: []string{"-", "to", "or"}, gap: " -",
		units: []unitEnding{{text: "minute", more: "s"}, {text: "min", more: "s", closed: true}},
	}
	hoursPattern = pattern{gap: " -", units: []unitEnding{{text: "hour", more: "s"}, {text: "hr", more: "s", closed: true}}}
	restPattern  = pattern{
		joints: []string{"-", "to"}, gap: spaces,
		units: []unitEnding{{text: "day", more: "s"}, {text: "week", more: "s"}, {text: "month", more: "s"}},
	}
)

const spaces = " \t\n\f\r"

// match is where a figure stands in a text.
type match struct {
	start, end int
	low, high  string // the ends of the range; high is empty where there is none
	unit       string
}

// figure is what a match says.
func (m *match) figure(unit string) Figure { return figure(m.low, m.high, unit) }

// figure makes a Figure of the texts of its ends, of which the second may be empty.
func figure(low, high, unit string) Figure {
	f := Figure{Value: measure.MixedNumber(low), Unit: unit}
	if high != "" {
		f.Max = new(measure.MixedNumber(high))
	}
	return f
}

// find finds the first figure in a text from a place on.
func (p *pattern) find(text string, from int) (match, bool) {
	for at := from; at < len(text); at++ {
		if !isDigit(text[at]) {
			continue
		}
		if m, ok := p.at(text, at); ok {
			return m, true
		}
		at = digitsEnd(text, at) // what a number is not, its last digits are not either
	}
	return match{}, false
}

// findAll finds every figure in a text.
func (p *pattern) findAll(text string) []match {
	var all []match
	for m, ok := p.find(text, 0); ok; m, ok = p.find(text, m.end) {
		all = append(all, m)
	}
	return all
}

// at reads a figure that begins at a digit. A number may be read in several ways; the longest that a unit follows counts.
func (p *pattern) at(text string, start int) (match, bool) {
	ends, count := numberEnds(text, start)
	for _, low := range ends[:count] {
		if second := p.secondEnd(text, low); second >= 0 {
			highs, ways := numberEnds(text, second)
			for _, high := range highs[:ways] {
				if from, to, ok := p.unitAt(text, high); ok {
					return match{start: start, end: to, low: text[start:low], high: text[second:high], unit: text[from:to]}, true
				}
			}
		}
		if from, to, ok := p.unitAt(text, low); ok {
			return match{start: start, end: to, low: text[start:low], unit: text[from:to]}, true
		}
	}
	return match{}, false
}

// secondEnd is where the second number of a range begins, or -1.
func (p *pattern) secondEnd(text string, at int) int {
	at = passAny(text, at, spaces)
	for _, joint := range p.joints {
		if !strings.HasPrefix(text[at:], joint) {
			continue
		}
		if at = passAny(text, at+len(joint), spaces); at < len(text) && isDigit(text[at]) {
			return at
		}
		break
	}
	return -1
}

// unitAt finds the unit behind a number.
func (p *pattern) unitAt(text string, at int) (from, to int, ok bool) {
	from = passAny(text, at, p.gap)
	for i := range p.units {
		unit := &p.units[i]
		if !strings.HasPrefix(text[from:], unit.text) {
			continue
		}
		to = from + len(unit.text)
		if unit.more != "" && strings.HasPrefix(text[to:], unit.more) {
			to += len(unit.more)
		}
		if !unit.closed || !wordGoesOn(text, to) {
			return from, to, true
		}
	}
	return 0, 0, false
}

// numberEnds is where the number that begins at a digit may end, the longest way of reading it first: "1.5 1/2", "1.5",
// "1 1/2", "1", and "1/2" last, since a whole number goes before a fraction.
func numberEnds(text string, at int) (ends [5]int, count int) {
	whole := digitsEnd(text, at)
	add := func(end int) { ends[count], count = end, count+1 }
	if decimals := passMark(text, whole, ".,"); decimals > 0 {
		if end := fractionBehind(text, decimals); end > 0 {
			add(end)
		}
		add(decimals)
	}
	if end := fractionBehind(text, whole); end > 0 {
		add(end)
	}
	add(whole)
	if end := passMark(text, whole, "/"); end > 0 {
		add(end)
	}
	return ends, count
}

// fractionBehind is where a fraction ends that stands behind a number and a space or hyphen, or -1.
func fractionBehind(text string, at int) int {
	top := passMark(text, at, " -")
	if top < 0 {
		return -1
	}
	return passMark(text, top, "/")
}

// passMark passes one of some signs and the digits behind it, or gives -1.
func passMark(text string, at int, marks string) int {
	if at+1 >= len(text) || strings.IndexByte(marks, text[at]) < 0 || !isDigit(text[at+1]) {
		return -1
	}
	return digitsEnd(text, at+1)
}

// passAny passes the characters that are among some.
func passAny(text string, at int, chars string) int {
	for at < len(text) && strings.IndexByte(chars, text[at]) >= 0 {
		at++
	}
	return at
}

func digitsEnd(text string, at int) int {
	for at < len(text) && isDigit(text[at]) {
		at++
	}
	return at
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// wordGoesOn tells whether a letter or digit of ASCII stands at a place.
func wordGoesOn(text string, at int) bool {
	return at < len(text) && (isDigit(text[at]) || text[at] == '_' || text[at]|0x20 >= 'a' && text[at]|0x20 <= 'z')
}

// temperature finds how hot the water is: "180 to 185 °F", "82c". The unit is F or C.
func temperature(text string) (Figure, bool) {
	for at := 0; at < len(text); at++ {
		if !isDigit(text[at]) {
			continue
		}
		end := digitsEnd(text, at)
		low := text[max(at, end-mostDegrees):end]
		at = end
		if len(low) < leastDegrees {
			continue
		}
		if high, unit := degreesTo(text, end); unit != "" {
			return figure(low, high, unit), true
		}
		if unit := degrees(text, end); unit != "" {
			return figure(low, "", unit), true
		}
	}
	return Figure{}, false
}

// Digits of a temperature of hot water.
const (
	leastDegrees = 2
	mostDegrees  = 3
)

// degreesTo reads the other end of a range of temperatures, and its unit.
func degreesTo(text string, at int) (high, unit string) {
	at = passAny(text, at, spaces)
	for _, joint := range []string{"-", "to", "and"} {
		if !strings.HasPrefix(text[at:], joint) {
			continue
		}
		at = passAny(text, at+len(joint), spaces)
		if end := digitsEnd(text, at); end-at >= leastDegrees && end-at <= mostDegrees {
			return text[at:end], degrees(text, end)
		}
		break
	}
	return "", ""
}

// degrees reads the unit of a temperature: " °F", "f", " degrees c". It is empty where none stands.
func degrees(text string, at int) string {
	rest := strings.TrimPrefix(text[at:], " ")
	if more, ok := strings.CutPrefix(rest, "°"); ok {
		rest = more
	} else if more, ok := strings.CutPrefix(rest, "degree"); ok {
		rest = strings.TrimPrefix(more, "s")
	}
	rest = strings.TrimPrefix(rest, " ")
	if rest == "" || rest[0] != 'f' && rest[0] != 'c' || wordGoesOn(rest, 1) {
		return ""
	}
	return strings.ToUpper(rest[:1])
}

// namesElevation tells an elevation above the lowest: "above 1,000 ft", "3,000 to 6,000 feet".
func namesElevation(clause string) bool {
	for at := 0; at < len(clause); at++ {
		if !isDigit(clause[at]) {
			continue
		}
		end := passAny(clause, at, figureChars)
		if isElevation(clause[end:]) && raised(clause[:at]) {
			return true
		}
		at = end
	}
	return false
}

const figureChars = "0123456789,."

// isElevation tells a unit of length that elevations are given in.
func isElevation(text string) bool {
	text = strings.TrimPrefix(text, " ")
	for _, unit := range []string{"ft", "feet", "metres", "meters"} {
		if strings.HasPrefix(text, unit) {
			return true
		}
	}
	return strings.HasPrefix(text, "m") && !wordGoesOn(text, 1)
}

// raised tells what stands before an elevation: "above", "over", "at", or the lower end of a range.
func raised(before string) bool {
	for _, word := range []string{"above ", "over ", "at "} {
		if strings.HasSuffix(before, word) {
			return true
		}
	}
	before = strings.TrimSuffix(before, " ")
	lower, ranges := strings.CutSuffix(before, "-")
	if !ranges {
		lower, ranges = strings.CutSuffix(before, "to")
	}
	if !ranges {
		return false
	}
	lower = strings.TrimSuffix(lower, " ")
	return strings.ContainsAny(lower[len(strings.TrimRight(lower, figureChars)):], "0123456789")
}

// namesLowest tells the lowest elevation: "0 to 1,000 ft", "sea level", "up to 1,000".
func namesLowest(clause string) bool {
	for _, phrase := range []string{"sea level", "up to 1000", "up to 1,000", "below 1,0", "below 10"} {
		if strings.Contains(clause, phrase) {
			return true
		}
	}
	for at := range len(clause) {
		if clause[at] == '0' && (at == 0 || !wordGoesOn(clause, at-1)) && rangeFromLowest(clause[at+1:]) {
			return true
		}
	}
	return false
}

// rangeFromLowest tells what may stand behind the 0 of "0 ft to ", "0-", "0 - ".
func rangeFromLowest(text string) bool {
	text = strings.TrimPrefix(text, " ")
	for _, unit := range []string{"ft", "feet", "m"} {
		if more, ok := strings.CutPrefix(text, unit); ok {
			text = more
			break
		}
	}
	text = strings.TrimPrefix(text, " ")
	return strings.HasPrefix(text, "- ") || strings.HasPrefix(text, "to ")
}

func lengthUnit(text string) string {
	switch {
	case strings.HasPrefix(text, "cm"), strings.HasPrefix(text, "centim"):
		return "cm"
	case text == "mm":
		return "mm"
	}
	return "in"
}
