package ingest

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"jarwright/schemas"
	"jarwright/validate/measure"
)

// numberPlace is a place of a request that takes a number, as a schema has it.
type numberPlace struct {
	path  []string       // "*" for the entries of a list
	units []string       // of a quantity; none for a number alone
	node  map[string]any // the schema of the number
}

func (p numberPlace) String() string { return "/" + strings.Join(p.path, "/") }

// numberPlaces lists every place below a node of a schema file that takes a number.
func (s shapes) numberPlaces(file string, node any, path []string) []numberPlace {
	file, node = s.follow(file, node)
	object, _ := node.(map[string]any)
	properties, _ := object["properties"].(map[string]any)
	if value, unit := properties["value"], properties["unit"]; value != nil && unit != nil {
		_, number := s.follow(file, value)
		_, codes := s.follow(file, unit)
		return []numberPlace{{path, stringsOf(codes.(map[string]any)["enum"]), number.(map[string]any)}}
	}
	var found []numberPlace
	if kind := object["type"]; kind == "number" || kind == "integer" {
		found = append(found, numberPlace{path, nil, object})
	}
	for _, name := range sortedKeys(properties) {
		found = append(found, s.numberPlaces(file, properties[name], append(slices.Clone(path), name))...)
	}
	if items := object["items"]; items != nil {
		found = append(found, s.numberPlaces(file, items, append(slices.Clone(path), "*"))...)
	}
	return found
}

func requestPlaces(t *testing.T, s shapes, name string) []numberPlace {
	t.Helper()
	places := s.numberPlaces(name, s[schemas.BaseURL+name], nil)
	if len(places) < 10 {
		t.Fatalf("%s has only %d places for a number", name, len(places))
	}
	return places
}

// limitsAt are the limits of a place by unit, from the table or, of a number that has no row there, from the schema.
func limitsAt(reader *Reader, place numberPlace) map[string]Limits {
	limits := map[string]Limits{}
	for _, unit := range place.units {
		if found, ok := reader.Limits(place.String(), unit); ok {
			limits[unit] = found
		}
	}
	if len(place.units) > 0 {
		return limits
	}
	if found, ok := reader.Limits(place.String(), ""); ok {
		return map[string]Limits{"": found}
	}
	least, hasLeast := place.node["minimum"].(float64)
	most, hasMost := place.node["maximum"].(float64)
	if hasLeast && hasMost {
		limits[""] = Limits{Least: least, Most: most}
	}
	return limits
}

// No member of a request without bounds: each place that takes a number has a least and a greatest amount in each unit that it
// takes, and the schema says what a schema can, which is the widest of the units.
func TestEveryNumberHasBothBounds(t *testing.T) {
	reader := newTestReader(t)
	for _, name := range []string{schemas.RequestName, schemas.PlanRequestName, schemas.CardRequestName} {
		for _, place := range requestPlaces(t, reader.shapes, name) {
			t.Run(name+place.String(), func(t *testing.T) {
				limits := limitsAt(reader, place)
				for _, code := range place.units {
					unit, _ := reader.units.Lookup(code)
					if _, bounded := limits[code]; !bounded && unit.Dimension != measure.DimensionUnmeasured {
						t.Errorf("no bounds in %s", code)
					}
				}
				if len(place.units) == 0 {
					checkNumber(t, place, limits[""])
				}
				_, hasLeast := place.node["minimum"].(float64)
				_, hasMost := place.node["maximum"].(float64)
				if !hasLeast || !hasMost {
					t.Error("the schema has no minimum or no maximum")
				}
			})
		}
	}
}

// checkNumber holds the schema of a number without a unit to its limits. Only whole numbers go without a row of the table: they
// cannot be too small to mean anything.
func checkNumber(t *testing.T, place numberPlace, limits Limits) {
	t.Helper()
	least, most := place.node["minimum"].(float64), place.node["maximum"].(float64)
	refused, _ := place.node["not"].(map[string]any)
	least0, _ := refused["exclusiveMaximum"].(float64)
	switch {
	case limits.Most != most:
		t.Errorf("the schema takes up to %g, the table %g", most, limits.Most)
	case limits.Zero && (least != 0 || least0 != limits.Least):
		t.Errorf("the schema takes 0 or from %g, the table 0 or from %g", least0, limits.Least)
	case !limits.Zero && least != limits.Least:
		t.Errorf("the schema takes from %g, the table from %g", least, limits.Least)
	case place.node["multipleOf"] == nil && !limits.Zero && least == 0:
		t.Error("a number that may come as near to zero as it likes")
	}
}

// The schema of a kind of quantity, seeing no unit, is as wide as the widest of all its places and units and no more than ten
// times wider.
func TestSchemaIsAsWideAsTheWidestUnit(t *testing.T) {
	reader := newTestReader(t)
	type width struct {
		node               map[string]any
		low, high, nonzero float64
	}
	widest := map[string]*width{} // by the description of the quantity's number and its units
	for _, name := range []string{schemas.RequestName, schemas.PlanRequestName} {
		for _, place := range requestPlaces(t, reader.shapes, name) {
			for _, limits := range limitsAt(reader, place) {
				if len(place.units) == 0 {
					continue
				}
				key := strings.Join(place.units, " ")
				w := widest[key]
				if w == nil {
					w = &width{place.node, math.Inf(1), math.Inf(-1), math.Inf(1)}
					widest[key] = w
				}
				w.low, w.high = min(w.low, limits.Least), max(w.high, limits.Most)
				if limits.Least > 0 {
					w.nonzero = min(w.nonzero, limits.Least)
				}
			}
		}
	}
	if len(widest) != 6 {
		t.Fatalf("%d kinds of quantities", len(widest))
	}
	for units, w := range widest {
		least, most := w.node["minimum"].(float64), w.node["maximum"].(float64)
		if most < w.high || most > 10*w.high {
			t.Errorf("%s: the schema takes up to %g, the table %g", units, most, w.high)
		}
		if w.low < 0 {
			if least > w.low || least < 10*w.low {
				t.Errorf("%s: the schema takes from %g, the table %g", units, least, w.low)
			}
			continue
		}
		refused, _ := w.node["not"].(map[string]any)
		nonzero, _ := refused["exclusiveMaximum"].(float64)
		if least != 0 || nonzero > w.nonzero || nonzero < w.nonzero/10 {
			t.Errorf("%s: the schema takes from %g, beside zero from %g, the table from %g", units, least, nonzero, w.nonzero)
		}
	}
}

// Each row of the table speaks of a place that a schema has, so that no bound is lost when a member is renamed.
func TestBoundsSpeakOfPlacesOfTheSchemas(t *testing.T) {
	reader := newTestReader(t)
	var places []numberPlace
	for _, name := range []string{schemas.RequestName, schemas.PlanRequestName} {
		places = append(places, requestPlaces(t, reader.shapes, name)...)
	}
	for _, row := range reader.rows {
		i := slices.IndexFunc(places, func(p numberPlace) bool { return slices.Equal(p.path, row.path) })
		if i < 0 {
			t.Errorf("%v: no schema has that place", row.path)
			continue
		}
		if row.quantity == "" || (len(places[i].units) == 0) != (row.dimension == dimensionNumber) {
			t.Errorf("%v: %q is no words for it, or %s no dimension", row.path, row.quantity, row.dimension)
		}
	}
}

// everyQuantity are documents that together have a number at each place of the schemas.
func everyQuantity(t *testing.T) (documents []struct {
	Operation string
	Body      map[string]any
},
) {
	t.Helper()
	data, err := os.ReadFile("testdata/every_quantity.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, &documents); err != nil {
		t.Fatal(err)
	}
	return documents
}

// numberAt finds a place in a document: the object that the number stands in, and its pointer. Of a list the first entry that
// has it is taken.
func numberAt(value any, place numberPlace, path []string, pointer string) (holder map[string]any, at string) {
	switch value := value.(type) {
	case map[string]any:
		member, present := value[path[0]]
		switch {
		case !present:
			return nil, ""
		case len(path) > 1:
			return numberAt(member, place, path[1:], pointer+"/"+path[0])
		case len(place.units) == 0:
			return value, pointer + "/" + path[0]
		}
		quantity, _ := member.(map[string]any)
		return quantity, pointer + "/" + path[0] + "/value"
	case []any:
		for i, entry := range value {
			if holder, at = numberAt(entry, place, path[1:], pointer+"/"+strconv.Itoa(i)); holder != nil {
				return holder, at
			}
		}
	}
	return nil, ""
}

// Every place in every unit, with amounts at, just inside and just outside of its limits and with the numbers that arithmetic
// fears: each is taken or refused as the table says, and the error names what was got and both limits in the unit written.
func TestLimitsHoldAtEveryPlace(t *testing.T) {
	reader := newTestReader(t)
	read := map[string]func([]byte) *Problem{
		"/v1/reports": func(body []byte) *Problem { _, p := reader.Request(nil, body); return p },
		"/v1/plans":   func(body []byte) *Problem { _, p := reader.Plan(nil, body); return p },
		"/v1/cards":   func(body []byte) *Problem { _, p := reader.Card(nil, body); return p },
	}
	names := map[string]string{"/v1/reports": schemas.RequestName, "/v1/plans": schemas.PlanRequestName, "/v1/cards": schemas.CardRequestName}
	tried, seen := 0, map[string]bool{}
	for _, document := range everyQuantity(t) {
		body, err := json.Marshal(document.Body)
		if err != nil {
			t.Fatal(err)
		}
		if problem := read[document.Operation](body); problem != nil {
			t.Fatalf("%s refuses the document: %v", document.Operation, codesOf(problem))
		}
		for _, place := range requestPlaces(t, reader.shapes, names[document.Operation]) {
			holder, at := numberAt(document.Body, place, place.path, "")
			if holder == nil || seen[document.Operation+place.String()] {
				continue
			}
			seen[document.Operation+place.String()] = true
			again := document.Operation != "/v1/reports" && seen["/v1/reports"+place.String()]
			for unit, limits := range limitsAt(reader, place) {
				amounts := []float64{1e-300, limits.Most, math.Nextafter(limits.Most, math.Inf(1)), math.Nextafter(limits.Least, math.Inf(-1))}
				// Each kind of request reads the same recipes, and the many units of an amount are alike.
				if !again && (len(place.units) < 10 || slices.Contains([]string{"mg", "lb", "mL", "bushel", "each", "leaf"}, unit)) {
					amounts = append(amounts, 0, math.Copysign(0, -1), 5e-324, 1e308, -1, -1e308, -5e-324,
						limits.Least, math.Nextafter(limits.Least, math.Inf(1)), math.Nextafter(limits.Most, math.Inf(-1)))
				}
				tryPlace(t, read[document.Operation], document.Body, holder, place, at, unit, amounts, limits)
				tried += len(amounts)
			}
		}
	}
	for operation, name := range names {
		for _, place := range requestPlaces(t, reader.shapes, name) {
			if !seen[operation+place.String()] {
				t.Errorf("no document of %s has %s", operation, place)
			}
		}
	}
	if tried < 2000 {
		t.Errorf("only %d documents tried", tried)
	}
}

// tryPlace puts amounts into one place and takes them out again.
func tryPlace(t *testing.T, read func([]byte) *Problem, document, holder map[string]any, place numberPlace, at, unit string, amounts []float64, limits Limits) {
	t.Helper()
	name := place.path[len(place.path)-1]
	wasUnit := holder["unit"]
	if unit != "" {
		name = "value"
		holder["unit"] = unit
	}
	was := holder[name]
	defer func() { holder[name], holder["unit"] = was, wasUnit; clearNil(holder) }()
	if wasUnit == nil && unit == "" {
		delete(holder, "unit")
	}
	for _, amount := range amounts {
		holder[name] = amount
		body, err := json.Marshal(document)
		if err != nil {
			t.Fatal(err)
		}
		whole := place.node["multipleOf"] == nil || amount == math.Trunc(amount)
		checkTaken(t, read(body), at, unit, amount, limits, whole)
	}
}

func clearNil(holder map[string]any) {
	if holder["unit"] == nil {
		delete(holder, "unit")
	}
}

func checkTaken(t *testing.T, problem *Problem, at, unit string, amount float64, limits Limits, whole bool) {
	t.Helper()
	what := fmt.Sprintf("%s: %g %s", at, amount, unit)
	if limits.Take(amount) {
		if problem != nil && whole {
			t.Errorf("%s is refused: %v, %s", what, codesOf(problem), problem.Detail)
		}
		return
	}
	if problem == nil {
		t.Errorf("%s is taken; the limits are %g to %g, zero %v", what, limits.Least, limits.Most, limits.Zero)
		return
	}
	if !whole {
		return
	}
	e := problem.Errors[0]
	wanted := []string{CodeOutOfRange}
	if unit == "" || amount < 0 {
		wanted = append(wanted, CodeTooSmall, CodeTooLarge) // as the schema has always called it
	}
	if e.Pointer != at || !slices.Contains(wanted, e.Code) {
		t.Errorf("%s: %v", what, codesOf(problem))
		return
	}
	least, most := e.Params.Least, e.Params.Most
	if least == nil || most == nil || e.Params.Unit != unit || e.Params.Got != amount {
		t.Errorf("%s: params %+v", what, e.Params)
		return
	}
	if *most != limits.Most || *least != limits.Least && *least != 0 {
		t.Errorf("%s: params say %g to %g, want %g to %g", what, *least, *most, limits.Least, limits.Most)
	}
	for _, shown := range []float64{amount, *least, *most} {
		if !strings.Contains(e.Detail, strings.TrimSpace(number(shown)+" "+unit)) {
			t.Errorf("%s: the error does not name %s %s: %s", what, number(shown), unit, e.Detail)
		}
	}
}

func codesOf(problem *Problem) []string {
	var found []string
	for _, e := range problem.Errors {
		found = append(found, e.Code+" "+e.Pointer)
	}
	return found
}

// What an honest kitchen, class or small farm writes is within the limits.
func TestHonestAmountsAreTaken(t *testing.T) {
	reader := newTestReader(t)
	for _, test := range []struct {
		pointer string
		value   float64
		unit    string
	}{
		{"/recipe/ingredients/0/amount", 0.01, "g"}, // of calcium chloride
		{"/recipe/ingredients/0/amount", 10, "mg"},
		{"/recipe/ingredients/0/amount", 1, "drop"},
		{"/recipe/ingredients/0/amount", 1.0 / 64, "tsp"},
		{"/recipe/ingredients/0/amount", 0.125, "head"},
		{"/recipe/ingredients/0/amount", 0.05, "bunch"},
		{"/recipe/ingredients/0/amount", 2000, "L"},
		{"/recipe/ingredients/0/amount", 2_000_000, "mL"},
		{"/recipe/ingredients/0/amount", 50, "bushel"},
		{"/recipe/ingredients/0/amount", 4000, "lb"},
		{"/recipe/ingredients/0/amount", 100_000, "each"},
		{"/recipe/headspace", 1.0 / 16, "in"},
		{"/recipe/rest", 2 * 365, "d"},
		{"/recipe/process/time", 90, "s"},
		{"/kitchen/elevation", -430.5, "m"},
		{"/kitchen/elevation", 5100, "m"},
		{"/kitchen/elevation", 0, "ft"},
		{"/batch/jars/0/kept/0/temperature", -18, "C"},
		{"/canner/diameter", 30.5, "cm"},
		{"/target/produce/amount", 250, "bushel"},
	} {
		t.Run(fmt.Sprint(test.pointer, test.value, test.unit), func(t *testing.T) {
			if limits, known := reader.Limits(test.pointer, test.unit); !known || !reader.Allows(test.pointer, test.value, test.unit) {
				t.Errorf("refused: %+v", limits)
			}
		})
	}
}

// Limits are rounded to the inside of what the table says, and not at all where six digits say it exactly.
func TestLimitsAreShownAsTheyHold(t *testing.T) {
	reader := newTestReader(t)
	for _, test := range []struct {
		pointer, unit string
		least, most   float64
	}{
		{"/recipe/headspace", "ft", 0.000328084, 1},
		{"/recipe/headspace", "in", 0.00393701, 12},
		{"/kitchen/elevation", "m", -457.2, 9144},
		{"/recipe/temperatures/jar", "F", -40, 302},
		{"/recipe/temperatures/jar", "K", 233.15, 423.15},
		{"/recipe/rest", "mo", 0.000000380265, 36},
		{"/recipe/ingredients/0/amount", "lb", 0.00000220463, 4409.24},
		{"/recipe/ingredients/0/amount", "bushel", 0.0000000283776, 56.7551},
	} {
		t.Run(test.pointer+" "+test.unit, func(t *testing.T) {
			got, _ := reader.Limits(test.pointer, test.unit)
			if got.Least != test.least || got.Most != test.most {
				t.Errorf("%g to %g, want %g to %g", got.Least, got.Most, test.least, test.most)
			}
		})
	}
}
