package handlers

import (
	"fmt"
	"slices"

	"github.com/labstack/echo/v4"

	"jarwright/validate"
	"jarwright/validate/altitude"
	"jarwright/validate/catalog"
	"jarwright/validate/measure"
	"jarwright/validate/report"
	"jarwright/validate/rules"
)

// Catalog is everything that reports refer to by id, in the order in which it is listed.
type Catalog struct {
	Items     []catalog.Item
	Jars      []catalog.Jar
	Units     []measure.Unit
	Schedules []catalog.Schedule
	Recipes   []catalog.TestedRecipe
	Changes   []catalog.Change
	Rules     []Rule
	Sources   []catalog.Source
	Rulesets  []catalog.Ruleset // newest first
	Altitude  *altitude.Lookup  // what an elevation changes
}

// Rule is what the catalog says of one rule.
type Rule struct {
	ID       string             `json:"id"`
	Title    string             `json:"title"`
	Severity report.Severity    `json:"severity"`
	Hazard   report.Hazard      `json:"hazard"`
	Since    string             `json:"since"` // the rule set that first had it
	About    string             `json:"about"`
	Remedy   string             `json:"remedy"`
	Sources  []catalog.Citation `json:"sources"`
}

// Rules describes rules, in their order.
func Rules(all []rules.Rule) []Rule {
	described := make([]Rule, len(all))
	for i, each := range all {
		described[i] = Rule{
			ID: each.ID, Title: each.Title, Severity: each.Severity, Hazard: each.Hazard, Since: each.Since,
			About: each.About, Remedy: each.Remedy, Sources: append([]catalog.Citation{}, each.Sources...),
		}
	}
	return described
}

// NewCatalog gathers the tables and rules that a checker judges by.
func NewCatalog(checker *validate.Checker) Catalog {
	tables := checker.Tables()
	return Catalog{
		Items:     tables.Items,
		Jars:      tables.Jars,
		Units:     checker.Units().All(),
		Schedules: tables.Schedules,
		Recipes:   tables.Recipes,
		Changes:   tables.Changes,
		Rules:     Rules(checker.Rules()),
		Sources:   tables.Sources,
		Rulesets:  newestFirst(tables.Rulesets),
		Altitude:  altitude.NewLookup(tables, checker.Units()),
	}
}

// collection is one table of the catalog with its answers ready.
type collection struct {
	name          string // path segment below /v1
	noun          string // one row, in words
	listOperation string
	getOperation  string
	ids           []string // in the order of the list
	list          *asset
	rows          map[string]*asset
}

// newCollections readies every table of the catalog.
func newCollections(lists Catalog) ([]*collection, error) {
	var foods, ingredients []catalog.Item
	for _, item := range lists.Items {
		if isFood(item.Class) {
			foods = append(foods, item)
		} else {
			ingredients = append(ingredients, item)
		}
	}
	itemID := func(item catalog.Item) string { return item.ID }
	return gathered(
		prepare("foods", "food", "listFoods", "getFood", foods, itemID),
		prepare("ingredients", "ingredient", "listIngredients", "getIngredient", ingredients, itemID),
		prepare("jars", "jar", "listJars", "getJar", lists.Jars, func(j catalog.Jar) string { return j.ID }),
		prepare("units", "unit", "listUnits", "getUnit", lists.Units, func(u measure.Unit) string { return u.Code }),
		prepare("schedules", "schedule", "listSchedules", "getSchedule", lists.Schedules,
			func(s catalog.Schedule) string { return s.ID }),
		prepare("recipes", "tested recipe", "listRecipes", "getRecipe", lists.Recipes,
			func(r catalog.TestedRecipe) string { return r.ID }),
		prepare("changes", "published change", "listChanges", "getChange", lists.Changes,
			func(c catalog.Change) string { return c.ID }),
		prepare("rules", "rule", "listRules", "getRule", lists.Rules, func(r Rule) string { return r.ID }),
		prepare("sources", "source", "listSources", "getSource", lists.Sources,
			func(s catalog.Source) string { return s.ID }),
		prepare("rulesets", "rule set", "listRulesets", "getRuleset", lists.Rulesets,
			func(s catalog.Ruleset) string { return s.Number }),
	)
}

// newestFirst turns the history of rule sets, which is written oldest first, for those who want to know what is new.
func newestFirst(history []catalog.Ruleset) []catalog.Ruleset {
	turned := slices.Clone(history)
	slices.Reverse(turned)
	return turned
}

// isFood tells the items that fill a jar from those that season, sour or preserve them.
func isFood(class catalog.Class) bool {
	return class == catalog.LowAcid || class == catalog.AcidFood || class == catalog.Egg
}

// prepared is a collection or the reason why there is none.
type prepared struct {
	collection *collection
	err        error
}

func gathered(results ...prepared) ([]*collection, error) {
	collections := make([]*collection, 0, len(results))
	for _, result := range results {
		if result.err != nil {
			return nil, result.err
		}
		collections = append(collections, result.collection)
	}
	return collections, nil
}

// prepare encodes a table as a whole and row by row.
func prepare[T any](name, noun, listOperation, getOperation string, items []T, id func(T) string) prepared {
	c := &collection{
		name: name, noun: noun, listOperation: listOperation, getOperation: getOperation,
		rows: make(map[string]*asset, len(items)),
	}
	for _, item := range items {
		key := id(item)
		if _, taken := c.rows[key]; taken {
			return prepared{err: fmt.Errorf("prepare %s: id %q stands for two rows", name, key)}
		}
		row, err := newJSONAsset(item)
		if err != nil {
			return prepared{err: fmt.Errorf("prepare %s %q: %w", name, key, err)}
		}
		c.rows[key] = row
		c.ids = append(c.ids, key)
	}
	list, err := newJSONAsset(struct {
		Items []T `json:"items"`
	}{append([]T{}, items...)})
	if err != nil {
		return prepared{err: fmt.Errorf("prepare %s: %w", name, err)}
	}
	c.list = list
	return prepared{collection: c}
}

// getOne serves one row by its id.
func (c *collection) getOne(context echo.Context) error {
	id := context.Param("id")
	if row, ok := c.rows[id]; ok {
		return row.serve(context)
	}
	return notNamed("id", id, c.noun, c.ids)
}
