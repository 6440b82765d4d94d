package catalog

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"jarwright/validate/table"
)

// FlavoringKind says as what an item is weighed that seasons, sweetens or firms; empty for everything else.
type FlavoringKind string

// Values of FlavoringKind.
const (
	WholeSpice     FlavoringKind = "whole"           // seeds, sticks, pods
	GroundSpice    FlavoringKind = "ground"          // ground spice, dried leaf, powder
	DriedVegetable FlavoringKind = "dried_vegetable" // counts by what it was fresh
	FreshLeaf      FlavoringKind = "fresh_herb"      // fresh leaf, root or peel
	WetSeasoning   FlavoringKind = "wet"             // water with taste
	PreparedOnly   FlavoringKind = "printed"         // candy, mustard, horseradish: as the tested recipe prints it
	SweetKind      FlavoringKind = "sweet"           // sugar, syrup, sweetener: part of the liquid
)

// FlavoringKinds lists every kind.
func FlavoringKinds() []FlavoringKind {
	return []FlavoringKind{WholeSpice, GroundSpice, DriedVegetable, FreshLeaf, WetSeasoning, PreparedOnly, SweetKind}
}

// Flavoring is what an item that seasons, sweetens or firms is made of, as fractions of its weight; a sweetener as
// the sugar that it stands for.
type Flavoring struct {
	Item               string
	Kind               FlavoringKind
	Water, Sugar, Salt float64
	Density            float64 // g/mL, for measures without a published weight; from memory, and rather too heavy
	Citation           Citation
	Note               string
}

// Flavoring is the row of an item in seasonings.csv; it reports false for food and for what is plain acid, water or salt.
func (t *Tables) Flavoring(item *Item) (Flavoring, bool) {
	if item == nil {
		return Flavoring{}, false
	}
	s, found := t.seasonings[item.ID]
	return s, found
}

// seasoned reports whether items of the class must have a row in seasonings.csv.
func seasoned(class Class) bool {
	return slices.Contains([]Class{Seasoning, FreshHerb, Sugar, Sweetener, Firming}, class)
}

func (l *loader) loadSeasonings() error {
	const file = "seasonings.csv"
	columns := []string{"item", "kind", "water", "sugar", "salt", "density", "source", "locator", "verified", "note"}
	err := l.eachRow(file, columns, func(r *table.Row) {
		s := Flavoring{
			Item: l.item(r).ID, Kind: FlavoringKind(r.Text("kind")), Water: r.Number("water"), Sugar: r.Number("sugar"), Salt: r.Number("salt"),
			Density: r.Number("density"), Citation: l.citation(r, ""), Note: r.Text("note"),
		}
		if !slices.Contains(FlavoringKinds(), s.Kind) {
			r.Fail(fmt.Errorf("unknown kind %q", s.Kind))
		}
		sweetener := s.Kind == SweetKind && s.Water == 0 && s.Salt == 0 // counts as more sugar than it weighs
		if s.Water < 0 || s.Sugar < 0 || s.Salt < 0 || s.Water+s.Sugar+s.Salt > 1 && !sweetener || s.Density <= 0 {
			r.Fail(errors.New("the fractions are no parts of a whole, or there is no density"))
		}
		if _, taken := l.tables.seasonings[s.Item]; taken {
			r.Fail(fmt.Errorf("item %q stands twice", s.Item))
		}
		l.tables.seasonings[s.Item] = s
	})
	if err != nil {
		return err
	}
	for i := range l.tables.Items {
		item := &l.tables.Items[i]
		if _, found := l.tables.seasonings[item.ID]; !found && seasoned(item.Class) {
			return fmt.Errorf("read %s: no row for %s, which is a %s", file, item.ID, item.Class)
		}
	}
	return nil
}

// SeasoningLimits says how much seasoning a pint of jar holds before it counts as food, and as what it counts then. Weights are
// grams for each pint of jar.
type SeasoningLimits struct {
	Whole, Ground, GarlicInBrine, GarlicInPot, FreshHerb, Wet, Salt, SaltInFerment, Sweetener SeasoningLimit

	Factor  float64 // grams of low-acid food that a gram of spice beyond its limit counts as
	Noticed float64 // share of the food from which a dried vegetable is a low-acid food of its own

	DriedDensity float64 // g/mL of dried vegetables without a published weight
	FatDensity   float64 // g/mL of fats without a published weight

	dried []driedRatio
}

// SeasoningLimit is the most of one kind that a tested recipe holds.
type SeasoningLimit struct {
	Grams    float64 // for each pint of jar
	Recipe   string  // id of the tested recipe that holds so much; empty where the figure is taken from another kind
	Citation Citation
}

type driedRatio struct {
	families []string
	ratio    float64
}

// FreshFrom is how many grams of the fresh vegetable dry to a gram, by its family. From memory.
func (s *SeasoningLimits) FreshFrom(family string) float64 {
	other := 0.0
	for _, dried := range s.dried {
		if slices.Contains(dried.families, family) {
			return dried.ratio
		}
		if len(dried.families) == 0 {
			other = dried.ratio
		}
	}
	return other
}

func (l *loader) loadSeasoningLimits() error {
	const file = "seasoning_limits.csv"
	s := &l.tables.Seasoned
	weights := map[string]*SeasoningLimit{
		"whole": &s.Whole, "ground": &s.Ground, "garlic-in-brine": &s.GarlicInBrine, "garlic-in-a-pot": &s.GarlicInPot,
		"fresh-herb": &s.FreshHerb, "wet": &s.Wet, "salt": &s.Salt, "salt-in-ferment": &s.SaltInFerment, "sweetener": &s.Sweetener,
	}
	plain := map[string]*float64{
		"factor": &s.Factor, "noticed": &s.Noticed, "dried-density": &s.DriedDensity, "fat-density": &s.FatDensity,
	}
	seen := 0
	columns := []string{"id", "value", "unit", "families", "recipe", "meaning", "source", "locator", "verified"}
	err := l.eachRow(file, columns, func(r *table.Row) {
		id, value, citation := r.Text("id"), r.Number("value"), l.citation(r, "")
		if recipe := r.Text("recipe"); recipe != "" {
			if _, found := l.tables.Recipe(recipe); !found {
				r.Fail(fmt.Errorf("unknown recipe %q", recipe))
			}
		}
		limit, weighed := weights[id]
		field, known := plain[id]
		switch {
		case value <= 0:
			r.Fail(fmt.Errorf("%q is not positive", id))
		case weighed && limit.Grams == 0:
			*limit = SeasoningLimit{Grams: value, Recipe: r.Text("recipe"), Citation: citation}
			seen++
		case known && *field == 0:
			*field = value
			seen++
		case strings.HasPrefix(id, driedPrefix):
			s.dried = append(s.dried, driedRatio{families: r.List("families", ";"), ratio: value})
		default:
			r.Fail(fmt.Errorf("%q is not known or stands twice", id))
		}
	})
	if err != nil {
		return err
	}
	if seen != len(weights)+len(plain) || s.FreshFrom("") == 0 {
		return fmt.Errorf("read %s: a row is missing", file)
	}
	return nil
}

// driedPrefix begins the ids of the rows that say what a dried vegetable was fresh.
const driedPrefix = "dry-"
