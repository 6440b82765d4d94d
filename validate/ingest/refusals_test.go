package ingest_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/validate/budget"
	"jarwright/validate/ingest"
)

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
		{"tiny number", change(t, `"jars": 8`, `"jars": 1e-400`), ingest.ProblemMalformed, []string{"number_out_of_range /recipe/jars"}},
		{"zero with an exponent", change(t, `{"value": 4, "unit": "lb"}`, `{"value": 0.0e-400, "unit": "lb"}`), "", nil},
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
			"two tonnes of beans", change(t, `{"value": 4, "unit": "lb"}`, `{"value": 2001, "unit": "kg"}`),
			ingest.ProblemInvalid,
			[]string{"out_of_range /recipe/ingredients/0/amount/value"},
		},
		{
			"sea of vinegar", change(t, `{"value": 5, "unit": "cup"}`, `{"value": 529, "unit": "gal"}`),
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
			_, problem := reader.Request(nil, []byte(test.body))
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

// A document that costs too much, or whose time is up, is refused with a code of its own and read no further.
func TestRefusedByItsBudget(t *testing.T) {
	reader := newReader(t)
	gone, cancel := context.WithTimeout(context.Background(), -time.Second)
	defer cancel()
	body := []byte(`{"recipe": {"name": "` + strings.Repeat("a", 100_000) + `"}}`)
	for _, test := range []struct {
		name   string
		budget *budget.Budget
		want   string
	}{
		{"too little work", budget.New(context.Background(), budget.Limits{Steps: 100}), "too_costly limit=100 step"},
		{"too late", budget.New(gone, budget.DefaultLimits()), "time_up limit=0 "},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, problem := reader.Request(test.budget, body)
			if problem == nil {
				t.Fatal("the document was read")
			}
			limit, unit := 0.0, ""
			if p := problem.Errors[0].Params; p != nil {
				limit, unit = *p.Limit, p.Unit
			}
			if got := fmt.Sprintf("%s limit=%.0f %s", problem.Code, limit, unit); got != test.want || problem.Errors[0].Code != problem.Code {
				t.Errorf("refused with %s, want %s", got, test.want)
			}
		})
	}
}

// Of two entries of one name each names the other.
func TestDuplicateID(t *testing.T) {
	problem := ingest.Invalid([]ingest.Error{
		ingest.DuplicateID("/batch/jars/0/id", "3", "/batch/jars/2/id", "Two jars go by this id."),
		ingest.DuplicateID("/batch/jars/2/id", "3", "/batch/jars/0/id", "Two jars go by this id."),
	})
	if got, want := codes(problem), []string{"duplicate_id /batch/jars/0/id", "duplicate_id /batch/jars/2/id"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	const detail = "Two jars go by this id. See /batch/jars/2/id."
	if first := problem.Errors[0]; first.Detail != detail || first.Params.Got != "3" || problem.Code != ingest.ProblemInvalid {
		t.Errorf("%+v %+v of %s", first, first.Params, problem.Code)
	}
}
