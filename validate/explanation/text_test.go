package explanation

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"jarwright/validate/report"
)

func TestWrittenWords(t *testing.T) {
	for _, test := range []struct {
		name  string
		value any
		want  string
	}{
		{"a text", "pint", `"pint"`},
		{"a text that would color a terminal", "\x1b[31mred", `"\x1b[31mred"`},
		{"a long text", strings.Repeat("a", 60), `"` + strings.Repeat("a", 39) + "…"},
		{"a number", 1.25, "1.25"},
		{"yes", true, "true"},
		{"a quantity", map[string]any{"value": 2.0, "unit": "cup"}, "2 cups"},
		{"a quantity without a figure", map[string]any{"unit": "to_cover"}, `the whole entry, "to_cover"`},
		{"an ingredient", map[string]any{"item": "beet", "per": "batch"}, `the whole entry, "beet"`},
		{"an entry without a name", map[string]any{"at": "2026-08-15"}, "the whole entry"},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := writtenWords(test.value); got != test.want {
				t.Errorf("%s, want %s", got, test.want)
			}
		})
	}
}

func TestTimesInWords(t *testing.T) {
	low, high := 1000.0, 6000.0
	for _, test := range []struct {
		name  string
		bands []Band
		want  string
	}{
		{
			"by elevation",
			[]Band{{ToFt: &low, Minutes: 10}, {ToFt: &high, Minutes: 15, Here: true}, {Minutes: 20}},
			"up to 1,000 ft 10 min; up to 6,000 ft 15 min (this kitchen); above that 20 min.",
		},
		{"everywhere", []Band{{Minutes: 30}}, "at any elevation 30 min."},
		{"nowhere", nil, "none printed."},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := (&Times{Pack: "raw", Jar: "pint", Bands: test.bands}).words(); got != "Minutes, raw pack, pint: "+test.want {
				t.Error(got)
			}
		})
	}
}

func TestLimitsInWords(t *testing.T) {
	for _, test := range []struct {
		name string
		Limit
		want string
	}{
		{"a share", Limit{Value: 0.02, Unit: "fraction"}, "2 %"},
		{"percent", Limit{Value: 5, Unit: "percent"}, "5 %"},
		{"a count", Limit{Value: 3, Unit: "count"}, "3"},
		{"acidity", Limit{Value: 4.6, Unit: "pH"}, "pH 4.6"},
		{"a length", Limit{Value: 1, Unit: "in"}, "1 in"},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := test.words(); got != test.want {
				t.Errorf("%s, want %s", got, test.want)
			}
		})
	}
}

// What is not known or too much to show is said, not passed over.
func TestTextSaysWhatIsLeftOut(t *testing.T) {
	e := Explanation{
		Rule:    Rule{ID: "acid.example", Title: "Example", Severity: report.Error, Hazard: report.Botulism},
		Outcome: report.Undetermined, Applies: true, Disposition: report.Hold,
		NotWorkedOut: []Missing{{Name: "equilibrium_ph", Why: "the jar is not given"}, {Name: "salt_of_jar"}},
		LookedAt:     LookedAt{Members: make([]Looked, mostLooked+3), Tried: 300, Needed: 7, NotTried: 5},
	}
	var text bytes.Buffer
	if err := Text(&text, e); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"Not known. It has to be met (danger of botulism).", "- 3 more, which the JSON form lists.",
		"leaving out 300 members", "7 more have to be there", "5 were too", "hold, not for",
		"- pH of the jar once everything has soaked through: not worked out: the jar is\n  not given.", "- Salt in the finished jar: not worked out.",
	} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("the text lacks %q:\n%s", want, &text)
		}
	}
	e.Rule.Severity, e.Applies = report.Info, false
	text.Reset()
	if err := Text(&text, e); err != nil || !strings.Contains(text.String(), "It is good to know.") || strings.Contains(text.String(), "Worked out") {
		t.Errorf("%v\n%s", err, &text)
	}
}

type brokenWriter struct{}

var errFull = errors.New("full")

func (brokenWriter) Write([]byte) (int, error) { return 0, errFull }

func TestWritersTellOfAFullDisk(t *testing.T) {
	if err := Text(brokenWriter{}, Explanation{}); !errors.Is(err, errFull) {
		t.Errorf("text: %v", err)
	}
	if err := JSON(brokenWriter{}, Explanation{}); !errors.Is(err, errFull) {
		t.Errorf("json: %v", err)
	}
}
