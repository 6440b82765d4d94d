package match

import (
	"testing"

	"jarwright/validate/document"
)

// compared follows a tested recipe with a few lines and lists what is compared.
func compared(follows string, lines ...document.Ingredient) []Compared {
	request := document.Request{Recipe: document.Recipe{Follows: follows, Keep: document.KeepShelf, Ingredients: lines}}
	match := comparedWith(&request)
	return match.Compared()
}

func line(item string, value float64, unit string) document.Ingredient {
	return document.Ingredient{Item: item, Amount: &document.Quantity{Value: &value, Unit: unit}, Per: document.PerBatch}
}

// Printed amounts by hand: dill pickles of the guide, p. 6-10, 8 lb cucumbers, 1 1/2 qt vinegar, 2 qt water; bell peppers,
// p. 6-21, half a clove of garlic for each half-pint jar; paste-tomato salsa, p. 3-23, 2 cups of lemon or lime juice.
func TestCompared(t *testing.T) {
	for _, test := range []struct {
		name, follows string
		lines         []document.Ingredient
		role, printed string
		lows, highs   float64
		answering     int
	}{
		{
			"a quarter of the food", "quick-fresh-pack-dill-pickles",
			[]document.Ingredient{line("cucumber", 2, "lb"), line("vinegar", 3, "cup"), line("water", 4, "cup")},
			"low_acid_food", "8 lb cucumber", 0.25, 0.25, 1,
		},
		{
			"half the acid, on two lines", "quick-fresh-pack-dill-pickles",
			[]document.Ingredient{line("cucumber", 2, "lb"), line("white vinegar", 1, "cup"), line("vinegar", 2, "cup"), line("water", 4, "cup")},
			"acid", "6 cups vinegar", 0.5, 0.5, 2,
		},
		{
			"nothing answers", "quick-fresh-pack-dill-pickles",
			[]document.Ingredient{line("cucumber", 2, "lb"), line("vinegar", 3, "cup")},
			"water", "8 cups water", 0, 0, 0,
		},
		{
			"alternatives", "tomato-salsa-paste-tomatoes",
			[]document.Ingredient{line("tomato", 7, "qt"), line("lime juice", 1, "cup")},
			"acid", "2 cups lemon juice or 2 cups lime juice", 0.5, 0.5, 1,
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			found := false
			for _, c := range compared(test.follows, test.lines...) {
				if c.Role != test.role {
					continue
				}
				found = true
				if c.Printed != test.printed || c.Low != test.lows || c.High != test.highs || len(c.Lines) != test.answering {
					t.Errorf("%+v", c)
				}
			}
			if !found {
				t.Errorf("no %s", test.role)
			}
		})
	}
}

func TestComparedWithNothing(t *testing.T) {
	if list := (&Match{}).Compared(); list != nil {
		t.Errorf("%+v", list)
	}
}

func TestTolerancesArePublished(t *testing.T) {
	named := 0
	for _, rule := range []string{RulePublishedRatio, RuleFat, RuleThickener, RuleFreshHerb, RuleSeasoning, RulePieceSize, RuleSaltInFerment, RulePureed} {
		for _, id := range TolerancesOf(rule) {
			named++
			if allowance := kitchen.tables.Allowance(id); allowance.Value <= 0 {
				t.Errorf("%s of %s: %+v", id, rule, allowance)
			}
		}
	}
	if named != 7 {
		t.Errorf("%d tolerances", named)
	}
}

// The printed words say what is printed together, the range, and the jar; or that there is no figure.
func TestPrintedWords(t *testing.T) {
	two := kilogram(t, lowAcidSlot, "onion")
	two.lines = append(two.lines, of(t, "carrot", 2, 3, "kg"))
	either := kilogram(t, acidSlot, "vinegar")
	either.alternatives, either.lines = true, append(either.lines, of(t, "lemon-juice", 2, 2, "kg"))
	open := kilogram(t, waterSlot, "water")
	open.openEnded = true
	pint := kilogram(t, acidSlot, "vinegar")
	pint.lines[0].perJarML = 473.2
	for _, c := range []struct {
		slot slot
		want string
	}{
		{two, "1 kg onion and 2 to 3 kg carrot"},
		{either, "1 kg vinegar or 2 kg lemon juice"},
		{open, "water, without a figure"},
		{perJar(kilogram(t, acidSlot, "vinegar")), "1 kg vinegar for each jar"},
		{pint, "1 kg vinegar for each 473 mL of jar"},
	} {
		t.Run(c.want, func(t *testing.T) {
			if got := c.slot.printedWords(); got != c.want {
				t.Errorf("%q", got)
			}
		})
	}
}
