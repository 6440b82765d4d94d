package handlers_test

import (
	"encoding/json"
	"net/http"
	"net/url"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"jarwright/validate/plaintext/plaintexttest"
)

// said are the operations that make words of a document, with every form they have.
var said = []struct{ target, accept string }{
	{"/v1/reports", "application/json"},
	{"/v1/reports", "text/plain"},
	{"/v1/reports", "text/markdown"},
	{"/v1/reports", "text/html"},
	{"/v1/reports", "application/sarif+json"},
	{"/v1/cards", "application/json"},
	{"/v1/cards", "text/markdown"},
	{"/v1/cards", "text/html"},
	{"/v1/cards", "application/ld+json"},
	{"/v1/plans", "application/json"},
	{"/", "text/html"}, // pasted into the form
}

// replaced gives a document once for each of its texts (of lists, those of the first entry), with that text replaced.
func replaced(t *testing.T, document any, replacement string) map[string]string {
	t.Helper()
	all := map[string]string{}
	var walk func(at string, value any, put func(any))
	walk = func(at string, value any, put func(any)) {
		switch value := value.(type) {
		case string:
			put(replacement)
			changed, err := json.Marshal(document)
			if err != nil {
				t.Fatal(err)
			}
			all[at] = string(changed)
			put(value)
		case []any:
			walk(at+"/0", value[0], func(to any) { value[0] = to })
		case map[string]any:
			for name, member := range value {
				walk(at+"/"+name, member, func(to any) { value[name] = to })
			}
		}
	}
	walk("", document, func(any) {})
	return all
}

// documentFor has every text that an operation reads, of a recipe that is on hold.
func documentFor(t *testing.T, target string) any {
	t.Helper()
	text, err := os.ReadFile("../examples/canning-day-one-unsealed.json")
	if err != nil {
		t.Fatal(err)
	}
	var document map[string]any
	if err := json.Unmarshal(text, &document); err != nil {
		t.Fatal(err)
	}
	recipe := document["recipe"].(map[string]any)
	recipe["ingredients"].([]any)[0].(map[string]any)["item"] = "sturgeon"
	batch := document["batch"].(map[string]any)
	batch["lot"] = "A"
	batch["jars"].([]any)[0].(map[string]any)["load"] = "1"
	switch target {
	case "/v1/cards":
		delete(document, "batch")
		delete(document, "as_of")
		document["publication"] = map[string]any{
			"author": "The allotment", "description": "Sour.", "image": "https://garden.example/a.jpg", "url": "https://garden.example/a", "published": "2026-08-20",
		}
	case "/v1/plans":
		delete(document, "batch")
		delete(document, "as_of")
		document["target"] = map[string]any{"jars": map[string]any{"count": 4}}
	}
	return document
}

// skeleton is what of an answer is ours to lay out: the tags of a page with where they lead, the structure of Markdown.
func skeleton(t *testing.T, accept, body string) string {
	t.Helper()
	switch accept {
	case "text/html":
		var tags []string
		tokens := html.NewTokenizer(strings.NewReader(body))
		for kind := tokens.Next(); kind != html.ErrorToken; kind = tokens.Next() {
			if kind == html.TextToken || kind == html.DoctypeToken {
				continue
			}
			token := tokens.Token()
			tag := kind.String() + " " + token.Data
			for _, attribute := range token.Attr {
				if attribute.Key != "value" {
					tag += " " + attribute.Key + "=" + attribute.Val
				}
			}
			tags = append(tags, tag)
		}
		return strings.Join(tags, "\n")
	case "text/markdown":
		bare := markdownEscape.ReplaceAllString(body, "x")
		var lines []string
		for line := range strings.Lines(bare) {
			start := markdownStart.FindString(line)
			lines = append(lines, start+strings.Join(markdownMark.FindAllString(line[len(start):], -1), ""))
		}
		return strings.Join(lines, "\n")
	}
	return ""
}

var (
	markdownEscape = regexp.MustCompile(`\\[!-/:-@\[-` + "`" + `{-~]|&(amp|lt|gt);`)
	markdownStart  = regexp.MustCompile(`^\s*(#+ |[-+*] |[0-9]+[.)] |=+\s*$|-+\s*$|~~~|` + "```" + `|\|)?`)
	markdownMark   = regexp.MustCompile(`[|\[\]<>*_` + "`" + `~$&]|://|www\.\w|\w@\w`)
)

// A document, whatever it says, gets no sign through that is not to look at, makes no heading, row, link, picture or tag of its
// own, and says nothing that could be ours, in any form of any answer.
func TestNoDocumentForgesAnAnswer(t *testing.T) {
	server := newContract(t).server
	ask := func(target, accept, document string) (int, string) {
		headers := []string{"Accept: " + accept}
		if target == "/" {
			document = url.Values{"do": {"paste"}, "json": {document}}.Encode()
			headers = append(headers, "Content-Type: application/x-www-form-urlencoded")
		}
		answer := call(server, http.MethodPost, target, document, headers...)
		return answer.Code, answer.Body.String()
	}
	answers := 0
	refused := map[string]bool{} // a problem is the same, whatever form of answer was asked for
	for _, operation := range said {
		// A text that is not understood has a finding, one of signs alone has none.
		ordinary, plain := replaced(t, documentFor(t, operation.target), "zz"), replaced(t, documentFor(t, operation.target), "whole")
		if status, body := ask(operation.target, operation.accept, ordinary["/recipe/name"]); status != http.StatusOK {
			t.Fatalf("%s: status %d: %s", operation.target, status, body)
		}
		skeletons := map[string]string{}
		for _, forgery := range plaintexttest.Forgeries() {
			t.Run(operation.target+" as "+operation.accept+", "+forgery.Name, func(t *testing.T) {
				for at, document := range replaced(t, documentFor(t, operation.target), forgery.Text) {
					if refused[operation.target+at+forgery.Name] || operation.target == "/" && !strings.HasPrefix(at, "/recipe/") {
						continue
					}
					answers++
					status, body := ask(operation.target, operation.accept, document)
					if err := plaintexttest.Hostile(body); err != nil {
						t.Errorf("%s: %v", at, err)
					}
					if status != http.StatusOK {
						refused[operation.target+at+forgery.Name] = true
						continue
					}
					checkWords(t, at, operation.accept, body)
					if _, known := skeletons[at]; !known {
						ordinaryStatus, ordinaryBody := ask(operation.target, operation.accept, ordinary[at])
						if skeletons[at] = skeleton(t, operation.accept, ordinaryBody); ordinaryStatus != http.StatusOK {
							continue
						}
					}
					if strings.Contains(body, `class="mistakes"`) {
						continue // of which there may be another number
					}
					if got := skeleton(t, operation.accept, body); got != skeletons[at] {
						if _, understood := ask(operation.target, operation.accept, plain[at]); got == skeleton(t, operation.accept, understood) {
							continue
						}
						t.Errorf("%s: laid out otherwise than an ordinary text: %s", at, firstDifference(got, skeletons[at]))
					}
				}
			})
		}
	}
	t.Logf("%d answers", answers)
}

// echoed are the members that say what the sender said, exactly. All other texts of an answer are ours, whatever words are in them.
var echoed = []string{"title", "author", "description", "image", "url", "id", "load", "jars", "value", "at", "got", "item", "name", "jar", "path", "uri", "lot"}

func checkWords(t *testing.T, at, accept, body string) {
	t.Helper()
	if strings.HasSuffix(accept, "json") {
		var value any
		if err := json.Unmarshal([]byte(body), &value); err != nil {
			t.Fatalf("%s: %v", at, err)
		}
		isLinked := accept == "application/ld+json"
		checkTexts(t, at, "", value, isLinked)
		return
	}
	if accept != "text/html" {
		if err := plaintexttest.Forged(body); err != nil {
			t.Errorf("%s: %v", at, err)
		}
	}
}

func checkTexts(t *testing.T, at, member string, value any, isLinked bool) {
	t.Helper()
	switch value := value.(type) {
	case string:
		if !isLinked && slices.Contains(echoed, member) {
			return
		}
		if err := plaintexttest.Hostile(value); err != nil || strings.Contains(value, "\n") {
			t.Errorf("%s: %s of the answer is %q: %v", at, member, value, err)
		}
	case []any:
		for _, each := range value {
			checkTexts(t, at, member, each, isLinked)
		}
	case map[string]any:
		for name, each := range value {
			if name != "recipe" { // of a plan: what was sent, to another scale
				checkTexts(t, at, name, each, isLinked)
			}
		}
	}
}

func firstDifference(a, b string) string {
	left, right := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range min(len(left), len(right)) {
		if left[i] != right[i] {
			return left[i] + " instead of " + right[i]
		}
	}
	return "one has more at its end"
}

// What is drafted of a page says exactly what the page says, in signs that no terminal obeys; the report beside it is ours.
func TestNoPageForgesADraft(t *testing.T) {
	server := newContract(t).server
	for _, forgery := range plaintexttest.Forgeries() {
		t.Run(forgery.Name, func(t *testing.T) {
			for _, member := range []string{"name", "description", "recipeIngredient", "recipeInstructions", "recipeYield", forgery.Text} {
				recipe := map[string]any{"@context": "https://schema.org", "@type": "Recipe", "recipeIngredient": []string{"1 cup salt"}}
				recipe[member] = []string{"1 cup " + forgery.Text, forgery.Text}
				document, err := json.Marshal(map[string]any{forgery.Text: recipe})
				if err != nil {
					t.Fatal(err)
				}
				answer := call(server, http.MethodPost, "/v1/drafts?report=true", string(document), "Content-Type: application/ld+json")
				if err := plaintexttest.Hostile(answer.Body.String()); err != nil || answer.Code != http.StatusOK && answer.Code != http.StatusUnprocessableEntity {
					t.Errorf("%s: status %d, %v", member, answer.Code, err)
				}
				var drafted struct{ Report any }
				if err := json.Unmarshal(answer.Body.Bytes(), &drafted); err != nil {
					t.Fatal(err)
				}
				checkTexts(t, member, "", drafted.Report, false)
			}
		})
	}
}
