package catalog

import (
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"jarwright/validate/table"
)

// loadWith loads the tables with one text replaced in one of them.
func loadWith(t *testing.T, file, old, replacement string) (*Tables, error) {
	t.Helper()
	changed := fstest.MapFS{}
	stamps, err := table.Stamps(table.Files())
	if err != nil {
		t.Fatal(err)
	}
	for _, stamp := range stamps {
		data, err := fs.ReadFile(table.Files(), stamp.Name)
		if err != nil {
			t.Fatal(err)
		}
		changed[stamp.Name] = &fstest.MapFile{Data: data}
	}
	history, err := fs.ReadFile(table.Files(), table.HistoryFile)
	if err != nil {
		t.Fatal(err)
	}
	changed[table.HistoryFile] = &fstest.MapFile{Data: history}
	before := string(changed[file].Data)
	after := strings.Replace(before, old, replacement, 1)
	if after == before {
		t.Fatalf("%q is not in %s", old, file)
	}
	changed[file].Data = []byte(after)
	return LoadFrom(changed)
}

// A row that names an id which does not exist keeps the program from starting.
func TestLoadRefusesUnknownNames(t *testing.T) {
	for _, test := range []struct{ name, file, old, new, want string }{
		{"an action of a change", "changes.csv", ",decrease,acid,", ",lessen,acid,", `unknown action "lessen"`},
		{"a target of a change", "changes.csv", ",decrease,acid,", ",decrease,sourness,", `unknown thing "sourness"`},
		{"a replacement of a change", "changes.csv", ",replace,jar,jar-larger,", ",replace,jar,jar-wider,", `unknown thing "jar-wider"`},
		{"no replacement", "changes.csv", ",replace,jar,jar-larger,", ",replace,jar,,", "has a target, and what is replaced a replacement"},
		{"no target", "changes.csv", ",decrease,acid,,", ",decrease,,,", "has a target"},
		{"a tag of a change", "changes.csv", ",tag:mixed-heat-peppers,", ",tag:mixed-heat-pepper,", `no tested recipe is of "tag:mixed-heat-pepper"`},
		{"a recipe for a group", "changes.csv", ",tag:mixed-heat-peppers,", ",marinated-peppers,", `no tested recipe is of "marinated-peppers"`},
		{"a kind of a change", "changes.csv", ",kind:fermented,", ",kind:sour,", `no tested recipe is of "kind:sour"`},
		{"a canner of a change", "changes.csv", ",canner:pressure_only,", ",canner:pressure,", `no tested recipe is of "canner:pressure"`},
		{"a pack of a change", "changes.csv", ",pack:sterile-jars,", ",pack:sterile,", `no tested recipe is of "pack:sterile"`},
		{"another group of a change", "changes.csv", ",other:jam-and-jelly,", ",other:jams,", `no tested recipe is of "other:jams"`},
		{"a change that applies to nothing", "changes.csv", ",tag:mixed-heat-peppers,", ",,", "applies to nothing"},
		{"a matter of a change", "changes.csv", ",no,safety,", ",no,luck,", `unknown matter "luck"`},
		{"a topic without a change", "changes.csv", ",add,grape-leaf,", ",omit,grape-leaf,", `no change is on the topic "add grape-leaf"`},
		{"a change that stands twice", "changes.csv", "\nc002,", "\nc001,", "stands twice"},
		{"a subject that stands twice", "change_subjects.csv", "\nbatch-of-jam,", "\nbatch,", "stands twice"},
		{"a kind of subject", "change_subjects.csv", "\nbatch,subject,", "\nbatch,topic,", `unknown kind "topic"`},

		{
			"a tag of a substitution", "substitutions.csv", "salsa-peppers,tag:salsa-guide-3,", "salsa-peppers,tag:salsa-guide-4,",
			`no tested recipe is of "tag:salsa-guide-4"`,
		},
		{"an exception of a substitution", "substitutions.csv", ",all,tag:salsa-guide-3;tag:mixed-heat-peppers,", ",all,tag:mild,", `no tested recipe is of "tag:mild"`},
		{"a role of a substitution", "substitutions.csv", ",low_acid,family:onion,", ",vegetable,family:onion,", `role "vegetable" is not compared`},
		{"no role", "substitutions.csv", ",low_acid,family:onion,", ",,family:onion,", "has no role"},
		{"a family of a substitution", "substitutions.csv", "family:onion,family:onion,", "family:allium,family:onion,", `unknown food "family:allium"`},
		{"an item of a substitution", "substitutions.csv", "item:lemon-juice,", "item:lemonade,", `unknown food "item:lemonade"`},
		{"a food that is neither", "substitutions.csv", "item:lemon-juice,", "lemon-juice,", `unknown food "lemon-juice"`},
		{"no food", "substitutions.csv", "item:lemon-juice,", ",", "names no food"},
		{"a basis of a substitution", "substitutions.csv", ",volume,,safe,", ",weight,,safe,", `not compared on the basis "weight"`},
		{"a total without a name", "substitutions.csv", ",total,onions,", ",total,,", "a total has a name"},
		{"a verdict of a substitution", "substitutions.csv", ",onions,safe,", ",onions,fine,", `unknown verdict "fine"`},
		{"a change of a substitution", "substitutions.csv", ",safe,c034,", ",safe,c934,", `unknown change "c934"`},
		{"no change", "substitutions.csv", ",safe,c034,", ",safe,,", "rests on no change"},
		{"a source of a substitution", "substitutions.csv", ",c034,usda-2015,", ",c034,usda-1900,", `unknown source "usda-1900"`},
		{"a substitution that stands twice", "substitutions.csv", "\nsalsa-onions,", "\nsalsa-peppers,", "stands twice"},

		{"a family of a condition", "conditions.csv", ",family:mango,", ",family:mangoes,", `unknown food "family:mangoes"`},
		{"a change of a condition", "conditions.csv", ",c044,", ",c944,", `unknown change "c944"`},
		{"a verdict of a condition", "conditions.csv", ",unsafe,c044,", ",bad,c044,", `unknown verdict "bad"`},
		{"a condition without words", "conditions.csv", ",drained,", ",,", "needs words"},
		{"a condition that stands twice", "conditions.csv", "\nripe-peaches,", "\nripe-mangoes,", "stands twice"},

		{"a tolerance that no rule reads", "tolerances.csv", "\ndepth,", "\nwidth,", `id "width" stands twice or no rule reads it`},
		{"a tolerance that stands twice", "tolerances.csv", "\ndepth,", "\nratio,", `id "ratio" stands twice`},
		{"a tolerance that is missing", "tolerances.csv", "\nelevation,1e-09,fraction,an elevation converted from another unit,304.8 m is 1000 ft although the " +
			"quotient of the two numbers in the machine is not,practice,,derived", "", `no row "elevation"`},
		{"a unit of a tolerance", "tolerances.csv", ",0.0625,in,", ",0.0625,barleycorn,", `unknown unit "barleycorn"`},
		{"a tolerance of nothing", "tolerances.csv", "\ndepth,0.02,", "\ndepth,0,", "positive value"},
		{"a source of a tolerance", "tolerances.csv", ",practice,,derived", ",habit,,derived", `unknown source "habit"`},

		{"a weight of likeness", "likeness.csv", "\nclear,", "\nclearly,", `weight "clearly" is not known`},
		{"a weight that stands twice", "likeness.csv", "\nclear,", "\nleast,", `weight "least" is not known, stands twice`},
		{"a weight that is missing", "likeness.csv", "\nunknown-grams,100,weight in grams that stands for an amount left out,practice,they order the tested " +
			"recipes and decide nothing about safety,derived", "", `no row "unknown-grams"`},
		{"a weight of nothing", "likeness.csv", "\nclear,0.75,", "\nclear,0,", "not positive"},
		{"an item of a tested recipe", "tested_recipes.json", `{"item": "cucumber",`, `{"item": "cucumbre",`, `unknown item "cucumbre"`},
		{"a schedule of a tested recipe", "tested_recipes.json", `"schedules": ["`, `"schedules": ["no-`, "unknown schedule"},
	} {
		t.Run(test.name, func(t *testing.T) {
			if _, err := loadWith(t, test.file, test.old, test.new); err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("error %v, want %q", err, test.want)
			}
		})
	}
}

// Every subject and group is spoken of by a change, and every topic by a change that says what the constant is named for.
func TestChangeSubjectsAreUsed(t *testing.T) {
	tables := loadTables(t)
	for id, kind := range tables.changeSubjects {
		used := slices.ContainsFunc(tables.Changes, func(c Change) bool {
			return slices.Contains(c.Target, id) || slices.Contains(c.Replacement, id) || kind == "group" && slices.Contains(c.AppliesTo, "other:"+id)
		})
		if !used {
			t.Errorf("no change speaks of %s", id)
		}
	}
}

func TestChangesOnTopics(t *testing.T) {
	tables := loadTables(t)
	for _, test := range []struct {
		topics []Topic
		want   []string
	}{
		{[]Topic{LessAcid}, []string{"c013"}},
		{[]Topic{MoreLowAcidFood, AnotherLowAcidFood}, []string{"c026", "c038"}},
		{[]Topic{ShorterProcess}, []string{"c093", "c094"}},
		{[]Topic{LessSalt}, []string{"c062", "c063", "c117"}},
		{[]Topic{LessSaltInFerment}, []string{"c064"}},
		{[]Topic{"sing to the jars"}, nil},
	} {
		if got := tables.ChangesOn(test.topics...); !slices.Equal(got, test.want) {
			t.Errorf("changes on %q: %q, want %q", test.topics, got, test.want)
		}
	}
	for _, topic := range Topics() {
		for _, id := range tables.ChangesOn(topic) {
			if change, found := tables.Change(id); !found || change.Topic() != topic {
				t.Errorf("%s is on %q, not on %q", id, change.Topic(), topic)
			}
		}
	}
}

func TestForbidsAndIsTarget(t *testing.T) {
	tables := loadTables(t)
	salsa, _ := tables.Recipe("chile-salsa")
	beans, _ := tables.Recipe("pickled-dilled-beans")
	if !tables.Forbids(MoreFreshHerb, salsa) {
		t.Error("more fresh herbs are not forbidden in a salsa of Guide 3")
	}
	if tables.Forbids(MoreFreshHerb, beans) {
		t.Error("more fresh herbs are forbidden in dilled beans, of which the guide says nothing")
	}
	if tables.Forbids(SmallerJar, salsa) {
		t.Error("a change that is safe forbids")
	}
	onion, _ := tables.Item("onion")
	shallot := &Item{ID: "x", Family: "onion"}
	celery, _ := tables.Item("celery")
	for _, test := range []struct {
		topic Topic
		item  *Item
		want  bool
	}{
		{MoreOnionsOrPeppers, onion, true},
		{MoreOnionsOrPeppers, shallot, true},
		{MoreOnionsOrPeppers, celery, false},
		{MoreLowAcidFood, celery, true}, // by its class
	} {
		if got := tables.IsTarget(test.topic, test.item); got != test.want {
			t.Errorf("%s is target of %q: %v, want %v", test.item.ID, test.topic, got, test.want)
		}
	}
}

func TestRecipesOfAGroup(t *testing.T) {
	recipe := TestedRecipe{
		ID: "x", Kind: "brined", Canner: "boiling_water", Tags: []string{"pepper"},
		Packs: []TestedPack{{SterileJars: true}, {}},
	}
	for scope, want := range map[string]bool{
		"all": true, "kind:brined": true, "kind:relish": false, "tag:pepper": true, "tag:peppers": false,
		"canner:boiling_water": true, "canner:none": false, "pack:sterile-jars": true, "pack:low-temperature": false,
		"x": false, "other:jam-and-jelly": false, "": false,
	} {
		if got := recipe.In(scope); got != want {
			t.Errorf("the recipe is in %q: %v, want %v", scope, got, want)
		}
	}
}

// The ids of the recipes in the groups of a change are there for clients of /v1/changes.
func TestRecipesOfChanges(t *testing.T) {
	tables := loadTables(t)
	for id, want := range map[string][]string{
		"c037": {"choice-salsa"},
		"c036": {"marinated-peppers", "marinated-peppers-hot-style", "marinated-peppers-medium-style", "marinated-peppers-mild-style"},
		"c018": {"figs-acidified", "asian-pears-acidified"},
		"c013": nil,
		"c076": nil,
	} {
		if change, _ := tables.Change(id); !slices.Equal(change.Recipes, want) {
			t.Errorf("%s is for %q, want %q", id, change.Recipes, want)
		}
	}
}

// The figures of tolerances.csv in SI units: 1/16 in is 1.5875 mm, a kelvin a kelvin.
func TestTolerancesInSI(t *testing.T) {
	tables := loadTables(t)
	for id, want := range map[Tolerance]float64{
		HeadspaceTolerance: 0.0015875, FitTolerance: 0.0015, ThermometerTolerance: 2, RatioTolerance: 0.02,
		TimeTolerance: 0.001,
	} {
		if got := tables.Tolerance(id); got < want*(1-1e-12) || got > want*(1+1e-12) {
			t.Errorf("%s is %v, want %v", id, got, want)
		}
	}
	if len(tables.Allowances) != len(Tolerances()) {
		t.Errorf("%d rows for %d tolerances", len(tables.Allowances), len(Tolerances()))
	}
	defer func() {
		if recover() == nil {
			t.Error("a tolerance that no table has does not panic")
		}
	}()
	tables.Tolerance("no-such-tolerance")
}
