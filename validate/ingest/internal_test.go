package ingest

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v5"

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

// checked is a schema twice: as the service reads it, and by the schema library.
type checked struct {
	quick *quickSchema
	full  *jsonschema.Schema
}

// bySchemaLibrary are the three schemas of a reader beside those of the library.
func bySchemaLibrary(t testing.TB, reader *Reader) (request, plan, card checked) {
	t.Helper()
	compiled, err := schemas.CompileAll(schemas.RequestName, schemas.PlanRequestName, schemas.CardRequestName)
	if err != nil {
		t.Fatal(err)
	}
	return checked{reader.request, compiled[0]}, checked{reader.plan, compiled[1]}, checked{reader.card, compiled[2]}
}

// agrees compares what the two find wrong with a document: which keywords of which schemas at which places.
func (c checked) agrees(t testing.TB, root any) (accepted bool, difference string) {
	t.Helper()
	err := c.full.Validate(root)
	if quick := c.quick.accepts(root); quick != (err == nil) {
		return err == nil, fmt.Sprintf("the quick check says %v, the library %v", quick, err)
	}
	var mine, theirs []string
	for _, each := range c.quick.breaches(root, nil, nil) {
		mine = append(mine, each.location()+" at "+each.at)
	}
	var broken *jsonschema.ValidationError
	if errors.As(err, &broken) {
		theirs = leaves(broken, nil)
	}
	slices.Sort(mine)
	slices.Sort(theirs)
	if !slices.Equal(mine, theirs) {
		return err == nil, fmt.Sprintf("the quick check finds\n%s\nthe library\n%s", strings.Join(mine, "\n"), strings.Join(theirs, "\n"))
	}
	return err == nil, ""
}

// leaves are the breaches that the library found, by the keyword and the place.
func leaves(broken *jsonschema.ValidationError, found []string) []string {
	if len(broken.Causes) == 0 {
		return append(found, broken.AbsoluteKeywordLocation+" at "+pointerOf(broken.InstanceLocation))
	}
	for _, cause := range broken.Causes {
		found = leaves(cause, found)
	}
	return found
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
