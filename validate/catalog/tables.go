package catalog

import (
	"fmt"
	"slices"

	"jarwright/validate/measure"
	"jarwright/validate/table"
)

// Tables holds every published figure, loaded and checked. It is never changed after Load; callers must not change
// what its slices hold.
type Tables struct {
	Sources   []Source
	Items     []Item
	Jars      []Jar
	Schedules []Schedule
	Recipes   []TestedRecipe
	Changes   []Change
	Pressure  []PressureProcess
	Limits    []Limit
	Rulesets  []Ruleset  // oldest first, never empty
	StepKinds []StepKind // the names of steps

	Substitutions []Substitution
	Conditions    []Condition
	Allowances    []Allowance
	Likeness      Likeness
	Seasoned      SeasoningLimits

	stamps    []table.Stamp
	sources   map[string]int
	items     map[string]int
	names     map[string]resolution // key of Fold
	jars      map[string]int        // ids and aliases, key of Fold
	schedules map[string]int
	recipes   map[string]int
	changes   map[string]int
	limits    map[string]int
	stepKinds map[string]int

	nearItems   nearNames
	nearJars    nearNames
	nearRecipes nearNames

	changeSubjects map[string]string // subjects and groups of change_subjects.csv, with what each is
	changesOn      map[Topic][]string
	tolerances     map[Tolerance]Allowance
	fresh          map[int]freshTwin    // by the place of the spice among the items
	seasonings     map[string]Flavoring // by item id
}

// Stamps lists the data files in the order of their names.
func (t *Tables) Stamps() []table.Stamp { return slices.Clone(t.stamps) }

// Source finds a document of the bibliography by id.
func (t *Tables) Source(id string) (*Source, bool) { return find(t.Sources, t.sources, id) }

// Item finds a food or ingredient by its id alone; Resolve also takes the names people write.
func (t *Tables) Item(id string) (*Item, bool) { return find(t.Items, t.items, id) }

// Schedule finds a row of the time tables by id.
func (t *Tables) Schedule(id string) (*Schedule, bool) { return find(t.Schedules, t.schedules, id) }

// Recipe finds a tested recipe by id.
func (t *Tables) Recipe(id string) (*TestedRecipe, bool) { return find(t.Recipes, t.recipes, id) }

// Change finds a published change by id.
func (t *Tables) Change(id string) (*Change, bool) { return find(t.Changes, t.changes, id) }

// Limit finds a published bound by id.
func (t *Tables) Limit(id string) (Limit, bool) {
	limit, found := find(t.Limits, t.limits, id)
	if !found {
		return Limit{}, false
	}
	return *limit, true
}

// MustLimit is Limit for ids written in the code. It panics when the table lacks the id, which is a fault of the
// program and not of its input.
func (t *Tables) MustLimit(id string) Limit {
	limit, found := t.Limit(id)
	if !found {
		panic(fmt.Sprintf("limits.csv has no row %q", id))
	}
	return limit
}

func find[T any](all []T, index map[string]int, id string) (*T, bool) {
	i, found := index[id]
	if !found {
		return nil, false
	}
	return &all[i], true
}

// SearchPressure lists the pressure-canner processes published for a food of the same family as the named one, in the
// order of the table. It is empty when none is published or the name is not known.
func (t *Tables) SearchPressure(name string) []PressureProcess {
	resolved, known := t.Resolve(name)
	if !known {
		return nil
	}
	var processes []PressureProcess
	for _, process := range t.Pressure {
		if slices.Contains(process.Families, resolved.Item.Family) {
			processes = append(processes, process)
		}
	}
	return processes
}

// Band finds the elevation band that holds for a kitchen. The upper end of a band is inclusive: exactly 1,000 ft is the
// lower band, 1,000.5 ft the next; what conversion from meters adds is forgiven. Places below sea level take the lowest
// band. It reports false when the row has no bands, or when its printed bands end below the elevation.
func (s Schedule) Band(elevation measure.Length) (Band, bool) {
	feet := elevation.Feet()
	for _, band := range s.Bands {
		if band.ToFt == 0 || feet <= band.ToFt*(1+s.elevationTolerance) {
			return band, true
		}
	}
	return Band{}, false
}

// AddCitation adds a citation that is not there yet.
func AddCitation(citations []Citation, c Citation) []Citation {
	if slices.Contains(citations, c) {
		return citations
	}
	return append(citations, c)
}

// Cite is where a figure of a table comes from.
func Cite(f table.Figure) Citation {
	return Citation{Source: f.Source, Locator: f.Locator, Verified: Verified(f.Verified)}
}

// Guide cites a page of the Complete Guide to Home Canning, read in a copy.
func Guide(locator string) Citation {
	return Citation{Source: "usda-2015", Locator: locator, Verified: Read}
}
