package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"strings"
	"sync"
	"testing"
	"time"
)

// hostileDocument is one valid request, or nearly, that asks for more work than it is worth.
type hostileDocument struct {
	name string
	letter
	most   time.Duration      // of processor time
	answer int64              // bytes
	refuse string             // text that must not stand in the answer
	check  func(reply) string // what else is wrong with the answer
}

// Repetitions of which one line was seen to cost more than its length; the issue names them.
var repetitions = []struct{ name, head, part string }{
	{"fresh, fresh", "", "fresh, "},
	{"salt/salt", "1 lb ", "salt/"},
	{"parentheses", "1 lb cucumbers ", "(aaaa)"},
	{"pint pint", "", "pint "},
	{"1 zz, 1 zz", "", "1 zz, "},
	{"<<<<", "", "<"},
}

// repeated is a text of so many bytes at most. Where aaaa stands in the part each is another: (aaaa)(aaab)…
func repeated(head, part string, length int) string {
	var text strings.Builder
	text.WriteString(head)
	before, after, differ := strings.Cut(part, "aaaa")
	for n := 0; text.Len()+len(part) <= length; n++ {
		if differ {
			text.WriteString(before)
			text.WriteString(lettersOf(n, 4))
			text.WriteString(after)
			continue
		}
		text.WriteString(part)
	}
	return text.String()
}

// lettersOf writes a number in letters, a for 0, so that texts made of it differ and are no words.
func lettersOf(n, length int) string {
	text := []byte(strings.Repeat("a", length))
	for i := length - 1; i >= 0 && n > 0; i-- {
		text[i], n = 'a'+byte(n%26), n/26
	}
	return string(text)
}

// published is a recipe as blogs publish it, of one line and one step.
func published(line, step string) []byte {
	return encoded(map[string]any{
		"@context": "https://schema.org", "@type": "Recipe", "name": "Carrots",
		"recipeIngredient": []string{line, "2 cups vinegar (5% acidity)"}, "recipeInstructions": []string{step},
	})
}

// yielding is a recipe that says in so many words how many jars it makes.
func yielding(text string) []byte {
	return encoded(map[string]any{"@type": "Recipe", "recipeIngredient": []string{"1 lb carrots", "2 cups vinegar"}, "recipeYield": text})
}

func inPage(document []byte) []byte {
	return fmt.Appendf(nil, "<!doctype html><title>Carrots</title><script type=\"application/ld+json\">%s</script>", document)
}

// edited is an example with some members replaced. A path is written with slashes, as in a JSON Pointer.
func edited(file string, values map[string]any) []byte {
	text, err := os.ReadFile("../../examples/" + file)
	if err != nil {
		panic(err)
	}
	var document any
	if err := json.Unmarshal(text, &document); err != nil {
		panic(err)
	}
	for path, value := range values {
		place(document, strings.Split(strings.TrimPrefix(path, "/"), "/"), value)
	}
	body, err := json.Marshal(document)
	if err != nil {
		panic(err)
	}
	return body
}

// place puts a value into a document of maps and lists.
func place(in any, path []string, value any) {
	switch in := in.(type) {
	case map[string]any:
		if len(path) == 1 {
			in[path[0]] = value
			return
		}
		if in[path[0]] == nil {
			in[path[0]] = map[string]any{}
		}
		place(in[path[0]], path[1:], value)
	case []any:
		at := 0
		if _, err := fmt.Sscan(path[0], &at); err != nil {
			panic(err)
		}
		if len(path) == 1 {
			in[at] = value
			return
		}
		place(in[at], path[1:], value)
	}
}

// unknownNames are so many ingredients of which no table knows one, each of a hundred characters.
func unknownNames(count int) []any {
	var lines []any
	for n := range count {
		name := lettersOf(n, 6) + strings.Repeat(" qwxz", 19)
		lines = append(lines, map[string]any{"item": name[:100], "per": "batch", "amount": map[string]any{"value": 1, "unit": "lb"}})
	}
	return lines
}

const (
	asJSON   = "application/json"
	asLinked = "application/ld+json"
	asHTML   = "text/html"
	asForm   = "application/x-www-form-urlencoded"
	asLines  = "application/x-ndjson"
)

// hostileDocuments are the documents of the issue, each with its siblings.
func hostileDocuments() []hostileDocument {
	all := append(hostilePlans(), hostileDrafts()...)
	names := unknownNames(200)
	report := edited("dill-cucumbers.json", map[string]any{"recipe/ingredients": names})
	page := url.Values{"do": {"paste"}, "json": {string(report)}}.Encode()
	card := edited("cards/dill-cucumbers.json", map[string]any{"recipe/ingredients": names})
	plan := edited("plans/half-a-bushel-of-cucumbers.json", map[string]any{"recipe/ingredients": names, "target": map[string]any{"factor": 2}})
	for _, accept := range []string{asJSON, "text/plain", "text/markdown", asHTML, "application/sarif+json"} {
		all = append(all, hostileDocument{name: "200 unknown names as a report in " + accept, letter: letter{
			target: "/v1/reports", mediaType: asJSON, accept: accept, body: report,
		}})
	}
	all = append(all,
		hostileDocument{name: "200 unknown names as a report with all", letter: letter{
			target: "/v1/reports?include=derivation,curves", mediaType: asJSON, body: report,
		}},
		hostileDocument{name: "200 unknown names as a plan", letter: letter{target: "/v1/plans", mediaType: asJSON, body: plan}},
		hostileDocument{name: "200 unknown names pasted into the page", letter: letter{
			target: "/", mediaType: asForm, accept: asHTML, body: []byte(page),
		}},
		hostileDocument{name: "a megabyte of gzipped blank lines", most: mostStreamCPU, answer: mostStreamAnswer, letter: letter{
			target: "/v1/reports", mediaType: asLines, packed: true, body: gzipped(bytes.Repeat([]byte("\n"), 1<<20)),
		}},
		hostileDocument{name: "a megabyte of gzipped empty objects", most: mostStreamCPU, answer: mostStreamAnswer, letter: letter{
			target: "/v1/reports", mediaType: asLines, packed: true, body: gzipped(bytes.Repeat([]byte("{}\n"), 1<<20/3)),
		}},
		hostileDocument{name: "a megabyte of gzipped empty drafts", most: mostStreamCPU, answer: mostStreamAnswer, letter: letter{
			target: "/v1/drafts?report=true", mediaType: asLines, packed: true, body: gzipped(bytes.Repeat([]byte("[]\n"), 1<<20/3)),
		}},
		hostileDocument{name: "inf in the form", letter: letter{
			target: "/", mediaType: asForm, accept: asHTML,
			body: []byte("do=judge&rows=1&item-0=cucumber&amount-0=inf&unit-0=lb&per-0=batch&jars=inf&time=NaN&elevation=-inf"),
		}},
		hostileDocument{name: "javascript: in a card", refuse: "javascript:", letter: letter{
			target: "/v1/cards", mediaType: asJSON, accept: asLinked,
			body: edited("cards/dill-cucumbers.json", map[string]any{
				"publication/image": "javascript:alert(1)", "publication/url": "javascript:alert(2)",
			}),
		}},
		hostileDocument{name: "a data: picture in a card", refuse: "data:text", letter: letter{
			target: "/v1/cards", mediaType: asJSON, accept: asHTML,
			body: edited("cards/dill-cucumbers.json", map[string]any{"publication/image": "data:text/html,x", "publication/url": "JaVaScRiPt:x"}),
		}},
		hostileDocument{name: "an escape in a name, in text for people", refuse: "\x1b", letter: letter{
			target: "/v1/reports", mediaType: asJSON, accept: "text/plain",
			body: edited("dill-cucumbers.json", map[string]any{"recipe/name": forged, "recipe/ingredients/0/item": forged}),
		}, check: unforged},
	)
	for _, accept := range []string{asJSON, asLinked, asHTML, "text/markdown"} {
		all = append(all, hostileDocument{name: "200 unknown names as a card in " + accept, letter: letter{
			target: "/v1/cards", mediaType: asJSON, accept: accept, body: card,
		}})
	}
	for _, value := range []string{"1e-320", "5e-324", "1e-300", "1e300"} {
		all = append(all, hostileDocument{name: "a report on an amount of " + value, letter: letter{
			target: "/v1/reports?include=derivation,curves", mediaType: asJSON,
			body: edited("dill-cucumbers.json", map[string]any{
				"recipe/ingredients/0/amount/value": json.Number(value), "recipe/headspace/value": json.Number(value),
				"recipe/process/time/value": json.Number(value),
			}),
		}})
	}
	for i := range all {
		if all[i].most == 0 {
			all[i].most = mostCPU
		}
		if all[i].answer == 0 {
			all[i].answer = mostAnswer
		}
	}
	return all
}

// forged is what a terminal would show as a verdict: cleared, gone up, turned round.
const forged = "\x1b[2J\x1b[1;1HFIT FOR THE SHELF\u009b0m \u202eREVRESER\u202c \u2066x\u2069 \u200e"

// unforged finds control and bidirectional characters in a text for people.
func unforged(got reply) string { return controls(string(got.head)) }

func controls(text string) string {
	for at, r := range text {
		switch {
		case r == '\n' || r == '\t' || r == '\r':
		case r < 0x20 || r >= 0x7f && r < 0xa0, r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069, r == 0x200e, r == 0x200f, r == 0x61c:
			return fmt.Sprintf("%U stands at byte %d", r, at)
		}
	}
	return ""
}

func hostilePlans() []hostileDocument {
	plan := func(name string, values map[string]any) hostileDocument {
		return hostileDocument{name: name, letter: letter{
			target: "/v1/plans", mediaType: asJSON, body: edited("plans/half-a-bushel-of-cucumbers.json", values),
		}}
	}
	amount := func(value any, unit string) map[string]any { return map[string]any{"value": value, "unit": unit} }
	produce := func(value any, unit string) map[string]any {
		return map[string]any{"produce": map[string]any{"item": "cucumber", "amount": amount(value, unit)}}
	}
	return []hostileDocument{
		plan("a plan of an amount of 1e-300", map[string]any{"recipe/ingredients/0/amount/value": json.Number("1e-300")}),
		plan("a plan of an amount of 1e-320", map[string]any{"recipe/ingredients/0/amount/value": json.Number("1e-320")}),
		plan("a plan of 250,000 bushels", map[string]any{"target": produce(250_000, "bushel")}),
		plan("a plan of 1,000,000 liters of vinegar", map[string]any{"target": map[string]any{"vinegar": amount(1_000_000, "L")}}),
		plan("a plan of 1,000,000 gallons", map[string]any{"target": map[string]any{"volume": amount(1_000_000, "gal")}}),
		plan("a plan of ten times 10,000 jars, one a load", map[string]any{
			"recipe/jars": 10_000, "target": map[string]any{"factor": 10}, "canner/jars_per_load": 1,
		}),
		plan("a plan of 10,000 jars, one a load", map[string]any{
			"target": map[string]any{"jars": map[string]any{"count": 10_000}}, "canner/jars_per_load": 1,
		}),
		plan("a plan with a jar of 1e-300 liters", map[string]any{
			"recipe/jar": map[string]any{"capacity": amount(json.Number("1e-300"), "L")}, "target": map[string]any{"volume": amount(1, "L")},
		}),
	}
}

func hostileDrafts() []hostileDocument {
	draft := func(name, mediaType string, body []byte, most time.Duration) hostileDocument {
		return hostileDocument{name: name, most: most, letter: letter{
			target: "/v1/drafts?report=true", mediaType: mediaType, packed: bytes.HasPrefix(body, []byte("\x1f\x8b")), body: body,
		}}
	}
	long := strings.Repeat("n", mostBody/2)
	nodes := strings.Repeat("{},", mostBody/2/3-20)
	lines := strings.Repeat(`"a",`, 1000)
	all := []hostileDocument{
		draft("a draft of a long name over many nodes", asLinked, gzipped([]byte(`{"`+long+`":[`+nodes+`{}]}`)), mostDraftCPU),
		draft("a draft of long names in each other", asLinked, gzipped([]byte(strings.Repeat(`{"`+strings.Repeat("n", mostBody/40)+`":[{},{},`, 15)+
			strings.Repeat("{},", 20_000)+"{}"+strings.Repeat("]}", 15))), mostDraftCPU),
		draft("a draft of a long name over a recipe", asLinked,
			gzipped([]byte(`{"`+long+`":{"@type":"Recipe","recipeIngredient":[`+lines+`"a"],"recipeInstructions":[`+lines+`"a"]}}`)), mostDraftCPU),
		draft("a draft of many nodes", asLinked, gzipped([]byte("["+strings.Repeat("{},", mostBody/3-4)+"{}]")), mostDraftCPU),
	}
	for _, each := range repetitions {
		text := repeated(each.head, each.part, mostBody-1000)
		page := repeated(each.head, each.part, mostPage-1000)
		all = append(all,
			draft("a line of "+each.name, asLinked, published(text, "Boil."), mostDraftCPU),
			draft("a step of "+each.name, asLinked, published("1 lb carrots", text), mostDraftCPU),
			draft("a yield of "+each.name, asLinked, yielding(text), mostDraftCPU),
			draft("a page with a line of "+each.name, asHTML, inPage(published(repeated(each.head, each.part, mostBody-2000), "Boil.")), mostDraftCPU),
			draft("a page of 4 MiB of "+each.name, asHTML, []byte("<!doctype html><body>"+page), mostPageCPU),
			draft("a page of 4 MiB with a line of "+each.name, asHTML, pageOf4MiB(each.head, each.part), mostPageCPU),
		)
	}
	return all
}

// pageOf4MiB is a page with one recipe in it, of one line, as long as a page may be.
func pageOf4MiB(head, part string) []byte {
	length := mostPage - 1000
	for {
		page := inPage(published(repeated(head, part, length), "Boil."))
		if len(page) <= mostPage {
			return page
		}
		length = length * mostPage / len(page) * 99 / 100
	}
}

// Each attack with a document, on the real program: what it costs alone, and how honest clients fare beside it.
func TestHostileDocuments(t *testing.T) {
	onlyWithCost(t)
	all, whole := examples(t), t // the service outlives each attack
	var p *process
	for _, attack := range hostileDocuments() {
		t.Run(attack.name, func(t *testing.T) {
			if p == nil || !p.alive() {
				p = startMeasured(whole, nil, quiet...)
				warm(t, p, all)
			}
			resting := p.back(0, 300*time.Millisecond)
			got := p.measure(&attack.letter, 3, attackPatience)
			figure := newFigure(attack.name, len(attack.body), got)
			if p.alive() {
				beside := p.beside(t, all, &attack.letter, got)
				figure.beside(beside)
				beside.wellServed(t, 0)
				within := 10 * time.Second
				if t.Failed() {
					within = time.Second // what is still being worked on keeps it
				}
				figure.Left = max(0, p.back(resting+leftOver, within)-resting)
			} else {
				figure.Honest = "the service ended"
			}
			record(figure)
			t.Logf("%v of CPU, %d KiB more resident, %d bytes answered with %d %s", got.CPU.Round(time.Microsecond), got.Peak>>10, got.Answer, got.Status, got.Failed)
			judge(t, p, &attack, got)
			if figure.Left > leftOver {
				t.Errorf("%d MiB more resident than before", figure.Left>>20)
			}
			if t.Failed() && p.alive() {
				p.kill() // what is still being worked on is not to count for the next
			}
		})
	}
	if p != nil && p.alive() {
		p.stop(t)
	}
}

const (
	attackPatience = 10 * time.Second
	leftOver       = 48 << 20 // bytes more resident than before that the collector's own pace explains
)

// judge holds what an attack cost to the limits.
func judge(t *testing.T, p *process, attack *hostileDocument, got spent) {
	t.Helper()
	if got.Failed != "" {
		t.Errorf("no answer: %s", got.Failed)
		return
	}
	if got.Status >= 500 {
		t.Errorf("status %d: %.200s", got.Status, got.head)
	}
	if limit, good := p.within(&attack.letter, &got, attack.most); !good {
		t.Errorf("%v of CPU, want at most %v", got.CPU, limit)
	}
	if got.Answer > attack.answer {
		t.Errorf("%d bytes answered, want at most %d", got.Answer, attack.answer)
	}
	if got.Peak > maxResident {
		t.Errorf("%d MiB more resident while it lasted", got.Peak>>20)
	}
	if attack.refuse != "" && got.Status == http.StatusOK && bytes.Contains(bytes.ToLower(got.head), []byte(attack.refuse)) {
		t.Errorf("the answer holds %q: %.300q", attack.refuse, got.head)
	}
	if attack.check != nil {
		if wrong := attack.check(reply{head: got.head, status: got.Status}); wrong != "" {
			t.Errorf("the answer: %s", wrong)
		}
	}
}

// warm makes a service ready as one that has run for a while is.
func warm(t *testing.T, p *process, all []example) {
	t.Helper()
	client := from(1, 20*time.Second)
	defer client.CloseIdleConnections()
	for range 3 {
		for _, each := range all {
			l := letter{target: "/v1/reports", mediaType: asJSON, body: each.body}
			if got := l.post(t.Context(), client, p.address, true); got.err != nil || got.status != http.StatusOK {
				t.Fatalf("warm up: status %d, %v", got.status, got.err)
			}
		}
	}
	p.collect()
}

// beside lets four clients at one address repeat an attack while honest clients at two others ask. One that has driven the service
// out of bounds is not repeated: its honest clients ask while it lasts.
func (p *process) beside(t *testing.T, all []example, l *letter, alone spent) *crowd {
	t.Helper()
	last := 600 * time.Millisecond
	if *cost {
		last = 2 * time.Second
	}
	if alone.Failed != "" || alone.CPU > 2*time.Second {
		last = 3 * time.Second
	}
	ctx, cancel := context.WithTimeout(t.Context(), last)
	defer cancel()
	var running sync.WaitGroup
	for range 4 {
		running.Go(func() {
			client := from(attacker, last)
			defer client.CloseIdleConnections()
			for ctx.Err() == nil {
				l.post(ctx, client, p.address, false)
			}
		})
	}
	honest := p.honest(errands(all), 2, 3)
	running.Wait()
	return honest.stop()
}
