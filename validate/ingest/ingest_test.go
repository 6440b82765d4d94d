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

	"jarwright/validate/budget/meter"
	"jarwright/validate/document"
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
	request, problem := newReader(t).Request(nil, []byte(valid))
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
	request, problem := newReader(t).Request(nil, []byte(body))
	if problem != nil {
		t.Fatalf("refused: %+v", *problem)
	}
	jar := request.Recipe.Jar
	if jar.ID != "" || *jar.Capacity.Value != 500 || jar.InteriorHeight != nil || jar.Mouth.Unit != "mm" {
		t.Errorf("jar = %+v", jar)
	}

	request, problem = newReader(t).Request(nil, []byte(`{"recipe":{"ingredients":[{"item":"cucumber","per":"jar"}]}}`))
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
	_, problem := newReader(t).Request(nil, []byte(mistakes))
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
				`"process","rest","solids_headspace","steps","temperatures"],"nearest":"jar","member":"jarz"}`,
		},
		{change(t, `"keep": "shelf"`, `"keep": "Shelf"`), `{"got":"Shelf","allowed":["shelf","refrigerator"],"nearest":"shelf"}`},
		{change(t, `"keep": "shelf"`, `"keep": ""`), `{"got":"","allowed":["shelf","refrigerator"]}`},
		{change(t, `"value": 10, "unit": "min"`, `"value": 10, "unit": "minutes"`), `{"got":"minutes","allowed":["s","min","h","d","wk","mo"],"nearest":"min"}`},
		{change(t, `"value": 10, "unit": "min"`, `"value": 10, "unit": "cups"`), `{"got":"cups","allowed":["s","min","h","d","wk","mo"]}`},
		{change(t, `"value": -20, "unit": "ft"`, `"value": -20, "unit": "feet"`), `{"got":"feet","allowed":["ft","m"],"nearest":"ft"}`},
		{change(t, `"value": -20, "unit": "ft"`, `"value": -20, "unit": "in"`), `{"got":"in","allowed":["ft","m"]}`},
		{change(t, `"jars": 8`, `"jars": [8]`), `{"got":"array","allowed":["number"]}`},
		{change(t, `"jar": "pint"`, `"jar": null`), `{"got":"null","allowed":["string","object"]}`},
		{change(t, `"jars": 8`, `"jars": 0`), `{"got":0,"limit":1,"least":1,"most":10000}`},
		{
			// 2,000 kg over 0.45359237 kg a pound, and a milligram.
			change(t, `"value": 4, "unit": "lb"`, `"value": 5000, "unit": "lb"`),
			`{"got":5000,"limit":4409.24,"least":0.00000220463,"most":4409.24,"unit":"lb"}`,
		},
		{change(t, `Dilled green beans`, strings.Repeat("é", 300)), `{"got":300,"limit":200}`},
		{`{"recipe":{"ingredients":[` + strings.Repeat(`0,`, 9999) + `0]}}`, `{"got":10000,"limit":200}`},
	}
	reader := newReader(t)
	for _, test := range tests {
		_, problem := reader.Request(nil, []byte(test.body))
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
		_, problem := reader.Request(nil, []byte(test.body))
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
	// The processor time that one body may take (design, 12), which other programs on the machine do not lengthen much; the least
	// of three tries counts.
	const most = 50 * time.Millisecond
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
		var problem *ingest.Problem
		t.Run(name, func(t *testing.T) {
			meter.Within(t, most, func() { _, problem = reader.Request(nil, []byte(body)) })
		})
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
		_, problem := reader.Request(nil, []byte(body))
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
		var request document.Request
		var problem *ingest.Problem
		meter.Within(t, 50*time.Millisecond, func() { request, problem = reader.Request(nil, bytes.Clone(body)) })
		if problem == nil {
			written, err := json.Marshal(request)
			if err != nil {
				t.Fatalf("an accepted request cannot be written: %v", err)
			}
			if _, problem := reader.Request(nil, written); problem != nil {
				t.Fatalf("an accepted request, written again, is refused: %v\n%s", codes(problem), written)
			}
			return
		}
		if len(problem.Errors) == 0 || len(problem.Errors) > ingest.MaxErrors || problem.Total < len(problem.Errors) {
			t.Fatalf("%d errors of %d", len(problem.Errors), problem.Total)
		}
		again := bytes.Clone(body)
		if _, second := reader.Request(nil, again); !slices.Equal(codes(problem), codes(second)) || !bytes.Equal(again, body) {
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
		if _, problem := reader.Request(nil, body); problem != nil {
			b.Fatal(problem.Detail)
		}
	}
}

func BenchmarkRequestWithMistakes(b *testing.B) {
	reader := newReader(b)
	body := []byte(mistakes)
	b.ReportAllocs()
	for b.Loop() {
		if _, problem := reader.Request(nil, body); problem == nil {
			b.Fatal("accepted")
		}
	}
}
