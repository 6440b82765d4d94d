package handlers_test

import (
	"bufio"
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"jarwright/handlers"
	"jarwright/schemas"
	"jarwright/validate/ingest"
)

var (
	documents  = flag.Int("documents", 500, "how many documents TestAgreement makes")
	agreedUpon = flag.String("agreed", "", "file for the documents of TestAgreement with what the service says; .ci/outside gives it to another implementation of JSON Schema")
)

// sentenced is a generated document with what the service says of it.
type sentenced struct {
	Body   json.RawMessage `json:"body"`
	Valid  bool            `json:"valid"` // by the schema; what the service asks for beyond it is left out
	Status int             `json:"status"`
	Codes  []string        `json:"codes"`
}

// Of generated documents, about half of them broken in one to three places, the service takes those that the schema takes and
// no others. Documents start as examples and tested recipes and are changed by chance, the same in every run.
func TestAgreement(t *testing.T) {
	server := newContract(t).server
	schema, err := schemas.Compile(schemas.RequestName)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(8, 2026))
	seeds := seedDocuments(t)
	var all []sentenced
	taken, broken := 0, map[string]int{}
	for range *documents {
		document := clone(t, seeds[random.IntN(len(seeds))])
		for range random.IntN(4) {
			mutate(document, random)
		}
		body, err := json.Marshal(document)
		if err != nil {
			t.Fatal(err)
		}
		said := sentence(t, server, body)
		all = append(all, said)
		if said.Valid {
			taken++
		}
		for _, code := range said.Codes {
			broken[code]++
		}
		if valid := schema.Validate(document) == nil; valid != said.Valid {
			t.Errorf("the schema says %v, the service %d %v:\n%s", valid, said.Status, said.Codes, body)
		}
	}
	t.Logf("%d documents, %d taken; mistakes by code: %v", len(all), taken, broken)
	if taken < len(all)/5 || taken > len(all)*4/5 || len(broken) < 10 {
		t.Errorf("%d of %d documents taken and %d kinds of mistakes: too one-sided to show anything", taken, len(all), len(broken))
	}
	if *agreedUpon != "" {
		writeSentences(t, all)
	}
}

// sentence asks the service about a document.
func sentence(t *testing.T, server *handlers.Server, body []byte) sentenced {
	t.Helper()
	answer := call(server, "POST", "/v1/reports", string(body))
	said := sentenced{Body: body, Status: answer.Code, Valid: true}
	if answer.Code == http.StatusOK {
		return said
	}
	if answer.Code != http.StatusUnprocessableEntity {
		t.Fatalf("status %d: %s\n%s", answer.Code, answer.Body, body)
	}
	for _, each := range problemIn(t, answer).Errors {
		said.Codes = append(said.Codes, each.Code)
		// Beyond the schema the service asks for measures that a kitchen can have, and for jars and recipes that exist.
		unknownName := (*each.Pointer == "/recipe/jar" || *each.Pointer == "/recipe/follows") && each.Code == ingest.CodeNotAllowed
		if each.Code != ingest.CodeOutOfRange && !unknownName {
			said.Valid = false
		}
	}
	return said
}

func writeSentences(t *testing.T, all []sentenced) {
	t.Helper()
	file, err := os.Create(*agreedUpon)
	if err != nil {
		t.Fatal(err)
	}
	buffered := bufio.NewWriter(file)
	encoder := json.NewEncoder(buffered)
	for _, each := range all {
		if err := encoder.Encode(each); err != nil {
			t.Fatal(err)
		}
	}
	if err := buffered.Flush(); err != nil {
		t.Fatal(err)
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
}

// seedDocuments are the examples and the corpus of tested recipes, as values.
func seedDocuments(t *testing.T) []any {
	t.Helper()
	corpus, err := filepath.Glob("../testdata/corpus/*.json")
	if err != nil || len(corpus) == 0 {
		t.Fatalf("%d documents in the corpus, %v", len(corpus), err)
	}
	var seeds []any
	for _, file := range append(exampleFiles(t), corpus...) {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var value any
		if err := json.Unmarshal(text, &value); err != nil {
			t.Fatal(err)
		}
		seeds = append(seeds, value)
	}
	return seeds
}

func clone(t *testing.T, value any) any {
	t.Helper()
	text, err := json.Marshal(value)
	if err != nil {
		t.Fatal(err)
	}
	var copied any
	if err := json.Unmarshal(text, &copied); err != nil {
		t.Fatal(err)
	}
	return copied
}

// place is a member of an object or an entry of a list, by which the value there can be changed.
type place struct {
	object map[string]any
	name   string
	list   []any
	index  int
}

func (p place) value() any {
	if p.object != nil {
		return p.object[p.name]
	}
	return p.list[p.index]
}

func (p place) set(value any) {
	if p.object != nil {
		p.object[p.name] = value
		return
	}
	p.list[p.index] = value
}

// places lists every place below a value, in a fixed order.
func places(value any) []place {
	var found []place
	switch value := value.(type) {
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(value)) {
			found = append(found, place{object: value, name: name})
			found = append(found, places(value[name])...)
		}
	case []any:
		for i := range value {
			found = append(found, place{list: value, index: i})
			found = append(found, places(value[i])...)
		}
	}
	return found
}

// mutate changes one thing in a document, for the worse or not.
func mutate(document any, random *rand.Rand) {
	all := places(document)
	if len(all) == 0 {
		return
	}
	at := all[random.IntN(len(all))]
	if random.IntN(8) == 0 {
		// The value of another place: an amount for a headspace, an ingredient for a name.
		other := all[random.IntN(len(all))].value()
		text, err := json.Marshal(other)
		if err == nil && json.Unmarshal(text, &other) == nil {
			at.set(other)
		}
		return
	}
	switch value := at.value().(type) {
	case map[string]any:
		mutateObject(value, random)
	case []any:
		switch random.IntN(4) {
		case 0:
			at.set([]any{})
		case 1:
			at.set(append(slices.Clone(value), value...)) // twice as long, which is allowed
		case 2:
			at.set(map[string]any{})
		default:
			at.set(append(slices.Clone(value), nil))
		}
	case float64:
		at.set([]any{
			value * 2, value / 2, value + 1, 0.0, -value, -0.5, value * 1e6, 1e300, 0.1 + 0.2, 1e-300, fmt.Sprint(value), true, nil,
		}[random.IntN(13)])
	case string:
		at.set([]any{
			"", value + "x", strings.ToUpper(value), " " + value, strings.Repeat("ü", 100), strings.Repeat("é", 101), strings.Repeat("z", 201),
			"2026-08-15", "2026-02-30", "mL", "in", "boiling_water", "shelf", 1.0, nil,
			[]any{value},
			"🥒", value, value,
		}[random.IntN(19)])
	case bool:
		at.set([]any{!value, "true", 1.0, nil}[random.IntN(4)])
	default:
		at.set([]any{map[string]any{}, "", 1.0}[random.IntN(3)])
	}
}

// mutateObject takes away, renames or adds a member.
func mutateObject(object map[string]any, random *rand.Rand) {
	names := slices.Sorted(maps.Keys(object))
	if len(names) == 0 || random.IntN(4) == 0 {
		object[[]string{"extensions", "note", "unit", "value", "form", "as_of", "name"}[random.IntN(7)]] = []any{"g", 3.0, map[string]any{}, true}[random.IntN(4)]
		return
	}
	name := names[random.IntN(len(names))]
	value := object[name]
	switch random.IntN(4) {
	case 0:
		delete(object, name)
	case 1:
		delete(object, name)
		object[strings.ToUpper(name[:1])+name[1:]] = value
	case 2:
		delete(object, name)
		object[name+"s"] = value
	default:
		object[name] = nil
	}
}
