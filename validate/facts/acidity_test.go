package facts

import (
	"slices"
	"testing"

	"jarwright/validate/acidity"
	"jarwright/validate/document"
)

func TestAcidity(t *testing.T) {
	from := withLimit(realTables(t), "ph-max", 4.8) // over the bounds of the dills
	request := dills(t)
	plain := New(from, &request, false).Acidity
	if plain.Reason != "" || !(plain.Low < plain.PH && plain.PH < plain.High) || plain.Solved.PH != plain.PH || plain.Model != from.Chemistry {
		t.Fatalf("%+v", plain)
	}
	if plain.High > 4.8 || plain.Decides != "" {
		t.Errorf("up to pH %v it is not asked what decides, but it is %q", plain.High, plain.Decides)
	}
	if told := New(from, &request, true).Acidity; told.Decides == "" || told.PH != plain.PH {
		t.Errorf("asked what decides: %+v", told)
	}
	weak := factsOf(t, func(r *document.Request) { *r.Recipe.Ingredients[3].Amount.Value = 1 }).Acidity
	if weak.High <= 4.6 || weak.Decides != inputWords["buffer"] {
		t.Errorf("up to pH %v decides %q", weak.High, weak.Decides)
	}
	if edge := New(withLimit(from, "ph-max", plain.High), &request, false).Acidity; edge.Decides != "" {
		t.Errorf("at the limit itself it is not asked what decides, but it is %q", edge.Decides)
	}
	if under := New(withLimit(from, "ph-max", plain.High-0.01), &request, false).Acidity; under.Decides == "" {
		t.Error("over the limit it is asked what decides")
	}
	missing := factsOf(t, func(r *document.Request) { r.Recipe.Ingredients[0].Amount = nil }).Acidity
	if missing.Reason != "the amount of cucumber is not given" || missing.Model != nil || missing.PH != 0 {
		t.Errorf("no amount of food: %+v", missing)
	}
	outside := factsOf(t, func(r *document.Request) { *r.Recipe.Ingredients[4].Amount.Value = 1000 }).Acidity
	if outside.Reason != "the amounts lie outside what the model was made for" || outside.Model != nil {
		t.Errorf("a thousand cups of salt: %+v", outside)
	}
}

// withLimit are the real tables with another value of one limit.
func withLimit(from Sources, id string, value float64) Sources {
	tables := *from.Tables
	tables.Limits = slices.Clone(tables.Limits)
	for i := range tables.Limits {
		if tables.Limits[i].ID == id {
			tables.Limits[i].Value = value
		}
	}
	from.Tables = &tables
	return from
}

// What opens the upper bound most, one input at a time: a jar with 1 kg of food and some acetic acid, of which all inputs
// but one are exact.
func TestDecides(t *testing.T) {
	model := realTables(t).Chemistry
	mixture := acidity.Mixture{WaterKg: 2, SodiumChlorideMol: 0.5}
	mixture.Acids[acidity.Acetic] = 0.5
	open := func(change func(*acidity.Bands)) acidity.Bands {
		b := acidity.Exact(mixture)
		b.Produce = []acidity.ProduceBand{{MassKg: 1, NaturalPH: acidity.Exactly(5.5), BufferMolPerKg: acidity.Exactly(0.02)}}
		change(&b)
		return b
	}
	for _, test := range []struct {
		input string
		open  func(*acidity.Bands)
	}{
		{"buffer", func(b *acidity.Bands) { b.Produce[0].BufferMolPerKg.High = 0.04 }},
		{"natural_ph", func(b *acidity.Bands) { b.Produce[0].NaturalPH.High = 6 }},
		{"pack", func(b *acidity.Bands) { b.Pack.High = 1.2 }},
		{"strength", func(b *acidity.Bands) { b.Strength[acidity.Acetic].Low = 0.8 }},
		{"household", func(b *acidity.Bands) { b.Household.Low = 0.8 }},
		{"alkalinity", func(b *acidity.Bands) { b.Mixture.AlkalinityMol = 0.01; b.Alkalinity.High = 3 }},
		{"buffer", func(*acidity.Bands) {}}, // none opens it: the first of the list
	} {
		t.Run(test.input, func(t *testing.T) {
			if got := decides(model, open(test.open)); got != inputWords[test.input] || got == "" {
				t.Errorf("%q, want %q", got, inputWords[test.input])
			}
		})
	}
	if got := decides(model, open(func(b *acidity.Bands) { b.Mixture.WaterKg = -1 })); got != "" {
		t.Errorf("a mixture that cannot be: %q", got)
	}
}
