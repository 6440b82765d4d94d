package catalog

import (
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"jarwright/validate/table"
)

func TestStamps(t *testing.T) {
	var names []string
	for _, stamp := range loadTables(t).Stamps() {
		names = append(names, stamp.Name)
		if len(stamp.SHA256) != 64 {
			t.Errorf("%s: %q is no SHA-256", stamp.Name, stamp.SHA256)
		}
	}
	var embedded []string
	err := fs.WalkDir(table.Files(), ".", func(path string, entry fs.DirEntry, err error) error {
		if !entry.IsDir() && path != table.HistoryFile {
			embedded = append(embedded, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(embedded)
	slices.Sort(names)
	if !slices.Equal(names, embedded) {
		t.Errorf("stamps of %q, files are %q", names, embedded)
	}
}

// Only rows of the kinds memory and trade_practice may rest on nothing printed, and they must say so.
func TestRecalledRowsAreMarked(t *testing.T) {
	tables := loadTables(t)
	check := func(what string, citation Citation) {
		if citation.Source == "memory" && citation.Verified != Recalled {
			t.Errorf("%s comes from memory but is marked %q", what, citation.Verified)
		}
		if citation.Source == "practice" && citation.Verified == Read {
			t.Errorf("%s has no source but is marked read", what)
		}
	}
	for _, item := range tables.Items {
		for _, weight := range item.Weights {
			check(item.ID+" by the "+weight.Unit, weight.Citation)
		}
		for _, ph := range item.PH {
			check("pH of "+item.ID, ph.Citation)
		}
	}
	for _, jar := range tables.Jars {
		check("shape of "+jar.ID, jar.Shape)
	}
	for _, limit := range tables.Limits {
		check(limit.ID, limit.Citation)
	}
	for _, change := range tables.Changes {
		check(change.ID, change.Citation)
	}
}

func TestLoadRefusesBrokenTables(t *testing.T) {
	const dill = "u15-freshpack-dill-raw-pint,Quick fresh-pack dill pickles,\"whole, 3- to 5-inch\",raw,pint,0.5,"
	tests := []struct{ name, file, old, new, want string }{
		{"a gap between bands", "schedules_pickled.csv", dill + "0-1000|1001-6000|>6000,10,,15,,20", dill + "0-1000|>6000,10,,,,20", "does not follow on 1000 ft"},
		{
			"overlapping bands", "schedules_pickled.csv", dill + "0-1000|1001-6000|>6000,10,,15,,20", dill + "0-1000|1001-3000|1001-6000|>6000,10,12,15,,20",
			"does not follow on 3000 ft",
		},
		{
			"bands that start above sea level", "schedules_pickled.csv", dill + "0-1000|1001-6000|>6000,10,,15,,20", dill + "1001-6000|>6000,,,15,,20",
			"does not follow on 0 ft",
		},
		{"minutes that fall", "schedules_pickled.csv", dill + "0-1000|1001-6000|>6000,10,,15,,20", dill + "0-1000|1001-6000|>6000,10,,15,,14", "falls below"},
		{"a minute under no band", "schedules_pickled.csv", dill + "0-1000|1001-6000|>6000,10,,15,,20", dill + "0-1000|1001-6000|>6000,10,12,15,,20", "do not agree"},
		{"an unknown band", "schedules_pickled.csv", dill + "0-1000|1001-6000|>6000,10,,15,,20", dill + "0-1000|1001-6000|>6000|>9000,10,,15,,20", "unknown bands"},
		{"a minute in words", "schedules_pickled.csv", dill + "0-1000|1001-6000|>6000,10,", dill + "0-1000|1001-6000|>6000,ten,", "invalid syntax"},
		{"an unknown pack", "schedules_pickled.csv", "5-inch\",raw,pint,0.5", "5-inch\",cold,pint,0.5", "unknown pack"},
		{"an unknown jar", "schedules_pickled.csv", "5-inch\",raw,pint,0.5", "5-inch\",raw,bucket,0.5", "unknown jar id"},
		{"a schedule that stands twice", "schedules_other.csv", "\nu15-applebutter-hot-half-pint,", "\nu15-beets-hot-pint,", "stands twice"},
		{"superseded by nothing", "schedules_pickled.csv", ",uga20-fallrelish-hot-pint,uga-b989", ",uga30-fallrelish-hot-pint,uga-b989", "superseded by the unknown"},
		{"another header", "schedules_pickled.csv", "id,product,form,", "id,form,product,", "header is not"},
		{"an unknown source", "limits.csv", ",usda-2015,", ",usda-1900,", `unknown source "usda-1900"`},
		{"an unknown grade", "limits.csv", ",read\n", ",believed\n", "unknown grade of trust"},
		{"an unknown unit of a limit", "limits.csv", ",180,F,", ",180,degrees,", `unknown unit "degrees"`},
		{"a source of an unknown kind", "sources.csv", ",government,", ",hearsay,", "unknown kind of source"},
		{"an item that stands twice", "items.csv", "\nzucchini,", "\ncucumber,", "stands twice"},
		{"a name of two items", "items.csv", "courgette|", "cornichon|", "stands for cucumber and zucchini"},
		{"an unknown class", "items.csv", ",low_acid,", ",sour,", "unknown class"},
		{"an alias that stands twice", "aliases.csv", "bottled lemon juice,", "lemon juice,", "stands twice"},
		{"an alias of no item", "aliases.csv", ",lemon-juice,yes", ",lemonade,yes", "unknown item"},
		{"an alias neither bottled nor fresh", "aliases.csv", ",lemon-juice,yes", ",lemon-juice,maybe", "neither yes nor no"},
		{"an unknown kind of salt", "aliases.csv", ",canning,", ",desert,", "unknown kind of salt"},
		{"a weight of no item", "weights.csv", "\nzucchini,", "\nmarzipan,", "unknown item"},
		{"a weight by no unit", "weights.csv", ",cup,104", ",mug,104", `unknown unit "mug"`},
		{"a weight of nothing", "weights.csv", ",cup,104,104", ",cup,0,104", "no range of weights"},
		{"a range of weights upside down", "weights.csv", ",cup,104,104", ",cup,104,10", "no range of weights"},
		{"a pH off the scale", "ph.csv", ",5.12,5.78,", ",5.12,57.8,", "no range of pH"},
		{"a jar that counts as none", "jars.csv", ",54,half-pint,", ",54,thimble,", "unknown jar id"},
		{"a name of two jars", "jars.csv", "quarter pint|", "pints|", "stands for two jars"},
		{"a change that is neither safe nor not", "changes.csv", ",no,safety,", ",perhaps,safety,", "neither yes nor no"},
		{"an unknown family", "pressure.csv", ",asparagus,", ",asparagi,", "unknown family"},
		{"a seasoning of no kind", "seasonings.csv", "\nallspice,whole,", "\nallspice,hole,", `unknown kind "hole"`},
		{"a seasoning of no item", "seasonings.csv", "\nallspice,", "\nallspies,", "unknown item"},
		{"a seasoning twice", "seasonings.csv", "\nallspice,", "\nbasil,", "stands twice"},
		{"a seasoning left out", "seasonings.csv", "\nallspice,whole,,,,0.75,memory,composition and density of kitchen goods,recalled,", "", "no row for allspice"},
		{"more than the whole", "seasonings.csv", "honey,sweet,0.17,0.83,", "honey,sweet,0.18,0.83,", "no parts of a whole"},
		{"less than nothing", "seasonings.csv", "honey,sweet,0.17,", "honey,sweet,-0.17,", "no parts of a whole"},
		{"less sugar than none", "seasonings.csv", "honey,sweet,0.17,0.83,", "honey,sweet,0.17,-0.83,", "no parts of a whole"},
		{"less salt than none", "seasonings.csv", "honey,sweet,0.17,0.83,0,", "honey,sweet,0.17,0.83,-1,", "no parts of a whole"},
		{"no density", "seasonings.csv", "honey,sweet,0.17,0.83,0,1.43,", "honey,sweet,0.17,0.83,0,0,", "no density"},
		{"sugar beyond the whole in a spice", "seasonings.csv", "allspice,whole,,,,", "allspice,whole,,2,,", "no parts of a whole"},
		{"a limit of nothing", "seasoning_limits.csv", "whole,14.5,", "whole,0,", "not positive"},
		{"a limit twice", "seasoning_limits.csv", "\nground,", "\nwhole,", "stands twice"},
		{"a figure twice", "seasoning_limits.csv", "\nnoticed,", "\nfactor,", "stands twice"},
		{"a limit nobody reads", "seasoning_limits.csv", "\nground,", "\nbound,", "not known"},
		{"a limit of an unknown recipe", "seasoning_limits.csv", "pickled-jalapeno-rings", "pickled-jalapeno-things", "unknown recipe"},
		{"no other dried vegetable", "seasoning_limits.csv", "dry-other,10,factor,,", "dry-other,10,factor,corn,", "a row is missing"},
		{
			"a limit left out", "seasoning_limits.csv",
			"fresh-herb,4.5,g,,quick-fresh-pack-dill-pickles", "dry-herb,4.5,g,herb,quick-fresh-pack-dill-pickles", "a row is missing",
		},
		{"a line of no item", "tested_recipes.json", `"item": "cucumber"`, `"item": "cucumbre"`, "unknown item"},
		{"a line in no unit", "tested_recipes.json", `"unit": "lb"`, `"unit": "pounds"`, "unknown unit"},
		{"a pack without its time", "tested_recipes.json", `"u15-dill-fermented-raw-pint"`, `"u15-nothing"`, "unknown schedule"},
		{"a member nobody knows", "tested_recipes.json", `"keep": `, `"keeps": `, "unknown object member"},
		{"a variant of nothing", "tested_recipes.json", `"variant_of": "quick-sweet-pickles"`, `"variant_of": "slow-sweet-pickles"`, "variant of the unknown"},
		{"a step of no recipe", "steps.csv", "\nsauerkraut,1,", "\nkraut,1,", "unknown recipe"},
		{"a step out of order", "steps.csv", "\nsauerkraut,1,", "\nsauerkraut,2,", "out of order"},
		{"a step of no kind", "steps.csv", ",3,ferment,", ",3,rot,", "unknown step"},
		{"a step in no unit", "steps.csv", ",3,4,wk,70,75", ",3,4,moons,70,75", "unknown unit"},
		{"a step with a unit and no figure", "steps.csv", ",3,4,wk,70,75", ",,,wk,70,75", "a unit without a figure"},
		{"a step with a figure and no unit", "steps.csv", ",3,4,wk,70,75", ",3,4,,70,75", "a figure without a unit"},
		{"a time of a step upside down", "steps.csv", ",3,4,wk,70,75", ",3,2,wk,70,75", "the range of figures ends"},
		{"a warmth of a step upside down", "steps.csv", ",3,4,wk,70,75", ",3,4,wk,70,65", "the range of temperatures ends"},
		{"a step nowhere", "steps.csv", ",refrigerator,", ",attic,", "unknown place"},
		{"a step for no pack", "steps.csv", ",hot,no,", ",warm,no,", "unknown pack"},
		{"a step that matters for nothing", "steps.csv", ",no,quality,", ",no,luck,", "nothing that a step matters for"},
		{"a step that may pour", "steps.csv", ",no,quality,", ",perhaps,quality,", "neither yes nor no"},
		{"a step of an unknown source", "steps.csv", ",safety,usda-2015,", ",safety,hearsay,", "unknown source"},
		{"a kind of step judged by nothing", "step_kinds.csv", ",act,", ",deed,", "no way to judge a step"},
		{"a kind of step as hot as nothing", "step_kinds.csv", ",act,time,boiling,", ",act,time,glowing,", "is no heat"},
		{"a kind of step without words", "step_kinds.csv", "brine_boil,boiling the brine,", "brine_boil,,", "no words"},
		{"a kind of step compared by nothing", "step_kinds.csv", ",time|place,", ",time|color,", "cannot be compared"},
		{"a kind of step that stands twice", "step_kinds.csv", "\nboil,", "\nblend,", "stands twice"},
		{"a recipe of no source", "tested_recipes.json", `"id": "usda-2015"`, `"id": "hearsay"`, "unknown source"},
		{"a range upside down", "tested_recipes.json", `"amount_max": 5`, `"amount_max": 3`, "ends before it starts"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			broken := fstest.MapFS{}
			names, err := fs.Glob(table.Files(), "*.*")
			if err != nil {
				t.Fatal(err)
			}
			for _, name := range names {
				data, err := fs.ReadFile(table.Files(), name)
				if err != nil {
					t.Fatal(err)
				}
				if name == test.file {
					changed := strings.Replace(string(data), test.old, test.new, 1)
					if changed == string(data) {
						t.Fatalf("%q is not in %s", test.old, name)
					}
					data = []byte(changed)
				}
				broken[name] = &fstest.MapFile{Data: data}
			}
			if _, err := load(broken); err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("error %v, want %q", err, test.want)
			}
		})
	}
}

func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		if _, err := Load(); err != nil {
			b.Fatal(err)
		}
	}
}
