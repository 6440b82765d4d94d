package steps

import (
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// The regular expressions that say what the patterns of figures read.
var (
	inWords = map[string]*regexp.Regexp{
		"size":    regexp.MustCompile(numberText + `(?:\s*(?:-|to)\s*` + numberText + `)?[ -]*(inch(?:es)?|in\b|"|cm\b|mm\b|centim)`),
		"minutes": regexp.MustCompile(numberText + `(?:\s*(?:-|to|or)\s*` + numberText + `)?[ -]*(minutes?|mins?\b)`),
		"hours":   regexp.MustCompile(numberText + `()[ -]*(hours?|hrs?\b)`),
		"rest":    regexp.MustCompile(numberText + `(?:\s*(?:-|to)\s*` + numberText + `)?\s*(days?|weeks?|months?)`),
	}
	patterns           = map[string]*pattern{"size": &sizePattern, "minutes": &minutesPattern, "hours": &hoursPattern, "rest": &restPattern}
	temperatureInWords = regexp.MustCompile(`(\d{2,3})(?:\s*(?:-|to|and)\s*(\d{2,3}))? ?(?:°|degrees?)? ?([fc])\b`)
	elevationInWords   = regexp.MustCompile(`(?:\d[\d,.]* ?(?:-|to) ?|(?:above|over|at) )\d[\d,.]* ?(?:ft|feet|m\b|metres|meters)`)
	lowestInWords      = regexp.MustCompile(`\b0 ?(?:ft|feet|m)? ?(?:-|to) |sea level|up to 1,?000|below 1,?0`)
)

// figureParts are what figures are made of, and what comes near them.
var figureParts = strings.Split(`1|2|12|180|1800|0|5|1/2|3/4|1 1/2|1-1/2|1.5|0,5|1,000|.|,|/|-| - | | |  |to| to | or | and |inch|inches|in|"|cm|mm|centimeter|min|mins|`+
	`minute|minutes|mint|hour|hours|hr|hrs|day|days|week|month|f|c|°|° |°f| degrees | degree|fahrenheit|above |over |at |ft|feet|m|meters|metres|`+
	`sea level|up to |below |x|_|é|(|)`, "|")

// shuffled makes texts of the parts, the same ones each time.
func shuffled(count int) []string {
	random := rand.New(rand.NewPCG(1, 2)) //nolint:gosec // a test
	texts := make([]string, count)
	for i := range texts {
		var b strings.Builder
		for range 1 + random.IntN(9) {
			b.WriteString(figureParts[random.IntN(len(figureParts))])
		}
		texts[i] = b.String()
	}
	return texts
}

// A pattern finds in every text what the regular expression finds that says the same.
func TestPatternsReadAsInWords(t *testing.T) {
	for name, expression := range inWords {
		t.Run(name, func(t *testing.T) {
			for _, text := range shuffled(8_000) {
				var got [][]string
				for _, m := range patterns[name].findAll(text) {
					got = append(got, []string{text[m.start:m.end], m.low, m.high, m.unit})
				}
				want := expression.FindAllStringSubmatch(text, -1)
				if name == "hours" {
					for i := range got {
						got[i][2] = ""
					}
				}
				if !slices.EqualFunc(got, want, slices.Equal) {
					t.Fatalf("%q: %q, want %q", text, got, want)
				}
			}
		})
	}
}

func TestTemperaturesReadAsInWords(t *testing.T) {
	for _, text := range shuffled(20_000) {
		got, ok := temperature(text)
		m := temperatureInWords.FindStringSubmatch(text)
		if m == nil != !ok {
			t.Fatalf("%q: %v, want %q", text, ok, m)
		}
		if !ok {
			continue
		}
		want := figure(m[1], m[2], strings.ToUpper(m[3]))
		if got.Value != want.Value || got.Unit != want.Unit || (got.Max == nil) != (want.Max == nil) || got.Max != nil && *got.Max != *want.Max {
			t.Fatalf("%q: %+v, want %+v", text, got, want)
		}
	}
}

func TestElevationsReadAsInWords(t *testing.T) {
	for _, text := range shuffled(20_000) {
		if got, want := namesElevation(text), elevationInWords.MatchString(text); got != want {
			t.Fatalf("an elevation in %q: %v, want %v", text, got, want)
		}
		if got, want := namesLowest(text), lowestInWords.MatchString(text); got != want {
			t.Fatalf("the lowest elevation in %q: %v, want %v", text, got, want)
		}
	}
}

// Each phrase is found in a text that has it, also within another phrase, and no other.
func TestFinderFindsEveryPhrase(t *testing.T) {
	finder := theFinder()
	for i, phrase := range allPhrases {
		for _, text := range []string{phrase, "x" + phrase + "x", phrase + allPhrases[(i+1)%len(allPhrases)], strings.Repeat(phrase, 3), phrase[:len(phrase)-1]} {
			found := finder.find(text)
			for j, other := range allPhrases {
				got := found[j/bitsPerWord]&(1<<(j%bitsPerWord)) != 0
				if want := strings.Contains(text, other); got != want {
					t.Errorf("%q in %q: %v, want %v", other, text, got, want)
				}
			}
		}
	}
}
