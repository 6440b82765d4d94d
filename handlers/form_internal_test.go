package handlers

import (
	"encoding/json"
	"net/url"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"jarwright/validate/document"
)

// fieldsOf sends a form as a browser does.
func fieldsOf(form *formView, source string) url.Values {
	f := url.Values{}
	f.Set("source", source)
	f.Set("name", form.Name)
	f.Set("kind", form.Kind)
	f.Set("keep", form.Keep)
	f.Set("jar", form.Jar)
	if form.OwnJar {
		f.Set("jar", "own")
	}
	f.Set("jars", form.Jars)
	f.Set("pack", form.Pack)
	f.Set("preparation", form.Preparation)
	f.Set("method", form.Method)
	f.Set("time", form.Time)
	f.Set("headspace", form.Headspace)
	f.Set("headspace-unit", form.HeadspaceUnit)
	f.Set("water", form.Water)
	f.Set("water-unit", form.WaterUnit)
	f.Set("elevation", form.Elevation)
	f.Set("elevation-unit", form.ElevationUnit)
	f.Set("rows", strconv.Itoa(len(form.Rows)))
	for _, row := range form.Rows {
		set := func(name, value string) { f.Set(name+"-"+strconv.Itoa(row.Index), value) }
		set("from", row.From)
		set("item", row.Item)
		set("amount", row.Amount)
		set("unit", row.Unit)
		set("per", row.Per)
		set("form", row.Form)
		set("acidity", row.Acidity)
		set("salt", row.Salt)
		if row.Bottled {
			set("bottled", "yes")
		}
		if row.Drained {
			set("drained", "yes")
		}
	}
	return f
}

// TestFormKeepsTheDocument fills the form from every example and every recipe of the corpus and sends it back unchanged:
// what comes out is what went in, the members without a field included.
func TestFormKeepsTheDocument(t *testing.T) {
	var files []string
	for _, pattern := range []string{"../examples/*.json", "../testdata/corpus/*.json"} {
		found, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, found...)
	}
	for _, file := range files {
		body, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var request document.Request
		if err := json.Unmarshal(body, &request); err != nil {
			t.Fatal(err)
		}
		form := formOf(&request)
		got, again, mistakes := readRecipe(fieldsOf(&form, string(body)))
		if len(mistakes) > 0 {
			t.Errorf("%s: %v", file, mistakes)
		}
		want, _ := json.Marshal(request)
		if text, _ := json.Marshal(got); string(text) != string(want) {
			t.Errorf("%s: sent back as\n%s\nwas\n%s", file, text, want)
		}
		if !reflect.DeepEqual(form, again) {
			t.Errorf("%s: the form came back as\n%+v\nwas\n%+v", file, again, form)
		}
	}
	if len(files) < 100 {
		t.Errorf("only %d documents", len(files))
	}
}

func TestNumbersAsPeopleWriteThem(t *testing.T) {
	for text, want := range map[string]float64{
		"1.5": 1.5, "1,5": 1.5, "1/2": 0.5, "1 1/2": 1.5, "1½": 1.5, "½": 0.5, "2 ¾": 2.75, " 3 ": 3, "1000": 1000, ".5": 0.5, "5.": 5,
		"0,125": 0.125, "-20": -20, "1e3": 1000, "1.5/2": 0.75, "0": 0, "-0": 0, "0e-999": 0, "12,50": 12.5,
		"1" + strings.Repeat("0", 300): 1e300, "0." + strings.Repeat("0", 299) + "1": 1e-300,
	} {
		t.Run(text, func(t *testing.T) {
			r := &formReader{fields: url.Values{"x": {text}}}
			if got := r.number("x", "x"); got == nil || *got != want || len(r.mistakes) > 0 {
				t.Errorf("%q reads %v, %v", text, got, r.mistakes)
			}
		})
	}
}

// What the reader of Go takes and people do not write, what is no finite number, and what is one to some and a thousand to others.
func TestTextsThatAreNoNumbers(t *testing.T) {
	for _, text := range []string{
		"ten", "1/0", "1//2", "--1", "½x", "inf", "Inf", "+inf", "-Infinity", "infinity", "nan", "NaN", "1/inf", "inf/inf", "nan/1", "1 inf", "1 nan",
		"1e400", "-1e400", "1e-400", "1e308/1e-308", "1e-308/1e308", "1/1e-400", "0x10", "0x1p-2", "0X1P+4", "1_000", "0b1", "0o7", "1e", "e5", ".", "/", "1/",
		"/2", "1/2/3", "1,000", "12,000", "1,000,000", "1,000.5", "1 000", "1 1", "1 2 3", "1 1/2 1/2", "1½½", "½½", "½ 1", "1.5 1/2", "-1 1/2",
		"١٢", "１", "1\u00a0000", "1/½",
		strings.Repeat("9", 401), strings.Repeat("1 ", 100_000), strings.Repeat("½", 100_000), "1" + strings.Repeat("0", 309), strings.Repeat("1,000", 50),
	} {
		t.Run(shortened(text), func(t *testing.T) {
			r := &formReader{fields: url.Values{"x": {text}}}
			if got := r.number("x", "x"); got != nil || len(r.mistakes) != 1 || len(r.mistakes[0]) > 500 {
				t.Errorf("%q reads %v, %v", shortened(text), got, r.mistakes)
			}
		})
	}
}
