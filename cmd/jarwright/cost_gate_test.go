package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/schemas"
)

// The cost gate: no body of any operation costs more than the issue allows, and no cost grows faster than the body. What is sent is
// generated: each member of each schema, filled with each text of a list of repetitions, at one, two, four and eight times the length.
//
//	go test ./cmd/jarwright -run CostGate                  the texts of the issue, in seconds
//	go test ./cmd/jarwright -run CostGate -args -cost      every text in every form of answer, in minutes

// growing is a kind of body that can be made of any length.
type growing struct {
	name string
	letter
	body    func(length int) []byte
	longest int           // bytes
	most    time.Duration // of processor time for the longest
}

// repetition is a text made of one part; where aaaa stands in it each part is another.
type repetition struct{ head, part string }

// repetitionsOfAll are texts that readers of recipes have to scan: words of the trade, what parts lists and alternatives, marks that
// open and do not close, numbers, markup, and letters that are not what they seem.
func repetitionsOfAll() []repetition {
	heads := []string{"", "1 lb ", "1 lb cucumbers, "} // what is read next depends on what stood before
	var all []repetition
	add := func(part string) {
		for _, head := range heads {
			all = append(all, repetition{head, part})
		}
	}
	for _, each := range repetitions {
		add(each.part)
	}
	if !*cost {
		return all
	}
	for _, part := range []string{
		"aaaa ", "aaaa, ", "a", "a ", "or ", "vinegar or ", "and ", "salt and aaaa ", "a, ", "juice of ", "1 cup plus ", "plus ", "to ", "(", ")", "()", "[", "{",
		"½", "1/", "1 1/2 ", "1-", "1 to ", "9", "1e9 ", "1.", ".", ". ", "; ", ": ", "-", "—", "\n", "\t", " ", "\\", "\"", "'", "&", "&amp;", "&#x26;", "<a ",
		"</a>",
		"<!--", "<script>", "*_", "|", "#", "`", "[a](b)", "http://a ", "javascript:", "\u00e9", "e\u0301", "\u202e", "\u200d", "🥒", "\x00", "\x1b[1m",
		"10 minutes ", "process 10 minutes at 1,000 ft. ", "180°F ", "½ inch headspace. ", "pint jars, ", "5% acidity ", "PT1H", "P1D", "not ", "no salt, ",
		"soak 1 hour. ", "drain. ", "1 lb aaaa, ", "cut in aaaa pieces, ", "dill seed ", "dill", "cucumber ", "cucumber/aaaa ", "water, vinegar, salt, ", "if aaaa, ",
		"2 (14 oz) ", "x", "2 x ", "%", "0", "~1", "/", "a/", "../", "°", "@", "$", "=", "!", "?", "^", "+", "\u00a0", "\u2028", "ß", "İ", "ﬁ", "Ⅷ",
	} {
		add(part)
	}
	return all
}

// operation is a way to send documents of a schema.
type operation struct {
	name   string
	schema string
	letter
	bases  []map[string]any
	most   time.Duration
	every  int // of the texts: each, or only each so-manieth, as the reading is the same as another's
	wrap   func([]byte) []byte
	wrapIn int // bytes that wrapping adds at most

	thorough []string // members that are read word by word, where the others are not; each of them gets every text
}

func object(t *testing.T, text []byte) map[string]any {
	t.Helper()
	var document map[string]any
	if err := json.Unmarshal(text, &document); err != nil {
		t.Fatal(err)
	}
	return document
}

func exampleFile(t *testing.T, name string) map[string]any {
	t.Helper()
	text, err := os.ReadFile("../../examples/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return object(t, text)
}

// operations are all that take a document. Those that only differ in how the answer is written come with fewer texts.
func operations(t *testing.T) []operation {
	t.Helper()
	reports := []map[string]any{exampleFile(t, "canning-day.json")}
	cards := []map[string]any{exampleFile(t, "cards/dill-cucumbers.json")}
	plan := exampleFile(t, "plans/half-a-bushel-of-cucumbers.json")
	// The most that a plan can be asked for: many jars, in a pot that takes one.
	crowded := clone(plan).(map[string]any)
	place(crowded, []string{"recipe", "jars"}, 10_000)
	place(crowded, []string{"canner", "jars_per_load"}, 1)
	linked := clone(exampleFile(t, "mustard-seed-carrots.jsonld")["@graph"].([]any)[1]).(map[string]any)
	linked["@context"] = "https://schema.org"
	all := []operation{
		{name: "report", schema: schemas.RequestName, letter: letter{target: "/v1/reports?include=derivation,curves", mediaType: asJSON}, bases: reports, every: 5},
		{name: "plan", schema: schemas.PlanRequestName, letter: letter{target: "/v1/plans", mediaType: asJSON}, bases: []map[string]any{plan, crowded}, every: 5},
		{name: "card as HTML", schema: schemas.CardRequestName, letter: letter{target: "/v1/cards", mediaType: asJSON, accept: asHTML}, bases: cards, every: 5},
		{
			name: "draft", schema: schemas.RecipeLDName, letter: letter{target: "/v1/drafts?report=true", mediaType: asLinked}, bases: []map[string]any{linked},
			most: mostDraftCPU, thorough: []string{"/recipeIngredient[]", "/recipeInstructions[]/text", "/recipeYield"},
		},
		{
			name: "draft of a page", schema: schemas.RecipeLDName, letter: letter{target: "/v1/drafts?report=true", mediaType: asHTML}, bases: []map[string]any{linked},
			most: mostDraftCPU, wrap: inPage, wrapIn: len(inPage(nil)), every: 13,
		},
	}
	if *cost {
		for _, form := range []string{"text/plain", "text/markdown", asHTML, "application/sarif+json"} {
			all = append(all, operation{
				name: "report as " + form, schema: schemas.RequestName, letter: letter{target: "/v1/reports", mediaType: asJSON, accept: form}, bases: reports, every: 29,
			})
		}
		for _, form := range []string{asJSON, asLinked, "text/markdown"} {
			all = append(all, operation{
				name: "card as " + form, schema: schemas.CardRequestName, letter: letter{target: "/v1/cards", mediaType: asJSON, accept: form}, bases: cards, every: 29,
			})
		}
		all = append(all, operation{
			name: "page with a document", schema: schemas.RequestName, letter: letter{target: "/", mediaType: asForm, accept: asHTML}, bases: reports, every: 29,
			wrap: func(body []byte) []byte { return []byte(url.Values{"do": {"paste"}, "json": {string(body)}}.Encode()) },
		}, operation{
			name: "report of a line", schema: schemas.RequestName, letter: letter{target: "/v1/reports", mediaType: asLines}, bases: reports, every: 31,
			wrap: func(body []byte) []byte { return append(body, '\n') }, wrapIn: 1,
		})
	}
	for i := range all {
		all[i].every = max(1, all[i].every)
		if all[i].most == 0 {
			all[i].most = mostCPU
		}
		if all[i].wrap == nil {
			all[i].wrap = func(body []byte) []byte { return body }
		}
	}
	return all
}

// kinds are the bodies of an operation: every member of its schema, filled in every way.
func (o *operation) kinds(t *testing.T) []growing {
	t.Helper()
	w := &walker{t: t, files: map[string]map[string]any{}}
	var all []growing
	add := func(base int, name string, in member, whole bool, value func(length int) func(n int) any) {
		all = append(all, growing{
			name: fmt.Sprintf("%s: %s, %s", o.name, in, name), letter: o.letter, most: o.most, longest: mostBody,
			body: func(length int) []byte {
				room := max(1, length-o.wrapIn)
				return o.wrap(w.fill(o.bases[base], filling{in: in, value: value(room), most: room, whole: whole}))
			},
		})
	}
	texts := repetitionsOfAll()
	turn := 0
	for _, in := range membersOf(t, o.schema) {
		if in.isText() {
			for _, each := range texts {
				turn++
				every := o.every
				if len(o.thorough) > 0 && !slices.Contains(o.thorough, in.String()) {
					every *= 11
				}
				if turn%every == 0 {
					o.texts(in, each, turn, add)
				}
			}
		}
		if in.isList() {
			o.lists(w, in, add)
		}
		if in.isMap() {
			o.maps(in, add)
		}
	}
	return all
}

type adder func(base int, name string, in member, whole bool, value func(length int) func(n int) any)

// texts fills a member with one repetition: as long as the schema allows, in as many entries as there may be, and far longer than it
// allows, which has to be refused as cheaply.
func (o *operation) texts(in member, each repetition, turn int, add adder) {
	const perhaps = 100 // characters of an entry where the schema gives no bound
	allowed := longest(in.rule)
	if turn%3 == 0 || o.every > 1 { // what stands before is tried with a long text; of short ones there are many
		add(0, fmt.Sprintf("%q", each.head+each.part), in, false, func(int) func(int) any {
			return func(n int) any {
				return cutTo(lettersOf(n, 3)+" "+repeated(each.head, each.part, perhaps*10), min(allowed, perhaps))
			}
		})
	}
	if allowed < perhaps*10 && turn%12 != 0 {
		return // one that is too long is refused, whatever it says
	}
	add(0, fmt.Sprintf("one of %q", each.head+each.part), in, false, func(length int) func(int) any {
		size := length - 6<<10
		text := repeated(each.head, each.part, size)
		for inflated := len(encoded(text)); inflated > size; inflated = len(encoded(text)) {
			text = cutTo(text, len(text)*size/inflated*99/100)
		}
		return func(int) any { return text }
	})
}

// lists fills a list with entries that differ, with what they must have and with all that they may have.
func (o *operation) lists(w *walker, in member, add adder) {
	items, ok := in.rule["items"].(map[string]any)
	if !ok {
		return
	}
	file, _ := in.rule["in file"].(string)
	entry := w.resolve(file, items)
	below := member{path: append(append([]step{}, in.path...), step{"", entry}), rule: entry}
	for _, whole := range []bool{false, true} {
		add(0, fmt.Sprintf("entries, whole %v", whole), below, whole, func(int) func(int) any {
			return func(n int) any { return numbered(w.sample(entry, whole), n) }
		})
	}
}

// numbered makes the texts of a value differ from those of others.
func numbered(value any, n int) any {
	switch value := value.(type) {
	case map[string]any:
		for name, each := range value {
			if text, ok := each.(string); ok && (name == "item" || name == "id" || name == "name" || name == "form" || name == "text") {
				value[name] = text + " " + lettersOf(n, 4)
				continue
			}
			value[name] = numbered(each, n)
		}
		return value
	case []any:
		for i := range value {
			value[i] = numbered(value[i], n)
		}
	}
	return value
}

// maps fills an object of which the sender names the members.
func (o *operation) maps(in member, add adder) {
	for _, shape := range []struct {
		name  string
		value func(length int) any
	}{
		{"many members", func(length int) any {
			many := map[string]any{}
			for n := range length / 10 {
				many[lettersOf(n, 4)] = 1
			}
			return many
		}},
		{"a long name", func(length int) any { return map[string]any{strings.Repeat("n", length*9/10): 1} }},
		{"a long name over a list", func(length int) any {
			return map[string]any{strings.Repeat("n", length*4/10): bytesOfList(length * 4 / 10)}
		}},
		{"empty lists", func(length int) any { return map[string]any{"a": bytesOfList(length * 9 / 10)} }},
		{"numbers near zero", func(length int) any { return map[string]any{"a": listOf("5e-324", length*9/10)} }},
		{"numbers of many digits", func(length int) any {
			return map[string]any{"a": listOf("0."+strings.Repeat("0", 320)+"1", length*9/10)}
		}},
		{"long numbers", func(length int) any {
			return map[string]any{"a": json.RawMessage("1" + strings.Repeat("0", length*9/10))}
		}},
		{"long fractions", func(length int) any {
			return map[string]any{"a": json.RawMessage("0." + strings.Repeat("3", length*9/10))}
		}},
	} {
		add(0, shape.name, in, false, func(length int) func(int) any {
			return func(int) any { return shape.value(max(100, length-4<<10)) }
		})
	}
}

func gatedService(t *testing.T) *process {
	t.Helper()
	p := startMeasured(t, nil, quiet...)
	warm(t, p, examples(t))
	return p
}

// TestCostGate is the gate. It goes on after a failure, so that one run tells all, and starts the service anew where one was lost.
func TestCostGate(t *testing.T) {
	each := func(kinds []growing) func(t *testing.T) {
		return func(t *testing.T) {
			p, wrong := gatedService(t), 0
			for i := range kinds {
				if !p.alive() {
					p = gatedService(t)
				}
				if !kinds[i].passes(t, p) {
					p.kill()
					wrong++
				}
				if wrong > mostWrong {
					t.Fatalf("and %d kinds of body that were not measured", len(kinds)-i-1)
				}
			}
			t.Logf("%d kinds of body", len(kinds))
			if p.alive() {
				p.stop(t)
			}
		}
	}
	for _, o := range operations(t) {
		t.Run(o.name, each(o.kinds(t)))
	}
	t.Run("published documents and pages", each(shapesOfDrafts()))
}

// Where a body costs less than this at its longest, and less than two fifths of the processor time that it may, how its cost grows is
// no matter.
const (
	smallMemory = 16 << 20 // allocated
	smallAnswer = 1 << 20
)

func (g *growing) small() time.Duration { return g.most * 2 / 5 }

// steeper is how much faster than the body its cost may seem to grow. A cost of the square grows 1.8 times as fast, by this measure.
const steeper = 1.45

// once measures a body once, and with care where that was costly.
func (g *growing) once(t *testing.T, p *process) (spent, bool) {
	t.Helper()
	client := from(1, gatePatience)
	defer client.CloseIdleConnections()
	begin, _ := processorTime(p.command.Process.Pid)
	got := g.post(context.Background(), client, p.address, false)
	end, _ := processorTime(p.command.Process.Pid)
	s := spent{CPU: end - begin, Answer: got.bytes, Status: got.status, head: got.head}
	if got.err != nil {
		s.Failed = short(got.err.Error())
	}
	if s.Failed == "" && s.CPU > g.most/2 && s.CPU < hopeless*g.most {
		s = p.measure(&g.letter, 3, gatePatience)
	}
	limit, inTime := p.within(&g.letter, &s, g.most)
	good := true
	wrong := func(format string, values ...any) {
		t.Errorf("%s: %d bytes: "+format, append([]any{g.name, len(g.letter.body)}, values...)...)
		good = false
	}
	switch {
	case s.Failed != "":
		wrong("%s", s.Failed)
	case s.Status >= 500:
		wrong("status %d: %.200s", s.Status, s.head)
	case !inTime:
		wrong("%v of CPU, want at most %v", s.CPU.Round(time.Microsecond), limit.Round(time.Microsecond))
	case s.Answer > mostAnswer:
		wrong("%d bytes answered, want at most %d", s.Answer, mostAnswer)
	case s.Peak > maxResident:
		wrong("%d MiB more resident", s.Peak>>20)
	}
	return s, good
}

const (
	gatePatience = 5 * time.Second
	mostWrong    = 8 // after so many kinds of body an operation has failed well enough
)

// passes measures the longest body of a kind, and where that is costly the shorter ones too: none of the costs may grow faster than
// the body.
func (g *growing) passes(t *testing.T, p *process) bool {
	t.Helper()
	g.letter.body = g.body(g.longest)
	if len(g.letter.body) > g.longest && g.mediaType != asForm {
		t.Errorf("%s: made %d bytes, meant %d", g.name, len(g.letter.body), g.longest)
	}
	longest, good := g.once(t, p)
	if !good || longest.CPU < g.small() && longest.Answer < smallAnswer {
		return good
	}
	var wrong string
	for range 3 { // what else goes on in the machine makes one of them seem steep
		if wrong = g.steep(p); wrong == "" {
			return true
		}
	}
	t.Errorf("%s: %s", g.name, wrong)
	return false
}

// costAt is what a body of one length cost.
type costAt struct {
	length int
	spent
}

// steep says which cost grows faster than the body, if one does.
func (g *growing) steep(p *process) string {
	var all []costAt
	for _, part := range []int{8, 4, 2, 1} {
		shorter := *g
		shorter.letter.body = g.body(g.longest / part)
		before := p.allocated()
		s := p.measure(&shorter.letter, 1, gatePatience)
		s.Allocated = max(0, p.allocated()-before)
		if more := p.measure(&shorter.letter, 3, gatePatience); more.CPU < s.CPU {
			s.CPU = more.CPU
		}
		all = append(all, costAt{len(shorter.letter.body), s})
	}
	first, middle, last := all[0], all[2], all[3]
	if first.Status != last.Status || middle.Status != last.Status {
		return "" // one is refused and the other is not
	}
	allowed := steeper * float64(last.length-first.length) / float64(max(1, middle.length-first.length))
	for _, each := range []struct {
		name  string
		of    func(spent) float64
		small float64
	}{
		{name: "processor time", of: func(s spent) float64 { return s.CPU.Seconds() }, small: g.small().Seconds()},
		{name: "memory allocated", of: func(s spent) float64 { return float64(s.Allocated) }, small: smallMemory},
		{name: "answer", of: func(s spent) float64 { return float64(s.Answer) }, small: smallAnswer},
	} {
		low, mid, high := each.of(first.spent), each.of(middle.spent), each.of(last.spent)
		if high > each.small && high-low > allowed*max(mid-low, each.small/8)+each.small/4 {
			return fmt.Sprintf("%s grows faster than the body: %s", each.name, lengths(all))
		}
	}
	return ""
}

func lengths(all []costAt) string {
	var text strings.Builder
	for _, each := range all {
		fmt.Fprintf(&text, "%d bytes %v, %d KiB allocated, %d answered; ", each.length, each.CPU.Round(10*time.Microsecond), each.Allocated>>10, each.Answer)
	}
	return strings.TrimSuffix(text.String(), "; ")
}

// allocated is all that the program has allocated since its start, by its own account.
func (p *process) allocated() int64 {
	response, err := once.Get("http://" + p.private + "/metrics")
	if err != nil || response.StatusCode != http.StatusOK {
		return 0
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil {
		return 0
	}
	for line := range strings.Lines(string(text)) {
		if rest, found := strings.CutPrefix(line, "go_memstats_alloc_bytes_total "); found {
			var value float64
			if _, err := fmt.Sscan(rest, &value); err != nil {
				return 0
			}
			return int64(value)
		}
	}
	return 0
}
