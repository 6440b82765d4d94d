package validate

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	jsonpatch "github.com/evanphx/json-patch/v5"

	"jarwright/validate/report"
	"jarwright/validate/rules"
)

// everPublished is every rule id that a rule set was ever published with. An id is never taken away and never given a new
// meaning, because clients, logs and pages hold on to it. A new rule adds a line here.
var everPublished = []string{
	"acid.acid-in-reserve",
	"acid.equilibrium-ph",
	"acid.juice-bottled",
	"acid.lime-rinsed",
	"acid.liquid-for-food",
	"acid.no-acid",
	"acid.published-ratio",
	"acid.sweetened-liquid",
	"acid.vinegar-origin",
	"acid.vinegar-strength",
	"batch.boil-continuous",
	"batch.food-covered",
	"batch.headspace",
	"batch.label",
	"batch.lifting-wait",
	"batch.liquid-lost",
	"batch.ph-calibration",
	"batch.ph-equilibrium",
	"batch.ph-instrument",
	"batch.ph-limit",
	"batch.ph-temperature",
	"batch.record",
	"batch.reprocess-window",
	"batch.seal",
	"batch.seal-check-time",
	"batch.spoilage",
	"batch.time-held",
	"batch.water-cover",
	"ingredient.blossom-end",
	"ingredient.contradiction",
	"ingredient.egg",
	"ingredient.fat",
	"ingredient.firming-agent",
	"ingredient.fresh-herb",
	"ingredient.garlic-in-oil",
	"ingredient.low-acid-extra",
	"ingredient.poured-away",
	"ingredient.pureed",
	"ingredient.salt-and-sugar",
	"ingredient.salt-in-ferment",
	"ingredient.salt-kind",
	"ingredient.seasoning-in-bulk",
	"ingredient.thickener",
	"ingredient.unknown",
	"ingredient.unsuitable",
	"ingredient.words",
	"keeping.best-before",
	"keeping.cure",
	"keeping.listeria-cold",
	"keeping.refrigerated-only",
	"keeping.refrigerated-until",
	"keeping.storage-temperature",
	"measure.count-without-size",
	"measure.dimension",
	"measure.salt-by-volume",
	"pack.brine-enough",
	"pack.brine-spare",
	"pack.filled-hot",
	"pack.food-covered",
	"pack.food-per-jar",
	"pack.headspace",
	"pack.jar-size",
	"pack.metric-jar",
	"pack.piece-fits",
	"pack.piece-size",
	"pack.solids-headspace",
	"pack.style",
	"pack.thermal-shock",
	"process.altitude-time",
	"process.elevation-known",
	"process.low-temperature",
	"process.method",
	"process.over-processed",
	"process.published-match",
	"process.steam-jars",
	"process.steam-limit",
	"process.steps",
	"process.steps-for-quality",
	"process.steps-not-compared",
	"process.sterile-jars",
	"process.temperature",
	"process.water-cover",
}

// cannot lists, by rule, the outcomes that it cannot have, with the reason. Every rule has a case for each other outcome
// but undetermined.
var cannot = map[string]map[report.Outcome]string{
	"batch.record":            {report.Fail: "a record that contradicts itself does not say which of the two is so"},
	"batch.ph-instrument":     {report.Fail: "a reading that is no evidence says nothing, neither good nor bad"},
	"batch.ph-calibration":    {report.Fail: "a reading that is no evidence says nothing, neither good nor bad"},
	"batch.ph-temperature":    {report.Fail: "a reading that is no evidence says nothing, neither good nor bad"},
	"batch.ph-equilibrium":    {report.Fail: "a reading that is no evidence says nothing, neither good nor bad"},
	"ingredient.words":        {report.Fail: "a word that is not understood may mean anything: it asks, and is never wrong"},
	"ingredient.unknown":      {report.Fail: "a word that is not in the catalog may stand for anything: it is not known, never wrong"},
	"process.elevation-known": {report.Fail: "an elevation that is left out is not known, never wrong"},
}

var idPattern = regexp.MustCompile(`^[a-z]+\.[a-z-]+$`)

func TestRuleIDsLastForEver(t *testing.T) {
	var have []string
	for _, r := range rules.All() {
		if !idPattern.MatchString(r.ID) {
			t.Errorf("%q is not a family, a dot and a name", r.ID)
		}
		have = append(have, r.ID)
	}
	slices.Sort(have)
	if len(slices.Compact(slices.Clone(have))) != len(have) {
		t.Errorf("two rules have one id: %v", have)
	}
	if !slices.Equal(have, everPublished) {
		t.Errorf("the rules are\n%s\nand those ever published\n%s", strings.Join(have, "\n"), strings.Join(everPublished, "\n"))
	}
}

func TestRuleMetadata(t *testing.T) {
	severities := []report.Severity{report.Error, report.Warning, report.Info}
	hazards := []report.Hazard{report.Botulism, report.Pathogen, report.Spoilage, report.Injury, report.Quality}
	since := regexp.MustCompile(`^20\d\d\.\d+$`)
	for _, r := range rules.All() {
		if r.Title == "" || strings.HasSuffix(r.Title, ".") {
			t.Errorf("%s: title %q", r.ID, r.Title)
		}
		for what, text := range map[string]string{"about": r.About, "remedy": r.Remedy} {
			if !sentence(text) {
				t.Errorf("%s: %s %q is not a sentence", r.ID, what, text)
			}
		}
		if !slices.Contains(severities, r.Severity) || !slices.Contains(hazards, r.Hazard) || !since.MatchString(r.Since) {
			t.Errorf("%s: severity %q, hazard %q, since %q", r.ID, r.Severity, r.Hazard, r.Since)
		}
		if newest := checker.tables.Ruleset().Number; r.Since > newest {
			t.Errorf("%s: since %s, but the rule set is %s", r.ID, r.Since, newest)
		}
		if r.Applies == nil || r.Run == nil {
			t.Errorf("%s cannot be run", r.ID)
		}
		if len(r.Sources) == 0 {
			t.Errorf("%s names no source", r.ID)
		}
		for _, c := range r.Sources {
			if _, ok := checker.tables.Source(c.Source); !ok {
				t.Errorf("%s: source %q is not in the bibliography", r.ID, c.Source)
			}
			// Judgment of our own is never above info.
			if c.Source == "practice" && len(r.Sources) == 1 && r.Severity != report.Info {
				t.Errorf("%s rests on practice alone and is of severity %s", r.ID, r.Severity)
			}
		}
	}
}

// sentence reports whether a text begins with a capital letter, a figure or a quotation mark and ends with a period.
func sentence(text string) bool {
	return text != "" && strings.HasSuffix(text, ".") && !strings.HasSuffix(text, "..") && !regexp.MustCompile(`^[a-z]`).MatchString(text)
}

// ruleCase is one file below testdata/rules: a document, made from another by a JSON Patch (RFC 6902), that a rule judges
// as the name of the file says.
type ruleCase struct {
	Description string          `json:"description"`
	Base        string          `json:"base"` // path from the top folder
	Patch       json.RawMessage `json:"patch"`
	rule        string
	want        report.Outcome
	document    []byte
}

const casesFolder = "testdata/rules"

func ruleCases(t testing.TB) []ruleCase {
	t.Helper()
	folders, err := os.ReadDir(filepath.Join(top, casesFolder))
	if err != nil {
		t.Fatal(err)
	}
	var all []ruleCase
	for _, folder := range folders {
		for _, name := range fileNames(t, "", casesFolder, folder.Name()) {
			c := ruleCase{rule: folder.Name(), want: report.Outcome(strings.TrimSuffix(name, ".json"))}
			decoder := json.NewDecoder(bytes.NewReader(readFile(t, casesFolder, folder.Name(), name)))
			decoder.DisallowUnknownFields()
			if err := decoder.Decode(&c); err != nil {
				t.Fatalf("%s/%s: %v", folder.Name(), name, err)
			}
			c.document = patched(t, readFile(t, c.Base), c.Patch)
			all = append(all, c)
		}
	}
	return all
}

// patched applies a JSON Patch to a document.
func patched(t testing.TB, document, operations []byte) []byte {
	t.Helper()
	patch, err := jsonpatch.DecodePatch(operations)
	if err != nil {
		t.Fatalf("%s: %v", operations, err)
	}
	after, err := patch.Apply(document)
	if err != nil {
		t.Fatalf("%s: %v", operations, err)
	}
	return after
}

func outcomeOf(r report.Report, id string) report.Outcome {
	for _, o := range r.Rules {
		if o.Rule == id {
			return o.Outcome
		}
	}
	return ""
}

func TestRuleCases(t *testing.T) {
	for _, c := range ruleCases(t) {
		t.Run(c.rule+"/"+string(c.want), func(t *testing.T) {
			if !sentence(c.Description) {
				t.Errorf("description %q is not a sentence", c.Description)
			}
			r := checkBytes(t, c.document)
			if got := outcomeOf(r, c.rule); got != c.want {
				t.Errorf("%s: %s\n%s", c.Description, got, c.document)
				for _, f := range r.Findings {
					t.Logf("   %s %s %s: %s", f.Rule, f.Outcome, f.At, f.Message)
				}
			}
			spoke := slices.ContainsFunc(r.Findings, func(f report.Finding) bool { return f.Rule == c.rule && f.Outcome == c.want })
			if says := c.want == report.Fail || c.want == report.Undetermined; spoke != says {
				t.Errorf("%s: a finding of it: %v, want %v", c.Description, spoke, says)
			}
		})
	}
}

// A rule without a case for what it guards against is a rule that nobody has seen at work.
func TestEveryRuleHasItsCases(t *testing.T) {
	have := map[string][]report.Outcome{}
	for _, c := range ruleCases(t) {
		have[c.rule] = append(have[c.rule], c.want)
	}
	for _, r := range rules.All() {
		for _, outcome := range []report.Outcome{report.Pass, report.Fail, report.NotApplicable} {
			reason, never := cannot[r.ID][outcome]
			if got := slices.Contains(have[r.ID], outcome); got == never {
				t.Errorf("%s has a case for %s: %v (%s)", r.ID, outcome, got, reason)
			}
		}
		if len(cannot[r.ID]) > 0 && !slices.Contains(have[r.ID], report.Undetermined) {
			t.Errorf("%s cannot fail and has no case in which it is undetermined", r.ID)
		}
		delete(have, r.ID)
	}
	for folder := range have {
		t.Errorf("%s/%s belongs to no rule", casesFolder, folder)
	}
}

// Whatever a rule says has to be fit to be read by a cook: full sentences, a remedy, a source that can be looked up.
func TestFindingsAreFitToRead(t *testing.T) {
	for _, c := range ruleCases(t) {
		for _, f := range checkBytes(t, c.document).Findings {
			if !sentence(f.Message) || !sentence(f.Remedy) {
				t.Errorf("%s in %s/%s: %q %q", f.Rule, c.rule, c.want, f.Message, f.Remedy)
			}
			if len(f.Sources) == 0 {
				t.Errorf("%s in %s/%s names no source", f.Rule, c.rule, c.want)
			}
			for _, s := range f.Sources {
				if _, ok := checker.tables.Source(s.Source); !ok {
					t.Errorf("%s in %s/%s: source %q is not in the bibliography", f.Rule, c.rule, c.want, s.Source)
				}
			}
			for _, id := range f.Changes {
				if _, ok := checker.tables.Change(id); !ok {
					t.Errorf("%s in %s/%s: change %q is not in the table", f.Rule, c.rule, c.want, id)
				}
			}
		}
	}
}

// A fix is a promise, and the cases hold ways of heating that no tested recipe has.
func TestFixesMendTheCases(t *testing.T) {
	for _, c := range ruleCases(t) {
		before := checkBytes(t, c.document)
		for _, f := range before.Findings {
			if len(f.Fix) > 0 {
				mends(t, variant{name: c.rule + "/" + string(c.want), body: c.document}, before, []report.Finding{f}, f.Fix)
			}
		}
	}
}

// Documents of the corpus that are not fit for the shelf although their cook follows the printed recipe. Outside truth:
// the guide prints these without a boiling-water process, or the copies read print none.
var corpusElsewhere = map[string]report.Disposition{
	"pickled-horseradish-sauce.json":                report.Refrigerate, // usda-2015, p. 6-30
	"pickled-pepper-onion-relish-refrigerated.json": report.Refrigerate, // usda-2015, p. 6-30
	"tomatoes-with-okra-or-zucchini.json":           report.Hold,        // usda-2015, p. 3-12 to 3-13: pressure only
	"spaghetti-sauce-without-meat.json":             report.Hold,        // usda-2015, p. 3-13 to 3-14: pressure only
	"mexican-tomato-sauce.json":                     report.Hold,        // usda-2015, p. 3-15 to 3-16: pressure only
	"peach-pickles.json":                            report.Hold,        // uga-b989: no time in the copies read
	"harvest-time-apple-relish.json":                report.Hold,        // nchfp: no time in the copies read
}

func TestCorpus(t *testing.T) {
	files := fileNames(t, ".json", "testdata", "corpus")
	for _, name := range files {
		want, elsewhere := corpusElsewhere[name]
		if !elsewhere {
			want = report.Shelf
		}
		if r := checkBytes(t, readFile(t, "testdata", "corpus", name)); r.Disposition != want {
			t.Errorf("%s: %s, want %s: %+v", name, r.Disposition, want, aboveInfo(r))
		}
	}
	if followed := len(checker.tables.Recipes) - 1; len(files) != followed { // refrigerated-pickled-eggs prints no pack
		t.Errorf("%d documents for %d recipes that print a pack", len(files), followed)
	}
}
