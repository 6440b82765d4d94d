package handlers_test

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"jarwright/handlers"
	"jarwright/validate/ingest"
	"jarwright/validate/measure"
)

// notNumbers are words that arithmetic leaves where it went wrong.
var notNumbers = regexp.MustCompile(`\b(NaN|[+-]?Inf)\b`)

// quantityPlaces lists the numbers of a document: each with the pointer of its quantity, or of itself, and its unit.
func quantityPlaces(value any, pointer string, visit func(pointer string, holder map[string]any, name string)) {
	switch value := value.(type) {
	case map[string]any:
		if _, isNumber := value["value"].(float64); isNumber && value["unit"] != nil {
			visit(pointer, value, "value")
			return
		}
		for name, member := range value {
			if _, isNumber := member.(float64); isNumber {
				visit(pointer+"/"+name, value, name)
			}
			quantityPlaces(member, pointer+"/"+name, visit)
		}
	case []any:
		for i, entry := range value {
			quantityPlaces(entry, fmt.Sprintf("%s/%d", pointer, i), visit)
		}
	}
}

// Each number of a document at its limits, next to them and far beyond: over HTTP there is a report, plan or card, or a refusal with
// the place, and no infinity in any of them.
func TestNumbersOverHTTP(t *testing.T) {
	server := newContract(t).server
	units, err := measure.LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	bounds, err := ingest.LoadBounds(units)
	if err != nil {
		t.Fatal(err)
	}
	var documents []struct {
		Operation string
		Body      map[string]any
	}
	data, err := os.ReadFile("../validate/ingest/testdata/every_quantity.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, &documents); err != nil {
		t.Fatal(err)
	}
	tried, taken, seen := 0, 0, map[string]bool{}
	for _, document := range documents {
		t.Run(document.Operation, func(t *testing.T) {
			quantityPlaces(document.Body, "", func(pointer string, holder map[string]any, name string) {
				if seen[document.Operation+pointer] {
					return // in another document with another target
				}
				seen[document.Operation+pointer] = true
				was := holder[name]
				defer func() { holder[name] = was }()
				unit, _ := holder["unit"].(string)
				limits, known := bounds.Limits(pointer, unit)
				amounts := []float64{0, math.Copysign(0, -1), 5e-324, 1e-320, 1e-300, 1e308, -1e308, 1, 100}
				if known {
					amounts = append(amounts, limits.Least, limits.Most, math.Nextafter(limits.Least, -1e9), math.Nextafter(limits.Most, 1e9))
				}
				for _, amount := range amounts {
					holder[name] = amount
					status := askNumber(t, server, document.Operation, document.Body, pointer, amount)
					tried++
					if status == http.StatusOK {
						taken++
					}
					if known && !limits.Take(amount) && status != http.StatusUnprocessableEntity {
						t.Errorf("%s: %g %s is out of its limits and answered with %d", pointer, amount, unit, status)
					}
				}
			})
		})
	}
	if tried < 1000 || taken < tried/8 {
		t.Errorf("%d documents, %d taken", tried, taken)
	}
}

func askNumber(t *testing.T, server *handlers.Server, operation string, document any, pointer string, amount float64) int {
	t.Helper()
	body, err := json.Marshal(document)
	if err != nil {
		t.Fatal(err)
	}
	answer := call(server, http.MethodPost, operation, string(body))
	if answer.Code != http.StatusOK && answer.Code != http.StatusUnprocessableEntity {
		t.Errorf("%s: %g is answered with %d: %s", pointer, amount, answer.Code, answer.Body)
	}
	if !json.Valid(answer.Body.Bytes()) || notNumbers.Match(answer.Body.Bytes()) {
		t.Errorf("%s: %g has no numbers for an answer: %.300s", pointer, amount, answer.Body)
	}
	if answer.Code == http.StatusOK {
		return answer.Code
	}
	for _, e := range problemIn(t, answer).Errors {
		if !strings.HasPrefix(*e.Pointer, pointer) && !strings.HasPrefix(*e.Pointer, "/target") {
			t.Errorf("%s: %g is refused at %s: %s", pointer, amount, *e.Pointer, e.Detail)
		}
	}
	return answer.Code
}

// A number that is so small that it reads as zero is refused as one too large is: an ingredient would be taken for left out.
func TestNumbersThatVanish(t *testing.T) {
	server := newContract(t).server
	const form = `{"recipe":{"ingredients":[{"item":"salt","per":"batch","amount":{"value":%s,"unit":"cup"}}]}}`
	for _, test := range []struct {
		number string
		status int
		code   string
	}{
		{"1e-400", 400, ingest.CodeNumberOutOfRange},
		{"0." + strings.Repeat("0", 400) + "1", 400, ingest.CodeNumberOutOfRange},
		{"1e400", 400, ingest.CodeNumberOutOfRange},
		{strings.Repeat("9", 200_000), 400, ingest.CodeNumberOutOfRange},
		{"1e-320", 422, ingest.CodeOutOfRange},
		{"0." + strings.Repeat("0", 300) + "1", 422, ingest.CodeOutOfRange},
		{"0e-400", 200, ""},
		{"-0", 200, ""},
		{"0." + strings.Repeat("0", 200_000), 200, ""},
		{"1." + strings.Repeat("0", 200_000), 200, ""},
	} {
		t.Run(test.number[:min(len(test.number), 20)], func(t *testing.T) {
			answer := call(server, http.MethodPost, "/v1/reports", fmt.Sprintf(form, test.number))
			if answer.Code != test.status {
				t.Fatalf("status %d: %.300s", answer.Code, answer.Body)
			}
			if test.code == "" {
				return
			}
			if e := problemIn(t, answer).Errors; e[0].Code != test.code || !strings.HasPrefix(*e[0].Pointer, "/recipe/ingredients/0/amount/value") {
				t.Errorf("%+v", e)
			}
		})
	}
}

// oddNumbers are texts that some reader takes for a number, and what only looks like one.
func oddNumbers() []string {
	return []string{
		"inf", "-inf", "+Infinity", "nan", "1e400", "-1e400", "1e-400", "1e308", "-1e308", "1e-320", "5e-324", "-0", "0", "0x1p4", "0X10", "1_000", "1,000",
		"1/0", "1e308/1e-308", "1e-308/1e308", "½½", "1 2 3", "9e99999999999", "-1", "1e9", " ", "\x00", "\xff", "١٢", "∞",
		strings.Repeat("9", 20_000), "0." + strings.Repeat("0", 20_000) + "1", strings.Repeat("1/", 10_000),
	}
}

// Whatever stands in a field for a number, the page comes back with a report or with words for what is wrong.
func TestOddNumbersInTheForm(t *testing.T) {
	c := newContract(t)
	fields := []string{"jars", "headspace", "time", "elevation", "water", "amount-0", "acidity-0", "rows", "from-0"}
	for _, field := range fields {
		t.Run(field, func(t *testing.T) {
			for _, text := range oddNumbers() {
				values := url.Values{}
				for _, pair := range [][2]string{
					{"do", "check"},
					{"jar", "pint"},
					{"jars", "8"},
					{"headspace", "1/2"},
					{"headspace-unit", "in"},
					{"method", "boiling_water"},
					{"time", "5"},
					{"elevation", "800"},
					{"elevation-unit", "ft"},
					{"water", "1"},
					{"water-unit", "in"},
					{"rows", "1"},
					{"item-0", "white vinegar"},
					{"amount-0", "5"},
					{"unit-0", "cup"},
					{"per-0", "batch"},
					{"acidity-0", "5"},
				} {
					values.Set(pair[0], pair[1])
				}
				values.Set(field, text)
				for _, action := range []string{"check", "download"} {
					values.Set("do", action)
					answer := call(c.server, http.MethodPost, "/", values.Encode(), "Content-Type: "+formType, "Accept: text/html")
					if answer.Code != http.StatusOK {
						t.Errorf("%s of %.20q is answered with %d: %.300s", action, text, answer.Code, answer.Body)
					}
					if typed := strings.TrimSpace(text); notNumbers.MatchString(answer.Body.String()) && !notNumbers.MatchString(typed) && action != "download" {
						t.Errorf("%s of %.20q has no number for an answer", action, text)
					}
				}
			}
		})
	}
}

// The query of /v1/altitude takes numbers of JSON within its limits, and refuses all else with the parameter named.
func TestOddNumbersInQueries(t *testing.T) {
	server := newContract(t).server
	for _, parameter := range []string{"elevation", "boiling_point"} {
		t.Run(parameter, func(t *testing.T) {
			for _, text := range oddNumbers() {
				query := url.Values{"elevation": {"5200"}, "unit": {"ft"}, "boiling_point": {"201.2"}, "boiling_unit": {"F"}}
				query.Set(parameter, text)
				answer := call(server, http.MethodGet, "/v1/altitude?"+query.Encode(), "")
				if !json.Valid(answer.Body.Bytes()) || notNumbers.Match(answer.Body.Bytes()) && !notNumbers.MatchString(text) {
					t.Errorf("%.20q has no numbers for an answer: %.300s", text, answer.Body)
				}
				// What reads as zero is the elevation of the sea.
				sea := []string{"-0", "0", "-1", "1e-320", "5e-324", "1e-400"}
				inRange := parameter == "elevation" && (slices.Contains(sea, text) || strings.HasPrefix(text, "0.0"))
				if want := map[bool]int{true: 200, false: 400}[inRange]; answer.Code != want {
					t.Errorf("%.20q is answered with %d, want %d: %.300s", text, answer.Code, want, answer.Body)
				}
				if answer.Code == http.StatusBadRequest && problemIn(t, answer).Errors[0].Parameter != parameter {
					t.Errorf("%.20q: %+v", text, problemIn(t, answer).Errors)
				}
			}
		})
	}
	for _, list := range []string{"/v1/foods", "/v1/units", "/v1/recipes", "/v1/jars", "/v1/changes", "/v1/schedules"} {
		for _, query := range []string{"?limit=1e309", "?page=-1", "?offset=inf"} {
			t.Run(list+query, func(t *testing.T) {
				if answer := call(server, http.MethodGet, list+query, ""); answer.Code != http.StatusBadRequest {
					t.Errorf("status %d", answer.Code)
				}
			})
		}
	}
}

// Odd numbers in a published recipe: what no kitchen has is left out and said, and what comes of it can be sent for a report.
func TestOddNumbersInDrafts(t *testing.T) {
	server := newContract(t).server
	numbers := []string{
		strings.Repeat("9", 30), strings.Repeat("9", 400),
		"0." + strings.Repeat("0", 30) + "1", "0." + strings.Repeat("0", 320) + "1", "0." + strings.Repeat("0", 400) + "1",
		"1e400", "1e-320", "inf", "nan", "1/0", "0/0", "0", "1/" + strings.Repeat("9", 400), strings.Repeat("9", 400) + "/1", "1 to " + strings.Repeat("9", 400),
		strings.Repeat("9", 200) + " x " + strings.Repeat("9", 200), "99999999999", "-5",
	}
	places := []string{
		`"recipeIngredient":["%s cups white vinegar (5%%%% acidity)","4 lb cucumbers"]`,
		`"recipeIngredient":["4 cups white vinegar (%s%%%% acidity)","4 lb cucumbers, in %s inch slices"]`,
		`"recipeIngredient":["4 cups white vinegar"],"recipeYield":"%s pints"`,
		`"recipeIngredient":["1 (%s oz) can tomatoes","%s (%s oz) jars of vinegar"]`,
		`"recipeIngredient":["4 cups vinegar"],"recipeInstructions":"Fill %s pint jars, leaving %s inch headspace. Process %s minutes at %s feet. Rest %s weeks."`,
	}
	for _, number := range numbers {
		for i, place := range places {
			t.Run(fmt.Sprintf("%.10s in place %d", number, i), func(t *testing.T) {
				body := `{"@context":"https://schema.org","@type":"Recipe","name":"Odd",` +
					strings.ReplaceAll(strings.ReplaceAll(place, "%%%%", "%"), "%s", number) + `}`
				answer := call(server, http.MethodPost, "/v1/drafts?report=true", body)
				if answer.Code != http.StatusOK || notNumbers.Match(answer.Body.Bytes()) {
					t.Fatalf("status %d: %.500s", answer.Code, answer.Body)
				}
				var draft struct{ Request json.RawMessage }
				if err := json.Unmarshal(answer.Body.Bytes(), &draft); err != nil {
					t.Fatal(err)
				}
				if again := call(server, http.MethodPost, "/v1/reports", string(draft.Request)); again.Code != http.StatusOK {
					t.Errorf("the request of the draft is answered with %d: %.500s", again.Code, again.Body)
				}
			})
		}
	}
}
