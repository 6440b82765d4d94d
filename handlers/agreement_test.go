package handlers_test

import (
	"bufio"
	"bytes"
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

	"github.com/santhosh-tekuri/jsonschema/v5"

	"jarwright/handlers"
	"jarwright/schemas"
	"jarwright/validate/ingest"
)

var (
	documents  = flag.Int("documents", 500, "how many documents TestAgreement makes")
	agreedUpon = flag.String("agreed", "", "file for the documents of TestAgreement with what the service says; .ci/outside gives it to another "+
		"implementation of JSON Schema")
)

// sentenced is a document with what the service says of it, or has said itself.
type sentenced struct {
	Schema string          `json:"schema"` // file that the document is held to
	Body   json.RawMessage `json:"body"`
	Valid  bool            `json:"valid"`            // by the schema; what the service asks for beyond it is left out
	Places []string        `json:"places,omitempty"` // JSON Pointers of what breaks the schema, where all are listed
	Either []string        `json:"either,omitempty"` // of quantities out of range in their unit, which a schema may see or not
	Status int             `json:"status"`
	Codes  []string        `json:"codes"`
}

// asked is a kind of document that the service reads by a schema.
type asked struct {
	target, schema, answer string
	seeds                  []any
}

// answersKept says of how many answers to good documents one is held to its schema too: they are ten times as long.
const answersKept = 20

// Of generated documents, about half of them broken in one to three places, the service takes those that the schema takes and
// no others. Documents start as examples and tested recipes and are changed by chance, the same in every run.
func TestAgreement(t *testing.T) {
	server := newContract(t).server
	random := rand.New(rand.NewPCG(8, 2026))
	kinds := askedKinds(t)
	compiled := map[string]*jsonschema.Schema{}
	for _, name := range []string{
		schemas.RequestName, schemas.PlanRequestName, schemas.CardRequestName, schemas.ReportName, schemas.ProblemName,
		"plan.schema.json", "card.schema.json", "draft.schema.json",
	} {
		schema, err := schemas.Compile(name)
		if err != nil {
			t.Fatal(err)
		}
		compiled[name] = schema
	}
	var all []sentenced
	made, taken, broken := map[string]int{}, map[string]int{}, map[string]int{}
	for n := range *documents {
		kind := kinds[[]int{0, 0, 0, 0, 0, 0, 1, 1, 2, 3}[n%10]]
		document := clone(t, kind.seeds[random.IntN(len(kind.seeds))])
		for range random.IntN(4) {
			mutate(document, random)
		}
		body, err := json.Marshal(document)
		if err != nil {
			t.Fatal(err)
		}
		said, answer := sentence(t, server, kind, body)
		made[kind.target]++
		if said.Valid {
			taken[kind.target]++
		}
		for _, code := range said.Codes {
			broken[code]++
		}
		if kind.schema != "" {
			all = append(all, said)
		}
		all = append(all, answer...)
	}
	for _, each := range all {
		var document any
		if err := json.Unmarshal(each.Body, &document); err != nil {
			t.Fatal(err)
		}
		err := compiled[each.Schema].Validate(document)
		if (err == nil) != each.Valid && (err == nil || len(each.Either) == 0) {
			t.Errorf("%s says %v, the service %d %v:\n%s", each.Schema, err, each.Status, each.Codes, each.Body)
		}
	}
	t.Logf("%v documents, %v taken; mistakes by code: %v", made, taken, broken)
	for _, kind := range kinds {
		if kind.schema == "" {
			continue // nearly anything may be published
		}
		target, count := kind.target, made[kind.target]
		if taken[target] < count/5 || taken[target] > count*9/10 {
			t.Errorf("%s: %d of %d documents taken: too one-sided to show anything", target, taken[target], count)
		}
	}
	if len(broken) < 10 {
		t.Errorf("%d kinds of mistakes: too few to show anything", len(broken))
	}
	if *agreedUpon != "" {
		writeSentences(t, all)
	}
}

// askedKinds are the kinds of documents, each with what generated ones start as.
func askedKinds(t *testing.T) []asked {
	t.Helper()
	requests := seedDocuments(t, "../examples/*.json", "../testdata/corpus/*.json")
	plans, cards := seedDocuments(t, "../examples/plans/*.json"), seedDocuments(t, "../examples/cards/*.json")
	for i, each := range requests {
		request := each.(map[string]any)
		if i%5 != 0 || request["batch"] != nil || request["as_of"] != nil {
			continue
		}
		card := clone(t, request).(map[string]any)
		plan := clone(t, request).(map[string]any)
		plan["target"] = []any{
			map[string]any{"factor": 2.0},
			map[string]any{"jars": map[string]any{"count": 14.0}},
			map[string]any{"vinegar": map[string]any{"value": 1.0, "unit": "gal"}},
		}[i%3]
		cards, plans = append(cards, card), append(plans, plan)
	}
	published := seedDocuments(t, "../examples/*.jsonld")
	for range 4 { // what the service writes itself is only one way of publishing
		published = append(published, published[0], []any{published[0]}, map[string]any{"@graph": []any{map[string]any{"@type": "WebSite"}, published[0]}})
	}
	return []asked{
		{"/v1/reports", schemas.RequestName, schemas.ReportName, requests},
		{"/v1/plans", schemas.PlanRequestName, "plan.schema.json", plans},
		{"/v1/cards", schemas.CardRequestName, "card.schema.json", cards},
		{"/v1/drafts?report=true", "", "draft.schema.json", published}, // anybody's JSON-LD may hold anything
	}
}

// sentence asks the service about a document. The second result is what the service wrote itself, as far as it is to be held to
// a schema.
func sentence(t *testing.T, server *handlers.Server, kind asked, body []byte) (sentenced, []sentenced) {
	t.Helper()
	answer := call(server, "POST", kind.target, string(body))
	said := sentenced{Schema: kind.schema, Body: body, Status: answer.Code, Valid: true}
	var own []sentenced
	keep := rand.New(rand.NewPCG(uint64(len(body)), uint64(answer.Body.Len()))).IntN(answersKept) == 0
	if answer.Code == http.StatusOK {
		if keep {
			own = append(own, sentenced{Schema: kind.answer, Body: bytes.Clone(answer.Body.Bytes()), Valid: true, Status: answer.Code})
		}
		if kind.schema == "" { // what comes of a published recipe is a request
			var draft struct{ Request json.RawMessage }
			if err := json.Unmarshal(answer.Body.Bytes(), &draft); err != nil {
				t.Fatal(err)
			}
			own = append(own, sentenced{Schema: schemas.RequestName, Body: draft.Request, Valid: true, Status: answer.Code})
		}
		return said, own
	}
	if answer.Code != http.StatusUnprocessableEntity {
		t.Fatalf("status %d: %s\n%s", answer.Code, answer.Body, body)
	}
	if keep {
		own = append(own, sentenced{Schema: schemas.ProblemName, Body: bytes.Clone(answer.Body.Bytes()), Valid: true, Status: answer.Code})
	}
	problem := problemIn(t, answer)
	for _, each := range problem.Errors {
		said.Codes = append(said.Codes, each.Code)
		if each.Code == ingest.CodeOutOfRange {
			said.Either = append(said.Either, *each.Pointer)
		}
		if beyondSchema(each) {
			continue
		}
		said.Valid = false
		said.Places = append(said.Places, *each.Pointer)
	}
	slices.Sort(said.Places)
	said.Places = slices.Compact(said.Places)
	if problem.ErrorsTotal > len(problem.Errors) {
		said.Places = nil
	}
	if kind.schema == "" {
		said.Valid = false
	}
	return said, own
}

// beyondSchema says whether the service asks for more than the schema: for measures that a kitchen can have, for jars and recipes
// that exist, and for what a plan cannot be made without.
func beyondSchema(each handlers.ProblemError) bool {
	switch each.Code {
	case ingest.CodeOutOfRange, ingest.CodeDuplicateID:
		return true
	case ingest.CodeNotAllowed:
		return slices.Contains([]string{
			"/recipe/jar", "/recipe/follows", "/target/jars/jar", "/target/vinegar", "/target/produce/amount", "/target/produce/item", "/finish",
		}, *each.Pointer)
	case ingest.CodeMissingMember:
		return *each.Pointer == "/recipe" && strings.HasPrefix(each.Detail, `"jar`) || *each.Pointer == "/target/produce" && each.Params.Member == "item"
	case ingest.CodeTooSmall:
		return strings.HasPrefix(*each.Pointer, "/target") && strings.HasPrefix(each.Detail, "This is not enough")
	case ingest.CodeBadFormat:
		return each.Detail == "There is no such day."
	}
	return false
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

// seedDocuments are the documents of some files, as values.
func seedDocuments(t *testing.T, patterns ...string) []any {
	t.Helper()
	var seeds []any
	for _, pattern := range patterns {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			t.Fatalf("%d documents in %s, %v", len(files), pattern, err)
		}
		for _, file := range files {
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
