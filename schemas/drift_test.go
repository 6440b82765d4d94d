package schemas_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"

	"jarwright/schemas"
	"jarwright/validate/altitude"
	"jarwright/validate/card"
	"jarwright/validate/catalog"
	"jarwright/validate/document"
	"jarwright/validate/draft"
	"jarwright/validate/ingest"
	"jarwright/validate/measure"
	"jarwright/validate/plan"
	"jarwright/validate/report"
)

type object = map[string]any

func load(t *testing.T, name string) object {
	t.Helper()
	data, err := schemas.Read(name)
	if err != nil {
		t.Fatal(err)
	}
	var schema object
	if err := json.Unmarshal(data, &schema); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return schema
}

// follow resolves the reference of a node that stands in the named file.
func follow(t *testing.T, file string, node any) (string, object) {
	t.Helper()
	found, isObject := node.(object)
	if !isObject {
		t.Fatalf("%s: no schema at a place that needs one", file)
	}
	reference, isReference := found["$ref"].(string)
	if !isReference {
		return file, found
	}
	target, fragment, _ := strings.Cut(reference, "#")
	if target != "" {
		file = target
	}
	var value any = load(t, file)
	for _, name := range strings.Split(strings.TrimPrefix(fragment, "/"), "/") {
		if name != "" {
			value = value.(object)[name]
		}
	}
	return follow(t, file, value)
}

func at(t *testing.T, file string, path ...string) (string, object) {
	t.Helper()
	node := load(t, file)
	for _, name := range path {
		if name == "*" {
			file, node = follow(t, file, node["items"])
			continue
		}
		properties, _ := node["properties"].(object)
		file, node = follow(t, file, properties[name])
	}
	return file, node
}

func texts(list any) []string {
	entries, _ := list.([]any)
	var found []string
	for _, entry := range entries {
		found = append(found, entry.(string))
	}
	return found
}

func sameSet(a, b []string) bool {
	a, b = slices.Clone(a), slices.Clone(b)
	slices.Sort(a)
	slices.Sort(b)
	return slices.Equal(a, b)
}

// constants lists the text constants of a Go file whose name starts with prefix, or whose declared type is typeName.
func constants(t *testing.T, path, prefix, typeName string) []string {
	t.Helper()
	source, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var values []string
	ast.Inspect(source, func(node ast.Node) bool {
		declaration, isDeclaration := node.(*ast.GenDecl)
		if !isDeclaration || declaration.Tok != token.CONST {
			return true
		}
		for _, spec := range declaration.Specs {
			value := spec.(*ast.ValueSpec)
			declared, _ := value.Type.(*ast.Ident)
			byType := typeName != "" && declared != nil && declared.Name == typeName
			byPrefix := prefix != "" && strings.HasPrefix(value.Names[0].Name, prefix)
			if !byType && !byPrefix {
				continue
			}
			text, err := strconv.Unquote(value.Values[0].(*ast.BasicLit).Value)
			if err != nil {
				t.Fatal(err)
			}
			values = append(values, text)
		}
		return true
	})
	if len(values) == 0 {
		t.Fatalf("%s: no constant %s%s", path, prefix, typeName)
	}
	return values
}

func TestEnumsAgreeWithConstants(t *testing.T) {
	const documentGo, reportGo = "../validate/document/document.go", "../validate/report/report.go"
	const batchGo = "../validate/document/batch.go"
	tests := []struct {
		file             string
		path             []string
		goFile           string
		prefix, typeName string
	}{
		{"request.schema.json", []string{"recipe", "kind"}, documentGo, "Kind", ""},
		{"request.schema.json", []string{"recipe", "keep"}, documentGo, "Keep", ""},
		{"request.schema.json", []string{"recipe", "pack"}, documentGo, "Pack", ""},
		{"request.schema.json", []string{"recipe", "jar_preparation"}, documentGo, "Jars", ""},
		{"request.schema.json", []string{"recipe", "ingredients", "*", "per"}, documentGo, "Per", ""},
		{"request.schema.json", []string{"recipe", "ingredients", "*", "salt_kind"}, documentGo, "Salt", ""},
		{"request.schema.json", []string{"recipe", "steps", "*", "place"}, documentGo, "StepPlace", ""},
		{"request.schema.json", []string{"assume", "salt_kind"}, documentGo, "Salt", ""},
		{"request.schema.json", []string{"recipe", "process", "method"}, documentGo, "Method", ""},
		{"batch.schema.json", []string{"events", "*", "event"}, batchGo, "Event", ""},
		{"batch.schema.json", []string{"jars", "*", "seal_checks", "*", "center"}, batchGo, "Center", ""},
		{"batch.schema.json", []string{"jars", "*", "seal_checks", "*", "ring"}, batchGo, "Ring", ""},
		{"batch.schema.json", []string{"jars", "*", "seal_checks", "*", "lid"}, batchGo, "Lid", ""},
		{"batch.schema.json", []string{"jars", "*", "kept", "*", "place"}, batchGo, "Place", ""},
		{"batch.schema.json", []string{"ph_readings", "*", "sample"}, batchGo, "Sample", ""},
		{"batch.schema.json", []string{"ph_readings", "*", "instrument"}, batchGo, "Instrument", ""},
		{"report.schema.json", []string{"disposition"}, reportGo, "", "Disposition"},
		{"report.schema.json", []string{"batch", "disposition"}, reportGo, "", "Disposition"},
		{"report.schema.json", []string{"jars", "*", "disposition"}, reportGo, "", "Disposition"},
		{"report.schema.json", []string{"findings", "*", "severity"}, reportGo, "", "Severity"},
		{"report.schema.json", []string{"findings", "*", "outcome"}, reportGo, "", "Outcome"},
		{"report.schema.json", []string{"findings", "*", "hazard"}, reportGo, "", "Hazard"},
		{"report.schema.json", []string{"rules", "*", "outcome"}, reportGo, "", "Outcome"},
		{"draft.schema.json", []string{"lines", "*", "kind"}, "../validate/draft/draft.go", "Line", ""},
		{"draft.schema.json", []string{"facts", "*", "name"}, "../validate/draft/draft.go", "Fact", ""},
		{"rule.schema.json", []string{"severity"}, reportGo, "", "Severity"},
		{"rule.schema.json", []string{"hazard"}, reportGo, "", "Hazard"},
	}
	for _, test := range tests {
		_, node := at(t, test.file, test.path...)
		want := constants(t, test.goFile, test.prefix, test.typeName)
		if got := texts(node["enum"]); !sameSet(got, want) {
			t.Errorf("%s %v allows %q; the constants are %q", test.file, test.path, got, want)
		}
		for _, value := range want {
			if description, _ := node["description"].(string); !strings.Contains(description, value) {
				t.Errorf("%s %v: the description does not explain %q", test.file, test.path, value)
			}
		}
	}
}

func TestUnitsAgreeWithTheTable(t *testing.T) {
	units, err := measure.LoadUnits()
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name       string
		dimensions []measure.Dimension
		whole      bool // every unit of the dimensions is allowed
	}{
		{
			"amount",
			[]measure.Dimension{
				measure.DimensionMass, measure.DimensionVolume, measure.DimensionCount, measure.DimensionPart, measure.DimensionUnmeasured,
			},
			true,
		},
		{"length", []measure.Dimension{measure.DimensionLength}, true},
		{"volume", []measure.Dimension{measure.DimensionVolume}, true},
		{"duration", []measure.Dimension{measure.DimensionDuration}, true},
		{"temperature", []measure.Dimension{measure.DimensionTemperature}, true},
		{"elevation", []measure.Dimension{measure.DimensionLength}, false},
	}
	quantities := load(t, "quantity.schema.json")["$defs"].(object)
	if len(quantities) != len(tests) {
		t.Errorf("%d kinds of quantity, %d tested", len(quantities), len(tests))
	}
	for _, test := range tests {
		got := texts(quantities[test.name].(object)["properties"].(object)["unit"].(object)["enum"])
		var want []string
		for _, dimension := range test.dimensions {
			for _, unit := range units.ByDimension(dimension) {
				want = append(want, unit.Code)
			}
		}
		if test.whole && !slices.Equal(got, want) {
			t.Errorf("%s allows\n%q\nthe table has\n%q", test.name, got, want)
		}
		for _, code := range got {
			if !slices.Contains(want, code) {
				t.Errorf("%s allows %s, which the table does not have there", test.name, code)
			}
		}
	}
	unmeasured := quantities["amount"].(object)["if"].(object)["properties"].(object)["unit"].(object)["enum"]
	var want []string
	for _, unit := range units.ByDimension(measure.DimensionUnmeasured) {
		want = append(want, unit.Code)
	}
	if got := texts(unmeasured); !slices.Equal(got, want) {
		t.Errorf("amounts without a value: %q, want %q", got, want)
	}
}

// The names of steps are rows of a table, and each is explained there.
func TestStepsAgreeWithTheTable(t *testing.T) {
	tables, err := catalog.Load()
	if err != nil {
		t.Fatal(err)
	}
	var want []string
	for _, kind := range tables.StepKinds {
		want = append(want, kind.Name)
	}
	_, node := at(t, "request.schema.json", "recipe", "steps", "*", "step")
	if got := texts(node["enum"]); !slices.Equal(got, want) {
		t.Errorf("steps are %q; the table has %q", got, want)
	}
}

// shapeCheck compares a Go type with the schema of its JSON.
type shapeCheck struct {
	t *testing.T
	// required also compares which members are always there. For what the service writes they are those without
	// "omitempty"; what it reads may be required by the schema although Go can hold its absence.
	required bool
}

func (c shapeCheck) compare(where string, goType reflect.Type, file string, node any) {
	file, schema := follow(c.t, file, node)
	for goType.Kind() == reflect.Pointer {
		goType = goType.Elem()
	}
	if c.required && goType == reflect.TypeFor[document.Request]() {
		return // what is read and written both is compared by itself, where the schema may require what Go can lack
	}
	if goType == reflect.TypeFor[document.Jar]() {
		// Its JSON is text or an object, by its own methods; the members are those of the fields after ID.
		if !slices.Equal(texts(schema["type"]), []string{"string", "object"}) {
			c.t.Errorf("%s: type %v", where, schema["type"])
		}
		c.names(where, []string{"capacity", "interior_height", "mouth"}, schema)
		return
	}
	if goType == reflect.TypeFor[document.Request]() {
		c.required = false // a document that could be sent again is read by the schema of what comes in
	}
	kinds := map[reflect.Kind]string{
		reflect.String: "string", reflect.Float64: "number", reflect.Bool: "boolean", reflect.Int: "integer",
		reflect.Slice: "array", reflect.Array: "array", reflect.Struct: "object", reflect.Map: "object",
	}
	if goType.Kind() == reflect.Interface {
		if schema["type"] != nil {
			c.t.Errorf("%s: Go holds any value, the schema only %v", where, schema["type"])
		}
		return
	}
	if want := kinds[goType.Kind()]; schema["type"] != want {
		c.t.Errorf("%s: the schema says %v, Go writes %v (%v)", where, schema["type"], want, goType)
		return
	}
	switch goType.Kind() {
	case reflect.Slice, reflect.Array:
		c.compare(where+"/*", goType.Elem(), file, schema["items"])
	case reflect.Struct:
		var names, always []string
		properties, _ := schema["properties"].(object)
		for field := range fields(goType) {
			if !field.IsExported() {
				continue
			}
			name, options, _ := strings.Cut(field.Tag.Get("json"), ",")
			names = append(names, name)
			if options == "" {
				always = append(always, name)
			}
			if property, present := properties[name]; present {
				c.compare(where+"/"+name, field.Type, file, property)
			}
		}
		c.names(where, names, schema)
		if got := texts(schema["required"]); c.required && !sameSet(got, always) {
			c.t.Errorf("%s: the schema requires %q, Go always writes %q", where, got, always)
		}
	}
}

func (c shapeCheck) names(where string, want []string, schema object) {
	var got []string
	properties, _ := schema["properties"].(object)
	for name := range properties {
		got = append(got, name)
	}
	if !sameSet(got, want) {
		slices.Sort(got)
		slices.Sort(want)
		c.t.Errorf("%s: the schema has %q, Go has %q", where, got, want)
	}
}

func fields(goType reflect.Type) func(yield func(reflect.StructField) bool) {
	return func(yield func(reflect.StructField) bool) {
		for i := range goType.NumField() {
			// What is not exported is not written.
			if field := goType.Field(i); field.IsExported() && !yield(field) {
				return
			}
		}
	}
}

func TestGoTypesAgreeWithSchemas(t *testing.T) {
	shapeCheck{t, false}.compare("request", reflect.TypeFor[document.Request](), "request.schema.json", load(t, "request.schema.json"))
	shapeCheck{t, false}.compare("plan request", reflect.TypeFor[document.PlanRequest](), "plan_request.schema.json", load(t, "plan_request.schema.json"))
	shapeCheck{t, false}.compare("card request", reflect.TypeFor[document.CardRequest](), "card_request.schema.json", load(t, "card_request.schema.json"))
	written := []struct {
		file   string
		goType reflect.Type
	}{
		{"report.schema.json", reflect.TypeFor[report.Report]()},
		{"plan.schema.json", reflect.TypeFor[plan.Plan]()},
		{"card.schema.json", reflect.TypeFor[card.Card]()},
		{"recipe_ld.schema.json", reflect.TypeFor[card.Linked]()},
		{"item.schema.json", reflect.TypeFor[catalog.Item]()},
		{"jar.schema.json", reflect.TypeFor[catalog.Jar]()},
		{"unit.schema.json", reflect.TypeFor[measure.Unit]()},
		{"schedule.schema.json", reflect.TypeFor[catalog.Schedule]()},
		{"source.schema.json", reflect.TypeFor[catalog.Source]()},
		{"ruleset.schema.json", reflect.TypeFor[catalog.Ruleset]()},
		{"altitude.schema.json", reflect.TypeFor[altitude.Conditions]()},
		{"citation.schema.json", reflect.TypeFor[catalog.Citation]()},
		{"draft.schema.json", reflect.TypeFor[draft.Draft]()},
	}
	for _, test := range written {
		shapeCheck{t, true}.compare(test.file, test.goType, test.file, load(t, test.file))
	}
}

// What ingest finds is part of a problem, to which the HTTP side adds its own members.
func TestProblemHoldsWhatIngestFinds(t *testing.T) {
	properties := load(t, "problem.schema.json")["properties"].(object)
	for field := range fields(reflect.TypeFor[ingest.Problem]()) {
		if _, present := properties[field.Tag.Get("json")]; !present {
			t.Errorf("problem.schema.json has no %s", field.Tag.Get("json"))
		}
	}
	params := load(t, "problem.schema.json")["$defs"].(object)["params"]
	shapeCheck{t, true}.compare("params", reflect.TypeFor[ingest.Params](), "problem.schema.json", params)

	file, errorSchema := at(t, "problem.schema.json", "errors", "*")
	for field := range fields(reflect.TypeFor[ingest.Error]()) {
		name, _, _ := strings.Cut(field.Tag.Get("json"), ",")
		if _, present := errorSchema["properties"].(object)[name]; !present {
			t.Errorf("%s: an error has no %s", file, name)
		}
	}
}
