package ingest

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"jarwright/schemas"
	"jarwright/validate/measure"
)

func newTestReader(t testing.TB) *Reader {
	t.Helper()
	units, err := measure.LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	reader, err := NewReader(units)
	if err != nil {
		t.Fatal(err)
	}
	return reader
}

// The schema library panics on a number that it reads as text and that does not fit a float64. Bodies cannot bring it
// one, because they are decoded to float64; should another panic be found in it, the process has to live on.
func TestPanicOfSchemaLibraryIsCaught(t *testing.T) {
	reader := newTestReader(t)
	root := map[string]any{"recipe": map[string]any{"ingredients": []any{}, "jars": json.Number("1e5000000")}}
	panicked := func() (panicked bool) {
		defer func() { panicked = recover() != nil }()
		_ = reader.request.full.Validate(root)
		return false
	}()
	if !panicked {
		t.Fatal("the library does not panic on this input, so that the test shows nothing")
	}
	if _, err := reader.violations(tree{root: root}); err == nil {
		t.Error("a panic of the library passed for an answer")
	}
	problem := cannotCheck()
	if problem.Code != ProblemMalformed || problem.Errors[0].Code != CodeCannotCheck {
		t.Errorf("problem = %+v", problem)
	}
}

// keywords walks a schema and calls visit for each keyword of each schema object in it.
func keywords(node any, visit func(keyword string, value any)) {
	object, isObject := node.(map[string]any)
	if !isObject {
		return
	}
	for keyword, value := range object {
		visit(keyword, value)
		switch keyword {
		case "properties", "$defs":
			members, _ := value.(map[string]any)
			for _, member := range members {
				keywords(member, visit)
			}
		case "items", "if", "then", "else", "not":
			keywords(value, visit)
		}
	}
}

func TestEveryKeywordOfTheRequestIsTranslated(t *testing.T) {
	// Keywords that never fail by themselves, and those that translate has words for.
	silent := []string{
		"$schema", "$id", "$defs", "$ref", "title", "description", "examples", "properties", "items", "if", "then", "else",
		"exclusiveMinimum", "exclusiveMaximum", // only in a "not", which translate has words for
	}
	translated := []string{
		"required", "additionalProperties", "type", "enum", "format", "minimum", "maximum", "multipleOf",
		"minLength", "maxLength", "minItems", "maxItems", "not",
	}
	shapes, err := loadShapes()
	if err != nil {
		t.Fatal(err)
	}
	longest := 0.0
	for _, name := range []string{schemas.RequestName, "quantity.schema.json"} {
		keywords(shapes[schemas.BaseURL+name], func(keyword string, value any) {
			if !slices.Contains(silent, keyword) && !slices.Contains(translated, keyword) {
				t.Errorf("%s: nothing translates the keyword %q", name, keyword)
			}
			if limit, isNumber := value.(float64); isNumber && keyword == "maxItems" {
				longest = max(longest, limit)
			}
			if multiple, isNumber := value.(float64); isNumber && keyword == "multipleOf" && multiple != 1 {
				t.Errorf("%s: multipleOf %v is reported as a number that is not whole", name, multiple)
			}
		})
	}
	if longest+1 != maxListKept {
		t.Errorf("lists are cut at %d entries; the longest list of the schema has %v, and one more has to be kept", maxListKept, longest)
	}
}

func TestLimitsAreStatedInTheSchema(t *testing.T) {
	shapes, err := loadShapes()
	if err != nil {
		t.Fatal(err)
	}
	request := shapes[schemas.BaseURL+schemas.RequestName].(map[string]any)
	description := request["description"].(string)
	for _, limit := range []int{MaxBytes, MaxDepth} {
		if !slices.Contains(strings.Fields(description), strconv.Itoa(limit)) {
			t.Errorf("the description of the request does not say %d", limit)
		}
	}
}

// Every code has to be provoked by some body of the other tests; cannot_check has its own test above.
func TestEveryCodeIsTested(t *testing.T) {
	fileSet := token.NewFileSet()
	source, err := parser.ParseFile(fileSet, "problem.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var cases []byte
	for _, name := range []string{"ingest_test.go", "refusals_test.go"} {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		cases = append(cases, text...)
	}
	count := 0
	ast.Inspect(source, func(node ast.Node) bool {
		spec, isValue := node.(*ast.ValueSpec)
		if !isValue || !strings.HasPrefix(spec.Names[0].Name, "Code") || spec.Names[0].Name == "CodeCannotCheck" {
			return true
		}
		count++
		code, err := strconv.Unquote(spec.Values[0].(*ast.BasicLit).Value)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(string(cases), `"`+code+` `) {
			t.Errorf("no test expects the code %s", code)
		}
		return true
	})
	if count == 0 {
		t.Error("no code found in problem.go")
	}
}

// follow resolves one reference of a node that stands in the named schema file.
func (s shapes) follow(file string, node any) (string, any) {
	object, _ := node.(map[string]any)
	reference, isReference := object["$ref"].(string)
	if !isReference {
		return file, node
	}
	target, fragment, _ := strings.Cut(reference, "#")
	if target == "" {
		target = file
	}
	return target, descend(s[schemas.BaseURL+target], tokensOf(fragment))
}

func TestBrokenBoundsAreRefused(t *testing.T) {
	units, err := measure.LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	header := strings.Join(boundsColumns, ",") + "\n"
	for _, table := range []string{
		"", "pointer,low\n/a,1\n", header + "/a,length,yes,0,1,lb,x,y\n", header + "/a,length,yes,0,1,ell,x,y\n",
		header + "/a,length,yes,one,2,in,x,y\n", header + "/a,length,yes,1,two,in,x,y\n", header + "/a,length\n",
		header + "/a,length,yes,,2,in,x,y\n", header + "/a,length,yes,1,,in,x,y\n", header + "/a,length,perhaps,1,2,in,x,y\n",
		header + "/a,length,yes,2,2,in,x,y\n", header + "/a,number,no,2,1,,x,y\n",
	} {
		if _, err := readBounds([]byte(table), units); err == nil {
			t.Errorf("accepted %q", table)
		}
	}
}

func TestPointerOf(t *testing.T) {
	// Left: as the schema library writes places (RFC 6901, then percent-encoded). Right: RFC 6901.
	tests := []struct{ location, want string }{
		{"", ""}, {"/recipe/ingredients/0", "/recipe/ingredients/0"}, {"/a~1b~0c", "/a~1b~0c"}, {"/my%20app", "/my app"}, {"/%2541", "/%41"}, {"/%C3%A9", "/é"},
	}
	for _, test := range tests {
		if got := pointerOf(test.location); got != test.want {
			t.Errorf("pointerOf(%q) = %q, want %q", test.location, got, test.want)
		}
	}
	if got := tokensOf("/a~1b~0c/~01"); !slices.Equal(got, []string{"a/b~c", "~1"}) {
		t.Errorf("tokensOf = %q", got)
	}
}
