package ingest_test

import (
	"bytes"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"jarwright/validate/ingest"
	"jarwright/validate/measure"
)

// valid is a request in which every member of the schema stands once, about 2 kB; tests change one piece of it.
const valid = `{
  "recipe": {
    "name": "Dilled green beans",
    "follows": "pickled-dilled-beans",
    "kind": "brined",
    "keep": "shelf",
    "jar": "pint",
    "jars": 8,
    "pack": "raw",
    "headspace": {"value": 0.5, "unit": "in"},
    "jar_preparation": "sterilized",
    "ingredients": [
      {"item": "green-bean", "form": "whole, trimmed", "amount": {"value": 4, "unit": "lb"}, "per": "batch",
        "piece": {"length": {"value": 4, "unit": "in"}, "thickness": {"value": 8, "unit": "mm"}}},
      {"item": "white-vinegar", "amount": {"value": 5, "unit": "cup"}, "per": "batch", "acidity_percent": 5},
      {"item": "lemon-juice", "amount": {"value": 1, "unit": "tbsp"}, "per": "jar", "bottled": true},
      {"item": "water", "amount": {"unit": "to_cover"}, "per": "batch", "drained": true},
      {"item": "salt", "amount": {"value": 0.5, "unit": "cup"}, "per": "batch", "salt_kind": "canning"},
      {"item": "dill-seed", "amount": {"value": 1, "unit": "tsp"}, "per": "jar"},
      {"item": "garlic", "form": "peeled", "amount": {"value": 1, "unit": "clove"}, "per": "jar"},
      {"item": "red-pepper-flakes", "amount": {"value": 0.25, "unit": "tsp"}, "per": "jar"},
      {"item": "pickling-lime", "amount": {"value": 1, "unit": "cup"}, "per": "batch", "drained": true, "rinses": 3.0}
    ],
    "process": {
      "method": "boiling_water",
      "time": {"value": 10, "unit": "min"},
      "temperature": {"value": 212, "unit": "F"},
      "water_over_lids": {"value": 1, "unit": "in"}
    },
    "rest": {"value": 3, "unit": "wk"}
  },
  "kitchen": {"elevation": {"value": -20, "unit": "ft"}},
  "as_of": "2026-08-15",
  "assume": {
    "vinegar_acidity_percent": 5,
    "bottled_acids": true,
    "salt_kind": "canning",
    "water_over_lids": {"value": 2.5, "unit": "cm"}
  },
  "extensions": {"my app": [1, "two", null, {"three": 3}]}
}`

// change gives the valid request with the first occurrence of a piece of its text replaced.
func change(t testing.TB, from, to string) string {
	t.Helper()
	if !strings.Contains(valid, from) {
		t.Fatalf("the valid request does not contain %s", from)
	}
	return strings.Replace(valid, from, to, 1)
}

func newReader(t testing.TB) *ingest.Reader {
	t.Helper()
	units, err := measure.LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	reader, err := ingest.NewReader(units)
	if err != nil {
		t.Fatal(err)
	}
	return reader
}

// codes gives each error as "code pointer", with the member it names where it has one.
func codes(problem *ingest.Problem) []string {
	var found []string
	for _, e := range problem.Errors {
		line := e.Code + " " + e.Pointer
		if e.Params != nil && e.Params.Member != "" {
			line += " (" + e.Params.Member + ")"
		}
		found = append(found, line)
	}
	return found
}

func TestValidRequestIsReadWhole(t *testing.T) {
	request, problem := newReader(t).Request([]byte(valid))
	if problem != nil {
		t.Fatalf("refused: %+v", *problem)
	}
	written, err := json.Marshal(request, json.Deterministic(true))
	if err != nil {
		t.Fatal(err)
	}
	// Nothing may get lost between the schema and the Go types: reading and writing gives the same members back.
	want, got := jsontext.Value(valid), jsontext.Value(written)
	for _, value := range []*jsontext.Value{&want, &got} {
		if err := value.Canonicalize(); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(want, got) {
		t.Errorf("read and written again:\n%s\nwant\n%s", got, want)
	}
}

func TestOwnJarAndEmptyOptions(t *testing.T) {
	body := change(t, `"jar": "pint"`, `"jar": {"capacity": {"value": 500, "unit": "mL"}, "mouth": {"value": 70, "unit": "mm"}}`)
	request, problem := newReader(t).Request([]byte(body))
	if problem != nil {
		t.Fatalf("refused: %+v", *problem)
	}
	jar := request.Recipe.Jar
	if jar.ID != "" || *jar.Capacity.Value != 500 || jar.InteriorHeight != nil || jar.Mouth.Unit != "mm" {
		t.Errorf("jar = %+v", jar)
	}

	request, problem = newReader(t).Request([]byte(`{"recipe":{"ingredients":[{"item":"cucumber","per":"jar"}]}}`))
	if problem != nil {
		t.Fatalf("the least request is refused: %+v", *problem)
	}
	recipe := request.Recipe
	if recipe.Jar != nil || recipe.Jars != nil || recipe.Process != nil || recipe.Ingredients[0].Amount != nil || request.Kitchen != nil {
		t.Errorf("a member that is absent was given a value: %+v", request)
	}
}

func nested(depth int) string {
	return `{"recipe":{"ingredients":[{"item":"x","per":"jar"}]},"extensions":` +
		strings.Repeat(`{"a":`, depth) + "1" + strings.Repeat("}", depth) + "}"
}

// refusal is a body and what is wrong with it; without any error it is read.
type refusal struct {
	name   string
	body   string
	code   string   // of the problem
	errors []string // as codes gives them
}

// notJSON are bodies that are not one JSON value that every reader understands in the same way.
func notJSON(t *testing.T) []refusal {
	t.Helper()
	return []refusal{
		{"empty", "", ingest.ProblemMalformed, []string{"empty_body "}},
		{"white space only", " \n\t ", ingest.ProblemMalformed, []string{"empty_body "}},
		{"words", "hello", ingest.ProblemMalformed, []string{"not_json "}},
		{"cut", valid[:300], ingest.ProblemMalformed, []string{"not_json /recipe/ingredients/0"}},
		{"trailing data", valid + "{}", ingest.ProblemMalformed, []string{"not_json "}},
		{"trailing garbage", valid + "x", ingest.ProblemMalformed, []string{"not_json "}},
		{"comma too many", `{"recipe": {"ingredients": [],}}`, ingest.ProblemMalformed, []string{"not_json /recipe"}},
		{"single quotes", `{'recipe': 1}`, ingest.ProblemMalformed, []string{"not_json "}},
		{"comment", "// beans\n" + valid, ingest.ProblemMalformed, []string{"not_json "}},
		{"byte order mark", "\ufeff" + valid, ingest.ProblemMalformed, []string{"not_json "}},
		{"NaN", change(t, `"jars": 8`, `"jars": NaN`), ingest.ProblemMalformed, []string{"not_json /recipe/jars"}},
		{"leading zero", change(t, `"jars": 8`, `"jars": 08`), ingest.ProblemMalformed, []string{"not_json /recipe"}},
		{"lone surrogate", change(t, `Dilled`, `\ud800`), ingest.ProblemMalformed, []string{"not_json /recipe/name"}},
		{"invalid UTF-8", change(t, `Dilled`, "\xff"), ingest.ProblemMalformed, []string{"invalid_utf8 "}},
		{"huge number", change(t, `"jars": 8`, `"jars": 1e5000000`), ingest.ProblemMalformed, []string{"number_out_of_range /recipe/jars"}},
		{"two huge numbers", `{"a":1e400,"b":[-1e999]}`, ingest.ProblemMalformed, []string{"number_out_of_range /a", "number_out_of_range /b/0"}},
		{
			"duplicates", `{"a":1,"x":{"b":1,"b":2,"c":1,"c":3},"a":2}`, ingest.ProblemMalformed,
			[]string{"duplicate_member  (a)", "duplicate_member /x (b)", "duplicate_member /x (c)"},
		},
		{
			"duplicate in extensions", change(t, `"three": 3`, `"three": 3, "three": 4`), ingest.ProblemMalformed,
			[]string{"duplicate_member /extensions/my app/3 (three)"},
		},
		{"duplicate by escape", change(t, `"jars": 8`, `"jars": 8, "\u006aars": 9`), ingest.ProblemMalformed, []string{"duplicate_member /recipe (jars)"}},
		{"deepest allowed", nested(ingest.MaxDepth - 1), "", nil},
		{"too deep", nested(ingest.MaxDepth), ingest.ProblemMalformed, []string{"too_deep /extensions" + strings.Repeat("/a", ingest.MaxDepth-1)}},
		{"very deep", strings.Repeat("[", 10_000), ingest.ProblemMalformed, []string{"too_deep " + strings.Repeat("/0", ingest.MaxDepth)}},
		{"too large", `{"extensions":{"a":"` + strings.Repeat("x", ingest.MaxBytes) + `"}}`, ingest.ProblemTooLarge, []string{"body_too_large "}},
	}
}

// wrongShapes are documents whose members are of the wrong kind, missing or unknown.
func wrongShapes(t *testing.T) []refusal {
	t.Helper()
	return []refusal{
		{"list", `[]`, ingest.ProblemInvalid, []string{"wrong_type "}},
		{"null", `null`, ingest.ProblemInvalid, []string{"wrong_type "}},
		{"empty object", `{}`, ingest.ProblemInvalid, []string{"missing_member  (recipe)"}},
		{"empty recipe", `{"recipe":{}}`, ingest.ProblemInvalid, []string{"missing_member /recipe (ingredients)"}},
		{"null member", change(t, `"jars": 8`, `"jars": null`), ingest.ProblemInvalid, []string{"wrong_type /recipe/jars"}},
		{"number as text", change(t, `"jars": 8`, `"jars": "8"`), ingest.ProblemInvalid, []string{"wrong_type /recipe/jars"}},
		{"bare number", change(t, `{"value": 0.5, "unit": "in"}`, `0.5`), ingest.ProblemInvalid, []string{"wrong_type /recipe/headspace"}},
		{"jar as number", change(t, `"jar": "pint"`, `"jar": 16`), ingest.ProblemInvalid, []string{"wrong_type /recipe/jar"}},
		{"empty jar", change(t, `"jar": "pint"`, `"jar": ""`), ingest.ProblemInvalid, []string{"too_short /recipe/jar"}},
		{"jar without capacity", change(t, `"jar": "pint"`, `"jar": {}`), ingest.ProblemInvalid, []string{"missing_member /recipe/jar (capacity)"}},
		{
			"own jar, unknown member", change(t, `"jar": "pint"`, `"jar": {"capacity": {"value": 1, "unit": "pt"}, "color": "blue"}`), ingest.ProblemInvalid,
			[]string{"unknown_member /recipe/jar/color (color)"},
		},
		{"no ingredient", `{"recipe":{"ingredients":[]}}`, ingest.ProblemInvalid, []string{"too_few /recipe/ingredients"}},
		{
			"missing item and per", change(t, `"item": "garlic", "form": "peeled", "amount": {"value": 1, "unit": "clove"}, "per": "jar"`, `"form": "peeled"`),
			ingest.ProblemInvalid,
			[]string{"missing_member /recipe/ingredients/6 (item)", "missing_member /recipe/ingredients/6 (per)"},
		},
	}
}

// wrongMembers are documents with quantities, members and words that the schema does not have.
func wrongMembers(t *testing.T) []refusal {
	t.Helper()
	return []refusal{
		{
			"quantity without both", change(t, `{"value": 0.5, "unit": "in"}`, `{}`), ingest.ProblemInvalid,
			[]string{"missing_member /recipe/headspace (unit)", "missing_member /recipe/headspace (value)"},
		},
		{
			"amount without value", change(t, `{"value": 4, "unit": "lb"}`, `{"unit": "lb"}`),
			ingest.ProblemInvalid,
			[]string{"missing_member /recipe/ingredients/0/amount (value)"},
		},
		{
			"amount without unit", change(t, `{"value": 4, "unit": "lb"}`, `{"value": 4}`),
			ingest.ProblemInvalid,
			[]string{"missing_member /recipe/ingredients/0/amount (unit)"},
		},
		{
			"empty amount", change(t, `{"value": 4, "unit": "lb"}`, `{}`), ingest.ProblemInvalid,
			[]string{"missing_member /recipe/ingredients/0/amount (unit)", "missing_member /recipe/ingredients/0/amount (value)"},
		},
		{
			"to_cover with value", change(t, `{"unit": "to_cover"}`, `{"unit": "to_cover", "value": 3}`), ingest.ProblemInvalid,
			[]string{"not_allowed /recipe/ingredients/3/amount/value (value)"},
		},
		{"as_needed", change(t, `{"unit": "to_cover"}`, `{"unit": "as_needed"}`), "", nil},
		{
			"unknown members", change(t, `"jars": 8`, `"jar_count": 8, "vinegar": 5`), ingest.ProblemInvalid,
			[]string{"unknown_member /recipe/jar_count (jar_count)", "unknown_member /recipe/vinegar (vinegar)"},
		},
		{
			"unknown member with awkward name", change(t, `"jars": 8`, `"a/b~c %41 é": 8`), ingest.ProblemInvalid,
			[]string{"unknown_member /recipe/a~1b~0c %41 é (a/b~c %41 é)"},
		},
		{"wrong case", change(t, `"jars": 8`, `"Jars": 8`), ingest.ProblemInvalid, []string{"unknown_member /recipe/Jars (Jars)"}},
		{"unknown method", change(t, `boiling_water`, `boiling`), ingest.ProblemInvalid, []string{"not_allowed /recipe/process/method"}},
		{"unknown unit", change(t, `"unit": "cup"`, `"unit": "cups"`), ingest.ProblemInvalid, []string{"not_allowed /recipe/ingredients/1/amount/unit"}},
		{
			"wrong dimension", change(t, `{"value": 0.5, "unit": "in"}`, `{"value": 0.5, "unit": "lb"}`),
			ingest.ProblemInvalid,
			[]string{"wrong_dimension /recipe/headspace/unit"},
		},
		{
			"length as amount", change(t, `{"value": 4, "unit": "lb"}`, `{"value": 4, "unit": "in"}`),
			ingest.ProblemInvalid,
			[]string{"wrong_dimension /recipe/ingredients/0/amount/unit"},
		},
	}
}

// wrongValues are documents with values that the schema does not allow.
func wrongValues(t *testing.T) []refusal {
	t.Helper()
	return []refusal{
		{
			"negative amount", change(t, `{"value": 4, "unit": "lb"}`, `{"value": -4, "unit": "lb"}`),
			ingest.ProblemInvalid,
			[]string{"too_small /recipe/ingredients/0/amount/value"},
		},
		{"nothing of it", change(t, `{"value": 4, "unit": "lb"}`, `{"value": 0, "unit": "lb"}`), "", nil},
		{"no jars", change(t, `"jars": 8`, `"jars": 0`), ingest.ProblemInvalid, []string{"too_small /recipe/jars"}},
		{"half a jar", change(t, `"jars": 8`, `"jars": 8.5`), ingest.ProblemInvalid, []string{"not_whole /recipe/jars"}},
		{"whole with a point", change(t, `"jars": 8`, `"jars": 8.0`), "", nil},
		{
			"strong vinegar", change(t, `"acidity_percent": 5`, `"acidity_percent": 500`),
			ingest.ProblemInvalid,
			[]string{"too_large /recipe/ingredients/1/acidity_percent"},
		},
		{"too many rinses", change(t, `"rinses": 3.0`, `"rinses": 51`), ingest.ProblemInvalid, []string{"too_large /recipe/ingredients/8/rinses"}},
		{"long name", change(t, `Dilled green beans`, strings.Repeat("é", 201)), ingest.ProblemInvalid, []string{"too_long /recipe/name"}},
		{"longest name", change(t, `Dilled green beans`, strings.Repeat("é", 200)), "", nil},
		{"a moment", change(t, `"as_of": "2026-08-15"`, `"as_of": "2026-08-15T09:00:00-06:00"`), "", nil},
		{
			"a moment without an offset", change(t, `"as_of": "2026-08-15"`, `"as_of": "2026-08-15T09:00:00"`),
			ingest.ProblemInvalid,
			[]string{"bad_format /as_of"},
		},
		{
			"an offset in words", change(t, `"as_of": "2026-08-15"`, `"batch": {"jars": [{"id": "1"}], "utc_offset": "MDT"}`),
			ingest.ProblemInvalid,
			[]string{"bad_format /batch/utc_offset"},
		},
		{"no jars in a batch", change(t, `"as_of": "2026-08-15"`, `"batch": {"jars": []}`), ingest.ProblemInvalid, []string{"too_few /batch/jars"}},
		{
			"a deep canner", change(t, `"as_of": "2026-08-15"`, `"batch": {"jars": [{"id": "1"}], "events": [{"at": "2026-08-15T09:00:00Z", `+
				`"event": "water_level", "water_over_lids": {"value": 1, "unit": "m"}}]}`),
			ingest.ProblemInvalid,
			[]string{"out_of_range /batch/events/0/water_over_lids/value"},
		},
		{"no such day", change(t, `2026-08-15`, `2026-02-30`), ingest.ProblemInvalid, []string{"bad_format /as_of"}},
		{
			"many ingredients", `{"recipe":{"ingredients":[` + strings.Repeat(`{"item":"x","per":"jar"},`, 249) + `{"item":"x","per":"jar"}]}}`,
			ingest.ProblemInvalid,
			[]string{"too_many /recipe/ingredients"},
		},
	}
}

// wrongQuantities are documents with quantities that no kitchen ever had.
func wrongQuantities(t *testing.T) []refusal {
	t.Helper()
	return []refusal{
		{
			"tonne of beans", change(t, `{"value": 4, "unit": "lb"}`, `{"value": 1001, "unit": "kg"}`),
			ingest.ProblemInvalid,
			[]string{"out_of_range /recipe/ingredients/0/amount/value"},
		},
		{
			"sea of vinegar", change(t, `{"value": 5, "unit": "cup"}`, `{"value": 265, "unit": "gal"}`),
			ingest.ProblemInvalid,
			[]string{"out_of_range /recipe/ingredients/1/amount/value"},
		},
		{"headspace of a foot", change(t, `{"value": 0.5, "unit": "in"}`, `{"value": 1, "unit": "ft"}`), "", nil},
		{
			"headspace above a foot", change(t, `{"value": 0.5, "unit": "in"}`, `{"value": 31, "unit": "cm"}`),
			ingest.ProblemInvalid,
			[]string{"out_of_range /recipe/headspace/value"},
		},
		{
			"long piece", change(t, `{"value": 4, "unit": "in"}`, `{"value": 4, "unit": "ft"}`),
			ingest.ProblemInvalid,
			[]string{"out_of_range /recipe/ingredients/0/piece/length/value"},
		},
		{
			"thick piece", change(t, `{"value": 8, "unit": "mm"}`, `{"value": 8, "unit": "m"}`),
			ingest.ProblemInvalid,
			[]string{"out_of_range /recipe/ingredients/0/piece/thickness/value"},
		},
	}
}

// wrongProcesses are documents with a process, an elevation or a jar that no kitchen ever had.
func wrongProcesses(t *testing.T) []refusal {
	t.Helper()
	return []refusal{
		{
			"process of days", change(t, `{"value": 10, "unit": "min"}`, `{"value": 10, "unit": "d"}`),
			ingest.ProblemInvalid,
			[]string{"out_of_range /recipe/process/time/value"},
		},
		{
			"boiling hot oven", change(t, `{"value": 212, "unit": "F"}`, `{"value": 212, "unit": "C"}`),
			ingest.ProblemInvalid,
			[]string{"out_of_range /recipe/process/temperature/value"},
		},
		{
			"colder than Siberia", change(t, `{"value": 212, "unit": "F"}`, `{"value": -41, "unit": "F"}`),
			ingest.ProblemInvalid,
			[]string{"out_of_range /recipe/process/temperature/value"},
		},
		{
			"deep water", change(t, `{"value": 1, "unit": "in"}`, `{"value": 1, "unit": "m"}`),
			ingest.ProblemInvalid,
			[]string{"out_of_range /recipe/process/water_over_lids/value"},
		},
		{
			"deep water, assumed", change(t, `{"value": 2.5, "unit": "cm"}`, `{"value": 2.5, "unit": "m"}`),
			ingest.ProblemInvalid,
			[]string{"out_of_range /assume/water_over_lids/value"},
		},
		{
			"rest of years", change(t, `{"value": 3, "unit": "wk"}`, `{"value": 37, "unit": "mo"}`),
			ingest.ProblemInvalid,
			[]string{"out_of_range /recipe/rest/value"},
		},
		{
			"in space", change(t, `{"value": -20, "unit": "ft"}`, `{"value": 10000, "unit": "m"}`),
			ingest.ProblemInvalid,
			[]string{"out_of_range /kitchen/elevation/value"},
		},
		{
			"under the sea", change(t, `{"value": -20, "unit": "ft"}`, `{"value": -500, "unit": "m"}`),
			ingest.ProblemInvalid,
			[]string{"out_of_range /kitchen/elevation/value"},
		},
		{
			"thimble", change(t, `"jar": "pint"`, `"jar": {"capacity": {"value": 0, "unit": "mL"}}`),
			ingest.ProblemInvalid,
			[]string{"out_of_range /recipe/jar/capacity/value"},
		},
		{
			"flat jar", change(t, `"jar": "pint"`, `"jar": {"capacity": {"value": 1, "unit": "pt"}, "interior_height": {"value": 0, "unit": "in"}, `+
				`"mouth": {"value": 0, "unit": "in"}}`),
			ingest.ProblemInvalid,
			[]string{"out_of_range /recipe/jar/interior_height/value", "out_of_range /recipe/jar/mouth/value"},
		},
	}
}

func TestEveryErrorHasItsCodeAndPlace(t *testing.T) {
	reader := newReader(t)
	for _, test := range slices.Concat(notJSON(t), wrongShapes(t), wrongMembers(t), wrongValues(t), wrongQuantities(t), wrongProcesses(t)) {
		t.Run(test.name, func(t *testing.T) {
			_, problem := reader.Request([]byte(test.body))
			if test.errors == nil {
				if problem != nil {
					t.Fatalf("refused: %v: %v", codes(problem), problem.Errors[0].Detail)
				}
				return
			}
			if problem == nil {
				t.Fatalf("accepted; want %v", test.errors)
			}
			if got := codes(problem); !slices.Equal(got, test.errors) || problem.Code != test.code {
				t.Errorf("code %s, errors %q; want code %s, %q", problem.Code, got, test.code, test.errors)
			}
		})
	}
}

// mistakes is a request with many things wrong at once.
const mistakes = `{
  "extra": 1,
  "recipe": {
    "kind": "brine",
    "jars": "8",
    "headspace": {"value": 0.5, "unit": "lb"},
    "ingredients": [
      {"amount": {"value": -1, "unit": "cups"}, "per": "batch", "acidity_percent": 101},
      {"item": "water", "per": "pot", "amount": {"value": 5000, "unit": "L"}}
    ],
    "process": {"time": {"unit": "min"}, "metod": "steam"}
  },
  "as_of": "yesterday"
}`

func TestAllErrorsAtOnceInDocumentOrder(t *testing.T) {
	_, problem := newReader(t).Request([]byte(mistakes))
	if problem == nil {
		t.Fatal("accepted")
	}
	want := []string{
		"unknown_member /extra (extra)",
		"not_allowed /recipe/kind",
		"wrong_type /recipe/jars",
		"wrong_dimension /recipe/headspace/unit",
		"missing_member /recipe/ingredients/0 (item)",
		"too_small /recipe/ingredients/0/amount/value",
		"not_allowed /recipe/ingredients/0/amount/unit",
		"too_large /recipe/ingredients/0/acidity_percent",
		"not_allowed /recipe/ingredients/1/per",
		"out_of_range /recipe/ingredients/1/amount/value",
		"missing_member /recipe/process/time (value)",
		"unknown_member /recipe/process/metod (metod)",
		"bad_format /as_of",
	}
	if got := codes(problem); !slices.Equal(got, want) {
		t.Errorf("errors\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if problem.Code != ingest.ProblemInvalid || problem.Total != len(want) {
		t.Errorf("code %s, total %d", problem.Code, problem.Total)
	}
}

func TestParamsOfErrorsAreForPrograms(t *testing.T) {
	tests := []struct {
		body string
		want string // the params as JSON
	}{
		{
			change(t, `"jars": 8`, `"jarz": 8`),
			`{"allowed":["follows","headspace","ingredients","jar","jar_preparation","jars","keep","kind","name","pack",` +
				`"process","rest","solids_headspace","temperatures"],"nearest":"jar","member":"jarz"}`,
		},
		{change(t, `"keep": "shelf"`, `"keep": "Shelf"`), `{"got":"Shelf","allowed":["shelf","refrigerator"],"nearest":"shelf"}`},
		{change(t, `"keep": "shelf"`, `"keep": ""`), `{"got":"","allowed":["shelf","refrigerator"]}`},
		{change(t, `"value": 10, "unit": "min"`, `"value": 10, "unit": "minutes"`), `{"got":"minutes","allowed":["s","min","h","d","wk","mo"],"nearest":"min"}`},
		{change(t, `"value": 10, "unit": "min"`, `"value": 10, "unit": "cups"`), `{"got":"cups","allowed":["s","min","h","d","wk","mo"]}`},
		{change(t, `"value": -20, "unit": "ft"`, `"value": -20, "unit": "feet"`), `{"got":"feet","allowed":["ft","m"],"nearest":"ft"}`},
		{change(t, `"value": -20, "unit": "ft"`, `"value": -20, "unit": "in"`), `{"got":"in","allowed":["ft","m"]}`},
		{change(t, `"jars": 8`, `"jars": [8]`), `{"got":"array","allowed":["number"]}`},
		{change(t, `"jar": "pint"`, `"jar": null`), `{"got":"null","allowed":["string","object"]}`},
		{change(t, `"jars": 8`, `"jars": 0`), `{"got":0,"limit":1}`},
		{change(t, `"value": 4, "unit": "lb"`, `"value": 3000, "unit": "lb"`), `{"got":3000,"limit":1000,"unit":"kg"}`},
		{change(t, `Dilled green beans`, strings.Repeat("é", 300)), `{"got":300,"limit":200}`},
		{`{"recipe":{"ingredients":[` + strings.Repeat(`0,`, 9999) + `0]}}`, `{"got":10000,"limit":200}`},
	}
	reader := newReader(t)
	for _, test := range tests {
		_, problem := reader.Request([]byte(test.body))
		if problem == nil {
			t.Errorf("accepted; want %s", test.want)
			continue
		}
		got, err := json.Marshal(problem.Errors[0].Params)
		if err != nil {
			t.Fatal(err)
		}
		if string(got) != test.want {
			t.Errorf("params of %s\n%s\nwant\n%s", problem.Errors[0].Detail, got, test.want)
		}
	}
}

func TestErrorsAreCapped(t *testing.T) {
	tests := []struct {
		name  string
		body  string
		total int
	}{
		{"unknown members", unknownMembers(1000), 1000},
		{"empty ingredients", `{"recipe":{"ingredients":[` + strings.Repeat(`{},`, 149) + `{}]}}`, 300},
		{"repeated names", `{` + strings.Repeat(`"a":1,`, 500) + `"a":1}`, 500},
	}
	reader := newReader(t)
	for _, test := range tests {
		_, problem := reader.Request([]byte(test.body))
		if problem == nil || len(problem.Errors) != ingest.MaxErrors || problem.Total != test.total {
			t.Errorf("%s: problem %+v, want %d errors of %d", test.name, problem, ingest.MaxErrors, test.total)
		}
	}
}

// unknownMembers is a request with so many members too many, the last of them first in the alphabet.
func unknownMembers(count int) string {
	var body strings.Builder
	body.WriteString(`{"recipe":{"ingredients":[{"item":"x","per":"jar"}]}`)
	for i := range count {
		body.WriteString(`,"x` + strconv.Itoa(count-i) + `":0`)
	}
	return body.String() + "}"
}

func TestHostileBodiesAreCheap(t *testing.T) {
	// The bound is generous, and ours: an ordinary request takes a few hundred microseconds.
	const most = 500 * time.Millisecond
	bodies := map[string]string{
		"hundred thousand ingredients":  `{"recipe":{"ingredients":[` + strings.Repeat(`0,`, 100_000) + `0]}}`,
		"many empty ingredients":        `{"recipe":{"ingredients":[` + strings.Repeat(`{},`, 80_000) + `{}]}}`,
		"ten thousand unknown members":  unknownMembers(10_000),
		"deep lists":                    strings.Repeat("[", ingest.MaxBytes),
		"deep objects":                  strings.Repeat(`{"a":`, 50_000),
		"repeated names":                `{` + strings.Repeat(`"a":1,`, 40_000) + `"a":1}`,
		"long number":                   `{"recipe":` + strings.Repeat("9", ingest.MaxBytes-20) + `}`,
		"long exponent":                 `{"recipe":{"ingredients":[],"jars":1e-` + strings.Repeat("9", 200_000) + `}}`,
		"long text":                     `{"recipe":{"name":"` + strings.Repeat("x", ingest.MaxBytes-40) + `"}}`,
		"long name":                     `{"recipe":{"` + strings.Repeat("x", ingest.MaxBytes-40) + `":1}}`,
		"repeated names in a long name": `{"extensions":{"` + strings.Repeat("x", 128<<10) + `":{` + strings.Repeat(`"a":1,`, 20_000) + `"a":1}}}`,
		"huge numbers in a long name":   `{"extensions":{"` + strings.Repeat("x", 128<<10) + `":[` + strings.Repeat(`1e999,`, 20_000) + `1]}}`,
		"long unit":                     `{"kitchen":{"elevation":{"value":1,"unit":"` + strings.Repeat("x", ingest.MaxBytes-60) + `"}}}`,
	}
	reader := newReader(t)
	for name, body := range bodies {
		start := time.Now()
		_, problem := reader.Request([]byte(body))
		if took := time.Since(start); took > most {
			t.Errorf("%s: took %v, more than %v", name, took, most)
		}
		if problem == nil {
			t.Errorf("%s: accepted", name)
			continue
		}
		written, err := json.Marshal(problem)
		if err != nil {
			t.Fatal(err)
		}
		// A body must not make an answer that is far larger: this is ours too, about 2 kB an error.
		if len(written) > 200_000 {
			t.Errorf("%s: problem has %d bytes", name, len(written))
		}
	}
}

func TestDetailsAreForPeople(t *testing.T) {
	// Words of Go and of JSON Schema that a reader of a recipe service has no use for.
	jargon := []string{"cannot unmarshal", "Go ", "float64", "jsontext", "jsonschema", "schema", "additionalProp", "enum", "regex", "$"}
	bodies := []string{mistakes, "{", "[1,]", `{"a":1,"a":2}`, `{"a":1e999}`, strings.Repeat("[", 50), "", "\xff", `{"recipe":[]}`}
	reader := newReader(t)
	for _, body := range bodies {
		_, problem := reader.Request([]byte(body))
		if problem == nil {
			t.Errorf("%.40s: accepted", body)
			continue
		}
		texts := []string{problem.Title, problem.Detail}
		for _, e := range problem.Errors {
			texts = append(texts, e.Detail)
		}
		for _, text := range texts {
			if !strings.HasSuffix(text, ".") && !strings.HasSuffix(text, "?") {
				t.Errorf("not a sentence: %s", text)
			}
			for _, word := range jargon {
				if strings.Contains(text, word) {
					t.Errorf("%q in: %s", word, text)
				}
			}
		}
	}
}

func FuzzRequest(f *testing.F) {
	for _, body := range []string{
		valid, mistakes, "", "null", "[]", `{"recipe":{"ingredients":[{"item":"x","per":"jar"}]}}`, nested(33),
		`{"a":1e5000000}`, `{"a":1,"a":2}`, "\xff", `{"recipe":{"jar":{"capacity":{"value":-0,"unit":"L"}}}}`, `{"~/%":"\u0000"}`,
	} {
		f.Add([]byte(body))
	}
	reader := newReader(f)
	f.Fuzz(func(t *testing.T, body []byte) {
		request, problem := reader.Request(bytes.Clone(body))
		if problem == nil {
			written, err := json.Marshal(request)
			if err != nil {
				t.Fatalf("an accepted request cannot be written: %v", err)
			}
			if _, problem := reader.Request(written); problem != nil {
				t.Fatalf("an accepted request, written again, is refused: %v\n%s", codes(problem), written)
			}
			return
		}
		if len(problem.Errors) == 0 || len(problem.Errors) > ingest.MaxErrors || problem.Total < len(problem.Errors) {
			t.Fatalf("%d errors of %d", len(problem.Errors), problem.Total)
		}
		again := bytes.Clone(body)
		if _, second := reader.Request(again); !slices.Equal(codes(problem), codes(second)) || !bytes.Equal(again, body) {
			t.Fatal("the same body gives another answer, or was written to")
		}
		for _, e := range problem.Errors {
			if e.Code == "" || e.Detail == "" || !jsontext.Pointer(e.Pointer).IsValid() || e.Code == ingest.CodeCannotCheck {
				t.Fatalf("bad error %+v", e)
			}
		}
	})
}

func BenchmarkRequest(b *testing.B) {
	reader := newReader(b)
	body := []byte(valid)
	b.SetBytes(int64(len(body)))
	b.ReportAllocs()
	for b.Loop() {
		if _, problem := reader.Request(body); problem != nil {
			b.Fatal(problem.Detail)
		}
	}
}

func BenchmarkRequestWithMistakes(b *testing.B) {
	reader := newReader(b)
	body := []byte(mistakes)
	b.ReportAllocs()
	for b.Loop() {
		if _, problem := reader.Request(body); problem == nil {
			b.Fatal("accepted")
		}
	}
}
