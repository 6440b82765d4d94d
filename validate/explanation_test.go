package validate

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"jarwright/validate/explanation"
	"jarwright/validate/report"
	"jarwright/validate/rules"
)

func explained(t testing.TB, body []byte, id string) explanation.Explanation {
	t.Helper()
	rule, err := checker.Rule(id)
	if err != nil {
		t.Fatal(err)
	}
	e, problem := checker.Explain(nil, body, rule)
	if problem != nil {
		t.Fatalf("refused: %+v", problem)
	}
	return e
}

// namedBy is what the explanation of a rule has to name in one of its cases at least: a limit that it compares with, a computed
// figure, the printed minutes or packs, the tested recipe, a departure from it, or the limit in its own finding. Rules that go by words
// alone have "words".
var namedBy = map[string]string{
	"acid.acid-in-reserve":        "limit:ph-max limit:ph-margin figure:equilibrium_ph",
	"acid.equilibrium-ph":         "limit:ph-max figure:equilibrium_ph",
	"acid.juice-bottled":          "words",
	"acid.lime-rinsed":            "limit:lime-rinses-min",
	"acid.no-acid":                "figure:acid_of_jar",
	"acid.published-ratio":        "limit:ratio departure figure:acid_share_of_tested",
	"acid.vinegar-origin":         "limit:vinegar-acidity-usual-max",
	"acid.vinegar-strength":       "limit:vinegar-acidity-min figure:equilibrium_ph",
	"batch.boil-continuous":       "minutes",
	"batch.food-covered":          "words",
	"batch.headspace":             "limit:headspace pack finding",
	"batch.label":                 "words",
	"batch.lifting-wait":          "limit:lifting-wait",
	"batch.liquid-lost":           "limit:liquid-lost-max",
	"batch.ph-calibration":        "limit:ph-max figure:ph_meter_slope figure:ph_meter_offset",
	"batch.ph-equilibrium":        "limit:ph-wait figure:ph_reading",
	"batch.ph-instrument":         "limit:ph-strips-max figure:ph_reading",
	"batch.ph-limit":              "limit:ph-max figure:ph_reading",
	"batch.ph-temperature":        "limit:ph-temperature-min limit:ph-temperature-max limit:buffer-temperature",
	"batch.record":                "words",
	"batch.reprocess-window":      "limit:reprocess-window",
	"batch.seal":                  "limit:seal-check-min",
	"batch.seal-check-time":       "limit:seal-check-min",
	"batch.spoilage":              "words",
	"batch.time-held":             "minutes limit:water-over-lids-min figure:boiling_point",
	"batch.water-cover":           "limit:water-over-lids-min limit:water-over-lids-long-over",
	"ingredient.blossom-end":      "words",
	"ingredient.contradiction":    "words",
	"ingredient.egg":              "words",
	"ingredient.fat":              "limit:ratio departure",
	"ingredient.firming-agent":    "words",
	"ingredient.fresh-herb":       "limit:ratio departure",
	"ingredient.garlic-in-oil":    "words",
	"ingredient.low-acid-extra":   "departure figure:acid_per_low_acid_food",
	"ingredient.poured-away":      "departure",
	"ingredient.pureed":           "departure",
	"ingredient.salt-and-sugar":   "limit:salt-and-sugar departure",
	"ingredient.salt-in-ferment":  "limit:salt-mass departure",
	"ingredient.salt-kind":        "words",
	"ingredient.thickener":        "limit:ratio departure",
	"ingredient.unknown":          "words",
	"ingredient.unsuitable":       "departure",
	"ingredient.words":            "words",
	"keeping.best-before":         "limit:best-before",
	"keeping.cure":                "finding",
	"keeping.listeria-cold":       "limit:refrigerator-max",
	"keeping.refrigerated-only":   "tested",
	"keeping.refrigerated-until":  "limit:unsealed-keeps",
	"keeping.storage-temperature": "limit:storage-max",
	"measure.count-without-size":  "words",
	"measure.dimension":           "words",
	"measure.salt-by-volume":      "figure:salt_of_jar",
	"pack.brine-enough":           "figure:brine_needed finding",
	"pack.filled-hot":             "limit:hot-fill-min finding",
	"pack.brine-spare":            "finding",
	"pack.food-per-jar":           "limit:jar-rounding departure",
	"pack.metric-jar":             "limit:metric-twin departure",
	"acid.liquid-for-food":        "limit:short-liquid departure",
	"acid.sweetened-liquid":       "limit:sweetened departure",
	"pack.food-covered":           "limit:headspace pack",
	"pack.headspace":              "limit:headspace pack figure:vacuum_at_most",
	"pack.jar-size":               "pack finding figure:fill_volume",
	"pack.piece-fits":             "figure:longest_upright_piece finding",
	"pack.piece-size":             "limit:piece-size departure",
	"pack.solids-headspace":       "limit:headspace pack finding",
	"pack.style":                  "pack",
	"pack.thermal-shock":          "limit:usual_limit",
	"process.altitude-time":       "minutes finding figure:boiling_point",
	"process.elevation-known":     "minutes",
	"process.low-temperature":     "limit:low-temperature-time-min limit:low-temperature-min",
	"process.method":              "words",
	"process.over-processed":      "minutes finding",
	"process.published-match":     "tested",
	"process.steam-jars":          "words",
	"process.steam-limit":         "limit:steam-time-max",
	"process.steps":               "finding",
	"process.steps-for-quality":   "words",
	"process.steps-not-compared":  "words",
	"process.sterile-jars":        "limit:sterile-jars-below",
	"process.temperature":         "finding figure:boiling_point",
	"process.water-cover":         "limit:water-over-lids-min limit:water-over-lids-long-min",

	"ingredient.seasoning-in-bulk": "departure",
}

// namesIn lists what an explanation names, in the words of namedBy.
func namesIn(e *explanation.Explanation) []string {
	have := []string{"words"}
	for _, l := range e.ComparedWith {
		have = append(have, "limit:"+l.ID)
	}
	for _, d := range e.Figures {
		have = append(have, "figure:"+d.Name)
	}
	for _, f := range e.Findings {
		if f.Limit != nil && f.Measured != nil {
			have = append(have, "finding")
		}
	}
	if e.Tested == nil {
		return have
	}
	have = append(have, "tested")
	if len(e.Tested.Packs) > 0 && e.Tested.Packs[0].HeadspaceIn > 0 {
		have = append(have, "pack")
	}
	if len(e.Tested.Times) > 0 && len(e.Tested.Times[0].Bands) > 0 && e.Tested.Times[0].Bands[0].Minutes > 0 {
		have = append(have, "minutes")
	}
	if len(e.Tested.Departures) > 0 {
		have = append(have, "departure")
	}
	return have
}

// Each case of each rule that applies is explained: the outcome and the findings are those of the report, what the rule has to
// name is named in one of them, and the text is fit for a terminal.
func TestEveryRuleIsExplained(t *testing.T) {
	have := map[string][]string{}
	var all []string
	for _, c := range ruleCases(t) {
		if c.want == report.NotApplicable {
			continue
		}
		t.Run(c.rule+"/"+string(c.want), func(t *testing.T) {
			e := explained(t, c.document, c.rule)
			if e.Outcome != c.want || !e.Applies || e.Rule.ID != c.rule {
				t.Errorf("%s: %s, want %s", e.Rule.ID, e.Outcome, c.want)
			}
			whole := checkBytes(t, c.document)
			if own := findingsOf(whole, c.rule); len(own) != len(e.Findings) || e.Disposition != whole.Disposition {
				t.Errorf("%d findings and %s, in the report %d and %s", len(e.Findings), e.Disposition, len(own), whole.Disposition)
			}
			for _, f := range e.Findings {
				if len(f.Sources) == 0 || f.Sources[0].Title == "" {
					t.Errorf("a finding without the title of a source: %+v", f)
				}
			}
			if e.LookedAt.Tried < 10 || e.LookedAt.NotTried > 0 {
				t.Errorf("tried %d members, not %d", e.LookedAt.Tried, e.LookedAt.NotTried)
			}
			leftOut(t, c.document, &e)
			fitsTerminal(t, &e)
			have[c.rule] = append(have[c.rule], namesIn(&e)...)
			all = append(all, namesIn(&e)...)
		})
	}
	for _, rule := range rules.All() {
		want, listed := namedBy[rule.ID]
		if !listed {
			t.Errorf("namedBy does not say what the explanation of %s has to name", rule.ID)
		}
		for _, name := range strings.Fields(want) {
			if !slices.Contains(have[rule.ID], name) {
				t.Errorf("no explanation of %s names %s: %v", rule.ID, name, have[rule.ID])
			}
		}
		for _, figure := range rule.Figures {
			if !slices.Contains(all, "figure:"+figure) {
				t.Errorf("%s is to be explained by %s, which no report works out", rule.ID, figure)
			}
		}
	}
}

func findingsOf(r report.Report, rule string) []report.Finding {
	return slices.DeleteFunc(slices.Clone(r.Findings), func(f report.Finding) bool { return f.Rule != rule })
}

// leftOut leaves out what the rule is said to have looked at, by another way than the explanation does, and holds the whole
// report to what is said of it.
func leftOut(t *testing.T, document []byte, e *explanation.Explanation) {
	t.Helper()
	whole := checkBytes(t, document)
	for _, looked := range e.LookedAt.Members {
		r, problem := checker.Check(nil, patched(t, document, removing(t, looked.At)), report.Options{})
		if problem != nil { // what is empty now has to go as well
			r, problem = checker.Check(nil, patched(t, document, removing(t, looked.At[:strings.LastIndexByte(looked.At, '/')])), report.Options{})
		}
		if problem != nil {
			t.Errorf("without %s: %+v", looked.At, problem)
			continue
		}
		if got := outcomeOf(r, e.Rule.ID); got != looked.Without {
			t.Errorf("without %s: %s, said %s", looked.At, got, looked.Without)
		}
		before, after := gist(whole, e.Rule.ID), gist(r, e.Rule.ID)
		if before == after {
			t.Errorf("without %s the answer is the same: %s", looked.At, after)
		}
		for _, says := range looked.Says {
			if !slices.ContainsFunc(findingsOf(r, e.Rule.ID), func(f report.Finding) bool { return f.Message == says }) {
				t.Errorf("without %s nothing says %q", looked.At, says)
			}
		}
	}
}

func removing(t *testing.T, at string) []byte {
	t.Helper()
	operations, err := json.Marshal([]map[string]string{{"op": "remove", "path": at}})
	if err != nil {
		t.Fatal(err)
	}
	return operations
}

// gist is the outcome of a rule with its findings, as text.
func gist(r report.Report, rule string) string {
	text := string(outcomeOf(r, rule))
	for _, f := range findingsOf(r, rule) {
		text += "\n" + string(f.Outcome) + " " + f.At + " " + f.Message
		for _, amount := range []*report.Amount{f.Measured, f.Limit} {
			if amount != nil {
				text += " " + amount.Words()
			}
		}
	}
	return text
}

// fitsTerminal holds the text to 80 columns, but for words that are longer, and to no signs that a terminal obeys.
func fitsTerminal(t *testing.T, e *explanation.Explanation) {
	t.Helper()
	var text bytes.Buffer
	if err := explanation.Text(&text, *e); err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(text.String()) {
		line = strings.TrimSuffix(line, "\n")
		if utf8.RuneCountInString(line) > 80 && strings.Contains(strings.TrimSpace(line), " ") || strings.ContainsAny(line, "\x1b\t\r") {
			t.Errorf("%q", line)
		}
	}
	for _, want := range []string{e.Rule.ID, "What it says\n", "What it looked at\n", "Sources\n"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("the text lacks %q", want)
		}
	}
}

// What the answer of a simple rule hangs on, by hand: the strength of the vinegar and the line it stands on, nothing else.
func TestVinegarStrengthLooksAtTheVinegar(t *testing.T) {
	e := explained(t, readFile(t, "examples", "dill-cucumbers.json"), "acid.vinegar-strength")
	var at []string
	for _, looked := range e.LookedAt.Members {
		at = append(at, looked.At+" "+string(looked.Without))
	}
	if want := []string{"/recipe/ingredients/3 not_applicable", "/recipe/ingredients/3/acidity_percent undetermined"}; !slices.Equal(at, want) {
		t.Errorf("%v", at)
	}
	if len(e.ComparedWith) != 1 || e.ComparedWith[0].Value != 5 || e.ComparedWith[0].Source.Title == "" {
		t.Errorf("%+v", e.ComparedWith)
	}
}

// The tested recipe beside the cook's, by hand from the guide, p. 6-10: half a batch of 8 lb, 6 cups of vinegar and 8 cups of
// water, 10 minutes to 1,000 ft, 15 to 6,000 ft and 20 above, in pints packed raw.
func TestTestedRecipeBesideTheCooks(t *testing.T) {
	e := explained(t, readFile(t, "examples", "dill-cucumbers-in-the-mountains.json"), "process.altitude-time")
	if e.Tested == nil || len(e.Tested.Times) != 1 || !e.Tested.Followed {
		t.Fatalf("%+v", e.Tested)
	}
	var minutes []float64
	for _, band := range e.Tested.Times[0].Bands {
		minutes = append(minutes, band.Minutes)
		if band.Here != (band.Minutes == 15) {
			t.Errorf("here: %+v", band)
		}
	}
	if !slices.Equal(minutes, []float64{10, 15, 20}) {
		t.Errorf("minutes %v", minutes)
	}
	halves := 0
	for _, amount := range e.Tested.Amounts {
		if slices.Contains([]string{"low_acid_food", "acid", "water"}, amount.Role) {
			halves++
			if amount.Low == nil || *amount.Low != 0.5 || *amount.High != 0.5 {
				t.Errorf("%+v", amount)
			}
		}
	}
	if halves != 3 {
		t.Errorf("%d amounts were compared: %+v", halves, e.Tested.Amounts)
	}
	if p := e.Tested.Proportion; p == nil || p.Acid != 0.5 || p.Food != 0.5 || p.Share != 1 {
		t.Errorf("%+v", p)
	}
}

// A rule that does not apply is explained too: by what would have to be otherwise, where one member decides.
func TestRuleThatDoesNotApplyIsExplained(t *testing.T) {
	e := explained(t, readFile(t, "examples", "dill-cucumbers.json"), "process.elevation-known")
	if e.Applies || e.Outcome != report.NotApplicable || len(e.LookedAt.Members) != 1 || e.LookedAt.Members[0].At != "/kitchen/elevation" {
		t.Errorf("%s, %+v", e.Outcome, e.LookedAt.Members)
	}
}

func TestUnknownRuleHasANearestOne(t *testing.T) {
	for id, want := range map[string]string{
		"acid.vinegar-strenght": `no rule is called "acid.vinegar-strenght"; the nearest is acid.vinegar-strength`,
		"altitude-time":         `no rule is called "altitude-time"; the nearest is process.altitude-time`,
		"x":                     `no rule is called "x"`,
		"":                      `no rule is called ""`,
	} {
		if _, err := checker.Rule(id); err == nil || err.Error() != want {
			t.Errorf("%q: %v, want %s", id, err, want)
		}
	}
}

func TestBrokenDocumentIsNotExplained(t *testing.T) {
	rule, err := checker.Rule("acid.no-acid")
	if err != nil {
		t.Fatal(err)
	}
	for _, body := range []string{"", "[]", `{"recipe":{}}`, `{"recipe":{"jar":"bathtub","ingredients":[{"item":"beet","per":"batch"}]}}`} {
		if _, problem := checker.Explain(nil, []byte(body), rule); problem == nil {
			t.Errorf("%s was explained", body)
		}
	}
}

// Explaining moves limits about to see which of them decide. It must leave the tables as they are.
func TestExplainingLeavesNoTrace(t *testing.T) {
	body := readFile(t, "examples", "canning-day-one-unsealed.json")
	before, err := json.Marshal(checkBytes(t, body))
	if err != nil {
		t.Fatal(err)
	}
	limits := slices.Clone(checker.tables.Limits)
	for _, id := range []string{"batch.reprocess-window", "batch.seal-check-time", "acid.published-ratio"} {
		explained(t, body, id)
	}
	after, err := json.Marshal(checkBytes(t, body))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(before, after) || !slices.Equal(limits, checker.tables.Limits) {
		t.Error("the report or the limits are not what they were")
	}
}

// A document with very many members is explained in bounded time, and it is said how many were not tried.
func TestMembersBeyondTheBoundAreCounted(t *testing.T) {
	line := `{"item":"black pepper","amount":{"value":1,"unit":"tsp"},"per":"batch"}`
	body := `{"recipe":{"keep":"shelf","ingredients":[{"item":"cucumber","amount":{"value":1,"unit":"lb"},"per":"batch"}` + strings.Repeat(","+line, 90) + `]}}`
	e := explained(t, []byte(body), "acid.no-acid")
	if got := e.LookedAt.Tried + e.LookedAt.Needed; got != 300 || e.LookedAt.NotTried != 1+91*4-300 {
		t.Errorf("tried or needed %d, not tried %d", got, e.LookedAt.NotTried)
	}
	long := strings.Replace(body, `{"recipe"`, `{"extensions":{"x":"`+strings.Repeat("x", 160<<10)+`"},"recipe"`, 1)
	e = explained(t, []byte(long), "acid.no-acid")
	if got := e.LookedAt.Tried + e.LookedAt.Needed; got < 20 || got > 30 || e.LookedAt.NotTried != 1+91*4-got {
		t.Errorf("of a document ten times as long as any: tried or needed %d, not tried %d", got, e.LookedAt.NotTried)
	}
}

// A rule that objects to each line says so again for each member that is left out; not all of that is told.
func TestWhatIsSaidOfAMemberIsBounded(t *testing.T) {
	line := `{"item":"no such food","per":"batch"}`
	body := `{"recipe":{"keep":"shelf","ingredients":[` + line + strings.Repeat(","+line, 60) + `]}}`
	e := explained(t, []byte(body), "ingredient.unknown")
	if len(e.Findings) != 61 || len(e.LookedAt.Members) == 0 {
		t.Fatalf("%d findings, %d members looked at", len(e.Findings), len(e.LookedAt.Members))
	}
	for _, member := range e.LookedAt.Members {
		if len(member.Says) != explanation.MostSaid {
			t.Errorf("without %s it says %d things", member.At, len(member.Says))
		}
	}
}

// TestRenderedExplanations holds the words of two explanations to the files in explanation/testdata.
func TestRenderedExplanations(t *testing.T) {
	for _, golden := range []struct{ example, rule string }{
		{"dill-cucumbers-in-the-mountains", "process.altitude-time"},
		{"salsa-too-many-peppers", "acid.published-ratio"},
		{"canning-day-one-unsealed", "batch.reprocess-window"},
	} {
		t.Run(golden.rule, func(t *testing.T) {
			var rendered bytes.Buffer
			if err := explanation.Text(&rendered, explained(t, readFile(t, "examples", golden.example+".json"), golden.rule)); err != nil {
				t.Fatal(err)
			}
			file := filepath.Join("explanation", "testdata", golden.rule+".txt")
			if *update {
				if err := os.WriteFile(file, rendered.Bytes(), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(rendered.Bytes(), want) {
				t.Errorf("%s reads otherwise now; read it, then run go test ./validate -run RenderedExplanations -update\n%s", file,
					firstDifference(rendered.String(), string(want)))
			}
		})
	}
}

// BenchmarkWhy is what one explanation costs.
func BenchmarkWhy(b *testing.B) {
	body := readFile(b, "examples", "corn-relish-changed.json")
	for b.Loop() {
		explained(b, body, "acid.published-ratio")
	}
}
