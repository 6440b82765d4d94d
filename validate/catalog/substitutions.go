package catalog

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"jarwright/validate/table"
)

// Substitution says which foods may stand for which others in a group of tested recipes.
type Substitution struct {
	ID        string
	AppliesTo []string // groups of recipes, see TestedRecipe.In
	Except    []string // groups that are left out of those
	Roles     []string // roles of the printed lines: low_acid, acid_food, acid, soak_acid
	Replace   Foods
	By        Foods
	Basis     Basis
	Name      string // of the lines together, for the basis total
	Verdict   string // safe, or SameFood
	Changes   []string
	Note      string
	Citation  Citation
}

// Basis is how the amounts of a food and of its stand-in are compared.
type Basis string

// Values of Basis.
const (
	BasisTotal  Basis = "total"  // all foods of the group together, by weight or by volume of like pieces
	BasisAmount Basis = "amount" // the same weight, or volume of like pieces, as the printed line
	BasisVolume Basis = "volume" // the same volume, of liquids
	BasisExact  Basis = "exact"  // as BasisAmount, where the page forbids less as well as more
)

// SameFood is the verdict of a substitution by which a food counts as the printed one, so that it is no departure at all.
const SameFood = "same"

// AppliesIn reports whether the substitution holds for the recipe.
func (s *Substitution) AppliesIn(recipe *TestedRecipe) bool {
	return slices.ContainsFunc(s.AppliesTo, recipe.In) && !slices.ContainsFunc(s.Except, recipe.In)
}

// Foods are items and families of items.
type Foods struct {
	Families, Items []string
}

// Hold reports whether the item is one of the foods.
func (f *Foods) Hold(item *Item) bool {
	return slices.Contains(f.Families, item.Family) || slices.Contains(f.Items, item.ID)
}

// And is the foods of both.
func (f Foods) And(more Foods) Foods {
	return Foods{Families: slices.Concat(f.Families, more.Families), Items: slices.Concat(f.Items, more.Items)}
}

// foods reads a cell such as "family:onion;item:tomato".
func (l *loader) foods(r *table.Row, column string) Foods {
	var foods Foods
	for _, word := range r.List(column, ";") {
		kind, name, _ := strings.Cut(word, ":")
		switch {
		case kind == "family" && slices.ContainsFunc(l.tables.Items, func(i Item) bool { return i.Family == name }):
			foods.Families = append(foods.Families, name)
		case kind == "item" && l.hasItem(name):
			foods.Items = append(foods.Items, name)
		default:
			r.Fail(fmt.Errorf("column %s: unknown food %q", column, word))
		}
	}
	if len(foods.Families)+len(foods.Items) == 0 {
		r.Fail(fmt.Errorf("column %s names no food", column))
	}
	return foods
}

func (l *loader) hasItem(id string) bool {
	_, found := l.tables.items[id]
	return found
}

// changesNamed reads the ids of the changes that a row rests on; each must be one of changes.csv. A change that sets the most
// of a mixture and calls more unsafe may allow any mixture below it, so its own verdict is not held to that of the row. What counts
// as the printed food needs no change.
func (l *loader) changesNamed(r *table.Row, column string) []string {
	ids := r.List(column, ";")
	if len(ids) == 0 && r.Text("verdict") != SameFood {
		r.Fail(errors.New("it rests on no change"))
	}
	for _, id := range ids {
		if _, found := l.tables.Change(id); !found {
			r.Fail(fmt.Errorf("unknown change %q", id))
		}
	}
	return ids
}

func (l *loader) loadSubstitutions() error {
	columns := []string{
		"id", "applies_to", "except", "role", "replace", "by", "basis", "name", "verdict", "changes", "source", "locator",
		"verified", "note",
	}
	seen := map[string]int{}
	return l.eachRow("substitutions.csv", columns, func(r *table.Row) {
		s := Substitution{
			ID: r.Text("id"), AppliesTo: r.List("applies_to", ";"), Except: r.List("except", ";"), Roles: r.List("role", ";"),
			Replace: l.foods(r, "replace"), By: l.foods(r, "by"), Basis: Basis(r.Text("basis")), Name: r.Text("name"),
			Verdict: r.Text("verdict"), Changes: l.changesNamed(r, "changes"), Note: r.Text("note"), Citation: l.citation(r, ""),
		}
		r.Fail(l.checkScopes(s.AppliesTo))
		if len(s.Except) > 0 {
			r.Fail(l.checkScopes(s.Except))
		}
		if s.Verdict != "safe" && s.Verdict != SameFood {
			r.Fail(fmt.Errorf("unknown verdict %q: only a safe substitution lets a food stand in", s.Verdict))
		}
		r.Fail(s.check())
		add(r, &l.tables.Substitutions, seen, s.ID, s)
	})
}

// check holds that the basis is one that the roles are compared on.
func (s *Substitution) check() error {
	bases := map[string][]Basis{
		"low_acid": {BasisTotal, BasisAmount, BasisExact}, "acid_food": {BasisAmount}, "acid": {BasisVolume}, "soak_acid": {BasisVolume},
	}
	if len(s.Roles) == 0 {
		return errors.New("it has no role")
	}
	for _, role := range s.Roles {
		if !slices.Contains(bases[role], s.Basis) {
			return fmt.Errorf("role %q is not compared on the basis %q", role, s.Basis)
		}
	}
	if (s.Basis == BasisTotal) != (s.Name != "") {
		return errors.New("a total has a name, and nothing else has")
	}
	return nil
}

// AppliesIn reports whether the condition matters in the recipe.
func (c *Condition) AppliesIn(recipe *TestedRecipe) bool {
	return !slices.ContainsFunc(c.Except, recipe.In)
}

// Condition is a word for the state of a food in which a tested recipe does not hold.
type Condition struct {
	ID      string
	Food    Foods
	Except  []string // groups of recipes that it does not matter in
	Words   []string // any of them in the cook's form
	Printed []string // it only matters where the tested recipe prints one of these; empty: everywhere
	Excused []string // words of the cook's form that take it back
	Verdict string   // unsafe, untested
	Change  string   // id of Change
	Text    string   // full sentence for cooks
}

func (l *loader) loadConditions() error {
	columns := []string{"id", "food", "except", "words", "printed", "excused", "verdict", "change", "text"}
	seen := map[string]int{}
	return l.eachRow("conditions.csv", columns, func(r *table.Row) {
		c := Condition{
			ID: r.Text("id"), Food: l.foods(r, "food"), Except: r.List("except", ";"), Words: r.List("words", "|"), Printed: r.List("printed", "|"),
			Excused: r.List("excused", "|"), Verdict: r.Text("verdict"), Change: r.Text("change"), Text: r.Text("text"),
		}
		l.changesNamed(r, "change")
		if len(c.Except) > 0 {
			r.Fail(l.checkScopes(c.Except))
		}
		if c.Verdict != "unsafe" && c.Verdict != "untested" {
			r.Fail(fmt.Errorf("unknown verdict %q", c.Verdict))
		}
		if len(c.Words) == 0 || c.Text == "" {
			r.Fail(errors.New("it needs words and a sentence"))
		}
		add(r, &l.tables.Conditions, seen, c.ID, c)
	})
}
