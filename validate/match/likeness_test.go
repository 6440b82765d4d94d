package match

import (
	"math"
	"slices"
	"testing"

	"jarwright/validate/catalog"
	"jarwright/validate/composition"
	"jarwright/validate/document"
)

func TestKindFits(t *testing.T) {
	for _, c := range []struct {
		tested  string
		written []string // that fit, of all
	}{
		{"brined", []string{"brined", "fruit"}},
		{"relish", []string{"relish", "sauce"}},
		{"sauce", []string{"relish", "sauce"}},
		{"fruit", []string{"brined", "relish", "sauce", "fruit"}},
		{"fermented", []string{"fermented"}},
		{"fresh", []string{"fresh"}},
	} {
		var fit []string
		for _, written := range []string{"brined", "relish", "sauce", "fruit", "fermented", "fresh"} {
			if kindFits(c.tested, written) {
				fit = append(fit, written)
			}
		}
		if !slices.Equal(fit, c.written) {
			t.Errorf("%s is called %v, want %v", c.tested, fit, c.written)
		}
	}
}

func TestOverlap(t *testing.T) {
	for _, c := range []struct {
		a, b []string
		want float64
	}{
		{nil, nil, 1},
		{[]string{"a"}, nil, 0},
		{nil, []string{"a"}, 0},
		{[]string{"a"}, []string{"a"}, 1},
		{[]string{"a", "b"}, []string{"b", "c"}, 1.0 / 3},
		{[]string{"a"}, []string{"b", "a", "c"}, 1.0 / 3},
	} {
		if got := overlap(c.a, c.b); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v and %v: %v, want %v", c.a, c.b, got, c.want)
		}
	}
}

// likenessTo is the likeness of a request to one tested recipe.
func likenessTo(t *testing.T, id string, request *document.Request) float64 {
	t.Helper()
	cook := composition.Read(request, kitchen.tables, kitchen.scale)
	p := kitchen.matcher.readProfile(request.Recipe.Kind, request.Recipe.Keep, &cook)
	for i := range kitchen.matcher.patterns {
		if kitchen.matcher.patterns[i].recipe.ID == id {
			written, _ := kitchen.matcher.alike(&kitchen.matcher.patterns[i], &p)
			return written
		}
	}
	t.Fatalf("no pattern %s", id)
	return 0
}

// Each weight of likeness.csv is lost once, when the thing that it is for differs.
func TestLikenessWeights(t *testing.T) {
	const beans = "pickled-dilled-beans"
	plain := followed(t, beans)
	if got := likenessTo(t, beans, &plain); math.Abs(got-1) > 1e-9 {
		t.Errorf("the recipe itself is like itself by %v", got)
	}
	for _, c := range []struct {
		name   string
		change func(*document.Request)
		want   float64
	}{
		{"kind", func(r *document.Request) { r.Recipe.Kind = "fermented" }, 0.9},
		{"kind not said", func(r *document.Request) { r.Recipe.Kind = "" }, 1},
		{"keep", func(r *document.Request) { r.Recipe.Keep = "refrigerator" }, 0.9},
		{"keep not said", func(r *document.Request) { r.Recipe.Keep = "" }, 1},
		{"an additive", func(r *document.Request) {
			r.Recipe.Ingredients = append(r.Recipe.Ingredients, document.Ingredient{Item: "olive oil", Amount: amount(1, "cup")})
		}, 0.9},
		{"another liquid that covers", func(r *document.Request) {
			r.Recipe.Ingredients = append(r.Recipe.Ingredients, document.Ingredient{Item: "water", Amount: &document.Quantity{Unit: "to_cover"}})
		}, 0.95},
		{"a seasoning of three", func(r *document.Request) {
			r.Recipe.Ingredients = append(r.Recipe.Ingredients, document.Ingredient{Item: "turmeric", Amount: amount(1, "tsp")})
		}, 1 - 0.05/3},
		{"the cut", func(r *document.Request) { r.Recipe.Ingredients[0].Form = "pureed" }, 0.94},
		{"no main food", func(r *document.Request) { r.Recipe.Ingredients[0].Item = "onion" }, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			request := followed(t, beans)
			c.change(&request)
			if got := likenessTo(t, beans, &request); math.Abs(got-c.want) > 1e-6 {
				t.Errorf("likeness %v, want %v", got, c.want)
			}
		})
	}
}

// Two compositions share what both hold: whole items first, then stand-ins at 0.98, then others of the family at 0.8.
func TestShared(t *testing.T) {
	tomato, _ := kitchen.tables.Item("tomato")
	cherry, _ := kitchen.tables.Item("cherry-tomato")
	tomatillo, _ := kitchen.tables.Item("tomatillo")
	carrot, _ := kitchen.tables.Item("carrot")
	s := &slot{lines: []testedAmount{{item: tomato}}, standIns: catalog.Foods{Items: []string{"tomatillo"}}}
	tested := []share{{tomato, 0.75, s}, {carrot, 0.25, &slot{lines: []testedAmount{{item: carrot}}}}}
	for _, c := range []struct {
		name    string
		written []profileShare
		want    float64
	}{
		{"the same", []profileShare{{item: tomato, grams: 0.75}, {item: carrot, grams: 0.25}}, 1},
		{"a stand-in", []profileShare{{item: tomatillo, grams: 0.75}, {item: carrot, grams: 0.25}}, 0.75*0.98 + 0.25},
		{"of the family", []profileShare{{item: cherry, grams: 0.75}, {item: carrot, grams: 0.25}}, 0.75*0.8 + 0.25},
		{"more of one", []profileShare{{item: tomato, grams: 0.9}, {item: carrot, grams: 0.1}}, 0.85},
		{"in two lines", []profileShare{{item: tomato, grams: 0.5}, {item: tomato, grams: 0.25}, {item: carrot, grams: 0.25}}, 1},
		{"nothing", nil, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := kitchen.matcher.shared(tested, c.written); math.Abs(got-c.want) > 1e-12 {
				t.Errorf("%v, want %v", got, c.want)
			}
		})
	}
}

// The cook's recipe as likeness sees it.
func TestProfile(t *testing.T) {
	line := func(id, form string, value float64, unit string) document.Ingredient {
		return document.Ingredient{Item: id, Form: form, Amount: amount(value, unit), Per: document.PerBatch}
	}
	read := func(jars *float64, lines ...document.Ingredient) profile {
		cook := composition.Read(&document.Request{Recipe: document.Recipe{Jars: jars, Ingredients: lines}}, kitchen.tables, kitchen.scale)
		return kitchen.matcher.readProfile("", "", &cook)
	}
	if p := read(nil); len(p.shares) != 0 || p.sugar != 0 {
		t.Errorf("nothing: %+v", p)
	}
	p := read(nil, line("onion", "sliced", 1, "kg"), line("carrot", "grated", 1, "kg"), line("sugar", "", 2, "kg"))
	if p.mainForm.Coarsest != composition.Sliced || p.shares[0].grams != 0.5 || p.sugar != 0.5 {
		t.Errorf("of two foods that weigh the same the first is the main one: %+v", p)
	}
	each := line("carrot", "", 1, "kg")
	each.Per = document.PerJar
	if p := read(new(3.0), line("onion", "", 1, "kg"), each); p.shares[1].grams != 0.75 {
		t.Errorf("an amount for each of three jars: %+v", p.shares)
	}
	if p := read(new(0.0), each); p.shares[0].grams != 0 {
		t.Errorf("an amount for each of no jars: %+v", p.shares)
	}
	// Two cups of any vinegar weigh as much as two of the vinegar of no kind, 238 or 239 g each; what is not said weighs 100 g.
	vinegars := []document.Ingredient{line("white vinegar", "", 2, "cup"), line("wine vinegar", "", 2, "cup"), line("onion", "", 1, "head"), {Item: "carrot"}}
	p = read(nil, vinegars...)
	for i, want := range []float64{477, 477, 100, 100} {
		if got := p.shares[i].grams * (2*477 + 200); math.Abs(got-want) > 1e-6 {
			t.Errorf("line %d weighs %v g, want %v", i, got, want)
		}
	}
}

// The limits of likeness are part of what they bound.
func TestLikenessAtTheLimit(t *testing.T) {
	request := followed(t, "pickled-dilled-beans")
	request.Recipe.Follows = ""
	written, _ := lineOf(t, &request, "water")
	times(1.1)(written)
	cook := composition.Read(&request, kitchen.tables, kitchen.scale)
	found := kitchen.matcher.Match(&request, &cook)
	at, over := math.Nextafter(found.Likeness, 0), math.Nextafter(found.Likeness, 2)
	for _, c := range []struct {
		name                 string
		least, equals, clear float64
		found, fixed         bool
	}{
		{"just under", at, 0, at, true, true},
		{"at", found.Likeness, 0, found.Likeness, true, true},
		{"just over, clear", at, 0, over, true, false},
		{"just over, least", over, 0, over, false, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := *kitchen.matcher
			m.likeness.Least, m.likeness.Equals, m.likeness.Clear = c.least, c.equals, c.clear
			got := m.Match(&request, &cook)
			if (got.Recipe != nil) != c.found || c.found && (len(adverse(&got)[0].Fix) > 0) != c.fixed {
				t.Errorf("%v, fixes %+v", got.Recipe, adverse(&got))
			}
		})
	}
}

// What is named twice counts once.
func TestAddOnce(t *testing.T) {
	if got := addOnce(addOnce(addOnce(nil, "a"), "b"), "a"); len(got) != 2 || got[0] != "a" || got[1] != "b" {
		t.Errorf("%v", got)
	}
}
