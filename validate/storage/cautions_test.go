package storage

import (
	"slices"
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/report"
)

// Which cautions go with a report beyond those that go with every one.
func TestCautions(t *testing.T) {
	type changes = []func(*document.Request)
	foods := func(items ...string) func(*document.Request) {
		return func(r *document.Request) {
			for _, item := range items {
				r.Recipe.Ingredients = append(r.Recipe.Ingredients, document.Ingredient{Item: item, Amount: quantity(1, "lb"), Per: document.PerBatch})
			}
		}
	}
	drained := func(r *document.Request) {
		yes := true
		for i := range r.Recipe.Ingredients {
			r.Recipe.Ingredients[i].Drained = &yes
		}
	}
	always := []string{"not-a-license", "selling", "never-taste"}
	shelf, unpacked := []string{"seal-check", "burns-and-glass", "storage"}, []string{"seal-check", "storage"}
	method := func(name string) func(*document.Request) {
		return func(r *document.Request) { r.Recipe.Process = &document.Process{Method: name} }
	}
	for _, test := range []struct {
		name    string
		changes changes
		want    []string // beyond those of every report
	}{
		{"before the canning day", changes{noBatch}, unpacked},
		{"in boiling water", changes{noBatch, method(document.MethodBoilingWater)}, []string{"seal-check", "full-boil", "storage"}},
		{"in steam", changes{noBatch, method(document.MethodSteam)}, unpacked},
		{"boiled, for the refrigerator", changes{refrigerated, method(document.MethodBoilingWater)}, []string{"listeria"}},
		{"for the shelf", changes{}, shelf},
		{"for the refrigerator", changes{refrigerated}, []string{"listeria"}},
		{"garlic in oil, cold", changes{refrigerated, foods("garlic", "olive oil")}, []string{"listeria", "garlic-in-oil"}},
		{"garlic without oil, cold", changes{refrigerated, foods("garlic")}, []string{"listeria"}},
		{"oil without garlic, cold", changes{refrigerated, foods("olive oil")}, []string{"listeria"}},
		{
			"garlic in oil, marked as taken out, which food never is",
			changes{refrigerated, foods("garlic", "olive oil"), drained},
			[]string{"listeria", "garlic-in-oil"},
		},
		{"garlic in oil, on the shelf", changes{foods("garlic", "olive oil")}, shelf},
		{"a ferment", changes{func(r *document.Request) { r.Recipe.Kind = document.KindFermented }}, append(slices.Clone(shelf), "fully-fermented")},
		{"eggs", changes{refrigerated, foods("egg")}, []string{"listeria", "eggs-cold"}},
		{"hot peppers, taken out", changes{foods("cucumber", "jalapeno"), drained}, append(slices.Clone(shelf), "hot-peppers")},
		{"lime", changes{foods("pickling lime")}, append(slices.Clone(shelf), "lime-dust")},
		{"no amount of peppers", changes{func(r *document.Request) {
			r.Recipe.Ingredients = []document.Ingredient{{Item: "jalapeno", Amount: quantity(0, "lb"), Per: document.PerBatch}}
		}}, shelf},
		{"what is not known", changes{foods("moon rock")}, shelf},
	} {
		t.Run(test.name, func(t *testing.T) {
			var got []string
			for _, c := range Cautions(factsOf(dills, test.changes...), report.Hold) {
				got = append(got, c.ID)
				if c.Text == "" || len(c.Sources) == 0 {
					t.Errorf("%+v", c)
				}
			}
			if want := append(slices.Clone(always), test.want...); !slices.Equal(got, want) {
				t.Errorf("%v, want %v", got, want)
			}
		})
	}
	for _, test := range []struct {
		name        string
		changes     changes
		disposition report.Disposition
		want        bool
	}{
		{"jars to throw away", nil, report.Discard, true},
		{"jars to keep", nil, report.Shelf, false},
		{"no jars", changes{noBatch}, report.Discard, false},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := slices.ContainsFunc(Cautions(factsOf(dills, test.changes...), test.disposition), func(c report.Caution) bool { return c.ID == "disposal" })
			if got != test.want {
				t.Errorf("%v", got)
			}
		})
	}
}
