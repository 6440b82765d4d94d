package validate

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"jarwright/validate/report"
)

// shownAnswer is the answer that README.md shows, and shownRequest the example it is said to be for.
var (
	shownAnswer  = regexp.MustCompile("(?s)```json\n(.*?)\n```")
	shownRequest = regexp.MustCompile(`-d @(examples/[a-z-]+\.json)`)
)

// A page that shows an answer shows one that the service gives: each member as it stands there, and the names of those it
// leaves out.
func TestReadmeShowsARealAnswer(t *testing.T) {
	page := string(readFile(t, "README.md"))
	answer, request := shownAnswer.FindStringSubmatch(page), shownRequest.FindStringSubmatch(page)
	if answer == nil || request == nil {
		t.Fatal("README.md shows no answer, or no request for it")
	}
	r := checkBytes(t, readFile(t, request[1]))
	if *update {
		answer[1] = shortened(t, r)
		page = strings.Replace(page, answer[0], "```json\n"+answer[1]+"\n```", 1)
		if err := os.WriteFile(filepath.Join(top, "README.md"), []byte(page), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	given, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var want, shown map[string]any
	if err := json.Unmarshal(given, &want); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(answer[1]), &shown); err != nil {
		t.Fatalf("the answer in README.md is not JSON: %v", err)
	}
	for member, value := range shown {
		if !reflect.DeepEqual(value, want[member]) {
			t.Errorf("README.md shows %s otherwise; read what changed, then run go test ./validate -run Readme -update", member)
		}
	}
	_, said, _ := strings.Cut(page, "word for word")
	said, _, _ = strings.Cut(said, "```json")
	for member := range want {
		if _, here := shown[member]; here == strings.Contains(said, "`"+member+"`") {
			t.Errorf("README.md shows %s: %v; it says the opposite", member, here)
		}
	}
}

// flat is an object or a list that holds no other.
var flat = regexp.MustCompile(`[{\[]\n[^{}\[\]]*\n *[}\]]`)

// shortened is the part of an answer that README.md has room for, laid out for reading.
func shortened(t *testing.T, r report.Report) string {
	t.Helper()
	var text bytes.Buffer
	encoder := json.NewEncoder(&text)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	if err := encoder.Encode(struct {
		Disposition   report.Disposition    `json:"disposition"`
		Summary       report.Summary        `json:"summary"`
		Findings      []report.Finding      `json:"findings"`
		AltitudeTable []report.AltitudeBand `json:"altitude_table"`
	}{r.Disposition, r.Summary, r.Findings, r.AltitudeTable}); err != nil {
		t.Fatal(err)
	}
	short := flat.ReplaceAllStringFunc(text.String(), func(block string) string {
		joined := strings.Join(strings.Fields(block), " ")
		if len(joined) > 130 {
			return block
		}
		return strings.NewReplacer("{ ", "{", " }", "}", "[ ", "[", " ]", "]").Replace(joined)
	})
	return strings.TrimSpace(short)
}

// countedTables is where README.md says how much the tables hold.
var countedTables = regexp.MustCompile(`\d+ tested recipes, \d+ rows of process times and \d+ statements about changes`)

func TestReadmeCountsTheTables(t *testing.T) {
	page := string(readFile(t, "README.md"))
	tables := checker.Tables()
	counted := fmt.Sprintf("%d tested recipes, %d rows of process times and %d statements about changes",
		len(tables.Recipes), len(tables.Schedules), len(tables.Changes))
	if *update {
		page = countedTables.ReplaceAllLiteralString(page, counted)
		if err := os.WriteFile(filepath.Join(top, "README.md"), []byte(page), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if got := countedTables.FindString(page); got != counted {
		t.Errorf("README.md says %q, and the tables hold %q; go test ./validate -run Readme -update writes it", got, counted)
	}
}
