package validate

import (
	"bufio"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/report"
)

// wordLine is one line of testdata/words/attack_examples.jsonl: a line of a recipe as people write it, and whether it must pass.
type wordLine struct{ ID, Kind, Text, Must string }

func wordLines(t *testing.T) []wordLine {
	t.Helper()
	file, err := os.Open("../testdata/words/attack_examples.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	var all []wordLine
	for scan := bufio.NewScanner(file); scan.Scan(); {
		var line wordLine
		if err := json.Unmarshal(scan.Bytes(), &line); err != nil {
			t.Fatal(err)
		}
		all = append(all, line)
	}
	return all
}

// goodDocuments are the documents of the corpus that are fit for the shelf.
func goodDocuments(t *testing.T) map[string]document.Request {
	t.Helper()
	files, err := filepath.Glob("../testdata/corpus/*.json")
	if err != nil || len(files) == 0 {
		t.Fatal("no corpus", err)
	}
	good := map[string]document.Request{}
	for _, file := range files {
		body, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		request, problem := checker.request(nil, body)
		if problem != nil {
			t.Fatal(file, problem)
		}
		if r := checker.Run(&request, report.Options{}); r.Disposition == report.Shelf {
			good[strings.TrimSuffix(filepath.Base(file), ".json")] = request
		}
	}
	return good
}

var leadingAmount = regexp.MustCompile(`^(?:a few handfuls of|[0-9][0-9/ ]*)\s*(?:(?:cups?|lb|tbsp|tsp|L|cloves|small head|heads?|bunch|sticks|piece)\b)?\s*`)

// splitName finds the longest name of the catalog in a line, and gives the line without it and its amount.
func splitName(text string) (item *catalog.Item, name, rest string) {
	text = leadingAmount.ReplaceAllString(text, "")
	fields := strings.Fields(text)
	for length := min(4, len(fields)); length > 0; length-- {
		for at := 0; at+length <= len(fields); at++ {
			written := strings.Trim(strings.Join(fields[at:at+length], " "), ",;")
			if strings.ContainsAny(written, ",;()") {
				continue
			}
			if found, ok := checker.tables.Resolve(written); ok {
				before, after := strings.Join(fields[:at], " "), strings.Join(fields[at+length:], " ")
				return found.Item, written, strings.Trim(before+" "+after, " ,;")
			}
		}
	}
	return nil, text, ""
}

// fitting are the good documents that have a line of the item or of its family, with the place of that line.
func fitting(good map[string]document.Request, item *catalog.Item) (names []string, at map[string]int) {
	at = map[string]int{}
	for _, same := range []func(*catalog.Item) bool{
		func(have *catalog.Item) bool { return have == item },
		func(have *catalog.Item) bool { return item != nil && have.Family == item.Family },
	} {
		for _, name := range sortedKeys(good) {
			for i := range good[name].Recipe.Ingredients {
				written := &good[name].Recipe.Ingredients[i]
				found, ok := checker.tables.Resolve(written.Item)
				if _, taken := at[name]; ok && !taken && same(found.Item) && (written.Drained == nil || !*written.Drained) {
					at[name] = i
					names = append(names, name)
				}
			}
		}
	}
	return names, at
}

func sortedKeys[T any](all map[string]T) []string {
	var keys []string
	for key := range all {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	return keys
}

// withLine is a copy of a request with one line changed; at the length of the list it is added.
func withLine(request document.Request, at int, line document.Ingredient) document.Request {
	request.Recipe.Ingredients = slices.Clone(request.Recipe.Ingredients)
	if at == len(request.Recipe.Ingredients) {
		request.Recipe.Ingredients = append(request.Recipe.Ingredients, line)
	} else {
		request.Recipe.Ingredients[at] = line
	}
	return request
}

// spokenOf are the outcomes of the rules on words in a report.
func wordFindings(r *report.Report) (found []string) {
	for _, f := range r.Findings {
		if f.Rule == "ingredient.words" || f.Rule == "ingredient.contradiction" {
			found = append(found, f.Message)
		}
	}
	return found
}

// No unsafe line may leave a good document fit for the shelf, wherever its words stand: alone in form, behind the printed form, or
// beside the printed item.
func TestUnsafeWordsNeverPass(t *testing.T) {
	good := goodDocuments(t)
	tried := 0
	for _, line := range wordLines(t) {
		if line.Must == "pass" {
			continue
		}
		item, name, rest := splitName(line.Text)
		names, at := fitting(good, item)
		if len(names) == 0 {
			names = []string{"pickled-beets"}
			at["pickled-beets"] = len(good["pickled-beets"].Recipe.Ingredients)
		}
		for _, doc := range names[:min(6, len(names))] {
			request := good[doc]
			variants := []document.Ingredient{{Item: name, Form: rest, Amount: &document.Quantity{Value: new(1.0), Unit: "cup"}, Per: document.PerBatch}}
			if at[doc] < len(request.Recipe.Ingredients) {
				was := request.Recipe.Ingredients[at[doc]]
				alone, behind := was, was
				alone.Form = rest
				behind.Form = strings.Trim(was.Form+", "+rest, " ,")
				named := behind
				named.Item = name
				variants = []document.Ingredient{alone, behind, named}
			}
			for _, variant := range variants {
				changed := withLine(request, at[doc], variant)
				tried++
				// A blossom end that stays on is read, and warned of: it softens the pickle and is no danger.
				if r := checker.Run(&changed, report.Options{}); r.Disposition == report.Shelf && !speaks(r, "ingredient.blossom-end") {
					t.Errorf("%s %q in %s passes as item %q, form %q", line.ID, line.Text, doc, variant.Item, variant.Form)
				}
			}
		}
	}
	t.Logf("%d documents with unsafe words, none fit for the shelf", tried)
}

// No honest line is refused: nothing in it contradicts, and at most one line asks one question.
func TestHonestWordsPass(t *testing.T) {
	good := goodDocuments(t)
	for _, line := range wordLines(t) {
		if line.Must != "pass" {
			continue
		}
		item, name, rest := splitName(line.Text)
		names, at := fitting(good, item)
		if len(names) == 0 {
			t.Logf("%s %q fits no document", line.ID, line.Text)
			continue
		}
		for _, doc := range names[:min(4, len(names))] {
			was := good[doc].Recipe.Ingredients[at[doc]]
			was.Item, was.Form = name, rest
			changed := withLine(good[doc], at[doc], was)
			r := checker.Run(&changed, report.Options{})
			if found := wordFindings(&r); len(found) > 0 {
				t.Errorf("%s %q in %s: item %q, form %q: %s", line.ID, line.Text, doc, name, rest, strings.Join(found, " / "))
			}
		}
	}
}
