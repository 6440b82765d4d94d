package validate

import (
	"encoding/json"
	"fmt"
	"reflect"
	"regexp"
	"strings"
	"testing"
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
	given, err := json.Marshal(checkBytes(t, readFile(t, request[1])))
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
			t.Errorf("README.md shows %s as %v; it is %v", member, value, want[member])
		}
	}
	_, said, _ := strings.Cut(page, "word for word")
	said, _, _ = strings.Cut(said, "```json")
	for member := range want {
		if _, here := shown[member]; !here && !strings.Contains(said, "`"+member+"`") {
			t.Errorf("README.md leaves out %s and does not say so", member)
		}
	}
}

func TestReadmeCountsTheTables(t *testing.T) {
	page := strings.Join(strings.Fields(string(readFile(t, "README.md"))), " ")
	tables := checker.Tables()
	said := fmt.Sprintf("%d tested recipes, %d rows of process times and %d statements about changes", len(tables.Recipes), len(tables.Schedules), len(tables.Changes))
	if !strings.Contains(page, said) {
		t.Errorf("README.md does not say %q", said)
	}
}
