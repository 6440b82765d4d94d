package validate

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/validate/budget/meter"
	"jarwright/validate/ingest"
	"jarwright/validate/report"
)

// The costliest valid document that is read takes no more of the processors than this, and its answer no more bytes.
const (
	mostProcessor = 50 * time.Millisecond
	mostAnswer    = 16 << 20
)

// object is a JSON object.
type object = map[string]any

// costly is a document that is meant to cost as much as it can, with lists of n entries.
type costly struct {
	name string
	of   func(n int) object
}

// entries makes a list.
func entries(n int, entry func(i int) object) []any {
	list := make([]any, n)
	for i := range list {
		list[i] = entry(i)
	}
	return list
}

func amountOf(value float64, unit string) object { return object{"value": value, "unit": unit} }

// written is a document with everything but a canning day, and some lines.
func written(lines []any) object {
	return object{
		"recipe": object{
			"name": strings.Repeat("é", 200), "kind": "brined", "keep": "shelf", "jar": "pint", "jars": 8, "pack": "raw",
			"headspace": amountOf(0.5, "in"), "jar_preparation": "hot", "ingredients": lines, "rest": amountOf(5, "wk"),
			"process":      object{"method": "boiling_water", "time": amountOf(10, "min"), "water_over_lids": amountOf(1, "in")},
			"temperatures": object{"jar": amountOf(60, "C"), "brine": amountOf(90, "C"), "canner": amountOf(80, "C")},
		},
		"kitchen": object{"elevation": amountOf(5000, "ft"), "water_alkalinity_mg_per_l": 120}, "as_of": "2026-08-16T09:30:00-06:00",
		"assume": object{"vinegar_acidity_percent": 5, "bottled_acids": true, "salt_kind": "canning", "water_over_lids": amountOf(1, "in")},
	}
}

// filled is a text repeated to as many letters as a form may have.
func filled(text string) string {
	const letters = 200
	all := []rune(strings.Repeat(text, letters/len(text)+letters))
	return string(all[:letters])
}

// randomWord is a word of letters that names have, blanks among them.
func randomWord(r *rand.Rand, letters int, alphabet string) string {
	signs, word := []rune(alphabet), make([]rune, letters)
	for i := range word {
		word[i] = signs[r.IntN(len(signs))]
	}
	return string(word)
}

// costlyLines are recipes of n lines: of names that are not known and nearly known, of forms that are hard to read, of every
// class of the catalog by the batch and by the jar, and of the lines of tested recipes again and again.
func costlyLines(t *testing.T) []costly {
	t.Helper()
	var all []costly
	items := checker.tables.Items
	add := func(name string, line func(r *rand.Rand, i int) object) {
		all = append(all, costly{name, func(n int) object {
			r := rand.New(rand.NewPCG(1, 2))
			return written(entries(n, func(i int) object {
				l := line(r, i)
				if _, ok := l["amount"]; !ok {
					l["amount"] = amountOf(1, "cup")
				}
				if _, ok := l["per"]; !ok {
					l["per"] = "batch"
				}
				return l
			}))
		}})
	}
	for _, letters := range []int{8, 16, 24, 48, 66, 100} {
		add(fmt.Sprintf("unknown names of %d letters", letters), func(r *rand.Rand, _ int) object {
			return object{"item": randomWord(r, letters, "etaoinsrhldcu ")}
		})
	}
	add("unknown names of other letters", func(r *rand.Rand, _ int) object {
		return object{"item": randomWord(r, 30, "éèßжйЖḀ漢字aeio")}
	})
	add("names with their letters in disorder", func(r *rand.Rand, _ int) object {
		name := []rune(items[r.IntN(len(items))].Name)
		r.Shuffle(len(name), func(a, b int) { name[a], name[b] = name[b], name[a] })
		return object{"item": string(name)}
	})
	for _, form := range []string{
		"1/2 in slices, ", "1-1/2 to 2 1/2 in ", "not diluted, ", "blossom not cut; ", "a,", "1 1 ", "1-1 1/1", "water mixed ",
		"whole spears ", "é.", "( ", "9", "1 to ",
	} {
		for _, item := range []string{"pickling cucumber", "cider vinegar"} {
			add(fmt.Sprintf("forms of %q of %s", form, item), func(*rand.Rand, int) object {
				return object{"item": item, "form": filled(form), "piece": object{"length": amountOf(1, "in"), "thickness": amountOf(1, "in")}}
			})
		}
	}
	classes := map[string][]int{}
	for i := range items {
		class := string(items[i].Class)
		classes[class] = append(classes[class], i)
	}
	for _, class := range slices.Sorted(maps.Keys(classes)) {
		for _, per := range []string{"batch", "jar"} {
			add(fmt.Sprintf("everything of class %s by the %s", class, per), func(_ *rand.Rand, i int) object {
				return object{
					"item": items[classes[class][i%len(classes[class])]].Name, "form": "chopped fine, canned", "per": per, "salt_kind": "table",
					"bottled": i%2 == 0, "acidity_percent": 5, "drained": i%3 == 0, "rinses": 3,
				}
			})
		}
	}
	return append(all, costlyTested(t)...)
}

// costlyTested are tested recipes with their lines again and again, so that all lines are alike to many tested recipes.
func costlyTested(t *testing.T) []costly {
	t.Helper()
	var all []costly
	last := ""
	for _, p := range everyPrinted() {
		if p.recipe.ID == last {
			continue
		}
		last = p.recipe.ID
		all = append(all, costly{"lines of " + last, func(n int) object {
			request, _ := p.request(t, 3001, false)
			lines := request.Recipe.Ingredients
			request.Recipe.Ingredients = nil
			for i := range n {
				request.Recipe.Ingredients = append(request.Recipe.Ingredients, lines[i%len(lines)])
			}
			return asObject(t, request)
		}})
	}
	return all
}

func asObject(t *testing.T, value any) object {
	t.Helper()
	body, err := json.Marshal(value)
	if err != nil {
		t.Fatal(err)
	}
	var o object
	if err := json.Unmarshal(body, &o); err != nil {
		t.Fatal(err)
	}
	return o
}

// costlyDays are canning days with n jars, events and the like, of which as much as can be is wrong.
func costlyDays(t *testing.T) []costly {
	t.Helper()
	var all []costly
	at := func(i int) string {
		return time.Date(2026, 8, 1, 8, 0, 0, 0, time.UTC).Add(time.Duration(i) * time.Minute).Format(time.RFC3339)
	}
	id := func(i int) string { return fmt.Sprintf("%s%03d", strings.Repeat("j", 37), i) }
	event := func(i int, kind, load string) object {
		return object{"at": at(i), "event": kind, "load": load, "water_over_lids": amountOf(0.5, "in"), "temperature": amountOf(70, "C")}
	}
	faulty := func(j object) {
		j["food_covered"], j["labeled"], j["liquid_lost_percent"], j["headspace"] = false, false, 100, amountOf(3, "in")
		j["spoilage_signs"] = []any{"bulging_lid", "leaking", "dried_streaks", "rising_bubbles", "spurting", "mold", "odd_smell", "odd_color", "slime"}
	}
	jars := func(n int, edit func(i int, j object)) []any {
		return entries(n, func(i int) object {
			j := object{"id": id(i), "load": id(i)}
			edit(i, j)
			return j
		})
	}
	boils := func(n, from int) []any {
		return entries(n, func(i int) object { return event(from+i, []string{"boil_reached", "heat_off"}[i%2], id(i/2)) })
	}
	add := func(name, keep string, batch func(n int) object) {
		for _, asOf := range []string{"", "2026-08-02T09:00:00Z", "2027-12-01T09:00:00Z"} {
			all = append(all, costly{fmt.Sprintf("a day with %s, as of %q", name, asOf), func(n int) object {
				var o object
				if err := json.Unmarshal(readFile(t, "examples", "dill-cucumbers-in-the-mountains.json"), &o); err != nil {
					t.Fatal(err)
				}
				o["recipe"].(object)["keep"], o["batch"] = keep, batch(n)
				o["batch"].(object)["packed_at"] = at(0)
				if delete(o, "as_of"); asOf != "" {
					o["as_of"] = asOf
				}
				return o
			}})
		}
	}
	add("a load a jar", "shelf", func(n int) object {
		return object{"events": entries(n, func(i int) object { return event(i, "boil_reached", id(i)) }), "jars": jars(n, func(_ int, j object) { faulty(j) })}
	})
	add("jars processed twice", "shelf", func(n int) object {
		return object{"events": boils(n, 0), "jars": jars(n, func(i int, j object) {
			j["load"], j["reprocessed"] = id(i/4), object{"load": id(i/4 + 1), "new_lid": false}
		})}
	})
	add("all in one load", "shelf", func(n int) object {
		kinds := []string{"boil_regained", "boil_lost", "temperature", "jars_in", "topped_up", "heat_off", "lid_off", "jars_out"}
		return object{"events": entries(n, func(i int) object { return event(i, kinds[i%len(kinds)], "x") }), "jars": jars(n, func(_ int, j object) {
			faulty(j)
			j["load"] = "x"
		})}
	})
	add("many seal checks", "shelf", func(n int) object {
		return object{"events": boils(n, 1000), "jars": jars(n/2, func(_ int, j object) {
			j["seal_checks"] = entries(50, func(i int) object { return object{"at": at(i)} })
		})}
	})
	add("many places", "refrigerator", func(n int) object {
		return object{"jars": jars(n/3, func(_ int, j object) {
			j["kept"] = entries(50, func(i int) object { return object{"from": at(i), "place": []string{"room", "refrigerator"}[i%2]} })
		})}
	})
	add("many readings", "shelf", func(n int) object {
		return object{
			"events": boils(n, 0), "jars": jars(n, func(_ int, j object) { faulty(j) }),
			"ph_readings": entries(n/2, func(i int) object {
				return object{
					"at": at(n - i), "value": 5, "jar": id(i), "sample": "piece", "instrument": "meter", "accuracy": 1, "temperature": amountOf(60, "C"),
					"buffers": entries(10, func(i int) object { return object{"ph": 4 + i%2, "reading": 4, "temperature": amountOf(20, "C")} }),
				}
			}),
		}
	})
	return all
}

// costlyAnswer is one way to answer a document. It gives the length of the answer.
type costlyAnswer struct {
	name string
	of   func(object) object // the document that is asked with
	give func(body []byte) (int, error)
}

// body is the document that is asked with. It must be none that is refused for its length.
func (a *costlyAnswer) body(t *testing.T, o object) []byte {
	t.Helper()
	body, err := json.Marshal(a.of(o))
	if err != nil || len(body) > ingest.MaxBytes {
		t.Fatalf("%s: a document of %d bytes, %v", a.name, len(body), err)
	}
	return body
}

// recipeAlone is a document without its canning day, with some more members.
func recipeAlone(more object) func(object) object {
	return func(o object) object {
		alone := maps.Clone(o)
		delete(alone, "batch")
		delete(alone, "as_of")
		maps.Copy(alone, more)
		return alone
	}
}

func refusedFor(problem *ingest.Problem) error {
	if problem == nil {
		return nil
	}
	return fmt.Errorf("refused: %s %.300v", problem.Detail, problem.Errors)
}

// counting counts what is written to it.
type counting struct{ bytes int }

func (c *counting) Write(p []byte) (int, error) {
	c.bytes += len(p)
	return len(p), nil
}

// costlyAnswers are all answers that a document may be asked for.
func costlyAnswers() []costlyAnswer {
	var all []costlyAnswer
	for _, format := range report.WrittenFormats() {
		all = append(all, costlyAnswer{"report as " + format.Name, func(o object) object { return o }, func(body []byte) (int, error) {
			r, problem := checker.Check(nil, body, report.Options{Derivation: true, Curves: true})
			if problem != nil {
				return 0, refusedFor(problem)
			}
			var written counting
			err := format.Write(&written, r)
			return written.bytes, err
		}})
	}
	return append(all, costlyAnswer{"pictures", recipeAlone(nil), func(body []byte) (int, error) {
		judged, problem := checker.Illustrate(nil, body, report.Options{Derivation: true, Curves: true})
		return len(fmt.Sprint(judged.Pictures)), refusedFor(problem)
	}}, costlyAnswer{"plan", recipeAlone(object{"target": object{"factor": 2}}), func(body []byte) (int, error) {
		plan, problem := checker.Plan(nil, body)
		if problem != nil {
			return 0, nil // many of the recipes cannot be scaled, which is an answer too
		}
		answer, err := json.Marshal(plan)
		return len(answer), err
	}}, costlyAnswer{"card", recipeAlone(nil), func(body []byte) (int, error) {
		card, problem := checker.Card(nil, body)
		if problem != nil {
			return 0, refusedFor(problem)
		}
		var written counting
		if err := card.Markdown(&written); err != nil {
			return 0, err
		}
		linked, err := json.Marshal(card.Linked())
		return written.bytes + len(linked), err
	}})
}

// most is the length of the longest lists that the schema allows.
const most = 200

// everyCostly is all documents that are meant to be costly; a sample of them without -full.
func everyCostly(t *testing.T) []costly {
	t.Helper()
	lines, days := costlyLines(t), costlyDays(t)
	if *full {
		return append(lines, days...)
	}
	var some []costly
	for i := 0; i < len(lines); i += 5 {
		some = append(some, lines[i])
	}
	for i := 0; i < len(days); i += 2 {
		some = append(some, days[i])
	}
	return some
}

// Whoever writes as much as may be written, as awkwardly as it can be written, is answered at a bounded cost, which grows with
// the lists and not with their square: at four times the length no more than eight times the time, whereas the square is sixteen.
func TestCostIsBoundedAndGrowsWithTheDocument(t *testing.T) {
	const (
		short, steep = most / 4, 8
		slight       = 8 * time.Millisecond // below which the machine tells no growth
	)
	answers := costlyAnswers()
	for i, document := range everyCostly(t) {
		t.Run(document.name, func(t *testing.T) {
			longer, shorter := document.of(most), document.of(short)
			day := longer["batch"] != nil
			for k, answer := range answers {
				isReport := strings.HasPrefix(answer.name, "report")
				if day && !isReport || !*full && isReport && k != i%4 { // plans, cards and pictures have nothing of a day
					continue
				}
				give := func(o object) func() {
					body := answer.body(t, o)
					return func() {
						if bytes, err := answer.give(body); err != nil || bytes > mostAnswer {
							t.Fatalf("%s: %d bytes, %v", answer.name, bytes, err)
						}
					}
				}
				long := give(longer)
				took := meter.Within(t, mostProcessor, long)
				if took <= slight || took > mostProcessor {
					continue
				}
				atMost := steep * meter.Within(t, mostProcessor, give(shorter))
				for range 3 { // the garbage of others may have been collected meanwhile
					if took = min(took, meter.Within(t, mostProcessor, long)); took <= atMost {
						break
					}
				}
				if took > atMost {
					t.Errorf("%s: %v for lists of %d, more than %d times that for lists of %d, which is %v", answer.name, took, most, steep, short, atMost/steep)
				}
				t.Logf("%s: %v", answer.name, took)
			}
		})
	}
}

// A name that nobody knows is looked for among all that are known. Comparing it with each of them in full took two hundred times
// what a recipe of known names takes.
func TestUnknownNamesCostLittleMoreThanKnownOnes(t *testing.T) {
	items := checker.tables.Items
	recipe := func(name func(r *rand.Rand, i int) string) []byte {
		r := rand.New(rand.NewPCG(1, 2))
		body, err := json.Marshal(object{"recipe": object{"keep": "shelf", "kind": "brined", "ingredients": entries(most, func(i int) object {
			return object{"item": name(r, i), "per": "batch", "amount": amountOf(1, "cup")}
		})}})
		if err != nil {
			t.Fatal(err)
		}
		return body
	}
	cost := func(body []byte) time.Duration {
		least := time.Hour
		for range 5 {
			before := meter.Processor(t)
			checkBytes(t, body)
			least = min(least, meter.Processor(t)-before)
		}
		return least
	}
	known := cost(recipe(func(_ *rand.Rand, i int) string { return items[i%len(items)].Name }))
	for _, letters := range []int{10, 16, 30, 60, 100} {
		unknown := cost(recipe(func(r *rand.Rand, _ int) string { return randomWord(r, letters, "etaoinsrhldcu ") }))
		if ratio := float64(unknown) / float64(known); ratio > 8 {
			t.Errorf("names of %d letters that are not known cost %.1f times known ones: %v and %v", letters, ratio, unknown, known)
		} else {
			t.Logf("names of %d letters: %.1f times, %v and %v", letters, ratio, unknown, known)
		}
	}
}
