package rules

import (
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/report"
)

const (
	brineAt = "/recipe/temperatures/brine"
	boilAt  = "/recipe/process/temperature"
)

func filledAt(value float64, unit string) func(*document.Request) {
	return func(r *document.Request) { r.Recipe.Temperatures = &document.Temperatures{Brine: amount(value, unit)} }
}

// Water for hot packs has 180 °F, for raw packs 140 °F (guide, p. 1-18).
func TestFilledHot(t *testing.T) {
	inF := func(value float64) *report.Amount { return &report.Amount{Value: value, Unit: "F"} }
	at := []string{brineAt}
	try(t, FilledHot(), carrots, []ruleCase{
		{name: "not said", want: report.NotApplicable},
		{
			name: "only the jar is", want: report.NotApplicable,
			edit: func(r *document.Request) { r.Recipe.Temperatures = &document.Temperatures{Jar: amount(180, "F")} },
		},
		{name: "205 °F", edit: filledAt(205, "F"), want: report.Pass},
		{name: "180 °F", edit: filledAt(180, "F"), want: report.Pass},
		{name: "2 K less", edit: filledAt(80.3, "C"), want: report.Pass},
		{name: "more than 2 K less", edit: filledAt(80.1, "C"), want: report.Fail, at: at},
		{
			name: "60 °F", edit: filledAt(60, "F"), want: report.Fail, at: at, measured: inF(60), limit: inF(180),
			says: "What is filled in has 60 °F; “Pickled carrots” is filled hot.",
		},
		{name: "refrigerator", edit: both(filledAt(60, "F"), refrigerated), want: report.NotApplicable},
		{name: "cold pack, which another rule says", edit: both(filledAt(60, "F"), packedAs(document.PackCold)), want: report.NotApplicable},
	})
	try(t, FilledHot(), base("pickled-dilled-okra"), []ruleCase{
		{name: "hot liquid over raw okra, 140 °F", edit: both(filledAt(140, "F"), packedAs(document.PackRaw)), want: report.Pass},
		{name: "135 °F", edit: both(filledAt(135, "F"), packedAs(document.PackRaw)), want: report.Fail, at: at},
	})
	try(t, FilledHot(), base("pickled-asparagus-pints"), []ruleCase{
		{name: "boiling liquid over raw asparagus, 170 °F", edit: filledAt(170, "F"), want: report.Fail, at: at, limit: inF(180)},
	})
	try(t, FilledHot(), base("sauerkraut"), []ruleCase{
		{name: "raw kraut from the crock", edit: both(filledAt(70, "F"), packedAs(document.PackRaw)), want: report.NotApplicable},
		{name: "hot kraut", edit: both(filledAt(70, "F"), packedAs(document.PackHot)), want: report.Fail, at: at},
	})
}

// Carrots stay 1 in below the rim under a headspace of 1/2 in (guide, p. 6-16); where no room for the pieces is printed, the headspace
// holds for them.
func TestSolidsHeadspace(t *testing.T) {
	const place = "/recipe/solids_headspace"
	at := []string{place}
	inches := func(value float64) *report.Amount { return &report.Amount{Value: value, Unit: "in"} }
	fix := func(value float64) []report.Operation {
		return []report.Operation{operation("replace", place, quantityOf(value, "in"))}
	}
	try(t, SolidsHeadspace(), carrots, []ruleCase{
		{name: "1 in", want: report.Pass},
		{name: "more", edit: solids(2, "in"), want: report.Pass},
		{name: "1/16 in less", edit: solids(0.9375, "in"), want: report.Pass},
		{name: "a little over a 1/16 in less", edit: solids(0.936, "in"), want: report.Fail, at: at, fix: fix(1)},
		{
			name: "to the rim", edit: solids(0, "in"), want: report.Fail, at: at, fix: fix(1), measured: inches(0), limit: inches(1),
			says: "Headspace of the pieces: they stay 0 in below the rim where “Pickled carrots” has 1 in. Leave 1 in between the pieces",
		},
		{name: "not said", edit: func(r *document.Request) { r.Recipe.SolidsHeadspace = nil }, want: report.NotApplicable},
		{name: "refrigerator", edit: both(solids(0, "in"), refrigerated), want: report.NotApplicable},
	})
	try(t, SolidsHeadspace(), dills, []ruleCase{
		{name: "as high as the liquid", edit: solids(0.5, "in"), want: report.Pass},
		{name: "above it", edit: solids(0.25, "in"), want: report.Fail, at: at, fix: fix(0.5)},
		{
			name: "a pack that is not printed: the least of those that are", want: report.Pass,
			edit: both(solids(0.5, "in"), packedAs(document.PackCold)),
		},
	})
}

// At 500 ft water boils at about 211 °F.
func TestTemperature(t *testing.T) {
	at := []string{boilAt}
	boils := func(value float64, unit string) func(*document.Request) {
		return func(r *document.Request) { r.Recipe.Process.Temperature = amount(value, unit) }
	}
	method := func(word string) func(*document.Request) {
		return func(r *document.Request) { r.Recipe.Process.Method = word }
	}
	try(t, Temperature(), dills, []ruleCase{
		{name: "not said", want: report.NotApplicable},
		{name: "at the boil", edit: boils(211, "F"), want: report.Pass},
		{name: "1.9 K below", edit: boils(97.6, "C"), want: report.Pass},
		{name: "3 K below", edit: boils(96.4, "C"), want: report.Fail, at: at},
		{
			name: "150 °F", want: report.Fail, at: at, says: "Water of 150 °F does not boil: the recipe calls the process one in boiling water",
			edit: boils(150, "F"),
		},
		{name: "steam of 150 °F", edit: both(boils(150, "F"), method(document.MethodSteam)), want: report.Fail, at: at, says: "one in steam"},
		{name: "180 °F for low temperature", edit: both(boils(180, "F"), method(document.MethodLowTemperature)), want: report.NotApplicable},
		{name: "200 °F nobody knows where", edit: both(boils(200, "F"), anywhere), want: report.Undetermined, at: at, says: "Give the elevation"},
		{name: "211 °F nobody knows where", edit: both(boils(211, "F"), anywhere), want: report.Pass},
		{name: "200 °F at 7,000 ft", edit: both(boils(200, "F"), at500(7000)), want: report.Pass},
		{name: "refrigerator", edit: both(boils(150, "F"), refrigerated), want: report.NotApplicable},
	})
}

func at500(feet float64) func(*document.Request) {
	return func(r *document.Request) { r.Kitchen.Elevation = amount(feet, "ft") }
}

func TestSteamJars(t *testing.T) {
	jars := func(preparation string) func(*document.Request) {
		return func(r *document.Request) {
			r.Recipe.Process.Method, r.Recipe.JarPreparation = document.MethodSteam, preparation
		}
	}
	glass := func(value float64) func(*document.Request) {
		return func(r *document.Request) { r.Recipe.Temperatures = &document.Temperatures{Jar: amount(value, "F")} }
	}
	prepared := []string{"/recipe/jar_preparation"}
	fix := []report.Operation{operation("replace", "/recipe/jar_preparation", document.JarsHot)}
	measured := []string{"/recipe/temperatures/jar"}
	try(t, SteamJars(), dills, []ruleCase{
		{name: "in boiling water", edit: func(r *document.Request) { r.Recipe.JarPreparation = document.JarsClean }, want: report.NotApplicable},
		{name: "hot", edit: jars(document.JarsHot), want: report.Pass},
		{name: "sterilized", edit: jars(document.JarsSterilized), want: report.Pass},
		{name: "only washed", edit: jars(document.JarsClean), want: report.Fail, at: prepared, fix: fix},
		{name: "not said", edit: jars(""), want: report.Undetermined, at: []string{"/recipe"}, says: "does not say whether the jars are hot"},
		{name: "called hot, at 60 °F", edit: both(jars(document.JarsHot), glass(60)), want: report.Fail, at: measured, says: "Jars of 60 °F are cold"},
		{name: "at 140 °F, whatever they are called", edit: both(jars(document.JarsClean), glass(140)), want: report.Pass},
		{name: "at 135 °F", edit: both(jars(document.JarsHot), glass(135)), want: report.Fail, at: measured},
		{
			name: "only the canner is said", want: report.Pass,
			edit: both(jars(document.JarsHot), func(r *document.Request) { r.Recipe.Temperatures = &document.Temperatures{Canner: amount(140, "F")} }),
		},
		{name: "refrigerator", edit: both(jars(document.JarsClean), refrigerated), want: report.NotApplicable},
	})
}

func TestPouredAway(t *testing.T) {
	marked := func(word string) func(*document.Request) {
		return func(r *document.Request) { line(r, word).Drained = new(true) }
	}
	const first = "/recipe/ingredients/0"
	try(t, PouredAway(), dills, []ruleCase{
		{name: "salt and water of the soak", want: report.Pass},
		{name: "nothing marked", want: report.NotApplicable, edit: func(r *document.Request) {
			for i := range r.Recipe.Ingredients {
				r.Recipe.Ingredients[i].Drained = nil
			}
		}},
		{
			name: "cucumbers", edit: marked("cucumber"), want: report.Fail, at: []string{first + "/drained"},
			says: "Cucumber is marked as poured away. Food is never poured away. It counts as in the jar. Take the mark (drained) off",
		},
		{name: "refrigerator", edit: both(marked("cucumber"), refrigerated), want: report.NotApplicable},
	})
}

func packedAs(pack string) func(*document.Request) {
	return func(r *document.Request) { r.Recipe.Pack = pack }
}
