package document_test

import (
	stdjson "encoding/json"
	"testing"

	"github.com/go-json-experiment/json"

	"jarwright/validate/document"
)

func TestJarIsAnIDOrItsMeasures(t *testing.T) {
	for _, text := range []string{
		`"pint"`, `{}`, `{"capacity":{"value":500,"unit":"mL"}}`,
		`{"capacity":{"value":1,"unit":"pt"},"interior_height":{"value":4.5,"unit":"in"},"mouth":{"value":60,"unit":"mm"}}`,
	} {
		var jar document.Jar
		if err := json.Unmarshal([]byte(" "+text+"\n"), &jar); err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		got, err := json.Marshal(jar)
		if err != nil || string(got) != text {
			t.Errorf("%s was written as %s (%v)", text, got, err)
		}
		// Other code may use the standard library; both have to agree.
		var same document.Jar
		if err := stdjson.Unmarshal([]byte(text), &same); err != nil {
			t.Errorf("%s: standard library: %v", text, err)
		}
		if got, err := stdjson.Marshal(&same); err != nil || string(got) != text {
			t.Errorf("%s was written by the standard library as %s (%v)", text, got, err)
		}
	}
}

func TestJarRefusesOtherForms(t *testing.T) {
	for _, text := range []string{`16`, `["pint"]`, `true`, `{"size":"pint"}`, `{"capacity":5}`} {
		var jar document.Jar
		if err := json.Unmarshal([]byte(text), &jar); err == nil {
			t.Errorf("%s was read as %+v", text, jar)
		}
	}
	if err := new(document.Jar).UnmarshalJSON([]byte(`null`)); err == nil {
		t.Error("null was read as a jar")
	}
}
