package rules

import (
	"testing"

	"jarwright/validate/document"
	"jarwright/validate/facts"
	"jarwright/validate/report"
)

// saying makes these the steps of a request.
func saying(steps ...document.Step) func(*document.Request) {
	return func(r *document.Request) { r.Recipe.Steps = steps }
}

func taking(step string, value float64, unit string) document.Step {
	return document.Step{Step: step, Time: amount(value, unit)}
}

func without(step string) document.Step { return document.Step{Step: step, Done: new(false)} }

func warm(step string, fahrenheit float64) document.Step {
	return document.Step{Step: step, Temperature: amount(fahrenheit, "F")}
}

func standing(step, place string) document.Step { return document.Step{Step: step, Place: place} }

const (
	firstTime, secondTime = "/recipe/steps/0/time", "/recipe/steps/1/time"
	firstWarmth           = "/recipe/steps/0/temperature"
)

// Bread-and-butter pickles: 3 to 4 hours under ice in the refrigerator, brine boiled 10 minutes, reheated to a boil (guide, p. 6-9).
func TestSteps(t *testing.T) {
	sliced := base("bread-and-butter-pickles")
	try(t, Steps(), sliced, []ruleCase{
		{name: "as printed", want: report.Pass},
		{name: "none said", edit: saying(), want: report.NotApplicable},
		{name: "10 minutes of the brine", edit: saying(taking("brine_boil", 10, "min")), want: report.Pass},
		{name: "the same in hours, rounded", edit: saying(taking("brine_boil", 0.166, "h")), want: report.Pass},
		{
			name: "9.8 minutes", edit: saying(taking("brine_boil", 9.8, "min")), want: report.Fail, at: []string{firstTime},
			fix:      []report.Operation{operation("replace", firstTime, quantityOf(10, "min"))},
			measured: inMinutes(9.8), limit: inMinutes(10),
			says: "9.8 minutes of boiling the brine is less than “Bread-and-butter pickles” has (vinegar, sugar and spices): 10 minutes. " +
				"Take at least 10 minutes for it.",
		},
		{name: "three hours under ice", edit: saying(taking("ice_soak", 3, "h")), want: report.Pass},
		{name: "longer", edit: saying(taking("ice_soak", 9, "h")), want: report.Pass},
		{
			name: "half an hour under ice", edit: saying(taking("ice_soak", 30, "min")), want: report.Fail, at: []string{firstTime},
			fix: []report.Operation{operation("replace", firstTime, quantityOf(3, "h"))},
		},
		{
			name: "a soak by another name of its family", edit: saying(taking("soak", 30, "min")), want: report.Fail, at: []string{firstTime},
			fix: []report.Operation{operation("replace", firstTime, quantityOf(3, "h"))},
		},
		{
			name: "not in the refrigerator", edit: saying(standing("ice_soak", "room")), want: report.Fail, at: []string{"/recipe/steps/0/place"},
			fix:  []report.Operation{operation("replace", "/recipe/steps/0/place", "refrigerator")},
			says: "Standing under ice is not in the refrigerator here; “Bread-and-butter pickles” has it there",
		},
		{name: "in a cellar", edit: saying(standing("ice_soak", "cellar")), want: report.Fail, at: []string{"/recipe/steps/0/place"}, fix: []report.Operation{
			operation("replace", "/recipe/steps/0/place", "refrigerator"),
		}},
		{name: "in the refrigerator", edit: saying(standing("ice_soak", "refrigerator")), want: report.Pass},
		{name: "in a freezer", edit: saying(standing("ice_soak", "freezer")), want: report.Pass},
		{name: "a place where none is printed", edit: saying(standing("brine_boil", "room")), want: report.Pass},
		{
			name: "the brine is not boiled", edit: saying(without("brine_boil")), want: report.Fail, at: []string{"/recipe/steps/0/done"},
			says: "Boiling the brine is left out; “Bread-and-butter pickles” has it (vinegar, sugar and spices).",
		},
		{name: "no time at all", edit: saying(taking("brine_boil", 0, "min")), want: report.Fail, at: []string{firstTime}},
		{name: "done", edit: saying(document.Step{Step: "brine_boil", Done: new(true)}), want: report.Pass},
		{name: "filled cold by another name", edit: saying(without("pour_hot")), want: report.Fail, at: []string{"/recipe/steps/0/done"}},
		{name: "the blossom end, which another rule says", edit: saying(without("trim_blossom")), want: report.Pass},
		{name: "not cured, which matters for taste", edit: saying(without("cure")), want: report.Pass},
		{name: "what the tested recipe does not have", edit: saying(without("lime_soak")), want: report.Pass},
		{name: "a brine of 205 °F, which boils at 211 °F", edit: saying(warm("brine_boil", 205)), want: report.Fail, at: []string{firstWarmth}},
		{name: "a brine of 208 °F, which no thermometer tells from the boil", edit: saying(warm("brine_boil", 208)), want: report.Pass},
		{name: "a boil in a kitchen that is nowhere", edit: both(saying(warm("brine_boil", 205)), anywhere), want: report.Pass},
		{name: "no boil anywhere", edit: both(saying(warm("brine_boil", 170)), anywhere), want: report.Fail, at: []string{firstWarmth}},
		{name: "filled at 180 °F", edit: saying(warm("fill_hot", 180)), want: report.Pass},
		{name: "filled at 175 °F", edit: saying(warm("fill_hot", 175)), want: report.Fail, at: []string{firstWarmth}},
		{
			name: "in the refrigerator, said against", want: report.Fail, at: []string{"/recipe/steps/0/done"},
			edit: both(saying(without("brine_boil")), refrigerated),
		},
		{
			name: "no tested recipe", want: report.NotApplicable,
			edit: func(r *document.Request) {
				*r = untested(more("moon cheese", 1, "lb"))
				r.Recipe.Steps = []document.Step{without("boil")}
			},
		},
	})
	try(t, Steps(), base("pickled-dilled-beans"), []ruleCase{
		{name: "a hot liquid over raw beans at 140 °F", edit: saying(warm("pour_hot", 140)), want: report.Pass},
		{name: "at 135 °F", edit: saying(warm("pour_hot", 135)), want: report.Fail, at: []string{firstWarmth}},
		{
			name: "jars not sterilized for 5 minutes", want: report.Fail, at: []string{"/recipe/steps/0/done"},
			edit: both(saying(without("sterile_jars")), func(r *document.Request) { r.Recipe.Process.Time = amount(5, "min") }),
		},
		{
			name: "jars not sterilized for 10 minutes, which do it", want: report.Pass,
			edit: both(saying(without("sterile_jars")), func(r *document.Request) { r.Recipe.Process.Time = amount(10, "min") }),
		},
		{
			name: "nor for a time that is not said", want: report.Fail, at: []string{"/recipe/steps/0/done"},
			edit: both(saying(without("sterile_jars")), func(r *document.Request) { r.Recipe.Process.Time = nil }),
		},
	})
	try(t, Steps(), base("quick-sweet-pickles"), []ruleCase{
		{name: "sterile jars, printed for another pack", edit: both(saying(without("sterile_jars")), func(r *document.Request) {
			r.Recipe.Pack, r.Recipe.Process.Time = document.PackRaw, amount(5, "min")
		}), want: report.Pass},
	})
	try(t, Steps(), base("mango-sauce"), []ruleCase{
		{name: "heated to 200 °F", edit: saying(warm("heat_to", 200)), want: report.Pass},
		{name: "heated to 190 °F", edit: saying(warm("heat_to", 190)), want: report.Fail, at: []string{firstWarmth}},
	})
	try(t, Steps(), base("fourteen-day-sweet-pickles"), []ruleCase{
		{name: "two days in brine", edit: saying(taking("soak", 2, "d")), want: report.Pass},
		{name: "one day in brine", edit: saying(taking("soak", 1, "d")), want: report.Fail, at: []string{firstTime}, fix: []report.Operation{
			operation("replace", firstTime, quantityOf(2, "d")),
		}},
		{name: "a week in all", edit: saying(taking("wait", 7, "d")), want: report.Fail, at: []string{firstTime}, fix: []report.Operation{
			operation("replace", firstTime, quantityOf(14, "d")),
		}},
	})
}

// Salsa of paste tomatoes simmers 10 and then 20 minutes; slaw of chayote boils 5 minutes and then just to the boil.
func TestStepsInOrder(t *testing.T) {
	fix := func(at string, minutes float64) []report.Operation {
		return []report.Operation{operation("replace", at, quantityOf(minutes, "min"))}
	}
	try(t, Steps(), salsa, []ruleCase{
		{name: "both", edit: saying(taking("simmer", 10, "min"), taking("simmer", 20, "min")), want: report.Pass},
		{name: "the first", edit: saying(taking("simmer", 10, "min")), want: report.Pass},
		{name: "the second", edit: saying(taking("simmer", 20, "min")), want: report.Pass},
		{name: "neither", edit: saying(taking("simmer", 9, "min")), want: report.Fail, at: []string{firstTime}, fix: fix(firstTime, 10)},
		{
			name: "the second too short", want: report.Fail, at: []string{secondTime}, fix: fix(secondTime, 20),
			edit: saying(taking("simmer", 10, "min"), taking("simmer", 10, "min")),
		},
		{
			name: "one more than printed", want: report.Pass,
			edit: saying(taking("simmer", 5, "min"), taking("simmer", 10, "min"), taking("simmer", 20, "min")),
		},
		{
			name: "one more than printed, none long enough", want: report.Fail, at: []string{secondTime}, fix: fix(secondTime, 20),
			edit: saying(taking("simmer", 10, "min"), taking("simmer", 12, "min"), taking("simmer", 5, "min")),
		},
	})
	try(t, Steps(), base("chayote-and-jicama-slaw"), []ruleCase{
		{name: "both", edit: saying(taking("boil", 5, "min"), document.Step{Step: "boil"}), want: report.Pass},
		{name: "both, the second with a time", edit: saying(taking("boil", 5, "min"), taking("boil", 1, "min")), want: report.Pass},
		{
			name: "the first too short", want: report.Fail, at: []string{firstTime}, fix: fix(firstTime, 5),
			edit: saying(taking("boil", 2, "min"), document.Step{Step: "boil"}),
		},
		{name: "one too short", edit: saying(taking("boil", 2, "min")), want: report.Fail, at: []string{firstTime}, fix: fix(firstTime, 5)},
		{name: "one without a time", edit: saying(document.Step{Step: "boil"}), want: report.Pass},
	})
}

func TestStepsForQuality(t *testing.T) {
	at := []string{"/recipe/steps/0/done"}
	try(t, StepsForQuality(), base("pickled-hot-peppers"), []ruleCase{
		{name: "as printed", want: report.Pass},
		{name: "none said", edit: saying(), want: report.NotApplicable},
		{name: "skins not blistered", edit: saying(without("blister")), want: report.Fail, at: at, says: "Blistering the skins is left out"},
		{name: "the brine not boiled, which another rule says", edit: saying(without("brine_boil")), want: report.Pass},
	})
}

func TestStepsNotCompared(t *testing.T) {
	at := []string{"/recipe/steps/0"}
	try(t, StepsNotCompared(), base("bread-and-butter-pickles"), []ruleCase{
		{name: "as printed", want: report.Pass},
		{name: "none said", edit: saying(), want: report.NotApplicable},
		{name: "not a step of the tested recipe", edit: saying(without("puree")), want: report.Fail, at: at, says: "does not have this step: making a puree"},
		{name: "no act", edit: saying(document.Step{Step: "forbidden"}), want: report.Fail, at: at, says: "Nothing is compared with what the recipe forbids"},
		{
			name: "a place where none is printed", want: report.Fail, at: at, says: "nothing of the place of this step",
			edit: saying(standing("brine_boil", "room")),
		},
		{name: "a place where one is", edit: saying(standing("ice_soak", "refrigerator")), want: report.Pass},
		{name: "a temperature of a soak", edit: saying(warm("ice_soak", 34)), want: report.Fail, at: at, says: "nothing of the temperature of this step"},
		{name: "a temperature of a boil", edit: saying(warm("brine_boil", 212)), want: report.Pass},
		{name: "a time where none is printed", edit: saying(taking("boil", 3, "min")), want: report.Fail, at: at, says: "nothing of the time of this step"},
		{
			name: "all three", want: report.Fail, at: at, says: "nothing of the time, temperature and place of this step",
			edit: saying(document.Step{Step: "trim_blossom", Time: amount(1, "min"), Temperature: amount(40, "F"), Place: "room"}),
		},
		{
			name: "no tested recipe", want: report.Fail, at: at, says: "No tested recipe was found to compare boiling with.",
			edit: func(r *document.Request) {
				*r = untested(more("moon cheese", 1, "lb"))
				r.Recipe.Steps = []document.Step{without("boil")}
			},
		},
		{name: "a name that nobody knows", edit: saying(document.Step{Step: "juggle"}), want: report.Fail, at: at, says: "Nothing is compared with juggle"},
	})
	try(t, StepsNotCompared(), ferment, []ruleCase{
		{name: "a ferment with all three", edit: saying(fermenting(4, "wk", 72, "F", "cellar")), want: report.Pass},
	})
}

// fermenting is a ferment of so long and so warm somewhere.
func fermenting(value float64, unit string, degrees float64, scale, place string) document.Step {
	return document.Step{Step: "ferment", Time: amount(value, unit), Temperature: amount(degrees, scale), Place: place}
}

// Dills ferment 3 to 4 weeks at 70 to 75 °F or 5 to 6 at 55 to 65 °F, never above 80 °F (guide, p. 6-7); kraut the same at 60 to 65
// °F and no warmer than 75 °F (p. 6-8).
func TestStepsOfFerments(t *testing.T) {
	const first = "/recipe/steps/0"
	long := func(value float64, unit string, degrees float64, scale string) func(*document.Request) {
		return saying(fermenting(value, unit, degrees, scale, ""))
	}
	inWeeks := func(value float64) *report.Amount { return &report.Amount{Value: value, Unit: "wk"} }
	inF := func(value float64) *report.Amount { return &report.Amount{Value: value, Unit: "F"} }
	try(t, Steps(), ferment, []ruleCase{
		{name: "as printed", want: report.Pass},
		{
			name: "not said", edit: saying(), want: report.Undetermined, at: []string{"/recipe"},
			says: "does not say how long and how warm it fermented. “Dill pickles, fermented” ferments 3 to 4 weeks at 70 to 75 °F (21 to 24 °C), " +
				"or 5 to 6 weeks at 55 to 65 °F (13 to 18 °C) before it is canned. Say how long yours fermented",
		},
		{name: "not said, in the refrigerator", edit: both(saying(), refrigerated), want: report.NotApplicable},
		{name: "other steps said", edit: saying(document.Step{Step: "brine_boil"}), want: report.Undetermined, at: []string{"/recipe"}},
		{
			name: "how long not said", want: report.Undetermined, at: []string{"/recipe"}, says: "not say both how long and how warm",
			edit: saying(warm("ferment", 72)),
		},
		{name: "how warm not said", edit: saying(taking("ferment", 6, "wk")), want: report.Undetermined, at: []string{"/recipe"}},
		{name: "how warm not said, and too short anyhow", edit: saying(taking("ferment", 2, "wk")), want: report.Fail, at: []string{first + "/time"}},
		{
			name: "in two statements, neither whole", want: report.Undetermined, at: []string{"/recipe"},
			edit: saying(warm("ferment", 72), taking("ferment", 4, "wk")),
		},
		{name: "three weeks at 70 °F", edit: long(3, "wk", 70, "F"), want: report.Pass},
		{name: "21 days at 21 °C, which is 69.8 °F", edit: long(21, "d", 21, "C"), want: report.Pass},
		{name: "20.8 days", edit: long(20.8, "d", 72, "F"), want: report.Pass},
		{
			name: "20.7 days", edit: long(20.7, "d", 72, "F"), want: report.Fail, at: []string{first + "/time"},
			says: "20.7 days of fermenting is too short: “Dill pickles, fermented” ferments 3 to 4 weeks",
		},
		{
			name: "three weeks at 68 °F", edit: long(3, "wk", 68, "F"), want: report.Fail, at: []string{first + "/time"},
			measured: inWeeks(3), limit: inWeeks(5),
		},
		{name: "five weeks at 68 °F", edit: long(5, "wk", 68, "F"), want: report.Pass},
		{name: "five weeks at 55 °F", edit: long(5, "wk", 55, "F"), want: report.Pass},
		{name: "13 °C, which is 55.4 °F", edit: long(5, "wk", 13, "C"), want: report.Pass},
		{
			name: "six weeks at 54 °F", edit: long(6, "wk", 54, "F"), want: report.Fail, at: []string{first + "/temperature"},
			measured: inF(54), limit: inF(55), says: "54 °F is colder than “Dill pickles, fermented” ferments",
		},
		{name: "80 °F", edit: long(3, "wk", 80, "F"), want: report.Pass},
		{
			name: "81 °F", edit: long(3, "wk", 81, "F"), want: report.Fail, at: []string{first + "/temperature"}, measured: inF(81), limit: inF(80),
			says: "81 °F is warmer than",
		},
		{name: "in a cellar", edit: saying(fermenting(6, "wk", 60, "F", "cellar")), want: report.Pass},
		{
			name: "in the refrigerator", edit: saying(fermenting(6, "wk", 60, "F", "refrigerator")), want: report.Fail, at: []string{first + "/place"},
			says: "In a refrigerator it does not ferment",
		},
		{name: "in a freezer", edit: saying(fermenting(6, "wk", 60, "F", "freezer")), want: report.Fail, at: []string{first + "/place"}},
		{
			name: "left out", want: report.Fail, at: []string{first + "/done"}, says: "It did not ferment. Nothing else makes it acid.",
			edit: saying(without("ferment")),
		},
		{name: "for no time", edit: saying(taking("ferment", 0, "d")), want: report.Fail, at: []string{first + "/time"}},
		{
			name: "long and short", want: report.Fail, at: []string{"/recipe/steps/1/time"},
			edit: saying(fermenting(4, "wk", 72, "F", ""), fermenting(3, "d", 72, "F", "")),
		},
		{name: "not fermented, in words", edit: form("whole, 4 in, not fermented"), want: report.Fail, at: []string{"/recipe/ingredients/0/form"}},
		{
			name: "a line that is not used", want: report.Pass,
			edit: func(r *document.Request) {
				l := more("dill seed", 0, "tbsp")
				l.Form = "unfermented"
				add(r, l)
			},
		},
	})
	try(t, Steps(), base("sauerkraut"), []ruleCase{
		{name: "24 °C, which is 75.2 °F", edit: long(3, "wk", 24, "C"), want: report.Pass},
		{name: "78 °F", edit: long(3, "wk", 78, "F"), want: report.Fail, at: []string{first + "/temperature"}},
		{name: "58 °F", edit: long(6, "wk", 58, "F"), want: report.Fail, at: []string{first + "/temperature"}},
		{
			name: "a ferment without printed conditions", edit: long(3, "wk", 72, "F"), want: report.Undetermined, at: []string{"/recipe"},
			facts: func(f *facts.Facts) {
				bare := *f.Match.Recipe
				bare.Steps = nil
				f.Match.Recipe = &bare
			},
		},
	})
	try(t, Steps(), dills, []ruleCase{
		{
			name: "called fermented, and not", want: report.Fail, at: []string{"/recipe/ingredients/0/form"}, says: "Let it ferment as a tested recipe says.",
			edit: both(form("whole, 3 to 5 in, unfermented"), func(r *document.Request) {
				r.Recipe.Kind, r.Recipe.Follows, r.Recipe.Steps = document.KindFermented, "quick-fresh-pack-dill-pickles", nil
			}),
		},
		{name: "no ferment at all", edit: both(saying(), form("whole, 3 to 5 in, unfermented")), want: report.NotApplicable},
	})
}

func TestBlossomEndBySteps(t *testing.T) {
	try(t, BlossomEnd(), dills, []ruleCase{
		{name: "cut off", edit: saying(document.Step{Step: "trim_blossom"}), want: report.Pass},
		{
			name: "left on", want: report.Fail, at: []string{"/recipe/steps/0/done"}, says: "The blossom end stays on the cucumbers.",
			edit: saying(without("trim_blossom")),
		},
		{name: "another step left out", edit: saying(without("brine_boil")), want: report.Pass},
	})
	if BlossomEnd().Severity != report.Warning {
		t.Error("softness is no reason to withhold the shelf")
	}
}
