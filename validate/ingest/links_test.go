package ingest_test

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"jarwright/schemas"
	"jarwright/validate/ingest"
	"jarwright/validate/plaintext"
)

// An address that could do more than lead to a page, or that looks like another one, is one mistake with its place.
func TestCardAddressesAreOfTheWeb(t *testing.T) {
	r := newReader(t)
	const document = `{"recipe":{"ingredients":[{"item":"salt","per":"batch"}]},"publication":{%q:%s}}`
	refused := []string{
		"javascript:alert(1)", "JaVaScRiPt:alert(1)", "java\tscript:alert(1)", " https://a.example", "data:text/html,x", "vbscript:x", "//a.example/x", "beans",
		"ftp://a.example/x", "https:///x", "https://a.example@b.example/", "https://a.example\\b", "https://a.example/\u202egpj", "https://a.example/\x1b[1m",
		"https://a.example/%zz", "https://a.example/ x", "",
	}
	for _, member := range []string{"image", "url"} {
		for _, address := range refused {
			t.Run(member+" "+address, func(t *testing.T) {
				encoded, err := json.Marshal(address)
				if err != nil {
					t.Fatal(err)
				}
				_, problem := r.Card(nil, fmt.Appendf(nil, document, member, encoded))
				if problem == nil || len(problem.Errors) != 1 {
					t.Fatalf("problem %+v", problem)
				}
				e := problem.Errors[0]
				if e.Pointer != "/publication/"+member || e.Code != ingest.CodeBadFormat || !strings.Contains(e.Detail, "https://garden.example/") {
					t.Errorf("%+v", e)
				}
			})
		}
		for _, address := range []string{"https://garden.example/beans.jpg?size=1#top", "http://garden.example:8080", "HTTPS://GARDEN.example/~a/b@c"} {
			if _, problem := r.Card(nil, fmt.Appendf(nil, document, member, `"`+address+`"`)); problem != nil {
				t.Errorf("%s is refused: %+v", address, problem)
			}
		}
	}
}

func TestCardAddressesGoByOnePattern(t *testing.T) {
	text, err := fs.ReadFile(schemas.Files(), schemas.CardRequestName)
	if err != nil {
		t.Fatal(err)
	}
	encoded, err := json.Marshal(plaintext.LinkPattern)
	if err != nil {
		t.Fatal(err)
	}
	pattern := strings.NewReplacer(`\u0026`, "&").Replace(string(encoded))
	if n := strings.Count(string(text), `"pattern": `+pattern); n != 2 {
		t.Errorf("the schema has the pattern %s %d times, want 2", pattern, n)
	}
}
